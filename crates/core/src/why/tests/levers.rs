//! What would change a number, against slopes worked out directly and steps made by hand.

use super::super::changes;
use super::super::figure::Entry;
use super::super::levers::Lever;
use super::super::*;
use super::{entry, example, library};
use crate::alkali::koh_to_naoh;
use crate::edit::Edit;
use crate::estimates::Estimate;
use crate::evaluate::{evaluate, gradient};
use crate::mould::{Mould, Size};
use crate::units::{AcceptedChance, Bars, Celsius, FatMass, Millimetres, PurityMargin, ScaleDivision, Share};

#[test]
fn slopes_are_those_worked_out_directly() {
    let library = library();
    let starter = example(3, &library);
    let evaluation = evaluate(&starter, &library);
    let close = |got: Option<f64>, wanted: f64, what: &str| {
        let got = got.unwrap_or_else(|| panic!("{what} has no slope"));
        assert!((got - wanted).abs() < 1e-4 * wanted.abs().max(0.01), "{what}: {got}, not {wanted}");
    };
    let naoh = |lever: Lever| lever.effect(entry("batch.naoh_g"), &starter, &library);
    let exact = koh_to_naoh(evaluation.batch.exact_koh).0;
    let weighed = evaluation.batch.alkali.naoh.0;
    close(naoh(Lever::Superfat), -exact / 0.99 / 100.0, "superfat");
    close(naoh(Lever::NaohPurity), -weighed / 99.0, "purity");
    assert_eq!(naoh(Lever::Fill), None, "a mass of fats has no mould to fill");

    // The lye is linear in the shares, so a whole step is the slope.
    for (i, line) in starter.blend.lines().iter().enumerate() {
        let at = |by: f64| {
            let edit = Edit::Share(line.fat.id.clone(), Share::new(line.share.get() + by).expect("a share"));
            let moved = edit.apply(&starter, &library).expect("room");
            evaluate(&moved, &library).batch.alkali.naoh.0
        };
        close(naoh(Lever::Share(i)), (at(1.0) - at(-1.0)) / 2.0, &line.fat.name);
    }
    let slopes = gradient(&starter, Estimate::Hardness, &library);
    for (i, slope) in slopes.into_iter().enumerate() {
        let got = Lever::Share(i).effect(entry("estimates.hardness"), &starter, &library);
        close(got, slope.expect("it can move"), "hardness");
    }
    let water = Lever::Water.effect(entry("batch.water_total_g"), &starter, &library);
    close(water, -evaluation.batch.alkali.pure().0 * 100.0 / 31.0_f64.powi(2), "water");
    let room = Lever::Room.effect(entry("jug.crystallises_below_c"), &starter, &library);
    close(room, 0.0, "the room does not move the curve");
}

#[test]
fn the_changes_told_are_the_three_strongest_of_all() {
    let library = library();
    let mould = example(0, &library);
    let naoh = entry("batch.naoh_g");
    let told = changes::levers(naoh, &mould, &library);
    assert_eq!(told.len(), changes::MOST, "{told:?}");
    assert!(told.windows(2).all(|pair| pair[0].1.abs() >= pair[1].1.abs()), "{told:?}");
    let fill = Lever::Fill.effect(naoh, &mould, &library);
    let weighed = evaluate(&mould, &library).batch.alkali.naoh.0;
    assert!(fill.is_some_and(|f| (f - weighed / 90.0).abs() < 1e-6 * weighed), "in proportion: {fill:?}");
    for lever in Lever::all(naoh, &mould) {
        let effect = lever.effect(naoh, &mould, &library).unwrap_or_default();
        let is_told = told.iter().any(|(other, _)| *other == lever);
        assert!(is_told || effect.abs() <= told[changes::MOST - 1].1.abs(), "{lever:?} moves it by {effect}: {told:?}");
    }
    let dual = example(4, &library);
    let words = changes::strongest(entry("batch.koh_g"), &dual, &library);
    assert!(words.iter().all(|c| c.effect.ends_with(" g")), "{words:?}");
    let score = changes::strongest(entry("estimates.hardness"), &dual, &library);
    assert!(score[0].effect.ends_with(" points") && score[0].what.contains("+1 % of the blend"), "{score:?}");
}

/// What one step of a design, made by hand, does to a number.
fn by_hand(key: &str, design: &Design, library: &Library, step: impl Fn(&mut Design)) -> f64 {
    let value = |design: &Design| {
        let evaluation = evaluate(design, library);
        let about = About { design, evaluation: &evaluation, library };
        Entry::find(key, about).expect("a number").figure.value(about).expect("known")
    };
    let mut moved = design.clone();
    step(&mut moved);
    value(&moved) - value(design)
}

#[test]
fn each_lever_does_what_the_step_made_by_hand_does() {
    type Step = fn(&mut Design);
    let library = library();
    let (carrot, dual, olive) = (example(1, &library), example(4, &library), example(5, &library));
    let cases: [(&Design, &str, Lever, Step, f64); 12] = [
        (
            &dual,
            "batch.koh_g",
            Lever::KohShare,
            |d| d.alkali.koh_share = Share::nearest(d.alkali.koh_share.get() + 1.0),
            1e-3,
        ),
        (&carrot, "cost.bar", Lever::Bars, |d| d.bars = Bars::new(21).expect("in range"), 1e-9),
        (&carrot, "cure.free_water_g", Lever::Bars, |d| d.bars = Bars::new(21).expect("in range"), 1e-9),
        (&olive, "batch.bar_fresh_g", Lever::Batch, |d| d.size = Size::FatMass(FatMass::nearest(1100.0)), 1e-6),
        (&olive, "cost.batch", Lever::Batch, |d| d.size = Size::FatMass(FatMass::nearest(1100.0)), 1e-6),
        (&carrot, "batch.frozen_g", Lever::Frozen, |d| d.process.jug_frozen = Share::nearest(51.0), 1e-6),
        (&carrot, "jug.peak_c", Lever::Frozen, |d| d.process.jug_frozen = Share::nearest(51.0), 0.02),
        (&carrot, "jug.peak_c", Lever::JugWater, |d| d.process.jug_water_c = Some(Celsius::nearest(22.0)), 0.02),
        (
            &carrot,
            "margin.drivers.4.superfat_points",
            Lever::ScaleDivision,
            |d| d.scale_division = ScaleDivision::nearest(1.1),
            1e-3,
        ),
        (
            &carrot,
            "margin.superfat_low_pct",
            Lever::NaohMargin,
            |d| d.alkali.naoh_purity_pm = PurityMargin::nearest(0.6),
            1e-3,
        ),
        (
            &carrot,
            "margin.least_superfat_pct",
            Lever::AcceptedChance,
            |d| d.accepted_chance = AcceptedChance::nearest(2.0),
            0.5,
        ),
        (
            &carrot,
            "size.mould_ml",
            Lever::Mould(0),
            |d| {
                if let Size::Mould { mould: Mould::Slab(c), .. } = &mut d.size {
                    c.length_mm = Millimetres::nearest(321.0);
                }
            },
            1e-6,
        ),
    ];
    for (design, key, lever, step, tolerance) in cases {
        let evaluation = evaluate(design, &library);
        let entry = Entry::find(key, About { design, evaluation: &evaluation, library: &library }).expect("a number");
        let slope = lever.effect(&entry, design, &library).unwrap_or_else(|| panic!("{lever:?} moves {key}"));
        let stepped = by_hand(key, design, &library, step);
        let off = (slope - stepped).abs();
        assert!(off < tolerance * stepped.abs(), "{key} by {lever:?}: {slope}, by hand {stepped}");
    }
    // What does most is told: a certificate for the fat with the widest range, a finer scale.
    let told =
        |key: &str, design: &Design| why(key, design, &evaluate(design, &library), &library).expect("known").changes;
    assert!(told("batch.koh_g", &dual).iter().any(|c| c.what.contains("potassium hydroxide 1 point more")));
    assert!(told("margin.least_superfat_pct", &carrot).iter().any(|c| c.what.starts_with("a certificate for Shea")));
    assert!(told("batch.fats_g", &olive)[0].what.contains("all fats"), "typed, so it is moved by typing");
    assert!(!told("batch.bars", &olive).is_empty() && !told("size.mould_ml", &carrot).is_empty());
}
