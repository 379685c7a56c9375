//! Numbers and sums as they are put into a formula, with as many digits as the result needs.

use crate::number::{places, short};
use crate::units::Grams;

/// `value` with at least six significant digits, or three decimals.
pub(super) fn number(value: f64) -> String {
    let decimals = (3..=9_u8).find(|d| value.abs() * 10_f64.powi(i32::from(*d)) >= 1e5).unwrap_or(9);
    short(value, usize::from(decimals))
}

/// A mass with eight significant digits, for the percents that are told to a hundredth.
pub(super) fn finely(mass: Grams) -> String {
    format!("{} g", short(mass.0, places(mass.0, 8)))
}

/// A mass with its unit.
pub(super) fn grams(mass: Grams) -> String {
    format!("{} g", number(mass.0))
}

/// The terms with plus signs between them; "0" without any.
pub(super) fn sum(terms: impl IntoIterator<Item = String>) -> String {
    let terms: Vec<String> = terms.into_iter().collect();
    if terms.is_empty() { "0".into() } else { terms.join(" + ") }
}
