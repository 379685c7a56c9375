//! What is told of a number is the code that computes it: laws over any design.

use super::designs::{LIBRARY, any_design, tried};
use barwright_core::evaluate::read;
use barwright_core::formula::{Num, Tape, Term};
use barwright_core::quantities::{
    About, AcidPercent, AdditionMass, AdditionWater, AnyQuantity, BATCH, CHEMISTRY, CURE, FatMass, JUG, LineId, MARGIN,
    SCORES, SIZE, ScentMass,
};
use barwright_core::{Design, Evaluation, evaluate};
use proptest::prelude::*;

/// What every report has, with what this design has besides.
fn all(design: &Design) -> Vec<Box<dyn AnyQuantity>> {
    let singles = [BATCH, SIZE, JUG, MARGIN, CHEMISTRY, SCORES, CURE].into_iter().flatten();
    let mut all: Vec<Box<dyn AnyQuantity>> = singles.map(|(_, quantity)| Box::new(*quantity) as _).collect();
    for line in design.blend.lines() {
        all.push(Box::new(FatMass(line.fat.id.clone())));
    }
    for line in (0..design.additions.len()).filter_map(|i| LineId::of_addition(design, i)) {
        all.push(Box::new(AdditionMass(line.clone())));
        all.push(Box::new(AdditionWater(line)));
    }
    for line in (0..design.scents.len()).filter_map(|i| LineId::of_scent(design, i)) {
        all.push(Box::new(ScentMass(line)));
    }
    all.extend(LIBRARY.acids.iter().map(|(id, _)| Box::new(AcidPercent(id)) as Box<dyn AnyQuantity>));
    all
}

/// Fields of an evaluation, whichever way it was read.
fn fields<N: Num>(evaluation: &Evaluation<N>) -> Vec<(String, u64)> {
    let masses = &evaluation.masses;
    let mut fields: Vec<(String, N)> = vec![
        ("fats".into(), masses.fats.0),
        ("need".into(), masses.exact_koh.0),
        ("naoh".into(), masses.alkali.naoh.0),
        ("koh".into(), masses.alkali.koh.0),
        ("water to weigh".into(), masses.water_to_weigh.0),
        ("batter".into(), masses.batter.0),
        ("batter ml".into(), masses.batter_ml),
        ("fresh bar".into(), masses.bar_fresh.0),
        ("free fat".into(), masses.free_fat.0),
    ];
    let mut add = |name: &str, value: Option<N>| fields.extend(value.map(|value| (name.to_owned(), value)));
    let chemistry = &evaluation.chemistry;
    add("SV", chemistry.saponification_value);
    add("SV by acids", chemistry.saponification_value_calculated);
    add("IV", chemistry.iodine_value);
    add("titre", chemistry.titre);
    add("TFM", chemistry.tfm_fresh);
    add("TFM cured", chemistry.tfm_cured);
    for (i, result) in evaluation.estimates.iter().flatten().enumerate() {
        add(&format!("score {i}"), Some(result.value));
    }
    for (i, mass) in evaluation.fat_masses.iter().chain(&evaluation.addition_masses).enumerate() {
        add(&format!("mass {i}"), Some(mass.0));
    }
    if let Some(margin) = &evaluation.margin {
        add("low", Some(margin.low));
        add("high", Some(margin.high));
    }
    fields.into_iter().map(|(name, value)| (name, value.value().to_bits())).collect()
}

proptest! {
    #![proptest_config(tried(64))]

    #[test]
    fn the_plain_reading_is_the_recorded_one_bit_for_bit(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let tape = Tape::default();
        let recorded: Evaluation<Term<'_>> = read(&tape, &design, &LIBRARY);
        assert_eq!(fields(&evaluation), fields(&recorded), "each field");
        let about = About::new(&design, &evaluation, &LIBRARY);
        let of_recorded = About::new(&design, &recorded, &LIBRARY);
        for quantity in all(&design) {
            let plain = quantity.value(about).map(f64::to_bits);
            let told = quantity.record(&tape, of_recorded).map(|term| term.value().to_bits());
            assert_eq!(plain, told, "{}", quantity.key(about));
        }
    }

    #[test]
    fn every_number_has_a_key_a_title_a_unit_and_a_trust(design in any_design()) {
        let evaluation = evaluate(&design, &LIBRARY);
        let about = About::new(&design, &evaluation, &LIBRARY);
        let mut keys = std::collections::BTreeSet::new();
        for quantity in all(&design) {
            let key = quantity.key(about);
            for text in [&key, &quantity.title(about), &quantity.trust(about)] {
                assert!(!text.trim().is_empty(), "{quantity:?}");
            }
            assert!(quantity.decimals(about) <= 4, "{key}");
            if let Ok(value) = quantity.value(about) {
                let shown = quantity.unit(about).text(value, quantity.decimals(about));
                assert!(shown.chars().any(|c| c.is_ascii_digit()), "{key}: {shown}");
            }
            assert!(keys.insert(key.clone()), "{key} names two numbers");
        }
    }
}
