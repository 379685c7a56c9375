//! A design that is good, and what spoils it and judges the refusal, for files meant to harm.
//!
//! Line and column are promised where there is a place to name: they must point at the value
//! at fault, its line at least, and a column on it or right behind it.

use barwright_core::design::document::{self, DocumentError};
use barwright_core::{Design, Library};
use std::sync::LazyLock;

pub(crate) static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// A design that uses every field, so that each can be spoilt in turn.
pub(crate) const GOOD: &str = r#"(
    barwright: 1,
    name: "Windfall, Fernhollow orchard",
    notes: "Überreif, said the picker — “all of it”.",
    style: "everyday handmade",
    fats: [
        (fat: "olive_virgin", share: 44.0, locked: false),
        (fat: "coconut", share: 26.0, locked: true),
        (fat: "cocoa_butter", share: 14.0, locked: false, supplier: Some((sv: 194.1, pm: 1.0))),
        (fat: "orchard_press", share: 9.0),
        (fat: "castor", share: 7.0),
    ],
    superfat: 6.0,
    alkali: (koh_share: 5.0, naoh_purity: 98.5, koh_purity: 89.5, naoh_purity_pm: 0.4, koh_purity_pm: 1.5),
    scale_division_g: 0.5,
    water: LyeConcentration(31.0),
    size: FatMass(750.0),
    bars: 9,
    additions: [
        (addition: "apple_puree", amount: PercentOfFats(8.0), counts_as_water: true, stage: IntoFats),
        (addition: "fernhollow_cider", amount: Grams(40.0), counts_as_water: false, stage: IntoJug),
        (addition: "salt", amount: GramsPerKgFats(7.5)),
    ],
    scents: [
        (scent: "lavender", amount: PercentOfFats(1.5), stage: OnTop),
        (scent: "orchard_blossom", amount: Grams(3.25)),
    ],
    process: (room_c: 19.0, mix_c: 38.0, fats_c: Some(41.0), jug_water_c: Some(4.0), jug_frozen: 25.0, jug_bath_c: Some(12.0), oven_gel: Some((oven_c: 75.0, minutes: 30.0)), rest: Insulated, cut_hours: 48.0, cure_days: 28.0, made_on: Some("2026-03-14")),
    prices: [(material: "olive_virgin", pack_g: 1000.0, price: 9.5)],
    currency: "EUR",
    allergen_list: Extended,
    calibration: (batter_g_per_ml: Some(1.01), jug_cooling_min: Some(45.0)),
    batches: [],
    materials: [
        Fat((
            id: "orchard_press",
            name: "Orchard press",
            kind: Triglyceride,
            sv: (min: 186.0, max: 194.5, source: "own titration", trust: Read),
            iv: Some((min: 76.0, max: 94.5, source: "own guess", trust: FromMemory)),
            unsaponifiable_g_per_kg: Some((min: 5.5, max: 13.5, source: "own guess", trust: FromMemory)),
            relative_density: Some((min: 0.911, max: 0.916, basis: "20C/water20C", source: "own guess", trust: FromMemory)),
            profile: [
                (acid: "16:0", min: 7.5, typical: 12.0, max: 20.0, source: "own guess", trust: FromMemory),
                (acid: "18:1", min: 55.0, typical: 72.5, max: 83.0, source: "own guess", trust: FromMemory),
                (acid: "18:2", min: 3.5, typical: 15.5, max: 21.0, source: "own guess", trust: FromMemory),
            ],
            inci: (fat: "", fat_status: "", sodium_soap: "", potassium_soap: "", soap_status: ""),
        )),
        Addition((
            id: "fernhollow_cider",
            name: "Fernhollow cider",
            kind: Liquid,
            water: 92.5,
            fat: 0.25,
            sugars: Some(1.75),
            source: "own weighing",
            trust: Maker,
            acid: Some((name: "malic acid", content: 0.625, molar_mass: 134.09, protons: 2, source: "own titration", trust: Maker)),
            uncounted_acid: Some((name: "acetic acid", most: 0.375, naoh_g_per_g: 0.666)),
            alcohol: 4.75,
            usual_stage: IntoJug,
            solids_g_per_ml: 1.45,
            inci: "",
            inci_status: "not found",
            advice: "Keep it off the picker.",
        )),
        Scent((
            id: "orchard_blossom",
            name: "Orchard blossom",
            cas: "8000-28-0",
            inci: "",
            inci_status: "not found",
            constituents: [
                (name: "linalool", cas: "78-70-6; 126-90-9", most: 44.5, whole: false, source: "own guess", trust: FromMemory),
                (name: "geraniol", cas: "106-24-1", most: 3.5),
            ],
        )),
    ],
)
"#;

pub(crate) fn read(text: &str) -> Result<Design, DocumentError> {
    document::read(text.as_bytes(), &LIBRARY)
}

#[track_caller]
pub(crate) fn refused(what: &str, bytes: &[u8]) -> DocumentError {
    match document::read(bytes, &LIBRARY) {
        Ok(design) => panic!("{what}: must be refused, but was read as “{}”", design.name),
        Err(error) => error,
    }
}

/// `GOOD` with `from`, which must stand there, replaced once.
#[track_caller]
pub(crate) fn spoilt(from: &str, to: &str) -> String {
    assert_eq!(GOOD.matches(from).count(), 1, "{from:?} must stand once in the good design");
    GOOD.replacen(from, to, 1)
}

/// Line and column, from 1, in characters, of byte `at`.
pub(crate) fn position(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    (1 + before.matches('\n').count(), 1 + before.chars().rev().take_while(|c| *c != '\n').count())
}

/// Why `error` does not say `words` at the place of `value`, which begins at byte `at` of `text`.
pub(crate) fn misplaced(text: &str, at: usize, value: &str, error: &DocumentError, words: &[&str]) -> Option<String> {
    let (line, column) = position(text, at);
    let width = value.chars().count();
    let said = error.to_string();
    match error {
        DocumentError::At { line: l, .. } if *l != line => {
            Some(format!("{value:?} stands in line {line}, but: {said}"))
        }
        DocumentError::At { column: c, .. } if !(column..=column + width).contains(c) => {
            Some(format!("{value:?} stands at columns {column} to {}, but: {said}", column + width - 1))
        }
        DocumentError::At { .. } => {
            words.iter().find(|w| !said.contains(**w)).map(|w| format!("{value:?}: the message lacks {w:?}: {said}"))
        }
        other => Some(format!("{value:?}: no place is named: {other}")),
    }
}

/// Replaces in `GOOD` the value of `field: old` by `new`, and says what is wrong with the refusal.
#[track_caller]
pub(crate) fn fault(field: &str, old: &str, new: &str, words: &[&str]) -> Option<String> {
    fault_in(GOOD, field, old, new, words)
}

/// The same in another `good` text.
#[track_caller]
pub(crate) fn fault_in(good: &str, field: &str, old: &str, new: &str, words: &[&str]) -> Option<String> {
    let (from, to) = (format!("{field}{old}"), format!("{field}{new}"));
    assert_eq!(good.matches(&from).count(), 1, "{from:?} must stand once in the good design");
    let text = good.replacen(&from, &to, 1);
    let at = text.find(&to).expect("just put there") + field.len();
    let error = refused(&to, text.as_bytes());
    misplaced(&text, at, new, &error, words).map(|w| format!("{field}{new}: {w}"))
}

#[track_caller]
pub(crate) fn assert_none(faults: &[String]) {
    assert!(faults.is_empty(), "{} refusals are wrong:\n{}", faults.len(), faults.join("\n"));
}
