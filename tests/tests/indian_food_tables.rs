//! What saponification values fats can have, against fatty acids of the Indian Food Composition Tables.
//!
//! Source: `data/ifct-acids.csv`: T. Longvah et al., Indian Food Composition Tables 2017, National Institute of
//! Nutrition, Hyderabad, through a public data package (provenance in `data/SOURCES.md`). No profile of the library
//! rests on it. The values are worked out here, from carbons and double bonds.

use barwright_core::Library;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Row {
    fat: String,
    acid: String,
    g_per_100g: f64,
}

/// Molar mass of the acid "18:1", g/mol, with the abridged weights of IUPAC.
fn molar_mass(acid: &str) -> f64 {
    let (carbons, bonds) = acid.split_once(':').expect("carbons and double bonds");
    let [c, d] = [carbons, bonds].map(|n| n.parse::<f64>().expect("a number"));
    12.011 * c + 1.008 * (2.0 * c - 2.0 * d) + 2.0 * 15.999
}

/// The saponification value of the triglyceride of these acids, without unsaponifiable matter, of which a food table
/// says nothing.
fn saponification_values() -> BTreeMap<String, f64> {
    let rows: Vec<Row> = csv::Reader::from_reader(include_str!("../data/ifct-acids.csv").as_bytes())
        .into_deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    let mut sums: BTreeMap<String, (f64, f64)> = BTreeMap::new();
    for row in rows {
        let (mass, moles) = sums.entry(row.fat).or_default();
        *mass += row.g_per_100g;
        *moles += row.g_per_100g / molar_mass(&row.acid);
    }
    let of = |(mass, moles): (f64, f64)| 3.0 * 56_105.0 / (3.0 * mass / moles + 38.049);
    sums.into_iter().map(|(fat, sums)| (fat, of(sums))).collect()
}

/// Fats whose calculated value is further than 1 % from the middle that the lye rests on, in percent of it, and why.
const FAR: [(&str, f64, &str); 5] = [
    ("butterfat", -8.5, "the table has no acids below 10 carbons, of which butterfat holds 8 %"),
    ("coconut", -3.0, "little 8:0; the lye rests on the published 248 to 265, and its margin is as wide"),
    ("maize", 1.1, "up to 2.8 % of unsaponifiable matter is not in the table"),
    ("mustard", -1.1, "51 % of erucic acid, more than the middle of what is published"),
    ("rice_bran", 3.0, "up to 6.5 % of unsaponifiable matter is not in the table"),
];

#[test]
fn fats_of_the_food_tables_take_what_the_library_says_is_possible() {
    let library = Library::embedded().expect("assets/data parses");
    let values = saponification_values();
    assert_eq!(values.len(), 15, "fats of the table");
    for (id, calculated) in &values {
        let fat = library.fat(id).unwrap_or_else(|| panic!("{id} is in the library"));
        let possible = fat.possible_sv().expect("a profile");
        let middle = fat.lye().mid();
        let off = 100.0 * (calculated / middle - 1.0);
        if id != "butterfat" {
            assert!(possible.contains(*calculated), "{id}: {calculated:.2}, possible {possible:?}");
        }
        match FAR.iter().find(|(far, ..)| far == id) {
            Some((_, expected, why)) => {
                assert!((off - expected).abs() < 0.1, "{id}: {off:.2} % off {middle:.2}, not {expected}: {why}");
            }
            None => assert!(off.abs() <= 1.0, "{id}: {calculated:.2} is {off:.2} % off {middle:.2}"),
        }
    }
}
