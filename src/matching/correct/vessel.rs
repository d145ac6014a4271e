//! Which vessel a corrected mix stands in, and whether it goes into it below its headroom.

use std::collections::BTreeMap;

use super::clock::{InTime, in_time};
use super::{CorrectAsk, Uncorrected};
use crate::model::House;
use crate::quantity::{Mass, Volume};

/// The vessel that a mix is taken to stand in; sizes are brim-full.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum VesselAsked {
    /// As a person states it.
    Stated(Volume),
    /// As the job's plan has it for this mix; where that is too small, the house's smallest that holds the mix.
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

impl InVessel {
    /// The plan's vessel, where that is too small, so that the mix is moved out of it into this one.
    #[must_use]
    pub fn moved_from(&self) -> Option<Volume> {
        match self.asked {
            VesselAsked::Planned(size) if size != self.size => Some(size),
            _ => None,
        }
    }
}

/// The house's smallest vessel that holds so much below its headroom.
#[must_use]
pub fn smallest_vessel(house: &House, volume: Volume) -> Option<Volume> {
    house.vessels.iter().find(|size| below_headroom(house, **size) >= volume).copied()
}

fn below_headroom(house: &House, size: Volume) -> Volume {
    size * house.fill.value()
}

/// The volume of a mix of so much resin and so much of each colorant.
pub(super) fn volume_of(
    ask: &CorrectAsk<'_>,
    resin: Mass,
    colorants: &BTreeMap<String, Mass>,
) -> Volume {
    let of = |name: &str| ask.shelf.iter().find(|each| each.name == name);
    let volumes =
        colorants.iter().filter_map(|(name, mass)| Some(*mass / of(name)?.density)).sum::<Volume>();
    resin / ask.limits.system.mixed_density() + volumes
}

/// The most that a mix may become: the house's largest, or what the vessel that is stated holds, where that is less.
pub(super) fn most_mixed(ask: &CorrectAsk<'_>) -> Mass {
    let most = ask.house.largest_mix;
    let VesselAsked::Stated(size) = ask.vessel else { return most };
    let held = volume_of(ask, ask.held.part_a + ask.held.part_b, &ask.held.colorants);
    most.lesser(ask.held.mass() * (below_headroom(ask.house, size) / held))
}

/// More than its vessel holds to the brim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overfull {
    /// What is stated, in all.
    pub mass: Mass,
    /// Its volume.
    pub fills: Volume,
    /// The vessel, brim-full.
    pub size: Volume,
    /// Who says that it is this one; [`VesselAsked::Smallest`]: the house's largest.
    pub asked: VesselAsked,
    /// Whether it stands nowhere: not in the stated vessel, nor, where none is stated, in the house's largest, and is more
    /// than the house mixes at once, too.
    pub cannot_be: bool,
}

/// What is stated, where it is more than its vessel holds; the house's largest where none is known, or where that holds
/// less, too.
#[must_use]
pub fn overfull(ask: &CorrectAsk<'_>) -> Option<Overfull> {
    let fills = volume_of(ask, ask.held.part_a + ask.held.part_b, &ask.held.colorants);
    let mass = ask.held.mass();
    let largest = ask.house.vessels.last().copied();
    let (size, asked) = match ask.vessel {
        VesselAsked::Planned(size) if fills <= size => return None,
        VesselAsked::Planned(_) if largest.is_some_and(|largest| fills > largest) => {
            (largest?, VesselAsked::Smallest)
        }
        VesselAsked::Stated(size) | VesselAsked::Planned(size) => (size, ask.vessel),
        VesselAsked::Smallest => (largest?, ask.vessel),
    };
    let cannot_be = match asked {
        VesselAsked::Stated(_) => true,
        // What is more than the plan's vessel holds may stand in a larger one.
        VesselAsked::Planned(_) => false,
        // A house that mixes more at once than its vessels hold has others.
        VesselAsked::Smallest => mass > ask.house.largest_mix,
    };
    (fills > size).then_some(Overfull { mass, fills, size, asked, cannot_be })
}

/// The vessel that so much mix stands in. What does not go into the plan's goes into the house's smallest that holds it.
pub(super) fn in_vessel(ask: &CorrectAsk<'_>, needed: Volume) -> Result<InVessel, Uncorrected> {
    let smallest = || smallest_vessel(ask.house, needed);
    let size = match ask.vessel {
        VesselAsked::Stated(size) => size,
        VesselAsked::Planned(size) if needed <= below_headroom(ask.house, size) => size,
        VesselAsked::Planned(size) => smallest().unwrap_or(size),
        VesselAsked::Smallest => {
            smallest().or_else(|| ask.house.vessels.last().copied()).unwrap_or_default()
        }
    };
    let found = InVessel { size, holds: below_headroom(ask.house, size), asked: ask.vessel };
    if needed <= found.holds {
        Ok(found)
    } else {
        Err(Uncorrected::NoVessel { vessel: found, needed, units: ask.house.units })
    }
}

/// The vessel of a mix that has become so much, and its clock, where it runs. Without a clock no vessel is needed where
/// nothing is added, nor where none is known to be meant: it stands in something. The clock counts what has stood there
/// until now, in what that stood in; the vessel follows from what it becomes.
pub(super) fn stands(
    ask: &CorrectAsk<'_>,
    (after, volume): (Mass, Volume),
    made: (usize, usize),
) -> Result<(Option<InVessel>, Option<InTime>), Uncorrected> {
    let any = ask.vessel == VesselAsked::Smallest || after <= ask.held.mass();
    let vessel = match in_vessel(ask, volume) {
        Err(_) if ask.clock.is_none() && any => None,
        found => Some(found?),
    };
    let stood = ask.clock.as_ref().map_or(after, |clock| after.greater(clock.stood));
    let stood_volume = volume * (stood / after);
    let stood_in = vessel.map(|vessel| stood_in(ask.house, vessel, stood_volume));
    let in_time = in_time(ask, (stood, stood_volume), stood_in, made)?;
    Ok((vessel, in_time))
}

/// The brim-full size of what so much has stood in: the vessel that it stands in afterwards where that holds it, else
/// the house's smallest that does, else one that it fills.
fn stood_in(house: &House, vessel: InVessel, stood: Volume) -> Volume {
    let size = vessel.size;
    if stood <= size { size } else { smallest_vessel(house, stood).unwrap_or(stood) }
}
