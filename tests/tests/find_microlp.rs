//! Linear programmes of the blend search against microlp, a simplex solver: the cheapest blend
//! within hard ranges, collisions, and the nearest miss.

#[path = "../src/blend_instances.rs"]
#[allow(dead_code, reason = "each test file uses its part")]
mod blend_instances;

use barwright_acceptance::assert_within;
use barwright_solver::{Constraint, Failure, Problem, Row, Solver, why_infeasible};
use blend_instances::{Instance, Stream, Task};
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable, constraint, microlp, variable,
};

/// What misses are measured in: the largest coefficient, or 1 for a row of zeros.
fn scale(row: &Row) -> f64 {
    let widest = row.coefficients.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
    if widest > 0.0 { widest } else { 1.0 }
}

fn sum(coefficients: &[f64], variables: &[Variable]) -> Expression {
    coefficients.iter().zip(variables).map(|(c, v)| *c * *v).sum()
}

/// The least cost with all rows kept; with `missing`, the least sum of scaled misses instead.
/// `None` if the rows cannot be kept.
fn by_microlp(problem: &Problem, missing: bool) -> Option<f64> {
    let mut all = ProblemVariables::new();
    let w: Vec<Variable> = (0..problem.variables())
        .map(|i| {
            let (low, high) = problem.bounds(i);
            all.add(variable().min(low).max(high))
        })
        .collect();
    let misses: Vec<[Variable; 2]> =
        problem.rows().iter().map(|_| [all.add(variable().min(0.0)), all.add(variable().min(0.0))]).collect();
    let aim: Expression = if missing { misses.iter().flatten().copied().sum() } else { sum(problem.cost(), &w) };
    let mut model = all.minimise(&aim).using(microlp);
    model = model.with(constraint!(w.iter().copied().sum::<Expression>() == 1.0));
    for (row, [below, above]) in problem.rows().iter().zip(&misses) {
        let scale = scale(row);
        let mut value = sum(&row.coefficients, &w);
        if missing {
            value += scale * *below - scale * *above;
        }
        if row.low.is_finite() {
            model = model.with(constraint!(value.clone() >= row.low));
        }
        if row.high.is_finite() {
            model = model.with(constraint!(value <= row.high));
        }
    }
    match model.solve() {
        Ok(solution) => Some(solution.eval(&aim)),
        Err(ResolutionError::Infeasible) => None,
        Err(other) => panic!("microlp ended with {other}"),
    }
}

/// Random hard ranges, in round numbers so that ties and corners with too many rows are common.
fn ranges(seed: u64, width: f64) -> Problem {
    let mut stream = Stream(seed);
    let n = 2 + stream.below(12);
    let mut cost: Vec<f64> = (0..n).map(|_| 1.0 + stream.below(6) as f64).collect();
    let mut rows = Vec::new();
    for _ in 0..=stream.below(6) {
        let row: Vec<f64> = (0..n).map(|_| 10.0 * stream.below(8) as f64).collect();
        let low = 10.0 * stream.below(6) as f64;
        rows.push(match stream.below(4) {
            0 => Row::hard(row, low, f64::INFINITY),
            1 => Row::hard(row, f64::NEG_INFINITY, low),
            2 => Row::hard(row, low, low),
            _ => Row::hard(row, low, low + width * stream.below(3) as f64),
        });
    }
    // Some fats twice.
    if stream.below(3) == 0 {
        cost[n - 1] = cost[0];
        for row in &mut rows {
            row.coefficients[n - 1] = row.coefficients[0];
        }
    }
    let bounds = (0..n)
        .map(|_| match stream.below(8) {
            0 => (0.1, 1.0),
            1 => (0.0, 0.2),
            2 => (0.0, 0.0),
            _ => (0.0, 1.0),
        })
        .collect();
    Problem::new(cost, bounds, rows).expect("good numbers")
}

#[test]
fn the_cheapest_within_hard_ranges_agrees() {
    let (mut met, mut collided) = (0, 0);
    let seeded = [60, 150].into_iter().flat_map(|n| (0..5).map(move |s| Instance::new(n, s).hard_problem(Task::Cost)));
    for (k, problem) in seeded.chain((0..400).map(|seed| ranges(seed, 10.0))).enumerate() {
        match (Solver::default().solve(&problem), by_microlp(&problem, false)) {
            (Ok(solution), Some(cost)) => {
                met += 1;
                assert!(solution.residuals.worst() < 1e-8, "problem {k}: {:?}", solution.residuals);
                assert_within(&format!("problem {k}"), solution.objective, cost, 1e-8 * cost.abs().max(1.0));
            }
            (Err(Failure::Infeasible), None) => collided += 1,
            (ours, theirs) => panic!("problem {k}: {ours:?}, microlp {theirs:?}"),
        }
    }
    assert!(met > 50 && collided > 50, "both kinds were met: {met} and {collided}");
}

/// `problem` with these demands only.
fn only(problem: &Problem, demands: &[Constraint]) -> Problem {
    let n = problem.variables();
    let mut bounds = vec![(0.0, 1.0); n];
    let mut rows: Vec<Row> = problem.rows().to_vec();
    for row in &mut rows {
        (row.low, row.high) = (f64::NEG_INFINITY, f64::INFINITY);
    }
    for demand in demands {
        match *demand {
            Constraint::Lower(i) => bounds[i].0 = problem.bounds(i).0,
            Constraint::Upper(i) => bounds[i].1 = problem.bounds(i).1,
            Constraint::RowLow(k) => rows[k].low = problem.rows()[k].low,
            Constraint::RowHigh(k) => rows[k].high = problem.rows()[k].high,
        }
    }
    Problem::new(vec![0.0; n], bounds, rows).expect("good numbers")
}

#[test]
fn collisions_collide_and_nothing_in_them_is_spare() {
    let mut explained = 0;
    let seeded = (0..5).map(|s| Instance::new(60, s).hard_problem(Task::Cost));
    for (k, problem) in seeded.chain((1000..1250).map(|seed| ranges(seed, 1.0))).enumerate() {
        let possible = by_microlp(&problem, false).is_some();
        let Some(reason) = why_infeasible(&problem).expect("it can be told") else {
            assert!(possible, "problem {k} cannot be met, but no collision was found");
            continue;
        };
        assert!(!possible, "problem {k} can be met: {reason:?}");
        explained += 1;
        let demands = &reason.collision;
        assert!(by_microlp(&only(&problem, demands), false).is_none(), "problem {k}: {demands:?} can all be met");
        for spare in 0..demands.len() {
            let mut others = demands.clone();
            let left_out = others.remove(spare);
            assert!(
                by_microlp(&only(&problem, &others), false).is_some(),
                "problem {k}: {others:?} collide without {left_out:?}"
            );
        }
        if let Some(nearest) = &reason.nearest {
            let least = by_microlp(&problem, true).expect("misses are allowed");
            assert_within(&format!("problem {k}: nearest miss"), nearest.total, least, 1e-8 * least.max(1.0));
            let recount: f64 = nearest.missed.iter().map(|m| m.by.abs() / scale(&problem.rows()[m.row])).sum();
            assert_within(&format!("problem {k}: sum of the misses"), recount, nearest.total, 1e-7);
        }
    }
    assert!(explained > 50, "only {explained} problems collided");
}
