//! k and s from readings alone, one band at a time, by bounded least squares in ∛R.
//!
//! Bands share nothing but the errors of the films and of the known colorants, and nothing is presumed
//! of the colorant, so the stated intervals hold the truth at their rate; where the readings do not determine a band, its interval is open and it is
//! said. Intervals are of the profile likelihood: a coefficient is moved, the other refitted, until
//! the whitened sum of squares has risen by the quantile of χ² with one degree of freedom. That holds
//! at the walls k = 0 and s = 0 and for bands that nearly hide, where a covariance would not.

use super::answer::{Basis, Characterised, DEVIATE, Identified, Interval, identified};
use super::band::{Band, BandFit};
use super::common_errors::Common;
use super::drawdown::{Conditions, Covariance, Drawdown, Known};
use super::impossible::{Impossible, check};
use crate::optics::Ks;
use crate::solve::{
    Bounds, Cholesky, Fit, Matrix, Options, Residuals, SolveError, bracketed_root, least_squares,
};
use crate::spectrum::{BANDS, Spectrum};

/// No colorant comes near this coefficient, mm⁻¹·mL/g: beyond it an interval is open.
const BEYOND: f64 = 1e6;
/// Least information a coefficient is taken to have: a standard deviation of 10⁴ mm⁻¹·mL/g.
const LEAST_INFORMATION: f64 = 1e-8;
/// Turns at most between the bands and the errors common to them.
const COMMON_TURNS: usize = 12;
/// Common errors are found when none changes by more than this share.
const COMMON_TOLERANCE: f64 = 2e-5;

/// A colorant's coefficients from drawdowns that hold it, with the other colorants in them known.
///
/// Serves any set of drawdowns: a white over black and white, then each colorant's masstone and tints
/// with that white as [`Known`] (its doubt is carried over).
///
/// # Errors
///
/// [`Impossible`] when a reading cannot be.
pub fn characterise_measured(
    drawdowns: &[Drawdown],
    known: &[Known],
    conditions: &Conditions,
) -> Result<Characterised, Impossible> {
    check(drawdowns, known, conditions)?;
    let mut common = Common::stated(drawdowns, known, conditions.noise.film);
    let lay = |common: &Common| -> Vec<Band> {
        (0..BANDS).map(|band| Band::new(band, drawdowns, known, conditions, common)).collect()
    };
    let mut bands = lay(&common);
    let mut points: Vec<(f64, f64)> = bands.iter().map(|band| first_point(band, &common)).collect();
    for _ in 0..COMMON_TURNS {
        let change = common.improve(&bands, &points);
        bands = lay(&common);
        refine(&bands, &mut points, None);
        if change < COMMON_TOLERANCE {
            break;
        }
    }
    let misfit = misfit(&bands, &points, &common);
    let widening = misfit.unwrap_or(1.0).max(1.0);
    refine(&bands, &mut points, Some(&common));
    let answers: Vec<BandAnswer> = bands
        .iter()
        .zip(&points)
        .map(|(band, (k, s))| doubt(band, *k, *s, widening, &common))
        .collect();
    let unit = Ks {
        k: Spectrum(std::array::from_fn(|band| points[band].0)),
        s: Spectrum(std::array::from_fn(|band| points[band].1)),
    };
    let (rms_root, worst) = residual(&bands, &unit);
    Ok(Characterised {
        unit,
        basis: Basis::Readings,
        covariance: std::array::from_fn(|band| answers[band].covariance),
        own_covariance: std::array::from_fn(|band| answers[band].own),
        scale: common_scale(&unit, &answers),
        k_interval: std::array::from_fn(|band| answers[band].k_interval),
        s_interval: std::array::from_fn(|band| answers[band].s_interval),
        identified: std::array::from_fn(|band| answers[band].identified),
        rms_root,
        worst,
        misfit,
        films: common.film_checks(),
    })
}

/// The common part of the doubt as the standard deviation of one factor: the least share of a
/// band's whole that the common errors add to its own doubt, over bands, in the middle.
fn common_scale(unit: &Ks, answers: &[BandAnswer]) -> f64 {
    let mut shares: Vec<f64> = answers
        .iter()
        .enumerate()
        .map(|(band, a)| {
            let whole = unit.k[band] + unit.s[band];
            let sum = |c: &Covariance| c.kk + 2.0 * c.ks + c.ss;
            libm::sqrt((sum(&a.covariance) - sum(&a.own)).max(0.0)) / whole.max(1e-12)
        })
        .collect();
    shares.sort_by(f64::total_cmp);
    shares.get(shares.len() / 2).copied().unwrap_or(0.0).min(1.0)
}

/// Doubt of one band.
struct BandAnswer {
    covariance: Covariance,
    own: Covariance,
    k_interval: Interval,
    s_interval: Interval,
    identified: Identified,
}

const QUICK: Options = Options {
    loss: crate::solve::Loss::Squares,
    turns: 60,
    gradient_tolerance: 1e-7,
    step_tolerance: 1e-9,
    cost_tolerance: 1e-9,
};

fn solve(
    band: &Band,
    whitening: &Cholesky,
    start: [f64; 2],
    bounds: &Bounds,
) -> Result<Fit, SolveError> {
    least_squares(&BandFit { band, whitening }, &start, bounds, &QUICK)
}

/// The coefficients that fit a band best: first in plain ∛R from several starts, then under the
/// covariance that the readings have there.
fn first_point(band: &Band, common: &Common) -> (f64, f64) {
    let m = band.count();
    let mut plain = Matrix::zeros(m, m);
    for i in 0..m {
        plain.set(i, i, 1e-4);
    }
    let bounds = Bounds::all(2, 0.0, BEYOND);
    let mut best: Option<Fit> = None;
    if let Some(whitening) = Cholesky::of(&plain) {
        for s in [3.0, 60.0, 600.0] {
            let start = [band.absorption_for(s), s];
            if let Ok(fit) = solve(band, &whitening, start, &bounds)
                && best.as_ref().is_none_or(|b| fit.cost < b.cost)
            {
                best = Some(fit);
            }
        }
    }
    let found = best.map_or((0.0, 0.0), |fit| (fit.parameters[0], fit.parameters[1]));
    refined(band, found, Some(common))
}

/// Fits again from `point` under the covariance there.
fn refined(band: &Band, point: (f64, f64), common: Option<&Common>) -> (f64, f64) {
    let bounds = Bounds::all(2, 0.0, BEYOND);
    let Some(whitening) = band.whitening(point.0, point.1, common) else { return point };
    solve(band, &whitening, [point.0, point.1], &bounds)
        .map_or(point, |fit| (fit.parameters[0], fit.parameters[1]))
}

fn refine(bands: &[Band], points: &mut [(f64, f64)], common: Option<&Common>) {
    for (band, point) in bands.iter().zip(points) {
        *point = refined(band, *point, common);
    }
}

/// Squares of whitened residuals by degrees of freedom, over all bands. A common error is one more
/// unknown and, being doubted, one more reading: they balance.
fn misfit(bands: &[Band], points: &[(f64, f64)], common: &Common) -> Option<f64> {
    let (mut squares, mut degrees) = (common.squares(), 0.0);
    for (band, (k, s)) in bands.iter().zip(points) {
        if let Some(whitening) = band.whitening(*k, *s, None) {
            squares += 2.0 * cost(band, &whitening, *k, *s);
            let spent = f64::from(u8::from(*k > 0.0) + u8::from(*s > 0.0));
            #[expect(clippy::cast_precision_loss, reason = "a count of readings is small")]
            let read = band.count() as f64;
            degrees += (read - spent).max(0.0);
        }
    }
    (degrees > 0.0).then(|| squares / degrees)
}

fn cost(band: &Band, whitening: &Cholesky, k: f64, s: f64) -> f64 {
    let mut out = vec![0.0; band.count()];
    BandFit { band, whitening }.residuals(&[k, s], &mut out);
    0.5 * out.iter().map(|r| r * r).sum::<f64>()
}

/// Intervals and covariance about a fitted point.
fn doubt(band: &Band, k: f64, s: f64, widening: f64, common: &Common) -> BandAnswer {
    let open = Interval { low: 0.0, high: f64::INFINITY };
    let nothing = Covariance { kk: 1.0 / LEAST_INFORMATION, ks: 0.0, ss: 1.0 / LEAST_INFORMATION };
    let lost = BandAnswer {
        covariance: nothing,
        own: nothing,
        k_interval: open,
        s_interval: open,
        identified: Identified::Neither,
    };
    let (Some(whitening), Some(alone)) =
        (band.whitening(k, s, Some(common)), band.whitening(k, s, None))
    else {
        return lost;
    };
    let information = information(band, &whitening, k, s, widening);
    let [kk, _, ss] = information;
    let mut covariance = inverted(information);
    let mut own = inverted(self::information(band, &alone, k, s, widening));
    let follow = [covariance.ks / covariance.kk, covariance.ks / covariance.ss];
    let profile = Profile { band, whitening: &whitening, best: [k, s], follow, widening };
    let k_interval = profile.interval(0, libm::sqrt(covariance.kk));
    let s_interval = profile.interval(1, libm::sqrt(covariance.ss));
    // On a wall the information says nothing of how far off the wall the truth may be.
    let from_wall = |interval: Interval| {
        let deviation = interval.high.min(BEYOND) / DEVIATE;
        deviation * deviation
    };
    if k <= 0.0 {
        covariance = Covariance { kk: from_wall(k_interval), ks: 0.0, ss: 1.0 / ss };
        own = covariance;
    }
    if s <= 0.0 {
        covariance = Covariance { kk: 1.0 / kk, ks: 0.0, ss: from_wall(s_interval) };
        own = covariance;
    }
    BandAnswer {
        covariance,
        own,
        k_interval,
        s_interval,
        identified: identified(k, s, k_interval, s_interval, information),
    }
}

/// Fisher's information about k and s: kk, ks, ss.
fn information(band: &Band, whitening: &Cholesky, k: f64, s: f64, widening: f64) -> [f64; 3] {
    let mut jacobian = Matrix::zeros(band.count(), 2);
    BandFit { band, whitening }.jacobian(&[k, s], &mut jacobian);
    let gram = jacobian.gram();
    [
        gram.at(0, 0) / widening + LEAST_INFORMATION,
        gram.at(0, 1) / widening,
        gram.at(1, 1) / widening + LEAST_INFORMATION,
    ]
}

/// The inverse of a symmetric 2 × 2 matrix that may be all but singular.
fn inverted([kk, ks, ss]: [f64; 3]) -> Covariance {
    let determinant = (kk * ss - ks * ks).max(kk * ss * 1e-14);
    Covariance { kk: ss / determinant, ks: -ks / determinant, ss: kk / determinant }
}

/// The likelihood of one coefficient, the other refitted.
struct Profile<'a> {
    band: &'a Band<'a>,
    whitening: &'a Cholesky,
    best: [f64; 2],
    /// How much the other coefficient moves with k, and with s.
    follow: [f64; 2],
    widening: f64,
}

impl Profile<'_> {
    /// Root of the rise of the whitened squares when coefficient `which` is held at `value`.
    fn rise(&self, which: usize, value: f64) -> f64 {
        let mut bounds = Bounds::all(2, 0.0, BEYOND);
        bounds.low[which] = value;
        bounds.high[which] = value;
        let floor = cost(self.band, self.whitening, self.best[0], self.best[1]);
        // The other follows along the regression line, which is the valley of films that hide.
        let mut start = self.best;
        let moved = value - self.best[which];
        start[1 - which] = (start[1 - which] + self.follow[which] * moved).max(0.0);
        start[which] = value;
        let least =
            solve(self.band, self.whitening, start, &bounds).map_or(f64::INFINITY, |fit| fit.cost);
        libm::sqrt((2.0 * (least - floor)).max(0.0) / self.widening)
    }

    fn interval(&self, which: usize, deviation: f64) -> Interval {
        let best = self.best[which];
        let over = |value: f64| self.rise(which, value) - DEVIATE;
        let low = if best <= 0.0 || over(0.0) <= 0.0 {
            0.0
        } else {
            let under = |share: f64| -over(best * share);
            best * bracketed_root(under, 0.0, 1.0, 0.01)
        };
        let step = (DEVIATE * deviation).clamp(1e-3 * best + 1e-6, 4.0 * best + 1.0);
        let (mut inside, mut outside) = (best, best + step);
        while over(outside) <= 0.0 {
            if outside > BEYOND {
                return Interval { low, high: f64::INFINITY };
            }
            inside = outside;
            outside = best + (outside - best) * 3.0;
        }
        Interval { low, high: bracketed_root(over, inside, outside, 0.01) }
    }
}

/// Root mean square of the residuals in ∛R, and the largest with its band.
pub(super) fn residual(bands: &[Band], unit: &Ks) -> (f64, (usize, f64)) {
    let (mut squares, mut count, mut worst) = (0.0, 0.0, (0, 0.0_f64));
    for (place, band) in bands.iter().enumerate() {
        for row in 0..band.count() {
            let r = band.predict(row, unit.k[place], unit.s[place]).root - band.observed(row);
            squares += r * r;
            count += 1.0;
            if r.abs() > worst.1.abs() {
                worst = (place, r);
            }
        }
    }
    (libm::sqrt(squares / f64::max(count, 1.0)), worst)
}
