//! 3 × 3 matrices, evaluated at compile time where they are constants.

/// Three rows of three.
pub(super) type Matrix = [[f64; 3]; 3];

/// Matrix times column.
#[inline]
pub(super) const fn apply(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    [
        m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
        m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
        m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
    ]
}

/// The matrix that applies `b`, then `a`.
pub(super) const fn product(a: &Matrix, b: &Matrix) -> Matrix {
    let columns = [
        apply(a, [b[0][0], b[1][0], b[2][0]]),
        apply(a, [b[0][1], b[1][1], b[2][1]]),
        apply(a, [b[0][2], b[1][2], b[2][2]]),
    ];
    transposed(&columns)
}

/// Rows for columns.
pub(super) const fn transposed(m: &Matrix) -> Matrix {
    [[m[0][0], m[1][0], m[2][0]], [m[0][1], m[1][1], m[2][1]], [m[0][2], m[1][2], m[2][2]]]
}

/// Scales the rows.
pub(super) const fn rows_scaled(m: &Matrix, by: [f64; 3]) -> Matrix {
    [
        [m[0][0] * by[0], m[0][1] * by[0], m[0][2] * by[0]],
        [m[1][0] * by[1], m[1][1] * by[1], m[1][2] * by[1]],
        [m[2][0] * by[2], m[2][1] * by[2], m[2][2] * by[2]],
    ]
}

/// The inverse, by cofactors; not finite if there is none.
pub(super) const fn inverse(m: &Matrix) -> Matrix {
    let [[a, b, c], [d, e, f], [g, h, i]] = *m;
    let det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
    [
        [(e * i - f * h) / det, (c * h - b * i) / det, (b * f - c * e) / det],
        [(f * g - d * i) / det, (a * i - c * g) / det, (c * d - a * f) / det],
        [(d * h - e * g) / det, (b * g - a * h) / det, (a * e - b * d) / det],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_times_its_inverse_changes_nothing() {
        let m = [[0.4, 0.3, 0.2], [0.2, 0.7, 0.1], [0.0, 0.1, 0.9]];
        let one = product(&m, &inverse(&m));
        for (r, row) in one.iter().enumerate() {
            for (c, value) in row.iter().enumerate() {
                let wanted = f64::from(u8::from(r == c));
                assert!((value - wanted).abs() < 1e-15, "({r}, {c}): {value}");
            }
        }
    }
}
