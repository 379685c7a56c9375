//! Symmetric matrices of two rows, for two values that are believed together.

/// A matrix, row by row.
pub(super) type Matrix = [[f64; 2]; 2];

/// A diagonal one.
pub(super) const fn diagonal(a: f64, b: f64) -> Matrix {
    [[a, 0.0], [0.0, b]]
}

/// a + b.
pub(super) fn plus(a: Matrix, b: Matrix) -> Matrix {
    [[a[0][0] + b[0][0], a[0][1] + b[0][1]], [a[1][0] + b[1][0], a[1][1] + b[1][1]]]
}

/// a · b.
pub(super) fn times(a: Matrix, b: Matrix) -> Matrix {
    let cell = |i: usize, j: usize| a[i][0] * b[0][j] + a[i][1] * b[1][j];
    [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
}

/// a · v.
pub(super) fn on(a: Matrix, v: [f64; 2]) -> [f64; 2] {
    [a[0][0] * v[0] + a[0][1] * v[1], a[1][0] * v[0] + a[1][1] * v[1]]
}

/// The inverse of a matrix that has one.
pub(super) fn inverse(a: Matrix) -> Matrix {
    let determinant = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    [[a[1][1] / determinant, -a[0][1] / determinant], [-a[1][0] / determinant, a[0][0] / determinant]]
}
