//! Fits the titre's two constants again: titre = a + b · L, where L is the liquidus that
//! `barwright_core::chemistry::titre` works out from a fat's typical profile.
//!
//! Source of the measured titres: Simmons & Appleton, The Handbook of Soap Manufacture, 1908.
//! Each fat counts once, at the middle of its printed range. Ten of the sixteen rows are fitted;
//! five are held out, as a check on fats that the line has not seen. The sixteenth, cottonseed
//! stearine, is no fat of the library.
//!
//! Run it when a profile of these fats or a melting point changes, and carry the constants over
//! into `FIT` in `titre.rs`: `cargo run -p barwright-core --example fit_titre`. A fit that is hardly better stays
//! out, since the constants move the titre of every design: with the profiles of today -14.67 and 1.230 would bring
//! the error from 3.40 to 3.34 °C.
#![allow(clippy::print_stdout, reason = "a program whose output is its purpose")]

use barwright_core::chemistry::titre::FIT;
use barwright_core::formula::Plain;
use barwright_core::library::composition::Composition;
use barwright_core::{Library, library::LibraryError};

/// A row of the book: its name there, our fat, the printed titre from and to, °C.
type Row = (&'static str, &'static str, f64, f64);

const FITTED: [Row; 10] = [
    ("tallow, beef", "tallow_beef", 41.2, 45.0),
    ("tallow, mutton", "tallow_mutton", 43.2, 48.3),
    ("lard", "lard", 37.5, 37.5),
    ("coconut", "coconut", 22.0, 23.5),
    ("palm kernel", "palm_kernel", 23.8, 24.0),
    ("palm", "palm", 44.5, 45.0),
    ("olive", "olive_virgin", 21.0, 21.0),
    ("cottonseed, refined", "cottonseed", 33.6, 35.0),
    ("arachis", "peanut", 24.0, 28.6),
    ("maize", "maize", 15.0, 17.2),
];

const HELD_OUT: [Row; 5] = [
    ("sesame", "sesame", 22.8, 22.8),
    ("linseed", "flaxseed", 20.0, 20.0),
    ("hempseed", "hemp", 15.8, 15.8),
    ("sunflower", "sunflower", 17.0, 17.0),
    ("castor", "castor", 2.8, 2.8),
];

/// A fat's liquidus and its measured titre, °C.
struct Point {
    name: &'static str,
    liquidus: f64,
    measured: f64,
}

/// The points of `rows`.
fn points(rows: &[Row], library: &Library) -> Vec<Point> {
    let liquidus = |fat: &str| {
        let composition = Composition::of([(library.fat(fat)?.as_ref(), 1.0)], &library.acids)?;
        library.fusion.liquidus(Plain, &composition, &library.acids)
    };
    rows.iter()
        .map(|&(name, fat, from, to)| {
            let liquidus = liquidus(fat).expect("every fat is in the library, with a saturated acid");
            Point { name, liquidus, measured: f64::midpoint(from, to) }
        })
        .collect()
}

/// Offset and slope of the straight line with the least sum of squared errors in the titre.
fn least_squares(points: &[Point]) -> (f64, f64) {
    let n = points.len() as f64;
    let mean_l = points.iter().map(|p| p.liquidus).sum::<f64>() / n;
    let mean_t = points.iter().map(|p| p.measured).sum::<f64>() / n;
    let covariance: f64 = points.iter().map(|p| (p.liquidus - mean_l) * (p.measured - mean_t)).sum();
    let variance: f64 = points.iter().map(|p| (p.liquidus - mean_l).powi(2)).sum();
    let slope = covariance / variance;
    (mean_t - slope * mean_l, slope)
}

fn root_mean_square_error(points: &[Point], (a, b): (f64, f64)) -> f64 {
    let sum: f64 = points.iter().map(|p| (a + b * p.liquidus - p.measured).powi(2)).sum();
    (sum / points.len() as f64).sqrt()
}

fn print_table(heading: &str, points: &[Point], (a, b): (f64, f64)) {
    println!("\n{heading}");
    println!("{:<22}{:>9}{:>10}{:>11}{:>8}", "fat", "liquidus", "measured", "estimated", "error");
    for Point { name, liquidus, measured } in points {
        let estimated = a + b * liquidus;
        println!("{name:<22}{liquidus:>9.2}{measured:>10.2}{estimated:>11.2}{:>+8.2}", estimated - measured);
    }
    println!("root mean square error {:.2} °C", root_mean_square_error(points, (a, b)));
}

fn main() -> Result<(), LibraryError> {
    let library = Library::embedded()?;
    let (fitted, held_out) = (points(&FITTED, &library), points(&HELD_OUT, &library));
    let fit = least_squares(&fitted);
    println!("titre = a + b · liquidus, all in °C; error = estimated − measured");
    println!("a = {:.2}, b = {:.3}   (in use: a = {:.2}, b = {:.3})", fit.0, fit.1, FIT.1, FIT.0);
    print_table("Fitted", &fitted, fit);
    print_table("Held out", &held_out, fit);
    print_table("Fitted fats, with the constants in use", &fitted, (FIT.1, FIT.0));
    Ok(())
}
