//! Sums over additions and scents, and what a fat or the size stands for.

use super::figure::{Entry, Figure};
use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::library::acids::MG_KOH_PER_MOL;
use crate::library::additions::{AdditionLine, Stage};
use crate::library::fats::FatKind;
use crate::number::short;
use crate::units::{Grams, Share};

/// A sum, or a figure that others rest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SumFigure {
    Additions,
    Scents,
    AdditionFat,
    Sugars,
    WaterMade,
    WaterUncounted,
    /// Of the blend's line at this position.
    Saponification(usize),
    Volume,
}

/// The keys; N is a position or a fat's id.
pub(super) const KEYS: [&str; 8] = [
    "batch.additions_g",
    "batch.scents_g",
    "batch.addition_fat_g",
    "batch.sugars_g",
    "batch.water_made_g",
    "batch.water_uncounted_g",
    "fats.N.saponification_value",
    "size.wanted_ml",
];

const IN_THE_BATTER: &str = "in the batter, what lies on top left out";

impl SumFigure {
    /// The number that `key` names; `line` is the position of the fat in it.
    pub(super) fn find(key: &str, about: About<'_>) -> Option<Entry> {
        let entry = |figure, title: &str, unit: &str, decimals| {
            Some(Entry::of_design(Figure::Sum(figure), key.into(), title.into(), unit, decimals))
        };
        match key {
            "batch.additions_g" => entry(Self::Additions, "All additions", "g", 1),
            "batch.scents_g" => entry(Self::Scents, "All scents", "g", 1),
            "batch.addition_fat_g" => entry(Self::AdditionFat, "Fat in additions", "g", 1),
            "batch.sugars_g" => entry(Self::Sugars, "Sugars in additions", "g", 1),
            "batch.water_made_g" => entry(Self::WaterMade, "Water made by acids and alkali", "g", 1),
            "batch.water_uncounted_g" => entry(Self::WaterUncounted, "Water that does not count", "g", 1),
            "size.wanted_ml" => entry(Self::Volume, "Volume to fill", "ml", 0),
            _ => {
                let place = key.strip_prefix("fats.")?.strip_suffix(".saponification_value")?;
                let index = place.parse().ok().or_else(|| super::figure::position("fats", place, about.design))?;
                let line = about.design.blend.lines().get(index)?;
                let title = format!("Saponification value of {}", line.fat.name);
                entry(Self::Saponification(index), &title, "mg KOH/g", 1)
            }
        }
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let batch = &about.evaluation.masses;
        Ok(match self {
            Self::Additions => batch.additions.0,
            Self::Scents => batch.scents.0,
            Self::AdditionFat => batch.addition_fat.0,
            Self::Sugars => batch.sugars.0,
            Self::WaterMade => batch.water_made.0,
            Self::WaterUncounted => batch.water_uncounted.0,
            Self::Saponification(index) => {
                let line = about.design.blend.lines().get(index).ok_or("the blend has no such fat")?;
                line.saponification_value()
            }
            Self::Volume => about.design.size.wanted_ml().ok_or("the size is not given by a volume")?,
        })
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        let stays = |line: &AdditionLine| line.stage != Stage::OnTop;
        Ok(match self {
            Self::Additions => {
                let lines = || about.additions().map(|(line, mass)| (line.addition.name.as_str(), mass));
                weights(lines(), "Σ weight of the additions")
            }
            Self::Scents => {
                let scents = about.design.scents.iter().zip(&about.evaluation.scents.masses);
                weights(scents.map(|(line, mass)| (line.scent.name.as_str(), *mass)), "Σ weight of the scents")
            }
            Self::AdditionFat => about.content("fat", |l| l.addition.contents.value.fat.get(), stays, IN_THE_BATTER),
            Self::Sugars => {
                let sugars = |l: &AdditionLine| l.addition.contents.value.sugars.map_or(0.0, Share::get);
                about.content("sugars", sugars, stays, IN_THE_BATTER)
            }
            Self::WaterUncounted => {
                let water = |l: &AdditionLine| l.addition.contents.value.water.get();
                about.content("water", water, |l| !l.counts_as_water, "of those whose water is not to count")
            }
            Self::WaterMade => about.water_made(),
            Self::Saponification(index) => about.saponification_of(index)?,
            Self::Volume => about.volume()?,
        })
    }
}

fn weights<'n>(lines: impl Iterator<Item = (&'n str, Grams)>, formula: &'static str) -> Parts {
    let lines: Vec<(&str, Grams)> = lines.collect();
    Parts {
        formula,
        numbers: sum(lines.iter().map(|(_, mass)| grams(*mass))),
        inputs: lines
            .iter()
            .map(|(name, mass)| Input::worked_out(name, grams(*mass), "its amount in the design"))
            .collect(),
        trust: "Exact arithmetic on what the design says; weigh to the division of the scale.".into(),
    }
}

impl About<'_> {
    /// What the additions that count hold of something, percent.
    fn content(
        self,
        what: &str,
        percent: impl Fn(&AdditionLine) -> f64,
        counts: impl Fn(&AdditionLine) -> bool,
        which: &str,
    ) -> Parts {
        let lines = self.additions().filter(|(line, _)| counts(line) && percent(line) > 0.0);
        let terms = lines.map(|(line, mass)| format!("{} × {} ÷ 100", grams(mass), number(percent(line))));
        Parts {
            formula: "Σ weight × content in percent ÷ 100, over the additions",
            numbers: sum(terms),
            inputs: self.contents(what, &percent, &counts),
            trust: format!("As good as the food tables: {which}; what is grown or sold varies by season."),
        }
    }

    pub(super) fn water_made(self) -> Parts {
        let moles = self.evaluation.masses.water_made.0 / crate::library::acids::molar_mass::WATER;
        Parts {
            formula: "protons of free acids that alkali takes × 18.015",
            numbers: format!("{} × 18.015", number(moles)),
            inputs: self.acids().chain(self.free_acids()).collect(),
            trust: "Exact stoichiometry: a mole of water for each proton of a free acid, in the blend and in additions. No \
                    rule for the water counts it."
                .into(),
        }
    }

    /// Fats that are free acids, with their protons.
    fn free_acids(self) -> impl Iterator<Item = Input> {
        self.fats().filter(|(line, _)| line.fat.kind == FatKind::FreeAcid).map(|(line, mass)| {
            let moles = mass.0 * line.saponification_value() / MG_KOH_PER_MOL;
            let how = "weight × SV ÷ 56 105; of it the alkali takes all but the superfat";
            Input::worked_out(&line.fat.name, format!("{} mol", number(moles)), how)
        })
    }

    fn saponification_of(self, index: usize) -> Result<Parts, String> {
        let line = self.design.blend.lines().get(index).ok_or("the blend has no such fat")?;
        let name = format!("Saponification value of {}", line.fat.name);
        let inputs = self.saponification_values().filter(|input| input.name == name).collect();
        let range = line.saponification_range();
        let trust =
            "The lye rests on it. A fat of one’s own shelf lies somewhere in its range; a certificate is better.";
        Ok(match line.supplier {
            Some(_) => Parts {
                formula: "the supplier’s figure",
                numbers: number(line.saponification_value()),
                inputs,
                trust: trust.into(),
            },
            None => Parts {
                formula: "the middle of the published range",
                numbers: format!("({} + {}) ÷ 2", number(range.min()), number(range.max())),
                inputs,
                trust: trust.into(),
            },
        })
    }

    fn volume(self) -> Result<Parts, String> {
        use crate::design::mould::Size;
        let (holds, fill, inputs) = match &self.design.size {
            Size::Mould { mould, fill } => (mould.volume_ml(), fill, self.mould_inputs()),
            Size::Volume { ml, fill } => (ml.get(), fill, Vec::new()),
            Size::FatMass(_) | Size::BarMass(_) => return Err("the size is not given by a volume".into()),
        };
        let mut all = vec![Input::worked_out("It holds", format!("{} ml", number(holds)), "the mould, or as typed")];
        all.extend(inputs);
        all.push(Input::chosen("Filled", format!("{} %", short(fill.get(), 2))));
        Ok(Parts {
            formula: "what it holds × how far it is filled",
            numbers: format!("{} × {}", number(holds), number(fill.fraction())),
            inputs: all,
            trust: "Geometry on what is typed.".into(),
        })
    }
}
