//! Writes a season at Fernhollow (invented): six designs with twenty batches, and a shelf of forty lots.
//!
//! `cargo run -p barwright-core --example season -- assets/examples/season`; it always writes the same, and a test reads
//! what is written.
#![allow(clippy::print_stdout, reason = "a program whose output is its purpose")]

use barwright_core::bench::from_shelf;
use barwright_core::bench::record::Record;
use barwright_core::chemistry::cure::diffusivity;
use barwright_core::design::document;
use barwright_core::design::log::{
    Aspect, Batch, Batter, CutLike, Entry, Gel, Happened, HeatOf, How, Log, LotId, MarkedBar, Outcome, Rating, Taken,
    TimeOf, What,
};
use barwright_core::design::shelf::{
    Correction, Holds, JugAtHand, Lot, MouldAtHand, Papers, Produce, ScaleAtHand, Shelf, ShelfEdit, Stuff, Workshop,
};
use barwright_core::design::words::{Day, Line, Words};
use barwright_core::formula::Plain;
use barwright_core::library::material::MaterialId;
use barwright_core::units::{
    AmountMass, Bars, Celsius, Hours, Measures, Millilitres, Millimetres, Minutes, Money, PackMass, Purity,
    PurityMargin, SaponificationValue, ScaleDivision, StockChange, SvMargin, TimeConstant,
};
use barwright_core::{Design, Library, evaluate};
use std::collections::BTreeMap;
use std::error::Error;
use std::path::Path;
use std::sync::Arc;

type Done<T> = Result<T, Box<dyn Error>>;

/// The designs, by their files among the examples.
const DESIGNS: [&str; 6] =
    ["apple-oat-loaf", "carrot-slab", "orchard-olive", "cellar-scrub", "winter-tallow", "orchard-dual-lye"];

/// The batches: which design, when.
const BATCHES: [(usize, &str); 20] = [
    (2, "2026-02-14"),
    (0, "2026-02-21"),
    (4, "2026-03-07"),
    (0, "2026-03-07"),
    (3, "2026-03-21"),
    (2, "2026-04-04"),
    (5, "2026-04-18"),
    (0, "2026-05-02"),
    (4, "2026-05-16"),
    (2, "2026-05-30"),
    (5, "2026-06-13"),
    (3, "2026-07-04"),
    (0, "2026-07-18"),
    (2, "2026-08-08"),
    (1, "2026-08-29"),
    (1, "2026-09-12"),
    (4, "2026-09-26"),
    (0, "2026-10-10"),
    (1, "2026-10-31"),
    (2, "2026-11-21"),
];
/// The one that is weighed wrongly, and stopped before the lye goes in.
const WRONG: usize = 7;
/// The one whose test fails.
const FAILED: usize = 10;
/// The day on which the season is looked at.
const TODAY: &str = "2026-11-28";

/// Lots: what, how much, bought, good until, supplier, its number, pack, price.
const LOTS: &str = "\
fat olive_virgin 10000 2026-01-20 2027-06-30 Hillside-press HP-2601 5000 39
fat olive_virgin 5000 2026-05-11 2027-09-30 Hillside-press HP-2644 5000 41
fat olive_virgin 10000 2026-08-03 2027-12-31 Hillside-press HP-2702 5000 38
fat olive_virgin 5000 2026-11-09 2028-03-31 Hillside-press HP-2760 5000 42
fat coconut 5000 2026-01-20 2027-12-31 Mill-lane-stores C-118 5000 24
fat coconut 5000 2026-04-27 2028-02-28 Mill-lane-stores C-131 5000 25
fat coconut 10000 2026-09-01 2028-06-30 Mill-lane-stores C-160 5000 24
fat castor 1000 2026-01-20 2027-03-31 Mill-lane-stores R-40 1000 9
fat castor 1000 2026-06-22 2027-08-31 Mill-lane-stores R-52 1000 9
fat castor 1000 2026-10-20 2027-12-31 Mill-lane-stores R-61 1000 10
fat cocoa_butter 1000 2026-01-27 2027-10-31 Mill-lane-stores K-7 500 11
fat cocoa_butter 1000 2026-06-22 2028-01-31 Mill-lane-stores K-9 500 11
fat shea 1000 2026-08-03 2027-05-31 Mill-lane-stores S-21 500 8
fat shea 500 2026-03-02 2026-12-31 Mill-lane-stores S-15 500 8
fat sunflower_high_oleic 5000 2026-08-03 2027-07-31 Mill-lane-stores F-3 5000 19
fat tallow_beef 5000 2026-02-28 2026-12-31 Home-farm T-1 5000 15
fat tallow_beef 5000 2026-09-14 2027-06-30 Home-farm T-2 5000 15
fat lard 3000 2026-02-28 2026-11-30 Home-farm L-1 3000 9
fat lard 3000 2026-09-14 2027-05-31 Home-farm L-2 3000 9
fat olive_pomace 5000 2026-03-09 2027-08-31 Hillside-press HQ-12 5000 27
naoh - 1000 2026-01-20 - Cooperage-supplies N-881 1000 6
naoh - 1000 2026-04-27 - Cooperage-supplies N-902 1000 6
naoh - 1000 2026-07-13 - Cooperage-supplies N-930 1000 7
naoh - 1000 2026-10-05 - Cooperage-supplies N-955 1000 7
koh - 500 2026-04-13 - Cooperage-supplies P-31 500 6
addition apple_puree 2000 2026-02-10 2026-08-31 garden Cellar-row 500 0
addition apple_puree 3000 2026-10-06 2027-06-30 garden Cellar-row 500 0
addition carrot_boiled 1200 2026-08-25 2027-02-28 garden Bed-4 400 0
addition carrot_boiled 1500 2026-10-27 2027-04-30 garden Bed-4 500 0
addition honey 500 2026-02-01 2028-02-28 garden Hive-2 500 0
addition oats 1000 2026-02-01 2027-01-31 Mill-lane-stores O-8 1000 3
addition citric_acid 250 2026-08-03 2028-12-31 Cooperage-supplies A-2 250 4
addition kaolin 500 2026-08-03 2030-12-31 Cooperage-supplies W-1 500 5
scent lavender 100 2026-08-03 2028-08-31 Stillroom LV-9 100 16
scent cedarwood_virginia 100 2026-08-03 2028-08-31 Stillroom CV-2 100 14
other paper-bands 400 2026-02-01 - Mill-lane-stores - 400 12
other mould-liners 60 2026-02-01 - Mill-lane-stores - 60 9
other gift-boxes 50 2026-10-01 - Mill-lane-stores - 50 22
addition oats 500 2026-11-02 2027-10-31 Mill-lane-stores O-11 500 2
fat sunflower_high_oleic 1000 2026-11-02 2027-10-31 Mill-lane-stores F-6 1000 5
";

fn day(text: &str) -> Done<Day> {
    Ok(Day::try_from(text.to_owned())?)
}

fn line(text: &str) -> Done<Line> {
    Ok(Line::new(text)?)
}

fn lot(row: &str) -> Done<Lot> {
    let cells: Vec<&str> = row.split(' ').collect();
    let [kind, id, grams, bought, until, supplier, number, pack, price] = cells[..] else {
        return Err(format!("a lot of {} cells: {row}", cells.len()).into());
    };
    let words = |text: &str| line(&text.replace('-', " "));
    let stuff = match kind {
        "fat" => Stuff::Fat(MaterialId::new(id)?),
        "addition" => Stuff::Addition(MaterialId::new(id)?),
        "scent" => Stuff::Scent(MaterialId::new(id)?),
        "naoh" => Stuff::SodiumHydroxide,
        "koh" => Stuff::PotassiumHydroxide,
        _ => Stuff::Other(words(id)?),
    };
    let is_garden = supplier == "garden";
    let mut papers = Papers::default();
    if number == "HP-2702" {
        papers.sv = Some((SaponificationValue::new(190.4)?, SvMargin::new(1.0)?));
    }
    if number == "N-930" {
        papers.purity = Some((Purity::new(98.5)?, PurityMargin::new(0.3)?));
    }
    let produce = is_garden.then(|| -> Done<Produce> {
        let is_puree = id != "honey";
        Ok(Produce {
            bed: words(number)?,
            harvested: Some(day(bought)?),
            dried: if is_puree {
                Some((AmountMass::new(20.0)?, AmountMass::new(if id == "apple_puree" { 2.5 } else { 1.9 })?))
            } else {
                None
            },
            portions: if is_puree { 4 } else { 0 },
            thaw_by: if is_puree { Some(day(until)?) } else { None },
            ..Produce::default()
        })
    });
    Ok(Lot {
        supplier: words(supplier)?,
        number: if is_garden || number == "-" { Line::default() } else { line(number)? },
        bought: Some(day(bought)?),
        best_before: if until == "-" { None } else { Some(day(until)?) },
        pack: Some(PackMass::new(pack.parse()?)?),
        price: if is_garden { None } else { Some(Money::new(price.parse()?)?) },
        papers,
        produce: produce.transpose()?,
        ..Lot::new(LotId(0), stuff, AmountMass::new(grams.parse()?)?)
    })
}

/// Small differences that are always the same, −1 to 1.
struct Wobble(u64);

impl Wobble {
    fn next(&mut self) -> f64 {
        // Numerical Recipes' constants, from memory; only the look of it matters.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as f64 / f64::from(1_u32 << 30) - 1.0
    }
}

struct Season {
    library: Library,
    shelf: Shelf,
    designs: Vec<Design>,
    logs: Vec<Log>,
    wobble: Wobble,
    today: Day,
}

impl Season {
    fn change(&mut self, edit: ShelfEdit) -> Done<()> {
        self.shelf = edit.apply(&self.shelf)?;
        Ok(())
    }

    fn workshop(&mut self) -> Done<()> {
        let workshop = Workshop {
            scales: vec![ScaleAtHand {
                name: line("kitchen scale")?,
                division: ScaleDivision::new(1.0)?,
                largest: Some(AmountMass::new(5000.0)?),
                checked: Some(day("2026-11-01")?),
            }],
            jugs: vec![JugAtHand {
                name: line("steel jug")?,
                ml: Millilitres::new(1500.0)?,
                cooling: Some(TimeConstant::new(55.0)?),
            }],
            moulds: vec![MouldAtHand {
                name: line("long loaf")?,
                holds: Holds::Loaf {
                    length: Millimetres::new(296.0)?,
                    width: Millimetres::new(70.0)?,
                    height: Millimetres::new(60.0)?,
                },
                bars: Bars::new(9)?,
                liner: line("paper")?,
            }],
            oven_error: Some(Celsius::new(5.0)?),
        };
        self.change(ShelfEdit::Workshop(workshop))
    }

    /// What is past its day goes.
    fn throw_away(&mut self, on: Day) -> Done<()> {
        let stock = self.shelf.stock();
        let past = self.shelf.lots.iter().filter(|lot| lot.good_until().is_some_and(|until| until < on));
        let past: Vec<(LotId, f64)> = past.map(|lot| (lot.id, stock.left(lot.id).left)).collect();
        for (lot, left) in past.into_iter().filter(|(_, left)| *left > 0.0) {
            let gone = Correction { on, grams: StockChange::new(left)?, reason: line("past its day: on the compost")? };
            self.change(ShelfEdit::Correct(lot, gone))?;
        }
        Ok(())
    }

    fn make(&mut self, nth: usize) -> Done<()> {
        let (of, on) = BATCHES[nth];
        let made_on = day(on)?;
        let code = self.shelf.next_code(made_on);
        let mut design = self.designs[of].clone();
        design.process.made_on = Some(on.into());
        let mut batch = Batch::new(code, line("Fernhollow")?, Arc::new(design));
        let age = made_on.days_to(self.today);
        self.weigh(&mut batch, nth)?;
        self.at_the_bench(&mut batch, nth)?;
        if age >= 2 {
            self.on_the_rack(&mut batch, nth, age)?;
        }
        let record = Record::of(&batch, &BTreeMap::new(), &self.library, Measures::METRIC);
        let made = record.made(&batch, &self.designs[of].name, &format!("{}.barwright", DESIGNS[of]));
        self.change(ShelfEdit::Confirm(made))?;
        self.logs[of].begin(batch)?;
        Ok(())
    }

    fn weigh(&mut self, batch: &mut Batch, nth: usize) -> Done<()> {
        let record = Record::of(batch, &BTreeMap::new(), &self.library, Measures::METRIC);
        let on = batch.code.day();
        for row in &record.rows {
            let exact = row.plan.0;
            // Large weights are poured to a gram or two, small ones to a tenth.
            let off =
                if row.is_of_the_lye() && !matches!(row.what, What::Fat(_)) { 0.4 } else { (exact / 300.0).min(2.0) };
            let grams = (exact + off * self.wobble.next()).round().max(if exact < 8.0 { exact } else { 0.0 });
            if nth == WRONG && row.what == What::SodiumHydroxide {
                // The lid's weight was read with it.
                let wrong = self.weighed(batch, row.what, grams + 21.0)?;
                batch.push(Entry { on, corrects: None, what: wrong })?;
                let at = batch.entries().len() - 1;
                let right = self.weighed(batch, row.what, grams)?;
                batch.push(Entry { on, corrects: Some(at), what: right })?;
            } else {
                let weighed = self.weighed(batch, row.what, grams)?;
                batch.push(Entry { on, corrects: None, what: weighed })?;
            }
        }
        Ok(())
    }

    fn weighed(&self, batch: &Batch, what: What, grams: f64) -> Done<Happened> {
        let stock = self.shelf.stock();
        let taken = Stuff::of(what, &batch.made).map(|stuff| stock.first_out(&stuff, grams)).unwrap_or_default();
        let figures = |id| self.shelf.lot(id).map(|lot| lot.papers.figures()).unwrap_or_default();
        let lots = taken.into_iter().map(|(lot, grams)| Taken { lot, grams, figures: figures(lot) }).collect();
        Ok(Happened::Weighed { what, grams: AmountMass::new(grams)?, lots })
    }

    fn at_the_bench(&mut self, batch: &mut Batch, nth: usize) -> Done<()> {
        let on = batch.code.day();
        let record = Record::of(batch, &BTreeMap::new(), &self.library, Measures::METRIC);
        record.allows(&Happened::LyeIn).map_err(|e| format!("batch {nth}: {e}"))?;
        let peak = record.plan.jug.as_ref().and_then(|j| j.peak.as_ref().ok().copied()).unwrap_or(75.0);
        let mix = batch.made.process.mix_c.get();
        let mut wobble = |size: f64| (size * self.wobble.next()).round();
        let heats = [
            (HeatOf::Room, batch.made.process.room_c.get() + wobble(2.0)),
            (HeatOf::LyePeak, (0.78 * peak + wobble(2.0)).round()),
            (HeatOf::Lye, mix + wobble(2.0)),
            (HeatOf::Fats, mix + wobble(2.0)),
        ];
        let times = [
            (TimeOf::LyeStood, 70.0 + wobble(10.0)),
            (TimeOf::Emulsion, 3.0 + wobble(1.0)),
            (TimeOf::Trace, 9.0 + wobble(4.0)),
            (TimeOf::Pour, 14.0 + wobble(4.0)),
        ];
        let mut all = vec![Happened::LyeIn];
        for (of, celsius) in heats {
            all.push(Happened::Heat { of, celsius: Celsius::new(celsius)? });
        }
        for (of, minutes) in times {
            all.push(Happened::Took { of, minutes: Minutes::new(minutes)? });
        }
        all.push(Happened::Behaved(if nth == 14 { Batter::FalseTrace } else { Batter::Easy }));
        if let Some(gel) = batch.made.process.oven_gel {
            all.push(Happened::Oven { set: gel.oven_c, minutes: gel.minutes, hottest: Some(Celsius::new(68.0)?) });
        }
        all.push(Happened::Gelled([Gel::Full, Gel::Ring, Gel::None][nth % 3]));
        all.push(Happened::Made);
        for what in all {
            batch.push(Entry { on, corrects: None, what })?;
        }
        Ok(())
    }

    fn on_the_rack(&mut self, batch: &mut Batch, nth: usize, age: i64) -> Done<()> {
        let cut = batch.code.day().after(2);
        let record = Record::of(batch, &BTreeMap::new(), &self.library, Measures::METRIC);
        let forecast = record.plan.cure.ok_or("nothing is made")?;
        let bars = record.plan.masses.bars;
        batch.push(Entry {
            on: cut,
            corrects: None,
            what: Happened::Cut {
                hours: Hours::new(48.0)?,
                like: CutLike::Clean,
                bars,
                each: Vec::new(),
                trimmings: AmountMass::new(20.0)?,
                seconds: u32::from(nth.is_multiple_of(5)),
            },
        })?;
        // This orchard's loft is dry and airy: half the water is gone in thirteen days.
        let dries = forecast.with_diffusivity(diffusivity(13.0, 25.0));
        for days in [0_u32, 3, 7, 14, 21, 28, 42] {
            if i64::from(days) + 2 > age {
                break;
            }
            for bar in 1..=2_u8 {
                let grams =
                    dries.bar(Plain, f64::from(days)).0 * (1.0 + 0.004 * f64::from(bar)) + 0.3 * self.wobble.next();
                let what = Happened::BarWeighed {
                    bar: MarkedBar::new(bar)?,
                    grams: AmountMass::new((10.0 * grams).round() / 10.0)?,
                };
                batch.push(Entry { on: cut.after(days.into()), corrects: None, what })?;
            }
        }
        if age >= 31 {
            self.after_cure(batch, nth, bars, cut, age)?;
        }
        Ok(())
    }

    fn after_cure(&mut self, batch: &mut Batch, nth: usize, bars: u32, cut: Day, age: i64) -> Done<()> {
        let tested = cut.after(28);
        if nth == FAILED {
            let what =
                Happened::Tested { how: line("drop of indicator on a cut face, pink")?, outcome: Outcome::Failed };
            batch.push(Entry { on: tested, corrects: None, what })?;
            let what = Happened::NextTime(Words::new("Stir the lye until it is clear before it goes in.")?);
            batch.push(Entry { on: tested, corrects: None, what })?;
            return Ok(());
        }
        let passed =
            Happened::Tested { how: line("drop of indicator on a cut face, no colour")?, outcome: Outcome::Passed };
        for what in [passed, Happened::Freed] {
            batch.push(Entry { on: tested, corrects: None, what })?;
        }
        let outs = [
            (30, 2, How::Given, "Ada of the lower orchard"),
            (33, 1, How::Given, "Bo at the mill"),
            (40, bars / 2, How::Sold, "market day, Fernhollow green"),
            (45, 1, How::Kept, "the house"),
        ];
        for (after, bars, how, to) in outs {
            if after + 2 <= age {
                let on = cut.after(u64::try_from(after)?);
                batch.push(Entry { on, corrects: None, what: Happened::Out { bars, how, to: line(to)? } })?;
            }
        }
        if age > 60 {
            // What the makers found: the olive bars harder than the table has them after a long cure.
            let of = BATCHES[nth].0;
            let ratings = [[4, 4, 3], [3, 3, 4], [4, 2, 5], [3, 5, 2], [5, 3, 3], [4, 4, 3]][of];
            for (aspect, rating) in [Aspect::Hardness, Aspect::LatherVolume, Aspect::Feel].into_iter().zip(ratings) {
                let what = Happened::Judged { by: line("Ada")?, aspect, rating: Rating::new(rating)? };
                batch.push(Entry { on: cut.after(56), corrects: None, what })?;
            }
            let lost = AmountMass::new(3.0 + self.wobble.next().abs())?;
            batch.push(Entry {
                on: cut.after(57),
                corrects: None,
                what: Happened::Washed { washes: 10, grams: lost },
            })?;
        }
        Ok(())
    }
}

fn main() -> Done<()> {
    let folder = std::env::args().nth(1).ok_or("say the folder to write to")?;
    let folder = Path::new(&folder);
    let library = Library::embedded()?;
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/examples");
    let read = |name: &&str| -> Done<Design> {
        let design = document::read(&std::fs::read(examples.join(format!("{name}.barwright")))?, &library)?;
        Ok(design)
    };
    let designs = DESIGNS.iter().map(read).collect::<Done<Vec<_>>>()?;
    let mut season = Season {
        logs: vec![Log::default(); designs.len()],
        shelf: Shelf { currency: line("EUR")?, ..Shelf::default() },
        designs,
        library,
        wobble: Wobble(28),
        today: day(TODAY)?,
    };
    season.workshop()?;
    let mut lots = LOTS.lines().map(lot).collect::<Done<Vec<_>>>()?;
    lots.sort_by_key(|lot| lot.bought);
    let mut lots = lots.into_iter().peekable();
    let days = BATCHES.iter().map(|(_, on)| day(on)).chain([day(TODAY)]).collect::<Done<Vec<_>>>()?;
    for (nth, on) in days.into_iter().enumerate() {
        while let Some(lot) = lots.next_if(|lot| lot.bought.is_some_and(|bought| bought <= on)) {
            season.change(ShelfEdit::Put(Box::new(lot)))?;
        }
        season.throw_away(on)?;
        if nth < BATCHES.len() {
            season.make(nth)?;
        }
    }
    let spilt =
        Correction { on: day("2026-06-14")?, grams: StockChange::new(120.0)?, reason: line("spilt at the bench")? };
    let opened = season.shelf.lots_called("HP-2644").first().map(|lot| lot.id).ok_or("no such lot")?;
    season.change(ShelfEdit::Correct(opened, spilt))?;
    let evaluation = evaluate(&season.designs[0], &season.library);
    let plan = from_shelf::plan(&season.designs[0], &evaluation, Some(day("2026-12-05")?));
    season.change(ShelfEdit::Plan(plan))?;
    std::fs::create_dir_all(folder)?;
    for (i, name) in DESIGNS.iter().enumerate() {
        let text = document::write_with_log(&season.designs[i], &season.logs[i], &season.library)?;
        std::fs::write(folder.join(format!("{name}.barwright")), text)?;
    }
    std::fs::write(folder.join("shelf.ron"), document::write_shelf(&season.shelf, &season.library)?)?;
    println!("{} lots, {} batches", season.shelf.lots.len(), season.shelf.made.len());
    Ok(())
}
