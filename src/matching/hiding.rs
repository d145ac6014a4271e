//! Amounts that also hide what lies below.
//!
//! A colour can often be had twice from the same colorants: as a thin tint that the primer shows
//! through, and as a film that hides it. A search for colour alone takes whichever it meets first, and what
//! is nearest as a tint says nothing of what is nearest as a film that hides. So films that hide are
//! sought for themselves, over all subsets: what a film falls short of hiding counts as an error, and the
//! same bounds leave out the branches whose tints all together cannot both hide and come near enough.
//!
//! Near enough is the tolerance; where nothing within it hides, the nearest that does, so far: a first look
//! sets how near, and each that is found nearer leaves less to be looked at.

use super::climb::{Chart, SHORT_OF_CONTRAST, TO_THE_TOP, Until};
use super::hands::shared_out;
use super::search::{CLIMBS, Found, LEADING, SHORT_LIST, Search, near_enough, nearest_first};
use super::subsets::{MOST_COLORANTS, subsets};
use crate::optics::HIDING_RATIO;

/// Where nothing within tolerance hides, what does is sought within so many times the tolerance.
const BEYOND_TOLERANCE: f64 = 8.0;
/// Beyond the ratio that counts as hiding, so that weighing does not undo it.
const BEYOND: f64 = 0.003;
/// The same where a climb has settled just short of hiding: the next is stiff, and hardly ends short of it. A
/// hundredth less of everything takes 0.0008 of a ratio near the one that hides.
const JUST_BEYOND: f64 = 0.001;
/// What falls short in a stiff climb, ΔE00 a unit of the ratio.
const STIFF: f64 = 10.0 * SHORT_OF_CONTRAST;
/// So many are climbed before what they have found narrows what is looked at.
const TURN: usize = 16;

/// What just hides and is so near, ΔE00, has this error on the chart.
fn on_chart(near: f64) -> f64 {
    libm::hypot(near, SHORT_OF_CONTRAST * BEYOND)
}

impl Search<'_> {
    /// The chart that films have to hide.
    pub(super) fn chart(&self) -> Chart {
        Chart::of(self.sight, HIDING_RATIO + BEYOND)
    }

    /// The same for the climbs after those that have settled just short of hiding.
    fn stiff_chart(&self) -> Chart {
        Chart { weight: STIFF, ..Chart::of(self.sight, HIDING_RATIO + JUST_BEYOND) }
    }

    /// The recipes of up to `most` tints, `must` among them, that hide and come within `within`, the
    /// nearest of each subset that may have one; where there is none, the nearest that hides, if any comes
    /// within several times that. `found` is what a search for colour alone found, the nearest first: where
    /// nothing at all comes near enough nothing is sought, and what hides in it counts.
    pub(super) fn that_hide(
        &self,
        found: &[Found],
        must: &[usize],
        most: usize,
        within: f64,
    ) -> Vec<Found> {
        let near = near_enough(found, within);
        if near.is_empty() {
            return Vec::new();
        }
        let chart = self.chart();
        let all = shared_out(near, |_, found| self.hidden(&chart, found, within));
        let mut hiding: Vec<Found> = all.into_iter().flatten().collect();
        let climber = Search { chart: Some(&chart), ..*self };
        let (order, all) = climber.by_part_in_all();
        let sizes @ [fewest, most] = [must.len().max(1), most];
        let mut limit = within;
        if hiding.is_empty() {
            limit = BEYOND_TOLERANCE * within;
            let leading: Vec<usize> = order.iter().take(most + LEADING).copied().collect();
            let first = climber.grown(subsets(&leading, must, fewest, most), on_chart(limit));
            hiding = self.settled(first, within, &mut limit);
        }
        let left = climber.worth_climbing(&order, must, sizes, on_chart(limit), all);
        let sought = climber.grown(left, on_chart(limit));
        hiding.extend(self.settled(sought, within, &mut limit));
        hiding.retain(|found| found.error <= limit);
        nearest_first(&mut hiding);
        if limit > within {
            hiding.truncate(1);
        }
        hiding
    }

    /// Those of these that hide and come within `limit`, climbed to the top. The limit comes down to the nearest of
    /// them, but not below `within`.
    pub(super) fn settled(
        &self,
        mut sought: Vec<Found>,
        within: f64,
        limit: &mut f64,
    ) -> Vec<Found> {
        let (chart, stiff) = (self.chart(), self.stiff_chart());
        let soft = Search { chart: Some(&chart), ..*self };
        let hard = Search { chart: Some(&stiff), ..*self };
        nearest_first(&mut sought);
        let mut hiding: Vec<Found> = Vec::new();
        for (turn, some) in sought.chunks(TURN).enumerate() {
            let near = near_enough(some, 2.0 * on_chart(*limit));
            let here = shared_out(near, |_, found| {
                let until = Until { hopeless: on_chart(*limit), ..TO_THE_TOP };
                let unsure = found.error > 0.5 * on_chart(*limit);
                let top = if turn * TURN < SHORT_LIST || unsure {
                    soft.up_from(found, until)
                } else {
                    *found
                };
                let hides = self.hidden(&chart, &top, *limit).or_else(|| {
                    let tried = self.colour_error(&top) <= *limit;
                    tried
                        .then(|| hard.up_from(&top, TO_THE_TOP))
                        .and_then(|top| self.hidden(&chart, &top, *limit))
                })?;
                // What may become the only one that hides is looked at from every guess.
                let beyond = hides.error > within;
                let again = beyond.then(|| hard.best_of(hides.subset, CLIMBS[1], TO_THE_TOP));
                again.and_then(|top| self.hidden(&chart, &top, hides.error)).or(Some(hides))
            });
            for found in here.into_iter().flatten() {
                *limit = limit.min(found.error.max(within));
                hiding.push(found);
            }
        }
        hiding
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Lab;
    use crate::flow::Random;
    use crate::matching::blend::blend;
    use crate::matching::search::tests::{bell, paste, with_shelf};
    use crate::model::Colorant;
    use crate::spectrum::{Spectrum, Xyz};

    const MOST: usize = 3;
    const WITHIN: f64 = 1.0;

    /// A white or none, a black or none, and bells, each scattering little or much.
    fn shelf(random: &mut Random) -> Vec<Colorant> {
        let mut all = Vec::new();
        let white = random.between(20.0, 90.0);
        let black = random.between(100.0, 600.0);
        if random.unit() < 0.6 {
            all.push((Spectrum::flat(0.05), white));
        }
        if random.unit() < 0.6 {
            all.push((Spectrum::flat(black), 8.0));
        }
        for _ in 0..5 {
            let height = random.between(60.0, 450.0);
            let [centre, width] = [random.between(380.0, 700.0), random.between(30.0, 90.0)];
            let s = libm::exp(random.between(0.0, 3.6));
            all.push((bell(height, centre, width), s));
        }
        let numbered = (0_u32..).zip(all);
        numbered.map(|(at, (k, s))| paste(at, k, s)).collect()
    }

    /// The nearest that hides, from every good guess of every subset.
    fn nearest_plainly(search: &Search<'_>) -> f64 {
        let (chart, stiff) = (search.chart(), search.stiff_chart());
        let order: Vec<usize> = (0..search.tints.len()).collect();
        let all = subsets(&order, &[], 1, MOST);
        let nearest = shared_out(&all, |_, subset| {
            let [soft, hard] = [&chart, &stiff]
                .map(|chart| Search { chart: Some(chart), ..*search })
                .map(|search| search.best_of(*subset, CLIMBS[1], TO_THE_TOP));
            let harder = Search { chart: Some(&stiff), ..*search }.up_from(&soft, TO_THE_TOP);
            [soft, hard, harder]
                .iter()
                .filter_map(|found| search.hidden(&chart, found, f64::INFINITY))
                .map(|found| found.error)
                .fold(f64::INFINITY, f64::min)
        });
        nearest.into_iter().fold(f64::INFINITY, f64::min)
    }

    /// A thin tint of three of them, as it looks.
    fn thin_tint(shelf: &[Colorant], random: &mut Random) -> Lab {
        let mut lab = Lab::new(0.0, 0.0, 0.0);
        with_shelf(shelf, &[lab], |search, _| {
            let mut whole = *search.base;
            for at in 0..3 {
                let tint = &search.tints[(at * 2 + random.below(2)) % search.tints.len()];
                whole = whole.plus(libm::exp(random.between(-7.0, -1.0)), &tint.unit);
            }
            let [x, y, z] = blend::<0>(search.sight, &whole, &[], &[]).xyz[0];
            lab = Lab::from_xyz(Xyz { x, y, z }, search.sight.lamps[0].white());
        });
        lab
    }

    #[test]
    fn nothing_that_hides_is_nearer_than_the_nearest_found() {
        let [mut within, mut beyond, mut none] = [0; 3];
        for seed in 0..60 {
            let mut random = Random::new(seed);
            let shelf = shelf(&mut random);
            let lab = thin_tint(&shelf, &mut random);
            with_shelf(&shelf, &[lab], |search, _| {
                let hunt = search.hunt(&[], MOST, 5, WITHIN);
                if hunt.found.first().is_none_or(|nearest| nearest.error > WITHIN) {
                    return;
                }
                let hiding = search.that_hide(&hunt.found, &[], MOST, WITHIN);
                let nearest = hiding.first().map_or(f64::INFINITY, |found| found.error);
                let plainly = nearest_plainly(search);
                if plainly <= BEYOND_TOLERANCE * WITHIN {
                    // Within tolerance all are as good as one another.
                    let enough = plainly.max(WITHIN) + 0.05;
                    assert!(nearest <= enough, "shelf {seed}: {nearest}, {plainly} can be had");
                }
                let chart = search.chart();
                assert!(hiding.iter().all(|found| search.hides(&chart, found)), "shelf {seed}");
                if nearest <= WITHIN {
                    within += 1;
                    assert!(hiding.iter().all(|found| found.error <= WITHIN), "shelf {seed}");
                } else if nearest.is_finite() {
                    beyond += 1;
                    assert_eq!(hiding.len(), 1, "shelf {seed}: the nearest alone");
                } else {
                    none += 1;
                }
            });
        }
        assert!(within > 5 && beyond > 5 && none > 5, "{within} within, {beyond} beyond, {none}");
    }
}
