//! The bench sheet: one batch on paper, to weigh, mix and note down by.
//!
//! [`Sheet::of`] gathers what stands on it as plain values; [`Sheet::html`], [`Sheet::text`] and
//! [`Sheet::csv`] only place them.

mod csv;
mod html;
mod picture;
mod text;
mod work;

pub use html::Paper;
pub use work::Passage;

use crate::bench::schedule::{self, NaiveDate, NaiveDateTime, NaiveTime, Schedule, StepKind};
use crate::bench::weighing::{self, Vessel, What};
use crate::cautions::{self, Caution, Level};
use crate::chemistry::cure::Cure;
use crate::chemistry::rounding::{self, rounded};
use crate::chemistry::scale::Scale;
use crate::design::Design;
use crate::design::mould::{Mould, Size};
use crate::design::scale::ScaleError;
use crate::evaluate::{Evaluation, evaluate};
use crate::formula::Plain;
use crate::library::Library;
use crate::number::{fixed, short, significant};
use crate::units::{Bars, Fill, Grams, ScaleDivision};
use std::borrow::Cow;

/// What a sheet may be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Options {
    /// How large the batch is, if not as designed.
    pub scale: Option<Scale>,
    /// When the lye is made on the day of making; 9:00 if not said.
    pub start: Option<NaiveTime>,
}

/// A line to weigh.
#[derive(Debug, Clone, PartialEq)]
pub struct WeighingRow {
    /// What it is.
    pub what: What,
    /// Its name.
    pub name: String,
    /// Where it goes.
    pub vessel: Vessel,
    /// The weight as it is worked out.
    pub exact: Grams,
    /// The same as the scale can show it.
    pub weight: Grams,
    /// More about it; often empty.
    pub note: String,
}

/// The superfat before and after the weights are rounded to the scale's division, percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rounding {
    /// As planned.
    pub planned: f64,
    /// With the weights of the sheet; `None` without fats that take alkali.
    pub weighed: Option<f64>,
}

/// A mould to fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// The mould.
    pub mould: Mould,
    /// How far it is filled.
    pub fill: Fill,
    /// Into how many bars one such mould is cut.
    pub bars: Bars,
    /// For how many such moulds the batch is.
    pub times: f64,
}

/// When something is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Time {
    /// What.
    pub kind: StepKind,
    /// How long after the start, minutes.
    pub minutes: i64,
    /// On which day, if that of the start is the first.
    pub day: i64,
    /// The day and time, if the day of making is set.
    pub at: Option<NaiveDateTime>,
    /// More about it.
    pub text: String,
}

impl Time {
    /// When, in words.
    pub fn words(&self) -> String {
        match (self.at, self.minutes) {
            (Some(at), _) => at.format("%a %-d %b %Y, %H:%M").to_string(),
            (None, 0) => "at the start".into(),
            (None, m @ ..120) => format!("after {m} min"),
            (None, m @ ..4320) => format!("after {} h", (m + 30) / 60),
            (None, _) => format!("day {}", self.day),
        }
    }
}

/// A caution.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetCaution {
    /// How much it weighs.
    pub level: Level,
    /// Why, and what to do.
    pub text: String,
}

/// A figure with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is.
    pub name: &'static str,
    /// The number with its unit.
    pub value: String,
}

/// What stands on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The design's name.
    pub title: String,
    /// The maker's notes on the design.
    pub notes: String,
    /// Day of making.
    pub made_on: Option<NaiveDate>,
    /// The day as a number, for the bars' label; a second batch of the day needs a letter behind it.
    pub batch_number: Option<String>,
    /// How the batch differs from the design in size, in words; empty if it does not.
    pub scaled: String,
    /// Step of the scale.
    pub division: ScaleDivision,
    /// What to weigh, in the order of use.
    pub rows: Vec<WeighingRow>,
    /// What rounding the weights does.
    pub rounding: Rounding,
    /// Each fat with its percent of the blend.
    pub blend: Vec<(String, f64)>,
    /// Masses and volumes of the batch.
    pub batch: Vec<Figure>,
    /// Temperatures.
    pub temperatures: Vec<Figure>,
    /// The mould, if the design has one.
    pub mould: Option<Filled>,
    /// What to do, step by step.
    pub work: Vec<Passage>,
    /// When to do it; empty where there is nothing to make.
    pub times: Vec<Time>,
    /// What to mind with this design, worst first.
    pub cautions: Vec<SheetCaution>,
}

/// A scent that rounding moves by more than this part needs another scale (our choice).
const SCENT_OFF: f64 = 0.05;

/// What a finished bar is looked at for (common practice, no source).
pub const TESTS: [&str; 5] = [
    "Look at the cut: one colour right through, no wet spots, no oil on top, no hard white crumbs. Liquid in a pocket may be lye: gloves on.",
    "Tongue: the trade rubs a wet finger on the bar and touches the finger with the tip of the tongue; a sting as of a battery tells of free lye. Rinse at once.",
    "Indicator: a drop of phenolphthalein on a wetted cut stays colourless to pale pink; a strong pink tells of free lye. Paper strips read soap too low.",
    "Wash your own hands first, then nobody else’s: no sting, no itching, no dryness that stays.",
    "Weigh a bar every week: it is ready for a label when its weight hardly falls any more.",
];

/// What those tests are worth.
pub const TESTS_WORTH: &str =
    "Common practice of the trade, not proof. Do not use it if in doubt: no test here shows that a bar is safe.";

/// What to do when something goes wrong (common practice, no source; first aid as the usual safety
/// sheets of caustic soda have it, from memory).
pub const WRONG: [&str; 8] = [
    "Swallowed: rinse the mouth, do not make them vomit, call for help at once. Poison centre or emergency number: ______________",
    "On clothes: take them off and rinse the skin under running water.",
    "Spilt: keep others away, gloves on, take it up with something dry, then much water.",
    "The jug boils up or the batter heaves: stand back, do not lean over it; set it in the sink, take the mould out of the oven.",
    "Crystals in the lye: stand the jug in warm water and stir until it is clear before it is used.",
    "It splits, or stiffens at once: go on stirring, warm it gently, press it into the mould. It is still caustic.",
    "A weight was wrong or forgotten: stop, and work the superfat out again before anything goes on.",
    "Lye-heavy, or in doubt: not for skin and not down the drain in lumps; follow the local rules for caustic waste.",
];

/// On whose word the sheet stands.
pub const NO_ADVICE: &str = "This sheet is arithmetic and not advice. Rules on handling lye and on selling soap where you \
    are come first; ask the responsible authority, or a licensed professional where they call for one.";

/// `text` without what can steer a terminal or turn the direction of what follows.
fn plain(text: &str) -> String {
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}');
    text.chars().filter(|c| !turns(*c)).map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect()
}

/// The same in one line.
fn line(text: &str) -> String {
    plain(text).replace('\n', " ")
}

/// Decimals that `division` needs, six at the most.
fn decimals(division: ScaleDivision) -> usize {
    let needs = |d: &usize| {
        let text = format!("{:.*}", *d, division.get());
        text.parse::<f64>().is_ok_and(|v| (v - division.get()).abs() < 1e-9)
    };
    (0..6).find(needs).unwrap_or(6)
}

/// How much of the water is frozen beforehand, where it is the water that is.
fn ice(design: &Design, evaluation: &Evaluation) -> String {
    let frozen = weighing::frozen(Plain, design, &evaluation.masses);
    let water = evaluation.masses.water_to_weigh;
    if frozen.0 <= 0.0 || frozen.0 > water.0 {
        return String::new();
    }
    format!("of it {} g as ice, {} g liquid", fixed(frozen.0, 0), fixed((water - frozen).0, 0))
}

fn rows(design: &Design, evaluation: &Evaluation) -> Vec<WeighingRow> {
    let division = design.scale_division;
    let row = |w: weighing::Weight<'_>| {
        let weight = rounded(w.mass, division);
        let mut note = match w.what {
            What::Addition(i) => line(&design.additions[i].addition.advice),
            What::Water => ice(design, evaluation),
            What::SodiumHydroxide => format!("{} % pure; check the tub", short(design.alkali.naoh_purity.get(), 2)),
            What::PotassiumHydroxide => format!("{} % pure; check the tub", short(design.alkali.koh_purity.get(), 2)),
            _ => String::new(),
        };
        if weight.0 <= 0.0 && w.mass.0 > 0.0 {
            note = format!("less than this scale shows: use a finer one. {note}");
        }
        WeighingRow {
            what: w.what,
            name: line(w.name),
            vessel: w.vessel,
            exact: w.mass,
            weight,
            note: note.trim_end().into(),
        }
    };
    weighing::weights(design, evaluation).into_iter().map(row).collect()
}

fn times_of(
    design: &Design,
    evaluation: &Evaluation,
    told: Vec<Caution>,
    made_on: Option<NaiveDate>,
    start: NaiveTime,
) -> Vec<Time> {
    let start = made_on.unwrap_or_default().and_time(start);
    // Without a batch, or beyond the calendar, there are no times; a caution tells of the first.
    let Ok(schedule) = Schedule::with(design, evaluation, start, told) else { return Vec::new() };
    let time = |s: &schedule::Step| Time {
        kind: s.kind,
        minutes: (s.starts - start).num_minutes(),
        day: (s.starts.date() - start.date()).num_days() + 1,
        at: made_on.map(|_| s.starts),
        text: line(&s.text),
    };
    schedule.steps().iter().map(time).collect()
}

/// All that is to be minded, with what cannot be weighed on the scale.
fn minded(cautions: &[Caution], rows: &[WeighingRow], division: ScaleDivision) -> Vec<SheetCaution> {
    let mut list: Vec<SheetCaution> =
        cautions.iter().map(|c| SheetCaution { level: c.level, text: line(&c.text()) }).collect();
    for row in rows.iter().filter(|r| matches!(r.what, What::Scent(_))) {
        let off = (row.weight.0 - row.exact.0).abs();
        if off > SCENT_OFF * row.exact.0 {
            let text = format!(
                "The scale’s {} g cannot weigh the {} g of {}: use a finer one, for limits and allergens rest on it.",
                short(division.get(), 6),
                significant(row.exact.0),
                row.name
            );
            list.push(SheetCaution { level: Level::Care, text });
        }
    }
    list.sort_by_key(|m| std::cmp::Reverse(m.level));
    list
}

/// Words for a batch `times` as large as the design's.
fn scaled_words(times: f64, before: &Evaluation, after: &Evaluation) -> String {
    let (old, new) = (&before.masses, &after.masses);
    format!(
        "Scaled {} times: {} g of fats in place of {} g, {} bars in place of {}. Everything is in proportion; the design \
         itself is unchanged. A larger jug gets as hot and cools more slowly, a smaller one faster, than is said here.",
        short(times, 3),
        fixed(new.fats.0, 0),
        fixed(old.fats.0, 0),
        new.bars,
        old.bars
    )
}

impl Sheet {
    /// The sheet of `design`, whose evaluation is `evaluation`.
    ///
    /// # Errors
    /// [`ScaleError`] if the batch cannot be scaled as `options` ask.
    ///
    /// ```
    /// use barwright_core::bench::sheet::{Options, Sheet};
    /// use barwright_core::{Design, Library, evaluate};
    /// let (library, design) = (Library::embedded()?, Design::default());
    /// let sheet = Sheet::of(&design, &evaluate(&design, &library), &library, &Options::default())?;
    /// assert_eq!(sheet.cautions[0].level.word(), "Stop", "no fats");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(
        design: &Design,
        evaluation: &Evaluation,
        library: &Library,
        options: &Options,
    ) -> Result<Self, ScaleError> {
        let (made, numbers) = if let Some(scale) = options.scale {
            let made = scale.of(design)?;
            let mut numbers = evaluate(&made, library);
            // Out of a mould of the same shape, bars dry as they do in the design.
            numbers.cure = Cure::of(Plain, design, &numbers.masses);
            (Cow::Owned(made), Cow::Owned(numbers))
        } else {
            (Cow::Borrowed(design), Cow::Borrowed(evaluation))
        };
        let times = if options.scale.is_some() { numbers.masses.fats.0 / evaluation.masses.fats.0 } else { 1.0 };
        let is_scaled = (times - 1.0).abs() > 1e-9;
        let rows = rows(&made, &numbers);
        let weighed = rounding::superfat(&made, &numbers.masses, &numbers.fat_masses, &numbers.addition_masses);
        let rounding = Rounding { planned: numbers.masses.superfat, weighed };
        let told = cautions::of(&made, &numbers, library);
        let stops = cautions::stops(&told);
        let made_on = design.process.made_on.as_deref().and_then(|day| schedule::day(day).ok());
        let mould = match design.size {
            Size::Mould { mould, fill } => {
                Some(Filled { mould, fill, bars: mould.own_bars().unwrap_or(design.bars), times })
            }
            _ => None,
        };
        let start = options.start.or_else(|| NaiveTime::from_hms_opt(9, 0, 0)).unwrap_or_default();
        Ok(Self {
            title: if design.name.trim().is_empty() { "Unnamed design".into() } else { line(&design.name) },
            notes: plain(design.notes.trim()),
            made_on,
            batch_number: made_on.map(|day| day.format("%Y%m%d").to_string()),
            scaled: if is_scaled { scaled_words(times, evaluation, &numbers) } else { String::new() },
            division: design.scale_division,
            blend: made.blend.lines().iter().map(|l| (line(&l.fat.name), l.share.get())).collect(),
            batch: work::batch(&made, &numbers, mould.as_ref(), !stops.is_empty()),
            temperatures: work::temperatures(&made, &numbers),
            work: work::passages(&made, &numbers, &rows, &stops),
            cautions: minded(&told, &rows, design.scale_division),
            times: times_of(&made, &numbers, told, made_on, start),
            mould,
            rounding,
            rows,
        })
    }

    /// The weight of `row`, without its unit: as the scale shows it, or as it is worked out where the
    /// scale would show nothing.
    pub fn shown(&self, row: &WeighingRow) -> String {
        if row.weight.0 <= 0.0 && row.exact.0 > 0.0 { significant(row.exact.0) } else { self.weight(row.weight) }
    }

    /// `mass` with the decimals of the scale, without its unit.
    pub fn weight(&self, mass: Grams) -> String {
        fixed(mass.0, decimals(self.division))
    }

    /// What rounding does to the superfat, in words.
    pub fn rounding_words(&self) -> String {
        let planned = fixed(self.rounding.planned, 2);
        let division = short(self.division.get(), 6);
        match self.rounding.weighed {
            Some(weighed) => format!(
                "Superfat {planned} % as planned, {} % with the weights rounded to the scale’s {division} g.",
                fixed(weighed, 2)
            ),
            None => format!("Weights are rounded to the scale’s {division} g."),
        }
    }

    /// The Stops, each as it stands on every page.
    pub fn stops(&self) -> impl Iterator<Item = String> {
        let stops = self.cautions.iter().filter(|m| m.level == Level::Stop);
        stops.map(|m| format!("{}: {}", m.level.word().to_uppercase(), m.text))
    }

    /// The rows in runs of one vessel.
    fn runs(&self) -> impl Iterator<Item = &[WeighingRow]> {
        self.rows.chunk_by(|a, b| a.vessel == b.vessel)
    }
}
