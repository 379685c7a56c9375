//! The lye margin and what drives it.

use super::{About, Quantity, Unknown, quantities};
use crate::chemistry::margin::{Cause, Driver, LyeMargin};
use crate::chemistry::sugars::SugarEdge;
use crate::design::Design;
use crate::formula::Reading;
use crate::library::material::MaterialId;
use crate::quantity::Unit;

quantities! {
    /// The superfat that results, in the order of the report.
    MARGIN;
    /// The least superfat.
    SuperfatLow("margin.superfat_low_pct", "The least superfat that can result", Percent, 1) {
        |_r, of| margin(of).map(|m| m.low),
        |of| of.of_limit()
    }
    /// What 5 of 100 batches stay under.
    SuperfatP05("margin.superfat_p05_pct", "Superfat that 5 of 100 batches stay under", Percent, 1) {
        |r, of| margin(of).map(|m| m.read_quantile(r, of.design, 0.05)),
        |_| DISTRIBUTED
    }
    /// What 95 of 100 batches stay under.
    SuperfatP95("margin.superfat_p95_pct", "Superfat that 95 of 100 batches stay under", Percent, 1) {
        |r, of| margin(of).map(|m| m.read_quantile(r, of.design, 0.95)),
        |_| DISTRIBUTED
    }
    /// The most superfat.
    SuperfatHigh("margin.superfat_high_pct", "The most superfat that can result", Percent, 1) {
        |_r, of| margin(of).map(|m| m.high),
        |of| of.of_limit()
    }
    /// The chance of a lye-heavy bar.
    ChanceLyeHeavy("margin.chance_lye_heavy", "Chance that the bar is lye-heavy", Chance, 2) {
        |r, of| margin(of).map(|m| m.read_chance_lye_heavy(r, of.design)),
        |_| "The sum of the spreads is worked out to a ten-thousandth, but that fats vary independently and evenly within \
             their ranges is an assumption: one season can move several together."
    }
    /// The least superfat for the accepted chance.
    LeastSuperfat("margin.least_superfat_pct", "Least superfat for the accepted chance", Percent, 1) {
        |r, of| margin(of).map(|m| m.read_least_superfat(r, of.design)),
        |_| "That fats vary independently and evenly within their ranges is an assumption: one season can move several \
             together. A supplier’s figure for the fat that does most narrows it. It holds for the masses as they are: a \
             new superfat can change them a little, and so what the weighings do."
    }
    /// The most alkali that sugars take.
    SugarAlkali("margin.sugar_alkali_g", "Alkali that sugars may take, at most", Grams, 1) {
        |_r, of| sugars(of).map(|s| s.alkali.0),
        |_| OF_SUGARS
    }
    /// The superfat if sugars take all the alkali they may.
    SuperfatWithSugars("margin.superfat_sugars_pct", "Superfat if sugars take all they may", Percent, 1) {
        |_r, of| sugars(of).map(|s| s.superfat),
        |_| OF_SUGARS
    }
}

fn sugars<N>(of: About<'_, N>) -> Result<&SugarEdge<N>, Unknown> {
    of.evaluation.sugars.as_ref().ok_or_else(|| "no sugar that may be reducing meets the lye".into())
}

const OF_SUGARS: &str = "From memory: a mole of glucose, fructose or lactose takes none to two of alkali, by heat and time. \
                         Never count on it: the alkali, the chance of a lye-heavy bar and the least superfat count none.";

const DISTRIBUTED: &str = "The sum of the spreads is worked out to a ten-thousandth, but that fats vary independently and evenly \
                           within their ranges is an assumption.";

fn margin<N>(of: About<'_, N>) -> Result<&LyeMargin<N>, Unknown> {
    of.evaluation.margin.as_ref().ok_or_else(|| "there are no fats that take alkali".into())
}

impl About<'_> {
    fn of_limit(self) -> String {
        format!(
            "The outer limit: every saponification value, purity and weighing is off to the same side at once. It is far \
             less likely than any one of them, unless a season or a supplier moves them together.{}",
            self.acids_as_tabled()
        )
    }

    /// What an outer limit leaves out where acids take alkali.
    pub(super) fn acids_as_tabled(self) -> &'static str {
        let lines = self.design.additions.iter().zip(&self.evaluation.addition_masses);
        let takes =
            lines.filter(|(l, mass)| mass.0 > 0.0 && l.stage.meets_lye() && l.addition.protons_per_gram() > 0.0);
        if takes.count() > 0 { " The strength of the acid is taken as tabled." } else { "" }
    }
}

/// A cause of the spread, by what it is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Drives {
    /// The saponification value of this fat.
    SaponificationValue(MaterialId),
    /// The purity of the sodium hydroxide.
    NaohPurity,
    /// The purity of the potassium hydroxide.
    KohPurity,
    /// The weighings.
    Scale,
}

impl Drives {
    /// What `cause` is of in `design`.
    pub fn of(cause: Cause, design: &Design) -> Option<Self> {
        Some(match cause {
            Cause::SaponificationValue(i) => Self::SaponificationValue(design.blend.lines().get(i)?.fat.id.clone()),
            Cause::NaohPurity => Self::NaohPurity,
            Cause::KohPurity => Self::KohPurity,
            Cause::Scale => Self::Scale,
        })
    }

    fn name(&self, design: &Design) -> String {
        match self {
            Self::SaponificationValue(id) => {
                let name = design.blend.line(id).map_or_else(|| id.as_str(), |l| l.fat.name.as_str());
                format!("saponification value of {name}")
            }
            Self::NaohPurity => "purity of the sodium hydroxide".into(),
            Self::KohPurity => "purity of the potassium hydroxide".into(),
            Self::Scale => "scale".into(),
        }
    }

    fn place<N>(&self, of: About<'_, N>) -> Option<usize> {
        let drivers = &of.evaluation.margin.as_ref()?.drivers;
        drivers.iter().position(|d| Self::of(d.cause, of.design).as_ref() == Some(self))
    }

    fn driver<'a, N>(&self, of: About<'a, N>) -> Result<&'a Driver<N>, Unknown> {
        let drivers = &margin(of)?.drivers;
        self.place(of).map(|i| &drivers[i]).ok_or_else(|| Unknown::Absent("it does not move the superfat".into()))
    }
}

/// How far a cause moves the superfat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DriverPoints(pub Drives);

impl Quantity for DriverPoints {
    fn key(&self, of: About<'_>) -> String {
        format!("margin.drivers.{}.superfat_points", self.0.place(of).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        format!("Superfat moved by the {}, ±", self.0.name(of.design))
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Points
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        self.0.driver(of).map(|d| d.points)
    }
    fn trust(&self, _: About<'_>) -> String {
        "The slope of the superfat along this cause times half its range: exact for small ranges. For the scale all \
         weighings are off to the same side at once."
            .into()
    }
}

/// The part of the spread that a cause makes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DriverPart(pub Drives);

impl Quantity for DriverPart {
    fn key(&self, of: About<'_>) -> String {
        format!("margin.drivers.{}.variance_part", self.0.place(of).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        format!("Part of the superfat’s spread by the {}", self.0.name(of.design))
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Part
    }
    fn decimals(&self, _: About<'_>) -> usize {
        0
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        self.0.driver(of).map(|d| d.part)
    }
    fn trust(&self, _: About<'_>) -> String {
        "Causes are taken as independent and even within their ranges, so their variances are a third of the squares and \
         add up. One season can move several fats together."
            .into()
    }
}
