use super::*;
use crate::library::Library;

fn acids() -> Acids {
    Library::embedded().expect("assets parse").acids.clone()
}

/// Each acid as least, most and found.
/// An acid's shorthand, its least, its most and what was found.
type Row = (String, f64, f64, Option<f64>);

fn read(text: &str) -> Result<Vec<Row>, String> {
    let acids = acids();
    let given = Pasted::read(text, &acids).acids().map_err(|e| e.to_string())?;
    Ok(given.iter().map(|g| (acids.get(g.acid).key.clone(), g.range.min(), g.range.max(), g.typical)).collect())
}

#[test]
fn a_line_of_any_usual_certificate_is_read() {
    for (line, key, least, most, found) in [
        ("Oleic acid 18:1  65.3 %", "18:1", 65.3, 65.3, None),
        ("C16:0 11,2", "16:0", 11.2, 11.2, None),
        ("lauric 45-53", "12:0", 45.0, 53.0, None),
        ("- Palmitic (C16:0)\t11.2\t", "16:0", 11.2, 11.2, None),
        ("C18:1 n-9 cis 65.3 g/100g", "18:1", 65.3, 65.3, None),
        ("C18:1n9c: 65,3%", "18:1", 65.3, 65.3, None),
        ("18:3 n-6 9.1", "18:3g", 9.1, 9.1, None),
        ("C18:3n6 9.1", "18:3g", 9.1, 9.1, None),
        ("gamma-Linolenic acid 9.1 – 10 %", "18:3g", 9.1, 10.0, None),
        ("alpha linolenic acid 55", "18:3", 55.0, 55.0, None),
        ("Ricinoleic acid (C18:1 OH) 85 ± 3 %", "18:1-OH", 82.0, 88.0, None),
        ("12-Hydroxystearic 80", "18:0-OH", 80.0, 80.0, None),
        ("C20:1 Eicosenoic < 0.5 %", "20:1", 0.0, 0.5, None),
        ("Stearic acid max. 3 %", "18:0", 0.0, 3.0, None),
        ("C18:1 min 55 max 83 71.2", "18:1", 55.0, 83.0, Some(71.2)),
        ("C18:1;55.0;83.0;71.2", "18:1", 55.0, 83.0, Some(71.2)),
        ("oleic 55 to 83 (71.2)", "18:1", 55.0, 83.0, Some(71.2)),
        ("C 12:0 lauric 48", "12:0", 48.0, 48.0, None),
    ] {
        assert_eq!(read(line), Ok(vec![(key.to_owned(), least, most, found)]), "{line}");
    }
}

#[test]
fn sums_headings_and_traces_are_passed_over_and_isomers_added_up() {
    let text = "Fatty acid composition\nC18:1 n-9 70\nC18:1 n-7 3\nC16:0 12\nC20:5 0.1\nC17:1 n.d.\nC14:0 0\n\
                Total saturated 12\nomega-3 0.7\nothers 2.9\nIodine value 84\nTotal: 100";
    assert_eq!(read(text), Ok(vec![("18:1".into(), 73.0, 73.0, None), ("16:0".into(), 12.0, 12.0, None)]));
    let several = "C16:0 11,2 %, C18:0 3 %; C18:1 70 %";
    assert_eq!(read(several).map(|all| all.len()), Ok(3), "a line of several");
}

#[test]
fn what_is_not_understood_is_told_with_its_place() {
    for (text, place, told) in [
        ("C18:1 70\nmoonbeam acid 12", "Line 2", "no fatty acid"),
        ("C18:1", "Line 1", "how much"),
        ("C16:0 11\n\nC20:5 4", "Line 3", "not known here"),
        ("C18:1 oleic 170", "Line 1", "more than all"),
        ("palmitic C18:1 12", "Line 1", "is it"),
        ("C18:1 70\nC18:1 70", "Line 2", "stands twice"),
        ("C18:1 55 – 83 90", "Line 1", "outside"),
        ("C18:1 1 2 3 4", "Line 1", "which of these"),
        ("C18:1 83–55", "Line 1", "more to less"),
        ("C18:1 1.2.3", "Line 1", "no number"),
    ] {
        let error = read(text).expect_err(text);
        assert!(error.starts_with(place) && error.contains(told), "{text}: {error}");
    }
    assert!(read(&"C18:1 7\n".repeat(10_000)).expect_err("long").contains("longer"), "it ends");
}

#[test]
fn no_text_makes_it_panic() {
    for text in [
        "",
        ":",
        "C:",
        "1:",
        "::1",
        "C18:",
        "18:11",
        "118:1 5",
        "ü:1",
        "C18:1ü",
        "(OH)2",
        "±",
        "C18:1 ±",
        "-",
        "C18:1 - -",
        "C18:1 NaN",
        "\u{202e}C18:1 5",
        "C18:1 5\u{0}",
        "\u{6cb9}18:1\u{6cb9} 5",
        "C18:1 ,",
        "C18:1 .",
        "18:1 18:1 18:1, ,;",
    ] {
        let _ = read(text);
    }
    assert_eq!(read("\u{202e}C18:1 5\u{7}"), read("C18:1 5"), "what cannot be seen is dropped");
}

fn typical(text: &str) -> Result<Vec<f64>, String> {
    let given = Pasted::read(text, &acids()).acids().map_err(|e| e.to_string())?;
    let profile = profile(&given, "the certificate").map_err(|e| e.to_string())?;
    Ok(profile.iter().map(|e| e.typical).collect())
}

#[test]
fn a_profile_sums_to_100_within_its_ranges() {
    let figures = typical("C18:1 72\nC16:0 12\nC18:2 9\nC18:0 3").expect("96 %");
    assert!((figures.iter().sum::<f64>() - 100.0).abs() < 1e-9, "{figures:?}");
    assert!((figures[0] - 75.0).abs() < 1e-9, "72 of 96");
    let ranges = typical("C18:1 55–83\nC16:0 7.5–20\nC18:2 2.5–21\nC18:0 0.5–5").expect("an olive oil");
    assert!((ranges.iter().sum::<f64>() - 100.0).abs() < 1e-9, "{ranges:?}");
    assert!((55.0..=83.0).contains(&ranges[0]) && (7.5..=20.0).contains(&ranges[1]), "{ranges:?}");
}

#[test]
fn sums_that_cannot_be_are_refused() {
    let error = typical("C18:1 90\nC16:0 40").expect_err("130 %");
    assert!(error.contains("130"), "{error}");
    let error = typical("C18:1 60\nC16:0 10").expect_err("70 %");
    assert!(error.contains("70") && error.contains("missing"), "{error}");
    let error = typical("C18:1 80–90\nC16:0 30–40").expect_err("at least 110 %");
    assert!(error.contains("110"), "{error}");
}

#[test]
fn the_acids_of_every_fat_of_the_library_are_written_and_read_back() {
    let library = Library::embedded().expect("assets parse");
    for fat in library.fats().iter().filter(|fat| !fat.profile().is_empty()) {
        let of = fat.profile().iter().map(|e| (e.acid, e.range, e.typical));
        let text = written(of, &library.acids);
        let given = Pasted::read(&text, &library.acids).acids().unwrap_or_else(|e| panic!("{}: {e}\n{text}", fat.id));
        let profile = profile(&given, "like it").unwrap_or_else(|e| panic!("{}: {e}", fat.id));
        for entry in fat.profile().iter().filter(|e| e.typical > 0.5) {
            let back = profile.iter().find(|e| e.acid == entry.acid).unwrap_or_else(|| panic!("{}", fat.id));
            assert!((back.typical - entry.typical).abs() < 0.05, "{}: {back:?} for {entry:?}", fat.id);
        }
    }
}
