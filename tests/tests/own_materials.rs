//! A fat, a colourant, a fragrance oil and an addition of one's own: checked, counted, told and kept.
//!
//! Source: stoichiometry (AOCS Cd 3a-94) by a pocket calculator; the promises of the project's own documents.

#[path = "../src/designs/mod.rs"]
mod designs;

use barwright_acceptance::{assert_within, judged};
use barwright_core::Design;
use barwright_core::bench::label::{Ingredients, Label, ListStyle, NameStatus, Region, checklist};
use barwright_core::bench::method;
use barwright_core::cautions::Level;
use barwright_core::design::document;
use barwright_core::design::edit::Edit;
use barwright_core::design::history::History;
use barwright_core::design::own::acids::Pasted;
use barwright_core::design::own::fat::OwnFatError;
use barwright_core::design::own::scent::OwnScentError;
use barwright_core::design::own::{self, OwnColourant, OwnFat, OwnScent, allergens};
use barwright_core::evaluate;
use barwright_core::library::additions::{Addition, AdditionLine, Amount, ColourantClass};
use barwright_core::library::fats::{Fat, FatKind};
use barwright_core::library::possible::SvRanges;
use barwright_core::library::scents::{Behaviour, Scent, ScentLine, Supplied};
use barwright_core::library::shade::Shade;
use barwright_core::units::{AmountPerKg, AmountPercent, Celsius, Interval, Share, SolidsDensity};
use designs::{LIBRARY, id, read_back, written};
use std::sync::Arc;

/// The acids of an olive oil, as a certificate lists them.
const OLIVE_LIKE: &str =
    "Oleic acid C18:1\t72\nPalmitic acid C16:0\t13\nLinoleic acid C18:2\t11\nStearic C18:0\t4\nTotal\t100";

fn own_fat(sv: &str, acids: &str) -> OwnFat {
    OwnFat {
        name: "Orchard press".into(),
        kind: FatKind::Triglyceride,
        sv: own::figure(sv, &[]).expect("a figure"),
        acids: Pasted::read(acids, &LIBRARY.acids).acids().expect("acids"),
        acids_source: "the certificate, as typed".into(),
        iv: Interval::new(84.0, 84.0).ok(),
        unsaponifiable: Interval::new(5.0, 15.0).ok(),
        inci: "Prunus Domestica Seed Oil".into(),
    }
}

fn record(own: &OwnFat) -> Result<Fat, OwnFatError> {
    own.record(id("own_orchard_press"), None, &LIBRARY.acids)
}

fn applied(design: &Design, edit: &Edit) -> Design {
    edit.apply(design, &LIBRARY).unwrap_or_else(|e| panic!("{edit:?} is refused: {e}"))
}

fn soap_of(fat: Fat) -> Design {
    applied(&Design::default(), &Edit::AddFat(Arc::new(fat), Share::nearest(100.0)))
}

fn fragrance(supplied: Supplied) -> Scent {
    let own = OwnScent { name: "Orchard blossom".into(), supplied, ..OwnScent::default() };
    own.record(id("own_orchard_blossom"), None, &LIBRARY).expect("a scent")
}

fn scented(scent: Scent, percent: f64) -> Design {
    let line = ScentLine::usual(Arc::new(scent));
    let line = ScentLine { amount: Amount::PercentOfFats(AmountPercent::nearest(percent)), ..line };
    applied(&soap_of(record(&own_fat("188–196", OLIVE_LIKE)).expect("a fat")), &Edit::AddScent(line))
}

fn codes(design: &Design) -> Vec<&'static str> {
    judged(design, &LIBRARY).cautions.iter().map(|c| c.code).collect()
}

#[test]
fn an_own_fats_lye_is_what_a_pocket_calculator_gives_from_its_acids() {
    // Each figure counts ±1 %. The heaviest acids that then sum to 100 are 73 oleic, 12 palmitic, 10 linoleic, 5 stearic:
    // mean molar mass 100 ÷ (73/282.468 + 12/256.430 + 10/280.452 + 5/284.484) = 278.967 g/mol, so
    // 3 × 56 105 ÷ (3 × 278.967 + 38.049) = 192.371 mg KOH/g; the lightest, 71, 14, 12, 3, give 192.792. Less 1.5 % and
    // 0.5 % of unsaponifiable matter, and 0.3 % either way for free acid and water.
    let fat = record(&own_fat("188–196", OLIVE_LIKE)).expect("a fat");
    let possible = fat.possible_sv().expect("its acids are known");
    assert_within("the least that it can have", possible.min(), 192.371 * 0.985 * 0.997, 0.01);
    assert_within("the most that it can have", possible.max(), 192.792 * 0.995 * 1.003, 0.01);
    let used = SvRanges::of(&fat).used;
    assert!(possible.contains(used.mid()) && used.max() <= possible.max() + 1e-9, "{used:?} within {possible:?}");
    // ±1 % at the least, downwards where it would pass the top: 192.403 less 1.907 is 190.50.
    assert_within("what the lye rests on", used.mid(), 190.50, 0.02);
    // 500 g × 190.50 mg/g ÷ 56.105 g/mol × 39.997 g/mol × 0.95 ÷ 0.99 = 65.16 g.
    let lye = evaluate(&soap_of(fat), &LIBRARY).masses.alkali.weighed();
    assert_within("sodium hydroxide to weigh", lye.0, 65.16, 0.01);
}

#[test]
fn without_acids_the_stated_range_counts_and_the_estimates_say_what_is_missing() {
    let fat = record(&own_fat("186 ± 3", "")).expect("a fat");
    assert_eq!(fat.lye(), Interval::new(183.0, 189.0).expect("a range"));
    let design = soap_of(fat);
    let judged = judged(&design, &LIBRARY);
    assert!(judged.estimates.is_none(), "nothing is known of its acids");
    assert!(judged.cautions.iter().any(|c| c.code == "estimates-unknown"), "{:?}", judged.cautions);
    let single = record(&own_fat("190", "")).expect("a fat");
    assert_eq!(single.lye(), Interval::new(187.15, 192.85).expect("a range"), "a single figure counts ±1.5 %");
}

#[test]
fn hostile_certificates_are_refused_with_what_is_wrong() {
    // 206 is 7 % above the acids above; of an oil whose acids give 190 it is 8.4 %, a misprint.
    let olive = LIBRARY.fat("olive_virgin").expect("tabled");
    let typical = own::acids::written(olive.profile().iter().map(|e| (e.acid, e.range, e.typical)), &LIBRARY.acids);
    let of_olive = |sv: &str| {
        let unsaponifiable = Interval::new(10.0, 15.0).ok();
        record(&OwnFat { unsaponifiable, ..own_fat(sv, &typical) })
    };
    let error = of_olive("206").expect_err("a misprint");
    assert!(matches!(error, OwnFatError::Misprint { .. }), "{error}");
    assert!(error.to_string().contains("read the certificate again"), "{error}");
    let near = of_olive("203").expect("doubtful, but no misprint");
    assert!(near.lye().max() < 200.0, "never the high end: {:?}", near.lye());
    assert!(codes(&soap_of(near)).contains(&"sv-disagrees"), "and it is told");

    let too_much = "C18:1 90\nC16:0 40";
    let error = record(&own_fat("190", too_much)).expect_err("130 %");
    assert!(error.to_string().contains("sum to 130 %"), "{error}");
    for name in ["Press\u{202e}lio", "Press\u{0}", "Press\n\u{1b}[2J", "\u{2066}Press"] {
        let error = record(&OwnFat { name: name.into(), ..own_fat("190", "") }).expect_err("a hostile name");
        assert!(matches!(error, OwnFatError::Name(own::NameError::Unseen(_))), "{error}");
        let inci = OwnFat { inci: name.into(), ..own_fat("190", "") };
        assert!(matches!(record(&inci), Err(OwnFatError::Inci(_))), "nor on a label");
    }
    assert!(matches!(record(&own_fat("0.136", "")), Err(OwnFatError::Sv(_))), "no mg KOH/g");
    assert!(matches!(record(&own_fat("190–800", "")), Err(OwnFatError::Sv(_))), "no fat");
    let wax = OwnFat { kind: FatKind::Wax, ..own_fat("95", OLIVE_LIKE) };
    assert_eq!(record(&wax), Err(OwnFatError::Wax));
}

#[test]
fn a_suppliers_limit_on_a_fragrance_stops_the_batch_and_the_remedy_passes() {
    let limited = fragrance(Supplied { limit: Share::new(0.8).ok(), ..Supplied::default() });
    let usual = ScentLine::usual(Arc::new(limited.clone()));
    assert!(usual.amount.number() <= 0.8, "it begins within its limit: {:?}", usual.amount);
    assert!(!codes(&scented(limited.clone(), 0.8)).contains(&"scent-limit"), "0.8 % of the fats are less of the bar");
    let design = scented(limited, 2.0);
    let judged = judged(&design, &LIBRARY);
    let caution = judged.cautions.iter().find(|c| c.code == "scent-limit").expect("2 % is over 0.8 %");
    assert!(caution.level == Level::Stop && caution.why.contains("limit 0.8"), "{caution:?}");
    let remedy = caution.remedy.as_ref().expect("mechanical");
    assert!(!codes(&applied(&design, &remedy.edit)).contains(&"scent-limit"), "{}", remedy.label);
    assert!(!codes(&design).contains(&"scent-no-limit"), "a limit is held");
}

#[test]
fn what_a_supplier_says_of_a_fragrance_is_told_and_shapes_the_method() {
    let steps = |design: &Design| {
        let evaluation = evaluate(design, &LIBRARY);
        let parts = method::of(design, &evaluation, &LIBRARY, &method::Options::default());
        parts.iter().flat_map(|part| &part.steps).map(|step| step.text.clone()).collect::<Vec<_>>().join("\n")
    };
    let of = |supplied: Supplied| scented(fragrance(supplied), 2.0);
    let vanilla = of(Supplied { vanillin: Share::new(8.0).ok(), ..Supplied::default() });
    assert!(codes(&vanilla).contains(&"scent-vanillin"));
    assert!(steps(&vanilla).contains("it browns in time"), "{}", steps(&vanilla));
    let fast = of(Supplied { behaviour: Some(Behaviour::Thickens), ..Supplied::default() });
    assert!(codes(&fast).contains(&"scent-thickens"));
    assert!(steps(&fast).contains("it can thicken at once"), "{}", steps(&fast));
    let grains = of(Supplied { behaviour: Some(Behaviour::Rices), ..Supplied::default() });
    assert!(codes(&grains).contains(&"scent-rices") && steps(&grains).contains("grains"), "{}", steps(&grains));
    let low = of(Supplied { flash: Celsius::new(35.0).ok(), ..Supplied::default() });
    assert!(codes(&low).contains(&"scent-flash"), "mixed at 38 °C");
    let calm = of(Supplied { behaviour: Some(Behaviour::Calm), ..Supplied::default() });
    assert!(!codes(&calm).iter().any(|c| ["scent-thickens", "scent-rices", "scent-flash"].contains(c)));
}

#[test]
fn allergens_that_a_supplier_lists_are_on_the_label_with_and_without_amounts() {
    let pasted = allergens::Pasted::read("Linalool 12 %\nCoumarin\nGeraniol 0.001 %", &LIBRARY.allergens);
    let (constituents, listed) = pasted.lists().expect("all known");
    let supplied = Supplied { allergens: listed, ..Supplied::default() };
    let own = OwnScent { name: "Orchard blossom".into(), constituents, supplied, inci: String::new() };
    let design = scented(own.record(id("own_orchard_blossom"), None, &LIBRARY).expect("a scent"), 2.0);
    let evaluation = evaluate(&design, &LIBRARY);
    let label = Label::of(&design, &evaluation, &LIBRARY).expect("no Stop");
    let text = label.text(ListStyle::AsPutIn, Region::EuUk);
    assert!(text.contains("Linalool") && text.contains("Coumarin"), "{text}");
    assert!(!text.contains("Geraniol"), "too little to name: {text}");
    assert!(label.allergens.unknown.is_empty(), "its supplier was asked");
}

#[test]
fn allergens_that_nobody_spoke_of_are_unknown_and_none_is_the_suppliers_word() {
    // Benzyl acetate is no allergen of the list.
    let of = |pasted: &str, lists_none: bool| {
        let (constituents, allergens) = allergens::Pasted::read(pasted, &LIBRARY.allergens).lists().expect("all known");
        let supplied = Supplied { allergens, lists_none, ..Supplied::default() };
        OwnScent { name: "Orchard dusk".into(), constituents, supplied, inci: "Fernhollow Dusk".into() }
    };
    for pasted in ["", "benzyl acetate; 140-11-4; 8"] {
        for lists_none in [false, true] {
            let scent = of(pasted, lists_none).record(id("own_orchard_dusk"), None, &LIBRARY).expect("a scent");
            assert_eq!((scent.inci.as_str(), scent.inci_status.as_str()), ("Fernhollow Dusk", own::AS_GIVEN));
            let design = scented(scent, 2.0);
            let text = document::write(&design, &LIBRARY).expect("written");
            assert_eq!(text.contains("lists_no_allergens: true"), lists_none, "what was not said is not written");
            let design = document::read(text.as_bytes(), &LIBRARY).expect("readable");
            let evaluation = evaluate(&design, &LIBRARY);
            let label = Label::of(&design, &evaluation, &LIBRARY).expect("no Stop");
            let check = (label.allergens.unknown.len(), label.allergens.said_none.len());
            assert_eq!(check, if lists_none { (0, 1) } else { (1, 0) }, "{pasted}: {:?}", label.allergens);
            let cure = evaluation.cure.as_ref().expect("fats");
            let points = checklist(Region::EuUk, &design, &label, cure);
            let says = |words: &str| points.iter().any(|p| p.text.contains("Orchard dusk") && p.text.contains(words));
            assert_eq!(says("by its supplier’s word alone"), lists_none, "{points:?}");
            assert_eq!(says("not known here"), !lists_none, "{points:?}");
        }
    }
    for named in ["Linalool 12 %", "Coumarin"] {
        let error = of(named, true).record(id("own_orchard_dusk"), None, &LIBRARY).expect_err("one thing or the other");
        assert!(matches!(error, OwnScentError::Allergen(_)), "{error}");
    }
}

fn iron_oxide() -> OwnColourant {
    OwnColourant {
        name: "Brick red".into(),
        class: ColourantClass::Oxide,
        inci: "ci 77491".into(),
        usual: AmountPerKg::nearest(3.0),
        most: AmountPerKg::nearest(10.0),
        shade: Shade::read("#b4523a").ok(),
    }
}

#[test]
fn an_own_colourant_stands_last_on_the_label_and_too_much_of_it_is_told() {
    let record = Arc::new(iron_oxide().record(id("own_brick_red")).expect("a colourant"));
    let line = AdditionLine::usual(Arc::clone(&record));
    assert!(line.amount.number() <= 3.0, "no more than is usual: {:?}", line.amount);
    let with = |line: &AdditionLine| {
        applied(&soap_of(self::record(&own_fat("190", "")).expect("a fat")), &Edit::AddAddition(line.clone()))
    };
    let design = with(&line);
    assert!(!codes(&design).contains(&"over-most"));
    let evaluation = evaluate(&design, &LIBRARY);
    let label = Label::of(&design, &evaluation, &LIBRARY).expect("no Stop");
    assert!(label.text(ListStyle::AsPutIn, Region::EuUk).ends_with("CI 77491"));
    let much = AdditionLine { amount: Amount::GramsPerKgFats(AmountPerKg::nearest(12.0)), ..line };
    assert!(codes(&with(&much)).contains(&"over-most"));
    let reversed = OwnColourant { usual: AmountPerKg::nearest(20.0), ..iron_oxide() };
    let error = reversed.record(id("own_brick_red")).expect_err("more than the most").to_string();
    assert!(error.contains("rise"), "{error}");
}

/// A design with one of each kind.
fn all_four() -> Design {
    let pasted = allergens::Pasted::read("Linalool 12 %\nCoumarin", &LIBRARY.allergens);
    let (constituents, listed) = pasted.lists().expect("all known");
    let supplied = Supplied {
        limit: Share::new(1.5).ok(),
        vanillin: Share::new(8.0).ok(),
        flash: Celsius::new(61.5).ok(),
        behaviour: Some(Behaviour::Rices),
        allergens: listed,
        lists_none: false,
    };
    let own = OwnScent { name: "Orchard blossom".into(), constituents, supplied, inci: String::new() };
    let scent = own.record(id("own_orchard_blossom"), None, &LIBRARY).expect("a scent");
    let puree = LIBRARY.addition("apple_puree").expect("tabled");
    let addition = Addition {
        id: id("own_medlar_pulp"),
        name: "Medlar pulp".into(),
        inci: "Mespilus Germanica Fruit".into(),
        inci_status: own::AS_GIVEN.into(),
        solids_density: SolidsDensity::nearest(1.42),
        ..Addition::clone(puree)
    };
    let colourant = iron_oxide().record(id("own_brick_red")).expect("a colourant");
    let edits = [
        Edit::AddAddition(AdditionLine::usual(Arc::new(addition))),
        Edit::AddAddition(AdditionLine::usual(Arc::new(colourant))),
        Edit::AddScent(ScentLine::usual(Arc::new(scent))),
    ];
    let fat = record(&own_fat("188–196", OLIVE_LIKE)).expect("a fat");
    edits.iter().fold(soap_of(fat), |design, edit| applied(&design, edit))
}

#[test]
fn a_file_with_all_four_kinds_reopens_to_the_same_numbers() {
    let design = all_four();
    let text = written(&design);
    let back = read_back(&text);
    assert_eq!(back, design);
    assert_eq!(judged(&back, &LIBRARY), judged(&design, &LIBRARY));
    assert_eq!(written(&back), text, "and is written the same");
    let named = Ingredients::of(&back, &evaluate(&back, &LIBRARY), &LIBRARY).expect("fats");
    let inci = named.ingredients(ListStyle::AsPutIn).iter().find(|i| i.name == "Prunus Domestica Seed Oil");
    assert_eq!(inci.map(|i| i.status), Some(NameStatus::Unconfirmed), "the maker's names are to be confirmed");
    // Taken out, they are kept.
    let without = [Edit::RemoveScent(0), Edit::RemoveAddition(1), Edit::RemoveAddition(0)]
        .iter()
        .fold(design, |design, edit| applied(&design, edit));
    assert_eq!(read_back(&written(&without)), without);
    assert_eq!((without.spare.additions.len(), without.spare.scents.len()), (2, 1));
}

#[test]
fn figures_of_an_own_fat_are_changed_in_one_step_and_undone() {
    let design = soap_of(record(&own_fat("188–196", OLIVE_LIKE)).expect("a fat"));
    let mut history = History::new(design.clone(), true);
    let changed = Arc::new(record(&own_fat("186–190", "")).expect("a fat"));
    let edit = Edit::DefineFat(Arc::clone(&changed));
    assert_eq!(edit.name(&design), "figures of Orchard press");
    history.commit(edit.name(&design), applied(&design, &edit), None);
    assert_eq!(*history.design().blend.lines()[0].fat, *changed);
    assert_eq!(history.design().blend.lines()[0].share, design.blend.lines()[0].share, "the share stays");
    assert!(history.undo(), "one step");
    assert_eq!(**history.design(), design);
    let spare = applied(&Design::default(), &edit);
    assert_eq!(spare.spare.fats, [changed], "kept where it is not in the blend");
}

#[test]
fn records_in_a_file_that_contradict_themselves_are_refused_in_their_place() {
    let text = written(&all_four());
    for (from, to, told) in [
        ("most: Some(10.0)", "most: Some(1.0)", "rise"),
        ("colour: Some(\"#b4523a\")", "colour: Some(\"brick\")", "no colour"),
        ("limit_pct: Some(1.5)", "limit_pct: Some(150)", "between 0 and 100"),
        ("flash_point_c: Some(61.5)", "flash_point_c: Some(1e9)", "temperature"),
        ("behaviour: Some(Rices)", "behaviour: Some(Explodes)", "Explodes"),
    ] {
        let spoilt = text.replacen(from, to, 1);
        assert_ne!(spoilt, text, "{from} is in the file");
        let error = barwright_core::design::document::read(spoilt.as_bytes(), &LIBRARY).expect_err(to).to_string();
        assert!(error.contains(told) && error.contains("line"), "{to}: {error}");
    }
}
