//! What completes a mix that was left unfinished: what is missing of the recipe, and nothing else.

use super::least::{Additions, Least};
use super::steps::{Steps, Wanted};
use super::{AsWeighed, Bench, RATIO_WITHIN, as_weighed};

/// What is off the recipe by no more than this part of it is neither overdosed nor missing: a scale's steps leave as
/// much. (Common practice, no source.)
const ROUNDING: f64 = 0.03;

impl Bench<'_> {
    /// What completes the mix, weighable; `None` where it is not unfinished, or is near enough as it is, or where
    /// no steps of the scales bring it within tolerance.
    pub(super) fn completed(&self, least: &Least<'_>) -> Option<Steps> {
        let missing = self.missing(least)?;
        let as_it_is = vec![0.0; least.kinds.len()];
        let near_enough = least.error(&as_it_is) <= self.ask.within;
        if near_enough && self.ratio_error(0.0, 0.0) <= RATIO_WITHIN {
            return None;
        }
        let found = self.filled(least, missing);
        self.steps(least, &found, Wanted::AllOfIt).ok().flatten()
    }

    /// What is missing of the recipe for the whole that the part there is more of makes, by the ratio. `None` where
    /// nothing is missing, where something is overdosed for that whole or foreign, or where a measurement speaks
    /// against the proportions.
    fn missing(&self, least: &Least<'_>) -> Option<Additions> {
        if self.ask.measured.is_some() {
            return None;
        }
        let fix = self.ratio_fix();
        let whole = self.resin_held().g() + fix;
        let parts = self.parts(fix);
        let shares = [self.a, 1.0 - self.a];
        let mut any =
            parts.iter().zip(shares).any(|(lacking, share)| *lacking > ROUNDING * share * whole);
        // What the scales' steps and the first vessel's wall leave open is not missing.
        let but_for_a_part = as_weighed(self.ask) == AsWeighed::ButForAPart;
        let mut grams = vec![fix];
        for colorant in &self.colorants {
            let wanted = self.ask.wanted.get(&colorant.name).copied().unwrap_or(0.0);
            let needed = wanted / colorant.lot_strength() * whole;
            let mass = self.ask.held.colorants.get(&colorant.name).map_or(0.0, |mass| mass.g());
            if !but_for_a_part && mass > needed * (1.0 + ROUNDING) {
                return None;
            }
            let lacks = !but_for_a_part && needed - mass > needed * ROUNDING;
            any |= lacks;
            grams.push(if lacks { needed - mass } else { 0.0 });
        }
        let error = least.error(&grams);
        any.then_some(Additions { grams, error })
    }
}
