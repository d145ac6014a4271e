//! What is taken to be in the vessel, and what of it is left.

use std::collections::BTreeMap;

use super::correct::CorrectionAsk;
use crate::diagnostic::Diagnostic;
use crate::matching::Held;
use crate::quantity::{Mass, Units};
use crate::report::correct_rows::stated_weight;

/// The share of what was weighed that is still in the vessel; all of it where nobody says that some has been poured.
pub(super) fn share_left(left: Option<Mass>, all: Mass) -> Result<f64, Diagnostic> {
    let Some(left) = left else { return Ok(1.0) };
    let told = |why: String| {
        Diagnostic::error(why).hint(
            "--left is what is still in the vessel, where some of it has been poured; parts A and B and --held are typed in full, as they were weighed",
        )
    };
    if left <= Mass::ZERO {
        return Err(told(format!("--left {} leaves nothing to be corrected", stated_weight(left))));
    }
    if left > all {
        let [left, all] = [left, all].map(stated_weight);
        return Err(told(format!("--left {left} is more than all that was weighed in, {all}")));
    }
    Ok(left / all)
}

/// That weighings of one colorant are added up, for whoever typed it twice by a slip.
pub(super) fn twice_words(stated: &BTreeMap<&str, u32>) -> Option<String> {
    let twice: Vec<&str> =
        stated.iter().filter(|(_, times)| **times > 1).map(|(name, _)| *name).collect();
    let names = crate::suggest::listed(&twice, "and");
    (!twice.is_empty()).then(|| format!("Stated more than once, so added up: {names}."))
}

/// What is left of all that was weighed in, in a sentence.
pub(super) fn left_words(left: Mass, all: Mass, units: Units) -> String {
    let share = left / all * 100.0;
    let [left, all] = [left, all].map(|mass| mass.show(units));
    format!("{left} of these {all} are left ({share:.0} %): what is told is for that.")
}

/// What is taken to be in the vessel, and which of the base's colorants are taken not to be.
pub(super) fn taken(
    ask: &CorrectionAsk,
    weighings: &[String],
    held: &Held,
    wanted: &BTreeMap<String, f64>,
) -> Vec<String> {
    let all: Vec<String> = [("part A", ask.part_a), ("part B", ask.part_b)]
        .into_iter()
        .map(|(name, mass)| format!("{name} {}", stated_weight(mass)))
        .chain(weighings.iter().cloned())
        .collect();
    let where_to = if ask.left.is_some() { "Weighed in" } else { "In the vessel" };
    let mut words = vec![format!("{where_to}, as stated: {}.", all.join(", "))];
    let unnamed: Vec<&str> = wanted
        .keys()
        .filter(|name| !held.colorants.contains_key(*name))
        .map(String::as_str)
        .collect();
    if !unnamed.is_empty() {
        words.push(format!(
            "Not named, so taken not to be in it: {}. Name with --held what is.",
            unnamed.join(", ")
        ));
    }
    words
}
