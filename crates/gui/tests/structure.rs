//! What the sources of this crate may not hold: numbers and formulas of chemistry, geometry and units
//! belong to `barwright_core`, where each has its source and its test.

use std::fs;
use std::path::{Path, PathBuf};

/// What may not stand in the sources, and where it belongs.
const BELONGS_ELSEWHERE: [(&str, &str); 34] = [
    // Molar masses, saponification and heats.
    ("39.997", "molar mass of sodium hydroxide: library::acids"),
    ("56.1", "molar mass of potassium hydroxide: library::acids"),
    ("18.015", "molar mass of water: library::acids"),
    ("92.09", "molar mass of glycerol: library::acids"),
    ("253.8", "molar mass of iodine: library::acids"),
    ("0.713", "ratio of the alkalis: chemistry::alkali"),
    ("1.402", "ratio of the alkalis: chemistry::alkali"),
    ("333.6", "heat of melting: chemistry::solution"),
    ("8.314", "gas constant: chemistry"),
    // Units.
    ("28.34", "grams in an ounce: units::MassUnit"),
    ("28.35", "grams in an ounce: units::MassUnit"),
    ("453.59", "grams in a pound: number::parse_mass"),
    ("273.15", "kelvin and °C: chemistry"),
    ("°F", "degrees Fahrenheit are read and shown by core"),
    ("Fahrenheit", "degrees Fahrenheit are read and shown by core"),
    (".grams()", "an ounce is told and stepped by MassUnit::step, number::mass"),
    ("* 100.0", "percent of a fraction: units::in_percent, percent_of"),
    ("100.0 *", "percent of a fraction: units::in_percent, percent_of"),
    ("/ 100.0", "fraction of a percent: the bounded types of units"),
    ("* 1000.0", "kilograms and millilitres: a method of core"),
    ("1000.0 *", "kilograms and millilitres: a method of core"),
    ("/ 1000.0", "kilograms and millilitres: a method of core"),
    ("* 60.0", "hours and minutes: bench::schedule"),
    ("/ 60.0", "hours and minutes: bench::schedule"),
    // Geometry and formulas.
    ("f32::consts", "π and e: geometry is design::mould"),
    ("f64::consts", "π and e: geometry is design::mould"),
    ("PI", "π: geometry is design::mould"),
    (".powi(", "a formula: core"),
    (".powf(", "a formula: core"),
    (".sqrt(", "a formula: core"),
    (".cbrt(", "a formula: core"),
    (".exp(", "a formula: core"),
    (".ln(", "a formula: core"),
    (".log10(", "a formula: core"),
];

/// Lines that are allowed although they match, each with its reason.
const ALLOWED: [(&str, &str, &str); 1] =
    [("views/why.rs", "MassUnit::Ounce.grams()", "says how many grams an ounce has, as core has it")];

/// All sources below `folder`.
fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

/// The code of a source: no tests, which stand last, and no comments.
fn code(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let lines = text.lines().enumerate().take_while(|(_, line)| !line.starts_with("#[cfg(test)]"));
    lines.map(|(i, line)| (i + 1, line)).filter(|(_, line)| !line.trim_start().starts_with("//"))
}

/// Whether `word` stands in `line`, not as a part of a longer name or number.
fn stands_in(word: &str, line: &str) -> bool {
    let is_part = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back().is_some_and(|c| is_part(c) || c == '.');
        let after = line[at + word.len()..].chars().next().is_some_and(is_part);
        let begins = word.starts_with(is_part);
        // A number is the same with more digits.
        let ends = word.ends_with(char::is_alphabetic);
        !(begins && before || ends && after)
    })
}

/// `line` with the marks in numbers taken out, so that `1_000.0` is 1000.0.
fn plain(line: &str) -> String {
    let letters: Vec<char> = line.chars().collect();
    let is_digit = |i: Option<usize>| i.and_then(|i| letters.get(i)).is_some_and(char::is_ascii_digit);
    let is_mark = |i: usize| letters[i] == '_' && is_digit(i.checked_sub(1)) && is_digit(Some(i + 1));
    (0..letters.len()).filter(|i| !is_mark(*i)).map(|i| letters[i]).collect()
}

#[test]
fn the_window_holds_no_chemistry() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    files.sort();
    assert!(files.len() > 60, "the sources are found: {}", files.len());
    let mut found = Vec::new();
    for file in &files {
        let name = file.strip_prefix(&root).expect("below the root").display().to_string();
        let text = fs::read_to_string(file).expect("text");
        for (number, line) in code(&text) {
            let line = plain(line);
            for (word, home) in BELONGS_ELSEWHERE.iter().filter(|(word, _)| stands_in(word, &line)) {
                if !ALLOWED.iter().any(|(at, what, _)| name == *at && line.contains(what)) {
                    found.push(format!("{name}:{number}: `{word}` ({home})\n    {}", line.trim()));
                }
            }
        }
    }
    assert!(found.is_empty(), "numbers and formulas that belong to barwright_core:\n{}", found.join("\n"));
}

#[test]
fn what_may_not_stand_in_the_sources_is_seen_there() {
    for line in [
        "let area = std::f64::consts::PI * r * r;",
        "let percent = 100.0 * fraction;",
        "let grams = ounces * 28.349_523_125;",
        "let kelvin = celsius + 273.15;",
        "let side = volume.cbrt();",
        "let kilograms = grams / 1_000.0;",
    ] {
        let line = plain(line);
        assert!(BELONGS_ELSEWHERE.iter().any(|(word, _)| stands_in(word, &line)), "{line}");
    }
    for line in ["let width = ui.available_width() * 0.335;", "const PINNED: u8 = 1;", "let t = 2100.0 * x;"] {
        assert!(!BELONGS_ELSEWHERE.iter().any(|(word, _)| stands_in(word, line)), "{line}");
    }
}

#[test]
fn views_never_take_a_design_to_change_it() {
    let mut files = Vec::new();
    for folder in ["views", "widgets"] {
        sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(folder), &mut files);
    }
    for file in files {
        let text = fs::read_to_string(&file).expect("text");
        for (number, line) in code(&text) {
            for what in ["&mut OpenDesign", "&mut [OpenDesign]", "&mut Design", "&mut History"] {
                assert!(!stands_in(what, line), "{}:{number}: {what}; ask for it by Changes", file.display());
            }
        }
    }
}
