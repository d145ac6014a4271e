//! Spreads of a plan's colours, a line a base, and as JSON.

use serde_json::{Value, json};

use super::page::{Page, Paint};
use crate::matching::{Doubts, Spread};
use crate::plan::Plan;
use crate::suggest::listed;

/// Bases of a plan whose spread is not known, for want of a colorant's optical data.
fn not_known<'a>(plan: &'a Plan, spreads: &[Spread]) -> Vec<&'a str> {
    let names = plan.bases.iter().map(|base| base.name.as_str());
    names.filter(|name| spreads.iter().all(|spread| spread.base != *name)).collect()
}

/// The spreads of a plan as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn tolerance_text(plan: &Plan, spreads: &[Spread], doubts: &Doubts, paint: Paint) -> String {
    let mut page = Page::new(paint);
    page.heading("HOW FAR COLOURS MAY STRAY");
    page.line(
        2,
        &format!(
            "{} draws, seed {}: weighings ± {} steps, lots ± {} %, film ± {} %, B ± {} % (standard deviations, common practice)",
            doubts.draws,
            doubts.seed,
            doubts.scale_steps,
            doubts.lot * 100.0,
            doubts.film * 100.0,
            doubts.ratio * 100.0,
        ),
    );
    for spread in spreads {
        let shares: Vec<String> = spread
            .shares
            .iter()
            .filter(|(_, share)| *share >= 0.005)
            .map(|(cause, share)| format!("{} {:.0} %", cause.word(), share * 100.0))
            .collect();
        let first = spread
            .first
            .as_ref()
            .map_or_else(String::new, |first| format!("; first {}", first.words()));
        page.hang(
            2,
            &format!("{}: ", spread.base),
            &format!(
                "19 in 20 within {:.2} ΔE00 (mean {:.2}): {}{first}",
                spread.within_95,
                spread.mean,
                shares.join(", "),
            ),
        );
    }
    let unknown = not_known(plan, spreads);
    if !unknown.is_empty() {
        page.hang(
            2,
            "not known: ",
            &format!(
                "how far {} may stray, for a colorant in it has no optical data; `pourbook characterise` makes it from drawdowns",
                listed(&unknown, "and")
            ),
        );
    }
    page.into_text()
}

/// The spreads as JSON, under the plan's key `tolerance`.
#[must_use]
pub fn tolerance_json(plan: &Plan, spreads: &[Spread], doubts: &Doubts) -> Value {
    json!({
        "draws": doubts.draws,
        "seed": doubts.seed,
        "standard_deviations": {
            "scale_steps": doubts.scale_steps,
            "lot_percent": doubts.lot * 100.0,
            "film_percent": doubts.film * 100.0,
            "ratio_percent": doubts.ratio * 100.0,
        },
        "bases_not_known": not_known(plan, spreads),
        "bases": spreads.iter().map(|spread| json!({
            "base": spread.base,
            "mean_delta_e00": spread.mean,
            "percentile_95_delta_e00": spread.within_95,
            "shares": spread.shares.iter().map(|(cause, share)| json!({
                "cause": cause.word(), "share": share,
            })).collect::<Vec<_>>(),
            "first": spread.first.as_ref().map(crate::matching::Improve::words),
        })).collect::<Vec<_>>(),
    })
}
