//! Which saponification values the fats can have, against `peers/by_hand.py`, which works them out from the tables with
//! code of its own; and that designs from before keep what they were saved with until their maker takes the offer.

use barwright_acceptance::judged;
use barwright_core::cautions::Level;
use barwright_core::design::edit::Edit;
use barwright_core::design::{Design, document};
use barwright_core::library::possible::SvRanges;
use barwright_core::units::Interval;
use barwright_core::{Library, evaluate};
use serde::Deserialize;
use std::sync::LazyLock;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets parse"));

#[derive(Deserialize)]
struct Row {
    fat: String,
    published_min: f64,
    published_max: f64,
    possible_min: Option<f64>,
    possible_max: Option<f64>,
    used_min: f64,
    used_max: f64,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../data/possible-sv.csv");
    csv::Reader::from_reader(text.as_bytes()).into_deserialize().map(|row| row.expect("a row")).collect()
}

fn read(text: &str) -> Design {
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn every_fat_has_the_ranges_that_other_code_works_out() {
    /// Half of the last decimal in the list.
    const ROUNDED: f64 = 5.1e-5;
    let rows = rows();
    assert_eq!(rows.len(), LIBRARY.fats().len(), "all fats");
    for (row, fat) in rows.iter().zip(LIBRARY.fats()) {
        assert_eq!(row.fat, fat.id.as_str(), "in the order of the table");
        let SvRanges { published, possible, used } = SvRanges::of(fat);
        let near = |range: Interval, (min, max): (f64, f64)| {
            (range.min() - min).abs() <= ROUNDED && (range.max() - max).abs() <= ROUNDED
        };
        assert!(near(published, (row.published_min, row.published_max)), "{}: published {published:?}", row.fat);
        assert!(near(used, (row.used_min, row.used_max)), "{}: used {used:?}", row.fat);
        let by_hand = row.possible_min.zip(row.possible_max);
        let agrees = match (possible, by_hand) {
            (Some(possible), Some(by_hand)) => near(possible, by_hand),
            (possible, by_hand) => possible.is_none() && by_hand.is_none(),
        };
        assert!(agrees, "{}: possible {possible:?}, by hand {by_hand:?}", row.fat);
    }
}

#[test]
fn what_is_used_lies_in_what_is_possible_or_reaches_below_it() {
    for fat in LIBRARY.fats() {
        let SvRanges { published, possible, used } = SvRanges::of(fat);
        let Some(possible) = possible else { continue };
        // Where nothing that is published is possible, the low end of it may lie above.
        let most = possible.max().max(published.min());
        assert!(used.max() <= most + 1e-9, "{}: {used:?} of {possible:?}", fat.id);
        assert!(used.mid() <= published.max(), "{}: {used:?} of {published:?}", fat.id);
    }
    for id in ["almond", "hemp", "apricot_kernel"] {
        let fat = LIBRARY.fat(id).expect("in the library");
        assert!(fat.possible_sv().expect("a profile").contains(fat.lye().mid()), "the middle of {id} is possible");
    }
}

/// A design that says nothing of what its lye rests on, as all did before there was a choice.
const BEFORE: &str = r#"(barwright: 1, superfat: 5, size: FatMass(1000), fats: [(fat: "almond", share: 70), (fat: "coconut", share: 30)])"#;

#[test]
fn a_file_from_before_rests_on_the_published_middle_until_the_offer_is_taken() {
    let before = read(BEFORE);
    // Of 700 g with the middle of 190 to 200 and 300 g with that of 248 to 265 (the ranges of the tables), at 99 %.
    let naoh = |almond: f64, coconut: f64| (0.7 * almond + 0.3 * coconut) * 0.95 * 39.997 / 56.105 / 0.99;
    let report = judged(&before, &LIBRARY);
    assert!((report.masses.alkali.naoh.0 - naoh(195.0, 256.5)).abs() < 1e-9, "{:?}", report.masses.alkali);
    let offer = report.cautions.iter().find(|c| c.code == "sv-narrower").expect("the offer");
    assert_eq!(offer.level, Level::Note);
    let after = naoh(190.965, 255.675);
    for said in [format!("{after:.1} g"), format!("{:.1} g", naoh(195.0, 256.5))] {
        assert!(offer.why.contains(&said), "{said} in {}", offer.why);
    }
    let remedy = offer.remedy.as_ref().expect("one click");
    let taken = remedy.edit.apply(&before, &LIBRARY).expect("always possible");
    let report = judged(&taken, &LIBRARY);
    assert!((report.masses.alkali.naoh.0 - after).abs() < 0.01, "{:?}, not {after}", report.masses.alkali);
    assert!(!report.cautions.iter().any(|c| c.code == "sv-narrower"), "offered once");
    assert_eq!(
        taken,
        read(&BEFORE.replace("superfat: 5", "superfat: 5, lye_rests_on: Possible")),
        "nothing else moves"
    );
}

#[test]
fn what_the_lye_rests_on_is_saved_and_read_again() {
    let before = read(BEFORE);
    let taken = Edit::NarrowLye.apply(&before, &LIBRARY).expect("always possible");
    for design in [before, taken] {
        let text = document::write(&design, &LIBRARY).expect("written");
        assert!(text.contains("sv_used_min"), "{text}");
        let again = read(&text);
        assert_eq!(again, design);
        assert_eq!(evaluate(&again, &LIBRARY), evaluate(&design, &LIBRARY), "the same numbers");
    }
}

#[test]
fn half_of_what_the_lye_rests_on_is_refused() {
    let record = |used: &str| {
        format!(
            r#"(barwright: 1, fats: [(fat: "pressing", share: 100)], materials: [Fat((id: "pressing", name: "Pressing",
            kind: Triglyceride, sv: (min: 185, max: 195, source: "typed", trust: Maker){used}))])"#
        )
    };
    assert!(document::read(record("").as_bytes(), &LIBRARY).is_ok());
    assert!(document::read(record(", sv_used_min: Some(188), sv_used_max: Some(192)").as_bytes(), &LIBRARY).is_ok());
    for bad in [", sv_used_min: Some(188)", ", sv_used_min: Some(192), sv_used_max: Some(188)"] {
        let error = document::read(record(bad).as_bytes(), &LIBRARY).expect_err("refused").to_string();
        assert!(error.contains("pressing"), "{error}");
    }
}

#[test]
fn a_file_cannot_rest_the_lye_on_more_than_the_fat_takes() {
    let taken = Edit::NarrowLye.apply(&read(BEFORE), &LIBRARY).expect("always possible");
    let text = document::write(&taken, &LIBRARY).expect("written");
    let almond = LIBRARY.fat("almond").expect("in the library").lye();
    let pair = |min: f64, max: f64| format!("sv_used_min: Some({min:?}),\n            sv_used_max: Some({max:?})");
    let hostile = text.replace(&pair(almond.min(), almond.max()), &pair(199.0, 201.0));
    assert_ne!(hostile, text, "the line to change is there: {text}");
    let report = judged(&read(&hostile), &LIBRARY);
    let stops: Vec<&str> = report.cautions.iter().filter(|c| c.blocks()).map(|c| c.code).collect();
    assert!(stops.contains(&"sv-too-high"), "{stops:?}");
}

#[test]
fn a_certificate_is_asked_for_where_published_and_composition_disagree_beyond_rounding() {
    let of = |fat: &str, supplier: &str| {
        read(&format!(r#"(barwright: 1, lye_rests_on: Possible, fats: [(fat: "{fat}", share: 100{supplier})])"#))
    };
    let asks = |design: &Design| judged(design, &LIBRARY).cautions.iter().any(|c| c.code == "sv-disagrees");
    assert!(asks(&of("mahua", "")), "192.1 to 192.8 is published, and the acids allow 194.6 at the least");
    assert!(!asks(&of("mahua", ", supplier: Some((sv: 194, pm: 1))")), "with one nothing is asked for");
    // 190 to 193 is published and 189.9 allowed, which whole numbers do not tell apart.
    assert!(!asks(&of("hemp", "")), "as good as they agree");
}

/// What the design's own figures say already is not said a second time of figures of one's own.
#[test]
fn one_stop_says_that_a_bar_is_lye_heavy() {
    let stops = |superfat: f64, more: &str, sv: &str| {
        let text = format!(
            r#"(barwright: 1, lye_rests_on: Possible, superfat: {superfat}, size: FatMass(1000), additions: [{more}],
                fats: [(fat: "pressing", share: 70), (fat: "coconut", share: 30)],
                materials: [Fat((id: "pressing", name: "Pressing", kind: Triglyceride,
                    sv: (min: {sv}, source: "typed", trust: Maker)))])"#
        );
        let cautions = judged(&read(&text), &LIBRARY).cautions;
        cautions.iter().filter(|c| c.blocks() && c.code.contains("lye-heavy")).map(|c| c.code).collect::<Vec<_>>()
    };
    let stearic = r#"(addition: "stearic_acid", amount: Grams(60), stage: IntoFats)"#;
    for more in ["", stearic] {
        assert_eq!(stops(-2.0, more, "186, max: 194"), ["lye-heavy"], "{more}");
        assert_eq!(stops(0.0, more, "186, max: 194"), ["lye-heavy"], "{more}");
        assert_eq!(stops(0.5, more, "186, max: 194"), ["lye-heavy-chance"], "{more}");
        // An acid that counts as a fat is in the need by the library too.
        assert!(stops(5.0, more, "186, max: 194").is_empty(), "{more}");
    }
}
