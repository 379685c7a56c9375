//! Percents of the ingredient lists, and how much of the dry bar is soap.

use super::figure::{Entry, Figure};
use super::sum::{finely, grams, number, sum};
use super::{About, Input, Parts};
use crate::bench::label::{Contribution, Hydroxide, Ingredient, Label, ListStyle, NameStatus, Origin};
use crate::design::blend::FatLine;
use crate::formula::Plain;
use crate::library::acids::{MG_KOH_PER_MOL, molar_mass};
use crate::library::additions::{AdditionLine, Stage};
use crate::library::fats::FatKind;
use crate::number::{places, short};
use crate::units::Grams;

/// A number of the label.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum LabelFigure {
    /// Of the ingredient that this is part of, wherever in the list it stands.
    Percent(ListStyle, Origin),
    SoapOfDry,
}

/// The keys; N counts the list from 0.
pub(super) const KEYS: [&str; 3] = ["label.as_put_in_pct.N", "label.as_in_the_bar_pct.N", "label.soap_of_dry_pct"];

const ABSENT: &str = "the batch has no such ingredient";

impl LabelFigure {
    /// The number that `label.` and `rest` name.
    pub(super) fn find(rest: &str, about: About<'_>) -> Option<Entry> {
        let entry = |figure, title: String, decimals| {
            Entry::of_design(Figure::Label(figure), format!("label.{rest}"), title, "%", decimals)
        };
        let label = about.label().ok()?;
        if rest == "soap_of_dry_pct" {
            return Some(entry(Self::SoapOfDry, "Soap in what is not water in the bar".into(), 1));
        }
        let (list, index) = rest.split_once('.')?;
        let style = match list {
            "as_put_in_pct" => ListStyle::AsPutIn,
            "as_in_the_bar_pct" => ListStyle::AsInTheBar,
            _ => return None,
        };
        let ingredient = label.ingredients(style).get(index.parse::<usize>().ok()?)?;
        let origin = ingredient.made_of.first()?.origin;
        let title = format!("{}, {}", ingredient.name, style.words().to_lowercase());
        // Under 1 % with three significant digits.
        let decimals = if ingredient.is_under_one_percent() { places(ingredient.percent, 3) } else { 1 };
        Some(entry(Self::Percent(style, origin), title, decimals))
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let label = about.label()?;
        match self {
            Self::Percent(style, origin) => ingredient(&label, style, origin).map(|i| i.percent),
            Self::SoapOfDry => Ok(label.soap_of_dry),
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        let label = about.label()?;
        match self {
            Self::Percent(style, origin) => {
                let ingredient = ingredient(&label, style, origin)?;
                let mut parts = match style {
                    ListStyle::AsPutIn => about.put_in(ingredient),
                    ListStyle::AsInTheBar => about.in_the_bar(ingredient)?,
                };
                if ingredient.status == NameStatus::Unconfirmed {
                    parts.trust.push_str(" The name was not found in the inventory read: confirm it.");
                }
                Ok(parts)
            }
            Self::SoapOfDry => about.soap_of_dry(&label),
        }
    }
}

fn ingredient(label: &Label, style: ListStyle, origin: Origin) -> Result<&Ingredient, String> {
    let is_it = |i: &&Ingredient| i.made_of.iter().any(|part| part.origin == origin);
    label.ingredients(style).iter().find(is_it).ok_or_else(|| ABSENT.into())
}

const fn alkali(hydroxide: Hydroxide) -> &'static str {
    match hydroxide {
        Hydroxide::Sodium => "sodium hydroxide",
        Hydroxide::Potassium => "potassium hydroxide",
    }
}

/// " × part", or nothing for all of it.
fn times(part: f64) -> String {
    if part < 1.0 { format!(" × {}", number(part)) } else { String::new() }
}

/// Soap from a gram of a fat, as [`crate::chemistry::fatty_matter::soap_per_gram`] has it.
fn soap_per_gram(line: &FatLine, hydroxide: Hydroxide) -> String {
    let moles = format!("{} ÷ {}", number(line.saponification_value()), number(MG_KOH_PER_MOL));
    let lost = match line.fat.kind {
        FatKind::Triglyceride => format!(" − {moles} ÷ 3 × {}", number(molar_mass::GLYCEROL)),
        FatKind::FreeAcid => format!(" − {moles} × {}", number(molar_mass::WATER)),
        FatKind::WaxEster { .. } | FatKind::Wax => String::new(),
    };
    format!("(1 + {moles} × {}{lost})", number(hydroxide.molar_mass()))
}

/// Moles of protons that lye takes from an addition, in numbers; nothing where it meets no lye.
fn protons(line: &AdditionLine, mass: Grams) -> Option<String> {
    let acid = &line.addition.acid.as_ref().filter(|_| line.stage != Stage::OnTop)?.value;
    let (content, molar) = (number(acid.content.fraction()), number(acid.molar_mass.get()));
    Some(format!("{} × {content} × {} ÷ {molar}", finely(mass), acid.protons))
}

impl<'a> About<'a> {
    pub(super) fn label(self) -> Result<Label, String> {
        Label::of(self.design, self.evaluation, self.library).ok_or_else(|| "there are no fats in the batch".into())
    }

    fn fat(self, index: usize) -> (&'a FatLine, Grams) {
        (&self.design.blend.lines()[index], self.evaluation.fat_masses[index])
    }

    fn addition(self, index: usize) -> (&'a AdditionLine, Grams) {
        (&self.design.additions[index], self.evaluation.addition_masses[index])
    }

    /// The part of all equivalents that this alkali has.
    fn part(self, hydroxide: Hydroxide) -> f64 {
        let koh = self.design.alkali.koh_share.fraction();
        match hydroxide {
            Hydroxide::Sodium => 1.0 - koh,
            Hydroxide::Potassium => koh,
        }
    }

    /// Soap of a fat with one alkali.
    fn soap(self, index: usize, hydroxide: Hydroxide) -> String {
        let (line, mass) = self.fat(index);
        let saponified = (1.0 - self.design.superfat.fraction()).min(1.0);
        let parts = format!("{}{}", times(saponified), times(self.part(hydroxide)));
        format!("{}{parts} × {}", finely(mass), soap_per_gram(line, hydroxide))
    }

    /// What alkali adds to an acid less the water that goes.
    fn gained(self, protons: &str, hydroxide: Hydroxide) -> String {
        let exchanged = format!("({} − {})", number(hydroxide.molar_mass()), number(molar_mass::WATER));
        format!("{protons}{} × {exchanged}", times(self.part(hydroxide)))
    }

    /// A part of an ingredient in this design's numbers.
    fn contribution(self, Contribution { origin, mass }: &Contribution) -> String {
        let batch = &self.evaluation.masses;
        match *origin {
            Origin::Soap(i, hydroxide) => self.soap(i, hydroxide),
            Origin::FreeFat(i) => {
                format!("{} × {}", finely(self.fat(i).1), number(self.design.superfat.fraction()))
            }
            Origin::WaterOfKoh => format!("({} − {})", finely(batch.alkali.koh), finely(batch.alkali.pure_koh)),
            Origin::Alkali(Hydroxide::Potassium) => {
                let purity = self.design.alkali.koh_purity.fraction();
                format!("{} × {}", finely(batch.alkali.koh), number(purity))
            }
            Origin::SpareAlkali(hydroxide) => {
                let excess = number(-self.design.superfat.fraction());
                let part = times(self.part(hydroxide));
                let (koh, molar) = (number(molar_mass::KOH), number(hydroxide.molar_mass()));
                format!("{} ÷ {koh} × {excess}{part} × {molar}", finely(batch.exact_koh))
            }
            Origin::Glycerol => {
                let left = number(1.0 - self.design.superfat.fraction().max(0.0));
                let of_glycerol = self.fats().filter(|(line, _)| line.fat.kind == FatKind::Triglyceride);
                let terms = of_glycerol.map(|(l, m)| format!("{} × {}", finely(m), number(l.saponification_value())));
                let glycerol = number(molar_mass::GLYCEROL);
                format!("({}) ÷ {} ÷ 3 × {glycerol} × {left}", sum(terms), number(MG_KOH_PER_MOL))
            }
            Origin::WaterAtSale => {
                let water = self.evaluation.cure.map_or(Grams::ZERO, |c| c.water_at_sale(Plain));
                format!("{} × {}", finely(water), batch.bars)
            }
            Origin::DriedAddition(i) => {
                let (line, mass) = self.addition(i);
                let dry = format!("{} × {}", finely(mass), dry_part(line));
                let sides = [Hydroxide::Sodium, Hydroxide::Potassium];
                let used = sides.into_iter().filter(|h| self.part(*h) > 0.0);
                let gained: Vec<String> =
                    protons(line, mass).map_or_else(Vec::new, |p| used.map(|h| self.gained(&p, h)).collect());
                sum([dry].into_iter().chain(gained))
            }
            Origin::Salt(i, hydroxide) => {
                let (line, mass) = self.addition(i);
                let dry = format!("{} × {}{}", finely(mass), dry_part(line), times(self.part(hydroxide)));
                let gained = protons(line, mass).map(|p| self.gained(&p, hydroxide));
                sum([dry].into_iter().chain(gained))
            }
            Origin::Fat(_)
            | Origin::Addition(_)
            | Origin::Scent(_)
            | Origin::WaterToWeigh
            | Origin::Alkali(Hydroxide::Sodium) => finely(*mass),
        }
    }

    /// A part of an ingredient with what it rests on.
    fn input(self, part: &Contribution) -> Vec<Input> {
        let mass = grams(part.mass);
        let input = |name: &str, how: &str| Input::worked_out(name, mass.clone(), how);
        let fat = |i: usize| self.design.blend.lines()[i].fat.name.as_str();
        match part.origin {
            Origin::Fat(i) => vec![input(fat(i), "all fats × its share")],
            Origin::Soap(i, hydroxide) => vec![
                input(&format!("Soap of {} and {}", fat(i), alkali(hydroxide)), "worked out above"),
                Self::saponification_value_of(self.fat(i).0),
            ],
            Origin::FreeFat(i) => vec![input(&format!("{} that stays free", fat(i)), "its weight × superfat")],
            Origin::Alkali(Hydroxide::Sodium) => vec![input("Sodium hydroxide", "as it is weighed")],
            Origin::Alkali(Hydroxide::Potassium) => {
                let (purity, usual) = (self.design.alkali.koh_purity, crate::design::Alkali::default().koh_purity);
                let pure = input("Potassium hydroxide without its water", "as it is weighed × purity");
                vec![pure, Self::purity("Purity of the potassium hydroxide", purity, usual)]
            }
            Origin::SpareAlkali(h) => vec![input(&format!("Spare {}", alkali(h)), "the negative superfat")],
            Origin::WaterToWeigh => vec![input("Water to weigh", "the rule for the water")],
            Origin::WaterOfKoh => vec![input("Water in the potassium hydroxide", "what of it is not pure")],
            Origin::WaterAtSale => vec![input("Water in all bars at sale", "the forecast of their drying")],
            Origin::Glycerol => {
                let glycerol = input("Glycerol", "set free by the fats that become soap");
                [glycerol].into_iter().chain(self.saponification_values()).collect()
            }
            Origin::Addition(i) => vec![input(&self.design.additions[i].addition.name, "its amount")],
            Origin::DriedAddition(i) => self.dried(i, input("left of it", "without its water")),
            Origin::Salt(i, h) => self.dried(i, input(&format!("salt with {}", alkali(h)), "its acid less its water")),
            Origin::Scent(i) => vec![input(&self.design.scents[i].scent.name, "its amount")],
        }
    }

    /// What becomes of an addition, with its contents and its acid.
    fn dried(self, index: usize, left: Input) -> Vec<Input> {
        let (line, mass) = self.addition(index);
        let contents = &line.addition.contents;
        let water = Input {
            name: format!("Water in {}", line.addition.name),
            value: format!("{} %", short(contents.value.water.get(), 2)),
            source: contents.source.clone(),
            trust: Some(contents.trust),
        };
        let left = Input { name: format!("{}, {}", line.addition.name, left.name), ..left };
        let acid = Self::acid_of(line, mass).filter(|_| line.stage != Stage::OnTop);
        [left, water].into_iter().chain(acid).collect()
    }

    /// The parts of an ingredient as a sum, and what they rest on, each once.
    fn made_of(self, ingredient: &Ingredient) -> (String, Vec<Input>) {
        let mut inputs: Vec<Input> = Vec::new();
        for input in ingredient.made_of.iter().flat_map(|part| self.input(part)) {
            if !inputs.contains(&input) {
                inputs.push(input);
            }
        }
        (sum(ingredient.made_of.iter().map(|part| self.contribution(part))), inputs)
    }

    fn put_in(self, ingredient: &Ingredient) -> Parts {
        let (terms, mut inputs) = self.made_of(ingredient);
        let batter = self.evaluation.masses.batter;
        inputs.push(Input::worked_out("Batter", grams(batter), "the sum of all that goes in"));
        Parts {
            formula: match ingredient.made_of.first().map(|part| part.origin) {
                Some(Origin::WaterToWeigh | Origin::WaterOfKoh) if self.evaluation.masses.alkali.koh.0 > 0.0 => {
                    "100 × (water to weigh + water in the potassium hydroxide) ÷ batter"
                }
                Some(Origin::WaterToWeigh) => "100 × water to weigh ÷ batter",
                Some(Origin::Alkali(Hydroxide::Potassium)) => {
                    "100 × potassium hydroxide as weighed × purity ÷ batter; the rest of it is water"
                }
                _ => "100 × Σ weights of what has this name ÷ batter",
            },
            numbers: format!("100 × ({terms}) ÷ {}", finely(batter)),
            inputs,
            trust: "What is weighed at the time of adding, so as good as the scale; water in food stays with the food."
                .into(),
        }
    }

    /// What all bars weigh at sale, in numbers.
    pub(super) fn bars_at_sale(self) -> Result<(String, [Input; 2]), String> {
        let (bar, bars) = (self.cure()?.bar_at_sale(Plain), self.evaluation.masses.bars);
        let inputs = [
            Input::worked_out("A bar at sale", grams(bar), "the forecast of its drying"),
            Input::chosen("Bars", bars.to_string()),
        ];
        Ok((format!("{} × {bars}", finely(bar)), inputs))
    }

    fn in_the_bar(self, ingredient: &Ingredient) -> Result<Parts, String> {
        let (terms, mut inputs) = self.made_of(ingredient);
        let (bars, of_bars) = self.bars_at_sale()?;
        let origins = || ingredient.made_of.iter().map(|part| part.origin);
        if origins().any(|o| matches!(o, Origin::Soap(..) | Origin::Salt(..))) {
            inputs.push(self.share_of_koh());
        }
        let of_superfat =
            |o| matches!(o, Origin::Soap(..) | Origin::FreeFat(_) | Origin::Glycerol | Origin::SpareAlkali(_));
        if origins().any(of_superfat) {
            inputs.push(self.superfat());
        }
        inputs.extend(of_bars);
        Ok(Parts {
            formula: match origins().next() {
                Some(Origin::Soap(i, _)) => match self.fat(i).0.fat.kind {
                    FatKind::Triglyceride => SOAP_OF_GLYCERIDE,
                    FatKind::FreeAcid => SOAP_OF_ACID,
                    FatKind::WaxEster { .. } | FatKind::Wax => SOAP_OF_WAX,
                },
                Some(Origin::FreeFat(_)) => "100 × Σ weight × superfat ÷ (bar at sale × bars)",
                Some(Origin::WaterAtSale) => "100 × water in a bar at sale × bars ÷ (bar at sale × bars)",
                Some(Origin::Glycerol) => {
                    "100 × Σ weight × SV ÷ 56 105 ÷ 3 × 92.094 × (1 − superfat) ÷ (bar at sale × bars)"
                }
                Some(Origin::DriedAddition(i)) if self.addition(i).0.addition.acid.is_none() => {
                    "100 × weight × (1 − water) ÷ (bar at sale × bars)"
                }
                Some(Origin::DriedAddition(_) | Origin::Salt(..)) => {
                    "100 × (weight × (1 − water) + protons × alkali’s part × (molar mass of the alkali − 18.015)) ÷ (bar \
                     at sale × bars)"
                }
                Some(Origin::SpareAlkali(_)) => {
                    "100 × need of the fats ÷ 56.105 × excess × alkali’s part × its molar mass ÷ (bar at sale × bars)"
                }
                _ => "100 × Σ weights of what has this name ÷ (bar at sale × bars)",
            },
            numbers: format!("100 × ({terms}) ÷ ({bars})"),
            inputs,
            trust: origins().next().map_or("", |origin| self.of_the_bar(origin)).into(),
        })
    }

    /// How far to trust what is in the bar.
    fn of_the_bar(self, origin: Origin) -> &'static str {
        match origin {
            Origin::Soap(..) | Origin::FreeFat(_) | Origin::Glycerol if self.design.superfat.get() > 0.0 => {
                "Stoichiometry over the bar as it is forecast for the day of sale, from the middle of each saponification \
                 value’s range. Which of the fats stays free is not known, so the superfat is spread over them evenly. \
                 What does not saponify counts with the soap."
            }
            Origin::Soap(..) | Origin::FreeFat(_) | Origin::Glycerol => {
                "Stoichiometry over the bar as it is forecast for the day of sale, from the middle of each saponification \
                 value’s range. What does not saponify counts with the soap."
            }
            Origin::SpareAlkali(_) => {
                "Alkali that finds no fat by this plan. It goes on reacting, with what superfat there is by chance, with \
                 additions and scent, and with the air, in which it becomes carbonate. It burns skin: do not use such a bar."
            }
            Origin::WaterAtSale => "As sure as the forecast of the drying: weigh the bars.",
            Origin::DriedAddition(_) | Origin::Salt(..) => {
                "Over the bar as it is forecast for the day of sale. Contents are from food tables or by formula; what lye \
                 makes of sugars, colours and proteins is not worked out."
            }
            Origin::Scent(_) => "Over the bar as it is forecast for the day of sale, as if nothing evaporated.",
            Origin::Fat(_) | Origin::Alkali(_) | Origin::WaterToWeigh | Origin::WaterOfKoh | Origin::Addition(_) => {
                "Over the bar as it is forecast for the day of sale."
            }
        }
    }

    fn soap_of_dry(self, label: &Label) -> Result<Parts, String> {
        let is_soap = |part: &&Contribution| matches!(part.origin, Origin::Soap(..));
        let in_the_bar = label.ingredients(ListStyle::AsInTheBar).iter();
        let soaps: Vec<&Contribution> = in_the_bar.flat_map(|i| &i.made_of).filter(is_soap).collect();
        let (bar, water) = (label.bar_at_sale, self.cure()?.water_at_sale(Plain));
        let (_, of_bars) = self.bars_at_sale()?;
        let mut inputs = vec![self.superfat(), self.share_of_koh()];
        inputs.extend(self.saponification_values());
        inputs.extend(of_bars);
        inputs.push(Input::worked_out("Water in a bar at sale", grams(water), "the forecast of its drying"));
        let terms = sum(soaps.into_iter().map(|part| self.contribution(part)));
        let dry = format!("({} − {}) × {}", finely(bar), finely(water), self.evaluation.masses.bars);
        Ok(Parts {
            formula: SOAP_OF_DRY,
            numbers: format!("100 × ({terms}) ÷ ({dry})"),
            inputs,
            trust: "As good as the saponification values, of which the middle of the range counts. What does not saponify, \
                    and the alcohols of a wax, count as soap in it, and free fatty acids as glycerides, so it is rather \
                    too high. It hardly depends on the cure."
                .into(),
        })
    }
}

const SOAP_OF_GLYCERIDE: &str = "100 × Σ weight × part saponified × alkali’s part × (1 + SV ÷ 56 105 × its molar mass − SV \
                                 ÷ 56 105 ÷ 3 × 92.094 of glycerol) ÷ (bar at sale × bars)";
const SOAP_OF_ACID: &str = "100 × Σ weight × part saponified × alkali’s part × (1 + SV ÷ 56 105 × its molar mass − SV ÷ 56 \
                            105 × 18.015 of water) ÷ (bar at sale × bars)";
const SOAP_OF_WAX: &str = "100 × Σ weight × part saponified × alkali’s part × (1 + SV ÷ 56 105 × its molar mass) ÷ (bar at \
                           sale × bars)";
const SOAP_OF_DRY: &str = "100 × soap ÷ ((bar at sale − its water) × bars), soap = Σ weight × part saponified × alkali’s part \
                           × (1 + SV ÷ 56 105 × its molar mass − glycerol SV ÷ 56 105 ÷ 3 × 92.094, or of a free acid \
                           water SV ÷ 56 105 × 18.015)";

fn dry_part(line: &AdditionLine) -> String {
    format!("(1 − {})", number(line.addition.contents.value.water.fraction()))
}
