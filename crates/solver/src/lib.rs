//! Convex quadratic programmes with few non-zeros, steps and ranges: numbers only.
//!
//! Of n variables w, with a cost cᵢ and bounds each, and rows of weighted sums with a range each,
//!
//! ```text
//! minimise    Σ cᵢ wᵢ + Σ ρₖ · dₖ²         dₖ: how far soft row k, aₖ·w, lies outside its range
//! subject to  Σ wᵢ = 1,  lᵢ ≤ wᵢ ≤ uᵢ      0 ≤ lᵢ ≤ uᵢ ≤ 1
//!             lowₖ ≤ aₖ·w ≤ highₖ          of each hard row k
//! ```
//!
//! A soft row whose ends are one number is a term of a least-squares fit. On top of that the
//! [`Limits`]: at most so many variables other than 0, none of those below a least value, all of them
//! whole multiples of a step. Numbers have no units: a row is in whatever its coefficients are, and the
//! objective in that of the costs, so ρₖ converts the square of a row's unit into it.
//!
//! | wanted | by | method |
//! |---|---|---|
//! | a checked [`Problem`] of [`Row`]s | [`Problem::new`] | |
//! | the best values of any size | [`Solver::solve`] | primal active set, started warm |
//! | few variables, least values, steps | [`Search::step`] | branch and bound, with proof |
//! | the best under each cap on a second cost | [`front()`] | ε-constraint |
//! | why nothing is feasible | [`why_infeasible`] | deletion filter |
//!
//! Everything is deterministic: the same calls give the same bits. Nothing blocks for long: a solve has
//! a cap on its iterations, a search goes on in steps as small as asked for. Meant for some hundred
//! variables and a few dozen rows, dense.
//!
//! ```
//! use barwright_solver::{Limits, Problem, Row, Search, Solver};
//! // Three variables that cost 1, 2 and 6; their weighted sum should come near 20.
//! let fit = Row::target(vec![10.0, 16.0, 40.0], 20.0, 0.1);
//! let problem = Problem::new(vec![1.0, 2.0, 6.0], vec![(0.0, 1.0); 3], vec![fit])?;
//! let any = Solver::default().solve(&problem)?;
//! // At most two of them, in tenths, none below 0.2: no better than without these limits.
//! let mut search = Search::start(&problem, Limits { most: Some(2), least: 0.2, steps: Some(10) })?;
//! while !search.step(100).done {}
//! let best = search.progress().incumbent.expect("there are such values");
//! assert!(any.objective <= best.objective);
//! assert_eq!(best.w, [0.7, 0.0, 0.3]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod active_set;
mod branch;
mod form;
mod front;
mod infeasible;
mod problem;
mod qp;

pub use branch::{Distinct, Impossible, Limits, Progress, Search, Selection};
pub use front::{Capped, NoFront, capped, front};
pub use infeasible::{Constraint, Infeasible, Miss, NearestMiss, why_infeasible};
pub use problem::{BadProblem, Firmness, Problem, Row, outside};
pub use qp::{Failure, Residuals, Solution, Solver};
