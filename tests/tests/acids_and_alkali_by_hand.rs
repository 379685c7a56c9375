//! Whole designs, worked out a second time by independent code.
//!
//! Source: `peers/by_hand.py`, written from the model alone, which reads the numbers of
//! `cases/*.barwright` and the tables of `assets/data` and records what the JSON report must
//! say as `cases/*.expected.json`. Formulas: ISO 3657 (saponification value), AOCS Cd 3a-94 and
//! Cd 1c-85 (calculated values), ISO 685 (total fatty matter), Wang et al. 2008
//! (crystallisation), Simmons & Appleton 1908 (titre), Laliberté & Cooper 2004 with the coefficients
//! of 2009 and Kell 1975 (densities), Olsson, Jernqvist & Aly 1997 (heat).

use barwright_acceptance::judged;
use barwright_core::Library;
use barwright_core::cautions::Level;
use barwright_core::design::document;
use barwright_core::render::report::Report;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Masses, ratios and chemistry: relative.
const EXACT: f64 = 1e-9;
/// Scores and the ranges they are compared with: absolute.
const SCORE: f64 = 0.05;

fn cases() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let mut designs: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("tests/cases is there")
        .map(|entry| entry.expect("a readable entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == document::EXTENSION))
        .collect();
    designs.sort();
    designs
}

fn name(path: &Path) -> String {
    path.file_name().expect("a file").to_string_lossy().into_owned()
}

/// The JSON report of the design at `path`.
fn report(path: &Path, library: &Library) -> Value {
    let bytes = std::fs::read(path).expect("a readable case");
    let design = document::read(&bytes, library).unwrap_or_else(|e| panic!("{}: {e}", name(path)));
    let json = Report::new(&design, &judged(&design, library), library).json().expect("a report can be written");
    serde_json::from_str(&json).expect("a report is JSON")
}

fn expected(path: &Path) -> Value {
    let text = std::fs::read_to_string(path.with_extension("expected.json")).expect("each case has expected figures");
    serde_json::from_str(&text).expect("expected figures are JSON")
}

/// Adds to `wrong` where `actual` differs from `expected`, of which it may hold more.
fn compare(at: &str, actual: &Value, expected: &Value, wrong: &mut Vec<String>) {
    match (actual, expected) {
        (Value::Object(a), Value::Object(e)) => {
            for (key, value) in e {
                match a.get(key) {
                    Some(found) => compare(&format!("{at}/{key}"), found, value, wrong),
                    None => wrong.push(format!("{at}/{key} is missing")),
                }
            }
        }
        (Value::Array(a), Value::Array(e)) if a.len() == e.len() => {
            for (i, (a, e)) in a.iter().zip(e).enumerate() {
                compare(&format!("{at}/{i}"), a, e, wrong);
            }
        }
        (Value::Number(a), Value::Number(e)) => {
            let (a, e) = (a.as_f64().unwrap_or(f64::NAN), e.as_f64().unwrap_or(f64::NAN));
            let error = (a - e).abs();
            let score = at.starts_with("/estimates/");
            let allowed = if score { SCORE } else { EXACT * e.abs() };
            // Written so that not-a-number fails.
            let agrees = error <= allowed;
            if !agrees {
                wrong.push(format!("{at}: actual {a}, expected {e}, error {error:e}, allowed {allowed:e}"));
            }
        }
        _ if actual == expected => {}
        _ => wrong.push(format!("{at}: actual {actual}, expected {expected}")),
    }
}

/// Compares the parts of every case's report named by `keys`.
fn compare_all(keys: &[&str]) {
    let library = Library::embedded().expect("assets/data parses");
    let mut wrong = Vec::new();
    for path in cases() {
        let (actual, expected) = (report(&path, &library), expected(&path));
        let stopped = actual["cautions"].as_array().is_some_and(|all| all.iter().any(|c| c["level"] == "stop"));
        for key in keys {
            if *key == "label" && stopped {
                assert!(actual[key].is_null(), "{}: a label past a Stop", name(&path));
                continue;
            }
            let mut here = Vec::new();
            compare(&format!("/{key}"), &actual[key], &expected[key], &mut here);
            wrong.extend(here.into_iter().map(|w| format!("{}: {w}", name(&path))));
        }
    }
    assert!(wrong.is_empty(), "{} figures differ:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_cases_have_every_water_rule_size_stage_and_kind_of_fat() {
    let cases = cases();
    assert_eq!(cases.len(), 44, "{cases:?}");
    let texts: Vec<String> = cases.iter().map(|p| std::fs::read_to_string(p).expect("readable")).collect();
    for needed in [
        "LyeConcentration",
        "WaterToAlkali",
        "PercentOfFats",
        "superfat: -",
        "koh_share: 35",
        "koh_share: 100",
        "stearic_acid_50",
        "beeswax\", share: 5",
        "beeswax\", share: 15",
        "jojoba",
        "supplier",
        "naoh_purity",
        "olive\"",
        "milled toilet",
        "everyday handmade",
        "scrubbing",
        "FatMass(",
        "BarMass(",
        "BarAtSale(",
        "Volume(",
        "Loaf(",
        "Slab(",
        "Round(",
        "Cavities(",
        "IntoJug",
        "IntoFats",
        "AtTrace",
        "OnTop",
        "GramsPerKgFats(",
        "amount: PercentOfFats(",
        "amount: Grams(",
        "counts_as_water: false",
        "jug_frozen",
        "jug_bath_c",
        "batter_g_per_ml: Some",
        "jug_cooling_min: Some",
        "Addition((",
    ] {
        assert!(texts.iter().any(|t| t.contains(needed)), "no case has {needed}");
    }
}

#[test]
fn every_mass_and_ratio_is_the_one_worked_out_by_hand() {
    compare_all(&["name", "format", "batch", "fats"]);
}

#[test]
fn the_additions_and_every_gram_of_water_are_those_worked_out_by_hand() {
    compare_all(&["additions", "water"]);
}

#[test]
fn the_jug_is_the_one_worked_out_by_hand() {
    compare_all(&["jug"]);
}

#[test]
fn the_mould_and_its_bars_are_those_worked_out_by_hand() {
    compare_all(&["size"]);
}

#[test]
fn the_scents_and_their_limits_are_those_worked_out_by_hand() {
    compare_all(&["scents", "scent_limits"]);
}

#[test]
fn the_ingredient_lists_and_the_allergens_are_those_worked_out_by_hand() {
    compare_all(&["label"]);
}

#[test]
fn the_chemistry_is_the_one_worked_out_by_hand() {
    compare_all(&["chemistry"]);
}

#[test]
fn the_acids_are_those_worked_out_by_hand_and_no_others() {
    compare_all(&["acids_pct"]);
    let library = Library::embedded().expect("assets/data parses");
    for path in cases() {
        let keys = |v: &Value| v["acids_pct"].as_object().map_or(0, serde_json::Map::len);
        assert_eq!(keys(&report(&path, &library)), keys(&expected(&path)), "acids of {}", name(&path));
    }
}

#[test]
fn the_estimates_with_their_guideline_ranges_are_those_worked_out_by_hand() {
    compare_all(&["estimates"]);
}

#[test]
fn the_cautions_are_those_the_rules_call_for() {
    let library = Library::embedded().expect("assets/data parses");
    for path in cases() {
        let (actual, expected) = (report(&path, &library), expected(&path));
        let said = actual["cautions"].as_array().expect("a list");
        for (code, level) in expected["cautions"].as_object().expect("by code") {
            let found = said.iter().find(|c| c["code"] == *code).map_or(&Value::Null, |c| &c["level"]);
            assert_eq!(found, level, "{}: {code}", name(&path));
        }
        for caution in said {
            let text = caution["text"].as_str().unwrap_or_default();
            assert!(text.len() > 20, "{}: {} says nothing", name(&path), caution["code"]);
        }
    }
}

#[test]
fn a_tenth_of_wax_without_a_profile_is_left_out_with_a_note_and_more_makes_the_scores_null() {
    let library = Library::embedded().expect("assets/data parses");
    let case = |file: &str| Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(file);
    let five = report(&case("beeswax_5.barwright"), &library);
    assert!(five["estimates"]["hardness"]["value"].is_number(), "5 % still gives scores: {}", five["estimates"]);
    let fifteen = report(&case("beeswax_15.barwright"), &library);
    for (estimate, result) in fifteen["estimates"].as_object().expect("by estimate") {
        assert!(result["value"].is_null(), "{estimate} of a blend that is 15 % unknown: {result}");
    }
    assert!(fifteen["batch"]["naoh_g"].is_number(), "the lye counts the wax");
}

#[test]
fn the_worst_caution_comes_first() {
    let library = Library::embedded().expect("assets/data parses");
    for path in cases() {
        let design = document::read(&std::fs::read(&path).expect("readable"), &library).expect("a design");
        let levels: Vec<Level> = judged(&design, &library).cautions.iter().map(|c| c.level).collect();
        assert!(levels.is_sorted_by(|a, b| a >= b), "{}: {levels:?}", name(&path));
    }
}
