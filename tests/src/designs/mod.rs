//! Random designs, for laws that hold for all of them.

#![allow(dead_code, reason = "each file of laws takes what it needs")]

mod batch;
mod blend;
mod edits;
mod materials;
mod quantities;

use barwright_core::design::document;
use barwright_core::{Design, Library};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::sync::LazyLock;

#[allow(unused_imports, reason = "as above")]
pub(crate) use self::{
    batch::{any_bars, any_design, any_fat_size, any_mould, any_solved_size, by_the_fats, design_of},
    blend::{any_blend, whole_blend},
    edits::{Step, any_step},
    materials::{a_scent, an_addition, any_addition_line, any_scent_line, any_scents},
    quantities::{
        any_amount_mass, any_amount_per_kg, any_amount_percent, any_bar_mass, any_chance, any_concentration, any_days,
        any_density, any_division, any_fat_mass, any_fill, any_hours, any_length, any_minutes, any_moisture,
        any_molar_mass, any_money, any_pack, any_percent, any_purity, any_purity_margin, any_ratio, any_share,
        any_solids, any_stage, any_superfat, any_sv, any_sv_margin, any_temperature, any_text, any_time_constant,
        any_volume, id,
    },
};

pub(crate) static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("assets/data parses"));

/// So many random designs for each law; no file of past failures, since the laws hold for all.
/// The same cases in every run, so that a check never fails by the luck of the draw alone; set
/// `PROPTEST_RNG_SEED` and `PROPTEST_CASES` to look further.
pub(crate) fn tried(cases: u32) -> ProptestConfig {
    let told = |name| std::env::var_os(name).is_some();
    let base = ProptestConfig { failure_persistence: None, ..ProptestConfig::default() };
    let seed = if told("PROPTEST_RNG_SEED") { base.rng_seed } else { RngSeed::Fixed(1908) };
    let cases = if told("PROPTEST_CASES") { base.cases } else { cases };
    // Some laws speak of few designs only; however many are tried, as many may be passed over.
    ProptestConfig { cases, max_global_rejects: 1024 + 20 * cases, rng_seed: seed, ..base }
}

pub(crate) fn written(design: &Design) -> String {
    document::write(design, &LIBRARY).expect("every design can be written")
}

pub(crate) fn read_back(text: &str) -> Design {
    document::read(text.as_bytes(), &LIBRARY).unwrap_or_else(|e| panic!("what was written is refused: {e}\n{text}"))
}
