//! Rows of a picture filled with the mean of a grid of samples a pixel.

use super::View;
use super::bands::row_of;
use super::pixel::{MOST, pixel};
use super::raster::{SPARE, Strip};
use crate::flow::{Grid, Map, Traced, Tracer, origin};
use crate::picture::scene::{CHANNELS, Scene, Sums};

/// How samples are carried back.
enum Carrier<'a> {
    /// Many at once.
    Patches(Tracer<'a>),
    /// Each through every map, in f64.
    OneByOne(&'a [Map]),
}

impl Carrier<'_> {
    #[inline(always)]
    fn trace(
        &mut self,
        grid: &Grid,
        first: [isize; 2],
        [width, rows]: [usize; 2],
        out: &mut Traced,
    ) {
        match self {
            Self::Patches(tracer) => tracer.trace(grid, first, width, rows, out),
            Self::OneByOne(maps) => *out = one_by_one(maps, grid, first, [width, rows]),
        }
    }
}

/// Samples each carried back by itself.
fn one_by_one(maps: &[Map], grid: &Grid, first: [isize; 2], [width, rows]: [usize; 2]) -> Traced {
    let mut traced = Traced { width, rows, ..Traced::default() };
    for row in 0..rows {
        for column in 0..width {
            let number = [first[0] + column.cast_signed(), first[1] + row.cast_signed()];
            let (from, place) = origin(maps, grid.at(number));
            traced.from.push(from);
            traced.place.push(place);
        }
    }
    traced
}

/// A picture's samples, and what is needed to take them.
pub(super) struct Sampler<'a> {
    scene: &'a Scene,
    grid: Grid,
    samples: usize,
    carrier: Carrier<'a>,
    traced: Traced,
}

impl<'a> Sampler<'a> {
    /// `samples` × `samples` a pixel of the view.
    pub(super) fn new(scene: &'a Scene, view: &View, samples: usize) -> Self {
        Self::with(scene, view, samples, Carrier::Patches(Tracer::new(&scene.maps)))
    }

    /// The same, each sample carried back by itself.
    pub(super) fn plain(scene: &'a Scene, view: &View, samples: usize) -> Self {
        Self::with(scene, view, samples, Carrier::OneByOne(&scene.maps))
    }

    fn with(scene: &'a Scene, view: &View, samples: usize, carrier: Carrier<'a>) -> Self {
        let samples = samples.clamp(1, MOST);
        Self { scene, grid: grid_of(view, samples), samples, carrier, traced: Traced::default() }
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
                self.carrier.trace(&self.grid, first, [wide * n, deep * n], &mut self.traced);
                let mut near = 0;
                for row in 0..deep {
                    for column in 0..wide {
                        let at = (first_row + row) * (width + SPARE) + first_column + column;
                        let corner = row * n * wide * n + column * n;
                        let mut sums = Sums::new(paint.is_some(), !planes.is_empty());
                        // The usual numbers by themselves, so that their loops are unrolled.
                        match n {
                            3 => pixel(scene, &self.traced, corner, 3, &mut near, &mut sums),
                            4 => pixel(scene, &self.traced, corner, 4, &mut near, &mut sums),
                            _ => pixel(scene, &self.traced, corner, n, &mut near, &mut sums),
                        }
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

/// The grid of a view's samples: those of a pixel each in its part of it.
fn grid_of(view: &View, samples: usize) -> Grid {
    #[expect(clippy::cast_precision_loss, reason = "at most 8")]
    let pitch_mm = view.mm_per_px / samples as f64;
    Grid { origin_mm: view.origin_mm.map(|o| o + 0.5 * pitch_mm), pitch_mm, every: samples }
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
