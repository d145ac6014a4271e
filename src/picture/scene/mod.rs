//! A pour as a list of movements of the film and the coloured regions they carry.
//!
//! [`PourInput`] says what is poured and on what; [`Scene::build`] lays it: containers along ribbons over the
//! board, each layer when it leaves the lip, later fluid pushing earlier fluid aside. Every region of the scene
//! is an ellipse at the moment it is laid, so its area is known: area × film is its volume, and the volumes of a
//! colour's regions add up to what was poured of it ([`Ledger`]).
//!
//! The plane of the maps treats the whole film as one fluid of one thickness: the picture is an approximation,
//! not a prediction of coverage or waste.

mod board;
mod build;
mod input;
mod ledger;
mod paint;
mod path;
mod print;

pub use board::Board;
pub use input::{
    Container, FilmColour, Finish, Layer, Mist, Outline, PourColour, PourInput, RibbonPath, Role,
    SceneError,
};
pub use ledger::Ledger;
pub use paint::{CHANNELS, Channels, Paint};

use crate::flow::{Advector, Contour, Map, Origin, back_trace};

/// One closed region: an ellipse when laid, and what changes when its rim is crossed inwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// The rim, and the first map that moves it.
    pub contour: Contour,
    /// What the inside has more than the outside.
    pub step: Paint,
}

/// A finer region inside a source's unit disc: an ellipse, and what it adds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Inclusion {
    /// Centre in the unit disc.
    pub(crate) centre: [f64; 2],
    /// Unit vector along the first half-axis.
    pub(crate) along: [f64; 2],
    /// Half-axes along and across, in unit-disc lengths.
    pub(crate) half: [f64; 2],
    /// What the inside has more.
    pub(crate) step: Paint,
}

/// What came with one source, or was there first: its paint, and the inclusions within (in unit discs of the
/// source; in mm for the first film).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spot {
    pub(crate) body: Paint,
    pub(crate) inclusions: Vec<Inclusion>,
}

/// A pour, ready to be drawn or asked.
#[derive(Debug, Clone)]
pub struct Scene {
    pub(crate) maps: Vec<Map>,
    pub(crate) spots: Vec<Option<Spot>>,
    pub(crate) regions: Vec<Region>,
    pub(crate) film: Spot,
    pub(crate) advector: Advector,
    pub(crate) board: Board,
    pub(crate) finish: SurfaceFinish,
    pub(crate) film_mm: f64,
    pub(crate) ledger: Ledger,
}

/// What is needed beside the regions to finish a picture.
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
    /// How many movements the film makes.
    #[must_use]
    pub fn map_count(&self) -> usize {
        self.maps.len()
    }

    /// How many coloured regions there are.
    #[must_use]
    pub fn region_count(&self) -> usize {
        self.regions.len()
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

    /// The paint at a point of the finished film, mm: the plain way back through every map. The oracle.
    #[must_use]
    pub fn paint_at(&self, p: [f64; 2]) -> Paint {
        paint_after(&self.maps, &self.spots, &self.film, p)
    }
}

impl Scene {
    /// The channels of [`Scene::paint_at`] alone.
    #[must_use]
    pub fn channels_at(&self, p: [f64; 2]) -> Channels {
        let (number, at) = self.advector.back(p);
        let found = number.and_then(|n| Some((self.maps.get(n)?, self.spots.get(n)?.as_ref()?)));
        match found {
            Some((Map::Source(source), spot)) => spot.channels_in(source.in_disc(at)),
            _ => self.film.channels_in(at),
        }
    }
}

impl Spot {
    fn channels_in(&self, disc: [f64; 2]) -> Channels {
        let mut channels = self.body.channels;
        for inclusion in self.inclusions.iter().filter(|i| i.reach(disc) < 1.0) {
            for (a, b) in channels.iter_mut().zip(inclusion.step.channels) {
                *a += b;
            }
        }
        channels
    }

    /// The paint at a place of the unit disc.
    pub(crate) fn paint_in(&self, disc: [f64; 2]) -> Paint {
        let mut paint = self.body.clone();
        for inclusion in &self.inclusions {
            if inclusion.reach(disc) < 1.0 {
                paint.add(&inclusion.step);
            }
        }
        paint
    }
}

impl Inclusion {
    /// Below 1 inside, 1 on the rim.
    pub(crate) fn reach(&self, disc: [f64; 2]) -> f64 {
        let (dx, dy) = (disc[0] - self.centre[0], disc[1] - self.centre[1]);
        let u = (dx * self.along[0] + dy * self.along[1]) / self.half[0];
        let v = (dy * self.along[0] - dx * self.along[1]) / self.half[1];
        u * u + v * v
    }
}

/// The paint at `p` after `maps`.
pub(crate) fn paint_after(maps: &[Map], spots: &[Option<Spot>], film: &Spot, p: [f64; 2]) -> Paint {
    match back_trace(maps, p) {
        Origin::Film(at) => film.paint_in(at),
        Origin::Source(index, disc) => match spots.get(index) {
            Some(Some(spot)) => spot.paint_in(disc),
            _ => film.body.clone(),
        },
    }
}
