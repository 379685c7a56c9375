//! What makes values practical: few that are not 0, none of those tiny, all in whole steps.

use crate::problem::Problem;

/// Slack in comparing values with steps and bounds.
pub(super) const CLOSE: f64 = 1e-9;

/// Limits beyond the bounds and rows of a problem.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// At most so many variables may be used.
    pub most: Option<usize>,
    /// A variable that is used, that is not 0, has at least this value, 0–1.
    pub least: f64,
    /// Every value is a whole multiple of one part in so many: 100 for hundredths, 20 for steps of
    /// 0.05.
    pub steps: Option<u32>,
}

/// Why no search can start, or why it can find nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Impossible {
    /// The least value is no value.
    #[error("a least value must lie between 0 and 1, not {0}")]
    Least(f64),
    /// No steps, or no variables.
    #[error("at least one step and one variable are needed")]
    Nothing,
    /// Not one variable may reach its least value.
    #[error("nothing may be used")]
    NothingAllowed,
    /// This variable must be used, but nothing goes with its bounds, the least value and the steps.
    #[error("variable {0} must be used, but no value of it fits")]
    NoValue(usize),
    /// More variables must be used than may be.
    #[error("{required} variables must be used, but at most {most} may be")]
    TooManyRequired {
        /// How many have a lower bound above 0.
        required: usize,
        /// The limit.
        most: usize,
    },
    /// The variables that must be used take more than all.
    #[error("what must be used sums to {0}, more than 1")]
    TooMuch(f64),
    /// The largest values allowed sum to less than 1.
    #[error("what may be used sums to {0}, less than 1")]
    TooLittle(f64),
    /// The hard rows cannot be kept even without these limits.
    #[error("the bounds and hard rows cannot all be kept")]
    Rows,
    /// The hard rows were too hard to work out.
    #[error("the search for the best values did not settle")]
    Stalled,
}

/// The range of a variable that is used, and whether it must be.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Used {
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
    pub(super) required: Vec<bool>,
    /// At most so many are used.
    pub(super) most: usize,
    pub(super) steps: Option<f64>,
}

impl Used {
    /// Brings bounds and limits together. A variable that cannot be used has an upper bound of 0.
    pub(super) fn new(problem: &Problem, limits: &Limits) -> Result<Self, Impossible> {
        let n = problem.variables();
        if !(0.0..=1.0).contains(&limits.least) {
            return Err(Impossible::Least(limits.least));
        }
        if limits.steps == Some(0) || limits.most == Some(0) {
            return Err(Impossible::Nothing);
        }
        let steps = limits.steps.map(f64::from);
        let most = limits.most.unwrap_or(n).min(n);
        let (mut low, mut high, mut required) = (Vec::new(), Vec::new(), Vec::new());
        for i in 0..n {
            let (l, u) = problem.bounds(i);
            let least = l.max(limits.least);
            let (from, to) = match steps {
                // Something that is used has at least one step.
                Some(s) => ((least * s - CLOSE).ceil().max(1.0) / s, (u * s + CLOSE).floor() / s),
                None => (least, u),
            };
            required.push(l > 0.0);
            if from <= to && to > 0.0 {
                low.push(from);
                high.push(to);
            } else if l > 0.0 {
                return Err(Impossible::NoValue(i));
            } else {
                low.push(0.0);
                high.push(0.0);
            }
        }
        let used = Self { low, high, required, most, steps };
        used.check()?;
        Ok(used)
    }

    fn check(&self) -> Result<(), Impossible> {
        if self.high.iter().all(|u| *u <= 0.0) {
            return Err(Impossible::NothingAllowed);
        }
        let required: Vec<usize> = (0..self.low.len()).filter(|i| self.required[*i]).collect();
        if required.len() > self.most {
            return Err(Impossible::TooManyRequired { required: required.len(), most: self.most });
        }
        let least: f64 = required.iter().map(|i| self.low[*i]).sum();
        if least > 1.0 + CLOSE {
            return Err(Impossible::TooMuch(least));
        }
        let mut others: Vec<f64> = (0..self.high.len()).filter(|i| !self.required[*i]).map(|i| self.high[i]).collect();
        others.sort_unstable_by(|a, b| b.total_cmp(a));
        let greatest = required.iter().map(|i| self.high[*i]).sum::<f64>()
            + others.iter().take(self.most - required.len()).sum::<f64>();
        if greatest < 1.0 - CLOSE {
            return Err(Impossible::TooLittle(greatest));
        }
        Ok(())
    }

    /// The value nearest to `w` in whole steps.
    pub(super) fn rounded(&self, w: f64) -> f64 {
        self.steps.map_or(w, |s| (w * s).round() / s)
    }

    /// How far `w` is from a whole step, in steps.
    pub(super) fn off_step(&self, w: f64) -> f64 {
        self.steps.map_or(0.0, |s| (w * s - (w * s).round()).abs())
    }
}
