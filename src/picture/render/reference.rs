//! The plain loop: every sample back through every map, the mean of a grid of samples a pixel.
//!
//! Slow and simple on purpose. It shares with the fast way only what comes after the paint's mean over a pixel.

use super::bands::encode_band;
use super::finish::Surface;
use super::mist::supersampling;
use super::raster::{SPARE, Strip};
use super::{Picture, RenderError, RenderSettings, View};
use crate::picture::scene::{CHANNELS, Scene};

/// Draws a scene by `grid` × `grid` samples a pixel, on one thread.
///
/// # Errors
/// [`RenderError::Size`] for a view that can't be.
pub fn draw(
    scene: &Scene,
    view: &View,
    settings: &RenderSettings,
    grid: usize,
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
    let grid = grid.clamp(1, 64);
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let (step, weight) = (1.0 / grid as f64, 1.0 / (grid * grid) as f32);
    for row in 0..rows {
        for column in 0..inner.width {
            let at = row * (inner.width + SPARE) + column;
            for sample in 0..grid * grid {
                #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
                let offset = [
                    column as f64 + ((sample % grid) as f64 + 0.5) * step,
                    (row.cast_signed() + top) as f64 + ((sample / grid) as f64 + 0.5) * step,
                ];
                let p = [0, 1].map(|i| inner.origin_mm[i] + offset[i] * inner.mm_per_px);
                if let Some(cell) = paint.cells.get_mut(at) {
                    add(cell, scene.channels_at(p).iter(), weight);
                }
                if planes.is_empty() {
                    continue;
                }
                let shares = scene.paint_at(p).shares;
                for (group, plane) in planes.iter_mut().enumerate() {
                    if let Some(cell) = plane.cells.get_mut(at) {
                        add(cell, shares.iter().skip(group * CHANNELS), weight);
                    }
                }
            }
        }
    }
    let linear = surface.finish(&mut paint, &mut planes, 0, inner.height);
    let rgb = encode_band(&linear, view.width, view.height, fine);
    Ok(Picture { width: view.width, height: view.height, rgb })
}

fn add<'a>(cell: &mut [f32; CHANNELS], values: impl Iterator<Item = &'a f32>, weight: f32) {
    for (to, value) in cell.iter_mut().zip(values) {
        *to += value * weight;
    }
}
