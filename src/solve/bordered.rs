//! Linear systems with a band along the diagonal and a dense border: what a fit gives whose
//! parameters are mostly local (one band of the spectrum and its neighbours) with a few that touch
//! everything.
//!
//! ```text
//! ⎡ A  B ⎤   A: symmetric, zero beyond `half_width` from the diagonal
//! ⎣ Bᵀ C ⎦   B, C: dense, few columns
//! ```
//!
//! Solved by the Cholesky factor of A, which stays within its band, and the Schur complement
//! C − BᵀA⁻¹B (G. Golub, C. Van Loan, *Matrix Computations*, 4.3.5 and 3.2.11). Cost: n·w², w the half width,
//! for the band, n·w for each column of the border.

use super::dense::{Cholesky, Matrix};

/// A symmetric matrix of that form; only its lower triangle is kept.
#[derive(Debug, Clone)]
pub struct Bordered {
    band: Band,
    /// n by border, row by row.
    side: Vec<f64>,
    corner: Matrix,
}

/// The lower triangle of a banded matrix, row by row, the diagonal last in each row.
#[derive(Debug, Clone)]
struct Band {
    size: usize,
    half_width: usize,
    entries: Vec<f64>,
}

impl Bordered {
    /// All zeros: `size` unknowns in the band, `border` beside it.
    #[must_use]
    pub fn zeros(size: usize, half_width: usize, border: usize) -> Self {
        Self {
            band: Band { size, half_width, entries: vec![0.0; size * (half_width + 1)] },
            side: vec![0.0; size * border],
            corner: Matrix::zeros(border, border),
        }
    }

    /// Unknowns in the border.
    fn border(&self) -> usize {
        self.corner.columns()
    }

    /// Adds to the entry of the band at `row` and `column`, `column` ≤ `row`. An entry outside the
    /// lower half of the band is left out.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        if let Some(at) = self.band.place(row, column) {
            self.band.entries[at] += value;
        }
    }

    /// The row of the border beside unknown `row` of the band, to add to.
    pub fn side_mut(&mut self, row: usize) -> &mut [f64] {
        let border = self.border();
        &mut self.side[row * border..(row + 1) * border]
    }

    /// Adds to both entries of the corner at `row` and `column` (to one on its diagonal).
    pub fn add_corner(&mut self, row: usize, column: usize, value: f64) {
        self.corner.set(row, column, self.corner.at(row, column) + value);
        if row != column {
            self.corner.set(column, row, self.corner.at(row, column));
        }
    }

    /// The matrix with its diagonal multiplied by `1 + damping`: what Levenberg and Marquardt solve.
    #[must_use]
    pub fn damped(&self, damping: f64) -> Self {
        let mut damped = self.clone();
        for row in 0..damped.band.size {
            let at = row * (damped.band.half_width + 1) + damped.band.half_width;
            damped.band.entries[at] *= 1.0 + damping;
        }
        for i in 0..damped.border() {
            damped.corner.set(i, i, damped.corner.at(i, i) * (1.0 + damping));
        }
        damped
    }

    /// Factorises. `None` if the matrix is not positive definite.
    #[must_use]
    pub fn root(self) -> Option<BorderedRoot> {
        let border = self.border();
        let Self { mut band, side, mut corner } = self;
        band.factorise()?;
        let mut reached = Vec::with_capacity(border);
        for column in 0..border {
            let mut x: Vec<f64> = side.iter().skip(column).step_by(border).copied().collect();
            band.solve(&mut x);
            reached.push(x);
        }
        for (row, solved) in reached.iter().enumerate() {
            for column in 0..=row {
                let sum: f64 =
                    side.iter().skip(column).step_by(border).zip(solved).map(|(b, x)| b * x).sum();
                let entry = corner.at(row, column) - sum;
                corner.set(row, column, entry);
                corner.set(column, row, entry);
            }
        }
        let complement = if border == 0 { None } else { Some(Cholesky::of(&corner)?) };
        Some(BorderedRoot { band, side, reached, complement })
    }
}

/// The factors of a [`Bordered`] matrix.
#[derive(Debug, Clone)]
pub struct BorderedRoot {
    band: Band,
    side: Vec<f64>,
    /// A⁻¹B, a column an entry.
    reached: Vec<Vec<f64>>,
    complement: Option<Cholesky>,
}

impl BorderedRoot {
    /// The solution: of the band's unknowns, and of the border's.
    #[must_use]
    pub fn solve(&self, band_side: &[f64], border_side: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let border = self.reached.len();
        let mut x = band_side.to_vec();
        self.band.solve(&mut x);
        let Some(complement) = &self.complement else {
            return (x, Vec::new());
        };
        let mut below = border_side.to_vec();
        for (column, entry) in below.iter_mut().enumerate() {
            let seen = self.side.iter().skip(column).step_by(border);
            *entry -= seen.zip(&x).map(|(b, x)| b * x).sum::<f64>();
        }
        let y = complement.solve(&below);
        for (reached, y) in self.reached.iter().zip(&y) {
            for (x, r) in x.iter_mut().zip(reached) {
                *x -= r * y;
            }
        }
        (x, y)
    }

    /// The diagonal of the inverse: of the band's unknowns, and of the border's.
    #[must_use]
    pub fn inverse_diagonal(&self) -> (Vec<f64>, Vec<f64>) {
        let size = self.band.size;
        let inner = self.complement.as_ref().map(Cholesky::inverse);
        let mut diagonal = Vec::with_capacity(size);
        let mut unit = vec![0.0; size];
        for row in 0..size {
            unit.fill(0.0);
            unit[row] = 1.0;
            // (A⁻¹)ᵢᵢ = |L⁻¹eᵢ|², and L⁻¹eᵢ is zero above i.
            self.band.forward(&mut unit, row);
            let mut sum: f64 = unit[row..].iter().map(|v| v * v).sum();
            if let Some(inner) = &inner {
                for (i, one) in self.reached.iter().enumerate() {
                    for (j, two) in self.reached.iter().enumerate() {
                        sum += one[row] * inner.at(i, j) * two[row];
                    }
                }
            }
            diagonal.push(sum);
        }
        let of_border =
            inner.map_or_else(Vec::new, |m| (0..self.reached.len()).map(|i| m.at(i, i)).collect());
        (diagonal, of_border)
    }
}

impl Band {
    fn place(&self, row: usize, column: usize) -> Option<usize> {
        let inside = row < self.size && column <= row && row - column <= self.half_width;
        inside.then(|| row * (self.half_width + 1) + self.half_width + column - row)
    }

    /// First column of a row that lies within the band.
    fn first(&self, row: usize) -> usize {
        row.saturating_sub(self.half_width)
    }

    /// The entries of a row from `first` up to, not including, `end`.
    fn row(&self, row: usize, first: usize, end: usize) -> &[f64] {
        let base = row * (self.half_width + 1) + self.half_width;
        &self.entries[base + first - row..base + end - row]
    }

    fn diagonal(&self, row: usize) -> f64 {
        self.entries[row * (self.half_width + 1) + self.half_width]
    }

    fn factorise(&mut self) -> Option<()> {
        for i in 0..self.size {
            for j in self.first(i)..=i {
                let from = self.first(i).max(self.first(j));
                let done = dot(self.row(i, from, j), self.row(j, from, j));
                let at = i * (self.half_width + 1) + self.half_width + j - i;
                let rest = self.entries[at] - done;
                self.entries[at] = if i == j {
                    if !(rest > 0.0 && rest.is_finite()) {
                        return None;
                    }
                    libm::sqrt(rest)
                } else {
                    rest / self.diagonal(j)
                };
            }
        }
        Some(())
    }

    /// Lx = b in place; b is zero above `start`.
    fn forward(&self, x: &mut [f64], start: usize) {
        for i in start..self.size {
            let from = self.first(i).max(start);
            let done = dot(self.row(i, from, i), &x[from..i]);
            x[i] = (x[i] - done) / self.diagonal(i);
        }
    }

    /// `LLᵀx` = b in place.
    fn solve(&self, x: &mut [f64]) {
        self.forward(x, 0);
        for i in (0..self.size).rev() {
            let value = x[i] / self.diagonal(i);
            x[i] = value;
            let from = self.first(i);
            for (x, entry) in x[from..i].iter_mut().zip(self.row(i, from, i)) {
                *x -= entry * value;
            }
        }
    }
}

/// Sum of products in four running sums, so that the order is one and the machine may overlap them.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (whole, rest) = (a.chunks_exact(4), a.chunks_exact(4).remainder());
    let mut sums = [0.0; 4];
    for (a, b) in whole.zip(b.chunks_exact(4)) {
        for lane in 0..4 {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let tail: f64 = rest.iter().zip(&b[a.len() - rest.len()..]).map(|(a, b)| a * b).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + tail
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SIZE: usize = 11;
    const HALF: usize = 3;
    const BORDER: usize = 2;

    /// A matrix of the form from `JᵀJ` of a banded J with a border, and the same as a dense one.
    fn both(numbers: &[f64]) -> (Bordered, Matrix) {
        let mut form = Bordered::zeros(SIZE, HALF, BORDER);
        let mut dense = Matrix::zeros(SIZE + BORDER, SIZE + BORDER);
        let mut numbers = numbers.iter().cycle();
        let mut next = || numbers.next().copied().unwrap_or(0.0);
        for i in 0..SIZE {
            let window: Vec<(usize, f64)> = (i.saturating_sub(HALF)..=i)
                .map(|j| (j, next() + f64::from(i == j) * 3.0))
                .collect();
            let side = [next(), next()];
            for &(a, va) in &window {
                for &(b, vb) in &window {
                    if b <= a {
                        form.add(a, b, va * vb);
                    }
                    dense.set(a, b, dense.at(a, b) + va * vb);
                }
                for (g, vg) in side.iter().enumerate() {
                    form.side_mut(a)[g] += va * vg;
                    dense.set(a, SIZE + g, dense.at(a, SIZE + g) + va * vg);
                    dense.set(SIZE + g, a, dense.at(a, SIZE + g));
                }
            }
            for g in 0..BORDER {
                for h in 0..=g {
                    let value = side[g] * side[h] + f64::from(u8::from(g == h));
                    form.add_corner(g, h, value);
                    dense.set(SIZE + g, SIZE + h, dense.at(SIZE + g, SIZE + h) + value);
                    if g != h {
                        dense.set(SIZE + h, SIZE + g, dense.at(SIZE + h, SIZE + g) + value);
                    }
                }
            }
        }
        (form, dense)
    }

    proptest! {
        #[test]
        fn it_solves_what_the_dense_solver_solves(
            numbers in proptest::collection::vec(-1.0..1.0_f64, 67),
            right in proptest::collection::vec(-5.0..5.0_f64, SIZE + BORDER),
        ) {
            let (form, dense) = both(&numbers);
            let root = form.root().unwrap();
            let (x, y) = root.solve(&right[..SIZE], &right[SIZE..]);
            let plain = Cholesky::of(&dense).unwrap();
            let expected = plain.solve(&right);
            for (got, want) in x.iter().chain(&y).zip(&expected) {
                prop_assert!((got - want).abs() < 1e-9, "{got} against {want}");
            }
            let inverse = plain.inverse();
            let (band, border) = root.inverse_diagonal();
            for (i, got) in band.iter().chain(&border).enumerate() {
                prop_assert!((got - inverse.at(i, i)).abs() < 1e-9, "{i}: {got}");
            }
        }
    }

    #[test]
    fn an_indefinite_matrix_has_no_root() {
        let mut form = Bordered::zeros(2, 1, 0);
        form.add(0, 0, 1.0);
        form.add(1, 0, 2.0);
        form.add(1, 1, 1.0);
        assert!(form.root().is_none(), "eigenvalues 3 and −1");
    }
}
