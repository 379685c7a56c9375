//! The figures that stand beside the work: items with their names, and what the design sets.

use super::{Filled, line};
use crate::bench::method::in_jug;
use crate::bench::weighing::on_scale;
use crate::chemistry::jug::Reach;
use crate::design::mould::Mould;
use crate::number::short;
use crate::quantities::{
    About, AllFats, AnyQuantity, BarAtSale, BarCount, BarFresh, BarMm, Batter, BatterMl, CrystallisesBelow,
    JugConcentration, Meeting, Peak, text,
};
use crate::quantity::Unit;
use crate::units::{Celsius, LengthUnit, Measures, Millimetres};

/// A figure with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is.
    pub name: String,
    /// The number with its unit.
    pub value: String,
    /// The unit of what is measured beside it and noted down.
    pub blank: Option<&'static str>,
}

/// A temperature that the design sets.
fn celsius(value: f64, measures: Measures) -> String {
    Unit::Celsius.short_in(value, 1, measures)
}

/// Lengths in one unit, with times signs between them.
pub(super) fn lengths(mm: &[f64], measures: Measures) -> String {
    let number = |mm: &f64| match measures.length {
        LengthUnit::Inch => Unit::Millimetres.number_in(*mm, 0, measures),
        LengthUnit::Millimetre | LengthUnit::Centimetre => Unit::Millimetres.short_number_in(*mm, 1, measures),
    };
    let each: Vec<String> = mm.iter().map(number).collect();
    format!("{} {}", each.join(" × "), Unit::Millimetres.sign_in(measures))
}

fn figure(name: &str, value: String) -> Figure {
    Figure { name: name.into(), value, blank: None }
}

/// `quantity` with its name; `words` puts its number among others. `None` where it is not known.
fn item(about: About<'_>, quantity: &dyn AnyQuantity, words: impl Fn(&str) -> String) -> Option<Figure> {
    Some(figure(&quantity.title(about), words(&text(quantity, about).ok()?)))
}

fn alone(number: &str) -> String {
    number.into()
}

fn about_so_much(number: &str) -> String {
    format!("about {number}")
}

/// Masses and volumes of the batch, and the mould of the design as it is `designed`.
///
/// While the design is `stopped` there is no bar to sell.
pub(super) fn batch(about: About<'_>, designed: About<'_>, filled: Option<&Filled>, stopped: bool) -> Vec<Figure> {
    if about.evaluation.masses.fats.0 <= 0.0 {
        return Vec::new();
    }
    let has_bars = !about.design.alkali.makes_paste();
    let days = about.evaluation.cure.map_or(0.0, |cure| cure.days().get());
    let fresh = text(&BarFresh, about).unwrap_or_default();
    let bars = |number: &str| format!("{number} of about {fresh}, fresh");
    let at_sale = |number: &str| format!("about {number} after {} days", short(days, 1));
    let list = [
        item(about, &AllFats, alone),
        item(about, &Batter, alone),
        item(about, &BatterMl, about_so_much),
        filled.map(|filled| figure("Mould", mould(filled, about.measures))),
        filled.and_then(|_| measures(designed)).map(|measures| figure("A bar measures", measures)),
        item(about, &BarCount, bars).filter(|_| has_bars),
        item(about, &BarAtSale, at_sale).filter(|_| !stopped),
        item(about, &JugConcentration, alone),
    ];
    list.into_iter().flatten().collect()
}

/// The measures of a bar in one line; `None` without a mould to cut it from.
fn measures(about: About<'_>) -> Option<String> {
    let all: Vec<BarMm> = (0..about.bar_measures()).map(BarMm).collect();
    let number = |mm: &BarMm| {
        Some(AnyQuantity::unit(mm, about).number_in(
            mm.value(about).ok()?,
            AnyQuantity::decimals(mm, about),
            about.measures,
        ))
    };
    let unit = AnyQuantity::unit(all.first()?, about);
    let numbers = all.iter().map(number).collect::<Option<Vec<_>>>()?.join(" × ");
    // A disc is measured across and through.
    let across = if all.len() == 2 { "Ø " } else { "" };
    Some(format!("{across}{numbers} {}", unit.sign_in(about.measures)))
}

/// The mould in words.
pub(in crate::render) fn mould(filled: &Filled, measures: Measures) -> String {
    let fill = filled.fill;
    let high = |mm: Millimetres| Unit::Millimetres.text_in(mm.get() * fill.fraction(), 0, measures);
    let inside = match filled.mould {
        Mould::Loaf(c) | Mould::Slab(c) => format!(
            "{} inside, filled {} high",
            lengths(&[c.length_mm, c.width_mm, c.height_mm].map(Millimetres::get), measures),
            high(c.height_mm)
        ),
        Mould::Round { diameter_mm, length_mm } => format!(
            "tube Ø {} inside, filled {} high",
            lengths(&[diameter_mm, length_mm].map(Millimetres::get), measures),
            high(length_mm)
        ),
        Mould::Cavities { count, ml } => {
            let ml = Unit::Millilitres.short_in(ml.get(), 1, measures);
            format!("{} cavities of {ml}, filled to {} %", count.get(), short(fill.get(), 1))
        }
    };
    // At one time it is this mould; otherwise so many like it.
    if (filled.times - 1.0).abs() < 1e-12 { inside } else { format!("{} times {inside}", short(filled.times, 3)) }
}

/// What the jug holds before the alkali, and how warm.
fn jug(about: About<'_>) -> Vec<Figure> {
    let process = &about.design.process;
    let jug = in_jug(about.design, about.evaluation, about.library);
    let warmth = celsius(process.jug_water_c.map_or(process.room_c.get(), Celsius::get), about.measures);
    let ice = on_scale(jug.ice, about.design.scale_division, about.measures);
    let water = match (jug.liquid.0 > 0.0, jug.ice.0 > 0.0) {
        (true, false) => Some(warmth.clone()),
        (true, true) => Some(format!("{warmth}, {ice} as ice")),
        (false, true) => Some(format!("{ice}, all as ice")),
        (false, false) => None,
    };
    let others = (water.is_none() && jug.has_others).then(|| figure("Liquid in the jug", warmth));
    let frozen = (!jug.frozen.is_empty()).then(|| figure("Frozen in the jug", line(&jug.frozen)));
    water.map(|water| figure("Water in the jug", water)).into_iter().chain(others).chain(frozen).collect()
}

/// Temperatures at the bench, with the time to trace, which is noted down beside them.
pub(super) fn temperatures(about: About<'_>) -> Vec<Figure> {
    let process = &about.design.process;
    let celsius = |value| celsius(value, about.measures);
    let mut list = vec![figure("Room", celsius(process.room_c.get()))];
    let noted = |name: &str, value: String, unit| Figure { blank: Some(unit), ..figure(name, value) };
    let degrees = about.measures.temperature.sign();
    if let Some(calculated) = &about.evaluation.jug {
        let peak = text(&Peak, about).map_or_else(|_| "not known, hot".into(), |peak| about_so_much(&peak));
        list.extend(jug(about));
        list.push(figure(&AnyQuantity::title(&Peak, about), peak));
        let lye = celsius(process.mix_c.get());
        let lye = if calculated.ready == Some(Reach::NeverSoWarm) { format!("{lye}, or colder") } else { lye };
        list.push(noted("Lye when it is used", lye, degrees));
        list.push(noted("Fats when they meet it", celsius(process.fats_c.unwrap_or(process.mix_c).get()), degrees));
        list.extend(item(about, &Meeting, alone));
        list.extend(item(about, &CrystallisesBelow, alone));
    }
    if let Some(oven) = process.oven_gel {
        let set = format!("{}, {} min", celsius(oven.oven_c.get()), short(oven.minutes.get(), 1));
        list.push(noted("Oven", set, degrees));
    }
    list.push(noted("Time to trace", String::new(), "min"));
    list
}
