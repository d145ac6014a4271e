//! A ribbon: one whole pass of the stream, let in along a bent line.

use super::series::sin_turns_fast;

/// One wave of a ribbon's middle line about its straight axis.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bend {
    /// Largest distance from the axis, mm.
    pub amplitude: f64,
    /// Waves per mm along the axis.
    pub per_mm: f64,
    /// Phase, turns.
    pub phase: f64,
}

/// New fluid let in all along a bent line: the line opens and the film on either side moves apart.
///
/// With x along the axis from the ribbon's middle and y across from its bent middle line, everything at y > 0 moves
/// by +w(x)/2 across and everything at y < 0 by −w(x)/2, where w(x) = W·(1 − (x/h)⁴)³ is the ribbon's width, nothing
/// beyond its ends |x| ≥ h. On either side that is a shear, so area is kept exactly and the inverse is as plain as the
/// map; between the sides lies the new fluid, of area ∫w dx = [`Ribbon::area`]. (Own derivation: a shear along y by
/// any function of x has the determinant 1.)
///
/// The film is pushed straight across the line and not round its ends, and the push does not fade with distance: a
/// ribbon shoves what lies beside it, as a stream laid against a soft edge does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ribbon {
    /// Middle of the axis, mm.
    pub middle: [f64; 2],
    /// Unit vector along the axis.
    pub along: [f64; 2],
    /// Half the axis' length h, mm, above 0.
    pub half_length: f64,
    /// Greatest width W, mm, above 0.
    pub width: f64,
    /// How the middle line bends about the axis.
    pub bends: [Bend; 3],
}

impl Ribbon {
    /// ∫ (1 − s⁴)³ ds over −1 to 1.
    const WHOLE: f64 = 2.0 * (1.0 - 3.0 / 5.0 + 3.0 / 9.0 - 1.0 / 13.0);

    /// The width of a ribbon of that length that covers `area` mm².
    #[must_use]
    pub fn width_for(area: f64, half_length: f64) -> f64 {
        area / (half_length * Self::WHOLE)
    }

    /// Area of the new fluid, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.width * self.half_length * Self::WHOLE
    }

    /// Share of the area (0 to 1) that lies before the place `s` = x/h in −1 to 1 along the axis.
    ///
    /// ```
    /// use pourbook::flow::Ribbon;
    /// assert!((Ribbon::part_before(0.0) - 0.5).abs() < 1e-15);
    /// assert!((Ribbon::part_before(1.0) - 1.0).abs() < 1e-15);
    /// ```
    #[inline(always)]
    #[must_use]
    pub fn part_before(s: f64) -> f64 {
        let s4 = s * s * s * s;
        let integral = s * (1.0 - s4 * (0.6 - s4 * (1.0 / 3.0 - s4 * (1.0 / 13.0))));
        0.5 + integral / Self::WHOLE
    }

    /// How far the middle line lies from the axis at `x` mm along it.
    #[inline(always)]
    pub(super) fn bent(&self, x: f64) -> f64 {
        let mut y = 0.0;
        for bend in &self.bends {
            y += bend.amplitude * sin_turns_fast(x * bend.per_mm + bend.phase);
        }
        y
    }

    /// Half the ribbon's width at the place `s` = x/h.
    #[inline(always)]
    pub(super) fn half_width(&self, s: f64) -> f64 {
        let s2 = s * s;
        let rest = 1.0 - s2 * s2;
        let rest = if rest > 0.0 { rest } else { 0.0 };
        0.5 * self.width * rest * rest * rest
    }

    /// Place of `p` along the axis (x/h) and across from the middle line (mm).
    #[inline(always)]
    pub(super) fn frame(&self, p: [f64; 2]) -> [f64; 2] {
        let (dx, dy) = (p[0] - self.middle[0], p[1] - self.middle[1]);
        let x = dx * self.along[0] + dy * self.along[1];
        let y = dy * self.along[0] - dx * self.along[1];
        [x / self.half_length, y - self.bent(x)]
    }

    /// `p` moved `by` mm across the axis.
    #[inline(always)]
    pub(super) fn across(&self, p: [f64; 2], by: f64) -> [f64; 2] {
        [p[0] - self.along[1] * by, p[1] + self.along[0] * by]
    }

    /// The point of the plane at the place `[s, t]` of the new fluid: s = x/h in −1 to 1, t from one rim (0) to the
    /// other (1).
    #[must_use]
    pub fn point(&self, [s, t]: [f64; 2]) -> [f64; 2] {
        let x = s * self.half_length;
        let y = self.bent(x) + (2.0 * t - 1.0) * self.half_width(s);
        let on_axis = [self.middle[0] + self.along[0] * x, self.middle[1] + self.along[1] * x];
        self.across(on_axis, y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_area_is_that_of_the_width_along_the_axis() {
        let ribbon = Ribbon {
            middle: [0.0; 2],
            along: [1.0, 0.0],
            half_length: 210.0,
            width: Ribbon::width_for(9000.0, 210.0),
            bends: [Bend::default(); 3],
        };
        assert!((ribbon.area() - 9000.0).abs() < 1e-9, "{}", ribbon.area());
        // Simpson's rule on 2,000 strips.
        let (mut sum, mut half) = (0.0, 0.0);
        for i in 0..2000 {
            let at = |k: f64| 2.0 * ribbon.half_width(-1.0 + (f64::from(i) + k) / 1000.0);
            let strip = (at(0.0) + 4.0 * at(0.5) + at(1.0)) / 6.0 * 0.21;
            sum += strip;
            if i < 700 {
                half += strip;
            }
        }
        assert!((sum - 9000.0).abs() < 1e-6, "{sum}");
        let part = Ribbon::part_before(-1.0 + 0.7);
        assert!((half / 9000.0 - part).abs() < 1e-9, "{half} {part}");
    }
}
