//! Which subsets may count: the tree of subsets walked by inclusion, without the branches whose tints
//! all together already miss by too much (G. M. Furnival, R. W. Wilson, *Regressions by leaps and
//! bounds*, Technometrics 16, 499, 1974).
//!
//! What is asked of many tints together is only whether they come near enough. Amounts that do are handed
//! down: without a tint that they do not use they are as near as before and nothing is reckoned; without
//! one that they use, they are where the next climb begins. Only where that fails are guesses climbed
//! from, and only where those fail too is the branch left out.

use super::climb::{Slope, TO_THE_TOP, Until};
use super::search::Search;
use super::subsets::{Subset, grown};

/// A branch with fewer subsets is climbed rather than bounded.
const WORTH_A_BOUND: usize = 24;
/// Room for a bound's climb that ended short of its top, ΔE00.
pub(super) const DOUBT: f64 = 0.02;
/// Climbs of a bound, each from one of the best guesses.
const CLIMBS: usize = 2;
/// The same where only films that hide are sought: there are more regions to miss.
const HIDING_CLIMBS: usize = 6;

/// Amounts of many tints together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Together {
    /// In units of each tint's largest loading, a tint of the shelf each; nought for those left out.
    pub(super) amounts: Vec<f64>,
    /// Weighted root mean square ΔE00.
    pub(super) error: f64,
}

/// A walk over the tree.
struct Walk<'a> {
    search: &'a Search<'a>,
    /// Fewest and most tints.
    sizes: [usize; 2],
    /// A branch that misses by more is left out, ΔE00.
    most_error: f64,
    left: Vec<Subset>,
}

impl Search<'_> {
    /// The subsets of fewest to most tints that hold `must` and may come within `threshold`. The others of
    /// `order` are taken as they stand, the ones that matter most first; `all` is what all of them come to.
    pub(super) fn worth_climbing(
        &self,
        order: &[usize],
        must: &[usize],
        sizes: [usize; 2],
        threshold: f64,
        all: Together,
    ) -> Vec<Subset> {
        let others: Vec<usize> = order.iter().filter(|at| !must.contains(at)).copied().collect();
        let most_error = threshold + DOUBT;
        let mut walk = Walk { search: self, sizes, most_error, left: Vec::new() };
        walk.branch(&mut must.to_vec(), &others, all);
        walk.left
    }

    /// The nearest that these tints come together, or the first amounts met that come within `enough`;
    /// from `start`, or from guesses.
    pub(super) fn together(&self, all: &[usize], start: Option<&[f64]>, enough: f64) -> Together {
        match all.len() {
            0..=4 => self.together_in::<4>(all, start, enough),
            5..=8 => self.together_in::<8>(all, start, enough),
            9..=16 => self.together_in::<16>(all, start, enough),
            17..=24 => self.together_in::<24>(all, start, enough),
            25..=32 => self.together_in::<32>(all, start, enough),
            _ => self.together_in::<64>(all, start, enough),
        }
    }

    fn together_in<const N: usize>(
        &self,
        all: &[usize],
        start: Option<&[f64]>,
        enough: f64,
    ) -> Together {
        let slope: Slope<'_, N> = self.slope(all.iter().copied());
        // What cannot come near enough need not be climbed to its top.
        let hopeless = if enough > 0.0 { enough } else { f64::INFINITY };
        let until = Until { error: TO_THE_TOP.error.max(enough), hopeless, ..TO_THE_TOP };
        let peak = match start {
            Some(start) => {
                let mut own = [0.0; N];
                for (cell, tint) in own.iter_mut().zip(all) {
                    *cell = start[*tint];
                }
                slope.climb(own, until)
            }
            None => {
                let climbs = if self.chart.is_some() { HIDING_CLIMBS } else { CLIMBS };
                self.climbed(&slope, all, climbs, until)
            }
        };
        let mut amounts = vec![0.0; self.tints.len()];
        for (tint, amount) in all.iter().zip(peak.amounts) {
            amounts[*tint] = amount;
        }
        Together { amounts, error: peak.error }
    }
}

impl Walk<'_> {
    /// The subsets that hold `branch` and any of `others`; `known` are amounts of all of them.
    fn branch(&mut self, branch: &mut Vec<usize>, others: &[usize], mut known: Together) {
        let [fewest, most] = self.sizes;
        if branch.len() >= fewest {
            self.left.push(Subset::of(branch));
        }
        if branch.len() >= most {
            return;
        }
        for at in 0..others.len() {
            let rest = &others[at..];
            if grown(rest.len(), most - branch.len()) >= WORTH_A_BOUND {
                if at > 0 {
                    known = self.without(&known, others[at - 1], branch, rest);
                }
                if known.error > self.most_error {
                    // What holds a later tint and none of the earlier ones has fewer tints still.
                    return;
                }
            }
            branch.push(others[at]);
            self.branch(branch, &others[at + 1..], known.clone());
            branch.pop();
        }
    }

    /// Near enough amounts of `branch` and `rest`, which `lost` has just left; or the nearest.
    fn without(&self, known: &Together, lost: usize, branch: &[usize], rest: &[usize]) -> Together {
        if known.amounts[lost] <= 0.0 && known.error <= self.most_error {
            return known.clone();
        }
        let all: Vec<usize> = branch.iter().chain(rest).copied().collect();
        let warm = self.search.together(&all, Some(&known.amounts), self.most_error);
        if warm.error <= self.most_error {
            return warm;
        }
        let afresh = self.search.together(&all, None, self.most_error);
        if afresh.error < warm.error { afresh } else { warm }
    }
}
