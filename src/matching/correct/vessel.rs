//! Which vessel a corrected mix stands in, and whether it goes into it below its headroom.

use super::{CorrectAsk, Uncorrected};
use crate::model::House;
use crate::optics::{Portion, composition};
use crate::quantity::{Mass, Volume};

/// The vessel that a mix is taken to stand in; sizes are brim-full.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum VesselAsked {
    /// As a person states it.
    Stated(Volume),
    /// As the job's plan has it for this mix.
    Planned(Volume),
    /// The house's smallest that holds the corrected mix below its headroom.
    #[default]
    Smallest,
}

/// The vessel that a corrected mix stands in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InVessel {
    /// Brim-full.
    pub size: Volume,
    /// What it holds below its headroom, so that it can be stirred.
    pub holds: Volume,
    /// Who says that it is this one.
    pub asked: VesselAsked,
}

/// The house's smallest vessel that holds so much below its headroom.
#[must_use]
pub fn smallest_vessel(house: &House, volume: Volume) -> Option<Volume> {
    house.vessels.iter().find(|size| below_headroom(house, **size) >= volume).copied()
}

fn below_headroom(house: &House, size: Volume) -> Volume {
    size * house.fill.value()
}

/// The volume of so much mix. Colorants are denser than resin: the resin's own density gives the larger volume, on the
/// safe side.
pub(super) fn volume_of(ask: &CorrectAsk<'_>, mass: Mass) -> Volume {
    let none: [Portion; 0] = [];
    let density = ask.limits.system.mixed_density().g_per_ml();
    Volume::from_ml(mass.g() * composition(density, &none).film_ml_per_g_resin)
}

/// The most that a mix may become: the house's largest, or what its own vessel holds, where that is known and less.
pub(super) fn most_mixed(ask: &CorrectAsk<'_>) -> Mass {
    let most = ask.house.largest_mix;
    match ask.vessel {
        VesselAsked::Stated(size) | VesselAsked::Planned(size) => {
            most.lesser(most * (below_headroom(ask.house, size) / volume_of(ask, most)))
        }
        VesselAsked::Smallest => most,
    }
}

/// The vessel that so much mix stands in.
pub(super) fn in_vessel(ask: &CorrectAsk<'_>, mass: Mass) -> Result<InVessel, Uncorrected> {
    let needed = volume_of(ask, mass);
    let size = match ask.vessel {
        VesselAsked::Stated(size) | VesselAsked::Planned(size) => size,
        VesselAsked::Smallest => smallest_vessel(ask.house, needed)
            .or_else(|| ask.house.vessels.last().copied())
            .unwrap_or_default(),
    };
    let found = InVessel { size, holds: below_headroom(ask.house, size), asked: ask.vessel };
    if needed <= found.holds {
        Ok(found)
    } else {
        Err(Uncorrected::NoVessel { vessel: found, needed, units: ask.house.units })
    }
}
