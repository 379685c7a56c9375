//! Two designs side by side.

use crate::design::Design;
use crate::estimates::Estimate;
use crate::evaluate::Evaluation;
use crate::fats::Fat;
use std::sync::Arc;

/// One fat of either design with its share in each, percent; `None` where it is absent.
#[derive(Debug, Clone, PartialEq)]
pub struct FatRow {
    /// The fat.
    pub fat: Arc<Fat>,
    /// Share in the first design.
    pub a: Option<f64>,
    /// Share in the second design.
    pub b: Option<f64>,
}

impl FatRow {
    /// Second less first, percent points.
    pub fn difference(&self) -> f64 {
        self.b.unwrap_or(0.0) - self.a.unwrap_or(0.0)
    }
}

/// The fats of both designs: the first one's in its order, then what only the second has.
pub fn fats(a: &Design, b: &Design) -> Vec<FatRow> {
    let share = |design: &Design, fat: &Fat| design.blend.line(&fat.id).map(|l| l.share.get());
    let only_b = b.blend.lines().iter().filter(|l| a.blend.line(&l.fat.id).is_none());
    a.blend
        .lines()
        .iter()
        .chain(only_b)
        .map(|l| FatRow { fat: Arc::clone(&l.fat), a: share(a, &l.fat), b: share(b, &l.fat) })
        .collect()
}

/// How far `estimate` of the second lies above that of the first, on the numbers shown.
pub fn estimate_difference(estimate: Estimate, a: &Evaluation, b: &Evaluation) -> Option<f64> {
    Some(estimate.rounded(b.estimate(estimate)?.value) - estimate.rounded(a.estimate(estimate)?.value))
}
