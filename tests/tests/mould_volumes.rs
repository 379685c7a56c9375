//! Volumes of moulds, volume of the batter, and the fats that fill a mould.
//!
//! Sources: geometry; density of lye by `data/lye-density.csv` (`thermo` 0.6.1, Laliberté 2009) and
//! of water by `data/water-density.csv` (IAPWS-95); relative density of olive oil 0.910–0.916 at
//! 20 °C as published (Canada Food and Drug Regulations, reproduction). From memory, as the core
//! says: fats lose 0.00068 g/mL per °C; added fat has 0.905 g/mL at 40 °C, solids of food 1.5,
//! essential oils 0.9, and what is not NaOH in sodium hydroxide 2.5.

use barwright_acceptance::{Judged, judged};
use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::cautions::Level;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::mould::{BarShape, Cuboid, Mould, Size};
use barwright_core::design::supplier::SupplierFigure;
use barwright_core::design::{Alkali, Calibration, WaterRule};
use barwright_core::library::additions::{AdditionLine, Amount, Stage};
use barwright_core::library::scents::ScentLine;
use barwright_core::units::{
    AmountMass, AmountPercent, BarMass, Bars, BatterDensity, FatMass, Fill, LyeConcentration, Millilitres, Millimetres,
    Purity, SaponificationValue, Share, Superfat, SvMargin,
};
use barwright_core::{Design, Library};
use serde::Deserialize;
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

fn mm(value: f64) -> Millimetres {
    Millimetres::new(value).expect("in range")
}

fn cuboid(length: f64, width: f64, height: f64) -> Cuboid {
    Cuboid { length_mm: mm(length), width_mm: mm(width), height_mm: mm(height) }
}

fn bars(count: u32) -> Bars {
    Bars::new(count).expect("in range")
}

fn fill(percent: f64) -> Fill {
    Fill::new(percent).expect("in range")
}

fn volume(ml: f64, percent: f64) -> Size {
    Size::Volume { ml: Millilitres::new(ml).expect("in range"), fill: fill(percent) }
}

fn loaf() -> Mould {
    Mould::Loaf(cuboid(300.0, 80.0, 60.0))
}

fn slab() -> Mould {
    Mould::Slab(cuboid(400.0, 250.0, 40.0))
}

fn round() -> Mould {
    Mould::Round { diameter_mm: mm(70.0), length_mm: mm(300.0) }
}

fn cavities() -> Mould {
    Mould::Cavities { count: bars(12), ml: Millilitres::new(95.0).expect("in range") }
}

#[test]
fn the_volume_of_a_mould_is_geometry() {
    for (mould, ml) in [
        // 30 × 8 × 6 cm
        (loaf(), 1440.0),
        // 40 × 25 × 4 cm
        (slab(), 4000.0),
        // π × 3.5² × 30 cm = 1154.535 cm³; with π = 22/7 it would be 1155
        (round(), 1_154.535_3),
        // 12 × 95 ml
        (cavities(), 1140.0),
        // The loaf of the file format's example, 29.6 × 7 × 6 cm
        (Mould::Loaf(cuboid(296.0, 70.0, 60.0)), 1243.2),
    ] {
        assert_relative(&format!("{mould:?}, ml"), mould.volume_ml(), ml, 1e-7);
        let half = Size::Mould { mould, fill: fill(50.0) };
        assert_relative("half full, ml", half.wanted_ml().expect("a mould has a volume"), ml / 2.0, 1e-7);
    }
    assert_relative("a volume, ml", volume(1000.0, 90.0).wanted_ml().expect("asked for"), 900.0, 1e-12);
}

/// Sides in mm, the longest first.
fn block(mould: &Mould, percent: f64, count: u32) -> [f64; 3] {
    match mould.bar(fill(percent), bars(count)) {
        Some(BarShape::Block(sides)) => sides,
        other => panic!("{mould:?} gives {other:?}"),
    }
}

#[test]
fn bars_are_cut_as_the_mould_is() {
    for (what, sides, expected) in [
        // 300/12 = 25 mm thick slices of 80 × 54 mm
        ("loaf", block(&loaf(), 90.0, 12), [80.0, 54.0, 25.0]),
        // 400 × 250 mm into 20: 5 × 4 pieces of 80 × 62.5 mm have sides as 1.28 : 1, which is nearer
        // to 3 : 2 (by ratio, 1.17 times) than 4 × 5 of 100 × 50 (1.33 times); 36 mm high
        ("slab", block(&slab(), 90.0, 20), [80.0, 62.5, 36.0]),
        // 24: 6 × 4 of 66.7 × 62.5 (1.41 times off), 4 × 6 of 100 × 41.7 (1.6), 8 × 3 of 50 × 83.3
        // (1.11 times)
        ("slab into 24", block(&slab(), 100.0, 24), [250.0 / 3.0, 50.0, 40.0]),
        // A single bar is the slab.
        ("slab uncut", block(&slab(), 100.0, 1), [400.0, 250.0, 40.0]),
    ] {
        for (actual, expected) in sides.into_iter().zip(expected) {
            assert_within(&format!("{what}, mm"), actual, expected, 1e-9);
        }
    }
    assert_eq!(slab().grid(bars(20)), (5, 4), "rows and columns");
    assert_eq!(slab().grid(bars(24)), (8, 3), "rows and columns");
    match round().bar(fill(80.0), bars(10)) {
        // 0.8 × 300/10 = 24 mm
        Some(BarShape::Disc { diameter, thickness }) => {
            assert_within("diameter, mm", diameter, 70.0, 1e-12);
            assert_within("thickness, mm", thickness, 24.0, 1e-9);
        }
        other => panic!("a tube gives {other:?}"),
    }
    assert_eq!(cavities().bar(fill(80.0), bars(12)), None, "a cavity has its own shape");
    assert_eq!(cavities().own_bars(), Some(bars(12)), "a bar each");
    assert_eq!(loaf().own_bars(), None, "a loaf is cut as one likes");
}

#[derive(Deserialize)]
struct LyeRow {
    alkali: String,
    pct: f64,
    temperature_c: f64,
    kg_per_m3: f64,
    source: String,
}

#[derive(Deserialize)]
struct WaterRow {
    temperature_c: f64,
    kg_per_m3: f64,
}

/// Published density of 30 % sodium lye at 40 °C, g/mL.
fn lye_density() -> f64 {
    csv::Reader::from_reader(include_str!("../data/lye-density.csv").as_bytes())
        .deserialize::<LyeRow>()
        .map(|row| row.expect("the table is complete"))
        .find(|r| {
            let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
            r.alkali == "NaOH" && same(r.pct, 30.0) && same(r.temperature_c, 40.0) && r.source.contains("Laliberte")
        })
        .expect("30 % at 40 °C is tabled")
        .kg_per_m3
        / 1000.0
}

/// Published density of water, g/mL.
fn water(celsius: f64) -> f64 {
    csv::Reader::from_reader(include_str!("../data/water-density.csv").as_bytes())
        .deserialize::<WaterRow>()
        .map(|row| row.expect("the table is complete"))
        .find(|r| (r.temperature_c - celsius).abs() < 1e-9)
        .unwrap_or_else(|| panic!("{celsius} °C is tabled"))
        .kg_per_m3
        / 1000.0
}

/// Density of olive oil at 40 °C, g/mL: the middle of 0.910–0.916 times that of water at 20 °C, less
/// 20 × 0.00068.
fn olive() -> f64 {
    0.913 * water(20.0) - 20.0 * 0.000_68
}

/// The tables print six or seven digits, and the core's water (Kell 1975) is 3e-6 lighter than theirs.
const TABLES: f64 = 4e-6;

/// Olive oil that takes 0.13 g of pure NaOH per gram at 5 % superfat, in lye of 30 %.
fn design(size: Size) -> Design {
    let supplier = SupplierFigure {
        sv: SaponificationValue::new(130.0 / 0.95 * 56.105 / 39.997).expect("a saponification value"),
        pm: SvMargin::new(0.0).expect("no margin"),
    };
    let olive = Arc::clone(LIBRARY.fat("olive_virgin").expect("in the library"));
    let line = FatLine { supplier: Some(supplier), ..FatLine::new(olive, Share::new(100.0).expect("all")) };
    Design {
        blend: Blend::new(vec![line]).expect("a single fat"),
        size,
        superfat: Superfat::new(5.0).expect("in range"),
        alkali: Alkali { naoh_purity: Purity::new(100.0).expect("pure"), ..Alkali::default() },
        water: WaterRule::LyeConcentration(LyeConcentration::new(30.0).expect("in range")),
        bars: bars(10),
        ..Design::default()
    }
}

fn run(design: &Design) -> Judged {
    judged(design, &LIBRARY)
}

fn grams(value: f64) -> Size {
    Size::FatMass(FatMass::new(value).expect("in range"))
}

/// mL of batter for each gram of fats: the oil, and 0.13/0.3 g of lye.
fn ml_per_gram() -> f64 {
    1.0 / olive() + 0.13 / 0.30 / lye_density()
}

#[test]
fn batter_is_oil_and_lye() {
    // 1000 g of oil at 0.8978 g/mL: 1113.9 mL. 433.33 g of lye at 1.3181 g/mL: 328.8 mL.
    assert_within("oil, g/mL", olive(), 0.8978, 0.000_05);
    assert_within("lye, g/mL", lye_density(), 1.3181, 0.000_05);
    let batch = run(&design(grams(1000.0))).masses;
    assert_relative("batter, ml", batch.batter_ml, 1000.0 * ml_per_gram(), TABLES);
    assert_relative("batter, g", batch.batter.0, 1000.0 + 1300.0 / 3.0, 1e-12);
    // Such batter has 0.9935 g/mL, near the 1 g/mL makers reckon with (common practice, no source).
    assert_within("density, g/mL", batch.batter.0 / batch.batter_ml, 0.993_5, 0.000_1);
}

#[test]
fn impure_sodium_hydroxide_brings_an_inert_solid() {
    // 130 g pure of 80 %: 32.5 g of other salts at 2.5 g/mL are 13 mL.
    let plain = design(grams(1000.0));
    let alkali = Alkali { naoh_purity: Purity::new(80.0).expect("in range"), ..plain.alkali };
    let pure = run(&plain).masses.batter_ml;
    assert_within("more, ml", run(&Design { alkali, ..plain }).masses.batter_ml - pure, 13.0, 1e-9);
}

fn addition(id: &str, amount: f64, stage: Stage) -> AdditionLine {
    let addition = Arc::clone(LIBRARY.addition(id).unwrap_or_else(|| panic!("{id} is in the library")));
    let amount = Amount::Grams(AmountMass::new(amount).expect("in range"));
    AdditionLine { addition, amount, counts_as_water: false, stage }
}

#[test]
fn additions_fill_by_their_water_fat_and_solids() {
    // 100 g of cow's milk, not counted, into the fats: 88.13 g of water at 40 °C, 3.25 g of fat at
    // 0.905, 8.62 g of the rest at 1.5 g/mL.
    let plain = run(&design(grams(1000.0))).masses.batter_ml;
    let more =
        |line: AdditionLine| run(&Design { additions: vec![line], ..design(grams(1000.0)) }).masses.batter_ml - plain;
    let by_hand = 88.13 / water(40.0) + 3.25 / 0.905 + 8.62 / 1.5;
    assert_within("by hand, ml", by_hand, 98.16, 0.01);
    assert_relative("milk, ml", more(addition("cow_milk", 100.0, Stage::IntoFats)), by_hand, TABLES);
    // 26 g of kaolin, all solid, 2.6 g/mL.
    assert_within("clay, ml", more(addition("kaolin", 26.0, Stage::AtTrace)), 10.0, 1e-9);
    // On top it fills nothing.
    assert_within("on top, ml", more(addition("kaolin", 26.0, Stage::OnTop)), 0.0, 1e-9);
    // 18 g of an essential oil at 0.9 g/mL.
    let scent = ScentLine {
        scent: Arc::clone(LIBRARY.scent("lavender").expect("in the library")),
        amount: Amount::Grams(AmountMass::new(18.0).expect("in range")),
        stage: Stage::AtTrace,
    };
    let scented = run(&Design { scents: vec![scent], ..design(grams(1000.0)) }).masses.batter_ml;
    assert_within("scent, ml", scented - plain, 20.0, 1e-9);
}

#[test]
fn water_of_an_addition_in_the_jug_is_part_of_the_lye() {
    // All the water as milk without fat or solids would be the same lye. 100 g of tea (99.7 % water,
    // 0.3 % solids) in place of 99.7 g of water: the same but for 0.3/1.5 = 0.2 mL.
    let tea = AdditionLine { counts_as_water: true, ..addition("tea_brewed", 100.0, Stage::IntoJug) };
    let plain = run(&design(grams(1000.0))).masses;
    let with_tea = run(&Design { additions: vec![tea], ..design(grams(1000.0)) }).masses;
    assert_within("water to weigh", plain.water_to_weigh.0 - with_tea.water_to_weigh.0, 99.7, 1e-9);
    assert_within("more, ml", with_tea.batter_ml - plain.batter_ml, 0.2, 1e-9);
}

#[test]
fn the_fats_that_fill_a_mould_are_the_volume_over_that_of_a_gram() {
    for (what, size, ml) in [
        ("loaf, 90 %", Size::Mould { mould: loaf(), fill: fill(90.0) }, 1296.0),
        ("slab, full", Size::Mould { mould: slab(), fill: fill(100.0) }, 4000.0),
        ("round, 95 %", Size::Mould { mould: round(), fill: fill(95.0) }, 0.95 * 1_154.535_3),
        ("cavities, full", Size::Mould { mould: cavities(), fill: fill(100.0) }, 1140.0),
        ("1 l, 80 %", volume(1000.0, 80.0), 800.0),
    ] {
        let evaluation = run(&design(size));
        assert_eq!(evaluation.size_error, None, "{what}: there are such fats");
        assert_relative(&format!("{what}: fats, g"), evaluation.masses.fats.0, ml / ml_per_gram(), TABLES);
        let wanted = size.wanted_ml().expect("a volume is asked for");
        assert_relative(&format!("{what}: batter, ml"), evaluation.masses.batter_ml, wanted, 1e-11);
    }
}

#[test]
fn a_bar_s_weight_gives_the_fats() {
    // A gram of oil makes 1 + 0.13/0.3 = 1.43333 g of batter. Ten bars of 100 g: 1000/1.43333 = 697.674.
    let size = Size::BarMass(BarMass::new(100.0).expect("in range"));
    let batch = run(&design(size)).masses;
    assert_relative("fats, g", batch.fats.0, 1000.0 / (1.0 + 0.13 / 0.30), 1e-11);
    assert_relative("bar, g", batch.bar_fresh.0, 100.0, 1e-11);
    // 3 % of scent and 100 g of clay: (1000 − 100)/(1.43333 + 0.03) = 615.03 g.
    let scent = ScentLine {
        scent: Arc::clone(LIBRARY.scent("lavender").expect("in the library")),
        amount: Amount::PercentOfFats(AmountPercent::new(3.0).expect("in range")),
        stage: Stage::AtTrace,
    };
    let additions = vec![addition("kaolin", 100.0, Stage::AtTrace)];
    let batch = run(&Design { additions, scents: vec![scent], ..design(size) }).masses;
    assert_relative("fats beside clay, g", batch.fats.0, 900.0 / (1.03 + 0.13 / 0.30), 1e-11);
    assert_relative("scent, g", batch.scents.0, 27.0 / (1.03 + 0.13 / 0.30), 1e-11);
}

#[test]
fn cavities_set_the_number_of_bars() {
    let size = Size::Mould { mould: cavities(), fill: fill(100.0) };
    let evaluation = run(&design(size));
    assert_eq!(evaluation.masses.bars, 12, "not the ten of the design");
    assert_relative("bar, g", evaluation.masses.bar_fresh.0, evaluation.masses.batter.0 / 12.0, 1e-12);
    let caution = evaluation.cautions.iter().find(|c| c.code == "bars-by-mould").expect("they differ");
    assert_eq!(caution.level, Level::Note, "{}", caution.text());
}

#[test]
fn a_measured_batter_density_replaces_the_estimate() {
    // 1 g/mL: 1296 mL take 1296 g of batter, 1296/1.43333 = 904.19 g of oil.
    let calibration =
        Calibration { batter_g_per_ml: Some(BatterDensity::new(1.0).expect("in range")), ..Calibration::default() };
    let size = Size::Mould { mould: loaf(), fill: fill(90.0) };
    let batch = run(&Design { calibration: calibration.clone(), ..design(size) }).masses;
    assert_relative("fats, g", batch.fats.0, 1296.0 / (1.0 + 0.13 / 0.30), 1e-11);
    // What lies on top is not in the mould: 100 g more batter, the same fats.
    let additions = vec![addition("kaolin", 100.0, Stage::OnTop)];
    let topped = run(&Design { calibration, additions, ..design(size) }).masses;
    assert_relative("fats under a topping, g", topped.fats.0, batch.fats.0, 1e-11);
    assert_relative("batter with it, g", topped.batter.0, 1396.0, 1e-11);
}

#[test]
fn a_mould_too_small_or_too_large_is_said_and_no_batch_is_made() {
    // 300 g of kaolin alone are 115.4 mL.
    let additions = vec![addition("kaolin", 300.0, Stage::AtTrace)];
    let evaluation = run(&Design { additions, ..design(volume(100.0, 100.0)) });
    let caution = evaluation.cautions.iter().find(|c| c.code == "size-too-small").expect("no room");
    assert_eq!(caution.level, Level::Stop, "{}", caution.text());
    assert!(caution.why.contains("115.4 ml") && caution.why.contains("15.4 ml more"), "{}", caution.why);
    assert_within("fats, g", evaluation.masses.fats.0, 0.0, 0.0);
    // 50 × 50 × 5 dm: 12,500 litres, more than a tonne of fats fills.
    let pond = Mould::Slab(cuboid(5000.0, 5000.0, 500.0));
    let evaluation = run(&design(Size::Mould { mould: pond, fill: fill(100.0) }));
    assert!(evaluation.cautions.iter().any(|c| c.code == "size-too-large"), "{:?}", evaluation.size_error);
    assert_within("fats, g", evaluation.masses.fats.0, 0.0, 0.0);
}

/// By hand: 100 g at 0.913 × 0.9982 − 0.00068 × (t − 20) g/ml for an oil tabled at 20 °C against water at 20 °C; the
/// slope from memory.
#[test]
fn the_melted_fats_fill_what_their_densities_say() {
    use barwright_core::explain::why;
    let mut design = design(Size::FatMass(FatMass::nearest(1000.0)));
    design.process.fats_c = Some(barwright_core::units::Celsius::nearest(60.0));
    let evaluation = run(&design);
    let by_hand: f64 = design
        .blend
        .lines()
        .iter()
        .zip(&evaluation.fat_masses)
        .map(|(line, mass)| {
            let tabled = line.fat.relative_density.as_ref().expect("tabled");
            mass.0 / (tabled.value.at(20.0) - 0.000_68 * 40.0)
        })
        .sum();
    let why = why("batch.fats_melted_ml", &design, &evaluation, &LIBRARY).expect("known");
    let told: f64 = why.value.trim_end_matches(" ml").replace('\u{202f}', "").parse().expect("a number");
    assert_within("melted, ml", told, by_hand, 0.5);
    assert_eq!(why.formula, "mass ÷ ρ", "of one fat");
    assert!(why.inputs.iter().any(|input| input.value.contains("60 °C")), "{:?}", why.inputs);
}
