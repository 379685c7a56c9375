//! What judgements of two bars teach, against Clarabel, an interior-point solver (P. Goulart and Y. Chen, Clarabel: an
//! interior-point solver for conic programs with quadratic objectives, 2024), and its laws.

use barwright_acceptance::{Stream, assert_within};
use barwright_core::Library;
use barwright_core::bench::learnt::preferences::{Bar, Preference, SPREAD_POINTS, Taught, WEIGHT_SD, taught};
use barwright_core::library::composition::Composition;
use barwright_core::library::estimates::Estimate;
use barwright_core::units::Fraction;
use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SolverStatus, SupportedConeT};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// The scores that are of points.
const OF_POINTS: [Estimate; 6] = [
    Estimate::Hardness,
    Estimate::Cleansing,
    Estimate::Conditioning,
    Estimate::LatherVolume,
    Estimate::LatherPersistence,
    Estimate::Wear,
];

fn blend(fats: &[(&str, f64)]) -> Composition {
    let fats = fats.iter().map(|(id, share)| (LIBRARY.fat(id).expect("a fat").as_ref(), *share));
    Composition::of(fats, &LIBRARY.acids).expect("fats with profiles")
}

/// Three fats with profiles in random shares.
fn any_blend(stream: &mut Stream) -> Composition {
    loop {
        let fats: Vec<_> = (0..3)
            .map(|_| (LIBRARY.fats()[stream.place(LIBRARY.fats().len())].as_ref(), stream.between(0.05, 1.0)))
            .collect();
        if let Some(composition) = Composition::of(fats, &LIBRARY.acids) {
            return composition;
        }
    }
}

const fn bar(composition: &Composition) -> Bar<'_> {
    Bar { composition, free_fat: Fraction(0.05) }
}

const fn more<'a>(more: &'a Composition, less: &'a Composition) -> Preference<'a> {
    Preference { more: bar(more), less: bar(less) }
}

fn learn(estimate: Estimate, judged: &[Preference<'_>]) -> Taught {
    taught(&LIBRARY.weights, &LIBRARY.acids, estimate, judged).expect("a score of points")
}

/// The table's weights, as parts of 1.
fn table(estimate: Estimate) -> Vec<f64> {
    LIBRARY.acids.iter().map(|(id, _)| LIBRARY.weights.get(id, estimate) / 100.0).collect()
}

/// The same by Clarabel, weights as parts of 1: for each judgement ln(1 + e^z) ≤ t, which is e^(z − t) + e^(−t) ≤ 1, by two
/// exponential cones.
fn by_clarabel(estimate: Estimate, judged: &[Preference<'_>]) -> Vec<f64> {
    let (prior, pairs) = (table(estimate), judged.len());
    let n = prior.len();
    let all = n + 3 * pairs;
    let sharp = WEIGHT_SD.powi(-2);
    let quadratic = CscMatrix::new(all, all, (0..=all).map(|j| j.min(n)).collect(), (0..n).collect(), vec![sharp; n]);
    let mut linear: Vec<f64> = prior.iter().map(|w| -sharp * w).collect();
    let (mut lines, mut ends) = (Vec::new(), Vec::new());
    let mut row = |entries: &[(usize, f64)], end: f64| {
        let mut line = vec![0.0; all];
        for (place, value) in entries {
            line[*place] += value;
        }
        lines.push(line);
        ends.push(end);
    };
    for i in 0..n {
        row(&[(i, -1.0)], 0.0);
        row(&[(i, 1.0)], 1.0);
    }
    // Behind the weights each judgement has t, u ≥ e^(z − t) and v ≥ e^(−t).
    for k in 0..pairs {
        row(&[(n + 3 * k + 1, 1.0), (n + 3 * k + 2, 1.0)], 1.0);
        linear.extend([1.0, 0.0, 0.0]);
    }
    for (k, judged) in judged.iter().enumerate() {
        let t = n + 3 * k;
        let (more, less) = (judged.more.composition, judged.less.composition);
        let points = 100.0 / SPREAD_POINTS;
        let differences = more.fractions().iter().zip(less.fractions()).map(|(more, less)| points * (more - less));
        let free =
            if estimate == Estimate::Conditioning { points * (more.unsaponifiable - less.unsaponifiable) } else { 0.0 };
        // A cone holds (x, y, z) with y·e^(x/y) ≤ z, of what is left of each end.
        let mut line: Vec<(usize, f64)> = differences.enumerate().collect();
        line.push((t, 1.0));
        row(&line, -free);
        row(&[], 1.0);
        row(&[(t + 1, -1.0)], 0.0);
        row(&[(t, 1.0)], 0.0);
        row(&[], 1.0);
        row(&[(t + 2, -1.0)], 0.0);
    }
    let mut cones = vec![SupportedConeT::NonnegativeConeT(2 * n + pairs)];
    cones.extend(vec![SupportedConeT::ExponentialConeT(); 2 * pairs]);
    let (mut starts, mut places, mut values) = (vec![0], Vec::new(), Vec::new());
    for j in 0..all {
        for (i, line) in lines.iter().enumerate().filter(|(_, line)| line[j] != 0.0) {
            places.push(i);
            values.push(line[j]);
        }
        starts.push(places.len());
    }
    let lines = CscMatrix::new(lines.len(), all, starts, places, values);
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-11,
        tol_gap_rel: 1e-11,
        tol_feas: 1e-10,
        ..DefaultSettings::default()
    };
    let mut solver = DefaultSolver::new(&quadratic, &linear, &lines, &ends, &cones, settings).expect("well formed");
    solver.solve();
    let status = solver.solution.status;
    assert!(matches!(status, SolverStatus::Solved | SolverStatus::AlmostSolved), "Clarabel ended with {status:?}");
    solver.solution.x[..n].to_vec()
}

#[test]
fn the_weights_are_those_of_a_general_solver() {
    let mut stream = Stream(1952);
    for estimate in OF_POINTS {
        for pairs in [1, 4, 15, 50] {
            let blends: Vec<_> = (0..pairs).map(|_| (any_blend(&mut stream), any_blend(&mut stream))).collect();
            let judged: Vec<_> = blends.iter().map(|(a, b)| more(a, b)).collect();
            let learnt = learn(estimate, &judged);
            for (i, (ours, theirs)) in learnt.weights().iter().zip(by_clarabel(estimate, &judged)).enumerate() {
                let what = format!("{}, {pairs} judgements, acid {i}, points", estimate.name());
                assert_within(&what, *ours, 100.0 * theirs, 0.002);
            }
        }
    }
}

#[test]
fn without_judgements_it_is_the_tables_score() {
    let olive = blend(&[("olive_virgin", 70.0), ("coconut", 30.0)]);
    let plain = barwright_core::formula::Plain;
    let scores = LIBRARY.weights.scores(plain, &olive, Fraction(0.05), &LIBRARY.acids);
    for estimate in OF_POINTS {
        let score = learn(estimate, &[]).score(bar(&olive));
        assert_within(estimate.name(), score.value, scores.get(estimate), 1e-9);
        let fractions = olive.fractions().iter().map(|f| f * f).sum::<f64>().sqrt();
        assert_within("its spread", score.sd, 100.0 * WEIGHT_SD * fractions, 1e-9);
    }
}

#[test]
fn keeping_which_has_no_points_is_not_taught() {
    assert_eq!(taught(&LIBRARY.weights, &LIBRARY.acids, Estimate::Keeping, &[]), None);
}

/// Each judgement of one kind moves the two bars further apart, by less and less, and makes the score surer.
#[test]
fn more_judgements_of_a_kind_move_further() {
    let (olive, tallow) = (blend(&[("olive_virgin", 100.0)]), blend(&[("tallow_beef", 100.0)]));
    let of = |count| learn(Estimate::Hardness, &vec![more(&olive, &tallow); count]);
    let apart = |count| of(count).score(bar(&olive)).value - of(count).score(bar(&tallow)).value;
    let sd = |count| of(count).score(bar(&olive)).sd;
    for count in 0..6 {
        assert!(apart(count + 1) > apart(count), "{} then {}", apart(count), apart(count + 1));
        assert!(sd(count + 1) <= sd(0), "surer than without, {} after {}", sd(count + 1), sd(0));
    }
    let one = of(1).percent_above(bar(&olive), bar(&tallow));
    assert!(of(5).percent_above(bar(&olive), bar(&tallow)) > one, "and it is believed more");
}

/// As many judgements against as for pull two bars together, and never past each other.
#[test]
fn judgements_that_contradict_each_other_make_two_bars_alike() {
    let (olive, tallow) = (blend(&[("olive_virgin", 100.0)]), blend(&[("tallow_beef", 100.0)]));
    let apart = |count: usize| {
        let judged = [vec![more(&olive, &tallow); count], vec![more(&tallow, &olive); count]].concat();
        let learnt = learn(Estimate::Hardness, &judged);
        learnt.score(bar(&tallow)).value - learnt.score(bar(&olive)).value
    };
    for count in [0, 1, 3, 10] {
        assert!(
            apart(count + 1) < apart(count) && apart(count + 1) >= 0.0,
            "{} then {}",
            apart(count),
            apart(count + 1)
        );
    }
    let same = learn(Estimate::Hardness, &[more(&olive, &olive); 7]);
    let unmoved = learn(Estimate::Hardness, &[]);
    assert_eq!(same.weights(), unmoved.weights(), "of a bar and itself nothing is learnt");
}

#[test]
fn a_few_judgements_that_agree_with_the_table_hardly_move_it() {
    let (olive, tallow) = (blend(&[("olive_virgin", 100.0)]), blend(&[("tallow_beef", 100.0)]));
    let learnt = learn(Estimate::Hardness, &[more(&tallow, &olive); 3]);
    for (ours, table) in learnt.weights().iter().zip(table(Estimate::Hardness)) {
        assert_within("points", *ours, 100.0 * table, 1.0);
    }
}

#[test]
fn the_order_of_judgements_changes_nothing() {
    let mut stream = Stream(7);
    let blends: Vec<_> = (0..20).map(|_| (any_blend(&mut stream), any_blend(&mut stream))).collect();
    let mut judged: Vec<_> = blends.iter().map(|(a, b)| more(a, b)).collect();
    let there = learn(Estimate::LatherVolume, &judged);
    judged.reverse();
    judged.rotate_left(7);
    let back = learn(Estimate::LatherVolume, &judged);
    for (a, b) in there.weights().iter().zip(back.weights()) {
        assert_within("points", *a, *b, 1e-6);
    }
}

#[test]
fn however_often_the_absurd_is_judged_weights_stay_between_0_and_100_points() {
    let (olive, tallow) = (blend(&[("olive_virgin", 100.0)]), blend(&[("tallow_beef", 100.0)]));
    for estimate in OF_POINTS {
        for (a, b) in [(&olive, &tallow), (&tallow, &olive)] {
            let learnt = learn(estimate, &vec![more(a, b); 5000]);
            assert!(learnt.weights().iter().all(|w| (0.0..=100.0).contains(w)), "{:?}", learnt.weights());
            let score = learnt.score(bar(a));
            assert!(score.value.is_finite() && score.sd.is_finite(), "{score:?}");
        }
    }
}
