//! The primer: through which bases it shows.

use super::base::BasePlan;
use crate::optics::HIDING_RATIO;
use crate::predict::Look;
use crate::quantity::{Length, Units};
use crate::suggest::listed;

/// Bases that do not hide the primer at the film of the plan, in full and in brief.
pub(super) fn primer_shows(
    bases: &[BasePlan],
    film: Length,
    work: &str,
    units: Units,
) -> Option<(String, String)> {
    let thin: Vec<(&str, &Look)> = bases
        .iter()
        .filter_map(|base| Some((base.name.as_str(), base.look.as_ref()?)))
        .filter(|(_, look)| look.contrast_ratio < HIDING_RATIO)
        .collect();
    if thin.is_empty() {
        return None;
    }
    let each: Vec<String> = thin
        .iter()
        .map(|(name, look)| {
            let hides = look.hiding_film.map_or_else(
                || "hides at no film".to_owned(),
                |film| format!("hides from {}", film.show_film(units)),
            );
            format!("\"{name}\" ({:.3}, {}; {hides})", look.contrast_ratio, look.standing)
        })
        .collect();
    let film = film.show_film(units);
    let text = format!(
        "the primer shows through at {film}: contrast ratio below {HIDING_RATIO} of {}. Its colour is part of the recipe: prime evenly, {}",
        each.join(", "),
        if work == "board" {
            "and the counter later with the same primer"
        } else {
            "the sample board as the counter"
        }
    );
    let names: Vec<&str> = thin.iter().map(|(name, _)| *name).collect();
    let brief = format!("shows through {}: prime evenly", listed(&names, "and"));
    Some((text, brief))
}
