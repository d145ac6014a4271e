//! Ceilings nearly reached, one a line: decided once for the text, the printed sheet and the page.

use crate::plan::{Plan, Route};
use crate::quantity::{Fraction, Units};

/// What could not be checked for want of equivalent weights; none where they are stated.
#[must_use]
pub fn unchecked_ratio_words(plan: &Plan) -> Option<String> {
    (!plan.ratio_is_checked).then(|| {
        format!(
            "not checked: \"{}\" states no equivalent weights (stoichiometry in its file), so neither its mix ratio nor what epoxy carriers shift of it can be held against them",
            plan.system
        )
    })
}

/// Every ceiling that the plan comes near or that the job raises, with the largest safe loading where one can be named.
#[must_use]
pub fn near_ceiling_rows(plan: &Plan) -> Vec<String> {
    plan.checks
        .iter()
        .filter(|check| {
            check.near || (check.standing.raised && check.standing.route != Route::Mixture)
        })
        .map(|check| {
            let safe = check.largest_safe.as_ref().map_or_else(String::new, |(name, safe)| {
                // What is used of the ceiling is at least what is held of what is safe.
                let held = Fraction::new(safe * check.standing.used().clamp(0.0, 1.0));
                let shown = Fraction::new(*safe).show_between(held);
                format!("; \"{name}\" may go to {shown} here")
            });
            format!(
                "{}: {} stands at {}, its ceiling is {} ({}){safe}",
                check.place.words(),
                check.standing.route.words(),
                Fraction::new(check.standing.value).show(Units::Metric),
                Fraction::new(check.standing.ceiling).show(Units::Metric),
                match &check.standing.route {
                    // Of one whole there is no more: what is raised are the ceilings that it sums over.
                    Route::Mixture if check.standing.raised => "of ceilings raised by the job",
                    _ if check.standing.raised => "raised by the job",
                    _ => check.standing.trust.word(),
                },
            )
        })
        .collect()
}
