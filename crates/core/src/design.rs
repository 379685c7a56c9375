//! The design: one formula with all that belongs to it.

mod alkali;
pub mod blend;
pub mod document;
pub mod edit;
pub mod history;
pub mod log;
pub mod mould;
pub mod own;
pub mod own_bar;
mod price;
pub mod scale;
pub mod shelf;

pub mod supplier;
pub mod words;
pub mod written;

pub use alkali::AlkaliKind;

use crate::design::blend::Blend;
use crate::design::mould::Size;
use crate::design::own_bar::OwnBar;
use crate::library::additions::{Addition, AdditionLine};
use crate::library::allergens::AllergenList;
use crate::library::fats::Fat;
use crate::library::scents::{Scent, ScentLine};
use crate::units::{
    AcceptedChance, Bars, BatterDensity, Celsius, Days, EquilibriumMoisture, FatMass, Hours, LyeConcentration, Minutes,
    Money, PackMass, Purity, PurityMargin, ScaleDivision, Share, Superfat, TimeConstant, WaterPercent, WaterRatio,
};
use chrono::NaiveDate;
use std::sync::Arc;

/// Which alkali, and how pure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alkali {
    /// Percent of the alkali equivalents (moles) that are potassium hydroxide.
    pub koh_share: Share,
    /// Sodium hydroxide in what is weighed as such; the rest is an inert solid.
    pub naoh_purity: Purity,
    /// Potassium hydroxide in what is weighed as such; the rest is water.
    pub koh_purity: Purity,
    /// How far the first may be off.
    pub naoh_purity_pm: PurityMargin,
    /// How far the second may be off.
    pub koh_purity_pm: PurityMargin,
    /// Whether the maker says that the purity of the sodium hydroxide was read from the tub in use.
    pub naoh_read_from_tub: bool,
    /// The same of the potassium hydroxide.
    pub koh_read_from_tub: bool,
}

impl Default for Alkali {
    /// Sodium hydroxide of 99 ± 0.5 %; potassium hydroxide would be 90 ± 1 % (from memory).
    fn default() -> Self {
        Self {
            koh_share: Share::nearest(0.0),
            naoh_purity: Purity::nearest(99.0),
            koh_purity: Purity::nearest(90.0),
            naoh_purity_pm: PurityMargin::nearest(0.5),
            koh_purity_pm: PurityMargin::nearest(1.0),
            naoh_read_from_tub: false,
            koh_read_from_tub: false,
        }
    }
}

/// How much water there is in all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WaterRule {
    /// Pure alkali in percent of pure alkali and all water.
    LyeConcentration(LyeConcentration),
    /// All water per pure alkali.
    WaterToAlkali(WaterRatio),
    /// All water in percent of the fats' mass.
    PercentOfFats(WaterPercent),
}

impl Default for WaterRule {
    /// 31 % lye, a middling strength (common practice, no source).
    fn default() -> Self {
        Self::LyeConcentration(LyeConcentration::nearest(31.0))
    }
}

/// Temperatures and times of the making.
#[derive(Debug, Clone, PartialEq)]
pub struct Process {
    /// The room, °C.
    pub room_c: Celsius,
    /// The lye when it meets the fats, °C.
    pub mix_c: Celsius,
    /// The fats when they meet the lye, °C; as the lye if not said.
    pub fats_c: Option<Celsius>,
    /// The jug's water before the alkali goes in, °C; as the room if not said.
    pub jug_water_c: Option<Celsius>,
    /// Percent of the jug's water that is ice, frozen milk or the like.
    pub jug_frozen: Share,
    /// What the jug cools in.
    pub jug_stands: Surroundings,
    /// Warming the filled mould in an oven, if wanted.
    pub oven_gel: Option<OvenGel>,
    /// Where the filled mould stands if it is in no oven.
    pub rest: Rest,
    /// Hours from pouring to cutting.
    pub cut_hours: Hours,
    /// Days of cure, from cutting to sale.
    pub cure_days: Days,
    /// Water that the bar keeps in the end, percent of its mass.
    pub equilibrium_moisture: EquilibriumMoisture,
    /// Day of making, ISO 8601, as typed.
    pub made_on: Option<String>,
}

/// What the jug cools in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Surroundings {
    /// The room's air.
    #[default]
    Air,
    /// A water bath of this temperature, °C.
    Bath(Celsius),
}

/// Where the filled mould stands until the soap is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rest {
    /// In the room, as it is.
    #[default]
    Room,
    /// Wrapped, so that the soap keeps its own warmth.
    Insulated,
    /// In a cool place, so that it does not grow warm.
    Cool,
}

impl Rest {
    /// All, in the order of lists.
    pub const ALL: [Self; 3] = [Self::Room, Self::Insulated, Self::Cool];

    /// Name in a list.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Room => "In the room",
            Self::Insulated => "Insulated",
            Self::Cool => "In a cool place",
        }
    }
}

/// Lye and fats are not brought together warmer than this, °C: they burn, spit and boil over (common practice, no
/// source).
pub const MEET_MOST_C: f64 = 85.0;

/// Warming the filled mould.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OvenGel {
    /// Oven, °C.
    pub oven_c: Celsius,
    /// How long, minutes.
    pub minutes: Minutes,
}

impl OvenGel {
    /// Usual temperatures, °C (common practice, no source).
    pub const USUAL_C: [f64; 2] = [65.0, 77.0];
    /// Over this the water boils out of the caustic batter, °C (common practice, no source).
    pub const MOST_C: f64 = 95.0;
}

impl Default for OvenGel {
    /// 75 °C for half an hour (common practice, no source).
    fn default() -> Self {
        Self { oven_c: Celsius::nearest(75.0), minutes: Minutes::nearest(30.0) }
    }
}

impl Default for Process {
    /// A room of 20 °C; lye and fats meet at 38 °C, bars are cut after two days and cure four
    /// weeks (common practice, no source). A dried bar keeps 10 % of water, of 5 to 14 % (literature, memory).
    fn default() -> Self {
        Self {
            room_c: Celsius::nearest(20.0),
            mix_c: Celsius::nearest(38.0),
            fats_c: None,
            jug_water_c: None,
            jug_frozen: Share::nearest(0.0),
            jug_stands: Surroundings::Air,
            oven_gel: None,
            rest: Rest::Room,
            cut_hours: Hours::nearest(48.0),
            cure_days: Days::nearest(28.0),
            equilibrium_moisture: EquilibriumMoisture::nearest(10.0),
            made_on: None,
        }
    }
}

/// What a pack of something costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// Id of the material.
    pub material: String,
    /// Size of the pack, g.
    pub pack_g: PackMass,
    /// Price of the pack.
    pub price: Money,
}

/// What the maker measured to correct an estimate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Calibration {
    /// Batter density, g/mL.
    pub batter_g_per_ml: Option<BatterDensity>,
    /// Cooling time constant of the jug, minutes.
    pub jug_cooling_min: Option<TimeConstant>,
    /// Own bars whose colour was looked at, the latest last.
    pub own_bars: Arc<[OwnBar]>,
}

/// Records that a design keeps without using them, each kind in order of its ids.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spare {
    /// Fats.
    pub fats: Vec<Arc<Fat>>,
    /// Additions.
    pub additions: Vec<Arc<Addition>>,
    /// Scents.
    pub scents: Vec<Arc<Scent>>,
}

/// One formula with all that belongs to it; what a file holds and a person edits.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// What the maker calls it.
    pub name: String,
    /// Free text.
    pub notes: String,
    /// Name of the style whose guideline ranges are shown.
    pub style: String,
    /// The fats with their shares.
    pub blend: Blend,
    /// Materials that the file describes but the design does not use; kept so that nothing is
    /// lost.
    pub spare: Spare,
    /// Percent of the exact alkali held back.
    pub superfat: Superfat,
    /// The chance of a lye-heavy bar up to which a superfat is taken as enough.
    pub accepted_chance: AcceptedChance,
    /// Which alkali.
    pub alkali: Alkali,
    /// Step of the maker's scale.
    pub scale_division: ScaleDivision,
    /// How much water.
    pub water: WaterRule,
    /// How large the batch is.
    pub size: Size,
    /// How many bars the batch gives, unless the mould sets it.
    pub bars: Bars,
    /// What goes in besides fats, alkali, water and scent.
    pub additions: Vec<AdditionLine>,
    /// Scents.
    pub scents: Vec<ScentLine>,
    /// Temperatures and times.
    pub process: Process,
    /// Prices.
    pub prices: Vec<Price>,
    /// The prices' currency, a label.
    pub currency: String,
    /// Which allergens the label names.
    pub allergen_list: AllergenList,
    /// What the maker measured.
    pub calibration: Calibration,
}

/// The most records of materials that a design holds, used and spare.
pub const MOST_RECORDS: usize = 400;

/// The style that a design has if none is said.
pub const DEFAULT_STYLE: &str = "everyday handmade";

/// Reads a day, ISO 8601; `None` if it is none, as the 30th of February.
pub fn day_of(text: &str) -> Option<NaiveDate> {
    text.trim().parse().ok()
}

/// Less than so long in the mould, hours, or drying, days, is as none (our judgement).
const NO_TIME: f64 = 1.0;

impl Process {
    /// Whether the soap is to be cut when it has only just been poured.
    pub fn is_cut_at_once(&self) -> bool {
        self.cut_hours.get() < NO_TIME
    }

    /// Whether the bars are not to cure.
    pub fn is_without_cure(&self) -> bool {
        self.cure_days.get() < NO_TIME
    }

    /// Whether all temperatures are those of `other`.
    pub(crate) fn is_warmed_as(&self, other: &Self) -> bool {
        let Self { cut_hours, cure_days, equilibrium_moisture, made_on, .. } = other.clone();
        Self { cut_hours, cure_days, equilibrium_moisture, made_on, ..self.clone() } == *other
    }
}

impl Default for Design {
    /// An empty blend of 500 g, with 5 % superfat and 31 % lye.
    fn default() -> Self {
        Self {
            name: "New design".into(),
            notes: String::new(),
            style: DEFAULT_STYLE.into(),
            blend: Blend::default(),
            spare: Spare::default(),
            superfat: Superfat::nearest(5.0),
            accepted_chance: AcceptedChance::nearest(1.0),
            alkali: Alkali::default(),
            scale_division: ScaleDivision::nearest(1.0),
            water: WaterRule::default(),
            size: Size::FatMass(FatMass::nearest(500.0)),
            bars: Bars::SIX,
            additions: Vec::new(),
            scents: Vec::new(),
            process: Process::default(),
            prices: Vec::new(),
            currency: "EUR".into(),
            allergen_list: AllergenList::default(),
            calibration: Calibration::default(),
        }
    }
}
