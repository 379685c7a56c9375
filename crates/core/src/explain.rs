//! Any number of a report explained: its formula, this design's numbers in it, where they come
//! from, how far to trust them, and what would change it most.

mod acids;
mod batch;
mod blend;
mod changes;
pub mod compare;
mod cost;
mod cure;
mod difference;
mod drivers;
mod figure;
mod find;
mod jug;
mod label;
mod levers;
mod margin;
mod mould;
mod part;
#[cfg(test)]
mod reader;
mod scents;
mod schedule;
mod spread;
mod sum;
mod sums;
#[cfg(test)]
mod tests;
mod volume;
mod water;
mod weights;

pub use difference::{compared, difference, shared_acids};
pub use schedule::{Start, step};

use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::material::Trust;
pub use figure::score_key;
use figure::{Entry, Figure};
pub use find::{KEYS as SEARCH_KEYS, OfFound, OfSearch, UnknownSearchKey, of_nudge, of_picked, of_search};
use std::fmt::Write as _;

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
    /// Whether it is the difference of two designs.
    pub is_difference: bool,
    /// What would change it most, the strongest first and at most four; of a difference what makes it.
    pub changes: Vec<Change>,
}

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
    /// No number has this key.
    #[error("no number is called “{key}”; choose one of {}", keys().collect::<Vec<_>>().join(", "))]
    UnknownKey {
        /// What was asked for.
        key: String,
    },
    /// There are such numbers, but not this one of this design.
    #[error("this design has no “{key}”: in {pattern}, {means}")]
    NotOfDesign {
        /// What was asked for.
        key: String,
        /// How such keys are built.
        pattern: &'static str,
        /// What the letters in it can be.
        means: String,
    },
    /// The number is not known for this design.
    #[error("{title}: not known, since {reason}")]
    NotKnown {
        /// What the number is.
        title: String,
        /// What it lacks.
        reason: String,
    },
}

/// The keys of all numbers that can be explained, in the order of the report, then those of lines,
/// in which N stands for a position that counts from 0 or for a material's id (of additions and scents with
/// the stage where they go in at several, `honey.AtTrace`), D for a day,
/// M for a margin in percent, E for a score and A for a fatty acid.
///
/// ```
/// assert!(barwright_core::explain::keys().any(|key| key == "batch.naoh_g"));
/// ```
pub fn keys() -> impl Iterator<Item = &'static str> {
    let of_blend =
        spread::KEYS.into_iter().chain([acids::KEY]).chain(drivers::KEYS).chain(part::KEYS).chain(sums::KEYS);
    let of_bars = cure::KEYS.into_iter().chain(cost::KEYS).chain(label::KEYS).chain(scents::KEYS);
    let patterns = figure::OF_LINES.into_iter().chain(of_blend).chain(of_bars);
    figure::ENTRIES.iter().map(|entry| entry.key.as_ref()).chain(patterns)
}

/// What stands for more than itself in [`keys`], and for what.
const LETTERS: [(&str, &str); 4] = [
    ("D", "a day of cure, 0 to 3650"),
    ("M", "a margin in percent, 0 or more and under 100"),
    ("A", "a fatty acid that the blend holds, as 18:1"),
    ("E", "a score, as hardness"),
];
/// What N stands for, in lists of materials and in others.
const PLACES: [&str; 2] = [
    "a position from 0 to the last that there is, or the id of a material",
    "a position from 0 to the last that there is",
];

/// What is wrong with a key that names no number.
fn unknown(key: &str) -> WhyError {
    let fits = |pattern: &&'static str| {
        let (mut parts, mut given) = (pattern.split('.').peekable(), key);
        while let Some(part) = parts.next() {
            if part.len() == 1 && part.bytes().all(|b| b.is_ascii_uppercase()) {
                // A letter stands for anything up to the next fixed part, a day may have decimals.
                let next = parts.peek().map(|part| format!(".{part}"));
                let end = next.map_or(Some(given.len()), |next| given.find(&next));
                let Some(end) = end.filter(|end| *end > 0) else { return false };
                given = &given[end..];
            } else {
                let Some(rest) = given.strip_prefix(part) else { return false };
                given = rest;
            }
            given = given.strip_prefix('.').unwrap_or(given);
        }
        given.is_empty()
    };
    let letters = |pattern: &'static str| {
        let is_of_materials = ["fats.", "additions.", "scents.", "cost.lines."].iter().any(|l| pattern.starts_with(l));
        let place = ("N", PLACES[usize::from(!is_of_materials)]);
        let stands_in = move |(letter, _): &(&str, &str)| pattern.split('.').any(|part| part == *letter);
        LETTERS.into_iter().chain([place]).filter(stands_in)
    };
    // The longest that fits: what stands at the end of a key may hold dots.
    let fitting = keys().filter(|pattern| letters(pattern).next().is_some()).filter(fits);
    let Some(pattern) = fitting.max_by_key(|pattern| pattern.split('.').count()) else {
        return WhyError::UnknownKey { key: key.into() };
    };
    let means = letters(pattern).map(|(letter, means)| format!("{letter} is {means}"));
    let means = means.collect::<Vec<_>>().join("; ");
    WhyError::NotOfDesign { key: key.into(), pattern, means }
}

/// Explains the number `key` of `design`, whose `evaluation` is given.
///
/// # Errors
/// [`WhyError`] if there is no such number or it is not known for this design.
///
/// ```
/// use barwright_core::explain::why;
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let design = Design::default();
/// let why = why("batch.naoh_g", &design, &evaluate(&design, &library), &library)?;
/// assert_eq!(why.value, "0.0 g");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn why(key: &str, design: &Design, evaluation: &Evaluation, library: &Library) -> Result<Why, WhyError> {
    let about = About { design, evaluation, library };
    let entry = Entry::find(key, about).ok_or_else(|| unknown(key))?;
    let not_known = |reason| WhyError::NotKnown { title: entry.title.to_string(), reason };
    let value = entry.figure.value(about).map_err(not_known)?;
    let mut parts = about.parts(&entry).map_err(not_known)?;
    if evaluation.size_error.is_some() {
        parts.trust.push_str(" The size asked for cannot be reached, so this is a batch without fats.");
    }
    let shown = entry.shown(value);
    // “< 0.01 %” carries its own sign.
    let equals = if shown.starts_with('<') { " " } else { " = " };
    Ok(Why {
        key: entry.key.to_string(),
        title: entry.title.to_string(),
        with_numbers: format!("{}{equals}{shown}", parts.numbers),
        value: shown,
        formula: parts.formula.into(),
        inputs: parts.inputs,
        trust: parts.trust,
        is_difference: false,
        changes: changes::strongest(&entry, design, library),
    })
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

/// What an explanation is about.
#[derive(Clone, Copy)]
struct About<'a> {
    design: &'a Design,
    evaluation: &'a Evaluation,
    library: &'a Library,
}

/// What differs from number to number.
struct Parts {
    formula: &'static str,
    /// What stands before the last " = ".
    numbers: String,
    inputs: Vec<Input>,
    trust: String,
}

impl About<'_> {
    /// The explanation of a number that is known; the error is a reason why it is not.
    fn parts(self, entry: &Entry) -> Result<Parts, String> {
        Ok(match entry.figure {
            Figure::Shares => self.shares(),
            Figure::AllFats => self.all_fats(),
            Figure::FatMass(index) => self.fat_mass(index),
            Figure::AdditionMass(index) => {
                let line = &self.design.additions[index];
                self.amount(&line.addition.name, line.amount)
            }
            Figure::ScentMass(index) => {
                let line = &self.design.scents[index];
                self.amount(&line.scent.name, line.amount)
            }
            Figure::WaterRow(source) => self.water_row(source),
            Figure::WaterOfAddition(index) => self.water_of_addition(index),
            Figure::BarMm(index) => return self.bar_mm(index),
            Figure::Share(index) => self.share(index),
            Figure::Superfat => self.planned_superfat(),
            Figure::Bars => self.bars(),
            Figure::MouldMl => return self.mould_ml(),
            Figure::SuperfatLow => return self.superfat_low(),
            Figure::SuperfatP05 => return self.superfat_quantile(0.05),
            Figure::SuperfatP95 => return self.superfat_quantile(0.95),
            Figure::SuperfatHigh => return self.superfat_high(),
            Figure::Naoh => self.naoh(),
            Figure::Koh => self.koh(),
            Figure::AlkaliForAcids => self.alkali_for_acids(),
            Figure::WaterToWeigh => self.water_to_weigh(),
            Figure::WaterTotal => self.water_total(),
            Figure::Frozen => self.frozen(),
            Figure::LyeConcentration => self.lye_concentration(),
            Figure::FreeFat => self.free_fat(),
            Figure::Batter => self.batter(),
            Figure::BatterMl => self.batter_ml(),
            Figure::BarFresh => self.bar_fresh(),
            Figure::BarCured => return self.bar_on(self.design.process.cure_days),
            Figure::Glycerol => self.glycerol(),
            Figure::JugWater => self.water_in_jug(),
            Figure::JugLeastWater => self.jug_least_water(),
            Figure::JugVolume => return self.jug_volume(),
            Figure::JugConcentration => self.jug_concentration(),
            Figure::Peak => return self.peak(),
            Figure::CrystallisesBelow => return self.crystallises_below(),
            Figure::Density => self.density(),
            Figure::MinutesToMix => return self.minutes_to_mix(),
            Figure::Meeting => return self.meeting(),
            Figure::ChanceLyeHeavy => return self.chance_lye_heavy(),
            Figure::LeastSuperfat => return self.least_superfat(),
            Figure::Saponification => self.saponification(),
            Figure::SaponificationCalculated => self.saponification_calculated(),
            Figure::Iodine => self.iodine(),
            Figure::SaturatedPerUnsaturated => return self.saturated_per_unsaturated(),
            Figure::NearestSoap => return self.nearest_soap_differs(),
            Figure::Titre => return self.titre(),
            Figure::Tfm => self.tfm(),
            Figure::TfmCured => return self.tfm_on(self.design.process.cure_days),
            Figure::Score(estimate) => return self.score(estimate),
            Figure::Part(figure) => return figure.parts(self),
            Figure::Sum(figure) => return figure.parts(self),
            Figure::Cost(figure) => return figure.parts(self),
            Figure::Cure(figure) => return figure.parts(self),
            Figure::Label(figure) => return figure.parts(self),
            Figure::Scents(figure) => return figure.parts(self),
            Figure::Spread(figure) => return figure.parts(self),
            Figure::Driver(figure) => return figure.parts(self),
            Figure::Acid(acid) => self.acid(acid),
        })
    }
}

impl Input {
    /// The source with how far it was seen, said once: many a source says it of itself.
    pub fn source_with_trust(&self) -> String {
        let trust = self.trust.map(Trust::words).filter(|words| !self.source.contains(words));
        trust.map_or_else(|| self.source.clone(), |words| format!("{} ({words})", self.source))
    }

    /// What the design says.
    fn chosen(name: &str, value: String) -> Self {
        Self { name: name.into(), value, source: "the design".into(), trust: None }
    }

    /// What is worked out elsewhere; `how` says how.
    fn worked_out(name: &str, value: String, how: &str) -> Self {
        Self { name: name.into(), value, source: how.into(), trust: None }
    }
}
