//! The joint fit: k and s of every pigment in every band, with the law they share.
//!
//! Levenberg–Marquardt on ln k and ln s (so both stay positive) and the law's parameters at once.
//! The equations are banded, since a pigment's band knows only its neighbours and its partners in
//! that band, with the law as border ([`Bordered`]); whole samples are weighted anew in each round.

use crate::solve::{Bordered, BorderedRoot};
use crate::spectrum::{BANDS, Spectrum};

use super::law::{Face, Law, MATT_LEVEL, MATT_RETURN, SPREAD, knots_over};
use super::model::{Ready, scale, scale_slope};
use super::options::Options;
use super::sample::{JointError, Measure, Sample, SampleSet, check};

/// ln k and ln s of a film of middling strength at one reference.
const MIDDLING: (f64, f64) = (1.0, -0.5);
/// ln k and ln s stay within these.
const LN_BOUNDS: (f64, f64) = (-12.0, 8.0);
/// Longest step of ln k or ln s in a round.
const LONGEST_LN_STEP: f64 = 1.5;
/// Longest step of a parameter of the law in a round.
const LONGEST_LAW_STEP: f64 = 0.7;
/// Bands, as weights count them: their mean is 1.
#[expect(clippy::cast_precision_loss, reason = "36 bands")]
const BANDS_F: f64 = BANDS as f64;
/// A round that gains less than this share ends the part of the fit that trusts every sample.
const NEAR: f64 = 1e-3;
/// A round that gains less than this share ends the fit.
const ENOUGH: f64 = 1e-5;

/// What a fit found, as it is computed with.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub law: Law,
    /// ln k and ln s: band by band, first every pigment's k, then every s.
    pub ln: Vec<f64>,
    /// Weight of each sample with a reading, in order.
    pub weights: Vec<f64>,
    /// Standard deviations of `ln`.
    pub deviations: Vec<f64>,
    pub rounds: usize,
}

impl Solution {
    /// Where a pigment's ln k stands in a band.
    pub(super) const fn k_at(pigments: usize, band: usize, pigment: usize) -> usize {
        band * 2 * pigments + pigment
    }

    /// Where a pigment's ln s stands in a band.
    pub(super) const fn s_at(pigments: usize, band: usize, pigment: usize) -> usize {
        (band * 2 + 1) * pigments + pigment
    }
}

/// A sample with a reading.
struct Row<'a> {
    sample: &'a Sample,
    observed: [f64; BANDS],
    weight: f64,
}

/// Where the search stands.
struct State {
    law: Law,
    ln: Vec<f64>,
    /// Deviations, a sample an entry, less the share put down to the sample itself.
    errors: Vec<[f64; BANDS]>,
    /// What Cauchy's loss leaves of each sample's weight.
    kept: Vec<f64>,
    cost: f64,
}

struct Problem<'a> {
    set: &'a SampleSet,
    options: &'a Options,
    rows: Vec<Row<'a>>,
    band_weights: [f64; BANDS],
    /// Share of a sample's mean deviation that is put down to the sample itself: with a deviation
    /// τ common to n bands and σ in each, nτ²/(σ² + nτ²). Taking it off the squares leaves the
    /// slopes exact and the matrix an upper bound, so that rounds still only gain.
    own_share: f64,
    /// Root mean square deviation at which a sample counts half; infinite where all are trusted.
    outlier: f64,
    start: Law,
    /// Precisions of the law's parameters about `start`, in units of cost.
    law_precision: Vec<f64>,
}

/// Fits the samples that have readings.
pub(super) fn solve(set: &SampleSet, options: &Options) -> Result<Solution, JointError> {
    check(set)?;
    let mut problem = Problem::new(set, options)?;
    // First with every sample trusted: from far away, all of them look like outliers.
    problem.outlier = f64::INFINITY;
    let mut state = problem.first();
    let mut rounds = problem.search(&mut state, options.rounds / 2, NEAR);
    if rounds == 0 {
        return Err(JointError::NoStep);
    }
    problem.outlier = options.outlier;
    state = problem.at(state.law, state.ln);
    rounds += problem.search(&mut state, options.rounds - rounds, ENOUGH);
    let (matrix, ..) = problem.equations(&state);
    let deviations = matrix.root().map_or_else(Vec::new, |root| problem.deviations(&root, &state));
    let weights = problem.rows.iter().zip(&state.kept).map(|(row, kept)| row.weight * kept);
    Ok(Solution { weights: weights.collect(), law: state.law, ln: state.ln, deviations, rounds })
}

impl<'a> Problem<'a> {
    fn new(set: &'a SampleSet, options: &'a Options) -> Result<Self, JointError> {
        let rows: Vec<Row> = set
            .samples
            .iter()
            .filter_map(|sample| {
                let reading = sample.reading.as_ref()?;
                let weight = if sample.amounts.len() == 1 { options.single_weight } else { 1.0 };
                Some(Row { sample, observed: reading.0.map(scale), weight })
            })
            .collect();
        if rows.is_empty() {
            return Err(JointError::NothingToFit);
        }
        for (pigment, name) in set.pigments.iter().enumerate() {
            let seen = rows.iter().any(|row| row.sample.amounts.iter().any(|a| a.0 == pigment));
            if !seen {
                return Err(JointError::PigmentUnseen(name.clone()));
            }
        }
        let start = first_law(set, options, &rows);
        let noise = options.noise * options.noise;
        let precision = |deviation: f64| noise / (deviation * deviation);
        let mut law_precision = Vec::new();
        if start.spread_at().is_some() {
            law_precision.push(precision(options.spread));
            law_precision.extend(start.ln_alone.iter().map(|_| precision(options.alone)));
        }
        if let Face::Matt { ln_levels, ln_factors, .. } = &start.face {
            law_precision.extend(ln_levels.iter().map(|_| precision(options.level)));
            law_precision.extend(ln_factors.iter().map(|_| precision(options.factor)));
            law_precision.push(precision(options.k2));
        }
        let common = BANDS_F * options.common * options.common;
        Ok(Self {
            set,
            options,
            rows,
            band_weights: options.band_weights(),
            own_share: common / (noise + common),
            outlier: options.outlier,
            start,
            law_precision,
        })
    }

    /// Rounds until one gains less than a share `enough` of the cost, or there are `most`.
    fn search(&self, state: &mut State, most: usize, enough: f64) -> usize {
        let mut damping = 1e-2;
        for round in 0..most {
            let (matrix, slope, slope_of_law) = self.equations(state);
            let mut gain = None;
            for _ in 0..10 {
                if let Some(root) = matrix.damped(damping).root() {
                    let (step, step_of_law) = root.solve(&slope, &slope_of_law);
                    let next = self.moved(state, &step, &step_of_law);
                    if next.cost < state.cost {
                        gain = Some((state.cost - next.cost) / state.cost);
                        *state = next;
                        damping = (damping / 5.0).max(1e-7);
                        break;
                    }
                }
                damping *= 4.0;
            }
            match gain {
                None => return round,
                Some(gain) if gain < enough && round > 4 => return round + 1,
                Some(_) => {}
            }
        }
        most
    }

    fn pigments(&self) -> usize {
        self.set.pigments.len()
    }

    fn first(&self) -> State {
        let pigments = self.pigments();
        let ln = (0..BANDS * 2 * pigments).map(|at| middling(at, pigments)).collect();
        self.at(self.start.clone(), ln)
    }

    fn moved(&self, from: &State, step: &[f64], step_of_law: &[f64]) -> State {
        let short: Vec<f64> =
            step_of_law.iter().map(|d| -d.clamp(-LONGEST_LAW_STEP, LONGEST_LAW_STEP)).collect();
        let ln = from.ln.iter().zip(step).map(|(value, d)| {
            (value - d.clamp(-LONGEST_LN_STEP, LONGEST_LN_STEP)).clamp(LN_BOUNDS.0, LN_BOUNDS.1)
        });
        self.at(from.law.moved(&short), ln.collect())
    }

    /// Deviations and cost at a place.
    fn at(&self, law: Law, ln: Vec<f64>) -> State {
        let pigments = self.pigments();
        let plain: Vec<f64> = ln.iter().map(|v| libm::exp(*v)).collect();
        let mut errors = Vec::with_capacity(self.rows.len());
        let mut kept = Vec::with_capacity(self.rows.len());
        let mut cost = self.penalty(&law, &ln);
        let half = self.half_weight();
        for row in &self.rows {
            let ready = Ready::new(row.sample, &self.set.substrates, &law);
            let error: [f64; BANDS] = std::array::from_fn(|band| {
                let (k, s) = ready.mixed(
                    |i| plain[Solution::k_at(pigments, band, i)],
                    |i| plain[Solution::s_at(pigments, band, i)],
                );
                scale(ready.read(band, k, s).reflectance) - row.observed[band]
            });
            let mean = self.mean(&error);
            let squares: f64 =
                error.iter().zip(&self.band_weights).map(|(e, w)| w * e * e).sum::<f64>();
            let squares = row.weight * (squares - self.own_share * BANDS_F * mean * mean);
            if half.is_finite() {
                cost += half * libm::log1p(squares / half);
                kept.push(1.0 / (1.0 + squares / half));
            } else {
                cost += squares;
                kept.push(1.0);
            }
            errors.push(error.map(|e| e - self.own_share * mean));
        }
        State { law, ln, errors, kept, cost }
    }

    /// The sum of squares at which a sample counts half.
    const fn half_weight(&self) -> f64 {
        self.outlier * self.outlier * BANDS_F
    }

    /// Weighted mean of a sample's deviations.
    fn mean(&self, error: &[f64; BANDS]) -> f64 {
        error.iter().zip(&self.band_weights).map(|(e, w)| w * e).sum::<f64>() / BANDS_F
    }

    /// The least-squares equations at a place: matrix, and slopes of half the cost.
    fn equations(&self, state: &State) -> (Bordered, Vec<f64>, Vec<f64>) {
        let pigments = self.pigments();
        let shared = self.law_precision.len();
        let mut matrix = Bordered::zeros(BANDS * 2 * pigments, 4 * pigments, shared);
        let mut slope = vec![0.0; BANDS * 2 * pigments];
        let mut slope_of_law = vec![0.0; shared];
        let plain: Vec<f64> = state.ln.iter().map(|v| libm::exp(*v)).collect();
        let (spread_at, k2_at) = (state.law.spread_at(), state.law.k2_at());
        // Local slopes (place, value), rising in place, and those of the law.
        let mut local: Vec<(usize, f64)> = Vec::new();
        let mut common: Vec<(usize, f64)> = Vec::new();
        for ((row, error), kept) in self.rows.iter().zip(&state.errors).zip(&state.kept) {
            let ready = Ready::new(row.sample, &self.set.substrates, &state.law);
            for band in 0..BANDS {
                let (k, s) = ready.mixed(
                    |i| plain[Solution::k_at(pigments, band, i)],
                    |i| plain[Solution::s_at(pigments, band, i)],
                );
                let read = ready.read(band, k, s);
                let by = scale_slope(scale(read.reflectance));
                let weight = row.weight * kept * self.band_weights[band];
                local.clear();
                for ((pigment, _), amount) in row.sample.amounts.iter().zip(&ready.acting.amounts) {
                    let (at_k, at_s) = (
                        Solution::k_at(pigments, band, *pigment),
                        Solution::s_at(pigments, band, *pigment),
                    );
                    local.push((at_k, by * read.by_k * amount * plain[at_k]));
                    local.push((at_s, by * read.by_s * amount * plain[at_s]));
                }
                common.clear();
                let by_ln_film = by * (read.by_k * k + read.by_s * s);
                if let Some(at) = spread_at {
                    common.push((at, by_ln_film * ready.acting.ln_total));
                }
                if let Some(at) = state.law.alone_at(row.sample) {
                    common.push((at, by_ln_film));
                }
                for (at, share) in &ready.acting.level_by {
                    common.push((*at, by * read.by_level * ready.acting.level * share));
                }
                if let Some(at) = k2_at {
                    common.push((at, by * read.by_k2));
                }
                let deviation = weight * error[band];
                for (at, value) in &local {
                    slope[*at] += value * deviation;
                    for (other, theirs) in &local {
                        if other <= at {
                            matrix.add(*at, *other, weight * value * theirs);
                        }
                    }
                    let side = matrix.side_mut(*at);
                    for (column, theirs) in &common {
                        side[*column] += weight * value * theirs;
                    }
                }
                for (i, (at, value)) in common.iter().enumerate() {
                    slope_of_law[*at] += value * deviation;
                    for (other, theirs) in &common[..=i] {
                        matrix.add_corner(*at, *other, weight * value * theirs);
                    }
                }
            }
        }
        self.add_penalty(state, &mut matrix, &mut slope, &mut slope_of_law);
        (matrix, slope, slope_of_law)
    }

    /// Every expectation of the options as (places with factors, precision): the sum of
    /// precision × (Σ factor·ln − target)² is what a fit pays for straying.
    fn expectations(&self, mut each: impl FnMut(&[(usize, f64)], f64, f64)) {
        let pigments = self.pigments();
        let noise = self.options.noise * self.options.noise;
        let precision = |deviation: f64| noise / (deviation * deviation);
        let (width, bend, step) = (
            precision(self.options.width),
            precision(self.options.bend_of_k),
            precision(self.options.step_of_s),
        );
        let below = 2 * pigments;
        for at in 0..BANDS * below {
            each(&[(at, 1.0)], middling(at, pigments), width);
        }
        for band in 1..BANDS {
            for pigment in 0..pigments {
                let at = Solution::s_at(pigments, band, pigment);
                each(&[(at, 1.0), (at - below, -1.0)], 0.0, step);
                if band > 1 {
                    let at = Solution::k_at(pigments, band, pigment);
                    let bent = [(at, 1.0), (at - below, -2.0), (at - 2 * below, 1.0)];
                    each(&bent, 0.0, bend);
                }
            }
        }
    }

    fn penalty(&self, law: &Law, ln: &[f64]) -> f64 {
        let mut cost = 0.0;
        self.expectations(|places, target, precision| {
            let value: f64 = places.iter().map(|(at, factor)| ln[*at] * factor).sum();
            cost += precision * (value - target) * (value - target);
        });
        let from = self.start.parameters();
        for ((value, start), precision) in
            law.parameters().iter().zip(&from).zip(&self.law_precision)
        {
            cost += precision * (value - start) * (value - start);
        }
        cost
    }

    fn add_penalty(
        &self,
        state: &State,
        matrix: &mut Bordered,
        slope: &mut [f64],
        slope_of_law: &mut [f64],
    ) {
        self.expectations(|places, target, precision| {
            let value: f64 = places.iter().map(|(at, factor)| state.ln[*at] * factor).sum();
            for (at, factor) in places {
                slope[*at] += precision * factor * (value - target);
                for (other, theirs) in places {
                    if other <= at {
                        matrix.add(*at, *other, precision * factor * theirs);
                    }
                }
            }
        });
        let from = self.start.parameters();
        for (at, ((value, start), precision)) in
            state.law.parameters().iter().zip(&from).zip(&self.law_precision).enumerate()
        {
            slope_of_law[at] += precision * (value - start);
            matrix.add_corner(at, at, *precision);
        }
    }

    /// Standard deviations of ln k and ln s, with the noise as it turned out.
    fn deviations(&self, root: &BorderedRoot, state: &State) -> Vec<f64> {
        let (mut squares, mut count) = (0.0, 0.0);
        for ((row, error), kept) in self.rows.iter().zip(&state.errors).zip(&state.kept) {
            for (e, weight) in error.iter().zip(&self.band_weights) {
                squares += row.weight * kept * weight * e * e;
                count += row.weight * kept * weight;
            }
        }
        let noise = libm::sqrt(squares / count);
        root.inverse_diagonal().0.iter().map(|v| noise * libm::sqrt(v.max(0.0))).collect()
    }
}

/// ln k or ln s of the middling film, whichever stands at a place.
const fn middling(at: usize, pigments: usize) -> f64 {
    if at % (2 * pigments) < pigments { MIDDLING.0 } else { MIDDLING.1 }
}

fn first_law(set: &SampleSet, options: &Options, rows: &[Row]) -> Law {
    let effect = |sample: &Sample| match set.measure {
        Measure::Quantity => sample.total(),
        Measure::Loading => sample.total() * sample.film_mm.unwrap_or(1.0),
    };
    let mut ln_totals: Vec<f64> = rows.iter().map(|row| libm::log(effect(row.sample))).collect();
    ln_totals.sort_by(f64::total_cmp);
    let middle = ln_totals[ln_totals.len() / 2];
    let face = options.index.map_or_else(
        || {
            let relative: Vec<f64> = ln_totals.iter().map(|total| total - middle).collect();
            let knots = knots_over(&relative);
            Face::Matt {
                ln_levels: vec![libm::log(MATT_LEVEL); set.pigments.len()],
                ln_factors: vec![0.0; knots.len()],
                knots,
                k2: MATT_RETURN,
            }
        },
        |index| Face::Smooth { index },
    );
    let ln_alone = match set.measure {
        Measure::Quantity => vec![0.0; set.pigments.len()],
        Measure::Loading => Vec::new(),
    };
    Law { measure: set.measure, reference: libm::exp(middle), face, spread: SPREAD, ln_alone }
}

/// One pigment's k or s over the bands, from where a solution keeps it.
pub(super) fn spectrum_of(values: &[f64], place: impl Fn(usize) -> usize) -> Spectrum {
    Spectrum(std::array::from_fn(|band| values.get(place(band)).copied().unwrap_or(f64::NAN)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::characterise::joint::sample::Substrate;
    use crate::optics::Geometry;

    /// Two pigments and their mixture, with readings that nothing fits exactly.
    fn set(measure: Measure) -> SampleSet {
        let sample = |amounts: &[(usize, f64)], r: f64| Sample {
            id: "made".into(),
            amounts: amounts.to_vec(),
            film_mm: Some(0.8),
            substrate: 0,
            geometry: Geometry::SpecularIncluded,
            reading: Some(Spectrum::of_wavelength(|nm| r + 1e-4 * (nm - 500.0))),
        };
        SampleSet {
            measure,
            pigments: vec!["one".into(), "two".into()],
            substrates: vec![Substrate {
                name: String::new(),
                reflectance: Spectrum::flat(0.8),
                geometry: Geometry::SpecularIncluded,
            }],
            samples: vec![
                sample(&[(0, 0.1)], 0.3),
                sample(&[(1, 0.3)], 0.5),
                sample(&[(0, 0.2), (1, 0.1)], 0.2),
                sample(&[(0, 0.05), (1, 0.3)], 0.6),
            ],
        }
    }

    #[test]
    fn slopes_are_those_of_the_cost() {
        for (measure, options) in
            [(Measure::Quantity, Options::for_paint()), (Measure::Loading, Options::for_films(1.5))]
        {
            let set = set(measure);
            let problem = Problem::new(&set, &options).unwrap();
            let mut state = problem.first();
            for (i, value) in state.ln.iter_mut().enumerate() {
                *value += 0.3 * libm::sin(i as f64);
            }
            let step: Vec<f64> = (0..state.law.count()).map(|i| 0.02 * (i as f64 + 1.0)).collect();
            let state = problem.at(state.law.moved(&step), state.ln);
            let (_, slope, slope_of_law) = problem.equations(&state);
            let h = 1e-5;
            for place in [0, 1, 2, 3, 41, 78, 143] {
                let moved = |d: f64| {
                    let mut ln = state.ln.clone();
                    ln[place] += d;
                    problem.at(state.law.clone(), ln).cost
                };
                let expected = (moved(h) - moved(-h)) / (4.0 * h);
                let off = (slope[place] - expected).abs();
                assert!(off < 1e-6 * (1.0 + expected.abs()), "{measure:?} ln {place}: {off}");
            }
            for place in 0..slope_of_law.len() {
                let moved = |d: f64| {
                    let mut step = vec![0.0; slope_of_law.len()];
                    step[place] = d;
                    problem.at(state.law.moved(&step), state.ln.clone()).cost
                };
                let expected = (moved(h) - moved(-h)) / (4.0 * h);
                let off = (slope_of_law[place] - expected).abs();
                assert!(off < 1e-6 * (1.0 + expected.abs()), "{measure:?} law {place}: {off}");
            }
        }
    }
}
