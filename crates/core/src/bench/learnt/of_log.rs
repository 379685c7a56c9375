//! What the entries of a log teach: they are turned into what the fits take.

use super::cure::{self, Fitted, Prior, Weighing};
use super::jug::{self, LearntCooling, LyeAt};
use super::wear::{Washed, Wear};
use super::{Learnt, batter};
use crate::bench::record::Record;
use crate::chemistry::cure::Cure;
use crate::design::log::{Batch, Happened, HeatOf, Log, MarkedBar, TimeOf};
use crate::design::words::Day;
use crate::library::Library;
use crate::units::{BarMass, BatterDensity, Days, Measures};
use std::collections::BTreeMap;

/// The day on which the soap was cut; `None` before.
pub fn cut_on(batch: &Batch) -> Option<Day> {
    batch.standing().into_iter().rev().find(|(_, e)| matches!(e.what, Happened::Cut { .. })).map(|(_, e)| e.on)
}

/// What each marked bar of `batch` weighed, by days since cutting; weighings from before the cutting are none.
pub fn weighings(batch: &Batch) -> Vec<(MarkedBar, Vec<Weighing>)> {
    let Some(cut) = cut_on(batch) else { return Vec::new() };
    let mut bars: BTreeMap<MarkedBar, Vec<Weighing>> = BTreeMap::new();
    for (_, entry) in batch.standing() {
        if let Happened::BarWeighed { bar, grams } = &entry.what {
            let days = Days::new(cut.days_to(entry.on) as f64);
            if let (Ok(days), Ok(grams)) = (days, BarMass::new(grams.get())) {
                bars.entry(*bar).or_default().push(Weighing { days, grams });
            }
        }
    }
    bars.into_iter().collect()
}

/// The forecast of how a bar of `record` dries, by the weights as weighed, or by the plan while they make no batch.
pub fn forecast(record: &Record) -> Option<Cure> {
    record.result.as_ref().map_or(record.plan.cure, |result| result.evaluation.cure)
}

/// How the bars of `batch` cure, with what `prior` batches of its kind taught; `None` where nothing is made.
pub fn cure_of(batch: &Batch, record: &Record, prior: &Prior) -> Option<Fitted> {
    let bars: Vec<Vec<Weighing>> = weighings(batch).into_iter().map(|(_, weighings)| weighings).collect();
    Some(cure::fit(&forecast(record)?, &bars, batch.made.scale_division, prior))
}

/// What the batches of `log` before `batch` teach of how such bars cure: batches of one design are of one kind.
pub fn prior(log: &Log, batch: &Batch, library: &Library) -> Prior {
    /// What so many say is known; more of them take their time.
    const MOST: usize = 12;
    let mut earlier: Vec<&Batch> =
        log.batches().iter().filter(|b| b.code < batch.code && !weighings(b).is_empty()).collect();
    earlier.sort_by_key(|b| std::cmp::Reverse(b.code));
    let earlier = earlier.into_iter().take(MOST);
    let fitted: Vec<Fitted> = earlier
        .filter_map(|b| {
            let record = Record::of(b, &BTreeMap::new(), library, Measures::METRIC);
            cure_of(b, &record, &Prior::usual())
        })
        .collect();
    Prior::after(&fitted)
}

/// How the jug of `batch` cools, by the peak, the lye at mixing and the time between, if all three were taken.
pub fn jug_of(batch: &Batch, record: &Record) -> Option<LearntCooling> {
    let heat = |wanted| {
        batch.last(move |w| match w {
            Happened::Heat { of, celsius } if *of == wanted => Some(*celsius),
            _ => None,
        })
    };
    let stood = batch.last(|w| match w {
        Happened::Took { of: TimeOf::LyeStood, minutes } => Some(*minutes),
        _ => None,
    });
    let (peak, at_mixing, (_, after)) = (heat(HeatOf::LyePeak)?.1, heat(HeatOf::Lye)?.1, stood?);
    let mut estimate = record.plan.jug.as_ref()?.cooling?;
    estimate.from = peak.get();
    Some(jug::cooling(estimate, &[LyeAt { after, celsius: at_mixing }]))
}

/// The density of the batter of `batch`, by what was weighed of it, if anything was.
pub fn batter_of(batch: &Batch, record: &Record) -> Option<Learnt> {
    let poured: Vec<batter::Poured> = batch
        .standing()
        .into_iter()
        .filter_map(|(_, e)| match &e.what {
            Happened::BatterWeighed { grams, ml } => Some(batter::Poured { mass: *grams, volume: *ml }),
            _ => None,
        })
        .collect();
    let computed = BatterDensity::new(record.plan.masses.batter_g_per_ml()?).ok()?;
    (!poured.is_empty()).then(|| batter::density(computed, &poured))
}

/// What bars of `batch` lose in ten washes, if any was washed with and weighed.
pub fn wear_of(batch: &Batch) -> Option<Wear> {
    let washed: Vec<Washed> = batch
        .standing()
        .into_iter()
        .filter_map(|(_, e)| match &e.what {
            Happened::Washed { washes, grams } => Some(Washed { washes: *washes, lost: *grams }),
            _ => None,
        })
        .collect();
    Wear::of(&washed)
}
