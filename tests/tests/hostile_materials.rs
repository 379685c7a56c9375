//! Fats, additions, scents and material records that are unknown, repeated, too many or
//! contradictory: each ends in an error that helps.
//!
//! Source: the description of the design file in the project's own documents; no publication.

#[path = "../src/hostile.rs"]
#[allow(dead_code, reason = "each file of hostile files takes what it needs")]
mod hostile;

use barwright_acceptance::judged;
use barwright_core::design::document::DocumentError;
use hostile::{GOOD, LIBRARY, assert_none, fault, misplaced, position, read, refused, spoilt};

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
    // one do, and so does one with as many numbers as are read.
    let constituent = "(name: \"x\", cas: \"97-53-0; 78-70-6\", most: 0.1),\n".repeat(498);
    let numbers = "7732-18-5; ".repeat(360);
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
    let evaluation = judged(&read(&text).expect("as large as may be"), &LIBRARY);
    assert_eq!(evaluation.addition_masses.len(), 100, "additions");
    assert_eq!(evaluation.scents.masses.len(), 100, "scents");
    assert!(evaluation.masses.batter.0.is_finite(), "{:?}", evaluation.masses);
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
        let evaluation = judged(&read(&text).expect("it can be read"), &LIBRARY);
        let caution = evaluation.cautions.iter().find(|c| c.code == "sv-doubtful");
        let level = caution.map(|c| c.level);
        assert_eq!(level, Some(barwright_core::cautions::Level::Stop), "{what}");
        assert!(caution.is_some_and(|c| c.why.contains("287.8")), "{what}: the figure is named: {caution:?}");
    }
}
