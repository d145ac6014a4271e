//! With what faces and splashbacks are coated, once the flat is poured.
//!
//! Their volume is part of what comes out of the containers. Edges take it from what runs over them,
//! drawn down with a brush or a glove; a splashback stands above the flood and gets nothing by itself, so
//! what it takes is held back in the last containers and brushed on. (Common practice, no source.)

use crate::quantity::{Area, Mass, Volume};

use super::base::BasePlan;
use super::containers::Containers;
use super::demand::Demand;
use super::small_batch::SmallBatch;
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
        let (g_per_ml, from) = match containers {
            Some(containers) => {
                let all: Mass =
                    batches.iter().map(|batch| batch.mass() * f64::from(batch.count)).sum();
                let number = containers.number();
                let gives = containers.fill - containers.cling;
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "held between 1 and the number of containers"
                )]
                let last = (volume / gives).ceil().clamp(1.0, f64::from(number.max(1))) as u32;
                let first = number.saturating_sub(last) + 1;
                let held = containers.fill * f64::from(number);
                (density(all, held), Source::Containers(first, number))
            }
            None => {
                let all: Mass = bases.iter().map(|base| base.out).sum();
                (density(all, demand.out()), Source::LastMix(bases.last()?.name.clone()))
            }
        };
        let mass = |volume: Volume| Mass::from_g(volume.ml() * g_per_ml);
        Some(Self {
            area,
            edges: mass(demand.upright - volume),
            splashbacks: (volume.ml() > 0.0).then(|| HeldBack { mass: mass(volume), from }),
        })
    }
}
