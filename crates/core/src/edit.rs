//! The changes a person can make to a design; the one way in.

use crate::blend::BlendError;
use crate::design::{Alkali, Design, WaterRule};
use crate::fats::{Fat, FatId};
use crate::library::Library;
use crate::units::{Bars, FatMass, ScaleDivision, Share, Superfat};
use std::sync::Arc;

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Gives the design another name.
    Rename(String),
    /// Replaces the notes.
    Notes(String),
    /// Chooses a style by name.
    Style(String),
    /// Moves a fat's share; the unlocked others give way.
    Share(FatId, Share),
    /// Locks or unlocks a fat's share.
    Lock(FatId, bool),
    /// Adds a fat.
    AddFat(Arc<Fat>, Share),
    /// Takes a fat out.
    RemoveFat(FatId),
    /// Scales the unlocked fats so that the shares sum to 100.
    FillBlend,
    /// Changes the superfat.
    Superfat(Superfat),
    /// Changes the kind of alkali or its purity.
    Alkali(Alkali),
    /// Changes the water.
    Water(WaterRule),
    /// Changes the mass of the fats.
    FatMass(FatMass),
    /// Changes the number of bars.
    Bars(Bars),
    /// Changes the step of the scale.
    ScaleDivision(ScaleDivision),
    /// Puts the library's records in place of those kept in the design.
    RefreshRecords,
}

impl Edit {
    /// What undo calls this step.
    pub fn name(&self, design: &Design) -> String {
        let fat = |id: &FatId| design.blend.line(id).map_or_else(|| id.to_string(), |l| l.fat.name.clone());
        match self {
            Self::Rename(_) => "name".into(),
            Self::Notes(_) => "notes".into(),
            Self::Style(_) => "style".into(),
            Self::Share(id, _) => format!("share of {}", fat(id)),
            Self::Lock(id, true) => format!("lock {}", fat(id)),
            Self::Lock(id, false) => format!("unlock {}", fat(id)),
            Self::AddFat(record, _) => format!("add {}", record.name),
            Self::RemoveFat(id) => format!("remove {}", fat(id)),
            Self::FillBlend => "make it 100 %".into(),
            Self::Superfat(_) => "superfat".into(),
            Self::Alkali(_) => "alkali".into(),
            Self::Water(_) => "water".into(),
            Self::FatMass(_) => "mass of fats".into(),
            Self::Bars(_) => "number of bars".into(),
            Self::ScaleDivision(_) => "scale".into(),
            Self::RefreshRecords => "use the library’s figures".into(),
        }
    }

    /// The design after this change.
    ///
    /// # Errors
    /// [`BlendError`] if the blend cannot be as asked.
    pub fn apply(&self, design: &Design, library: &Library) -> Result<Design, BlendError> {
        let mut next = design.clone();
        match self.clone() {
            Self::Rename(name) => next.name = name,
            Self::Notes(notes) => next.notes = notes,
            Self::Style(style) => next.style = style,
            Self::Share(id, share) => next.blend.set_share(&id, share)?,
            Self::Lock(id, locked) => next.blend.set_locked(&id, locked)?,
            Self::AddFat(fat, share) => {
                // A record the design kept for this fat comes before the library's.
                let kept = next.spare_fats.iter().position(|f| f.id == fat.id).map(|i| next.spare_fats.remove(i));
                next.blend.add(kept.unwrap_or(fat), share)?;
            }
            Self::RemoveFat(id) => {
                let gone = next.blend.line(&id).map(|l| Arc::clone(&l.fat));
                next.blend.remove(&id)?;
                // A record that the library does not hold would be lost with its line.
                next.spare_fats.extend(gone.filter(|f| library.fat(f.id.as_str()).is_none_or(|known| **known != **f)));
                next.spare_fats.sort_by(|a, b| a.id.cmp(&b.id));
            }
            Self::FillBlend => next.blend.fill()?,
            Self::Superfat(superfat) => next.superfat = superfat,
            Self::Alkali(alkali) => next.alkali = alkali,
            Self::Water(water) => next.water = water,
            Self::FatMass(mass) => next.fat_mass = mass,
            Self::Bars(bars) => next.bars = bars,
            Self::ScaleDivision(division) => next.scale_division = division,
            Self::RefreshRecords => next.blend.replace_records(|id| library.fat(id.as_str()).map(Arc::clone)),
        }
        Ok(next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_of_ones_own_outlives_its_line() {
        let library = Library::embedded().expect("assets parse");
        let mut own = library.fats()[0].as_ref().clone();
        own.name = "Orchard press".into();
        own.id = FatId::new("orchard_press").expect("good");
        let design = Design::default();
        let add = |fat: Fat| Edit::AddFat(Arc::new(fat), Share::nearest(10.0));
        let with = add(own.clone()).apply(&design, &library).expect("room");
        let without = Edit::RemoveFat(own.id.clone()).apply(&with, &library).expect("there");
        assert_eq!(without.spare_fats.len(), 1, "kept");
        let again = add(own.clone()).apply(&without, &library).expect("room");
        assert!(again.spare_fats.is_empty(), "taken back into the blend");
        assert_eq!(*again.blend.lines()[0].fat, own);
    }
}
