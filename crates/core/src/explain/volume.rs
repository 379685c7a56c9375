//! The volume of the batter.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::chemistry::inputs::{IMPURITY_DENSITY, SCENT_DENSITY};
use crate::chemistry::masses::BATTER_C;
use crate::chemistry::solution::water_density;
use crate::design::blend::FatLine;
use crate::formula::Plain;
use crate::library::additions::Stage;
use crate::library::fats::USUAL_DENSITY_40;
use crate::library::material::Trust;
use crate::number::{fixed, short};
use crate::units::Grams;

impl About<'_> {
    pub(super) fn batter_ml(self) -> Parts {
        let b = &self.evaluation.masses;
        if let Some(density) = self.design.calibration.batter_g_per_ml {
            return Parts {
                formula: "(batter − what lies on top) ÷ your density",
                numbers: format!("({} − {}) ÷ {} g/ml", grams(b.batter), grams(b.on_top), number(density.get())),
                inputs: vec![Input {
                    name: "Density of the batter".into(),
                    value: format!("{} g/ml", short(density.get(), 4)),
                    source: "a batch you poured and weighed".into(),
                    trust: Some(Trust::Maker),
                }],
                trust: "Rests on your own measurement; it holds for batches like the one measured.".into(),
            };
        }
        let lye = b.lye();
        let mut terms: Vec<String> = self.fats().map(|(line, mass)| volume(mass, density(line).0)).collect();
        if lye.mass().0 > 0.0 {
            terms.push(volume(lye.mass(), lye.mass().0 / lye.volume_extrapolated(Plain, BATTER_C)));
        }
        let impurity = b.alkali.naoh - b.alkali.pure_naoh;
        if impurity.0 > 0.0 {
            terms.push(volume(impurity, IMPURITY_DENSITY));
        }
        for (line, mass) in self.additions().filter(|(l, _)| l.stage != Stage::OnTop) {
            let contents = &line.addition.contents.value;
            // Water in the jug is in the lye.
            let water = if line.stage == Stage::IntoJug { 0.0 } else { contents.water.fraction() };
            let parts = [
                (water, water_density(BATTER_C)),
                (contents.fat.fraction(), USUAL_DENSITY_40),
                (line.addition.solids(), line.addition.solids_density.get()),
            ];
            terms.extend(parts.into_iter().filter(|(part, _)| *part > 0.0).map(|(part, d)| volume(mass * part, d)));
        }
        let scents = self.design.scents.iter().zip(&self.evaluation.scents.masses);
        let scents = scents.filter(|(line, mass)| line.stage != Stage::OnTop && mass.0 > 0.0);
        terms.extend(scents.map(|(_, mass)| volume(*mass, SCENT_DENSITY)));
        let mut inputs = vec![self.size()];
        inputs.extend(self.fats().map(|(line, _)| {
            let (d, source, trust) = density(line);
            let (name, value) = (format!("Density of {} at 40 °C", line.fat.name), format!("{} g/ml", fixed(d, 4)));
            Input { name, value, source, trust: Some(trust) }
        }));
        inputs.push(Input {
            name: "Density of the lye at 40 °C".into(),
            value: "worked out for its strength".into(),
            source: "Laliberté and Cooper 2004 with the coefficients of 2009".into(),
            trust: Some(Trust::Read),
        });
        Parts {
            formula: "Σ m ÷ ρ at 40 °C, over fats, lye, its impurity, the contents of additions, and scents",
            numbers: sum(terms),
            inputs,
            trust:
                "Volumes are added as if nothing shrank or held air, so expect a few percent. Pour one batch, measure \
                    it and type its density to do better."
                    .into(),
        }
    }
}

fn volume(mass: Grams, density: f64) -> String {
    format!("{} ÷ {} g/ml", grams(mass), number(density))
}

/// Density of a fat at the batter's temperature, with its source.
pub(super) fn density(line: &FatLine) -> (f64, String, Trust) {
    line.fat.relative_density.as_ref().map_or_else(
        || (USUAL_DENSITY_40, "the usual density of fats; none is tabled for this one".into(), Trust::FromMemory),
        |d| (d.value.at(BATTER_C), d.source.clone(), d.trust),
    )
}
