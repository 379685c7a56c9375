//! Files that are broken, foreign, huge or meant to harm: each ends in an error that helps.
//!
//! Source: the description of the design file in the project's own documents; no publication.
//! Line and column are promised where there is a place to name: they must point at the value
//! at fault, its line at least, and a column on it or right behind it.

use barwright_core::document::{self, DocumentError, MOST_BYTES};
use barwright_core::{Design, Library, evaluate};
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// A design that uses every field, so that each can be spoilt in turn.
const GOOD: &str = r#"(
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
    additions: [],
    scents: [],
    process: (room_c: 19.0, mix_c: 38.0, oven_gel: Some((oven_c: 75.0, minutes: 30.0)), cut_hours: 48.0, cure_days: 28.0, made_on: Some("2026-03-14")),
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
    ],
)
"#;

fn read(text: &str) -> Result<Design, DocumentError> {
    document::read(text.as_bytes(), &LIBRARY)
}

#[track_caller]
fn refused(what: &str, bytes: &[u8]) -> DocumentError {
    match document::read(bytes, &LIBRARY) {
        Ok(design) => panic!("{what}: must be refused, but was read as “{}”", design.name),
        Err(error) => error,
    }
}

/// `GOOD` with `from`, which must stand there, replaced once.
#[track_caller]
fn spoilt(from: &str, to: &str) -> String {
    assert_eq!(GOOD.matches(from).count(), 1, "{from:?} must stand once in the good design");
    GOOD.replacen(from, to, 1)
}

/// Line and column, from 1, in characters, of byte `at`.
fn position(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    (1 + before.matches('\n').count(), 1 + before.chars().rev().take_while(|c| *c != '\n').count())
}

/// Why `error` does not say `words` at the place of `value`, which begins at byte `at` of `text`.
fn misplaced(text: &str, at: usize, value: &str, error: &DocumentError, words: &[&str]) -> Option<String> {
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
fn fault(field: &str, old: &str, new: &str, words: &[&str]) -> Option<String> {
    let (from, to) = (format!("{field}{old}"), format!("{field}{new}"));
    let text = spoilt(&from, &to);
    let at = text.find(&to).expect("just put there") + field.len();
    let error = refused(&to, text.as_bytes());
    misplaced(&text, at, new, &error, words).map(|w| format!("{field}{new}: {w}"))
}

#[track_caller]
fn assert_none(faults: &[String]) {
    assert!(faults.is_empty(), "{} refusals are wrong:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_good_design_is_read_and_evaluates() {
    let design = read(GOOD).expect("nothing is wrong with it");
    assert_eq!(design.blend.lines().len(), 5, "fats");
    assert!(design.blend.is_whole(), "shares sum to {}", design.blend.total());
    assert_eq!(design.blend.lines()[3].fat.name, "Orchard press", "the file's own record is used");
    let evaluation = evaluate(&design, &LIBRARY);
    assert!(evaluation.estimates.is_some(), "every fat has a profile");
}

#[test]
fn an_empty_file_is_no_design() {
    for nothing in ["", " ", "\n\n\t\n", "// a remark\n", "\u{feff}"] {
        let error = refused("nothing", nothing.as_bytes());
        assert_eq!(error, DocumentError::NotADesign, "{nothing:?}");
        assert!(error.to_string().contains("not a Barwright design"), "{error}");
    }
}

#[test]
fn bytes_that_are_no_utf_8_are_refused_where_they_begin() {
    let png: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR";
    assert_eq!(refused("picture", png), DocumentError::NotText { offset: 0 });
    let latin1 = GOOD.replacen("Windfall", "Wind\u{1}fall", 1).into_bytes();
    let at = latin1.iter().position(|b| *b == 1).expect("the mark");
    let mut broken = latin1;
    broken[at] = 0xe4;
    let error = refused("Latin-1", &broken);
    assert_eq!(error, DocumentError::NotText { offset: at });
    assert!(error.to_string().contains("UTF-8") && error.to_string().contains(&at.to_string()), "{error}");
    let zeros = [0_u8; 4096];
    assert_eq!(refused("zeros", &zeros), DocumentError::NotADesign);
}

#[test]
fn utf_16_is_refused_with_and_without_its_mark() {
    for (what, mark, bytes) in [
        ("little-endian", [0xff, 0xfe], u16::to_le_bytes as fn(u16) -> [u8; 2]),
        ("big-endian", [0xfe, 0xff], u16::to_be_bytes),
    ] {
        let body: Vec<u8> = GOOD.encode_utf16().flat_map(bytes).collect();
        let marked: Vec<u8> = mark.into_iter().chain(body.iter().copied()).collect();
        assert_eq!(refused(what, &marked), DocumentError::NotText { offset: 0 }, "{what} with a mark");
        let error = refused(what, &body);
        assert!(
            matches!(error, DocumentError::NotText { .. } | DocumentError::NotADesign),
            "{what} without a mark: {error}"
        );
    }
}

#[test]
fn a_byte_order_mark_before_good_text_is_skipped_and_moves_no_place() {
    let marked = format!("\u{feff}{GOOD}");
    assert_eq!(read(&marked), read(GOOD));
    let one_line = "(barwright: 1, fats: [(fat: \"coconut\", share: 101)])";
    let plain = refused("without", one_line.as_bytes());
    let marked = refused("with", format!("\u{feff}{one_line}").as_bytes());
    assert_eq!(marked, plain, "the same place in the editor's counting");
}

#[test]
fn some_may_be_left_out_where_the_file_says_so() {
    let implicit = GOOD
        .replacen("(\n", "#![enable(implicit_some)]\n(\n", 1)
        .replace("Some((sv: 194.1, pm: 1.0))", "(sv: 194.1, pm: 1.0)");
    assert_eq!(read(&implicit), read(GOOD));
}

#[test]
fn json_is_no_design() {
    for json in [
        r#"{"barwright": 1, "name": "Windfall", "fats": []}"#,
        r#"{"name": "Windfall", "fats": []}"#,
        r#"[{"fat": "coconut", "share": 100}]"#,
        r#""barwright""#,
        "null",
    ] {
        let error = refused(json, json.as_bytes());
        let said = error.to_string();
        let at_the_start = matches!(error, DocumentError::At { line: 1, column: 1..=2, .. });
        assert!(error == DocumentError::NotADesign || at_the_start, "{json}: {said}");
    }
}

#[test]
fn a_design_cut_off_at_any_byte_is_refused_and_never_panics() {
    let bytes = GOOD.as_bytes();
    let whole = GOOD.trim_end().len();
    for cut in 0..whole {
        match document::read(&bytes[..cut], &LIBRARY) {
            Ok(_) => panic!("cut after {cut} of {whole} bytes, and read"),
            Err(DocumentError::NotADesign) => assert!(cut < 40, "cut after {cut} bytes it is still known as a design"),
            Err(DocumentError::NotText { offset }) => assert!(offset < cut, "offset {offset} of {cut} bytes"),
            Err(DocumentError::At { line, message, .. }) => {
                let lines = GOOD[..GOOD.floor_char_boundary(cut)].matches('\n').count() + 1;
                assert!(line <= lines, "cut after {cut} bytes: line {line} of {lines}");
                assert!(!message.is_empty(), "cut after {cut} bytes: no message");
            }
            Err(other) => panic!("cut after {cut} bytes: {other}"),
        }
    }
    assert_eq!(read(&GOOD[..whole]), read(GOOD), "only a line's end is missing");
}

#[test]
fn a_byte_that_is_turned_over_never_panics() {
    let mut bytes = GOOD.as_bytes().to_vec();
    for at in 0..bytes.len() {
        let flip = [0x01, 0x20, 0x80][at % 3];
        bytes[at] ^= flip;
        // Read or refused, but never a panic.
        let _ = document::read(&bytes, &LIBRARY);
        bytes[at] ^= flip;
    }
}

/// Every number of the good design outside its materials: what stands before it, and itself.
const NUMBERS: [(&str, &str); 25] = [
    ("\"olive_virgin\", share: ", "44.0"),
    ("\"coconut\", share: ", "26.0"),
    ("sv: ", "194.1"),
    ("pm: ", "1.0"),
    ("superfat: ", "6.0"),
    ("koh_share: ", "5.0"),
    ("naoh_purity: ", "98.5"),
    ("koh_purity: ", "89.5"),
    ("naoh_purity_pm: ", "0.4"),
    ("koh_purity_pm: ", "1.5"),
    ("scale_division_g: ", "0.5"),
    ("LyeConcentration(", "31.0"),
    ("FatMass(", "750.0"),
    ("bars: ", "9,"),
    ("room_c: ", "19.0"),
    ("mix_c: ", "38.0"),
    ("oven_c: ", "75.0"),
    ("minutes: ", "30.0"),
    ("cut_hours: ", "48.0"),
    ("cure_days: ", "28.0"),
    ("pack_g: ", "1000.0"),
    ("price: ", "9.5"),
    ("batter_g_per_ml: Some(", "1.01"),
    ("jug_cooling_min: Some(", "45.0"),
    ("\"orchard_press\", share: ", "9.0"),
];

#[test]
fn a_number_that_is_none_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (field, old) in NUMBERS {
        for bad in ["NaN", "inf", "-inf", "1e999", "-1e999", "-NaN"] {
            let tail = if old.ends_with(',') { "," } else { "" };
            faults.extend(fault(field, old, &format!("{bad}{tail}"), &[]));
        }
    }
    assert_none(&faults);
}

#[test]
fn a_number_out_of_its_range_is_refused_at_its_place_and_the_range_is_named() {
    let mut faults = Vec::new();
    for (field, old, bad, words) in [
        ("\"olive_virgin\", share: ", "44.0", "-1", &["share", "0", "100"][..]),
        ("\"olive_virgin\", share: ", "44.0", "-0.001", &["share", "0", "100"]),
        ("\"olive_virgin\", share: ", "44.0", "101", &["share", "0", "100", "101"]),
        ("sv: ", "194.1", "20", &["saponification", "50", "700"]),
        ("sv: ", "194.1", "19410", &["saponification", "50", "700"]),
        ("pm: ", "1.0", "-1.0", &["±"]),
        ("superfat: ", "6.0", "50.1", &["superfat", "-50", "50"]),
        ("superfat: ", "6.0", "-51", &["superfat", "-50", "50"]),
        ("koh_share: ", "5.0", "100.5", &["100"]),
        ("naoh_purity: ", "98.5", "0.985", &["purity", "50", "100"]),
        ("koh_purity: ", "89.5", "100.01", &["purity", "50", "100"]),
        ("naoh_purity_pm: ", "0.4", "-0.4", &["±"]),
        ("scale_division_g: ", "0.5", "0", &["scale"]),
        ("water: ", "LyeConcentration(31.0)", "LyeConcentration(4.9)", &["lye concentration", "5", "60"]),
        ("water: ", "LyeConcentration(31.0)", "LyeConcentration(0.31)", &["lye concentration", "5", "60"]),
        ("water: ", "LyeConcentration(31.0)", "WaterToAlkali(0)", &["water : alkali"]),
        ("water: ", "LyeConcentration(31.0)", "PercentOfFats(-38)", &["percent of fats"]),
        ("FatMass(", "750.0", "0", &["mass of fats"]),
        ("FatMass(", "750.0", "-750", &["mass of fats"]),
        ("FatMass(", "750.0", "1e12", &["mass of fats"]),
        ("bars: ", "9,", "0,", &["bars"]),
        ("room_c: ", "19.0", "-300", &["temperature", "°C"]),
        ("minutes: ", "30.0", "-1", &["time"]),
        ("cure_days: ", "28.0", "1e6", &["time", "days"]),
        ("pack_g: ", "1000.0", "0", &["pack"]),
        ("price: ", "9.5", "-9.5", &["price"]),
        ("batter_g_per_ml: Some(", "1.01", "101", &["batter"]),
    ] {
        faults.extend(fault(field, old, bad, words));
    }
    assert_none(&faults);
}

#[test]
fn a_value_of_the_wrong_kind_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (field, old, bad) in [
        ("\"coconut\", share: ", "26.0", "\"26\""),
        ("\"coconut\", share: ", "26.0", "true"),
        ("\"coconut\", share: ", "26.0", "(26.0)"),
        ("locked: ", "true", "1"),
        ("bars: ", "9,", "-9,"),
        ("bars: ", "9,", "\"nine\","),
        ("bars: ", "9,", "99999999999999999999,"),
        ("name: ", "\"Windfall, Fernhollow orchard\"", "7"),
        ("currency: ", "\"EUR\"", "EUR"),
        ("allergen_list: ", "Extended", "Everything"),
        ("water: ", "LyeConcentration(31.0)", "Plenty(31.0)"),
        ("trust: ", "Read)", "Surely)"),
        ("kind: ", "Triglyceride", "Diglyceride"),
    ] {
        faults.extend(fault(field, old, bad, &[]));
    }
    assert_none(&faults);
}

#[test]
fn a_bad_number_alone_on_its_line_is_refused_at_that_line() {
    let text = spoilt("share: 44.0", "share:\n// the picker's guess\n            101\n            ");
    let error = refused("101", text.as_bytes());
    let at = text.find("101").expect("just put there");
    assert_eq!(misplaced(&text, at, "101", &error, &["share", "100"]), None);
}

#[test]
fn an_unknown_fat_is_refused_at_its_line_and_column() {
    let text = spoilt("\"castor\"", "\"cas_tor\"");
    let error = refused("cas_tor", text.as_bytes());
    let at = text.find("\"cas_tor\"").expect("just put there");
    let (line, column) = position(&text, at);
    assert!(
        matches!(&error, DocumentError::At { line: l, column: c, .. } if (*l, *c) == (line, column)),
        "line {line}, column {column} expected, but: {error}"
    );
    for words in ["cas_tor", "library", "materials"] {
        assert!(error.to_string().contains(words), "the message lacks {words:?}: {error}");
    }
}

#[test]
fn an_unknown_fat_is_placed_rightly_though_its_word_stands_elsewhere_too() {
    let text = spoilt("\"castor\"", "\"medlar\"").replacen("\"Windfall, Fernhollow orchard\"", "\"medlar\"", 1);
    let error = refused("medlar", text.as_bytes());
    let at = text.find("(fat: \"medlar\"").expect("just put there") + "(fat: ".len();
    assert_eq!(misplaced(&text, at, "\"medlar\"", &error, &["medlar"]), None);
}

#[test]
fn a_fat_that_stands_twice_is_refused_at_its_second_place() {
    let text = spoilt("\"castor\"", "\"coconut\"");
    let error = refused("coconut twice", text.as_bytes());
    let at = text.rfind("\"coconut\"").expect("just put there");
    assert_eq!(misplaced(&text, at, "\"coconut\"", &error, &["coconut", "twice"]), None);
}

#[test]
fn a_fat_that_stands_twice_is_placed_rightly_though_the_design_is_called_so() {
    let text = spoilt("\"castor\"", "\"coconut\"").replacen("\"Windfall, Fernhollow orchard\"", "\"coconut\"", 1);
    let error = refused("coconut twice", text.as_bytes());
    let at = text.rfind("\"coconut\"").expect("just put there");
    assert_eq!(misplaced(&text, at, "\"coconut\"", &error, &["coconut", "twice"]), None);
}

#[test]
fn a_fat_whose_own_record_is_in_the_file_is_still_refused_when_it_stands_twice() {
    let text = spoilt("\"castor\"", "\"orchard_press\"");
    let error = refused("orchard_press twice", text.as_bytes());
    let at = text.find("(fat: \"orchard_press\", share: 7.0").expect("just put there") + "(fat: ".len();
    assert_eq!(misplaced(&text, at, "\"orchard_press\"", &error, &["orchard_press", "twice"]), None);
}

#[test]
fn an_id_that_cannot_name_a_fat_is_refused_at_its_place() {
    let mut faults = Vec::new();
    let long = format!("\"{}\"", "x".repeat(65));
    for bad in ["\"Castor oil\"", "\"\"", "\"кокос\"", "\"../castor\"", long.as_str()] {
        faults.extend(fault("fat: ", "\"castor\"", bad, &[]));
    }
    assert_none(&faults);
}

#[test]
fn an_unknown_field_is_refused_at_its_line_and_named() {
    let mut faults = Vec::new();
    for (old, new, bad) in [
        ("superfat: 6.0", "superfats: 6.0", "superfats"),
        ("locked: true", "lokced: true", "lokced"),
        ("sv: 194.1", "svv: 194.1", "svv"),
        ("koh_share: 5.0", "koh: 5.0", "koh"),
        ("room_c: 19.0", "room: 19.0", "room"),
        ("minutes: 30.0", "hours: 0.5", "hours"),
        ("pack_g: 1000.0", "pack_kg: 1.0", "pack_kg"),
        ("jug_cooling_min: Some(45.0)", "jug_min: Some(45.0)", "jug_min"),
        ("kind: Triglyceride", "sort: Triglyceride", "sort"),
        ("soap_status: \"\"", "soap_state: \"\"", "soap_state"),
        ("basis: \"20C/water20C\"", "measured_at: \"20C/water20C\"", "measured_at"),
        ("typical: 12.0", "usual: 12.0", "usual"),
        ("    batches: [],", "    batches: [],\n    bathces: [],", "bathces"),
    ] {
        let text = spoilt(old, new);
        let error = refused(new, text.as_bytes());
        let at = text.find(&format!("{bad}:")).expect("just put there");
        faults.extend(misplaced(&text, at, bad, &error, &[bad]));
    }
    assert_none(&faults);
}

#[test]
fn a_field_that_stands_twice_is_refused() {
    let text = spoilt("superfat: 6.0,", "superfat: 6.0,\n    superfat: 5.0,");
    let error = refused("superfat twice", text.as_bytes());
    let at = text.find("superfat: 5.0").expect("just put there");
    assert_eq!(misplaced(&text, at, "superfat", &error, &["superfat"]), None);
}

#[test]
fn a_missing_field_that_has_no_default_is_refused_and_named() {
    for (old, field) in [("fat: \"castor\", share: 7.0", "share"), ("sv: 194.1, pm: 1.0", "sv")] {
        let new = old.split(", ").find(|part| !part.starts_with(field)).expect("the other part");
        let text = spoilt(old, new);
        let error = refused(new, text.as_bytes());
        assert!(matches!(error, DocumentError::At { .. }) && error.to_string().contains(field), "{new}: {error}");
    }
    let error = refused("no fats", b"(\n    barwright: 1,\n    name: \"x\",\n)");
    assert!(error.to_string().contains("fats"), "{error}");
}

#[test]
fn what_has_a_default_may_be_left_out() {
    let design = read("(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100)])").expect("all else has a default");
    let default = Design::default();
    assert_eq!(design.superfat, default.superfat);
    assert_eq!(design.alkali, default.alkali);
    assert_eq!(design.water, default.water);
    assert_eq!(design.style, "everyday handmade");
    assert!(!design.blend.lines()[0].locked, "not locked");
}

#[test]
fn another_version_is_refused_naming_both() {
    for version in [0_u32, 2, 3, 1000, u32::MAX] {
        let text = spoilt("barwright: 1,", &format!("barwright: {version},"));
        let error = refused("another version", text.as_bytes());
        assert_eq!(error, DocumentError::Version { found: version });
        let said = error.to_string();
        assert!(said.contains(&format!("version {version}")) && said.contains("version 1"), "{said}");
        assert!(said.contains("not changed"), "the person must know that the file is safe: {said}");
    }
}

#[test]
fn a_newer_file_with_fields_of_its_own_is_refused_for_its_version() {
    let text =
        spoilt("barwright: 1,", "barwright: 2,").replace("superfat: 6.0,", "superfats: [(6.0, 7.0)], glow: {1: 2},");
    assert_eq!(refused("version 2", text.as_bytes()), DocumentError::Version { found: 2 });
}

#[test]
fn a_version_that_is_missing_or_no_count_is_refused() {
    assert_eq!(refused("no version", spoilt("    barwright: 1,\n", "").as_bytes()), DocumentError::NotADesign);
    let mut faults = Vec::new();
    for bad in ["-1", "1.5", "\"1\"", "99999999999", "NaN", "Some(1)", "()"] {
        faults.extend(fault("barwright: ", "1,", &format!("{bad},"), &[]));
    }
    assert_none(&faults);
}

#[test]
fn something_behind_the_design_is_refused_at_its_place() {
    let text = format!("{GOOD}(again: 1)\n");
    let error = refused("twice", text.as_bytes());
    let at = text.find("(again").expect("just put there");
    assert_eq!(misplaced(&text, at, "(again", &error, &[]), None);
}

/// A hundred thousand brackets of each kind, in each place.
fn deep_files() -> Vec<(String, String)> {
    const DEEP: usize = 100_000;
    let mut files = Vec::new();
    for (open, close) in [("(", ")"), ("[", "]"), ("{", "}"), ("A(", ")"), ("Some(", ")"), ("/*", "*/")] {
        let (opened, closed) = (open.repeat(DEEP), close.repeat(DEEP));
        files.push((format!("{open} alone"), opened.clone()));
        files.push((format!("{open} closed"), format!("{opened}{closed}")));
        files.push((format!("{open} never closed in a name"), format!("(barwright: 1, fats: [], name: {opened}")));
        for field in ["name", "fats", "superfat", "process", "materials", "unheard_of"] {
            let comma = if field == "fats" { "" } else { "fats: [], " };
            files.push((format!("{open} in {field}"), format!("(barwright: 1, {comma}{field}: {opened}{closed})")));
        }
    }
    files.push(("extensions".into(), format!("{}(barwright: 1)", "#![enable(implicit_some)]\n".repeat(DEEP))));
    files
}

#[test]
fn nesting_a_hundred_thousand_deep_is_refused() {
    for (what, text) in deep_files() {
        let error = refused(&what, text.as_bytes());
        assert!(!error.to_string().is_empty(), "{what}");
    }
}

#[test]
fn a_file_longer_than_any_design_is_refused_with_its_length() {
    let bytes = vec![b' '; 5 << 20];
    let error = refused("5 MiB", &bytes);
    assert_eq!(error, DocumentError::TooLarge { bytes: 5 << 20 });
    let said = error.to_string();
    assert!(said.contains("5242880") && said.contains(&MOST_BYTES.to_string()), "{said}");
    let padded = format!("{GOOD}{}", " ".repeat(MOST_BYTES - GOOD.len()));
    assert!(read(&padded).is_ok(), "{MOST_BYTES} bytes are allowed");
    assert!(read(&format!("{padded} ")).is_err(), "one more is not");
}

fn lines(ids: impl Iterator<Item = String>) -> String {
    ids.map(|id| format!("        (fat: \"{id}\", share: 0.01),\n")).collect::<Vec<_>>().concat()
}

fn records(count: usize) -> String {
    let record = |i| {
        format!(
            "        Fat((id: \"own_{i}\", name: \"own\", kind: Wax, sv: (min: 90, max: 91, source: \"own\", trust: Read))),\n"
        )
    };
    (0..count).map(record).collect::<Vec<_>>().concat()
}

#[test]
fn ten_thousand_fats_are_refused() {
    for (what, ids) in [
        ("unknown", (0..10_000).map(|i| format!("own_{i}")).collect::<Vec<_>>()),
        ("repeated", vec!["coconut".into(); 10_000]),
    ] {
        let text = format!("(\n    barwright: 1,\n    fats: [\n{}    ],\n)\n", lines(ids.into_iter()));
        let error = refused(what, text.as_bytes());
        // The list begins in line 4: its first fat, the first that repeats, or the first too many.
        assert!(matches!(error, DocumentError::At { line: 4 | 5 | 104, .. }), "{what}: the first wrong line: {error}");
    }
}

#[test]
fn more_fats_than_a_blend_holds_are_refused_within_their_list() {
    let ids = (0..101).map(|i| format!("own_{i}"));
    let text = format!(
        "(\n    barwright: 1,\n    name: \"\",\n    fats: [\n{}    ],\n    materials: [\n{}    ],\n)\n",
        lines(ids),
        records(101)
    );
    let error = refused("101 fats", text.as_bytes());
    assert!(error.to_string().contains("100"), "the most allowed is named: {error}");
    let (first, _) = position(&text, text.find("fats: [").expect("the list"));
    let (last, _) = position(&text, text.find("materials: [").expect("the list behind"));
    assert!(
        matches!(error, DocumentError::At { line, .. } if (first..last).contains(&line)),
        "the fats stand in lines {first} to {last}, but: {error}"
    );
}

#[test]
fn a_huge_list_of_materials_is_refused() {
    let text = format!("(\n    barwright: 1,\n    fats: [],\n    materials: [\n{}    ],\n)\n", records(10_000));
    let error = refused("10,000 records", text.as_bytes());
    assert!(matches!(error, DocumentError::At { .. }), "{error}");
}

#[test]
fn a_list_with_a_million_commas_is_refused() {
    let text = format!("(barwright: 1, fats: [{}])", ",".repeat(1_000_000));
    let error = refused("commas", text.as_bytes());
    assert!(matches!(error, DocumentError::At { line: 1, .. }), "{error}");
}

#[test]
fn what_the_program_cannot_work_out_yet_is_refused_where_it_stands() {
    let mut faults = Vec::new();
    for (field, old, new, value, words) in [
        (
            "size: ",
            "FatMass(750.0)",
            "Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0, height_mm: 60.0)), fill: 90.0))",
            "Mould(",
            "mould",
        ),
        ("size: ", "FatMass(750.0)", "Volume((ml: 1000.0, fill: 100.0))", "Volume(", "FatMass"),
        (
            "additions: ",
            "[]",
            "[(addition: \"salt\", amount: Grams(5.0), counts_as_water: false, stage: IntoJug)]",
            "[",
            "additions",
        ),
        ("scents: ", "[]", "[(scent: \"lavender\", amount: PercentOfFats(2.0), stage: AtTrace)]", "[", "scents"),
        ("batches: ", "[]", "[(made_on: \"2026-03-14\")]", "[", "batches"),
    ] {
        let text = spoilt(&format!("{field}{old}"), &format!("{field}{new}"));
        let at = text.find(new).expect("just put there");
        let error = refused(new, text.as_bytes());
        faults.extend(misplaced(&text, at, value, &error, &[words]));
    }
    assert_none(&faults);
}

#[test]
fn an_addition_over_several_lines_is_refused_at_its_own() {
    let addition = "[\n        // for hardness\n        (addition: \"salt\", amount: Grams(5.0)),\n    ]";
    let text = spoilt("additions: []", &format!("additions: {addition}"));
    let error = refused("an addition", text.as_bytes());
    let at = text.find("(addition: \"salt\"").expect("just put there");
    assert_eq!(misplaced(&text, at, "(", &error, &["additions"]), None);
}

/// First and last line of the record in the good design.
fn record_lines(text: &str) -> (usize, usize) {
    let begin = text.find("Fat((").expect("the record");
    let end = begin + text[begin..].find("))").expect("its end").max(text[begin..].rfind("))").expect("its end"));
    (position(text, begin).0, position(text, end).0)
}

#[test]
fn a_record_whose_figures_do_not_fit_each_other_is_refused_within_itself() {
    for (what, old, new, words) in [
        ("a sum of 99", "typical: 72.5", "typical: 71.5", &["orchard_press", "99"][..]),
        (
            "a sum of 172",
            "acid: \"18:2\", min: 3.5, typical: 15.5, max: 21.0",
            "acid: \"18:2\", min: 3.5, typical: 88.0, max: 90.0",
            &["orchard_press", "172"],
        ),
        (
            "a typical value outside its range",
            "typical: 12.0, max: 20.0",
            "typical: 12.0, max: 11.0",
            &["orchard_press", "12", "11"],
        ),
        ("an acid twice", "acid: \"18:2\"", "acid: \"18:1\"", &["orchard_press", "twice"]),
        (
            "a reversed saponification value",
            "min: 186.0, max: 194.5",
            "min: 194.5, max: 186.0",
            &["orchard_press", "194.5", "186"],
        ),
        ("a reversed iodine value", "min: 76.0, max: 94.5", "min: 94.5, max: 76.0", &["orchard_press", "94.5", "76"]),
        (
            "a reversed profile range",
            "min: 7.5, typical: 12.0, max: 20.0",
            "min: 20.0, typical: 12.0, max: 7.5",
            &["orchard_press", "20", "7.5"],
        ),
    ] {
        let text = spoilt(old, new);
        let error = refused(what, text.as_bytes());
        let (first, last) = record_lines(&text);
        let said = error.to_string();
        assert!(
            matches!(error, DocumentError::At { line, .. } if (first..=last).contains(&line)),
            "{what}: the record stands in lines {first} to {last}, but: {said}"
        );
        for word in words {
            assert!(said.contains(word), "{what}: the message lacks {word:?}: {said}");
        }
    }
}

#[test]
fn a_single_bad_value_in_a_record_is_refused_at_its_own_place() {
    let mut faults = Vec::new();
    for (field, old, bad, words) in [
        ("sv: (min: ", "186.0", "20", &["saponification"][..]),
        ("sv: (min: ", "186.0", "NaN", &["saponification"]),
        ("max: ", "194.5", "19450", &["saponification"]),
        ("max: ", "194.5", "inf", &["saponification"]),
        ("typical: ", "12.0", "NaN", &[]),
        ("typical: ", "12.0", "-12.0", &[]),
        ("typical: ", "12.0", "112.0", &[]),
        ("min: ", "55.0", "-inf", &[]),
        ("iv: Some((min: ", "76.0", "NaN", &[]),
        ("iv: Some((min: ", "76.0", "-1", &[]),
        ("max: ", "94.5", "1e999", &[]),
        ("max: ", "94.5", "9450", &[]),
        ("max: ", "13.5", "1350", &[]),
        ("max: ", "0.916", "916", &[]),
        ("kind: ", "Triglyceride", "WaxEster(NaN)", &[]),
        ("kind: ", "Triglyceride", "WaxEster(-606)", &[]),
        ("acid: ", "\"16:0\"", "\"99:9\"", &["99:9"]),
        ("id: ", "\"orchard_press\"", "\"Orchard Press\"", &["Orchard Press"]),
    ] {
        faults.extend(fault(field, old, bad, words));
    }
    assert_none(&faults);
}

#[test]
fn a_record_that_stands_twice_is_refused_at_its_second_place() {
    let begin = GOOD.find("        Fat((").expect("the record");
    let end = GOOD.find("    ],\n)\n").expect("the end of the materials");
    let text = format!("{}{}{}", &GOOD[..end], &GOOD[begin..end], &GOOD[end..]);
    let error = refused("a record twice", text.as_bytes());
    let at = text.rfind("\"orchard_press\"").expect("just put there");
    assert_eq!(misplaced(&text, at, "\"orchard_press\"", &error, &["orchard_press", "twice"]), None);
}

#[test]
fn a_saponification_value_that_its_profile_contradicts_is_stopped() {
    // Within what any fat can have, so it can be read; a well-known misprint, a 50 % lye excess.
    let by_record = spoilt("min: 186.0, max: 194.5", "min: 287.0, max: 288.6");
    let by_supplier = spoilt("sv: 194.1", "sv: 287.8");
    for (what, text) in [("record", by_record), ("supplier", by_supplier)] {
        let evaluation = evaluate(&read(&text).expect("it can be read"), &LIBRARY);
        let caution = evaluation.cautions.iter().find(|c| c.code == "sv-doubtful");
        let level = caution.map(|c| c.level);
        assert_eq!(level, Some(barwright_core::cautions::Level::Stop), "{what}");
        assert!(caution.is_some_and(|c| c.why.contains("287.8")), "{what}: the figure is named: {caution:?}");
    }
}

#[test]
fn no_refusal_speaks_of_the_programs_insides() {
    let mut files: Vec<String> = deep_files().into_iter().map(|(_, text)| text).collect();
    files.push(r#"{"barwright": 1, "fats": []}"#.into());
    files.push("Dear barwright, here is a letter.".into());
    files.push(spoilt("superfat: 6.0", "superfats: 6.0"));
    files.push(spoilt("share: 26.0", "share: \"26\""));
    let mut told: Vec<String> = files
        .iter()
        .map(|text| refused("hostile", text.as_bytes()).to_string())
        .filter(|said| ["ron::", "serde", "`Header`", "struct `"].iter().any(|inside| said.contains(inside)))
        .collect();
    told.sort();
    told.dedup_by(|a, b| a.rsplit(": ").next() == b.rsplit(": ").next());
    assert!(told.is_empty(), "a person can do nothing with:\n{}", told.join("\n"));
}
