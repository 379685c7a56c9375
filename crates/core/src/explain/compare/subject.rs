//! What a row is about, and the change that makes one design like another in it.

use super::Side;
use crate::design::blend::BlendError;
use crate::design::edit::{Edit, EditError};
use crate::design::{Design, WaterRule};
use crate::library::Library;
use crate::library::estimates::Estimate;
use crate::library::material::MaterialId;
use crate::number::short;
use crate::units::LyeConcentration;
use std::sync::Arc;

/// What a row is the number of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// The share of a fat.
    Share(MaterialId),
    /// A score.
    Estimate(Estimate),
    /// The planned superfat.
    Superfat,
    /// The lye concentration.
    LyeConcentration,
    /// Something that follows from the rest.
    Result,
}

impl Subject {
    /// Whether a person can set it, so that one design can be made like another in it.
    pub const fn is_set(&self) -> bool {
        matches!(self, Self::Share(_) | Self::Superfat | Self::LyeConcentration)
    }

    /// The change that makes `to` like `from` in this; `None` if it is so already, or follows
    /// from other things. A share moves as [`Edit::Share`] has it: the others give way.
    ///
    /// # Errors
    /// [`EditError`] if `to` cannot be so, for instance since locked fats leave no room.
    pub fn edit(&self, from: Side<'_>, to: &Design, library: &Library) -> Option<Result<Edit, EditError>> {
        match self {
            Self::Superfat => (from.design.superfat != to.superfat).then_some(Ok(Edit::Superfat(from.design.superfat))),
            Self::LyeConcentration => {
                let concentration = from.evaluation.masses.lye_concentration()?;
                let rule = match from.design.water {
                    // As it was typed, where that is what it comes to.
                    WaterRule::LyeConcentration(typed) if (typed.get() - concentration).abs() < 1e-9 => {
                        WaterRule::LyeConcentration(typed)
                    }
                    _ => WaterRule::LyeConcentration(LyeConcentration::new(concentration).ok()?),
                };
                (rule != to.water).then_some(Ok(Edit::Water(rule)))
            }
            Self::Share(id) => share(id, from.design, to, library),
            Self::Estimate(_) | Self::Result => None,
        }
    }
}

fn share(id: &MaterialId, from: &Design, to: &Design, library: &Library) -> Option<Result<Edit, EditError>> {
    let edit = match (from.blend.line(id), to.blend.line(id)) {
        (Some(there), Some(here)) if there.share == here.share => return None,
        (Some(there), Some(_)) => Edit::Share(id.clone(), there.share),
        (Some(there), None) => Edit::AddFat(Arc::clone(there.published()), there.share),
        (None, Some(_)) => Edit::RemoveFat(id.clone()),
        (None, None) => return None,
    };
    let wanted = from.blend.line(id).map_or(0.0, |l| l.share.get());
    Some(edit.apply(to, library).and_then(|after| {
        // A fat that comes in takes what room there is, and one that goes may leave a gap: then
        // it is not as asked.
        let got = after.blend.line(id).map_or(0.0, |l| l.share.get());
        if (got - wanted).abs() <= crate::design::blend::SUM_TOLERANCE && after.blend.is_whole() {
            return Ok(edit);
        }
        let line = from.blend.line(id).or(to.blend.line(id));
        let name = line.map_or_else(|| id.to_string(), |l| l.fat.name.clone());
        let only = after.blend.line(id).or(to.blend.line(id)).map_or(0.0, |l| l.share.get());
        Err(BlendError::NothingGives { name, only: short(only, 2) }.into())
    }))
}
