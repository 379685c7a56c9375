//! Ingredient lists: what goes in, and what is in the bar.

use crate::chemistry::cure::Cure;
use crate::chemistry::fatty_matter::soap_per_gram;
use crate::chemistry::inputs;
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::design::own::AS_GIVEN;
use crate::evaluate::Evaluation;
use crate::formula::{Num, Reading};
use crate::library::acids::molar_mass;
use crate::library::additions::{Addition, AdditionKind, AdditionLine};
use crate::library::fats::Inci;
use crate::units::{Grams, percent_of};

/// Whether an ingredient's name stands in the inventory that it should be taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NameStatus {
    /// It was found there.
    Confirmed,
    /// It is from memory, or there is none and a plain name stands for it.
    Unconfirmed,
}

/// One of the two alkalis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hydroxide {
    /// Sodium hydroxide.
    Sodium,
    /// Potassium hydroxide.
    Potassium,
}

/// What some of an ingredient is; positions are those in the design.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The fat of the blend's line at this position, as it goes in.
    Fat(usize),
    /// What of it is soap of this alkali.
    Soap(usize, Hydroxide),
    /// What of it stays free.
    FreeFat(usize),
    /// The alkali as it goes in; potassium hydroxide without its water.
    Alkali(Hydroxide),
    /// What of it finds no fat.
    SpareAlkali(Hydroxide),
    /// The water that is weighed.
    WaterToWeigh,
    /// The water in the potassium hydroxide.
    WaterOfKoh,
    /// The water in the bars at sale.
    WaterAtSale,
    /// Glycerol that the fats set free.
    Glycerol,
    /// The addition at this position, as it goes in.
    Addition(usize),
    /// The same without its water, its acid as salts.
    DriedAddition(usize),
    /// The salt of this alkali that the pure acid at this position becomes.
    Salt(usize, Hydroxide),
    /// The scent at this position.
    Scent(usize),
}

/// A part of an ingredient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution<N = f64> {
    /// What it is.
    pub origin: Origin,
    /// Its mass over the whole batch.
    pub mass: Grams<N>,
}

/// One ingredient of a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredient<N = f64> {
    /// The name to print.
    pub name: String,
    /// Its mass over the whole batch.
    pub mass: Grams<N>,
    /// The same in percent of the batch, as the list's style counts it.
    pub percent: N,
    /// How sure the name is.
    pub status: NameStatus,
    /// What has this name; the masses sum to [`Self::mass`].
    pub made_of: Vec<Contribution<N>>,
}

impl<N: Num> Ingredient<N> {
    /// Whether it is a colourant, which comes last: named by its number in the Colour Index, “CI 77891”.
    pub fn is_colourant(&self) -> bool {
        self.name.strip_prefix("CI ").is_some_and(|n| n.starts_with(|c: char| c.is_ascii_digit()))
    }

    /// Whether it is under 1 %, so that its place among others under 1 % is free.
    pub fn is_under_one_percent(&self) -> bool {
        self.percent.value() < 1.0
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
        let unsure =
            status.trim().is_empty() || ["not found", "from memory", AS_GIVEN].iter().any(|w| status.contains(w));
        Self(inci.into(), if unsure { NameStatus::Unconfirmed } else { NameStatus::Confirmed })
    }

    fn of_addition(addition: &Addition) -> Self {
        Self::of(&addition.inci, &addition.inci_status, &addition.name)
    }
}

/// Ingredients as they are gathered; what has the same name is one ingredient.
struct List<N>(Vec<Ingredient<N>>);

impl<N: Num> List<N> {
    fn add(&mut self, origin: Origin, Name(name, status): Name, mass: N) {
        if mass.value() <= 0.0 {
            return;
        }
        let part = Contribution { origin, mass: Grams(mass) };
        let at = self.0.iter().position(|i| i.name == name).unwrap_or_else(|| {
            let none = N::from(0.0);
            self.0.push(Ingredient { name, mass: Grams(none), percent: none, status, made_of: Vec::new() });
            self.0.len() - 1
        });
        let ingredient = &mut self.0[at];
        ingredient.mass += part.mass;
        ingredient.made_of.push(part);
        if status == NameStatus::Unconfirmed {
            ingredient.status = status;
        }
    }

    /// In falling weight, colourants last; equal masses in the order they came.
    fn sorted(mut self, whole: Grams<N>) -> Vec<Ingredient<N>> {
        for i in &mut self.0 {
            i.percent = percent_of(i.mass.0, whole.0);
        }
        let mass = |i: &Ingredient<N>| i.mass.value();
        self.0.sort_by(|a, b| a.is_colourant().cmp(&b.is_colourant()).then(mass(b).total_cmp(&mass(a))));
        self.0
    }

    fn add_scents(&mut self, evaluation: &Evaluation<N>) {
        for (i, mass) in evaluation.scents.masses.iter().enumerate() {
            self.add(Origin::Scent(i), Name::confirmed("Parfum"), mass.0);
        }
    }
}

/// What goes in, percent of the batter. The water in potassium hydroxide is water.
pub(super) fn as_put_in<N: Num>(design: &Design, evaluation: &Evaluation<N>) -> Vec<Ingredient<N>> {
    let masses = &evaluation.masses;
    let mut list = List(Vec::new());
    for (i, (line, mass)) in design.blend.lines().iter().zip(&evaluation.fat_masses).enumerate() {
        let Inci { fat, fat_status, .. } = &line.fat.inci;
        list.add(Origin::Fat(i), Name::of(fat, fat_status, &line.fat.name), mass.0);
    }
    list.add(Origin::WaterToWeigh, Name::confirmed("Aqua"), masses.water_to_weigh.0);
    list.add(Origin::WaterOfKoh, Name::confirmed("Aqua"), masses.alkali.water().0);
    for (hydroxide, mass) in [(Hydroxide::Sodium, masses.alkali.naoh), (Hydroxide::Potassium, masses.alkali.pure_koh)] {
        list.add(Origin::Alkali(hydroxide), hydroxide.name(), mass.0);
    }
    for (i, (line, mass)) in design.additions.iter().zip(&evaluation.addition_masses).enumerate() {
        list.add(Origin::Addition(i), Name::of_addition(&line.addition), mass.0);
    }
    list.add_scents(evaluation);
    list.sorted(masses.batter)
}

impl Hydroxide {
    /// Molar mass, g/mol.
    pub const fn molar_mass(self) -> f64 {
        match self {
            Self::Sodium => molar_mass::NAOH,
            Self::Potassium => molar_mass::KOH,
        }
    }

    fn name(self) -> Name {
        Name::confirmed(match self {
            Self::Sodium => "Sodium Hydroxide",
            Self::Potassium => "Potassium Hydroxide",
        })
    }
}

/// One of the two alkalis in what becomes of a batch.
#[derive(Clone, Copy)]
struct Side<N> {
    /// Its part of the equivalents.
    part: N,
    hydroxide: Hydroxide,
}

/// Both alkalis, sodium first.
fn sides<R: Reading>(r: R, design: &Design) -> [Side<R::N>; 2] {
    let koh = inputs::koh_share(r, design);
    [
        Side { part: R::N::from(1.0) - koh, hydroxide: Hydroxide::Sodium },
        Side { part: koh, hydroxide: Hydroxide::Potassium },
    ]
}

/// Soap in all bars, without water, g.
pub(super) fn soap<R: Reading>(r: R, design: &Design, evaluation: &Evaluation<R::N>) -> R::N {
    let of_side = |side: Side<R::N>| {
        let lines = design.blend.lines().iter().zip(&evaluation.fat_masses);
        side.part * r.sum(lines.map(|(l, m)| m.0 * side.soap_per_gram(r, l)))
    };
    let of_fats = r.sum(sides(r, design).map(of_side));
    let lines = design.additions.iter().zip(&evaluation.addition_masses);
    let of_additions = r.sum(lines.filter(|(line, _)| is_fatty(line)).map(|(line, mass)| {
        let dried = Dried::of(r, line, *mass);
        dried.dry + r.sum(sides(r, design).map(|side| dried.gained(r, side)))
    }));
    saponified(r, design) * (of_fats + of_additions)
}

/// The part of the fats that becomes soap; the superfat is spread over them evenly, since which of them stays
/// free is not known.
fn saponified<R: Reading>(r: R, design: &Design) -> R::N {
    R::N::from(1.0) - inputs::held_back(r, design)
}

impl<N: Num> Side<N> {
    /// Molar mass of the alkali, g/mol.
    fn molar_mass<R: Reading<N = N>>(self, r: R) -> N {
        r.constant(self.hydroxide.molar_mass())
    }

    /// Soap from a gram of the fat of `line`, all of it with this alkali.
    fn soap_per_gram<R: Reading<N = N>>(self, r: R, line: &FatLine) -> N {
        soap_per_gram(r, line.fat.kind, inputs::saponification_value(r, line), self.molar_mass(r))
    }

    /// The name of the soap that a fat gives with this alkali.
    fn soap(self, inci: &Inci, plain: &str) -> Name {
        let (name, word) = match self.hydroxide {
            Hydroxide::Sodium => (&inci.sodium_soap, "sodium"),
            Hydroxide::Potassium => (&inci.potassium_soap, "potassium"),
        };
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
            let (name, status) = match self.hydroxide {
                Hydroxide::Sodium => salt.sodium,
                Hydroxide::Potassium => salt.potassium,
            };
            return Name(name.into(), status);
        }
        let metal = match self.hydroxide {
            Hydroxide::Sodium => "Sodium",
            Hydroxide::Potassium => "Potassium",
        };
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
pub(super) fn as_in_the_bar<R: Reading>(
    r: R,
    design: &Design,
    evaluation: &Evaluation<R::N>,
    cure: &Cure<R::N>,
) -> Vec<Ingredient<R::N>> {
    let masses = &evaluation.masses;
    let bars = inputs::bars(r, masses.bars);
    let (saponified, sides) = (saponified(r, design), sides(r, design));
    let mut list = List(Vec::new());
    for (i, (line, mass)) in design.blend.lines().iter().zip(&evaluation.fat_masses).enumerate() {
        let fat = &line.fat;
        for side in sides {
            let soap = mass.0 * saponified * side.part * side.soap_per_gram(r, line);
            list.add(Origin::Soap(i, side.hydroxide), side.soap(&fat.inci, &fat.name), soap);
        }
        let name = Name::of(&fat.inci.fat, &fat.inci.fat_status, &fat.name);
        list.add(Origin::FreeFat(i), name, mass.0 * (R::N::from(1.0) - saponified));
    }
    list.add(Origin::WaterAtSale, Name::confirmed("Aqua"), cure.water_at_sale(r).0 * bars);
    list.add(Origin::Glycerol, Name::confirmed("Glycerin"), masses.glycerol.0);
    for (i, (line, mass)) in design.additions.iter().zip(&evaluation.addition_masses).enumerate() {
        add_dried(r, &mut list, (i, line), *mass, (saponified, sides));
    }
    list.add_scents(evaluation);
    // Alkali that found no fat.
    let too_much = masses.exact_koh.0 / r.constant(molar_mass::KOH) * inputs::spare(r, design);
    for side in sides {
        let spare = too_much * side.part * side.molar_mass(r);
        list.add(Origin::SpareAlkali(side.hydroxide), side.hydroxide.name(), spare);
    }
    list.sorted(cure.bar_at_sale(r) * bars)
}

/// What is left of an addition without its water, which the bar's water has.
#[derive(Clone, Copy)]
struct Dried<N> {
    dry: N,
    /// Protons of its acid, mol; what lies on top meets no lye.
    protons: N,
}

impl<N: Num> Dried<N> {
    fn of<R: Reading<N = N>>(r: R, line: &AdditionLine, mass: Grams<N>) -> Self {
        let dry = mass.0 * (N::from(1.0) - inputs::water_content(r, &line.addition));
        let protons = inputs::protons_per_gram(r, line).filter(|_| line.stage.meets_lye());
        Self { dry, protons: protons.map_or(N::from(0.0), |per_gram| mass.0 * per_gram) }
    }

    /// What it gains where each proton takes this alkali and gives water.
    fn gained<R: Reading<N = N>>(self, r: R, side: Side<N>) -> N {
        self.protons * side.part * (side.molar_mass(r) - r.constant(molar_mass::WATER))
    }
}

/// Adds what is left of an addition. Each proton of an acid has taken alkali; of a fatty acid as much stays free as of
/// the fats.
fn add_dried<R: Reading>(
    r: R,
    list: &mut List<R::N>,
    (index, line): (usize, &AdditionLine),
    mass: Grams<R::N>,
    (saponified, sides): (R::N, [Side<R::N>; 2]),
) {
    let addition = &line.addition;
    let dried = Dried::of(r, line, mass);
    let part = if is_fatty(line) { saponified } else { R::N::from(1.0) };
    if becomes_salts(line) {
        for side in sides {
            let salt = (dried.dry * side.part + dried.gained(r, side)) * part;
            list.add(Origin::Salt(index, side.hydroxide), side.salt(addition), salt);
        }
        let free = dried.dry * (R::N::from(1.0) - part);
        list.add(Origin::DriedAddition(index), Name::of_addition(addition), free);
    } else {
        let gained = r.sum(sides.map(|side| dried.gained(r, side)));
        list.add(Origin::DriedAddition(index), Name::of_addition(addition), dried.dry + gained * part);
    }
}

/// Whether the line's acid is a fatty one that meets the lye.
fn is_fatty(line: &AdditionLine) -> bool {
    line.stage.meets_lye() && line.addition.brings_fatty_acid()
}

/// Whether what is left of an addition is listed as the salts of its acid.
fn becomes_salts(line: &AdditionLine) -> bool {
    let pure = matches!(line.addition.kind, AdditionKind::Acid | AdditionKind::Salt);
    pure && line.stage.meets_lye() && line.addition.protons_per_gram() > 0.0
}
