//! What is done with a design at the bench: weighing, the schedule, the sheet and the label.

pub mod label;
pub mod price;
pub mod schedule;
pub mod sheet;
pub mod weighing;
