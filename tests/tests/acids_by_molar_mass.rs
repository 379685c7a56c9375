//! Sodium hydroxide that acids and salts among the additions take, from their formulas.
//!
//! Source: stoichiometry, with the IUPAC abridged standard atomic weights (CIAAW 2021) typed here;
//! the list of figures is that of the project's reference notes. How many protons an acid gives off
//! in strong lye is textbook chemistry (from memory): all carboxyl groups; of ascorbic acid only the
//! first, as the notes have it; of disodium EDTA the two that it has left; sodium bicarbonate turns
//! to carbonate.

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::Library;
use barwright_core::chemistry::alkali;
use barwright_core::formula::Plain;
use barwright_core::library::additions::Addition;
use barwright_core::units::Grams;

/// Atomic weights, g/mol.
const WEIGHTS: [(char, f64); 5] = [('C', 12.011), ('H', 1.008), ('O', 15.999), ('N', 14.007), ('M', 22.989_769_28)];

/// Molar mass of a formula such as C6H8O7; M stands for sodium.
fn molar_mass(formula: &str) -> f64 {
    let mut rest = formula;
    let mut sum = 0.0;
    while let Some(atom) = rest.chars().next() {
        let weight = WEIGHTS.iter().find(|(a, _)| *a == atom).unwrap_or_else(|| panic!("{atom} in {formula}")).1;
        let digits = rest[1..].chars().take_while(char::is_ascii_digit).count();
        let count = if digits == 0 { 1.0 } else { rest[1..=digits].parse().expect("a count of atoms") };
        sum += weight * count;
        rest = &rest[1 + digits..];
    }
    sum
}

fn naoh() -> f64 {
    molar_mass("MOH")
}

/// How far a printed figure may be off: the notes round the molar masses to the hundredth of a gram
/// first, which makes citric acid 0.6246 where its formula gives 0.62455, and acetic acid 0.6661 where
/// it gives 0.66604.
const PRINTED: f64 = 0.000_07;

/// Addition, formula, protons, part of the addition that is the substance, and g NaOH per g of the
/// pure substance as the reference notes print it.
const TAKERS: [(&str, &str, f64, f64, f64); 11] = [
    ("citric_acid", "C6H8O7", 3.0, 1.0, 0.6246),
    ("citric_acid_monohydrate", "C6H10O8", 3.0, 1.0, 0.5710),
    ("lactic_acid_80", "C3H6O3", 1.0, 0.8, 0.4440),
    ("acetic_acid", "C2H4O2", 1.0, 1.0, 0.6661),
    ("distilled_vinegar", "C2H4O2", 1.0, 0.05, 0.6661),
    ("cider_vinegar", "C2H4O2", 1.0, 0.05, 0.6661),
    ("ascorbic_acid", "C6H8O6", 1.0, 1.0, 0.2271),
    ("tartaric_acid", "C4H6O6", 2.0, 1.0, 0.5330),
    // Not in the notes; 79.994/134.087.
    ("malic_acid", "C4H6O5", 2.0, 1.0, 0.5966),
    // Na2H2EDTA · 2 H2O
    ("disodium_edta", "C10H18N2M2O10", 2.0, 1.0, 0.2149),
    ("sodium_bicarbonate", "MHCO3", 1.0, 1.0, 0.4761),
];

fn addition<'a>(library: &'a Library, id: &str) -> &'a Addition {
    library.addition(id).unwrap_or_else(|| panic!("{id} is in the library"))
}

#[test]
fn every_acid_takes_what_its_formula_says() {
    let library = Library::embedded().expect("assets/data parses");
    for (id, formula, protons, part, printed) in TAKERS {
        let pure = protons * naoh() / molar_mass(formula);
        assert_within(&format!("{id} by the notes, g NaOH per g"), pure, printed, PRINTED);
        // The table rounds molar masses to the hundredth of a gram.
        let actual = addition(&library, id).naoh_per_gram();
        assert_relative(&format!("{id}, g NaOH per g"), actual, part * pure, 0.000_1);
        // Hydrates are tabled as the acid without its crystal water, in percent of the hydrate.
        let acid = &addition(&library, id).acid.as_ref().expect("it brings an acid").value;
        let waters = match id {
            "citric_acid_monohydrate" => 1.0,
            "disodium_edta" => 2.0,
            _ => 0.0,
        };
        let dry = molar_mass(formula) - waters * molar_mass("H2O");
        assert_within(&format!("{id}, g/mol"), acid.molar_mass.get(), dry, 0.005 + 1e-9);
        let content = 100.0 * part * dry / molar_mass(formula);
        assert_within(&format!("{id}, % of acid"), acid.content.get(), content, 0.005 + 1e-9);
    }
}

#[test]
fn stearic_acid_takes_its_one_proton() {
    let library = Library::embedded().expect("assets/data parses");
    // C18H36O2: 284.484 g/mol, 39.997/284.484 = 0.14059.
    assert_within("by hand", naoh() / molar_mass("C18H36O2"), 0.140_59, 0.000_005);
    let actual = addition(&library, "stearic_acid").naoh_per_gram();
    assert_relative("stearic acid", actual, naoh() / molar_mass("C18H36O2"), 0.000_1);
    // As a fat in the blend the same acid has a neutralisation value of 197.2: the same alkali.
    let as_fat = alkali::koh_to_naoh(Plain, alkali::exact_koh([(Grams(1.0), 56_105.0 / molar_mass("C18H36O2"))]));
    assert_relative("as a fat", actual, as_fat.0, 0.000_1);
}

#[test]
fn vinegar_and_lemon_juice_take_what_is_dissolved_in_them() {
    let library = Library::embedded().expect("assets/data parses");
    for id in ["distilled_vinegar", "cider_vinegar"] {
        assert_within(id, addition(&library, id).naoh_per_gram(), 0.0333, 0.000_05);
    }
    // Lemon juice: 5.5 % citric acid (from memory, the notes say 5–6 %).
    let lemon = addition(&library, "lemon_juice").naoh_per_gram();
    assert_relative("lemon juice", lemon, 0.055 * 3.0 * naoh() / molar_mass("C6H8O7"), 0.000_1);
    assert_within("lemon juice as the notes print it", lemon, 0.034, 0.000_5);
}

#[test]
fn salts_of_strong_bases_sugar_and_clay_take_nothing() {
    let library = Library::embedded().expect("assets/data parses");
    for id in
        ["sodium_citrate", "sodium_lactate_60", "tetrasodium_edta", "salt", "sugar", "kaolin", "bentonite", "charcoal"]
    {
        assert_within(id, addition(&library, id).naoh_per_gram(), 0.0, 0.0);
    }
}

#[test]
fn only_the_tabled_acids_take_alkali() {
    let library = Library::embedded().expect("assets/data parses");
    let mut takers: Vec<&str> =
        library.additions().iter().filter(|a| a.acid.is_some()).map(|a| a.id.as_str()).collect();
    takers.sort_unstable();
    let mut tested: Vec<&str> = TAKERS.iter().map(|t| t.0).chain(["lemon_juice", "stearic_acid"]).collect();
    tested.sort_unstable();
    assert_eq!(takers, tested, "every acid of the library is checked here");
}

#[test]
fn the_alkali_given_for_acids_that_are_not_counted_follows_from_their_formulas() {
    let library = Library::embedded().expect("assets/data parses");
    let mut checked = 0;
    for uncounted in library.additions().iter().filter_map(|a| a.uncounted_acid.as_ref()) {
        let (formula, protons) = match uncounted.name.as_str() {
            "malic acid" => ("C4H6O5", 2.0),
            "citric acid" => ("C6H8O7", 3.0),
            "oxalic acid" => ("C2H2O4", 2.0),
            "lactic acid" => ("C3H6O3", 1.0),
            "tartaric acid" => ("C4H6O6", 2.0),
            "gluconic acid" => ("C6H12O7", 1.0),
            "aconitic acid" => ("C6H6O6", 3.0),
            other => panic!("{other}: no formula for it here"),
        };
        let by_formula = protons * naoh() / molar_mass(formula);
        assert_within(&format!("{}, g NaOH per g", uncounted.name), uncounted.naoh_per_gram, by_formula, PRINTED);
        checked += 1;
    }
    assert_eq!(checked, 29, "additions with an acid that is not counted");
}

#[test]
fn potassium_hydroxide_is_1_4027_times_as_much() {
    let factor = alkali::naoh_to_koh(Plain, Grams(1.0)).0;
    assert_within("g KOH per g NaOH", factor, (39.098_3 + 15.999 + 1.008) / naoh(), 0.000_02);
    assert_within("as the notes print it", factor, 1.4027, 0.000_05);
}

#[test]
fn crystal_water_is_the_part_of_the_formula_that_is_water() {
    let library = Library::embedded().expect("assets/data parses");
    for (id, formula, waters) in [("citric_acid_monohydrate", "C6H10O8", 1.0), ("disodium_edta", "C10H18N2M2O10", 2.0)]
    {
        let by_formula = 100.0 * waters * molar_mass("H2O") / molar_mass(formula);
        let water = addition(&library, id).contents.value.water.get();
        assert_within(&format!("water of {id}, %"), water, by_formula, 0.005 + 1e-9);
    }
}
