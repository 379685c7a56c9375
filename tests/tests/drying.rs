//! Drying of a sheet, a cylinder and a bar.
//!
//! Sources: J. Crank, The Mathematics of Diffusion, 2nd ed., Oxford 1975, chapters 4 and 5 (from
//! memory); `data/drying.csv`, the Laplace transforms of his two problems inverted numerically with
//! mpmath 1.4.1 by `peers/drying_mpmath.py`. The worked example of total fatty matter is of the
//! model: 1000 g of fats of SV 200, 5 % superfat, 33.3 % lye; 67.9 % fresh, 76 % after a loss of
//! 10.7 % of the weight.

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::chemistry::cure::{Cure, diffusivity};
use barwright_core::chemistry::drying::{cylinder, sheet};
use barwright_core::chemistry::masses::Masses;
use barwright_core::chemistry::size::solve;
use barwright_core::design::WaterRule;
use barwright_core::design::document;
use barwright_core::design::mould::{BarShape, Cuboid, Mould, Size};
use barwright_core::design::supplier::Certificate;
use barwright_core::formula::Plain;
use barwright_core::quantities::{About, Quantity};
use barwright_core::units::{
    Bars, Days, EquilibriumMoisture, FatMass, Fill, LyeConcentration, Millimetres, Purity, SaponificationValue,
    Superfat, SvMargin,
};
use barwright_core::{Design, Library, evaluate};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    t: f64,
    sheet: f64,
    cylinder: f64,
}

#[test]
fn the_water_left_is_that_of_an_independent_inversion() {
    let rows: Vec<Row> = csv::Reader::from_reader(include_str!("../data/drying.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("the table parses");
    assert_eq!(rows.len(), 20, "the whole table");
    for row in rows {
        assert_within(&format!("sheet at {}", row.t), sheet(row.t), row.sheet, 1e-12);
        // Below 0.01 a series for short times, good to 4e-9 there.
        let allowed = if row.t < 0.01 { 4e-9 } else { 1e-12 };
        assert_within(&format!("cylinder at {}", row.t), cylinder(row.t), row.cylinder, allowed);
    }
}

/// Crank 1975, 4.20: the first half leaves as the square root of time, 4·√(Dt/πl²).
#[test]
fn water_leaves_at_first_as_the_square_root_of_time() {
    for t in [1e-6, 1e-4, 1e-3, 0.01, 0.03] {
        let root = 4.0 * (t / std::f64::consts::PI).sqrt();
        assert_relative(&format!("sheet at {t}"), 1.0 - sheet(t), root, 1e-3);
    }
}

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

fn starter(extra: &str, library: &Library) -> Design {
    let text = format!(
        r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 60), (fat: "coconut", share: 30),
            (fat: "castor", share: 10)], {extra})"#
    );
    document::read(text.as_bytes(), library).expect("a design")
}

fn batch(design: &Design) -> Masses {
    solve(Plain, design).1
}

fn cure(design: &Design) -> Cure {
    Cure::of(Plain, design, &batch(design)).expect("a bar")
}

/// Half of the free water of a sheet of 25 mm is gone in 17 days (our estimate), and a bar that is
/// wide in its other directions dries like that sheet.
#[test]
fn a_wide_flat_bar_of_25_mm_loses_half_of_its_free_water_in_17_days() {
    let mut design = starter("bars: 1", &library());
    let side = |mm| Millimetres::new(mm).expect("in range");
    let mould = Mould::Slab(Cuboid { length_mm: side(5000.0), width_mm: side(5000.0), height_mm: side(25.0) });
    design.size = Size::Mould { mould, fill: Fill::new(100.0).expect("full") };
    let cure = cure(&design);
    assert!(cure.shape_known(), "the mould gives the shape");
    // The four edges of 5 m take a little more.
    assert_within("half", cure.moisture_ratio(17.0), 0.5, 0.003);
    assert_within("D, mm²/day", cure.diffusivity(), diffusivity(17.0, 25.0), 1e-12);
    // 1.81 mm²/day is 2.1·10⁻¹¹ m²/s: 0.0491827·625/17.
    assert_relative("D", cure.diffusivity(), 0.049_182_7 * 625.0 / 17.0, 1e-6);
}

#[test]
fn a_block_is_the_product_of_its_three_directions_and_a_disc_of_two() {
    let library = library();
    let loaf = starter(
        "size: Mould((shape: Loaf((length_mm: 297, width_mm: 70, height_mm: 60)), fill: 90)), bars: 9",
        &library,
    );
    let bar = cure(&loaf);
    assert_eq!(bar.shape(), BarShape::Block([70.0, 54.0, 33.0]));
    let d = bar.diffusivity();
    for days in [0.5, 7.0, 28.0, 90.0] {
        let product: f64 = [70.0, 54.0, 33.0].into_iter().map(|l: f64| sheet(d * days / (l * l))).product();
        assert_relative(&format!("block at {days}"), bar.moisture_ratio(days), product, 1e-12);
    }
    let tube = starter("size: Mould((shape: Round((diameter_mm: 70, length_mm: 300)), fill: 100)), bars: 10", &library);
    let disc = cure(&tube);
    let product = cylinder(d * 28.0 / (35.0 * 35.0)) * sheet(d * 28.0 / (30.0 * 30.0));
    assert_relative("disc", disc.moisture_ratio(28.0), product, 1e-12);
}

#[test]
fn without_a_mould_a_bar_counts_as_25_mm_thick_and_says_so() {
    let design = starter("size: FatMass(1000), bars: 10", &library());
    let (cure, batch) = (cure(&design), batch(&design));
    assert!(!cure.shape_known(), "assumed");
    assert!(cure.shape_words().contains("25 mm (about 1 in) thick"), "{}", cure.shape_words());
    let BarShape::Block(sides) = cure.shape() else { panic!("a block") };
    assert_within("thickness, mm", sides[2], 25.0, 1e-12);
    assert_relative("its face", sides[0] / sides[1], 1.5, 1e-12);
    assert_relative("volume, ml", sides.iter().product::<f64>() / 1000.0, batch.batter_ml / 10.0, 1e-12);
}

#[test]
fn the_band_of_a_weight_is_that_of_5_to_14_percent_of_water_and_is_told() {
    let library = library();
    let design = starter("", &library);
    let (cure, evaluation) = (cure(&design), evaluate(&design, &library));
    let dry = (cure.fresh() - cure.water(Plain, 0.0)).0;
    let (light, heavy) = cure.band(1e6);
    assert_relative("with 5 %", light.0, dry / 0.95, 1e-12);
    assert_relative("with 14 %", heavy.0, dry / 0.86, 1e-12);
    let (light, heavy) = cure.band(28.0);
    let middle = cure.bar(Plain, 28.0);
    assert!(light < middle && middle < heavy, "10 % is between: {light:?} {middle:?} {heavy:?}");
    let trust = barwright_core::quantities::BarAtSale.trust(About::new(&design, &evaluation, &library));
    assert!(trust.contains(&format!("{:.1} g", light.0)) && trust.contains(&format!("{:.1} g", heavy.0)), "{trust}");
}

#[test]
fn only_free_water_leaves_and_never_comes_back() {
    for extra in ["", "bars: 3", "water: LyeConcentration(22)", "process: (equilibrium_moisture: 14)"] {
        let design = starter(extra, &library());
        let (cure, batch) = (cure(&design), batch(&design));
        let dry = batch.bar_fresh - batch.water_in_batter() / f64::from(batch.bars);
        let mut before = f64::INFINITY;
        for day in 0..1000 {
            let day = f64::from(day);
            let bar = cure.bar(Plain, day).0;
            // After some two years what is left to lose is less than a rounding.
            let is_done = before.is_finite() && before - bar <= 1e-12 * before;
            assert!(bar < before || (is_done && day > 700.0), "{extra}: day {day}: {bar} after {before}");
            assert_relative(
                &format!("{extra}: what is not water, day {day}"),
                bar - cure.water(Plain, day).0,
                dry.0,
                1e-12,
            );
            before = bar;
        }
        assert_relative("fresh", cure.bar(Plain, 0.0).0, batch.bar_fresh.0, 1e-15);
        // In the end the bar holds the moisture that the design says, percent of its mass.
        let at_last = 100.0 * cure.water(Plain, 1e6).0 / cure.bar(Plain, 1e6).0;
        assert_within("moisture at last", at_last, design.process.equilibrium_moisture.get(), 1e-9);
        assert!(
            cure.bar_at_sale(Plain).0 * f64::from(batch.bars) > batch.dried().0,
            "above the lightest bar of the limits"
        );
    }
}

#[test]
fn a_batter_drier_than_the_air_stays_as_it_is() {
    let mut design = starter("water: PercentOfFats(1)", &library());
    design.process.equilibrium_moisture = EquilibriumMoisture::nearest(30.0);
    let cure = cure(&design);
    assert_relative("weight", cure.bar(Plain, 1000.0).0, cure.fresh().0, 1e-15);
    assert_eq!(cure.settled(), Some(7), "settled with the first weighing");
}

#[test]
fn a_bar_has_settled_when_a_week_takes_less_than_half_a_percent() {
    for extra in ["", "bars: 2", "bars: 30", "size: FatMass(1000000), bars: 1"] {
        let cure = cure(&starter(extra, &library()));
        let loss = |day: f64| 100.0 * (1.0 - cure.bar(Plain, day).0 / cure.bar(Plain, day - 7.0).0);
        match cure.settled() {
            Some(day) => {
                assert!(loss(f64::from(day)) < 0.5, "{extra}: day {day} loses {} %", loss(f64::from(day)));
                let day = f64::from(day) - 1.0;
                assert!(day < 7.0 || loss(day) >= 0.5, "{extra}: day {day} already loses only {} %", loss(day));
            }
            None => panic!("{extra}: never settles"),
        }
    }
}

/// 1000 g of fats of SV 200 with 5 % superfat and 33.3 % lye of pure NaOH: 954.8 g of fatty matter in
/// 1406 g of batter; 76 % when 10.7 % of the weight is gone.
#[test]
fn fatty_matter_of_the_worked_example_is_67_9_percent_fresh_and_76_after_a_tenth_is_lost() {
    let library = library();
    let mut design = starter("", &library);
    let mut blend =
        document::read(br#"(barwright: 1, fats: [(fat: "palm", share: 100)])"#, &library).expect("a design").blend;
    let id = blend.lines()[0].fat.id.clone();
    let figure = barwright_core::design::supplier::SupplierFigure {
        sv: SaponificationValue::new(200.0).expect("in range"),
        pm: SvMargin::new(0.0).expect("in range"),
    };
    blend.set_certificate(&id, Certificate { sv: Some(figure), acids: Vec::new() }).expect("there");
    design.blend = blend;
    design.superfat = Superfat::new(5.0).expect("in range");
    design.water = WaterRule::LyeConcentration(LyeConcentration::new(100.0 / 3.0).expect("in range"));
    design.alkali.naoh_purity = Purity::new(100.0).expect("in range");
    design.size = Size::FatMass(FatMass::new(1000.0).expect("in range"));
    design.bars = Bars::new(10).expect("in range");
    // With the usual 10 % the bar settles at a loss of 10.3 %, at 75.7 % of fatty matter.
    design.process.equilibrium_moisture = EquilibriumMoisture::new(9.0).expect("in range");
    let evaluation = evaluate(&design, &library);
    let fresh = evaluation.chemistry.tfm_fresh.expect("known");
    assert_within("TFM fresh", fresh, 67.9, 0.05);
    let cure = evaluation.cure.expect("a bar");
    // The day on which the bar has lost 10.67 % of its weight, found by halving.
    let (mut low, mut high) = (0.0_f64, 3650.0_f64);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        *(if 1.0 - cure.bar(Plain, middle).0 / cure.fresh().0 < 0.107 { &mut low } else { &mut high }) = middle;
    }
    assert_within("TFM after a loss of 10.7 %", cure.tfm(Plain, fresh, high), 76.0, 0.05);
    design.process.cure_days = Days::new(high).expect("in range");
    let cured = evaluate(&design, &library).chemistry.tfm_cured.expect("known");
    assert_within("TFM at sale", cured, 76.0, 0.05);
}

#[test]
fn the_moisture_a_bar_keeps_is_read_from_the_file_written_to_it_and_bounded() {
    let library = library();
    let design = starter("process: (equilibrium_moisture: 12.5)", &library);
    assert_within("read", design.process.equilibrium_moisture.get(), 12.5, 0.0);
    let text = document::write(&design, &library).expect("written");
    assert!(text.contains("equilibrium_moisture: 12.5"), "{text}");
    let kept = evaluate(&design, &library).cure.expect("fats").moisture(Plain, 1e6);
    assert_within("after a very long time, percent of the bar", kept, 12.5, 1e-9);
    assert_within("default", starter("", &library).process.equilibrium_moisture.get(), 10.0, 0.0);
    let bad = "(barwright: 1, fats: [], process: (equilibrium_moisture: 4))";
    let message = document::read(bad.as_bytes(), &library).expect_err("too dry").to_string();
    assert!(message.contains("between 5 and 30 %"), "{message}");
}
