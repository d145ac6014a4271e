//! The best amounts of each subset, over all subsets.
//!
//! A subset cannot do better than a larger one that holds it, since amounts may be nought. So a branch of
//! the tree of subsets is left out when the best amounts of *all* its colorants together already miss the
//! target by more than the worst alternative that is kept ([`super::bounds`]): it could not have
//! changed the answer. What is left is climbed from guesses in every region of thickness and proportion;
//! the answer does not hang on the number of hands or on the clock.

use super::blend::{Sight, Unit};
use super::bounds::Together;
use super::climb::{Aim, Chart, NEAR_THE_TOP, Peak, ROWS, SHARED_ROWS, Slope, TO_THE_TOP, Until};
use super::hands::shared_out;
use super::ridge::descended;
use super::subsets::{MOST_COLORANTS, Subset, subsets};
use super::tints::Tint;

/// A shelf looked at for one target.
#[derive(Debug, Clone, Copy)]
pub(super) struct Search<'a> {
    pub(super) sight: &'a Sight,
    pub(super) aims: &'a [Aim],
    /// What every mix holds: resin, and the least of each tint that must be used.
    pub(super) base: &'a Unit,
    /// What that uses of each ceiling, as shares.
    pub(super) used: [f64; SHARED_ROWS],
    pub(super) tints: &'a [Tint<'a>],
    /// What must not show, where only films that hide it are sought.
    pub(super) chart: Option<&'a Chart>,
}

/// The best amounts found of a subset's tints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Found {
    pub(super) subset: Subset,
    /// In units of each tint's largest loading, in the subset's order.
    pub(super) amounts: [f64; MOST_COLORANTS],
    /// Weighted root mean square ΔE00.
    pub(super) error: f64,
}

/// What a search over all subsets came to.
#[derive(Debug, Clone)]
pub(super) struct Hunt {
    /// The best of every subset that may count, the nearest first.
    pub(super) found: Vec<Found>,
    pub(super) combinations: usize,
    pub(super) ruled_out: usize,
}

/// First guesses: optical thickness of the film, and how much more one tint has than the others (each
/// in turn), or nought for equal parts. Films that hide, films nearly black, films that the ground
/// shows through.
const GUESSES: [(f64, f64); 11] = [
    (8.0, 0.0),
    (2.0, 0.0),
    (0.5, 0.0),
    (0.05, 0.0),
    (60.0, 0.0),
    (8.0, 10.0),
    (1.0, 10.0),
    (40.0, 10.0),
    (0.1, 10.0),
    (3.0, 300.0),
    (30.0, 300.0),
];
/// First guesses where only films that hide are sought.
const HIDING_GUESSES: [(f64, f64); 7] =
    [(30.0, 0.0), (60.0, 0.0), (8.0, 0.0), (30.0, 10.0), (60.0, 30.0), (60.0, 300.0), (8.0, 10.0)];
/// How many of them a glance tries.
const FIRST_GUESSES: usize = 7;
/// Climbs of a glance, and of a thorough look, each from one of the best guesses.
pub(super) const CLIMBS: [usize; 2] = [2, 8];
/// What must be used is used for at least this share of the most that may be: enough to be weighed.
pub(super) const MUST_SHARE: f64 = 1e-3;
/// A glance that ends within so many times what is kept, and so much more (ΔE00), is given a second climb.
const NEARBY: [f64; 2] = [2.0, 1.0];
/// An error (ΔE00) that needs no second climb.
const MET: f64 = 1e-3;
/// From this error on (ΔE00) hues may lie so far apart that ΔE00 has creases.
const CREASED: f64 = 2.0;
/// Recipes that are looked at in full, at most.
pub(super) const SHORT_LIST: usize = 64;
/// So many of the nearest subsets, and as many as are wanted, are followed along creases.
const CREASES: usize = 8;
/// A first look takes so many tints more than a recipe may hold.
pub(super) const LEADING: usize = 3;
/// The subsets looked at thoroughly: so many for each alternative wanted, and no fewer than the second.
const THOROUGH: [usize; 2] = [4, 24];

/// The nearest first; as near as one another, in the order of their subsets.
pub(super) fn nearest_first(found: &mut [Found]) {
    found.sort_by(|one, two| {
        one.error.total_cmp(&two.error).then_with(|| one.subset.cmp(&two.subset))
    });
}

/// Those within an error (ΔE00) of what is sorted, the nearest first.
pub(super) fn near_enough(found: &[Found], within: f64) -> &[Found] {
    &found[..found.partition_point(|found| found.error <= within)]
}

impl Search<'_> {
    /// The best of every subset of `fewest` (what must be used) to `most` tints that may stand among
    /// the `keep` best, or be within `within` of the target.
    pub(super) fn hunt(&self, must: &[usize], most: usize, keep: usize, within: f64) -> Hunt {
        let fewest = must.len().max(1);
        let (order, all) = self.by_part_in_all();
        let combinations = subsets(&order, must, fewest, most).len();
        // A first look at the tints that all of them together would use most.
        let leading = order.iter().take(most + LEADING).copied().collect::<Vec<_>>();
        let first = self.glances(&subsets(&leading, must, fewest, most));
        let mut errors: Vec<f64> = first.iter().map(|found| found.error).collect();
        errors.sort_by(f64::total_cmp);
        let threshold = errors.get(keep).copied().unwrap_or(f64::INFINITY).max(within);
        let left = self.worth_climbing(&order, must, [fewest, most], threshold, all);
        let ruled_out = combinations.saturating_sub(left.len());
        let mut found = self.grown(left, threshold);
        if must.is_empty() {
            found.push(self.clear());
        }
        nearest_first(&mut found);
        // Of the nearest, every guess; of the rest within tolerance, the top of their climb.
        let met = found.partition_point(|found| found.error < MET);
        let thorough = met + (keep * THOROUGH[0]).max(THOROUGH[1]);
        let near = found.partition_point(|found| found.error <= within).max(thorough);
        let near = near.min(SHORT_LIST.max(thorough)).min(found.len());
        let polished = shared_out(&found[..near], |at, found| {
            let care = [thorough, met + keep.max(CREASES)].map(|bound| at < bound);
            if at < met { *found } else { self.polished(found, care) }
        });
        found[..near].copy_from_slice(&polished);
        nearest_first(&mut found);
        Hunt { found, combinations, ruled_out }
    }

    /// The tints, the one with the largest optical part in the best of all together first: branches
    /// without it miss soonest.
    pub(super) fn by_part_in_all(&self) -> (Vec<usize>, Together) {
        let mut order: Vec<usize> = (0..self.tints.len()).collect();
        let all = self.together(&order, None, 0.0);
        let part = |at: &usize| all.amounts[*at] * self.tints[*at].thickness;
        order.sort_by(|one, two| part(two).total_cmp(&part(one)).then(one.cmp(two)));
        (order, all)
    }

    /// The clear film.
    fn clear(&self) -> Found {
        let amounts = [0.0; MOST_COLORANTS];
        let error = self.slope::<1>(std::iter::empty()).error(&[0.0]);
        Found { subset: Subset::of(&[]), amounts, error }
    }

    fn glances(&self, subsets: &[Subset]) -> Vec<Found> {
        shared_out(subsets, |_, subset| self.best_of(*subset, CLIMBS[0], NEAR_THE_TOP))
    }

    /// Glances at subsets of all sizes, the smallest first: each begins where the best of those that lack one
    /// of its tints ended, which is seldom far from its own top.
    pub(super) fn grown(&self, mut subsets: Vec<Subset>, threshold: f64) -> Vec<Found> {
        subsets.sort_by_key(|subset| (subset.len(), *subset));
        let mut found: Vec<Found> = Vec::with_capacity(subsets.len() + 1);
        let mut smaller = 0..0;
        for level in subsets.chunk_by(|one, other| one.len() == other.len()) {
            let parents = &found[smaller];
            let here = shared_out(level, |_, subset| {
                let start = subset.parents().filter_map(|(parent, added)| {
                    let at = parents.binary_search_by(|found| found.subset.cmp(&parent)).ok()?;
                    let mut amounts = parents[at].amounts;
                    amounts[added..].rotate_right(1);
                    amounts[added] = 0.0;
                    Some((parents[at].error, amounts))
                });
                match start.min_by(|one, two| one.0.total_cmp(&two.0)) {
                    Some((_, start)) => self.grown_from(*subset, &start, threshold),
                    None => self.best_of(*subset, CLIMBS[0], NEAR_THE_TOP),
                }
            });
            smaller = found.len()..found.len() + here.len();
            found.extend(here);
        }
        found
    }

    /// From a parent's best amounts; where that comes near what is kept, from the best of the guesses as well.
    fn grown_from(&self, subset: Subset, start: &[f64; MOST_COLORANTS], threshold: f64) -> Found {
        let nearby = NEARBY[0] * threshold + NEARBY[1];
        let until = Until { hopeless: nearby, ..NEAR_THE_TOP };
        let first = self.up_from(&Found { subset, amounts: *start, error: f64::INFINITY }, until);
        // A film that hides lies in another region than one that does not: a start there is tried at least.
        if first.error < MET || (first.error > nearby && self.chart.is_none()) {
            return first;
        }
        let other = if first.error > nearby {
            self.up_from(&self.in_equal_parts(subset), until)
        } else {
            self.best_of(subset, 1, until)
        };
        if other.error < first.error { other } else { first }
    }

    /// The first guess where only films that hide are sought.
    fn in_equal_parts(&self, subset: Subset) -> Found {
        let members: Vec<usize> = subset.members().collect();
        let slope = self.slope::<MOST_COLORANTS>(subset.members());
        let (thickness, lead) = HIDING_GUESSES[0];
        let amounts = self.guess(&slope, &members, thickness, (0, lead));
        Found { subset, amounts, error: f64::INFINITY }
    }

    /// Up from these amounts.
    pub(super) fn up_from(&self, start: &Found, until: Until) -> Found {
        match start.subset.len() {
            0 => self.clear(),
            1 => self.climbed_from::<1>(start, until),
            2 => self.climbed_from::<2>(start, until),
            3 => self.climbed_from::<3>(start, until),
            _ => self.climbed_from::<4>(start, until),
        }
    }

    fn climbed_from<const N: usize>(&self, start: &Found, until: Until) -> Found {
        let slope = self.slope::<N>(start.subset.members());
        let amounts = std::array::from_fn(|at| start.amounts[at]);
        self.as_found(start.subset, &slope.climb(amounts, until))
    }

    /// Higher up from where a glance ended; from every good guess if `thorough`, and along ridges.
    pub(super) fn polished(&self, found: &Found, [thorough, creased]: [bool; 2]) -> Found {
        let mut best = self.up_from(found, TO_THE_TOP);
        if thorough && best.error > MET && found.subset.len() > 0 {
            let again = self.best_of(found.subset, CLIMBS[1], TO_THE_TOP);
            if again.error < best.error {
                best = again;
            }
            if creased && best.error > CREASED {
                let along = match best.subset.len() {
                    1 => self.along_ridges::<1>(&best),
                    2 => self.along_ridges::<2>(&best),
                    3 => self.along_ridges::<3>(&best),
                    _ => self.along_ridges::<4>(&best),
                };
                if along.error < best.error {
                    best = along;
                }
            }
        }
        best
    }

    /// From the best so far and from two plain guesses, by powers of ten of the amounts.
    fn along_ridges<const N: usize>(&self, found: &Found) -> Found {
        let slope = self.slope::<N>(found.subset.members());
        let members: Vec<usize> = found.subset.members().collect();
        let allowed = |powers: &[f64; N]| {
            let mut amounts = powers.map(|power| libm::pow(10.0, power.clamp(-9.0, 0.0)));
            let fullest = slope.fullest(&amounts).max(1.0);
            for amount in &mut amounts {
                *amount /= fullest;
            }
            amounts
        };
        let powers = |amounts: [f64; N]| amounts.map(|x| libm::log10(x.max(1e-6)));
        let mut starts = vec![powers(std::array::from_fn(|at| found.amounts[at]))];
        for thickness in [2.0, 30.0] {
            starts.push(powers(self.guess(&slope, &members, thickness, (0, 0.0))));
            for leader in 0..if N > 1 { N } else { 0 } {
                starts.push(powers(self.guess(&slope, &members, thickness, (leader, 30.0))));
            }
        }
        let mut best = *found;
        for start in starts {
            let (end, _) = descended(start, |powers| slope.error(&allowed(powers)));
            let amounts = allowed(&end);
            let there = Peak { amounts, error: slope.error(&amounts) };
            let higher = slope.climb(amounts, TO_THE_TOP);
            for peak in [there, higher] {
                if peak.error < best.error {
                    best = self.as_found(found.subset, &peak);
                }
            }
        }
        best
    }

    /// The best of a subset from so many climbs.
    pub(super) fn best_of(&self, subset: Subset, climbs: usize, until: Until) -> Found {
        match subset.len() {
            0 => self.clear(),
            1 => self.best::<1>(subset, climbs, until),
            2 => self.best::<2>(subset, climbs, until),
            3 => self.best::<3>(subset, climbs, until),
            _ => self.best::<4>(subset, climbs, until),
        }
    }

    fn best<const N: usize>(&self, subset: Subset, climbs: usize, until: Until) -> Found {
        let slope = self.slope::<N>(subset.members());
        let mut members = [0; N];
        for (cell, member) in members.iter_mut().zip(subset.members()) {
            *cell = member;
        }
        self.as_found(subset, &self.climbed(&slope, &members, climbs, until))
    }

    pub(super) fn as_found<const N: usize>(&self, subset: Subset, peak: &Peak<N>) -> Found {
        let mut amounts = [0.0; MOST_COLORANTS];
        for (cell, amount) in amounts.iter_mut().zip(peak.amounts) {
            *cell = amount;
        }
        Found { subset, amounts, error: peak.error }
    }

    pub(super) fn slope<const N: usize>(
        &self,
        members: impl Iterator<Item = usize>,
    ) -> Slope<'_, N> {
        let mut units = [&Unit::NONE; N];
        let mut rows = [[0.0; N]; ROWS];
        let mut most = [f64::INFINITY; ROWS];
        for (at, member) in members.enumerate().take(N) {
            let tint = &self.tints[member];
            units[at] = &tint.unit;
            for row in 0..SHARED_ROWS {
                rows[row][at] = tint.uses[row];
                if tint.uses[row] > 0.0 {
                    most[row] = (1.0 - self.used[row]).max(0.0);
                }
            }
            if tint.bounded_by_stock && SHARED_ROWS + at < ROWS {
                rows[SHARED_ROWS + at][at] = 1.0;
                most[SHARED_ROWS + at] = 1.0 - MUST_SHARE;
            }
        }
        let (sight, aims, fixed) = (self.sight, self.aims, self.base);
        Slope { sight, aims, fixed, units, rows, most, chart: self.chart }
    }

    /// The highest peak from the best of the guesses.
    pub(super) fn climbed<const N: usize>(
        &self,
        slope: &Slope<'_, N>,
        members: &[usize],
        climbs: usize,
        until: Until,
    ) -> Peak<N> {
        let mut nearest = [(f64::INFINITY, [0.0; N]); CLIMBS[1]];
        let guesses = match (self.chart, climbs > CLIMBS[0]) {
            (Some(_), _) => &HIDING_GUESSES[..],
            (None, true) => &GUESSES[..],
            (None, false) => &GUESSES[..FIRST_GUESSES],
        };
        for (thickness, lead) in guesses.iter().copied() {
            let leaders = if lead > 0.0 && members.len() > 1 { members.len() } else { 1 };
            for leader in 0..leaders {
                let guess = self.guess(slope, members, thickness, (leader, lead));
                let error = slope.error(&guess);
                // Into its place among the best.
                let place = nearest.iter().position(|(other, _)| error < *other);
                if let Some(place) = place {
                    nearest[place..].rotate_right(1);
                    nearest[place] = (error, guess);
                }
            }
        }
        let mut best = Peak { amounts: nearest[0].1, error: nearest[0].0 };
        for (error, guess) in nearest.iter().take(climbs) {
            if error.is_finite() && best.error > MET.max(until.error) {
                let peak = slope.climb(*guess, until);
                if peak.error < best.error {
                    best = peak;
                }
            }
        }
        best
    }

    /// An optical thickness shared out, one tint leading, within the ceilings.
    pub(super) fn guess<const N: usize>(
        &self,
        slope: &Slope<'_, N>,
        members: &[usize],
        thickness: f64,
        (leader, lead): (usize, f64),
    ) -> [f64; N] {
        let mut start = [0.0; N];
        #[expect(clippy::cast_precision_loss, reason = "a count of colorants is small")]
        let parts = members.len() as f64 + lead;
        for (at, member) in members.iter().enumerate().take(N) {
            let part = if at == leader { 1.0 + lead } else { 1.0 };
            let full = self.tints[*member].thickness.max(1e-9);
            start[at] = (thickness * part / parts / full).min(1.0);
        }
        let fullest = slope.fullest(&start);
        let shrink = if fullest > 0.9 { 0.9 / fullest } else { 1.0 };
        start.map(|x| x * shrink)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::colour::Lab;
    use crate::flow::Random;
    use crate::matching::blend::Sight;
    use crate::matching::bounds::DOUBT;
    use crate::matching::tints::{resin, tints};
    use crate::model::{
        Carrier, Ceilings, Clear, Colorant, ColorantParts, Finish, Kind, MixRatio, Optics, PotLife,
        Standing, System, SystemParts,
    };
    use crate::optics::{Geometry, Ks, Surface};
    use crate::plan::Limits;
    use crate::quantity::{Density, Fraction, Length, Mass, Temperature, TimeSpan};
    use crate::spectrum::{Illuminant, Observer, Spectrum, weights};

    /// Invented: a white, a black, and absorption bells around the spectrum.
    fn colorant(at: u32) -> Colorant {
        let centre = 380.0 + 32.0 * f64::from(at);
        let (k, s) = match at {
            0 => (Spectrum::flat(0.05), 85.0),
            1 => (Spectrum::flat(600.0), 8.0),
            _ => {
                let width = 35.0 + 5.0 * f64::from(at % 5);
                (bell(f64::from(80 + 60 * (at % 6)), centre, width), f64::from(4 + 7 * (at % 5)))
            }
        };
        paste(at, k, s)
    }

    /// An absorption bell: height, centre, width.
    pub(in super::super) fn bell(height: f64, centre: f64, width: f64) -> Spectrum {
        Spectrum::of_wavelength(|nm| {
            let x = (nm - centre) / width;
            0.05 + height * libm::exp(-x * x)
        })
    }

    pub(in super::super) fn paste(at: u32, k: Spectrum, s: f64) -> Colorant {
        Colorant::new(ColorantParts {
            name: format!("paste {at:02}"),
            kind: Kind::Paste,
            finish: Finish::Plain,
            pigments: Vec::new(),
            density: Density::from_g_per_ml(1.6),
            solids: Fraction::new(1.0),
            carrier: Carrier::None,
            ceiling: Fraction::new(0.04),
            ceiling_standing: Standing::Demo,
            optics: Some(Optics { unit: Ks { k, s: Spectrum::flat(s) }, standing: Standing::Demo }),
            lot: None,
            packages: Vec::new(),
            hazards: Vec::new(),
            standing: Standing::Demo,
        })
        .unwrap()
    }

    fn system() -> System {
        System::new(SystemParts {
            name: "flood".into(),
            ratio: MixRatio::Volume { a: 2.0, b: 1.0 },
            density_a: Density::from_g_per_ml(1.15),
            density_b: Density::from_g_per_ml(0.97),
            clear: Clear {
                refractive_index: 1.55,
                absorption_per_mm: Spectrum::flat(0.002),
                standing: Standing::Demo,
            },
            film_min: Length::from_mm(1.0),
            film_max: Length::from_mm(6.0),
            pot_life: PotLife {
                time: TimeSpan::from_min(40.0),
                mass: Mass::from_g(150.0),
                temperature: Temperature::from_c(25.0),
            },
            lowest_temperature: None,
            recoat: None,
            ceilings: Ceilings {
                colorant: Fraction::new(0.08),
                solvent: Fraction::new(0.02),
                standing: Standing::Demo,
            },
            stoichiometry: None,
            packages: Vec::new(),
            standing: Standing::Demo,
        })
        .unwrap()
    }

    /// Under daylight, a search over `count` tints for each aim.
    pub(in super::super) fn with_search(
        count: u32,
        aims: &[Lab],
        f: impl FnMut(&Search<'_>, usize),
    ) {
        with_shelf(&(0..count).map(colorant).collect::<Vec<_>>(), aims, f);
    }

    /// Under daylight, a search over a shelf for each aim.
    pub(in super::super) fn with_shelf(
        shelf: &[Colorant],
        aims: &[Lab],
        mut f: impl FnMut(&Search<'_>, usize),
    ) {
        let system = &system();
        let limits = Limits { system, off_ratio: 0.05, raised: &[] };
        let colorants: Vec<&Colorant> = shelf.iter().collect();
        let surface = Surface::of_index(system.clear.refractive_index);
        let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        let sight = Sight {
            film_mm: 3.0,
            ground: surface.internal_spectrum(&Spectrum::flat(0.8), Geometry::SpecularExcluded),
            surface,
            lamps: vec![daylight],
        };
        let tints = tints(&limits, &colorants, 3.0, &sight.lamps[0], |_| None);
        let resin = resin(system);
        for (number, lab) in aims.iter().enumerate() {
            let aims = [Aim { lab: *lab, share: 1.0 }];
            let used = [0.0; SHARED_ROWS];
            f(
                &Search {
                    sight: &sight,
                    aims: &aims,
                    base: &resin,
                    used,
                    tints: &tints,
                    chart: None,
                },
                number,
            );
        }
    }

    #[test]
    fn what_is_ruled_out_could_not_have_been_among_the_best() {
        // Far out of reach, at its edge, and well inside.
        let aims = [
            Lab::new(70.0, 60.0, 80.0),
            Lab::new(60.0, -50.0, 30.0),
            Lab::new(20.0, 30.0, -60.0),
            Lab::new(35.0, 40.0, 15.0),
            Lab::new(75.0, 5.0, 45.0),
            Lab::new(52.0, -8.0, -12.0),
        ];
        with_search(12, &aims, |search, number| {
            let keep = 3;
            let hunt = search.hunt(&[], 3, keep, 0.5);
            assert!(number > 0 || hunt.ruled_out > 0, "far out of reach much can be ruled out");
            let order: Vec<usize> = (0..search.tints.len()).collect();
            let mut every: Vec<f64> = subsets(&order, &[], 1, 3)
                .into_iter()
                .map(|subset| search.best_of(subset, CLIMBS[1], TO_THE_TOP).error)
                .collect();
            every.sort_by(f64::total_cmp);
            let mut found: Vec<f64> = hunt.found.iter().map(|found| found.error).collect();
            found.sort_by(f64::total_cmp);
            for (got, want) in found.iter().zip(&every).take(keep) {
                assert!(*got <= want + 1e-3, "target {number}: {got} where {want} can be had");
            }
        });
    }

    #[test]
    fn all_tints_together_are_no_worse_than_any_few() {
        let mut random = Random::new(11);
        let aims: Vec<Lab> = (0..6)
            .map(|_| {
                let mut between = |a: f64, b: f64| random.between(a, b);
                Lab::new(between(20.0, 90.0), between(-50.0, 60.0), between(-50.0, 80.0))
            })
            .collect();
        with_search(10, &aims, |search, number| {
            let all: Vec<usize> = (0..search.tints.len()).collect();
            let bound = search.together(&all, None, 0.0).error;
            for subset in subsets(&all, &[], 2, 2) {
                let few = search.best_of(subset, CLIMBS[0], TO_THE_TOP).error;
                assert!(few >= bound - DOUBT, "target {number}: {few} below the bound {bound}");
            }
        });
    }
}
