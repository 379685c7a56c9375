//! One formula, two readings: over `f64` it computes, over [`Term`] it also records how.
//!
//! A formula of chemistry is written once, generic over a [`Reading`]. [`Plain`] reads it for the
//! result alone and costs nothing; a [`Tape`] reads the same code and keeps every step, from which
//! the symbols, this design's numbers and the inputs with their sources are told. So what is told
//! cannot differ from what is computed.
//!
//! ```
//! use barwright_core::formula::{Input, Num, Plain, Reading, Tape};
//!
//! /// What is left of a mass.
//! fn left<R: Reading>(r: R, mass: f64, lost: f64) -> R::N {
//!     let mass = r.input("mass", mass, "g", || Input::chosen("Mass", "80 g".into()));
//!     let lost = r.input("part lost", lost, "", || Input::chosen("Part lost", "25 %".into()));
//!     mass * (R::N::from(1.0) - lost)
//! }
//! assert_eq!(left(Plain, 80.0, 0.25), 60.0);
//! let tape = Tape::default();
//! let told = left(&tape, 80.0, 0.25).derivation(&|_| None);
//! assert_eq!((told.formula.as_str(), told.numbers.as_str()), ("mass × (1 − part lost)", "80 g × (1 − 0.25)"));
//! ```

mod tape;
mod tell;

pub use crate::num::Num;
pub use tape::{Place, Tape, Term};
pub use tell::{Derivation, Known, grams_text, lower_case, number_text};

/// The source of what a person chose.
pub const THE_DESIGN: &str = "the design";

use crate::trust::Trust;

/// A figure that a number rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What it is.
    pub name: String,
    /// The figure, with its unit.
    pub value: String,
    /// Where it comes from.
    pub source: String,
    /// How far the source was seen; `None` for what the design says or what is worked out.
    pub trust: Option<Trust>,
}

impl Input {
    /// What the design says.
    pub fn chosen(name: &str, value: String) -> Self {
        Self { name: name.into(), value, source: THE_DESIGN.into(), trust: None }
    }

    /// What is worked out elsewhere; `how` says how.
    pub fn worked_out(name: &str, value: String, how: &str) -> Self {
        Self { name: name.into(), value, source: how.into(), trust: None }
    }

    /// A figure with a source.
    pub fn sourced(name: &str, value: String, source: &str, trust: Trust) -> Self {
        Self { name: name.into(), value, source: source.into(), trust: Some(trust) }
    }

    /// The source with how far it was seen, said once: many a source says it of itself.
    pub fn source_with_trust(&self) -> String {
        let trust = self.trust.map(Trust::words).filter(|words| !self.source.contains(words));
        trust.map_or_else(|| self.source.clone(), |words| format!("{} ({words})", self.source))
    }
}

/// How a formula is read: for its result alone, or with the way there.
pub trait Reading: Copy {
    /// The numbers of this reading.
    type N: Num;

    /// A figure from outside: of the design, a table, a correlation. `about` is asked only where
    /// it is told.
    fn input(self, symbol: &'static str, value: f64, unit: &'static str, about: impl FnOnce() -> Input) -> Self::N {
        self.inputs(symbol, value, unit, || vec![about()])
    }

    /// A figure that several others make up.
    fn inputs(
        self,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        about: impl FnOnce() -> Vec<Input>,
    ) -> Self::N;

    /// A number that stands in the formula itself, as a molar mass; told by its value, so that it
    /// cannot be told as another one.
    fn constant(self, value: f64) -> Self::N;

    /// Gives a step a name: where others rest on it the formula ends there, and it is an input of
    /// the title and the origin that `about` gives.
    fn named(
        self,
        symbol: &'static str,
        unit: &'static str,
        step: Self::N,
        about: impl FnOnce() -> (String, String),
    ) -> Self::N;

    /// What no formula gives at once: the `value` at which `residual` is nothing. `condition` says
    /// so in words.
    fn solved(
        self,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        condition: &'static str,
        residual: impl FnOnce(Self::N) -> Self::N,
    ) -> Self::N;

    /// A sum over lines of one kind.
    fn sum(self, terms: impl IntoIterator<Item = Self::N>) -> Self::N {
        let mut sum = Self::N::from(0.0);
        for term in terms {
            sum += term;
        }
        sum
    }
}

/// Only the result is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plain;

impl Reading for Plain {
    type N = f64;

    #[inline]
    fn inputs(self, _: &'static str, value: f64, _: &'static str, _: impl FnOnce() -> Vec<Input>) -> f64 {
        value
    }
    #[inline]
    fn constant(self, value: f64) -> f64 {
        value
    }
    #[inline]
    fn named(self, _: &'static str, _: &'static str, step: f64, _: impl FnOnce() -> (String, String)) -> f64 {
        step
    }
    #[inline]
    fn solved(self, _: &'static str, value: f64, _: &'static str, _: &'static str, _: impl FnOnce(f64) -> f64) -> f64 {
        value
    }
}
