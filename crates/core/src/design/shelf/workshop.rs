//! The tools that stand about: scales, jugs, moulds, the oven.

use crate::design::mould::{Cuboid, Mould, Size};
use crate::design::words::{Day, Line};
use crate::units::{AmountMass, Bars, Celsius, Fill, Millilitres, Millimetres, ScaleDivision, TimeConstant};
use serde::{Deserialize, Serialize};

/// A scale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScaleAtHand {
    /// What it is called.
    pub name: Line,
    /// Its step, g.
    pub division: ScaleDivision,
    /// The most that may lie on it, g.
    #[serde(default)]
    pub largest: Option<AmountMass>,
    /// When it was last checked with a known weight.
    #[serde(default)]
    pub checked: Option<Day>,
}

/// A jug for the lye.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JugAtHand {
    /// What it is called.
    pub name: Line,
    /// What it holds, mL.
    pub ml: Millilitres,
    /// In how many minutes what is in it cools to 1/e.
    #[serde(default)]
    pub cooling: Option<TimeConstant>,
}

/// How much a mould holds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Holds {
    /// A loaf by its inner measures, mm.
    Loaf {
        /// Length.
        length: Millimetres,
        /// Width.
        width: Millimetres,
        /// Height.
        height: Millimetres,
    },
    /// Measured by the water that fills it, mL.
    Water(Millilitres),
}

/// A mould.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MouldAtHand {
    /// What it is called.
    pub name: Line,
    /// What it holds.
    pub holds: Holds,
    /// Into how many bars it is cut.
    pub bars: Bars,
    /// What it is lined with.
    #[serde(default)]
    pub liner: Line,
}

impl MouldAtHand {
    /// The size of a batch that fills it.
    pub fn size(&self) -> Size {
        let fill = Fill::nearest(100.0);
        match self.holds {
            Holds::Loaf { length, width, height } => Size::Mould {
                mould: Mould::Loaf(Cuboid { length_mm: length, width_mm: width, height_mm: height }),
                fill,
            },
            Holds::Water(ml) => Size::Volume { ml, fill },
        }
    }
}

/// What the maker works with.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Workshop {
    /// Scales.
    pub scales: Vec<ScaleAtHand>,
    /// Jugs.
    pub jugs: Vec<JugAtHand>,
    /// Moulds.
    pub moulds: Vec<MouldAtHand>,
    /// By how much the oven is hotter than it says, °C; below nothing where it is colder.
    pub oven_error: Option<Celsius>,
}
