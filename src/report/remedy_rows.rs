//! What the planner tried where a pour comes too late, as rows: decided once for the text, the printed
//! sheet and the page.

use super::time_words::{change_words, minutes, reach_words, seconds_f64};
use crate::plan::{Change, LongPour, Outcome, Plan, Remedy};
use crate::quantity::Units;

/// What the planner tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RemedyRow {
    /// Whether it does: all poured in time, none hot.
    pub does: bool,
    /// Whether the pour then takes longer than its film runs.
    pub runs_dry: bool,
    /// What, and what it would bring.
    pub words: String,
}

/// What the planner tried, and what each would bring.
#[must_use]
pub fn remedy_rows(plan: &Plan, units: Units) -> Vec<RemedyRow> {
    let row = |Remedy { changes, outcome }: &Remedy| RemedyRow {
        does: outcome.does(),
        runs_dry: outcome.long_pour.is_some(),
        words: format!(
            "{}: {}{}",
            together_words(changes, outcome, plan, units),
            outcome_words(outcome),
            limit_of_hands(changes, outcome)
        ),
    };
    plan.remedies.tried.iter().map(row).collect()
}

/// Why more hands alone do not do.
fn limit_of_hands(changes: &[Change], outcome: &Outcome) -> &'static str {
    match changes {
        [Change::Crew { .. }] if !outcome.in_time() => {
            " (more hands mix and fill side by side, but containers are poured in order, one at a time)"
        }
        _ => "",
    }
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
        together_words(changes, outcome, plan, units),
        outcome_words(outcome)
    )
}

/// Changes in words, with how many mixes there are then where their size is one of them.
fn together_words(changes: &[Change], outcome: &Outcome, plan: &Plan, units: Units) -> String {
    let words = |change: &Change| {
        let words = change_words(*change, plan.filed, units);
        match change {
            Change::SmallerMixes { .. } => {
                let coat = if plan.coats > 1 { " a coat" } else { "" };
                format!("{words}, {}{coat}", count(outcome.mixes, "mix", "mixes"))
            }
            _ => words,
        }
    };
    let all: Vec<String> = changes.iter().map(words).collect();
    all.join(" and ")
}

fn outcome_words(outcome: &Outcome) -> String {
    if outcome.does() {
        let tight = match outcome.tight_mixes {
            0 => "none of it tight".to_owned(),
            tight => format!("{} still tight", count(tight, "mix", "mixes")),
        };
        let then = format!(
            "then all is poured in time, {tight}, and the whole job takes {}",
            minutes(seconds_f64(outcome.makespan_s))
        );
        let then = match outcome.dearer {
            Some(more) => format!("{then}, for {} more", more.show()),
            None => then,
        };
        let then = match outcome.long_pour {
            Some(LongPour { stands_s, runs_s }) => format!(
                "{then}, but the film poured first then stands {} and runs for about {}",
                minutes(seconds_f64(stands_s)),
                minutes(runs_s)
            ),
            None => then,
        };
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
