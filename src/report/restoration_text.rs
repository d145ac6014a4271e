//! What brings a mix back by proportion alone, as text for a terminal and as JSON: where a colorant has no optical
//! data, its colour is not known.

use serde_json::{Value, json};

use super::correct_clock::clock_words;
use super::correct_rows::{arithmetic_weight, both_parts_words, left_out_words, restored_rows};
use super::correct_text::{exact_json, merge};
use super::mix_head::{AS_WEIGHED, MixHead};
use super::page::{Column, Page, Paint};
use crate::matching::{ByProportion, Exactly};
use crate::plan::Material;
use crate::quantity::{Mass, Units};
use crate::suggest::listed;

/// A mix brought back by proportion, and what it is of.
#[derive(Debug, Clone, PartialEq)]
pub struct Restoration {
    /// Which mix, and what is known of it.
    pub mix: MixHead,
    /// Colorants without optical data.
    pub unseen: Vec<String>,
    /// What is added.
    pub done: ByProportion,
}

/// That the colour of a mix is not known, and how it comes to be: for colorants without optical data.
#[must_use]
pub fn colour_unknown_words(unseen: &[String]) -> String {
    let names: Vec<&str> = unseen.iter().map(String::as_str).collect();
    format!(
        "colour not known: no optical data of {}; `pourbook characterise` makes it from drawdowns",
        listed(&names, "or")
    )
}

/// The restoration as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn restoration_text(told: &Restoration, units: Units, paint: Paint) -> String {
    let mut page = Page::new(paint);
    told.mix.begin(&mut page, ", by proportion alone", told.done.in_time.as_ref(), units);
    if told.mix.ratio.is_none() {
        page.line(0, "A : B is off by no more than weighing may leave it.");
    }
    page.line(0, &format!("{}.", colour_unknown_words(&told.unseen)));
    told.mix.head_additions(&mut page, units);
    let done = &told.done;
    match &done.exactly {
        Some(exactly) if exactly.added() <= Mass::ZERO && told.mix.as_weighed => {
            page.line(2, AS_WEIGHED);
        }
        Some(exactly) if exactly.added() <= Mass::ZERO => {
            let rest = left_out_words(exactly);
            page.line(2, &format!("Nothing: it is the recipe as it stands{rest}."));
        }
        Some(exactly) => {
            let rows: Vec<Vec<String>> =
                restored_rows(exactly).into_iter().map(|row| row.to_vec()).collect();
            page.rows(2, &[Column::Left, Column::Right], &rows);
            if let Some(words) = how_restored_words(exactly) {
                page.line(2, &words);
            }
            let all = exactly.added().show(units);
            let rest = left_out_words(exactly);
            let does = if told.mix.as_weighed {
                "it is the recipe as it stands, and that makes up the mass that is asked for"
            } else {
                "that restores the recipe exactly"
            };
            page.line(2, &format!("{all} more in all: {does}{rest}."));
            // Beside a job it is told with what that needs.
            if told.mix.job.is_none() {
                page.line(2, &format!("It is {} then.", done.after.show(units)));
            }
        }
        None => {
            let parts = ["part A", "part B"].into_iter().zip(done.for_ratio);
            let rows: Vec<Vec<String>> = parts
                .filter(|(_, grams)| *grams > 0.0)
                .map(|(part, grams)| vec![part.to_owned(), arithmetic_weight(Mass::from_g(grams))])
                .collect();
            if rows.is_empty() {
                page.line(2, "Nothing: no additions restore the recipe, and A : B is right.");
            } else {
                page.rows(2, &[Column::Left, Column::Right], &rows);
                page.line(2, "That brings A : B right, so that it cures; it restores no colour.");
            }
        }
    }
    told.mix.tell_first_vessel(&mut page, units);
    told.mix.tell_beside(&mut page, units);
    told.mix.tell_vessel(&mut page, done.vessel.as_ref(), units);
    told.mix.tell_clock(&mut page, done.in_time.as_ref());
    told.mix.tell_at_last(&mut page);
    page.line(2, "Arithmetic: no scale is chosen and no let-down reckoned.");
    told.mix.tell_reckoned_from(&mut page);
    page.into_text()
}

/// How what restores a recipe goes in, where both parts are added.
fn how_restored_words(exactly: &Exactly) -> Option<String> {
    let (mut parts, mut colorants) = ([Mass::ZERO; 2], false);
    for (material, mass, _) in exactly.weighable() {
        match material {
            Material::PartA => parts[0] = mass,
            Material::PartB => parts[1] = mass,
            Material::Colorant(_) => colorants = true,
        }
    }
    both_parts_words(parts, colorants)
}

/// The restoration for machines.
#[must_use]
pub fn restoration_json(told: &Restoration) -> Value {
    let done = &told.done;
    let [vessel, beside] = told.mix.stands_json(done.vessel.as_ref());
    let mut answer = json!({
        "schema": "pourbook.correct-by-proportion",
        "version": 1,
        "colourway": told.mix.colourway,
        "base": told.mix.base,
        "colour": Value::Null,
        "no_optical_data": told.unseen,
        "ratio_off": told.mix.ratio,
        "suspicions": told.mix.suspicions,
        "ceilings_raised": told.mix.raised,
        "recipe_as_weighed": told.mix.as_weighed,
        "exact_restoration_g": done.exactly.as_ref().map(exact_json),
        "how_added": done.exactly.as_ref().and_then(how_restored_words),
        "for_ratio_g": { "part A": done.for_ratio[0], "part B": done.for_ratio[1] },
        "vessel": vessel,
        "beside": beside,
        "clock": done.in_time.as_ref().map(clock_words),
        "clock_left_out": told.mix.clock_left_out,
        "clock_rests_on": told.mix.clock_rests_on,
    });
    merge(&mut answer, told.mix.ways_json());
    answer
}
