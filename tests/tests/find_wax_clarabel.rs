//! The least change of a blend with beeswax, of which no acids are tabled, against Clarabel, an interior-point solver
//! (P. Goulart and Y. Chen, 2024). A search once left the wax out without counting it, and proved a result that was a
//! hundred too near.

use barwright_acceptance::assert_within;
use barwright_core::design::document;
use barwright_core::find::{Aim, BlendSearch, Demand, Measure, Outcome, Rule, ShareStep, Wanted};
use barwright_core::library::estimates::Estimate;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Interval, Share};
use barwright_core::{Library, evaluate};
use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT};
use std::collections::BTreeSet;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

/// Too soft for what is asked.
const BLEND: [(&str, f64); 4] = [("olive_virgin", 40.0), ("coconut", 30.0), ("castor", 20.0), ("beeswax", 10.0)];
const WAX: f64 = 10.0;
const HARD: (f64, f64) = (44.0, 50.0);

/// What the search makes of it where any share of any fat will do.
fn search(leave_the_wax_out: bool) -> Outcome {
    let fats: Vec<String> = BLEND.iter().map(|(fat, share)| format!("(fat: {fat:?}, share: {share:?})")).collect();
    let text = format!("(barwright: 1, fats: [{}])", fats.join(", "));
    let design = document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{text}: {e}"));
    let range = Interval::new(HARD.0, HARD.1).expect("rises");
    let mut wanted = Wanted {
        aim: Aim::SmallestChange,
        demands: vec![Demand { measure: Measure::Estimate(Estimate::Hardness), rule: Rule::Must, range }],
        at_most: None,
        least: Share::nearest(0.0),
        step: ShareStep::Any,
        practices: BTreeSet::new(),
        results: 1,
        ..Wanted::of(&design, &evaluate(&design, &LIBRARY), &LIBRARY)
    };
    if leave_the_wax_out {
        assert!(wanted.leave_out(&MaterialId::new("beeswax").expect("an id")), "it is a candidate");
    }
    let mut search = BlendSearch::start(wanted, &LIBRARY).unwrap_or_else(|e| panic!("{e}"));
    while !search.step(200) {}
    search.outcome()
}

/// The least Σ(w − w₀)² over all fats with acids, percent², where they sum to `whole` and their mean hardness is as asked.
fn by_clarabel(whole: f64) -> f64 {
    let fats: Vec<_> = LIBRARY.fats().iter().filter(|f| !f.profile().is_empty()).collect();
    let before: Vec<f64> = fats
        .iter()
        .map(|fat| BLEND.iter().find(|(id, _)| *id == fat.id.as_str()).map_or(0.0, |(_, share)| *share))
        .collect();
    let weight = |e: &barwright_core::library::fats::ProfileEntry| {
        e.typical / 100.0 * LIBRARY.weights.get(e.acid, Estimate::Hardness)
    };
    let hardness: Vec<f64> = fats.iter().map(|fat| fat.profile().iter().map(weight).sum()).collect();
    let n = fats.len();
    // The sum; then each share not below nothing; then the hardness of the whole from both sides.
    let mut rows = vec![vec![1.0; n]];
    let mut ends = vec![whole];
    for i in 0..n {
        rows.push((0..n).map(|j| if i == j { -1.0 } else { 0.0 }).collect());
        ends.push(0.0);
    }
    rows.push(hardness.iter().map(|h| -h).collect());
    ends.push(-HARD.0 * whole);
    rows.push(hardness.clone());
    ends.push(HARD.1 * whole);
    let twice: Vec<Vec<f64>> = (0..n).map(|i| (0..n).map(|j| if i == j { 2.0 } else { 0.0 }).collect()).collect();
    let linear: Vec<f64> = before.iter().map(|share| -2.0 * share).collect();
    let cones = [SupportedConeT::ZeroConeT(1), SupportedConeT::NonnegativeConeT(ends.len() - 1)];
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-11,
        tol_gap_rel: 1e-11,
        tol_feas: 1e-11,
        ..DefaultSettings::default()
    };
    let (twice, rows) = (CscMatrix::from(&twice), CscMatrix::from(&rows));
    let mut solver = DefaultSolver::new(&twice, &linear, &rows, &ends, &cones, settings).expect("well formed");
    solver.solve();
    assert!(matches!(solver.solution.status, SolverStatus::Solved | SolverStatus::AlmostSolved), "it can be met");
    solver.solution.obj_val + before.iter().map(|share| share * share).sum::<f64>()
}

#[test]
fn the_least_change_beside_a_wax_that_is_held_is_the_one_of_clarabel() {
    let outcome = search(false);
    assert!(outcome.proven, "to its end");
    assert_eq!(outcome.held_without_acids, ["Beeswax at 10 %"], "it says so");
    let expected = by_clarabel(100.0 - WAX);
    assert!(expected > 1.0, "as it is, it is too soft: {expected}");
    assert_within("the least change", outcome.results[0].objective, expected, 1e-5 * expected);
}

#[test]
fn the_blend_without_the_wax_that_was_left_out_by_name_is_the_best_of_all_without_it() {
    let outcome = search(true);
    assert!(outcome.proven && outcome.held_without_acids.is_empty(), "to its end, and nothing is held");
    // To go without the wax is a change too.
    let (found, expected) = (&outcome.results[0], by_clarabel(100.0) + WAX * WAX);
    assert_within("the whole change", found.objective, expected, 1e-5 * expected);
    assert!(found.blend.lines().iter().all(|l| l.fat.id.as_str() != "beeswax"), "{found:?}");
    // Not held and not named, it may not be dropped: that would be told as nearer than it is.
    assert!(by_clarabel(100.0 - WAX) > 1.01 * by_clarabel(100.0), "so the two can be told apart");
}
