//! The titre: the temperature at which the mixed fatty acids set.

use crate::formula::{Input, Num, Reading, number_text};
use crate::library::acids::{Acid, AcidId, Acids};
use crate::library::composition::Composition;
use crate::library::fusion::{Fusion, Melts, ZERO_CELSIUS};
use crate::number::short;
use crate::trust::Trust;

/// Gas constant, J/(mol K) (SI, exact to the digits given).
const R_GAS: f64 = 8.314_462_618;
/// Slope and offset of titre against liquidus, fitted to ten titres of Simmons & Appleton
/// (1908). The example `fit_titre` does the fit again: with today's profiles it gives 1.155 and
/// −11.69, at most 0.11 °C away, which is far inside the estimate's own error.
pub const FIT: (f64, f64) = (1.157, -11.68);

impl Fusion {
    /// Temperature in °C at which the first acid would crystallise from an ideal melt: the
    /// greatest 1/(1/Tm − R·ln x/ΔH) over the saturated acids, x being mole fractions among
    /// all acids. `None` if no saturated acid is there.
    pub fn liquidus<R: Reading>(&self, r: R, composition: &Composition<R::N>, acids: &Acids) -> Option<R::N> {
        let moles = |id: AcidId, acid: &Acid| {
            let molar = r.input("M", acid.molar_mass, "", || {
                let name = format!("Molar mass M of {}", acid.in_words());
                Input::worked_out(&name, format!("{} g/mol", short(acid.molar_mass, 3)), "its formula")
            });
            composition.named(r, id, acid) / molar
        };
        let total = r.sum(acids.iter().map(|(id, acid)| moles(id, acid)));
        let total = r.named("moles of all acids", "", total, || {
            ("Moles of all acids in a gram".into(), "Σ acid ÷ its molar mass".into())
        });
        let there = self.acids().iter().filter(|melts| composition.fraction(melts.acid).value() > 0.0);
        let sets = there.map(|melts| melts.sets(r, moles(melts.acid, acids.get(melts.acid)) / total, acids));
        sets.max_by(|a, b| a.value().total_cmp(&b.value()))
    }

    /// Titre in °C if `acid` sets first from a mixture that holds the mole fraction `x` of it;
    /// `None` for an acid without melting data or for none of it.
    pub fn titre_at<R: Reading>(&self, r: R, acid: AcidId, x: R::N, acids: &Acids) -> Option<R::N> {
        let melts = self.acids().iter().find(|melts| melts.acid == acid).filter(|_| x.value() > 0.0)?;
        Some(titre_of(r, melts.sets(r, x, acids)))
    }

    /// Titre in °C. Good to about ±3 °C in hard charges, worse in soft ones (maize 8 too high,
    /// castor 7 too low); it is the setting point of the acids, not the hardness of a bar.
    pub fn titre<R: Reading>(&self, r: R, composition: &Composition<R::N>, acids: &Acids) -> Option<R::N> {
        self.liquidus(r, composition, acids).map(|liquidus| titre_of(r, liquidus))
    }
}

/// The titre that a liquidus means, by [`FIT`].
fn titre_of<R: Reading>(r: R, liquidus: R::N) -> R::N {
    let fitted = |symbol, value: f64, name: &str, unit: &'static str| {
        r.input(symbol, value, unit, || {
            let source = "fitted to ten titres of Simmons and Appleton 1908";
            Input::sourced(name, number_text(value, unit), source, Trust::Read)
        })
    };
    fitted("offset", FIT.1, "Offset of the titre", "°C") + fitted("slope", FIT.0, "Slope of the titre", "") * liquidus
}

impl Melts {
    /// Temperature in °C at which the acid sets from an ideal melt with the mole fraction `x` of it.
    fn sets<R: Reading>(&self, r: R, x: R::N, acids: &Acids) -> R::N {
        let name = || acids.get(self.acid).in_words();
        let data = "melting point and heat of fusion";
        let melting = r.input("T", self.kelvin, "K", || {
            let value = format!("{} °C", short(self.kelvin - ZERO_CELSIUS, 1));
            Input::sourced(&format!("{} melts at T", name()), value, data, Trust::FromMemory)
        });
        let heat = r.input("ΔH", self.heat, "J/mol", || {
            Input::sourced(
                &format!("Heat of fusion ΔH of {}", name()),
                number_text(self.heat, "J/mol"),
                data,
                Trust::FromMemory,
            )
        });
        let one = R::N::from(1.0);
        one / (one / melting - r.constant(R_GAS) * x.ln() / heat) - r.constant(ZERO_CELSIUS)
    }
}
