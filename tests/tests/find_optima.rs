//! The blend search against optima that SCIP, a general mixed-integer solver, proved on the seeded
//! instances (at most five of 60 or 150 fats, at least 5 %, whole percents), and against itself with
//! the fats in another order. `tests/peers/find_peers.py` runs such solvers on the same instances.

#[path = "../src/blend_instances.rs"]
#[allow(dead_code, reason = "each test file uses its part")]
mod blend_instances;

use barwright_acceptance::assert_within;
use barwright_solver::{Distinct, Limits, Problem, Row, Search, Selection, Solver};
use blend_instances::{Instance, Task};

const LIMITS: Limits = Limits { most: Some(5), least: 0.05, steps: Some(100) };

fn proven(search: &mut Search) -> Option<Selection> {
    for _ in 0..100_000 {
        let progress = search.step(100);
        if progress.done {
            return progress.incumbent;
        }
    }
    panic!("no proof after {} nodes", search.progress().nodes);
}

fn best(problem: &Problem) -> Selection {
    proven(&mut Search::start(problem, LIMITS).expect("possible limits")).expect("a blend")
}

/// Cost, match and mix of instances 0 to 2.
const PROVEN: [(usize, [[f64; 3]; 3]); 2] = [
    (
        60,
        [
            [1.761_361_7, 0.069_803_0, 2.348_187_1],
            [1.630_745_0, 0.574_453_7, 2.998_235_9],
            [1.692_619_9, 0.046_400_3, 1.972_792_2],
        ],
    ),
    (
        150,
        [
            [1.296_885_8, 0.087_446_5, 1.948_188_0],
            [1.470_569_3, 0.050_030_2, 1.649_564_6],
            [1.171_642_4, 0.054_933_4, 1.932_764_9],
        ],
    ),
];

#[test]
fn every_proven_optimum_is_found_and_proven() {
    for (n, instances) in PROVEN {
        for (s, optima) in instances.into_iter().enumerate() {
            let instance = Instance::new(n, s);
            for (task, optimum) in Task::ALL.into_iter().zip(optima) {
                let blend = best(&instance.problem(task));
                assert_within(&format!("{n} fats, instance {s}, {task:?}"), blend.objective, optimum, 1e-6);
                let percents: f64 = blend.w.iter().map(|w| (w * 100.0).round()).sum();
                assert_within("the sum in whole percents", percents, 100.0, 0.0);
                assert!(blend.used.len() <= 5, "{} fats are too many", blend.used.len());
                for &i in &blend.used {
                    assert!(blend.w[i] >= 0.05 - 1e-12, "a trace of {}", blend.w[i]);
                }
            }
        }
    }
}

/// The same problem with its variables in the order of `order`.
fn reordered(problem: &Problem, order: &[usize]) -> Problem {
    let pick = |numbers: &[f64]| order.iter().map(|&i| numbers[i]).collect::<Vec<f64>>();
    let rows = problem.rows().iter().map(|row| Row { coefficients: pick(&row.coefficients), ..row.clone() }).collect();
    let bounds = order.iter().map(|&i| problem.bounds(i)).collect();
    Problem::new(pick(problem.cost()), bounds, rows).expect("good numbers")
}

#[test]
fn the_order_of_the_fats_does_not_matter() {
    for s in 0..5 {
        let instance = Instance::new(60, s);
        // A step coprime to 60 walks through all.
        let order: Vec<usize> = (0..60).map(|i| (i * 23 + s) % 60).collect();
        for task in Task::ALL {
            for problem in [instance.problem(task), instance.hard_problem(task)] {
                let other = reordered(&problem, &order);
                let what = format!("instance {s}, {task:?}");
                if let Ok(solution) = Solver::default().solve(&problem) {
                    let again = Solver::default().solve(&other).expect("as before");
                    assert_within(&what, again.objective, solution.objective, 1e-9);
                }
            }
            let problem = instance.problem(task);
            let again = best(&reordered(&problem, &order));
            assert_within(
                &format!("instance {s}, {task:?}, whole percents"),
                again.objective,
                best(&problem).objective,
                1e-9,
            );
        }
    }
}

#[test]
fn later_rounds_differ_and_get_no_better() {
    let problem = Instance::new(60, 1).problem(Task::Mix);
    for (rule, least_new) in [(Distinct::OtherSet, 0), (Distinct::New(2), 2)] {
        let mut search = Search::start(&problem, LIMITS).expect("possible limits");
        let mut earlier: Vec<Selection> = Vec::new();
        for _ in 0..4 {
            let blend = proven(&mut search).expect("one more");
            for other in &earlier {
                let new = blend.used.iter().filter(|i| !other.used.contains(i)).count();
                assert!(blend.used != other.used && new >= least_new, "{:?} is too near {:?}", blend.used, other.used);
                assert!(blend.objective >= other.objective - 1e-9, "a later round found a better one");
            }
            earlier.push(blend);
            search.another(rule);
        }
    }
}

#[test]
fn the_bound_never_passes_the_incumbent_and_ends_there() {
    let mut search = Search::start(&Instance::new(60, 3).problem(Task::Match), LIMITS).expect("possible limits");
    let mut bound = f64::NEG_INFINITY;
    loop {
        let progress = search.step(5);
        assert!(progress.lower_bound >= bound - 1e-9, "the bound fell from {bound} to {}", progress.lower_bound);
        bound = progress.lower_bound;
        if let Some(blend) = &progress.incumbent {
            assert!(bound <= blend.objective, "the bound {bound} is above {}", blend.objective);
        }
        if progress.done {
            assert_within("the gap at the end", progress.gap().expect("a blend"), 0.0, 0.0);
            break;
        }
    }
}
