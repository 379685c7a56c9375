//! Alkali, free fat, glycerol and the batter.

use super::sum::{grams, number, sum};
use super::{About, Input, Parts};
use crate::design::blend::FatLine;
use crate::design::mould::Size;
use crate::library::acids::{MG_KOH_PER_MOL, molar_mass};
use crate::library::additions::{AdditionLine, Stage};
use crate::library::fats::FatKind;
use crate::library::material::Trust;
use crate::number::{fixed, short};
use crate::units::{Grams, Purity};

impl<'a> About<'a> {
    /// The fats that are weighed, with their masses.
    pub(super) fn fats(self) -> impl Iterator<Item = (&'a FatLine, Grams)> {
        let masses = self.evaluation.fat_masses.iter().copied();
        self.design.blend.lines().iter().zip(masses).filter(|(_, mass)| mass.0 > 0.0)
    }

    /// The additions that are weighed, with their masses.
    pub(super) fn additions(self) -> impl Iterator<Item = (&'a AdditionLine, Grams)> {
        let masses = self.evaluation.addition_masses.iter().copied();
        self.design.additions.iter().zip(masses).filter(|(_, mass)| mass.0 > 0.0)
    }

    /// Where the size of the batch comes from.
    pub(super) fn size(self) -> Input {
        let how = match self.design.size {
            Size::FatMass(_) => "the design",
            Size::Mould { .. } => "worked out so that the batter fills the mould as far as is asked",
            Size::Volume { .. } => "worked out so that the batter fills the volume as far as is asked",
            Size::BarMass(_) => "worked out so that a fresh bar weighs what is asked",
        };
        Input::worked_out("All fats", grams(self.evaluation.masses.fats), how)
    }

    /// The saponification value that each fat's lye rests on.
    pub(super) fn saponification_values(self) -> impl Iterator<Item = Input> {
        self.design.blend.lines().iter().filter(|l| l.share.get() > 0.0).map(Self::saponification_value_of)
    }

    /// That of one fat.
    pub(super) fn saponification_value_of(line: &FatLine) -> Input {
        let range = line.saponification_range();
        let (source, trust) = match line.supplier {
            Some(_) => ("the supplier’s figure, as typed".into(), Trust::Maker),
            None => (line.fat.sv.source.clone(), line.fat.sv.trust),
        };
        let sv = short(line.saponification_value(), 3);
        let value = if range.width() > 0.0 {
            format!("{sv} mg KOH/g, the middle of {} to {}", short(range.min(), 2), short(range.max(), 2))
        } else {
            format!("{sv} mg KOH/g")
        };
        Input { name: format!("Saponification value of {}", line.fat.name), value, source, trust: Some(trust) }
    }

    pub(super) fn superfat(self) -> Input {
        Input::chosen("Superfat", format!("{} %", short(self.design.superfat.get(), 2)))
    }

    pub(super) fn purity(name: &str, purity: Purity, usual: Purity) -> Input {
        let (source, trust) = if purity == usual {
            ("what is usual for the trade; read the figure on the tub", Trust::FromMemory)
        } else {
            ("the design", Trust::Maker)
        };
        let value = format!("{} %", short(purity.get(), 2));
        Input { name: name.into(), value, source: source.into(), trust: Some(trust) }
    }

    fn purities(self) -> impl Iterator<Item = Input> {
        let (alkali, usual) = (self.design.alkali, crate::design::Alkali::default());
        let share = alkali.koh_share.get();
        let naoh = Self::purity("Purity of the sodium hydroxide", alkali.naoh_purity, usual.naoh_purity);
        let koh = Self::purity("Purity of the potassium hydroxide", alkali.koh_purity, usual.koh_purity);
        [(share < 100.0).then_some(naoh), (share > 0.0).then_some(koh)].into_iter().flatten()
    }

    pub(super) fn share_of_koh(self) -> Input {
        let value = format!("{} % of the alkali, by moles", short(self.design.alkali.koh_share.get(), 2));
        Input::chosen("Share of potassium hydroxide", value)
    }

    /// What acids in additions take.
    pub(super) fn acids(self) -> impl Iterator<Item = Input> {
        self.acid_lines().filter_map(|(line, mass)| Self::acid_of(line, mass))
    }

    /// The acid of one addition.
    pub(super) fn acid_of(line: &AdditionLine, mass: Grams) -> Option<Input> {
        let acid = line.addition.acid.as_ref()?;
        let value = format!(
            "{} of {}: {} % acid of {} g/mol with {} protons",
            grams(mass),
            line.addition.name,
            short(acid.value.content.get(), 2),
            short(acid.value.molar_mass.get(), 2),
            acid.value.protons
        );
        let (source, trust) = (acid.source.clone(), Some(acid.trust));
        Some(Input { name: acid.value.name.clone(), value, source, trust })
    }

    /// The additions whose acid takes alkali.
    pub(super) fn acid_lines(self) -> impl Iterator<Item = (&'a AdditionLine, Grams)> {
        self.additions().filter(|(l, _)| l.stage != Stage::OnTop && l.addition.protons_per_gram() > 0.0)
    }

    /// The need of the fats and of acids, in g KOH.
    fn need(self) -> String {
        let fats = self.fats().map(|(line, mass)| format!("{} × {}", grams(mass), number(line.saponification_value())));
        let left = number(1.0 - self.design.superfat.fraction());
        let of_fats = format!("({}) ÷ 1000 × {left}", sum(fats));
        let acids = self.evaluation.masses.acids_koh;
        if acids.0 > 0.0 { format!("({of_fats} + {})", grams(acids)) } else { of_fats }
    }

    fn alkali_inputs(self) -> Vec<Input> {
        let mut inputs = vec![self.size(), self.superfat(), self.share_of_koh()];
        inputs.extend(self.purities());
        inputs.extend(self.acids());
        inputs.extend(self.saponification_values());
        inputs
    }

    fn alkali_trust(self) -> String {
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
            "Exact stoichiometry of the definition of the saponification value (ISO 3657); it is as good as those \
             values and the purity.{margin}"
        )
    }

    pub(super) fn naoh(self) -> Parts {
        let alkali = self.design.alkali;
        let part = number(1.0 - alkali.koh_share.fraction());
        let purity = number(alkali.naoh_purity.fraction());
        Parts {
            formula: "(Σ m·SV ÷ 1000 × (1 − superfat) + acids) × (1 − KOH share) × 39.997 ÷ 56.105 ÷ purity",
            numbers: format!("{} × {part} × 39.997 ÷ 56.105 ÷ {purity}", self.need()),
            inputs: self.alkali_inputs(),
            trust: self.alkali_trust(),
        }
    }

    pub(super) fn koh(self) -> Parts {
        let alkali = self.design.alkali;
        let (part, purity) = (number(alkali.koh_share.fraction()), number(alkali.koh_purity.fraction()));
        Parts {
            formula: "(Σ m·SV ÷ 1000 × (1 − superfat) + acids) × KOH share ÷ purity",
            numbers: format!("{} × {part} ÷ {purity}", self.need()),
            inputs: self.alkali_inputs(),
            trust: self.alkali_trust(),
        }
    }

    pub(super) fn alkali_for_acids(self) -> Parts {
        let alkali = self.design.alkali;
        let moles = self.acid_lines().filter_map(|(line, mass)| {
            let acid = &line.addition.acid.as_ref()?.value;
            let (content, molar) = (number(acid.content.fraction()), number(acid.molar_mass.get()));
            Some(format!("{} × {content} × {} ÷ {molar}", grams(mass), acid.protons))
        });
        let share = alkali.koh_share.fraction();
        let naoh = format!("{} × 39.997 ÷ {}", number(1.0 - share), number(alkali.naoh_purity.fraction()));
        let koh = format!("{} × 56.105 ÷ {}", number(share), number(alkali.koh_purity.fraction()));
        let mut inputs: Vec<Input> = self.acids().collect();
        inputs.push(self.share_of_koh());
        inputs.extend(self.purities());
        Parts {
            formula: "Σ m·content·protons ÷ M × ((1 − KOH share) × 39.997 ÷ purity + KOH share × 56.105 ÷ purity)",
            numbers: format!("({}) × ({naoh} + {koh})", sum(moles)),
            inputs,
            trust:
                "Exact stoichiometry; the content of acid is the weak point in what is grown or brewed. Acid on top \
                    of the filled mould counts for nothing."
                    .into(),
        }
    }

    pub(super) fn free_fat(self) -> Parts {
        let batch = &self.evaluation.masses;
        let superfat = self.design.superfat.fraction().max(0.0);
        let numbers = if (batch.fats + batch.addition_fat).0 > 0.0 {
            let (fats, added) = (grams(batch.fats), grams(batch.addition_fat));
            format!("100 × ({fats} × {} + {added}) ÷ ({fats} + {added})", number(superfat))
        } else {
            format!("100 × {}", number(superfat))
        };
        let mut inputs = vec![self.size(), self.superfat()];
        inputs.extend(self.contents("fat", |line| line.addition.contents.value.fat.get(), |l| l.stage != Stage::OnTop));
        Parts {
            formula: "100 × (fats × superfat + fat in additions) ÷ (fats + fat in additions)",
            numbers,
            inputs,
            trust: "As planned; what results differs as far as the lye margin says. Additions bring fat that the lye \
                    was not weighed for, so all of it is counted as free."
                .into(),
        }
    }

    /// What `additions` hold of something, percent.
    pub(super) fn contents(
        self,
        what: &str,
        percent: impl Fn(&AdditionLine) -> f64,
        counts: impl Fn(&AdditionLine) -> bool,
    ) -> Vec<Input> {
        let lines = self.additions().filter(|(line, _)| counts(line) && percent(line) > 0.0);
        let input = |(line, mass): (&AdditionLine, Grams)| Input {
            name: line.addition.name.clone(),
            value: format!("{} with {} % {what}", grams(mass), short(percent(line), 2)),
            source: line.addition.contents.source.clone(),
            trust: Some(line.addition.contents.trust),
        };
        lines.map(input).collect()
    }

    pub(super) fn glycerol(self) -> Parts {
        let terms = self
            .fats()
            .filter(|(line, _)| line.fat.kind == FatKind::Triglyceride)
            .map(|(line, mass)| format!("{} × {}", grams(mass), number(line.saponification_value())));
        let left = number(1.0 - self.design.superfat.fraction().max(0.0));
        let mut inputs = vec![self.size(), self.superfat()];
        inputs.extend(self.saponification_values());
        Parts {
            formula: "Σ m·SV ÷ 56 105 ÷ 3 × 92.094 × (1 − superfat), over triglycerides",
            numbers: format!("({}) ÷ {} ÷ 3 × {} × {left}", sum(terms), number(MG_KOH_PER_MOL), molar_mass::GLYCEROL),
            inputs,
            trust: "Exact stoichiometry for whole triglycerides. Partial glycerides and free acids in a real fat make \
                    it a little less; additions’ own glycerol is not in it."
                .into(),
        }
    }

    pub(super) fn batter(self) -> Parts {
        let b = &self.evaluation.masses;
        let parts = [b.fats, b.alkali.naoh, b.alkali.koh, b.water_to_weigh, b.additions, b.scents];
        let names = ["All fats", "Sodium hydroxide", "Potassium hydroxide", "Water to weigh", "Additions", "Scents"];
        let mut inputs = vec![self.size()];
        let rest = names.into_iter().zip(parts).skip(1).filter(|(_, mass)| mass.0 > 0.0);
        inputs.extend(rest.map(|(name, mass)| Input::worked_out(name, grams(mass), "this design’s own numbers")));
        Parts {
            formula: "fats + alkali as weighed + water to weigh + additions + scents",
            numbers: sum(parts.into_iter().filter(|m| m.0 > 0.0).map(grams)),
            inputs,
            trust: "A sum of what is weighed, so as good as the scale; what stays in the pot is not taken off.".into(),
        }
    }

    pub(super) fn bar_fresh(self) -> Parts {
        let b = &self.evaluation.masses;
        Parts {
            formula: "batter ÷ number of bars",
            numbers: format!("{} ÷ {}", grams(b.batter), b.bars),
            inputs: vec![
                Input::worked_out("Batter", grams(b.batter), "the sum of all that goes in"),
                Input::chosen("Bars", b.bars.to_string()),
                self.size(),
            ],
            trust:
                "The weight as poured and evenly cut, without what stays in the pot. It dries to less: never declare \
                    this weight."
                    .into(),
        }
    }
}
