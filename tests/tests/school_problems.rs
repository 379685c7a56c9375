//! Saponification problems of school chemistry with printed answers.
//!
//! Source: school problem collections, answers as printed; they count NaOH as 40, KOH as 56,
//! glycerol as 92, tristearin as 890 and sodium stearate as 306 g/mol. Exact figures of
//! tristearin, triolein and trilaurin: computed from the IUPAC abridged atomic weights.
//!
//! The core counts 39.997, 56.105, 92.094, 891.501 and 306.466, so a printed answer may differ
//! by what those roundings make: up to 0.19 % (KOH), 0.17 % (tristearin), 0.15 % (the stearate).

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::Library;
use barwright_core::chemistry::alkali::{exact_koh, koh_to_naoh, naoh_to_koh};
use barwright_core::chemistry::fatty_matter::{anhydrous_soap_per_gram, glycerol_per_gram};
use barwright_core::formula::Plain;
use barwright_core::library::acids::{MG_KOH_PER_MOL, molar_mass};
use barwright_core::library::fats::FatKind;
use barwright_core::units::Grams;

/// What the books' rounded molar masses may add up to.
const ROUNDED: f64 = 0.002;

fn tristearin_sv() -> f64 {
    let library = Library::embedded().expect("assets/data parses");
    library.acids.get(library.acids.find("18:0").expect("stearic acid")).triglyceride_sv()
}

/// Saponification value of a fat of which `fat` grams take exactly `naoh` grams.
fn sv_of(fat: f64, naoh: f64) -> f64 {
    1000.0 * naoh_to_koh(Plain, Grams(naoh)).0 / fat
}

#[test]
fn a_tonne_of_fat_with_89_percent_tristearin_gives_918_kg_of_sodium_stearate() {
    let soap = 1000.0 * 0.89 * anhydrous_soap_per_gram(FatKind::Triglyceride, tristearin_sv());
    assert_relative("sodium stearate, kg", soap, 918.0, ROUNDED);
    // The same by formulas: three moles of stearate from one of tristearin.
    let stearate = 284.484 - 1.008 + 22.989_769_28;
    assert_relative("sodium stearate by formulas, kg", soap, 890.0 / 891.501 * 3.0 * stearate, 1e-5);
}

#[test]
fn neutral_fat_and_lye_give_the_printed_glycerol_and_soap() {
    // Fat, NaOH, glycerol, soap; kg in the first, g in the others.
    for (fat, naoh, glycerol, soap) in [(8.58, 1.2, 0.92, 8.86), (89.0, 42.0, 32.2, 98.8), (17.24, 2.4, 1.84, 17.8)] {
        let sv = sv_of(fat, naoh);
        let what = format!("from {fat} of fat and {naoh} of NaOH");
        let kind = FatKind::Triglyceride;
        assert_relative(&format!("glycerol {what}"), fat * glycerol_per_gram(Plain, kind, sv), glycerol, ROUNDED);
        assert_relative(&format!("soap {what}"), fat * anhydrous_soap_per_gram(kind, sv), soap, ROUNDED);
        // What goes in comes out.
        let out = fat * (glycerol_per_gram(Plain, kind, sv) + anhydrous_soap_per_gram(kind, sv));
        assert_relative(&format!("all that comes out {what}"), out, fat + naoh, 1e-12);
    }
}

#[test]
fn the_second_problem_is_arithmetic_only() {
    // 89 g taking 42 g of NaOH would be 254 g/mol, lighter than triacetin with longer acids.
    let molar_mass = 3.0 * MG_KOH_PER_MOL / sv_of(89.0, 42.0);
    assert_within("molar mass of the fat, g/mol", molar_mass, 254.0, 0.5);
}

#[test]
fn an_acid_value_of_7_and_89_percent_tristearin_give_an_ester_value_of_168_and_an_sv_of_175() {
    let ester_value = 0.89 * tristearin_sv();
    assert_relative("ester value", ester_value, 168.0, ROUNDED);
    assert_relative("saponification value", ester_value + 7.0, 175.0, ROUNDED);
    // With the book's own molar masses it is exact.
    assert_within("ester value at 56 and 890 g/mol", 0.89 * 3.0 * 56.0 * 1000.0 / 890.0, 168.0, 1e-9);
}

#[test]
fn a_kilogram_of_a_simple_triglyceride_takes_the_exact_alkali() {
    let library = Library::embedded().expect("assets/data parses");
    // Acid, g KOH and g NaOH per kg, to the two decimals printed.
    for (key, koh, naoh) in [("18:0", 188.80, 134.59), ("18:1", 190.09, 135.51), ("12:0", 263.40, 187.77)] {
        let sv = library.acids.get(library.acids.find(key).expect("in the library")).triglyceride_sv();
        let need = exact_koh([(Grams(1000.0), sv)]);
        assert_within(&format!("g KOH per kg, triglyceride of {key}"), need.0, koh, 0.005);
        assert_within(&format!("g NaOH per kg, triglyceride of {key}"), koh_to_naoh(Plain, need).0, naoh, 0.005);
    }
}

#[test]
fn a_kilogram_of_tristearin_gives_103_3_g_of_glycerol() {
    let glycerol = 1000.0 * glycerol_per_gram(Plain, FatKind::Triglyceride, tristearin_sv());
    assert_within("glycerol, g", glycerol, 103.3, 0.05);
    assert_relative("glycerol by formula, g", glycerol, 1000.0 * 92.094 / 891.501, 1e-9);
}

#[test]
fn a_free_acid_gives_its_salt_and_a_mole_of_water_but_no_glycerol() {
    let stearic = 284.484;
    let sv = MG_KOH_PER_MOL / stearic;
    assert_within("glycerol", glycerol_per_gram(Plain, FatKind::FreeAcid, sv), 0.0, 0.0);
    let salt = stearic * anhydrous_soap_per_gram(FatKind::FreeAcid, sv);
    assert_relative("sodium stearate, g/mol", salt, stearic + molar_mass::NAOH - molar_mass::WATER, 1e-12);
}
