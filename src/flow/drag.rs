//! What lies beside a stream's line is dragged along it.

use super::ribbon::Lattice;
use super::spline::weights;

/// The film turned about a point of a line as a long, thin eddy lies along it: on one side of the line it is dragged on, on
/// the other side back, most a little away from it and nothing at the eddy's rim. What crossed the line leans along it.
///
/// With c(x) the line, s = (x − m)/a and t = (y − c(x))/b, the point (s, t) is turned about (0, 0) by twice the angle
/// whose tangent is τ(1 − s² − t²)² within the unit circle. (x, y) ↔ (s, t) has the determinant ab everywhere and a turn by
/// an angle that depends on the radius keeps area, so the whole does, and its inverse is the turn the other way. (Own
/// derivation.)
#[derive(Debug, Clone, PartialEq)]
pub struct Drag {
    lattice: Lattice,
    /// Number in the lattice of the first coefficient.
    first: i64,
    /// The line's coefficients, mm; the first and the last hold beyond them.
    line: Vec<f64>,
    /// x of its middle, mm.
    pub middle: f64,
    /// Half of its length and of its width, mm.
    pub half: [f64; 2],
    /// tan of half the angle turned in its middle.
    pub half_tangent: f64,
}

impl Drag {
    /// A drag along the line whose coefficients begin at place `first` of the lattice.
    #[must_use]
    pub fn new(
        lattice: Lattice,
        first: i64,
        line: Vec<f64>,
        middle: f64,
        half: [f64; 2],
        half_tangent: f64,
    ) -> Self {
        Self { lattice, first, line, middle, half, half_tangent }
    }

    /// The lattice of the line's places.
    #[must_use]
    pub fn lattice(&self) -> Lattice {
        self.lattice
    }

    /// Number in the lattice of the first coefficient.
    pub(super) fn first(&self) -> i64 {
        self.first
    }

    /// The line's coefficients, mm.
    pub(super) fn line(&self) -> &[f64] {
        &self.line
    }

    /// The line at `x`, mm.
    #[must_use]
    pub fn line_at(&self, x: f64) -> f64 {
        let q = self.lattice.at(x);
        let whole = q.floor();
        #[expect(clippy::cast_possible_truncation, reason = "saturates, held to the line below")]
        let cell = (whole as i64).saturating_sub(self.first);
        let last = i64::try_from(self.line.len().saturating_sub(1)).unwrap_or(0);
        let at = |k: i64| {
            let place = usize::try_from(cell.saturating_add(k).clamp(0, last)).unwrap_or(0);
            self.line.get(place).copied().unwrap_or(0.0)
        };
        weights(q - whole).iter().zip([at(-1), at(0), at(1), at(2)]).map(|(w, c)| w * c).sum()
    }

    /// How little of the turn has faded at `p`: 1 in the middle, 0 at the rim, less beyond.
    #[cfg(test)]
    pub(super) fn fade(&self, p: [f64; 2]) -> f64 {
        let s = (p[0] - self.middle) / self.half[0];
        let t = (p[1] - self.line_at(p[0])) / self.half[1];
        1.0 - (s * s + t * t)
    }

    /// `p` turned forward (`sign` 1) or back (−1).
    pub(super) fn turn(&self, p: [f64; 2], sign: f64) -> [f64; 2] {
        let [a, b] = self.half;
        let s = (p[0] - self.middle) / a;
        if s * s >= 1.0 {
            return p;
        }
        let t = (p[1] - self.line_at(p[0])) / b;
        let fade = 1.0 - (s * s + t * t);
        if fade <= 0.0 {
            return p;
        }
        let by = sign * self.half_tangent * fade * fade;
        let norm = 1.0 + by * by;
        let (cos, sin) = ((1.0 - by * by) / norm, 2.0 * by / norm);
        let x = self.middle + a * (s * cos - t * sin);
        [x, self.line_at(x) + b * (s * sin + t * cos)]
    }
}
