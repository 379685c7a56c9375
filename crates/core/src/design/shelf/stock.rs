//! What is left, what is used up first, what is to be bought.

use super::{Lot, Made, Shelf, Stuff};
use crate::design::log::{BatchCode, LotId, Taken};
use crate::design::words::Day;
use crate::units::AmountMass;
use std::collections::BTreeMap;

/// The account of a lot, g: what came and what was found beyond it is what was used, corrected and left.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Left {
    /// What came.
    pub came: f64,
    /// What batches used.
    pub used: f64,
    /// What counts took away; below nothing where they found more.
    pub corrected: f64,
    /// What is left: never less than nothing.
    pub left: f64,
    /// What was used beyond what the books had.
    pub over: f64,
}

/// What someone needs of something, g.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Of what.
    pub stuff: Stuff,
    /// How much.
    pub grams: f64,
}

/// What is to be bought.
#[derive(Debug, Clone, PartialEq)]
pub struct ToBuy {
    /// Of what.
    pub stuff: Stuff,
    /// What all plans need, g.
    pub need: f64,
    /// What is there, g.
    pub there: f64,
    /// What is missing, g.
    pub missing: f64,
}

/// Bars of a batch that are on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Finished {
    /// The batch.
    pub code: BatchCode,
    /// How many are left.
    pub left: u32,
    /// Since when they are free.
    pub free_from: Option<Day>,
    /// Until when they are good: never later than what went into them.
    pub good_until: Option<Day>,
    /// Whether they are not to be used.
    pub withdrawn: bool,
}

/// What is left of everything on a shelf.
#[derive(Debug)]
pub struct Stock<'a> {
    shelf: &'a Shelf,
    lots: BTreeMap<LotId, Left>,
}

impl<'a> Stock<'a> {
    pub(super) fn of(shelf: &'a Shelf) -> Self {
        let mut used: BTreeMap<LotId, f64> = BTreeMap::new();
        for (lot, grams) in shelf.made.iter().filter(|m| m.confirmed).flat_map(|m| &m.lots) {
            *used.entry(*lot).or_default() += grams.get();
        }
        let left = |lot: &Lot| {
            let came = lot.grams.get();
            let used = used.get(&lot.id).copied().unwrap_or_default();
            let corrected: f64 = lot.corrections.iter().map(|c| c.grams.get()).sum();
            let left = came - used - corrected;
            (lot.id, Left { came, used, corrected, left: left.max(0.0), over: (-left).max(0.0) })
        };
        Self { shelf, lots: shelf.lots.iter().map(left).collect() }
    }

    /// The account of `lot`; nothing of one that is not there.
    pub fn left(&self, lot: LotId) -> Left {
        self.lots.get(&lot).copied().unwrap_or_default()
    }

    /// The lots of `stuff` of which there is something, what is to be used first in front.
    pub fn lots_of<'s>(&'s self, stuff: &'s Stuff) -> Vec<&'a Lot> {
        let is_there = |lot: &&Lot| lot.stuff == *stuff && self.left(lot.id).left > 0.0;
        let mut lots: Vec<&Lot> = self.shelf.lots.iter().filter(is_there).collect();
        let unknown = Day(chrono::NaiveDate::MAX);
        lots.sort_by_key(|l| (l.good_until().unwrap_or(unknown), l.bought.unwrap_or(unknown), l.id));
        lots
    }

    /// The lots of which there is something and that are good until before `day`, what ends first in front.
    pub fn ending_before(&self, day: Day) -> Vec<&'a Lot> {
        let ends = |lot: &&Lot| self.left(lot.id).left > 0.0 && lot.good_until().is_some_and(|until| until < day);
        let mut lots: Vec<&Lot> = self.shelf.lots.iter().filter(ends).collect();
        lots.sort_by_key(|l| (l.good_until(), l.id));
        lots
    }

    /// How much there is of `stuff`, g.
    pub fn there(&self, stuff: &Stuff) -> f64 {
        self.lots_of(stuff).iter().map(|l| self.left(l.id).left).sum()
    }

    /// What is set aside of `stuff` for planned batches, g.
    pub fn set_aside(&self, stuff: &Stuff) -> f64 {
        let needs = self.shelf.plans.iter().flat_map(|p| &p.needs);
        needs.filter(|(s, _)| s == stuff).map(|(_, grams)| grams.get()).sum()
    }

    /// From which lots `grams` of `stuff` come, what is to be used first in front. What no lot has is taken from the
    /// last one, or from nowhere if there is none.
    pub fn first_out(&self, stuff: &Stuff, grams: f64) -> Vec<(LotId, AmountMass)> {
        let mut open = grams;
        let mut taken: Vec<(LotId, AmountMass)> = Vec::new();
        for lot in self.lots_of(stuff) {
            if open <= 0.0 {
                break;
            }
            let part = open.min(self.left(lot.id).left);
            taken.push((lot.id, AmountMass::nearest(part)));
            open -= part;
        }
        if let Some((_, last)) = taken.last_mut().filter(|_| open > 0.0) {
            *last = AmountMass::nearest(last.get() + open);
        }
        taken
    }

    /// From which lots `grams` of `stuff` come if `first` is emptied before the others, each with what its papers say.
    pub fn taken(&self, stuff: &Stuff, grams: f64, first: Option<LotId>) -> Vec<Taken> {
        let chosen = first.filter(|id| self.shelf.lot(*id).is_some_and(|lot| lot.stuff == *stuff));
        let of_first = chosen.map_or(0.0, |id| self.left(id).left.min(grams));
        let others = || self.lots_of(stuff).into_iter().filter(|lot| Some(lot.id) != chosen);
        let mut parts: Vec<(LotId, f64)> = chosen.into_iter().map(|id| (id, of_first)).collect();
        let mut open = grams - of_first;
        for lot in others() {
            if open > 0.0 {
                let part = open.min(self.left(lot.id).left);
                parts.push((lot.id, part));
                open -= part;
            }
        }
        // What no lot has: the books are wrong, or the lot is, and the first is what the hand held.
        if let Some((_, part)) = parts.first_mut().filter(|_| open > 0.0) {
            *part += open;
        }
        let with_papers = |(lot, part): (LotId, f64)| {
            let figures = self.shelf.lot(lot).map(|l| l.papers.figures()).unwrap_or_default();
            Taken { lot, grams: AmountMass::nearest(part), figures }
        };
        parts.into_iter().filter(|(_, part)| *part > 0.0).map(with_papers).collect()
    }

    /// What is to be bought so that `needs` and all planned batches can be made.
    pub fn to_buy(&self, needs: &[Need]) -> Vec<ToBuy> {
        let mut all: BTreeMap<&Stuff, f64> = BTreeMap::new();
        for (stuff, grams) in self.shelf.plans.iter().flat_map(|p| &p.needs) {
            *all.entry(stuff).or_default() += grams.get();
        }
        for need in needs {
            *all.entry(&need.stuff).or_default() += need.grams;
        }
        let line = |(stuff, need): (&Stuff, f64)| {
            let there = self.there(stuff);
            ToBuy { stuff: stuff.clone(), need, there, missing: (need - there).max(0.0) }
        };
        all.into_iter().map(line).collect()
    }

    /// The bars of `made` as they lie on the shelf.
    pub fn finished(&self, made: &Made) -> Finished {
        let lots = made.lots.iter().filter_map(|(id, _)| self.shelf.lot(*id));
        Finished {
            code: made.code,
            left: made.left(),
            free_from: made.free_from,
            good_until: lots.filter_map(Lot::good_until).min(),
            withdrawn: made.withdrawn,
        }
    }

    /// The price of a pack of `stuff`, by what was bought last: pack, g, and price.
    pub fn price(&self, stuff: &Stuff) -> Option<(f64, f64)> {
        let lots = self.shelf.lots.iter().filter(|l| l.stuff == *stuff);
        let last = lots
            .filter_map(|l| Some((l.bought, l.id, l.pack().get(), l.price?.get())))
            .max_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)));
        last.map(|(_, _, pack, price)| (pack, price))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::shelf::Correction;
    use crate::design::words::Line;
    use crate::library::material::MaterialId;
    use crate::units::StockChange;

    fn day(n: u64) -> Day {
        Day::try_from("2026-01-01".to_owned()).expect("a day").after(n)
    }

    fn olive() -> Stuff {
        Stuff::Fat(MaterialId::new("olive_virgin").expect("an id"))
    }

    fn lot(grams: f64, good_for: Option<u64>) -> Lot {
        Lot { best_before: good_for.map(day), ..Lot::new(LotId(0), olive(), AmountMass::nearest(grams)) }
    }

    fn made(nth: u16, lots: Vec<(LotId, AmountMass)>) -> Made {
        Made { lots, confirmed: true, ..Made::begun(BatchCode::of(day(0), nth), Line::default(), String::new()) }
    }

    #[test]
    fn what_ends_first_is_used_first_and_a_day_without_a_date_last() {
        let mut shelf = Shelf::default();
        for lot in [lot(100.0, None), lot(100.0, Some(90)), lot(100.0, Some(30))] {
            shelf.put(lot).expect("room");
        }
        let of = |shelf: &Shelf, grams| {
            shelf.stock().first_out(&olive(), grams).into_iter().map(|(id, g)| (id.0, g.get())).collect::<Vec<_>>()
        };
        assert_eq!(of(&shelf, 150.0), [(3, 100.0), (2, 50.0)]);
        assert_eq!(of(&shelf, 320.0), [(3, 100.0), (2, 100.0), (1, 120.0)], "told, not refused");
        shelf.lots[0].opened = Some(day(0));
        shelf.lots[0].days_once_open = Some(10);
        assert_eq!(of(&shelf, 50.0), [(1, 50.0)], "an open one may end sooner");
        assert_eq!(Shelf::default().stock().first_out(&olive(), 5.0), [], "from nowhere");
    }

    #[test]
    fn the_chosen_lot_is_emptied_first_and_holds_what_no_lot_has() {
        let mut shelf = Shelf::default();
        for lot in [lot(100.0, Some(90)), lot(100.0, Some(30))] {
            shelf.put(lot).expect("room");
        }
        let of = |grams, first: Option<u32>| {
            let taken = shelf.stock().taken(&olive(), grams, first.map(LotId));
            taken.into_iter().map(|t| (t.lot.0, t.grams.get())).collect::<Vec<_>>()
        };
        assert_eq!(of(120.0, None), [(2, 100.0), (1, 20.0)], "what ends first");
        assert_eq!(of(120.0, Some(1)), [(1, 100.0), (2, 20.0)], "the rest comes from the next");
        assert_eq!(of(230.0, Some(1)), [(1, 130.0), (2, 100.0)], "told, not refused");
        assert_eq!(of(0.0, Some(1)), []);
    }

    #[test]
    fn codes_and_numbers_are_never_given_twice() {
        let mut shelf = Shelf::default();
        let first = shelf.put(lot(5.0, None)).expect("room");
        shelf.confirm(made(0, vec![(LotId(9), AmountMass::nearest(1.0))])).expect("room");
        assert_eq!(shelf.next_lot(), LotId(10), "a batch remembers a lot that is gone");
        assert_eq!(shelf.next_code(day(0)), BatchCode::of(day(0), 1));
        assert_eq!(shelf.next_code(day(1)), BatchCode::of(day(1), 0));
        shelf.confirm(made(1, vec![(first, AmountMass::nearest(2.0))])).expect("room");
        assert_eq!(shelf.batches_of(first).iter().map(|m| m.code.nth()).collect::<Vec<_>>(), [1]);
        let gone =
            Correction { on: day(1), grams: StockChange::nearest(3.1), reason: Line::new("spilt").expect("a line") };
        assert!(shelf.correct(first, gone).is_err(), "never below nothing");
    }
}
