//! What a residual costs: squares, or less where outliers are to be expected.

/// Cost of a residual r, as ½c²ρ((r/c)²) with the scale c beyond which a residual is taken for an
/// outlier. Small residuals cost ½r² under each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// ρ(z) = z: least squares.
    Squares,
    /// ρ(z) = z up to 1, 2√z − 1 beyond (Huber 1964): outliers pull with a constant force.
    Huber(f64),
    /// ρ(z) = 2(√(1+z) − 1): Huber's, without the corner.
    SoftL1(f64),
    /// ρ(z) = ln(1+z): far outliers hardly pull. May have several minima.
    Cauchy(f64),
}

impl Loss {
    /// Cost of one residual.
    #[must_use]
    pub fn cost(self, residual: f64) -> f64 {
        let (scale, rho) = match self {
            Self::Squares => return 0.5 * residual * residual,
            Self::Huber(c) => {
                let z = square(residual / c);
                (c, if z <= 1.0 { z } else { 2.0 * libm::sqrt(z) - 1.0 })
            }
            Self::SoftL1(c) => {
                let z = square(residual / c);
                // z/(1+√(1+z))·2, which does not cancel for small z.
                (c, 2.0 * z / (1.0 + libm::sqrt(1.0 + z)))
            }
            Self::Cauchy(c) => (c, libm::log1p(square(residual / c))),
        };
        0.5 * scale * scale * rho
    }

    /// Weight ρ′ of one residual, 0–1: the derivative of [`Self::cost`] is weight × residual.
    #[must_use]
    pub fn weight(self, residual: f64) -> f64 {
        match self {
            Self::Squares => 1.0,
            Self::Huber(c) => {
                let z = square(residual / c);
                if z <= 1.0 { 1.0 } else { 1.0 / libm::sqrt(z) }
            }
            Self::SoftL1(c) => 1.0 / libm::sqrt(1.0 + square(residual / c)),
            Self::Cauchy(c) => 1.0 / (1.0 + square(residual / c)),
        }
    }
}

fn square(x: f64) -> f64 {
    x * x
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn small_residuals_cost_their_square() {
        for loss in [Loss::Squares, Loss::Huber(2.0), Loss::SoftL1(2.0), Loss::Cauchy(2.0)] {
            assert!((loss.cost(1e-4) / 0.5e-8 - 1.0).abs() < 1e-8, "{loss:?}");
        }
    }

    proptest! {
        #[test]
        fn the_weight_is_the_slope(r in -9.0..9.0_f64, c in 0.1..3.0_f64) {
            for loss in [Loss::Squares, Loss::Huber(c), Loss::SoftL1(c), Loss::Cauchy(c)] {
                let step = 1e-5;
                let slope = (loss.cost(r + step) - loss.cost(r - step)) / (2.0 * step);
                prop_assert!((slope - loss.weight(r) * r).abs() < 1e-4, "{:?} at {}", loss, r);
                prop_assert!(loss.cost(r) <= Loss::Squares.cost(r) + 1e-12, "never more: {:?}", loss);
            }
        }
    }
}
