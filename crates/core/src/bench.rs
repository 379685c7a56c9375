//! What is done with a design at the bench: weighing, the schedule and the label.

pub mod label;
pub mod schedule;
pub mod weighing;
