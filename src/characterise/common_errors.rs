//! Errors that are the same in every band: each drawdown's film, and the scale of each colorant that
//! is taken as known.
//!
//! Thirty-six bands see one film, so together they tell its error far better than the micrometer
//! does, up to what no reading can tell: a factor common to all films and all coefficients.

use super::answer::FilmCheck;
use super::band::Band;
use super::drawdown::{Drawdown, Known};
use crate::solve::{Cholesky, Matrix};

/// Logarithms of the common errors, films first, then known colorants; with their covariance.
pub(super) struct Common {
    films: usize,
    values: Vec<f64>,
    /// Doubt before any reading.
    prior: Vec<f64>,
    covariance: Matrix,
}

impl Common {
    /// No error yet, doubted as stated.
    pub(super) fn stated(drawdowns: &[Drawdown], known: &[Known], film: f64) -> Self {
        let of_film = |d: &Drawdown| if d.film.film_mm.is_finite() { film } else { 0.0 };
        let prior: Vec<f64> =
            drawdowns.iter().map(of_film).chain(known.iter().map(|k| k.scale)).collect();
        let mut covariance = Matrix::zeros(prior.len(), prior.len());
        for (i, deviation) in prior.iter().enumerate() {
            covariance.set(i, i, deviation * deviation);
        }
        Self { films: drawdowns.len(), values: vec![0.0; prior.len()], prior, covariance }
    }

    pub(super) fn count(&self) -> usize {
        self.values.len()
    }

    pub(super) fn place_of_other(&self, which: usize) -> usize {
        self.films + which
    }

    pub(super) fn factor_of_film(&self, drawdown: usize) -> f64 {
        libm::exp(self.values[drawdown])
    }

    pub(super) fn factor_of_other(&self, which: usize) -> f64 {
        libm::exp(self.values[self.films + which])
    }

    pub(super) fn covariance(&self) -> &Matrix {
        &self.covariance
    }

    /// Squares of the errors in units of their stated doubt.
    pub(super) fn squares(&self) -> f64 {
        self.values
            .iter()
            .zip(&self.prior)
            .filter(|(_, deviation)| **deviation > 0.0)
            .map(|(value, deviation)| (value / deviation) * (value / deviation))
            .sum()
    }

    /// One Gauss–Newton step for the errors, each band's k and s eliminated; the size of the
    /// largest change. The covariance becomes what the readings leave.
    pub(super) fn improve(&mut self, bands: &[Band], points: &[(f64, f64)]) -> f64 {
        let n = self.count();
        let doubted: Vec<usize> = (0..n).filter(|i| self.prior[*i] > 0.0).collect();
        let size = doubted.len();
        let (mut normal, mut pull) = (Matrix::zeros(size, size), vec![0.0; size]);
        for (to, from) in doubted.iter().enumerate() {
            let precision = 1.0 / (self.prior[*from] * self.prior[*from]);
            normal.set(to, to, precision);
            pull[to] = -self.values[*from] * precision;
        }
        for (band, (k, s)) in bands.iter().zip(points) {
            self.add_band(band, *k, *s, &doubted, &mut normal, &mut pull);
        }
        let Some(factor) = Cholesky::of(&normal) else { return 0.0 };
        let step = factor.solve(&pull);
        let inverse = factor.inverse();
        let mut largest = 0.0_f64;
        for (a, i) in doubted.iter().enumerate() {
            // A film is never off by more than a factor of two in one step.
            let change = step[a].clamp(-0.7, 0.7);
            self.values[*i] += change;
            largest = largest.max(change.abs());
            for (b, j) in doubted.iter().enumerate() {
                self.covariance.set(*i, *j, inverse.at(a, b));
            }
        }
        largest
    }

    /// Adds what one band tells, in the directions that its own k and s cannot make up for.
    fn add_band(
        &self,
        band: &Band,
        k: f64,
        s: f64,
        doubted: &[usize],
        normal: &mut Matrix,
        pull: &mut [f64],
    ) {
        let Some(whitening) = band.whitening(k, s, None) else { return };
        let m = band.count();
        let mut own: Vec<Vec<f64>> = vec![vec![0.0; m]; 2];
        let mut slopes = Matrix::zeros(m, doubted.len());
        let mut left = vec![0.0; m];
        for row in 0..m {
            let point = band.predict(row, k, s);
            own[0][row] = if k > 0.0 { point.by_k } else { 0.0 };
            own[1][row] = if s > 0.0 { point.by_s } else { 0.0 };
            left[row] = band.observed(row) - point.root;
            let all = band.by_common(row, &point, self);
            for (to, from) in doubted.iter().enumerate() {
                slopes.set(row, to, all[*from]);
            }
        }
        whitening.whiten(&mut left);
        for column in 0..doubted.len() {
            whitening.whiten(slopes.column_mut(column));
        }
        // Gram–Schmidt on the band's own two directions, then remove them from all else.
        let mut basis: Vec<Vec<f64>> = Vec::new();
        for mut direction in own {
            whitening.whiten(&mut direction);
            let before = dot(&direction, &direction);
            for unit in &basis {
                remove(&mut direction, unit);
            }
            let square = dot(&direction, &direction);
            if square > 1e-12 * before && square > 0.0 {
                let length = libm::sqrt(square);
                basis.push(direction.iter().map(|x| x / length).collect());
            }
        }
        for unit in &basis {
            remove(&mut left, unit);
            for column in 0..doubted.len() {
                remove(slopes.column_mut(column), unit);
            }
        }
        for (i, pull) in pull.iter_mut().enumerate() {
            *pull += dot(slopes.column(i), &left);
            for j in 0..doubted.len() {
                let more = dot(slopes.column(i), slopes.column(j));
                normal.set(i, j, normal.at(i, j) + more);
            }
        }
    }

    /// What the readings say of each film.
    pub(super) fn film_checks(&self) -> Vec<FilmCheck> {
        (0..self.films)
            .map(|i| {
                let value = self.values[i];
                // If the stated doubt is right, the found error has the variance that was removed.
                let removed = self.prior[i] * self.prior[i] - self.covariance.at(i, i);
                let tells = removed > 1e-6 * self.prior[i] * self.prior[i];
                let deviations = if tells { value / libm::sqrt(removed) } else { 0.0 };
                FilmCheck { ln_ratio: value, deviations }
            })
            .collect()
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn remove(from: &mut [f64], unit: &[f64]) {
    let along = dot(from, unit);
    for (x, u) in from.iter_mut().zip(unit) {
        *x -= along * u;
    }
}
