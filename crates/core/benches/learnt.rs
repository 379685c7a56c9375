//! What the log teaches: the cure of four bars weighed twenty times each, its curve with the band, and fifty judgements.
//!
//! The aim is under 10 ms for a fit: it is made anew when a weighing is entered, and kept until the next.

use barwright_core::bench::learnt::cure::{Fitted, Prior, Weighing, fit};
use barwright_core::bench::learnt::preferences::{Bar, Preference, taught};
use barwright_core::chemistry::cure::Cure;
use barwright_core::chemistry::size::solve;
use barwright_core::design::document;
use barwright_core::formula::Plain;
use barwright_core::library::composition::Composition;
use barwright_core::library::estimates::Estimate;
use barwright_core::units::{BarMass, Days, Fraction, Grams, ScaleDivision};
use barwright_core::{Design, Library};
use divan::Bencher;

const LOAF: &str = r#"(barwright: 1, fats: [(fat: "olive_virgin", share: 70), (fat: "coconut", share: 30)],
    size: Mould((shape: Loaf((length_mm: 297, width_mm: 70, height_mm: 60)), fill: 90)), bars: 9)"#;

fn main() {
    divan::main();
}

fn library() -> Library {
    Library::embedded().expect("the embedded tables parse")
}

fn forecast() -> Cure {
    let design: Design = document::read(LOAF.as_bytes(), &library()).expect("the design is good");
    Cure::of(Plain, &design, &solve(Plain, &design).1).expect("a bar")
}

/// Four bars, weighed on twenty days.
fn weighings(forecast: &Cure) -> [Vec<Weighing>; 4] {
    [0.95, 0.98, 1.01, 1.04].map(|size| {
        let bar = forecast.with_half_days(24.0).with_water_left(8.0).with_fresh(Grams(forecast.fresh().0 * size));
        let on = |n: u32| {
            let days = f64::from(3 * n);
            Weighing { days: Days::nearest(days), grams: BarMass::nearest(bar.bar(Plain, days).0.round()) }
        };
        (0..20).map(on).collect()
    })
}

fn fitted(forecast: &Cure, bars: &[Vec<Weighing>]) -> Fitted {
    fit(forecast, bars, ScaleDivision::nearest(1.0), &Prior::usual())
}

#[divan::bench]
fn cure_of_four_bars(bencher: Bencher<'_, '_>) {
    let forecast = forecast();
    let bars = weighings(&forecast);
    bencher.bench(|| fitted(divan::black_box(&forecast), &bars));
}

/// Weights with their band on a hundred days.
#[divan::bench]
fn its_curve(bencher: Bencher<'_, '_>) {
    let forecast = forecast();
    let fitted = fitted(&forecast, &weighings(&forecast));
    let bar = fitted.marked(0).expect("a bar");
    bencher.bench(|| (0..100).map(|n| bar.weight(Days::nearest(f64::from(n))).high).sum::<f64>());
}

#[divan::bench]
fn its_day_of_settling(bencher: Bencher<'_, '_>) {
    let forecast = forecast();
    let fitted = fitted(&forecast, &weighings(&forecast));
    bencher.bench(|| fitted.planned().settled());
}

#[divan::bench]
fn fifty_judgements(bencher: Bencher<'_, '_>) {
    let library = library();
    let profiled = library.fats().iter().filter_map(|fat| Composition::of([(fat.as_ref(), 1.0)], &library.acids));
    let blends: Vec<Composition> = profiled.take(51).collect();
    let bar = |composition| Bar { composition, free_fat: Fraction(0.05) };
    let pairs = blends.iter().zip(blends.iter().skip(1));
    let judged: Vec<_> = pairs.map(|(a, b)| Preference { more: bar(a), less: bar(b) }).collect();
    bencher.bench(|| taught(&library.weights, &library.acids, Estimate::Hardness, divan::black_box(&judged)));
}
