//! Texts as a person types them into records: bounded, and nothing in them that cannot be seen.

use super::own::is_unseen;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A text that a record does not take.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WordsError {
    /// Longer than there is room for.
    #[error("the text has {0} letters, and there is room for {1}: shorten it")]
    TooLong(usize, usize),
    /// It holds what cannot be seen, or what turns the text around it.
    #[error("the text holds a sign that cannot be seen (U+{0:04X}), as pasted text can: type it anew")]
    Unseen(u32),
}

/// What is wrong with `text` of at most `most` letters, in several lines if `lines`.
fn checked(text: &str, most: usize, lines: bool) -> Result<String, WordsError> {
    let text = text.trim();
    let letters = text.chars().count();
    if letters > most {
        return Err(WordsError::TooLong(letters, most));
    }
    let is_layout = |c: char| lines && (c == '\n' || c == '\t');
    // Files from elsewhere may end their lines with two signs.
    let text = if lines { text.replace("\r\n", "\n") } else { text.to_owned() };
    match text.chars().find(|c| is_unseen(*c) && !is_layout(*c)) {
        Some(c) => Err(WordsError::Unseen(c.into())),
        None => Ok(text),
    }
}

/// Whether `c` turns the direction of what follows it.
pub(crate) const fn turns(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{61c}')
}

/// `text` without what can steer a terminal or turn the direction of what follows; its lines and tabs stay.
pub(crate) fn plain(text: &str) -> String {
    let is_layout = |c: char| matches!(c, '\n' | '\t');
    let text = text.replace("\r\n", "\n");
    text.chars().filter(|c| !turns(*c)).map(|c| if c.is_control() && !is_layout(c) { ' ' } else { c }).collect()
}

/// The same as a part of a line: nothing in it begins another.
pub fn plain_line(text: &str) -> String {
    let is_layout = |c: char| matches!(c, '\n' | '\t' | '\u{2028}' | '\u{2029}');
    plain(text).chars().map(|c| if is_layout(c) { ' ' } else { c }).collect()
}

/// `cell` so that no spreadsheet takes it for a formula or for two cells: one that begins like a formula, with whatever
/// space before it, gets an apostrophe.
pub fn inert(cell: &str) -> std::borrow::Cow<'_, str> {
    let begins = cell.trim_start_matches(|c: char| c.is_whitespace() || c == ';' || c == ',');
    if begins.starts_with(['=', '+', '-', '@', '\'']) { format!("'{cell}").into() } else { cell.into() }
}

/// What [`inert`] was made of.
pub fn uninert(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|rest| *inert(rest) != **rest).unwrap_or(cell)
}

macro_rules! words {
    ($(#[$about:meta])* $name:ident, $most:literal, $lines:literal) => {
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The most letters.
            pub const MOST: usize = $most;

            /// Takes `text` without the space around it.
            ///
            /// # Errors
            /// [`WordsError`] if it is too long or holds what cannot be seen.
            pub fn new(text: &str) -> Result<Self, WordsError> {
                checked(text, Self::MOST, $lines).map(Self)
            }

            /// As much of `text` as there is room for, without what cannot be seen; for names that come from elsewhere,
            /// never for typed ones.
            pub fn shortened(text: &str) -> Self {
                let seen = text.chars().filter(|c| !is_unseen(*c)).take(Self::MOST);
                Self(seen.collect::<String>().trim().to_owned())
            }

            /// The text.
            pub fn as_str(&self) -> &str {
                &self.0
            }

            /// Whether nothing is said.
            pub fn is_empty(&self) -> bool {
                self.0.is_empty()
            }
        }

        impl TryFrom<String> for $name {
            type Error = WordsError;
            fn try_from(text: String) -> Result<Self, WordsError> {
                Self::new(&text)
            }
        }

        impl From<$name> for String {
            fn from(words: $name) -> Self {
                words.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

words!(
    /// A name, a place or a reason in one line.
    ///
    /// ```
    /// use barwright_core::design::words::Line;
    /// assert_eq!(Line::new(" market day ")?.as_str(), "market day");
    /// assert!(Line::new("two\nlines").is_err());
    /// # Ok::<(), barwright_core::design::words::WordsError>(())
    /// ```
    Line, 200, false
);
words!(
    /// What a person has to say, in lines of their own.
    Words, 4000, true
);

/// A day, in files as ISO 8601 has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day(pub NaiveDate);

/// A text that is no day.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is no day; write it as 2026-11-28")]
pub struct NoDay(String);

impl Day {
    /// Days from `self` to `later`; less than nothing if that is before.
    pub fn days_to(self, later: Self) -> i64 {
        (later.0 - self.0).num_days()
    }

    /// The day so many days later; the last day there is if that is none.
    #[must_use]
    pub fn after(self, days: u64) -> Self {
        Self(self.0.checked_add_days(chrono::Days::new(days)).unwrap_or(NaiveDate::MAX))
    }
}

impl TryFrom<String> for Day {
    type Error = NoDay;
    fn try_from(text: String) -> Result<Self, NoDay> {
        super::day_of(&text).map(Self).ok_or_else(|| NoDay(text.chars().take(40).collect()))
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_that_looks_like_a_formula_is_none_and_reads_back() {
        for text in ["=1+1", " +cmd", ";=x", "-3", "@a", "'quoted", "\t=2", "plain", "", "a=b"] {
            let cell = inert(text);
            assert!(!cell.trim_start().starts_with(['=', '+', '-', '@']), "{cell}");
            assert_eq!(uninert(&cell), text);
        }
    }

    #[test]
    fn what_cannot_be_seen_or_is_too_long_is_refused() {
        assert_eq!(Line::new("a\u{1b}[2J"), Err(WordsError::Unseen(0x1b)));
        assert_eq!(Words::new("a\u{202e}b"), Err(WordsError::Unseen(0x202e)));
        assert_eq!(Line::new(&"x".repeat(201)), Err(WordsError::TooLong(201, 200)));
        assert_eq!(Words::new("one\r\ntwo").map(String::from), Ok("one\ntwo".into()));
    }
}
