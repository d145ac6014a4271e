//! For what a hand waits, in words.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use super::time_words::mix_name;
use crate::plan::Plan;
use crate::plan::run_sheet::{Line, RunSheet, Step};
use crate::suggest::listed;

/// What stands before a step that waits for another hand's: `once hand 1 has tinted slate 1 of 3, `. Empty where it
/// waits for none.
pub(super) fn once_words(plan: &Plan, sheet: &RunSheet, line: &Line) -> String {
    let Some(wait) = line.waits_for else { return String::new() };
    let done = match (wait.step, line.step) {
        (Step::Tint { mix }, Step::Tint { .. }) => {
            format!("hands on the paddle from {}", mix_name(sheet, mix))
        }
        (Step::Tint { mix }, _) => format!("has tinted {}", mix_name(sheet, mix)),
        (Step::Mix { mix } | Step::SecondVessel { mix }, _) => {
            format!("has mixed {} again", mix_name(sheet, mix))
        }
        (Step::Split { mix }, _) => format!("has split {}", mix_name(sheet, mix)),
        (Step::Decant { batch } | Step::Accents { batch }, _) => {
            format!("has filled {}", vessel(plan, sheet, batch))
        }
        (Step::Pour { batch }, _) => format!("has poured {}", vessel(plan, sheet, batch)),
        (Step::CoatUprights, _) => "has coated edges and splashbacks".to_owned(),
        (Step::Mist { .. }, _) => "has misted".to_owned(),
        (Step::ScrapeDrips { .. }, _) => "has scraped the drips".to_owned(),
    };
    format!("once {} {done}, ", hand_words(wait.hand))
}

/// A container, or a mix where mixes are poured as they are.
fn vessel(plan: &Plan, sheet: &RunSheet, batch: usize) -> String {
    if plan.containers.is_some() {
        format!("container {}", batch + 1)
    } else {
        mix_name(sheet, batch)
    }
}

/// Which containers that are poured from `start_s` on other hands are then still filling, as it stands after the pour:
/// ` as hand 2 fills 3–7`, without their numbers where those are all that are `poured`. Empty where none is.
pub(super) fn as_filled_words(
    sheet: &RunSheet,
    hand: usize,
    poured: &BTreeSet<u32>,
    start_s: i64,
) -> String {
    let filled_by_others = sheet.lines.iter().filter_map(|line| {
        let (Step::Decant { batch } | Step::Accents { batch }) = line.step else { return None };
        let container = u32::try_from(batch).ok()?.checked_add(1)?;
        let other = line.workers.iter().copied().find(|other| *other != hand)?;
        (line.end_s > start_s && poured.contains(&container)).then_some((container, other))
    });
    let (waiting, hands): (BTreeSet<u32>, BTreeSet<usize>) = filled_by_others.unzip();
    let hands: Vec<String> = hands.into_iter().map(hand_words).collect();
    let hands: Vec<&str> = hands.iter().map(String::as_str).collect();
    let fills = if hands.len() == 1 { "fills" } else { "fill" };
    let which = match waiting.len() {
        0 => return String::new(),
        1 if poured.len() == 1 => "it".to_owned(),
        all if all == poured.len() => "them".to_owned(),
        _ => spans(&waiting.into_iter().collect::<Vec<_>>()),
    };
    format!(" as {} {fills} {which}", listed(&hands, "and"))
}

/// As the heads of the run sheet number them.
fn hand_words(hand: usize) -> String {
    format!("hand {}", hand + 1)
}
