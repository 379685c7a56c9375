//! A primal active-set method for convex piecewise quadratics.
//!
//! Soft rows need no variables of their own: their penalty has a continuous slope and a curvature
//! that changes where a row enters or leaves its range, so each step is Newton's for the present
//! pieces, with an exact search along it across the pieces (J. Nocedal and S. J. Wright, Numerical
//! Optimization, 2nd ed., 2006, ch. 16, for the active sets; from memory). Hard rows and bounds are
//! active or not. Nothing active is let go but by the sign of its multiplier, one at a time, so a
//! purely linear problem ends in a vertex as the simplex method does.

mod line_search;
mod null_space;
mod start;

use crate::form::{Aim, Form, add_scaled, dot};
use crate::problem::outside;
use null_space::NullSpace;

/// How far a hard row may be missed, as part of its largest coefficient.
pub(crate) const FEASIBLE: f64 = 1e-9;

/// Steps of no length before the rule changes to the smallest index, which cannot cycle
/// (R. G. Bland, Mathematics of Operations Research 2, 1977; from memory).
const PATIENCE: usize = 30;

/// A step that is no longer goes nowhere.
const SHORTEST: f64 = 1e-12;

/// Where a variable or a hard row stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum At {
    Lower,
    Upper,
    Free,
}

/// The variables in play, by their number in the form, with their bounds; all others are 0.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Choice<'a> {
    pub(crate) columns: &'a [usize],
    pub(crate) low: &'a [f64],
    pub(crate) high: &'a [f64],
}

impl Choice<'_> {
    fn len(&self) -> usize {
        self.columns.len()
    }
}

/// Values with what they lean on: the result of a solve and the start of the next.
#[derive(Debug, Clone, Default)]
pub(crate) struct Point {
    /// For each variable in play.
    pub(crate) w: Vec<f64>,
    pub(crate) at: Vec<At>,
    /// For each row of the form; used for hard ones only.
    pub(crate) rows: Vec<At>,
}

impl Point {
    /// A start that knows nothing.
    pub(crate) fn cold(form: &Form, choice: &Choice<'_>) -> Self {
        Self { w: choice.low.to_vec(), at: vec![At::Lower; choice.len()], rows: vec![At::Free; form.rows()] }
    }
}

/// How a solve ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum End {
    /// With the least objective.
    Optimal(f64),
    /// The bounds cannot sum to 1.
    NoSum,
    /// No values keep the hard rows; the point is the one with the least sum of squared distances.
    Collision,
}

/// The iterations ran out, in a warm and in a cold start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stalled;

#[derive(Debug, Clone, Copy)]
enum Block {
    Variable(usize, At),
    Row(usize, At),
}

/// The method's memory, kept between solves to spare allocations.
#[derive(Debug, Clone, Default)]
pub(crate) struct ActiveSet {
    space: NullSpace,
    /// Row values.
    pub(crate) x: Vec<f64>,
    /// For soft rows twice the distance, for active hard ones minus the multiplier.
    pub(crate) pull: Vec<f64>,
    /// What one more of each variable costs, once others have made room.
    pub(crate) reduced_costs: Vec<f64>,
    mask: Vec<f64>,
    free: Vec<usize>,
    room: Vec<f64>,
    active: Vec<usize>,
    gradient: Vec<f64>,
    slopes: Vec<f64>,
    step: Vec<f64>,
    x_step: Vec<f64>,
    missing: Vec<f64>,
    events: Vec<(f64, f64)>,
    /// Variables that were let go and came straight back: only rounding had let them go.
    refused: Vec<usize>,
    /// Whether the directions no longer fit the point.
    stale: bool,
    /// Iterations since the start of this solve.
    pub(crate) iterations: usize,
}

impl ActiveSet {
    /// Minimises cost and penalties from `point`, which is left at the result.
    pub(crate) fn solve(&mut self, form: &Form, choice: &Choice<'_>, point: &mut Point) -> Result<End, Stalled> {
        self.iterations = 0;
        let (least, most): (f64, f64) = (choice.low.iter().sum(), choice.high.iter().sum());
        if least > 1.0 + FEASIBLE || most < 1.0 - FEASIBLE {
            return Ok(End::NoSum);
        }
        if let Ok(end) = self.attempt(form, choice, point, PATIENCE) {
            return Ok(end);
        }
        *point = Point::cold(form, choice);
        self.attempt(form, choice, point, 0)
    }

    fn attempt(
        &mut self,
        form: &Form,
        choice: &Choice<'_>,
        point: &mut Point,
        patience: usize,
    ) -> Result<End, Stalled> {
        // Nothing free: nothing to go by.
        if !point.at.contains(&At::Free) || !self.restore(form, choice, point) {
            self.spread(form, choice, point);
            if form.rows() > form.soft + 1 && !self.feasible(form) {
                self.minimise(form, choice, Aim::Feasibility, point, patience)?;
                self.stale = true;
                if !self.feasible(form) {
                    return Ok(End::Collision);
                }
            }
        }
        self.minimise(form, choice, Aim::Objective, point, patience)?;
        let cost: f64 = choice.columns.iter().zip(&point.w).map(|(&i, w)| form.cost[i] * w).sum();
        Ok(End::Optimal(cost + form.penalty(&self.x)))
    }

    fn feasible(&self, form: &Form) -> bool {
        (form.soft..form.rows()).all(|r| outside(self.x[r], form.low[r], form.high[r]).abs() <= FEASIBLE)
    }

    /// Row values from those of the variables.
    fn values(&mut self, form: &Form, choice: &Choice<'_>, point: &Point) {
        self.x.clear();
        self.x.resize(form.stride(), 0.0);
        for (&i, &w) in choice.columns.iter().zip(&point.w) {
            if w != 0.0 {
                add_scaled(&mut self.x, w, form.column(i));
            }
        }
    }

    /// The free variables, the active rows and the directions they leave.
    fn rebuild(&mut self, form: &Form, choice: &Choice<'_>, aim: Aim, point: &mut Point) {
        self.stale = false;
        self.free.clear();
        self.free.extend((0..choice.len()).filter(|j| point.at[*j] == At::Free));
        if self.free.is_empty() {
            // The sum always needs one that can give way: the one most used, so that reduced
            // costs compare with it.
            let in_sum = |j: usize| form.column(choice.columns[j])[form.soft] != 0.0;
            let used = |j: usize| point.w[j] - choice.low[j];
            let open = (0..choice.len()).filter(|j| choice.low[*j] < choice.high[*j] && in_sum(*j));
            if let Some(j) = open.reduce(|a, b| if used(b) > used(a) { b } else { a }) {
                point.at[j] = At::Free;
                self.free.push(j);
            }
        }
        self.active.clear();
        self.active.push(form.soft);
        if aim == Aim::Objective {
            for r in form.soft + 1..form.rows() {
                if form.low[r] >= form.high[r] || point.rows[r] != At::Free {
                    self.active.push(r);
                }
            }
        }
        self.room.clear();
        self.room.extend(
            self.free.iter().map(|&j| (point.w[j] - choice.low[j]).min(choice.high[j] - point.w[j]).clamp(0.0, 1.0)),
        );
        let columns = self.free.iter().map(|&j| form.column(choice.columns[j]));
        self.space.build(&columns, &self.room, &self.active);
        if self.space.rows.len() < self.active.len() {
            for r in &self.active {
                if !self.space.rows.contains(r) {
                    point.rows[*r] = At::Free;
                }
            }
        }
    }

    /// Takes out what active rows have drifted by. True if it was worth it.
    fn correct(&mut self, form: &Form, choice: &Choice<'_>, point: &mut Point) -> bool {
        self.missing.clear();
        let mut most: f64 = 0.0;
        for &r in &self.space.rows {
            let end = if point.rows[r] == At::Upper { form.high[r] } else { form.low[r] };
            let missing = end - self.x[r];
            most = most.max(missing.abs());
            self.missing.push(missing);
        }
        if most < 4e-16 {
            return false;
        }
        let free = &self.free;
        self.space.correction(&self.missing, |k, change| point.w[free[k]] += change);
        self.values(form, choice, point);
        most > 1e-13
    }

    fn minimise(
        &mut self,
        form: &Form,
        choice: &Choice<'_>,
        aim: Aim,
        point: &mut Point,
        patience: usize,
    ) -> Result<(), Stalled> {
        let soft = aim.soft(form);
        let with_cost = aim == Aim::Objective;
        let fixed_noise: f64 = 2e-16 * soft.clone().map(|r| 2.0 * form.widest(r).powi(2)).sum::<f64>();
        let cap = 200 + 20 * (choice.len() + form.rows());
        let (mut still, mut newton, mut corrected) = (0_usize, 0_usize, 0_usize);
        let mut last_slope = f64::INFINITY;
        let mut let_go = None;
        self.refused.clear();
        self.pull.clear();
        self.pull.resize(form.stride(), 0.0);
        self.mask.clear();
        self.mask.resize(form.stride(), 0.0);
        for _ in 0..cap {
            self.iterations += 1;
            if self.stale {
                self.rebuild(form, choice, aim, point);
            }
            // Where the penalties stand and how large a gradient can be told from rounding.
            let mut scale = if with_cost { form.largest_cost() } else { 0.0 };
            for r in soft.clone() {
                let off = outside(self.x[r], form.low[r], form.high[r]);
                self.pull[r] = 2.0 * off;
                self.mask[r] = if off != 0.0 || form.low[r] >= form.high[r] { 1.0 } else { 0.0 };
                scale += 2.0 * form.widest(r) * off.abs();
            }
            for r in aim.hard(form) {
                self.pull[r] = 0.0;
            }
            let tolerance = 1e-12 * scale + fixed_noise;
            self.gradient.clear();
            for &j in &self.free {
                let i = choice.columns[j];
                let cost = if with_cost { form.cost[i] } else { 0.0 };
                self.gradient.push(cost + dot(form.column(i), &self.pull));
            }
            self.space.slopes(&self.gradient, &mut self.slopes);
            let slope = self.slopes.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
            let settled = newton > 0 && slope > 0.5 * last_slope && slope <= 1e3 * tolerance;
            last_slope = slope;
            if slope <= tolerance || settled || newton > 40 {
                newton = 0;
                last_slope = f64::INFINITY;
                if corrected < 3 && self.correct(form, choice, point) {
                    corrected += 1;
                    continue;
                }
                let Some(release) =
                    self.price(form, choice, aim, point, (10.0 * tolerance).max(2.0 * slope), still > patience)
                else {
                    return Ok(());
                };
                match release {
                    Block::Variable(j, at) => (point.at[j], let_go) = (at, Some(j)),
                    Block::Row(r, at) => (point.rows[r], let_go) = (at, None),
                }
                self.stale = true;
                continue;
            }
            let width = form.soft.max(soft.end).next_multiple_of(4).min(form.stride());
            let (columns, free) = (choice.columns, &self.free);
            self.space.step(|k| form.column(columns[free[k]]), &self.mask[..width], &self.slopes, &mut self.step);
            let (length, block, crossed) = self.search(form, choice, aim, point, still > patience);
            if !length.is_finite() {
                return Err(Stalled);
            }
            for (k, &j) in self.free.iter().enumerate() {
                point.w[j] = (point.w[j] + length * self.step[k]).clamp(choice.low[j], choice.high[j]);
            }
            add_scaled(&mut self.x, length, &self.x_step);
            if length > 0.0 {
                still = 0;
            } else {
                still += 1;
            }
            // Exactly reckoned, what is let go moves away from its bound.
            match block {
                Some(Block::Variable(j, _)) if length <= SHORTEST && let_go == Some(j) => self.refused.push(j),
                _ if length > SHORTEST => {
                    self.refused.clear();
                    let_go = None;
                }
                _ => {}
            }
            newton = if block.is_none() && !crossed { newton + 1 } else { 0 };
            match block {
                Some(Block::Variable(j, at)) => {
                    point.at[j] = at;
                    point.w[j] = if at == At::Lower { choice.low[j] } else { choice.high[j] };
                    self.stale = true;
                }
                Some(Block::Row(r, at)) => {
                    point.rows[r] = at;
                    self.stale = true;
                }
                None => {}
            }
        }
        Err(Stalled)
    }

    /// Works out every multiplier and finds what to let go: the worst, or the first.
    fn price(
        &mut self,
        form: &Form,
        choice: &Choice<'_>,
        aim: Aim,
        point: &Point,
        tolerance: f64,
        first: bool,
    ) -> Option<Block> {
        let pull = &mut self.pull;
        self.space.multipliers(&self.gradient, |r, y| pull[r] = -y);
        let with_cost = if aim == Aim::Objective { 1.0 } else { 0.0 };
        self.reduced_costs.clear();
        let mut worst: Option<(f64, Block)> = None;
        let mut offer = |wrong: f64, block: Block| {
            let better = worst.is_none_or(|(w, _)| !first && wrong > w);
            if wrong > tolerance && better {
                worst = Some((wrong, block));
            }
        };
        for (j, &i) in choice.columns.iter().enumerate() {
            let reduced = with_cost * form.cost[i] + dot(form.column(i), &self.pull);
            self.reduced_costs.push(reduced);
            if choice.low[j] < choice.high[j] && !self.refused.contains(&j) {
                let wrong = match point.at[j] {
                    At::Lower => -reduced,
                    At::Upper => reduced,
                    At::Free => continue,
                };
                offer(wrong, Block::Variable(j, At::Free));
            }
        }
        for &r in self.space.rows.iter().filter(|r| **r > form.soft && form.low[**r] < form.high[**r]) {
            let wrong = if point.rows[r] == At::Upper { -self.pull[r] } else { self.pull[r] };
            offer(wrong, Block::Row(r, At::Free));
        }
        worst.map(|(_, block)| block)
    }
}
