//! Version 1 of the design file, field by field; the model may change without changing this.

use super::{DocumentError, VERSION, at, place};
use crate::blend::{Blend, BlendError, FatLine, MOST_FATS, SupplierFigure};
use crate::design::{self, Alkali, DEFAULT_STYLE, Design};
use crate::fats::{self, Fat, FatFigures, FatId, Inci, ProfileEntry, RelativeDensity, Sourced, Trust};
use crate::library::Library;
use crate::units::{
    Bars, BatterDensity, Bounded, Celsius, Days, DensityRatio, EsterMolarMass, FatMass, Hours, Interval, IodineValue,
    LyeConcentration, Minutes, Money, NoInterval, PackMass, Purity, PurityMargin, SaponificationValue, ScaleDivision,
    Share, Superfat, SvMargin, UnsaponifiableMatter, WaterPercent, WaterRatio,
};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The most material records a file may hold, used and spare.
const MOST_MATERIALS: usize = 4 * MOST_FATS;

#[derive(Serialize, Deserialize)]
#[serde(rename = "design", deny_unknown_fields)]
struct File {
    barwright: u32,
    #[serde(default)]
    name: String,
    #[serde(default)]
    notes: String,
    #[serde(default = "default_style")]
    style: String,
    fats: Vec<Line>,
    #[serde(default = "default_superfat")]
    superfat: Superfat,
    #[serde(default)]
    alkali: AlkaliChoice,
    #[serde(default = "default_division")]
    scale_division_g: ScaleDivision,
    #[serde(default)]
    water: Water,
    #[serde(default)]
    size: Size,
    #[serde(default = "default_bars")]
    bars: Bars,
    #[serde(default)]
    additions: Vec<NoAddition>,
    #[serde(default)]
    scents: Vec<NoScent>,
    #[serde(default)]
    process: Process,
    #[serde(default)]
    prices: Vec<Price>,
    #[serde(default = "default_currency")]
    currency: String,
    #[serde(default)]
    allergen_list: AllergenList,
    #[serde(default)]
    calibration: Calibration,
    #[serde(default)]
    batches: Vec<NoBatch>,
    #[serde(default)]
    materials: Vec<Material>,
}

fn default_style() -> String {
    DEFAULT_STYLE.into()
}

fn default_superfat() -> Superfat {
    Design::default().superfat
}

fn default_division() -> ScaleDivision {
    Design::default().scale_division
}

fn default_bars() -> Bars {
    Design::default().bars
}

fn default_currency() -> String {
    Design::default().currency
}

/// Things the format has a place for and this program cannot compute yet: to ignore them would
/// give a wrong sheet, so a file that uses them is refused where they stand.
macro_rules! not_yet {
    ($($name:ident: $message:literal),+) => {$(
        #[derive(Serialize)]
        enum $name {}

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(_: D) -> Result<Self, D::Error> {
                Err(D::Error::custom($message))
            }
        }
    )+};
}

not_yet! {
    NoAddition: "this program does not work out additions yet, so the water and the lye would be wrong",
    NoScent: "this program does not work out scents yet",
    NoBatch: "this program does not keep batches yet",
    NoMould: "this program does not fit a batch to a mould or a volume yet; give the mass of fats: FatMass(750.0)"
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    fat: FatId,
    share: Share,
    #[serde(default)]
    locked: bool,
    #[serde(default)]
    supplier: Option<Supplier>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Supplier {
    sv: SaponificationValue,
    #[serde(default = "exactly")]
    pm: SvMargin,
}

fn exactly() -> SvMargin {
    SvMargin::nearest(0.0)
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct AlkaliChoice {
    koh_share: Share,
    naoh_purity: Purity,
    koh_purity: Purity,
    naoh_purity_pm: PurityMargin,
    koh_purity_pm: PurityMargin,
}

impl Default for AlkaliChoice {
    fn default() -> Self {
        Alkali::default().into()
    }
}

impl From<Alkali> for AlkaliChoice {
    fn from(a: Alkali) -> Self {
        let Alkali { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm } = a;
        Self { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm }
    }
}

impl From<AlkaliChoice> for Alkali {
    fn from(a: AlkaliChoice) -> Self {
        let AlkaliChoice { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm } = a;
        Self { koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm }
    }
}

#[derive(Serialize, Deserialize)]
#[expect(clippy::enum_variant_names, reason = "the names are those of the file format")]
enum Water {
    LyeConcentration(LyeConcentration),
    WaterToAlkali(WaterRatio),
    PercentOfFats(WaterPercent),
}

impl Default for Water {
    fn default() -> Self {
        design::WaterRule::default().into()
    }
}

impl From<design::WaterRule> for Water {
    fn from(rule: design::WaterRule) -> Self {
        match rule {
            design::WaterRule::LyeConcentration(c) => Self::LyeConcentration(c),
            design::WaterRule::WaterToAlkali(r) => Self::WaterToAlkali(r),
            design::WaterRule::PercentOfFats(p) => Self::PercentOfFats(p),
        }
    }
}

impl From<Water> for design::WaterRule {
    fn from(water: Water) -> Self {
        match water {
            Water::LyeConcentration(c) => Self::LyeConcentration(c),
            Water::WaterToAlkali(r) => Self::WaterToAlkali(r),
            Water::PercentOfFats(p) => Self::PercentOfFats(p),
        }
    }
}

#[derive(Serialize, Deserialize)]
enum Size {
    FatMass(FatMass),
    Mould(NoMould),
    Volume(NoMould),
}

impl Default for Size {
    fn default() -> Self {
        Self::FatMass(Design::default().fat_mass)
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Process {
    room_c: Celsius,
    mix_c: Celsius,
    oven_gel: Option<OvenGel>,
    cut_hours: Hours,
    cure_days: Days,
    made_on: Option<String>,
}

impl Default for Process {
    fn default() -> Self {
        design::Process::default().into()
    }
}

impl From<design::Process> for Process {
    fn from(p: design::Process) -> Self {
        let design::Process { room_c, mix_c, oven_gel, cut_hours, cure_days, made_on } = p;
        let oven_gel = oven_gel.map(|o| OvenGel { oven_c: o.oven_c, minutes: o.minutes });
        Self { room_c, mix_c, oven_gel, cut_hours, cure_days, made_on }
    }
}

impl From<Process> for design::Process {
    fn from(p: Process) -> Self {
        let Process { room_c, mix_c, oven_gel, cut_hours, cure_days, made_on } = p;
        let oven_gel = oven_gel.map(|o| design::OvenGel { oven_c: o.oven_c, minutes: o.minutes });
        Self { room_c, mix_c, oven_gel, cut_hours, cure_days, made_on }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OvenGel {
    oven_c: Celsius,
    minutes: Minutes,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "the names are those of the file format")]
struct Price {
    material: String,
    pack_g: PackMass,
    price: Money,
}

#[derive(Serialize, Deserialize, Default)]
enum AllergenList {
    #[default]
    Extended,
    FirstTwentyFour,
    Off,
}

#[derive(Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields, default)]
struct Calibration {
    batter_g_per_ml: Option<BatterDensity>,
    jug_cooling_min: Option<Minutes>,
}

#[derive(Serialize, Deserialize)]
enum Material {
    Fat(Box<FatRecord>),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FatRecord {
    id: FatId,
    name: String,
    kind: Kind,
    sv: Figure<SaponificationValue>,
    #[serde(default)]
    iv: Option<Figure<IodineValue>>,
    #[serde(default)]
    unsaponifiable_g_per_kg: Option<Figure<UnsaponifiableMatter>>,
    #[serde(default)]
    relative_density: Option<Density>,
    #[serde(default)]
    profile: Vec<Entry>,
    #[serde(default)]
    inci: Inci,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
enum Kind {
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
struct Figure<T> {
    min: T,
    max: T,
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
struct Density {
    min: DensityRatio,
    max: DensityRatio,
    basis: String,
    source: String,
    trust: Trust,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    acid: String,
    min: Share,
    typical: Share,
    max: Share,
    source: String,
    trust: Trust,
}

impl FatRecord {
    fn of(fat: &Fat, library: &Library) -> Self {
        Self {
            id: fat.id.clone(),
            name: fat.name.clone(),
            kind: fat.kind.into(),
            sv: Figure::of(&fat.sv),
            iv: fat.iv.as_ref().map(Figure::of),
            unsaponifiable_g_per_kg: fat.unsaponifiable.as_ref().map(Figure::of),
            relative_density: fat.relative_density.as_ref().map(|d| Density {
                min: DensityRatio::nearest(d.value.range.min()),
                max: DensityRatio::nearest(d.value.range.max()),
                basis: d.value.basis.clone(),
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

    fn fat(self, library: &Library) -> Result<Fat, String> {
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
            Ok(Sourced { value: RelativeDensity { range, basis }, source, trust })
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
        Fat::new(figures, profile).map_err(|e| e.to_string())
    }
}

pub(super) fn read(text: &str, library: &Library) -> Result<Design, DocumentError> {
    let file: File = ron::from_str(text).map_err(|e| at(text, &e))?;
    if let Some(line) = file.fats.get(MOST_FATS) {
        return Err(place::of_field(text, "fat", line.fat.as_str(), 0, BlendError::TooMany.to_string()));
    }
    if file.materials.len() > MOST_MATERIALS {
        let message = format!("a design holds at most {MOST_MATERIALS} materials");
        return Err(place::of_name(text, "materials", message));
    }
    let mut records: BTreeMap<FatId, Arc<Fat>> = BTreeMap::new();
    for Material::Fat(record) in file.materials {
        let id = record.id.clone();
        if records.contains_key(&id) {
            return Err(place::of_field(text, "id", id.as_str(), 1, format!("the record of {id} stands twice")));
        }
        if let Some(entry) = record.profile.iter().find(|e| library.acids.find(&e.acid).is_none()) {
            let message = format!("“{}” is no known fatty acid", entry.acid);
            return Err(place::of_field(text, "acid", &entry.acid, 0, message));
        }
        let fat = record
            .fat(library)
            .map_err(|m| place::of_field(text, "id", id.as_str(), 0, format!("the record of {id}: {m}")))?;
        // An unchanged record is shared with the library, so that comparing them is quick.
        let fat = match library.fat(id.as_str()) {
            Some(known) if **known == fat => Arc::clone(known),
            _ => Arc::new(fat),
        };
        records.insert(id, fat);
    }
    let mut lines: Vec<FatLine> = Vec::with_capacity(file.fats.len());
    for Line { fat: id, share, locked, supplier } in file.fats {
        if lines.iter().any(|l| l.fat.id == id) {
            return Err(place::of_field(text, "fat", id.as_str(), 1, format!("{id} stands twice in the blend")));
        }
        let fat = records.remove(&id).or_else(|| library.fat(id.as_str()).map(Arc::clone)).ok_or_else(|| {
            let message = format!(
                "“{id}” is neither in the library nor among the file’s materials; `barwright fats` lists the library"
            );
            place::of_field(text, "fat", id.as_str(), 0, message)
        })?;
        let supplier = supplier.map(|s| SupplierFigure { sv: s.sv, pm: s.pm });
        lines.push(FatLine { fat, share, locked, supplier });
    }
    let blend = Blend::new(lines).map_err(|e| place::of_name(text, "fats", e.to_string()))?;
    // The other sizes hold a placeholder that cannot be built.
    let Size::FatMass(fat_mass) = file.size;
    Ok(Design {
        name: file.name,
        notes: file.notes,
        style: file.style,
        blend,
        spare_fats: records.into_values().collect(),
        superfat: file.superfat,
        alkali: file.alkali.into(),
        scale_division: file.scale_division_g,
        water: file.water.into(),
        fat_mass,
        bars: file.bars,
        process: file.process.into(),
        prices: file
            .prices
            .into_iter()
            .map(|p| design::Price { material: p.material, pack_g: p.pack_g, price: p.price })
            .collect(),
        currency: file.currency,
        allergen_list: match file.allergen_list {
            AllergenList::Extended => design::AllergenList::Extended,
            AllergenList::FirstTwentyFour => design::AllergenList::FirstTwentyFour,
            AllergenList::Off => design::AllergenList::Off,
        },
        calibration: design::Calibration {
            batter_g_per_ml: file.calibration.batter_g_per_ml,
            jug_cooling_min: file.calibration.jug_cooling_min,
        },
    })
}

pub(super) fn write(design: &Design, library: &Library) -> Result<String, ron::Error> {
    let lines = design.blend.lines();
    let file = File {
        barwright: VERSION,
        name: design.name.clone(),
        notes: design.notes.clone(),
        style: design.style.clone(),
        fats: lines
            .iter()
            .map(|l| Line {
                fat: l.fat.id.clone(),
                share: l.share,
                locked: l.locked,
                supplier: l.supplier.map(|s| Supplier { sv: s.sv, pm: s.pm }),
            })
            .collect(),
        superfat: design.superfat,
        alkali: design.alkali.into(),
        scale_division_g: design.scale_division,
        water: design.water.into(),
        size: Size::FatMass(design.fat_mass),
        bars: design.bars,
        additions: Vec::new(),
        scents: Vec::new(),
        process: design.process.clone().into(),
        prices: design
            .prices
            .iter()
            .map(|p| Price { material: p.material.clone(), pack_g: p.pack_g, price: p.price })
            .collect(),
        currency: design.currency.clone(),
        allergen_list: match design.allergen_list {
            design::AllergenList::Extended => AllergenList::Extended,
            design::AllergenList::FirstTwentyFour => AllergenList::FirstTwentyFour,
            design::AllergenList::Off => AllergenList::Off,
        },
        calibration: Calibration {
            batter_g_per_ml: design.calibration.batter_g_per_ml,
            jug_cooling_min: design.calibration.jug_cooling_min,
        },
        batches: Vec::new(),
        materials: lines
            .iter()
            .map(|l| &l.fat)
            .chain(&design.spare_fats)
            .map(|f| Material::Fat(Box::new(FatRecord::of(f, library))))
            .collect(),
    };
    let layout = ron::ser::PrettyConfig::new().depth_limit(4).indentor("    ").struct_names(false);
    let mut text = ron::ser::to_string_pretty(&file, layout)?;
    text.push('\n');
    Ok(text)
}
