//! Alkali, water, process, prices and calibration as the file has them.

use super::bounded;
use crate::design::own_bar::{self, OwnBar};
use crate::design::{self, Alkali};
use crate::units::{
    BatterDensity, Celsius, Days, EquilibriumMoisture, Hours, LyeConcentration, Minutes, Money, PackMass, Purity,
    PurityMargin, Share, TimeConstant, WaterPercent, WaterRatio,
};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct AlkaliChoice {
    koh_share: Share,
    naoh_purity: Purity,
    koh_purity: Purity,
    naoh_purity_pm: PurityMargin,
    koh_purity_pm: PurityMargin,
    /// Written only where it is said, so that programs from before it still read all other files.
    #[serde(skip_serializing_if = "is_unsaid")]
    naoh_read_from_tub: bool,
    #[serde(skip_serializing_if = "is_unsaid")]
    koh_read_from_tub: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks by reference")]
const fn is_unsaid(said: &bool) -> bool {
    !*said
}

impl Default for AlkaliChoice {
    fn default() -> Self {
        Alkali::default().into()
    }
}

impl From<Alkali> for AlkaliChoice {
    fn from(a: Alkali) -> Self {
        let Alkali { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm, .. } = a;
        let Alkali { naoh_read_from_tub, koh_read_from_tub, .. } = a;
        Self {
            koh_share,
            naoh_purity,
            koh_purity,
            naoh_purity_pm,
            koh_purity_pm,
            naoh_read_from_tub,
            koh_read_from_tub,
        }
    }
}

impl From<AlkaliChoice> for Alkali {
    fn from(a: AlkaliChoice) -> Self {
        let AlkaliChoice { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm, .. } = a;
        let AlkaliChoice { naoh_read_from_tub, koh_read_from_tub, .. } = a;
        Self {
            koh_share,
            naoh_purity,
            koh_purity,
            naoh_purity_pm,
            koh_purity_pm,
            naoh_read_from_tub,
            koh_read_from_tub,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[expect(clippy::enum_variant_names, reason = "the names are those of the file format")]
pub(super) enum Water {
    LyeConcentration(LyeConcentration),
    WaterToAlkali(WaterRatio),
    PercentOfFats(WaterPercent),
}

impl Default for Water {
    fn default() -> Self {
        design::WaterRule::default().into()
    }
}

impl From<design::WaterRule> for Water {
    fn from(rule: design::WaterRule) -> Self {
        match rule {
            design::WaterRule::LyeConcentration(c) => Self::LyeConcentration(c),
            design::WaterRule::WaterToAlkali(r) => Self::WaterToAlkali(r),
            design::WaterRule::PercentOfFats(p) => Self::PercentOfFats(p),
        }
    }
}

impl From<Water> for design::WaterRule {
    fn from(water: Water) -> Self {
        match water {
            Water::LyeConcentration(c) => Self::LyeConcentration(c),
            Water::WaterToAlkali(r) => Self::WaterToAlkali(r),
            Water::PercentOfFats(p) => Self::PercentOfFats(p),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Process {
    room_c: Celsius,
    mix_c: Celsius,
    fats_c: Option<Celsius>,
    jug_water_c: Option<Celsius>,
    jug_frozen: Share,
    jug_bath_c: Option<Celsius>,
    oven_gel: Option<OvenGel>,
    #[serde(skip_serializing_if = "Rest::is_room")]
    rest: Rest,
    cut_hours: Hours,
    cure_days: Days,
    equilibrium_moisture: EquilibriumMoisture,
    #[serde(deserialize_with = "bounded::some_line::<{bounded::KEY}, _>")]
    made_on: Option<String>,
}

impl Default for Process {
    fn default() -> Self {
        design::Process::default().into()
    }
}

impl From<design::Process> for Process {
    fn from(p: design::Process) -> Self {
        let design::Process { room_c, mix_c, fats_c, jug_water_c, jug_frozen, jug_stands, .. } = p;
        let jug_bath_c = match jug_stands {
            design::Surroundings::Air => None,
            design::Surroundings::Bath(celsius) => Some(celsius),
        };
        let oven_gel = p.oven_gel.map(|o| OvenGel { oven_c: o.oven_c, minutes: o.minutes });
        let rest = p.rest.into();
        let design::Process { cut_hours, cure_days, equilibrium_moisture, made_on, .. } = p;
        Self {
            room_c,
            mix_c,
            fats_c,
            jug_water_c,
            jug_frozen,
            jug_bath_c,
            oven_gel,
            rest,
            cut_hours,
            cure_days,
            equilibrium_moisture,
            made_on,
        }
    }
}

impl From<Process> for design::Process {
    fn from(p: Process) -> Self {
        let oven_gel = p.oven_gel.map(|o| design::OvenGel { oven_c: o.oven_c, minutes: o.minutes });
        let jug_stands = p.jug_bath_c.map_or(design::Surroundings::Air, design::Surroundings::Bath);
        let rest = p.rest.into();
        let Process { room_c, mix_c, fats_c, jug_water_c, jug_frozen, .. } = p;
        let Process { cut_hours, cure_days, equilibrium_moisture, made_on, .. } = p;
        Self {
            room_c,
            mix_c,
            fats_c,
            jug_water_c,
            jug_frozen,
            jug_stands,
            oven_gel,
            rest,
            cut_hours,
            cure_days,
            equilibrium_moisture,
            made_on,
        }
    }
}

#[derive(Serialize, Deserialize, Default)]
pub(super) enum Rest {
    #[default]
    Room,
    Insulated,
    Cool,
}

impl Rest {
    /// Not written then, so that a program from before it reads the file.
    const fn is_room(&self) -> bool {
        matches!(self, Self::Room)
    }
}

impl From<design::Rest> for Rest {
    fn from(rest: design::Rest) -> Self {
        match rest {
            design::Rest::Room => Self::Room,
            design::Rest::Insulated => Self::Insulated,
            design::Rest::Cool => Self::Cool,
        }
    }
}

impl From<Rest> for design::Rest {
    fn from(rest: Rest) -> Self {
        match rest {
            Rest::Room => Self::Room,
            Rest::Insulated => Self::Insulated,
            Rest::Cool => Self::Cool,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OvenGel {
    oven_c: Celsius,
    minutes: Minutes,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "the names are those of the file format")]
pub(super) struct Price {
    #[serde(deserialize_with = "bounded::line::<{bounded::KEY}, _>")]
    material: String,
    pack_g: PackMass,
    price: Money,
}

#[derive(Serialize, Deserialize, Default)]
pub(super) enum AllergenList {
    #[default]
    Extended,
    FirstTwentyFour,
    Off,
}

#[derive(Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Calibration {
    batter_g_per_ml: Option<BatterDensity>,
    jug_cooling_min: Option<TimeConstant>,
    /// Written only where there are some, so that programs from before it still read all other files.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    own_bars: Vec<OwnBar>,
}

impl From<design::Price> for Price {
    fn from(p: design::Price) -> Self {
        let design::Price { material, pack_g, price } = p;
        Self { material, pack_g, price }
    }
}

impl From<Price> for design::Price {
    fn from(p: Price) -> Self {
        let Price { material, pack_g, price } = p;
        Self { material, pack_g, price }
    }
}

impl From<crate::library::allergens::AllergenList> for AllergenList {
    fn from(list: crate::library::allergens::AllergenList) -> Self {
        match list {
            crate::library::allergens::AllergenList::Extended => Self::Extended,
            crate::library::allergens::AllergenList::FirstTwentyFour => Self::FirstTwentyFour,
            crate::library::allergens::AllergenList::Off => Self::Off,
        }
    }
}

impl From<AllergenList> for crate::library::allergens::AllergenList {
    fn from(list: AllergenList) -> Self {
        match list {
            AllergenList::Extended => Self::Extended,
            AllergenList::FirstTwentyFour => Self::FirstTwentyFour,
            AllergenList::Off => Self::Off,
        }
    }
}

impl Calibration {
    /// What is wrong with the own bars, if anything.
    pub(super) fn check(&self) -> Result<(), own_bar::TooMuch> {
        own_bar::check(&self.own_bars)
    }
}

impl From<design::Calibration> for Calibration {
    fn from(c: design::Calibration) -> Self {
        let design::Calibration { batter_g_per_ml, jug_cooling_min, own_bars } = c;
        Self { batter_g_per_ml, jug_cooling_min, own_bars: own_bars.to_vec() }
    }
}

impl From<Calibration> for design::Calibration {
    fn from(c: Calibration) -> Self {
        let Calibration { batter_g_per_ml, jug_cooling_min, own_bars } = c;
        Self { batter_g_per_ml, jug_cooling_min, own_bars: own_bars.into() }
    }
}
