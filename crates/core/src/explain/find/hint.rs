//! The least change that brings every score inside.

use super::{Input, Why, exact};
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::evaluate::{Evaluation, scores};
use crate::explain::Change;
use crate::find::{Move, Nudge};
use crate::library::Library;
use crate::library::estimates::{Estimate, Place};
use crate::number::short;
use crate::units::{Share, in_percent};

/// So much of the way is looked at, to see what asks for the rest.
const PART: f64 = 0.9;

/// Explains `nudge`, the hint for `design`, whose `evaluation` is given. Its shares are found, not
/// worked out by a formula: `with_numbers` gives the size of the change.
pub fn of_nudge(nudge: &Nudge, design: &Design, evaluation: &Evaluation, library: &Library) -> Why {
    let free_fat = evaluation.masses.free_fat;
    let after = scores(&nudge.blend, free_fat, library);
    let estimates = || evaluation.estimates.iter().flatten();
    let shown = |estimate: Estimate, value: f64| estimate.unit().number(value, estimate.decimals());
    let mut inputs: Vec<Input> = nudge.moves.iter().map(|m| Input::chosen(&m.fat.name, change_in_words(m))).collect();
    inputs.extend(estimates().filter_map(|r| {
        let (range, after) = (r.range?, after?.get(r.estimate));
        let (low, high) = (shown(r.estimate, range.min()), shown(r.estimate, range.max()));
        let (before, after) = (shown(r.estimate, r.value), shown(r.estimate, after));
        let value = format!("{before} → {after}, wanted {low} to {high}");
        Some(Input::worked_out(r.estimate.name(), value, "the style’s reference soaps, and the acids of both blends"))
    }));
    let squares = nudge.moves.iter().map(|m| {
        let by = exact((m.to - m.from).abs());
        format!("{by} × {by}")
    });
    let size: f64 = nudge.moves.iter().map(|m| (m.to - m.from).powi(2)).sum();
    let moves: Vec<String> = nudge.moves.iter().map(|m| format!("{} {}", m.fat.name, change_in_words(m))).collect();
    let part = scores(&part_of_the_way(nudge, design), free_fat, library);
    let changes = estimates().filter_map(|r| {
        let (range, value) = (r.range?, part?.get(r.estimate));
        let place = Place::of(r.estimate, value, range);
        (place != Place::Inside).then(|| Change {
            what: format!("only {} % of the way", short(in_percent(PART), 0)),
            effect: format!("{} {} is {}", r.estimate.name().to_lowercase(), shown(r.estimate, value), place.word()),
        })
    });
    Why {
        ranges: Vec::new(),
        is_difference: false,
        key: "nudge".into(),
        title: "The least change that brings every score inside".into(),
        value: moves.join(", "),
        formula:
            "the shares with the least Σ (share − share now)² at which every score lies in its range, locked fats \
                  held: solved step by step, there is no closed formula"
                .into(),
        with_numbers: format!("{} = {} squared percent", crate::explain::sum(squares), exact(size)),
        inputs,
        trust:
            "Exact for the fats’ typical profiles, then rounded to tenths of a percent where that does too. The scores \
                are estimates by composition, and their ranges are where a few reference soaps lie."
                .into(),
        changes: changes.take(super::MOST_CHANGES).collect(),
    }
}

/// "60 → 55.2 %".
fn change_in_words(change: &Move) -> String {
    format!("{} → {} %", short(change.from, 1), short(change.to, 1))
}

fn part_of_the_way(nudge: &Nudge, design: &Design) -> Blend {
    let part = |line: &FatLine| {
        let from = design.blend.line(&line.fat.id).map_or(0.0, |l| l.share.get());
        FatLine { share: Share::nearest(from + PART * (line.share.get() - from)), ..line.clone() }
    };
    // The same fats once each, as in the blend they come from.
    Blend::new(nudge.blend.lines().iter().map(part).collect()).unwrap_or_else(|_| nudge.blend.clone())
}
