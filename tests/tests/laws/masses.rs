//! What is weighed, the alkali, the water rules, scaling and units.

use super::designs::{
    LIBRARY, any_concentration, any_design, any_fat_size, by_the_fats, design_of, tried, whole_blend,
};
use super::figures::{assert_same, masses, ratios};
use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::design::WaterRule;
use barwright_core::design::mould::Size;
use barwright_core::library::additions::Stage;
use barwright_core::units::{BarMass, FatMass, Fill, Grams, MassUnit, Millilitres, WaterPercent, WaterRatio};
use barwright_core::{Design, evaluate};
use proptest::prelude::*;

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn what_is_weighed_adds_up_to_the_batter(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let batch = &evaluation.masses;
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
        assert_relative("fats, g", evaluation.masses.fats.0, mass.get(), 1e-8);
    }

    #[test]
    fn the_alkali_is_what_the_fats_take_less_the_superfat_and_what_acids_take(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let alkali = &evaluation.masses.alkali;
        let need: f64 = design.blend.lines().iter().zip(&evaluation.fat_masses)
            .map(|(l, m)| m.0 * l.saponification_value() / 56_105.0).sum();
        // What lies on top meets no lye; a fatty acid counts as a fat does.
        let of_acids = |fatty: bool| -> f64 { design.additions.iter().zip(&evaluation.addition_masses)
            .filter(|(l, _)| l.stage != Stage::OnTop && l.addition.brings_fatty_acid() == fatty)
            .filter_map(|(l, m)| l.addition.acid.as_ref().map(|a| (m.0, &a.value)))
            .map(|(mass, a)| mass * a.content.get() / 100.0 / a.molar_mass.get() * f64::from(a.protons)).sum() };
        let (acids, need) = (of_acids(false), need + of_acids(true));
        let moles = alkali.pure_naoh.0 / 39.997 + alkali.pure_koh.0 / 56.105;
        assert_relative("mol of alkali", moles, need * (1.0 - design.superfat.fraction()) + acids, 1e-9);
        let share = design.alkali.koh_share.get() / 100.0;
        assert_relative("mol of KOH", alkali.pure_koh.0 / 56.105, moles * share, 1e-9);
        let pure = [design.alkali.naoh_purity, design.alkali.koh_purity].map(|p| p.get() / 100.0);
        assert_relative("NaOH, g", alkali.naoh.0 * pure[0], alkali.pure_naoh.0, 1e-9);
        assert_relative("KOH, g", alkali.koh.0 * pure[1], alkali.pure_koh.0, 1e-9);
        let for_acids = acids * ((1.0 - share) * 39.997 / pure[0] + share * 56.105 / pure[1]);
        assert_relative("alkali for acids, g", evaluation.masses.alkali_for_acids.0, for_acids, 1e-9);
    }

    #[test]
    fn scaling_the_batch_scales_every_mass_and_no_ratio(design in any_design(), factor in 0.01..100.0_f64) {
        let mut one = by_the_fats(design);
        if let Size::BarAtSale(_) = one.size {
            one.size = Size::FatMass(FatMass::nearest(evaluate(&one, &LIBRARY).masses.fats.0));
        }
        let scaled = match one.size {
            Size::FatMass(mass) => Size::FatMass(FatMass::nearest(mass.get() * factor)),
            Size::Volume { ml, fill } => Size::Volume { ml: Millilitres::nearest(ml.get() * factor), fill },
            Size::BarMass(mass) => Size::BarMass(BarMass::nearest(mass.get() * factor)),
            // Larger bars dry slower: at sale they are not in proportion.
            Size::BarAtSale(_) => panic!("the fats took its place"),
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
        let size = one.masses.batter.0.max(1e-3);
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
        prop_assume!(first.masses.water_excess.0 <= 0.0 && first.size_error.is_none());
        let water = first.masses.water_total.0;
        assert_within("lye concentration, %", first.masses.lye_concentration().expect("there is lye"), c, 1e-9 * c);
        let ratio = WaterRatio::new((100.0 - c) / c).expect("every concentration is a ratio");
        let by_ratio = evaluate(
            &Design { water: WaterRule::WaterToAlkali(ratio), ..by_concentration.clone() },
            &LIBRARY,
        );
        assert_relative("water by ratio, g", by_ratio.masses.water_total.0, water, 1e-9);
        assert_within("ratio", WaterRatio::from_concentration(c), ratio.get(), 0.0);
        // Not every ratio is a percentage of the fats that may be given.
        if let Ok(percent) = WaterPercent::new(100.0 * water / first.masses.fats.0) {
            let by_percent = evaluate(
                &Design { water: WaterRule::PercentOfFats(percent), ..by_concentration.clone() },
                &LIBRARY,
            );
            assert_relative("water by percent of fats, g", by_percent.masses.water_total.0, water, 1e-9);
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
