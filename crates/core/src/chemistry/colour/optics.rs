//! From absorption over scattering to a colour: Kubelka and Munk for a thick layer, the observer of 1931 under daylight.
//!
//! Source: P. Kubelka, F. Munk, Z. Tech. Phys. 12 (1931) 593; colorimetry as CIE 15, from memory. A bar of 25 mm is
//! thick: no light comes through it. All scattering is that of the plain bar, and absorptions add.

use crate::design::own_bar::ColourSeen;
use crate::library::pigments::{Band, Curve};
use palette::white_point::{D65, WhitePoint};
use palette::{FromColor, Srgb, Xyz};

/// How far a logarithm is moved to see a slope.
const SLOPE_STEP: f64 = 1e-5;

/// A colour as L*, a* and b*, under daylight.
pub type Lab = palette::Lab<D65, f64>;

impl From<ColourSeen> for Lab {
    fn from(seen: ColourSeen) -> Self {
        let [l, a, b] = seen.lab();
        Self::new(l, a, b)
    }
}

/// The least absorption over scattering that a band can have: nothing is whiter than it.
const LEAST: f64 = 1e-5;

/// The part of the light that comes back at `ks`, absorption over scattering.
pub fn reflectance(ks: f64) -> f64 {
    let ks = ks.max(LEAST);
    1.0 + ks - (ks * ks + 2.0 * ks).sqrt()
}

/// Absorption over scattering where the part `reflectance` of the light comes back.
///
/// ```
/// use barwright_core::chemistry::colour::optics::{absorption, reflectance};
/// assert!((reflectance(absorption(0.4)) - 0.4).abs() < 1e-12);
/// ```
pub fn absorption(reflectance: f64) -> f64 {
    (1.0 - reflectance).powi(2) / (2.0 * reflectance)
}

/// How an eye weighs the bands: X, Y and Z of each.
#[derive(Debug, Clone, PartialEq)]
pub struct Eye([[f64; 3]; crate::library::pigments::BANDS]);

impl Eye {
    /// An eye that sees these bands, the sum of which is white.
    pub fn new(bands: &[Band]) -> Self {
        let white = <D65 as WhitePoint<f64>>::get_xyz();
        let white = [white.x, white.y, white.z];
        // The bands sum to the white within their rounding; they are brought to it, so that white is white.
        let scale: [f64; 3] = std::array::from_fn(|i| white[i] / bands.iter().map(|b| b.xyz[i]).sum::<f64>());
        Self(std::array::from_fn(|band| std::array::from_fn(|i| bands[band].xyz[i] * scale[i])))
    }

    /// The colour of what sends back these parts of the light.
    pub fn sees(&self, reflectance: impl Iterator<Item = f64>) -> Lab {
        let mut xyz = [0.0; 3];
        for (part, weight) in reflectance.zip(&self.0) {
            for (sum, weight) in xyz.iter_mut().zip(weight) {
                *sum += part * weight;
            }
        }
        Lab::from_color(Xyz::<D65, f64>::new(xyz[0], xyz[1], xyz[2]))
    }

    /// The colour of a thick layer of `ks`, absorption over scattering.
    pub fn of_layer(&self, ks: &Curve) -> Lab {
        self.sees(ks.iter().map(|ks| reflectance(*ks)))
    }
}

/// A colour as a screen shows it, of those that a screen has the nearest.
pub fn on_screen(colour: Lab) -> [u8; 3] {
    let (red, green, blue) = Srgb::<f64>::from_color(colour).into_format::<u8>().into_components();
    [red, green, blue]
}

/// How far two colours are from each other, as a straight way through L*, a* and b*.
pub fn difference(a: Lab, b: Lab) -> f64 {
    ((a.l - b.l).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)).sqrt()
}

/// In how many nm the tail of a plain bar's absorption falls to a part of e, from the blue end (our judgement).
const TAIL_NM: f64 = 60.0;

/// The plain bar of this lightness and yellowness, as absorption over scattering: a grey floor and a tail that falls
/// from the blue end, both solved for. Where there is no such bar it is the nearest that was found.
pub fn plain_bar(bands: &[Band], lightness: f64, yellowness: f64) -> Curve {
    let eye = Eye::new(bands);
    let tail: Curve = std::array::from_fn(|i| (-(bands[i].nm - bands[0].nm) / TAIL_NM).exp());
    let curve = |[floor, height]: [f64; 2]| -> Curve { tail.map(|t| floor.exp() + height.exp() * t) };
    let missed = |at: [f64; 2]| {
        let colour = eye.of_layer(&curve(at));
        [colour.l - lightness, colour.b - yellowness]
    };
    let worse = |m: [f64; 2]| m[0].hypot(m[1]);
    let mut at = [-4.0, -2.0];
    let mut miss = missed(at);
    for _ in 0..60 {
        if worse(miss) < 1e-9 {
            break;
        }
        // Newton in both logarithms; the slopes by small steps.
        let slope = |i: usize| {
            let mut moved = at;
            moved[i] += SLOPE_STEP;
            let moved = missed(moved);
            [(moved[0] - miss[0]) / SLOPE_STEP, (moved[1] - miss[1]) / SLOPE_STEP]
        };
        let (by_floor, by_tail) = (slope(0), slope(1));
        let determinant = by_floor[0] * by_tail[1] - by_tail[0] * by_floor[1];
        let way = [
            (miss[0] * by_tail[1] - by_tail[0] * miss[1]) / determinant,
            (by_floor[0] * miss[1] - by_floor[1] * miss[0]) / determinant,
        ];
        let step = |part: f64| [(at[0] - part * way[0]).clamp(-12.0, 3.0), (at[1] - part * way[1]).clamp(-12.0, 3.0)];
        let tries = [1.0, 0.5, 0.25, 0.1, 0.02].map(step);
        let Some(better) = tries.into_iter().find(|next| worse(missed(*next)) < worse(miss)) else { break };
        (at, miss) = (better, missed(better));
    }
    curve(at)
}
