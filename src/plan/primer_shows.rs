//! The primer: through which bases it shows, and of which that is not known.

use super::base::BasePlan;
use super::upright::Uprights;
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

/// Bases of which it is not known whether they hide the primer, in full and in brief; none where all are known.
pub(super) fn primer_not_known(
    bases: &[BasePlan],
    film: Length,
    uprights: Option<&Uprights>,
    work: &str,
    units: Units,
) -> Option<(String, String)> {
    let unknown = bases.iter().filter(|base| base.look.is_none());
    let names: Vec<String> = unknown.map(|base| format!("\"{}\"", base.name)).collect();
    if names.is_empty() {
        return None;
    }
    let quoted: Vec<&str> = names.iter().map(String::as_str).collect();
    let bare: Vec<&str> = names.iter().map(|name| name.trim_matches('"')).collect();
    let thinner = uprights.filter(|uprights| uprights.thinner).map_or_else(String::new, |one| {
        format!(", least of all on {}, where the film is {}", one.words, one.film_words(units))
    });
    let each = if names.len() == 1 { "" } else { " of each" };
    let tells = if work == "board" {
        format!(
            "This board tells, if it has the counter's own primer; or one drawdown{each}, at that film, over black and white"
        )
    } else {
        format!(
            "One drawdown{each}, at that film, over black and white tells, or a sample board on the real primer"
        )
    };
    let text = format!(
        "whether the primer shows through {} at {} is not known, for a colorant has no optical data{thinner}. {tells}. Where it shows, prime evenly",
        listed(&quoted, "and"),
        film.show_film(units),
    );
    let try_it = if work == "board" { "this board tells" } else { "drawdown or board first" };
    let brief = format!("not known if it shows through {}: {try_it}", listed(&bare, "and"));
    Some((text, brief))
}
