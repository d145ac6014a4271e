//! Amounts typed with a slipped point or in another unit: so many times what the plan, the other part or the recipe has.

use super::suspect::{Known, Whole, is_near_within, loading};
use super::{CorrectAsk, Held};
use crate::model::meant;
use crate::plan::DoseWeighed;
use crate::quantity::units::{G_PER_LB, G_PER_OZ};
use crate::quantity::{Fraction, Mass};

/// What an amount is of.
#[derive(Debug, Clone, PartialEq)]
pub enum Amount {
    /// Part A, that of let-downs apart.
    PartA,
    /// Part B.
    PartB,
    /// A colorant, neat or as a let-down.
    Colorant {
        /// The colorant.
        name: String,
        /// Colorant / (colorant + part A), where a let-down was typed.
        let_down: Option<Fraction>,
    },
}

/// What says how much an amount should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expected {
    /// The job's plan.
    Plan,
    /// The other part, by the ratio.
    OtherPart,
    /// The recipe, for so much resin.
    Recipe,
}

/// An amount that is as it should be once a slip of the point or of the unit is undone.
#[derive(Debug, Clone, PartialEq)]
pub struct Slipped {
    /// Of what.
    pub what: Amount,
    /// As typed.
    pub typed: Mass,
    /// The same without the slip.
    pub meant: Mass,
    /// What it should be.
    pub expected: Mass,
    /// Who says so.
    pub by: Expected,
}

/// How many times too much or too little is typed where a point slips by one to three places (by three: kg for g), ounces
/// stand for grams, pounds for ounces or pounds for grams.
const SLIPS: [f64; 6] = [10.0, 100.0, 1000.0, G_PER_OZ, G_PER_LB / G_PER_OZ, G_PER_LB];
/// An amount so near to what it should be is taken to be meant so. (Common practice, no source: the slips lie further
/// apart.)
pub(super) const WITHIN: f64 = 0.15;

/// The amount without its slip; none where it is as it should be, or off in no such way.
pub(super) fn undone(typed: f64, expected: f64) -> Option<f64> {
    let usual = expected * (1.0 - WITHIN)..=expected * (1.0 + WITHIN);
    (expected > 0.0).then(|| meant(typed, &usual, &SLIPS)).flatten()
}

/// An amount beside all that may say how much it should be, the surest first: none where it is as one of them says.
fn slip(what: Amount, typed: Mass, all: &[(Mass, Expected)]) -> Option<Slipped> {
    let right = |(expected, _): &(Mass, Expected)| {
        expected.g() > 0.0 && is_near_within(typed.g(), expected.g(), WITHIN)
    };
    if all.iter().any(right) {
        return None;
    }
    all.iter().find_map(|(expected, by)| {
        let meant = Mass::from_g(undone(typed.g(), expected.g())?);
        Some(Slipped { what: what.clone(), typed, meant, expected: *expected, by: *by })
    })
}

/// Parts A and B of which one or both have slipped.
pub(super) fn of_parts(ask: &CorrectAsk<'_>, known: &Known<'_>) -> Vec<Slipped> {
    let b_to_a = ask.limits.system.phr() / 100.0;
    let let_down_a = known.let_down_a();
    let [typed_a, b] = [ask.held.part_a - let_down_a, ask.held.part_b];
    let plan = known.planned.as_ref().map(|planned| planned.mix);
    // What stands beside its other part by the ratio may be a part of a mix; it is not many times a mix.
    let expected = |typed: Mass, planned: Option<Mass>, by_other: Mass| {
        let planned = planned.map(|mass| (mass, Expected::Plan));
        let larger = planned.is_some_and(|(planned, _)| typed > planned);
        let by_other = (by_other, Expected::OtherPart);
        planned.into_iter().chain((!larger).then_some(by_other)).collect::<Vec<_>>()
    };
    let for_a = expected(
        typed_a,
        plan.map(|mix| mix.part_a.mass),
        (b * (1.0 / b_to_a) - let_down_a).greater(Mass::ZERO),
    );
    let for_b = expected(b, plan.map(|mix| mix.part_b.mass), ask.held.part_a * b_to_a);
    // By each other they are as they should be, where both slipped alike. Where the colorants are theirs too, it is less of
    // the mix; so is a left-over.
    let alike = plan.and_then(|mix| both_by_plan([typed_a, b], [mix.part_a.mass, mix.part_b.mass]));
    if let Some(both) = alike.filter(|_| ask.at_least.is_none() && !tinted_as_the_recipe(ask)) {
        return both.to_vec();
    }
    let own = slip(Amount::PartA, typed_a, &for_a);
    let other = slip(Amount::PartB, b, &for_b);
    match (own, other) {
        // By each other alone it is not known which has slipped; the colorants may tell.
        (Some(own), Some(other)) if both_by_ratio(&own, &other) => {
            match [&own, &other].map(|slip| tinted_as_the_recipe(&mended(ask, slip))) {
                [true, false] => vec![own],
                [false, true] => vec![other],
                _ => vec![own, other],
            }
        }
        (own, other) => own.into_iter().chain(other).collect(),
    }
}

/// Parts A and B that are both as planned once the same slip of both is undone.
fn both_by_plan([a, b]: [Mass; 2], [planned_a, planned_b]: [Mass; 2]) -> Option<[Slipped; 2]> {
    let of = |what, typed: Mass, expected: Mass| {
        let meant = Mass::from_g(undone(typed.g(), expected.g())?);
        Some(Slipped { what, typed, meant, expected, by: Expected::Plan })
    };
    let both = [of(Amount::PartA, a, planned_a)?, of(Amount::PartB, b, planned_b)?];
    let [times_a, times_b] = both.each_ref().map(|slip| slip.meant / slip.typed);
    is_near_within(times_a, times_b, 1e-9).then_some(both)
}

fn both_by_ratio(own: &Slipped, other: &Slipped) -> bool {
    own.by == Expected::OtherPart && other.by == Expected::OtherPart
}

/// Whether any colorant is held, and each as the recipe has it.
fn tinted_as_the_recipe(ask: &CorrectAsk<'_>) -> bool {
    let resin = Whole::ByMore.resin(ask, 0.0);
    let as_it_should_be = |(name, mass): (&String, &Mass)| {
        loading(ask, name).is_some_and(|loading| is_near_within(mass.g(), loading * resin, WITHIN))
    };
    !ask.held.colorants.is_empty() && ask.held.colorants.iter().all(as_it_should_be)
}

/// Weighings of colorants that have slipped; `ask` and what its parts are without a slip of theirs.
pub(super) fn of_colorants(ask: &CorrectAsk<'_>, known: &Known<'_>) -> Vec<Slipped> {
    let resin = Whole::ByMore.resin(ask, 0.0);
    let weighings = known.weighings.iter().filter_map(|weighing| {
        let name = &weighing.colorant;
        let share = weighing.let_down.map_or(1.0, Fraction::value);
        let own = weighing.mass * share;
        // What else of it was weighed in.
        let rest = *ask.held.colorants.get(name)? - own;
        let planned = known.planned.as_ref().map(|planned| {
            let doses = planned.mix.doses.iter().filter(|dose| dose.colorant == *name);
            doses.map(DoseWeighed::colorant_mass).sum::<Mass>()
        });
        let by_recipe = loading(ask, name).map(|loading| Mass::from_g(loading * resin));
        let all: Vec<(Mass, Expected)> = [
            planned.map(|mass| (mass, Expected::Plan)),
            by_recipe.map(|mass| (mass, Expected::Recipe)),
        ]
        .into_iter()
        .flatten()
        .map(|(mass, by)| ((mass - rest) * (1.0 / share), by))
        .filter(|(mass, _)| mass.g() > 0.0)
        .collect();
        let what = Amount::Colorant { name: name.clone(), let_down: weighing.let_down };
        slip(what, weighing.mass, &all)
    });
    weighings.collect()
}

/// The same mix with that slip undone.
pub(super) fn mended<'a>(ask: &CorrectAsk<'a>, slip: &Slipped) -> CorrectAsk<'a> {
    let mut ask = ask.clone();
    mend(&mut ask.held, slip);
    ask
}

fn mend(held: &mut Held, slip: &Slipped) {
    let more = slip.meant - slip.typed;
    match &slip.what {
        Amount::PartA => held.part_a += more,
        Amount::PartB => held.part_b += more,
        Amount::Colorant { name, let_down } => {
            let share = let_down.map_or(1.0, Fraction::value);
            *held.colorants.entry(name.clone()).or_default() += more * share;
            held.part_a += more * (1.0 - share);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_undone_where_that_lands_near() {
        for (typed, expected, meant) in [
            (96.0, 960.0, 960.0),
            (9.6, 960.0, 960.0),
            (9600.0, 960.0, 960.0),
            (85.0 * G_PER_OZ, 90.0, 85.0),
            (0.96, 960.0, 960.0),
            (16.0 * 32.0, 32.0, 32.0),
        ] {
            let found = undone(typed, expected).expect("a slip");
            assert!((found - meant).abs() < 1e-9, "{typed}: {found}");
        }
        for (typed, expected) in
            [(960.0, 960.0), (480.0, 960.0), (120.0, 960.0), (0.0, 960.0), (96.0, 0.0)]
        {
            assert_eq!(undone(typed, expected), None, "{typed} for {expected}");
        }
    }
}
