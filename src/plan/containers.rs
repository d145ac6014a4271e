//! How many containers of each small batch, and how full: scaling a look means more containers of the
//! approved size, not bigger ones.

use crate::model::Colourway;
use crate::quantity::{Length, Volume};

use super::demand::made_for;
use super::vessel::Vessel;

/// Least fill, as a part of the approved fill, at which the look is taken as kept: lengths in the
/// pattern go with the cube root of the volume, and 0.85 is 5 % in length.
const KEEPS_THE_LOOK: f64 = 0.85;

/// The containers of one coat.
#[derive(Debug, Clone, PartialEq)]
pub struct Containers {
    /// How many of each pour, in pour order.
    pub counts: Vec<u32>,
    /// What goes into each, accents included.
    pub fill: Volume,
    /// What clings in each.
    pub cling: Volume,
    /// The fill that the recipe approved.
    pub approved: Volume,
}

impl Containers {
    /// The containers that bring out at least `out` when a film clings to their walls, or a share of
    /// what they hold; `None` where the walls would keep more than the
    /// container gives, or more than a million containers would be needed.
    ///
    /// Of the numbers from the least possible up, the first is taken whose mix of pours strays least
    /// from the recipe's, as long as each container stays nearly as full as approved.
    #[must_use]
    pub fn of(
        colourway: &Colourway,
        fill: f64,
        wall_film: Length,
        cling_share: f64,
        out: Volume,
    ) -> Option<Self> {
        let vessel = Vessel::of(colourway.container);
        let approved = colourway.container * fill;
        let cling = |content: Volume| {
            let by_share = content * cling_share;
            by_share + vessel.cling(wall_film, content - by_share)
        };
        let gives = approved - cling(approved);
        if gives.ml() <= 0.0 {
            return None;
        }
        let least = (out.ml() / gives.ml() * (1.0 - 1e-12)).ceil().max(1.0);
        if least > 1e6 {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 10⁶")]
        let least = least as u32;
        let set = colourway.containers_in_a_set().max(1);
        let wanted: Vec<f64> =
            colourway.pours.iter().map(|pour| f64::from(pour.count) / f64::from(set)).collect();
        let fill_of = |number: u32| {
            let each = vessel.content_for(wall_film, out * (1.0 / f64::from(number)))?;
            Some(made_for(each, cling_share))
        };
        let mut best: Option<(f64, u32, Vec<u32>, Volume)> = None;
        for number in least..least.saturating_add(set.min(1000)) {
            let each = fill_of(number)?;
            if number > least && each.ml() < KEEPS_THE_LOOK * approved.ml() {
                break;
            }
            let counts = apportion(&wanted, number);
            let strays = stray(&wanted, &counts, number);
            if best.as_ref().is_none_or(|(least_stray, ..)| strays < least_stray - 1e-9) {
                best = Some((strays, number, counts, each));
            }
        }
        let (_, _, counts, each) = best?;
        Some(Self { counts, fill: each, cling: cling(each), approved })
    }

    /// All of them.
    #[must_use]
    pub fn number(&self) -> u32 {
        self.counts.iter().sum()
    }

    /// Lengths in the pattern against the approved sample's: the cube root of the fills' ratio.
    #[must_use]
    pub fn vein_scale(&self) -> f64 {
        libm::cbrt(self.fill.ml() / self.approved.ml())
    }
}

/// Whole containers by the wanted fractions, largest remainders first; earlier pours first in a tie.
/// Where there are enough, no pour is left out.
fn apportion(wanted: &[f64], number: u32) -> Vec<u32> {
    let mut counts: Vec<u32> = Vec::with_capacity(wanted.len());
    let mut rest: Vec<(f64, usize)> = Vec::with_capacity(wanted.len());
    for (at, fraction) in wanted.iter().enumerate() {
        let exact = fraction * f64::from(number);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to number")]
        let whole = (exact + 1e-9).floor() as u32;
        counts.push(whole);
        rest.push((exact - f64::from(whole), at));
    }
    rest.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
    let missing = number.saturating_sub(counts.iter().sum());
    for (_, at) in rest.iter().cycle().take(missing as usize) {
        counts[*at] += 1;
    }
    let kinds = u32::try_from(wanted.len()).unwrap_or(u32::MAX);
    if number >= kinds {
        while let Some(none) = counts.iter().position(|count| *count == 0) {
            let Some(most) = (0..counts.len()).max_by_key(|at| (counts[*at], usize::MAX - at))
            else {
                break;
            };
            counts[most] -= 1;
            counts[none] += 1;
        }
    }
    counts
}

/// The largest difference between a pour's fraction of the containers and the recipe's.
fn stray(wanted: &[f64], counts: &[u32], number: u32) -> f64 {
    wanted
        .iter()
        .zip(counts)
        .map(|(fraction, count)| (f64::from(*count) / f64::from(number) - fraction).abs())
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_container_is_given_out_and_none_is_invented(
            parts in prop::collection::vec(1_u32..9, 1..7), number in 1_u32..400,
        ) {
            let sum: u32 = parts.iter().sum();
            let wanted: Vec<f64> = parts.iter().map(|p| f64::from(*p) / f64::from(sum)).collect();
            let counts = apportion(&wanted, number);
            prop_assert_eq!(counts.iter().sum::<u32>(), number);
            if number as usize >= parts.len() {
                prop_assert!(counts.iter().all(|count| *count > 0), "no pour is left out");
            }
            if number % sum == 0 {
                prop_assert!(stray(&wanted, &counts, number) < 1e-12, "whole sets keep the recipe");
            }
        }
    }
}
