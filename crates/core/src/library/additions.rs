//! Additions: what goes into a batch besides fats, alkali, water and scent.

use crate::library::acids::molar_mass;
use crate::library::handling::Handling;
use crate::library::material::{MaterialId, Sourced};
use crate::library::shade::Shade;
use crate::number::short;
use crate::trust::Trust;
use crate::units::{AcidMolarMass, AmountMass, AmountPerKg, AmountPercent, Grams, Share, SolidsDensity, percent_of};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The most additions, and the most scents, that a design holds.
pub const MOST_LINES: usize = 100;

/// Density of the solids of most foods, g/mL (from memory).
pub const USUAL_SOLIDS: SolidsDensity = SolidsDensity::exactly(1.5);

listed! {
    /// What an addition is, for finding it and for where it usually goes.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
    #[serde(rename_all = "lowercase")]
    pub enum AdditionKind {
        /// Mashed fruit or vegetable, egg.
        Puree,
        /// Milk and what is made of it.
        Milk,
        /// Juice, tea, coffee, beer, vinegar.
        Liquid,
        /// Sugar, honey.
        Sugar,
        /// An acid, or a salt that takes alkali.
        Acid,
        /// A salt that takes no alkali.
        Salt,
        /// Clay, charcoal, meal, petals.
        Filler,
    }
    /// All, in the order of lists.
    ALL
}

impl AdditionKind {
    /// When one of this kind usually goes in (common practice, no source).
    pub const fn usual_stage(self) -> Stage {
        match self {
            Self::Puree => Stage::IntoFats,
            Self::Filler => Stage::AtTrace,
            Self::Milk | Self::Liquid | Self::Sugar | Self::Acid | Self::Salt => Stage::IntoJug,
        }
    }

    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Puree => "puree",
            Self::Milk => "milk",
            Self::Liquid => "liquid",
            Self::Sugar => "sugar",
            Self::Acid => "acid",
            Self::Salt => "salt",
            Self::Filler => "filler",
        }
    }
}

/// What an addition holds, percent of its mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Water, crystal water with it.
    pub water: Share,
    /// Fat, which stays free in the bar.
    pub fat: Share,
    /// Sugars; `None` where they are not known.
    pub sugars: Option<Share>,
}

/// An acid that an addition brings and that takes alkali.
#[derive(Debug, Clone, PartialEq)]
pub struct AddedAcid {
    /// Its name.
    pub name: String,
    /// Percent of the addition's mass.
    pub content: Share,
    /// Its molar mass as it is counted in `content`.
    pub molar_mass: AcidMolarMass,
    /// Protons that a molecule gives off in lye.
    pub protons: u8,
    /// Whether it counts as a fat does, as a fatty acid should: in designs saved before it did, all of it takes alkali
    /// until their maker takes the offer.
    pub counts_as_fat: bool,
}

impl AddedAcid {
    /// An acid that counts as a fat does if it is a fatty one.
    pub fn new(name: String, content: Share, molar_mass: AcidMolarMass, protons: u8) -> Self {
        let acid = Self { name, content, molar_mass, protons, counts_as_fat: false };
        Self { counts_as_fat: acid.is_fatty(), ..acid }
    }

    /// Protons per gram of the addition, mol/g.
    pub fn protons_per_gram(&self) -> f64 {
        self.content.fraction() * f64::from(self.protons) / self.molar_mass.get()
    }

    /// Whether it is a fatty acid, so that it is in the bar what it would be as a fat: one proton, and the molar mass
    /// of a formula C(n)H(2n − 2d)O(2), from 16 carbons on with up to three double bonds.
    ///
    /// ```
    /// let library = barwright_core::Library::embedded()?;
    /// let is_fatty = |id| library.addition(id).is_some_and(|a: &std::sync::Arc<_>| a.brings_fatty_acid());
    /// assert!(is_fatty("stearic_acid") && !is_fatty("ascorbic_acid") && !is_fatty("citric_acid"));
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn is_fatty(&self) -> bool {
        const CARBONS: std::ops::RangeInclusive<u8> = 8..=24;
        /// From so many carbons on an acid may have double bonds; with fewer, other acids weigh as much.
        const UNSATURATED: u8 = 16;
        const DOUBLE_BONDS: u8 = 3;
        /// Molar masses are given to a hundredth.
        const NEAR: f64 = 0.02;
        let formula = |carbons: u8, bonds: u8| {
            let (carbons, bonds) = (f64::from(carbons), f64::from(bonds));
            carbons * molar_mass::C + 2.0 * (carbons - bonds) * molar_mass::H + 2.0 * molar_mass::O
        };
        let is = |n: u8, d: u8| (self.molar_mass.get() - formula(n, d)).abs() < NEAR;
        let bonds = |n: u8| if n < UNSATURATED { 0 } else { DOUBLE_BONDS };
        self.protons == 1 && CARBONS.into_iter().any(|n| (0..=bonds(n)).any(|d| is(n, d)))
    }
}

/// An acid that a food is known to hold without a figure good enough to weigh lye by.
#[derive(Debug, Clone, PartialEq)]
pub struct UncountedAcid {
    /// Its name.
    pub name: String,
    /// The most of it, percent of the addition's mass (from memory).
    pub most: Share,
    /// Sodium hydroxide that a gram of it takes, g (stoichiometry).
    pub naoh_per_gram: f64,
}

listed! {
    /// What a colourant is made of.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum ColourantClass {
        /// A made pigment, as ultramarine.
        Pigment,
        /// Coated flakes that shimmer.
        Mica,
        /// An oxide of a metal, as iron oxide.
        Oxide,
        /// An earth.
        Clay,
        /// A powder of a plant.
        Plant,
    }
    /// All, in the order of lists.
    ALL
}

impl ColourantClass {
    /// The class in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pigment => "pigment",
            Self::Mica => "mica",
            Self::Oxide => "oxide",
            Self::Clay => "clay",
            Self::Plant => "plant powder",
        }
    }

    /// Density of such a powder, g/mL (from memory, handbook class of figure).
    pub const fn density(self) -> SolidsDensity {
        SolidsDensity::exactly(match self {
            Self::Pigment => 2.4,
            Self::Mica => 2.8,
            Self::Oxide => 4.5,
            Self::Clay => 2.6,
            Self::Plant => 1.5,
        })
    }

    /// What is minded with it (common practice, no source).
    pub const fn advice(self) -> &'static str {
        match self {
            Self::Pigment | Self::Oxide => "Rub it into a little of the fats first, so that no specks stay",
            Self::Mica => "Stir it into a little of the fats first; some lose their colour in lye, so try a little",
            Self::Clay => "Wet it with as much water as it takes up first, or the soap cracks",
            Self::Plant => "Its colour can turn in lye and fades in light: try a little",
        }
    }
}

/// What colours the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colourant {
    /// What it is made of.
    pub class: ColourantClass,
    /// The colour that it gives.
    pub shade: Option<Shade>,
}

/// Everything known of one addition; [`Addition::checked`] checks what comes from outside.
#[derive(Debug, Clone, PartialEq)]
pub struct Addition {
    /// Name in files.
    pub id: MaterialId,
    /// Name on screen.
    pub name: String,
    /// What it is.
    pub kind: AdditionKind,
    /// What it holds.
    pub contents: Sourced<Contents>,
    /// The acid it brings.
    pub acid: Option<Sourced<AddedAcid>>,
    /// The acid that is not counted.
    pub uncounted_acid: Option<UncountedAcid>,
    /// Alcohol, percent of its mass.
    pub alcohol: Share,
    /// When it usually goes in (common practice, no source).
    pub usual_stage: Stage,
    /// How it goes in, how much of it is usual, and what it does.
    pub handling: Handling,
    /// What is known of it as a colourant of the maker's own.
    pub colourant: Option<Colourant>,
    /// Density of what is neither water nor fat, g/mL (from memory).
    pub solids_density: SolidsDensity,
    /// Name in the ingredient list; empty if none is known.
    pub inci: String,
    /// Where that name was confirmed, or "not found".
    pub inci_status: String,
    /// A sentence of the trade for the maker; often empty.
    pub advice: String,
}

/// Contents that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ContentsError {
    /// The contents are more than all of it. Sugars and acids are not added to each other: food
    /// tables give both as parts of the carbohydrates.
    #[error("water, fat and {what} sum to {} % of the addition, more than all of it", short(*sum, 2))]
    Sum {
        /// The third content.
        what: &'static str,
        /// Percent of the addition.
        sum: f64,
    },
    /// An acid without protons, or with more than any has.
    #[error("an acid gives 1 to 6 protons, not {0}")]
    Protons(u8),
    /// Sodium hydroxide per gram of acid that is no number of grams.
    #[error("a gram of acid takes 0 to 5 g of sodium hydroxide, not {0}")]
    Naoh(f64),
}

impl Addition {
    /// The same after a check of the contents.
    ///
    /// # Errors
    /// [`ContentsError`] if the contents exceed the whole or the acid's figures make no sense.
    pub fn checked(self) -> Result<Self, ContentsError> {
        let c = self.contents.value;
        let acid = self.acid.as_ref().map_or(0.0, |a| a.value.content.get());
        for (what, part) in [("sugars", c.sugars.map_or(0.0, Share::get)), ("acid", acid)] {
            let sum = c.water.get() + c.fat.get() + part;
            if sum > 100.01 {
                return Err(ContentsError::Sum { what, sum });
            }
        }
        if let Some(acid) = self.acid.as_ref().filter(|a| !(1..=6).contains(&a.value.protons)) {
            return Err(ContentsError::Protons(acid.value.protons));
        }
        if let Some(naoh) = self.uncounted_acid.as_ref().map(|a| a.naoh_per_gram).filter(|n| !(0.0..=5.0).contains(n)) {
            return Err(ContentsError::Naoh(naoh));
        }
        Ok(self)
    }

    /// How it goes in, how much of it is usual, and what it does.
    pub const fn handling(&self) -> &Handling {
        &self.handling
    }

    /// Whether it carries figures of the maker's own.
    pub fn is_makers(&self) -> bool {
        [self.contents.trust, self.handling.trust].contains(&Trust::Maker)
            || self.acid.as_ref().is_some_and(|a| a.trust == Trust::Maker)
    }

    /// Protons per gram, mol/g; 0 without an acid.
    pub fn protons_per_gram(&self) -> f64 {
        self.acid.as_ref().map_or(0.0, |a| a.value.protons_per_gram())
    }

    /// Whether its acid is a fatty one and counts as a fat does.
    pub fn brings_fatty_acid(&self) -> bool {
        self.acid.as_ref().is_some_and(|a| a.value.counts_as_fat && a.value.is_fatty())
    }

    /// Whether its acid is a fatty one that does not count as a fat does, as it was saved.
    pub fn takes_as_saved(&self) -> bool {
        self.acid.as_ref().is_some_and(|a| a.value.is_fatty() && !a.value.counts_as_fat)
    }

    /// The same, where a fatty acid counts as a fat does or takes alkali like any acid.
    #[must_use]
    pub fn counting_as_fat(self: &Arc<Self>, counts_as_fat: bool) -> Arc<Self> {
        let is_other = |a: &Sourced<AddedAcid>| a.value.is_fatty() && a.value.counts_as_fat != counts_as_fat;
        let Some(acid) = self.acid.clone().filter(is_other) else { return Arc::clone(self) };
        let acid = Sourced { value: AddedAcid { counts_as_fat, ..acid.value }, ..acid };
        Arc::new(Self { acid: Some(acid), ..Self::clone(self) })
    }

    /// Protons per gram of what takes its alkali before the fats do, mol/g: none of a fatty acid.
    pub fn sour_protons_per_gram(&self) -> f64 {
        if self.brings_fatty_acid() { 0.0 } else { self.protons_per_gram() }
    }

    /// Protons per gram of a fatty acid, mol/g; 0 without one.
    pub fn fatty_protons_per_gram(&self) -> f64 {
        if self.brings_fatty_acid() { self.protons_per_gram() } else { 0.0 }
    }

    /// Pure sodium hydroxide that a gram takes, g: moles of acid × protons × 39.997.
    ///
    /// ```
    /// let library = barwright_core::Library::embedded()?;
    /// let citric = library.addition("citric_acid").expect("tabled");
    /// assert!((citric.naoh_per_gram() - 0.6246).abs() < 0.0001);
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn naoh_per_gram(&self) -> f64 {
        self.protons_per_gram() * molar_mass::NAOH
    }

    /// Fraction that is neither water nor fat.
    pub fn solids(&self) -> f64 {
        (1.0 - self.contents.value.water.fraction() - self.contents.value.fat.fraction()).max(0.0)
    }
}

/// How much of an addition or a scent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// In percent of the fats' mass.
    PercentOfFats(AmountPercent),
    /// In grams, whatever the batch's size.
    Grams(AmountMass),
    /// In grams for each kilogram of fats.
    GramsPerKgFats(AmountPerKg),
}

impl Amount {
    /// The mass in a batch of `fats`.
    pub fn mass(self, fats: Grams) -> Grams {
        match self {
            Self::PercentOfFats(p) => fats * p.fraction(),
            Self::Grams(g) => Grams(g.get()),
            Self::GramsPerKgFats(g) => fats * (g.get() / 1000.0),
        }
    }

    /// The bare number, in the amount's own unit.
    pub const fn number(self) -> f64 {
        match self {
            Self::PercentOfFats(p) => p.get(),
            Self::Grams(g) => g.get(),
            Self::GramsPerKgFats(g) => g.get(),
        }
    }

    /// The amount of the same kind nearest to `number`.
    #[must_use]
    pub fn with_number(self, number: f64) -> Self {
        match self {
            Self::PercentOfFats(_) => Self::PercentOfFats(AmountPercent::nearest(number)),
            Self::Grams(_) => Self::Grams(AmountMass::nearest(number)),
            Self::GramsPerKgFats(_) => Self::GramsPerKgFats(AmountPerKg::nearest(number)),
        }
    }

    /// The amount of the same kind that is `mass` in a batch of `fats`; without fats, where only
    /// grams have a mass, the others stay as they are.
    #[must_use]
    pub fn with_mass(self, mass: Grams, fats: Grams) -> Self {
        match self {
            Self::Grams(_) => self.with_number(mass.0),
            _ if fats.0 <= 0.0 => self,
            Self::PercentOfFats(_) => self.with_number(percent_of(mass.0, fats.0)),
            Self::GramsPerKgFats(_) => self.with_number(1000.0 * mass.0 / fats.0),
        }
    }
}

listed! {
    /// When something goes in.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
    pub enum Stage {
        /// With the water, before the alkali.
        IntoJug,
        /// With the melted fats, before the lye.
        IntoFats,
        /// When the batter leaves a trail.
        AtTrace,
        /// Onto the filled mould.
        OnTop,
    }
    /// All, in the order of work.
    ALL
}

impl Stage {
    /// The stage in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::IntoJug => "Into the jug",
            Self::IntoFats => "Into the fats",
            Self::AtTrace => "At trace",
            Self::OnTop => "On top",
        }
    }

    /// Whether what goes in then is in the jug when the alkali dissolves there.
    pub const fn is_in_jug(self) -> bool {
        match self {
            Self::IntoJug => true,
            Self::IntoFats | Self::AtTrace | Self::OnTop => false,
        }
    }

    /// Whether what goes in then warms or cools the fats before the lye comes.
    pub const fn is_in_fats(self) -> bool {
        match self {
            Self::IntoFats => true,
            Self::IntoJug | Self::AtTrace | Self::OnTop => false,
        }
    }

    /// Whether what goes in then meets the lye, so that its acid takes alkali and its fat counts.
    pub const fn meets_lye(self) -> bool {
        match self {
            Self::IntoJug | Self::IntoFats | Self::AtTrace => true,
            Self::OnTop => false,
        }
    }

    /// Whether what goes in then is in the batter that fills the mould.
    pub const fn fills_mould(self) -> bool {
        match self {
            Self::IntoJug | Self::IntoFats | Self::AtTrace => true,
            Self::OnTop => false,
        }
    }
}

/// One addition in a design.
#[derive(Debug, Clone, PartialEq)]
pub struct AdditionLine {
    /// The record, as it was when it came in.
    pub addition: Arc<Addition>,
    /// How much.
    pub amount: Amount,
    /// Whether its water is taken off the water to weigh.
    pub counts_as_water: bool,
    /// When it goes in.
    pub stage: Stage,
}

impl AdditionLine {
    /// A usual amount at the record's usual stage (common practice, no source).
    pub fn usual(addition: Arc<Addition>) -> Self {
        let usual = |g_per_kg: f64| g_per_kg.max(addition.handling.usual.min()).min(addition.handling.usual.max());
        let percent = |percent: f64| Amount::PercentOfFats(AmountPercent::nearest(usual(10.0 * percent) / 10.0));
        let amount = match addition.kind {
            AdditionKind::Puree => percent(8.0),
            AdditionKind::Milk | AdditionKind::Liquid => percent(15.0),
            AdditionKind::Sugar | AdditionKind::Acid | AdditionKind::Salt | AdditionKind::Filler => {
                Amount::GramsPerKgFats(AmountPerKg::nearest(usual(10.0)))
            }
        };
        let stage = addition.usual_stage;
        Self { addition, amount, counts_as_water: true, stage }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_put_in_at_first_is_a_usual_amount() {
        let library = crate::library::Library::embedded().expect("assets parse");
        for addition in library.additions() {
            let grams = AdditionLine::usual(Arc::clone(addition)).amount.mass(Grams(1000.0)).0;
            assert!(addition.handling.usual.widened(1e-9).contains(grams), "{}: {grams} g", addition.id);
        }
    }

    #[test]
    fn an_amount_keeps_its_kind_when_its_mass_is_set() {
        let fats = Grams(750.0);
        for amount in [
            Amount::PercentOfFats(AmountPercent::nearest(8.0)),
            Amount::Grams(AmountMass::nearest(60.0)),
            Amount::GramsPerKgFats(AmountPerKg::nearest(80.0)),
        ] {
            assert!((amount.mass(fats).0 - 60.0).abs() < 1e-12, "{amount:?} is 60 g");
            let half = amount.with_mass(Grams(30.0), fats);
            assert!((half.mass(fats).0 - 30.0).abs() < 1e-12, "{half:?} is 30 g");
            assert_eq!(std::mem::discriminant(&half), std::mem::discriminant(&amount), "the kind stays");
        }
    }
}
