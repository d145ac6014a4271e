//! What is lost and who says so, in words.

use crate::model::{Losses, Origin, RunOff};
use crate::plan::Plan;
use crate::quantity::{Length, Units};

/// Over what resin runs off the work.
#[must_use]
pub(super) fn over_words(plan: &Plan) -> &'static str {
    if plan.take_off.boards_alone() { "over the rim" } else { "over the edges" }
}

/// How run-off is reckoned and who says so.
#[must_use]
pub(super) fn run_off_words(losses: &Losses, units: Units) -> String {
    let how = match losses.run_off {
        RunOff::Share(share) => format!("{} of what is poured", share.show(units)),
        RunOff::PerEdge { volume, per } => {
            let (one, unit) = match units {
                Units::Us => (Length::from_ft(1.0), "ft"),
                Units::Metric => (Length::from_mm(1000.0), "m"),
            };
            format!("{} a {unit} of edge", (volume * (one.mm() / per.mm())).show(units))
        }
    };
    format!("{how}, {}", whose(losses.run_off_from))
}

/// What the allowance is of and who says so.
#[must_use]
pub(super) fn allowance_words(losses: &Losses) -> String {
    let share = losses.allowance.show(Units::Metric);
    format!("{share} of both, {}", whose(losses.allowance_from))
}

const fn whose(origin: Origin) -> &'static str {
    match origin {
        Origin::Job => "as the job states",
        Origin::Usual => "as is usual (estimated): no job states it",
    }
}
