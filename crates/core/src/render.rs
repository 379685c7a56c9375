//! What is shown: reports as text and JSON, the bench sheet.

pub mod report;
pub mod sheet;
