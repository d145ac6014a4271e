//! Ceilings nearly reached, and cautions.

use super::super::ceiling_rows::{near_ceiling_rows, unchecked_ratio_words};
use super::super::page::Page;
use crate::model::Standing;
use crate::plan::{Figures, Plan, defers};

pub(super) fn write(page: &mut Page, plan: &Plan) {
    page.heading("CEILINGS");
    let near = near_ceiling_rows(plan);
    if near.is_empty() {
        let trust = plan.standing_of(Figures::Ceilings).map_or("", Standing::word);
        let count = plan.checks.len();
        page.line(2, &format!("all {count} checks are clear of their ceilings ({trust})"));
    }
    for words in near {
        page.hang(2, "caution: ", &words);
    }
    if let Some(words) = unchecked_ratio_words(plan) {
        page.line(2, &words);
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
