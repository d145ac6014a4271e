//! Whether a mix is its recipe as nearly as scales weigh it: nothing is then missing, though arithmetic finds grams.

use std::collections::BTreeMap;

use super::ask::CorrectAsk;
use super::by_proportion::foreign;
use crate::plan::{fineness_with, first_vessel_keeps, scale_for_parts};
use crate::quantity::Mass;

/// How much of a mix is as its recipe has it, to a step of each scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AsWeighed {
    /// All of it.
    Whole,
    /// All but one of parts A and B, of which there is less than the other needs, or none.
    ButForAPart,
    /// Not so: something is missing, overdosed or foreign.
    No,
}

/// Whether some amount of the recipe differs from what is held by no more than a step of its scale in every part, or in
/// every one but the part there is too little of. The parts and the let-downs were weighed into a first vessel, on whose
/// wall some stays that is tinted no more: a plan weighs the other colorants for what has left it. What holds anything
/// foreign, or nothing, is not the recipe.
#[must_use]
pub fn as_weighed(ask: &CorrectAsk<'_>) -> AsWeighed {
    let held = &ask.held;
    let a = ask.limits.system.mass_fraction_a();
    let [part_a, part_b] = [held.part_a.g(), held.part_b.g()];
    let whole = (part_a / a).max(part_b / (1.0 - a));
    if whole <= 0.0 || !foreign(ask).is_empty() {
        return AsWeighed::No;
    }
    // As much as it is once neither part is short.
    let load = held.mass() + Mass::from_g((whole - part_a - part_b).max(0.0));
    let lighter = Mass::from_g(whole * a.min(1.0 - a));
    let Some(bench) = scale_for_parts(ask.house, lighter, load) else { return AsWeighed::No };
    let mut step_a = bench.readability.g();
    let strengths: BTreeMap<&str, f64> =
        ask.shelf.iter().map(|each| (each.name.as_str(), each.lot_strength())).collect();
    // Into the first vessel, and into the second.
    let (mut first, mut second) = (Open::WIDE, Open::WIDE);
    for (name, standing) in ask.wanted.iter().filter(|(_, loading)| **loading > 0.0) {
        let loading = standing / strengths.get(name.as_str()).copied().unwrap_or(1.0);
        let mass = held.colorants.get(name).copied().unwrap_or(Mass::ZERO);
        let at_hand = ask.let_downs.get(name).copied();
        let by = fineness_with(ask.house, load, mass, Mass::from_g(whole * a), at_hand);
        let Some(by) = by else { return AsWeighed::No };
        if let Some(ratio) = by.let_down {
            // What its scale leaves open brings part A too.
            step_a += (by.step * (1.0 / ratio.value()) - by.step).g();
        }
        let into = if at_hand.is_some() { &mut first } else { &mut second };
        into.narrow(mass.g(), by.step.g(), loading);
    }
    let content = Mass::from_g(whole) / ask.limits.system.mixed_density();
    let keeps = ask.first_keeps.or_else(|| first_vessel_keeps(ask.house, content)).unwrap_or(0.0);
    let fits = |first: &Open| {
        let both = Open { least: first.least * (1.0 - keeps), most: first.most }.overlap(&second);
        first.is_some() && second.is_some() && both.is_some()
    };
    let with_a = first.narrowed(part_a, step_a, a);
    let with_b = first.narrowed(part_b, bench.readability.g(), 1.0 - a);
    let with_both = with_a.overlap(&with_b);
    let longer = if part_a / a >= part_b / (1.0 - a) { with_a } else { with_b };
    if part_a > 0.0 && part_b > 0.0 && fits(&with_both) {
        AsWeighed::Whole
    } else if fits(&longer) {
        AsWeighed::ButForAPart
    } else {
        AsWeighed::No
    }
}

/// How much of a recipe that makes 1 g of resin there may be, by what was weighed.
#[derive(Clone, Copy)]
struct Open {
    least: f64,
    most: f64,
}

impl Open {
    const WIDE: Self = Self { least: 0.0, most: f64::INFINITY };

    /// So many grams, a step more or less, of what has this share of it.
    const fn narrow(&mut self, is: f64, step: f64, share: f64) {
        *self = self.narrowed(is, step, share);
    }

    /// The same, and what was open before.
    const fn narrowed(self, is: f64, step: f64, share: f64) -> Self {
        self.overlap(&Self { least: (is - step) / share, most: (is + step) / share })
    }

    const fn overlap(&self, other: &Self) -> Self {
        Self { least: self.least.max(other.least), most: self.most.min(other.most) }
    }

    fn is_some(&self) -> bool {
        self.least <= self.most * (1.0 + 1e-9)
    }
}
