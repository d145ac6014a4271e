//! Which reading to take next: the one that is expected to lower most the error of what the shop
//! makes.
//!
//! The doubt of ln k and ln s in a band is a covariance; a reading adds information along its slopes,
//! whatever it will turn out to be (linear Gaussian experiment design; D. V. Lindley, Ann. Math. Stat.
//! 27, 986, 1956, for the idea of choosing experiments by what they are expected to tell). What is
//! lowered is the variance of ∛R of the films that matter, weighed by band.

use super::answer::Characterised;
use super::band::Band;
use super::block::{Block, inverted, plus};
use super::common_errors::Common;
use super::drawdown::{Conditions, Drawdown, Film, Known, Reading};
use super::presumed::Presumption;
use crate::optics::{Geometry, Ks};
use crate::solve::Matrix;
use crate::spectrum::{BANDS, Spectrum};

/// What is believed of a colorant: coefficients, and the covariance of their logarithms a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    unit: Ks,
    /// Information (inverse covariance) of ln k and ln s.
    information: [Block; BANDS],
}

impl Belief {
    /// Before any reading.
    #[must_use]
    pub fn presumed(presumption: &Presumption) -> Self {
        let unit = Ks {
            k: Spectrum::flat(libm::exp(presumption.ln_k)),
            s: Spectrum::flat(libm::exp(presumption.ln_s)),
        };
        let (k, s) = (presumption.ln_k_doubt, presumption.ln_s_doubt);
        let one = [[1.0 / (k * k), 0.0], [0.0, 1.0 / (s * s)]];
        Self { unit, information: [one; BANDS] }
    }

    /// After a characterisation, with `presumption` where that left a band open.
    #[must_use]
    pub fn after(found: &Characterised, presumption: &Presumption) -> Self {
        let before = Self::presumed(presumption);
        // A coefficient near 0 is as good as one of a thousandth of the whole.
        let whole = found.unit.k.zip(&found.unit.s, |k, s| (k + s).max(1e-9));
        let floor = |of: &Spectrum| of.zip(&whole, |x, whole| x.max(1e-3 * whole));
        let unit = Ks { k: floor(&found.unit.k), s: floor(&found.unit.s) };
        let information = std::array::from_fn(|band| {
            let (c, k, s) = (&found.covariance[band], unit.k[band], unit.s[band]);
            let (a, b, d) = (c.kk / (k * k), c.ks / (k * s), c.ss / (s * s));
            let determinant = (a * d - b * b).max(1e-12 * a * d).max(f64::MIN_POSITIVE);
            let told = [[d / determinant, -b / determinant], [-b / determinant, a / determinant]];
            plus(told, before.information[band])
        });
        Self { unit, information }
    }
}

/// A film that could be drawn down and read, or that will be poured and looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The film.
    pub film: Film,
    /// Internal reflectances of the grounds it is read over.
    pub grounds: Vec<Spectrum>,
    /// How it is read.
    pub geometry: Geometry,
}

/// What a reading is expected to be worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Place of the candidate.
    pub candidate: usize,
    /// Root mean square error of the uses as things stand, in ∛R.
    pub error_now: f64,
    /// The same once the candidate has been read.
    pub error_after: f64,
}

/// Ranks candidates by the error of `uses` that each would leave, the best first; equal ones in the
/// order given.
///
/// `band_weights` say how much each band counts to the eye (the sum of illuminant-folded weights,
/// say); at least one must be above 0 and none below.
#[must_use]
pub fn next_reading(
    belief: &Belief,
    candidates: &[Candidate],
    uses: &[Candidate],
    known: &[Known],
    conditions: &Conditions,
    band_weights: &[f64; BANDS],
) -> Vec<Worth> {
    let mut told = vec![[[[0.0; 2]; 2]; BANDS]; candidates.len()];
    let mut slopes: Vec<Vec<[f64; 2]>> = vec![Vec::new(); BANDS];
    for (told, candidate) in told.iter_mut().zip(candidates) {
        let drawn = [drawdown(candidate)];
        let common = Common::stated(&drawn, known, conditions.noise.film);
        for (band, told) in told.iter_mut().enumerate() {
            *told = information(band, &drawn, known, conditions, &common, &belief.unit);
        }
    }
    for made in uses {
        let drawn = [drawdown(made)];
        let common = Common::stated(&drawn, known, 0.0);
        for (band, slopes) in slopes.iter_mut().enumerate() {
            let (k, s) = (belief.unit.k[band], belief.unit.s[band]);
            let view = Band::new(band, &drawn, known, conditions, &common);
            for row in 0..view.count() {
                let point = view.predict(row, k, s);
                slopes.push([point.by_k * k, point.by_s * s]);
            }
        }
    }
    let error = |more: &dyn Fn(usize) -> Block| {
        let (mut variance, mut weight) = (0.0, 0.0);
        for band in 0..BANDS {
            let covariance = inverted(plus(belief.information[band], more(band)));
            for g in &slopes[band] {
                let spread = g[0] * (covariance[0][0] * g[0] + covariance[0][1] * g[1])
                    + g[1] * (covariance[1][0] * g[0] + covariance[1][1] * g[1]);
                variance += band_weights[band] * spread;
                weight += band_weights[band];
            }
        }
        if weight > 0.0 { libm::sqrt(variance.max(0.0) / weight) } else { 0.0 }
    };
    let error_now = error(&|_| [[0.0; 2]; 2]);
    let mut ranked: Vec<Worth> = told
        .iter()
        .enumerate()
        .map(|(candidate, told)| Worth { candidate, error_now, error_after: error(&|b| told[b]) })
        .collect();
    ranked.sort_by(|a, b| a.error_after.total_cmp(&b.error_after));
    ranked
}

/// A candidate as if it had been read; the readings themselves are not looked at.
fn drawdown(candidate: &Candidate) -> Drawdown {
    let readings = candidate
        .grounds
        .iter()
        .map(|ground| Reading {
            ground: *ground,
            seen: Spectrum::flat(0.0),
            geometry: candidate.geometry,
        })
        .collect();
    Drawdown { film: candidate.film.clone(), readings }
}

/// What a drawdown tells of ln k and ln s in a band.
fn information(
    band: usize,
    drawn: &[Drawdown],
    known: &[Known],
    conditions: &Conditions,
    common: &Common,
    unit: &Ks,
) -> Block {
    let view = Band::new(band, drawn, known, conditions, common);
    let (k, s) = (unit.k[band], unit.s[band]);
    let mut slopes = Matrix::zeros(view.count(), 2);
    for row in 0..view.count() {
        let point = view.predict(row, k, s);
        slopes.set(row, 0, point.by_k * k);
        slopes.set(row, 1, point.by_s * s);
    }
    let Some(whitening) = view.whitening(k, s, Some(common)) else { return [[0.0; 2]; 2] };
    whitening.whiten(slopes.column_mut(0));
    whitening.whiten(slopes.column_mut(1));
    let gram = slopes.gram();
    [[gram.at(0, 0), gram.at(0, 1)], [gram.at(1, 0), gram.at(1, 1)]]
}
