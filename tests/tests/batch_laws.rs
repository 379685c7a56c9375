//! Laws of a batch: where its water comes from, how its size is reached, what its jug does, and
//! whether each remedy mends what it is offered for. Tried on random designs.
//!
//! Source: conservation of mass; the definitions of lye concentration, ratio and percentage;
//! Newton's law of cooling; the rest are promises of the project's own documents.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::{Judged, judged};
use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::Design;
use barwright_core::cautions::{Caution, Level};
use barwright_core::chemistry::jug::{Cooling, Reach};
use barwright_core::chemistry::masses::WaterSource;
use barwright_core::chemistry::size::SizeError;
use barwright_core::chemistry::solution::Dissolving;
use barwright_core::design::edit::{Edit, EditError};
use barwright_core::design::mould::{BarShape, Mould, Size};
use barwright_core::design::{Alkali, Process, WaterRule};
use barwright_core::formula::Plain;
use barwright_core::library::additions::{AdditionLine, Amount, Stage};
use barwright_core::library::scents::ScentLine;
use barwright_core::units::{
    AmountMass, AmountPerKg, AmountPercent, Celsius, FatMass, Grams, LyeConcentration, Minutes, Share, Superfat,
    WaterPercent, WaterRatio,
};
use designs::{
    LIBRARY, a_scent, an_addition, any_addition_line, any_bars, any_design, any_fat_size, any_fill, any_mould,
    any_scent_line, any_solved_size, any_stage, any_step, design_of, read_back, tried, whole_blend, written,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use std::collections::BTreeSet;

/// What is one number by two ways agrees to this part of itself.
const EXACT: f64 = 1e-9;

fn caution<'a>(evaluation: &'a Judged, code: &str) -> Option<&'a Caution> {
    evaluation.cautions.iter().find(|c| c.code == code)
}

fn stopped(evaluation: &Judged, code: &str) -> bool {
    caution(evaluation, code).is_some_and(|c| c.level == Level::Stop)
}

fn applied(design: &Design, edit: &Edit) -> Design {
    edit.apply(design, &LIBRARY).unwrap_or_else(|e| panic!("{edit:?} is refused: {e}"))
}

/// A design whose fats are given by mass and fill the blend.
fn by_fat_mass() -> impl Strategy<Value = Design> {
    (design_of(whole_blend()), any_fat_size()).prop_map(|(design, size)| Design { size, ..design })
}

// ---- water --------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(192))]

    #[test]
    fn every_gram_of_water_stands_once_in_the_account(design in any_design()) {
        let evaluation = judged(&design, &LIBRARY);
        let batch = &evaluation.masses;
        let rows = &evaluation.water;
        let sum = |of: &dyn Fn(&barwright_core::chemistry::masses::WaterRow) -> bool| -> f64 {
            rows.iter().filter(|r| of(r)).map(|r| r.mass.0).sum()
        };
        assert_relative("water that counts, g", sum(&|r| r.counted), batch.water_total.0, EXACT);
        assert_relative("water in the jug, g", sum(&|r| r.stage == Stage::IntoJug), batch.water_in_jug.0, EXACT);
        let uncounted = sum(&|r| !r.counted && r.source != WaterSource::Made);
        assert_relative("water that does not count, g", uncounted, batch.water_uncounted.0, EXACT);
        assert_relative("water in the batter, g", sum(&|_| true), batch.water_in_batter().0, EXACT);
        for (i, line) in design.additions.iter().enumerate() {
            let row = rows.iter().find(|r| r.source == WaterSource::Addition(i));
            let brought = evaluation.addition_masses[i].0 * line.addition.contents.value.water.get() / 100.0;
            assert_relative("water of an addition, g", row.map_or(0.0, |r| r.mass.0), brought, EXACT);
            assert!(row.is_none_or(|r| r.counted == line.counts_as_water && r.stage == line.stage), "row {i}: {row:?}");
        }
    }

    #[test]
    fn there_is_as_much_water_as_the_rule_asks_for_or_a_caution_says_by_how_much_it_is_missed(design in any_design()) {
        let evaluation = judged(&design, &LIBRARY);
        let batch = &evaluation.masses;
        let pure = batch.alkali.pure_naoh.0 + batch.alkali.pure_koh.0;
        let asked = match design.water {
            WaterRule::LyeConcentration(c) => pure * (100.0 - c.get()) / c.get(),
            WaterRule::WaterToAlkali(r) => pure * r.get(),
            WaterRule::PercentOfFats(p) => batch.fats.0 * p.get() / 100.0,
        };
        let there = batch.water_total.0 - batch.water_excess.0;
        assert_within("water by the rule, g", there, asked, EXACT * batch.water_total.0);
        assert!(batch.water_to_weigh.0 >= 0.0, "no water can be taken away: {:?}", batch.water_to_weigh);
        let too_much = batch.water_excess.0 > 0.0;
        assert!(!too_much || batch.water_to_weigh.0 <= 0.0, "{:?} weighed although it is too much", batch.water_to_weigh);
        // Without a gram of fat nothing can be worked out, and another stop says why.
        let said = too_much && batch.fats.0 > 0.0;
        let level = caution(&evaluation, "water-not-reached").map(|c| c.level);
        assert_eq!(level, said.then_some(Level::Care), "{:?} g too much", batch.water_excess);
        let why = ["no-fats", "shares-not-100", "size-too-small", "size-too-large"];
        let stopped = why.into_iter().any(|code| stopped(&evaluation, code));
        assert!(said || !too_much || stopped, "{:?} g too much and no stop", batch.water_excess);
    }

    #[test]
    fn water_that_no_longer_counts_is_weighed_instead(design in any_design(), which in any::<Index>()) {
        prop_assume!(!design.additions.is_empty());
        let i = which.index(design.additions.len());
        let with = |counts_as_water| {
            let mut design = design.clone();
            design.additions[i].counts_as_water = counts_as_water;
            judged(&design, &LIBRARY).masses.water_to_weigh.0
        };
        let (counting, not) = (with(true), with(false));
        assert!(not >= counting * (1.0 - EXACT), "{counting} g if it counts, {not} g if not");
    }
}

// ---- size ---------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(256))]

    #[test]
    fn a_size_that_is_asked_for_is_reached_or_a_stop_says_why_not(
        design in any_design(),
        size in any_solved_size(),
    ) {
        let design = Design { size, ..design };
        let evaluation = judged(&design, &LIBRARY);
        let batch = &evaluation.masses;
        if let Some(error) = evaluation.size_error {
            let code = match error {
                SizeError::Small { .. } => "size-too-small",
                SizeError::Large { .. } => "size-too-large",
            };
            assert!(stopped(&evaluation, code), "{error:?} without a stop");
            assert!(batch.fats.0 <= 0.0 && evaluation.fat_masses.iter().all(|m| m.0 <= 0.0), "fats: {batch:?}");
            assert!(batch.batter.0.is_finite() && batch.batter_ml.is_finite(), "{batch:?}");
            return Ok(());
        }
        // Without a fat no size can be reached, and other stops say so.
        if design.blend.total() <= 0.0 {
            assert!(batch.fats.0 <= 0.0, "no fats: {batch:?}");
            return Ok(());
        }
        match size {
            Size::Mould { mould, fill } => {
                assert_relative("ml", batch.batter_ml, mould.volume_ml() * fill.get() / 100.0, EXACT);
            }
            Size::Volume { ml, fill } => {
                assert_relative("ml", batch.batter_ml, ml.get() * fill.get() / 100.0, EXACT);
            }
            Size::BarMass(mass) => assert_relative("a bar, g", batch.bar_fresh.0, mass.get(), EXACT),
            Size::BarAtSale(mass) => {
                let sold = evaluation.cure.as_ref().expect("there are fats").bar_at_sale(Plain).0;
                assert_relative("a bar at sale, g", sold, mass.get(), EXACT);
            }
            Size::FatMass(_) => panic!("not drawn"),
        }
    }

    #[test]
    fn the_fats_that_a_size_takes_give_the_same_batch_when_they_are_asked_for(
        design in design_of(whole_blend()),
        size in any_solved_size(),
    ) {
        let bars = size.own_bars().unwrap_or(design.bars);
        let solved = Design { size, bars, ..design };
        let first = judged(&solved, &LIBRARY).masses;
        let Ok(fats) = FatMass::new(first.fats.0) else { return Ok(()) };
        let again = judged(&Design { size: Size::FatMass(fats), ..solved }, &LIBRARY).masses;
        let most = first.batter.0;
        for (what, first, again) in [
            ("batter, g", first.batter.0, again.batter.0),
            ("batter, ml", first.batter_ml, again.batter_ml),
            ("a bar, g", first.bar_fresh.0, again.bar_fresh.0),
            ("NaOH, g", first.alkali.naoh.0, again.alkali.naoh.0),
            ("KOH, g", first.alkali.koh.0, again.alkali.koh.0),
            ("water to weigh, g", first.water_to_weigh.0, again.water_to_weigh.0),
            ("additions, g", first.additions.0, again.additions.0),
            ("scents, g", first.scents.0, again.scents.0),
        ] {
            // The shares sum to 100 only within the millionth of a percent that is allowed.
            assert_within(what, again, first, 1e-7 * most);
        }
    }

    #[test]
    fn bars_fill_what_is_poured(mould in any_mould(), fill in any_fill(), bars in any_bars()) {
        let poured = mould.volume_ml() * fill.get() / 100.0;
        let bars = mould.own_bars().unwrap_or(bars);
        let volume = match mould.bar(fill, bars) {
            Some(BarShape::Block(sides)) => {
                assert!(sides[0] >= sides[1] && sides[1] >= sides[2], "the longest side first: {sides:?}");
                sides.iter().product::<f64>() / 1000.0
            }
            Some(BarShape::Disc { diameter, thickness }) => {
                std::f64::consts::PI / 4.0 * diameter.powi(2) * thickness / 1000.0
            }
            None => {
                let Mould::Cavities { ml, .. } = mould else { panic!("{mould:?} has bars of no shape") };
                ml.get() * fill.get() / 100.0
            }
        };
        assert_relative("all bars, ml", volume * f64::from(bars.get()), poured, EXACT);
    }
}

// ---- remedies -----------------------------------------------------------------------------------

/// So much of a watery food or drink that it matters.
fn watery_line() -> impl Strategy<Value = AdditionLine> {
    let watery: Vec<_> = LIBRARY.additions().iter().filter(|a| a.contents.value.water.get() > 50.0).cloned().collect();
    let amount = prop_oneof![
        (5.0..=150.0).prop_map(|v| Amount::PercentOfFats(AmountPercent::nearest(v))),
        (20.0..=1500.0).prop_map(|v| Amount::Grams(AmountMass::nearest(v))),
        (50.0..=1500.0).prop_map(|v| Amount::GramsPerKgFats(AmountPerKg::nearest(v))),
    ];
    (select(watery), amount, any_stage(), any::<bool>()).prop_map(|(addition, amount, stage, counts_as_water)| {
        AdditionLine { addition, amount, counts_as_water, stage }
    })
}

/// A design with much watery addition in a usual lye or a strong one.
fn watery_design() -> impl Strategy<Value = Design> {
    let water = (25.0..=60.0).prop_map(|c| WaterRule::LyeConcentration(LyeConcentration::nearest(c)));
    let rule = prop_oneof![2 => water.prop_map(Some), 1 => Just(None)];
    let fats = (100.0..=3000.0).prop_map(|g| Size::FatMass(FatMass::nearest(g)));
    (by_fat_mass(), vec(watery_line(), 1..=3), rule, fats).prop_map(|(design, additions, rule, size)| Design {
        additions,
        water: rule.unwrap_or(design.water),
        size,
        ..design
    })
}

/// A design whose rule asks for little water, with some watery addition.
fn strong_design() -> impl Strategy<Value = Design> {
    let rule = (36.0..=60.0).prop_map(|c| WaterRule::LyeConcentration(LyeConcentration::nearest(c)));
    (watery_design(), rule).prop_map(|(design, water)| Design { water, ..design })
}

/// A design whose rule asks for much water, with some watery addition.
fn thin_design() -> impl Strategy<Value = Design> {
    let rule = prop_oneof![
        (5.0..=22.0).prop_map(|c| WaterRule::LyeConcentration(LyeConcentration::nearest(c))),
        (3.6..=20.0).prop_map(|r| WaterRule::WaterToAlkali(WaterRatio::nearest(r))),
        (60.0..=300.0).prop_map(|p| WaterRule::PercentOfFats(WaterPercent::nearest(p))),
    ];
    (watery_design(), rule).prop_map(|(design, water)| Design { water, ..design })
}

/// The remedy for the caution `code` about `design`, if there are both.
fn remedy(design: &Design, code: &str) -> Option<Edit> {
    caution(&judged(design, &LIBRARY), code).and_then(|c| c.remedy.as_ref()).map(|r| r.edit.clone())
}

proptest! {
    #![proptest_config(tried(96))]

    #[test]
    fn with_as_much_of_an_addition_as_is_said_to_fit_the_water_is_reached(design in watery_design()) {
        let edit = remedy(&design, "water-not-reached");
        prop_assume!(matches!(edit, Some(Edit::SetAddition(..))));
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        assert!(caution(&mended, "water-not-reached").is_none(), "after {edit:?}: {:?}", mended.masses);
    }

    #[test]
    fn with_the_lye_that_is_offered_the_water_is_reached(design in watery_design()) {
        let edit = remedy(&design, "water-not-reached");
        prop_assume!(matches!(edit, Some(Edit::Water(..))));
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        assert!(caution(&mended, "water-not-reached").is_none(), "after {edit:?}: {:?}", mended.masses);
    }

    #[test]
    fn with_as_much_moved_into_the_jug_as_is_said_the_alkali_dissolves(design in watery_design()) {
        let edit = remedy(&design, "jug-too-strong");
        prop_assume!(matches!(edit, Some(Edit::MoveAddition { .. })));
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        assert!(caution(&mended, "jug-too-strong").is_none(), "after {edit:?}: {:?}", mended.masses);
    }

    #[test]
    fn with_as_much_moved_into_the_jug_as_is_said_the_alkali_dissolves_in_a_mould_too(
        design in watery_design(),
        size in any_solved_size(),
    ) {
        let design = Design { size, ..design };
        let edit = remedy(&design, "jug-too-strong");
        prop_assume!(matches!(edit, Some(Edit::MoveAddition { .. })));
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        assert!(caution(&mended, "jug-too-strong").is_none(), "after {edit:?}: {:?}", mended.masses);
    }

    #[test]
    fn with_the_water_that_is_offered_the_jug_is_neither_too_strong_nor_very_strong(design in strong_design()) {
        let edit = remedy(&design, "jug-too-strong").or_else(|| remedy(&design, "concentration-high"));
        prop_assume!(matches!(edit, Some(Edit::Water(..))));
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        for code in ["jug-too-strong", "concentration-high"] {
            assert!(caution(&mended, code).is_none(), "{code} after {edit:?}: {:?}", mended.masses);
        }
    }

    #[test]
    fn with_less_water_the_jug_still_dissolves_its_alkali(design in thin_design()) {
        let before = judged(&design, &LIBRARY);
        let edit = remedy(&design, "concentration-low");
        prop_assume!(edit.is_some() && caution(&before, "jug-too-strong").is_none());
        let edit = edit.expect("just seen");
        let mended = judged(&applied(&design, &edit), &LIBRARY);
        assert!(mended.masses.water_to_weigh < before.masses.water_to_weigh, "no less water after {edit:?}");
        for code in ["jug-too-strong", "concentration-high", "water-not-reached"] {
            assert!(caution(&mended, code).is_none(), "{code} after {edit:?}: {:?}", mended.masses);
        }
    }

    #[test]
    fn what_may_leave_the_jug_leaves_water_enough_behind(design in watery_design()) {
        let before = judged(&design, &LIBRARY);
        let edit = remedy(&design, "jug-scorches");
        prop_assume!(matches!(edit, Some(Edit::MoveAddition { .. })) && caution(&before, "jug-too-strong").is_none());
        let edit = edit.expect("just seen");
        let moved = judged(&applied(&design, &edit), &LIBRARY);
        assert!(caution(&moved, "jug-too-strong").is_none(), "after {edit:?}: {:?}", moved.masses);
    }

    #[test]
    fn with_as_much_of_a_scent_as_is_said_its_limit_is_kept(
        design in by_fat_mass(),
        solved in proptest::option::of(any_solved_size()),
        scent in select(LIBRARY.scents().to_vec()),
        percent in 0.5..=20.0_f64,
        stage in any_stage(),
    ) {
        let amount = Amount::PercentOfFats(AmountPercent::nearest(percent));
        let size = solved.unwrap_or(design.size);
        let design = Design { scents: vec![ScentLine { scent, amount, stage }], size, ..design };
        let before = judged(&design, &LIBRARY);
        let of = |e: &Judged| {
            let over = e.scents.findings.iter().filter(|f| f.ratio() > 1.0);
            over.map(|f| f.substance.clone()).collect::<Vec<_>>()
        };
        let over = of(&before);
        prop_assume!(!over.is_empty());
        let cautions: Vec<_> = before.cautions.iter().filter(|c| c.code == "scent-limit").collect();
        assert_eq!(cautions.len(), over.len(), "one for each of {over:?}");
        for (caution, substance) in cautions.into_iter().zip(over) {
            let remedy = caution.remedy.as_ref().unwrap_or_else(|| panic!("a single scent can be lessened: {caution:?}"));
            let mended = judged(&applied(&design, &remedy.edit), &LIBRARY);
            assert!(!of(&mended).contains(&substance), "{substance} after {}: {:?}", remedy.label, mended.scents.findings);
        }
    }

    #[test]
    fn every_remedy_can_be_carried_out_and_changes_something(design in any_design()) {
        for caution in judged(&design, &LIBRARY).cautions {
            let Some(remedy) = caution.remedy else { continue };
            let after = applied(&design, &remedy.edit);
            assert_ne!(after, design, "{}: {}", caution.code, remedy.label);
        }
    }

    #[test]
    fn a_mechanical_remedy_ends_what_it_is_for(design in by_fat_mass(), size in any_solved_size()) {
        const SIMPLE: [&str; 6] =
            ["lye-heavy", "records-differ", "bars-by-mould", "scent-in-jug", "on-top-counted", "acid-on-top"];
        // Bars can differ from the cavities only in a mould, water on top can be small in one.
        for design in [design.clone(), Design { size, additions: Vec::new(), ..design }] {
            let count = |e: &Judged, code: &str| e.cautions.iter().filter(|c| c.code == code).count();
            let before = judged(&design, &LIBRARY);
            for caution in before.cautions.iter().filter(|c| SIMPLE.contains(&c.code)) {
                let Some(remedy) = &caution.remedy else {
                    // One that would bring a Stop is not offered.
                    let usual = Design { superfat: Superfat::nearest(5.0), ..design.clone() };
                    let stops = |of: &Judged| -> BTreeSet<&str> {
                        of.cautions.iter().filter(|c| c.blocks()).map(|c| c.code).collect()
                    };
                    let brings = !stops(&judged(&usual, &LIBRARY)).is_subset(&stops(&before));
                    let may_lack = if caution.code == "lye-heavy" { brings } else { !caution.blocks() };
                    assert!(may_lack && caution.code != "records-differ", "{}: no remedy", caution.code);
                    continue;
                };
                let after = judged(&applied(&design, &remedy.edit), &LIBRARY);
                let code = caution.code;
                assert_eq!(count(&after, code), count(&before, code) - 1, "{code} after {}", remedy.label);
            }
        }
    }
}

// ---- the jug ------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(256))]

    // Lye of about 45 % warms the most; a still stronger one dissolves with less heat.
    #[test]
    fn a_stronger_lye_warms_more(
        weak in 0.0..0.4_f64,
        more in 0.001..0.04_f64,
        solid_c in 0.0..40.0_f64,
        water_c in 0.0..40.0_f64,
    ) {
        let jug = |w: f64| Dissolving {
            naoh: Grams(100.0 * w), water: Grams(100.0 * (1.0 - w)), solid_c, water_c, frozen: 0.0, protons: 0.0,
        };
        let weak_peak = jug(weak).peak(Plain).expect("within what was measured");
        let peak = jug(weak + more).peak(Plain).expect("within what was measured");
        assert!(peak > weak_peak, "{weak}: {weak_peak} °C, {}: {peak} °C", weak + more);
    }

    #[test]
    fn ice_in_the_jug_keeps_it_colder(
        w in 0.1..0.45_f64,
        frozen in 0.0..1.0_f64,
        more in 0.001..1.0_f64,
        solid_c in 0.0..40.0_f64,
        water_c in 0.0..40.0_f64,
    ) {
        let more = (frozen + more).min(1.0);
        prop_assume!(more > frozen);
        let jug = |frozen| Dissolving {
            naoh: Grams(100.0 * w), water: Grams(100.0 * (1.0 - w)), solid_c, water_c, frozen, protons: 0.0,
        };
        // So much ice that not all of it melts is beyond what was measured.
        if let (Ok(less), Ok(colder)) = (jug(frozen).peak(Plain), jug(more).peak(Plain)) {
            assert!(colder < less, "{frozen}: {less} °C, {more}: {colder} °C");
        } else {
            assert!(jug(more).peak(Plain).is_err(), "less ice is known worse than more");
        }
    }

    #[test]
    fn a_designs_jug_is_hotter_with_a_stronger_lye_and_colder_with_ice(
        design in by_fat_mass(),
        weak in 20.0..35.0_f64,
        more in 0.01..10.0_f64,
        ice in 1.0..60.0_f64,
        room in 5.0..35.0_f64,
    ) {
        let peak = |concentration: f64, ice: f64| {
            let design = Design {
                water: WaterRule::LyeConcentration(LyeConcentration::nearest(concentration)),
                alkali: Alkali { koh_share: Share::nearest(0.0), ..design.alkali },
                superfat: Superfat::nearest(5.0),
                additions: Vec::new(),
                process: Process {
                    room_c: Celsius::nearest(room),
                    jug_water_c: None,
                    jug_frozen: Share::nearest(ice),
                    ..design.process.clone()
                },
                ..design.clone()
            };
            let jug = judged(&design, &LIBRARY).evaluation.jug.expect("there is lye");
            assert_relative("concentration, %", jug.concentration, concentration, EXACT);
            jug.peak.expect("a usual lye")
        };
        let plain = peak(weak, 0.0);
        assert!(peak(weak + more, 0.0) > plain, "{weak} % warms to {plain} °C, {more} % more to no more");
        assert!(peak(weak, ice) < plain, "{weak} % warms to {plain} °C, with {ice} % ice to no less");
    }

    #[test]
    fn the_jug_has_a_temperature_when_it_is_said_to_have_it(
        (to, from) in (-20.0..60.0_f64, 1.0..150.0_f64).prop_map(|(to, more)| (to, to + more)),
        constant in 0.2..1000.0_f64,
        at in 0.001..0.999_f64,
    ) {
        let cooling = Cooling { from, to, constant };
        let celsius = to + (from - to) * at;
        let Reach::After(minutes) = cooling.until(celsius) else { panic!("{celsius} °C is warmer than {to} °C") };
        assert!(minutes > 0.0, "not at once: {minutes} min");
        assert_within("°C", cooling.after(minutes), celsius, EXACT * 150.0);
        assert_eq!(cooling.until(from), Reach::After(0.0), "it has what it begins with");
        assert_eq!(cooling.until(to), Reach::NeverSoCold, "and never quite what it stands in");
        assert_eq!(cooling.until(from + 1.0), Reach::NeverSoWarm, "nor more than it begins with");
        // A reading of it gives the same constant again.
        let Ok(minutes) = Minutes::new(minutes) else { return Ok(()) };
        let wrong = Cooling { constant: 3.0 * constant, ..cooling };
        let read = wrong.calibrated(minutes, celsius).expect("a cooling explains it");
        assert_relative("the constant, min", read.get(), constant, 1e-6);
        let right = Cooling { constant: read.get(), ..wrong };
        assert_within("°C as read", right.after(minutes.get()), celsius, EXACT * 150.0);
        for impossible in [to, to - 1.0, from, from + 1.0] {
            assert!(cooling.calibrated(minutes, impossible).is_err(), "{impossible} °C between {from} and {to}");
        }
    }
}

// ---- edits --------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(64))]

    #[test]
    fn a_line_that_is_not_there_cannot_be_changed(
        design in any_design(),
        behind in prop_oneof![0..3_usize, any::<usize>()],
        addition in an_addition().prop_flat_map(any_addition_line),
        scent in a_scent().prop_flat_map(any_scent_line),
        to in any_stage(),
    ) {
        let (i, j) = (design.additions.len().saturating_add(behind), design.scents.len().saturating_add(behind));
        let (mass, fats) = (Grams(1.0), Grams(500.0));
        for edit in [
            Edit::SetAddition(i, addition),
            Edit::RemoveAddition(i),
            Edit::MoveAddition { index: i, mass, fats, to },
            Edit::SetScent(j, scent),
            Edit::RemoveScent(j),
        ] {
            assert_eq!(edit.apply(&design, &LIBRARY), Err(EditError::NoLine), "{edit:?}");
            assert!(!edit.name(&design).is_empty(), "{edit:?} has a name all the same");
        }
    }

    #[test]
    fn moving_an_addition_to_another_stage_loses_nothing_of_it(
        design in by_fat_mass(),
        line in an_addition().prop_flat_map(any_addition_line),
        which in any::<Index>(),
        part in prop_oneof![0.0..1.5_f64, Just(0.0), Just(1.0)],
        to in any_stage(),
    ) {
        let design = applied(&design, &Edit::AddAddition(line));
        let index = which.index(design.additions.len());
        let batch = judged(&design, &LIBRARY).masses;
        let fats = batch.fats;
        let mass = design.additions[index].amount.mass(fats) * part;
        let moved = applied(&design, &Edit::MoveAddition { index, mass, fats, to });
        let of = |design: &Design| {
            let mut sums: Vec<_> = LIBRARY.additions().iter().map(|a| (a.id.clone(), 0.0)).collect();
            for line in &design.additions {
                let grams = line.amount.mass(fats).0;
                match sums.iter_mut().find(|(id, _)| *id == line.addition.id) {
                    Some((_, sum)) => *sum += grams,
                    None => sums.push((line.addition.id.clone(), grams)),
                }
            }
            sums.sort_by(|a, b| a.0.cmp(&b.0));
            sums
        };
        for ((id, before), (_, after)) in of(&design).into_iter().zip(of(&moved)) {
            assert_relative(&format!("{id}, g"), after, before, EXACT);
        }
    }

    #[test]
    fn what_is_saved_is_loaded_after_any_edits(design in any_design(), steps in vec(any_step(), 1..25)) {
        let mut design = design;
        for step in &steps {
            let Some(edit) = step.edit(&design) else { continue };
            if let Ok(next) = edit.apply(&design, &LIBRARY) {
                design = next;
            }
        }
        prop_assert_eq!(read_back(&written(&design)), design);
    }
}
