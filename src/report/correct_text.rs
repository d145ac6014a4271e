//! A correction as text for a terminal and as JSON.

use serde_json::{Value, json};

use super::correct_clock::on_schedule_json;
use super::correct_rows::{
    AdditionRow, KeptWords, addition_rows, doses_left_words, doses_made_words, exactly_words,
    how_added_words,
};
use super::look_words::look_line;
use super::mix_head::{AS_WEIGHED, MixHead};
use super::page::{Column, Page, Paint};
use super::plan_json::let_down_json;
use super::plan_json::look_json;
use crate::matching::{Correction, Exactly};
use crate::quantity::Units;

/// What stands over a correction.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectHead {
    /// Which mix, and what is known of it.
    pub mix: MixHead,
    /// Lamps and observer in words.
    pub viewings: Vec<String>,
    /// That it hides less than the recipe; none where it hides as the recipe does.
    pub hides_less: Option<String>,
    /// The system's part B to 100 of part A, by mass: with so much what is left of a let-down cures.
    pub phr: f64,
    /// How much of it to keep for what the job needs, where all of it becomes clearly more than that.
    pub less: Option<KeptWords>,
    /// ΔE00 that is near enough.
    pub within: f64,
    /// ΔE00 that was aimed at, where that is less.
    pub aimed_at: Option<f64>,
}

/// What would restore a recipe exactly, g by name.
pub(super) fn exact_json(exactly: &Exactly) -> Value {
    let parts = ["part A", "part B"].into_iter().chain(exactly.names.iter().map(String::as_str));
    let each =
        parts.zip(&exactly.restored.additions).map(|(name, grams)| (name.to_owned(), json!(grams)));
    Value::Object(each.collect())
}

/// The correction as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn correct_text(head: &CorrectHead, done: &Correction, units: Units, paint: Paint) -> String {
    let mut page = Page::new(paint);
    head.mix.begin(&mut page, "", done.in_time.as_ref(), units);
    // What is refused is told with what to do first.
    let refused = head.mix.is_refused();
    if !refused {
        tell_colour(head, done, &mut page, 0);
    }
    if let Some(words) = &head.hides_less {
        page.hang(0, "CAUTION: ", words);
    }
    head.mix.head_additions(&mut page, units);
    let rows = addition_rows(done);
    let as_weighed = rows.is_empty() && head.mix.as_weighed;
    if rows.is_empty() {
        page.line(2, if as_weighed { AS_WEIGHED } else { "Nothing: it is within tolerance." });
        if !refused && head.mix.too_little.is_none() {
            page.line(2, "Pour it as it is.");
        }
    }
    tell_rows(&rows, &mut page);
    if let Some(words) = how_added_words(done) {
        page.line(2, &words);
    }
    let made = doses_made_words(&done.doses);
    for words in made.into_iter().chain(doses_left_words(&done.doses, head.phr)) {
        page.line(2, &format!("{words}."));
    }
    let ratio = format!("{:.2} % off the system's.", done.ratio_error * 100.0);
    page.line(
        2,
        &if done.is_nothing() {
            format!("A : B is {ratio}")
        } else {
            format!(
                "{} from {} to {}. A : B is then {ratio}",
                head.mix.grows(),
                done.before.show(units),
                done.after.show(units),
            )
        },
    );
    head.mix.tell_first_vessel(&mut page, units);
    head.mix.tell_beside(&mut page, units);
    // What would be missing by arithmetic is what rounding to the scales left off: nobody adds that.
    if let Some(words) = exactly_words(done, units).filter(|_| !head.mix.as_weighed) {
        page.line(2, &words);
    }
    head.mix.tell_vessel(&mut page, done.vessel.as_ref(), units);
    head.mix.tell_clock(&mut page, done.in_time.as_ref());
    if refused {
        tell_colour(head, done, &mut page, 2);
    }
    if let Some(lab) = done.expected {
        page.line(
            2,
            &format!(
                "then it should measure L* {:.1} a* {:.1} b* {:.1} (estimated: as far off the prediction as before)",
                lab.l, lab.a, lab.b
            ),
        );
        page.line(2, &format!("predicted {}", look_line(&done.look_after, units)));
    } else {
        page.line(2, &format!("then {}", look_line(&done.look_after, units)));
    }
    head.mix.tell_at_last(&mut page);
    if let Some(less) = &head.less {
        page.heading("OR LESS, FOR WHAT THE JOB NEEDS");
        page.line(2, &format!("{}. Add to that:", less.keep));
        tell_rows(&less.add, &mut page);
        for words in &less.then {
            page.line(2, words);
        }
    }
    head.mix.tell_reckoned_from(&mut page);
    page.into_text()
}

/// What is added, a row each.
fn tell_rows(rows: &[AdditionRow], page: &mut Page) {
    let cells = |row: &AdditionRow| vec![row.what.clone(), row.weight.clone(), row.how.clone()];
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    page.rows(2, &[Column::Left, Column::Right, Column::Left], &rows);
}

/// How far off its colour is.
fn tell_colour(head: &CorrectHead, done: &Correction, page: &mut Page, indent: usize) {
    let chips =
        format!("{}{}", page.chip(done.look_before.shown), page.chip(done.look_after.shown));
    page.line(
        indent,
        &format!(
            "{chips}its colour: {:.2} ΔE00 off as it stands, {:.2} after ({}; {:.2} is near enough{})",
            done.error_before,
            done.error_after,
            head.viewings.join(", "),
            head.within,
            head.aimed_at.map_or_else(String::new, |aim| format!(
                ", {aim:.2} is aimed at, so that a slip of the scale does not spoil it"
            )),
        ),
    );
}

/// The correction as JSON: schema `pourbook.correct`, version 1.
#[must_use]
pub fn correct_json(head: &CorrectHead, done: &Correction) -> Value {
    let [vessel, beside] = head.mix.stands_json(done.vessel.as_ref());
    let mut told = json!({
        "schema": "pourbook.correct",
        "version": 1,
        "colourway": head.mix.colourway,
        "base": head.mix.base,
        "suspicions": head.mix.suspicions,
        "ratio_off": head.mix.ratio,
        "ceilings_raised": head.mix.raised,
        "lamps": head.viewings,
        "within_delta_e00": head.within,
        "aimed_at_delta_e00": head.aimed_at.unwrap_or(head.within),
        "delta_e00_before": done.error_before,
        "delta_e00_after": done.error_after,
        "aim_lab": { "l": done.aim.l, "a": done.aim.a, "b": done.aim.b },
        "add": {
            "part_a_g": done.part_a_in_all().g(),
            "part_a_besides_let_downs_g": done.part_a.mass.g(),
            "part_b_g": done.part_b.mass.g(),
            "readability_g": done.part_a.readability.g(),
            "scale": done.part_a.scale,
            "part_b_readability_g": done.part_b.readability.g(),
            "part_b_scale": done.part_b.scale,
            "how": how_added_words(done),
            "colorants": done.doses.iter().map(|dose| json!({
                "name": dose.colorant,
                "mass_g": dose.mass.g(),
                "on_scale_g": dose.on_scale().g(),
                "scale": dose.by.scale,
                "let_down_percent": dose.by.let_down.map(|ratio| ratio.percent()),
                "let_down_made": dose.made.as_ref().map(|made| let_down_json(made, head.phr)),
            })).collect::<Vec<_>>(),
        },
        "completes": done.completes,
        "mass_before_g": done.before.g(),
        "mass_after_g": done.after.g(),
        "ratio_error_percent": done.ratio_error * 100.0,
        "loadings_after_percent": done.loadings.iter().map(|(name, loading)| {
            (name.clone(), json!(loading * 100.0))
        }).collect::<serde_json::Map<String, Value>>(),
        "recipe_as_weighed": head.mix.as_weighed,
        "exact_restoration_g": done.exactly.as_ref().map(exact_json),
        "vessel": vessel,
        "beside": beside,
        "less_would_do": head.less.as_ref().map(KeptWords::lines),
        "clock_left_out": head.mix.clock_left_out,
        "clock": done.in_time.as_ref().map(|clock| json!({
            "age_min": clock.age.min(),
            "pot_life_min": clock.pot_life.map(|life| life.min()),
            "pot_life_range_min": clock.range.map(|(least, most)| [least.min(), most.min()]),
            "needed_min": clock.needed.min(),
            "needed_to_correct_min": clock.work.min(),
            "let_downs_made": clock.let_downs,
            "as_planned": clock.on_schedule.as_ref().map(on_schedule_json),
            "verdict": if clock.is_tight() { "tight" } else { "in time" },
            "rests_on": head.mix.clock_rests_on,
        })),
        "expected_lab": done.expected.map(|lab| json!({ "l": lab.l, "a": lab.a, "b": lab.b })),
        "cautions": head.hides_less.iter().collect::<Vec<_>>(),
        "contrast_ratio_of_recipe": done.look_wanted.contrast_ratio,
        "look_before": look_json(&done.look_before),
        "look_after": look_json(&done.look_after),
        "falls_short": done.falls_short.as_ref().map(ToString::to_string),
    });
    merge(&mut told, head.mix.ways_json());
    told
}

/// Adds the keys of one object to another.
pub(super) fn merge(into: &mut Value, from: Value) {
    if let (Value::Object(into), Value::Object(from)) = (into, from) {
        into.extend(from);
    }
}
