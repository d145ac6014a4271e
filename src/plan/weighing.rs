//! What the scale must show.

use super::let_down::Brought;
use crate::model::{House, Scale};
use crate::quantity::{Fraction, Mass};

/// Repeatability of a scale against its readability at best: a standard deviation below 0.41 d
/// cannot be told from 0.41 d (the form of USP general chapter <41>).
const REPEATABILITY_IN_STEPS: f64 = 0.41;

/// A weight on a scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// As reckoned.
    pub exact: Mass,
    /// As the scale can show it.
    pub mass: Mass,
    /// The scale's name.
    pub scale: String,
    /// Its step.
    pub readability: Mass,
    /// What the tared scale shows after it, where several go in one after another.
    pub reading: Mass,
    /// The house's tolerance: how far a weighing may be off, as a share of itself.
    pub tolerance: Fraction,
}

impl Weighed {
    /// `mass`, which stands for `exact`, alone on a tared scale.
    pub(super) fn on(house: &House, scale: &Scale, exact: Mass, mass: Mass) -> Self {
        Self {
            exact,
            mass,
            scale: scale.name.clone(),
            readability: scale.readability,
            reading: mass,
            tolerance: house.weighing_tolerance,
        }
    }

    /// A dose to the scale's nearest step, alone on it, and never rounded away.
    pub(super) fn dose(house: &House, scale: &Scale, exact: Mass) -> Self {
        let mass = to_step(exact, scale.readability).greater(scale.readability);
        Self::on(house, scale, exact, mass)
    }

    /// The least that this scale weighs within the house's tolerance.
    #[must_use]
    pub fn minimum(&self) -> Mass {
        minimum_weight(self.readability, self.tolerance)
    }

    /// Whether the scale weighs it within the house's tolerance.
    #[must_use]
    pub fn within_tolerance(&self) -> bool {
        self.mass.g() >= self.minimum().g() * (1.0 - 1e-9)
    }

    /// How far what can be weighed is from what is wanted, as a share of that.
    #[must_use]
    pub fn off_by(&self) -> f64 {
        ((self.mass.g() - self.exact.g()) / self.exact.g()).abs()
    }

    /// Whether it is off by more than the house's tolerance merely because its scale's step is too coarse.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.exact > Mass::ZERO && self.off_by() > self.tolerance.value()
    }

    /// Whether its scale weighs it within the house's tolerance and shows it so.
    pub(super) fn serves(&self) -> bool {
        self.exact <= Mass::ZERO || (self.within_tolerance() && !self.is_off())
    }

    /// How far it may be off, as a share of itself: by the scale's step, or by what its repeatability leaves open at
    /// such a weight, whichever is more.
    pub(super) fn doubt(&self) -> f64 {
        let repeats = self.tolerance.value() * (self.minimum().g() / self.mass.g());
        self.off_by().max(repeats)
    }
}

/// The least mass that a scale weighs within a relative tolerance: 2·0.41·d/tolerance, in the form
/// of USP general chapter <41>.
///
/// ```
/// use pourbook::plan::minimum_weight;
/// use pourbook::quantity::{Fraction, Mass};
/// let least = minimum_weight(Mass::from_g(0.1), Fraction::from_percent(2.0));
/// assert!((least.g() - 4.1).abs() < 1e-12);
/// ```
#[must_use]
pub fn minimum_weight(readability: Mass, tolerance: Fraction) -> Mass {
    readability * (2.0 * REPEATABILITY_IN_STEPS / tolerance.value())
}

/// Whether a scale weighs `mass` within the house's tolerance, also once it is taken to the scale's step.
#[must_use]
pub(super) fn weighs(house: &House, scale: &Scale, mass: Mass) -> bool {
    let least = minimum_weight(scale.readability, house.weighing_tolerance) * (1.0 - 1e-9);
    mass.lesser(to_step(mass, scale.readability)) >= least
}

/// The coarsest scale that weighs `mass` within tolerance and bears `load`; `None` if none does.
#[must_use]
pub(super) fn scale_for(house: &House, mass: Mass, load: Mass) -> Option<&Scale> {
    house.scales.iter().find(|scale| load <= scale.capacity && weighs(house, scale, mass))
}

/// Steps that the lighter of parts A and B weighs at least, so that rounding both to whole steps moves
/// A : B by 0.5 % at most.
const RATIO_STEPS: f64 = 200.0;

/// The coarsest scale that bears `load`, weighs parts A and B within tolerance and keeps their ratio,
/// when the lighter of the two weighs `lighter`; the finest that bears it where none does; `None` if
/// none bears it.
#[must_use]
pub fn scale_for_parts(house: &House, lighter: Mass, load: Mass) -> Option<&Scale> {
    house
        .scales
        .iter()
        .find(|scale| load <= scale.capacity && keeps_ratio(house, scale, lighter))
        .or_else(|| finest_for(house, load))
}

/// Whether a scale weighs parts A and B within tolerance and keeps their ratio, when the lighter of the
/// two weighs `lighter`.
pub(super) fn keeps_ratio(house: &House, scale: &Scale, lighter: Mass) -> bool {
    let least = minimum_weight(scale.readability, house.weighing_tolerance);
    lighter >= least.greater(scale.readability * RATIO_STEPS)
}

/// The finest scale that bears `load`, whether or not it weighs a mass well; `None` if none bears it.
#[must_use]
pub(super) fn finest_for(house: &House, load: Mass) -> Option<&Scale> {
    house.scales.iter().rev().find(|scale| load <= scale.capacity)
}

/// A mass to the scale's nearest step.
#[must_use]
pub(super) fn to_step(mass: Mass, readability: Mass) -> Mass {
    Mass::from_g((mass.g() / readability.g()).round() * readability.g())
}

/// A mass to the scale's next whole step, up.
#[must_use]
pub(super) fn step_up(mass: Mass, readability: Mass) -> Mass {
    Mass::from_g((mass.g() / readability.g() - 1e-9).ceil() * readability.g())
}

/// The whole steps nearest to `wanted` that stray from `exact` by a step at most; at least one step, so
/// that nothing is rounded away.
#[must_use]
pub(super) fn within_a_step(wanted: Mass, exact: Mass, readability: Mass) -> Mass {
    let step = readability.g();
    let steps = exact.g() / step;
    let held = (wanted.g() / step).round().clamp((steps - 1.0).ceil(), (steps + 1.0).floor());
    Mass::from_g(held.max(1.0) * step)
}

/// Masses on one scale, each a whole number of steps, that sum exactly to their total taken up to the
/// next step: each is first cut to whole steps, and the missing steps go to the largest remainders.
#[must_use]
pub(super) fn balanced(exact: &[Mass], readability: Mass) -> Vec<Mass> {
    let step = readability.g();
    let total: f64 = exact.iter().map(|mass| mass.g()).sum();
    let all_steps = (total / step - 1e-7).ceil().max(0.0);
    let mut whole: Vec<f64> = exact.iter().map(|mass| (mass.g() / step + 1e-9).floor()).collect();
    let mut order: Vec<usize> = (0..exact.len()).collect();
    order.sort_by(|one, other| {
        let rest = |at: &usize| exact[*at].g() / step - whole[*at];
        rest(other).total_cmp(&rest(one)).then(one.cmp(other))
    });
    let mut missing = all_steps - whole.iter().sum::<f64>();
    for at in order.into_iter().cycle() {
        if missing < 0.5 || exact.is_empty() {
            break;
        }
        whole[at] += 1.0;
        missing -= 1.0;
    }
    whole.into_iter().map(|steps| Mass::from_g(steps * step)).collect()
}

/// How finely a dose can be brought into a mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Fineness {
    /// The scale.
    pub scale: String,
    /// Its step.
    pub readability: Mass,
    /// Colorant / (colorant + part A), where it goes in as a let-down.
    pub let_down: Option<Fraction>,
    /// What one step of the scale brings of the colorant.
    pub step: Mass,
    /// The least of the colorant that is weighed so within the house's tolerance.
    pub minimum: Mass,
}

/// How finely a dose of colorant can be brought into a mix that `bench` (a scale of the house) carries:
/// on top of it where that weighs the dose within tolerance, else in a cup on a finer scale, else let
/// down in at most `most_a` of part A, else on the finest scale for what that is worth. `None` where no
/// scale bears it.
#[must_use]
pub fn fineness(house: &House, load: Mass, dose: Mass, most_a: Mass) -> Option<Fineness> {
    fineness_with(house, load, dose, most_a, None)
}

/// The same where a let-down of a stated ratio (colorant / (colorant + part A)) is at hand, which is taken from
/// where a scale weighs it.
#[must_use]
pub fn fineness_with(
    house: &House,
    load: Mass,
    dose: Mass,
    most_a: Mass,
    at_hand: Option<Fraction>,
) -> Option<Fineness> {
    let straight = |scale: &Scale| Fineness {
        scale: scale.name.clone(),
        readability: scale.readability,
        let_down: None,
        step: scale.readability,
        minimum: minimum_weight(scale.readability, house.weighing_tolerance),
    };
    if let Some(scale) = scale_for(house, dose, load).or_else(|| scale_for(house, dose, dose)) {
        return Some(straight(scale));
    }
    let brought = Brought { dose, most_a, mixes: 1.0 };
    let at_hand = at_hand.and_then(|ratio| brought.at(house, ratio.value()));
    if let Some((down, scale)) = at_hand.or_else(|| brought.strongest(house)) {
        let plain = straight(scale);
        return Some(Fineness {
            let_down: Some(down.ratio),
            step: plain.step * down.ratio.value(),
            minimum: plain.minimum * down.ratio.value(),
            ..plain
        });
    }
    finest_for(house, dose).map(straight)
}

/// How finely more of a colorant can be brought into a mix that holds so much of it, on the finest scale and as it is:
/// the tolerance is that of all that the mix then holds, for that is what colours it. `None` where that is not kept.
#[must_use]
pub fn fineness_beside(house: &House, more: Mass, held: Mass) -> Option<Fineness> {
    let scale = finest_for(house, more)?;
    let least = minimum_weight(scale.readability, house.weighing_tolerance) - held;
    let minimum = least.greater(scale.readability);
    (more >= minimum * (1.0 - 1e-9)).then(|| Fineness {
        scale: scale.name.clone(),
        readability: scale.readability,
        let_down: None,
        step: scale.readability,
        minimum,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn rounded_masses_sum_exactly_and_stray_less_than_a_step(
            exact in prop::collection::vec(0.0..5000.0_f64, 1..8), step in prop::sample::select(vec![1.0, 0.1, 0.01, 0.5]),
        ) {
            let masses: Vec<Mass> = exact.iter().map(|g| Mass::from_g(*g)).collect();
            let rounded = balanced(&masses, Mass::from_g(step));
            let total: f64 = exact.iter().sum();
            let sum: f64 = rounded.iter().map(|m| m.g()).sum();
            prop_assert!(sum >= total - 1e-6 * step && sum < total + step * (1.0 + 1e-6), "{} for {}", sum, total);
            for (one, other) in rounded.iter().zip(&exact) {
                prop_assert!((one.g() - other).abs() <= step * (1.0 + 1e-6));
            }
        }
    }

    proptest! {
        #[test]
        fn a_layer_strays_by_a_step_whatever_the_reading_asks(
            exact in 0.001..5000.0_f64, off in -50.0..50.0_f64,
            step in prop::sample::select(vec![1.0, 0.1, 0.01, 0.5]),
        ) {
            let [exact, wanted, one] = [exact, exact + off, step].map(Mass::from_g);
            let held = within_a_step(wanted, exact, one);
            prop_assert!((held - exact).g().abs() <= step * (1.0 + 1e-9), "{held} for {exact}");
            prop_assert!(held.g() >= step * (1.0 - 1e-9), "nothing is rounded away");
            let steps = held.g() / step;
            prop_assert!((steps - steps.round()).abs() < 1e-6, "{held} is no step");
        }
    }

    /// A gram more of what a mix holds plenty of needs no finer a scale than the whole of it does.
    #[test]
    fn more_of_what_is_held_is_weighed_to_the_tolerance_of_the_whole() {
        let house = House::default();
        let finest = house.scales.last().unwrap().readability;
        let alone = minimum_weight(finest, house.weighing_tolerance);
        let more = finest * 3.0;
        assert!(more < alone, "too little for that scale by itself");
        assert_eq!(fineness_beside(&house, more, Mass::ZERO), None);
        assert_eq!(fineness_beside(&house, more, alone - finest * 3.5), None, "half a step short");
        let beside = fineness_beside(&house, more, alone).unwrap();
        assert_eq!((beside.minimum, beside.step, beside.let_down), (finest, finest, None));
        assert_eq!(fineness_beside(&house, finest * 0.5, alone), None, "less than a step");
    }

    #[test]
    fn minimum_weights_of_the_published_form() {
        // USP <41> form: 2·0.41·d/tolerance.
        let least = |d: f64, percent: f64| {
            minimum_weight(Mass::from_g(d), Fraction::from_percent(percent)).g()
        };
        assert!((least(0.1, 0.1) - 82.0).abs() < 1e-9);
        assert!((least(1.0, 2.0) - 41.0).abs() < 1e-9);
    }
}
