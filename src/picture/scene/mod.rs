//! A pour as a list of movements of the film and what each let in.
//!
//! [`PourInput`] says what is poured and on what; [`Scene::build`] lays it: containers along ribbons, swath by swath
//! over the board and as far beyond its edges as their volume reaches, each layer when it leaves the lip, later fluid
//! pushing earlier fluid aside. Amounts are areas: what a ribbon holds of a colour, its area × film, is the volume that
//! was poured of it ([`Ledger`]).
//!
//! The whole film counts as one fluid of one thickness: the picture is an approximation, not a prediction.

mod board;
mod build;
mod easing;
mod ground;
mod input;
mod kinks;
mod layers;
mod ledger;
mod lowest;
mod mixer;
mod paint;
mod palette;
mod pass;
mod portions;
mod proportional;
mod section;
mod settling;
mod span;
mod streaks;
mod swath;
mod way;
mod widths;

pub use board::Board;
pub use input::{
    Container, FilmColour, Finish, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role,
    SceneError,
};
pub use ledger::Ledger;
pub(crate) use mixer::Mixer;
pub use paint::{CHANNELS, Channels, Paint};

use crate::flow::Map;
use section::Section;
pub(crate) use section::Sums;
use streaks::Streaks;

/// A pour, ready to be drawn or asked.
#[derive(Debug, Clone)]
pub struct Scene {
    pub(crate) maps: Vec<Map>,
    /// What came with each map, if anything did.
    sections: Vec<Option<Section>>,
    streaks: Streaks,
    pub(crate) board: Board,
    pub(crate) finish: SurfaceFinish,
    pub(crate) film_mm: f64,
    pub(crate) ledger: Ledger,
}

/// What is needed beside the maps to finish a picture.
#[derive(Debug, Clone)]
pub(crate) struct SurfaceFinish {
    /// Linear RGB of the primer.
    pub(crate) primer: [f32; 3],
    /// Linear RGB of each colour by itself.
    pub(crate) pure: Vec<[f32; 3]>,
    /// Strength of each colour in a mixture by channel, see the mist.
    pub(crate) strength: Vec<[f32; 3]>,
    pub(crate) mist: Mist,
    pub(crate) seed: u64,
}

impl Scene {
    /// The movements of the film, the first one first.
    #[must_use]
    pub fn maps(&self) -> &[Map] {
        &self.maps
    }

    /// The board.
    #[must_use]
    pub fn board(&self) -> &Board {
        &self.board
    }

    /// What was poured, by colour.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }

    /// How many colours there are.
    #[must_use]
    pub fn colour_count(&self) -> usize {
        self.finish.pure.len()
    }

    /// The section that came with map `from`; `None` where nothing was poured.
    #[inline(always)]
    pub(crate) fn section(&self, from: u32) -> Option<&Section> {
        // The film that was there first has a number that no map has.
        self.sections.get(from as usize).and_then(Option::as_ref)
    }

    /// The streaks of every section.
    #[inline(always)]
    pub(crate) fn streaks(&self) -> Streaks {
        self.streaks
    }

    /// How the primer looks, where nothing was poured.
    #[inline(always)]
    pub(crate) fn bare(&self) -> Channels {
        let [r, g, b] = self.finish.primer;
        [0.0, 0.0, 0.0, 0.0, r, g, b, 0.0]
    }
}
