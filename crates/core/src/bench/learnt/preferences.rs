//! What bars of one's own say of the acids: which of two is harder, lathers more, feels milder.
//!
//! Source of the form: a logistic choice between two (R. Bradley and M. Terry, Biometrika 39 (1952), from memory). How
//! likely A is judged above B is 1/(1 + e^(−Δ/5)), with Δ points between their scores; the weights behind the scores lie
//! about those of the table. What follows is the program's estimate by the maker's own bars. It has a type of its own
//! and stands beside the table's, never in its place.

use super::Learnt;
use super::mode::{Cost, lowest, solve};
use crate::formula::Plain;
use crate::library::acids::Acids;
use crate::library::composition::Composition;
use crate::library::estimates::{Estimate, Scores, Weights, with_free_fat};
use crate::units::{Fraction, in_percent};

/// How many points apart two bars are of which the higher is judged so three times in four, about: 5·ln 3 (our choice, in
/// keeping with what [`Estimate::is_about_same`] calls near).
pub const SPREAD_POINTS: f64 = 5.0;
/// How far a weight of the table, 0 to 1, may be off: a standard deviation (our judgement).
pub const WEIGHT_SD: f64 = 0.15;

/// What is compared: the acids of a bar and its free fat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar<'a> {
    /// Its acids.
    pub composition: &'a Composition,
    /// Unsaponified part of its fats.
    pub free_fat: Fraction,
}

/// A judgement of two bars: one has more of something than the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preference<'a> {
    /// That which has more.
    pub more: Bar<'a>,
    /// That which has less.
    pub less: Bar<'a>,
}

/// What judgements say of one score.
#[derive(Debug, Clone, PartialEq)]
pub struct Taught {
    estimate: Estimate,
    /// Points of each acid alone.
    weights: Vec<f64>,
    curvature: Vec<f64>,
    judgements: usize,
}

/// What each acid adds to the score of `bar`, by a weight of one point, and what free fat adds in points.
fn row(bar: Bar<'_>, estimate: Estimate) -> (&[f64], f64) {
    let none = Scores::default();
    let free = with_free_fat(Plain, none, bar.composition.unsaponifiable, bar.free_fat);
    (bar.composition.fractions(), free.get(estimate))
}

/// ln(1 + e^x) without overflow.
fn softplus(x: f64) -> f64 {
    x.max(0.0) + (-x.abs()).exp().ln_1p()
}

/// 1/(1 + e^−x).
fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// What the judgements in `estimate` say, beginning at the `table`'s weights: the most likely weights between 0 and 100
/// points, and how sharply they are known. `None` for a score that is not of points.
///
/// Judgements count as independent; of ten bars ranked by one person they are not quite, so the spread is then told too
/// small. Judgements that contradict each other pull the two bars together.
pub fn taught(table: &Weights, acids: &Acids, estimate: Estimate, judged: &[Preference<'_>]) -> Option<Taught> {
    let most = estimate.most()?;
    let prior: Vec<f64> = acids.iter().map(|(id, _)| table.get(id, estimate)).collect();
    let n = prior.len();
    let differences: Vec<(Vec<f64>, f64)> = judged
        .iter()
        .map(|preference| {
            let ((more, free_more), (less, free_less)) =
                (row(preference.more, estimate), row(preference.less, estimate));
            (more.iter().zip(less).map(|(a, b)| a - b).collect(), free_more - free_less)
        })
        .collect();
    let (weights, shape) = lowest(&prior, &vec![(0.0, most); n], |at| {
        let mut cost = Cost::none(n);
        for (i, (at, prior)) in at.iter().zip(&prior).enumerate() {
            cost.believe(i, *at, *prior, WEIGHT_SD * most);
        }
        for (difference, free) in &differences {
            let apart = free + difference.iter().zip(at).map(|(d, w)| d * w).sum::<f64>();
            let surprise = logistic(-apart / SPREAD_POINTS);
            cost.value += softplus(-apart / SPREAD_POINTS);
            let bend = surprise * (1.0 - surprise) / SPREAD_POINTS.powi(2);
            for (i, a) in difference.iter().enumerate().filter(|(_, a)| **a != 0.0) {
                cost.slope[i] -= surprise * a / SPREAD_POINTS;
                for (j, b) in difference.iter().enumerate() {
                    cost.curvature[i * n + j] += bend * a * b;
                }
            }
        }
        cost
    });
    Some(Taught { estimate, weights, curvature: shape.curvature, judgements: judged.len() })
}

impl Taught {
    /// The score it is of.
    pub const fn estimate(&self) -> Estimate {
        self.estimate
    }

    /// How many judgements it rests on.
    pub const fn judgements(&self) -> usize {
        self.judgements
    }

    /// Points of each acid alone, in the order of [`Acids`].
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// The score of `bar` by one's own bars, with its standard deviation; the bounds of the weights are not counted in
    /// that, so it is rather told too large.
    pub fn score(&self, bar: Bar<'_>) -> Learnt {
        let (fractions, free) = row(bar, self.estimate);
        let value = free + fractions.iter().zip(&self.weights).map(|(f, w)| f * w).sum::<f64>();
        let value = self.estimate.most().map_or(value, |most| value.min(most));
        let moved = solve(&self.curvature, fractions).unwrap_or_default();
        let variance: f64 = fractions.iter().zip(moved).map(|(f, m)| f * m).sum();
        Learnt { value, sd: variance.sqrt() }
    }

    /// How likely `a` is judged to have more of it than `b`, in percent.
    pub fn percent_above(&self, a: Bar<'_>, b: Bar<'_>) -> f64 {
        in_percent(logistic((self.score(a).value - self.score(b).value) / SPREAD_POINTS))
    }
}
