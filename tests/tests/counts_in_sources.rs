//! The counts in `assets/data/SOURCES.md` against the tables that they are of.
//!
//! Source: the tables of `assets/data`, read here as bare rows.

use std::collections::{BTreeMap, BTreeSet};

const SOURCES: &str = include_str!("../../assets/data/SOURCES.md");

type Row = BTreeMap<String, String>;

macro_rules! rows {
    ($table:literal) => {
        rows(include_str!(concat!("../../assets/data/", $table, ".csv")))
    };
}

fn rows(text: &str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes()).into_deserialize().map(|row| row.expect("a row")).collect()
}

fn with(rows: &[Row], column: &str, value: &str) -> usize {
    rows.iter().filter(|row| row[column] == value).count()
}

/// All that SOURCES.md is wanted to say, word by word.
fn expected() -> Vec<String> {
    const MEMORY: &str = "from memory";
    let (fats, profiles) = (rows!("fats"), rows!("profiles"));
    let profiled: BTreeSet<&String> = profiles.iter().map(|row| &row["fat"]).collect();
    let additions = rows!("additions");
    let (scents, constituents, limits) = (rows!("scents"), rows!("constituents"), rows!("limits"));
    let numbers = |row: &Row| row["cas"].split(';').map(|n| n.trim().to_owned()).collect::<Vec<_>>();
    let in_figures: BTreeSet<String> =
        limits.iter().filter(|row| row["limit"].parse::<f64>().is_ok()).flat_map(numbers).collect();
    let limited: Vec<Row> =
        constituents.iter().filter(|row| numbers(row).iter().any(|n| in_figures.contains(n))).cloned().collect();
    let tables = [fats.len(), profiles.len(), additions.len(), scents.len(), constituents.len(), limits.len()];
    assert!(tables.iter().all(|rows| *rows > 10), "the tables are there: {tables:?}");
    // A reference soap stands on a row for each of its fats.
    let soaps: BTreeMap<(String, String), String> = rows!("styles")
        .into_iter()
        .map(|row| ((row["style"].clone(), row["reference_soap"].clone()), row["trust"].clone()))
        .collect();
    let soaps_with = |trust: &str| match soaps.values().filter(|t| *t == trust).count() {
        1 => "one".to_owned(),
        3 => "three".to_owned(),
        6 => "six".to_owned(),
        8 => "eight".to_owned(),
        many => many.to_string(),
    };
    vec![
        format!(
            "The saponification values of {} of the {} fats are from memory and of {} calculated, and {} of the {} \
             profile rows are from memory.",
            with(&fats, "sv_trust", MEMORY),
            fats.len(),
            with(&fats, "sv_trust", "calculated from a read profile"),
            with(&profiles, "trust", MEMORY),
            profiles.len()
        ),
        format!("## fats.csv: {} fats", fats.len()),
        format!("## profiles.csv: fatty acids of {} fats", profiled.len()),
        format!("## acids.csv: {} fatty acids", rows!("acids").len()),
        format!("## additions.csv: {} additions", additions.len()),
        format!("all {} uncounted acids", additions.iter().filter(|row| !row["uncounted_acid"].is_empty()).count()),
        format!("## measures.csv: {} additions", rows!("measures").len()),
        format!("## scents.csv: {} essential oils", scents.len()),
        format!("## constituents.csv: {} constituents", constituents.len()),
        format!(
            "{} of {} rows are from memory, {} of the {} whose substance has a limit in figures.",
            with(&constituents, "trust", MEMORY),
            constituents.len(),
            with(&limited, "trust", MEMORY),
            limited.len()
        ),
        format!("## comparisons.csv: {} soaps", rows!("comparisons").len()),
        format!("## sugars.csv: the reducing sugars of {} additions", rows!("sugars").len()),
        format!("## pigments.csv: {} pigments of fats and additions", rows!("pigments").len()),
        format!("## pigment_behaviour.csv: what becomes of {} pigments", rows!("pigment_behaviour").len()),
        format!("## bands.csv: {} bands of light", rows!("bands").len()),
        format!("## limits.csv: {} limits", limits.len()),
        format!("| no restriction | {} |", with(&limits, "limit", "no restriction")),
        format!("| see the standard | {} |", with(&limits, "limit", "see the standard")),
        format!("## allergens.csv: {} fragrance allergens", rows!("allergens").len()),
        format!(
            "Of {} soaps {} rests on a paper's abstract (Ginn et al. 1968), {} on reproductions or a definition, {} on \
             memory, {} on common practice.",
            soaps.len(),
            soaps_with("read"),
            soaps_with("reproduction"),
            soaps_with(MEMORY),
            soaps_with("common practice")
        ),
    ]
}

#[test]
fn each_count_is_said_as_it_is() {
    let wrong: Vec<String> = expected().into_iter().filter(|said| !SOURCES.contains(said.as_str())).collect();
    assert!(wrong.is_empty(), "SOURCES.md should say:\n{}", wrong.join("\n"));
}

#[test]
fn each_table_has_its_heading_with_a_count_that_was_checked() {
    let expected = expected();
    for heading in SOURCES.lines().filter(|line| line.starts_with("## ") && line.contains(".csv: ")) {
        let has_count = heading.chars().any(|c| c.is_ascii_digit());
        let is_checked = expected.iter().any(|said| said == heading || heading.starts_with(said.as_str()));
        assert!(is_checked || !has_count, "{heading}: nothing counts it");
    }
}
