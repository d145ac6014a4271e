//! How a film's reflectance moves with its coefficients and its substrate: what fits and matches
//! climb along.

use super::film::{decay, reflectance_of_thickness};

/// Reflectance of a film and its partial derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmSlopes {
    /// Internal reflectance, as [`super::film_reflectance`].
    pub reflectance: f64,
    /// ∂R/∂k, mm.
    pub by_k: f64,
    /// ∂R/∂s, mm.
    pub by_s: f64,
    /// ∂R/∂(film), mm⁻¹: Kubelka and Munk's own equation, s − 2(k+s)R + sR².
    pub by_film: f64,
    /// ∂R/∂Rg.
    pub by_substrate: f64,
}

/// Reflectance and derivatives of a film; arguments as [`super::film_reflectance`], `film_mm`
/// finite.
///
/// From R = N/D with c(w) = d·coth d, w = d²: ∂R/∂K = ((Rg−R)·∂c/∂K − (Rg+R))/D,
/// ∂R/∂S = ((1−Rg)(1−R) + (Rg−R)·∂c/∂S)/D, ∂R/∂Rg = (d/sinh d)²/D².
#[must_use]
pub fn film_slopes(k: f64, s: f64, film_mm: f64, substrate: f64) -> FilmSlopes {
    let (thick_k, thick_s) = (k * film_mm, s * film_mm);
    let (d, b) = decay(thick_k, thick_s);
    let reflectance = reflectance_of_thickness(thick_k, thick_s, substrate);
    let below = thick_k + thick_s * (1.0 - substrate) + d + b;
    let by_square = slope_of_d_coth_d(d, b);
    let c_by_k = by_square * 2.0 * (thick_k + thick_s);
    let c_by_s = by_square * 2.0 * thick_k;
    let apart = substrate - reflectance;
    let by_thick_k = (apart * c_by_k - (substrate + reflectance)) / below;
    let by_thick_s = ((1.0 - substrate) * (1.0 - reflectance) + apart * c_by_s) / below;
    // (d/sinh d)² = B·(B + 2d): both sides are 4d²e^{2d}/(e^{2d}−1)².
    let by_substrate = b * (b + 2.0 * d) / (below * below);
    FilmSlopes {
        reflectance,
        by_k: by_thick_k * film_mm,
        by_s: by_thick_s * film_mm,
        by_film: k * by_thick_k + s * by_thick_s,
        by_substrate,
    }
}

/// Derivative of d·coth d by d²: (coth d − d/sinh² d)/2d, or its series 1/3 − 2w/45 + 2w²/315 −
/// 4w³/4725 + 2w⁴/18711 where the difference would cancel.
fn slope_of_d_coth_d(d: f64, b: f64) -> f64 {
    let w = d * d;
    if w < 0.01 {
        1.0 / 3.0
            + w * (-2.0 / 45.0 + w * (2.0 / 315.0 + w * (-4.0 / 4725.0 + w * (2.0 / 18_711.0))))
    } else {
        // coth d = (d+B)/d and d/sinh² d = B(B+2d)/d.
        ((d + b) - b * (b + 2.0 * d)) / (2.0 * w)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::film_reflectance;
    use proptest::prelude::*;

    /// Central difference by Richardson extrapolation.
    fn slope(f: impl Fn(f64) -> f64, at: f64, step: f64) -> f64 {
        let wide = (f(at + step) - f(at - step)) / (2.0 * step);
        let narrow = (f(at + step / 2.0) - f(at - step / 2.0)) / step;
        (4.0 * narrow - wide) / 3.0
    }

    #[test]
    fn no_step_where_the_series_ends() {
        let d: f64 = 0.1;
        let (_, b) = decay(d, 0.0);
        let formula = ((d + b) - b * (b + 2.0 * d)) / (2.0 * d * d);
        assert!((slope_of_d_coth_d(d * (1.0 - 1e-13), b) - formula).abs() < 1e-12, "at 0.1");
    }

    #[test]
    fn slopes_at_the_edges() {
        let clear = film_slopes(0.0, 0.0, 2.0, 0.5);
        assert!((clear.by_k + 2.0 * 0.5 * 2.0).abs() < 1e-14, "R = Rg·e^(−2kX): {clear:?}");
        assert!((clear.by_s - 2.0 * 0.25).abs() < 1e-14, "s(1−Rg)²: {clear:?}");
        assert!((clear.by_substrate - 1.0).abs() < 1e-15, "clear film: {clear:?}");
    }

    proptest! {
        #[test]
        fn slopes_agree_with_differences(
            k in 0.01..40.0_f64, s in 0.01..40.0_f64, x in 0.01..2.0_f64, g in 0.01..0.99_f64,
        ) {
            let got = film_slopes(k, s, x, g);
            let near = |a: f64, b: f64| (a - b).abs() < 1e-8 * (1.0 + b.abs());
            let by_k = slope(|k| film_reflectance(k, s, x, g), k, 1e-3 * k);
            let by_s = slope(|s| film_reflectance(k, s, x, g), s, 1e-3 * s);
            let by_film = slope(|x| film_reflectance(k, s, x, g), x, 1e-3 * x);
            let by_g = slope(|g| film_reflectance(k, s, x, g), g, 1e-3 * g);
            prop_assert!(near(got.by_k, by_k), "k: {} {}", got.by_k, by_k);
            prop_assert!(near(got.by_s, by_s), "s: {} {}", got.by_s, by_s);
            prop_assert!(near(got.by_film, by_film), "film: {} {}", got.by_film, by_film);
            prop_assert!(near(got.by_substrate, by_g), "substrate: {} {}", got.by_substrate, by_g);
        }

        #[test]
        fn the_slope_by_film_is_the_differential_equation(
            k in 0.0..40.0_f64, s in 0.0..40.0_f64, x in 0.0..2.0_f64, g in 0.0..=1.0_f64,
        ) {
            let got = film_slopes(k, s, x, g);
            let r = got.reflectance;
            let equation = s - 2.0 * (k + s) * r + s * r * r;
            prop_assert!(
                (got.by_film - equation).abs() < 1e-10 * (1.0 + k + s),
                "{} against {}", got.by_film, equation
            );
        }
    }
}
