//! The clock on the wall, which core never reads.

use barwright_core::bench::schedule::NaiveDate;

/// The day that it is here.
pub fn today() -> NaiveDate {
    chrono::Local::now().date_naive()
}
