//! What the log teaches: figures of one's own, worked out from what was weighed, measured and judged.
//!
//! Each begins at what the program would say without any of it, and moves as far as the observations bear it (Bayes: a
//! normal prior, the mode of what follows, and its curvature). Nothing here replaces a figure by itself: a lesson is
//! offered, or stands beside the program's own estimate.

pub mod batter;
pub mod cure;
pub mod jug;
mod mode;
pub mod of_log;
pub mod own_bars;
mod planar;
pub mod preferences;
pub mod wear;

use crate::units::Interval;

/// From the middle of a normal distribution to where a tenth of it is left, in standard deviations.
pub(crate) const TENTH: f64 = 1.281_551_565_545;

/// A figure that was learnt, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Learnt {
    /// The figure.
    pub value: f64,
    /// Its standard deviation, in the same unit.
    pub sd: f64,
}

impl Learnt {
    /// Between which ends it lies eight times in ten.
    pub fn band(self) -> Option<Interval> {
        Interval::new(self.value - TENTH * self.sd, self.value + TENTH * self.sd).ok()
    }
}
