//! The answer of a fit, and the doubt that it carries.

use super::dense::{Matrix, Qr};

/// Why a fit ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// One of the tolerances was met.
    Converged,
    /// No step lowers the cost any more, though the gradient has not vanished: the limit of rounding,
    /// or a derivative that is wrong.
    Stalled,
    /// The turns ran out.
    TurnsRanOut,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The parameters, inside the box.
    pub parameters: Vec<f64>,
    /// Residuals there, as the problem gives them.
    pub residuals: Vec<f64>,
    /// Jacobian there, rows weighted by the square root of [`Loss::weight`](super::Loss::weight).
    pub jacobian: Matrix,
    /// Sum of [`Loss::cost`](super::Loss::cost) over the residuals; half the sum of squares under [`Loss::Squares`](super::Loss::Squares).
    pub cost: f64,
    /// For each parameter whether it is held by a wall: fixed, or pressed outwards.
    pub held: Vec<bool>,
    /// Turns taken.
    pub turns: usize,
    /// Why it ended.
    pub outcome: Outcome,
}

impl Fit {
    /// Number of parameters not held by a wall.
    #[must_use]
    pub fn free(&self) -> usize {
        self.held.iter().filter(|held| !**held).count()
    }

    /// Variance of one residual as the fit leaves it: twice the cost by the degrees of freedom.
    /// `None` when there are no more residuals than free parameters.
    #[must_use]
    pub fn residual_variance(&self) -> Option<f64> {
        let degrees = self.residuals.len().checked_sub(self.free()).filter(|d| *d > 0)?;
        #[expect(clippy::cast_precision_loss, reason = "a count of readings is small")]
        let degrees = degrees as f64;
        Some(2.0 * self.cost / degrees)
    }

    /// Covariance of the parameters for residuals of this variance: (JᵀJ)⁻¹·variance over the free
    /// parameters, 0 for held ones. `None` where the readings do not determine the free parameters.
    ///
    /// Valid as far as the problem is linear across the doubt; under a robust loss an approximation.
    #[must_use]
    pub fn covariance(&self, variance: f64) -> Option<Matrix> {
        let n = self.parameters.len();
        let free: Vec<usize> = (0..n).filter(|j| !self.held[*j]).collect();
        let mut reduced = Matrix::zeros(self.jacobian.rows(), free.len());
        for (to, from) in free.iter().enumerate() {
            reduced.column_mut(to).copy_from_slice(self.jacobian.column(*from));
        }
        let inverse = Qr::of(&reduced).inverse_gram()?;
        let mut out = Matrix::zeros(n, n);
        for (a, i) in free.iter().enumerate() {
            for (b, j) in free.iter().enumerate() {
                out.set(*i, *j, inverse.at(a, b) * variance);
            }
        }
        Some(out)
    }
}
