//! Ranges that a number is asked to lie in before anybody has typed one.

use super::Measure;
use crate::number::{fixed, rounded};
use crate::units::Interval;

/// The part of a number that a range around it begins with to either side.
const ROOM: f64 = 0.1;

impl Measure {
    /// The smallest step in which it is shown.
    ///
    /// ```
    /// use barwright_core::library::estimates::Estimate;
    /// use barwright_core::find::Measure;
    /// assert_eq!(Measure::Estimate(Estimate::Hardness).step(), 1.0);
    /// assert_eq!(Measure::SaponificationValue.step(), 0.1);
    /// ```
    pub fn step(self) -> f64 {
        0.1_f64.powi(i32::try_from(self.decimals()).unwrap_or_default())
    }

    /// `value` as it is shown.
    pub fn shown(self, value: f64) -> String {
        match self {
            Self::Estimate(estimate) => estimate.shown(value),
            measure => fixed(value, measure.decimals()),
        }
    }

    /// A tenth to either side of `value`, to what is shown; `None` if that is no range.
    pub fn around(self, value: f64) -> Option<Interval> {
        let end = |part: f64| rounded(value * part, self.decimals());
        Interval::new(end(1.0 - ROOM), end(1.0 + ROOM)).ok()
    }
}
