//! A lot's tinting strength against the standing lot.
//!
//! Two tints at the same loading in the same white are compared by K/S = (1−R)²/2R of their internal
//! reflectances, which grows in proportion to the colorant (the form of ISO 787-24). A stronger lot
//! is dosed less.

use crate::optics::{Geometry, Surface, ratio_of_absorption_to_scattering};
use crate::spectrum::{BANDS, Spectrum, wavelength_nm};

/// Strength of a lot relative to the standing one, 1 for equal, from one reflectance of each; both
/// readings above what the surface alone gives.
///
/// ```
/// use pourbook::characterise::tinting_strength;
/// use pourbook::optics::{Geometry, Surface};
/// // 0.19 against 0.20: a stronger lot.
/// let strength = tinting_strength(0.19, 0.20, Surface::NONE, Geometry::SpecularIncluded);
/// assert!((strength - 1.0791).abs() < 5e-5);
/// assert!((6.0 / strength - 5.560).abs() < 5e-4, "a 6 % dose becomes 5.560 %");
/// ```
#[must_use]
pub fn tinting_strength(lot: f64, standing: f64, surface: Surface, geometry: Geometry) -> f64 {
    let ratio = |reading| ratio_of_absorption_to_scattering(surface.internal(reading, geometry));
    ratio(lot) / ratio(standing)
}

/// Strength of a lot at the wavelength where the standing lot absorbs most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotStrength {
    /// Relative to the standing lot, 1 for equal.
    pub strength: f64,
    /// Where it was taken, nm.
    pub nm: f64,
    /// The lowest and the highest strength over the bands that absorb at least a tenth as much: far
    /// apart, the lots differ in hue and no dose makes them equal.
    pub range: (f64, f64),
}

impl LotStrength {
    /// The loading of this lot that tints as `loading` of the standing one does.
    #[must_use]
    pub fn loading(&self, loading: f64) -> f64 {
        loading / self.strength
    }
}

/// Strength of a lot from spectra of two tints made alike. `None` where a reading is at or below
/// what the surface alone gives, or the standing tint absorbs nowhere.
#[must_use]
pub fn lot_strength(
    lot: &Spectrum,
    standing: &Spectrum,
    surface: Surface,
    geometry: Geometry,
) -> Option<LotStrength> {
    let ratios = |seen: &Spectrum| -> Vec<f64> {
        seen.iter()
            .map(|r| ratio_of_absorption_to_scattering(surface.internal(*r, geometry).min(1.0)))
            .collect()
    };
    let (ours, theirs) = (ratios(lot), ratios(standing));
    let sound = |r: &f64| surface.internal(*r, geometry) > 0.0;
    if !(lot.iter().all(sound) && standing.iter().all(sound)) {
        return None;
    }
    let most = (0..BANDS).max_by(|a, b| theirs[*a].total_cmp(&theirs[*b]))?;
    if theirs[most] <= 0.0 {
        return None;
    }
    let strong = (0..BANDS).filter(|band| theirs[*band] >= 0.1 * theirs[most]);
    let range = strong
        .map(|band| ours[band] / theirs[band])
        .fold((f64::INFINITY, 0.0_f64), |(low, high), s| (low.min(s), high.max(s)));
    Some(LotStrength { strength: ours[most] / theirs[most], nm: wavelength_nm(most), range })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worked_figures() {
        // By hand: (0.81²/0.38)/(0.8²/0.4) = 1.079095.
        let plain = tinting_strength(0.19, 0.20, Surface::NONE, Geometry::SpecularExcluded);
        assert!((plain - 1.079_1).abs() < 5e-5, "{plain}");
        let face = Surface { k1: 0.04, k2: 0.6 };
        let glossy = tinting_strength(0.19, 0.20, face, Geometry::SpecularIncluded);
        assert!((glossy - 1.107_3).abs() < 5e-5, "{glossy}");
    }

    #[test]
    fn a_lot_diluted_by_a_tenth_is_nine_tenths_strong() {
        use crate::optics::infinite_reflectance;
        let face = Surface::of_index(1.53);
        let tint = |strength: f64| {
            Spectrum::of_wavelength(|nm| {
                let q = strength * (0.02 + 3.0 * libm::exp(-libm::pow((nm - 560.0) / 60.0, 2.0)));
                face.reading(infinite_reflectance(q, 1.0), Geometry::SpecularIncluded)
            })
        };
        let got = lot_strength(&tint(0.9), &tint(1.0), face, Geometry::SpecularIncluded)
            .expect("a strength");
        assert!((got.strength - 0.9).abs() < 1e-9 && (got.nm - 560.0).abs() < 1e-9, "{got:?}");
        assert!((got.range.0 - 0.9).abs() < 1e-9 && (got.range.1 - 0.9).abs() < 1e-9, "{got:?}");
        assert!((got.loading(0.0180) - 0.02).abs() < 1e-9, "a ninth more is dosed");
    }

    #[test]
    fn nothing_to_compare_is_told() {
        let white = Spectrum::flat(1.0);
        let none = lot_strength(&white, &white, Surface::NONE, Geometry::SpecularExcluded);
        assert_eq!(none, None, "no absorption");
        let black = Spectrum::flat(0.01);
        let face = Surface::of_index(1.5);
        let none = lot_strength(&black, &white, face, Geometry::SpecularIncluded);
        assert_eq!(none, None, "below the surface");
    }
}
