//! Two to four designs side by side: rows of numbers, each with its difference to the first.

mod rows;
mod subject;
#[cfg(test)]
mod tests;

pub use rows::compare;
pub(crate) use rows::row_of;
pub use subject::Subject;

use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::estimates::Estimate;
use crate::number::{fixed, rounded, signed};
use crate::quantity;
use crate::units::Measures;

/// The most designs that are compared at a time.
pub const MOST_SIDES: usize = 4;

/// One of the designs that are compared.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The design.
    pub design: &'a Design,
    /// Its numbers.
    pub evaluation: &'a Evaluation,
}

impl Side<'_> {
    /// The design's name in one line, or words for none.
    pub fn name(&self) -> String {
        let name = in_one_line(self.design.name.trim());
        if name.is_empty() { "Unnamed design".into() } else { name }
    }
}

/// The letter of a column: A, B, C, D.
pub fn letter(column: usize) -> char {
    char::from(b'A'.saturating_add(u8::try_from(column).unwrap_or(u8::MAX)))
}

/// `text` without what would break the line it stands in.
pub(crate) fn in_one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// What a row's numbers are counted in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unit {
    /// No unit: a score or a count.
    Bare,
    /// Percent.
    Percent,
    /// A saponification value, mg KOH/g.
    Saponification,
    /// An iodine value, g iodine/100 g.
    Iodine,
    /// Money, in the currency of each design.
    Money(Vec<String>),
    /// Another unit, by its sign.
    Other(String),
}

impl Unit {
    /// The unit of a quantity as a person reads it; money in the `currencies` of the designs.
    pub(crate) fn of<'a>(unit: &quantity::Unit, measures: Measures, currencies: impl Iterator<Item = &'a str>) -> Self {
        match unit {
            quantity::Unit::Bare | quantity::Unit::Count | quantity::Unit::Score | quantity::Unit::CoarseScore => {
                Self::Bare
            }
            quantity::Unit::Percent | quantity::Unit::Chance | quantity::Unit::Part => Self::Percent,
            quantity::Unit::Saponification => Self::Saponification,
            quantity::Unit::Iodine => Self::Iodine,
            quantity::Unit::Money(_) => Self::Money(currencies.map(str::to_owned).collect()),
            quantity::Unit::Points
            | quantity::Unit::Grams
            | quantity::Unit::MilligramsPerKilogram
            | quantity::Unit::Millilitres
            | quantity::Unit::Celsius
            | quantity::Unit::Millimetres
            | quantity::Unit::GramsPerMillilitre
            | quantity::Unit::Minutes
            | quantity::Unit::Days
            | quantity::Unit::Packs => Self::Other(unit.sign_in(measures).into()),
        }
    }

    /// Its sign in `column`, as it stands behind a number; empty for a bare one.
    pub fn sign(&self, column: usize) -> &str {
        match self {
            Self::Bare => "",
            Self::Percent => "%",
            Self::Saponification => "mg/g",
            Self::Iodine => "g/100 g",
            Self::Other(sign) => sign,
            Self::Money(currencies) => currencies.get(column).map_or("", String::as_str),
        }
    }
}

/// What it means that a design has no number in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// The material is not in the design: in a difference it counts as nothing.
    Absent,
    /// The number cannot be computed.
    Unknown,
    /// Prices are missing.
    Unpriced,
}

impl Missing {
    /// What stands in place of the number.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Absent => "–",
            Self::Unknown => "not known",
            Self::Unpriced => "not priced",
        }
    }
}

/// One number of every design.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its place in the JSON report, as `batch.naoh_g` or `fats.coconut.share_pct`.
    pub key: String,
    /// Its name.
    pub name: String,
    /// What it is the number of.
    pub subject: Subject,
    /// Its unit.
    pub unit: Unit,
    /// Decimals that are shown.
    pub decimals: usize,
    /// The number of each design in that unit, unrounded.
    pub values: Vec<Option<f64>>,
    /// What `None` means.
    pub missing: Missing,
}

impl Row {
    fn with_sign(&self, number: &str, column: usize) -> String {
        let sign = self.unit.sign(column);
        if sign.is_empty() { number.to_owned() } else { format!("{number} {sign}") }
    }

    /// The number in `column` as it is shown, with its unit. A percentage above zero is never
    /// shown as zero.
    pub fn text(&self, column: usize) -> String {
        let Some(value) = self.values.get(column).copied().flatten() else { return self.missing.words().into() };
        let number = match self.subject {
            Subject::Estimate(estimate) => estimate.shown(value),
            _ => fixed(value, self.decimals),
        };
        if self.unit == Unit::Percent && value > 0.0 && rounded(value, self.decimals) <= 0.0 {
            let least = 10_f64.powi(-i32::try_from(self.decimals).unwrap_or(0));
            return self.with_sign(&format!("< {}", fixed(least, self.decimals)), column);
        }
        self.with_sign(&number, column)
    }

    /// `value` as it is shown, as a number.
    pub(crate) fn rounded(&self, value: f64) -> f64 {
        match self.subject {
            Subject::Estimate(estimate) if estimate.is_coarse() => estimate.rounded(value),
            _ => rounded(value, self.decimals),
        }
    }

    /// The number in `column` as it counts in a difference, unrounded: what is absent is nothing.
    pub(crate) fn counted(&self, column: usize) -> Option<f64> {
        self.values.get(column)?.or((self.missing == Missing::Absent).then_some(0.0))
    }

    /// How far the number in `column` lies above that of the first design, on the numbers as
    /// shown, so that it never contradicts them. `None` for the first design itself, where either
    /// is not known, and between two currencies.
    pub fn difference(&self, column: usize) -> Option<f64> {
        if column == 0 || [0, column].iter().all(|c| self.values.get(*c).copied().flatten().is_none()) {
            return None;
        }
        if matches!(&self.unit, Unit::Money(signs) if signs.first() != signs.get(column)) {
            return None;
        }
        let (first, other) = (self.counted(0)?, self.counted(column)?);
        let shown = self.rounded(other) - self.rounded(first);
        Some(rounded(shown, self.decimals))
    }

    /// The difference with its sign: "+3.0", "same", or nothing where there is none.
    pub fn difference_text(&self, column: usize) -> String {
        match self.difference(column) {
            None => String::new(),
            Some(difference) if difference.abs() <= 0.0 => "same".into(),
            Some(difference) => signed(difference, self.decimals),
        }
    }
}

impl Row {
    /// Whether a score in `column` is too near to that of the first design for a word of more or less; not where they
    /// are the same.
    pub fn is_about_same(&self, column: usize) -> bool {
        let Subject::Estimate(estimate) = self.subject else { return false };
        let differs = self.difference(column).is_some_and(|by| by.abs() > 0.0);
        let both = self.counted(0).zip(self.counted(column));
        differs && both.is_some_and(|(first, other)| estimate.is_about_same(first, other))
    }
}

/// Rows that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The section of the JSON report.
    pub key: &'static str,
    /// Its heading.
    pub name: &'static str,
    /// Its rows; never none.
    pub rows: Vec<Row>,
}

/// How far `estimate` of the second lies above that of the first, on the numbers shown; nothing where coarse ones are
/// about the same.
pub fn estimate_difference(estimate: Estimate, a: &Evaluation, b: &Evaluation) -> Option<f64> {
    let (a, b) = (a.estimate(estimate)?.value, b.estimate(estimate)?.value);
    let is_edge = estimate.is_coarse() && estimate.is_about_same(a, b);
    Some(if is_edge { 0.0 } else { estimate.rounded(b) - estimate.rounded(a) })
}
