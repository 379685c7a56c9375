//! A bound for every pair of last variables at once.
//!
//! With all but two places taken, the objective is bounded from below by its fit terms as they are
//! and the tangents of all others. Of that, the taken variables are eliminated with their bounds
//! dropped, which leaves a quadratic in the two values, whose least value over their ranges costs a
//! few operations a pair.

use crate::form::{Form, dot};

/// Inner products of the variables' distances from the targets.
#[derive(Debug, Clone)]
pub(super) struct Gram {
    products: Vec<f64>,
    n: usize,
}

impl Gram {
    pub(super) fn new(form: &Form) -> Self {
        let n = form.variables();
        let from_target: Vec<Vec<f64>> = (0..n)
            .map(|i| form.column(i)[..form.targets].iter().zip(&form.low).map(|(v, t)| v - t).collect())
            .collect();
        let mut products = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..=i {
                let product = dot(&from_target[i], &from_target[j]);
                products[i * n + j] = product;
                products[j * n + i] = product;
            }
        }
        Self { products, n }
    }

    pub(super) fn row(&self, i: usize) -> &[f64] {
        &self.products[i * self.n..(i + 1) * self.n]
    }
}

/// A variable that may take one of the last places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) variable: usize,
    /// Its range when used.
    pub(super) low: f64,
    pub(super) high: f64,
    /// Its reduced cost at the relaxed optimum, not below 0.
    pub(super) reduced_cost: f64,
    slope: f64,
    bend: f64,
}

impl Candidate {
    pub(super) const fn new(variable: usize, low: f64, high: f64, reduced_cost: f64) -> Self {
        Self { variable, low, high, reduced_cost, slope: 0.0, bend: 0.0 }
    }
}

/// The taken variables eliminated from the bound.
#[derive(Debug, Clone, Default)]
pub(super) struct Eliminated {
    base: f64,
    /// For each candidate its part along the taken ones.
    along: Vec<f64>,
    taken: usize,
    shifted: Vec<f64>,
}

impl Eliminated {
    /// Eliminates `taken` (at least one). `linear` is the cost of each variable of the form with all
    /// tangents, `constant` what makes the bound touch the objective. False if the taken ones leave
    /// a direction without curvature: then there is no such bound.
    pub(super) fn build(
        &mut self,
        gram: &Gram,
        taken: &[usize],
        candidates: &mut [Candidate],
        linear: impl Fn(usize) -> f64,
        constant: f64,
    ) -> bool {
        let Some((&origin, others)) = taken.split_first() else {
            return false;
        };
        let k = others.len();
        let at_origin = gram.row(origin);
        let own = at_origin[origin];
        let product = |i: usize, j: usize| gram.row(i)[j] - at_origin[i] - at_origin[j] + own;
        let slope = |i: usize| 2.0 * (at_origin[i] - own) + linear(i) - linear(origin);
        let mut factor = vec![0.0; k * k];
        let mut half_slopes = vec![0.0; k];
        for a in 0..k {
            for b in 0..=a {
                let known: f64 = (0..b).map(|c| factor[a * k + c] * factor[b * k + c]).sum();
                let rest = product(others[a], others[b]) - known;
                if a == b {
                    let scale = own + gram.row(others[a])[others[a]];
                    if rest <= 1e-10 * scale {
                        return false;
                    }
                    factor[a * k + a] = rest.sqrt();
                } else {
                    factor[a * k + b] = rest / factor[b * k + b];
                }
            }
            let known: f64 = (0..a).map(|c| factor[a * k + c] * half_slopes[c]).sum();
            half_slopes[a] = (slope(others[a]) / 2.0 - known) / factor[a * k + a];
        }
        self.taken = k;
        self.base = constant + own + linear(origin) - half_slopes.iter().map(|v| v * v).sum::<f64>();
        self.along.clear();
        for candidate in candidates {
            let i = candidate.variable;
            let start = self.along.len();
            for a in 0..k {
                let known: f64 = (0..a).map(|c| factor[a * k + c] * self.along[start + c]).sum();
                self.along.push((product(others[a], i) - known) / factor[a * k + a]);
            }
            let along = &self.along[start..];
            candidate.slope = slope(i) - 2.0 * along.iter().zip(&half_slopes).map(|(a, b)| a * b).sum::<f64>();
            candidate.bend = (product(i, i) - along.iter().map(|v| v * v).sum::<f64>()).max(0.0);
        }
        self.shifted.clear();
        self.shifted.extend_from_slice(at_origin);
        true
    }

    /// The bound with one candidate more.
    pub(super) fn single(&self, c: &Candidate) -> f64 {
        self.base + least_on(c.slope, c.bend, c.low, c.high)
    }

    /// Calls `keep` for every pair whose bound is below `cutoff`.
    pub(super) fn pairs(
        &self,
        gram: &Gram,
        origin: usize,
        candidates: &[Candidate],
        cutoff: f64,
        mut keep: impl FnMut(usize, usize, f64),
    ) {
        let own = self.shifted[origin];
        let room = cutoff - self.base;
        for (p, a) in candidates.iter().enumerate() {
            let row = gram.row(a.variable);
            let along_a = &self.along[p * self.taken..(p + 1) * self.taken];
            let shift = own - self.shifted[a.variable];
            for (q, b) in candidates[..p].iter().enumerate() {
                let along_b = &self.along[q * self.taken..(q + 1) * self.taken];
                let mut cross = row[b.variable] + shift - self.shifted[b.variable];
                for (u, v) in along_a.iter().zip(along_b) {
                    cross -= u * v;
                }
                let det = a.bend * b.bend - cross * cross;
                // The least value anywhere, times 4·det.
                let gain =
                    a.slope * (b.bend * a.slope - cross * b.slope) + b.slope * (a.bend * b.slope - cross * a.slope);
                if det > 1e-12 * a.bend * b.bend && -gain >= 4.0 * det * room {
                    continue;
                }
                let least = least_in_box(a, b, cross, det);
                if least < room {
                    keep(q, p, self.base + least);
                }
            }
        }
    }
}

/// The least of slope·x + bend·x² between `low` and `high`.
fn least_on(slope: f64, bend: f64, low: f64, high: f64) -> f64 {
    let x = if bend > 0.0 {
        (-slope / (2.0 * bend)).clamp(low, high)
    } else if slope > 0.0 {
        low
    } else {
        high
    };
    x * (slope + bend * x)
}

/// The least of the quadratic in the values of `a` and `b` over their ranges.
fn least_in_box(a: &Candidate, b: &Candidate, cross: f64, det: f64) -> f64 {
    if det > 1e-12 * a.bend * b.bend {
        let x = (cross * b.slope - b.bend * a.slope) / (2.0 * det);
        let y = (cross * a.slope - a.bend * b.slope) / (2.0 * det);
        if x >= a.low && x <= a.high && y >= b.low && y <= b.high {
            return f64::midpoint(a.slope * x, b.slope * y);
        }
    }
    // Convex: outside the box the least lies on an edge.
    let along_b = |x: f64| x * (a.slope + a.bend * x) + least_on(b.slope + 2.0 * cross * x, b.bend, b.low, b.high);
    let along_a = |y: f64| y * (b.slope + b.bend * y) + least_on(a.slope + 2.0 * cross * y, a.bend, a.low, a.high);
    along_b(a.low).min(along_b(a.high)).min(along_a(b.low)).min(along_a(b.high))
}
