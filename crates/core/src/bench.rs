//! What is done with a design at the bench: weighing, the method, the schedule and the label.

pub mod day;
pub mod label;
pub mod method;
pub mod price;
pub mod record;
pub mod schedule;
pub mod weighing;
