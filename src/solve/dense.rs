//! Small dense matrices: Householder QR for least squares, Cholesky for covariances.
//!
//! Our own, because the problems here have at most some dozens of unknowns and a general library
//! would be the slowest crate of the build.

/// A matrix, stored column by column.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    rows: usize,
    columns: usize,
    data: Vec<f64>,
}

impl Matrix {
    /// All zeros.
    #[must_use]
    pub fn zeros(rows: usize, columns: usize) -> Self {
        Self { rows, columns, data: vec![0.0; rows * columns] }
    }

    /// Number of rows.
    #[must_use]
    pub const fn rows(&self) -> usize {
        self.rows
    }

    /// Number of columns.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.columns
    }

    /// One entry; row and column must lie inside the matrix.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> f64 {
        self.data[column * self.rows + row]
    }

    /// Sets one entry; row and column must lie inside the matrix.
    pub fn set(&mut self, row: usize, column: usize, value: f64) {
        self.data[column * self.rows + row] = value;
    }

    /// A column.
    #[must_use]
    pub fn column(&self, column: usize) -> &[f64] {
        &self.data[column * self.rows..(column + 1) * self.rows]
    }

    /// A column, to be written.
    pub fn column_mut(&mut self, column: usize) -> &mut [f64] {
        &mut self.data[column * self.rows..(column + 1) * self.rows]
    }

    /// Matrix times vector; entries beyond the number of columns are ignored.
    #[must_use]
    pub fn times(&self, vector: &[f64]) -> Vec<f64> {
        let mut out = vec![0.0; self.rows];
        for (column, x) in (0..self.columns).zip(vector) {
            for (sum, entry) in out.iter_mut().zip(self.column(column)) {
                *sum += entry * x;
            }
        }
        out
    }

    /// Transposed matrix times vector.
    #[must_use]
    pub fn transposed_times(&self, vector: &[f64]) -> Vec<f64> {
        (0..self.columns).map(|column| dot(self.column(column), vector)).collect()
    }

    /// The transposed matrix times the matrix.
    #[must_use]
    pub fn gram(&self) -> Self {
        let mut out = Self::zeros(self.columns, self.columns);
        for i in 0..self.columns {
            for j in 0..=i {
                let entry = dot(self.column(i), self.column(j));
                out.set(i, j, entry);
                out.set(j, i, entry);
            }
        }
        out
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Length of a vector without overflow.
pub(super) fn norm(a: &[f64]) -> f64 {
    let largest = a.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
    if largest == 0.0 || !largest.is_finite() {
        return largest;
    }
    largest * libm::sqrt(a.iter().map(|x| (x / largest) * (x / largest)).sum())
}

/// A = QR by Householder reflections (Golub and Van Loan, §5.2). Taller than wide, or padded with
/// rows of zeros to be so.
#[derive(Debug, Clone)]
pub struct Qr {
    /// R above and on the diagonal, the reflectors' tails below it.
    factors: Matrix,
    /// 2/vᵀv of each reflector, whose head is 1; 0 where there was nothing to reflect.
    betas: Vec<f64>,
}

impl Qr {
    /// Factorises a matrix.
    #[must_use]
    pub fn of(matrix: &Matrix) -> Self {
        let (rows, columns) = (matrix.rows.max(matrix.columns), matrix.columns);
        let mut a = Matrix::zeros(rows, columns);
        for j in 0..columns {
            a.column_mut(j)[..matrix.rows].copy_from_slice(matrix.column(j));
        }
        let mut betas = vec![0.0; columns];
        for (j, beta) in betas.iter_mut().enumerate() {
            let (done, rest) = a.data.split_at_mut((j + 1) * rows);
            let reflector = &mut done[j * rows + j..];
            let length = norm(reflector);
            if length == 0.0 || !length.is_finite() {
                continue;
            }
            // The sign that adds, so that the head does not cancel.
            let turned = if reflector[0] > 0.0 { -length } else { length };
            let head = reflector[0] - turned;
            for tail in &mut reflector[1..] {
                *tail /= head;
            }
            *beta = -head / turned;
            reflector[0] = turned;
            for column in rest.chunks_exact_mut(rows) {
                reflect(&reflector[1..], *beta, &mut column[j..]);
            }
        }
        Self { factors: a, betas }
    }

    /// Qᵀ times a vector, as many entries as the factorised matrix has (padded) rows.
    #[must_use]
    pub fn transposed_q_times(&self, vector: &[f64]) -> Vec<f64> {
        let mut out = vec![0.0; self.factors.rows];
        for (to, from) in out.iter_mut().zip(vector) {
            *to = *from;
        }
        for (j, beta) in self.betas.iter().enumerate() {
            reflect(&self.factors.column(j)[j + 1..], *beta, &mut out[j..]);
        }
        out
    }

    /// R, square.
    #[must_use]
    pub fn r(&self) -> Matrix {
        let n = self.factors.columns;
        let mut r = Matrix::zeros(n, n);
        for j in 0..n {
            r.column_mut(j)[..=j].copy_from_slice(&self.factors.column(j)[..=j]);
        }
        r
    }

    /// The x that makes |Ax − b| least, or `None` where columns depend on one another.
    #[must_use]
    pub fn solve(&self, b: &[f64]) -> Option<Vec<f64>> {
        let n = self.factors.columns;
        let mut x = self.transposed_q_times(b);
        x.truncate(n);
        for j in (0..n).rev() {
            let pivot = self.pivot(j)?;
            x[j] /= pivot;
            let (above, solved) = x.split_at_mut(j);
            for (sum, entry) in above.iter_mut().zip(self.factors.column(j)) {
                *sum -= entry * solved[0];
            }
        }
        Some(x)
    }

    /// (AᵀA)⁻¹ = R⁻¹R⁻ᵀ, or `None` where columns depend on one another.
    #[must_use]
    pub fn inverse_gram(&self) -> Option<Matrix> {
        let n = self.factors.columns;
        let mut inverse = Matrix::zeros(n, n);
        for unit in 0..n {
            let x = inverse.column_mut(unit);
            x[unit] = 1.0;
            for j in (0..=unit).rev() {
                let pivot = self.pivot(j)?;
                x[j] /= pivot;
                let solved = x[j];
                for (sum, entry) in x[..j].iter_mut().zip(self.factors.column(j)) {
                    *sum -= entry * solved;
                }
            }
        }
        let mut out = Matrix::zeros(n, n);
        for i in 0..n {
            for j in 0..=i {
                // Row i of R⁻¹ by row j: both start at the larger of the two columns.
                let sum: f64 = (i..n).map(|c| inverse.at(i, c) * inverse.at(j, c)).sum();
                out.set(i, j, sum);
                out.set(j, i, sum);
            }
        }
        Some(out)
    }

    /// A diagonal entry of R, or `None` where it is lost in the rounding of its column.
    fn pivot(&self, j: usize) -> Option<f64> {
        let column = &self.factors.column(j)[..=j];
        let pivot = column[j];
        (pivot.abs() > 1e-14 * norm(column)).then_some(pivot)
    }
}

/// Applies I − βvvᵀ, v = (1, tail), to a vector.
fn reflect(tail: &[f64], beta: f64, vector: &mut [f64]) {
    if let Some((head, rest)) = vector.split_first_mut() {
        let along = beta * (*head + dot(tail, rest));
        *head -= along;
        for (entry, v) in rest.iter_mut().zip(tail) {
            *entry -= along * v;
        }
    }
}

/// The triangular root L of a symmetric positive definite matrix: A is L times its transpose.
#[derive(Debug, Clone)]
pub struct Cholesky {
    lower: Matrix,
}

impl Cholesky {
    /// Factorises; reads the lower triangle. `None` if the matrix is not square or not positive
    /// definite.
    #[must_use]
    pub fn of(matrix: &Matrix) -> Option<Self> {
        if matrix.rows != matrix.columns {
            return None;
        }
        let n = matrix.rows;
        let mut lower = matrix.clone();
        for j in 0..n {
            let (done, rest) = lower.data.split_at_mut(j * n);
            let column = &mut rest[..n];
            column[..j].fill(0.0);
            for earlier in done.chunks_exact(n) {
                let factor = earlier[j];
                for (entry, other) in column[j..].iter_mut().zip(&earlier[j..]) {
                    *entry -= factor * other;
                }
            }
            let pivot = column[j];
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            let root = libm::sqrt(pivot);
            for entry in &mut column[j..] {
                *entry /= root;
            }
        }
        Some(Self { lower })
    }

    /// L⁻¹b, in place: errors b of covariance A become independent and of variance 1.
    pub fn whiten(&self, b: &mut [f64]) {
        for j in 0..self.lower.rows.min(b.len()) {
            b[j] /= self.lower.at(j, j);
            let (solved, below) = b.split_at_mut(j + 1);
            for (sum, entry) in below.iter_mut().zip(&self.lower.column(j)[j + 1..]) {
                *sum -= entry * solved[j];
            }
        }
    }

    /// The x with Ax = b.
    #[must_use]
    pub fn solve(&self, b: &[f64]) -> Vec<f64> {
        let n = self.lower.rows;
        let mut x = vec![0.0; n];
        for (to, from) in x.iter_mut().zip(b) {
            *to = *from;
        }
        self.whiten(&mut x);
        for j in (0..n).rev() {
            let along = dot(&self.lower.column(j)[j + 1..], &x[j + 1..]);
            x[j] = (x[j] - along) / self.lower.at(j, j);
        }
        x
    }

    /// A⁻¹.
    #[must_use]
    pub fn inverse(&self) -> Matrix {
        let n = self.lower.rows;
        let mut out = Matrix::zeros(n, n);
        for j in 0..n {
            let mut unit = vec![0.0; n];
            unit[j] = 1.0;
            out.column_mut(j).copy_from_slice(&self.solve(&unit));
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn matrix(rows: usize, columns: usize, values: &[f64]) -> Matrix {
        Matrix { rows, columns, data: values[..rows * columns].to_vec() }
    }

    #[test]
    fn a_line_through_three_points() {
        // Published textbook case: (0,6), (1,0), (2,0) → 5 − 3x (Strang, Linear Algebra, §4.3).
        let mut a = Matrix::zeros(3, 2);
        a.column_mut(0).copy_from_slice(&[1.0, 1.0, 1.0]);
        a.column_mut(1).copy_from_slice(&[0.0, 1.0, 2.0]);
        let x = Qr::of(&a).solve(&[6.0, 0.0, 0.0]).expect("independent columns");
        assert!((x[0] - 5.0).abs() < 1e-13 && (x[1] + 3.0).abs() < 1e-13, "{x:?}");
    }

    #[test]
    fn dependent_columns_are_told() {
        let a = matrix(3, 2, &[1.0, 2.0, 3.0, 2.0, 4.0, 6.0]);
        assert_eq!(Qr::of(&a).solve(&[1.0, 1.0, 1.0]), None, "one is twice the other");
        assert_eq!(Qr::of(&a).inverse_gram(), None, "no inverse");
        assert_eq!(Qr::of(&Matrix::zeros(2, 2)).solve(&[1.0, 1.0]), None, "nothing there");
        assert!(Cholesky::of(&a.gram()).is_none_or(|c| c.lower.at(1, 1) < 1e-6), "singular");
    }

    proptest! {
        #[test]
        fn the_residual_is_normal_to_the_columns(
            rows in 1..9_usize, columns in 1..6_usize,
            values in prop::collection::vec(-5.0..5.0_f64, 54), b in prop::collection::vec(-5.0..5.0_f64, 9),
        ) {
            prop_assume!(rows >= columns);
            let a = matrix(rows, columns, &values);
            if let Some(x) = Qr::of(&a).solve(&b[..rows]) {
                let ax = a.times(&x);
                let rest: Vec<f64> = b.iter().zip(&ax).map(|(b, y)| b - y).collect();
                let size = 1.0 + norm(&x) * 5.0 * 9.0;
                for along in a.transposed_times(&rest) {
                    prop_assert!(along.abs() < 1e-11 * size, "{}", along);
                }
            }
        }

        #[test]
        fn qr_keeps_lengths_and_its_gram(values in prop::collection::vec(-5.0..5.0_f64, 24)) {
            let a = matrix(6, 4, &values);
            let qr = Qr::of(&a);
            let turned = qr.transposed_q_times(&values[..6]);
            prop_assert!((norm(&turned) - norm(&values[..6])).abs() < 1e-12, "Q turns only");
            let (r, want) = (qr.r().gram(), a.gram());
            for (got, want) in r.data.iter().zip(&want.data) {
                prop_assert!((got - want).abs() < 1e-11, "RᵀR = AᵀA");
            }
        }

        #[test]
        fn both_inverses_invert(values in prop::collection::vec(-5.0..5.0_f64, 24)) {
            let a = matrix(6, 4, &values);
            let mut gram = a.gram();
            for i in 0..4 {
                gram.set(i, i, gram.at(i, i) + 0.5);
            }
            let inverse = Cholesky::of(&gram).expect("positive definite").inverse();
            for j in 0..4 {
                let unit = gram.times(inverse.column(j));
                for (i, entry) in unit.iter().enumerate() {
                    let want = if i == j { 1.0 } else { 0.0 };
                    prop_assert!((entry - want).abs() < 1e-9, "{} {} {}", i, j, entry);
                }
            }
            // The same system as least squares: A above, √½·I below.
            let mut tall = Matrix::zeros(10, 4);
            for j in 0..4 {
                tall.column_mut(j)[..6].copy_from_slice(a.column(j));
                tall.set(6 + j, j, 0.5_f64.sqrt());
            }
            let other = Qr::of(&tall).inverse_gram().expect("full rank");
            for (x, y) in other.data.iter().zip(&inverse.data) {
                prop_assert!((x - y).abs() < 1e-9 * (1.0 + y.abs()), "{} {}", x, y);
            }
        }
    }
}
