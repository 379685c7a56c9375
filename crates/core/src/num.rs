//! A number that formulas are written in: a plain one, or one that is recorded.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A number that formulas are written in.
///
/// `+=` gathers lines of one kind into a sum, which is told as Σ; `+` joins different things.
pub trait Num:
    Copy
    + Debug
    + Default
    + PartialEq
    + From<f64>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + Neg<Output = Self>
    + AddAssign
{
    /// The bare number, to decide by.
    fn value(self) -> f64;
    /// Natural logarithm.
    #[must_use]
    fn ln(self) -> Self;
    /// e to this power.
    #[must_use]
    fn exp(self) -> Self;
    /// Cube root.
    #[must_use]
    fn cbrt(self) -> Self;
    /// The square.
    #[must_use]
    fn squared(self) -> Self;
    /// The greater.
    #[must_use]
    fn max(self, other: Self) -> Self;
    /// The lesser.
    #[must_use]
    fn min(self, other: Self) -> Self;
    /// Without its sign.
    #[must_use]
    fn abs(self) -> Self;
    /// The next whole number upwards; what lies above one by rounding alone counts as it.
    #[must_use]
    fn rounded_up(self) -> Self;
}

/// What is above a whole number by less is so by rounding.
const ROUNDING: f64 = 1e-12;

impl Num for f64 {
    #[inline]
    fn value(self) -> f64 {
        self
    }
    #[inline]
    fn ln(self) -> Self {
        Self::ln(self)
    }
    #[inline]
    fn exp(self) -> Self {
        Self::exp(self)
    }
    #[inline]
    fn cbrt(self) -> Self {
        Self::cbrt(self)
    }
    #[inline]
    fn squared(self) -> Self {
        self.powi(2)
    }
    #[inline]
    fn max(self, other: Self) -> Self {
        Self::max(self, other)
    }
    #[inline]
    fn min(self, other: Self) -> Self {
        Self::min(self, other)
    }
    #[inline]
    fn abs(self) -> Self {
        Self::abs(self)
    }
    #[inline]
    fn rounded_up(self) -> Self {
        (self * (1.0 - ROUNDING)).ceil()
    }
}
