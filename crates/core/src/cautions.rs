//! What a maker must be told: why, and what to do.
//!
//! A Stop means danger or impossibility. While one stands, nothing that hands a bar on is given out: no text
//! for a label, no price, no day of sale. What gives those out asks for a [`NoStop`], which a design with a
//! Stop cannot have.

mod acid_record;
mod additions;
mod bar;
mod basis;
mod blend;
mod certificate;
mod cost;
mod lye;
mod process;
mod purity;
mod remedies;
mod scents;
mod size;
mod stops;

pub use lye::usual_heat;
pub use process::is_cut_late;
pub use stops::{Doing, NoStop, Stopped, in_words, stops};

use crate::design::Design;
use crate::design::edit::Edit;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::quantity::Unit;
use crate::units::Measures;
use serde::Serialize;

/// How much a caution weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Good to know.
    Note,
    /// Mind this.
    Care,
    /// Do not make it like this.
    Stop,
}

impl Level {
    /// The word on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Note => "Note",
            Self::Care => "Care",
            Self::Stop => "Stop",
        }
    }
}

/// A remedy that the program can carry out.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// What the button says.
    pub label: String,
    /// What it does.
    pub edit: Edit,
}

/// A message with a level, a why and a what-to-do.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Stable name for scripts.
    pub code: &'static str,
    /// How much it weighs.
    pub level: Level,
    /// What is the case and why it matters.
    pub why: String,
    /// What to do.
    pub advice: String,
    /// One-click remedy, where it is mechanical.
    pub remedy: Option<Remedy>,
}

impl Caution {
    /// A caution without a one-click remedy.
    pub(crate) fn new(code: &'static str, level: Level, why: impl Into<String>, advice: impl Into<String>) -> Self {
        Self { code, level, why: why.into(), advice: advice.into(), remedy: None }
    }

    /// The same with a remedy.
    pub(crate) fn with_remedy(mut self, label: impl Into<String>, edit: Edit) -> Self {
        self.remedy = Some(Remedy { label: label.into(), edit });
        self
    }

    /// Why and what to do, in one run of sentences.
    pub fn text(&self) -> String {
        format!("{} {}", self.why, self.advice)
    }

    /// The same with its level in front, as it stands at the top of what is made of the design.
    pub fn line(&self) -> String {
        format!("{}: {}", self.level.word().to_uppercase(), self.text())
    }

    /// Whether it is to be minded at the bench; an offer about the design is not, nor is its cost.
    pub fn is_for_the_bench(&self) -> bool {
        ![basis::OFFER, cost::MISSING].contains(&self.code)
    }

    /// Whether it says that the bar is or may be lye-heavy by the design's own figures.
    pub fn is_lye_heavy(&self) -> bool {
        lye::IS_HEAVY.contains(&self.code)
    }

    /// Whether labels, prices and days of sale are withheld while it stands.
    pub const fn blocks(&self) -> bool {
        match self.level {
            Level::Stop => true,
            Level::Care | Level::Note => false,
        }
    }
}

/// A temperature as a sentence has it, in whole degrees where it is one.
fn celsius(value: f64, measures: Measures) -> String {
    Unit::Celsius.short_in(value, 1, measures)
}

/// One that is worked out, in whole degrees.
fn about_celsius(value: f64, measures: Measures) -> String {
    Unit::Celsius.text_in(value, 0, measures)
}

/// From one to another.
fn celsius_to(from: f64, to: f64, measures: Measures) -> String {
    format!("{} to {}", Unit::Celsius.short_number_in(from, 1, measures), celsius(to, measures))
}

/// Names in a run of words, each once: "a, b and c".
fn listed(names: &[&str]) -> String {
    let mut each: Vec<&str> = Vec::new();
    for name in names {
        if !each.contains(name) {
            each.push(name);
        }
    }
    match each.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => each.concat(),
    }
}

/// All cautions about `design`, whose `evaluation` is given, worst first.
///
/// ```
/// use barwright_core::{Design, Library, cautions, evaluate};
/// let (library, nothing) = (Library::embedded()?, Design::default());
/// let cautions = cautions::of(&nothing, &evaluate(&nothing, &library), &library);
/// assert_eq!((cautions[0].code, cautions[0].level), ("no-fats", cautions::Level::Stop));
/// # Ok::<(), barwright_core::library::LibraryError>(())
/// ```
pub fn of(design: &Design, evaluation: &Evaluation, library: &Library) -> Vec<Caution> {
    read_in(design, evaluation, library, Measures::METRIC)
}

/// The same in the units of the person who reads them.
pub fn read_in(design: &Design, evaluation: &Evaluation, library: &Library, measures: Measures) -> Vec<Caution> {
    let mut cautions = all(design, evaluation, library, measures);
    remedies::keep_helpful(design, library, measures, &mut cautions);
    cautions
}

/// The codes of the Stops alone, as [`of`] has them; no remedy is weighed for it, which takes the most time.
pub fn stop_codes(design: &Design, evaluation: &Evaluation, library: &Library) -> Vec<&'static str> {
    let told = all(design, evaluation, library, Measures::METRIC);
    told.iter().filter(|caution| caution.blocks()).map(|caution| caution.code).collect()
}

/// All cautions with every remedy, whether it helps or not.
fn all(design: &Design, evaluation: &Evaluation, library: &Library, measures: Measures) -> Vec<Caution> {
    let mut cautions = Vec::new();
    blend::warn(design, library, evaluation, &mut cautions);
    size::warn(design, evaluation, &mut cautions);
    // Without fats there is no batch for the rest to speak of.
    if evaluation.masses.fats.0 > 0.0 {
        lye::warn(design, evaluation, measures, &mut cautions);
        purity::warn(design, evaluation, &mut cautions);
        certificate::warn(design, library, evaluation, &mut cautions);
        basis::warn(design, library, evaluation, measures, &mut cautions);
        process::warn(design, evaluation, library, measures, &mut cautions);
        additions::warn(design, evaluation, measures, &mut cautions);
        acid_record::warn(design, library, evaluation, &mut cautions);
        scents::warn(design, library, evaluation, measures, &mut cautions);
        cost::warn(design, evaluation, &mut cautions);
    }
    bar::warn(design, library, evaluation, measures, &mut cautions);
    if evaluation.cure.is_none() && !cautions.iter().any(Caution::blocks) {
        cautions.push(stops::nothing_to_make());
    }
    cautions.sort_by_key(|c| std::cmp::Reverse(c.level));
    cautions
}

/// What holds for every batch, whatever the design (common practice, no source).
pub const ALWAYS: [&str; 6] = [
    "Wear goggles, gloves and sleeves: lye burns skin and eyes.",
    "Add the alkali to the water, never water to the alkali, slowly and with fresh air.",
    "No aluminium: lye dissolves it and sets hydrogen free.",
    "Keep children and animals away until everything is washed up.",
    "Lye on skin: rinse with much running water at once. Lye in an eye: rinse for at least 20 minutes and get medical help.",
    "Local rules on handling lye and on selling soap come first; ask a licensed professional where they call for one.",
];
