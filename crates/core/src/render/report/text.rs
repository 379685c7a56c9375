//! The report for a terminal.

use super::label::write_label;
use crate::bench::weighing::{self, What};
use crate::cautions::{self, ALWAYS};
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
    self, About, AcidPercent, AlkaliForAcids, AllFats, AnyQuantity, BarAtSale, BarCount, BarFresh, BarOnDay, Batter,
    BatterMl, CostSum, CrystallisesBelow, FatsMelted, FattyMatter, FattyMatterAtSale, FreeFat, Frozen, Glycerol,
    IodineValue, JugConcentration, JugLeastWater, JugWater, LyeConcentration, LyeDensity, LyeMl, MaterialCost, Meeting,
    MinutesToMix, OfBar, OfMaterial, Peak, PlannedSuperfat, SaponificationCalculated, SaponificationValue, Score,
    SettledDay, StyleEnd, Titre, WantedMl, WaterFrom, WaterRowMass, WaterTotal,
};
use crate::units::Purity;
use std::fmt::Write as _;

/// A line with a mass.
fn weigh(out: &mut String, what: &str, grams: f64, more: &str) -> std::fmt::Result {
    writeln!(out, "  {what:<WIDTH$}{:>10} g{more}", fixed(grams, 1))
}

/// Columns for a name.
const WIDTH: usize = 42;

impl About<'_> {
    /// A line with `quantity`, and what else is said of it.
    fn line(self, out: &mut String, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        let unit = quantity.unit(self);
        let value = quantity.value(self).map(|value| unit.number(value, quantity.decimals(self)));
        let sign = if unit.sign().is_empty() { String::new() } else { format!(" {}", unit.sign()) };
        let (value, sign) = value.map_or_else(|_| ("not known".into(), String::new()), |value| (value, sign));
        writeln!(out, "  {:<WIDTH$}{value:>10}{sign}{more}", quantity.title(self))
    }

    /// The same where there is a value.
    fn known(self, out: &mut String, quantity: &dyn AnyQuantity, more: &str) -> std::fmt::Result {
        if quantity.value(self).is_ok() { self.line(out, quantity, more) } else { Ok(()) }
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
    out
}

fn write_text(out: &mut String, design: &Design, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    let about = About { design, evaluation, library };
    let name = if design.name.is_empty() { "Unnamed design" } else { &design.name };
    writeln!(out, "{name}\n{}\n", "=".repeat(name.chars().count()))?;
    let cautions = cautions::of(design, evaluation, library);
    for caution in &cautions {
        writeln!(out, "{}: {}", caution.level.word().to_uppercase(), caution.text())?;
    }
    if !cautions.is_empty() {
        writeln!(out)?;
    }
    write_weights(out, about)?;
    for line in design.additions.iter().filter(|l| !l.addition.advice.is_empty()) {
        writeln!(out, "  {}: {}", line.addition.name, line.addition.advice)?;
    }

    writeln!(out, "\nThe batch")?;
    about.line(out, &AllFats, "")?;
    about.known(out, &FatsMelted, " before the lye")?;
    about.line(out, &Batter, "")?;
    about.line(out, &BarCount, "")?;
    about.line(out, &BarFresh, "")?;
    about.line(out, &Glycerol, "")?;
    about.some(out, &AlkaliForAcids, "   of the weighed alkali")?;
    about.known(out, &BatterMl, " at 40 °C, about")?;
    about.known(out, &WantedMl, "")?;
    about.line(out, &PlannedSuperfat, "")?;
    about.line(out, &FreeFat, " of all fat, that of additions with it")?;

    write_margin(out, about)?;
    write_water(out, about)?;
    write_jug(out, about)?;
    write_cure(out, about)?;
    write_cost(out, about)?;
    write_limits(out, evaluation)?;
    write_label(out, design, evaluation, library)?;

    writeln!(out, "\nThe blend")?;
    about.line(out, &SaponificationValue, ", published or supplier’s")?;
    about.line(out, &SaponificationCalculated, "")?;
    about.line(out, &IodineValue, ", calculated from the acids")?;
    about.line(out, &Titre, ", ±3 in hard charges, worse in soft ones")?;
    about.line(out, &FattyMatter, "")?;

    if let Some(estimates) = &evaluation.estimates {
        writeln!(out, "\nThe bar: estimates by composition; range: where “{}” bars lie", design.style)?;
        for result in estimates {
            let number = |quantity: &dyn AnyQuantity| {
                let value = quantity.value(about).ok()?;
                Some(quantity.unit(about).number(value, quantity.decimals(about)))
            };
            let ends = End::BOTH.map(|end| number(&StyleEnd(result.estimate, end)));
            let range = ends.into_iter().collect::<Option<Vec<_>>>().map_or_else(String::new, |ends| ends.join("–"));
            let value = number(&Score(result.estimate)).unwrap_or_default();
            let place = result.place.map_or("", Place::word);
            let (low, high) = result.estimate.ends();
            let name = result.estimate.name();
            writeln!(out, "  {name:<20}{value:>6}  {range:>11}  {place:<7} ({low} to {high})")?;
        }
    }
    write_acids(out, about)?;
    writeln!(out, "\nAlways")?;
    for line in ALWAYS {
        writeln!(out, "  - {line}")?;
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
            What::Fat(i) => format!("   {:>6} %", fixed(design.blend.lines()[i].share.get(), 2)),
            What::Water => String::new(),
            What::SodiumHydroxide => pure(design.alkali.naoh_purity),
            What::PotassiumHydroxide => pure(design.alkali.koh_purity),
            What::Addition(i) => stage(design.additions[i].stage),
            What::Scent(i) => stage(design.scents[i].stage),
        };
        weigh(out, weight.name, weight.mass.0, &more)?;
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
    about.line(out, &WaterTotal, "")?;
    about.line(out, &LyeConcentration, " alkali in alkali and water that counts")
}

fn write_jug(out: &mut String, about: About<'_>) -> std::fmt::Result {
    if about.evaluation.jug.is_none() {
        return Ok(());
    }
    writeln!(out, "\nThe jug")?;
    about.line(out, &JugConcentration, "")?;
    about.line(out, &JugWater, "")?;
    about.line(out, &JugLeastWater, "")?;
    about.known(out, &Peak, "")?;
    let mix = short(about.design.process.mix_c.get(), 1);
    about.known(out, &MinutesToMix, &format!(", about, at {mix} °C"))?;
    about.known(out, &Meeting, "")?;
    about.known(out, &CrystallisesBelow, ", about")?;
    about.known(out, &LyeDensity, "")?;
    about.known(out, &LyeMl, "")
}

fn write_cure(out: &mut String, about: About<'_>) -> std::fmt::Result {
    let Some(cure) = &about.evaluation.cure else { return Ok(()) };
    writeln!(out, "\nThe cure, forecast")?;
    let on = cure.days();
    about.line(out, &BarAtSale, &format!(", day {} after cutting: the weight to declare", short(on.get(), 1)))?;
    about.line(out, &BarOnDay(on, OfBar::Water), "")?;
    about.line(out, &FattyMatterAtSale, "")?;
    about.known(out, &SettledDay, &format!(": then it loses under {} % a week", short(SETTLED_PERCENT, 1)))?;
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
    about.known(out, &CostSum::AtLeast, "")?;
    for sum in [CostSum::Batch, CostSum::Bar, CostSum::PerHundred, CostSum::Shopping] {
        about.known(out, &sum, "")?;
    }
    for line in cost.lines() {
        let number = |what| {
            let quantity = MaterialCost(line.material.clone(), what);
            quantities::text(&quantity, about).ok()
        };
        let (Some(packs), Some(left)) = (number(OfMaterial::Packs), number(OfMaterial::Left)) else { continue };
        weigh(out, &line.name, line.mass.0, &format!("   {packs} to buy, {left} left"))?;
    }
    Ok(())
}

fn write_limits(out: &mut String, evaluation: &Evaluation) -> std::fmt::Result {
    if !evaluation.scents.findings.is_empty() {
        writeln!(out, "\nScents: most in the dried bar, limits of the fragrance trade")?;
        for f in &evaluation.scents.findings {
            let memory = if f.from_memory { ", partly from memory" } else { "" };
            writeln!(
                out,
                "  {:<WIDTH$}{:>10} %  limit {} %{memory}",
                f.substance,
                significant(f.percent.0),
                significant(f.limit.0)
            )?;
        }
    }
    Ok(())
}

fn write_margin(out: &mut String, about: About<'_>) -> std::fmt::Result {
    if about.evaluation.margin.is_none() {
        return Ok(());
    }
    writeln!(out, "\nThe superfat that results, from the ranges of fats, purities and the scale")?;
    for (_, quantity) in quantities::MARGIN {
        about.line(out, *quantity, "")?;
    }
    Ok(())
}
