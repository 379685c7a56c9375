//! Why a blend that was found has so much of a fat.

use super::{Input, Sought, Why, effect, exact};
use crate::design::blend::{Blend, FatLine};
use crate::explain::Change;
use crate::find::{Exchange, Found, ShareStep};
use crate::number::short;
use crate::quantities::OfFound;

/// An objective lower by less is no better.
const BETTER: f64 = 1e-9;

impl Sought<'_> {
    pub(super) fn share(self, found: &Found, position: usize) -> Result<Why, String> {
        let blend = &found.blend;
        let value = OfFound::Share(position).text(found, self)?;
        let line = blend.lines().get(position).ok_or("the blend has no such fat")?;
        let account = self.account()?;
        let strange = "a fat of it is not among those that may be used";
        let here = account.objective(blend).ok_or(strange)?;
        let exchanges = account.exchanges(blend, position).ok_or(strange)?;
        let (unit, step) = (OfFound::Objective.unit(self), account.step());
        let more = best(exchanges.iter().filter(|e| e.more == position));
        let less = best(exchanges.iter().filter(|e| e.less == position));
        let nearest = [more, less].into_iter().flatten();
        let mut numbers = vec![format!("objective {} {unit} with {value}", exact(here))];
        numbers.extend(nearest.clone().map(|e| format!("{} with {}", exact(e.objective), in_words(e, step, blend))));
        let change = |e: &Exchange| {
            let breaks =
                if e.breaks.is_empty() { String::new() } else { format!(", but breaks {}", e.breaks.join(", ")) };
            let by = effect(e.objective - here, &format!("{unit} of the objective"));
            Change { what: in_words(e, step, blend), effect: format!("{by}{breaks}") }
        };
        let formula = match self.wanted.step {
            ShareStep::Any => {
                "the shares of any size with the least objective within all limits: solved step by step, there is no \
                 closed formula"
            }
            ShareStep::One | ShareStep::Five => {
                "the shares with the least objective within all limits, in whole steps: found by search, there is no \
                 closed formula"
            }
        };
        Ok(Why {
            ranges: Vec::new(),
            is_difference: false,
            key: String::new(),
            title: String::new(),
            value,
            formula: formula.into(),
            with_numbers: numbers.join("; "),
            inputs: self.limits(line, &exchanges, here, blend, step),
            trust: OfFound::Share(position).trust(self),
            changes: nearest.map(change).collect(),
        })
    }

    /// What holds the share, then what bounds it.
    fn limits(self, line: &FatLine, exchanges: &[Exchange], here: f64, blend: &Blend, step: f64) -> Vec<Input> {
        let mut better: Vec<&Exchange> = exchanges.iter().filter(|e| e.objective < here - BETTER).collect();
        better.sort_by(|a, b| a.objective.total_cmp(&b.objective));
        let holds = if self.is_held(line) {
            "it is held, so there was nothing to choose".into()
        } else if let Some(gain) = better.iter().find(|e| e.breaks.is_empty()) {
            let saved = OfFound::Objective.shown(here - gain.objective, self);
            let words = in_words(gain, step, blend);
            format!(
                "nothing among its own fats: {words} would save {saved}, so the search has not ended, or the limits of \
                 another blend found before keep it from that"
            )
        } else if !better.is_empty() {
            let gain = |e: &&Exchange| {
                let saved = OfFound::Objective.shown(here - e.objective, self);
                format!("{}: {} would save {saved}", e.breaks.join(", "), in_words(e, step, blend))
            };
            better.iter().map(gain).collect::<Vec<_>>().join("; ")
        } else {
            "the objective itself: every step to or from another fat of the blend costs more".into()
        };
        let mut inputs = vec![Input::worked_out("What holds it", holds, "every exchange of one step within the blend")];
        if let Some(candidate) = self.wanted.candidates.iter().find(|c| c.line.fat.id == line.fat.id) {
            let (least, most) = (short(candidate.least.get(), 2), short(candidate.most.get(), 2));
            let value = match (candidate.is_held(), candidate.has_acids()) {
                (true, false) => format!("held at {least} %: none of its acids is tabled"),
                (true, true) => format!("held at {least} %"),
                (false, _) => format!("{least} to {most} %"),
            };
            inputs.push(Input::chosen(&format!("{} may have", line.fat.name), value));
        }
        let limits = self.wanted.limits_in_words();
        if !limits.is_empty() {
            inputs.push(Input::chosen("Limits of the blend", limits.join(", ")));
        }
        inputs.extend(self.practices());
        inputs
    }
}

/// The exchange with the least objective, of those that break nothing if there are such.
fn best<'a>(exchanges: impl Iterator<Item = &'a Exchange>) -> Option<&'a Exchange> {
    exchanges.min_by(|a, b| {
        a.breaks.is_empty().cmp(&b.breaks.is_empty()).reverse().then(a.objective.total_cmp(&b.objective))
    })
}

/// "1 % more olive oil for 1 % less coconut oil".
fn in_words(exchange: &Exchange, step: f64, blend: &Blend) -> String {
    let (step, lines) = (short(step, 2), blend.lines());
    let (more, less) = (&lines[exchange.more].fat.name, &lines[exchange.less].fat.name);
    format!("{step} % more {more} for {step} % less {less}")
}
