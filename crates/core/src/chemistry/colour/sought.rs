//! The colours among which a person looks for that of an own bar, with two sliders.

use super::forecast::{Forecast, Mixture};
use super::optics::Lab;
use crate::design::own_bar::Makeup;

/// How far a slider goes to either side of the middle.
pub const REACH: f64 = 10.0;
/// What a step of the first slider does: to the logarithm of the strength, or to the lightness of a plain bar. To its
/// end it reaches four times as much and a quarter.
const STRONGER: f64 = 0.14;
const DARKER: f64 = 2.2;
/// What a step of the second does to a*, or to b* of a plain bar: from lemon to peach, which is as far as the state of
/// the pigment moves it.
const REDDER: f64 = 1.2;
const YELLOWER: f64 = 1.8;

/// What a step does where any colour is looked for: to L*, and to a* and b*.
const FREE: (f64, f64) = (4.0, 5.0);
/// Lighter than the plain bar it does not begin: so much darker, L*.
const BEGINS_DARKER: f64 = 20.0;

/// What the sliders do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Deeper and redder, of a pigment that is known.
    Strength,
    /// Darker and yellower, of a plain bar.
    Plain,
    /// Darker, redder and yellower, of what only an own bar tells.
    Free,
}

/// A bar whose colour is looked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Sought {
    /// What gives it its colour.
    pub makeup: Makeup,
    /// What the sliders do.
    pub way: Way,
    mixture: Mixture,
    strength: f64,
    begins: Lab,
}

impl Sought {
    /// The bar of `forecast`; `None` where looking at it tells nothing.
    pub fn of(forecast: &Forecast<'_>) -> Option<Self> {
        if !forecast.can_be_matched() {
            return None;
        }
        let [_, strength, _] = forecast.strengths;
        let Forecast { makeup, mixture, .. } = forecast;
        let (makeup, mixture) = (makeup.clone(), mixture.clone());
        let plain = mixture.plain(strength);
        let (way, begins) = if makeup.is_plain() {
            (Way::Plain, plain)
        } else if forecast.only_a_bar_tells() {
            let darker = Lab::new(plain.l - BEGINS_DARKER, plain.a, plain.b);
            (Way::Free, forecast.shades(1.0).map_or(darker, |shades| shades.likely))
        } else {
            (Way::Strength, mixture.colour(strength, 1.0))
        };
        Some(Self { makeup, way, mixture, strength, begins })
    }

    /// The colour with the sliders there, each from −[`REACH`] to [`REACH`], as [`Way`] has them; the third counts where
    /// there are three.
    pub fn colour(&self, [deeper, redder, yellower]: [f64; 3]) -> Lab {
        let Lab { l, a, b, .. } = self.begins;
        match self.way {
            Way::Plain => Lab::new((l - DARKER * deeper).clamp(0.0, 100.0), a, b + YELLOWER * redder),
            Way::Free => {
                let (lightness, hue) = FREE;
                Lab::new((l - lightness * deeper).clamp(0.0, 100.0), a + hue * redder, b + hue * yellower)
            }
            Way::Strength => {
                let colour = self.mixture.colour(self.strength * (STRONGER * deeper).exp(), 1.0);
                Lab::new(colour.l, colour.a + REDDER * redder, colour.b)
            }
        }
    }
}
