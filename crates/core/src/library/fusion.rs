//! Melting data of the saturated acids.

use crate::library::acids::{AcidId, Acids};

/// 0 °C in kelvin.
pub const ZERO_CELSIUS: f64 = 273.15;

/// Melting point (°C) and heat of fusion (kJ/mol) of the saturated acids; from memory.
const FUSION: [(&str, f64, f64); 6] = [
    ("8:0", 16.5, 21.4),
    ("10:0", 31.5, 27.8),
    ("12:0", 43.8, 36.3),
    ("14:0", 54.2, 45.1),
    ("16:0", 62.5, 53.7),
    ("18:0", 69.3, 61.2),
];

/// The melting data bound to a library's acids.
#[derive(Debug, Clone, PartialEq)]
pub struct Fusion(Vec<Melts>);

/// An acid's melting data; from memory.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Melts {
    /// The acid.
    pub acid: AcidId,
    /// Melting point, K.
    pub kelvin: f64,
    /// Heat of fusion, J/mol.
    pub heat: f64,
}

impl Fusion {
    /// Finds the saturated acids in `acids`; one that is absent is left out.
    pub fn of(acids: &Acids) -> Self {
        Self(
            FUSION
                .iter()
                .filter_map(|&(key, celsius, kilojoules)| {
                    let (kelvin, heat) = (celsius + ZERO_CELSIUS, kilojoules * 1000.0);
                    Some(Melts { acid: acids.find(key)?, kelvin, heat })
                })
                .collect(),
        )
    }

    /// The data of each acid.
    pub fn acids(&self) -> &[Melts] {
        &self.0
    }

    /// The saturated acids that can set.
    pub fn saturated(&self) -> impl Iterator<Item = AcidId> {
        self.0.iter().map(|melts| melts.acid)
    }
}
