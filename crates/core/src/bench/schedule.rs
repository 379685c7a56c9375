//! When to do what, from a start that the maker gives, and the same as a calendar file.
//!
//! While a Stop stands the steps end with [`StepKind::DoNotUse`]: nothing is cut, cured or ready.
//!
//! Times are those of the clock on the maker's wall, without a time zone: the calendar file says “09:00”
//! wherever it is opened (RFC 5545, 3.3.5, form 1), so that no zone or summer time can shift a step. A
//! change to summer time between two steps makes them an hour nearer than planned.

use crate::cautions::{self, Caution, Doing, Stopped};
use crate::chemistry::jug::{Reach, frozen_water};
use crate::design::{Design, day_of};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::Library;
use crate::number::short;
use crate::quantity::Unit;
use crate::units::{Celsius, Days, Grams, Hours, Measures};
use chrono::TimeDelta;
pub use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use icalendar::{Alarm, Calendar, CalendarDateTime, Component, Event, EventLike};
use std::fmt::Write as _;
use std::time::Duration;

/// Minutes for making the lye; where the jug's cooling is not known, mixing follows after
/// [`USUAL_COOLING`] minutes (common practice, no source).
const LYE: f64 = 15.0;
/// Minutes after which lye and fats usually meet (common practice, no source).
pub const USUAL_COOLING: f64 = 60.0;
/// Minutes from mixing to the filled mould (common practice, no source).
pub const POURING: f64 = 30.0;
/// Bars are turned weekly for so many weeks, as long as they cure (common practice, no source).
const TURNS: u32 = 4;
const DAY: f64 = 24.0 * 60.0;
/// Minutes for weighing what is frozen (our judgement).
const FREEZING: f64 = 15.0;

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StepKind {
    /// What goes into the jug frozen is weighed and frozen.
    Freeze,
    /// Alkali into the water.
    Lye,
    /// Lye into the fats, and into the mould.
    Mix,
    /// The filled mould into the oven.
    Oven,
    /// Out of the mould and into bars.
    Cut,
    /// The bars are turned, the n-th time.
    Turn(u32),
    /// The cure ends: the bars are to be tested, and may then be used, given or sold.
    Ready,
    /// The bars have settled: they hardly lose weight any more.
    Settled,
    /// A Stop stands: what was made is not to be used.
    DoNotUse,
}

impl StepKind {
    /// What is done, in a few words.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Freeze => "Weigh and freeze",
            Self::Lye => "Make the lye",
            Self::Mix => "Mix and pour",
            Self::Oven => "Mould into the oven",
            Self::Cut => "Unmould and cut",
            Self::Turn(_) => "Turn the bars",
            Self::Ready => "Cure ends: test, then use, give or sell",
            Self::Settled => "Bars have settled",
            Self::DoNotUse => "Do not use, give or sell",
        }
    }

    /// Whether a person must come back for it, and is reminded by the calendar.
    pub const fn calls_back(self) -> bool {
        match self {
            Self::Freeze | Self::Cut | Self::Turn(_) | Self::Ready => true,
            Self::Lye | Self::Mix | Self::Oven | Self::Settled | Self::DoNotUse => false,
        }
    }

    pub(crate) fn key(self) -> String {
        match self {
            Self::Freeze => "freeze".into(),
            Self::Lye => "lye".into(),
            Self::Mix => "mix".into(),
            Self::Oven => "oven".into(),
            Self::Cut => "cut".into(),
            Self::Turn(n) => format!("turn-{n}"),
            Self::Ready => "ready".into(),
            Self::Settled => "settled".into(),
            Self::DoNotUse => "do-not-use".into(),
        }
    }
}

/// What has to pass before a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wait {
    /// None: it is done so long before the lye is made, minutes.
    Before(f64),
    /// The jug cools to the working temperature, so many minutes by the forecast.
    Cooling(f64),
    /// How long it cools is not known: as long as it usually takes.
    UsualCooling(f64),
    /// Mixing, and filling the mould.
    Pouring(f64),
    /// The loaf stays in the mould.
    InMould(Hours),
    /// The bars cure so long, days.
    Cure(f64),
}

impl Wait {
    /// How long it takes, minutes.
    pub fn minutes(self) -> f64 {
        match self {
            Self::Before(minutes) => -minutes,
            Self::Cooling(minutes) | Self::UsualCooling(minutes) | Self::Pouring(minutes) => minutes,
            Self::InMould(hours) => 60.0 * hours.get(),
            Self::Cure(days) => days * DAY,
        }
    }
}

/// A step with its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// From when, by the clock on the wall.
    pub starts: NaiveDateTime,
    /// Until when.
    pub ends: NaiveDateTime,
    /// More about it, a sentence or two.
    pub text: String,
    /// What passes between the start and this step; its time is the start and all of these.
    pub waits: Vec<Wait>,
}

/// Why there is no schedule.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ScheduleError {
    /// Text that is no day.
    #[error("“{0}” is no day; write it as 2026-03-14")]
    BadDay(String),
    /// Text that is no time of day.
    #[error("“{0}” is no time of day; write it as 09:30")]
    BadTime(String),
    /// The last step would lie after the end of the calendar.
    #[error("the schedule reaches beyond the end of the calendar")]
    TooLate,
    /// There is nothing to make.
    #[error("there are no fats, so there is nothing to make")]
    NoBatch,
}

/// Reads a day as [`crate::design::Process::made_on`] has it, ISO 8601.
///
/// # Errors
/// [`ScheduleError::BadDay`] if it is none.
///
/// ```
/// use barwright_core::bench::schedule::day;
/// assert_eq!(day("2026-03-14")?.to_string(), "2026-03-14");
/// assert!(day("14 March").is_err());
/// # Ok::<(), barwright_core::bench::schedule::ScheduleError>(())
/// ```
pub fn day(text: &str) -> Result<NaiveDate, ScheduleError> {
    day_of(text).ok_or_else(|| ScheduleError::BadDay(text.chars().take(40).collect()))
}

/// Reads a time of day, hours and minutes of 24 hours (ISO 8601).
///
/// # Errors
/// [`ScheduleError::BadTime`] if it is none.
///
/// ```
/// use barwright_core::bench::schedule::time;
/// assert_eq!(time("17:05")?.to_string(), "17:05:00");
/// assert!(time("5 pm").is_err() && time("24:10").is_err());
/// # Ok::<(), barwright_core::bench::schedule::ScheduleError>(())
/// ```
pub fn time(text: &str) -> Result<NaiveTime, ScheduleError> {
    let bad = || ScheduleError::BadTime(text.chars().take(40).collect());
    NaiveTime::parse_from_str(text.trim(), "%H:%M").ok().ok_or_else(bad)
}

/// `minutes` after `time`; `None` beyond the calendar.
fn after(time: NaiveDateTime, minutes: f64) -> Option<NaiveDateTime> {
    let whole = Duration::try_from_secs_f64(60.0 * minutes.round()).ok()?;
    time.checked_add_signed(TimeDelta::from_std(whole).ok()?)
}

/// How `day` is counted where the lye is made on `start`, and that day is not known yet.
pub fn counted_day(day: NaiveDate, start: NaiveDate) -> String {
    let days = day.signed_duration_since(start).num_days();
    let sign = if days < 0 { "−" } else { "" };
    format!("Day {sign}{}", days.unsigned_abs())
}

/// The day of cure on which the bars are turned in this week.
pub fn turning_day(week: u32) -> Days {
    const WEEK: f64 = 7.0;
    Days::nearest(WEEK * f64::from(week))
}

/// What is done in a batch and when, with the Stops that stand against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    name: String,
    steps: Vec<Step>,
    stops: Vec<Caution>,
}

impl Schedule {
    /// The steps of `design`'s batch, when the lye is made at `start`.
    ///
    /// # Errors
    /// [`ScheduleError`] if there is no batch or it would end after the calendar.
    pub fn of(
        design: &Design,
        evaluation: &Evaluation,
        library: &Library,
        start: NaiveDateTime,
    ) -> Result<Self, ScheduleError> {
        Self::read_in(design, evaluation, library, start, Measures::METRIC)
    }

    /// The same in the units of the person who works by it.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn read_in(
        design: &Design,
        evaluation: &Evaluation,
        library: &Library,
        start: NaiveDateTime,
        measures: Measures,
    ) -> Result<Self, ScheduleError> {
        let told = cautions::read_in(design, evaluation, library, measures);
        Self::with(design, evaluation, start, told, measures)
    }

    /// The same where `told` is known.
    pub(crate) fn with(
        design: &Design,
        evaluation: &Evaluation,
        start: NaiveDateTime,
        told: Vec<Caution>,
        measures: Measures,
    ) -> Result<Self, ScheduleError> {
        let stops: Vec<Caution> = told.into_iter().filter(Caution::blocks).collect();
        let mut steps = planned(design, evaluation, (start, measures), &stops)?;
        steps.sort_by_key(|s| s.starts);
        Ok(Self { name: design.name.clone(), steps, stops })
    }

    /// The steps in the order of their times.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The Stops.
    pub fn stops(&self) -> &[Caution] {
        &self.stops
    }
}

fn planned(
    design: &Design,
    evaluation: &Evaluation,
    (start, measures): (NaiveDateTime, Measures),
    stops: &[Caution],
) -> Result<Vec<Step>, ScheduleError> {
    let cure = evaluation.cure.as_ref().ok_or(ScheduleError::NoBatch)?;
    let process = &design.process;
    let mut steps = Vec::new();
    if stops.is_empty() && frozen_water(Plain, design, &evaluation.masses).0 > 0.0 {
        let waits = vec![Wait::Before(DAY)];
        let starts = start.checked_sub_signed(TimeDelta::days(1)).ok_or(ScheduleError::TooLate)?;
        let ends = after(starts, FREEZING).ok_or(ScheduleError::TooLate)?;
        let text = "In small pieces, what goes into the jug frozen: the sheet says how much.".into();
        steps.push(Step { kind: StepKind::Freeze, starts, ends, text, waits });
    }
    let mut add = |kind, waits: &[Wait], minutes: f64, text: String| {
        let from: f64 = waits.iter().map(|w| w.minutes()).sum();
        let starts = after(start, from).ok_or(ScheduleError::TooLate)?;
        let ends = after(starts, minutes).ok_or(ScheduleError::TooLate)?;
        steps.push(Step { kind, starts, ends, text, waits: waits.to_vec() });
        Ok(())
    };

    let all: Vec<&Caution> = stops.iter().collect();
    let text = "Goggles, gloves, fresh air; the alkali goes in last, never water onto alkali.";
    add(StepKind::Lye, &[], LYE, format!("{} {text}", cautions::in_words(stops)).trim_start().into())?;
    let cooled = evaluation.jug.as_ref().and_then(crate::chemistry::jug::Jug::minutes_to_mix);
    // The lye has to be made first.
    let cooling = cooled.map_or(Wait::UsualCooling(USUAL_COOLING), |minutes| Wait::Cooling(minutes.max(LYE)));
    let celsius = |value: Celsius| Unit::Celsius.short_in(value.get(), 1, measures);
    let grams = |mass: Grams| Unit::Grams.text_in(mass.0, 1, measures);
    let mix = celsius(process.mix_c);
    let text = if cooled.is_some() {
        format!("The lye should be down to {mix}; measure it.")
    } else if evaluation.jug.as_ref().is_some_and(|jug| jug.ready == Some(Reach::NeverSoWarm)) {
        format!("The lye stays colder than {mix}: once it is clear, measure it.")
    } else {
        format!("How long the lye takes to come to {mix} is not known; measure it.")
    };
    add(StepKind::Mix, &[cooling], POURING, text)?;
    let poured = [cooling, Wait::Pouring(POURING)];
    if let Some(oven) = process.oven_gel {
        let minutes = oven.minutes.get();
        let (at, text) = (celsius(oven.oven_c), short(minutes, 1));
        let text = format!("{at} for {text} minutes, then leave it in to cool.");
        add(StepKind::Oven, &poured, minutes, Doing::Oven.minding(&all, &text))?;
    }
    if !stops.is_empty() {
        add(StepKind::DoNotUse, &poured, 0.0, format!("{} {}", cautions::in_words(stops), Stopped::WITHHELD))?;
        return Ok(steps);
    }
    let [cooling, pouring] = poured;
    let cut = [cooling, pouring, Wait::InMould(process.cut_hours)];
    let bars = evaluation.masses.bars;
    let fresh = grams(cure.fresh());
    let late =
        if cautions::is_cut_late(design, evaluation) { " That is late for salt bars: cut them warm." } else { "" };
    let text = format!("Gloves on.{late} {bars} bars of about {fresh}; weigh some and write it down.");
    add(StepKind::Cut, &cut, 30.0, text)?;
    let [cooling, pouring, in_mould] = cut;
    let cured = |days: f64| [cooling, pouring, in_mould, Wait::Cure(days)];
    let days = process.cure_days.get();
    for week in (1..=TURNS).filter(|w| turning_day(*w).get() < days) {
        let at = turning_day(week).get();
        let text = format!("Turn them so that all faces dry. A bar should weigh about {}.", grams(cure.bar(Plain, at)));
        add(StepKind::Turn(week), &cured(at), 10.0, text)?;
    }
    let sale = grams(cure.bar_at_sale(Plain));
    let text = format!("Day {} of the cure: about {sale} a bar. Test, weigh, label.", short(days, 1));
    add(StepKind::Ready, &cured(days), 30.0, text)?;
    if let Some(day) = cure.settled() {
        let text = format!("Day {day} of the cure: by the forecast a bar loses less than 0.5 % a week from now on.");
        add(StepKind::Settled, &cured(f64::from(day)), 10.0, text)?;
    }
    Ok(steps)
}

impl Schedule {
    /// The steps as a calendar file (iCalendar, RFC 5545), with the Stops as its description (RFC 7986, 5.2) and a
    /// reminder (3.6.6) of each step that a person must come back for.
    /// The same steps give the same bytes: their ids come from the design's name and the start, and the time
    /// stamp, which the format wants in UTC, is that of the first step, since no clock is read here.
    pub fn calendar(&self) -> String {
        let mut calendar = Calendar::empty();
        calendar.append_property(("VERSION", "2.0")).append_property(("PRODID", "-//Fernhollow//Barwright//EN"));
        if !self.stops.is_empty() {
            calendar.description(&printable(&cautions::in_words(&self.stops)));
        }
        let Some(first) = self.steps.first() else { return calendar.to_string() };
        let name = printable(if self.name.trim().is_empty() { "soap" } else { &self.name });
        let id = name.bytes().take(24).fold(String::new(), |mut id, byte| {
            // Writing to a String cannot fail.
            let _ = write!(id, "{byte:02x}");
            id
        });
        for step in &self.steps {
            let kind = step.kind;
            let summary = format!("{}: {name}", kind.title());
            let mut event = Event::new();
            let uid = format!("{}-{}-{id}@barwright", first.starts.format("%Y%m%dT%H%M%S"), kind.key());
            event
                .uid(&uid)
                .timestamp(first.starts.and_utc())
                .summary(&summary)
                .description(&printable(&step.text))
                .starts(CalendarDateTime::Floating(step.starts));
            if step.ends > step.starts {
                event.ends(CalendarDateTime::Floating(step.ends));
            }
            if kind.calls_back() {
                // At the step itself; a maker who wants it earlier sets that in the calendar.
                let mut alarm = Alarm::display(&summary, TimeDelta::zero());
                // Unsaid, the crate would draw an id (RFC 9074, 4) and read a clock.
                alarm.uid(&format!("remind-{uid}")).timestamp(first.starts.and_utc());
                event.alarm(alarm);
            }
            calendar.push(event.done());
        }
        calendar.to_string()
    }
}

/// `text` without control characters, which a calendar file cannot hold.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
