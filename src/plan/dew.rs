//! Dew: water on a surface that is colder than the air of its room bears.

use super::cold::{least_warm, least_warm_words};
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
    /// The usual least of resins, where the system's file states none (common practice, no source).
    Usual,
}

impl LeastSurface {
    /// The higher of what a dew point, °C, asks for and the lowest that the system bears; where its file states none,
    /// the usual least as a round figure in `units`.
    #[must_use]
    pub fn of(dew_point_celsius: f64, lowest: Option<Temperature>, units: Units) -> Self {
        let for_dew = Temperature::from_c(dew_point_celsius + DEW_MARGIN_K);
        let warm = least_warm(lowest, units);
        let asked_by = match lowest {
            _ if warm <= for_dew => AskedBy::Dew,
            Some(_) => AskedBy::System,
            None => AskedBy::Usual,
        };
        let temperature = if asked_by == AskedBy::Dew { for_dew } else { warm };
        Self { temperature, asked_by }
    }
}

/// How warm the surface has to be for its dew point, in full and in brief; none where no dew point can be reckoned.
pub(super) fn dew(system: &System, job: &Job, units: Units) -> Option<(String, String)> {
    let dew = dew_point_celsius(job.temperature.c(), job.humidity.percent()).ok()?;
    let least = Temperature::from_c(dew + DEW_MARGIN_K);
    let surface = job.surface.unwrap_or(job.temperature);
    let near_dew = surface < least;
    let lowest = system.lowest_temperature;
    let for_all = LeastSurface::of(dew, lowest, units);
    let warm = least_warm_words(lowest, units);
    // What the dew point asks for is no permission where the system or the cold forbids it.
    let least_words = match for_all.asked_by {
        AskedBy::System => format!(
            "{warm}, the lowest that \"{}\" bears ({}), though {} would do for its dew",
            system.name,
            system.standing,
            least.show(units),
        ),
        AskedBy::Usual => format!(
            "about {warm}, the usual least of resins (common practice; the file of \"{}\" states no lowest_temperature), though {} would do for its dew",
            system.name,
            least.show(units),
        ),
        AskedBy::Dew => least.show(units),
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
        AskedBy::System => {
            format!("{warm} (the lowest of \"{}\", {})", system.name, system.standing)
        }
        AskedBy::Usual => format!("{warm} (usual)"),
        AskedBy::Dew => least_words.clone(),
    };
    let brief = format!(
        "pour only on a surface of at least {}{}",
        in_brief,
        if near_dew { ": as planned it is colder, do not pour" } else { "" }
    );
    Some((text, brief))
}
