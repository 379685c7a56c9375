//! The numbers of a search for a blend: of a blend that was found, and of the search itself.
//!
//! They are not of one design but of what was looked for, so they are no [`Quantity`](super::Quantity);
//! name, unit, digits, formula and trust stand here once all the same.

use crate::design::Design;
use crate::find::{Account, Aim, Binding, Found, Measure, Outcome, Rule, ShareStep, Wanted, differs, read_differs};
use crate::formula::{Plain, Reading};
use crate::library::Library;
use crate::number::{fixed, short, significant};
use std::str::FromStr;

/// What was looked for.
#[derive(Debug, Clone, Copy)]
pub struct Sought<'a> {
    /// The demands.
    pub wanted: &'a Wanted,
    /// The design that it is for.
    pub design: &'a Design,
    /// The tables.
    pub library: &'a Library,
}

/// A number of a blend that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfFound {
    /// The price of a kilogram of its fats.
    PricePerKg,
    /// What the aim and the soft ranges come to.
    Objective,
    /// The share of the fat at this position of the blend.
    Share(usize),
    /// Percent in which it differs from the aim.
    Differs,
}

/// A number of a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfSearch {
    /// Of the result at this position.
    Found(usize, OfFound),
    /// How much better than the last result another blend could be.
    Gap,
    /// What the binding range at this position would save, a point looser.
    Saves(usize),
}

/// The patterns of the keys, in which N and M stand for positions that count from 0.
pub const SEARCH_KEYS: [&str; 6] = [
    "results.N.cost_per_kg_fats",
    "results.N.objective",
    "results.N.fats.M.share_pct",
    "results.N.differs_pct",
    "gap",
    "binding.N.saves",
];

/// A key that no number of a search has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no number of a search is called “{key}”; choose one of {}", SEARCH_KEYS.join(", "))]
pub struct UnknownSearchKey {
    /// What was asked for.
    pub key: String,
}

impl OfFound {
    /// Its key within those of a blend.
    pub fn key(self) -> String {
        match self {
            Self::PricePerKg => "cost_per_kg_fats".into(),
            Self::Objective => "objective".into(),
            Self::Share(position) => format!("fats.{position}.share_pct"),
            Self::Differs => "differs_pct".into(),
        }
    }

    /// What it is called beside its blend.
    pub const fn name(self, of: Sought<'_>) -> &'static str {
        match (self, &of.wanted.aim) {
            (Self::PricePerKg, _) => "Price of a kilogram of fats",
            (Self::Objective, _) => "Objective",
            (Self::Share(_), _) => "Share",
            (Self::Differs, Aim::Nearest(_)) => "Acids that differ from the aim",
            (Self::Differs, Aim::SmallestChange | Aim::Cheapest) => "Exchanged of the blend",
        }
    }

    /// The same of a blend that is so `called`.
    pub fn title(self, called: &str, found: Option<&Found>, of: Sought<'_>) -> String {
        let Self::Share(position) = self else { return format!("{}, {called}", self.name(of)) };
        let line = found.and_then(|f| f.blend.lines().get(position));
        let fat = line.map_or_else(|| format!("fat {}", position + 1), |l| l.fat.name.clone());
        format!("Share of {fat} in {called}")
    }

    /// Its unit.
    pub fn unit(self, of: Sought<'_>) -> String {
        match self {
            Self::PricePerKg => Aim::Cheapest.unit(&of.design.currency),
            Self::Objective => of.wanted.aim.unit(&of.design.currency),
            Self::Share(_) | Self::Differs => "%".into(),
        }
    }

    /// The unit of a difference.
    pub fn unit_of_difference(self, of: Sought<'_>) -> String {
        match self {
            Self::PricePerKg | Self::Objective => self.unit(of),
            Self::Share(_) | Self::Differs => "points".into(),
        }
    }

    /// `value` as it is shown, without its unit. How large an objective is depends on the aim and on how
    /// near it is, so three digits of it are shown.
    pub fn number(self, value: f64) -> String {
        match self {
            Self::PricePerKg => fixed(value, 2),
            Self::Objective => significant(value),
            Self::Share(_) => short(value, 2),
            Self::Differs => fixed(value, 1),
        }
    }

    /// `value` as it is shown.
    pub fn shown(self, value: f64, of: Sought<'_>) -> String {
        format!("{} {}", self.number(value), self.unit(of))
    }

    /// The number of `found`.
    ///
    /// # Errors
    /// The reason why there is none.
    pub fn value(self, found: &Found, of: Sought<'_>) -> Result<f64, String> {
        match self {
            // As the search has it.
            Self::Objective => Ok(found.objective),
            Self::Differs => differs(&found.blend, of.wanted, of.design, of.library).ok_or_else(|| NO_PROFILE.into()),
            Self::PricePerKg | Self::Share(_) => self.read(Plain, found, of),
        }
    }

    /// The number of `found` with its unit.
    ///
    /// # Errors
    /// The reason why there is none.
    pub fn text(self, found: &Found, of: Sought<'_>) -> Result<String, String> {
        Ok(self.shown(self.value(found, of)?, of))
    }

    /// The number of `found` in any reading; shares are found and have no formula.
    ///
    /// # Errors
    /// The reason why there is none.
    pub fn read<R: Reading>(self, r: R, found: &Found, of: Sought<'_>) -> Result<R::N, String> {
        let currency = &of.design.currency;
        match self {
            Self::PricePerKg => of.wanted.read_price_per_kg(r, &found.blend, currency),
            Self::Objective => {
                let account = Account::of(of.wanted, of.library).map_err(|e| e.to_string())?;
                account.read_objective(r, &found.blend, currency)
            }
            Self::Share(position) => {
                let lines = found.blend.lines();
                let line = lines.get(position).ok_or_else(|| format!("the blend has {}", count(lines.len(), "fat")))?;
                Ok(crate::chemistry::inputs::share_percent(r, line))
            }
            Self::Differs => {
                let differs = read_differs(r, &found.blend, of.wanted, of.design, of.library);
                differs.ok_or_else(|| NO_PROFILE.into())
            }
        }
    }

    /// How far to trust it.
    pub fn trust(self, of: Sought<'_>) -> String {
        match self {
            Self::PricePerKg => {
                "As good as the prices typed; fats alone, without lye, scent or what is left in a pack.".into()
            }
            Self::Objective => of.trust_of_objective(),
            Self::Share(_) => {
                "The objective is exact for the fats’ typical profiles and this model only. Where a step costs little, \
                 the share could as well be a step off."
                    .into()
            }
            Self::Differs => match of.wanted.aim {
                Aim::Nearest(_) => {
                    "From the fats’ typical profiles; two seasons of one fat differ by a few percent.".into()
                }
                Aim::SmallestChange | Aim::Cheapest => "Arithmetic on the shares: what has to be exchanged.".into(),
            },
        }
    }
}

const NO_PROFILE: &str = "no fat of it has a tabled profile of acids";

/// "1 blend", "3 blends".
pub(crate) fn count(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

impl Sought<'_> {
    fn trust_of_objective(self) -> String {
        let mut trust = String::from(
            "Exact for the fats’ typical profiles and this model of a bar; a proof that no blend is better holds for \
             those only, not for the fats of one’s own shelf.",
        );
        if self.wanted.demands.iter().any(|d| d.rule == Rule::May) {
            trust.push_str(match self.wanted.aim {
                Aim::Cheapest => {
                    " What it costs to leave a soft range is our judgement: a hundredth of the mean price of the fats for \
                     each squared point, where a point of keeping counts as 20."
                }
                _ => {
                    " What it costs to leave a soft range is our judgement: a squared percent for each squared point, \
                     where a point of keeping counts as 20."
                }
            });
        }
        if self.wanted.demands.iter().any(|d| d.rule == Rule::May && d.measure == Measure::SaturatedPerUnsaturated) {
            trust.push_str(" A ratio is left by percent of the acids, not by its own unit.");
        }
        trust.push_str(match self.wanted.step {
            ShareStep::Any => " The shares are rounded to a ten-thousandth of a percent.",
            _ => " A percent more of a fat is told below whatever the steps are.",
        });
        if self.wanted.aim == Aim::Cheapest {
            trust.push_str(" It is as good as the prices typed.");
        }
        trust
    }
}

impl OfSearch {
    /// Its place in the JSON of the search.
    ///
    /// ```
    /// use barwright_core::quantities::{OfFound, OfSearch};
    /// let share = OfSearch::Found(0, OfFound::Share(1));
    /// assert_eq!(share.key(), "results.0.fats.1.share_pct");
    /// assert_eq!(share.key().parse(), Ok(share));
    /// ```
    pub fn key(self) -> String {
        match self {
            Self::Found(position, number) => format!("results.{position}.{}", number.key()),
            Self::Gap => "gap".into(),
            Self::Saves(position) => format!("binding.{position}.saves"),
        }
    }

    /// What it is.
    pub fn title(self, outcome: &Outcome, of: Sought<'_>) -> String {
        match self {
            Self::Found(position, number) => {
                number.title(&format!("blend {}", position + 1), outcome.results.get(position), of)
            }
            Self::Gap => "How much better than the last another blend could be".into(),
            Self::Saves(position) => {
                let binding = outcome.binding.get(position);
                let demand = binding.map_or_else(|| format!("range {}", position + 1), |b| b.demand.clone());
                format!("What is held back by {demand}")
            }
        }
    }

    /// The number.
    ///
    /// # Errors
    /// The reason why there is none.
    pub fn value(self, outcome: &Outcome, of: Sought<'_>) -> Result<f64, String> {
        match self {
            Self::Found(position, number) => number.value(Self::found(position, outcome)?, of),
            Self::Gap => outcome.gap().ok_or_else(|| "no blend is found, or nothing is known of the others yet".into()),
            Self::Saves(position) => Self::binding(position, outcome).map(|binding| binding.saves),
        }
    }

    /// The number with its unit.
    ///
    /// # Errors
    /// The reason why there is none.
    pub fn text(self, outcome: &Outcome, of: Sought<'_>) -> Result<String, String> {
        let value = self.value(outcome, of)?;
        Ok(match self {
            Self::Found(_, number) => number.shown(value, of),
            Self::Gap => OfFound::Objective.shown(value, of),
            Self::Saves(_) => format!("{} for each point", OfFound::Objective.shown(value, of)),
        })
    }

    /// The result at `position`.
    ///
    /// # Errors
    /// How many there are.
    pub(crate) fn found(position: usize, outcome: &Outcome) -> Result<&Found, String> {
        let results = &outcome.results;
        results.get(position).ok_or_else(|| format!("{} were found", count(results.len(), "blend")))
    }

    /// The range at `position` of those that bind.
    ///
    /// # Errors
    /// How many there are.
    pub(crate) fn binding(position: usize, outcome: &Outcome) -> Result<&Binding, String> {
        let binding = &outcome.binding;
        binding.get(position).ok_or_else(|| format!("{} bind", count(binding.len(), "range")))
    }
}

impl FromStr for OfSearch {
    type Err = UnknownSearchKey;

    fn from_str(key: &str) -> Result<Self, Self::Err> {
        let unknown = || UnknownSearchKey { key: key.into() };
        let position = |text: &str| text.parse::<usize>().ok();
        let parts: Vec<&str> = key.split('.').collect();
        let parsed = match parts.as_slice() {
            ["gap"] => Some(Self::Gap),
            ["binding", n, "saves"] => position(n).map(Self::Saves),
            ["results", n, number @ ..] => {
                let number = match number {
                    ["cost_per_kg_fats"] => Some(OfFound::PricePerKg),
                    ["objective"] => Some(OfFound::Objective),
                    ["fats", m, "share_pct"] => position(m).map(OfFound::Share),
                    ["differs_pct"] => Some(OfFound::Differs),
                    _ => None,
                };
                position(n).zip(number).map(|(n, number)| Self::Found(n, number))
            }
            _ => None,
        };
        parsed.ok_or_else(unknown)
    }
}
