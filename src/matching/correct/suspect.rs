//! What the stated weights look like a slip of, where they are off in a way that slips have.

use std::collections::BTreeSet;

use super::CorrectAsk;
use crate::plan::{fineness, let_down_ratios_made};
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
}

/// A ratio so near to that of a slip is taken for it. (Common practice, no source: well above what a scale
/// errs by, well below what tells one slip from another.)
const NEAR: f64 = 0.03;

/// What the weights look like, the best fitting first, but a slip of A and B before those of colorants; nothing where
/// they are as they should be, or off in no such way. `stated_let_down`: the colorants of which a weight was stated as
/// that of a let-down.
#[must_use]
pub fn suspicions(ask: &CorrectAsk<'_>, stated_let_down: &BTreeSet<String>) -> Vec<Suspicion> {
    let slip = parts(ask);
    let swapped = (slip == Some(Suspicion::PartsSwapped)).then_some(Whole::Both);
    // A let-down was weighed for the whole, however much of B is in by now, and whichever part was mistyped.
    let wholes = [Whole::ByMore, Whole::ByA].into_iter().chain(swapped);
    // By how far each misses.
    let mut found: Vec<(f64, Suspicion)> = Vec::new();
    for (name, mass) in
        ask.held.colorants.iter().filter(|(name, _)| !stated_let_down.contains(*name))
    {
        let Some(loading) = loading(ask, name) else { continue };
        let as_neat = wholes
            .clone()
            .filter_map(|whole| let_down_as_neat(ask, name, [mass.g(), loading], whole))
            .min_by(|(one, _), (other, _)| one.total_cmp(other));
        found.extend(as_neat);
    }
    // Of a mix whose A or B is a slip it is not known what its colorants should be.
    if slip.is_none() {
        found.extend(of_colorants(ask, Whole::ByMore.resin(ask, 0.0)));
    }
    found.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    slip.into_iter().chain(found.into_iter().map(|(_, slip)| slip)).collect()
}

/// What tells how much resin a mix is to have.
#[derive(Debug, Clone, Copy)]
enum Whole {
    /// Both parts together, where they stand for each other.
    Both,
    /// Part A, whatever of B is in.
    ByA,
    /// The part there is more of, by the ratio.
    ByMore,
}

impl Whole {
    /// The resin, g, with so much more of part A.
    fn resin(self, ask: &CorrectAsk<'_>, more_a: f64) -> f64 {
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
fn loading(ask: &CorrectAsk<'_>, name: &str) -> Option<f64> {
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
    miss(one, other) <= NEAR
}

/// How far one is from the other, as a fraction of that.
fn miss(one: f64, other: f64) -> f64 {
    (one / other - 1.0).abs()
}
