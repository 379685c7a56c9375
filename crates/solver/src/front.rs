//! Two aims against each other: the best that can be had at each price.
//!
//! A weighted sum of both aims reaches only the points of the front that no mixture of others
//! dominates; a cap on the price reaches all of them.

use crate::problem::{BadProblem, Firmness, Problem, Row};
use crate::qp::{Failure, Solution, Solver};

/// One point of a front.
#[derive(Debug, Clone, PartialEq)]
pub struct Capped {
    /// What the shares may cost.
    pub cap: f64,
    /// The best for it; the multiplier of its last row says what one more to spend would bring.
    pub solution: Solution,
}

/// No front can be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFront {
    /// The prices cannot be used.
    #[error(transparent)]
    Prices(#[from] BadProblem),
    /// A point could not be solved.
    #[error(transparent)]
    Point(#[from] Failure),
}

/// `problem` with a last hard row that keeps `price`·w at most `cap`.
///
/// # Errors
/// [`BadProblem`] for a price that is not a number, or as many prices as there are not variables.
pub fn capped(problem: &Problem, price: &[f64], cap: f64) -> Result<Problem, BadProblem> {
    let mut rows = problem.rows().to_vec();
    rows.push(Row::hard(price.to_vec(), f64::NEG_INFINITY, cap));
    let bounds = (0..problem.variables()).map(|i| problem.bounds(i)).collect();
    Problem::new(problem.cost().to_vec(), bounds, rows)
}

/// The front of `problem`'s objective against `price`: `points` caps (at least two) in equal steps
/// from the price of the best shares down to the lowest price that its hard rows and bounds allow.
///
/// # Errors
/// [`NoFront`]
pub fn front(problem: &Problem, price: &[f64], points: usize) -> Result<Vec<Capped>, NoFront> {
    let mut solver = Solver::default();
    let mut capped = capped(problem, price, f64::INFINITY)?;
    let row = problem.rows().len();
    let best = solver.solve(&capped)?;
    let top = best.values[row];
    let bottom = lowest(problem, price)?.min(top);
    let last = points.max(2) - 1;
    let mut front = vec![Capped { cap: top, solution: best }];
    for k in 1..=last {
        let cap = if k == last { bottom } else { top + (bottom - top) * k as f64 / last as f64 };
        capped.set_range(row, f64::NEG_INFINITY, cap)?;
        front.push(Capped { cap, solution: solver.solve(&capped)? });
    }
    Ok(front)
}

/// The lowest price that the bounds and hard rows allow.
fn lowest(problem: &Problem, price: &[f64]) -> Result<f64, NoFront> {
    let hard = problem.rows().iter().filter(|r| r.firmness == Firmness::Hard).cloned().collect();
    let bounds = (0..problem.variables()).map(|i| problem.bounds(i)).collect();
    let cheapest = Problem::new(price.to_vec(), bounds, hard)?;
    Ok(Solver::default().solve(&cheapest)?.objective)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_front_falls_from_the_best_to_the_cheapest() {
        // The target lies at the dear end: half way down in price is half way off.
        let fit = Row::target(vec![0.0, 10.0], 10.0, 1.0);
        let problem = Problem::new(vec![0.0; 2], vec![(0.0, 1.0); 2], vec![fit]).expect("good numbers");
        let front = front(&problem, &[2.0, 6.0], 3).expect("a front");
        let points: Vec<(f64, f64)> = front.iter().map(|p| (p.cap, p.solution.objective)).collect();
        for ((cap, objective), (want_cap, want)) in points.iter().zip([(6.0, 0.0), (4.0, 25.0), (2.0, 100.0)]) {
            assert!((cap - want_cap).abs() < 1e-12 && (objective - want).abs() < 1e-9, "{points:?}");
        }
    }
}
