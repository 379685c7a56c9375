//! The name of a batch: its day and a running letter.

use crate::design::words::Day;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Day of making and running letter: “2026-11-28B” is the second batch of that day.
///
/// ```
/// use barwright_core::design::log::BatchCode;
/// let code = BatchCode::try_from("2026-11-28B".to_owned())?;
/// assert_eq!((code.day().to_string(), code.nth()), ("2026-11-28".to_owned(), 1));
/// assert_eq!(BatchCode::of(code.day(), 27).to_string(), "2026-11-28AB");
/// # Ok::<(), barwright_core::design::log::NoCode>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct BatchCode {
    day: Day,
    nth: u16,
}

/// A text that names no batch.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” names no batch; write its day and letter, as 2026-11-28A")]
pub struct NoCode(String);

const LETTERS: u16 = 26;
/// So many letters number more batches than a day has.
const MOST_LETTERS: usize = 2;

impl BatchCode {
    /// The `nth` batch of `day`, from 0.
    pub const fn of(day: Day, nth: u16) -> Self {
        Self { day, nth }
    }

    /// The day of making.
    pub const fn day(self) -> Day {
        self.day
    }

    /// Which of that day's batches, from 0.
    pub const fn nth(self) -> u16 {
        self.nth
    }

    /// The running letter: A to Z, then AA and so on.
    pub fn letter(self) -> String {
        let one = |n: u16| char::from(b'A' + u8::try_from(n % LETTERS).unwrap_or_default());
        match (self.nth / LETTERS).checked_sub(1) {
            Some(first) => [one(first), one(self.nth)].iter().collect(),
            None => one(self.nth).into(),
        }
    }
}

impl fmt::Display for BatchCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.day, self.letter())
    }
}

impl TryFrom<String> for BatchCode {
    type Error = NoCode;
    fn try_from(text: String) -> Result<Self, NoCode> {
        let read = || {
            let text = text.trim();
            let at = text.find(|c: char| c.is_ascii_alphabetic())?;
            let (day, letters) = text.split_at(at);
            let day = Day::try_from(day.to_owned()).ok()?;
            if letters.len() > MOST_LETTERS {
                return None;
            }
            let nth = letters.bytes().try_fold(0_u16, |sum, b| {
                let letter = b.to_ascii_uppercase();
                letter.is_ascii_uppercase().then(|| sum * LETTERS + u16::from(letter - b'A') + 1)
            })?;
            Some(Self { day, nth: nth - 1 })
        };
        read().ok_or_else(|| NoCode(text.chars().take(40).collect()))
    }
}

impl From<BatchCode> for String {
    fn from(code: BatchCode) -> Self {
        code.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_has_a_letter_of_its_own_that_reads_back() {
        let day = Day::try_from("2026-02-28".to_owned()).expect("a day");
        for nth in 0..702 {
            let code = BatchCode::of(day, nth);
            assert_eq!(BatchCode::try_from(code.to_string()), Ok(code), "{code}");
        }
        for bad in ["", "A", "2026-02-30A", "2026-02-28", "2026-02-28AAA", "2026-02-28é", "2026-02-28A1"] {
            assert!(BatchCode::try_from(bad.to_owned()).is_err(), "{bad}");
        }
    }
}
