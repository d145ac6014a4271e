//! Dew: water on a surface that is colder than the air of its room bears.

use super::cold::{COLD, is_cold, least_warm_words};
use super::weather::DEW_MARGIN_K;
use crate::heat::air::dew_point_celsius;
use crate::model::{House, Job, System};
use crate::quantity::{Temperature, Units};

/// How warm the surface has to be for its dew point, in full and in brief; none where no dew point can be reckoned.
pub(super) fn dew(system: &System, job: &Job, units: Units) -> Option<(String, String)> {
    let dew = dew_point_celsius(job.temperature.c(), job.humidity.percent()).ok()?;
    let least = Temperature::from_c(dew + DEW_MARGIN_K);
    let surface = job.surface.unwrap_or(job.temperature);
    let near_dew = surface < least;
    let lowest = system.lowest_temperature;
    // What the dew point asks for is no permission where the cold forbids it.
    let least_words = if is_cold(system, job) && least < lowest.unwrap_or(COLD) {
        format!(
            "{} for its dew alone, and {} for its cold",
            least.show(units),
            least_warm_words(lowest, units)
        )
    } else {
        least.show(units)
    };
    let text = format!(
        "dew point {} at {} and {} relative humidity (estimated): pour only on a surface of at least {}{}",
        Temperature::from_c(dew).show(units),
        House::room_words(job.temperature, units),
        job.humidity.show(units),
        least_words,
        if near_dew { "; the surface as planned is too near it, do not pour" } else { "" }
    );
    let brief = format!(
        "pour only on a surface of at least {}{}",
        least_words,
        if near_dew { ": as planned it is colder, do not pour" } else { "" }
    );
    Some((text, brief))
}
