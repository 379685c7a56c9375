//! What the scents bring of limited substances and of allergens.

use super::figure::{Entry, Figure};
use super::sum::{finely, grams, sum};
use super::{About, Input, Parts};
use crate::chemistry::masses::DRY_PART;
use crate::formula::Plain;
use crate::library::material::Trust;
use crate::library::scents::{Holding, LimitFigure};
use crate::number::{fixed, places, short, significant};
use crate::units::Grams;

/// The percent of a substance in the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum ScentFigure {
    /// Of what the library's limit at this position is about.
    Limited(usize),
    /// Of the allergen at this position in the library.
    Allergen(usize),
}

/// The keys; N counts the findings from 0.
pub(super) const KEYS: [&str; 2] = ["scent_limits.N.bar_pct", "label.allergen_findings.N.bar_pct"];

const NONE: &str = "the scents bring none of it";

impl ScentFigure {
    /// The number that `key` names.
    pub(super) fn find(key: &str, about: About<'_>) -> Option<Entry> {
        let (list, rest) = key.strip_suffix(".bar_pct")?.rsplit_once('.')?;
        let index: usize = rest.parse().ok()?;
        let (figure, name) = match list {
            "scent_limits" => {
                let name = about.evaluation.scents.findings.get(index)?.substance.clone();
                (Self::Limited(about.library.limits.iter().position(|l| l.substance == name)?), name)
            }
            "label.allergen_findings" => {
                let name = about.label().ok()?.allergens.findings.get(index)?.name.clone();
                (Self::Allergen(about.library.allergens.iter().position(|a| a.name == name)?), name)
            }
            _ => return None,
        };
        let title = match figure {
            Self::Limited(_) => format!("{name} in the bar dried out, at most"),
            Self::Allergen(_) => format!("{name} in the bar at sale, at most"),
        };
        let decimals = places(figure.value(about).ok()?, 3);
        Some(Entry::of_design(Figure::Scents(figure), key.into(), title, "%", decimals))
    }

    pub(super) fn value(self, about: About<'_>) -> Result<f64, String> {
        match self {
            Self::Limited(index) => {
                let name = about.library.limits.iter().nth(index).map(|l| &l.substance);
                let found = about.evaluation.scents.findings.iter().find(|f| Some(&f.substance) == name);
                found.map(|f| f.percent).ok_or_else(|| NONE.into())
            }
            Self::Allergen(index) => {
                let name = about.library.allergens.iter().nth(index).map(|a| &a.name);
                let findings = about.label()?.allergens.findings;
                findings.iter().find(|f| Some(&f.name) == name).map(|f| f.percent).ok_or_else(|| NONE.into())
            }
        }
    }

    pub(super) fn parts(self, about: About<'_>) -> Result<Parts, String> {
        let batch = &about.evaluation.masses;
        let (mut terms, mut inputs) = (Vec::new(), Vec::new());
        for (line, mass) in about.design.scents.iter().zip(&about.evaluation.scents.masses).filter(|(_, m)| m.0 > 0.0) {
            let holdings = match self {
                Self::Limited(index) => about.library.limits.holdings(&line.scent, index),
                Self::Allergen(index) => about.library.allergens.holdings(&line.scent, index),
            };
            if !holdings.is_empty() {
                let fractions = sum(holdings.iter().map(|h| short(h.fraction(), 8)));
                let fractions = if holdings.len() > 1 { format!("({fractions})") } else { fractions };
                terms.push(format!("{} × {fractions}", finely(*mass)));
            }
            inputs.extend(holdings.into_iter().map(|holding| held_by(holding, &line.scent.name, *mass)));
        }
        let terms = sum(terms);
        let is_remembered = inputs.iter().any(|input| input.trust == Some(Trust::FromMemory));
        let remembered = if is_remembered { " A figure from memory may not be the largest." } else { "" };
        Ok(match self {
            Self::Limited(index) => {
                let (dried, water) = (batch.dried(), batch.water_in_batter());
                let dry = if dried < batch.batter {
                    format!("(({} − {}) ÷ {})", finely(batch.batter), finely(water), short(DRY_PART, 2))
                } else {
                    finely(batch.batter)
                };
                inputs.push(Input::worked_out("All bars, dried out", grams(dried), "to 9 % of water, the least"));
                let limit = about.library.limits.iter().nth(index);
                inputs.extend(limit.and_then(|limit| {
                    let LimitFigure::Most(most) = limit.figure else { return None };
                    let (value, source) = (format!("{} %", significant(most)), limit.source.clone());
                    Some(Input { name: "Limit".into(), value, source, trust: Some(limit.trust) })
                }));
                Parts {
                    formula: "100 × Σ scent × largest published part ÷ ((batter − water) ÷ 0.91), the batter at most",
                    numbers: format!("100 × ({terms}) ÷ {dry}"),
                    inputs,
                    trust: about.forecast(&format!(
                        "As much as there can be by the figures held: the largest of each over the lightest bar that \
                         the drying allows.{remembered} Your lot’s certificate is better.",
                    )),
                }
            }
            Self::Allergen(_) => {
                let (bars, of_bars) = about.bars_at_sale()?;
                inputs.extend(of_bars);
                Parts {
                    formula: "100 × Σ scent × largest published part ÷ (bar at sale × bars)",
                    numbers: format!("100 × ({terms}) ÷ ({bars})"),
                    inputs,
                    trust: format!(
                        "More than there will be on the day of sale: the largest published figures, as if nothing \
                         evaporated or were taken apart by lye. The bar dries on: the percent can still rise to {} \
                         times this.{remembered} A supplier’s certificate is better. It is named on the label over 0.01 %.",
                        fixed(about.cure()?.bar_at_sale(Plain).0 * f64::from(batch.bars) / batch.dried().0, 2)
                    ),
                }
            }
        })
    }
}

/// A figure that counts, with its source.
fn held_by(holding: Holding<'_>, scent: &str, mass: Grams) -> Input {
    match holding {
        Holding::All => {
            Input::worked_out(scent, format!("all of {}", grams(mass)), "the whole scent is what is looked for")
        }
        Holding::Constituent(c) => Input {
            name: format!("{} in {scent}", c.name),
            value: format!("{} % of {} at most", short(c.most.get(), 4), grams(mass)),
            source: c.source.clone(),
            trust: Some(c.trust),
        },
    }
}
