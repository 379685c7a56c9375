//! Where a solve begins: from the result before, or from nothing.

use super::{ActiveSet, At, Choice, Point};
use crate::form::{Aim, Form};

impl ActiveSet {
    /// Brings a warm start within changed bounds and onto changed active rows; false if that leaves
    /// a row or bound missed.
    pub(super) fn restore(&mut self, form: &Form, choice: &Choice<'_>, point: &mut Point) -> bool {
        for j in 0..choice.len() {
            let (low, high) = (choice.low[j], choice.high[j]);
            match point.at[j] {
                At::Lower => point.w[j] = low,
                At::Upper if high.is_finite() => point.w[j] = high,
                At::Free if low < high && point.w[j] >= low && point.w[j] <= high => {}
                At::Upper | At::Free => {
                    let above = point.w[j] > high;
                    (point.w[j], point.at[j]) = if above { (high, At::Upper) } else { (low, At::Lower) };
                }
            }
        }
        for r in Aim::Objective.hard(form) {
            let end_lost = match point.rows[r] {
                At::Lower => form.low[r].is_infinite(),
                At::Upper => form.high[r].is_infinite(),
                At::Free => false,
            };
            if end_lost {
                point.rows[r] = At::Free;
            }
        }
        self.values(form, choice, point);
        self.rebuild(form, choice, Aim::Objective, point);
        self.correct(form, choice, point);
        self.free.iter().all(|&j| point.w[j] >= choice.low[j] && point.w[j] <= choice.high[j]) && self.feasible(form)
    }

    /// Makes the values sum to 1, moving free ones first.
    pub(super) fn spread(&mut self, form: &Form, choice: &Choice<'_>, point: &mut Point) {
        for j in 0..choice.len() {
            point.w[j] = point.w[j].clamp(choice.low[j], choice.high[j]);
        }
        let in_sum = |j: usize| form.column(choice.columns[j])[form.soft];
        let mut missing = 1.0 - (0..choice.len()).map(|j| in_sum(j) * point.w[j]).sum::<f64>();
        let cold = !point.at.contains(&At::Free);
        let best_alone = if cold { best_alone(form, choice) } else { None };
        let others = (0..choice.len()).filter(|j| point.at[*j] == At::Free).collect::<Vec<_>>();
        for j in best_alone.into_iter().chain(others).chain(0..choice.len()) {
            if missing == 0.0 {
                break;
            }
            if in_sum(j) == 0.0 {
                continue;
            }
            let moved = (point.w[j] + missing).clamp(choice.low[j], choice.high[j]);
            missing -= moved - point.w[j];
            point.w[j] = moved;
        }
        for j in 0..choice.len() {
            point.at[j] = if point.w[j] <= choice.low[j] {
                At::Lower
            } else if point.w[j] >= choice.high[j] {
                At::Upper
            } else {
                At::Free
            };
        }
        point.rows.fill(At::Free);
        self.stale = true;
        self.values(form, choice, point);
    }
}

/// The variable that would be best if it were all.
fn best_alone(form: &Form, choice: &Choice<'_>) -> Option<usize> {
    let value = |j: usize| form.cost[choice.columns[j]] + form.penalty(form.column(choice.columns[j]));
    let open = (0..choice.len()).filter(|j| choice.low[*j] < choice.high[*j]);
    open.map(|j| (j, value(j))).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(j, _)| j)
}
