//! An own bar whose colour was looked at, with what gave it that colour.
//!
//! It is kept in the file as it stands here: what a person saw must never change its meaning. What it says of how
//! strongly a pigment colours is worked out each time, from the tables as they are then.

use super::blend::MOST_FATS;
use super::log::BatchCode;
use super::words::Day;
use super::{Process, Rest};
use crate::library::additions::MOST_LINES;
use crate::library::material::MaterialId;
use crate::units::{AmountPerKg, BarPerFats, Share};
use serde::{Deserialize, Serialize};

/// The most own bars that a design keeps, or a lot.
pub const MOST_OWN_BARS: usize = 40;

/// From so many days on a bar that is looked at again is more likely paler than read otherwise (our judgement).
const LEAST_TO_PALE: i64 = 14;

/// A colour that a person saw, as L*, a* and b* under daylight (CIE 1976).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "[f64; 3]", into = "[f64; 3]")]
pub struct ColourSeen([f64; 3]);

/// Numbers that are no colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("that is no colour: L* lies between 0 and 100, a* and b* between -150 and 150")]
pub struct NoColour;

impl ColourSeen {
    /// Takes L*, a* and b*.
    ///
    /// # Errors
    /// [`NoColour`] if they are out of range or no numbers.
    ///
    /// ```
    /// use barwright_core::design::own_bar::ColourSeen;
    /// assert!(ColourSeen::new([83.0, 6.0, 39.0]).is_ok());
    /// assert!(ColourSeen::new([f64::NAN, 0.0, 0.0]).is_err());
    /// ```
    pub fn new(lab: [f64; 3]) -> Result<Self, NoColour> {
        let [l, a, b] = lab;
        let is_colour = (0.0..=100.0).contains(&l) && [a, b].iter().all(|x| (-150.0..=150.0).contains(x));
        is_colour.then_some(Self(lab)).ok_or(NoColour)
    }

    /// L*, a* and b*.
    pub const fn lab(self) -> [f64; 3] {
        self.0
    }
}

impl TryFrom<[f64; 3]> for ColourSeen {
    type Error = NoColour;
    fn try_from(lab: [f64; 3]) -> Result<Self, NoColour> {
        Self::new(lab)
    }
}

impl From<ColourSeen> for [f64; 3] {
    fn from(seen: ColourSeen) -> Self {
        seen.0
    }
}

/// Where the filled mould stood, on which it depends whether the soap gelled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Stood {
    /// In the room.
    Room,
    /// Wrapped, so that it kept its own warmth.
    Insulated,
    /// In a cool place.
    Cool,
    /// In a warm oven.
    Oven,
}

impl Stood {
    /// Where it stands by `process`.
    pub const fn of(process: &Process) -> Self {
        match (process.oven_gel, process.rest) {
            (Some(_), _) => Self::Oven,
            (None, Rest::Room) => Self::Room,
            (None, Rest::Insulated) => Self::Insulated,
            (None, Rest::Cool) => Self::Cool,
        }
    }

    /// Whether it was kept warm on purpose, so that the soap gels.
    pub const fn is_gelled(self) -> bool {
        matches!(self, Self::Insulated | Self::Oven)
    }
}

/// What of a recipe gives a bar its colour.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Makeup {
    /// Each fat with its part of the fats, in the order of their ids.
    pub fats: Vec<(MaterialId, Share)>,
    /// What can colour or whiten, in the order of the ids.
    pub colourants: Vec<(MaterialId, AmountPerKg)>,
    /// Cured bar of a gram of fats.
    pub bar_per_fats: BarPerFats,
    /// Where the filled mould stood.
    pub stood: Stood,
}

/// In what a bar is of another kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Differs {
    /// Other materials colour it.
    Colourants,
    /// Other fats are in it.
    Fats,
    /// It was warmed otherwise.
    Gel,
}

impl Makeup {
    /// Whether nothing in it colours.
    pub fn is_plain(&self) -> bool {
        self.colourants.is_empty()
    }

    /// In what this bar differs from `other`, so that the colour of one says nothing of the other; how much there is of
    /// each does not matter.
    pub fn differs(&self, other: &Self) -> Option<Differs> {
        let is_same = |a: &mut dyn Iterator<Item = &MaterialId>, b: &mut dyn Iterator<Item = &MaterialId>| a.eq(b);
        let colourants =
            is_same(&mut self.colourants.iter().map(|(id, _)| id), &mut other.colourants.iter().map(|(id, _)| id));
        if colourants { self.differs_plain(other) } else { Some(Differs::Colourants) }
    }

    /// The same without what colours.
    pub fn differs_plain(&self, other: &Self) -> Option<Differs> {
        let fats = self.fats.iter().map(|(id, _)| id).eq(other.fats.iter().map(|(id, _)| id));
        if !fats {
            Some(Differs::Fats)
        } else if self.stood != other.stood {
            Some(Differs::Gel)
        } else {
            None
        }
    }
}

/// An own bar whose colour was looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnBar {
    /// What it looked like.
    pub colour: ColourSeen,
    /// When that was seen.
    pub day: Day,
    /// The batch it is of, if the log has it.
    pub batch: Option<BatchCode>,
    /// What gave it that colour.
    pub of: Makeup,
    /// What the same bar looked like later; written only where it was seen again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub again: Option<Again>,
}

impl OwnBar {
    /// When it was looked at last.
    pub fn looked_at(&self) -> Day {
        self.again.map_or(self.day, |again| again.day)
    }

    /// The same bar with another look at it: the earlier one is the first. `None` if both are of one day.
    #[must_use]
    pub fn seen_also(&self, look: Again) -> Option<Self> {
        let known = Again { colour: self.colour, day: self.day };
        let (first, again) = if look.day < known.day { (look, known) } else { (known, look) };
        let Again { colour, day } = first;
        (day != again.day).then(|| Self { colour, day, again: Some(again), ..self.clone() })
    }

    /// Whether a look at a bar of `batch` on `day` rather tells how it paled: a bar of the log is the same bar, weeks
    /// later.
    pub fn has_likely_paled(&self, batch: Option<BatchCode>, day: Day) -> bool {
        batch.is_some() && self.batch == batch && self.day.days_to(day).abs() >= LEAST_TO_PALE
    }
}

/// A later look at a bar that was seen before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Again {
    /// What it looked like then.
    pub colour: ColourSeen,
    /// When that was.
    pub day: Day,
}

/// More own bars, or more in one, than are kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TooMuch {
    /// Own bars.
    #[error("at most {MOST_OWN_BARS} own bars are kept")]
    Bars,
    /// What is in one.
    #[error("an own bar has at most {MOST_FATS} fats and {MOST_LINES} colourants")]
    Makeup,
}

/// Whether so many `bars` may be kept.
///
/// # Errors
/// [`TooMuch`]
pub fn check(bars: &[OwnBar]) -> Result<(), TooMuch> {
    if bars.len() > MOST_OWN_BARS {
        return Err(TooMuch::Bars);
    }
    let is_long = |bar: &OwnBar| bar.of.fats.len() > MOST_FATS || bar.of.colourants.len() > MOST_LINES;
    if bars.iter().any(is_long) { Err(TooMuch::Makeup) } else { Ok(()) }
}

/// Puts `bar` among `bars`, in place of one that says the same kind of thing.
#[must_use]
pub fn with(bars: &[OwnBar], bar: OwnBar) -> Vec<OwnBar> {
    let mut kept: Vec<OwnBar> = bars.iter().filter(|old| old.of.differs(&bar.of).is_some()).cloned().collect();
    // The oldest makes way.
    if kept.len() >= MOST_OWN_BARS {
        kept.remove(0);
    }
    kept.push(bar);
    kept
}

/// `bars` without that of `batch` which was seen first on `day`.
#[must_use]
pub fn without(bars: &[OwnBar], day: Day, batch: Option<BatchCode>) -> Vec<OwnBar> {
    bars.iter().filter(|bar| (bar.day, bar.batch) != (day, batch)).cloned().collect()
}
