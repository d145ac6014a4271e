//! Spreads of a plan's colours, a line a base, and as JSON.

use serde_json::{Value, json};

use super::page::{Page, Paint};
use crate::matching::{Doubts, Spread};

/// The spreads as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn tolerance_text(spreads: &[Spread], doubts: &Doubts, paint: Paint) -> String {
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
    page.into_text()
}

/// The spreads as JSON, under the plan's key `tolerance`.
#[must_use]
pub fn tolerance_json(spreads: &[Spread], doubts: &Doubts) -> Value {
    json!({
        "draws": doubts.draws,
        "seed": doubts.seed,
        "standard_deviations": {
            "scale_steps": doubts.scale_steps,
            "lot_percent": doubts.lot * 100.0,
            "film_percent": doubts.film * 100.0,
            "ratio_percent": doubts.ratio * 100.0,
        },
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
