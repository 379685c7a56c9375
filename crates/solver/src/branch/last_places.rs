//! The last one or two places of a node: every way to fill them is bounded at once, and only the
//! promising ones are solved.

use super::Search;
use super::node::{Node, Open};
use super::pairs::Candidate;
use crate::active_set::{At, Point};
use crate::form::dot;

/// Pairs bounded in about the time of a node.
const PAIRS_A_NODE: usize = 500;

/// The last places of a node, the most promising pair last.
#[derive(Debug, Clone)]
pub(super) struct Last {
    inside: Vec<usize>,
    low: Vec<f64>,
    high: Vec<f64>,
    /// Bound and the variables to add.
    pub(super) fillings: Vec<(f64, [usize; 2])>,
}

/// No variable, in [`Last::fillings`].
const EMPTY: usize = usize::MAX;

impl Search {
    /// Bounds every way to fill the last one or two places.
    pub(super) fn fill_last(&mut self, node: &Node, places: usize) {
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
    pub(super) fn last(&mut self, mut last: Last) {
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
