//! How white and how yellow: for primers, and for the ageing of a clear film.

use super::xyy::Xyy;
use crate::spectrum::{Observer, Xyz};

/// CIE whiteness and tint (CIE 15:2018 §9.5, ISO 11475) of a near-white under D65.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whiteness {
    /// W: 100 for the perfect reflector, more for bluish whites.
    pub whiteness: f64,
    /// T: positive greenish, negative reddish.
    pub tint: f64,
    /// Whether the formula is meant for the colour: 40 < W < 5Y − 280 and −4 < T < 2.
    pub valid: bool,
}

/// CIE whiteness of a colour seen under D65 by an observer, with the white of the same.
///
/// W = Y + 800 (xn − x) + 1700 (yn − y); T = 1000 (xn − x) − 650 (yn − y) for 2°, 900 instead of
/// 1000 for 10°.
#[must_use]
pub fn cie_whiteness(xyz: Xyz, white: Xyz, observer: Observer) -> Whiteness {
    let (of, wn) = (Xyy::from_xyz(xyz, white), Xyy::from_xyz(white, white));
    let (dx, dy) = (wn.x - of.x, wn.y - of.y);
    let of_x = match observer {
        Observer::Cie1931_2deg => 1000.0,
        Observer::Cie1964_10deg => 900.0,
    };
    let whiteness = xyz.y + 800.0 * dx + 1700.0 * dy;
    let tint = of_x * dx - 650.0 * dy;
    let valid = whiteness > 40.0 && whiteness < 5.0 * xyz.y - 280.0 && tint > -4.0 && tint < 2.0;
    Whiteness { whiteness, tint, valid }
}

/// Yellowness index of a colour seen under D65 (ASTM E313): 100 (Cx X − Cz Z)/Y, with
/// Cx 1.2985, Cz 1.1335 for 2° and 1.3013, 1.1498 for 10°. 0 for the perfect reflector; the change
/// of a clear film over white by ageing is the difference of two. Y must not be 0.
///
/// ```
/// use pourbook::{colour::yellowness_e313, spectrum::{Observer, Xyz}};
/// let white = Xyz::new(95.047, 100.0, 108.883);
/// assert!(yellowness_e313(white, Observer::Cie1931_2deg).abs() < 0.01);
/// ```
#[must_use]
pub fn yellowness_e313(xyz: Xyz, observer: Observer) -> f64 {
    let (cx, cz) = match observer {
        Observer::Cie1931_2deg => (1.2985, 1.1335),
        Observer::Cie1964_10deg => (1.3013, 1.1498),
    };
    100.0 * (cx * xyz.x - cz * xyz.z) / xyz.y
}
