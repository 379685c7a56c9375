//! A colourant of one's own.

use super::{AS_GIVEN, NameError, inci, inci_status, name};
use crate::library::additions::{Addition, AdditionKind, Colourant, ColourantClass, Contents, Stage};
use crate::library::handling::{AmountsError, Handling};
use crate::library::material::{MaterialId, Sourced};
use crate::library::shade::Shade;
use crate::trust::Trust;
use crate::units::{AmountPerKg, Share};

/// A colourant as its maker gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnColourant {
    /// Its name.
    pub name: String,
    /// What it is made of.
    pub class: ColourantClass,
    /// Its name in ingredient lists or its number in the Colour Index; empty if none is known.
    pub inci: String,
    /// As much of it is usual, g per kg of fats.
    pub usual: AmountPerKg,
    /// The most of it, g per kg of fats.
    pub most: AmountPerKg,
    /// The colour that it gives.
    pub shade: Option<Shade>,
}

/// A colourant that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OwnColourantError {
    /// The name is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// The name of ingredient lists is none.
    #[error(transparent)]
    Inci(NameError),
    /// The amounts are in no order.
    #[error(transparent)]
    Amounts(#[from] AmountsError),
}

impl OwnColourant {
    /// The record called `id`.
    ///
    /// # Errors
    /// [`OwnColourantError`], by what is wrong.
    pub fn record(&self, id: MaterialId) -> Result<Addition, OwnColourantError> {
        let inci = inci(&self.inci).map_err(OwnColourantError::Inci)?;
        let none = Share::nearest(0.0);
        let contents = Contents { water: none, fat: none, sugars: Some(none) };
        let least = AmountPerKg::nearest(0.0);
        Ok(Addition {
            id,
            name: name(&self.name)?,
            kind: AdditionKind::Filler,
            contents: Sourced { value: contents, source: AS_GIVEN.into(), trust: Trust::Maker },
            acid: None,
            uncounted_acid: None,
            alcohol: none,
            usual_stage: Stage::AtTrace,
            handling: Handling::of_kind(AdditionKind::Filler).as_maker(least, self.usual, self.most)?,
            colourant: Some(Colourant { class: self.class, shade: self.shade }),
            solids_density: self.class.density(),
            inci_status: inci_status(&inci),
            inci,
            advice: self.class.advice().into(),
        })
    }
}
