//! The working grid: 380–730 nm every 10 nm, and a quantity sampled on it.

use std::ops::{Index, IndexMut};

/// Bands of the working grid.
pub const BANDS: usize = 36;
/// Wavelength of the first band, nm.
pub const FIRST_NM: f64 = 380.0;
/// Distance between bands, nm.
pub const STEP_NM: f64 = 10.0;

/// One value a band: a reflectance (0–1), an absorption or scattering coefficient (per mm), a
/// relative power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spectrum(pub [f64; BANDS]);

impl Spectrum {
    /// The same value in every band.
    #[must_use]
    pub const fn flat(value: f64) -> Self {
        Self([value; BANDS])
    }

    /// One value a band from its wavelength in nm.
    #[must_use]
    pub fn of_wavelength(f: impl Fn(f64) -> f64) -> Self {
        Self(std::array::from_fn(|band| f(wavelength_nm(band))))
    }

    /// The spectrum of `f` of each value.
    #[must_use]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self(self.0.map(f))
    }

    /// The spectrum of `f` of each pair of values.
    #[must_use]
    pub fn zip(&self, other: &Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self(std::array::from_fn(|band| f(self.0[band], other.0[band])))
    }

    /// The values, from the shortest wavelength.
    pub fn iter(&self) -> std::slice::Iter<'_, f64> {
        self.0.iter()
    }
}

impl Index<usize> for Spectrum {
    type Output = f64;
    fn index(&self, band: usize) -> &f64 {
        &self.0[band]
    }
}

impl IndexMut<usize> for Spectrum {
    fn index_mut(&mut self, band: usize) -> &mut f64 {
        &mut self.0[band]
    }
}

/// Wavelength of a band, nm.
#[must_use]
pub fn wavelength_nm(band: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a band number is small")]
    let steps = band as f64;
    FIRST_NM + STEP_NM * steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_ends_at_730() {
        assert!((wavelength_nm(BANDS - 1) - 730.0).abs() < 1e-12, "36 bands from 380 by 10");
    }
}
