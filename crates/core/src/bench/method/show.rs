//! How the method writes its numbers: one function a dimension.

use crate::number::{fixed, short, significant};
use crate::units::{Grams, Interval};

/// A mass.
pub(super) fn mass(mass: Grams) -> String {
    // So much that a little is not told as nothing.
    let number = if mass.0 < 10.0 { significant(mass.0) } else { fixed(mass.0, 0) };
    format!("{number} g")
}

/// A temperature.
pub(super) fn temperature(celsius: f64) -> String {
    format!("{} °C", short(celsius, 1))
}

/// Temperatures from one to another.
pub(super) fn temperatures(celsius: Interval) -> String {
    format!("{} to {}", short(celsius.min(), 1), temperature(celsius.max()))
}

/// A volume.
pub(super) fn volume(ml: f64) -> String {
    format!("{} ml", fixed(ml, 0))
}

/// Lengths from one end, all in one unit.
pub(super) fn lengths(mm: &[f64]) -> String {
    let each: Vec<String> = mm.iter().map(|mm| fixed(*mm, 0)).collect();
    format!("{} mm", each.join(", "))
}

/// A length.
pub(super) fn length(mm: f64) -> String {
    format!("{} mm", short(mm, 1))
}

/// Minutes.
pub(super) fn minutes(minutes: f64) -> String {
    format!("{} min", fixed(minutes, 0))
}
