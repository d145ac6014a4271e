//! A dose that the house's scales cannot show: which is the furthest off, and what scale would show it.

use crate::quantity::{Fraction, Mass};

use super::mixing::Means;
use super::small_batch::{AccentMeans, LayerPlan};
use super::weighing::{Weighed, minimum_weight};
use super::whole::Plan;

/// Steps in which scales are sold, the coarsest first, g. (Common practice, no source.)
const STEPS_G: [f64; 5] = [1.0, 0.1, 0.01, 0.001, 0.0001];

/// How many times its own mass a base's dose weighs as the let-down that is reckoned with here, 1 : 9: one
/// that brings little part A with it.
const LET_DOWN_TIMES: f64 = 10.0;

/// A dose that is off by more than the house's weighing tolerance as its scale shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct TooCoarse {
    /// The colorant's or accent's name.
    pub name: String,
    /// What is wanted and what can be weighed.
    pub weighed: Weighed,
    /// Readability of the coarsest usual scale that weighs it within tolerance: a base's dose straight or let
    /// down 1 : 9, an accent straight, in one cup for all its containers.
    pub needed: Mass,
    /// How many more doses are off by more than the tolerance.
    pub others: usize,
}

impl Plan {
    /// The dose that is off by the greatest share of itself, where one is off by more than the house's
    /// weighing tolerance. Bases' layers are not meant: they stray by a step so that readings do not.
    #[must_use]
    pub fn too_coarse(&self) -> Option<TooCoarse> {
        let straight = |dose: &&super::DoseWeighed| !matches!(dose.means, Means::LetDown { .. });
        let doses = self.bases.iter().flat_map(|base| base.kinds()).flat_map(|(_, mix)| &mix.doses);
        let doses = doses
            .filter(straight)
            .map(|dose| (dose.colorant.as_str(), dose.weighed(), LET_DOWN_TIMES));
        let accents = self.small_batches.iter().flat_map(|batch| {
            batch.layers.iter().filter_map(move |layer| match layer {
                LayerPlan::Base { .. } => None,
                LayerPlan::Accent { name, weighed, means, .. } => {
                    let shared = *means == AccentMeans::Shared;
                    let times = if shared { 1.0 } else { f64::from(batch.count) };
                    Some((name.as_str(), weighed, times))
                }
            })
        });
        let mut off: Vec<_> =
            doses.chain(accents).filter(|(_, weighed, _)| weighed.is_off()).collect();
        off.sort_by(|one, other| other.1.off_by().total_cmp(&one.1.off_by()));
        let (name, weighed, times) = *off.first()?;
        Some(TooCoarse {
            name: name.to_owned(),
            weighed: weighed.clone(),
            needed: needed(weighed.exact * times, weighed.tolerance()),
            others: off.len() - 1,
        })
    }
}

/// Readability of the coarsest usual scale that weighs `mass` within a tolerance; the finest usual where none
/// does.
fn needed(mass: Mass, tolerance: Fraction) -> Mass {
    let weighs = |step: &&f64| minimum_weight(Mass::from_g(**step), tolerance) <= mass;
    let [.., finest] = STEPS_G;
    Mass::from_g(STEPS_G.iter().find(weighs).copied().unwrap_or(finest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_coarsest_step_that_weighs_a_mass_is_named() {
        let within = Fraction::from_percent(2.0);
        // 2·0.41·d/0.02 = 41 d.
        for (g, step) in [(41.0, 1.0), (40.9, 0.1), (0.42, 0.01), (0.06, 0.001), (1e-6, 0.0001)] {
            assert!((needed(Mass::from_g(g), within).g() - step).abs() < 1e-12, "{g} g");
        }
    }
}
