//! Ceilings nearly reached, and cautions.

use super::super::page::Page;
use crate::model::Standing;
use crate::plan::{Figures, Plan, defers};
use crate::quantity::{Fraction, Units};

pub(super) fn write(page: &mut Page, plan: &Plan) {
    page.heading("CEILINGS");
    let near: Vec<_> = plan.checks.iter().filter(|check| check.near).collect();
    if near.is_empty() {
        let trust = plan.standing_of(Figures::Ceilings).map_or("", Standing::word);
        let count = plan.checks.len();
        page.line(2, &format!("all {count} checks are clear of their ceilings ({trust})"));
    }
    for check in near {
        let safe = check.largest_safe.as_ref().map_or_else(String::new, |(name, safe)| {
            format!("; \"{name}\" may go to {} here", Fraction::new(*safe).show_at_most())
        });
        page.hang(
            2,
            "caution: ",
            &format!(
                "{}: {} stands at {}, its ceiling is {} ({}){safe}",
                check.place.words(),
                check.standing.route.words(),
                Fraction::new(check.standing.value).show(Units::Metric),
                Fraction::new(check.standing.ceiling).show(Units::Metric),
                check.standing.trust,
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
