//! What is done with a design at the bench: weighing, the method, the schedule, the label and what the log teaches.

pub mod colour;
pub mod day;
pub mod from_shelf;
pub mod label;
pub mod learnt;
pub mod method;
pub mod price;
pub mod record;
pub mod schedule;
pub mod weighing;
