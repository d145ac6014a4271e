//! A homogeneous film on a substrate: Kubelka and Munk's solution in a form without cancellation.
//!
//! With K, S the coefficients times the film, d = √(K(K+2S)), B = 2d/(e^{2d} − 1), so that
//! d·coth d = d + B, R∞ = S/(S+K+d) and u = K + S(1 − Rg) + d:
//!
//! ```text
//! R = (R∞·u + Rg·B) / (u + B)
//! ```
//!
//! a weighted mean of the endless film and the substrate. This is
//! (S − Rg(S+K) + Rg·d·coth d)/(S + K − S·Rg + d·coth d), rewritten by d − (S+K) = −S²/(d+S+K) so
//! that every term is positive: right to rounding at K = 0, as S → 0, for films without bound and
//! films of nothing.

use super::Ks;
use crate::spectrum::Spectrum;

/// Below this 2d, the series of B is exact to rounding (its next term is x⁴/720).
const SERIES_BELOW: f64 = 1e-4;

/// d and B of a film of optical thickness K, S.
pub(super) fn decay(k: f64, s: f64) -> (f64, f64) {
    let d = libm::sqrt((k * (k + 2.0 * s)).max(0.0));
    (d, bernoulli(2.0 * d))
}

/// x/(eˣ − 1) for x ≥ 0, without overflow.
fn bernoulli(x: f64) -> f64 {
    if x < SERIES_BELOW {
        1.0 - x / 2.0 + x * x / 12.0
    } else {
        let shrunk = libm::expm1(-x);
        -x * (1.0 + shrunk) / shrunk
    }
}

/// Reflectance of an optical thickness K, S over a substrate. The one formula of the house.
pub(super) fn reflectance_of_thickness(k: f64, s: f64, substrate: f64) -> f64 {
    let (d, b) = decay(k, s);
    // Without scattering nothing of the film's own comes back (and clear, its quotient is 0/0).
    let infinite = if s <= 0.0 { 0.0 } else { s / (s + k + d) };
    let u = k + s * (1.0 - substrate) + d;
    (infinite * u + substrate * b) / (u + b)
}

/// Internal reflectance of a film over a substrate.
///
/// `k`, `s` in mm⁻¹, at least 0; `film_mm` at least 0, infinity allowed; `substrate` the internal
/// reflectance below the film, 0–1.
///
/// ```
/// use pourbook::optics::film_reflectance;
/// // k 1, s 10 mm⁻¹, 0.1 mm over 0.8:
/// assert!((film_reflectance(1.0, 10.0, 0.1, 0.8) - 0.712_347_286_866).abs() < 1e-12);
/// ```
#[must_use]
pub fn film_reflectance(k: f64, s: f64, film_mm: f64, substrate: f64) -> f64 {
    if film_mm == f64::INFINITY {
        return if k <= 0.0 && s <= 0.0 { substrate } else { infinite_reflectance(k, s) };
    }
    reflectance_of_thickness(k * film_mm, s * film_mm, substrate)
}

/// Internal reflectance of a film so thick that its substrate does not show: S/(S+K+√(K(K+2S))).
/// Without scattering it is 0, a clear film without end included.
#[must_use]
pub fn infinite_reflectance(k: f64, s: f64) -> f64 {
    if s <= 0.0 {
        return 0.0;
    }
    let q = k / s;
    1.0 / (1.0 + q + libm::sqrt((q * (q + 2.0)).max(0.0)))
}

/// K/S that makes a film without end reflect `reflectance` (internal, above 0 and at most 1):
/// (1−R)²/2R, the Kubelka–Munk function.
#[must_use]
pub fn ratio_of_absorption_to_scattering(reflectance: f64) -> f64 {
    (1.0 - reflectance) * (1.0 - reflectance) / (2.0 * reflectance)
}

/// Diffuse transmittance of a film between black surroundings; arguments as [`film_reflectance`].
#[must_use]
pub fn film_transmittance(k: f64, s: f64, film_mm: f64) -> f64 {
    let (thick_k, thick_s) = (k * film_mm, s * film_mm);
    let (d, b) = decay(thick_k, thick_s);
    // d/sinh d = B·e^d, formed without overflow.
    let over_sinh =
        if d < 1.0 { b * libm::exp(d) } else { -2.0 * d * libm::exp(-d) / libm::expm1(-2.0 * d) };
    over_sinh / (thick_k + thick_s + d + b)
}

/// [`infinite_reflectance`] in every band.
#[must_use]
pub fn infinite_reflectance_spectrum(film: &Ks) -> Spectrum {
    film.k.zip(&film.s, infinite_reflectance)
}

/// [`film_transmittance`] in every band.
#[must_use]
pub fn film_transmittance_spectrum(film: &Ks, film_mm: f64) -> Spectrum {
    film.k.zip(&film.s, |k, s| film_transmittance(k, s, film_mm))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn limits_are_exact() {
        assert_eq!(film_reflectance(0.0, 0.0, 1.0, 0.37), 0.37, "a clear film shows its substrate");
        assert_eq!(film_reflectance(3.0, 5.0, 0.0, 0.37), 0.37, "no film shows its substrate");
        let pure = film_reflectance(0.0, 4.0, 0.5, 0.2);
        assert!((pure - (2.0 * 0.8 + 0.2) / (1.0 + 2.0 * 0.8)).abs() < 1e-15, "K = 0: {pure}");
        let clear = film_reflectance(1.5, 0.0, 1.0, 0.6);
        assert!((clear / (0.6 * libm::exp(-3.0)) - 1.0).abs() < 1e-14, "S = 0: {clear}");
        let thick = film_reflectance(0.3, 7.0, 1e4, 0.9);
        assert!((thick - infinite_reflectance(0.3, 7.0)).abs() < 1e-15, "1e4 mm: {thick}");
        let endless = film_reflectance(0.3, 7.0, f64::INFINITY, 0.9);
        assert!((endless - infinite_reflectance(0.3, 7.0)).abs() < 1e-16, "no end: {endless}");
        assert_eq!(film_reflectance(0.0, 7.0, f64::INFINITY, 0.1), 1.0, "endless pure scatterer");
        assert_eq!(infinite_reflectance(0.0, 0.0), 0.0, "clear without end");
    }

    #[test]
    fn the_ratio_inverts_the_endless_film() {
        for r in [1e-4, 0.03, 0.5, 0.97, 1.0] {
            let q = ratio_of_absorption_to_scattering(r);
            assert!((infinite_reflectance(q, 1.0) - r).abs() < 1e-12, "R {r}");
        }
    }

    #[test]
    fn the_series_meets_the_formula() {
        let x = SERIES_BELOW;
        let shrunk = libm::expm1(-x);
        let formula = -x * (1.0 + shrunk) / shrunk;
        assert!((bernoulli(x * (1.0 - 1e-12)) - formula).abs() < 1e-15, "no step at {x}");
    }

    proptest! {
        #[test]
        fn energy_is_kept(k in 0.0..1e3_f64, s in 0.0..1e3_f64, x in 0.0..1e2_f64) {
            let r = film_reflectance(k, s, x, 0.0);
            let t = film_transmittance(k, s, x);
            prop_assert!(r >= 0.0 && t >= 0.0 && r + t <= 1.0 + 1e-12, "r {} t {}", r, t);
            let lossless = film_reflectance(0.0, s, x, 0.0) + film_transmittance(0.0, s, x);
            prop_assert!((lossless - 1.0).abs() < 1e-12, "no absorption: {}", lossless);
        }

        #[test]
        fn reflectance_stays_between_substrate_and_the_endless_film(
            k in 0.0..1e3_f64, s in 1e-9..1e3_f64, x in 0.0..1e2_f64, g in 0.0..=1.0_f64,
        ) {
            let r = film_reflectance(k, s, x, g);
            let end = infinite_reflectance(k, s);
            prop_assert!(r >= g.min(end) - 1e-12 && r <= g.max(end) + 1e-12, "r {} end {}", r, end);
        }

        #[test]
        fn a_film_is_its_halves(
            k in 0.0..50.0_f64, s in 0.0..50.0_f64, x in 0.0..3.0_f64, g in 0.0..=1.0_f64,
            share in 0.0..=1.0_f64,
        ) {
            let below = film_reflectance(k, s, x * share, g);
            let split = film_reflectance(k, s, x * (1.0 - share), below);
            let whole = film_reflectance(k, s, x, g);
            prop_assert!((split - whole).abs() < 1e-12, "split {} whole {}", split, whole);
        }

        #[test]
        fn reflectance_over_a_substrate_follows_from_film_alone(
            k in 0.0..50.0_f64, s in 0.0..50.0_f64, x in 0.0..3.0_f64, g in 0.0..=1.0_f64,
        ) {
            // Kubelka 1948: R = R0 + T²Rg/(1 − R0·Rg). R0 and T are reached by other formulas.
            let r0 = film_reflectance(k, s, x, 0.0);
            let t = film_transmittance(k, s, x);
            let whole = film_reflectance(k, s, x, g);
            let summed = if r0 * g >= 1.0 { 1.0 } else { r0 + t * t * g / (1.0 - r0 * g) };
            prop_assert!((summed - whole).abs() < 1e-11, "summed {} whole {}", summed, whole);
        }
    }
}
