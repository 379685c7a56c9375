//! The numbers that can be explained: where each stands in a report and how it is shown.

use super::About;
use super::acids;
use super::cost::CostFigure;
use super::cure::CureFigure;
use super::drivers::DriverFigure;
use super::label::LabelFigure;
use super::part::PartFigure;
use super::scents::ScentFigure;
use super::spread::SpreadFigure;
use super::sums::SumFigure;
use crate::bench::weighing::frozen;
use crate::chemistry::estimates::Estimate;
use crate::chemistry::jug::{Jug, Reach};
use crate::chemistry::masses::{WaterSource, water_of};
use crate::design::Design;
use crate::design::mould::Size;
use crate::evaluate::{Evaluation, MOST_UNKNOWN};
use crate::find::Measure;
use crate::formula::Plain;
use crate::library::acids::AcidId;
use crate::library::additions::Stage;
use crate::library::fats::FatKind;
use crate::number::{fixed, short};
use std::borrow::Cow;

/// A number of a report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Figure {
    Shares,
    AllFats,
    /// Of the blend's line at this position.
    FatMass(usize),
    /// Of the addition at this position.
    AdditionMass(usize),
    /// Of the scent at this position.
    ScentMass(usize),
    /// Of the water account's row for this source.
    WaterRow(WaterSource),
    /// In the addition at this position.
    WaterOfAddition(usize),
    MouldMl,
    /// A measure of a bar.
    BarMm(usize),
    /// Of the blend’s line at this position.
    Share(usize),
    Superfat,
    Bars,
    SuperfatLow,
    SuperfatP05,
    SuperfatP95,
    SuperfatHigh,
    Naoh,
    Koh,
    AlkaliForAcids,
    WaterTotal,
    WaterToWeigh,
    Frozen,
    LyeConcentration,
    FreeFat,
    Batter,
    BatterMl,
    BarFresh,
    BarCured,
    Glycerol,
    JugWater,
    JugLeastWater,
    JugVolume,
    JugConcentration,
    Peak,
    CrystallisesBelow,
    Density,
    MinutesToMix,
    Meeting,
    ChanceLyeHeavy,
    LeastSuperfat,
    Saponification,
    SaponificationCalculated,
    Iodine,
    SaturatedPerUnsaturated,
    NearestSoap,
    Titre,
    Tfm,
    TfmCured,
    Score(Estimate),
    Part(PartFigure),
    Sum(SumFigure),
    Cost(CostFigure),
    Cure(CureFigure),
    Label(LabelFigure),
    Scents(ScentFigure),
    Spread(SpreadFigure),
    Driver(DriverFigure),
    /// The blend's percent of this acid.
    Acid(AcidId),
}

/// How a number is called and shown.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) figure: Figure,
    /// Its place in the JSON report.
    pub(super) key: Cow<'static, str>,
    pub(super) title: Cow<'static, str>,
    /// Empty for a score.
    pub(super) unit: Cow<'static, str>,
    pub(super) decimals: usize,
}

const fn entry(figure: Figure, key: &'static str, title: &'static str, unit: &'static str, decimals: usize) -> Entry {
    Entry { figure, key: Cow::Borrowed(key), title: Cow::Borrowed(title), unit: Cow::Borrowed(unit), decimals }
}

const fn score(estimate: Estimate, key: &'static str) -> Entry {
    entry(Figure::Score(estimate), key, estimate.name(), "", estimate.decimals())
}

/// All that every report has, in its order.
pub(super) static ENTRIES: [Entry; 48] = [
    entry(Figure::Shares, "batch.shares_pct", "Sum of the shares", "%", 2),
    entry(Figure::AllFats, "batch.fats_g", "All fats", "g", 1),
    entry(Figure::Naoh, "batch.naoh_g", "Sodium hydroxide to weigh", "g", 1),
    entry(Figure::Koh, "batch.koh_g", "Potassium hydroxide to weigh", "g", 1),
    entry(Figure::AlkaliForAcids, "batch.alkali_for_acids_g", "Alkali that acids take", "g", 1),
    entry(Figure::WaterTotal, "batch.water_total_g", "Water that counts", "g", 1),
    entry(Figure::WaterToWeigh, "batch.water_to_weigh_g", "Water to weigh", "g", 1),
    entry(Figure::Frozen, "batch.frozen_g", "Frozen part of the jug’s water", "g", 1),
    entry(Figure::LyeConcentration, "batch.lye_concentration_pct", "Lye concentration", "%", 2),
    entry(Figure::Superfat, "batch.superfat_pct", "Planned superfat", "%", 1),
    entry(Figure::FreeFat, "batch.free_fat_pct", "Free fat", "%", 2),
    entry(Figure::Batter, "batch.batter_g", "Batter", "g", 1),
    entry(Figure::BatterMl, "batch.batter_ml", "Batter by volume", "ml", 0),
    entry(Figure::Bars, "batch.bars", "Bars", "", 0),
    entry(Figure::BarFresh, "batch.bar_fresh_g", "A fresh bar", "g", 1),
    entry(Figure::BarCured, "batch.bar_cured_g", "A bar at sale", "g", 1),
    entry(Figure::Glycerol, "batch.glycerol_g", "Glycerol set free", "g", 1),
    entry(Figure::MouldMl, "size.mould_ml", "What the mould holds", "ml", 0),
    entry(Figure::JugWater, "jug.water_g", "Water in the jug", "g", 1),
    entry(Figure::JugLeastWater, "jug.least_water_g", "Least water that dissolves the alkali", "g", 1),
    entry(Figure::JugVolume, "jug.volume_ml", "Volume of the lye in the room", "ml", 0),
    entry(Figure::JugConcentration, "jug.concentration_pct", "Lye concentration in the jug", "%", 2),
    entry(Figure::Peak, "jug.peak_c", "The most the jug warms to", "°C", 0),
    entry(Figure::CrystallisesBelow, "jug.crystallises_below_c", "The lye crystallises below", "°C", 0),
    entry(Figure::Density, "jug.density_g_per_ml", "Density of the lye in the room", "g/ml", 3),
    entry(Figure::MinutesToMix, "jug.minutes_to_mix", "Time until the jug can be used", "min", 0),
    entry(Figure::Meeting, "jug.meeting_c", "Lye and fats meet at", "°C", 0),
    entry(Figure::SuperfatLow, "margin.superfat_low_pct", "The least superfat that can result", "%", 1),
    entry(Figure::SuperfatP05, "margin.superfat_p05_pct", "Superfat that 5 of 100 batches stay under", "%", 1),
    entry(Figure::SuperfatP95, "margin.superfat_p95_pct", "Superfat that 95 of 100 batches stay under", "%", 1),
    entry(Figure::SuperfatHigh, "margin.superfat_high_pct", "The most superfat that can result", "%", 1),
    entry(Figure::ChanceLyeHeavy, "margin.chance_lye_heavy", "Chance that the bar is lye-heavy", "%", 2),
    entry(Figure::LeastSuperfat, "margin.least_superfat_pct", "Least superfat for the accepted chance", "%", 1),
    entry(Figure::Saponification, "chemistry.saponification_value", "Saponification value", "mg KOH/g", 1),
    entry(
        Figure::SaponificationCalculated,
        "chemistry.saponification_value_calculated",
        "Saponification value from the acids",
        "mg KOH/g",
        1,
    ),
    entry(Figure::Iodine, "chemistry.iodine_value", "Iodine value", "g/100 g", 1),
    entry(
        Figure::SaturatedPerUnsaturated,
        "chemistry.saturated_per_unsaturated",
        "Saturated acids for each of unsaturated ones",
        "",
        2,
    ),
    entry(
        Figure::NearestSoap,
        "chemistry.nearest_soap_differs_pct",
        "Acids that differ from the nearest reference soap",
        "%",
        0,
    ),
    entry(Figure::Titre, "chemistry.titre_c", "Titre", "°C", 0),
    entry(Figure::Tfm, "chemistry.tfm_fresh_pct", "Total fatty matter of the fresh bar", "%", 1),
    entry(Figure::TfmCured, "chemistry.tfm_cured_pct", "Total fatty matter of the bar at sale", "%", 1),
    score(Estimate::Hardness, "estimates.hardness"),
    score(Estimate::Cleansing, "estimates.cleansing"),
    score(Estimate::Conditioning, "estimates.conditioning"),
    score(Estimate::LatherVolume, "estimates.lather_volume"),
    score(Estimate::LatherPersistence, "estimates.lather_persistence"),
    score(Estimate::Wear, "estimates.wear"),
    score(Estimate::Keeping, "estimates.keeping"),
];

/// The patterns of what depends on the design: N counts from 0 in the report's order, or is the material's id.
pub(super) const OF_LINES: [&str; 7] = [
    "fats.N.share_pct",
    "fats.N.mass_g",
    "additions.N.mass_g",
    "additions.N.water_g",
    "scents.N.mass_g",
    "water.N.mass_g",
    "size.bar_mm.N",
];

/// The key of a score, `estimates.hardness`.
pub fn score_key(estimate: Estimate) -> &'static str {
    let of = |entry: &&Entry| entry.figure == Figure::Score(estimate);
    match ENTRIES.iter().find(of).map(|entry| &entry.key) {
        Some(Cow::Borrowed(key)) => key,
        _ => "",
    }
}

impl Entry {
    /// The number that `key` names in the report of `design`.
    pub(super) fn find(key: &str, about: About<'_>) -> Option<Self> {
        let of_section = || match key.split_once('.')? {
            ("cost", rest) => CostFigure::find(rest, about),
            ("cure", rest) => CureFigure::find(rest),
            ("label", rest) => LabelFigure::find(rest, about).or_else(|| ScentFigure::find(key, about)),
            ("scent_limits", _) => ScentFigure::find(key, about),
            ("chemistry" | "estimates", _) => SpreadFigure::find(key).or_else(|| PartFigure::find(key, about)),
            ("acids_pct", rest) => acids::find(rest, about).or_else(|| PartFigure::find(key, about)),
            ("margin", rest) => DriverFigure::find(rest.strip_prefix("drivers.")?, about),
            _ => SumFigure::find(key, about).or_else(|| Self::of_line(key, about)),
        };
        ENTRIES.iter().find(|e| e.key == key).cloned().or_else(of_section)
    }

    /// An entry whose key, title and unit depend on the design.
    pub(super) fn of_design(figure: Figure, key: String, title: String, unit: &str, decimals: usize) -> Self {
        Self { figure, key: key.into(), title: title.into(), unit: unit.to_owned().into(), decimals }
    }

    fn of_line(key: &str, about: About<'_>) -> Option<Self> {
        let (design, evaluation) = (about.design, about.evaluation);
        if let Some(index) = key.strip_prefix("size.bar_mm.") {
            let index: usize = index.parse().ok().filter(|i| *i < about.bar_measures().len())?;
            let title = "A measure of a fresh bar".into();
            return Some(Self::of_design(Figure::BarMm(index), key.into(), title, "mm", 0));
        }
        let (list, rest) = key.split_once('.')?;
        let (place, what) = rest.rsplit_once('.')?;
        let index = place.parse().ok().or_else(|| position(list, place, design))?;
        let addition = |i: usize| design.additions.get(i).map(|l| l.addition.name.clone());
        let (figure, title) = match list {
            "fats" if what == "share_pct" => {
                let title = format!("Share of {}", design.blend.lines().get(index)?.fat.name);
                return Some(Self::of_design(Figure::Share(index), key.into(), title, "%", 1));
            }
            "additions" if what == "water_g" => {
                (Figure::WaterOfAddition(index), format!("Water in {}", addition(index)?))
            }
            _ if what != "mass_g" => return None,
            "fats" => (Figure::FatMass(index), design.blend.lines().get(index)?.fat.name.clone()),
            "additions" => (Figure::AdditionMass(index), addition(index)?),
            "scents" => (Figure::ScentMass(index), design.scents.get(index)?.scent.name.clone()),
            "water" => {
                let source = evaluation.water.get(index)?.source;
                let title = match source {
                    WaterSource::Weighed => "Water to weigh".into(),
                    WaterSource::PotassiumHydroxide => "Water in the potassium hydroxide".into(),
                    WaterSource::Addition(i) => format!("Water in {}", addition(i)?),
                    WaterSource::Made => "Water made by acids and alkali".into(),
                };
                (Figure::WaterRow(source), title)
            }
            _ => return None,
        };
        Some(Self::of_design(figure, key.into(), title, "g", 1))
    }
}

/// The position of what `place` names by its id, with its stage where that matters; of several lines of one
/// material at one stage none is meant.
pub(super) fn position(list: &str, place: &str, design: &Design) -> Option<usize> {
    let (id, stage) = place.split_once('.').map_or((place, None), |(id, stage)| (id, Some(stage)));
    let is_at = |at: Stage| stage.is_none_or(|stage| format!("{at:?}") == stage);
    let of = |lines: &mut dyn Iterator<Item = bool>| {
        let mut found = lines.enumerate().filter_map(|(i, is)| is.then_some(i));
        found.next().filter(|_| found.next().is_none())
    };
    match list {
        "fats" => of(&mut design.blend.lines().iter().map(|l| l.fat.id.as_str() == id)),
        "additions" => of(&mut design.additions.iter().map(|l| l.addition.id.as_str() == id && is_at(l.stage))),
        "scents" => of(&mut design.scents.iter().map(|l| l.scent.id.as_str() == id && is_at(l.stage))),
        _ => None,
    }
}

const NO_ALKALI: &str = "the design takes no alkali yet";
const NO_FATS: &str = "there are no fats in the batch";

impl Figure {
    /// The number in the unit it is shown in, or why it is not known.
    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let About { design, evaluation, .. } = about;
        let (batch, chemistry) = (&evaluation.masses, &evaluation.chemistry);
        let jug = || evaluation.jug.as_ref().ok_or_else(|| NO_ALKALI.to_owned());
        let margin = || evaluation.margin.as_ref().ok_or_else(|| "there are no fats that take alkali".to_owned());
        let of_profile = |value: Option<f64>| value.ok_or_else(|| no_profile(evaluation));
        match self {
            Self::Shares => Ok(design.blend.total()),
            Self::AllFats => Ok(batch.fats.0),
            Self::FatMass(i) => Ok(evaluation.fat_masses.get(i).map_or(0.0, |m| m.0)),
            Self::AdditionMass(i) => Ok(evaluation.addition_masses.get(i).map_or(0.0, |m| m.0)),
            Self::ScentMass(i) => Ok(evaluation.scents.masses.get(i).map_or(0.0, |m| m.0)),
            Self::WaterRow(source) => {
                Ok(evaluation.water.iter().find(|row| row.source == source).map_or(0.0, |row| row.mass.0))
            }
            Self::WaterOfAddition(i) => Ok(design.additions.get(i).map_or(0.0, |l| water_of(Plain, l, batch.fats).0)),
            Self::BarMm(i) => about.bar_measures().get(i).map(|m| m.0).ok_or_else(|| "the mould gives no bars".into()),
            Self::Share(i) => Ok(design.blend.lines().get(i).map_or(0.0, |l| l.share.get())),
            Self::Superfat => Ok(batch.superfat),
            Self::Bars => Ok(f64::from(batch.bars)),
            Self::MouldMl => match &design.size {
                Size::Mould { mould, .. } => Ok(mould.volume_ml()),
                _ => Err("the design has no mould".into()),
            },
            Self::SuperfatLow => margin().map(|m| m.low),
            Self::SuperfatP05 => margin().map(|m| m.quantile(0.05)),
            Self::SuperfatP95 => margin().map(|m| m.quantile(0.95)),
            Self::SuperfatHigh => margin().map(|m| m.high),
            Self::Naoh => Ok(batch.alkali.naoh.0),
            Self::Koh => Ok(batch.alkali.koh.0),
            Self::AlkaliForAcids => Ok(batch.alkali_for_acids.0),
            Self::WaterTotal => Ok(batch.water_total.0),
            Self::WaterToWeigh => Ok(batch.water_to_weigh.0),
            Self::Frozen => Ok(frozen(design, batch).0),
            Self::LyeConcentration => batch.lye_concentration().ok_or_else(|| NO_ALKALI.into()),
            Self::FreeFat => Ok(batch.free_fat),
            Self::Batter => Ok(batch.batter.0),
            Self::BatterMl if batch.fats.0 <= 0.0 => Err(NO_FATS.into()),
            Self::BatterMl => Ok(batch.batter_ml),
            Self::BarFresh => Ok(batch.bar_fresh.0),
            Self::BarCured => evaluation.cure.map(|c| c.bar_at_sale(Plain).0).ok_or_else(|| NO_FATS.into()),
            Self::Glycerol => Ok(batch.glycerol.0),
            Self::JugWater => jug().map(|_| batch.water_in_jug.0),
            Self::JugLeastWater => jug().map(|j| j.least_water.0),
            Self::JugVolume => {
                let jug = jug()?;
                jug.volume_ml().ok_or_else(|| jug.density.err().map_or_else(String::new, |e| e.to_string()))
            }
            Self::JugConcentration => jug().map(|j| j.concentration),
            Self::Peak => jug()?.peak.map_err(|e| e.to_string()),
            Self::CrystallisesBelow => jug().and_then(crystallises_below),
            Self::Density => jug()?.density.map_err(|e| e.to_string()),
            Self::MinutesToMix => jug().and_then(|j| minutes(j, design)),
            Self::Meeting => jug().and_then(meeting),
            Self::ChanceLyeHeavy => margin().map(|m| 100.0 * m.chance_lye_heavy()),
            Self::LeastSuperfat => margin().map(|m| m.least_superfat(design.accepted_chance.fraction())),
            Self::Saponification => chemistry.saponification_value.ok_or_else(|| NO_FATS.into()),
            Self::SaponificationCalculated => of_profile(chemistry.saponification_value_calculated),
            Self::Iodine => of_profile(chemistry.iodine_value),
            Self::SaturatedPerUnsaturated => {
                let ratio = Measure::SaturatedPerUnsaturated.of(evaluation, about.library);
                ratio.ok_or_else(|| {
                    evaluation
                        .composition
                        .as_ref()
                        .map_or_else(|| no_profile(evaluation), |_| "the blend holds no unsaturated acid".into())
                })
            }
            Self::NearestSoap => about.nearest_soap().map(|(_, distance)| 100.0 * distance),
            Self::Titre if chemistry.iodine_value.is_some() => {
                chemistry.titre.ok_or_else(|| "the blend holds no saturated acid that sets".into())
            }
            Self::Titre => of_profile(chemistry.titre),
            Self::Tfm => chemistry.tfm_fresh.ok_or_else(|| no_fatty_matter(design, evaluation)),
            Self::TfmCured => chemistry.tfm_cured.ok_or_else(|| no_fatty_matter(design, evaluation)),
            Self::Score(estimate) => of_profile(evaluation.estimate(estimate).map(|r| r.value)),
            Self::Part(figure) => figure.value(about),
            Self::Sum(figure) => figure.value(about),
            Self::Cost(figure) => figure.value(about),
            Self::Cure(figure) => figure.value(about),
            Self::Label(figure) => figure.value(about),
            Self::Scents(figure) => figure.value(about),
            Self::Spread(figure) => figure.value(about),
            Self::Driver(figure) => figure.value(about),
            Self::Acid(acid) => about.acid_pct(acid),
        }
    }
}

fn crystallises_below(jug: &Jug) -> Result<f64, String> {
    jug.crystallises_below.ok_or_else(|| {
        if (10.0..=70.0).contains(&jug.concentration) {
            "the crystallisation of potassium lye is not tabled here".into()
        } else {
            format!("it is tabled from 10 to 70 % and this lye has {} %", fixed(jug.concentration, 2))
        }
    })
}

fn minutes(jug: &Jug, design: &Design) -> Result<f64, String> {
    let mix = short(design.process.mix_c.get(), 1);
    match jug.ready {
        Some(Reach::After(minutes)) => Ok(minutes),
        Some(Reach::NeverSoWarm) => Err(format!("the jug never gets as warm as the {mix} °C wanted")),
        Some(Reach::NeverSoCold) => Err(format!("what the jug stands in is not colder than the {mix} °C wanted")),
        None => Err(jug.peak.err().map_or_else(String::new, |e| e.to_string())),
    }
}

fn meeting(jug: &Jug) -> Result<f64, String> {
    let reason = jug.peak.err().map_or_else(|| "the heat of this lye is not tabled".into(), |e| e.to_string());
    jug.meeting.ok_or(reason)
}

/// Why what rests on the fats' profiles is not known.
fn no_profile(evaluation: &Evaluation) -> String {
    evaluation.composition.as_ref().map_or_else(
        || "no fat of the blend has a tabled profile of acids".into(),
        |c| {
            let (percent, most) = (fixed(100.0 * c.unknown, 1), fixed(100.0 * MOST_UNKNOWN, 0));
            format!(
                "{percent} % of the blend has no tabled profile of acids, more than the {most} % that may be left out"
            )
        },
    )
}

fn no_fatty_matter(design: &Design, evaluation: &Evaluation) -> String {
    let used = design.blend.lines().iter().zip(&evaluation.fat_masses).filter(|(_, mass)| mass.0 > 0.0);
    let mut waxes = used.filter(|(line, _)| line.fat.kind == FatKind::Wax);
    waxes.next().map_or_else(|| NO_FATS.into(), |(line, _)| format!("what {} is made of is not tabled", line.fat.name))
}

impl Entry {
    /// `value` as it is shown, with its unit.
    pub(super) fn shown(&self, value: f64) -> String {
        let number = match self.figure {
            Figure::ChanceLyeHeavy if value > 0.0 && value < 0.01 => "< 0.01".into(),
            Figure::ChanceLyeHeavy => short(value, self.decimals),
            _ => fixed(value, self.decimals),
        };
        with_unit(&number, &self.unit)
    }

    /// What the number of the report is multiplied by where it is shown: chances and parts are percents here.
    #[cfg(test)]
    pub(super) const fn times(&self) -> f64 {
        match self.figure {
            Figure::ChanceLyeHeavy | Figure::Driver(DriverFigure::Part(_)) => 100.0,
            _ => 1.0,
        }
    }

    /// The unit of a difference.
    pub(super) fn unit_of_change(&self) -> &str {
        match self.unit.as_bytes() {
            b"" if matches!(self.figure, Figure::Cost(_)) => "",
            b"" | b"%" => "points",
            _ => &self.unit,
        }
    }
}

/// A number with its unit; a counted one is in the singular behind a one.
pub(super) fn with_unit(number: &str, unit: &str) -> String {
    let is_counted = matches!(unit, "packs" | "days" | "points");
    let is_one = number.trim_start_matches(['+', '\u{2212}']) == "1";
    match unit.strip_suffix('s').filter(|_| is_counted && is_one) {
        Some(one) => format!("{number} {one}"),
        None if unit.is_empty() => number.into(),
        None => format!("{number} {unit}"),
    }
}
