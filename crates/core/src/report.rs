//! An evaluation as text for people and as JSON for scripts.

use crate::cautions::{ALWAYS, Caution, Level};
use crate::design::Design;
use crate::document::VERSION;
use crate::estimates::{Estimate, Place};
use crate::evaluate::{EstimateResult, Evaluation};
use crate::fats::Fat;
use crate::library::Library;
use crate::number::{fixed, short};
use serde::Serialize;
use serde::ser::SerializeMap;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The report as JSON; units stand in the keys, numbers are unrounded, and what is not computed
/// is `null`.
#[derive(Debug, Serialize)]
pub struct Report {
    name: String,
    format: u32,
    batch: BatchReport,
    fats: Vec<FatReport>,
    jug: JugReport,
    margin: MarginReport,
    chemistry: ChemistryReport,
    acids_pct: AcidsReport,
    estimates: EstimatesReport,
    cost: CostReport,
    label: Option<()>,
    cautions: Vec<CautionReport>,
}

#[derive(Debug, Serialize)]
struct BatchReport {
    fats_g: f64,
    naoh_g: f64,
    koh_g: f64,
    alkali_for_acids_g: f64,
    water_total_g: f64,
    water_to_weigh_g: f64,
    additions_g: f64,
    scents_g: f64,
    lye_concentration_pct: Option<f64>,
    superfat_pct: f64,
    free_fat_pct: f64,
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
struct JugReport {
    concentration_pct: Option<f64>,
    peak_c: Option<f64>,
    crystallises_below_c: Option<f64>,
    density_g_per_ml: Option<f64>,
}

#[derive(Debug, Serialize, Default)]
struct MarginReport {
    superfat_low_pct: Option<f64>,
    superfat_p05_pct: Option<f64>,
    superfat_p95_pct: Option<f64>,
    superfat_high_pct: Option<f64>,
    chance_lye_heavy: Option<f64>,
    least_superfat_pct: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ChemistryReport {
    saponification_value: Option<f64>,
    saponification_value_calculated: Option<f64>,
    iodine_value: Option<f64>,
    titre_c: Option<f64>,
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
struct EstimatesReport(Option<[EstimateResult; 7]>);

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
            map.serialize_entry(
                &estimate,
                &EstimateReport {
                    value: result.map(|r| r.value),
                    low: None,
                    high: None,
                    range_low: range.map(crate::units::Interval::min),
                    range_high: range.map(crate::units::Interval::max),
                    place: result.and_then(|r| r.place),
                },
            )?;
        }
        map.end()
    }
}

#[derive(Debug, Serialize)]
struct CostReport {
    batch: Option<f64>,
    bar: Option<f64>,
    per_100_g_cured: Option<f64>,
    currency: String,
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

impl Report {
    /// The report of `design`, from its `evaluation`.
    pub fn new(design: &Design, evaluation: &Evaluation, library: &Library) -> Self {
        let batch = &evaluation.batch;
        let fractions = |c: &crate::composition::Composition| {
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
                fats_g: batch.fats.0,
                naoh_g: batch.alkali.naoh.0,
                koh_g: batch.alkali.koh.0,
                alkali_for_acids_g: 0.0,
                water_total_g: batch.water_total.0,
                water_to_weigh_g: batch.water_to_weigh.0,
                additions_g: 0.0,
                scents_g: 0.0,
                lye_concentration_pct: batch.lye_concentration,
                superfat_pct: batch.superfat,
                free_fat_pct: batch.free_fat,
                batter_g: batch.batter.0,
                batter_ml: None,
                bars: batch.bars,
                bar_fresh_g: batch.bar_fresh.0,
                bar_cured_g: None,
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
            jug: JugReport {
                concentration_pct: evaluation.jug.map(|j| j.concentration),
                peak_c: None,
                crystallises_below_c: evaluation.jug.and_then(|j| j.crystallises_below),
                density_g_per_ml: None,
            },
            margin: MarginReport::default(),
            chemistry: ChemistryReport {
                saponification_value: evaluation.chemistry.saponification_value,
                saponification_value_calculated: evaluation.chemistry.saponification_value_calculated,
                iodine_value: evaluation.chemistry.iodine_value,
                titre_c: evaluation.chemistry.titre,
                tfm_fresh_pct: evaluation.chemistry.tfm_fresh,
                tfm_cured_pct: None,
            },
            acids_pct: AcidsReport(evaluation.composition.as_ref().map(fractions).unwrap_or_default()),
            estimates: EstimatesReport(evaluation.estimates),
            cost: CostReport { batch: None, bar: None, per_100_g_cured: None, currency: design.currency.clone() },
            label: None,
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

fn optional(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "not known".into(), |v| fixed(v, decimals))
}

/// The report as text of at most 80 columns or so, for a terminal.
pub fn text(design: &Design, evaluation: &Evaluation, library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_text(&mut out, design, evaluation, library);
    out
}

fn write_text(out: &mut String, design: &Design, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    let batch = &evaluation.batch;
    let name = if design.name.is_empty() { "Unnamed design" } else { &design.name };
    writeln!(out, "{name}\n{}\n", "=".repeat(name.chars().count()))?;
    for caution in &evaluation.cautions {
        writeln!(out, "{}: {}", caution.level.word().to_uppercase(), caution.text())?;
    }
    if !evaluation.cautions.is_empty() {
        writeln!(out)?;
    }
    let weigh = |out: &mut String, what: &str, grams: f64, more: &str| {
        writeln!(out, "  {what:<34}{:>10} g{more}", fixed(grams, 1))
    };
    writeln!(out, "To weigh")?;
    for (line, mass) in design.blend.lines().iter().zip(&evaluation.fat_masses) {
        let more = format!("   {:>6} %", fixed(line.share.get(), 2));
        weigh(out, &line.fat.name, mass.0, &more)?;
    }
    let pure = |percent: f64| format!("   {} % pure", short(percent, 2));
    if batch.alkali.naoh.0 > 0.0 || batch.alkali.koh.0 <= 0.0 {
        weigh(out, "Sodium hydroxide (NaOH)", batch.alkali.naoh.0, &pure(design.alkali.naoh_purity.get()))?;
    }
    if batch.alkali.koh.0 > 0.0 {
        weigh(out, "Potassium hydroxide (KOH)", batch.alkali.koh.0, &pure(design.alkali.koh_purity.get()))?;
    }
    weigh(out, "Water", batch.water_to_weigh.0, "")?;

    writeln!(out, "\nThe batch")?;
    weigh(out, "All fats", batch.fats.0, "")?;
    weigh(out, "Water in all", batch.water_total.0, "")?;
    weigh(out, "Batter", batch.batter.0, "")?;
    weigh(out, &format!("Each of {} bars, fresh", batch.bars), batch.bar_fresh.0, "")?;
    weigh(out, "Glycerol set free", batch.glycerol.0, "")?;
    let figure =
        |out: &mut String, what: &str, value: String, unit: &str| writeln!(out, "  {what:<34}{value:>10} {unit}");
    figure(out, "Superfat", fixed(batch.superfat, 2), "%")?;
    figure(out, "Lye concentration", optional(batch.lye_concentration, 2), "% pure alkali in the lye")?;
    if let Some(below) = evaluation.jug.and_then(|j| j.crystallises_below) {
        figure(out, "The lye crystallises below about", fixed(below, 0), "°C")?;
    }

    let chemistry = &evaluation.chemistry;
    writeln!(out, "\nThe blend")?;
    figure(
        out,
        "Saponification value",
        optional(chemistry.saponification_value, 1),
        "mg KOH/g, published or supplier’s",
    )?;
    figure(out, "", optional(chemistry.saponification_value_calculated, 1), "mg KOH/g, calculated from the acids")?;
    figure(out, "Iodine value", optional(chemistry.iodine_value, 1), "g/100 g, calculated from the acids")?;
    figure(out, "Titre", optional(chemistry.titre, 0), "°C, ±3 in hard charges, worse in soft ones")?;
    figure(out, "Total fatty matter, fresh", optional(chemistry.tfm_fresh, 1), "% of the bar")?;

    if let Some(estimates) = &evaluation.estimates {
        writeln!(out, "\nThe bar: estimates by composition; range: where “{}” bars lie", design.style)?;
        for result in estimates {
            let decimals = result.estimate.decimals();
            let range = result
                .range
                .map_or_else(String::new, |r| format!("{}–{}", fixed(r.min(), decimals), fixed(r.max(), decimals)));
            let place = result.place.map_or("", Place::word);
            let (low, high) = result.estimate.ends();
            let name = result.estimate.name();
            writeln!(
                out,
                "  {name:<20}{:>6}  {range:>11}  {place:<7} ({low} to {high})",
                fixed(result.value, decimals)
            )?;
        }
    }
    if let Some(composition) = &evaluation.composition {
        writeln!(out, "\nFatty acids, percent")?;
        for (id, acid) in library.acids.iter().filter(|(id, _)| composition.fraction(*id) >= 0.000_5) {
            let label = format!("{} ({})", acid.name, acid.key);
            writeln!(out, "  {label:<34}{:>10}", fixed(100.0 * composition.fraction(id), 1))?;
        }
    }
    writeln!(out, "\nAlways")?;
    for line in ALWAYS {
        writeln!(out, "  - {line}")?;
    }
    Ok(())
}

/// One fat of the library, for `fats --json`.
#[derive(Debug, Serialize)]
pub struct FatEntry {
    fat: String,
    name: String,
    kind: &'static str,
    sv_min: f64,
    sv_max: f64,
    sv_calculated: Option<f64>,
    iv_min: Option<f64>,
    iv_max: Option<f64>,
    iv_calculated: Option<f64>,
    unsaponifiable_min_g_per_kg: Option<f64>,
    unsaponifiable_max_g_per_kg: Option<f64>,
    sources: Vec<String>,
    profile: BTreeMap<String, f64>,
}

impl FatEntry {
    /// The entry of `fat`: ranges as published, values calculated from the typical profile,
    /// every source once with its trust mark.
    pub fn new(fat: &Fat, library: &Library) -> Self {
        let mut sources: Vec<String> = Vec::new();
        let mut add = |what: &str, source: &str, trust: crate::fats::Trust| {
            let line = format!("{what}: {source} [{}]", trust.words());
            if !sources.contains(&line) {
                sources.push(line);
            }
        };
        add("SV", &fat.sv.source, fat.sv.trust);
        for (what, figure) in [("IV", &fat.iv), ("unsaponifiable", &fat.unsaponifiable)] {
            if let Some(f) = figure {
                add(what, &f.source, f.trust);
            }
        }
        if let Some(d) = &fat.relative_density {
            add("relative density", &d.source, d.trust);
        }
        for entry in fat.profile() {
            add("fatty acids", &entry.source, entry.trust);
        }
        let range = |f: &Option<crate::fats::Sourced<crate::units::Interval>>| f.as_ref().map(|f| f.value);
        Self {
            fat: fat.id.to_string(),
            name: fat.name.clone(),
            kind: fat.kind.words(),
            sv_min: fat.sv.value.min(),
            sv_max: fat.sv.value.max(),
            sv_calculated: fat.calculated_sv(&library.acids),
            iv_min: range(&fat.iv).map(crate::units::Interval::min),
            iv_max: range(&fat.iv).map(crate::units::Interval::max),
            iv_calculated: fat.calculated_iv(&library.acids),
            unsaponifiable_min_g_per_kg: range(&fat.unsaponifiable).map(crate::units::Interval::min),
            unsaponifiable_max_g_per_kg: range(&fat.unsaponifiable).map(crate::units::Interval::max),
            sources,
            profile: fat.profile().iter().map(|e| (library.acids.get(e.acid).key.clone(), e.typical)).collect(),
        }
    }
}

/// The whole library as indented JSON.
///
/// # Errors
/// From the JSON writer; no library is known that makes it fail.
pub fn fats_json(library: &Library) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&library.fats().iter().map(|f| FatEntry::new(f, library)).collect::<Vec<_>>())
}

/// The whole library as a table for a terminal.
pub fn fats_text(library: &Library) -> String {
    let mut out = format!(
        "{:<22}{:<34}{:>13} {:>7} {:>13} {:>7}\n",
        "id", "name", "SV published", "calc.", "IV published", "calc."
    );
    for fat in library.fats() {
        let range = |r: crate::units::Interval| format!("{}–{}", short(r.min(), 1), short(r.max(), 1));
        let iv = fat.iv.as_ref().map_or_else(String::new, |f| range(f.value));
        let calculated = |v: Option<f64>| v.map_or_else(|| "–".into(), |v| fixed(v, 1));
        let (sv_calculated, iv_calculated) =
            (calculated(fat.calculated_sv(&library.acids)), calculated(fat.calculated_iv(&library.acids)));
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "{:<22}{:<34}{:>13} {sv_calculated:>7} {iv:>13} {iv_calculated:>7}",
            fat.id.as_str(),
            fat.name,
            range(fat.sv.value),
        );
    }
    out.push_str("\nSV: saponification value, mg KOH/g. IV: iodine value, g/100 g. Sources: barwright fats --json\n");
    out
}
