//! The lye margin.

use super::sum::{number, sum};
use super::{About, Input, Parts};
use crate::margin::{Cause, Driver, LyeMargin};
use crate::material::Trust;
use crate::number::{fixed, short, significant};

impl<'a> About<'a> {
    fn margin(self) -> Result<&'a LyeMargin, String> {
        self.evaluation.margin.as_ref().ok_or_else(|| "there are no fats that take alkali".into())
    }

    fn driver(self, driver: &Driver) -> Input {
        let alkali = &self.design.alkali;
        let scale = self.design.scale_division.get();
        let typed = "the ± of the purity in the design";
        let (name, source, trust) = match driver.cause {
            Cause::SaponificationValue(i) => {
                let line = &self.design.blend.lines()[i];
                let range = line.saponification_range();
                let name =
                    format!("{}: {} to {} mg KOH/g", line.fat.name, short(range.min(), 2), short(range.max(), 2));
                match line.supplier {
                    Some(_) => (name, "the supplier’s figure, as typed".into(), Some(Trust::Maker)),
                    None => (name, line.fat.sv.source.clone(), Some(line.fat.sv.trust)),
                }
            }
            Cause::NaohPurity => {
                let name = format!("Purity of the sodium hydroxide: ± {} %", short(alkali.naoh_purity_pm.get(), 2));
                (name, typed.into(), None)
            }
            Cause::KohPurity => {
                let name = format!("Purity of the potassium hydroxide: ± {} %", short(alkali.koh_purity_pm.get(), 2));
                (name, typed.into(), None)
            }
            Cause::Scale => {
                let name = format!("Scale: half of {} g at every weighing", short(scale, 3));
                (name, "the design".into(), None)
            }
        };
        let value = format!(
            "± {} points of superfat, {} % of the spread",
            significant(driver.points),
            fixed(100.0 * driver.part, 0)
        );
        Input { name, value, source, trust }
    }

    fn margin_inputs(self, margin: &LyeMargin) -> Vec<Input> {
        let mut inputs = vec![self.superfat()];
        inputs.extend(margin.drivers.iter().map(|d| self.driver(d)));
        inputs
    }

    pub(super) fn chance_lye_heavy(self) -> Result<Parts, String> {
        let margin = self.margin()?;
        let spread = sum(margin.drivers.iter().map(|d| significant(d.points)));
        let middle = if margin.low >= 0.0 {
            format!("all at its worst leaves {} %, so none of it is below 0 %", fixed(margin.low, 2))
        } else {
            format!(
                "of 100 batches 5 lie below {} % and 5 above {} %; the part below 0 %",
                fixed(margin.quantile(0.05), 2),
                fixed(margin.quantile(0.95), 2)
            )
        };
        Ok(Parts {
            formula: "chance that alkali × (1 + Λ) > need × (1 + Ν), Λ and Ν being sums of even spreads",
            numbers: format!("{} % ± ({spread}) points: {middle}", short(self.design.superfat.get(), 2)),
            inputs: self.margin_inputs(margin),
            trust: "The sum of the spreads is worked out to a ten-thousandth, but that fats vary independently and \
                    evenly within their ranges is an assumption: one season can move several together."
                .into(),
        })
    }

    pub(super) fn least_superfat(self) -> Result<Parts, String> {
        let margin = self.margin()?;
        let accepted = self.design.accepted_chance;
        let quantile = margin.quantile(accepted.fraction());
        let planned = number(1.0 - self.design.superfat.fraction());
        let mut inputs = self.margin_inputs(margin);
        inputs
            .insert(1, Input::chosen("Accepted chance of a lye-heavy bar", format!("{} %", short(accepted.get(), 2))));
        let name = format!("Superfat q below which {} % of batches lie", short(accepted.get(), 2));
        inputs
            .insert(2, Input::worked_out(&name, format!("{} %", fixed(quantile, 2)), "the spread of all causes below"));
        Ok(Parts {
            formula: "100 × (1 − (1 − superfat) ÷ (1 − q)), q being what the accepted chance leaves",
            numbers: format!("100 × (1 − {planned} ÷ {})", number(1.0 - quantile / 100.0)),
            inputs,
            trust: "That fats vary independently and evenly within their ranges is an assumption: one season can move \
                    several together. A supplier’s figure for the fat that does most narrows it."
                .into(),
        })
    }
}
