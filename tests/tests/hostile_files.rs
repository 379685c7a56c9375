//! Files that are broken, foreign, huge or meant to harm: each ends in an error that helps.
//!
//! Source: the description of the design file in the project's own documents; no publication.
//! Line and column are promised where there is a place to name: they must point at the value
//! at fault, its line at least, and a column on it or right behind it.

use barwright_core::additions::Stage;
use barwright_core::document::{self, DocumentError, MOST_BYTES};
use barwright_core::mould::{Cuboid, Mould, Size};
use barwright_core::units::{BarMass, Bars, Fill, Millilitres, Millimetres};
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
    additions: [
        (addition: "apple_puree", amount: PercentOfFats(8.0), counts_as_water: true, stage: IntoFats),
        (addition: "fernhollow_cider", amount: Grams(40.0), counts_as_water: false, stage: IntoJug),
        (addition: "salt", amount: GramsPerKgFats(7.5)),
    ],
    scents: [
        (scent: "lavender", amount: PercentOfFats(1.5), stage: OnTop),
        (scent: "orchard_blossom", amount: Grams(3.25)),
    ],
    process: (room_c: 19.0, mix_c: 38.0, fats_c: Some(41.0), jug_water_c: Some(4.0), jug_frozen: 25.0, jug_bath_c: Some(12.0), oven_gel: Some((oven_c: 75.0, minutes: 30.0)), cut_hours: 48.0, cure_days: 28.0, made_on: Some("2026-03-14")),
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
    fault_in(GOOD, field, old, new, words)
}

/// The same in another `good` text.
#[track_caller]
fn fault_in(good: &str, field: &str, old: &str, new: &str, words: &[&str]) -> Option<String> {
    let (from, to) = (format!("{field}{old}"), format!("{field}{new}"));
    assert_eq!(good.matches(&from).count(), 1, "{from:?} must stand once in the good design");
    let text = good.replacen(&from, &to, 1);
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
    let additions: Vec<&str> = design.additions.iter().map(|l| l.addition.name.as_str()).collect();
    assert_eq!(additions, ["Apple puree, unsweetened", "Fernhollow cider", "Salt"]);
    let scents: Vec<&str> = design.scents.iter().map(|l| l.scent.name.as_str()).collect();
    assert_eq!(scents, ["Lavender oil", "Orchard blossom"]);
    let cider = &design.additions[1].addition;
    assert!((cider.protons_per_gram() - 0.006_25 * 2.0 / 134.09).abs() < 1e-12, "its acid: {cider:?}");
    assert_eq!(design.scents[1].scent.constituents.len(), 2, "constituents");
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
const NUMBERS: [(&str, &str); 43] = [
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
    ("fats_c: Some(", "41.0"),
    ("jug_water_c: Some(", "4.0"),
    ("jug_frozen: ", "25.0"),
    ("jug_bath_c: Some(", "12.0"),
    ("\"apple_puree\", amount: PercentOfFats(", "8.0"),
    ("\"fernhollow_cider\", amount: Grams(", "40.0"),
    ("\"salt\", amount: GramsPerKgFats(", "7.5"),
    ("\"lavender\", amount: PercentOfFats(", "1.5"),
    ("\"orchard_blossom\", amount: Grams(", "3.25"),
    ("water: ", "92.5"),
    ("fat: ", "0.25"),
    ("sugars: Some(", "1.75"),
    ("content: ", "0.625"),
    ("molar_mass: ", "134.09"),
    ("protons: ", "2,"),
    ("alcohol: ", "4.75"),
    ("solids_g_per_ml: ", "1.45"),
    ("\"78-70-6; 126-90-9\", most: ", "44.5"),
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
        ("jug_cooling_min: Some(", "45.0", "0", &["time constant"]),
        ("jug_cooling_min: Some(", "45.0", "-45", &["time constant"]),
        ("fats_c: Some(", "41.0", "-300", &["temperature", "°C"]),
        ("jug_frozen: ", "25.0", "100.1", &["0", "100"]),
        ("jug_bath_c: Some(", "12.0", "1200", &["temperature", "°C"]),
        ("amount: ", "PercentOfFats(8.0)", "PercentOfFats(-8.0)", &["amount", "0", "500"]),
        ("amount: ", "PercentOfFats(8.0)", "PercentOfFats(500.1)", &["amount", "0", "500"]),
        ("amount: ", "Grams(40.0)", "Grams(-0.001)", &["amount", "0"]),
        ("amount: ", "Grams(40.0)", "Grams(1e7)", &["amount", "0"]),
        ("amount: ", "GramsPerKgFats(7.5)", "GramsPerKgFats(5001)", &["amount", "0", "5000"]),
        ("amount: ", "PercentOfFats(1.5)", "PercentOfFats(-1.5)", &["amount", "0", "500"]),
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
        ("kind: ", "Liquid", "Gas"),
        ("amount: ", "Grams(40.0)", "Pounds(40.0)"),
        ("amount: ", "Grams(40.0)", "40.0"),
        ("counts_as_water: ", "false", "0"),
        ("stage: ", "IntoFats", "IntoTheFats"),
        ("stage: ", "OnTop", "\"OnTop\""),
        ("usual_stage: ", "IntoJug", "Jug"),
        ("protons: ", "2,", "2.5,"),
        ("whole: ", "false", "no"),
        ("size: ", "FatMass(750.0)", "Bucket(750.0)"),
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
        ("jug_frozen: 25.0", "jug_ice: 25.0", "jug_ice"),
        ("counts_as_water: true", "counted: true", "counted"),
        ("amount: PercentOfFats(1.5)", "amuont: PercentOfFats(1.5)", "amuont"),
        ("sugars: Some(1.75)", "sugar: Some(1.75)", "sugar"),
        ("protons: 2", "hydrogens: 2", "hydrogens"),
        ("most: 44.5", "mostly: 44.5", "mostly"),
        ("cas: \"8000-28-0\"", "cass: \"8000-28-0\"", "cass"),
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
    for (old, field) in [
        ("fat: \"castor\", share: 7.0", "share"),
        ("sv: 194.1, pm: 1.0", "sv"),
        ("addition: \"salt\", amount: GramsPerKgFats(7.5)", "amount"),
        ("scent: \"orchard_blossom\", amount: Grams(3.25)", "amount"),
        ("name: \"acetic acid\", most: 0.375, naoh_g_per_g: 0.666", "naoh_g_per_g"),
        ("name: \"geraniol\", cas: \"106-24-1\", most: 3.5", "most"),
    ] {
        let new = old.split(", ").filter(|part| !part.starts_with(field)).collect::<Vec<_>>().join(", ");
        let text = spoilt(old, &new);
        let error = refused(&new, text.as_bytes());
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
    let good = read(GOOD).expect("nothing is wrong with it");
    assert_eq!((good.additions[2].counts_as_water, good.additions[2].stage), (true, Stage::IntoFats));
    assert_eq!(good.scents[1].stage, Stage::AtTrace);
    let bare =
        "(barwright: 1, fats: [], materials: [Addition((id: \"mead\", name: \"Mead\", kind: Liquid, water: 80))])";
    let design = read(bare).expect("all else has a default");
    let mead = &design.spare.additions[0];
    assert_eq!(mead.contents.value.sugars, None, "not known is not none");
    assert!(mead.acid.is_none() && mead.uncounted_acid.is_none() && mead.contents.value.fat.get() <= 0.0, "{mead:?}");
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
fn what_the_program_does_not_keep_yet_is_refused_where_it_stands() {
    let text = spoilt("batches: []", "batches: [(made_on: \"2026-03-14\")]");
    let error = refused("a batch", text.as_bytes());
    let at = text.find("[(made_on").expect("just put there");
    assert_eq!(misplaced(&text, at, "[(", &error, &["batches"]), None);
}

#[test]
fn every_size_is_read() {
    let mm = Millimetres::nearest;
    let cuboid = Cuboid { length_mm: mm(296.0), width_mm: mm(70.0), height_mm: mm(60.0) };
    let walls = "length_mm: 296.0, width_mm: 70.0, height_mm: 60.0";
    let round = Mould::Round { diameter_mm: mm(75.0), length_mm: mm(300.0) };
    let cavities = Mould::Cavities { count: Bars::SIX, ml: Millilitres::nearest(110.0) };
    let fill = Fill::nearest(90.0);
    let full = Fill::nearest(100.0);
    let ml = Millilitres::nearest(1000.0);
    for (text, size) in [
        (format!("Mould((shape: Loaf(({walls})), fill: 90.0))"), Size::Mould { mould: Mould::Loaf(cuboid), fill }),
        (format!("Mould((shape: Slab(({walls}))))"), Size::Mould { mould: Mould::Slab(cuboid), fill: full }),
        (
            "Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0)), fill: 90.0))".into(),
            Size::Mould { mould: round, fill },
        ),
        ("Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))".into(), Size::Mould { mould: cavities, fill }),
        ("Volume((ml: 1000.0, fill: 90.0))".into(), Size::Volume { ml, fill }),
        ("Volume((ml: 1000.0))".into(), Size::Volume { ml, fill: full }),
        ("BarMass(125.0)".into(), Size::BarMass(BarMass::nearest(125.0))),
    ] {
        let design = read(&spoilt("FatMass(750.0)", &text)).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(design.size, size, "{text}");
    }
}

#[test]
fn a_size_that_cannot_be_is_refused_at_its_place_and_the_range_is_named() {
    const LOAF: &str = "Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0, height_mm: 60.0)), fill: 90.0))";
    const ROUND: &str = "Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0)), fill: 90.0))";
    const CAVITIES: &str = "Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))";
    let mut faults = Vec::new();
    let mut try_all = |size: &str, field: &str, old: &str, bads: &[&str], word: &str| {
        let good = spoilt("FatMass(750.0)", size);
        assert!(read(&good).is_ok(), "{size} is good");
        faults.extend(bads.iter().filter_map(|bad| fault_in(&good, field, old, bad, &[word])));
    };
    let lengths = ["0", "0.0", "-70.0", "0.99", "5001", "1e300", "NaN", "inf"];
    let fills = ["0", "-90.0", "101", "0.9", "NaN", "-inf"];
    let volumes = ["0", "-1", "1e7", "NaN", "inf"];
    for (field, old) in [("length_mm: ", "296.0"), ("width_mm: ", "70.0"), ("height_mm: ", "60.0")] {
        try_all(LOAF, field, old, &lengths, "mould");
        try_all(&LOAF.replace("Loaf", "Slab"), field, old, &lengths, "mould");
    }
    for (field, old) in [("diameter_mm: ", "75.0"), ("length_mm: ", "300.0")] {
        try_all(ROUND, field, old, &lengths, "mould");
    }
    for size in [LOAF, ROUND, CAVITIES, "Volume((ml: 1000.0, fill: 90.0))"] {
        try_all(size, "fill: ", "90.0", &fills, "fill");
    }
    try_all(CAVITIES, "count: ", "6,", &["0,", "-6,", "10001,", "6.5,", "99999999999,"], "");
    try_all(CAVITIES, "ml: ", "110.0", &volumes, "volume");
    try_all("Volume((ml: 1000.0))", "ml: ", "1000.0", &volumes, "volume");
    try_all("BarMass(125.0)", "BarMass(", "125.0", &["0", "-125", "1e6", "NaN", "inf"], "bar");
    assert_none(&faults);
}

#[test]
fn an_unknown_part_of_a_size_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (good, field, old, new) in [
        ("Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0, height_mm: 60.0))))", "shape: ", "Loaf", "Brick"),
        ("Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0))))", "Round((", "diameter_mm", "radius_mm"),
        ("Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))", ", ", "fill", "filled"),
        ("Volume((ml: 1000.0, fill: 90.0))", "Volume((", "ml", "litres"),
    ] {
        faults.extend(fault_in(&spoilt("FatMass(750.0)", good), field, old, new, &[]));
    }
    for missing in [
        "Mould((fill: 90.0))",
        "Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0))))",
        "Mould((shape: Cavities((count: 6))))",
        "Volume((fill: 90.0))",
    ] {
        let error = refused(missing, spoilt("FatMass(750.0)", missing).as_bytes());
        assert!(matches!(error, DocumentError::At { .. }), "{missing}: {error}");
    }
    assert_none(&faults);
}

#[test]
fn an_unknown_addition_or_scent_is_refused_at_its_line_and_column() {
    for (field, known, bad, list) in
        [("addition", "salt", "sa_lt", "additions"), ("scent", "lavender", "la_vender", "scents")]
    {
        let text = spoilt(&format!("{field}: \"{known}\""), &format!("// a remark\n  {field}: \"{bad}\""));
        let error = refused(bad, text.as_bytes());
        let (line, column) = position(&text, text.find(&format!("\"{bad}\"")).expect("just put there"));
        assert!(
            matches!(&error, DocumentError::At { line: l, column: c, .. } if (*l, *c) == (line, column)),
            "line {line}, column {column} expected, but: {error}"
        );
        for words in [bad, "library", "materials", list] {
            assert!(error.to_string().contains(words), "the message lacks {words:?}: {error}");
        }
    }
}

#[test]
fn an_unknown_addition_or_scent_is_placed_rightly_though_its_word_stands_elsewhere_too() {
    for (field, known) in [("addition", "salt"), ("scent", "lavender")] {
        let text = spoilt(&format!("{field}: \"{known}\""), &format!("{field}: \"medlar\""))
            .replacen("\"Windfall, Fernhollow orchard\"", "\"medlar\"", 1)
            .replacen("material: \"olive_virgin\"", "material: \"medlar\"", 1);
        let error = refused("medlar", text.as_bytes());
        let at = text.find(&format!("({field}: \"medlar\"")).expect("just put there") + field.len() + 3;
        assert_eq!(misplaced(&text, at, "\"medlar\"", &error, &["medlar"]), None);
    }
}

#[test]
fn a_fat_is_no_addition_and_an_addition_no_scent() {
    for (field, known, other) in
        [("addition", "salt", "coconut"), ("scent", "lavender", "fernhollow_cider"), ("fat", "castor", "salt")]
    {
        let text = spoilt(&format!("{field}: \"{known}\""), &format!("{field}: \"{other}\""));
        let error = refused(other, text.as_bytes());
        let at = text.find(&format!("({field}: \"{other}\"")).expect("just put there") + field.len() + 3;
        assert_eq!(misplaced(&text, at, &format!("\"{other}\""), &error, &[other]), None);
    }
}

#[test]
fn an_id_that_cannot_name_an_addition_or_a_scent_is_refused_at_its_place() {
    let mut faults = Vec::new();
    let long = format!("\"{}\"", "x".repeat(65));
    for bad in ["\"Sea salt\"", "\"\"", "\"соль\"", "\"../salt\"", long.as_str()] {
        faults.extend(fault("addition: ", "\"salt\"", bad, &[]));
        faults.extend(fault("scent: ", "\"lavender\"", bad, &[]));
    }
    assert_none(&faults);
}

#[test]
fn the_same_addition_at_two_stages_is_two_lines_of_one_record() {
    let more = "(addition: \"fernhollow_cider\", amount: Grams(5.0), stage: AtTrace),\n        (addition: \"salt\"";
    let design = read(&spoilt("(addition: \"salt\"", more)).expect("it may stand twice");
    assert_eq!(design.additions.len(), 4, "lines");
    assert_eq!(design.additions[2].addition.name, "Fernhollow cider", "the file's own record for both");
    assert!(design.spare.additions.is_empty(), "and none is left over: {:?}", design.spare);
}

#[test]
fn more_additions_or_scents_than_a_design_holds_are_refused_within_their_list() {
    for (list, line) in [
        ("additions", "        (addition: \"salt\", amount: Grams(1)),\n"),
        ("scents", "        (scent: \"lavender\", amount: Grams(1)),\n"),
    ] {
        for (count, fits) in [(100, true), (101, false), (10_000, false)] {
            let text = format!("(\n    barwright: 1,\n    fats: [],\n    {list}: [\n{}    ],\n)\n", line.repeat(count));
            if fits {
                assert!(read(&text).is_ok(), "{count} {list} fit");
                continue;
            }
            let error = refused(list, text.as_bytes());
            assert!(error.to_string().contains("100"), "the most allowed is named: {error}");
            assert!(
                matches!(error, DocumentError::At { line, .. } if (4..=4 + count).contains(&line)),
                "{list} begin in line 4, but: {error}"
            );
        }
    }
}

#[test]
fn a_scent_of_endless_constituents_is_refused_at_its_record() {
    let constituent = "                (name: \"x\", cas: \"\", most: 0.1),\n";
    for (count, fits) in [(498, true), (499, false), (50_000, false)] {
        let text = spoilt(
            "                (name: \"geraniol\"",
            &format!("{}                (name: \"geraniol\"", constituent.repeat(count)),
        );
        if fits {
            assert!(read(&text).is_ok(), "{count} more fit");
            continue;
        }
        let error = refused("constituents", text.as_bytes());
        assert!(error.to_string().contains("500"), "the most allowed is named: {error}");
        let (first, last) = record_lines(&text, "Scent");
        assert!(
            matches!(error, DocumentError::At { line, .. } if (first..=last).contains(&line)),
            "the record stands in lines {first} to {last}, but: {error}"
        );
    }
}

#[test]
fn a_design_of_the_largest_lists_is_still_evaluated() {
    // A hundred scents of five hundred constituents do not fit into a file; a hundred lines of
    // one do, and so does one with half a million of its letters in numbers.
    let constituent = "(name: \"x\", cas: \"97-53-0; 78-70-6\", most: 0.1),\n".repeat(498);
    let numbers = "7732-18-5; ".repeat(50_000);
    let text = spoilt("(name: \"geraniol\"", &format!("{constituent}(name: \"geraniol\""))
        .replacen("cas: \"8000-28-0\"", &format!("cas: \"{numbers}\""), 1)
        .replacen(
            "(scent: \"lavender\"",
            &format!("{}(scent: \"lavender\"", "(scent: \"orchard_blossom\", amount: Grams(1)),\n".repeat(98)),
            1,
        )
        .replacen(
            "(addition: \"salt\"",
            &format!("{}(addition: \"salt\"", "(addition: \"fernhollow_cider\", amount: Grams(1)),\n".repeat(97)),
            1,
        );
    let evaluation = evaluate(&read(&text).expect("as large as may be"), &LIBRARY);
    assert_eq!(evaluation.addition_masses.len(), 100, "additions");
    assert_eq!(evaluation.scents.masses.len(), 100, "scents");
    assert!(evaluation.batch.batter.0.is_finite(), "{:?}", evaluation.batch);
}

/// First and last line of the record of a `kind` in the good design.
fn record_lines(text: &str, kind: &str) -> (usize, usize) {
    let begin = text.find(&format!("        {kind}((")).expect("the record");
    let end = begin + text[begin..].find("\n        ))").expect("its end") + 1;
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
        ("more than all of it", "sugars: Some(1.75)", "sugars: Some(7.5)", &["fernhollow_cider", "100.25"]),
        ("more acid than all of it", "content: 0.625", "content: 50.0", &["fernhollow_cider", "142.75"]),
        ("no protons", "protons: 2", "protons: 0", &["fernhollow_cider", "protons", "0"]),
        ("seven protons", "protons: 2", "protons: 7", &["fernhollow_cider", "protons", "7"]),
        ("negative alkali", "naoh_g_per_g: 0.666", "naoh_g_per_g: -0.666", &["fernhollow_cider", "-0.666"]),
        ("alkali a hundredfold", "naoh_g_per_g: 0.666", "naoh_g_per_g: 66.6", &["fernhollow_cider", "66.6"]),
        ("no number of alkali", "naoh_g_per_g: 0.666", "naoh_g_per_g: NaN", &["fernhollow_cider", "NaN"]),
        ("endless alkali", "naoh_g_per_g: 0.666", "naoh_g_per_g: inf", &["fernhollow_cider", "inf"]),
    ] {
        let text = spoilt(old, new);
        let error = refused(what, text.as_bytes());
        let kind = match words[0] {
            "orchard_press" => "Fat",
            "fernhollow_cider" => "Addition",
            _ => "Scent",
        };
        let (first, last) = record_lines(&text, kind);
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
        ("id: ", "\"fernhollow_cider\"", "\"Fernhollow\"", &["Fernhollow"]),
        ("id: ", "\"orchard_blossom\"", "\"\"", &[]),
        ("water: ", "92.5", "100.5", &[]),
        ("fat: ", "0.25", "-0.25", &[]),
        ("sugars: Some(", "1.75", "-1.75", &[]),
        ("content: ", "0.625", "101", &[]),
        ("molar_mass: ", "134.09", "0", &["molar mass"]),
        ("molar_mass: ", "134.09", "-134.09", &["molar mass"]),
        ("protons: ", "2,", "-2,", &[]),
        ("protons: ", "2,", "256,", &[]),
        ("alcohol: ", "4.75", "104.75", &[]),
        ("solids_g_per_ml: ", "1.45", "0", &["density"]),
        ("solids_g_per_ml: ", "1.45", "1450", &["density"]),
        ("\"78-70-6; 126-90-9\", most: ", "44.5", "144.5", &[]),
        ("\"78-70-6; 126-90-9\", most: ", "44.5", "-1", &[]),
        ("cas: ", "\"106-24-1\"", "\"106-24-2\"", &["106-24-2"]),
        ("cas: ", "\"106-24-1\"", "\"geraniol\"", &["geraniol"]),
        ("cas: ", "\"8000-28-0\"", "\"8000–28–0\"", &["8000–28–0"]),
        ("cas: ", "\"8000-28-0\"", "\"8000-28-0; 1; 2\"", &["1"]),
    ] {
        faults.extend(fault(field, old, bad, words));
    }
    assert_none(&faults);
}

/// The good design with its own record of a `kind` once more, behind all others.
fn with_a_second(kind: &str) -> String {
    let end = GOOD.find("    ],\n)\n").expect("the end of the materials");
    let begin = GOOD.find(&format!("        {kind}((")).expect("the record");
    let tail = "\n        )),\n";
    let length = GOOD[begin..].find(tail).expect("its end") + tail.len();
    format!("{}{}{}", &GOOD[..end], &GOOD[begin..begin + length], &GOOD[end..])
}

#[test]
fn a_record_that_stands_twice_is_refused_at_its_second_place() {
    for (kind, id) in [("Fat", "orchard_press"), ("Addition", "fernhollow_cider"), ("Scent", "orchard_blossom")] {
        let text = with_a_second(kind);
        let error = refused("a record twice", text.as_bytes());
        let quoted = format!("\"{id}\"");
        let at = text.rfind(&quoted).expect("just put there");
        assert_eq!(misplaced(&text, at, &quoted, &error, &[id, "twice"]), None);
    }
}

/// The good design with one id for its own fat and its own addition.
fn with_a_shared_id(text: &str) -> String {
    text.replace("\"fernhollow_cider\"", "\"orchard_press\"")
}

#[test]
fn a_fat_and_an_addition_may_share_an_id() {
    let design = read(&with_a_shared_id(GOOD)).expect("a fat and an addition of that name");
    assert_eq!(design.blend.lines()[3].fat.name, "Orchard press");
    assert_eq!(design.additions[1].addition.name, "Fernhollow cider");
}

#[test]
fn what_is_wrong_with_an_addition_is_said_at_the_addition_though_a_fat_bears_its_id_too() {
    let too_much = with_a_shared_id(&spoilt("water: 92.5", "water: 98.5"));
    let error = refused("100.5 %", too_much.as_bytes());
    let at = too_much.rfind("\"orchard_press\"").expect("the addition's");
    assert_eq!(misplaced(&too_much, at, "\"orchard_press\"", &error, &["orchard_press", "100.5"]), None);
}

#[test]
fn an_addition_that_stands_twice_is_placed_rightly_though_a_fat_bears_its_id_too() {
    let twice = with_a_shared_id(&with_a_second("Addition"));
    let error = refused("an addition twice", twice.as_bytes());
    let at = twice.rfind("\"orchard_press\"").expect("just put there");
    assert_eq!(misplaced(&twice, at, "\"orchard_press\"", &error, &["orchard_press", "twice"]), None);
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
    files.push(spoilt("Grams(40.0)", "Pounds(40.0)"));
    files.push(spoilt("stage: IntoFats", "stage: IntoTheFats"));
    files.push(spoilt("FatMass(750.0)", "Mould((shape: Brick((length_mm: 1.0))))"));
    files.push(spoilt("FatMass(750.0)", "Mould((fill: 50))"));
    files.push(spoilt("kind: Liquid", "kind: Gas"));
    files.push(spoilt("most: 44.5", "most: \"much\""));
    files.push(spoilt("batches: []", "batches: [()]"));
    let mut told: Vec<String> = files
        .iter()
        .map(|text| refused("hostile", text.as_bytes()).to_string())
        .filter(|said| ["ron::", "serde", "`Header`", "struct `"].iter().any(|inside| said.contains(inside)))
        .collect();
    told.sort();
    told.dedup_by(|a, b| a.rsplit(": ").next() == b.rsplit(": ").next());
    assert!(told.is_empty(), "a person can do nothing with:\n{}", told.join("\n"));
}
