//! The numbers that are shown, each one item: its key, title, unit, decimals, formula and trust.
//!
//! Reports, the sheet, comparisons, explanations and the window take all of them from here, so that
//! they cannot disagree. The formula is the code that computes the number: an item says which number
//! of the [evaluation](crate::evaluate) it is, for any [reading](crate::formula) of it.
//!
//! An item of a list knows its line by what it is of (a fat by its id), never by its place, so it
//! means the same in another design.

mod batch;
mod blend;
mod colour;
mod cost;
mod cure;
mod jug;
mod key;
mod label;
mod line;
mod listed;
mod margin;
mod scores;
mod search;
mod size;
mod water;

pub use batch::*;
pub use blend::*;
pub use colour::*;
pub use cost::*;
pub use cure::*;
pub use jug::*;
pub use key::{UnknownKey, find, keys};
pub use label::*;
pub use line::*;
pub use listed::{LISTED, Listed, Section, When};
pub use margin::*;
pub use scores::*;
pub use search::*;
pub use size::*;
pub use water::*;

use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::{Input, Plain, Reading, Tape, Term, lower_case};
use crate::library::Library;
use crate::quantity::Unit;
use crate::units::Measures;
use std::any::Any;
use std::fmt::Debug;

/// What a number is of.
#[derive(Debug)]
pub struct About<'a, N = f64> {
    /// The design.
    pub design: &'a Design,
    /// Its numbers.
    pub evaluation: &'a Evaluation<N>,
    /// The tables.
    pub library: &'a Library,
    /// The units in which it is read.
    pub measures: Measures,
}

impl<'a, N> About<'a, N> {
    /// Of `design`, whose numbers are `evaluation`, read in metric units.
    pub const fn new(design: &'a Design, evaluation: &'a Evaluation<N>, library: &'a Library) -> Self {
        Self { design, evaluation, library, measures: Measures::METRIC }
    }

    /// The same, read in these units.
    #[must_use]
    pub const fn read_in(self, measures: Measures) -> Self {
        Self { measures, ..self }
    }
}

impl<N> Clone for About<'_, N> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<N> Copy for About<'_, N> {}

/// Why a number has no value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unknown {
    /// The design does not have the thing: it counts as nothing where designs are compared.
    Absent(String),
    /// It cannot be said, for this reason.
    Because(String),
}

impl Unknown {
    /// The reason.
    pub fn reason(self) -> String {
        match self {
            Self::Absent(reason) | Self::Because(reason) => reason,
        }
    }
}

impl From<&str> for Unknown {
    fn from(reason: &str) -> Self {
        Self::Because(reason.into())
    }
}

impl From<String> for Unknown {
    fn from(reason: String) -> Self {
        Self::Because(reason)
    }
}

/// What else moves a number, of what is not tried for every one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AlsoMovedBy {
    /// Nothing.
    Nothing,
    /// The share of potassium hydroxide, also where there is none.
    KohShare,
    /// The measures of the mould.
    Mould,
}

/// A number that is shown.
pub trait Quantity: Debug + Clone + PartialEq + Send + Sync + 'static {
    /// Its place in the JSON report, for the edge of the program.
    fn key(&self, of: About<'_>) -> String;
    /// Its one name.
    fn title(&self, of: About<'_>) -> String;
    /// Its unit.
    fn unit(&self, of: About<'_>) -> Unit;
    /// Decimals with which it is shown.
    fn decimals(&self, of: About<'_>) -> usize;
    /// The number, in any reading.
    ///
    /// # Errors
    /// [`Unknown`], if the design has none or it cannot be said.
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown>;
    /// How far to trust it, in a sentence or two.
    fn trust(&self, of: About<'_>) -> String;
    /// What it is called in the formula of another number.
    fn symbol(&self, of: About<'_>) -> String {
        lower_case(&self.title(of))
    }
    /// What stands behind its inputs: where they come from in turn, and what it is held against.
    fn behind(&self, _: About<'_>) -> Vec<Input> {
        Vec::new()
    }
    /// What else moves it.
    fn also_moved_by(&self) -> AlsoMovedBy {
        AlsoMovedBy::Nothing
    }
}

/// Any [`Quantity`], where its type is not known; two are equal if they are the same number.
pub trait AnyQuantity: Debug + Send + Sync {
    /// [`Quantity::key`].
    fn key(&self, of: About<'_>) -> String;
    /// [`Quantity::title`].
    fn title(&self, of: About<'_>) -> String;
    /// [`Quantity::unit`].
    fn unit(&self, of: About<'_>) -> Unit;
    /// [`Quantity::decimals`].
    fn decimals(&self, of: About<'_>) -> usize;
    /// The number, read plainly.
    ///
    /// # Errors
    /// As [`Quantity::read`].
    fn value(&self, of: About<'_>) -> Result<f64, Unknown>;
    /// The number with the way it came about.
    ///
    /// # Errors
    /// As [`Quantity::read`].
    fn record<'t>(&self, tape: &'t Tape, of: About<'_, Term<'t>>) -> Result<Term<'t>, Unknown>;
    /// [`Quantity::trust`].
    fn trust(&self, of: About<'_>) -> String;
    /// [`Quantity::symbol`].
    fn symbol(&self, of: About<'_>) -> String;
    /// [`Quantity::behind`].
    fn behind(&self, of: About<'_>) -> Vec<Input>;
    /// [`Quantity::also_moved_by`].
    fn also_moved_by(&self) -> AlsoMovedBy;
    /// The item itself, to tell it from others.
    fn as_any(&self) -> &dyn Any;
    /// Whether `other` is the same number.
    fn is(&self, other: &dyn AnyQuantity) -> bool;
}

impl PartialEq for dyn AnyQuantity {
    fn eq(&self, other: &Self) -> bool {
        self.is(other)
    }
}

impl<Q: Quantity> AnyQuantity for Q {
    fn key(&self, of: About<'_>) -> String {
        Quantity::key(self, of)
    }
    fn title(&self, of: About<'_>) -> String {
        Quantity::title(self, of)
    }
    fn unit(&self, of: About<'_>) -> Unit {
        Quantity::unit(self, of)
    }
    fn decimals(&self, of: About<'_>) -> usize {
        Quantity::decimals(self, of)
    }
    fn value(&self, of: About<'_>) -> Result<f64, Unknown> {
        self.read(Plain, of)
    }
    fn record<'t>(&self, tape: &'t Tape, of: About<'_, Term<'t>>) -> Result<Term<'t>, Unknown> {
        self.read(tape, of)
    }
    fn trust(&self, of: About<'_>) -> String {
        Quantity::trust(self, of)
    }
    fn symbol(&self, of: About<'_>) -> String {
        Quantity::symbol(self, of)
    }
    fn behind(&self, of: About<'_>) -> Vec<Input> {
        Quantity::behind(self, of)
    }
    fn also_moved_by(&self) -> AlsoMovedBy {
        Quantity::also_moved_by(self)
    }
    fn as_any(&self) -> &dyn Any {
        self
    }
    fn is(&self, other: &dyn AnyQuantity) -> bool {
        other.as_any().downcast_ref() == Some(self)
    }
}

/// The number as it is shown, with its unit.
///
/// # Errors
/// As [`Quantity::read`].
pub fn text(quantity: &dyn AnyQuantity, of: About<'_>) -> Result<String, Unknown> {
    let value = quantity.value(of)?;
    Ok(quantity.unit(of).text_in(value, quantity.decimals(of), of.measures))
}

/// Items that every design has, and their list in the order of the report.
macro_rules! quantities {
    (
        $(#[$list_doc:meta])*
        $list:ident;
        $(
            $(#[$doc:meta])*
            $name:ident($key:literal, $title:literal, $unit:ident, $decimals:literal) {
                |$r:ident, $of:ident| $read:expr,
                |$about:pat_param| $trust:expr
                $(, moved by $also:ident)?
            }
        )+
    ) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub struct $name;

            impl $crate::quantities::Quantity for $name {
                fn key(&self, _: About<'_>) -> String {
                    $key.into()
                }
                fn title(&self, _: About<'_>) -> String {
                    $title.into()
                }
                fn unit(&self, _: About<'_>) -> Unit {
                    Unit::$unit
                }
                fn decimals(&self, _: About<'_>) -> usize {
                    $decimals
                }
                fn read<R: Reading>(&self, $r: R, $of: About<'_, R::N>) -> Result<R::N, Unknown> {
                    $read
                }
                fn trust(&self, $about: About<'_>) -> String {
                    String::from($trust)
                }
                $(
                    fn also_moved_by(&self) -> $crate::quantities::AlsoMovedBy {
                        $crate::quantities::AlsoMovedBy::$also
                    }
                )?
            }
        )+

        $(#[$list_doc])*
        pub static $list: &[(&str, &dyn $crate::quantities::AnyQuantity)] = &[$(($key, &$name)),+];
    };
}
pub(crate) use quantities;

const NO_ALKALI: &str = "the design takes no alkali yet";
const NO_FATS: &str = "there are no fats in the batch";
const AS_CHOSEN: &str = "Exact arithmetic on what the design says; weigh to the division of the scale.";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::label::ListStyle;

    #[test]
    fn items_are_equal_if_they_are_the_same_number() {
        let same = |a: &(dyn AnyQuantity + 'static), b: &(dyn AnyQuantity + 'static)| a == b;
        let ingredient = |name: &str| IngredientPercent(ListStyle::AsPutIn, name.to_owned());
        assert!(same(&Batter, &Batter) && same(&ingredient("AQUA"), &ingredient("AQUA")));
        assert!(!same(&Batter, &BarFresh), "of two types");
        assert!(!same(&ingredient("AQUA"), &ingredient("MEL")), "of two lines");
        // One that is found in a list by its key is the item itself.
        let listed: &'static dyn AnyQuantity = &Batter;
        assert!(same(&listed, &Batter) && same(&listed, &listed) && !same(&listed, &BarFresh));
    }
}
