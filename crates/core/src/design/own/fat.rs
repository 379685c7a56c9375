//! A fat of one's own.

use super::acids::{AcidsError, GivenAcid, profile};
use super::{AS_GIVEN, NameError, inci, inci_status, name};
use crate::library::acids::Acids;
use crate::library::fats::{Fat, FatFigures, FatKind, Inci, ProfileError};
use crate::library::material::{MaterialId, Sourced};
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Interval, IodineValue, OutOfRange, SaponificationValue, UnsaponifiableMatter};

/// A fat as its maker gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnFat {
    /// Its name.
    pub name: String,
    /// What it is, chemically.
    pub kind: FatKind,
    /// Saponification value, mg KOH/g; of no width where one figure is known.
    pub sv: Interval,
    /// Its fatty acids; none where they are not known.
    pub acids: Vec<GivenAcid>,
    /// Where they come from.
    pub acids_source: String,
    /// Iodine value, g iodine per 100 g.
    pub iv: Option<Interval>,
    /// Unsaponifiable matter, g/kg.
    pub unsaponifiable: Option<Interval>,
    /// Its name in ingredient lists; empty if none is known.
    pub inci: String,
}

/// A fat that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OwnFatError {
    /// The name is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// The name of ingredient lists is none.
    #[error(transparent)]
    Inci(NameError),
    /// The saponification value is none.
    #[error(transparent)]
    Sv(OutOfRange),
    /// The saponification value and the acids are not of one fat.
    #[error(
        "{} is more than 8 % away from the {} that its fatty acids give: one of them is a misprint or of another fat; read \
         the certificate again",
        short(*sv, 1),
        short(*calculated, 1)
    )]
    Misprint {
        /// The value given.
        sv: f64,
        /// What the acids give.
        calculated: f64,
    },
    /// The iodine value is none.
    #[error(transparent)]
    Iv(OutOfRange),
    /// The unsaponifiable matter is none.
    #[error(transparent)]
    Unsaponifiable(OutOfRange),
    /// The acids make no profile.
    #[error(transparent)]
    Acids(#[from] AcidsError),
    /// The acids make no profile of this library.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// A wax with acids.
    #[error("A wax is not described by its fatty acids: leave them out")]
    Wax,
}

impl OwnFat {
    /// The record called `id`; what is not asked for here stays as `kept` has it.
    ///
    /// # Errors
    /// [`OwnFatError`], by what is wrong.
    pub fn record(&self, id: MaterialId, kept: Option<&Fat>, acids: &Acids) -> Result<Fat, OwnFatError> {
        let name = name(&self.name)?;
        let fat = inci(&self.inci).map_err(OwnFatError::Inci)?;
        for end in [self.sv.min(), self.sv.max()] {
            SaponificationValue::new(end).map_err(OwnFatError::Sv)?;
        }
        if let Some(iv) = self.iv {
            IodineValue::new(iv.max()).map_err(OwnFatError::Iv)?;
        }
        if let Some(matter) = self.unsaponifiable {
            UnsaponifiableMatter::new(matter.max()).map_err(OwnFatError::Unsaponifiable)?;
        }
        let is_wax = matches!(self.kind, FatKind::Wax);
        if is_wax && !self.acids.is_empty() {
            return Err(OwnFatError::Wax);
        }
        let given = |value| Sourced { value, source: AS_GIVEN.into(), trust: Trust::Maker };
        let soaps = kept.map(|fat| fat.inci.clone()).unwrap_or_default();
        let figures = FatFigures {
            id,
            name,
            kind: self.kind,
            sv: given(self.sv),
            iv: self.iv.map(given),
            unsaponifiable: self.unsaponifiable.map(given),
            relative_density: kept.and_then(|fat| fat.relative_density.clone()),
            inci: Inci { fat_status: inci_status(&fat), fat, ..soaps },
        };
        let fat = Fat::new(figures, profile(&self.acids, &self.acids_source)?, acids)?;
        let sv = self.sv.mid();
        match fat.calculated_sv(acids).filter(|_| !fat.accepts_sv(sv, acids)) {
            Some(calculated) => Err(OwnFatError::Misprint { sv, calculated }),
            None => Ok(fat),
        }
    }
}
