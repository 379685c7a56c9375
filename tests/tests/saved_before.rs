//! Designs as the program saved them before the lye rested on what is possible, with the numbers that it reported then:
//! `cases/saved_before` was written and reported by that program (version 0.1.0 of 26 November 2026), not by hand. They
//! keep their alkali, water, batch and margin until their maker takes the offer. What is forecast of the cure, and the
//! scores, may move with better figures.

use barwright_acceptance::judged;
use barwright_core::design::edit::Edit;
use barwright_core::design::{Design, document};
use barwright_core::render::report::Report;
use barwright_core::{Library, evaluate};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

const SAVED: [&str; 3] = ["nuts", "animals", "additions"];

fn path(name: &str, extension: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/saved_before");
    folder.join(format!("{name}.{extension}"))
}

fn text(name: &str) -> String {
    std::fs::read_to_string(path(name, "barwright")).expect("readable")
}

fn saved(name: &str) -> Design {
    document::read(text(name).as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn recorded(name: &str) -> Value {
    let text = std::fs::read_to_string(path(name, "expected.json")).expect("readable");
    serde_json::from_str(&text).expect("JSON")
}

fn report(design: &Design) -> Value {
    let text = Report::new(design, &judged(design, &LIBRARY), &LIBRARY).json().expect("a report");
    serde_json::from_str(&text).expect("JSON")
}

/// Each place at which `found` has not what is `expected`; numbers to within what another order of sums changes.
fn differences(expected: &Value, found: &Value, place: &str, list: &mut Vec<String>) {
    const SUMS: f64 = 1e-11;
    match (expected, found) {
        (Value::Object(fields), _) => {
            for (key, value) in fields {
                differences(value, &found[key], &format!("{place}.{key}"), list);
            }
        }
        (Value::Array(values), Value::Array(others)) if values.len() == others.len() => {
            for (i, (value, other)) in values.iter().zip(others).enumerate() {
                differences(value, other, &format!("{place}.{i}"), list);
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().expect("a number"), b.as_f64().expect("a number"));
            if (a - b).abs() > SUMS * a.abs().max(1.0) {
                list.push(format!("{place}: {a} was recorded, {b} is reported"));
            }
        }
        _ if expected == found => {}
        _ => list.push(format!("{place}: {expected} was recorded, {found} is reported")),
    }
}

fn moved(name: &str, design: &Design) -> Vec<String> {
    let mut list = Vec::new();
    differences(&recorded(name), &report(design), name, &mut list);
    list
}

#[test]
fn they_are_as_that_program_wrote_them() {
    for name in SAVED {
        assert!(text(name).contains("materials: ["), "{name}: with its records");
        for later in ["sv_used", "counts_as_fat", "lye_rests_on"] {
            assert!(!text(name).contains(later), "{name}: {later} came later");
        }
    }
}

#[test]
fn they_report_what_they_did_until_the_offer_is_taken() {
    for name in SAVED {
        let design = saved(name);
        assert_eq!(moved(name, &design), Vec::<String>::new());
        // So they do once they are saved by this program.
        let again = document::write(&design, &LIBRARY).expect("written");
        let again = document::read(again.as_bytes(), &LIBRARY).expect("readable");
        assert_eq!(moved(name, &again), Vec::<String>::new(), "saved again");
        // One edit that has no part in it moves nothing else.
        let renamed = Edit::Rename("Another name".into()).apply(&design, &LIBRARY).expect("a name");
        assert_eq!(moved(name, &renamed), Vec::<String>::new(), "renamed");
    }
}

#[test]
fn the_offer_takes_them_to_the_narrower_values_in_one_step() {
    let offer = |design: &Design| judged(design, &LIBRARY).cautions.into_iter().find(|c| c.code == "sv-narrower");
    for name in SAVED {
        let design = saved(name);
        let told = offer(&design).unwrap_or_else(|| panic!("{name}: offered"));
        let remedy = told.remedy.unwrap_or_else(|| panic!("{name}: one click"));
        let taken = remedy.edit.apply(&design, &LIBRARY).expect("always possible");
        let [before, after] = [&design, &taken].map(|d| evaluate(d, &LIBRARY).masses.alkali.naoh.0);
        assert!((before - after).abs() > 0.01, "{name}: {before} and {after}");
        for weight in [before, after] {
            assert!(told.why.contains(&format!("{weight:.1} g")), "{name}: {weight} in {}", told.why);
        }
        assert!(offer(&taken).is_none(), "{name}: offered once");
    }
}

#[test]
fn a_fatty_acid_among_additions_is_offered_to_count_as_a_fat() {
    let plain = r#"(barwright: 1, superfat: 5, size: FatMass(1000), fats: [(fat: "beeswax", share: 5), (fat: "coconut", share: 95)],
        additions: [(addition: "stearic_acid", amount: Grams(50), stage: IntoFats)])"#;
    let read = |text: &str| document::read(text.as_bytes(), &LIBRARY).expect("readable");
    let before = Edit::NarrowLye.apply(&read(plain), &LIBRARY).expect("always possible");
    let possible = read(&plain.replace("superfat: 5", "superfat: 5, lye_rests_on: Possible"));
    assert_eq!(before, possible, "both are the same in the end");
    // Only the acid is left as it was saved: of 50 g all takes alkali, or 95 % of it.
    let mut as_saved = possible.clone();
    for line in &mut as_saved.additions {
        line.addition = line.addition.counting_as_fat(false);
    }
    let told = judged(&as_saved, &LIBRARY).cautions.into_iter().find(|c| c.code == "sv-narrower").expect("offered");
    assert!(told.why.contains("all of Stearic acid takes alkali"), "{}", told.why);
    let [more, less] = [&as_saved, &possible].map(|d| evaluate(d, &LIBRARY).masses.alkali.pure_naoh.0);
    let acid = LIBRARY.addition("stearic_acid").expect("tabled").naoh_per_gram();
    assert!((more - less - 0.05 * 50.0 * acid).abs() < 1e-9, "{more} and {less}");
    let told = judged(&possible, &LIBRARY).cautions;
    assert!(!told.iter().any(|c| ["sv-narrower", "records-differ"].contains(&c.code)), "nothing is left to offer");
}
