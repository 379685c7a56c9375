//! The record of a batch: as text, as data, and on paper, filled or to be filled in.

mod html;
mod json;
mod text;
mod told;

pub use html::{empty, filled};
pub use json::log_json;
pub use text::{cure_words, log_text};
pub use told::told;
