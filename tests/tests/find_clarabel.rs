//! Quadratic programmes of the blend search against Clarabel, an interior-point solver (P. Goulart
//! and Y. Chen, Clarabel: an interior-point solver for conic programs with quadratic objectives,
//! 2024), which writes each soft row's distance as a variable of its own.

#[path = "../src/blend_instances.rs"]
#[allow(dead_code, reason = "each test file uses its part")]
mod blend_instances;

use barwright_acceptance::assert_within;
use barwright_solver::{Failure, Firmness, Problem, Solution, Solver, capped, front};
use blend_instances::{Instance, Task};
use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT};

/// A dense matrix by rows in compressed columns.
fn sparse(rows: &[Vec<f64>], columns: usize) -> CscMatrix<f64> {
    let (mut starts, mut places, mut values) = (vec![0], Vec::new(), Vec::new());
    for j in 0..columns {
        for (i, row) in rows.iter().enumerate().filter(|(_, row)| row[j] != 0.0) {
            places.push(i);
            values.push(row[j]);
        }
        starts.push(places.len());
    }
    CscMatrix::new(rows.len(), columns, starts, places, values)
}

/// The least objective by Clarabel; `None` if it finds that there are no such shares.
fn by_clarabel(problem: &Problem) -> Option<f64> {
    let n = problem.variables();
    let soft: Vec<_> = problem.rows().iter().filter(|r| r.firmness != Firmness::Hard).collect();
    let all = n + soft.len();
    let mut linear = problem.cost().to_vec();
    linear.resize(all, 0.0);
    let unit = |i: usize, value: f64| {
        let mut row = vec![0.0; all];
        row[i] = value;
        row
    };
    let mut equal: Vec<f64> = vec![1.0; n];
    equal.resize(all, 0.0);
    let (mut lines, mut ends) = (vec![equal], vec![1.0]);
    let mut quadratic = vec![vec![0.0; all]; all];
    // Each soft row has its distance d, with a·w − d within the range, at weight·d².
    for (s, row) in soft.iter().enumerate() {
        let Firmness::Soft(weight) = row.firmness else { continue };
        quadratic[n + s][n + s] = 2.0 * weight;
    }
    let mut below = |line: Vec<f64>, end: f64| {
        if end.is_finite() {
            lines.push(line);
            ends.push(end);
        }
    };
    for i in 0..n {
        let (low, high) = problem.bounds(i);
        below(unit(i, -1.0), -low);
        below(unit(i, 1.0), high);
    }
    for (s, row) in soft.iter().enumerate() {
        let mut line = row.coefficients.clone();
        line.resize(all, 0.0);
        line[n + s] = -1.0;
        below(line.iter().map(|v| -v).collect(), -row.low);
        below(line, row.high);
    }
    for row in problem.rows().iter().filter(|r| r.firmness == Firmness::Hard) {
        let mut line = row.coefficients.clone();
        line.resize(all, 0.0);
        below(line.iter().map(|v| -v).collect(), -row.low);
        below(line, row.high);
    }
    let cones = [SupportedConeT::ZeroConeT(1), SupportedConeT::NonnegativeConeT(ends.len() - 1)];
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-11,
        tol_gap_rel: 1e-11,
        tol_feas: 1e-11,
        ..DefaultSettings::default()
    };
    let (quadratic, lines) = (sparse(&quadratic, all), sparse(&lines, all));
    let mut solver = DefaultSolver::new(&quadratic, &linear, &lines, &ends, &cones, settings).expect("well formed");
    solver.solve();
    match solver.solution.status {
        SolverStatus::Solved | SolverStatus::AlmostSolved => Some(solver.solution.obj_val),
        SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible => None,
        other => panic!("Clarabel ended with {other:?}"),
    }
}

/// Checks the conditions for an optimum from the problem's own numbers.
fn assert_optimal(what: &str, problem: &Problem, solution: &Solution) {
    assert!(solution.residuals.worst() < 1e-8, "{what}: residuals {:?}", solution.residuals);
    assert_within(&format!("{what}: the sum"), solution.w.iter().sum(), 1.0, 1e-9);
    let mut largest: f64 = 1.0;
    let mut slopes: Vec<f64> = problem.cost().iter().map(|c| c - solution.sum_multiplier).collect();
    for (k, row) in problem.rows().iter().enumerate() {
        let value = problem.value(k, &solution.w);
        let multiplier = match row.firmness {
            Firmness::Hard => {
                let scale = row.coefficients.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
                assert!(value >= row.low - 1e-8 * scale, "{what}: row {k} at {value}");
                assert!(value <= row.high + 1e-8 * scale, "{what}: row {k} at {value}");
                solution.multipliers[k]
            }
            Firmness::Soft(weight) => -2.0 * weight * (value - value.clamp(row.low, row.high)),
        };
        for (slope, v) in slopes.iter_mut().zip(&row.coefficients) {
            largest = largest.max((multiplier * v).abs());
            *slope -= multiplier * v;
        }
    }
    for (i, slope) in slopes.into_iter().enumerate() {
        let (low, high) = problem.bounds(i);
        let w = solution.w[i];
        assert!(w >= low && w <= high, "{what}: share {i} is {w}");
        let wrong = if w <= low {
            -slope
        } else if w >= high {
            slope
        } else {
            slope.abs()
        };
        assert!(low >= high || wrong < 1e-8 * largest, "{what}: fat {i} at {w} has a slope of {slope:e}");
    }
}

#[test]
fn soft_and_hard_ranges_agree_with_clarabel() {
    let (mut met, mut collided) = (0, 0);
    for n in [60, 150] {
        for s in 0..5 {
            let instance = Instance::new(n, s);
            for task in Task::ALL {
                for (kind, problem) in [("soft", instance.problem(task)), ("hard", instance.hard_problem(task))] {
                    let what = format!("{n} fats, instance {s}, {task:?}, {kind}");
                    match (Solver::default().solve(&problem), by_clarabel(&problem)) {
                        (Ok(solution), Some(objective)) => {
                            met += 1;
                            assert_optimal(&what, &problem, &solution);
                            assert_within(&what, solution.objective, objective, 1e-7 * objective.abs().max(1.0));
                            assert_within(&what, problem.objective(&solution.w), solution.objective, 1e-8);
                        }
                        (Err(Failure::Infeasible), None) => collided += 1,
                        (ours, theirs) => panic!("{what}: {ours:?}, Clarabel {theirs:?}"),
                    }
                }
            }
        }
    }
    assert!(met > 40 && collided > 0, "both kinds were met: {met} and {collided}");
}

#[test]
fn a_warm_start_ends_where_a_cold_one_does() {
    for s in 0..5 {
        let instance = Instance::new(60, s);
        for mut problem in
            [instance.problem(Task::Mix), instance.hard_problem(Task::Cost), instance.hard_problem(Task::Mix)]
        {
            let mut warm = Solver::default();
            for step in 0..40_u32 {
                // A range slides, a fat is pinned for a while.
                let k = usize::from(step % 14 >= 7);
                let (low, high) = instance.ranges[k];
                let shift = f64::from(step % 7) - 3.0;
                problem.set_range(k, low + shift, high + shift).expect("in order");
                let pinned = if step % 5 < 2 { (0.1, 0.1) } else { (0.0, 1.0) };
                problem.set_bounds(3, pinned.0, pinned.1).expect("in order");
                match (warm.solve(&problem), Solver::default().solve(&problem)) {
                    (Ok(a), Ok(b)) => {
                        assert_optimal(&format!("instance {s}, step {step}"), &problem, &a);
                        assert_within(
                            &format!("instance {s}, step {step}"),
                            a.objective,
                            b.objective,
                            1e-9 * b.objective.abs().max(1.0),
                        );
                    }
                    (Err(Failure::Infeasible), Err(Failure::Infeasible)) => {}
                    (a, b) => panic!("instance {s}, step {step}: warm {a:?}, cold {b:?}"),
                }
            }
        }
    }
}

#[test]
fn every_point_of_a_front_agrees_with_clarabel() {
    let instance = Instance::new(60, 0);
    let problem = instance.problem(Task::Match);
    let front = front(&problem, &instance.price, 6).expect("a front");
    for point in &front {
        let capped = capped(&problem, &instance.price, point.cap).expect("good numbers");
        let objective = by_clarabel(&capped).expect("the cheapest is within the cap");
        let what = format!("cap {}", point.cap);
        assert_within(&what, point.solution.objective, objective, 1e-6 * objective.max(1.0));
    }
    for pair in front.windows(2) {
        assert!(
            pair[1].cap < pair[0].cap && pair[1].solution.objective >= pair[0].solution.objective - 1e-9,
            "it rises"
        );
    }
}
