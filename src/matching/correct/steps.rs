//! Additions as scales can weigh them.

use super::least::{Additions, Least};
use super::{Bench, RATIO_WITHIN, Uncorrected};
use crate::matching::weigh::WeighedDose;
use crate::plan::fineness;
use crate::quantity::Mass;

/// Additions, each a whole number of steps.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Steps {
    pub(super) part_a: Mass,
    pub(super) part_b: Mass,
    pub(super) readability: Mass,
    /// The scale that A and B are weighed on.
    pub(super) scale: String,
    pub(super) doses: Vec<WeighedDose>,
}

impl Steps {
    /// How many things are weighed.
    pub(super) fn weighings(&self) -> usize {
        let parts = [self.part_a, self.part_b].iter().filter(|mass| mass.g() > 0.0).count();
        parts + self.doses.len()
    }
}

/// What is less than this part of a step is nothing.
const NOTHING: f64 = 1e-3;
/// So many times the part A of a let-down is added at least, so that rounding leaves it room.
const LET_DOWN_ROOM: f64 = 1.1;
/// Steps to the next whole ones that are tried for A and for B, either way.
const AROUND: i32 = 2;

impl Bench<'_> {
    /// The least steps around these additions that keep the ratio, the ceilings and the tolerance;
    /// `None` where no choice does.
    pub(super) fn steps(
        &self,
        least: &Least<'_>,
        found: &Additions,
    ) -> Result<Option<Steps>, Uncorrected> {
        let house = self.ask.house;
        let load = self.ask.held.mass() + Mass::from_g(found.total());
        let parts = self.parts_with_let_downs(found, load);
        let heavier = Mass::from_g(parts[0].max(parts[1]));
        let nothing = Mass::from_g(0.0);
        let bench = fineness(house, load, heavier, nothing).ok_or(Uncorrected::NotWeighable)?;
        let step = bench.readability.g();
        let mut doses = Vec::new();
        for (grams, colorant) in found.grams.iter().skip(1).zip(&self.colorants) {
            let dose = Mass::from_g(*grams);
            let by = fineness(house, load, dose, Mass::from_g(parts[0]))
                .ok_or(Uncorrected::NotWeighable)?;
            if dose.g() > NOTHING * by.step.g() {
                doses.push((colorant.name.clone(), *grams, by));
            }
        }
        let missing =
            self.ask.at_least.map_or(0.0, |at_least| (at_least - self.ask.held.mass()).g());
        let mut best: Option<(f64, [f64; 2], Vec<f64>)> = None;
        for choice in 0..1_u32 << doses.len().min(12) {
            let weighed: Vec<f64> = doses
                .iter()
                .enumerate()
                .map(|(at, (_, grams, by))| {
                    let below = (grams / by.step.g() + 1e-9).floor();
                    (below + f64::from((choice >> at) & 1)) * by.step.g()
                })
                .collect();
            // A step more of a colorant may need many more of resin, where a ceiling is full.
            let needed = least.resin_for(&self.all_grams(0.0, &doses, &weighed));
            let parts = if needed > parts[0] + parts[1] { self.parts(needed) } else { parts };
            let around = whole(parts[0], step)
                .flat_map(|a| whole(parts[1], step).map(move |b| [a, b]))
                .filter(|[a, b]| self.ratio_error(*a, *b) <= RATIO_WITHIN);
            for [a, b] in around {
                let total = a + b + weighed.iter().sum::<f64>();
                let too_little = total + 1e-9 < missing;
                if too_little || best.as_ref().is_some_and(|(least, ..)| *least <= total) {
                    continue;
                }
                let grams = self.all_grams(a + b, &doses, &weighed);
                if least.allowed(&grams) && least.error(&grams) <= self.ask.within {
                    best = Some((total, [a, b], weighed.clone()));
                }
            }
        }
        Ok(best.map(|(_, [a, b], weighed)| Steps {
            part_a: Mass::from_g(a),
            part_b: Mass::from_g(b),
            readability: bench.readability,
            scale: bench.scale,
            doses: doses
                .into_iter()
                .zip(weighed)
                .filter(|(_, grams)| *grams > 0.0)
                .map(|((colorant, _, by), grams)| WeighedDose {
                    colorant,
                    mass: Mass::from_g(grams),
                    by,
                })
                .collect(),
        }))
    }

    /// A and B, g: those found, or as much more as the let-downs need of a dose that no scale weighs well as it
    /// is. A step beyond need leaves room for rounding.
    fn parts_with_let_downs(&self, found: &Additions, load: Mass) -> [f64; 2] {
        let house = self.ask.house;
        let found_parts = self.parts(found.grams.first().copied().unwrap_or(0.0));
        let mut needed = 0.0;
        for grams in found.grams.iter().skip(1).filter(|grams| **grams > 0.0) {
            let dose = Mass::from_g(*grams);
            let with_any_a = fineness(house, load, dose, self.ask.held.part_a);
            if let Some(ratio) = with_any_a.and_then(|by| by.let_down) {
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
        self.parts(found.grams.first().copied().unwrap_or(0.0) + (needed - found_parts[0]) / self.a)
    }

    fn all_grams(
        &self,
        resin: f64,
        doses: &[(String, f64, crate::plan::Fineness)],
        weighed: &[f64],
    ) -> Vec<f64> {
        let of = |name: &str| {
            let at = doses.iter().position(|(dosed, ..)| dosed == name);
            at.map_or(0.0, |at| weighed[at])
        };
        std::iter::once(resin).chain(self.colorants.iter().map(|c| of(&c.name))).collect()
    }

    pub(super) fn ratio_error(&self, a: f64, b: f64) -> f64 {
        let (a, b) = (self.ask.held.part_a.g() + a, self.ask.held.part_b.g() + b);
        (b / a * self.a / (1.0 - self.a) - 1.0).abs()
    }
}

/// Whole steps around a mass, g, none negative.
fn whole(grams: f64, step: f64) -> impl Iterator<Item = f64> + Clone {
    let below = (grams / step + 1e-9).floor();
    (1 - AROUND..=AROUND)
        .map(move |more| (below + f64::from(more)) * step)
        .filter(|grams| *grams >= 0.0)
}
