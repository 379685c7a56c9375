//! Quantities that cannot hold a value outside their meaning.
//!
//! Percent types hold the number as a person types it (0–100) and give the mass fraction by
//! `fraction()`. All are finite by construction, so the maths behind them never sees NaN.

mod interval;
mod mass;
mod measures;

pub use interval::{Interval, NoInterval};
pub use mass::{Grams, MassUnit};
pub(crate) use measures::Conversion;
pub use measures::{LengthUnit, Measures, TemperatureUnit, VolumeUnit};

use crate::num::Num;
use serde::{Deserialize, Serialize};

/// A number outside the range its quantity allows.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what} must lie between {min} and {max} {unit}, not {value}")]
pub struct OutOfRange {
    /// The quantity, in words.
    pub what: &'static str,
    /// Least value allowed.
    pub min: f64,
    /// Greatest value allowed.
    pub max: f64,
    /// Unit of the three numbers.
    pub unit: &'static str,
    /// What was given.
    pub value: f64,
}

/// What the bounded quantities have in common.
pub trait Bounded: Copy {
    /// The nearest allowed value.
    fn nearest(value: f64) -> Self;
    /// The bare number.
    fn get(self) -> f64;
}

macro_rules! bounded {
    ($(#[$doc:meta])* $name:ident, $what:literal, $min:expr, $max:expr, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Least value allowed.
            pub const MIN: f64 = $min;
            /// Greatest value allowed.
            pub const MAX: f64 = $max;

            /// Takes `value` if it is finite and in range.
            ///
            /// # Errors
            /// [`OutOfRange`], naming the quantity and its range.
            pub fn new(value: f64) -> Result<Self, OutOfRange> {
                if value.is_finite() && (Self::MIN..=Self::MAX).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(OutOfRange { what: $what, min: Self::MIN, max: Self::MAX, unit: $unit, value })
                }
            }

            /// The nearest allowed value; for the moving end of a slider, never for typed input.
            pub fn nearest(value: f64) -> Self {
                if value.is_nan() { Self(Self::MIN) } else { Self(value.clamp(Self::MIN, Self::MAX)) }
            }

            /// The bare number, in the unit of the range.
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl Bounded for $name {
            fn nearest(value: f64) -> Self {
                Self::nearest(value)
            }
            fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = OutOfRange;
            fn try_from(value: f64) -> Result<Self, OutOfRange> {
                Self::new(value)
            }
        }

        impl From<$name> for f64 {
            fn from(value: $name) -> Self {
                value.0
            }
        }
    };
}

macro_rules! percent {
    ($($name:ident),+) => {$(
        impl $name {
            /// The same as a fraction, 0.06 for 6 %.
            pub const fn fraction(self) -> f64 {
                self.0 / PERCENT
            }
        }
    )+};
}

bounded!(
    /// A fat's percent of the blend, by mass.
    Share, "a share", 0.0, 100.0, "%"
);
bounded!(
    /// Percent of the exact alkali that is held back.
    Superfat, "superfat", -50.0, 50.0, "%"
);
bounded!(
    /// Percent of pure alkali in what is weighed.
    Purity, "the purity of an alkali", 50.0, 100.0, "%"
);
bounded!(
    /// How far a purity may be off, ± percent.
    PurityMargin, "the ± of a purity", 0.0, 10.0, "%"
);
bounded!(
    /// Pure alkali in percent of pure alkali and all water.
    LyeConcentration, "lye concentration", 5.0, 60.0, "%"
);
bounded!(
    /// All water per pure alkali, by mass.
    WaterRatio, "water : alkali", 0.6, 20.0, ": 1"
);
bounded!(
    /// All water in percent of the fats' mass.
    WaterPercent, "water in percent of fats", 1.0, 300.0, "%"
);
bounded!(
    /// Mass of the fats in a batch, in grams.
    FatMass, "the mass of fats", 1.0, 1_000_000.0, "g"
);
bounded!(
    /// The step of the maker's scale, in grams.
    ScaleDivision, "the scale's division", 0.001, 100.0, "g"
);
bounded!(
    /// Saponification value of a fat, mg KOH per g (ISO 3657).
    SaponificationValue, "a saponification value", 50.0, 700.0, "mg KOH/g"
);
bounded!(
    /// Iodine value of a fat, g iodine per 100 g.
    IodineValue, "an iodine value", 0.0, 500.0, "g/100 g"
);
bounded!(
    /// Unsaponifiable matter of a fat, g/kg.
    UnsaponifiableMatter, "unsaponifiable matter", 0.0, 900.0, "g/kg"
);
bounded!(
    /// Density of a fat relative to water.
    DensityRatio, "a relative density", 0.5, 1.5, "times that of water"
);
bounded!(
    /// Molar mass of a wax ester, g/mol.
    EsterMolarMass, "the molar mass of a wax ester", 100.0, 2000.0, "g/mol"
);
bounded!(
    /// How far a saponification value may be off, ± mg KOH per g.
    SvMargin, "the ± of a saponification value", 0.0, 50.0, "mg KOH/g"
);

bounded!(
    /// A temperature in °C.
    Celsius, "a temperature", -50.0, 300.0, "°C"
);
bounded!(
    /// What an oven for soap is set to in the window, °C; a file may hold any temperature, and a
    /// caution says what comes of it.
    OvenSetting, "the temperature of the oven", 40.0, 120.0, "°C"
);
bounded!(
    /// A time in minutes.
    Minutes, "a time", 0.0, 10_000.0, "min"
);
bounded!(
    /// The chance of a lye-heavy bar that a maker accepts, percent.
    AcceptedChance, "the accepted chance of a lye-heavy bar", 0.01, 50.0, "%"
);
bounded!(
    /// Time in which warmth falls to 1/e, in minutes.
    TimeConstant, "a time constant", 0.1, 10_000.0, "min"
);
bounded!(
    /// A time in hours.
    Hours, "a time", 0.0, 1000.0, "h"
);
bounded!(
    /// A time in days.
    Days, "a time", 0.0, 3650.0, "days"
);
bounded!(
    /// Water that a bar keeps in the end, percent of its mass. Cured soap is left with 5 to 14 % (literature, memory);
    /// the least is also what limits for scents count on, the most leaves room for damp air.
    EquilibriumMoisture, "the moisture that a cured bar keeps", 5.0, 30.0, "%"
);
bounded!(
    /// Content of a pack, in grams.
    PackMass, "the content of a pack", 0.001, 1_000_000.0, "g"
);
bounded!(
    /// An amount of money in the design's currency.
    Money, "a price", 0.0, 1.0e9, "in the design’s currency"
);
bounded!(
    /// What is left of a selling price when the materials are paid, percent of the price.
    SalesMargin, "a margin", 0.0, 99.0, "% of the price"
);
bounded!(
    /// How many times as large as designed a batch is made.
    Multiple, "the multiple of a batch", 0.01, 1000.0, "times"
);
bounded!(
    /// Density of the batter, g/mL.
    BatterDensity, "the density of the batter", 0.5, 2.0, "g/ml"
);

bounded!(
    /// An addition or a scent in percent of the fats' mass.
    AmountPercent, "an amount in percent of the fats", 0.0, 500.0, "%"
);
bounded!(
    /// An addition or a scent in grams.
    AmountMass, "an amount", 0.0, 1_000_000.0, "g"
);
bounded!(
    /// What a count of the shelf takes away from a lot, in grams; below nothing where more was found.
    StockChange, "a correction of the stock", -1_000_000.0, 1_000_000.0, "g"
);
bounded!(
    /// An addition or a scent in grams per kilogram of fats.
    AmountPerKg, "an amount per kilogram of fats", 0.0, 5000.0, "g/kg"
);
bounded!(
    /// Cured bar of a gram of fats, in grams.
    BarPerFats, "cured bar of a gram of fats", 0.5, 100.0, "g/g"
);
bounded!(
    /// An inner measure of a mould, in millimetres.
    Millimetres, "a measure of the mould", 1.0, 5000.0, "mm"
);
bounded!(
    /// A volume to fill, in millilitres.
    Millilitres, "a volume", 1.0, 1_000_000.0, "ml"
);
bounded!(
    /// How far a mould is filled, percent of its volume.
    Fill, "the fill of the mould", 1.0, 100.0, "%"
);
bounded!(
    /// Mass of one fresh bar, in grams.
    BarMass, "the mass of a bar", 1.0, 100_000.0, "g"
);
bounded!(
    /// Density of the solids in an addition, g/mL.
    SolidsDensity, "the density of solids", 0.1, 10.0, "g/ml"
);
bounded!(
    /// What a level spoon of a food weighs by its volume, g/mL.
    BulkDensity, "the density in a spoon", 0.05, 3.0, "g/ml"
);
bounded!(
    /// Molar mass of an acid, g/mol.
    AcidMolarMass, "the molar mass of an acid", 10.0, 2000.0, "g/mol"
);
impl SolidsDensity {
    /// The density `value`, which is known to be in range.
    pub(crate) const fn exactly(value: f64) -> Self {
        Self(value)
    }
}

impl From<OvenSetting> for Celsius {
    fn from(setting: OvenSetting) -> Self {
        Self(setting.get())
    }
}

percent!(AmountPercent, Fill, AcceptedChance, EquilibriumMoisture, SalesMargin);
percent!(Share, Superfat, Purity, PurityMargin, LyeConcentration, WaterPercent);

impl WaterRatio {
    /// The ratio that a concentration means: (100 − c)/c.
    pub fn from_concentration<N: Num>(c: N) -> N {
        (N::from(PERCENT) - c) / c
    }
}

/// How many bars a batch is cut into, 1 to 10,000.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct Bars(u32);

/// A count of bars outside 1 to 10,000.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the number of bars must lie between 1 and 10 000, not {0}")]
pub struct BarsOutOfRange(pub u32);

impl Bars {
    /// A small loaf's worth.
    pub const SIX: Self = Self(6);

    /// Takes `count` if it is 1 to 10,000.
    ///
    /// # Errors
    /// [`BarsOutOfRange`] otherwise.
    pub fn new(count: u32) -> Result<Self, BarsOutOfRange> {
        if (1..=10_000).contains(&count) { Ok(Self(count)) } else { Err(BarsOutOfRange(count)) }
    }

    /// The count.
    pub const fn get(self) -> u32 {
        self.0
    }
}

impl TryFrom<u32> for Bars {
    type Error = BarsOutOfRange;
    fn try_from(count: u32) -> Result<Self, BarsOutOfRange> {
        Self::new(count)
    }
}

impl From<Bars> for u32 {
    fn from(bars: Bars) -> Self {
        bars.0
    }
}

/// A result in percent, as a number of any [reading](crate::formula).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Percent<N = f64>(pub N);

/// A result as a part of a whole, 0.06 for 6 %, as a number of any [reading](crate::formula).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Fraction<N = f64>(pub N);

impl<N: Num> Percent<N> {
    /// `part` in percent of `whole`.
    pub fn of(part: N, whole: N) -> Self {
        Self(percent_of(part, whole))
    }

    /// The bare number, to decide by.
    pub fn value(self) -> f64 {
        self.0.value()
    }

    /// The same as a fraction.
    pub fn fraction(self) -> Fraction<N> {
        Fraction(from_percent(self.0))
    }
}

impl<N: Num> Fraction<N> {
    /// The bare number, to decide by.
    pub fn value(self) -> f64 {
        self.0.value()
    }

    /// The same in percent.
    pub fn percent(self) -> Percent<N> {
        Percent(in_percent(self.0))
    }

    /// The same without how it came about.
    pub fn plain(self) -> Fraction {
        Fraction(self.0.value())
    }
}

/// `part` in percent of `whole`.
pub fn percent_of<N: Num>(part: N, whole: N) -> N {
    N::from(PERCENT) * part / whole
}

/// A fraction in percent.
pub fn in_percent<N: Num>(fraction: N) -> N {
    N::from(PERCENT) * fraction
}

/// A percent as the fraction it is: the inverse of [`in_percent`].
pub fn from_percent<N: Num>(percent: N) -> N {
    percent / PERCENT
}

/// Percent in a whole.
const PERCENT: f64 = 100.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_percent_outside_its_range_or_not_finite_is_refused() {
        assert!(Share::new(100.0).is_ok(), "the end belongs to the range");
        for bad in [-1e-9, 100.1, f64::NAN, f64::INFINITY] {
            assert!(Share::new(bad).is_err(), "{bad} must be refused");
        }
        let message = Superfat::new(60.0).expect_err("60 % is too much").to_string();
        assert_eq!(message, "superfat must lie between -50 and 50 %, not 60");
    }
}
