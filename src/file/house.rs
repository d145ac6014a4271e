//! The house's file: scales, vessels, thresholds. Whatever it leaves out is as usual.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::held;
use super::noun::{self, Gaps, note, version};
use super::place::Placed;
use super::tree::Value;
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{House, HouseParts, Scale, Timed};
use crate::quantity::{TimeSpan, Units};
use crate::suggest::{did_you_mean, listed};

/// Reads the house.
///
/// # Errors
/// Everything wrong with the text, its values, or the house they make, in the order of the file.
pub fn read(source: &Arc<Source>) -> Result<Placed<House>, Diagnostics> {
    noun::read(source, parts, House::new)
}

fn parts(at: Value<'_>, gaps: &Gaps) -> Option<HouseParts> {
    let fields = held::fields(at, "house", held::HOUSE)?;
    version(fields, gaps);
    note(fields, gaps);
    let usual = HouseParts::default();
    let fraction = |name, usual| gaps.fill(fields.or(name, usual, Value::parse), usual);
    let fill = fraction("fill", usual.fill);
    let weighing_tolerance = fraction("weighing_tolerance", usual.weighing_tolerance);
    let near_ceiling = fraction("near_ceiling", usual.near_ceiling);
    let off_ratio_caution = fraction("off_ratio_caution", usual.off_ratio_caution);
    let off_ratio_limit = fraction("off_ratio_limit", usual.off_ratio_limit);
    let units = fields
        .or("units", usual.units, |at| at.one_of(&[("Us", Units::Us), ("Metric", Units::Metric)]));
    let scales = fields.or("scales", usual.scales.clone(), |at| at.list(|at| scale(at, gaps)));
    let vessels = fields.or("vessels", usual.vessels.clone(), |at| at.list(Value::parse));
    let largest_mix = fields.or("largest_mix", usual.largest_mix, Value::parse);
    let match_within = fields.or("match_within", usual.match_within, Value::number);
    let container = fields.or("container", usual.container, Value::parse);
    let cling_film = fields.or("cling_film", usual.cling_film, Value::parse);
    let durations = gaps.fill(fields.or("durations", BTreeMap::new(), durations), BTreeMap::new());
    Some(HouseParts {
        units: gaps.fill(units, usual.units),
        scales: gaps.fill(scales, usual.scales),
        vessels: gaps.fill(vessels, usual.vessels),
        fill,
        largest_mix: gaps.fill(largest_mix, usual.largest_mix),
        weighing_tolerance,
        near_ceiling,
        off_ratio_caution,
        off_ratio_limit,
        match_within: gaps.fill(match_within, usual.match_within),
        container: gaps.fill(container, usual.container),
        cling_film: gaps.fill(cling_film, usual.cling_film),
        durations,
        crew: usual.crew,
        temperature: usual.temperature,
    })
}

fn scale(at: Value<'_>, gaps: &Gaps) -> Option<Scale> {
    let fields = at.fields("scale", &["name", "readability", "capacity", "note"])?;
    note(fields, gaps);
    let name = fields.need("name", Value::name);
    let readability = fields.need("readability", Value::parse);
    let capacity = fields.need("capacity", Value::parse);
    Some(Scale { name: name?, readability: readability?, capacity: capacity? })
}

/// How long steps take, by their names.
fn durations(at: Value<'_>) -> Option<BTreeMap<Timed, TimeSpan>> {
    let mut sound = true;
    let mut known = BTreeMap::new();
    for (name, time) in at.map(Value::parse::<TimeSpan>)? {
        if let Some(step) = Timed::of_word(&name.value) {
            known.insert(step, time);
            continue;
        }
        let words = Timed::ALL.map(Timed::word);
        let mut unknown =
            Diagnostic::error(format!("no step is called \"{}\"", name.value)).at(name.place);
        unknown.hints.extend(did_you_mean(&name.value, words));
        unknown.hints.push(format!("steps are: {}", listed(&words, "and")));
        sound = at.report::<()>(unknown).is_some();
    }
    sound.then_some(known)
}
