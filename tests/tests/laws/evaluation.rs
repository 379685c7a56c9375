//! What an evaluation, its report, label and cautions say of any design.

use super::designs::{LIBRARY, any_design, design_of, tried, whole_blend};
use super::figures::{assert_same, masses, ratios};
use barwright_acceptance::{Judged, judged};
use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::Design;
use barwright_core::bench::label::{Ingredient, Ingredients, ListStyle};
use barwright_core::cautions::Level;
use barwright_core::design::blend::Blend;
use barwright_core::evaluate::{contributions, free_fat_points};
use barwright_core::formula::Plain;
use barwright_core::library::estimates::Estimate;
use barwright_core::render::report::{self, Report};
use proptest::prelude::*;

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn evaluate_gives_finite_numbers_for_any_design(design in any_design()) {
        let evaluation = judged(&design, &LIBRARY);
        for (name, mass) in masses(&evaluation) {
            assert!(mass.is_finite() && mass >= 0.0, "{name}: {mass}");
        }
        for (name, value) in ratios(&evaluation) {
            assert!(value.is_none_or(f64::is_finite), "{name}: {value:?}");
        }
        assert_eq!(evaluation.cure.is_some(), evaluation.masses.fats.0 > 0.0, "a bar wherever there are fats");
        if let Some(cure) = &evaluation.cure {
            let (fresh, at_sale) = (cure.fresh().0, cure.bar_at_sale(Plain).0);
            assert!(at_sale.is_finite() && at_sale > 0.0 && at_sale <= fresh, "{at_sale} of {fresh} g at sale");
            assert!(cure.water_at_sale(Plain).0 >= -1e-9 * fresh, "water at sale {:?}", cure.water_at_sale(Plain));
            assert!(evaluation.masses.dried().0 <= at_sale * f64::from(evaluation.masses.bars) * (1.0 + 1e-9), "lightest");
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
        let evaluation = judged(&design, &LIBRARY);
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
        assert!(text.contains("Sodium hydroxide (NaOH)") || evaluation.masses.alkali.naoh.0 <= 0.0, "{text}");
    }

    #[test]
    fn the_ingredients_add_up_to_what_went_in_and_to_the_bars_at_sale(design in any_design()) {
        let evaluation = judged(&design, &LIBRARY);
        let batch = &evaluation.masses;
        let Some(label) = Ingredients::of(&design, &evaluation, &LIBRARY) else {
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
        let evaluation = judged(&design, &LIBRARY);
        let stop = |code: &str| evaluation.cautions.iter().any(|c| c.code == code && c.level == Level::Stop);
        if design.blend.lines().is_empty() {
            assert!(stop("no-fats"), "there is no fat");
            return Ok(());
        }
        // Without a gram of fat nothing can be worked out, and a stop says why.
        let made = evaluation.masses.fats.0 > 0.0;
        let why = ["shares-not-100", "size-too-small", "size-too-large"];
        assert!(made || why.into_iter().any(stop), "there is no fat");
        assert_eq!(stop("lye-heavy"), made && design.superfat.get() <= 0.0, "superfat {}", design.superfat.get());
        assert_eq!(stop("shares-not-100"), !design.blend.is_whole(), "shares sum to {}", design.blend.total());
        // The rule of a gram of water for each gram of NaOH; less is certainly too little.
        let batch = &evaluation.masses;
        if made && batch.water_in_jug.0 < batch.alkali.pure_naoh.0 * (1.0 - 1e-9) {
            assert!(stop("jug-too-strong"), "{:?} g of water in the jug", batch.water_in_jug);
        }
        let missed = evaluation.cautions.iter().any(|c| c.code == "water-not-reached" && c.level == Level::Care);
        assert_eq!(missed, made && batch.water_excess.0 > 0.0, "{:?} g too much", batch.water_excess);
    }

    #[test]
    fn what_is_null_has_a_caution(design in any_design()) {
        let evaluation = judged(&design, &LIBRARY);
        let said = |code: &str| evaluation.cautions.iter().any(|c| c.code == code);
        // Without a gram of fat nothing can be worked out, and one caution says why.
        if evaluation.masses.fats.0 <= 0.0 {
            let why = ["no-fats", "shares-not-100", "size-too-small", "size-too-large"];
            assert!(why.into_iter().any(said), "there is no fat");
            return Ok(());
        }
        assert!(evaluation.estimates.is_some() || said("estimates-unknown"), "estimates");
        assert!(evaluation.chemistry.iodine_value.is_some() || said("estimates-unknown"), "iodine value");
        assert!(evaluation.chemistry.tfm_fresh.is_some() || said("tfm-unknown"), "TFM");
        let ranges = evaluation.estimates.iter().flatten().all(|r| r.range.is_some());
        assert!(ranges || said("style-unknown"), "ranges");
        assert!(evaluation.jug.is_some() && evaluation.masses.lye_concentration().is_some(), "the lye");
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
        let (a, b) = (judged(&design, &LIBRARY), judged(&shuffled, &LIBRARY));
        assert_same("shuffled", &ratios(&a), &ratios(&b), 1e-9);
        let a_batter = a.masses.batter.0;
        // The fats' own masses follow the order; all that comes before them does not.
        for ((name, a), (_, b)) in masses(&a).iter().zip(masses(&b)).take_while(|((name, _), _)| name != "fat 0") {
            assert_within(&format!("{name}, shuffled"), b, *a, 1e-9 * a_batter);
        }
        let codes = |e: &Judged| {
            let mut codes: Vec<&str> = e.cautions.iter().map(|c| c.code).collect();
            codes.sort_unstable();
            codes
        };
        assert_eq!(codes(&a), codes(&b), "the same cautions");
    }

    #[test]
    fn what_the_fats_bring_to_a_score_sums_to_it(design in design_of(whole_blend())) {
        let evaluation = judged(&design, &LIBRARY);
        for estimate in Estimate::ALL {
            let Some(result) = evaluation.estimate(estimate) else { continue };
            let brought: f64 = contributions(&design.blend, estimate, &LIBRARY).into_iter().flatten().sum();
            let all = (brought + free_fat_points(estimate, &evaluation)).min(100.0);
            assert_within(estimate.name(), all, result.value, 1e-9 * 100.0);
        }
    }
}
