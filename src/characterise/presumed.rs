//! k and s from too few readings, with what is usual of colorants put in: an estimate, never a
//! measurement.
//!
//! The most probable coefficients under a presumption: ln k and ln s lie about usual values and wander
//! slowly from band to band, scattering far more slowly than absorption. So a band whose films hide,
//! where only k/s is told, takes its s from bands that let light through. The system is block
//! tridiagonal (bands are tied to their neighbours only) and is solved as such, by damped
//! Gauss–Newton steps.

use super::answer::{Basis, Characterised, DEVIATE, Interval, identified};
use super::band::{Band, Point};
use super::block::{Block, inverted, minus, times};
use super::common_errors::Common;
use super::drawdown::{Conditions, Covariance, Drawdown, Known};
use super::impossible::{Impossible, check};
use super::measured::residual;
use crate::optics::Ks;
use crate::solve::Cholesky;
use crate::spectrum::{BANDS, Spectrum};

/// What is presumed of a colorant, in logarithms of mm⁻¹·mL/g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Presumption {
    /// Usual ln k.
    pub ln_k: f64,
    /// How far the whole of ln k may lie from that.
    pub ln_k_doubt: f64,
    /// Usual ln s.
    pub ln_s: f64,
    /// How far the whole of ln s may lie from that.
    pub ln_s_doubt: f64,
    /// Change of ln k from one band to the next.
    pub ln_k_step: f64,
    /// Change of ln s from one band to the next.
    pub ln_s_step: f64,
}

impl Presumption {
    /// A pigment paste: s about 25 and k about 50 mm⁻¹·mL/g, each within a factor of 4 and 20;
    /// edges of k as steep as a factor of 1.5 in 10 nm. Common practice, no source.
    pub const PASTE: Self = Self {
        ln_k: 3.9,
        ln_k_doubt: 3.0,
        ln_s: 3.2,
        ln_s_doubt: 1.2,
        ln_k_step: 0.4,
        ln_s_step: 0.08,
    };
}

/// Coefficients stay between these, in logarithms.
const LEAST: f64 = -9.0;
const MOST: f64 = 11.5;
/// Gauss–Newton turns at most, and passes of the readings' covariance.
const TURNS: usize = 60;
const PASSES: usize = 3;

/// ln k and ln s of every band.
type Logs = [[f64; 2]; BANDS];

/// Estimates a colorant's coefficients from drawdowns that do not determine them.
///
/// # Errors
///
/// [`Impossible`] when a reading cannot be.
pub fn characterise_presumed(
    drawdowns: &[Drawdown],
    known: &[Known],
    conditions: &Conditions,
    presumption: &Presumption,
) -> Result<Characterised, Impossible> {
    check(drawdowns, known, conditions)?;
    let common = Common::stated(drawdowns, known, conditions.noise.film);
    let bands: Vec<Band> =
        (0..BANDS).map(|band| Band::new(band, drawdowns, known, conditions, &common)).collect();
    let mut at: Logs = std::array::from_fn(|band| {
        let s = libm::exp(presumption.ln_s);
        [libm::log(bands[band].absorption_for(s)).clamp(LEAST, MOST), presumption.ln_s]
    });
    let mut problem = Problem { bands: &bands, presumption, whitening: Vec::new() };
    for _ in 0..PASSES {
        problem.whitening = bands
            .iter()
            .zip(&at)
            .map(|(band, [u, v])| band.whitening(libm::exp(*u), libm::exp(*v), Some(&common)))
            .collect();
        at = problem.descend(at);
    }
    let blocks = problem.linearised(&at);
    let spread = blocks.inverse_diagonal(presumption);
    let unit = Ks {
        k: Spectrum(std::array::from_fn(|band| libm::exp(at[band][0]))),
        s: Spectrum(std::array::from_fn(|band| libm::exp(at[band][1]))),
    };
    let interval = |band: usize, which: usize| {
        let half = DEVIATE * libm::sqrt(spread[band][which][which]);
        Interval { low: libm::exp(at[band][which] - half), high: libm::exp(at[band][which] + half) }
    };
    let covariance: [Covariance; BANDS] = std::array::from_fn(|band| {
        let (k, s, of) = (unit.k[band], unit.s[band], spread[band]);
        Covariance { kk: k * k * of[0][0], ks: k * s * of[0][1], ss: s * s * of[1][1] }
    });
    let (rms_root, worst) = residual(&bands, &unit);
    Ok(Characterised {
        unit,
        basis: Basis::Presumption,
        covariance,
        own_covariance: covariance,
        scale: 0.0,
        k_interval: std::array::from_fn(|band| interval(band, 0)),
        s_interval: std::array::from_fn(|band| interval(band, 1)),
        identified: std::array::from_fn(|band| {
            let (k, s) = (unit.k[band], unit.s[band]);
            let h = blocks.data[band];
            let information = [h[0][0] / (k * k), h[0][1] / (k * s), h[1][1] / (s * s)];
            identified(k, s, interval(band, 0), interval(band, 1), information)
        }),
        rms_root,
        worst,
        misfit: None,
        films: common.film_checks(),
    })
}

struct Problem<'a> {
    bands: &'a [Band<'a>],
    presumption: &'a Presumption,
    whitening: Vec<Option<Cholesky>>,
}

/// The readings' part of the normal equations, and the gradient of all.
struct Blocks {
    data: [Block; BANDS],
    gradient: [[f64; 2]; BANDS],
}

impl Problem<'_> {
    /// Residuals of a band, whitened.
    fn left(&self, band: usize, [u, v]: [f64; 2]) -> Vec<f64> {
        let b = &self.bands[band];
        let mut out: Vec<f64> = (0..b.count())
            .map(|row| b.predict(row, libm::exp(u), libm::exp(v)).root - b.observed(row))
            .collect();
        if let Some(whitening) = &self.whitening[band] {
            whitening.whiten(&mut out);
        }
        out
    }

    fn cost(&self, at: &Logs) -> f64 {
        let p = self.presumption;
        let mut sum = 0.0;
        for band in 0..BANDS {
            sum += self.left(band, at[band]).iter().map(|r| r * r).sum::<f64>();
            let [away_k, away_s] = p.away(at[band]);
            sum += away_k * away_k + away_s * away_s;
            if band > 0 {
                let (a, b) = (at[band - 1], at[band]);
                let (k, s) = ((b[0] - a[0]) / p.ln_k_step, (b[1] - a[1]) / p.ln_s_step);
                sum += k * k + s * s;
            }
        }
        sum / 2.0
    }

    fn linearised(&self, at: &Logs) -> Blocks {
        let p = self.presumption;
        let mut out = Blocks { data: [[[0.0; 2]; 2]; BANDS], gradient: [[0.0; 2]; BANDS] };
        for band in 0..BANDS {
            let b = &self.bands[band];
            let (k, s) = (libm::exp(at[band][0]), libm::exp(at[band][1]));
            let points: Vec<Point> = (0..b.count()).map(|row| b.predict(row, k, s)).collect();
            let mut slopes: [Vec<f64>; 2] = [
                points.iter().map(|point| point.by_k * k).collect(),
                points.iter().map(|point| point.by_s * s).collect(),
            ];
            if let Some(whitening) = &self.whitening[band] {
                slopes.iter_mut().for_each(|slope| whitening.whiten(slope));
            }
            let left = self.left(band, at[band]);
            let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
            let away = p.away(at[band]);
            let doubt = [p.ln_k_doubt, p.ln_s_doubt];
            let step = [p.ln_k_step, p.ln_s_step];
            for i in 0..2 {
                for j in 0..2 {
                    out.data[band][i][j] = dot(&slopes[i], &slopes[j]);
                }
                let mut pull = dot(&slopes[i], &left) + away[i] / (SPREAD * doubt[i]);
                if band > 0 {
                    pull += (at[band][i] - at[band - 1][i]) / (step[i] * step[i]);
                }
                if band + 1 < BANDS {
                    pull += (at[band][i] - at[band + 1][i]) / (step[i] * step[i]);
                }
                out.gradient[band][i] = pull;
            }
        }
        out
    }

    /// Damped Gauss–Newton steps to a lowest cost.
    fn descend(&self, start: Logs) -> Logs {
        let mut at = start;
        let mut cost = self.cost(&at);
        let mut damping = 1e-3;
        for _ in 0..TURNS {
            let blocks = self.linearised(&at);
            let mut moved = false;
            while damping < 1e12 {
                let step = blocks.step(self.presumption, damping);
                let next: Logs = std::array::from_fn(|band| {
                    std::array::from_fn(|i| (at[band][i] + step[band][i]).clamp(LEAST, MOST))
                });
                let lower = self.cost(&next);
                if lower <= cost {
                    moved = cost - lower > 1e-9 * cost;
                    at = next;
                    cost = lower;
                    damping = (damping / 5.0_f64).max(1e-12);
                    break;
                }
                damping *= 4.0;
            }
            if !moved {
                break;
            }
        }
        at
    }
}

/// The doubt of the whole spectrum's level, spread over its bands: each band alone is held this much
/// more loosely (√36), so that all together count once.
const SPREAD: f64 = 6.0;

impl Presumption {
    /// How far from usual, in deviations.
    fn away(&self, [u, v]: [f64; 2]) -> [f64; 2] {
        let k = (u - self.ln_k) / (SPREAD * self.ln_k_doubt);
        let s = (v - self.ln_s) / (SPREAD * self.ln_s_doubt);
        [k, s]
    }

    /// What neighbours have in common, negative off the diagonal.
    fn ties(&self) -> [f64; 2] {
        [1.0 / (self.ln_k_step * self.ln_k_step), 1.0 / (self.ln_s_step * self.ln_s_step)]
    }
}

impl Blocks {
    /// The diagonal block of a band: readings, level and ties to its neighbours.
    fn diagonal(&self, band: usize, p: &Presumption, damping: f64) -> Block {
        let doubt = [p.ln_k_doubt, p.ln_s_doubt];
        let neighbours = if band == 0 || band + 1 == BANDS { 1.0 } else { 2.0 };
        let mut out = self.data[band];
        for i in 0..2 {
            out[i][i] += 1.0 / (SPREAD * SPREAD * doubt[i] * doubt[i]);
            out[i][i] += neighbours * p.ties()[i];
            out[i][i] *= 1.0 + damping;
        }
        out
    }

    /// Solves H·step = −gradient from the first band to the last and back.
    fn step(&self, p: &Presumption, damping: f64) -> Logs {
        let ties = p.ties();
        let mut inverse = [[[0.0; 2]; 2]; BANDS];
        let mut right = self.gradient.map(|g| g.map(|x| -x));
        for band in 0..BANDS {
            let mut here = self.diagonal(band, p, damping);
            if band > 0 {
                let before = inverse[band - 1];
                let pulled = times(before, right[band - 1]);
                for i in 0..2 {
                    right[band][i] += ties[i] * pulled[i];
                    for j in 0..2 {
                        here[i][j] -= ties[i] * before[i][j] * ties[j];
                    }
                }
            }
            inverse[band] = inverted(here);
        }
        let mut step = [[0.0; 2]; BANDS];
        for band in (0..BANDS).rev() {
            let mut known = right[band];
            if band + 1 < BANDS {
                for i in 0..2 {
                    known[i] += ties[i] * step[band + 1][i];
                }
            }
            step[band] = times(inverse[band], known);
        }
        step
    }

    /// The diagonal blocks of H⁻¹: each band with all others eliminated, from both ends.
    fn inverse_diagonal(&self, p: &Presumption) -> [Block; BANDS] {
        let ties = p.ties();
        let own: [Block; BANDS] = std::array::from_fn(|band| self.diagonal(band, p, 0.0));
        let eliminated = |from: Block| -> Block {
            let inverse = inverted(from);
            std::array::from_fn(|i| std::array::from_fn(|j| ties[i] * inverse[i][j] * ties[j]))
        };
        let none = [[0.0; 2]; 2];
        let (mut from_left, mut from_right) = ([none; BANDS], [none; BANDS]);
        for band in 1..BANDS {
            from_left[band] = eliminated(minus(own[band - 1], from_left[band - 1]));
        }
        for band in (0..BANDS - 1).rev() {
            from_right[band] = eliminated(minus(own[band + 1], from_right[band + 1]));
        }
        std::array::from_fn(|band| {
            inverted(minus(minus(own[band], from_left[band]), from_right[band]))
        })
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "no picture hangs on a test's last bit")]
mod tests {
    use super::*;
    use crate::solve::Matrix;

    /// The recursion along the bands against the whole matrix of 72 unknowns.
    #[test]
    fn the_chain_solves_as_the_whole_matrix_does() {
        let p = Presumption::PASTE;
        let data = std::array::from_fn(|band| {
            let t = f64::from(u8::try_from(band).expect("a band"));
            [[3.0 + t, 0.9 * t.sqrt()], [0.9 * t.sqrt(), 1.0 + 0.3 * t]]
        });
        let gradient = std::array::from_fn(|band| {
            let t = f64::from(u8::try_from(band).expect("a band"));
            [(t * 0.7).sin(), (t * 1.3).cos()]
        });
        let blocks = Blocks { data, gradient };
        let n = 2 * BANDS;
        let mut whole = Matrix::zeros(n, n);
        for band in 0..BANDS {
            let own = blocks.diagonal(band, &p, 0.0);
            for (i, row) in own.iter().enumerate() {
                for (j, entry) in row.iter().enumerate() {
                    whole.set(2 * band + i, 2 * band + j, *entry);
                }
                if band > 0 {
                    whole.set(2 * band + i, 2 * band - 2 + i, -p.ties()[i]);
                    whole.set(2 * band - 2 + i, 2 * band + i, -p.ties()[i]);
                }
            }
        }
        let factor = Cholesky::of(&whole).expect("positive definite");
        let right: Vec<f64> = gradient.iter().flatten().map(|g: &f64| -g).collect();
        let want = factor.solve(&right);
        let got = blocks.step(&p, 0.0);
        let inverse = factor.inverse();
        let spread = blocks.inverse_diagonal(&p);
        for band in 0..BANDS {
            for i in 0..2 {
                assert!((got[band][i] - want[2 * band + i]).abs() < 1e-10, "step {band} {i}");
                for (j, got) in spread[band][i].iter().enumerate() {
                    let entry = inverse.at(2 * band + i, 2 * band + j);
                    assert!((got - entry).abs() < 1e-10, "inverse {band} {i} {j}");
                }
            }
        }
    }
}
