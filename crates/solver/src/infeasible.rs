//! Which demands collide when no shares meet them all, and how near one can come.

use crate::active_set::{ActiveSet, Choice, End, FEASIBLE, Point};
use crate::form::Form;
use crate::problem::{Firmness, Problem, Row, outside};
use crate::qp::Failure;

/// Something that was demanded of the shares. That none is below 0 and they sum to 1 is no demand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Demand {
    /// The lower bound of a variable.
    Least(usize),
    /// The upper bound of a variable.
    Most(usize),
    /// The lower end of a hard row.
    RowLow(usize),
    /// The upper end of a hard row.
    RowHigh(usize),
}

/// A hard row that is missed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// The row.
    pub row: usize,
    /// By how much, in its own unit: negative below its range, positive above.
    pub by: f64,
}

/// The shares that come nearest to all hard rows.
#[derive(Debug, Clone, PartialEq)]
pub struct NearestMiss {
    /// The shares, within their bounds.
    pub w: Vec<f64>,
    /// The rows missed.
    pub missed: Vec<Miss>,
    /// Sum of what is missed, each as part of the largest coefficient of its row: the least there is.
    pub total: f64,
}

/// Why no shares meet all demands.
#[derive(Debug, Clone, PartialEq)]
pub struct Infeasible {
    /// Demands that collide with each other: without any one of them the others could be met.
    pub collision: Vec<Demand>,
    /// The nearest miss; `None` if already the bounds cannot sum to 1.
    pub nearest: Option<NearestMiss>,
}

/// Says which demands of `problem` collide; `None` if its bounds and hard rows can be met.
///
/// # Errors
/// [`Failure::Stalled`] if that cannot be found out.
pub fn explain(problem: &Problem) -> Result<Option<Infeasible>, Failure> {
    if let Some(collision) = bounds_off_one(problem) {
        return Ok(Some(Infeasible { collision, nearest: None }));
    }
    let mut trial = Trial::new(problem);
    let all = trial.all();
    if trial.can_meet(&all)? {
        return Ok(None);
    }
    // Only what pulls at the point of least squares can collide; if rounding hid one, take all.
    let mut collision = trial.pulling(&all);
    if trial.can_meet(&collision)? {
        collision = all;
    }
    // Leave out one after the other what the rest does not need (J. W. Chinneck and E. W. Dravnieks,
    // ORSA Journal on Computing 3, 1991: the deletion filter; from memory). Rows are kept longest.
    let mut k = 0;
    while k < collision.len() {
        let demand = collision.remove(k);
        if trial.can_meet(&collision)? {
            collision.insert(k, demand);
            k += 1;
        }
    }
    Ok(Some(Infeasible { collision, nearest: Some(nearest(problem)?) }))
}

/// The bounds that cannot sum to 1, none too many.
fn bounds_off_one(problem: &Problem) -> Option<Vec<Demand>> {
    let n = problem.variables();
    if problem.high().iter().sum::<f64>() < 1.0 - FEASIBLE {
        return Some((0..n).filter(|i| problem.high()[*i] < 1.0).map(Demand::Most).collect());
    }
    if problem.low().iter().sum::<f64>() <= 1.0 + FEASIBLE {
        return None;
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| problem.low()[*b].total_cmp(&problem.low()[*a]));
    let mut sum = 0.0;
    let mut least = Vec::new();
    for i in order {
        sum += problem.low()[i];
        least.push(Demand::Least(i));
        if sum > 1.0 + FEASIBLE {
            break;
        }
    }
    Some(least)
}

/// Tries subsets of the demands.
struct Trial<'a> {
    problem: &'a Problem,
    form: Form,
    set: ActiveSet,
    columns: Vec<usize>,
    low: Vec<f64>,
    high: Vec<f64>,
}

impl<'a> Trial<'a> {
    fn new(problem: &'a Problem) -> Self {
        let hard: Vec<Row> = problem.rows().iter().filter(|r| r.firmness == Firmness::Hard).cloned().collect();
        let n = problem.variables();
        Self {
            problem,
            form: Form::new(vec![0.0; n], &hard),
            set: ActiveSet::default(),
            columns: (0..n).collect(),
            low: vec![0.0; n],
            high: vec![1.0; n],
        }
    }

    /// The numbers of the hard rows, in the order of the trial's form.
    fn hard(&self) -> impl Iterator<Item = (usize, &'a Row)> + use<'a> {
        self.problem.rows().iter().enumerate().filter(|(_, r)| r.firmness == Firmness::Hard)
    }

    /// Every demand, bounds first.
    fn all(&self) -> Vec<Demand> {
        let n = self.problem.variables();
        let most = (0..n).filter(|i| self.problem.high()[*i] < 1.0).map(Demand::Most);
        let least = (0..n).filter(|i| self.problem.low()[*i] > 0.0).map(Demand::Least);
        let low = self.hard().filter(|(_, r)| r.low.is_finite()).map(|(k, _)| Demand::RowLow(k));
        let high = self.hard().filter(|(_, r)| r.high.is_finite()).map(|(k, _)| Demand::RowHigh(k));
        most.chain(least).chain(low).chain(high).collect()
    }

    /// Whether shares meet these demands.
    fn can_meet(&mut self, demands: &[Demand]) -> Result<bool, Failure> {
        self.low.fill(0.0);
        self.high.fill(1.0);
        let places: Vec<usize> = self.hard().map(|(k, _)| k).collect();
        for k in 0..places.len() {
            self.form.set_range(k, f64::NEG_INFINITY, f64::INFINITY);
        }
        for demand in demands {
            let place = |row: usize| places.binary_search(&row).unwrap_or_default();
            match *demand {
                Demand::Least(i) => self.low[i] = self.problem.low()[i],
                Demand::Most(i) => self.high[i] = self.problem.high()[i],
                Demand::RowLow(k) => self.form.set_low(place(k), self.problem.rows()[k].low),
                Demand::RowHigh(k) => self.form.set_high(place(k), self.problem.rows()[k].high),
            }
        }
        let choice = Choice { columns: &self.columns, low: &self.low, high: &self.high };
        let mut point = Point::cold(&self.form, &choice);
        match self.set.solve(&self.form, &choice, &mut point) {
            Ok(End::Optimal(_)) => Ok(true),
            Ok(End::NoSum | End::Collision) => Ok(false),
            Err(_) => Err(Failure::Stalled),
        }
    }

    /// Those of `demands` that pull at the point the last trial ended in.
    fn pulling(&self, demands: &[Demand]) -> Vec<Demand> {
        let places: Vec<usize> = self.hard().map(|(k, _)| k).collect();
        let pull = |row: usize| self.set.pull[self.form.place(places.binary_search(&row).unwrap_or_default()).0];
        let largest = self.set.pull.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        let pulls = |demand: &Demand| {
            let force = match *demand {
                Demand::Least(i) => self.set.prices[i],
                Demand::Most(i) => -self.set.prices[i],
                Demand::RowLow(k) => -pull(k),
                Demand::RowHigh(k) => pull(k),
            };
            force > 1e-9 * largest
        };
        demands.iter().copied().filter(pulls).collect()
    }
}

/// The shares within bounds with the least sum of scaled misses: a linear programme with two
/// allowances for each hard row.
fn nearest(problem: &Problem) -> Result<NearestMiss, Failure> {
    let n = problem.variables();
    let hard: Vec<usize> =
        (0..problem.rows().len()).filter(|k| problem.rows()[*k].firmness == Firmness::Hard).collect();
    let all = n + 2 * hard.len();
    let mut rows = Vec::new();
    let mut scales = Vec::new();
    for (place, &k) in hard.iter().enumerate() {
        let row = &problem.rows()[k];
        let widest = row.coefficients.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        let scale = if widest > 0.0 { widest } else { 1.0 };
        let mut coefficients = row.coefficients.clone();
        coefficients.resize(all, 0.0);
        coefficients[n + 2 * place] = scale;
        coefficients[n + 2 * place + 1] = -scale;
        rows.push(Row::hard(coefficients, row.low, row.high));
        scales.push(scale);
    }
    let cost: Vec<f64> = (0..all).map(|i| if i < n { 0.0 } else { 1.0 }).collect();
    let mut form = Form::new(cost, &rows);
    let (mut low, mut high) = (problem.low().to_vec(), problem.high().to_vec());
    low.resize(all, 0.0);
    high.resize(all, f64::INFINITY);
    for i in n..all {
        form.leave_sum(i);
    }
    let columns: Vec<usize> = (0..all).collect();
    let choice = Choice { columns: &columns, low: &low, high: &high };
    let mut point = Point::cold(&form, &choice);
    let Ok(End::Optimal(total)) = ActiveSet::default().solve(&form, &choice, &mut point) else {
        return Err(Failure::Stalled);
    };
    let w: Vec<f64> = point.w[..n].iter().zip(&low).zip(&high).map(|((w, l), u)| w.clamp(*l, *u)).collect();
    let miss = |(&row, scale): (&usize, &f64)| {
        let by = outside(problem.value(row, &w), problem.rows()[row].low, problem.rows()[row].high);
        (by.abs() > FEASIBLE * scale).then_some(Miss { row, by })
    };
    let missed = hard.iter().zip(&scales).filter_map(miss).collect();
    Ok(NearestMiss { w, missed, total })
}
