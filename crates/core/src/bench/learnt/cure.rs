//! How bars cure, from weighings of one to four marked ones.
//!
//! Unknown are how fast they dry (the half-time of a bar 25 mm thick) and how much water they are left with. What a bar
//! weighs follows from both by [`Cure`]; the values taken are those that explain the weighings best, in squares of
//! standard deviations, with a [`Prior`] beside them and between bounds. What each bar weighed when it was cut is
//! unknown too, near the forecast: for every pair of the two values it is what fits that bar's weighings best, which
//! has a closed form. So a weighing on the first day, if there is one, does not have to be exact.
//!
//! The bands are those of the likelihood itself, summed over a mesh about its top; half-times and water left outside
//! the bounds have no part in them.

mod prior;

pub use prior::{BATCH_LN_SD, BATCH_WATER_SD, LN_SD, Prior, WATER_LEFT, WATER_SD};

use super::mode::{Cost, lowest, solve};
use super::planar::{Matrix, on, plus};
use crate::chemistry::cure::Cure;
use crate::units::{BarMass, Days, Grams, ScaleDivision};
use prior::Evidence;

/// The least and the most half-time of a bar 25 mm thick, days.
pub const HALF_DAYS_BOUNDS: (f64, f64) = (5.0, 60.0);
/// The least and the most water that a bar is left with, percent.
pub const WATER_BOUNDS: (f64, f64) = (3.0, 16.0);
/// How far two weighings of one bar on one day may lie apart besides the scale's steps, as a part of its weight: a
/// standard deviation (our judgement; where it stands on the pan, crumbs, the day's damp in its skin).
pub const WEIGHING_SD: f64 = 0.003;
/// How far a bar that was just cut lies from the mean of its batch, as a part of its weight: a standard deviation (our
/// judgement, of cutting by hand).
pub const CUTTING_SD: f64 = 0.05;
/// With weighings on so many days the prior no longer shows much.
pub const ENOUGH_DAYS: usize = 5;

/// What a marked bar weighed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// Since cutting.
    pub days: Days,
    /// Its weight.
    pub grams: BarMass,
}

/// What a fit rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// No weighing: what is usual, or what earlier batches of the kind had.
    Prior,
    /// Weighings on this many days, under [`ENOUGH_DAYS`]: the prior still shows.
    FewDays(usize),
    /// Weighings on this many days.
    Days(usize),
}

/// A figure with the ends between which it lies eight times in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// A tenth lies below.
    pub low: f64,
    /// The most likely, never outside the ends.
    pub likely: f64,
    /// A tenth lies above.
    pub high: f64,
}

/// One pair of values that may be the true one.
#[derive(Debug, Clone, PartialEq)]
struct Possible {
    water_left: f64,
    /// How likely, 0 to 1 in all.
    weight: f64,
    /// What each marked bar weighed when it was cut, if this is so.
    fresh: Vec<f64>,
}

/// How the bars of a batch cure.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    forecast: Cure,
    ln_half: f64,
    water_left: f64,
    /// Grams of each marked bar when it was cut, with its standard deviation once the two values are known.
    fresh: Vec<(f64, f64)>,
    /// By the logarithm of the half-time.
    mesh: Vec<(f64, Vec<Possible>)>,
    evidence: Evidence,
    basis: Basis,
    earlier: usize,
}

/// The weighings of one bar: places among the days, grams, and 1/sd².
type OfBar = Vec<(usize, f64, f64)>;

/// What was weighed, with what it is explained by.
struct Weighed<'a> {
    forecast: &'a Cure,
    /// Each day on which something was weighed, once.
    days: Vec<f64>,
    bars: Vec<OfBar>,
}

/// How well a pair of values explains the weighings.
struct Explained {
    cost: Cost,
    /// What each bar weighed when it was cut, with 1/sd².
    fresh: Vec<(f64, f64)>,
}

impl<'a> Weighed<'a> {
    fn new(forecast: &'a Cure, bars: &[impl AsRef<[Weighing]>], division: ScaleDivision) -> Self {
        let mut days: Vec<f64> = bars.iter().flat_map(AsRef::as_ref).map(|w| w.days.get()).collect();
        days.sort_by(f64::total_cmp);
        days.dedup();
        let steps = division.get().powi(2) / 12.0;
        let of_bar = |bar: &[Weighing]| {
            let place = |day: f64| days.partition_point(|known| *known < day);
            let weight = |grams: f64| 1.0 / (steps + (WEIGHING_SD * grams).powi(2));
            bar.iter().map(|w| (place(w.days.get()), w.grams.get(), weight(w.grams.get()))).collect()
        };
        let bars = bars.iter().map(|bar| of_bar(bar.as_ref())).collect();
        Self { forecast, days, bars }
    }

    /// Part of the free water that is still there on each day.
    fn there(&self, ln_half: f64) -> Vec<f64> {
        let cure = self.forecast.with_half_days(ln_half.exp());
        self.days.iter().map(|day| cure.moisture_ratio(*day)).collect()
    }

    /// Explains the weighings with `water_left` and what is `there` on each day, which changes by `steep` with the
    /// logarithm of the half-time.
    fn explained(&self, water_left: f64, there: &[f64], steep: &[f64]) -> Explained {
        /// For the slope of what leaves; it is straight but for its one corner.
        const STEP: f64 = 1e-4;
        let planned = self.forecast.fresh().0;
        let free = |left: f64| self.forecast.with_water_left(left).free_water().0 / planned;
        let (leaves, leaves_less) =
            (free(water_left), (free(water_left + STEP) - free(water_left - STEP)) / 2.0 / STEP);
        let part = |day: usize| 1.0 - leaves * (1.0 - there[day]);
        let slopes = |day: usize| [leaves * steep[day], -leaves_less * (1.0 - there[day])];
        let mut cost = Cost::none(2);
        let cutting = (CUTTING_SD * planned).powi(-2);
        let fresh = self.bars.iter().map(|bar| {
            let (mut weight, mut sum) = (cutting, cutting * planned);
            for &(day, grams, w) in bar {
                weight += w * part(day).powi(2);
                sum += w * part(day) * grams;
            }
            let fresh = sum / weight;
            cost.value += 0.5 * cutting * (fresh - planned).powi(2);
            let mut shared = [0.0; 2];
            for &(day, grams, w) in bar {
                let (off, slopes) = (fresh * part(day) - grams, slopes(day).map(|s| fresh * s));
                cost.value += 0.5 * w * off * off;
                for i in 0..2 {
                    cost.slope[i] += w * off * slopes[i];
                    shared[i] += w * part(day) * slopes[i];
                    for j in 0..2 {
                        cost.curvature[2 * i + j] += w * slopes[i] * slopes[j];
                    }
                }
            }
            // What the fresh weight takes up is not known of the two values.
            for i in 0..2 {
                for j in 0..2 {
                    cost.curvature[2 * i + j] -= shared[i] * shared[j] / weight;
                }
            }
            (fresh, weight)
        });
        let fresh = fresh.collect();
        Explained { cost, fresh }
    }

    /// The same with the slopes in both values.
    fn explained_at(&self, at: &[f64]) -> Explained {
        const STEP: f64 = 1e-4;
        let [before, there, after] = [-STEP, 0.0, STEP].map(|step| self.there(at[0] + step));
        let steep: Vec<f64> = before.iter().zip(&after).map(|(a, b)| (b - a) / 2.0 / STEP).collect();
        self.explained(at[1], &there, &steep)
    }

    /// The most likely values that a closer search begins at.
    fn start(&self, prior: &Prior) -> [f64; 2] {
        let halves = [8.0, 14.0, 24.0, 42.0].map(f64::ln);
        let meshed = halves.into_iter().flat_map(|half| [4.5, 8.0, 11.5, 14.5].map(|left| [half, left]));
        let costs = std::iter::once(prior.mean()).chain(meshed).map(|at| {
            let there = self.there(at[0]);
            let cost = self.explained(at[1], &there, &vec![0.0; there.len()]).cost.value;
            (cost + prior.cost(&at).value, at)
        });
        costs.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(prior.mean(), |(_, at)| at)
    }

    /// How likely the pairs about `top` are, whose covariance is `spread`.
    fn mesh(&self, prior: &Prior, top: [f64; 2], spread: &Matrix) -> Vec<(f64, Vec<Possible>)> {
        /// Standard deviations to both sides.
        const REACH: f64 = 3.5;
        /// `N` places about `middle`, `sd` apart at the most and inside the bounds, with what each stands for.
        fn places<const N: usize>(middle: f64, sd: f64, (low, high): (f64, f64)) -> ([f64; N], f64) {
            let middle = middle.clamp(low, high);
            let (from, to) = ((middle - REACH * sd).max(low), (middle + REACH * sd).min(high));
            let step = (to - from) / N as f64;
            (std::array::from_fn(|i| from + (i as f64 + 0.5) * step), step)
        }
        let [halves, left] = bounds();
        let along = spread[0][1] / spread[0][0];
        let across = (spread[1][1] - along * spread[0][1]).max(0.0).sqrt();
        let none = vec![0.0; self.days.len()];
        let mut least = f64::INFINITY;
        let mut mesh: Vec<(f64, Vec<Possible>)> = Vec::new();
        for half in places::<21>(top[0], spread[0][0].sqrt(), halves).0 {
            let there = self.there(half);
            let (places, step) = places::<11>(top[1] + along * (half - top[0]), across, left);
            let possible = places.map(|water_left| {
                let explained = self.explained(water_left, &there, &none);
                let cost =
                    explained.cost.value + prior.cost(&[half, water_left]).value - step.max(f64::MIN_POSITIVE).ln();
                least = least.min(cost);
                Possible { water_left, weight: cost, fresh: explained.fresh.into_iter().map(|f| f.0).collect() }
            });
            mesh.push((half, possible.into()));
        }
        let all = mesh.iter_mut().flat_map(|(_, column)| column);
        let sum: f64 = all
            .map(|p| {
                p.weight = (least - p.weight).exp();
                p.weight
            })
            .sum();
        for possible in mesh.iter_mut().flat_map(|(_, column)| column) {
            possible.weight /= sum;
        }
        mesh
    }
}

/// Between which ends the two values lie.
fn bounds() -> [(f64, f64); 2] {
    [(HALF_DAYS_BOUNDS.0.ln(), HALF_DAYS_BOUNDS.1.ln()), WATER_BOUNDS]
}

/// Fits the weighings of marked `bars` that are forecast to cure as `forecast`, which gives their measures, their water
/// and about what they weighed when they were cut. Without weighings it is the prior.
///
/// The time it takes grows with the number of different days, and slower with the number of weighings.
pub fn fit(forecast: &Cure, bars: &[impl AsRef<[Weighing]>], division: ScaleDivision, prior: &Prior) -> Fitted {
    let weighed = Weighed::new(forecast, bars, division);
    let (at, shape) = lowest(&weighed.start(prior), &bounds(), |at| {
        let mut cost = weighed.explained_at(at).cost;
        cost.add(&prior.cost(at));
        cost
    });
    let explained = weighed.explained_at(&at);
    let at = [at[0], at[1]];
    let column = |right: [f64; 2]| solve(&shape.curvature, &right).unwrap_or_default();
    let spread = match (column([1.0, 0.0]).as_slice(), column([0.0, 1.0]).as_slice()) {
        (&[a, b], &[_, c]) => [[a, b], [b, c]],
        _ => prior.covariance(),
    };
    let mesh = weighed.mesh(prior, at, &spread);
    let days = weighed.days.len();
    Fitted {
        forecast: *forecast,
        ln_half: at[0],
        water_left: at[1],
        fresh: explained.fresh.iter().map(|(fresh, weight)| (*fresh, weight.sqrt().recip())).collect(),
        mesh,
        evidence: Evidence::of(&explained.cost, at),
        basis: match days {
            0 => Basis::Prior,
            _ if days < ENOUGH_DAYS => Basis::FewDays(days),
            _ => Basis::Days(days),
        },
        earlier: prior.batches(),
    }
}

impl Fitted {
    /// What it rests on.
    pub const fn basis(&self) -> Basis {
        self.basis
    }

    /// How many earlier batches its prior was learnt from.
    pub const fn earlier_batches(&self) -> usize {
        self.earlier
    }

    /// Days in which a bar 25 mm thick loses half of its free water.
    pub fn half_days(&self) -> Band {
        self.band(self.ln_half.exp(), |column, _| self.mesh[column].0.exp())
    }

    /// Percent of water that a bar is left with in the end.
    pub fn water_left(&self) -> Band {
        self.band(self.water_left, |_, possible| possible.water_left)
    }

    /// A bar just as planned.
    pub const fn planned(&self) -> Fit<'_> {
        Fit { fitted: self, bar: None }
    }

    /// A marked bar, by its place among those that were given; `None` if there were not so many.
    pub fn marked(&self, bar: usize) -> Option<Fit<'_>> {
        (bar < self.fresh.len()).then_some(Fit { fitted: self, bar: Some(bar) })
    }

    /// What is true of so much of the possible, with the most likely beside it. `of` takes a column of the mesh and what
    /// is possible in it.
    fn band(&self, likely: f64, of: impl Fn(usize, &Possible) -> f64) -> Band {
        /// Two figures that differ by a smaller part do so by rounding.
        const SAME: f64 = 1e-9;
        let of = &of;
        let columns = self.mesh.iter().enumerate();
        let values = columns.flat_map(|(i, (_, column))| column.iter().map(move |p| (of(i, p), p.weight)));
        let mut values: Vec<(f64, f64)> = values.collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        // What is the same in a whole column counts as one, or the steps between columns would show.
        values.dedup_by(|next, kept| {
            let is_same = next.0 - kept.0 <= SAME * kept.0.abs();
            kept.1 += if is_same { next.1 } else { 0.0 };
            is_same
        });
        let (low, high) = (quantile(&values, 0.1), quantile(&values, 0.9));
        Band { low: low.min(likely), likely, high: high.max(likely) }
    }
}

/// The value below which `part` of all lies: straight between the middles of what the sorted values stand for.
fn quantile(values: &[(f64, f64)], part: f64) -> f64 {
    let mut below = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for &(value, weight) in values {
        let middle = below + weight / 2.0;
        if middle >= part {
            return before.map_or(value, |(at, known)| {
                if middle > at { known + (value - known) * (part - at) / (middle - at) } else { value }
            });
        }
        before = Some((middle, value));
        below += weight;
    }
    before.map_or(0.0, |(_, value)| value)
}

/// The cure of one bar by the fit.
#[derive(Debug, Clone, Copy)]
pub struct Fit<'a> {
    fitted: &'a Fitted,
    bar: Option<usize>,
}

impl Fit<'_> {
    /// By the most likely values, for all formulas of a cure.
    pub fn cure(self) -> Cure {
        let fitted = self.fitted;
        let cure = fitted.forecast.with_half_days(fitted.ln_half.exp()).with_water_left(fitted.water_left);
        self.bar.map_or(cure, |bar| cure.with_fresh(Grams(fitted.fresh[bar].0)))
    }

    /// What the bar may lose in all, as a part of its fresh weight, and its fresh weight.
    fn possible(self, possible: &Possible) -> (f64, f64) {
        let forecast = &self.fitted.forecast;
        let leaves = forecast.with_water_left(possible.water_left).free_water().0 / forecast.fresh().0;
        (leaves, self.bar.map_or(forecast.fresh().0, |bar| possible.fresh[bar]))
    }

    /// A band of what is a function of the part of the free water that is still there after so many `days`, the part
    /// of the fresh weight that can leave, and the fresh weight.
    fn on_day(self, days: f64, of: impl Fn(f64, f64, f64) -> f64) -> Band {
        let fitted = self.fitted;
        let there = |half: f64| fitted.forecast.with_half_days(half.exp()).moisture_ratio(days);
        let there: Vec<f64> = fitted.mesh.iter().map(|(half, _)| there(*half)).collect();
        let (cure, fresh) = (self.cure(), self.cure().fresh().0);
        let likely = of(cure.moisture_ratio(days), cure.free_water().0 / fresh, fresh);
        fitted.band(likely, |column, possible| {
            let (leaves, fresh) = self.possible(possible);
            of(there[column], leaves, fresh)
        })
    }

    /// Grams after so many `days` from cutting: of the bar, not of what a scale would show.
    pub fn weight(self, days: Days) -> Band {
        let band = self.on_day(days.get(), |there, leaves, fresh| fresh * (1.0 - leaves * (1.0 - there)));
        // What is not known of the fresh weight even if the two values were.
        let apart = self.bar.map_or(0.0, |bar| super::TENTH * self.fitted.fresh[bar].1);
        let apart = apart * band.likely / self.cure().fresh().0;
        Band {
            low: band.likely - (band.likely - band.low).hypot(apart),
            high: band.likely + (band.high - band.likely).hypot(apart),
            ..band
        }
    }

    /// Total fatty matter in percent of the bar after so many `days`, from that of the `fresh` bar.
    pub fn fatty_matter(self, fresh: f64, days: Days) -> Band {
        self.on_day(days.get(), |there, leaves, _| fresh / (1.0 - leaves * (1.0 - there)))
    }

    /// The day of cure on which the bar is dry enough: the first on which it lost less than
    /// [`SETTLED_PERCENT`](crate::chemistry::cure::SETTLED_PERCENT) of its weight in the week before. `None` if that
    /// takes longer than a cure can be.
    pub fn settled(self) -> Option<Band> {
        let likely = f64::from(self.cure().settled()?);
        Some(self.fitted.band(likely, |column, possible| {
            let cure = self
                .fitted
                .forecast
                .with_half_days(self.fitted.mesh[column].0.exp())
                .with_water_left(possible.water_left);
            cure.settled().map_or(Days::MAX, f64::from)
        }))
    }
}
