//! What to mind about the scents.

use super::{Caution, Level, celsius, listed};
use crate::chemistry::masses::PerGram;
use crate::design::Design;
use crate::design::edit::Edit;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::Library;
use crate::library::additions::{Amount, Stage};
use crate::library::scents::{Behaviour, Finding, ScentCheck, ScentLine};
use crate::number::{fixed, short};
use crate::units::{Celsius, Grams, Measures, percent_of};

/// Hundredths in a whole: an amount gives up one of its own, and is rounded down to those of a gram.
const HUNDREDTHS: f64 = 100.0;

/// The amount of the scent at `position` with which the substance of `finding` passes in the batch
/// that then results, with its mass; `None` if the other scents alone exceed the limit. Where a
/// volume or a bar's weight is asked for, the fats grow as the scent gives way, so what would pass
/// is looked for again. Rounded down to the hundredth of a gram.
fn passing(
    design: &Design,
    library: &Library,
    (finding, position): (&Finding, usize),
    evaluation: &Evaluation,
) -> Option<(Amount, Grams)> {
    let mut next = design.clone();
    let per_gram = PerGram::of(Plain, design);
    let mut fats = evaluation.masses.fats;
    let mut most = evaluation.scents.most(finding, position, evaluation.masses.dried())?;
    for _ in 0..20 {
        // A hundredth less: taking out another scent later makes the bars a little lighter.
        let mass = Grams((most.0 * (HUNDREDTHS - 1.0)).floor() / HUNDREDTHS);
        if mass.0 <= 0.0 {
            return None;
        }
        let amount = design.scents[position].amount.with_mass(mass, fats);
        next.scents[position].amount = amount;
        let batch = per_gram.solve(Plain, &next).1;
        let check = ScentCheck::of(&next.scents, batch.fats, batch.dried(), &library.limits);
        match check.findings.iter().find(|f| f.substance == finding.substance).filter(|f| f.is_over()) {
            Some(still) => most = check.most(still, position, batch.dried())?,
            None => return Some((amount, check.masses[position])),
        }
        fats = batch.fats;
    }
    None
}

/// Percent of the fats above which scents, all together, want care and are stopped (common practice, no source).
const MUCH: f64 = 3.0;
const TOO_MUCH: f64 = 6.0;

/// All scents together.
fn load(evaluation: &Evaluation) -> Option<Caution> {
    let scents: Grams = evaluation.scents.masses.iter().copied().sum();
    let percent = percent_of(scents.0, evaluation.masses.fats.0);
    // A sum of percents may be off by its rounding.
    if percent <= MUCH + 1e-9 {
        return None;
    }
    let level = if percent > TOO_MUCH + 1e-9 { Level::Stop } else { Level::Care };
    let why = format!(
        "The scents are {} % of the fats, and {} % are the most that is usual (common practice, no source): they can \
         irritate skin, and the batter can set or split.",
        fixed(percent, 1),
        short(MUCH, 0)
    );
    Some(Caution::new("scents-much", level, why, "Use less of them."))
}

/// Vanillin from which on a bar turns brown and not only darker, percent of the oil (common practice, no source).
const BROWN: f64 = 1.0;

/// What the suppliers' own words on a scent mean for the batch.
fn supplied(design: &Design, evaluation: &Evaluation, measures: Measures, cautions: &mut Vec<Caution>) {
    let lines = design.scents.iter().zip(&evaluation.scents.masses).filter(|(_, mass)| mass.0 > 0.0);
    for (line, _) in lines {
        let (name, said) = (&line.scent.name, &line.scent.supplied);
        if let Some(vanillin) = said.vanillin.filter(|v| v.get() > 0.0) {
            let colour = if vanillin.get() < BROWN { "darkens" } else { "turns brown" };
            let why = format!(
                "{name} holds {} % of vanillin: the bar {colour} within weeks (common practice, no source).",
                short(vanillin.get(), 2)
            );
            let advice = "Put it into a part of the batter only, or choose a colour that bears it.";
            cautions.push(Caution::new("scent-vanillin", Level::Note, why, advice));
        }
        match said.behaviour {
            Some(Behaviour::Thickens) => {
                let why = format!("{name} thickens the batter fast.");
                let advice = "Keep it in the fats, mix cool and stir by hand, with the mould at hand (common practice, no source).";
                cautions.push(Caution::new("scent-thickens", Level::Note, why, advice));
            }
            Some(Behaviour::Rices) => {
                let why = format!("{name} can part the batter into grains.");
                let advice = "Stir it in by hand at light trace and, where grains show, blend until it is smooth \
                              (common practice, no source).";
                cautions.push(Caution::new("scent-rices", Level::Note, why, advice));
            }
            Some(Behaviour::Calm) | None => {}
        }
        let process = &design.process;
        let Some(flash) = said.flash.map(Celsius::get) else { continue };
        let fats = process.fats_c.unwrap_or(process.mix_c).get().max(process.mix_c.get());
        let warmest = process.oven_gel.map_or(fats, |oven| fats.max(oven.oven_c.get()));
        if warmest >= flash {
            let (level, what) = match process.oven_gel.filter(|oven| oven.oven_c.get() >= flash) {
                Some(_) => (Level::Care, "The oven"),
                None => (Level::Note, "The batter"),
            };
            let (warmest, from) = (celsius(warmest, measures), celsius(flash, measures));
            let why = format!("{what} is at {warmest}, and the vapour of {name} can catch fire from {from} on.");
            let advice = "Keep flames and sparks away and air the room; mix cooler, or leave the oven cold.";
            cautions.push(Caution::new("scent-flash", level, why, advice));
        }
    }
}

/// Warns of the scents.
pub(super) fn warn(
    design: &Design,
    library: &Library,
    evaluation: &Evaluation,
    measures: Measures,
    cautions: &mut Vec<Caution>,
) {
    let check = &evaluation.scents;
    cautions.extend(load(evaluation));
    for finding in check.findings.iter().filter(|f| f.is_over()) {
        let from_memory = if finding.from_memory { "; a figure behind this is from memory" } else { "" };
        let why =
            format!("Over the limit: {}, {}{from_memory} ({}).", finding.substance, finding.words(), finding.source);
        // The scent that brings most of it gives way.
        let grams = |i: usize| check.masses[i].0 * finding.fractions[i];
        let largest = (0..check.masses.len()).max_by(|a, b| grams(*a).total_cmp(&grams(*b)));
        let caution = |advice: String| Caution::new("scent-limit", Level::Stop, why.clone(), advice);
        let Some(i) = largest else { continue };
        let line = &design.scents[i];
        let name = &line.scent.name;
        if let Some((amount, mass)) = passing(design, library, (finding, i), evaluation) {
            let shown = fixed(mass.0, 2);
            let edit = Edit::SetScent(i, ScentLine { amount, ..line.clone() });
            let advice = format!("{shown} g of {name} pass as the others are.");
            cautions.push(caution(advice).with_remedy(format!("Use {shown} g of {name}"), edit));
            continue;
        }
        let advice = if (0..check.masses.len()).any(|other| other != i && grams(other) > 0.0) {
            format!("The other scents alone exceed it; take {name} out and use less of them.")
        } else {
            format!("Not even a hundredth of a gram of {name} would pass; take it out.")
        };
        cautions.push(caution(advice).with_remedy(format!("Take {name} out"), Edit::RemoveScent(i)));
    }
    if !check.without_limit.is_empty() {
        let why = format!(
            "No limit is held here for {}; that does not mean that there is none.",
            listed(&check.without_limit.iter().map(String::as_str).collect::<Vec<_>>())
        );
        let advice = "See the supplier’s certificate and the current standard of the fragrance trade.";
        cautions.push(Caution::new("scent-no-limit", Level::Note, why, advice));
    }
    for (substance, scent) in &check.not_held {
        let why = format!("{scent} holds {substance}, whose limit is not held here.");
        cautions.push(Caution::new(
            "scent-limit-not-held",
            Level::Care,
            why,
            "See the current standard of the fragrance trade.",
        ));
    }
    supplied(design, evaluation, measures, cautions);
    for (i, line) in design.scents.iter().enumerate().filter(|(_, l)| l.stage.is_in_jug()) {
        let why = format!("{} goes into the jug, where the lye spoils it.", line.scent.name);
        let edit = Edit::SetScent(i, ScentLine { stage: Stage::AtTrace, ..line.clone() });
        let advice = "Stir it in at trace (common practice, no source).";
        cautions.push(Caution::new("scent-in-jug", Level::Care, why, advice).with_remedy("Add it at trace", edit));
    }
}
