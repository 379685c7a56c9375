//! How much alkali the fats take, and how much of it is weighed.

use crate::chemistry::inputs;
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::formula::{Num, Reading};
use crate::library::acids::molar_mass;
use crate::units::Grams;

/// Exact need of fats, g KOH: Σ mᵢ·SVᵢ/1000, from the definition of the saponification value
/// (ISO 3657: mg KOH that one gram takes).
///
/// ```
/// use barwright_core::chemistry::alkali::{exact_koh, koh_to_naoh};
/// use barwright_core::formula::Plain;
/// use barwright_core::units::Grams;
/// // 1 kg of tristearin (SV 188.80) takes 134.59 g NaOH.
/// let koh = exact_koh([(Grams(1000.0), 188.80)]);
/// assert!((koh_to_naoh(Plain, koh).0 - 134.59).abs() < 0.01);
/// ```
pub fn exact_koh(fats: impl IntoIterator<Item = (Grams, f64)>) -> Grams {
    fats.into_iter().map(|(mass, sv)| koh_of(mass, sv)).sum()
}

/// What `mass` of a fat takes exactly, g KOH: m·SV/1000.
pub fn koh_of<N: Num>(mass: Grams<N>, sv: N) -> Grams<N> {
    mass * (sv / MG_PER_G)
}

/// Milligrams in a gram.
const MG_PER_G: f64 = 1000.0;

/// The sodium hydroxide that does the work of `koh`: × 39.997/56.105.
pub fn koh_to_naoh<R: Reading>(r: R, koh: Grams<R::N>) -> Grams<R::N> {
    koh * (r.constant(molar_mass::NAOH) / r.constant(molar_mass::KOH))
}

/// The potassium hydroxide that does the work of `naoh`: × 56.105/39.997.
pub fn naoh_to_koh<R: Reading>(r: R, naoh: Grams<R::N>) -> Grams<R::N> {
    naoh * (r.constant(molar_mass::KOH) / r.constant(molar_mass::NAOH))
}

/// Pure and weighed alkali of a batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AlkaliNeed<N = f64> {
    /// Pure sodium hydroxide.
    pub pure_naoh: Grams<N>,
    /// Pure potassium hydroxide.
    pub pure_koh: Grams<N>,
    /// What is weighed as sodium hydroxide.
    pub naoh: Grams<N>,
    /// What is weighed as potassium hydroxide.
    pub koh: Grams<N>,
}

impl<N: Num> AlkaliNeed<N> {
    /// Splits the exact need of the fats less the superfat, and with it what acids take (both in
    /// g KOH), between the two alkalis by equivalents, and divides by the purities.
    pub fn new<R: Reading<N = N>>(r: R, exact_koh: Grams<N>, acids_koh: Grams<N>, design: &Design) -> Self {
        let used = exact_koh * (N::from(1.0) - inputs::superfat(r, design)) + acids_koh;
        let koh_share = inputs::koh_share(r, design);
        let pure_koh = used * koh_share;
        let pure_naoh = koh_to_naoh(r, used * (N::from(1.0) - koh_share));
        let named =
            |symbol, title: &str, pure: Grams<N>| Grams(r.named(symbol, "g", pure.0, || (title.into(), PURE.into())));
        Self {
            pure_naoh: named("pure sodium hydroxide", "Pure sodium hydroxide", pure_naoh),
            pure_koh: named("pure potassium hydroxide", "Pure potassium hydroxide", pure_koh),
            naoh: pure_naoh / inputs::naoh_purity(r, design),
            koh: pure_koh / inputs::koh_purity(r, design),
        }
    }

    /// All that is weighed.
    pub fn weighed(&self) -> Grams<N> {
        self.naoh + self.koh
    }

    /// All pure alkali.
    pub fn pure(&self) -> Grams<N> {
        self.pure_naoh + self.pure_koh
    }

    /// The water in the potassium hydroxide: what of it is not pure.
    pub fn water(&self) -> Grams<N> {
        self.koh - self.pure_koh
    }
}

/// How pure alkali is known.
const PURE: &str = "what is weighed × its purity, with what acids take";

/// Masses of the blend's lines in a batch of `fat_mass`, in the lines' order.
pub fn masses<R: Reading>(r: R, lines: &[FatLine], fat_mass: Grams<R::N>) -> impl Iterator<Item = Grams<R::N>> {
    lines.iter().map(move |l| fat_mass * inputs::share(r, l))
}
