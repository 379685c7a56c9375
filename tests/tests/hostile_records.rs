//! Logs and shelves that are cut off, garbled, huge or meant to harm: each ends in an error, or is read as something that
//! can be worked with; nothing is written that would not be read again.
//!
//! Source: the description of the files in the project's own documents; no publication.

use barwright_acceptance::Stream;
use barwright_core::bench::record::Record;
use barwright_core::design::document::{self, DocumentError, MOST_BYTES};
use barwright_core::design::log::{Batch, BatchCode, Entry, Happened, Log, PictureName};
use barwright_core::design::shelf::{Made, Shelf, csv};
use barwright_core::design::words::{Day, Line, Words};
use barwright_core::render;
use barwright_core::units::Measures;
use barwright_core::{Design, Library};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

fn file(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../assets/examples/season");
    std::fs::read(folder.join(name)).expect("it reads")
}

/// Does all that can be done with what was read.
fn worked_with(bytes: &[u8]) {
    if let Ok(document) = document::read_with_log(bytes, &LIBRARY) {
        for batch in document.log.batches() {
            let record = Record::of(batch, &BTreeMap::new(), &LIBRARY, Measures::US);
            let _ = (record.made(batch, "", ""), record.allows(&Happened::LyeIn), record.allows(&Happened::Freed));
        }
        let _ = render::record::log_text(&document.log, &LIBRARY);
        let text = document::write_with_log(&document.design, &document.log, &LIBRARY).expect("it is written");
        let again = document::read_with_log(text.as_bytes(), &LIBRARY).expect("and read again");
        assert_eq!(again.log, document.log, "the log as it was read");
    }
    if let Ok(shelf) = document::read_shelf(bytes, &LIBRARY) {
        let _ = (render::shelf::shelf_text(&shelf, &LIBRARY), csv::write(&shelf).expect("a table"));
        let text = document::write_shelf(&shelf, &LIBRARY).expect("it is written");
        let again = document::read_shelf(text.as_bytes(), &LIBRARY).expect("and read again");
        assert_eq!(again, shelf, "the shelf as it was read");
    }
}

#[test]
fn garbled_files_end_in_an_error_or_in_something_that_can_be_worked_with() {
    let mut random = Stream(7);
    for name in ["cellar-scrub.barwright", "shelf.ron"] {
        let good = file(name);
        worked_with(&good);
        for _ in 0..60 {
            let mut bad = good.clone();
            for _ in 0..=random.place(4) {
                let at = random.place(bad.len());
                match random.place(5) {
                    0 => bad.truncate(at.max(1)),
                    1 => bad[at] = b"0123456789-(){}[],:\"\\'exnaNif"[random.place(29)],
                    2 => drop(bad.drain(at..(at + 1 + random.place(40)).min(bad.len()))),
                    3 => {
                        let piece = bad[at..(at + 60).min(bad.len())].to_vec();
                        let to = random.place(bad.len());
                        bad.splice(to..to, piece);
                    }
                    // A digit becomes another: numbers, days, places in lists.
                    _ => {
                        if let Some(digit) = bad[at..].iter().position(u8::is_ascii_digit) {
                            bad[at + digit] = b'0' + u8::try_from(random.place(10)).unwrap_or(0);
                        }
                    }
                }
            }
            worked_with(&bad);
        }
    }
}

#[test]
fn a_shelf_that_is_newer_foreign_or_nested_is_refused_in_words() {
    let good = String::from_utf8(file("shelf.ron")).expect("text");
    let refused = |text: &str| document::read_shelf(text.as_bytes(), &LIBRARY).expect_err("it is none").to_string();
    assert!(
        refused(&good.replacen("barwright_shelf: 1", "barwright_shelf: 2", 1)).contains("The file was not changed")
    );
    assert_eq!(refused("(barwright: 1, fats: [])"), DocumentError::NotAShelf.to_string());
    let deep = format!("(barwright_shelf: 1, lots: {}{})", "[".repeat(100_000), "]".repeat(100_000));
    assert!(refused(&deep).starts_with("line 1, "), "{}", refused(&deep));
    let twice = good.replacen("id: (2)", "id: (1)", 1);
    assert!(twice != good && refused(&twice).contains("lot L1 stands twice"), "{}", refused(&twice));
    let long = vec![b' '; MOST_BYTES + 1];
    assert!(matches!(document::read_shelf(&long, &LIBRARY), Err(DocumentError::TooLarge { .. })));
}

#[test]
fn what_would_be_too_long_to_read_again_is_not_written() {
    let day = Day::try_from("2026-11-28".to_owned()).expect("a day");
    let made = Arc::new(Design::default());
    let mut log = Log::default();
    let said = Happened::Said(Words::new(&"x".repeat(Words::MOST)).expect("as long as may be"));
    for nth in 0..3 {
        let mut batch = Batch::new(BatchCode::of(day, nth), Line::default(), Arc::clone(&made));
        for _ in 0..2000 {
            batch.push(Entry { on: day, corrects: None, what: said.clone() }).expect("room");
        }
        log.begin(batch).expect("a new code");
    }
    let error = document::write_with_log(&made, &log, &LIBRARY).expect_err("24 MB");
    assert!(error.to_string().contains("a copy without the log"), "{error}");
}

#[test]
fn the_name_of_a_picture_is_never_a_way_to_somewhere_else() {
    for bad in [
        "",
        "..",
        "../a.png",
        "a/b.png",
        "a\\b.png",
        "c:a.png",
        ".hidden",
        "a\u{202e}gnp.exe",
        "a.png.",
        "a\n.png",
        "con|x",
    ] {
        assert!(PictureName::new(bad).is_err(), "{bad:?}");
    }
    assert_eq!(PictureName::new("2026-11-28A-1.png").map(String::from).as_deref(), Ok("2026-11-28A-1.png"));
}

#[test]
fn a_batch_that_is_confirmed_after_a_crash_counts_once() {
    let shelf = document::read_shelf(&file("shelf.ron"), &LIBRARY).expect("a shelf");
    let made: Made = shelf.made.iter().find(|m| m.confirmed && !m.lots.is_empty()).expect("one").clone();
    let before: Vec<f64> = shelf.lots.iter().map(|l| shelf.stock().left(l.id).left).collect();
    // The design was written, the shelf was not; then both are written again at the next start.
    let mut without: Shelf = shelf.clone();
    without.made.retain(|m| m.code != made.code);
    for _ in 0..3 {
        without.confirm(made.clone()).expect("room");
    }
    let after: Vec<f64> = without.lots.iter().map(|l| without.stock().left(l.id).left).collect();
    assert_eq!(before, after);
}
