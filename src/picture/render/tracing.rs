//! Every rim of a scene followed to the picture, shared among threads.

use super::{RenderError, View, Watch};
use crate::flow::{Contour, ContourSettings, trace};
use crate::picture::scene::{Region, Scene};
use core::sync::atomic::{AtomicUsize, Ordering};

/// Rims that one thread takes at a time.
const UNIT: usize = 48;
/// Largest distance between a rim and the chords of the points followed, pixels.
const TOLERANCE_PX: f64 = 0.16;
/// Largest distance between the smooth curve through these points and what is drawn, pixels: well below one step
/// of 8-bit tone on all but the sharpest edges.
const CHORD_PX: f64 = 0.025;
/// Longest chord, pixels.
const LONGEST_PX: f64 = 12.0;
/// Edges in a piece that is binned by the rows it touches.
const PIECE: usize = 12;

/// A rim in pixels.
pub(super) struct Outline {
    /// Number of the region.
    pub(super) region: usize,
    /// Corners, pixels; closed by repeating the first.
    pub(super) points: Vec<[f32; 2]>,
}

impl Outline {
    /// Runs of edges with the rows they touch.
    pub(super) fn pieces(&self) -> impl Iterator<Item = (usize, usize, f32, f32)> {
        let edges = self.points.len().saturating_sub(1);
        (0..edges).step_by(PIECE).map(move |from| {
            let to = (from + PIECE).min(edges);
            let mut low = f32::INFINITY;
            let mut high = f32::NEG_INFINITY;
            for [_, y] in self.points.iter().take(to + 1).skip(from) {
                low = low.min(*y);
                high = high.max(*y);
            }
            (from, to, low, high)
        })
    }
}

/// All rims that the view can see, in the order of the regions.
pub(super) fn trace_scene(
    scene: &Scene,
    view: &View,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<Vec<Outline>, RenderError> {
    let settings = contour_settings(view);
    let units: Vec<&[Region]> = scene.regions.chunks(UNIT).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Vec<Outline>)> = Vec::new();
        while !watch.stopped() {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(unit) = units.get(number) else { break };
            done.push((number, trace_unit(scene, unit, number * UNIT, view, &settings)));
            #[expect(clippy::cast_precision_loss, reason = "a share for eyes")]
            (watch.progress)(0.5 * number as f32 / units.len() as f32);
        }
        done
    };
    let mut done = in_threads(threads, work);
    if watch.stopped() {
        return Err(RenderError::Cancelled);
    }
    done.sort_unstable_by_key(|(number, _)| *number);
    Ok(done.into_iter().flat_map(|(_, outlines)| outlines).collect())
}

/// Runs `work` on so many threads and gathers what they give.
pub(super) fn in_threads<T: Send>(threads: usize, work: impl Fn() -> Vec<T> + Sync) -> Vec<T> {
    std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..threads).map(|_| scope.spawn(&work)).collect();
        let mut all = work();
        for helper in helpers {
            match helper.join() {
                Ok(part) => all.extend(part),
                Err(trouble) => std::panic::resume_unwind(trouble),
            }
        }
        all
    })
}

#[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
fn contour_settings(view: &View) -> ContourSettings {
    let margin = 4.0 * view.mm_per_px;
    let [x, y] = view.origin_mm;
    let far = [x + view.width as f64 * view.mm_per_px, y + view.height as f64 * view.mm_per_px];
    ContourSettings {
        tolerance_mm: TOLERANCE_PX * view.mm_per_px,
        chord_mm: CHORD_PX * view.mm_per_px,
        longest_mm: LONGEST_PX * view.mm_per_px,
        window_mm: [x - margin, y - margin, far[0] + margin, far[1] + margin],
    }
}

fn trace_unit(
    scene: &Scene,
    unit: &[Region],
    first: usize,
    view: &View,
    settings: &ContourSettings,
) -> Vec<Outline> {
    let contours: Vec<Contour> = unit.iter().map(|region| region.contour).collect();
    let (per_mm, [x0, y0]) = (1.0 / view.mm_per_px, view.origin_mm);
    trace(&contours, &scene.advector, settings)
        .into_iter()
        .enumerate()
        .map(|(index, curve)| {
            #[expect(clippy::cast_possible_truncation, reason = "pixels are summed in f32")]
            let mut points: Vec<[f32; 2]> = curve
                .points
                .iter()
                .map(|[x, y]| [((x - x0) * per_mm) as f32, ((y - y0) * per_mm) as f32])
                .collect();
            points.extend(points.first().copied());
            Outline { region: first + index, points }
        })
        .collect()
}
