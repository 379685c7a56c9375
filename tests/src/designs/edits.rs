//! Edits of a design, one after the other.

use super::LIBRARY;
use super::batch::{
    any_alkali, any_allergen_list, any_bars, any_calibration, any_material, any_price, any_process, any_size, any_water,
};
use super::blend::any_fat;
use super::materials::{a_scent, an_addition, any_addition_line, any_scent_line};
use super::quantities::{any_chance, any_division, any_share, any_stage, any_superfat, any_text};
use barwright_core::Design;
use barwright_core::design::edit::Edit;
use barwright_core::design::scale::Scaled;
use barwright_core::library::additions::AdditionLine;
use barwright_core::library::scents::ScentLine;
use barwright_core::units::{Grams, Share};
use proptest::prelude::*;
use proptest::sample::Index;
use std::sync::Arc;

/// An edit whose fat is named by its place, since which fats are there changes on the way. Places
/// of additions and scents stand in the edits themselves and are often wrong.
#[derive(Debug, Clone)]
pub(crate) enum Step {
    Fixed(Edit),
    Share(Index, Share),
    Lock(Index, bool),
    Remove(Index),
}

impl Step {
    pub(crate) fn edit(&self, design: &Design) -> Option<Edit> {
        let lines = design.blend.lines();
        let id = |which: &Index| (!lines.is_empty()).then(|| lines[which.index(lines.len())].fat.id.clone());
        Some(match self {
            // The line's own record stays, as when a person changes its amount or its stage.
            Self::Fixed(Edit::SetAddition(i, line)) => {
                let kept = design.additions.get(*i).map(|l| Arc::clone(&l.addition));
                let addition = kept.unwrap_or_else(|| Arc::clone(&line.addition));
                Edit::SetAddition(*i, AdditionLine { addition, ..line.clone() })
            }
            Self::Fixed(Edit::SetScent(i, line)) => {
                let kept = design.scents.get(*i).map(|l| Arc::clone(&l.scent));
                let scent = kept.unwrap_or_else(|| Arc::clone(&line.scent));
                Edit::SetScent(*i, ScentLine { scent, ..line.clone() })
            }
            Self::Fixed(edit) => edit.clone(),
            Self::Share(which, share) => Edit::Share(id(which)?, *share),
            Self::Lock(which, locked) => Edit::Lock(id(which)?, *locked),
            Self::Remove(which) => Edit::RemoveFat(id(which)?),
        })
    }
}

/// A place in a list of additions or scents, within it or behind its end.
fn any_place() -> impl Strategy<Value = usize> {
    prop_oneof![9 => 0..8_usize, 1 => any::<usize>()]
}

/// Any change to additions, scents and what else a batch has besides fats and lye.
fn any_batch_edit() -> impl Strategy<Value = Edit> {
    let addition = || an_addition().prop_flat_map(any_addition_line);
    let scent = || a_scent().prop_flat_map(any_scent_line);
    let mass = prop_oneof![4 => 0.0..=100.0, 1 => Just(0.0), 1 => Just(f64::MAX)];
    let fats = prop_oneof![4 => 100.0..=3000.0, 1 => Just(0.0)];
    let moved = (any_place(), mass, fats, any_stage()).prop_map(|(index, mass, fats, to)| Edit::MoveAddition {
        index,
        mass: Grams(mass),
        fats: Grams(fats),
        to,
    });
    prop_oneof![
        3 => addition().prop_map(Edit::AddAddition),
        1 => (any_place(), addition()).prop_map(|(i, line)| Edit::SetAddition(i, line)),
        2 => any_place().prop_map(Edit::RemoveAddition),
        2 => moved,
        1 => an_addition().prop_map(Edit::DefineAddition),
        3 => scent().prop_map(Edit::AddScent),
        1 => (any_place(), scent()).prop_map(|(i, line)| Edit::SetScent(i, line)),
        2 => any_place().prop_map(Edit::RemoveScent),
        1 => a_scent().prop_map(Edit::DefineScent),
        1 => any_size().prop_map(Edit::Size),
        1 => (any_size(), any_bars(), 0.01..200.0_f64)
            .prop_map(|(size, bars, factor)| Edit::Scale(Scaled { size, bars, factor })),
        1 => any_process().prop_map(Edit::Process),
        1 => any_calibration().prop_map(Edit::Calibration),
        1 => any_price().prop_map(Edit::SetPrice),
        1 => any_material().prop_map(Edit::RemovePrice),
        1 => any_text().prop_map(Edit::Currency),
        1 => any_allergen_list().prop_map(Edit::AllergenList),
    ]
}

pub(crate) fn any_step() -> impl Strategy<Value = Step> {
    let fat = (0..LIBRARY.fats().len()).prop_flat_map(|i| any_fat(Arc::clone(&LIBRARY.fats()[i])));
    let fixed = prop_oneof![
        any_text().prop_map(Edit::Rename),
        any_text().prop_map(Edit::Notes),
        any_text().prop_map(Edit::Style),
        (fat, any_share()).prop_map(|(fat, share)| Edit::AddFat(fat, share)),
        Just(Edit::FillBlend),
        any_superfat().prop_map(Edit::Superfat),
        any_chance().prop_map(Edit::AcceptedChance),
        any_alkali().prop_map(Edit::Alkali),
        any_water().prop_map(Edit::Water),
        any_bars().prop_map(Edit::Bars),
        any_division().prop_map(Edit::ScaleDivision),
        Just(Edit::RefreshRecords),
        Just(Edit::NarrowLye),
    ];
    prop_oneof![
        12 => fixed.prop_map(Step::Fixed),
        12 => any_batch_edit().prop_map(Step::Fixed),
        4 => (any::<Index>(), any_share()).prop_map(|(i, s)| Step::Share(i, s)),
        2 => (any::<Index>(), any::<bool>()).prop_map(|(i, l)| Step::Lock(i, l)),
        2 => any::<Index>().prop_map(Step::Remove),
    ]
}
