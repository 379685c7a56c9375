//! The figures that stand beside the work.

use super::{Figure, Filled};
use crate::bench::weighing;
use crate::design::Design;
use crate::design::mould::{BarShape, Mould};
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::number::{fixed, short};
use crate::units::Celsius;

fn celsius(value: f64) -> String {
    format!("{} °C", short(value, 1))
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
