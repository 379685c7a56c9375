//! The lye margin: how far the superfat that results may lie from the planned one.
//!
//! Each fat's saponification value lies anywhere in its range, each alkali's purity within its ±,
//! each weighing within half a division of the scale; all are uniform and independent. That is an
//! assumption: one season or one supplier can move several fats together, so the interval of all
//! extremes at once stands beside the distribution as its outer limit.

use crate::chemistry::alkali::naoh_to_koh;
use crate::chemistry::masses::Masses;
use crate::design::Design;
use crate::formula::{Num, Plain};
use crate::library::acids::molar_mass;
use crate::units::{Grams, Interval};

mod uniform_sum;

pub use uniform_sum::UniformSum;

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
#[derive(Debug, Clone, PartialEq)]
pub struct LyeMargin {
    /// Superfat when everything differs at once in the worst way, percent.
    pub low: f64,
    /// The same in the other way.
    pub high: f64,
    /// What drives it, the strongest first.
    pub drivers: Vec<Driver>,
    /// Alkali for the fats, as planned; this and what follows per exact need.
    ratio: f64,
    /// Alkali for acids.
    acids: f64,
    /// Half widths of the need.
    need: Vec<f64>,
    /// Half widths of the supply that grow with the alkali: those of its purities.
    purities: Vec<f64>,
    /// Half widths of the supply that do not: those of its weighings.
    weighings: Vec<f64>,
}

/// A guess of where something is 0, made better by the secant rule from its first slope on.
fn secant(start: f64, first_slope: f64, (least, most): (f64, f64), mut off: impl FnMut(f64) -> f64) -> f64 {
    let (mut at, mut before) = (start, None);
    for _ in 0..20 {
        let off_now = off(at);
        let slope = before.map_or(first_slope, |(at_before, off_before)| (off_now - off_before) / (at - at_before));
        before = Some((at, off_now));
        let next = (at - off_now / slope).clamp(least, most);
        // The slope is known well enough by now for this last step to end far nearer than it began.
        if off_now.abs() < 1e-6 || (next - at).abs() < 1e-12 {
            return next;
        }
        at = next;
    }
    at
}

impl LyeMargin {
    /// The margin of `batch`, whose fats weigh `fat_masses`; `None` without fats that take alkali.
    pub fn of<N: Num>(design: &Design, batch: &Masses<N>, fat_masses: &[Grams<N>]) -> Option<Self> {
        let exact = batch.exact_koh.value();
        let acids = batch.acids_koh.value();
        let supply = naoh_to_koh(Plain, batch.alkali.pure_naoh.plain()).0 + batch.alkali.pure_koh.value() - acids;
        if exact <= 0.0 || supply <= 0.0 {
            return None;
        }
        let half_division = design.scale_division.get() / 2.0;
        // Half widths in g KOH, with their causes where each is one; extremes with their products.
        let (mut need, mut scale_need) = (Vec::new(), Vec::new());
        let (mut least_need, mut most_need) = (0.0, 0.0);
        for (i, (line, mass)) in design.blend.lines().iter().zip(fat_masses).enumerate() {
            let mass = mass.plain();
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
        let koh_per_naoh = naoh_to_koh(Plain, Grams(1.0)).0;
        for (cause, weighed, purity, pm, worth) in [
            (Cause::NaohPurity, batch.alkali.naoh.value(), alkali.naoh_purity, alkali.naoh_purity_pm, koh_per_naoh),
            (Cause::KohPurity, batch.alkali.koh.value(), alkali.koh_purity, alkali.koh_purity_pm, 1.0),
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
        for line in design.additions.iter().filter(|l| l.stage.meets_lye()) {
            let weighing = half_division.min(line.amount.mass(batch.fats.plain()).0);
            let worth = line.addition.protons_per_gram() * molar_mass::KOH;
            scale_given.push(weighing * worth);
            least_supply -= weighing * worth;
            most_supply += weighing * worth;
        }
        // Nothing can be said where a division is as much as there is to weigh.
        if least_need <= 0.0 {
            return None;
        }
        let ratio = supply / exact;
        let per_need = |width: f64| width / exact;
        let purities: Vec<f64> = given.iter().map(|(_, w)| per_need(*w)).collect();
        let weighings: Vec<f64> = scale_given.into_iter().map(per_need).collect();
        // What moves the need moves the superfat in proportion to the alkali that is there for it.
        let driver = |cause, of_need: &[f64], of_supply: &[f64]| {
            let moves = || of_need.iter().map(|w| per_need(*w) * ratio).chain(of_supply.iter().copied());
            Driver { cause, points: 100.0 * moves().sum::<f64>(), part: moves().map(|m| m * m).sum() }
        };
        let mut drivers: Vec<Driver> = need.iter().map(|(cause, w)| driver(*cause, &[*w], &[])).collect();
        drivers.extend(given.iter().zip(&purities).map(|((cause, _), w)| driver(*cause, &[], &[*w])));
        drivers.push(driver(Cause::Scale, &scale_need, &weighings));
        drivers.retain(|d| d.points > 0.0);
        let all: f64 = drivers.iter().map(|d| d.part).sum();
        for driver in &mut drivers {
            driver.part /= all;
        }
        drivers.sort_by(|a, b| b.part.total_cmp(&a.part));
        Some(Self {
            low: 100.0 * (1.0 - most_supply / least_need),
            high: 100.0 * (1.0 - least_supply / most_need),
            drivers,
            ratio,
            acids: acids / exact,
            need: need.into_iter().map(|(_, w)| w).chain(scale_need).map(per_need).collect(),
            purities,
            weighings,
        })
    }

    /// By how much `part` of the need, less the supply, may be more than planned if `ratio` is planned
    /// for the fats: `part`·Ν − Λ.
    fn excess(&self, part: f64, ratio: f64) -> UniformSum {
        let alkali = (ratio + self.acids) / (self.ratio + self.acids);
        let need = self.need.iter().map(|width| width * part.abs());
        let purities = self.purities.iter().map(|width| width * alkali);
        UniformSum::of(self.weighings.iter().copied().chain(purities).chain(need).collect())
    }

    /// The chance (0–1) that the superfat is at most `percent`: that the supply `ratio` + Λ is at
    /// least (1 − percent/100)·(1 + Ν), where Λ and Ν are sums of uniform quantities.
    pub fn at_most(&self, percent: f64) -> f64 {
        let part = 1.0 - percent / 100.0;
        self.excess(part, self.ratio).at_most(self.ratio - part)
    }

    /// A bound on the chance that the bar is lye-heavy, at once: a sum of independent uniform
    /// quantities of the variance v exceeds t with at most the chance exp(−t²/2v), since
    /// sinh(x)/x ≤ exp(x²/6) (Chernoff's bound).
    pub fn chance_bound(&self) -> f64 {
        let squares = |widths: &[f64]| widths.iter().map(|w| w * w).sum::<f64>();
        let variance = (squares(&self.need) + squares(&self.purities) + squares(&self.weighings)) / 3.0;
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

    /// The least and the most supply per need, (`ratio` + Λ)/(1 + Ν).
    fn parts(&self) -> (f64, f64) {
        let sum = |widths: &[f64]| widths.iter().sum::<f64>();
        let (need, supply) = (sum(&self.need), sum(&self.purities) + sum(&self.weighings));
        ((self.ratio - supply) / (1.0 + need), (self.ratio + supply) / (1.0 - need.min(0.99)))
    }

    /// The interval that the distribution covers, percent of superfat.
    pub fn support(&self) -> Option<Interval> {
        let (least, most) = self.parts();
        Interval::new(100.0 * (1.0 - most), 100.0 * (1.0 - least)).ok()
    }

    /// The quantile of [`Self::excess`] at `chance`, time after time for numbers near each other.
    fn excess_quantile(&self, chance: f64) -> impl FnMut(f64, f64) -> f64 {
        let mut place = 0.0;
        move |part, ratio| {
            let excess = self.excess(part, ratio);
            let quantile = excess.quantile(chance, place * excess.half());
            place = quantile / excess.half().max(f64::MIN_POSITIVE);
            quantile
        }
    }

    /// The superfat, percent, below which it lies with `chance` (0–1).
    pub fn quantile(&self, chance: f64) -> f64 {
        let mut excess = self.excess_quantile(chance);
        let part = secant(self.ratio, -1.0, self.parts(), |part| self.ratio - part - excess(part, self.ratio));
        100.0 * (1.0 - part)
    }

    /// The least superfat to plan, percent, with which the chance that the bar is lye-heavy is at
    /// most `chance` (0–1).
    pub fn least_superfat(&self, chance: f64) -> f64 {
        let mut excess = self.excess_quantile(chance);
        let ratio = secant(self.ratio, 1.0, (0.0, 2.0), |ratio| ratio - 1.0 - excess(1.0, ratio));
        100.0 * (1.0 - ratio)
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
