//! Branch and bound: the best values of few variables, none below a least value, in whole steps.
//!
//! A variable is in (between its least value and its upper bound), out (0) or open (0 to its upper
//! bound). A node's bound is the best over values of any size; a reduced cost times the least value
//! rules open variables out; the largest open one goes in first, out second; with two places left
//! every pair is bounded at once (the `pairs` module). The frame is A. H. Land and A. G. Doig's
//! (Econometrica 28, 1960; from memory).

mod limits;
mod pairs;

use crate::active_set::{ActiveSet, At, Choice, End, Point};
use crate::form::dot;
use crate::problem::{Firmness, Problem, Row, outside};
use limits::{CLOSE, Used};
pub use limits::{Impossible, Limits};
use pairs::{Candidate, Eliminated, Gram};

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

/// Pairs bounded in about the time of a node.
const PAIRS_A_NODE: usize = 500;

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

/// When two selections count as different.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Distinct {
    /// They do not use the same variables.
    OtherSet,
    /// The new one uses at least so many variables that the earlier one does not.
    New(usize),
}

#[derive(Debug, Clone)]
struct Ban {
    used: Vec<usize>,
    rule: Distinct,
}

impl Ban {
    /// Whether a selection that uses `inside` and up to `places` of `open` may be different.
    fn allows(&self, inside: &[usize], open: &[usize], places: usize) -> bool {
        let new = |list: &[usize]| list.iter().filter(|i| self.used.binary_search(i).is_err()).count();
        match self.rule {
            Distinct::OtherSet => {
                (places > 0 && !open.is_empty()) || inside.len() != self.used.len() || new(inside) > 0
            }
            Distinct::New(count) => new(inside) + new(open).min(places) >= count,
        }
    }
}

/// The variables in play, those that are in first.
#[derive(Debug, Clone)]
struct Node {
    columns: Vec<usize>,
    low: Vec<f64>,
    high: Vec<f64>,
    inside: usize,
    point: Point,
    bound: f64,
}

impl Node {
    fn choice(&self) -> Choice<'_> {
        Choice { columns: &self.columns, low: &self.low, high: &self.high }
    }

    fn remove(&mut self, j: usize) {
        self.columns.remove(j);
        self.low.remove(j);
        self.high.remove(j);
        self.point.w.remove(j);
        self.point.at.remove(j);
    }

    fn keep_only_inside(&mut self) {
        self.columns.truncate(self.inside);
        self.low.truncate(self.inside);
        self.high.truncate(self.inside);
        self.point.w.truncate(self.inside);
        self.point.at.truncate(self.inside);
    }
}

/// The last places of a node, the most promising pair last.
#[derive(Debug, Clone)]
struct Last {
    inside: Vec<usize>,
    low: Vec<f64>,
    high: Vec<f64>,
    /// Bound and the variables to add.
    fillings: Vec<(f64, [usize; 2])>,
}

/// No variable, in [`Last::fillings`].
const EMPTY: usize = usize::MAX;

#[derive(Debug, Clone)]
enum Open {
    Node(Node),
    Last(Last),
}

impl Open {
    fn bound(&self) -> f64 {
        match self {
            Self::Node(node) => node.bound,
            Self::Last(last) => last.fillings.last().map_or(f64::INFINITY, |f| f.0),
        }
    }
}

/// A search that can be continued in small steps and stopped between any two.
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
    /// [`Impossible`]
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

    fn node(&mut self, mut node: Node) {
        if node.bound >= self.cutoff() {
            return;
        }
        self.nodes += 1;
        let places = self.used.most - node.inside;
        if places == 0 {
            node.keep_only_inside();
        }
        let (inside, open) = node.columns.split_at(node.inside);
        if !self.allowed(inside, open, places) {
            return;
        }
        let choice = Choice { columns: &node.columns, low: &node.low, high: &node.high };
        match self.set.solve(self.problem.form(), &choice, &mut node.point) {
            Ok(End::Optimal(value)) => node.bound = node.bound.max(value),
            Ok(End::NoSum | End::Collision) => return,
            Err(_) => {
                self.lost = self.lost.min(node.bound);
                return;
            }
        }
        if node.bound >= self.cutoff() || self.offer(&node) {
            return;
        }
        self.rule_out(&mut node);
        let open = node.columns.len() - node.inside;
        if (1..=2).contains(&places) && open > places {
            self.fill_last(&node, places);
        } else {
            self.branch(node);
        }
    }

    /// Takes the node's values if they keep all limits: then nothing better is below it.
    fn offer(&mut self, node: &Node) -> bool {
        let mut used = Vec::new();
        for (j, &i) in node.columns.iter().enumerate() {
            let w = node.point.w[j];
            let open = j >= node.inside;
            if w <= NONE && (open || self.used.low[i] <= 0.0) {
                continue;
            }
            if (open && w < self.used.low[i] - CLOSE) || self.used.off_step(w) > WHOLE {
                return false;
            }
            used.push(i);
        }
        if used.len() > self.used.most {
            return false;
        }
        used.sort_unstable();
        if !self.allowed(&used, &[], 0) {
            return false;
        }
        let mut w = vec![0.0; self.problem.variables()];
        for (&i, &value) in node.columns.iter().zip(&node.point.w) {
            if used.binary_search(&i).is_ok() {
                w[i] = self.used.rounded(value).clamp(self.used.low[i], self.used.high[i]);
            }
        }
        let objective = self.problem.objective(&w);
        if self.keeps_sum_and_rows(&w) {
            self.take(Selection { w, used, objective });
        } else {
            // Numbers of too many magnitudes: no proof without this node.
            self.lost = self.lost.min(node.bound);
        }
        true
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

    /// Drops open variables whose least value alone would cost more than there is to gain.
    fn rule_out(&self, node: &mut Node) {
        let gain = self.cutoff() - node.bound;
        for j in (node.inside..node.columns.len()).rev() {
            if self.set.reduced_costs[j] * self.used.low[node.columns[j]] > gain {
                node.remove(j);
            }
        }
    }

    fn branch(&mut self, node: Node) {
        let open = node.inside..node.columns.len();
        let w = &node.point.w;
        let largest = open.clone().filter(|j| w[*j] > NONE).reduce(|a, b| if w[b] > w[a] { b } else { a });
        if let Some(j) = largest {
            self.open_in_or_out(node, j);
            return;
        }
        let off = |j: &usize| self.used.off_step(w[*j]);
        let fraction = (0..node.inside).filter(|j| off(j) > WHOLE).reduce(|a, b| if off(&b) > off(&a) { b } else { a });
        if let (Some(j), Some(steps)) = (fraction, self.used.steps) {
            let at = w[j] * steps;
            let (mut below, mut above) = (node.clone(), node);
            below.high[j] = at.floor() / steps;
            above.low[j] = at.ceil() / steps;
            let (first, second) = if at.fract() < 0.5 { (below, above) } else { (above, below) };
            self.open.push(Open::Node(second));
            self.open.push(Open::Node(first));
        } else if !open.is_empty() {
            // The selection is fine but one of those not wanted again.
            let new = open.clone().find(|j| self.bans.iter().any(|b| b.used.binary_search(&node.columns[*j]).is_err()));
            let j = new.unwrap_or(open.start);
            self.open_in_or_out(node, j);
        }
    }

    /// Two nodes: the open variable at `j` in, and out.
    fn open_in_or_out(&mut self, node: Node, j: usize) {
        let mut out = node.clone();
        out.remove(j);
        self.open.push(Open::Node(out));
        let mut inside = node;
        let at = inside.inside;
        inside.columns.swap(at, j);
        inside.low.swap(at, j);
        inside.high.swap(at, j);
        inside.point.w.swap(at, j);
        inside.point.at.swap(at, j);
        inside.low[at] = self.used.low[inside.columns[at]];
        inside.inside += 1;
        self.open.push(Open::Node(inside));
    }

    /// Bounds every way to fill the last one or two places.
    fn fill_last(&mut self, node: &Node, places: usize) {
        let form = self.problem.form();
        let cutoff = self.cutoff();
        let (inside, open) = node.columns.split_at(node.inside);
        let taken_least: f64 = node.low[..node.inside].iter().sum();
        let mut candidates: Vec<Candidate> = open
            .iter()
            .map(|&i| {
                let high = self.used.high[i].min(1.0 - taken_least);
                // The set's reduced costs are in the order of before variables were ruled out.
                let reduced = form.cost[i] + dot(form.column(i), &self.set.pull);
                Candidate::new(i, self.used.low[i], high, reduced.max(0.0))
            })
            .filter(|c| c.low <= c.high)
            .collect();
        // The objective is at least: fit terms as they are, everything else by its tangent.
        let tangent = |i: usize| {
            let column = form.column(i);
            let pull = &self.set.pull;
            form.cost[i]
                + (form.targets..form.rows()).filter(|r| *r != form.soft).map(|r| pull[r] * column[r]).sum::<f64>()
        };
        let mut quadratic = false;
        if let Some(gram) = &self.gram {
            let linear: Vec<f64> = (0..form.variables()).map(tangent).collect();
            let at_point: f64 = node.columns.iter().zip(&node.point.w).map(|(&i, w)| linear[i] * w).sum();
            let fit: f64 = (0..form.targets).map(|r| (self.set.x[r] - form.low[r]).powi(2)).sum();
            let constant = node.bound - at_point - fit;
            quadratic = self.eliminated.build(gram, inside, &mut candidates, |i| linear[i], constant);
        }
        let mut fillings = Vec::new();
        fillings.push((node.bound, [EMPTY; 2]));
        for c in &candidates {
            let by_cost = node.bound + c.reduced_cost * c.low;
            let bound = if quadratic { by_cost.max(self.eliminated.single(c)) } else { by_cost };
            if bound < cutoff {
                fillings.push((bound, [c.variable, EMPTY]));
            }
        }
        if places == 2 {
            let by_cost = |a: &Candidate, b: &Candidate| node.bound + a.reduced_cost * a.low + b.reduced_cost * b.low;
            if let (true, Some(gram), Some(&origin)) = (quadratic, &self.gram, inside.first()) {
                self.eliminated.pairs(gram, origin, &candidates, cutoff, |p, q, bound| {
                    let (a, b) = (&candidates[p], &candidates[q]);
                    let bound = bound.max(by_cost(a, b));
                    if bound < cutoff {
                        fillings.push((bound, [a.variable, b.variable]));
                    }
                });
            } else {
                for (q, b) in candidates.iter().enumerate() {
                    for a in &candidates[..q] {
                        let bound = by_cost(a, b);
                        if bound < cutoff {
                            fillings.push((bound, [a.variable, b.variable]));
                        }
                    }
                }
            }
            self.nodes += candidates.len() * candidates.len() / (2 * PAIRS_A_NODE);
        }
        fillings.sort_unstable_by(|a, b| b.0.total_cmp(&a.0).then(b.1.cmp(&a.1)));
        self.open.push(Open::Last(Last {
            inside: inside.to_vec(),
            low: node.low[..node.inside].to_vec(),
            high: node.high[..node.inside].to_vec(),
            fillings,
        }));
    }

    /// Solves the most promising filling of the last places.
    fn last(&mut self, mut last: Last) {
        let Some((bound, added)) = last.fillings.pop() else {
            return;
        };
        if bound >= self.cutoff() {
            return;
        }
        let mut columns = last.inside.clone();
        let (mut low, mut high) = (last.low.clone(), last.high.clone());
        for i in added.into_iter().filter(|i| *i != EMPTY) {
            columns.push(i);
            low.push(self.used.low[i]);
            high.push(self.used.high[i]);
        }
        self.open.push(Open::Last(last));
        let n = columns.len();
        let spare = (1.0 - low.iter().sum::<f64>()) / n as f64;
        let point = Point {
            w: low.iter().map(|l| l + spare).collect(),
            at: vec![At::Free; n],
            rows: vec![At::Free; self.problem.form().rows()],
        };
        self.node(Node { columns, low, high, inside: n, point, bound });
    }
}
