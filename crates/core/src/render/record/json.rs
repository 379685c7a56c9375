//! The log as data.

use super::told;
use crate::bench::learnt::cure::{Band, Basis};
use crate::bench::learnt::of_log;
use crate::bench::record::Record;
use crate::design::log::{Batch, Log};
use crate::library::Library;
use crate::units::Measures;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Out {
    batches: Vec<OutBatch>,
}

#[derive(Serialize)]
struct OutBatch {
    code: String,
    maker: String,
    design: String,
    state: &'static str,
    /// Whether all that the lye rests on was weighed.
    complete: bool,
    superfat_pct: Option<f64>,
    superfat_low_pct: Option<f64>,
    superfat_high_pct: Option<f64>,
    chance_lye_heavy: Option<f64>,
    stops: Vec<String>,
    bars: u32,
    bars_left: u32,
    cure: Option<OutCure>,
    weights: Vec<OutWeight>,
    entries: Vec<OutEntry>,
}

/// What the weighings teach; each figure with the ends between which it lies eight times in ten.
#[derive(Serialize)]
struct OutCure {
    /// On how many days bars were weighed.
    days_weighed: usize,
    half_days_at_25_mm: [f64; 3],
    water_left_pct: [f64; 3],
    bar_at_sale_g: [f64; 3],
    /// Days from cutting until a bar loses less than half a percent in a week.
    dry_enough_days: Option<[f64; 3]>,
}

#[derive(Serialize)]
struct OutWeight {
    name: String,
    planned_g: f64,
    weighed_g: Option<f64>,
    lots: Vec<OutLot>,
}

#[derive(Serialize)]
struct OutLot {
    lot: String,
    grams: f64,
}

#[derive(Serialize)]
struct OutEntry {
    on: String,
    text: String,
    corrects: Option<usize>,
}

/// All batches of `log` as JSON, in the order in which they were begun; numbers are unrounded.
///
/// # Errors
/// From the JSON writer; no log is known that makes it fail.
pub fn log_json(log: &Log, library: &Library) -> Result<String, serde_json::Error> {
    let batches = log.batches().iter().map(|batch| one(log, batch, library)).collect();
    serde_json::to_string_pretty(&Out { batches })
}

fn cure(log: &Log, batch: &Batch, record: &Record, library: &Library) -> Option<OutCure> {
    let band = |b: Band| [b.low, b.likely, b.high];
    let fitted = of_log::cure_of(batch, record, &of_log::prior(log, batch, library))?;
    let fit = fitted.planned();
    Some(OutCure {
        days_weighed: match fitted.basis() {
            Basis::Prior => 0,
            Basis::FewDays(days) | Basis::Days(days) => days,
        },
        half_days_at_25_mm: band(fitted.half_days()),
        water_left_pct: band(fitted.water_left()),
        bar_at_sale_g: band(fit.weight(batch.made.process.cure_days)),
        dry_enough_days: fit.settled().map(band),
    })
}

fn one(log: &Log, batch: &Batch, library: &Library) -> OutBatch {
    let record = Record::of(batch, &BTreeMap::new(), library, Measures::METRIC);
    let margin = record.result.as_ref().ok().and_then(|r| r.evaluation.margin.as_ref());
    let weights = record.rows.iter().map(|row| OutWeight {
        name: row.name.clone(),
        planned_g: row.plan.0,
        weighed_g: row.actual.as_ref().map(|a| a.grams.get()),
        lots: row
            .actual
            .iter()
            .flat_map(|a| &a.lots)
            .map(|l| OutLot { lot: l.lot.to_string(), grams: l.grams.get() })
            .collect(),
    });
    let entries = batch.entries().iter().map(|e| OutEntry {
        on: e.on.to_string(),
        text: told(&e.what, &batch.made, Measures::METRIC),
        corrects: e.corrects,
    });
    OutBatch {
        code: batch.code.to_string(),
        maker: batch.maker.to_string(),
        design: batch.made.name.clone(),
        state: record.state.word(),
        complete: record.missing().is_none(),
        superfat_pct: record.superfat().ok(),
        superfat_low_pct: margin.map(|m| m.low),
        superfat_high_pct: margin.map(|m| m.high),
        chance_lye_heavy: margin.map(crate::chemistry::margin::LyeMargin::chance_lye_heavy),
        stops: record.stops().iter().map(|s| s.text()).collect(),
        bars: record.bars,
        bars_left: record.left(),
        cure: cure(log, batch, &record, library),
        weights: weights.collect(),
        entries: entries.collect(),
    }
}
