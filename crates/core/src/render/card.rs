//! The recipe card: what a maker gives to others. It holds the recipe and nothing of one batch: no day, no
//! batch number, no price.
//!
//! [`Card::of`] gathers what stands on it as plain values; [`Card::text`], [`Card::markdown`],
//! [`Card::fragment`], [`Card::html`] and [`Card::how_to`] only place them.

mod how_to;
mod html;
mod markdown;
mod text;

use crate::bench::method;
use crate::bench::weighing::{self, Vessel, Weight};
use crate::cautions::{self, Caution, Level};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::number::{fixed, places, short};
use crate::quantities::{About, AnyQuantity, BarCount, BarFresh, LyeConcentration, PlannedSuperfat, text as shown};
use crate::render::sheet::{self, Filled, line, mould_words};
use crate::units::{Grams, MassUnit, Measures, percent_of};

/// A line to weigh.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub name: String,
    /// Where it goes.
    pub vessel: Vessel,
    /// How much.
    pub mass: Grams,
    /// The same in percent of all lines.
    pub percent: f64,
}

impl Line {
    /// The mass in grams, without the unit.
    pub fn grams(&self) -> String {
        grams(self.mass)
    }

    /// The mass in ounces, without the unit.
    pub fn ounces(&self) -> String {
        ounces(self.mass)
    }

    /// The percent, without the sign.
    pub fn percents(&self) -> String {
        fixed(self.percent, places(self.percent, 2).clamp(1, 4))
    }
}

/// Grams as fine as a recipe needs them.
fn grams(mass: Grams) -> String {
    fixed(mass.0, if mass.0 < 10.0 { 2 } else { 1 })
}

/// Ounces that are as fine: a thousandth is 0.03 g.
fn ounces(mass: Grams) -> String {
    let ounces = MassUnit::Ounce.from_grams(mass);
    fixed(ounces, if ounces < 10.0 { 3 } else { 2 })
}

/// Steps of work under a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// What is done.
    pub heading: &'static str,
    /// The steps, in order.
    pub steps: Vec<String>,
}

/// What stands on the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// The recipe's name.
    pub title: String,
    /// Why it must not be made like this; empty for a recipe that nothing stands against.
    pub stops: Vec<String>,
    /// What it gives.
    pub yields: String,
    /// The mould, if the recipe has one.
    pub mould: Option<String>,
    /// What the lye rests on, in words.
    pub rests_on: String,
    /// What to weigh, in the order of use.
    pub lines: Vec<Line>,
    /// The method.
    pub method: Vec<Passage>,
}

/// What every card asks of who makes it.
pub const CHECK_THE_LYE: &str = "Check the lye for your own fats and your own alkali before you weigh: saponification values \
     and purities differ from supplier to supplier, and a recipe on paper cannot know them.";

/// What holds for whoever makes it.
pub const SAFETY: [&str; 6] = cautions::ALWAYS;

/// The steps of the method: the one place where the card takes them from.
fn method(about: About<'_>, filled: Option<&Filled>, told: &[Caution]) -> Vec<Passage> {
    let mould = filled.map(|filled| (filled.mould, filled.bars));
    let options = method::Options::new(mould, told, about.measures);
    let steps = |p: &method::Passage| p.steps.iter().map(|s| s.text.clone()).collect();
    let passages = sheet::method_of(about, &options);
    passages.iter().map(|p| Passage { heading: p.part.heading(), steps: steps(p) }).collect()
}

/// What the lye rests on.
fn rests_on(about: About<'_>) -> String {
    let of = |item: &dyn AnyQuantity| shown(item, about).unwrap_or_else(|_| "not known".into());
    let alkali = &about.design.alkali;
    let mut words =
        vec![format!("Planned superfat {}", of(&PlannedSuperfat)), format!("lye of {}", of(&LyeConcentration))];
    let masses = &about.evaluation.masses.alkali;
    for (name, mass, purity) in
        [("sodium", masses.naoh, alkali.naoh_purity), ("potassium", masses.koh, alkali.koh_purity)]
    {
        if mass.0 > 0.0 {
            words.push(format!("{name} hydroxide of {} % purity", short(purity.get(), 2)));
        }
    }
    format!("{}.", words.join(", "))
}

impl Card {
    /// The card of `design`, whose evaluation is `evaluation`, with temperatures and lengths in `measures`; masses
    /// to weigh are in grams and in ounces.
    ///
    /// ```
    /// use barwright_core::render::card::Card;
    /// use barwright_core::units::Measures;
    /// use barwright_core::{Design, Library, evaluate};
    /// let (library, design) = (Library::embedded()?, Design::default());
    /// let card = Card::of(&design, &evaluate(&design, &library), &library, Measures::METRIC);
    /// assert!(card.text().contains("STOP"), "no fats");
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn of(design: &Design, evaluation: &Evaluation, library: &Library, measures: Measures) -> Self {
        let about = About::new(design, evaluation, library).read_in(measures);
        let told = cautions::read_in(design, evaluation, library, measures);
        let weights: Vec<_> = weighing::weights(design, evaluation).into_iter().filter(|w| w.mass.0 > 0.0).collect();
        let all: Grams = weights.iter().map(|w| w.mass).sum();
        let line_of = |w: &Weight<'_>| Line {
            name: line(w.name),
            vessel: w.vessel,
            mass: w.mass,
            percent: percent_of(w.mass.0, all.0),
        };
        let filled = Filled::of(design);
        let bars = [shown(&BarCount, about), shown(&BarFresh, about)];
        let yields = match bars {
            [Ok(count), Ok(each)] => format!("{count} bars of about {each} fresh"),
            _ => "No bars".into(),
        };
        Self {
            title: if design.name.trim().is_empty() { "Unnamed recipe".into() } else { line(&design.name) },
            stops: told.iter().filter(|c| c.level == Level::Stop).map(|c| line(&c.text())).collect(),
            yields,
            mould: filled.as_ref().map(|filled| mould_words(filled, measures)),
            rests_on: rests_on(about),
            lines: weights.iter().map(line_of).collect(),
            method: method(about, filled.as_ref(), &told),
        }
    }

    /// The lines in runs of one vessel.
    fn runs(&self) -> impl Iterator<Item = &[Line]> {
        self.lines.chunk_by(|a, b| a.vessel == b.vessel)
    }

    /// All lines together.
    fn all(&self) -> Grams {
        self.lines.iter().map(|l| l.mass).sum()
    }

    /// What it gives and in what, in lines.
    fn facts(&self) -> Vec<(&'static str, &str)> {
        let mould = self.mould.as_deref().map(|mould| ("Mould", mould));
        [Some(("Makes", self.yields.as_str())), mould, Some(("Lye", self.rests_on.as_str()))]
            .into_iter()
            .flatten()
            .collect()
    }
}
