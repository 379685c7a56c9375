//! The shelf as text and as data.

pub mod pages;
pub mod trace;

use crate::bench::day::shown;
use crate::design::shelf::{Finished, Left, Made, Shelf, Stock, Stuff};
use crate::library::Library;
use crate::number::{counted, short};
use serde::Serialize;
use std::fmt::Write;

/// What `stuff` is called, by the library or by the maker’s own records.
pub fn name(stuff: &Stuff, shelf: &Shelf, library: &Library) -> String {
    let own = &shelf.own;
    let (id, known) = match stuff {
        Stuff::Fat(id) => {
            let own = own.fats.iter().find(|f| f.id == *id);
            (id.as_str(), library.fat(id.as_str()).or(own).map(|f| f.name.clone()))
        }
        Stuff::Addition(id) => {
            let own = own.additions.iter().find(|a| a.id == *id);
            (id.as_str(), library.addition(id.as_str()).or(own).map(|a| a.name.clone()))
        }
        Stuff::Scent(id) => {
            let own = own.scents.iter().find(|s| s.id == *id);
            (id.as_str(), library.scent(id.as_str()).or(own).map(|s| s.name.clone()))
        }
        Stuff::SodiumHydroxide => ("naoh", Some("Sodium hydroxide (NaOH)".into())),
        Stuff::PotassiumHydroxide => ("koh", Some("Potassium hydroxide (KOH)".into())),
        Stuff::Other(name) => (name.as_str(), None),
    };
    known.unwrap_or_else(|| id.to_owned())
}

/// All lots with what is left, finished bars, and what is planned.
pub fn shelf_text(shelf: &Shelf, library: &Library) -> String {
    let mut text = String::new();
    // A string takes whatever is written to it.
    let _ = write_shelf(&mut text, shelf, library);
    super::plain(&text)
}

fn write_shelf(text: &mut String, shelf: &Shelf, library: &Library) -> std::fmt::Result {
    let stock = shelf.stock();
    if shelf.lots.is_empty() && shelf.made.is_empty() {
        return writeln!(text, "There is nothing on the shelf yet.");
    }
    for lot in &shelf.lots {
        let Left { came, left, over, .. } = stock.left(lot.id);
        write!(
            text,
            "{} {}: {} of {} g left",
            lot.id,
            name(&lot.stuff, shelf, library),
            short(left, 1),
            short(came, 1)
        )?;
        if over > 0.0 {
            write!(text, ", {} g more was used than the books had", short(over, 1))?;
        }
        if let Some(day) = lot.good_until() {
            write!(text, ", good until {}", shown(day.0))?;
        }
        for part in [lot.supplier.as_str(), lot.number.as_str()].iter().filter(|part| !part.is_empty()) {
            write!(text, ", {part}")?;
        }
        writeln!(text)?;
    }
    for made in &shelf.made {
        write!(text, "{} {}", made.code, made.design)?;
        finished(text, &stock.finished(made))?;
    }
    Ok(())
}

fn finished(text: &mut String, bars: &Finished) -> std::fmt::Result {
    write!(text, ": {} left", counted(bars.left as usize, "bar", "bars"))?;
    match (bars.withdrawn, bars.free_from) {
        (true, _) => write!(text, ", withdrawn")?,
        (false, Some(day)) => write!(text, ", free since {}", shown(day.0))?,
        (false, None) => write!(text, ", not free")?,
    }
    if let Some(day) = bars.good_until {
        write!(text, ", good until {}", shown(day.0))?;
    }
    writeln!(text)
}

#[derive(Serialize)]
struct Data {
    currency: String,
    lots: Vec<DataLot>,
    batches: Vec<DataBatch>,
}

#[derive(Serialize)]
struct DataLot {
    id: String,
    material: String,
    supplier: String,
    number: String,
    came_g: f64,
    used_g: f64,
    corrected_g: f64,
    left_g: f64,
    over_g: f64,
    set_aside_g: f64,
    good_until: Option<String>,
}

#[derive(Serialize)]
struct DataBatch {
    code: String,
    design: String,
    path: String,
    confirmed: bool,
    bars: u32,
    bars_left: u32,
    free_from: Option<String>,
    good_until: Option<String>,
    withdrawn: bool,
    lots: Vec<(String, f64)>,
    out: Vec<DataOut>,
}

#[derive(Serialize)]
struct DataOut {
    on: String,
    bars: u32,
    how: &'static str,
    to: String,
}

/// The shelf as JSON, unrounded.
///
/// # Errors
/// From the JSON writer; no shelf is known that makes it fail.
pub fn shelf_json(shelf: &Shelf, library: &Library) -> Result<String, serde_json::Error> {
    let stock = shelf.stock();
    let lots = shelf.lots.iter().map(|lot| {
        let Left { came, used, corrected, left, over } = stock.left(lot.id);
        DataLot {
            id: lot.id.to_string(),
            material: name(&lot.stuff, shelf, library),
            supplier: lot.supplier.to_string(),
            number: lot.number.to_string(),
            came_g: came,
            used_g: used,
            corrected_g: corrected,
            left_g: left,
            over_g: over,
            set_aside_g: stock.set_aside(&lot.stuff),
            good_until: lot.good_until().map(|d| d.to_string()),
        }
    });
    let batches = shelf.made.iter().map(|made| batch(made, &stock)).collect();
    serde_json::to_string_pretty(&Data { currency: shelf.currency.to_string(), lots: lots.collect(), batches })
}

fn batch(made: &Made, stock: &Stock<'_>) -> DataBatch {
    let Finished { left, free_from, good_until, withdrawn, .. } = stock.finished(made);
    let out = made.out.iter().map(|o| DataOut {
        on: o.on.to_string(),
        bars: o.bars,
        how: o.how.words(),
        to: o.to.to_string(),
    });
    DataBatch {
        code: made.code.to_string(),
        design: made.design.to_string(),
        path: made.path.clone(),
        confirmed: made.confirmed,
        bars: made.bars,
        bars_left: left,
        free_from: free_from.map(|d| d.to_string()),
        good_until: good_until.map(|d| d.to_string()),
        withdrawn,
        lots: made.lots.iter().map(|(id, grams)| (id.to_string(), grams.get())).collect(),
        out: out.collect(),
    }
}
