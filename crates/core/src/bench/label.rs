//! The label: ingredient lists in two styles, allergens, the weight at sale, and what to check.
//!
//! It is worked out on demand, not with every evaluation. [`Ingredients`] are the numbers of any batch; a
//! [`Label`] is what may be printed, and there is none while a Stop stands.

mod checklist;
mod ingredients;

pub use checklist::{CheckItem, NO_ADVICE, Region, checklist};
pub use ingredients::{Contribution, Hydroxide, Ingredient, NameStatus, Origin};

use crate::cautions::{NoStop, Stopped};
use crate::chemistry::inputs;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::{Num, Plain, Reading};
use crate::library::Library;
use crate::library::allergens::AllergenCheck;
use crate::units::{Grams, percent_of};

/// What a label of a design bears, as long as no batch of it is logged.
pub const NO_BATCH: &str = "draft, no batch";

/// What may be declared as the weight: never a forecast.
pub const WEIGH_THE_LIGHTEST: &str = "Declare no more than your lightest bar weighs on the day.";

listed! {
    /// What an ingredient list is about.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum ListStyle {
        /// What went in, by its weight at the time of adding, as the rules for cosmetics word it.
        AsPutIn,
        /// What is in the bar at sale: soaps, glycerin, free fat, the water that is left.
        AsInTheBar,
    }
    /// Both.
    ALL
}

impl ListStyle {
    /// The style in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsPutIn => "As put in",
            Self::AsInTheBar => "As in the bar",
        }
    }
}

/// The ingredients of one list, in any reading, in its order; `None` without fats.
pub(crate) fn ingredients<R: Reading>(
    r: R,
    style: ListStyle,
    design: &Design,
    evaluation: &Evaluation<R::N>,
) -> Option<Vec<Ingredient<R::N>>> {
    let cure = evaluation.cure.as_ref()?;
    Some(match style {
        ListStyle::AsPutIn => ingredients::as_put_in(design, evaluation),
        ListStyle::AsInTheBar => ingredients::as_in_the_bar(r, design, evaluation, cure),
    })
}

/// What is in a bar, in numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingredients<N = f64> {
    as_put_in: Vec<Ingredient<N>>,
    as_in_the_bar: Vec<Ingredient<N>>,
    /// What the scents bring of the allergens on the design's list.
    pub allergens: AllergenCheck<N>,
    /// A bar at sale, forecast.
    pub bar_at_sale: Grams<N>,
    /// Soap in percent of what is not water in the bar.
    pub soap_of_dry: N,
}

impl Ingredients {
    /// What is in `design`'s bars, from its `evaluation`; `None` without fats.
    pub fn of(design: &Design, evaluation: &Evaluation, library: &Library) -> Option<Self> {
        Self::read(Plain, design, evaluation, library)
    }
}

/// What goes on a bar's label. A design with a Stop has none.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    ingredients: Ingredients,
}

impl Label {
    /// The label of `design`'s bars, from its `evaluation`.
    ///
    /// # Errors
    /// [`Stopped`] while a Stop stands, as it does without fats.
    pub fn of(design: &Design, evaluation: &Evaluation, library: &Library) -> Result<Self, Stopped> {
        Self::of_unstopped(&NoStop::of(design, evaluation, library)?)
    }

    /// The same where it is known that no Stop stands.
    ///
    /// # Errors
    /// [`Stopped`] if there is no bar.
    pub fn of_unstopped(no_stop: &NoStop<'_>) -> Result<Self, Stopped> {
        let ingredients = Ingredients::of(no_stop.design(), no_stop.evaluation(), no_stop.library());
        ingredients.map(|ingredients| Self { ingredients }).ok_or_else(Stopped::nothing_to_make)
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
}

impl std::ops::Deref for Label {
    type Target = Ingredients;

    fn deref(&self) -> &Ingredients {
        &self.ingredients
    }
}

impl<N: Num> Ingredients<N> {
    /// The same in any reading.
    pub fn read<R: Reading<N = N>>(
        r: R,
        design: &Design,
        evaluation: &Evaluation<N>,
        library: &Library,
    ) -> Option<Self> {
        let as_put_in = ingredients(r, ListStyle::AsPutIn, design, evaluation)?;
        let as_in_the_bar = ingredients(r, ListStyle::AsInTheBar, design, evaluation)?;
        let cure = evaluation.cure.as_ref()?;
        let count = inputs::bars(r, evaluation.masses.bars);
        let bar_at_sale = cure.bar_at_sale(r);
        let bars = bar_at_sale * count;
        let dry = bars - cure.water_at_sale(r) * count;
        let (masses, dried) = (&evaluation.scents.masses, evaluation.masses.dried());
        Some(Self {
            as_put_in,
            as_in_the_bar,
            // At the dry end, where a percent is the highest that it becomes.
            allergens: library.allergens.check(r, &design.scents, masses, dried, design.allergen_list),
            bar_at_sale,
            soap_of_dry: percent_of(ingredients::soap(r, design, evaluation), dry.0),
        })
    }

    /// The ingredients in the order of the list: falling weight, colourants last. Those under 1 % may
    /// come in any order among themselves.
    pub fn ingredients(&self, style: ListStyle) -> &[Ingredient<N>] {
        match style {
            ListStyle::AsPutIn => &self.as_put_in,
            ListStyle::AsInTheBar => &self.as_in_the_bar,
        }
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
