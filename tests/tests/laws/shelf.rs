//! The books of the shelf: nothing is lost or made, whatever is used, counted and confirmed.

use barwright_core::design::log::{BatchCode, LotId};
use barwright_core::design::shelf::{Correction, Left, Lot, Made, Shelf, Stuff};
use barwright_core::design::words::{Day, Line};
use barwright_core::library::material::MaterialId;
use barwright_core::units::{AmountMass, StockChange};
use proptest::prelude::*;

fn day(n: u64) -> Day {
    Day::try_from("2026-01-01".to_owned()).expect("a day").after(n)
}

fn lot(grams: f64, good_for: Option<u64>) -> Lot {
    let olive = Stuff::Fat(MaterialId::new("olive_virgin").expect("an id"));
    Lot { best_before: good_for.map(day), ..Lot::new(LotId(0), olive, AmountMass::nearest(grams)) }
}

fn made(nth: u16, lots: Vec<(LotId, AmountMass)>) -> Made {
    Made { lots, confirmed: true, ..Made::begun(BatchCode::of(day(0), nth), Line::default(), String::new()) }
}

proptest! {
    #[test]
    fn nothing_is_lost_or_made_and_confirming_again_counts_once(
        came in proptest::collection::vec(1.0..5000.0, 1..6),
        uses in proptest::collection::vec((0_usize..6, 0.1..3000.0), 0..12),
        counts in proptest::collection::vec((0_usize..6, -500.0..500.0), 0..6),
    ) {
        let mut shelf = Shelf::default();
        for grams in &came {
            shelf.put(lot(*grams, None)).expect("room");
        }
        let id = |i: usize| LotId(u32::try_from(i % came.len()).unwrap_or(0) + 1);
        for (nth, (lot, grams)) in uses.iter().enumerate() {
            let made = made(u16::try_from(nth).unwrap_or(0), vec![(id(*lot), AmountMass::nearest(*grams))]);
            shelf.confirm(made.clone()).expect("room");
            shelf.confirm(made).expect("room");
        }
        for (lot, grams) in &counts {
            let count = Correction { on: day(1), grams: StockChange::nearest(*grams), reason: Line::new("counted").expect("a line") };
            // Taking away more than there is, is refused.
            let _ = shelf.correct(id(*lot), count);
        }
        let stock = shelf.stock();
        for lot in &shelf.lots {
            let Left { came, used, corrected, left, over } = stock.left(lot.id);
            prop_assert!(left >= 0.0 && over >= 0.0 && left * over <= 0.0, "one of both is nothing: {left}, {over}");
            prop_assert!((came + over - used - corrected - left).abs() < 1e-6, "in is used, corrected and left");
        }
        let used: f64 = shelf.lots.iter().map(|l| stock.left(l.id).used).sum();
        let meant: f64 = uses.iter().map(|(_, grams)| grams).sum();
        prop_assert!((used - meant).abs() < 1e-6, "each batch counts once: {used} of {meant}");
    }
}
