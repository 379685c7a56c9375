//! Convex quadratic programmes with few non-zeros, steps and ranges: numbers only.

mod active_set;
mod branch;
mod form;
mod front;
mod infeasible;
mod problem;
mod qp;

pub use branch::{Blend, Distinct, Impossible, Limits, Progress, Search};
pub use front::{Capped, NoFront, capped, front};
pub use infeasible::{Demand, Infeasible, Miss, NearestMiss, explain};
pub use problem::{BadProblem, Firmness, Problem, Row, outside};
pub use qp::{Failure, Residuals, Solution, Solver};
