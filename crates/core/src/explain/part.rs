//! What one fat brings to an acid or a score, and what a reference soap has.

use super::blend::in_words;
use super::figure::{Entry, Figure};
use super::sum::number;
use super::{About, Input, Parts};
use crate::chemistry::estimates::Estimate;
use crate::design::blend::FatLine;
use crate::evaluate::{acid_part, contributions};
use crate::library::acids::AcidId;
use crate::library::styles::ReferenceSoap;
use crate::number::{short, significant};

/// A number that stands beside another of the blend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PartFigure {
    /// What the fat at this position brings of an acid.
    Acid(AcidId, usize),
    /// What the fat at this position brings to a score.
    Score(Estimate, usize),
    /// The score of the style's reference soap at this position, made with the design's superfat.
    Soap(Estimate, usize),
}

/// The keys; A is an acid, E a score and N a position.
pub(super) const KEYS: [&str; 3] = ["acids_pct.A.fats.N", "estimates.E.fats.N", "estimates.E.soaps.N"];

const NO_PROFILE: &str = "the fat has no tabled profile of acids";

impl PartFigure {
    /// The number that `key` names.
    pub(super) fn find(key: &str, about: About<'_>) -> Option<Entry> {
        let (whole, index) = key.rsplit_once('.')?;
        let (whole, of) = whole.rsplit_once('.')?;
        let index: usize = index.parse().ok()?;
        let entry = |figure, title, unit, decimals| {
            Some(Entry::of_design(Figure::Part(figure), key.into(), title, unit, decimals))
        };
        let fat = || about.design.blend.lines().get(index).map(|l| l.fat.name.as_str());
        if let Some(acid) = whole.strip_prefix("acids_pct.").filter(|_| of == "fats") {
            let id = about.library.acids.find(acid)?;
            let title = format!("{} by {}", in_words(about.library.acids.get(id)), fat()?);
            return entry(Self::Acid(id, index), title, "%", 1);
        }
        let estimate = Estimate::ALL.into_iter().find(|e| super::figure::score_key(*e) == whole)?;
        match of {
            "fats" => {
                let title = format!("{} by {}", estimate.name(), fat()?);
                entry(Self::Score(estimate, index), title, "", estimate.decimals() + 1)
            }
            "soaps" => {
                let soap = about.reference(index).ok()?;
                let title = format!("{} of the reference soap {}", estimate.name(), soap.name);
                entry(Self::Soap(estimate, index), title, "", estimate.decimals())
            }
            _ => None,
        }
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let blend = &about.design.blend;
        match self {
            Self::Acid(acid, index) => about.line(index).map(|line| acid_part(blend, line, &[acid])),
            Self::Score(estimate, index) => {
                let parts = contributions(blend, estimate, about.library);
                parts.get(index).copied().flatten().ok_or_else(|| NO_PROFILE.into())
            }
            Self::Soap(estimate, index) => about.reference(index).map(|soap| about.score_of(soap, estimate)),
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        match self {
            Self::Acid(acid, index) => about.acid_by(acid, about.line(index)?),
            Self::Score(estimate, index) => about.score_by(estimate, index),
            Self::Soap(estimate, index) => Ok(about.soap_score(about.reference(index)?, estimate)),
        }
    }
}

impl<'a> About<'a> {
    fn line(self, index: usize) -> Result<&'a FatLine, String> {
        self.design.blend.lines().get(index).ok_or_else(|| "the blend has no such fat".into())
    }

    fn reference(self, index: usize) -> Result<&'a ReferenceSoap, String> {
        let soap = self.library.style(&self.design.style).and_then(|s| s.references.get(index));
        soap.ok_or_else(|| "the style has no such reference soap".into())
    }

    fn score_of(self, soap: &ReferenceSoap, estimate: Estimate) -> f64 {
        soap.scores(self.evaluation.masses.free_fat / 100.0).get(estimate)
    }

    /// Sum of the shares of the fats with a profile.
    fn known(self) -> f64 {
        let known = self.design.blend.lines().iter().filter(|l| !l.fat.profile().is_empty());
        known.map(|l| l.share.get()).sum()
    }

    fn share_of(line: &FatLine) -> Input {
        Input::chosen(&format!("Share of {}", line.fat.name), format!("{} %", short(line.share.get(), 6)))
    }

    fn acid_by(self, acid: AcidId, line: &FatLine) -> Result<Parts, String> {
        let entry = line.fat.profile().iter().find(|e| e.acid == acid);
        let entry = entry.ok_or_else(|| format!("{} has none of it in its profile", line.fat.name))?;
        Ok(Parts {
            formula: "share × typical percent in the fat ÷ Σ share, over fats with a profile",
            numbers: format!("{} × {} ÷ {}", number(line.share.get()), number(entry.typical), number(self.known())),
            inputs: vec![
                Self::share_of(line),
                Input {
                    name: format!("{} in {}", in_words(self.library.acids.get(acid)), line.fat.name),
                    value: format!("{} %, {}", short(entry.typical, 2), entry.published()),
                    source: entry.source.clone(),
                    trust: Some(entry.trust),
                },
            ],
            trust: "A typical profile: one season or one supplier lies elsewhere in the published range.".into(),
        })
    }

    fn score_by(self, estimate: Estimate, index: usize) -> Result<Parts, String> {
        let (line, weights) = (self.line(index)?, &self.library.weights);
        let largest = line.fat.profile().iter().max_by(|a, b| a.typical.total_cmp(&b.typical)).ok_or(NO_PROFILE)?;
        let alone: f64 = line.fat.profile().iter().map(|e| e.typical / 100.0 * weights.get(e.acid, estimate)).sum();
        Ok(Parts {
            formula: "share × what the fat’s acids have alone ÷ Σ share, over fats with a profile",
            numbers: format!("{} × {} ÷ {}", number(line.share.get()), number(alone), number(self.known())),
            inputs: vec![
                Self::share_of(line),
                Input {
                    name: format!("{} of the acids of {} alone", estimate.name(), line.fat.name),
                    value: significant(alone),
                    source: largest.source.clone(),
                    trust: Some(largest.trust),
                },
            ],
            trust: format!("An estimate by composition. {}{}", estimate.trust(), self.of_potassium_soap()),
        })
    }

    fn soap_score(self, soap: &ReferenceSoap, estimate: Estimate) -> Parts {
        let of_fat = |(fat, share): &(std::sync::Arc<crate::library::fats::Fat>, crate::units::Share)| {
            Input::worked_out(&fat.name, format!("{} %", short(share.get(), 2)), "the reference soap")
        };
        let mut inputs = vec![Input {
            name: "The soap".into(),
            value: soap.name.clone(),
            source: soap.source.clone(),
            trust: Some(soap.trust),
        }];
        inputs.extend(soap.fats.iter().map(of_fat));
        Parts {
            formula: estimate.formula(),
            numbers: self.score_terms(estimate, &soap.composition, self.score_of(soap, estimate)),
            inputs,
            trust: format!("As the score of this bar, from the same typical profiles. {}", estimate.trust()),
        }
    }
}
