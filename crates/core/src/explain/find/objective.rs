//! What a blend comes to, how much better another could be, and what a range holds back.

use super::{Input, Sought, Why, WhyError, effect, exact, strongest};
use crate::explain::Change;
use crate::find::{Aim, Found, Measure, Outcome, Rule, ShareStep, What};
use crate::number::{short, significant};

/// A range is loosened by so many points for its multiplier: little enough for a slope.
const LITTLE: f64 = 0.001;

impl Sought<'_> {
    pub(super) fn objective(self, found: &Found) -> Result<Why, String> {
        const STRANGE: &str = "a fat of it is not among those that may be used";
        let account = self.account()?;
        let terms = account.terms(&found.blend).ok_or(STRANGE)?;
        let unit = self.unit();
        let is_cheapest = self.wanted.aim == Aim::Cheapest;
        let mut numbers = Vec::new();
        let mut inputs = Vec::new();
        if is_cheapest {
            numbers.push(self.price_in_numbers(&found.blend)?);
            inputs.extend(self.pack_prices(&found.blend));
        }
        for term in &terms {
            let off = exact(term.off.abs());
            let is_plain = (term.weight - 1.0).abs() < f64::EPSILON;
            let weight = if is_plain { String::new() } else { format!("{} × ", exact(term.weight)) };
            numbers.push(format!("{weight}{off} × {off}"));
            let sign = if term.off < 0.0 { '\u{2212}' } else { '+' };
            let by = format!("{sign}{}", significant(term.off.abs()));
            inputs.push(match &term.what {
                What::Acid { name, wanted } => {
                    let value = format!("{by} % of the acids against {} % wanted", significant(*wanted));
                    Input::worked_out(name, value, "the shares and the fats’ typical profiles")
                }
                What::Share { name, wanted } => {
                    let value = format!("{by} % of the blend against {} % in the design", short(*wanted, 2));
                    Input::worked_out(name, value, "the shares of both")
                }
                What::Range(words) => {
                    let counts = if is_plain { "once".into() } else { format!("{} times", significant(term.weight)) };
                    let value = format!("left by {}, whose square counts {counts}", significant(term.off.abs()));
                    let how = "the blend’s number, unrounded, against the end of the range";
                    Input::worked_out(&format!("May: {words}"), value, how)
                }
            });
        }
        let value = format!("{} {unit}", significant(found.objective));
        let mut changes = self.more_of_each(&found.blend, found.objective, |blend| account.objective(blend));
        if is_cheapest {
            changes.extend(self.dearer(&found.blend));
        }
        Ok(Why {
            is_difference: false,
            key: String::new(),
            title: String::new(),
            with_numbers: format!("{} = {value}", crate::explain::sum(numbers)),
            value,
            formula: match &self.wanted.aim {
                Aim::Cheapest => "Σ share × price of a kilogram ÷ 100 + Σ weight × (how far a soft range is left)²",
                Aim::Nearest(_) => "Σ (acid − acid wanted)² in percent + Σ weight × (how far a soft range is left)²",
                Aim::SmallestChange => {
                    "Σ (share − share in the design)² in percent + Σ weight × (how far a soft range is left)²"
                }
            }
            .into(),
            inputs,
            trust: self.trust_of_objective(),
            changes: strongest(changes, &unit),
        })
    }

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

    pub(super) fn gap(self, outcome: &Outcome) -> Result<Why, WhyError> {
        let title = "How much better than the last another blend could be";
        let last = outcome.results.last().zip(outcome.lower_bound).zip(outcome.gap());
        let ((last, bound), gap) = last.ok_or_else(|| WhyError::NotKnown {
            title: title.into(),
            reason: "no blend is found, or nothing is known of the others yet".into(),
        })?;
        let unit = self.unit();
        let value = format!("{} {unit}", significant(gap));
        let goes_on = || Change { what: "the search going on".into(), effect: "falls, to 0 once it is proven".into() };
        let difference = format!("{} − {}", exact(last.objective), exact(bound.min(last.objective)));
        let how = "the best that shares of any size allow in what is still to be looked at";
        Ok(Why {
            is_difference: false,
            key: String::new(),
            title: title.into(),
            formula: "objective of the last blend − the least that any other can have".into(),
            with_numbers: format!("{difference} = {value}"),
            value,
            inputs: vec![
                Input::worked_out(
                    &format!("Objective of blend {}", outcome.results.len()),
                    format!("{} {unit}", significant(last.objective)),
                    "its own explanation",
                ),
                Input::worked_out("Lower bound", format!("{} {unit}", significant(bound)), how),
            ],
            trust:
                "A bound, not a guess: no blend of other fats than those found before it is better by more, as far as \
                    the typical profiles and this model go. How much better one really is can be anything from 0 to it."
                    .into(),
            changes: if outcome.done { Vec::new() } else { vec![goes_on()] },
        })
    }

    pub(super) fn saves(self, position: usize, outcome: &Outcome) -> Result<Why, WhyError> {
        let binding = outcome.binding.get(position);
        let demand = binding.map_or_else(|| format!("range {}", position + 1), |b| b.demand.clone());
        let title = format!("What is held back by {demand}");
        let not_known = |reason: String| WhyError::NotKnown { title: title.clone(), reason };
        let binding =
            binding.ok_or_else(|| not_known(format!("{} bind", super::count(outcome.binding.len(), "range"))))?;
        let account = self.account().map_err(not_known)?;
        let loosened = |points| {
            let solved = account.loosened(position, points);
            solved.ok_or_else(|| not_known("the search with this range looser did not settle".into()))
        };
        let (little, whole) = (loosened(LITTLE)?, loosened(1.0)?);
        let unit = format!("{} for each point", self.unit());
        let value = format!("{} {unit}", significant(binding.saves));
        // The difference to four digits.
        let digits = (3..=12_u8).find(|d| LITTLE * binding.saves * 10_f64.powi(i32::from(*d)) >= 1e4).unwrap_or(12);
        let number = |v: f64| short(v, usize::from(digits));
        let solved = "the best shares of any size, of any number of fats, solved anew";
        let with_unit = |v: f64| format!("{} {}", number(v), self.unit());
        let in_unit = |v: f64| format!("{} {}", significant(v), self.unit());
        Ok(Why {
            is_difference: false,
            key: String::new(),
            formula:
                "multiplier of the range: (objective − objective with the range a little looser) ÷ how much looser"
                    .into(),
            with_numbers: format!(
                "({} − {}) ÷ {} = {value}",
                number(little.before),
                number(little.after),
                short(LITTLE, 4)
            ),
            value,
            inputs: vec![
                Input::worked_out("Objective as it is", with_unit(little.before), solved),
                Input::worked_out(
                    &format!("Objective {} of a point looser", short(LITTLE, 4)),
                    with_unit(little.after),
                    solved,
                ),
                Input::worked_out("Objective a whole point looser", in_unit(whole.after), solved),
            ],
            trust:
                "A slope at the range as it is: the next points save no more, and often less. It is for shares of any \
                    size, so the blend in steps may gain more or nothing at all."
                    .into(),
            changes: vec![Change {
                what: format!("{demand}, a whole point looser"),
                effect: effect(whole.after - whole.before, &format!("{} of the objective", self.unit())),
            }],
            title,
        })
    }
}
