//! The search itself, in steps: the best blends so far, how good another could be, and why nothing
//! fits.

use super::formulation::{FindError, Formulation, RowOf};
use super::free::Free;
use super::practice::InForce;
use super::wanted::{Aim, Candidate, Measure, Rule, ShareStep, Wanted};
use crate::design::blend::{Blend, FatLine};
use crate::formula::Plain;
use crate::library::Library;
use crate::number::{fixed, signed};
use crate::units::{Share, percent_of};
use barwright_solver::{Constraint, Distinct, Failure, Progress, Search, Solver, why_infeasible};

/// A blend that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The blend, its fats in the order of the candidates.
    pub blend: Blend,
    /// What the aim and the soft ranges come to: for the cheapest blend a price per kilogram, else
    /// squared percent.
    pub objective: f64,
    /// Price of a kilogram of its fats; `None` if one has no price.
    pub price_per_kg: Option<f64>,
}

/// Why nothing fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Collision {
    /// Demands that cannot be met together, in words; without any one of them the others could be.
    pub demands: Vec<String>,
    /// What comes nearest, if anything does.
    pub nearest: Option<Miss>,
}

/// The blend that comes nearest to what cannot be met.
#[derive(Debug, Clone, PartialEq)]
pub struct Miss {
    /// The blend, with shares of any size.
    pub blend: Blend,
    /// What it misses, in words.
    pub missed: Vec<String>,
}

/// A hard range that holds the blend back.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The end that binds, in words: "hardness at least 45".
    pub demand: String,
    /// What one point looser would save of the objective, with shares of any size.
    pub saves: f64,
}

/// The row behind a [`Binding`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Binds {
    pub(super) row: usize,
    /// Whether it is the low end.
    pub(super) is_low: bool,
    pub(super) saves: f64,
}

/// What a search has come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The blends found, the best first; all but the last are proven to be the best of their kind.
    pub results: Vec<Found>,
    /// No blend of other fats than those of the results before the last is better than this.
    pub lower_bound: Option<f64>,
    /// Whether every result is proven the best there is besides those before it.
    pub proven: bool,
    /// Why nothing fits, if nothing does.
    pub collision: Option<Collision>,
    /// Fats that were left out since they have no price.
    pub without_price: Vec<String>,
    /// The rules of practice in force, and what each did.
    pub in_force: Vec<InForce>,
    /// Fats of the design that are held, though not locked, since none of their acids is tabled: "Beeswax at 5 %".
    pub held_without_acids: Vec<String>,
    /// What holds the blend back, the strongest first.
    pub binding: Vec<Binding>,
    /// Whether the search has ended.
    pub done: bool,
}

/// A search that goes on in steps.
#[derive(Debug, Clone)]
pub struct BlendSearch {
    wanted: Wanted,
    formulation: Formulation,
    /// The search with the part of the blend it is for; `None` once it has ended.
    search: Option<(Free, Search)>,
    results: Vec<Found>,
    /// The best of the round that goes on, and how far it has come.
    progress: Option<Progress>,
    /// Whether every round so far ended with a proof.
    proven: bool,
    collision: Option<Collision>,
    binding: Vec<Binding>,
}

impl BlendSearch {
    /// Begins to look for `wanted`. When its limits contradict each other or its hard ranges collide
    /// the search is over at once and its outcome says why.
    ///
    /// # Errors
    /// [`FindError`] if there is nothing to choose from or numbers are missing.
    ///
    /// ```
    /// use barwright_core::find::{BlendSearch, Wanted};
    /// use barwright_core::design::document;
    /// use barwright_core::{Design, Library, evaluate};
    /// let library = Library::embedded()?;
    /// let design = document::read(b"(barwright: 1, fats: [(fat: \"olive_virgin\", share: 70.0), (fat: \"coconut\", share: 30.0)])", &library)?;
    /// let mut wanted = Wanted::of(&design, &evaluate(&design, &library), &library);
    /// wanted.leave_out(&design.blend.lines()[0].fat.id);
    /// let mut search = BlendSearch::start(wanted, &library)?;
    /// while !search.step(100) {}
    /// let best = &search.outcome().results[0].blend;
    /// assert!(best.lines().iter().all(|line| line.fat.id.as_str() != "olive_virgin"));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn start(wanted: Wanted, library: &Library) -> Result<Self, FindError> {
        let formulation = Formulation::of(&wanted, library)?;
        let said = |words| Collision { demands: vec![words], nearest: None };
        let (search, collision) = match Free::of(&formulation, &wanted)? {
            Err(words) => (None, Some(said(words))),
            Ok(free) => match Search::start(&free.problem, free.limits) {
                Ok(search) => (Some((free, search)), None),
                Err(impossible) => match formulation.contradiction(&free.of_all(impossible), &wanted)? {
                    Some(words) => (None, Some(said(words))),
                    None => (None, Some(formulation.collision(&wanted)?)),
                },
            },
        };
        let binding = formulation.binding();
        Ok(Self { wanted, formulation, search, results: Vec::new(), progress: None, proven: true, collision, binding })
    }

    /// Goes on for about `nodes` nodes of the search tree, some ten microseconds each; true when the
    /// search has ended.
    pub fn step(&mut self, nodes: usize) -> bool {
        let Some((free, search)) = &mut self.search else { return true };
        let progress = search.step(nodes);
        let ended = progress.done || search.exhausted();
        if !ended {
            self.progress = Some(progress);
            return false;
        }
        self.proven &= progress.done;
        match progress.incumbent {
            Some(blend) => {
                let objective = free.objective(blend.objective);
                self.results.extend(self.formulation.found(&free.all(&blend.w), objective, &self.wanted));
                self.progress = None;
                if self.results.len() < self.wanted.results {
                    search.another(Distinct::OtherSet);
                    return false;
                }
            }
            None if self.results.is_empty() && progress.done => {
                self.collision = Some(self.formulation.impractical(&self.wanted));
            }
            None => {}
        }
        self.progress = None;
        self.search = None;
        true
    }

    /// What the search has come to so far.
    pub fn outcome(&self) -> Outcome {
        let mut results = self.results.clone();
        let going_on = self.progress.as_ref().zip(self.search.as_ref());
        let going_on = going_on.map(|(progress, (free, _))| (progress, free));
        results.extend(going_on.and_then(|(progress, free)| {
            let best = progress.incumbent.as_ref()?;
            self.formulation.found(&free.all(&best.w), free.objective(best.objective), &self.wanted)
        }));
        let bound = going_on.map(|(progress, free)| free.objective(progress.lower_bound)).filter(|b| b.is_finite());
        Outcome {
            lower_bound: bound.or_else(|| results.last().map(|r| r.objective)),
            results,
            proven: self.proven && self.search.is_none(),
            collision: self.collision.clone(),
            without_price: self.formulation.without_price.clone(),
            in_force: self.formulation.in_force.clone(),
            held_without_acids: self.formulation.held_without_acids.clone(),
            binding: self.binding.clone(),
            done: self.search.is_none(),
        }
    }
}

impl Formulation {
    /// The blend of the shares `w` (fractions); `None` if they are none.
    fn blend(&self, w: &[f64], wanted: &Wanted) -> Option<Blend> {
        // A whole step is a decimal number that a fraction only comes near to.
        let percent = |w: f64| match wanted.step.to_the_whole() {
            Some(steps) => percent_of((w * f64::from(steps)).round(), f64::from(steps)),
            None => percent_of((w * FINE).round(), FINE),
        };
        let used = self.candidates.iter().zip(w).filter(|(c, w)| **w > TRACE || c.least.get() > 0.0);
        // A held share stays as it was typed.
        let used = used.map(|(c, w)| (c, if c.is_held() { c.least.get() } else { percent(*w) }));
        let mut shares: Vec<(&Candidate, f64)> = used.collect();
        let left = Share::MAX - shares.iter().map(|(_, share)| share).sum::<f64>();
        let free = shares.iter_mut().filter(|(c, _)| !c.is_held());
        if let Some((_, share)) = free.max_by(|a, b| a.1.total_cmp(&b.1)) {
            *share += left;
        }
        let line = |(c, share): (&Candidate, f64)| FatLine { share: Share::nearest(share), ..c.line.clone() };
        Blend::new(shares.into_iter().map(line).collect()).ok()
    }

    /// The hard ranges that bind when shares may have any size, the strongest first.
    pub(super) fn binds(&self) -> Vec<Binds> {
        let Ok(solution) = Solver::default().solve(&self.problem) else { return Vec::new() };
        let rows = solution.multipliers.iter().zip(&self.rows).enumerate();
        let binds = rows.filter_map(|(row, (multiplier, of))| {
            let demand = of.demand().filter(|d| d.rule == Rule::Must)?;
            let is_ratio = demand.measure == Measure::SaturatedPerUnsaturated;
            // The objective rises when a low end moves up and falls when a high end does.
            (multiplier.abs() > LEAST_SAVED && !is_ratio).then_some(Binds {
                row,
                is_low: *multiplier > 0.0,
                saves: multiplier.abs(),
            })
        });
        let mut binds: Vec<Binds> = binds.collect();
        binds.sort_by(|a, b| b.saves.total_cmp(&a.saves));
        binds
    }

    fn binding(&self) -> Vec<Binding> {
        let in_words = |b: Binds| {
            let end = if b.is_low { Constraint::RowLow(b.row) } else { Constraint::RowHigh(b.row) };
            Binding { demand: self.words(end), saves: b.saves }
        };
        self.binds().into_iter().map(in_words).collect()
    }

    pub(super) fn found(&self, w: &[f64], objective: f64, wanted: &Wanted) -> Option<Found> {
        let blend = self.blend(w, wanted)?;
        // The number alone: no currency is told.
        let price_per_kg = wanted.read_price_per_kg(Plain, &blend, "").ok();
        Some(Found { blend, objective, price_per_kg })
    }

    /// Which hard ranges collide.
    fn collision(&self, wanted: &Wanted) -> Result<Collision, FindError> {
        // Without the limits the ranges may go together: then it is those that collide.
        let stalled = |_: Failure| FindError::Stalled;
        let Some(infeasible) = why_infeasible(&self.problem).map_err(stalled)? else {
            return Ok(self.impractical(wanted));
        };
        let demands = infeasible.collision.into_iter().map(|d| self.words(d)).collect();
        let free = Wanted { step: ShareStep::Any, ..wanted.clone() };
        let nearest = infeasible.nearest.and_then(|nearest| {
            let missed = nearest.missed.iter().filter_map(|miss| {
                let demand = match self.rows.get(miss.row)? {
                    RowOf::Cap(_) => return Some(self.words(Constraint::RowHigh(miss.row))),
                    of => of.demand()?,
                };
                let name = demand.measure.name().to_lowercase();
                // The row of a ratio is not in its unit.
                let by = match demand.measure {
                    Measure::SaturatedPerUnsaturated => String::new(),
                    measure => format!(" by {}", signed(miss.by, measure.decimals().max(1))),
                };
                Some(format!("{name} is off{by}"))
            });
            Some(Miss { missed: missed.collect(), blend: self.blend(&nearest.w, &free)? })
        });
        Ok(Collision { demands, nearest })
    }

    /// The hard ranges could be met, but not by a practical blend.
    fn impractical(&self, wanted: &Wanted) -> Collision {
        let mut demands = wanted.limits_in_words();
        let ranges = self.rows.iter().filter_map(|of| of.demand()).filter(|d| d.rule == Rule::Must);
        let mut names: Vec<String> = ranges
            .map(|d| {
                let decimals = d.measure.decimals();
                let (low, high) = (fixed(d.range.min(), decimals), fixed(d.range.max(), decimals));
                format!("{} {low} to {high}", d.measure.name().to_lowercase())
            })
            .collect();
        names.dedup();
        demands.extend(names);
        demands.extend(self.in_force.iter().map(|rule| rule.words.clone()));
        let held = self.candidates.iter().filter(|c| c.least.get() > 0.0);
        demands.extend(held.map(|c| format!("{} in it", c.line.fat.name)));
        let free = Wanted { step: ShareStep::Any, ..wanted.clone() };
        let any = Solver::default().solve(&self.problem).ok();
        let nearest = any.and_then(|s| {
            let missed = wanted.limits_in_words();
            Some(Miss { blend: self.blend(&s.w, &free)?, missed })
        });
        Collision { demands, nearest }
    }
}

/// A range that saves less by a point does not bind.
const LEAST_SAVED: f64 = 1e-6;

/// Parts of the whole to which shares of any size are rounded.
const FINE: f64 = 1e6;

/// A fraction below this is no share.
const TRACE: f64 = 1e-7;

impl Outcome {
    /// How much better than the last result another blend could be; 0 when it is proven.
    pub fn gap(&self) -> Option<f64> {
        let last = self.results.last()?;
        Some((last.objective - self.lower_bound?).max(0.0))
    }
}

impl Aim {
    /// The unit of an objective, with `currency` for the cheapest blend.
    pub fn unit(&self, currency: &str) -> String {
        match self {
            Self::Cheapest => format!("{currency}/kg"),
            Self::Nearest(_) | Self::SmallestChange => "squared percent".into(),
        }
    }
}
