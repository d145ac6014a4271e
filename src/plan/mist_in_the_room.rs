//! What a mist makes of the air of its room, in words.

use super::mist::{MISTED, MistLiquid};
use super::mist_vapour::{Room, mist_vapour};
use crate::heat::HeatError;
use crate::model::Job;
use crate::quantity::{Units, Volume};

/// Fresh air while misting and purging, changes an hour: a fan in an open window (estimated).
const AIR_CHANGES_PER_HOUR: f64 = 6.0;

/// What the mist makes of the room's air, in words.
pub(super) struct MistInTheRoom {
    pub(super) text: String,
    pub(super) brief: String,
    /// Whether it is immediately dangerous to life or health.
    pub(super) dangerous: bool,
    /// Whether it is more than is recommended to breathe, or not known.
    pub(super) cartridges: bool,
}

/// Whether what is misted in a job wants organic-vapour cartridges; also where that cannot be reckoned.
pub(super) fn wants_cartridges(job: &Job, mist: &MistLiquid, units: Units) -> bool {
    mist_in_the_room(job, mist, units).map_or(true, |air| air.cartridges)
}

pub(super) fn mist_in_the_room(
    job: &Job,
    mist: &MistLiquid,
    units: Units,
) -> Result<MistInTheRoom, HeatError> {
    let celsius = job.temperature.c();
    let volume_ml = mist.each_coat.ml();
    // Coats are hours apart, and the room is purged between them.
    let when = if mist.coats > 1 { "each coat" } else { "in all" };
    let liquid = format!(
        "about {} of {} misted {when} ({})",
        mist.each_coat.show(units),
        mist.name,
        MistLiquid::STANDING,
    );
    let Some(room) = job.room else {
        // The layer at the limit is the same in any room.
        let any = Room { volume_m3: 100.0, celsius, air_changes_per_hour: AIR_CHANGES_PER_HOUR };
        let layer = air_words(mist_vapour(&MISTED, volume_ml, &any)?.at_lower_limit_m3, 1, units);
        let room = match units {
            Units::Us => "1400 ft3",
            Units::Metric => "40 m3",
        };
        return Ok(MistInTheRoom {
            text: format!(
                "{liquid}: enough to fill {layer} at the lower flammable limit; write room: \"{room}\" in the job and the plan reckons the room's air"
            ),
            brief: format!(
                "mist fills {layer} to the lower flammable limit (estimated): air moving out, cartridges"
            ),
            dangerous: false,
            cartridges: true,
        });
    };
    let volume_m3 = room_m3(room);
    let room = Room { volume_m3, celsius, air_changes_per_hour: AIR_CHANGES_PER_HOUR };
    let vapour = mist_vapour(&MISTED, volume_ml, &room)?;
    let dangerous = vapour.mean_ppm >= MISTED.dangerous_ppm;
    let (verdict, heed) = if dangerous {
        let verdict = format!(
            "immediately dangerous (NIOSH IDLH {:.0} ppm): do not mist this much in this room",
            MISTED.dangerous_ppm
        );
        (verdict, "DO NOT MIST this much in this room")
    } else if vapour.mean_ppm > MISTED.recommended_limit_ppm {
        let verdict = format!(
            "above the recommended {:.0} ppm: organic-vapour cartridges and air moving out",
            MISTED.recommended_limit_ppm
        );
        (verdict, "organic-vapour cartridges, air moving out")
    } else {
        ("air moving out all the same".to_owned(), "air moving out")
    };
    let brief = format!(
        "mist makes {:.0} ppm (estimated): {heed}; then purge {:.0} min at {AIR_CHANGES_PER_HOUR:.0} air changes an hour (fan), else longer",
        vapour.mean_ppm, vapour.purge_to_tenth_min
    );
    let text = format!(
        "{liquid} in {} of room: {:.0} ppm, {:.1} % of the lower flammable limit, {verdict}; it could fill {} at that limit; at {AIR_CHANGES_PER_HOUR:.0} air changes an hour purge {:.0} min",
        air_words(volume_m3, 0, units),
        vapour.mean_ppm,
        vapour.fraction_of_lower_limit * 100.0,
        air_words(vapour.at_lower_limit_m3, 1, units),
        vapour.purge_to_tenth_min,
    );
    let cartridges = vapour.mean_ppm > MISTED.recommended_limit_ppm;
    Ok(MistInTheRoom { text, brief, dangerous, cartridges })
}

/// Cubic metres in a cubic foot: the international foot of 0.3048 m (NIST SP 811, appendix B).
const M3_PER_FT3: f64 = 0.3048 * 0.3048 * 0.3048;

/// A volume of air, in the unit that rooms are spoken of in.
fn air_words(m3: f64, decimals: usize, units: Units) -> String {
    match units {
        Units::Us => format!("{:.0} ft³", m3 / M3_PER_FT3),
        Units::Metric => format!("{m3:.decimals$} m³"),
    }
}

fn room_m3(room: Volume) -> f64 {
    room.l() / 1000.0
}
