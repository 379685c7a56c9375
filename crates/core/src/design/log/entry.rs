//! What can be written down of a batch.

use super::BatchCode;
use crate::design::words::{Day, Line, Words};
use crate::units::{
    AmountMass, Celsius, Hours, Millilitres, Minutes, Purity, PurityMargin, SaponificationValue, SvMargin,
};
use serde::{Deserialize, Serialize};
use std::fmt;

/// One line of the record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The day on which it was done or seen.
    pub on: Day,
    /// The number of the entry in whose place it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<usize>,
    /// What was done or seen.
    pub what: Happened,
}

/// What is weighed; a number is a position in the list of the design as made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum What {
    /// A fat of the blend.
    Fat(usize),
    /// The water for the jug.
    Water,
    /// Sodium hydroxide.
    SodiumHydroxide,
    /// Potassium hydroxide.
    PotassiumHydroxide,
    /// An addition.
    Addition(usize),
    /// A scent.
    Scent(usize),
}

/// Names a lot of the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct LotId(pub u32);

impl fmt::Display for LotId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "L{}", self.0)
    }
}

/// What the papers of a lot say that changes the lye; kept with the batch, so that it holds wherever the file goes.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LotFigures {
    /// Its saponification value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sv: Option<(SaponificationValue, SvMargin)>,
    /// The purity of an alkali.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub purity: Option<(Purity, PurityMargin)>,
}

/// What came from one lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Taken {
    /// The lot.
    pub lot: LotId,
    /// How much of it, g.
    pub grams: AmountMass,
    /// What its papers say.
    #[serde(default)]
    pub figures: LotFigures,
}

listed! {
    /// Of what a temperature was taken.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum HeatOf {
        /// The lye at its hottest.
        LyePeak,
        /// The lye when it met the fats.
        Lye,
        /// The fats when they met the lye.
        Fats,
        /// The room.
        Room,
    }
    /// All, in the order of the bench.
    ALL
}

listed! {
    /// Until what time was taken.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum TimeOf {
        /// From dissolving the alkali to meeting the fats.
        LyeStood,
        /// From lye and fats meeting to an even batter.
        Emulsion,
        /// To trace.
        Trace,
        /// To pouring.
        Pour,
    }
    /// All, in the order of the bench.
    ALL
}

listed! {
    /// How the batter behaved.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Batter {
        /// As wanted.
        Easy,
        /// Long until trace.
        Slow,
        /// Thick from fats that set, not from soap.
        FalseTrace,
        /// Small grains.
        Riced,
        /// Set at once.
        Seized,
        /// Fats and lye parted again.
        Separated,
        /// Rose in the mould.
        Heaved,
    }
    /// All, from good to bad.
    ALL
}

listed! {
    /// How far the soap went through gel.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Gel {
        /// Nowhere.
        None,
        /// In the middle, with a ring around it.
        Ring,
        /// All of it.
        Full,
    }
    /// All, from nothing to all.
    ALL
}

listed! {
    /// How the soap was to cut.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum CutLike {
        /// It stuck or bent.
        Soft,
        /// As wanted.
        Clean,
        /// It broke.
        Crumbly,
    }
    /// All, from soft to hard.
    ALL
}

listed! {
    /// What is seen on cut bars.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Flaw {
        /// White ash.
        Ash,
        /// Pockets of oil, lye or air.
        Pockets,
        /// Cracks.
        Cracks,
    }
    /// All.
    ALL
}

listed! {
    /// When a picture was taken.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Stage {
        /// The batter.
        Batter,
        /// In the mould.
        Mould,
        /// As cut.
        Cut,
        /// While it cures.
        Curing,
        /// After cure.
        Cured,
        /// In use.
        InUse,
    }
    /// All, in their order.
    ALL
}

/// The name of a picture beside the design's file: a plain file name, never a way to somewhere else.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PictureName(String);

/// A text that is no plain file name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is no plain file name")]
pub struct NoPictureName(String);

impl PictureName {
    /// Takes `text` if it is a plain file name.
    ///
    /// # Errors
    /// [`NoPictureName`] with a separator, a colon or anything unseen in it, or for “..”.
    pub fn new(text: &str) -> Result<Self, NoPictureName> {
        const MOST: usize = 120;
        let is_plain = Line::new(text).is_ok_and(|line| line.as_str() == text && !text.is_empty());
        let is_way = text.contains(['/', '\\', ':', '*', '?', '"', '<', '>', '|']) || text.starts_with('.');
        if is_plain && !is_way && text.len() <= MOST && !text.ends_with('.') {
            Ok(Self(text.into()))
        } else {
            Err(NoPictureName(text.chars().filter(|c| !c.is_control()).take(80).collect()))
        }
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for PictureName {
    type Error = NoPictureName;
    fn try_from(text: String) -> Result<Self, NoPictureName> {
        Self::new(&text)
    }
}

impl From<PictureName> for String {
    fn from(name: PictureName) -> Self {
        name.0
    }
}

/// A picture beside the design's file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Picture {
    /// When it was taken.
    pub stage: Stage,
    /// Its file.
    pub file: PictureName,
    /// What it shows.
    #[serde(default)]
    pub words: Line,
}

/// What a test for free alkali came to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Outcome {
    /// No free alkali was found.
    Passed,
    /// Some was found: the bars go on curing and are tested again on that day.
    Again(Day),
    /// Some was found: the batch is withdrawn.
    Failed,
}

listed! {
    /// What is judged of a bar in use.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
    pub enum Aspect {
        /// How hard the bar is.
        Hardness,
        /// How high the lather stands.
        LatherVolume,
        /// How long it stays.
        LatherPersistence,
        /// How mild it feels.
        Feel,
        /// How long the bar lasts.
        Lasting,
        /// How much of the scent is left.
        Scent,
        /// How much of the colour is left.
        Colour,
    }
    /// All.
    ALL
}

/// A judgement from 1, little, to 5, much.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct Rating(u8);

/// A number that is no judgement.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a judgement lies between 1 and 5, not at {0}")]
pub struct NoRating(u8);

impl Rating {
    /// Takes `value` from 1 to 5.
    ///
    /// # Errors
    /// [`NoRating`] otherwise.
    pub fn new(value: u8) -> Result<Self, NoRating> {
        if (1..=5).contains(&value) { Ok(Self(value)) } else { Err(NoRating(value)) }
    }

    /// 1 to 5.
    pub const fn get(self) -> u8 {
        self.0
    }
}

impl TryFrom<u8> for Rating {
    type Error = NoRating;
    fn try_from(value: u8) -> Result<Self, NoRating> {
        Self::new(value)
    }
}

impl From<Rating> for u8 {
    fn from(rating: Rating) -> Self {
        rating.0
    }
}

listed! {
    /// How bars went out.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum How {
        /// Given away.
        Given,
        /// Sold.
        Sold,
        /// Kept for oneself.
        Kept,
    }
    /// All.
    ALL
}

/// What was done or seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Happened {
    /// Something was weighed.
    Weighed {
        /// What.
        what: What,
        /// How much, g.
        grams: AmountMass,
        /// From which lots; empty if it is from none of the shelf.
        #[serde(default)]
        lots: Vec<Taken>,
    },
    /// The lye went into the fats.
    LyeIn,
    /// A temperature.
    Heat {
        /// Of what.
        of: HeatOf,
        /// °C.
        celsius: Celsius,
    },
    /// A time.
    Took {
        /// Until what.
        of: TimeOf,
        /// Minutes.
        minutes: Minutes,
    },
    /// How the batter behaved.
    Behaved(Batter),
    /// What the batter of a known volume weighed.
    BatterWeighed {
        /// Mass, g.
        grams: AmountMass,
        /// Volume, mL.
        ml: Millilitres,
    },
    /// The filled mould was warmed.
    Oven {
        /// What the oven was set to, °C.
        set: Celsius,
        /// How long, minutes.
        minutes: Minutes,
        /// The soap at its hottest, °C.
        #[serde(default)]
        hottest: Option<Celsius>,
    },
    /// How far it went through gel.
    Gelled(Gel),
    /// The batch is in the mould: what was weighed is gone from the shelf.
    Made,
    /// The soap was cut.
    Cut {
        /// Hours after pouring.
        hours: Hours,
        /// How it was to cut.
        like: CutLike,
        /// How many bars.
        bars: u32,
        /// What each weighed, as far as they were weighed, g.
        #[serde(default)]
        each: Vec<AmountMass>,
        /// What was cut away, g.
        #[serde(default = "nothing")]
        trimmings: AmountMass,
        /// How many of the bars are not fit to give away.
        #[serde(default)]
        seconds: u32,
    },
    /// Something seen on the bars.
    Flawed(Flaw),
    /// A picture.
    Pictured(Picture),
    /// One of the marked bars was weighed while it cures.
    BarWeighed {
        /// Which, 1 to 4.
        bar: MarkedBar,
        /// What it weighs, g.
        grams: AmountMass,
    },
    /// The bars were tested for free alkali.
    Tested {
        /// How.
        how: Line,
        /// What came of it.
        outcome: Outcome,
    },
    /// The bars may be used, given and sold.
    Freed,
    /// The batch is not to be used.
    Withdrawn {
        /// Why.
        reason: Line,
    },
    /// A bar in use was judged.
    Judged {
        /// By whom.
        by: Line,
        /// What of it.
        aspect: Aspect,
        /// How much there is of it.
        rating: Rating,
    },
    /// This batch has more of something than another.
    More {
        /// Of what.
        aspect: Aspect,
        /// Than which batch.
        than: BatchCode,
    },
    /// A bar was washed with and weighed dry before and after.
    Washed {
        /// How often.
        washes: u32,
        /// What it lost, g.
        grams: AmountMass,
    },
    /// Something looks wrong, by its name among the troubles.
    Trouble(Line),
    /// Bars went out.
    Out {
        /// How many.
        bars: u32,
        /// How.
        how: How,
        /// To whom.
        to: Line,
    },
    /// A word about it.
    Said(Words),
    /// What is to be done otherwise next time.
    NextTime(Words),
    /// The entry that this corrects never was.
    Struck {
        /// Why.
        reason: Line,
    },
}

fn nothing() -> AmountMass {
    AmountMass::nearest(0.0)
}

/// One of up to four bars that are marked and weighed while they cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
pub struct MarkedBar(u8);

/// A number that is no marked bar.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("marked bars are numbered from 1 to {most}, not {0}", most = MarkedBar::MOST)]
pub struct NoMarkedBar(u8);

impl MarkedBar {
    /// How many there can be.
    pub const MOST: u8 = 4;

    /// Takes `number` from 1.
    ///
    /// # Errors
    /// [`NoMarkedBar`] outside 1 to 4.
    pub fn new(number: u8) -> Result<Self, NoMarkedBar> {
        if (1..=Self::MOST).contains(&number) { Ok(Self(number)) } else { Err(NoMarkedBar(number)) }
    }

    /// Its number.
    pub const fn get(self) -> u8 {
        self.0
    }
}

impl TryFrom<u8> for MarkedBar {
    type Error = NoMarkedBar;
    fn try_from(number: u8) -> Result<Self, NoMarkedBar> {
        Self::new(number)
    }
}

impl From<MarkedBar> for u8 {
    fn from(bar: MarkedBar) -> Self {
        bar.0
    }
}
