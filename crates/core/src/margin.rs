//! The lye margin: how far the superfat that results may lie from the planned one.
//!
//! Each fat's saponification value lies anywhere in its range, each alkali's purity within its ±,
//! each weighing within half a division of the scale; all are uniform and independent. That is an
//! assumption: one season or one supplier can move several fats together, so the interval of all
//! extremes at once stands beside the distribution as its outer limit.

use crate::alkali::naoh_to_koh;
use crate::batch::Batch;
use crate::design::Design;
use crate::units::{Grams, Interval};
use std::sync::OnceLock;

/// Cells of the grid on which sums of uniform quantities are worked out.
const CELLS: usize = 160;

/// The sum of independent quantities, each uniform between −a and a for its own half width a.
#[derive(Debug, Clone, PartialEq)]
pub struct UniformSum {
    /// Half the width of the whole: the sum of the half widths.
    half: f64,
    /// Cells in a unit of width.
    per_unit: f64,
    /// Distribution function at the ends of the cells; empty if there is no width.
    cdf: Vec<f64>,
}

impl UniformSum {
    /// The sum for these half widths. The two widest are exact; each further one is a running
    /// mean over its width. What is narrower than a cell is left out of the shape, but not out of
    /// [`Self::half`].
    pub fn of(mut half_widths: Vec<f64>) -> Self {
        half_widths.retain(|a| *a > 0.0);
        half_widths.sort_by(|a, b| b.total_cmp(a));
        let half: f64 = half_widths.iter().sum();
        let Some((first, rest)) = half_widths.split_first() else {
            return Self { half: 0.0, per_unit: 0.0, cdf: Vec::new() };
        };
        let step = 2.0 * half / CELLS as f64;
        let at = |i: usize| -half + step * i as f64;
        // The integral of the widest one's distribution function.
        let integral = |x: f64| {
            if x <= -first {
                0.0
            } else if x >= *first {
                x
            } else {
                (x + first).powi(2) / (4.0 * first)
            }
        };
        let mut cdf: Vec<f64> = (0..=CELLS)
            .map(|i| match rest.first() {
                Some(second) => (integral(at(i) + second) - integral(at(i) - second)) / (2.0 * second),
                None => ((at(i) + first) / (2.0 * first)).clamp(0.0, 1.0),
            })
            .collect();
        let mut sums = vec![0.0; CELLS + 1];
        for width in rest.iter().skip(1) {
            // Straight lines between the points add a variance of step²/6, which is taken off the
            // width; what is no wider than that is too narrow to be seen.
            let narrowed = width * width - step * step / 2.0;
            if narrowed <= 0.0 {
                continue;
            }
            let width = narrowed.sqrt();
            for i in 1..=CELLS {
                sums[i] = sums[i - 1] + step * f64::midpoint(cdf[i - 1], cdf[i]);
            }
            // The integral of the function so far, `t` of a cell behind point `i`: exact between the
            // points of straight lines.
            let integral = |i: isize, t: f64| match usize::try_from(i) {
                Err(_) => 0.0,
                Ok(i) if i >= CELLS => sums[CELLS] + step * ((i - CELLS) as f64 + t),
                Ok(i) => sums[i] + step * t * (cdf[i] + 0.5 * t * (cdf[i + 1] - cdf[i])),
            };
            // Every point looks equally far to both sides.
            let (cells, part) = (whole(width / step), (width / step).fract());
            let cells = isize::try_from(cells).unwrap_or_default();
            let mean = |i: isize| (integral(i + cells, part) - integral(i - cells - 1, 1.0 - part)) / (2.0 * width);
            cdf = (0..=CELLS).map(|i| mean(isize::try_from(i).unwrap_or_default())).collect();
        }
        Self { half, per_unit: 1.0 / step, cdf }
    }

    /// Half the width of the whole.
    pub const fn half(&self) -> f64 {
        self.half
    }

    /// The chance that the sum is at most `x`.
    ///
    /// ```
    /// use barwright_core::margin::UniformSum;
    /// // Two of the same width make a triangle.
    /// let sum = UniformSum::of(vec![1.0, 1.0]);
    /// assert!((sum.at_most(-1.0) - 0.125).abs() < 1e-9);
    /// ```
    pub fn at_most(&self, x: f64) -> f64 {
        if self.cdf.is_empty() {
            return if x >= 0.0 { 1.0 } else { 0.0 };
        }
        let cell = (x + self.half) * self.per_unit;
        if cell <= 0.0 {
            0.0
        } else if cell >= CELLS as f64 {
            1.0
        } else {
            let i = whole(cell);
            self.cdf[i] + (cell - i as f64) * (self.cdf[i + 1] - self.cdf[i])
        }
    }

    /// The mean of `f` over the sum: each cell's chance times Simpson's mean of `f` in it.
    fn mean(&self, f: impl Fn(f64) -> f64) -> f64 {
        if self.cdf.is_empty() {
            return f(0.0);
        }
        let step = 2.0 * self.half / CELLS as f64;
        let mut left = f(-self.half);
        let mut sum = 0.0;
        for i in 0..CELLS {
            let x = -self.half + step * i as f64;
            let right = f(x + step);
            sum += (self.cdf[i + 1] - self.cdf[i]) * (left + 4.0 * f(x + 0.5 * step) + right) / 6.0;
            left = right;
        }
        sum
    }
}

/// The whole number of cells below `cell`, which lies within the grid.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and the number of cells")]
fn whole(cell: f64) -> usize {
    (cell as usize).min(CELLS - 1)
}

/// Something that may differ from what was planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The saponification value of the blend's line at this position.
    SaponificationValue(usize),
    /// The purity of the sodium hydroxide.
    NaohPurity,
    /// The purity of the potassium hydroxide.
    KohPurity,
    /// The weighings on this scale, all together.
    Scale,
}

/// One cause with what it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driver {
    /// The cause.
    pub cause: Cause,
    /// How far it moves the superfat at the most, ± points.
    pub points: f64,
    /// Its part of the variance of the superfat, 0–1.
    pub part: f64,
}

/// How far the superfat that results may lie from the planned one.
#[derive(Debug, Clone)]
pub struct LyeMargin {
    /// Superfat when everything differs at once in the worst way, percent.
    pub low: f64,
    /// The same in the other way.
    pub high: f64,
    /// What drives it, the strongest first.
    pub drivers: Vec<Driver>,
    /// Alkali for the fats per exact need, as planned.
    ratio: f64,
    /// Half widths relative to the need and to the supply.
    need: Vec<f64>,
    supply: Vec<f64>,
    sums: OnceLock<(UniformSum, UniformSum)>,
}

impl PartialEq for LyeMargin {
    fn eq(&self, other: &Self) -> bool {
        // The sums follow from the rest.
        (self.low, self.high, &self.drivers, self.ratio, &self.need, &self.supply)
            == (other.low, other.high, &other.drivers, other.ratio, &other.need, &other.supply)
    }
}

impl LyeMargin {
    /// The margin of `batch`, whose fats weigh `fat_masses`; `None` without fats that take alkali.
    pub fn of(design: &Design, batch: &Batch, fat_masses: &[Grams]) -> Option<Self> {
        let exact = batch.exact_koh.0;
        let acids = batch.acids_koh.0;
        let supply = naoh_to_koh(batch.alkali.pure_naoh).0 + batch.alkali.pure_koh.0 - acids;
        if exact <= 0.0 || supply <= 0.0 {
            return None;
        }
        let half_division = design.scale_division.get() / 2.0;
        // Half widths in g KOH, with their causes; extremes with their products.
        let (mut need, mut scale_need) = (Vec::new(), Vec::new());
        let (mut least_need, mut most_need) = (0.0, 0.0);
        for (i, (line, mass)) in design.blend.lines().iter().zip(fat_masses).enumerate() {
            if mass.0 <= 0.0 {
                continue;
            }
            let (sv, range) = (line.saponification_value(), line.saponification_range());
            let weighing = half_division.min(mass.0);
            need.push((Cause::SaponificationValue(i), mass.0 * range.width() / 2000.0));
            scale_need.push(weighing * sv / 1000.0);
            least_need += (mass.0 - weighing) * range.min() / 1000.0;
            most_need += (mass.0 + weighing) * range.max() / 1000.0;
        }
        let (mut given, mut scale_given) = (Vec::new(), Vec::new());
        let (mut least_supply, mut most_supply) = (-acids, -acids);
        let alkali = &design.alkali;
        let koh_per_naoh = naoh_to_koh(Grams(1.0)).0;
        for (cause, weighed, purity, pm, worth) in [
            (Cause::NaohPurity, batch.alkali.naoh.0, alkali.naoh_purity, alkali.naoh_purity_pm, koh_per_naoh),
            (Cause::KohPurity, batch.alkali.koh.0, alkali.koh_purity, alkali.koh_purity_pm, 1.0),
        ] {
            if weighed <= 0.0 {
                continue;
            }
            // No alkali is purer than pure.
            let pm = pm.fraction().min(1.0 - purity.fraction());
            let weighing = half_division.min(weighed);
            given.push((cause, weighed * pm * worth));
            scale_given.push(weighing * purity.fraction() * worth);
            least_supply += (weighed - weighing) * (purity.fraction() - pm) * worth;
            most_supply += (weighed + weighing) * (purity.fraction() + pm) * worth;
        }
        let ratio = supply / exact;
        let of_need = |width: f64| width / exact;
        let of_supply = |width: f64| width / supply;
        let points = |relative: f64| 100.0 * ratio * relative;
        let variance = |widths: &[f64]| widths.iter().map(|w| w * w).sum::<f64>();
        let need_widths = need.iter().map(|(_, w)| *w).chain(scale_need.iter().copied());
        let need_widths: Vec<f64> = need_widths.map(of_need).collect();
        let supply_widths = given.iter().map(|(_, w)| *w).chain(scale_given.iter().copied());
        let supply_widths: Vec<f64> = supply_widths.map(of_supply).collect();
        let all = variance(&need_widths) + variance(&supply_widths);
        let driver = |cause, relative: &[f64]| Driver {
            cause,
            points: points(relative.iter().sum()),
            part: if all > 0.0 { variance(relative) / all } else { 0.0 },
        };
        let mut drivers: Vec<Driver> = need.iter().map(|(cause, w)| driver(*cause, &[of_need(*w)])).collect();
        drivers.extend(given.iter().map(|(cause, w)| driver(*cause, &[of_supply(*w)])));
        let scale: Vec<f64> =
            scale_need.into_iter().map(of_need).chain(scale_given.into_iter().map(of_supply)).collect();
        drivers.push(driver(Cause::Scale, &scale));
        drivers.retain(|d| d.points > 0.0);
        drivers.sort_by(|a, b| b.part.total_cmp(&a.part));
        Some(Self {
            low: 100.0 * (1.0 - most_supply / least_need),
            high: 100.0 * (1.0 - least_supply / most_need),
            drivers,
            ratio,
            need: need_widths,
            supply: supply_widths,
            sums: OnceLock::new(),
        })
    }

    /// The sums of need and supply, worked out when they are first asked for.
    fn sums(&self) -> &(UniformSum, UniformSum) {
        self.sums.get_or_init(|| (UniformSum::of(self.need.clone()), UniformSum::of(self.supply.clone())))
    }

    /// The chance (0–1) that the superfat is at most `percent`: that supply·(1 + Λ) is at least
    /// (1 − percent/100)·need·(1 + Ν).
    pub fn at_most(&self, percent: f64) -> f64 {
        let (need, supply) = self.sums();
        let factor = (1.0 - percent / 100.0) / self.ratio;
        need.mean(|n| 1.0 - supply.at_most(factor * (1.0 + n) - 1.0))
    }

    /// A bound on the chance that the bar is lye-heavy, at once: a sum of independent uniform
    /// quantities of the variance v exceeds t with at most the chance exp(−t²/2v), since
    /// sinh(x)/x ≤ exp(x²/6) (Chernoff's bound).
    pub fn chance_bound(&self) -> f64 {
        let squares = |widths: &[f64]| widths.iter().map(|w| w * w).sum::<f64>();
        let variance = (squares(&self.need) + self.ratio * self.ratio * squares(&self.supply)) / 3.0;
        let room = 1.0 - self.ratio;
        if self.low >= 0.0 {
            0.0
        } else if room <= 0.0 || variance <= 0.0 {
            1.0
        } else {
            (-room * room / (2.0 * variance)).exp()
        }
    }

    /// The chance that the bar is lye-heavy: that the superfat is below 0.
    pub fn chance_lye_heavy(&self) -> f64 {
        if self.low >= 0.0 { 0.0 } else { self.at_most(0.0) }
    }

    /// The interval that the distribution covers, percent of superfat.
    pub fn support(&self) -> Option<Interval> {
        let (need, supply) = self.sums();
        let at = |n: f64, s: f64| 100.0 * (1.0 - self.ratio * (1.0 + s) / (1.0 + n));
        Interval::new(at(-need.half().min(0.99), supply.half()), at(need.half(), -supply.half())).ok()
    }

    /// The superfat, percent, below which it lies with `chance` (0–1).
    pub fn quantile(&self, chance: f64) -> f64 {
        let Some(support) = self.support().filter(|s| s.width() > 0.0) else {
            return 100.0 * (1.0 - self.ratio);
        };
        let (mut low, mut high) = (support.min(), support.max());
        let (mut low_off, mut high_off) = (-chance, 1.0 - chance);
        let mut percent = support.mid();
        // False position with halved weights (the Illinois rule).
        for _ in 0..60 {
            let off = self.at_most(percent) - chance;
            if off.abs() < 1e-7 || high - low < 1e-9 {
                break;
            }
            if off > 0.0 {
                (high, high_off) = (percent, off);
                low_off *= 0.5;
            } else {
                (low, low_off) = (percent, off);
                high_off *= 0.5;
            }
            percent = (low * high_off - high * low_off) / (high_off - low_off);
        }
        percent
    }

    /// The least superfat to plan, percent, with which the chance that the bar is lye-heavy is at
    /// most `chance` (0–1): where the planned supply per need is what the quantile leaves.
    pub fn least_superfat(&self, chance: f64) -> f64 {
        let factor = (1.0 - self.quantile(chance) / 100.0) / self.ratio;
        100.0 * (1.0 - 1.0 / factor)
    }

    /// `points` equally spaced superfats over the distribution with the density there, per percent.
    pub fn curve(&self, points: usize) -> Vec<[f64; 2]> {
        let Some(support) = self.support().filter(|s| s.width() > 0.0) else { return Vec::new() };
        let step = support.width() / points as f64;
        let mut before = 0.0;
        (1..=points)
            .map(|i| {
                let to = support.min() + step * i as f64;
                let chance = self.at_most(to);
                let density = (chance - before) / step;
                before = chance;
                [to - step / 2.0, density]
            })
            .collect()
    }
}
