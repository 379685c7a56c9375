//! What the objective of a blend is made of, and what a step away from it would cost.

use super::blends::Binds;
use super::formulation::{FindError, Formulation, RowOf};
use super::wanted::{Aim, Wanted};
use crate::design::blend::Blend;
use crate::formula::{Input, Num, Reading};
use crate::library::Library;
use crate::number::{short, significant};
use crate::units::from_percent;
use barwright_solver::{Constraint, Firmness, Row, Solver, outside};

/// A search's numbers, put to any blend of its candidates.
#[derive(Debug, Clone)]
pub(crate) struct Account<'a> {
    wanted: &'a Wanted,
    library: &'a Library,
    formulation: Formulation,
}

/// A part of an objective: `weight` × `off`².
#[derive(Debug, Clone, PartialEq)]
struct Term {
    what: What,
    /// How far it is off, above 0 or below.
    off: f64,
    /// What the square of it is multiplied with.
    weight: f64,
}

/// What is off.
#[derive(Debug, Clone, PartialEq)]
enum What {
    /// An acid, percent of the acids.
    Acid { name: String, wanted: f64 },
    /// The share of a fat, percent.
    Share { name: String, wanted: f64 },
    /// A soft range, its end in words: "hardness at least 45".
    Range(String),
}

impl Term {
    fn read<R: Reading>(&self, r: R) -> R::N {
        let weighs = (self.weight - 1.0).abs() > 0.0;
        let symbol = match self.what {
            What::Acid { .. } => "percent that an acid is off",
            What::Share { .. } => "percent that a share is off",
            What::Range(_) => "how far a soft range is left",
        };
        let square = r.input(symbol, self.off.abs(), "", || self.about()).squared();
        if weighs { r.input("weight", self.weight, "", || self.about()) * square } else { square }
    }

    fn about(&self) -> Input {
        let off = significant(self.off.abs());
        let sign = if self.off < 0.0 { '\u{2212}' } else { '+' };
        match &self.what {
            What::Acid { name, wanted } => {
                let value = format!("{sign}{off} % of the acids against {} % wanted", significant(*wanted));
                Input::worked_out(name, value, "the shares and the fats’ typical profiles")
            }
            What::Share { name, wanted } => {
                let value = format!("{sign}{off} % of the blend against {} % in the design", short(*wanted, 2));
                Input::worked_out(name, value, "the shares of both")
            }
            What::Range(words) => {
                let is_plain = (self.weight - 1.0).abs() < f64::EPSILON;
                let counts = if is_plain { "once".into() } else { format!("{} times", significant(self.weight)) };
                let how = "the blend’s number, unrounded, against the end of the range";
                Input::worked_out(&format!("May: {words}"), format!("left by {off}, whose square counts {counts}"), how)
            }
        }
    }
}

/// One step more of a fat of a blend for one less of another.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Exchange {
    /// The position in the blend of the fat that gets more.
    pub(crate) more: usize,
    /// And of that which gives way.
    pub(crate) less: usize,
    /// The objective afterwards.
    pub(crate) objective: f64,
    /// The hard demands and limits that it would break, in words.
    pub(crate) breaks: Vec<String>,
}

/// The best shares of any size, as they are and with a hard range a little looser.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Loosened {
    /// The objective as it is.
    pub(crate) before: f64,
    /// The objective with the range looser.
    pub(crate) after: f64,
}

/// A range or limit missed by less is kept: whole steps and rounded shares come only near.
const KEPT: f64 = 1e-5;
/// The part of a whole below which a share is none.
const NONE: f64 = 1e-9;
/// A step for shares of any size, percent.
const ONE: f64 = 1.0;

impl<'a> Account<'a> {
    pub(crate) fn of(wanted: &'a Wanted, library: &'a Library) -> Result<Self, FindError> {
        Ok(Self { wanted, library, formulation: Formulation::of(wanted, library)? })
    }

    /// The place of each fat of `blend` among the variables; `None` if one is no candidate.
    fn places(&self, blend: &Blend) -> Option<Vec<usize>> {
        let place = |id| self.formulation.candidates.iter().position(|c| c.line.fat.id == id);
        blend.lines().iter().map(|l| place(l.fat.id.clone())).collect()
    }

    fn fractions(&self, blend: &Blend) -> Option<Vec<f64>> {
        let mut w = vec![0.0; self.formulation.candidates.len()];
        for (place, line) in self.places(blend)?.into_iter().zip(blend.lines()) {
            w[place] = line.share.fraction();
        }
        Some(w)
    }

    /// The objective of `blend`; `None` if a fat of it is no candidate.
    pub(crate) fn objective(&self, blend: &Blend) -> Option<f64> {
        Some(self.formulation.problem.objective(&self.fractions(blend)?))
    }

    /// The squares in the objective of `blend` that are not 0, in the order of the search; the
    /// price of the cheapest blend is not among them. `None` if a fat of it is no candidate.
    fn terms(&self, blend: &Blend) -> Option<Vec<Term>> {
        let Formulation { problem, rows, candidates, .. } = &self.formulation;
        let w = self.fractions(blend)?;
        let before = rows.iter().filter(|of| **of != RowOf::Aim).count();
        let term = |(k, row): (usize, &Row)| {
            let Firmness::Soft(weight) = row.firmness else { return None };
            let off = outside(problem.value(k, &w), row.low, row.high);
            // What is off by rounding only is not.
            if off.abs() < NONE {
                return None;
            }
            let what = match (rows[k], &self.wanted.aim) {
                (RowOf::Demand(..) | RowOf::Cap(_), _) => {
                    let end = if off < 0.0 { Constraint::RowLow(k) } else { Constraint::RowHigh(k) };
                    What::Range(self.formulation.words(end))
                }
                (RowOf::Aim, Aim::Nearest(_)) => {
                    let (_, acid) = self.library.acids.iter().nth(k - before)?;
                    What::Acid { name: format!("{} ({})", acid.name, acid.key), wanted: row.low }
                }
                (RowOf::Aim, _) => What::Share { name: candidates[k - before].line.fat.name.clone(), wanted: row.low },
            };
            Some(Term { what, off, weight })
        };
        Some(problem.rows().iter().enumerate().filter_map(term).collect())
    }

    /// The objective of `blend` in any reading, prices in `currency`.
    ///
    /// # Errors
    /// A fat of it is no candidate, or has no price where it counts.
    pub(crate) fn read_objective<R: Reading>(&self, r: R, blend: &Blend, currency: &str) -> Result<R::N, String> {
        let terms = self.terms(blend).ok_or("a fat of it is not among those that may be used")?;
        let squares = r.sum(terms.iter().map(|term| term.read(r)));
        if self.wanted.aim != Aim::Cheapest {
            return Ok(squares);
        }
        let price = self.wanted.read_price_per_kg(r, blend, currency)?;
        Ok(if terms.is_empty() { price } else { price + squares })
    }

    /// The rules of practice in force, in words; empty if none is.
    pub(crate) fn practices_in_words(&self) -> String {
        let words: Vec<&str> = self.formulation.in_force.iter().map(|rule| rule.words.as_str()).collect();
        words.join(", ")
    }

    /// A step of a share, percent.
    pub(crate) fn step(&self) -> f64 {
        self.wanted.step.percent().unwrap_or(ONE)
    }

    /// All exchanges of one step between two fats of `blend`, of which one is at `position`.
    pub(crate) fn exchanges(&self, blend: &Blend, position: usize) -> Option<Vec<Exchange>> {
        let (places, w) = (self.places(blend)?, self.fractions(blend)?);
        let step = from_percent(self.step());
        let others = (0..places.len()).filter(|i| *i != position);
        let pairs = others.flat_map(|other| [(position, other), (other, position)]);
        let exchange = |(more, less): (usize, usize)| {
            let mut after = w.clone();
            after[places[more]] += step;
            after[places[less]] -= step;
            if after[places[less]] < -NONE || after[places[more]] > 1.0 + NONE {
                return None;
            }
            let mut breaks: Vec<String> =
                [more, less].into_iter().filter_map(|i| self.limit_broken(places[i], after[places[i]])).collect();
            breaks.extend(self.missed(&after));
            Some(Exchange { more, less, objective: self.formulation.problem.objective(&after), breaks })
        };
        Some(pairs.filter_map(exchange).collect())
    }

    /// The hard demands and limits that `blend` breaks, in words, its steps and the number of its fats aside;
    /// `None` if a fat of it is no candidate.
    pub(crate) fn breaks(&self, blend: &Blend) -> Option<Vec<String>> {
        let w = self.fractions(blend)?;
        let places = self.places(blend)?;
        let mut breaks: Vec<String> = places.into_iter().filter_map(|i| self.limit_broken(i, w[i])).collect();
        breaks.extend(self.missed(&w));
        Some(breaks)
    }

    /// The limit of variable `i` that a share of `w` would break, in words.
    fn limit_broken(&self, i: usize, w: f64) -> Option<String> {
        let candidate = &self.formulation.candidates[i];
        let (low, high) = self.formulation.problem.bounds(i);
        if candidate.is_held() && (w - low).abs() > NONE {
            return Some(self.formulation.words(Constraint::Lower(i)));
        }
        if w > high + NONE {
            return Some(self.formulation.words(Constraint::Upper(i)));
        }
        if w < low - NONE {
            return Some(self.formulation.words(Constraint::Lower(i)));
        }
        let least = self.wanted.least;
        (w > NONE && w < least.fraction() - NONE).then(|| format!("none below {} %", short(least.get(), 2)))
    }

    /// The hard ranges that the shares `w` miss, in words.
    fn missed(&self, w: &[f64]) -> Vec<String> {
        let problem = &self.formulation.problem;
        let of_row = |(k, row): (usize, &Row)| {
            let off = outside(problem.value(k, w), row.low, row.high);
            let end = if off < 0.0 { Constraint::RowLow(k) } else { Constraint::RowHigh(k) };
            (row.firmness == Firmness::Hard && off.abs() > KEPT).then(|| self.formulation.words(end))
        };
        problem.rows().iter().enumerate().filter_map(of_row).collect()
    }

    /// What the binding range at position `index` of an outcome would save with its end looser by
    /// `points`, solved anew; `None` if there is no such range or a solve failed.
    pub(crate) fn loosened(&self, index: usize, points: f64) -> Option<Loosened> {
        let mut problem = self.formulation.problem.clone();
        let mut solver = Solver::default();
        let before = solver.solve(&problem).ok()?.objective;
        let Binds { row, is_low, .. } = *self.formulation.binds().get(index)?;
        let (low, high) = (problem.rows()[row].low, problem.rows()[row].high);
        let (low, high) = if is_low { (low - points, high) } else { (low, high + points) };
        problem.set_range(row, low, high).ok()?;
        Some(Loosened { before, after: solver.solve(&problem).ok()?.objective })
    }
}
