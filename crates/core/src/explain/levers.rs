//! What a person can move, a step at a time.

use super::AnyQuantity;
use crate::design::blend::FatLine;
use crate::design::edit::Edit;
use crate::design::mould::{Cuboid, Mould, Size};
use crate::design::supplier::{Certificate, SupplierFigure, USUAL_MARGIN};
use crate::design::{Alkali, Calibration, Design, Price, Process, Surroundings, WaterRule};
use crate::library::Library;
use crate::library::additions::{AdditionLine, Amount};
use crate::library::scents::ScentLine;
use crate::number::short;
use crate::quantities::AlsoMovedBy;
use crate::units::{
    AcceptedChance, BarMass, Bars, BatterDensity, Celsius, Days, EquilibriumMoisture, FatMass, Fill, LyeConcentration,
    Millilitres, Millimetres, Money, Purity, PurityMargin, SaponificationValue, ScaleDivision, Share, Superfat,
    SvMargin, TimeConstant, WaterPercent, WaterRatio,
};

/// A whole step of the ratio of water to alkali.
const RATIO_STEP: f64 = 0.1;
/// A whole step of what is moved in proportion.
const TENTH: f64 = 0.1;

/// Which way a step goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Up,
    Down,
}

impl Way {
    /// So many whole steps.
    const fn by(self) -> f64 {
        match self {
            Self::Up => 1.0,
            Self::Down => -1.0,
        }
    }

    const fn words(self, up: &'static str, down: &'static str) -> &'static str {
        match self {
            Self::Up => up,
            Self::Down => down,
        }
    }
}

/// Something that a person can move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lever {
    /// The share of the blend's line at this position, the others giving way.
    Share(usize),
    /// The saponification value of that fat, its range as wide as before.
    Saponification(usize),
    /// A certificate for that fat, of the value that is counted with.
    Certificate(usize),
    Superfat,
    AcceptedChance,
    /// The design's own rule for the water.
    Water,
    KohShare,
    NaohPurity,
    KohPurity,
    /// The ± of each purity.
    NaohMargin,
    KohMargin,
    ScaleDivision,
    /// The amount of the addition at this position.
    Addition(usize),
    /// The amount of the scent at this position.
    Scent(usize),
    Room,
    /// The lye when it meets the fats.
    Mix,
    /// The fats when they meet the lye.
    Fats,
    /// The jug's water before the alkali goes in.
    JugWater,
    /// The part of the jug's water that is frozen.
    Frozen,
    /// The water bath that the jug stands in.
    Bath,
    /// The jug's time constant, where a reading gave it.
    Cooling,
    CureDays,
    /// The water that a cured bar keeps.
    Moisture,
    /// The price at this position.
    Price(usize),
    /// How far a mould or a volume is filled.
    Fill,
    /// The mass of the fats or of a bar, by which the batch is sized.
    Batch,
    Bars,
    /// The batter's density, where a weighing gave it.
    Batter,
    /// A measure of the mould, by its position among them.
    Mould(usize),
}

impl Lever {
    /// All that `design` has and that can matter to the number `quantity`.
    pub(super) fn all(quantity: &dyn AnyQuantity, design: &Design) -> Vec<Self> {
        let fats = 0..design.blend.lines().len();
        let mut all: Vec<Self> = fats.clone().map(Self::Share).collect();
        all.extend(fats.clone().map(Self::Saponification));
        all.extend(fats.map(Self::Certificate));
        all.extend([Self::Superfat, Self::AcceptedChance, Self::Water, Self::NaohPurity, Self::KohPurity]);
        all.extend([Self::NaohMargin, Self::KohMargin, Self::ScaleDivision]);
        // That there could be potassium hydroxide is no news to a design without it.
        if design.alkali.koh_share.get() > 0.0 || quantity.also_moved_by() == AlsoMovedBy::KohShare {
            all.push(Self::KohShare);
        }
        all.extend((0..design.additions.len()).map(Self::Addition));
        all.extend((0..design.scents.len()).map(Self::Scent));
        all.extend((0..design.prices.len()).map(Self::Price));
        all.extend([Self::Room, Self::Mix, Self::Fats, Self::JugWater, Self::Frozen, Self::Bath, Self::Cooling]);
        all.extend([Self::CureDays, Self::Moisture, Self::Fill, Self::Batch, Self::Bars, Self::Batter]);
        // Everything depends on the mould, which is seldom another one.
        if quantity.also_moved_by() == AlsoMovedBy::Mould {
            all.extend((0..mould_measures(&design.size).len()).map(Self::Mould));
        }
        all
    }

    /// A whole step, in words.
    pub(super) fn what(self, way: Way, design: &Design) -> String {
        let fat = |i: usize| &design.blend.lines()[i].fat.name;
        let (higher, more) = (way.words("higher", "lower"), way.words("more", "less"));
        let (purer, wider) = (way.words("purer", "less pure"), way.words("wider", "narrower"));
        let (warmer, larger) = (way.words("warmer", "colder"), way.words("larger", "smaller"));
        match self {
            Self::Share(i) => {
                let (sign, others) = (way.words("+", "\u{2212}"), way.words("less", "more"));
                format!("{} {sign}1 % of the blend, the others {others}", fat(i))
            }
            Self::Saponification(i) => format!("saponification value of {} 1 mg KOH/g {higher}", fat(i)),
            Self::Certificate(i) => {
                let sv = short(design.blend.lines()[i].saponification_value(), 1);
                format!("a certificate for {} with {sv} ± {} mg KOH/g", fat(i), short(USUAL_MARGIN, 1))
            }
            Self::Superfat => format!("superfat 1 point {higher}"),
            Self::AcceptedChance => format!("accepted chance 1 point {higher}"),
            Self::Water => match design.water {
                WaterRule::LyeConcentration(_) => format!("lye 1 point {}", way.words("stronger", "weaker")),
                WaterRule::WaterToAlkali(_) => format!("water to alkali {} : 1 {higher}", short(RATIO_STEP, 1)),
                WaterRule::PercentOfFats(_) => format!("water 1 point of the fats {more}"),
            },
            Self::KohShare => format!("potassium hydroxide 1 point {more} of the alkali"),
            Self::NaohPurity => format!("sodium hydroxide 1 point {purer}"),
            Self::KohPurity => format!("potassium hydroxide 1 point {purer}"),
            Self::NaohMargin => format!("± of the purity of the sodium hydroxide 0.1 point {wider}"),
            Self::KohMargin => format!("± of the purity of the potassium hydroxide 0.1 point {wider}"),
            Self::ScaleDivision => format!("scale 0.1 g {}", way.words("coarser", "finer")),
            Self::Addition(i) => {
                let line = &design.additions[i];
                format!("a tenth {more} of {} ({})", line.addition.name, line.stage.words().to_lowercase())
            }
            Self::Scent(i) => format!("a tenth {more} of {}", design.scents[i].scent.name),
            Self::Price(i) => {
                let material = &design.prices[i].material;
                format!("price of {} a tenth {higher}", design.material_name(material).unwrap_or(material))
            }
            Self::Moisture => format!("the cured bar keeps 1 point {more} water"),
            Self::Room => format!("room 1 °C {warmer}"),
            Self::Mix => format!("lye used 1 °C {warmer}"),
            Self::Fats => format!("fats 1 °C {warmer}"),
            Self::JugWater => format!("water in the jug 1 °C {warmer}"),
            Self::Frozen => format!("1 point {more} of the jug’s water frozen"),
            Self::Bath => format!("bath 1 °C {warmer}"),
            Self::Cooling => format!("a jug that cools a tenth {}", way.words("slower", "faster")),
            Self::CureDays => format!("a day {more} of cure"),
            Self::Fill => format!("mould filled 1 % of its height {more}"),
            Self::Batch => match design.size {
                Size::BarMass(_) | Size::BarAtSale(_) => format!("a bar a tenth {}", way.words("heavier", "lighter")),
                Size::FatMass(_) | Size::Mould { .. } | Size::Volume { .. } => format!("a tenth {more} of all fats"),
            },
            Self::Bars => format!("one bar {}", way.words("more", "fewer")),
            Self::Batter => format!("batter 0.01 g/ml {}", way.words("denser", "lighter")),
            Self::Mould(i) => {
                let (measure, unit) = mould_measures(&design.size).get(i).copied().unwrap_or_default();
                format!("{measure} 1 {unit} {larger}")
            }
        }
    }

    /// `design` after a whole step; `None` where it cannot go so far.
    pub(super) fn moved(self, way: Way, design: &Design, library: &Library) -> Option<Design> {
        self.edit(way.by(), design)?.apply(design, library).ok()
    }

    fn edit(self, by: f64, design: &Design) -> Option<Edit> {
        let (alkali, process) = (design.alkali, || design.process.clone());
        let purer = |purity: Purity| Purity::new(purity.get() + by).ok();
        let wider = |pm: PurityMargin| PurityMargin::new(pm.get() + 0.1 * by).ok();
        let warmer = |celsius: Celsius| Celsius::new(celsius.get() + by).ok();
        Some(match self {
            Self::Share(i) => {
                let line = design.blend.lines().get(i)?;
                Edit::Share(line.fat.id.clone(), Share::new(line.share.get() + by).ok()?)
            }
            Self::Saponification(i) => saponification(design.blend.lines().get(i)?, by, None)?,
            Self::Certificate(i) => {
                let line = design.blend.lines().get(i)?;
                let half = line.saponification_range().width() / 2.0;
                // One that is not better is none.
                (half > USUAL_MARGIN && by > 0.0).then_some(())?;
                saponification(line, 0.0, Some(USUAL_MARGIN))?
            }
            Self::Superfat => Edit::Superfat(Superfat::new(design.superfat.get() + by).ok()?),
            Self::AcceptedChance => Edit::AcceptedChance(AcceptedChance::new(design.accepted_chance.get() + by).ok()?),
            Self::Water => Edit::Water(match design.water {
                WaterRule::LyeConcentration(c) => {
                    WaterRule::LyeConcentration(LyeConcentration::new(c.get() + by).ok()?)
                }
                WaterRule::WaterToAlkali(r) => {
                    WaterRule::WaterToAlkali(WaterRatio::new(r.get() + RATIO_STEP * by).ok()?)
                }
                WaterRule::PercentOfFats(p) => WaterRule::PercentOfFats(WaterPercent::new(p.get() + by).ok()?),
            }),
            Self::KohShare => {
                Edit::Alkali(Alkali { koh_share: Share::new(alkali.koh_share.get() + by).ok()?, ..alkali })
            }
            Self::NaohPurity => Edit::Alkali(Alkali { naoh_purity: purer(alkali.naoh_purity)?, ..alkali }),
            Self::KohPurity => Edit::Alkali(Alkali { koh_purity: purer(alkali.koh_purity)?, ..alkali }),
            Self::NaohMargin => Edit::Alkali(Alkali { naoh_purity_pm: wider(alkali.naoh_purity_pm)?, ..alkali }),
            Self::KohMargin => Edit::Alkali(Alkali { koh_purity_pm: wider(alkali.koh_purity_pm)?, ..alkali }),
            Self::ScaleDivision => {
                Edit::ScaleDivision(ScaleDivision::new(design.scale_division.get() + 0.1 * by).ok()?)
            }
            Self::Addition(i) => {
                let line = design.additions.get(i)?;
                Edit::SetAddition(i, AdditionLine { amount: more(line.amount, by)?, ..line.clone() })
            }
            Self::Scent(i) => {
                let line = design.scents.get(i)?;
                Edit::SetScent(i, ScentLine { amount: more(line.amount, by)?, ..line.clone() })
            }
            Self::Price(i) => {
                let price = design.prices.get(i)?;
                let dearer = Money::new(price.price.get() * (1.0 + TENTH * by)).ok()?;
                Edit::SetPrice(Price { price: dearer, ..price.clone() })
            }
            Self::Moisture => {
                let moisture = design.process.equilibrium_moisture.get() + by;
                let equilibrium_moisture = EquilibriumMoisture::new(moisture).ok()?;
                Edit::Process(Process { equilibrium_moisture, ..process() })
            }
            Self::Room => Edit::Process(Process { room_c: warmer(design.process.room_c)?, ..process() }),
            Self::Mix => Edit::Process(Process { mix_c: warmer(design.process.mix_c)?, ..process() }),
            Self::Fats => {
                let fats = design.process.fats_c.unwrap_or(design.process.mix_c);
                Edit::Process(Process { fats_c: Some(warmer(fats)?), ..process() })
            }
            Self::JugWater => {
                let water = design.process.jug_water_c.unwrap_or(design.process.room_c);
                Edit::Process(Process { jug_water_c: Some(warmer(water)?), ..process() })
            }
            Self::Frozen => {
                let jug_frozen = Share::new(design.process.jug_frozen.get() + by).ok()?;
                Edit::Process(Process { jug_frozen, ..process() })
            }
            Self::Bath => match design.process.jug_stands {
                Surroundings::Air => return None,
                Surroundings::Bath(bath) => {
                    Edit::Process(Process { jug_stands: Surroundings::Bath(warmer(bath)?), ..process() })
                }
            },
            Self::Cooling => {
                let slower = design.calibration.jug_cooling_min?.get() * (1.0 + TENTH * by);
                let jug_cooling_min = Some(TimeConstant::new(slower).ok()?);
                Edit::Calibration(Calibration { jug_cooling_min, ..design.calibration.clone() })
            }
            Self::Batter => {
                let denser = design.calibration.batter_g_per_ml?.get() + 0.01 * by;
                let batter_g_per_ml = Some(BatterDensity::new(denser).ok()?);
                Edit::Calibration(Calibration { batter_g_per_ml, ..design.calibration.clone() })
            }
            Self::CureDays => {
                let cure_days = Days::new(design.process.cure_days.get() + by).ok()?;
                Edit::Process(Process { cure_days, ..process() })
            }
            Self::Bars => {
                design.size.own_bars().is_none().then_some(())?;
                let bars = design.bars.get();
                let bars = if by > 0.0 { bars.checked_add(1)? } else { bars.checked_sub(1)? };
                Edit::Bars(Bars::new(bars).ok()?)
            }
            Self::Fill | Self::Batch | Self::Mould(_) => Edit::Size(self.size(by, design.size)?),
        })
    }

    fn size(self, by: f64, size: Size) -> Option<Size> {
        let fuller = |fill: Fill| Fill::new(fill.get() + by).ok();
        let tenth = 1.0 + TENTH * by;
        Some(match size {
            Size::Mould { mould, fill } => match self {
                Self::Fill => Size::Mould { mould, fill: fuller(fill)? },
                Self::Mould(i) => Size::Mould { mould: larger(mould, i, by)?, fill },
                _ => return None,
            },
            Size::Volume { ml, fill } => {
                matches!(self, Self::Fill).then_some(())?;
                Size::Volume { ml, fill: fuller(fill)? }
            }
            Size::FatMass(mass) => {
                matches!(self, Self::Batch).then_some(())?;
                Size::FatMass(FatMass::new(mass.get() * tenth).ok()?)
            }
            Size::BarMass(mass) => {
                matches!(self, Self::Batch).then_some(())?;
                Size::BarMass(BarMass::new(mass.get() * tenth).ok()?)
            }
            Size::BarAtSale(mass) => {
                matches!(self, Self::Batch).then_some(())?;
                Size::BarAtSale(BarMass::new(mass.get() * tenth).ok()?)
            }
        })
    }
}

/// The edit after which `line` counts with a saponification value so much higher, ± `half` or as wide as before.
fn saponification(line: &FatLine, by: f64, half: Option<f64>) -> Option<Edit> {
    let half = half.unwrap_or(line.saponification_range().width() / 2.0);
    let figure = SupplierFigure {
        sv: SaponificationValue::new(line.saponification_value() + by).ok()?,
        pm: SvMargin::new(half).ok()?,
    };
    let certificate = Certificate { sv: Some(figure), ..line.certificate() };
    Some(Edit::Supplier(line.fat.id.clone(), certificate))
}

/// So many tenths more; `None` beyond what can be typed.
fn more(amount: Amount, by: f64) -> Option<Amount> {
    let wanted = amount.number() * (1.0 + TENTH * by);
    let amount = amount.with_number(wanted);
    (amount.number() >= wanted).then_some(amount)
}

/// What of a mould can be made larger, with its unit; empty without a mould.
const fn mould_measures(size: &Size) -> &'static [(&'static str, &'static str)] {
    match size {
        Size::Mould { mould, .. } => match mould {
            Mould::Loaf(_) | Mould::Slab(_) => {
                &[("length of the mould", "mm"), ("width of the mould", "mm"), ("height of the mould", "mm")]
            }
            Mould::Round { .. } => &[("diameter of the mould", "mm"), ("length of the mould", "mm")],
            Mould::Cavities { .. } => &[("each cavity", "ml")],
        },
        Size::FatMass(_) | Size::Volume { .. } | Size::BarMass(_) | Size::BarAtSale(_) => &[],
    }
}

/// `mould` with one of its measures larger.
fn larger(mould: Mould, measure: usize, by: f64) -> Option<Mould> {
    let longer = |mm: Millimetres| Millimetres::new(mm.get() + by).ok();
    let of_box = |c: Cuboid| {
        Some(match measure {
            0 => Cuboid { length_mm: longer(c.length_mm)?, ..c },
            1 => Cuboid { width_mm: longer(c.width_mm)?, ..c },
            _ => Cuboid { height_mm: longer(c.height_mm)?, ..c },
        })
    };
    Some(match mould {
        Mould::Loaf(c) => Mould::Loaf(of_box(c)?),
        Mould::Slab(c) => Mould::Slab(of_box(c)?),
        Mould::Round { diameter_mm, length_mm } => match measure {
            0 => Mould::Round { diameter_mm: longer(diameter_mm)?, length_mm },
            _ => Mould::Round { diameter_mm, length_mm: longer(length_mm)? },
        },
        Mould::Cavities { count, ml } => Mould::Cavities { count, ml: Millilitres::new(ml.get() + by).ok()? },
    })
}
