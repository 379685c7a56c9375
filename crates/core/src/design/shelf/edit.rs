//! What a person can change on the shelf: the one way in.

use super::{Correction, Lot, MOST_LOTS, Made, Plan, Shelf, ShelfError, Workshop};
use crate::design::log::{BatchCode, LotId};
use crate::design::own_bar::{self, OwnBar};
use crate::design::words::{Day, Line};
use crate::library::additions::Addition;
use crate::library::fats::Fat;
use crate::library::scents::Scent;
use std::sync::Arc;

/// One change of the shelf.
#[derive(Debug, Clone, PartialEq)]
pub enum ShelfEdit {
    /// A new lot; it gets a number of its own.
    Put(Box<Lot>),
    /// New lots, all or none.
    PutAll(Vec<Lot>),
    /// What is known of a lot, in place of what was; its corrections stay, and its own bars.
    Change(Box<Lot>),
    /// A lot that was put there by mistake goes.
    Remove(LotId),
    /// The colour of a bar that this lot went into.
    Looked(LotId, Box<OwnBar>),
    /// The bar of this batch that was seen first on this day says nothing of this lot any more.
    Forget(LotId, Day, Option<BatchCode>),
    /// A count that differs.
    Correct(LotId, Correction),
    /// A batch as it is now.
    Confirm(Made),
    /// The tools.
    Workshop(Workshop),
    /// A planned batch.
    Plan(Plan),
    /// The planned batch at this place goes.
    Unplan(usize),
    /// The currency of prices.
    Currency(Line),
    /// A fat of the maker’s own, in place of one of its id.
    OwnFat(Arc<Fat>),
    /// An addition of the maker’s own.
    OwnAddition(Arc<Addition>),
    /// A scent of the maker’s own.
    OwnScent(Arc<Scent>),
}

impl ShelfEdit {
    /// `shelf` after it.
    ///
    /// # Errors
    /// [`ShelfError`]; the shelf stays as it is.
    pub fn apply(self, shelf: &Shelf) -> Result<Shelf, ShelfError> {
        let mut next = shelf.clone();
        match self {
            Self::Put(lot) => {
                next.put(*lot)?;
            }
            Self::PutAll(lots) => {
                for lot in lots {
                    next.put(lot)?;
                }
            }
            Self::Change(lot) => {
                let known = next.lot_mut(lot.id)?;
                let (corrections, own_bars) =
                    (std::mem::take(&mut known.corrections), std::mem::take(&mut known.own_bars));
                *known = Lot { own_bars, corrections, ..*lot };
            }
            Self::Remove(id) => {
                if let Some(made) = shelf.batches_of(id).first() {
                    return Err(ShelfError::Used(id, made.code));
                }
                let before = next.lots.len();
                next.lots.retain(|l| l.id != id);
                if next.lots.len() == before {
                    return Err(ShelfError::NoLot(id));
                }
            }
            Self::Looked(id, bar) => {
                let lot = next.lot_mut(id)?;
                lot.own_bars = own_bar::with(&lot.own_bars, *bar);
            }
            Self::Forget(id, day, batch) => {
                let lot = next.lot_mut(id)?;
                lot.own_bars = own_bar::without(&lot.own_bars, day, batch);
            }
            Self::Correct(id, correction) => next.correct(id, correction)?,
            Self::Confirm(made) => next.confirm(made)?,
            Self::Workshop(workshop) => next.workshop = workshop,
            Self::Plan(plan) if next.plans.len() < MOST_LOTS => next.plans.push(plan),
            Self::Plan(_) => return Err(ShelfError::Full),
            Self::Unplan(at) if at < next.plans.len() => {
                next.plans.remove(at);
            }
            Self::Unplan(_) => return Err(ShelfError::NoPlan),
            Self::Currency(currency) => next.currency = currency,
            Self::OwnFat(fat) => keep(&mut next.own.fats, fat, |f| f.id.as_str())?,
            Self::OwnAddition(addition) => keep(&mut next.own.additions, addition, |a| a.id.as_str())?,
            Self::OwnScent(scent) => keep(&mut next.own.scents, scent, |s| s.id.as_str())?,
        }
        Ok(next)
    }
}

/// Keeps `record` in place of one with its id.
fn keep<T>(records: &mut Vec<Arc<T>>, record: Arc<T>, id: impl Fn(&T) -> &str) -> Result<(), ShelfError> {
    match records.iter().position(|known| id(known) == id(&record)) {
        Some(at) => records[at] = record,
        None if records.len() >= crate::design::MOST_RECORDS => return Err(ShelfError::Full),
        None => records.push(record),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::shelf::Stuff;
    use crate::units::{AmountMass, StockChange};

    #[test]
    fn a_lot_that_a_batch_took_from_stays_and_keeps_its_counts() {
        let day = Day::try_from("2026-01-02".to_owned()).expect("a day");
        let lot = Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(1000.0));
        let shelf = ShelfEdit::Put(Box::new(lot)).apply(&Shelf::default()).expect("room");
        let count = Correction { on: day, grams: StockChange::nearest(5.0), reason: Line::shortened("spilt") };
        let shelf = ShelfEdit::Correct(LotId(1), count.clone()).apply(&shelf).expect("a reason");
        let nameless = Correction { reason: Line::default(), ..count };
        assert_eq!(ShelfEdit::Correct(LotId(1), nameless).apply(&shelf), Err(ShelfError::NoReason));
        let changed = Lot { number: Line::shortened("N-4"), corrections: Vec::new(), ..shelf.lots[0].clone() };
        let shelf = ShelfEdit::Change(Box::new(changed)).apply(&shelf).expect("it is there");
        assert_eq!((shelf.lots[0].number.as_str(), shelf.lots[0].corrections.len()), ("N-4", 1));
        let code = BatchCode::of(day, 0);
        let made = Made {
            lots: vec![(LotId(1), AmountMass::nearest(80.0))],
            ..Made::begun(code, Line::default(), String::new())
        };
        let shelf = ShelfEdit::Confirm(made).apply(&shelf).expect("room");
        assert_eq!(ShelfEdit::Remove(LotId(1)).apply(&shelf), Err(ShelfError::Used(LotId(1), code)));
        assert_eq!(ShelfEdit::Remove(LotId(7)).apply(&shelf), Err(ShelfError::NoLot(LotId(7))));
    }
}
