//! The part of a blend that is not held. Held fats are taken out of the search, so that neither the
//! least share, nor the steps, nor a rounding asks anything of them.

use super::formulation::{FindError, Formulation};
use super::wanted::Wanted;
use crate::number::short;
use crate::units::in_percent;
use barwright_solver::{Impossible, Limits, Problem, Row};

/// How near a number of steps must be to a whole one.
const WHOLE: f64 = 1e-6;

/// A problem in which the shares that are free sum to 1.
#[derive(Debug, Clone)]
pub(super) struct Free {
    pub(super) problem: Problem,
    pub(super) limits: Limits,
    /// The place of each variable among all candidates.
    places: Vec<usize>,
    /// The shares of the held fats, 0 for the others.
    held: Vec<f64>,
    /// What they leave, 0–1.
    rest: f64,
    /// What they cost.
    offset: f64,
}

impl Free {
    /// The free part of `formulation`; the error of the inner result says in words how the held fats
    /// contradict the limits.
    pub(super) fn of(formulation: &Formulation, wanted: &Wanted) -> Result<Result<Self, String>, FindError> {
        let candidates = &formulation.candidates;
        let problem = &formulation.problem;
        let (held, free): (Vec<usize>, Vec<usize>) = (0..candidates.len()).partition(|i| candidates[*i].is_held());
        let mut all = vec![0.0; candidates.len()];
        for &i in &held {
            all[i] = candidates[i].least.fraction();
        }
        let taken: f64 = all.iter().sum();
        let rest = 1.0 - taken;
        let percent = |fraction: f64| format!("{} %", short(in_percent(fraction), 2));
        if rest <= WHOLE || free.is_empty() {
            return Ok(Err(format!("the fats that are held sum to {}, so nothing is left to choose", percent(taken))));
        }
        let mut limits = formulation.limits;
        let most_asked = free.iter().map(|i| problem.bounds(*i).0).fold(limits.least, f64::max);
        if most_asked > rest + WHOLE {
            let (asked, rest) = (percent(most_asked), percent(rest));
            return Ok(Err(format!("held fats leave {rest}, less than the {asked} that a fat must have at least")));
        }
        limits.least = (limits.least / rest).min(1.0);
        if let Some(most) = limits.most {
            let left = most.saturating_sub(held.len());
            if left == 0 && !held.is_empty() {
                return Ok(Err(format!("{} fats are held, but at most {most} may be used", held.len())));
            }
            limits.most = Some(left);
        }
        if let Some(steps) = limits.steps {
            let left = rest * f64::from(steps);
            if (left - left.round()).abs() > WHOLE {
                let limits = wanted.limits_in_words().join(", ");
                return Ok(Err(format!("held fats leave {}, which does not go with {limits}", percent(rest))));
            }
            let whole = (1..=steps).find(|n| (f64::from(*n) - left).abs() < 0.5);
            limits.steps = whole.or(Some(steps));
        }
        let of_held = |numbers: &[f64]| -> f64 { numbers.iter().zip(&all).map(|(a, w)| a * w).sum() };
        let of_free = |numbers: &[f64]| -> Vec<f64> { free.iter().map(|i| numbers[*i] * rest).collect() };
        let row = |row: &Row| {
            let known = of_held(&row.coefficients);
            Row { coefficients: of_free(&row.coefficients), low: row.low - known, high: row.high - known, ..*row }
        };
        let rows = problem.rows().iter().map(row).collect();
        let bounds = free.iter().map(|i| problem.bounds(*i)).map(|(l, u)| ((l / rest).min(1.0), (u / rest).min(1.0)));
        let offset = of_held(problem.cost());
        let problem = Problem::new(of_free(problem.cost()), bounds.collect(), rows)?;
        Ok(Ok(Self { problem, limits, places: free, held: all, rest, offset }))
    }

    /// The shares of all candidates for those of the free ones.
    pub(super) fn all(&self, w: &[f64]) -> Vec<f64> {
        let mut all = self.held.clone();
        for (place, w) in self.places.iter().zip(w) {
            all[*place] = w * self.rest;
        }
        all
    }

    /// The objective of the whole for that of the free part.
    pub(super) fn objective(&self, free: f64) -> f64 {
        free + self.offset
    }

    /// What is impossible, said of all candidates.
    pub(super) fn of_all(&self, impossible: Impossible) -> Impossible {
        let held: f64 = self.held.iter().sum();
        match impossible {
            Impossible::NoValue(i) => Impossible::NoValue(self.places[i]),
            Impossible::TooMuch(sum) => Impossible::TooMuch(held + sum * self.rest),
            Impossible::TooLittle(sum) => Impossible::TooLittle(held + sum * self.rest),
            Impossible::TooManyRequired { required, most } => {
                let fixed = self.held.len() - self.places.len();
                Impossible::TooManyRequired { required: required + fixed, most: most + fixed }
            }
            other => other,
        }
    }
}
