//! How long the solver takes on the seeded instances.
//!
//! Aims, as ratios to general solvers run beside it (`tests/peers/find_peers.py`): a re-solve while
//! a slider moves at least 300 times as fast as cvxpy with Clarabel, a cold solve 20 times, a front of
//! 50 points 100 times; five variables in hundredths, proven, 50 times as fast as SCIP among 60,
//! 15 times and under a second among 150.

#[path = "../../../tests/src/blend_instances.rs"]
#[allow(dead_code, reason = "the tests use the rest")]
mod blend_instances;

use barwright_solver::{Limits, Problem, Search, Solver, front};
use blend_instances::{Instance, Task};
use divan::{Bencher, black_box};

const LIMITS: Limits = Limits { most: Some(5), least: 0.05, steps: Some(100) };

const SIZES: [usize; 2] = [60, 150];

fn main() {
    divan::main();
}

/// A range slides to and fro, with soft ranges and a target.
#[divan::bench(args = SIZES, sample_size = 100)]
fn warm(bencher: Bencher<'_, '_>, n: usize) {
    let instance = Instance::new(n, 0);
    let mut problem = instance.problem(Task::Mix);
    let mut solver = Solver::default();
    let (low, high) = instance.ranges[0];
    let mut step = 0_u32;
    bencher.bench_local(|| {
        step = (step + 1) % 20;
        let shift = 0.05 * f64::from(step.min(20 - step));
        problem.set_range(0, low + shift, high + shift).expect("in order");
        solver.solve(black_box(&problem)).expect("soft ranges can be met").objective
    });
}

/// From nothing.
#[divan::bench(args = SIZES, sample_size = 20)]
fn cold(bencher: Bencher<'_, '_>, n: usize) {
    let problem = Instance::new(n, 0).problem(Task::Mix);
    bencher.bench(|| Solver::default().solve(black_box(&problem)).expect("soft ranges can be met").objective);
}

fn proven(problem: &Problem) -> f64 {
    let mut search = Search::start(problem, LIMITS).expect("possible limits");
    loop {
        let progress = search.step(1000);
        if progress.done {
            return progress.lower_bound;
        }
    }
}

/// Five variables in whole hundredths, proven.
#[divan::bench(args = [60, 150], consts = [0, 1, 2], sample_count = 10, sample_size = 1)]
fn cost<const S: usize>(bencher: Bencher<'_, '_>, n: usize) {
    let problem = Instance::new(n, S).problem(Task::Cost);
    bencher.bench(|| proven(black_box(&problem)));
}

/// Five variables in whole hundredths, proven.
#[divan::bench(args = [60, 150], consts = [0, 1, 2], sample_count = 10, sample_size = 1)]
fn matching<const S: usize>(bencher: Bencher<'_, '_>, n: usize) {
    let problem = Instance::new(n, S).problem(Task::Match);
    bencher.bench(|| proven(black_box(&problem)));
}

/// Five variables in whole hundredths, proven.
#[divan::bench(args = [60, 150], consts = [0, 1, 2], sample_count = 10, sample_size = 1)]
fn mix<const S: usize>(bencher: Bencher<'_, '_>, n: usize) {
    let problem = Instance::new(n, S).problem(Task::Mix);
    bencher.bench(|| proven(black_box(&problem)));
}

/// Fifty points of fit against cost.
#[divan::bench(args = SIZES, sample_count = 20)]
fn front_of_50(bencher: Bencher<'_, '_>, n: usize) {
    let instance = Instance::new(n, 0);
    let problem = instance.problem(Task::Match);
    bencher.bench(|| front(black_box(&problem), &instance.price, 50).expect("a front"));
}

/// The longest wait between two looks at a cancel button: a slice of 50 nodes of the hardest search.
#[divan::bench(sample_count = 200, sample_size = 1)]
fn slice_150(bencher: Bencher<'_, '_>) {
    let problem = Instance::new(150, 0).problem(Task::Match);
    let mut search = Search::start(&problem, LIMITS).expect("possible limits");
    bencher.bench_local(|| search.step(50).nodes);
}
