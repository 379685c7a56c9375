//! What a search for a blend found, as text and as JSON.

use super::json::Report;
use crate::cautions::{self, Caution};
use crate::design::Design;
use crate::evaluate::{Evaluation, evaluate};
use crate::find::{Aim, Effect, Found, InForce, Miss, Outcome, Wanted};
use crate::formula::lower_case;
use crate::library::Library;
use crate::library::estimates::Place;
use crate::quantities::{self, About, AnyQuantity, IodineValue, OfFound, SaponificationValue, Score, Sought, Titre};
use crate::render::plain;
use serde::Serialize;
use std::fmt::Write as _;

/// What was found as JSON; units stand in the keys, numbers are unrounded.
#[derive(Debug, Serialize)]
struct FindReport {
    proven: bool,
    lower_bound: Option<f64>,
    /// How much better than the last result another blend could be.
    gap: Option<f64>,
    objective_unit: String,
    results: Vec<FoundReport>,
    collisions: Vec<String>,
    /// What one point looser would save at first, with shares of any size.
    binding: Vec<BindingReport>,
    done: bool,
    nearest_miss: Option<MissReport>,
    fats_without_price: Vec<String>,
    /// The rules of practice in force, with the fats that each holds down or leaves out.
    in_force: Vec<RuleReport>,
    /// Fats of the design that keep their share since none of their acids is tabled.
    held_without_acids: Vec<String>,
    /// What stands against the design as it is.
    stops: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FoundReport {
    fats: Vec<ShareReport>,
    /// What stands against the design with this blend.
    stops: Vec<String>,
    objective: f64,
    /// Percent of the acids, or of the shares, that differ from the aim.
    differs_pct: Option<f64>,
    cost_per_kg_fats: Option<f64>,
    saponification_value: Option<f64>,
    iodine_value: Option<f64>,
    titre_c: Option<f64>,
    estimates: Report,
}

#[derive(Debug, Serialize)]
struct MissReport {
    fats: Vec<ShareReport>,
    missed: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RuleReport {
    rule: &'static str,
    words: String,
    fats: Vec<String>,
}

#[derive(Debug, Serialize)]
struct BindingReport {
    demand: String,
    saves: f64,
}

#[derive(Debug, Serialize)]
struct ShareReport {
    fat: String,
    share_pct: f64,
}

/// So many fats that are left out are named; of more the number is told.
const FEW: usize = 6;

fn shares(blend: &crate::design::blend::Blend) -> Vec<ShareReport> {
    let share = |line: &crate::design::blend::FatLine| ShareReport {
        fat: line.fat.id.to_string(),
        share_pct: line.share.get(),
    };
    blend.lines().iter().map(share).collect()
}

/// `design` made with the blend that was found.
fn with_blend(design: &Design, found: &Found, library: &Library) -> (Design, Evaluation) {
    let design = Design { blend: found.blend.clone(), ..design.clone() };
    let evaluation = evaluate(&design, library);
    (design, evaluation)
}

/// The Stops in their words.
fn stops(design: &Design, evaluation: &Evaluation, library: &Library) -> Vec<String> {
    let told = cautions::of(design, evaluation, library);
    cautions::stops(&told).into_iter().map(Caution::line).collect()
}

fn found_report(wanted: &Wanted, design: &Design, found: &Found, library: &Library) -> FoundReport {
    let sought = Sought { wanted, design, library };
    let differs_pct = OfFound::Differs.value(found, sought).ok();
    let (design, evaluation) = with_blend(design, found, library);
    FoundReport {
        fats: shares(&found.blend),
        stops: stops(&design, &evaluation, library),
        objective: found.objective,
        differs_pct,
        cost_per_kg_fats: found.price_per_kg,
        saponification_value: evaluation.chemistry.saponification_value,
        iodine_value: evaluation.chemistry.iodine_value,
        titre_c: evaluation.chemistry.titre,
        estimates: Report::of_estimates(&design, &evaluation, library),
    }
}

/// The outcome of the search for `wanted`, for scripts.
///
/// # Errors
/// From the JSON writer; no outcome is known that makes it fail.
pub fn find_json(
    wanted: &Wanted,
    outcome: &Outcome,
    design: &Design,
    library: &Library,
) -> Result<String, serde_json::Error> {
    let miss = |m: &Miss| MissReport { fats: shares(&m.blend), missed: m.missed.clone() };
    let rule =
        |rule: &InForce| RuleReport { rule: rule.practice.key(), words: rule.words.clone(), fats: rule.fats.clone() };
    let collision = outcome.collision.as_ref();
    serde_json::to_string_pretty(&FindReport {
        proven: outcome.proven,
        lower_bound: outcome.lower_bound,
        gap: outcome.gap(),
        objective_unit: OfFound::Objective.unit(Sought { wanted, design, library }),
        results: outcome.results.iter().map(|found| found_report(wanted, design, found, library)).collect(),
        collisions: collision.map(|c| c.demands.clone()).unwrap_or_default(),
        binding: outcome.binding.iter().map(|b| BindingReport { demand: b.demand.clone(), saves: b.saves }).collect(),
        done: outcome.done,
        nearest_miss: collision.and_then(|c| c.nearest.as_ref()).map(miss),
        fats_without_price: outcome.without_price.clone(),
        in_force: outcome.in_force.iter().map(rule).collect(),
        held_without_acids: outcome.held_without_acids.clone(),
        stops: stops(design, &evaluate(design, library), library),
    })
}

/// The outcome of the search for `wanted`, for a terminal.
pub fn find_text(wanted: &Wanted, outcome: &Outcome, design: &Design, library: &Library) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_text(&mut out, wanted, outcome, design, library);
    plain(&out)
}

fn write_text(
    out: &mut String,
    wanted: &Wanted,
    outcome: &Outcome,
    design: &Design,
    library: &Library,
) -> std::fmt::Result {
    for stop in stops(design, &evaluate(design, library), library) {
        writeln!(out, "{stop}\n")?;
    }
    if let Some(collision) = &outcome.collision {
        writeln!(out, "Nothing fits: these cannot go together")?;
        for demand in &collision.demands {
            writeln!(out, "  {demand}")?;
        }
        if let Some(miss) = &collision.nearest {
            writeln!(out, "\nThe nearest miss")?;
            write_fats(out, &miss.blend)?;
            writeln!(out, "  misses: {}", miss.missed.join("; "))?;
        }
    }
    let sought = Sought { wanted, design, library };
    for (i, found) in outcome.results.iter().enumerate() {
        let is_last = i + 1 == outcome.results.len();
        let proof = if outcome.proven || !is_last {
            "proven the best".into()
        } else {
            let gap = outcome.gap().unwrap_or_default();
            format!("the best so far; another could be {} better", OfFound::Objective.shown(gap, sought))
        };
        let besides = if i == 0 { "" } else { " of other fats" };
        // For the cheapest, what soft ranges cost is in it.
        let what = if wanted.aim == Aim::Cheapest { "price and ranges left " } else { "" };
        let objective = OfFound::Objective.shown(found.objective, sought);
        writeln!(out, "Blend {}: {what}{objective}, {proof}{besides}", i + 1)?;
        write_fats(out, &found.blend)?;
        let (made, evaluation) = with_blend(design, found, library);
        for stop in stops(&made, &evaluation, library) {
            writeln!(out, "  {stop}")?;
        }
        let about = About::new(&made, &evaluation, library);
        for result in evaluation.estimates.iter().flatten() {
            let place = result.place.map_or("", Place::word);
            let (name, value) = named(&Score(result.estimate), about);
            writeln!(out, "  {name:<34}{value:>8}   {place}")?;
        }
        let figures: [&dyn AnyQuantity; 3] = [&SaponificationValue, &IodineValue, &Titre];
        let figures = figures.map(|quantity| {
            let (name, value) = named(quantity, about);
            format!("{name} {value}")
        });
        writeln!(out, "  {} (worked out afterwards)", figures.join(", "))?;
        if let Ok(price) = OfFound::PricePerKg.text(found, sought) {
            writeln!(out, "  {price} of fats")?;
        }
        writeln!(out)?;
    }
    if !outcome.without_price.is_empty() {
        writeln!(out, "{} fats were left out since they have no price.", outcome.without_price.len())?;
    }
    for held in &outcome.held_without_acids {
        writeln!(out, "Held: {held}. None of its acids is tabled, so no search can weigh it.")?;
    }
    write_rules(out, &outcome.in_force)
}

/// The rules in force, and which fats of the design they leave out.
fn write_rules(out: &mut String, in_force: &[InForce]) -> std::fmt::Result {
    if in_force.is_empty() {
        return Ok(());
    }
    writeln!(out, "In force, as makers do; each can be lifted, and a fat that is named is not left out:")?;
    for InForce { practice, words, fats } in in_force {
        let left_out = match (practice.effect(), fats.len()) {
            (Effect::AtMost(_), _) | (Effect::None, 0) => String::new(),
            (Effect::None, 1..=FEW) => format!(", which leaves out {}", fats.join("; ")),
            (Effect::None, count) => format!(", which leaves out {count} fats"),
        };
        writeln!(out, "  {:<14} {words}{left_out}", practice.key())?;
    }
    Ok(())
}

fn write_fats(out: &mut String, blend: &crate::design::blend::Blend) -> std::fmt::Result {
    for (position, line) in blend.lines().iter().enumerate() {
        let share = OfFound::Share(position).number(line.share.get());
        writeln!(out, "  {:<34}{share:>8} %", line.fat.name)?;
    }
    Ok(())
}

/// The name of `quantity` within a sentence, and its number.
fn named(quantity: &dyn AnyQuantity, about: About<'_>) -> (String, String) {
    let value = quantities::text(quantity, about).unwrap_or_else(|_| "not known".into());
    (lower_case(&quantity.title(about)), value)
}
