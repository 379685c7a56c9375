//! The lye margin: how far the superfat that results may lie from the planned one.
//!
//! Each fat's saponification value lies anywhere in its range, each alkali's purity within its ±,
//! each weighing within half a division of the scale; all are uniform and independent. That is an
//! assumption: one season or one supplier can move several fats together, so the interval of all
//! extremes at once stands beside the distribution as its outer limit.

use crate::chemistry::alkali::naoh_to_koh;
use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, mass_of};
use crate::design::Design;
use crate::formula::{Input, Num, Reading, THE_DESIGN};
use crate::library::acids::molar_mass;
use crate::number::{fixed, short, significant};
use crate::units::{Grams, Interval, Purity, PurityMargin, from_percent, in_percent};

mod uniform_sum;

pub use uniform_sum::UniformSum;

/// Chance from which on a bar that may be lye-heavy is stopped, 0–1 (model).
pub const LIKELY: f64 = 0.05;

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
pub struct Driver<N = f64> {
    /// The cause.
    pub cause: Cause,
    /// How far it moves the superfat at the most, ± points.
    pub points: N,
    /// Its part of the variance of the superfat, 0–1.
    pub part: N,
}

/// How far the superfat that results may lie from the planned one.
#[derive(Debug, Clone, PartialEq)]
pub struct LyeMargin<N = f64> {
    /// Superfat when everything differs at once in the worst way, percent.
    pub low: N,
    /// The same in the other way.
    pub high: N,
    /// What drives it, the strongest first.
    pub drivers: Vec<Driver<N>>,
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

/// A weighing, and what it is off by at the most: half a division, or all of a lesser weight.
fn off<R: Reading>(r: R, mass: R::N, half_division: f64) -> R::N {
    let half = half_division.min(mass.value());
    r.input("½ division", half, "g", || {
        let value = format!("{} g, or all of a lesser weight", short(half_division, 4));
        Input::chosen("Half a division of the scale, for each weighing", value)
    })
}

/// An alkali with what is known of it: its cause, what is weighed, its purity and ± as fractions, and
/// what a gram of it is worth in g KOH.
type Given<N> = (Cause, N, N, N, N);

/// Both alkalis of `masses`.
fn given<R: Reading>(r: R, design: &Design, masses: &Masses<R::N>) -> [Given<R::N>; 2] {
    let alkali = &design.alkali;
    // No alkali is purer than pure.
    let within = |pm: PurityMargin, purity: Purity, name: &'static str| {
        let value = pm.fraction().min(1.0 - purity.fraction());
        r.input("± purity", value, "", || Input::chosen(name, format!("± {} %", short(pm.get(), 2))))
    };
    let naoh = within(alkali.naoh_purity_pm, alkali.naoh_purity, "± of the purity of the sodium hydroxide");
    let koh = within(alkali.koh_purity_pm, alkali.koh_purity, "± of the purity of the potassium hydroxide");
    let worth = naoh_to_koh(r, Grams(R::N::from(1.0))).0;
    let (of_naoh, of_koh) = (inputs::naoh_purity(r, design), inputs::koh_purity(r, design));
    [
        (Cause::NaohPurity, masses.alkali.naoh.0, of_naoh, naoh, worth),
        (Cause::KohPurity, masses.alkali.koh.0, of_koh, koh, R::N::from(1.0)),
    ]
}

impl<N: Num> LyeMargin<N> {
    /// The margin of `masses`, whose fats weigh `fat_masses`; `None` without fats that take alkali.
    pub fn read<R: Reading<N = N>>(r: R, design: &Design, masses: &Masses<N>, fat_masses: &[Grams<N>]) -> Option<Self> {
        const MG_PER_G: f64 = 1000.0;
        let acids = masses.acids_koh.0;
        let exact = r.named("need", "g", masses.exact_koh.0, || {
            ("Exact need of the fats".into(), "Σ weight × SV ÷ 1000 over the fats, g KOH".into())
        });
        let supply = naoh_to_koh(r, masses.alkali.pure_naoh).0 + masses.alkali.pure_koh.0 - acids;
        if exact.value() <= 0.0 || supply.value() <= 0.0 {
            return None;
        }
        let half_division = design.scale_division.get() / 2.0;
        let none = N::from(0.0);
        // Half widths in g KOH, with their causes where each is one; extremes with their products.
        let (mut need, mut scale_need) = (Vec::new(), Vec::new());
        let (mut least_need, mut most_need) = (none, none);
        for (i, (line, mass)) in design.blend.lines().iter().zip(fat_masses).enumerate() {
            let mass = mass.0;
            if mass.value() <= 0.0 {
                continue;
            }
            let (sv, range) = (inputs::saponification_value(r, line), line.saponification_range());
            let about = || inputs::about_saponification_value(line);
            let (least, most) =
                (r.input("least SV", range.min(), "", about), r.input("most SV", range.max(), "", about));
            let weighing = off(r, mass, half_division);
            let width = r.input("range of SV", range.width(), "", about);
            need.push((Cause::SaponificationValue(i), mass * width / (2.0 * MG_PER_G)));
            scale_need.push(weighing * sv / MG_PER_G);
            least_need += (mass - weighing) * least / MG_PER_G;
            most_need += (mass + weighing) * most / MG_PER_G;
        }
        let (mut of_purity, mut scale_given) = (Vec::new(), Vec::new());
        let (mut least_supply, mut most_supply) = (-acids, -acids);
        for (cause, weighed, purity, pm, worth) in given(r, design, masses) {
            if weighed.value() <= 0.0 {
                continue;
            }
            let weighing = off(r, weighed, half_division);
            of_purity.push((cause, weighed * pm * worth));
            scale_given.push(weighing * purity * worth);
            least_supply += (weighed - weighing) * (purity - pm) * worth;
            most_supply += (weighed + weighing) * (purity + pm) * worth;
        }
        for line in design.additions.iter().filter(|l| l.stage.meets_lye()) {
            let Some(per_gram) = inputs::protons_per_gram(r, line) else { continue };
            let mass = mass_of(r, line, masses.fats).0;
            let weighing = off(r, mass, half_division);
            let worth = per_gram * r.constant(molar_mass::KOH);
            if line.addition.brings_fatty_acid() {
                scale_need.push(weighing * worth);
                least_need += (mass - weighing) * worth;
                most_need += (mass + weighing) * worth;
                continue;
            }
            scale_given.push(weighing * worth);
            least_supply = least_supply - weighing * worth;
            most_supply += weighing * worth;
        }
        // Nothing can be said where a division is as much as there is to weigh.
        if least_need.value() <= 0.0 {
            return None;
        }
        let ratio = r.named("alkali ÷ need", "", supply / exact, || {
            ("Alkali for the fats ÷ their exact need".into(), "as planned: one less the superfat".into())
        });
        let per_need = |width: N| width / exact;
        let purities: Vec<N> = of_purity.iter().map(|(_, w)| per_need(*w)).collect();
        let weighings: Vec<N> = scale_given.into_iter().map(per_need).collect();
        // What moves the need moves the superfat in proportion to the alkali that is there for it.
        let driver = |cause, of_need: &[N], of_supply: &[N]| {
            let moves = || of_need.iter().map(|w| per_need(*w) * ratio).chain(of_supply.iter().copied());
            let points = in_percent(r.sum(moves()));
            Driver { cause, points, part: r.sum(moves().map(|m| m * m)) }
        };
        let mut drivers: Vec<Driver<N>> = need.iter().map(|(cause, w)| driver(*cause, &[*w], &[])).collect();
        drivers.extend(of_purity.iter().zip(&purities).map(|((cause, _), w)| driver(*cause, &[], &[*w])));
        drivers.push(driver(Cause::Scale, &scale_need, &weighings));
        drivers.retain(|d| d.points.value() > 0.0);
        let all = r.sum(drivers.iter().map(|d| d.part));
        for driver in &mut drivers {
            driver.part = driver.part / all;
        }
        drivers.sort_by(|a, b| b.part.value().total_cmp(&a.part.value()));
        let plain = |widths: Vec<N>| widths.into_iter().map(Num::value).collect();
        let of_need: Vec<N> = need.into_iter().map(|(_, w)| w).chain(scale_need).map(per_need).collect();
        let one = N::from(1.0);
        Some(Self {
            low: in_percent(one - most_supply / least_need),
            high: in_percent(one - least_supply / most_need),
            drivers,
            ratio: ratio.value(),
            acids: (acids / exact).value(),
            need: plain(of_need),
            purities: plain(purities),
            weighings: plain(weighings),
        })
    }

    /// The superfat, percent, below which it lies with `chance` (0–1), as a number of a reading.
    pub fn read_quantile<R: Reading<N = N>>(&self, r: R, design: &Design, chance: f64) -> N {
        let margin = self.plain();
        let value = margin.quantile(chance);
        r.solved("superfat", value, "%", "so many batches lie below it", |x| {
            let below = r.inputs("part of batches below", margin.at_most(x.value()), "", || self.about(design));
            below - r.constant(chance)
        })
    }

    /// The chance that the bar is lye-heavy, as a number of a reading.
    pub fn read_chance_lye_heavy<R: Reading<N = N>>(&self, r: R, design: &Design) -> N {
        r.inputs("part of batches below 0 %", self.plain().chance_lye_heavy(), "", || self.about(design))
    }

    /// The least superfat to plan, percent, for the chance that `design` accepts, as a number of a reading.
    pub fn read_least_superfat<R: Reading<N = N>>(&self, r: R, design: &Design) -> N {
        let chance = inputs::accepted_chance(r, design);
        let margin = self.plain();
        let value = margin.least_superfat(chance.value());
        r.solved("superfat", value, "%", "the chance of a lye-heavy bar is the accepted one", |x| {
            let planned = 1.0 - from_percent(x.value());
            let heavy = margin.excess(1.0, planned).at_most(planned - 1.0);
            let heavy = r.inputs("chance of a lye-heavy bar", heavy, "", || self.about(design));
            heavy - chance
        })
    }

    /// What the distribution rests on.
    fn about(&self, design: &Design) -> Vec<Input> {
        let alkali = &design.alkali;
        let cause = |driver: &Driver<N>| {
            let (name, source, trust) = match driver.cause {
                Cause::SaponificationValue(i) => {
                    let line = design.blend.lines().get(i)?;
                    let range = line.saponification_range();
                    let (least, most) = (short(range.min(), 2), short(range.max(), 2));
                    let Input { source, trust, .. } = inputs::about_saponification_value(line);
                    (format!("{}: {least} to {most} mg KOH/g", line.fat.name), source, trust)
                }
                Cause::NaohPurity => {
                    let pm = short(alkali.naoh_purity_pm.get(), 2);
                    (format!("Purity of the sodium hydroxide: ± {pm} %"), THE_DESIGN.into(), None)
                }
                Cause::KohPurity => {
                    let pm = short(alkali.koh_purity_pm.get(), 2);
                    (format!("Purity of the potassium hydroxide: ± {pm} %"), THE_DESIGN.into(), None)
                }
                Cause::Scale => {
                    let division = short(design.scale_division.get(), 3);
                    (format!("Scale: half of {division} g at every weighing"), THE_DESIGN.into(), None)
                }
            };
            let (points, part) = (driver.points.value(), driver.part.value());
            let value =
                format!("± {} points of superfat, {} % of the spread", significant(points), fixed(in_percent(part), 0));
            Some(Input { name, value, source, trust })
        };
        self.drivers.iter().filter_map(cause).collect()
    }

    /// The same without how it came about.
    fn plain(&self) -> LyeMargin {
        let driver = |d: &Driver<N>| Driver { cause: d.cause, points: d.points.value(), part: d.part.value() };
        LyeMargin {
            low: self.low.value(),
            high: self.high.value(),
            drivers: self.drivers.iter().map(driver).collect(),
            ratio: self.ratio,
            acids: self.acids,
            need: self.need.clone(),
            purities: self.purities.clone(),
            weighings: self.weighings.clone(),
        }
    }
}

impl LyeMargin {
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
        let part = 1.0 - from_percent(percent);
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
        Interval::new(in_percent(1.0 - most), in_percent(1.0 - least)).ok()
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
        in_percent(1.0 - part)
    }

    /// The least superfat to plan, percent, with which the chance that the bar is lye-heavy is at
    /// most `chance` (0–1).
    pub fn least_superfat(&self, chance: f64) -> f64 {
        let mut excess = self.excess_quantile(chance);
        let ratio = secant(self.ratio, 1.0, (0.0, 2.0), |ratio| ratio - 1.0 - excess(1.0, ratio));
        in_percent(1.0 - ratio)
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
