//! What is shown: reports as text and JSON.

pub mod report;
