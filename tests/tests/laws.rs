//! Laws that hold for every design, tried on random ones.
//!
//! Source: conservation of mass; the definitions of lye concentration, ratio and percentage;
//! the international yard and pound agreement of 1959 (an ounce is 28.349523125 g exactly); the
//! rest are promises of the project's own documents.

use barwright_acceptance::{assert_relative, assert_within};
use barwright_core::blend::{Blend, FatLine, SupplierFigure};
use barwright_core::cautions::Level;
use barwright_core::design::{Alkali, AllergenList, Calibration, OvenGel, Price, Process, WaterRule};
use barwright_core::edit::Edit;
use barwright_core::estimates::Estimate;
use barwright_core::evaluate::{contributions, free_fat_points};
use barwright_core::fats::{Fat, FatId};
use barwright_core::history::{Gesture, History};
use barwright_core::library::Tables;
use barwright_core::report::{self, Report};
use barwright_core::units::{
    Bars, BatterDensity, Celsius, Days, FatMass, Grams, Hours, Interval, LyeConcentration, MassUnit, Minutes, Money,
    PackMass, Purity, PurityMargin, SaponificationValue, ScaleDivision, Share, Superfat, SvMargin, WaterPercent,
    WaterRatio,
};
use barwright_core::{Design, Evaluation, Library, document, evaluate};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{Index, subsequence};
use proptest::test_runner::RngSeed;
use std::sync::{Arc, LazyLock};

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// So many random designs for each law; no file of past failures, since the laws hold for all.
/// The same cases in every run, so that a check never fails by the luck of the draw alone; set
/// `PROPTEST_RNG_SEED` and `PROPTEST_CASES` to look further.
fn tried(cases: u32) -> ProptestConfig {
    let told = |name| std::env::var_os(name).is_some();
    let base = ProptestConfig { failure_persistence: None, ..ProptestConfig::default() };
    let seed = if told("PROPTEST_RNG_SEED") { base.rng_seed } else { RngSeed::Fixed(1908) };
    ProptestConfig { cases: if told("PROPTEST_CASES") { base.cases } else { cases }, rng_seed: seed, ..base }
}

// ---- any design ---------------------------------------------------------------------------------

macro_rules! any_in_range {
    ($($name:ident: $kind:ident),+) => {$(
        /// Any allowed value, both ends now and then.
        fn $name() -> impl Strategy<Value = $kind> {
            prop_oneof![
                8 => ($kind::MIN..=$kind::MAX).prop_map(|v| $kind::new(v).expect("in range")),
                1 => Just($kind::new($kind::MIN).expect("in range")),
                1 => Just($kind::new($kind::MAX).expect("in range")),
            ]
        }
    )+};
}

any_in_range! {
    any_share: Share,
    any_superfat: Superfat,
    any_purity: Purity,
    any_purity_margin: PurityMargin,
    any_concentration: LyeConcentration,
    any_ratio: WaterRatio,
    any_percent: WaterPercent,
    any_fat_mass: FatMass,
    any_division: ScaleDivision,
    any_sv: SaponificationValue,
    any_sv_margin: SvMargin,
    any_temperature: Celsius,
    any_minutes: Minutes,
    any_hours: Hours,
    any_days: Days,
    any_pack: PackMass,
    any_money: Money,
    any_density: BatterDensity
}

/// Words of every script, quotes, line ends and control characters.
fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[a-z \"\\\\\n\r\t/*(){}\\[\\],:#'’“”äßé😀\u{0}\u{7f}\u{feff}\u{2028}]{0,40}",
        Just("He said \"all of it\",\r\n\tthen r#\"nothing\"# // and left".to_owned()),
    ]
}

fn any_water() -> impl Strategy<Value = WaterRule> {
    prop_oneof![
        any_concentration().prop_map(WaterRule::LyeConcentration),
        any_ratio().prop_map(WaterRule::WaterToAlkali),
        any_percent().prop_map(WaterRule::PercentOfFats),
    ]
}

fn any_alkali() -> impl Strategy<Value = Alkali> {
    (any_share(), any_purity(), any_purity(), any_purity_margin(), any_purity_margin()).prop_map(
        |(koh_share, naoh_purity, koh_purity, naoh_purity_pm, koh_purity_pm)| Alkali {
            koh_share,
            naoh_purity,
            koh_purity,
            naoh_purity_pm,
            koh_purity_pm,
        },
    )
}

fn any_supplier() -> impl Strategy<Value = SupplierFigure> {
    (any_sv(), any_sv_margin()).prop_map(|(sv, pm)| SupplierFigure { sv, pm })
}

/// A record as the library has it or, now and then, with figures and words of its own.
fn any_record(fat: Arc<Fat>) -> impl Strategy<Value = Arc<Fat>> {
    let own = (any_sv(), any_sv(), any_text()).prop_map({
        let fat = Arc::clone(&fat);
        move |(a, b, words)| {
            let mut own = Fat::clone(&fat);
            own.sv.value = Interval::hull([a.get(), b.get()]).expect("two numbers");
            own.sv.source.clone_from(&words);
            own.name = words;
            Arc::new(own)
        }
    });
    prop_oneof![3 => Just(fat), 1 => own]
}

/// A line of a given fat with any share, lock and figure.
fn any_line(fat: Arc<Fat>) -> impl Strategy<Value = FatLine> {
    (any_record(fat), any_share(), any::<bool>(), option::weighted(0.3, any_supplier()))
        .prop_map(|(fat, share, locked, supplier)| FatLine { fat, share, locked, supplier })
}

/// Different fats of the library, in any order.
fn some_fats(count: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Vec<Arc<Fat>>> {
    subsequence(LIBRARY.fats().to_vec(), count).prop_shuffle()
}

/// A blend whose shares sum to anything, of no fat up to all of them.
fn any_blend() -> impl Strategy<Value = Blend> {
    let size = prop_oneof![6 => some_fats(0..=6), 1 => some_fats(58..=58)];
    size.prop_flat_map(|fats| fats.into_iter().map(any_line).collect::<Vec<_>>())
        .prop_map(|lines| Blend::new(lines).expect("no fat twice"))
}

/// `blend` with its shares scaled to 100; unchanged if they are all zero.
fn scaled_to_100(blend: &Blend) -> Blend {
    let total = blend.total();
    let line = |l: &FatLine| FatLine { share: Share::nearest(100.0 * l.share.get() / total), ..l.clone() };
    if total > 0.0 {
        Blend::new(blend.lines().iter().map(line).collect()).expect("no fat twice")
    } else {
        blend.clone()
    }
}

/// A blend of at least one fat whose shares sum to 100.
fn whole_blend() -> impl Strategy<Value = Blend> {
    any_blend().prop_map(|b| scaled_to_100(&b)).prop_filter("shares that sum to 100", Blend::is_whole)
}

fn any_process() -> impl Strategy<Value = Process> {
    let oven = (any_temperature(), any_minutes()).prop_map(|(oven_c, minutes)| OvenGel { oven_c, minutes });
    (any_temperature(), any_temperature(), option::of(oven), any_hours(), any_days(), option::of(any_text())).prop_map(
        |(room_c, mix_c, oven_gel, cut_hours, cure_days, made_on)| Process {
            room_c,
            mix_c,
            oven_gel,
            cut_hours,
            cure_days,
            made_on,
        },
    )
}

/// Fats of one's own that no line uses, in any order.
fn any_spare_fats() -> impl Strategy<Value = Vec<Arc<Fat>>> {
    vec(any_record(Arc::clone(&LIBRARY.fats()[0])), 0..4).prop_map(|fats| {
        let ids = ["orchard_press", "zebu_tallow", "medlar_kernel", "acorn"];
        let named = fats.iter().zip(ids).map(|(fat, id)| {
            let mut own = Fat::clone(fat);
            own.id = FatId::new(id).expect("a good id");
            Arc::new(own)
        });
        named.collect()
    })
}

fn any_prices() -> impl Strategy<Value = Vec<Price>> {
    let price =
        (any_text(), any_pack(), any_money()).prop_map(|(material, pack_g, price)| Price { material, pack_g, price });
    vec(price, 0..3)
}

/// Any design with this blend.
fn design_of(blend: impl Strategy<Value = Blend>) -> impl Strategy<Value = Design> {
    let style = prop_oneof![(0..LIBRARY.styles().len()).prop_map(|i| LIBRARY.styles()[i].name.clone()), any_text(),];
    let words = (any_text(), any_text(), style, any_text());
    let lye = (any_superfat(), any_alkali(), any_water(), any_division());
    let allergens =
        prop_oneof![Just(AllergenList::Extended), Just(AllergenList::FirstTwentyFour), Just(AllergenList::Off)];
    let calibration = (option::of(any_density()), option::of(any_minutes()))
        .prop_map(|(batter_g_per_ml, jug_cooling_min)| Calibration { batter_g_per_ml, jug_cooling_min });
    let rest = (any_fat_mass(), 1..=10_000_u32, any_process(), any_prices(), allergens, calibration, any_spare_fats());
    (blend, words, lye, rest).prop_map(|(blend, words, lye, rest)| {
        let (name, notes, style, currency) = words;
        let (superfat, alkali, water, scale_division) = lye;
        let (fat_mass, bars, process, prices, allergen_list, calibration, spare_fats) = rest;
        Design {
            name,
            notes,
            style,
            blend,
            spare_fats,
            superfat,
            alkali,
            scale_division,
            water,
            fat_mass,
            bars: Bars::new(bars).expect("in range"),
            process,
            prices,
            currency,
            allergen_list,
            calibration,
        }
    })
}

fn any_design() -> impl Strategy<Value = Design> {
    design_of(any_blend())
}

// ---- masses -------------------------------------------------------------------------------------

/// The masses of an evaluation by name.
fn masses(e: &Evaluation) -> Vec<(String, f64)> {
    let b = &e.batch;
    let mut all: Vec<(String, f64)> = [
        ("fats", b.fats),
        ("pure NaOH", b.alkali.pure_naoh),
        ("pure KOH", b.alkali.pure_koh),
        ("NaOH", b.alkali.naoh),
        ("KOH", b.alkali.koh),
        ("water in all", b.water_total),
        ("water to weigh", b.water_to_weigh),
        ("batter", b.batter),
        ("a bar", b.bar_fresh),
        ("glycerol", b.glycerol),
    ]
    .into_iter()
    .map(|(name, mass)| (name.to_owned(), mass.0))
    .collect();
    all.extend(e.fat_masses.iter().enumerate().map(|(i, m)| (format!("fat {i}"), m.0)));
    all
}

/// The ratios and scores of an evaluation by name.
fn ratios(e: &Evaluation) -> Vec<(String, Option<f64>)> {
    let c = &e.chemistry;
    let mut all: Vec<(String, Option<f64>)> = [
        ("lye concentration", e.batch.lye_concentration),
        ("superfat", Some(e.batch.superfat)),
        ("free fat", Some(e.batch.free_fat)),
        ("jug", e.jug.map(|j| j.concentration)),
        ("saponification value", c.saponification_value),
        ("saponification value, calculated", c.saponification_value_calculated),
        ("iodine value", c.iodine_value),
        ("titre", c.titre),
        ("TFM", c.tfm_fresh),
    ]
    .into_iter()
    .map(|(name, value)| (name.to_owned(), value))
    .collect();
    for estimate in Estimate::ALL {
        let result = e.estimate(estimate);
        all.push((estimate.name().to_owned(), result.map(|r| r.value)));
        all.push((format!("{} range", estimate.name()), result.and_then(|r| r.range).map(Interval::mid)));
    }
    all
}

/// Fails unless both say the same within `tolerance` of their size, or 1e-12.
#[track_caller]
fn assert_same(what: &str, a: &[(String, Option<f64>)], b: &[(String, Option<f64>)], tolerance: f64) {
    assert_eq!(a.len(), b.len(), "{what}");
    for ((name, a), (_, b)) in a.iter().zip(b) {
        match (a, b) {
            (Some(a), Some(b)) => assert_within(&format!("{what}: {name}"), *b, *a, tolerance * a.abs().max(1.0)),
            _ => assert_eq!(a, b, "{what}: {name}"),
        }
    }
}

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn what_is_weighed_adds_up_to_the_batter(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let batch = &evaluation.batch;
        let weighed = [batch.fats.0, batch.alkali.naoh.0, batch.alkali.koh.0, batch.water_to_weigh.0];
        let size: f64 = weighed.iter().map(|m| m.abs()).sum();
        assert_within("batter, g", batch.batter.0, weighed.iter().sum(), 1e-9 * size.max(1.0));
        let fats: f64 = evaluation.fat_masses.iter().map(|m| m.0).sum();
        assert_within("fats, g", batch.fats.0, fats, 1e-9 * fats.max(1.0));
        assert_within("bars, g", batch.bar_fresh.0 * f64::from(batch.bars), batch.batter.0, 1e-9 * size.max(1.0));
        // Water in all is what is poured and what the potassium hydroxide brings.
        let brought = batch.alkali.koh.0 - batch.alkali.pure_koh.0;
        assert_within("water, g", batch.water_total.0, batch.water_to_weigh.0 + brought, 1e-9 * size.max(1.0));
    }

    #[test]
    fn a_whole_blend_weighs_what_the_design_says(design in design_of(whole_blend())) {
        let evaluation = evaluate(&design, &LIBRARY);
        assert_relative("fats, g", evaluation.batch.fats.0, design.fat_mass.get(), 1e-8);
    }

    #[test]
    fn the_alkali_is_what_the_fats_take_less_the_superfat(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let alkali = &evaluation.batch.alkali;
        let need: f64 = design.blend.lines().iter().zip(&evaluation.fat_masses)
            .map(|(l, m)| m.0 * l.saponification_value() / 56_105.0).sum();
        let moles = alkali.pure_naoh.0 / 39.997 + alkali.pure_koh.0 / 56.105;
        assert_within("mol of alkali", moles, need * (1.0 - design.superfat.fraction()), 1e-9 * need.max(1e-3));
        let share = design.alkali.koh_share.get() / 100.0;
        assert_within("mol of KOH", alkali.pure_koh.0 / 56.105, moles * share, 1e-9 * need.max(1e-3));
    }

    #[test]
    fn scaling_the_batch_scales_every_mass_and_no_ratio(design in any_design(), factor in 0.01..100.0_f64) {
        let mass = design.fat_mass.get();
        let factor = factor.clamp(FatMass::MIN / mass, FatMass::MAX / mass);
        let scaled = Design { fat_mass: FatMass::nearest(mass * factor), ..design.clone() };
        let factor = scaled.fat_mass.get() / mass;
        let (one, many) = (evaluate(&design, &LIBRARY), evaluate(&scaled, &LIBRARY));
        let size = one.batch.batter.0.abs().max(one.batch.fats.0).max(1e-3);
        for ((name, one), (_, many)) in masses(&one).iter().zip(masses(&many)) {
            assert_within(&format!("{name} × {factor}"), many, one * factor, 1e-9 * size * factor);
        }
        assert_same("scaled", &ratios(&one), &ratios(&many), 1e-9);
    }

    #[test]
    fn the_three_water_rules_convert_into_each_other(
        design in design_of(whole_blend()),
        concentration in any_concentration(),
    ) {
        let c = concentration.get();
        let by_concentration = Design { water: WaterRule::LyeConcentration(concentration), ..design };
        let first = evaluate(&by_concentration, &LIBRARY);
        // Potassium hydroxide can bring more water than the rule asks for; a caution then says so.
        prop_assume!(first.batch.water_excess.0 <= 0.0);
        let water = first.batch.water_total.0;
        assert_within("lye concentration, %", first.batch.lye_concentration.expect("there is lye"), c, 1e-9 * c);
        let ratio = WaterRatio::new((100.0 - c) / c).expect("every concentration is a ratio");
        let by_ratio = evaluate(
            &Design { water: WaterRule::WaterToAlkali(ratio), ..by_concentration.clone() },
            &LIBRARY,
        );
        assert_relative("water by ratio, g", by_ratio.batch.water_total.0, water, 1e-9);
        assert_within("ratio", WaterRatio::from_concentration(c), ratio.get(), 0.0);
        // Not every ratio is a percentage of the fats that may be given.
        if let Ok(percent) = WaterPercent::new(100.0 * water / first.batch.fats.0) {
            let by_percent = evaluate(
                &Design { water: WaterRule::PercentOfFats(percent), ..by_concentration.clone() },
                &LIBRARY,
            );
            assert_relative("water by percent of fats, g", by_percent.batch.water_total.0, water, 1e-9);
            assert_same("by percent of fats", &ratios(&first), &ratios(&by_percent), 1e-9);
        }
        assert_same("by ratio", &ratios(&first), &ratios(&by_ratio), 1e-9);
    }

    #[test]
    fn ounces_and_grams_convert_there_and_back(mass in -1e9..1e9_f64) {
        for unit in [MassUnit::Gram, MassUnit::Ounce] {
            let there = unit.from_grams(Grams(mass));
            assert_relative(unit.sign(), unit.to_grams(there).0, mass, 1e-15);
            let back = unit.to_grams(mass);
            assert_relative(unit.sign(), unit.from_grams(back), mass, 1e-15);
        }
        assert_relative("16 oz in g", MassUnit::Ounce.to_grams(16.0).0, 453.592_37, 1e-15);
    }
}

// ---- evaluation ---------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(128))]

    #[test]
    fn evaluate_gives_finite_numbers_for_any_design(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        for (name, mass) in masses(&evaluation) {
            assert!(mass.is_finite(), "{name}: {mass}");
        }
        for (name, value) in ratios(&evaluation) {
            assert!(value.is_none_or(f64::is_finite), "{name}: {value:?}");
        }
        for estimate in Estimate::ALL {
            let Some(result) = evaluation.estimate(estimate) else { continue };
            let most = if estimate == Estimate::Keeping { 40.0 } else { 100.0 + 1e-9 };
            assert!((0.0..=most).contains(&result.value), "{}: {}", estimate.name(), result.value);
        }
        for caution in &evaluation.cautions {
            assert!(!caution.why.is_empty() && !caution.advice.is_empty(), "{} says nothing", caution.code);
        }
        let worst = evaluation.cautions.iter().map(|c| c.level).max();
        assert_eq!(evaluation.cautions.first().map(|c| c.level), worst, "the worst comes first");
    }

    #[test]
    fn the_report_can_be_written_for_any_design_and_nothing_in_it_is_lost(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let json = Report::new(&design, &evaluation, &LIBRARY).json().expect("a report can be written");
        let value: serde_json::Value = serde_json::from_str(&json).expect("a report is JSON");
        assert_eq!(value["name"].as_str(), Some(design.name.as_str()));
        // JSON has no not-a-number: serde would write null where a number is owed.
        for key in ["fats_g", "naoh_g", "koh_g", "water_total_g", "water_to_weigh_g", "batter_g", "bar_fresh_g", "glycerol_g"] {
            assert!(value["batch"][key].is_number(), "{key}: {}", value["batch"][key]);
        }
        assert_eq!(value["fats"].as_array().map(Vec::len), Some(design.blend.lines().len()), "a row each");
        let text = report::text(&design, &evaluation, &LIBRARY);
        assert!(text.contains("Sodium hydroxide (NaOH)") || evaluation.batch.alkali.naoh.0 <= 0.0, "{text}");
    }

    #[test]
    fn what_must_be_stopped_is_stopped(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let stop = |code: &str| evaluation.cautions.iter().any(|c| c.code == code && c.level == Level::Stop);
        if design.blend.lines().is_empty() {
            assert!(stop("no-fats"), "there is no fat");
            return Ok(());
        }
        assert_eq!(stop("lye-heavy"), design.superfat.get() <= 0.0, "superfat {}", design.superfat.get());
        assert_eq!(stop("shares-not-100"), !design.blend.is_whole(), "shares sum to {}", design.blend.total());
        // The rule of a gram of water for each gram of NaOH; less is certainly too little.
        let batch = &evaluation.batch;
        if batch.water_total.0 < batch.alkali.pure_naoh.0 {
            assert!(stop("jug-too-strong"), "{:?} g of water in the jug", batch.water_total);
        }
        assert!(batch.water_to_weigh.0 >= 0.0, "no water can be taken away: {:?}", batch.water_to_weigh);
        assert_eq!(stop("water-not-reached"), batch.water_excess.0 > 0.0, "{:?} g too much", batch.water_excess);
    }

    #[test]
    fn what_is_null_has_a_caution(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let said = |code: &str| evaluation.cautions.iter().any(|c| c.code == code);
        // Without a gram of fat nothing can be worked out, and one caution says why.
        if evaluation.batch.fats.0 <= 0.0 {
            assert!(said("no-fats") || said("shares-not-100"), "there is no fat");
            return Ok(());
        }
        assert!(evaluation.estimates.is_some() || said("estimates-unknown"), "estimates");
        assert!(evaluation.chemistry.iodine_value.is_some() || said("estimates-unknown"), "iodine value");
        assert!(evaluation.chemistry.tfm_fresh.is_some() || said("tfm-unknown"), "TFM");
        let ranges = evaluation.estimates.iter().flatten().all(|r| r.range.is_some());
        assert!(ranges || said("style-unknown"), "ranges");
        assert!(evaluation.jug.is_some() && evaluation.batch.lye_concentration.is_some(), "the lye");
    }

    #[test]
    fn the_order_of_the_fats_changes_no_number(
        (design, other) in design_of(whole_blend()).prop_flat_map(|design| {
            let lines = design.blend.lines().to_vec();
            (Just(design), Just(lines).prop_shuffle())
        })
    ) {
        let shuffled = Design { blend: Blend::new(other).expect("the same fats"), ..design.clone() };
        let (a, b) = (evaluate(&design, &LIBRARY), evaluate(&shuffled, &LIBRARY));
        assert_same("shuffled", &ratios(&a), &ratios(&b), 1e-9);
        for ((name, a), (_, b)) in masses(&a).iter().zip(masses(&b)).take(10) {
            assert_within(&format!("{name}, shuffled"), b, *a, 1e-9 * design.fat_mass.get());
        }
        let codes = |e: &Evaluation| {
            let mut codes: Vec<&str> = e.cautions.iter().map(|c| c.code).collect();
            codes.sort_unstable();
            codes
        };
        assert_eq!(codes(&a), codes(&b), "the same cautions");
    }

    #[test]
    fn what_the_fats_bring_to_a_score_sums_to_it(design in design_of(whole_blend())) {
        let evaluation = evaluate(&design, &LIBRARY);
        for estimate in Estimate::ALL {
            let Some(result) = evaluation.estimate(estimate) else { continue };
            let brought: f64 = contributions(&design.blend, estimate, &LIBRARY).into_iter().flatten().sum();
            let all = (brought + free_fat_points(estimate, &evaluation)).min(100.0);
            assert_within(estimate.name(), all, result.value, 1e-9 * 100.0);
        }
    }
}

// ---- documents ----------------------------------------------------------------------------------

fn written(design: &Design) -> String {
    document::write(design, &LIBRARY).expect("every design can be written")
}

fn read_back(text: &str) -> Design {
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("what was written is refused: {e}\n{text}"))
}

/// The design with its unused records in the order of their names, which carries no meaning.
fn with_sorted_spare_fats(mut design: Design) -> Design {
    design.spare_fats.sort_by(|a, b| a.id.cmp(&b.id));
    design
}

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn what_is_saved_is_loaded(design in any_design()) {
        let loaded = read_back(&written(&design));
        prop_assert_eq!(with_sorted_spare_fats(loaded), with_sorted_spare_fats(design));
    }

    #[test]
    fn what_is_loaded_is_saved_as_the_same_text(design in any_design()) {
        let text = written(&with_sorted_spare_fats(design));
        prop_assert_eq!(written(&read_back(&text)), text);
    }
}

#[test]
fn what_is_saved_is_loaded_in_the_same_order_after_any_edits() {
    let own = |id: &str| {
        let mut fat = Fat::clone(&LIBRARY.fats()[0]);
        fat.id = FatId::new(id).expect("a good id");
        Arc::new(fat)
    };
    let mut design = Design::default();
    for id in ["zebu_tallow", "acorn"] {
        design = Edit::AddFat(own(id), Share::nearest(10.0)).apply(&design, &LIBRARY).expect("room");
        design = Edit::RemoveFat(own(id).id.clone()).apply(&design, &LIBRARY).expect("there");
    }
    assert_eq!(read_back(&written(&design)), design, "save and load is identity");
}

#[test]
fn a_saved_design_weighs_the_same_with_another_library() {
    let changed = Tables::EMBEDDED.fats.replacen(
        "coconut,Coconut oil,triglyceride,,248,265,",
        "coconut,Coconut oil,triglyceride,,250,260,",
        1,
    );
    assert_ne!(changed, Tables::EMBEDDED.fats, "the row to change is there");
    let later = Library::parse(&Tables { fats: &changed, ..Tables::EMBEDDED }).expect("a library");
    let lines = [("coconut", 30.0), ("olive_virgin", 70.0)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let design = Design { blend: Blend::new(lines.to_vec()).expect("no fat twice"), ..Design::default() };
    let now = evaluate(&design, &LIBRARY);
    let then_design = document::read(written(&design).as_bytes(), &later).expect("read by the later program");
    let then = evaluate(&then_design, &later);
    assert_eq!(masses(&now), masses(&then), "the numbers stay");
    assert!(then.cautions.iter().any(|c| c.code == "records-differ"), "and the difference is said");
    let refreshed = Edit::RefreshRecords.apply(&then_design, &later).expect("always possible");
    assert_ne!(masses(&evaluate(&refreshed, &later)), masses(&now), "until the person asks for the new figures");
}

// ---- the blend ----------------------------------------------------------------------------------

proptest! {
    #![proptest_config(tried(256))]

    #[test]
    fn moving_a_share_keeps_the_sum_the_locks_and_the_ratios(
        blend in whole_blend(),
        which in any::<Index>(),
        to in any_share(),
    ) {
        let before = blend.clone();
        let moved = which.index(before.lines().len());
        let id = before.lines()[moved].fat.id.clone();
        let (least, most) = before.room(&id).expect("it is there");
        let mut after = before.clone();
        if after.set_share(&id, to).is_err() {
            assert!(to.get() > most || to.get() < least, "{} was refused in {least}–{most}", to.get());
            assert_eq!(after, before, "a refusal changes nothing");
            return Ok(());
        }
        assert_within("sum of the shares", after.total(), 100.0, 1e-6);
        assert_within("the share that was moved", after.lines()[moved].share.get(), to.get(), 0.0);
        let pairs: Vec<(f64, f64)> = before.lines().iter().zip(after.lines()).enumerate()
            .filter(|(i, _)| *i != moved)
            .filter_map(|(_, (b, a))| {
                assert_eq!(a.locked, b.locked, "locks stay");
                assert_eq!(a.supplier, b.supplier, "suppliers' figures stay");
                if a.locked {
                    assert_within(&format!("locked {}", a.fat.id), a.share.get(), b.share.get(), 0.0);
                    return None;
                }
                Some((b.share.get(), a.share.get()))
            })
            .collect();
        let held: f64 = pairs.iter().map(|(b, _)| b).sum();
        if held > 0.0 {
            for (b, a) in &pairs {
                let expected = b / held * pairs.iter().map(|(_, a)| a).sum::<f64>();
                assert_within("a share that gave way", *a, expected, 1e-9 * 100.0);
            }
        }
    }

    #[test]
    fn the_room_of_a_fat_is_what_can_be_set(blend in whole_blend(), which in any::<Index>()) {
        let id = blend.lines()[which.index(blend.lines().len())].fat.id.clone();
        let (least, most) = blend.room(&id).expect("it is there");
        for end in [least, most] {
            let mut moved = blend.clone();
            assert!(moved.set_share(&id, Share::nearest(end)).is_ok(), "{end} lies in the room {least}–{most}");
            assert_within("sum of the shares", moved.total(), 100.0, 1e-6);
        }
    }

    #[test]
    fn filling_up_makes_the_sum_100_or_is_refused(blend in any_blend()) {
        let mut filled = blend.clone();
        match filled.fill() {
            Ok(()) => assert_within("sum of the shares", filled.total(), 100.0, 1e-6),
            Err(error) => {
                assert_eq!(filled, blend, "a refusal changes nothing: {error}");
                let locked: f64 = blend.lines().iter().filter(|l| l.locked).map(|l| l.share.get()).sum();
                let all = blend.lines().iter().all(|l| l.locked);
                assert!(all || locked > 100.0, "{error}, although {locked} % are locked");
            }
        }
    }
}

#[test]
fn shares_too_small_to_see_still_give_way() {
    let lines = [("olive_virgin", 100.0), ("coconut", 1e-320), ("palm", 5e-324)]
        .map(|(id, share)| FatLine::new(Arc::clone(LIBRARY.fat(id).expect("in the library")), Share::nearest(share)));
    let mut blend = Blend::new(lines.to_vec()).expect("no fat twice");
    blend.set_share(&FatId::new("olive_virgin").expect("a good id"), Share::nearest(40.0)).expect("there is room");
    assert_within("sum of the shares", blend.total(), 100.0, 1e-6);
}

// ---- history ------------------------------------------------------------------------------------

/// An edit whose fat is named by its place, since which fats are there changes on the way.
#[derive(Debug, Clone)]
enum Step {
    Fixed(Edit),
    Share(Index, Share),
    Lock(Index, bool),
    Remove(Index),
}

impl Step {
    fn edit(&self, design: &Design) -> Option<Edit> {
        let lines = design.blend.lines();
        let id = |which: &Index| (!lines.is_empty()).then(|| lines[which.index(lines.len())].fat.id.clone());
        Some(match self {
            Self::Fixed(edit) => edit.clone(),
            Self::Share(which, share) => Edit::Share(id(which)?, *share),
            Self::Lock(which, locked) => Edit::Lock(id(which)?, *locked),
            Self::Remove(which) => Edit::RemoveFat(id(which)?),
        })
    }
}

fn any_step() -> impl Strategy<Value = Step> {
    let fat = (0..LIBRARY.fats().len()).prop_flat_map(|i| any_record(Arc::clone(&LIBRARY.fats()[i])));
    let fixed = prop_oneof![
        any_text().prop_map(Edit::Rename),
        any_text().prop_map(Edit::Notes),
        any_text().prop_map(Edit::Style),
        (fat, any_share()).prop_map(|(fat, share)| Edit::AddFat(fat, share)),
        Just(Edit::FillBlend),
        any_superfat().prop_map(Edit::Superfat),
        any_alkali().prop_map(Edit::Alkali),
        any_water().prop_map(Edit::Water),
        any_fat_mass().prop_map(Edit::FatMass),
        (1..=10_000_u32).prop_map(|n| Edit::Bars(Bars::new(n).expect("in range"))),
        any_division().prop_map(Edit::ScaleDivision),
        Just(Edit::RefreshRecords),
    ];
    prop_oneof![
        12 => fixed.prop_map(Step::Fixed),
        4 => (any::<Index>(), any_share()).prop_map(|(i, s)| Step::Share(i, s)),
        2 => (any::<Index>(), any::<bool>()).prop_map(|(i, l)| Step::Lock(i, l)),
        2 => any::<Index>().prop_map(Step::Remove),
    ]
}

proptest! {
    #![proptest_config(tried(40))]

    #[test]
    fn undo_takes_back_each_edit_and_redo_does_it_again(
        design in any_design(),
        steps in vec(any_step(), 1..25),
    ) {
        let mut history = History::new(design, true);
        let mut states = vec![Design::clone(history.design())];
        for step in &steps {
            let Some(edit) = step.edit(history.design()) else { continue };
            // A refused edit leaves no trace.
            let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
            history.commit(edit.name(history.design()), next.clone(), None);
            assert_eq!(**history.design(), next, "the edit is the present");
            if states.last() != Some(&next) {
                states.push(next);
            }
        }
        let last = states.len() - 1;
        assert_eq!(history.is_unsaved(), last > 0, "changed since it was saved");
        for state in states[..last].iter().rev() {
            assert!(history.undo(), "a step for each change");
            assert_eq!(**history.design(), *state, "as it was before");
        }
        assert!(!history.undo(), "and no more steps than changes");
        assert!(!history.is_unsaved(), "back at what was saved");
        for state in &states[1..] {
            assert!(history.redo(), "each step again");
            assert_eq!(**history.design(), *state, "as it was after");
        }
        assert!(!history.redo(), "and no more");
    }

    #[test]
    fn a_gesture_is_one_step_however_many_edits_it_makes(
        design in any_design(),
        gestures in vec((vec(any_step(), 1..6), any::<bool>()), 1..6),
    ) {
        let start = design.clone();
        let mut history = History::new(design, false);
        let mut between = vec![start];
        for (number, (steps, ends)) in gestures.iter().enumerate() {
            let gesture = Some(Gesture(number as u64));
            for step in steps {
                let Some(edit) = step.edit(history.design()) else { continue };
                let Ok(next) = edit.apply(history.design(), &LIBRARY) else { continue };
                history.commit(edit.name(history.design()), next, gesture);
            }
            if *ends {
                history.end_gesture();
            }
            if between.last() != Some(&**history.design()) {
                between.push(Design::clone(history.design()));
            }
        }
        for state in between[..between.len() - 1].iter().rev() {
            assert!(history.undo(), "a step for each gesture");
            assert_eq!(**history.design(), *state, "as it was before the gesture");
        }
        assert!(!history.undo(), "and no more steps than gestures");
    }
}
