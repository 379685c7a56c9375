//! What is written of batches and of the shelf is read again as it was.

use super::*;
use crate::design::log::{Batch, BatchCode, Entry, Happened, HeatOf, LotFigures, LotId, Outcome, Taken, What};
use crate::design::shelf::{Correction, Lot, Made, Stuff};
use crate::design::words::{Day, Line, Words};
use crate::library::material::MaterialId;
use crate::units::{AmountMass, Celsius, Share, StockChange, Superfat};
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

fn day() -> Day {
    Day::try_from("2026-10-03".to_owned()).expect("a day")
}

fn design(library: &Library) -> Design {
    let text = r#"(barwright: 1, name: "Apple", fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)],
        additions: [(addition: "apple_puree", amount: PercentOfFats(8))])"#;
    read(text.as_bytes(), library).expect("a design")
}

fn line(text: &str) -> Line {
    Line::new(text).expect("a line")
}

fn entries() -> Vec<Happened> {
    let lots = vec![Taken { lot: LotId(3), grams: AmountMass::nearest(350.25), figures: LotFigures::default() }];
    vec![
        Happened::Weighed { what: What::Fat(0), grams: AmountMass::nearest(350.25), lots },
        Happened::Heat { of: HeatOf::LyePeak, celsius: Celsius::nearest(82.5) },
        Happened::Said(Words::new("two\nlines, “quoted” \\ and so on").expect("words")),
        Happened::Tested { how: line("zap"), outcome: Outcome::Again(day()) },
        Happened::Withdrawn { reason: line("lye pocket") },
    ]
}

fn log(design: &Arc<Design>, batches: u16) -> Log {
    let mut log = Log::default();
    for nth in 0..batches {
        // Each second one of another superfat, and the first fat of another record.
        let mut made = (**design).clone();
        made.superfat = Superfat::nearest(5.0 + f64::from(nth % 2));
        let made = if nth % 3 == 0 { Arc::clone(design) } else { Arc::new(made) };
        let mut batch = Batch::new(BatchCode::of(day(), nth), line("the maker"), made);
        for what in entries() {
            batch.push(Entry { on: day(), corrects: None, what }).expect("room");
        }
        log.begin(batch).expect("a new code");
    }
    log
}

#[test]
fn a_log_reopens_as_it_was_and_its_designs_stand_once() {
    let library = library();
    let made = Arc::new(design(&library));
    let log = log(&made, 7);
    let now = Design { name: "Apple, later".into(), ..Design::default() };
    let text = write_with_log(&now, &log, &library).expect("text");
    let again = read_with_log(text.as_bytes(), &library).expect("it reads");
    assert_eq!(again.log, log);
    assert_eq!(again.design, now);
    assert_eq!(text.matches("\"apple_puree\"").count(), 2 + 1, "two designs name it, one record has it: {text}");
    assert_eq!(write_with_log(&again.design, &again.log, &library).expect("text"), text, "and is written the same");
}

#[test]
fn what_is_wrong_with_a_batch_is_told_with_its_place() {
    let library = library();
    let text = write_with_log(&design(&library), &log(&Arc::new(design(&library)), 2), &library).expect("text");
    for (from, to, told) in [
        ("made: 0", "made: 9", "the design it was made of is not there"),
        ("2026-10-03B", "2026-10-03A", "names one batch only"),
        ("2026-10-03B", "2026-10-33B", "names no batch"),
        ("LyePeak", "Peek", "Peek"),
        ("82.5", "1e9", "a temperature must lie between"),
        ("records: [", "records: [99, ", "names a record that is not there"),
        ("zap", "\\u{1b}[2J", "cannot be seen"),
    ] {
        let bad = text.replacen(from, to, 1);
        assert_ne!(bad, text, "{from} is there");
        let error = read_with_log(bad.as_bytes(), &library).expect_err(to).to_string();
        assert!(error.starts_with("line ") && error.contains(told), "{to}: {error}");
    }
}

#[test]
fn five_hundred_batches_are_saved_and_reopened() {
    let library = library();
    let made = Arc::new(design(&library));
    let mut log = log(&made, 500);
    for code in log.batches().iter().map(|b| b.code).collect::<Vec<_>>() {
        for what in entries().into_iter().cycle().take(60) {
            log.push(&code, Entry { on: day(), corrects: None, what }).expect("room");
        }
    }
    let text = write_with_log(&made, &log, &library).expect("it is written, so it is read");
    assert!(text.len() < MOST_BYTES / 2, "{} bytes", text.len());
    assert_eq!(read_with_log(text.as_bytes(), &library).expect("it reads").log, log);
}

#[test]
fn a_shelf_reopens_as_it_was() {
    let library = library();
    let mut shelf = Shelf { currency: line("EUR"), ..Shelf::default() };
    let olive = Stuff::Fat(MaterialId::new("olive_virgin").expect("an id"));
    let lot = Lot {
        supplier: line("Fernhollow press"),
        number: line("P-7"),
        best_before: Some(day()),
        ..Lot::new(LotId(0), olive, AmountMass::nearest(5000.0))
    };
    let id = shelf.put(lot).expect("room");
    let count = Correction { on: day(), grams: StockChange::nearest(-12.5), reason: line("counted anew") };
    shelf.correct(id, count).expect("a reason");
    let made = Made {
        lots: vec![(id, AmountMass::nearest(300.0))],
        confirmed: true,
        ..Made::begun(BatchCode::of(day(), 0), line("Apple"), "apple.barwright".into())
    };
    shelf.confirm(made).expect("room");
    shelf.own.fats.push(Arc::clone(library.fat("shea").expect("tabled")));
    shelf.lots[0].papers.acids.push((line("18:1"), Share::nearest(71.0)));
    let text = write_shelf(&shelf, &library).expect("text");
    assert_eq!(read_shelf(text.as_bytes(), &library).expect("it reads"), shelf);
    for (from, to, told) in [
        ("barwright_shelf: 1", "barwright_shelf: 2", "format version 2"),
        ("barwright_shelf: 1", "barwright: 1", "no shelf"),
        ("5000", "-5000", "an amount must lie between"),
        ("olive_virgin", "Olive!", "cannot name a material"),
    ] {
        let error = read_shelf(text.replacen(from, to, 1).as_bytes(), &library).expect_err(to).to_string();
        assert!(error.contains(told), "{to}: {error}");
    }
    for end in (0..text.trim_end().len()).filter(|end| text.is_char_boundary(*end)).step_by(7) {
        assert!(read_shelf(&text.as_bytes()[..end], &library).is_err(), "cut off at {end}");
    }
}

/// A design in which `long` stands as each text and `many` as each list that a file may hold.
fn with(long: &str, many: usize) -> Vec<(&'static str, String)> {
    let fat = |name: &str, source: &str, inci: &str, profile: &str| {
        format!(
            "materials: [Fat((id: \"own_a\", name: \"{name}\", kind: Triglyceride, \
             sv: (min: 180, max: 190, source: \"{source}\", trust: FromMemory), profile: [{profile}], \
             inci: (fat: \"{inci}\", fat_status: \"\", sodium_soap: \"\", potassium_soap: \"\", soap_status: \"\")))]"
        )
    };
    let scent = |cas: &str, constituents: &str| {
        format!("materials: [Scent((id: \"own_b\", name: \"b\", cas: \"{cas}\", constituents: [{constituents}]))]")
    };
    let price = "(material: \"coconut\", pack_g: 1000, price: 5), ".repeat(many);
    let acid = "(acid: \"18:1\", min: 1, typical: 1, max: 1, source: \"\", trust: FromMemory), ".repeat(many);
    let part = "(name: \"linalool\", cas: \"78-70-6\", most: 1), ".repeat(many);
    [
        ("name", format!("name: \"{long}\"")),
        ("notes", format!("notes: \"{long}\"")),
        ("style", format!("style: \"{long}\"")),
        ("currency", format!("currency: \"{long}\"")),
        ("day", format!("process: (made_on: Some(\"{long}\"))")),
        ("price’s material", format!("prices: [(material: \"{long}\", pack_g: 1000, price: 5)]")),
        ("prices", format!("prices: [{price}]")),
        ("fat’s name", fat(long, "", "", "")),
        ("source", fat("a", long, "", "")),
        ("INCI", fat("a", "", long, "")),
        ("acids", fat("a", "", "", &acid)),
        ("CAS", scent(&"78-70-6;".repeat(long.len()), "")),
        ("constituents", scent("", &part)),
    ]
    .map(|(what, field)| (what, format!("(barwright: 1,\n{field},\nfats: [(fat: \"olive_virgin\", share: 100)])")))
    .into()
}

#[test]
fn texts_and_lists_longer_than_any_persons_are_refused_where_they_stand() {
    let library = library();
    for (what, file) in with(&"x".repeat(100_001), 1001) {
        match read(file.as_bytes(), &library) {
            Err(DocumentError::At { line: 2, message, .. }) => {
                assert!(message.contains("shorten it") || message.contains("items"), "{what}: {message}");
            }
            other => panic!("{what}: {other:?}"),
        }
    }
    // What is refused is refused for its length alone.
    for (what, file) in with("x", 0) {
        let refused = read(file.as_bytes(), &library).err().map(|e| e.to_string());
        assert!(refused.as_ref().is_none_or(|said| !said.contains("letters") && !said.contains("items")), "{what}");
    }
}
