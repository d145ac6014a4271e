//! Scales that several hands want at once: the clock gives each hand a scale of its own.

use std::collections::BTreeMap;

use crate::model::{House, Scale};
use crate::quantity::Mass;

use super::base::BasePlan;
use super::mixing::{Means, Mix};
use super::run_sheet::{RunSheet, Step};
use super::small_batch::{AccentMeans, LayerPlan, SmallBatch};

/// How long part B stands on the scale as a mix begins, s (common practice, no source).
const WEIGHS_B_S: i64 = 45;

/// A scale that several hands want at once.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedAtOnce {
    /// The scale's name.
    pub scale: String,
    /// Its readability.
    pub readability: Mass,
    /// The most hands that want it at one moment.
    pub hands: usize,
    /// How many scales of the house do what it does, itself among them.
    pub alike: usize,
    /// When it is first wanted by more hands than there are of it, or by two where there are enough, s from the first
    /// mix.
    pub first_s: i64,
    /// How long it is so in all, s.
    pub seconds: i64,
    /// How long of that the most hands want it, s.
    pub most_s: i64,
}

impl WantedAtOnce {
    /// How many more are wanted than the house has that do the same.
    #[must_use]
    pub fn more(&self) -> u32 {
        u32::try_from(self.hands.saturating_sub(self.alike)).unwrap_or(u32::MAX)
    }
}

/// Every scale that several hands want at once within the run sheet: for how long more than there are, if they are;
/// else for how long two or more.
pub(super) fn wanted_at_once(
    house: &House,
    sheet: &RunSheet,
    bases: &[BasePlan],
    batches: &[SmallBatch],
) -> Vec<WantedAtOnce> {
    let mixes: Vec<&Mix> = bases.iter().flat_map(|base| &base.mixes).collect();
    let containers: Vec<&SmallBatch> =
        batches.iter().flat_map(|batch| std::iter::repeat_n(batch, batch.count as usize)).collect();
    // When something is put on each scale: from, to.
    let mut used: BTreeMap<&str, Vec<[i64; 2]>> = BTreeMap::new();
    for line in &sheet.lines {
        let (scale, end_s) = match line.step {
            Step::Mix { mix } => {
                let scale = mixes.get(mix).map(|mix| mix.part_b.scale.as_str());
                (scale, line.end_s.min(line.start_s + WEIGHS_B_S))
            }
            Step::Tint { mix } => (mixes.get(mix).and_then(|mix| on_top(mix)), line.end_s),
            Step::Decant { batch } => {
                (containers.get(batch).and_then(|batch| carries(batch)), line.end_s)
            }
            Step::Accents { batch } => {
                (containers.get(batch).and_then(|batch| accent_scale(batch)), line.end_s)
            }
            _ => (None, 0),
        };
        if let Some(scale) = scale.filter(|_| end_s > line.start_s) {
            used.entry(scale).or_default().push([line.start_s, end_s]);
        }
    }
    let told = used.into_iter().filter_map(|(name, used)| {
        let scale = house.scales.iter().find(|scale| scale.name == name)?;
        let alike = alike(house, scale);
        // Of what there is enough of, it is told how much is laid out.
        let told = at_once(&used, alike).or_else(|| at_once(&used, 1));
        told.map(|at_once| WantedAtOnce {
            scale: name.to_owned(),
            readability: scale.readability,
            hands: at_once.most,
            alike,
            first_s: at_once.first_s,
            seconds: at_once.seconds,
            most_s: at_once.most_s,
        })
    });
    told.collect()
}

/// The scale on which colorants go on top of a mix; none where all have cups or let-downs of their own.
fn on_top(mix: &Mix) -> Option<&str> {
    mix.doses.iter().find_map(|dose| match &dose.means {
        Means::OnTop(weighed) => Some(weighed.scale.as_str()),
        _ => None,
    })
}

/// The scale that carries a container as bases go in.
fn carries(batch: &SmallBatch) -> Option<&str> {
    batch.layers.iter().find_map(|layer| match layer {
        LayerPlan::Base { weighed, .. } => Some(weighed.scale.as_str()),
        LayerPlan::Accent { .. } => None,
    })
}

/// The scale on which an accent comes out of its cup or on top of the container; none where a syringe measures it.
fn accent_scale(batch: &SmallBatch) -> Option<&str> {
    batch.layers.iter().find_map(|layer| match layer {
        LayerPlan::Accent { means: AccentMeans::InCup | AccentMeans::OnTop, weighed, .. } => {
            Some(weighed.scale.as_str())
        }
        _ => None,
    })
}

/// How many scales of the house do what one of them does.
fn alike(house: &House, one: &Scale) -> usize {
    house.scales.iter().filter(|scale| does_as(one, scale)).count()
}

fn does_as(one: &Scale, other: &Scale) -> bool {
    other.readability == one.readability && other.capacity >= one.capacity
}

/// Whether one of the house's scales, by name, does what another does.
pub(super) fn does_the_same(house: &House, one: &str, other: &str) -> bool {
    let of = |name: &str| house.scales.iter().find(|scale| scale.name == name);
    of(one).zip(of(other)).is_some_and(|(one, other)| does_as(one, other))
}

/// Stretches that are more at one moment than there are scales.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct AtOnce {
    /// The most at one moment.
    most: usize,
    /// When they are first more, s.
    first_s: i64,
    /// How long they are, s.
    seconds: i64,
    /// How long they are the most, s.
    most_s: i64,
}

/// Where stretches are more at one moment than `scales`; none where they never are.
fn at_once(used: &[[i64; 2]], scales: usize) -> Option<AtOnce> {
    // At one moment what ends makes room for what begins.
    let mut turns: Vec<(i64, bool)> =
        used.iter().flat_map(|[from, to]| [(*from, true), (*to, false)]).collect();
    turns.sort_unstable();
    let (mut now, mut since) = (0_usize, 0);
    // How long so many are more than there are scales, from when on.
    let mut more: BTreeMap<usize, i64> = BTreeMap::new();
    let mut first = None;
    for (at, begins) in turns {
        if now > scales && at > since {
            *more.entry(now).or_default() += at - since;
            first = first.or(Some(since));
        }
        since = at;
        now = if begins { now + 1 } else { now.saturating_sub(1) };
    }
    let (most, most_s) = more.last_key_value().map(|(most, seconds)| (*most, *seconds))?;
    first.map(|first_s| AtOnce { most, first_s, seconds: more.values().sum(), most_s })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overlaps_are_counted_and_meetings_are_not() {
        assert_eq!(at_once(&[[0, 60], [60, 120]], 1), None, "one after another");
        let told = |used: &[[i64; 2]], scales| {
            at_once(used, scales).map(|it| (it.most, it.first_s, it.seconds, it.most_s))
        };
        assert_eq!(told(&[[0, 60], [30, 120]], 1), Some((2, 30, 30, 30)));
        assert_eq!(at_once(&[[0, 60], [30, 120]], 2), None, "two scales");
        let several = [[0, 60], [30, 50], [40, 45], [100, 200], [150, 160]];
        assert_eq!(told(&several, 1), Some((3, 30, 30, 5)), "by three for 5 s of 30 s");
        assert_eq!(told(&several, 2), Some((3, 40, 5, 5)), "by more than two for as long");
        assert_eq!(at_once(&[], 1), None);
    }
}
