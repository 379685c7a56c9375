//! What causes a fault, and the number of a design that supports it.

use crate::quantities::{About, AnyQuantity, text};
use std::sync::Arc;

/// What may have caused a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Much water for the alkali.
    ThinLye,
    /// Little water in the jug.
    StrongLye,
    /// The lye crystallises in the room.
    LyeCrystals,
    /// More alkali than the fats take, perhaps.
    LyeHeavy,
    /// A scale that is too coarse for the alkali.
    CoarseScale,
    /// A jug that gets hot.
    HotJug,
    /// Milk, sugar or fruit in the jug.
    FoodInJug,
    /// Nothing warms the mould.
    NoGel,
    /// An oven that is hotter or longer than usual.
    HotOven,
    /// Sugars in the oven.
    SugarInOven,
    /// Sugars in the batter.
    Sugar,
    /// A cool room.
    CoolRoom,
    /// Lye and fats below the point where the hard fats are clear.
    ColdFats,
    /// Lye and fats that meet cool.
    CoolMix,
    /// Lye and fats that meet hot.
    HotMix,
    /// A blend with much oleic acid.
    MuchOleic,
    /// A blend that gives a soft bar.
    SoftBlend,
    /// A blend that does not keep.
    QuickToTurn,
    /// Free acids among fats and additions.
    FreeAcids,
    /// Much free fat.
    HighSuperfat,
    /// Potassium hydroxide.
    Potash,
    /// Scents that speed the batter up.
    FastScents,
    /// Scents that are soon gone.
    FleetingScents,
    /// Scents that turn brown.
    BrowningScents,
    /// Much scent.
    MuchScent,
    /// Alcohol.
    Alcohol,
    /// Much clay or meal.
    MuchFiller,
    /// Bits that a knife catches.
    CoarseFiller,
    /// Much salt.
    MuchSalt,
    /// Colours of plants.
    PlantColour,
    /// Food that something can grow on.
    FreshFood,
    /// An early cut.
    CutEarly,
    /// A late cut.
    CutLate,
    /// A short cure.
    ShortCure,
    /// A wrong weight.
    WeighingSlip,
    /// Too little mixing.
    PoorMixing,
    /// Too much mixing.
    OverMixing,
    /// Poured too thin.
    ThinTrace,
    /// Air in the batter.
    AirStirredIn,
    /// Air on the top.
    AirOnTop,
    /// Damp air.
    DampAir,
    /// Kept too warm.
    KeptWarm,
    /// Drying from one side.
    UnevenDrying,
    /// Metals.
    Metals,
    /// Water that is not pure.
    HardWater,
    /// Old or other materials.
    OldMaterials,
    /// The mould's wall.
    MouldWall,
    /// The knife.
    Knife,
    /// Light.
    Light,
    /// Vanilla notes.
    Vanillin,
    /// White powders.
    Whitener,
}

/// A number that supports a cause.
#[derive(Debug, Clone)]
pub enum Number {
    /// One that is shown elsewhere and explains itself.
    Quantity(Arc<dyn AnyQuantity>),
    /// What the design says by itself.
    Chosen {
        /// What it is.
        name: String,
        /// The figure with its unit.
        value: String,
    },
}

impl Number {
    /// What it is and how large.
    pub fn told(&self, of: About<'_>) -> (String, String) {
        match self {
            Self::Quantity(quantity) => {
                let value = text(quantity.as_ref(), of).unwrap_or_else(|_| "not known".into());
                (quantity.title(of), value)
            }
            Self::Chosen { name, value } => (name.clone(), value.clone()),
        }
    }
}

/// How a design supports a cause.
#[derive(Debug, Clone)]
pub struct Support {
    /// The number.
    pub number: Number,
    /// What it is held against.
    pub against: String,
}

impl Cause {
    /// In few words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::ThinLye => "Thin lye",
            Self::StrongLye => "Strong lye",
            Self::LyeCrystals => "Crystals in the lye",
            Self::LyeHeavy => "Too much alkali",
            Self::CoarseScale => "A coarse scale",
            Self::HotJug => "A hot jug",
            Self::FoodInJug => "Food in the jug",
            Self::NoGel => "No gel",
            Self::HotOven => "A hot oven",
            Self::SugarInOven => "Sugar in the oven",
            Self::Sugar => "Sugar",
            Self::CoolRoom => "A cool room",
            Self::ColdFats => "Cold fats",
            Self::CoolMix => "A cool batter",
            Self::HotMix => "A hot batter",
            Self::MuchOleic => "Much oleic acid",
            Self::SoftBlend => "A soft blend",
            Self::QuickToTurn => "A blend that turns",
            Self::FreeAcids => "Free acids",
            Self::HighSuperfat => "Much free fat",
            Self::Potash => "Potassium hydroxide",
            Self::FastScents => "A scent that speeds up",
            Self::FleetingScents => "A scent that flees",
            Self::BrowningScents => "A scent that browns",
            Self::MuchScent => "Much scent",
            Self::Alcohol => "Alcohol",
            Self::MuchFiller => "Much clay or meal",
            Self::CoarseFiller => "Coarse bits",
            Self::MuchSalt => "Much salt",
            Self::PlantColour => "Colour of plants",
            Self::FreshFood => "Food in the bar",
            Self::CutEarly => "An early cut",
            Self::CutLate => "A late cut",
            Self::ShortCure => "A short cure",
            Self::WeighingSlip => "A weighing slip",
            Self::PoorMixing => "Too little mixing",
            Self::OverMixing => "Too much mixing",
            Self::ThinTrace => "A thin trace",
            Self::AirStirredIn => "Air stirred in",
            Self::AirOnTop => "Air on the top",
            Self::DampAir => "Damp air",
            Self::KeptWarm => "Kept too warm",
            Self::UnevenDrying => "Uneven drying",
            Self::Metals => "Metals",
            Self::HardWater => "Hard water",
            Self::OldMaterials => "Materials other than reckoned",
            Self::MouldWall => "The mould",
            Self::Knife => "The knife",
            Self::Light => "Light",
            Self::Vanillin => "Vanilla notes",
            Self::Whitener => "White powders",
        }
    }
}
