//! Ingredient lists: what goes in, and what is in the bar.

use crate::acids::molar_mass;
use crate::additions::{Addition, AdditionKind, Stage};
use crate::blend::FatLine;
use crate::cure::Cure;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::fats::Inci;
use crate::tfm::soap_per_gram;
use crate::units::Grams;

/// Whether an ingredient's name stands in the inventory that it should be taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameStatus {
    /// It was found there.
    Confirmed,
    /// It is from memory, or there is none and a plain name stands for it.
    Unconfirmed,
}

/// One ingredient of a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient {
    /// The name to print.
    pub name: String,
    /// Its mass over the whole batch.
    pub mass: Grams,
    /// The same in percent of the batch, as the list's style counts it.
    pub percent: f64,
    /// How sure the name is.
    pub status: NameStatus,
}

impl Ingredient {
    /// Whether it is a colourant, which comes last: named by its number in the Colour Index, “CI 77891”.
    pub fn is_colourant(&self) -> bool {
        self.name.strip_prefix("CI ").is_some_and(|n| n.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// Whether it is under 1 %, so that its place among others under 1 % is free.
    pub fn is_under_one_percent(&self) -> bool {
        self.percent < 1.0
    }
}

/// A name with its status.
struct Name(String, NameStatus);

impl Name {
    fn confirmed(name: &str) -> Self {
        Self(name.into(), NameStatus::Confirmed)
    }

    /// The ingredient name of a record, or `plain` as far as its first comma if it has none; `status` as
    /// records have it.
    fn of(inci: &str, status: &str, plain: &str) -> Self {
        let inci = inci.trim();
        if inci.is_empty() {
            let plain = plain.split_once(',').map_or(plain, |(first, _)| first);
            return Self(plain.into(), NameStatus::Unconfirmed);
        }
        let unsure = status.trim().is_empty() || ["not found", "from memory"].iter().any(|w| status.contains(w));
        Self(inci.into(), if unsure { NameStatus::Unconfirmed } else { NameStatus::Confirmed })
    }

    fn of_addition(addition: &Addition) -> Self {
        Self::of(&addition.inci, &addition.inci_status, &addition.name)
    }
}

/// Ingredients as they are gathered; what has the same name is one ingredient.
#[derive(Default)]
struct List(Vec<Ingredient>);

impl List {
    fn add(&mut self, Name(name, status): Name, mass: f64) {
        if mass <= 0.0 {
            return;
        }
        match self.0.iter_mut().find(|i| i.name == name) {
            Some(known) => {
                known.mass += Grams(mass);
                if status == NameStatus::Unconfirmed {
                    known.status = status;
                }
            }
            None => self.0.push(Ingredient { name, mass: Grams(mass), percent: 0.0, status }),
        }
    }

    /// In falling weight, colourants last; equal masses in the order they came.
    fn sorted(mut self, whole: Grams) -> Vec<Ingredient> {
        for i in &mut self.0 {
            i.percent = 100.0 * i.mass.0 / whole.0;
        }
        self.0.sort_by(|a, b| a.is_colourant().cmp(&b.is_colourant()).then(b.mass.0.total_cmp(&a.mass.0)));
        self.0
    }

    fn add_scents(&mut self, evaluation: &Evaluation) {
        self.add(Name::confirmed("Parfum"), evaluation.scents.masses.iter().map(|m| m.0).sum());
    }
}

/// What goes in, percent of the batter. The water in potassium hydroxide is water.
pub(super) fn as_put_in(design: &Design, evaluation: &Evaluation) -> Vec<Ingredient> {
    let batch = &evaluation.batch;
    let mut list = List::default();
    for (line, mass) in design.blend.lines().iter().zip(&evaluation.fat_masses) {
        let Inci { fat, fat_status, .. } = &line.fat.inci;
        list.add(Name::of(fat, fat_status, &line.fat.name), mass.0);
    }
    list.add(Name::confirmed("Aqua"), (batch.water_to_weigh + batch.alkali.water()).0);
    list.add(Name::confirmed("Sodium Hydroxide"), batch.alkali.naoh.0);
    list.add(Name::confirmed("Potassium Hydroxide"), (batch.alkali.koh - batch.alkali.water()).0);
    for (line, mass) in design.additions.iter().zip(&evaluation.addition_masses) {
        list.add(Name::of_addition(&line.addition), mass.0);
    }
    list.add_scents(evaluation);
    list.sorted(batch.batter)
}

/// One of the two alkalis in what becomes of a batch.
#[derive(Clone, Copy)]
struct Side {
    /// Its part of the equivalents.
    part: f64,
    /// Its molar mass, g/mol.
    molar_mass: f64,
    sodium: bool,
}

/// Both alkalis, sodium first.
fn sides(design: &Design) -> [Side; 2] {
    let koh = design.alkali.koh_share.fraction();
    [
        Side { part: 1.0 - koh, molar_mass: molar_mass::NAOH, sodium: true },
        Side { part: koh, molar_mass: molar_mass::KOH, sodium: false },
    ]
}

/// Soap in all bars, without water, g.
pub(super) fn soap(design: &Design, evaluation: &Evaluation) -> f64 {
    let of_side = |side: Side| -> f64 {
        let lines = design.blend.lines().iter().zip(&evaluation.fat_masses);
        side.part * lines.map(|(l, m)| m.0 * side.soap_per_gram(l)).sum::<f64>()
    };
    saponified(design) * sides(design).map(of_side).iter().sum::<f64>()
}

/// The part of the fats that becomes soap; the superfat is spread over them evenly, since which of them stays
/// free is not known.
fn saponified(design: &Design) -> f64 {
    (1.0 - design.superfat.fraction()).min(1.0)
}

impl Side {
    /// Soap from a gram of the fat of `line`, all of it with this alkali.
    fn soap_per_gram(self, line: &FatLine) -> f64 {
        soap_per_gram(line.fat.kind, line.saponification_value(), self.molar_mass)
    }

    /// The name of the soap that a fat gives with this alkali.
    fn soap(self, inci: &Inci, plain: &str) -> Name {
        let (name, word) =
            if self.sodium { (&inci.sodium_soap, "sodium") } else { (&inci.potassium_soap, "potassium") };
        if name.trim().is_empty() {
            // The trade's plain word, where the nomenclature has none.
            let Name(fat, _) = Name::of(&inci.fat, &inci.fat_status, plain);
            return Name(format!("Saponified {fat}"), NameStatus::Unconfirmed);
        }
        let mut parts = inci.soap_status.split(';').map(str::trim);
        Name::of(name, parts.find(|p| p.starts_with(word)).unwrap_or(&inci.soap_status), plain)
    }

    /// The name of the salt that the acid of `addition` gives with this alkali.
    fn salt(self, addition: &Addition) -> Name {
        let acid = addition.acid.as_ref().map_or("", |a| a.value.name.as_str());
        if let Some(salt) = SALTS.iter().find(|s| s.acid == acid) {
            let (name, status) = if self.sodium { salt.sodium } else { salt.potassium };
            return Name(name.into(), status);
        }
        let metal = if self.sodium { "Sodium" } else { "Potassium" };
        Name(format!("{metal} Salt of {}", Name::of_addition(addition).0), NameStatus::Unconfirmed)
    }
}

/// What becomes of an acid in lye.
struct Salt {
    acid: &'static str,
    sodium: (&'static str, NameStatus),
    potassium: (&'static str, NameStatus),
}

/// Salts by the acid's name in `additions.csv`. Confirmed: the Commission’s inventory, export of December 2021; the
/// others are from memory.
const SALTS: [Salt; 9] = {
    use NameStatus::{Confirmed, Unconfirmed};
    const fn salt(
        acid: &'static str,
        sodium: (&'static str, NameStatus),
        potassium: (&'static str, NameStatus),
    ) -> Salt {
        Salt { acid, sodium, potassium }
    }
    [
        salt("citric acid", ("Sodium Citrate", Confirmed), ("Potassium Citrate", Unconfirmed)),
        salt("lactic acid", ("Sodium Lactate", Confirmed), ("Potassium Lactate", Confirmed)),
        salt("stearic acid", ("Sodium Stearate", Confirmed), ("Potassium Stearate", Confirmed)),
        salt("sodium bicarbonate", ("Sodium Carbonate", Confirmed), ("Potassium Carbonate", Unconfirmed)),
        salt("disodium EDTA", ("Tetrasodium EDTA", Confirmed), ("Dipotassium EDTA", Unconfirmed)),
        salt("acetic acid", ("Sodium Acetate", Unconfirmed), ("Potassium Acetate", Unconfirmed)),
        salt("ascorbic acid", ("Sodium Ascorbate", Unconfirmed), ("Potassium Ascorbate", Unconfirmed)),
        salt("malic acid", ("Sodium Malate", Unconfirmed), ("Potassium Malate", Unconfirmed)),
        salt("tartaric acid", ("Sodium Tartrate", Unconfirmed), ("Potassium Tartrate", Unconfirmed)),
    ]
};

/// What is in the bars at sale, percent of them. Impurities of the alkali are no ingredients and are left
/// out; a food keeps its name and loses its water, a pure acid becomes its salts.
pub(super) fn as_in_the_bar(design: &Design, evaluation: &Evaluation, cure: &Cure) -> Vec<Ingredient> {
    let batch = &evaluation.batch;
    let bars = f64::from(batch.bars);
    let (saponified, sides) = (saponified(design), sides(design));
    let mut list = List::default();
    for (line, mass) in design.blend.lines().iter().zip(&evaluation.fat_masses) {
        let fat = &line.fat;
        for side in sides {
            list.add(side.soap(&fat.inci, &fat.name), mass.0 * saponified * side.part * side.soap_per_gram(line));
        }
        list.add(Name::of(&fat.inci.fat, &fat.inci.fat_status, &fat.name), mass.0 * (1.0 - saponified));
    }
    list.add(Name::confirmed("Aqua"), cure.water_at_sale().0 * bars);
    list.add(Name::confirmed("Glycerin"), batch.glycerol.0);
    for (line, mass) in design.additions.iter().zip(&evaluation.addition_masses) {
        add_dried(&mut list, &line.addition, *mass, line.stage, sides);
    }
    list.add_scents(evaluation);
    // Alkali that found no fat.
    let too_much = batch.exact_koh.0 / molar_mass::KOH * (-design.superfat.fraction()).max(0.0);
    for side in sides {
        let name = if side.sodium { "Sodium Hydroxide" } else { "Potassium Hydroxide" };
        list.add(Name::confirmed(name), too_much * side.part * side.molar_mass);
    }
    list.sorted(cure.bar_at_sale() * bars)
}

/// Adds what is left of an addition without its water, which the bar's water has. Each proton of an acid has
/// taken alkali and given water; what lies on top meets no lye.
fn add_dried(list: &mut List, addition: &Addition, mass: Grams, stage: Stage, sides: [Side; 2]) {
    let dry = mass.0 * (1.0 - addition.contents.value.water.fraction());
    let protons = if stage == Stage::OnTop { 0.0 } else { mass.0 * addition.protons_per_gram() };
    let gained = |side: Side| protons * side.part * (side.molar_mass - molar_mass::WATER);
    let pure = matches!(addition.kind, AdditionKind::Acid | AdditionKind::Salt);
    if pure && protons > 0.0 {
        for side in sides {
            list.add(side.salt(addition), dry * side.part + gained(side));
        }
    } else {
        list.add(Name::of_addition(addition), dry + sides.into_iter().map(gained).sum::<f64>());
    }
}
