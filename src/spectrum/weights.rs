//! Illuminant-folded weights: from a spectrum on the working grid to tristimulus values.
//!
//! How, and how well: see the module's own text.

use std::sync::OnceLock;

use super::illuminant::Illuminant;
use super::observer::{Observer, TABLE_FIRST_NM};
use super::tristimulus::Xyz;
use super::{BANDS, FIRST_NM, STEP_NM, Spectrum};

/// Lanes of the running sums; the order of summing is the same on every machine.
const LANES: usize = 4;

/// What each band adds to X, Y and Z; ΣY = 100.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Weights of X, Y and Z.
    rows: [[f64; BANDS]; 3],
    white: Xyz,
}

impl Weights {
    /// Folds a light, given as relative power by wavelength in nm and summed every `step_nm`
    /// (from 360 nm), into the grid for an observer. A light that is dark or no number gives
    /// weights that are no numbers.
    #[must_use]
    pub fn fold(power: impl Fn(f64) -> f64, step_nm: u16, observer: Observer) -> Self {
        let mut rows = [[0.0; BANDS]; 3];
        let step = usize::from(step_nm.max(1));
        for (index, sensitivity) in observer.table().iter().enumerate().step_by(step) {
            #[expect(clippy::cast_precision_loss, reason = "an index into 471 rows")]
            let nm = f64::from(TABLE_FIRST_NM) + index as f64;
            let light = power(nm);
            let (start, shares) = lagrange_shares(nm);
            for (row, s) in rows.iter_mut().zip(sensitivity) {
                for (at, share) in shares.iter().enumerate() {
                    row[start + at] += light * s * share;
                }
            }
        }
        let scale = 100.0 / rows[1].iter().sum::<f64>();
        for row in &mut rows {
            for weight in row {
                *weight *= scale;
            }
        }
        let mut weights = Self { rows, white: Xyz::default() };
        weights.white = weights.xyz(&Spectrum::flat(1.0));
        weights
    }

    /// The weights of X, Y and Z, one a band.
    #[must_use]
    pub const fn rows(&self) -> &[[f64; BANDS]; 3] {
        &self.rows
    }

    /// The perfect reflector under this light: the sum of the weights, Y = 100.
    #[must_use]
    pub const fn white(&self) -> Xyz {
        self.white
    }

    /// Tristimulus values of a reflectance (0–1), Y = 100 for white.
    ///
    /// ```
    /// use pourbook::spectrum::{Illuminant, Observer, Spectrum, weights};
    /// let w = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    /// let grey = w.xyz(&Spectrum::flat(0.5));
    /// assert!((grey.y - 50.0).abs() < 1e-9 && (grey.x - 0.5 * 95.047).abs() < 1e-3);
    /// ```
    #[must_use]
    #[inline]
    pub fn xyz(&self, reflectance: &Spectrum) -> Xyz {
        let mut sums = [[0.0; LANES]; 3];
        for block in 0..BANDS / LANES {
            for lane in 0..LANES {
                let value = reflectance.0[block * LANES + lane];
                for (sum, row) in sums.iter_mut().zip(&self.rows) {
                    sum[lane] += row[block * LANES + lane] * value;
                }
            }
        }
        let [x, y, z] = sums.map(|s| (s[0] + s[1]) + (s[2] + s[3]));
        Xyz { x, y, z }
    }

    /// [`Weights::xyz`] of many reflectances; the same bits as one by one. Stops at the end of the
    /// shorter slice.
    pub fn xyz_batch(&self, reflectances: &[Spectrum], out: &mut [Xyz]) {
        pulp::Arch::new().dispatch(
            #[inline(always)]
            || {
                for (reflectance, xyz) in reflectances.iter().zip(out) {
                    *xyz = self.xyz(reflectance);
                }
            },
        );
    }
}

/// The four bands whose cubic gives the value at a wavelength in nm: the first of them, and the
/// share of each (Lagrange's coefficients). Beyond the grid the end band alone.
fn lagrange_shares(nm: f64) -> (usize, [f64; 4]) {
    #[expect(clippy::cast_precision_loss, reason = "36 bands")]
    let position = ((nm - FIRST_NM) / STEP_NM).clamp(0.0, (BANDS - 1) as f64);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the grid"
    )]
    let start = (position as usize).saturating_sub(1).min(BANDS - 4);
    #[expect(clippy::cast_precision_loss, reason = "36 bands")]
    let t = position - start as f64;
    let shares = [
        -(t - 1.0) * (t - 2.0) * (t - 3.0) / 6.0,
        t * (t - 2.0) * (t - 3.0) / 2.0,
        -t * (t - 1.0) * (t - 3.0) / 2.0,
        t * (t - 1.0) * (t - 2.0) / 6.0,
    ];
    (start, shares)
}

/// The folded weights of an illuminant and an observer; those of named illuminants are kept.
#[must_use]
pub fn weights(illuminant: &Illuminant, observer: Observer) -> Weights {
    static KEPT: [[OnceLock<Weights>; 2]; 17] = [const { [const { OnceLock::new() }; 2] }; 17];
    let fold = || Weights::fold(illuminant.power(), illuminant.summing_step_nm(), observer);
    let column = match observer {
        Observer::Cie1931_2deg => 0,
        Observer::Cie1964_10deg => 1,
    };
    match illuminant.place() {
        Some(place) => *KEPT[place][column].get_or_init(fold),
        None => fold(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_sum_to_one_and_give_a_cubic_exactly() {
        let cubic = |nm: f64| {
            let t = (nm - 550.0) / 100.0;
            1.0 + t * (0.5 + t * (-0.3 + 0.2 * t))
        };
        let sampled = Spectrum::of_wavelength(cubic);
        for nm in 380..=730 {
            let nm = f64::from(nm);
            let (start, shares) = lagrange_shares(nm);
            assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{nm} nm");
            let value: f64 = (0..4).map(|i| shares[i] * sampled[start + i]).sum();
            assert!((value - cubic(nm)).abs() < 1e-12, "{nm} nm: {value}");
        }
    }

    #[test]
    fn a_batch_gives_the_same_bits() {
        let w = weights(&Illuminant::F11, Observer::Cie1964_10deg);
        let many: Vec<Spectrum> = (0..77)
            .map(|i| Spectrum::of_wavelength(|nm| 0.5 + 0.4 * libm::sin(nm * 0.01 + f64::from(i))))
            .collect();
        let mut out = vec![Xyz::default(); many.len()];
        w.xyz_batch(&many, &mut out);
        for (one, batch) in many.iter().zip(&out) {
            assert_eq!(w.xyz(one), *batch, "bit for bit");
        }
    }
}
