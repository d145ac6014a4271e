//! Ceilings nearly reached, and cautions.

use super::super::page::Page;
use crate::plan::{Plan, defers};

pub(super) fn write(page: &mut Page, plan: &Plan) {
    page.heading("CEILINGS");
    let near: Vec<_> = plan.checks.iter().filter(|check| check.near).collect();
    if near.is_empty() {
        page.line(2, &format!("all {} checks are clear of their ceilings", plan.checks.len()));
    }
    for check in near {
        let safe = check.largest_safe.as_ref().map_or_else(String::new, |(name, safe)| {
            format!("; \"{name}\" may go to {:.3} % here", (safe * 1e5).floor() / 1e3)
        });
        page.hang(
            2,
            "caution: ",
            &format!(
                "{}: {} stands at {:.2} %, its ceiling is {} %{safe}",
                check.place.words(),
                check.standing.route.words(),
                check.standing.value * 100.0,
                trimmed(check.standing.ceiling * 100.0),
            ),
        );
    }
    page.heading("CAUTIONS");
    for caution in &plan.cautions {
        page.hang(
            2,
            &format!("{}: ", caution.topic.word()),
            &format!("{} [{}]", caution.text, caution.source),
        );
    }
    page.line(2, defers());
}

/// A figure to a hundredth, without needless noughts.
fn trimmed(figure: f64) -> f64 {
    (figure * 100.0).round() / 100.0
}
