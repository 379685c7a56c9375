//! The best values of any size: a convex quadratic programme, or a linear one without soft rows.

use crate::active_set::{ActiveSet, At, Choice, End, Point};
use crate::problem::{Firmness, Problem, outside};

/// The residual above which a warm result is worked out again from a cold start.
const TRUSTED: f64 = 1e-8;

/// Why there is no result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Failure {
    /// The bounds and the hard rows cannot all be kept; [`crate::why_infeasible`] says which collide.
    #[error("the bounds and hard rows cannot all be kept")]
    Infeasible,
    /// The iterations ran out, in a warm and in a cold start.
    #[error("the search for the best values did not settle")]
    Stalled,
}

/// How well the conditions for an optimum hold (W. Karush 1939; H. W. Kuhn and A. W. Tucker 1951),
/// each as part of the largest number that enters it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residuals {
    /// A reduced cost of the wrong sign, or other than 0 for a variable between its bounds.
    pub stationarity: f64,
    /// A bound, the sum or a hard row missed.
    pub primal: f64,
    /// A multiplier of the wrong sign, or other than 0 for a row that does not bind.
    pub complementarity: f64,
}

impl Residuals {
    /// The worst of the three.
    pub const fn worst(&self) -> f64 {
        self.stationarity.max(self.primal).max(self.complementarity)
    }
}

/// The best values and what holds them there.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// One value a variable.
    pub w: Vec<f64>,
    /// Their cost and penalties.
    pub objective: f64,
    /// For each variable its reduced cost: what one more of it would cost, once the others have made
    /// room. Positive at the lower bound (why it is not used), negative at the upper, 0 between.
    pub reduced_costs: Vec<f64>,
    /// For each row how much the objective rises when the end that binds moves up by one. For a soft
    /// row this is the slope of its penalty.
    pub multipliers: Vec<f64>,
    /// The multiplier of the sum of the variables.
    pub sum_multiplier: f64,
    /// The value of each row.
    pub values: Vec<f64>,
    /// How well the conditions for an optimum hold.
    pub residuals: Residuals,
    /// Steps of the active-set method.
    pub iterations: usize,
}

/// Solves problems, each from the result of the one before if that had as many variables and rows:
/// after a small change of bounds, ranges or costs that takes a few microseconds.
///
/// A primal active-set method (J. Nocedal and S. J. Wright, Numerical Optimization, 2nd ed., 2006,
/// ch. 16; from memory) that walks over the pieces of the soft rows' penalties. A result is given only
/// once its [`Residuals`] are below 10⁻⁸; a warm one that fails is worked out again from a cold start.
///
/// ```
/// use barwright_solver::{Problem, Row, Solver};
/// let at_least = Row::hard(vec![10.0, 30.0], 20.0, f64::INFINITY);
/// let mut problem = Problem::new(vec![1.0, 4.0], vec![(0.0, 1.0); 2], vec![at_least])?;
/// let mut solver = Solver::default();
/// let best = solver.solve(&problem)?;
/// problem.set_range(0, 21.0, f64::INFINITY)?;
/// let stricter = solver.solve(&problem)?;
/// assert!((stricter.objective - best.objective - best.multipliers[0]).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Default)]
pub struct Solver {
    set: ActiveSet,
    point: Option<Point>,
    columns: Vec<usize>,
}

impl Solver {
    /// The best values for `problem`.
    ///
    /// # Errors
    /// [`Failure::Infeasible`] if bounds and hard rows cannot all be kept, [`Failure::Stalled`] if the
    /// iterations ran out or rounding spoilt the result, from a cold start too.
    pub fn solve(&mut self, problem: &Problem) -> Result<Solution, Failure> {
        if let Some(solution) = self.attempt(problem)?
            && solution.residuals.worst() <= TRUSTED
        {
            return Ok(solution);
        }
        self.forget();
        let solution = self.attempt(problem)?;
        solution.filter(|s| s.residuals.worst() <= TRUSTED).ok_or(Failure::Stalled)
    }

    /// Makes the next solve start cold.
    pub fn forget(&mut self) {
        self.point = None;
    }

    /// `None` if the iterations ran out.
    fn attempt(&mut self, problem: &Problem) -> Result<Option<Solution>, Failure> {
        let form = problem.form();
        let n = form.variables();
        self.columns.clear();
        self.columns.extend(0..n);
        let choice = Choice { columns: &self.columns, low: problem.low(), high: problem.high() };
        let mut point = self.point.take().filter(|p| p.w.len() == n && p.rows.len() == form.rows());
        let mut point = point.take().unwrap_or_else(|| Point::cold(form, &choice));
        let Ok(end) = self.set.solve(form, &choice, &mut point) else {
            return Ok(None);
        };
        let solution = match end {
            End::Optimal(objective) => Ok(Some(self.describe(problem, &point, objective))),
            End::NoSum | End::Collision => Err(Failure::Infeasible),
        };
        self.point = Some(point);
        solution
    }

    fn describe(&self, problem: &Problem, point: &Point, objective: f64) -> Solution {
        let form = problem.form();
        let w: Vec<f64> =
            point.w.iter().zip(problem.low()).zip(problem.high()).map(|((w, l), u)| w.clamp(*l, *u)).collect();
        let of_row = |numbers: &[f64], k: usize| {
            let (place, scale) = form.place(k);
            (numbers[place], scale)
        };
        let rows = 0..problem.rows().len();
        let multipliers: Vec<f64> = rows
            .clone()
            .map(|k| {
                let (pull, scale) = of_row(&self.set.pull, k);
                -pull * scale
            })
            .collect();
        let values = rows.map(|k| problem.value(k, &w)).collect();
        let residuals = self.residuals(problem, point, &w);
        Solution {
            w,
            objective,
            reduced_costs: self.set.reduced_costs.clone(),
            multipliers,
            sum_multiplier: -self.set.pull[form.soft],
            values,
            residuals,
            iterations: self.set.iterations,
        }
    }

    fn residuals(&self, problem: &Problem, point: &Point, w: &[f64]) -> Residuals {
        let form = problem.form();
        let mut largest = 1.0_f64.max(form.largest_cost());
        for r in 0..form.rows() {
            largest = largest.max(self.set.pull[r].abs() * form.widest(r));
        }
        let mut stationarity: f64 = 0.0;
        let mut sum = 0.0;
        for (i, (reduced, w)) in self.set.reduced_costs.iter().zip(w).enumerate() {
            let (low, high) = problem.bounds(i);
            sum += w;
            let wrong = match (*w <= low, *w >= high) {
                (true, true) => 0.0,
                (true, false) => -reduced.min(0.0),
                (false, true) => reduced.max(0.0),
                (false, false) => reduced.abs(),
            };
            stationarity = stationarity.max(wrong);
        }
        let mut primal = (sum - 1.0).abs();
        let mut complementarity: f64 = 0.0;
        for (k, row) in problem.rows().iter().enumerate().filter(|(_, row)| row.firmness == Firmness::Hard) {
            let (place, scale) = form.place(k);
            let missed = outside(problem.value(k, w), row.low, row.high) * scale;
            primal = primal.max(missed.abs());
            let pull = self.set.pull[place];
            let wrong = match point.rows[place] {
                _ if row.low >= row.high => 0.0,
                At::Lower => pull.max(0.0),
                At::Upper => -pull.min(0.0),
                At::Free => pull.abs(),
            };
            complementarity = complementarity.max(wrong);
        }
        Residuals { stationarity: stationarity / largest, primal, complementarity: complementarity / largest }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Row;

    fn solve(problem: &Problem) -> Solution {
        Solver::default().solve(problem).expect("they can be kept")
    }

    #[test]
    fn the_least_cost_wins_alone() {
        let problem = Problem::new(vec![3.0, 2.0, 5.0], vec![(0.0, 1.0); 3], vec![]).expect("good numbers");
        let best = solve(&problem);
        assert_eq!(best.w, [0.0, 1.0, 0.0]);
        assert!((best.reduced_costs[2] - 3.0).abs() < 1e-12, "the third costs more by {}", best.reduced_costs[2]);
    }

    #[test]
    fn a_target_between_two_is_met_by_both() {
        let row = Row::target(vec![10.0, 30.0], 15.0, 2.0);
        let problem = Problem::new(vec![0.0; 2], vec![(0.0, 1.0); 2], vec![row]).expect("good numbers");
        let best = solve(&problem);
        assert!((best.w[1] - 0.25).abs() < 1e-12 && best.objective < 1e-20, "got {best:?}");
    }

    #[test]
    fn a_hard_row_has_the_multiplier_of_its_end() {
        let at_least = |low| {
            let row = Row::hard(vec![10.0, 30.0], low, f64::INFINITY);
            solve(&Problem::new(vec![1.0, 4.0], vec![(0.0, 1.0); 2], vec![row]).expect("good numbers"))
        };
        let best = at_least(20.0);
        let change = at_least(21.0).objective - best.objective;
        assert!((best.multipliers[0] - change).abs() < 1e-12, "{} is not {change}", best.multipliers[0]);
    }
}
