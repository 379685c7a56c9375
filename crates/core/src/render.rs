//! What is shown: reports as text and JSON, the bench sheet, what one takes away.

pub mod card;
pub mod pages;
pub mod report;
pub mod sheet;
