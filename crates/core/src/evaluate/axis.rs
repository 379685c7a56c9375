//! The axes on which scores are drawn.

use super::Evaluation;
use crate::library::Library;
use crate::library::estimates::Estimate;
use crate::num::Num;
use crate::units::{Fraction, Interval};

impl<N: Num> Evaluation<N> {
    /// Free fat of all fat, by which reference soaps are made alike.
    pub fn free_fat_fraction(&self) -> Fraction<N> {
        self.masses.free_fat.fraction()
    }
}

impl Evaluation {
    /// The axis on which `estimate` is drawn for this design; see [`Library::scale`].
    pub fn axis(&self, estimate: Estimate, library: &Library) -> Option<Interval> {
        library.scale(estimate, self.free_fat_fraction())
    }
}

/// One axis for `estimate` of several designs: it holds the scale of the one with the most free fat,
/// every value and every range.
///
/// ```
/// use barwright_core::library::estimates::Estimate;
/// use barwright_core::evaluate::axis::shared_axis;
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let nothing = evaluate(&Design::default(), &library);
/// let axis = shared_axis(Estimate::Wear, &[&nothing, &nothing], &library);
/// assert_eq!(axis, nothing.axis(Estimate::Wear, &library), "without fats there is only the scale");
/// # Ok::<(), barwright_core::library::LibraryError>(())
/// ```
pub fn shared_axis(estimate: Estimate, designs: &[&Evaluation], library: &Library) -> Option<Interval> {
    let most_free_fat = designs.iter().map(|d| d.free_fat_fraction().0).fold(0.0, f64::max);
    let results = || designs.iter().filter_map(|d| d.estimate(estimate));
    let known = library.scale(estimate, Fraction(most_free_fat)).into_iter().chain(results().filter_map(|r| r.range));
    let ends = known.flat_map(|interval| [interval.min(), interval.max()]);
    Interval::hull(results().map(|r| r.value).chain(ends))
}
