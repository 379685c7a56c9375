//! The report for a terminal.

use super::label::write_label;
use crate::bench::colour;
use crate::bench::weighing::{self, What};
use crate::cautions::{self, ALWAYS, Caution};
use crate::chemistry::cure::SETTLED_PERCENT;
use crate::chemistry::spread::End;
use crate::cost::Cost;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::additions::Stage;
use crate::library::estimates::Place;
use crate::number::{fixed, short, significant};
use crate::quantities::{
    self, About, AcidPercent, AnyQuantity, BarAtSale, BarOnDay, Carotenes, FatShare, FattyMatterAtSale, Frozen, LISTED,
    LimitedPercent, MaterialCost, OfBar, OfMaterial, Score, Section, SettledDay, StyleEnd, WaterFrom, WaterRowMass,
    When, of_weight,
};
use crate::render::plain;
use crate::units::Purity;
use std::fmt::Write as _;

/// Columns for a name.
const WIDTH: usize = 42;

impl About<'_> {
    /// A line with `quantity`, and what else is said of it.
    fn line(self, out: &mut String, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        self.number(out, &quantity.title(self), quantity, more)
    }

    /// The same where the heading says what it is, and `name` what it is of.
    fn number(self, out: &mut String, name: &str, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        let unit = quantity.unit(self);
        let value = quantity.value(self).map(|value| unit.number_in(value, quantity.decimals(self), self.measures));
        let sign = unit.sign_in(self.measures);
        let sign = if sign.is_empty() { String::new() } else { format!(" {sign}") };
        let (value, sign) = value.map_or_else(|_| ("not known".into(), String::new()), |value| (value, sign));
        writeln!(out, "  {name:<WIDTH$}{value:>10}{sign}{more}")
    }

    /// The same where there is a value.
    fn known(self, out: &mut String, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        if quantity.value(self).is_ok() { self.line(out, quantity, more) } else { Ok(()) }
    }

    /// All that stands under the heading of `section`.
    fn listed(self, out: &mut String, section: Section) -> std::fmt::Result {
        for listed in LISTED {
            let Some((_, when)) = listed.report.filter(|(of, _)| *of == section) else { continue };
            let words = (listed.words)(self);
            match when {
                When::Always => self.line(out, listed.quantity, &words)?,
                When::Known => self.known(out, listed.quantity, &words)?,
                When::Some => self.some(out, listed.quantity, &words)?,
            }
        }
        Ok(())
    }

    /// The same where it is more than nothing.
    fn some(self, out: &mut String, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        if quantity.value(self).is_ok_and(|value| value > 0.0) { self.line(out, quantity, more) } else { Ok(()) }
    }
}

/// The report as text of at most 80 columns or so, for a terminal.
pub fn text(design: &Design, evaluation: &Evaluation, library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_text(&mut out, design, evaluation, library);
    plain(&out)
}

fn write_text(out: &mut String, design: &Design, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    let about = About::new(design, evaluation, library);
    let name = if design.name.is_empty() { "Unnamed design" } else { &design.name };
    writeln!(out, "{name}\n{}\n", "=".repeat(name.chars().count()))?;
    let cautions = cautions::of(design, evaluation, library);
    for caution in &cautions {
        writeln!(out, "{}", caution.line())?;
    }
    if !cautions.is_empty() {
        writeln!(out)?;
    }
    write_weights(out, about)?;
    for line in design.additions.iter().filter(|l| !l.addition.advice.is_empty()) {
        writeln!(out, "  {}: {}", line.addition.name, line.addition.advice)?;
    }

    writeln!(out, "\nThe batch")?;
    about.listed(out, Section::Batch)?;

    write_margin(out, about)?;
    write_water(out, about)?;
    write_jug(out, about)?;
    write_cure(out, about, cautions.iter().any(Caution::blocks))?;
    write_colour(out, about)?;
    write_cost(out, about)?;
    write_limits(out, about)?;
    write_label(out, about)?;

    writeln!(out, "\nThe blend")?;
    about.listed(out, Section::Blend)?;

    if let Some(estimates) = &evaluation.estimates {
        writeln!(out, "\nThe bar: estimates by composition; range: where “{}” bars lie", design.style)?;
        for result in estimates {
            let number = |quantity: &dyn AnyQuantity| {
                let value = quantity.value(about).ok()?;
                Some(quantity.unit(about).number(value, quantity.decimals(about)))
            };
            let ends = End::BOTH.map(|end| number(&StyleEnd(result.estimate, end)));
            let range = ends.into_iter().collect::<Option<Vec<_>>>().map_or_else(String::new, |ends| ends.join("–"));
            let value = crate::quantities::text(&Score(result.estimate), about).unwrap_or_default();
            let place = result.place.map_or("", Place::word);
            let (low, high) = result.estimate.ends();
            let name = result.estimate.name();
            writeln!(out, "  {name:<18}{value:>8}  {range:>11}  {place:<7} ({low} to {high})")?;
        }
    }
    write_acids(out, about)?;
    writeln!(out, "\nAlways")?;
    for line in ALWAYS {
        writeln!(out, "  - {line}")?;
    }
    Ok(())
}

/// The colour in words; what is told of a shade stands on its basis.
fn write_colour(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let Some(forecast) = colour::forecast(about.design, about.evaluation, about.library) else { return Ok(()) };
    writeln!(out, "\nThe colour")?;
    about.some(out, &Carotenes, "")?;
    for line in forecast.words(about.design) {
        writeln!(out, "  {line}")?;
    }
    if forecast.shades(1.0).is_some() && forecast.is_visible() {
        writeln!(out, "  {}", forecast.basis_words())?;
        if let Some(words) = forecast.over_time() {
            writeln!(out, "  {words}")?;
        }
    }
    Ok(())
}

fn write_weights(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let About { design, evaluation, .. } = about;
    writeln!(out, "To weigh")?;
    let pure = |purity: Purity| format!("   {} % pure", short(purity.get(), 2));
    let stage = |stage: Stage| format!("   {}", stage.words().to_lowercase());
    for weight in weighing::weights(design, evaluation) {
        let more = match weight.what {
            What::Fat(i) => {
                let share = FatShare(design.blend.lines()[i].fat.id.clone());
                format!("   {:>8}", quantities::text(&share, about).unwrap_or_default())
            }
            What::Water => String::new(),
            What::SodiumHydroxide => pure(design.alkali.naoh_purity),
            What::PotassiumHydroxide => pure(design.alkali.koh_purity),
            What::Addition(i) => stage(design.additions[i].stage),
            What::Scent(i) => stage(design.scents[i].stage),
        };
        if let Some(quantity) = of_weight(weight.what, design) {
            about.number(out, weight.name, quantity.as_ref(), &more)?;
        }
        if weight.what == What::Water {
            about.some(out, &Frozen, "   ice, frozen milk or puree")?;
        }
    }
    Ok(())
}

fn write_acids(out: &mut String, about: About<'_>) -> std::fmt::Result {
    /// What rounds to nothing is not listed.
    const LEAST: f64 = 0.05;
    let acids = about.library.acids.iter().map(|(id, acid)| (AcidPercent(id), acid));
    let mut there = acids.filter(|(quantity, _)| quantity.value(about).is_ok_and(|v| v >= LEAST)).peekable();
    if there.peek().is_some() {
        writeln!(out, "\nFatty acids, percent")?;
    }
    for (quantity, acid) in there {
        let value = quantity.value(about).unwrap_or_default();
        let (label, decimals) = (format!("{} ({})", acid.name, acid.key), AnyQuantity::decimals(&quantity, about));
        writeln!(out, "  {label:<WIDTH$}{:>10}", fixed(value, decimals))?;
    }
    Ok(())
}

fn write_water(out: &mut String, about: About<'_>) -> std::fmt::Result {
    writeln!(out, "\nWhere the water comes from")?;
    for row in &about.evaluation.water {
        let Some(from) = WaterFrom::of(row.source, about.design) else { continue };
        let stage = row.stage.words().to_lowercase();
        let more = if row.counted { format!("   {stage}") } else { format!("   {stage}, not counted") };
        about.line(out, &WaterRowMass(from), &more)?;
    }
    about.listed(out, Section::Water)
}

fn write_jug(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let Some(jug) = &about.evaluation.jug else { return Ok(()) };
    writeln!(out, "\nThe jug")?;
    about.listed(out, Section::Jug)?;
    cautions::usual_heat(jug).map_or(Ok(()), |heat| writeln!(out, "  {heat}"))
}

fn write_cure(out: &mut String, about: About<'_>, stopped: bool) -> std::fmt::Result {
    let Some(cure) = &about.evaluation.cure else { return Ok(()) };
    writeln!(out, "\nThe cure, forecast")?;
    let on = cure.days();
    if !stopped {
        about.line(
            out,
            &BarAtSale,
            &format!(", day {} of the cure: a forecast, not the weight to declare", short(on.get(), 1)),
        )?;
    }
    about.line(out, &BarOnDay(on, OfBar::Water), "")?;
    about.line(out, &FattyMatterAtSale, "")?;
    about.known(
        out,
        &SettledDay,
        &format!(" of the cure: then it loses under {} % a week", short(SETTLED_PERCENT, 1)),
    )?;
    writeln!(out, "  {}", cure.shape_words())
}

fn write_cost(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let About { design, evaluation, .. } = about;
    let Some(cost) = Cost::of(design, evaluation).filter(|_| !design.prices.is_empty()) else { return Ok(()) };
    writeln!(out, "\nThe cost of what is used, {}", design.currency)?;
    let missing: Vec<&str> = cost.missing().collect();
    if !missing.is_empty() {
        writeln!(out, "  No price for {}: all sums are too low", missing.join(", "))?;
    }
    about.listed(out, Section::Cost)?;
    for line in cost.lines() {
        let number = |what| {
            let quantity = MaterialCost(line.material.clone(), what);
            quantities::text(&quantity, about).ok()
        };
        let (Some(packs), Some(left)) = (number(OfMaterial::Packs), number(OfMaterial::Left)) else { continue };
        let used = MaterialCost(line.material.clone(), OfMaterial::Mass);
        about.number(out, &line.name, &used, &format!("   {packs} to buy, {left} left"))?;
    }
    Ok(())
}

fn write_limits(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let findings = &about.evaluation.scents.findings;
    if !findings.is_empty() {
        writeln!(out, "\nScents: most in the dried bar, limits of the fragrance trade")?;
    }
    for f in findings {
        let memory = if f.from_memory { ", partly from memory" } else { "" };
        let more = format!("  limit {} %{memory}", significant(f.limit.0));
        about.number(out, &f.substance, &LimitedPercent(f.substance.clone()), &more)?;
    }
    Ok(())
}

fn write_margin(out: &mut String, about: About<'_>) -> std::fmt::Result {
    if about.evaluation.margin.is_none() {
        return Ok(());
    }
    writeln!(out, "\nThe superfat that results, from the ranges of fats, purities and the scale")?;
    about.listed(out, Section::Margin)
}
