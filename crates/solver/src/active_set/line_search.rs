//! How far to go along a step: across the pieces of the penalties, to the least value or to what
//! blocks the way.

use super::{ActiveSet, At, Block, Choice, Point};
use crate::form::{Aim, Form, add_scaled};

impl ActiveSet {
    /// How far to go along the step: to the least value, across pieces, or to what blocks the way.
    pub(super) fn search(
        &mut self,
        form: &Form,
        choice: &Choice<'_>,
        aim: Aim,
        point: &Point,
        first: bool,
    ) -> (f64, Option<Block>, bool) {
        self.x_step.clear();
        self.x_step.resize(form.stride(), 0.0);
        let mut longest: f64 = 0.0;
        for (&j, &p) in self.free.iter().zip(&self.step) {
            add_scaled(&mut self.x_step, p, form.column(choice.columns[j]));
            longest = longest.max(p.abs());
        }
        let least = 1e-11 * longest;
        let (x, x_step) = (&self.x, &self.x_step);
        let variables = self.free.iter().zip(&self.step).filter_map(|(&j, &p)| {
            if p < -least {
                Some(((point.w[j] - choice.low[j]).max(0.0) / -p, p.abs(), Block::Variable(j, At::Lower)))
            } else if p > least && choice.high[j].is_finite() {
                Some(((choice.high[j] - point.w[j]).max(0.0) / p, p.abs(), Block::Variable(j, At::Upper)))
            } else {
                None
            }
        });
        let kept = aim.hard(form).filter(|r| !self.space.rows.contains(r));
        let rows = kept.filter_map(|r| {
            let p = x_step[r];
            if p < -least && form.low[r].is_finite() {
                Some(((x[r] - form.low[r]).max(0.0) / -p, p.abs(), Block::Row(r, At::Lower)))
            } else if p > least && form.high[r].is_finite() {
                Some(((form.high[r] - x[r]).max(0.0) / p, p.abs(), Block::Row(r, At::Upper)))
            } else {
                None
            }
        });
        // Of those that block at once the steepest, for stability, or the first, against cycles.
        let mut block: Option<(f64, f64, Block)> = None;
        for (ratio, steep, what) in variables.chain(rows) {
            let tie = 1e-14 * ratio.max(1e-2);
            let better = block.is_none_or(|(r, s, _)| ratio < r - tie || (!first && ratio <= r + tie && steep > s));
            if better {
                block = Some((block.map_or(ratio, |(r, ..)| r.min(ratio)), steep, what));
            }
        }
        let end = block.map_or(f64::INFINITY, |(ratio, ..)| ratio);
        let (length, crossed) = self.valley(form, aim, end);
        (length, block.filter(|_| length >= end).map(|(.., what)| what), crossed)
    }

    /// The least point of the objective along the step, at most `end`; whether a piece was crossed.
    fn valley(&mut self, form: &Form, aim: Aim, end: f64) -> (f64, bool) {
        let mut slope: f64 = self.space.rest.iter().zip(&self.slopes).map(|(&k, s)| s * self.step[k]).sum();
        let mut curvature = 0.0;
        self.events.clear();
        for r in aim.soft(form) {
            let (x, p, low, high) = (self.x[r], self.x_step[r], form.low[r], form.high[r]);
            let bend = 2.0 * p * p;
            if low >= high {
                curvature += bend;
                continue;
            }
            if p == 0.0 {
                continue;
            }
            // Going down is going up in a mirror.
            let (x, low, high, p) = if p > 0.0 { (x, low, high, p) } else { (-x, -high, -low, -p) };
            if x < low {
                curvature += bend;
                self.events.push(((low - x) / p, -bend));
            }
            if x >= high {
                curvature += bend;
            } else if high.is_finite() {
                self.events.push(((high - x) / p, bend));
            }
        }
        self.events.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        // What rounding leaves of the slope at the end of the last piece leads nowhere.
        let level = 1e-13 * slope;
        let mut at = 0.0;
        let mut crossed = false;
        for &(event, bend) in &self.events {
            if event >= end || slope + curvature * (event - at) >= level {
                break;
            }
            slope += curvature * (event - at);
            at = event;
            curvature = (curvature + bend).max(0.0);
            crossed = true;
        }
        let length = if curvature > 0.0 { at - slope / curvature } else { f64::INFINITY };
        (length.clamp(0.0, end), crossed)
    }
}
