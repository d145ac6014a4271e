//! A pixel from its samples.

use crate::flow::Traced;
use crate::picture::scene::{Scene, Sums};

/// Most samples a pixel each way.
pub(super) const MOST: usize = 8;

/// A whole pixel looks so many times its width across a ribbon: what lies closer than pixels can show blends instead of
/// making a pattern with them.
const SPREAD: f32 = 1.0;

/// What a pixel makes of its `n` × `n` samples from `corner` on, each weighted alike; `near` is the lamella of a place near
/// by, and then that of this one.
///
/// Samples that came with one ribbon are one stretch across it: as wide as spreads as far (of the same variance). So a line
/// thinner than the samples are apart shows by its width.
#[inline(always)]
pub(super) fn pixel(
    scene: &Scene,
    traced: &Traced,
    corner: usize,
    n: usize,
    near: &mut usize,
    sums: &mut Sums,
) {
    let n = n.min(MOST);
    #[expect(clippy::cast_precision_loss, reason = "at most 64")]
    let weight = 1.0 / (n * n) as f32;
    let mut left = Members::all(n);
    let mut gap = 0.0;
    while let Some(first) = left.first(n) {
        let Some(from) = traced.from.get(corner + first[1] * traced.width + first[0]) else {
            return;
        };
        let group = if left == Members::all(n) && are_all(traced, corner, n, *from) {
            left
        } else {
            left.of(*from, traced, corner, n)
        };
        left = left.without(group);
        let part = weight * group.count();
        let Some(section) = scene.section(*from) else {
            gap += part;
            continue;
        };
        let places = Places { traced, corner, from: *from, group, n };
        let middle = places.middle();
        let mut found = section.find(middle, *near);
        let reach = places.reach(middle, section.slope(&found)).unwrap_or_else(|| {
            found = section.find([middle[0], 0.5], found.lamella());
            0.5
        });
        *near = found.lamella();
        section.add(&found, reach, part, scene.streaks(), sums);
    }
    if gap > 0.0 {
        sums.close(gap, &scene.bare());
    }
}

/// Whether all samples of a pixel came from one map.
#[inline(always)]
fn are_all(traced: &Traced, corner: usize, n: usize, from: u32) -> bool {
    (0..n).all(|line| {
        let at = corner + line * traced.width;
        traced.from.get(at..at + n).is_some_and(|row| row.iter().all(|other| *other == from))
    })
}

/// Some of the samples of a pixel, a bit each.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Members(u64);

impl Members {
    #[inline(always)]
    fn all(n: usize) -> Self {
        Self(u64::MAX >> (64 - (n * n).clamp(1, 64)))
    }

    #[inline(always)]
    fn holds(self, n: usize, column: usize, line: usize) -> bool {
        self.0 >> (line * n + column) & 1 == 1
    }

    #[inline(always)]
    #[expect(clippy::cast_precision_loss, reason = "at most 64")]
    fn count(self) -> f32 {
        self.0.count_ones() as f32
    }

    /// The first one: column and line.
    #[inline(always)]
    fn first(self, n: usize) -> Option<[usize; 2]> {
        let number = self.0.trailing_zeros() as usize;
        (self.0 != 0).then_some([number % n, number / n])
    }

    #[inline(always)]
    fn without(self, others: Self) -> Self {
        Self(self.0 & !others.0)
    }

    /// Those of them that came from one map, that of the first.
    #[inline(always)]
    fn of(self, from: u32, traced: &Traced, corner: usize, n: usize) -> Self {
        let mut bits = 0;
        for line in 0..n {
            let at = corner + line * traced.width;
            let row = traced.from.get(at..at + n).unwrap_or_default();
            for (column, other) in row.iter().enumerate() {
                bits |= u64::from(*other == from) << (line * n + column);
            }
        }
        // The first always, so that whoever takes group after group comes to an end.
        let first = self.0 & self.0.wrapping_neg();
        Self(bits & self.0 | first)
    }
}

/// Where the samples of a pixel that came from one map lie in it.
struct Places<'a> {
    traced: &'a Traced,
    corner: usize,
    from: u32,
    group: Members,
    n: usize,
}

impl Places<'_> {
    #[inline(always)]
    fn at(&self, column: usize, line: usize) -> [f32; 2] {
        let at = self.corner + line * self.traced.width + column;
        self.traced.place.get(at).copied().unwrap_or_default()
    }

    /// Calls for each of them: column, line.
    #[inline(always)]
    fn each(&self, mut call: impl FnMut(usize, usize)) {
        for line in 0..self.n {
            for column in 0..self.n {
                if self.group.holds(self.n, column, line) {
                    call(column, line);
                }
            }
        }
    }

    /// Calls for each of them: its place.
    #[inline(always)]
    fn each_place(&self, mut call: impl FnMut(&[f32; 2])) {
        if self.group != Members::all(self.n) {
            return self.each(|column, line| call(&self.at(column, line)));
        }
        for line in 0..self.n {
            let at = self.corner + line * self.traced.width;
            self.traced.place.get(at..at + self.n).unwrap_or_default().iter().for_each(&mut call);
        }
    }

    /// Their mean place.
    #[inline(always)]
    fn middle(&self) -> [f32; 2] {
        let mut sums = [0.0_f32; 2];
        self.each_place(|[along, across]| sums = [sums[0] + along, sums[1] + across]);
        let per = 1.0 / self.group.count();
        sums.map(|sum| sum * per)
    }

    /// Half the stretch across that has the variance of what they stand for: of themselves, and of the part of the pixel that
    /// each is in the middle of. Lines that move by `slope` along the ribbon are followed. `None` is the whole ribbon:
    /// where it is so thin here that a sample may as well hit any place across it.
    #[inline(always)]
    fn reach(&self, middle: [f32; 2], slope: f32) -> Option<f32> {
        let off = |[along, across]: &[f32; 2]| across - middle[1] - slope * (along - middle[0]);
        let mut squares = 0.0_f32;
        self.each_place(|place| {
            let off = off(place);
            squares += off * off;
        });
        let count = self.group.count();
        let variance = if self.group == Members::all(self.n) {
            // The variance of n² even places is so much of that of the square they are spread over.
            if self.n < 2 { 0.0 } else { SPREAD * SPREAD * squares / (count - 1.0) }
        } else {
            let rim = if middle[1] < 0.5 { middle[1] } else { 1.0 - middle[1] };
            squares / count + self.steps(off, rim)? * (1.0 / 12.0)
        };
        Some((3.0 * variance).sqrt())
    }

    /// The mean square of the steps from one of them to the next that came from the same map, in the pixel or beside it,
    /// across and down together. Where there is none because the block ends, twice the distance from the `rim` stands
    /// for it: it lies between them and the next. Where there is none since samples lie scattered about the rim, those
    /// next to them aslant stand for it.
    #[inline(always)]
    fn steps(&self, off: impl Fn(&[f32; 2]) -> f32, rim: f32) -> Option<f32> {
        let to = |ways: &[[isize; 2]]| self.step_to(&off, ways);
        let mut aslant = None;
        let mut sum = 0.0;
        for ways in [&ACROSS, &DOWN] {
            let (mean, ends) = to(ways);
            let mean = match (mean, ends) {
                (Some(mean), _) => Some(mean),
                (None, true) => Some(4.0 * rim * rim),
                (None, false) => *aslant.get_or_insert_with(|| to(&ASLANT).0),
            };
            sum += mean?;
        }
        Some(sum)
    }

    /// The mean square of the steps from them to those beside them so many columns and lines away that came from the same
    /// map, `None` where none did; and whether the block ends there for any.
    #[inline(always)]
    fn step_to(&self, off: &impl Fn(&[f32; 2]) -> f32, ways: &[[isize; 2]]) -> (Option<f32>, bool) {
        let first = [self.corner % self.traced.width, self.corner / self.traced.width];
        let size = [self.traced.width, self.traced.rows];
        let (mut squares, mut pairs, mut ends) = (0.0_f32, 0.0_f32, false);
        self.each(|column, line| {
            let here = off(&self.at(column, line));
            for way in ways {
                let x = (first[0] + column).checked_add_signed(way[0]).filter(|x| *x < size[0]);
                let y = (first[1] + line).checked_add_signed(way[1]).filter(|y| *y < size[1]);
                let (Some(x), Some(y)) = (x, y) else {
                    ends = true;
                    continue;
                };
                let number = y * self.traced.width + x;
                if self.traced.from.get(number) == Some(&self.from)
                    && let Some(place) = self.traced.place.get(number)
                {
                    let step = off(place) - here;
                    squares += step * step;
                    pairs += 1.0;
                }
            }
        });
        ((pairs > 0.0).then(|| squares / pairs), ends)
    }
}

/// Columns and lines to the samples beside one, across, down and aslant.
const ACROSS: [[isize; 2]; 2] = [[-1, 0], [1, 0]];
const DOWN: [[isize; 2]; 2] = [[0, -1], [0, 1]];
const ASLANT: [[isize; 2]; 4] = [[-1, -1], [1, -1], [-1, 1], [1, 1]];

#[cfg(test)]
mod tests {
    use super::*;

    /// 3 × 3 samples whose places go so far from one to the next, those of the given map numbers.
    fn traced(from: [u32; 9], right: f32, down: f32) -> Traced {
        let place = |k: u8| {
            let [column, line] = [k % 3, k / 3].map(f32::from);
            [0.5, 0.5 + right * (column - 1.0) + down * (line - 1.0)]
        };
        Traced { width: 3, rows: 3, from: from.to_vec(), place: (0..9).map(place).collect() }
    }

    fn places(traced: &Traced, bits: u64) -> Places<'_> {
        let first = traced.from[bits.trailing_zeros() as usize];
        Places { traced, corner: 0, from: first, group: Members(bits), n: 3 }
    }

    #[test]
    fn a_whole_pixel_reaches_so_many_times_its_width() {
        // Lines across the pixel, three samples of 0.02: half of 0.06.
        let even = traced([1; 9], 0.02, 0.0);
        let all = places(&even, 0b1_1111_1111);
        let middle = all.middle();
        assert!((middle[1] - 0.5).abs() < 1e-6, "{middle:?}");
        assert!(
            (all.reach(middle, 0.0).unwrap() - SPREAD * 0.03).abs() < 1e-6,
            "{:?}",
            all.reach(middle, 0.0)
        );
        // Lines at 45 degrees: two boxes, the variance of both.
        let slanted = traced([1; 9], 0.02, 0.02);
        let reach = places(&slanted, 0b1_1111_1111).reach(middle, 0.0).unwrap();
        assert!((reach - SPREAD * 0.03 * 2.0_f32.sqrt()).abs() < 1e-6, "{reach}");
    }

    #[test]
    fn a_part_of_a_pixel_reaches_over_its_part() {
        // The left and the middle column: 0.04 wide.
        let even = traced([1, 1, 2, 1, 1, 2, 1, 1, 2], 0.02, 0.0);
        let group = Members::all(3).of(1, &even, 0, 3);
        assert_eq!(group, Members(0b0_1101_1011));
        let part = places(&even, group.0);
        let middle = part.middle();
        assert!((middle[1] - 0.49).abs() < 1e-6, "{middle:?}");
        assert!(
            (part.reach(middle, 0.0).unwrap() - 0.02).abs() < 1e-6,
            "{:?}",
            part.reach(middle, 0.0)
        );
        assert_eq!(Members::all(3).without(group).of(2, &even, 0, 3).count(), 3.0);
    }

    #[test]
    fn lines_that_lean_along_the_ribbon_are_followed() {
        let mut leaning = traced([1; 9], 0.02, 0.0);
        for place in &mut leaning.place {
            place[0] = 0.5 + 0.1 * (place[1] - 0.5);
        }
        // Bounds that move as the places do: all lie on one line.
        let all = places(&leaning, 0b1_1111_1111);
        assert!(
            all.reach(all.middle(), 10.0).unwrap() < 1e-6,
            "{:?}",
            all.reach(all.middle(), 10.0)
        );
    }

    #[test]
    fn a_ribbon_thinner_than_the_samples_is_all_of_it() {
        // 9 × 9 samples, the pixel in the middle; one row of them came from a ribbon.
        let block = |rows: core::ops::Range<usize>| {
            let from = |k: usize| if rows.contains(&(k / 9)) { 1 } else { 2 };
            let place = |k: u8| [0.5, 0.1 + 0.2 * f32::from(k / 9 % 3)];
            Traced {
                width: 9,
                rows: 9,
                from: (0..81).map(from).collect(),
                place: (0..81).map(place).collect(),
            }
        };
        let reach = |traced: &Traced, bits: u64| {
            let group = Members(bits);
            let places = Places { traced, corner: 30, from: 1, group, n: 3 };
            places.reach(places.middle(), 0.0)
        };
        assert_eq!(reach(&block(4..5), 0b000_111_000), None, "one row: any place across");
        // Its next row lies below the pixel.
        let two = reach(&block(5..7), 0b111_000_000);
        assert!(two.is_some_and(|r| (r - 0.2).abs() < 1e-6), "half of the step to it: {two:?}");
        let four = reach(&block(4..8), 0b111_111_000);
        assert!(four.is_some_and(|r| r > 0.0), "{four:?}");
    }

    #[test]
    fn a_sample_at_a_wide_ribbons_rim_is_not_all_of_it() {
        // The rim lies between samples that are scattered: of the first line only the middle one came from the ribbon, and
        // all of the lines below it.
        let mut rim = traced([2, 1, 2, 1, 1, 1, 1, 1, 1], 0.0, 0.02);
        rim.place.iter_mut().for_each(|place| place[1] -= 0.47);
        let one = places(&rim, 0b10);
        let middle = one.middle();
        assert!((middle[1] - 0.01).abs() < 1e-6, "{middle:?}");
        let reach = one.reach(middle, 0.0);
        assert!(reach.is_some_and(|r| r > 0.005 && r < 0.03), "{reach:?}");
    }
}
