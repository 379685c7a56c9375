//! Two objectives against each other: the best for each cap on a second cost.
//!
//! A weighted sum of both reaches only the points of the front that no mixture of others
//! dominates; a cap on one of them reaches all.

use crate::problem::{BadProblem, Firmness, Problem, Row};
use crate::qp::{Failure, Solution, Solver};

/// One point of a front.
#[derive(Debug, Clone, PartialEq)]
pub struct Capped {
    /// The most that the second cost may come to.
    pub cap: f64,
    /// The best for it. Its last row is the second cost, and the multiplier of that says how much the
    /// objective would rise with a cap one higher: 0 or less.
    pub solution: Solution,
}

/// No front can be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFront {
    /// The second cost cannot be used.
    #[error(transparent)]
    Cost(#[from] BadProblem),
    /// A point could not be solved.
    #[error(transparent)]
    Point(#[from] Failure),
}

/// `problem` with a last hard row that keeps `second`·w at most `cap` (∞ for no cap); `second` has
/// one cost a variable.
///
/// # Errors
/// [`BadProblem`] for costs that are no usable numbers, or not one for each variable.
pub fn capped(problem: &Problem, second: &[f64], cap: f64) -> Result<Problem, BadProblem> {
    let mut rows = problem.rows().to_vec();
    rows.push(Row::hard(second.to_vec(), f64::NEG_INFINITY, cap));
    let bounds = (0..problem.variables()).map(|i| problem.bounds(i)).collect();
    Problem::new(problem.cost().to_vec(), bounds, rows)
}

/// The front of `problem`'s objective against `second`·w: `points` of it (two if fewer are asked
/// for), with caps in equal steps from what the best of all costs down to the lowest that bounds and
/// hard rows allow. `second` has one cost a variable.
///
/// The ε-constraint method (Y. Y. Haimes, L. S. Lasdon and D. A. Wismer, IEEE Transactions on Systems,
/// Man, and Cybernetics 1, 1971; from memory), each point warm from the one before.
///
/// # Errors
/// [`NoFront::Cost`] as for [`capped`]; [`NoFront::Point`] if bounds and hard rows cannot be met or a
/// solve did not settle.
pub fn front(problem: &Problem, second: &[f64], points: usize) -> Result<Vec<Capped>, NoFront> {
    let mut solver = Solver::default();
    let mut capped = capped(problem, second, f64::INFINITY)?;
    let row = problem.rows().len();
    let best = solver.solve(&capped)?;
    let top = best.values[row];
    let bottom = lowest(problem, second)?.min(top);
    let last = points.max(2) - 1;
    let mut front = vec![Capped { cap: top, solution: best }];
    for k in 1..=last {
        let cap = if k == last { bottom } else { top + (bottom - top) * k as f64 / last as f64 };
        capped.set_range(row, f64::NEG_INFINITY, cap)?;
        front.push(Capped { cap, solution: solver.solve(&capped)? });
    }
    Ok(front)
}

/// The lowest second cost that the bounds and hard rows allow.
fn lowest(problem: &Problem, second: &[f64]) -> Result<f64, NoFront> {
    let hard = problem.rows().iter().filter(|r| r.firmness == Firmness::Hard).cloned().collect();
    let bounds = (0..problem.variables()).map(|i| problem.bounds(i)).collect();
    let least = Problem::new(second.to_vec(), bounds, hard)?;
    Ok(Solver::default().solve(&least)?.objective)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_front_falls_from_the_best_to_the_lowest_cap() {
        // The target lies where the second cost is highest: half way down is half way off.
        let fit = Row::target(vec![0.0, 10.0], 10.0, 1.0);
        let problem = Problem::new(vec![0.0; 2], vec![(0.0, 1.0); 2], vec![fit]).expect("good numbers");
        let front = front(&problem, &[2.0, 6.0], 3).expect("a front");
        let points: Vec<(f64, f64)> = front.iter().map(|p| (p.cap, p.solution.objective)).collect();
        for ((cap, objective), (expected_cap, expected)) in points.iter().zip([(6.0, 0.0), (4.0, 25.0), (2.0, 100.0)]) {
            assert!((cap - expected_cap).abs() < 1e-12 && (objective - expected).abs() < 1e-9, "{points:?}");
        }
    }
}
