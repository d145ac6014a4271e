//! A scene and a view → pixels.
//!
//! Each pixel is the mean of a grid of samples, each carried back through the maps to the fluid it belongs to
//! ([`crate::flow::Tracer`]: a patch of samples at a time, as a polynomial) and painted as that fluid is.
//!
//! Then, by pixel, in this order: the soft film is blurred a little, thickness lets the primer through, crisp
//! accents go over, mist mixes amounts, neighbours lend one another a little light, all in linear light; sRGB comes last.
//!
//! [`mod@reference`] is the plain loop (every sample back through every map), kept as the oracle.

mod bands;
mod encode;
mod finish;
mod gloss;
mod mist;
mod pixel;
mod raster;
pub mod reference;
mod sampling;
mod shares;
mod threads;
mod waves;

pub use shares::{Accounts, account, areas};

use super::scene::Scene;
use core::sync::atomic::{AtomicBool, Ordering};

/// What part of the plane is shown, and how large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Upper left corner, mm; y grows downwards in the picture.
    pub origin_mm: [f64; 2],
    /// Millimetres a pixel.
    pub mm_per_px: f64,
    /// Pixels across, 1 to [`View::MOST_PX`].
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}

/// How it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RenderSettings {
    /// Threads, or 0 for as many as the machine has. The bytes do not depend on it.
    pub threads: usize,
    /// Samples a pixel each way, 1 to 8: 3 for a quick look, 4 where the finest lines are to stay whole.
    pub samples: usize,
    /// Reflections of a bright window on the glossy film.
    pub gloss: bool,
    /// Linear RGB beside the board; `None` shows the film beyond the board's edge as well.
    pub around: Option<[f32; 3]>,
}

impl RenderSettings {
    /// Settings that keep the finest lines of a view whole: 4 samples a pixel each way, and up to 8 in a small picture, whose
    /// pixels hold more lines each.
    #[must_use]
    pub fn fine(view: &View) -> Self {
        /// So many samples a small picture takes: those of a picture of 1000 × 1000 pixels at 4.
        const SAMPLES: usize = 16_000_000;
        let pixels = view.width.saturating_mul(view.height).max(1);
        Self { samples: (SAMPLES / pixels).isqrt().clamp(4, 8), ..Self::default() }
    }
}

impl Default for RenderSettings {
    fn default() -> Self {
        Self { threads: 0, samples: 3, gloss: false, around: Some([0.9; 3]) }
    }
}

/// Pixels, sRGB, 3 bytes each, row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// `width` × `height` × 3 bytes.
    pub rgb: Vec<u8>,
}

/// Someone who waits for the picture.
pub struct Watch<'a> {
    /// Told the share done, 0 to 1, from any thread.
    pub progress: &'a (dyn Fn(f32) + Sync),
    /// Set to stop.
    pub cancel: &'a AtomicBool,
}

/// Why there is no picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// It was asked to stop.
    #[error("the picture was cancelled")]
    Cancelled,
    /// A size that can't be.
    #[error("a picture is 1 to {most} pixels each way and has a finite scale above 0", most = View::MOST_PX)]
    Size,
}

static NEVER: AtomicBool = AtomicBool::new(false);

impl Watch<'_> {
    /// Nobody waits.
    #[must_use]
    pub fn nobody() -> Watch<'static> {
        Watch { progress: &|_| {}, cancel: &NEVER }
    }

    pub(crate) fn stopped(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }
}

impl View {
    /// Most pixels each way.
    pub const MOST_PX: usize = 20_000;

    /// The whole of a scene's board with a margin of `margin_mm`, its longer side `longest_px` pixels.
    #[must_use]
    pub fn of_board(scene: &Scene, margin_mm: f64, longest_px: usize) -> Self {
        let [x0, y0, x1, y1] = scene.board().box_mm();
        let (wide, high) = (x1 - x0 + 2.0 * margin_mm, y1 - y0 + 2.0 * margin_mm);
        #[expect(clippy::cast_precision_loss, reason = "held to 20000")]
        let longest = longest_px.clamp(1, Self::MOST_PX) as f64;
        let mm_per_px = wide.max(high) / longest;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 20000")]
        let count = |length: f64| (length / mm_per_px).round().clamp(1.0, longest) as usize;
        Self {
            origin_mm: [x0 - margin_mm, y0 - margin_mm],
            mm_per_px,
            width: count(wide),
            height: count(high),
        }
    }

    /// The middle of a pixel, mm.
    #[inline(always)]
    fn place(&self, column: usize, row: usize) -> [f64; 2] {
        #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
        let steps = [column as f64, row as f64];
        [0, 1].map(|k| self.origin_mm[k] + steps[k] * self.mm_per_px)
    }

    fn check(&self) -> Result<(), RenderError> {
        let sides = [self.width, self.height];
        let fits = sides.iter().all(|n| (1..=Self::MOST_PX).contains(n));
        let scale = self.mm_per_px.is_finite() && self.mm_per_px > 1e-6 && self.mm_per_px < 1e6;
        let place = self.origin_mm.iter().all(|v| v.is_finite() && v.abs() < 1e9);
        if fits && scale && place { Ok(()) } else { Err(RenderError::Size) }
    }
}

/// Draws a scene.
///
/// # Errors
/// [`RenderError::Size`] for a view that can't be, [`RenderError::Cancelled`] when asked to stop.
pub fn render(
    scene: &Scene,
    view: &View,
    settings: &RenderSettings,
    watch: &Watch<'_>,
) -> Result<Picture, RenderError> {
    view.check()?;
    bands::draw(scene, view, settings, watch)
}

impl View {
    /// The same part of the plane with `factor` times as many pixels each way.
    pub(crate) fn finer(&self, factor: usize) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "a few")]
        let by = factor as f64;
        Self {
            mm_per_px: self.mm_per_px / by,
            width: self.width * factor,
            height: self.height * factor,
            ..*self
        }
    }
}
