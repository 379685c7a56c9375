//! The masses of a batch.

use super::{AS_CHOSEN, About, NO_ALKALI, NO_FATS, Unknown, quantities};
use crate::chemistry::inputs;
use crate::chemistry::jug::frozen_water;
use crate::design::mould::Size;
use crate::formula::Reading;
use crate::number::fixed;
use crate::quantity::Unit;

quantities! {
    /// The batch, in the order of the report.
    BATCH;
    /// All shares together.
    Shares("batch.shares_pct", "Sum of the shares", Percent, 2) {
        |r, of| Ok(r.sum(of.design.blend.lines().iter().map(|l| inputs::share_percent(r, l)))),
        |_| "It has to be 100 %: then a share is a percentage of the fats."
    }
    /// All fats.
    AllFats("batch.fats_g", "All fats", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.fats.0),
        |of| of.of_all_fats()
    }
    /// Sodium hydroxide to weigh.
    Naoh("batch.naoh_g", "Sodium hydroxide to weigh", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.alkali.naoh.0),
        |of| of.of_alkali()
    }
    /// Potassium hydroxide to weigh.
    Koh("batch.koh_g", "Potassium hydroxide to weigh", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.alkali.koh.0),
        |of| of.of_alkali(),
        moved by KohShare
    }
    /// The part of the alkali that acids take.
    AlkaliForAcids("batch.alkali_for_acids_g", "Alkali that acids take", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.alkali_for_acids.0),
        |_| "Exact stoichiometry; the content of acid is the weak point in what is grown or brewed. Acid on top of the \
             filled mould counts for nothing."
    }
    /// Water that counts for the rule.
    WaterTotal("batch.water_total_g", "Water that counts", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.water_total.0),
        |of| if of.evaluation.masses.water_excess.0 > 0.0 {
            "Additions and alkali bring more water than the rule asks for; water cannot be taken out again, so the sum \
             of theirs stands."
        } else {
            "Exact: the rule is the design’s own. Water in additions is from food tables, and what is grown varies."
        }
    }
    /// Water to weigh.
    WaterToWeigh("batch.water_to_weigh_g", "Water to weigh", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.water_to_weigh.0),
        |_| "An exact balance: every gram of water is counted once. Water in additions is from food tables, and what is \
             grown varies."
    }
    /// The frozen part of the jug's water.
    Frozen("batch.frozen_g", "Of the jug’s water, frozen", Grams, 1) {
        |r, of| Ok(frozen_water(r, of.design, &of.evaluation.masses).0),
        |_| "Exact arithmetic on what the design says, and at the least the water of what lye scorches, which goes in \
             frozen. It is a part of the weights, not one more: ice, or milk and puree by the water in them."
    }
    /// Water that does not count.
    WaterUncounted("batch.water_uncounted_g", "Water that does not count", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.water_uncounted.0),
        |_| "As good as the food tables: of those whose water is not to count; what is grown or sold varies by season."
    }
    /// Water that acids make.
    WaterMade("batch.water_made_g", "Water made by acids and alkali", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.water_made.0),
        |_| OF_WATER_MADE
    }
    /// All additions.
    AllAdditions("batch.additions_g", "All additions", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.additions.0),
        |_| AS_CHOSEN
    }
    /// All scents.
    AllScents("batch.scents_g", "All scents", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.scents.0),
        |_| AS_CHOSEN
    }
    /// Strength of the lye.
    LyeConcentration("batch.lye_concentration_pct", "Lye concentration", Percent, 1) {
        |_r, of| of.evaluation.masses.lye_concentration().ok_or_else(|| NO_ALKALI.into()),
        |_| "Exact by definition. The lye in the jug can be stronger: only the water that is in the jug when the alkali \
             goes in dilutes it there."
    }
    /// Planned superfat.
    PlannedSuperfat("batch.superfat_pct", "Planned superfat", Percent, 1) {
        |_r, of| Ok(of.evaluation.masses.superfat),
        |_| "It is what the design says; what results lies around it as far as the lye margin tells."
    }
    /// Free fat.
    FreeFat("batch.free_fat_pct", "Free fat", Percent, 1) {
        |_r, of| Ok(of.evaluation.masses.free_fat.0),
        |_| "As planned; what results differs as far as the lye margin says. Additions bring fat that the lye was not \
             weighed for, so all of it is counted as free."
    }
    /// Fat in additions.
    AdditionFat("batch.addition_fat_g", "Fat in additions", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.addition_fat.0),
        |_| IN_THE_BATTER
    }
    /// Sugars in additions.
    Sugars("batch.sugars_g", "Sugars in additions", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.sugars.0),
        |_| IN_THE_BATTER
    }
    /// Batter.
    Batter("batch.batter_g", "Batter", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.batter.0),
        |_| "A sum of what is weighed, so as good as the scale; what stays in the pot is not taken off."
    }
    /// Volume of the batter.
    BatterMl("batch.batter_ml", "Batter by volume", Millilitres, 0) {
        |_r, of| {
            let masses = &of.evaluation.masses;
            if masses.fats.value() > 0.0 { Ok(masses.batter_ml) } else { Err(NO_FATS.into()) }
        },
        |of| if of.design.calibration.batter_g_per_ml.is_some() {
            "Rests on your own measurement; it holds for batches like the one measured."
        } else {
            "Volumes are added as if nothing shrank or held air, so expect a few percent. Pour one batch, measure it and \
             type its density to do better."
        }
    }
    /// What the melted fats fill before the lye comes to them: the pan has to hold it.
    FatsMelted("batch.fats_melted_ml", "Fats, melted", Millilitres, 0) {
        |r, of| {
            let process = &of.design.process;
            let celsius = process.fats_c.unwrap_or(process.mix_c).get();
            let lines = of.design.blend.lines().iter().zip(&of.evaluation.fat_masses);
            if of.evaluation.masses.fats.value() > 0.0 {
                Ok(r.sum(lines.map(|(line, mass)| mass.0 / inputs::density(r, line, celsius))))
            } else {
                Err(NO_FATS.into())
            }
        },
        |_| "Volumes are added. Densities lie within a few percent, and what they lose by warmth is from memory. The lye \
             and the stirring want room besides."
    }
    /// Number of bars.
    BarCount("batch.bars", "Bars", Count, 0) {
        |r, of| Ok(inputs::bars(r, of.evaluation.masses.bars)),
        |of| match of.design.size.own_bars() {
            Some(_) => "The mould has so many cavities.",
            None => "It is what the design says.",
        }
    }
    /// A bar as it is cut.
    BarFresh("batch.bar_fresh_g", "A fresh bar", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.bar_fresh.0),
        |_| "The weight as poured and evenly cut, without what stays in the pot. It dries to less: never declare this weight."
    }
    /// A bar at sale.
    BarAtSale("batch.bar_cured_g", "A bar at sale", Grams, 1) {
        |r, of| of.evaluation.cure.map(|c| c.bar_at_sale(r).0).ok_or_else(|| NO_FATS.into()),
        |of| of.forecast(&of.weight_forecast(of.design.process.cure_days))
    }
    /// Glycerol set free.
    Glycerol("batch.glycerol_g", "Glycerol set free", Grams, 1) {
        |_r, of| Ok(of.evaluation.masses.glycerol.0),
        |_| "Exact stoichiometry for whole triglycerides. Partial glycerides and free acids in a real fat make it a little \
             less; additions’ own glycerol is not in it."
    }
}

const IN_THE_BATTER: &str = "As good as the food tables: in the batter, what lies on top left out; what is grown or sold varies \
                             by season.";

impl About<'_> {
    fn of_all_fats(self) -> &'static str {
        match self.design.size {
            Size::FatMass(_) => AS_CHOSEN,
            Size::BarMass(_) | Size::BarAtSale(_) | Size::Mould { .. } | Size::Volume { .. } => {
                "Solved for, to a relative 1e-12; it is as good as the densities and the amounts of all that is not fat."
            }
        }
    }

    fn of_alkali(self) -> String {
        let margin = self.evaluation.margin.as_ref().map_or_else(String::new, |m| {
            format!(
                " With every saponification value, purity and weighing at its extreme at once the superfat that results \
                 lies between {} and {} %.{}",
                fixed(m.low, 1),
                fixed(m.high, 1),
                self.acids_as_tabled()
            )
        });
        format!(
            "Exact stoichiometry of the definition of the saponification value (ISO 3657); it is as good as those values \
             and the purity.{margin}"
        )
    }
}

pub(super) const OF_WATER_MADE: &str = "Exact stoichiometry: a mole of water for each proton of a free acid, in the blend and in additions. No rule for the \
     water counts it.";
