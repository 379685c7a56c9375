//! The search over real fats, checked from outside: what it finds is evaluated anew, and on small
//! pools every blend is tried.

use barwright_core::design::document;
use barwright_core::find::{Aim, BlendSearch, Demand, Found, Measure, Outcome, Rule, ShareStep, Wanted};
use barwright_core::library::estimates::Place;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Interval, Share};
use barwright_core::{Design, Evaluation, Library, evaluate};
use std::sync::LazyLock;

const EXAMPLES: [(&str, &str); 7] = [
    ("apple and oat", include_str!("../../assets/examples/apple-oat-loaf.barwright")),
    ("carrot", include_str!("../../assets/examples/carrot-slab.barwright")),
    ("scrub", include_str!("../../assets/examples/cellar-scrub.barwright")),
    ("starter", include_str!("../../assets/examples/fernhollow-starter.barwright")),
    ("dual lye", include_str!("../../assets/examples/orchard-dual-lye.barwright")),
    ("olive", include_str!("../../assets/examples/orchard-olive.barwright")),
    ("tallow", include_str!("../../assets/examples/winter-tallow.barwright")),
];

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

/// A Fernhollow market bar with prices in round numbers (invented).
const DESIGN: &str = r#"(barwright: 1, name: "Fernhollow market bar",
    fats: [(fat: "olive_virgin", share: 50.0), (fat: "coconut", share: 25.0), (fat: "shea", share: 20.0), (fat: "castor", share: 5.0)],
    superfat: 6.0,
    prices: [
        (material: "olive_virgin", pack_g: 1000.0, price: 9.0), (material: "coconut", pack_g: 500.0, price: 3.0),
        (material: "shea", pack_g: 1000.0, price: 14.0), (material: "castor", pack_g: 250.0, price: 3.0),
        (material: "lard", pack_g: 250.0, price: 0.8), (material: "palm", pack_g: 1000.0, price: 3.5),
        (material: "sunflower_high_oleic", pack_g: 1000.0, price: 3.2), (material: "tallow_beef", pack_g: 1000.0, price: 4.1),
    ])"#;

fn design() -> Design {
    document::read(DESIGN.as_bytes(), &LIBRARY).expect("a design")
}

fn wanted(design: &Design) -> Wanted {
    Wanted::of(design, &evaluate(design, &LIBRARY), &LIBRARY)
}

fn must(mut wanted: Wanted) -> Wanted {
    for demand in &mut wanted.demands {
        demand.rule = Rule::Must;
    }
    wanted
}

fn search(wanted: &Wanted) -> Outcome {
    let mut search = BlendSearch::start(wanted.clone(), &LIBRARY).expect("fats");
    while !search.step(2000) {}
    search.outcome()
}

fn evaluated(design: &Design, found: &Found) -> Evaluation {
    evaluate(&Design { blend: found.blend.clone(), ..design.clone() }, &LIBRARY)
}

fn id(text: &str) -> MaterialId {
    MaterialId::new(text).expect("an id")
}

fn only(wanted: &mut Wanted, fats: &[&str]) {
    wanted.candidates.retain(|c| fats.contains(&c.line.fat.id.as_str()));
    // Who lists a fat names it.
    for fat in fats {
        wanted.name(&id(fat));
    }
    assert_eq!(wanted.candidates.len(), fats.len(), "all are candidates");
}

/// Every blend of `count` fats in steps of `step` percent.
fn every_blend(count: usize, step: u32) -> Vec<Vec<u32>> {
    fn rest(count: usize, left: u32, step: u32) -> Vec<Vec<u32>> {
        if count == 1 {
            return vec![vec![left]];
        }
        let firsts = (0..=left).step_by(usize::try_from(step).expect("small"));
        let with = |first: u32| {
            rest(count - 1, left - first, step).into_iter().map(move |others| [vec![first], others].concat())
        };
        firsts.flat_map(with).collect()
    }
    rest(count, 100, step)
}

#[test]
fn all_that_is_found_keeps_every_demand_when_it_is_evaluated_anew() {
    let design = design();
    let mut wanted = must(wanted(&design));
    assert!(wanted.candidates.len() >= 55, "the whole library: {}", wanted.candidates.len());
    wanted.leave_out(&id("olive_virgin"));
    wanted.results = 4;
    let sv = Interval::new(190.0, 205.0).expect("rises");
    let ratio = Interval::new(0.7, 1.0).expect("rises");
    wanted.demands.push(Demand { measure: Measure::SaponificationValue, rule: Rule::Must, range: sv });
    wanted.demands.push(Demand { measure: Measure::SaturatedPerUnsaturated, rule: Rule::Must, range: ratio });
    let outcome = search(&wanted);
    assert!(outcome.proven && outcome.results.len() == 4, "{outcome:?}");
    let mut seen: Vec<Vec<&str>> = Vec::new();
    for found in &outcome.results {
        let lines = found.blend.lines();
        assert!(found.blend.is_whole(), "{lines:?}");
        assert!(lines.len() <= 5 && lines.iter().all(|l| l.share.get() >= 5.0), "few, and no traces");
        assert!(lines.iter().all(|l| (l.share.get() - l.share.get().round()).abs() < 1e-9), "whole percents");
        assert!(lines.iter().all(|l| l.fat.id.as_str() != "olive_virgin"), "without olive oil");
        let evaluation = evaluated(&design, found);
        for result in evaluation.estimates.expect("tabled acids") {
            assert_eq!(result.place, Some(Place::Inside), "{:?} of {lines:?}", result.estimate);
        }
        for (measure, range) in [(Measure::SaponificationValue, sv), (Measure::SaturatedPerUnsaturated, ratio)] {
            let value = measure.of(&evaluation, &LIBRARY).expect("known");
            assert!(range.widened(1e-9).contains(value), "{measure:?} {value} of {lines:?}");
        }
        let fats: Vec<&str> = lines.iter().map(|l| l.fat.id.as_str()).collect();
        assert!(!seen.contains(&fats), "twice: {fats:?}");
        seen.push(fats);
    }
    let objectives: Vec<f64> = outcome.results.iter().map(|r| r.objective).collect();
    assert!(objectives.is_sorted(), "the best first: {objectives:?}");
}

#[test]
fn the_cheapest_is_that_of_all_blends_there_are() {
    let design = design();
    let fats = ["olive_virgin", "coconut", "lard", "palm", "sunflower_high_oleic"];
    let mut wanted = must(wanted(&design));
    only(&mut wanted, &fats);
    wanted.aim = Aim::Cheapest;
    wanted.step = ShareStep::Five;
    wanted.at_most = Some(3);
    wanted.least = Share::new(10.0).expect("a share");
    wanted.results = 1;
    let price = |i: usize| wanted.price_per_kg(&wanted.candidates[i].line.fat.id).expect("priced");
    let mut best: Option<f64> = None;
    for shares in every_blend(fats.len(), 5) {
        let used = || shares.iter().filter(|s| **s > 0);
        if used().count() > 3 || used().any(|s| *s < 10) {
            continue;
        }
        let mut blend = Vec::new();
        for (candidate, share) in wanted.candidates.iter().zip(&shares).filter(|(_, s)| **s > 0) {
            let mut line = candidate.line.clone();
            line.share = Share::new(f64::from(*share)).expect("a share");
            blend.push(line);
        }
        let blend = barwright_core::design::blend::Blend::new(blend).expect("fats");
        let evaluation = evaluate(&Design { blend, ..design.clone() }, &LIBRARY);
        if evaluation.estimates.expect("tabled").iter().all(|r| r.place == Some(Place::Inside)) {
            let cost: f64 = shares.iter().enumerate().map(|(i, s)| price(i) * f64::from(*s) / 100.0).sum();
            best = Some(best.map_or(cost, |b| b.min(cost)));
        }
    }
    let best = best.expect("some blend is inside");
    let outcome = search(&wanted);
    assert!(outcome.proven, "a small pool");
    let found = outcome.results[0].price_per_kg.expect("priced");
    assert!((found - best).abs() < 1e-9, "{found}, but of all {best}");
}

#[test]
fn the_nearest_is_that_of_all_blends_there_are() {
    let design = design();
    let mut wanted = wanted(&design);
    only(&mut wanted, &["coconut", "lard", "palm", "sunflower_high_oleic"]);
    wanted.demands.clear();
    wanted.step = ShareStep::Five;
    wanted.least = Share::new(5.0).expect("a share");
    let Aim::Nearest(target) = wanted.aim.clone() else { panic!("the acids of the design are the aim") };
    // The acids read from the table anew.
    let profile = |i: usize, acid: usize| -> f64 {
        wanted.candidates[i].line.fat.profile().iter().filter(|e| e.acid.index() == acid).map(|e| e.typical).sum()
    };
    let distance = |shares: &[u32]| -> f64 {
        let off = |acid: usize| -> f64 {
            let blend: f64 = shares.iter().enumerate().map(|(i, s)| f64::from(*s) / 100.0 * profile(i, acid)).sum();
            blend - 100.0 * target.fractions()[acid]
        };
        (0..target.fractions().len()).map(|acid| off(acid).powi(2)).sum()
    };
    let best = every_blend(4, 5).iter().map(|s| distance(s)).fold(f64::INFINITY, f64::min);
    let found = search(&wanted).results[0].objective;
    assert!((found - best).abs() < 1e-9 * best, "{found}, but of all {best}");
}

#[test]
fn soft_ranges_are_left_only_where_that_is_worth_it() {
    let design = design();
    let mut soft = wanted(&design);
    soft.results = 1;
    let of = |wanted: &Wanted| search(wanted).results[0].objective;
    let free = Wanted { demands: Vec::new(), ..soft.clone() };
    let hard = must(soft.clone());
    let (free, soft, hard) = (of(&free), of(&soft), of(&hard));
    assert!(free <= soft + 1e-9 && soft <= hard + 1e-9, "{free}, {soft}, {hard}");
}

#[test]
fn held_and_bounded_fats_keep_their_bounds() {
    let mut design = design();
    design.blend.set_locked(&id("shea"), true).expect("it is there");
    let mut wanted = wanted(&design);
    let lard = wanted.candidates.iter_mut().find(|c| c.line.fat.id == id("lard")).expect("a candidate");
    lard.least = Share::new(12.0).expect("a share");
    lard.most = Share::new(15.0).expect("a share");
    let found = &search(&wanted).results[0].blend;
    assert!((found.line(&id("shea")).expect("held").share.get() - 20.0).abs() < 1e-12, "locked");
    assert!(found.line(&id("shea")).expect("held").locked, "and stays locked");
    assert!((12.0..=15.0).contains(&found.line(&id("lard")).expect("required").share.get()), "bounded");
}

#[test]
fn a_held_share_need_not_keep_the_least_nor_the_steps() {
    let mut design = design();
    // 3 % is less than the least share, and 12.5 % leaves whole steps only with another half.
    let share = |design: &mut Design, fat: &str, percent: f64| {
        design.blend.set_share(&id(fat), Share::new(percent).expect("a share")).expect("there is room");
        design.blend.set_locked(&id(fat), true).expect("it is there");
    };
    share(&mut design, "castor", 3.0);
    let base = wanted(&design);
    let outcome = search(&base);
    let found = &outcome.results[0];
    assert!(outcome.proven && (found.blend.line(&id("castor")).expect("held").share.get() - 3.0).abs() < 1e-12);
    assert!(found.blend.is_whole() && found.blend.lines().len() <= 5, "{found:?}");
    let others = found.blend.lines().iter().filter(|l| l.fat.id.as_str() != "castor");
    assert!(others.into_iter().all(|l| l.share.get() >= 5.0 && l.share.get().fract() == 0.0), "{found:?}");
    // The objective is that of the whole blend.
    let Aim::Nearest(target) = &base.aim else { panic!("the acids of the design are the aim") };
    let composition = evaluated(&design, found).composition.expect("tabled acids");
    let acids = composition.fractions().iter().zip(target.fractions());
    let distance: f64 = acids.map(|(a, b)| (100.0 * (a - b)).powi(2)).sum();
    let no_ranges = Wanted { demands: Vec::new(), ..base };
    let free = search(&no_ranges).results.remove(0);
    assert!(free.objective <= distance + 1e-9 && distance <= found.objective + 1e-9, "{} {distance}", free.objective);

    share(&mut design, "shea", 12.5);
    let says = search(&wanted(&design)).collision.expect("half steps").demands.join("; ");
    assert!(says.contains("held fats leave 84.5 %"), "{says}");
    let any = Wanted { step: ShareStep::Any, ..wanted(&design) };
    let found = search(&any).results.remove(0).blend;
    assert!(found.is_whole() && (found.line(&id("shea")).expect("held").share.get() - 12.5).abs() < 1e-12);
    let few = Wanted { at_most: Some(2), step: ShareStep::Any, ..wanted(&design) };
    let says = search(&few).collision.expect("both are held").demands.join("; ");
    assert!(says.contains("2 fats are held, but at most 2"), "{says}");

    // A price that a held fat has is in the price of the blend.
    let mut cheapest = Wanted { aim: Aim::Cheapest, step: ShareStep::Any, ..wanted(&design) };
    cheapest.results = 1;
    let found = search(&cheapest).results.remove(0);
    let soft = found.objective - found.price_per_kg.expect("priced");
    assert!((-1e-9..1.0).contains(&soft), "what is not price is what soft ranges cost: {soft}");
}

#[test]
fn what_cannot_be_is_said_plainly() {
    let design = design();
    let base = || wanted(&design);
    let collision = |wanted: &Wanted| search(wanted).collision.expect("nothing fits").demands.join("; ");
    // Contradictory ranges.
    let mut wanted = must(base());
    let far = Interval::new(95.0, 100.0).expect("rises");
    for demand in &mut wanted.demands {
        demand.range = far;
    }
    assert!(collision(&wanted).contains("at least 95"), "{}", collision(&wanted));
    // No fats.
    let mut wanted = base();
    wanted.candidates.clear();
    let error = BlendSearch::start(wanted, &LIBRARY).expect_err("no fats").to_string();
    assert!(error.contains("no fat may be used"), "{error}");
    // Prices missing.
    let mut wanted = base();
    wanted.aim = Aim::Cheapest;
    wanted.prices.clear();
    let error = BlendSearch::start(wanted, &LIBRARY).expect_err("no prices").to_string();
    assert!(error.contains("prices are needed"), "{error}");
    let mut wanted = base();
    wanted.aim = Aim::Cheapest;
    wanted.candidates[3].least = Share::new(5.0).expect("a share");
    wanted.prices.retain(|p| p.material != "castor");
    let error = BlendSearch::start(wanted, &LIBRARY).expect_err("castor has none").to_string();
    assert!(error.contains("Castor oil"), "{error}");
    // More fats allowed than there are is no limit.
    let mut wanted = base();
    only(&mut wanted, &["coconut", "palm"]);
    wanted.at_most = Some(9);
    assert_eq!(search(&wanted).results.len(), 3, "both, and each alone");
    // Steps that cannot sum to 100.
    let mut wanted = base();
    only(&mut wanted, &["coconut", "palm"]);
    for candidate in &mut wanted.candidates {
        candidate.most = Share::new(49.0).expect("a share");
    }
    assert!(collision(&wanted).contains("98 %"), "{}", collision(&wanted));
    wanted.step = ShareStep::Five;
    wanted.candidates[0].least = Share::new(46.0).expect("a share");
    assert!(collision(&wanted).contains("Coconut oil must be used with 46 % to 49 %"), "{}", collision(&wanted));
    // The whole can be met, but not by so few.
    let mut wanted = must(base());
    wanted.at_most = Some(1);
    let says = collision(&wanted);
    assert!(says.contains("a single fat"), "{says}");
}

#[test]
fn every_example_can_be_searched_in_every_way() {
    for (name, text) in EXAMPLES {
        let design = document::read(text.as_bytes(), &LIBRARY).expect("an example");
        let base = Wanted { results: 1, ..wanted(&design) };
        let ways = [
            base.clone(),
            must(base.clone()),
            Wanted { step: ShareStep::Five, ..base.clone() },
            Wanted { step: ShareStep::Any, least: Share::nearest(0.0), at_most: None, ..must(base.clone()) },
            Wanted { aim: Aim::SmallestChange, ..must(base.clone()) },
            Wanted { at_most: Some(7), ..base.clone() },
        ];
        for (i, way) in ways.into_iter().enumerate() {
            let outcome = search(&way);
            assert!(outcome.proven || outcome.collision.is_some(), "{name}, way {i}: {outcome:?}");
            for found in &outcome.results {
                assert!(found.blend.is_whole(), "{name}, way {i}: {:?}", found.blend);
            }
        }
    }
}

#[test]
fn the_order_of_the_fats_changes_nothing() {
    let design = design();
    let wanted = must(wanted(&design));
    let mut turned = wanted.clone();
    turned.candidates.reverse();
    let (a, b) = (search(&wanted), search(&turned));
    for (a, b) in a.results.iter().zip(&b.results) {
        assert!((a.objective - b.objective).abs() < 1e-9 * (1.0 + a.objective), "{} and {}", a.objective, b.objective);
    }
}
