//! The library of fats as a table and as JSON.

use crate::library::Library;
use crate::library::fats::Fat;
use crate::number::{fixed, short};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// One fat of the library, for `fats --json`.
#[derive(Debug, Serialize)]
pub struct FatEntry {
    fat: String,
    name: String,
    kind: &'static str,
    sv_min: f64,
    sv_max: f64,
    sv_possible_min: Option<f64>,
    sv_possible_max: Option<f64>,
    sv_used_min: f64,
    sv_used_max: f64,
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
        let mut add = |what: &str, source: &str, trust: crate::trust::Trust| {
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
        let range = |f: &Option<crate::library::material::Sourced<crate::units::Interval>>| f.as_ref().map(|f| f.value);
        Self {
            fat: fat.id.to_string(),
            name: fat.name.clone(),
            kind: fat.kind.words(),
            sv_min: fat.sv.value.min(),
            sv_max: fat.sv.value.max(),
            sv_possible_min: fat.possible_sv().map(crate::units::Interval::min),
            sv_possible_max: fat.possible_sv().map(crate::units::Interval::max),
            sv_used_min: fat.lye().min(),
            sv_used_max: fat.lye().max(),
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

/// The library's additions as a table for a terminal.
pub fn additions_text(library: &Library) -> String {
    let mut out = format!(
        "{:<24}{:<36}{:<8}{:>8}{:>7}{:>9}{:>11}\n",
        "id", "name", "kind", "water %", "fat %", "sugars %", "g NaOH/g"
    );
    for addition in library.additions() {
        let c = &addition.contents.value;
        let sugars = c.sugars.map_or_else(|| "–".into(), |s| short(s.get(), 2));
        let naoh = if addition.acid.is_some() { fixed(addition.naoh_per_gram(), 4) } else { "0".into() };
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "{:<24}{:<36}{:<8}{:>8}{:>7}{:>9}{:>11}",
            addition.id.as_str(),
            addition.name,
            addition.kind.words(),
            short(c.water.get(), 2),
            short(c.fat.get(), 2),
            sugars,
            naoh
        );
    }
    out
}

/// The library's scents as a table for a terminal.
pub fn scents_text(library: &Library) -> String {
    let mut out = format!("{:<26}{:<34}{:>13}\n", "id", "name", "constituents");
    for scent in library.scents() {
        let _ = writeln!(out, "{:<26}{:<34}{:>13}", scent.id.as_str(), scent.name, scent.constituents.len());
    }
    out
}
