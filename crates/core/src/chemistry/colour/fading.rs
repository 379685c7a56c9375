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
/// An end of the times is ruled out by the looks once it is less likely than this part of the likeliest time, as two
/// standard deviations of a normal curve are (our judgement). What only the ends themselves hold back is no finding.
const RULED_OUT: f64 = 0.135;
/// A look that is further than this from every strength is of another colour than paling gives, as a difference of
/// colours (our judgement: more than the reddening of a pigment and a bad reading together).
const UNLIKE: f64 = 15.0;
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
    /// It paled too little for a date: nine of ten times are longer, days.
    Longer(f64),
    /// Most of its colour is gone: nine of ten times are shorter, days.
    Shorter(f64),
    /// Nothing: the bar is too pale, or was of another colour than paling gives.
    Untold,
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
        if at_first.least_off.max(later.least_off) > UNLIKE {
            return Some(Self { first, again, pace: Pace::Untold });
        }
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
        let most = parts.iter().copied().fold(0.0, f64::max);
        let pace = match [parts[0], parts[PLACES - 1]].map(|end| end < RULED_OUT * most) {
            [true, true] if long <= TELLS * short => Pace::Halves([short, middle, long]),
            [true, _] => Pace::Longer(short),
            [false, true] => Pace::Shorter(long),
            [false, false] => Pace::Untold,
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

/// How likely a look is, by strength.
struct Likelihood {
    /// Its logarithm, against that of the likeliest strength: what is far off is not nothing at every one.
    logarithms: [f64; STEPS],
    /// How far the look is from the likeliest one, as a difference of colours.
    least_off: f64,
}

impl Likelihood {
    fn of(colour: impl Fn(f64) -> Lab, seen: Lab) -> Self {
        let (low, high) = (STRENGTHS.0.ln(), STRENGTHS.1.ln());
        let off: [f64; STEPS] = std::array::from_fn(|place| {
            let relative = low + (high - low) * place as f64 / (STEPS - 1) as f64;
            difference(colour(USUAL * relative.exp()), seen)
        });
        let least_off = off.iter().copied().fold(f64::INFINITY, f64::min);
        let logarithm = |off: f64| -0.5 * ((off / APART).powi(2) - (least_off / APART).powi(2));
        Self { logarithms: off.map(logarithm), least_off }
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
        (self.logarithms[before] * (1.0 - part) + self.logarithms[before + 1] * part).exp()
    }
}
