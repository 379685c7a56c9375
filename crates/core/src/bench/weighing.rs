//! What is put on the scale, in the order of use.

pub use crate::design::log::What;

use crate::chemistry::rounding::rounded;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::additions::Stage;
use crate::number::{fixed, significant};
use crate::units::{Grams, MassUnit, Measures, ScaleDivision};

/// Into what it is weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Vessel {
    /// The pot of fats, before anything else.
    Pot,
    /// What the stage says; into the jug go water and alkali too.
    At(Stage),
}

impl Vessel {
    /// The heading over its weights.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pot => "Fats",
            Self::At(Stage::IntoJug) => "Lye",
            Self::At(stage) => stage.words(),
        }
    }
}

/// A weight for the scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight<'a> {
    /// What it is.
    pub what: What,
    /// Its name.
    pub name: &'a str,
    /// How much of it.
    pub mass: Grams,
    /// Where it goes.
    pub vessel: Vessel,
}

/// All weights of a batch in the order of use: the fats; for the jug the water, then what goes into
/// it, then the alkali; then what follows, by stage.
pub fn weights<'a>(design: &'a Design, evaluation: &Evaluation) -> Vec<Weight<'a>> {
    let jug = Vessel::At(Stage::IntoJug);
    let batch = &evaluation.masses;
    let mut list = Vec::new();
    for (i, (line, mass)) in design.blend.lines().iter().zip(&evaluation.fat_masses).enumerate() {
        list.push(Weight { what: What::Fat(i), name: &line.fat.name, mass: *mass, vessel: Vessel::Pot });
    }
    list.push(Weight { what: What::Water, name: "Water", mass: batch.water_to_weigh, vessel: jug });
    for stage in Stage::ALL {
        let vessel = Vessel::At(stage);
        for (i, (line, mass)) in design.additions.iter().zip(&evaluation.addition_masses).enumerate() {
            if line.stage == stage {
                list.push(Weight { what: What::Addition(i), name: &line.addition.name, mass: *mass, vessel });
            }
        }
        for (i, (line, mass)) in design.scents.iter().zip(&evaluation.scents.masses).enumerate() {
            if line.stage == stage {
                list.push(Weight { what: What::Scent(i), name: &line.scent.name, mass: *mass, vessel });
            }
        }
        if stage.is_in_jug() {
            for (what, name, mass) in [
                (What::SodiumHydroxide, "Sodium hydroxide (NaOH)", batch.alkali.naoh),
                (What::PotassiumHydroxide, "Potassium hydroxide (KOH)", batch.alkali.koh),
            ] {
                if mass.0 > 0.0 {
                    list.push(Weight { what, name, mass, vessel });
                }
            }
        }
    }
    list
}

/// Decimals at which a scale of this division shows a mass in the unit of `measures`, six at the most.
pub fn decimals(division: ScaleDivision, measures: Measures) -> usize {
    if measures.mass != MassUnit::Gram {
        let step = measures.mass.from_grams(Grams(division.get()));
        // Those of a scale of this unit; one of another unit has seldom round steps, and is shown as fine.
        let is_whole = |d: &u8| {
            let steps = step * 10_f64.powi(i32::from(*d));
            steps >= 0.5 && (steps - steps.round()).abs() < 1e-6
        };
        let is_as_fine = |d: &u8| 10_f64.powi(-i32::from(*d)) <= step;
        return (0..4).find(is_whole).or_else(|| (0..6).find(is_as_fine)).unwrap_or(6).into();
    }
    let needs = |d: &usize| {
        let text = format!("{:.*}", *d, division.get());
        text.parse::<f64>().is_ok_and(|v| (v - division.get()).abs() < 1e-9)
    };
    (0..6).find(needs).unwrap_or(6)
}

/// `mass` with its unit and the decimals of the scale; with three digits where it is none that the scale shows.
pub fn on_scale(mass: Grams, division: ScaleDivision, measures: Measures) -> String {
    let number = measures.mass.from_grams(mass);
    let is_shown = (rounded(mass, division).0 - mass.0).abs() < 1e-9;
    let text = if is_shown { fixed(number, decimals(division, measures)) } else { significant(number) };
    format!("{text} {}", measures.mass.sign())
}
