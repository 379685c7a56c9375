//! Styles of bar, and the guideline ranges computed from their reference soaps.

use crate::formula::Plain;
use crate::library::acids::Acids;
use crate::library::composition::Composition;
use crate::library::estimates::{Estimate, Scores, Weights, with_free_fat};
use crate::library::fats::Fat;
use crate::trust::Trust;
use crate::units::{Fraction, Interval, Share};
use serde::Deserialize;
use std::sync::Arc;

/// One soap that shows where bars of a style lie.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceSoap {
    /// Its charge in words, "olive 72 coconut 28".
    pub name: String,
    /// Its fats with their shares.
    pub fats: Vec<(Arc<Fat>, Share)>,
    /// Where it is documented.
    pub source: String,
    /// How far that source was seen.
    pub trust: Trust,
    /// What it is made of.
    pub composition: Composition,
    /// Its scores without free fat.
    acids_alone: Scores,
}

impl ReferenceSoap {
    /// Its scores with so much `free_fat` of all fat.
    pub fn scores(&self, free_fat: Fraction) -> Scores {
        with_free_fat(Plain, self.acids_alone, self.composition.unsaponifiable, free_fat)
    }
}

/// A kind of bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Style {
    /// Name in files and on screen.
    pub name: String,
    /// Its reference soaps.
    pub references: Vec<ReferenceSoap>,
}

impl Style {
    /// Where the style's reference soaps lie when made with `free_fat` (of all fat),
    /// so that conditioning compares like with like.
    pub fn range(&self, estimate: Estimate, free_fat: Fraction) -> Option<Interval> {
        Interval::hull(self.references.iter().map(|r| r.scores(free_fat).get(estimate)))
    }

    /// The reference soap whose acids lie nearest, with its distance 0–1.
    pub fn nearest(&self, composition: &Composition) -> Option<(&ReferenceSoap, f64)> {
        self.references.iter().map(|r| (r, r.composition.distance(composition))).min_by(|(_, a), (_, b)| a.total_cmp(b))
    }
}

/// A table of styles that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum StylesError {
    /// The text is not the CSV it should be.
    #[error("styles.csv: {0}")]
    Csv(#[from] csv::Error),
    /// A reference soap names a fat that the library does not have.
    #[error("styles.csv: {soap}: no fat {fat} in fats.csv")]
    UnknownFat {
        /// The reference soap.
        soap: String,
        /// The fat.
        fat: String,
    },
    /// A reference soap whose shares are wrong.
    #[error("styles.csv: {0}: shares must lie in 0–100 and sum to 100, of fats with a profile")]
    Shares(String),
}

#[derive(Deserialize)]
struct StyleRow {
    style: String,
    reference_soap: String,
    fat: String,
    share_pct: f64,
    source: String,
    trust: Trust,
}

/// Parses `styles.csv`; styles and soaps keep the table's order.
///
/// # Errors
/// [`StylesError`], naming the soap.
pub fn parse(text: &str, fats: &[Arc<Fat>], acids: &Acids, weights: &Weights) -> Result<Vec<Style>, StylesError> {
    struct Draft {
        style: String,
        name: String,
        source: String,
        trust: Trust,
        fats: Vec<(Arc<Fat>, Share)>,
    }
    let mut drafts: Vec<Draft> = Vec::new();
    for row in csv::Reader::from_reader(text.as_bytes()).deserialize() {
        let StyleRow { style, reference_soap: name, fat, share_pct, source, trust } = row?;
        let Some(record) = fats.iter().find(|f| f.id.as_str() == fat) else {
            return Err(StylesError::UnknownFat { soap: name, fat });
        };
        let Ok(share) = Share::new(share_pct) else {
            return Err(StylesError::Shares(name));
        };
        let part = (Arc::clone(record), share);
        match drafts.iter_mut().find(|d| d.style == style && d.name == name) {
            Some(draft) => draft.fats.push(part),
            None => drafts.push(Draft { style, name, source, trust, fats: vec![part] }),
        }
    }
    let mut styles: Vec<Style> = Vec::new();
    for Draft { style, name, source, trust, fats } in drafts {
        let sum: f64 = fats.iter().map(|(_, s)| s.get()).sum();
        let composition = Composition::of(fats.iter().map(|(f, s)| (f.as_ref(), s.get())), acids);
        let Some(composition) = composition.filter(|_| (sum - 100.0).abs() < 1e-9) else {
            return Err(StylesError::Shares(name));
        };
        let acids_alone = weights.of_acids(Plain, &composition, acids);
        let soap = ReferenceSoap { name, fats, source, trust, composition, acids_alone };
        match styles.iter_mut().find(|s| s.name == style) {
            Some(known) => known.references.push(soap),
            None => styles.push(Style { name: style, references: vec![soap] }),
        }
    }
    Ok(styles)
}
