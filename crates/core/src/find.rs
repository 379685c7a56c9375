//! The numeric heart of a blend search: convex quadratic programmes over mass fractions, and the
//! mixed-integer ones that a limit on the number of ingredients, a least share and whole steps make
//! of them.
//!
//! Pure numbers: a [`problem::Problem`] knows variables and rows, not fats. [`qp`] solves it with
//! shares of any size, [`branch`] with limits, [`front`] trades two aims against each other, and
//! [`infeasible`] says which demands collide when nothing can meet them all.

mod active_set;
pub mod branch;
mod core;
pub mod front;
pub mod infeasible;
mod limits;
mod null_space;
mod pairs;
pub mod problem;
pub mod qp;
