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
mod ground;
mod input;
mod ledger;
mod mixer;
mod paint;
mod palette;
mod portions;
mod section;
mod streaks;
mod swath;

pub use board::Board;
pub use input::{
    Container, FilmColour, Finish, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role,
    SceneError,
};
pub use ledger::Ledger;
pub(crate) use mixer::Mixer;
pub use paint::{CHANNELS, Channels, Paint};

use crate::flow::{FIRST_FILM, Map};
use section::{Found, Over, Section};
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

    /// What is known of a sample's place ([`crate::flow::Traced`]); `near` is a sample close by.
    #[inline(always)]
    pub(crate) fn spot(&self, from: u32, place: [f32; 2], near: Option<&Spot<'_>>) -> Spot<'_> {
        if from != FIRST_FILM
            && let Some(Some(section)) = self.sections.get(from as usize)
        {
            let near = match near {
                Some(Spot::Ribbon(_, found)) => found.lamella(),
                _ => 0,
            };
            return Spot::Ribbon(section, section.find(place, near));
        }
        Spot::Bare
    }

    /// How a place looks.
    #[inline(always)]
    pub(crate) fn channels(&self, spot: &Spot<'_>) -> Channels {
        match spot {
            Spot::Ribbon(section, found) => section.channels(found, self.streaks),
            Spot::Bare => {
                let [r, g, b] = self.finish.primer;
                [0.0, 0.0, 0.0, 0.0, r, g, b, 0.0]
            }
        }
    }

    /// What a place is made of, added to `sums` by `weight`.
    #[inline(always)]
    pub(crate) fn add_shares(
        &self,
        spot: &Spot<'_>,
        weight: f32,
        sums: &mut [f32; PourInput::MOST_COLOURS],
    ) {
        if let Spot::Ribbon(section, found) = spot {
            section.add_shares(found, weight, sums);
        }
    }
}

/// A place of the picture.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Spot<'a> {
    /// The primer, where nothing was poured.
    Bare,
    /// In what came with a ribbon.
    Ribbon(&'a Section, Found),
}

impl<'a> Spot<'a> {
    /// What lies within `reach` across a ribbon from the place; `None` where there is no ribbon or no reach.
    #[inline(always)]
    pub(crate) fn over(&self, reach: f32) -> Option<(&'a Section, Over<'a>)> {
        match self {
            Self::Bare => None,
            Self::Ribbon(section, found) => section.over(found, reach).map(|over| (*section, over)),
        }
    }

    /// Whether two places close to one another look and hold alike, but for streaks and an even grade.
    #[inline(always)]
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Bare, Self::Bare) => true,
            (Self::Ribbon(one, here), Self::Ribbon(two, there)) => {
                core::ptr::eq(*one, *two) && here.is_like(there)
            }
            _ => false,
        }
    }

    /// Its place in the ribbon, if it is in one.
    #[inline(always)]
    pub(crate) fn place(&self) -> [f32; 2] {
        match self {
            Self::Bare => [0.0; 2],
            Self::Ribbon(_, found) => found.place(),
        }
    }

    /// A place that is like this one, near to it.
    #[inline(always)]
    pub(crate) fn moved(&self, place: [f32; 2]) -> Self {
        match self {
            Self::Bare => Self::Bare,
            Self::Ribbon(section, found) => Self::Ribbon(section, section.moved(found, place)),
        }
    }

    /// How far across a ribbon its lines move over `along` of its length.
    #[inline(always)]
    pub(crate) fn drift(&self, along: f32) -> f32 {
        match self {
            Self::Bare => 0.0,
            Self::Ribbon(section, found) => section.drift(found, along),
        }
    }
}
