//! A day as a person types it: by its name, by its month, or in figures in the order of the region.

use super::label::Region;
use crate::design::day_of;
use chrono::{Datelike, Days, NaiveDate, Weekday};

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
/// The fewest letters by which a month is known.
const FEWEST_LETTERS: usize = 3;
/// Years around today in which a day without a year is looked for: a 29th of February may be eight years away.
const AROUND: i32 = 8;

/// Text that is no day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is no day; write {}", understood(*.region))]
pub struct NoDay {
    text: String,
    region: Region,
}

/// What is understood as a day in `region`, by examples.
pub const fn understood(region: Region) -> &'static str {
    match region {
        Region::EuUk => "today, tomorrow, 28 Nov, 28 Nov 2026, 28.11.2026 or 2026-11-28",
        Region::Us => "today, tomorrow, Nov 28, Nov 28 2026, 11/28/2026 or 2026-11-28",
    }
}

/// Reads a day as it is typed in `region` on the day `today`. Without a year it is the one nearest to today. Figures
/// with points between them have the day first everywhere; with other marks, in the order of the region.
///
/// # Errors
/// [`NoDay`], which says what is understood.
///
/// ```
/// use barwright_core::bench::{day, label::Region, schedule};
/// let today = schedule::day("2026-11-20")?;
/// let typed = |text, region| day::typed(text, today, region).map(|day| day.to_string());
/// assert_eq!(typed("tomorrow", Region::EuUk).as_deref(), Ok("2026-11-21"));
/// assert_eq!(typed("28 Nov", Region::EuUk).as_deref(), Ok("2026-11-28"));
/// assert_eq!(typed("3/4/2027", Region::EuUk).as_deref(), Ok("2027-04-03"));
/// assert_eq!(typed("3/4/2027", Region::Us).as_deref(), Ok("2027-03-04"));
/// # Ok::<(), barwright_core::bench::schedule::ScheduleError>(())
/// ```
pub fn typed(text: &str, today: NaiveDate, region: Region) -> Result<NaiveDate, NoDay> {
    let read = || {
        let text = text.trim().to_lowercase();
        match text.as_str() {
            "today" => Some(today),
            "tomorrow" => today.checked_add_days(Days::new(1)),
            "yesterday" => today.checked_sub_days(Days::new(1)),
            _ => day_of(&text).or_else(|| in_figures(&text, today, region)).or_else(|| with_month(&text, today)),
        }
    };
    read().ok_or_else(|| NoDay { text: text.trim().chars().take(40).collect(), region })
}

/// A day as its field shows it: no region reads it otherwise.
pub fn shown(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// So many days as a person says them, in the unit that suits: “about 5 months”.
///
/// ```
/// use barwright_core::bench::day::span;
/// assert_eq!([9.0, 30.0, 150.0, 1200.0].map(span), ["about 9 days", "about 4 weeks", "about 5 months", "about 3 years"]);
/// ```
pub fn span(days: f64) -> String {
    const MONTH: f64 = 365.25 / 12.0;
    let (per, unit) = match days {
        days if days < 14.0 => (1.0, "days"),
        days if days < 60.0 => (7.0, "weeks"),
        days if days < 730.0 => (MONTH, "months"),
        _ => (12.0 * MONTH, "years"),
    };
    format!("about {} {unit}", (days / per).round())
}

/// The day with which a week begins in a calendar (common practice, no source; ISO 8601 has Monday).
pub const fn begins_week(region: Region) -> Weekday {
    match region {
        Region::EuUk => Weekday::Mon,
        Region::Us => Weekday::Sun,
    }
}

/// Reads “28.11.2026”, “28/11” and the like.
fn in_figures(text: &str, today: NaiveDate, region: Region) -> Option<NaiveDate> {
    let mark = text.chars().find(|c| ['.', '/', '-'].contains(c))?;
    // As “28.11.” is written.
    let text = if mark == '.' { text.trim_end_matches('.') } else { text };
    let mut parts = text.split(mark).map(str::trim);
    let (first, second, year) = (parts.next()?, parts.next()?, parts.next());
    if parts.next().is_some() {
        return None;
    }
    let (day, month) = if mark != '.' && region == Region::Us { (second, first) } else { (first, second) };
    on(number(day, 2)?, number(month, 2)?, year, today)
}

/// Reads “28 Nov 2026”, “november 28th” and the like.
fn with_month(text: &str, today: NaiveDate) -> Option<NaiveDate> {
    let is_mark = |c: char| c.is_whitespace() || [',', '.', '-', '/'].contains(&c);
    if !text.chars().all(|c| c.is_ascii_alphanumeric() || is_mark(c)) {
        return None;
    }
    // Runs of figures and of letters, also without a space between them.
    let runs = text.split(is_mark).flat_map(|word| {
        let end = word.find(|c: char| c.is_ascii_digit() != word.starts_with(|c: char| c.is_ascii_digit()));
        let (run, rest) = word.split_at(end.unwrap_or(word.len()));
        let next = rest.find(|c: char| c.is_ascii_digit() != rest.starts_with(|c: char| c.is_ascii_digit()));
        let (second, third) = rest.split_at(next.unwrap_or(rest.len()));
        [run, second, third]
    });
    let mut runs = runs.filter(|run| !["", "st", "nd", "rd", "th", "of"].contains(run));
    let (first, second, year) = (runs.next()?, runs.next()?, runs.next());
    if runs.next().is_some() {
        return None;
    }
    let (day, month) = if first.starts_with(|c: char| c.is_ascii_digit()) { (first, second) } else { (second, first) };
    let place = MONTHS.iter().position(|name| month.len() >= FEWEST_LETTERS && name.starts_with(month))?;
    on(number(day, 2)?, u32::try_from(place + 1).ok()?, year, today)
}

/// A number of no more than `most` figures.
fn number(text: &str, most: usize) -> Option<u32> {
    let is_one = (1..=most).contains(&text.len()) && text.chars().all(|c| c.is_ascii_digit());
    text.parse().ok().filter(|_| is_one)
}

/// The day of a year as typed, or of the year in which it is nearest to today.
fn on(day: u32, month: u32, year: Option<&str>, today: NaiveDate) -> Option<NaiveDate> {
    /// Two figures are a year of this century.
    const CENTURY: i32 = 2000;
    match year {
        Some(text) => {
            let year = i32::try_from(number(text, 4)?).ok()?;
            let year = match text.len() {
                2 => CENTURY + year,
                4 => year,
                _ => return None,
            };
            NaiveDate::from_ymd_opt(year, month, day)
        }
        None => (-AROUND..=AROUND)
            .filter_map(|by| NaiveDate::from_ymd_opt(today.year().checked_add(by)?, month, day))
            .min_by_key(|date| date.signed_duration_since(today).num_days().abs()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str, today: &str, region: Region) -> Option<String> {
        typed(text, day_of(today).expect("a day"), region).ok().map(|day| day.to_string())
    }

    #[test]
    fn a_day_is_understood_however_it_is_written() {
        for text in [
            "today",
            " Today ",
            "28 Nov",
            "28nov",
            "Nov 28",
            "28th of November",
            "november 28, 2026",
            "28 Nov 2026",
            "28 Nov 26",
            "28-Nov-2026",
            "2026-11-28",
            "28.11.2026",
            "28.11.26",
            "28.11.",
        ] {
            for region in Region::ALL {
                assert_eq!(of(text, "2026-11-28", region).as_deref(), Some("2026-11-28"), "{text} {region:?}");
            }
        }
        assert_eq!(of("tomorrow", "2026-12-31", Region::EuUk).as_deref(), Some("2027-01-01"));
        assert_eq!(of("yesterday", "2027-01-01", Region::EuUk).as_deref(), Some("2026-12-31"));
    }

    #[test]
    fn figures_are_read_in_the_order_of_the_region() {
        for text in ["3/4/2027", "03/04/27", "3-4-2027", "3/4"] {
            assert_eq!(of(text, "2027-01-10", Region::EuUk).as_deref(), Some("2027-04-03"), "{text}");
            assert_eq!(of(text, "2027-01-10", Region::Us).as_deref(), Some("2027-03-04"), "{text}");
        }
        assert_eq!(of("28/11/2026", "2026-11-01", Region::Us), None, "a day of the other order is not guessed");
        assert_eq!(of("11/28/2026", "2026-11-01", Region::EuUk), None);
        assert_eq!(of("3.4.2027", "2027-01-10", Region::Us).as_deref(), Some("2027-04-03"), "points: day first");
    }

    #[test]
    fn a_day_without_a_year_is_the_nearest() {
        for (text, today, meant) in [
            ("2 Jan", "2026-12-30", "2027-01-02"),
            ("30 Dec", "2027-01-02", "2026-12-30"),
            ("29 Feb", "2026-06-01", "2028-02-29"),
            ("29 Feb", "2099-03-01", "2096-02-29"),
        ] {
            assert_eq!(of(text, today, Region::EuUk).as_deref(), Some(meant), "{text} on {today}");
        }
    }

    #[test]
    fn what_is_no_day_is_refused_and_told_what_is_understood() {
        for text in [
            "",
            "-",
            "28",
            "Nov",
            "no 28",
            "30 Feb",
            "2026-02-30",
            "0 Nov",
            "28 Nov 202",
            "28 Nov 2026 9",
            "28 Nov Dec",
            "1/2/3/4",
            "1//2",
            "28. Nov!",
            "99999999999-01-01",
            "\u{662}\u{668} Nov",
            "28 nóv",
            "next week",
        ] {
            for region in Region::ALL {
                assert_eq!(of(text, "2026-11-28", region), None, "{text} {region:?}");
            }
        }
        let today = day_of("2026-11-28").expect("a day");
        let error = typed("soon", today, Region::Us).expect_err("no day").to_string();
        assert_eq!(error, format!("“soon” is no day; write {}", understood(Region::Us)));
        assert!(error.contains("11/28/2026"), "{error}");
        assert_eq!(typed(&"x".repeat(1_000_000), today, Region::EuUk).expect_err("no day").text.len(), 40, "cut");
    }

    #[test]
    fn what_a_field_shows_is_understood_in_every_region() {
        for day in ["2026-11-28", "2027-03-04", "1999-05-01"] {
            let day = day_of(day).expect("a day");
            for region in Region::ALL {
                assert_eq!(typed(&shown(day), NaiveDate::default(), region), Ok(day));
            }
        }
    }

    #[test]
    fn the_ends_of_the_calendar_are_no_trap() {
        for today in [NaiveDate::MIN, NaiveDate::MAX] {
            for text in ["today", "tomorrow", "yesterday", "28 Nov", "31.12."] {
                let _ = typed(text, today, Region::EuUk);
            }
        }
    }
}
