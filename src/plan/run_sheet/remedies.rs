//! What would help when a mix cannot be poured in time, or only hot, each tried by planning again.

use super::ask::{Ask, Mix, Take};
use super::resins::Resins;
use super::work::Mixing;
use super::{Finding, RunSheet, RunSheetError, planned};

/// One change of plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// Begin each mix only when its first batch comes near.
    Stagger,
    /// Make each late or hot mix in this many equal parts.
    SmallerMixes {
        /// Parts.
        parts: usize,
    },
    /// One more hand.
    ExtraHand {
        /// The crew then.
        crew: usize,
    },
    /// A cooler room and parts.
    Cooler {
        /// The room then, °C.
        ambient_celsius: f64,
    },
}

/// What a change of plan brings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outcome {
    /// Mixes still too late.
    pub late_mixes: usize,
    /// The worst of them, s; 0 if all are in time.
    pub worst_late_s: i64,
    /// Mixes that are still hot when last poured.
    pub hot_mixes: usize,
    /// How long the whole takes then, s.
    pub makespan_s: i64,
}

impl Outcome {
    /// Whether every mix is poured in time.
    #[must_use]
    pub const fn in_time(&self) -> bool {
        self.late_mixes == 0
    }

    /// Whether every mix is poured in time and none hot.
    #[must_use]
    pub const fn does(&self) -> bool {
        self.late_mixes == 0 && self.hot_mixes == 0
    }
}

/// Changes tried together, and what they bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// The changes; one, or several where no single one does.
    pub changes: Vec<Change>,
    /// What the plan is then.
    pub outcome: Outcome,
}

/// Each single change; then, if none of them does, several at once, gentlest first, until one
/// does.
pub(super) fn tried(
    ask: &Ask,
    mixing: Mixing,
    resins: &Resins,
    sheet: &RunSheet,
) -> Result<Vec<Remedy>, RunSheetError> {
    let late: Vec<bool> = (0..sheet.clocks.len()).map(|mix| sheet.in_trouble(mix)).collect();
    let stagger = (mixing == Mixing::AllFirst && ask.mixes.len() > 1).then_some(Change::Stagger);
    let smaller = |parts| Some(Change::SmallerMixes { parts });
    let hand = Some(Change::ExtraHand { crew: ask.crew + 1 });
    let two_hands = Some(Change::ExtraHand { crew: ask.crew + 2 });
    let coolest = (ask.ambient_celsius - ask.rules.cooler_by_k).max(ask.rules.coolest_celsius);
    let cooler =
        (coolest < ask.ambient_celsius).then_some(Change::Cooler { ambient_celsius: coolest });
    // Staggering is what makes more mixes pay, so parts go with it where it is still to be had.
    let singles = [vec![stagger], vec![smaller(2)], vec![hand], vec![cooler]];
    let several = [
        vec![stagger, smaller(2)],
        vec![stagger, hand],
        vec![stagger, two_hands],
        vec![stagger, smaller(2), hand],
        vec![stagger, smaller(3), hand],
        vec![stagger, smaller(4), hand],
        vec![stagger, smaller(2), cooler],
        vec![stagger, smaller(4), hand, cooler],
    ];
    let mut remedies: Vec<Remedy> = Vec::new();
    for (together, changes) in
        singles.into_iter().map(|it| (false, it)).chain(several.into_iter().map(|it| (true, it)))
    {
        if together && remedies.iter().any(|remedy| remedy.outcome.does()) {
            break;
        }
        let changes: Vec<Change> = changes.into_iter().flatten().collect();
        let known = remedies.iter().any(|remedy| remedy.changes == changes);
        if changes.is_empty() || known {
            continue;
        }
        // A change that cannot be made (a crew beyond the limit) is no remedy.
        if let Ok(outcome) = outcome(ask, mixing, resins, &late, &changes) {
            remedies.push(Remedy { changes, outcome });
        }
    }
    Ok(remedies)
}

fn outcome(
    ask: &Ask,
    mixing: Mixing,
    resins: &Resins,
    late: &[bool],
    changes: &[Change],
) -> Result<Outcome, RunSheetError> {
    let (ask, mixing) = changed(ask, mixing, late, changes);
    let sheet = planned(&ask, mixing, resins)?;
    let (late_mixes, worst_late_s) = sheet.lateness();
    let hot_mixes =
        sheet.findings.iter().filter(|finding| matches!(finding, Finding::HotPour { .. })).count();
    Ok(Outcome { late_mixes, worst_late_s, hot_mixes, makespan_s: sheet.makespan_s })
}

/// The ask and the way of mixing after some changes; `late` says which mixes are to be made smaller.
fn changed(ask: &Ask, mixing: Mixing, late: &[bool], changes: &[Change]) -> (Ask, Mixing) {
    let mut ask = ask.clone();
    let mut mixing = mixing;
    for change in changes {
        match *change {
            Change::Stagger => mixing = Mixing::Staggered,
            Change::SmallerMixes { parts } => ask = with_smaller_mixes(&ask, late, parts),
            Change::ExtraHand { crew } => ask.crew = crew,
            Change::Cooler { ambient_celsius } => {
                let by_k = ask.ambient_celsius - ambient_celsius;
                ask.ambient_celsius = ambient_celsius;
                ask.parts_celsius -= by_k;
            }
        }
    }
    (ask, mixing)
}

/// Each late mix in equal parts, side by side in the order of tinting; the first part serves the
/// first batches.
pub(super) fn with_smaller_mixes(ask: &Ask, late: &[bool], parts: usize) -> Ask {
    let mut mixes: Vec<Mix> = Vec::new();
    // For each old mix, the new ones with what they still have to give, g.
    let mut sources: Vec<Vec<(usize, f64)>> = Vec::new();
    for (at, mix) in ask.mixes.iter().enumerate() {
        let parts = if late.get(at).copied().unwrap_or(false) { parts.max(1) } else { 1 };
        let shares = u32::try_from(parts).map_or(1.0, f64::from);
        let (number, of) = mix.part;
        let each_g = ask.taken_g(at) / shares;
        sources.push((0..parts).rev().map(|part| (mixes.len() + part, each_g)).collect());
        mixes.extend((0..parts).map(|part| Mix {
            part: (number.saturating_sub(1) * parts + part + 1, of * parts),
            mass_g: mix.mass_g / shares,
            volume_ml: mix.volume_ml / shares,
            clings_g: mix.clings_g / shares,
            ..mix.clone()
        }));
    }
    let mut smaller = ask.clone();
    for batch in &mut smaller.batches {
        batch.takes = batch
            .takes
            .iter()
            .flat_map(|take| drawn(&mut sources[take.mix], take.mass_g))
            .collect();
    }
    smaller.mixes = mixes;
    smaller
}

/// `mass_g` drawn from sources one after another, the last of the list first.
fn drawn(sources: &mut Vec<(usize, f64)>, mass_g: f64) -> Vec<Take> {
    let mut takes = Vec::new();
    let mut wanted_g = mass_g;
    while let Some((mix, has_g)) = sources.last_mut() {
        // A remnant of rounding neither opens the next source nor is left behind.
        let enough = wanted_g <= *has_g * (1.0 + 1e-9);
        let drawn_g = if enough { wanted_g } else { *has_g };
        *has_g -= drawn_g;
        wanted_g -= drawn_g;
        if drawn_g > 1e-9 * mass_g {
            takes.push(Take { mix: *mix, mass_g: drawn_g });
        }
        if enough || sources.len() == 1 {
            break;
        }
        sources.pop();
    }
    takes
}
