//! What a Stop holds back.

use super::{Caution, Level};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;

/// The Stops among `cautions`, in their order.
pub fn stops(cautions: &[Caution]) -> Vec<&Caution> {
    cautions.iter().filter(|c| c.blocks()).collect()
}

/// `stops` in one run of sentences, each as it stands everywhere.
pub fn in_words<'a>(stops: impl IntoIterator<Item = &'a Caution>) -> String {
    stops.into_iter().map(Caution::line).collect::<Vec<_>>().join(" ")
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
        f.write_str(&in_words(&self.0))
    }
}

impl std::error::Error for Stopped {}

/// A design against which no Stop stands, with its numbers. This is the only way to a label's text and to a
/// price, so that neither can be given out past a Stop.
#[derive(Debug, Clone, Copy)]
pub struct NoStop<'a> {
    design: &'a Design,
    evaluation: &'a Evaluation,
    library: &'a Library,
}

impl<'a> NoStop<'a> {
    /// Asks whether any Stop stands against `design`, whose `evaluation` is given.
    ///
    /// # Errors
    /// [`Stopped`] with all that stand.
    ///
    /// ```
    /// use barwright_core::cautions::NoStop;
    /// use barwright_core::{Design, Library, evaluate};
    /// let (library, nothing) = (Library::embedded()?, Design::default());
    /// let stopped = NoStop::of(&nothing, &evaluate(&nothing, &library), &library).expect_err("no fats");
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

/// What is done at the bench, as far as a Stop can stand against it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// The water is weighed into the jug.
    JugWater,
    /// The alkali goes into the jug.
    Alkali,
    /// The lye is brought to its temperature.
    Lye,
    /// The fats are brought to theirs.
    Fats,
    /// The scents go in.
    Scents,
    /// The mould goes into the oven.
    Oven,
}

impl Doing {
    /// How the codes of the Stops begin that stand against it.
    const fn codes(self) -> &'static [&'static str] {
        match self {
            Self::JugWater => &["jug-water"],
            Self::Alkali => &["lye-heavy", "rounding", "naoh-purity", "koh-", "sv-", "jug-", "acid", "shares"],
            Self::Lye => &["lye-hot"],
            Self::Fats => &["fats-hot", "lye-hot"],
            Self::Scents => &["scent"],
            Self::Oven => &["oven"],
        }
    }

    /// Whether `stop` stands against it.
    pub fn is_against(self, stop: &Caution) -> bool {
        self.codes().iter().any(|code| stop.code.starts_with(code))
    }

    /// `instruction` with those of `stops` before it in the same line that stand against it: none is given as if it
    /// were all right.
    pub fn minding(self, stops: &[&Caution], instruction: &str) -> String {
        let against = in_words(stops.iter().filter(|stop| self.is_against(stop)).copied());
        if against.is_empty() { instruction.into() } else { format!("{against} {instruction}") }
    }
}

/// There is no batch and nothing else says why.
pub(super) fn nothing_to_make() -> Caution {
    Caution::new("nothing-to-make", Level::Stop, "This design makes no bar.", "Give it fats and a size.")
}
