//! How much alkali the fats take, and how much of it is weighed.

use crate::acids::molar_mass;
use crate::blend::FatLine;
use crate::design::Alkali;
use crate::units::{Grams, Superfat};

/// Exact need of fats, g KOH: Σ mᵢ·SVᵢ/1000, from the definition of the saponification value
/// (ISO 3657: mg KOH that one gram takes).
///
/// ```
/// use barwright_core::alkali::{koh_to_naoh, exact_koh};
/// use barwright_core::units::Grams;
/// // 1 kg of tristearin (SV 188.80) takes 134.59 g NaOH.
/// let koh = exact_koh([(Grams(1000.0), 188.80)]);
/// assert!((koh_to_naoh(koh).0 - 134.59).abs() < 0.01);
/// ```
pub fn exact_koh(fats: impl IntoIterator<Item = (Grams, f64)>) -> Grams {
    fats.into_iter().map(|(mass, sv)| mass * (sv / 1000.0)).sum()
}

/// The sodium hydroxide that does the work of `koh`: × 39.997/56.105.
pub fn koh_to_naoh(koh: Grams) -> Grams {
    koh * (molar_mass::NAOH / molar_mass::KOH)
}

/// The potassium hydroxide that does the work of `naoh`: × 56.105/39.997.
pub fn naoh_to_koh(naoh: Grams) -> Grams {
    naoh * (molar_mass::KOH / molar_mass::NAOH)
}

/// Pure and weighed alkali of a batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AlkaliNeed {
    /// Pure sodium hydroxide.
    pub pure_naoh: Grams,
    /// Pure potassium hydroxide.
    pub pure_koh: Grams,
    /// What is weighed as sodium hydroxide.
    pub naoh: Grams,
    /// What is weighed as potassium hydroxide.
    pub koh: Grams,
}

impl AlkaliNeed {
    /// Splits the exact need of the fats less the superfat, and with it what acids take (both in
    /// g KOH), between the two alkalis by equivalents, and divides by the purities.
    pub fn new(exact_koh: Grams, superfat: Superfat, acids_koh: Grams, alkali: &Alkali) -> Self {
        let used = exact_koh * (1.0 - superfat.fraction()) + acids_koh;
        let pure_koh = used * alkali.koh_share.fraction();
        let pure_naoh = koh_to_naoh(used * (1.0 - alkali.koh_share.fraction()));
        Self {
            pure_naoh,
            pure_koh,
            naoh: pure_naoh / alkali.naoh_purity.fraction(),
            koh: pure_koh / alkali.koh_purity.fraction(),
        }
    }

    /// All that is weighed.
    pub fn weighed(&self) -> Grams {
        self.naoh + self.koh
    }

    /// All pure alkali.
    pub fn pure(&self) -> Grams {
        self.pure_naoh + self.pure_koh
    }

    /// The water in the potassium hydroxide: what of it is not pure.
    pub fn water(&self) -> Grams {
        self.koh - self.pure_koh
    }
}

/// Masses of the blend's lines in a batch of `fat_mass`, in the lines' order.
pub fn masses(lines: &[FatLine], fat_mass: Grams) -> impl Iterator<Item = Grams> {
    lines.iter().map(move |l| fat_mass * l.share.fraction())
}
