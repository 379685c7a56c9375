//! The chemistry, the estimates and the documents of Barwright.
//!
//! Data flows one way: the [`library::Library`] is parsed once from the embedded tables;
//! a [`design::Design`] is what a person edits and a file holds; [`evaluate::evaluate`]
//! turns both into an [`evaluate::Evaluation`], which [`report`] and [`compare`] present.
//!
//! This crate opens no file, reads no clock, starts no thread and draws nothing: bytes in,
//! values out. Masses are grams, temperatures °C, fractions 0–1; percent exists at the edge,
//! in the bounded types of [`units`].

pub mod acids;
pub mod additions;
pub mod alkali;
pub mod allergens;
pub mod batch;
pub mod blend;
pub mod cautions;
pub mod compare;
pub mod composition;
pub mod cost;
pub mod cure;
pub mod design;
pub mod document;
pub mod drying;
pub mod edit;
pub mod estimates;
pub mod evaluate;
pub mod fats;
pub mod find;
pub mod formula;
pub mod history;
pub mod inputs;
pub mod jug;
pub mod label;
pub mod library;
pub mod margin;
pub mod material;
pub mod mould;
pub mod number;
pub mod recipe;
pub mod report;
pub mod scale;
pub mod scents;
pub mod schedule;
pub mod sheet;
pub mod solution;
pub mod spread;
pub mod styles;
pub mod supplier;
pub mod tfm;
pub mod titre;
pub mod units;
pub mod water;
pub mod weighing;
pub mod why;

pub use design::Design;
pub use evaluate::{Evaluation, evaluate};
pub use library::Library;
