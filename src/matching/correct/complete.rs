//! What completes a mix that was left unfinished: what is missing of the recipe, and nothing else.

use super::least::{Additions, Least};
use super::steps::{Steps, Wanted};
use super::{Bench, RATIO_WITHIN};

/// What is above the recipe by no more than this part is not overdosed: a scale's steps leave as much. (Common
/// practice, no source.)
const NOT_OVERDOSED: f64 = 1.03;

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

    /// What is missing of the recipe beside the resin that is held. `None` where nothing is missing altogether,
    /// where something is overdosed or foreign, or where a measurement speaks against the proportions.
    fn missing(&self, least: &Least<'_>) -> Option<Additions> {
        let held = &self.ask.held;
        let [a, b] = [held.part_a.g(), held.part_b.g()];
        let part_missing = a <= 0.0 || b <= 0.0;
        if self.ask.measured.is_some()
            || (!part_missing && self.ratio_error(0.0, 0.0) > RATIO_WITHIN)
        {
            return None;
        }
        let resin = if part_missing { (a / self.a).max(b / (1.0 - self.a)) } else { a + b };
        let mut any = part_missing;
        let mut grams = vec![resin - a - b];
        for colorant in &self.colorants {
            let wanted = self.ask.wanted.get(&colorant.name).copied().unwrap_or(0.0);
            let needed = wanted / colorant.lot_strength() * resin;
            let mass = held.colorants.get(&colorant.name).map_or(0.0, |mass| mass.g());
            if mass > needed * NOT_OVERDOSED {
                return None;
            }
            any |= needed > 0.0 && mass <= 0.0;
            let rounding = needed * (NOT_OVERDOSED - 1.0);
            let lacking = needed - mass;
            grams.push(if lacking > rounding { lacking } else { 0.0 });
        }
        let error = least.error(&grams);
        any.then_some(Additions { grams, error })
    }
}
