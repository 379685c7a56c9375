//! Lye into the fats, into the mould, and what lies on top.

use super::{Bench, Item, Step, after, handled, names};
use crate::library::additions::Stage;
use crate::library::handling::How;

/// The steps from the lye to the filled mould.
pub(super) fn steps(bench: &Bench<'_>) -> Vec<Step> {
    let mut steps = Vec::new();
    if bench.evaluation.masses.alkali.weighed().0 > 0.0 {
        steps.push(Step::from(
            "Lye into the fats, never the other way: through a sieve, in a thin stream along the blender’s shaft or a spatula.",
        ));
    }
    steps.push(
        "Set the blender’s head in at a slant and tap the air out of it; blend in short bursts and stir between."
            .into(),
    );
    steps.push(
        "Emulsion: even, no streaks of oil. Light trace: a drop leaves a mark for a moment. Medium: the mark stays. Thick: it \
         stands like pudding."
            .into(),
    );
    steps.push(until(bench).into());
    at_trace(bench, &mut steps);
    let poured = match &bench.evaluation.cure {
        Some(_) => format!("Pour; the batter is about {}.", bench.volume(bench.evaluation.masses.batter_ml)),
        None => "Pour.".into(),
    };
    steps.push(format!("{poured} Tap the air out.").into());
    steps
}

/// How far it is blended.
fn until(bench: &Bench<'_>) -> String {
    let (later, before): (Vec<Item<'_>>, Vec<Item<'_>>) =
        bench.thickening().into_iter().partition(|item| item.stage == Stage::AtTrace);
    // A scent seizes it; sugars and the like only hurry it.
    let soon = |items: &[Item<'_>]| if items.iter().any(|i| i.addition.is_none()) { "at once" } else { "fast" };
    if !before.is_empty() {
        return format!(
            "With {} it can thicken {}: blend little, stir by hand, have the mould at hand and go on from the emulsion. Note \
             the time to trace.",
            names(&before),
            soon(&before)
        );
    }
    if !later.is_empty() {
        return format!(
            "Blend to light trace and note the time. With {}, stirred in next, it can thicken {}: then stir by hand, and have \
             the mould at hand.",
            names(&later),
            soon(&later)
        );
    }
    let until = if bench.is_salt_bar() {
        "Blend to light trace"
    } else if !bench.at(Stage::OnTop, |_| true).is_empty() {
        "Blend to medium trace, so that the top carries what lies on it"
    } else {
        "Blend to light or medium trace; for swirls light, for piping thick"
    };
    format!("{until}. Note the time to trace.")
}

fn at_trace(bench: &Bench<'_>, steps: &mut Vec<Step>) {
    let additions = bench.at(Stage::AtTrace, |item| item.addition.is_some());
    let mut bulk = Vec::new();
    let mut rest = Vec::new();
    for item in additions {
        // So much salt stays as grains.
        let is_bulk = bench.is_salt_bar() && item.is(How::Dissolve);
        (if is_bulk { &mut bulk } else { &mut rest }).push(item);
    }
    // What thickens at once leaves no time to wait for trace.
    let is_fast = bench.thickening().iter().any(|item| item.stage != Stage::AtTrace);
    let when = if is_fast { "Once it is an emulsion" } else { "At trace" };
    if !rest.is_empty() {
        steps.push(handled(&rest, format!("{when}, stir in: {}.", names(&rest))));
    }
    let scents = bench.at(Stage::AtTrace, |item| item.addition.is_none());
    if !scents.is_empty() {
        steps.push(handled(&scents, format!("{when}, stir in the scent: {}.", names(&scents))));
    }
    let ricing = bench.at(Stage::AtTrace, |item| item.rices);
    if !ricing.is_empty() {
        let text = format!(
            "If {} parts the batter into grains, blend in short bursts until it is smooth again, and pour.",
            names(&ricing)
        );
        steps.push(text.into());
    }
    if !bulk.is_empty() {
        let text = format!(
            "At light trace, stir in dry and evenly: {}. It stays as grains; the batter sets fast.",
            names(&bulk)
        );
        steps.push(handled(&bulk, text));
    }
}

/// The steps on the filled mould.
pub(super) fn decoration(bench: &Bench<'_>) -> Vec<Step> {
    let top = bench.at(Stage::OnTop, |_| true);
    if top.is_empty() {
        return Vec::new();
    }
    let mut steps = Vec::new();
    let lines = after::cutting_lines(bench);
    let between = if lines.is_some() { " between the cutting lines, so that nothing lies under the knife" } else { "" };
    let text =
        format!("Gloves on, for the batter is caustic. Lay on and press down lightly{between}: {}.", names(&top));
    steps.push(handled(&top, text));
    if let Some(lines) = lines {
        steps.push(lines.into());
    }
    steps
}
