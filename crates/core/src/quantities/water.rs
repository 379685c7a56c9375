//! The rows of the water account.

use super::batch::OF_WATER_MADE;
use super::line::OF_GROWN;
use super::{About, LineId, Quantity, Unknown, WaterToWeigh};
use crate::chemistry::masses::WaterSource;
use crate::design::Design;
use crate::formula::Reading;
use crate::quantity::Unit;

/// Where some of the water comes from, by what it is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WaterFrom {
    /// Poured on the scale.
    Weighed,
    /// In the potassium hydroxide.
    PotassiumHydroxide,
    /// In this addition.
    Addition(LineId),
    /// Made by the alkali and free acids.
    Made,
}

impl WaterFrom {
    /// What `source` is of in `design`.
    pub fn of(source: WaterSource, design: &Design) -> Option<Self> {
        Some(match source {
            WaterSource::Weighed => Self::Weighed,
            WaterSource::PotassiumHydroxide => Self::PotassiumHydroxide,
            WaterSource::Addition(i) => Self::Addition(LineId::of_addition(design, i)?),
            WaterSource::Made => Self::Made,
        })
    }
}

/// A row of the water account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaterRowMass(pub WaterFrom);

impl WaterRowMass {
    fn place<N>(&self, of: About<'_, N>) -> Option<usize> {
        of.evaluation.water.iter().position(|row| WaterFrom::of(row.source, of.design).as_ref() == Some(&self.0))
    }
}

impl Quantity for WaterRowMass {
    fn key(&self, of: About<'_>) -> String {
        format!("water.{}.mass_g", self.place(of).unwrap_or_default())
    }
    fn title(&self, of: About<'_>) -> String {
        match &self.0 {
            WaterFrom::Weighed => Quantity::title(&WaterToWeigh, of),
            WaterFrom::PotassiumHydroxide => "Water in the potassium hydroxide".into(),
            WaterFrom::Addition(line) => format!("Water in {}", line.addition_name(of.design)),
            WaterFrom::Made => Quantity::title(&super::WaterMade, of),
        }
    }
    fn unit(&self, _: About<'_>) -> Unit {
        Unit::Grams
    }
    fn decimals(&self, _: About<'_>) -> usize {
        1
    }
    fn read<R: Reading>(&self, _: R, of: About<'_, R::N>) -> Result<R::N, Unknown> {
        let row = self.place(of).map(|place| &of.evaluation.water[place]);
        row.map(|row| row.mass.0).ok_or_else(|| Unknown::Absent("no water comes from there".into()))
    }
    fn trust(&self, of: About<'_>) -> String {
        match &self.0 {
            WaterFrom::Weighed => Quantity::trust(&WaterToWeigh, of),
            WaterFrom::PotassiumHydroxide => {
                "What is not pure in it counts as water (from memory: it draws water from the air).".into()
            }
            WaterFrom::Addition(_) => OF_GROWN.into(),
            WaterFrom::Made => OF_WATER_MADE.into(),
        }
    }
}
