//! What to do at the bench, and the figures that stand beside it.

use super::{Figure, Filled, WeighingRow};
use crate::bench::weighing::{self, Vessel};
use crate::design::mould::{BarShape, Mould};
use crate::design::{Design, Surroundings};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::additions::Stage;
use crate::number::{fixed, short};
use crate::units::Celsius;

/// Steps of work under a heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// What is made.
    pub heading: &'static str,
    /// The steps, in order.
    pub steps: Vec<String>,
}

fn celsius(value: f64) -> String {
    format!("{} °C", short(value, 1))
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
pub(super) fn passages(design: &Design, evaluation: &Evaluation, rows: &[WeighingRow]) -> Vec<Passage> {
    if evaluation.masses.fats.0 <= 0.0 {
        return Vec::new();
    }
    vec![
        Passage { heading: "Make the lye", steps: lye(design, evaluation, rows) },
        Passage { heading: "Mix and pour", steps: mix(design, evaluation, rows) },
    ]
}

fn lye(design: &Design, evaluation: &Evaluation, rows: &[WeighingRow]) -> Vec<String> {
    let Some(jug) = &evaluation.jug else { return Vec::new() };
    let process = &design.process;
    let mut steps = vec!["Goggles, gloves and sleeves on; window open; children and animals out.".to_owned()];
    let room = jug.volume_ml().map_or_else(String::new, |ml| format!(": the lye fills about {} ml", fixed(ml, 0)));
    steps.push(format!(
        "Weigh the water into a tall jug of stainless steel, or of polypropylene marked for that heat, never aluminium, standing in the sink{room}."
    ));
    let more = names(rows, Stage::IntoJug);
    if !more.is_empty() {
        steps.push(format!("Stir in before the alkali until dissolved: {more}."));
    }
    let frozen = weighing::frozen(Plain, design, &evaluation.masses);
    if frozen.0 > 0.0 {
        let water = evaluation.masses.water_to_weigh;
        steps.push(if frozen.0 <= water.0 {
            format!(
                "{} g of that water was frozen beforehand: the ice goes in last, before the alkali.",
                fixed(frozen.0, 0)
            )
        } else {
            format!("{} g of what goes into the jug was frozen beforehand and goes in last.", fixed(frozen.0, 0))
        });
    }
    let hot = match jug.peak {
        Ok(peak) => format!("It warms to up to about {}", celsius(peak.round())),
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
    let wait = jug.minutes_to_mix().map_or_else(String::new, |m| format!(", about {} min", fixed(m, 0)));
    steps.push(format!("{stands} until it has {}{wait}; measure it.", celsius(process.mix_c.get())));
    steps
}

fn mix(design: &Design, evaluation: &Evaluation, rows: &[WeighingRow]) -> Vec<String> {
    let process = &design.process;
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
    steps.push(match &evaluation.cure {
        Some(_) => format!("Pour; the batter is about {} ml. Tap the air out.", fixed(evaluation.masses.batter_ml, 0)),
        None => "Pour. Tap the air out.".into(),
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
    } else if let Some(work) = process.rest.work() {
        steps.push(work.into());
    }
    steps
}

fn figure(name: &'static str, value: String) -> Figure {
    Figure { name, value }
}

/// Masses and volumes of the batch, and the mould.
pub(super) fn batch(evaluation: &Evaluation, filled: Option<&Filled>) -> Vec<Figure> {
    let batch = &evaluation.masses;
    if batch.fats.0 <= 0.0 {
        return Vec::new();
    }
    let mut list = vec![
        figure("All fats", format!("{} g", fixed(batch.fats.0, 0))),
        figure("Batter", format!("{} g, about {} ml", fixed(batch.batter.0, 0), fixed(batch.batter_ml, 0))),
    ];
    if let Some(filled) = filled {
        list.push(figure("Mould", mould(filled)));
        if let Some(bar) = filled.mould.bar(filled.fill, filled.bars) {
            list.push(figure("A bar measures", measures(bar)));
        }
    }
    list.push(figure("Bars", format!("{} of about {} g fresh", batch.bars, fixed(batch.bar_fresh.0, 0))));
    if let Some(cure) = &evaluation.cure {
        let days = short(cure.days().get(), 1);
        list.push(figure(
            "A bar at sale",
            format!("about {} g, {days} days after cutting", fixed(cure.bar_at_sale(Plain).0, 0)),
        ));
    }
    if let Some(jug) = &evaluation.jug {
        list.push(figure("Lye in the jug", format!("{} %", fixed(jug.concentration, 1))));
    }
    list
}

fn measures(bar: BarShape) -> String {
    match bar {
        BarShape::Block([a, b, c]) => format!("{} × {} × {} mm", fixed(a, 0), fixed(b, 0), fixed(c, 0)),
        BarShape::Disc { diameter, thickness } => format!("Ø {} × {} mm", fixed(diameter, 0), fixed(thickness, 0)),
    }
}

fn mould(filled: &Filled) -> String {
    let fill = filled.fill;
    let inside = match filled.mould {
        Mould::Loaf(c) | Mould::Slab(c) => format!(
            "{} × {} × {} mm inside, filled {} mm high",
            short(c.length_mm.get(), 1),
            short(c.width_mm.get(), 1),
            short(c.height_mm.get(), 1),
            fixed(c.height_mm.get() * fill.fraction(), 0)
        ),
        Mould::Round { diameter_mm, length_mm } => format!(
            "tube Ø {} × {} mm inside, filled {} mm high",
            short(diameter_mm.get(), 1),
            short(length_mm.get(), 1),
            fixed(length_mm.get() * fill.fraction(), 0)
        ),
        Mould::Cavities { count, ml } => {
            format!("{} cavities of {} ml, filled to {} %", count.get(), short(ml.get(), 1), short(fill.get(), 1))
        }
    };
    // At one time it is this mould; otherwise so many like it.
    if (filled.times - 1.0).abs() < 1e-12 { inside } else { format!("{} times {inside}", short(filled.times, 3)) }
}

/// Temperatures at the bench.
pub(super) fn temperatures(design: &Design, evaluation: &Evaluation) -> Vec<Figure> {
    let process = &design.process;
    let mut list = vec![figure("Room", celsius(process.room_c.get()))];
    let Some(jug) = &evaluation.jug else { return list };
    let water = celsius(process.jug_water_c.map_or(process.room_c.get(), Celsius::get));
    let frozen = weighing::frozen(Plain, design, &evaluation.masses);
    let ice = if frozen.0 > 0.0 { format!(", and {} g frozen", fixed(frozen.0, 0)) } else { String::new() };
    list.push(figure("Water in the jug", format!("{water}{ice}")));
    list.push(figure(
        "Lye at its peak, up to about",
        match jug.peak {
            Ok(peak) => celsius(peak.round()),
            Err(_) => "not known, hot".into(),
        },
    ));
    list.push(figure("Lye when it is used", celsius(process.mix_c.get())));
    list.push(figure("Fats when they meet it", celsius(process.fats_c.unwrap_or(process.mix_c).get())));
    if let Some(meeting) = jug.meeting {
        list.push(figure("Both together", celsius(meeting.round())));
    }
    if let Some(below) = jug.crystallises_below {
        list.push(figure("Lye crystallises below", celsius(below.round())));
    }
    if let Some(oven) = process.oven_gel {
        list.push(figure("Oven", format!("{}, {} min", celsius(oven.oven_c.get()), short(oven.minutes.get(), 1))));
    }
    list
}
