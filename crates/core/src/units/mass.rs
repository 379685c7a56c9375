//! Masses, and the units in which they are told.

use crate::num::Num;
use serde::{Deserialize, Serialize};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

/// A mass in grams, as a number of any [reading](crate::formula).
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize)]
#[serde(transparent)]
pub struct Grams<N = f64>(pub N);

impl Grams {
    /// No mass.
    pub const ZERO: Self = Self(0.0);
}

impl<N: Num> Grams<N> {
    /// The bare number, to decide by.
    pub fn value(self) -> f64 {
        self.0.value()
    }

    /// No mass, in any reading.
    pub fn none() -> Self {
        Self(N::from(0.0))
    }

    /// What of it is there for certain: the same without how it came about.
    pub fn plain(self) -> Grams {
        Grams(self.0.value())
    }
}

impl<N: Num> Add for Grams<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl<N: Num> AddAssign for Grams<N> {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl<N: Num> Sub for Grams<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl<N: Num> Mul<N> for Grams<N> {
    type Output = Self;
    fn mul(self, factor: N) -> Self {
        Self(self.0 * factor)
    }
}

impl<N: Num> Div<N> for Grams<N> {
    type Output = Self;
    fn div(self, divisor: N) -> Self {
        Self(self.0 / divisor)
    }
}

impl Sum for Grams {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        Self(masses.map(|m| m.0).sum())
    }
}

/// The unit in which masses are shown and typed; inside, everything is grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum MassUnit {
    /// Gram.
    #[default]
    Gram,
    /// International avoirdupois ounce.
    Ounce,
}

impl MassUnit {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Gram, Self::Ounce];

    /// Grams in one of this unit. The ounce is 28.349523125 g exactly (international yard and
    /// pound agreement of 1959: 1 lb = 0.45359237 kg).
    pub const fn grams(self) -> f64 {
        match self {
            Self::Gram => 1.0,
            Self::Ounce => 28.349_523_125,
        }
    }

    /// `mass` as a number of this unit.
    pub fn from_grams(self, mass: Grams) -> f64 {
        mass.0 / self.grams()
    }

    /// A number of this unit as a mass.
    pub fn to_grams(self, value: f64) -> Grams {
        Grams(value * self.grams())
    }

    /// A step of this unit, in grams: `grams` where grams are shown, `ounces` where ounces are.
    ///
    /// ```
    /// use barwright_core::units::MassUnit;
    /// assert_eq!(MassUnit::Gram.step(10.0, 1.0), 10.0);
    /// assert_eq!(MassUnit::Ounce.step(10.0, 0.25), 0.25 * MassUnit::Ounce.grams());
    /// ```
    pub const fn step(self, grams: f64, ounces: f64) -> f64 {
        match self {
            Self::Gram => grams,
            Self::Ounce => ounces * self.grams(),
        }
    }

    /// The unit's sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Ounce => "oz",
        }
    }

    /// Decimals that a shown weight carries: 0.1 g or 0.01 oz.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Gram => 1,
            Self::Ounce => 2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sixteen_ounces_are_a_pound() {
        let pound = MassUnit::Ounce.to_grams(16.0);
        assert!((pound.0 - 453.592_37).abs() < 1e-9, "got {}", pound.0);
        assert!((MassUnit::Ounce.from_grams(pound) - 16.0).abs() < 1e-12, "there and back");
    }
}
