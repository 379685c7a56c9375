//! What to do at the bench.

use super::WeighingRow;
use super::figures::celsius;
use crate::bench::weighing::Vessel;
use crate::design::Surroundings;
use crate::library::additions::Stage;
use crate::number::short;
use crate::quantities::{About, AnyQuantity, BatterMl, Frozen, LyeMl, MinutesToMix, Peak, Unknown, WaterToWeigh, text};

/// Steps of work under a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// What is made.
    pub heading: &'static str,
    /// The steps, in order.
    pub steps: Vec<String>,
}

/// The names of what goes in at `stage`, in the order of the rows; empty if there is nothing.
fn names(rows: &[WeighingRow], stage: Stage) -> String {
    use crate::bench::weighing::What::{Addition, Scent};
    let of_stage = rows.iter().filter(|r| r.vessel == Vessel::At(stage) && matches!(r.what, Addition(_) | Scent(_)));
    let names: Vec<&str> = of_stage.map(|r| r.name.as_str()).collect();
    names.join(", ")
}

/// The work, from the water in the jug to the filled mould (common practice, no source; the numbers
/// are the design's).
pub(super) fn passages(about: About<'_>, rows: &[WeighingRow]) -> Vec<Passage> {
    if about.evaluation.masses.fats.0 <= 0.0 {
        return Vec::new();
    }
    vec![
        Passage { heading: "Make the lye", steps: lye(about, rows) },
        Passage { heading: "Mix and pour", steps: mix(about, rows) },
    ]
}

fn lye(about: About<'_>, rows: &[WeighingRow]) -> Vec<String> {
    if about.evaluation.jug.is_none() {
        return Vec::new();
    }
    let process = &about.design.process;
    let mut steps = vec!["Goggles, gloves and sleeves on; window open; children and animals out.".to_owned()];
    let room = text(&LyeMl, about).map_or_else(|_| String::new(), |ml| format!(": the lye fills about {ml}"));
    steps.push(format!(
        "Weigh the water into a tall jug of stainless steel, or of polypropylene marked for that heat, never aluminium, standing in the sink{room}."
    ));
    let more = names(rows, Stage::IntoJug);
    if !more.is_empty() {
        steps.push(format!("Stir in before the alkali until dissolved: {more}."));
    }
    if let (Ok(grams), Ok(frozen), Ok(water)) = (text(&Frozen, about), Frozen.value(about), WaterToWeigh.value(about))
        && frozen > 0.0
    {
        steps.push(if frozen <= water {
            format!("{grams} of that water was frozen beforehand: the ice goes in last, before the alkali.")
        } else {
            format!("{grams} of what goes into the jug was frozen beforehand and goes in last.")
        });
    }
    let hot = match text(&Peak, about).map_err(Unknown::reason) {
        Ok(peak) => format!("It warms to up to about {peak}"),
        Err(why) => format!("How hot it gets is not known: {why}"),
    };
    steps.push(format!(
        "Weigh the alkali dry and apart. Alkali into the water, never water onto alkali: a little at a time, stirring until \
         clear. {hot}; do not breathe the mist."
    ));
    let stands = match process.jug_stands {
        Surroundings::Air => "Let it stand safely".to_owned(),
        Surroundings::Bath(bath) => format!("Stand it in a water bath of {}", celsius(bath.get())),
    };
    let wait = text(&MinutesToMix, about).map_or_else(|_| String::new(), |minutes| format!(", about {minutes}"));
    steps.push(format!("{stands} until it has {}{wait}; measure it.", celsius(process.mix_c.get())));
    steps
}

fn mix(about: About<'_>, rows: &[WeighingRow]) -> Vec<String> {
    let process = &about.design.process;
    let fats_c = process.fats_c.unwrap_or(process.mix_c).get();
    let mut steps = vec![format!("Melt the fats together and bring them to {}.", celsius(fats_c))];
    let into_fats = names(rows, Stage::IntoFats);
    if !into_fats.is_empty() {
        steps.push(format!("Stir into the fats: {into_fats}; bring them back to {}.", celsius(fats_c)));
    }
    steps.push("Lye into the fats, in a thin stream; stir, then blend in short bursts to trace.".into());
    let at_trace = names(rows, Stage::AtTrace);
    if !at_trace.is_empty() {
        steps.push(format!("At trace, stir in: {at_trace}."));
    }
    steps.push(match text(&BatterMl, about) {
        Ok(batter) => format!("Pour; the batter is about {batter}. Tap the air out."),
        Err(_) => "Pour. Tap the air out.".into(),
    });
    let on_top = names(rows, Stage::OnTop);
    if !on_top.is_empty() {
        steps.push(format!("On top: {on_top}."));
    }
    if let Some(oven) = process.oven_gel {
        steps.push(format!(
            "Into the oven at {} for {} min, then leave it in to cool.",
            celsius(oven.oven_c.get()),
            short(oven.minutes.get(), 1)
        ));
    }
    steps
}
