//! Amounts that also hide what lies below.
//!
//! A colour can often be had twice from the same colorants: as a thin tint that the primer shows
//! through, and as a film that hides it. A search for colour alone takes whichever it meets first.

use super::climb::{Chart, NEAR_THE_TOP, Peak, TO_THE_TOP, Until};
use super::hands::shared_out;
use super::search::{Found, Search};
use super::subsets::MOST_COLORANTS;
use crate::optics::HIDING_RATIO;
use crate::predict::CHART;
use crate::spectrum::Spectrum;

/// Beyond the ratio that counts as hiding, so that weighing does not undo it.
const BEYOND: f64 = 0.003;
/// First guesses: optical thickness, and how much more one tint has than the others.
const GUESSES: [(f64, f64); 4] = [(30.0, 0.0), (30.0, 10.0), (60.0, 30.0), (60.0, 300.0)];
/// Climbs, each from one of the best guesses.
const CLIMBS: usize = 3;
/// Recipes tried at a time, and in all.
const TRIED: [usize; 2] = [16, 96];

impl Search<'_> {
    /// The chart that films have to hide.
    pub(super) fn chart(&self) -> Chart {
        let grounds = CHART.map(|reflectance| {
            let mut sight = self.sight.clone();
            sight.ground = Spectrum::flat(reflectance);
            sight.lamps.truncate(1);
            sight
        });
        Chart { grounds, ratio: HIDING_RATIO + BEYOND }
    }

    /// Of `found`, the nearest first, those within `within`: as they are where they hide, and else in
    /// amounts that do, where there are any within it. Enough of them, not all.
    pub(super) fn that_hide(&self, found: &[Found], within: f64, enough: usize) -> Vec<Found> {
        let chart = self.chart();
        let near = &found[..found.partition_point(|found| found.error <= within)];
        let mut all = Vec::new();
        for some in near[..near.len().min(TRIED[1])].chunks(TRIED[0]) {
            let tried = shared_out(some, |_, found| {
                if self.hides(&chart, found) {
                    Some(*found)
                } else {
                    self.hiding(&chart, found, within)
                }
            });
            all.extend(tried.into_iter().flatten());
            if all.len() >= enough {
                break;
            }
        }
        all
    }

    /// Whether amounts as found hide.
    pub(super) fn hides(&self, chart: &Chart, found: &Found) -> bool {
        let whole = found
            .subset
            .members()
            .zip(found.amounts)
            .fold(*self.base, |whole, (member, amount)| {
                whole.plus(amount, &self.tints[member].unit)
            });
        chart.contrast(&whole) >= HIDING_RATIO
    }

    fn hiding(&self, chart: &Chart, found: &Found, within: f64) -> Option<Found> {
        let other = match found.subset.len() {
            0 => return None,
            1 => self.hiding_of::<1>(chart, found, within),
            2 => self.hiding_of::<2>(chart, found, within),
            3 => self.hiding_of::<3>(chart, found, within),
            _ => self.hiding_of::<MOST_COLORANTS>(chart, found, within),
        };
        (other.error <= within && self.hides(chart, &other)).then_some(other)
    }

    fn hiding_of<const N: usize>(&self, chart: &Chart, found: &Found, within: f64) -> Found {
        let mut slope = self.slope::<N>(found.subset.members());
        let members: Vec<usize> = found.subset.members().collect();
        let mut starts = vec![std::array::from_fn(|at| found.amounts[at])];
        for (thickness, lead) in GUESSES {
            for leader in 0..if lead > 0.0 && N > 1 { N } else { 1 } {
                starts.push(self.guess(&slope, &members, thickness, (leader, lead)));
            }
        }
        slope.chart = Some(chart);
        let mut judged: Vec<(f64, [f64; N])> =
            starts.into_iter().map(|start| (slope.error(&start), start)).collect();
        judged.sort_by(|one, two| one.0.total_cmp(&two.0));
        let until = Until { hopeless: 2.0 * within, ..NEAR_THE_TOP };
        let mut best = Peak { amounts: judged[0].1, error: f64::INFINITY };
        for (_, start) in judged.iter().take(CLIMBS) {
            let peak = slope.climb(*start, until);
            if peak.error < best.error {
                best = peak;
            }
        }
        if best.error <= 2.0 * within {
            best = slope.climb(best.amounts, TO_THE_TOP);
        }
        // What was climbed on counted the contrast too; what is told is the colour alone.
        slope.chart = None;
        best.error = slope.error(&best.amounts);
        self.as_found(found.subset, &best)
    }
}
