//! The clock on the wall, which core never reads.

use barwright_core::bench::schedule::NaiveDate;

/// The day that it was here at `time`.
pub fn day_of(time: std::time::SystemTime) -> NaiveDate {
    chrono::DateTime::<chrono::Local>::from(time).date_naive()
}

/// The day that it is here.
pub fn today() -> NaiveDate {
    chrono::Local::now().date_naive()
}
