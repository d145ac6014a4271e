//! Rows of a picture filled with the mean of a grid of samples a pixel.

use super::View;
use super::bands::row_of;
use super::raster::{SPARE, Strip};
use crate::flow::{Grid, Traced, Tracer};
use crate::picture::scene::{CHANNELS, Scene, Sums};

/// Most samples a pixel each way.
pub(super) const MOST: usize = 8;

/// A picture's samples, and what is needed to take them.
pub(super) struct Sampler<'a> {
    scene: &'a Scene,
    grid: Grid,
    samples: usize,
    tracer: Tracer<'a>,
    traced: Traced,
}

impl<'a> Sampler<'a> {
    /// `samples` × `samples` a pixel of the view.
    pub(super) fn new(scene: &'a Scene, view: &View, samples: usize) -> Self {
        let samples = samples.clamp(1, MOST);
        Self {
            scene,
            grid: grid_of(view, samples),
            samples,
            tracer: Tracer::new(&scene.maps),
            traced: Traced::default(),
        }
    }

    /// Fills the strip's pixels with mean channels and, where there are planes, with mean shares, eight a plane.
    /// Where a cover is given with a reach in pixels, what lies further than that from all it covers is left empty.
    pub(super) fn fill(
        &mut self,
        paint: &mut Strip<CHANNELS>,
        planes: &mut [Strip<CHANNELS>],
        cover: Option<(&Strip<1>, usize)>,
    ) {
        pulp::Arch::new().dispatch(Fill { sampler: self, paint: Some(paint), planes, cover });
    }

    /// Fills planes with mean shares alone.
    pub(super) fn fill_shares(&mut self, planes: &mut [Strip<CHANNELS>]) {
        pulp::Arch::new().dispatch(Fill { sampler: self, paint: None, planes, cover: None });
    }

    #[inline(always)]
    fn blocks(
        &mut self,
        mut paint: Option<&mut Strip<CHANNELS>>,
        planes: &mut [Strip<CHANNELS>],
        cover: Option<(&Strip<1>, usize)>,
    ) {
        let Some((width, top, rows)) = paint
            .as_deref()
            .or(planes.first())
            .map(|strip| (strip.width, strip.first_row, strip.rows))
        else {
            return;
        };
        let (scene, n) = (self.scene, self.samples);
        let block = Tracer::BLOCK / n;
        for first_row in (0..rows).step_by(block) {
            let deep = block.min(rows - first_row);
            for first_column in (0..width).step_by(block) {
                let wide = block.min(width - first_column);
                let corner = [first_column, first_row];
                if cover.is_some_and(|(c, reach)| is_bare(c, corner, [wide, deep], reach)) {
                    continue;
                }
                let first = [
                    (first_column * n).cast_signed(),
                    (top + first_row.cast_signed()) * n.cast_signed(),
                ];
                self.tracer.trace(&self.grid, first, wide * n, deep * n, &mut self.traced);
                let mut near = 0;
                for row in 0..deep {
                    for column in 0..wide {
                        let at = (first_row + row) * (width + SPARE) + first_column + column;
                        let corner = row * n * wide * n + column * n;
                        let mut sums = Sums::new(paint.is_some(), !planes.is_empty());
                        pixel(scene, &self.traced, corner, n, &mut near, &mut sums);
                        if let Some(cell) = paint.as_mut().and_then(|p| p.cells.get_mut(at)) {
                            *cell = sums.channels;
                        }
                        for (plane, part) in planes.iter_mut().zip(sums.shares.chunks(CHANNELS)) {
                            if let Some(cell) = plane.cells.get_mut(at) {
                                for (to, from) in cell.iter_mut().zip(part) {
                                    *to = *from;
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Whether nothing is covered within `reach` of a block of pixels.
fn is_bare(cover: &Strip<1>, corner: [usize; 2], size: [usize; 2], reach: usize) -> bool {
    let rows = corner[1].saturating_sub(reach)..(corner[1] + size[1] + reach).min(cover.rows);
    let columns = corner[0].saturating_sub(reach)..(corner[0] + size[0] + reach).min(cover.width);
    rows.into_iter().all(|row| {
        let line = row_of(cover, row).get(columns.clone()).unwrap_or_default();
        // Sums of edges leave a rounding's worth beside the board.
        line.iter().all(|[share]| *share < 1e-4)
    })
}

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
            sums.add_look(&scene.bare(), part);
            continue;
        };
        let places = Places { traced, corner, group, n };
        let middle = places.middle();
        let found = section.find(middle, *near);
        *near = found.lamella();
        section.add(
            &found,
            places.reach(middle, section.slope(&found)),
            part,
            scene.streaks(),
            sums,
        );
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

    /// Those of them that came from one map.
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
        Self(bits & self.0)
    }
}

/// Where the samples of a pixel that came from one map lie in it.
struct Places<'a> {
    traced: &'a Traced,
    corner: usize,
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
    /// each is in the middle of. Lines that move by `slope` along the ribbon are followed.
    #[inline(always)]
    fn reach(&self, middle: [f32; 2], slope: f32) -> f32 {
        let off = |[along, across]: &[f32; 2]| across - middle[1] - slope * (along - middle[0]);
        let mut squares = 0.0_f32;
        self.each_place(|place| {
            let off = off(place);
            squares += off * off;
        });
        let count = self.group.count();
        let variance = if self.group == Members::all(self.n) {
            // The variance of n² even places is so much of that of the square they are spread over.
            if self.n < 2 { 0.0 } else { squares / (count - 1.0) }
        } else {
            squares / count + self.steps(off) * (1.0 / 12.0)
        };
        (3.0 * variance).sqrt()
    }

    /// The mean square of the steps from one of them to the next, across and down together.
    #[inline(always)]
    fn steps(&self, off: impl Fn(&[f32; 2]) -> f32) -> f32 {
        let (mut steps, mut pairs) = ([0.0_f32; 2], [0.0_f32; 2]);
        self.each(|column, line| {
            let here = off(&self.at(column, line));
            let next = [(column + 1, line), (column, line + 1)];
            for (way, (column, line)) in next.into_iter().enumerate() {
                if column < self.n && line < self.n && self.group.holds(self.n, column, line) {
                    let step = off(&self.at(column, line)) - here;
                    steps[way] += step * step;
                    pairs[way] += 1.0;
                }
            }
        });
        let mean = |way: usize| if pairs[way] > 0.0 { steps[way] / pairs[way] } else { 0.0 };
        mean(0) + mean(1)
    }
}

/// The grid of a view's samples: each in the middle of its part of the pixel.
pub(super) fn grid_of(view: &View, samples: usize) -> Grid {
    #[expect(clippy::cast_precision_loss, reason = "at most 8")]
    let pitch_mm = view.mm_per_px / samples as f64;
    Grid { origin_mm: view.origin_mm.map(|o| o + 0.5 * pitch_mm), pitch_mm }
}

/// The work of [`Sampler::fill`], compiled for the vectors at hand.
struct Fill<'a, 'b> {
    sampler: &'a mut Sampler<'b>,
    paint: Option<&'a mut Strip<CHANNELS>>,
    planes: &'a mut [Strip<CHANNELS>],
    cover: Option<(&'a Strip<1>, usize)>,
}

impl pulp::NullaryFnOnce for Fill<'_, '_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        self.sampler.blocks(self.paint, self.planes, self.cover);
    }
}
