//! How ΔE00 moves with one of its colours: what a match climbs along.
//!
//! ΔE00² is a quadratic form in the weighted differences of lightness, chroma and hue, so it is a sum
//! of three squares; those three and their derivatives are given, because least squares climbs on
//! residuals. The chroma–hue pair is turned by the mean hue, which leaves the sum as it is and makes
//! the residuals smooth through neutral, where chroma and hue themselves are not.

use super::ciede2000::POW25_7;
use crate::colour::lab::{Lab, hue_deg};

/// ΔE00 as three residuals, with their slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeltaE2000Slopes {
    /// Their squares sum to ΔE00².
    pub residuals: [f64; 3],
    /// ∂ residual / ∂(L*, a*, b*) of the sample, one row a residual.
    pub by_sample: [[f64; 3]; 3],
}

/// A value and its slopes by L*, a*, b* of the sample.
#[derive(Clone, Copy)]
struct Dual([f64; 4]);

impl Dual {
    const fn constant(value: f64) -> Self {
        Self([value, 0.0, 0.0, 0.0])
    }

    /// `value` = f(self) where f has this slope.
    #[inline]
    fn through(self, value: f64, slope: f64) -> Self {
        let [_, l, a, b] = self.0;
        Self([value, slope * l, slope * a, slope * b])
    }

    #[inline]
    fn sqrt(self) -> Self {
        // A root of nothing has no slope; a hair keeps it finite.
        let root = libm::sqrt(self.0[0].max(0.0));
        self.through(root, 0.5 / root.max(1e-12))
    }

    #[inline]
    fn value(self) -> f64 {
        self.0[0]
    }
}

impl std::ops::Add for Dual {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        let ([a, b, c, d], [e, f, g, h]) = (self.0, other.0);
        Self([a + e, b + f, c + g, d + h])
    }
}

impl std::ops::Sub for Dual {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        let ([a, b, c, d], [e, f, g, h]) = (self.0, other.0);
        Self([a - e, b - f, c - g, d - h])
    }
}

impl std::ops::Mul for Dual {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        let ([one, b, c, d], [two, f, g, h]) = (self.0, other.0);
        Self([one * two, one * f + two * b, one * g + two * c, one * h + two * d])
    }
}

impl std::ops::Div for Dual {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        let inverse = 1.0 / other.0[0];
        self * other.through(inverse, -inverse * inverse)
    }
}

impl std::ops::Mul<f64> for Dual {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        let [a, b, c, d] = self.0;
        Self([a * factor, b * factor, c * factor, d * factor])
    }
}

impl std::ops::Add<f64> for Dual {
    type Output = Self;
    #[inline]
    fn add(mut self, more: f64) -> Self {
        self.0[0] += more;
        self
    }
}

/// √(c⁷/(c⁷ + 25⁷)).
fn root_of_seventh(c: Dual) -> Dual {
    let value = c.value();
    let third = value * value * value;
    let seventh = third * third * value;
    let below = seventh + POW25_7;
    (c.through(seventh / below, 7.0 * third * third * POW25_7 / (below * below))).sqrt()
}

/// ΔE00 of a sample against a target as residuals with slopes; domain and source as
/// [`super::delta_e_2000`]. Slopes jump where the hues lie 180° apart, as ΔE00's own do.
///
/// ```
/// use pourbook::colour::{Lab, delta_e_2000, delta_e_2000_slopes};
/// let (target, sample) = (Lab::new(50.0, 2.5, 0.0), Lab::new(73.0, 25.0, -18.0));
/// let squares: f64 = delta_e_2000_slopes(target, sample).residuals.iter().map(|r| r * r).sum();
/// assert!((squares.sqrt() - 27.1492).abs() < 1e-4);
/// ```
#[must_use]
pub fn delta_e_2000_slopes(target: Lab, sample: Lab) -> DeltaE2000Slopes {
    let l2 = Dual([sample.l, 1.0, 0.0, 0.0]);
    let a2 = Dual([sample.a, 0.0, 1.0, 0.0]);
    let b2 = Dual([sample.b, 0.0, 0.0, 1.0]);
    let (l1, b1) = (Dual::constant(target.l), Dual::constant(target.b));

    let mean_c = ((a2 * a2 + b2 * b2).sqrt() + target.chroma()) * 0.5;
    let stretch = root_of_seventh(mean_c) * -0.5 + 1.5;
    let (a1, a2) = (stretch * target.a, a2 * stretch);
    let c1 = (a1 * a1 + b1 * b1).sqrt();
    let c2 = (a2 * a2 + b2 * b2).sqrt();

    // Unit vectors of the hues, nought where there is no hue; their sum points at the mean hue.
    let unit = |part: Dual, c: Dual| {
        if c.value() > 1e-9 { part / c } else { Dual::constant(0.0) }
    };
    let (u1, v1, u2, v2) = (unit(a1, c1), unit(b1, c1), unit(a2, c2), unit(b2, c2));
    let (sum_u, sum_v) = (u1 + u2, v1 + v2);
    let length = (sum_u * sum_u + sum_v * sum_v).sqrt();
    let (cos, sin) = if length.value() > 1e-9 {
        (sum_u / length, sum_v / length)
    } else if c1.value() > 1e-9 {
        // Opposite hues: the mean lies a quarter turn on from the target's.
        (v1 * -1.0, u1)
    } else {
        (Dual::constant(1.0), Dual::constant(0.0))
    };

    // 2√(C₁C₂)·sin(Δh/2) = cross/(√(C₁C₂)·cos(Δh/2)), and half the sum's length is cos(Δh/2).
    let hued = c1.value() > 1e-9 && c2.value() > 1e-9;
    let d_hue = if hued {
        let cross = a1 * b2 - a2 * b1;
        let half = length * 0.5;
        if half.value() > 1e-6 { cross / ((c1 * c2).sqrt() * half) } else { (c1 * c2).sqrt() * 2.0 }
    } else {
        Dual::constant(0.0)
    };

    let cos2 = cos * cos - sin * sin;
    let sin2 = cos * sin * 2.0;
    let (cos3, sin3) = (cos2 * cos - sin2 * sin, sin2 * cos + cos2 * sin);
    let (cos4, sin4) = (cos2 * cos2 - sin2 * sin2, sin2 * cos2 * 2.0);
    // cos(n·h + φ) with φ in degrees, from the multiples of h.
    let turned = |cos: Dual, sin: Dual, phase: [f64; 2]| cos * phase[0] - sin * phase[1];
    let t = turned(cos, sin, PHASES[0]) * -0.17
        + cos2 * 0.24
        + turned(cos3, sin3, PHASES[1]) * 0.32
        + turned(cos4, sin4, PHASES[2]) * -0.20
        + 1.0;

    let from_mid = (l1 + l2) * 0.5 + -50.0;
    let from_mid = from_mid * from_mid;
    let sl = from_mid / (from_mid + 20.0).sqrt() * 0.015 + 1.0;
    let c = (c1 + c2) * 0.5;
    let sc = c * 0.045 + 1.0;
    let sh = c * t * 0.015 + 1.0;

    let hue = hue_deg(cos.value(), sin.value());
    // dh = cos·d sin − sin·d cos, in degrees.
    let slope_of_hue: [f64; 4] =
        std::array::from_fn(|at| (cos.value() * sin.0[at] - sin.value() * cos.0[at]).to_degrees());
    let turn = (hue - 275.0) / 25.0;
    let bell = libm::exp(-turn * turn);
    let angle = (60.0 * bell).to_radians();
    let by_hue = libm::cos(angle) * 60.0_f64.to_radians() * bell * (-2.0 * turn) / 25.0;
    let sine = Dual([
        libm::sin(angle),
        by_hue * slope_of_hue[1],
        by_hue * slope_of_hue[2],
        by_hue * slope_of_hue[3],
    ]);
    let rt = root_of_seventh(c) * sine * -2.0;

    let lightness = (l2 - l1) / sl;
    let (dc, dh) = ((c2 - c1) / sc, d_hue / sh);
    // c² + h² + rt·c·h = (c + rt·h/2)² + h²(1 − rt²/4); |rt| stays below 2·sin 60°.
    let along = dc + rt * dh * 0.5;
    let across = dh * (rt * rt * -0.25 + 1.0).sqrt();
    let rows = [lightness, along * cos - across * sin, along * sin + across * cos];
    DeltaE2000Slopes {
        residuals: rows.map(Dual::value),
        by_sample: rows.map(|row| [row.0[1], row.0[2], row.0[3]]),
    }
}

/// Cosine and sine of −30°, 6° and −63°.
const PHASES: [[f64; 2]; 3] = [
    [0.866_025_403_784_438_6, -0.5],
    [0.994_521_895_368_273_3, 0.104_528_463_267_653_47],
    [0.453_990_499_739_546_8, -0.891_006_524_188_367_9],
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::delta_e_2000;
    use proptest::prelude::*;

    fn length(slopes: &DeltaE2000Slopes) -> f64 {
        libm::sqrt(slopes.residuals.iter().map(|r| r * r).sum())
    }

    #[test]
    fn neutrals_and_equal_colours() {
        for (one, two) in [
            (Lab::new(50.0, 0.0, 0.0), Lab::new(60.0, 0.0, 0.0)),
            (Lab::new(50.0, 0.0, 0.0), Lab::new(60.0, 5.0, -3.0)),
            (Lab::new(50.0, 12.0, 9.0), Lab::new(60.0, 0.0, 0.0)),
            (Lab::new(50.0, 12.0, 9.0), Lab::new(50.0, 12.0, 9.0)),
            (Lab::new(50.0, 2.5, 0.0), Lab::new(50.0, -2.5, 0.0)),
        ] {
            let slopes = delta_e_2000_slopes(one, two);
            let (got, want) = (length(&slopes), delta_e_2000(one, two));
            assert!((got - want).abs() < 1e-9, "{one:?} {two:?}: {got} for {want}");
            let finite = slopes.by_sample.iter().flatten().all(|s| s.is_finite());
            assert!(finite, "{one:?} {two:?}: {slopes:?}");
        }
    }

    proptest! {
        #[test]
        fn squares_sum_to_the_formula(
            one in (0.0..100.0_f64, -100.0..100.0_f64, -100.0..100.0_f64),
            two in (0.0..100.0_f64, -100.0..100.0_f64, -100.0..100.0_f64),
            near in any::<bool>(),
        ) {
            let one = Lab::new(one.0, one.1, one.2);
            let two = if near {
                Lab::new(one.l + two.0 * 0.01, one.a + two.1 * 0.02, one.b + two.2 * 0.02)
            } else {
                Lab::new(two.0, two.1, two.2)
            };
            let (got, want) = (length(&delta_e_2000_slopes(one, two)), delta_e_2000(one, two));
            prop_assert!((got - want).abs() < 1e-7 * (1.0 + want), "{} for {}", got, want);
        }

        #[test]
        fn slopes_are_those_of_the_residuals(
            one in (5.0..95.0_f64, -60.0..60.0_f64, -60.0..60.0_f64),
            step in (-9.0..9.0_f64, -9.0..9.0_f64, -9.0..9.0_f64),
        ) {
            let target = Lab::new(one.0, one.1, one.2);
            let sample = Lab::new(one.0 + step.0, one.1 + step.1, one.2 + step.2);
            // Away from neutral and from opposite hues, where the slopes turn quickly.
            prop_assume!(target.chroma() > 3.0 && sample.chroma() > 3.0);
            prop_assume!(target.a * sample.a + target.b * sample.b > 0.0);
            let slopes = delta_e_2000_slopes(target, sample);
            for axis in 0..3 {
                let moved = |by: f64| {
                    let mut lab = sample.to_array();
                    lab[axis] += by;
                    delta_e_2000_slopes(target, Lab::new(lab[0], lab[1], lab[2])).residuals
                };
                let h = 1e-4;
                let (up, down) = (moved(h), moved(-h));
                for row in 0..3 {
                    let want = (up[row] - down[row]) / (2.0 * h);
                    let got = slopes.by_sample[row][axis];
                    prop_assert!((got - want).abs() < 1e-5, "{} {}: {} for {}", row, axis, got, want);
                }
            }
        }
    }
}
