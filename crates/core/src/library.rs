//! The tables that come with the program: acids, fats, score weights, styles, additions, scents.

pub mod acids;
pub mod additions;
pub mod allergens;
pub mod comparisons;
pub mod composition;
pub mod estimates;
pub mod fats;
pub mod finding;
pub mod fusion;
pub mod handling;
pub mod material;
pub mod measures;
pub mod origins;
pub mod pigments;
pub mod possible;
pub mod scents;
pub mod shade;
pub mod styles;
pub mod sugars;
pub mod water;

mod materials;

use crate::library::acids::{Acids, AcidsError};
use crate::library::additions::Addition;
use crate::library::allergens::Allergens;
use crate::library::comparisons::{Comparisons, ComparisonsError, Record};
use crate::library::estimates::{Estimate, Weights, WeightsError};
use crate::library::fats::{Fat, FatFigures, FatKind, Inci, ProfileEntry, ProfileError, RelativeDensity};
use crate::library::finding::Names;
use crate::library::fusion::Fusion;
use crate::library::handling::{Handlings, HardFats};
use crate::library::material::{BadId, MaterialId, Of, Sourced};
use crate::library::measures::Measure;
use crate::library::origins::Origins;
use crate::library::pigments::Pigments;
use crate::library::scents::{Limits, Scent};
use crate::library::styles::{Style, StylesError};
use crate::library::sugars::Sugars;
use crate::trust::Trust;
use crate::units::{Fraction, Interval};
use serde::Deserialize;
use std::sync::Arc;

/// The text of the tables.
#[derive(Debug, Clone, Copy)]
pub struct Tables<'a> {
    /// `acids.csv`.
    pub acids: &'a str,
    /// `fats.csv`.
    pub fats: &'a str,
    /// `profiles.csv`.
    pub profiles: &'a str,
    /// `weights.csv`.
    pub weights: &'a str,
    /// `styles.csv`.
    pub styles: &'a str,
    /// `additions.csv`.
    pub additions: &'a str,
    /// `measures.csv`.
    pub measures: &'a str,
    /// `scents.csv`.
    pub scents: &'a str,
    /// `constituents.csv`.
    pub constituents: &'a str,
    /// `handling.csv`.
    pub handling: &'a str,
    /// `limits.csv`.
    pub limits: &'a str,
    /// `allergens.csv`.
    pub allergens: &'a str,
    /// `names.csv`.
    pub names: &'a str,
    /// `comparisons.csv`.
    pub comparisons: &'a str,
    /// `origins.csv`.
    pub origins: &'a str,
    /// `sugars.csv`.
    pub sugars: &'a str,
    /// `bands.csv`.
    pub bands: &'a str,
    /// `pigment_behaviour.csv`.
    pub pigment_behaviour: &'a str,
    /// `pigments.csv`.
    pub pigments: &'a str,
}

impl Tables<'static> {
    /// The tables of `assets/data`, held in the program.
    pub const EMBEDDED: Self = Self {
        acids: include_str!("../../../assets/data/acids.csv"),
        fats: include_str!("../../../assets/data/fats.csv"),
        profiles: include_str!("../../../assets/data/profiles.csv"),
        weights: include_str!("../../../assets/data/weights.csv"),
        styles: include_str!("../../../assets/data/styles.csv"),
        additions: include_str!("../../../assets/data/additions.csv"),
        measures: include_str!("../../../assets/data/measures.csv"),
        scents: include_str!("../../../assets/data/scents.csv"),
        constituents: include_str!("../../../assets/data/constituents.csv"),
        handling: include_str!("../../../assets/data/handling.csv"),
        limits: include_str!("../../../assets/data/limits.csv"),
        allergens: include_str!("../../../assets/data/allergens.csv"),
        names: include_str!("../../../assets/data/names.csv"),
        comparisons: include_str!("../../../assets/data/comparisons.csv"),
        origins: include_str!("../../../assets/data/origins.csv"),
        sugars: include_str!("../../../assets/data/sugars.csv"),
        bands: include_str!("../../../assets/data/bands.csv"),
        pigment_behaviour: include_str!("../../../assets/data/pigment_behaviour.csv"),
        pigments: include_str!("../../../assets/data/pigments.csv"),
    };
}

/// The parsed, checked tables.
#[derive(Debug, Clone)]
pub struct Library {
    /// Fatty acids.
    pub acids: Acids,
    /// What each acid weighs in each score.
    pub weights: Weights,
    /// Melting data for the titre.
    pub fusion: Fusion,
    /// What keeps hard fats clear.
    pub hard_fats: HardFats,
    /// Published limits for substances in scents.
    pub limits: Limits,
    /// Allergens that labels name.
    pub allergens: Allergens,
    /// By what words the materials are found.
    pub names: Names,
    /// Published comparisons of soaps.
    pub comparisons: Comparisons,
    records: [Record; 7],
    /// What the fats are made of.
    pub origins: Origins,
    /// Which part of the additions' sugars is reducing.
    pub sugars: Sugars,
    /// What colours a bar.
    pub pigments: Pigments,
    additions: Vec<Arc<Addition>>,
    measures: Vec<Measure>,
    scents: Vec<Arc<Scent>>,
    fats: Vec<Arc<Fat>>,
    styles: Vec<Style>,
}

/// A table that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum LibraryError {
    /// In `acids.csv`.
    #[error(transparent)]
    Acids(#[from] AcidsError),
    /// In `weights.csv`.
    #[error(transparent)]
    Weights(#[from] WeightsError),
    /// In `styles.csv`.
    #[error(transparent)]
    Styles(#[from] StylesError),
    /// In `comparisons.csv`.
    #[error(transparent)]
    Comparisons(#[from] ComparisonsError),
    /// `fats.csv` or `profiles.csv` is not the CSV it should be.
    #[error("{table}: {error}")]
    Csv {
        /// The file.
        table: &'static str,
        /// What the reader said.
        error: csv::Error,
    },
    /// A fat whose name cannot be used.
    #[error("fats.csv: {0}")]
    Id(#[from] BadId),
    /// A fat that stands twice.
    #[error("fats.csv: {0} stands twice")]
    Repeated(String),
    /// A kind that is not known.
    #[error("fats.csv: {fat}: unknown kind {kind}")]
    Kind {
        /// The fat.
        fat: String,
        /// What stands there.
        kind: String,
    },
    /// A figure without its other end, its source or its trust mark.
    #[error("fats.csv: {fat}: {figure} is incomplete or no range")]
    Figure {
        /// The fat.
        fat: String,
        /// Which figure.
        figure: &'static str,
    },
    /// A profile row that cannot be used.
    #[error("profiles.csv: {fat}, acid {acid}: unknown fat, unknown acid or no range")]
    ProfileRow {
        /// The fat.
        fat: String,
        /// The acid.
        acid: String,
    },
    /// A profile that is none.
    #[error("profiles.csv: {fat}: {error}")]
    Profile {
        /// The fat.
        fat: String,
        /// What is wrong with it.
        error: ProfileError,
    },
    /// A row of another table that cannot be used.
    #[error("{table}: {id}: {what}")]
    Material {
        /// The file.
        table: &'static str,
        /// The row.
        id: String,
        /// What is wrong with it.
        what: String,
    },
    /// A published saponification value that the profile contradicts.
    #[error("fats.csv: {fat}: SV {published} against {calculated} calculated from the profile")]
    Contradiction {
        /// The fat.
        fat: String,
        /// Middle of the published range.
        published: f64,
        /// From the profile.
        calculated: f64,
    },
}

#[derive(Deserialize)]
struct FatRow {
    fat: String,
    name: String,
    kind: String,
    ester_molar_mass_g_per_mol: Option<f64>,
    sv_min: Option<f64>,
    sv_max: Option<f64>,
    sv_source: String,
    sv_trust: Option<Trust>,
    iv_min: Option<f64>,
    iv_max: Option<f64>,
    iv_source: String,
    iv_trust: Option<Trust>,
    unsaponifiable_min_g_per_kg: Option<f64>,
    unsaponifiable_max_g_per_kg: Option<f64>,
    unsaponifiable_source: String,
    unsaponifiable_trust: Option<Trust>,
    relative_density_min: Option<f64>,
    relative_density_max: Option<f64>,
    relative_density_basis: String,
    relative_density_source: String,
    relative_density_trust: Option<Trust>,
    inci: String,
    inci_status: String,
    inci_sodium_soap: String,
    inci_potassium_soap: String,
    inci_soap_status: String,
}

#[derive(Deserialize)]
struct ProfileRow {
    fat: String,
    acid: String,
    min_pct: f64,
    typical_pct: f64,
    max_pct: f64,
    source: String,
    trust: Trust,
}

/// A figure of which all parts are there (`Ok(Some)`), none is (`Ok(None)`), or some are missing.
fn figure(
    min: Option<f64>,
    max: Option<f64>,
    source: String,
    trust: Option<Trust>,
) -> Result<Option<Sourced<Interval>>, Incomplete> {
    match (min, max, trust) {
        (Some(min), Some(max), Some(trust)) if !source.is_empty() => {
            let value = Interval::new(min, max).ok().ok_or(Incomplete)?;
            Ok(Some(Sourced { value, source, trust }))
        }
        (None, None, None) if source.is_empty() => Ok(None),
        _ => Err(Incomplete),
    }
}

/// A figure some of whose parts are missing or that is no range.
struct Incomplete;

impl FatRow {
    fn figures(self) -> Result<FatFigures, LibraryError> {
        let id = MaterialId::new(&self.fat)?;
        let incomplete = |figure| LibraryError::Figure { fat: self.fat.clone(), figure };
        let kind = match (self.kind.as_str(), self.ester_molar_mass_g_per_mol) {
            ("triglyceride", None) => FatKind::Triglyceride,
            ("free acid", None) => FatKind::FreeAcid,
            ("wax ester", Some(molar_mass)) if molar_mass > 0.0 => FatKind::WaxEster { molar_mass },
            ("wax", None) => FatKind::Wax,
            _ => return Err(LibraryError::Kind { fat: self.fat, kind: self.kind }),
        };
        let sv = figure(self.sv_min, self.sv_max, self.sv_source, self.sv_trust).ok().flatten();
        let iv = figure(self.iv_min, self.iv_max, self.iv_source, self.iv_trust);
        let unsaponifiable = figure(
            self.unsaponifiable_min_g_per_kg,
            self.unsaponifiable_max_g_per_kg,
            self.unsaponifiable_source,
            self.unsaponifiable_trust,
        );
        let density = figure(
            self.relative_density_min,
            self.relative_density_max,
            self.relative_density_source,
            self.relative_density_trust,
        );
        let basis = self.relative_density_basis;
        Ok(FatFigures {
            id,
            name: self.name,
            kind,
            sv: sv.ok_or_else(|| incomplete("saponification value"))?,
            iv: iv.map_err(|Incomplete| incomplete("iodine value"))?,
            unsaponifiable: unsaponifiable.map_err(|Incomplete| incomplete("unsaponifiable matter"))?,
            relative_density: density.map_err(|Incomplete| incomplete("relative density"))?.map(|d| Sourced {
                value: RelativeDensity::new(d.value, basis),
                source: d.source,
                trust: d.trust,
            }),
            inci: Inci {
                fat: self.inci,
                fat_status: self.inci_status,
                sodium_soap: self.inci_sodium_soap,
                potassium_soap: self.inci_potassium_soap,
                soap_status: self.inci_soap_status,
            },
        })
    }
}

impl Library {
    /// Parses and checks the tables. Every fat's published SV must agree with its profile.
    ///
    /// # Errors
    /// [`LibraryError`], naming the table and the row.
    pub fn parse(tables: &Tables<'_>) -> Result<Self, LibraryError> {
        let acids = Acids::parse(tables.acids)?;
        let weights = Weights::parse(tables.weights, &acids)?;
        let mut drafts: Vec<(FatFigures, Vec<ProfileEntry>)> = Vec::new();
        let in_table = |table| move |error| LibraryError::Csv { table, error };
        for row in csv::Reader::from_reader(tables.fats.as_bytes()).deserialize::<FatRow>() {
            let figures = row.map_err(in_table("fats.csv"))?.figures()?;
            if drafts.iter().any(|(f, _)| f.id == figures.id) {
                return Err(LibraryError::Repeated(figures.id.to_string()));
            }
            drafts.push((figures, Vec::new()));
        }
        for row in csv::Reader::from_reader(tables.profiles.as_bytes()).deserialize::<ProfileRow>() {
            let row = row.map_err(in_table("profiles.csv"))?;
            let draft = drafts.iter_mut().find(|(f, _)| f.id.as_str() == row.fat);
            let (Some((_, profile)), Some(acid), Ok(range)) =
                (draft, acids.find(&row.acid), Interval::new(row.min_pct, row.max_pct))
            else {
                return Err(LibraryError::ProfileRow { fat: row.fat, acid: row.acid });
            };
            profile.push(ProfileEntry { acid, range, typical: row.typical_pct, source: row.source, trust: row.trust });
        }
        let mut fats = Vec::with_capacity(drafts.len());
        for (figures, profile) in drafts {
            let id = figures.id.to_string();
            let fat =
                Fat::new(figures, profile, &acids).map_err(|error| LibraryError::Profile { fat: id.clone(), error })?;
            let published = fat.sv.value.mid();
            if let Some(calculated) = fat.calculated_sv(&acids).filter(|_| !fat.accepts_sv(published, &acids)) {
                return Err(LibraryError::Contradiction { fat: id, published, calculated });
            }
            fats.push(Arc::new(fat));
        }
        let styles = styles::parse(tables.styles, &fats, &acids, &weights)?;
        let comparisons = Comparisons::parse(tables.comparisons, &fats, &acids)?;
        let records = Estimate::ALL.map(|estimate| Record::of(estimate, &comparisons, &weights));
        let fusion = Fusion::of(&acids);
        let mut handling = Handlings::parse(tables.handling)?;
        let additions = materials::additions(tables.additions, &mut handling)?;
        let scents = materials::scents(tables.scents, tables.constituents, &mut handling)?;
        Ok(Self {
            names: Names::parse(tables.names, &fats, &additions, &scents)?,
            origins: Origins::parse(tables.origins, &fats)?,
            sugars: Sugars::parse(tables.sugars, &additions)?,
            pigments: Pigments::parse(
                pigments::Texts { bands: tables.bands, behaviour: tables.pigment_behaviour, pigments: tables.pigments },
                |of, id| match of {
                    Of::Fat => fats.iter().any(|f| f.id == *id),
                    Of::Addition => additions.iter().any(|a| a.id == *id),
                    Of::Scent => scents.iter().any(|s| s.id == *id),
                },
            )?,
            acids,
            weights,
            fusion,
            hard_fats: handling.rest(&fats)?,
            limits: materials::limits(tables.limits)?,
            allergens: materials::allergens(tables.allergens)?,
            measures: materials::measures(tables.measures, &additions)?,
            additions,
            scents,
            fats,
            styles,
            comparisons,
            records,
        })
    }

    /// The library of the embedded tables.
    ///
    /// # Errors
    /// [`LibraryError`] if a table in `assets/data` is wrong; a test keeps them right.
    pub fn embedded() -> Result<Self, LibraryError> {
        Self::parse(&Tables::EMBEDDED)
    }

    /// All fats, in table order.
    pub fn fats(&self) -> &[Arc<Fat>] {
        &self.fats
    }

    /// The fat named `id`.
    pub fn fat(&self, id: &str) -> Option<&Arc<Fat>> {
        self.fats.iter().find(|f| f.id.as_str() == id)
    }

    /// All additions, in table order.
    pub fn additions(&self) -> &[Arc<Addition>] {
        &self.additions
    }

    /// The addition named `id`.
    pub fn addition(&self, id: &str) -> Option<&Arc<Addition>> {
        self.additions.iter().find(|a| a.id.as_str() == id)
    }

    /// How a kitchen measures the addition named `id`, as far as it is tabled.
    pub fn measure(&self, id: &str) -> Option<&Measure> {
        self.measures.iter().find(|m| m.addition.as_str() == id)
    }

    /// All scents, in table order.
    pub fn scents(&self) -> &[Arc<Scent>] {
        &self.scents
    }

    /// The scent named `id`.
    pub fn scent(&self, id: &str) -> Option<&Arc<Scent>> {
        self.scents.iter().find(|s| s.id.as_str() == id)
    }

    /// What published comparisons say of `estimate`.
    pub const fn record_of(&self, estimate: Estimate) -> &Record {
        &self.records[estimate as usize]
    }

    /// How far to trust `estimate`: what its weights rest on, and how often published comparisons bore it out.
    pub fn trust_in(&self, estimate: Estimate) -> String {
        format!("{} {}", estimate.rests_on(), self.record_of(estimate).words())
    }

    /// All styles, in table order.
    pub fn styles(&self) -> &[Style] {
        &self.styles
    }

    /// The style called `name`.
    pub fn style(&self, name: &str) -> Option<&Style> {
        self.styles.iter().find(|s| s.name == name)
    }

    /// The scale on which `estimate` is drawn: the hull of all styles' reference soaps made with
    /// `free_fat`, widened by 12 % at each end so that a range never touches the edge.
    pub fn scale(&self, estimate: Estimate, free_fat: Fraction) -> Option<Interval> {
        let scores = self.styles.iter().flat_map(|s| &s.references).map(|r| r.scores(free_fat).get(estimate));
        Interval::hull(scores).map(|hull| hull.widened(0.12))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_tables_are_usable_and_complete() {
        let library = Library::embedded().expect("assets/data parses");
        assert_eq!(library.fats().len(), 64);
        assert_eq!(library.acids.len(), 30);
        assert_eq!(library.styles().len(), 4);
        let unprofiled: Vec<_> =
            library.fats().iter().filter(|f| f.profile().is_empty()).map(|f| f.id.as_str()).collect();
        assert_eq!(unprofiled, ["beeswax", "lanolin", "castor_hydrogenated", "rosin"]);
    }

    #[test]
    fn a_misprinted_saponification_value_is_refused_with_its_fat() {
        let misprint = Tables::EMBEDDED.fats.replace("triglyceride,,186,194,", "triglyceride,,286,294,");
        assert_ne!(misprint, Tables::EMBEDDED.fats, "the row to spoil is there");
        let error = Library::parse(&Tables { fats: &misprint, ..Tables::EMBEDDED }).expect_err("a 50 % lye excess");
        assert!(error.to_string().starts_with("fats.csv: "), "{error}");
        assert!(matches!(error, LibraryError::Contradiction { .. }), "{error}");
    }

    #[test]
    fn a_profile_that_does_not_sum_to_100_is_refused_with_its_fat() {
        let short = Tables::EMBEDDED.profiles.replace("coconut,12:0,45.1,47.82,", "coconut,12:0,45.1,46.82,");
        let error = Library::parse(&Tables { profiles: &short, ..Tables::EMBEDDED }).expect_err("a percent is missing");
        assert!(error.to_string().contains("coconut: the profile's typical values sum to"), "{error}");
    }
}
