//! What an unknown colourant absorbs, from one bar that was seen: smooth, and no more of it than the colour asks for.

use super::optics::{Eye, Lab, difference};
use crate::library::pigments::{BANDS, Band, Curve};

/// Where the lobes of absorption lie, nm: what they take away is blue, green and red light (our judgement).
const MIDDLES: [f64; 3] = [450.0, 545.0, 625.0];
/// How wide they are, as the standard deviation of a normal curve, nm (our judgement; pigments in solids are broad).
const WIDTH: f64 = 45.0;
/// The first steps of the logarithms of their heights, and the last.
const STEPS: (f64, f64) = (2.0, 0.004);
/// Heights, as logarithms, are looked for between these; the lower one is nothing.
const ENDS: (f64, f64) = (-9.0, 4.0);

/// The absorption over scattering that, added to `base` and both weakened by `weakened`, looks like `seen`, or as near to
/// it as comes.
pub fn absorbed(bands: &[Band; BANDS], base: &Curve, weakened: f64, seen: Lab) -> Curve {
    let eye = Eye::new(bands);
    let lobe = |middle: f64| -> Curve { bands.map(|band| (-0.5 * ((band.nm - middle) / WIDTH).powi(2)).exp()) };
    let lobes = MIDDLES.map(lobe);
    let curve = |heights: [f64; 3]| -> Curve {
        let parts = heights.map(f64::exp);
        std::array::from_fn(|i| (0..3).map(|j| parts[j] * lobes[j][i]).sum())
    };
    let off = |heights: [f64; 3]| {
        let extra = curve(heights);
        difference(eye.of_layer(&std::array::from_fn(|i| weakened * (base[i] + extra[i]))), seen)
    };
    // One height at a time, in ever smaller steps: the three hardly hinder each other.
    let mut at = [-2.0; 3];
    let mut least = off(at);
    let mut step = STEPS.0;
    while step > STEPS.1 {
        let mut is_better = false;
        for j in 0..3 {
            for way in [step, -step] {
                let mut next = at;
                next[j] = (next[j] + way).clamp(ENDS.0, ENDS.1);
                let far = off(next);
                if far < least {
                    (at, least, is_better) = (next, far, true);
                }
            }
        }
        if !is_better {
            step /= 2.0;
        }
    }
    curve(at)
}
