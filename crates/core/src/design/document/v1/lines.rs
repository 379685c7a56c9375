//! Fats, additions, scents and the size as the file has them.

use super::bounded;
use crate::design::mould;
use crate::library::additions;
use crate::library::material::MaterialId;
use crate::units::{
    AmountMass, AmountPerKg, AmountPercent, BarMass, Bars, FatMass, Fill, Millilitres, Millimetres,
    SaponificationValue, Share, SvMargin,
};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FatLine {
    pub(super) fat: MaterialId,
    pub(super) share: Share,
    #[serde(default)]
    pub(super) locked: bool,
    #[serde(default)]
    pub(super) supplier: Option<Supplier>,
    /// Fatty acids on the supplier's certificate.
    #[serde(
        deserialize_with = "bounded::list::<{bounded::ITEMS}, _, _>",
        default,
        skip_serializing_if = "Vec::is_empty"
    )]
    pub(super) supplier_acids: Vec<SuppliedAcid>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SuppliedAcid {
    #[serde(deserialize_with = "bounded::line::<{bounded::KEY}, _>")]
    pub(super) acid: String,
    pub(super) share: Share,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Supplier {
    pub(super) sv: SaponificationValue,
    #[serde(default = "exactly")]
    pub(super) pm: SvMargin,
}

fn exactly() -> SvMargin {
    SvMargin::nearest(0.0)
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AdditionLine {
    pub(super) addition: MaterialId,
    pub(super) amount: Amount,
    #[serde(default = "yes")]
    pub(super) counts_as_water: bool,
    #[serde(default = "into_fats")]
    pub(super) stage: Stage,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ScentLine {
    pub(super) scent: MaterialId,
    pub(super) amount: Amount,
    #[serde(default = "at_trace")]
    pub(super) stage: Stage,
}

fn yes() -> bool {
    true
}

pub(super) fn into_fats() -> Stage {
    Stage::IntoFats
}

fn at_trace() -> Stage {
    Stage::AtTrace
}

#[derive(Serialize, Deserialize, Clone, Copy)]
pub(super) enum Stage {
    IntoJug,
    IntoFats,
    AtTrace,
    OnTop,
}

impl From<additions::Stage> for Stage {
    fn from(stage: additions::Stage) -> Self {
        match stage {
            additions::Stage::IntoJug => Self::IntoJug,
            additions::Stage::IntoFats => Self::IntoFats,
            additions::Stage::AtTrace => Self::AtTrace,
            additions::Stage::OnTop => Self::OnTop,
        }
    }
}

impl From<Stage> for additions::Stage {
    fn from(stage: Stage) -> Self {
        match stage {
            Stage::IntoJug => Self::IntoJug,
            Stage::IntoFats => Self::IntoFats,
            Stage::AtTrace => Self::AtTrace,
            Stage::OnTop => Self::OnTop,
        }
    }
}

#[derive(Serialize, Deserialize, Clone, Copy)]
pub(super) enum Amount {
    PercentOfFats(AmountPercent),
    Grams(AmountMass),
    GramsPerKgFats(AmountPerKg),
}

impl From<additions::Amount> for Amount {
    fn from(amount: additions::Amount) -> Self {
        match amount {
            additions::Amount::PercentOfFats(p) => Self::PercentOfFats(p),
            additions::Amount::Grams(g) => Self::Grams(g),
            additions::Amount::GramsPerKgFats(g) => Self::GramsPerKgFats(g),
        }
    }
}

impl From<Amount> for additions::Amount {
    fn from(amount: Amount) -> Self {
        match amount {
            Amount::PercentOfFats(p) => Self::PercentOfFats(p),
            Amount::Grams(g) => Self::Grams(g),
            Amount::GramsPerKgFats(g) => Self::GramsPerKgFats(g),
        }
    }
}

#[derive(Serialize, Deserialize)]
pub(super) enum Size {
    FatMass(FatMass),
    Mould(FilledMould),
    Volume(FilledVolume),
    BarMass(BarMass),
    BarAtSale(BarMass),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FilledMould {
    shape: Shape,
    #[serde(default = "full")]
    fill: Fill,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FilledVolume {
    ml: Millilitres,
    #[serde(default = "full")]
    fill: Fill,
}

fn full() -> Fill {
    Fill::nearest(100.0)
}

#[derive(Serialize, Deserialize)]
enum Shape {
    Loaf(Cuboid),
    Slab(Cuboid),
    Round(Round),
    Cavities(Cavities),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "the names are those of the file format")]
struct Cuboid {
    length_mm: Millimetres,
    width_mm: Millimetres,
    height_mm: Millimetres,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Round {
    diameter_mm: Millimetres,
    length_mm: Millimetres,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Cavities {
    count: Bars,
    ml: Millilitres,
}

impl From<mould::Cuboid> for Cuboid {
    fn from(c: mould::Cuboid) -> Self {
        let mould::Cuboid { length_mm, width_mm, height_mm } = c;
        Self { length_mm, width_mm, height_mm }
    }
}

impl From<Cuboid> for mould::Cuboid {
    fn from(c: Cuboid) -> Self {
        let Cuboid { length_mm, width_mm, height_mm } = c;
        Self { length_mm, width_mm, height_mm }
    }
}

impl From<mould::Mould> for Shape {
    fn from(mould: mould::Mould) -> Self {
        match mould {
            mould::Mould::Loaf(c) => Self::Loaf(c.into()),
            mould::Mould::Slab(c) => Self::Slab(c.into()),
            mould::Mould::Round { diameter_mm, length_mm } => Self::Round(Round { diameter_mm, length_mm }),
            mould::Mould::Cavities { count, ml } => Self::Cavities(Cavities { count, ml }),
        }
    }
}

impl From<Shape> for mould::Mould {
    fn from(shape: Shape) -> Self {
        match shape {
            Shape::Loaf(c) => Self::Loaf(c.into()),
            Shape::Slab(c) => Self::Slab(c.into()),
            Shape::Round(Round { diameter_mm, length_mm }) => Self::Round { diameter_mm, length_mm },
            Shape::Cavities(Cavities { count, ml }) => Self::Cavities { count, ml },
        }
    }
}

impl Default for Size {
    fn default() -> Self {
        crate::Design::default().size.into()
    }
}

impl From<mould::Size> for Size {
    fn from(size: mould::Size) -> Self {
        match size {
            mould::Size::FatMass(mass) => Self::FatMass(mass),
            mould::Size::Mould { mould, fill } => Self::Mould(FilledMould { shape: mould.into(), fill }),
            mould::Size::Volume { ml, fill } => Self::Volume(FilledVolume { ml, fill }),
            mould::Size::BarMass(mass) => Self::BarMass(mass),
            mould::Size::BarAtSale(mass) => Self::BarAtSale(mass),
        }
    }
}

impl From<Size> for mould::Size {
    fn from(size: Size) -> Self {
        match size {
            Size::FatMass(mass) => Self::FatMass(mass),
            Size::Mould(FilledMould { shape, fill }) => Self::Mould { mould: shape.into(), fill },
            Size::Volume(FilledVolume { ml, fill }) => Self::Volume { ml, fill },
            Size::BarMass(mass) => Self::BarMass(mass),
            Size::BarAtSale(mass) => Self::BarAtSale(mass),
        }
    }
}
