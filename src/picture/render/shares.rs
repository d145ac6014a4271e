//! How much of each colour lies where, by counting samples.

use super::bands::{board_cover, row_of};
use super::raster::Strip;
use super::sampling::Sampler;
use super::threads::{in_threads, thread_count};
use super::{RenderError, View, Watch};
use crate::picture::scene::{CHANNELS, Scene};
use core::sync::atomic::{AtomicUsize, Ordering};

/// Samples a pixel each way.
const SAMPLES: usize = 3;
/// Rows a thread takes at a time.
const ROWS: usize = 32;

/// Where each colour of a pour went, mL by colour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Accounts {
    /// Poured.
    pub poured_ml: Vec<f64>,
    /// Lies on the board.
    pub kept_ml: Vec<f64>,
    /// Passed its edge.
    pub run_off_ml: Vec<f64>,
}

impl Accounts {
    /// Share of each colour in what lies on the board.
    #[must_use]
    pub fn kept_shares(&self) -> Vec<f64> {
        let total: f64 = self.kept_ml.iter().sum();
        self.kept_ml.iter().map(|v| if total > 0.0 { v / total } else { 0.0 }).collect()
    }
}

/// Accounts for a pour, its board seen with the longer side `longest_px` pixels.
///
/// Areas are counted by samples, so the error falls with the resolution.
///
/// # Errors
/// [`RenderError::Cancelled`] when asked to stop.
pub fn account(
    scene: &Scene,
    longest_px: usize,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<Accounts, RenderError> {
    let view = View::of_board(scene, 0.0, longest_px);
    let kept = areas(scene, &view, true, threads, watch)?;
    let poured_ml = scene.ledger().poured_ml.clone();
    let film_mm = scene.film_mm;
    let kept_ml: Vec<f64> = kept.iter().map(|area| area * film_mm / 1000.0).collect();
    let run_off_ml = poured_ml.iter().zip(&kept_ml).map(|(all, kept)| all - kept).collect();
    Ok(Accounts { poured_ml, kept_ml, run_off_ml })
}

/// Area of each colour in a view, mm²; `on_board` counts only what lies on the board.
///
/// # Errors
/// [`RenderError::Size`] for a view that can't be, [`RenderError::Cancelled`] when asked to stop.
pub fn areas(
    scene: &Scene,
    view: &View,
    on_board: bool,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<Vec<f64>, RenderError> {
    view.check()?;
    let colours = scene.colour_count();
    let bands = view.height.div_ceil(ROWS);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut sampler = Sampler::new(scene, view, SAMPLES);
        let mut done: Vec<(usize, Vec<f64>)> = Vec::new();
        while !watch.stopped() {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= bands {
                break;
            }
            let first = number * ROWS;
            let rows = ROWS.min(view.height - first);
            let mut planes: Vec<Strip<CHANNELS>> = (0..colours.div_ceil(CHANNELS))
                .map(|_| Strip::new(view.width, first.cast_signed(), rows))
                .collect();
            sampler.fill_shares(&mut planes);
            let cover = on_board
                .then(|| board_cover(scene.board.outlines(), view, first.cast_signed(), rows));
            let mut sums: Vec<f64> =
                planes.iter().flat_map(|plane| column_sums(plane, cover.as_ref(), rows)).collect();
            sums.truncate(colours);
            done.push((number, sums));
        }
        done
    };
    let mut done = in_threads(thread_count(threads), work);
    if watch.stopped() {
        return Err(RenderError::Cancelled);
    }
    done.sort_unstable_by_key(|(number, _)| *number);
    let pixel = view.mm_per_px * view.mm_per_px;
    let mut total = vec![0.0; colours];
    for (_, sums) in done {
        for (all, sum) in total.iter_mut().zip(sums) {
            *all += sum * pixel;
        }
    }
    Ok(total)
}

/// Sum of every plane over the strip, each pixel by its cover.
fn column_sums(strip: &Strip<CHANNELS>, cover: Option<&Strip<1>>, rows: usize) -> Vec<f64> {
    let mut sums = vec![0.0_f64; CHANNELS];
    for row in 0..rows {
        let line = row_of(strip, row);
        let mut one = [0.0_f32; CHANNELS];
        let whole = [1.0_f32];
        let covers = cover.map(|strip| row_of(strip, row));
        for (column, cell) in line.iter().enumerate() {
            let [by] = covers.and_then(|c| c.get(column)).unwrap_or(&whole);
            for (sum, value) in one.iter_mut().zip(cell) {
                *sum += value * by;
            }
        }
        for (sum, value) in sums.iter_mut().zip(one) {
            *sum += f64::from(value);
        }
    }
    sums
}
