//! What is added to a mix, row by row, and what its weights look like: decided once for the correction's text
//! and for its refusal.

use super::let_down_words::{let_down_made_words, let_down_words};
use super::scale_rows::stock_left_words;
use super::time_words::minutes;
use crate::matching::{
    Correction, InTime, Kept, Part, RATIO_WITHIN, RatioOff, Restored, Suspicion, Unmixed,
    WeighedDose,
};
use crate::optics::HIDING_RATIO;
use crate::plan::{left_over_words, part_a_left_over_words};
use crate::quantity::{Length, Mass, Units};

/// One addition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdditionRow {
    /// What is added.
    pub what: String,
    /// How much, as the scale shows it.
    pub weight: String,
    /// On which scale, and how.
    pub how: String,
}

/// All that is added, in the order in which it goes in; nothing where nothing is.
#[must_use]
pub fn addition_rows(done: &Correction) -> Vec<AdditionRow> {
    let parts = [("part A", &done.part_a), ("part B", &done.part_b)];
    let parts = parts.into_iter().filter(|(_, part)| part.mass.g() > 0.0).map(|(what, part)| {
        let weight = part.mass.show_weighed(part.readability);
        AdditionRow { what: what.to_owned(), weight, how: part.scale.clone() }
    });
    let doses = done.doses.iter().map(|dose| AdditionRow {
        what: dose.colorant.clone(),
        weight: dose.on_scale().show_weighed(dose.by.readability),
        how: match dose.by.let_down {
            Some(ratio) => {
                format!("{}, of a {} in part A", dose.by.scale, let_down_words(ratio))
            }
            None => dose.by.scale.clone(),
        },
    });
    parts.chain(doses).collect()
}

/// How the let-downs of some doses are made, a sentence each.
#[must_use]
pub fn doses_made_words(doses: &[WeighedDose]) -> Vec<String> {
    let_down(doses)
        .map(|dose| match &dose.made {
            Some(stock) => let_down_made_words(stock),
            None => format!("{}: no scale of the shop weighs its let-down", dose.colorant),
        })
        .collect()
}

/// What becomes of what is left of these let-downs once they are made, a sentence each; `phr` is the system's part B to
/// 100 of part A.
#[must_use]
pub fn doses_left_words(doses: &[WeighedDose], phr: f64) -> Vec<String> {
    let made = let_down(doses).filter_map(|dose| dose.made.as_ref());
    made.filter_map(|stock| {
        let left = stock_left_words(stock, phr);
        let let_down = let_down_words(stock.ratio);
        (!left.is_empty())
            .then(|| format!("of the {let_down} of {} made so, {left}", stock.colorant))
    })
    .collect()
}

/// Those of some doses that are weighed as let-downs.
fn let_down(doses: &[WeighedDose]) -> impl Iterator<Item = &WeighedDose> {
    doses.iter().filter(|dose| dose.by.let_down.is_some() && dose.mass.g() > 0.0)
}

/// What would restore the recipe exactly, in all and of what, in a sentence; none where it cannot be restored by
/// additions.
#[must_use]
pub fn exactly_words(done: &Correction, units: Units) -> Option<String> {
    if done.completes {
        return Some("That completes the recipe: it is what is missing, and no more.".to_owned());
    }
    if let Some(why) = &done.falls_short {
        return Some(format!(
            "That brings it near, and does not complete the recipe: with all that is missing {why}."
        ));
    }
    done.exactly.as_ref().map(|exactly| restored_words(exactly, units))
}

/// The same of what restores it.
#[must_use]
pub fn restored_words(exactly: &(Restored, Vec<String>), units: Units) -> String {
    let (exact, names) = exactly;
    let of_what: Vec<String> = grams_of(names, &exact.additions)
        .into_iter()
        .map(|(name, weight)| format!("{name} {weight}"))
        .collect();
    let of_what = match &of_what[..] {
        [] => String::new(),
        all => format!(": {}", all.join(", ")),
    };
    format!(
        "To restore the recipe exactly would take {} more in all{of_what}.",
        Mass::from_g(exact.added()).show(units),
    )
}

/// What restores a recipe, an addition each, in the order in which it goes in: what, and its weight by arithmetic.
#[must_use]
pub fn restored_rows(exactly: &(Restored, Vec<String>)) -> Vec<[String; 2]> {
    let (exact, names) = exactly;
    let all = grams_of(names, &exact.additions);
    all.into_iter().map(|(name, weight)| [name.to_owned(), weight]).collect()
}

/// A weight for which no scale is chosen: to 0.1 g, or to 0.01 g below 10 g, where a tenth would be felt.
#[must_use]
pub fn arithmetic_weight(mass: Mass) -> String {
    mass.show_weighed(Mass::from_g(if mass.g() < 10.0 { 0.01 } else { 0.1 }))
}

/// So many g of part A, part B and `names`, each with its weight; what comes to less than 0.01 g is left out.
fn grams_of<'a>(names: &'a [String], grams: &[f64]) -> Vec<(&'a str, String)> {
    let parts = ["part A", "part B"].into_iter().chain(names.iter().map(String::as_str));
    parts
        .zip(grams)
        .map(|(name, grams)| (name, Mass::from_g(*grams)))
        .filter(|(_, mass)| mass.g() >= 0.005)
        .map(|(name, mass)| (name, arithmetic_weight(mass)))
        .collect()
}

/// How far A : B is off as it stands and, once corrected, after that, with why each part is added; none where it is off by
/// no more than weighing may leave it. `to_mass`: more is mixed than is held, to a mass that is asked for.
#[must_use]
pub fn ratio_words(
    off: Option<RatioOff>,
    after: Option<&Correction>,
    to_mass: bool,
) -> Option<String> {
    let off = off.filter(|off| off.by() > RATIO_WITHIN)?;
    let percent = |by: f64| format!("{:.1} %", by * 100.0);
    let (stands, lacking) = match off {
        RatioOff::TooMuchA(by) => {
            (format!("{} too much part A for its part B as it stands", percent(by)), "B")
        }
        RatioOff::TooMuchB(by) => {
            (format!("{} too much part B for its part A as it stands", percent(by)), "A")
        }
        RatioOff::NoA => ("no part A as it stands".to_owned(), "A"),
        RatioOff::NoB => ("no part B as it stands".to_owned(), "B"),
    };
    let after = after.map_or_else(String::new, |done| {
        format!(
            ", {:.2} % off after: part {lacking} is added for that, not for the colour{}",
            done.ratio_error * 100.0,
            other_part_words(done, lacking, to_mass)
        )
    });
    Some(format!("A : B IS OFF: {stands}{after}."))
}

/// Why the part is added too that there is too much of, after the sentence on the one that is lacking; nothing where it is
/// not.
fn other_part_words(done: &Correction, lacking: &str, to_mass: bool) -> String {
    let (other, weighed, in_all) = match lacking {
        "B" => ("A", done.part_a.mass, done.part_a_in_all()),
        _ => ("B", done.part_b.mass, done.part_b.mass),
    };
    if in_all.g() <= 0.0 {
        return String::new();
    }
    if weighed.g() <= 0.0 {
        return ". A little part A comes in all the same, with what is let down in it".to_owned();
    }
    let why = if to_mass {
        "to make up the mass that is asked for"
    } else {
        "to thin what there is too much of"
    };
    format!(". Part {other} is added too: both parts together as fresh resin, {why}")
}

/// That part B is yet to go in, in a sentence.
pub const NO_B_YET: &str =
    "Part B is not in it yet: what is told here counts it among what is added.";

/// How much of a mix to keep for what a job needs, and what to add to that.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptWords {
    /// How much is kept, and how much thrown away.
    pub keep: String,
    /// What is added to it.
    pub add: Vec<AdditionRow>,
    /// What it is then, and how its let-downs are made, a sentence each.
    pub then: Vec<String>,
}

impl KeptWords {
    /// All of it, a line each.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let add =
            self.add.iter().map(|row| format!("ADD {} of {} ({})", row.weight, row.what, row.how));
        std::iter::once(self.keep.clone()).chain(add).chain(self.then.iter().cloned()).collect()
    }
}

/// How much of a mix to keep, and what to add to that.
#[must_use]
pub fn kept_words(kept: &Kept, phr: f64, units: Units) -> KeptWords {
    let done = &kept.correction;
    let made = doses_made_words(&done.doses).into_iter().chain(doses_left_words(&done.doses, phr));
    let then = format!("{} then, {:.2} ΔE00 off.", done.after.show(units), done.error_after);
    KeptWords {
        keep: format!(
            "keep {} of it ({}), well mixed, and {} the other {}",
            kept.mass.show_weighed(kept.readability),
            kept.scale,
            if kept.unmixed.is_some() { "set aside" } else { "throw away" },
            kept.thrown.show(units),
        ),
        add: addition_rows(done),
        then: made.map(|words| format!("{words}.")).chain([then]).collect(),
    }
}

/// What is done with what is not used of a mix, in a sentence; `unmixed` where one part is yet to go into that, or too
/// little of it is in to gel it.
#[must_use]
pub fn not_used_words(unmixed: Option<&Unmixed>, units: Units) -> String {
    let spread = left_over_words(units);
    match unmixed {
        // Mixed off, it heats as any mix does.
        Some(unmixed) => {
            let (lacks, none_in) = (unmixed.lacks.show(units), unmixed.other <= Mass::ZERO);
            let words = match unmixed.part {
                Part::A => part_a_left_over_words(&lacks, none_in),
                Part::B => part_b_left_over_words(&lacks, none_in),
            };
            format!("what is not used is {words}, {spread}")
        }
        None => format!("what is not used is {spread}"),
    }
}

/// What is done with part B in which there is no part A, or too little to gel it, as the end of a sentence: without part
/// A it neither heats nor cures. `part_a` of part A cures it; `none_in`: there is none in it, so that it keeps. (Common
/// practice, no source.)
fn part_b_left_over_words(part_a: &str, none_in: bool) -> String {
    let is = if none_in {
        "part B with what was weighed into it, it keeps closed as part B does, for this recipe alone"
    } else {
        "part B with too little part A to gel, it does not keep"
    };
    format!("{is}; never into the bin wet: mix it off with {part_a} of part A and let it cure")
}

/// That a corrected mix hides less than the recipe, in a sentence; none where it hides as the recipe does.
#[must_use]
pub fn hiding_words(done: &Correction, film: Length, units: Units) -> Option<String> {
    done.hides_less().then(|| {
        let hides = done.look_after.hiding_film.map_or_else(
            || "it hides at no film".to_owned(),
            |film| format!("it hides from {}", film.show_film(units)),
        );
        format!(
            "the corrected mix hides less than the recipe: contrast ratio {:.3} at {}, the recipe's {:.3} ({}); below {HIDING_RATIO} what lies below shows through, and {hides}. Nothing that the ceilings and the house allow keeps it hiding: try it over the primer first, or mix anew",
            done.look_after.contrast_ratio,
            film.show_film(units),
            done.look_wanted.contrast_ratio,
            done.look_after.standing,
        )
    })
}

/// How old a corrected mix is and what of its pot life is left, in a sentence.
#[must_use]
pub fn clock_words(clock: &InTime) -> String {
    let life = clock.pot_life.map_or_else(
        || "longer than a month".to_owned(),
        |life| match clock.range {
            Some((least, most)) => format!(
                "{:.0} min ({:.0}–{:.0}, estimated for the corrected mass)",
                life.min(),
                libm::floor(least.min()),
                libm::ceil(most.min())
            ),
            None => format!("{:.0} min, as its datasheet states it", life.min()),
        },
    );
    format!(
        "B met A {:.0} min ago; pot life {life}; {:.0} min are needed to {}weigh, stir and pour: {}.",
        clock.age.min(),
        clock.needed.min(),
        match clock.let_downs {
            0 => "",
            1 => "make the let-down, ",
            _ => "make the let-downs, ",
        },
        verdict_words(clock),
    )
}

/// What the stated weights look like, in a sentence.
#[must_use]
pub fn suspicion_words(suspicion: &Suspicion) -> String {
    const PARTS: &str = "If that is only how it was typed, type it anew; if the vessel holds it so, correct it as told here";
    match suspicion {
        Suspicion::PartsSwapped => {
            format!(
                "part A and part B look swapped: the other way round they are at the system's ratio. {PARTS}."
            )
        }
        Suspicion::TwiceA => format!(
            "part A looks weighed in twice, or half of part B forgotten: it is twice what part B needs. {PARTS}."
        ),
        Suspicion::TwiceB => format!(
            "part B looks weighed in twice, or half of part A forgotten: it is twice what part A needs. {PARTS}."
        ),
        Suspicion::ReadingForB => format!(
            "part B looks like the scale's reading with part A on it: less part A it is at the system's ratio. {PARTS}."
        ),
        Suspicion::TwiceColorant(name) => {
            format!("{name} looks weighed in twice: it is twice what the base needs.")
        }
        Suspicion::LetDownAsNeat { colorant, ratio, weighed } => {
            let let_down = let_down_words(*ratio);
            let weight = weighed.show_weighed(Mass::from_g(0.01));
            format!(
                "{weight} of neat {colorant} is what a plan would weigh of its {let_down} in part A: if it was that, type it as on its label, --held \"{colorant}, {let_down}={weight}\"."
            )
        }
        Suspicion::ColorantsSwapped(one, other) => {
            format!(
                "{one} and {other} look swapped: each is as much as the base needs of the other."
            )
        }
    }
}

/// Whether a corrected mix is in time, by the estimate and by the least of its pot life.
#[must_use]
pub fn verdict_words(clock: &InTime) -> String {
    let spare = clock.spare().map(|spare| minutes(spare.s()));
    match (spare, clock.late_by_shortest()) {
        (None, _) => "in time".to_owned(),
        (Some(spare), None) if clock.is_tight() => format!("tight: only {spare} to spare"),
        (Some(spare), None) => format!("in time, {spare} to spare"),
        (Some(spare), Some(late)) => format!(
            "tight: in time by the estimate, with {spare} to spare, but late by its shortest pot life: by {}; pour it only while it runs as thin as it did, else it is a left-over: outdoors, thin on foil while cool, no lid",
            minutes(late.s())
        ),
    }
}
