//! Fatty acids: formula, molar mass, and the stoichiometry of their triglycerides.

use crate::formula::{Plain, Reading};
use serde::Deserialize;

/// Standard atomic weights, IUPAC abridged values (2021), and the molar masses the lye maths uses.
pub mod molar_mass {
    /// Carbon, g/mol.
    pub const C: f64 = 12.011;
    /// Hydrogen, g/mol.
    pub const H: f64 = 1.008;
    /// Oxygen, g/mol.
    pub const O: f64 = 15.999;
    /// Iodine, g/mol.
    pub const I: f64 = 126.904_47;
    /// Sodium hydroxide, g/mol (Na 22.98976928).
    pub const NAOH: f64 = 39.997;
    /// Potassium hydroxide, g/mol (K 39.0983).
    pub const KOH: f64 = 56.105;
    /// Glycerol, g/mol.
    pub const GLYCEROL: f64 = 92.094;
    /// Water, g/mol.
    pub const WATER: f64 = 18.015;
    /// What glycerol adds to three fatty acids in a triglyceride: C₃H₈O₃ − 3 H₂O, g/mol.
    pub const GLYCERYL: f64 = 38.049;
}

/// Milligrams of KOH in a mole, the numerator of every saponification value.
pub const MG_KOH_PER_MOL: f64 = molar_mass::KOH * 1000.0;

/// Position of an acid in [`Acids`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AcidId(u8);

impl AcidId {
    /// The position as an index.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// One fatty acid.
#[derive(Debug, Clone, PartialEq)]
pub struct Acid {
    /// Shorthand of lipid chemistry, "18:1".
    pub key: String,
    /// Common name, "oleic".
    pub name: String,
    /// Carbon atoms.
    pub carbons: u8,
    /// Double bonds.
    pub double_bonds: u8,
    /// Molar mass of the free acid, g/mol.
    pub molar_mass: f64,
}

impl Acid {
    /// "Oleic (18:1)".
    pub fn in_words(&self) -> String {
        let mut letters = self.name.chars();
        let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
        format!("{first}{} ({})", letters.as_str(), self.key)
    }

    /// Whether the chain holds no double bond.
    pub const fn is_saturated(&self) -> bool {
        self.double_bonds == 0
    }

    /// Saponification value of the triglyceride of this acid alone, mg KOH/g.
    ///
    /// SV = 3·56105/(3M + 38.049) (AOCS Cd 3a-94, exact molar masses).
    pub fn triglyceride_sv(&self) -> f64 {
        triglyceride_sv(Plain, self.molar_mass)
    }

    /// Iodine value of the triglyceride of this acid alone, g iodine per 100 g.
    ///
    /// IV = 3·2·126.90447·d/(3M + 38.049)·100 (AOCS Cd 1c-85).
    pub fn triglyceride_iv(&self) -> f64 {
        600.0 * molar_mass::I * f64::from(self.double_bonds) / (3.0 * self.molar_mass + molar_mass::GLYCERYL)
    }

    /// Iodine value of the free acid, g iodine per 100 g.
    pub fn free_iv(&self) -> f64 {
        200.0 * molar_mass::I * f64::from(self.double_bonds) / self.molar_mass
    }
}

/// Saponification value of a triglyceride whose acids have the mean molar mass `acid`, g/mol.
pub fn triglyceride_sv<R: Reading>(r: R, acid: R::N) -> R::N {
    let three = R::N::from(3.0);
    three * r.constant(MG_KOH_PER_MOL) / (three * acid + r.constant(molar_mass::GLYCERYL))
}

/// The acids of the library, in table order.
#[derive(Debug, Clone, PartialEq)]
pub struct Acids(Vec<Acid>);

/// A table of acids that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum AcidsError {
    /// The text is not the CSV it should be.
    #[error("acids.csv: {0}")]
    Csv(#[from] csv::Error),
    /// A formula that is not CₙHₘOₖ.
    #[error("acids.csv: acid {acid}: {formula} is no formula of carbon, hydrogen and oxygen")]
    Formula {
        /// The acid.
        acid: String,
        /// What stands there.
        formula: String,
    },
    /// More acids than an [`AcidId`] can number, or one twice.
    #[error("acids.csv: acid {0} stands twice or the table is too long")]
    Repeated(String),
}

#[derive(Deserialize)]
struct AcidRow {
    acid: String,
    name: String,
    formula: String,
    double_bonds: u8,
}

/// Reads C18H34O2 into atom counts.
fn atoms(formula: &str) -> Option<[u8; 3]> {
    let rest = formula.strip_prefix('C')?;
    let (carbon, rest) = rest.split_once('H')?;
    let (hydrogen, oxygen) = rest.split_once('O')?;
    Some([carbon.parse().ok()?, hydrogen.parse().ok()?, oxygen.parse().ok()?])
}

impl Acids {
    /// Parses `acids.csv`.
    ///
    /// # Errors
    /// [`AcidsError`], naming the acid.
    pub fn parse(text: &str) -> Result<Self, AcidsError> {
        let mut acids: Vec<Acid> = Vec::new();
        for row in csv::Reader::from_reader(text.as_bytes()).deserialize() {
            let AcidRow { acid, name, formula, double_bonds } = row?;
            let Some([carbons, hydrogens, oxygens]) = atoms(&formula) else {
                return Err(AcidsError::Formula { acid, formula });
            };
            if acids.len() >= usize::from(u8::MAX) || acids.iter().any(|a| a.key == acid) {
                return Err(AcidsError::Repeated(acid));
            }
            let molar_mass = f64::from(carbons) * molar_mass::C
                + f64::from(hydrogens) * molar_mass::H
                + f64::from(oxygens) * molar_mass::O;
            acids.push(Acid { key: acid, name, carbons, double_bonds, molar_mass });
        }
        Ok(Self(acids))
    }

    /// How many there are.
    pub const fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The acid at `id`.
    pub fn get(&self, id: AcidId) -> &Acid {
        &self.0[id.index()]
    }

    /// The acid whose shorthand is `key`.
    pub fn find(&self, key: &str) -> Option<AcidId> {
        let index = self.0.iter().position(|a| a.key == key)?;
        u8::try_from(index).ok().map(AcidId)
    }

    /// All acids with their ids, in table order.
    pub fn iter(&self) -> impl Iterator<Item = (AcidId, &Acid)> {
        (0..=u8::MAX).map(AcidId).zip(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_other_than_carbon_hydrogen_oxygen_is_refused() {
        assert_eq!(atoms("C18H34O2"), Some([18, 34, 2]));
        for bad in ["", "C18", "C18H34", "H2O", "C18H34N2", "C999H1O1"] {
            assert_eq!(atoms(bad), None, "{bad}");
        }
        let error = Acids::parse("acid,name,formula,double_bonds,hydroxyls\nx,x,NaCl,0,0\n").expect_err("no acid");
        assert!(error.to_string().contains("acid x: NaCl"), "{error}");
    }
}
