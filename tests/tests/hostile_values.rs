//! Numbers, words and sizes that cannot be: each is refused at its place.
//!
//! Source: the description of the design file in the project's own documents; no publication.

#[path = "../src/hostile.rs"]
#[allow(dead_code, reason = "each file of hostile files takes what it needs")]
mod hostile;

use barwright_core::design::document::DocumentError;
use barwright_core::design::mould::{Cuboid, Mould, Size};
use barwright_core::units::{BarMass, Bars, Fill, Millilitres, Millimetres};
use hostile::{assert_none, fault, fault_in, misplaced, read, refused, spoilt};

/// Every number of the good design outside its materials: what stands before it, and itself.
const NUMBERS: [(&str, &str); 43] = [
    ("\"olive_virgin\", share: ", "44.0"),
    ("\"coconut\", share: ", "26.0"),
    ("sv: ", "194.1"),
    ("pm: ", "1.0"),
    ("superfat: ", "6.0"),
    ("koh_share: ", "5.0"),
    ("naoh_purity: ", "98.5"),
    ("koh_purity: ", "89.5"),
    ("naoh_purity_pm: ", "0.4"),
    ("koh_purity_pm: ", "1.5"),
    ("scale_division_g: ", "0.5"),
    ("LyeConcentration(", "31.0"),
    ("FatMass(", "750.0"),
    ("bars: ", "9,"),
    ("room_c: ", "19.0"),
    ("mix_c: ", "38.0"),
    ("oven_c: ", "75.0"),
    ("minutes: ", "30.0"),
    ("cut_hours: ", "48.0"),
    ("cure_days: ", "28.0"),
    ("pack_g: ", "1000.0"),
    ("price: ", "9.5"),
    ("batter_g_per_ml: Some(", "1.01"),
    ("jug_cooling_min: Some(", "45.0"),
    ("\"orchard_press\", share: ", "9.0"),
    ("fats_c: Some(", "41.0"),
    ("jug_water_c: Some(", "4.0"),
    ("jug_frozen: ", "25.0"),
    ("jug_bath_c: Some(", "12.0"),
    ("\"apple_puree\", amount: PercentOfFats(", "8.0"),
    ("\"fernhollow_cider\", amount: Grams(", "40.0"),
    ("\"salt\", amount: GramsPerKgFats(", "7.5"),
    ("\"lavender\", amount: PercentOfFats(", "1.5"),
    ("\"orchard_blossom\", amount: Grams(", "3.25"),
    ("water: ", "92.5"),
    ("fat: ", "0.25"),
    ("sugars: Some(", "1.75"),
    ("content: ", "0.625"),
    ("molar_mass: ", "134.09"),
    ("protons: ", "2,"),
    ("alcohol: ", "4.75"),
    ("solids_g_per_ml: ", "1.45"),
    ("\"78-70-6; 126-90-9\", most: ", "44.5"),
];

#[test]
fn a_number_that_is_none_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (field, old) in NUMBERS {
        for bad in ["NaN", "inf", "-inf", "1e999", "-1e999", "-NaN"] {
            let tail = if old.ends_with(',') { "," } else { "" };
            faults.extend(fault(field, old, &format!("{bad}{tail}"), &[]));
        }
    }
    assert_none(&faults);
}

#[test]
fn a_number_out_of_its_range_is_refused_at_its_place_and_the_range_is_named() {
    let mut faults = Vec::new();
    for (field, old, bad, words) in [
        ("\"olive_virgin\", share: ", "44.0", "-1", &["share", "0", "100"][..]),
        ("\"olive_virgin\", share: ", "44.0", "-0.001", &["share", "0", "100"]),
        ("\"olive_virgin\", share: ", "44.0", "101", &["share", "0", "100", "101"]),
        ("sv: ", "194.1", "20", &["saponification", "50", "700"]),
        ("sv: ", "194.1", "19410", &["saponification", "50", "700"]),
        ("pm: ", "1.0", "-1.0", &["±"]),
        ("superfat: ", "6.0", "50.1", &["superfat", "-50", "50"]),
        ("superfat: ", "6.0", "-51", &["superfat", "-50", "50"]),
        ("koh_share: ", "5.0", "100.5", &["100"]),
        ("naoh_purity: ", "98.5", "0.985", &["purity", "50", "100"]),
        ("koh_purity: ", "89.5", "100.01", &["purity", "50", "100"]),
        ("naoh_purity_pm: ", "0.4", "-0.4", &["±"]),
        ("scale_division_g: ", "0.5", "0", &["scale"]),
        ("water: ", "LyeConcentration(31.0)", "LyeConcentration(4.9)", &["lye concentration", "5", "60"]),
        ("water: ", "LyeConcentration(31.0)", "LyeConcentration(0.31)", &["lye concentration", "5", "60"]),
        ("water: ", "LyeConcentration(31.0)", "WaterToAlkali(0)", &["water : alkali"]),
        ("water: ", "LyeConcentration(31.0)", "PercentOfFats(-38)", &["percent of fats"]),
        ("FatMass(", "750.0", "0", &["mass of fats"]),
        ("FatMass(", "750.0", "-750", &["mass of fats"]),
        ("FatMass(", "750.0", "1e12", &["mass of fats"]),
        ("bars: ", "9,", "0,", &["bars"]),
        ("room_c: ", "19.0", "-300", &["temperature", "°C"]),
        ("minutes: ", "30.0", "-1", &["time"]),
        ("cure_days: ", "28.0", "1e6", &["time", "days"]),
        ("pack_g: ", "1000.0", "0", &["pack"]),
        ("price: ", "9.5", "-9.5", &["price"]),
        ("batter_g_per_ml: Some(", "1.01", "101", &["batter"]),
        ("jug_cooling_min: Some(", "45.0", "0", &["time constant"]),
        ("jug_cooling_min: Some(", "45.0", "-45", &["time constant"]),
        ("fats_c: Some(", "41.0", "-300", &["temperature", "°C"]),
        ("jug_frozen: ", "25.0", "100.1", &["0", "100"]),
        ("jug_bath_c: Some(", "12.0", "1200", &["temperature", "°C"]),
        ("amount: ", "PercentOfFats(8.0)", "PercentOfFats(-8.0)", &["amount", "0", "500"]),
        ("amount: ", "PercentOfFats(8.0)", "PercentOfFats(500.1)", &["amount", "0", "500"]),
        ("amount: ", "Grams(40.0)", "Grams(-0.001)", &["amount", "0"]),
        ("amount: ", "Grams(40.0)", "Grams(1e7)", &["amount", "0"]),
        ("amount: ", "GramsPerKgFats(7.5)", "GramsPerKgFats(5001)", &["amount", "0", "5000"]),
        ("amount: ", "PercentOfFats(1.5)", "PercentOfFats(-1.5)", &["amount", "0", "500"]),
    ] {
        faults.extend(fault(field, old, bad, words));
    }
    assert_none(&faults);
}

#[test]
fn a_value_of_the_wrong_kind_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (field, old, bad) in [
        ("\"coconut\", share: ", "26.0", "\"26\""),
        ("\"coconut\", share: ", "26.0", "true"),
        ("\"coconut\", share: ", "26.0", "(26.0)"),
        ("locked: ", "true", "1"),
        ("bars: ", "9,", "-9,"),
        ("bars: ", "9,", "\"nine\","),
        ("bars: ", "9,", "99999999999999999999,"),
        ("name: ", "\"Windfall, Fernhollow orchard\"", "7"),
        ("currency: ", "\"EUR\"", "EUR"),
        ("allergen_list: ", "Extended", "Everything"),
        ("water: ", "LyeConcentration(31.0)", "Plenty(31.0)"),
        ("trust: ", "Read)", "Surely)"),
        ("kind: ", "Triglyceride", "Diglyceride"),
        ("kind: ", "Liquid", "Gas"),
        ("amount: ", "Grams(40.0)", "Pounds(40.0)"),
        ("amount: ", "Grams(40.0)", "40.0"),
        ("counts_as_water: ", "false", "0"),
        ("stage: ", "IntoFats", "IntoTheFats"),
        ("stage: ", "OnTop", "\"OnTop\""),
        ("usual_stage: ", "IntoJug", "Jug"),
        ("protons: ", "2,", "2.5,"),
        ("whole: ", "false", "no"),
        ("size: ", "FatMass(750.0)", "Bucket(750.0)"),
    ] {
        faults.extend(fault(field, old, bad, &[]));
    }
    assert_none(&faults);
}

#[test]
fn a_bad_number_alone_on_its_line_is_refused_at_that_line() {
    let text = spoilt("share: 44.0", "share:\n// the picker's guess\n            101\n            ");
    let error = refused("101", text.as_bytes());
    let at = text.find("101").expect("just put there");
    assert_eq!(misplaced(&text, at, "101", &error, &["share", "100"]), None);
}

#[test]
fn every_size_is_read() {
    let mm = Millimetres::nearest;
    let cuboid = Cuboid { length_mm: mm(296.0), width_mm: mm(70.0), height_mm: mm(60.0) };
    let walls = "length_mm: 296.0, width_mm: 70.0, height_mm: 60.0";
    let round = Mould::Round { diameter_mm: mm(75.0), length_mm: mm(300.0) };
    let cavities = Mould::Cavities { count: Bars::SIX, ml: Millilitres::nearest(110.0) };
    let fill = Fill::nearest(90.0);
    let full = Fill::nearest(100.0);
    let ml = Millilitres::nearest(1000.0);
    for (text, size) in [
        (format!("Mould((shape: Loaf(({walls})), fill: 90.0))"), Size::Mould { mould: Mould::Loaf(cuboid), fill }),
        (format!("Mould((shape: Slab(({walls}))))"), Size::Mould { mould: Mould::Slab(cuboid), fill: full }),
        (
            "Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0)), fill: 90.0))".into(),
            Size::Mould { mould: round, fill },
        ),
        ("Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))".into(), Size::Mould { mould: cavities, fill }),
        ("Volume((ml: 1000.0, fill: 90.0))".into(), Size::Volume { ml, fill }),
        ("Volume((ml: 1000.0))".into(), Size::Volume { ml, fill: full }),
        ("BarMass(125.0)".into(), Size::BarMass(BarMass::nearest(125.0))),
    ] {
        let design = read(&spoilt("FatMass(750.0)", &text)).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(design.size, size, "{text}");
    }
}

#[test]
fn a_size_that_cannot_be_is_refused_at_its_place_and_the_range_is_named() {
    const LOAF: &str = "Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0, height_mm: 60.0)), fill: 90.0))";
    const ROUND: &str = "Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0)), fill: 90.0))";
    const CAVITIES: &str = "Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))";
    let mut faults = Vec::new();
    let mut try_all = |size: &str, field: &str, old: &str, bads: &[&str], word: &str| {
        let good = spoilt("FatMass(750.0)", size);
        assert!(read(&good).is_ok(), "{size} is good");
        faults.extend(bads.iter().filter_map(|bad| fault_in(&good, field, old, bad, &[word])));
    };
    let lengths = ["0", "0.0", "-70.0", "0.99", "5001", "1e300", "NaN", "inf"];
    let fills = ["0", "-90.0", "101", "0.9", "NaN", "-inf"];
    let volumes = ["0", "-1", "1e7", "NaN", "inf"];
    for (field, old) in [("length_mm: ", "296.0"), ("width_mm: ", "70.0"), ("height_mm: ", "60.0")] {
        try_all(LOAF, field, old, &lengths, "mould");
        try_all(&LOAF.replace("Loaf", "Slab"), field, old, &lengths, "mould");
    }
    for (field, old) in [("diameter_mm: ", "75.0"), ("length_mm: ", "300.0")] {
        try_all(ROUND, field, old, &lengths, "mould");
    }
    for size in [LOAF, ROUND, CAVITIES, "Volume((ml: 1000.0, fill: 90.0))"] {
        try_all(size, "fill: ", "90.0", &fills, "fill");
    }
    try_all(CAVITIES, "count: ", "6,", &["0,", "-6,", "10001,", "6.5,", "99999999999,"], "");
    try_all(CAVITIES, "ml: ", "110.0", &volumes, "volume");
    try_all("Volume((ml: 1000.0))", "ml: ", "1000.0", &volumes, "volume");
    try_all("BarMass(125.0)", "BarMass(", "125.0", &["0", "-125", "1e6", "NaN", "inf"], "bar");
    assert_none(&faults);
}

#[test]
fn an_unknown_part_of_a_size_is_refused_at_its_place() {
    let mut faults = Vec::new();
    for (good, field, old, new) in [
        ("Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0, height_mm: 60.0))))", "shape: ", "Loaf", "Brick"),
        ("Mould((shape: Round((diameter_mm: 75.0, length_mm: 300.0))))", "Round((", "diameter_mm", "radius_mm"),
        ("Mould((shape: Cavities((count: 6, ml: 110.0)), fill: 90.0))", ", ", "fill", "filled"),
        ("Volume((ml: 1000.0, fill: 90.0))", "Volume((", "ml", "litres"),
    ] {
        faults.extend(fault_in(&spoilt("FatMass(750.0)", good), field, old, new, &[]));
    }
    for missing in [
        "Mould((fill: 90.0))",
        "Mould((shape: Loaf((length_mm: 296.0, width_mm: 70.0))))",
        "Mould((shape: Cavities((count: 6))))",
        "Volume((fill: 90.0))",
    ] {
        let error = refused(missing, spoilt("FatMass(750.0)", missing).as_bytes());
        assert!(matches!(error, DocumentError::At { .. }), "{missing}: {error}");
    }
    assert_none(&faults);
}
