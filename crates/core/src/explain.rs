//! Any number of a report explained: its formula, this design's numbers in it, where they come
//! from, how far to trust them, and what would change it most.
//!
//! Nothing is told here of how a number is computed: its formula is read off the
//! [tape](crate::formula::Tape) on which the same code was recorded.

mod changes;
pub mod compare;
mod difference;
mod find;
mod levers;
mod ranges;
#[cfg(test)]
mod reader;
mod schedule;
mod since;
#[cfg(test)]
mod tests;

pub use difference::{compared, difference, shared_acids};
pub use schedule::{Start, step};
pub use since::{Since, since};

use crate::design::Design;
use crate::evaluate::{Evaluation, read};
use crate::formula::{Known, Tape, Term};
use crate::library::Library;
use crate::number::short;
use crate::quantities::{self, AcidPercent, AdditionMass, FatMass, LineId, ScentMass, UnknownKey};
use crate::quantity::Unit;
use crate::units::Interval;
use std::collections::HashMap;
use std::fmt::Write as _;

pub use crate::formula::Input;
pub use crate::quantities::{About, AnyQuantity};
pub use find::{of_nudge, of_picked, of_search};
pub use ranges::Ranges;

/// A number, explained.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// The number's place in the JSON report, `batch.naoh_g`.
    pub key: String,
    /// What it is, in words.
    pub title: String,
    /// The number as it is shown, with its unit.
    pub value: String,
    /// How it is worked out, in symbols.
    pub formula: String,
    /// The formula with this design's numbers put in; redone by hand it gives `value`.
    pub with_numbers: String,
    /// What goes into it.
    pub inputs: Vec<Input>,
    /// How far to trust it, in a sentence or two.
    pub trust: String,
    /// Of a saponification value: where those of the fats lie.
    pub ranges: Vec<Ranges>,
    /// Whether it is the difference of two designs.
    pub is_difference: bool,
    /// What would change it most, the strongest first and at most four; of a difference what makes it.
    pub changes: Vec<Change>,
}

/// A step that a person could take, with what it does to the number.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The step.
    pub what: String,
    /// By how much the number moves, with its sign and unit.
    pub effect: String,
}

/// Why a number is not explained.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WhyError {
    /// No number has this key, or not of this design.
    #[error(transparent)]
    UnknownKey(#[from] UnknownKey),
    /// The number is not known for this design.
    #[error("{title}: not known, since {reason}")]
    NotKnown {
        /// What the number is.
        title: String,
        /// What it lacks.
        reason: String,
    },
}

/// Explains the number `key` of `design`, whose `evaluation` is given.
///
/// # Errors
/// [`WhyError`] if there is no such number or it is not known for this design.
///
/// ```
/// use barwright_core::{Design, Library, evaluate, explain::why};
/// let library = Library::embedded()?;
/// let design = Design::default();
/// let why = why("batch.naoh_g", &design, &evaluate(&design, &library), &library)?;
/// assert_eq!(why.value, "0.0 g");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn why(key: &str, design: &Design, evaluation: &Evaluation, library: &Library) -> Result<Why, WhyError> {
    let about = About::new(design, evaluation, library);
    let quantity = quantities::find(key, about)?;
    let why = of_quantity(quantity.as_ref(), about)?;
    Ok(Why { key: key.into(), ..why })
}

/// Explains `quantity` of what `about` says.
///
/// # Errors
/// [`WhyError::NotKnown`] if it has no value.
pub fn of_quantity(quantity: &dyn AnyQuantity, about: About<'_>) -> Result<Why, WhyError> {
    let About { design, evaluation, library, .. } = about;
    // A formula is told in the units in which it is written.
    let about = About::new(design, evaluation, library);
    let title = quantity.title(about);
    let not_known = |reason: quantities::Unknown| WhyError::NotKnown { title: title.clone(), reason: reason.reason() };
    let value = quantity.value(about).map_err(not_known)?;
    // Once without words to see which steps the number rests on, and again for the words of those.
    let tape = Tape::silent();
    let recorded = read(&tape, design, library);
    let of_recorded = About::new(design, &recorded, library);
    let term = quantity.record(&tape, of_recorded).map_err(not_known)?;
    let known = known(&tape, of_recorded);
    let wording = Tape::wording(term.steps(&|step| known.contains_key(&step)));
    let recorded = read(&wording, design, library);
    quantity.record(&wording, About::new(design, &recorded, library)).map_err(not_known)?;
    tape.take_words(&wording);
    let derivation = term.derivation(&|step| {
        let quantity = known.get(&step)?;
        Some(Known {
            symbol: quantity.symbol(about),
            title: quantity.title(about),
            unit: quantity.unit(about).sign().into(),
            source: format!("worked out from this design: {}", quantity.key(about)),
        })
    });

    let unit = quantity.unit(about);
    let shown = unit.text(value, quantity.decimals(about));
    // “< 0.01 %” carries its own sign.
    let equals = if shown.starts_with('<') { " " } else { " = " };
    let numbers = match unit {
        Unit::Chance | Unit::Part => format!("100 × ({})", derivation.numbers),
        _ => derivation.numbers,
    };
    let mut inputs = derivation.inputs;
    inputs.extend(quantity.behind(about));
    let mut trust = quantity.trust(about);
    if evaluation.size_error.is_some() {
        trust.push_str(" The size asked for cannot be reached, so this is a batch without fats.");
    }
    Ok(Why {
        key: quantity.key(about),
        title,
        with_numbers: format!("{numbers}{equals}{shown}"),
        value: shown,
        formula: derivation.formula,
        inputs,
        trust,
        ranges: if unit == Unit::Saponification { ranges::of_fats(&design.blend) } else { Vec::new() },
        is_difference: false,
        changes: changes::strongest(quantity, design, library),
    })
}

/// What on the tape is a quantity of its own, by its step: there a formula that rests on it ends.
fn known<'t>(tape: &'t Tape, recorded: About<'_, Term<'t>>) -> HashMap<usize, Box<dyn AnyQuantity>> {
    let mut known: HashMap<usize, Box<dyn AnyQuantity>> = HashMap::new();
    let mut add = |quantity: Box<dyn AnyQuantity>| {
        if let Some(step) = quantity.record(tape, recorded).ok().and_then(Term::step) {
            known.entry(step).or_insert(quantity);
        }
    };
    let design = recorded.design;
    for (_, quantity) in [quantities::BATCH, quantities::JUG].into_iter().flatten() {
        add(Box::new(*quantity));
    }
    design.blend.lines().iter().for_each(|l| add(Box::new(FatMass(l.fat.id.clone()))));
    let additions = (0..design.additions.len()).filter_map(|i| LineId::of_addition(design, i));
    additions.for_each(|line| add(Box::new(AdditionMass(line))));
    let scents = (0..design.scents.len()).filter_map(|i| LineId::of_scent(design, i));
    scents.for_each(|line| add(Box::new(ScentMass(line))));
    recorded.library.acids.iter().for_each(|(id, _)| add(Box::new(AcidPercent(id))));
    known
}

impl Why {
    /// The explanation as text, for a terminal.
    pub fn text(&self) -> String {
        let mut out = String::new();
        // Writing to a String cannot fail.
        let _ = self.write(&mut out);
        out
    }

    /// The heading over what changes it.
    pub const fn heading_of_changes(&self) -> &'static str {
        if self.is_difference { "What makes the difference" } else { "What would change it most" }
    }

    /// What stands there if nothing does.
    pub const fn without_changes(&self) -> &'static str {
        if self.is_difference {
            "Nothing in which the designs differ matters to it."
        } else {
            "No single step that was tried changes it."
        }
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}: {}   ({})", self.title, self.value, self.key)?;
        writeln!(out, "\nFormula\n  {}", self.formula)?;
        writeln!(out, "\nWith the numbers put in\n  {}", self.with_numbers)?;
        if !self.inputs.is_empty() {
            writeln!(out, "\nWhat goes in")?;
        }
        for input in &self.inputs {
            writeln!(out, "  {}: {}\n      {}", input.name, input.value, input.source_with_trust())?;
        }
        for Ranges { of, all } in &self.ranges {
            let range = |(name, range): &(&str, Interval)| {
                format!("{name} {} to {}", short(range.min(), 2), short(range.max(), 2))
            };
            let all: Vec<String> = all.iter().map(range).collect();
            writeln!(out, "  {of}: {}", all.join(", "))?;
        }
        writeln!(out, "\nHow far to trust it\n  {}", self.trust)?;
        writeln!(out, "\n{}", self.heading_of_changes())?;
        for change in &self.changes {
            writeln!(out, "  {:<58} {}", change.what, change.effect)?;
        }
        if self.changes.is_empty() {
            writeln!(out, "  {}", self.without_changes())?;
        }
        Ok(())
    }
}

/// The terms with plus signs between them; "0" without any.
fn sum(terms: impl IntoIterator<Item = String>) -> String {
    let terms: Vec<String> = terms.into_iter().collect();
    if terms.is_empty() { "0".into() } else { terms.join(" + ") }
}
