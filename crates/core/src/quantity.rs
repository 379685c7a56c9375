//! What a quantity is: the unit that a number is in, and how it is written.

use crate::number::{self, NumberError, fixed, short};
use crate::units::{Conversion, MassUnit, Measures, in_percent};

/// The unit of a shown number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unit {
    /// None: a ratio.
    Bare,
    /// None: a count.
    Count,
    /// None: a score, whose differences are points.
    Score,
    /// None: a score that is known so little that it is told in steps of [`COARSE`] points.
    CoarseScore,
    /// Percent.
    Percent,
    /// A chance, 0–1, which is shown in percent.
    Chance,
    /// A part of a whole, 0–1, which is shown in percent.
    Part,
    /// Percentage points.
    Points,
    /// Gram.
    Grams,
    /// Milligrams in a kilogram.
    MilligramsPerKilogram,
    /// Millilitre.
    Millilitres,
    /// Millimetre.
    Millimetres,
    /// Degree Celsius.
    Celsius,
    /// Density.
    GramsPerMillilitre,
    /// Saponification value.
    Saponification,
    /// Iodine value.
    Iodine,
    /// Minute.
    Minutes,
    /// Day.
    Days,
    /// Packs to buy.
    Packs,
    /// Money, by the currency's name.
    Money(String),
}

impl Unit {
    /// Its sign; empty for none.
    pub fn sign(&self) -> &str {
        match self {
            Self::Bare | Self::Count | Self::Score | Self::CoarseScore => "",
            Self::Percent | Self::Chance | Self::Part => "%",
            Self::Points => "points",
            Self::Grams => "g",
            Self::MilligramsPerKilogram => "mg/kg",
            Self::Millilitres => "ml",
            Self::Millimetres => "mm",
            Self::Celsius => "°C",
            Self::GramsPerMillilitre => "g/ml",
            Self::Saponification => "mg KOH/g",
            Self::Iodine => "g/100 g",
            Self::Minutes => "min",
            Self::Days => "days",
            Self::Packs => "packs",
            Self::Money(currency) => currency,
        }
    }

    /// The number that is shown for `value`.
    pub fn shown(&self, value: f64) -> f64 {
        match self {
            Self::Chance | Self::Part => in_percent(value),
            _ => value,
        }
    }

    /// Whether such numbers are whole.
    pub const fn is_whole(&self) -> bool {
        matches!(self, Self::Count | Self::Days)
    }

    /// Whether differences of such numbers are percentage points.
    pub const fn differs_by_points(&self) -> bool {
        matches!(self, Self::Percent | Self::Chance | Self::Part | Self::Score | Self::CoarseScore)
    }

    /// The sign of a difference.
    pub fn sign_of_difference(&self) -> &str {
        match self {
            Self::Bare | Self::Count => "points",
            unit if unit.differs_by_points() => "points",
            unit => unit.sign(),
        }
    }

    /// `value` with so many decimals, without the unit's sign.
    pub fn number(&self, value: f64, decimals: usize) -> String {
        let number = self.shown(value);
        match self {
            // A chance is never told as none where there is some.
            Self::Chance if number > 0.0 && number < LEAST_CHANCE => format!("< {}", short(LEAST_CHANCE, 2)),
            _ => fixed(self.rounded(number), decimals),
        }
    }

    /// `value` to the step in which such numbers are told, if that is more than their decimals.
    pub fn rounded(&self, value: f64) -> f64 {
        match self {
            Self::CoarseScore => (value / COARSE).round() * COARSE,
            _ => value,
        }
    }

    /// `value` with so many decimals and the unit's sign.
    ///
    /// ```
    /// use barwright_core::quantity::Unit;
    /// assert_eq!(Unit::Grams.text(71.25, 1), "71.2 g");
    /// assert_eq!(Unit::Chance.text(0.000_01, 2), "< 0.01 %");
    /// assert_eq!(Unit::Packs.text(1.0, 0), "1 pack");
    /// assert_eq!(Unit::CoarseScore.text(51.3, 0), "≈ 50");
    /// ```
    pub fn text(&self, value: f64, decimals: usize) -> String {
        with_unit(&self.about(self.number(value, decimals)), self.sign())
    }

    /// `number` with a sign before it where it is told coarsely.
    fn about(&self, number: String) -> String {
        if *self == Self::CoarseScore { format!("≈ {number}") } else { number }
    }
}

/// In which step a coarse score is told, points: closer ones are about the same.
pub const COARSE: f64 = 5.0;

impl Unit {
    /// How it is turned into the units that a person reads; `None` for what is the same in all.
    fn conversion(&self, measures: Measures) -> Option<Conversion> {
        Some(match self {
            Self::Grams => measures.of_grams(),
            Self::Celsius => measures.of_celsius(),
            Self::Millimetres => measures.of_millimetres(),
            Self::Millilitres => measures.of_millilitres(),
            Self::Bare
            | Self::Count
            | Self::Score
            | Self::CoarseScore
            | Self::Percent
            | Self::Chance
            | Self::Part
            | Self::Points
            | Self::MilligramsPerKilogram
            | Self::GramsPerMillilitre
            | Self::Saponification
            | Self::Iodine
            | Self::Minutes
            | Self::Days
            | Self::Packs
            | Self::Money(_) => return None,
        })
    }

    /// The number that is shown for `value` in the units that a person reads.
    pub fn shown_in(&self, value: f64, measures: Measures) -> f64 {
        self.conversion(measures).map_or_else(|| self.shown(value), |to| value * to.factor + to.zero)
    }

    /// How many decimals such a number has where a metric one has `decimals`.
    pub fn decimals_in(&self, decimals: usize, measures: Measures) -> usize {
        decimals.saturating_add_signed(self.conversion(measures).map_or(0, |to| to.finer))
    }

    /// Its sign in the units that a person reads.
    pub fn sign_in(&self, measures: Measures) -> &str {
        self.conversion(measures).map_or(self.sign(), |to| to.sign)
    }

    /// [`Self::number`] in the units that a person reads, as fine as the metric one.
    pub fn number_in(&self, value: f64, decimals: usize, measures: Measures) -> String {
        match self.conversion(measures) {
            Some(_) => fixed(self.shown_in(value, measures), self.decimals_in(decimals, measures)),
            None => self.number(value, decimals),
        }
    }

    /// [`Self::text`] in the units that a person reads.
    ///
    /// ```
    /// use barwright_core::{quantity::Unit, units::Measures};
    /// assert_eq!(Unit::Celsius.text_in(38.0, 0, Measures::US), "100 °F");
    /// assert_eq!(Unit::Millimetres.text_in(254.0, 0, Measures::US), "10.00 in");
    /// assert_eq!(Unit::Days.text_in(28.0, 0, Measures::US), "28 days");
    /// ```
    pub fn text_in(&self, value: f64, decimals: usize, measures: Measures) -> String {
        if *self == Self::Grams && measures.mass == MassUnit::Gram && value >= MANY_GRAMS {
            return format!("{} kg", fixed(value / 1000.0, 2));
        }
        with_unit(&self.about(self.number_in(value, decimals, measures)), self.sign_in(measures))
    }

    /// The same with no more decimals than it needs: "38.5 °C", "38 °C".
    pub fn short_in(&self, value: f64, most: usize, measures: Measures) -> String {
        with_unit(&self.short_number_in(value, most, measures), self.sign_in(measures))
    }

    /// The same without the unit's sign.
    pub fn short_number_in(&self, value: f64, most: usize, measures: Measures) -> String {
        short(self.shown_in(value, measures), self.decimals_in(most, measures))
    }

    /// Reads a number of this unit as a person types it, with the sign of any unit of its kind or bare in their own.
    ///
    /// # Errors
    /// [`NumberError`] if the text is no such number.
    ///
    /// ```
    /// use barwright_core::{quantity::Unit, units::Measures};
    /// assert_eq!(Unit::Millimetres.parse_in("10", Measures::US), Ok(254.0));
    /// assert_eq!(Unit::Celsius.parse_in("20 °C", Measures::US), Ok(20.0));
    /// ```
    pub fn parse_in(&self, text: &str, measures: Measures) -> Result<f64, NumberError> {
        match self {
            Self::Grams => number::parse_mass(text, measures.mass).map(|mass| mass.0),
            Self::Celsius => number::parse_celsius(text, measures.temperature),
            Self::Millimetres => number::parse_millimetres(text, measures.length),
            Self::Millilitres => number::parse_millilitres(text, measures.volume),
            unit => number::parse(text, &[unit.sign()]),
        }
    }

    /// A step of the arrow keys where `metric` is one in metric units: as near to it as a round number of the person's
    /// own units is.
    pub fn step_in(&self, metric: f64, measures: Measures) -> f64 {
        let Some(to) = self.conversion(measures) else { return metric };
        let own = metric * to.factor;
        let round = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
        let near = |round: &f64| (round / own).ln().abs();
        round.into_iter().min_by(|a, b| near(a).total_cmp(&near(b))).unwrap_or(own) / to.factor
    }

    /// A difference of two such values as a number of the units that a person reads: 10 °C more are 18 °F more.
    pub fn difference_in(&self, difference: f64, measures: Measures) -> f64 {
        self.conversion(measures).map_or(difference, |to| difference * to.factor)
    }
}

/// From here on grams are read as kilograms.
const MANY_GRAMS: f64 = 100_000.0;

/// The least chance that is told by its number, percent.
const LEAST_CHANCE: f64 = 0.01;

/// A number with its unit; a counted one is in the singular behind a one.
pub fn with_unit(number: &str, unit: &str) -> String {
    let is_counted = matches!(unit, "packs" | "days" | "points");
    let is_one = number.trim_start_matches(['+', '\u{2212}']) == "1";
    match unit.strip_suffix('s').filter(|_| is_counted && is_one) {
        Some(one) => format!("{number} {one}"),
        None if unit.is_empty() => number.into(),
        None => format!("{number} {unit}"),
    }
}
