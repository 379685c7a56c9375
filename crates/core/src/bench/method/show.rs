//! How the method writes its numbers: one function a dimension, in the units of the person who reads it.

use super::Bench;
use crate::bench::weighing::on_scale;
use crate::number::{fixed, places};
use crate::quantity::Unit;
use crate::units::{Grams, Interval};

impl Bench<'_> {
    /// A mass.
    pub(super) fn mass(&self, mass: Grams) -> String {
        // So much that a little is not told as nothing.
        let decimals = if mass.0 < 10.0 { places(mass.0, 3) } else { 0 };
        Unit::Grams.short_in(mass.0, decimals, self.options.measures)
    }

    /// A mass that is put on the scale.
    pub(super) fn on_scale(&self, mass: Grams) -> String {
        on_scale(mass, self.design.scale_division, self.options.measures)
    }

    /// A temperature.
    pub(super) fn temperature(&self, celsius: f64) -> String {
        Unit::Celsius.short_in(celsius, 1, self.options.measures)
    }

    /// One that is worked out, in whole degrees.
    pub(super) fn about_temperature(&self, celsius: f64) -> String {
        Unit::Celsius.text_in(celsius, 0, self.options.measures)
    }

    /// Temperatures from one to another.
    pub(super) fn temperatures(&self, celsius: Interval) -> String {
        let measures = self.options.measures;
        format!("{} to {}", Unit::Celsius.short_number_in(celsius.min(), 1, measures), self.temperature(celsius.max()))
    }

    /// A volume.
    pub(super) fn volume(&self, ml: f64) -> String {
        Unit::Millilitres.text_in(ml, 0, self.options.measures)
    }

    /// Lengths from one end, all in one unit.
    pub(super) fn lengths(&self, mm: &[f64]) -> String {
        let measures = self.options.measures;
        let each: Vec<String> = mm.iter().map(|mm| Unit::Millimetres.number_in(*mm, 0, measures)).collect();
        format!("{} {}", each.join(", "), Unit::Millimetres.sign_in(measures))
    }

    /// A length.
    pub(super) fn length(&self, mm: f64) -> String {
        Unit::Millimetres.short_in(mm, 1, self.options.measures)
    }
}

/// Minutes.
pub(super) fn minutes(minutes: f64) -> String {
    format!("{} min", fixed(minutes, 0))
}
