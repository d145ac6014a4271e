//! The plain loop: every sample back through every map by itself, in f64.
//!
//! Slow and simple on purpose. It shares with the fast way what a pixel makes of its samples, not how a sample is
//! carried back.

use super::bands::encode_band;
use super::finish::Surface;
use super::mist::supersampling;
use super::raster::Strip;
use super::sampling::Sampler;
use super::{Picture, RenderError, RenderSettings, View};
use crate::picture::scene::{CHANNELS, Scene};

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
    let surface = Surface::new(scene, &inner, fine, settings);
    let halo = surface.halo();
    let rows = inner.height + 2 * halo;
    let top = -halo.cast_signed();
    let mut paint = Strip::<CHANNELS>::new(inner.width, top, rows);
    let mut planes: Vec<Strip<CHANNELS>> =
        (0..surface.share_groups()).map(|_| Strip::new(inner.width, top, rows)).collect();
    Sampler::plain(scene, &inner, samples).fill(&mut paint, &mut planes, None);
    let cover = surface.cover(top, rows);
    let linear = surface.finish(&mut paint, &mut planes, cover.as_ref(), 0, inner.height);
    let rgb = encode_band(&linear, view.width, view.height, fine);
    Ok(Picture { width: view.width, height: view.height, rgb })
}
