//! The bench sheet: one batch on paper, to weigh, mix and note down by.
//!
//! [`Sheet::of`] gathers what stands on it as plain values; [`Sheet::html`], [`Sheet::text`] and
//! [`Sheet::csv`] only place them.

mod csv;
mod figures;
mod html;
mod picture;
mod text;

pub use figures::Figure;
pub(super) use figures::mould as mould_words;
pub use html::Paper;
pub(super) use text::wrapped;

use crate::bench::method::{self, Passage, Step};
use crate::bench::schedule::{self, NaiveDate, NaiveDateTime, NaiveTime, Schedule, StepKind};
use crate::bench::weighing::{self, Vessel, What};
use crate::cautions::{self, Caution, Level};
use crate::chemistry::cure::Cure;
use crate::chemistry::rounding::{self, rounded};
use crate::chemistry::scale::Scale;
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::design::log::BatchCode;
use crate::design::mould::{Mould, Size};
use crate::design::scale::ScaleError;
use crate::evaluate::{Evaluation, evaluate};
use crate::formula::Plain;
use crate::library::Library;
use crate::library::additions::Addition;
use crate::library::handling::How;
use crate::number::{fixed, places, short, significant};
use crate::quantities::{About, AllFats, AnyQuantity, BarCount, FatShare, PlannedSuperfat, of_weight, text};
use crate::quantity::Unit;
use crate::render::plain;
use crate::units::{Bars, Fill, Grams, MassUnit, Measures, ScaleDivision};
use std::borrow::Cow;

/// What a sheet may be asked for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Options {
    /// How large the batch is, if not as designed.
    pub scale: Option<Scale>,
    /// When the lye is made on the day of making; 9:00 if not said.
    pub start: Option<NaiveTime>,
    /// The units of the person who works by it.
    pub measures: Measures,
    /// The batch that it is for, if one is begun.
    pub batch: Option<BatchCode>,
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

/// A fat of the blend.
#[derive(Debug, Clone, PartialEq)]
pub struct FatOfBlend {
    /// Its name.
    pub name: String,
    /// Its percent of the fats.
    pub percent: f64,
    /// The same as it is shown.
    pub share: String,
}

impl FatOfBlend {
    fn of(fat: &FatLine, about: About<'_>) -> Self {
        let share = text(&FatShare(fat.fat.id.clone()), about).unwrap_or_default();
        Self { name: line(&fat.fat.name), percent: fat.share.get(), share }
    }
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

impl Filled {
    /// The mould of `design`, once.
    pub(super) fn of(design: &Design) -> Option<Self> {
        let Size::Mould { mould, fill } = design.size else { return None };
        Some(Self { mould, fill, bars: mould.own_bars().unwrap_or(design.bars), times: 1.0 })
    }
}

/// When something is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Time {
    /// What.
    pub kind: StepKind,
    /// How long after the start, minutes.
    pub minutes: i64,
    /// How many days after that of the start.
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
            (None, ..0) => "the day before".into(),
            (None, 0) => "at the start".into(),
            (None, m @ ..120) => format!("after {m} min"),
            (None, m @ ..1440) if m % 60 > 0 => format!("after {} h {} min", m / 60, m % 60),
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

/// What stands on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The design's name.
    pub title: String,
    /// The maker's notes on the design.
    pub notes: String,
    /// Day of making.
    pub made_on: Option<NaiveDate>,
    /// The code of the batch; before it is begun that of the day, behind which a letter is written.
    pub batch_number: Option<String>,
    /// Whether that code has its letter.
    pub is_begun: bool,
    /// How the batch differs from the design in size, in words; empty if it does not.
    pub scaled: String,
    /// Step of the scale.
    pub division: ScaleDivision,
    /// The units in which it is written.
    pub measures: Measures,
    /// What to weigh, in the order of use.
    pub rows: Vec<WeighingRow>,
    /// What rounding the weights does.
    pub rounding: Rounding,
    /// The same in words.
    pub rounding_words: String,
    /// The fats with their shares.
    pub blend: Vec<FatOfBlend>,
    /// Masses and volumes of the batch.
    pub batch: Vec<Figure>,
    /// Temperatures.
    pub temperatures: Vec<Figure>,
    /// The mould, if the design has one.
    pub mould: Option<Filled>,
    /// Whether the filled mould goes into an oven.
    pub in_oven: bool,
    /// What to do, step by step.
    pub method: Vec<Passage>,
    /// When to do it; empty where there is nothing to make.
    pub times: Vec<Time>,
    /// What to mind with this design, worst first.
    pub cautions: Vec<SheetCaution>,
}

/// A scent that rounding moves by more than this part needs another scale (our choice).
const SCENT_OFF: f64 = 0.05;

/// What those tests are worth.
pub const TESTS_WORTH: &str = "The tests are common practice of the trade, not proof. Do not use it if in doubt: no test here shows that a bar is safe.";

/// First aid of every batch (as the usual safety sheets of caustic soda have it, from memory).
const FIRST_AID: [&str; 5] = [
    "Eye: rinse at once, lids held open, with gently running water from the nose outwards, lenses out while rinsing if easy; at least 20 minutes. Call the emergency number meanwhile and go on rinsing until help takes over.",
    "Skin: brush dry alkali off with something dry, soaked clothes off, then running water for at least 20 minutes; help if it is more than a small red spot. No vinegar.",
    "Mist breathed in: fresh air; help if coughing lasts.",
    "Swallowed: rinse the mouth; nothing to neutralise, do not make them vomit; call for help at once. Poison centre or emergency number: ______________",
    "The jug boils up: stand back, do not lean over it; it already stands in the sink.",
];
/// The same of one that is warmed in an oven.
const IN_OVEN: &str = "The mould heaves in the oven: oven off, goggles and gloves, a tray under it.";

/// What to do when something goes wrong (common practice, no source).
pub const WRONG: [&str; 5] = [
    "Spilt: keep others away, gloves on, take it up with something dry, then much water.",
    "Crystals in the lye: stand the jug in warm water and stir until it is clear before it is used.",
    "It splits, or stiffens at once: go on stirring, warm it gently, press it into the mould. It is still caustic.",
    "A weight was wrong or forgotten: stop, and work the superfat out again before anything goes on.",
    "Lye-heavy, or in doubt: not for skin and not down the drain in lumps; follow the local rules for caustic waste.",
];

/// What the sheet's words rest on.
pub const LEGEND: &str = "The steps, the words beside a weight, what is called usual and the tests are common practice of the \
    trade, without a source. First aid is as the usual safety sheets of caustic soda have it, from memory. Weights and \
    temperatures follow from the design.";

/// On whose word the sheet stands.
pub const NO_ADVICE: &str = "This sheet is arithmetic and not advice. Rules on handling lye and on selling soap where you \
    are come first; ask the responsible authority, or a licensed professional where they call for one.";

/// `text` without what can steer a terminal, in one line.
pub(super) fn line(text: &str) -> String {
    plain(text).replace('\n', " ")
}

/// How much of the water is frozen beforehand, where it is the water that is.
fn ice(about: About<'_>) -> Option<String> {
    let jug = method::in_jug(about.design, about.evaluation, about.library);
    let told = |mass: Grams| weighing::on_scale(mass, about.design.scale_division, about.measures);
    match (jug.ice.0 > 0.0, jug.liquid.0 > 0.0) {
        (false, _) => None,
        (true, false) => Some("all of it as ice".into()),
        (true, true) => Some(format!("of it {} as ice, {} liquid", told(jug.ice), told(jug.liquid))),
    }
}

/// The mark of a table in the words of a material.
const PRACTICE: &str = " (common practice, no source)";

/// The method, its names in one line each.
pub(super) fn method_of(about: About<'_>, options: &method::Options<'_>) -> Vec<Passage> {
    let clean = |step: Step| Step { text: line(&step.text), ..step };
    let passages = method::of(about.design, about.evaluation, about.library, options).into_iter();
    passages.map(|p| Passage { steps: p.steps.into_iter().map(clean).collect(), ..p }).collect()
}

/// What a material's record advises. Of what the method says itself only the words of another record than the
/// library's are repeated; how far it is known stands in the legend, not beside a weight.
fn advice(addition: &Addition, library: &Library) -> String {
    let is_in_method = match addition.handling().how {
        How::Dissolve | How::StirIn | How::Freeze | How::AfterCooling | How::Melt | How::Strain => true,
        How::Wet | How::Scatter => false,
    };
    let is_ours = library.addition(addition.id.as_str()).is_some_and(|a| a.advice == addition.advice);
    if is_in_method && is_ours { String::new() } else { line(&addition.advice).replace(PRACTICE, "") }
}

fn rows(about: About<'_>) -> Vec<WeighingRow> {
    let design = about.design;
    let division = design.scale_division;
    let row = |w: weighing::Weight<'_>| {
        // Whatever is weighed has its row.
        let item = of_weight(w.what, design).and_then(|item| item.value(about).ok());
        let exact = item.map_or(w.mass, Grams);
        let weight = rounded(exact, division);
        let mut note = match w.what {
            What::Addition(i) => advice(&design.additions[i].addition, about.library),
            What::Water => ice(about).unwrap_or_default(),
            What::SodiumHydroxide => format!("{} % pure; check the tub", short(design.alkali.naoh_purity.get(), 2)),
            What::PotassiumHydroxide => format!("{} % pure; check the tub", short(design.alkali.koh_purity.get(), 2)),
            _ => String::new(),
        };
        if weight.0 <= 0.0 && exact.0 > 0.0 {
            note = format!("less than this scale shows: use a finer one. {note}");
        }
        let note = note.trim_end().into();
        WeighingRow { what: w.what, name: line(w.name), vessel: w.vessel, exact, weight, note }
    };
    let weights = weighing::weights(design, about.evaluation).into_iter();
    // Where other liquids are all the water, none is weighed.
    weights.filter(|w| w.what != What::Water || w.mass.0 > 0.0).map(row).collect()
}

fn times_of(about: About<'_>, told: Vec<Caution>, made_on: Option<NaiveDate>, start: NaiveTime) -> Vec<Time> {
    let start = made_on.unwrap_or_default().and_time(start);
    // Without a batch, or beyond the calendar, there are no times; a caution tells of the first.
    let Ok(schedule) = Schedule::with(about.design, about.evaluation, start, told, about.measures) else {
        return Vec::new();
    };
    let time = |s: &schedule::Step| Time {
        kind: s.kind,
        minutes: (s.starts - start).num_minutes(),
        day: (s.starts.date() - start.date()).num_days(),
        at: made_on.map(|_| s.starts),
        text: line(&s.text),
    };
    schedule.steps().iter().map(time).collect()
}

/// All that is to be minded, with what cannot be weighed on the scale.
fn minded(about: About<'_>, cautions: &[Caution], rows: &[WeighingRow]) -> Vec<SheetCaution> {
    let cautions = cautions.iter().filter(|c| c.is_for_the_bench());
    let mut list: Vec<SheetCaution> =
        cautions.map(|c| SheetCaution { level: c.level, text: line(&c.text()) }).collect();
    for row in rows.iter().filter(|r| matches!(r.what, What::Scent(_))) {
        let off = (row.weight.0 - row.exact.0).abs();
        if off > SCENT_OFF * row.exact.0 {
            let text = format!(
                "The scale’s {} cannot weigh the {} of {}: use a finer one, for limits and allergens rest on it.",
                division_text(about),
                Unit::Grams.short_in(row.exact.0, places(row.exact.0, 3), about.measures),
                row.name
            );
            list.push(SheetCaution { level: Level::Care, text });
        }
    }
    list.sort_by_key(|m| std::cmp::Reverse(m.level));
    list
}

/// The scale's division with its unit.
fn division_text(about: About<'_>) -> String {
    let division = about.design.scale_division.get();
    let decimals = if about.measures.mass == MassUnit::Gram { 6 } else { places(division, 4) };
    Unit::Grams.short_in(division, decimals, about.measures)
}

/// `percent` as a superfat is shown.
fn superfat_text(about: About<'_>, percent: f64) -> String {
    AnyQuantity::unit(&PlannedSuperfat, about).text(percent, AnyQuantity::decimals(&PlannedSuperfat, about))
}

/// What rounding does to the superfat, in words.
fn rounding_words(about: About<'_>, rounding: Rounding) -> String {
    let division = division_text(about);
    match rounding.weighed {
        Some(weighed) => format!(
            "Superfat {} as planned, {} with the weights rounded to the scale’s {division}.",
            superfat_text(about, rounding.planned),
            superfat_text(about, weighed)
        ),
        None => format!("Weights are rounded to the scale’s {division}."),
    }
}

/// Words for a batch `times` as large as the design's.
fn scaled_words(times: f64, before: About<'_>, after: About<'_>) -> String {
    let shown = |quantity: &dyn AnyQuantity, of| text(quantity, of).unwrap_or_default();
    format!(
        "Scaled {} times: {} of fats in place of {}, {} bars in place of {}. Everything is in proportion; the design \
         itself is unchanged. A larger jug gets as hot and cools more slowly, a smaller one faster, than is said here.",
        short(times, 3),
        shown(&AllFats, after),
        shown(&AllFats, before),
        shown(&BarCount, after),
        shown(&BarCount, before)
    )
}

impl Sheet {
    /// The sheet of `design`, whose evaluation is `evaluation`.
    ///
    /// # Errors
    /// [`ScaleError`] if the batch cannot be scaled as `options` ask.
    ///
    /// ```
    /// use barwright_core::render::sheet::{Options, Sheet};
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
        let designed = About::new(design, evaluation, library).read_in(options.measures);
        let about = About::new(&made, &numbers, library).read_in(options.measures);
        let rows = rows(about);
        let weighed = rounding::superfat(&made, &numbers.masses, &numbers.fat_masses, &numbers.addition_masses);
        let rounding = Rounding { planned: numbers.masses.superfat, weighed };
        let made_on = design.process.made_on.as_deref().and_then(|day| schedule::day(day).ok());
        let mould = Filled::of(design).map(|filled| Filled { times, ..filled });
        let told = cautions::read_in(&made, &numbers, library, options.measures);
        let cut = mould.map(|filled| (filled.mould, filled.bars));
        let start = options.start.or_else(|| NaiveTime::from_hms_opt(9, 0, 0)).unwrap_or_default();
        Ok(Self {
            title: if design.name.trim().is_empty() { "Unnamed design".into() } else { line(&design.name) },
            notes: plain(design.notes.trim()),
            made_on,
            batch_number: options
                .batch
                .map(|code| code.to_string())
                .or_else(|| made_on.map(|day| day.format("%Y-%m-%d").to_string())),
            is_begun: options.batch.is_some(),
            scaled: if is_scaled { scaled_words(times, designed, about) } else { String::new() },
            division: design.scale_division,
            measures: options.measures,
            blend: made.blend.lines().iter().map(|l| FatOfBlend::of(l, about)).collect(),
            batch: figures::batch(about, designed, mould.as_ref(), told.iter().any(Caution::blocks)),
            temperatures: figures::temperatures(about),
            method: method_of(about, &method::Options::new(cut, &told, options.measures)),
            cautions: minded(about, &told, &rows),
            times: times_of(about, told, made_on, start),
            rounding_words: rounding_words(about, rounding),
            in_oven: design.process.oven_gel.is_some(),
            mould,
            rounding,
            rows,
        })
    }

    /// First aid for what may go wrong with this batch.
    pub fn first_aid(&self) -> impl Iterator<Item = &'static str> {
        FIRST_AID.into_iter().chain(self.in_oven.then_some(IN_OVEN))
    }

    /// The weight of `row`, without its unit: as the scale shows it, or as it is worked out where the
    /// scale would show nothing.
    pub fn shown(&self, row: &WeighingRow) -> String {
        if row.weight.0 <= 0.0 && row.exact.0 > 0.0 {
            significant(self.measures.mass.from_grams(row.exact))
        } else {
            self.weight(row.weight)
        }
    }

    /// `mass` with the decimals of the scale, without its unit.
    pub fn weight(&self, mass: Grams) -> String {
        fixed(self.measures.mass.from_grams(mass), weighing::decimals(self.division, self.measures))
    }

    /// The Stops, each as it stands on every page.
    pub fn stops(&self) -> impl Iterator<Item = String> {
        let stops = self.cautions.iter().filter(|m| m.level == Level::Stop);
        stops.map(|m| format!("{}: {}", m.level.word().to_uppercase(), m.text))
    }

    /// The rows in runs of one vessel.
    pub fn runs(&self) -> impl Iterator<Item = &[WeighingRow]> {
        self.rows.chunk_by(|a, b| a.vessel == b.vessel)
    }
}
