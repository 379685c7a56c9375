use super::*;
use crate::design::blend::{Blend, FatLine};
use crate::design::edit::Edit;
use crate::design::{Price, WaterRule};
use crate::evaluate;
use crate::library::Library;
use crate::library::additions::{AdditionLine, Stage};
use crate::library::material::MaterialId;
use crate::quantity::COARSE;
use crate::render::report;
use crate::units::{Money, PackMass, Share, Superfat, WaterPercent};
use serde_json::Value;
use std::sync::Arc;

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

fn id(text: &str) -> MaterialId {
    MaterialId::new(text).expect("a good id")
}

fn design(parts: &[(&str, f64)], library: &Library) -> Design {
    let line = |&(fat, share): &(&str, f64)| {
        FatLine::new(Arc::clone(library.fat(fat).expect("tabled")), Share::new(share).expect("a share"))
    };
    Design { blend: Blend::new(parts.iter().map(line).collect()).expect("no fat twice"), ..Design::default() }
}

fn compared<T>(designs: &[&Design], library: &Library, look: impl FnOnce(&[Side<'_>]) -> T) -> T {
    let evaluations: Vec<_> = designs.iter().map(|d| evaluate(d, library)).collect();
    let sides: Vec<_> =
        designs.iter().zip(&evaluations).map(|(design, evaluation)| Side { design, evaluation }).collect();
    look(&sides)
}

fn rows(designs: &[&Design], library: &Library) -> Vec<Row> {
    compared(designs, library, |sides| {
        compare(sides, Measures::METRIC, library).into_iter().flat_map(|group| group.rows).collect()
    })
}

fn row(rows: &[Row], key: &str) -> Row {
    rows.iter().find(|r| r.key == key).unwrap_or_else(|| panic!("no row {key}")).clone()
}

/// Two unlike designs with additions at two stages, a scent and prices.
fn pair(library: &Library) -> [Design; 2] {
    let puree = Arc::clone(library.addition("apple_puree").expect("tabled"));
    let line = AdditionLine::usual(puree);
    let scent = crate::library::scents::ScentLine::usual(Arc::clone(&library.scents()[0]));
    let price = |material: &str| Price {
        material: material.into(),
        pack_g: PackMass::new(1000.0).expect("a pack"),
        price: Money::new(8.0).expect("a price"),
    };
    let mut a = design(&[("olive_virgin", 44.0), ("coconut", 26.0), ("cocoa_butter", 30.0)], library);
    a.additions = vec![
        AdditionLine { stage: Stage::IntoFats, ..line.clone() },
        AdditionLine { stage: Stage::IntoJug, ..line.clone() },
        AdditionLine { stage: Stage::IntoFats, ..line.clone() },
    ];
    let mut b = design(&[("coconut", 20.0), ("lard", 80.0)], library);
    b.additions = vec![AdditionLine { stage: Stage::AtTrace, ..line }];
    b.scents = vec![scent.clone()];
    for design in [&mut a, &mut b] {
        let materials = ["olive_virgin", "coconut", "cocoa_butter", "lard", "naoh", "apple_puree"];
        design.prices = materials.map(price).to_vec();
        design.prices.push(price(scent.scent.id.as_str()));
    }
    [a, b]
}

#[test]
fn every_row_agrees_with_the_differences_of_the_reports() {
    let library = library();
    let [a, b] = pair(&library);
    let json = compared(&[&a, &b], &library, |sides| report::compare_json(sides, &library)).expect("writes");
    let json: Value = serde_json::from_str(&json).expect("JSON");
    for row in rows(&[&a, &b], &library) {
        let unrounded = json["differences"][&row.key].as_f64();
        let unrounded = unrounded.unwrap_or_else(|| panic!("{} is not among the differences", row.key));
        // The report gives the chance as a fraction.
        let factor = if row.key == "margin.chance_lye_heavy" { 100.0 } else { 1.0 };
        let shown = row.difference(1).expect("known of both");
        let step = match row.subject {
            Subject::Estimate(estimate) if estimate.is_coarse() => COARSE,
            _ => 10_f64.powi(-i32::try_from(row.decimals).expect("few")),
        };
        assert!((shown - factor * unrounded).abs() <= step * 1.000_001, "{}: {shown} for {unrounded}", row.key);
    }
}

#[test]
fn the_jugs_lye_is_stronger_where_additions_bring_water_later() {
    let library = library();
    let [a, b] = pair(&library);
    let rows = rows(&[&a, &b], &library);
    let [jug, whole] = ["jug.concentration_pct", "batch.lye_concentration_pct"].map(|key| row(&rows, key));
    let batch = evaluate(&b, &library).masses;
    let pure = batch.alkali.pure().0;
    let by_hand = 100.0 * pure / (pure + batch.water_in_jug.0);
    assert!((jug.values[1].expect("there is alkali") - by_hand).abs() < 1e-9, "{by_hand} by hand");
    assert!(jug.values[1] > whole.values[1], "the puree’s water is not in the jug yet");
    let place = |key: &str| rows.iter().position(|r| r.key == key);
    assert_eq!(place("jug.concentration_pct").map(|i| i + 1), place("jug.peak_c"), "just before what it warms to");
}

#[test]
fn what_one_design_lacks_counts_as_nothing_and_the_order_is_the_first_ones() {
    let library = library();
    let [a, b] = pair(&library);
    let rows = rows(&[&a, &b], &library);
    let fats: Vec<_> = rows.iter().filter(|r| r.key.starts_with("fats.")).collect();
    let keys: Vec<_> = fats.iter().map(|r| r.key.as_str()).collect();
    assert_eq!(
        keys,
        ["fats.olive_virgin.share_pct", "fats.coconut.share_pct", "fats.cocoa_butter.share_pct", "fats.lard.share_pct"]
    );
    let differences: Vec<_> = fats.iter().map(|r| r.difference_text(1)).collect();
    assert_eq!(differences, ["−44.0", "−6.0", "−30.0", "+80.0"]);
    assert_eq!(fats[0].text(1), "–", "no olive oil in the second");
    let into_fats = row(&rows, "additions.apple_puree.IntoFats.mass_g");
    // Two lines of 8 % of the fats.
    let fats_g = row(&rows, "batch.fats_g").values[0].expect("known");
    assert!((into_fats.values[0].expect("in it") - 0.16 * fats_g).abs() < 1e-9, "both lines are in it");
    assert_eq!(into_fats.values[1], None);
    assert_eq!(row(&rows, "additions.apple_puree.AtTrace.mass_g").values[0], None, "another stage, another row");
    assert!((a.blend.exchanged(&b.blend) - 80.0).abs() < 1e-9, "all but 20 % of coconut oil");
}

#[test]
fn a_difference_is_that_of_the_numbers_shown() {
    let library = library();
    let a = Design { superfat: Superfat::new(5.04).expect("good"), ..design(&[("coconut", 100.0)], &library) };
    let b = Design { superfat: Superfat::new(5.06).expect("good"), ..a.clone() };
    let superfat = row(&rows(&[&a, &b], &library), "batch.superfat_pct");
    assert_eq!((superfat.text(0), superfat.text(1)), ("5.0 %".into(), "5.1 %".into()));
    assert_eq!(superfat.difference_text(1), "+0.1", "not 0.0, as 0.02 would be shown");
    assert_eq!(superfat.difference(0), None, "nothing to the first itself");
    let same = row(&rows(&[&a, &a], &library), "batch.superfat_pct");
    assert_eq!(same.difference_text(1), "same");
}

#[test]
fn any_design_can_be_compared_and_what_is_not_known_has_no_difference() {
    let library = library();
    let nothing = Design::default();
    let some = design(&[("coconut", 50.0)], &library);
    for designs in [&[][..], &[&nothing], &[&nothing, &some], &[&some, &nothing, &some, &nothing]] {
        let rows = rows(designs, &library);
        assert!(rows.iter().all(|r| r.values.len() == designs.len()), "a number for each");
        let json = compared(designs, &library, |sides| report::compare_json(sides, &library)).expect("writes");
        let json: Value = serde_json::from_str(&json).expect("JSON");
        assert_eq!(json["designs"].as_array().map(Vec::len), Some(designs.len()));
        assert_eq!(json["differences"].is_object(), designs.len() == 2, "a list unless there are two");
        assert!(!compared(designs, &library, |sides| report::compare_text(sides, &library)).is_empty(), "a table");
    }
    let hardness = row(&rows(&[&some, &nothing], &library), "estimates.hardness");
    assert_eq!((hardness.difference(1), hardness.text(1)), (None, "not known".into()));
}

#[test]
fn money_in_two_currencies_has_no_difference() {
    let library = library();
    let [a, mut b] = pair(&library);
    assert!(row(&rows(&[&a, &b], &library), "cost.bar").difference(1).is_some(), "in one currency it has");
    b.currency = "GBP".into();
    let cost = row(&rows(&[&a, &b], &library), "cost.bar");
    assert_eq!(cost.difference(1), None);
    assert!(cost.text(0).ends_with("EUR") && cost.text(1).ends_with("GBP"), "{} {}", cost.text(0), cost.text(1));
    let json = compared(&[&a, &b], &library, |sides| report::compare_json(sides, &library)).expect("writes");
    let json: Value = serde_json::from_str(&json).expect("JSON");
    assert!(json["differences"].get("cost.bar").is_none(), "nor in the JSON");
}

/// `to` made like `from` in `subject`.
fn made_alike(subject: &Subject, from: &Design, to: &Design, library: &Library) -> Result<Design, String> {
    let evaluation = evaluate(from, library);
    let edit = subject.edit(Side { design: from, evaluation: &evaluation }, to, library).ok_or("nothing to do")?;
    edit.and_then(|edit| edit.apply(to, library)).map_err(|error| error.to_string())
}

#[test]
fn a_design_is_made_like_another_in_one_thing_and_its_shares_stay_whole() {
    let library = library();
    let [a, b] = pair(&library);
    for fat in ["olive_virgin", "coconut", "cocoa_butter", "lard"] {
        let subject = Subject::Share(id(fat));
        let alike = made_alike(&subject, &a, &b, &library).expect("there is room");
        assert!(alike.blend.is_whole(), "{fat}: {}", alike.blend.total());
        let share = |d: &Design| d.blend.line(&id(fat)).map(|l| l.share);
        assert_eq!(share(&alike), share(&a), "{fat}");
        assert_eq!(made_alike(&subject, &a, &alike, &library), Err("nothing to do".into()), "{fat}");
    }
    let b = Design { water: WaterRule::PercentOfFats(WaterPercent::nearest(30.0)), ..b };
    let alike = made_alike(&Subject::LyeConcentration, &b, &a, &library).expect("possible");
    let concentration = |d: &Design| evaluate(d, &library).masses.lye_concentration().expect("lye");
    assert!((concentration(&alike) - concentration(&b)).abs() < 1e-9, "as strong, though written otherwise");
    let lean = Design { superfat: Superfat::nearest(2.0), ..a.clone() };
    assert_eq!(made_alike(&Subject::Superfat, &lean, &a, &library).expect("possible").superfat, lean.superfat);
}

#[test]
fn locks_that_leave_no_room_refuse_to_make_a_share_alike() {
    let library = library();
    let a = design(&[("olive_virgin", 70.0), ("palm", 30.0)], &library);
    let mut b = design(&[("coconut", 60.0), ("castor", 40.0)], &library);
    for fat in ["coconut", "castor"] {
        b = Edit::Lock(id(fat), true).apply(&b, &library).expect("there");
    }
    for fat in ["olive_virgin", "coconut"] {
        let refused = made_alike(&Subject::Share(id(fat)), &a, &b, &library).expect_err("all is locked");
        assert!(refused.contains("every other fat is locked"), "{fat}: {refused}");
    }
}
