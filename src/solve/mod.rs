//! Numbers found by search: bounded non-linear least squares, and roots and minima of one variable.
//!
//! Main types: [`Residuals`] (the problem), [`least_squares`] (the solver), [`Fit`] (the answer with
//! what is needed to judge it). Deterministic: no random restarts, no clock; the same call gives the
//! same bits.
//!
//! | want | use |
//! |---|---|
//! | parameters in a box from many readings | [`least_squares`] |
//! | outliers among the readings | the same, with a [`Loss`] other than [`Loss::Squares`] |
//! | doubt of the parameters | [`Fit::covariance`] |
//! | many local unknowns with a few shared ones | [`Bordered`] equations |
//! | where a condition starts to hold | [`crossing`] |
//! | where a function passes zero | [`bracketed_root`] |
//! | the lowest point of one valley | [`golden_minimum`] |
//! | a step under linear inequalities, on the stack | [`Quadratic`] |
//!
//! Sources: D. W. Marquardt, J. SIAM 11, 431 (1963); J. J. Moré, *The Levenberg–Marquardt algorithm*,
//! Lecture Notes in Mathematics 630 (1978), for the scaling and the tests of convergence; H. B.
//! Nielsen, *Damping parameter in Marquardt's method*, IMM-REP-1999-05, for the damping; G. Golub, C.
//! Van Loan, *Matrix Computations*, for the factorisations.

mod bordered;
mod dense;
mod fit;
mod least_squares;
mod loss;
mod problem;
mod quadratic;
mod search;

pub use bordered::{Bordered, BorderedRoot};
pub use dense::{Cholesky, Matrix, Qr};
pub use fit::{Fit, Outcome};
pub use least_squares::{Options, SolveError, least_squares};
pub use loss::Loss;
pub use problem::{Bounds, Residuals};
pub use quadratic::Quadratic;
pub use search::{bracketed_root, crossing, golden_minimum};
