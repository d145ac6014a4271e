//! Whether a mix is its recipe as nearly as scales weigh it: nothing is then missing, though arithmetic finds grams.

use std::collections::BTreeMap;

use super::ask::Held;
use crate::model::{House, System};
use crate::plan::{fineness_with, first_vessel_keeps, scale_for_parts};
use crate::quantity::{Fraction, Mass};

/// Whether some amount of the recipe differs from what is held by no more than a step of its scale in every part:
/// `wanted` are the loadings of the lots at hand, `let_downs` those that are taken from. The parts and the let-downs were
/// weighed into a first vessel, on whose wall some stays that is tinted no more: a plan weighs the other colorants for
/// what has left it; `first_keeps` is the share that stays, where a plan says so. What holds anything foreign, or nothing, is not the recipe.
#[must_use]
pub fn as_weighed(
    house: &House,
    system: &System,
    wanted: &BTreeMap<String, f64>,
    held: &Held,
    let_downs: &BTreeMap<String, Fraction>,
    first_keeps: Option<f64>,
) -> bool {
    let load = held.mass();
    let lighter = held.part_a.lesser(held.part_b);
    let foreign = |(name, mass): (&String, &Mass)| mass.g() > 0.0 && !wanted.contains_key(name);
    if lighter.g() <= 0.0 || held.colorants.iter().any(foreign) {
        return false;
    }
    let Some(bench) = scale_for_parts(house, lighter, load) else { return false };
    let mut step_a = bench.readability.g();
    // Into the first vessel, and into the second.
    let (mut first, mut second) = (Open::WIDE, Open::WIDE);
    for (name, loading) in wanted.iter().filter(|(_, loading)| **loading > 0.0) {
        let mass = held.colorants.get(name).copied().unwrap_or(Mass::ZERO);
        let at_hand = let_downs.get(name).copied();
        let Some(by) = fineness_with(house, load, mass, held.part_a, at_hand) else { return false };
        if let Some(ratio) = by.let_down {
            // What its scale leaves open brings part A too.
            step_a += (by.step * (1.0 / ratio.value()) - by.step).g();
        }
        let into = if at_hand.is_some() { &mut first } else { &mut second };
        into.narrow(mass.g(), by.step.g(), *loading);
    }
    let a = system.mass_fraction_a();
    first.narrow(held.part_a.g(), step_a, a);
    first.narrow(held.part_b.g(), bench.readability.g(), 1.0 - a);
    let content = held.part_a / system.density_a + held.part_b / system.density_b;
    let keeps = first_keeps.or_else(|| first_vessel_keeps(house, content)).unwrap_or(0.0);
    let leaves = 1.0 - keeps;
    let both = Open { least: first.least * leaves, most: first.most }.overlap(&second);
    first.is_some() && second.is_some() && both.is_some()
}

/// How much of a recipe that makes 1 g of resin there may be, by what was weighed.
struct Open {
    least: f64,
    most: f64,
}

impl Open {
    const WIDE: Self = Self { least: 0.0, most: f64::INFINITY };

    /// So many grams, a step more or less, of what has this share of it.
    const fn narrow(&mut self, is: f64, step: f64, share: f64) {
        self.least = self.least.max((is - step) / share);
        self.most = self.most.min((is + step) / share);
    }

    const fn overlap(&self, other: &Self) -> Self {
        Self { least: self.least.max(other.least), most: self.most.min(other.most) }
    }

    fn is_some(&self) -> bool {
        self.least <= self.most * (1.0 + 1e-9)
    }
}
