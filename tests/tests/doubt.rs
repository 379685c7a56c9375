//! Inputs that must be doubted, each in a design of its own under `cases/doubt`: which caution is said of it, and how
//! much it weighs.
//!
//! Source: the limits are common practice of the trade, no source, or the project's own judgement where the code says
//! so. The possible saponification values were worked out apart from the profiles and unsaponifiable matter of
//! `assets/data` (AOCS Cd 3a-94).

use barwright_acceptance::{Judged, judged};
use barwright_core::cautions::Level::{self, Care, Note, Stop};
use barwright_core::design::Alkali;
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::library::additions::{AdditionLine, Amount, Stage};
use barwright_core::units::AmountPerKg;
use barwright_core::units::{Purity, Share};
use barwright_core::{Design, Library};
use std::path::Path;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

fn case(name: &str) -> Design {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/doubt").join(format!("{name}.barwright"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    document::read(&bytes, &LIBRARY).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn level(of: &Judged, code: &str) -> Option<Level> {
    of.cautions.iter().find(|c| c.code == code).map(|c| c.level)
}

/// Of each case the cautions that are said because of what it is about. Nothing else of these designs is stopped.
const CASES: [(&str, &[(&str, Level)]); 34] = [
    ("potash_5", &[]),
    ("potash_20", &[("koh-share-high", Care)]),
    ("potash_60", &[("koh-paste", Stop)]),
    ("oven_95", &[("oven-hot", Care)]),
    ("oven_180", &[("oven-hot", Stop)]),
    ("oven_long", &[("oven-long", Care)]),
    ("oven_sweet", &[("oven-sugar", Care)]),
    ("purity_90", &[("naoh-purity", Stop)]),
    ("purity_96", &[("naoh-purity", Care)]),
    ("purity_96_thin", &[("naoh-purity", Stop)]),
    ("purity_96_read", &[("naoh-purity", Care)]),
    ("koh_84", &[("koh-purity", Care)]),
    ("certificate_204", &[("sv-too-high", Stop)]),
    ("certificate_206", &[("sv-too-high", Stop), ("sv-lye-heavy", Stop)]),
    ("certificate_180", &[("sv-low", Care)]),
    ("certificate_197", &[("sv-outside", Care), ("sv-lye-heavy", Stop)]),
    ("record_250", &[("sv-too-high", Stop), ("sv-lye-heavy", Stop)]),
    ("own_fat_700", &[("sv-too-high", Stop)]),
    ("own_fat_300", &[("sv-outside", Care)]),
    ("superfat_minus_4", &[("lye-heavy", Stop)]),
    ("jug_water_40", &[("jug-water-hot", Care)]),
    ("jug_water_95", &[("jug-water-hot", Stop)]),
    ("lye_140", &[("lye-hot", Stop)]),
    ("fats_200", &[("fats-hot", Stop)]),
    ("fats_70", &[("fats-hot", Care)]),
    ("fats_70_wax", &[("waxes", Care)]),
    ("free_acids", &[("free-acids", Care)]),
    ("scents_18", &[("scents-much", Stop)]),
    ("scents_4", &[("scents-much", Care)]),
    ("no_cut_no_cure", &[("cut-soon", Stop), ("cure-short", Stop)]),
    ("short_cut_and_cure", &[("cut-soon", Care), ("cure-short", Care)]),
    ("salt_bar", &[("free-fat-high", Note)]),
    ("yesterday", &[("day-unreadable", Care)]),
    ("thirtieth_of_february", &[("day-unreadable", Care)]),
];

/// What the cases are about; what else is said of them is not in question here.
const ABOUT: [&str; 21] = [
    "koh-share-high",
    "koh-paste",
    "oven-hot",
    "oven-long",
    "oven-sugar",
    "naoh-purity",
    "koh-purity",
    "sv-too-high",
    "sv-low",
    "sv-outside",
    "sv-lye-heavy",
    "jug-water-hot",
    "lye-hot",
    "fats-hot",
    "waxes",
    "free-acids",
    "scents-much",
    "cut-soon",
    "cure-short",
    "day-unreadable",
    "free-fat-high",
];

#[test]
fn each_doubtful_input_is_doubted_and_nothing_else_is() {
    for (name, expected) in CASES {
        let told = judged(&case(name), &LIBRARY);
        for code in ABOUT {
            let wanted = expected.iter().find(|(c, _)| *c == code).map(|(_, level)| *level);
            assert_eq!(level(&told, code), wanted, "{name}: {code} among {:#?}", told.cautions);
        }
        let stops: Vec<&str> = told.cautions.iter().filter(|c| c.blocks()).map(|c| c.code).collect();
        let wanted = |code: &&&str| expected.iter().all(|(c, level)| c != *code || *level != Stop);
        // A scent over its load is over limits of substances too.
        let more: Vec<_> = stops.iter().filter(wanted).filter(|code| **code != "scent-limit").collect();
        assert!(more.is_empty(), "{name}: stopped for {more:?} too");
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases/doubt");
    let files = std::fs::read_dir(folder).expect("it is there").count();
    assert_eq!(files, CASES.len(), "each file is a case");
}

#[test]
fn every_remedy_of_a_doubt_takes_it_away() {
    for (name, expected) in CASES {
        let design = case(name);
        let told = judged(&design, &LIBRARY);
        for (code, was) in expected {
            let caution = told.cautions.iter().find(|c| c.code == *code).expect("said");
            let Some(remedy) = &caution.remedy else { continue };
            let next = remedy.edit.apply(&design, &LIBRARY).unwrap_or_else(|e| panic!("{name}: {e}"));
            let after = judged(&next, &LIBRARY);
            assert!(level(&after, code) < Some(*was), "{name}: “{}” leaves {code}", remedy.label);
        }
    }
}

#[test]
fn a_new_purity_has_not_been_read_from_the_tub_because_the_one_before_was() {
    let design = case("purity_96_read");
    let said = design.alkali;
    assert!(said.naoh_read_from_tub, "as the file says");
    let edit = Edit::Alkali(Alkali { naoh_purity: Purity::nearest(95.0), ..said });
    let next = edit.apply(&design, &LIBRARY).expect("a purity");
    assert!(!next.alkali.naoh_read_from_tub, "95 % was not read");
    let tick = Edit::Alkali(Alkali { naoh_read_from_tub: true, ..next.alkali });
    assert_eq!(tick.name(&next), "purity read from the tub");
    let ticked = tick.apply(&next, &LIBRARY).expect("a tick");
    assert!(ticked.alkali.naoh_read_from_tub, "said anew");
    let text = document::write(&ticked, &LIBRARY).expect("writes");
    assert_eq!(document::read(text.as_bytes(), &LIBRARY).expect("reads"), ticked, "the file keeps it");
    let plain = document::write(&case("potash_5"), &LIBRARY).expect("writes");
    assert!(!plain.contains("read_from_tub"), "not said, not written: {plain}");
}

#[test]
fn shares_that_almost_sum_to_a_hundred_are_told_from_it() {
    let text = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 60), (fat: "coconut", share: 39.995)])"#;
    let design = document::read(text.as_bytes(), &LIBRARY).expect("a design");
    let told = judged(&design, &LIBRARY);
    let why = &told.cautions.iter().find(|c| c.code == "shares-not-100").expect("said").why;
    assert!(why.contains("99.995 %, not 100 %"), "{why}");
}

#[test]
fn sugar_and_honey_in_hot_lye_need_care() {
    for addition in ["honey", "sugar", "molasses", "coconut_water", "cow_milk"] {
        let text = format!(
            r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100)], superfat: 6,
                additions: [(addition: "{addition}", amount: Grams(10), stage: IntoJug)])"#
        );
        let design = document::read(text.as_bytes(), &LIBRARY).expect("a design");
        assert_eq!(level(&judged(&design, &LIBRARY), "jug-scorches"), Some(Care), "{addition}");
    }
}

#[test]
fn what_is_offered_against_scorching_ends_it_and_makes_no_jug_hotter() {
    let cases = [
        (33, r#"(addition: "goat_milk", amount: PercentOfFats(15), stage: IntoJug)"#),
        (33, r#"(addition: "goat_milk", amount: PercentOfFats(3), stage: IntoJug)"#),
        (
            33,
            r#"(addition: "goat_milk", amount: PercentOfFats(8), stage: IntoJug),
               (addition: "carrot_raw", amount: PercentOfFats(7), stage: IntoJug)"#,
        ),
        (40, r#"(addition: "lemon_juice", amount: PercentOfFats(8), stage: IntoJug)"#),
    ];
    for (lye, additions) in cases {
        let text = format!(
            r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)], superfat: 5,
                water: LyeConcentration({lye}), additions: [{additions}])"#
        );
        let design = document::read(text.as_bytes(), &LIBRARY).expect("a design");
        let told = judged(&design, &LIBRARY);
        let caution = told.cautions.iter().find(|c| c.code == "jug-scorches").expect("said");
        let remedy = caution.remedy.as_ref().unwrap_or_else(|| panic!("{additions}: no remedy"));
        let mended = judged(&remedy.edit.clone().apply(&design, &LIBRARY).expect("it can be done"), &LIBRARY);
        assert_eq!(level(&mended, "jug-scorches"), None, "{additions}: {} leaves it", remedy.label);
        // With potassium hydroxide the heat is not known: what goes in frozen is as the trade does it.
        let potash = Design { alkali: Alkali { koh_share: Share::nearest(5.0), ..design.alkali }, ..design };
        let of_potash = judged(&potash, &LIBRARY);
        let left = of_potash.cautions.iter().find(|c| c.code == "jug-scorches");
        assert!(left.is_none_or(|c| !c.advice.contains("Freeze") || additions.contains("lemon")), "{left:?}");
    }
}

#[test]
fn the_usual_heat_of_a_jug_is_no_caution_and_more_is() {
    let of = |concentration: f64| {
        let text = format!(
            r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 100)], superfat: 6, water: LyeConcentration({concentration}))"#
        );
        let design = document::read(text.as_bytes(), &LIBRARY).expect("a design");
        judged(&design, &LIBRARY)
    };
    let usual = of(33.0);
    let peak = usual.jug.as_ref().and_then(|jug| jug.peak.ok()).expect("a peak");
    assert!((95.0..=116.0).contains(&peak), "{peak} °C");
    assert_eq!(level(&usual, "jug-hot"), None, "{peak} °C are usual");
    let heat = barwright_core::cautions::usual_heat(usual.jug.as_ref().expect("a jug")).expect("hot");
    assert!(heat.contains("keep away from the steam"), "{heat}");
    let strong = of(44.0);
    let peak = strong.jug.as_ref().and_then(|jug| jug.peak.ok());
    assert!(peak.is_none_or(|peak| peak > 116.0), "{peak:?}");
    assert_eq!(level(&strong, "jug-hot"), Some(Care), "{peak:?} °C are not");
}

fn other_case(name: &str) -> Design {
    case(&format!("../{name}"))
}

/// Clays 10 to 30 g, salt for hardness 5 to 15 and in a salt bar 300 to 1000 g per kg of fats (common practice, no
/// source).
#[test]
fn more_of_a_material_than_is_taken_needs_care() {
    for (name, much) in [("clay_25", true), ("salt_bar", false), ("milk_for_all_water", false)] {
        let design = other_case(name);
        assert_eq!(level(&judged(&design, &LIBRARY), "over-most"), much.then_some(Care), "{name}");
    }
    // Two lines of one material count together.
    let mut design = other_case("clay_25");
    let line = design.additions[0].clone();
    let part = |share: f64| {
        let amount = Amount::GramsPerKgFats(AmountPerKg::new(share * 40.0).expect("in range"));
        AdditionLine { amount, ..line.clone() }
    };
    design.additions = vec![part(0.5)];
    assert_eq!(level(&judged(&design, &LIBRARY), "over-most"), None, "20 g of clay are usual");
    design.additions = vec![part(0.5), part(0.5)];
    assert_eq!(level(&judged(&design, &LIBRARY), "over-most"), Some(Care), "twice as much is not");
}

/// A salt bar's salt does not dissolve beside lye; 36 g in 100 g of water alone is all that does (handbooks, from memory).
#[test]
fn what_does_not_dissolve_in_the_jug_is_moved_where_the_method_has_it() {
    let mut design = other_case("salt_bar");
    for line in &mut design.additions {
        line.stage = Stage::IntoJug;
    }
    let told = judged(&design, &LIBRARY);
    assert_eq!(level(&told, "kept-out-of-jug"), Some(Care));
    let remedy = told.cautions.iter().find(|c| c.code == "kept-out-of-jug").and_then(|c| c.remedy.clone());
    let moved = remedy.expect("it is moved").edit.apply(&design, &LIBRARY).expect("it can be");
    assert_eq!(moved.additions[0].stage, Stage::AtTrace);
    let after = judged(&moved, &LIBRARY);
    assert_eq!(level(&after, "kept-out-of-jug"), None, "and is told no more");
    assert_eq!(level(&judged(&other_case("salt_bar"), &LIBRARY), "kept-out-of-jug"), None, "at trace it is right");
}

fn told(text: &str) -> Judged {
    let design = document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{e}\n{text}"));
    judged(&design, &LIBRARY)
}

/// Ten fats of 48 g on a scale that weighs in steps of 100 g: each shows 0 g, and the alkali 100 g.
#[test]
fn a_scale_that_shows_alkali_and_no_fat_is_stopped() {
    let ids = ["olive_virgin", "palm", "coconut", "lard", "cottonseed", "palm_kernel", "rice_bran", "sunflower"];
    let fats: Vec<String> = ids.iter().map(|id| format!(r#"(fat: "{id}", share: 12.5)"#)).collect();
    let of = |division: f64| {
        let text = format!(
            "(barwright: 1, fats: [{}], superfat: 8, size: FatMass(392), scale_division_g: {division})",
            fats.join(", ")
        );
        told(&text)
    };
    assert_eq!(level(&of(100.0), "rounding"), Some(Stop), "49 g are shown as 0 g, 52 g of alkali as 100 g");
    assert_eq!(level(&of(0.1), "rounding"), None, "a fine scale");
}

/// The acid of an addition as a file has it: its trust is the maker's own or of no one in particular.
fn with_acid(id: &str, grams: f64, acid: &str) -> Judged {
    told(&format!(
        r#"(barwright: 1, superfat: 5, size: FatMass(1000),
            fats: [(fat: "olive_virgin", share: 50), (fat: "palm", share: 25), (fat: "coconut", share: 25)],
            additions: [(addition: "{id}", amount: Grams({grams}), stage: IntoJug)],
            materials: [Addition((id: "{id}", name: "Vinegar", kind: Liquid, water: 50, fat: 0, acid: Some(({acid}))))])"#
    ))
}

#[test]
fn an_acid_that_a_file_makes_stronger_than_the_library_is_doubted() {
    let acetic = |percent: f64| format!(r#"name: "acetic acid", content: {percent}, molar_mass: 60.05, protons: 1"#);
    let of = |id: &str, percent: f64| level(&with_acid(id, 60.0, &acetic(percent)), "acid-record");
    assert_eq!(of("cider_vinegar", 5.0), None, "as the library has it");
    assert_eq!(of("cider_vinegar", 8.0), Some(Care), "a strong one leaves 3 %");
    assert_eq!(of("cider_vinegar", 40.0), Some(Stop), "14 g of alkali are weighed for an acid that is not there");
    assert_eq!(of("tea_brewed", 40.0), Some(Stop), "tea is no vinegar");
    assert_eq!(of("my_vinegar", 10.0), None, "nothing is known of it");
}

/// Phosphoric acid gives off most of those for soap: 3 protons of 97.99 g/mol (IUPAC 2021 standard atomic weights).
#[test]
fn an_acid_that_takes_more_than_any_does_is_stopped() {
    let of = |molar_mass: f64, protons: u8| {
        let acid = format!(r#"name: "acid", content: 50, molar_mass: {molar_mass}, protons: {protons}"#);
        level(&with_acid("elixir", 2.0, &acid), "acid-impossible")
    };
    assert_eq!(of(97.99, 3), None, "phosphoric acid");
    assert_eq!(of(192.12, 3), None, "citric acid");
    assert_eq!(of(10.0, 6), Some(Stop), "1 g of it would take 24 g of sodium hydroxide");
}

#[test]
fn a_jug_in_a_hot_bath_is_told_of() {
    let of = |process: &str| {
        let text =
            format!(r#"(barwright: 1, superfat: 6, fats: [(fat: "olive_virgin", share: 100)], process: ({process}))"#);
        level(&told(&text), "jug-stands-hot")
    };
    assert_eq!(of("jug_bath_c: Some(10)"), None, "cold water");
    assert_eq!(of("jug_bath_c: Some(45)"), Some(Care), "warm water");
    assert_eq!(of("jug_bath_c: Some(80)"), Some(Stop), "hot water");
    assert_eq!(of("jug_water_c: Some(20), room_c: 68"), Some(Stop), "°F taken for °C");
    assert_eq!(of("room_c: 68"), None, "told of as the jug's water");
}

#[test]
fn a_wax_of_ones_own_that_takes_more_than_fats_do_is_doubted() {
    let text = r#"(barwright: 1, superfat: 8, fats: [(fat: "myst", share: 100)], materials: [Fat((id: "myst", name: "Myst",
        kind: Wax, sv: (min: 390, max: 390, source: "a guess", trust: Maker)))])"#;
    assert_eq!(level(&told(text), "sv-outside"), Some(Care));
}

/// 95 and 86 % instead of 99.5 and 92 %: 4.7 % of one half of the alkali and 7 % of the other.
#[test]
fn two_alkalis_that_are_purer_than_said_are_doubted_together() {
    let of = |alkali: &str| {
        told(&format!(
            r#"(barwright: 1, superfat: 5, alkali: (koh_share: 50, naoh_purity: 95, koh_purity: 86{alkali}),
                fats: [(fat: "olive_virgin", share: 50), (fat: "palm", share: 25), (fat: "coconut", share: 25)])"#
        ))
    };
    assert_eq!(level(&of(""), "koh-and-naoh-purity"), Some(Stop));
    assert_eq!(level(&of(", koh_read_from_tub: true"), "koh-and-naoh-purity"), None, "2.4 % of 5 %");
    assert_eq!(level(&of(", naoh_read_from_tub: true, koh_read_from_tub: true"), "koh-and-naoh-purity"), None);
}
