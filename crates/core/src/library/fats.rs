//! Fats: published figures with their sources, and the figures calculated from the profile.

use crate::formula::{Input, Plain, Reading};
use crate::library::acids::{Acid, AcidId, Acids, MG_KOH_PER_MOL, molar_mass, triglyceride_sv};
use crate::library::material::{MaterialId, Sourced};
use crate::library::possible::{self, SvRanges};
use crate::library::water;
use crate::number::short;
use crate::trust::Trust;
use crate::units::{Interval, from_percent};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What a fat is, chemically.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FatKind {
    /// Esters of glycerol: three acids and one glycerol a molecule.
    Triglyceride,
    /// Free fatty acids: they take alkali and give water, no glycerol.
    FreeAcid,
    /// Esters of fatty acids with fatty alcohols.
    WaxEster {
        /// Molar mass of the ester, g/mol.
        molar_mass: f64,
    },
    /// A wax whose make-up is not tabled.
    Wax,
}

impl FatKind {
    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Triglyceride => "triglyceride",
            Self::FreeAcid => "free acid",
            Self::WaxEster { .. } => "wax ester",
            Self::Wax => "wax",
        }
    }
}

/// One acid's part of a profile, percent of all fatty acids by mass.
#[derive(Debug, Clone, PartialEq)]
pub struct ProfileEntry {
    /// The acid.
    pub acid: AcidId,
    /// Published range; of no width where only a single figure is published.
    pub range: Interval,
    /// The typical value the estimates use. It lies in the range; where only single figures
    /// are published it is near them, since they need not sum to 100 as a profile must.
    pub typical: f64,
    /// Source of the range.
    pub source: String,
    /// How far the source was seen.
    pub trust: Trust,
}

impl ProfileEntry {
    /// What is published, in words: "published 55 to 83 %".
    pub fn published(&self) -> String {
        if self.range.width() > 0.0 {
            format!("published {} to {} %", short(self.range.min(), 1), short(self.range.max(), 1))
        } else {
            format!("published {} %", short(self.typical, 1))
        }
    }

    /// The typical value as a fraction of all fatty acids.
    pub fn fraction(&self) -> f64 {
        from_percent(self.typical)
    }
}

/// A relative density with the temperatures it holds for.
#[derive(Debug, Clone, PartialEq)]
pub struct RelativeDensity {
    range: Interval,
    basis: String,
    /// The basis read: the fat's temperature, °C, and the density it is relative to, g/mL.
    celsius: f64,
    reference: f64,
}

impl RelativeDensity {
    /// A published range with its temperatures as published, "20C/water20C". A basis without a
    /// temperature counts as 20 °C, one without water as g/mL.
    pub fn new(range: Interval, basis: String) -> Self {
        // A range of temperatures counts by its middle.
        let number = |text: &str| -> Option<f64> {
            let numbers: Vec<f64> =
                text.split(|c: char| !(c.is_ascii_digit() || c == '.')).filter_map(|n| n.parse().ok()).collect();
            let middle = numbers.iter().sum::<f64>() / numbers.len() as f64;
            Some(middle).filter(|t| (0.0..=150.0).contains(t))
        };
        let (own, water) = basis.split_once('/').unwrap_or((&basis, ""));
        let (celsius, reference) = (number(own).unwrap_or(20.0), number(water).map_or(1.0, water::density));
        Self { range, basis, celsius, reference }
    }

    /// Published range.
    pub const fn range(&self) -> Interval {
        self.range
    }

    /// Temperatures, as published: "20C/water20C".
    pub fn basis(&self) -> &str {
        &self.basis
    }

    /// Density at `celsius`, g/mL: the middle of the range times the density it is relative to,
    /// moved along 0.00068 g/mL per °C (the usual slope of liquid fats, from memory).
    ///
    /// ```
    /// use barwright_core::library::fats::RelativeDensity;
    /// use barwright_core::{units::Interval};
    /// let olive = RelativeDensity::new(Interval::new(0.910, 0.916)?, "20C/water20C".into());
    /// assert!((olive.at(40.0) - (0.913 * 0.9982 - 0.0136)).abs() < 1e-5);
    /// # Ok::<(), barwright_core::units::NoInterval>(())
    /// ```
    pub fn at(&self, celsius: f64) -> f64 {
        self.range.mid() * self.reference - EXPANSION * (celsius - self.celsius)
    }
}

/// What a liquid fat's density loses per °C, g/mL (from memory).
const EXPANSION: f64 = 0.000_68;

/// Density of a fat at 40 °C that has none tabled, g/mL (from memory: most lie within 2 % of it).
const USUAL_DENSITY_40: f64 = 0.905;

/// Density of a fat that has none tabled, g/mL.
pub fn usual_density(celsius: f64) -> f64 {
    USUAL_DENSITY_40 - EXPANSION * (celsius - 40.0)
}

/// Names for the ingredient list.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inci {
    /// Name of the fat.
    pub fat: String,
    /// Where that name was confirmed, or "not found".
    pub fat_status: String,
    /// Name of its sodium soap; empty if none is known.
    pub sodium_soap: String,
    /// Name of its potassium soap; empty if none is known.
    pub potassium_soap: String,
    /// Where the soaps' names were confirmed.
    pub soap_status: String,
}

/// Everything known of one fat. Made by [`Fat::new`], which checks the profile.
#[derive(Debug, Clone, PartialEq)]
pub struct Fat {
    /// Name in files.
    pub id: MaterialId,
    /// Name on screen.
    pub name: String,
    /// What it is, chemically.
    pub kind: FatKind,
    /// Published saponification value, mg KOH/g.
    pub sv: Sourced<Interval>,
    /// Published iodine value, g iodine per 100 g.
    pub iv: Option<Sourced<Interval>>,
    /// Published unsaponifiable matter, g/kg.
    pub unsaponifiable: Option<Sourced<Interval>>,
    /// Published relative density.
    pub relative_density: Option<Sourced<RelativeDensity>>,
    /// Names for the ingredient list.
    pub inci: Inci,
    profile: Vec<ProfileEntry>,
    /// What the published acids allow; worked out once, when the record is made.
    possible: Option<Interval>,
    lye: Interval,
}

/// A profile that is none.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProfileError {
    /// A typical value outside its own range.
    #[error("the profile's typical {typical} % lies outside its range {min} to {max} %")]
    Outside {
        /// The typical value.
        typical: f64,
        /// Lower end of the range.
        min: f64,
        /// Upper end of the range.
        max: f64,
    },
    /// The typical values do not sum to 100.
    #[error("the profile's typical values sum to {0} %, not 100")]
    Sum(f64),
    /// An acid stands twice.
    #[error("an acid stands twice in the profile")]
    Repeated,
}

/// A fat without its profile, for [`Fat::new`].
#[derive(Debug, Clone, PartialEq)]
pub struct FatFigures {
    /// Name in files.
    pub id: MaterialId,
    /// Name on screen.
    pub name: String,
    /// What it is, chemically.
    pub kind: FatKind,
    /// Published saponification value, mg KOH/g.
    pub sv: Sourced<Interval>,
    /// Published iodine value, g iodine per 100 g.
    pub iv: Option<Sourced<Interval>>,
    /// Published unsaponifiable matter, g/kg.
    pub unsaponifiable: Option<Sourced<Interval>>,
    /// Published relative density.
    pub relative_density: Option<Sourced<RelativeDensity>>,
    /// Names for the ingredient list.
    pub inci: Inci,
}

/// Refuses a profile that is none; no acids at all are one that is not tabled.
fn checked(profile: &[ProfileEntry]) -> Result<(), ProfileError> {
    for (i, entry) in profile.iter().enumerate() {
        if entry.range.width() > 0.0 && !entry.range.contains(entry.typical) {
            let (min, max) = (entry.range.min(), entry.range.max());
            return Err(ProfileError::Outside { typical: entry.typical, min, max });
        }
        if profile[..i].iter().any(|e| e.acid == entry.acid) {
            return Err(ProfileError::Repeated);
        }
    }
    let sum: f64 = profile.iter().map(|e| e.typical).sum();
    if !profile.is_empty() && (sum - 100.0).abs() > 0.05 {
        return Err(ProfileError::Sum(sum));
    }
    Ok(())
}

impl Fat {
    /// A fat with its profile; an empty profile means that none is tabled. Its lye rests on what is published and
    /// possible ([`SvRanges`]).
    ///
    /// # Errors
    /// [`ProfileError`] if a typical value leaves its range, an acid stands twice, or the
    /// typical values are off 100 by more than 0.05.
    pub fn new(figures: FatFigures, profile: Vec<ProfileEntry>, acids: &Acids) -> Result<Self, ProfileError> {
        checked(&profile)?;
        let FatFigures { id, name, kind, sv, iv, unsaponifiable, relative_density, inci } = figures;
        let (possible, lye) = (None, sv.value);
        let mut fat = Self { id, name, kind, sv, iv, unsaponifiable, relative_density, inci, profile, possible, lye };
        fat.possible = possible::by_acids(&fat, acids);
        fat.lye = SvRanges::of(&fat).used;
        Ok(fat)
    }

    /// The same fat with the profile of one lot. What its lye rests on stays: that follows from what is published.
    ///
    /// # Errors
    /// [`ProfileError`] as from [`Self::new`].
    pub fn with_profile(&self, profile: Vec<ProfileEntry>) -> Result<Self, ProfileError> {
        checked(&profile)?;
        Ok(Self { profile, ..self.clone() })
    }

    /// The same fat with a lye that rests on `lye`, as a file says or as its figures were before.
    #[must_use]
    pub fn resting_on(&self, lye: Interval) -> Self {
        Self { lye, ..self.clone() }
    }

    /// The same fat with a lye that rests on what is published and possible.
    #[must_use]
    pub fn narrowed(self: &Arc<Self>) -> Arc<Self> {
        let used = SvRanges::of(self).used;
        if self.lye == used { Arc::clone(self) } else { Arc::new(self.resting_on(used)) }
    }

    /// The saponification values that the lye rests on, mg KOH/g: it is worked out with the middle, and the margin with
    /// the width.
    pub const fn lye(&self) -> Interval {
        self.lye
    }

    /// Source and mark of what the lye rests on: of the published figure and, where that was narrowed, of the acids too.
    pub fn about_lye(&self) -> (String, Trust) {
        let Sourced { value, source, trust } = &self.sv;
        match self.profile.iter().max_by(|a, b| a.typical.total_cmp(&b.typical)) {
            Some(largest) if self.lye != *value => {
                let acids = &largest.source;
                let sources =
                    if acids == source { source.clone() } else { format!("{source}; its fatty acids: {acids}") };
                let trust = self
                    .profile
                    .iter()
                    .filter(|e| e.typical >= possible::LARGE)
                    .fold(*trust, |trust, e| trust.weaker(e.trust));
                (sources, trust)
            }
            _ => (source.clone(), *trust),
        }
    }

    /// Whether its saponification value, or an acid that is much of it, is from memory.
    pub fn is_from_memory(&self) -> bool {
        let is_remembered = |e: &ProfileEntry| e.typical >= possible::LARGE && e.trust == Trust::FromMemory;
        self.sv.trust == Trust::FromMemory || self.profile.iter().any(is_remembered)
    }

    /// What its acids and its unsaponifiable matter allow; `None` where no whole profile is published.
    pub const fn possible_sv(&self) -> Option<Interval> {
        self.possible
    }

    /// Whether all that is published is as in `other`, whatever the lye of either rests on.
    pub fn has_figures_of(&self, other: &Self) -> bool {
        let Self { id, name, kind, sv, iv, unsaponifiable, relative_density, inci, profile, possible: _, lye: _ } =
            self;
        (id, name, kind, sv, iv) == (&other.id, &other.name, &other.kind, &other.sv, &other.iv)
            && (unsaponifiable, relative_density) == (&other.unsaponifiable, &other.relative_density)
            && (inci, profile) == (&other.inci, &other.profile)
    }

    /// The profile; empty if none is tabled.
    pub fn profile(&self) -> &[ProfileEntry] {
        &self.profile
    }

    /// Middle of the published unsaponifiable matter as a fraction; 0 where none is published.
    pub fn unsaponifiable_fraction(&self) -> f64 {
        self.unsaponifiable.as_ref().map_or(0.0, |u| u.value.mid() / 1000.0)
    }

    /// Least and most of the published unsaponifiable matter as fractions; 0 where none is published.
    pub fn unsaponifiable_ends(&self) -> (f64, f64) {
        self.unsaponifiable.as_ref().map_or((0.0, 0.0), |u| (u.value.min() / 1000.0, u.value.max() / 1000.0))
    }

    /// Mean molar mass of the profile's acids, g/mol: harmonic, M = Σw/Σ(w/M), since a
    /// profile is in mass fractions. `None` without a profile.
    pub fn mean_acid_molar_mass(&self, acids: &Acids) -> Option<f64> {
        let (mass, moles) = self
            .profile
            .iter()
            .fold((0.0, 0.0), |(mass, moles), e| (mass + e.typical, moles + e.typical / acids.get(e.acid).molar_mass));
        (moles > 0.0).then(|| mass / moles)
    }

    /// The published source of the profile's largest acid, for what rests on the whole of it.
    fn about_profile(&self, name: &str, value: String) -> Input {
        let largest = self.profile.iter().max_by(|a, b| a.typical.total_cmp(&b.typical));
        let (source, trust) = largest.map_or_else(|| (String::new(), None), |e| (e.source.clone(), Some(e.trust)));
        Input { name: format!("{name} of {}", self.name), value, source, trust }
    }

    /// Unsaponifiable matter, as a fraction, as an input.
    pub fn read_unsaponifiable<R: Reading>(&self, r: R) -> R::N {
        let fraction = self.unsaponifiable_fraction();
        r.inputs("unsaponifiable", fraction, "", || {
            let matter = self.unsaponifiable.iter();
            let input = matter.map(|matter| Input {
                name: format!("Unsaponifiable matter of {}", self.name),
                value: format!("{} g/kg", short(1000.0 * fraction, 2)),
                source: matter.source.clone(),
                trust: Some(matter.trust),
            });
            input.collect()
        })
    }

    /// Saponification value calculated from the profile, mg KOH/g, with `unsaponifiable` as a
    /// fraction of the fat.
    ///
    /// Triglyceride: 3·56105/(3M + 38.049)·(1 − u) (AOCS Cd 3a-94); free acid: 56105/M; wax
    /// ester: 56105/M(ester), whose alcohol half is what analysts weigh as unsaponifiable.
    /// `None` without a profile.
    pub fn calculated_sv_at<R: Reading>(&self, r: R, acids: &Acids, unsaponifiable: R::N) -> Option<R::N> {
        let mean = self.mean_acid_molar_mass(acids)?;
        let mean = || {
            r.input("M", mean, "", || {
                self.about_profile("Mean molar mass M of the acids", format!("{} g/mol", short(mean, 3)))
            })
        };
        let of_ester = |molar_mass: f64| {
            r.input("M", molar_mass, "", || {
                let name = format!("Molar mass M of the esters of {}", self.name);
                Input::worked_out(&name, format!("{} g/mol", short(molar_mass, 2)), "the fat’s record")
            })
        };
        match self.kind {
            FatKind::Triglyceride => Some(triglyceride_sv(r, mean()) * (R::N::from(1.0) - unsaponifiable)),
            FatKind::FreeAcid => Some(r.constant(MG_KOH_PER_MOL) / mean()),
            FatKind::WaxEster { molar_mass } => Some(r.constant(MG_KOH_PER_MOL) / of_ester(molar_mass)),
            FatKind::Wax => None,
        }
    }

    /// Iodine value calculated from the profile, g iodine per 100 g, with `unsaponifiable` as a
    /// fraction of the fat (AOCS Cd 1c-85 with exact molar masses). A wax ester holds one
    /// double bond in each half: 2·253.81/M(ester)·100. `None` without a profile.
    pub fn calculated_iv_at<R: Reading>(&self, r: R, acids: &Acids, unsaponifiable: R::N) -> Option<R::N> {
        if self.profile.is_empty() {
            return None;
        }
        let of_acids = |iv: fn(&Acid) -> f64| {
            let sum: f64 = self.profile.iter().map(|e| e.fraction() * iv(acids.get(e.acid))).sum();
            r.input("IV of its acids", sum, "", || {
                let value = format!("{} g/100 g, Σ acid × 126.904 × 2 × double bonds ÷ molar mass", short(sum, 3));
                self.about_profile("Iodine value of the acids", value)
            })
        };
        match self.kind {
            FatKind::Triglyceride => Some(of_acids(Acid::triglyceride_iv) * (R::N::from(1.0) - unsaponifiable)),
            FatKind::FreeAcid => Some(of_acids(Acid::free_iv)),
            FatKind::WaxEster { molar_mass } => {
                let value = 400.0 * molar_mass::I / molar_mass;
                Some(r.input("IV of the esters", value, "", || {
                    let name = format!("Iodine value of the esters of {}", self.name);
                    Input::worked_out(&name, format!("{} g/100 g", short(value, 3)), "a double bond in each half")
                }))
            }
            FatKind::Wax => None,
        }
    }

    /// [`Self::calculated_sv_at`] at the middle of the published unsaponifiable matter.
    pub fn calculated_sv(&self, acids: &Acids) -> Option<f64> {
        self.calculated_sv_at(Plain, acids, self.unsaponifiable_fraction())
    }

    /// [`Self::calculated_iv_at`] at the middle of the published unsaponifiable matter.
    pub fn calculated_iv(&self, acids: &Acids) -> Option<f64> {
        self.calculated_iv_at(Plain, acids, self.unsaponifiable_fraction())
    }

    /// Whether `sv` lies within 8 % of what the profile calculates to; true where there is
    /// nothing to compare with. A misprinted handbook value would fail here before it burns.
    pub fn accepts_sv(&self, sv: f64, acids: &Acids) -> bool {
        self.calculated_sv(acids).is_none_or(|calculated| (sv / calculated - 1.0).abs() <= SV_TOLERANCE)
    }
}

/// How far a typed saponification value may lie from the calculated one before it is doubted
/// (our judgement: wider than every published range, narrower than the known misprints).
pub const SV_TOLERANCE: f64 = 0.08;
