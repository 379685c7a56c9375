//! Water, fat and sugars of foods.
//!
//! Source: `data/usda-foods.csv`, from the USDA National Nutrient Database for Standard Reference
//! (public domain), by NDB number; provenance in `data/SOURCES.md`.

use barwright_acceptance::assert_within;
use barwright_core::Library;
use barwright_core::library::additions::Addition;
use barwright_core::trust::Trust;
use barwright_core::units::Share;
use serde::Deserialize;
use std::collections::BTreeSet;

#[derive(Deserialize)]
struct Food {
    id: String,
    /// Five digits, the first of which may be 0.
    ndb_no: String,
    water_g_per_100g: f64,
    fat_g: f64,
    sugars_g: Option<f64>,
}

fn foods() -> Vec<Food> {
    csv::Reader::from_reader(include_str!("../data/usda-foods.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("data/usda-foods.csv is complete")
}

/// Whether the record says that its contents are those of the database's food `ndb_no`.
fn names(addition: &Addition, ndb_no: &str) -> bool {
    addition.contents.source.ends_with(&format!("NDB {ndb_no}"))
}

#[test]
fn every_food_has_the_water_fat_and_sugars_of_the_database() {
    let library = Library::embedded().expect("assets/data parses");
    let foods = foods();
    assert_eq!(foods.len(), 43, "foods of the table");
    for food in foods {
        let addition = library.addition(&food.id).unwrap_or_else(|| panic!("{} is in the library", food.id));
        let contents = addition.contents.value;
        assert_within(&format!("water of {}, %", food.id), contents.water.get(), food.water_g_per_100g, 0.0);
        assert_within(&format!("fat of {}, %", food.id), contents.fat.get(), food.fat_g, 0.0);
        // Where the database has no figure for sugars the library must have none, and not 0.
        assert_eq!(contents.sugars.map(Share::get), food.sugars_g, "sugars of {}, %", food.id);
        assert!(names(addition, &food.ndb_no), "{}: {}", food.id, addition.contents.source);
        assert_eq!(addition.contents.trust, Trust::Reproduction, "trust of {}", food.id);
    }
}

#[test]
fn no_other_addition_claims_the_database() {
    let library = Library::embedded().expect("assets/data parses");
    let tabled: BTreeSet<String> = foods().into_iter().map(|f| f.id).collect();
    let claim = |a: &Addition| a.contents.source.contains("NDB");
    let others: Vec<&str> = library
        .additions()
        .iter()
        .filter(|a| claim(a) && !tabled.contains(a.id.as_str()))
        .map(|a| a.id.as_str())
        .collect();
    // Oat flour takes the fat and the sugars of rolled oats, and says so.
    assert_eq!(others, ["oat_flour"], "additions with an NDB number that are not in the table");
    let flour = library.addition("oat_flour").expect("in the library");
    assert!(flour.contents.source.contains("NDB 08120 (of rolled oats)"), "{}", flour.contents.source);
    let oats = foods().into_iter().find(|f| f.ndb_no == "08120").expect("rolled oats are tabled");
    assert_within("fat of oat flour, %", flour.contents.value.fat.get(), oats.fat_g, 0.0);
    assert_eq!(flour.contents.value.sugars.map(Share::get), oats.sugars_g, "sugars of oat flour, %");
    // Its water is rounded to one decimal.
    assert_within("water of oat flour, %", flour.contents.value.water.get(), oats.water_g_per_100g, 0.05);
}

#[test]
fn the_ndb_numbers_are_all_different() {
    let numbers: BTreeSet<String> = foods().into_iter().map(|f| f.ndb_no).collect();
    assert_eq!(numbers.len(), 43, "{numbers:?}");
}

#[test]
fn what_is_neither_water_nor_fat_is_solid() {
    let library = Library::embedded().expect("assets/data parses");
    for food in foods() {
        let addition = library.addition(&food.id).expect("in the library");
        let solids = (100.0 - food.water_g_per_100g - food.fat_g) / 100.0;
        assert_within(&format!("solids of {}", food.id), addition.solids(), solids, 1e-12);
    }
    // Honey by hand: 100 − 17.10 = 82.90 %.
    assert_within("honey", library.addition("honey").expect("in the library").solids(), 0.829, 1e-12);
}
