//! The chemistry, the estimates and the documents of Barwright.
//!
//! The modules are rooms in one direction: each uses only those before it, which a test holds fast.
//!
//! - the ground: [`trust`], [`num`], [`units`], [`number`], [`formula`] (one formula, read plainly or recorded) and
//!   [`quantity`] (units as they are shown)
//! - [`library`]: what is known. The tables, parsed once
//! - [`design`]: what a person says. Edits, history, the file
//! - [`chemistry`]: what follows. Every formula stands here once
//! - [`evaluate`]: calls chemistry once; numbers only
//! - [`cost`]: what the materials cost
//! - [`cautions`]: what a maker must be told of a design and its numbers
//! - [`bench`]: what is done with them. Weighing, schedule, label
//! - [`find`]: the search for blends
//! - [`quantities`]: each number that is shown as one item
//! - [`troubles`]: what is seen in a bar, and what it means for this design
//! - [`explain`]: why a number is what it is, and what two designs differ by
//! - [`render`]: reports as text and JSON, the bench sheet
//!
//! This crate opens no file, reads no clock, starts no thread and draws nothing: bytes in, values out. Masses are
//! grams, temperatures °C, fractions 0–1; percent exists at the edge, in the bounded types of [`units`].

#[macro_use]
mod listed;

pub mod bench;
pub mod cautions;
pub mod chemistry;
pub mod cost;
pub mod design;
pub mod evaluate;
pub mod explain;
pub mod find;
pub mod formula;
pub mod library;
pub mod num;
pub mod number;
pub mod quantities;
pub mod quantity;
pub mod render;
pub mod troubles;
pub mod trust;
pub mod units;

pub use design::Design;
pub use evaluate::{Evaluation, evaluate};
pub use library::Library;
