//! Iodine value from the fatty acids: the coefficients printed in AOCS Cd 1c-85.
//!
//! Source: AOCS Recommended Practice Cd 1c-85, the coefficients as quoted in the literature:
//! IV of triglycerides = %16:1·0.950 + %18:1·0.860 + %18:2·1.732 + %18:3·2.616 + %20:1·0.785
//! + %22:1·0.723.

use barwright_core::Library;
use barwright_core::formula::Plain;

/// Acid, coefficient per percent as printed.
const PRINTED: [(&str, f64); 6] =
    [("16:1", 0.950), ("18:1", 0.860), ("18:2", 1.732), ("18:3", 2.616), ("20:1", 0.785), ("22:1", 0.723)];

#[test]
fn the_computed_coefficients_round_to_the_printed_ones() {
    let library = Library::embedded().expect("assets/data parses");
    for (key, printed) in PRINTED {
        let acid = library.acids.get(library.acids.find(key).expect("in acids.csv"));
        let computed = acid.triglyceride_iv() / 100.0;
        let rounded = (computed * 1000.0).round() / 1000.0;
        assert!(
            (rounded - printed).abs() < 1e-9,
            "{key}: computed {computed}, rounded {rounded}, printed {printed}, error {:e}",
            computed - printed
        );
    }
}

#[test]
fn saturated_acids_take_no_iodine() {
    let library = Library::embedded().expect("assets/data parses");
    for (_, acid) in library.acids.iter().filter(|(_, a)| a.is_saturated()) {
        assert!(acid.triglyceride_iv().abs() < f64::EPSILON, "{}: {}", acid.key, acid.triglyceride_iv());
        assert!(acid.free_iv().abs() < f64::EPSILON, "{}: {}", acid.key, acid.free_iv());
    }
}

#[test]
fn the_printed_coefficients_give_the_same_iodine_value_for_every_triglyceride() {
    // Other unsaturated acids have no printed coefficient; fats that hold more than a trace of
    // them are left out.
    let library = Library::embedded().expect("assets/data parses");
    let mut compared = 0;
    for fat in library.fats() {
        let Some(computed) =
            fat.calculated_iv_at(Plain, &library.acids, 0.0).filter(|_| fat.kind.words() == "triglyceride")
        else {
            continue;
        };
        let entries = || fat.profile().iter().map(|e| (library.acids.get(e.acid), e.typical));
        let coefficient = |key: &str| PRINTED.iter().find(|(k, _)| *k == key).map(|(_, c)| *c);
        let unprinted: f64 =
            entries().filter(|(a, _)| !a.is_saturated() && coefficient(&a.key).is_none()).map(|(_, t)| t).sum();
        if unprinted > 0.0 {
            continue;
        }
        let by_hand: f64 = entries().map(|(a, t)| coefficient(&a.key).unwrap_or(0.0) * t).sum();
        compared += 1;
        // Each coefficient is rounded to 0.0005 per percent: 0.05 at most on 100 %.
        assert!(
            (computed - by_hand).abs() <= 0.05,
            "{}: computed {computed}, by printed coefficients {by_hand}, error {:e}",
            fat.id,
            computed - by_hand
        );
    }
    assert!(compared >= 20, "only {compared} fats could be compared");
}
