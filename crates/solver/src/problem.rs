//! A problem as numbers: variables between bounds that sum to 1, a cost, and rows with ranges.

use crate::form::Form;

/// How binding the range of a [`Row`] is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Firmness {
    /// The range must be kept.
    Hard,
    /// Leaving the range costs this weight times the square of the distance.
    Soft(f64),
}

/// A weighted sum of the variables with the range it should lie in.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// One coefficient a variable.
    pub coefficients: Vec<f64>,
    /// Lower end; −∞ if there is none.
    pub low: f64,
    /// Upper end; ∞ if there is none.
    pub high: f64,
    /// Hard, or soft with a weight.
    pub firmness: Firmness,
}

impl Row {
    /// A range that must be kept.
    pub const fn hard(coefficients: Vec<f64>, low: f64, high: f64) -> Self {
        Self { coefficients, low, high, firmness: Firmness::Hard }
    }

    /// A range whose distance, squared, costs `weight`.
    pub const fn soft(coefficients: Vec<f64>, low: f64, high: f64, weight: f64) -> Self {
        Self { coefficients, low, high, firmness: Firmness::Soft(weight) }
    }

    /// One term of a least-squares fit: `weight`·(coefficients·w − `target`)².
    pub const fn target(coefficients: Vec<f64>, target: f64, weight: f64) -> Self {
        Self::soft(coefficients, target, target, weight)
    }
}

/// Numbers that make no problem.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BadProblem {
    /// There are no variables.
    #[error("there is nothing to choose from")]
    Empty,
    /// Two lists differ in length.
    #[error("{what} has {found} numbers, not one for each of {expected} variables")]
    Length {
        /// Which list.
        what: &'static str,
        /// Its length.
        found: usize,
        /// The number of variables.
        expected: usize,
    },
    /// A number is not finite, or larger than can be reckoned with.
    #[error("{what} {index} has a number that cannot be used: {value}")]
    Number {
        /// The kind of number.
        what: &'static str,
        /// The variable or row.
        index: usize,
        /// What was given.
        value: f64,
    },
    /// The bounds of a variable are in the wrong order or outside 0–1.
    #[error("variable {index} cannot lie between {low} and {high}")]
    Bounds {
        /// The variable.
        index: usize,
        /// Lower bound.
        low: f64,
        /// Upper bound.
        high: f64,
    },
    /// The range of a row is in the wrong order.
    #[error("row {index} cannot lie between {low} and {high}")]
    Range {
        /// The row.
        index: usize,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// There is no such variable or row.
    #[error("there is no {what} {index}")]
    Index {
        /// Variable or row.
        what: &'static str,
        /// The number asked for.
        index: usize,
    },
}

/// No number of a problem may be larger: squares and products of squares must stay finite.
const LARGEST: f64 = 1e12;

/// A validated problem: minimise cost·w + Σ weight·distance² over w with Σ w = 1 and
/// lᵢ ≤ wᵢ ≤ uᵢ, keeping the hard rows.
///
/// That the bounds or the hard rows can be met is not checked here: a solver says so.
///
/// ```
/// use barwright_solver::{Problem, Row, Solver};
/// // Two variables that cost 3 and 5 a unit; at least 0.4 of the second.
/// let row = Row::hard(vec![0.0, 1.0], 0.4, f64::INFINITY);
/// let problem = Problem::new(vec![3.0, 5.0], vec![(0.0, 1.0); 2], vec![row])?;
/// let best = Solver::default().solve(&problem)?;
/// assert!((best.objective - 3.8).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Problem {
    rows: Vec<Row>,
    low: Vec<f64>,
    high: Vec<f64>,
    form: Form,
}

impl Problem {
    /// Checks the numbers: `cost` and `bounds` have one entry a variable.
    ///
    /// # Errors
    /// [`BadProblem`] for lists of unequal length, numbers that are not finite (the ends of a row
    /// may be infinite) or beyond 10¹², and ranges in the wrong order or, for variables, outside 0–1.
    pub fn new(cost: Vec<f64>, bounds: Vec<(f64, f64)>, rows: Vec<Row>) -> Result<Self, BadProblem> {
        let n = cost.len();
        if n == 0 {
            return Err(BadProblem::Empty);
        }
        if bounds.len() != n {
            return Err(BadProblem::Length { what: "the list of bounds", found: bounds.len(), expected: n });
        }
        check_numbers("cost", &cost)?;
        for (index, &(low, high)) in bounds.iter().enumerate() {
            check_bounds(index, low, high)?;
        }
        for (index, row) in rows.iter().enumerate() {
            if row.coefficients.len() != n {
                return Err(BadProblem::Length { what: "a row", found: row.coefficients.len(), expected: n });
            }
            if let Some(&value) = row.coefficients.iter().find(|v| !usable(**v)) {
                return Err(BadProblem::Number { what: "row", index, value });
            }
            check_range(index, row.low, row.high)?;
            if let Firmness::Soft(weight) = row.firmness
                && !(usable(weight) && weight >= 0.0)
            {
                return Err(BadProblem::Number { what: "the weight of row", index, value: weight });
            }
        }
        let (low, high) = bounds.into_iter().unzip();
        let form = Form::new(cost, &rows);
        Ok(Self { rows, low, high, form })
    }

    /// How many variables there are, at least one.
    pub const fn variables(&self) -> usize {
        self.low.len()
    }

    /// The rows, in the order given.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The cost of each variable.
    pub fn cost(&self) -> &[f64] {
        &self.form.cost
    }

    /// The bounds of variable `i`.
    ///
    /// # Panics
    /// If there is no such variable.
    pub fn bounds(&self, i: usize) -> (f64, f64) {
        (self.low[i], self.high[i])
    }

    /// Moves the bounds of variable `i`; a solver starts warm afterwards.
    ///
    /// # Errors
    /// [`BadProblem`] as in [`Self::new`].
    pub fn set_bounds(&mut self, i: usize, low: f64, high: f64) -> Result<(), BadProblem> {
        if i >= self.variables() {
            return Err(BadProblem::Index { what: "variable", index: i });
        }
        check_bounds(i, low, high)?;
        (self.low[i], self.high[i]) = (low, high);
        Ok(())
    }

    /// Moves the range of row `k`; a solver starts warm afterwards.
    ///
    /// # Errors
    /// [`BadProblem`] as in [`Self::new`].
    pub fn set_range(&mut self, k: usize, low: f64, high: f64) -> Result<(), BadProblem> {
        check_range(k, low, high)?;
        let row = self.rows.get_mut(k).ok_or(BadProblem::Index { what: "row", index: k })?;
        let was_target = row.low.total_cmp(&row.high).is_eq();
        (row.low, row.high) = (low, high);
        if was_target || low.total_cmp(&high).is_eq() {
            self.form = Form::new(std::mem::take(&mut self.form.cost), &self.rows);
        } else {
            self.form.set_range(k, low, high);
        }
        Ok(())
    }

    /// Replaces the cost of every variable.
    ///
    /// # Errors
    /// [`BadProblem`] as in [`Self::new`].
    pub fn set_cost(&mut self, cost: Vec<f64>) -> Result<(), BadProblem> {
        if cost.len() != self.variables() {
            return Err(BadProblem::Length { what: "the cost", found: cost.len(), expected: self.variables() });
        }
        check_numbers("cost", &cost)?;
        self.form.set_cost(cost);
        Ok(())
    }

    /// The value of row `k` at the values `w`.
    ///
    /// # Panics
    /// If there is no such row.
    pub fn value(&self, k: usize, w: &[f64]) -> f64 {
        self.rows[k].coefficients.iter().zip(w).map(|(a, b)| a * b).sum()
    }

    /// The objective at the values `w`: cost and penalties of soft rows.
    pub fn objective(&self, w: &[f64]) -> f64 {
        let cost: f64 = self.cost().iter().zip(w).map(|(a, b)| a * b).sum();
        let penalty = |(k, row): (usize, &Row)| match row.firmness {
            Firmness::Hard => 0.0,
            Firmness::Soft(weight) => weight * outside(self.value(k, w), row.low, row.high).powi(2),
        };
        cost + self.rows.iter().enumerate().map(penalty).sum::<f64>()
    }

    pub(crate) const fn form(&self) -> &Form {
        &self.form
    }

    pub(crate) fn low(&self) -> &[f64] {
        &self.low
    }

    pub(crate) fn high(&self) -> &[f64] {
        &self.high
    }
}

/// How far `value` lies outside `low` to `high`: negative below, positive above, else 0.
pub fn outside(value: f64, low: f64, high: f64) -> f64 {
    if value < low {
        value - low
    } else if value > high {
        value - high
    } else {
        0.0
    }
}

fn usable(value: f64) -> bool {
    value.abs() <= LARGEST
}

fn check_numbers(what: &'static str, numbers: &[f64]) -> Result<(), BadProblem> {
    match numbers.iter().position(|v| !usable(*v)) {
        Some(index) => Err(BadProblem::Number { what, index, value: numbers[index] }),
        None => Ok(()),
    }
}

fn check_bounds(index: usize, low: f64, high: f64) -> Result<(), BadProblem> {
    // Written so that NaN fails.
    if 0.0 <= low && low <= high && high <= 1.0 { Ok(()) } else { Err(BadProblem::Bounds { index, low, high }) }
}

fn check_range(index: usize, low: f64, high: f64) -> Result<(), BadProblem> {
    let end = |v: f64| usable(v) || v.is_infinite();
    if end(low) && end(high) && low <= high && low < f64::INFINITY && high > f64::NEG_INFINITY {
        Ok(())
    } else {
        Err(BadProblem::Range { index, low, high })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_make_no_problem_are_named() {
        let bad = |cost: f64, bounds, row: Row| Problem::new(vec![cost], vec![bounds], vec![row]).expect_err("refused");
        let whole = (0.0, 1.0);
        let row = |low, high| Row::hard(vec![1.0], low, high);
        assert!(matches!(bad(f64::NAN, whole, row(0.0, 1.0)), BadProblem::Number { what: "cost", index: 0, .. }));
        assert!(matches!(bad(1.0, (0.5, 0.4), row(0.0, 1.0)), BadProblem::Bounds { index: 0, .. }));
        assert!(matches!(bad(1.0, (0.0, 1.1), row(0.0, 1.0)), BadProblem::Bounds { index: 0, .. }));
        assert!(matches!(bad(1.0, whole, row(2.0, 1.0)), BadProblem::Range { index: 0, .. }));
        assert!(matches!(bad(1.0, whole, row(f64::INFINITY, f64::INFINITY)), BadProblem::Range { index: 0, .. }));
        assert!(matches!(bad(1.0, whole, Row::soft(vec![1.0], 0.0, 1.0, -1.0)), BadProblem::Number { index: 0, .. }));
        assert!(matches!(
            bad(1.0, whole, Row::hard(vec![], 0.0, 1.0)),
            BadProblem::Length { found: 0, expected: 1, .. }
        ));
        assert!(matches!(Problem::new(vec![], vec![], vec![]), Err(BadProblem::Empty)));
    }

    #[test]
    fn a_change_that_is_refused_changes_nothing() {
        let mut problem = Problem::new(vec![1.0], vec![(0.0, 1.0)], vec![]).expect("good numbers");
        assert_eq!(problem.set_bounds(1, 0.0, 1.0), Err(BadProblem::Index { what: "variable", index: 1 }));
        assert_eq!(problem.set_range(0, 0.0, 1.0), Err(BadProblem::Index { what: "row", index: 0 }));
        assert!(problem.set_bounds(0, 0.0, 2.0).is_err() && problem.set_cost(vec![1.0, 2.0]).is_err(), "{problem:?}");
        assert_eq!((problem.bounds(0), problem.cost()), ((0.0, 1.0), &[1.0][..]));
    }

    #[test]
    fn a_soft_row_costs_the_square_of_its_distance() {
        let row = Row::soft(vec![10.0, 20.0], 12.0, 14.0, 3.0);
        let problem = Problem::new(vec![1.0, 2.0], vec![(0.0, 1.0); 2], vec![row]).expect("good numbers");
        for (w, expected) in [([1.0, 0.0], 1.0 + 3.0 * 4.0), ([0.7, 0.3], 1.3), ([0.5, 0.5], 1.5 + 3.0)] {
            let actual = problem.objective(&w);
            assert!((actual - expected).abs() < 1e-12, "at {w:?}: actual {actual}, expected {expected}");
        }
    }
}
