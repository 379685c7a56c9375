//! An evaluation as text for people and as JSON for scripts.

mod compare;
mod find;
mod folder;
mod json;
mod label;
mod library;
mod text;
mod troubles;

pub use compare::{compare_json, compare_text};
pub use find::{find_json, find_text};
pub use folder::{Figure, Listed, Scored, Summary, folder_line, folder_text};
pub use json::Report;
pub use label::label_text;
pub use library::{FatEntry, additions_text, fats_json, fats_text, scents_text};
pub use text::text;
pub use troubles::{troubles_json, troubles_text};
