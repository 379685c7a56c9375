//! The times of the schedule.

use super::{About, Change, Input, Why, why};
use crate::bench::schedule::{NaiveDateTime, Step, StepKind, USUAL_COOLING, Wait, counted_day};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::number_text;
use crate::library::Library;
use crate::number::{fixed, short};

/// Explains the time of `step`, one of the [schedule](crate::bench::schedule::Schedule) of `design`, whose `evaluation` is given;
/// `start` is when the lye is made, as the steps were planned.
///
/// ```
/// use barwright_core::bench::schedule::{NaiveDateTime, Schedule};
/// use barwright_core::design::document;
/// use barwright_core::explain;
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let design = document::read(b"(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100.0)])", &library)?;
/// let evaluation = evaluate(&design, &library);
/// let start: NaiveDateTime = "2026-03-14T09:00:00".parse()?;
/// let schedule = Schedule::of(&design, &evaluation, &library, start)?;
/// let cut = explain::step(&schedule.steps()[2], explain::Start::Dated(start), &design, &evaluation, &library);
/// assert!(cut.with_numbers.contains("48 h"), "{}", cut.with_numbers);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn step(step: &Step, start: Start, design: &Design, evaluation: &Evaluation, library: &Library) -> Why {
    let about = About::new(design, evaluation, library);
    let value = start.says(step.starts);
    let waits = step.waits.iter().map(|wait| match wait {
        Wait::Before(_) => format!(" − {}", long(*wait)),
        _ => format!(" + {}", long(*wait)),
    });
    let week = match step.kind {
        StepKind::Turn(week) => format!(", week {week}"),
        _ => String::new(),
    };
    let mut inputs = vec![Input::chosen("Lye is made at", start.says(start.at()))];
    inputs.extend(step.waits.iter().map(|wait| about.wait(*wait)));
    Why {
        ranges: Vec::new(),
        is_difference: false,
        key: format!("schedule.{}", step.kind.key()),
        title: format!("{}{week}", step.kind.title()),
        with_numbers: format!("{}{} = {value}", start.says(start.at()), waits.collect::<String>()),
        value,
        formula: "start + all that has to pass before it, to the minute".into(),
        inputs,
        trust: trust(step).into(),
        changes: about.later(step),
    }
}

/// When the lye is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// On this day.
    Dated(NaiveDateTime),
    /// On a day that is not known yet; days are counted from the one here.
    Undated(NaiveDateTime),
}

impl Start {
    const fn at(self) -> NaiveDateTime {
        match self {
            Self::Dated(at) | Self::Undated(at) => at,
        }
    }

    /// A time as it is said.
    fn says(self, time: NaiveDateTime) -> String {
        match self {
            Self::Dated(_) => time.format("%a %-d %b %Y %H:%M").to_string(),
            Self::Undated(start) => {
                format!("{}, {}", counted_day(time.date(), start.date()), time.format("%H:%M"))
            }
        }
    }
}

fn trust(step: &Step) -> &'static str {
    match step.waits.last() {
        None => "It is when you begin.",
        Some(Wait::Before(_)) => "It freezes through in a night; any earlier day does as well.",
        Some(Wait::Cooling(_)) => "A forecast of the cooling: measure the lye before it goes into the fats.",
        Some(Wait::UsualCooling(_)) => {
            "A guess: how long this lye cools is not known, so it is taken to be an hour. Measure it; all that follows \
             moves along."
        }
        Some(Wait::Pouring(_)) => "Good to half an hour: stirring to trace takes as long as it takes.",
        Some(Wait::InMould(_)) => {
            "The loaf decides: cut it when it is firm and no longer warm. Times are those of the clock on \
                                   the wall; a change to summer time in between moves them by an hour."
        }
        Some(Wait::Cure(_)) => {
            "A plan, not a measurement: a bar is ready when it is mild and has settled. Times are those of \
                                the clock on the wall."
        }
    }
}

fn long(wait: Wait) -> String {
    match wait {
        Wait::Before(minutes) => format!("{} h", short(minutes / 60.0, 2)),
        Wait::Cooling(minutes) | Wait::UsualCooling(minutes) | Wait::Pouring(minutes) => {
            format!("{} min", fixed(minutes, 0))
        }
        Wait::InMould(hours) => format!("{} h", short(hours.get(), 2)),
        Wait::Cure(days) => format!("{} days", short(days, 2)),
    }
}

impl About<'_> {
    fn wait(self, wait: Wait) -> Input {
        let value = long(wait);
        match wait {
            Wait::Before(_) => Input::worked_out("Before the lye is made", value, "common practice, no source"),
            Wait::Cooling(_) => {
                let how =
                    "how the jug cools from its peak to the working temperature; at least the time for making the lye";
                Input::worked_out("Until the jug can be used", value, how)
            }
            Wait::UsualCooling(_) => {
                let how =
                    format!("not known here; {} min is common practice, no source", number_text(USUAL_COOLING, ""));
                Input::worked_out("Until the jug can be used", value, &how)
            }
            Wait::Pouring(_) => Input::worked_out("Mixing and pouring", value, "common practice, no source"),
            Wait::InMould(_) => Input::chosen("In the mould", value),
            Wait::Cure(days) if (days - self.design.process.cure_days.get()).abs() < 1e-9 => {
                Input::chosen("Cure", value)
            }
            Wait::Cure(_) => {
                Input::worked_out("Cure", value, "weekly until the bars are ready, or until they have settled")
            }
        }
    }

    /// What would make it later.
    fn later(self, step: &Step) -> Vec<Change> {
        let mut changes = Vec::new();
        for wait in &step.waits {
            let mut add = |what: &str, effect: &str| changes.push(Change { what: what.into(), effect: effect.into() });
            match wait {
                Wait::Cure(_) if step.kind == StepKind::Ready => add("a day more of cure", "+1 day"),
                Wait::InMould(_) => add("an hour more in the mould", "+1 h"),
                Wait::Cooling(_) if step.waits.len() == 1 => {
                    let jug = why("jug.minutes_to_mix", self.design, self.evaluation, self.library);
                    changes.extend(jug.into_iter().flat_map(|why| why.changes));
                }
                _ => {}
            }
        }
        changes
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::schedule::Schedule;
    use crate::design::document;
    use crate::evaluate;
    use chrono::TimeDelta;

    /// The minutes in " + 45 min + 30 min + 48 h + 7 days".
    fn minutes(sum: &str) -> f64 {
        let one = |term: &str| {
            let (number, unit) = term.rsplit_once(' ').expect("a number and a unit");
            let unit = match unit {
                "min" => 1.0,
                "h" => 60.0,
                "days" => 24.0 * 60.0,
                other => panic!("{other} is no unit of time"),
            };
            number.replace('\u{202f}', "").parse::<f64>().expect("a number") * unit
        };
        sum.split(" + ").filter(|t| !t.is_empty()).map(one).sum()
    }

    #[test]
    fn each_time_is_the_start_and_what_passes() {
        let library = Library::embedded().expect("assets parse");
        let start: NaiveDateTime = "2026-03-14T09:00:00".parse().expect("a time");
        for lye in ["", ", alkali: (koh_share: 5.0)"] {
            let text = format!(
                "(barwright: 1, fats: [(fat: \"olive_virgin\", share: 100.0)]{lye}, process: (oven_gel: Some((oven_c: 75, minutes: 40)), cut_hours: 36.5))"
            );
            let design = document::read(text.as_bytes(), &library).expect("a design");
            let evaluation = evaluate(&design, &library);
            let schedule = Schedule::of(&design, &evaluation, &library, start).expect("a schedule");
            for of in schedule.steps() {
                for begin in [Start::Dated(start), Start::Undated(start)] {
                    let why = step(of, begin, &design, &evaluation, &library);
                    let (sum, value) = why.with_numbers.rsplit_once(" = ").expect("an equals sign");
                    let told = minutes(sum.strip_prefix(begin.says(start).as_str()).expect("the start"));
                    let off = start
                        + TimeDelta::from_std(std::time::Duration::from_secs_f64(60.0 * told)).expect("not long")
                        - of.starts;
                    assert!(off.abs() <= TimeDelta::minutes(1), "{}: off by {off}", why.with_numbers);
                    assert!(value.ends_with(&of.starts.format("%H:%M").to_string()), "{value}");
                    assert_eq!(value.starts_with("Day "), begin == Start::Undated(start), "{value}");
                    assert_eq!(why.inputs.len(), of.waits.len() + 1, "each is an input");
                    let guessed = why.trust.contains("guess");
                    assert_eq!(guessed, !lye.is_empty() && of.kind == StepKind::Mix, "{}", why.trust);
                }
            }
        }
    }
}
