//! The plain loop: every sample back through every map by itself, in f64.
//!
//! Slow and simple on purpose. It shares with the fast way what a pixel makes of its samples, not how a sample is
//! carried back.

use super::bands::encode_band;
use super::finish::Surface;
use super::mist::supersampling;
use super::pixel::{MOST, pixel};
use super::raster::{SPARE, Strip};
use super::sampling::grid_of;
use super::{Picture, RenderError, RenderSettings, View};
use crate::flow::{Traced, origin};
use crate::picture::scene::{CHANNELS, Scene, Sums};

/// Draws a scene by `samples` × `samples` (at most 8 × 8) a pixel, on one thread.
///
/// # Errors
/// [`RenderError::Size`] for a view that can't be.
pub fn draw(
    scene: &Scene,
    view: &View,
    settings: &RenderSettings,
    samples: usize,
) -> Result<Picture, RenderError> {
    view.check()?;
    let fine = supersampling(scene.finish.mist, view.mm_per_px);
    let inner = view.finer(fine);
    let surface = Surface::new(scene, &inner, settings);
    let halo = surface.halo();
    let rows = inner.height + 2 * halo;
    let top = -halo.cast_signed();
    let mut paint = Strip::<CHANNELS>::new(inner.width, top, rows);
    let mut planes: Vec<Strip<CHANNELS>> =
        (0..surface.share_groups()).map(|_| Strip::new(inner.width, top, rows)).collect();
    let samples = samples.clamp(1, MOST);
    let grid = grid_of(&inner, samples);
    let mut traced = Traced { width: samples, rows: samples, ..Traced::default() };
    let mut near = 0;
    for row in 0..rows {
        for column in 0..inner.width {
            let at = row * (inner.width + SPARE) + column;
            traced.from.clear();
            traced.place.clear();
            for sample in 0..samples * samples {
                #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
                let steps = [
                    (column * samples + sample % samples) as f64,
                    ((row.cast_signed() + top) * samples.cast_signed()
                        + (sample / samples).cast_signed()) as f64,
                ];
                let p = [0, 1].map(|i| grid.origin_mm[i] + steps[i] * grid.pitch_mm);
                let (from, place) = origin(&scene.maps, p);
                traced.from.push(from);
                traced.place.push(place);
            }
            let mut sums = Sums::new(true, !planes.is_empty());
            pixel(scene, &traced, 0, samples, &mut near, &mut sums);
            if let Some(cell) = paint.cells.get_mut(at) {
                *cell = sums.channels;
            }
            for (plane, part) in planes.iter_mut().zip(sums.shares.chunks(CHANNELS)) {
                if let Some(cell) = plane.cells.get_mut(at) {
                    for (to, value) in cell.iter_mut().zip(part) {
                        *to = *value;
                    }
                }
            }
        }
    }
    let cover = surface.cover(top, rows);
    let linear = surface.finish(&mut paint, &mut planes, cover.as_ref(), 0, inner.height);
    let rgb = encode_band(&linear, view.width, view.height, fine);
    Ok(Picture { width: view.width, height: view.height, rgb })
}
