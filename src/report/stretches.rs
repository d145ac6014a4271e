//! What a hand fills and pours at a stretch, in words: which containers, in which order, from which mixes.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use super::piece_rows::{LEAST_TOLD_G, allowance, allowance_words, onto_words};
use super::step_rows::{goes_out_first, poured_words};
use super::time_words::mix_name;
use super::wait_words::{as_filled_words, once_words};
use crate::plan::run_sheet::{Line, RunSheet, Step};
use crate::plan::{FromContainer, MixFills, Plan};
use crate::suggest::listed;

/// More turns than this are told in several lines.
const MOST_TURNS: usize = 4;

/// A line of a run sheet about containers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stretch {
    /// Index of its first step.
    pub(super) at: usize,
    /// When it begins, s.
    pub(super) start_s: i64,
    /// When it ends, s.
    pub(super) end_s: i64,
    /// What is done.
    pub(super) words: String,
}

/// Containers that one hand fills, or pours, one after another with nothing between.
#[derive(Debug, Clone)]
struct Turn {
    pours: bool,
    containers: BTreeSet<u32>,
    at: usize,
    start_s: i64,
    end_s: i64,
}

impl Turn {
    /// Its container, where it has one alone.
    fn only(&self) -> Option<u32> {
        let mut all = self.containers.iter();
        all.next().copied().filter(|_| all.next().is_none())
    }
}

/// The container that a step is about, and whether it is poured.
pub(super) const fn container_of(step: &Step) -> Option<(usize, bool)> {
    match *step {
        Step::Decant { batch } | Step::Accents { batch } => Some((batch, false)),
        Step::Pour { batch } => Some((batch, true)),
        _ => None,
    }
}

/// What one hand fills and pours, line by line.
pub(super) fn stretches(plan: &Plan, sheet: &RunSheet, hand: usize) -> Vec<Stretch> {
    let mut all = Vec::new();
    let last = last_poured(sheet);
    for turns in goes(plan, sheet, hand) {
        if plan.containers.is_none() {
            let words = mixes_words(plan, sheet, &turns);
            let over = over_words(plan, &[&turns[..]], last);
            let words = once_first(plan, sheet, &[&turns[..]]) + &words;
            all.extend(stretch(&[&turns[..]], words + &over));
            continue;
        }
        let held = |number: u32| {
            plan.upright_coats.as_ref().is_some_and(|coats| coats.held_of(number).is_some())
        };
        for phases in phases(&turns, held).chunks(MOST_TURNS) {
            let told = phases.iter().enumerate();
            let told: Vec<String> = told
                .map(|(at, own)| {
                    let mut told = phase_words(plan, own, at == 0);
                    // Beside what is poured, before what is held back of it.
                    let held = told.find(", hold back").or_else(|| told.find("; hold back"));
                    told.insert_str(held.unwrap_or(told.len()), &filled_words(sheet, hand, own));
                    told
                })
                .collect();
            let mut words = told.join(", then ");
            if let Some(mixes) = mixes_of(plan, phases.iter().copied().flatten()) {
                words = format!("from {mixes}: {words}");
            }
            let poured = phases.iter().copied().flatten().filter(|turn| turn.pours);
            let poured = poured.flat_map(|turn| turn.containers.iter().copied()).collect();
            if let Some(onto) = onto_words(plan, &poured) {
                words = format!("{words} ({onto})");
            }
            let words = once_first(plan, sheet, phases) + &words;
            all.extend(stretch(phases, words + &over_words(plan, phases, last)));
        }
    }
    all
}

/// For what the first of some turns waits, but for the filling of a container that it pours.
fn once_first(plan: &Plan, sheet: &RunSheet, phases: &[&[Turn]]) -> String {
    let first = phases.iter().copied().flatten().next().and_then(|turn| sheet.lines.get(turn.at));
    let fills = |line: &&Line| {
        let waits = line.waits_for.map(|wait| wait.step);
        matches!(waits, Some(Step::Decant { .. } | Step::Accents { .. }))
    };
    first
        .filter(|line| plan.containers.is_none() || !fills(line))
        .map_or_else(String::new, |line| once_words(plan, sheet, line))
}

/// Which of what a hand pours in these turns other hands fill meanwhile.
fn filled_words(sheet: &RunSheet, hand: usize, turns: &[Turn]) -> String {
    let pours = || turns.iter().filter(|turn| turn.pours);
    let poured = pours().flat_map(|turn| turn.containers.iter().copied()).collect();
    pours()
        .map(|turn| turn.start_s)
        .min()
        .map_or_else(String::new, |start_s| as_filled_words(sheet, hand, &poured, start_s))
}

/// The number of the container, or of the mix where mixes are poured as they are, that is poured last of all.
fn last_poured(sheet: &RunSheet) -> Option<u32> {
    let poured = sheet.lines.iter().filter_map(|line| match line.step {
        Step::Pour { batch } => Some((line.end_s, batch)),
        _ => None,
    });
    let (_, batch) = poured.max()?;
    u32::try_from(batch).ok()?.checked_add(1)
}

/// What of these turns' containers is allowance, which is poured last of all and only where it is wanted, and at the
/// last pour how much of all that is made is kept back else.
fn over_words(plan: &Plan, phases: &[&[Turn]], last: Option<u32>) -> String {
    if plan.left_over.g() < LEAST_TOLD_G {
        return String::new();
    }
    let poured_in = |turns: &[Turn]| -> BTreeSet<u32> {
        let poured = turns.iter().filter(|turn| turn.pours);
        poured.flat_map(|turn| turn.containers.iter().copied()).collect()
    };
    let poured: BTreeSet<u32> = phases.iter().flat_map(|turns| poured_in(turns)).collect();
    let is_last = last.is_some_and(|last| poured.contains(&last));
    let left = plan.left_over.g();
    let Some(over) = allowance(plan) else {
        return if is_last {
            format!(
                "; keep back the rest once the film is thick enough everywhere: about {left:.0} g, mixing vessels included"
            )
        } else {
            String::new()
        };
    };
    let holds =
        |numbers: &BTreeSet<u32>| over.from.iter().any(|one| numbers.contains(&one.container));
    if !is_last {
        let own: Vec<FromContainer> =
            over.from.iter().filter(|one| poured.contains(&one.container)).copied().collect();
        return if own.is_empty() {
            String::new()
        } else {
            format!(
                "; of these set aside for the end, as allowance: {}",
                allowance_words(plan, &own)
            )
        };
    }
    // Where they are filled and poured in turn, or hold nothing else, they have been named already.
    let named = phases.iter().any(|turns| {
        let poured = poured_in(turns);
        let fills = turns.iter().any(|turn| !turn.pours);
        holds(&poured) && (fills || !goes_out_first(plan, &poured))
    });
    format!(
        "; {} only where the film is still too thin, the allowance of {:.0} g: {}; keep back what of it is not needed, about {left:.0} g with what stays in the mixing vessels",
        if named { "of these" } else { "then," },
        over.mass.g(),
        allowance_words(plan, &over.from),
    )
}

fn stretch(phases: &[&[Turn]], words: String) -> Option<Stretch> {
    let turns = || phases.iter().copied().flatten();
    let first = turns().next()?;
    let end_s = turns().map(|turn| turn.end_s).max()?;
    Some(Stretch { at: first.at, start_s: first.start_s, end_s, words })
}

/// One hand's turns at the containers, apart where it does something else between them or where a mix is
/// drawn from that was not before.
fn goes(plan: &Plan, sheet: &RunSheet, hand: usize) -> Vec<Vec<Turn>> {
    let mut goes: Vec<Vec<Turn>> = Vec::new();
    let (mut goes_on, mut mixes) = (false, 0);
    for (at, line) in sheet.lines.iter().enumerate() {
        if !line.workers.contains(&hand) {
            continue;
        }
        let Some((batch, pours)) = container_of(&line.step) else {
            goes_on = false;
            continue;
        };
        let number = u32::try_from(batch).unwrap_or(u32::MAX).saturating_add(1);
        let begun = mixes_begun(plan, number);
        // A mix that is poured as it is and waits for another hand's is told apart.
        let waits = plan.containers.is_none() && line.waits_for.is_some();
        if !(goes_on && mixes >= begun) || waits {
            goes.push(Vec::new());
            mixes = begun;
        }
        goes_on = true;
        let Some(turns) = goes.last_mut() else { continue };
        match turns.last_mut() {
            Some(turn) if turn.pours == pours => {
                turn.containers.insert(number);
                turn.end_s = turn.end_s.max(line.end_s);
            }
            _ => turns.push(Turn {
                pours,
                containers: BTreeSet::from([number]),
                at,
                start_s: line.start_s,
                end_s: line.end_s,
            }),
        }
    }
    goes
}

/// How many mixes have been drawn from once this container is filled.
fn mixes_begun(plan: &Plan, container: u32) -> usize {
    let begun = plan.fills.iter().filter(|fills| {
        fills.portions.first().is_some_and(|portion| portion.containers.0 <= container)
    });
    begun.count()
}

/// Turns that are told together: two by two as long as each of the two goes on by one container.
fn phases(turns: &[Turn], held: impl Fn(u32) -> bool) -> Vec<&[Turn]> {
    // Container by container, the two of a pair.
    let pair = |at: usize| -> Option<[u32; 2]> {
        let two = [turns.get(at)?.only()?, turns.get(at + 1)?.only()?];
        (!two.iter().any(|number| held(*number))).then_some(two)
    };
    let mut all = Vec::new();
    let mut from = 0;
    while from < turns.len() {
        let mut to = from;
        while let Some(next) = pair(to) {
            let goes_on = to == from
                || pair(to - 2).is_some_and(|last| {
                    last.iter().zip(next).all(|(before, after)| before + 1 == after)
                });
            if !goes_on {
                break;
            }
            to += 2;
        }
        let one_container = pair(from).is_some_and(|[one, other]| one == other);
        let length = match to - from {
            0 => 1,
            2 if !one_container || turns[from].pours => 1,
            pairs => pairs,
        };
        all.push(&turns[from..from + length]);
        from += length;
    }
    all
}

/// What is done in a phase; the first of a line says what the numbers are.
fn phase_words(plan: &Plan, turns: &[Turn], first: bool) -> String {
    let of = |pours: bool| -> BTreeSet<u32> {
        let own = turns.iter().filter(|turn| turn.pours == pours);
        own.flat_map(|turn| turn.containers.iter().copied()).collect()
    };
    let noun = |all: &BTreeSet<u32>| match (first, all.len()) {
        (false, _) => "",
        (true, 1) => "container ",
        (true, _) => "containers ",
    };
    let list = |all: &BTreeSet<u32>| spans(&all.iter().copied().collect::<Vec<_>>());
    let (filled, poured) = (of(false), of(true));
    let pours_first = turns.first().is_some_and(|turn| turn.pours);
    match (filled.is_empty(), poured.is_empty()) {
        (_, true) => format!("fill {}{}", noun(&filled), list(&filled)),
        (true, false) => {
            let told = poured_words(plan, &poured);
            // A part of one container is told by its weight, and the noun stands before its number.
            let is_part = told.split([' ', ',', ';']).nth(1) == Some("g");
            match noun(&poured) {
                "" => format!("pour {told}"),
                _ if is_part => format!("pour {}", told.replacen(" g of ", " g of container ", 1)),
                noun => format!("pour {noun}{told}"),
            }
        }
        (false, false) if filled == poured && !pours_first => {
            let each = if filled.len() == 1 { "" } else { ", each before the next is filled" };
            format!("fill and pour {}{}{each}", noun(&filled), list(&filled))
        }
        (false, false) => {
            let fill = |noun: &str| format!("fill {noun}{}", list(&filled));
            let pour = |noun: &str| format!("pour {noun}{}", list(&poured));
            let both = if pours_first {
                [pour(noun(&poured)), fill("")]
            } else {
                [fill(noun(&filled)), pour("")]
            };
            format!("one by one in turn {}", both.join(" and "))
        }
    }
}

/// Of which mixes containers are filled, where that has to be told since some base has several:
/// `fog 1/3, slate 1/3 and kelp`.
fn mixes_of<'a>(plan: &Plan, turns: impl Iterator<Item = &'a Turn>) -> Option<String> {
    let filled: BTreeSet<u32> =
        turns.filter(|turn| !turn.pours).flat_map(|turn| turn.containers.iter().copied()).collect();
    let fills_one = |fills: &&MixFills| {
        fills.portions.iter().any(|portion| {
            filled.range(portion.containers.0..=portion.containers.1).next().is_some()
        })
    };
    let from: Vec<&MixFills> = plan.fills.iter().filter(fills_one).collect();
    let one_of_several = from.iter().any(|fills| fills.mixes > 1);
    let name = |fills: &&MixFills| match fills.mixes {
        1 => fills.base.clone(),
        mixes => format!("{} {}/{mixes}", fills.base, fills.mix),
    };
    let names: Vec<String> = from.iter().map(name).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    one_of_several.then(|| listed(&names, "and"))
}

/// Mixes that are poured as they are, each as one.
fn mixes_words(plan: &Plan, sheet: &RunSheet, turns: &[Turn]) -> String {
    let all: BTreeSet<u32> = turns.iter().flat_map(|turn| turn.containers.clone()).collect();
    let names: Vec<String> =
        all.iter().map(|mix| mix_name(sheet, mix.saturating_sub(1) as usize)).collect();
    let held = plan.upright_coats.as_ref().and_then(|coats| coats.splashbacks.as_ref());
    let last = turns.iter().any(|turn| {
        turn.pours && turn.containers.last().map(|mix| *mix as usize) == Some(sheet.mixes.len())
    });
    let held = held.filter(|_| last);
    let held = held
        .map_or_else(String::new, |held| format!(", hold back {:.0} g of the last", held.mass.g()));
    format!("pour {}{held}", names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Turns as `fill 1`, `pour 1–3`: the number of turns in each phase.
    fn lengths(turns: &[(bool, &[u32])], held: &[u32]) -> Vec<usize> {
        let turns: Vec<Turn> = turns
            .iter()
            .map(|(pours, containers)| Turn {
                pours: *pours,
                containers: containers.iter().copied().collect(),
                at: 0,
                start_s: 0,
                end_s: 0,
            })
            .collect();
        phases(&turns, |number| held.contains(&number)).into_iter().map(<[Turn]>::len).collect()
    }

    const FILL: bool = false;
    const POUR: bool = true;

    #[test]
    fn turns_that_go_on_by_one_are_told_together() {
        let one: [(bool, &[u32]); 6] =
            [(FILL, &[1]), (POUR, &[1]), (FILL, &[2]), (POUR, &[2]), (FILL, &[3]), (POUR, &[3])];
        assert_eq!(lengths(&one, &[]), [6]);
        assert_eq!(lengths(&one, &[3]), [4, 1, 1], "what is held back is told apart");
        let ahead: [(bool, &[u32]); 5] =
            [(FILL, &[4, 5]), (POUR, &[3]), (FILL, &[6]), (POUR, &[4]), (FILL, &[7])];
        assert_eq!(lengths(&ahead, &[]), [1, 4]);
        let skips: [(bool, &[u32]); 4] = [(FILL, &[1]), (POUR, &[1]), (FILL, &[3]), (POUR, &[3])];
        assert_eq!(lengths(&skips, &[]), [2, 2]);
        let apart: [(bool, &[u32]); 3] = [(FILL, &[1]), (POUR, &[1, 2]), (FILL, &[9])];
        assert_eq!(lengths(&apart, &[]), [1, 1, 1]);
        assert_eq!(lengths(&[], &[]), [0; 0]);
    }
}
