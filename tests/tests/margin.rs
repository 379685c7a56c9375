//! The lye margin against closed forms, a simulation and the charges of 1908.
//!
//! Closed forms: the distribution of a sum of uniform quantities (P. Hall and J. O. Irwin, both
//! Biometrika 19, 1927; for unequal ones D. M. Bradley and R. C. Gupta, Annals of the Institute of
//! Statistical Mathematics 54, 2002; all from memory) and the trapezoid of two. The simulation draws what the model
//! says, with the products that the margin leaves out. The charges: Simmons & Appleton, The
//! Handbook of Soap Manufacture, 1908.

use barwright_acceptance::{Stream, assert_within};
use barwright_core::chemistry::margin::{LyeMargin, UniformSum};
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::mould::Size;
use barwright_core::design::supplier::SupplierFigure;
use barwright_core::design::{Alkali, Design};
use barwright_core::units::{
    FatMass, Purity, PurityMargin, SaponificationValue, ScaleDivision, Share, Superfat, SvMargin,
};
use barwright_core::{Library, evaluate};
use std::sync::Arc;

/// What the distribution of a sum promises.
const PROMISED: f64 = 2e-6;
/// What the margin may miss since it leaves out products of two deviations.
const PRODUCTS: f64 = 1e-4;

/// Irwin–Hall: the chance that `n` quantities, each uniform on 0–1, sum to at most `x`.
fn irwin_hall(n: u32, x: f64) -> f64 {
    let factorial = |n: u32| (1..=n).map(f64::from).product::<f64>();
    let term = |k: u32| {
        let sign = if k.is_multiple_of(2) { 1.0 } else { -1.0 };
        let choose = factorial(n) / (factorial(k) * factorial(n - k));
        sign * choose * (x - f64::from(k)).max(0.0).powi(i32::try_from(n).expect("small"))
    };
    (0..=n).map(term).sum::<f64>() / factorial(n)
}

#[test]
fn equal_ranges_follow_irwin_and_hall() {
    for n in 1..=8_u32 {
        // n quantities between −1 and 1: 2·(sum of n on 0–1) − n.
        let sum = UniformSum::of(vec![1.0; n as usize]);
        for i in 0..=80 {
            let x = f64::from(n) * (f64::from(i) / 40.0 - 1.0);
            let expected = irwin_hall(n, f64::midpoint(x, f64::from(n)));
            assert_within(&format!("{n} ranges, at most {x}"), sum.at_most(x), expected, PROMISED);
        }
    }
}

#[test]
fn two_ranges_make_a_trapezoid() {
    // Half widths 3 and 1: rising from −4 to −2, level to 2. The chance below −2 is that of the
    // rising side: half of 2 wide times the level height 1/6.
    let sum = UniformSum::of(vec![1.0, 3.0]);
    for (x, expected) in [(-4.0, 0.0), (-3.0, 1.0 / 24.0), (-2.0, 1.0 / 6.0), (0.0, 0.5), (1.0, 2.0 / 3.0), (4.0, 1.0)]
    {
        assert_within(&format!("at most {x}"), sum.at_most(x), expected, PROMISED);
    }
}

/// The chance that quantities with these half widths sum to at most `x`: Σ ±(x ± a₁ … ± aₙ)₊ⁿ over
/// all signs, by n!·Π 2aᵢ.
fn all_signs(half_widths: &[f64], x: f64) -> f64 {
    let n = u32::try_from(half_widths.len()).expect("few");
    let corner = |signs: u32| {
        let minus = |i: &usize| signs >> i & 1 == 1;
        let at: f64 = half_widths.iter().enumerate().map(|(i, a)| if minus(&i) { -a } else { *a }).sum();
        let sign = if signs.count_ones().is_multiple_of(2) { 1.0 } else { -1.0 };
        sign * (x + at).max(0.0).powi(i32::try_from(n).expect("few"))
    };
    let whole: f64 = half_widths.iter().map(|a| 2.0 * a).product();
    (0..1 << n).map(corner).sum::<f64>() / (1..=n).map(f64::from).product::<f64>() / whole
}

#[test]
fn unequal_ranges_follow_bradley_and_gupta() {
    let mut stream = Stream(7);
    let mut sums: Vec<Vec<f64>> = (0..60)
        .map(|i| {
            let narrowest: f64 = if i % 2 == 0 { 0.05 } else { 0.4 };
            (0..2 + i % 4).map(|_| stream.between(narrowest, 1.0)).collect()
        })
        .collect();
    // Two wide quantities with a narrow one are the hardest: the density has corners.
    sums.extend([0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.3].map(|narrow| vec![1.0, narrow, 1.0]));
    sums.extend([0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.3].map(|narrow| vec![1.0, narrow, narrow]));
    for half_widths in sums {
        let sum = UniformSum::of(half_widths.clone());
        for i in 0..=400 {
            let x = sum.half() * (f64::from(i) / 200.0 - 1.0);
            let expected = all_signs(&half_widths, x);
            assert_within(&format!("{half_widths:?}, at most {x}"), sum.at_most(x), expected, PROMISED);
        }
        for chance in [1e-4, 0.01, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999] {
            let found = all_signs(&half_widths, sum.quantile(chance, 0.0));
            assert_within(&format!("{half_widths:?}, below its quantile"), found, chance, PROMISED);
        }
    }
}

/// Fats of 200 mg KOH/g ± `pm` each, equal shares of 1000 g.
fn design(pms: &[f64], superfat: f64, division: f64, purity_pm: f64) -> Design {
    let library = Library::embedded().expect("assets parse");
    let ids = ["olive_virgin", "lard", "palm", "tallow_beef", "shea", "canola"];
    let line = |(id, pm): (&str, &f64)| {
        let fat = library.fat(id).expect("in the library");
        let mut line = FatLine::new(Arc::clone(fat), Share::nearest(100.0 / pms.len() as f64));
        line.supplier = Some(SupplierFigure { sv: SaponificationValue::nearest(200.0), pm: SvMargin::nearest(*pm) });
        line
    };
    Design {
        blend: Blend::new(ids.into_iter().zip(pms).map(line).collect()).expect("a blend"),
        superfat: Superfat::nearest(superfat),
        alkali: Alkali {
            naoh_purity: Purity::nearest(98.0),
            naoh_purity_pm: PurityMargin::nearest(purity_pm),
            ..Alkali::default()
        },
        scale_division: ScaleDivision::nearest(division),
        size: Size::FatMass(FatMass::nearest(1000.0)),
        ..Design::default()
    }
}

fn margin(design: &Design) -> LyeMargin {
    let library = Library::embedded().expect("assets parse");
    evaluate(design, &library).margin.expect("fats that take alkali")
}

#[test]
fn a_simulation_finds_the_same_chances() {
    const DRAWS: u32 = 400_000;
    for (pms, superfat, division, purity_pm) in
        [(vec![8.0], 2.0, 1.0, 0.5), (vec![9.0, 4.0, 2.0], 1.0, 1.0, 0.5), (vec![6.0; 6], 1.5, 5.0, 1.0)]
    {
        let design = design(&pms, superfat, division, purity_pm);
        let margin = margin(&design);
        let library = Library::embedded().expect("assets parse");
        let batch = evaluate(&design, &library).masses;
        let (mass, half) = (1000.0 / pms.len() as f64, division / 2.0);
        let mut stream = Stream(0x0BAD_5EED);
        let mut drawn: Vec<f64> = (0..DRAWS)
            .map(|_| {
                let need: f64 =
                    pms.iter().map(|pm| (mass + stream.within(half)) * (200.0 + stream.within(*pm)) / 1000.0).sum();
                let weighed = batch.alkali.naoh.0 + stream.within(half);
                let supply = weighed * (0.98 + stream.within(purity_pm / 100.0)) * 56.105 / 39.997;
                100.0 * (1.0 - supply / need)
            })
            .collect();
        drawn.sort_by(f64::total_cmp);
        // Three standard errors of a simulated chance, and what the margin leaves out.
        let error = |chance: f64| 3.0 * (chance * (1.0 - chance) / f64::from(DRAWS)).sqrt() + PRODUCTS;
        let share = |percent: f64| drawn.partition_point(|s| *s <= percent) as f64 / f64::from(DRAWS);
        for percent in [-3.0, -1.0, 0.0, 0.5, 1.0, 2.0, 3.0, 5.0] {
            let chance = share(percent);
            assert_within(&format!("{pms:?}: at most {percent} %"), margin.at_most(percent), chance, error(chance));
        }
        assert_within("lye-heavy", margin.chance_lye_heavy(), share(0.0), error(share(0.0)));
        for chance in [0.05, 0.95] {
            let found = margin.at_most(margin.quantile(chance));
            assert_within("the chance below a quantile", found, chance, 1e-6);
        }
        assert!(margin.low <= drawn[0] && *drawn.last().expect("drawn") <= margin.high, "all draws are inside");
    }
}

#[test]
fn the_quick_bound_is_never_below_the_chance() {
    for superfat in [-2.0, 0.0, 0.5, 1.0, 2.0, 3.0, 5.0, 8.0] {
        for pms in [vec![8.0], vec![9.0, 4.0, 2.0], vec![6.0; 6]] {
            let margin = margin(&design(&pms, superfat, 1.0, 0.5));
            let (chance, bound) = (margin.chance_lye_heavy(), margin.chance_bound());
            assert!(chance <= bound + PROMISED, "{pms:?} at {superfat} %: {chance} above {bound}");
        }
    }
    let safe = margin(&design(&[6.0; 6], 5.0, 1.0, 0.5));
    assert!(safe.chance_bound() < 0.01, "it tells a safe bar without the distribution: {}", safe.chance_bound());
}

#[test]
fn the_least_superfat_keeps_the_chance() {
    let planned = design(&[9.0, 5.0, 3.0], 1.0, 1.0, 0.5);
    let least = margin(&planned).least_superfat(0.01);
    let kept = Design { superfat: Superfat::new(least).expect("in range"), ..planned };
    // A little off, since the scale's part of the alkali changes with its mass.
    assert_within("chance at the least superfat", margin(&kept).chance_lye_heavy(), 0.01, 3.0 * PRODUCTS);
}

#[test]
fn more_doubt_widens_and_more_superfat_saves() {
    let chance = |pm: f64, superfat: f64| margin(&design(&[pm, pm], superfat, 1.0, 0.5)).chance_lye_heavy();
    let mut before = 0.0;
    for pm in [2.0, 4.0, 6.0, 8.0, 10.0, 12.0] {
        let now = chance(pm, 1.5);
        assert!(now >= before, "± {pm}: {now} after {before}");
        before = now;
    }
    let mut before = 1.0;
    for superfat in [-3.0, -1.0, 0.0, 1.0, 2.0, 4.0, 8.0] {
        let now = chance(8.0, superfat);
        assert!(now <= before, "superfat {superfat}: {now} after {before}");
        before = now;
    }
    assert_within("no superfat, symmetric doubts", chance(8.0, 0.0), 0.5, 0.005);
    let wide = margin(&design(&[8.0, 8.0], 5.0, 1.0, 0.5));
    let narrow = margin(&design(&[8.0, 1.0], 5.0, 1.0, 0.5));
    assert!(narrow.low > wide.low && narrow.high < wide.high, "a supplier's figure narrows it");
    assert!(
        wide.drivers[0].part <= 1.0 && wide.drivers.iter().map(|d| d.part).sum::<f64>() > 0.999,
        "parts of a whole"
    );
}

/// Saponification equivalents of 1908 as suppliers' figures: SV = 56105/SE.
fn charge_of_1908(fats: &[(&str, f64, f64)], naoh: f64) -> LyeMargin {
    let library = Library::embedded().expect("assets parse");
    let total: f64 = fats.iter().map(|f| f.1).sum();
    let lines: Vec<FatLine> = fats
        .iter()
        .map(|(id, mass, equivalent)| {
            let fat = library.fat(id).expect("in the library");
            let mut line = FatLine::new(Arc::clone(fat), Share::nearest(100.0 * mass / total));
            // The book prints one figure; a hundredth of it either way is what titration was good for.
            let sv = 56_105.0 / equivalent;
            line.supplier =
                Some(SupplierFigure { sv: SaponificationValue::nearest(sv), pm: SvMargin::nearest(sv / 100.0) });
            line
        })
        .collect();
    let need: f64 = fats.iter().map(|(_, mass, se)| mass / se * 39.997).sum();
    let design = Design {
        blend: Blend::new(lines).expect("a blend"),
        superfat: Superfat::new(100.0 * (1.0 - naoh / need)).expect("in range"),
        size: Size::FatMass(FatMass::nearest(1000.0)),
        ..Design::default()
    };
    margin(&design)
}

#[test]
fn the_charges_of_1908_are_judged_rightly() {
    // Simmons & Appleton 1908, cold process: 100 coconut with 50 of lye at 32.64 %.
    let cold = charge_of_1908(&[("coconut", 100.0, 215.0)], 16.32);
    assert_within("12 % held back", cold.chance_lye_heavy(), 0.0, 0.0);
    assert!(cold.low > 5.0, "even at the extremes: {}", cold.low);
    // The transparent soap as printed, 7 % lye-heavy.
    let fats = [("coconut", 56.0, 215.0), ("tallow_beef", 56.0, 284.5), ("castor", 56.0, 310.0)];
    let heavy = charge_of_1908(&fats, 27.33);
    assert!(heavy.chance_lye_heavy() > 0.99, "{}", heavy.chance_lye_heavy());
    assert!(heavy.least_superfat(0.01) > 0.0, "some alkali must be held back");
}
