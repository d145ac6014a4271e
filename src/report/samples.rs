//! A fit of sample tables and predictions from it: as text, JSON and CSV. Schemas `pourbook.fit` and
//! `pourbook.prediction`, version 1, described in the book's page on sample tables.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::page::{Column, Page, Paint};
use crate::characterise::joint::{CrossValidation, Face, JointFit, Measure, Spread, Viewed};
use crate::spectrum::{BANDS, FIRST_NM, STEP_NM, wavelength_nm};

/// The schemas' version: raised when a key changes its meaning or goes away.
pub const VERSION: u32 = 1;
/// Samples that fit worst are named, so many.
const WORST: usize = 5;
/// A standard deviation of ln k or ln s above which a band is told as unknown: a factor of 2.7.
const UNKNOWN: f64 = 1.0;

/// A fit for eyes.
#[must_use]
pub fn fit_text(fit: &JointFit, held_out: Option<&CrossValidation>, paint: Paint) -> String {
    let mut page = Page::new(paint);
    let law = &fit.law;
    page.title(&format!(
        "{} pigments from {} samples, {}",
        fit.pigments.len(),
        fit.samples.len(),
        law.measure.word()
    ));
    if law.measure == Measure::Quantity {
        let e = law.spread;
        page.line(2, &format!("film grows as the total quantity to the power {:.2}", 1.0 + e));
    }
    match &law.face {
        Face::Smooth { index } => page.line(2, &format!("smooth face of index {index}")),
        Face::Matt { ln_levels, k2, .. } => {
            let mean = ln_levels.iter().sum::<f64>() / f64::from(count(ln_levels.len()).max(1));
            page.line(
                2,
                &format!(
                    "matt face: adds {:.3} to every reading, returns {k2:.2} inside",
                    libm::exp(mean)
                ),
            );
        }
    }
    page.heading("HOW WELL, ΔE00 under D65 for the 10° observer");
    let mut rows =
        vec![["", "samples", "mean", "95th percentile", "worst"].map(str::to_owned).to_vec()];
    rows.extend(fit.spread(|_| true).map(|spread| spread_row("fitted", spread)));
    rows.extend(held_out.map(|held| spread_row("mixtures held out", held.spread)));
    let columns = [[Column::Left].as_slice(), &[Column::Right; 4]].concat();
    page.rows(2, &columns, &rows);
    if let Some(held) = held_out {
        page.line(
            2,
            &format!(
                "held out: all mixtures of the same pigments together, {} such groups; a new mixture will show this figure, not that of the fit",
                held.groups
            ),
        );
    }
    page.heading("PIGMENTS");
    let rows: Vec<Vec<String>> = fit
        .pigments
        .iter()
        .map(|pigment| {
            let unknown = |deviations: &[f64]| deviations.iter().filter(|d| **d > UNKNOWN).count();
            let (k, s) = (unknown(&pigment.ln_k_deviation), unknown(&pigment.ln_s_deviation));
            let word = match (k, s) {
                (0, 0) => "k and s known in every band".to_owned(),
                _ => format!(
                    "of {BANDS} bands, k is open in {k} and s in {s}: add tints of it in white"
                ),
            };
            vec![pigment.name.clone(), word]
        })
        .collect();
    page.rows(2, &[Column::Left, Column::Left], &rows);
    page.heading("SAMPLES THAT FIT WORST: look whether they were made as stated");
    let mut worst: Vec<_> = fit.samples.iter().collect();
    worst.sort_by(|a, b| b.delta_e_2000.total_cmp(&a.delta_e_2000));
    let rows: Vec<Vec<String>> = worst
        .iter()
        .take(WORST)
        .map(|sample| {
            vec![
                sample.id.clone(),
                format!("{:.2} ΔE00", sample.delta_e_2000),
                format!("counted {:.0} %", 100.0 * sample.weight),
            ]
        })
        .collect();
    page.rows(2, &[Column::Left, Column::Right, Column::Right], &rows);
    page.into_text()
}

fn count(many: usize) -> u32 {
    u32::try_from(many).unwrap_or(u32::MAX)
}

fn spread_row(what: &str, spread: Spread) -> Vec<String> {
    let figure = |value: f64| format!("{value:.2}");
    vec![
        what.to_owned(),
        spread.count.to_string(),
        figure(spread.mean),
        figure(spread.p95),
        figure(spread.max),
    ]
}

/// A fit as JSON.
#[must_use]
pub fn fit_json(fit: &JointFit, held_out: Option<&CrossValidation>) -> Value {
    json!({
        "schema": "pourbook.fit",
        "version": VERSION,
        "first_nm": FIRST_NM,
        "step_nm": STEP_NM,
        "spread": fit.spread(|_| true),
        "cross_validation": held_out.map(|held| json!({
            "groups": held.groups,
            "spread": held.spread,
        })),
        "fit": fit,
    })
}

/// Predictions as JSON.
#[must_use]
pub fn prediction_json(viewed: &Viewed) -> Value {
    json!({
        "schema": "pourbook.prediction",
        "version": VERSION,
        "viewing": viewed.viewing,
        "first_nm": FIRST_NM,
        "step_nm": STEP_NM,
        "spread": viewed.spread,
        "rows": viewed.rows.iter().map(|row| json!({
            "id": row.id,
            "lab": { "l": row.lab.l, "a": row.lab.a, "b": row.lab.b },
            "delta_e_2000": row.delta_e_2000,
            "reflectance": row.reflectance.0.to_vec(),
        })).collect::<Vec<_>>(),
    })
}

/// Predictions as CSV: name, Lab, ΔE00 where the sample was read, and reflectance as fractions.
#[must_use]
pub fn prediction_csv(viewed: &Viewed) -> String {
    let mut text = String::from("id,LAB_L,LAB_A,LAB_B,DE_2000");
    for band in 0..BANDS {
        // Writing to a String never fails.
        let _ = write!(text, ",SPECTRAL_DEC{:.0}", wavelength_nm(band));
    }
    text.push('\n');
    for row in &viewed.rows {
        let delta = row.delta_e_2000.map_or_else(String::new, |delta| format!("{delta:.4}"));
        let (id, lab) = (quoted(&row.id), row.lab);
        let _ = write!(text, "{id},{:.4},{:.4},{:.4},{delta}", lab.l, lab.a, lab.b);
        for value in row.reflectance.iter() {
            let _ = write!(text, ",{value:.6}");
        }
        text.push('\n');
    }
    text
}

/// A cell of CSV (RFC 4180).
fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '\t', '"', '\n', '\r']) || cell.starts_with('#') {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// How predictions agree with readings, in a sentence; `None` where nothing was read.
#[must_use]
pub fn agreement(viewed: &Viewed) -> Option<String> {
    let spread = viewed.spread?;
    Some(format!(
        "{} of {} samples were read: mean {:.2}, 95th percentile {:.2}, worst {:.2} ΔE00 under {}",
        spread.count,
        viewed.rows.len(),
        spread.mean,
        spread.p95,
        spread.max,
        viewed.viewing
    ))
}
