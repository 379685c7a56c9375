use super::*;
use crate::design::mould::Size;
use crate::design::{OvenGel, WaterRule};
use crate::library::additions::{AdditionLine, Amount, Stage};
use crate::library::scents::ScentLine;
use crate::units::{
    AmountPerKg, AmountPercent, Celsius, Days, FatMass, Hours, LyeConcentration, Minutes, PurityMargin, ScaleDivision,
    Share, Superfat,
};
use crate::{Design, Evaluation, Library, evaluate};
use std::collections::BTreeSet;
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

/// A design of `fats`, with nothing unusual about it.
fn design(library: &Library, fats: &[(&str, f64)]) -> Design {
    let mut design = Design::default();
    for (id, share) in fats {
        let fat = library.fats().iter().find(|f| f.id.as_str() == *id).expect("a fat of the library");
        design.blend.add(Arc::clone(fat), Share::nearest(*share)).expect("it fits");
    }
    design.process.oven_gel = Some(OvenGel { oven_c: Celsius::nearest(70.0), minutes: Minutes::nearest(45.0) });
    design.size = Size::FatMass(FatMass::nearest(1000.0));
    design.water = WaterRule::LyeConcentration(LyeConcentration::nearest(33.0));
    design
}

const USUAL: [(&str, f64); 4] = [("olive_virgin", 34.0), ("coconut", 28.0), ("palm", 33.0), ("castor", 5.0)];

fn addition(library: &Library, id: &str, g_per_kg: f64, stage: Stage) -> AdditionLine {
    let found = library.additions().iter().find(|a| a.id.as_str() == id).expect("an addition");
    let amount = Amount::GramsPerKgFats(AmountPerKg::nearest(g_per_kg));
    AdditionLine { addition: Arc::clone(found), amount, counts_as_water: false, stage }
}

fn scent(library: &Library, id: &str, percent: f64) -> ScentLine {
    let found = library.scents().iter().find(|s| s.id.as_str() == id).expect("a scent");
    ScentLine { amount: Amount::PercentOfFats(AmountPercent::nearest(percent)), ..ScentLine::usual(Arc::clone(found)) }
}

/// The causes of `code` that `design` supports, with what each is told by.
fn supported(code: &str, design: &Design, library: &Library) -> Vec<(Cause, String)> {
    let evaluation: Evaluation = evaluate(design, library);
    let about = About::new(design, &evaluation, library);
    let all = of(Some(about)).named(code);
    assert_eq!(all.each.len(), 1, "{code} is one fault");
    let causes = &all.each[0].causes;
    let first_without = causes.iter().position(|c| c.support.is_none()).unwrap_or(causes.len());
    assert!(causes[first_without..].iter().all(|c| c.support.is_none()), "{code}: those that are supported come first");
    let told = |likely: &Likely| {
        let support = likely.support.as_ref()?;
        let (name, value) = support.number.told(about);
        Some((likely.cause, format!("{name} {value}; {}", support.against)))
    };
    causes.iter().filter_map(told).collect()
}

#[test]
fn every_fault_says_what_is_seen_whether_it_is_safe_why_what_now_and_what_next_time() {
    let all: Vec<&Fault> = faults().collect();
    assert!(all.len() >= 20, "{} faults", all.len());
    assert!(all.is_sorted_by_key(|fault| fault.when), "in the order of a batch");
    let codes: BTreeSet<&str> = all.iter().map(|fault| fault.code).collect();
    assert_eq!(codes.len(), all.len(), "each has a name of its own");
    for fault in all {
        let code = fault.code;
        assert!(code.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{code} is a name for scripts");
        for text in [fault.safety.text(), fault.now, fault.next_time] {
            assert!(text.ends_with('.'), "{code}: “{text}” is in sentences");
        }
        assert!(!fault.name.is_empty() && !fault.seen.ends_with('.'), "{code}: a phrase");
        for text in [fault.seen, fault.safety.text(), fault.now, fault.next_time] {
            assert!(text.len() > 10 && !text.contains("  ") && !text.contains('!'), "{code}: “{text}”");
        }
        let causes: Vec<Cause> = fault.causes.iter().map(|(cause, _)| *cause).collect();
        assert!(!causes.is_empty(), "{code} has causes");
        for (i, (cause, how)) in fault.causes.iter().enumerate() {
            assert!(!causes[..i].contains(cause), "{code}: {cause:?} once");
            assert!(how.len() > 10 && !how.ends_with('.'), "{code}: {how}");
        }
    }
}

#[test]
fn the_faults_that_makers_meet_are_there() {
    for code in [
        "soda-ash",
        "gel-ring",
        "false-trace",
        "seized",
        "riced",
        "separated",
        "pockets",
        "volcano",
        "cracks",
        "glycerine-rivers",
        "crumbly",
        "soft",
        "sticky",
        "air-holes",
        "sweating",
        "orange-spots",
        "fading",
        "drag-marks",
        "white-spots-lye",
        "white-spots-fat",
        "white-spots-stearic",
        "zap",
        "warping",
        "sticking",
    ] {
        assert!(faults().any(|fault| fault.code == code), "{code}");
    }
}

#[test]
fn what_may_hold_free_lye_is_not_for_use() {
    for code in ["pockets", "zap", "separated", "white-spots-lye"] {
        let fault = faults().find(|fault| fault.code == code).expect("a fault");
        assert!(matches!(fault.safety, Safety::DoNotUse(_)), "{code}");
    }
    // Whatever could be mistaken for it says what forbids the use.
    for code in ["crumbly", "sweating", "air-holes", "riced", "seized", "white-spots-fat", "soda-ash", "volcano"] {
        let fault = faults().find(|fault| fault.code == code).expect("a fault");
        assert!(matches!(fault.safety, Safety::SafeAfter(_)), "{code}");
        let text = fault.safety.text();
        assert!(text.contains("do not use it") || text.contains("treat them as lye"), "{code}: {text}");
        assert!(text.contains("passed its test"), "{code}: {text}");
    }
}

#[test]
fn a_design_with_a_stop_gives_no_bar_to_use_whatever_is_seen() {
    let library = library();
    let heavy = Design { superfat: Superfat::nearest(-4.0), ..design(&library, &USUAL) };
    let evaluation = evaluate(&heavy, &library);
    let troubles = of(Some(About::new(&heavy, &evaluation, &library)));
    assert!(troubles.stops.iter().any(|stop| stop.code == "lye-heavy"), "{:?}", troubles.stops);
    assert!(troubles.each.iter().all(|t| matches!(t.safety, Safety::DoNotUse(_))), "none is safe");
    let zap = supported("zap", &heavy, &library);
    assert_eq!(zap[0], (Cause::LyeHeavy, "Planned superfat −4.0 %; no alkali is held back".into()));
}

#[test]
fn an_ordinary_design_supports_little() {
    let library = library();
    let ordinary = design(&library, &USUAL);
    for fault in faults() {
        let found = supported(fault.code, &ordinary, &library);
        assert!(found.is_empty(), "{}: {found:?}", fault.code);
    }
}

#[test]
fn thin_lye_and_a_cool_room_come_first_for_soda_ash() {
    let library = library();
    let mut thin = design(&library, &USUAL);
    thin.water = WaterRule::LyeConcentration(LyeConcentration::nearest(24.0));
    thin.process.room_c = Celsius::nearest(17.0);
    thin.process.oven_gel = None;
    let found = supported("soda-ash", &thin, &library);
    let expected = [
        (Cause::ThinLye, "Lye concentration 24.0 %; under 28 % is thin"),
        (Cause::NoGel, "Oven none; no warmth is set for a gel"),
        (Cause::CoolRoom, "Room 17 °C; under 18 °C"),
    ];
    assert_eq!(found, expected.map(|(cause, text)| (cause, text.to_owned())));
    for code in ["glycerine-rivers", "warping", "soft", "furry-spots"] {
        assert_eq!(supported(code, &thin, &library)[0].0, Cause::ThinLye, "{code}");
    }
    // Water that does not count thins it too.
    let mut wet = design(&library, &USUAL);
    wet.additions.push(addition(&library, "cucumber", 150.0, Stage::IntoFats));
    let found = supported("warping", &wet, &library);
    assert_eq!(found[0].0, Cause::ThinLye);
    assert!(found[0].1.starts_with("Water that does not count "), "{found:?}");
}

#[test]
fn sugar_with_the_oven_comes_first_for_a_volcano() {
    let library = library();
    let mut sweet = design(&library, &USUAL);
    sweet.additions.push(addition(&library, "honey", 20.0, Stage::AtTrace));
    let found = supported("volcano", &sweet, &library);
    assert_eq!(found.iter().map(|f| f.0).collect::<Vec<_>>(), [Cause::SugarInOven, Cause::Sugar]);
    assert!(found[0].1.starts_with("Sugars in additions 16.4 g; with the oven at 70 °C"), "{found:?}");
    sweet.process.oven_gel = None;
    assert_eq!(supported("volcano", &sweet, &library).iter().map(|f| f.0).collect::<Vec<_>>(), [Cause::Sugar]);
    sweet.process.oven_gel = Some(OvenGel { oven_c: Celsius::nearest(95.0), minutes: Minutes::nearest(30.0) });
    let found = supported("volcano", &sweet, &library);
    assert!(found.contains(&(Cause::HotOven, "Oven 95 °C; over 77 °C".into())), "{found:?}");
}

#[test]
fn a_batter_of_much_olive_oil_is_slow_by_its_oleic_acid() {
    let library = library();
    let causes = |fats: &[(&str, f64)]| {
        supported("slow-trace", &design(&library, fats), &library).into_iter().map(|f| f.0).collect::<Vec<_>>()
    };
    assert!(causes(&[("olive_virgin", 82.0), ("coconut", 18.0)]).contains(&Cause::MuchOleic));
    assert!(!causes(&[("olive_virgin", 40.0), ("coconut", 60.0)]).contains(&Cause::MuchOleic));
}

#[test]
fn a_soft_blend_comes_first_for_a_soft_bar_and_much_superfat_not_where_it_is_meant() {
    let library = library();
    let olive = design(&library, &[("olive_virgin", 90.0), ("sunflower", 10.0)]);
    let found = supported("soft", &olive, &library);
    assert_eq!(found[0].0, Cause::SoftBlend);
    assert!(found[0].1.starts_with("Hardness ") && found[0].1.contains("below the range of "), "{found:?}");
    assert_eq!(
        supported("orange-spots", &design(&library, &[("sunflower", 100.0)]), &library)[0].0,
        Cause::QuickToTurn
    );
    let causes = |fats: &[(&str, f64)]| {
        let fat = Design { superfat: Superfat::nearest(20.0), ..design(&library, fats) };
        supported("soft", &fat, &library).into_iter().map(|f| f.0).collect::<Vec<_>>()
    };
    assert!(causes(&USUAL).contains(&Cause::HighSuperfat));
    assert!(!causes(&[("coconut", 100.0)]).contains(&Cause::HighSuperfat), "it is how such a bar is made mild");
}

#[test]
fn a_chance_of_too_much_alkali_and_a_coarse_scale_come_first_for_a_bar_that_stings() {
    let library = library();
    let mut doubtful = Design { superfat: Superfat::nearest(0.5), ..design(&library, &USUAL) };
    doubtful.alkali.naoh_purity_pm = PurityMargin::nearest(1.0);
    let found = supported("zap", &doubtful, &library);
    assert_eq!(found[0].0, Cause::LyeHeavy);
    assert!(found[0].1.starts_with("Chance that the bar is lye-heavy "), "{found:?}");
    let small = Design { size: Size::FatMass(FatMass::nearest(150.0)), ..design(&library, &USUAL) };
    let found = supported("zap", &small, &library);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].0, Cause::CoarseScale);
    assert!(found[0].1.contains("weighed in steps of 1 g"), "{found:?}");
    let fine = Design { scale_division: ScaleDivision::nearest(0.1), ..small };
    assert!(supported("zap", &fine, &library).is_empty(), "a finer scale is enough");
}

#[test]
fn fats_below_where_the_hardest_is_clear_come_first_for_a_false_trace() {
    let library = library();
    let waxy = design(&library, &[("olive_virgin", 68.0), ("coconut", 30.0), ("beeswax", 2.0)]);
    let found = supported("false-trace", &waxy, &library);
    assert_eq!(found[0].0, Cause::ColdFats);
    assert!(found[0].1.contains("Beeswax is clear from about 55 °C"), "{found:?}");
    let mut warm = waxy;
    warm.process.mix_c = Celsius::nearest(60.0);
    warm.process.fats_c = Some(Celsius::nearest(60.0));
    assert!(supported("false-trace", &warm, &library).is_empty(), "warm enough");
    assert_eq!(supported("seized", &warm, &library)[0].0, Cause::HotMix, "but it sets fast");
}

#[test]
fn scents_fillers_salt_and_times_support_their_causes() {
    let library = library();
    let mut full = design(&library, &USUAL);
    full.scents.push(scent(&library, "clove_bud", 0.4));
    full.scents.push(scent(&library, "lemon", 3.0));
    assert_eq!(supported("seized", &full, &library)[0].0, Cause::FastScents);
    assert!(supported("riced", &full, &library).iter().any(|f| f.0 == Cause::MuchScent));
    assert_eq!(supported("fading", &full, &library)[0].0, Cause::FleetingScents);
    assert_eq!(supported("darkening", &full, &library)[0].0, Cause::BrowningScents);
    full.additions.push(addition(&library, "kaolin", 60.0, Stage::AtTrace));
    full.additions.push(addition(&library, "salt", 500.0, Stage::AtTrace));
    full.additions.push(addition(&library, "calendula_petals", 2.0, Stage::OnTop));
    let crumbly: Vec<Cause> = supported("crumbly", &full, &library).into_iter().map(|f| f.0).collect();
    assert_eq!(crumbly, [Cause::MuchSalt, Cause::MuchFiller]);
    assert_eq!(supported("drag-marks", &full, &library)[0].0, Cause::CoarseFiller);
    assert_eq!(supported("furry-spots", &full, &library)[0].0, Cause::FreshFood);
    let mut hasty = design(&library, &USUAL);
    hasty.process.cut_hours = Hours::nearest(12.0);
    hasty.process.cure_days = Days::nearest(7.0);
    hasty.alkali.koh_share = Share::nearest(20.0);
    let soft: Vec<Cause> = supported("soft", &hasty, &library).into_iter().map(|f| f.0).collect();
    assert_eq!(soft, [Cause::Potash, Cause::CutEarly, Cause::ShortCure]);
    let mut milky = design(&library, &USUAL);
    milky.additions.push(addition(&library, "goat_milk", 100.0, Stage::IntoJug));
    let browned: Vec<Cause> = supported("browned-lye", &milky, &library).into_iter().map(|f| f.0).collect();
    assert_eq!(browned, [Cause::FoodInJug, Cause::HotJug]);
}

#[test]
fn tables_of_causes_name_materials_of_the_library() {
    let library = library();
    for id in support::scents_named() {
        assert!(library.scents().iter().any(|scent| scent.id.as_str() == id), "{id}");
    }
    for id in support::additions_named() {
        assert!(library.additions().iter().any(|addition| addition.id.as_str() == id), "{id}");
    }
}

#[test]
fn a_fault_is_found_by_what_is_seen() {
    let found = |text: &str| of(None).named(text).each.iter().map(|t| t.fault.code).collect::<Vec<_>>();
    assert_eq!(found("soda-ash"), ["soda-ash"]);
    assert_eq!(found("WHITE film"), ["soda-ash"]);
    assert_eq!(found("rice"), ["riced"]);
    assert_eq!(found("orange spots"), ["orange-spots"]);
    assert!(found("white").len() >= 4, "{:?}", found("white"));
    assert!(found("no such thing").is_empty());
    assert_eq!(found("").len(), faults().count());
}
