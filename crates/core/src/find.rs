//! The search for a blend.
//!
//! [`Wanted`] says what is looked for in fats, ranges and prices; [`BlendSearch`] looks for it in
//! steps; [`nudge`] finds the least change that brings every score inside; [`trade_off`] sets price
//! against likeness. All of them turn into numbers that know no fats, which `barwright_solver`
//! works out: a variable is the share of a fat, a row is an estimate with its range.

mod account;
mod blends;
mod formulation;
mod free;
mod from_shelf;
mod nudge;
mod practice;
mod ranges;
mod trade;
mod wanted;

pub(crate) use account::{Account, Exchange};
pub use blends::{Binding, BlendSearch, Collision, Found, Miss, Outcome};
pub use formulation::FindError;
pub use nudge::{Move, Nudge, nudge};
pub use practice::{Effect, InForce, Practice};
pub(crate) use trade::read_differs;
pub use trade::{differs, on_curve, trade_off};
pub use wanted::{Aim, Candidate, Demand, Measure, Named, Rule, ShareStep, Wanted, candidates};
