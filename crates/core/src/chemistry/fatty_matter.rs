//! Total fatty matter and glycerol: what becomes of the fats' mass.

use crate::formula::{Input, Plain, Reading};
use crate::library::acids::{Acids, MG_KOH_PER_MOL, molar_mass};
use crate::library::fats::{Fat, FatKind};
use crate::number::short;

/// Grams of glycerol that a gram of fat gives when all of it is saponified.
///
/// Triglycerides: SV/56105/3 · 92.094; free acids and waxes hold none.
pub fn glycerol_per_gram<R: Reading>(r: R, kind: FatKind, sv: R::N) -> R::N {
    match kind {
        FatKind::Triglyceride => sv / r.constant(MG_KOH_PER_MOL) / 3.0 * r.constant(molar_mass::GLYCEROL),
        FatKind::FreeAcid | FatKind::WaxEster { .. } | FatKind::Wax => R::N::from(0.0),
    }
}

/// Grams of total fatty matter (ISO 685: fatty acids set free, with unsaponified fat) in a gram
/// of `fat` with the saponification value `sv`.
///
/// Triglyceride: 1 − SV·(38.049/3)/56105, the acids less the glyceryl residue; a free acid is
/// all fatty matter; a wax ester counts its acid half, SV·M(acid)/56105. `None` for a wax whose
/// make-up is not tabled.
pub fn fatty_matter_per_gram<R: Reading>(r: R, fat: &Fat, sv: R::N, acids: &Acids) -> Option<R::N> {
    match fat.kind {
        FatKind::Triglyceride => {
            let residue = sv * r.constant(molar_mass::GLYCERYL) / 3.0 / r.constant(MG_KOH_PER_MOL);
            Some(R::N::from(1.0) - residue)
        }
        FatKind::FreeAcid => Some(R::N::from(1.0)),
        FatKind::WaxEster { .. } => {
            let mean = fat.mean_acid_molar_mass(acids)?;
            let mean = r.input("M(acids)", mean, "", || {
                let value = format!("{} g/mol", short(mean, 3));
                Input::worked_out(
                    &format!("Mean molar mass of the acids of {}", fat.name),
                    value,
                    "its typical profile",
                )
            });
            Some(sv * mean / r.constant(MG_KOH_PER_MOL))
        }
        FatKind::Wax => None,
    }
}

/// Anhydrous soap from a gram of fat, with sodium hydroxide: 1 + SV/56105·39.997 − glycerol
/// (triglyceride) or − water (free acid).
pub fn anhydrous_soap_per_gram(kind: FatKind, sv: f64) -> f64 {
    soap_per_gram(Plain, kind, sv, molar_mass::NAOH)
}

/// The same with an alkali of the molar mass `alkali`, g/mol. A wax’s alcohols, which stay with its
/// soap, are counted with it.
pub fn soap_per_gram<R: Reading>(r: R, kind: FatKind, sv: R::N, alkali: R::N) -> R::N {
    let moles = sv / r.constant(MG_KOH_PER_MOL);
    let lost = match kind {
        FatKind::FreeAcid => moles * r.constant(molar_mass::WATER),
        FatKind::Triglyceride | FatKind::WaxEster { .. } | FatKind::Wax => glycerol_per_gram(r, kind, sv),
    };
    R::N::from(1.0) + moles * alkali - lost
}
