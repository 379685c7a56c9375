//! The most likely values between bounds: damped Newton steps on those values that are free to move.
//!
//! Method: Levenberg-Marquardt (D. Marquardt, SIAM Journal 11 (1963), from memory), projected on the bounds as D.
//! Bertsekas, SIAM Journal on Control and Optimization 20 (1982), has it (from memory): a value at a bound that would
//! have to leave it stays there and takes no part in the step.

/// Steps after which the search ends wherever it is; it usually takes under ten.
const MOST_STEPS: usize = 100;
/// A step that promises less of a cost, which counts in squares of a standard deviation, is none.
const NEGLIGIBLE: f64 = 1e-14;
/// Damping beyond which no step is found any more.
const MOST_DAMPING: f64 = 1e12;

/// How well some values explain what was seen: minus the logarithm of their likelihood, and its shape there.
#[derive(Debug, Clone)]
pub(super) struct Cost {
    pub(super) value: f64,
    pub(super) slope: Vec<f64>,
    /// Row by row; symmetric.
    pub(super) curvature: Vec<f64>,
}

impl Cost {
    /// No cost and no shape yet, of `n` values.
    pub(super) fn none(n: usize) -> Self {
        Self { value: 0.0, slope: vec![0.0; n], curvature: vec![0.0; n * n] }
    }

    /// Adds that value `i`, now at `at`, was believed to be `mean` ± `sd`.
    pub(super) fn believe(&mut self, i: usize, at: f64, mean: f64, sd: f64) {
        let n = self.slope.len();
        let off = (at - mean) / sd;
        self.value += 0.5 * off * off;
        self.slope[i] += off / sd;
        self.curvature[i * n + i] += 1.0 / (sd * sd);
    }

    /// Adds what `other` costs.
    pub(super) fn add(&mut self, other: &Self) {
        let sum = |ours: &mut [f64], theirs: &[f64]| ours.iter_mut().zip(theirs).for_each(|(a, b)| *a += b);
        self.value += other.value;
        sum(&mut self.slope, &other.slope);
        sum(&mut self.curvature, &other.curvature);
    }
}

/// The Cholesky factor of a symmetric matrix of `n` rows; `None` if it is not positive definite.
fn factor(matrix: &[f64], n: usize) -> Option<Vec<f64>> {
    let mut lower = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| lower[i * n + k] * lower[j * n + k]).sum();
            let rest = matrix[i * n + j] - known;
            if i > j {
                lower[i * n + j] = rest / lower[j * n + j];
            } else if rest > 0.0 && rest.is_finite() {
                lower[i * n + i] = rest.sqrt();
            } else {
                return None;
            }
        }
    }
    Some(lower)
}

/// Solves `matrix` · x = `right`; `None` if the matrix is not positive definite.
pub(super) fn solve(matrix: &[f64], right: &[f64]) -> Option<Vec<f64>> {
    let n = right.len();
    let lower = factor(matrix, n)?;
    let mut x = right.to_vec();
    for i in 0..n {
        let known: f64 = (0..i).map(|k| lower[i * n + k] * x[k]).sum();
        x[i] = (x[i] - known) / lower[i * n + i];
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| lower[k * n + i] * x[k]).sum();
        x[i] = (x[i] - known) / lower[i * n + i];
    }
    Some(x)
}

/// Goes from `start` to where `cost` is least between the `bounds`; never to where it is more than at the start.
pub(super) fn lowest(start: &[f64], bounds: &[(f64, f64)], cost: impl Fn(&[f64]) -> Cost) -> (Vec<f64>, Cost) {
    let mut at: Vec<f64> = start.iter().zip(bounds).map(|(x, (low, high))| x.clamp(*low, *high)).collect();
    let mut here = cost(&at);
    let mut damping = 0.0;
    for _ in 0..MOST_STEPS {
        let is_free = |i: &usize| {
            let ((low, high), slope) = (bounds[*i], here.slope[*i]);
            !(at[*i] <= low && slope >= 0.0 || at[*i] >= high && slope <= 0.0)
        };
        let free: Vec<usize> = (0..at.len()).filter(is_free).collect();
        let n = at.len();
        let cell = |i: &usize, j: &usize| here.curvature[i * n + j];
        let mut matrix: Vec<f64> = free.iter().flat_map(|i| free.iter().map(move |j| cell(i, j))).collect();
        for k in 0..free.len() {
            matrix[k * free.len() + k] *= 1.0 + damping;
        }
        let right: Vec<f64> = free.iter().map(|i| -here.slope[*i]).collect();
        let mut next = at.clone();
        let mut promised = 0.0;
        for (i, step) in free.iter().zip(solve(&matrix, &right).unwrap_or_default()) {
            next[*i] = (at[*i] + step).clamp(bounds[*i].0, bounds[*i].1);
            promised -= here.slope[*i] * (next[*i] - at[*i]);
        }
        if promised.abs() < NEGLIGIBLE && damping <= 1.0 {
            break;
        }
        let there = cost(&next);
        if there.value <= here.value && promised > 0.0 {
            (at, here) = (next, there);
            damping = if damping < 1e-6 { 0.0 } else { damping / 10.0 };
        } else if damping > MOST_DAMPING {
            break;
        } else {
            damping = f64::max(10.0 * damping, 1e-3);
        }
    }
    (at, here)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// (x − 3)² + 10·(y + 1)² + 2·(x − 3)(y + 1), least at 3, −1.
    fn bowl(at: &[f64]) -> Cost {
        let (x, y) = (at[0] - 3.0, at[1] + 1.0);
        Cost {
            value: x * x + 10.0 * y * y + 2.0 * x * y,
            slope: vec![2.0 * x + 2.0 * y, 20.0 * y + 2.0 * x],
            curvature: vec![2.0, 2.0, 2.0, 20.0],
        }
    }

    #[test]
    fn a_bowl_is_gone_down_to_its_bottom() {
        let (at, _) = lowest(&[0.0, 0.0], &[(-10.0, 10.0); 2], bowl);
        assert!((at[0] - 3.0).abs() < 1e-9 && (at[1] + 1.0).abs() < 1e-9, "got {at:?}");
    }

    #[test]
    fn at_a_bound_the_other_value_settles_for_it() {
        let (at, there) = lowest(&[0.0, 0.0], &[(-10.0, 2.0), (-10.0, 10.0)], bowl);
        assert!((at[0] - 2.0).abs() < 1e-12 && (at[1] + 0.9).abs() < 1e-9, "got {at:?}");
        assert!(there.slope[0] < 0.0 && there.slope[1].abs() < 1e-7, "it would go on if it could: {:?}", there.slope);
    }

    #[test]
    fn what_cannot_be_stepped_on_stays_where_it_began() {
        let flat = |_: &[f64]| Cost { value: f64::NAN, slope: vec![f64::NAN], curvature: vec![f64::NAN] };
        assert_eq!(lowest(&[0.5], &[(0.0, 1.0)], flat).0, [0.5]);
    }
}
