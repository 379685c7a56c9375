//! The commands that tell of batches and of the shelf.

use barwright_core::bench::record::Record;
use barwright_core::design::document;
use barwright_core::design::log::{
    Batch, BatchCode, CutLike, Entry, Happened, How, Log, LotFigures, LotId, Outcome, Taken, What,
};
use barwright_core::design::shelf::{Shelf, ShelfEdit};
use barwright_core::design::words::{Day, Line};
use barwright_core::units::{AmountMass, Hours, Measures};
use barwright_core::{Design, Library};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// What a run of the program gave: exit code, output, errors.
fn run(arguments: &[&str]) -> (String, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let arguments = std::iter::once("barwright").chain(arguments.iter().copied()).map(Into::into);
    let code = barwright::cli::run(arguments, &mut out, &mut err);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (format!("{code:?}"), text(out), text(err))
}

fn day() -> Day {
    Day::try_from("2026-09-12".to_owned()).expect("a day")
}

fn path(folder: &Path, name: &str) -> String {
    folder.join(name).to_str().expect("a plain path").to_owned()
}

/// A design with a batch that took of two lots, was sold in part, and stands on the shelf of `folder`.
fn season(folder: &Path, naoh: f64) -> String {
    let library = Library::embedded().expect("assets parse");
    let text = r#"(barwright: 1, name: "Apple", fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)],
        superfat: 6, size: FatMass(600), bars: 6)"#;
    let design: Design = document::read(text.as_bytes(), &library).expect("a design");
    let mut batch = Batch::new(BatchCode::of(day(), 0), Line::default(), Arc::new(design.clone()));
    let lots =
        |lot, grams| vec![Taken { lot: LotId(lot), grams: AmountMass::nearest(grams), figures: LotFigures::default() }];
    let weighed = |what, grams, lots| Happened::Weighed { what, grams: AmountMass::nearest(grams), lots };
    let entries = [
        weighed(What::Fat(0), 420.0, lots(1, 420.0)),
        weighed(What::Fat(1), 180.0, Vec::new()),
        weighed(What::SodiumHydroxide, naoh, lots(2, naoh)),
        Happened::LyeIn,
        Happened::Made,
        Happened::Cut {
            hours: Hours::nearest(48.0),
            like: CutLike::Clean,
            bars: 6,
            each: Vec::new(),
            trimmings: AmountMass::nearest(0.0),
            seconds: 0,
        },
        Happened::Tested { how: Line::new("strip").expect("a line"), outcome: Outcome::Passed },
        Happened::Freed,
        Happened::Out { bars: 2, how: How::Sold, to: Line::new("market day, Fernhollow").expect("a line") },
    ];
    for what in entries {
        batch.push(Entry { on: day(), corrects: None, what }).expect("room");
    }
    let record = Record::of(&batch, &BTreeMap::new(), &library, Measures::METRIC);
    let made = record.made(&batch, "Apple", "apple.barwright");
    let mut log = Log::default();
    log.begin(batch).expect("a new code");
    let file = path(folder, "apple.barwright");
    std::fs::write(&file, document::write_with_log(&design, &log, &library).expect("text")).expect("writes");
    let table = path(folder, "lots.csv");
    std::fs::write(&table, "material,grams,lot_number,pack_price\nolive_virgin,5000,P-7,40\nNaOH,1000,N-1,6\n")
        .expect("writes");
    let (code, out, _) = run(&["shelf", "import", &table, "--folder", folder.to_str().expect("plain")]);
    assert!(code.contains('0') && out.contains("2 lots are on the shelf"), "{code} {out}");
    let file_of_shelf = path(folder, barwright::shelf::FILE);
    let shelf: Shelf = document::read_shelf(&std::fs::read(&file_of_shelf).expect("reads"), &library).expect("a shelf");
    let shelf = ShelfEdit::Confirm(made).apply(&shelf).expect("room");
    std::fs::write(&file_of_shelf, document::write_shelf(&shelf, &library).expect("text")).expect("writes");
    file
}

#[test]
fn a_batch_tells_the_superfat_that_resulted_and_where_its_bars_went() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = season(folder.path(), 86.3);
    let (_, text, _) = run(&["log", &file]);
    for part in [
        "2026-09-12A: free",
        "superfat as weighed",
        "4 of 6 bars left",
        "Test passed: strip",
        "2 bars sold to market day",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, json, _) = run(&["log", &file, "--json"]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let batch = &json["batches"][0];
    // By hand: what 420 g of olive and 180 g of coconut take at the middles of their saponification values.
    let superfat = batch["superfat_pct"].as_f64().expect("a number");
    assert!((3.0..9.0).contains(&superfat) && batch["complete"] == true, "{batch}");
    let (_, page, _) = run(&["log", &file, "--page", "form", "--batch", "2026-09-12A"]);
    assert!(page.contains("Nothing is used, given or sold before a passed test."), "{page}");
    let (_, page, _) = run(&["log", &file, "--page", "record", "--batch", "2026-09-12a", "--units", "us"]);
    assert!(page.contains("weighed, oz") && page.contains("L1"), "{page}");
    let (code, _, err) = run(&["log", &file, "--page", "record", "--batch", "2026-09-13A"]);
    assert!(code.contains('2') && err.contains("there is no batch 2026-09-13A"), "{code} {err}");
}

#[test]
fn a_batch_weighed_wrongly_is_stopped_and_is_not_free() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (_, text, _) = run(&["log", &season(folder.path(), 110.0)]);
    assert!(text.contains("2026-09-12A: tested") && text.contains("STOP: "), "{text}");
}

#[test]
fn a_lot_is_traced_to_the_people_and_the_books_agree() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    season(folder.path(), 86.3);
    let at = folder.path().to_str().expect("plain");
    let (_, text, _) = run(&["shelf", "trace", "p-7", "--folder", at]);
    for part in [
        "Trace of a lot: p-7",
        "1 lot went into 1 batch, of which 2 bars",
        "2026-09-12A Apple: 6 bars, 4 left, ",
        "420.0 g of L1",
        "2 sold market day, Fernhollow",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let (_, text, _) = run(&["shelf", "trace", "market day", "--units", "us", "--folder", at]);
    assert!(text.contains("2 bars of 1 batch went to 1 name") && text.contains("14.82 oz of L1"), "and back: {text}");
    let (_, batch, _) = run(&["shelf", "trace", "2026-09-12a", "--folder", at]);
    assert!(batch.contains("Trace of a batch"), "{batch}");
    let (_, text, _) = run(&["shelf", "--folder", at]);
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    assert!(plain.contains("4580of5000gleft"), "{text}");
    let (_, json, _) = run(&["shelf", "--json", "--folder", at]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!((&json["lots"][0]["left_g"], &json["batches"][0]["bars_left"]), (&4580.0.into(), &4.into()));
    let table = path(folder.path(), "out.csv");
    run(&["shelf", "export", &table, "--folder", at]);
    let (code, out, _) = run(&["shelf", "import", &table, "--dry-run", "--folder", at]);
    assert!(code.contains('0') && out.contains("2 lots would be taken, 0 lines are wrong"), "{out}");
    let (code, _, err) = run(&["shelf", "trace", "Q", "--folder", at]);
    assert!(code.contains('2') && err.contains("nothing on the shelf is called “Q”"), "{code} {err}");
    std::fs::write(&table, "material,grams\nshea,5\nshea,x\n").expect("writes");
    let (code, out, err) = run(&["shelf", "import", &table, "--folder", at]);
    assert!(code.contains('2') && out.contains("line 3, grams") && err.contains("nothing was taken"), "{out} {err}");
}

#[test]
fn a_search_from_the_shelf_uses_what_is_there() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = season(folder.path(), 86.3);
    let at = folder.path().to_str().expect("plain");
    let table = path(folder.path(), "more.csv");
    std::fs::write(&table, "material,grams\ncoconut,150\nshea,66\n").expect("writes");
    run(&["shelf", "import", &table, "--folder", at]);
    let (code, json, err) =
        run(&["find", &file, "--from-shelf", "--shelf", at, "--use-up", "shea", "--json", "--results", "1"]);
    assert!(code.contains('0'), "{code} {err}");
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    for fat in json["results"][0]["fats"].as_array().expect("fats") {
        let (id, share) = (fat["fat"].as_str().expect("an id"), fat["share_pct"].as_f64().expect("a share"));
        assert!(["olive_virgin", "coconut", "shea"].contains(&id), "{id} is on the shelf");
        assert!(id != "coconut" || share <= 25.0, "150 g of 600 g: {share}");
        assert!(id != "shea" || share >= 11.0, "66 g of 600 g: {share}");
    }
    let (code, _, err) = run(&["find", &file, "--from-shelf", "--shelf", at, "--use-up", "cocoa_butter"]);
    assert!(code.contains('2') && err.contains("cannot be used up"), "{err}");
}
