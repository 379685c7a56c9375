//! Charges and titres printed in a soap maker's handbook.
//!
//! Source: W. H. Simmons and H. A. Appleton, The Handbook of Soap Manufacture, London 1908
//! (public domain). Saponification equivalents coconut 215, tallow 284.5, castor 310, so
//! SV = 56105/SE. Titres in `data/titre-simmons-appleton-1908.csv`.

use barwright_acceptance::assert_within;
use barwright_acceptance::{Judged, judged};
use barwright_core::cautions::Level;
use barwright_core::chemistry::recipe::Recipe;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::mould::Size;
use barwright_core::design::supplier::SupplierFigure;
use barwright_core::design::{Alkali, WaterRule};
use barwright_core::formula::Plain;
use barwright_core::library::composition::Composition;
use barwright_core::library::fats::Fat;
use barwright_core::units::{
    FatMass, Grams, Interval, LyeConcentration, Purity, SaponificationValue, Share, Superfat, SvMargin,
};
use barwright_core::{Design, Library};
use serde::Deserialize;
use std::sync::Arc;

/// The library's fat with the handbook's saponification equivalent in place of its range.
fn with_equivalent(library: &Library, id: &str, equivalent: f64) -> Arc<Fat> {
    let mut fat = Fat::clone(library.fat(id).expect("in the library"));
    let sv = 56_105.0 / equivalent;
    fat.sv.value = Interval::new(sv, sv).expect("one number");
    fat.sv.source = "Simmons & Appleton 1908".into();
    Arc::new(fat.resting_on(fat.sv.value))
}

/// A charge of fats in grams with grams of lye of a strength in percent, as a book recipe.
fn charge(library: &Library, fats: &[(&str, f64, f64)], lye: f64, strength: f64) -> Recipe {
    let naoh = lye * strength / 100.0;
    Recipe {
        name: "A charge of 1908".into(),
        fats: fats.iter().map(|&(id, mass, se)| (with_equivalent(library, id, se), Grams(mass))).collect(),
        naoh: Grams(naoh),
        naoh_purity: Purity::new(100.0).expect("pure"),
        koh: Grams::ZERO,
        koh_purity: Purity::new(100.0).expect("pure"),
        water: Grams(lye - naoh),
        additions: Vec::new(),
    }
}

/// The same charge as a design whose lines carry suppliers' figures.
fn with_suppliers_figures(library: &Library, fats: &[(&str, f64, f64)], superfat: f64, strength: f64) -> Design {
    let total: f64 = fats.iter().map(|(_, m, _)| m).sum();
    let line = |&(id, mass, se): &(&str, f64, f64)| FatLine {
        supplier: Some(SupplierFigure {
            sv: SaponificationValue::new(56_105.0 / se).expect("a saponification value"),
            pm: SvMargin::new(0.0).expect("no margin"),
        }),
        ..FatLine::new(
            Arc::clone(library.fat(id).expect("in the library")),
            Share::new(100.0 * mass / total).expect("a share"),
        )
    };
    Design {
        blend: Blend::new(fats.iter().map(line).collect()).expect("no fat twice"),
        superfat: Superfat::new(superfat).expect("in range"),
        alkali: Alkali { naoh_purity: Purity::new(100.0).expect("pure"), ..Alkali::default() },
        water: WaterRule::LyeConcentration(LyeConcentration::new(strength).expect("in range")),
        size: Size::FatMass(FatMass::new(total).expect("in range")),
        ..Design::default()
    }
}

fn code_level(evaluation: &Judged, code: &str) -> Option<Level> {
    evaluation.cautions.iter().find(|c| c.code == code).map(|c| c.level)
}

const COLD_PROCESS: [(&str, f64, f64); 1] = [("coconut", 100.0, 215.0)];
const TRANSPARENT: [(&str, f64, f64); 3] =
    [("coconut", 56.0, 215.0), ("tallow_beef", 56.0, 284.5), ("castor", 56.0, 310.0)];

#[test]
fn the_cold_process_charge_holds_12_percent_of_the_alkali_back() {
    let library = Library::embedded().expect("assets/data parses");
    let design = charge(&library, &COLD_PROCESS, 50.0, 32.64).design().expect("a usable recipe");
    let evaluation = judged(&design, &library);
    assert_within("caustic soda delivered", evaluation.masses.alkali.naoh.0, 16.3, 0.05);
    let exact = evaluation.masses.alkali.naoh.0 / (1.0 - design.superfat.fraction());
    assert_within("caustic soda for exact saponification", exact, 18.6, 0.05);
    assert_within("held back, %", design.superfat.get(), 12.0, 0.5);
    assert_within(
        "held back by hand, %",
        design.superfat.get(),
        100.0 * (1.0 - 16.32 / (100.0 / 215.0 * 39.997)),
        1e-9,
    );
    assert_within("strength of the lye, %", evaluation.masses.lye_concentration().expect("there is lye"), 32.64, 1e-9);
    assert_within("water", evaluation.masses.water_to_weigh.0, 33.68, 1e-9);
    assert_eq!(code_level(&evaluation, "lye-heavy"), None, "fat is left over");
    assert_eq!(
        code_level(&evaluation, "free-fat-high"),
        Some(Level::Note),
        "12.3 % of free fat make a coconut soap mild"
    );
}

#[test]
fn the_cold_process_charge_weighs_the_same_by_suppliers_figures() {
    let library = Library::embedded().expect("assets/data parses");
    let held_back = 100.0 * (1.0 - 16.32 / (100.0 / 215.0 * 39.997));
    let design = with_suppliers_figures(&library, &COLD_PROCESS, held_back, 32.64);
    let evaluation = judged(&design, &library);
    assert_within("caustic soda", evaluation.masses.alkali.naoh.0, 16.32, 1e-9);
    assert_within("lye", (evaluation.masses.alkali.naoh + evaluation.masses.water_to_weigh).0, 50.0, 1e-9);
    assert_within(
        "saponification value",
        evaluation.chemistry.saponification_value.expect("there is fat"),
        260.953,
        0.001,
    );
}

#[test]
fn the_transparent_soap_as_printed_is_7_percent_lye_heavy_and_is_stopped() {
    let library = Library::embedded().expect("assets/data parses");
    let design = charge(&library, &TRANSPARENT, 83.0, 32.93).design().expect("a usable recipe");
    let evaluation = judged(&design, &library);
    assert_within("caustic soda delivered", evaluation.masses.alkali.naoh.0, 27.33, 0.005);
    let exact = evaluation.masses.alkali.naoh.0 / (1.0 - design.superfat.fraction());
    assert_within("caustic soda for exact saponification", exact, 25.52, 0.005);
    assert_within("superfat, %", design.superfat.get(), -7.1, 0.05);
    assert_eq!(code_level(&evaluation, "lye-heavy"), Some(Level::Stop), "it must be stopped");
    assert_eq!(evaluation.cautions[0].level, Level::Stop, "the first thing that is said");
}

#[test]
fn the_transparent_soap_is_stopped_with_suppliers_figures_too() {
    let library = Library::embedded().expect("assets/data parses");
    let exact = 56.0 * 39.997 * (1.0 / 215.0 + 1.0 / 284.5 + 1.0 / 310.0);
    let superfat = 100.0 * (1.0 - 83.0 * 0.3293 / exact);
    let design = with_suppliers_figures(&library, &TRANSPARENT, superfat, 32.93);
    let evaluation = judged(&design, &library);
    assert_within("caustic soda", evaluation.masses.alkali.naoh.0, 27.3319, 1e-9);
    assert_within("lye", (evaluation.masses.alkali.naoh + evaluation.masses.water_to_weigh).0, 83.0, 1e-9);
    assert_within("free fat, %", evaluation.masses.free_fat.0, 0.0, 0.0);
    assert_eq!(code_level(&evaluation, "lye-heavy"), Some(Level::Stop), "it must be stopped");
    let caution = evaluation.cautions.iter().find(|c| c.code == "lye-heavy").expect("just seen");
    assert!(caution.why.contains("7.12 %"), "it says by how much: {}", caution.why);
    assert!(!caution.advice.is_empty(), "it says what to do");
}

#[derive(Deserialize)]
struct Titre {
    fat: String,
    #[serde(rename = "titre_C_low")]
    low: f64,
    #[serde(rename = "titre_C_high")]
    high: f64,
}

/// The handbook's fats that are in the library; cottonseed stearine has no counterpart.
const IN_THE_LIBRARY: [(&str, &str); 15] = [
    ("tallow beef", "tallow_beef"),
    ("tallow mutton", "tallow_mutton"),
    ("lard", "lard"),
    ("coconut", "coconut"),
    ("palm kernel", "palm_kernel"),
    ("palm", "palm"),
    ("olive", "olive_virgin"),
    ("cottonseed refined", "cottonseed"),
    ("arachis", "peanut"),
    ("maize", "maize"),
    ("sesame", "sesame"),
    ("linseed", "flaxseed"),
    ("hempseed", "hemp"),
    ("sunflower", "sunflower"),
    ("castor", "castor"),
];

/// Estimated titre less the middle of the printed range, °C, and how far it lies outside it.
fn titre_errors(library: &Library) -> Vec<(&'static str, f64, f64)> {
    let printed: Vec<Titre> =
        csv::Reader::from_reader(include_str!("../data/titre-simmons-appleton-1908.csv").as_bytes())
            .deserialize()
            .collect::<Result<_, _>>()
            .expect("data/titre-simmons-appleton-1908.csv is complete");
    assert_eq!(printed.len(), IN_THE_LIBRARY.len() + 1, "all but cottonseed stearine are compared");
    IN_THE_LIBRARY
        .iter()
        .map(|&(name, id)| {
            let row = printed.iter().find(|r| r.fat == name).expect("in the handbook");
            let fat = library.fat(id).expect("in the library");
            let composition = Composition::of([(fat.as_ref(), 1.0)], &library.acids).expect("has a profile");
            let titre = library.fusion.titre(Plain, &composition, &library.acids).expect("holds a saturated acid");
            (id, titre - f64::midpoint(row.low, row.high), titre - titre.clamp(row.low, row.high))
        })
        .collect()
}

/// The fats whose titre the model says it misses, with the error it states, °C.
const WORSE: [(&str, f64); 3] = [("maize", 8.0), ("castor", -7.3), ("olive_virgin", 4.6)];

#[test]
fn the_titre_lies_within_3_degrees_of_the_handbook_but_for_the_three_fats_the_model_names() {
    let library = Library::embedded().expect("assets/data parses");
    let failures: Vec<String> = titre_errors(&library)
        .into_iter()
        .filter(|(id, ..)| WORSE.iter().all(|(worse, _)| worse != id))
        .filter(|(.., outside)| outside.abs() > 3.0)
        .map(|(id, middle, outside)| format!("{id}: {outside:+.2} °C outside the range, {middle:+.2} off its middle"))
        .collect();
    assert!(failures.is_empty(), "titres more than 3 °C off:\n{}", failures.join("\n"));
}

#[test]
fn the_three_soft_fats_are_off_by_as_much_as_the_model_says() {
    let library = Library::embedded().expect("assets/data parses");
    let errors = titre_errors(&library);
    for (id, stated) in WORSE {
        let (_, middle, _) = errors.iter().find(|(e, ..)| *e == id).expect("in the handbook");
        assert_within(&format!("titre of {id} less the middle of the printed range, °C"), *middle, stated, 0.5);
    }
}

#[test]
fn the_titre_ranks_the_hard_charges_of_the_handbook_rightly() {
    // Middles of the printed ranges: palm kernel 23.9, cottonseed 34.3, lard 37.5, beef 43.1,
    // palm 44.75, mutton 45.75; coconut 22.75 is the lowest.
    let library = Library::embedded().expect("assets/data parses");
    let titre = |id: &str| {
        let fat = library.fat(id).expect("in the library");
        let composition = Composition::of([(fat.as_ref(), 1.0)], &library.acids).expect("has a profile");
        library.fusion.titre(Plain, &composition, &library.acids).expect("holds a saturated acid")
    };
    let order = ["coconut", "palm_kernel", "cottonseed", "lard", "tallow_beef", "palm"];
    // The range that is printed for mutton, 43.2 to 48.3, has that of palm in it.
    let mutton = ["tallow_beef", "tallow_mutton"];
    for pair in order.windows(2).chain([&mutton[..]]) {
        let (lower, higher) = (titre(pair[0]), titre(pair[1]));
        assert!(lower < higher, "{} {lower:.2} °C, {} {higher:.2} °C", pair[0], pair[1]);
    }
}
