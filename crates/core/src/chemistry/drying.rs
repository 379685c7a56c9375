//! Drying by diffusion: which part of the free water is still in a body whose surface is dry.
//!
//! Source: J. Crank, The Mathematics of Diffusion, 2nd ed., Oxford 1975, chapters 4 (plane sheet)
//! and 5 (cylinder), from memory. Diffusivity and shape are taken as constant; soap shrinks a
//! little and grows tighter as it dries, so real bars lose their last water more slowly.

use std::f64::consts::{FRAC_2_SQRT_PI, PI};

/// Below this `t` the first terms for short times are exact enough and the series are long.
const SHORT: f64 = 0.01;
/// A term of a series that no longer counts.
const NEGLIGIBLE: f64 = 1e-16;

/// Part of the free water left in a plane sheet that dries from both faces; `t` = Dt/l² with the
/// whole thickness l.
///
/// Series for long times (Crank 4.18), Σ 8/((2n+1)²π²)·exp(−(2n+1)²π²t); for short times (4.20)
/// 1 − 4·√(t/π), whose next term is below 1e−12 where it is used.
///
/// ```
/// use barwright_core::chemistry::drying::sheet;
/// // Half of it is gone at Dt/l² = 0.0492 (Crank 4.21).
/// assert!((sheet(0.0492) - 0.5).abs() < 1e-4);
/// ```
pub fn sheet(t: f64) -> f64 {
    if t < SHORT {
        return 1.0 - 2.0 * FRAC_2_SQRT_PI * t.max(0.0).sqrt();
    }
    // exp(−k²π²t) for k = 1, 3, 5, …: each follows from the one before, since k² grows by 8, 16, 24, …
    let first = (-PI * PI * t).exp();
    let growth = first.powi(8);
    let (mut sum, mut k, mut power, mut step) = (0.0, 1.0, first, growth);
    loop {
        let term = power / (k * k);
        sum += term;
        if term < NEGLIGIBLE {
            return 8.0 / (PI * PI) * sum;
        }
        k += 2.0;
        power *= step;
        step *= growth;
    }
}

/// Part of the free water left in a long cylinder that dries through its side; `t` = Dt/a² with
/// the radius a.
///
/// Series for long times (Crank 5.23), Σ 4/α²·exp(−α²t) over the roots α of J₀. For short times
/// the expansion of which Crank 5.25 gives the first three terms, continued to t^3.5 from
/// I₁/I₀(x) = 1 − 1/2x − 1/8x² − 1/8x³ − 25/128x⁴ − 13/32x⁵ − 1073/1024x⁶; it is off by 4e−9 at
/// most where it is used.
pub fn cylinder(t: f64) -> f64 {
    if t < SHORT {
        let t = t.max(0.0);
        let root = t.sqrt();
        let odd = root * (2.0 - t * (1.0 / 6.0 + t * (5.0 / 48.0 + t * 1073.0 / 6720.0))) * FRAC_2_SQRT_PI;
        return 1.0 - odd + t + t * t / 8.0 + 13.0 / 96.0 * t * t * t;
    }
    let mut sum = 0.0;
    for n in 1_u32.. {
        let square = bessel_root(n).powi(2);
        let term = (-square * t).exp() / square;
        sum += term;
        if term < NEGLIGIBLE {
            break;
        }
    }
    4.0 * sum
}

/// The `n`-th positive root of the Bessel function J₀: tabled (Abramowitz & Stegun, Handbook of
/// Mathematical Functions, table 9.5, from memory), then the expansion for large roots (9.5.12).
fn bessel_root(n: u32) -> f64 {
    const TABLED: [f64; 5] = [
        2.404_825_557_695_773,
        5.520_078_110_286_311,
        8.653_727_912_911_013,
        11.791_534_439_014_28,
        14.930_917_708_487_79,
    ];
    let tabled = usize::try_from(n).ok().and_then(|n| TABLED.get(n.checked_sub(1)?));
    tabled.copied().unwrap_or_else(|| {
        let b = (f64::from(n) - 0.25) * PI;
        let x = 1.0 / (8.0 * b);
        let y = x * x;
        b + x * (1.0 + y * (-124.0 / 3.0 + y * (120_928.0 / 15.0 - y * 401_743_168.0 / 105.0)))
    })
}

/// Dt/l² at which a plane sheet has lost half of its free water, solved from [`sheet`].
pub fn half_time() -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while high - low > f64::EPSILON * high {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        *(if sheet(middle) > 0.5 { &mut low } else { &mut high }) = middle;
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Crank 1975, 4.21: t½ = −(l²/π²D)·ln(π²/16 − (π²/16)⁹/9), printed as 0.049 l²/D. It puts π²/16
    /// for the first term in the second one, and so is off by 1e−4 of itself.
    #[test]
    fn a_sheet_loses_half_of_its_water_when_crank_says() {
        let x = PI * PI / 16.0;
        let closed = -(x - x.powi(9) / 9.0).ln() / (PI * PI);
        let solved = half_time();
        assert!((solved / closed - 1.0).abs() < 1.5e-4, "solved {solved}, closed form {closed}");
        assert!((solved - 0.049).abs() < 5e-4, "Crank prints 0.049, got {solved}");
        assert!((sheet(solved) - 0.5).abs() < 1e-14, "half is left, got {}", sheet(solved));
    }

    #[test]
    fn both_branches_meet_where_they_change() {
        for (what, f, allowed) in [("sheet", sheet as fn(f64) -> f64, 1e-12), ("cylinder", cylinder, 5e-9)] {
            let (short, long) = (f(SHORT * (1.0 - 1e-12)), f(SHORT));
            assert!((short - long).abs() < allowed, "{what}: {short} and {long}");
        }
    }

    #[test]
    fn water_leaves_from_all_of_it_to_none() {
        for f in [sheet as fn(f64) -> f64, cylinder] {
            assert!((f(0.0) - 1.0).abs() < 1e-15, "all at first: {}", f(0.0));
            assert!(f(50.0) < 1e-100, "none at last: {}", f(50.0));
            assert!(f(f64::INFINITY).abs() < 1e-300, "none after all time: {}", f(f64::INFINITY));
            let mut before = 1.0;
            for i in 1..4000 {
                let now = f(f64::from(i) * 2.5e-4);
                assert!(now < before, "step {i}: {now} after {before}");
                before = now;
            }
        }
    }
}
