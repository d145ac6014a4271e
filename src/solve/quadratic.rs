//! A small convex quadratic programme: the step that a bounded climb may take.
//!
//! Minimise ½pᵀHp + gᵀp subject to p ≥ low and A·p ≤ room, where p = 0 keeps every bound (low ≤ 0,
//! room ≥ 0) and H is positive definite. Solved by a primal active-set method (J. Nocedal, S. J. Wright,
//! *Numerical Optimization*, 2nd ed., §16.5): from p = 0 along descents that never leave the bounds,
//! so that even an answer cut short is allowed and no worse than standing still. Everything lives on
//! the stack.

#![expect(
    clippy::needless_range_loop,
    reason = "indices of rows and columns read as in the formulas"
)]

/// A quadratic programme of N unknowns under M inequalities.
#[derive(Debug, Clone)]
pub struct Quadratic<'a, const N: usize, const M: usize> {
    /// H, symmetric positive definite; all of it is read.
    pub curvature: &'a [[f64; N]; N],
    /// g.
    pub slope: &'a [f64; N],
    /// Least value of each unknown, at most 0.
    pub low: &'a [f64; N],
    /// A, a row an inequality.
    pub rows: &'a [[f64; N]; M],
    /// What each row has left, at least 0; infinite for a row that does not count.
    pub room: &'a [f64; M],
}

/// What counts as no move, relative to the unknowns' own size.
const STILL: f64 = 1e-13;

impl<const N: usize, const M: usize> Quadratic<'_, N, M> {
    /// The step. Within bounds to rounding.
    #[must_use]
    pub fn step(&self) -> [f64; N] {
        let mut p = [0.0; N];
        let mut held = [false; N];
        let mut tight = [false; M];
        // A problem this small ends within a few changes of the working set; degenerate ones stop here.
        for _ in 0..4 * (N + M) + 8 {
            let Some((wanted, pull)) = self.within(&held, &tight) else { break };
            let mut moved = 0.0_f64;
            let mut size = 0.0_f64;
            for at in 0..N {
                moved = moved.max((wanted[at] - p[at]).abs());
                size = size.max(wanted[at].abs());
            }
            if moved <= STILL * (1.0 + size) {
                if !self.released(&p, &pull, &mut held, &mut tight) {
                    break;
                }
                continue;
            }
            self.walk(&mut p, &wanted, &mut held, &mut tight);
        }
        p
    }

    /// Goes from `p` towards `wanted` as far as the first bound in the way, which joins the working
    /// set.
    fn walk(
        &self,
        p: &mut [f64; N],
        wanted: &[f64; N],
        held: &mut [bool; N],
        tight: &mut [bool; M],
    ) {
        let mut share = 1.0;
        let mut stop = None;
        for at in 0..N {
            let move_by = wanted[at] - p[at];
            if !held[at] && move_by < 0.0 {
                let reach = ((self.low[at] - p[at]) / move_by).max(0.0);
                if reach < share {
                    (share, stop) = (reach, Some((at, true)));
                }
            }
        }
        for row in 0..M {
            if tight[row] || self.room[row] == f64::INFINITY {
                continue;
            }
            let (mut used, mut more) = (0.0, 0.0);
            for at in 0..N {
                used += self.rows[row][at] * p[at];
                more += self.rows[row][at] * (wanted[at] - p[at]);
            }
            if more > 0.0 {
                let reach = ((self.room[row] - used) / more).max(0.0);
                if reach < share {
                    (share, stop) = (reach, Some((row, false)));
                }
            }
        }
        for at in 0..N {
            p[at] += share * (wanted[at] - p[at]);
        }
        match stop {
            Some((at, true)) => {
                held[at] = true;
                p[at] = self.low[at];
            }
            Some((row, false)) => tight[row] = true,
            None => {}
        }
    }

    /// Frees the bound that pulls hardest the wrong way; false when none does.
    fn released(
        &self,
        p: &[f64; N],
        pull: &[f64; M],
        held: &mut [bool; N],
        tight: &mut [bool; M],
    ) -> bool {
        let mut worst = -1e-12;
        let mut which = None;
        for at in 0..N {
            if held[at] {
                let mut slope = self.slope[at];
                for other in 0..N {
                    slope += self.curvature[at][other] * p[other];
                }
                for row in 0..M {
                    if tight[row] {
                        slope += self.rows[row][at] * pull[row];
                    }
                }
                if slope < worst {
                    (worst, which) = (slope, Some((at, true)));
                }
            }
        }
        for row in 0..M {
            if tight[row] && pull[row] < worst {
                (worst, which) = (pull[row], Some((row, false)));
            }
        }
        match which {
            Some((at, true)) => held[at] = false,
            Some((row, false)) => tight[row] = false,
            None => return false,
        }
        true
    }

    /// The minimum with the working set as equations, and the rows' multipliers. `None` when H is
    /// not positive definite.
    fn within(&self, held: &[bool; N], tight: &[bool; M]) -> Option<([f64; N], [f64; M])> {
        let factor = cholesky(self.curvature, held)?;
        // Free unknowns without the rows: H_ff·p = −g − H_fc·low.
        let mut free = [0.0; N];
        for at in 0..N {
            if held[at] {
                continue;
            }
            free[at] = -self.slope[at];
            for other in 0..N {
                if held[other] {
                    free[at] -= self.curvature[at][other] * self.low[other];
                }
            }
        }
        solve_factored(&factor, &mut free);
        let mut pull = [0.0; M];
        if tight.iter().any(|tight| *tight) {
            let mut through = [[0.0; N]; M];
            for row in 0..M {
                if tight[row] {
                    for at in 0..N {
                        if !held[at] {
                            through[row][at] = self.rows[row][at];
                        }
                    }
                    solve_factored(&factor, &mut through[row]);
                }
            }
            let mut dense = [[0.0; M]; M];
            let mut over = [0.0; M];
            for row in 0..M {
                if !tight[row] {
                    dense[row][row] = 1.0;
                    continue;
                }
                over[row] = -self.room[row];
                for at in 0..N {
                    let weight = self.rows[row][at];
                    over[row] += weight * if held[at] { self.low[at] } else { free[at] };
                    if !held[at] {
                        for other in 0..M {
                            if tight[other] {
                                dense[row][other] += weight * through[other][at];
                            }
                        }
                    }
                }
                // Rows that say the same share their pull.
                dense[row][row] *= 1.0 + 1e-12;
                dense[row][row] += 1e-300;
            }
            let factor = cholesky(&dense, &[false; M])?;
            solve_factored(&factor, &mut over);
            pull = over;
            for row in 0..M {
                if tight[row] {
                    for at in 0..N {
                        free[at] -= through[row][at] * pull[row];
                    }
                }
            }
        }
        for at in 0..N {
            if held[at] {
                free[at] = self.low[at];
            }
        }
        Some((free, pull))
    }
}

/// The lower factor of a symmetric positive definite matrix, rows and columns of `left_out` those of
/// the unit matrix.
fn cholesky<const N: usize>(matrix: &[[f64; N]; N], left_out: &[bool; N]) -> Option<[[f64; N]; N]> {
    let mut lower = [[0.0; N]; N];
    for row in 0..N {
        if left_out[row] {
            lower[row][row] = 1.0;
            continue;
        }
        for column in 0..=row {
            if left_out[column] {
                continue;
            }
            let mut sum = matrix[row][column];
            for k in 0..column {
                sum -= lower[row][k] * lower[column][k];
            }
            if row == column {
                let positive = sum > 0.0 && sum.is_finite();
                if !positive {
                    return None;
                }
                lower[row][row] = libm::sqrt(sum);
            } else {
                lower[row][column] = sum / lower[column][column];
            }
        }
    }
    Some(lower)
}

fn solve_factored<const N: usize>(lower: &[[f64; N]; N], x: &mut [f64; N]) {
    for row in 0..N {
        for k in 0..row {
            x[row] -= lower[row][k] * x[k];
        }
        x[row] /= lower[row][row];
    }
    for row in (0..N).rev() {
        for k in row + 1..N {
            x[row] -= lower[k][row] * x[k];
        }
        x[row] /= lower[row][row];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn without_bounds_in_the_way_it_is_newton() {
        let h = [[2.0, 0.5], [0.5, 1.0]];
        let step = Quadratic {
            curvature: &h,
            slope: &[-1.0, -1.0],
            low: &[-9.0, -9.0],
            rows: &[[1.0, 1.0]],
            room: &[9.0],
        }
        .step();
        // H·p = (1, 1): p = (2/7, 6/7).
        assert!((step[0] - 2.0 / 7.0).abs() < 1e-12 && (step[1] - 6.0 / 7.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_step_keeps_bounds_and_conditions_of_the_optimum(
            a in prop::array::uniform16(-1.0..1.0_f64),
            slope in prop::array::uniform4(-2.0..2.0_f64),
            low in prop::array::uniform4(-0.5..=0.0_f64),
            rows in prop::array::uniform12(-0.3..1.0_f64),
            room in prop::array::uniform3(0.0..0.6_f64),
        ) {
            let mut h = [[0.0; 4]; 4];
            for i in 0..4 {
                for j in 0..4 {
                    h[i][j] = (0..4).map(|k| a[4 * k + i] * a[4 * k + j]).sum();
                }
                h[i][i] += 0.05;
            }
            let rows = [0, 1, 2].map(|r| [0, 1, 2, 3].map(|c| rows[4 * r + c]));
            let problem =
                Quadratic { curvature: &h, slope: &slope, low: &low, rows: &rows, room: &room };
            let p = problem.step();
            let dot = |row: &[f64; 4], p: &[f64; 4]| row.iter().zip(p).map(|(a, b)| a * b).sum::<f64>();
            for at in 0..4 {
                prop_assert!(p[at] >= low[at] - 1e-9);
            }
            for row in 0..3 {
                prop_assert!(dot(&rows[row], &p) <= room[row] + 1e-9);
            }
            // No allowed direction from p descends: sampled on a lattice of directions.
            let value = |p: &[f64; 4]| {
                (0..4).map(|i| p[i] * (slope[i] + 0.5 * dot(&h[i], p))).sum::<f64>()
            };
            let here = value(&p);
            for code in 0..81_u32 {
                let mut q = p;
                let mut rest = code;
                for x in &mut q {
                    *x += 1e-3 * (f64::from(rest % 3) - 1.0);
                    rest /= 3;
                }
                let allowed = (0..4).all(|at| q[at] >= low[at])
                    && (0..3).all(|row| dot(&rows[row], &q) <= room[row]);
                prop_assert!(!allowed || value(&q) >= here - 1e-10, "{} below {}", value(&q), here);
            }
        }
    }
}
