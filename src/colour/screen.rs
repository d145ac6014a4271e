//! From a colour seen under some white to a screen, keeping its hue where the screen cannot show it.
//!
//! Outside the gamut the OKLab lightness and hue are kept and the chroma is reduced to the largest
//! that fits, the way of CSS Color 4 (without its clipping step, which moves the hue). Nothing but
//! + − × ÷ and software cube roots is used, so that the same colour is the same bytes everywhere.

use super::adaptation::{Adaptation, Cat};
use super::matrix::{Matrix, apply, product};
use super::oklab::OkLab;
use super::srgb::{FROM_XYZ, SRGB_WHITE, Srgb8, linear_from_xyz, xyz_from_linear};
use crate::spectrum::Xyz;

/// How far outside 0–1 linear light may lie and still count as inside: a thirtieth of the smallest
/// step of 8 bits.
const EDGE: f64 = 1e-5;
/// Halvings of the chroma: 2⁻³⁰ of it is far below a byte.
const HALVINGS: u32 = 30;

/// A colour as a screen can show it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// Linear sRGB, each 0–1.
    pub linear: [f64; 3],
    /// Whether the screen shows the colour itself; otherwise a less chromatic one of its hue.
    pub in_gamut: bool,
}

impl Shown {
    /// The bytes.
    #[must_use]
    pub fn srgb8(self) -> Srgb8 {
        Srgb8::from_linear(self.linear)
    }
}

/// The way from tristimulus values under one white to the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToScreen {
    matrix: Matrix,
}

impl ToScreen {
    /// For colours seen under `white` (Y = 100), which becomes the screen's white (CAT16).
    #[must_use]
    pub fn from_white(white: Xyz) -> Self {
        let adapt = Adaptation::new(white, SRGB_WHITE, Cat::Cat16);
        let mut matrix = product(&FROM_XYZ, &adapt.matrix);
        for value in matrix.iter_mut().flatten() {
            *value /= 100.0;
        }
        Self { matrix }
    }

    /// Linear sRGB, not limited to 0–1.
    #[must_use]
    #[inline]
    pub fn linear(&self, xyz: Xyz) -> [f64; 3] {
        apply(&self.matrix, xyz.to_array())
    }

    /// The colour on the screen, its hue kept.
    ///
    /// ```
    /// use pourbook::{colour::ToScreen, spectrum::{Illuminant, Observer, weights}};
    /// let lamp = weights(&Illuminant::A, Observer::Cie1931_2deg);
    /// let paper = ToScreen::from_white(lamp.white()).show(lamp.white());
    /// assert_eq!((paper.srgb8().to_string().as_str(), paper.in_gamut), ("#ffffff", true));
    /// ```
    #[must_use]
    pub fn show(&self, xyz: Xyz) -> Shown {
        into_gamut(self.linear(xyz))
    }
}

/// The nearest colour of the same OKLab lightness and hue that a screen can show.
#[must_use]
pub fn into_gamut(linear: [f64; 3]) -> Shown {
    if fits(linear) {
        return Shown { linear: linear.map(|v| v.clamp(0.0, 1.0)), in_gamut: true };
    }
    let wanted = OkLab::from_xyz_d65(xyz_from_linear(linear));
    let shown = |linear| Shown { linear, in_gamut: false };
    if wanted.l >= 1.0 {
        return shown([1.0; 3]);
    }
    // Also where something is no number.
    if wanted.l.is_nan() || wanted.l <= 0.0 || wanted.chroma().is_nan() {
        return shown([0.0; 3]);
    }
    let at = |factor: f64| linear_from_xyz(wanted.with_chroma_scaled(factor).to_xyz_d65());
    let (mut inside, mut outside) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (inside + outside);
        if fits(at(middle)) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    shown(at(inside).map(|v| v.clamp(0.0, 1.0)))
}

fn fits(linear: [f64; 3]) -> bool {
    linear.iter().all(|v| (-EDGE..=1.0 + EDGE).contains(v))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_outside_keeps_hue_and_lightness() {
        for linear in [[1.4, -0.2, 0.1], [-0.3, 0.8, 0.2], [0.1, -0.1, 1.3], [0.5, 0.6, -0.2]] {
            let shown = into_gamut(linear);
            assert!(!shown.in_gamut, "{linear:?} is outside");
            let (before, after) = (
                OkLab::from_xyz_d65(xyz_from_linear(linear)),
                OkLab::from_xyz_d65(xyz_from_linear(shown.linear)),
            );
            assert!((before.l - after.l).abs() < 1e-4, "lightness {before:?} {after:?}");
            let turned = (before.hue_deg() - after.hue_deg()).abs();
            assert!(turned.min(360.0 - turned) < 0.05, "hue {before:?} {after:?}");
            assert!(after.chroma() < before.chroma(), "chroma falls");
        }
    }

    #[test]
    fn whatever_comes_something_is_shown() {
        for odd in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e300, -1e300, 5.0, -5.0] {
            for linear in [[odd; 3], [odd, 0.2, 0.3], [0.4, odd, 0.1]] {
                let shown = into_gamut(linear);
                assert!(!shown.in_gamut, "{linear:?}");
                assert!(shown.linear.iter().all(|v| (0.0..=1.0).contains(v)), "{shown:?}");
            }
        }
    }
}
