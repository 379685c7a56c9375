//! The lye margin of ten fats against a simulation of ten million batches.
//!
//! The aim is under 50 µs for all that the panel and the report show. The simulation ends the bench
//! with an error if the margin's chance or quantiles lie outside its own error.

use barwright_core::chemistry::margin::LyeMargin;
use barwright_core::chemistry::masses::Masses;
use barwright_core::design::document;
use barwright_core::formula::Plain;
use barwright_core::units::Grams;
use barwright_core::{Design, Library, evaluate};
use divan::Bencher;

/// A superfat with some chance of being lye-heavy.
const TEN: &str = r#"(barwright: 1, superfat: 1.5, fats: [
    (fat: "olive_virgin", share: 25), (fat: "coconut", share: 20), (fat: "palm", share: 12),
    (fat: "lard", share: 10), (fat: "shea", share: 8), (fat: "cocoa_butter", share: 6),
    (fat: "canola", share: 6), (fat: "castor", share: 5), (fat: "almond", share: 5),
    (fat: "butterfat", share: 3)])"#;

fn main() {
    divan::main();
}

fn ten_fats() -> (Design, Masses, Vec<Grams>) {
    let library = Library::embedded().expect("the embedded tables parse");
    let design = document::read(TEN.as_bytes(), &library).expect("the design is good");
    let evaluation = evaluate(&design, &library);
    (design, evaluation.masses, evaluation.fat_masses)
}

/// 5 % and 95 % quantile, chance lye-heavy and least superfat.
fn figures((design, batch, masses): &(Design, Masses, Vec<Grams>)) -> [f64; 4] {
    let margin = LyeMargin::read(Plain, design, batch, masses).expect("fats that take alkali");
    [margin.quantile(0.05), margin.quantile(0.95), margin.chance_lye_heavy(), margin.least_superfat(0.01)]
}

/// The margin with all that the panel shows of it.
#[divan::bench(sample_size = 20)]
fn margin_ten(bencher: Bencher<'_, '_>) {
    let ten = ten_fats();
    bencher.bench(|| figures(divan::black_box(&ten)));
}

/// splitmix64: uniform between `low` and `high`.
fn between(state: &mut u64, low: f64, high: f64) -> f64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    low + (high - low) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
}

/// How many of `draws` batches lie at or below each superfat of `at`, percent.
fn simulate((design, batch, masses): &(Design, Masses, Vec<Grams>), draws: u32, at: [f64; 3]) -> [u32; 3] {
    let half = design.scale_division.get() / 2.0;
    let purity = design.alkali.naoh_purity.fraction();
    let pm = design.alkali.naoh_purity_pm.fraction();
    let ranges: Vec<_> =
        design.blend.lines().iter().map(barwright_core::design::blend::FatLine::saponification_range).collect();
    let (mut state, mut below) = (1908, [0; 3]);
    for _ in 0..draws {
        let mut need = 0.0;
        for (mass, sv) in masses.iter().zip(&ranges) {
            let mass = between(&mut state, mass.0 - half, mass.0 + half);
            need += mass * between(&mut state, sv.min(), sv.max()) / 56_105.0;
        }
        let naoh = batch.alkali.naoh.0;
        let pure = between(&mut state, naoh - half, naoh + half) * between(&mut state, purity - pm, purity + pm);
        let superfat = 100.0 * (1.0 - pure / 39.997 / need);
        for (count, at) in below.iter_mut().zip(at) {
            *count += u32::from(superfat <= at);
        }
    }
    below
}

/// The same by simulation, which must agree within five of its standard errors.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn ten_million_draws(bencher: Bencher<'_, '_>) {
    const DRAWS: u32 = 10_000_000;
    /// What the margin may miss since it leaves out products of two deviations.
    const PRODUCTS: f64 = 1e-4;
    let ten = ten_fats();
    let [low, high, heavy, _] = figures(&ten);
    bencher.bench(|| {
        let below = simulate(divan::black_box(&ten), DRAWS, [low, high, 0.0]);
        for (below, chance) in below.into_iter().zip([0.05, 0.95, heavy]) {
            let found = f64::from(below) / f64::from(DRAWS);
            let allowed = 5.0 * (chance * (1.0 - chance) / f64::from(DRAWS)).sqrt() + PRODUCTS;
            assert!((found - chance).abs() < allowed, "simulated {found}, worked out {chance} ± {allowed}");
        }
    });
}
