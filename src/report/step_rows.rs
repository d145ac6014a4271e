//! The run sheet's steps as rows, a run of them for each hand: decided once for the text, the printed
//! sheet and the page. Two people's steps in one list cannot be followed by either.

use std::collections::BTreeSet;

use super::fill_rows::{span, spans};
use super::piece_rows::{allowance, allowance_words};
use super::stretches::{container_of, stretches};
use super::time_words::{clock, step_words};
use super::wait_words::once_words;
use crate::plan::run_sheet::{RunSheet, Step};
use crate::plan::{BasePlan, HeldBack, HeldOfOne, MistLiquid, Plan, Source, UprightCoats};
use crate::quantity::Units;
use crate::suggest::listed;

/// One line of the run sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepRow {
    /// When it begins, from the moment B first meets A.
    pub start: String,
    /// When it ends.
    pub end: String,
    /// What is done.
    pub words: String,
}

/// What one hand does, from the first step to the last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepRun {
    /// Who: `hand 1 of 2`; empty where there is one hand alone.
    pub who: String,
    /// In order of time.
    pub rows: Vec<StepRow>,
}

/// Each hand's steps.
#[must_use]
pub fn step_runs(plan: &Plan, sheet: &RunSheet, units: Units) -> Vec<StepRun> {
    let hands: BTreeSet<usize> =
        sheet.lines.iter().flat_map(|line| line.workers.iter().copied()).collect();
    let of = hands.len();
    let run = |hand: usize| StepRun {
        who: if of == 1 { String::new() } else { format!("hand {} of {of}", hand + 1) },
        rows: rows_of(plan, sheet, hand, units),
    };
    hands.iter().copied().map(run).collect()
}

/// Which of the crew have nothing to do, and why more hands do not pour sooner; none where all are busy until the
/// pour nears its end.
#[must_use]
pub fn idle_words(plan: &Plan, sheet: &RunSheet) -> Option<String> {
    let idle = (plan.crew as usize).saturating_sub(sheet.hands());
    let mut all = Vec::new();
    if idle > 0 {
        all.push(format!("{idle} of a crew of {} all the while", plan.crew));
    }
    let (free, end_s) = sheet.free_before_the_end();
    for (hand, from_s) in free {
        all.push(format!(
            "hand {} from {} until the last pour ends at {}",
            hand + 1,
            clock(from_s),
            clock(end_s)
        ));
    }
    let all: Vec<&str> = all.iter().map(String::as_str).collect();
    (!all.is_empty()).then(|| {
        format!(
            "Nothing to do: {}. Each mix is one hand's, one tinting paddle goes from mix to mix, and containers are poured in order, one at a time: more hands do not pour sooner.",
            listed(&all, "and")
        )
    })
}

/// One hand's steps in order of time. What it fills and pours at a stretch is one line, told in containers
/// by number; a new line begins where a mix is drawn from that was not before.
fn rows_of(plan: &Plan, sheet: &RunSheet, hand: usize, units: Units) -> Vec<StepRow> {
    let mut told: Vec<((i64, usize), StepRow)> = Vec::new();
    for (at, line) in sheet.lines.iter().enumerate() {
        if container_of(&line.step).is_some() || !line.workers.contains(&hand) {
            continue;
        }
        let words = match (&plan.mist, line.step) {
            (Some(mist), Step::Mist { pass: 0 }) => format!(
                "{}, {} over all passes",
                step_words(sheet, line.step),
                mist_words(mist, units)
            ),
            (_, Step::Tint { mix }) if sheet.wiped_before.contains(&mix) => {
                format!("wipe the tinting paddle, {}", step_words(sheet, line.step))
            }
            (_, Step::CoatUprights) => plan
                .upright_coats
                .as_ref()
                .map_or_else(|| step_words(sheet, line.step), upright_words),
            _ => step_words(sheet, line.step),
        };
        let row = StepRow {
            start: clock(line.start_s),
            end: clock(line.end_s),
            words: once_words(plan, sheet, line) + &words,
        };
        told.push(((line.start_s, at), row));
    }
    for own in stretches(plan, sheet, hand) {
        let row = StepRow { start: clock(own.start_s), end: clock(own.end_s), words: own.words };
        told.push(((own.start_s, own.at), row));
    }
    told.sort_by_key(|(when, _)| *when);
    told.into_iter().map(|(_, row)| row).collect()
}

/// How much is misted over one coat, with its standing.
#[must_use]
pub fn mist_words(mist: &MistLiquid, units: Units) -> String {
    format!("{} of {} ({})", mist.each_coat.show(units), mist.name, MistLiquid::STANDING)
}

/// With what edges and splashbacks are coated.
#[must_use]
pub fn upright_words(coats: &UprightCoats) -> String {
    let mut all = Vec::new();
    if coats.edges.g() >= 0.5 {
        all.push(format!(
            "edges: draw down what ran over them, about {:.0} g stays",
            coats.edges.g()
        ));
    }
    if let Some(held) = &coats.splashbacks {
        all.push(format!(
            "splashbacks: stir and brush on the {:.0} g held back from {}",
            held.mass.g(),
            source_words(&held.from)
        ));
    }
    all.join("; ")
}

/// What has to be held back before the last container is poured; none without splashbacks.
#[must_use]
pub fn hold_back_words(plan: &Plan) -> Option<String> {
    plan.upright_coats.as_ref()?.splashbacks.as_ref().map(|held| {
        format!(
            "Hold back about {:.0} g of {} for the splashbacks{}. Stir it before brushing, for layers cannot be brushed on: its colour is then the mean of {}.",
            held.mass.g(),
            source_words(&held.from),
            each_words(plan, held),
            if held.each.is_empty() { "that mix" } else { "the layers left in it" }
        )
    })
}

/// The same in the few words that there is room for above a bench.
#[must_use]
pub fn hold_back_brief(coats: &UprightCoats) -> Option<String> {
    coats.splashbacks.as_ref().map(|held| {
        format!(
            "Hold back {:.0} g of {} for splashbacks; stir before brushing",
            held.mass.g(),
            source_words(&held.from)
        )
    })
}

/// Container by container, where not the whole of one is held back: ` (pour 47 g of 33, hold back 362 g)`, or, where what
/// is not held back is allowance, ` (34 g more of 33 are allowance)`.
fn each_words(plan: &Plan, held: &HeldBack) -> String {
    let over = |container: u32| {
        allowance(plan)?.from.iter().find(|one| one.container == container).map(|one| one.mass)
    };
    let words = |one: &HeldOfOne| match over(one.container) {
        Some(mass) => format!("{:.0} g more of {} are allowance", mass.g(), one.container),
        None => format!("pour {}", part_words(one)),
    };
    let parts: Vec<String> = held.each.iter().filter(|one| is_part(one)).map(words).collect();
    if parts.is_empty() { String::new() } else { format!(" ({})", parts.join("; ")) }
}

/// When the allowance is poured, where there is one piece alone: of several it stands with them.
#[must_use]
pub fn allowance_last_words(plan: &Plan) -> Option<String> {
    let over = allowance(plan).filter(|_| plan.pieces.is_empty())?;
    let in_all = match over.from[..] {
        [_] => String::new(),
        _ => format!(", {:.0} g in all", over.mass.g()),
    };
    Some(format!(
        "The allowance is poured last, and only where the film is still too thin: {}{in_all}.",
        allowance_words(plan, &over.from),
    ))
}

/// The same in the few words that there is room for above a bench: one line with [`hold_back_brief`].
#[must_use]
pub fn allowance_brief(plan: &Plan) -> Option<String> {
    let over = allowance(plan).filter(|_| plan.pieces.is_empty())?;
    let numbers: Vec<u32> = over.from.iter().map(|one| one.container).collect();
    Some(format!("allowance ({}) last, only where still too thin", spans(&numbers)))
}

/// Whether something worth pouring goes out of a container of which the rest is held back.
fn is_part(one: &HeldOfOne) -> bool {
    one.poured.g() >= 0.5
}

/// `47 g of 33, hold back 362 g`.
fn part_words(one: &HeldOfOne) -> String {
    let HeldOfOne { container, held, poured } = one;
    format!("{:.0} g of {container}, hold back {:.0} g", poured.g(), held.g())
}

/// What is poured of some containers whether or not the film stands: `23–32 and 47 g of 33, hold back 362 g`, or, where
/// some of it is allowance, `23–30 and 204 g of 31, hold back 362 g of 33`. All of them where all is allowance.
pub(super) fn poured_words(plan: &Plan, numbers: &BTreeSet<u32>) -> String {
    let held_of = |number: u32| plan.upright_coats.as_ref().and_then(|coats| coats.held_of(number));
    let over = allowance(plan);
    let all_is_over = over.is_some() && !goes_out_first(plan, numbers);
    let (mut whole, mut parts, mut kept) = (Vec::new(), Vec::new(), Vec::new());
    let mut held_too = String::new();
    for &number in numbers {
        if let Some(over) = over.filter(|over| over.from.iter().any(|one| one.container == number))
        {
            if all_is_over {
                whole.push(number);
            } else if let Some(first) = over.split.filter(|one| one.container == number) {
                parts.push(format!("{:.0} g of {number}", first.mass.g()));
            }
            if let Some(one) = held_of(number) {
                held_too += &format!(", hold back {:.0} g of {number}", one.held.g());
            }
            continue;
        }
        match held_of(number) {
            None => whole.push(number),
            Some(one) if is_part(&one) => parts.push(part_words(&one)),
            Some(_) => kept.push(number),
        }
    }
    let mut words: Vec<String> = Vec::new();
    if !whole.is_empty() {
        words.push(spans(&whole));
    }
    words.extend(parts);
    let poured = if words.is_empty() { "none".to_owned() } else { words.join(" and ") };
    let poured = poured + &held_too;
    if kept.is_empty() { poured } else { format!("{poured}; hold back all of {}", spans(&kept)) }
}

/// Whether something of some containers is poured whether or not the film stands: not all of it is allowance or held
/// back.
pub(super) fn goes_out_first(plan: &Plan, numbers: &BTreeSet<u32>) -> bool {
    let over = |number: u32| {
        let own = allowance(plan)?;
        own.from.iter().find(|one| one.container == number).map(|_| own)
    };
    let held = |number: u32| plan.upright_coats.as_ref().and_then(|coats| coats.held_of(number));
    numbers.iter().any(|&number| match over(number) {
        Some(over) => over.split.is_some_and(|one| one.container == number),
        None => held(number).is_none_or(|one| is_part(&one)),
    })
}

/// What a container's label says where something of it is held back for the splashbacks.
#[must_use]
pub fn hold_back_label(plan: &Plan, container: u32) -> Option<String> {
    let one = plan.upright_coats.as_ref()?.held_of(container)?;
    let (all, stir) = if is_part(&one) { ("", "stir that") } else { (" (all of it)", "stir") };
    Some(format!("HOLD BACK {:.0} g{all}: {stir}, brush on splashbacks", one.held.g()))
}

/// What a mix's label says where something of the last mix of its base is held back for the splashbacks.
#[must_use]
pub fn hold_back_mix_label(plan: &Plan, base: &BasePlan, number: u32) -> Option<String> {
    let held = plan.upright_coats.as_ref()?.splashbacks.as_ref()?;
    let own = matches!(&held.from, Source::LastMix(name) if *name == base.name);
    (own && number == base.number())
        .then(|| format!("HOLD BACK {:.0} g: brush on splashbacks", held.mass.g()))
}

fn source_words(from: &Source) -> String {
    match from {
        Source::Containers(first, last) if first == last => format!("container {first}"),
        Source::Containers(first, last) => format!("containers {}", span((*first, *last))),
        Source::LastMix(base) => format!("the last mix of {base}"),
    }
}

/// Upright faces, misting and scraping: what is done when the pour is done, in the words of a narrow place.
#[must_use]
pub fn after_pour_rows(plan: &Plan, sheet: &RunSheet) -> Vec<StepRow> {
    let uprights = match &plan.upright_coats {
        Some(coats) if coats.edges.g() < 0.5 => "splashbacks",
        Some(coats) if coats.splashbacks.is_none() => "edges",
        _ => "edges, splash",
    };
    sheet
        .lines
        .iter()
        .filter(|line| {
            matches!(line.step, Step::CoatUprights | Step::Mist { .. } | Step::ScrapeDrips { .. })
        })
        .map(|line| StepRow {
            start: clock(line.start_s),
            end: clock(line.end_s),
            words: match line.step {
                Step::CoatUprights => uprights.to_owned(),
                Step::Mist { pass: 0 } => "mist".to_owned(),
                Step::Mist { .. } => "mist again".to_owned(),
                Step::ScrapeDrips { round } => format!("scrape drips {}", round + 1),
                other => step_words(sheet, other),
            },
        })
        .collect()
}
