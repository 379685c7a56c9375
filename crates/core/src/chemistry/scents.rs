//! How much of a scent keeps a bar within a limit.

use crate::chemistry::masses::DRY_PART;
use crate::library::scents::{Finding, ScentCheck};
use crate::units::Grams;

impl ScentCheck {
    /// The most of the scent at `position` with which the substance of `finding` stays within its
    /// limit while the other scents stay as they are; `bars` as in [`Self::of`]. Taking scent out
    /// makes the dried bars lighter, by 1/0.95 of its mass, which is counted. `None` if the scent
    /// does not hold the substance; negative if the others alone exceed the limit.
    pub fn most(&self, finding: &Finding, position: usize, bars: Grams) -> Option<Grams> {
        let fraction = *finding.fractions.get(position)?;
        let limit = finding.limit.fraction().0;
        let slope = fraction - limit / DRY_PART;
        let mass = self.masses.get(position)?.0;
        let others = finding.percent.fraction().0 * bars.0 - mass * fraction;
        (fraction > 0.0 && slope > 0.0).then(|| Grams((limit * (bars.0 - mass / DRY_PART) - others) / slope))
    }
}
