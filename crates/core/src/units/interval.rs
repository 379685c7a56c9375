//! Ranges of numbers.

/// A closed interval of finite numbers, `min ≤ max`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Interval {
    min: f64,
    max: f64,
}

/// Two numbers that bound no interval.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{min} to {max} is no range")]
pub struct NoInterval {
    min: f64,
    max: f64,
}

impl Interval {
    /// The interval from `min` to `max`.
    ///
    /// # Errors
    /// [`NoInterval`] if either is not finite or they are in the wrong order.
    pub fn new(min: f64, max: f64) -> Result<Self, NoInterval> {
        if min.is_finite() && max.is_finite() && min <= max {
            Ok(Self { min, max })
        } else {
            Err(NoInterval { min, max })
        }
    }

    /// The smallest interval that holds all `values`; `None` if there are none or one is not finite.
    pub fn hull(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        let mut values = values.into_iter();
        let first = values.next()?;
        let (min, max) = values.fold((first, first), |(lo, hi), v| (lo.min(v), hi.max(v)));
        Self::new(min, max).ok()
    }

    /// Lower end.
    pub const fn min(self) -> f64 {
        self.min
    }

    /// Upper end.
    pub const fn max(self) -> f64 {
        self.max
    }

    /// Middle.
    pub const fn mid(self) -> f64 {
        f64::midpoint(self.min, self.max)
    }

    /// Upper less lower end.
    pub const fn width(self) -> f64 {
        self.max - self.min
    }

    /// Whether `value` lies inside, ends included.
    pub fn contains(self, value: f64) -> bool {
        (self.min..=self.max).contains(&value)
    }

    /// The same interval with `fraction` of its width added at each end.
    #[must_use]
    pub fn widened(self, fraction: f64) -> Self {
        let d = self.width() * fraction;
        Self { min: self.min - d, max: self.max + d }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_needs_two_ordered_numbers() {
        assert!(Interval::new(2.0, 1.0).is_err(), "wrong order");
        assert!(Interval::new(f64::NAN, 1.0).is_err(), "not a number");
        assert_eq!(Interval::hull([3.0, 1.0, 2.0]), Interval::new(1.0, 3.0).ok());
        assert_eq!(Interval::hull([]), None);
    }
}
