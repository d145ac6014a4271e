//! From a first guess of amounts to the nearest best ones: Levenberg–Marquardt whose steps stay inside
//! every bound.
//!
//! Each step minimises the damped quadratic model under the bounds themselves
//! ([`crate::solve::Quadratic`]), so a climb that ends on a ceiling ends at the best point of that
//! ceiling, and every point on the way is allowed.

use super::blend::{MOST_LAMPS, Sight, Unit, blend};
use crate::colour::{Lab, delta_e_2000, delta_e_2000_slopes};
use crate::predict::CHART;
use crate::solve::Quadratic;
use crate::spectrum::{Spectrum, Xyz};

/// Most inequalities on the amounts, besides that none is negative: the ceilings that colorants share,
/// and one more for each of four colorants.
pub(super) const ROWS: usize = 8;
/// Rows that colorants share; those after them hold for one colorant each.
pub(super) const SHARED_ROWS: usize = 4;

/// What is wanted under one lamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Aim {
    pub(super) lab: Lab,
    /// Its share of the whole; shares sum to 1.
    pub(super) share: f64,
}

/// Amounts to be found: of `units`, on top of `fixed`, none negative and `rows·amounts ≤ most`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slope<'a, const N: usize> {
    pub(super) sight: &'a Sight,
    /// As many as the sight has lamps.
    pub(super) aims: &'a [Aim],
    pub(super) fixed: &'a Unit,
    pub(super) units: [&'a Unit; N],
    pub(super) rows: [[f64; N]; ROWS],
    /// Infinite for a row that does not count.
    pub(super) most: [f64; ROWS],
    /// What must not show, where that counts.
    pub(super) chart: Option<&'a Chart>,
}

/// A film over black and over white: a climb that has one is drawn towards films that hide.
#[derive(Debug, Clone)]
pub(super) struct Chart {
    /// Over black, over white, under the first lamp alone.
    pub(super) grounds: [Sight; 2],
    /// The contrast ratio wanted.
    pub(super) ratio: f64,
    /// What it weighs, ΔE00 a unit, where the contrast ratio falls short of it.
    pub(super) weight: f64,
}

impl Chart {
    /// Of a film seen so.
    pub(super) fn of(sight: &Sight, ratio: f64) -> Self {
        let grounds = CHART.map(|reflectance| {
            let mut sight = sight.clone();
            sight.ground = Spectrum::flat(reflectance);
            sight.lamps.truncate(1);
            sight
        });
        Self { grounds, ratio, weight: SHORT_OF_CONTRAST }
    }

    /// Luminance over black by that over white.
    pub(super) fn contrast(&self, whole: &Unit) -> f64 {
        let [black, white] =
            self.grounds.each_ref().map(|sight| blend::<0>(sight, whole, &[], &[]).xyz[0][1]);
        if white > 0.0 { black / white } else { 1.0 }
    }

    /// An error, ΔE00, with what the contrast ratio falls short by.
    pub(super) fn with_short(&self, error: f64, whole: &Unit) -> f64 {
        libm::hypot(error, self.weight * (self.ratio - self.contrast(whole)).max(0.0))
    }
}

/// A contrast ratio that falls short by a hundredth weighs as much as one ΔE00.
pub(super) const SHORT_OF_CONTRAST: f64 = 100.0;

/// Where a climb ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak<const N: usize> {
    pub(super) amounts: [f64; N],
    /// Root of the mean of ΔE00², weighted by the lamps' shares.
    pub(super) error: f64,
}

/// The model of the mean square around a point.
struct Model<const N: usize> {
    square: f64,
    slope: [f64; N],
    curvature: [[f64; N]; N],
}

/// No climb takes more steps; nearly all end within twenty.
const MOST_STEPS: usize = 80;

/// When a climb has gone far enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Until {
    /// Two steps gain less than this share of the square.
    pub(super) gain: f64,
    /// The error, ΔE00, is no greater than this.
    pub(super) error: f64,
    /// The model, where it has been right so far, cannot promise to come below this error, ΔE00.
    pub(super) hopeless: f64,
}

/// As high as it goes; an error of 1e-5 ΔE00 is below any reading's.
pub(super) const TO_THE_TOP: Until = Until { gain: 1e-9, error: 1e-5, hopeless: f64::INFINITY };
/// Near enough to see whether a subset is worth more.
pub(super) const NEAR_THE_TOP: Until = Until { gain: 1e-3, ..TO_THE_TOP };
/// So many times what the model promises still counts as promised: it bends the wrong way at times.
const TRUST: f64 = 3.0;

/// The weighted root mean square ΔE00 of a film of this content.
pub(super) fn error_of(sight: &Sight, aims: &[Aim], whole: &Unit) -> f64 {
    let seen = blend::<0>(sight, whole, &[], &[]);
    let square: f64 = aims
        .iter()
        .zip(&sight.lamps)
        .zip(seen.xyz)
        .map(|((aim, lamp), [x, y, z])| {
            let delta = delta_e_2000(aim.lab, Lab::from_xyz(Xyz { x, y, z }, lamp.white()));
            aim.share * delta * delta
        })
        .sum();
    libm::sqrt(square)
}

impl<const N: usize> Model<N> {
    /// One more residual with its slopes; fills the lower half of the curvature.
    #[inline]
    fn add(&mut self, share: f64, residual: f64, row: &[f64; N]) {
        self.square += share * residual * residual;
        for at in 0..N {
            self.slope[at] += share * residual * row[at];
            for other in 0..=at {
                self.curvature[at][other] += share * row[at] * row[other];
            }
        }
    }
}

impl<const N: usize> Slope<'_, N> {
    fn model(&self, amounts: &[f64; N]) -> Model<N> {
        let seen = blend(self.sight, self.fixed, &self.units, amounts);
        let mut model = Model { square: 0.0, slope: [0.0; N], curvature: [[0.0; N]; N] };
        for (lamp, aim) in self.aims.iter().enumerate().take(MOST_LAMPS) {
            let [x, y, z] = seen.xyz[lamp];
            let white = self.sight.lamps[lamp].white();
            let (lab, by_xyz) = Lab::from_xyz_with_slopes(Xyz { x, y, z }, white);
            let seen_as = delta_e_2000_slopes(aim.lab, lab);
            for (residual, by_lab) in seen_as.residuals.iter().zip(&seen_as.by_sample) {
                let mut by_axis = [0.0; 3];
                for (coordinate, slope) in by_lab.iter().enumerate() {
                    for (axis, by) in by_axis.iter_mut().enumerate() {
                        *by += slope * by_xyz[coordinate][axis];
                    }
                }
                let mut row = [0.0; N];
                for (axis, by) in by_axis.iter().enumerate() {
                    for (cell, slope) in row.iter_mut().zip(&seen.slopes[lamp][axis]) {
                        *cell += by * slope;
                    }
                }
                model.add(aim.share, *residual, &row);
            }
        }
        if let Some(chart) = self.chart {
            self.add_contrast(chart, amounts, &mut model);
        }
        for at in 0..N {
            for other in at + 1..N {
                model.curvature[at][other] = model.curvature[other][at];
            }
        }
        model
    }

    /// What the contrast ratio falls short by, as one more residual.
    fn add_contrast(&self, chart: &Chart, amounts: &[f64; N], model: &mut Model<N>) {
        let [black, white] =
            chart.grounds.each_ref().map(|sight| blend(sight, self.fixed, &self.units, amounts));
        let (over_black, over_white) = (black.xyz[0][1], white.xyz[0][1]);
        if over_white <= 0.0 {
            return;
        }
        let contrast = over_black / over_white;
        let short = chart.weight * (chart.ratio - contrast);
        if short <= 0.0 {
            return;
        }
        let row: [f64; N] = std::array::from_fn(|at| {
            let moved = black.slopes[0][1][at] - contrast * white.slopes[0][1][at];
            -chart.weight * moved / over_white
        });
        model.add(1.0, short, &row);
    }

    /// The weighted root mean square ΔE00 of these amounts (with what the contrast falls short by, where
    /// that counts), without slopes.
    pub(super) fn error(&self, amounts: &[f64; N]) -> f64 {
        let whole = self
            .units
            .iter()
            .zip(amounts)
            .filter(|(_, amount)| **amount != 0.0)
            .fold(*self.fixed, |whole, (unit, amount)| whole.plus(*amount, unit));
        let error = error_of(self.sight, self.aims, &whole);
        self.chart.map_or(error, |chart| chart.with_short(error, &whole))
    }

    /// Room that each row leaves at these amounts.
    fn room(&self, amounts: &[f64; N]) -> [f64; ROWS] {
        std::array::from_fn(|row| {
            if self.most[row] == f64::INFINITY {
                return f64::INFINITY;
            }
            let used: f64 = self.rows[row].iter().zip(amounts).map(|(a, x)| a * x).sum();
            (self.most[row] - used).max(0.0)
        })
    }

    /// The largest part that these amounts use of what a row allows.
    pub(super) fn fullest(&self, amounts: &[f64; N]) -> f64 {
        (0..ROWS)
            .filter(|row| self.most[*row].is_finite())
            .map(|row| {
                let used: f64 = self.rows[row].iter().zip(amounts).map(|(a, x)| a * x).sum();
                used / self.most[row].max(1e-12)
            })
            .fold(0.0, f64::max)
    }

    /// Climbs from `start`, which keeps every bound.
    pub(super) fn climb(&self, start: [f64; N], until: Until) -> Peak<N> {
        let mut here = start;
        let mut model = self.model(&here);
        let mut damping = 1e-2;
        let mut small = 0;
        let mut right = false;
        for _ in 0..MOST_STEPS {
            if model.square <= until.error * until.error || !model.square.is_finite() {
                break;
            }
            let mut curvature = model.curvature;
            let largest = (0..N).fold(0.0_f64, |most, at| most.max(curvature[at][at]));
            for (at, row) in curvature.iter_mut().enumerate() {
                row[at] += damping * row[at] + 1e-12 * largest + 1e-30;
            }
            let low = here.map(|x| -x);
            let room = self.room(&here);
            let step = Quadratic {
                curvature: &curvature,
                slope: &model.slope,
                low: &low,
                rows: &self.rows,
                room: &room,
            }
            .step();
            let next: [f64; N] = std::array::from_fn(|at| (here[at] + step[at]).max(0.0));
            // Half the gain that the undamped model promises, for squares without the half.
            let mut promised = 0.0;
            for at in 0..N {
                let bent: f64 = model.curvature[at].iter().zip(&step).map(|(h, p)| h * p).sum();
                promised -= step[at] * (2.0 * model.slope[at] + bent);
            }
            if promised <= until.gain * 1e-3 * model.square {
                break;
            }
            if right && model.square - TRUST * promised > until.hopeless * until.hopeless {
                break;
            }
            let there = self.model(&next);
            let gain = model.square - there.square;
            if gain > 0.0 {
                let ratio = gain / promised;
                damping = if ratio > 0.75 {
                    (damping * 0.1).max(1e-9)
                } else if ratio < 0.25 {
                    damping * 3.0
                } else {
                    damping
                };
                right = ratio > 0.5 && ratio < 2.0 && damping <= 1e-2;
                small = if gain <= until.gain * model.square { small + 1 } else { 0 };
                here = next;
                model = there;
                if small == 2 {
                    break;
                }
            } else {
                right = false;
                damping *= 8.0;
                if damping > 1e12 {
                    break;
                }
            }
        }
        Peak { amounts: here, error: libm::sqrt(model.square) }
    }
}
