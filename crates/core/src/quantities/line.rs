//! What each line of a design weighs and holds.

use super::{AS_CHOSEN, About, AnyQuantity, Koh, Naoh, Quantity, Unknown, WaterToWeigh};
use crate::bench::weighing::What;
use crate::chemistry::inputs;
use crate::chemistry::masses::water_of;
use crate::design::Design;
use crate::formula::Reading;
use crate::library::additions::Stage;
use crate::library::material::MaterialId;
use crate::quantity::Unit;
use std::sync::Arc;

pub(super) const NO_FAT: &str = "the blend has no such fat";
const NO_SUCH: &str = "the design has no such line";

/// A line of the additions or of the scents, by what it is and when it goes in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineId {
    /// The material.
    pub material: MaterialId,
    /// Its stage.
    pub stage: Stage,
    /// Which of several lines alike, from 0.
    pub nth: usize,
}

impl LineId {
    fn of<'a>(mut lines: impl Iterator<Item = (&'a MaterialId, Stage)> + Clone, place: usize) -> Option<Self> {
        let before = lines.clone().take(place);
        let (material, stage) = lines.nth(place)?;
        let nth = before.filter(|line| *line == (material, stage)).count();
        Some(Self { material: material.clone(), stage, nth })
    }

    fn place<'a>(&self, lines: impl Iterator<Item = (&'a MaterialId, Stage)>) -> Option<usize> {
        let alike = lines.enumerate().filter(|(_, line)| *line == (&self.material, self.stage));
        alike.map(|(place, _)| place).nth(self.nth)
    }

    /// Of the addition at `place`.
    pub fn of_addition(design: &Design, place: usize) -> Option<Self> {
        Self::of(design.additions.iter().map(|l| (&l.addition.id, l.stage)), place)
    }

    /// Of the scent at `place`.
    pub fn of_scent(design: &Design, place: usize) -> Option<Self> {
        Self::of(design.scents.iter().map(|l| (&l.scent.id, l.stage)), place)
    }

    fn addition(&self, design: &Design) -> Result<usize, Unknown> {
        let place = self.place(design.additions.iter().map(|l| (&l.addition.id, l.stage)));
        place.ok_or_else(|| Unknown::Absent(NO_SUCH.into()))
    }

    fn scent(&self, design: &Design) -> Result<usize, Unknown> {
        let place = self.place(design.scents.iter().map(|l| (&l.scent.id, l.stage)));
        place.ok_or_else(|| Unknown::Absent(NO_SUCH.into()))
    }

    /// The name of the addition.
    pub(super) fn addition_name(&self, design: &Design) -> String {
        let line = self.addition(design).ok().and_then(|i| design.additions.get(i));
        line.map_or_else(|| self.material.to_string(), |l| or_id(&l.addition.name, &self.material).into())
    }
}

fn fat_place<N>(of: About<'_, N>, id: &MaterialId) -> Result<usize, Unknown> {
    let place = of.design.blend.lines().iter().position(|l| l.fat.id == *id);
    place.ok_or_else(|| Unknown::Absent(NO_FAT.into()))
}

fn fat_name(of: About<'_>, id: &MaterialId) -> String {
    of.design.blend.line(id).map_or_else(|| id.to_string(), |l| or_id(&l.fat.name, id).into())
}

/// The share of a fat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FatShare(pub MaterialId);

impl Quantity for FatShare {
    fn key(&self, of: About<'_>) -> String {
        format!("fats.{}.share_pct", fat_place(of, &self.0).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        format!("Share of {}", fat_name(of, &self.0))
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Percent
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let place = fat_place(of, &self.0)?;
        Ok(inputs::share_percent(r, &of.design.blend.lines()[place]))
    }
    fn trust(&self, _: About<'_>) -> String {
        "It is what the design says: percent of the fats by weight.".into()
    }
}

/// What a fat weighs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FatMass(pub MaterialId);

impl Quantity for FatMass {
    fn key(&self, of: About<'_>) -> String {
        format!("fats.{}.mass_g", fat_place(of, &self.0).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        fat_name(of, &self.0)
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Grams
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let place = fat_place(of, &self.0)?;
        of.evaluation.fat_masses.get(place).map(|m| m.0).ok_or_else(|| NO_FAT.into())
    }
    fn symbol(&self, _: About<'_>) -> String {
        "mass".into()
    }
    fn trust(&self, _: About<'_>) -> String {
        AS_CHOSEN.into()
    }
}

/// The saponification value of a fat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FatSaponificationValue(pub MaterialId);

impl Quantity for FatSaponificationValue {
    fn key(&self, of: About<'_>) -> String {
        format!("fats.{}.saponification_value", fat_place(of, &self.0).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        format!("Saponification value of {}", fat_name(of, &self.0))
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Saponification
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        // A figure of a fat that is not there is none: it does not count as nothing.
        let place = fat_place(of, &self.0).map_err(|absent| Unknown::Because(absent.reason()))?;
        Ok(inputs::saponification_value(r, &of.design.blend.lines()[place]))
    }
    fn trust(&self, _: About<'_>) -> String {
        "The lye rests on it: the middle of what is both published of the fat and possible by its fatty acids, or of what is \
         published alone where a design was saved so. A fat of one’s own shelf lies somewhere in the range; a certificate \
         is better.".into()
    }
}

/// What an addition weighs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdditionMass(pub LineId);

impl Quantity for AdditionMass {
    fn key(&self, of: About<'_>) -> String {
        format!("additions.{}.mass_g", self.0.addition(of.design).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        self.0.addition_name(of.design)
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Grams
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let place = self.0.addition(of.design)?;
        of.evaluation.addition_masses.get(place).map(|m| m.0).ok_or_else(|| NO_SUCH.into())
    }
    fn symbol(&self, _: About<'_>) -> String {
        "mass".into()
    }
    fn trust(&self, _: About<'_>) -> String {
        AS_CHOSEN.into()
    }
}

/// Water in an addition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdditionWater(pub LineId);

impl Quantity for AdditionWater {
    fn key(&self, of: About<'_>) -> String {
        format!("additions.{}.water_g", self.0.addition(of.design).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        format!("Water in {}", self.0.addition_name(of.design))
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Grams
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, r: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let place = self.0.addition(of.design)?;
        Ok(water_of(r, &of.design.additions[place], of.evaluation.masses.fats).0)
    }
    fn trust(&self, _: About<'_>) -> String {
        OF_GROWN.into()
    }
}

pub(super) const OF_GROWN: &str =
    "The content is a mean of what is grown or sold; a dry or a watery season moves it by a few percent.";

/// What a scent weighs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScentMass(pub LineId);

impl Quantity for ScentMass {
    fn key(&self, of: About<'_>) -> String {
        format!("scents.{}.mass_g", self.0.scent(of.design).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        let line = self.0.scent(of.design).ok().and_then(|i| of.design.scents.get(i));
        line.map_or_else(|| self.0.material.to_string(), |l| or_id(&l.scent.name, &self.0.material).into())
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Grams
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let place = self.0.scent(of.design)?;
        of.evaluation.scents.masses.get(place).map(|m| m.0).ok_or_else(|| NO_SUCH.into())
    }
    fn symbol(&self, _: About<'_>) -> String {
        "mass".into()
    }
    fn trust(&self, _: About<'_>) -> String {
        AS_CHOSEN.into()
    }
}

/// The quantity that is put on the scale as `what` of `design`; `None` if there is no such line.
pub fn of_weight(what: What, design: &Design) -> Option<Arc<dyn AnyQuantity>> {
    Some(match what {
        What::Fat(i) => Arc::new(FatMass(design.blend.lines().get(i)?.fat.id.clone())),
        What::Water => Arc::new(WaterToWeigh),
        What::SodiumHydroxide => Arc::new(Naoh),
        What::PotassiumHydroxide => Arc::new(Koh),
        What::Addition(i) => Arc::new(AdditionMass(LineId::of_addition(design, i)?)),
        What::Scent(i) => Arc::new(ScentMass(LineId::of_scent(design, i)?)),
    })
}

/// `name`, or the id of a material whose record gives it none.
pub(super) fn or_id<'a>(name: &'a str, id: &'a MaterialId) -> &'a str {
    if name.trim().is_empty() { id.as_str() } else { name }
}
