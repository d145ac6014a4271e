//! Where the samples of a picture lie: in a grid, each off its place by a part of a step.
//!
//! In an even grid a line much thinner than a step and nearly level meets whole rows of samples and then none: it shows
//! as beads. Here no two samples of a pixel lie at one height, nor above one another, so that such a line meets about as
//! many of them everywhere.

/// Samples of a picture: a grid of points of the plane, `pitch_mm` apart both ways.
///
/// Within squares of `every` × `every` samples (a pixel, say) each lies off its place by less than half a pitch, so that
/// all are at different places across and at different places down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// The first sample's place if it were not off it, mm.
    pub origin_mm: [f64; 2],
    /// From one sample to the next, mm.
    pub pitch_mm: f64,
    /// The pattern repeats after so many, 1 (an even grid) to [`Grid::MOST`].
    pub every: usize,
}

/// Which of the equal parts of a pitch the samples of a row lie in, in patterns of one to eight. Neighbours are far from
/// one another, and no line through the pattern holds many.
const ORDERS: [[u8; Grid::MOST]; Grid::MOST] = [
    [0, 0, 0, 0, 0, 0, 0, 0],
    [0, 1, 0, 1, 0, 1, 0, 1],
    [1, 2, 0, 1, 2, 0, 1, 2],
    [1, 3, 0, 2, 1, 3, 0, 2],
    [1, 4, 2, 0, 3, 1, 4, 2],
    [2, 5, 1, 4, 0, 3, 2, 5],
    [2, 5, 0, 3, 6, 1, 4, 2],
    [1, 5, 3, 7, 0, 4, 2, 6],
];

impl Grid {
    /// Longest pattern.
    pub const MOST: usize = 8;

    /// Where sample `number` (column, row) lies, mm.
    #[must_use]
    pub fn at(&self, number: [isize; 2]) -> [f64; 2] {
        #[expect(clippy::cast_precision_loss, reason = "samples of a picture")]
        let steps = number.map(|n| n as f64);
        let off = number.map(|n| f64::from(off(self.every, n)));
        [
            self.origin_mm[0] + (steps[0] + off[1]) * self.pitch_mm,
            self.origin_mm[1] + (steps[1] - off[0]) * self.pitch_mm,
        ]
    }
}

/// How far samples of row `number` lie to the right of their places, and those of column `number` above theirs, in
/// pitches.
///
/// The other way for columns than for rows, so that together the samples lean neither way.
#[inline(always)]
pub(super) fn off(every: usize, number: isize) -> f32 {
    let every = every.clamp(1, Grid::MOST);
    let place = number.rem_euclid(every.cast_signed()).unsigned_abs();
    let part = ORDERS.get(every - 1).and_then(|order| order.get(place)).copied().unwrap_or(0);
    #[expect(clippy::cast_precision_loss, reason = "at most 8")]
    let parts = every as f32;
    (f32::from(part) + 0.5) / parts - 0.5
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The samples of one pixel, in its widths, from its middle.
    fn pixel(every: usize) -> Vec<[f64; 2]> {
        let side = u32::try_from(every).expect("a few");
        let pitch_mm = 1.0 / f64::from(side);
        let grid = Grid { origin_mm: [0.5 * pitch_mm - 0.5; 2], pitch_mm, every };
        let numbers = (0..every * every).map(|k| [k % every, k / every].map(usize::cast_signed));
        numbers.map(|number| grid.at(number)).collect()
    }

    #[test]
    fn no_two_samples_of_a_pixel_lie_at_one_height_or_above_one_another() {
        for every in 1..=Grid::MOST {
            for way in 0..2 {
                let mut places: Vec<f64> = pixel(every).iter().map(|p| p[way]).collect();
                places.sort_by(f64::total_cmp);
                let step = 1.0 / f64::from(u32::try_from(every * every).expect("a few"));
                for (k, place) in (0_u32..).zip(places) {
                    let even = (f64::from(k) + 0.5) * step - 0.5;
                    assert!((place - even).abs() < 1e-6, "{every}, way {way}: {place} for {even}");
                }
            }
        }
    }

    #[test]
    fn the_samples_of_a_pixel_lean_neither_way() {
        for every in 1..=Grid::MOST {
            let lean: f64 = pixel(every).iter().map(|[x, y]| x * y).sum();
            assert!(lean.abs() < 1e-6, "{every}: {lean}");
        }
    }

    #[test]
    fn the_pattern_repeats_from_pixel_to_pixel() {
        let grid = Grid { origin_mm: [3.0, 4.0], pitch_mm: 0.5, every: 4 };
        let [x, y] = grid.at([1, 2]);
        assert_eq!(grid.at([1 - 8, 2 + 12]), [x - 4.0, y + 6.0]);
    }
}
