//! Acceptance checks live in `tests/`; this is the comparison and the random numbers they share.

use barwright_core::cautions::{self, Caution};
use barwright_core::{Design, Evaluation, Library, evaluate};

mod stream;

pub use stream::Stream;

/// Fails unless `actual` lies within `tolerance` of `expected`, printing all three and the error.
///
/// # Panics
/// If it does not, or if a number is not finite.
#[track_caller]
pub fn assert_within(what: &str, actual: f64, expected: f64, tolerance: f64) {
    let error = (actual - expected).abs();
    assert!(error <= tolerance, "{what}: actual {actual}, expected {expected} ± {tolerance}, error {error:e}");
}

/// Fails unless `actual` is `expected` within the fraction `relative` of it, printing all three.
///
/// # Panics
/// If it is not, or if a number is not finite.
#[track_caller]
pub fn assert_relative(what: &str, actual: f64, expected: f64, relative: f64) {
    let error = (actual - expected).abs();
    assert!(
        error <= relative * expected.abs(),
        "{what}: actual {actual}, expected {expected}, relative error {:e}, allowed {relative:e}",
        error / expected.abs()
    );
}

/// The numbers of a design with what its maker must be told, as a person sees both.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The numbers.
    pub evaluation: Evaluation,
    /// What must be told, the worst first.
    pub cautions: Vec<Caution>,
}

impl std::ops::Deref for Judged {
    type Target = Evaluation;

    fn deref(&self) -> &Evaluation {
        &self.evaluation
    }
}

/// Works `design` out and asks what its maker must be told.
pub fn judged(design: &Design, library: &Library) -> Judged {
    let evaluation = evaluate(design, library);
    let cautions = cautions::of(design, &evaluation, library);
    Judged { evaluation, cautions }
}
