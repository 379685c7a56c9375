//! Which numbers of a design support a cause.
//!
//! The limits are common practice and have no source.

use super::causes::{Cause, Number, Support};
use crate::design::Design;
use crate::library::additions::{AdditionKind, AdditionLine, Stage};
use crate::library::estimates::{Estimate, Place};
use crate::library::fats::FatKind;
use crate::library::handling::How;
use crate::library::scents::ScentLine;
use crate::number::{fixed, short};
use crate::quantities::{
    About, AcidPercent, AdditionMass, AllScents, AnyQuantity, ChanceLyeHeavy, CrystallisesBelow, FatShare, FreeFat,
    JugConcentration, Koh, LineId, LyeConcentration, Meeting, Naoh, Peak, PlannedSuperfat, Quantity, ScentMass, Score,
    Sugars, Titre, WaterUncounted, text,
};
use crate::quantity::Unit;
use crate::quantity::with_unit;
use crate::units::{Share, from_percent, percent_of};
use std::sync::Arc;

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
/// Oleic acid that makes a batter slow, percent of the acids.
const SLOW_OLEIC: f64 = 55.0;
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

/// The least percent of the fats at which it matters that a hard fat is clear; of a wax or a free acid any does.
const MUCH_HARD: f64 = 5.0;

/// Scents that are soon gone.
const FLEETING: [&str; 7] = ["bergamot", "grapefruit", "lemon", "lime", "mandarin", "orange_bitter", "orange_sweet"];

/// Fillers with bits that a knife catches, and those that something can grow on.
const COARSE: [&str; 2] = ["oats", "calendula_petals"];
const PLANTS: [&str; 3] = ["oats", "oat_flour", "calendula_petals"];
/// The salt of a salt bar.
const SALT: &str = "salt";

impl Cause {
    /// The number by which a design supports it; `None` if its numbers do not, or if it is nothing that a design says.
    pub fn support(self, of: About<'_>) -> Option<Support> {
        let process = &of.design.process;
        let lines = &of.design.additions;
        match self {
            Self::ThinLye => thin_lye(of),
            Self::StrongLye => above(JugConcentration, STRONG, of, format!("over {STRONG} % is strong")),
            Self::LyeCrystals => {
                let room = process.room_c.get();
                above(CrystallisesBelow, room, of, format!("the room has {}", celsius(room, of)))
            }
            Self::LyeHeavy => lye_heavy(of),
            Self::CoarseScale => coarse_scale(of),
            Self::HotJug => food_in_jug(of.design)
                .and_then(|_| above(Peak, BROWNS, of, format!("food browns from about {}", celsius(BROWNS, of)))),
            Self::FoodInJug => {
                let place = food_in_jug(of.design)?;
                by(mass_of(of, place)?, format!("{} goes into the jug", lines.get(place)?.addition.name))
            }
            Self::NoGel if process.oven_gel.is_none() => says("Oven", "none".into(), "no warmth is set for a gel"),
            Self::HotOven => hot_oven(of),
            Self::SugarInOven if is_sugary(of) => {
                by(Sugars, format!("with the oven at {}", celsius(process.oven_gel?.oven_c.get(), of)))
            }
            Self::Sugar if is_sugary(of) => by(Sugars, format!("{SUGARY} g or more per kg of fats heat the batter")),
            Self::CoolRoom => warmth_under("Room", process.room_c.get(), COOL_ROOM, of),
            Self::ColdFats => cold_fats(of),
            Self::CoolMix => below(Meeting, COOL_MIX, of, format!("under {} is cool", celsius(COOL_MIX, of))),
            Self::HotMix => above(Meeting, HOT_MIX, of, format!("over {} is hot", celsius(HOT_MIX, of))),
            Self::MuchOleic => {
                let oleic = AcidPercent(of.library.acids.find("18:1")?);
                above(oleic, SLOW_OLEIC, of, format!("over {SLOW_OLEIC} % thickens slowly"))
            }
            Self::SoftBlend => outside(Estimate::Hardness, Place::Below, of),
            Self::QuickToTurn => outside(Estimate::Keeping, Place::Above, of),
            Self::FreeAcids => free_acids(of),
            Self::HighSuperfat if lauric(of) <= LAURIC => {
                above(FreeFat, MUCH_FREE_FAT, of, format!("over {MUCH_FREE_FAT} % is much"))
            }
            Self::Potash => says_over("Potassium hydroxide", of.design.alkali.koh_share.get(), "%", SOFT_KOH),
            Self::FastScents => scent(of, |line| line.scent.handling().speeds_up, "it speeds the batter up"),
            Self::FleetingScents => scent(of, |line| FLEETING.contains(&line.scent.id.as_str()), "it does not last"),
            Self::BrowningScents => scent(of, |line| line.scent.handling().browns, "it turns brown"),
            Self::MuchScent => much_scent(of),
            Self::Alcohol => addition(of, |line, _| line.addition.alcohol.get() > 0.0, "it holds alcohol"),
            Self::MuchFiller => addition(of, is_much_filler, format!("over {MUCH_FILLER} g per kg of fats is much")),
            Self::CoarseFiller => addition(of, is_coarse, "the knife catches it"),
            Self::MuchSalt => addition(of, is_much_salt, format!("over {MUCH_SALT} g per kg of fats is much")),
            Self::PlantColour => {
                addition(of, |line, _| line.addition.kind == AdditionKind::Puree, "its colour seldom lasts")
            }
            Self::FreshFood => addition(of, is_food, "food for what grows"),
            Self::CutEarly => says_under("Cut after", process.cut_hours.get(), "h", EARLY),
            Self::CutLate => says_over("Cut after", process.cut_hours.get(), "h", LATE),
            Self::ShortCure => says_under("Cure", process.cure_days.get(), "days", SHORT),
            Self::NoGel
            | Self::SugarInOven
            | Self::Sugar
            | Self::HighSuperfat
            | Self::WeighingSlip
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

#[expect(clippy::unnecessary_wraps, reason = "what supports a cause, as each of its arms gives it")]
fn by(quantity: impl Quantity, against: impl Into<String>) -> Option<Support> {
    Some(Support { number: Number::Quantity(Arc::new(quantity)), against: against.into() })
}

/// Supported by what the design says by itself.
#[expect(clippy::unnecessary_wraps, reason = "what supports a cause, as each of its arms gives it")]
fn says(name: &str, value: String, against: impl Into<String>) -> Option<Support> {
    Some(Support { number: Number::Chosen { name: name.into(), value }, against: against.into() })
}

/// Supported by what the design says if it is under `limit`.
fn says_under(name: &str, value: f64, unit: &str, limit: f64) -> Option<Support> {
    let told = |value| with_unit(&short(value, 1), unit);
    (value < limit).then(|| says(name, told(value), format!("under {}", told(limit)))).flatten()
}

/// A temperature in the reader's units.
fn celsius(value: f64, of: About<'_>) -> String {
    Unit::Celsius.short_in(value, 1, of.measures)
}

/// Supported by a temperature that the design says if it is under `limit`, °C.
fn warmth_under(name: &str, value: f64, limit: f64, of: About<'_>) -> Option<Support> {
    (value < limit).then(|| says(name, celsius(value, of), format!("under {}", celsius(limit, of)))).flatten()
}

/// The same if it is over `limit`.
fn warmth_over(name: &str, value: f64, limit: f64, of: About<'_>) -> Option<Support> {
    (value > limit).then(|| says(name, celsius(value, of), format!("over {}", celsius(limit, of)))).flatten()
}

/// Supported by what the design says if it is over `limit`.
fn says_over(name: &str, value: f64, unit: &str, limit: f64) -> Option<Support> {
    let told = |value| with_unit(&short(value, 1), unit);
    (value > limit).then(|| says(name, told(value), format!("over {}", told(limit)))).flatten()
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
    let range = result.range.map_or_else(String::new, |range| format!(" of {}", estimate.shown_range(range)));
    by(Score(estimate), format!("{} the range{range}", side.word()))
}

/// All water makes the lye thin, also what does not count.
fn thin_lye(of: About<'_>) -> Option<Support> {
    let masses = &of.evaluation.masses;
    let against = format!("under {THIN} % is thin");
    below(LyeConcentration, THIN, of, against).or_else(|| {
        let pure = masses.alkali.pure();
        let all = pure + masses.water_total + masses.water_uncounted;
        let percent = percent_of(pure.0, all.0);
        let against = || format!("with it the lye has {} %, under {THIN} %", fixed(percent, 1));
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
        by(Koh, against)
    } else {
        None
    }
}

/// Milk, sugar or fruit that goes into the jug.
fn food_in_jug(design: &Design) -> Option<usize> {
    let is_it = |line: &AdditionLine| {
        let contents = &line.addition.contents.value;
        line.stage.is_in_jug() && contents.fat.get() + contents.sugars.map_or(0.0, Share::get) > FOOD
    };
    design.additions.iter().position(is_it)
}

fn hot_oven(of: About<'_>) -> Option<Support> {
    let oven = of.design.process.oven_gel?;
    let hot = warmth_over("Oven", oven.oven_c.get(), HOT_OVEN, of);
    hot.or_else(|| says_over("Time in the oven", oven.minutes.get(), "min", LONG_OVEN))
}

fn is_sugary(of: About<'_>) -> bool {
    let masses = &of.evaluation.masses;
    1000.0 * masses.sugars.0 >= SUGARY * masses.fats.0 && masses.sugars.0 > 0.0
}

/// Lye and fats that meet below where a hard fat is clear, or where the blend's acids set.
fn cold_fats(of: About<'_>) -> Option<Support> {
    let meeting = AnyQuantity::value(&Meeting, of).ok()?;
    let hard_fats = &of.library.hard_fats;
    let lines = of.design.blend.lines().iter();
    let fats = lines.map(|line| (hard_fats.clear(&line.fat), line.fat.name.as_str(), line.share.get()));
    let melted = of.design.additions.iter().zip(&of.evaluation.addition_masses);
    let melted = melted.filter(|(line, _)| line.stage.meets_lye()).map(|(line, mass)| {
        let part = percent_of(mass.0, of.evaluation.masses.fats.0);
        (hard_fats.clear_addition(line.addition.handling().how), line.addition.name.as_str(), part)
    });
    let hard = fats.chain(melted).filter_map(|(clear, name, percent)| {
        let clear = clear?;
        let least = if clear.is_waxy() { 0.0 } else { MUCH_HARD };
        (percent > least && meeting < clear.celsius.min()).then_some((clear.celsius.min(), name))
    });
    let hardest = hard.max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((clear, name)) = hardest {
        return by(Meeting, format!("{name} is clear from about {}", celsius(clear, of)));
    }
    let titre = of.evaluation.chemistry.titre?;
    let against = || format!("the blend’s acids set at {}", text(&Titre, of).unwrap_or_default());
    (meeting < titre).then(|| by(Meeting, against())).flatten()
}

fn free_acids(of: About<'_>) -> Option<Support> {
    let against = format!("over {SETTING} % of free acids set at once");
    let mut lines = of.design.blend.lines().iter();
    let acid = lines.find(|line| line.fat.kind == FatKind::FreeAcid && line.share.get() > SETTING);
    if let Some(line) = acid {
        return by(FatShare(line.fat.id.clone()), against);
    }
    let least = from_percent(SETTING);
    let is_it = |line: &AdditionLine, per_kg: f64| line.addition.handling().how == How::Melt && per_kg > 1000.0 * least;
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

/// The largest of the scents that `is_it` takes.
fn scent(of: About<'_>, is_it: impl Fn(&ScentLine) -> bool, against: &str) -> Option<Support> {
    let scents = of.design.scents.iter().zip(&of.evaluation.scents.masses).enumerate();
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

fn much_scent(of: About<'_>) -> Option<Support> {
    let masses = &of.evaluation.masses;
    let is_much = percent_of(masses.scents.0, masses.fats.0) > MUCH_SCENT;
    is_much.then(|| by(AllScents, format!("over {MUCH_SCENT} % of the fats is much"))).flatten()
}

fn is_much_filler(line: &AdditionLine, per_kg: f64) -> bool {
    line.addition.kind == AdditionKind::Filler && line.stage != Stage::OnTop && per_kg > MUCH_FILLER
}

fn is_coarse(line: &AdditionLine, _: f64) -> bool {
    COARSE.contains(&line.addition.id.as_str()) || line.stage == Stage::OnTop
}

fn is_much_salt(line: &AdditionLine, per_kg: f64) -> bool {
    line.addition.id.as_str() == SALT && per_kg > MUCH_SALT
}

fn is_food(line: &AdditionLine, _: f64) -> bool {
    let is_fresh = matches!(line.addition.kind, AdditionKind::Puree | AdditionKind::Milk);
    is_fresh || PLANTS.contains(&line.addition.id.as_str())
}

#[cfg(test)]
pub(super) fn scents_named() -> impl Iterator<Item = &'static str> {
    FLEETING.into_iter()
}

#[cfg(test)]
pub(super) fn additions_named() -> impl Iterator<Item = &'static str> {
    COARSE.into_iter().chain(PLANTS).chain([SALT])
}
