//! A problem to fit: residuals of parameters in a box, and their derivatives by differences where
//! none are known.

use super::Matrix;

/// A problem: residuals as a function of the parameters.
pub trait Residuals {
    /// Number of residuals.
    fn count(&self) -> usize;

    /// Writes the residuals at `parameters`. A value that is not finite rejects the point.
    fn residuals(&self, parameters: &[f64], out: &mut [f64]);

    /// Writes ∂ residual (row) / ∂ parameter (column) and returns `true`, or returns `false` where
    /// no derivative is known, which is then taken by central differences inside the box.
    fn jacobian(&self, parameters: &[f64], out: &mut Matrix) -> bool {
        let _ = (parameters, out);
        false
    }
}

/// A count and a closure are a problem without derivatives.
impl<F: Fn(&[f64], &mut [f64])> Residuals for (usize, F) {
    fn count(&self) -> usize {
        self.0
    }

    fn residuals(&self, parameters: &[f64], out: &mut [f64]) {
        self.1(parameters, out);
    }
}

/// The box that the parameters stay in. Infinite walls are open; equal walls fix a parameter.
#[derive(Debug, Clone, PartialEq)]
pub struct Bounds {
    /// Lowest value of each parameter.
    pub low: Vec<f64>,
    /// Highest value of each parameter.
    pub high: Vec<f64>,
}

impl Bounds {
    /// No walls.
    #[must_use]
    pub fn open(parameters: usize) -> Self {
        Self::all(parameters, f64::NEG_INFINITY, f64::INFINITY)
    }

    /// The same walls for every parameter.
    #[must_use]
    pub fn all(parameters: usize, low: f64, high: f64) -> Self {
        Self { low: vec![low; parameters], high: vec![high; parameters] }
    }

    /// The value nearest to `value` that parameter `j` may take.
    #[must_use]
    pub fn clamp(&self, j: usize, value: f64) -> f64 {
        value.max(self.low[j]).min(self.high[j])
    }

    /// Whether the walls of parameter `j` are numbers in the right order.
    pub(super) fn admits_some(&self, j: usize) -> bool {
        self.low[j] <= self.high[j]
    }
}

/// Writes ∂ residual / ∂ parameter by central differences; at a wall one-sided, of the same order.
pub(super) fn central_differences(
    problem: &impl Residuals,
    bounds: &Bounds,
    x: &[f64],
    residuals: &[f64],
    out: &mut Matrix,
) {
    let m = residuals.len();
    let (mut ahead, mut behind) = (vec![0.0; m], vec![0.0; m]);
    let mut at = x.to_vec();
    for j in 0..x.len() {
        let here = x[j];
        let (low, high) = (bounds.low[j], bounds.high[j]);
        let room = (high - low).min(1.0);
        let wanted = 6e-6 * here.abs().max(1e-6 * room); // ∛ε of its size
        let step = (here + wanted) - here; // exact in binary
        let column = out.column_mut(j);
        if step <= 0.0 {
            column.fill(0.0);
            continue;
        }
        let mut sample = |value: f64, out: &mut [f64]| {
            at[j] = value;
            problem.residuals(&at, out);
            at[j] = here;
        };
        if here + step <= high && here - step >= low {
            sample(here + step, &mut ahead);
            sample(here - step, &mut behind);
            for i in 0..m {
                column[i] = (ahead[i] - behind[i]) / (2.0 * step);
            }
            continue;
        }
        let inward = if here + step > high { -step } else { step };
        let far = bounds.clamp(j, here + 2.0 * inward);
        if (far - here).abs() >= 1.5 * step {
            // The parabola through x, x + h and x + 2h.
            sample(here + inward, &mut ahead);
            sample(here + 2.0 * inward, &mut behind);
            for i in 0..m {
                column[i] = (4.0 * ahead[i] - behind[i] - 3.0 * residuals[i]) / (2.0 * inward);
            }
        } else if (far - here).abs() > 0.0 {
            sample(far, &mut ahead);
            for i in 0..m {
                column[i] = (ahead[i] - residuals[i]) / (far - here);
            }
        } else {
            column.fill(0.0);
        }
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "no picture hangs on a test's last bit")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn differences_find_the_slope_anywhere_in_the_box(
            low in -2.0..2.0_f64, width in 1e-3..3.0_f64, place in 0.0..=1.0_f64, edge in 0..3_u8,
        ) {
            let bounds = Bounds::all(1, low, low + width);
            let x = match edge { 0 => low, 1 => low + width, _ => low + width * place };
            let inside = std::cell::Cell::new(true);
            let problem = (1, |p: &[f64], out: &mut [f64]| {
                inside.set(inside.get() && p[0] >= low && p[0] <= low + width);
                out[0] = (1.3 * p[0]).sin();
            });
            let mut out = Matrix::zeros(1, 1);
            central_differences(&problem, &bounds, &[x], &[(1.3 * x).sin()], &mut out);
            prop_assert!((out.at(0, 0) - 1.3 * (1.3 * x).cos()).abs() < 1e-5, "{}", out.at(0, 0));
            prop_assert!(inside.get(), "the box was left");
        }
    }
}
