//! What a blend comes to, how much better another could be, and what a range holds back.

use super::{Input, Sought, Why, effect, exact, strongest};
use crate::explain::Change;
use crate::find::{Aim, Found, Outcome};
use crate::number::short;
use crate::quantities::{OfFound, OfSearch};

/// A range is loosened by so many points for its multiplier: little enough for a slope.
const LITTLE: f64 = 0.001;

impl Sought<'_> {
    pub(super) fn objective(self, found: &Found) -> Result<Why, String> {
        let account = self.account()?;
        let mut effects = self.more_of_each(&found.blend, found.objective, |blend| account.objective(blend));
        if self.wanted.aim == Aim::Cheapest {
            effects.extend(self.dearer(&found.blend));
        }
        let changes = strongest(effects, &OfFound::Objective.unit_of_difference(self));
        let mut why = self.told(OfFound::Objective, found)?;
        why.inputs.extend(self.practices());
        Ok(Why { changes, ..why })
    }

    pub(super) fn gap(self, outcome: &Outcome) -> Result<Why, String> {
        let value = OfSearch::Gap.text(outcome, self)?;
        let known = outcome.results.last().zip(outcome.lower_bound);
        let (last, bound) = known.ok_or("no blend is found, or nothing is known of the others yet")?;
        let in_unit = |objective| OfFound::Objective.shown(objective, self);
        let goes_on = || Change { what: "the search going on".into(), effect: "falls, to 0 once it is proven".into() };
        let difference = format!("{} − {}", exact(last.objective), exact(bound.min(last.objective)));
        let how = "the best that shares of any size allow in what is still to be looked at";
        Ok(Why {
            ranges: Vec::new(),
            is_difference: false,
            key: String::new(),
            title: String::new(),
            formula: "objective of the last blend − the least that any other can have".into(),
            with_numbers: format!("{difference} = {value}"),
            value,
            inputs: vec![
                Input::worked_out(
                    &OfFound::Objective.title(&format!("blend {}", outcome.results.len()), Some(last), self),
                    in_unit(last.objective),
                    "its own explanation",
                ),
                Input::worked_out("Lower bound", in_unit(bound), how),
            ],
            trust:
                "A bound, not a guess: no blend of other fats than those found before it is better by more, as far as \
                    the typical profiles and this model go. How much better one really is can be anything from 0 to it."
                    .into(),
            changes: if outcome.done { Vec::new() } else { vec![goes_on()] },
        })
    }

    pub(super) fn saves(self, position: usize, outcome: &Outcome) -> Result<Why, String> {
        let binding = OfSearch::binding(position, outcome)?;
        let value = OfSearch::Saves(position).text(outcome, self)?;
        let demand = &binding.demand;
        let account = self.account()?;
        let loosened = |points| {
            let solved = account.loosened(position, points);
            solved.ok_or("the search with this range looser did not settle")
        };
        let (little, whole) = (loosened(LITTLE)?, loosened(1.0)?);
        // The difference to four digits.
        let digits = (3..=12_u8).find(|d| LITTLE * binding.saves * 10_f64.powi(i32::from(*d)) >= 1e4).unwrap_or(12);
        let number = |v: f64| short(v, usize::from(digits));
        let solved = "the best shares of any size, of any number of fats, solved anew";
        let unit = OfFound::Objective.unit(self);
        let with_unit = |v: f64| format!("{} {unit}", number(v));
        let in_unit = |v: f64| OfFound::Objective.shown(v, self);
        Ok(Why {
            ranges: Vec::new(),
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
                effect: effect(whole.after - whole.before, &format!("{unit} of the objective")),
            }],
            title: String::new(),
        })
    }
}
