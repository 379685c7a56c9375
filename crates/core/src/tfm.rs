//! Total fatty matter and glycerol: what becomes of the fats' mass.

use crate::acids::{Acids, MG_KOH_PER_MOL, molar_mass};
use crate::fats::{Fat, FatKind};

/// Grams of glycerol that a gram of fat gives when all of it is saponified.
///
/// Triglycerides: SV/56105/3 · 92.094; free acids and waxes hold none.
pub fn glycerol_per_gram(kind: FatKind, sv: f64) -> f64 {
    match kind {
        FatKind::Triglyceride => sv / MG_KOH_PER_MOL / 3.0 * molar_mass::GLYCEROL,
        FatKind::FreeAcid | FatKind::WaxEster { .. } | FatKind::Wax => 0.0,
    }
}

/// Grams of total fatty matter (ISO 685: fatty acids set free, with unsaponified fat) in a gram
/// of fat.
///
/// Triglyceride: 1 − SV·(38.049/3)/56105, the acids less the glyceryl residue; a free acid is
/// all fatty matter; a wax ester counts its acid half, SV·M(acid)/56105. `None` for a wax whose
/// make-up is not tabled.
pub fn fatty_matter_per_gram(fat: &Fat, sv: f64, acids: &Acids) -> Option<f64> {
    match fat.kind {
        FatKind::Triglyceride => Some(1.0 - sv * molar_mass::GLYCERYL / 3.0 / MG_KOH_PER_MOL),
        FatKind::FreeAcid => Some(1.0),
        FatKind::WaxEster { .. } => Some(sv * fat.mean_acid_molar_mass(acids)? / MG_KOH_PER_MOL),
        FatKind::Wax => None,
    }
}

/// Anhydrous soap from a gram of fat, with sodium hydroxide: 1 + SV/56105·39.997 − glycerol
/// (triglyceride) or − water (free acid).
pub fn anhydrous_soap_per_gram(kind: FatKind, sv: f64) -> f64 {
    soap_per_gram(kind, sv, molar_mass::NAOH)
}

/// The same with an alkali of the molar mass `alkali`, g/mol. A wax’s alcohols, which stay with its
/// soap, are counted with it.
pub fn soap_per_gram(kind: FatKind, sv: f64, alkali: f64) -> f64 {
    let moles = sv / MG_KOH_PER_MOL;
    let lost = match kind {
        FatKind::FreeAcid => moles * molar_mass::WATER,
        _ => glycerol_per_gram(kind, sv),
    };
    1.0 + moles * alkali - lost
}
