//! What the stated weights look like a slip of, where they are off in a way that slips have.

use std::collections::BTreeMap;

use super::slipped::{self, Amount, Slipped};
use super::{CorrectAsk, Planned};
use crate::plan::{DoseWeighed, Means, fineness, let_down_ratios_made};
use crate::quantity::{Fraction, Mass};

/// A slip that the weights look like.
#[derive(Debug, Clone, PartialEq)]
pub enum Suspicion {
    /// Parts A and B stand the wrong way round.
    PartsSwapped,
    /// There is twice as much of part A as part B needs.
    TwiceA,
    /// There is twice as much of part B as part A needs.
    TwiceB,
    /// Part B is what a scale shows with part A on it.
    ReadingForB,
    /// There is twice as much of a colorant as the base needs.
    TwiceColorant(String),
    /// A colorant stands as neat with the weight of its let-down.
    LetDownAsNeat {
        /// The colorant.
        colorant: String,
        /// Colorant / (colorant + part A).
        ratio: Fraction,
        /// What was weighed.
        weighed: Mass,
    },
    /// Two colorants stand for each other.
    ColorantsSwapped(String, String),
    /// An amount with a slipped point, or in another unit.
    Slipped(Slipped),
    /// A let-down of another strength than the plan makes of that colorant.
    OtherLetDown {
        /// The colorant.
        colorant: String,
        /// As typed: colorant / (colorant + part A).
        typed: Fraction,
        /// As the plan makes it.
        planned: Fraction,
        /// What was weighed of it.
        weighed: Mass,
    },
    /// There is more of a colorant than the plan buys.
    MoreThanBought {
        /// The colorant.
        colorant: String,
        /// What is held.
        held: Mass,
        /// What is bought.
        bought: Mass,
    },
    /// The colorants are those of another base of the colourway.
    OtherBase {
        /// That base.
        base: String,
        /// The mix of the job's plan that the parts are those of, which then has to be mixed anew; none where they are not.
        anew: Option<String>,
    },
    /// The colorants are those of the base, but parts A and B are those of a mix of another.
    OtherVessel {
        /// The base.
        base: String,
        /// That mix of the job's plan: `fog 2 or 3`.
        mix: String,
    },
    /// The mix of the plan that is named has neither the part A nor the part B that is held.
    OtherMix {
        /// The mix that is named: `fog 1`.
        named: String,
        /// Its parts A and B as its sheet has them.
        planned: [Mass; 2],
        /// Parts A and B as typed, without the part A of let-downs.
        held: [Mass; 2],
        /// Whether the plan has further mixes of the base.
        others: bool,
        /// The mix of the plan that has both, and its number; none where none has.
        fits: Option<(String, u32)>,
    },
}

/// A weighing of a colorant as a person states it.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// The colorant.
    pub colorant: String,
    /// What was weighed: of the let-down, where it is one.
    pub mass: Mass,
    /// Colorant / (colorant + part A), where a let-down was weighed.
    pub let_down: Option<Fraction>,
}

/// Another base of the colourway.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherBase {
    /// Its name.
    pub name: String,
    /// Loadings of the lots at hand.
    pub loadings: BTreeMap<String, f64>,
}

/// What weights are judged by beside the recipe.
#[derive(Debug, Clone, Default)]
pub struct Known<'a> {
    /// Colorants as they were typed.
    pub weighings: Vec<Weighing>,
    /// The mix of the job's plan that it is taken for.
    pub planned: Option<Planned<'a>>,
    /// The mix of the plan that fits best, where `planned` is that which a person names; else none.
    pub instead_of_named: Option<Planned<'a>>,
    /// The other bases of the colourway.
    pub others: Vec<OtherBase>,
}

impl Known<'_> {
    /// The part A that came with let-downs.
    pub(super) fn let_down_a(&self) -> Mass {
        let of = |weighing: &Weighing| {
            weighing.mass * (1.0 - weighing.let_down.map_or(1.0, Fraction::value))
        };
        self.weighings.iter().map(of).sum()
    }

    fn is_let_down(&self, name: &str) -> bool {
        let own = |weighing: &&Weighing| weighing.colorant == name;
        self.weighings.iter().filter(own).any(|weighing| weighing.let_down.is_some())
    }
}

/// A ratio so near to that of a slip is taken for it. (Common practice, no source: well above what a scale
/// errs by, well below what tells one slip from another.)
pub(super) const NEAR: f64 = 0.03;

/// What the weights look like: amounts that slipped by a point or a unit, then the rest, the best fitting first, but a
/// slip of A and B before those of colorants; nothing where they are as they should be, or off in no such way.
#[must_use]
pub fn suspicions(asked: &CorrectAsk<'_>, known: &Known<'_>) -> Vec<Suspicion> {
    let slipped = slipped::of_parts(asked, known);
    // What else is off is judged as if these were not.
    let mut ask = slipped.first().map_or_else(|| asked.clone(), |one| slipped::mended(asked, one));
    for slip in slipped.iter().skip(1).filter(|slip| slip.by == slipped::Expected::Plan) {
        ask = slipped::mended(&ask, slip);
    }
    let slip = parts(&ask);
    let as_neat = as_neat(&ask, known, slip == Some(Suspicion::PartsSwapped));
    let is_as_neat = |amount: &Amount| {
        as_neat.iter().any(|(_, slip)| match (slip, amount) {
            (Suspicion::LetDownAsNeat { colorant, .. }, Amount::Colorant { name, .. }) => {
                colorant == name
            }
            _ => false,
        })
    };
    let mut tints = slipped::of_colorants(&ask, known);
    tints.retain(|slip| !is_as_neat(&slip.what));
    for slip in &tints {
        ask = slipped::mended(&ask, slip);
    }
    let mut found = as_neat;
    // Of a mix whose A or B is a slip it is not known what its colorants should be.
    if slip.is_none() {
        found.extend(of_colorants(&ask, Whole::ByMore.resin(&ask, 0.0)));
    }
    found.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let amounts = slipped.into_iter().chain(tints).map(Suspicion::Slipped);
    other_mix(asked, known)
        .into_iter()
        .chain(amounts)
        .chain(slip)
        .chain(found.into_iter().map(|(_, slip)| slip))
        .chain(other_let_downs(known))
        .chain(more_than_bought(&ask, known))
        .chain(other_base(&ask, known))
        .chain(other_vessel(&ask, known))
        .collect()
}

/// Colorants typed as neat with the weight of their let-down, with how far each misses.
fn as_neat(ask: &CorrectAsk<'_>, known: &Known<'_>, swapped: bool) -> Vec<(f64, Suspicion)> {
    // A let-down was weighed for the whole, however much of B is in by now, and whichever part was mistyped.
    let wholes = [Whole::ByMore, Whole::ByA].into_iter().chain(swapped.then_some(Whole::Both));
    let neat = ask.held.colorants.iter().filter(|(name, _)| !known.is_let_down(name));
    neat.filter_map(|(name, mass)| {
        let loading = loading(ask, name)?;
        let slips = wholes
            .clone()
            .filter_map(|whole| let_down_as_neat(ask, name, [mass.g(), loading], whole));
        slips.min_by(|(one, _), (other, _)| one.total_cmp(other))
    })
    .collect()
}

/// Let-downs that the plan makes in another strength.
fn other_let_downs(known: &Known<'_>) -> Vec<Suspicion> {
    let Some(planned) = &known.planned else { return Vec::new() };
    let made_of = |name: &str, dose: &DoseWeighed| match &dose.means {
        Means::LetDown { down, .. } if dose.colorant == name => Some(down.ratio),
        _ => None,
    };
    let other = known.weighings.iter().filter_map(|weighing| {
        let (name, typed) = (&weighing.colorant, weighing.let_down?);
        let own = planned.mix.doses.iter().find_map(|dose| made_of(name, dose))?;
        let mut doses = planned.plan.bases.iter().flat_map(|base| &base.mixes);
        let is_made = doses.any(|mix| {
            mix.doses
                .iter()
                .filter_map(|dose| made_of(name, dose))
                .any(|ratio| is_near(ratio.value(), typed.value()))
        });
        (!is_made).then(|| Suspicion::OtherLetDown {
            colorant: name.clone(),
            typed,
            planned: own,
            weighed: weighing.mass,
        })
    });
    other.collect()
}

/// Colorants of which more is held than the plan buys.
fn more_than_bought(ask: &CorrectAsk<'_>, known: &Known<'_>) -> Vec<Suspicion> {
    let Some(planned) = &known.planned else { return Vec::new() };
    let more = ask.held.colorants.iter().filter_map(|(name, held)| {
        let bought = planned.bought(name)?;
        (*held > bought).then(|| Suspicion::MoreThanBought {
            colorant: name.clone(),
            held: *held,
            bought,
        })
    });
    more.collect()
}

/// That the mix that is named is not what is held.
fn other_mix(asked: &CorrectAsk<'_>, known: &Known<'_>) -> Option<Suspicion> {
    let nearest = known.instead_of_named.as_ref()?;
    // A left-over is no mix of the plan.
    let named = known.planned.as_ref().filter(|_| asked.at_least.is_none())?;
    (!named.may_be_held(&asked.held)).then(|| Suspicion::OtherMix {
        named: named.name.clone(),
        planned: named.on_sheet(),
        held: [asked.held.part_a - known.let_down_a(), asked.held.part_b],
        others: named.has_others(),
        fits: nearest
            .number()
            .filter(|_| nearest.is_held(&asked.held))
            .map(|number| (nearest.name.clone(), number)),
    })
}

/// Colorants that miss those of the asked base by so great a share, or by more, are not its own. (Common practice, no
/// source.)
const FOREIGN: f64 = 0.5;

/// Loadings of what is held, and how far they are from those of the asked base.
fn tinted<'a>(ask: &'a CorrectAsk<'_>) -> (BTreeMap<&'a str, f64>, f64) {
    let resin = Whole::ByMore.resin(ask, 0.0);
    let own: BTreeMap<String, f64> =
        ask.wanted.keys().filter_map(|name| Some((name.clone(), loading(ask, name)?))).collect();
    let held: BTreeMap<&str, f64> =
        ask.held.colorants.iter().map(|(name, mass)| (name.as_str(), mass.g() / resin)).collect();
    let apart = apart(&held, &own);
    (held, apart)
}

/// That parts A and B are those of a mix of another base, though the colorants are not.
fn other_vessel(ask: &CorrectAsk<'_>, known: &Known<'_>) -> Option<Suspicion> {
    let planned = known.planned.as_ref().filter(|own| !own.may_be_held(&ask.held))?;
    let (held, apart) = tinted(ask);
    if held.is_empty() || ask.at_least.is_some() || apart > slipped::WITHIN {
        return None;
    }
    let own = planned.base()?;
    let others = planned.plan.bases.iter().filter(|base| base.name != own.name);
    let mut mixes = others.flat_map(|base| Planned::all(planned.plan, &base.name));
    let mix = mixes.find(|mix| mix.is_held(&ask.held))?.name;
    Some(Suspicion::OtherVessel { base: own.name.clone(), mix })
}

/// The other base that the colorants are those of.
fn other_base(ask: &CorrectAsk<'_>, known: &Known<'_>) -> Option<Suspicion> {
    let (held, apart_from_own) = tinted(ask);
    // A left-over that goes into another base is meant to be foreign.
    if held.is_empty() || ask.at_least.is_some() || apart_from_own < FOREIGN {
        return None;
    }
    let others = known.others.iter().map(|other| (apart(&held, &other.loadings), other));
    others
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
        .filter(|(apart, _)| *apart <= slipped::WITHIN)
        .map(|(_, other)| Suspicion::OtherBase {
            base: other.name.clone(),
            anew: known
                .planned
                .as_ref()
                .filter(|planned| planned.is_held(&ask.held))
                .map(|planned| planned.name.clone()),
        })
}

/// How far what is held is from a recipe, colorant by colorant in a gram of resin: 0 where they are alike, 1 where they
/// share nothing (the Bray–Curtis dissimilarity).
fn apart(held: &BTreeMap<&str, f64>, recipe: &BTreeMap<String, f64>) -> f64 {
    let of = |name: &str| [held.get(name).copied(), recipe.get(name).copied()];
    let only = recipe.keys().map(String::as_str).filter(|name| !held.contains_key(name));
    let pairs =
        held.keys().copied().chain(only).map(|name| of(name).map(Option::unwrap_or_default));
    let (off, all) = pairs.fold((0.0, 0.0), |(off, all), [own, other]| {
        (off + (own - other).abs(), all + own + other)
    });
    if all > 0.0 { off / all } else { 0.0 }
}

/// What tells how much resin a mix is to have.
#[derive(Debug, Clone, Copy)]
pub(super) enum Whole {
    /// Both parts together, where they stand for each other.
    Both,
    /// Part A, whatever of B is in.
    ByA,
    /// The part there is more of, by the ratio.
    ByMore,
}

impl Whole {
    /// The resin, g, with so much more of part A.
    pub(super) fn resin(self, ask: &CorrectAsk<'_>, more_a: f64) -> f64 {
        let share = ask.limits.system.mass_fraction_a();
        let (a, b) = (ask.held.part_a.g() + more_a, ask.held.part_b.g());
        match self {
            Self::Both => a + b,
            Self::ByA => a / share,
            Self::ByMore => (a / share).max(b / (1.0 - share)),
        }
    }
}

/// The loading of the lot at hand that the base needs of a colorant; none where it needs none.
pub(super) fn loading(ask: &CorrectAsk<'_>, name: &str) -> Option<f64> {
    let strength = ask.shelf.iter().find(|each| each.name == name)?.lot_strength();
    Some(ask.wanted.get(name)? / strength).filter(|loading| *loading > 0.0)
}

/// What the colorants of so much resin, g, look like: twice what they should be, or swapped.
fn of_colorants(ask: &CorrectAsk<'_>, resin: f64) -> Vec<(f64, Suspicion)> {
    let mut found = Vec::new();
    let each: Vec<(&str, f64, f64)> = ask
        .held
        .colorants
        .iter()
        .filter_map(|(name, mass)| Some((name.as_str(), mass.g(), loading(ask, name)? * resin)))
        .collect();
    for (at, (name, held, needed)) in each.iter().enumerate() {
        let twice = miss(*held, 2.0 * needed);
        if twice <= NEAR {
            found.push((twice, Suspicion::TwiceColorant((*name).to_owned())));
        }
        for (other, other_held, other_needed) in &each[at + 1..] {
            let alike = is_near(*needed, *other_needed);
            let swapped = miss(*held, *other_needed).max(miss(*other_held, *needed));
            if !alike && swapped <= NEAR {
                let slip = Suspicion::ColorantsSwapped((*name).to_owned(), (*other).to_owned());
                found.push((swapped, slip));
            }
        }
    }
    found
}

/// A colorant that no scale weighs as little as the base needs of it, held in the weight that a let-down of it
/// would have that a plan makes, with how far it misses: `held` g, and `loading` g needed in a gram of resin.
fn let_down_as_neat(
    ask: &CorrectAsk<'_>,
    name: &str,
    [held, loading]: [f64; 2],
    whole: Whole,
) -> Option<(f64, Suspicion)> {
    let dose = Mass::from_g(loading * whole.resin(ask, 0.0));
    let load = ask.held.mass().greater(Mass::from_g(whole.resin(ask, 0.0)));
    let by = fineness(ask.house, load, dose, ask.held.part_a)?;
    by.let_down?;
    let made = let_down_ratios_made(ask.house, dose, ask.held.part_a);
    let (missed, ratio) = made
        .into_iter()
        // Its part A was resin too.
        .map(|ratio| {
            let resin = whole.resin(ask, held * (1.0 - ratio));
            (miss(held * ratio, loading * resin), ratio)
        })
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
        .filter(|(missed, _)| *missed <= NEAR)?;
    let slip = Suspicion::LetDownAsNeat {
        colorant: name.to_owned(),
        ratio: Fraction::new(ratio),
        weighed: Mass::from_g(held),
    };
    Some((missed, slip))
}

/// What A and B look like.
fn parts(ask: &CorrectAsk<'_>) -> Option<Suspicion> {
    let [a, b] = [ask.held.part_a.g(), ask.held.part_b.g()];
    let b_to_a = ask.limits.system.phr() / 100.0;
    if !(a > 0.0 && b > 0.0) || is_near(b, a * b_to_a) {
        return None;
    }
    let slips = [
        (b * b_to_a, Suspicion::PartsSwapped),
        (2.0 * b / b_to_a, Suspicion::TwiceA),
        (b / (2.0 * b_to_a), Suspicion::TwiceB),
        (b / (1.0 + b_to_a), Suspicion::ReadingForB),
    ];
    slips
        .into_iter()
        .map(|(slipped_a, slip)| (miss(a, slipped_a), slip))
        .min_by(|(one, _), (other, _)| one.total_cmp(other))
        .filter(|(missed, _)| *missed <= NEAR)
        .map(|(_, slip)| slip)
}

fn is_near(one: f64, other: f64) -> bool {
    is_near_within(one, other, NEAR)
}

/// Whether one is the other but for this fraction of that.
pub(super) fn is_near_within(one: f64, other: f64, within: f64) -> bool {
    miss(one, other) <= within
}

/// How far one is from the other, as a fraction of that.
fn miss(one: f64, other: f64) -> f64 {
    (one / other - 1.0).abs()
}
