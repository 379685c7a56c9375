//! What a Stop holds back.

use super::{Caution, Level};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;

/// The Stops among `cautions`, in their order.
pub fn stops(cautions: &[Caution]) -> Vec<&Caution> {
    cautions.iter().filter(|c| c.blocks()).collect()
}

/// What stands against a design: one Stop at the least.
#[derive(Debug, Clone, PartialEq)]
pub struct Stopped(Vec<Caution>);

impl Stopped {
    /// The Stops, in the order of the cautions.
    pub fn stops(&self) -> &[Caution] {
        &self.0
    }

    /// What is withheld meanwhile, in words.
    pub const WITHHELD: &str =
        "While a Stop stands there is no label text, no price and no day of sale: do not use, give or sell such bars.";

    pub(crate) fn nothing_to_make() -> Self {
        Self(vec![nothing_to_make()])
    }
}

impl std::fmt::Display for Stopped {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (i, stop) in self.0.iter().enumerate() {
            write!(f, "{}{}", if i > 0 { " " } else { "" }, stop.line())?;
        }
        Ok(())
    }
}

impl std::error::Error for Stopped {}

/// A design against which no Stop stands, with its numbers. This is the only way to a label's text and to a
/// price, so that neither can be given out past a Stop.
#[derive(Debug, Clone, Copy)]
pub struct Clear<'a> {
    design: &'a Design,
    evaluation: &'a Evaluation,
    library: &'a Library,
}

impl<'a> Clear<'a> {
    /// Asks whether any Stop stands against `design`, whose `evaluation` is given.
    ///
    /// # Errors
    /// [`Stopped`] with all that stand.
    ///
    /// ```
    /// use barwright_core::cautions::Clear;
    /// use barwright_core::{Design, Library, evaluate};
    /// let (library, nothing) = (Library::embedded()?, Design::default());
    /// let stopped = Clear::of(&nothing, &evaluate(&nothing, &library), &library).expect_err("no fats");
    /// assert_eq!(stopped.stops()[0].code, "no-fats");
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn of(design: &'a Design, evaluation: &'a Evaluation, library: &'a Library) -> Result<Self, Stopped> {
        let mut cautions = super::of(design, evaluation, library);
        cautions.retain(Caution::blocks);
        if cautions.is_empty() { Ok(Self { design, evaluation, library }) } else { Err(Stopped(cautions)) }
    }

    /// The design.
    pub const fn design(&self) -> &'a Design {
        self.design
    }

    /// Its numbers.
    pub const fn evaluation(&self) -> &'a Evaluation {
        self.evaluation
    }

    /// The library it was judged by.
    pub const fn library(&self) -> &'a Library {
        self.library
    }
}

/// There is no batch and nothing else says why.
pub(super) fn nothing_to_make() -> Caution {
    Caution::new("nothing-to-make", Level::Stop, "This design makes no bar.", "Give it fats and a size.")
}
