//! A recall over 1,000 batches of 500 lots, and what is left of all lots. `cargo bench -p barwright-core --bench shelf`.

use barwright_core::design::log::{BatchCode, How, LotId};
use barwright_core::design::shelf::{Lot, Made, Out, Shelf, Stuff};
use barwright_core::design::words::{Day, Line};
use barwright_core::units::AmountMass;
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

const BATCHES: u16 = 1_000;
const LOTS: u32 = 500;

/// Each batch takes ten lots and goes to eight people.
fn shelf() -> Shelf {
    let day = Day::try_from("2026-01-01".to_owned()).expect("a day");
    let mut shelf = Shelf::default();
    for n in 0..LOTS {
        let lot = Lot::new(LotId(0), Stuff::SodiumHydroxide, AmountMass::nearest(1000.0));
        shelf.put(Lot { number: Line::shortened(&format!("N-{n}")), ..lot }).expect("room");
    }
    for nth in 0..BATCHES {
        let n = u32::from(nth);
        let on = day.after(u64::from(nth / 4));
        let lots = (0..10).map(|i| (LotId((7 * n + 31 * i) % LOTS + 1), AmountMass::nearest(50.0))).collect();
        let out =
            |i: u32| Out { on, bars: 1, how: How::Given, to: Line::shortened(&format!("friend {}", (n + i) % 90)) };
        let made = Made {
            lots,
            bars: 12,
            confirmed: true,
            out: (0..8).map(out).collect(),
            ..Made::begun(BatchCode::of(on, nth % 4), Line::shortened("Orchard olive"), String::new())
        };
        shelf.confirm(made).expect("room");
    }
    shelf
}

#[divan::bench(args = ["N-250", "friend 8", "2026-03-01A"])]
fn trace(bencher: Bencher<'_, '_>, asked: &str) {
    let shelf = shelf();
    assert!(shelf.trace(asked).is_some_and(|t| !t.batches.is_empty()), "{asked} is known");
    bencher.bench_local(|| shelf.trace(black_box(asked)).map(|t| t.people.len()));
}

#[divan::bench]
fn stock(bencher: Bencher<'_, '_>) {
    let shelf = shelf();
    bencher.bench_local(|| shelf.stock().there(black_box(&Stuff::SodiumHydroxide)));
}
