//! Absorption and scattering, side by side on the working grid.

use crate::spectrum::{BANDS, Spectrum};

/// Kubelka–Munk coefficients: of a film in mm⁻¹, or of a colorant at unit concentration in
/// mm⁻¹·mL/g (mm⁻¹ for 1 g of colorant in 1 mL of film).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ks {
    /// Absorption.
    pub k: Spectrum,
    /// Scattering.
    pub s: Spectrum,
}

impl Ks {
    /// Neither absorbs nor scatters.
    pub const CLEAR: Self = Self { k: Spectrum::flat(0.0), s: Spectrum::flat(0.0) };

    /// Both coefficients times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self { k: self.k.map(|k| k * factor), s: self.s.map(|s| s * factor) }
    }

    /// Adds `amount` of another to this one, band by band.
    pub fn add(&mut self, amount: f64, other: &Self) {
        for band in 0..BANDS {
            self.k[band] += amount * other.k[band];
            self.s[band] += amount * other.s[band];
        }
    }
}
