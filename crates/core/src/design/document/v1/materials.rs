//! The records of materials as the file has them.

use super::bounded;
use super::lines::{Stage, into_fats};
use crate::library::Library;
use crate::library::additions::{self, AddedAcid, Addition, Colourant, Contents, UncountedAcid};
use crate::library::fats::{self, Fat, FatFigures, Inci, ProfileEntry, RelativeDensity};
use crate::library::handling::Handling;
use crate::library::material::{MaterialId, Sourced};
use crate::library::scents::{self, Behaviour, Cas, ListedAllergen, MOST_CONSTITUENTS, Scent, Supplied};
use crate::library::shade::Shade;
use crate::trust::Trust;
use crate::units::{
    AcidMolarMass, AmountPerKg, Bounded, Celsius, DensityRatio, EsterMolarMass, Interval, IodineValue, NoInterval,
    SaponificationValue, Share, SolidsDensity, UnsaponifiableMatter,
};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

#[derive(Serialize, Deserialize)]
pub(super) enum Material {
    Fat(Box<FatRecord>),
    Addition(Box<AdditionRecord>),
    Scent(Box<ScentRecord>),
}

impl Material {
    /// The id of its record.
    pub(super) const fn id(&self) -> &MaterialId {
        match self {
            Self::Fat(record) => &record.id,
            Self::Addition(record) => &record.id,
            Self::Scent(record) => &record.id,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FatRecord {
    pub(super) id: MaterialId,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    pub(super) name: String,
    pub(super) kind: Kind,
    pub(super) sv: Figure<SaponificationValue>,
    /// What the lye rests on; records from before this was kept do not say it.
    #[serde(default)]
    pub(super) sv_used_min: Option<SaponificationValue>,
    #[serde(default)]
    pub(super) sv_used_max: Option<SaponificationValue>,
    #[serde(default)]
    pub(super) iv: Option<Figure<IodineValue>>,
    #[serde(default)]
    pub(super) unsaponifiable_g_per_kg: Option<Figure<UnsaponifiableMatter>>,
    #[serde(default)]
    pub(super) relative_density: Option<Density>,
    #[serde(deserialize_with = "bounded::list::<{bounded::ITEMS}, _, _>", default)]
    pub(super) profile: Vec<Entry>,
    #[serde(deserialize_with = "bounded::inci", default)]
    pub(super) inci: Inci,
}

/// What the lye rests on of fats whose record does not say it, or that have none in the file.
#[derive(Serialize, Deserialize, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Basis {
    /// The middle of what is published, as in all files from before there was a choice.
    #[default]
    Published,
    /// What is published and possible.
    Possible,
}

impl Basis {
    /// The range to put in place of that which `fat` rests on when it is made.
    fn of(self, fat: &Fat) -> Option<Interval> {
        match self {
            Self::Published => Some(fat.sv.value),
            Self::Possible => None,
        }
    }

    /// The library's `fat` on this basis.
    pub(super) fn known(self, fat: &Arc<Fat>) -> Arc<Fat> {
        match self.of(fat).filter(|lye| *lye != fat.lye()) {
            Some(lye) => Arc::new(fat.resting_on(lye)),
            None => Arc::clone(fat),
        }
    }

    /// The library's `addition` on this basis.
    pub(super) fn known_addition(self, addition: &Arc<Addition>) -> Arc<Addition> {
        addition.counting_as_fat(self == Self::Possible)
    }
}

#[derive(Serialize, Deserialize, Clone, Copy)]
pub(super) enum Kind {
    Triglyceride,
    FreeAcid,
    WaxEster(EsterMolarMass),
    Wax,
}

impl From<fats::FatKind> for Kind {
    fn from(kind: fats::FatKind) -> Self {
        match kind {
            fats::FatKind::Triglyceride => Self::Triglyceride,
            fats::FatKind::FreeAcid => Self::FreeAcid,
            fats::FatKind::WaxEster { molar_mass } => Self::WaxEster(EsterMolarMass::nearest(molar_mass)),
            fats::FatKind::Wax => Self::Wax,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Figure<T> {
    min: T,
    max: T,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>")]
    source: String,
    trust: Trust,
}

impl<T: Bounded> Figure<T> {
    fn of(figure: &Sourced<Interval>) -> Self {
        let Sourced { value, source, trust } = figure;
        Self { min: T::nearest(value.min()), max: T::nearest(value.max()), source: source.clone(), trust: *trust }
    }

    fn sourced(self) -> Result<Sourced<Interval>, NoInterval> {
        let value = Interval::new(self.min.get(), self.max.get())?;
        Ok(Sourced { value, source: self.source, trust: self.trust })
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Density {
    min: DensityRatio,
    max: DensityRatio,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>")]
    basis: String,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>")]
    source: String,
    trust: Trust,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Entry {
    #[serde(deserialize_with = "bounded::line::<{bounded::KEY}, _>")]
    pub(super) acid: String,
    pub(super) min: Share,
    pub(super) typical: Share,
    pub(super) max: Share,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>")]
    pub(super) source: String,
    pub(super) trust: Trust,
}

impl FatRecord {
    pub(super) fn of(fat: &Fat, library: &Library) -> Self {
        Self {
            id: fat.id.clone(),
            name: fat.name.clone(),
            kind: fat.kind.into(),
            sv: Figure::of(&fat.sv),
            sv_used_min: Some(SaponificationValue::nearest(fat.lye().min())),
            sv_used_max: Some(SaponificationValue::nearest(fat.lye().max())),
            iv: fat.iv.as_ref().map(Figure::of),
            unsaponifiable_g_per_kg: fat.unsaponifiable.as_ref().map(Figure::of),
            relative_density: fat.relative_density.as_ref().map(|d| Density {
                min: DensityRatio::nearest(d.value.range().min()),
                max: DensityRatio::nearest(d.value.range().max()),
                basis: d.value.basis().to_owned(),
                source: d.source.clone(),
                trust: d.trust,
            }),
            profile: fat
                .profile()
                .iter()
                .map(|e| Entry {
                    acid: library.acids.get(e.acid).key.clone(),
                    min: Share::nearest(e.range.min()),
                    typical: Share::nearest(e.typical),
                    max: Share::nearest(e.range.max()),
                    source: e.source.clone(),
                    trust: e.trust,
                })
                .collect(),
            inci: fat.inci.clone(),
        }
    }

    /// The fat, with a lye that rests on what is said, or else on `basis`.
    pub(super) fn fat(self, basis: Basis, library: &Library) -> Result<Fat, String> {
        let said = match (self.sv_used_min, self.sv_used_max) {
            (Some(min), Some(max)) => Some(Interval::new(min.get(), max.get()).map_err(|e| e.to_string())?),
            (None, None) => None,
            _ => return Err("sv_used_min and sv_used_max go together".into()),
        };
        let kind = match self.kind {
            Kind::Triglyceride => fats::FatKind::Triglyceride,
            Kind::FreeAcid => fats::FatKind::FreeAcid,
            Kind::WaxEster(molar_mass) => fats::FatKind::WaxEster { molar_mass: molar_mass.get() },
            Kind::Wax => fats::FatKind::Wax,
        };
        let no_range = |e: NoInterval| e.to_string();
        let relative_density = self.relative_density.map(|d| {
            let Density { min, max, basis, source, trust } = d;
            let Sourced { value: range, source, trust } = Figure { min, max, source, trust }.sourced()?;
            Ok(Sourced { value: RelativeDensity::new(range, basis), source, trust })
        });
        let figures = FatFigures {
            id: self.id,
            name: self.name,
            kind,
            sv: self.sv.sourced().map_err(no_range)?,
            iv: self.iv.map(Figure::sourced).transpose().map_err(no_range)?,
            unsaponifiable: self.unsaponifiable_g_per_kg.map(Figure::sourced).transpose().map_err(no_range)?,
            relative_density: relative_density.transpose().map_err(no_range)?,
            inci: self.inci,
        };
        let entry = |e: Entry| {
            let acid = library.acids.find(&e.acid).ok_or_else(|| format!("“{}” is no known fatty acid", e.acid))?;
            let range = Interval::new(e.min.get(), e.max.get()).map_err(|e| e.to_string())?;
            Ok::<_, String>(ProfileEntry { acid, range, typical: e.typical.get(), source: e.source, trust: e.trust })
        };
        let profile = self.profile.into_iter().map(entry).collect::<Result<_, _>>()?;
        let fat = Fat::new(figures, profile, &library.acids).map_err(|e| e.to_string())?;
        let resting = |lye| if fat.lye() == lye { None } else { Some(fat.resting_on(lye)) };
        let other = said.or_else(|| basis.of(&fat)).and_then(resting);
        Ok(other.unwrap_or(fat))
    }
}

#[derive(Serialize, Deserialize, Clone, Copy)]
enum AdditionKind {
    Puree,
    Milk,
    Liquid,
    Sugar,
    Acid,
    Salt,
    Filler,
}

impl From<additions::AdditionKind> for AdditionKind {
    fn from(kind: additions::AdditionKind) -> Self {
        match kind {
            additions::AdditionKind::Puree => Self::Puree,
            additions::AdditionKind::Milk => Self::Milk,
            additions::AdditionKind::Liquid => Self::Liquid,
            additions::AdditionKind::Sugar => Self::Sugar,
            additions::AdditionKind::Acid => Self::Acid,
            additions::AdditionKind::Salt => Self::Salt,
            additions::AdditionKind::Filler => Self::Filler,
        }
    }
}

impl From<AdditionKind> for additions::AdditionKind {
    fn from(kind: AdditionKind) -> Self {
        match kind {
            AdditionKind::Puree => Self::Puree,
            AdditionKind::Milk => Self::Milk,
            AdditionKind::Liquid => Self::Liquid,
            AdditionKind::Sugar => Self::Sugar,
            AdditionKind::Acid => Self::Acid,
            AdditionKind::Salt => Self::Salt,
            AdditionKind::Filler => Self::Filler,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AdditionRecord {
    pub(super) id: MaterialId,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    kind: AdditionKind,
    water: Share,
    #[serde(default = "none")]
    fat: Share,
    #[serde(default)]
    sugars: Option<Share>,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    source: String,
    #[serde(default = "from_memory")]
    trust: Trust,
    #[serde(default)]
    acid: Option<Acid>,
    #[serde(default)]
    uncounted_acid: Option<Uncounted>,
    #[serde(default = "none")]
    alcohol: Share,
    #[serde(default = "into_fats")]
    usual_stage: Stage,
    #[serde(default = "usual_solids")]
    solids_g_per_ml: SolidsDensity,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>", default)]
    inci: String,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    inci_status: String,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    advice: String,
    /// The least and the most that are usual, and the most, g per kg of fats, where they are the maker's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    usual: Option<(AmountPerKg, AmountPerKg)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    most: Option<AmountPerKg>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    colourant: Option<additions::ColourantClass>,
    #[serde(
        deserialize_with = "bounded::some_line::<{bounded::KEY}, _>",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    colour: Option<String>,
}

fn none() -> Share {
    Share::nearest(0.0)
}

fn from_memory() -> Trust {
    Trust::FromMemory
}

fn usual_solids() -> SolidsDensity {
    additions::USUAL_SOLIDS
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Acid {
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    content: Share,
    molar_mass: AcidMolarMass,
    protons: u8,
    /// Records from before this was kept do not say it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    counts_as_fat: bool,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    source: String,
    #[serde(default = "from_memory")]
    trust: Trust,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Uncounted {
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    most: Share,
    naoh_g_per_g: f64,
}

impl AdditionRecord {
    pub(super) fn of(addition: &Addition) -> Self {
        let Contents { water, fat, sugars } = addition.contents.value;
        let own = Some(addition.handling()).filter(|h| h.trust == Trust::Maker);
        Self {
            usual: own.map(|h| (AmountPerKg::nearest(h.usual.min()), AmountPerKg::nearest(h.usual.max()))),
            most: own.map(|h| h.most),
            colourant: addition.colourant.map(|c| c.class),
            colour: addition.colourant.and_then(|c| c.shade).map(|shade| shade.to_string()),
            id: addition.id.clone(),
            name: addition.name.clone(),
            kind: addition.kind.into(),
            water,
            fat,
            sugars,
            source: addition.contents.source.clone(),
            trust: addition.contents.trust,
            acid: addition.acid.as_ref().map(|a| Acid {
                name: a.value.name.clone(),
                content: a.value.content,
                molar_mass: a.value.molar_mass,
                protons: a.value.protons,
                counts_as_fat: a.value.counts_as_fat,
                source: a.source.clone(),
                trust: a.trust,
            }),
            uncounted_acid: addition.uncounted_acid.as_ref().map(|a| Uncounted {
                name: a.name.clone(),
                most: a.most,
                naoh_g_per_g: a.naoh_per_gram,
            }),
            alcohol: addition.alcohol,
            usual_stage: addition.usual_stage.into(),
            solids_g_per_ml: addition.solids_density,
            inci: addition.inci.clone(),
            inci_status: addition.inci_status.clone(),
            advice: addition.advice.clone(),
        }
    }

    /// How it is handled, if that is not the maker's own, is not in the file: as the library has it, or as others of
    /// its kind are.
    pub(super) fn addition(self, basis: Basis, library: &Library) -> Result<Addition, String> {
        let kind = self.kind.into();
        let known = library.addition(self.id.as_str()).filter(|a| a.kind == kind);
        let mut handling = known.map_or_else(|| Handling::of_kind(kind), |a| a.handling.clone());
        if let (Some((least, usual)), Some(most)) = (self.usual, self.most) {
            handling = handling.as_maker(least, usual, most).map_err(|e| e.to_string())?;
        } else if self.usual.is_some() || self.most.is_some() {
            return Err("usual and most go together".into());
        }
        let shade = self.colour.as_deref().map(Shade::read).transpose().map_err(|e| e.to_string())?;
        if shade.is_some() && self.colourant.is_none() {
            return Err("a colour without the class of the colourant".into());
        }
        let colourant = self.colourant.map(|class| Colourant { class, shade });
        let contents = Contents { water: self.water, fat: self.fat, sugars: self.sugars };
        let acid = self.acid.map(|a| {
            let Acid { name, content, molar_mass, protons, counts_as_fat, source, trust } = a;
            let acid = AddedAcid::new(name, content, molar_mass, protons);
            let counts_as_fat = acid.counts_as_fat && (counts_as_fat || basis == Basis::Possible);
            Sourced { value: AddedAcid { counts_as_fat, ..acid }, source, trust }
        });
        let uncounted_acid = self.uncounted_acid.map(|a| {
            let Uncounted { name, most, naoh_g_per_g: naoh_per_gram } = a;
            UncountedAcid { name, most, naoh_per_gram }
        });
        let addition = Addition {
            id: self.id,
            name: self.name,
            kind,
            handling,
            colourant,
            contents: Sourced { value: contents, source: self.source, trust: self.trust },
            acid,
            uncounted_acid,
            alcohol: self.alcohol,
            usual_stage: self.usual_stage.into(),
            solids_density: self.solids_g_per_ml,
            inci: self.inci,
            inci_status: self.inci_status,
            advice: self.advice,
        };
        addition.checked().map_err(|e| e.to_string())
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ScentRecord {
    pub(super) id: MaterialId,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    #[serde(deserialize_with = "bounded::cas", default)]
    cas: Cas,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>", default)]
    inci: String,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    inci_status: String,
    #[serde(deserialize_with = "bounded::list::<{MOST_CONSTITUENTS}, _, _>", default)]
    constituents: Vec<Constituent>,
    /// Percent of the finished bar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    limit_pct: Option<Share>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    vanillin_pct: Option<Share>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    flash_point_c: Option<Celsius>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    behaviour: Option<Behaviour>,
    #[serde(
        deserialize_with = "bounded::list::<{MOST_CONSTITUENTS}, _, _>",
        default,
        skip_serializing_if = "Vec::is_empty"
    )]
    allergens: Vec<Listed>,
    /// The supplier says that there are none.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    lists_no_allergens: bool,
}

/// An allergen that the supplier lists.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Listed {
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    most: Share,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Constituent {
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>")]
    name: String,
    #[serde(deserialize_with = "bounded::cas")]
    cas: Cas,
    most: Share,
    #[serde(default)]
    whole: bool,
    #[serde(deserialize_with = "bounded::line::<{bounded::WORDS}, _>", default)]
    source: String,
    #[serde(default = "from_memory")]
    trust: Trust,
}

impl ScentRecord {
    pub(super) fn of(scent: &Scent) -> Self {
        let constituent = |c: &scents::Constituent| {
            let scents::Constituent { name, cas, most, whole, source, trust } = c.clone();
            Constituent { name, cas, most, whole, source, trust }
        };
        let listed = |a: &ListedAllergen| Listed { name: a.name.clone(), most: a.most };
        Self {
            id: scent.id.clone(),
            name: scent.name.clone(),
            cas: scent.cas.clone(),
            inci: scent.inci.clone(),
            inci_status: scent.inci_status.clone(),
            constituents: scent.constituents.iter().map(constituent).collect(),
            limit_pct: scent.supplied.limit,
            vanillin_pct: scent.supplied.vanillin,
            flash_point_c: scent.supplied.flash,
            behaviour: scent.supplied.behaviour,
            allergens: scent.supplied.allergens.iter().map(listed).collect(),
            lists_no_allergens: scent.supplied.lists_none,
        }
    }

    /// How it is handled is not in the file but for what its supplier says: as the library has it, or as most are.
    pub(super) fn scent(self, library: &Library) -> Result<Scent, String> {
        let handling = library.scent(self.id.as_str()).map_or_else(Handling::of_scent, |s| s.handling.clone());
        if self.constituents.len().max(self.allergens.len()) > MOST_CONSTITUENTS {
            return Err(format!("a scent has at most {MOST_CONSTITUENTS} constituents"));
        }
        let constituent = |c: Constituent| {
            let Constituent { name, cas, most, whole, source, trust } = c;
            scents::Constituent { name, cas, most, whole, source, trust }
        };
        let listed = |Listed { name, most }: Listed| ListedAllergen { name, most };
        let supplied = Supplied {
            limit: self.limit_pct,
            vanillin: self.vanillin_pct,
            flash: self.flash_point_c,
            behaviour: self.behaviour,
            allergens: self.allergens.into_iter().map(listed).collect(),
            lists_none: self.lists_no_allergens,
        };
        let Self { id, name, cas, inci, inci_status, constituents, .. } = self;
        let constituents = constituents.into_iter().map(constituent).collect();
        let plain = Supplied::default();
        let scent =
            Scent { id, name, cas, inci, inci_status, constituents, handling: handling.clone(), supplied: plain };
        Ok(scent.with_supplied(supplied, handling))
    }
}
