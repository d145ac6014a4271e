//! One band of a set of drawdowns: what the readings should be for a k and s, and with what doubt.
//!
//! Residuals are taken in ∛(R + a), a the absolute noise of a reading, and whitened by their
//! covariance: the noise of each reading, the doubt of the other colorants in this band, and, where
//! the geometry is not stated, a surface reflection that may or may not be there (shared by all such
//! readings). Errors that are the same in every band are kept apart: see [`super::common_errors`].

use super::common_errors::Common;
use super::drawdown::{Conditions, Covariance, Drawdown, Known};
use crate::optics::{Geometry, Surface, film_slopes};
use crate::solve::{Cholesky, Matrix, Residuals, bracketed_root};

/// A film that is said to be endless is computed as this thick, mm.
const ENDLESS_MM: f64 = 1e4;

/// What another colorant adds to a film, mm⁻¹.
#[derive(Clone)]
struct Other {
    which: usize,
    concentration: f64,
    k: f64,
    s: f64,
}

/// One reading in one band.
struct Row {
    drawdown: usize,
    concentration: f64,
    /// Coefficients of all that is not sought, mm⁻¹.
    rest_k: f64,
    rest_s: f64,
    others: Vec<Other>,
    film_mm: f64,
    film_known: bool,
    ground: f64,
    geometry: Geometry,
    observed: f64,
}

/// A predicted cube root and its slopes.
pub(super) struct Point {
    pub(super) root: f64,
    pub(super) by_k: f64,
    pub(super) by_s: f64,
    by_rest_k: f64,
    by_rest_s: f64,
    by_ln_film: f64,
    by_reading: f64,
    reading: f64,
}

/// The readings of one band.
pub(super) struct Band<'a> {
    rows: Vec<Row>,
    conditions: &'a Conditions,
    others: Vec<Covariance>,
}

impl<'a> Band<'a> {
    pub(super) fn new(
        band: usize,
        drawdowns: &[Drawdown],
        known: &[Known],
        conditions: &'a Conditions,
        common: &Common,
    ) -> Self {
        let mut rows = Vec::new();
        for (place, drawdown) in drawdowns.iter().enumerate() {
            let film = &drawdown.film;
            let mut rest_k = film.resin_volume_fraction * conditions.binder.k[band];
            let mut rest_s = film.resin_volume_fraction * conditions.binder.s[band];
            let mut others = Vec::new();
            for (which, c) in &film.others_g_per_ml {
                let c = c * common.factor_of_other(*which);
                let (k, s) = (c * known[*which].unit.k[band], c * known[*which].unit.s[band]);
                rest_k += k;
                rest_s += s;
                others.push(Other { which: *which, concentration: c, k, s });
            }
            for reading in &drawdown.readings {
                rows.push(Row {
                    drawdown: place,
                    concentration: film.sought_g_per_ml,
                    rest_k,
                    rest_s,
                    others: others.clone(),
                    film_mm: (film.film_mm * common.factor_of_film(place)).min(ENDLESS_MM),
                    film_known: film.film_mm.is_finite(),
                    ground: reading.ground[band].clamp(0.0, 1.0),
                    geometry: reading.geometry,
                    observed: root(reading.seen[band], conditions.noise.absolute),
                });
            }
        }
        let others = known.iter().map(|k| k.covariance[band]).collect();
        Self { rows, conditions, others }
    }

    pub(super) fn count(&self) -> usize {
        self.rows.len()
    }

    pub(super) fn observed(&self, row: usize) -> f64 {
        self.rows[row].observed
    }

    /// What reading `row` should be for these coefficients (mm⁻¹·mL/g).
    pub(super) fn predict(&self, row: usize, k: f64, s: f64) -> Point {
        let r = &self.rows[row];
        let c = r.concentration;
        let film = film_slopes(r.rest_k + c * k, r.rest_s + c * s, r.film_mm, r.ground);
        let surface: &Surface = &self.conditions.surface;
        let reading = surface.reading(film.reflectance, r.geometry);
        let root = root(reading, self.conditions.noise.absolute);
        let by_reading = 1.0 / (3.0 * root * root);
        let by_internal = by_reading * surface.reading_slope(film.reflectance);
        Point {
            root,
            by_k: by_internal * film.by_k * c,
            by_s: by_internal * film.by_s * c,
            by_rest_k: by_internal * film.by_k,
            by_rest_s: by_internal * film.by_s,
            by_ln_film: if r.film_known { by_internal * film.by_film * r.film_mm } else { 0.0 },
            by_reading,
            reading,
        }
    }

    /// The k that gives the last reading with this s; a reading falls steadily as k grows.
    pub(super) fn absorption_for(&self, s: f64) -> f64 {
        const LN_LOW: f64 = -7.0;
        const LN_HIGH: f64 = 11.0;
        let Some(last) = self.count().checked_sub(1) else { return 1.0 };
        let above = |ln_k: f64| self.observed(last) - self.predict(last, libm::exp(ln_k), s).root;
        if above(LN_LOW) >= 0.0 {
            return libm::exp(LN_LOW);
        }
        if above(LN_HIGH) <= 0.0 {
            return libm::exp(LN_HIGH);
        }
        libm::exp(bracketed_root(above, LN_LOW, LN_HIGH, 1e-4))
    }

    /// Slopes of a reading's root by the common errors, in the order of [`Common`].
    pub(super) fn by_common(&self, row: usize, point: &Point, common: &Common) -> Vec<f64> {
        let r = &self.rows[row];
        let mut out = vec![0.0; common.count()];
        out[r.drawdown] = point.by_ln_film;
        for other in &r.others {
            out[common.place_of_other(other.which)] +=
                point.by_rest_k * other.k + point.by_rest_s * other.s;
        }
        out
    }

    /// Covariance of the roots when the truth is these coefficients, factorised; with the doubt of
    /// the common errors in it, or without.
    pub(super) fn whitening(&self, k: f64, s: f64, common: Option<&Common>) -> Option<Cholesky> {
        let m = self.rows.len();
        let points: Vec<Point> = (0..m).map(|row| self.predict(row, k, s)).collect();
        let noise = &self.conditions.noise;
        let mut v = Matrix::zeros(m, m);
        let mut add = |i: usize, j: usize, x: f64| v.set(i, j, v.at(i, j) + x);
        for i in 0..m {
            let deviation = noise.of(points[i].reading) * points[i].by_reading;
            add(i, i, deviation * deviation);
            for j in 0..m {
                let (p, q) = (&points[i], &points[j]);
                let (a, b) = (&self.rows[i], &self.rows[j]);
                if a.geometry == Geometry::Unknown && b.geometry == Geometry::Unknown {
                    let k1 = self.conditions.surface.k1;
                    add(i, j, k1 * k1 * p.by_reading * q.by_reading);
                }
                for x in &a.others {
                    for y in b.others.iter().filter(|y| y.which == x.which) {
                        let cov = self.others[x.which];
                        let both = p.by_rest_k * q.by_rest_k * cov.kk
                            + (p.by_rest_k * q.by_rest_s + p.by_rest_s * q.by_rest_k) * cov.ks
                            + p.by_rest_s * q.by_rest_s * cov.ss;
                        add(i, j, x.concentration * y.concentration * both);
                    }
                }
            }
        }
        if let Some(common) = common {
            let slopes: Vec<Vec<f64>> =
                (0..m).map(|row| self.by_common(row, &points[row], common)).collect();
            for i in 0..m {
                let spread = common.covariance().times(&slopes[i]);
                for (j, other) in slopes.iter().enumerate() {
                    add(i, j, spread.iter().zip(other).map(|(a, b)| a * b).sum());
                }
            }
        }
        Cholesky::of(&v)
    }
}

/// ∛(R + a), of nothing where a noisy reading is below −a.
fn root(reading: f64, absolute: f64) -> f64 {
    libm::cbrt((reading + absolute).max(1e-9))
}

/// The fit of k and s in one band, under a fixed whitening.
pub(super) struct BandFit<'a> {
    pub(super) band: &'a Band<'a>,
    pub(super) whitening: &'a Cholesky,
}

impl Residuals for BandFit<'_> {
    fn count(&self) -> usize {
        self.band.count()
    }

    fn residuals(&self, p: &[f64], out: &mut [f64]) {
        for (row, r) in out.iter_mut().enumerate() {
            *r = self.band.predict(row, p[0], p[1]).root - self.band.observed(row);
        }
        self.whitening.whiten(out);
    }

    fn jacobian(&self, p: &[f64], out: &mut Matrix) -> bool {
        for row in 0..self.band.count() {
            let point = self.band.predict(row, p[0], p[1]);
            out.set(row, 0, point.by_k);
            out.set(row, 1, point.by_s);
        }
        self.whitening.whiten(out.column_mut(0));
        self.whitening.whiten(out.column_mut(1));
        true
    }
}
