//! Demand: the volume that has to come out of the containers, and where it goes.

use crate::model::{Cling, Losses, RunOff};
use crate::quantity::{Length, Volume};

use super::take_off::TakeOff;

/// Volumes of one coat, as poured (resin with its colorants).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// On flat areas.
    pub flat: Volume,
    /// On faces and splashbacks.
    pub upright: Volume,
    /// Over the edges.
    pub run_off: Volume,
    /// Poured out for safety beyond that.
    pub allowance: Volume,
}

impl Demand {
    /// The demand of one coat.
    #[must_use]
    pub fn of(take_off: &TakeOff, film: Length, face_film: Length, losses: &Losses) -> Self {
        let flat = take_off.flat() * film;
        let upright = take_off.upright() * face_film;
        let net = flat + upright;
        let run_off = match losses.run_off {
            RunOff::Share(share) => net * (share.value() / (1.0 - share.value())),
            RunOff::PerEdge { volume, per } => volume * (take_off.edge().mm() / per.mm()),
        };
        let allowance = (net + run_off) * losses.allowance.value();
        Self { flat, upright, run_off, allowance }
    }

    /// What stays on the work.
    #[must_use]
    pub fn net(&self) -> Volume {
        self.flat + self.upright
    }

    /// All that has to come out of the containers.
    #[must_use]
    pub fn out(&self) -> Volume {
        self.net() + self.run_off + self.allowance
    }
}

/// What must be made so that `out` comes out when a share of what is made clings.
#[must_use]
pub(super) fn made_for(out: Volume, share: f64) -> Volume {
    out * (1.0 / (1.0 - share))
}

/// The film on vessel walls, or none where cling is stated as a share of the mix.
#[must_use]
pub(super) fn wall_film(cling: Cling) -> Length {
    match cling {
        Cling::Film(film) => film,
        Cling::Share(_) => Length::from_mm(0.0),
    }
}

/// The share of a mix that clings, or none where cling is stated as a film.
#[must_use]
pub(super) fn cling_share(cling: Cling) -> f64 {
    match cling {
        Cling::Film(_) => 0.0,
        Cling::Share(share) => share.value(),
    }
}
