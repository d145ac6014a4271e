//! Cold: a room, a surface or parts in which resin does not cure as its datasheet states.

use crate::model::{House, Job, System};
use crate::quantity::{Temperature, Units};
use crate::suggest::listed;

/// Below this resin thickens, and does not level or cure as its datasheet states (common practice, no source).
const COLD: Temperature = Temperature::from_c(15.0);

/// The least temperature that is not cold: the lowest that a system's file states, or else a round figure (15 °C are
/// 59 °F).
pub(super) fn least_warm(lowest: Option<Temperature>, units: Units) -> Temperature {
    match (lowest, units) {
        (Some(lowest), _) => lowest,
        (None, Units::Us) => Temperature::from_f(60.0),
        (None, Units::Metric) => COLD,
    }
}

/// The same in words.
#[must_use]
pub fn least_warm_words(lowest: Option<Temperature>, units: Units) -> String {
    House::room_words(least_warm(lowest, units), units)
}

/// That room, surface or parts are cold, in full and in brief.
pub(super) fn cold(
    system: &System,
    job: &Job,
    work: &str,
    units: Units,
) -> Option<(String, String)> {
    let each = [
        ("the room", Some(job.temperature)),
        ("the surface", job.surface),
        ("parts A and B", job.parts),
    ];
    let limit = system.lowest_temperature.unwrap_or(COLD);
    let cold: Vec<String> = each
        .into_iter()
        .filter_map(|(what, temperature)| Some((what, temperature?)))
        .filter(|(_, temperature)| *temperature < limit)
        .map(|(what, temperature)| format!("{what} at {}", House::room_words(temperature, units)))
        .collect();
    if cold.is_empty() {
        return None;
    }
    let cold: Vec<&str> = cold.iter().map(String::as_str).collect();
    let least = least_warm_words(system.lowest_temperature, units);
    let (about, whose) = if system.lowest_temperature.is_some() {
        ("", format!("that is the lowest that \"{}\" bears ({})", system.name, system.standing))
    } else {
        let stated = House::room_words(system.pot_life.temperature, units);
        let whose = format!(
            "its datasheet, whose pot life is stated at {stated}, says how cold it may be (lowest_temperature in the system's file)"
        );
        ("about ", whose)
    };
    let text = format!(
        "{}: below {about}{least} resin thickens, traps bubbles, does not level and may not cure at all, however long its pot life here; {whose}. Warm room, {work} and parts first, and keep them warm until it has cured",
        listed(&cold, "and"),
    );
    let brief =
        format!("too cold to cure as stated: warm room, {} and parts above {least} first", work);
    Some((text, brief))
}
