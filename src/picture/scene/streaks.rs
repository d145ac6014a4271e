//! Streaks that a paddle leaves in a base: a pattern of fine lines along the stream, the same for every picture.

use crate::flow::Random;
use std::sync::OnceLock;

/// Points of the table along and across the stream.
const ALONG: usize = 128;
const ACROSS: usize = 256;
/// Millimetres between them.
const ALONG_MM: f32 = 8.0;
const ACROSS_MM: f32 = 0.45;
/// A stretch that reaches no further than that, in points, is a place.
const NARROW: f32 = 0.25;
/// Octaves: lines along and across in the whole table, and how strong.
const OCTAVES: [(usize, usize, f32); 3] = [(11, 19, 0.55), (17, 53, 0.32), (23, 128, 0.18)];

static TABLE: OnceLock<Vec<Point>> = OnceLock::new();

/// A point of the table: its value, and the sum of those across from the row's first to it (the ends by half).
type Point = [f32; 2];

/// Fine lines of mean nought, about −1 to 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Streaks {
    table: &'static [Point],
}

impl Streaks {
    pub(crate) fn new() -> Self {
        Self { table: TABLE.get_or_init(|| summed(&table())) }
    }

    /// The mean of a stretch `reach` mm across to both sides of a place, mm along and across: lines closer than that blend.
    #[inline(always)]
    pub(crate) fn at(self, along_mm: f32, [across_mm, reach_mm]: [f32; 2]) -> f32 {
        let (i, u) = cell(along_mm * (1.0 / ALONG_MM));
        let across = across_mm * (1.0 / ACROSS_MM);
        let reach = reach_mm * (1.0 / ACROSS_MM);
        let [low, high] = if reach > NARROW {
            let ends = [cell(across - reach), cell(across + reach)];
            let per = 0.5 / reach;
            [i, i + 1].map(|i| (self.before(i, ends[1]) - self.before(i, ends[0])) * per)
        } else {
            let (j, v) = cell(across);
            [i, i + 1].map(|i| {
                let [here, next] = [j, j + 1].map(|j| self.point(i, j)[0]);
                here + (next - here) * v
            })
        };
        low + (high - low) * u
    }

    #[inline(always)]
    fn point(self, i: usize, j: usize) -> Point {
        self.table.get((i % ALONG) * (ACROSS + 1) + j % ACROSS).copied().unwrap_or([0.0; 2])
    }

    /// The integral across from the beginning of the tables to a place in them, in points.
    #[inline(always)]
    fn before(self, i: usize, (j, v): (usize, f32)) -> f32 {
        let [here, sum] = self.point(i, j);
        let next = self.point(i, j + 1)[0];
        let whole = self.table.get((i % ALONG) * (ACROSS + 1) + ACROSS).map_or(0.0, |end| end[1]);
        // Counted from the middle table, so that no large numbers are taken from one another.
        #[expect(clippy::cast_precision_loss, reason = "at most 64")]
        let tables = (j / ACROSS) as f32 - 64.0;
        tables * whole + sum + v * (here + 0.5 * v * (next - here))
    }
}

/// The table with the sums across; a row ends with the next table's first point.
fn summed(table: &[f32]) -> Vec<Point> {
    let mut points = Vec::with_capacity(ALONG * (ACROSS + 1));
    for row in table.chunks(ACROSS) {
        let (mut sum, mut last) = (0.0, row.first().copied().unwrap_or(0.0));
        for value in row.iter().chain(row.first()) {
            if points.len() % (ACROSS + 1) > 0 {
                sum += 0.5 * (last + value);
            }
            last = *value;
            points.push([*value, sum]);
        }
    }
    points
}

/// Whole part, counted from far below nought, and the rest.
#[inline(always)]
fn cell(x: f32) -> (usize, f32) {
    // Comparisons that no number passes send what is none to the end of the range.
    let held = if x > -16_000.0 { x } else { -16_000.0 };
    let held = if held < 16_000.0 { held } else { 16_000.0 };
    // A whole number of tables below nought, so that indices stay positive.
    let above = held + 16_384.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "384 to 32,384")]
    let whole = above as usize;
    #[expect(clippy::cast_precision_loss, reason = "below 2^15")]
    let rest = above - whole as f32;
    (whole, rest)
}

fn table() -> Vec<f32> {
    let mut sum = vec![0.0_f32; ALONG * ACROSS];
    for (octave, (long, wide, strength)) in OCTAVES.into_iter().enumerate() {
        let mut random = Random::stream(0x57EA, octave as u64);
        #[expect(clippy::cast_possible_truncation, reason = "−1 to 1")]
        let lattice: Vec<f32> =
            (0..long * wide).map(|_| random.between(-1.0, 1.0) as f32).collect();
        let at =
            |i: usize, j: usize| lattice.get((i % long) * wide + j % wide).copied().unwrap_or(0.0);
        for (index, value) in sum.iter_mut().enumerate() {
            let (i, u) = smooth(index / ACROSS, ALONG, long);
            let (j, v) = smooth(index % ACROSS, ACROSS, wide);
            let low = at(i, j) + (at(i, j + 1) - at(i, j)) * v;
            let high = at(i + 1, j) + (at(i + 1, j + 1) - at(i + 1, j)) * v;
            *value += strength * (low + (high - low) * u);
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "a few thousand")]
    let mean = sum.iter().sum::<f32>() / sum.len() as f32;
    for value in &mut sum {
        *value -= mean;
    }
    sum
}

/// Cell of a lattice of `cells` that point `index` of `points` lies in, and the eased rest.
fn smooth(index: usize, points: usize, cells: usize) -> (usize, f32) {
    #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
    let x = (index * cells) as f32 / points as f32;
    let whole = index * cells / points;
    #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
    let rest = x - whole as f32;
    (whole, rest * rest * (3.0 - 2.0 * rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streaks_change_no_mean_and_repeat_without_a_seam() {
        let streaks = Streaks::new();
        let (mut sum, mut most) = (0.0_f64, 0.0_f32);
        for i in 0..ALONG {
            for j in 0..ACROSS {
                let value = streaks.at(i as f32 * ALONG_MM, [j as f32 * ACROSS_MM, 0.0]);
                sum += f64::from(value);
                most = most.max(value.abs());
            }
        }
        assert!((sum / (ALONG * ACROSS) as f64).abs() < 1e-5, "mean of {sum}");
        assert!(most > 0.4 && most < 1.1, "{most}");
        let (wide, long) = (ACROSS as f32 * ACROSS_MM, ALONG as f32 * ALONG_MM);
        for k in 0..200 {
            let (x, y) = (k as f32 * 3.7, k as f32 * 0.31);
            let at = |x, y| streaks.at(x, [y, 0.0]);
            let step = at(x + long - 0.001, y) - at(x + long + 0.001, y);
            assert!(step.abs() < 1e-3, "a seam along");
            let step = at(x, y + wide - 0.0005) - at(x, y + wide + 0.0005);
            assert!(step.abs() < 1e-2, "a seam across");
        }
        for reach in [0.0, 1.0, 1e30, f32::NAN] {
            assert!(streaks.at(f32::NAN, [1e30, reach]).abs() <= 1.1, "junk is held");
        }
    }

    #[test]
    fn a_stretch_is_the_mean_of_its_places() {
        let streaks = Streaks::new();
        for k in 0..60_u8 {
            let (along, across) = (f32::from(k) * 17.3, f32::from(k) * 2.71 - 90.0);
            let reach = 0.2 + f32::from(k % 9) * 1.7;
            let places = 4000_u16;
            let mean = (0..places)
                .map(|n| {
                    let off = 2.0 * (f32::from(n) + 0.5) / f32::from(places) - 1.0;
                    f64::from(streaks.at(along, [across + reach * off, 0.0]))
                })
                .sum::<f64>()
                / f64::from(places);
            let stretch = f64::from(streaks.at(along, [across, reach]));
            assert!((stretch - mean).abs() < 2e-3, "{k}: {stretch} for {mean}");
        }
    }
}
