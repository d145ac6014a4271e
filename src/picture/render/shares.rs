//! How much of each colour lies where, by exact area.

use super::bands::{bin, board_cover, row_of, share_group, sum_runs};
use super::raster::Strip;
use super::tracing::{in_threads, trace_scene};
use super::{RenderError, View, Watch, thread_count};
use crate::picture::scene::{CHANNELS, Scene};
use core::sync::atomic::{AtomicUsize, Ordering};

/// Rows a thread takes at a time.
const ROWS: usize = 32;

/// Where each colour of a pour went, mL by colour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Accounts {
    /// Came onto the board: poured and first film.
    pub issued_ml: Vec<f64>,
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
/// Areas are of the traced rims, so the error is that of their chords: it falls with the resolution.
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
    let issued_ml = scene.ledger().issued_ml();
    let film_mm = scene.film_mm;
    let kept_ml: Vec<f64> = kept.iter().map(|area| area * film_mm / 1000.0).collect();
    let run_off_ml = issued_ml.iter().zip(&kept_ml).map(|(all, kept)| all - kept).collect();
    Ok(Accounts { issued_ml, kept_ml, run_off_ml })
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
    let threads = thread_count(threads);
    let outlines = trace_scene(scene, view, threads, watch)?;
    let bins = bin(&outlines, ROWS, 0, view.height.div_ceil(ROWS));
    let colours = scene.film.body.shares.len();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done: Vec<(usize, Vec<f64>)> = Vec::new();
        while !watch.stopped() {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let Some(runs) = bins.get(number) else { break };
            let first = number * ROWS;
            let rows = ROWS.min(view.height - first);
            let cover = on_board
                .then(|| board_cover(scene.board.outlines(), view, first.cast_signed(), rows));
            let mut sums = Vec::with_capacity(colours);
            for group in 0..colours.div_ceil(CHANNELS) {
                let mut strip = Strip::<CHANNELS>::new(view.width, first.cast_signed(), rows);
                let left = share_group(&scene.film.body.shares, group);
                sum_runs(&mut strip, &outlines, runs, &left, |region| {
                    scene
                        .regions
                        .get(region)
                        .map_or([0.0; CHANNELS], |r| share_group(&r.step.shares, group))
                });
                sums.extend(column_sums(&strip, cover.as_ref(), rows));
            }
            sums.truncate(colours);
            done.push((number, sums));
        }
        done
    };
    let mut done = in_threads(threads, work);
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
