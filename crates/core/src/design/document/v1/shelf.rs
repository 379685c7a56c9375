//! The shelf as its file has it.

use super::materials::{Basis, Material};
use super::{Record, layout, read_records};
use crate::design::Spare;
use crate::design::document::{DocumentError, SHELF_VERSION, at, place};
use crate::design::own_bar;
use crate::design::shelf::{Lot, MOST_CORRECTIONS, MOST_LOTS, Made, Plan, Shelf, Workshop};
use crate::design::words::Line;
use crate::library::Library;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::sync::Arc;

#[derive(Serialize, Deserialize)]
#[serde(rename = "shelf", deny_unknown_fields)]
struct File {
    barwright_shelf: u32,
    #[serde(default = "default_currency")]
    currency: Line,
    #[serde(default)]
    lots: Vec<Lot>,
    #[serde(default)]
    workshop: Workshop,
    #[serde(default)]
    bars: Vec<Made>,
    #[serde(default)]
    plans: Vec<Plan>,
    #[serde(default)]
    materials: Vec<Material>,
}

fn default_currency() -> Line {
    Line::new(&crate::design::Design::default().currency).unwrap_or_default()
}

pub(in super::super) fn read(text: &str, library: &Library) -> Result<Shelf, DocumentError> {
    let mut file: File = ron::from_str(text).map_err(|e| at(text, &e))?;
    for (field, many) in [("lots", file.lots.len()), ("bars", file.bars.len()), ("plans", file.plans.len())] {
        if many > MOST_LOTS {
            return Err(place::of_name(text, field, format!("a shelf holds at most {MOST_LOTS} of {field}")));
        }
    }
    let mut ids = BTreeSet::new();
    for lot in &file.lots {
        if !ids.insert(lot.id) {
            return Err(place::of_name(text, "lots", format!("lot {} stands twice", lot.id)));
        }
        if lot.corrections.len() > MOST_CORRECTIONS {
            return Err(place::of_name(text, "corrections", format!("lot {} has too many of them", lot.id)));
        }
        own_bar::check(&lot.own_bars).map_err(|e| place::of_name(text, "own_bars", e.to_string()))?;
    }
    let mut made = std::mem::take(&mut file.bars);
    made.sort_by_key(|m| m.code);
    if let Some(twice) = made.windows(2).find(|w| w[0].code == w[1].code) {
        let code = twice[0].code.to_string();
        return Err(place::of_field(text, "code", &code, 1, format!("batch {code} stands twice")));
    }
    if made.iter().any(|m| m.path.len() > Made::MOST_PATH) {
        return Err(place::of_name(text, "path", "a path is longer than any file’s".into()));
    }
    let [records, _] =
        read_records(text, [std::mem::take(&mut file.materials), Vec::new()], Basis::default(), library)?;
    let mut own = Spare::default();
    for record in records {
        match record {
            Record::Fat(fat) => own.fats.push(fat),
            Record::Addition(addition) => own.additions.push(addition),
            Record::Scent(scent) => own.scents.push(scent),
        }
    }
    let File { lots, workshop, plans, currency, .. } = file;
    Ok(Shelf { lots, workshop, made, plans, currency, own })
}

pub(in super::super) fn write(shelf: &Shelf, library: &Library) -> Result<String, ron::Error> {
    let Spare { fats, additions, scents } = &shelf.own;
    let records = fats.iter().map(|f| Record::Fat(Arc::clone(f)));
    let records = records.chain(additions.iter().map(|a| Record::Addition(Arc::clone(a))));
    let records = records.chain(scents.iter().map(|s| Record::Scent(Arc::clone(s))));
    let file = File {
        barwright_shelf: SHELF_VERSION,
        currency: shelf.currency.clone(),
        lots: shelf.lots.clone(),
        workshop: shelf.workshop.clone(),
        bars: shelf.made.clone(),
        plans: shelf.plans.clone(),
        materials: records.map(|r| Material::of(&r, library)).collect(),
    };
    let mut text = ron::ser::to_string_pretty(&file, layout().depth_limit(3))?;
    text.push('\n');
    Ok(text)
}
