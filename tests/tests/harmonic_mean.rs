//! The mean molar mass of a profile is harmonic, since a profile is in mass fractions.
//!
//! Source: coconut oil in Codex CXS 210-1999, Tables 1 and 2 (reproduction): profile and a
//! saponification value of 248–265.

use barwright_acceptance::assert_within;
use barwright_core::Library;
use barwright_core::formula::Plain;
use barwright_core::library::acids::triglyceride_sv;

#[test]
fn only_the_harmonic_mean_puts_coconut_into_its_published_range_at_the_middle() {
    let library = Library::embedded().expect("assets/data parses");
    let coconut = library.fat("coconut").expect("in the library");
    let parts = || coconut.profile().iter().map(|e| (e.typical / 100.0, library.acids.get(e.acid).molar_mass));
    let total: f64 = parts().map(|(w, _)| w).sum();
    let harmonic = total / parts().map(|(w, m)| w / m).sum::<f64>();
    let arithmetic = parts().map(|(w, m)| w * m).sum::<f64>() / total;

    let mean = coconut.mean_acid_molar_mass(&library.acids).expect("has a profile");
    assert_within("mean molar mass, g/mol", mean, harmonic, 1e-9);

    let right = triglyceride_sv(Plain, harmonic);
    assert!((248.0..=265.0).contains(&right), "harmonic: SV {right}, published 248–265");
    let wrong = triglyceride_sv(Plain, arithmetic);
    // The model says about 7 units low.
    assert_within("arithmetic less harmonic, mg KOH/g", wrong - right, -7.0, 0.5);
}

#[test]
fn two_acids_in_equal_masses_have_the_harmonic_mean_of_their_molar_masses() {
    // 100 g of lauric (200.322) and 100 g of stearic (284.484) are 0.49920 + 0.35151 mol.
    let library = Library::embedded().expect("assets/data parses");
    let acid = |key| library.acids.get(library.acids.find(key).expect("in the library")).molar_mass;
    let moles = 100.0 / acid("12:0") + 100.0 / acid("18:0");
    assert_within("mean, g/mol", 200.0 / moles, 235.097, 0.001);
}
