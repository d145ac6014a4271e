//! A correction that is refused and has no way: what stands against it, and what becomes of the mix.

use serde_json::{Value, json};

use super::correct_text::merge;
use super::mix_head::MixHead;
use super::page::{Page, Paint};
use super::restoration_text::colour_unknown_words;
use crate::matching::Uncorrected;
use crate::quantity::Units;

/// What stands against a correction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// More is stated than any vessel holds.
    CannotBe,
    /// Its clock.
    Late,
    /// No additions bring the colour near enough.
    OutOfReach,
    /// The recipe is above a ceiling.
    Recipe,
    /// It holds solvent, and its system takes none.
    Solvent,
    /// It would be more than the house mixes at once.
    TooLarge,
    /// It does not go into its vessel.
    NoVessel,
    /// No scale weighs the additions.
    NotWeighable,
}

impl Against {
    /// What it is that a check refuses; `None` where the ask itself makes no sense.
    #[must_use]
    pub const fn of(why: &Uncorrected) -> Option<Self> {
        Some(match why {
            Uncorrected::TooLate { .. } => Self::Late,
            Uncorrected::OutOfReach { .. } => Self::OutOfReach,
            Uncorrected::WantedExceeds(_) => Self::Recipe,
            Uncorrected::NoSolvent { .. } => Self::Solvent,
            Uncorrected::TooLarge { .. } => Self::TooLarge,
            Uncorrected::NoVessel { .. } => Self::NoVessel,
            Uncorrected::NotWeighable => Self::NotWeighable,
            _ => return None,
        })
    }

    /// The same for machines.
    const fn word(self) -> &'static str {
        match self {
            Self::CannotBe => "cannot be",
            Self::Late => "too late",
            Self::OutOfReach => "out of reach",
            Self::Recipe => "recipe above a ceiling",
            Self::Solvent => "solvent",
            Self::TooLarge => "too large",
            Self::NoVessel => "no vessel",
            Self::NotWeighable => "not weighable",
        }
    }

    /// What the answer begins with.
    const fn headline(self) -> &'static str {
        match self {
            Self::CannotBe => "THAT CANNOT BE",
            Self::Late => "TOO LATE",
            _ => "NO CORRECTION",
        }
    }
}

/// Why there is no correction, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What stands against it.
    pub against: Against,
    /// Why, in a sentence without a full stop.
    pub why: String,
    /// What else stands against it, in sentences.
    pub nor: Vec<String>,
    /// What to do, in sentences.
    pub to_do: Vec<String>,
}

impl Refusal {
    /// Why there is no correction, the headline first; `beside`: what begins that sentence where the answer has another
    /// headline.
    pub(super) fn begin(&self, beside: Option<&str>) -> impl Iterator<Item = String> {
        let why = match beside {
            Some(beside) => format!("{beside}: {}.", self.why),
            None => self.headline(),
        };
        std::iter::once(why).chain(self.nor.iter().cloned())
    }

    fn headline(&self) -> String {
        format!("{}: {}.", self.against.headline(), self.why)
    }

    /// The headline where no vessel holds what is stated; else none.
    pub(super) fn cannot_be(&self) -> Option<String> {
        (self.against == Against::CannotBe).then(|| self.headline())
    }

    /// The same for machines.
    pub(super) fn json(&self) -> Value {
        json!({
            "against": self.against.word(),
            "why": self.why,
            "nor": self.nor,
            "to_do": self.to_do,
        })
    }
}

/// A mix whose correction is refused: its head says why.
#[derive(Debug, Clone, PartialEq)]
pub struct RefusedMix {
    /// Which mix, and what is known of it.
    pub mix: MixHead,
    /// Colorants without optical data; empty where its colour is known.
    pub unseen: Vec<String>,
}

/// The refusal as text, no line longer than [`super::WIDTH`] columns.
#[must_use]
pub fn refusal_text(told: &RefusedMix, units: Units, paint: Paint) -> String {
    let mut page = Page::new(paint);
    let how = if told.unseen.is_empty() { "" } else { ", by proportion alone" };
    told.mix.begin(&mut page, how, None, units);
    let is = |against| told.mix.refusal.iter().any(|refusal| refusal.against == against);
    if !told.unseen.is_empty() && !is(Against::CannotBe) {
        page.line(0, &format!("{}.", colour_unknown_words(&told.unseen)));
    }
    told.mix.tell_held(&mut page, 0);
    page.heading("WHAT TO DO");
    for words in told.mix.refusal.iter().flat_map(|refusal| &refusal.to_do) {
        page.line(2, words);
    }
    // What the clock reckons with may be what is wrong.
    for words in told.mix.clock_rests_on.iter().filter(|_| is(Against::Late)) {
        page.line(2, words);
    }
    page.into_text()
}

/// The refusal for machines: schema `pourbook.correct`, or `pourbook.correct-by-proportion`, version 1.
#[must_use]
pub fn refusal_json(told: &RefusedMix) -> Value {
    let mut answer = json!({
        "schema": if told.unseen.is_empty() {
            "pourbook.correct"
        } else {
            "pourbook.correct-by-proportion"
        },
        "version": 1,
        "colourway": told.mix.colourway,
        "base": told.mix.base,
        "no_optical_data": told.unseen,
        "suspicions": told.mix.suspicions,
        "ratio_off": told.mix.ratio,
        "ceilings_raised": told.mix.raised,
        "add": Value::Null,
        "exact_restoration_g": Value::Null,
        "vessel": Value::Null,
        "beside": Value::Null,
        "clock": Value::Null,
        "clock_left_out": told.mix.clock_left_out,
        "clock_rests_on": told.mix.clock_rests_on,
    });
    merge(&mut answer, told.mix.ways_json());
    answer
}
