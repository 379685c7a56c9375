//! A lot: one purchase of a material, or one harvest put by.

use crate::design::Design;
use crate::design::log::{LotFigures, LotId, What};
use crate::design::own_bar::OwnBar;
use crate::design::words::{Day, Line};
use crate::library::material::MaterialId;
use crate::units::{
    AmountMass, Money, PackMass, Purity, PurityMargin, SaponificationValue, Share, StockChange, SvMargin,
};
use serde::{Deserialize, Serialize};

/// What a lot is of.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stuff {
    /// A fat.
    Fat(MaterialId),
    /// An addition.
    Addition(MaterialId),
    /// A scent.
    Scent(MaterialId),
    /// Sodium hydroxide.
    SodiumHydroxide,
    /// Potassium hydroxide.
    PotassiumHydroxide,
    /// Anything else, as liners and boxes.
    Other(Line),
}

impl Stuff {
    /// Of what `what` of `design` is; `None` for water, and where the design has no such line.
    pub fn of(what: What, design: &Design) -> Option<Self> {
        Some(match what {
            What::Fat(i) => Self::Fat(design.blend.lines().get(i)?.fat.id.clone()),
            What::Addition(i) => Self::Addition(design.additions.get(i)?.addition.id.clone()),
            What::Scent(i) => Self::Scent(design.scents.get(i)?.scent.id.clone()),
            What::SodiumHydroxide => Self::SodiumHydroxide,
            What::PotassiumHydroxide => Self::PotassiumHydroxide,
            What::Water => return None,
        })
    }
}

/// What it means that an alkali was seen to cake (common practice, no source).
pub const CAKED: &str = "Caked alkali took up water and carbonate from the air, so it is less pure than its papers say, and \
    nobody knows by how much: the bar gets more superfat than planned. Use it for cleaning and open a new tub, or \
    have it titrated.";

/// What a lot’s papers say.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Papers {
    /// Saponification value, mg KOH/g, with its ±.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sv: Option<(SaponificationValue, SvMargin)>,
    /// Fatty acids by their signs (“18:1”), percent.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub acids: Vec<(Line, Share)>,
    /// Purity of an alkali, percent, with its ±.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub purity: Option<(Purity, PurityMargin)>,
    /// Allergens with the most of each, percent.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub allergens: Vec<(Line, Share)>,
    /// The most of it in soap, percent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_in_soap: Option<Share>,
}

impl Papers {
    /// What of them changes the lye.
    pub const fn figures(&self) -> LotFigures {
        LotFigures { sv: self.sv, purity: self.purity }
    }
}

/// What the garden gave.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Produce {
    /// Its variety.
    pub variety: Line,
    /// Where it grew.
    pub bed: Line,
    /// When it was picked.
    pub harvested: Option<Day>,
    /// What it weighed raw, g.
    pub raw: Option<AmountMass>,
    /// What it weighed cooked, g.
    pub cooked: Option<AmountMass>,
    /// A sample dried in the oven: before and after, g.
    pub dried: Option<(AmountMass, AmountMass)>,
    /// In how many portions it lies frozen.
    pub portions: u32,
    /// When it is to be thawed at the latest.
    pub thaw_by: Option<Day>,
}

impl Produce {
    /// Water in it by the dried sample, percent; `None` without a sample, or one that grew.
    ///
    /// ```
    /// use barwright_core::design::shelf::Produce;
    /// use barwright_core::units::AmountMass;
    /// let dried = Some((AmountMass::new(20.0)?, AmountMass::new(2.4)?));
    /// assert_eq!(Produce { dried, ..Produce::default() }.water().map(|w| w.get().round()), Some(88.0));
    /// # Ok::<(), barwright_core::units::OutOfRange>(())
    /// ```
    pub fn water(&self) -> Option<Share> {
        let (before, after) = self.dried?;
        let water = crate::units::percent_of(before.get() - after.get(), before.get());
        Share::new(water).ok()
    }
}

/// A count that differs from the books.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// When it was counted.
    pub on: Day,
    /// What is gone beyond what was used, g; below nothing where more was found.
    pub grams: StockChange,
    /// Why: spilt, spoilt, given away, counted anew.
    pub reason: Line,
}

/// One purchase of a material, or one harvest put by.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lot {
    /// Its number on this shelf, never given twice.
    pub id: LotId,
    /// What it is.
    pub stuff: Stuff,
    /// Where it is from.
    #[serde(default)]
    pub supplier: Line,
    /// The supplier's own number of it.
    #[serde(default)]
    pub number: Line,
    /// When it came.
    #[serde(default)]
    pub bought: Option<Day>,
    /// When it was opened.
    #[serde(default)]
    pub opened: Option<Day>,
    /// Until when it is good unopened.
    #[serde(default)]
    pub best_before: Option<Day>,
    /// For how many days it is good once it is open.
    #[serde(default)]
    pub days_once_open: Option<u32>,
    /// How much came, g.
    pub grams: AmountMass,
    /// In packs of how much, g; all of it in one if nothing is said.
    #[serde(default)]
    pub pack: Option<PackMass>,
    /// What such a pack cost with its carriage.
    #[serde(default)]
    pub price: Option<Money>,
    /// What its papers say.
    #[serde(default)]
    pub papers: Papers,
    /// If it is from the garden.
    #[serde(default)]
    pub produce: Option<Produce>,
    /// Bars coloured with it whose colour was looked at; written only where there are some.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own_bars: Vec<OwnBar>,
    /// Whether an alkali was seen to cake, which is water and carbonate in it.
    #[serde(default)]
    pub caked: bool,
    /// Counts that differed.
    #[serde(default)]
    pub corrections: Vec<Correction>,
    /// A word about it.
    #[serde(default)]
    pub note: Line,
}

impl Lot {
    /// A lot of which nothing is known but how much came.
    pub fn new(id: LotId, stuff: Stuff, grams: AmountMass) -> Self {
        Self {
            id,
            stuff,
            supplier: Line::default(),
            number: Line::default(),
            bought: None,
            opened: None,
            best_before: None,
            days_once_open: None,
            grams,
            pack: None,
            price: None,
            papers: Papers::default(),
            produce: None,
            own_bars: Vec::new(),
            caked: false,
            corrections: Vec::new(),
            note: Line::default(),
        }
    }

    /// Until when it is good: by its print, and sooner once it is open.
    pub fn good_until(&self) -> Option<Day> {
        let open = self.opened.zip(self.days_once_open).map(|(day, days)| day.after(days.into()));
        let thaw = self.produce.as_ref().and_then(|p| p.thaw_by);
        [self.best_before, open, thaw].into_iter().flatten().min()
    }

    /// The content of a pack, g.
    pub fn pack(&self) -> PackMass {
        self.pack.unwrap_or_else(|| PackMass::nearest(self.grams.get()))
    }
}
