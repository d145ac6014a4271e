//! Dew: water on a surface that is colder than the air of its room bears.

use super::cold::{COLD, is_cold, least_warm_words};
use super::weather::DEW_MARGIN_K;
use crate::heat::air::dew_point_celsius;
use crate::model::{House, Job, System};
use crate::quantity::{Temperature, Units};

/// The least that a surface may have for a pour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastSurface {
    /// How warm.
    pub temperature: Temperature,
    /// What asks for it.
    pub asked_by: AskedBy,
}

/// What asks for a warm surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedBy {
    /// The dew point of the room's air.
    Dew,
    /// The lowest temperature that the system's file states.
    System,
}

impl LeastSurface {
    /// The higher of what a dew point, °C, asks for and the lowest that the system bears.
    #[must_use]
    pub fn of(dew_point_celsius: f64, lowest: Option<Temperature>) -> Self {
        let for_dew = Temperature::from_c(dew_point_celsius + DEW_MARGIN_K);
        match lowest {
            Some(lowest) if lowest > for_dew => {
                Self { temperature: lowest, asked_by: AskedBy::System }
            }
            _ => Self { temperature: for_dew, asked_by: AskedBy::Dew },
        }
    }
}

/// How warm the surface has to be for its dew point, in full and in brief; none where no dew point can be reckoned.
pub(super) fn dew(system: &System, job: &Job, units: Units) -> Option<(String, String)> {
    let dew = dew_point_celsius(job.temperature.c(), job.humidity.percent()).ok()?;
    let least = Temperature::from_c(dew + DEW_MARGIN_K);
    let surface = job.surface.unwrap_or(job.temperature);
    let near_dew = surface < least;
    let lowest = system.lowest_temperature;
    let for_all = LeastSurface::of(dew, lowest);
    // What the dew point asks for is no permission where the system or the cold forbids it.
    let least_words = if for_all.asked_by == AskedBy::System {
        format!(
            "{}, the lowest that \"{}\" bears ({}), though {} would do for its dew",
            least_warm_words(lowest, units),
            system.name,
            system.standing,
            least.show(units),
        )
    } else if is_cold(system, job) && least < lowest.unwrap_or(COLD) {
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
    let in_brief = match for_all.asked_by {
        AskedBy::System => format!(
            "{} (the lowest of \"{}\", {})",
            least_warm_words(lowest, units),
            system.name,
            system.standing
        ),
        AskedBy::Dew => least_words.clone(),
    };
    let brief = format!(
        "pour only on a surface of at least {}{}",
        in_brief,
        if near_dew { ": as planned it is colder, do not pour" } else { "" }
    );
    Some((text, brief))
}
