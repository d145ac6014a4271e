//! Amounts that also hide what lies below.
//!
//! A colour can often be had twice from the same colorants: as a thin tint that the primer shows
//! through, and as a film that hides it. A search for colour alone takes whichever it meets first, and what
//! is nearest as a tint says nothing of what is nearest as a film that hides. So films that hide are
//! sought for themselves, over all subsets: what a film falls short of hiding counts as an error, and the
//! same bounds leave out the branches whose tints all together cannot both hide and come near enough.

use super::climb::{Chart, SHORT_OF_CONTRAST};
use super::hands::shared_out;
use super::search::{Found, SHORT_LIST, Search};
use super::subsets::MOST_COLORANTS;
use crate::optics::HIDING_RATIO;
use crate::predict::CHART;
use crate::spectrum::Spectrum;

/// Beyond the ratio that counts as hiding, so that weighing does not undo it.
const BEYOND: f64 = 0.003;
/// The same where a climb has settled just short of hiding: what falls short weighs more.
const FAR_BEYOND: f64 = 0.015;

impl Search<'_> {
    /// The chart that films have to hide, and by how much more than what counts as hiding.
    fn chart_beyond(&self, beyond: f64) -> Chart {
        let grounds = CHART.map(|reflectance| {
            let mut sight = self.sight.clone();
            sight.ground = Spectrum::flat(reflectance);
            sight.lamps.truncate(1);
            sight
        });
        Chart { grounds, ratio: HIDING_RATIO + beyond }
    }

    /// The chart that films have to hide.
    pub(super) fn chart(&self) -> Chart {
        self.chart_beyond(BEYOND)
    }

    /// The recipes of up to `most` tints, `must` among them, that hide and come within `within`, the
    /// nearest of each subset that may have one. `found` is what a search for colour alone found, the
    /// nearest first: where nothing at all comes near enough nothing is sought, and what hides in it
    /// counts.
    pub(super) fn that_hide(
        &self,
        found: &[Found],
        must: &[usize],
        most: usize,
        within: f64,
    ) -> Vec<Found> {
        let near = &found[..found.partition_point(|found| found.error <= within)];
        if near.is_empty() {
            return Vec::new();
        }
        let charts = [BEYOND, FAR_BEYOND].map(|beyond| self.chart_beyond(beyond));
        let hiding = Search { chart: Some(&charts[0]), ..*self };
        // What just hides and just comes near enough has this error on the chart.
        let threshold = libm::hypot(within, SHORT_OF_CONTRAST * BEYOND);
        let (order, all) = hiding.by_part_in_all();
        let sizes = [must.len().max(1), most];
        let left = hiding.worth_climbing(&order, must, sizes, threshold, all);
        let mut sought = hiding.grown(left, threshold);
        sought.retain(|found| found.error <= 2.0 * threshold);
        sought.sort_by(|one, two| {
            one.error.total_cmp(&two.error).then_with(|| one.subset.cmp(&two.subset))
        });
        let harder = Search { chart: Some(&charts[1]), ..*self };
        let mut all = shared_out(&sought, |at, found| {
            let unsure = found.error > 0.5 * threshold;
            let top =
                if at < SHORT_LIST || unsure { hiding.polished(found, [false; 2]) } else { *found };
            let near = self.hidden(&charts[0], &top, within);
            near.or_else(|| {
                let tried = self.colour_error(&top) <= within;
                tried
                    .then(|| harder.polished(&top, [false; 2]))
                    .and_then(|top| self.hidden(&charts[0], &top, within))
            })
        });
        all.extend(shared_out(near, |_, found| self.hidden(&charts[0], found, within)));
        all.into_iter().flatten().collect()
    }

    /// The recipe with the error of its colour alone, if it hides and comes near enough.
    fn hidden(&self, chart: &Chart, found: &Found, within: f64) -> Option<Found> {
        let error = self.colour_error(found);
        (error <= within && self.hides(chart, found)).then_some(Found { error, ..*found })
    }

    fn colour_error(&self, found: &Found) -> f64 {
        Search { chart: None, ..*self }
            .slope::<MOST_COLORANTS>(found.subset.members())
            .error(&found.amounts)
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
}
