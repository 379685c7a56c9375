//! What would change a number, against what is worked out directly and steps made by hand.

use super::super::changes;
use super::super::levers::{Lever, Way};
use super::super::*;
use super::{entry, example, library};
use crate::chemistry::alkali::koh_to_naoh;
use crate::design::mould::{Mould, Size};
use crate::evaluate::{evaluate, gradient};
use crate::formula::Plain;
use crate::library::estimates::Estimate;
use crate::quantities::{AnyQuantity, ChanceLyeHeavy, Koh, Naoh, Score};
use crate::units::{
    AcceptedChance, Bars, Celsius, FatMass, Millimetres, Purity, PurityMargin, ScaleDivision, Share, Superfat,
};

/// The number `key` of `design`.
fn number(key: &str, design: &Design, library: &Library) -> Box<dyn AnyQuantity> {
    let evaluation = evaluate(design, library);
    entry(key, About::new(design, &evaluation, library)).quantity
}

/// What a step up does to the number `key`.
fn up(lever: Lever, key: &str, design: &Design, library: &Library) -> Option<f64> {
    let quantity = number(key, design, library);
    let now = changes::shown_of(quantity.as_ref(), design, library)?;
    lever.effect(Way::Up, (quantity.as_ref(), now), design, library)
}

#[test]
fn steps_do_what_is_worked_out_directly() {
    let library = library();
    let starter = example(3, &library);
    let evaluation = evaluate(&starter, &library);
    let close = |got: Option<f64>, wanted: f64, what: &str| {
        let got = got.unwrap_or_else(|| panic!("{what} does nothing"));
        assert!((got - wanted).abs() < 1e-6 * wanted.abs().max(0.01), "{what}: {got}, not {wanted}");
    };
    let naoh = |lever: Lever| up(lever, "batch.naoh_g", &starter, &library);
    let exact = koh_to_naoh(Plain, evaluation.masses.exact_koh).0;
    let weighed = evaluation.masses.alkali.naoh.0;
    close(naoh(Lever::Superfat), -exact / 0.99 / 100.0, "superfat");
    close(naoh(Lever::NaohPurity), -weighed / 100.0, "purity, from 99 to 100 %");
    assert_eq!(naoh(Lever::Fill), None, "a mass of fats has no mould to fill");

    // The scores are linear in the shares, so a whole step is their exact gradient.
    let slopes = gradient(&starter, Estimate::Hardness, &library);
    for (i, slope) in slopes.into_iter().enumerate() {
        close(up(Lever::Share(i), "estimates.hardness", &starter, &library), slope.expect("it can move"), "hardness");
    }
    let pure = evaluation.masses.alkali.pure().0;
    let water = up(Lever::Water, "batch.water_total_g", &starter, &library);
    close(water, pure * (100.0 / 32.0 - 100.0 / 31.0), "water");
    let room = up(Lever::Room, "jug.crystallises_below_c", &starter, &library);
    close(room, 0.0, "the room does not move the curve");
}

#[test]
fn a_step_is_told_downwards_where_it_cannot_go_up_or_does_more() {
    let library = library();
    let told = |key: &str, design: &Design, lever: Lever| {
        let quantity = number(key, design, &library);
        let now = changes::shown_of(quantity.as_ref(), design, &library).expect("known");
        (lever.step((quantity.as_ref(), now), design, &library).expect("it moves it"), now)
    };
    let mut starter = example(3, &library);
    starter.alkali.naoh_purity = Purity::new(100.0).expect("in range");
    let (step, weighed) = told("batch.naoh_g", &starter, Lever::NaohPurity);
    assert_eq!(step.way, Way::Down, "nothing is purer than pure");
    assert!((step.effect - weighed / 99.0).abs() < 1e-9 * weighed, "{step:?}");
    let words = step.lever.what(step.way, &starter);
    assert_eq!(words, "sodium hydroxide 1 point less pure");

    // A chance ends at nothing, so less superfat does more than more of it, and no step leads below.
    let mut lean = example(3, &library);
    lean.superfat = Superfat::new(2.0).expect("in range");
    let (step, chance) = told("margin.chance_lye_heavy", &lean, Lever::Superfat);
    assert!(step.way == Way::Down && step.effect > chance, "{step:?}");
    for lever in Lever::all(&ChanceLyeHeavy, &lean) {
        for way in [Way::Up, Way::Down] {
            let effect = lever.effect(way, (&ChanceLyeHeavy, chance), &lean, &library);
            assert!(effect.is_none_or(|e| (-1e-9..=100.0).contains(&(chance + e))), "{lever:?} {way:?}: {effect:?}");
        }
    }
}

#[test]
fn what_a_step_does_to_a_material_is_told_of_that_material_though_others_come_and_go() {
    let library = library();
    let mut carrot = example(1, &library);
    let hemp = library.fats().iter().find(|fat| fat.name.starts_with("Hemp")).expect("a fat").clone();
    carrot.blend.add(hemp, Share::nearest(0.0)).expect("room for it");
    let last = carrot.blend.lines().len() - 1;
    let evaluation = evaluate(&carrot, &library);
    assert!(evaluation.fat_masses[last].0.abs() < 1e-9, "it is there with nothing of it yet");
    let cost = crate::cost::Cost::of(&carrot, &evaluation).expect("it has fats");
    for line in cost.lines() {
        let mass = number(&format!("cost.lines.{}.mass_g", line.material), &carrot, &library);
        let now = changes::shown_of(mass.as_ref(), &carrot, &library).expect("known");
        let effect = Lever::Share(last).effect(Way::Up, (mass.as_ref(), now), &carrot, &library).expect("it moves");
        assert!(effect.abs() < 0.1 * now, "{}: {effect} g of {now} g by a percent of another fat", line.name);
    }
}

#[test]
fn the_changes_told_are_the_strongest_of_all() {
    let library = library();
    let mould = example(0, &library);
    let told = changes::steps(&Naoh, &mould, &library);
    assert_eq!(told.len(), changes::MOST, "{told:?}");
    assert!(told.windows(2).all(|pair| pair[0].effect.abs() >= pair[1].effect.abs()), "{told:?}");
    let weighed = evaluate(&mould, &library).masses.alkali.naoh.0;
    let fill = up(Lever::Fill, "batch.naoh_g", &mould, &library);
    assert!(fill.is_some_and(|f| (f - weighed / 90.0).abs() < 1e-6 * weighed), "in proportion: {fill:?}");
    for lever in Lever::all(&Naoh, &mould) {
        let effect = up(lever, "batch.naoh_g", &mould, &library).unwrap_or_default();
        let is_told = told.iter().any(|step| step.lever == lever);
        let least = told[changes::MOST - 1].effect.abs();
        assert!(is_told || effect.abs() <= least, "{lever:?} moves it by {effect}: {told:?}");
    }
    let dual = example(4, &library);
    let words = changes::strongest(&Koh, &dual, &library);
    assert!(words.iter().all(|c| c.effect.ends_with(" g")), "{words:?}");
    let score = changes::strongest(&Score(Estimate::Hardness), &dual, &library);
    assert!(score[0].effect.ends_with(" points") && score[0].what.contains("+1 % of the blend"), "{score:?}");
}

/// What one step of a design, made by hand, does to a number.
fn by_hand(key: &str, design: &Design, library: &Library, step: impl Fn(&mut Design)) -> f64 {
    let value =
        |design: &Design| changes::shown_of(number(key, design, library).as_ref(), design, library).expect("known");
    let mut moved = design.clone();
    step(&mut moved);
    value(&moved) - value(design)
}

#[test]
fn each_lever_does_what_the_step_made_by_hand_does() {
    type ByHand = fn(&mut Design);
    let library = library();
    let (carrot, dual, olive) = (example(1, &library), example(4, &library), example(5, &library));
    let cases: [(&Design, &str, Lever, ByHand); 12] = [
        (&dual, "batch.koh_g", Lever::KohShare, |d| {
            d.alkali.koh_share = Share::nearest(d.alkali.koh_share.get() + 1.0);
        }),
        (&carrot, "cost.bar", Lever::Bars, |d| d.bars = Bars::new(21).expect("in range")),
        (&carrot, "cure.free_water_g", Lever::Bars, |d| d.bars = Bars::new(21).expect("in range")),
        (&olive, "batch.bar_fresh_g", Lever::Batch, |d| d.size = Size::FatMass(FatMass::nearest(1100.0))),
        (&olive, "cost.batch", Lever::Batch, |d| d.size = Size::FatMass(FatMass::nearest(1100.0))),
        (&carrot, "batch.frozen_g", Lever::Frozen, |d| d.process.jug_frozen = Share::nearest(51.0)),
        (&carrot, "jug.peak_c", Lever::Frozen, |d| d.process.jug_frozen = Share::nearest(51.0)),
        (&carrot, "jug.peak_c", Lever::JugWater, |d| d.process.jug_water_c = Some(Celsius::nearest(22.0))),
        (&carrot, "margin.drivers.4.superfat_points", Lever::ScaleDivision, |d| {
            d.scale_division = ScaleDivision::nearest(1.1);
        }),
        (&carrot, "margin.superfat_low_pct", Lever::NaohMargin, |d| {
            d.alkali.naoh_purity_pm = PurityMargin::nearest(0.6);
        }),
        (&carrot, "margin.least_superfat_pct", Lever::AcceptedChance, |d| {
            d.accepted_chance = AcceptedChance::nearest(2.0);
        }),
        (&carrot, "size.mould_ml", Lever::Mould(0), |d| {
            if let Size::Mould { mould: Mould::Slab(c), .. } = &mut d.size {
                c.length_mm = Millimetres::nearest(321.0);
            }
        }),
    ];
    for (design, key, lever, step) in cases {
        let quantity = number(key, design, &library);
        let now = changes::shown_of(quantity.as_ref(), design, &library).expect("known");
        let told = lever
            .effect(Way::Up, (quantity.as_ref(), now), design, &library)
            .unwrap_or_else(|| panic!("{lever:?}: {key}"));
        let stepped = by_hand(key, design, &library, step);
        let off = (told - stepped).abs();
        assert!(off < 1e-9 * stepped.abs().max(1e-3), "{key} by {lever:?}: {told}, by hand {stepped}");
    }
    // What does most is told: a certificate for the fat with the widest range, a finer scale.
    let told =
        |key: &str, design: &Design| why(key, design, &evaluate(design, &library), &library).expect("known").changes;
    assert!(told("batch.koh_g", &dual).iter().any(|c| c.what.contains("potassium hydroxide 1 point more")));
    assert!(told("margin.least_superfat_pct", &carrot).iter().any(|c| c.what.starts_with("a certificate for Shea")));
    assert!(told("batch.fats_g", &olive)[0].what.contains("all fats"), "typed, so it is moved by typing");
    assert!(!told("batch.bars", &olive).is_empty() && !told("size.mould_ml", &carrot).is_empty());
}
