//! CIEDE2000 (ISO/CIE 11664-6), one pair at a time.

use crate::colour::lab::{Lab, hue_deg};

/// 25⁷.
pub(super) const POW25_7: f64 = 6_103_515_625.0;

/// ΔE00 between two colours under one white, kL = kC = kH = 1.
///
/// Domain: L* 0–100, a* and b* finite. Written as G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000
/// color-difference formula", Color Res. Appl. 30(1), 2005 set it out, with one point made
/// definite. **Hues exactly 180° apart** (pairs 10 and 14 of their test set: a*, b* and −a*, −b*) sit on
/// a branch of the mean hue which a difference of two rounded angles decides by chance. Here the
/// sign of the cross product a′₁b′₂ − a′₂b′₁ says which way round the shorter arc runs: no angles
/// are subtracted to decide it, and where it is zero the paper's rule for |Δh′| ≤ 180° applies.
/// Likewise the sine of the mean hue says whether a mean at the seam is 0° or just below 360°.
///
/// ```
/// use pourbook::colour::{Lab, delta_e_2000};
/// let (one, two) = (Lab::new(50.0, 2.6772, -79.7751), Lab::new(50.0, 0.0, -82.7485));
/// assert!((delta_e_2000(one, two) - 2.0425).abs() < 1e-4);
/// ```
#[must_use]
pub fn delta_e_2000(one: Lab, two: Lab) -> f64 {
    let mean_c7 = pow7(0.5 * (one.chroma() + two.chroma()));
    let stretch = 1.5 - 0.5 * libm::sqrt(mean_c7 / (mean_c7 + POW25_7));
    let (a1, a2) = (one.a * stretch, two.a * stretch);
    let c1 = libm::sqrt(a1 * a1 + one.b * one.b);
    let c2 = libm::sqrt(a2 * a2 + two.b * two.b);
    let (dh, h) = hues([a1, one.b, c1], [a2, two.b, c2]);

    let (dl, dc) = (two.l - one.l, c2 - c1);
    let d_hue = 2.0 * libm::sqrt(c1 * c2) * libm::sin(0.5 * dh.to_radians());
    let (l, c) = (0.5 * (one.l + two.l), 0.5 * (c1 + c2));

    let cos = |deg: f64| libm::cos(deg.to_radians());
    let t = 1.0 - 0.17 * cos(h - 30.0) + 0.24 * cos(2.0 * h) + 0.32 * cos(3.0 * h + 6.0)
        - 0.20 * cos(4.0 * h - 63.0);
    let from_mid = (l - 50.0) * (l - 50.0);
    let sl = 1.0 + 0.015 * from_mid / libm::sqrt(20.0 + from_mid);
    let sc = 1.0 + 0.045 * c;
    let sh = 1.0 + 0.015 * c * t;
    let turn = (h - 275.0) / 25.0;
    let c7 = pow7(c);
    let rc = 2.0 * libm::sqrt(c7 / (c7 + POW25_7));
    let rt = -rc * libm::sin((60.0 * libm::exp(-turn * turn)).to_radians());

    let (l, c, h) = (dl / sl, dc / sc, d_hue / sh);
    // The rotation term cannot outweigh the squares, but rounding may go below zero.
    libm::sqrt((l * l + c * c + h * h + rt * c * h).max(0.0))
}

fn pow7(v: f64) -> f64 {
    let v3 = v * v * v;
    v3 * v3 * v
}

/// Difference h′₂ − h′₁ and mean of two hues along the shorter arc, degrees; the mean is
/// 0 ≤ h ≤ 360. A colour without chroma has no hue: the other's is the mean.
fn hues([a1, b1, c1]: [f64; 3], [a2, b2, c2]: [f64; 3]) -> (f64, f64) {
    let (h1, h2) = (hue_deg(a1, b1), hue_deg(a2, b2));
    if c1 == 0.0 || c2 == 0.0 {
        return (0.0, h1 + h2);
    }
    let cross = a1 * b2 - a2 * b1;
    let d = h2 - h1;
    // The shorter arc runs with the cross product's sign: an apparent difference of the other sign
    // has gone the long way round. Near equal hues the sign of both is rounding, and no arc is long.
    if cross * d >= 0.0 || d.abs() < 90.0 {
        return (d, 0.5 * (h1 + h2));
    }
    let d = if d > 0.0 { d - 360.0 } else { d + 360.0 };
    // Half the sum lies opposite the mean; where the mean is about 0°, its sine tells its side: that
    // of the unit vectors' sum, or of their difference turned by 90° where they are wide apart.
    let opposite = 0.5 * (h1 + h2);
    let wide = a1 * a2 + b1 * b2 < 0.0;
    let sine = if wide { cross.signum() * (a1 * c2 - a2 * c1) } else { b1 * c2 + b2 * c1 };
    let mean =
        if sine >= 0.0 { (opposite - 180.0).max(0.0) } else { (opposite + 180.0).min(360.0) };
    (d, mean)
}
