//! The lye margin.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::chemistry::margin::{Cause, Driver, LyeMargin};
use crate::library::material::Trust;
use crate::number::{fixed, short, significant};
use crate::units::{Grams, Interval, Purity, PurityMargin};

impl<'a> About<'a> {
    pub(super) fn margin(self) -> Result<&'a LyeMargin, String> {
        self.evaluation.margin.as_ref().ok_or_else(|| "there are no fats that take alkali".into())
    }

    pub(super) fn driver(self, driver: &Driver) -> Input {
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

    /// Need of the fats in g KOH with every saponification value at one end of its range and every
    /// weighing half a division off.
    fn need_at(self, end: fn(Interval) -> f64, sign: char) -> String {
        sum(self.fats().map(|(line, mass)| {
            let weighed = self.weighed_at(mass, sign);
            format!("{weighed} × {} ÷ 1000", number(end(line.saponification_range())))
        }))
    }

    /// A weighing that is half a division off to the side of `sign`.
    fn weighed_at(self, mass: Grams, sign: char) -> String {
        let half = (self.design.scale_division.get() / 2.0).min(mass.0);
        format!("({} {sign} {} g)", grams(mass), number(half))
    }

    /// Alkali for the fats in g KOH with every purity and weighing off to one side.
    fn supply_at(self, sign: char) -> String {
        let (batch, alkali) = (&self.evaluation.masses, &self.design.alkali);
        let term = |mass: Grams, purity: Purity, pm: PurityMargin, worth: &str| {
            let pm = pm.fraction().min(1.0 - purity.fraction());
            format!("{} × ({} {sign} {}){worth}", self.weighed_at(mass, sign), number(purity.fraction()), number(pm))
        };
        let naoh = term(batch.alkali.naoh, alkali.naoh_purity, alkali.naoh_purity_pm, " × 56.105 ÷ 39.997");
        let koh = term(batch.alkali.koh, alkali.koh_purity, alkali.koh_purity_pm, "");
        let given = [(batch.alkali.naoh, naoh), (batch.alkali.koh, koh)];
        let weighed = sum(given.into_iter().filter(|(mass, _)| mass.0 > 0.0).map(|(_, term)| term));
        // Less acid takes less of it.
        let opposite = if sign == '+' { '−' } else { '+' };
        let taken = self.acid_lines().filter_map(|(line, mass)| {
            let acid = &line.addition.acid.as_ref()?.value;
            let (content, molar) = (number(acid.content.fraction()), number(acid.molar_mass.get()));
            let mass = self.weighed_at(mass, opposite);
            Some(format!(" − {mass} × {content} × {} × 56.105 ÷ {molar}", acid.protons))
        });
        format!("{weighed}{}", taken.collect::<String>())
    }

    fn extreme(self, numbers: String) -> Result<Parts, String> {
        let margin = self.margin()?;
        Ok(Parts {
            formula: "100 × (1 − alkali for the fats ÷ need of the fats), both in g KOH at their extremes",
            numbers,
            inputs: self.margin_inputs(margin),
            trust: format!(
                "The outer limit: every saponification value, purity and weighing is off to the same side at once. It is \
                 far less likely than any one of them, unless a season or a supplier moves them together.{}",
                self.acids_as_tabled()
            ),
        })
    }

    /// What an outer limit leaves out where acids take alkali.
    pub(super) fn acids_as_tabled(self) -> &'static str {
        if self.acid_lines().next().is_some() { " The strength of the acid is taken as tabled." } else { "" }
    }

    pub(super) fn superfat_low(self) -> Result<Parts, String> {
        self.extreme(format!("100 × (1 − ({}) ÷ ({}))", self.supply_at('+'), self.need_at(Interval::min, '−')))
    }

    pub(super) fn superfat_high(self) -> Result<Parts, String> {
        self.extreme(format!("100 × (1 − ({}) ÷ ({}))", self.supply_at('−'), self.need_at(Interval::max, '+')))
    }

    pub(super) fn superfat_quantile(self, chance: f64) -> Result<Parts, String> {
        let margin = self.margin()?;
        let spread = sum(margin.drivers.iter().map(|d| significant(d.points)));
        Ok(Parts {
            formula: "the superfat under which this part of all batches lies, alkali × (1 + Λ) and need × (1 + Ν) \
                      being off by sums of even spreads",
            numbers: format!(
                "{} % ± ({spread}) points: where {} of 100 batches lie below",
                short(self.design.superfat.get(), 2),
                short(100.0 * chance, 0)
            ),
            inputs: self.margin_inputs(margin),
            trust: "The sum of the spreads is worked out to a ten-thousandth, but that fats vary independently and \
                    evenly within their ranges is an assumption."
                .into(),
        })
    }

    pub(super) fn chance_lye_heavy(self) -> Result<Parts, String> {
        let margin = self.margin()?;
        let spread = sum(margin.drivers.iter().map(|d| significant(d.points)));
        let middle = if margin.low >= 0.0 {
            format!("all at its worst leaves {} %, so the part below 0 %", fixed(margin.low, 2))
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
        let planned = 1.0 - margin.least_superfat(accepted.fraction()) / 100.0;
        let mut inputs = self.margin_inputs(margin);
        let chance = format!("{} %", short(accepted.get(), 2));
        inputs.insert(1, Input::chosen("Accepted chance of a lye-heavy bar", chance));
        let how = "the fats’ ranges, the purities and the weighings below, which stay as wide as they are";
        inputs.insert(2, Input::worked_out("Alkali for each part of need, r", number(planned), how));
        Ok(Parts {
            formula: "100 × (1 − r), r being the planned alkali ÷ need at which r + Λ ≥ 1 + Ν has the accepted chance",
            numbers: format!("100 × (1 − {})", number(planned)),
            inputs,
            trust: "That fats vary independently and evenly within their ranges is an assumption: one season can move \
                    several together. A supplier’s figure for the fat that does most narrows it. It holds for the \
                    masses as they are: a new superfat can change them a little, and so what the weighings do."
                .into(),
        })
    }
}
