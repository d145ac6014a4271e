//! The 2 × 2 matrices of one band's k and s.

/// Rows of a 2 × 2 matrix.
pub(super) type Block = [[f64; 2]; 2];

pub(super) fn plus(a: Block, b: Block) -> Block {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + b[i][j]))
}

pub(super) fn minus(a: Block, b: Block) -> Block {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] - b[i][j]))
}

pub(super) fn times(m: Block, v: [f64; 2]) -> [f64; 2] {
    m.map(|row| row[0] * v[0] + row[1] * v[1])
}

/// Inverse of a symmetric positive definite block; of one that rounding has made singular, large
/// numbers.
pub(super) fn inverted(m: Block) -> Block {
    let determinant = (m[0][0] * m[1][1] - m[0][1] * m[1][0]).max(f64::MIN_POSITIVE);
    [
        [m[1][1] / determinant, -m[0][1] / determinant],
        [-m[1][0] / determinant, m[0][0] / determinant],
    ]
}
