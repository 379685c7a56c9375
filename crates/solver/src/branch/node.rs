//! What is still to be looked at, and how a node is bounded, taken or split.

use super::last_places::Last;
use super::limits::CLOSE;
use super::{NONE, Search, Selection, WHOLE};
use crate::active_set::{Choice, End, Point};

/// The variables in play, those that are in first.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) columns: Vec<usize>,
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
    pub(super) inside: usize,
    pub(super) point: Point,
    pub(super) bound: f64,
}

impl Node {
    pub(super) fn choice(&self) -> Choice<'_> {
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

/// A part of the tree that is still to be looked at.
#[derive(Debug, Clone)]
pub(super) enum Open {
    Node(Node),
    Last(Last),
}

impl Open {
    pub(super) fn bound(&self) -> f64 {
        match self {
            Self::Node(node) => node.bound,
            Self::Last(last) => last.fillings.last().map_or(f64::INFINITY, |f| f.0),
        }
    }
}

impl Search {
    /// Bounds a node; drops it, takes it or looks below it.
    pub(super) fn node(&mut self, mut node: Node) {
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
}
