//! The steps of a batch, and the calendar file read back by another program's reader.
//!
//! Source: RFC 5545 (iCalendar). The file is written with icalendar and read with calcard 0.3.

use barwright_core::bench::schedule::{NaiveDate, NaiveDateTime, Schedule, ScheduleError, Step, StepKind, day};
use barwright_core::design::document;
use barwright_core::units::Days;
use barwright_core::{Design, Library, evaluate};
use calcard::icalendar::{
    ICalendar, ICalendarAction, ICalendarComponent, ICalendarComponentType, ICalendarDuration, ICalendarProperty,
    ICalendarValue,
};
use chrono::TimeDelta;

fn library() -> Library {
    Library::embedded().expect("assets/data parses")
}

fn design(more: &str, library: &Library) -> Design {
    let text = format!(
        r#"(barwright: 1, name: "Apple, pear; \"oat\"\nand more", fats: [(fat: "olive_virgin", share: 70),
            (fat: "coconut", share: 30)], {more})"#
    );
    document::read(text.as_bytes(), library).expect("a design")
}

fn start() -> NaiveDateTime {
    NaiveDate::from_ymd_opt(2026, 3, 27).and_then(|d| d.and_hms_opt(9, 0, 0)).expect("a time")
}

const PROCESS: &str = "process: (oven_gel: Some((oven_c: 75, minutes: 40)), cut_hours: 36, cure_days: 28)";

fn of(design: &Design, library: &Library, start: NaiveDateTime) -> Result<Schedule, ScheduleError> {
    Schedule::of(design, &evaluate(design, library), library, start)
}

fn plan(more: &str, library: &Library) -> (Design, Schedule) {
    let design = design(more, library);
    let schedule = of(&design, library, start()).expect("a schedule");
    (design, schedule)
}

fn at(steps: &[Step], kind: StepKind) -> NaiveDateTime {
    steps.iter().find(|s| s.kind == kind).unwrap_or_else(|| panic!("no {kind:?} in {steps:?}")).starts
}

#[test]
fn each_step_follows_from_the_times_of_the_process() {
    let library = library();
    let (design, schedule) = plan(PROCESS, &library);
    let steps = schedule.steps();
    assert!(steps.is_sorted_by_key(|s| s.starts), "in the order of time");
    assert_eq!(at(steps, StepKind::Lye), start());
    let cooled = evaluate(&design, &library).jug.and_then(|j| j.minutes_to_mix()).expect("it cools to 38 °C");
    let mix = at(steps, StepKind::Mix);
    let minutes = (mix - start()).as_seconds_f64() / 60.0;
    assert!((minutes - cooled).abs() <= 0.5, "mixed after {minutes} minutes, cooled after {cooled}");
    // Half an hour to pour; the oven then; cut 36 hours after pouring; cure from cutting.
    let poured = mix + TimeDelta::minutes(30);
    let within = |kind, expected: NaiveDateTime| {
        let off = (at(steps, kind) - expected).abs();
        assert!(off <= TimeDelta::minutes(1), "{kind:?}: {} is off {expected} by {off}", at(steps, kind));
    };
    within(StepKind::Oven, poured);
    let cut = poured + TimeDelta::hours(36);
    within(StepKind::Cut, cut);
    for week in 1..=3 {
        within(StepKind::Turn(week), cut + TimeDelta::weeks(i64::from(week)));
    }
    within(StepKind::Ready, cut + TimeDelta::days(28));
    assert_eq!(
        steps.iter().filter(|s| matches!(s.kind, StepKind::Turn(_))).count(),
        3,
        "not on the day they are ready"
    );
    let oven = steps.iter().find(|s| s.kind == StepKind::Oven).expect("there");
    assert_eq!(oven.ends - oven.starts, TimeDelta::minutes(40));
}

#[test]
fn what_goes_into_the_jug_frozen_is_frozen_the_day_before() {
    let library = library();
    let milk = r#"additions: [(addition: "goat_milk", amount: PercentOfFats(10), stage: IntoJug)]"#;
    for more in [milk, "process: (jug_frozen: 40)"] {
        let (_, schedule) = plan(more, &library);
        let first = schedule.steps().first().expect("a step");
        assert_eq!((first.kind, first.starts), (StepKind::Freeze, start() - TimeDelta::days(1)), "{more}");
        assert_eq!(at(schedule.steps(), StepKind::Lye), start(), "the lye is made when it was");
    }
    let into_fats = milk.replace("IntoJug", "IntoFats");
    for more in [into_fats.as_str(), PROCESS] {
        assert_eq!(plan(more, &library).1.steps().first().map(|s| s.kind), Some(StepKind::Lye), "{more}");
    }
}

#[test]
fn without_an_oven_there_is_no_such_step() {
    let (_, schedule) = plan("process: (cure_days: 20)", &library());
    let kinds: Vec<StepKind> =
        schedule.steps().iter().filter(|s| !matches!(s.kind, StepKind::Turn(_))).map(|s| s.kind).collect();
    assert_eq!(kinds, [StepKind::Lye, StepKind::Mix, StepKind::Cut, StepKind::Ready, StepKind::Settled]);
}

#[test]
fn what_cannot_be_planned_is_refused() {
    let library = library();
    let empty = Design::default();
    assert_eq!(of(&empty, &library, start()), Err(ScheduleError::NoBatch));
    let mut long = design("", &library);
    long.process.cure_days = Days::nearest(3650.0);
    let end = NaiveDateTime::MAX - TimeDelta::days(100);
    assert_eq!(of(&long, &library, end), Err(ScheduleError::TooLate));
    for bad in ["", "14.03.2026", "2026-02-30", "tomorrow"] {
        assert!(matches!(day(bad), Err(ScheduleError::BadDay(_))), "“{bad}” is no day");
    }
    assert_eq!(day(" 2028-02-29 ").expect("a leap day"), NaiveDate::from_ymd_opt(2028, 2, 29).expect("a day"));
}

fn text(component: &ICalendarComponent, property: &ICalendarProperty) -> String {
    let entry = component.property(property).unwrap_or_else(|| panic!("no {property:?}"));
    match entry.values.first() {
        Some(ICalendarValue::Text(text)) => text.clone(),
        other => panic!("{property:?} is {other:?}"),
    }
}

/// The time of `property` with whether it is tied to a zone.
fn time(component: &ICalendarComponent, property: &ICalendarProperty) -> (NaiveDateTime, bool) {
    let entry = component.property(property).unwrap_or_else(|| panic!("no {property:?}"));
    let Some(ICalendarValue::PartialDateTime(time)) = entry.values.first() else {
        panic!("{property:?} is {:?}", entry.values)
    };
    let zoned = time.tz_hour.is_some() || !entry.params.is_empty();
    let time = time.to_date_time().expect("a whole time");
    (time.date_time, zoned)
}

#[test]
fn another_reader_finds_every_step_at_its_time_and_tied_to_no_zone() {
    let library = library();
    let (_, schedule) = plan(PROCESS, &library);
    let (steps, file) = (schedule.steps(), schedule.calendar());
    assert!(file.lines().all(|l| l.len() <= 75), "lines are folded: {file}");
    assert_eq!(file.matches('\n').count(), file.matches("\r\n").count(), "lines end as RFC 5545 says");
    let read = ICalendar::parse(&file).unwrap_or_else(|e| panic!("{e:?}\n{file}"));
    let events: Vec<_> =
        read.components.iter().filter(|c| c.component_type == ICalendarComponentType::VEvent).collect();
    assert_eq!(events.len(), steps.len(), "{file}");
    let mut ids = Vec::new();
    for (event, step) in events.iter().zip(steps) {
        assert_eq!(time(event, &ICalendarProperty::Dtstart), (step.starts, false), "{:?}", step.kind);
        assert_eq!(time(event, &ICalendarProperty::Dtend), (step.ends, false), "{:?}", step.kind);
        let stamp = time(event, &ICalendarProperty::Dtstamp);
        assert_eq!(stamp, (start(), true), "the stamp is in UTC, as the format wants it");
        let summary = text(event, &ICalendarProperty::Summary);
        assert_eq!(summary, format!("{}: Apple, pear; \"oat\" and more", step.kind.title()));
        assert_eq!(text(event, &ICalendarProperty::Description), step.text);
        ids.push(text(event, &ICalendarProperty::Uid));
    }
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), steps.len(), "an id each");
    assert_eq!(file, schedule.calendar(), "no clock and no chance: the same bytes each time");
}

/// The reminders of `event`, each with its action, how long from the start it comes, and its words (RFC 5545, 3.6.6).
fn reminders(event: &ICalendarComponent, read: &ICalendar) -> Vec<(ICalendarAction, ICalendarDuration, String)> {
    let parts = event.component_ids.iter().filter_map(|id| read.components.get(*id as usize));
    parts
        .map(|part| {
            assert_eq!(part.component_type, ICalendarComponentType::VAlarm, "a reminder and nothing else");
            let value = |property| part.property(property).and_then(|entry| entry.values.first().cloned());
            let (action, trigger) = (value(&ICalendarProperty::Action), value(&ICalendarProperty::Trigger));
            let (Some(ICalendarValue::Action(action)), Some(ICalendarValue::Duration(trigger))) = (action, trigger)
            else {
                panic!("{part:?}")
            };
            (action, trigger, text(part, &ICalendarProperty::Description))
        })
        .collect()
}

#[test]
fn the_calendar_reminds_of_each_step_that_one_must_come_back_for_and_of_no_other() {
    let library = library();
    let (_, schedule) = plan(PROCESS, &library);
    let file = schedule.calendar();
    let read = ICalendar::parse(&file).unwrap_or_else(|e| panic!("{e:?}\n{file}"));
    let events = read.components.iter().filter(|c| c.component_type == ICalendarComponentType::VEvent);
    let mut reminded = Vec::new();
    for (event, step) in events.zip(schedule.steps()) {
        let found = reminders(event, &read);
        if let [(action, trigger, words)] = found.as_slice() {
            assert_eq!(*action, ICalendarAction::Display, "shown, on any device");
            assert_eq!(*trigger, ICalendarDuration::default(), "when the step begins");
            assert_eq!(*words, text(event, &ICalendarProperty::Summary));
            reminded.push(step.kind);
        } else {
            assert!(found.is_empty(), "one at the most: {found:?}");
        }
    }
    let wanted = [StepKind::Cut, StepKind::Turn(1), StepKind::Turn(2), StepKind::Turn(3), StepKind::Ready];
    assert_eq!(reminded, wanted, "{file}");
    assert!(file.lines().all(|l| l.len() <= 75), "lines are folded: {file}");
}

#[test]
fn the_calendar_of_a_stopped_batch_reminds_of_nothing() {
    let library = library();
    let (_, schedule) = plan("superfat: -4", &library);
    assert!(!schedule.stops().is_empty(), "it is lye-heavy");
    let file = schedule.calendar();
    assert!(file.contains("BEGIN:VEVENT") && !file.contains("VALARM"), "{file}");
}
