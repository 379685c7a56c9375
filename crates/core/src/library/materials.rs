//! The tables of additions, scents, limits and allergens.

use super::LibraryError;
use crate::library::additions::{AddedAcid, Addition, AdditionKind, Contents, Stage, UncountedAcid};
use crate::library::allergens::{Allergen, AllergenKind, Allergens};
use crate::library::handling::{Handling, Handlings};
use crate::library::material::{MaterialId, Sourced};
use crate::library::measures::Measure;
use crate::library::scents::{Cas, Constituent, Limit, LimitFigure, Limits, Scent, Supplied};
use crate::trust::Trust;
use crate::units::{AcidMolarMass, BulkDensity, Share, SolidsDensity};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::HashMap;
use std::sync::Arc;

#[derive(Deserialize)]
struct AdditionRow {
    addition: MaterialId,
    name: String,
    kind: AdditionKind,
    water_pct: Share,
    fat_pct: Share,
    sugars_pct: Option<Share>,
    source: String,
    trust: Trust,
    acid: String,
    acid_pct: Option<Share>,
    acid_molar_mass_g_per_mol: Option<AcidMolarMass>,
    acid_protons: Option<u8>,
    acid_source: String,
    acid_trust: Option<Trust>,
    alcohol_pct: Share,
    usual_stage: UsualStage,
    uncounted_acid: String,
    uncounted_acid_pct: Option<Share>,
    uncounted_naoh_g_per_g: Option<f64>,
    solids_g_per_ml: SolidsDensity,
    inci: String,
    inci_status: String,
    advice: String,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum UsualStage {
    Jug,
    Fats,
    Trace,
    Top,
}

impl AdditionRow {
    fn addition(self, handling: Handling) -> Result<Addition, LibraryError> {
        let id = self.addition.clone();
        let wrong = |what: String| LibraryError::Material { table: "additions.csv", id: id.to_string(), what };
        let acid = match (self.acid_pct, self.acid_molar_mass_g_per_mol, self.acid_protons, self.acid_trust) {
            (None, None, None, None) if self.acid.is_empty() => None,
            (Some(content), Some(molar_mass), Some(protons), Some(trust)) if !self.acid_source.is_empty() => {
                let value = AddedAcid::new(self.acid, content, molar_mass, protons);
                Some(Sourced { value, source: self.acid_source, trust })
            }
            _ => return Err(wrong("the acid's figures are incomplete".into())),
        };
        let uncounted_acid = match (self.uncounted_acid_pct, self.uncounted_naoh_g_per_g) {
            (None, None) if self.uncounted_acid.is_empty() => None,
            (Some(most), Some(naoh_per_gram)) if !self.uncounted_acid.is_empty() => {
                Some(UncountedAcid { name: self.uncounted_acid, most, naoh_per_gram })
            }
            _ => return Err(wrong("the uncounted acid's figures are incomplete".into())),
        };
        let contents = Contents { water: self.water_pct, fat: self.fat_pct, sugars: self.sugars_pct };
        let addition = Addition {
            id: self.addition,
            name: self.name,
            kind: self.kind,
            contents: Sourced { value: contents, source: self.source, trust: self.trust },
            acid,
            uncounted_acid,
            alcohol: self.alcohol_pct,
            usual_stage: match self.usual_stage {
                UsualStage::Jug => Stage::IntoJug,
                UsualStage::Fats => Stage::IntoFats,
                UsualStage::Trace => Stage::AtTrace,
                UsualStage::Top => Stage::OnTop,
            },
            handling,
            colourant: None,
            solids_density: self.solids_g_per_ml,
            inci: self.inci,
            inci_status: self.inci_status,
            advice: self.advice,
        };
        addition.checked().map_err(|e| wrong(e.to_string()))
    }
}

#[derive(Deserialize)]
struct ScentRow {
    scent: MaterialId,
    name: String,
    cas: Cas,
    inci: String,
    inci_status: String,
}

#[derive(Deserialize)]
struct ConstituentRow {
    scent: String,
    constituent: String,
    cas: Cas,
    max_pct: Share,
    whole: Whole,
    source: String,
    trust: Trust,
}

#[derive(Deserialize, PartialEq)]
#[serde(rename_all = "lowercase")]
enum Whole {
    Yes,
    No,
}

#[derive(Deserialize)]
struct LimitRow {
    substance: String,
    cas: Cas,
    limit: String,
    source: String,
    trust: Trust,
}

pub(super) fn rows<T: DeserializeOwned>(table: &'static str, text: &str) -> Result<Vec<T>, LibraryError> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(|error| LibraryError::Csv { table, error })
}

/// Reads `additions.csv`.
pub(super) fn additions(text: &str, handling: &mut Handlings) -> Result<Vec<Arc<Addition>>, LibraryError> {
    let mut additions: Vec<Arc<Addition>> = Vec::new();
    for row in rows::<AdditionRow>("additions.csv", text)? {
        if additions.iter().any(|a| a.id == row.addition) {
            let id = row.addition.to_string();
            return Err(LibraryError::Material { table: "additions.csv", id, what: "stands twice".into() });
        }
        let handling = handling.addition(&row.addition)?;
        additions.push(Arc::new(row.addition(handling)?));
    }
    Ok(additions)
}

#[derive(Deserialize)]
struct MeasureRow {
    addition: MaterialId,
    g_per_ml: BulkDensity,
    density_source: String,
    density_trust: Trust,
    used_pct: Option<Share>,
    used_source: String,
    used_trust: Option<Trust>,
}

/// Reads `measures.csv`, of `additions`.
pub(super) fn measures(text: &str, additions: &[Arc<Addition>]) -> Result<Vec<Measure>, LibraryError> {
    const TABLE: &str = "measures.csv";
    let mut list: Vec<Measure> = Vec::new();
    for row in rows::<MeasureRow>(TABLE, text)? {
        let id = row.addition;
        let wrong = |what: &str| LibraryError::Material { table: TABLE, id: id.to_string(), what: what.into() };
        if !additions.iter().any(|a| a.id == id) {
            return Err(wrong("is no addition"));
        }
        if list.iter().any(|m| m.addition == id) {
            return Err(wrong("stands twice"));
        }
        if row.density_source.is_empty() {
            return Err(wrong("the density has no source"));
        }
        let used = match (row.used_pct, row.used_trust) {
            (None, None) if row.used_source.is_empty() => None,
            (Some(value), Some(trust)) if !row.used_source.is_empty() && value.get() > 0.0 => {
                Some(Sourced { value, source: row.used_source, trust })
            }
            _ => return Err(wrong("what is used of it is incomplete")),
        };
        let density = Sourced { value: row.g_per_ml, source: row.density_source, trust: row.density_trust };
        list.push(Measure { addition: id, density, used });
    }
    Ok(list)
}

/// Reads `scents.csv` with `constituents.csv`.
pub(super) fn scents(
    scents: &str,
    constituents: &str,
    handling: &mut Handlings,
) -> Result<Vec<Arc<Scent>>, LibraryError> {
    let mut of_scent: HashMap<String, Vec<Constituent>> = HashMap::new();
    for row in rows::<ConstituentRow>("constituents.csv", constituents)? {
        let ConstituentRow { scent, constituent: name, cas, max_pct: most, whole, source, trust } = row;
        let whole = whole == Whole::Yes;
        of_scent.entry(scent).or_default().push(Constituent { name, cas, most, whole, source, trust });
    }
    let mut list: Vec<Arc<Scent>> = Vec::new();
    for ScentRow { scent: id, name, cas, inci, inci_status } in rows("scents.csv", scents)? {
        if list.iter().any(|s| s.id == id) {
            let id = id.to_string();
            return Err(LibraryError::Material { table: "scents.csv", id, what: "stands twice".into() });
        }
        let constituents = of_scent.remove(id.as_str()).unwrap_or_default();
        let handling = handling.scent(&id)?;
        let supplied = Supplied::default();
        list.push(Arc::new(Scent { id, name, cas, inci, inci_status, constituents, handling, supplied }));
    }
    match of_scent.into_keys().min() {
        Some(id) => Err(LibraryError::Material { table: "constituents.csv", id, what: "belongs to no scent".into() }),
        None => Ok(list),
    }
}

#[derive(Deserialize)]
struct AllergenRow {
    allergen: String,
    kind: AllergenKind,
    members: String,
    cas: Cas,
    list: List,
    annex_iii_entry: String,
    source: String,
    trust: Trust,
}

#[derive(Deserialize, PartialEq)]
enum List {
    #[serde(rename = "first 24")]
    First24,
    #[serde(rename = "extended")]
    Extended,
}

/// Reads `allergens.csv`.
pub(super) fn allergens(text: &str) -> Result<Allergens, LibraryError> {
    let mut allergens = Allergens::default();
    for row in rows::<AllergenRow>("allergens.csv", text)? {
        let AllergenRow { allergen: name, kind, members, cas, list, annex_iii_entry, source, trust } = row;
        let wrong = |what| LibraryError::Material { table: "allergens.csv", id: name.clone(), what };
        let source = format!("{source}, entry {annex_iii_entry}");
        let allergen = Allergen { name: name.clone(), kind, first_24: list == List::First24, source, trust };
        allergens.push(allergen, &cas, &members).map_err(wrong)?;
    }
    Ok(allergens)
}

/// Reads `limits.csv`.
pub(super) fn limits(text: &str) -> Result<Limits, LibraryError> {
    let mut limits = Limits::default();
    for LimitRow { substance, cas, limit, source, trust } in rows("limits.csv", text)? {
        let figure = match limit.as_str() {
            "no restriction" => LimitFigure::NoRestriction,
            "see the standard" => LimitFigure::NotHeld,
            number => match number.parse::<f64>() {
                Ok(n) if n > 0.0 && n <= 100.0 => LimitFigure::Most(n),
                _ => {
                    let what = format!("“{number}” is no limit");
                    return Err(LibraryError::Material { table: "limits.csv", id: substance, what });
                }
            },
        };
        limits.push(&cas, Limit { substance, figure, source, trust });
    }
    Ok(limits)
}
