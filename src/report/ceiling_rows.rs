//! Ceilings nearly reached, one a line: decided once for the text, the printed sheet and the page.

use crate::plan::Plan;

/// Every ceiling that the plan comes near, with the largest safe loading where one can be named.
#[must_use]
pub fn near_ceiling_rows(plan: &Plan) -> Vec<String> {
    plan.checks
        .iter()
        .filter(|check| check.near)
        .map(|check| {
            let safe = check.largest_safe.as_ref().map_or_else(String::new, |(name, safe)| {
                format!("; \"{name}\" may go to {:.3} % here", (safe * 1e5).floor() / 1e3)
            });
            format!(
                "{}: {} stands at {:.2} %, its ceiling is {} %{safe}",
                check.place.words(),
                check.standing.route.words(),
                check.standing.value * 100.0,
                trimmed(check.standing.ceiling * 100.0),
            )
        })
        .collect()
}

/// A figure to a hundredth, without needless noughts.
fn trimmed(figure: f64) -> f64 {
    (figure * 100.0).round() / 100.0
}
