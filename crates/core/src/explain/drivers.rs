//! What drives the lye margin: how far each cause moves the superfat.

use super::figure::{Entry, Figure};
use super::sum::{number, sum};
use super::{About, Input, Parts};
use crate::chemistry::alkali::naoh_to_koh;
use crate::chemistry::margin::{Cause, Driver};
use crate::formula::Plain;
use crate::library::acids::molar_mass;
use crate::number::short;
use crate::units::Grams;

/// A number of a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum DriverFigure {
    /// How far it moves the superfat.
    Points(Cause),
    /// Its part of the variance, percent.
    Part(Cause),
}

/// The keys; N counts the causes from 0.
pub(super) const KEYS: [&str; 2] = ["margin.drivers.N.superfat_points", "margin.drivers.N.variance_part"];

impl DriverFigure {
    /// The number that `margin.drivers.` and `rest` name.
    pub(super) fn find(rest: &str, about: About<'_>) -> Option<Entry> {
        let (index, what) = rest.split_once('.')?;
        let cause = about.evaluation.margin.as_ref()?.drivers.get(index.parse::<usize>().ok()?)?.cause;
        let name = match cause {
            Cause::SaponificationValue(i) => {
                format!("saponification value of {}", about.design.blend.lines()[i].fat.name)
            }
            Cause::NaohPurity => "purity of the sodium hydroxide".into(),
            Cause::KohPurity => "purity of the potassium hydroxide".into(),
            Cause::Scale => "scale".into(),
        };
        let entry = |figure, title, unit, decimals| {
            Entry::of_design(Figure::Driver(figure), format!("margin.drivers.{rest}"), title, unit, decimals)
        };
        match what {
            "superfat_points" => {
                Some(entry(Self::Points(cause), format!("Superfat moved by the {name}, ±"), "points", 1))
            }
            "variance_part" => {
                Some(entry(Self::Part(cause), format!("Part of the superfat’s spread by the {name}"), "%", 0))
            }
            _ => None,
        }
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        let drivers = &about.margin()?.drivers;
        let of = |cause: Cause| {
            drivers.iter().find(|d| d.cause == cause).ok_or_else(|| "it does not move the superfat".to_owned())
        };
        match self {
            Self::Points(cause) => of(cause).map(|d| d.points),
            Self::Part(cause) => of(cause).map(|d| 100.0 * d.part),
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        let margin = about.margin()?;
        let driver = |cause: Cause| margin.drivers.iter().find(|d| d.cause == cause).map(|d| about.driver(d));
        match self {
            Self::Points(cause) => {
                let need = about.evaluation.masses.exact_koh;
                let mut inputs: Vec<Input> = driver(cause).into_iter().collect();
                let how = "Σ weight × SV ÷ 1000 over the fats";
                inputs.push(Input::worked_out("Exact need of the fats", format!("{} g KOH", number(need.0)), how));
                if !matches!(cause, Cause::NaohPurity | Cause::KohPurity) {
                    inputs.push(about.superfat());
                }
                Ok(Parts {
                    formula: match cause {
                        Cause::SaponificationValue(_) => {
                            "100 × weight of the fat × half the range of its SV ÷ 1000 × (1 − superfat) ÷ need"
                        }
                        Cause::NaohPurity => "100 × alkali as weighed × ± of its purity × 56.105 ÷ 39.997 ÷ need",
                        Cause::KohPurity => "100 × alkali as weighed × ± of its purity ÷ need",
                        Cause::Scale => {
                            "100 × Σ half a division × (SV ÷ 1000 × (1 − superfat), or purity in g KOH, or what an \
                             addition’s acid takes) ÷ need"
                        }
                    },
                    numbers: format!("100 × ({}) ÷ {}", sum(about.moves(cause)), number(need.0)),
                    inputs,
                    trust:
                        "The slope of the superfat along this cause times half its range: exact for small ranges. For \
                            the scale all weighings are off to the same side at once."
                            .into(),
                })
            }
            Self::Part(cause) => {
                let squares = |d: &Driver| match d.cause {
                    Cause::Scale => about.squares_of_weighings(),
                    _ => format!("{} × {}", number(d.points), number(d.points)),
                };
                let own = margin.drivers.iter().find(|d| d.cause == cause).map_or_else(String::new, squares);
                let all = sum(margin.drivers.iter().map(squares));
                Ok(Parts {
                    formula: "100 × (± points)² ÷ Σ (± points)² of all causes, for the scale of each weighing by itself",
                    numbers: format!("100 × ({own}) ÷ ({all})"),
                    inputs: margin.drivers.iter().map(|d| about.driver(d)).collect(),
                    trust: "Causes are taken as independent and even within their ranges, so their variances are a third of \
                            the squares and add up. One season can move several fats together."
                        .into(),
                })
            }
        }
    }
}

impl About<'_> {
    /// Alkali for the fats ÷ their exact need.
    fn ratio(self) -> String {
        number(1.0 - self.design.superfat.fraction())
    }

    /// Half a division of the scale, or all of a lesser weight.
    fn half_division(self, mass: Grams) -> f64 {
        (self.design.scale_division.get() / 2.0).min(mass.0)
    }

    /// By how many g KOH a cause moves need or supply, in numbers.
    fn moves(self, cause: Cause) -> Vec<String> {
        let (batch, alkali) = (&self.evaluation.masses, &self.design.alkali);
        let to_koh = " × 56.105 ÷ 39.997";
        match cause {
            Cause::SaponificationValue(i) => {
                let range = self.design.blend.lines()[i].saponification_range();
                let half = format!("({} − {}) ÷ 2", number(range.max()), number(range.min()));
                vec![format!("{} g × {half} ÷ 1000 × {}", number(self.evaluation.fat_masses[i].0), self.ratio())]
            }
            Cause::NaohPurity => {
                let pm = alkali.naoh_purity_pm.fraction().min(1.0 - alkali.naoh_purity.fraction());
                vec![format!("{} g × {}{to_koh}", number(batch.alkali.naoh.0), number(pm))]
            }
            Cause::KohPurity => {
                let pm = alkali.koh_purity_pm.fraction().min(1.0 - alkali.koh_purity.fraction());
                vec![format!("{} g × {}", number(batch.alkali.koh.0), number(pm))]
            }
            Cause::Scale => self.weighings().into_iter().map(|(numbers, _)| numbers).collect(),
        }
    }

    /// Each weighing half a division off: in numbers, and how many g KOH that is.
    fn weighings(self) -> Vec<(String, f64)> {
        let (batch, alkali) = (&self.evaluation.masses, &self.design.alkali);
        let mut all = Vec::new();
        let ratio = 1.0 - self.design.superfat.fraction();
        for (line, mass) in self.fats() {
            let (half, sv) = (self.half_division(mass), line.saponification_value());
            let numbers = format!("{} g × {} ÷ 1000 × {}", number(half), number(sv), self.ratio());
            all.push((numbers, half * sv / 1000.0 * ratio));
        }
        if batch.alkali.naoh.0 > 0.0 {
            let (half, purity) = (self.half_division(batch.alkali.naoh), alkali.naoh_purity.fraction());
            let numbers = format!("{} g × {} × 56.105 ÷ 39.997", number(half), number(purity));
            all.push((numbers, naoh_to_koh(Plain, Grams(half * purity)).0));
        }
        if batch.alkali.koh.0 > 0.0 {
            let (half, purity) = (self.half_division(batch.alkali.koh), alkali.koh_purity.fraction());
            all.push((format!("{} g × {}", number(half), number(purity)), half * purity));
        }
        for (line, mass) in self.acid_lines() {
            let half = self.half_division(mass);
            let Some(acid) = line.addition.acid.as_ref().map(|a| &a.value) else { continue };
            let (content, molar) = (number(acid.content.fraction()), short(acid.molar_mass.get(), 4));
            let numbers = format!("{} g × {content} × {} × 56.105 ÷ {molar}", number(half), acid.protons);
            all.push((numbers, half * acid.protons_per_gram() * molar_mass::KOH));
        }
        all
    }

    /// The squares of what each weighing moves, in points.
    fn squares_of_weighings(self) -> String {
        let need = self.evaluation.masses.exact_koh.0;
        sum(self.weighings().into_iter().map(|(_, koh)| {
            let points = number(100.0 * koh / need);
            format!("{points} × {points}")
        }))
    }
}
