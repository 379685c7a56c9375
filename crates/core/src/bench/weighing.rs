//! What is put on the scale, in the order of use.

pub use crate::design::log::What;

use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::additions::Stage;
use crate::units::Grams;

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
