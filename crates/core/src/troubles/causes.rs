//! What causes a fault, and the number of a design that supports it.
//!
//! The limits are common practice and have no source, unless one is named.

use crate::design::Design;
use crate::library::additions::{AdditionKind, AdditionLine, Stage};
use crate::library::estimates::{Estimate, Place};
use crate::library::scents::ScentLine;
use crate::number::{fixed, short};
use crate::quantities::{
    About, AdditionMass, AllScents, AnyQuantity, ChanceLyeHeavy, CrystallisesBelow, FatShare, FreeFat,
    JugConcentration, LineId, LyeConcentration, Meeting, Naoh, Peak, PlannedSuperfat, Quantity, ScentMass, Score,
    Sugars, Titre, WaterUncounted, text,
};
use crate::units::{Share, from_percent, percent_of};
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

#[expect(clippy::unnecessary_wraps, reason = "what a cause is supported by, as its arms give it")]
fn by(quantity: impl Quantity, against: impl Into<String>) -> Option<Support> {
    Some(Support { number: Number::Quantity(Arc::new(quantity)), against: against.into() })
}

#[expect(clippy::unnecessary_wraps, reason = "what a cause is supported by, as its arms give it")]
fn chosen(name: &str, value: String, against: impl Into<String>) -> Option<Support> {
    Some(Support { number: Number::Chosen { name: name.into(), value }, against: against.into() })
}

/// Percent of lye, all water counted, below which it is thin.
const THIN: f64 = 28.0;
/// Percent of lye in the jug above which it is strong.
const STRONG: f64 = 38.0;
/// Fat and sugars, percent, from which something in the jug counts as food, and a jug that browns it, °C.
const FOOD: f64 = 1.0;
const BROWNS: f64 = 60.0;
/// A room that is cool, °C.
const COOL_ROOM: f64 = 18.0;
/// Lye and fats that meet cool or hot, °C.
const COOL_MIX: f64 = 32.0;
const HOT_MIX: f64 = 50.0;
/// An oven that is hot, °C, or long, minutes.
const HOT_OVEN: f64 = 77.0;
const LONG_OVEN: f64 = 60.0;
/// Sugars that heat a batter, g per kg of fats.
const SUGARY: f64 = 10.0;
/// Free fat that softens, percent, and the part of C8 to C14 acids above which it does not.
const MUCH_FREE_FAT: f64 = 8.0;
const LAURIC: f64 = 0.5;
/// Potassium hydroxide that softens, percent of the alkali.
const SOFT_KOH: f64 = 10.0;
/// Free acids that set at once, percent of the fats.
const SETTING: f64 = 5.0;
/// Much scent, percent of the fats.
const MUCH_SCENT: f64 = 3.0;
/// Much clay or meal, and much salt, g per kg of fats.
const MUCH_FILLER: f64 = 30.0;
const MUCH_SALT: f64 = 100.0;
/// Early and late cuts, hours; a short cure, days.
const EARLY: f64 = 24.0;
const LATE: f64 = 72.0;
const SHORT: f64 = 28.0;
/// The part of the alkali that half a step of the scale may be.
const FINE: f64 = 0.01;

/// Fats with the least °C at which they stay clear, and the least percent of the fats at which it matters.
const CLEAR: [(&str, f64, f64); 6] = [
    ("beeswax", 55.0, 0.0),
    ("stearic_acid_50", 55.0, 0.0),
    ("palm_stearin", 46.0, 5.0),
    ("tallow_mutton", 42.0, 5.0),
    ("tallow_beef", 42.0, 5.0),
    ("cocoa_butter", 38.0, 5.0),
];
/// The addition that is a free acid of fats.
const STEARIC: &str = "stearic_acid";

/// Scents that speed up, that are soon gone, and that brown.
const FAST: [&str; 9] = [
    "clove_bud",
    "clove_leaf",
    "cinnamon_bark",
    "cinnamon_leaf",
    "cassia",
    "nutmeg",
    "black_pepper",
    "ylang_complete",
    "geranium",
];
const FLEETING: [&str; 7] = ["bergamot", "grapefruit", "lemon", "lime", "mandarin", "orange_bitter", "orange_sweet"];
const BROWNING: [&str; 5] = ["clove_bud", "clove_leaf", "cinnamon_bark", "cinnamon_leaf", "cassia"];

/// Fillers with bits that a knife catches, and those that something can grow on.
const COARSE: [&str; 2] = ["oats", "calendula_petals"];
const PLANTS: [&str; 3] = ["oats", "oat_flour", "calendula_petals"];
/// The salt of a salt bar.
const SALT: &str = "salt";

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

    /// The number by which a design supports it; `None` if its numbers do not, or if it is nothing that a design says.
    pub fn support(self, of: About<'_>) -> Option<Support> {
        match self {
            Self::ThinLye => thin_lye(of),
            Self::StrongLye => above(JugConcentration, STRONG, of, format!("over {} % is strong", short(STRONG, 0))),
            Self::LyeCrystals => {
                let room = of.design.process.room_c.get();
                above(CrystallisesBelow, room, of, format!("the room has {} °C", short(room, 1)))
            }
            Self::LyeHeavy => lye_heavy(of),
            Self::CoarseScale => coarse_scale(of),
            Self::HotJug => food_in_jug(of.design)
                .and_then(|_| above(Peak, BROWNS, of, format!("food browns from about {} °C", short(BROWNS, 0)))),
            Self::FoodInJug => {
                let (place, line) = food_in_jug(of.design)?;
                by(mass_of(of, place)?, format!("{} goes into the jug", line.addition.name))
            }
            Self::NoGel => {
                let no_oven = of.design.process.oven_gel.is_none();
                no_oven.then(|| chosen("Oven", "none".into(), "no warmth is set for a gel")).flatten()
            }
            Self::HotOven => hot_oven(of.design),
            Self::SugarInOven => {
                let oven = of.design.process.oven_gel?;
                let against = format!("with the oven at {} °C", short(oven.oven_c.get(), 1));
                is_sugary(of).then(|| by(Sugars, against)).flatten()
            }
            Self::Sugar => {
                let against = format!("{} g or more per kg of fats heat the batter", short(SUGARY, 0));
                is_sugary(of).then(|| by(Sugars, against)).flatten()
            }
            Self::CoolRoom => {
                let room = of.design.process.room_c.get();
                let against = format!("under {} °C", short(COOL_ROOM, 0));
                (room < COOL_ROOM).then(|| chosen("Room", format!("{} °C", short(room, 1)), against)).flatten()
            }
            Self::ColdFats => cold_fats(of),
            Self::CoolMix => below(Meeting, COOL_MIX, of, format!("under {} °C is cool", short(COOL_MIX, 0))),
            Self::HotMix => above(Meeting, HOT_MIX, of, format!("over {} °C is hot", short(HOT_MIX, 0))),
            Self::SoftBlend => outside(Estimate::Hardness, Place::Below, of),
            Self::QuickToTurn => outside(Estimate::Keeping, Place::Above, of),
            Self::FreeAcids => free_acids(of),
            Self::HighSuperfat => {
                let is_lauric = lauric(of) > LAURIC;
                let against = format!("over {} % is much", short(MUCH_FREE_FAT, 0));
                above(FreeFat, MUCH_FREE_FAT, of, against).filter(|_| !is_lauric)
            }
            Self::Potash => {
                let share = of.design.alkali.koh_share.get();
                let against = format!("over {} % of the alkali softens", short(SOFT_KOH, 0));
                let value = || format!("{} %", short(share, 1));
                (share > SOFT_KOH).then(|| chosen("Potassium hydroxide", value(), against)).flatten()
            }
            Self::FastScents => scent(of, &FAST, "it speeds the batter up"),
            Self::FleetingScents => scent(of, &FLEETING, "it does not last"),
            Self::BrowningScents => scent(of, &BROWNING, "it turns brown"),
            Self::MuchScent => {
                let masses = &of.evaluation.masses;
                let is_much = percent_of(masses.scents.0, masses.fats.0) > MUCH_SCENT;
                let against = format!("over {} % of the fats is much", short(MUCH_SCENT, 0));
                is_much.then(|| by(AllScents, against)).flatten()
            }
            Self::Alcohol => addition(of, |line, _| line.addition.alcohol.get() > 0.0, "it holds alcohol"),
            Self::MuchFiller => {
                let is_it = |line: &AdditionLine, per_kg: f64| {
                    line.addition.kind == AdditionKind::Filler && line.stage != Stage::OnTop && per_kg > MUCH_FILLER
                };
                addition(of, is_it, format!("over {} g per kg of fats is much", short(MUCH_FILLER, 0)))
            }
            Self::CoarseFiller => {
                let is_it =
                    |line: &AdditionLine, _| COARSE.contains(&line.addition.id.as_str()) || line.stage == Stage::OnTop;
                addition(of, is_it, "the knife catches it")
            }
            Self::MuchSalt => {
                let is_it = |line: &AdditionLine, per_kg: f64| line.addition.id.as_str() == SALT && per_kg > MUCH_SALT;
                addition(of, is_it, format!("over {} g per kg of fats is much", short(MUCH_SALT, 0)))
            }
            Self::PlantColour => {
                addition(of, |line, _| line.addition.kind == AdditionKind::Puree, "its colour seldom lasts")
            }
            Self::FreshFood => addition(of, is_food, "food for what grows"),
            Self::CutEarly => {
                let hours = of.design.process.cut_hours.get();
                let against = format!("under {} h is early", short(EARLY, 0));
                (hours < EARLY).then(|| chosen("Cut after", format!("{} h", short(hours, 1)), against)).flatten()
            }
            Self::CutLate => {
                let hours = of.design.process.cut_hours.get();
                let against = format!("over {} h is late", short(LATE, 0));
                (hours > LATE).then(|| chosen("Cut after", format!("{} h", short(hours, 1)), against)).flatten()
            }
            Self::ShortCure => {
                let days = of.design.process.cure_days.get();
                let against = format!("under {} days is short", short(SHORT, 0));
                let value = || crate::quantity::with_unit(&short(days, 1), "days");
                (days < SHORT).then(|| chosen("Cure", value(), against)).flatten()
            }
            Self::WeighingSlip
            | Self::PoorMixing
            | Self::OverMixing
            | Self::ThinTrace
            | Self::AirStirredIn
            | Self::AirOnTop
            | Self::DampAir
            | Self::KeptWarm
            | Self::UnevenDrying
            | Self::Metals
            | Self::HardWater
            | Self::OldMaterials
            | Self::MouldWall
            | Self::Knife
            | Self::Light
            | Self::Vanillin
            | Self::Whitener => None,
        }
    }
}

/// Supported by `quantity` if it is over `limit`.
fn above(quantity: impl Quantity, limit: f64, of: About<'_>, against: String) -> Option<Support> {
    let value = AnyQuantity::value(&quantity, of).ok()?;
    (value > limit).then(|| by(quantity, against)).flatten()
}

/// Supported by `quantity` if it is under `limit`.
fn below(quantity: impl Quantity, limit: f64, of: About<'_>, against: String) -> Option<Support> {
    let value = AnyQuantity::value(&quantity, of).ok()?;
    (value < limit).then(|| by(quantity, against)).flatten()
}

/// Supported by a score that lies on `side` of the style's range.
fn outside(estimate: Estimate, side: Place, of: About<'_>) -> Option<Support> {
    let result = of.evaluation.estimate(estimate).filter(|result| result.place == Some(side))?;
    let decimals = estimate.decimals();
    let range = result.range.map_or_else(String::new, |range| {
        format!(" of {} to {}", fixed(range.min(), decimals), fixed(range.max(), decimals))
    });
    by(Score(estimate), format!("{} the range{range}", side.word()))
}

/// All water makes the lye thin, also what does not count.
fn thin_lye(of: About<'_>) -> Option<Support> {
    let masses = &of.evaluation.masses;
    let against = format!("under {} % is thin", short(THIN, 0));
    below(LyeConcentration, THIN, of, against).or_else(|| {
        let pure = masses.alkali.pure();
        let all = pure + masses.water_total + masses.water_uncounted;
        let percent = percent_of(pure.0, all.0);
        let against = || format!("with it the lye has {} %, under {} %", fixed(percent, 1), short(THIN, 0));
        (pure.0 > 0.0 && percent < THIN).then(|| by(WaterUncounted, against())).flatten()
    })
}

/// Too much alkali as planned, or by a chance that the maker does not accept.
fn lye_heavy(of: About<'_>) -> Option<Support> {
    if of.evaluation.masses.superfat <= 0.0 {
        return by(PlannedSuperfat, "no alkali is held back");
    }
    let accepted = of.design.accepted_chance.fraction();
    let margin = of.evaluation.margin.as_ref()?;
    // Most designs are far from it, and the exact chance takes a while.
    let is_likely = margin.chance_bound() > accepted && margin.chance_lye_heavy() > accepted;
    let against = || format!("over the {} % that you accept", short(of.design.accepted_chance.get(), 2));
    is_likely.then(|| by(ChanceLyeHeavy, against())).flatten()
}

/// Half a step of the scale is much of the alkali.
fn coarse_scale(of: About<'_>) -> Option<Support> {
    let step = of.design.scale_division.get();
    let alkali = &of.evaluation.masses.alkali;
    let is_coarse = |mass: f64| mass > 0.0 && step / 2.0 > FINE * mass;
    let against = format!("weighed in steps of {} g", short(step, 3));
    if is_coarse(alkali.naoh.0) {
        by(Naoh, against)
    } else if is_coarse(alkali.koh.0) {
        by(crate::quantities::Koh, against)
    } else {
        None
    }
}

/// Milk, sugar or fruit that goes into the jug.
fn food_in_jug(design: &Design) -> Option<(usize, &AdditionLine)> {
    let is_it = |line: &AdditionLine| {
        let contents = &line.addition.contents.value;
        line.stage.is_in_jug() && contents.fat.get() + contents.sugars.map_or(0.0, Share::get) > FOOD
    };
    design.additions.iter().enumerate().find(|(_, line)| is_it(line))
}

fn hot_oven(design: &Design) -> Option<Support> {
    let oven = design.process.oven_gel?;
    let (celsius, minutes) = (oven.oven_c.get(), oven.minutes.get());
    if celsius > HOT_OVEN {
        chosen("Oven", format!("{} °C", short(celsius, 1)), format!("over {} °C is hot", short(HOT_OVEN, 0)))
    } else if minutes > LONG_OVEN {
        chosen("Oven", format!("{} min", short(minutes, 1)), format!("over {} min is long", short(LONG_OVEN, 0)))
    } else {
        None
    }
}

fn is_sugary(of: About<'_>) -> bool {
    let masses = &of.evaluation.masses;
    1000.0 * masses.sugars.0 >= SUGARY * masses.fats.0 && masses.sugars.0 > 0.0
}

/// Lye and fats that meet below where a hard fat is clear, or where the blend's acids set.
fn cold_fats(of: About<'_>) -> Option<Support> {
    let meeting = AnyQuantity::value(&Meeting, of).ok()?;
    let lines = of.design.blend.lines().iter();
    let fats = lines.map(|line| (line.fat.id.as_str(), line.fat.name.as_str(), line.share.get()));
    let stearic = of.design.additions.iter().filter(|line| line.addition.id.as_str() == STEARIC);
    let acids = stearic.map(|line| ("stearic_acid_50", line.addition.name.as_str(), 1.0));
    let hard = fats.chain(acids).filter_map(|(id, name, share)| {
        let (_, clear, least) = CLEAR.into_iter().find(|(of, _, _)| *of == id)?;
        (share > least && meeting < clear).then_some((clear, name))
    });
    let hardest = hard.max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((clear, name)) = hardest {
        return by(Meeting, format!("{name} is clear from about {} °C", short(clear, 0)));
    }
    let titre = of.evaluation.chemistry.titre?;
    let against = || format!("the blend’s acids set at {}", text(&Titre, of).unwrap_or_default());
    (meeting < titre).then(|| by(Meeting, against())).flatten()
}

fn free_acids(of: About<'_>) -> Option<Support> {
    let against = format!("over {} % of free acids set at once", short(SETTING, 0));
    let mut lines = of.design.blend.lines().iter();
    let acid =
        lines.find(|line| line.fat.kind == crate::library::fats::FatKind::FreeAcid && line.share.get() > SETTING);
    if let Some(line) = acid {
        return by(FatShare(line.fat.id.clone()), against);
    }
    let least = from_percent(SETTING);
    let is_it = |line: &AdditionLine, per_kg: f64| line.addition.id.as_str() == STEARIC && per_kg > 1000.0 * least;
    addition(of, is_it, against)
}

/// The part of the blend's acids that have 8 to 14 carbons and no double bond.
fn lauric(of: About<'_>) -> f64 {
    let part = |acid: &str| {
        let acid = of.library.acids.find(acid)?;
        Some(of.evaluation.composition.as_ref()?.fraction(acid))
    };
    ["8:0", "10:0", "12:0", "14:0"].into_iter().filter_map(part).sum()
}

/// The largest of the scents with these ids.
fn scent(of: About<'_>, ids: &[&str], against: &str) -> Option<Support> {
    let scents = of.design.scents.iter().zip(&of.evaluation.scents.masses).enumerate();
    let is_it = |line: &ScentLine| ids.contains(&line.scent.id.as_str());
    let found = scents.filter(|(_, (line, mass))| is_it(line) && mass.0 > 0.0);
    let (place, _) = found.max_by(|a, b| a.1.1.0.total_cmp(&b.1.1.0))?;
    by(ScentMass(LineId::of_scent(of.design, place)?), against)
}

fn mass_of(of: About<'_>, place: usize) -> Option<AdditionMass> {
    LineId::of_addition(of.design, place).map(AdditionMass)
}

/// The largest of the additions that `is_it` takes, by the line and its mass per kg of fats.
fn addition(of: About<'_>, is_it: impl Fn(&AdditionLine, f64) -> bool, against: impl Into<String>) -> Option<Support> {
    let fats = of.evaluation.masses.fats.0;
    let lines = of.design.additions.iter().zip(&of.evaluation.addition_masses).enumerate();
    let found = lines.filter(|(_, (line, mass))| mass.0 > 0.0 && is_it(line, 1000.0 * mass.0 / fats));
    let (place, _) = found.max_by(|a, b| a.1.1.0.total_cmp(&b.1.1.0))?;
    by(mass_of(of, place)?, against)
}

fn is_food(line: &AdditionLine, _: f64) -> bool {
    let is_fresh = matches!(line.addition.kind, AdditionKind::Puree | AdditionKind::Milk);
    is_fresh || PLANTS.contains(&line.addition.id.as_str())
}

#[cfg(test)]
pub(super) fn fats_named() -> impl Iterator<Item = &'static str> {
    CLEAR.into_iter().map(|(id, ..)| id)
}

#[cfg(test)]
pub(super) fn scents_named() -> impl Iterator<Item = &'static str> {
    FAST.into_iter().chain(FLEETING).chain(BROWNING)
}

#[cfg(test)]
pub(super) fn additions_named() -> impl Iterator<Item = &'static str> {
    COARSE.into_iter().chain(PLANTS).chain([SALT, STEARIC])
}
