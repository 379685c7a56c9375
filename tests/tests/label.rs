//! Ingredient lists and allergens, worked out by hand.
//!
//! Sources: order of ingredients, Regulation (EC) 1223/2009, article 19 (from memory): weight at the time of
//! adding, under 1 % in any order, colourants last; allergens, Annex III of the same as amended by
//! 2023/1545 (reproduction, `assets/data/allergens.csv`); molar masses of the salts by formula: trisodium citrate
//! 258.07, sodium lactate 112.06, citric acid 192.12, lactic acid 90.08 g/mol.

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::bench::label::{Ingredients, Label, ListStyle, NameStatus, Region, checklist};
use barwright_core::design::document;
use barwright_core::library::allergens::AllergenList;
use barwright_core::library::allergens::{AllergenFinding, AllergenKind};
use barwright_core::render::report::{Report, label_text};
use barwright_core::{Design, Library, evaluate};

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

fn design(text: &str, library: &Library) -> Design {
    document::read(format!("(barwright: 1, {text})").as_bytes(), library).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn label(design: &Design, library: &Library) -> Label {
    Label::of(design, &evaluate(design, library), library).expect("a label")
}

/// What is in the bar, whatever stands against it.
fn ingredients(design: &Design, library: &Library) -> Ingredients {
    Ingredients::of(design, &evaluate(design, library), library).expect("fats")
}

fn names(label: &Ingredients, style: ListStyle) -> Vec<&str> {
    label.ingredients(style).iter().map(|i| i.name.as_str()).collect()
}

#[track_caller]
fn mass(label: &Ingredients, style: ListStyle, name: &str) -> f64 {
    let list = label.ingredients(style);
    list.iter().find(|i| i.name == name).unwrap_or_else(|| panic!("no {name} in {list:?}")).mass.0
}

/// 1000 g of palm oil of SV 200 with 5 % superfat and a third of pure alkali in the lye.
fn palm(more: &str) -> String {
    format!(
        r#"fats: [(fat: "palm", share: 100, supplier: Some((sv: 200)))], superfat: 5, size: FatMass(1000), bars: 10,
        water: WaterToAlkali(2), alkali: (naoh_purity: 100, koh_purity: 100), {more}"#
    )
}

#[test]
fn soap_glycerin_free_fat_and_the_water_left_are_what_is_in_the_bar() {
    let library = library();
    let design = design(&palm(""), &library);
    let evaluation = evaluate(&design, &library);
    let label = Ingredients::of(&design, &evaluation, &library).expect("a label");
    // 950 g of fat with 135.450 g NaOH give 103.961 g glycerol and the rest as soap.
    let glycerol = 950.0 * 200.0 / 56_105.0 / 3.0 * 92.094;
    let soap = 950.0 + 950.0 * 200.0 / 56_105.0 * 39.997 - glycerol;
    let bar = ListStyle::AsInTheBar;
    assert_relative("soap", mass(&label, bar, "Sodium Palmate"), soap, 1e-12);
    assert_relative("glycerin", mass(&label, bar, "Glycerin"), glycerol, 1e-12);
    assert_relative("free fat", mass(&label, bar, "Elaeis Guineensis Oil"), 50.0, 1e-12);
    let water = 10.0 * label.bar_at_sale.0 - soap - glycerol - 50.0;
    assert_relative("water", mass(&label, bar, "Aqua"), water, 1e-9);
    // Water, 271 g put in, and 156 g left after four weeks.
    assert_eq!(names(&label, bar), ["Sodium Palmate", "Aqua", "Glycerin", "Elaeis Guineensis Oil"]);
    assert_eq!(names(&label, ListStyle::AsPutIn), ["Elaeis Guineensis Oil", "Aqua", "Sodium Hydroxide"]);
    let list = label.ingredients(bar);
    assert_within("percents", list.iter().map(|i| i.percent).sum(), 100.0, 1e-9);
    assert_relative("soap of what is dry", label.soap_of_dry, 100.0 * soap / (soap + glycerol + 50.0), 1e-9);
}

#[test]
fn each_alkali_has_its_soap_by_its_part_of_the_equivalents() {
    let library = library();
    let both = palm("").replace("naoh_purity", "koh_share: 40, naoh_purity");
    let label = ingredients(&design(&both, &library), &library);
    let moles = 200.0 / 56_105.0;
    let soap = |part: f64, alkali: f64| 950.0 * part * (1.0 + moles * alkali - moles / 3.0 * 92.094);
    let bar = ListStyle::AsInTheBar;
    assert_relative("sodium soap", mass(&label, bar, "Sodium Palmate"), soap(0.6, 39.997), 1e-12);
    assert_relative("potassium soap", mass(&label, bar, "Potassium Palmate"), soap(0.4, 56.105), 1e-12);
    assert!(names(&label, ListStyle::AsPutIn).contains(&"Potassium Hydroxide"), "as put in");
}

#[test]
fn an_acid_is_named_as_put_in_and_its_salt_as_in_the_bar() {
    let library = library();
    let more = r#"additions: [(addition: "citric_acid", amount: Grams(10), stage: IntoJug),
        (addition: "lactic_acid_80", amount: Grams(10), stage: IntoJug),
        (addition: "salt", amount: Grams(5), stage: IntoJug)]"#;
    let label = ingredients(&design(&palm(more), &library), &library);
    let (put, bar) = (ListStyle::AsPutIn, ListStyle::AsInTheBar);
    assert_within("as put in", mass(&label, put, "Citric Acid"), 10.0, 1e-12);
    assert_relative("citrate", mass(&label, bar, "Sodium Citrate"), 10.0 * 258.07 / 192.12, 1e-4);
    assert_relative("lactate", mass(&label, bar, "Sodium Lactate"), 8.0 * 112.06 / 90.08, 1e-4);
    assert_within("salt", mass(&label, bar, "Sodium Chloride"), 5.0, 1e-12);
    assert!(!names(&label, bar).contains(&"Citric Acid"), "no acid is left");
}

/// Water counts by the weight at which it is put in, or by what is left of it: its place moves.
#[test]
fn water_takes_the_place_of_its_weight_put_in_or_left() {
    let library = library();
    let text = r#"fats: [(fat: "olive_virgin", share: 72), (fat: "coconut", share: 21), (fat: "castor", share: 7)],
        size: FatMass(1000), bars: 10, water: PercentOfFats(33), process: (cure_days: 200)"#;
    let label = ingredients(&design(text, &library), &library);
    let put =
        ["Olea Europaea Fruit Oil", "Aqua", "Cocos Nucifera Oil", "Sodium Hydroxide", "Ricinus Communis Seed Oil"];
    assert_eq!(names(&label, ListStyle::AsPutIn), put, "720, 330, 210, 134 and 70 g");
    let bar = names(&label, ListStyle::AsInTheBar);
    assert_eq!(bar[..3], ["Sodium Olivate", "Sodium Cocoate", "Aqua"], "a tenth of the bar is water");
}

#[test]
fn colourants_come_last_however_heavy_and_what_is_under_one_percent_is_marked() {
    let library = library();
    let more = r#"additions: [(addition: "white", amount: Grams(60)), (addition: "kaolin", amount: Grams(20)),
            (addition: "charcoal", amount: Grams(5)), (addition: "calendula_petals", amount: Grams(4))],
        materials: [Addition((id: "white", name: "White", kind: Filler, water: 0, inci: "CI 77891", inci_status: "certificate"))]"#;
    let label = label(&design(&palm(more), &library), &library);
    for style in ListStyle::ALL {
        let list = label.ingredients(style);
        let tail: Vec<&str> = list[list.len() - 4..].iter().map(|i| i.name.as_str()).collect();
        assert_eq!(tail, ["Kaolin", "Charcoal Powder", "Calendula Officinalis Flower", "CI 77891"], "{style:?}");
        for i in list {
            assert_eq!(
                i.is_under_one_percent(),
                ["Charcoal Powder", "Calendula Officinalis Flower"].contains(&i.name.as_str()),
                "{i:?}"
            );
        }
        assert!(
            label.text(style, Region::EuUk).ends_with("Calendula Officinalis Flower, CI 77891"),
            "{}",
            label.text(style, Region::EuUk)
        );
    }
    assert!(label.unconfirmed().is_empty(), "{:?}", label.unconfirmed());
}

#[test]
fn fats_of_one_name_are_one_ingredient() {
    let text = r#"fats: [(fat: "palm", share: 30), (fat: "coconut", share: 40), (fat: "palm_stearin", share: 30)],
        size: FatMass(1000)"#;
    let library = library();
    let label = ingredients(&design(text, &library), &library);
    assert_relative("both", mass(&label, ListStyle::AsPutIn, "Elaeis Guineensis Oil"), 600.0, 1e-12);
    assert_eq!(names(&label, ListStyle::AsInTheBar)[..2], ["Sodium Palmate", "Sodium Cocoate"]);
}

#[test]
fn a_name_that_was_not_found_stands_plainly_and_is_told_of() {
    let library = library();
    let text = r#"fats: [(fat: "walnut", share: 50), (fat: "goose_fat", share: 30), (fat: "cottonseed", share: 20)],
        additions: [(addition: "apple_puree", amount: Grams(50))]"#;
    let design = design(text, &library);
    let evaluation = evaluate(&design, &library);
    let label = Label::of(&design, &evaluation, &library).expect("a label");
    let unconfirmed = [
        "Goose fat",
        "Apple puree",
        "Saponified Juglans Regia Seed Oil",
        "Saponified Goose fat",
        "Sodium Cottonseedate",
    ];
    assert_eq!(label.unconfirmed(), unconfirmed);
    let put = label.ingredients(ListStyle::AsPutIn);
    let walnut = put.iter().find(|i| i.name == "Juglans Regia Seed Oil").expect("there");
    assert_eq!(walnut.status, NameStatus::Confirmed);
    let cure = evaluation.cure.expect("a bar");
    let items = checklist(Region::EuUk, &design, &label, &cure);
    assert!(items.iter().any(|i| i.text.contains("Sodium Cottonseedate")), "{items:?}");
    assert!(!label.text(ListStyle::AsInTheBar, Region::EuUk).contains("confirm"), "the label itself stays clean");
}

#[test]
fn a_lye_heavy_bar_has_lye_in_it_and_no_free_fat() {
    let library = library();
    let label = ingredients(&design(&palm("").replace("superfat: 5", "superfat: -2"), &library), &library);
    let bar = ListStyle::AsInTheBar;
    assert_relative("lye", mass(&label, bar, "Sodium Hydroxide"), 0.02 * 1000.0 * 200.0 / 56_105.0 * 39.997, 1e-9);
    assert!(!names(&label, bar).contains(&"Elaeis Guineensis Oil"), "all fat is soap");
}

const FIVE: &str = r#"scents: [(scent: "lavender", amount: Grams(10)), (scent: "geranium", amount: Grams(4)),
    (scent: "lemongrass", amount: Grams(2)), (scent: "clove_bud", amount: Grams(1)),
    (scent: "orange_sweet", amount: Grams(8))]"#;

/// Grams over the five scents, each by its largest published percent; citral and citronellol as a whole where
/// that is more than their isomers (41.42 + 30.54 % against 85 %; 21.1 % against 58 %).
const GRAMS: [(&str, f64); 21] = [
    ("Lavandula Oil/Extract", 10.0),
    ("Citrus Aurantium Peel Oil", 8.0),
    ("Limonene", 10.0 * 0.01 + 2.0 * 0.03 + 8.0 * 0.97),
    ("Linalool", 10.0 * 0.45 + 4.0 * 0.10 + 2.0 * 0.015 + 8.0 * 0.007),
    ("Linalyl Acetate", 10.0 * 0.47),
    ("Pelargonium Graveolens Flower Oil", 4.0),
    ("Citronellol", 4.0 * 0.58 + 2.0 * 0.0025),
    ("Lemongrass Oil", 2.0),
    ("Citral", 4.0 * 0.015 + 2.0 * 0.85 + 8.0 * 0.002),
    ("Geraniol", 10.0 * 0.01 + 4.0 * 0.20 + 2.0 * 0.08),
    ("Eugenia Caryophyllus Oil", 1.0),
    ("Beta-Caryophyllene", 10.0 * 0.07 + 4.0 * 0.02 + 2.0 * 0.03 + 0.14),
    ("Eugenol", 2.0 * 0.0008 + 0.90),
    ("Eugenyl Acetate", 0.27),
    ("Geranyl Acetate", 10.0 * 0.01 + 4.0 * 0.01 + 2.0 * 0.04),
    ("Terpineol", 10.0 * 0.02),
    ("Camphor", 10.0 * 0.015),
    // From here on not over 0.01 % of about 1.2 kg of bars dried out.
    ("Pinene", 10.0 * 0.005 + 8.0 * 0.008),
    ("Terpinolene", 10.0 * 0.005),
    ("Coumarin", 10.0 * 0.001),
    ("Isoeugenol", 2.0 * 0.0047),
];

#[test]
fn the_allergens_of_five_scents_are_added_up_and_named_above_a_ten_thousandth() {
    let library = library();
    let design = design(&palm(FIVE), &library);
    let label = label(&design, &library);
    // At the dry end, with 5 % of water, a percent is the highest that it becomes.
    let bars = evaluate(&design, &library).masses.dried().0;
    assert!((1180.0..1250.0).contains(&bars), "{bars} g of bars dried out");
    let found: Vec<&str> = label.allergens.findings.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(found, GRAMS.map(|(name, _)| name), "the most of it first");
    for (finding, (name, grams)) in label.allergens.findings.iter().zip(GRAMS) {
        assert_relative(name, finding.percent, 100.0 * grams / bars, 1e-12);
    }
    let declared: Vec<&str> = label.allergens.declared().map(|f| f.name.as_str()).collect();
    assert_eq!(declared, GRAMS[..17].iter().map(|(name, _)| *name).collect::<Vec<_>>());
    assert!(
        label.text(ListStyle::AsPutIn, Region::EuUk).contains("Parfum, Lavandula Oil/Extract, Citrus"),
        "after the ingredients"
    );
    let esters: Vec<&str> = label.allergens.esters().collect();
    assert_eq!(esters, ["Linalyl Acetate", "Eugenyl Acetate", "Geranyl Acetate"], "lye may take them apart");
    assert!(label.allergens.unknown.is_empty(), "{:?}", label.allergens.unknown);
}

#[test]
fn the_list_is_the_one_that_was_chosen() {
    let library = library();
    let mut design = design(&palm(FIVE), &library);
    let declared = |design: &Design| -> Vec<String> {
        ingredients(design, &library).allergens.declared().map(|f| f.name.clone()).collect()
    };
    design.allergen_list = AllergenList::FirstTwentyFour;
    assert_eq!(declared(&design), ["Limonene", "Linalool", "Citronellol", "Citral", "Geraniol", "Eugenol"]);
    design.allergen_list = AllergenList::Off;
    assert_eq!(declared(&design), [""; 0]);
    let json = Report::new(&design, &evaluate(&design, &library), &library).json().expect("a report");
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(value["label"]["allergens"], serde_json::json!([]));
    assert_eq!(value["label"]["as_put_in"][0], "Elaeis Guineensis Oil");
    assert_eq!(value["label"]["as_in_the_bar"][0], "Sodium Palmate");
}

#[test]
fn exactly_a_ten_thousandth_needs_no_name() {
    let finding = |percent| AllergenFinding { name: "Linalool".into(), percent, from_memory: false };
    assert!(!finding(0.01).is_declared(), "not more than 0.01 %");
    assert!(!finding(100.0 * 0.13 / 1300.0).is_declared(), "the same with rounding");
    assert!(finding(0.010_001).is_declared(), "more");
}

/// Oils of leaf, flower and peel of the bitter orange share CAS numbers; only flower and peel are named.
#[test]
fn a_whole_oil_is_found_by_its_name_and_not_by_a_number_that_others_share() {
    let library = library();
    let with = |scent: &str| {
        let design = design(&palm(&format!(r#"scents: [(scent: "{scent}", amount: Grams(20))]"#)), &library);
        let naturals: Vec<String> =
            library.allergens.iter().filter(|a| a.kind == AllergenKind::Natural).map(|a| a.name.clone()).collect();
        let found = ingredients(&design, &library).allergens.findings;
        found.into_iter().map(|f| f.name).filter(|n| naturals.contains(n)).collect::<Vec<_>>()
    };
    assert_eq!(with("neroli"), ["Citrus Aurantium Flower Oil"]);
    assert_eq!(with("orange_bitter"), ["Citrus Aurantium Peel Oil"]);
    assert_eq!(with("petitgrain"), [""; 0]);
    assert_eq!(with("lavandin"), ["Lavandula Oil/Extract"]);
    assert_eq!(with("lavender_spike"), [""; 0]);
}

#[test]
fn a_scent_without_constituents_is_asked_after_and_a_pure_substance_is_known_by_its_number() {
    let library = library();
    let more = r#"scents: [(scent: "orchard", amount: Grams(20)), (scent: "vanilla", amount: Grams(1))],
        materials: [Scent((id: "orchard", name: "Orchard blossom")),
            Scent((id: "vanilla", name: "Vanillin", cas: "121-33-5", inci: "Vanillin"))]"#;
    let design = design(&palm(more), &library);
    let label = ingredients(&design, &library);
    assert_eq!(label.allergens.unknown, ["Orchard blossom", "Vanillin"]);
    assert_eq!(label.allergens.declared().map(|f| f.name.as_str()).collect::<Vec<_>>(), ["Vanillin"]);
    let text = label_text(&design, &evaluate(&design, &library), &library);
    assert!(text.contains("Orchard blossom: its allergens are not known here"), "{text}");
}

#[test]
fn the_table_of_allergens_has_every_entry_of_the_annex() {
    let library = library();
    let count = |first_24: bool| library.allergens.iter().filter(|a| a.first_24 == first_24).count();
    // 80 names of 2023/1545; two of the former 26 substances have since been banned.
    assert_eq!((count(true), count(false)), (24, 56));
    assert!(library.allergens.iter().all(|a| a.source.contains("entry")), "each says where it stands");
}

#[test]
fn the_label_as_text_has_both_lists_the_weight_and_the_checklists() {
    let library = library();
    let design = design(&palm(FIVE), &library);
    let text = label_text(&design, &evaluate(&design, &library), &library);
    for part in [
        "Ingredients, as put in",
        "Ingredients, as in the bar",
        "Allergens to name",
        "Weight at sale",
        "not legal advice",
        "European Union and United Kingdom",
        "United States",
        "21 CFR 701.20",
        "responsible person",
        "batch number",
    ] {
        assert!(text.contains(part), "no “{part}” in\n{text}");
    }
    let empty = label_text(&Design::default(), &evaluate(&Design::default(), &library), &library);
    assert!(empty.contains("no fat") && empty.contains("STOP"), "{empty}");
}
