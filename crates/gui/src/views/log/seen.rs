//! What a record draws, worked out once for all that it rests on.

use super::Given;
use super::desk::{FromLot, Weights};
use super::lessons::Lessons;
use crate::open::{Key, OpenDesign};
use crate::pictures;
use barwright_core::bench::day;
use barwright_core::bench::learnt::cure::{Band, Weighing};
use barwright_core::bench::learnt::of_log;
use barwright_core::bench::record::{Draft, Record};
use barwright_core::design::log::{Batch, BatchCode, Happened, LotId, MarkedBar, What};
use barwright_core::design::shelf::{Lot, Shelf, Stock, Stuff};
use barwright_core::evaluate;
use barwright_core::explain::{Since, compare::Side, since};
use barwright_core::formula::Plain;
use barwright_core::number;
use barwright_core::render::record;
use barwright_core::units::{Days, Grams, Measures};
use std::collections::BTreeMap;
use std::rc::Rc;

/// What a record rests on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SeenOf {
    key: Key,
    code: BatchCode,
    log: u64,
    shelf: u64,
    measures: Measures,
    weights: Weights,
}

impl SeenOf {
    pub(super) fn new(given: &Given<'_>, code: BatchCode, weights: Weights) -> Self {
        let (log, shelf) = (given.open.log_revision(), given.shelf.revision());
        Self { key: given.open.key, code, log, shelf, measures: given.measures, weights }
    }
}

/// A lot to choose.
#[derive(Debug)]
pub(super) struct LotLine {
    pub id: LotId,
    /// Its number, supplier, what is left, and until when it is good.
    pub words: String,
}

/// How the bars dry.
#[derive(Debug)]
pub(super) struct Drying {
    /// What each marked bar weighed, by days since cutting.
    pub bars: Vec<(MarkedBar, Vec<[f64; 2]>)>,
    /// What a bar as planned weighs by day, as the weighings teach it.
    pub learnt: Vec<(f64, Band)>,
    /// The same as it was forecast before any weighing.
    pub forecast: Vec<[f64; 2]>,
    /// What that comes to, in words.
    pub words: String,
}

impl Drying {
    /// How many points of a curve are drawn.
    const POINTS: u16 = 60;

    fn of(given: &Given<'_>, batch: &Batch, record: &Record) -> Option<Self> {
        let prior = of_log::prior(given.open.log(), batch, given.library);
        let fitted = of_log::cure_of(batch, record, &prior)?;
        let cure = of_log::forecast(record)?;
        let weighings = of_log::weighings(batch);
        let point = |w: &Weighing| [w.days.get(), w.grams.get()];
        let bars = weighings.iter().map(|(bar, of_bar)| (*bar, of_bar.iter().map(point).collect())).collect();
        let last = weighings.iter().flat_map(|(_, w)| w).map(|w| w.days.get()).fold(0.0, f64::max);
        let end = last.max(cure.days().get()).max(28.0);
        let days = || (0..=Self::POINTS).map(|i| end * f64::from(i) / f64::from(Self::POINTS));
        let fit = fitted.planned();
        Some(Self {
            bars,
            learnt: days().map(|day| (day, fit.weight(Days::nearest(day)))).collect(),
            forecast: days().map(|day| [day, cure.bar(Plain, day).0]).collect(),
            words: record::cure_words(&fitted, batch, given.measures),
        })
    }
}

/// What a record teaches, by what is entered in it; what is only typed teaches nothing yet.
#[derive(Debug)]
pub(super) struct Taught {
    /// How its bars dry; `None` before they are cut.
    pub drying: Option<Drying>,
    /// What else.
    pub lessons: Lessons,
}

impl Taught {
    pub(super) fn of(given: &Given<'_>, batch: &Batch) -> Self {
        let record = Record::of(batch, &BTreeMap::new(), given.library, given.measures);
        let drying = if of_log::cut_on(batch).is_some() { Drying::of(given, batch, &record) } else { None };
        Self { drying, lessons: Lessons::of(given, batch, &record) }
    }
}

/// A record with all that is drawn of it.
#[derive(Debug)]
pub(super) struct Seen {
    pub record: Record,
    /// The entry that says what each was weighed, before what is typed.
    pub entered: BTreeMap<What, (usize, Draft)>,
    /// The lots of each row that there are.
    pub lots: Vec<Vec<LotLine>>,
    /// What is told of a row’s lots: that one is past its date, or does not hold what was taken.
    pub short: BTreeMap<What, String>,
}

impl Seen {
    pub(super) fn new(given: &Given<'_>, batch: &Batch, of: &SeenOf) -> Self {
        let shelf = given.shelf.shelf();
        let stock = shelf.stock();
        let mut entered = BTreeMap::new();
        for (n, entry) in batch.standing() {
            if let Happened::Weighed { what, grams, lots } = &entry.what {
                entered.insert(*what, (n, Draft { grams: *grams, lots: lots.clone() }));
            }
        }
        let draft = |(what, (grams, from)): (&What, &(_, FromLot))| {
            let stuff = Stuff::of(*what, &batch.made).filter(|_| *from != FromLot::Nowhere);
            let first = if let FromLot::Lot(id) = from { Some(*id) } else { None };
            let grams: barwright_core::units::AmountMass = *grams;
            let lots = stuff.map(|stuff| stock.taken(&stuff, grams.get(), first)).unwrap_or_default();
            (*what, Draft { grams, lots })
        };
        let drafts: BTreeMap<What, Draft> = of.weights.iter().map(draft).collect();
        let record = Record::of(batch, &drafts, given.library, given.measures);
        let lots_of = |what: What| Stuff::of(what, &batch.made).map(|stuff| lots(&stock, &stuff, given.measures));
        let lots = record.rows.iter().map(|row| lots_of(row.what).unwrap_or_default()).collect();
        let is_counted = shelf.batch(batch.code).is_some_and(|made| made.confirmed);
        let short = record.rows.iter().filter(|_| !is_counted).filter_map(|row| {
            let taken = &row.actual.as_ref()?.lots;
            let beyond = taken.iter().find(|t| t.grams.get() > stock.left(t.lot).left + 0.05).map(|beyond| {
                let left = number::mass(Grams(stock.left(beyond.lot).left), given.measures.mass);
                format!("the shelf has only {left} left of {}: correct its count if it holds more", beyond.lot)
            });
            let past = taken.iter().filter_map(|t| shelf.lot(t.lot)).find_map(|lot| {
                let until = lot.good_until().filter(|until| *until < batch.code.day())?;
                let until = day::shown(until.0);
                Some(format!("{} was good until {until}: choose another lot, or look at it well", called(lot)))
            });
            let told: Vec<String> = past.into_iter().chain(beyond).collect();
            (!told.is_empty()).then(|| (row.what, told.join("; ")))
        });
        let short = short.collect();
        Self { record, entered, lots, short }
    }
}

fn lots(stock: &Stock<'_>, stuff: &Stuff, measures: Measures) -> Vec<LotLine> {
    let line = |lot: &Lot| {
        let left = number::mass(Grams(stock.left(lot.id).left), measures.mass);
        let good = lot.good_until().map(|day| format!(", good until {}", day::shown(day.0))).unwrap_or_default();
        LotLine { id: lot.id, words: format!("{}, {left} left{good}", called(lot)) }
    };
    stock.lots_of(stuff).into_iter().map(line).collect()
}

/// What a lot is called: its number on the shelf, with the supplier's own.
fn called(lot: &Lot) -> String {
    if lot.number.is_empty() { lot.id.to_string() } else { format!("{} ({})", lot.id, lot.number) }
}

/// What the lot `id` is called.
pub(super) fn name_of(shelf: &Shelf, id: LotId) -> String {
    shelf.lot(id).map_or_else(|| format!("{id}, no longer on the shelf"), called)
}

/// What `batch` is made otherwise than `last`.
pub(super) fn since_last(given: &Given<'_>, batch: &Batch, last: &Batch, seen: &Seen) -> Rc<[String]> {
    let before = evaluate(&last.made, given.library);
    let now = Side { design: &batch.made, evaluation: &seen.record.plan };
    let before = Side { design: &last.made, evaluation: &before };
    since(now, before, given.measures, given.library).iter().map(Since::words).collect()
}

/// Whether each picture of `batch`, in the order of its entries, is where it should be.
pub(super) fn pictures(open: &OpenDesign, batch: &Batch) -> Rc<[bool]> {
    let there = |what: &Happened| match (what, &open.path) {
        (Happened::Pictured(picture), Some(design)) => pictures::path(design, &picture.file).is_file(),
        _ => false,
    };
    batch.entries().iter().map(|entry| there(&entry.what)).collect()
}
