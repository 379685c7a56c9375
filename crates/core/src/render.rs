//! What is shown: reports as text and JSON, the bench sheet, what one takes away.

pub mod card;
pub mod pages;
pub mod record;
pub mod report;
pub mod sheet;
pub mod shelf;

pub use crate::design::words::plain_line;
use crate::design::words::{plain, turns};
