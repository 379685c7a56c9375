//! The numbers of a problem as the solvers walk over them: one column a variable, padded, scaled.

use crate::problem::{Firmness, Row, outside};
use std::ops::Range;

/// Columns are padded to a multiple of this, so that sums over them run in lanes.
const LANES: usize = 4;

/// Rows in the order soft, sum, hard. A soft row is scaled by the root of its weight, so that its
/// penalty is its distance squared; a hard one by its largest coefficient. The sum of the values is
/// the first hard row and always kept.
#[derive(Debug, Clone)]
pub(crate) struct Form {
    pub(crate) cost: Vec<f64>,
    pub(crate) low: Vec<f64>,
    pub(crate) high: Vec<f64>,
    /// Rows that pull to one value come first among the soft ones: so many.
    pub(crate) targets: usize,
    pub(crate) soft: usize,
    /// Place of each row as it was given, and what it was multiplied with.
    places: Vec<(usize, f64)>,
    columns: Vec<f64>,
    stride: usize,
    /// Largest absolute coefficient of each row.
    widest: Vec<f64>,
    /// Largest absolute cost.
    largest_cost: f64,
}

impl Form {
    pub(crate) fn new(cost: Vec<f64>, rows: &[Row]) -> Self {
        let n = cost.len();
        let rank = |row: &Row| match row.firmness {
            Firmness::Soft(_) if row.low.total_cmp(&row.high).is_eq() => 0,
            Firmness::Soft(_) => 1,
            Firmness::Hard => 2,
        };
        let of_rank = |rank_wanted: u8| (0..rows.len()).filter(move |k| rank(&rows[*k]) == rank_wanted);
        let (targets, ranges, hard): (Vec<_>, Vec<_>, Vec<_>) =
            (of_rank(0).collect(), of_rank(1).collect(), of_rank(2).collect());
        let soft = targets.len() + ranges.len();
        let total = rows.len() + 1;
        let mut form = Self {
            low: vec![1.0; total],
            high: vec![1.0; total],
            targets: targets.len(),
            soft,
            places: vec![(0, 1.0); rows.len()],
            columns: vec![0.0; n * total.next_multiple_of(LANES)],
            stride: total.next_multiple_of(LANES),
            widest: vec![1.0; total],
            largest_cost: 0.0,
            cost: Vec::new(),
        };
        form.set_cost(cost);
        for i in 0..n {
            form.columns[i * form.stride + soft] = 1.0;
        }
        for (place, k) in targets.into_iter().chain(ranges).enumerate().chain((soft + 1..).zip(hard)) {
            let row = &rows[k];
            let widest = row.coefficients.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
            let scale = match row.firmness {
                Firmness::Soft(weight) => weight.sqrt(),
                Firmness::Hard if widest > 0.0 => 1.0 / widest,
                Firmness::Hard => 1.0,
            };
            for (i, v) in row.coefficients.iter().enumerate() {
                form.columns[i * form.stride + place] = v * scale;
            }
            form.widest[place] = widest * scale;
            form.places[k] = (place, scale);
            form.set_range(k, row.low, row.high);
        }
        form
    }

    pub(crate) fn set_cost(&mut self, cost: Vec<f64>) {
        self.largest_cost = cost.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        self.cost = cost;
    }

    pub(crate) fn set_range(&mut self, k: usize, low: f64, high: f64) {
        self.set_low(k, low);
        self.set_high(k, high);
    }

    pub(crate) fn set_low(&mut self, k: usize, low: f64) {
        let (place, scale) = self.places[k];
        // An infinite end stays so under a weight of 0.
        self.low[place] = if low.is_infinite() { low } else { low * scale };
    }

    pub(crate) fn set_high(&mut self, k: usize, high: f64) {
        let (place, scale) = self.places[k];
        self.high[place] = if high.is_infinite() { high } else { high * scale };
    }

    pub(crate) const fn variables(&self) -> usize {
        self.cost.len()
    }

    pub(crate) const fn rows(&self) -> usize {
        self.low.len()
    }

    pub(crate) const fn stride(&self) -> usize {
        self.stride
    }

    /// The place of the row given as number `k` and its scale.
    pub(crate) fn place(&self, k: usize) -> (usize, f64) {
        self.places[k]
    }

    pub(crate) fn column(&self, i: usize) -> &[f64] {
        &self.columns[i * self.stride..(i + 1) * self.stride]
    }

    /// Takes variable `i` out of the sum: it is an allowance.
    pub(crate) fn leave_sum(&mut self, i: usize) {
        self.columns[i * self.stride + self.soft] = 0.0;
    }

    /// The penalty of soft rows at the row values `x`.
    pub(crate) fn penalty(&self, x: &[f64]) -> f64 {
        (0..self.soft).map(|r| outside(x[r], self.low[r], self.high[r]).powi(2)).sum()
    }

    pub(crate) fn widest(&self, r: usize) -> f64 {
        self.widest[r]
    }

    pub(crate) const fn largest_cost(&self) -> f64 {
        self.largest_cost
    }
}

/// What is being minimised over a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Aim {
    /// Cost and penalties, keeping hard rows.
    Objective,
    /// The squared distances from the hard rows, to find out whether they can be kept.
    Feasibility,
}

impl Aim {
    /// Rows whose distance is penalised.
    pub(crate) const fn soft(self, form: &Form) -> Range<usize> {
        match self {
            Self::Objective => 0..form.soft,
            Self::Feasibility => form.soft + 1..form.rows(),
        }
    }

    /// Rows that are kept.
    pub(crate) const fn hard(self, form: &Form) -> Range<usize> {
        match self {
            Self::Objective => form.soft..form.rows(),
            Self::Feasibility => form.soft..form.soft + 1,
        }
    }
}

/// a·b, in lanes.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a, a_rest) = a.as_chunks::<LANES>();
    let (b, b_rest) = b.as_chunks::<LANES>();
    let mut sums = [0.0; LANES];
    for (a, b) in a.iter().zip(b) {
        for lane in 0..LANES {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

/// a += factor·b.
pub(crate) fn add_scaled(a: &mut [f64], factor: f64, b: &[f64]) {
    for (a, b) in a.iter_mut().zip(b) {
        *a += factor * b;
    }
}
