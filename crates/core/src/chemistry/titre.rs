//! The titre: the temperature at which the mixed fatty acids set.

use crate::library::acids::{AcidId, Acids};
use crate::library::composition::Composition;

/// Gas constant, J/(mol K) (SI, exact to the digits given).
pub(crate) const R: f64 = 8.314_462_618;
pub(crate) const ZERO_CELSIUS: f64 = 273.15;

/// Melting point (°C) and heat of fusion (kJ/mol) of the saturated acids; from memory.
const FUSION: [(&str, f64, f64); 6] = [
    ("8:0", 16.5, 21.4),
    ("10:0", 31.5, 27.8),
    ("12:0", 43.8, 36.3),
    ("14:0", 54.2, 45.1),
    ("16:0", 62.5, 53.7),
    ("18:0", 69.3, 61.2),
];

/// Slope and offset of titre against liquidus, fitted to ten titres of Simmons & Appleton
/// (1908). The example `fit_titre` does the fit again: with today's profiles it gives 1.155 and
/// −11.69, at most 0.11 °C away, which is far inside the estimate's own error.
pub const FIT: (f64, f64) = (1.157, -11.68);

/// The melting data bound to a library's acids.
#[derive(Debug, Clone, PartialEq)]
pub struct Fusion(Vec<(AcidId, f64, f64)>);

impl Fusion {
    /// Finds the saturated acids in `acids`; one that is absent is left out.
    pub fn of(acids: &Acids) -> Self {
        Self(
            FUSION
                .iter()
                .filter_map(|&(key, tm, dh)| Some((acids.find(key)?, tm + ZERO_CELSIUS, dh * 1000.0)))
                .collect(),
        )
    }

    /// Temperature in °C at which the first acid would crystallise from an ideal melt: the
    /// greatest 1/(1/Tm − R·ln x/ΔH) over the saturated acids, x being mole fractions among
    /// all acids. `None` if no saturated acid is there.
    pub fn liquidus(&self, composition: &Composition, acids: &Acids) -> Option<f64> {
        let moles = |id: AcidId| composition.fraction(id) / acids.get(id).molar_mass;
        let total: f64 = acids.iter().map(|(id, _)| moles(id)).sum();
        self.0
            .iter()
            .filter(|(id, ..)| composition.fraction(*id) > 0.0)
            .map(|&(id, tm, dh)| 1.0 / (1.0 / tm - R * (moles(id) / total).ln() / dh) - ZERO_CELSIUS)
            .max_by(f64::total_cmp)
    }

    /// The saturated acids that can set.
    pub fn saturated(&self) -> impl Iterator<Item = AcidId> {
        self.0.iter().map(|(id, ..)| *id)
    }

    /// Melting point (K) and heat of fusion (J/mol) of `acid`; from memory. `None` without melting data.
    pub(crate) fn of_acid(&self, acid: AcidId) -> Option<(f64, f64)> {
        self.0.iter().find(|(id, ..)| *id == acid).map(|&(_, melting, heat)| (melting, heat))
    }

    /// Titre in °C if `acid` sets first from a mixture that holds the mole fraction `x` of it;
    /// `None` for an acid without melting data or for none of it.
    pub fn titre_at(&self, acid: AcidId, x: f64) -> Option<f64> {
        let (tm, dh) = self.of_acid(acid).filter(|_| x > 0.0)?;
        Some(FIT.1 + FIT.0 * (1.0 / (1.0 / tm - R * x.ln() / dh) - ZERO_CELSIUS))
    }

    /// Titre in °C. Good to about ±3 °C in hard charges, worse in soft ones (maize 8 too high,
    /// peanut 6.5 too low); it is the setting point of the acids, not the hardness of a bar.
    pub fn titre(&self, composition: &Composition, acids: &Acids) -> Option<f64> {
        self.liquidus(composition, acids).map(|l| FIT.1 + FIT.0 * l)
    }
}
