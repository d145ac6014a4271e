//! The run sheet as rows: steps, each mix's clock, findings and remedies; decided once for the text,
//! the printed sheet and the page.

use std::collections::BTreeSet;

use super::fill_rows::spans;
use super::time_words::{
    change_words, clock, finding_words, minutes, mix_name, reach_words, step_words,
};
use crate::model::Standing;
use crate::plan::run_sheet::{Basis, Finding, PotLife, RunSheet, Step};
use crate::plan::{Change, Figures, MistLiquid, Outcome, Plan, Remedy};
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

/// One mix's clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MixClockRow {
    /// The mix.
    pub name: String,
    /// When B meets A.
    pub start: String,
    /// Its name where there is little room.
    pub short: String,
    /// How long it can be poured, with the range that it lies in.
    pub lasts: String,
    /// How long it can be poured, alone.
    pub life: String,
    /// How far that is known.
    pub basis: String,
    /// By when it must be poured; empty where it does not gel.
    pub pour_by: String,
    /// When the last of it is poured; empty where none is.
    pub last_pour: String,
    /// Whether that is in time.
    pub verdict: String,
}

/// ` (38–41)`: the range of an estimated pot life in minutes; nothing for a stated one.
fn range_words(life: &PotLife) -> String {
    match (life.basis, life.range_s) {
        (Basis::Estimated, Some((least_s, most_s))) => {
            let (least, most) = (libm::floor(least_s / 60.0), libm::ceil(most_s / 60.0));
            format!(" ({least:.0}–{most:.0})")
        }
        _ => String::new(),
    }
}

/// How far a pot life is known: as its file states it, or carried over from that.
fn basis_words(plan: &Plan, basis: Basis) -> String {
    let stated = plan.standing_of(Figures::PotLife).map_or("", Standing::word);
    match basis {
        Basis::Datasheet => stated.to_owned(),
        Basis::Estimated => format!("estimated from {stated}"),
    }
}

/// From which pot life those on the run sheet were carried over, and how; none where all are as stated.
#[must_use]
pub fn carried_over_words(plan: &Plan, sheet: &RunSheet, units: Units) -> Option<String> {
    sheet.clocks.iter().any(|own| own.pot_life.basis == Basis::Estimated).then(|| {
        format!(
            "Pot lives are carried over from the stated {} of {} at {} ({}) to each mix in its vessel at {}: a larger mass shortens it, a cooler room lengthens it. Estimated, with the range of it in brackets.",
            minutes(plan.pot_life.time.s()),
            plan.pot_life.mass.show(units),
            plan.pot_life.temperature.show(units),
            plan.standing_of(Figures::PotLife).map_or("", Standing::word),
            plan.conditions.parts.show(units),
        )
    })
}

/// The clock of every mix of a plan's run sheet.
#[must_use]
pub fn mix_clock_rows(plan: &Plan, sheet: &RunSheet) -> Vec<MixClockRow> {
    sheet
        .clocks
        .iter()
        .enumerate()
        .map(|(mix, own)| MixClockRow {
            name: mix_name(sheet, mix),
            short: match sheet.mixes.get(mix) {
                Some(mix) if mix.part.1 > 1 => {
                    format!("{} {}/{}", mix.name, mix.part.0, mix.part.1)
                }
                _ => mix_name(sheet, mix),
            },
            start: clock(own.start_s),
            lasts: own.pot_life.seconds.map_or_else(
                || "does not gel in a month".to_owned(),
                |seconds| format!("{}{}", minutes(seconds), range_words(&own.pot_life)),
            ),
            life: own.pot_life.seconds.map_or_else(|| "no end".to_owned(), minutes),
            basis: basis_words(plan, own.pot_life.basis),
            pour_by: own.pour_by_s.map_or_else(String::new, clock),
            last_pour: own.last_pour.map_or_else(String::new, |(s, _)| clock(s)),
            verdict: match own.late_by_s {
                Some(late) => format!("LATE by {}", minutes(seconds_f64(late))),
                None => "in time".to_owned(),
            },
        })
        .collect()
}

/// What a person must know before they begin, those of one kind together; what stops the pour is told
/// apart, in [`stop_rows`](super::stop_rows::stop_rows).
#[must_use]
pub fn caution_rows(sheet: &RunSheet, units: Units) -> Vec<String> {
    let cautions: Vec<&Finding> =
        sheet.findings.iter().filter(|finding| !finding.stops()).collect();
    finding_rows_of(sheet, &cautions, units).into_iter().map(|(_, words)| words).collect()
}

/// Some findings in words, those of one kind together, each with the first of its kind.
pub(super) fn finding_rows_of(
    sheet: &RunSheet,
    findings: &[&Finding],
    units: Units,
) -> Vec<(Finding, String)> {
    let mut kinds: Vec<Vec<&Finding>> = Vec::new();
    for &finding in findings {
        // Of a mix that is too late its heat need not be told as well.
        if let Finding::HotPour { mix, .. } = finding
            && sheet.clocks.get(*mix).is_some_and(|own| own.late_by_s.is_some())
        {
            continue;
        }
        let same = |kind: &&mut Vec<&Finding>| {
            kind.first().is_some_and(|first| {
                std::mem::discriminant(*first) == std::mem::discriminant(finding)
                    && !matches!(first, Finding::Weather(_))
            })
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.push(finding),
            None => kinds.push(vec![finding]),
        }
    }
    kinds
        .iter()
        .filter_map(|kind| {
            let first = **kind.first()?;
            let words = match kind[..] {
                [only] => finding_words(sheet, only, units),
                _ => together(sheet, kind, units),
            };
            Some((first, words))
        })
        .collect()
}

/// Several findings of one kind in one sentence, the worst in full.
fn together(sheet: &RunSheet, kind: &[&Finding], units: Units) -> String {
    let badness = |finding: &Finding| match *finding {
        Finding::TooLate { by_s, .. }
        | Finding::MistLate { by_s }
        | Finding::ScrapeLate { by_s, .. } => seconds_f64(by_s),
        Finding::Tight { spare_s, .. } => -seconds_f64(spare_s),
        Finding::HotPour { celsius, .. } => celsius,
        Finding::LeftOverRunsHot { left_over } => {
            sheet.left_overs.get(left_over).map_or(0.0, |left| left.peak_celsius)
        }
        Finding::NeverPoured { .. } | Finding::Weather(_) => 0.0,
    };
    let name = |finding: &Finding| match *finding {
        Finding::TooLate { mix, .. }
        | Finding::Tight { mix, .. }
        | Finding::HotPour { mix, .. }
        | Finding::NeverPoured { mix } => Some(mix_name(sheet, mix)),
        Finding::LeftOverRunsHot { left_over } => {
            sheet.left_overs.get(left_over).map(|left| mix_name(sheet, left.mix))
        }
        Finding::ScrapeLate { round, .. } => Some(format!("time {}", round + 1)),
        Finding::MistLate { .. } | Finding::Weather(_) => None,
    };
    // The first of equals is told in full.
    let worst = kind.iter().rev().max_by(|one, other| badness(one).total_cmp(&badness(other)));
    let Some(worst) = worst else { return String::new() };
    let others: Vec<String> = kind
        .iter()
        .filter(|finding| !std::ptr::eq(**finding, *worst))
        .filter_map(|finding| name(finding))
        .collect();
    format!("{}; likewise, but no worse: {}", finding_words(sheet, worst, units), others.join(", "))
}

/// What the planner tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RemedyRow {
    /// Whether it does: all poured in time, none hot.
    pub does: bool,
    /// What, and what it would bring.
    pub words: String,
}

/// What the planner tried, and what each would bring.
#[must_use]
pub fn remedy_rows(plan: &Plan, units: Units) -> Vec<RemedyRow> {
    let row = |Remedy { changes, outcome }: &Remedy| RemedyRow {
        does: outcome.does(),
        words: format!(
            "{}: {}",
            together_words(changes, plan.filed, units),
            outcome_words(outcome)
        ),
    };
    plan.remedies.tried.iter().map(row).collect()
}

/// That nothing which was tried is enough: how far it was taken, and how late the best of it is.
#[must_use]
pub(super) fn in_vain_words(plan: &Plan, units: Units) -> String {
    let remedies = &plan.remedies;
    let least = remedies.tried.iter().min_by_key(|remedy| remedy.outcome.distance());
    let Some(Remedy { changes, outcome }) = least else {
        return "no change of crew, room or size of mixes can be planned".to_owned();
    };
    let reach: Vec<String> = remedies.reach.iter().map(|it| reach_words(*it, units)).collect();
    format!(
        "none of the {} that were tried is enough ({}, alone and together); the best, {}, is {}",
        count(remedies.plans, "plan", "plans"),
        reach.join(", "),
        together_words(changes, plan.filed, units),
        outcome_words(outcome)
    )
}

fn together_words(changes: &[Change], filed: bool, units: Units) -> String {
    let words = |change: &Change| change_words(*change, filed, units);
    let all: Vec<String> = changes.iter().map(words).collect();
    all.join(" and ")
}

fn outcome_words(outcome: &Outcome) -> String {
    if outcome.does() {
        let then =
            format!("then all is poured in time, in {}", minutes(seconds_f64(outcome.makespan_s)));
        match outcome.other_stops {
            0 => then,
            1 => format!("{then}; the other STOP stays"),
            _ => format!("{then}; the other STOPs stay"),
        }
    } else if !outcome.in_time() {
        format!(
            "not enough: {} late, by up to {}",
            count(outcome.late_mixes, "mix", "mixes"),
            minutes(seconds_f64(outcome.worst_late_s))
        )
    } else if outcome.new_stops > 0 {
        "in time, but with another STOP".to_owned()
    } else if outcome.hot_mixes == 0 && outcome.too_long {
        let hours = libm::round(seconds_f64(outcome.makespan_s) / 3600.0);
        format!("in time, but it takes {hours} h, longer than a crew works")
    } else {
        format!("in time, but {} poured hot", count(outcome.hot_mixes, "mix", "mixes"))
    }
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

#[expect(clippy::cast_precision_loss, reason = "seconds of a working day")]
const fn seconds_f64(seconds: i64) -> f64 {
    seconds as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::run_sheet::{
        Ask, Batch, DatasheetPotLife, Durations, HeatRules, Mix, Take, Vessel, run_sheet,
    };

    /// Three equal mixes poured in one batch each, `left` of each left over.
    fn sheet(celsius: f64, left: f64) -> RunSheet {
        let mixes = (1..=3)
            .map(|part| Mix {
                name: "fog".to_owned(),
                part: (part, 3),
                mass_g: 4400.0,
                volume_ml: 4000.0,
                clings_g: 0.0,
                vessel: Vessel { capacity_ml: 5000.0, diameter_mm: None },
                colorants: 2,
                split_into: 1,
            })
            .collect();
        let batches = (0..3)
            .map(|mix| Batch {
                name: format!("pour {mix}"),
                takes: vec![Take { mix, mass_g: 4400.0 * (1.0 - left) }],
                layers: 1,
                accents: 0,
            })
            .collect();
        let ask = Ask {
            mixes,
            batches,
            crew: 1,
            one_paddle: true,
            mist: false,
            ambient_celsius: celsius,
            parts_celsius: celsius,
            pot_life: DatasheetPotLife {
                minutes: 40.0,
                mass_g: 100.0,
                celsius: 25.0,
                vessel: None,
            },
            density_g_per_ml: 1.1,
            weather: None,
            durations: Durations::default(),
            rules: HeatRules::default(),
        };
        run_sheet(&ask).unwrap()
    }

    #[test]
    fn findings_of_one_kind_are_told_in_one_line() {
        let sheet = sheet(24.0, 0.1);
        let hot = sheet
            .findings
            .iter()
            .filter(|finding| matches!(finding, Finding::LeftOverRunsHot { .. }))
            .count();
        assert_eq!(hot, 3, "{:?}", sheet.findings);
        let rows = caution_rows(&sheet, Units::Metric);
        let told: Vec<_> = rows.iter().filter(|row| row.contains("left in its vessel")).collect();
        assert_eq!(told.len(), 1, "{rows:?}");
        for name in ["fog 1 of 3", "fog 2 of 3", "fog 3 of 3"] {
            assert!(told[0].contains(name), "{}", told[0]);
        }
    }

    #[test]
    fn what_stops_is_no_caution() {
        let sheet = sheet(34.0, 0.1);
        assert!(sheet.findings.iter().any(|finding| finding.stops()), "{:?}", sheet.findings);
        let rows = caution_rows(&sheet, Units::Us);
        assert!(rows.iter().all(|row| !row.contains("after the end of its pot life")), "{rows:?}");
    }

    #[test]
    fn a_left_over_that_no_spreading_cools_is_carried_out() {
        let mut hot = sheet(24.0, 0.1);
        assert!(hot.left_overs.iter().any(|left| left.spreading_helps), "{:?}", hot.left_overs);
        let spread = caution_rows(&hot, Units::Metric);
        assert!(spread.iter().any(|row| row.contains("spread it under")), "{spread:?}");
        for left in &mut hot.left_overs {
            left.spreading_helps = false;
        }
        let carried = caution_rows(&hot, Units::Metric);
        assert!(carried.iter().any(|row| row.contains("carry it outdoors")), "{carried:?}");
        assert!(!carried.iter().any(|row| row.contains("spread it under")), "{carried:?}");
    }
}
