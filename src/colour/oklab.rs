//! OKLab: a perceptual space for screens, whose hue stays put when chroma changes.
//!
//! B. Ottosson, "A perceptual color space for image processing" (2020): matrices as published
//! there, inverses computed from them.

use super::lab::hue_deg;
use super::matrix::{Matrix, apply, inverse};
use crate::spectrum::Xyz;

/// XYZ (D65, Y = 1) to cone-like responses.
const TO_CONES: Matrix = [
    [0.818_933_010_1, 0.361_866_742_4, -0.128_859_713_7],
    [0.032_984_543_6, 0.929_311_871_5, 0.036_145_638_7],
    [0.048_200_301_8, 0.264_366_269_1, 0.633_851_707_0],
];
/// Cube roots of cone-like responses to L, a, b.
const TO_LAB: Matrix = [
    [0.210_454_255_3, 0.793_617_785_0, -0.004_072_046_8],
    [1.977_998_495_1, -2.428_592_205_0, 0.450_593_709_9],
    [0.025_904_037_1, 0.782_771_766_2, -0.808_675_766_0],
];
const FROM_CONES: Matrix = inverse(&TO_CONES);
const FROM_LAB: Matrix = inverse(&TO_LAB);

/// OKLab.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OkLab {
    /// Lightness, 0 black to 1 white.
    pub l: f64,
    /// Green (−) to red (+), about −0.4 to 0.4.
    pub a: f64,
    /// Blue (−) to yellow (+), about −0.4 to 0.4.
    pub b: f64,
}

impl OkLab {
    /// From tristimulus values relative to D65, Y = 100 for white.
    ///
    /// ```
    /// use pourbook::{colour::OkLab, spectrum::Xyz};
    /// // Published with the space: XYZ (1, 0, 0) is (0.450, 1.236, −0.019).
    /// let lab = OkLab::from_xyz_d65(Xyz::new(100.0, 0.0, 0.0));
    /// assert!((lab.l - 0.450).abs() < 5e-4 && (lab.a - 1.236).abs() < 5e-4);
    /// ```
    #[must_use]
    pub fn from_xyz_d65(xyz: Xyz) -> Self {
        let cones = apply(&TO_CONES, xyz.to_array().map(|v| v / 100.0));
        let [l, a, b] = apply(&TO_LAB, cones.map(libm::cbrt));
        Self { l, a, b }
    }

    /// Tristimulus values relative to D65, Y = 100 for white.
    #[must_use]
    pub fn to_xyz_d65(self) -> Xyz {
        let roots = apply(&FROM_LAB, [self.l, self.a, self.b]);
        let xyz = apply(&FROM_CONES, roots.map(|v| v * v * v));
        Xyz::from_array(xyz.map(|v| v * 100.0))
    }

    /// Chroma.
    #[must_use]
    pub fn chroma(self) -> f64 {
        libm::sqrt(self.a * self.a + self.b * self.b)
    }

    /// Hue angle in degrees, 0 ≤ h < 360; 0 for greys.
    #[must_use]
    pub fn hue_deg(self) -> f64 {
        hue_deg(self.a, self.b)
    }

    /// The same lightness and hue with the chroma times `factor`.
    #[must_use]
    pub fn with_chroma_scaled(self, factor: f64) -> Self {
        Self { l: self.l, a: self.a * factor, b: self.b * factor }
    }
}
