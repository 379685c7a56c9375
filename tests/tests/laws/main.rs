//! Laws that hold for every design, tried on random ones.
//!
//! Source: conservation of mass; the definitions of lye concentration, ratio and percentage;
//! the international yard and pound agreement of 1959 (an ounce is 28.349523125 g exactly); the
//! rest are promises of the project's own documents.

mod blend;
#[path = "../../src/designs/mod.rs"]
mod designs;
mod documents;
mod doubt;
mod evaluation;
mod figures;
mod history;
mod masses;
mod method;
mod recorded;
mod remedies;
mod shelf;
