//! What a plan's figures rest on, in words: decided once for the text, the printed sheet and the page.

use std::collections::BTreeSet;

use crate::model::Standing;
use crate::plan::{Figures, Plan, Rests};
use crate::suggest::listed;

/// More names than this are counted rather than listed.
const MOST_NAMES: usize = 3;

/// Each standing that figures of the plan have, the least sure first, with the figures that have it.
#[must_use]
pub(super) fn standing_rows(plan: &Plan) -> Vec<(Standing, String)> {
    let mut standings = Standing::ALL;
    standings.reverse();
    let told = |standing| {
        let words = words(plan, standing);
        match standing {
            _ if words.is_empty() => None,
            Standing::Demo => {
                Some((standing, format!("{words} (made up, not for a client's counter)")))
            }
            _ => Some((standing, words)),
        }
    };
    standings.into_iter().filter_map(told).collect()
}

/// What stands on every page of a plan with made-up figures.
#[must_use]
pub(super) fn demo_warning(plan: &Plan) -> Option<&'static str> {
    let made_up = plan.figures.iter().any(|each| each.standing == Standing::Demo);
    made_up.then_some("DEMO FIGURES (see the buying list). ")
}

/// The figures of one standing: the resin system's, then the colorants'.
fn words(plan: &Plan, standing: Standing) -> String {
    let has = |each: &&Rests| each.standing == standing;
    let of_resin: Vec<&str> = Figures::ALL
        .into_iter()
        .filter(|figures| {
            plan.figures.iter().filter(has).any(|each| each.system && each.figures == *figures)
        })
        .map(Figures::words)
        .collect();
    let mut parts = Vec::new();
    if !of_resin.is_empty() {
        parts.push(format!("{} of {}", listed(&of_resin, "and"), plan.system));
    }
    let colorants: BTreeSet<&str> =
        plan.figures.iter().filter(|each| !each.system).map(|each| each.of.as_str()).collect();
    // Figures that the same colorants share are told together.
    let mut shared: Vec<(BTreeSet<&str>, Vec<&str>)> = Vec::new();
    for figures in Figures::ALL {
        let names: BTreeSet<&str> = plan
            .figures
            .iter()
            .filter(has)
            .filter(|each| !each.system && each.figures == figures)
            .map(|each| each.of.as_str())
            .collect();
        match shared.iter_mut().find(|(others, _)| *others == names) {
            _ if names.is_empty() => {}
            Some((_, all)) => all.push(figures.words()),
            None => shared.push((names, vec![figures.words()])),
        }
    }
    for (names, figures) in shared {
        let whose = if names.len() == colorants.len() && names.len() > 1 {
            format!("all {} colorants", names.len())
        } else if names.len() > MOST_NAMES {
            format!("{} of {} colorants", names.len(), colorants.len())
        } else {
            listed(&names.into_iter().collect::<Vec<_>>(), "and")
        };
        parts.push(format!("{} of {whose}", listed(&figures, "and")));
    }
    parts.join("; ")
}
