//! The differences before CIEDE2000, for figures that were agreed in them.

use crate::colour::lab::{Lab, hue_deg};

/// ΔE*ab (1976): √(ΔL*² + Δa*² + Δb*²). ISO/CIE 11664-4.
///
/// ```
/// use pourbook::colour::{Lab, delta_e_ab};
/// assert_eq!(delta_e_ab(Lab::new(50.0, 3.0, 0.0), Lab::new(50.0, 0.0, 4.0)), 5.0);
/// ```
#[must_use]
pub fn delta_e_ab(one: Lab, two: Lab) -> f64 {
    let (dl, da, db) = (one.l - two.l, one.a - two.a, one.b - two.b);
    libm::sqrt(dl * dl + da * da + db * db)
}

/// What ΔE94's constants were set for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Application {
    /// Graphic arts and paint: kL 1, K1 0.045, K2 0.015.
    #[default]
    GraphicArts,
    /// Textiles: kL 2, K1 0.048, K2 0.014.
    Textiles,
}

/// ΔE*94 (CIE 116-1995) of a sample from a standard: not symmetric, as the standard's chroma
/// scales it.
///
/// ```
/// use pourbook::colour::{Application, Lab, delta_e_94};
/// let (standard, sample) = (Lab::new(50.0, 30.0, 40.0), Lab::new(52.0, 30.0, 40.0));
/// assert_eq!(delta_e_94(standard, sample, Application::GraphicArts), 2.0);
/// assert_eq!(delta_e_94(standard, sample, Application::Textiles), 1.0);
/// ```
#[must_use]
pub fn delta_e_94(standard: Lab, sample: Lab, application: Application) -> f64 {
    let (kl, k1, k2) = match application {
        Application::GraphicArts => (1.0, 0.045, 0.015),
        Application::Textiles => (2.0, 0.048, 0.014),
    };
    let (dl, dc, dh_squared) = split(standard, sample);
    let c = standard.chroma();
    let (l, c_term) = (dl / kl, dc / (1.0 + k1 * c));
    let sh = 1.0 + k2 * c;
    libm::sqrt(l * l + c_term * c_term + dh_squared / (sh * sh))
}

/// CMC(l:c) of a sample from a standard (ISO 105-J03): not symmetric. `lightness` l and `chroma` c
/// are 2 and 1 for acceptability, 1 and 1 for perceptibility.
///
/// ```
/// use pourbook::colour::{Lab, delta_e_cmc};
/// // At L* below 16 SL is 0.511.
/// let difference = delta_e_cmc(Lab::new(10.0, 0.0, 0.0), Lab::new(11.022, 0.0, 0.0), 2.0, 1.0);
/// assert!((difference - 1.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn delta_e_cmc(standard: Lab, sample: Lab, lightness: f64, chroma: f64) -> f64 {
    let c = standard.chroma();
    let h = hue_deg(standard.a, standard.b);
    let sl = if standard.l < 16.0 {
        0.511
    } else {
        0.040_975 * standard.l / (1.0 + 0.01765 * standard.l)
    };
    let sc = 0.0638 * c / (1.0 + 0.0131 * c) + 0.638;
    let cos_of = |deg: f64| libm::cos(deg.to_radians()).abs();
    let t = if (164.0..=345.0).contains(&h) {
        0.56 + 0.2 * cos_of(h + 168.0)
    } else {
        0.36 + 0.4 * cos_of(h + 35.0)
    };
    let c4 = c * c * c * c;
    let f = libm::sqrt(c4 / (c4 + 1900.0));
    let sh = sc * (f * t + 1.0 - f);
    let (dl, dc, dh_squared) = split(standard, sample);
    let (l, c_term) = (dl / (lightness * sl), dc / (chroma * sc));
    libm::sqrt(l * l + c_term * c_term + dh_squared / (sh * sh))
}

/// ΔL*, ΔC*ab and ΔH*ab², the last free of the cancellation in ΔE² − ΔL² − ΔC².
fn split(standard: Lab, sample: Lab) -> (f64, f64, f64) {
    let (c1, c2) = (standard.chroma(), sample.chroma());
    let cross = standard.a * sample.b - sample.a * standard.b;
    let dot = standard.a * sample.a + standard.b * sample.b;
    let product = c1 * c2;
    let dh_squared = if dot > 0.0 {
        2.0 * cross * cross / (product + dot)
    } else {
        2.0 * (product - dot).max(0.0)
    };
    (sample.l - standard.l, c2 - c1, dh_squared)
}
