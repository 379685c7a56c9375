//! How fast an own bar pales where it is kept, from two looks at it: the only kind of paling that has a date, since
//! published rates differ seventyfold.

use super::optics::{Lab, difference};
use super::strength::{Strengths, USUAL};
use crate::design::words::Day;
use crate::units::Days;

/// Half of a pigment is gone after no less and no more, days: from a sunny sill, where a juice takes two days (Pesek and
/// Warthesen, photodegradation of carotenoids in vegetable juice), to a dark drawer (our judgement). Before a second look
/// each time between them is as likely as another, in the logarithm.
const ENDS: (f64, f64) = (4.0, 7300.0);
/// How far two looks at one bar are read apart, as a difference of colours (our judgement: less than how far a look is
/// read wrong, since eye, lamp and the unevenness of that bar are in both).
const APART: f64 = 3.0;
/// How many times are weighed, evenly in their logarithm.
const PLACES: usize = 101;
/// How many strengths are weighed at each look, evenly in their logarithm.
const STEPS: usize = 101;
/// How much longer the longest likely time may be than the shortest for a date to be told (our judgement).
const TELLS: f64 = 8.0;
/// Between which strengths, as parts of the usual one: from where nothing is seen of it.
const STRENGTHS: (f64, f64) = (0.0004, 10.0);

/// How fast a bar pales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fading {
    /// When it was seen first.
    pub first: Day,
    /// When it was seen again.
    pub again: Day,
    /// What the two looks tell.
    pub pace: Pace,
}

/// What two looks tell of how fast a bar pales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pace {
    /// Half of its colour is gone after so many days: one of ten is shorter, half are, nine of ten are.
    Halves([f64; 3]),
    /// It is hardly paler: nine of ten times are longer, days.
    Longer(f64),
    /// Most of its colour is gone: nine of ten times are shorter, days.
    Shorter(f64),
}

/// A bar seen twice.
#[derive(Debug, Clone, Copy)]
pub struct Looks {
    /// The first time.
    pub first: (Day, Lab),
    /// The second time.
    pub again: (Day, Lab),
}

impl Fading {
    /// How fast a bar pales that is `colour` at a strength, and was held to be `before` strong without a look at it.
    ///
    /// What is left of a pigment halves in equal times (first order, as the carotenoids of juices and oils do). `None` if
    /// the second look is no later than the first.
    pub fn of(colour: impl Fn(f64) -> Lab, before: &Strengths, looks: Looks) -> Option<Self> {
        let Looks { first: (first, seen), again: (again, seen_again) } = looks;
        let days = first.days_to(again) as f64;
        if days <= 0.0 {
            return None;
        }
        let (at_first, later) = (Likelihood::of(&colour, seen), Likelihood::of(&colour, seen_again));
        let (shortest, longest) = (ENDS.0.ln(), ENDS.1.ln());
        let time = |place: usize| (shortest + (longest - shortest) * place as f64 / (PLACES - 1) as f64).exp();
        let parts: [f64; PLACES] = std::array::from_fn(|place| {
            let left = (-days / time(place)).exp2();
            before.each().map(|(strength, part)| part * at_first.at(strength) * later.at(strength * left)).sum()
        });
        let sum: f64 = parts.iter().sum();
        let quantile = |below: f64| {
            let mut so_far = 0.0;
            let place = parts.iter().position(|part| {
                so_far += part / sum;
                so_far >= below
            });
            time(place.unwrap_or(PLACES - 1))
        };
        let [short, middle, long] = [0.1, 0.5, 0.9].map(quantile);
        let pace = if long <= TELLS * short {
            Pace::Halves([short, middle, long])
        } else if days < middle {
            Pace::Longer(short)
        } else {
            Pace::Shorter(long)
        };
        Some(Self { first, again, pace })
    }

    /// When half of the colour is gone, if two looks tell it.
    pub fn halves(&self) -> Option<(Days, Day)> {
        let Pace::Halves([_, middle, _]) = self.pace else { return None };
        Some((Days::nearest(middle), self.day_after(middle)))
    }

    /// The day so many days after the first look.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "no less than 4 days, no more than 7300"
    )]
    pub fn day_after(&self, days: f64) -> Day {
        self.first.after(days.round() as u64)
    }
}

/// The logarithm of how likely a look is, by strength.
struct Likelihood([f64; STEPS]);

impl Likelihood {
    fn of(colour: impl Fn(f64) -> Lab, seen: Lab) -> Self {
        let (low, high) = (STRENGTHS.0.ln(), STRENGTHS.1.ln());
        Self(std::array::from_fn(|place| {
            let relative = low + (high - low) * place as f64 / (STEPS - 1) as f64;
            let off = difference(colour(USUAL * relative.exp()), seen) / APART;
            -0.5 * off * off
        }))
    }

    /// How likely it is at this strength, between the two nearest places.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place within the row")]
    fn at(&self, strength: f64) -> f64 {
        let (low, high) = (STRENGTHS.0.ln(), STRENGTHS.1.ln());
        let last = (STEPS - 1) as f64;
        // No strength at all has no logarithm, and is the lowest place.
        let place = ((strength / USUAL).max(STRENGTHS.0).ln() - low) / (high - low) * last;
        let place = place.clamp(0.0, last);
        let before = (place as usize).min(STEPS - 2);
        let part = place - before as f64;
        (self.0[before] * (1.0 - part) + self.0[before + 1] * part).exp()
    }
}
