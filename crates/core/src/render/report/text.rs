//! The report for a terminal.

use super::label::write_label;
use crate::bench::cost::Cost;
use crate::bench::weighing::{self, What};
use crate::cautions::ALWAYS;
use crate::chemistry::cure::SETTLED_PERCENT;
use crate::chemistry::estimates::Place;
use crate::chemistry::masses::WaterSource;
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::Library;
use crate::library::additions::Stage;
use crate::number::{fixed, short, significant};
use crate::units::Purity;
use std::fmt::Write as _;

fn optional(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "not known".into(), |v| fixed(v, decimals))
}

/// A line with a mass.
fn weigh(out: &mut String, what: &str, grams: f64, more: &str) -> std::fmt::Result {
    writeln!(out, "  {what:<34}{:>10} g{more}", fixed(grams, 1))
}

/// A line with another figure.
fn figure(out: &mut String, what: &str, value: &str, unit: &str) -> std::fmt::Result {
    writeln!(out, "  {what:<34}{value:>10} {unit}")
}

/// The report as text of at most 80 columns or so, for a terminal.
pub fn text(design: &Design, evaluation: &Evaluation, library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_text(&mut out, design, evaluation, library);
    out
}

fn write_text(out: &mut String, design: &Design, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    let batch = &evaluation.masses;
    let name = if design.name.is_empty() { "Unnamed design" } else { &design.name };
    writeln!(out, "{name}\n{}\n", "=".repeat(name.chars().count()))?;
    for caution in &evaluation.cautions {
        writeln!(out, "{}: {}", caution.level.word().to_uppercase(), caution.text())?;
    }
    if !evaluation.cautions.is_empty() {
        writeln!(out)?;
    }
    write_weights(out, design, evaluation)?;
    for line in design.additions.iter().filter(|l| !l.addition.advice.is_empty()) {
        writeln!(out, "  {}: {}", line.addition.name, line.addition.advice)?;
    }

    writeln!(out, "\nThe batch")?;
    weigh(out, "All fats", batch.fats.0, "")?;
    weigh(out, "Batter", batch.batter.0, "")?;
    weigh(out, &format!("Each of {} bars, fresh", batch.bars), batch.bar_fresh.0, "")?;
    weigh(out, "Glycerol set free", batch.glycerol.0, "")?;
    if batch.alkali_for_acids.0 > 0.0 {
        weigh(out, "Alkali that acids take", batch.alkali_for_acids.0, "   of the weighed alkali")?;
    }
    if batch.fats.0 > 0.0 {
        figure(out, "Batter by volume, about", &fixed(batch.batter_ml, 0), "ml at 40 °C")?;
    }
    if let Some(ml) = design.size.wanted_ml() {
        figure(out, "Asked for", &fixed(ml, 0), "ml")?;
    }
    figure(out, "Superfat", &fixed(batch.superfat, 2), "%")?;
    figure(out, "Free fat, that of additions with it", &fixed(batch.free_fat, 2), "% of all fat")?;

    write_margin(out, design, evaluation)?;
    write_water(out, design, evaluation)?;
    write_jug(out, design, evaluation)?;
    write_cure(out, evaluation)?;
    write_cost(out, design, evaluation)?;
    write_limits(out, evaluation)?;
    write_label(out, design, evaluation, library)?;

    let chemistry = &evaluation.chemistry;
    writeln!(out, "\nThe blend")?;
    figure(
        out,
        "Saponification value",
        &optional(chemistry.saponification_value, 1),
        "mg KOH/g, published or supplier’s",
    )?;
    figure(out, "", &optional(chemistry.saponification_value_calculated, 1), "mg KOH/g, calculated from the acids")?;
    figure(out, "Iodine value", &optional(chemistry.iodine_value, 1), "g/100 g, calculated from the acids")?;
    figure(out, "Titre", &optional(chemistry.titre, 0), "°C, ±3 in hard charges, worse in soft ones")?;
    figure(out, "Total fatty matter, fresh", &optional(chemistry.tfm_fresh, 1), "% of the bar")?;

    if let Some(estimates) = &evaluation.estimates {
        writeln!(out, "\nThe bar: estimates by composition; range: where “{}” bars lie", design.style)?;
        for result in estimates {
            let decimals = result.estimate.decimals();
            let range = result
                .range
                .map_or_else(String::new, |r| format!("{}–{}", fixed(r.min(), decimals), fixed(r.max(), decimals)));
            let place = result.place.map_or("", Place::word);
            let (low, high) = result.estimate.ends();
            let name = result.estimate.name();
            writeln!(
                out,
                "  {name:<20}{:>6}  {range:>11}  {place:<7} ({low} to {high})",
                fixed(result.value, decimals)
            )?;
        }
    }
    write_acids(out, evaluation, library)?;
    writeln!(out, "\nAlways")?;
    for line in ALWAYS {
        writeln!(out, "  - {line}")?;
    }
    Ok(())
}

fn write_weights(out: &mut String, design: &Design, evaluation: &Evaluation) -> std::fmt::Result {
    writeln!(out, "To weigh")?;
    let pure = |purity: Purity| format!("   {} % pure", short(purity.get(), 2));
    let stage = |stage: Stage| format!("   {}", stage.words().to_lowercase());
    let frozen = weighing::frozen(design, &evaluation.masses);
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
        if weight.what == What::Water && frozen.0 > 0.0 {
            weigh(out, "  of the jug’s water frozen", frozen.0, "   ice, frozen milk or puree")?;
        }
    }
    Ok(())
}

fn write_acids(out: &mut String, evaluation: &Evaluation, library: &Library) -> std::fmt::Result {
    if let Some(composition) = &evaluation.composition {
        writeln!(out, "\nFatty acids, percent")?;
        for (id, acid) in library.acids.iter().filter(|(id, _)| composition.fraction(*id) >= 0.000_5) {
            let label = format!("{} ({})", acid.name, acid.key);
            writeln!(out, "  {label:<34}{:>10}", fixed(100.0 * composition.fraction(id), 1))?;
        }
    }
    Ok(())
}

fn write_water(out: &mut String, design: &Design, evaluation: &Evaluation) -> std::fmt::Result {
    let batch = &evaluation.masses;
    writeln!(out, "\nWhere the water comes from")?;
    for row in &evaluation.water {
        let name = match row.source {
            WaterSource::Weighed => "Water to weigh",
            WaterSource::PotassiumHydroxide => "In the potassium hydroxide",
            WaterSource::Addition(i) => design.additions[i].addition.name.as_str(),
            WaterSource::Made => "Made by acids and alkali",
        };
        let stage = row.stage.words().to_lowercase();
        let more = if row.counted { format!("   {stage}") } else { format!("   {stage}, not counted") };
        weigh(out, name, row.mass.0, &more)?;
    }
    weigh(out, "Water that counts", batch.water_total.0, "")?;
    figure(
        out,
        "Lye concentration",
        &optional(batch.lye_concentration(), 2),
        "% alkali in alkali and water that counts",
    )
}

fn write_jug(out: &mut String, design: &Design, evaluation: &Evaluation) -> std::fmt::Result {
    let batch = &evaluation.masses;
    if let Some(jug) = &evaluation.jug {
        writeln!(out, "\nThe jug")?;
        figure(out, "Concentration", &fixed(jug.concentration, 2), "% with the water that is in the jug")?;
        weigh(
            out,
            "Water in it",
            batch.water_in_jug.0,
            &format!("   at least {} g needed", fixed(jug.least_water.0, 1)),
        )?;
        if let Ok(peak) = jug.peak {
            figure(out, "Warms to up to about", &fixed(peak, 0), "°C")?;
        }
        if let Some(minutes) = jug.minutes_to_mix() {
            let what = format!("Cools to {} °C in about", short(design.process.mix_c.get(), 1));
            figure(out, &what, &fixed(minutes, 0), "minutes")?;
        }
        if let Some(meeting) = jug.meeting {
            figure(out, "Lye and fats meet at", &fixed(meeting, 0), "°C")?;
        }
        if let Some(below) = jug.crystallises_below {
            figure(out, "Crystallises below about", &fixed(below, 0), "°C")?;
        }
        if let (Ok(density), Some(ml)) = (jug.density, jug.volume_ml()) {
            figure(out, "Density in the room", &fixed(density, 3), "g/ml")?;
            figure(out, "Volume", &fixed(ml, 0), "ml")?;
        }
    }
    Ok(())
}

fn write_cure(out: &mut String, evaluation: &Evaluation) -> std::fmt::Result {
    let Some(cure) = &evaluation.cure else { return Ok(()) };
    writeln!(out, "\nThe cure, forecast")?;
    let what = format!("A bar at sale, day {} after cutting", short(cure.days().get(), 1));
    weigh(out, &what, cure.bar_at_sale(Plain).0, "   the weight to declare")?;
    weigh(out, "Of it water", cure.water_at_sale(Plain).0, "")?;
    figure(out, "Total fatty matter then", &optional(evaluation.chemistry.tfm_cured, 1), "% of the bar")?;
    if let Some(day) = cure.settled() {
        let percent = short(SETTLED_PERCENT, 1);
        figure(out, "Settled from", &format!("day {day}"), &format!("on: it loses under {percent} % a week"))?;
    }
    writeln!(out, "  {}", cure.shape_words())
}

fn write_cost(out: &mut String, design: &Design, evaluation: &Evaluation) -> std::fmt::Result {
    let Some(cost) = Cost::of(design, evaluation).filter(|_| !design.prices.is_empty()) else { return Ok(()) };
    let currency = &design.currency;
    writeln!(out, "\nThe cost of what is used, {currency}")?;
    let missing: Vec<&str> = cost.missing().collect();
    if !missing.is_empty() {
        writeln!(out, "  No price for {}: all sums are too low", missing.join(", "))?;
    }
    for (what, total) in [
        ("The batch", cost.batch()),
        ("A bar", cost.bar()),
        ("100 g of the bar at sale", cost.per_100_g_cured()),
        ("What to buy for it, in whole packs", cost.shopping()),
    ] {
        let sign = if total.complete().is_some() { "" } else { "at least" };
        writeln!(out, "  {what:<34}{sign:>8}{:>10} {currency}", fixed(total.known(), 2))?;
    }
    for line in cost.lines() {
        let Some(purchase) = line.purchase() else { continue };
        let packs = fixed(purchase.packs, 0);
        let more = format!("   {packs} to buy, {} g left", fixed(purchase.left.0, 0));
        weigh(out, &line.name, line.mass.0, &more)?;
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
                "  {:<34}{:>10} %  limit {} %{memory}",
                f.substance,
                significant(f.percent),
                significant(f.limit)
            )?;
        }
    }
    Ok(())
}

fn write_margin(out: &mut String, design: &Design, evaluation: &Evaluation) -> std::fmt::Result {
    let Some(margin) = &evaluation.margin else { return Ok(()) };
    writeln!(out, "\nThe superfat that results, from the ranges of fats, purities and the scale")?;
    let range = |low: f64, high: f64| format!("{}–{}", fixed(low, 1), fixed(high, 1));
    figure(out, "5 to 95 of 100 batches", &range(margin.quantile(0.05), margin.quantile(0.95)), "%")?;
    figure(out, "Everything at its extreme", &range(margin.low, margin.high), "%")?;
    let chance = 100.0 * margin.chance_lye_heavy();
    let shown = if chance > 0.0 && chance < 0.01 { "< 0.01".into() } else { short(chance, 2) };
    figure(out, "Chance that it is lye-heavy", &shown, "%")?;
    let accepted = design.accepted_chance;
    let what = format!("Least superfat for {} %", short(accepted.get(), 2));
    figure(out, &what, &fixed(margin.least_superfat(accepted.fraction()), 1), "%")
}
