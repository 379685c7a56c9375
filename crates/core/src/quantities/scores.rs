//! The scores, their ranges, and what fats and reference soaps have of them.

use super::blend::{NO_PROFILES, OUTER, no_profile};
use super::{About, AnyQuantity, Quantity, Unknown};
use crate::chemistry::spread::{self, End};
use crate::design::blend::Blend;
use crate::evaluate::contribution;
use crate::formula::{Input, Num, Reading};
use crate::library::composition::Composition;
use crate::library::estimates::Estimate;
use crate::library::material::MaterialId;
use crate::library::styles::{ReferenceSoap, Style};
use crate::number::{fixed, short};
use crate::quantity::Unit;

impl Estimate {
    /// Its name in the report.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Hardness => "hardness",
            Self::Cleansing => "cleansing",
            Self::Conditioning => "conditioning",
            Self::LatherVolume => "lather_volume",
            Self::LatherPersistence => "lather_persistence",
            Self::Wear => "wear",
            Self::Keeping => "keeping",
        }
    }

    /// The estimate that is called `key` in the report.
    pub fn named(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|estimate| estimate.key() == key)
    }
}

/// A score of the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Score(pub Estimate);

/// All scores, in the order of the report.
pub static SCORES: &[(&str, &dyn AnyQuantity)] = &[
    ("estimates.hardness", &Score(Estimate::Hardness)),
    ("estimates.cleansing", &Score(Estimate::Cleansing)),
    ("estimates.conditioning", &Score(Estimate::Conditioning)),
    ("estimates.lather_volume", &Score(Estimate::LatherVolume)),
    ("estimates.lather_persistence", &Score(Estimate::LatherPersistence)),
    ("estimates.wear", &Score(Estimate::Wear)),
    ("estimates.keeping", &Score(Estimate::Keeping)),
];

const _: () = assert!(SCORES.len() == Estimate::ALL.len(), "every score is in the report");

impl Quantity for Score {
    fn key(&self, _: About<'_>) -> String {
        format!("estimates.{}", self.0.key())
    }
    fn title(&self, _: About<'_>) -> String {
        self.0.name().into()
    }
    fn unit(&self, _: About<'_>) -> Unit {
        self.0.unit()
    }
    fn decimals(&self, _: About<'_>) -> usize {
        self.0.decimals()
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        of.evaluation.estimate(self.0).map(|result| result.value).ok_or_else(|| no_profile(of.evaluation))
    }
    fn trust(&self, of: About<'_>) -> String {
        format!(
            "An estimate by composition. {}{}{}",
            of.library.trust_in(self.0),
            of.left_out(),
            of.of_potassium_soap()
        )
    }
    fn behind(&self, of: About<'_>) -> Vec<Input> {
        let range = of.evaluation.estimate(self.0).and_then(|result| result.range);
        let style = range.map(|range| {
            let name = format!("Where “{}” bars lie", of.design.style);
            Input::worked_out(&name, self.0.shown_range(range), "the style’s reference soaps through the same formula")
        });
        style.into_iter().chain(of.profiles()).collect()
    }
}

impl About<'_> {
    /// Where the acids of the fats come from.
    fn profiles(self) -> impl Iterator<Item = Input> {
        let weigh = self.design.blend.lines().iter().filter(|line| line.share.get() > 0.0);
        weigh.filter_map(move |line| {
            let profile = line.fat.profile();
            let largest = profile.iter().max_by(|a, b| a.typical.total_cmp(&b.typical))?;
            let acid = self.library.acids.get(largest.acid);
            let (count, most) = (profile.len(), short(largest.typical, 2));
            Some(Input {
                name: format!("Acids of {}", line.fat.name),
                value: format!("{count} tabled, most of all {} with {most} %", acid.name),
                source: largest.source.clone(),
                trust: Some(largest.trust),
            })
        })
    }

    /// What a score does not know of.
    fn of_potassium_soap(self) -> &'static str {
        if self.design.alkali.koh_share.get() > 0.0 {
            " It is for sodium soap: potassium soap is softer and dissolves sooner."
        } else {
            ""
        }
    }
}

/// An end of the range of a score with natural fats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoreEnd(pub Estimate, pub End);

impl Quantity for ScoreEnd {
    fn key(&self, _: About<'_>) -> String {
        let end = match self.1 {
            End::Low => "low",
            End::High => "high",
        };
        format!("estimates.{}.{end}", self.0.key())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{}, the {} of any profile", self.0.name(), self.1.word())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        self.0.unit()
    }
    fn decimals(&self, _: About<'_>) -> usize {
        self.0.decimals()
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        Score(self.0).read(r, of)?;
        let free_fat = of.evaluation.masses.free_fat;
        let end = spread::score(r, &of.design.blend, (self.0, self.1), free_fat, of.library);
        end.ok_or_else(|| NO_PROFILES.into())
    }
    fn trust(&self, of: About<'_>) -> String {
        format!("{OUTER} The weights of the score are not in it.{}", of.left_out())
    }
}

/// An end of the range in which the style's reference soaps lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StyleEnd(pub Estimate, pub End);

impl Quantity for StyleEnd {
    fn key(&self, _: About<'_>) -> String {
        let end = match self.1 {
            End::Low => "range_low",
            End::High => "range_high",
        };
        format!("estimates.{}.{end}", self.0.key())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{}, the {} of the style’s soaps", self.0.name(), self.1.word())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        self.0.unit()
    }
    fn decimals(&self, _: About<'_>) -> usize {
        self.0.decimals()
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        Score(self.0).read(r, of)?;
        let soaps = &style(of)?.references;
        let free_fat = of.evaluation.free_fat_fraction().plain();
        let score = |soap: &ReferenceSoap| {
            let score = soap.scores(free_fat).get(self.0);
            r.input("score of a soap", score, "", || Input {
                name: soap.name.clone(),
                value: fixed(score, self.0.decimals()),
                source: soap.source.clone(),
                trust: Some(soap.trust),
            })
        };
        let scores = soaps.iter().map(score);
        let end = match self.1 {
            End::Low => scores.reduce(Num::min),
            End::High => scores.reduce(Num::max),
        };
        end.ok_or_else(|| no_style(of.design.style.as_str()))
    }
    fn trust(&self, _: About<'_>) -> String {
        "Where known soaps lie by the same estimate, made of fats with typical profiles: a comparison, no verdict. Few \
         soaps stand for a style."
            .into()
    }
}

fn no_style(style: &str) -> Unknown {
    format!("no reference soaps of a style “{style}” are held here").into()
}

fn style<N>(of: About<'_, N>) -> Result<&Style, Unknown> {
    of.library.style(&of.design.style).ok_or_else(|| no_style(of.design.style.as_str()))
}

/// What a fat brings to a score.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoreOfFat(pub Estimate, pub MaterialId);

impl Quantity for ScoreOfFat {
    fn key(&self, of: About<'_>) -> String {
        let place = place(&of.design.blend, &self.1);
        format!("estimates.{}.fats.{place}", self.0.key())
    }
    fn title(&self, of: About<'_>) -> String {
        let fat = of.design.blend.line(&self.1).map_or_else(|| self.1.as_str(), |l| l.fat.name.as_str());
        format!("{} by {fat}", self.0.name())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Score
    }
    fn decimals(&self, _: About<'_>) -> usize {
        self.0.decimals().saturating_add(1)
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let line = of.design.blend.line(&self.1).ok_or_else(|| Unknown::Absent(super::line::NO_FAT.into()))?;
        let part = contribution(r, &of.design.blend, line, self.0, of.library);
        part.ok_or_else(|| "the fat has no tabled profile of acids".into())
    }
    fn trust(&self, of: About<'_>) -> String {
        format!("An estimate by composition. {}{}", of.library.trust_in(self.0), of.of_potassium_soap())
    }
}

fn place(blend: &Blend, id: &MaterialId) -> usize {
    blend.lines().iter().position(|l| l.fat.id == *id).unwrap_or_default()
}

/// The score of a reference soap of the style, by its name, made with the design's superfat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoreOfSoap(pub Estimate, pub String);

impl ScoreOfSoap {
    fn soap<'a, N>(&self, of: About<'a, N>) -> Result<&'a ReferenceSoap, Unknown> {
        let soap = style(of)?.references.iter().find(|soap| soap.name == self.1);
        soap.ok_or_else(|| "the style has no such reference soap".into())
    }
}

impl Quantity for ScoreOfSoap {
    fn key(&self, of: About<'_>) -> String {
        let soaps = style(of).map_or(&[][..], |style| &style.references);
        let place = soaps.iter().position(|soap| soap.name == self.1).unwrap_or_default();
        format!("estimates.{}.soaps.{place}", self.0.key())
    }
    fn title(&self, _: About<'_>) -> String {
        format!("{} of the reference soap {}", self.0.name(), self.1)
    }
    fn unit(&self, _: About<'_>) -> Unit {
        self.0.unit()
    }
    fn decimals(&self, _: About<'_>) -> usize {
        self.0.decimals()
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let soap = self.soap(of)?;
        let fats = soap.fats.iter().map(|(fat, share)| {
            let share = r.input("share in percent", share.get(), "", || Input {
                name: format!("Share of {} in the soap {}", fat.name, soap.name),
                value: format!("{} %", crate::number::short(share.get(), 2)),
                source: soap.source.clone(),
                trust: Some(soap.trust),
            });
            (fat.as_ref(), share)
        });
        let acids = &of.library.acids;
        let composition = Composition::read(r, fats, acids).ok_or_else(|| Unknown::from(NO_PROFILES))?;
        let free_fat = of.evaluation.free_fat_fraction();
        Ok(of.library.weights.scores(r, &composition, free_fat, acids).get(self.0))
    }
    fn trust(&self, of: About<'_>) -> String {
        format!("As the score of this bar, from the same typical profiles. {}", of.library.trust_in(self.0))
    }
}
