//! Laws that hold for every design, tried on random ones.
//!
//! Source: conservation of mass; the definitions of lye concentration, ratio and percentage;
//! the international yard and pound agreement of 1959 (an ounce is 28.349523125 g exactly); the
//! rest are promises of the project's own documents.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::additions::Stage;
use barwright_core::blend::{Blend, FatLine};
use barwright_core::cautions::Level;
use barwright_core::design::WaterRule;
use barwright_core::edit::Edit;
use barwright_core::estimates::Estimate;
use barwright_core::evaluate::{contributions, free_fat_points};
use barwright_core::fats::Fat;
use barwright_core::history::{Gesture, History};
use barwright_core::jug::Jug;
use barwright_core::label::{Ingredient, Label, ListStyle};
use barwright_core::library::Tables;
use barwright_core::mould::Size;
use barwright_core::report::{self, Report};
use barwright_core::units::{
    BarMass, FatMass, Fill, Grams, Interval, MassUnit, Millilitres, Share, WaterPercent, WaterRatio,
};
use barwright_core::{Design, Evaluation, Library, document, evaluate};
use designs::{
    LIBRARY, any_blend, any_concentration, any_design, any_fat_size, any_share, any_step, by_the_fats, design_of, id,
    read_back, tried, whole_blend, written,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use std::sync::Arc;

// ---- masses -------------------------------------------------------------------------------------

/// The masses of an evaluation by name.
fn masses(e: &Evaluation) -> Vec<(String, f64)> {
    let b = &e.batch;
    let mut all: Vec<(String, f64)> = [
        ("fats", b.fats),
        ("pure NaOH", b.alkali.pure_naoh),
        ("pure KOH", b.alkali.pure_koh),
        ("NaOH", b.alkali.naoh),
        ("KOH", b.alkali.koh),
        ("water in all", b.water_total),
        ("water to weigh", b.water_to_weigh),
        ("batter", b.batter),
        ("a bar", b.bar_fresh),
        ("glycerol", b.glycerol),
        ("alkali for acids", b.alkali_for_acids),
        ("additions", b.additions),
        ("what lies on top", b.on_top),
        ("scents", b.scents),
        ("fat in additions", b.addition_fat),
        ("sugars", b.sugars),
        ("water too much", b.water_excess),
        ("water that does not count", b.water_uncounted),
        ("water in the jug", b.water_in_jug),
        ("water made", b.water_made),
    ]
    .into_iter()
    .map(|(name, mass)| (name.to_owned(), mass.0))
    .collect();
    all.push(("batter, ml".to_owned(), b.batter_ml));
    all.extend(e.fat_masses.iter().enumerate().map(|(i, m)| (format!("fat {i}"), m.0)));
    all.extend(e.addition_masses.iter().enumerate().map(|(i, m)| (format!("addition {i}"), m.0)));
    all.extend(e.scents.masses.iter().enumerate().map(|(i, m)| (format!("scent {i}"), m.0)));
    all
}

/// The ratios and scores of an evaluation by name.
fn ratios(e: &Evaluation) -> Vec<(String, Option<f64>)> {
    let c = &e.chemistry;
    let mut all: Vec<(String, Option<f64>)> = [
        ("lye concentration", e.batch.lye_concentration()),
        ("superfat", Some(e.batch.superfat)),
        ("free fat", Some(e.batch.free_fat)),
        ("water, percent of fats", e.batch.water_percent_of_fats()),
        ("jug", e.jug.as_ref().map(|j| j.concentration)),
        ("saponification value", c.saponification_value),
        ("saponification value, calculated", c.saponification_value_calculated),
        ("iodine value", c.iodine_value),
        ("titre", c.titre),
        ("TFM", c.tfm_fresh),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect();
    let jug = e.jug.as_ref();
    for (name, value) in [
        ("peak", jug.and_then(|j| j.peak.ok())),
        ("crystallises below", jug.and_then(|j| j.crystallises_below)),
        ("density", jug.and_then(|j| j.density.ok())),
        ("minutes to mix", jug.and_then(Jug::minutes_to_mix)),
        ("meeting", jug.and_then(|j| j.meeting)),
    ] {
        all.push((name.to_owned(), value));
    }
    let mut scents: Vec<_> = e.scents.findings.iter().map(|f| (f.substance.clone(), Some(f.percent))).collect();
    // Substances that bind equally come in any order.
    scents.sort_by(|a, b| a.0.cmp(&b.0));
    all.extend(scents);
    for estimate in Estimate::ALL {
        let result = e.estimate(estimate);
        all.push((estimate.name().to_owned(), result.map(|r| r.value)));
        all.push((format!("{} range", estimate.name()), result.and_then(|r| r.range).map(Interval::mid)));
    }
    all
}

/// Fails unless both say the same within `tolerance` of their size, or 1e-12.
#[track_caller]
fn assert_same(what: &str, a: &[(String, Option<f64>)], b: &[(String, Option<f64>)], tolerance: f64) {
    assert_eq!(a.len(), b.len(), "{what}");
    for ((name, a), (_, b)) in a.iter().zip(b) {
        match (a, b) {
            (Some(a), Some(b)) => assert_within(&format!("{what}: {name}"), *b, *a, tolerance * a.abs().max(1.0)),
            _ => assert_eq!(a, b, "{what}: {name}"),
        }
    }
}

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn what_is_weighed_adds_up_to_the_batter(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let batch = &evaluation.batch;
        let sum = |masses: &[Grams]| masses.iter().map(|m| m.0).sum::<f64>();
        for (what, all, parts) in [
            ("fats, g", batch.fats, &evaluation.fat_masses),
            ("additions, g", batch.additions, &evaluation.addition_masses),
            ("scents, g", batch.scents, &evaluation.scents.masses),
        ] {
            assert_relative(what, all.0, sum(parts), 1e-9);
        }
        let weighed = batch.fats.0
            + batch.alkali.naoh.0
            + batch.alkali.koh.0
            + batch.water_to_weigh.0
            + sum(&evaluation.addition_masses)
            + sum(&evaluation.scents.masses);
        assert_relative("batter, g", batch.batter.0, weighed, 1e-9);
        assert_relative("bars, g", batch.bar_fresh.0 * f64::from(batch.bars), batch.batter.0, 1e-9);
    }

    #[test]
    fn a_whole_blend_weighs_what_the_design_says(design in design_of(whole_blend()), size in any_fat_size()) {
        let Size::FatMass(mass) = size else { panic!("a size by fat") };
        let evaluation = evaluate(&Design { size, ..design }, &LIBRARY);
        assert_relative("fats, g", evaluation.batch.fats.0, mass.get(), 1e-8);
    }

    #[test]
    fn the_alkali_is_what_the_fats_take_less_the_superfat_and_what_acids_take(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let alkali = &evaluation.batch.alkali;
        let need: f64 = design.blend.lines().iter().zip(&evaluation.fat_masses)
            .map(|(l, m)| m.0 * l.saponification_value() / 56_105.0).sum();
        // What lies on top meets no lye.
        let acids: f64 = design.additions.iter().zip(&evaluation.addition_masses)
            .filter(|(l, _)| l.stage != Stage::OnTop)
            .filter_map(|(l, m)| l.addition.acid.as_ref().map(|a| (m.0, &a.value)))
            .map(|(mass, a)| mass * a.content.get() / 100.0 / a.molar_mass.get() * f64::from(a.protons)).sum();
        let moles = alkali.pure_naoh.0 / 39.997 + alkali.pure_koh.0 / 56.105;
        assert_relative("mol of alkali", moles, need * (1.0 - design.superfat.fraction()) + acids, 1e-9);
        let share = design.alkali.koh_share.get() / 100.0;
        assert_relative("mol of KOH", alkali.pure_koh.0 / 56.105, moles * share, 1e-9);
        let pure = [design.alkali.naoh_purity, design.alkali.koh_purity].map(|p| p.get() / 100.0);
        assert_relative("NaOH, g", alkali.naoh.0 * pure[0], alkali.pure_naoh.0, 1e-9);
        assert_relative("KOH, g", alkali.koh.0 * pure[1], alkali.pure_koh.0, 1e-9);
        let for_acids = acids * ((1.0 - share) * 39.997 / pure[0] + share * 56.105 / pure[1]);
        assert_relative("alkali for acids, g", evaluation.batch.alkali_for_acids.0, for_acids, 1e-9);
    }

    #[test]
    fn scaling_the_batch_scales_every_mass_and_no_ratio(design in any_design(), factor in 0.01..100.0_f64) {
        let one = by_the_fats(design);
        let scaled = match one.size {
            Size::FatMass(mass) => Size::FatMass(FatMass::nearest(mass.get() * factor)),
            Size::Volume { ml, fill } => Size::Volume { ml: Millilitres::nearest(ml.get() * factor), fill },
            Size::BarMass(mass) => Size::BarMass(BarMass::nearest(mass.get() * factor)),
            // What is asked for in several measures is scaled as the volume that it is.
            Size::Mould { mould, .. } => {
                let ml = mould.volume_ml() * factor;
                Size::Volume { ml: Millilitres::nearest(ml), fill: Fill::nearest(100.0) }
            }
        };
        let many = Design { size: scaled, bars: one.size.own_bars().unwrap_or(one.bars), ..one.clone() };
        let factor = match (one.size, many.size) {
            (Size::FatMass(a), Size::FatMass(b)) => b.get() / a.get(),
            (Size::BarMass(a), Size::BarMass(b)) => b.get() / a.get(),
            (a, b) => b.wanted_ml().expect("a volume") / a.wanted_ml().expect("a volume"),
        };
        let (one, many) = (evaluate(&one, &LIBRARY), evaluate(&many, &LIBRARY));
        // A tonne of fats is the most.
        prop_assume!(one.size_error.is_none() && many.size_error.is_none());
        let size = one.batch.batter.0.max(1e-3);
        for ((name, one), (_, many)) in masses(&one).iter().zip(masses(&many)) {
            assert_within(&format!("{name} × {factor}"), many, one * factor, 1e-9 * size * factor);
        }
        assert_same("scaled", &ratios(&one), &ratios(&many), 1e-9);
    }

    #[test]
    fn the_three_water_rules_convert_into_each_other(
        design in design_of(whole_blend()),
        concentration in any_concentration(),
    ) {
        let c = concentration.get();
        let by_concentration = Design { water: WaterRule::LyeConcentration(concentration), ..design };
        let first = evaluate(&by_concentration, &LIBRARY);
        // Additions and potassium hydroxide can bring more water than the rule asks for; a caution
        // then says so.
        prop_assume!(first.batch.water_excess.0 <= 0.0 && first.size_error.is_none());
        let water = first.batch.water_total.0;
        assert_within("lye concentration, %", first.batch.lye_concentration().expect("there is lye"), c, 1e-9 * c);
        let ratio = WaterRatio::new((100.0 - c) / c).expect("every concentration is a ratio");
        let by_ratio = evaluate(
            &Design { water: WaterRule::WaterToAlkali(ratio), ..by_concentration.clone() },
            &LIBRARY,
        );
        assert_relative("water by ratio, g", by_ratio.batch.water_total.0, water, 1e-9);
        assert_within("ratio", WaterRatio::from_concentration(c), ratio.get(), 0.0);
        // Not every ratio is a percentage of the fats that may be given.
        if let Ok(percent) = WaterPercent::new(100.0 * water / first.batch.fats.0) {
            let by_percent = evaluate(
                &Design { water: WaterRule::PercentOfFats(percent), ..by_concentration.clone() },
                &LIBRARY,
            );
            assert_relative("water by percent of fats, g", by_percent.batch.water_total.0, water, 1e-9);
            assert_same("by percent of fats", &ratios(&first), &ratios(&by_percent), 1e-9);
        }
        assert_same("by ratio", &ratios(&first), &ratios(&by_ratio), 1e-9);
    }

    #[test]
    fn ounces_and_grams_convert_there_and_back(mass in -1e9..1e9_f64) {
        for unit in [MassUnit::Gram, MassUnit::Ounce] {
            let there = unit.from_grams(Grams(mass));
            assert_relative(unit.sign(), unit.to_grams(there).0, mass, 1e-15);
            let back = unit.to_grams(mass);
            assert_relative(unit.sign(), unit.from_grams(back), mass, 1e-15);
        }
        assert_relative("16 oz in g", MassUnit::Ounce.to_grams(16.0).0, 453.592_37, 1e-15);
    }
}

// ---- evaluation ---------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn evaluate_gives_finite_numbers_for_any_design(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        for (name, mass) in masses(&evaluation) {
            assert!(mass.is_finite() && mass >= 0.0, "{name}: {mass}");
        }
        for (name, value) in ratios(&evaluation) {
            assert!(value.is_none_or(f64::is_finite), "{name}: {value:?}");
        }
        assert_eq!(evaluation.cure.is_some(), evaluation.batch.fats.0 > 0.0, "a bar wherever there are fats");
        if let Some(cure) = &evaluation.cure {
            let (fresh, at_sale) = (cure.fresh().0, cure.bar_at_sale().0);
            assert!(at_sale.is_finite() && at_sale > 0.0 && at_sale <= fresh, "{at_sale} of {fresh} g at sale");
            assert!(cure.water_at_sale().0 >= -1e-9 * fresh, "water at sale {:?}", cure.water_at_sale());
            assert!(evaluation.batch.dried().0 <= at_sale * f64::from(evaluation.batch.bars) * (1.0 + 1e-9), "lightest");
        }
        let (fresh, cured) = (evaluation.chemistry.tfm_fresh, evaluation.chemistry.tfm_cured);
        assert_eq!(fresh.is_some(), cured.is_some(), "both or neither");
        let (fresh, cured) = (fresh.unwrap_or_default(), cured.unwrap_or_default());
        assert!(cured.is_finite() && cured >= fresh * (1.0 - 1e-12), "TFM {fresh}, {cured}");
        for estimate in Estimate::ALL {
            let Some(result) = evaluation.estimate(estimate) else { continue };
            let most = if estimate == Estimate::Keeping { 40.0 } else { 100.0 + 1e-9 };
            assert!((0.0..=most).contains(&result.value), "{}: {}", estimate.name(), result.value);
        }
        for caution in &evaluation.cautions {
            assert!(!caution.why.is_empty() && !caution.advice.is_empty(), "{} says nothing", caution.code);
        }
        let worst = evaluation.cautions.iter().map(|c| c.level).max();
        assert_eq!(evaluation.cautions.first().map(|c| c.level), worst, "the worst comes first");
    }

    #[test]
    fn the_report_can_be_written_for_any_design_and_nothing_in_it_is_lost(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let json = Report::new(&design, &evaluation, &LIBRARY).json().expect("a report can be written");
        let value: serde_json::Value = serde_json::from_str(&json).expect("a report is JSON");
        assert_eq!(value["name"].as_str(), Some(design.name.as_str()));
        // JSON has no not-a-number: serde would write null where a number is owed.
        for key in [
            "fats_g", "naoh_g", "koh_g", "alkali_for_acids_g", "water_total_g", "water_to_weigh_g", "water_uncounted_g",
            "water_made_g", "additions_g", "scents_g", "addition_fat_g", "sugars_g", "superfat_pct", "free_fat_pct",
            "batter_g", "bar_fresh_g", "glycerol_g",
        ] {
            assert!(value["batch"][key].is_number(), "{key}: {}", value["batch"][key]);
        }
        for (key, rows) in [
            ("fats", design.blend.lines().len()),
            ("additions", design.additions.len()),
            ("scents", design.scents.len()),
            ("water", evaluation.water.len()),
            ("scent_limits", evaluation.scents.findings.len()),
            ("cautions", evaluation.cautions.len()),
        ] {
            assert_eq!(value[key].as_array().map(Vec::len), Some(rows), "{key}: a row each");
        }
        let text = report::text(&design, &evaluation, &LIBRARY);
        assert!(text.contains("Sodium hydroxide (NaOH)") || evaluation.batch.alkali.naoh.0 <= 0.0, "{text}");
    }

    #[test]
    fn the_ingredients_add_up_to_what_went_in_and_to_the_bars_at_sale(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let batch = &evaluation.batch;
        let Some(label) = Label::of(&design, &evaluation, &LIBRARY) else {
            assert!(batch.fats.0 <= 0.0, "only a batch without fats has no label");
            return Ok(());
        };
        let sum = |style| label.ingredients(style).iter().map(|i| i.mass.0).sum::<f64>();
        assert_relative("as put in", sum(ListStyle::AsPutIn), batch.batter.0, 1e-9);
        // What is not NaOH in the sodium hydroxide is no ingredient of the bar.
        let impurity = (batch.alkali.naoh - batch.alkali.pure_naoh).0;
        let bars = label.bar_at_sale.0 * f64::from(batch.bars);
        assert_relative("as in the bar", sum(ListStyle::AsInTheBar) + impurity, bars, 1e-9);
        for style in ListStyle::ALL {
            let list = label.ingredients(style);
            let falls = |l: &[&Ingredient]| l.windows(2).all(|w| w[0].mass >= w[1].mass);
            let (last, first): (Vec<&Ingredient>, Vec<_>) = list.iter().partition(|i| i.is_colourant());
            assert!(falls(&first) && falls(&last), "falling weight: {list:?}");
            assert!(list.iter().skip(first.len()).all(Ingredient::is_colourant), "colourants last: {list:?}");
            assert!(list.iter().all(|i| i.mass.0 > 0.0 && i.percent.is_finite()), "{list:?}");
        }
    }

    #[test]
    fn what_must_be_stopped_is_stopped(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let stop = |code: &str| evaluation.cautions.iter().any(|c| c.code == code && c.level == Level::Stop);
        if design.blend.lines().is_empty() {
            assert!(stop("no-fats"), "there is no fat");
            return Ok(());
        }
        // Without a gram of fat nothing can be worked out, and a stop says why.
        let made = evaluation.batch.fats.0 > 0.0;
        let why = ["shares-not-100", "size-too-small", "size-too-large"];
        assert!(made || why.into_iter().any(stop), "there is no fat");
        assert_eq!(stop("lye-heavy"), made && design.superfat.get() <= 0.0, "superfat {}", design.superfat.get());
        assert_eq!(stop("shares-not-100"), !design.blend.is_whole(), "shares sum to {}", design.blend.total());
        // The rule of a gram of water for each gram of NaOH; less is certainly too little.
        let batch = &evaluation.batch;
        if made && batch.water_in_jug.0 < batch.alkali.pure_naoh.0 * (1.0 - 1e-9) {
            assert!(stop("jug-too-strong"), "{:?} g of water in the jug", batch.water_in_jug);
        }
        let too_much = batch.water_excess.0 > 0.0;
        assert_eq!(stop("water-not-reached"), made && too_much, "{:?} g too much", batch.water_excess);
    }

    #[test]
    fn what_is_null_has_a_caution(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let said = |code: &str| evaluation.cautions.iter().any(|c| c.code == code);
        // Without a gram of fat nothing can be worked out, and one caution says why.
        if evaluation.batch.fats.0 <= 0.0 {
            let why = ["no-fats", "shares-not-100", "size-too-small", "size-too-large"];
            assert!(why.into_iter().any(said), "there is no fat");
            return Ok(());
        }
        assert!(evaluation.estimates.is_some() || said("estimates-unknown"), "estimates");
        assert!(evaluation.chemistry.iodine_value.is_some() || said("estimates-unknown"), "iodine value");
        assert!(evaluation.chemistry.tfm_fresh.is_some() || said("tfm-unknown"), "TFM");
        let ranges = evaluation.estimates.iter().flatten().all(|r| r.range.is_some());
        assert!(ranges || said("style-unknown"), "ranges");
        assert!(evaluation.jug.is_some() && evaluation.batch.lye_concentration().is_some(), "the lye");
        let jug = evaluation.jug.as_ref().expect("there is lye");
        let no_peak = ["peak-unknown", "jug-hot", "jug-too-cold"].into_iter().any(said);
        assert!(jug.peak.is_ok() || no_peak, "peak");
        assert!(jug.density.is_ok() || said("lye-density-unknown"), "density");
        let why = said("mix-not-reached") || jug.peak.is_err();
        assert!(jug.minutes_to_mix().is_some() || why, "minutes");
        assert!(jug.meeting.is_some() || why || said("meeting-unknown"), "where lye and fats meet");
    }

    #[test]
    fn the_order_of_the_fats_changes_no_number(
        (design, other) in design_of(whole_blend()).prop_flat_map(|design| {
            let lines = design.blend.lines().to_vec();
            (Just(design), Just(lines).prop_shuffle())
        })
    ) {
        let shuffled = Design { blend: Blend::new(other).expect("the same fats"), ..design.clone() };
        let (a, b) = (evaluate(&design, &LIBRARY), evaluate(&shuffled, &LIBRARY));
        assert_same("shuffled", &ratios(&a), &ratios(&b), 1e-9);
        let a_batter = a.batch.batter.0;
        // The fats' own masses follow the order; all that comes before them does not.
        for ((name, a), (_, b)) in masses(&a).iter().zip(masses(&b)).take_while(|((name, _), _)| name != "fat 0") {
            assert_within(&format!("{name}, shuffled"), b, *a, 1e-9 * a_batter);
        }
        let codes = |e: &Evaluation| {
            let mut codes: Vec<&str> = e.cautions.iter().map(|c| c.code).collect();
            codes.sort_unstable();
            codes
        };
        assert_eq!(codes(&a), codes(&b), "the same cautions");
    }

    #[test]
    fn what_the_fats_bring_to_a_score_sums_to_it(design in design_of(whole_blend())) {
        let evaluation = evaluate(&design, &LIBRARY);
        for estimate in Estimate::ALL {
            let Some(result) = evaluation.estimate(estimate) else { continue };
            let brought: f64 = contributions(&design.blend, estimate, &LIBRARY).into_iter().flatten().sum();
            let all = (brought + free_fat_points(estimate, &evaluation)).min(100.0);
            assert_within(estimate.name(), all, result.value, 1e-9 * 100.0);
        }
    }
}

// ---- documents ----------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn what_is_saved_is_loaded(design in any_design()) {
        let loaded = read_back(&written(&design));
        prop_assert_eq!(loaded, design);
    }

    #[test]
    fn what_is_loaded_is_saved_as_the_same_text(design in any_design()) {
        let text = written(&design);
        prop_assert_eq!(written(&read_back(&text)), text);
    }
}

#[test]
fn what_is_saved_is_loaded_in_the_same_order_after_any_edits() {
    let own = |name: &str| {
        let mut fat = Fat::clone(&LIBRARY.fats()[0]);
        fat.id = id(name);
        Arc::new(fat)
    };
    let mut design = Design::default();
    for name in ["zebu_tallow", "acorn"] {
        design = Edit::AddFat(own(name), Share::nearest(10.0)).apply(&design, &LIBRARY).expect("room");
        design = Edit::RemoveFat(id(name)).apply(&design, &LIBRARY).expect("there");
    }
    assert_eq!(read_back(&written(&design)), design, "save and load is identity");
}

#[test]
fn a_saved_design_weighs_the_same_with_another_library() {
    let changed = Tables::EMBEDDED.fats.replacen(
        "coconut,Coconut oil,triglyceride,,248,265,",
        "coconut,Coconut oil,triglyceride,,250,260,",
        1,
    );
    assert_ne!(changed, Tables::EMBEDDED.fats, "the row to change is there");
    let later = Library::parse(&Tables { fats: &changed, ..Tables::EMBEDDED }).expect("a library");
    let lines = [("coconut", 30.0), ("olive_virgin", 70.0)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let design = Design { blend: Blend::new(lines.to_vec()).expect("no fat twice"), ..Design::default() };
    let now = evaluate(&design, &LIBRARY);
    let then_design = document::read(written(&design).as_bytes(), &later).expect("read by the later program");
    let then = evaluate(&then_design, &later);
    assert_eq!(masses(&now), masses(&then), "the numbers stay");
    assert!(then.cautions.iter().any(|c| c.code == "records-differ"), "and the difference is said");
    let refreshed = Edit::RefreshRecords.apply(&then_design, &later).expect("always possible");
    assert_ne!(masses(&evaluate(&refreshed, &later)), masses(&now), "until the person asks for the new figures");
}

// ---- the blend ----------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(256))]

    #[test]
    fn moving_a_share_keeps_the_sum_the_locks_and_the_ratios(
        blend in whole_blend(),
        which in any::<Index>(),
        to in any_share(),
    ) {
        let before = blend.clone();
        let moved = which.index(before.lines().len());
        let id = before.lines()[moved].fat.id.clone();
        let (least, most) = before.room(&id).expect("it is there");
        let mut after = before.clone();
        if after.set_share(&id, to).is_err() {
            assert!(to.get() > most || to.get() < least, "{} was refused in {least}–{most}", to.get());
            assert_eq!(after, before, "a refusal changes nothing");
            return Ok(());
        }
        assert_within("sum of the shares", after.total(), 100.0, 1e-6);
        assert_within("the share that was moved", after.lines()[moved].share.get(), to.get(), 0.0);
        let pairs: Vec<(f64, f64)> = before.lines().iter().zip(after.lines()).enumerate()
            .filter(|(i, _)| *i != moved)
            .filter_map(|(_, (b, a))| {
                assert_eq!(a.locked, b.locked, "locks stay");
                assert_eq!(a.supplier, b.supplier, "suppliers' figures stay");
                if a.locked {
                    assert_within(&format!("locked {}", a.fat.id), a.share.get(), b.share.get(), 0.0);
                    return None;
                }
                Some((b.share.get(), a.share.get()))
            })
            .collect();
        let held: f64 = pairs.iter().map(|(b, _)| b).sum();
        if held > 0.0 {
            for (b, a) in &pairs {
                let expected = b / held * pairs.iter().map(|(_, a)| a).sum::<f64>();
                assert_within("a share that gave way", *a, expected, 1e-9 * 100.0);
            }
        }
    }

    #[test]
    fn the_room_of_a_fat_is_what_can_be_set(blend in whole_blend(), which in any::<Index>()) {
        let id = blend.lines()[which.index(blend.lines().len())].fat.id.clone();
        let (least, most) = blend.room(&id).expect("it is there");
        for end in [least, most] {
            let mut moved = blend.clone();
            assert!(moved.set_share(&id, Share::nearest(end)).is_ok(), "{end} lies in the room {least}–{most}");
            assert_within("sum of the shares", moved.total(), 100.0, 1e-6);
        }
    }

    #[test]
    fn filling_up_makes_the_sum_100_or_is_refused(blend in any_blend()) {
        let mut filled = blend.clone();
        match filled.fill() {
            Ok(()) => assert_within("sum of the shares", filled.total(), 100.0, 1e-6),
            Err(error) => {
                assert_eq!(filled, blend, "a refusal changes nothing: {error}");
                let locked: f64 = blend.lines().iter().filter(|l| l.locked).map(|l| l.share.get()).sum();
                let all = blend.lines().iter().all(|l| l.locked);
                assert!(all || locked > 100.0, "{error}, although {locked} % are locked");
            }
        }
    }
}

#[test]
fn shares_too_small_to_see_still_give_way() {
    let lines = [("olive_virgin", 100.0), ("coconut", 1e-320), ("palm", 5e-324)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let mut blend = Blend::new(lines.to_vec()).expect("no fat twice");
    blend.set_share(&id("olive_virgin"), Share::nearest(40.0)).expect("there is room");
    assert_within("sum of the shares", blend.total(), 100.0, 1e-6);
}

// ---- history ------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn undo_takes_back_each_edit_and_redo_does_it_again(
        design in any_design(),
        steps in vec(any_step(), 1..25),
    ) {
        let mut history = History::new(design, true);
        let mut states = vec![Design::clone(history.design())];
        for step in &steps {
            let Some(edit) = step.edit(history.design()) else { continue };
            // A refused edit leaves no trace.
            let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
            history.commit(edit.name(history.design()), next.clone(), None);
            assert_eq!(**history.design(), next, "the edit is the present");
            if states.last() != Some(&next) {
                states.push(next);
            }
        }
        let last = states.len() - 1;
        assert_eq!(history.is_unsaved(), last > 0, "changed since it was saved");
        for state in states[..last].iter().rev() {
            assert!(history.undo(), "a step for each change");
            assert_eq!(**history.design(), *state, "as it was before");
        }
        assert!(!history.undo(), "and no more steps than changes");
        assert!(!history.is_unsaved(), "back at what was saved");
        for state in &states[1..] {
            assert!(history.redo(), "each step again");
            assert_eq!(**history.design(), *state, "as it was after");
        }
        assert!(!history.redo(), "and no more");
    }

    #[test]
    fn a_gesture_is_one_step_however_many_edits_it_makes(
        design in any_design(),
        gestures in vec((vec(any_step(), 1..6), any::<bool>()), 1..6),
    ) {
        let start = design.clone();
        let mut history = History::new(design, false);
        let mut between = vec![start];
        for (number, (steps, ends)) in gestures.iter().enumerate() {
            let gesture = Some(Gesture(number as u64));
            for step in steps {
                let Some(edit) = step.edit(history.design()) else { continue };
                let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
                history.commit(edit.name(history.design()), next, gesture);
            }
            if *ends {
                history.end_gesture();
            }
            if between.last() != Some(&**history.design()) {
                between.push(Design::clone(history.design()));
            }
        }
        for state in between[..between.len() - 1].iter().rev() {
            assert!(history.undo(), "a step for each gesture");
            assert_eq!(**history.design(), *state, "as it was before the gesture");
        }
        assert!(!history.undo(), "and no more steps than gestures");
    }
}
