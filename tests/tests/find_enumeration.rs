//! The blend search against a count through every blend of small markets: at most eight fats in
//! steps of 5 or 10 %, with ranges, bounds and fats that must be in.

#[path = "../src/blend_instances.rs"]
#[allow(dead_code, reason = "each test file uses its part")]
mod blend_instances;

use barwright_acceptance::assert_within;
use barwright_solver::{Distinct, Firmness, Impossible, Limits, Problem, Row, Search, Selection};
use blend_instances::Stream;
use std::collections::BTreeMap;

/// A small market: three indices, soft or hard, a target now and then, some bounds.
fn market(seed: u64) -> (Problem, Limits) {
    let mut stream = Stream(seed);
    let steps = [10_u32, 20][stream.below(2)];
    let n = if steps == 10 { 4 + stream.below(5) } else { 4 + stream.below(2) };
    let cost = (0..n).map(|_| 1.0 + 5.0 * stream.uniform()).collect();
    let mut rows = Vec::new();
    for _ in 0..3 {
        let row: Vec<f64> = (0..n).map(|_| 100.0 * stream.uniform()).collect();
        let low = 20.0 + 40.0 * stream.uniform();
        match stream.below(4) {
            0 => rows.push(Row::hard(row, low, low + 15.0)),
            1 => rows.push(Row::hard(row, f64::NEG_INFINITY, low + 10.0)),
            2 => rows.push(Row::soft(row, low, low + 5.0, 0.1 * stream.uniform())),
            _ => rows.push(Row::target(row, low, 0.02)),
        }
    }
    let bounds = (0..n)
        .map(|_| match stream.below(6) {
            0 => (0.1 * stream.uniform(), 0.5 + 0.5 * stream.uniform()),
            1 => (0.0, 0.6 * stream.uniform()),
            _ => (0.0, 1.0),
        })
        .collect();
    let limits =
        Limits { most: Some(1 + stream.below(4)), least: [0.0, 0.1, 0.15][stream.below(3)], steps: Some(steps) };
    (Problem::new(cost, bounds, rows).expect("good numbers"), limits)
}

/// The best objective for each set of fats, by trying everything.
fn by_counting(problem: &Problem, limits: &Limits) -> BTreeMap<Vec<usize>, f64> {
    fn walk(n: usize, left: u32, counts: &mut Vec<u32>, each: &mut impl FnMut(&[u32])) {
        if counts.len() + 1 == n {
            counts.push(left);
            each(counts);
            counts.pop();
            return;
        }
        for count in 0..=left {
            counts.push(count);
            walk(n, left - count, counts, each);
            counts.pop();
        }
    }
    let steps = limits.steps.expect("whole steps");
    let mut best = BTreeMap::new();
    walk(problem.variables(), steps, &mut Vec::new(), &mut |counts| {
        let used: Vec<usize> = (0..counts.len()).filter(|i| counts[*i] > 0).collect();
        if used.len() > limits.most.unwrap_or(usize::MAX) {
            return;
        }
        let w: Vec<f64> = counts.iter().map(|c| f64::from(*c) / f64::from(steps)).collect();
        let fits = (0..w.len()).all(|i| {
            let (low, high) = problem.bounds(i);
            (w[i] >= limits.least - 1e-12 || counts[i] == 0) && w[i] >= low - 1e-12 && w[i] <= high + 1e-12
        });
        let kept = problem.rows().iter().enumerate().all(|(k, row)| {
            let value = problem.value(k, &w);
            row.firmness != Firmness::Hard || (value >= row.low - 1e-9 && value <= row.high + 1e-9)
        });
        if fits && kept {
            let objective = problem.objective(&w);
            let known = best.entry(used).or_insert(objective);
            *known = objective.min(*known);
        }
    });
    best
}

fn proven(search: &mut Search) -> Option<Selection> {
    for _ in 0..10_000 {
        let progress = search.step(20);
        if progress.done {
            return progress.incumbent;
        }
    }
    panic!("no proof");
}

#[test]
fn small_markets_agree_with_a_count_of_all_blends() {
    let (mut found, mut none, mut refused) = (0, 0, 0);
    for seed in 0..200 {
        let (problem, limits) = market(seed);
        let counted = by_counting(&problem, &limits);
        let least = counted.values().copied().reduce(f64::min);
        match (Search::start(&problem, limits).map(|mut search| proven(&mut search)), least) {
            (Ok(Some(blend)), Some(least)) => {
                found += 1;
                assert_within(&format!("market {seed}"), blend.objective, least, 1e-9);
            }
            (Ok(None), None) => none += 1,
            (Err(_), None) => refused += 1,
            (ours, counted) => panic!("market {seed}: {ours:?}, counted {counted:?}"),
        }
    }
    assert!(found > 50 && none > 3 && refused > 3, "all kinds were met: {found}, {none}, {refused}");
}

#[test]
fn rounds_go_through_the_sets_in_order() {
    for seed in 0..60 {
        let (problem, limits) = market(seed);
        let mut sets: Vec<f64> = by_counting(&problem, &limits).into_values().collect();
        sets.sort_by(f64::total_cmp);
        let Ok(mut search) = Search::start(&problem, limits) else { continue };
        for round in 0..5 {
            let blend = proven(&mut search);
            match (blend, sets.get(round)) {
                (Some(blend), Some(counted)) => {
                    assert_within(&format!("market {seed}, round {round}"), blend.objective, *counted, 1e-9);
                }
                (None, None) => break,
                (ours, counted) => panic!("market {seed}, round {round}: {ours:?}, counted {counted:?}"),
            }
            search.another(Distinct::OtherSet);
        }
    }
}

#[test]
fn what_cannot_be_is_said_at_once() {
    let free = |bounds: Vec<(f64, f64)>| {
        let n = bounds.len();
        Problem::new(vec![1.0; n], bounds, vec![]).expect("good numbers")
    };
    let start = |bounds, most, least, steps| Search::start(&free(bounds), Limits { most, least, steps }).map(|_| ());
    assert_eq!(start(vec![(0.0, 0.0); 3], None, 0.0, None), Err(Impossible::NothingAllowed));
    assert_eq!(start(vec![(0.0, 0.04); 30], None, 0.05, None), Err(Impossible::NothingAllowed));
    assert_eq!(
        start(vec![(0.1, 1.0); 3], Some(2), 0.0, None),
        Err(Impossible::TooManyRequired { required: 3, most: 2 })
    );
    assert_eq!(start(vec![(0.1, 1.0), (0.0, 1.0)], Some(9), 0.05, Some(100)), Ok(()));
    assert_eq!(start(vec![(0.01, 1.0); 3], None, 0.4, None), Err(Impossible::TooMuch(0.4 + 0.4 + 0.4)));
    assert_eq!(start(vec![(0.0, 0.3); 5], Some(3), 0.0, None), Err(Impossible::TooLittle(0.3 + 0.3 + 0.3)));
    // No multiple of 5 % lies between 11 and 14 %.
    assert_eq!(start(vec![(0.11, 0.14), (0.0, 1.0)], None, 0.0, Some(20)), Err(Impossible::NoValue(0)));
    // Each may reach 33 %, in steps of 5 % only 30: three cannot sum to 100.
    assert_eq!(start(vec![(0.0, 0.333_4); 3], None, 0.0, Some(20)), Err(Impossible::TooLittle(0.3 + 0.3 + 0.3)));
    assert_eq!(start(vec![(0.0, 1.0)], Some(0), 0.0, None), Err(Impossible::Nothing));
    assert_eq!(start(vec![(0.0, 1.0)], None, 0.0, Some(0)), Err(Impossible::Nothing));
    assert_eq!(start(vec![(0.0, 1.0)], None, 1.5, None), Err(Impossible::Least(1.5)));
}
