//! Levenberg–Marquardt in a box.
//!
//! Each turn factorises the (weighted) Jacobian once, J = QR, and then works with R alone. A step
//! minimises |Jp + r|² + λ|Dp|² over the unknowns that are free to move; an unknown that would leave
//! the box is put on its wall and the rest solved again, so a step never leaves the box and is the
//! minimum over the face it ends on. Unknowns on a wall that the gradient presses outwards stay.

use thiserror::Error;

use super::Loss;
use super::dense::{Matrix, Qr, norm};
use super::fit::{Fit, Outcome};
use super::problem::{Bounds, Residuals, central_differences};

/// How hard to try.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// What a residual costs.
    pub loss: Loss,
    /// Turns at most; each takes one Jacobian.
    pub turns: usize,
    /// Done when the residuals' cosine with every free column of the Jacobian is below this.
    pub gradient_tolerance: f64,
    /// Done when a step is below this share of the parameters, both scaled.
    pub step_tolerance: f64,
    /// Done when a good step lowers the cost by less than this share.
    pub cost_tolerance: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            loss: Loss::Squares,
            turns: 300,
            gradient_tolerance: 1e-10,
            step_tolerance: 1e-12,
            cost_tolerance: 1e-14,
        }
    }
}

/// Why a problem was not tried.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SolveError {
    /// Start and bounds differ in length, or there is nothing to fit.
    #[error("start and bounds must have the same number of parameters, at least one")]
    Lengths,
    /// A low wall above a high one, or a wall or start that is not a number.
    #[error("parameter {0} has no value that fits its bounds")]
    Bounds(usize),
    /// The residuals at the start are not finite.
    #[error("the residuals at the start are not finite")]
    Start,
}

/// Fits the parameters of a problem in a box, from a start that is moved into the box first.
///
/// Finds a local minimum. Never leaves the box, never raises the cost.
///
/// # Errors
///
/// [`SolveError`] when the ask makes no sense; a fit that went badly is told by [`Fit::outcome`].
///
/// ```
/// use pourbook::solve::{Bounds, Options, least_squares};
/// // a·e^(−b·x) through three points of 2·e^(−x/2), with a at most 1.5:
/// let problem = (3, |p: &[f64], out: &mut [f64]| {
///     for (i, r) in out.iter_mut().enumerate() {
///         let x = i as f64;
///         *r = p[0] * (-p[1] * x).exp() - 2.0 * (-0.5 * x).exp();
///     }
/// });
/// let free = least_squares(&problem, &[1.0, 1.0], &Bounds::open(2), &Options::default())?;
/// assert!((free.parameters[0] - 2.0).abs() < 1e-9 && (free.parameters[1] - 0.5).abs() < 1e-9);
/// let walled = Bounds { low: vec![0.0, 0.0], high: vec![1.5, 9.0] };
/// let fit = least_squares(&problem, &[1.0, 1.0], &walled, &Options::default())?;
/// assert!(fit.parameters[0] == 1.5 && fit.held[0]);
/// # Ok::<(), pourbook::solve::SolveError>(())
/// ```
pub fn least_squares(
    problem: &impl Residuals,
    start: &[f64],
    bounds: &Bounds,
    options: &Options,
) -> Result<Fit, SolveError> {
    let n = start.len();
    if n == 0 || bounds.low.len() != n || bounds.high.len() != n {
        return Err(SolveError::Lengths);
    }
    if let Some(j) = (0..n).find(|j| start[*j].is_nan() || !bounds.admits_some(*j)) {
        return Err(SolveError::Bounds(j));
    }
    Search::new(problem, start, bounds, options)?.run()
}

/// The state of a fit under way.
struct Search<'a, P> {
    problem: &'a P,
    bounds: &'a Bounds,
    options: &'a Options,
    x: Vec<f64>,
    residuals: Vec<f64>,
    cost: f64,
    jacobian: Matrix,
    /// Largest norm that each column has had (Moré's scaling).
    scale: Vec<f64>,
    damping: f64,
    growth: f64,
}

/// The linear problem of one turn.
struct Turn {
    r: Matrix,
    /// First entries of Qᵀ times the weighted residuals.
    target: Vec<f64>,
    gradient: Vec<f64>,
    free: Vec<bool>,
}

enum Progress {
    Moved,
    Ended(Outcome),
}

impl<'a, P: Residuals> Search<'a, P> {
    fn new(
        problem: &'a P,
        start: &[f64],
        bounds: &'a Bounds,
        options: &'a Options,
    ) -> Result<Self, SolveError> {
        let n = start.len();
        let x: Vec<f64> = (0..n).map(|j| bounds.clamp(j, start[j])).collect();
        let mut residuals = vec![0.0; problem.count()];
        problem.residuals(&x, &mut residuals);
        let cost: f64 = residuals.iter().map(|r| options.loss.cost(*r)).sum();
        if !cost.is_finite() {
            return Err(SolveError::Start);
        }
        Ok(Self {
            problem,
            bounds,
            options,
            x,
            residuals,
            cost,
            jacobian: Matrix::zeros(problem.count(), n),
            scale: vec![0.0; n],
            damping: 1e-3,
            growth: 2.0,
        })
    }

    fn run(mut self) -> Result<Fit, SolveError> {
        let mut outcome = Outcome::TurnsRanOut;
        let mut turns = 0;
        let mut turn = self.linearise();
        while turns < self.options.turns {
            if self.gradient_has_vanished(&turn) {
                outcome = Outcome::Converged;
                break;
            }
            turns += 1;
            let progress = self.step(&turn);
            if let Progress::Ended(end) = progress {
                outcome = end;
                // A step may have been taken all the same.
                turn = self.linearise();
                break;
            }
            turn = self.linearise();
        }
        Ok(Fit {
            held: turn.free.iter().map(|free| !free).collect(),
            parameters: self.x,
            residuals: self.residuals,
            jacobian: self.jacobian,
            cost: self.cost,
            turns,
            outcome,
        })
    }

    /// Jacobian, its factor and the gradient at the present point.
    fn linearise(&mut self) -> Turn {
        let n = self.x.len();
        if !self.problem.jacobian(&self.x, &mut self.jacobian) {
            central_differences(
                self.problem,
                self.bounds,
                &self.x,
                &self.residuals,
                &mut self.jacobian,
            );
        }
        let weights: Vec<f64> =
            self.residuals.iter().map(|r| libm::sqrt(self.options.loss.weight(*r))).collect();
        let weighted: Vec<f64> = self.residuals.iter().zip(&weights).map(|(r, w)| r * w).collect();
        for j in 0..n {
            let column = self.jacobian.column_mut(j);
            for (entry, weight) in column.iter_mut().zip(&weights) {
                *entry = if entry.is_finite() { *entry * weight } else { 0.0 };
            }
            self.scale[j] = self.scale[j].max(norm(column));
        }
        let qr = Qr::of(&self.jacobian);
        let mut target = qr.transposed_q_times(&weighted);
        target.truncate(n);
        let gradient = self.jacobian.transposed_times(&weighted);
        let free = (0..n)
            .map(|j| {
                let (low, high) = (self.bounds.low[j], self.bounds.high[j]);
                let pressed_down = self.x[j] <= low && gradient[j] >= 0.0;
                let pressed_up = self.x[j] >= high && gradient[j] <= 0.0;
                low < high && !pressed_down && !pressed_up
            })
            .collect();
        Turn { r: qr.r(), target, gradient, free }
    }

    fn gradient_has_vanished(&self, turn: &Turn) -> bool {
        let length = libm::sqrt(2.0 * self.cost);
        (0..self.x.len()).filter(|j| turn.free[*j]).all(|j| {
            let column = norm(self.jacobian.column(j));
            turn.gradient[j].abs() <= self.options.gradient_tolerance * column * length
        })
    }

    /// Raises the damping until a step lowers the cost, and takes it.
    fn step(&mut self, turn: &Turn) -> Progress {
        let n = self.x.len();
        let mut residuals = vec![0.0; self.residuals.len()];
        loop {
            if self.damping.is_nan() || self.damping > 1e30 {
                return Progress::Ended(Outcome::Stalled);
            }
            let Some(next) = self.trial(turn) else {
                self.reject();
                continue;
            };
            let step: Vec<f64> = (0..n).map(|j| next[j] - self.x[j]).collect();
            let expected = self.expected_fall(turn, &step);
            self.problem.residuals(&next, &mut residuals);
            let cost: f64 = residuals.iter().map(|r| self.options.loss.cost(*r)).sum();
            let fall = self.cost - cost;
            let scaled = |v: &[f64]| {
                norm(&v.iter().zip(&self.scale).map(|(v, s)| v * s).collect::<Vec<_>>())
            };
            let small = scaled(&step) <= self.options.step_tolerance * scaled(&self.x);
            let gain = fall / expected;
            if fall.is_finite() && expected > 0.0 && gain > 1e-4 {
                let flat = self.damping < 1.0
                    && gain > 0.25
                    && expected.max(fall) <= self.options.cost_tolerance * self.cost;
                self.x = next;
                self.residuals.copy_from_slice(&residuals);
                self.cost = cost.max(0.0);
                let turned = 2.0 * gain - 1.0;
                self.damping *= (1.0 - turned * turned * turned).max(1.0 / 3.0);
                self.damping = self.damping.max(1e-15);
                self.growth = 2.0;
                let done = small || flat || self.cost == 0.0;
                return if done { Progress::Ended(Outcome::Converged) } else { Progress::Moved };
            }
            if small {
                return Progress::Ended(Outcome::Converged);
            }
            self.reject();
        }
    }

    fn reject(&mut self) {
        self.damping *= self.growth;
        self.growth *= 2.0;
    }

    /// Half of |r|² − |r + Jp|², through R.
    fn expected_fall(&self, turn: &Turn, step: &[f64]) -> f64 {
        let moved = turn.r.times(step);
        -moved
            .iter()
            .zip(&turn.target)
            .map(|(along, target)| along * (target + 0.5 * along))
            .sum::<f64>()
    }

    /// The damped step's end, inside the box; `None` where it could not be solved.
    fn trial(&self, turn: &Turn) -> Option<Vec<f64>> {
        let n = self.x.len();
        let mut next = self.x.clone();
        let mut free = turn.free.clone();
        // Each pass puts at least one unknown on its wall.
        for _ in 0..=n {
            let moving: Vec<usize> = (0..n).filter(|j| free[*j]).collect();
            if moving.is_empty() {
                break;
            }
            let walled: Vec<f64> =
                (0..n).map(|j| if free[j] { 0.0 } else { next[j] - self.x[j] }).collect();
            let shift = turn.r.times(&walled);
            let mut right: Vec<f64> =
                turn.target.iter().zip(&shift).map(|(t, s)| -(t + s)).collect();
            right.resize(n + moving.len(), 0.0);
            let mut system = Matrix::zeros(n + moving.len(), moving.len());
            for (to, j) in moving.iter().enumerate() {
                let column = system.column_mut(to);
                column[..n].copy_from_slice(turn.r.column(*j));
                let scale = if self.scale[*j] > 0.0 { self.scale[*j] } else { 1.0 };
                column[n + to] = libm::sqrt(self.damping) * scale;
            }
            let step = Qr::of(&system).solve(&right)?;
            let mut outside = false;
            for (p, j) in step.iter().zip(&moving) {
                let wanted = self.x[*j] + p;
                next[*j] = self.bounds.clamp(*j, wanted);
                if wanted != next[*j] {
                    free[*j] = false;
                    outside = true;
                }
            }
            if !outside {
                break;
            }
        }
        next.iter().all(|x| x.is_finite()).then_some(next)
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "no picture hangs on a test's last bit")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn fit(problem: &impl Residuals, start: &[f64], bounds: &Bounds) -> Fit {
        least_squares(problem, start, bounds, &Options::default()).expect("a fit")
    }

    /// Rosenbrock's valley as residuals.
    fn valley(p: &[f64], out: &mut [f64]) {
        out[0] = 10.0 * (p[1] - p[0] * p[0]);
        out[1] = 1.0 - p[0];
    }

    #[test]
    fn the_curved_valley() {
        let found = fit(&(2, valley), &[-1.2, 1.0], &Bounds::open(2));
        assert!((found.parameters[0] - 1.0).abs() < 1e-9, "{found:?}");
        // With x at most 0.5 the least is at (0.5, 0.25): worked out by hand.
        let bounds = Bounds { low: vec![-2.0, -2.0], high: vec![0.5, 2.0] };
        let walled = fit(&(2, valley), &[-1.2, 1.0], &bounds);
        assert!((walled.parameters[1] - 0.25).abs() < 1e-9, "{walled:?}");
        assert_eq!((walled.parameters[0], walled.held), (0.5, vec![true, false]), "on the wall");
    }

    #[test]
    fn a_start_outside_is_moved_in_and_a_fixed_parameter_stays() {
        let bounds = Bounds { low: vec![0.3, 0.0], high: vec![0.3, 4.0] };
        let found = fit(&(2, valley), &[9.0, 9.0], &bounds);
        assert_eq!(found.parameters[0], 0.3, "fixed");
        assert!((found.parameters[1] - 0.09).abs() < 1e-8, "{found:?}");
    }

    #[test]
    fn nonsense_is_refused() {
        let options = Options::default();
        let ask = |start: &[f64], bounds: &Bounds| {
            least_squares(&(2, valley), start, bounds, &options).expect_err("nonsense")
        };
        assert_eq!(ask(&[], &Bounds::open(0)), SolveError::Lengths, "nothing to fit");
        assert_eq!(ask(&[0.0], &Bounds::open(2)), SolveError::Lengths, "lengths");
        assert_eq!(ask(&[0.0, f64::NAN], &Bounds::open(2)), SolveError::Bounds(1), "NaN");
        assert_eq!(ask(&[0.0, 0.0], &Bounds::all(2, 1.0, -1.0)), SolveError::Bounds(0), "crossed");
        let lost = (1, |_: &[f64], out: &mut [f64]| out[0] = f64::NAN);
        let failed = least_squares(&lost, &[1.0], &Bounds::open(1), &options);
        assert_eq!(failed, Err(SolveError::Start), "no value at the start");
    }

    #[test]
    fn a_hole_in_the_function_is_stepped_around() {
        // Not finite below 0.1; the minimum is at 0.2.
        let problem = (1, |p: &[f64], out: &mut [f64]| {
            out[0] = if p[0] < 0.1 { f64::INFINITY } else { (p[0] / 0.2).ln() };
        });
        let found = fit(&problem, &[5.0], &Bounds::open(1));
        assert!((found.parameters[0] - 0.2).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn a_parameter_without_effect_does_no_harm() {
        let problem = (2, |p: &[f64], out: &mut [f64]| {
            out[0] = p[0] - 3.0;
            out[1] = 2.0 * p[0] - 6.0;
        });
        let found = fit(&problem, &[0.0, 7.0], &Bounds::open(2));
        assert!((found.parameters[0] - 3.0).abs() < 1e-12, "{found:?}");
        assert_eq!(found.parameters[1], 7.0, "not moved");
        assert!(found.covariance(1.0).is_none(), "undetermined");
    }

    #[test]
    fn a_robust_loss_bears_an_outlier() {
        let y = [1.0, 3.1, 4.9, 7.0, 9.1, 60.0, 13.0];
        let line = |p: &[f64], out: &mut [f64]| {
            for (i, r) in out.iter_mut().enumerate() {
                *r = p[0] + p[1] * i as f64 - y[i];
            }
        };
        for loss in [Loss::Huber(0.2), Loss::SoftL1(0.2), Loss::Cauchy(0.2)] {
            let options = Options { loss, ..Options::default() };
            let found =
                least_squares(&(7, line), &[0.0, 0.0], &Bounds::open(2), &options).expect("a fit");
            assert!((found.parameters[1] - 2.0).abs() < 0.12, "{loss:?}: {:?}", found.parameters);
        }
        let plain = fit(&(7, line), &[0.0, 0.0], &Bounds::open(2));
        assert!(plain.parameters[1] > 4.0, "least squares is drawn off: {:?}", plain.parameters);
    }

    #[test]
    fn covariance_of_a_line_is_the_textbook_s() {
        // Slope variance s²/Σ(x−x̄)², with x 0..4: s²/10.
        let y = [0.1, 0.9, 2.2, 2.8, 4.1];
        let line = |p: &[f64], out: &mut [f64]| {
            for (i, r) in out.iter_mut().enumerate() {
                *r = p[0] + p[1] * i as f64 - y[i];
            }
        };
        let found = fit(&(5, line), &[0.0, 0.0], &Bounds::open(2));
        let variance = found.residual_variance().expect("three degrees of freedom");
        let covariance = found.covariance(variance).expect("determined");
        assert!((covariance.at(1, 1) - variance / 10.0).abs() < 1e-9, "{covariance:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        #[test]
        fn the_end_is_a_stationary_point_in_the_box(
            centre in prop::collection::vec(-3.0..3.0_f64, 3),
            walls in prop::collection::vec((-2.0..2.0_f64, 0.0..2.0_f64), 3),
            start in prop::collection::vec(-5.0..5.0_f64, 3),
            mix in prop::collection::vec(-1.0..1.0_f64, 12),
            robust in any::<bool>(),
        ) {
            let problem = (4, |p: &[f64], out: &mut [f64]| {
                for (i, r) in out.iter_mut().enumerate() {
                    *r = (0..3).map(|j| {
                        let z = p[j] - centre[j];
                        (mix[4 * j + i] + if i == j { 2.0 } else { 0.0 }) * (z + 0.1 * z * z * z)
                    }).sum::<f64>() + 0.1 * i as f64;
                }
            });
            let bounds = Bounds {
                low: walls.iter().map(|w| w.0).collect(),
                high: walls.iter().map(|w| w.0 + w.1).collect(),
            };
            let loss = if robust { Loss::SoftL1(0.5) } else { Loss::Squares };
            let options = Options { loss, ..Options::default() };
            let found = least_squares(&problem, &start, &bounds, &options).expect("a fit");
            let cost_at = |p: &[f64]| {
                let mut r = [0.0; 4];
                (problem.1)(p, &mut r);
                r.iter().map(|r| loss.cost(*r)).sum::<f64>()
            };
            let moved_in: Vec<f64> = (0..3).map(|j| bounds.clamp(j, start[j])).collect();
            prop_assert!(found.cost <= cost_at(&moved_in), "never worse than the start");
            // A robust loss with all residuals far out is climbed slowly; what ran out of turns says so.
            prop_assume!(found.outcome == Outcome::Converged);
            for j in 0..3 {
                let x = found.parameters[j];
                prop_assert!(x >= bounds.low[j] && x <= bounds.high[j], "in the box: {}", x);
                // The projected gradient vanishes: down the slope is out of the box, or level.
                let h = 1e-6;
                let mut p = found.parameters.clone();
                p[j] = x + h;
                let up = cost_at(&p);
                p[j] = x - h;
                let slope = (up - cost_at(&p)) / (2.0 * h);
                let stays = bounds.clamp(j, x - slope);
                prop_assert!((stays - x).abs() < 1e-5, "{}: slope {} at {}", j, slope, x);
            }
        }
    }
}
