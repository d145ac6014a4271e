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

/// What the weights look like, the best fitting first; nothing where they are as they should be, or off in no
/// such way. `stated_let_down`: the colorants of which a weight was stated as that of a let-down.
#[must_use]
pub fn suspicions(ask: &CorrectAsk<'_>, stated_let_down: &BTreeSet<String>) -> Vec<Suspicion> {
    // Off ratio, the resin says nothing of what its colorants should be.
    if let Some(slip) = parts(ask) {
        return vec![slip];
    }
    // By how far each misses.
    let mut found: Vec<(f64, Suspicion)> = Vec::new();
    let resin = (ask.held.part_a + ask.held.part_b).g();
    let needed = |name: &str| -> Option<f64> {
        let strength = ask.shelf.iter().find(|each| each.name == name)?.lot_strength();
        Some(ask.wanted.get(name)? / strength * resin)
    };
    let each: Vec<(&str, f64, f64)> = ask
        .held
        .colorants
        .iter()
        .filter_map(|(name, mass)| Some((name.as_str(), mass.g(), needed(name)?)))
        .filter(|(_, _, needed)| *needed > 0.0)
        .collect();
    for (at, (name, held, needed)) in each.iter().enumerate() {
        if !stated_let_down.contains(*name) {
            found.extend(let_down_as_neat(ask, name, [*held, needed / resin]));
        }
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
    found.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    found.into_iter().map(|(_, slip)| slip).collect()
}

/// A colorant that no scale weighs as little as the base needs of it, held in the weight that a let-down of it
/// would have that a plan makes, with how far it misses: `held` g, and `loading` g needed in a gram of resin.
fn let_down_as_neat(
    ask: &CorrectAsk<'_>,
    name: &str,
    [held, loading]: [f64; 2],
) -> Option<(f64, Suspicion)> {
    let resin = (ask.held.part_a + ask.held.part_b).g();
    let dose = Mass::from_g(loading * resin);
    let by = fineness(ask.house, ask.held.mass(), dose, ask.held.part_a)?;
    by.let_down?;
    let made = let_down_ratios_made(ask.house, dose, ask.held.part_a);
    let (missed, ratio) = made
        .into_iter()
        // Its part A was resin too.
        .map(|ratio| (miss(held * ratio, loading * (resin + held * (1.0 - ratio))), ratio))
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
