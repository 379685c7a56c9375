//! The colour of a bar: one shade, its band, and an own bar looked at.
//!
//! The aim is under 5 µs for a colour, 200 µs for a forecast and 5 ms for a match.

use barwright_core::chemistry::colour::forecast::Forecast;
use barwright_core::chemistry::colour::optics::Lab;
use barwright_core::chemistry::colour::strength::{BEFORE_A_BAR, Strengths, USUAL};
use barwright_core::design::document;
use barwright_core::{Design, Evaluation, Library, evaluate};
use divan::Bencher;

const CARROT: &str = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)],
    additions: [(addition: "carrot_boiled", amount: PercentOfFats(8))], size: FatMass(1000))"#;

fn main() {
    divan::main();
}

fn carrot(library: &Library) -> (Design, Evaluation) {
    let design = document::read(CARROT.as_bytes(), library).expect("the design is good");
    let evaluation = evaluate(&design, library);
    (design, evaluation)
}

fn forecast<'a>(of: &(Design, Evaluation), library: &'a Library) -> Forecast<'a> {
    let (design, evaluation) = of;
    Forecast::of(design, &evaluation.masses, evaluation.cure.as_ref(), &library.pigments).expect("a bar")
}

#[divan::bench]
fn shade(bencher: Bencher<'_, '_>) {
    let library = Library::embedded().expect("the embedded tables parse");
    let of = carrot(&library);
    let forecast = forecast(&of, &library);
    bencher.bench_local(|| forecast.mixture.colour(divan::black_box(USUAL), 1.0));
}

#[divan::bench]
fn band(bencher: Bencher<'_, '_>) {
    let library = Library::embedded().expect("the embedded tables parse");
    let of = carrot(&library);
    bencher.bench_local(|| self::forecast(divan::black_box(&of), &library).shades(1.0));
}

#[divan::bench]
fn matched(bencher: Bencher<'_, '_>) {
    let library = Library::embedded().expect("the embedded tables parse");
    let of = carrot(&library);
    let forecast = forecast(&of, &library);
    let before = Strengths::normal(USUAL, BEFORE_A_BAR);
    bencher.bench_local(|| {
        let seen = divan::black_box(Lab::new(80.0, 8.0, 40.0));
        before.seen(seen, |strength| forecast.mixture.colour(strength, 1.0)).band()
    });
}
