//! The numbers of the bar at sale.

use super::sum::{grams, number};
use super::{About, Input, Parts};
use crate::cure::{Cure, USUAL_HALF_DAYS, USUAL_THICKNESS};
use crate::mould::BarShape;
use crate::number::{fixed, short};

impl About<'_> {
    fn cure(self) -> Result<Cure, String> {
        self.evaluation.cure.ok_or_else(|| "there are no fats in the batch".into())
    }

    fn drying(self, cure: &Cure) -> Vec<Input> {
        let measures = match cure.shape() {
            BarShape::Block([a, b, c]) => format!("{} × {} × {} mm", fixed(a, 0), fixed(b, 0), fixed(c, 0)),
            BarShape::Disc { diameter, thickness } => {
                format!("disc of {} mm, {} mm thick", fixed(diameter, 0), fixed(thickness, 0))
            }
        };
        let half = format!("half the free water in {USUAL_HALF_DAYS} days at {USUAL_THICKNESS} mm, our estimate");
        let process = &self.design.process;
        vec![
            Input::chosen("Cure", format!("{} days from cutting", short(process.cure_days.get(), 1))),
            Input::chosen("Water that stays", format!("{} % of the bar", short(process.equilibrium_moisture.get(), 1))),
            Input::worked_out("The bar", measures, cure.shape_words()),
            Input::worked_out("Diffusivity", format!("{} mm² a day", fixed(cure.diffusivity(), 2)), &half),
        ]
    }

    pub(super) fn bar_cured(self) -> Result<Parts, String> {
        let cure = self.cure()?;
        let left = cure.moisture_ratio(cure.days().get());
        let mut inputs = vec![
            Input::worked_out("A fresh bar", grams(cure.fresh()), "batter ÷ number of bars"),
            Input::worked_out("Water that can leave it", grams(cure.free_water()), "all its water less what stays"),
            Input::worked_out("Part of it still there", number(left), "diffusion through all faces (Crank 1975)"),
        ];
        inputs.extend(self.drying(&cure));
        Ok(Parts {
            formula: "fresh bar − water that can leave × (1 − part still there)",
            numbers: format!("{} − {} × (1 − {})", grams(cure.fresh()), grams(cure.free_water()), number(left)),
            inputs,
            trust:
                "A forecast. Air, soap and stacking change the pace by half or more; the weight at the end is surer \
                than the day. Weigh the bars before you declare a weight."
                    .into(),
        })
    }

    pub(super) fn tfm_cured(self) -> Result<Parts, String> {
        let cure = self.cure()?;
        let fresh = self.evaluation.chemistry.tfm_fresh.ok_or("the fatty matter of the fresh bar is not known")?;
        let at_sale = cure.bar_at_sale();
        let mut inputs = vec![
            Input::worked_out("Total fatty matter, fresh", format!("{} %", number(fresh)), "of the fresh bar"),
            Input::worked_out("A fresh bar", grams(cure.fresh()), "batter ÷ number of bars"),
            Input::worked_out("A bar at sale", grams(at_sale), "the forecast of its drying"),
        ];
        inputs.extend(self.drying(&cure));
        Ok(Parts {
            formula: "fatty matter of the fresh bar × fresh bar ÷ bar at sale",
            numbers: format!("{} × {} ÷ {}", number(fresh), grams(cure.fresh()), grams(at_sale)),
            inputs,
            trust:
                "As sure as the forecast of the weight: only water is taken to leave. Fat in additions is not counted."
                    .into(),
        })
    }
}
