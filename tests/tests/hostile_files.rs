//! Files that are broken, foreign, huge or meant to harm: each ends in an error that helps.
//!
//! Source: the description of the design file in the project's own documents; no publication.

#[path = "../src/hostile.rs"]
#[allow(dead_code, reason = "each file of hostile files takes what it needs")]
mod hostile;

use barwright_core::design::document::{self, DocumentError, MOST_BYTES};
use barwright_core::library::additions::Stage;
use barwright_core::{Design, evaluate};
use hostile::{GOOD, LIBRARY, assert_none, fault, misplaced, read, refused, spoilt};

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
    let long = MOST_BYTES + 1_000_000;
    let error = refused("a million bytes too many", &vec![b' '; long]);
    assert_eq!(error, DocumentError::TooLarge { bytes: long });
    let said = error.to_string();
    assert!(said.contains(&long.to_string()) && said.contains(&MOST_BYTES.to_string()), "{said}");
    let padded = format!("{GOOD}{}", " ".repeat(MOST_BYTES - GOOD.len()));
    assert!(read(&padded).is_ok(), "{MOST_BYTES} bytes are allowed");
    assert!(read(&format!("{padded} ")).is_err(), "one more is not");
}

#[test]
fn a_list_with_a_million_commas_is_refused() {
    let text = format!("(barwright: 1, fats: [{}])", ",".repeat(1_000_000));
    let error = refused("commas", text.as_bytes());
    assert!(matches!(error, DocumentError::At { line: 1, .. }), "{error}");
}

#[test]
fn what_no_batch_has_is_refused_where_it_stands() {
    let text = spoilt("batches: []", "batches: [(made_on: \"2026-03-14\")]");
    let error = refused("a batch", text.as_bytes());
    let at = text.find("[(made_on").expect("just put there") + "[(".len();
    assert_eq!(misplaced(&text, at, "made_on", &error, &["Batch"]), None);
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
