//! The least additions that bring a colour within a tolerance.
//!
//! For a total T of additions the nearest colour E(T) is climbed for; more may be added where less
//! would do, so E never rises with T, and the least T with E(T) ≤ tolerance is found by halving.

#![expect(
    clippy::needless_range_loop,
    reason = "indices of rows and columns read as in the formulas"
)]

use super::super::blend::{Sight, Unit};
use super::super::climb::{Aim, Chart, ROWS, Slope, TO_THE_TOP, error_of};

/// Most kinds of addition: resin and colorants.
pub(super) const MOST_KINDS: usize = 12;

/// One kind of addition.
#[derive(Debug, Clone)]
pub(super) struct Kind {
    /// What a gram brings.
    pub(super) unit: Unit,
    /// What a gram takes of the room that each ceiling leaves; a gram of resin gives room.
    pub(super) takes: Vec<f64>,
}

/// A mix and what can be added to it; kinds stand with resin first.
#[derive(Debug, Clone)]
pub(super) struct Least<'a> {
    pub(super) sight: &'a Sight,
    pub(super) aims: &'a [Aim],
    /// What must not show, where that counts.
    pub(super) chart: Option<&'a Chart>,
    /// What is held.
    pub(super) held: Unit,
    pub(super) kinds: Vec<Kind>,
    /// Room under each ceiling as it stands, the tightest ceiling first.
    pub(super) room: Vec<f64>,
}

/// The additions, g, in the kinds' order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Additions {
    pub(super) grams: Vec<f64>,
    pub(super) error: f64,
}

impl Additions {
    pub(super) fn total(&self) -> f64 {
        self.grams.iter().sum()
    }
}

/// The row of the total; what stands before it holds the tightest ceilings. Further ones are kept by what is
/// chosen of the steps.
const TOTAL: usize = ROWS - 1;
/// Halvings of the total: to a millionth of it.
const HALVINGS: u32 = 24;
/// Parts of the total in which first guesses are shared out.
const GUESSES: [f64; 3] = [0.02, 0.3, 0.95];

impl Least<'_> {
    /// How many ceilings a climb keeps.
    fn climbed(&self) -> usize {
        self.room.len().min(TOTAL)
    }

    /// Whether these additions, g, keep every ceiling.
    pub(super) fn allowed(&self, grams: &[f64]) -> bool {
        (0..self.room.len()).all(|row| {
            let taken: f64 =
                self.kinds.iter().zip(grams).map(|(kind, g)| kind.takes[row] * g).sum();
            taken <= self.room[row] + 1e-9 * (1.0 + self.room[row].abs())
        })
    }

    /// ΔE00 with these additions, g.
    pub(super) fn colour_error(&self, grams: &[f64]) -> f64 {
        error_of(self.sight, self.aims, &self.whole(grams))
    }

    /// The same, with what the contrast ratio falls short by, where that counts.
    pub(super) fn error(&self, grams: &[f64]) -> f64 {
        let whole = self.whole(grams);
        let error = error_of(self.sight, self.aims, &whole);
        self.chart.map_or(error, |chart| chart.with_short(error, &whole))
    }

    /// The mix with these additions, g.
    fn whole(&self, grams: &[f64]) -> Unit {
        self.kinds.iter().zip(grams).fold(self.held, |w, (kind, g)| w.plus(*g, &kind.unit))
    }

    /// The resin, g, without which a ceiling stays exceeded whatever else is added.
    pub(super) fn resin_needed(&self) -> f64 {
        self.resin_for(&vec![0.0; self.kinds.len()])
    }

    /// The resin, g, that the other additions, g, need for every ceiling to be kept.
    pub(super) fn resin_for(&self, grams: &[f64]) -> f64 {
        let Some((resin, colorants)) = self.kinds.split_first() else { return 0.0 };
        (0..self.room.len())
            .filter(|row| resin.takes[*row] < 0.0)
            .map(|row| {
                let others = colorants.iter().zip(grams.iter().skip(1));
                let taken: f64 = others.map(|(kind, g)| kind.takes[row] * g).sum();
                (self.room[row] - taken) / resin.takes[row]
            })
            .fold(0.0, f64::max)
    }

    /// The nearest colour with additions of at most `total` grams, `first` of them resin for the
    /// ceilings' sake; guesses from `near` too.
    fn nearest(&self, total: f64, first: f64, near: Option<&Additions>) -> Additions {
        let free = (total - first).max(0.0);
        let mut resin_first = vec![0.0; self.kinds.len()];
        if let Some(resin) = resin_first.first_mut() {
            *resin = first;
        }
        let stands = Additions { error: self.error(&resin_first), grams: resin_first };
        if free <= 0.0 {
            return stands;
        }
        let scaled: Vec<Unit> = self.kinds.iter().map(|kind| kind.unit.times(free)).collect();
        let fixed = self.kinds.first().map_or(self.held, |k| self.held.plus(first, &k.unit));
        let mut units = [&Unit::NONE; MOST_KINDS];
        let mut rows = [[0.0; MOST_KINDS]; ROWS];
        let mut most = [f64::INFINITY; ROWS];
        for (at, (kind, unit)) in self.kinds.iter().zip(&scaled).enumerate().take(MOST_KINDS) {
            units[at] = unit;
            for row in 0..self.climbed() {
                rows[row][at] = kind.takes[row] * free;
            }
            rows[TOTAL][at] = 1.0;
        }
        most[TOTAL] = 1.0;
        for row in 0..self.climbed() {
            let resin = self.kinds.first().map_or(0.0, |kind| kind.takes[row]);
            most[row] = (self.room[row] - resin * first).max(0.0);
        }
        let (sight, aims, chart) = (self.sight, self.aims, self.chart);
        let slope = Slope { sight, aims, fixed: &fixed, units, rows, most, chart };
        let mut best = stands;
        let mut starts = vec![[0.0; MOST_KINDS]];
        for share in GUESSES {
            let mut start = [0.0; MOST_KINDS];
            start[0] = share;
            starts.push(start);
        }
        if let Some(near) = near {
            let mut start = [0.0; MOST_KINDS];
            for (at, grams) in near.grams.iter().enumerate().take(MOST_KINDS) {
                let own = if at == 0 { grams - first } else { *grams };
                start[at] = (own / free).max(0.0);
            }
            let sum: f64 = start.iter().sum();
            // Shrunk towards the resin alone, which every ceiling bears.
            if sum > 1.0 {
                start = start.map(|x| x / sum);
            }
            starts.push(start);
        }
        for start in starts {
            let kept = (0..ROWS).all(|row| {
                slope.rows[row].iter().zip(&start).map(|(a, x)| a * x).sum::<f64>()
                    <= slope.most[row]
            });
            if !kept {
                continue;
            }
            let peak = slope.climb(start, TO_THE_TOP);
            if peak.error < best.error {
                let mut grams: Vec<f64> =
                    peak.amounts.iter().take(self.kinds.len()).map(|x| x * free).collect();
                if let Some(resin) = grams.first_mut() {
                    *resin += first;
                }
                best = Additions { grams, error: peak.error };
            }
        }
        best
    }

    /// The least additions that come within `within`, of at least `first` grams of resin and at most
    /// `at_most` grams in all.
    ///
    /// # Errors
    /// The nearest, where even those do not.
    pub(super) fn additions(
        &self,
        within: f64,
        first: f64,
        at_most: f64,
    ) -> Result<Additions, Additions> {
        let first = first.max(self.resin_needed());
        let mut best = self.nearest(first, first, None);
        if best.error <= within {
            return Ok(best);
        }
        let mut low = first;
        let mut high = first + (at_most / 64.0).max(1e-6);
        loop {
            let there = self.nearest(high, first, Some(&best));
            if there.error < best.error {
                best = there;
            }
            if best.error <= within {
                break;
            }
            if high >= at_most {
                return Err(best);
            }
            low = high;
            high = (high * 2.0).min(at_most);
        }
        high = best.total();
        for _ in 0..HALVINGS {
            if high - low <= 1e-6 * high {
                break;
            }
            let middle = f64::midpoint(low, high);
            let there = self.nearest(middle, first, Some(&best));
            if there.error <= within {
                high = there.total();
                best = there;
            } else {
                low = middle;
            }
        }
        Ok(best)
    }
}
