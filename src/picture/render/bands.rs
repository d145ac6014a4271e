//! The picture in bands of rows: each band sums the rims that touch it, is finished, and becomes bytes.

use super::encode::Encoder;
use super::finish::Surface;
use super::raster::{SPARE, Strip, sum_rows};
use super::tracing::{Outline, in_threads};
use super::{Picture, RenderError, RenderSettings, View, Watch};
use crate::picture::scene::{CHANNELS, Channels, Outline as BoardOutline, Scene};
use core::sync::atomic::{AtomicUsize, Ordering};

/// Rows of the finished picture that one thread takes at a time.
const ROWS: usize = 32;

/// A run of edges of one outline.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    outline: usize,
    from: usize,
    to: usize,
}

/// For every band the runs that touch it, in the order of the regions.
pub(super) fn bin(outlines: &[Outline], rows: usize, halo: usize, bands: usize) -> Vec<Vec<Run>> {
    let mut bins: Vec<Vec<Run>> = (0..bands).map(|_| Vec::new()).collect();
    #[expect(clippy::cast_precision_loss, reason = "rows of a picture")]
    let (tall, extra) = (rows as f32, halo as f32);
    for (outline, curve) in outlines.iter().enumerate() {
        for (from, to, low, high) in curve.pieces() {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a float cast saturates; the bands are held to what is there"
            )]
            let (first, last) = (((low - extra) / tall) as usize, ((high + extra) / tall) as usize);
            if high + extra < 0.0 || !low.is_finite() || !high.is_finite() {
                continue;
            }
            for bin in bins.iter_mut().take(last.saturating_add(1)).skip(first) {
                bin.push(Run { outline, from, to });
            }
        }
    }
    bins
}

/// Sums the runs of a band, every region with the weight that `weight` gives it.
pub(super) fn sum_runs(
    strip: &mut Strip<CHANNELS>,
    outlines: &[Outline],
    runs: &[Run],
    left: &Channels,
    weight: impl Fn(usize) -> Channels,
) {
    pulp::Arch::new().dispatch(SumRuns { strip, outlines, runs, left, weight });
}

/// The work of [`sum_runs`], compiled for the vectors at hand.
struct SumRuns<'a, W> {
    strip: &'a mut Strip<CHANNELS>,
    outlines: &'a [Outline],
    runs: &'a [Run],
    left: &'a Channels,
    weight: W,
}

impl<W: Fn(usize) -> Channels> pulp::NullaryFnOnce for SumRuns<'_, W> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        for run in self.runs {
            let Some(curve) = self.outlines.get(run.outline) else { continue };
            let weight = (self.weight)(curve.region);
            let points = curve.points.get(run.from..=run.to).unwrap_or_default();
            for pair in points.windows(2) {
                if let &[a, b] = pair {
                    self.strip.add_edge(a, b, &weight);
                }
            }
        }
        sum_rows(self.strip, self.left);
    }
}

/// Cover of the board, 0 to 1 a pixel.
pub(super) fn board_cover(
    outlines: &[BoardOutline],
    view: &View,
    first_row: isize,
    rows: usize,
) -> Strip<1> {
    let mut strip = Strip::new(view.width, first_row, rows);
    for outline in outlines {
        add_ring(&mut strip, &outline.outer, view, 1.0);
        for hole in &outline.holes {
            add_ring(&mut strip, hole, view, -1.0);
        }
    }
    sum_rows(&mut strip, &[0.0]);
    strip
}

fn add_ring(strip: &mut Strip<1>, ring: &[[f64; 2]], view: &View, sign: f32) {
    let edges = || ring.iter().zip(ring.iter().cycle().skip(1));
    let twice: f64 = edges().map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum();
    let weight = [if twice < 0.0 { -sign } else { sign }];
    #[expect(clippy::cast_possible_truncation, reason = "pixels of a picture")]
    let pixel = |p: &[f64; 2]| {
        [
            ((p[0] - view.origin_mm[0]) / view.mm_per_px) as f32,
            ((p[1] - view.origin_mm[1]) / view.mm_per_px) as f32,
        ]
    };
    for (a, b) in edges() {
        strip.add_edge(pixel(a), pixel(b), &weight);
    }
}

/// Draws the traced rims.
#[expect(clippy::too_many_arguments, reason = "one call, from `render` alone")]
pub(super) fn draw(
    scene: &Scene,
    view: &View,
    inner: &View,
    fine: usize,
    outlines: &[Outline],
    settings: &RenderSettings,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<Picture, RenderError> {
    let surface = Surface::new(scene, inner, settings);
    let bands = view.height.div_ceil(ROWS);
    let bins = bin(outlines, ROWS * fine, surface.halo(), bands);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Vec<u8>)> = Vec::new();
        while !watch.stopped() {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(runs) = bins.get(number) else { break };
            let rows = ROWS.min(view.height - number * ROWS);
            let linear = band_linear(
                scene,
                inner,
                &surface,
                outlines,
                runs,
                number * ROWS * fine,
                rows * fine,
            );
            done.push((number, encode_band(&linear, view.width, rows, fine)));
            #[expect(clippy::cast_precision_loss, reason = "a share for eyes")]
            (watch.progress)(0.5 + 0.5 * number as f32 / bands as f32);
        }
        done
    };
    let mut done = in_threads(threads, work);
    if watch.stopped() {
        return Err(RenderError::Cancelled);
    }
    done.sort_unstable_by_key(|(number, _)| *number);
    let mut rgb = Vec::with_capacity(view.width * view.height * 3);
    for (_, bytes) in done {
        rgb.extend(bytes);
    }
    (watch.progress)(1.0);
    Ok(Picture { width: view.width, height: view.height, rgb })
}

/// Linear RGB of a band of the inner picture.
fn band_linear(
    scene: &Scene,
    inner: &View,
    surface: &Surface<'_>,
    outlines: &[Outline],
    runs: &[Run],
    first: usize,
    rows: usize,
) -> Vec<[f32; 3]> {
    let halo = surface.halo();
    let top = first.cast_signed() - halo.cast_signed();
    let mut paint = Strip::<CHANNELS>::new(inner.width, top, rows + 2 * halo);
    sum_runs(&mut paint, outlines, runs, &scene.film.body.channels, |region| {
        scene.regions.get(region).map_or([0.0; CHANNELS], |r| r.step.channels)
    });
    let mut planes = Vec::new();
    for group in 0..surface.share_groups() {
        let mut shares = Strip::<CHANNELS>::new(inner.width, top, rows + 2 * halo);
        let left = share_group(&scene.film.body.shares, group);
        sum_runs(&mut shares, outlines, runs, &left, |region| {
            scene
                .regions
                .get(region)
                .map_or([0.0; CHANNELS], |r| share_group(&r.step.shares, group))
        });
        planes.push(shares);
    }
    surface.finish(&mut paint, &mut planes, first, rows)
}

/// Eight of the shares, those of group `group`.
pub(super) fn share_group(shares: &[f32], group: usize) -> Channels {
    let mut out = [0.0; CHANNELS];
    for (to, from) in out.iter_mut().zip(shares.iter().skip(group * CHANNELS)) {
        *to = *from;
    }
    out
}

/// Means over `fine` × `fine` pixels, as bytes.
pub(super) fn encode_band(linear: &[[f32; 3]], width: usize, rows: usize, fine: usize) -> Vec<u8> {
    let encoder = Encoder::new();
    let mut bytes = Vec::with_capacity(width * rows * 3);
    if fine == 1 {
        for pixel in linear {
            bytes.extend(pixel.map(|v| encoder.code(v)));
        }
        return bytes;
    }
    #[expect(clippy::cast_precision_loss, reason = "a few")]
    let scale = 1.0 / (fine * fine) as f32;
    for row in 0..rows {
        for column in 0..width {
            let mut sum = [0.0_f32; 3];
            for line in 0..fine {
                let from = (row * fine + line) * width * fine + column * fine;
                for pixel in linear.get(from..from + fine).unwrap_or_default() {
                    for (s, v) in sum.iter_mut().zip(pixel) {
                        *s += v;
                    }
                }
            }
            bytes.extend(sum.map(|v| encoder.code(v * scale)));
        }
    }
    bytes
}

/// Cells of a strip's row that are pixels.
pub(super) fn row_of<const N: usize>(strip: &Strip<N>, row: usize) -> &[[f32; N]] {
    let from = row * (strip.width + SPARE);
    strip.cells.get(from..from + strip.width).unwrap_or_default()
}
