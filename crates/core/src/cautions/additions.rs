//! What to mind about the additions.

use super::lye::USUAL_MOST;
use super::{Caution, Level, about_celsius, listed};
use crate::chemistry::alkali::naoh_to_koh;
use crate::chemistry::jug::{Jug, NoPeak};
use crate::chemistry::masses::water_of;
use crate::chemistry::solution::Beyond;
use crate::design::edit::Edit;
use crate::design::{Design, Process};
use crate::evaluate::Evaluation;
use crate::formula::{Plain, lower_case};
use crate::library::additions::{AddedAcid, AdditionKind, AdditionLine, Stage};
use crate::library::handling::How;
use crate::library::material::Sourced;
use crate::number::{fixed, short};
use crate::trust::Trust;
use crate::units::{Grams, Measures, Share, percent_of};

/// Sugar above which the batter is known to heat, g per kg of fats (model).
const MUCH_SUGAR: f64 = 20.0;

/// The part of the alkali that acids may take before it is mentioned (our judgement: 1 % of
/// citric acid takes 5 %; a slip of ten is beyond this).
const MUCH_ACID: f64 = 0.12;
/// By what part the acid of a vinegar or juice may fall short of a figure from memory.
const WEAKER: f64 = 0.2;

/// Points of superfat by which uncounted acids are mentioned, and by which they need care (our
/// judgement: less than the first is lost in the purity of the alkali).
const SMALL_SHIFT: f64 = 0.25;
const GREAT_SHIFT: f64 = 0.5;

/// What a forgotten acid would do to the superfat, if that is much.
fn acid_left_out(design: &Design, evaluation: &Evaluation) -> Option<Caution> {
    let batch = &evaluation.masses;
    let shift = percent_of(batch.acids_koh.0, batch.exact_koh.0);
    if batch.exact_koh.0 <= 0.0 || shift < GREAT_SHIFT {
        return None;
    }
    let takes = |l: &&AdditionLine| l.stage.meets_lye() && l.addition.sour_protons_per_gram() > 0.0;
    let names: Vec<&str> = design.additions.iter().filter(takes).map(|l| l.addition.name.as_str()).collect();
    let why = format!(
        "{} g of the alkali are for {}: left out, the superfat would be {} %.",
        fixed(batch.alkali_for_acids.0, 1),
        listed(&names),
        fixed(batch.superfat - shift, 1)
    );
    let advice = "Do not forget it; if you leave it out, take it out of the design too and weigh by the new sheet.";
    Some(Caution::new("acid-counted", Level::Note, why, advice))
}

/// Warns of the additions.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, measures: Measures, cautions: &mut Vec<Caution>) {
    let batch = &evaluation.masses;
    let fats = batch.fats;
    let (weighed, taken) = (batch.alkali.weighed().0, batch.alkali_for_acids.0);
    if weighed > 0.0 && taken > MUCH_ACID * weighed {
        let percent = fixed(percent_of(taken, weighed), 0);
        let (level, why) = if taken > 0.5 * weighed {
            let more = fixed(2.0 * taken - weighed, 1);
            (Level::Stop, format!("Acids take {percent} % of the alkali, {more} g more than the fats get."))
        } else {
            (Level::Care, format!("Acids take {percent} % of the alkali."))
        };
        let advice = "The alkali for them is in the weights, but check the amounts of acid: a slip here burns.";
        cautions.push(Caution::new("acids-take-much", level, why, advice));
    }
    cautions.extend(acid_left_out(design, evaluation));
    uncounted_acids(design, evaluation, cautions);
    doubtful_acids(design, evaluation, cautions);
    if fats.0 > 0.0 {
        let per_kg = 1000.0 * batch.sugars.0 / fats.0;
        if per_kg > MUCH_SUGAR {
            let why = format!(
                "The additions bring {} g of sugar per kg of fats: the batter heats by itself.",
                fixed(per_kg, 0)
            );
            // Of sugars in the oven another caution tells.
            let advice = if design.process.oven_gel.is_some() {
                "Mix cooler."
            } else {
                "Mix cooler, and do not insulate the mould; oven gel can overheat it."
            };
            cautions.push(Caution::new("sugar-high", Level::Note, why, advice));
        }
    }
    scorching(design, evaluation, measures, cautions);
    over_most(design, fats, cautions);
    kept_out_of_jug(design, evaluation, cautions);
    for (index, line) in design.additions.iter().enumerate() {
        let name = &line.addition.name;
        if !line.stage.meets_lye() {
            on_top(index, line, fats, cautions);
        } else if line.stage.is_in_jug() && line.addition.alcohol.get() > 1.0 {
            let why = format!(
                "{name} holds {} % of alcohol, which froths and boils over in hot lye.",
                short(line.addition.alcohol.get(), 1)
            );
            let advice = "Boil off the alcohol and use it cold, or frozen; what boils off is to be made up with water (common practice, no source).";
            cautions.push(Caution::new("alcohol-in-jug", Level::Care, why, advice));
        }
    }
}

/// Materials of which there is more than the most that is taken of them, all their lines together.
fn over_most(design: &Design, fats: Grams, cautions: &mut Vec<Caution>) {
    let lines = &design.additions;
    for (index, line) in lines.iter().enumerate() {
        let same = |other: &AdditionLine| other.addition.id == line.addition.id;
        let all: Grams = lines.iter().filter(|l| same(l)).map(|l| l.amount.mass(fats)).sum();
        let handling = line.addition.handling();
        // Told once, and of no more than rounding.
        if lines[..index].iter().any(same) || all.0 <= handling.most_in(fats).0 * (1.0 + 1e-9) {
            continue;
        }
        let why = format!(
            "{} g of {} per kg of fats are more than is taken: {} ({}).",
            short(1000.0 * all.0 / fats.0, 1),
            line.addition.name,
            handling.words(),
            handling.trust.words()
        );
        cautions.push(Caution::new("over-most", Level::Care, why, "Use less of it, or try a small batch first."));
    }
}

/// What the jug does not take: the method has it elsewhere, and so should the design.
fn kept_out_of_jug(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let (fats, water) = (evaluation.masses.fats, evaluation.masses.water_in_jug);
    for (index, line) in design.additions.iter().enumerate().filter(|(_, l)| l.stage.is_in_jug()) {
        let (mass, name) = (line.amount.mass(fats), &line.addition.name);
        if mass.0 <= 0.0 || line.addition.handling().fits_in_jug(mass, water) {
            continue;
        }
        let usual = line.addition.usual_stage;
        let to = if usual.is_in_jug() { Stage::AtTrace } else { usual };
        let why = format!("{name} does not go into the jug: so much of it neither dissolves in lye nor stands it.");
        let edit = Edit::MoveAddition { index, mass, fats, to };
        let label = format!("Add {} {}", lower_case(name), to.words().to_lowercase());
        let caution =
            Caution::new("kept-out-of-jug", Level::Care, why, format!("Add it {}.", to.words().to_lowercase()));
        cautions.push(if stays_mild(design, &edit, evaluation) { caution.with_remedy(label, edit) } else { caution });
    }
}

/// What lies on top meets no lye: its acid takes none, and its water is not in the batter.
fn on_top(index: usize, line: &AdditionLine, fats: Grams, cautions: &mut Vec<Caution>) {
    let name = &line.addition.name;
    if line.addition.protons_per_gram() > 0.0 && line.amount.mass(fats).0 > 0.0 {
        let why = format!("{name} lies on top, where it meets no lye: no alkali is weighed for its acid.");
        let edit = Edit::SetAddition(index, AdditionLine { stage: Stage::IntoJug, ..line.clone() });
        let advice = "Put it into the jug.";
        cautions.push(Caution::new("acid-on-top", Level::Care, why, advice).with_remedy("Put it into the jug", edit));
    }
    let water = water_of(Plain, line, fats);
    if line.counts_as_water && water.0 >= 0.05 {
        let why = format!(
            "The water of {name} counts although it lies on top: {} g are missing from the batter.",
            fixed(water.0, 1)
        );
        let edit = Edit::SetAddition(index, AdditionLine { counts_as_water: false, ..line.clone() });
        let caution = Caution::new("on-top-counted", Level::Care, why, "Do not count it.");
        cautions.push(caution.with_remedy("Do not count its water", edit));
    }
}

/// Acids without a figure good enough to weigh by: how far they could move the superfat.
fn uncounted_acids(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let fats = evaluation.masses.fats;
    let mut naoh = Grams::ZERO;
    let mut names: Vec<&str> = Vec::new();
    for line in design.additions.iter().filter(|l| l.stage.meets_lye()) {
        if let Some(acid) = &line.addition.uncounted_acid {
            naoh += line.amount.mass(fats) * (acid.most.fraction() * acid.naoh_per_gram);
            names.push(&line.addition.name);
        }
    }
    let points = superfat_points(naoh, evaluation);
    if points >= SMALL_SHIFT {
        let level = if points >= GREAT_SHIFT { Level::Care } else { Level::Note };
        let why = format!(
            "The acid in {} is not counted. It takes up to about {} g of sodium hydroxide, so the superfat may be up to {} points higher.",
            listed(&names),
            fixed(naoh.0, 1),
            fixed(points, 1),
        );
        let advice = "That is the safe side; with a measured acid content, define the addition as your own.";
        cautions.push(Caution::new("acid-not-counted", level, why, advice));
    }
}

/// How far alkali of the worth of `naoh` moves the superfat, in points.
fn superfat_points(naoh: Grams, evaluation: &Evaluation) -> f64 {
    let exact = evaluation.masses.exact_koh.0;
    if exact > 0.0 { percent_of(naoh_to_koh(Plain, naoh).0, exact) } else { 0.0 }
}

/// Acids that are weighed for by a content from memory: if a vinegar is weaker than that, the
/// superfat is lower than planned, which is the unsafe side.
fn doubtful_acids(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let mut naoh = Grams::ZERO;
    let mut names: Vec<&str> = Vec::new();
    for line in design.additions.iter().filter(|l| l.stage.meets_lye()) {
        let doubtful = |a: &Sourced<AddedAcid>| a.trust == Trust::FromMemory && a.value.content.get() < 50.0;
        if line.addition.acid.as_ref().is_some_and(doubtful) {
            naoh += line.amount.mass(evaluation.masses.fats) * (WEAKER * line.addition.naoh_per_gram());
            names.push(&line.addition.name);
        }
    }
    let points = superfat_points(naoh, evaluation);
    if points >= SMALL_SHIFT {
        let level = if points >= GREAT_SHIFT { Level::Care } else { Level::Note };
        let why = format!(
            "The acid in {} is counted by a figure from memory. Were it a fifth weaker, the superfat would be {} points lower.",
            listed(&names),
            fixed(points, 1),
        );
        let advice = "Read the acid content off the bottle and give it as your own figure, or hold back more alkali.";
        cautions.push(Caution::new("acid-from-memory", level, why, advice));
    }
}

/// Whether `line` browns, boils up or curdles in hot lye (common practice, no source).
fn scorches(line: &AdditionLine) -> bool {
    let sugary = line.addition.contents.value.sugars.is_some_and(|s| s.get() > 1.0);
    match line.addition.kind {
        AdditionKind::Puree | AdditionKind::Milk => true,
        _ => sugary,
    }
}

/// Under this a jug is too cool for lye to brown or curdle what is in it, °C (our judgement).
const GENTLE: f64 = 60.0;

/// Whether nothing in `jug` browns: it stays cool, or so cold that ice is left.
fn is_gentle(jug: &Jug) -> bool {
    match jug.peak {
        Ok(peak) => peak < GENTLE,
        Err(why) => matches!(why, NoPeak::Beyond(Beyond::Colder { .. })),
    }
}

/// Purees, milks and sugars in a hot jug; what goes in frozen is counted so. The remedy moves the one there is to the
/// fats if the jug keeps water enough, else it freezes so much of the jug that it stays gentle.
fn scorching(design: &Design, evaluation: &Evaluation, measures: Measures, cautions: &mut Vec<Caution>) {
    let (Some(jug), batch) = (&evaluation.jug, &evaluation.masses) else { return };
    if is_gentle(jug) {
        return;
    }
    let fats = batch.fats;
    let in_jug = || {
        let lines = design.additions.iter().enumerate();
        lines.filter(|(_, l)| l.stage.is_in_jug() && scorches(l) && l.amount.mass(fats).0 > 0.0)
    };
    let Some((index, line)) = in_jug().max_by(|a, b| a.1.amount.mass(fats).0.total_cmp(&b.1.amount.mass(fats).0))
    else {
        return;
    };
    let (name, mass) = (&line.addition.name, line.amount.mass(fats));
    let is_frozen = line.addition.handling().how == How::Freeze;
    let why = match jug.peak {
        Ok(peak) if is_frozen => format!(
            "{name} browns, smells, boils up or curdles in hot lye, and though it goes in frozen the jug may warm to \
             about {}.",
            about_celsius(peak, measures)
        ),
        Ok(_) | Err(_) => format!("{name} browns, smells, boils up or curdles in hot lye."),
    };
    let caution = |advice: String| Caution::new("jug-scorches", Level::Care, why.clone(), advice);
    let moved = |to| Edit::MoveAddition { index, mass, fats, to };
    if line.addition.kind == AdditionKind::Sugar {
        let edit = moved(Stage::AtTrace);
        let caution =
            caution("Dissolve it in a little water and stir it in at trace (common practice, no source).".into());
        let mild = stays_mild(design, &edit, evaluation);
        cautions.push(if mild { caution.with_remedy(format!("Stir {name} in at trace"), edit) } else { caution });
        return;
    }
    // The jug keeps water enough for lye that is not very strong.
    let spare = batch.water_in_jug.0 - batch.alkali.pure().0 * (100.0 - DRAINED) / DRAINED;
    let is_alone = in_jug().count() == 1;
    let edit = moved(Stage::IntoFats);
    if is_alone && water_of(Plain, line, fats).0 <= spare && stays_mild(design, &edit, evaluation) {
        let grams = short(mass.0, 1);
        let advice = "Stir it into the melted fats instead (common practice, no source); the jug can do without it.";
        cautions.push(caution(advice.into()).with_remedy(format!("Move {grams} g of {name} to the fats"), edit));
        return;
    }
    if is_frozen && jug.peak == Err(NoPeak::Potassium) {
        // How warm it gets is not known: frozen, it is as the trade does it.
        return;
    }
    let caution = caution("Freeze so much of the jug’s water that it stays cool (common practice, no source).".into());
    let freezing = |share| Process { jug_frozen: Share::nearest(share), ..design.process.clone() };
    let stays_gentle = |share: &f64| {
        let colder = Design { process: freezing(*share), ..design.clone() };
        Jug::of(Plain, &colder, batch).is_some_and(|jug| jug.peak.is_ok() && is_gentle(&jug))
    };
    cautions.push(match (1..=20).map(|n| 5.0 * f64::from(n)).find(stays_gentle) {
        Some(share) => caution
            .with_remedy(format!("Freeze {} % of the jug’s water", short(share, 0)), Edit::Process(freezing(share))),
        None => caution,
    });
}

/// Percent of alkali up to which a remedy may drain the jug.
const DRAINED: f64 = 40.0;

/// Whether the jug after `edit` needs no more care than it does now.
fn stays_mild(design: &Design, edit: &Edit, evaluation: &Evaluation) -> bool {
    let Edit::MoveAddition { index, mass, fats, to } = *edit else { return false };
    let mut next = design.clone();
    if next.move_addition(index, mass, fats, to).is_err() {
        return false;
    }
    let batch = crate::chemistry::size::solve(Plain, &next).1;
    let peak = |jug: Option<&Jug>| jug.and_then(|j| j.peak.ok());
    let after = Jug::of(Plain, &next, &batch);
    match (peak(after.as_ref()), peak(evaluation.jug.as_ref())) {
        (Some(after), Some(now)) => after <= USUAL_MOST || now > USUAL_MOST,
        (after, now) => after.is_some() || now.is_none(),
    }
}
