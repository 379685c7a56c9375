//! The label: ingredient lists in two styles, allergens, the weight at sale, and what to check.
//!
//! It is worked out on demand, not with every evaluation.

mod checklist;
mod ingredients;

pub use checklist::{CheckItem, NO_ADVICE, Region, checklist};
pub use ingredients::{Contribution, Hydroxide, Ingredient, NameStatus, Origin};

use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::Library;
use crate::library::allergens::AllergenCheck;
use crate::units::Grams;

/// What an ingredient list is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListStyle {
    /// What went in, by its weight at the time of adding, as the rules for cosmetics word it.
    AsPutIn,
    /// What is in the bar at sale: soaps, glycerin, free fat, the water that is left.
    AsInTheBar,
}

impl ListStyle {
    /// Both.
    pub const ALL: [Self; 2] = [Self::AsPutIn, Self::AsInTheBar];

    /// The style in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsPutIn => "As put in",
            Self::AsInTheBar => "As in the bar",
        }
    }
}

/// What goes on a bar's label.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    as_put_in: Vec<Ingredient>,
    as_in_the_bar: Vec<Ingredient>,
    /// What the scents bring of the allergens on the design's list.
    pub allergens: AllergenCheck,
    /// A bar at sale, forecast.
    pub bar_at_sale: Grams,
    /// Soap in percent of what is not water in the bar.
    pub soap_of_dry: f64,
}

impl Label {
    /// The label of `design`'s bars, from its `evaluation`; `None` without fats.
    pub fn of(design: &Design, evaluation: &Evaluation, library: &Library) -> Option<Self> {
        let cure = evaluation.cure.as_ref()?;
        let batch = &evaluation.masses;
        let bar_at_sale = cure.bar_at_sale(Plain);
        let bars = bar_at_sale * f64::from(batch.bars);
        let dry = bars - cure.water_at_sale(Plain) * f64::from(batch.bars);
        Some(Self {
            as_put_in: ingredients::as_put_in(design, evaluation),
            as_in_the_bar: ingredients::as_in_the_bar(design, evaluation, cure),
            allergens: library.allergens.check(&design.scents, &evaluation.scents.masses, bars, design.allergen_list),
            bar_at_sale,
            soap_of_dry: 100.0 * ingredients::soap(design, evaluation) / dry.0,
        })
    }

    /// The ingredients in the order of the list: falling weight, colourants last. Those under 1 % may
    /// come in any order among themselves.
    pub fn ingredients(&self, style: ListStyle) -> &[Ingredient] {
        match style {
            ListStyle::AsPutIn => &self.as_put_in,
            ListStyle::AsInTheBar => &self.as_in_the_bar,
        }
    }

    /// The list as it is printed in `region`, with the allergens that have to be named before the colourants.
    pub fn text(&self, style: ListStyle, region: Region) -> String {
        let list = self.ingredients(style);
        let of = |i: &Ingredient| (i.name.clone(), i.percent);
        let mut named: Vec<(String, f64)> = list.iter().filter(|i| !i.is_colourant()).map(of).collect();
        named.extend(self.allergens.declared().map(|f| (f.name.clone(), f.percent)));
        // An allergen of 1 % or more takes its place by weight; under it the order is free.
        named.sort_by(|a, b| b.1.max(1.0).total_cmp(&a.1.max(1.0)));
        let colourants = list.iter().filter(|i| i.is_colourant()).map(of);
        let all: Vec<(String, f64)> = named.into_iter().chain(colourants).collect();
        all.iter().map(|(name, _)| region.name(name)).collect::<Vec<_>>().join(", ")
    }

    /// Names of either list that were not confirmed, each once.
    pub fn unconfirmed(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for i in self.as_put_in.iter().chain(&self.as_in_the_bar) {
            if i.status == NameStatus::Unconfirmed && !names.contains(&i.name.as_str()) {
                names.push(&i.name);
            }
        }
        names
    }
}
