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

/// A bar whose colour is looked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Sought {
    /// What gives it its colour.
    pub makeup: Makeup,
    mixture: Mixture,
    strength: f64,
}

impl Sought {
    /// The bar of `forecast`; `None` where looking at it tells nothing.
    pub fn of(forecast: &Forecast<'_>) -> Option<Self> {
        let [_, strength, _] = forecast.strengths;
        let Forecast { makeup, mixture, .. } = forecast;
        forecast.can_be_matched().then(|| Self { makeup: makeup.clone(), mixture: mixture.clone(), strength })
    }

    /// The colour with the sliders there, each from −[`REACH`] to [`REACH`]: deeper and redder, or darker and yellower
    /// for a plain bar.
    pub fn colour(&self, deeper: f64, redder: f64) -> Lab {
        if self.makeup.is_plain() {
            let plain = self.mixture.plain(self.strength);
            let lightness = (plain.l - DARKER * deeper).clamp(0.0, 100.0);
            Lab::new(lightness, plain.a, plain.b + YELLOWER * redder)
        } else {
            let colour = self.mixture.colour(self.strength * (STRONGER * deeper).exp(), 1.0);
            Lab::new(colour.l, colour.a + REDDER * redder, colour.b)
        }
    }
}
