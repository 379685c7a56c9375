//! The chemistry, the estimates and the documents of Barwright.
//!
//! Data flows one way: the [`library::Library`] is parsed once from the embedded tables;
//! a [`design::Design`] is what a person edits and a file holds; [`evaluate::evaluate`]
//! turns both into an [`evaluate::Evaluation`], which [`report`] and [`compare`] present.
//!
//! This crate opens no file, reads no clock, starts no thread and draws nothing: bytes in,
//! values out. Masses are grams, temperatures °C, fractions 0–1; percent exists at the edge,
//! in the bounded types of [`units`].

pub mod bench;
pub mod cautions;
pub mod chemistry;
pub mod design;
pub mod evaluate;
pub mod explain;
pub mod find;
pub mod formula;
pub mod library;
pub mod number;
pub mod quantities;
pub mod quantity;
pub mod render;
pub mod units;

pub use design::Design;
pub use evaluate::{Evaluation, evaluate};
pub use library::Library;
