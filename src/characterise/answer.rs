//! What a characterisation found, and how sure it is, band by band.

use super::drawdown::{Covariance, Known};
use crate::optics::Ks;
use crate::spectrum::BANDS;

/// The confidence at which intervals are stated.
pub const CONFIDENCE: f64 = 0.95;
/// Normal deviate of [`CONFIDENCE`], two-sided.
pub(super) const DEVIATE: f64 = 1.959_963_984_540_054;

/// Where a coefficient lies at [`CONFIDENCE`]; `high` is infinite where the readings set no limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What the readings tell about a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Identified {
    /// Both coefficients: each interval is within half of k + s to either side.
    Both,
    /// Only k/s: the films hide, so that k and s may grow together.
    RatioOnly,
    /// Neither.
    Neither,
}

/// What coefficients rest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// On readings alone.
    Readings,
    /// On readings that do not determine them, and on what is usual of colorants.
    Presumption,
}

/// What a drawdown's own readings say of its film, given all others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmCheck {
    /// Logarithm of the film that fits best over the film as stated.
    pub ln_ratio: f64,
    /// That, in standard deviations of what the stated doubt would let it be; 0 where the readings
    /// do not tell.
    pub deviations: f64,
}

/// A colorant's coefficients from readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Characterised {
    /// Coefficients at unit concentration, mm⁻¹·mL/g.
    pub unit: Ks,
    /// What they rest on.
    pub basis: Basis,
    /// Their covariance a band, all doubts together.
    pub covariance: [Covariance; BANDS],
    /// The part of it that is each band's own.
    pub own_covariance: [Covariance; BANDS],
    /// The rest of it as one figure: standard deviation of a factor common to all coefficients.
    pub scale: f64,
    /// Interval of each k.
    pub k_interval: [Interval; BANDS],
    /// Interval of each s.
    pub s_interval: [Interval; BANDS],
    /// What each band's readings tell.
    pub identified: [Identified; BANDS],
    /// Root mean square of the residuals in ∛R.
    pub rms_root: f64,
    /// The band with the largest residual, and that residual in ∛R.
    pub worst: (usize, f64),
    /// Mean square of the residuals in units of their stated doubt, by degrees of freedom; near 1
    /// when noise and model are right. `None` when every degree of freedom went into the fit. Above
    /// 1, intervals have been widened by its root.
    pub misfit: Option<f64>,
    /// The films as the readings see them.
    pub films: Vec<FilmCheck>,
}

impl Characterised {
    /// As a known colorant for the next characterisation.
    #[must_use]
    pub fn known(&self) -> Known {
        Known { unit: self.unit, covariance: self.own_covariance, scale: self.scale }
    }

    /// Share of the bands that are [`Identified::Both`].
    #[must_use]
    pub fn share_identified(&self) -> f64 {
        let both = self.identified.iter().filter(|i| **i == Identified::Both).count();
        #[expect(clippy::cast_precision_loss, reason = "at most 36")]
        let share = both as f64 / BANDS as f64;
        share
    }

    /// Drawdowns whose readings deny their stated film by more than `deviations` (3 is usual).
    #[must_use]
    pub fn wrong_films(&self, deviations: f64) -> Vec<usize> {
        (0..self.films.len()).filter(|i| self.films[*i].deviations.abs() > deviations).collect()
    }
}

/// What a band's intervals and information amount to.
pub(super) fn identified(
    k: f64,
    s: f64,
    k_interval: Interval,
    s_interval: Interval,
    information: [f64; 3],
) -> Identified {
    let whole = k + s;
    let narrow = |i: Interval| i.high - i.low <= whole;
    if narrow(k_interval) && narrow(s_interval) {
        return Identified::Both;
    }
    // Information about ln k − ln s at fixed k·s: (k, −s)/2 in the coefficients.
    let [kk, ks, ss] = information;
    let ratio = (k * k * kk - 2.0 * k * s * ks + s * s * ss) / 4.0;
    // A quarter either way, at the stated confidence.
    if ratio > 0.0 && DEVIATE / libm::sqrt(ratio) < 0.25 {
        Identified::RatioOnly
    } else {
        Identified::Neither
    }
}
