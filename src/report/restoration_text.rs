//! What brings a mix back by proportion alone, as text for a terminal and as JSON: where a colorant has no optical
//! data, its colour is not known.

use serde_json::{Value, json};

use super::correct_rows::{clock_words, restored_words};
use super::correct_text::exact_json;
use super::page::{Page, Paint};
use crate::matching::ByProportion;
use crate::quantity::{Mass, Units};
use crate::suggest::listed;

/// A mix brought back by proportion, and what it is of.
#[derive(Debug, Clone, PartialEq)]
pub struct Restoration {
    /// The colourway's name.
    pub colourway: String,
    /// The base.
    pub base: String,
    /// How far A : B is off as it stands; none where weighing may leave it so.
    pub ratio: Option<String>,
    /// What is taken to be in the vessel, and what not.
    pub taken: Vec<String>,
    /// What the stated weights look like a slip of, in sentences.
    pub suspicions: Vec<String>,
    /// Ceilings that a job raises, with its reasons.
    pub raised: Vec<String>,
    /// Colorants without optical data.
    pub unseen: Vec<String>,
    /// That B has met A and no clock was reckoned; none where one was, or where there is no B.
    pub clock_left_out: Option<String>,
    /// What its clock reckons with, in words; empty where B has not met A.
    pub clock_rests_on: Vec<String>,
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
    page.title(&format!("Correction of {} of {}, by proportion alone", told.base, told.colourway));
    for words in told.clock_left_out.iter().chain(&told.ratio) {
        page.line(0, words);
    }
    if told.ratio.is_none() {
        page.line(0, "A : B is off by no more than weighing may leave it.");
    }
    page.line(0, &format!("{}.", colour_unknown_words(&told.unseen)));
    for words in told.taken.iter().chain(&told.raised) {
        page.line(0, words);
    }
    for words in &told.suspicions {
        page.hang(0, "SUSPECTED: ", words);
    }
    page.heading("ADD");
    let done = &told.done;
    match &done.exactly {
        Some((exact, _)) if exact.added() < 0.005 => {
            page.line(2, "Nothing: it is the recipe as it stands.");
        }
        Some(exactly) => page.line(2, &restored_words(exactly, units)),
        None => {
            page.line(2, "It holds what the recipe does not: no additions restore it.");
            let parts = ["part A", "part B"].into_iter().zip(done.for_ratio);
            for (part, grams) in parts.filter(|(_, grams)| *grams >= 0.005) {
                let mass = Mass::from_g(grams).show_weighed(Mass::from_g(0.01));
                page.line(2, &format!("To bring A : B right would take {mass} of {part}."));
            }
        }
    }
    if let Some(clock) = &done.in_time {
        page.line(2, &clock_words(clock));
        for words in &told.clock_rests_on {
            page.line(2, words);
        }
    }
    page.line(2, "Arithmetic: no scale is chosen and no let-down reckoned.");
    page.into_text()
}

/// The restoration for machines.
#[must_use]
pub fn restoration_json(told: &Restoration) -> Value {
    let done = &told.done;
    json!({
        "schema": "pourbook.correct-by-proportion",
        "version": 1,
        "colourway": told.colourway,
        "base": told.base,
        "colour": Value::Null,
        "no_optical_data": told.unseen,
        "ratio_off": told.ratio,
        "taken": told.taken,
        "suspicions": told.suspicions,
        "ceilings_raised": told.raised,
        "exact_restoration_g": done.exactly.as_ref().map(exact_json),
        "for_ratio_g": { "part A": done.for_ratio[0], "part B": done.for_ratio[1] },
        "clock": done.in_time.as_ref().map(clock_words),
        "clock_left_out": told.clock_left_out,
        "clock_rests_on": told.clock_rests_on,
    })
}
