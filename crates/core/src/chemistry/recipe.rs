//! A recipe from a book, in grams, as a design with the superfat it really has.

use crate::chemistry::alkali::exact_koh;
use crate::chemistry::margin::{LIKELY, LyeMargin};
use crate::design::blend::{Blend, BlendError, FatLine};
use crate::design::mould::Size;
use crate::design::{Alkali, Design, WaterRule};
use crate::library::acids::molar_mass;
use crate::library::additions::{Addition, AdditionLine, Amount, MOST_LINES};
use crate::library::fats::Fat;
use crate::number::fixed;
use crate::units::{
    AmountMass, FatMass, Grams, LyeConcentration, OutOfRange, Purity, Share, Superfat, in_percent, percent_of,
};
use std::sync::Arc;

/// What the book says.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// What it is called.
    pub name: String,
    /// Fats with their masses.
    pub fats: Vec<(Arc<Fat>, Grams)>,
    /// Sodium hydroxide as weighed.
    pub naoh: Grams,
    /// Its purity.
    pub naoh_purity: Purity,
    /// Potassium hydroxide as weighed.
    pub koh: Grams,
    /// Its purity.
    pub koh_purity: Purity,
    /// Water as weighed.
    pub water: Grams,
    /// Purees, milk, vinegar, acids and the like, each as weighed.
    pub additions: Vec<(Arc<Addition>, Grams)>,
}

/// A recipe that is no design.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecipeError {
    /// No fat with a mass.
    #[error("Give the weight of at least one fat")]
    NoFats,
    /// No alkali.
    #[error("Give the weight of the sodium or potassium hydroxide")]
    NoAlkali,
    /// No water.
    #[error("Give the weight of the water, or of a liquid in its place")]
    NoWater,
    /// A mass below zero or not finite.
    #[error("{0} has a mass that is no mass")]
    Mass(String),
    /// The alkali is far from what the fats take.
    #[error(
        "Far {kind}, by {by} %: the fats take {need} g of sodium hydroxide and the recipe has the worth of {has} g for them. \
         Check for a slip in the alkali or a fat, or a recipe that is not cold process"
    )]
    FarOff {
        /// "too much alkali" or "too little alkali".
        kind: &'static str,
        /// By how many percent of the need.
        by: String,
        /// Exact need as NaOH, g.
        need: String,
        /// What the recipe has as NaOH, g.
        has: String,
    },
    /// More additions than a design holds.
    #[error("A recipe holds at most {MOST_LINES} additions")]
    Additions,
    /// A number outside what a design can hold.
    #[error(transparent)]
    Range(#[from] OutOfRange),
    /// A fat twice, or too many.
    #[error(transparent)]
    Blend(#[from] BlendError),
}

/// What the superfat that a recipe really has comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// More alkali than the fats take, by so many percent.
    LyeHeavy(f64),
    /// As much as they take: with natural fats it may be more.
    NoSuperfat,
    /// So many percent less than they take, which natural fats use up with this chance (0–1): over
    /// [`LIKELY`], so it is stopped like any design.
    MayBeLyeHeavy {
        /// The superfat, percent.
        superfat: f64,
        /// The chance.
        chance: f64,
    },
    /// So many percent less than they take.
    Superfat(f64),
}

impl Verdict {
    /// What the superfat of `design`, whose `margin` is given, comes to.
    ///
    /// ```
    /// use barwright_core::chemistry::recipe::Verdict;
    /// use barwright_core::design::document;
    /// use barwright_core::{Library, evaluate};
    /// let library = Library::embedded()?;
    /// let of = |superfat: f64| {
    ///     let text = format!("(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)], superfat: {superfat})");
    ///     let design = document::read(text.as_bytes(), &library)?;
    ///     Ok::<_, Box<dyn std::error::Error>>(Verdict::of(&design, evaluate(&design, &library).margin.as_ref()))
    /// };
    /// assert_eq!(of(-3.0)?, Verdict::LyeHeavy(3.0));
    /// assert_eq!(of(-0.04)?, Verdict::NoSuperfat, "it is shown as 0.0");
    /// assert!(matches!(of(0.5)?, Verdict::MayBeLyeHeavy { chance, .. } if chance > 0.3));
    /// assert_eq!(of(8.0)?, Verdict::Superfat(8.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(design: &Design, margin: Option<&LyeMargin>) -> Self {
        /// What is shown as 0.0 %.
        const NOTHING: f64 = 0.05;
        let percent = design.superfat.get();
        if percent.abs() < NOTHING {
            return Self::NoSuperfat;
        }
        if percent < 0.0 {
            return Self::LyeHeavy(-percent);
        }
        // The exact chance takes a while, and most recipes are far from it.
        let chance = margin.filter(|m| m.chance_bound() > LIKELY).map_or(0.0, LyeMargin::chance_lye_heavy);
        if chance > LIKELY { Self::MayBeLyeHeavy { superfat: percent, chance } } else { Self::Superfat(percent) }
    }
}

impl Recipe {
    /// The design that weighs out exactly as this recipe: shares from the masses, the superfat
    /// 1 − alkali/need that really results (negative when it is lye-heavy), the concentration
    /// with the water of the additions and the potassium hydroxide's own counted. Alkali that acids
    /// in the additions take is not there for the fats.
    ///
    /// # Errors
    /// [`RecipeError`] if something is missing or the superfat would lie outside −50 to 50 %.
    pub fn design(&self) -> Result<Design, RecipeError> {
        for (fat, mass) in &self.fats {
            if !mass.0.is_finite() || mass.0 < 0.0 {
                return Err(RecipeError::Mass(fat.name.clone()));
            }
        }
        for (what, mass) in [("sodium hydroxide", self.naoh), ("potassium hydroxide", self.koh), ("water", self.water)]
        {
            if !mass.0.is_finite() || mass.0 < 0.0 {
                return Err(RecipeError::Mass(what.to_owned()));
            }
        }
        let additions = self.additions()?;
        let used: Vec<_> = self.fats.iter().filter(|(_, m)| m.0 > 0.0).collect();
        let total: Grams = used.iter().map(|(_, m)| *m).sum();
        if used.is_empty() {
            return Err(RecipeError::NoFats);
        }
        let share = |mass: Grams| Share::nearest(percent_of(mass.0, total.0));
        let blend = Blend::new(used.iter().map(|(f, m)| FatLine::new(Arc::clone(f), share(*m))).collect())?;
        let need = exact_koh(blend.lines().iter().zip(&used).map(|(l, (_, m))| (*m, l.saponification_value())));

        let pure_naoh = self.naoh * self.naoh_purity.fraction();
        let pure_koh = self.koh * self.koh_purity.fraction();
        let (naoh_moles, koh_moles) = (pure_naoh.0 / molar_mass::NAOH, pure_koh.0 / molar_mass::KOH);
        let moles = naoh_moles + koh_moles;
        let brought = |per_gram: fn(&Addition) -> f64| -> f64 {
            self.additions.iter().map(|(addition, mass)| per_gram(addition) * mass.0).sum()
        };
        let left = moles - brought(Addition::sour_protons_per_gram);
        let need_moles = need.0 / molar_mass::KOH + brought(Addition::fatty_protons_per_gram);
        if moles <= 0.0 {
            return Err(RecipeError::NoAlkali);
        }
        let pure = pure_naoh + pure_koh;
        let water = self.water + (self.koh - pure_koh) + Grams(brought(|a| a.contents.value.water.fraction()));
        if water.0 <= 0.0 {
            return Err(RecipeError::NoWater);
        }
        let superfat = Superfat::new(in_percent(1.0 - left / need_moles)).map_err(|e| RecipeError::FarOff {
            kind: if e.value < 0.0 { "too much alkali" } else { "too little alkali" },
            by: fixed(e.value.abs(), 0),
            need: fixed(need_moles * molar_mass::NAOH, 1),
            has: fixed(left * molar_mass::NAOH, 1),
        })?;
        let concentration = LyeConcentration::new(percent_of(pure.0, (pure + water).0))?;
        Ok(Design {
            name: self.name.clone(),
            blend,
            superfat,
            alkali: Alkali {
                koh_share: Share::nearest(percent_of(koh_moles, moles)),
                naoh_purity: self.naoh_purity,
                koh_purity: self.koh_purity,
                ..Alkali::default()
            },
            water: WaterRule::LyeConcentration(concentration),
            size: Size::FatMass(FatMass::new(total.0)?),
            additions,
            ..Design::default()
        })
    }

    /// The additions with a mass, each in grams at its usual stage.
    fn additions(&self) -> Result<Vec<AdditionLine>, RecipeError> {
        if self.additions.len() > MOST_LINES {
            return Err(RecipeError::Additions);
        }
        let mut lines = Vec::new();
        for (addition, mass) in &self.additions {
            if !mass.0.is_finite() || mass.0 < 0.0 {
                return Err(RecipeError::Mass(addition.name.clone()));
            }
            if mass.0 > 0.0 {
                let amount = Amount::Grams(AmountMass::new(mass.0)?);
                lines.push(AdditionLine { amount, ..AdditionLine::usual(Arc::clone(addition)) });
            }
        }
        Ok(lines)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evaluate::evaluate;
    use crate::library::Library;

    fn recipe(library: &Library, water: f64, additions: &[(&str, f64)]) -> Recipe {
        let olive = Arc::clone(library.fat("olive_virgin").expect("tabled"));
        let addition = |(id, mass): &(&str, f64)| (Arc::clone(library.addition(id).expect("tabled")), Grams(*mass));
        Recipe {
            name: String::new(),
            fats: vec![(olive, Grams(1000.0))],
            naoh: Grams(130.0),
            naoh_purity: Purity::nearest(99.0),
            koh: Grams::ZERO,
            koh_purity: Purity::nearest(90.0),
            water: Grams(water),
            additions: additions.iter().map(addition).collect(),
        }
    }

    #[test]
    fn a_recipe_with_puree_milk_and_acid_weighs_out_as_it_was_typed() {
        let library = Library::embedded().expect("assets parse");
        let sets: [(f64, &[(&str, f64)]); 5] = [
            (250.0, &[("apple_puree", 100.0)]),
            (0.0, &[("goat_milk", 330.0)]),
            (200.0, &[("cider_vinegar", 120.0)]),
            (300.0, &[("citric_acid", 12.0), ("apple_puree", 40.0)]),
            (300.0, &[("citric_acid", 0.0)]),
        ];
        for (water, additions) in sets {
            let design = recipe(&library, water, additions).design().expect("it can be made");
            let batch = evaluate(&design, &library).masses;
            assert!((batch.alkali.naoh.0 - 130.0).abs() < 1e-9, "{additions:?}: {} g of lye", batch.alkali.naoh.0);
            assert!((batch.water_to_weigh.0 - water).abs() < 1e-6, "{additions:?}: {} g", batch.water_to_weigh.0);
            let all: f64 = additions.iter().map(|(_, mass)| mass).sum();
            assert!((batch.batter.0 - 1130.0 - water - all).abs() < 1e-6, "all of it: {}", batch.batter.0);
        }
    }

    #[test]
    fn ten_grams_of_citric_acid_raise_the_superfat_by_what_they_take() {
        let library = Library::embedded().expect("assets parse");
        let superfat =
            |additions: &[(&str, f64)]| recipe(&library, 300.0, additions).design().expect("made").superfat.get();
        let risen = superfat(&[("citric_acid", 10.0)]) - superfat(&[]);
        // 6.246 g of pure sodium hydroxide by stoichiometry; the fats take 128.7 g at this superfat of about 4 %.
        let need = 130.0 * 0.99 / (1.0 - superfat(&[]) / 100.0);
        assert!((risen - 100.0 * 6.246 / need).abs() < 0.01, "{risen}");
    }

    #[test]
    fn what_is_no_mass_and_what_brings_no_water_is_refused() {
        let library = Library::embedded().expect("assets parse");
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            let refused = recipe(&library, 300.0, &[("citric_acid", bad)]).design();
            assert!(matches!(refused, Err(RecipeError::Mass(_))), "{bad}");
        }
        assert!(recipe(&library, 300.0, &[("apple_puree", 1e9)]).design().is_err(), "a thousand tonnes");
        let dry = recipe(&library, 0.0, &[("salt", 10.0)]).design();
        assert_eq!(dry, Err(RecipeError::NoWater));
        let acid = recipe(&library, 300.0, &[("citric_acid", 250.0)]).design();
        assert!(matches!(acid, Err(RecipeError::FarOff { .. })), "the acid takes it all");
    }
}
