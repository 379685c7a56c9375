//! Differences explained against the table, their own arithmetic, and designs that differ in one
//! thing only.

use super::parts::{Effects, Part};
use super::*;
use crate::chemistry::margin::Cause;
use crate::cost::Cost;
use crate::design::blend::Blend;
use crate::design::mould::Size;
use crate::design::supplier::{Certificate, SupplierFigure};
use crate::design::{Calibration, Price, Process, WaterRule};
use crate::evaluate::{Evaluation, evaluate};
use crate::explain::compare::{MOST_SIDES, compare};
use crate::explain::reader::redo;
use crate::explain::tests::{designs, example, library};
use crate::library::additions::{AdditionLine, Amount, Stage};
use crate::library::scents::ScentLine;
use crate::number::parse;
use crate::quantity::COARSE;
use crate::units::{
    AcceptedChance, AmountMass, Bars, BatterDensity, Celsius, Days, FatMass, Fill, Millilitres, Money, PackMass,
    Purity, SaponificationValue, ScaleDivision, Share, Superfat, SvMargin, WaterPercent,
};
use std::sync::Arc;

/// The rows of `designs` side by side.
fn compared<T>(designs: &[&Design], library: &Library, look: impl FnOnce(&[Side<'_>], &[Row]) -> T) -> T {
    let evaluations: Vec<Evaluation> = designs.iter().map(|d| evaluate(d, library)).collect();
    let sides: Vec<Side<'_>> =
        designs.iter().zip(&evaluations).map(|(design, evaluation)| Side { design, evaluation }).collect();
    let rows: Vec<Row> = compare(&sides, Measures::METRIC, library).into_iter().flat_map(|group| group.rows).collect();
    look(&sides, &rows)
}

/// Every explained row of the second design less the first.
fn explained(a: &Design, b: &Design, library: &Library) -> Vec<(Row, Why, Effects)> {
    compared(&[a, b], library, |sides, rows| {
        let explain = |row: &Row| {
            let why = difference(row, 1, sides, Measures::METRIC, library)?;
            let effects = Effects::of(row, sides[0], sides[1], Measures::METRIC, library).expect("it has a number");
            Some((row.clone(), why, effects))
        };
        rows.iter().filter_map(explain).collect()
    })
}

fn find<'a>(all: &'a [(Row, Why, Effects)], key: &str) -> &'a (Row, Why, Effects) {
    all.iter().find(|(row, _, _)| row.key == key).unwrap_or_else(|| panic!("{key} is not explained"))
}

/// The number of a change, as it is told.
fn told(change: &Change) -> f64 {
    let number = change.effect.split(' ').next().expect("a word");
    parse(number, &[]).unwrap_or_else(|e| panic!("{}: {e}", change.effect))
}

fn place(decimals: usize) -> f64 {
    0.1_f64.powi(i32::try_from(decimals).expect("few"))
}

/// A price for all that is in `design`.
fn priced(design: &Design, price: f64) -> Design {
    let fats = design.blend.lines().iter().map(|l| l.fat.id.as_str());
    let others = design.additions.iter().map(|l| l.addition.id.as_str());
    let scents = design.scents.iter().map(|l| l.scent.id.as_str());
    let materials = fats.chain(others).chain(scents).chain(["naoh", "koh"]);
    let price = |material: &str| Price {
        material: material.into(),
        pack_g: PackMass::nearest(1000.0),
        price: Money::nearest(price),
    };
    Design { prices: materials.map(price).collect(), ..design.clone() }
}

#[test]
fn a_reader_can_redo_every_row_and_what_makes_it_sums_up() {
    let library = library();
    let all = designs(&library);
    let mut seen = std::collections::BTreeSet::new();
    for (i, j) in [(0, 1), (1, 2), (3, 0), (4, 3), (5, 6), (6, 2), (0, 7), (3, 8), (3, 9)] {
        let (a, b) = (priced(&all[i], 8.0), priced(&all[j], 11.0));
        let explained = explained(&a, &b, &library);
        assert!(explained.len() > 10, "{} rows of {} and {}", explained.len(), a.name, b.name);
        for (row, why, effects) in explained {
            let shown = row.difference(1).expect("explained");
            let off = redo(&why.with_numbers) - shown;
            assert!(off.abs() < 1e-6, "{}: {} is off by {off}", row.key, why.with_numbers);
            assert!(why.value.starts_with(&row.difference_text(1)), "{}: {}", row.key, why.value);
            assert!(why.with_numbers.ends_with(&why.value) || why.value == "same", "{}", why.with_numbers);
            assert_eq!((why.key.as_str(), why.inputs.len()), (row.key.as_str(), 2));
            assert!(why.trust.len() > 20 && why.changes.len() <= MOST + 2, "{why:?}");

            // Each that is told is rounded, and each that is not told would be rounded to nothing.
            let place = place(row.decimals + 1);
            let sum: f64 = why.changes.iter().map(told).sum();
            let slack = 0.5 * place * (Part::ALL.len() + 3) as f64;
            assert!((sum - effects.whole).abs() < slack, "{}: {sum} of {}: {why:?}", row.key, effects.whole);
            let step = match row.subject {
                Subject::Estimate(estimate) if estimate.is_coarse() => COARSE,
                _ => 10.0 * place,
            };
            assert!((shown - effects.whole).abs() < 1.0001 * step, "{}: {shown} and {}", row.key, effects.whole);
            for part in Part::ALL.into_iter().filter(|part| part.taken(&a, &b).is_none()) {
                assert!(why.changes.iter().all(|c| !c.what.starts_with(part.words())), "{part:?} does not differ");
            }
            let mut sizes = why.changes.iter().filter(|c| c.what.contains("instead of A’s")).take(MOST).map(told);
            let mut last = f64::INFINITY;
            assert!(
                sizes.all(|s| std::mem::replace(&mut last, s.abs()) >= s.abs()),
                "the strongest first: {:?}",
                why.changes
            );
            seen.insert(row.key);
        }
    }
    for key in ["batch.koh_g", "margin.least_superfat_pct", "cost.bar", "jug.concentration_pct", "estimates.keeping"] {
        assert!(seen.contains(key), "{key} was explained for no pair: {seen:?}");
    }
}

/// `design` with another `part`.
fn varied(part: Part, design: &Design, library: &Library) -> Design {
    let mut other = design.clone();
    let process = design.process.clone();
    match part {
        Part::Blend => {
            let id = design.blend.lines()[0].fat.id.clone();
            let share = Share::nearest(design.blend.lines()[0].share.get() - 7.0);
            other.blend.set_share(&id, share).expect("room");
        }
        Part::Figures => {
            let figure = SupplierFigure { sv: SaponificationValue::nearest(193.0), pm: SvMargin::nearest(0.5) };
            let mut lines = design.blend.lines().to_vec();
            let certificate = Certificate { sv: Some(figure), acids: Vec::new() };
            lines[0] = lines[0].clone().with_certificate(certificate).expect("no acids on it");
            other.blend = Blend::new(lines).expect("the same fats");
        }
        Part::Superfat => other.superfat = Superfat::nearest(design.superfat.get() + 3.0),
        Part::AcceptedChance => other.accepted_chance = AcceptedChance::nearest(5.0),
        Part::KohShare => other.alkali.koh_share = Share::nearest(12.0),
        Part::Purities => other.alkali.naoh_purity = Purity::nearest(96.0),
        Part::ScaleDivision => other.scale_division = ScaleDivision::nearest(5.0),
        Part::Water => other.water = WaterRule::PercentOfFats(WaterPercent::nearest(38.0)),
        Part::Size => {
            other.size = Size::FatMass(FatMass::nearest(1234.0));
            other.bars = Bars::new(11).expect("some");
        }
        Part::Additions => {
            other.additions = vec![AdditionLine::usual(Arc::clone(library.addition("citric_acid").expect("tabled")))];
        }
        Part::Scents => other.scents = vec![ScentLine::usual(Arc::clone(&library.scents()[0]))],
        Part::Temperatures => other.process = Process { room_c: Celsius::nearest(11.0), ..process },
        Part::Cure => other.process = Process { cure_days: Days::nearest(9.0), ..process },
        Part::Calibration => {
            other.calibration =
                Calibration { batter_g_per_ml: Some(BatterDensity::nearest(1.1)), ..design.calibration.clone() }
        }
        Part::Prices => other.prices = priced(design, 21.0).prices,
    }
    other
}

#[test]
fn what_alone_differs_carries_the_whole_difference() {
    let library = library();
    // A mould, so that the batter's density and all that goes in moves the batch.
    let design = priced(&Design { scents: Vec::new(), ..example(0, &library) }, 8.0);
    for part in Part::ALL {
        let mut moved = 0;
        let other = varied(part, &design, &library);
        let differing: Vec<Part> = Part::ALL.into_iter().filter(|p| p.taken(&design, &other).is_some()).collect();
        assert_eq!(differing, [part]);
        for (row, why, effects) in explained(&design, &other, &library) {
            let [(only, effect)] = effects.each.as_slice() else { panic!("{:?}", effects.each) };
            assert_eq!(*only, part);
            let effect = effect.unwrap_or_else(|| panic!("{}: {part:?} alone has no number", row.key));
            let off = (effect - effects.whole).abs();
            assert!(off <= 1e-9 * effects.whole.abs().max(1.0), "{}: {part:?} {effect} of {}", row.key, effects.whole);
            if why.value != "same" {
                moved += 1;
            }
            match why.changes.as_slice() {
                [] => assert!(effects.whole.abs() <= 0.5 * place(row.decimals + 1), "{}: {effects:?}", row.key),
                [only] => assert_eq!(only.what, format!("{} of B instead of A’s", part.words())),
                more => panic!("{}: {more:?}", row.key),
            }
        }
        assert!(moved > 0, "{part:?} moves no row");
    }
}

#[test]
fn all_parts_together_make_one_design_the_other() {
    let library = library();
    let (a, b) = (priced(&example(0, &library), 8.0), priced(&example(4, &library), 11.0));
    let a = Design { scents: varied(Part::Scents, &a, &library).scents, ..a };
    let mut made = a;
    for part in Part::ALL {
        made = part.taken(&made, &b).unwrap_or(made);
    }
    // Any new field of a design has to be looked at here, and taken over if a number rests on it.
    let Design {
        name: _,
        notes: _,
        style: _,
        blend,
        spare: _,
        superfat,
        accepted_chance,
        alkali,
        scale_division,
        water,
        size,
        bars,
        additions,
        scents,
        process,
        prices: _,
        currency: _,
        allergen_list: _,
        calibration,
    } = &made;
    assert_eq!((blend, superfat, accepted_chance), (&b.blend, &b.superfat, &b.accepted_chance));
    assert_eq!((alkali, scale_division, water, size), (&b.alkali, &b.scale_division, &b.water, &b.size));
    assert_eq!((bars, additions, scents, calibration), (&b.bars, &b.additions, &b.scents, &b.calibration));
    assert_eq!(Process { made_on: None, ..process.clone() }, Process { made_on: None, ..b.process.clone() });
    for (row, why, _) in explained(&made, &b, &library) {
        assert_eq!(why.value, "same", "{}", row.key);
    }
}

#[test]
fn two_alike_designs_are_the_same_and_nothing_makes_a_difference() {
    let library = library();
    for design in designs(&library) {
        let twin = Design { name: "Twin".into(), notes: "other words".into(), ..design.clone() };
        for (row, why, _) in explained(&design, &twin, &library) {
            assert_eq!((why.value.as_str(), why.changes.len()), ("same", 0), "{} of {}", row.key, design.name);
            assert!(redo(&why.with_numbers).abs() < 1e-9, "{}", why.with_numbers);
        }
    }
}

#[test]
fn what_two_parts_do_together_is_told_beside_them() {
    let library = library();
    let fats = |grams: f64, superfat: f64| Design {
        size: Size::FatMass(FatMass::nearest(grams)),
        superfat: Superfat::nearest(superfat),
        ..example(5, &library)
    };
    // The lye is as fats × (1 − superfat): 1000 × 0.90 − 500 × 0.95 = 425 parts. More fat alone is
    // 475, more superfat alone −25, and the two together take off another 25.
    let explained = explained(&fats(500.0, 5.0), &fats(1000.0, 10.0), &library);
    let (_, why, effects) = find(&explained, "batch.naoh_g");
    let part = effects.whole / 425.0;
    let close = |got: f64, parts: f64| assert!((got / part - parts).abs() < 1e-9, "{} for {parts}", got / part);
    let alone = |part: Part| effects.each.iter().find(|(p, _)| *p == part).and_then(|(_, e)| *e).expect("it differs");
    close(alone(Part::Size), 475.0);
    close(alone(Part::Superfat), -25.0);
    close(effects.together(), -25.0);
    let words: Vec<&str> = why.changes.iter().map(|c| c.what.as_str()).collect();
    assert_eq!(
        words,
        [
            "the size and number of bars of B instead of A’s",
            "the superfat of B instead of A’s",
            "all together, beyond the sum of each"
        ]
    );
}

#[test]
fn what_is_not_in_a_design_counts_as_nothing_and_names_stand_in_one_line() {
    let library = library();
    let a = Design { name: "Plum\nand\tpear".into(), ..example(3, &library) };
    let mut b = Design { name: " ".into(), ..a.clone() };
    let gone = a.blend.lines()[3].fat.id.clone();
    b.blend.remove(&gone).expect("there");
    let share = a.blend.lines()[3].share.get();
    let key = format!("fats.{gone}.share_pct");
    let explained = explained(&a, &b, &library);
    let (_, why, _) = find(&explained, &key);
    assert_eq!(why.with_numbers, format!("0.0 − {} = {} points", fixed(share, 1), signed(-share, 1)));
    assert_eq!((why.inputs[0].name.as_str(), why.inputs[0].value.as_str()), ("B: Unnamed design", "–"));
    assert!(why.inputs[0].source.contains("counts as nothing"), "{:?}", why.inputs[0]);
    assert_eq!(why.inputs[1].name, "A: Plum and pear");
    assert!(why.title.ends_with(": B less A"), "{}", why.title);
}

#[test]
fn rounding_is_told_where_it_shows() {
    let library = library();
    let with = |superfat: f64| Design { superfat: Superfat::nearest(superfat), ..example(3, &library) };
    let told = |a: f64, b: f64| {
        let explained = explained(&with(a), &with(b), &library);
        let (_, why, _) = find(&explained, "batch.superfat_pct");
        (why.value.clone(), why.trust.contains("unrounded they differ by +0.02 points"))
    };
    assert_eq!(told(5.04, 5.06), ("+0.1 points".into(), true), "a twentieth to either side");
    assert_eq!(told(5.01, 5.03), ("same".into(), true), "yet they differ");
    assert_eq!(told(5.00, 5.10), ("+0.1 points".into(), false), "as it is");
}

#[test]
fn a_part_that_does_not_fit_alone_has_no_number_alone() {
    let library = library();
    let sized = |ml: f64, grams: f64| Design {
        size: Size::Volume { ml: Millilitres::nearest(ml), fill: Fill::nearest(100.0) },
        additions: vec![AdditionLine {
            amount: Amount::Grams(AmountMass::nearest(grams)),
            ..AdditionLine::usual(Arc::clone(library.addition("oats").expect("tabled")))
        }],
        ..example(3, &library)
    };
    // A kilogram of oats never fits into 300 ml.
    let explained = explained(&sized(300.0, 5.0), &sized(5000.0, 1000.0), &library);
    let (_, why, effects) = find(&explained, "batch.naoh_g");
    assert!(effects.each.contains(&(Part::Additions, None)), "{effects:?}");
    let last = why.changes.last().expect("changes");
    assert_eq!(last.what, "all together, beyond these; no number is known for the additions alone");
    assert!((told(last) - effects.together()).abs() < 0.006, "{last:?}");
}

#[test]
fn there_is_nothing_to_explain_where_the_table_shows_no_difference() {
    let library = library();
    let (a, b) = (priced(&example(0, &library), 8.0), priced(&example(3, &library), 8.0));
    let nothing = Design::default();
    let foreign = Design { currency: "GBP".into(), ..b.clone() };
    compared(&[&a, &b, &nothing, &foreign], &library, |sides, rows| {
        for row in rows {
            for column in 0..=MOST_SIDES {
                let why = difference(row, column, sides, Measures::METRIC, &library);
                let is_shown = !row.difference_text(column).is_empty();
                assert_eq!(why.is_some(), is_shown, "{} in column {column}", row.key);
                assert!(why.is_none_or(|w| w.title.ends_with(&format!(": {} less A", letter(column)))), "its letter");
            }
        }
        let cost = rows.iter().find(|r| r.key == "cost.bar").expect("prices");
        assert!(difference(cost, 1, sides, Measures::METRIC, &library).is_some(), "one currency");
        assert!(difference(cost, 3, sides, Measures::METRIC, &library).is_none(), "two currencies");
    });
}

#[test]
fn the_blend_alone_is_priced_with_both_designs_prices() {
    let library = library();
    let (a, b) = (priced(&example(5, &library), 8.0), priced(&example(6, &library), 8.0));
    let explained = explained(&a, &b, &library);
    let (_, why, effects) = find(&explained, "cost.batch");
    assert!(effects.each.iter().all(|(_, effect)| effect.is_some()), "all is priced: {effects:?}");
    assert!(why.changes.iter().all(|c| c.effect.ends_with(" EUR")), "{:?}", why.changes);
    let prices = effects.each.iter().find(|(part, _)| *part == Part::Prices).and_then(|(_, effect)| *effect);
    assert!(prices.is_none_or(|effect| effect.abs() < 1e-9), "they cost alike: {prices:?}");
}

#[test]
fn shared_acids_are_redone_from_both_profiles() {
    let library = library();
    let all: Vec<Design> = designs(&library);
    let all: Vec<&Design> = all.iter().collect();
    for pair in all.windows(2) {
        compared(pair, &library, |sides, _| {
            let why = shared_acids(1, sides, &library);
            let acids = |i: usize| sides[i].evaluation.composition.as_ref();
            let (Some(a), Some(b)) = (acids(0), acids(1)) else {
                return assert_eq!(why, None, "a blend without fats has no acids");
            };
            let (why, percent) = (why.expect("both have acids"), a.percent_shared(b));
            // A profile may sum to 100 ± 0.05.
            assert!((redo(&why.with_numbers) - percent).abs() < 0.06, "{} for {percent}", why.with_numbers);
            assert_eq!(why.value, format!("{} %", fixed(percent, 0)));
            assert!(why.changes.len() <= 3 && why.inputs.len() > 4, "{why:?}");
            assert_eq!(shared_acids(0, sides, &library), None);
        });
    }
    compared(&[all[0], all[0]], &library, |sides, _| {
        let why = shared_acids(1, sides, &library).expect("acids");
        assert_eq!(why.value, "100 %");
        assert!(why.changes.iter().all(|c| told(c) < 0.0), "any change takes them apart: {:?}", why.changes);
    });
}

#[test]
fn a_percent_of_what_the_other_has_brings_them_together_as_worked_out_by_hand() {
    let library = library();
    let blend = |parts: &[(&str, f64)]| {
        let line = |(fat, share): &(&str, f64)| {
            FatLine::new(Arc::clone(library.fat(fat).expect("tabled")), Share::nearest(*share))
        };
        Design { blend: Blend::new(parts.iter().map(line).collect()).expect("no fat twice"), ..Design::default() }
    };
    let (a, b) = (blend(&[("coconut", 100.0)]), blend(&[("olive_virgin", 100.0)]));
    compared(&[&a, &b], &library, |sides, _| {
        let why = shared_acids(1, sides, &library).expect("acids");
        let now = redo(&why.with_numbers);
        // With 1 % of coconut oil all acids of both lie a hundredth nearer: the distance shrinks by
        // just that part, since it is linear along the line between the two.
        let [only] = why.changes.as_slice() else { panic!("{:?}", why.changes) };
        assert!(only.what.starts_with(&a.blend.lines()[0].fat.name), "{only:?}");
        assert!((told(only) - (100.0 - now) / 100.0).abs() < 0.006, "{only:?} from {now}");
    });
}

#[test]
fn every_number_that_is_explained_can_be_compared() {
    let library = library();
    let designs = [example(1, &library), example(4, &library)];
    let evaluations = designs.each_ref().map(|design| evaluate(design, &library));
    let side = |i: usize| Side { design: &designs[i], evaluation: &evaluations[i] };
    let sides = [side(0), side(1)];
    let mut told = 0;
    for key in crate::quantities::keys().filter(|key| !key.split('.').any(|part| part.len() == 1)) {
        let row = super::compared(key, &sides, &library).unwrap_or_else(|| panic!("{key} is explained"));
        let whys = [0, 1].map(|i| super::super::why(key, sides[i].design, sides[i].evaluation, &library));
        for (column, why) in whys.iter().enumerate() {
            assert_eq!(why.is_ok(), row.values[column].is_some(), "{key}");
        }
        let Some(found) = super::difference(&row, 1, &sides, Measures::METRIC, &library) else {
            assert!(whys.iter().any(Result::is_err), "{key} is known of both");
            continue;
        };
        let (first, other) = (row.values[0].expect("known"), row.values[1].expect("known"));
        let off = redo(&found.with_numbers) - (other - first);
        assert!(
            off.abs() <= 1.01 * 0.1_f64.powi(i32::try_from(row.decimals).expect("few")),
            "{key}: {}",
            found.with_numbers
        );
        told += 1;
    }
    assert!(told > 50, "{told} are known of both");
}

#[test]
fn a_thing_is_compared_with_the_same_thing_wherever_it_stands() {
    let library = library();
    let all: Vec<Design> = designs(&library).iter().map(|design| priced(design, 8.0)).collect();
    let all: Vec<&Design> = all.iter().collect();
    for pair in all.windows(2).filter(|pair| pair.iter().all(|d| !d.blend.lines().is_empty())) {
        compared(pair, &library, |sides, _| {
            let row = |key: &str| super::compared(key, sides, &library).unwrap_or_else(|| panic!("{key} is a number"));
            let close = |got: f64, wanted: f64| (got - wanted).abs() < 1e-9 * wanted.abs().max(1.0);
            for (i, line) in sides[0].design.blend.lines().iter().enumerate() {
                let in_b = sides[1].design.blend.lines().iter().position(|other| other.fat.id == line.fat.id);
                let mass = in_b.map_or(0.0, |i| sides[1].evaluation.fat_masses[i].0);
                for key in [format!("fats.{i}.mass_g"), format!("fats.{}.mass_g", line.fat.id.as_str())] {
                    let told = row(&key).counted(1).expect("what is not there weighs nothing");
                    assert!(close(told, mass), "{key}: {told} of {}, not {mass}", line.fat.name);
                }
                let sv = row(&format!("fats.{i}.saponification_value")).counted(1);
                assert_eq!(sv.is_some(), in_b.is_some(), "a fat that is not there has no saponification value here");
            }
            for line in sides[1].design.blend.lines() {
                let only = row(&format!("fats.{}.mass_g", line.fat.id.as_str()));
                assert!(only.difference(1).is_some(), "{} may be in B only", line.fat.name);
            }
            let [a, b] = [0, 1].map(|i| Cost::of(sides[i].design, sides[i].evaluation).expect("fats").lines().to_vec());
            for (i, line) in a.iter().enumerate() {
                let mass = b.iter().find(|other| other.material == line.material).map_or(0.0, |other| other.mass.0);
                let told = row(&format!("cost.lines.{i}.mass_g")).counted(1).expect("none is nothing");
                assert!(close(told, mass), "{}: {told}, not {mass}", line.name);
            }
            let drivers = |i: usize| sides[i].evaluation.margin.as_ref().map(|m| m.drivers.clone()).unwrap_or_default();
            for (i, driver) in drivers(0).iter().enumerate().filter(|(_, d)| d.cause == Cause::Scale) {
                let other = drivers(1).iter().find(|other| other.cause == driver.cause).map_or(0.0, |d| d.points);
                let told = row(&format!("margin.drivers.{i}.superfat_points")).counted(1).expect("a number");
                assert!(close(told, other), "the scale: {told}, not {other}");
            }
        });
    }
}

#[test]
fn a_material_at_two_stages_is_compared_line_by_line() {
    let library = library();
    let mut honeyed = example(1, &library);
    let mut again = honeyed.additions[0].clone();
    again.stage = Stage::ALL.into_iter().find(|stage| *stage != again.stage).expect("another");
    again.amount = Amount::Grams(AmountMass::nearest(3.5));
    honeyed.additions.push(again);
    let last = honeyed.additions.len() - 1;
    compared(&[&honeyed, &honeyed], &library, |sides, _| {
        let row = super::compared(&format!("additions.{last}.mass_g"), sides, &library).expect("a number");
        assert_eq!(row.values, [Some(3.5), Some(3.5)], "not those of the first line");
    });
}
