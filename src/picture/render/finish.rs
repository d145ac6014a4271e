//! From summed paint to linear RGB: soft film, thickness, accents, mist, gloss, board.

use super::bands::{board_cover, row_of};
use super::gloss::Window;
use super::mist::{beyond_the_pixel, reach};
use super::raster::{SPARE, Strip};
use super::waves::Waves;
use super::{RenderSettings, View};
use crate::flow::Random;
use crate::flow::series::exp;
use crate::picture::scene::{CHANNELS, Channels, Mixer, Scene};
use core::ops::Range;

/// How far neighbouring bases creep into one another before they gel, mm (standard deviation).
const CREEP_MM: f64 = 0.2;
/// Greatest change of film thickness over the board, as a share (a poured film levels to about this, common
/// practice, no source).
const THICKNESS: f32 = 0.22;
/// How long the longest ripple is, mm, and how far it carries off what is mirrored.
const LONGEST_MM: f64 = 210.0;
const MIRROR_MM: f64 = 12.0;
/// Mist stirs nothing: so much of what it sets flowing stays in threads side by side, finer than eyes see, and does not
/// mix (common practice, no source).
const DRAWN_OUT: f32 = 0.5;
/// Widest blur, pixels to each side.
const WIDEST: usize = 64;
/// Variance of the light that neighbours lend a pixel of the picture, in pixels²: with its own square (1/12) a bell of half
/// a pixel (standard deviation; Pharr, Jakob and Humphreys, "Physically Based Rendering", 4th ed. 2023, §8.8.1). The mean
/// over the square alone leaves lines thinner than a pixel in steps and beads.
const LENT: f64 = 0.25 - 1.0 / 12.0;

/// What mist does.
struct Mixing {
    /// How far it lets amounts spread.
    kernel: Vec<f32>,
    /// The least and the greatest part of the film that mixes.
    part: [f32; 2],
    /// Where more of it lies and where less.
    patches: Waves,
    mixer: Mixer,
}

/// What is the same for every band of a picture.
pub(super) struct Surface<'a> {
    scene: &'a Scene,
    view: View,
    settings: RenderSettings,
    creep: Vec<f32>,
    mist: Option<Mixing>,
    /// The film's thickness, −1 to 1.
    ripples: Waves,
    window: Option<Window>,
    /// What neighbours lend.
    lent: Vec<f32>,
}

impl<'a> Surface<'a> {
    /// For a `view` that is `fine` times as fine as the picture is to be.
    pub(super) fn new(
        scene: &'a Scene,
        view: &View,
        fine: usize,
        settings: &RenderSettings,
    ) -> Self {
        let mut random = Random::stream(scene.finish.seed, 0x7417);
        // Short ripples level out long before long ones (Orchard 1962, Appl. Sci. Res. A 11, 451).
        let ripples = Waves::new(&[LONGEST_MM, 133.0, 79.0, 52.0, 36.0], 0.2, &mut random);
        let mist = reach(scene.finish.mist).map(|(sigma, part)| Mixing {
            kernel: bell(beyond_the_pixel(sigma / view.mm_per_px)),
            part,
            patches: Waves::new(&[145.0, 97.0, 71.0, 52.0, 37.0, 26.0], 0.33, &mut random),
            mixer: Mixer::new(&scene.finish.pure, &scene.finish.strength),
        });
        Self {
            scene,
            view: *view,
            settings: *settings,
            creep: bell(CREEP_MM / view.mm_per_px),
            mist,
            ripples,
            window: settings.gloss.then(|| Window::over(&scene.board)),
            #[expect(clippy::cast_precision_loss, reason = "a few")]
            lent: bell(LENT.sqrt() * fine as f64),
        }
    }

    /// Rows beyond a band that its pixels depend on.
    pub(super) fn halo(&self) -> usize {
        let mist = self.mist.as_ref().map_or(0, |mist| mist.kernel.len() - 1);
        mist.max(self.creep.len() - 1) + self.lent.len() - 1
    }

    /// How many groups of eight shares mist needs.
    pub(super) fn share_groups(&self) -> usize {
        if self.mist.is_some() { self.scene.finish.pure.len().div_ceil(CHANNELS) } else { 0 }
    }

    /// How much of each pixel the board covers, where what lies beside it is not shown.
    pub(super) fn cover(&self, top: isize, rows: usize) -> Option<Strip<1>> {
        let outlines = self.scene.board.outlines();
        self.settings.around.map(|_| board_cover(outlines, &self.view, top, rows))
    }

    /// Linear RGB of `rows` rows from row `first` of the picture; the strips hold the halo too.
    pub(super) fn finish(
        &self,
        paint: &mut Strip<CHANNELS>,
        planes: &mut [Strip<CHANNELS>],
        cover: Option<&Strip<1>>,
        first: usize,
        rows: usize,
    ) -> Vec<[f32; 3]> {
        pulp::Arch::new().dispatch(Finish { surface: self, paint, planes, cover, first, rows })
    }

    #[inline(always)]
    fn finish_rows(
        &self,
        paint: &mut Strip<CHANNELS>,
        planes: &mut [Strip<CHANNELS>],
        cover: Option<&Strip<1>>,
        first: usize,
        rows: usize,
    ) -> Vec<[f32; 3]> {
        let halo = self.halo();
        let reach = self.lent.len() - 1;
        let columns = shown_columns(cover, self.view.width, halo);
        let film = self.film(paint, planes, &columns, first, rows);
        let film = blurred(&film, &columns, &self.lent, reach, rows);
        let mut out: Vec<[f32; 3]> =
            (0..rows).flat_map(|row| row_of(&film, row)).copied().collect();
        if let Some(window) = &self.window {
            self.shine(window, first, &mut out);
        }
        if let (Some(around), Some(cover)) = (self.settings.around, cover) {
            for row in 0..rows {
                let line = out.iter_mut().skip(row * self.view.width);
                for (pixel, [share]) in line.zip(row_of(cover, row + halo)) {
                    let share = share.clamp(0.0, 1.0);
                    for (value, beside) in pixel.iter_mut().zip(around) {
                        *value = *value * share + beside * (1.0 - share);
                    }
                }
            }
        }
        out
    }

    /// Linear RGB of the film alone in some columns, with as many rows more above and below as lend light.
    #[inline(always)]
    fn film(
        &self,
        paint: &mut Strip<CHANNELS>,
        planes: &mut [Strip<CHANNELS>],
        columns: &Range<usize>,
        first: usize,
        rows: usize,
    ) -> Strip<3> {
        let more = self.lent.len() - 1;
        let mut out =
            Strip::new(self.view.width, first.cast_signed() - more.cast_signed(), rows + 2 * more);
        let halo = self.halo() - more;
        let soft = blurred(paint, columns, &self.creep, halo, out.rows);
        let mut thickness = vec![0.0_f32; self.view.width];
        for row in 0..out.rows {
            self.ripples.row(&self.view, shown_row(&out, row), &mut thickness);
            let crisp = row_of(paint, row + halo);
            let soft_row = row_of(&soft, row);
            let film = crisp.iter().zip(soft_row).zip(&thickness);
            let line = row_mut(&mut out, row).iter_mut().zip(film);
            for (pixel, ((sharp, soft), thick)) in line.take(columns.end).skip(columns.start) {
                *pixel = self.pixel(sharp, soft, *thick);
            }
        }
        self.mix(planes, columns, halo, &mut out);
        out
    }

    /// Soft film, thinner or thicker, under what floats on it.
    #[inline(always)]
    fn pixel(&self, sharp: &Channels, soft: &Channels, thick: f32) -> [f32; 3] {
        let cover = clamp(sharp[3]);
        let through = clamp(soft[7]) * thick * THICKNESS;
        let primer = self.scene.finish.primer;
        [0, 1, 2].map(|i| {
            let film = soft[4 + i];
            let film = film + (primer[i] - film) * through;
            let value = sharp[i] + (1.0 - cover) * film;
            if value > 0.0 { value } else { 0.0 }
        })
    }

    /// Lets the amounts mix over the mist's reach.
    fn mix(
        &self,
        planes: &mut [Strip<CHANNELS>],
        columns: &Range<usize>,
        halo: usize,
        out: &mut Strip<3>,
    ) {
        let Some(mist) = &self.mist else { return };
        let [least, most] = mist.part;
        let mut wet = vec![0.0_f32; self.view.width];
        let planes: Vec<Strip<CHANNELS>> = planes
            .iter()
            .map(|plane| blurred(plane, columns, &mist.kernel, halo, out.rows))
            .collect();
        for row in 0..out.rows {
            let lines: Vec<&[Channels]> = planes.iter().map(|plane| row_of(plane, row)).collect();
            mist.patches.row(&self.view, shown_row(out, row), &mut wet);
            let line = row_mut(out, row).iter_mut().enumerate().zip(&wet);
            for ((column, pixel), wet) in line.take(columns.end).skip(columns.start) {
                let shares = lines
                    .iter()
                    .flat_map(|line| line.get(column).copied().unwrap_or([0.0; CHANNELS]));
                let mixed = mist.mixer.rgb(shares.clone());
                let beside = mist.mixer.side_by_side(shares);
                let part = least + (most - least) * clamp(0.5 + 0.5 * wet);
                for ((value, mixed), beside) in pixel.iter_mut().zip(mixed).zip(beside) {
                    let drawn_out = mixed + (beside - mixed) * DRAWN_OUT;
                    *value += (drawn_out - *value) * part;
                }
            }
        }
    }

    /// Adds what the film mirrors of a window.
    fn shine(&self, window: &Window, first: usize, out: &mut [[f32; 3]]) {
        for (row, line) in out.chunks_mut(self.view.width).enumerate() {
            for (column, pixel) in line.iter_mut().enumerate() {
                let p = self.view.place(column, first + row);
                let sway = self.ripples.lean(p).map(|lean| lean * (MIRROR_MM / LONGEST_MM));
                let light = window.light(p, sway);
                for value in pixel.iter_mut() {
                    *value += light;
                }
            }
        }
    }
}

/// The work of [`Surface::finish`], compiled for the vectors at hand.
struct Finish<'a> {
    surface: &'a Surface<'a>,
    paint: &'a mut Strip<CHANNELS>,
    planes: &'a mut [Strip<CHANNELS>],
    cover: Option<&'a Strip<1>>,
    first: usize,
    rows: usize,
}

impl pulp::NullaryFnOnce for Finish<'_> {
    type Output = Vec<[f32; 3]>;

    #[inline(always)]
    fn call(self) -> Vec<[f32; 3]> {
        self.surface.finish_rows(self.paint, self.planes, self.cover, self.first, self.rows)
    }
}

#[inline(always)]
fn clamp(x: f32) -> f32 {
    let x = if x > 0.0 { x } else { 0.0 };
    if x < 1.0 { x } else { 1.0 }
}

/// One side of a bell curve in pixels, summing to 1 with its mirror image; just `[1]` where it would not show beside what is lent.
fn bell(sigma_px: f64) -> Vec<f32> {
    let variance = sigma_px * sigma_px;
    if variance < 0.04 {
        return vec![1.0];
    }
    if variance < 0.4 {
        // The curve's own values so far apart would have too small a variance: one step each way has it exactly.
        #[expect(clippy::cast_possible_truncation, reason = "the picture is computed in f32")]
        let beside = (0.5 * variance) as f32;
        return vec![1.0 - 2.0 * beside, beside];
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held to 64")]
    let radius = (2.6 * sigma_px).ceil().clamp(1.0, WIDEST as f64) as usize;
    #[expect(clippy::cast_precision_loss, reason = "at most 64")]
    let raw: Vec<f64> =
        (0..=radius).map(|i| exp(-(i as f64) * (i as f64) / (2.0 * variance))).collect();
    let sum = 2.0 * raw.iter().sum::<f64>() - 1.0;
    #[expect(clippy::cast_possible_truncation, reason = "the picture is computed in f32")]
    let kernel = raw.into_iter().map(|v| (v / sum) as f32).collect();
    kernel
}

/// The columns of a picture that its board covers anywhere in a strip, and as many more to both sides as their light comes
/// from; all where no board is told from what lies beside it.
fn shown_columns(cover: Option<&Strip<1>>, width: usize, halo: usize) -> Range<usize> {
    let Some(cover) = cover else { return 0..width };
    let (mut start, mut end) = (width, 0);
    for row in 0..cover.rows {
        let line = row_of(cover, row);
        let covered = |cell: &[f32; 1]| cell[0] > 0.0;
        if let Some(first) = line.iter().position(covered) {
            start = start.min(first);
            end = end.max(line.iter().rposition(covered).map_or(0, |last| last + 1));
        }
    }
    if start < end { start.saturating_sub(halo)..(end + halo).min(width) } else { 0..0 }
}

/// Some columns of the strip's inner `rows` blurred both ways; beyond these the last pixel goes on.
#[inline(always)]
fn blurred<const N: usize>(
    strip: &Strip<N>,
    columns: &Range<usize>,
    kernel: &[f32],
    halo: usize,
    rows: usize,
) -> Strip<N> {
    /// Values worked on together, so that they stay at hand from one weight to the next.
    const TOGETHER: usize = 512;
    let reach = kernel.len() - 1;
    let own = kernel.first().copied().unwrap_or(1.0);
    let mut out = Strip::new(strip.width, 0, rows);
    let width = columns.len();
    let of = |row: usize| row_of(strip, row).get(columns.clone()).unwrap_or_default();
    let mut line = vec![[0.0_f32; N]; width + 2 * reach];
    for row in 0..rows {
        // Down first, into a line with room at both ends.
        let inner = line.get_mut(reach..reach + width).unwrap_or_default().as_flattened_mut();
        for (to, from) in inner.iter_mut().zip(of(row + halo).as_flattened()) {
            *to = from * own;
        }
        for (k, weight) in kernel.iter().enumerate().skip(1) {
            let above = of(row + halo - k).as_flattened();
            let below = of(row + halo + k).as_flattened();
            for (to, (a, b)) in inner.iter_mut().zip(above.iter().zip(below)) {
                *to += weight * (a + b);
            }
        }
        if let (Some(first), Some(last)) =
            (line.get(reach).copied(), line.get((reach + width).wrapping_sub(1)).copied())
        {
            for cell in line.iter_mut().take(reach) {
                *cell = first;
            }
            for cell in line.iter_mut().skip(reach + width) {
                *cell = last;
            }
        }
        let Some(cells) = row_mut(&mut out, row).get_mut(columns.clone()) else { continue };
        let all = line.as_flattened();
        for (number, to) in cells.as_flattened_mut().chunks_mut(TOGETHER).enumerate() {
            let from = |cell: usize| {
                let first = number * TOGETHER + cell * N;
                all.get(first..first + to.len()).unwrap_or_default()
            };
            let mut sums = [0.0_f32; TOGETHER];
            for (sum, at) in sums.iter_mut().zip(from(reach)) {
                *sum = at * own;
            }
            for (k, weight) in kernel.iter().enumerate().skip(1) {
                let both = from(reach - k).iter().zip(from(reach + k));
                for (sum, (a, b)) in sums.iter_mut().zip(both) {
                    *sum += weight * (a + b);
                }
            }
            to.copy_from_slice(sums.get(..to.len()).unwrap_or_default());
        }
    }
    out
}

/// The picture's row that one of a strip's is; those above the picture go by its first.
#[inline(always)]
fn shown_row(strip: &Strip<3>, row: usize) -> usize {
    (strip.first_row + row.cast_signed()).max(0).unsigned_abs()
}

/// Cells of a strip's row that are pixels, to be changed.
#[inline(always)]
fn row_mut<const N: usize>(strip: &mut Strip<N>, row: usize) -> &mut [[f32; N]] {
    let from = row * (strip.width + SPARE);
    strip.cells.get_mut(from..from + strip.width).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mixing_moves_amounts_and_loses_none() {
        for sigma in [0.1, 0.6, 2.5] {
            let kernel = bell(sigma);
            let halo = kernel.len() - 1;
            let (width, rows) = (40, 30);
            let mut strip = Strip::<CHANNELS>::new(width, 0, rows + 2 * halo);
            let middle = (halo + 15) * (width + SPARE) + 20;
            for (channel, value) in strip.cells[middle].iter_mut().enumerate() {
                *value = channel as f32 - 2.5;
            }
            let out = blurred(&strip, &(0..width), &kernel, halo, rows);
            for channel in 0..CHANNELS {
                let sum: f32 =
                    (0..rows).flat_map(|r| row_of(&out, r)).map(|cell| cell[channel]).sum();
                let want = channel as f32 - 2.5;
                assert!((sum - want).abs() < 1e-4, "sigma {sigma}: {sum} of {want}");
            }
        }
    }

    #[test]
    fn what_neighbours_lend_makes_a_bell_of_half_a_pixel() {
        for fine in [1, 2, 3, 6] {
            let kernel = bell(LENT.sqrt() * f64::from(fine));
            let of_own = f64::from(fine * fine) / 12.0;
            let spread: f32 =
                (0_u8..).zip(&kernel).map(|(k, v)| 2.0 * v * f32::from(k) * f32::from(k)).sum();
            let all = (f64::from(spread) + of_own) / f64::from(fine * fine);
            assert!((all - 0.25).abs() < 0.01, "{fine} times finer: {all}");
        }
    }

    #[test]
    fn a_bell_has_its_variance() {
        for sigma in [0.21, 0.3, 0.5, 0.62, 0.7, 1.3, 4.0] {
            let kernel = bell(sigma);
            let spread: f32 =
                (0_u8..).zip(&kernel).map(|(k, v)| 2.0 * v * f32::from(k) * f32::from(k)).sum();
            let off = f64::from(spread) / (sigma * sigma) - 1.0;
            assert!(off.abs() < 0.06, "sigma {sigma}: {spread}");
        }
    }

    #[test]
    fn only_columns_near_the_board_are_finished() {
        let mut cover = Strip::<1>::new(50, 0, 4);
        assert_eq!(shown_columns(Some(&cover), 50, 3).len(), 0, "no board");
        assert_eq!(shown_columns(None, 50, 3), 0..50, "all is shown");
        row_mut(&mut cover, 1)[20] = [0.2];
        row_mut(&mut cover, 3)[48] = [1.0];
        assert_eq!(shown_columns(Some(&cover), 50, 3), 17..50);
        // What they are blurred to is the same as if all were, and the others stay empty.
        let kernel = bell(0.9);
        let reach = kernel.len() - 1;
        let mut strip = Strip::<3>::new(50, 0, 4 + 2 * reach);
        for (k, cell) in strip.cells.iter_mut().enumerate() {
            *cell = [k as f32 % 7.0, (k * k) as f32 % 11.0, 1.0];
        }
        let all = blurred(&strip, &(0..50), &kernel, reach, 4);
        let some = blurred(&strip, &(10..40), &kernel, reach, 4);
        for row in 0..4 {
            let [all, some] = [&all, &some].map(|strip| row_of(strip, row));
            assert_eq!(all[10 + reach..40 - reach], some[10 + reach..40 - reach]);
            assert!(some[..10].iter().chain(&some[40..]).all(|cell| *cell == [0.0; 3]));
        }
    }

    #[test]
    fn an_even_film_stays_even() {
        let kernel = bell(1.3);
        let halo = kernel.len() - 1;
        let mut strip = Strip::<CHANNELS>::new(17, 0, 5 + 2 * halo);
        strip.cells.fill([0.37; CHANNELS]);
        let out = blurred(&strip, &(0..17), &kernel, halo, 5);
        for value in (0..5).flat_map(|r| row_of(&out, r)).flatten() {
            assert!((value - 0.37).abs() < 1e-6, "{value}");
        }
    }
}
