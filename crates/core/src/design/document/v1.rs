//! Version 1 of the design file, field by field; the model may change without changing this.

mod bounded;
mod lines;
mod made;
mod materials;
mod settings;
mod shelf;

pub(super) use shelf::{read as read_shelf, write as write_shelf};

use super::{Document, DocumentError, VERSION, at, place};
use crate::design::blend::{Blend, BlendError, FatLine, MOST_FATS};
use crate::design::edit::EditError;
use crate::design::log::Log;
use crate::design::supplier::{Certificate, SuppliedAcids, SupplierFigure};
use crate::design::{DEFAULT_STYLE, Design, MOST_RECORDS, Spare};
use crate::library::Library;
use crate::library::acids::AcidId;
use crate::library::additions::{self, Addition, MOST_LINES};
use crate::library::fats::Fat;
use crate::library::finding::{Findable, Names};
use crate::library::material::MaterialId;
use crate::library::scents::{self, Scent};
use crate::units::{AcceptedChance, Bars, ScaleDivision, Share, Superfat};
use materials::{AdditionRecord, Basis, FatRecord, Material, ScentRecord};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

#[derive(Serialize, Deserialize)]
#[serde(rename = "design", deny_unknown_fields)]
struct File {
    barwright: u32,
    #[serde(deserialize_with = "bounded::line::<{bounded::NAME}, _>", default)]
    name: String,
    #[serde(deserialize_with = "bounded::text::<{bounded::NOTES}, _>", default)]
    notes: String,
    #[serde(deserialize_with = "bounded::line::<{bounded::KEY}, _>", default = "default_style")]
    style: String,
    fats: Vec<lines::FatLine>,
    /// Written by hand only: the program writes it of each fat.
    #[serde(default, skip_serializing)]
    lye_rests_on: Basis,
    #[serde(default = "default_superfat")]
    superfat: Superfat,
    /// Percent.
    #[serde(default = "default_chance")]
    accepted_chance: AcceptedChance,
    #[serde(default)]
    alkali: settings::AlkaliChoice,
    #[serde(default = "default_division")]
    scale_division_g: ScaleDivision,
    #[serde(default)]
    water: settings::Water,
    #[serde(default)]
    size: lines::Size,
    #[serde(default = "default_bars")]
    bars: Bars,
    #[serde(default)]
    additions: Vec<lines::AdditionLine>,
    #[serde(default)]
    scents: Vec<lines::ScentLine>,
    #[serde(default)]
    process: settings::Process,
    #[serde(deserialize_with = "bounded::list::<{bounded::ITEMS}, _, _>", default)]
    prices: Vec<settings::Price>,
    #[serde(deserialize_with = "bounded::line::<{bounded::KEY}, _>", default = "default_currency")]
    currency: String,
    #[serde(default)]
    allergen_list: settings::AllergenList,
    #[serde(default)]
    calibration: settings::Calibration,
    #[serde(default)]
    batches: Vec<made::Batch>,
    #[serde(default)]
    materials: Vec<Material>,
    /// The designs that batches were made of, each once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    made_designs: Vec<Self>,
    /// Records that only those use, each once.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    made_materials: Vec<Material>,
    /// Of a design that was made: its records by their place in both lists, one behind the other.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    records: Vec<usize>,
}

fn default_style() -> String {
    DEFAULT_STYLE.into()
}

fn default_superfat() -> Superfat {
    Design::default().superfat
}

fn default_chance() -> AcceptedChance {
    Design::default().accepted_chance
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

/// The records of a file by id, until lines take them.
#[derive(Default)]
struct Records {
    fats: BTreeMap<MaterialId, Arc<Fat>>,
    additions: BTreeMap<MaterialId, Arc<Addition>>,
    scents: BTreeMap<MaterialId, Arc<Scent>>,
}

/// An unchanged record is shared with the library, so that comparing them is quick.
fn shared<T: PartialEq>(record: T, known: Option<&Arc<T>>) -> Arc<T> {
    match known {
        Some(known) if **known == record => Arc::clone(known),
        _ => Arc::new(record),
    }
}

/// A record that a file holds.
#[derive(Clone)]
enum Record {
    Fat(Arc<Fat>),
    Addition(Arc<Addition>),
    Scent(Arc<Scent>),
}

impl Record {
    fn id(&self) -> &MaterialId {
        match self {
            Self::Fat(fat) => &fat.id,
            Self::Addition(addition) => &addition.id,
            Self::Scent(scent) => &scent.id,
        }
    }

    fn read(
        text: &str,
        nth: usize,
        material: Material,
        basis: Basis,
        library: &Library,
    ) -> Result<Self, DocumentError> {
        let id = material.id().clone();
        let wrong = |m: String| place::of_field(text, "id", id.as_str(), nth, format!("the record of {id}: {m}"));
        Ok(match material {
            Material::Fat(record) => {
                if let Some(entry) = record.profile.iter().find(|e| library.acids.find(&e.acid).is_none()) {
                    let message = format!("“{}” is no known fatty acid", entry.acid);
                    return Err(place::of_field(text, "acid", &entry.acid, 0, message));
                }
                Self::Fat(shared(record.fat(basis, library).map_err(wrong)?, library.fat(id.as_str())))
            }
            Material::Addition(record) => {
                Self::Addition(shared(record.addition(basis, library).map_err(wrong)?, library.addition(id.as_str())))
            }
            Material::Scent(record) => {
                Self::Scent(shared(record.scent(library).map_err(wrong)?, library.scent(id.as_str())))
            }
        })
    }
}

/// Reads the records of `lists`, each in its order, which stand in the text one behind the other.
fn read_records(
    text: &str,
    lists: [Vec<Material>; 2],
    basis: Basis,
    library: &Library,
) -> Result<[Vec<Record>; 2], DocumentError> {
    // Materials of different kinds may share an id: the place is that of the n-th record of it.
    let mut seen: BTreeMap<MaterialId, usize> = BTreeMap::new();
    let mut read = |list: Vec<Material>| {
        let one = |material: Material| {
            let nth = seen.entry(material.id().clone()).or_default();
            let record = Record::read(text, *nth, material, basis, library);
            *nth += 1;
            record
        };
        list.into_iter().map(one).collect::<Result<Vec<_>, _>>()
    };
    let [own, made] = lists;
    Ok([read(own)?, read(made)?])
}

impl Records {
    /// `records` by id; each kind has an id once.
    fn of(text: &str, records: &[Record]) -> Result<Self, DocumentError> {
        let mut by_id = Self::default();
        let mut seen: BTreeMap<&MaterialId, usize> = BTreeMap::new();
        for record in records {
            let nth = seen.entry(record.id()).or_default();
            if by_id.take(record) {
                let id = record.id();
                let message = format!("the record of {id} stands twice");
                return Err(place::of_field(text, "id", id.as_str(), *nth, message));
            }
            *nth += 1;
        }
        Ok(by_id)
    }

    /// Takes `record`; whether one of its kind and id was there.
    fn take(&mut self, record: &Record) -> bool {
        let id = record.id().clone();
        match record {
            Record::Fat(fat) => self.fats.insert(id, Arc::clone(fat)).is_some(),
            Record::Addition(addition) => self.additions.insert(id, Arc::clone(addition)).is_some(),
            Record::Scent(scent) => self.scents.insert(id, Arc::clone(scent)).is_some(),
        }
    }

    /// What no line took.
    fn spare(self) -> Spare {
        Spare {
            fats: self.fats.into_values().collect(),
            additions: self.additions.into_values().collect(),
            scents: self.scents.into_values().collect(),
        }
    }
}

/// That the `id` in `field` is none of the materials `known` to `names`.
fn unknown<T: Findable>(text: &str, field: &str, id: &MaterialId, names: &Names, known: &[T]) -> DocumentError {
    let meant = names.did_you_mean(known, id.as_str());
    let message = format!(
        "“{id}” is neither in the library nor among the file’s materials; `barwright {field}s` lists the library{meant}"
    );
    place::of_field(text, field, id.as_str(), 0, message)
}

fn read_blend(
    text: &str,
    fats: Vec<lines::FatLine>,
    basis: Basis,
    records: &mut Records,
    library: &Library,
) -> Result<Blend, DocumentError> {
    if let Some(line) = fats.get(MOST_FATS) {
        return Err(place::of_field(text, "fat", line.fat.as_str(), 0, BlendError::TooMany.to_string()));
    }
    let mut blend: Vec<FatLine> = Vec::with_capacity(fats.len());
    for lines::FatLine { fat: id, share, locked, supplier, supplier_acids } in fats {
        if blend.iter().any(|l| l.fat.id == id) {
            return Err(place::of_field(text, "fat", id.as_str(), 1, format!("{id} stands twice in the blend")));
        }
        let fat = records
            .fats
            .remove(&id)
            .or_else(|| library.fat(id.as_str()).map(|fat| basis.known(fat)))
            .ok_or_else(|| unknown(text, "fat", &id, &library.names, library.fats()))?;
        let sv = supplier.map(|s| SupplierFigure { sv: s.sv, pm: s.pm });
        let acids = read_supplied_acids(text, supplier_acids, library)?;
        let line = FatLine { locked, ..FatLine::new(fat, share) }.with_certificate(Certificate { sv, acids });
        blend.push(line.map_err(|e| place::of_field(text, "fat", id.as_str(), 0, format!("{id}: {e}")))?);
    }
    Blend::new(blend).map_err(|e| place::of_name(text, "fats", e.to_string()))
}

fn read_supplied_acids(
    text: &str,
    acids: Vec<lines::SuppliedAcid>,
    library: &Library,
) -> Result<Vec<(AcidId, Share)>, DocumentError> {
    let known = |lines::SuppliedAcid { acid, share }| match library.acids.find(&acid) {
        Some(id) => Ok((id, share)),
        None => Err(place::of_field(text, "acid", &acid, 0, format!("“{acid}” is no known fatty acid"))),
    };
    acids.into_iter().map(known).collect()
}

fn read_additions(
    text: &str,
    file: Vec<lines::AdditionLine>,
    basis: Basis,
    records: &mut Records,
    library: &Library,
) -> Result<Vec<additions::AdditionLine>, DocumentError> {
    if file.len() > MOST_LINES {
        return Err(place::of_name(text, "additions", EditError::TooMany.to_string()));
    }
    // The same addition may stand at several stages; all lines share its record.
    let mut list: Vec<additions::AdditionLine> = Vec::with_capacity(file.len());
    for lines::AdditionLine { addition: id, amount, counts_as_water, stage } in file {
        let addition = list
            .iter()
            .find(|l| l.addition.id == id)
            .map(|l| Arc::clone(&l.addition))
            .or_else(|| records.additions.remove(&id))
            .or_else(|| library.addition(id.as_str()).map(|addition| basis.known_addition(addition)))
            .ok_or_else(|| unknown(text, "addition", &id, &library.names, library.additions()))?;
        list.push(additions::AdditionLine { addition, amount: amount.into(), counts_as_water, stage: stage.into() });
    }
    Ok(list)
}

fn read_scents(
    text: &str,
    file: Vec<lines::ScentLine>,
    records: &mut Records,
    library: &Library,
) -> Result<Vec<scents::ScentLine>, DocumentError> {
    if file.len() > MOST_LINES {
        return Err(place::of_name(text, "scents", EditError::TooMany.to_string()));
    }
    let mut list: Vec<scents::ScentLine> = Vec::with_capacity(file.len());
    for lines::ScentLine { scent: id, amount, stage } in file {
        let scent = list
            .iter()
            .find(|l| l.scent.id == id)
            .map(|l| Arc::clone(&l.scent))
            .or_else(|| records.scents.remove(&id))
            .or_else(|| library.scent(id.as_str()).map(Arc::clone))
            .ok_or_else(|| unknown(text, "scent", &id, &library.names, library.scents()))?;
        list.push(scents::ScentLine { scent, amount: amount.into(), stage: stage.into() });
    }
    Ok(list)
}

pub(super) fn read(text: &str, library: &Library) -> Result<Document, DocumentError> {
    let mut file: File = ron::from_str(text).map_err(|e| at(text, &e))?;
    let lists = [std::mem::take(&mut file.materials), std::mem::take(&mut file.made_materials)];
    if lists[0].len() > MOST_RECORDS {
        let message = format!("a design holds at most {MOST_RECORDS} materials");
        return Err(place::of_name(text, "materials", message));
    }
    let [own, of_made] = read_records(text, lists, file.lye_rests_on, library)?;
    let batches = std::mem::take(&mut file.batches);
    let made = std::mem::take(&mut file.made_designs);
    let design = read_design(text, file, Records::of(text, &own)?, library)?;
    let all: Vec<Record> = own.into_iter().chain(of_made).collect();
    let log = made::read(text, batches, made, &all, library)?;
    Ok(Document { design, log })
}

/// The design of `file` with its `records`.
fn read_design(text: &str, file: File, mut records: Records, library: &Library) -> Result<Design, DocumentError> {
    if !(file.batches.is_empty() && file.made_designs.is_empty() && file.made_materials.is_empty()) {
        return Err(place::of_name(text, "made_designs", "a design that was made holds no batches of its own".into()));
    }
    file.calibration.check().map_err(|e| place::of_name(text, "own_bars", e.to_string()))?;
    let basis = file.lye_rests_on;
    let blend = read_blend(text, file.fats, basis, &mut records, library)?;
    let additions = read_additions(text, file.additions, basis, &mut records, library)?;
    let scents = read_scents(text, file.scents, &mut records, library)?;
    Ok(Design {
        name: file.name,
        notes: file.notes,
        style: file.style,
        blend,
        spare: records.spare(),
        superfat: file.superfat,
        accepted_chance: file.accepted_chance,
        alkali: file.alkali.into(),
        scale_division: file.scale_division_g,
        water: file.water.into(),
        size: file.size.into(),
        bars: file.bars,
        additions,
        scents,
        process: file.process.into(),
        prices: file.prices.into_iter().map(Into::into).collect(),
        currency: file.currency,
        allergen_list: file.allergen_list.into(),
        calibration: file.calibration.into(),
    })
}

/// The records of `design`: of what its lines use, each once, then the spare ones.
fn records(design: &Design) -> Vec<Record> {
    let fats = design.blend.lines().iter().map(FatLine::published).chain(&design.spare.fats);
    let mut list: Vec<Record> = fats.map(|f| Record::Fat(Arc::clone(f))).collect();
    let mut seen: Vec<&MaterialId> = Vec::new();
    let additions = design.additions.iter().map(|l| &l.addition).chain(&design.spare.additions);
    for addition in additions {
        if !seen.contains(&&addition.id) {
            seen.push(&addition.id);
            list.push(Record::Addition(Arc::clone(addition)));
        }
    }
    seen.clear();
    for scent in design.scents.iter().map(|l| &l.scent).chain(&design.spare.scents) {
        if !seen.contains(&&scent.id) {
            seen.push(&scent.id);
            list.push(Record::Scent(Arc::clone(scent)));
        }
    }
    list
}

impl Material {
    fn of(record: &Record, library: &Library) -> Self {
        match record {
            Record::Fat(fat) => Self::Fat(Box::new(FatRecord::of(fat, library))),
            Record::Addition(addition) => Self::Addition(Box::new(AdditionRecord::of(addition))),
            Record::Scent(scent) => Self::Scent(Box::new(ScentRecord::of(scent))),
        }
    }
}

/// How files are laid out.
fn layout() -> ron::ser::PrettyConfig {
    ron::ser::PrettyConfig::new().depth_limit(4).indentor("    ").struct_names(false)
}

pub(super) fn write(design: &Design, log: &Log, library: &Library) -> Result<String, ron::Error> {
    let own = records(design);
    let made = made::write(log, &own, library);
    let file = File {
        batches: made.batches,
        made_designs: made.designs,
        made_materials: made.records.iter().map(|r| Material::of(r, library)).collect(),
        materials: own.iter().map(|r| Material::of(r, library)).collect(),
        ..file_of(design, library)
    };
    let mut text = ron::ser::to_string_pretty(&file, layout())?;
    text.push('\n');
    Ok(text)
}

/// `design` as a file has it, without its records.
fn file_of(design: &Design, library: &Library) -> File {
    let supplied = |l: &FatLine| {
        let listed = l.acids.iter().flat_map(SuppliedAcids::listed);
        listed
            .map(|(id, share)| lines::SuppliedAcid { acid: library.acids.get(*id).key.clone(), share: *share })
            .collect()
    };
    let fat = |l: &FatLine| lines::FatLine {
        fat: l.fat.id.clone(),
        share: l.share,
        locked: l.locked,
        supplier: l.supplier.map(|s| lines::Supplier { sv: s.sv, pm: s.pm }),
        supplier_acids: supplied(l),
    };
    let addition = |l: &additions::AdditionLine| lines::AdditionLine {
        addition: l.addition.id.clone(),
        amount: l.amount.into(),
        counts_as_water: l.counts_as_water,
        stage: l.stage.into(),
    };
    let scent = |l: &scents::ScentLine| lines::ScentLine {
        scent: l.scent.id.clone(),
        amount: l.amount.into(),
        stage: l.stage.into(),
    };
    File {
        barwright: VERSION,
        name: design.name.clone(),
        notes: design.notes.clone(),
        style: design.style.clone(),
        fats: design.blend.lines().iter().map(fat).collect(),
        lye_rests_on: Basis::default(),
        superfat: design.superfat,
        accepted_chance: design.accepted_chance,
        alkali: design.alkali.into(),
        scale_division_g: design.scale_division,
        water: design.water.into(),
        size: design.size.into(),
        bars: design.bars,
        additions: design.additions.iter().map(addition).collect(),
        scents: design.scents.iter().map(scent).collect(),
        process: design.process.clone().into(),
        prices: design.prices.iter().cloned().map(Into::into).collect(),
        currency: design.currency.clone(),
        allergen_list: design.allergen_list.into(),
        calibration: design.calibration.clone().into(),
        batches: Vec::new(),
        materials: Vec::new(),
        made_designs: Vec::new(),
        made_materials: Vec::new(),
        records: Vec::new(),
    }
}
