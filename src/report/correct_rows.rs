//! What is added to a mix, row by row, and what its weights look like: decided once for the correction's text
//! and for its refusal.

use super::let_down_words::{let_down_made_words, let_down_words};
use super::scale_rows::stock_left_words;
use crate::matching::{
    Amount, Correction, Exactly, Expected, Kept, Overfull, Part, RATIO_WITHIN, RatioOff, Slipped,
    Suspicion, Unmixed, VesselAsked, WeighedDose,
};
use crate::optics::HIDING_RATIO;
use crate::plan::{left_over_words, part_a_left_over_words};
use crate::quantity::{Length, Mass, Units};
use crate::suggest::listed;

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

/// How both parts and what else is added go in, in sentences; none where not both parts are added. Resin that is mixed before
/// it goes in leaves no streaks of one part. (Common practice, no source.)
#[must_use]
pub fn both_parts_words([part_a, part_b]: [Mass; 2], colorants: bool) -> Option<String> {
    let then = if colorants {
        "Then stand the vessel on the scale, tare it, add the colorants, and stir as long as a mix"
    } else {
        "Then stir as long as a mix"
    };
    let into = if part_a + part_b > A_CUP { "vessel" } else { "cup" };
    (part_a.g() > 0.0 && part_b.g() > 0.0).then(|| {
        format!("Weigh and mix these parts A and B by themselves in a clean {into}; that goes into the mix. {then}.")
    })
}

/// More resin than this is mixed in no cup. (Common practice, no source.)
const A_CUP: Mass = Mass::from_g(500.0);

/// The same of a correction.
pub(super) fn how_added_words(done: &Correction) -> Option<String> {
    both_parts_words([done.part_a.mass, done.part_b.mass], !done.doses.is_empty())
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
pub fn restored_words(exactly: &Exactly, units: Units) -> String {
    let of_what: Vec<String> = restored_rows(exactly)
        .into_iter()
        .map(|[name, weight]| format!("{name} {weight}"))
        .collect();
    if of_what.is_empty() {
        return format!("The recipe is restored: {WITHIN_A_STEP}.");
    }
    format!(
        "To restore the recipe exactly would take {} more in all: {}{}.",
        exactly.added().show(units),
        of_what.join(", "),
        left_out_words(exactly),
    )
}

/// That what is not told is less than scales show.
const WITHIN_A_STEP: &str = "what else is missing is within a step of the scales";

/// The same as the end of a sentence, where something is left out so.
pub(super) fn left_out_words(exactly: &Exactly) -> String {
    if exactly.leaves_out() { format!("; {WITHIN_A_STEP}") } else { String::new() }
}

/// What restores a recipe, an addition each, in the order in which it goes in: what, and its weight by arithmetic, as far as
/// a scale shows it.
#[must_use]
pub fn restored_rows(exactly: &Exactly) -> Vec<[String; 2]> {
    let all = exactly.weighable().map(|(material, mass, step)| {
        [material.words().to_owned(), mass.show_weighed(step.greater(arithmetic_step(mass)))]
    });
    all.collect()
}

/// A weight for which no scale is chosen: to 0.1 g, or to 0.01 g below 10 g, where a tenth would be felt.
#[must_use]
pub fn arithmetic_weight(mass: Mass) -> String {
    mass.show_weighed(arithmetic_step(mass))
}

fn arithmetic_step(mass: Mass) -> Mass {
    Mass::from_g(if mass.g() < 10.0 { 0.01 } else { 0.1 })
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

/// What becomes of what has been poured of a mix whose A : B is off, in a sentence.
#[must_use]
pub fn poured_off_words(poured: Mass, units: Units) -> String {
    format!(
        "WHAT IS POURED OF IT ALREADY, {}, is off by as much and does not cure as it should: scrape it off while it is wet, and pour those containers anew.",
        poured.show(units)
    )
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
        then: how_added_words(done)
            .into_iter()
            .chain(made.map(|words| format!("{words}.")))
            .chain([then])
            .collect(),
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

/// What the stated weights look like, in sentences; `corrected`: what to do if they are no slip is told with them.
#[must_use]
pub fn suspicion_words(suspicion: &Suspicion, corrected: bool) -> String {
    let parts = "If that is only how it was typed, type it anew";
    let parts = if corrected {
        format!("{parts}; if the vessel holds it so, correct it as told here")
    } else {
        parts.to_owned()
    };
    let as_typed = if corrected { AS_TYPED } else { "" };
    match suspicion {
        Suspicion::PartsSwapped => {
            format!(
                "part A and part B look swapped: the other way round they are at the system's ratio. {parts}."
            )
        }
        Suspicion::TwiceA => format!(
            "part A looks weighed in twice, or half of part B forgotten: it is twice what part B needs. {parts}."
        ),
        Suspicion::TwiceB => format!(
            "part B looks weighed in twice, or half of part A forgotten: it is twice what part A needs. {parts}."
        ),
        Suspicion::ReadingForB => format!(
            "part B looks like the scale's reading with part A on it: less part A it is at the system's ratio. {parts}."
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
        Suspicion::Slipped(slip) => slipped_words(slip, as_typed),
        Suspicion::OtherLetDown { colorant, typed, planned, weighed } => {
            let [typed, planned] = [*typed, *planned].map(let_down_words);
            let weight = weighed.show_weighed(Mass::from_g(0.01));
            format!(
                "{colorant}: did you mean {planned}, as the plan makes it, and not {typed}? Look at its label; if so, type --held \"{colorant}, {planned}={weight}\".{as_typed}"
            )
        }
        Suspicion::MoreThanBought { colorant, held, bought } => {
            let [held, bought] = [held, bought].map(|mass| arithmetic_weight(*mass));
            format!(
                "{held} of {colorant} are more than the {bought} that the plan buys for all of the job. If it is only how it was typed, type it anew.{as_typed}"
            )
        }
        Suspicion::OtherBase { base, anew } => {
            let anew = anew.as_ref().map_or_else(String::new, |mix| {
                format!(" Parts A and B are those of {mix}, which then has to be mixed anew.")
            });
            format!(
                "did you mean the base {base}? The colorants are as that has them, not as this one. If so, type {base} for the base.{anew}"
            )
        }
        Suspicion::OtherVessel { base, mix } => format!(
            "parts A and B are as {mix} has them, the colorants as {base} has them. If the colorants of {base} went into the vessel of {mix}, this serves as {base}, and {mix} has to be mixed anew."
        ),
        Suspicion::OtherMix { named, planned, held, others, fits } => {
            let [planned, held] = [planned, held].map(|parts| parts_words(*parts));
            let fits = match fits {
                Some((other, number)) => format!(
                    "It is as {other} has it: did you mean that? If so, type --mix {number}."
                ),
                None if *others => "No other mix of the plan's has it so either: look at --mix, and at what was typed.".to_owned(),
                None => "Look at what was typed.".to_owned(),
            };
            format!(
                "what is stated does not fit {named}: {held}, and {named} has {planned}. {fits}{as_typed}"
            )
        }
        Suspicion::ColorantsSwapped(one, other) => {
            format!(
                "{one} and {other} look swapped: each is as much as the base needs of the other."
            )
        }
    }
}

/// What is told after a slip that may be none.
const AS_TYPED: &str = " If the vessel holds it as typed, correct it as told here.";

/// Parts A and B of a mix with their weights.
#[must_use]
pub fn parts_words([part_a, part_b]: [Mass; 2]) -> String {
    format!("part A {} and part B {}", typed_weight(part_a), typed_weight(part_b))
}

/// A weight as a person types it: to 0.01 g, without noughts at the end.
fn typed_weight(mass: Mass) -> String {
    if mass >= HUGE {
        return stated_weight(mass);
    }
    let whole = (mass.g() - mass.g().round()).abs() < 0.005;
    mass.show_weighed(Mass::from_g(if whole { 1.0 } else { 0.01 }))
}

/// That an amount looks mistyped, what was likely meant, who says so, and the words to type;
/// `as_typed`: what to do if it is none.
fn slipped_words(slip: &Slipped, as_typed: &str) -> String {
    let Slipped { what, typed, meant, expected, by } = slip;
    let [typed, meant, expected] = [typed, meant, expected].map(|mass| typed_weight(*mass));
    let (name, option) = match what {
        Amount::PartA => ("part A".to_owned(), format!("--part-a \"{meant}\"")),
        Amount::PartB => ("part B".to_owned(), format!("--part-b \"{meant}\"")),
        Amount::Colorant { name, let_down } => {
            let name = let_down
                .map_or_else(|| name.clone(), |ratio| format!("{name}, {}", let_down_words(ratio)));
            (name.clone(), format!("--held \"{name}={meant}\""))
        }
    };
    let whose = match (by, what) {
        (Expected::Plan, _) => "as planned",
        (Expected::OtherPart, Amount::PartA) => "as part B needs",
        (Expected::OtherPart, _) => "as part A needs",
        (Expected::Recipe, _) => "as the recipe has it",
    };
    let whose =
        if meant == expected { whose.to_owned() } else { format!("near the {expected} {whose}") };
    format!("{name} {typed}: did you mean {meant}, {whose}? If so, type {option}.{as_typed}")
}

/// That a mix holds what its base does not and that nothing takes out again, and what to do, in sentences; `left`: what
/// becomes of it else, in a sentence without a full stop; `at_least`: a mass that it is asked to be made up to.
#[must_use]
pub fn foreign_words(
    foreign: &[(String, Mass)],
    base: &str,
    left: &str,
    at_least: Option<Mass>,
) -> Vec<String> {
    let all: Vec<String> = foreign
        .iter()
        .map(|(name, mass)| format!("{} of {name}", arithmetic_weight(*mass)))
        .collect();
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    let words = [
        format!(
            "NOT THE COLOUR OF {base}: it holds {}, which {base} does not, and nothing that is added takes that out.",
            listed(&all, "and")
        ),
        format!(
            "MIX {base} ANEW. Once A : B is right this one cures: pour it only where another colour will do, and a sample of it first, for its colour is not known. Else {left}."
        ),
    ];
    let least = at_least.map(|_| {
        "--at-least is passed over: what is not its colour is not made up to a mass.".to_owned()
    });
    words.into_iter().chain(least).collect()
}

/// That more is stated than its vessel holds, though it may stand in another, in two sentences.
#[must_use]
pub fn overfull_words(over: &Overfull, units: Units) -> String {
    let fills = fills_words(over, units);
    format!(
        "MORE THAN ITS VESSEL HOLDS: {fills}. Look at what was typed first; --vessel states another vessel."
    )
}

/// How much is stated, and that its vessel holds less, in a sentence without a full stop.
#[must_use]
pub fn fills_words(over: &Overfull, units: Units) -> String {
    let size = over.size.show(units);
    let vessel = match over.asked {
        VesselAsked::Stated(_) => format!("its {size} vessel holds"),
        VesselAsked::Planned(_) => format!("the plan's {size} vessel holds"),
        VesselAsked::Smallest => format!("the house's largest vessel, {size}, holds"),
    };
    let fills = over.fills.show(units);
    let fills = if fills == size { format!("a little more than {fills}") } else { fills };
    let mass = if over.mass < HUGE { over.mass.show(units) } else { stated_weight(over.mass) };
    format!("{mass} as stated fill {fills}, and {vessel} no more to its brim")
}

/// From here on a mass is no mass of a mix, and is told by its power of ten.
const HUGE: Mass = Mass::from_g(1e7);

/// A weight as it is stated, to 0.01 g.
#[must_use]
pub fn stated_weight(mass: Mass) -> String {
    if mass < HUGE { mass.show_weighed(Mass::from_g(0.01)) } else { format!("{:.3e} g", mass.g()) }
}
