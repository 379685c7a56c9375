//! Water, alkali and additions of small batches, worked out with a pencil.
//!
//! Source: arithmetic, with the steps beside the numbers. The rules are those of the project's model:
//! concentration, ratio and total water rest on the pure alkali with what acids take; water in
//! additions that count and in potassium hydroxide comes off the water to weigh, which cannot be
//! negative; only what is in the jug dissolves the alkali. Molar masses: NaOH 39.997, KOH 56.105,
//! water 18.015 g/mol. The fruit, the milk and the vinegar are made up for round numbers.

use barwright_acceptance::assert_within;
use barwright_acceptance::{Judged, judged};
use barwright_core::cautions::{Caution, Level};
use barwright_core::chemistry::masses::WaterSource;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::edit::Edit;
use barwright_core::design::mould::Size;
use barwright_core::design::supplier::SupplierFigure;
use barwright_core::design::{Alkali, WaterRule};
use barwright_core::library::additions::{
    AddedAcid, Addition, AdditionKind, AdditionLine, Amount, Contents, Stage, USUAL_SOLIDS,
};
use barwright_core::library::handling::Handling;
use barwright_core::library::material::{MaterialId, Sourced};
use barwright_core::trust::Trust;
use barwright_core::units::{
    AcidMolarMass, AmountMass, AmountPerKg, AmountPercent, FatMass, LyeConcentration, Purity, SaponificationValue,
    Share, Superfat, SvMargin, WaterPercent, WaterRatio,
};
use barwright_core::{Design, Library};
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// Pencil and program differ only by rounding.
const PENCIL: f64 = 1e-9;

/// `fats` grams of olive oil whose supplier's figure makes `koh` grams of pure KOH its exact need.
fn olive(fats: f64, koh: f64) -> (Blend, Size) {
    let olive = Arc::clone(LIBRARY.fat("olive_virgin").expect("in the library"));
    let supplier = SupplierFigure {
        sv: SaponificationValue::new(1000.0 * koh / fats).expect("a saponification value"),
        pm: SvMargin::new(0.0).expect("no margin"),
    };
    let line = FatLine { supplier: Some(supplier), ..FatLine::new(olive, Share::new(100.0).expect("all of it")) };
    let blend = Blend::new(vec![line]).expect("a single fat");
    (blend, Size::FatMass(FatMass::new(fats).expect("in range")))
}

/// 750 g of olive oil that with 5 % superfat take exactly 100 g of sodium hydroxide: an exact need
/// of 100/0.95 g NaOH, × 56.105/39.997 as KOH, an SV of 196.9.
fn hundred(rule: WaterRule) -> Design {
    let (blend, size) = olive(750.0, 100.0 / 0.95 * 56.105 / 39.997);
    Design {
        blend,
        size,
        superfat: Superfat::new(5.0).expect("in range"),
        alkali: Alkali { naoh_purity: Purity::new(100.0).expect("pure"), ..Alkali::default() },
        water: rule,
        ..Design::default()
    }
}

fn strength(percent: f64) -> WaterRule {
    WaterRule::LyeConcentration(LyeConcentration::new(percent).expect("in range"))
}

fn ratio(ratio: f64) -> WaterRule {
    WaterRule::WaterToAlkali(WaterRatio::new(ratio).expect("in range"))
}

fn of_fats(percent: f64) -> WaterRule {
    WaterRule::PercentOfFats(WaterPercent::new(percent).expect("in range"))
}

fn addition(id: &str, kind: AdditionKind, water: f64, fat: f64, acid: Option<AddedAcid>) -> Arc<Addition> {
    let share = |p| Share::new(p).expect("a percent");
    let addition = Addition {
        colourant: None,
        id: MaterialId::new(id).expect("a good id"),
        name: id.replace('_', " "),
        kind,
        contents: Sourced {
            value: Contents { water: share(water), fat: share(fat), sugars: None },
            source: "made up for round numbers".into(),
            trust: Trust::FromMemory,
        },
        acid: acid.map(|value| Sourced { value, source: "made up".into(), trust: Trust::FromMemory }),
        uncounted_acid: None,
        alcohol: share(0.0),
        usual_stage: Stage::IntoFats,
        handling: Handling::of_kind(kind),
        solids_density: USUAL_SOLIDS,
        inci: String::new(),
        inci_status: String::new(),
        advice: String::new(),
    };
    Arc::new(addition.checked().expect("contents that can be"))
}

fn line(addition: Arc<Addition>, grams: f64, stage: Stage, counts_as_water: bool) -> AdditionLine {
    AdditionLine { addition, amount: Amount::Grams(AmountMass::new(grams).expect("in range")), counts_as_water, stage }
}

/// Fruit of 90 % water and 10 % solids.
fn puree(grams: f64, stage: Stage, counts: bool) -> AdditionLine {
    line(addition("quince_puree", AdditionKind::Puree, 90.0, 0.0, None), grams, stage, counts)
}

fn run(design: &Design) -> Judged {
    judged(design, &LIBRARY)
}

fn said<'a>(evaluation: &'a Judged, code: &str) -> Option<&'a Caution> {
    evaluation.cautions.iter().find(|c| c.code == code)
}

/// What the pencil says of one batch, grams and percent: water
/// to weigh, in the jug, all that counts, not counted, beyond the rule; lye in percent with all water
/// that counts, and with that in the jug; batter.
type Pencil = [f64; 8];

fn check(what: &str, design: &Design, pencil: &Pencil) -> Judged {
    let evaluation = run(design);
    let b = &evaluation.masses;
    let jug = evaluation.jug.as_ref().expect("there is alkali");
    let actual = [
        ("water to weigh", b.water_to_weigh.0),
        ("water in the jug", b.water_in_jug.0),
        ("all water", b.water_total.0),
        ("water not counted", b.water_uncounted.0),
        ("water too much", b.water_excess.0),
        ("lye by all water, %", b.lye_concentration().expect("there is alkali")),
        ("lye in the jug, %", jug.concentration),
        ("batter", b.batter.0),
    ];
    for ((figure, actual), expected) in actual.into_iter().zip(pencil) {
        assert_within(&format!("{what}: {figure}"), actual, *expected, PENCIL * 1000.0);
    }
    let [_, in_jug, total, uncounted, excess, ..] = *pencil;
    // Every gram of water has a line: those that count are the total, those of the jug its water.
    let sum = |keep: &dyn Fn(&barwright_core::chemistry::masses::WaterRow) -> bool| -> f64 {
        evaluation.water.iter().filter(|r| keep(r)).map(|r| r.mass.0).sum()
    };
    assert_within(&format!("{what}: counted rows"), sum(&|r| r.counted), total, PENCIL * 1000.0);
    assert_within(&format!("{what}: rows of the jug"), sum(&|r| r.stage == Stage::IntoJug), in_jug, PENCIL * 1000.0);
    let made = sum(&|r| r.source == WaterSource::Made);
    assert_within(&format!("{what}: rows not counted"), sum(&|r| !r.counted) - made, uncounted, PENCIL * 1000.0);
    let missed = said(&evaluation, "water-not-reached").is_some();
    assert_eq!(missed, excess > 0.0, "{what}: a caution says when the water is missed");
    evaluation
}

/// The five ways of puree: none; 100 g into the fats, counted; 100 g into the jug, counted; 100 g
/// into the fats, not counted; 400 g into the fats, counted.
fn purees() -> [(&'static str, Vec<AdditionLine>); 5] {
    [
        ("no puree", vec![]),
        ("into the fats", vec![puree(100.0, Stage::IntoFats, true)]),
        ("into the jug", vec![puree(100.0, Stage::IntoJug, true)]),
        ("not counted", vec![puree(100.0, Stage::IntoFats, false)]),
        ("more than fits", vec![puree(400.0, Stage::IntoFats, true)]),
    ]
}

fn check_all(rule: WaterRule, pencils: &[Pencil; 5]) {
    for ((what, additions), pencil) in purees().into_iter().zip(pencils) {
        check(&format!("{rule:?}, {what}"), &Design { additions, ..hundred(rule) }, pencil);
    }
}

#[test]
fn by_concentration() {
    // 100 g NaOH are 25 % of 400 g: 300 g of water. 100 g puree hold 90 g, 400 g hold 360 g.
    //   none         weigh 300                  jug 300: 100/400 = 25 %          750+100+300
    //   into fats    weigh 300 − 90 = 210       jug 210: 100/310 = 32.258 %      750+100+210+100
    //   into jug     weigh 210                  jug 210 + 90 = 300: 25 %         750+100+210+100
    //   not counted  weigh 300                  jug 300: 25 %                    750+100+300+100
    //   too much     weigh 0, 60 g beyond       jug 0: 100 %; 100/460 = 21.739 % 750+100+400
    check_all(
        strength(25.0),
        &[
            [300.0, 300.0, 300.0, 0.0, 0.0, 25.0, 25.0, 1150.0],
            [210.0, 210.0, 300.0, 0.0, 0.0, 25.0, 10_000.0 / 310.0, 1160.0],
            [210.0, 300.0, 300.0, 0.0, 0.0, 25.0, 25.0, 1160.0],
            [300.0, 300.0, 300.0, 90.0, 0.0, 25.0, 25.0, 1250.0],
            [0.0, 0.0, 360.0, 0.0, 60.0, 10_000.0 / 460.0, 100.0, 1250.0],
        ],
    );
}

#[test]
fn by_ratio() {
    // 2.5 × 100 g NaOH: 250 g of water; 100/350 = 28.571 %.
    //   into fats    weigh 250 − 90 = 160       jug 160: 100/260 = 38.462 %      750+100+160+100
    //   into jug     weigh 160                  jug 160 + 90 = 250: 28.571 %     750+100+160+100
    //   not counted  weigh 250                  jug 250: 28.571 %                750+100+250+100
    //   too much     weigh 0, 110 g beyond      jug 0: 100 %; 100/460            750+100+400
    let all = 10_000.0 / 350.0;
    check_all(
        ratio(2.5),
        &[
            [250.0, 250.0, 250.0, 0.0, 0.0, all, all, 1100.0],
            [160.0, 160.0, 250.0, 0.0, 0.0, all, 10_000.0 / 260.0, 1110.0],
            [160.0, 250.0, 250.0, 0.0, 0.0, all, all, 1110.0],
            [250.0, 250.0, 250.0, 90.0, 0.0, all, all, 1200.0],
            [0.0, 0.0, 360.0, 0.0, 110.0, 10_000.0 / 460.0, 100.0, 1250.0],
        ],
    );
}

#[test]
fn by_percent_of_fats() {
    // 36 % of 750 g: 270 g of water; 100/370 = 27.027 %.
    //   into fats    weigh 270 − 90 = 180       jug 180: 100/280 = 35.714 %      750+100+180+100
    //   into jug     weigh 180                  jug 180 + 90 = 270: 27.027 %     750+100+180+100
    //   not counted  weigh 270                  jug 270: 27.027 %                750+100+270+100
    //   too much     weigh 0, 90 g beyond       jug 0: 100 %; 100/460            750+100+400
    let all = 10_000.0 / 370.0;
    check_all(
        of_fats(36.0),
        &[
            [270.0, 270.0, 270.0, 0.0, 0.0, all, all, 1120.0],
            [180.0, 180.0, 270.0, 0.0, 0.0, all, 10_000.0 / 280.0, 1130.0],
            [180.0, 270.0, 270.0, 0.0, 0.0, all, all, 1130.0],
            [270.0, 270.0, 270.0, 90.0, 0.0, all, all, 1220.0],
            [0.0, 0.0, 360.0, 0.0, 90.0, 10_000.0 / 460.0, 100.0, 1250.0],
        ],
    );
}

#[test]
fn the_three_rules_say_the_same_where_they_ask_for_the_same() {
    // 300 g of water: 25 % of 400 g, 3 times 100 g, 40 % of 750 g.
    for rule in [strength(25.0), ratio(3.0), of_fats(40.0)] {
        let evaluation = run(&hundred(rule));
        assert_within(&format!("{rule:?}"), evaluation.masses.water_to_weigh.0, 300.0, PENCIL * 300.0);
    }
}

#[test]
fn an_amount_means_the_same_in_every_unit() {
    // 60 g in 750 g of fats: 8 %, 80 g per kg.
    let percent = Amount::PercentOfFats(AmountPercent::new(8.0).expect("in range"));
    let per_kg = Amount::GramsPerKgFats(AmountPerKg::new(80.0).expect("in range"));
    for amount in [percent, per_kg, Amount::Grams(AmountMass::new(60.0).expect("in range"))] {
        let additions = vec![AdditionLine { amount, ..puree(1.0, Stage::IntoFats, true) }];
        let batch = run(&Design { additions, ..hundred(strength(25.0)) }).masses;
        assert_within(&format!("{amount:?}: mass"), batch.additions.0, 60.0, PENCIL * 60.0);
        // 0.9 × 60 = 54; 300 − 54 = 246.
        assert_within(&format!("{amount:?}: water to weigh"), batch.water_to_weigh.0, 246.0, PENCIL * 246.0);
    }
}

#[test]
fn what_is_not_alkali_in_sodium_hydroxide_is_no_water() {
    // 80 % pure: 100/0.8 = 125 g on the scale, 25 g of it inert. The water stays 300 g.
    let plain = hundred(strength(25.0));
    let alkali = Alkali { naoh_purity: Purity::new(80.0).expect("in range"), ..plain.alkali };
    let pencil = [300.0, 300.0, 300.0, 0.0, 0.0, 25.0, 25.0, 1175.0];
    let evaluation = check("80 % NaOH", &Design { alkali, ..plain }, &pencil);
    assert_within("sodium hydroxide on the scale", evaluation.masses.alkali.naoh.0, 125.0, PENCIL * 125.0);
}

#[test]
fn too_much_puree_is_stopped_and_both_remedies_are_right() {
    let design = Design { additions: vec![puree(400.0, Stage::IntoFats, true)], ..hundred(strength(25.0)) };
    let evaluation = run(&design);
    // At most 300/0.9 = 333.33 g fit; shown to 0.1 g, rounded down, so that it surely fits.
    let missed = said(&evaluation, "water-not-reached").expect("60 g too much");
    assert_eq!(missed.level, Level::Care, "{}", missed.text());
    assert!(missed.why.contains("60.0 g more water"), "{}", missed.why);
    assert!(
        missed.advice.contains("333.3 g of quince puree") && missed.advice.contains("66.7 g less"),
        "{}",
        missed.advice
    );
    let fewer = missed.remedy.as_ref().expect("less puree").edit.apply(&design, &LIBRARY).expect("can be done");
    let batch = run(&fewer).masses;
    // 300 − 0.9 × 333.3 = 0.03 g to weigh.
    assert_within("water to weigh after the remedy", batch.water_to_weigh.0, 0.03, 1e-6);
    assert_within("excess after the remedy", batch.water_excess.0, 0.0, 0.0);
    // The jug has no water for 100 g NaOH. 40 % lye, which is easy to handle, takes 150 g, in
    // 166.7 g of puree, so 167 g.
    let strong = said(&evaluation, "jug-too-strong").expect("there is no water in the jug");
    assert_eq!(strong.level, Level::Stop, "{}", strong.text());
    let edit = &strong.remedy.as_ref().expect("move some").edit;
    let Edit::MoveAddition { mass, to: Stage::IntoJug, .. } = edit else { panic!("{edit:?}") };
    assert_within("puree to move", mass.0, 167.0, PENCIL);
    let moved = run(&edit.apply(&design, &LIBRARY).expect("can be done"));
    assert_within("water in the jug after it", moved.masses.water_in_jug.0, 0.9 * 167.0, 1e-6);
    assert!(said(&moved, "jug-too-strong").is_none(), "150.3 g dissolve 100 g");
}

/// 1000 g of olive oil that take 90 g of pure KOH and as many moles of NaOH, with KOH of 90 %.
fn dual(rule: WaterRule) -> Design {
    let (blend, size) = olive(1000.0, 180.0 / 0.95);
    let alkali = Alkali {
        koh_share: Share::new(50.0).expect("half"),
        naoh_purity: Purity::new(100.0).expect("pure"),
        koh_purity: Purity::new(90.0).expect("in range"),
        ..Alkali::default()
    };
    Design { blend, size, alkali, water: rule, superfat: Superfat::new(5.0).expect("in range"), ..Design::default() }
}

#[test]
fn the_water_in_potassium_hydroxide_counts() {
    // Exact need 180/0.95 g KOH; 5 % held back leave 180 g, half as KOH: 90 g pure, 90/0.9 = 100 g
    // on the scale, 10 g of that water. NaOH: 90 × 39.997/56.105 = 64.1606 g.
    // 30 % of 1000 g fats: 300 g of water. 100 g puree bring 90 g, the KOH 10 g: weigh 200 g.
    // Jug: 200 + 10 = 210 g; 154.1606/(154.1606 + 210) = 42.333 %.
    let naoh = 90.0 * 39.997 / 56.105;
    let pure = 90.0 + naoh;
    let design = Design { additions: vec![puree(100.0, Stage::IntoFats, true)], ..dual(of_fats(30.0)) };
    let pencil = [
        200.0,
        210.0,
        300.0,
        0.0,
        0.0,
        100.0 * pure / (pure + 300.0),
        100.0 * pure / (pure + 210.0),
        1000.0 + naoh + 100.0 + 200.0 + 100.0,
    ];
    let evaluation = check("dual alkali", &design, &pencil);
    assert_within("KOH on the scale", evaluation.masses.alkali.koh.0, 100.0, PENCIL * 100.0);
    assert_within("NaOH on the scale", evaluation.masses.alkali.naoh.0, 64.1606, 0.000_05);
    // To dissolve: 64.16 g for the NaOH and 90 × 47/53 = 79.81 g for the KOH (from memory).
    let jug = evaluation.jug.as_ref().expect("there is alkali");
    assert_within("least water", jug.least_water.0, 64.1606 + 79.8113, 0.000_1);
    // The same without puree, by the other two rules: 2 × 154.1606 = 308.3212, less 10; and 35 %.
    let weigh = run(&dual(ratio(2.0))).masses.water_to_weigh.0;
    assert_within("by ratio", weigh, 2.0 * pure - 10.0, 1e-6);
    let weigh = run(&dual(strength(35.0))).masses.water_to_weigh.0;
    assert_within("by concentration", weigh, pure * 65.0 / 35.0 - 10.0, 1e-6);
}

#[test]
fn the_water_in_potassium_hydroxide_alone_can_be_too_much() {
    // KOH of 50 %: 90 g pure, 180 g on the scale, 90 g of water. 5 % of the fats are 50 g.
    let plain = dual(of_fats(5.0));
    let alkali = Alkali { koh_purity: Purity::new(50.0).expect("in range"), ..plain.alkali };
    let evaluation = run(&Design { alkali, ..plain });
    let batch = &evaluation.masses;
    assert_within("KOH on the scale", batch.alkali.koh.0, 180.0, PENCIL * 180.0);
    assert_within("water to weigh", batch.water_to_weigh.0, 0.0, 0.0);
    assert_within("too much", batch.water_excess.0, 40.0, PENCIL * 90.0);
    let why = &said(&evaluation, "water-not-reached").expect("40 g too much").why;
    assert!(why.contains("potassium hydroxide alone brings 40.0 g"), "{why}");
}

/// Vinegar of 5 % acetic acid (60.05 g/mol) and 95 % water. 300.25 g hold 15.0125 g of the acid,
/// 0.25 mol, and 285.2375 g of water.
fn vinegar(grams: f64) -> AdditionLine {
    let (content, molar_mass) = (Share::new(5.0).expect("a percent"), AcidMolarMass::new(60.05).expect("in range"));
    let acid = AddedAcid::new("acetic acid".into(), content, molar_mass, 1);
    line(addition("plum_vinegar", AdditionKind::Liquid, 95.0, 0.0, Some(acid)), grams, Stage::IntoJug, true)
}

#[test]
fn vinegar_can_replace_all_the_water() {
    // 0.25 mol take 0.25 × 39.997 = 9.99925 g NaOH: 109.99925 g in all, and make 4.50375 g of water,
    // which no rule counts. Each rule is set so that the vinegar's 285.2375 g are just what it asks.
    let (pure, water) = (109.999_25, 285.237_5);
    for rule in [strength(100.0 * pure / (pure + water)), ratio(water / pure), of_fats(100.0 * water / 750.0)] {
        let evaluation = run(&Design { additions: vec![vinegar(300.25)], ..hundred(rule) });
        let batch = &evaluation.masses;
        for (what, actual, expected) in [
            ("sodium hydroxide", batch.alkali.naoh.0, pure),
            ("alkali for the acid", batch.alkali_for_acids.0, 9.999_25),
            ("water to weigh", batch.water_to_weigh.0, 0.0),
            ("all water", batch.water_total.0, water),
            ("water in the jug", batch.water_in_jug.0, water),
            ("protons in the jug", batch.jug_protons, 0.25),
            ("water made", batch.water_made.0, 4.503_75),
            ("lye, %", batch.lye_concentration().expect("there is alkali"), 100.0 * pure / (pure + water)),
            // 750 + 109.99925 + 0 + 300.25; the water made was in the batch before as hydrogen and
            // hydroxide, so it adds nothing.
            ("batter", batch.batter.0, 1_160.249_25),
        ] {
            assert_within(&format!("{rule:?}: {what}"), actual, expected, 1e-6);
        }
        // The fats get what they would get without vinegar.
        let planned = run(&hundred(rule)).masses;
        assert_within("superfat, %", batch.superfat, planned.superfat, 0.0);
        assert_within("free fat, %", batch.free_fat.0, planned.free_fat.0, 0.0);
        let made = evaluation.water.iter().find(|r| r.source == WaterSource::Made).expect("a row of its own");
        assert!(!made.counted, "water that is made counts for no rule");
    }
}

#[test]
fn an_acid_in_the_fats_takes_alkali_but_does_not_heat_the_jug() {
    let into_fats = AdditionLine { stage: Stage::IntoFats, ..vinegar(300.25) };
    let batch = run(&Design { additions: vec![into_fats], ..hundred(strength(20.0)) }).masses;
    assert_within("sodium hydroxide", batch.alkali.naoh.0, 109.999_25, 1e-6);
    assert_within("protons in the jug", batch.jug_protons, 0.0, 0.0);
    // 109.99925 × 80/20 = 439.997; less the vinegar's 285.2375.
    assert_within("water in the jug", batch.water_in_jug.0, 439.997 - 285.237_5, 1e-6);
}

#[test]
fn alkali_for_acids_is_split_and_made_up_like_the_rest() {
    // Half of the 0.25 mol each: 0.125 × 39.997 = 4.999625 g NaOH, 0.125 × 56.105/0.9 = 7.792361 g
    // of KOH as weighed.
    let batch = run(&Design { additions: vec![vinegar(300.25)], ..dual(ratio(4.0)) }).masses;
    assert_within("NaOH", batch.alkali.naoh.0, 64.160_592 + 4.999_625, 1e-6);
    assert_within("KOH", batch.alkali.koh.0, 107.792_361, 1e-6);
    assert_within("for the acid", batch.alkali_for_acids.0, 4.999_625 + 7.792_361, 1e-6);
    // Water in the KOH: a tenth of it.
    assert_within("water in the KOH", batch.alkali.water().0, 10.779_236, 1e-6);
}

#[test]
fn too_much_vinegar_is_named_with_the_most_that_fits() {
    // By percent of fats, 34 % of 750 g = 255 g: 255/0.95 = 268.42 g.
    // By ratio the vinegar's acid asks for water, too: v·0.95 = 2.5·(100 + v·0.05·39.997/60.05),
    // v = 250/(0.95 − 2.5 × 0.0333031) = 288.43 g.
    // By concentration, 28 %: the ratio is 72/28: v = 257.143/(0.95 − 2.571429 × 0.0333031) = 297.49.
    for (rule, fits) in [(of_fats(34.0), "268.4 g"), (ratio(2.5), "288.4 g"), (strength(28.0), "297.4 g")] {
        let design = Design { additions: vec![vinegar(350.0)], ..hundred(rule) };
        let evaluation = run(&design);
        let caution = said(&evaluation, "water-not-reached").unwrap_or_else(|| panic!("{rule:?}"));
        assert!(caution.advice.contains(&format!("At most {fits} of plum vinegar")), "{rule:?}: {}", caution.advice);
        let remedy = caution.remedy.as_ref().expect("less vinegar");
        let batch = run(&remedy.edit.apply(&design, &LIBRARY).expect("can be done")).masses;
        assert_within(&format!("{rule:?}: excess after it"), batch.water_excess.0, 0.0, 0.0);
        assert!(batch.water_to_weigh.0 < 0.1, "{rule:?}: a tenth of a gram more would not fit");
    }
}

#[test]
fn milk_in_the_jug_is_water_and_fat() {
    // Milk of 88 % water and 4 % fat. 150 g: 132 g of water, 6 g of fat, 12 g of the rest.
    // Counted: weigh 300 − 132 = 168 g; jug 300 g. Not counted: weigh 300 g; jug 432 g, 18.797 %.
    let milk = |counts| {
        let milk = addition("zebu_milk", AdditionKind::Milk, 88.0, 4.0, None);
        vec![line(milk, 150.0, Stage::IntoJug, counts)]
    };
    let counted = [168.0, 300.0, 300.0, 0.0, 0.0, 25.0, 25.0, 1168.0];
    let uncounted = [300.0, 432.0, 300.0, 132.0, 0.0, 25.0, 10_000.0 / 532.0, 1300.0];
    for (counts, pencil) in [(true, counted), (false, uncounted)] {
        let design = Design { additions: milk(counts), ..hundred(strength(25.0)) };
        let evaluation = check(&format!("milk, counted: {counts}"), &design, &pencil);
        // 5 % of 750 g and the 6 g stay free: 43.5 of 756 g.
        assert_within("free fat, %", evaluation.masses.free_fat.0, 100.0 * 43.5 / 756.0, PENCIL * 6.0);
        assert_within("fat in the milk", evaluation.masses.addition_fat.0, 6.0, PENCIL * 6.0);
        assert_within("superfat, %", evaluation.masses.superfat, 5.0, 0.0);
    }
}

#[test]
fn the_fat_of_additions_stays_free_even_where_there_is_too_much_alkali() {
    // −2 % superfat: none of the 750 g stays, of 150 g milk 6 g: 6/756.
    let milk = line(addition("zebu_milk", AdditionKind::Milk, 88.0, 4.0, None), 150.0, Stage::IntoJug, true);
    let superfat = Superfat::new(-2.0).expect("in range");
    let evaluation = run(&Design { superfat, additions: vec![milk], ..hundred(strength(25.0)) });
    assert_within("free fat, %", evaluation.masses.free_fat.0, 100.0 * 6.0 / 756.0, PENCIL * 1.0);
    assert_eq!(said(&evaluation, "lye-heavy").map(|c| c.level), Some(Level::Stop), "milk does not make it safe");
}

#[test]
fn a_free_acid_in_the_blend_makes_a_mole_of_water_for_each_of_alkali() {
    // 56.105 g of KOH neutralise 1 mol of stearic acid and set 18.015 g of water free; at 5 %
    // superfat 0.95 of that. The triglycerides make none.
    let stearic = Arc::clone(LIBRARY.fat("stearic_acid_50").expect("in the library"));
    let supplier = SupplierFigure {
        sv: SaponificationValue::new(200.0).expect("a saponification value"),
        pm: SvMargin::new(0.0).expect("no margin"),
    };
    let line = FatLine { supplier: Some(supplier), ..FatLine::new(stearic, Share::new(100.0).expect("all")) };
    let (_, size) = olive(280.525, 56.105);
    let acid = Design {
        blend: Blend::new(vec![line]).expect("one"),
        size,
        superfat: Superfat::new(5.0).expect("in range"),
        ..Design::default()
    };
    // 280.525 g × 200/1000 = 56.105 g KOH, exactly a mole.
    assert_within("from a free acid", run(&acid).masses.water_made.0, 0.95 * 18.015, 1e-9);
    // More alkali than acid makes no more water than there is acid.
    let heavy = Design { superfat: Superfat::new(-2.0).expect("in range"), ..acid };
    assert_within("with too much alkali", run(&heavy).masses.water_made.0, 18.015, 1e-9);
    assert_within("from olive oil", run(&hundred(strength(25.0))).masses.water_made.0, 0.0, 0.0);
}

#[test]
fn what_lies_on_top_weighs_in_the_batter_but_fills_no_mould() {
    let plain = run(&hundred(strength(25.0))).masses;
    let additions = vec![puree(100.0, Stage::OnTop, false)];
    let topped = run(&Design { additions, ..hundred(strength(25.0)) }).masses;
    assert_within("batter", topped.batter.0, plain.batter.0 + 100.0, 1e-9);
    assert_within("on top", topped.on_top.0, 100.0, 1e-12);
    assert_within("volume below", topped.batter_ml, plain.batter_ml, 1e-9);
}
