//! A fatty acid is in the bar what it is, whether it is written as a fat or as an addition.
//!
//! Stearic acid, C18H36O2, 284.48 g/mol by formula, takes 56105 ÷ 284.48 = 197.22 mg KOH/g.

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::bench::label::{Ingredients, ListStyle};
use barwright_core::design::document;
use barwright_core::library::additions::AddedAcid;
use barwright_core::units::{AcidMolarMass, Share};
use barwright_core::{Design, Evaluation, Library, evaluate};

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

/// 570 g of olive and 380 g of coconut oil with 50 g of stearic acid: as a fat, and as an addition.
fn both(rest: &str, library: &Library) -> [Design; 2] {
    let as_fat = format!(
        r#"(barwright: 1, lye_rests_on: Possible, {rest} size: FatMass(1000), fats: [(fat: "olive_virgin", share: 57), (fat: "coconut", share: 38),
            (fat: "stearic_acid_50", share: 5, supplier: Some((sv: 197.22, pm: 0.5)))])"#
    );
    let as_addition = format!(
        r#"(barwright: 1, lye_rests_on: Possible, {rest} size: FatMass(950), fats: [(fat: "olive_virgin", share: 60), (fat: "coconut", share: 40)],
            additions: [(addition: "stearic_acid", amount: Grams(50), stage: IntoFats)])"#
    );
    [as_fat, as_addition].map(|text| document::read(text.as_bytes(), library).unwrap_or_else(|e| panic!("{e}: {text}")))
}

/// The molar mass by formula and the SV typed differ by less than this part of what the acid takes.
const ROUNDED: f64 = 1e-5;

#[test]
fn fifty_grams_of_stearic_acid_make_the_same_bar_as_a_fat_and_as_an_addition() {
    let library = library();
    for rest in ["superfat: 5,", "superfat: 0,", "superfat: -3,", "superfat: 12, alkali: (koh_share: 40),"] {
        let designs = both(rest, &library);
        let [fat, addition] = designs.each_ref().map(|design| evaluate(design, &library));
        let of = |take: fn(&Evaluation) -> f64| (take(&addition), take(&fat));
        for (what, (addition, fat)) in [
            ("sodium hydroxide", of(|e| e.masses.alkali.naoh.0)),
            ("batter", of(|e| e.masses.batter.0)),
            ("a fresh bar", of(|e| e.masses.bar_fresh.0)),
            ("water to weigh", of(|e| e.masses.water_to_weigh.0)),
            ("glycerol", of(|e| e.masses.glycerol.0)),
            ("free fat", of(|e| e.masses.free_fat.0)),
            ("bars dried out", of(|e| e.masses.dried().0)),
            ("fatty matter, fresh", of(|e| e.chemistry.tfm_fresh.expect("known"))),
        ] {
            assert!((addition - fat).abs() <= ROUNDED * fat.abs(), "{rest} {what}: {addition} and {fat}");
        }
        assert_within("water made", addition.masses.water_made.0, fat.masses.water_made.0, 1e-3);
        assert_within("alkali for acids", addition.masses.alkali_for_acids.0, 0.0, 0.0);
        let of_design = |d: &Design| Ingredients::of(d, &evaluate(d, &library), &library).expect("a bar");
        let [of_fat, of_addition] = designs.each_ref().map(of_design);
        assert_relative("soap of what is dry", of_addition.soap_of_dry, of_fat.soap_of_dry, 1e-4);
        let mass = |list: &Ingredients, name: &str| -> f64 {
            list.ingredients(ListStyle::AsInTheBar).iter().filter(|i| i.name == name).map(|i| i.mass.0).sum()
        };
        for name in ["Sodium Stearate", "Potassium Stearate", "Stearic Acid"] {
            assert_within(name, mass(&of_addition, name), mass(&of_fat, name), 2e-3);
        }
    }
}

#[test]
fn the_margin_knows_the_acid_in_both() {
    let library = library();
    let margin = |design: Design| evaluate(&design, &library).margin.expect("fats");
    let [fat, addition] = both("superfat: 5,", &library).map(margin);
    // The one has a certificate of ± 0.5, the other no range: of 5 % of the fats that is next to nothing.
    assert_within("the least superfat", addition.low, fat.low, 0.05);
    assert_within("the most", addition.high, fat.high, 0.05);
    assert_within("5 of 100", addition.quantile(0.05), fat.quantile(0.05), 0.05);
}

#[test]
fn only_fatty_acids_count_as_fats() {
    let library = library();
    let fatty = library.additions().iter().filter(|a| a.brings_fatty_acid());
    assert_eq!(fatty.map(|a| a.id.as_str()).collect::<Vec<_>>(), ["stearic_acid"], "of those in the library");
    let of = |molar_mass: f64, protons| {
        let molar_mass = AcidMolarMass::new(molar_mass).expect("a molar mass");
        AddedAcid::new(String::new(), Share::nearest(100.0), molar_mass, protons)
    };
    // Lauric, myristic, palmitic, oleic, linoleic and behenic acid, by their formulas.
    for molar_mass in [200.32, 228.37, 256.42, 282.46, 280.45, 340.58] {
        assert!(of(molar_mass, 1).is_fatty(), "{molar_mass}");
    }
    // Ascorbic, gluconic, salicylic, lactic, benzoic, sorbic, lactobionic acid, and citric acid.
    for molar_mass in [176.12, 196.16, 138.12, 90.08, 122.12, 112.13, 358.30, 192.12] {
        assert!(!of(molar_mass, 1).is_fatty(), "{molar_mass}");
    }
    assert!(!of(200.32, 2).is_fatty(), "two protons");
}
