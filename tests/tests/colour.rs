//! The optics of the forecast of colours, against published measurements and independent code.
//!
//! Sources: `tests/data/cassava-reflectance.csv` (Ikeogu et al., PLOS ONE 12(12): e0188918, 2017, CC BY 4.0);
//! `tests/data/colour-bands.csv` (independent code with the CIE tables); Švec et al. 2008 for durum flour (abstract);
//! Sharma, Wu and Dalal, Color Research & Application 30 (2005) 21, for differences of colours (from memory).

use barwright_core::Library;
use barwright_core::chemistry::colour::forecast::Mixture;
use barwright_core::chemistry::colour::optics::{Eye, Lab, absorption, difference, on_screen, plain_bar, reflectance};
use barwright_core::chemistry::colour::strength::{BEFORE_A_BAR, READING_ERROR, Strengths, USUAL};
use barwright_core::library::pigments::{BANDS, Curve};
use palette::color_difference::Ciede2000;

fn library() -> Library {
    Library::embedded().expect("assets parse")
}

/// Of beta-carotene, 1 at its peak.
fn carotene(library: &Library) -> Curve {
    let carotenes = library.pigments.all().iter().find(|p| p.name == "carotenes").expect("tabled");
    carotenes.absorber.as_ref().expect("absorbs").curve
}

/// A bar of L* and b* with mg of carotene in a kilogram.
fn bar(library: &Library, plain: (f64, f64), mg: f64) -> Mixture {
    let base = plain_bar(&library.pigments.bands, plain.0, plain.1);
    Mixture::new(&library.pigments, base, carotene(library).map(|e| mg * e))
}

fn near(actual: f64, expected: f64, error: f64, what: &str) {
    assert!((actual - expected).abs() <= error, "{what}: {actual} against {expected}, off by more than {error}");
}

#[test]
fn the_bar_with_10_mg_is_as_independent_code_has_it() {
    let library = library();
    let rows: Vec<[f64; 3]> = csv::Reader::from_path("data/colour-bands.csv")
        .expect("the table")
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("numbers");
    let plain = plain_bar(&library.pigments.bands, 90.0, 8.0);
    let shape = carotene(&library);
    for (i, [nm, ks, r]) in rows.iter().enumerate() {
        near(plain[i], *ks, 2e-4, &format!("K/S of the plain bar at {nm} nm"));
        // The shape is tabled with four digits: by the slope of the reflectance that is so much of it.
        let all = ks + 10.0 * 0.096 * shape[i];
        let slope = (1.0 + all) / (all * all + 2.0 * all).sqrt() - 1.0;
        near(reflectance(all), *r, 5e-5 * slope.max(1.0), &format!("reflectance at {nm} nm"));
    }
    let colour = bar(&library, (90.0, 8.0), 10.0).colour(0.096, 1.0);
    for (actual, expected, what) in [(colour.l, 83.222, "L*"), (colour.a, 5.498, "a*"), (colour.b, 39.108, "b*")] {
        near(actual, expected, 0.05, what);
    }
    // The same code writes #f2ca86.
    for (actual, expected) in on_screen(colour).into_iter().zip([0xf2, 0xca, 0x86]) {
        near(f64::from(actual), f64::from(expected), 1.0, "of sRGB");
    }
}

/// Carotenoids, mg/kg, and the reflectance, of the roots of one set.
fn roots(set: &str) -> Vec<(f64, Curve)> {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path("data/cassava-reflectance.csv").expect("the table");
    let rows = reader.records().map(|row| row.expect("a row")).filter(|row| &row[0] == set);
    let number = |text: &str| text.parse::<f64>().expect("a number");
    let found: Vec<_> = rows.map(|row| (number(&row[2]), std::array::from_fn(|i| number(&row[3 + i])))).collect();
    assert!(found.len() > 50, "{set}: {}", found.len());
    found
}

/// K/S = base + content · slope in one band, by least squares.
fn line(roots: &[(f64, Curve)], band: usize) -> (f64, f64) {
    let n = roots.len() as f64;
    let mean = |of: &dyn Fn(&(f64, Curve)) -> f64| roots.iter().map(of).sum::<f64>() / n;
    let (c, y) = (mean(&|r| r.0), mean(&|r| absorption(r.1[band])));
    let slope = mean(&|r| (r.0 - c) * (absorption(r.1[band]) - y)) / mean(&|r| (r.0 - c).powi(2));
    (y - slope * c, slope)
}

fn median(mut of: Vec<f64>) -> f64 {
    of.sort_by(f64::total_cmp);
    of[of.len() / 2]
}

#[test]
fn roots_that_were_held_out_are_met_by_one_strength_of_the_others() {
    let library = library();
    let (known, held_out) = (roots("C16Mcal"), roots("C16Mval"));
    assert_eq!((known.len(), held_out.len()), (119, 54));
    let eye = Eye::new(&library.pigments.bands);
    let lines: Vec<(f64, f64)> = (0..BANDS).map(|band| line(&known, band)).collect();
    let missed = |roots: &[(f64, Curve)]| {
        let each = roots.iter().map(|(mg, seen)| {
            let layer = std::array::from_fn(|i| lines[i].0 + mg * lines[i].1);
            difference(eye.of_layer(&layer), eye.sees(seen.iter().copied()))
        });
        median(each.collect())
    };
    assert!(missed(&known) <= 3.0, "of its own roots: {}", missed(&known));
    assert!(missed(&held_out) <= 3.0, "of the others: {}", missed(&held_out));
}

#[test]
fn one_strength_of_the_tabled_shape_meets_the_roots_too() {
    let library = library();
    let (known, held_out) = (roots("C16Mcal"), roots("C16Mval"));
    let eye = Eye::new(&library.pigments.bands);
    let shape = carotene(&library);
    let base: Curve = std::array::from_fn(|band| line(&known, band).0);
    let missed = |strength: f64, roots: &[(f64, Curve)]| {
        let each = roots.iter().map(|(mg, seen)| {
            let layer = std::array::from_fn(|i| base[i] + mg * strength * shape[i]);
            difference(eye.of_layer(&layer), eye.sees(seen.iter().copied()))
        });
        median(each.collect())
    };
    let strengths: Vec<f64> = (20..120).map(|i| f64::from(i) / 1000.0).collect();
    let best = strengths.into_iter().min_by(|a, b| missed(*a, &known).total_cmp(&missed(*b, &known)));
    let best = best.expect("some");
    // The shape is that of fat and cells in equal parts, the mash is nearly all cells: wider than with its own shape.
    assert!(missed(best, &held_out) <= 5.0, "strength {best}: {}", missed(best, &held_out));
    assert!((0.04..0.1).contains(&best), "the strength is about the 0.067 of the mash: {best}");
}

#[test]
fn durum_flour_is_as_yellow_as_it_was_measured() {
    // Common flour L* 93.6 b* 8.1; durum b* 22.2 with about 2 mg/kg more.
    let durum = bar(&library(), (93.6, 8.1), 2.0).colour(USUAL, 1.0);
    near(durum.b, 22.2, 3.0, "b* of durum flour");
}

#[test]
fn differences_of_colours_are_those_of_the_published_pairs() {
    // Pairs 1, 4, 7, 13 and 25 of Sharma, Wu and Dalal, from memory.
    for (a, b, expected) in [
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
        ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
        ((50.0, 2.5, 0.0), (50.0, 0.0, -2.5), 4.3065),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ] {
        let lab = |(l, a, b): (f64, f64, f64)| Lab::new(l, a, b);
        near(lab(a).difference(lab(b)), expected, 5e-5, &format!("{a:?} and {b:?}"));
    }
}

#[test]
fn more_pigment_is_never_lighter_and_a_blend_of_halves_lies_between() {
    let library = library();
    let mut before = bar(&library, (90.0, 8.0), 0.0).colour(USUAL, 1.0);
    for mg in 1..200 {
        let next = bar(&library, (90.0, 8.0), f64::from(mg)).colour(USUAL, 1.0);
        assert!(next.l <= before.l, "{mg} mg: {} after {}", next.l, before.l);
        before = next;
    }
    for (one, other) in [(0.0, 4.0), (2.0, 20.0), (10.0, 50.0)] {
        let of = |mg| bar(&library, (90.0, 8.0), mg).colour(USUAL, 1.0);
        let (a, b, between) = (of(one), of(other), of(f64::midpoint(one, other)));
        assert!(b.l <= between.l && between.l <= a.l, "lightness of {one} and {other}");
        assert!(a.b <= between.b && between.b <= b.b, "yellowness of {one} and {other}");
    }
}

#[test]
fn an_own_bar_narrows_the_strength_and_never_past_the_error_of_reading() {
    let library = library();
    let prior = Strengths::normal(USUAL, BEFORE_A_BAR);
    near(prior.spread(), BEFORE_A_BAR, 0.02, "the spread before");
    for mg in [0.1, 1.0, 3.0, 10.0, 30.0, 200.0] {
        let mixture = bar(&library, (90.0, 8.0), mg);
        for times in [0.4, 1.0, 2.5] {
            let strength = times * USUAL;
            let after = prior.seen(mixture.colour(strength, 1.0), |g| mixture.colour(g, 1.0));
            // The step of the grid, 0.05 in the logarithm, is its own error.
            assert!(after.spread() <= prior.spread() * 1.05, "{mg} mg: {} after {}", after.spread(), prior.spread());
            let [low, likely, high] = after.band();
            assert!(low <= likely && likely <= high, "{mg} mg");
            // As far in colour as a reading can be wrong, or as far as it was before, whichever is less.
            let far = |[low, _, high]: [f64; 3]| difference(mixture.colour(low, 1.0), mixture.colour(high, 1.0));
            let least = far(prior.band()).min(READING_ERROR);
            assert!(far(after.band()) >= 0.8 * least, "{mg} mg, times {times}: {} under {least}", far(after.band()));
        }
        // Deep orange hardly changes, and a bar without pigment tells nothing.
        if mg < 0.2 {
            let after = prior.seen(mixture.colour(USUAL, 1.0), |g| mixture.colour(g, 1.0));
            assert!(after.spread() > 0.6, "{mg} mg tells little: {}", after.spread());
        }
    }
}
