//! The run sheet: every step from the moment B meets A, shared out to the crew, with each mix's
//! age at its last pour against its pot life.
//!
//! [`run_sheet`] takes an [`Ask`] of plain numbers and gives a [`RunSheet`] of values and typed
//! findings; wording is the report's. What would help where a mix cannot be poured in time is sought
//! beside it, with the whole job planned anew.
//!
//! # Standing
//!
//! A datasheet states one pot life; that figure keeps its standing. What is derived from it for
//! another mass or temperature is an estimate ([`Basis`]), given with the range that published
//! activation energies and heats and the unknown cooling of the datasheet's cup leave open. The
//! estimate alone stops a pour; one that is late by the least of the range is told as tight. The clock is hard on purpose: pot life is that of the whole mix in
//! its mixing vessel, though decanting leaves less of it, which cools better; temperatures and
//! left-overs are followed as the mix is drawn down.

mod ask;
mod clocks;
mod durations;
mod resins;
mod waits;
mod work;

pub use ask::{
    Ask, Batch, DatasheetPotLife, MOST_BATCHES, MOST_MIXES, Mix, Take, TintingPaddle, Vessel,
};
pub use clocks::{Basis, HotFrom, LeftOver, MixClock, PotLife, celsius_as_drawn};
pub use durations::{Durations, HeatRules};
pub use waits::WaitsFor;
pub use work::{Mixing, Step};

use crate::heat::HeatError;
use crate::plan::schedule::{Effort, ScheduleError, plan};
use crate::plan::weather::{Gate, NoPour, gate};

/// Why there is no run sheet.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RunSheetError {
    /// An amount out of range.
    #[error("{what} is {value:.2}, outside {low} to {high}")]
    Amount {
        /// Which.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least allowed.
        low: f64,
        /// Greatest allowed.
        high: f64,
    },
    /// A crew of none, or of more than 100.
    #[error("a crew of {crew} cannot be planned for")]
    Crew {
        /// People.
        crew: usize,
    },
    /// More mixes, batches or layers than can be planned for.
    #[error(
        "more than one clock is made for: at most {MOST_MIXES} mixes and {MOST_BATCHES} containers, 100 colorants in a mix"
    )]
    TooMany,
    /// A batch takes from a mix that is not there.
    #[error("batch {batch} takes from mix {mix}, which is not there")]
    NoSuchMix {
        /// Index of the batch.
        batch: usize,
        /// Index of the mix.
        mix: usize,
    },
    /// The batches take more of a mix than there is.
    #[error("mix {mix} is short by {by_g} g")]
    Overdrawn {
        /// Index of the mix.
        mix: usize,
        /// By how much, g.
        by_g: f64,
    },
    /// A number that the heat model cannot take.
    #[error(transparent)]
    Heat(#[from] HeatError),
    /// Tasks that cannot be planned.
    #[error(transparent)]
    Schedule(#[from] ScheduleError),
    /// Only weights and costs were asked for.
    #[error("no run sheet was asked for")]
    NotAsked,
}

/// One line of the run sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What is done.
    pub step: Step,
    /// When it begins, s from the first mix.
    pub start_s: i64,
    /// When it ends, s.
    pub end_s: i64,
    /// Who does it, numbered from 0.
    pub workers: Vec<usize>,
    /// What it waits for while its hand has nothing else to do; none where it waits for no other hand.
    pub waits_for: Option<WaitsFor>,
}

/// Something a person must know before they begin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// A mix is poured after the end of its pot life.
    TooLate {
        /// Index of the mix.
        mix: usize,
        /// The last batch that it goes into.
        batch: usize,
        /// By how much, s.
        by_s: i64,
    },
    /// A mix is poured in time but with little to spare, or within the doubt of its pot life.
    Tight {
        /// Index of the mix.
        mix: usize,
        /// What is left, s.
        spare_s: i64,
        /// By how much it is late by the least of its pot life's range, s; none if in time by that.
        late_by_shortest_s: Option<i64>,
    },
    /// A mix is hot when it is last poured, though in time by its clock.
    HotPour {
        /// Index of the mix.
        mix: usize,
        /// How hot, °C (estimated).
        celsius: f64,
        /// From where on it is too hot to pour, °C.
        most_celsius: f64,
    },
    /// A mix goes into nothing.
    NeverPoured {
        /// Index of the mix.
        mix: usize,
    },
    /// What is left of a mix would run hot in its vessel: spread it thin or move it.
    LeftOverRunsHot {
        /// Index in [`RunSheet::left_overs`].
        left_over: usize,
    },
    /// The second misting comes late.
    MistLate {
        /// By how much, s.
        by_s: i64,
    },
    /// Drips are scraped late.
    ScrapeLate {
        /// Which time round, from 0.
        round: usize,
        /// By how much, s.
        by_s: i64,
    },
    /// The air or the surface speaks against pouring.
    Weather(NoPour),
}

impl Finding {
    /// Whether it should stop the pour, rather than only be known.
    #[must_use]
    pub const fn stops(&self) -> bool {
        matches!(
            self,
            Self::TooLate { .. }
                | Self::HotPour { .. }
                | Self::NeverPoured { .. }
                | Self::Weather(_)
        )
    }
}

/// A run sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct RunSheet {
    /// How mixes follow one another.
    pub mixing: Mixing,
    /// The mixes that it is for.
    pub mixes: Vec<Mix>,
    /// The steps in order of time.
    pub lines: Vec<Line>,
    /// The mixes before whose tinting the one paddle is wiped; the step of tinting holds the time that it takes.
    pub wiped_before: Vec<usize>,
    /// When the last step ends, s.
    pub makespan_s: i64,
    /// The longest chain of steps and waits, s.
    pub critical_path_s: i64,
    /// One a mix.
    pub clocks: Vec<MixClock>,
    /// What is left of the mixes.
    pub left_overs: Vec<LeftOver>,
    /// Dew point and what speaks against pouring, if air and surface are known.
    pub gate: Option<Gate>,
    /// What a person must know.
    pub findings: Vec<Finding>,
}

impl RunSheet {
    /// Whether any mix is poured too late, or hot.
    pub(super) fn any_in_trouble(&self) -> bool {
        self.findings
            .iter()
            .any(|finding| matches!(finding, Finding::TooLate { .. } | Finding::HotPour { .. }))
    }

    /// Whether a mix is in time by the estimate, but with little to spare or not by its shortest.
    #[must_use]
    pub fn is_tight(&self, mix: usize) -> bool {
        let tight =
            |finding: &Finding| matches!(finding, Finding::Tight { mix: it, .. } if *it == mix);
        self.findings.iter().any(tight)
    }

    /// Whether a mix is too hot as the last of it is poured, though its clock has not ended.
    #[must_use]
    pub fn is_hot(&self, mix: usize) -> bool {
        let hot =
            |finding: &Finding| matches!(finding, Finding::HotPour { mix: it, .. } if *it == mix);
        self.findings.iter().any(hot)
    }

    /// How long what is poured first has stood when the last is poured and the edges and splashbacks are coated, s.
    #[must_use]
    pub fn first_stands_s(&self) -> i64 {
        let pours = || self.lines.iter().filter(|line| matches!(line.step, Step::Pour { .. }));
        let coats = self.lines.iter().filter(|line| matches!(line.step, Step::CoatUprights));
        let first_s = pours().map(|line| line.end_s).min();
        let last_s = pours().chain(coats).map(|line| line.end_s).max();
        last_s.zip(first_s).map_or(0, |(last_s, first_s)| last_s - first_s)
    }

    /// How many hands have something to do.
    #[must_use]
    pub fn hands(&self) -> usize {
        let all: std::collections::BTreeSet<usize> =
            self.lines.iter().flat_map(|line| line.workers.iter().copied()).collect();
        all.len()
    }

    /// How many hands mix.
    pub(super) fn mixing_hands(&self) -> usize {
        let mixes = |line: &&Line| matches!(line.step, Step::Mix { .. });
        let mixing = self.lines.iter().filter(mixes).flat_map(|line| line.workers.iter().copied());
        mixing.collect::<std::collections::BTreeSet<usize>>().len()
    }

    /// Hands that have nothing more to do long before the last pour ends, each with the moment from which, s; and
    /// when that pour ends, s.
    #[must_use]
    pub fn free_before_the_end(&self) -> (Vec<(usize, i64)>, i64) {
        let pours = self.lines.iter().filter(|line| matches!(line.step, Step::Pour { .. }));
        let end_s = pours.map(|line| line.end_s).max().unwrap_or(0);
        let mut last: std::collections::BTreeMap<usize, i64> = std::collections::BTreeMap::new();
        for line in self.lines.iter().filter(|line| line.start_s < end_s) {
            for &hand in &line.workers {
                let own = last.entry(hand).or_insert(0);
                *own = (*own).max(line.end_s);
            }
        }
        let free = last.into_iter().filter(|(_, from_s)| end_s - from_s >= LONG_FREE_S);
        (free.collect(), end_s)
    }

    /// Mixes that come too late, and the worst lateness, s.
    pub(super) fn lateness(&self) -> (usize, i64) {
        self.clocks.iter().fold((0, 0), |(count, worst), clock| match clock.late_by_s {
            Some(by_s) => (count + 1, worst.max(by_s)),
            None => (count, worst),
        })
    }
}

/// A hand that waits less than this at the end of the pour is not worth a word, s. (Common practice, no source.)
const LONG_FREE_S: i64 = 600;

/// The run sheet of a plan, all mixes first.
///
/// # Errors
/// [`RunSheetError`] for what cannot be planned; lateness is no error but a finding.
pub fn run_sheet(ask: &Ask) -> Result<RunSheet, RunSheetError> {
    run_sheet_mixing(ask, Mixing::AllFirst)
}

/// The run sheet of the plainest way of mixing that serves: all mixes first, from light to dark; else each when it is
/// needed, which costs nothing; else all first with the shortest-lived last, which costs a wiped paddle. Where none
/// does, the one that is least late (the plainer, if they are equally late).
///
/// # Errors
/// As [`run_sheet`].
pub fn run_sheet_that_serves(ask: &Ask) -> Result<RunSheet, RunSheetError> {
    ask.check()?;
    let resins = resins::Resins::of(ask)?;
    let lives = clocks::lives(ask, &resins)?;
    let planned = |mixing| planned_with(ask, mixing, &resins, &lives);
    // What is late by its longest chain alone need not be looked for.
    let mut first = None;
    if !surely_late(&work::Work::of(ask, Mixing::AllFirst, &lives)?, &lives) {
        let sheet = planned(Mixing::AllFirst)?;
        if !sheet.any_in_trouble() {
            return Ok(sheet);
        }
        first = Some(sheet);
    }
    let staggered = planned(Mixing::Staggered)?;
    if !staggered.any_in_trouble() {
        return Ok(staggered);
    }
    let mut best = match first {
        Some(first) => first,
        None => planned(Mixing::AllFirst)?,
    };
    // In time and not hot is better than in time.
    let trouble = |sheet: &RunSheet| {
        let (mixes, worst_s) = sheet.lateness();
        (worst_s, mixes, sheet.any_in_trouble())
    };
    if trouble(&staggered) < trouble(&best) {
        best = staggered;
    }
    if work::shortest_lived_last(ask, &lives).windows(2).any(|pair| pair[1] < pair[0]) {
        let other_order = planned(Mixing::ShortestLivedLast)?;
        if trouble(&other_order) < trouble(&best) {
            best = other_order;
        }
    }
    Ok(best)
}

/// Whether some mix is poured after the end of its pot life whatever the crew does.
fn surely_late(work: &work::Work, lives: &[clocks::PotLife]) -> bool {
    work.project.limits().iter().any(|limit| {
        let Some((Step::Mix { mix }, _)) = work.steps[limit.before].first() else { return false };
        let life_s = lives.get(*mix).and_then(PotLife::whole_s);
        work.project
            .least_span_s(limit)
            .zip(life_s)
            .is_some_and(|(least_s, life_s)| least_s > life_s)
    })
}

/// As [`run_sheet`], with a given way of mixing.
///
/// # Errors
/// As [`run_sheet`].
pub fn run_sheet_mixing(ask: &Ask, mixing: Mixing) -> Result<RunSheet, RunSheetError> {
    ask.check()?;
    let resins = resins::Resins::of(ask)?;
    planned_with(ask, mixing, &resins, &clocks::lives(ask, &resins)?)
}

/// The run sheet of an ask that has been checked and whose mixes' lives are known.
fn planned_with(
    ask: &Ask,
    mixing: Mixing,
    resins: &resins::Resins,
    lives: &[clocks::PotLife],
) -> Result<RunSheet, RunSheetError> {
    let work = work::Work::of(ask, mixing, lives)?;
    let schedule = plan(&work.project, &work.wanted, Effort::for_tasks(work.project.tasks().len()));
    let mut lines: Vec<Line> = Vec::new();
    let waits = waits::waits(&work, &schedule);
    for ((steps, placed), waits_for) in work.steps.iter().zip(&schedule.placed).zip(waits) {
        let mut start_s = placed.start_s;
        for (at, &(step, seconds)) in steps.iter().enumerate() {
            let workers = placed.workers.clone();
            let waits_for = waits_for.filter(|_| at == 0);
            lines.push(Line { step, start_s, end_s: start_s + seconds, workers, waits_for });
            start_s += seconds;
        }
    }
    lines.sort_by_key(|line| (line.start_s, line.end_s));
    // The scheduler may let the first mix wait, where that keeps it younger: the clock starts with it.
    let idle_s = lines.first().map_or(0, |line| line.start_s);
    for line in &mut lines {
        line.start_s -= idle_s;
        line.end_s -= idle_s;
    }
    let clocks = clocks::clocks(ask, &resins.usual, lives, &lines)?;
    let left_overs = clocks::left_overs(ask, &resins.usual, &clocks)?;
    let gate = ask.weather.as_ref().map(gate).transpose()?;

    let mut findings = clocks::findings(ask, &clocks, &left_overs);
    for overrun in &schedule.overruns {
        let by_s = overrun.by_s;
        match work.steps[work.project.limits()[overrun.limit].after][..] {
            [(Step::Mist { .. }, _)] => findings.push(Finding::MistLate { by_s }),
            [(Step::ScrapeDrips { round }, _)] => {
                findings.push(Finding::ScrapeLate { round, by_s });
            }
            // A mix's age is told by its clock, against the whole of its pot life.
            _ => {}
        }
    }
    if let Some(gate) = &gate {
        findings.extend(gate.against.iter().map(|why| Finding::Weather(*why)));
    }

    Ok(RunSheet {
        mixing,
        mixes: ask.mixes.clone(),
        lines,
        wiped_before: work.wiped_before,
        makespan_s: schedule.makespan_s - idle_s,
        critical_path_s: work.project.critical_path_s(),
        clocks,
        left_overs,
        gate,
        findings,
    })
}

#[cfg(test)]
mod tests;
