//! The picture in bands of rows: each band is sampled, finished, and becomes bytes.

use super::encode::Encoder;
use super::finish::Surface;
use super::mist::supersampling;
use super::raster::{SPARE, Strip, sum_rows};
use super::sampling::Sampler;
use super::threads::{in_threads, thread_count};
use super::{Picture, RenderError, RenderSettings, View, Watch};
use crate::flow::Tracer;
use crate::picture::scene::{CHANNELS, Outline as BoardOutline, Scene};
use core::sync::atomic::{AtomicUsize, Ordering};

/// Blocks of samples that one thread takes at a time, one below the other.
const BLOCKS: usize = 2;

/// Rows of the finished picture that one thread takes at a time, drawn `fine` times finer with `samples` a pixel then: with
/// the rows above and below that blurring needs they fill whole blocks.
fn rows_together(fine: usize, samples: usize, halo: usize) -> usize {
    let block = Tracer::BLOCK / samples.max(1);
    let blocks = (BLOCKS * block).max((2 * halo + block).next_multiple_of(block));
    (blocks.saturating_sub(2 * halo) / fine).max(1)
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

/// Draws band by band.
pub(super) fn draw(
    scene: &Scene,
    view: &View,
    settings: &RenderSettings,
    watch: &Watch<'_>,
) -> Result<Picture, RenderError> {
    let fine = supersampling(scene.finish.mist, view.mm_per_px);
    let inner = view.finer(fine);
    let surface = Surface::new(scene, &inner, fine, settings);
    // A picture drawn finer has samples enough between them.
    let samples = settings.samples.div_ceil(fine);
    let together = rows_together(fine, samples, surface.halo());
    let bands = view.height.div_ceil(together);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut sampler = Sampler::new(scene, &inner, samples);
        let mut done: Vec<(usize, Vec<u8>)> = Vec::new();
        let mut paint = Strip::<CHANNELS>::new(0, 0, 0);
        let mut planes: Vec<Strip<CHANNELS>> =
            (0..surface.share_groups()).map(|_| Strip::new(0, 0, 0)).collect();
        while !watch.stopped() {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= bands {
                break;
            }
            let rows = together.min(view.height - number * together);
            let (first, tall, halo) = (number * together * fine, rows * fine, surface.halo());
            let top = first.cast_signed() - halo.cast_signed();
            for strip in core::iter::once(&mut paint).chain(&mut planes) {
                strip.renew(inner.width, top, tall + 2 * halo);
            }
            let cover = surface.cover(top, tall + 2 * halo);
            sampler.fill(&mut paint, &mut planes, cover.as_ref().map(|c| (c, halo)));
            let linear = surface.finish(&mut paint, &mut planes, cover.as_ref(), first, tall);
            done.push((number, encode_band(&linear, view.width, rows, fine)));
            #[expect(clippy::cast_precision_loss, reason = "a share for eyes")]
            (watch.progress)((number + 1) as f32 / (bands + 1) as f32);
        }
        done
    };
    let mut done = in_threads(thread_count(settings.threads), work);
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
