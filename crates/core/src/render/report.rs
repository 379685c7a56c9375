//! An evaluation as text for people and as JSON for scripts.

mod compare;
mod cost;
mod cure;
mod find;
mod label;
mod library;
mod text;

pub use compare::{compare_json, compare_text};
pub use find::{find_json, find_text};
pub use label::label_text;
pub use library::{FatEntry, additions_text, fats_json, fats_text, scents_text};
pub use text::text;

use crate::bench::label::Label;
use crate::bench::weighing::frozen;
use crate::cautions::{Caution, Level};
use crate::chemistry::estimates::{Estimate, Place};
use crate::chemistry::jug::Jug;
use crate::chemistry::margin::{Cause, Driver};
use crate::chemistry::masses::{WaterSource, water_of};
use crate::chemistry::spread;
use crate::design::Design;
use crate::design::document::VERSION;
use crate::design::mould::{BarShape, Size};
use crate::evaluate::{EstimateResult, Evaluation};
use crate::find::Measure;
use crate::formula::Plain;
use crate::library::Library;
use crate::library::additions::Stage;
use crate::units::Interval;
use cost::CostReport;
use cure::CureReport;
use label::LabelReport;
use serde::Serialize;
use serde::ser::SerializeMap;

/// The report as JSON; units stand in the keys, numbers are unrounded, and what is not computed
/// is `null`.
#[derive(Debug, Serialize)]
pub struct Report {
    name: String,
    format: u32,
    batch: BatchReport,
    fats: Vec<FatReport>,
    additions: Vec<AdditionReport>,
    scents: Vec<ScentReport>,
    scent_limits: Vec<LimitReport>,
    water: Vec<WaterReport>,
    size: SizeReport,
    jug: JugReport,
    margin: MarginReport,
    chemistry: ChemistryReport,
    acids_pct: AcidsReport,
    estimates: EstimatesReport,
    cure: Option<CureReport>,
    cost: CostReport,
    label: Option<LabelReport>,
    cautions: Vec<CautionReport>,
}

#[derive(Debug, Serialize)]
struct BatchReport {
    /// Sum of the shares.
    shares_pct: f64,
    fats_g: f64,
    naoh_g: f64,
    koh_g: f64,
    alkali_for_acids_g: f64,
    water_total_g: f64,
    water_to_weigh_g: f64,
    /// Of the jug’s water, ice or frozen milk and puree included.
    frozen_g: f64,
    water_uncounted_g: f64,
    water_made_g: f64,
    additions_g: f64,
    scents_g: f64,
    lye_concentration_pct: Option<f64>,
    superfat_pct: f64,
    free_fat_pct: f64,
    addition_fat_g: f64,
    sugars_g: f64,
    batter_g: f64,
    batter_ml: Option<f64>,
    bars: u32,
    bar_fresh_g: f64,
    bar_cured_g: Option<f64>,
    glycerol_g: f64,
}

#[derive(Debug, Serialize)]
struct FatReport {
    fat: String,
    share_pct: f64,
    mass_g: f64,
    saponification_value: f64,
}

#[derive(Debug, Serialize)]
struct AdditionReport {
    addition: String,
    stage: Stage,
    mass_g: f64,
    water_g: f64,
    counts_as_water: bool,
}

#[derive(Debug, Serialize)]
struct ScentReport {
    scent: String,
    stage: Stage,
    mass_g: f64,
}

/// A limited substance over all scents, in percent of the lightest dried bar.
#[derive(Debug, Serialize)]
struct LimitReport {
    substance: String,
    bar_pct: f64,
    limit_pct: f64,
    from_memory: bool,
}

#[derive(Debug, Serialize)]
struct WaterReport {
    from: String,
    mass_g: f64,
    stage: Stage,
    counted: bool,
}

#[derive(Debug, Serialize)]
struct SizeReport {
    wanted_ml: Option<f64>,
    mould_ml: Option<f64>,
    bar_mm: Option<Vec<f64>>,
}

#[derive(Debug, Serialize)]
struct JugReport {
    water_g: Option<f64>,
    least_water_g: Option<f64>,
    concentration_pct: Option<f64>,
    peak_c: Option<f64>,
    crystallises_below_c: Option<f64>,
    density_g_per_ml: Option<f64>,
    volume_ml: Option<f64>,
    minutes_to_mix: Option<f64>,
    meeting_c: Option<f64>,
}

#[derive(Debug, Serialize, Default)]
struct MarginReport {
    superfat_low_pct: Option<f64>,
    superfat_p05_pct: Option<f64>,
    superfat_p95_pct: Option<f64>,
    superfat_high_pct: Option<f64>,
    chance_lye_heavy: Option<f64>,
    least_superfat_pct: Option<f64>,
    drivers: Vec<DriverReport>,
}

#[derive(Debug, Serialize)]
struct DriverReport {
    cause: String,
    superfat_points: f64,
    variance_part: f64,
}

#[derive(Debug, Serialize)]
struct ChemistryReport {
    saponification_value: Option<f64>,
    saponification_value_calculated: Option<f64>,
    saponification_value_low: Option<f64>,
    saponification_value_high: Option<f64>,
    iodine_value: Option<f64>,
    iodine_value_low: Option<f64>,
    iodine_value_high: Option<f64>,
    saturated_per_unsaturated: Option<f64>,
    /// Of the style's reference soaps the one whose acids are nearest, and how many of them differ.
    nearest_soap: Option<String>,
    nearest_soap_differs_pct: Option<f64>,
    titre_c: Option<f64>,
    titre_low_c: Option<f64>,
    titre_high_c: Option<f64>,
    tfm_fresh_pct: Option<f64>,
    tfm_cured_pct: Option<f64>,
}

/// Acids in table order.
#[derive(Debug)]
struct AcidsReport(Vec<(String, f64)>);

impl Serialize for AcidsReport {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

#[derive(Debug)]
struct EstimatesReport(Option<[EstimateResult; 7]>, Option<[Interval; 7]>);

#[derive(Debug, Serialize)]
struct EstimateReport {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    range_low: Option<f64>,
    range_high: Option<f64>,
    place: Option<Place>,
}

impl Serialize for EstimatesReport {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(7))?;
        for estimate in Estimate::ALL {
            let result = self.0.as_ref().map(|all| all[estimate as usize]);
            let range = result.and_then(|r| r.range);
            let spread = self.1.filter(|_| result.is_some()).map(|all| all[estimate as usize]);
            map.serialize_entry(
                &estimate,
                &EstimateReport {
                    value: result.map(|r| r.value),
                    low: spread.map(Interval::min),
                    high: spread.map(Interval::max),
                    range_low: range.map(Interval::min),
                    range_high: range.map(Interval::max),
                    place: result.and_then(|r| r.place),
                },
            )?;
        }
        map.end()
    }
}

#[derive(Debug, Serialize)]
struct CautionReport {
    code: &'static str,
    level: Level,
    text: String,
}

impl From<&Caution> for CautionReport {
    fn from(caution: &Caution) -> Self {
        Self { code: caution.code, level: caution.level, text: caution.text() }
    }
}

fn additions(design: &Design, evaluation: &Evaluation) -> Vec<AdditionReport> {
    design
        .additions
        .iter()
        .map(|line| AdditionReport {
            addition: line.addition.id.to_string(),
            stage: line.stage,
            mass_g: line.amount.mass(evaluation.masses.fats).0,
            water_g: water_of(Plain, line, evaluation.masses.fats).0,
            counts_as_water: line.counts_as_water,
        })
        .collect()
}

fn scents(design: &Design, evaluation: &Evaluation) -> Vec<ScentReport> {
    design
        .scents
        .iter()
        .map(|line| ScentReport {
            scent: line.scent.id.to_string(),
            stage: line.stage,
            mass_g: line.amount.mass(evaluation.masses.fats).0,
        })
        .collect()
}

fn scent_limits(evaluation: &Evaluation) -> Vec<LimitReport> {
    evaluation
        .scents
        .findings
        .iter()
        .map(|f| LimitReport {
            substance: f.substance.clone(),
            bar_pct: f.percent,
            limit_pct: f.limit,
            from_memory: f.from_memory,
        })
        .collect()
}

fn water(design: &Design, evaluation: &Evaluation) -> Vec<WaterReport> {
    evaluation
        .water
        .iter()
        .map(|row| WaterReport {
            from: match row.source {
                WaterSource::Weighed => "water to weigh".into(),
                WaterSource::PotassiumHydroxide => "potassium hydroxide".into(),
                WaterSource::Addition(i) => design.additions[i].addition.id.to_string(),
                WaterSource::Made => "made by acids and alkali".into(),
            },
            mass_g: row.mass.0,
            stage: row.stage,
            counted: row.counted,
        })
        .collect()
}

impl SizeReport {
    fn new(design: &Design) -> Self {
        let (mould_ml, shape) = match &design.size {
            Size::Mould { mould, fill } => (Some(mould.volume_ml()), mould.bar(*fill, design.bars)),
            _ => (None, None),
        };
        let bar_mm = shape.map(|shape| match shape {
            BarShape::Block(sides) => sides.to_vec(),
            BarShape::Disc { diameter, thickness } => vec![diameter, thickness],
        });
        Self { wanted_ml: design.size.wanted_ml(), mould_ml, bar_mm }
    }
}

impl MarginReport {
    fn new(design: &Design, evaluation: &Evaluation) -> Self {
        let Some(margin) = &evaluation.margin else { return Self::default() };
        let driver = |d: &Driver| DriverReport {
            cause: match d.cause {
                Cause::SaponificationValue(i) => design.blend.lines()[i].fat.id.to_string(),
                Cause::NaohPurity => "purity of the sodium hydroxide".into(),
                Cause::KohPurity => "purity of the potassium hydroxide".into(),
                Cause::Scale => "scale".into(),
            },
            superfat_points: d.points,
            variance_part: d.part,
        };
        Self {
            superfat_low_pct: Some(margin.low),
            superfat_p05_pct: Some(margin.quantile(0.05)),
            superfat_p95_pct: Some(margin.quantile(0.95)),
            superfat_high_pct: Some(margin.high),
            chance_lye_heavy: Some(margin.chance_lye_heavy()),
            least_superfat_pct: Some(margin.least_superfat(design.accepted_chance.fraction())),
            drivers: margin.drivers.iter().map(driver).collect(),
        }
    }
}

impl JugReport {
    fn new(evaluation: &Evaluation) -> Self {
        let jug = evaluation.jug.as_ref();
        Self {
            water_g: jug.map(|_| evaluation.masses.water_in_jug.0),
            least_water_g: jug.map(|j| j.least_water.0),
            concentration_pct: jug.map(|j| j.concentration),
            peak_c: jug.and_then(|j| j.peak.ok()),
            crystallises_below_c: jug.and_then(|j| j.crystallises_below),
            density_g_per_ml: jug.and_then(|j| j.density.ok()),
            volume_ml: jug.and_then(Jug::volume_ml),
            minutes_to_mix: jug.and_then(Jug::minutes_to_mix),
            meeting_c: jug.and_then(|j| j.meeting),
        }
    }
}

impl Report {
    /// The report of `design`, from its `evaluation`.
    pub fn new(design: &Design, evaluation: &Evaluation, library: &Library) -> Self {
        let batch = &evaluation.masses;
        let saponification = spread::saponification_value(&design.blend);
        let titre = spread::titre(&design.blend, library).filter(|_| evaluation.chemistry.titre.is_some());
        let iodine =
            spread::iodine_value(&design.blend, library).filter(|_| evaluation.chemistry.iodine_value.is_some());
        let nearest = library.style(&design.style).zip(evaluation.composition.as_ref());
        let nearest = nearest.and_then(|(style, composition)| style.nearest(composition));
        let fractions = |c: &crate::library::composition::Composition| {
            library
                .acids
                .iter()
                .map(|(id, acid)| (acid.key.clone(), 100.0 * c.fraction(id)))
                .filter(|(_, percent)| *percent > 0.0)
                .collect()
        };
        Self {
            name: design.name.clone(),
            format: VERSION,
            batch: BatchReport {
                shares_pct: design.blend.total(),
                fats_g: batch.fats.0,
                naoh_g: batch.alkali.naoh.0,
                koh_g: batch.alkali.koh.0,
                alkali_for_acids_g: batch.alkali_for_acids.0,
                water_total_g: batch.water_total.0,
                water_to_weigh_g: batch.water_to_weigh.0,
                frozen_g: frozen(design, batch).0,
                water_uncounted_g: batch.water_uncounted.0,
                water_made_g: batch.water_made.0,
                additions_g: batch.additions.0,
                scents_g: batch.scents.0,
                lye_concentration_pct: batch.lye_concentration(),
                superfat_pct: batch.superfat,
                free_fat_pct: batch.free_fat,
                addition_fat_g: batch.addition_fat.0,
                sugars_g: batch.sugars.0,
                batter_g: batch.batter.0,
                batter_ml: (batch.fats.0 > 0.0).then_some(batch.batter_ml),
                bars: batch.bars,
                bar_fresh_g: batch.bar_fresh.0,
                bar_cured_g: evaluation.cure.map(|c| c.bar_at_sale(Plain).0),
                glycerol_g: batch.glycerol.0,
            },
            fats: design
                .blend
                .lines()
                .iter()
                .zip(&evaluation.fat_masses)
                .map(|(line, mass)| FatReport {
                    fat: line.fat.id.to_string(),
                    share_pct: line.share.get(),
                    mass_g: mass.0,
                    saponification_value: line.saponification_value(),
                })
                .collect(),
            additions: additions(design, evaluation),
            scents: scents(design, evaluation),
            scent_limits: scent_limits(evaluation),
            water: water(design, evaluation),
            size: SizeReport::new(design),
            jug: JugReport::new(evaluation),
            margin: MarginReport::new(design, evaluation),
            chemistry: ChemistryReport {
                saponification_value: evaluation.chemistry.saponification_value,
                saponification_value_calculated: evaluation.chemistry.saponification_value_calculated,
                saponification_value_low: saponification.map(Interval::min),
                saponification_value_high: saponification.map(Interval::max),
                iodine_value: evaluation.chemistry.iodine_value,
                iodine_value_low: iodine.map(Interval::min),
                iodine_value_high: iodine.map(Interval::max),
                nearest_soap: nearest.map(|(soap, _)| soap.name.clone()),
                nearest_soap_differs_pct: nearest.map(|(_, distance)| 100.0 * distance),
                saturated_per_unsaturated: Measure::SaturatedPerUnsaturated.of(evaluation, library),
                titre_c: evaluation.chemistry.titre,
                titre_low_c: titre.map(Interval::min),
                titre_high_c: titre.map(Interval::max),
                tfm_fresh_pct: evaluation.chemistry.tfm_fresh,
                tfm_cured_pct: evaluation.chemistry.tfm_cured,
            },
            acids_pct: AcidsReport(evaluation.composition.as_ref().map(fractions).unwrap_or_default()),
            estimates: EstimatesReport(evaluation.estimates, spread::scores(&design.blend, batch.free_fat, library)),
            cure: evaluation.cure.as_ref().map(|cure| CureReport::new(cure, evaluation)),
            cost: CostReport::new(design, evaluation),
            label: Label::of(design, evaluation, library).map(|label| LabelReport::new(&label)),
            cautions: evaluation.cautions.iter().map(CautionReport::from).collect(),
        }
    }

    /// The report as indented JSON.
    ///
    /// # Errors
    /// From the JSON writer; no report is known that makes it fail.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}
