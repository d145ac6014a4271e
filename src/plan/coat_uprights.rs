//! With what faces and splashbacks are coated, once the flat is poured.
//!
//! Their volume is part of what comes out of the containers. Edges take it from what runs over them,
//! drawn down with a brush or a glove; a splashback stands above the flood and gets nothing by itself, so
//! what it takes is held back in the last containers and brushed on. (Common practice, no source.)

use crate::quantity::{Area, Fraction, Mass, Volume};

use super::base::BasePlan;
use super::containers::Containers;
use super::demand::Demand;
use super::pieces::NOT_WORTH_SHARING;
use super::small_batch::{LayerPlan, SmallBatch};
use super::take_off::TakeOff;

/// What coats upright faces in one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct UprightCoats {
    /// All of their area.
    pub area: Area,
    /// What of that which runs over the edges stays on their faces; nothing without faces.
    pub edges: Mass,
    /// What is held back for splashbacks; none without splashbacks.
    pub splashbacks: Option<HeldBack>,
}

/// What is held back of the pour and brushed on.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldBack {
    /// How much.
    pub mass: Mass,
    /// From what.
    pub from: Source,
    /// Container by container, in the order of pouring; empty where mixes are poured as they are.
    pub each: Vec<HeldOfOne>,
    /// The bases in those containers with their shares by mass, the most first.
    pub bases: Vec<(String, Fraction)>,
}

impl HeldBack {
    /// Less of a container than this is poured before the rest is held back, as a part of it, where its colour is still
    /// told by what went into it.
    const STILL_ALL_OF_IT: f64 = 0.25;

    /// The bases with their shares, where these are those of what is held back: what is poured of a container before
    /// takes its layers as they come.
    #[must_use]
    pub fn shares(&self) -> Option<&[(String, Fraction)]> {
        let whole = |one: &HeldOfOne| one.poured <= (one.poured + one.held) * Self::STILL_ALL_OF_IT;
        self.each.iter().all(whole).then_some(&self.bases[..])
    }
}

/// What is held back of one container.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldOfOne {
    /// The container's number in the order of pouring.
    pub container: u32,
    /// What stays in it until it is brushed on.
    pub held: Mass,
    /// What is poured out of it before; nothing where it is held back whole.
    pub poured: Mass,
}

/// Where it is held back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// Containers by number in the order of pouring, the first and the last.
    Containers(u32, u32),
    /// The last mix of this base, where mixes are poured as they are.
    LastMix(String),
}

impl UprightCoats {
    /// What a take-off's faces and splashbacks are coated with; none where it has neither.
    pub(super) fn of(
        take_off: &TakeOff,
        demand: &Demand,
        bases: &[BasePlan],
        batches: &[SmallBatch],
        containers: Option<&Containers>,
    ) -> Option<Self> {
        let area = take_off.upright();
        if area.m2() <= 0.0 {
            return None;
        }
        let splashbacks: Area = take_off.counters.iter().map(|counter| counter.splashbacks).sum();
        let volume = demand.upright * (splashbacks.m2() / area.m2());
        let density = |mass: Mass, of: Volume| mass.g() / of.ml();
        let g_per_ml = match containers {
            Some(containers) => {
                let all: Mass =
                    batches.iter().map(|batch| batch.mass() * f64::from(batch.count)).sum();
                density(all, containers.fill * f64::from(containers.number()))
            }
            None => {
                let all: Mass = bases.iter().map(|base| base.out).sum();
                density(all, demand.out())
            }
        };
        let mass = |volume: Volume| Mass::from_g(volume.ml() * g_per_ml);
        let splashbacks = if volume.ml() > 0.0 {
            Some(match containers {
                Some(containers) => held_of(batches, containers, mass(volume))?,
                None => HeldBack {
                    mass: mass(volume),
                    from: Source::LastMix(bases.last()?.name.clone()),
                    each: Vec::new(),
                    bases: vec![(bases.last()?.name.clone(), Fraction::new(1.0))],
                },
            })
        } else {
            None
        };
        Some(Self { area, edges: mass(demand.upright - volume), splashbacks })
    }

    /// What is held back of a container; none where it is poured whole.
    #[must_use]
    pub fn held_of(&self, container: u32) -> Option<HeldOfOne> {
        let each = self.splashbacks.iter().flat_map(|held| &held.each);
        each.copied().find(|one| one.container == container)
    }
}

/// So much held back in the last containers: as many of them whole as it takes, and a part of one before.
/// What clings in a container can be neither poured nor brushed on.
fn held_of(batches: &[SmallBatch], containers: &Containers, mass: Mass) -> Option<HeldBack> {
    let gives = 1.0 - containers.cling / containers.fill;
    let each = batches
        .iter()
        .flat_map(|batch| std::iter::repeat_n(batch.mass() * gives, batch.count as usize));
    let mut all: Vec<(u32, Mass)> = (1..).zip(each).collect();
    let mut rest = mass;
    let mut held = Vec::new();
    while let Some((container, gives)) = all.pop() {
        let own = rest.lesser(gives);
        held.push(HeldOfOne { container, held: own, poured: gives - own });
        rest = rest - own;
        if rest.g() < LEAST_HELD_G.max(NOT_WORTH_SHARING * gives.g()) {
            break;
        }
    }
    held.reverse();
    let (first, last) = (held.first()?.container, held.last()?.container);
    let bases = bases_in(batches, &held);
    let mass = held.iter().map(|one| one.held).sum();
    Some(HeldBack { mass, from: Source::Containers(first, last), each: held, bases })
}

/// The bases in what is held back, with their shares by mass, the most first.
fn bases_in(batches: &[SmallBatch], held: &[HeldOfOne]) -> Vec<(String, Fraction)> {
    let batch_of: Vec<&SmallBatch> =
        batches.iter().flat_map(|batch| std::iter::repeat_n(batch, batch.count as usize)).collect();
    let mut grams: Vec<(String, f64)> = Vec::new();
    for one in held {
        let Some(batch) = (one.container as usize).checked_sub(1).and_then(|at| batch_of.get(at))
        else {
            continue;
        };
        let of_one = one.held / batch.mass();
        for layer in &batch.layers {
            let LayerPlan::Base { name, .. } = layer else { continue };
            let own = layer.mass().g() * of_one;
            match grams.iter_mut().find(|(known, _)| known == name) {
                Some((_, all)) => *all += own,
                None => grams.push((name.clone(), own)),
            }
        }
    }
    let all: f64 = grams.iter().map(|(_, g)| g).sum();
    grams.sort_by(|one, other| other.1.total_cmp(&one.1));
    grams.into_iter().map(|(name, g)| (name, Fraction::new(g / all))).collect()
}

/// Less than this is not worth another container, g.
const LEAST_HELD_G: f64 = 0.5;
