//! A pour as a list of movements of the film and what each let in.
//!
//! [`PourInput`] says what is poured and on what; [`Scene::build`] lays it: containers along ribbons over the
//! board, each layer when it leaves the lip, later fluid pushing earlier fluid aside. Amounts are areas: what a ribbon
//! holds of a colour, its area × film, is the volume that was poured of it ([`Ledger`]).
//!
//! The plane of the maps treats the whole film as one fluid of one thickness: the picture is an approximation,
//! not a prediction of coverage or waste.

mod board;
mod build;
mod input;
mod ledger;
mod mixer;
mod paint;
mod palette;
mod path;
mod portions;
mod section;
mod streaks;

pub use board::Board;
pub use input::{
    Container, FilmColour, Finish, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role,
    SceneError,
};
pub use ledger::Ledger;
pub(crate) use mixer::Mixer;
pub use paint::{CHANNELS, Channels, Paint};

use crate::flow::{FIRST_FILM, Map};
use section::{Found, Section};
use streaks::Streaks;

/// A pour, ready to be drawn or asked.
#[derive(Debug, Clone)]
pub struct Scene {
    pub(crate) maps: Vec<Map>,
    /// What came with each map, if anything did.
    sections: Vec<Option<Section>>,
    film: FirstFilm,
    streaks: Streaks,
    pub(crate) board: Board,
    pub(crate) finish: SurfaceFinish,
    pub(crate) film_mm: f64,
    pub(crate) ledger: Ledger,
}

/// The film that is there before the first container.
#[derive(Debug, Clone)]
struct FirstFilm {
    paint: Paint,
    streak: Channels,
    /// Unit vector along which it was spread.
    along: [f32; 2],
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
        Spot::Film(place)
    }

    /// How a place looks.
    #[inline(always)]
    pub(crate) fn channels(&self, spot: &Spot<'_>) -> Channels {
        let film = &self.film;
        let place = match spot {
            Spot::Ribbon(section, found) => return section.channels(found, self.streaks),
            Spot::Film(place) => place,
        };
        let along = place[0] * film.along[0] + place[1] * film.along[1];
        let across = place[1] * film.along[0] - place[0] * film.along[1];
        // Spread with a wide blade: its streaks are coarser than a stream's.
        let strength = self.streaks.at(along * 0.7, across * 0.4);
        core::array::from_fn(|i| film.paint.channels[i] + film.streak[i] * strength)
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
            return;
        }
        for (sum, share) in sums.iter_mut().zip(&self.film.paint.shares) {
            *sum += weight * share;
        }
    }
}

/// A place of the fluid.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Spot<'a> {
    /// In the film that was there first, mm.
    Film([f32; 2]),
    /// In what came with a ribbon.
    Ribbon(&'a Section, Found),
}

impl<'a> Spot<'a> {
    /// Tells what lies within `reach` across a ribbon from the place, each with its part of that stretch.
    #[inline(always)]
    pub(crate) fn over(&self, reach: f32, mut tell: impl FnMut(Self, f32)) {
        match self {
            Self::Ribbon(section, found) if reach > 0.0 => {
                section.over(found, reach, |found, part| tell(Self::Ribbon(section, found), part));
            }
            _ => tell(*self, 1.0),
        }
    }

    /// Whether two places close to one another look and hold alike, but for streaks.
    #[inline(always)]
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Film(_), Self::Film(_)) => true,
            (Self::Ribbon(one, here), Self::Ribbon(two, there)) => {
                core::ptr::eq(*one, *two) && here.is_like(there)
            }
            _ => false,
        }
    }

    /// Whether all within `reach` of the place is like it.
    #[inline(always)]
    pub(crate) fn is_alone(&self, reach: [f32; 2]) -> bool {
        match self {
            Self::Film(_) => true,
            Self::Ribbon(section, found) => section.is_alone(found, reach),
        }
    }
}
