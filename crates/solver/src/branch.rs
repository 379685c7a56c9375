//! Branch and bound: the best values of few variables, none below a least value, in whole steps.
//!
//! A variable is in (between its least value and its upper bound), out (0) or open (0 to its upper
//! bound). A node's bound is the best over values of any size; a reduced cost times the least value
//! rules open variables out; the largest open one goes in first, out second; with two places left
//! every pair is bounded at once (the `pairs` module).

mod distinct;
mod last_places;
mod limits;
mod node;
mod pairs;

use crate::active_set::{ActiveSet, End, Point};
use crate::problem::{Firmness, Problem, Row, outside};
use distinct::Ban;
pub use distinct::Distinct;
use limits::{CLOSE, Used};
pub use limits::{Impossible, Limits};
use node::{Node, Open};
use pairs::{Eliminated, Gram};

/// A value below this is none.
const NONE: f64 = 1e-9;

/// How far a value may be from a whole step, in steps.
const WHOLE: f64 = 1e-6;

/// How far a selection may be off the sum of 1 and off hard rows, scaled by their largest coefficient.
const KEPT: f64 = 1e-7;

/// Improvements smaller than this part of the objective (or of 1) are not looked for.
const SAME: f64 = 1e-10;

/// The least value that counts as used when selections are told apart and there is no other.
const TRACE: f64 = 1e-3;

/// Values within all limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Selection {
    /// One value a variable.
    pub w: Vec<f64>,
    /// The variables that are not 0, in rising order.
    pub used: Vec<usize>,
    /// Cost and penalties.
    pub objective: f64,
}

/// How far a search has come.
#[derive(Debug, Clone, PartialEq)]
pub struct Progress {
    /// The best so far.
    pub incumbent: Option<Selection>,
    /// No selection is better than this; the incumbent's objective once it is proven, ∞ if it is proven
    /// that there is none.
    pub lower_bound: f64,
    /// Whether everything has been looked at. With an incumbent it is then proven the best.
    pub done: bool,
    /// Nodes looked at since the start.
    pub nodes: usize,
}

impl Progress {
    /// How much better than the incumbent another could be; `None` without one.
    pub fn gap(&self) -> Option<f64> {
        self.incumbent.as_ref().map(|b| (b.objective - self.lower_bound).max(0.0))
    }

    /// Whether the incumbent is proven the best.
    pub const fn proven(&self) -> bool {
        self.done && self.incumbent.is_some()
    }
}

/// A search for the best values within [`Limits`], which can be continued in small steps and stopped
/// between any two.
///
/// Branch and bound (A. H. Land and A. G. Doig, Econometrica 28, 1960; from memory), depth first. A
/// node is bounded by the best over values of any size, and the last two places by pairs. When it is
/// done, no other values within the limits are better by more than 10⁻¹⁰ of the objective (or of 1).
///
/// ```
/// use barwright_solver::{Limits, Problem, Row, Search};
/// // Meet 20 with two of three, in whole hundredths.
/// let row = Row::target(vec![10.0, 21.0, 40.0], 20.0, 1.0);
/// let problem = Problem::new(vec![0.0; 3], vec![(0.0, 1.0); 3], vec![row])?;
/// let limits = Limits { most: Some(2), least: 0.05, steps: Some(100) };
/// let mut search = Search::start(&problem, limits)?;
/// let progress = loop {
///     let progress = search.step(100);
///     if progress.done {
///         break progress;
///     }
/// };
/// assert!(progress.proven());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Search {
    problem: Problem,
    used: Used,
    gram: Option<Gram>,
    root: Node,
    open: Vec<Open>,
    best: Option<Selection>,
    /// The best found for each set of variables, for later rounds.
    found: Vec<Selection>,
    bans: Vec<Ban>,
    set: ActiveSet,
    eliminated: Eliminated,
    nodes: usize,
    /// Bound of what had to be given up because the iterations ran out.
    lost: f64,
}

/// So many selections are remembered for later rounds.
const REMEMBERED: usize = 64;

impl Search {
    /// Checks the limits and solves for values of any size.
    ///
    /// # Errors
    /// [`Impossible`] if the limits contradict each other or the bounds, or if bounds and hard rows
    /// cannot be kept even by values of any size.
    pub fn start(problem: &Problem, limits: Limits) -> Result<Self, Impossible> {
        let used = Used::new(problem, &limits)?;
        let form = problem.form();
        let usable = |i: &usize| used.high[*i] > 0.0;
        let all = || (0..form.variables()).filter(usable);
        let columns: Vec<usize> =
            all().filter(|i| used.required[*i]).chain(all().filter(|i| !used.required[*i])).collect();
        let inside = columns.iter().filter(|i| used.required[**i]).count();
        let low = columns.iter().map(|&i| if used.required[i] { used.low[i] } else { 0.0 }).collect();
        let high = columns.iter().map(|&i| used.high[i]).collect();
        let mut root = Node { columns, low, high, inside, point: Point::default(), bound: f64::NEG_INFINITY };
        root.point = Point::cold(form, &root.choice());
        let mut set = ActiveSet::default();
        let mut point = root.point.clone();
        match set.solve(form, &root.choice(), &mut point) {
            Ok(End::Optimal(bound)) => root.bound = bound,
            Ok(End::NoSum | End::Collision) => return Err(Impossible::Rows),
            Err(_) => return Err(Impossible::Stalled),
        }
        root.point = point;
        let gram = (form.targets > 0 && used.most < form.variables()).then(|| Gram::new(form));
        let mut search = Self {
            problem: problem.clone(),
            used,
            gram,
            root,
            open: Vec::new(),
            best: None,
            found: Vec::new(),
            bans: Vec::new(),
            set,
            eliminated: Eliminated::default(),
            nodes: 0,
            lost: f64::INFINITY,
        };
        search.open.push(Open::Node(search.root.clone()));
        Ok(search)
    }

    /// Looks at about `nodes` nodes more.
    pub fn step(&mut self, nodes: usize) -> Progress {
        let end = self.nodes.saturating_add(nodes);
        while self.nodes < end {
            match self.open.pop() {
                None => break,
                Some(Open::Node(node)) => self.node(node),
                Some(Open::Last(last)) => self.last(last),
            }
        }
        self.progress()
    }

    /// Offers values from elsewhere, such as the best under a tighter cap, as incumbent. True if they
    /// keep bounds, hard rows and limits; they are rounded to whole steps.
    pub fn suggest(&mut self, w: &[f64]) -> bool {
        let n = self.problem.variables();
        if w.len() != n || !w.iter().all(|v| v.is_finite()) {
            return false;
        }
        let w: Vec<f64> = w.iter().map(|v| self.used.rounded(*v)).collect();
        let within = |i: usize| {
            let open = !self.used.required[i] && w[i] == 0.0;
            open || (w[i] >= self.used.low[i] - CLOSE && w[i] <= self.used.high[i] + CLOSE)
        };
        let used: Vec<usize> = (0..n).filter(|i| w[*i] > NONE).collect();
        let kept = (0..n).all(within) && used.len() <= self.used.most && self.keeps_sum_and_rows(&w);
        if kept && self.allowed(&used, &[], 0) {
            let objective = self.problem.objective(&w);
            self.take(Selection { w, used, objective });
            return true;
        }
        false
    }

    fn keeps_sum_and_rows(&self, w: &[f64]) -> bool {
        let missed = |(k, row): (usize, &Row)| {
            let (_, scale) = self.problem.form().place(k);
            row.firmness == Firmness::Hard && outside(self.problem.value(k, w), row.low, row.high).abs() * scale > KEPT
        };
        (w.iter().sum::<f64>() - 1.0).abs() <= KEPT && !self.problem.rows().iter().enumerate().any(missed)
    }

    /// How far the search has come.
    pub fn progress(&self) -> Progress {
        let best = self.best.as_ref().map_or(f64::INFINITY, |b| b.objective);
        let open = self.open.iter().map(Open::bound).fold(f64::INFINITY, f64::min);
        Progress {
            incumbent: self.best.clone(),
            lower_bound: open.min(self.lost).min(best),
            done: self.open.is_empty() && self.lost >= self.cutoff(),
            nodes: self.nodes,
        }
    }

    /// Whether nothing is left to look at; unlike [`Progress::done`] also when something had to be
    /// given up, so that there is no proof.
    pub fn exhausted(&self) -> bool {
        self.open.is_empty()
    }

    /// Starts a new round for the best selection that differs from the incumbent and from those of
    /// earlier rounds, by `rule`. Without a least value or steps, one below 0.001 does not count as
    /// used.
    /// Does nothing without an incumbent.
    pub fn another(&mut self, rule: Distinct) {
        let Some(best) = self.best.take() else {
            return;
        };
        for low in self.used.low.iter_mut().zip(&self.used.high).filter(|(_, u)| **u > 0.0).map(|(l, _)| l) {
            if *low <= 0.0 {
                *low = TRACE;
            }
        }
        self.bans.push(Ban { used: best.used, rule });
        let bans = std::mem::take(&mut self.bans);
        self.found.retain(|b| bans.iter().all(|ban| ban.allows(&b.used, &[], 0)));
        self.bans = bans;
        self.best = self.found.iter().min_by(|a, b| a.objective.total_cmp(&b.objective)).cloned();
        self.open.clear();
        self.open.push(Open::Node(self.root.clone()));
        self.lost = f64::INFINITY;
    }

    /// What a node must stay below to be worth looking at.
    fn cutoff(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |b| b.objective - SAME * b.objective.abs().max(1.0))
    }

    fn allowed(&self, inside: &[usize], open: &[usize], places: usize) -> bool {
        self.bans.iter().all(|ban| ban.allows(inside, open, places))
    }

    /// Remembers a selection within all limits.
    fn take(&mut self, selection: Selection) {
        if self.best.as_ref().is_none_or(|b| selection.objective < b.objective) {
            self.best = Some(selection.clone());
        }
        match self.found.iter_mut().find(|b| b.used == selection.used) {
            Some(known) if known.objective > selection.objective => *known = selection,
            Some(_) => {}
            None => {
                self.found.push(selection);
                if self.found.len() > REMEMBERED {
                    self.found.sort_by(|a, b| a.objective.total_cmp(&b.objective));
                    self.found.truncate(REMEMBERED);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values 10, 20 and 40 that should come to 25, in tenths.
    fn search() -> Search {
        let fit = Row::target(vec![10.0, 20.0, 40.0], 25.0, 1.0);
        let problem = Problem::new(vec![0.0, 0.0, 1.0], vec![(0.0, 1.0); 3], vec![fit]).expect("good numbers");
        let limits = Limits { most: Some(2), least: 0.1, steps: Some(10) };
        Search::start(&problem, limits).expect("possible limits")
    }

    fn proven(search: &mut Search) -> Option<Selection> {
        (0..1000).map(|_| search.step(1)).find(|p| p.done).expect("a proof").incumbent
    }

    #[test]
    fn each_round_ends_with_the_best_of_the_sets_left() {
        let mut search = search();
        let mut sets = Vec::new();
        let mut last = f64::NEG_INFINITY;
        while let Some(best) = proven(&mut search) {
            assert!(best.objective >= last, "{} after {last}", best.objective);
            last = best.objective;
            sets.push(best.used);
            search.another(Distinct::OtherSet);
        }
        assert_eq!(sets[..2], [vec![0, 2], vec![1, 2]], "0.5 · 10 + 0.5 · 40 = 25, 0.8 · 20 + 0.2 · 40 = 24");
        assert_eq!(sets.len(), 6, "three pairs and three alone: {sets:?}");
    }

    #[test]
    fn only_values_within_the_limits_are_taken_from_elsewhere() {
        let mut search = search();
        for bad in [&[0.3, 0.3, 0.4][..], &[0.95, 0.05, 0.0], &[0.5, 0.4, 0.0], &[0.5, f64::NAN, 0.5], &[1.0]] {
            assert!(!search.suggest(bad), "{bad:?} was taken");
        }
        assert!(search.suggest(&[0.0, 0.7, 0.3]), "two in tenths");
        assert_eq!(search.progress().incumbent.map(|best| best.used), Some(vec![1, 2]));
    }
}
