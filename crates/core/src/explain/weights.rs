//! The weight of each material, of all fats, and what each brings of water.

use super::sum::{grams, number, sum};
use super::volume::density;
use super::{About, Input, Parts};
use crate::chemistry::masses::WaterSource;
use crate::design::mould::Size;
use crate::library::additions::Amount;
use crate::number::short;
use crate::units::Grams;

const AS_CHOSEN: &str = "Exact arithmetic on what the design says; weigh to the division of the scale.";

impl About<'_> {
    pub(super) fn all_fats(self) -> Parts {
        let b = &self.evaluation.masses;
        let total = self.design.blend.total();
        let shares = Input::chosen("Sum of the shares", format!("{} %", short(total, 3)));
        let reached = self.evaluation.size_error.is_none();
        let found = |formula, numbers: String, inputs| Parts {
            formula,
            numbers: if reached { numbers } else { "0 g".into() },
            inputs,
            trust:
                "Solved for, to a relative 1e-12; it is as good as the densities and the amounts of all that is not \
                    fat."
                    .into(),
        };
        match self.design.size {
            Size::FatMass(mass) => Parts {
                formula: "fats as chosen × sum of the shares ÷ 100",
                numbers: format!("{} × {} ÷ 100", grams(Grams(mass.get())), number(total)),
                inputs: vec![Input::chosen("Fats", grams(Grams(mass.get()))), shares],
                trust: AS_CHOSEN.into(),
            },
            Size::BarMass(mass) => {
                let rest = b.batter - b.fats;
                let numbers = format!("{} × {} − {}", b.bars, grams(Grams(mass.get())), grams(rest));
                let inputs = vec![
                    Input::chosen("A fresh bar", grams(Grams(mass.get()))),
                    Input::chosen("Bars", b.bars.to_string()),
                    Input::worked_out("All that is not fat", grams(rest), "alkali, water, additions and scents"),
                ];
                found("bars × weight of a bar − all that is not fat", numbers, inputs)
            }
            Size::Mould { .. } | Size::Volume { .. } => {
                let asked = self.design.size.wanted_ml().unwrap_or_default();
                let ml = |v: f64| format!("{} ml", number(v));
                let mut inputs = vec![Input::chosen("Volume to fill", ml(asked))];
                if let Some(own) = self.design.calibration.batter_g_per_ml {
                    let rest = b.batter - b.fats - b.on_top;
                    inputs.push(Input::chosen("Density of the batter", format!("{} g/ml", short(own.get(), 4))));
                    let name = "All that is not fat and not on top";
                    inputs.push(Input::worked_out(name, grams(rest), "alkali, water, additions and scents"));
                    let numbers = format!("{} × {} g/ml − {}", ml(asked), number(own.get()), grams(rest));
                    return found("volume × your density − all that is not fat and not on top", numbers, inputs);
                }
                let of_fats: f64 = self.fats().map(|(line, mass)| mass.0 / density(line).0).sum();
                let rest = b.batter_ml - of_fats;
                let each = of_fats / b.fats.0;
                let how = "their densities at 40 °C";
                inputs.push(Input::worked_out("Volume of all that is not fat", ml(rest), how));
                inputs.push(Input::worked_out("A gram of the fats", ml(each), how));
                let numbers = format!("({} − {}) ÷ {} ml/g", ml(asked), ml(rest), short(each, 7));
                found(
                    "(volume to fill − volume of all that is not fat) ÷ volume of a gram of the fats",
                    numbers,
                    inputs,
                )
            }
        }
    }

    pub(super) fn fat_mass(self, index: usize) -> Parts {
        let line = &self.design.blend.lines()[index];
        let total = self.design.blend.total();
        Parts {
            formula: "all fats × share ÷ sum of the shares",
            numbers: format!(
                "{} × {} ÷ {}",
                grams(self.evaluation.masses.fats),
                number(line.share.get()),
                number(if total > 0.0 { total } else { 100.0 })
            ),
            inputs: vec![
                self.size(),
                Input::chosen(&format!("Share of {}", line.fat.name), format!("{} %", short(line.share.get(), 3))),
            ],
            trust: AS_CHOSEN.into(),
        }
    }

    /// A number that nothing is worked out for.
    fn as_chosen(name: &str, value: String, trust: &str) -> Parts {
        Parts {
            formula: "as chosen",
            numbers: value.clone(),
            inputs: vec![Input::chosen(name, value)],
            trust: trust.into(),
        }
    }

    pub(super) fn shares(self) -> Parts {
        let lines = self.design.blend.lines();
        let value = |share: f64| format!("{} %", short(share, 6));
        Parts {
            formula: "Σ share",
            numbers: sum(lines.iter().map(|l| short(l.share.get(), 6))),
            inputs: lines.iter().map(|l| Input::chosen(&l.fat.name, value(l.share.get()))).collect(),
            trust: "It has to be 100 %: then a share is a percentage of the fats.".into(),
        }
    }

    pub(super) fn share(self, index: usize) -> Parts {
        let line = &self.design.blend.lines()[index];
        let value = format!("{} %", short(line.share.get(), 6));
        Self::as_chosen(&line.fat.name, value, "It is what the design says: percent of the fats by weight.")
    }

    pub(super) fn planned_superfat(self) -> Parts {
        let value = format!("{} %", short(self.design.superfat.get(), 6));
        let trust = "It is what the design says; what results lies around it as far as the lye margin tells.";
        Self::as_chosen("Superfat", value, trust)
    }

    pub(super) fn bars(self) -> Parts {
        let bars = self.evaluation.masses.bars.to_string();
        let trust = match self.design.size.own_bars() {
            Some(_) => "The mould has so many cavities.",
            None => "It is what the design says.",
        };
        Self::as_chosen("Bars", bars, trust)
    }

    pub(super) fn amount(self, name: &str, amount: Amount) -> Parts {
        let fats = grams(self.evaluation.masses.fats);
        let given = number(amount.number());
        let (formula, numbers, value) = match amount {
            Amount::PercentOfFats(_) => {
                ("all fats × percent ÷ 100", format!("{fats} × {given} ÷ 100"), format!("{given} % of the fats"))
            }
            Amount::Grams(_) => ("as chosen", format!("{given} g"), format!("{given} g")),
            Amount::GramsPerKgFats(_) => (
                "all fats × grams for each kilogram ÷ 1000",
                format!("{fats} × {given} ÷ 1000"),
                format!("{given} g for each kg of fats"),
            ),
        };
        let mut inputs = vec![Input::chosen(name, value)];
        if !matches!(amount, Amount::Grams(_)) {
            inputs.push(self.size());
        }
        Parts { formula, numbers, inputs, trust: AS_CHOSEN.into() }
    }

    pub(super) fn water_row(self, source: WaterSource) -> Parts {
        let b = &self.evaluation.masses;
        match source {
            WaterSource::Weighed => self.water_to_weigh(),
            WaterSource::PotassiumHydroxide => Parts {
                formula: "potassium hydroxide as weighed − pure potassium hydroxide",
                numbers: format!("{} − {}", grams(b.alkali.koh), grams(b.alkali.pure_koh)),
                inputs: vec![Self::purity(
                    "Purity of the potassium hydroxide",
                    self.design.alkali.koh_purity,
                    crate::design::Alkali::default().koh_purity,
                )],
                trust: "What is not pure in it counts as water (from memory: it draws water from the air).".into(),
            },
            WaterSource::Addition(i) => self.water_of_addition(i),
            WaterSource::Made => self.water_made(),
        }
    }

    pub(super) fn water_of_addition(self, index: usize) -> Parts {
        let line = &self.design.additions[index];
        let contents = &line.addition.contents;
        let water = contents.value.water;
        Parts {
            formula: "mass × content of water",
            numbers: format!("{} × {}", grams(line.amount.mass(self.evaluation.masses.fats)), number(water.fraction())),
            inputs: vec![Input {
                name: format!("Water in {}", line.addition.name),
                value: format!("{} %", short(water.get(), 2)),
                source: contents.source.clone(),
                trust: Some(contents.trust),
            }],
            trust:
                "The content is a mean of what is grown or sold; a dry or a watery season moves it by a few percent."
                    .into(),
        }
    }
}
