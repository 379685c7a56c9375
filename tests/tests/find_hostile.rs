//! Numbers that nobody would mean: the blend search must refuse them or end, never panic or hang.

use barwright_solver::{BadProblem, Limits, Problem, Row, Search, Solver, front, why_infeasible};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -10.0..10.0,
        2 => prop_oneof![Just(0.0), Just(1.0), Just(-1.0), Just(50.0)],
        1 => prop_oneof![Just(1e12), Just(-1e12), Just(1e-12), Just(1e-300), Just(5e-324), Just(1e7)],
    ]
}

fn bound() -> impl Strategy<Value = (f64, f64)> {
    prop_oneof![
        6 => Just((0.0, 1.0)),
        1 => Just((0.0, 0.0)),
        1 => (0.0..0.2).prop_map(|v| (v, v)),
        1 => (0.0..0.1, 0.1..1.0),
        1 => Just((1e-300, 1.0 - 1e-16)),
    ]
}

fn row(n: usize) -> impl Strategy<Value = Row> {
    let end = prop_oneof![3 => number(), 1 => Just(f64::INFINITY), 1 => Just(f64::NEG_INFINITY)];
    let soft = prop_oneof![Just(None), (0.0..5.0).prop_map(Some), Just(Some(0.0)), Just(Some(1e12))];
    (vec(number(), n), end, prop_oneof![Just(0.0), 0.0..10.0, Just(f64::INFINITY)], soft).prop_map(
        |(coefficients, low, width, soft)| {
            let low = if low == f64::INFINITY { 0.0 } else { low };
            let high = if low.is_finite() { low + width } else { width };
            match soft {
                Some(weight) => Row::soft(coefficients, low, high, weight),
                None => Row::hard(coefficients, low, high),
            }
        },
    )
}

fn problem() -> impl Strategy<Value = Problem> {
    (1_usize..9)
        .prop_flat_map(|n| (vec(number(), n), vec(bound(), n), vec(row(n), 0..6)))
        .prop_filter_map("refused", |(cost, bounds, rows)| Problem::new(cost, bounds, rows).ok())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400, failure_persistence: None, rng_seed: RngSeed::Fixed(1908), ..ProptestConfig::default()
    })]

    #[test]
    fn a_search_ends_within_its_bounds(
        problem in problem(), most in 1_usize..6, least in 0.0..0.4, steps in prop_oneof![Just(None), (1_u32..101).prop_map(Some)]
    ) {
        let mut solver = Solver::default();
        for _ in 0..2 {
            if let Ok(solution) = solver.solve(&problem) {
                prop_assert!((solution.w.iter().sum::<f64>() - 1.0).abs() < 1e-8, "the sum of {:?}", solution.w);
                for (i, w) in solution.w.iter().enumerate() {
                    let (low, high) = problem.bounds(i);
                    prop_assert!(*w >= low && *w <= high, "share {i} is {w}");
                }
            }
        }
        let told = why_infeasible(&problem);
        prop_assert!(told.is_ok() || solver.solve(&problem).is_err(), "solved but not explained");
        let _ = front(&problem, problem.cost(), 4);
        if let Ok(mut search) = Search::start(&problem, Limits { most: Some(most), least, steps }) {
            let mut rounds = 0;
            while !search.exhausted() && rounds < 300 {
                search.step(10);
                rounds += 1;
            }
            if let Some(blend) = search.progress().incumbent {
                prop_assert!((blend.w.iter().sum::<f64>() - 1.0).abs() < 1e-6, "the sum of {:?}", blend.w);
                prop_assert!(blend.used.len() <= most, "{} are too many", blend.used.len());
            }
        }
    }
}

#[test]
fn what_is_no_number_is_refused() {
    let bounds = vec![(0.0, 1.0); 2];
    let with = |cost: Vec<f64>, bounds: Vec<(f64, f64)>, rows: Vec<Row>| Problem::new(cost, bounds, rows).map(|_| ());
    assert_eq!(with(vec![], vec![], vec![]), Err(BadProblem::Empty));
    for bad in [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e13] {
        assert!(with(vec![1.0, bad], bounds.clone(), vec![]).is_err(), "a cost of {bad}");
        assert!(with(vec![1.0; 2], vec![(0.0, 1.0), (bad, 1.0)], vec![]).is_err(), "a bound of {bad}");
        assert!(
            with(vec![1.0; 2], bounds.clone(), vec![Row::hard(vec![bad, 1.0], 0.0, 1.0)]).is_err(),
            "a row of {bad}"
        );
        let weighted = Row::soft(vec![1.0; 2], 0.0, 1.0, bad);
        assert!(with(vec![1.0; 2], bounds.clone(), vec![weighted]).is_err(), "a weight of {bad}");
        assert!(with(vec![1.0; 2], bounds.clone(), vec![Row::target(vec![1.0; 2], bad, 1.0)]).is_err(), "at {bad}");
    }
    assert!(with(vec![1.0; 2], bounds.clone(), vec![Row::hard(vec![1.0; 2], 2.0, 1.0)]).is_err(), "wrong order");
    assert!(with(vec![1.0; 2], vec![(0.5, 0.4), (0.0, 1.0)], vec![]).is_err(), "wrong order");
    assert!(with(vec![1.0; 2], vec![(0.0, 1.0)], vec![]).is_err(), "too few bounds");
    assert!(with(vec![1.0; 2], bounds, vec![Row::hard(vec![1.0], 0.0, 1.0)]).is_err(), "a short row");
}
