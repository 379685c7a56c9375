//! What a search does without being told: it keeps what it cannot weigh, and proposes what makers use. The shares are
//! common practice, no source; what is found is checked against every blend tried one by one, and evaluated anew.

use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::document;
use barwright_core::find::{
    Aim, BlendSearch, Demand, FindError, Found, Measure, Outcome, Practice, Rule, Wanted, candidates, nudge,
};
use barwright_core::library::estimates::Estimate;
use barwright_core::library::fats::{Fat, FatKind};
use barwright_core::library::material::MaterialId;
use barwright_core::trust::Trust;
use barwright_core::units::Interval;
use barwright_core::{Design, Library, evaluate};
use std::collections::BTreeSet;
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fn design(fats: &[(&str, f64)], rest: &str) -> Design {
    let fats: Vec<String> = fats.iter().map(|(fat, share)| format!("(fat: {fat:?}, share: {share:?})")).collect();
    let text = format!("(barwright: 1, fats: [{}]{rest})", fats.join(", "));
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn wanted(design: &Design) -> Wanted {
    Wanted::of(design, &evaluate(design, &LIBRARY), &LIBRARY)
}

/// The outcome after so many steps of a few nodes, or fewer.
fn search(wanted: &Wanted, steps: usize) -> Outcome {
    let mut search = BlendSearch::start(wanted.clone(), &LIBRARY).unwrap_or_else(|e| panic!("{e}: {wanted:?}"));
    for _ in 0..steps {
        if search.step(200) {
            break;
        }
    }
    search.outcome()
}

/// As read, but with the lye that the library's records rest on.
fn narrowed(design: Design) -> Design {
    let line = |line: &FatLine| FatLine { fat: line.fat.narrowed(), ..line.clone() };
    let blend = Blend::new(design.blend.lines().iter().map(line).collect()).expect("fats");
    Design { blend, ..design }
}

fn id(text: &str) -> MaterialId {
    MaterialId::new(text).expect("an id")
}

/// Percent of `fat` in what was found.
fn share(found: &Found, fat: &str) -> f64 {
    found.blend.line(&id(fat)).map_or(0.0, |l| l.share.get())
}

/// Not locked, and no acids of it are tabled.
const WAXED: [(&str, f64); 4] = [("olive_virgin", 40.0), ("coconut", 30.0), ("castor", 20.0), ("beeswax", 10.0)];

#[test]
fn the_smallest_change_keeps_a_wax_that_it_cannot_weigh_and_is_the_best_of_all_blends() {
    let design = design(&WAXED, "");
    let hard = Interval::new(44.0, 50.0).expect("rises");
    let mut wanted = wanted(&design);
    wanted.aim = Aim::SmallestChange;
    wanted.demands = vec![Demand { measure: Measure::Estimate(Estimate::Hardness), rule: Rule::Must, range: hard }];
    let outcome = search(&wanted, usize::MAX);
    assert!(outcome.proven, "to its end");
    assert_eq!(outcome.held_without_acids, ["Beeswax at 10 %"], "it says so");
    let found = &outcome.results[0];
    assert!((share(found, "beeswax") - 10.0).abs() < 1e-12, "it stays: {found:?}");
    let distance =
        |shares: [f64; 3]| shares.iter().zip(WAXED).map(|(now, (_, then))| (now - then).powi(2)).sum::<f64>();
    let own = [share(found, "olive_virgin"), share(found, "coconut"), share(found, "castor")];
    // A newcomer counts by all of its share.
    let others: f64 = found
        .blend
        .lines()
        .iter()
        .filter(|l| WAXED.iter().all(|(fat, _)| *fat != l.fat.id.as_str()))
        .map(|l| l.share.get().powi(2))
        .sum();
    assert!((distance(own) + others - found.objective).abs() < 1e-6, "no change is uncounted: {found:?}");
    // Every blend of the own fats and one fat more, in whole percents, none below 5.
    let mut best = f64::INFINITY;
    let newcomers = candidates(&design, &LIBRARY).into_iter().filter(|c| {
        !c.is_held() && design.blend.line(&c.line.fat.id).is_none() && wanted.left_out_by(c, &LIBRARY).is_none()
    });
    let hardness_of = |fat: &str| {
        let fat = LIBRARY.fat(fat).expect("a fat");
        fat.profile().iter().map(|e| e.typical / 100.0 * LIBRARY.weights.get(e.acid, Estimate::Hardness)).sum::<f64>()
    };
    let of_own = [hardness_of("olive_virgin"), hardness_of("coconut"), hardness_of("castor")];
    let newcomers: Vec<String> = newcomers.map(|c| c.line.fat.id.to_string()).collect();
    assert!(newcomers.len() > 20, "{newcomers:?}");
    for newcomer in &newcomers {
        let fat = LIBRARY.fat(newcomer).expect("a fat");
        let most = match fat.kind {
            FatKind::FreeAcid => 5,
            FatKind::WaxEster { .. } | FatKind::Wax => 0,
            FatKind::Triglyceride => 90,
        };
        let of_newcomer = hardness_of(newcomer);
        for more in (0..=most).filter(|n| *n == 0 || *n >= 5) {
            for olive in (0..=90 - more).filter(|n| *n == 0 || *n >= 5) {
                for coconut in (0..=90 - more - olive).filter(|n| *n == 0 || *n >= 5) {
                    let castor = 90 - more - olive - coconut;
                    if castor > 0 && castor < 5 {
                        continue;
                    }
                    let own = [olive, coconut, castor].map(f64::from);
                    let more = f64::from(more);
                    let objective = distance(own) + more.powi(2);
                    if objective >= best {
                        continue;
                    }
                    // The mean of the part whose acids are tabled, worked out apart from the search.
                    let sum: f64 = own.iter().zip(of_own).map(|(s, h)| s * h).sum::<f64>() + more * of_newcomer;
                    if hard.contains(sum / 90.0) {
                        best = objective;
                    }
                }
            }
        }
    }
    assert!(best > 1.0, "as it is, it is too soft: {best}");
    assert!((best - found.objective).abs() < 1e-6, "tried one by one {best}, found {}", found.objective);
}

#[test]
fn what_is_held_for_want_of_acids_can_be_left_out_by_name_and_too_much_of_it_is_told() {
    let waxed = design(&WAXED, "");
    let mut without = Wanted { aim: Aim::SmallestChange, ..wanted(&waxed) };
    assert!(without.leave_out(&id("beeswax")), "it is a candidate");
    let outcome = search(&without, usize::MAX);
    assert!(outcome.held_without_acids.is_empty(), "{outcome:?}");
    assert!(share(&outcome.results[0], "beeswax") < 1e-12, "gone, since that was asked");
    let mut animals = Wanted { aim: Aim::SmallestChange, ..wanted(&waxed) };
    animals.practices.insert(Practice::NoAnimal);
    let outcome = search(&animals, usize::MAX);
    let rule = outcome.in_force.iter().find(|rule| rule.practice == Practice::NoAnimal).expect("told");
    assert!(rule.fats.contains(&"Beeswax".into()), "left out, and told: {rule:?}");
    let much = design(&[("olive_virgin", 50.0), ("beeswax", 50.0)], "");
    let error = BlendSearch::start(wanted(&much), &LIBRARY).expect_err("half of it is not known");
    assert!(matches!(error, FindError::Unknown(_)), "{error}");
}

/// A starter (invented), with prices in round numbers for the cheapest blend.
const STARTERS: [&[(&str, f64)]; 2] = [
    &[("olive_virgin", 45.0), ("coconut", 25.0), ("shea", 22.0), ("castor", 8.0)],
    &[("lard", 40.0), ("palm", 30.0), ("coconut", 20.0), ("sunflower", 10.0)],
];

/// Every fat with a price; what is common is cheap, what is not is cheaper still, so that a rule has something to hold.
fn priced() -> String {
    let price = |(i, fat): (usize, &Arc<Fat>)| {
        let price = if fat.id.as_str() == "emu" {
            0.5
        } else if fat.is_from_memory() || fat.kind == FatKind::FreeAcid {
            1.0
        } else {
            2.0 + i as f64 / 10.0
        };
        format!("(material: {:?}, pack_g: 1000.0, price: {price:?})", fat.id.as_str())
    };
    format!(", prices: [{}]", LIBRARY.fats().iter().enumerate().map(price).collect::<Vec<_>>().join(", "))
}

/// Whether `fat` rests on memory, read from the tables anew.
fn is_remembered(fat: &Fat) -> bool {
    let large = fat.profile().iter().filter(|e| e.typical >= 5.0);
    fat.sv.trust == Trust::FromMemory || large.map(|e| e.trust).any(|trust| trust == Trust::FromMemory)
}

#[test]
fn no_everyday_question_is_answered_with_much_free_acid_or_with_a_fat_from_memory() {
    let prices = priced();
    let ticks: [&[Practice]; 5] = [
        &[],
        &[Practice::NoAnimal],
        &[Practice::NoPalm],
        &[Practice::NoAnimal, Practice::NoPalm],
        // With this rule lifted, the others still hold.
        &[Practice::FromMemory],
    ];
    let mut questions = 0;
    let mut answered = 0;
    for starter in STARTERS {
        for style in LIBRARY.styles() {
            let design = design(starter, &format!(", style: {:?}{prices}", style.name));
            let base = wanted(&design);
            for aim in [base.aim.clone(), Aim::Cheapest, Aim::SmallestChange] {
                for ticks in ticks {
                    let mut practices = Practice::defaults();
                    for tick in ticks {
                        if !practices.remove(tick) {
                            practices.insert(*tick);
                        }
                    }
                    let wanted = Wanted { aim: aim.clone(), practices: practices.clone(), results: 2, ..base.clone() };
                    let outcome = search(&wanted, 2);
                    questions += 1;
                    answered += usize::from(!outcome.results.is_empty());
                    assert_eq!(outcome.in_force.len(), practices.len(), "all that is in force is told");
                    for found in &outcome.results {
                        check(found, &design, &practices);
                    }
                }
            }
        }
    }
    assert_eq!(questions, 120);
    assert_eq!(answered, questions, "each has an answer");
}

fn check(found: &Found, design: &Design, practices: &BTreeSet<Practice>) {
    let of = |is: &dyn Fn(&Fat) -> bool| -> f64 {
        found.blend.lines().iter().filter(|l| is(&l.fat)).map(|l| l.share.get()).sum()
    };
    assert!(of(&|fat| fat.kind == FatKind::FreeAcid) <= 5.0, "free acid: {found:?}");
    assert!(of(&|fat| matches!(fat.kind, FatKind::Wax | FatKind::WaxEster { .. })) <= 3.0, "wax: {found:?}");
    assert!(of(&|fat| ["neem", "mustard"].contains(&fat.id.as_str())) <= 10.0, "smells: {found:?}");
    let new = |fat: &Fat| design.blend.line(&fat.id).is_none();
    if practices.contains(&Practice::FromMemory) {
        assert!(of(&|fat| new(fat) && is_remembered(fat)) <= 0.0, "from memory: {found:?}");
    }
    // Named here anew: the tables might be wrong.
    let animal = ["lard", "tallow", "goose", "duck", "emu", "butter", "poultry", "wax", "lanolin", "stearic"];
    let is_shea_or_cocoa = |fat: &str| fat.contains("cocoa") || fat.contains("shea");
    if practices.contains(&Practice::NoAnimal) {
        let is = |fat: &Fat| {
            let name = fat.id.as_str();
            animal.iter().any(|word| name.contains(word)) && !is_shea_or_cocoa(name)
        };
        assert!(of(&is) <= 0.0, "animal: {found:?}");
    }
    if practices.contains(&Practice::NoPalm) {
        let is = |fat: &Fat| fat.id.as_str().contains("palm");
        assert!(of(&is) <= 0.0, "palm: {found:?}");
    }
}

#[test]
fn a_rule_that_is_lifted_and_a_fat_that_is_named_are_used() {
    let all = format!(", style: \"milled toilet\"{}", priced());
    let design = design(STARTERS[0], &all);
    let mut wanted = Wanted { aim: Aim::Cheapest, demands: Vec::new(), ..wanted(&design) };
    let cheapest = |wanted: &Wanted| search(wanted, usize::MAX).results[0].clone();
    assert!(share(&cheapest(&wanted), "stearic_acid_50") <= 5.0, "held down");
    // Emu oil is as cheap as can be, and from memory.
    assert!(wanted.name(&id("emu")), "a candidate");
    assert!(share(&cheapest(&wanted), "emu") > 99.0, "named");
    wanted.leave_out(&id("emu"));
    let of_design = |fat: &Fat| design.blend.line(&fat.id).is_some();
    let is_fit = |l: &FatLine| of_design(&l.fat) || !is_remembered(&l.fat);
    assert!(cheapest(&wanted).blend.lines().iter().all(is_fit), "the others are not named");
    wanted.practices.clear();
    let lifted = cheapest(&wanted);
    assert!(
        lifted.blend.lines().iter().all(|l| is_remembered(&l.fat) || l.fat.kind == FatKind::FreeAcid),
        "{lifted:?}"
    );
}

#[test]
fn what_the_design_has_of_it_is_no_breach() {
    let shaving = design(&[("stearic_acid_50", 40.0), ("coconut", 30.0), ("olive_virgin", 30.0)], "");
    let wanted = Wanted { aim: Aim::SmallestChange, demands: Vec::new(), ..wanted(&shaving) };
    let outcome = search(&wanted, usize::MAX);
    assert!(outcome.results[0].objective < 1e-9, "it may stay as it is: {outcome:?}");
    assert!(outcome.in_force.iter().any(|rule| rule.words == "free acids at most 40 %"), "{:?}", outcome.in_force);
}

#[test]
fn the_hint_brings_in_no_fat_from_memory() {
    let mut hints = 0;
    for fats in
        [["olive_virgin", "palm"], ["coconut", "lard"], ["sunflower", "coconut"], ["tallow_beef", "olive_virgin"]]
    {
        let design = design(&[(fats[0], 55.0), (fats[1], 45.0)], "");
        let Some(newcomer) = nudge(&design, &evaluate(&design, &LIBRARY), &LIBRARY).and_then(|n| n.newcomer) else {
            continue;
        };
        hints += 1;
        assert!(!is_remembered(&newcomer), "{fats:?}: {}", newcomer.name);
    }
    assert!(hints > 0, "some need one more");
}

#[test]
fn results_are_judged_by_the_saponification_value_that_the_lye_rests_on() {
    // Almond oil is published as 190 to 200, of which 190 to 192.9 is possible.
    let design = narrowed(design(&[("almond", 70.0), ("coconut", 30.0)], ""));
    let mut wanted = Wanted { aim: Aim::SmallestChange, ..wanted(&design) };
    let (almond, coconut) = (LIBRARY.fat("almond").expect("a fat"), LIBRARY.fat("coconut").expect("a fat"));
    let used = 0.7 * almond.lye().mid() + 0.3 * coconut.lye().mid();
    let range = Interval::new(used - 0.01, used + 0.01).expect("rises");
    wanted.demands = vec![Demand { measure: Measure::SaponificationValue, rule: Rule::Must, range }];
    let outcome = search(&wanted, usize::MAX);
    assert!(outcome.results[0].objective < 1e-9, "the design itself fits: {outcome:?}");
    assert!((almond.lye().mid() - almond.sv.value.mid()).abs() > 2.0, "published is another value");
}
