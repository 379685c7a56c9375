//! The search for a blend.
//!
//! [`Wanted`] says what is looked for in fats, ranges and prices; [`BlendSearch`] looks for it in
//! steps; [`nudge`] finds the least change that brings every score inside. All of them turn into
//! numbers that know no fats: a [`problem::Problem`] has variables and rows, [`qp`] solves it with
//! shares of any size, [`branch`] with a limit on their number, a least share and whole steps,
//! [`front`] trades two aims against each other, and [`infeasible`] says which demands collide when
//! nothing can meet them all.

mod account;
mod active_set;
mod blends;
pub mod branch;
mod core;
mod formulation;
mod free;
pub mod front;
pub mod infeasible;
mod limits;
mod nudge;
mod null_space;
mod pairs;
pub mod problem;
pub mod qp;
mod ranges;
mod trade;
mod wanted;

pub(crate) use account::{Account, Exchange, What};
pub use blends::{Binding, BlendSearch, Collision, Found, Miss, Outcome};
pub use formulation::FindError;
pub use nudge::{Move, Nudge, nudge};
pub use trade::{differs, on_curve, trade_off};
pub use wanted::{Aim, Candidate, Demand, Measure, Rule, Step, Wanted, candidates};
