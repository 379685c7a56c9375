//! The season at Fernhollow (invented) that lies among the examples: its files are what the program that writes them
//! promises, and its books agree.

use barwright_core::Library;
use barwright_core::bench::learnt::cure::{Basis, Prior};
use barwright_core::bench::learnt::of_log;
use barwright_core::bench::record::{Record, State};
use barwright_core::design::document::{self, Document};
use barwright_core::design::log::{Happened, How, What};
use barwright_core::design::shelf::{Shelf, Stuff};
use barwright_core::render::record::cure_words;
use barwright_core::units::{Days, Measures};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/examples/season")
}

fn season(library: &Library) -> (Vec<Document>, Shelf) {
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder()).expect("it is there").map(|e| e.expect("an entry").path()).collect();
    files.sort();
    let is_design = |path: &&PathBuf| path.extension().is_some_and(|e| e == document::EXTENSION);
    let read = |path: &PathBuf| {
        let bytes = std::fs::read(path).expect("it reads");
        document::read_with_log(&bytes, library).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
    };
    let designs = files.iter().filter(is_design).map(read).collect();
    let shelf = document::read_shelf(&std::fs::read(folder().join("shelf.ron")).expect("it reads"), library);
    (designs, shelf.expect("a shelf"))
}

#[test]
fn six_designs_twenty_batches_and_forty_lots_agree_with_the_shelf() {
    let library = Library::embedded().expect("assets parse");
    let (designs, shelf) = season(&library);
    let batches: Vec<_> = designs.iter().flat_map(|d| d.log.batches().iter().map(move |b| (d, b))).collect();
    assert_eq!((designs.len(), batches.len(), shelf.lots.len()), (6, 20, 40));
    let codes: BTreeSet<_> = batches.iter().map(|(_, b)| b.code).collect();
    assert_eq!(codes.len(), 20, "no code twice");
    let mut states = BTreeMap::new();
    for (document, batch) in &batches {
        let record = Record::of(batch, &BTreeMap::new(), &library, Measures::METRIC);
        let of_shelf = shelf.batch(batch.code).expect("the shelf knows it");
        let made = record.made(batch, &document.design.name, &of_shelf.path);
        assert_eq!(*of_shelf, made, "{}", batch.code);
        assert!(record.missing().is_none() && !record.is_stopped(), "{}: {:?}", batch.code, record.stops());
        let superfat = record.superfat().expect("a batch");
        assert!((superfat - batch.made.superfat.get()).abs() < 2.0, "{}: {superfat}", batch.code);
        *states.entry(record.state.word()).or_insert(0) += 1;
    }
    assert_eq!(states.get(State::Withdrawn.word()), Some(&1), "{states:?}");
    assert!(states.len() >= 3, "free, withdrawn and curing: {states:?}");
    let stock = shelf.stock();
    for lot in &shelf.lots {
        let account = stock.left(lot.id);
        assert!(account.over < 1e-9, "{}: more used than there was: {account:?}", lot.id);
    }
    assert!(shelf.lots.iter().any(|lot| matches!(lot.stuff, Stuff::Other(_))), "not only what goes into soap");
}

#[test]
fn a_batch_was_weighed_wrongly_and_stopped_before_the_lye_went_in() {
    let library = Library::embedded().expect("assets parse");
    let (designs, _) = season(&library);
    let wrong = |e: &barwright_core::design::log::Entry| {
        e.corrects.is_some() && matches!(e.what, Happened::Weighed { what: What::SodiumHydroxide, .. })
    };
    let batch = designs.iter().flat_map(|d| d.log.batches()).find(|b| b.entries().iter().any(wrong)).expect("one");
    // As it stood when the wrong weight was the last entry.
    let mut then = barwright_core::design::log::Batch::new(batch.code, batch.maker.clone(), batch.made.clone());
    for entry in batch.entries() {
        if entry.corrects.is_some() {
            break;
        }
        then.push(entry.clone()).expect("room");
    }
    let record = Record::of(&then, &BTreeMap::new(), &library, Measures::METRIC);
    assert!(record.is_stopped(), "21 g too much: {:?}", record.superfat());
    let refused = record.allows(&Happened::LyeIn).expect_err("the lye stays out");
    assert!(refused.to_string().contains("STOP"), "{refused}");
}

#[test]
fn a_lot_is_traced_to_two_friends_and_a_market_day_and_back() {
    let library = Library::embedded().expect("assets parse");
    let (_, shelf) = season(&library);
    let lots = shelf.lots_called("HP-2601");
    let [lot] = lots[..] else { panic!("one lot of that number") };
    let batches = shelf.batches_of(lot.id);
    let to: BTreeSet<_> = batches.iter().flat_map(|m| &m.out).map(|o| (o.how == How::Sold, o.to.as_str())).collect();
    for person in
        [(false, "Ada of the lower orchard"), (false, "Bo at the mill"), (true, "market day, Fernhollow green")]
    {
        assert!(to.contains(&person), "{person:?} in {to:?}");
    }
    let back = shelf.batches_to("ada of the lower");
    assert!(batches.iter().filter(|m| !m.out.is_empty()).all(|m| back.contains(m)), "and back");
}

/// The loft was written as one in which half of the water of a bar 25 mm thick is gone in 13 days.
#[test]
fn the_cure_is_learnt_from_the_weighings_of_the_loft() {
    let library = Library::embedded().expect("assets parse");
    let (designs, _) = season(&library);
    let long: Vec<_> = designs
        .iter()
        .flat_map(|d| d.log.batches().iter().map(move |b| (&d.log, b)))
        .filter(|(_, b)| {
            let days: BTreeSet<_> =
                of_log::weighings(b).iter().flat_map(|(_, w)| w.iter().map(|w| w.days.get().to_bits())).collect();
            days.len() >= 7
        })
        .collect();
    assert!(long.len() > 5, "{} batches with seven weighings", long.len());
    let mut inside = 0;
    for (_, batch) in &long {
        let record = Record::of(batch, &BTreeMap::new(), &library, Measures::METRIC);
        let fitted = of_log::cure_of(batch, &record, &Prior::usual()).expect("bars");
        assert_eq!(fitted.basis(), Basis::Days(7));
        let half = fitted.half_days();
        inside += usize::from((half.low..=half.high).contains(&13.0));
        let weight = fitted.planned().weight(Days::nearest(28.0));
        assert!(weight.low < weight.likely && weight.likely < weight.high, "{weight:?}");
        // A label rests on what nine bars in ten weigh at least.
        let says = cure_words(&fitted, batch, Measures::METRIC);
        let days = batch.made.process.cure_days;
        let planned = format!("plan the label with {:.0} g", fitted.planned().weight(days).low.floor());
        assert!(says.ends_with(&planned), "{says}");
    }
    assert!(2 * inside > long.len(), "13 days lie in the band of {inside} of {}", long.len());
    // What earlier batches taught narrows what is expected of the next.
    let (log, last) = long.iter().max_by_key(|(_, b)| b.code).expect("some");
    let prior = of_log::prior(log, last, &library);
    assert!(prior.batches() > 0 && prior.ln_sd() < Prior::usual().ln_sd(), "{prior:?}");
    assert!((prior.half_days() - 13.0).abs() < (Prior::usual().half_days() - 13.0).abs(), "{prior:?}");
}
