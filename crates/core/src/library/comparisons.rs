//! Published comparisons of soaps, and how often a score puts two soaps in the order that the source saw.
//!
//! A *series* is one set of soaps that a source compares with each other in one property. Of every two that it tells
//! apart the scores either see the same order, or the other, or are equal, which counts half. The counts say how far
//! a score was ever right; they are counted with the weights and profiles of today.

use crate::library::acids::{AcidId, Acids};
use crate::library::estimates::{Estimate, Weights};
use crate::library::fats::Fat;
use crate::units::Interval;
use serde::Deserialize;
use std::sync::Arc;

/// How a source compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Evidence {
    /// It measured soaps.
    Measured,
    /// It tells in words which is more, as handbooks do.
    Worded,
    /// It measured something that stands for it: the fat, the acid.
    Proxy,
}

/// What was compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Property {
    /// How firm the soaps are.
    Hardness,
    /// How readily they dissolve.
    Wear,
    /// How much they foam.
    LatherVolume,
    /// How long the foam stands.
    LatherPersistence,
    /// How they irritate skin.
    Harshness,
    /// How well they wash.
    Washing,
    /// How soon they, or their fats, turn.
    Keeping,
}

/// One soap of a series.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    source: String,
    evidence: Evidence,
    property: Property,
    series: String,
    /// Its fatty acids, as parts of their sum.
    acids: Vec<(AcidId, f64)>,
    /// Where the source puts it; more is more of the property.
    score: f64,
}

/// How many pairs of soaps were compared, and how many of them a score orders as the source did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    /// Twice those that are right; equal scores count half.
    halves: u32,
    /// All pairs.
    pub pairs: u32,
}

impl Count {
    /// Those that are right, rounded down.
    pub const fn right(self) -> u32 {
        self.halves / 2
    }
}

impl std::fmt::Display for Count {
    /// "44 of 46".
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} of {}", self.right(), self.pairs)
    }
}

/// A table of comparisons that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ComparisonsError {
    /// The text is not the CSV it should be.
    #[error("comparisons.csv: {0}")]
    Csv(#[from] csv::Error),
    /// A soap whose fats or acids are not known.
    #[error("comparisons.csv: {series}: “{soap}” is no soap of fats with a profile, nor of an acid")]
    Soap {
        /// The series.
        series: String,
        /// What stands there.
        soap: String,
    },
}

#[derive(Deserialize)]
struct Written {
    source: String,
    evidence: Evidence,
    property: Property,
    series: String,
    soap: String,
    score: f64,
}

/// The acids of `palm 70;palm_kernel 30` or of `acid 12:0`, as parts of their sum.
fn acids_of(soap: &str, fats: &[Arc<Fat>], acids: &Acids) -> Option<Vec<(AcidId, f64)>> {
    if let Some(acid) = soap.strip_prefix("acid ") {
        return Some(vec![(acids.find(acid)?, 1.0)]);
    }
    let mut parts = Vec::new();
    for part in soap.split(';') {
        let (fat, percent) = part.trim().rsplit_once(' ')?;
        let percent: f64 = percent.parse().ok()?;
        let profile = fats.iter().find(|f| f.id.as_str() == fat)?.profile();
        let sum: f64 = profile.iter().map(|e| e.typical).sum();
        if sum <= 0.0 {
            return None;
        }
        parts.extend(profile.iter().map(|e| (e.acid, percent * e.typical / sum)));
    }
    let all: f64 = parts.iter().map(|p| p.1).sum();
    (all > 0.0).then(|| parts.into_iter().map(|(acid, part)| (acid, part / all)).collect())
}

/// All comparisons.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparisons(Vec<Row>);

impl Comparisons {
    /// Parses `comparisons.csv`.
    ///
    /// # Errors
    /// [`ComparisonsError`], naming the series.
    pub fn parse(text: &str, fats: &[Arc<Fat>], acids: &Acids) -> Result<Self, ComparisonsError> {
        let mut rows = Vec::new();
        for row in csv::Reader::from_reader(text.as_bytes()).deserialize() {
            let Written { source, evidence, property, series, soap, score } = row?;
            let Some(acids) = acids_of(&soap, fats, acids) else {
                return Err(ComparisonsError::Soap { series, soap });
            };
            rows.push(Row { source, evidence, property, series, acids, score });
        }
        Ok(Self(rows))
    }

    /// The ids of the sources.
    pub fn sources(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|row| row.source.as_str())
    }

    /// How often `estimate`, by `weights`, sees the order that sources saw in `property`, or the order turned round
    /// where `less` of it is meant; of one kind of `evidence` or of all.
    pub fn count(
        &self,
        (estimate, weights): (Estimate, &Weights),
        (property, less): (Property, bool),
        evidence: Option<Evidence>,
    ) -> Count {
        let is_asked = |row: &&Row| row.property == property && evidence.is_none_or(|e| e == row.evidence);
        let rows: Vec<(&Row, f64)> =
            self.0.iter().filter(is_asked).map(|row| (row, score(row, estimate, weights))).collect();
        let mut count = Count::default();
        for (i, (a, of_a)) in rows.iter().enumerate() {
            for (b, of_b) in &rows[i + 1..] {
                let seen = if less { b.score - a.score } else { a.score - b.score };
                if a.series != b.series || seen.abs() < TOLD_APART {
                    continue;
                }
                count.pairs += 1;
                let scored = of_a - of_b;
                count.halves += match scored.abs() < TOLD_APART {
                    true => 1,
                    false if (scored > 0.0) == (seen > 0.0) => 2,
                    false => 0,
                };
            }
        }
        count
    }

    /// Between which scores those soaps lie that lathered most in each measured series of at least three.
    pub fn best_lather(&self, weights: &Weights) -> Option<Interval> {
        let measured: Vec<&Row> = self
            .0
            .iter()
            .filter(|row| row.property == Property::LatherVolume && row.evidence == Evidence::Measured)
            .collect();
        let is_best = |row: &&&Row| {
            let of_series: Vec<&&Row> = measured.iter().filter(|r| r.series == row.series).collect();
            of_series.len() >= LEAST_SERIES && of_series.iter().all(|r| r.score <= row.score)
        };
        Interval::hull(measured.iter().filter(is_best).map(|row| score(row, Estimate::LatherVolume, weights)))
    }
}

/// Numbers nearer to each other than this are equal.
const TOLD_APART: f64 = 1e-9;

/// Fewer soaps have no middle.
const LEAST_SERIES: usize = 3;

fn score(row: &Row, estimate: Estimate, weights: &Weights) -> f64 {
    row.acids.iter().map(|(acid, part)| part * weights.get(*acid, estimate)).sum()
}

/// What published comparisons say of one score.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    estimate: Estimate,
    all: Count,
    measured: Count,
    worded: Count,
    /// Of cleansing: read as washing power.
    washing: Count,
    /// Of lather volume: where the best of measured series lie.
    best: Option<Interval>,
}

impl Record {
    /// What `comparisons` say of `estimate` with these `weights`.
    pub fn of(estimate: Estimate, comparisons: &Comparisons, weights: &Weights) -> Self {
        let asked = match estimate {
            Estimate::Hardness => (Property::Hardness, false),
            Estimate::Cleansing => (Property::Harshness, false),
            Estimate::Conditioning => (Property::Harshness, true),
            Estimate::LatherVolume => (Property::LatherVolume, false),
            Estimate::LatherPersistence => (Property::LatherPersistence, false),
            Estimate::Wear => (Property::Wear, false),
            Estimate::Keeping => (Property::Keeping, false),
        };
        let count = |evidence| comparisons.count((estimate, weights), asked, evidence);
        Self {
            estimate,
            all: count(None),
            measured: count(Some(Evidence::Measured)),
            worded: count(Some(Evidence::Worded)),
            washing: comparisons.count((estimate, weights), (Property::Washing, false), None),
            best: (estimate == Estimate::LatherVolume).then(|| comparisons.best_lather(weights)).flatten(),
        }
    }

    /// Those pairs that stand for the score in a word: of lather volume the measured ones, which are the worst.
    pub const fn count(&self) -> Count {
        match self.estimate {
            Estimate::LatherVolume => self.measured,
            Estimate::LatherPersistence => self.worded,
            Estimate::Hardness | Estimate::Cleansing | Estimate::Conditioning | Estimate::Wear | Estimate::Keeping => {
                self.all
            }
        }
    }

    /// Where the soaps lie that lathered best in measured series; of lather volume only.
    pub const fn best(&self) -> Option<Interval> {
        self.best
    }

    /// The record in a sentence or two.
    pub fn words(&self) -> String {
        let Self { all, measured, worded, washing, .. } = *self;
        match self.estimate {
            Estimate::Hardness => {
                format!(
                    "Right in {all} published comparisons; {} were measured, all palm against palm kernel.",
                    measured.pairs
                )
            }
            Estimate::Cleansing => format!(
                "Right in {all} comparisons on skin, mostly of single acids. Read as washing power it is right in {washing}: \
                 it never means that a bar cleans better."
            ),
            Estimate::Conditioning => format!("Right in {all} skin comparisons, mostly of single acids."),
            Estimate::LatherVolume => format!(
                "Agrees with handbooks in {worded}, and is right in only {measured} measured blends: mixtures foam better \
                 than this sum says. More is not better."
            ),
            Estimate::LatherPersistence => {
                let measured = match (measured.right(), measured.pairs) {
                    (1, 1) => "measured once, right".to_owned(),
                    _ => format!("measured: right in {measured}"),
                };
                format!("Agrees with handbooks in {worded}; {measured}.")
            }
            Estimate::Wear => format!(
                "Right in {all} published comparisons; {} were measured, mostly on single soaps. Not for potassium lye.",
                measured.pairs
            ),
            Estimate::Keeping => format!(
                "Right in {all}; {} in soap, the rest in the fats. Antioxidants can turn it round.",
                measured.pairs
            ),
        }
    }
}
