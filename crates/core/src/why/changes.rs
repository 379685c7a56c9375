//! What would change a number most: its slope along everything that a person can move.

use super::figure::{Entry, with_unit};
use super::{About, Change};
use crate::additions::AdditionLine;
use crate::design::{Alkali, Design, Price, Process, WaterRule};
use crate::edit::Edit;
use crate::evaluate::evaluate;
use crate::library::Library;
use crate::mould::Size;
use crate::number::{short, significant};
use crate::scents::ScentLine;
use crate::units::{
    Celsius, Days, EquilibriumMoisture, Fill, LyeConcentration, Money, Purity, Share, Superfat, WaterPercent,
    WaterRatio,
};

/// The part of a whole step that is taken to each side for a slope.
const PART: f64 = 0.01;
/// How many changes are told.
const MOST: usize = 3;
/// A whole step of the ratio of water to alkali.
const RATIO_STEP: f64 = 0.1;

/// Something that a person can move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lever {
    /// The share of the blend's line at this position, the others giving way.
    Share(usize),
    Superfat,
    /// The design's own rule for the water.
    Water,
    NaohPurity,
    KohPurity,
    /// The amount of the addition at this position.
    Addition(usize),
    /// The amount of the scent at this position.
    Scent(usize),
    Room,
    CureDays,
    /// The water that a cured bar keeps.
    Moisture,
    /// The price at this position.
    Price(usize),
    /// How far a mould or a volume is filled.
    Fill,
}

impl Lever {
    /// All that `design` has.
    fn all(design: &Design) -> Vec<Self> {
        let mut all: Vec<Self> = (0..design.blend.lines().len()).map(Self::Share).collect();
        all.extend([Self::Superfat, Self::Water, Self::NaohPurity, Self::KohPurity]);
        all.extend((0..design.additions.len()).map(Self::Addition));
        all.extend((0..design.scents.len()).map(Self::Scent));
        all.extend((0..design.prices.len()).map(Self::Price));
        all.extend([Self::Room, Self::CureDays, Self::Moisture, Self::Fill]);
        all
    }

    /// A whole step, in words.
    fn what(self, design: &Design) -> String {
        match self {
            Self::Share(i) => {
                format!("{} +1 % of the blend, the others less", design.blend.lines()[i].fat.name)
            }
            Self::Superfat => "superfat 1 point higher".into(),
            Self::Water => match design.water {
                WaterRule::LyeConcentration(_) => "lye 1 point stronger".into(),
                WaterRule::WaterToAlkali(_) => format!("water to alkali {} : 1 higher", short(RATIO_STEP, 1)),
                WaterRule::PercentOfFats(_) => "water 1 point of the fats more".into(),
            },
            Self::NaohPurity => "sodium hydroxide 1 point purer".into(),
            Self::KohPurity => "potassium hydroxide 1 point purer".into(),
            Self::Addition(i) => {
                let line = &design.additions[i];
                format!("{} +10 % ({})", line.addition.name, line.stage.words().to_lowercase())
            }
            Self::Scent(i) => format!("{} +10 %", design.scents[i].scent.name),
            Self::Price(i) => {
                let material = &design.prices[i].material;
                format!("price of {} +10 %", design.material_name(material).unwrap_or(material))
            }
            Self::Moisture => "the cured bar keeps 1 point more water".into(),
            Self::Room => "room 1 °C warmer".into(),
            Self::CureDays => "a day more of cure".into(),
            Self::Fill => "mould filled 1 % of its height more".into(),
        }
    }

    /// `design` moved by so many whole steps; `None` where it cannot move so far.
    fn moved(self, by: f64, design: &Design, library: &Library) -> Option<Design> {
        let purer = |purity: Purity| Purity::new(purity.get() + by).ok();
        let fuller = |fill: Fill| Fill::new(fill.get() + by).ok();
        let alkali = design.alkali;
        let edit = match self {
            Self::Share(i) => {
                let line = design.blend.lines().get(i)?;
                Edit::Share(line.fat.id.clone(), Share::new(line.share.get() + by).ok()?)
            }
            Self::Superfat => Edit::Superfat(Superfat::new(design.superfat.get() + by).ok()?),
            Self::Water => Edit::Water(match design.water {
                WaterRule::LyeConcentration(c) => {
                    WaterRule::LyeConcentration(LyeConcentration::new(c.get() + by).ok()?)
                }
                WaterRule::WaterToAlkali(r) => {
                    WaterRule::WaterToAlkali(WaterRatio::new(r.get() + RATIO_STEP * by).ok()?)
                }
                WaterRule::PercentOfFats(p) => WaterRule::PercentOfFats(WaterPercent::new(p.get() + by).ok()?),
            }),
            Self::NaohPurity => Edit::Alkali(Alkali { naoh_purity: purer(alkali.naoh_purity)?, ..alkali }),
            Self::KohPurity => Edit::Alkali(Alkali { koh_purity: purer(alkali.koh_purity)?, ..alkali }),
            Self::Addition(i) => {
                let line = design.additions.get(i)?;
                let wanted = line.amount.number() * (1.0 + 0.1 * by);
                let amount = line.amount.with_number(wanted);
                if amount.number() < wanted {
                    return None;
                }
                Edit::SetAddition(i, AdditionLine { amount, ..line.clone() })
            }
            Self::Scent(i) => {
                let line = design.scents.get(i)?;
                let wanted = line.amount.number() * (1.0 + 0.1 * by);
                let amount = line.amount.with_number(wanted);
                if amount.number() < wanted {
                    return None;
                }
                Edit::SetScent(i, ScentLine { amount, ..line.clone() })
            }
            Self::Price(i) => {
                let price = design.prices.get(i)?;
                let dearer = Money::new(price.price.get() * (1.0 + 0.1 * by)).ok()?;
                Edit::SetPrice(Price { price: dearer, ..price.clone() })
            }
            Self::Moisture => {
                let equilibrium_moisture =
                    EquilibriumMoisture::new(design.process.equilibrium_moisture.get() + by).ok()?;
                Edit::Process(Process { equilibrium_moisture, ..design.process.clone() })
            }
            Self::Room => {
                let room_c = Celsius::new(design.process.room_c.get() + by).ok()?;
                Edit::Process(Process { room_c, ..design.process.clone() })
            }
            Self::CureDays => {
                let cure_days = Days::new(design.process.cure_days.get() + by).ok()?;
                Edit::Process(Process { cure_days, ..design.process.clone() })
            }
            Self::Fill => Edit::Size(match design.size {
                Size::Mould { mould, fill } => Size::Mould { mould, fill: fuller(fill)? },
                Size::Volume { ml, fill } => Size::Volume { ml, fill: fuller(fill)? },
                Size::FatMass(_) | Size::BarMass(_) => return None,
            }),
        };
        edit.apply(design, library).ok()
    }

    /// What a whole step does to the number, by its slope: central differences, one-sided where a
    /// range ends; for what comes in steps itself the whole step is taken. `None` if it cannot move or the
    /// number is not known there.
    pub(super) fn effect(self, entry: &Entry, design: &Design, library: &Library) -> Option<f64> {
        let at = |by: f64| {
            let moved = self.moved(by, design, library)?;
            let evaluation = evaluate(&moved, library);
            entry.figure.value(About { design: &moved, evaluation: &evaluation, library }).ok()
        };
        if entry.figure.comes_in_steps() {
            return Some(at(1.0)? - at(0.0)?);
        }
        match (at(PART), at(-PART)) {
            (Some(high), Some(low)) => Some((high - low) / (2.0 * PART)),
            (Some(high), None) => Some((high - at(0.0)?) / PART),
            (None, Some(low)) => Some((at(0.0)? - low) / PART),
            (None, None) => None,
        }
    }
}

/// The levers that move the number most, the strongest first, with what they do; without those
/// that would not show at two more decimals than it is given.
pub(super) fn levers(entry: &Entry, design: &Design, library: &Library) -> Vec<(Lever, f64)> {
    let least = entry.decimals.saturating_add(2);
    let mut all: Vec<(Lever, f64)> = Lever::all(design)
        .into_iter()
        .filter_map(|lever| Some((lever, lever.effect(entry, design, library)?)))
        .filter(|(_, effect)| format!("{:.least$}", effect.abs()).bytes().any(|b| (b'1'..=b'9').contains(&b)))
        .collect();
    all.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    all.truncate(MOST);
    all
}

/// [`levers`] in words.
pub(super) fn strongest(entry: &Entry, design: &Design, library: &Library) -> Vec<Change> {
    let change = |(lever, effect): (Lever, f64)| {
        let sign = if effect < 0.0 { '\u{2212}' } else { '+' };
        let number = format!("{sign}{}", significant(effect.abs()));
        Change { what: lever.what(design), effect: with_unit(&number, entry.unit_of_change()) }
    };
    levers(entry, design, library).into_iter().map(change).collect()
}
