//! A ribbon: one whole pass of the stream, let in along a bent line.

use super::spline::{integrals, weights};

/// New fluid let in all along a line y = c(x): the line opens by w(x), and what lies beyond it moves on by as much.
///
/// Every point at y ≥ c(x) goes to y + w(x), every other stays. That is a shear along y on the far side and nothing on the
/// near one, so area is kept exactly and the inverse is as plain as the map; between the two lies the new fluid,
/// c ≤ y < c + w, of area ∫w dx. (Own derivation: a shear along y by any function of x has the determinant 1.)
///
/// c and w are uniform cubic B-splines on one lattice of places x (de Boor 1978): a line never leaves the band
/// between two others whose coefficients it lies between, and the widths of ribbons laid side by side add up
/// coefficient by coefficient. Nothing happens where no width is, nor before the line: a ribbon concerns the
/// neighbourhood it is poured in and what is poured on ahead of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ribbon {
    lattice: Lattice,
    /// Number in the lattice of the first coefficient.
    first: i64,
    /// Line and width, mm, by place; [`PAD`] without width at each end.
    table: Vec<[f64; 2]>,
    /// Sum of the widths before each place over that of all.
    before: Vec<f64>,
    area: f64,
}

/// Evenly spaced places along x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    /// x of place 0, mm.
    pub origin: f64,
    /// From one place to the next, mm, above 0.
    pub step: f64,
}

/// Coefficients at each end that have no width, so that four can be read anywhere.
pub(super) const PAD: usize = 4;

impl Lattice {
    /// x in steps from place 0.
    #[inline(always)]
    pub(super) fn at(&self, x: f64) -> f64 {
        (x - self.origin) / self.step
    }
}

impl Ribbon {
    /// A ribbon whose coefficients begin at place `first` of the lattice: of the line and of the width, mm, one of each a
    /// place. Widths below 0 (or that are none) count as 0.
    #[must_use]
    pub fn new(lattice: Lattice, first: i64, coefficients: &[[f64; 2]]) -> Self {
        let end = |at: Option<&[f64; 2]>| [at.map_or(0.0, |c| c[0]), 0.0];
        let mut table = vec![end(coefficients.first()); PAD];
        table.extend(coefficients.iter().map(|[c, w]| [*c, if *w > 0.0 { *w } else { 0.0 }]));
        table.resize(table.len() + PAD, end(coefficients.last()));
        let sum: f64 = table.iter().map(|[_, w]| w).sum();
        let per = if sum > 0.0 { 1.0 / sum } else { 0.0 };
        let mut so_far = 0.0;
        let before = table
            .iter()
            .map(|[_, w]| {
                let here = so_far * per;
                so_far += w;
                here
            })
            .collect();
        Self { lattice, first: first.saturating_sub(4), table, before, area: sum * lattice.step }
    }

    /// Area of the new fluid, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.area
    }

    /// How long it lies, mm: the length of a ribbon of one width with the same ∫w and ∫w².
    #[must_use]
    pub fn length(&self) -> f64 {
        let (mut one, mut two) = (0.0, 0.0);
        for [_, w] in &self.table {
            one += w;
            two += w * w;
        }
        if two > 0.0 { one * one / two * self.lattice.step } else { 0.0 }
    }

    /// x of the places that part it into `count` parts of one area, ends and all, mm; between the places of its table as if
    /// its width were even.
    #[must_use]
    pub fn parts(&self, count: usize) -> Vec<f64> {
        let last = self.table.len().saturating_sub(1);
        let mut at = 0;
        (0..=count)
            .map(|number| {
                let part = real(number) / real(count.max(1));
                let before = |k: usize| self.before.get(k).copied().unwrap_or(1.0);
                while at < last && before(at + 1) < part {
                    at += 1;
                }
                let on = (part - before(at)) / (before(at + 1) - before(at));
                let on = if on.is_finite() { on.clamp(0.0, 1.0) } else { 0.0 };
                // A coefficient's width is felt half a step to both sides of its place.
                self.x(real(at) + on - 0.5)
            })
            .collect()
    }

    /// x of a place in the table, mm.
    #[expect(clippy::cast_precision_loss, reason = "far below 2^52 places")]
    fn x(&self, place: f64) -> f64 {
        self.lattice.origin + self.lattice.step * (self.first as f64 + place)
    }

    /// The lattice of its places.
    #[must_use]
    pub fn lattice(&self) -> Lattice {
        self.lattice
    }

    /// Number in the lattice of the first coefficient of the table.
    pub(super) fn first(&self) -> i64 {
        self.first
    }

    /// Line and width by place, [`PAD`] without width at each end.
    pub(super) fn table(&self) -> &[[f64; 2]] {
        &self.table
    }

    /// Share of the widths' sum before each place.
    pub(super) fn before(&self) -> &[f64] {
        &self.before
    }

    /// The place in the table at `x` and how far on from it; `None` where there is no width.
    fn cell(&self, x: f64) -> Option<(usize, f64)> {
        let q = self.lattice.at(x);
        let whole = q.floor();
        #[expect(clippy::cast_possible_truncation, reason = "held to the table below")]
        let number = (whole as i64).checked_sub(self.first)?;
        let at = usize::try_from(number).ok()?;
        (at >= 1 && at + 2 < self.table.len()).then_some((at, q - whole))
    }

    /// Line and width at `x`, mm; `None` where there is no width.
    #[must_use]
    pub fn line_and_width(&self, x: f64) -> Option<[f64; 2]> {
        let (at, t) = self.cell(x)?;
        let mut sum = [0.0; 2];
        for (weight, [c, w]) in weights(t).iter().zip(self.table.get(at - 1..at + 3)?) {
            sum = [sum[0] + weight * c, sum[1] + weight * w];
        }
        Some(sum)
    }

    /// Share of the area (0 to 1) that lies before `x`.
    #[must_use]
    pub fn part_before(&self, x: f64) -> f64 {
        let Some((at, t)) = self.cell(x) else {
            return if self.lattice.at(x) < self.middle() { 0.0 } else { 1.0 };
        };
        let sum = self.area / self.lattice.step;
        let acting = self.table.get(at - 1..at + 3).unwrap_or_default();
        let passed: f64 = integrals(t).iter().zip(acting).map(|(i, [_, w])| i * w).sum();
        self.before.get(at - 1).copied().unwrap_or(0.0) + if sum > 0.0 { passed / sum } else { 0.0 }
    }

    /// The middle of the table in the lattice.
    #[expect(clippy::cast_precision_loss, reason = "far below 2^52 places")]
    fn middle(&self) -> f64 {
        self.first as f64 + 0.5 * self.table.len() as f64
    }
}

/// A count of places or parts, to compute with.
#[expect(clippy::cast_precision_loss, reason = "far below 2^52")]
fn real(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_area_is_that_of_the_width_along_the_line() {
        let coefficients: Vec<[f64; 2]> =
            [4.0, 9.0, 21.0, 30.0, 12.0, 0.5].map(|w| [3.0 * w, w]).to_vec();
        let ribbon = Ribbon::new(Lattice { origin: -13.0, step: 8.0 }, 5, &coefficients);
        assert!((ribbon.area() - 8.0 * 76.5).abs() < 1e-9, "{}", ribbon.area());
        assert!(ribbon.line_and_width(-13.0).is_none() && ribbon.line_and_width(400.0).is_none());
        assert!((ribbon.part_before(-200.0), ribbon.part_before(500.0)) == (0.0, 1.0));
        // Simpson's rule on 3,000 strips.
        let (mut sum, from) = (0.0, 0.0);
        let width = |x: f64| ribbon.line_and_width(x).map_or(0.0, |[_, w]| w);
        for i in 0..3000 {
            let x = from + f64::from(i) * 0.05;
            let part = ribbon.part_before(x) * ribbon.area();
            assert!((sum - part).abs() < 1e-6, "{sum} {part} before {x}");
            sum += (width(x) + 4.0 * width(x + 0.025) + width(x + 0.05)) / 6.0 * 0.05;
        }
        assert!((sum - ribbon.area()).abs() < 1e-6, "{sum}");
    }
    #[test]
    fn its_parts_are_of_one_area() {
        let coefficients: Vec<[f64; 2]> =
            (0..60).map(|k| [0.0, 5.0 + f64::from(k * (60 - k)) / 30.0]).collect();
        let ribbon = Ribbon::new(Lattice { origin: 3.0, step: 2.0 }, -7, &coefficients);
        let places = ribbon.parts(16);
        assert_eq!(places.len(), 17);
        for (number, x) in (0_u32..).zip(&places) {
            let part = ribbon.part_before(*x);
            assert!((part - f64::from(number) / 16.0).abs() < 2e-3, "{part} before {x}");
        }
    }
}
