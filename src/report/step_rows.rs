//! The run sheet's steps as rows, in order of time: decided once for the text, the printed sheet and the
//! page.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use super::time_words::{clock, mix_name, step_words};
use crate::plan::run_sheet::{RunSheet, Step};
use crate::plan::{MistLiquid, Plan};
use crate::quantity::Units;

/// One line of the run sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepRow {
    /// When it begins, from the moment B first meets A.
    pub start: String,
    /// When it ends.
    pub end: String,
    /// What is done.
    pub words: String,
    /// Who does it; empty where that is not told.
    pub hands: String,
}

/// Steps in order of time. What one hand fills and pours in one go is one line, told in containers by
/// number; a new line begins where a mix is drawn from that was not before.
#[must_use]
pub fn step_rows(plan: &Plan, sheet: &RunSheet, units: Units) -> Vec<StepRow> {
    let mut told: Vec<((i64, usize), StepRow)> = Vec::new();
    for (at, line) in sheet.lines.iter().enumerate() {
        if container_of(&line.step).is_some() {
            continue;
        }
        let hands: Vec<String> =
            line.workers.iter().map(|worker| format!("{}", worker + 1)).collect();
        let row = StepRow {
            start: clock(line.start_s),
            end: clock(line.end_s),
            words: match (&plan.mist, line.step) {
                (Some(mist), Step::Mist { pass: 0 }) => format!(
                    "{}, {} over all passes",
                    step_words(sheet, line.step),
                    mist_words(mist, units)
                ),
                _ => step_words(sheet, line.step),
            },
            hands: format!("hand {}", hands.join(" and ")),
        };
        told.push(((line.start_s, at), row));
    }
    let hands: BTreeSet<usize> =
        sheet.lines.iter().flat_map(|line| line.workers.iter().copied()).collect();
    for hand in hands {
        for go in goes(plan, sheet, hand) {
            let row = StepRow {
                start: clock(go.start_s),
                end: clock(go.end_s),
                words: go.words(plan, sheet),
                hands: format!("hand {}", hand + 1),
            };
            told.push(((go.start_s, go.at), row));
        }
    }
    told.sort_by_key(|(when, _)| *when);
    told.into_iter().map(|(_, row)| row).collect()
}

/// How much is misted over one coat, with its standing.
#[must_use]
pub fn mist_words(mist: &MistLiquid, units: Units) -> String {
    format!("{} of {} ({})", mist.each_coat.show(units), mist.name, MistLiquid::STANDING)
}

/// The container that a step is about, and whether it is poured.
const fn container_of(step: &Step) -> Option<(usize, bool)> {
    match *step {
        Step::Decant { batch } | Step::Accents { batch } => Some((batch, false)),
        Step::Pour { batch } => Some((batch, true)),
        _ => None,
    }
}

/// What one hand fills and pours in one go.
struct Go {
    /// Index of its first line.
    at: usize,
    start_s: i64,
    end_s: i64,
    /// How many mixes have been drawn from by its last container.
    mixes: usize,
    filled: BTreeSet<u32>,
    poured: BTreeSet<u32>,
}

impl Go {
    fn words(&self, plan: &Plan, sheet: &RunSheet) -> String {
        let list = |all: &BTreeSet<u32>| all.iter().copied().collect::<Vec<_>>();
        let (filled, poured) = (list(&self.filled), list(&self.poured));
        if plan.containers.is_none() {
            // Mixes are poured as they are, each as one.
            let all: BTreeSet<u32> = self.filled.union(&self.poured).copied().collect();
            let names: Vec<String> = all
                .into_iter()
                .map(|mix| mix_name(sheet, mix.saturating_sub(1) as usize))
                .collect();
            return format!("pour {}", names.join(", "));
        }
        let noun = |all: &[u32]| if all.len() == 1 { "container" } else { "containers" };
        match (&filled[..], &poured[..]) {
            (filled, poured) if filled == poured => {
                format!("fill and pour {} {}", noun(filled), spans(filled))
            }
            (filled, []) => format!("fill {} {}", noun(filled), spans(filled)),
            ([], poured) => format!("pour {} {}", noun(poured), spans(poured)),
            (filled, poured) => {
                format!("fill {} {}, pour {}", noun(filled), spans(filled), spans(poured))
            }
        }
    }
}

fn goes(plan: &Plan, sheet: &RunSheet, hand: usize) -> Vec<Go> {
    let mut goes: Vec<Go> = Vec::new();
    let mut goes_on = false;
    for (at, line) in sheet.lines.iter().enumerate() {
        if !line.workers.contains(&hand) {
            continue;
        }
        let Some((batch, pours)) = container_of(&line.step) else {
            goes_on = false;
            continue;
        };
        let number = u32::try_from(batch).unwrap_or(u32::MAX).saturating_add(1);
        let mixes = mixes_begun(plan, number);
        if !(goes_on && goes.last().is_some_and(|go| go.mixes >= mixes)) {
            goes.push(Go {
                at,
                start_s: line.start_s,
                end_s: line.end_s,
                mixes,
                filled: BTreeSet::new(),
                poured: BTreeSet::new(),
            });
        }
        goes_on = true;
        if let Some(go) = goes.last_mut() {
            go.end_s = go.end_s.max(line.end_s);
            if pours { &mut go.poured } else { &mut go.filled }.insert(number);
        }
    }
    goes
}

/// How many mixes have been drawn from once this container is filled.
fn mixes_begun(plan: &Plan, container: u32) -> usize {
    plan.fills
        .iter()
        .filter(|fills| {
            fills.portions.first().is_some_and(|portion| portion.containers.0 <= container)
        })
        .count()
}

/// Misting and scraping: what is done when the pour is done, in the words of a narrow place.
#[must_use]
pub fn after_pour_rows(sheet: &RunSheet) -> Vec<StepRow> {
    sheet
        .lines
        .iter()
        .filter(|line| matches!(line.step, Step::Mist { .. } | Step::ScrapeDrips { .. }))
        .map(|line| StepRow {
            start: clock(line.start_s),
            end: clock(line.end_s),
            words: match line.step {
                Step::Mist { pass: 0 } => "mist".to_owned(),
                Step::Mist { .. } => "mist again".to_owned(),
                Step::ScrapeDrips { round } => format!("scrape drips {}", round + 1),
                other => step_words(sheet, other),
            },
            hands: String::new(),
        })
        .collect()
}
