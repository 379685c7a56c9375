//! From what is wanted to numbers, and from numbers back to words.

use super::practice::{Cap, Effect, InForce, Practice};
use super::wanted::{Aim, Candidate, Demand, Measure, Rule, Wanted};
use crate::evaluate::MOST_UNKNOWN;
use crate::library::Library;
use crate::library::estimates::Estimate;
use crate::library::fats::Fat;
use crate::number::{fixed, short};
use crate::units::{Percent, in_percent};
use barwright_solver::{BadProblem, Constraint, Impossible, Limits, Problem, Row};

/// What leaving a soft range by one point costs, in squared percent of the aim; for the cheapest
/// blend in hundredths of the mean price. Keeping runs over a few units where the others run to
/// 100, so that a point of it counts as 20 (our judgement).
fn weight(measure: Measure) -> f64 {
    match measure {
        Measure::Estimate(estimate) => estimate.in_points(1.0).powi(2),
        Measure::SaponificationValue | Measure::IodineValue | Measure::SaturatedPerUnsaturated => 1.0,
    }
}

/// A ratio up to here is not bounded above.
const OPEN: f64 = 1000.0;
/// So many points outside a soft range cost as much as the mean price: ranges and prices are weighed on one scale.
const POINTS_FOR_A_PRICE: f64 = 100.0;

/// Why a search cannot start.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FindError {
    /// No fat may be used.
    #[error("no fat may be used: allow at least one")]
    NoFats,
    /// The cheapest blend is wanted and no fat has a price.
    #[error("prices are needed: no fat that may be used has one yet")]
    NoPrices,
    /// A change is wanted of a blend that is none.
    #[error("the shares of the design do not sum to 100 %, so there is no blend to be near to: make it whole first")]
    NotWhole,
    /// A fat that must be used has no price.
    #[error("{0} must be used but has no price")]
    NoPrice(String),
    /// Too much of the blend is held by fats without tabled acids.
    #[error("{0} % of the blend is held by fats whose acids are not tabled; at most {most} % can be", most = fixed(in_percent(MOST_UNKNOWN), 0))]
    Unknown(String),
    /// A number cannot be reckoned with.
    #[error(transparent)]
    Number(#[from] BadProblem),
    /// The search did not settle.
    #[error("the search for the best shares did not settle; ask for a little less, or for other ranges")]
    Stalled,
}

/// A search in numbers.
#[derive(Debug, Clone)]
pub(super) struct Formulation {
    pub(super) problem: Problem,
    pub(super) limits: Limits,
    /// The candidates that are variables, in the problem's order.
    pub(super) candidates: Vec<Candidate>,
    /// What each row of the problem is of.
    pub(super) rows: Vec<RowOf>,
    /// Candidates left out since they have no price.
    pub(super) without_price: Vec<String>,
    /// What the rules in force hold down.
    caps: Vec<Cap>,
    /// What each of the rules in force did.
    pub(super) in_force: Vec<InForce>,
    /// Fats of the design that are held since none of their acids is tabled.
    pub(super) held_without_acids: Vec<String>,
}

/// What a row is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum RowOf {
    /// A range that is asked for.
    Demand(Demand, Side),
    /// The cap at this position.
    Cap(usize),
    /// A square of the aim.
    Aim,
}

impl RowOf {
    /// The range that it is of.
    pub(super) const fn demand(self) -> Option<Demand> {
        match self {
            Self::Demand(demand, _) => Some(demand),
            Self::Cap(_) | Self::Aim => None,
        }
    }
}

/// Which ends of a range a row stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Both,
    Low,
    High,
}

/// The coefficients of one measure: its value for each fat alone, and what is added to the sum.
struct Linear {
    of_fat: Vec<f64>,
    constant: f64,
}

impl Formulation {
    pub(super) fn of(wanted: &Wanted, library: &Library) -> Result<Self, FindError> {
        let mut without_price = Vec::new();
        let mut candidates = Vec::new();
        let mut left_out: Vec<(Practice, String)> = Vec::new();
        // A fat of the design that is left out counts as changed to nothing.
        let counts_as_changed = |c: &Candidate| wanted.aim == Aim::SmallestChange && c.line.share.get() > 0.0;
        for candidate in &wanted.candidates {
            let left_out_by = wanted.left_out_by(candidate, library);
            if candidate.most.get() <= 0.0 || left_out_by.is_some() {
                if let Some(practice) = left_out_by {
                    left_out.push((practice, candidate.line.fat.name.clone()));
                }
                if counts_as_changed(candidate) {
                    candidates.push(candidate.clone().without());
                }
                continue;
            }
            let is_priced = wanted.price_per_kg(&candidate.line.fat.id).is_some();
            if is_priced || wanted.aim != Aim::Cheapest {
                candidates.push(candidate.clone());
            } else if candidate.least.get() > 0.0 {
                return Err(FindError::NoPrice(candidate.line.fat.name.clone()));
            } else {
                without_price.push(candidate.line.fat.name.clone());
            }
        }
        if wanted.aim == Aim::SmallestChange && !wanted.has_whole_blend {
            return Err(FindError::NotWhole);
        }
        if candidates.iter().all(|c| c.most.get() <= 0.0) {
            return Err(if without_price.is_empty() { FindError::NoFats } else { FindError::NoPrices });
        }
        let without_acids = || candidates.iter().filter(|c| !c.has_acids() && c.most.get() > 0.0);
        let unknown: f64 = without_acids().map(|c| c.least.fraction()).sum();
        if unknown > MOST_UNKNOWN {
            return Err(FindError::Unknown(short(in_percent(unknown), 1)));
        }
        let numbers = Numbers { candidates: &candidates, library, known: 1.0 - unknown, free_fat: wanted.free_fat };

        let price = |c: &Candidate| wanted.price_per_kg(&c.line.fat.id).unwrap_or_default();
        let prices: Vec<f64> = candidates.iter().map(price).collect();
        let (cost, penalty) = match wanted.aim {
            Aim::Cheapest => {
                let mean = prices.iter().sum::<f64>() / prices.len() as f64;
                // Where everything is free, ranges still count.
                let mean = if mean > 0.0 { mean } else { 1.0 };
                (prices, mean / POINTS_FOR_A_PRICE)
            }
            Aim::Nearest(_) | Aim::SmallestChange => (vec![0.0; candidates.len()], 1.0),
        };
        let held_without_acids = without_acids().filter(|c| !c.line.locked).map(held).collect();
        let caps: Vec<Cap> = wanted.practices.iter().filter_map(|p| p.cap(&candidates, library)).collect();
        let mut rows = Vec::new();
        let mut of_rows = Vec::new();
        for demand in wanted.demands.iter().filter(|d| d.rule != Rule::Ignore) {
            for (row, side) in numbers.rows(demand, penalty) {
                rows.push(row);
                of_rows.push(RowOf::Demand(*demand, side));
            }
        }
        let mut bounds: Vec<(f64, f64)> = candidates.iter().map(|c| (c.least.fraction(), c.most.fraction())).collect();
        for (i, cap) in caps.iter().enumerate() {
            // What all together may not have, none alone may.
            for &member in &cap.members {
                bounds[member].1 = bounds[member].1.min(cap.most.max(bounds[member].0));
            }
            if cap.members.iter().map(|m| bounds[*m].1).sum::<f64>() > cap.most {
                let mut of_members = vec![0.0; candidates.len()];
                cap.members.iter().for_each(|m| of_members[*m] = 1.0);
                rows.push(Row::hard(of_members, f64::NEG_INFINITY, cap.most));
                of_rows.push(RowOf::Cap(i));
            }
        }
        let targets = numbers.targets(&wanted.aim);
        of_rows.extend(targets.iter().map(|_| RowOf::Aim));
        rows.extend(targets);
        let problem = Problem::new(cost, bounds, rows)?;
        let limits = Limits { most: wanted.at_most, least: wanted.least.fraction(), steps: wanted.step.to_the_whole() };
        let in_force = in_force(wanted, &caps, &candidates, &left_out);
        Ok(Self { problem, limits, candidates, rows: of_rows, without_price, caps, in_force, held_without_acids })
    }

    fn name(&self, variable: usize) -> &str {
        &self.candidates[variable].line.fat.name
    }

    /// A demand of the problem in words: "hardness at least 45".
    pub(super) fn words(&self, demand: Constraint) -> String {
        let percent = |fraction: f64| format!("{} %", short(in_percent(fraction), 2));
        let row = |k: usize, is_low: bool| match self.rows.get(k).copied() {
            Some(RowOf::Demand(demand, side)) => {
                let is_low = if side == Side::Both { is_low } else { side == Side::Low };
                let (word, end) =
                    if is_low { ("at least", demand.range.min()) } else { ("at most", demand.range.max()) };
                let decimals = demand.measure.decimals();
                format!("{} {word} {}", demand.measure.name().to_lowercase(), fixed(end, decimals))
            }
            Some(RowOf::Cap(i)) => self.caps[i].words(),
            Some(RowOf::Aim) | None => "the aim".into(),
        };
        match demand {
            Constraint::Lower(i) | Constraint::Upper(i) if self.candidates[i].is_held() => {
                format!("{} held at {}", self.name(i), percent(self.problem.bounds(i).0))
            }
            Constraint::Lower(i) => format!("{} at least {}", self.name(i), percent(self.problem.bounds(i).0)),
            Constraint::Upper(i) => format!("{} at most {}", self.name(i), percent(self.problem.bounds(i).1)),
            Constraint::RowLow(k) => row(k, true),
            Constraint::RowHigh(k) => row(k, false),
        }
    }

    /// How the limits contradict each other, in words; `None` if it is the hard ranges that collide.
    pub(super) fn contradiction(&self, impossible: &Impossible, wanted: &Wanted) -> Result<Option<String>, FindError> {
        let percent = |fraction: f64| format!("{} %", short(in_percent(fraction), 2));
        Ok(Some(match impossible {
            Impossible::Rows => return Ok(None),
            Impossible::Stalled => return Err(FindError::Stalled),
            Impossible::NothingAllowed => {
                format!("no fat may have a share that goes with {}", wanted.limits_in_words().join(", "))
            }
            Impossible::Nothing => "at least one fat must be allowed in a blend".into(),
            Impossible::Least(least) => format!("{} is no least share", percent(*least)),
            Impossible::NoValue(i) => {
                let (low, high) = self.problem.bounds(*i);
                let held = if low >= high { percent(low) } else { format!("{} to {}", percent(low), percent(high)) };
                let limits = wanted.limits_in_words().join(", ");
                format!("{} must be used with {held}, which does not go with {limits}", self.name(*i))
            }
            Impossible::TooManyRequired { required, most } => {
                format!("{required} fats must be used, but at most {most} may be")
            }
            Impossible::TooMuch(sum) => format!("what must be used sums to {}, more than 100 %", percent(*sum)),
            Impossible::TooLittle(sum) => {
                format!("what may be used sums to {} at the most, less than 100 %", percent(*sum))
            }
        }))
    }
}

/// "Beeswax at 5 %".
fn held(candidate: &Candidate) -> String {
    format!("{} at {} %", candidate.line.fat.name, short(candidate.least.get(), 2))
}

/// What each rule in force did.
fn in_force(wanted: &Wanted, caps: &[Cap], candidates: &[Candidate], left_out: &[(Practice, String)]) -> Vec<InForce> {
    let name = |i: &usize| candidates[*i].line.fat.name.clone();
    let of = |practice: &Practice| {
        let cap = caps.iter().find(|cap| cap.practice == *practice);
        let fats = match practice.effect() {
            Effect::AtMost(_) => cap.map(|cap| cap.members.iter().map(name).collect()).unwrap_or_default(),
            Effect::None => left_out.iter().filter(|(by, _)| by == practice).map(|(_, name)| name.clone()).collect(),
        };
        InForce { practice: *practice, words: cap.map_or_else(|| practice.words(), Cap::words), fats }
    };
    wanted.practices.iter().map(of).collect()
}

/// What the coefficients are worked out of.
struct Numbers<'a> {
    candidates: &'a [Candidate],
    library: &'a Library,
    /// The part of the blend whose acids are tabled: the rest is held, so that this is known.
    known: f64,
    free_fat: Percent,
}

impl Numbers<'_> {
    /// One number for each candidate; those whose acids are not tabled are left out of the mean.
    fn of_known(&self, of_fat: impl Fn(&Fat) -> f64) -> Vec<f64> {
        let of = |c: &Candidate| if c.line.fat.profile().is_empty() { 0.0 } else { of_fat(&c.line.fat) / self.known };
        self.candidates.iter().map(of).collect()
    }

    fn linear(&self, measure: Measure) -> Linear {
        let linear = |of_fat| Linear { of_fat, constant: 0.0 };
        let weights = &self.library.weights;
        match measure {
            Measure::Estimate(estimate) => {
                let of_acids = |fat: &Fat| -> f64 {
                    fat.profile().iter().map(|e| e.fraction() * weights.get(e.acid, estimate)).sum()
                };
                if estimate.gains_from_free_fat() {
                    let of_fat = self.of_known(|fat| of_acids(fat) + in_percent(fat.unsaponifiable_fraction()));
                    Linear { of_fat, constant: self.free_fat.0.max(0.0) }
                } else {
                    linear(self.of_known(of_acids))
                }
            }
            Measure::SaponificationValue => {
                linear(self.candidates.iter().map(|c| c.line.saponification_value()).collect())
            }
            Measure::IodineValue => {
                linear(self.of_known(|fat| fat.calculated_iv(&self.library.acids).unwrap_or_default()))
            }
            Measure::SaturatedPerUnsaturated => linear(self.of_known(|fat| self.saturated(fat))),
        }
    }

    /// Percent of saturated acids.
    fn saturated(&self, fat: &Fat) -> f64 {
        let acids = &self.library.acids;
        fat.profile().iter().filter(|e| acids.get(e.acid).is_saturated()).map(|e| e.typical).sum()
    }

    /// The rows of a demand; leaving a soft one by a point costs `penalty` times its weight.
    fn rows(&self, demand: &Demand, penalty: f64) -> Vec<(Row, Side)> {
        let row = |coefficients, low, high| match demand.rule {
            Rule::Must => Row::hard(coefficients, low, high),
            _ => Row::soft(coefficients, low, high, penalty * weight(demand.measure)),
        };
        let range = demand.range;
        if demand.measure == Measure::SaturatedPerUnsaturated {
            // a ÷ b ≥ r is a − r·b ≥ 0.
            let off = |ratio: f64| {
                self.of_known(|fat| {
                    let saturated = self.saturated(fat);
                    let all: f64 = fat.profile().iter().map(|e| e.typical).sum();
                    saturated - ratio * (all - saturated)
                })
            };
            let low = (range.min() > 0.0).then(|| (row(off(range.min()), 0.0, f64::INFINITY), Side::Low));
            let high = (range.max() < OPEN).then(|| (row(off(range.max()), f64::NEG_INFINITY, 0.0), Side::High));
            return low.into_iter().chain(high).collect();
        }
        let Linear { of_fat, constant } = self.linear(demand.measure);
        // Conditioning is capped at 100, so that an upper end there binds nothing.
        let is_capped = demand.measure == Measure::Estimate(Estimate::Conditioning) && range.max() >= 100.0;
        let high = if is_capped { f64::INFINITY } else { range.max() - constant };
        vec![(row(of_fat, range.min() - constant, high), Side::Both)]
    }

    /// The squares that the aim is made of, in percent.
    fn targets(&self, aim: &Aim) -> Vec<Row> {
        match aim {
            Aim::Cheapest => Vec::new(),
            Aim::Nearest(composition) => {
                let of_acid = |(id, fraction): (_, &f64)| {
                    let percent =
                        self.of_known(|fat| fat.profile().iter().filter(|e| e.acid == id).map(|e| e.typical).sum());
                    Row::target(percent, in_percent(*fraction), 1.0)
                };
                let acids = self.library.acids.iter().map(|(id, _)| id).zip(composition.fractions());
                acids.map(of_acid).collect()
            }
            Aim::SmallestChange => {
                let count = self.candidates.len();
                let of_fat = |(i, c): (usize, &Candidate)| {
                    let mut only = vec![0.0; count];
                    only[i] = 100.0;
                    Row::target(only, c.line.share.get(), 1.0)
                };
                self.candidates.iter().enumerate().map(of_fat).collect()
            }
        }
    }
}
