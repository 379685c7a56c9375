//! Laws of the method: each line has one place, at its stage; nothing is named that is not there; nothing is used
//! before it is ready.

use crate::designs::{LIBRARY, any_design, any_stage, tried};
use barwright_core::bench::method::{self, Options, Part, Passage};
use barwright_core::bench::weighing::What;
use barwright_core::design::blend::Blend;
use barwright_core::design::edit::Edit;
use barwright_core::library::additions::{AdditionKind, AdditionLine, Amount, Stage};
use barwright_core::library::handling::How;
use barwright_core::library::scents::ScentLine;
use barwright_core::units::{AmountPerKg, Grams, Share};
use barwright_core::{Design, Evaluation, evaluate};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use std::sync::Arc;

/// A design with additions and scents of all the library, some of them of 0 g, and names that can be read.
fn any_bench() -> impl Strategy<Value = Design> {
    let amount = || {
        prop_oneof![1 => Just(0.0), 6 => 0.5..60.0, 2 => 60.0..900.0]
            .prop_map(|g| Amount::GramsPerKgFats(AmountPerKg::nearest(g)))
    };
    let addition = (any::<Index>(), amount(), any_stage(), any::<bool>());
    let scent = (any::<Index>(), amount(), any_stage());
    let frozen = select(&[0.0, 0.0, 35.0, 100.0][..]);
    (any_design(), vec(addition, 0..6), vec(scent, 0..4), frozen).prop_map(|(mut design, additions, scents, frozen)| {
        let line = |(index, amount, stage, counts_as_water): (Index, _, _, _)| {
            let addition = Arc::clone(index.get(LIBRARY.additions()));
            AdditionLine { addition, amount, counts_as_water, stage }
        };
        design.additions = additions.into_iter().map(line).collect();
        let line = |(index, amount, stage): (Index, _, _)| {
            let scent = Arc::clone(index.get(LIBRARY.scents()));
            ScentLine { scent, amount, stage }
        };
        design.scents = scents.into_iter().map(line).collect();
        design.process.jug_frozen = Share::nearest(frozen);
        design
    })
}

fn method_of(design: &Design, evaluation: &Evaluation) -> Vec<Passage> {
    method::of(design, evaluation, &LIBRARY, &Options::default())
}

/// All that goes in, with how much of it and where it belongs.
fn parts(design: &Design, evaluation: &Evaluation) -> Vec<(What, Grams, Part)> {
    let batch = &evaluation.masses;
    let mut all = vec![
        (What::Water, batch.water_to_weigh, Part::Jug),
        (What::SodiumHydroxide, batch.alkali.naoh, Part::Jug),
        (What::PotassiumHydroxide, batch.alkali.koh, Part::Jug),
    ];
    all.extend(evaluation.fat_masses.iter().enumerate().map(|(i, mass)| (What::Fat(i), *mass, Part::Fats)));
    let additions = design.additions.iter().zip(&evaluation.addition_masses).enumerate();
    all.extend(additions.map(|(i, (line, mass))| (What::Addition(i), *mass, Part::of(line.stage))));
    let scents = design.scents.iter().zip(&evaluation.scents.masses).enumerate();
    all.extend(scents.map(|(i, (line, mass))| (What::Scent(i), *mass, Part::of(line.stage))));
    all
}

/// Words for kinds of material, which only their own names may bring onto a sheet.
const WORDS: [&str; 15] = [
    "milk", "honey", "puree", "beer", "wine", "vinegar", "clay", "oat", "petal", "stearic", "clove", "cinnamon",
    "lactate", "beeswax", "citric",
];

proptest! {
    #![proptest_config(tried(400))]

    #[test]
    fn each_part_has_one_place_at_its_stage_and_none_if_there_is_nothing_of_it(design in any_bench()) {
        let evaluation = evaluate(&design, &LIBRARY);
        prop_assume!(evaluation.masses.fats.0 > 0.0);
        let method = method_of(&design, &evaluation);
        for (what, mass, part) in parts(&design, &evaluation) {
            let places: Vec<Part> = method
                .iter()
                .flat_map(|p| p.steps.iter().map(move |s| (p.part, s)))
                .filter(|(_, s)| s.handles.contains(&what))
                .map(|(part, _)| part)
                .collect();
            let expected = if mass.0 > 0.0 { vec![part] } else { Vec::new() };
            prop_assert_eq!(places, expected, "{:?}, {} g", what, mass.0);
        }
        let order: Vec<Part> = method.iter().map(|p| p.part).collect();
        prop_assert!(order.is_sorted(), "{:?}", order);
    }

    #[test]
    fn nothing_is_used_before_it_is_ready(design in any_bench()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let method = method_of(&design, &evaluation);
        let steps: Vec<_> = method.iter().flat_map(|p| &p.steps).collect();
        for (at, step) in steps.iter().enumerate() {
            for what in &step.prepares {
                let used = steps.iter().position(|s| s.handles.contains(what));
                prop_assert!(used.is_some_and(|used| used > at), "{:?} is made ready for nothing, or too late", what);
            }
        }
        // What has to be made ready is.
        let is_prepared = |what: What| steps.iter().any(|s| s.prepares.contains(&what));
        for (i, (line, mass)) in design.additions.iter().zip(&evaluation.addition_masses).enumerate() {
            let wants = match line.addition.handling().how {
                How::Freeze => line.stage.is_in_jug(),
                How::Wet | How::Strain => line.stage == Stage::AtTrace,
                How::Scatter => line.stage == Stage::OnTop,
                How::Dissolve | How::StirIn | How::AfterCooling | How::Melt => false,
            };
            if wants && mass.0 > 0.0 && evaluation.masses.fats.0 > 0.0 {
                prop_assert!(is_prepared(What::Addition(i)), "{}", line.addition.name);
            }
        }
    }

    #[test]
    fn no_step_names_what_is_not_there(design in any_bench()) {
        // Names of fats that any design has are any text.
        let mut design = Design { blend: Blend::default(), ..design };
        for (fat, share) in [("olive_virgin", 70.0), ("coconut", 30.0)] {
            let fat = Arc::clone(LIBRARY.fat(fat).expect("tabled"));
            design = Edit::AddFat(fat, Share::nearest(share)).apply(&design, &LIBRARY).expect("room");
        }
        let evaluation = evaluate(&design, &LIBRARY);
        let additions = design.additions.iter().zip(&evaluation.addition_masses).filter(|(_, m)| m.0 > 0.0);
        let scents = design.scents.iter().zip(&evaluation.scents.masses).filter(|(_, m)| m.0 > 0.0);
        let mut there: Vec<&str> = design.blend.lines().iter().map(|l| l.fat.name.as_str()).collect();
        there.extend(additions.clone().map(|(l, _)| l.addition.name.as_str()));
        there.extend(scents.map(|(l, _)| l.scent.name.as_str()));
        // A sentence may leave out what stands behind the comma.
        let short: Vec<&str> = there.iter().filter_map(|name| Some(name.split_once(", ")?.0)).collect();
        there.extend(short);
        there.sort_by_key(|name| std::cmp::Reverse(name.len()));
        let has_salt = additions.clone().any(|(l, _)| l.addition.kind == AdditionKind::Salt);
        for step in method_of(&design, &evaluation).iter().flat_map(|p| &p.steps) {
            let mut text = step.text.clone();
            for name in &there {
                text = text.replace(name, "…");
            }
            let names = LIBRARY.additions().iter().map(|a| a.name.as_str());
            let names = names.chain(LIBRARY.scents().iter().map(|s| s.name.as_str()));
            for name in names.chain(LIBRARY.fats().iter().map(|f| f.name.as_str())) {
                prop_assert!(!text.contains(name), "{} in {}", name, step.text);
            }
            let text = text.to_lowercase();
            for word in WORDS {
                prop_assert!(!text.contains(word), "{} in {}", word, step.text);
            }
            prop_assert!(has_salt || !text.contains("salt"), "salt in {}", step.text);
            prop_assert!(evaluation.masses.water_to_weigh.0 > 0.0 || !text.contains("weigh the water"), "{}", step.text);
            prop_assert!(!text.contains(" 0 g") && !text.contains("nan") && !text.contains(": ."), "{}", step.text);
        }
    }

    #[test]
    fn alkali_goes_into_the_water_if_and_only_if_there_is_liquid(design in any_bench()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let batch = &evaluation.masses;
        prop_assume!(batch.fats.0 > 0.0 && batch.alkali.weighed().0 > 0.0);
        let text: Vec<String> =
            method_of(&design, &evaluation).iter().flat_map(|p| &p.steps).map(|s| s.text.to_lowercase()).collect();
        let count = |words: &str| text.iter().filter(|t| t.contains(words)).count();
        let in_jug = |how: How| {
            design.additions.iter().zip(&evaluation.addition_masses).any(|(l, mass)| {
                l.stage.is_in_jug() && l.addition.handling().how == how && mass.0 > 0.0
            })
        };
        let (into, onto) = (count("alkali into the water"), count("alkali onto the frozen") + count("alkali onto the ice"));
        prop_assert!(into + onto + count("do not begin") == 1, "one way: {:?}", text);
        // With a part of the jug frozen it depends on what; with none or all of it, it is plain.
        let water = batch.water_to_weigh.0;
        if design.process.jug_frozen.get() <= 0.0 && !(0.0..1.0).contains(&water) {
            prop_assert!(into == 1, "{:?}", text);
        } else if design.process.jug_frozen.get() <= 0.0 && water <= 0.0 {
            prop_assert_eq!(into == 1, in_jug(How::StirIn), "{:?}", text);
        } else if design.process.jug_frozen.get() >= 100.0 {
            prop_assert!(into == 0, "{:?}", text);
        }
    }
}
