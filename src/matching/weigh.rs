//! Loadings as a scale can weigh them: every dose to a whole step, the combination of steps below and
//! above that comes nearest to the target and keeps every ceiling.

use super::ask::Unmatched;
use crate::model::{Colorant, House, System};
use crate::plan::{
    Dosed, Fineness, Limits, Standing, Stock, fineness, let_down_stock, scale_for_parts,
};
use crate::quantity::Mass;

/// The share of part A that a let-down may take.
const LET_DOWN_TAKES: f64 = 0.5;

/// One colorant as weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedDose {
    /// Its name.
    pub colorant: String,
    /// Its own mass, a whole number of steps.
    pub mass: Mass,
    /// The scale and whether it is let down.
    pub by: Fineness,
    /// How its let-down is made, where it is one and none is at hand; `None` where no scale of the house
    /// weighs that.
    pub made: Option<Stock>,
}

impl WeighedDose {
    /// So much of a colorant; how its let-down is made follows with [`Self::with_let_down_made`].
    pub(super) const fn new(colorant: String, mass: Mass, by: Fineness) -> Self {
        Self { colorant, mass, by, made: None }
    }

    /// With how its let-down is made, where it is one.
    pub(super) fn with_let_down_made(mut self, house: &House) -> Self {
        let of_it = |ratio| let_down_stock(self.colorant.clone(), ratio, self.on_scale(), house);
        self.made = self.by.let_down.filter(|_| self.mass.g() > 0.0).and_then(of_it);
        self
    }

    /// What the scale shows: the colorant's mass, or that of its let-down.
    #[must_use]
    pub fn on_scale(&self) -> Mass {
        self.by.let_down.map_or(self.mass, |ratio| self.mass * (1.0 / ratio.value()))
    }

    /// Whether the scale weighs it within the house's tolerance.
    #[must_use]
    pub fn within_tolerance(&self) -> bool {
        self.mass.g() >= self.by.minimum.g() * (1.0 - 1e-9)
    }
}

/// Part A that comes with the let-downs among these doses.
#[must_use]
pub(super) fn let_down_a(doses: &[WeighedDose]) -> Mass {
    doses.iter().map(|dose| dose.on_scale() - dose.mass).sum()
}

/// A batch as weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighedBatch {
    /// Part A, that of let-downs included.
    pub part_a: Mass,
    /// Part B.
    pub part_b: Mass,
    /// The step of the scale that A and B are weighed on.
    pub readability: Mass,
    /// Colorants in the candidate's order; one may be nothing.
    pub doses: Vec<WeighedDose>,
}

impl WeighedBatch {
    /// Part A to weigh, let-downs apart.
    #[must_use]
    pub fn part_a_apart(&self) -> Mass {
        self.part_a - let_down_a(&self.doses)
    }

    /// Mixed resin.
    #[must_use]
    pub fn resin(&self) -> Mass {
        self.part_a + self.part_b
    }

    /// How far B : A is from the system's, as a fraction.
    #[must_use]
    pub fn ratio_error(&self, system: &System) -> f64 {
        (self.part_b.g() / self.part_a.g() * 100.0 / system.phr() - 1.0).abs()
    }

    /// What is weighed of each, over mixed resin.
    #[must_use]
    pub fn loadings(&self) -> Vec<f64> {
        self.doses.iter().map(|dose| dose.mass.g() / self.resin().g()).collect()
    }
}

/// The nearest weighable batch to loadings (as weighed, not of standing lots) that takes no more than is
/// `in_stock`, where that is known. `error` judges loadings as weighed.
pub(super) fn weigh(
    limits: &Limits<'_>,
    house: &House,
    resin: Mass,
    wanted: &[(&Colorant, f64)],
    in_stock: impl Fn(&Colorant) -> Option<Mass>,
    error: impl Fn(&[f64]) -> f64,
) -> Result<WeighedBatch, Unmatched> {
    let system = limits.system;
    let a = system.mass_fraction_a();
    let load = resin * (1.0 + wanted.iter().map(|(_, loading)| loading).sum::<f64>());
    let heavy = || Unmatched::TooHeavy(load.g());
    let bench =
        scale_for_parts(house, (resin * a).lesser(resin * (1.0 - a)), load).ok_or_else(heavy)?;
    let to_step = |mass: Mass| {
        let steps = (mass.g() / bench.readability.g()).round().max(1.0);
        Mass::from_g(steps * bench.readability.g())
    };
    let mut batch = WeighedBatch {
        part_a: to_step(resin * a),
        part_b: to_step(resin * (1.0 - a)),
        readability: bench.readability,
        doses: Vec::new(),
    };
    let mixed = batch.resin();
    let mut below = Vec::with_capacity(wanted.len());
    for (colorant, loading) in wanted {
        let dose = mixed * *loading;
        let by = fineness(house, load, dose, batch.part_a * LET_DOWN_TAKES).ok_or_else(heavy)?;
        let stock = in_stock(colorant).unwrap_or(dose);
        let steps = (dose.lesser(stock).g() / by.step.g() + 1e-9).floor();
        below.push(steps);
        let mass = by.step * steps;
        batch.doses.push(WeighedDose::new(colorant.name.clone(), mass, by));
    }
    let mut best: Option<(f64, Vec<f64>)> = None;
    for choice in 0..1_u32 << wanted.len() {
        let steps: Vec<f64> = below
            .iter()
            .enumerate()
            .map(|(at, steps)| steps + f64::from((choice >> at) & 1))
            .collect();
        let beyond_stock =
            wanted.iter().zip(&batch.doses).zip(&steps).any(|((each, dose), steps)| {
                in_stock(each.0)
                    .is_some_and(|stock| (dose.by.step * *steps).g() > stock.g() * (1.0 + 1e-9))
            });
        if beyond_stock {
            continue;
        }
        let loadings: Vec<f64> = steps
            .iter()
            .zip(&batch.doses)
            .map(|(steps, dose)| steps * dose.by.step.g() / mixed.g())
            .collect();
        let mix: Vec<Dosed<'_>> = wanted
            .iter()
            .zip(&loadings)
            .map(|((colorant, _), loading)| Dosed { colorant, loading: *loading })
            .collect();
        if limits.standings(&mix).iter().any(Standing::exceeded) {
            continue;
        }
        let this = error(&loadings);
        if best.as_ref().is_none_or(|(least, _)| this < *least) {
            best = Some((this, steps));
        }
    }
    // With every dose at the step below, each ceiling is kept that the exact loadings keep.
    let steps = best.map_or(below, |(_, steps)| steps);
    for (dose, steps) in batch.doses.iter_mut().zip(steps) {
        dose.mass = dose.by.step * steps;
    }
    batch.doses = batch.doses.into_iter().map(|dose| dose.with_let_down_made(house)).collect();
    Ok(batch)
}
