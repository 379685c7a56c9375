//! What there is: lots of materials, tools, and the batches that lots went into.
//!
//! What was used of a lot is written once, with the batch that used it, so that nothing is counted twice however often a
//! batch is confirmed: what is left follows from what came, what batches used and what counts corrected.

pub mod csv;
mod edit;
mod lot;
mod stock;
mod trace;
mod workshop;

pub use edit::ShelfEdit;
pub use lot::{CAKED, Correction, Lot, Papers, Produce, Stuff};
pub use stock::{Finished, Left, Need, Stock, ToBuy};
pub use trace::{Asked, Had, Trace};
pub use workshop::{Holds, JugAtHand, MouldAtHand, ScaleAtHand, Workshop};

use crate::design::Spare;
use crate::design::log::{BatchCode, How, LotId};
use crate::design::words::{Day, Line};
use crate::units::AmountMass;
use serde::{Deserialize, Serialize};

/// The most lots of a shelf, and the most batches.
pub const MOST_LOTS: usize = 20_000;
/// The most corrections of one lot.
pub const MOST_CORRECTIONS: usize = 1000;

/// Bars that went out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Out {
    /// When.
    pub on: Day,
    /// How many.
    pub bars: u32,
    /// How.
    pub how: How,
    /// To whom.
    #[serde(default)]
    pub to: Line,
}

/// A batch as the shelf knows it: enough to trace it without its design’s file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Made {
    /// Its code.
    pub code: BatchCode,
    /// The name of its design.
    #[serde(default)]
    pub design: Line,
    /// Where the design’s file was last seen.
    #[serde(default)]
    pub path: String,
    /// Whether it is in the mould: before, its lots are only meant for it.
    #[serde(default)]
    pub confirmed: bool,
    /// What it took of which lot, g.
    #[serde(default)]
    pub lots: Vec<(LotId, AmountMass)>,
    /// How many bars it gave.
    #[serde(default)]
    pub bars: u32,
    /// Since when they are free.
    #[serde(default)]
    pub free_from: Option<Day>,
    /// Whether they are not to be used.
    #[serde(default)]
    pub withdrawn: bool,
    /// Where bars went.
    #[serde(default)]
    pub out: Vec<Out>,
}

impl Made {
    /// The longest path that is kept.
    pub const MOST_PATH: usize = 4096;

    /// A batch that was only begun.
    pub const fn begun(code: BatchCode, design: Line, path: String) -> Self {
        Self {
            code,
            design,
            path,
            confirmed: false,
            lots: Vec::new(),
            bars: 0,
            free_from: None,
            withdrawn: false,
            out: Vec::new(),
        }
    }

    /// How many bars are left.
    pub fn left(&self) -> u32 {
        self.bars.saturating_sub(self.out.iter().map(|o| o.bars).fold(0, u32::saturating_add))
    }
}

/// A batch that is planned, for which materials are set aside.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The name of its design.
    pub design: Line,
    /// When it is to be made.
    #[serde(default)]
    pub on: Option<Day>,
    /// What it takes, g.
    pub needs: Vec<(Stuff, AmountMass)>,
}

/// All there is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    /// Lots, in the order of their numbers.
    pub lots: Vec<Lot>,
    /// Tools.
    pub workshop: Workshop,
    /// Batches, in the order of their codes.
    pub made: Vec<Made>,
    /// Planned batches.
    pub plans: Vec<Plan>,
    /// The currency of its prices, a label.
    pub currency: Line,
    /// Records of the maker’s own materials.
    pub own: Spare,
}

/// Why the shelf is not changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShelfError {
    /// As many as a shelf holds.
    #[error("a shelf holds at most {MOST_LOTS} lots and as many batches")]
    Full,
    /// No such lot.
    #[error("there is no lot {0} on the shelf")]
    NoLot(LotId),
    /// A correction without a reason.
    #[error("say why the count differs: a correction needs a reason")]
    NoReason,
    /// A lot that batches took from cannot go.
    #[error("batch {1} took from {0}: correct what is left instead, so that the batch can be traced")]
    Used(LotId, BatchCode),
    /// No such plan.
    #[error("there is no such planned batch")]
    NoPlan,
    /// More taken away than there is.
    #[error("{lot} holds {left:.1} g: no more can be taken from it")]
    Below {
        /// The lot.
        lot: LotId,
        /// What it holds, g.
        left: f64,
    },
}

impl Shelf {
    /// The lot `id`.
    pub fn lot(&self, id: LotId) -> Option<&Lot> {
        self.lots.iter().find(|l| l.id == id)
    }

    fn lot_mut(&mut self, id: LotId) -> Result<&mut Lot, ShelfError> {
        self.lots.iter_mut().find(|l| l.id == id).ok_or(ShelfError::NoLot(id))
    }

    /// The batch `code`.
    pub fn batch(&self, code: BatchCode) -> Option<&Made> {
        self.made.iter().find(|m| m.code == code)
    }

    /// A number that no lot has had.
    pub fn next_lot(&self) -> LotId {
        let of_lots = self.lots.iter().map(|l| l.id.0);
        let of_batches = self.made.iter().flat_map(|m| &m.lots).map(|(id, _)| id.0);
        LotId(of_lots.chain(of_batches).max().unwrap_or(0).saturating_add(1))
    }

    /// The code of the next batch of `day`: the shelf hands out the letter, so that no two batches share one.
    pub fn next_code(&self, day: Day) -> BatchCode {
        let taken = self.made.iter().map(|m| m.code).filter(|c| c.day() == day).map(BatchCode::nth);
        BatchCode::of(day, taken.max().map_or(0, |nth| nth.saturating_add(1)))
    }

    /// Puts `lot` on the shelf under a number of its own.
    ///
    /// # Errors
    /// [`ShelfError::Full`].
    pub fn put(&mut self, lot: Lot) -> Result<LotId, ShelfError> {
        if self.lots.len() >= MOST_LOTS {
            return Err(ShelfError::Full);
        }
        let id = self.next_lot();
        self.lots.push(Lot { id, ..lot });
        Ok(id)
    }

    /// Writes `made` down in place of what is known of that batch: as often as one likes, it counts once.
    ///
    /// # Errors
    /// [`ShelfError::Full`].
    pub fn confirm(&mut self, made: Made) -> Result<(), ShelfError> {
        match self.made.binary_search_by(|m| m.code.cmp(&made.code)) {
            Ok(at) => self.made[at] = made,
            Err(_) if self.made.len() >= MOST_LOTS => return Err(ShelfError::Full),
            Err(at) => self.made.insert(at, made),
        }
        Ok(())
    }

    /// Corrects what is left of a lot.
    ///
    /// # Errors
    /// [`ShelfError`] without a reason, for a lot that is not there, and where more would be gone than there is.
    pub fn correct(&mut self, id: LotId, correction: Correction) -> Result<(), ShelfError> {
        /// A count to the tenth of a gram may round up what is left.
        const ROUNDED: f64 = 0.05;
        if correction.reason.is_empty() {
            return Err(ShelfError::NoReason);
        }
        let left = self.stock().left(id).left;
        let lot = self.lot_mut(id)?;
        if lot.corrections.len() >= MOST_CORRECTIONS {
            return Err(ShelfError::Full);
        }
        if correction.grams.get() > left + ROUNDED {
            return Err(ShelfError::Below { lot: id, left });
        }
        lot.corrections.push(correction);
        Ok(())
    }

    /// What is left of everything.
    pub fn stock(&self) -> Stock<'_> {
        Stock::of(self)
    }

    /// The batches that `lot` went into.
    pub fn batches_of(&self, lot: LotId) -> Vec<&Made> {
        self.made.iter().filter(|m| m.lots.iter().any(|(id, _)| *id == lot)).collect()
    }

    /// The lots whose supplier’s number, or own number, is `text`.
    pub fn lots_called(&self, text: &str) -> Vec<&Lot> {
        let text = text.trim();
        let is = |lot: &&Lot| {
            lot.id.to_string().eq_ignore_ascii_case(text)
                || (!text.is_empty() && lot.number.as_str().eq_ignore_ascii_case(text))
        };
        self.lots.iter().filter(is).collect()
    }

    /// The batches of which bars went to someone in whose name `text` is found.
    pub fn batches_to(&self, text: &str) -> Vec<&Made> {
        let text = text.trim().to_lowercase();
        let went = |m: &&Made| m.out.iter().any(|o| o.to.as_str().to_lowercase().contains(&text));
        self.made.iter().filter(went).collect()
    }
}
