//! Which bounds and ranges collide when nothing keeps them all, and how near one can come.

use crate::active_set::{ActiveSet, Choice, End, FEASIBLE, Point};
use crate::form::Form;
use crate::problem::{Firmness, Problem, Row, outside};
use crate::qp::Failure;

/// One end of what a problem demands. That no variable is below 0 and that they sum to 1 is not
/// counted: every problem has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Constraint {
    /// The lower bound of a variable.
    Lower(usize),
    /// The upper bound of a variable.
    Upper(usize),
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

/// The values that come nearest to all hard rows.
#[derive(Debug, Clone, PartialEq)]
pub struct NearestMiss {
    /// One value a variable, within its bounds.
    pub w: Vec<f64>,
    /// The rows missed, in the order of the problem.
    pub missed: Vec<Miss>,
    /// Sum of what is missed, each as part of the largest coefficient of its row: the least there is.
    pub total: f64,
}

/// Why a problem has no solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Infeasible {
    /// Constraints that collide with each other: without any one of them the others could be kept.
    pub collision: Vec<Constraint>,
    /// The nearest miss; `None` if already the bounds cannot sum to 1.
    pub nearest: Option<NearestMiss>,
}

/// Says which constraints of `problem` collide; `None` if its bounds and hard rows can be kept.
///
/// By the deletion filter (J. W. Chinneck and E. W. Dravnieks, ORSA Journal on Computing 3, 1991; from
/// memory), bounds first, so that rows are kept longest. The collision is irreducible but need not be
/// the only one; the nearest miss is the optimum of a linear programme.
///
/// ```
/// use barwright_solver::{Constraint, Problem, Row, why_infeasible};
/// // Half of a variable worth 10 and of one worth 20 make no more than 15.
/// let rows = vec![Row::hard(vec![10.0, 20.0], 18.0, f64::INFINITY)];
/// let problem = Problem::new(vec![0.0; 2], vec![(0.0, 1.0), (0.0, 0.5)], rows)?;
/// let why = why_infeasible(&problem)?.expect("they collide");
/// assert_eq!(why.collision, [Constraint::Upper(1), Constraint::RowLow(0)]);
/// let nearest = why.nearest.expect("the bounds can sum to 1");
/// assert!((nearest.missed[0].by + 3.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`Failure::Stalled`] if that cannot be found out.
pub fn why_infeasible(problem: &Problem) -> Result<Option<Infeasible>, Failure> {
    if let Some(collision) = bounds_off_one(problem) {
        return Ok(Some(Infeasible { collision, nearest: None }));
    }
    let mut trial = Trial::new(problem);
    let all = trial.all();
    if trial.can_keep(&all)? {
        return Ok(None);
    }
    // Only what pulls at the point of least squares can collide; if rounding hid one, take all.
    let mut collision = trial.pulling(&all);
    if trial.can_keep(&collision)? {
        collision = all;
    }
    // Leave out one after the other what the rest does not need.
    let mut k = 0;
    while k < collision.len() {
        let constraint = collision.remove(k);
        if trial.can_keep(&collision)? {
            collision.insert(k, constraint);
            k += 1;
        }
    }
    Ok(Some(Infeasible { collision, nearest: Some(nearest(problem)?) }))
}

/// The bounds that cannot sum to 1, none too many.
fn bounds_off_one(problem: &Problem) -> Option<Vec<Constraint>> {
    let n = problem.variables();
    if problem.high().iter().sum::<f64>() < 1.0 - FEASIBLE {
        return Some((0..n).filter(|i| problem.high()[*i] < 1.0).map(Constraint::Upper).collect());
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
        least.push(Constraint::Lower(i));
        if sum > 1.0 + FEASIBLE {
            break;
        }
    }
    Some(least)
}

/// Tries subsets of the constraints.
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

    /// Every constraint, bounds first.
    fn all(&self) -> Vec<Constraint> {
        let n = self.problem.variables();
        let most = (0..n).filter(|i| self.problem.high()[*i] < 1.0).map(Constraint::Upper);
        let least = (0..n).filter(|i| self.problem.low()[*i] > 0.0).map(Constraint::Lower);
        let low = self.hard().filter(|(_, r)| r.low.is_finite()).map(|(k, _)| Constraint::RowLow(k));
        let high = self.hard().filter(|(_, r)| r.high.is_finite()).map(|(k, _)| Constraint::RowHigh(k));
        most.chain(least).chain(low).chain(high).collect()
    }

    /// Whether these constraints can be kept.
    fn can_keep(&mut self, constraints: &[Constraint]) -> Result<bool, Failure> {
        self.low.fill(0.0);
        self.high.fill(1.0);
        let places: Vec<usize> = self.hard().map(|(k, _)| k).collect();
        for k in 0..places.len() {
            self.form.set_range(k, f64::NEG_INFINITY, f64::INFINITY);
        }
        for constraint in constraints {
            let place = |row: usize| places.binary_search(&row).unwrap_or_default();
            match *constraint {
                Constraint::Lower(i) => self.low[i] = self.problem.low()[i],
                Constraint::Upper(i) => self.high[i] = self.problem.high()[i],
                Constraint::RowLow(k) => self.form.set_low(place(k), self.problem.rows()[k].low),
                Constraint::RowHigh(k) => self.form.set_high(place(k), self.problem.rows()[k].high),
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

    /// Those of `constraints` that pull at the point the last trial ended in.
    fn pulling(&self, constraints: &[Constraint]) -> Vec<Constraint> {
        let places: Vec<usize> = self.hard().map(|(k, _)| k).collect();
        let pull = |row: usize| self.set.pull[self.form.place(places.binary_search(&row).unwrap_or_default()).0];
        let largest = self.set.pull.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        let pulls = |constraint: &Constraint| {
            let force = match *constraint {
                Constraint::Lower(i) => self.set.reduced_costs[i],
                Constraint::Upper(i) => -self.set.reduced_costs[i],
                Constraint::RowLow(k) => -pull(k),
                Constraint::RowHigh(k) => pull(k),
            };
            force > 1e-9 * largest
        };
        constraints.iter().copied().filter(pulls).collect()
    }
}

/// The values within bounds with the least sum of scaled misses: a linear programme with two
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

#[cfg(test)]
mod tests {
    use super::*;

    fn why(bounds: Vec<(f64, f64)>, rows: Vec<Row>) -> Option<Infeasible> {
        let problem = Problem::new(vec![0.0; bounds.len()], bounds, rows).expect("good numbers");
        why_infeasible(&problem).expect("it can be told")
    }

    #[test]
    fn what_can_be_kept_has_no_collision() {
        assert_eq!(why(vec![(0.0, 0.5); 2], vec![Row::hard(vec![1.0, 3.0], 2.0, 2.0)]), None);
    }

    #[test]
    fn bounds_that_cannot_sum_to_1_collide_alone() {
        let few = why(vec![(0.0, 0.4), (0.0, 0.5)], vec![]).expect("0.9 is less than 1");
        assert_eq!(few.collision, [Constraint::Upper(0), Constraint::Upper(1)]);
        // The third is not needed to go over 1.
        let much = why(vec![(0.6, 1.0), (0.7, 1.0), (0.1, 1.0)], vec![]).expect("1.4 is more than 1");
        assert_eq!(much.collision, [Constraint::Lower(1), Constraint::Lower(0)]);
        assert_eq!(much.nearest, None);
    }

    #[test]
    fn rows_that_do_not_collide_are_left_out() {
        let rows = vec![
            Row::hard(vec![1.0, 2.0, 3.0], f64::NEG_INFINITY, 1.5),
            Row::hard(vec![5.0, 4.0, 4.0], 0.0, 9.0),
            Row::hard(vec![1.0, 2.0, 3.0], 2.0, f64::INFINITY),
        ];
        let why = why(vec![(0.0, 1.0); 3], rows).expect("1.5 is less than 2");
        assert_eq!(why.collision, [Constraint::RowLow(2), Constraint::RowHigh(0)]);
        // Each miss counts by its largest coefficient: half a unit between them.
        let total = why.nearest.expect("the bounds can sum to 1").total;
        assert!((total - 0.5 / 3.0).abs() < 1e-9, "actual {total}, expected {}", 0.5 / 3.0);
    }
}
