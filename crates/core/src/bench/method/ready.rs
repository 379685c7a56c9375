//! What stands ready before anything is mixed.

use super::{Bench, Step, jug, names, prepared};
use crate::bench::weighing::What;
use crate::formula::Plain;
use crate::library::additions::{AdditionKind, Stage};
use crate::library::handling::How;

/// The steps of getting ready.
pub(super) fn steps(bench: &Bench<'_>) -> Vec<Step> {
    let mut steps = beforehand(bench);
    steps.push(
        "Goggles, gloves and long sleeves on; window open; children, all others and animals out of the room.".into(),
    );
    let least = bench.evaluation.jug.as_ref().and_then(|jug| jug.least_jug_ml(Plain).ok());
    let room = least.map_or_else(String::new, |ml| format!(" that holds at least {}", bench.volume(ml)));
    steps.push(
        format!(
            "A tall jug of stainless steel, or of polypropylene marked for that heat{room}, stands in the sink, labelled LYE. \
             No glass, and never aluminium, tin or zinc anywhere."
        )
        .into(),
    );
    let soft = if bench.jug.water.0 > 0.0 { " Distilled or soft water: hard water leaves lime soap." } else { "" };
    steps.push(
        format!(
            "Weigh the alkali dry and apart. Weigh everything before the lye is made; you cannot leave it later.{soft}"
        )
        .into(),
    );
    let scents: Vec<_> = bench.items.iter().filter(|item| matches!(item.what, What::Scent(_))).copied().collect();
    if !scents.is_empty() {
        steps.push(prepared(&scents, format!("Have the scent measured, closed and at hand: {}.", names(&scents))));
    }
    let oven = bench.design.process.oven_gel;
    let stands = if oven.is_some() { "; it fits the oven and stands its heat" } else { "" };
    steps.push(format!("Tools out; mould out and lined{stands}.").into());
    if let Some(oven) = oven.filter(|oven| !super::after::is_too_hot(*oven)) {
        steps.push(format!("Preheat the oven to {}.", bench.temperature(oven.oven_c.get())).into());
    }
    steps
}

/// What is done the day before, or with a fire that is out before the lye is made.
fn beforehand(bench: &Bench<'_>) -> Vec<Step> {
    let mut steps = Vec::new();
    let jug = &bench.jug;
    let all = |test: &dyn Fn(&super::Item<'_>) -> bool| -> Vec<super::Item<'_>> {
        bench.items.iter().filter(|item| test(item)).copied().collect()
    };
    let alcohol = all(&|item| item.addition.is_some_and(|a| a.alcohol.get() > 0.0));
    if !alcohol.is_empty() {
        let text = format!("Boil alcohol and gas off {}, let it go cold, and weigh it then.", names(&alcohol));
        steps.push(prepared(&alcohol, text));
    }
    let purees =
        all(&|item| item.addition.is_some_and(|a| a.kind == AdditionKind::Puree && a.handling().how == How::Freeze));
    if !purees.is_empty() {
        steps.push(prepared(&purees, format!("Make fine and free of lumps: {}.", names(&purees))));
    }
    if !jug.has_liquid() && !jug.dissolved.is_empty() && !jug.frozen_names().is_empty() {
        let into = jug.frozen_names();
        let into = if into == jug::ICE { "the water" } else { &into };
        steps.push(prepared(&jug.dissolved, format!("Before freezing, stir into {into}: {}.", names(&jug.dissolved))));
    }
    let mut frozen = jug.frozen.clone();
    if jug.frozen_liquids != jug::Frozen::Nothing {
        frozen.extend(&jug.liquids);
    }
    if !frozen.is_empty() {
        let part = if let jug::Frozen::Part(part) = jug.frozen_liquids {
            format!(" ({} as ice)", bench.mass(part))
        } else {
            String::new()
        };
        // Where more of the same goes in unfrozen, so much of it is meant.
        let is_more = |item: &super::Item<'_>| {
            bench.items.iter().any(|other| other.name == item.name && frozen.iter().all(|f| f.what != other.what))
        };
        let each: Vec<String> =
            frozen
                .iter()
                .map(|item| {
                    if is_more(item) { format!("{} of {}", bench.mass(item.mass), item.name) } else { item.name.into() }
                })
                .collect();
        let each = super::listed(each.iter().map(String::as_str));
        let mut step = prepared(&frozen, format!("The day before, weigh and freeze in small pieces: {each}{part}."));
        if jug.ice.0 > 0.0 {
            step.text = format!("{} Freeze {} of the water too.", step.text, bench.on_scale(jug.ice));
            step.prepares.push(What::Water);
        }
        steps.push(step);
    } else if jug.ice.0 > 0.0 {
        let text = format!("The day before, freeze {} of the water in small pieces.", bench.on_scale(jug.ice));
        steps.push(Step { text, prepares: vec![What::Water], ..Step::default() });
    }
    let top = bench.at(Stage::OnTop, |_| true);
    if !top.is_empty() {
        steps.push(prepared(&top, format!("Have at hand for the top: {}.", names(&top))));
    }
    steps
}
