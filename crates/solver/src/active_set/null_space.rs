//! The directions that keep the active rows, and the curvature along them.

use crate::form::{add_scaled, dot};

/// A row whose best pivot is smaller than this depends on the rows before it.
const LEAST_PIVOT: f64 = 1e-9;

/// Part of the largest curvature that is added to every one, so that flat directions can be walked
/// along; it slows Newton's steps by as much.
const RIDGE: f64 = 1e-12;

/// With E the active rows over the free variables: a choice of as many basic variables as rows, and
/// B⁻¹E. Moving another variable by 1 moves the basic ones by minus its column.
#[derive(Debug, Clone, Default)]
pub(super) struct NullSpace {
    /// Active rows, all independent.
    pub(super) rows: Vec<usize>,
    /// For each row a position in the list of free variables.
    pub(super) basic: Vec<usize>,
    /// The other positions.
    pub(super) rest: Vec<usize>,
    /// B⁻¹E by rows, `free` long each.
    table: Vec<f64>,
    /// B⁻¹ by rows, `capacity` long each.
    inverse: Vec<f64>,
    free: usize,
    capacity: usize,
    reduced: Vec<f64>,
    factor: Vec<f64>,
    scratch: Vec<f64>,
}

impl NullSpace {
    /// Takes in `active` rows over the columns of the `free` variables, leaving out rows that depend
    /// on those before. Variables with much `room` to their bounds are preferred as basic.
    pub(super) fn build<'a>(
        &mut self,
        free: &(impl Iterator<Item = &'a [f64]> + Clone),
        room: &[f64],
        active: &[usize],
    ) {
        self.free = room.len();
        self.capacity = active.len();
        self.rows.clear();
        self.basic.clear();
        self.table.clear();
        self.inverse.clear();
        for &r in active {
            let m = self.rows.len();
            let start = self.table.len();
            self.table.extend(free.clone().map(|column| column[r]));
            self.inverse.resize((m + 1) * self.capacity, 0.0);
            let (table, new) = self.table.split_at_mut(start);
            let (inverse, new_inverse) = self.inverse.split_at_mut(m * self.capacity);
            new_inverse[m] = 1.0;
            for (b, &k) in self.basic.iter().enumerate() {
                let factor = -new[k];
                add_scaled(new, factor, &table[b * self.free..(b + 1) * self.free]);
                add_scaled(new_inverse, factor, &inverse[b * self.capacity..(b + 1) * self.capacity]);
                new[k] = 0.0;
            }
            let mut best: Option<(usize, f64)> = None;
            for (k, e) in new.iter().enumerate() {
                let score = e.abs() * (0.1 + room[k]);
                if e.abs() > LEAST_PIVOT && best.is_none_or(|(_, s)| score > s) {
                    best = Some((k, score));
                }
            }
            let Some((pivot, _)) = best else {
                self.table.truncate(start);
                self.inverse.truncate(m * self.capacity);
                continue;
            };
            let factor = 1.0 / new[pivot];
            new.iter_mut().chain(&mut *new_inverse).for_each(|v| *v *= factor);
            new[pivot] = 1.0;
            for b in 0..m {
                let row = &mut table[b * self.free..(b + 1) * self.free];
                let factor = -row[pivot];
                add_scaled(row, factor, new);
                row[pivot] = 0.0;
                add_scaled(&mut inverse[b * self.capacity..(b + 1) * self.capacity], factor, new_inverse);
            }
            self.rows.push(r);
            self.basic.push(pivot);
        }
        self.rest.clear();
        self.rest.extend((0..self.free).filter(|k| !self.basic.contains(k)));
    }

    /// The slope along each direction, from the gradient of the free variables.
    pub(super) fn slopes(&self, gradient: &[f64], slopes: &mut Vec<f64>) {
        slopes.clear();
        slopes.extend(self.rest.iter().map(|&k| {
            let through_basic: f64 =
                self.basic.iter().enumerate().map(|(b, &basic)| self.table[b * self.free + k] * gradient[basic]).sum();
            gradient[k] - through_basic
        }));
    }

    /// The multiplier of each active row, from the gradient of the free variables.
    pub(super) fn multipliers(&self, gradient: &[f64], mut each: impl FnMut(usize, f64)) {
        for (m, &r) in self.rows.iter().enumerate() {
            let y =
                self.basic.iter().enumerate().map(|(b, &k)| self.inverse[b * self.capacity + m] * gradient[k]).sum();
            each(r, y);
        }
    }

    /// How the basic variables must move for the active rows to rise by `missing`.
    pub(super) fn correction(&self, missing: &[f64], mut each: impl FnMut(usize, f64)) {
        for (b, &k) in self.basic.iter().enumerate() {
            let row = &self.inverse[b * self.capacity..b * self.capacity + self.rows.len()];
            each(k, row.iter().zip(missing).map(|(a, v)| a * v).sum());
        }
    }

    /// Newton's step of all free variables for the penalty of the rows with `mask` 1: minus the
    /// slopes divided by the curvature.
    pub(super) fn step<'a>(
        &mut self,
        column: impl Fn(usize) -> &'a [f64],
        mask: &[f64],
        slopes: &[f64],
        step: &mut Vec<f64>,
    ) {
        let (n, width) = (self.rest.len(), mask.len());
        self.reduced.clear();
        for &k in &self.rest {
            let start = self.reduced.len();
            self.reduced.extend_from_slice(&column(k)[..width]);
            let reduced = &mut self.reduced[start..];
            for (b, &basic) in self.basic.iter().enumerate() {
                add_scaled(reduced, -self.table[b * self.free + k], column(basic));
            }
            reduced.iter_mut().zip(mask).for_each(|(v, m)| *v *= m);
        }
        self.factor.clear();
        self.factor.resize(n * n, 0.0);
        let direction = |i: usize| &self.reduced[i * width..(i + 1) * width];
        let mut most: f64 = 0.0;
        for i in 0..n {
            for j in 0..=i {
                self.factor[i * n + j] = 2.0 * dot(direction(i), direction(j));
            }
            most = most.max(self.factor[i * n + i]);
        }
        let ridge = if most > 0.0 { most * RIDGE } else { 1.0 };
        cholesky(&mut self.factor, n, ridge);
        // L z = −slopes, then Lᵀ y = z.
        self.scratch.clear();
        for (i, slope) in slopes.iter().enumerate() {
            let row = &self.factor[i * n..i * n + i];
            let known: f64 = row.iter().zip(&self.scratch).map(|(a, b)| a * b).sum();
            self.scratch.push((-slope - known) / self.factor[i * n + i]);
        }
        for i in (0..n).rev() {
            let z = self.scratch[i] / self.factor[i * n + i];
            self.scratch[i] = z;
            for j in 0..i {
                self.scratch[j] -= self.factor[i * n + j] * z;
            }
        }
        step.clear();
        step.resize(self.free, 0.0);
        for (&k, z) in self.rest.iter().zip(&self.scratch) {
            step[k] = *z;
        }
        for (b, &basic) in self.basic.iter().enumerate() {
            let row = &self.table[b * self.free..(b + 1) * self.free];
            step[basic] = -self.rest.iter().zip(&self.scratch).map(|(&k, z)| row[k] * z).sum::<f64>();
        }
    }
}

/// Replaces the lower triangle of a symmetric matrix by its factor L, adding `ridge` to the diagonal.
fn cholesky(a: &mut [f64], n: usize, ridge: f64) {
    for i in 0..n {
        let (above, row) = a.split_at_mut(i * n);
        for j in 0..i {
            let other = &above[j * n..=j * n + j];
            let sum: f64 = row[..j].iter().zip(other).map(|(a, b)| a * b).sum();
            row[j] = (row[j] - sum) / other[j];
        }
        let sum: f64 = row[..i].iter().map(|v| v * v).sum();
        // Rounding may eat up a flat direction's curvature.
        row[i] = (row[i] + ridge - sum).max(ridge).sqrt();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_keeps_the_active_rows_and_a_row_that_depends_is_left_out() {
        // Columns of four variables: two rows that are kept, their sum, and one with a penalty first.
        let columns = [[1.0, 1.0, 3.0, 4.0], [2.0, 1.0, 5.0, 6.0], [-1.0, 1.0, 2.0, 3.0], [4.0, 1.0, 7.0, 8.0]];
        let mut space = NullSpace::default();
        space.build(&columns.iter().map(|c| &c[..]), &[0.5; 4], &[1, 2, 3]);
        assert_eq!(space.rows, [1, 2], "row 3 is the sum of rows 1 and 2");
        let (mut slopes, mut step) = (Vec::new(), Vec::new());
        space.slopes(&[1.0, 2.0, -1.0, 4.0], &mut slopes);
        space.step(|k| &columns[k], &[1.0], &slopes, &mut step);
        for r in [1, 2] {
            let moved: f64 = columns.iter().zip(&step).map(|(c, s)| c[r] * s).sum();
            assert!(moved.abs() < 1e-9, "row {r} moves by {moved}: {step:?}");
        }
        assert!(step.iter().any(|s| s.abs() > 1e-3), "no step: {step:?}");
    }
}
