//! Recipes for a wanted colour, as text for a terminal and as JSON.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::correct_rows::doses_made_words;
use super::let_down_words::let_down_words;
use super::look_words::look_line;
use super::page::{Column, Page, Paint};
use super::plan_json::{let_down_json, look_json};
use crate::colour::{Lab, Srgb8};
use crate::matching::{Answer, Candidate, Lack, Reach, WeighedBatch};
use crate::quantity::{Fraction, Length, Mass, Money, Units, Volume};

/// What stands over the recipes.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchHead {
    /// The target in words.
    pub target: String,
    /// How the target was understood, where it might have been meant otherwise.
    pub notes: Vec<String>,
    /// Ceilings that a job raises, with its reasons.
    pub raised: Vec<String>,
    /// What is in stock of colorants, where it was said.
    pub stock: BTreeMap<String, Mass>,
    /// The resin system's name.
    pub system: String,
    /// The film.
    pub film: Length,
    /// The primer as a screen's colour.
    pub primer: Srgb8,
    /// Lamps and observer in words, in order.
    pub viewings: Vec<String>,
    /// Weights of the lamps.
    pub weights: Vec<f64>,
    /// How many colorants were chosen from.
    pub choice: usize,
    /// ΔE00 that counts as a match in this shop.
    pub within: f64,
    /// How near under a ceiling a caution begins, as a part of the ceiling.
    pub near_ceiling: Fraction,
}

/// The recipes as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn match_text(head: &MatchHead, answer: &Answer, units: Units, paint: Paint) -> String {
    let mut page = Page::new(paint);
    let chip = answer.aimed.shown.first().map_or_else(String::new, |shown| page.chip(*shown));
    page.title(&format!("{chip}Match for {}", head.target));
    page.line(
        0,
        &format!(
            "{} · film {} · primer {} · {} colorants to choose from, all {} combinations of them looked at",
            head.system,
            head.film.show_film(units),
            head.primer,
            head.choice,
            answer.combinations,
        ),
    );
    let aims: Vec<String> = head
        .viewings
        .iter()
        .zip(&answer.aimed.labs)
        .zip(&head.weights)
        .map(|((viewing, lab), weight)| format!("{viewing} {} (weight {weight})", lab_words(*lab)))
        .collect();
    page.line(0, &format!("aimed at {}", aims.join("; ")));
    if head.viewings.len() > 1 {
        page.line(
            0,
            &format!(
                "A match is within {} ΔE00 in the mean of these lamps: the root of the mean square, by their weights.",
                head.within
            ),
        );
    }
    if !answer.aimed.known {
        page.line(
            0,
            "The target is a colour, not a spectrum: under further lamps its smoothest reflectance stands in for it.",
        );
    }
    for words in head.notes.iter().chain(&head.raised) {
        page.line(0, words);
    }
    if !head.stock.is_empty() {
        let stock: Vec<String> =
            head.stock.iter().map(|(name, mass)| format!("{name} {}", mass.show(units))).collect();
        page.line(0, &format!("in stock, no more: {}", stock.join(", ")));
    }
    if answer.candidates.is_empty() {
        page.line(0, "No recipe was found.");
    }
    if answer.none_hides(head.within) {
        let nearest = answer.nearest_that_hides(head.within).map_or_else(
            || "Nor does any that comes near.".to_owned(),
            |at| format!("The nearest that hides, beyond the tolerance, is number {}.", at + 1),
        );
        page.line(
            0,
            &format!(
                "No recipe within tolerance hides what lies below: the primer shows through those that match. {nearest}"
            ),
        );
    }
    for (at, candidate) in answer.candidates.iter().enumerate() {
        let only_hides = answer.nearest_that_hides(head.within) == Some(at);
        write_candidate(&mut page, at + 1, candidate, (head, only_hides), units);
    }
    if let Some(reach) = &answer.reach {
        write_reach(&mut page, reach);
    }
    page.into_text()
}

fn lab_words(lab: Lab) -> String {
    let [l, a, b] = lab.to_array().map(|c| (c * 10.0).round() / 10.0 + 0.0);
    format!("L* {l:.1} a* {a:.1} b* {b:.1}")
}

fn write_candidate(
    page: &mut Page,
    number: usize,
    candidate: &Candidate,
    (head, only_hides): (&MatchHead, bool),
    units: Units,
) {
    let chip = candidate.looks.first().map_or_else(String::new, |look| page.chip(look.shown));
    let each: Vec<String> = head
        .viewings
        .iter()
        .zip(&candidate.delta_e)
        .map(|(viewing, delta)| format!("{delta:.2} {viewing}"))
        .collect();
    let verdict = match (candidate.error <= head.within, only_hides) {
        (true, _) => "a match",
        (false, true) => "beyond the shop's tolerance, the nearest that hides",
        (false, false) => "beyond the shop's tolerance",
    };
    let mean = match each.len() {
        1 => String::new(),
        _ => format!(", mean {:.2}", candidate.error),
    };
    page.heading(&format!("{chip}{number}. ΔE00 {}{mean}: {verdict}", each.join(", ")));
    let rows: Vec<Vec<String>> = candidate
        .doses
        .iter()
        .enumerate()
        .map(|(at, dose)| {
            let weighed = candidate.weighed.as_ref().and_then(|batch| batch.doses.get(at));
            let weight = weighed.map_or_else(String::new, |dose| {
                let shown = dose.on_scale().show_weighed(dose.by.readability);
                match dose.by.let_down {
                    Some(ratio) => {
                        format!("{shown} of a {}, {}", let_down_words(ratio), dose.by.scale)
                    }
                    None => format!("{shown}, {}", dose.by.scale),
                }
            });
            let moves = candidate
                .sensitivity
                .get(at)
                .map_or_else(String::new, |s| format!("1 % more moves it {s:.2} ΔE00"));
            vec![dose.colorant.clone(), format!("{:.4} %", dose.loading * 100.0), weight, moves]
        })
        .collect();
    if rows.is_empty() {
        page.line(4, "no colorant at all: the clear film over this primer");
    }
    page.rows(4, &[Column::Left, Column::Right, Column::Right, Column::Left], &rows);
    if let Some(batch) = &candidate.weighed {
        page.line(4, &batch_words(batch, candidate));
        for words in doses_made_words(&batch.doses) {
            page.line(4, &format!("{words}."));
        }
    }
    if let Some(look) = candidate.looks.first() {
        page.line(4, &look_line(look, units));
    }
    if !candidate.hides() {
        page.line(
            4,
            "The primer shows through: the colour holds over this primer, in this film only.",
        );
    }
    let cost = candidate
        .cost_per_litre
        .map_or_else(|| "no price for all of it".to_owned(), |cost| per_volume(cost, units));
    let fullest = candidate.fullest().map_or_else(String::new, |standing| {
        format!(
            " · {:.0} % of its nearest ceiling used ({})",
            standing.used().max(0.0) * 100.0,
            standing.route.words()
        )
    });
    page.line(
        4,
        &format!("worst further lamp {:.2} ΔE00 · {cost}{fullest}", candidate.lamp_change()),
    );
    if candidate.is_near_a_ceiling(head.near_ceiling.value()) {
        page.hang(
            4,
            "caution: ",
            &format!(
                "within {} of a ceiling: accents have no room beside it, and a slip of the scale exceeds it",
                head.near_ceiling.show(units)
            ),
        );
    }
    if let Some(lines) = base_ron(candidate, number) {
        page.line(4, "as a base of a colourway file:");
        for line in lines {
            page.verbatim(6, &line);
        }
    }
}

/// What so much a litre is in the unit that resin is bought by.
fn per_volume(per_litre: Money, units: Units) -> String {
    let litres = Volume::from_gal(1.0).l();
    match (units, Money::new(per_litre.amount() * litres, per_litre.currency())) {
        (Units::Us, Ok(per_gallon)) => format!("{} a gallon", per_gallon.show()),
        _ => format!("{} a litre", per_litre.show()),
    }
}

/// A recipe as an entry of a colourway's `bases`, a line a colorant. Loadings are cut to a millionth of a
/// percent, never rounded up, so that what keeps a ceiling here keeps it there. The clear film has no
/// colorants to write down.
fn base_ron(candidate: &Candidate, number: usize) -> Option<Vec<String>> {
    if candidate.doses.is_empty() {
        return None;
    }
    let mut lines = vec![format!("\"match {number}\": (colorants: {{")];
    lines.extend(candidate.doses.iter().map(|dose| {
        let percent = (dose.loading * 1e8 + 1e-6).floor() / 1e6;
        let figure = format!("{percent:.6}");
        let figure = figure.trim_end_matches('0').trim_end_matches('.');
        format!("    \"{}\": \"{figure} %\",", dose.colorant)
    }));
    lines.push("}),".to_owned());
    Some(lines)
}

fn batch_words(batch: &WeighedBatch, candidate: &Candidate) -> String {
    let step = batch.readability;
    let apart = if batch.part_a_apart() < batch.part_a { " besides let-downs" } else { "" };
    format!(
        "part A {}{apart}, part B {}; before weighing {:.2} ΔE00",
        batch.part_a_apart().show_weighed(step),
        batch.part_b.show_weighed(step),
        candidate.exact_error,
    )
}

fn write_reach(page: &mut Page, reach: &Reach) {
    page.heading("OUT OF REACH");
    let lacks: Vec<String> = reach.lacks.iter().map(lack_words).collect();
    page.line(
        2,
        &format!(
            "The nearest that these colorants and ceilings allow stays {:.1} ΔE00 away. The target is {}.",
            reach.error,
            if lacks.is_empty() { "off in several ways at once".to_owned() } else { lacks.join(", ") },
        ),
    );
    if reach.helpers.is_empty() {
        page.line(2, "No further colorant of the shelf would bring it nearer.");
    }
    for helper in &reach.helpers {
        page.hang(2, "- ", &format!("with {}: {:.2} ΔE00", helper.colorant, helper.error));
    }
}

fn lack_words(lack: &Lack) -> String {
    match lack {
        Lack::Lighter(by) => format!("lighter by {by:.1} L*"),
        Lack::Darker(by) => format!("darker by {by:.1} L*"),
        Lack::MoreChroma(by) => format!("stronger by {by:.1} of chroma"),
        Lack::LessChroma(by) => format!("weaker by {by:.1} of chroma"),
        Lack::Hue { by_deg, towards } => {
            format!("{:.0}° of hue nearer to {towards}", by_deg.abs())
        }
    }
}

/// The recipes as JSON: schema `pourbook.match`, version 1.
#[must_use]
pub fn match_json(head: &MatchHead, answer: &Answer) -> Value {
    json!({
        "schema": "pourbook.match",
        "version": 1,
        "target": head.target,
        "notes": head.notes,
        "ceilings_raised": head.raised,
        "stock_g": head.stock.iter().map(|(name, mass)| (name.clone(), json!(mass.g())))
            .collect::<serde_json::Map<String, Value>>(),
        "target_spectrum_known": answer.aimed.known,
        "target_reflectance_380_730_by_10_nm": answer.aimed.reflectance.0.to_vec(),
        "system": head.system,
        "film_mm": head.film.mm(),
        "primer": head.primer.to_string(),
        "within_delta_e00": head.within,
        "lamps": head.viewings.iter().zip(&head.weights).zip(&answer.aimed.labs).map(
            |((viewing, weight), lab)| json!({
                "viewing": viewing, "weight": weight, "target_lab": lab_json(*lab),
            })).collect::<Vec<_>>(),
        "combinations": answer.combinations,
        "ruled_out": answer.ruled_out,
        "recipes": answer.candidates.iter().zip(1..).map(
            |(candidate, number)| candidate_json(candidate, number, head)).collect::<Vec<_>>(),
        "out_of_reach": answer.reach.as_ref().map(|reach| json!({
            "delta_e00": reach.error,
            "target_is": reach.lacks.iter().map(lack_words).collect::<Vec<_>>(),
            "would_help": reach.helpers.iter().map(|helper| json!({
                "colorant": helper.colorant, "delta_e00": helper.error,
            })).collect::<Vec<_>>(),
        })),
    })
}

fn lab_json(lab: Lab) -> Value {
    json!({ "l": lab.l, "a": lab.a, "b": lab.b })
}

/// Part B to 100 of part A, as weighed.
fn phr(batch: &WeighedBatch) -> f64 {
    batch.part_b.g() / batch.part_a.g() * 100.0
}

fn candidate_json(candidate: &Candidate, number: usize, head: &MatchHead) -> Value {
    json!({
        "colorants": candidate.doses.iter().enumerate().map(|(at, dose)| json!({
            "name": dose.colorant,
            "loading_percent": dose.loading * 100.0,
            "loading_as_weighed_percent": dose.weighed_loading * 100.0,
            "delta_e00_for_1_percent_more": candidate.sensitivity.get(at),
            "weighed": candidate.weighed.as_ref().and_then(|batch| Some((batch, batch.doses.get(at)?))).map(
                |(batch, dose)| json!({
                    "mass_g": dose.mass.g(),
                    "on_scale_g": dose.on_scale().g(),
                    "scale": dose.by.scale,
                    "readability_g": dose.by.readability.g(),
                    "let_down_percent": dose.by.let_down.map(|ratio| ratio.percent()),
                    "let_down_made": dose.made.as_ref().map(|made| let_down_json(made, phr(batch))),
                })),
        })).collect::<Vec<_>>(),
        "batch": candidate.weighed.as_ref().map(|batch| json!({
            "part_a_g": batch.part_a.g(),
            "part_a_besides_let_downs_g": batch.part_a_apart().g(),
            "part_b_g": batch.part_b.g(),
            "readability_g": batch.readability.g(),
        })),
        "delta_e00": head.viewings.iter().zip(&candidate.delta_e).map(|(viewing, delta)| json!({
            "viewing": viewing, "delta_e00": delta,
        })).collect::<Vec<_>>(),
        "weighted_delta_e00": candidate.error,
        "weighted_delta_e00_before_weighing": candidate.exact_error,
        "worst_further_lamp_delta_e00": candidate.lamp_change(),
        "hides": candidate.hides(),
        "within_tolerance": candidate.error <= head.within,
        "as_base": base_ron(candidate, number).map(|lines| lines.join("\n")),
        "cost_per_litre": candidate.cost_per_litre.map(|cost| json!({
            "amount": cost.amount(), "currency": cost.currency().to_string(),
        })),
        "looks": candidate.looks.iter().map(look_json).collect::<Vec<_>>(),
        "near_a_ceiling": candidate.is_near_a_ceiling(head.near_ceiling.value()),
        "ceilings": candidate.standings.iter().map(|standing| json!({
            "route": standing.route.words(),
            "value_percent": standing.value * 100.0,
            "ceiling_percent": standing.ceiling * 100.0,
        })).collect::<Vec<_>>(),
    })
}
