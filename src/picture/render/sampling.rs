//! Rows of a picture filled with the mean of a grid of samples a pixel.

use super::View;
use super::bands::row_of;
use super::raster::{SPARE, Strip};
use crate::flow::{Grid, Traced, Tracer};
use crate::picture::scene::{CHANNELS, Channels, PourInput, Scene, Spot};

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
                for row in 0..deep {
                    for column in 0..wide {
                        let at = (first_row + row) * (width + SPARE) + first_column + column;
                        let corner = row * n * wide * n + column * n;
                        let mut pixel = Pixel::default();
                        pixel.take(
                            scene,
                            &self.traced,
                            corner,
                            n,
                            [paint.is_some(), !planes.is_empty()],
                        );
                        if let Some(cell) = paint.as_mut().and_then(|p| p.cells.get_mut(at)) {
                            *cell = pixel.channels;
                        }
                        for (plane, part) in planes.iter_mut().zip(pixel.shares.chunks(CHANNELS)) {
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

/// Means over a pixel.
#[derive(Default)]
pub(super) struct Pixel {
    pub(super) channels: Channels,
    pub(super) shares: [f32; PourInput::MOST_COLOURS],
}

impl Pixel {
    /// Takes the `n` × `n` samples from `corner` on: their channels, their shares, or both.
    #[inline(always)]
    pub(super) fn take(
        &mut self,
        scene: &Scene,
        traced: &Traced,
        corner: usize,
        n: usize,
        wanted: [bool; 2],
    ) {
        if let Some((spot, reach)) = even(scene, traced, corner, n) {
            let Some((section, mut over)) = spot.over(reach) else {
                self.add(scene, &spot.moved(spot.place()), 1.0, wanted);
                return;
            };
            while let Some((found, part)) = over.next() {
                self.add(scene, &Spot::Ribbon(section, found), part, wanted);
            }
            return;
        }
        #[expect(clippy::cast_precision_loss, reason = "at most 64")]
        let weight = 1.0 / (n * n) as f32;
        // Samples alike are painted once, in their middle.
        let mut alike: Option<Alike<'_>> = None;
        for line in 0..n {
            for column in 0..n {
                let Some((from, place, reach)) = sample(traced, corner, n, line, column) else {
                    continue;
                };
                let spot = scene.spot(from, place, alike.as_ref().map(|a| &a.spot));
                let (mut spot, mut part) = (spot, 1.0);
                let mut over = spot.over(reach);
                loop {
                    if let Some((section, over)) = &mut over {
                        let Some((found, share)) = over.next() else { break };
                        (spot, part) = (Spot::Ribbon(section, found), share);
                    }
                    match &mut alike {
                        Some(last) if last.spot.is_like(&spot) => last.join(&spot, weight * part),
                        _ => {
                            if let Some(last) = alike.replace(Alike::new(spot, weight * part)) {
                                self.add(scene, &last.middle(), last.weight, wanted);
                            }
                        }
                    }
                    if over.is_none() {
                        break;
                    }
                }
            }
        }
        if let Some(last) = alike {
            self.add(scene, &last.middle(), last.weight, wanted);
        }
    }

    #[inline(always)]
    fn add(&mut self, scene: &Scene, spot: &Spot<'_>, weight: f32, wanted: [bool; 2]) {
        if wanted[0] {
            for (sum, value) in self.channels.iter_mut().zip(scene.channels(spot)) {
                *sum += weight * value;
            }
        }
        if wanted[1] {
            scene.add_shares(spot, weight, &mut self.shares);
        }
    }
}

/// Places of a pixel that look alike.
struct Alike<'a> {
    spot: Spot<'a>,
    weight: f32,
    /// Their places, each by its weight.
    sums: [f32; 2],
}

impl<'a> Alike<'a> {
    #[inline(always)]
    fn new(spot: Spot<'a>, weight: f32) -> Self {
        let [along, across] = spot.place();
        let sums = [along * weight, across * weight];
        Self { spot, weight, sums }
    }

    #[inline(always)]
    fn join(&mut self, spot: &Spot<'a>, weight: f32) {
        self.weight += weight;
        for (sum, x) in self.sums.iter_mut().zip(spot.place()) {
            *sum += x * weight;
        }
    }

    #[inline(always)]
    fn middle(&self) -> Spot<'a> {
        let per = 1.0 / self.weight;
        self.spot.moved([self.sums[0] * per, self.sums[1] * per])
    }
}

/// One sample of a pixel: where it came from, its place there, and half of what it stands for across that: half the
/// steps to its neighbours in the pixel that came from the same.
#[inline(always)]
fn sample(
    traced: &Traced,
    corner: usize,
    n: usize,
    line: usize,
    column: usize,
) -> Option<(u32, [f32; 2], f32)> {
    let at = corner + line * traced.width + column;
    let (from, place) = (*traced.from.get(at)?, *traced.place.get(at)?);
    let step = |along: usize, stride: usize| {
        let back = along > 0 && traced.from.get(at - stride) == Some(&from);
        let other = if back {
            at - stride
        } else if along + 1 < n && traced.from.get(at + stride) == Some(&from) {
            at + stride
        } else {
            return 0.0;
        };
        traced.place.get(other).map_or(0.0, |p| (p[1] - place[1]).abs())
    };
    Some((from, place, 0.5 * (step(column, 1) + step(line, traced.width))))
}

/// How far the samples' places may be from evenly spread, as a share of the pixel's reach.
const EVEN: f32 = 0.25;

/// The middle of a pixel that one ribbon fills with its places spread evenly, and half of what it covers across that.
///
/// The places across fill a parallelogram; what it holds of each line is taken as what a stretch of the same spread
/// holds (of the same variance: of two boxes, one for each of its sides, less what the lines move along).
#[inline(always)]
fn even<'a>(scene: &'a Scene, traced: &Traced, corner: usize, n: usize) -> Option<(Spot<'a>, f32)> {
    let from = *traced.from.get(corner)?;
    for line in 0..n {
        let at = corner + line * traced.width;
        if traced.from.get(at..at + n)?.iter().any(|other| *other != from) {
            return None;
        }
    }
    let at = |line: usize, column: usize| {
        traced.place.get(corner + line * traced.width + column).copied()
    };
    let last = n - 1;
    let (a, b, c, d) = (at(0, 0)?, at(0, last)?, at(last, 0)?, at(last, last)?);
    let mean = |k: usize| 0.25 * (a[k] + b[k] + c[k] + d[k]);
    let middle = [mean(0), mean(1)];
    // From corner sample to corner sample; a pixel is a little more.
    #[expect(clippy::cast_precision_loss, reason = "at most 8")]
    let more = if n > 1 { n as f32 / last as f32 } else { 1.0 };
    let right = |k: usize| 0.5 * more * (b[k] - a[k] + d[k] - c[k]);
    let down = |k: usize| 0.5 * more * (c[k] - a[k] + d[k] - b[k]);
    let twist = (a[1] + d[1] - b[1] - c[1]).abs();
    let off = (at(n / 2, n / 2)?[1] - middle[1]).abs();
    let spot = scene.spot(from, middle, None);
    let (right, down) = (right(1) - spot.drift(right(0)), down(1) - spot.drift(down(0)));
    let spread = (right * right + down * down).sqrt();
    let uneven = if n % 2 == 1 { twist + off } else { twist };
    (uneven <= EVEN * spread).then_some((spot, 0.5 * spread))
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
