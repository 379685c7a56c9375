//! The numbers of lists: percents that have to sum, places that are not there, and reference soaps.

use super::*;
use crate::bench::label::{Ingredients, Origin};
use crate::cautions::NoStop;
use crate::formula::Plain;
use crate::library::allergens::AllergenList;
use crate::trust::Trust;
use crate::units::Share;

/// Sums of the percents of all numbers whose key starts with `list`, redone from the explanations.
fn whole(list: &str, design: &Design, library: &Library) -> f64 {
    let evaluation = evaluate(design, library);
    let entries = entries(About::new(design, &evaluation, library));
    let of_list = entries.iter().filter(|e| e.key.starts_with(list));
    of_list.map(|e| redo(&why(&e.key, design, &evaluation, library).expect("known").with_numbers)).sum()
}

/// What is left out of the lists are the impurities of the sodium hydroxide, and of the bar nothing else: what
/// goes in is what comes out but for the water that dries.
#[test]
fn the_percents_of_a_list_sum_to_all_but_the_impurities() {
    let library = library();
    for design in designs(&library).iter().filter(|d| !d.blend.lines().is_empty()) {
        let evaluation = evaluate(design, &library);
        let batch = &evaluation.masses;
        let put_in = whole("label.as_put_in_pct.", design, &library);
        if NoStop::of(design, &evaluation, &library).is_err() {
            assert!(put_in.abs() < 1e-9, "{}: a stopped design has no list", design.name);
            continue;
        }
        assert!((put_in - 100.0).abs() < 1e-3, "{}: {put_in} % go in", design.name);
        let bars = evaluation.cure.expect("fats").bar_at_sale(Plain).0 * f64::from(batch.bars);
        let impurities = 100.0 * (batch.alkali.naoh - batch.alkali.pure_naoh).0 / bars;
        let in_the_bar = whole("label.as_in_the_bar_pct.", design, &library);
        let off = in_the_bar + impurities - 100.0;
        assert!(off.abs() < 2e-3, "{}: {in_the_bar} % and {impurities} % of impurities", design.name);
    }
}

#[test]
fn acids_and_parts_of_the_variance_sum_to_a_hundred() {
    let library = library();
    for design in [example(0, &library), example(4, &library), many(&library)] {
        let acids = whole("acids_pct.", &design, &library);
        // Each acid, and the same fat by fat.
        assert!((acids - 200.0).abs() < 0.1, "{}: {acids} % of acids, as far as profiles sum", design.name);
        let evaluation = evaluate(&design, &library);
        let drivers = evaluation.margin.as_ref().expect("fats").drivers.len();
        let parts = (0..drivers).map(|i| {
            let key = format!("margin.drivers.{i}.variance_part");
            redo(&why(&key, &design, &evaluation, &library).expect("known").with_numbers)
        });
        let parts: f64 = parts.sum();
        assert!((parts - 100.0).abs() < 1e-2, "{}: {parts} % of the variance", design.name);
    }
}

#[test]
fn what_an_ingredient_is_made_of_is_all_of_it() {
    let library = library();
    let design = many(&library);
    let evaluation = evaluate(&design, &library);
    let label = Ingredients::of(&design, &evaluation, &library).expect("fats");
    for style in ListStyle::ALL {
        for ingredient in label.ingredients(style) {
            let sum: f64 = ingredient.made_of.iter().map(|part| part.mass.0).sum();
            assert!((sum - ingredient.mass.0).abs() < 1e-9, "{}: {sum} of {}", ingredient.name, ingredient.mass.0);
        }
    }
    let palm = label.ingredients(ListStyle::AsPutIn).iter().find(|i| i.name == "Elaeis Guineensis Oil");
    let origins: Vec<Origin> = palm.expect("palm").made_of.iter().map(|part| part.origin).collect();
    assert_eq!(origins, [Origin::Fat(0), Origin::Fat(1)], "palm oil and its stearin share a name");
}

#[test]
fn a_place_beyond_a_list_is_no_number() {
    let library = library();
    let design = many(&library);
    let evaluation = evaluate(&design, &library);
    for key in [
        "label.as_put_in_pct.99",
        "label.as_in_the_bar_pct.99",
        "label.as_in_the_bar_pct.-1",
        "label.allergen_findings.99.bar_pct",
        "label.allergen_findings.0",
        "scent_limits.99.bar_pct",
        "margin.drivers.99.superfat_points",
        "margin.drivers.0.gold",
        "acids_pct.18:3g",
        "acids_pct.gold",
        "estimates.hardness.middle",
        "estimates.gold.low",
        "chemistry.gold_low",
    ] {
        let error = why(key, &design, &evaluation, &library).expect_err("no such number");
        assert!(matches!(error, WhyError::UnknownKey(_)), "{key}: {error}");
    }
}

#[test]
fn without_scents_or_with_the_list_off_there_are_no_allergens() {
    let library = library();
    let allergen = |design: &Design| {
        let evaluation = evaluate(design, &library);
        why("label.allergen_findings.0.bar_pct", design, &evaluation, &library)
    };
    let mut design = many(&library);
    assert!(allergen(&design).is_ok(), "lavender brings some");
    design.allergen_list = AllergenList::Off;
    assert!(
        matches!(allergen(&design), Err(WhyError::UnknownKey(UnknownKey::NotOfDesign { .. }))),
        "none are looked for"
    );
    design.allergen_list = AllergenList::Extended;
    design.scents.clear();
    assert!(matches!(allergen(&design), Err(WhyError::UnknownKey(UnknownKey::NotOfDesign { .. }))), "none are there");
}

#[test]
fn every_figure_behind_an_allergen_is_told_with_its_source() {
    let library = library();
    let design = many(&library);
    let evaluation = evaluate(&design, &library);
    let label = Ingredients::of(&design, &evaluation, &library).expect("fats");
    let place = |name: &str| label.allergens.findings.iter().position(|f| f.name == name).expect("found");
    let inputs = |name: &str| {
        let key = format!("label.allergen_findings.{}.bar_pct", place(name));
        why(&key, &design, &evaluation, &library).expect("known").inputs
    };
    // Of limonene in constituents.csv: lavender 1 %, lemongrass 3 %, sweet orange 97 %.
    let limonene = inputs("Limonene");
    let told: Vec<&str> = limonene.iter().filter(|i| i.trust.is_some()).map(|i| i.value.as_str()).collect();
    assert_eq!(told, ["1 % of 10 g at most", "3 % of 2 g at most", "97 % of 8 g at most"]);
    // Citral as a whole is more than its isomers together in lemongrass, and is told instead of them.
    let citral = inputs("Citral");
    assert!(citral.iter().any(|i| i.value == "85 % of 2 g at most"), "{citral:?}");
    let whole = inputs("Lavandula Oil/Extract");
    let all = whole.iter().find(|input| input.value == "all of 10 g").expect("told");
    assert!(all.trust.is_none(), "{whole:?}");
}

#[test]
fn names_by_which_findings_are_found_again_stand_once() {
    let library = library();
    let once = |mut names: Vec<&str>| {
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        names.len() == all
    };
    assert!(once(library.allergens.iter().map(|a| a.name.as_str()).collect()), "allergens");
    assert!(once(library.limits.iter().map(|l| l.substance.as_str()).collect()), "limited substances");
}

#[test]
fn more_of_a_scent_is_told_as_what_raises_its_allergen() {
    let library = library();
    let design = many(&library);
    let evaluation = evaluate(&design, &library);
    let label = Ingredients::of(&design, &evaluation, &library).expect("fats");
    let place = label.allergens.findings.iter().position(|f| f.name == "Linalyl Acetate").expect("in lavender");
    let why = why(&format!("label.allergen_findings.{place}.bar_pct"), &design, &evaluation, &library).expect("known");
    assert!(why.changes[0].what.contains("Lavender") && why.changes[0].effect.starts_with('+'), "{:?}", why.changes);
}

#[test]
fn the_ends_of_a_style_are_those_of_its_reference_soaps() {
    let library = library();
    let design = example(5, &library);
    let evaluation = evaluate(&design, &library);
    let why_of = |key: &str| why(key, &design, &evaluation, &library).expect("known");
    let (low, high) = (why_of("estimates.hardness.range_low"), why_of("estimates.hardness.range_high"));
    let soaps = &library.style("olive").expect("tabled").references;
    for soap in soaps {
        // The soap as a design of its own, from the fats up.
        let line = |(fat, share): &(std::sync::Arc<crate::library::fats::Fat>, Share)| {
            crate::design::blend::FatLine::new(std::sync::Arc::clone(fat), *share)
        };
        let blend = crate::design::blend::Blend::new(soap.fats.iter().map(line).collect()).expect("a blend");
        let own = evaluate(&Design { blend, ..design.clone() }, &library);
        let score = own.estimate(Estimate::Hardness).expect("known").value;
        assert!(redo(&low.with_numbers) <= score + 1e-3 && score <= redo(&high.with_numbers) + 1e-3, "{}", soap.name);
        let input = low.inputs.iter().find(|i| i.name == soap.name).expect("listed");
        assert_eq!(input.value, crate::number::fixed(score, 0), "{}", soap.name);
        assert_eq!((input.source.as_str(), input.trust), (soap.source.as_str(), Some(soap.trust)));
    }
    assert!(soaps.iter().any(|s| s.trust == Trust::CommonPractice), "not all of it was read");
    let unknown = Design { style: "no such style".into(), ..design.clone() };
    let error = why("estimates.hardness.range_low", &unknown, &evaluate(&unknown, &library), &library);
    assert!(matches!(error, Err(WhyError::NotKnown { .. })), "{error:?}");
}
