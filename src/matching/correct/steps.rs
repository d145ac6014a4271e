//! Additions as scales can weigh them.

use super::least::{Additions, Least};
use super::{Bench, RATIO_WITHIN, Uncorrected};
use crate::matching::weigh::WeighedDose;
use crate::model::Colorant;
use crate::plan::{Fineness, fineness, fineness_beside, fineness_with, scale_for_parts};
use crate::quantity::Mass;

/// How well weighings do, the least best: whether a part is left short, then how much is added or how far it is off.
type Rank = (bool, f64);

/// Part A or B to add, as weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct PartAdded {
    /// How much, a whole number of the scale's steps; let-downs apart.
    pub mass: Mass,
    /// The scale.
    pub scale: String,
    /// Its step.
    pub readability: Mass,
}

/// Additions, each a whole number of steps, none below what its scale weighs well.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Steps {
    /// Parts A and B, let-downs apart.
    pub(super) parts: [PartAdded; 2],
    pub(super) doses: Vec<WeighedDose>,
}

impl Steps {
    /// How many things are weighed, those of let-downs that are made first among them.
    pub(super) fn weighings(&self) -> usize {
        let parts = self.parts.iter().filter(|part| part.mass.g() > 0.0).count();
        // A let-down is two weighings of its own: colorant, then part A.
        parts + self.doses.len() + 2 * self.let_downs()
    }

    /// How many let-downs have to be made.
    pub(super) fn let_downs(&self) -> usize {
        self.doses.iter().filter(|dose| dose.by.let_down.is_some()).count()
    }
}

/// What is less than this part of a step is nothing.
const NOTHING: f64 = 1e-3;
/// So many times the part A of a let-down is added at least, so that rounding leaves it room.
const LET_DOWN_ROOM: f64 = 1.1;
/// So many times a dose that no scale weighs well is tried.
const MORE: [f64; 7] = [1.5, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0];
/// Steps to the next whole ones that are tried for A and for B, either way.
const AROUND: i32 = 2;

/// Which of the steps around some additions are chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// The least that serve.
    TheLeast,
    /// Those nearest to the additions.
    AllOfIt,
}

/// What the scale of parts A and B has to be fine enough for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PartsBy {
    /// What is added of each.
    Themselves,
    /// Their ratio in the whole mix, too.
    TheirRatio,
}

impl Bench<'_> {
    /// The steps around these additions that keep the ratio, the ceilings and the tolerance, the wanted ones of
    /// them; where B or A is weighed at all, as much as the ratio asks for, to the scale's step, if that can be
    /// had. `None` where no choice serves.
    pub(super) fn steps(
        &self,
        least: &Least<'_>,
        found: &Additions,
        wanted: Wanted,
    ) -> Result<Option<Steps>, Uncorrected> {
        // A scale that weighs a part well by itself may be too coarse for the ratio of a small mix.
        for parts_by in [PartsBy::Themselves, PartsBy::TheirRatio] {
            if let Some(steps) = self.steps_on(least, found, wanted, parts_by)? {
                return Ok(Some(steps));
            }
        }
        Ok(None)
    }

    fn steps_on(
        &self,
        least: &Least<'_>,
        found: &Additions,
        wanted: Wanted,
        parts_by: PartsBy,
    ) -> Result<Option<Steps>, Uncorrected> {
        let house = self.ask.house;
        let load = self.ask.held.mass() + Mass::from_g(found.total());
        let parts = self.parts_with_let_downs(found, load);
        let mut doses = Vec::new();
        for (grams, colorant) in found.grams.iter().skip(1).zip(&self.colorants) {
            let dose = Mass::from_g(*grams);
            let by = self
                .by(colorant, load, dose, Mass::from_g(parts[0]))
                .ok_or(Uncorrected::NotWeighable)?;
            if dose.g() > NOTHING * by.step.g() {
                doses.push((colorant.name.clone(), *grams, by));
            }
        }
        let let_down: f64 = doses.iter().map(|(_, grams, by)| let_down_a(*grams, by)).sum();
        let lighter = load * self.a.min(1.0 - self.a);
        let scale = |grams: f64| {
            let by = fineness(house, load, Mass::from_g(grams.max(0.0)), Mass::ZERO)?;
            let finer = scale_for_parts(house, lighter, load).filter(|scale| {
                parts_by == PartsBy::TheirRatio && scale.readability < by.readability
            });
            Some(match finer {
                Some(scale) => Fineness {
                    scale: scale.name.clone(),
                    readability: scale.readability,
                    step: scale.readability,
                    minimum: by.minimum * (scale.readability / by.readability),
                    ..by
                },
                None => by,
            })
        };
        let [Some(by_a), Some(by_b)] = [parts[0] - let_down, parts[1]].map(scale) else {
            return Err(Uncorrected::NotWeighable);
        };
        let missing =
            self.ask.at_least.map_or(0.0, |at_least| (at_least - self.ask.held.mass()).g());
        let mut best: Option<(Rank, [f64; 2], Vec<f64>)> = None;
        for choice in 0..1_u32 << doses.len().min(12) {
            let weighed: Vec<f64> = doses
                .iter()
                .enumerate()
                .map(|(at, (_, grams, by))| either_side(*grams, by, choice >> at & 1 == 1))
                .collect();
            // A step more of a colorant may need many more of resin, where a ceiling is full.
            let needed = least.resin_for(&self.all_grams(0.0, &doses, &weighed));
            let parts = if needed > parts[0] + parts[1] { self.parts(needed) } else { parts };
            // What the let-downs bring of part A need not be weighed again.
            let brought: f64 =
                weighed.iter().zip(&doses).map(|(grams, (_, _, by))| let_down_a(*grams, by)).sum();
            let around = weighable(parts[0] - brought, &by_a)
                .flat_map(|a| weighable(parts[1], &by_b).map(move |b| [a, b]))
                .filter(|[a, b]| self.ratio_error(a + brought, *b) <= RATIO_WITHIN);
            for [a, b] in around {
                let resin = a + brought + b;
                let total = resin + weighed.iter().sum::<f64>();
                let too_little = total + 1e-9 < missing;
                let short = self.is_short([a, b], brought, [&by_a, &by_b]);
                let rank = (
                    short,
                    match wanted {
                        Wanted::TheLeast => total,
                        Wanted::AllOfIt => {
                            let weighings = weighed.iter().zip(doses.iter().map(|(_, g, _)| g));
                            // No more of A than is missing, but for what the let-downs bring.
                            let [a_missing, _] =
                                self.parts(found.grams.first().copied().unwrap_or(0.0));
                            let all_a = a_missing.max(brought);
                            // What little the ratio is off by is not weighed.
                            let all_b = if parts == [0.0, 0.0] { 0.0 } else { self.b_for(all_a) };
                            let parts = [(a + brought, all_a), (b, all_b)];
                            let off: f64 = weighings.map(|(is, be)| (is / be - 1.0).abs()).sum();
                            let held = self.resin_held().g();
                            off + parts.iter().map(|(is, be)| (is - be).abs() / held).sum::<f64>()
                        }
                    },
                );
                if too_little || best.as_ref().is_some_and(|(least, ..)| *least <= rank) {
                    continue;
                }
                let grams = self.all_grams(resin, &doses, &weighed);
                if least.allowed(&grams) && least.error(&grams) <= self.ask.within {
                    best = Some((rank, [a, b], weighed.clone()));
                }
            }
        }
        let part = |grams: f64, by: &Fineness| PartAdded {
            mass: Mass::from_g(grams),
            scale: by.scale.clone(),
            readability: by.readability,
        };
        Ok(best.map(|(_, [a, b], weighed)| Steps {
            parts: [part(a, &by_a), part(b, &by_b)],
            doses: doses
                .into_iter()
                .zip(weighed)
                .filter(|(_, grams)| *grams > 0.0)
                .map(|((colorant, _, by), grams)| {
                    WeighedDose::new(colorant, Mass::from_g(grams), by).with_let_down_made(house)
                })
                .collect(),
        }))
    }

    /// How finely a dose of a colorant can be brought in: as it is, where that is within the tolerance of all that the
    /// mix then holds of it, else as a let-down with at most so much part A; of the one that is at hand where that
    /// serves. A let-down that has to be made first costs minutes of the mix's pot life.
    fn by(&self, colorant: &Colorant, load: Mass, dose: Mass, most_a: Mass) -> Option<Fineness> {
        let house = self.ask.house;
        let at_hand = self.ask.let_downs.get(&colorant.name).copied();
        let of = |dose: Mass| fineness_with(house, load, dose, most_a, at_hand);
        let weighs = |by: &Fineness, dose: Mass| dose >= by.minimum * (1.0 - 1e-9);
        let by = of(dose)?;
        let straight = by.let_down.filter(|ratio| Some(*ratio) != at_hand).and_then(|_| {
            let held = self.ask.held.colorants.get(&colorant.name).copied().unwrap_or(Mass::ZERO);
            fineness_beside(house, dose, held)
        });
        if straight.is_some() || weighs(&by, dose) {
            return straight.or(Some(by));
        }
        // More of it may serve as well, and be weighed well.
        let more = MORE.iter().find_map(|times| {
            of(dose * *times).filter(|by| dose.g() > 0.0 && weighs(by, dose * *times))
        });
        more.or(Some(by))
    }

    /// A and B, g: those found, or as much more as the let-downs need of a dose that no scale weighs well as it
    /// is, with the B for it. A step beyond need leaves room for rounding.
    fn parts_with_let_downs(&self, found: &Additions, load: Mass) -> [f64; 2] {
        let found_parts = self.parts(found.grams.first().copied().unwrap_or(0.0));
        let mut needed = 0.0;
        let doses = found.grams.iter().skip(1).zip(&self.colorants);
        for (grams, colorant) in doses.filter(|(grams, _)| **grams > 0.0) {
            let dose = Mass::from_g(*grams);
            let with_any_a = self.by(colorant, load, dose, self.ask.held.part_a);
            if let Some((ratio, least)) = with_any_a.and_then(|by| Some((by.let_down?, by.minimum)))
            {
                let dose = dose.greater(least);
                needed += (dose * (1.0 / ratio.value()) - dose).g() * LET_DOWN_ROOM;
            }
        }
        let resin = found.grams.first().copied().unwrap_or(0.0);
        if needed <= 0.0 && resin <= 0.0 && self.ratio_error(0.0, 0.0) <= RATIO_WITHIN {
            // What little the ratio is off by is not worth a weighing.
            return [0.0, 0.0];
        }
        if needed <= found_parts[0] {
            return found_parts;
        }
        // More of A than the ratio wants, where the let-downs bring it, and as much of B as that needs.
        [needed, self.b_for(needed)]
    }

    /// Part B, g, that so much more of part A, g, needs added.
    fn b_for(&self, a: f64) -> f64 {
        let held = &self.ask.held;
        ((held.part_a.g() + a) * (1.0 - self.a) / self.a - held.part_b.g()).max(0.0)
    }

    fn all_grams(
        &self,
        resin: f64,
        doses: &[(String, f64, Fineness)],
        weighed: &[f64],
    ) -> Vec<f64> {
        let of = |name: &str| {
            let at = doses.iter().position(|(dosed, ..)| dosed == name);
            at.map_or(0.0, |at| weighed[at])
        };
        std::iter::once(resin).chain(self.colorants.iter().map(|c| of(&c.name))).collect()
    }

    /// Whether A or B is weighed and is short by more than half a step of its scale of what the other needs.
    fn is_short(&self, [a, b]: [f64; 2], brought: f64, [by_a, by_b]: [&Fineness; 2]) -> bool {
        let b_to_a = (1.0 - self.a) / self.a;
        let all_a = self.ask.held.part_a.g() + a + brought;
        let all_b = self.ask.held.part_b.g() + b;
        let half = |by: &Fineness| 0.5 * by.readability.g() + 1e-9;
        (b > 0.0 && all_a * b_to_a - all_b > half(by_b))
            || (a > 0.0 && all_b / b_to_a - all_a > half(by_a).max(half(by_b) / b_to_a))
    }

    pub(super) fn ratio_error(&self, a: f64, b: f64) -> f64 {
        let (a, b) = (self.ask.held.part_a.g() + a, self.ask.held.part_b.g() + b);
        (b / a * self.a / (1.0 - self.a) - 1.0).abs()
    }
}

/// Part A, g, that a dose of so many grams brings as a let-down.
fn let_down_a(grams: f64, by: &Fineness) -> f64 {
    by.let_down.map_or(0.0, |ratio| grams / ratio.value() - grams)
}

/// What can be weighed of a dose, g, in whole steps: no more than it, or more; nothing, or the least that is weighed well,
/// where that is more than it.
fn either_side(grams: f64, by: &Fineness, more: bool) -> f64 {
    let step = by.step.g();
    let below = (grams / step + 1e-9).floor();
    let least = (by.minimum.g() / step - 1e-9).ceil();
    let steps = match more {
        true => (below + 1.0).max(least),
        false if below < least => 0.0,
        false => below,
    };
    steps * step
}

/// What can be weighed around a mass, g: whole steps, none below what the scale weighs well; the least that it
/// weighs well, and nothing.
fn weighable(grams: f64, by: &Fineness) -> impl Iterator<Item = f64> + Clone + use<> {
    let (step, least) = (by.readability.g(), by.minimum.g());
    let below = (grams / step + 1e-9).floor();
    let least_steps = (least / step - 1e-9).ceil();
    (1 - AROUND..=AROUND)
        .map(move |more| below + f64::from(more))
        .filter(move |steps| *steps > least_steps)
        .chain([0.0, least_steps])
        .map(move |steps| steps * step)
}
