//! What to mind about acids whose figures are a file's own: alkali is weighed for them, and where the acid is not there
//! it is left in the bar.

use super::{Caution, Level, listed};
use crate::design::Design;
use crate::design::edit::Edit;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::acids::molar_mass;
use crate::library::additions::{Addition, AdditionLine};
use crate::number::fixed;
use crate::units::{Grams, percent_of};

/// By what part an acid may be stronger than the library has it before it is doubted (our judgement: lemons and vinegars
/// differ by as much).
const STRONGER: f64 = 0.2;
/// By what factor a maker's own figure may be above the library's before it is taken for a slip (our judgement: pickling
/// vinegar has twice the acid of the usual one).
const SLIP: f64 = 3.0;
/// No acid that is used for soap gives off more, mol/g (phosphoric acid, 3 of 97.99 g/mol; with room for rounding).
const NO_ACID: f64 = 0.031;

/// Whether the acid of `addition` would take more alkali than any acid does.
fn is_impossible(addition: &Addition) -> bool {
    addition.acid.as_ref().is_some_and(|a| f64::from(a.value.protons) > NO_ACID * a.value.molar_mass.get())
}

/// Protons of all acids that the library knows of in `addition`, counted or not, mol/g.
fn at_most(addition: &Addition) -> f64 {
    let uncounted = addition.uncounted_acid.as_ref().map_or(0.0, |a| a.most.fraction() * a.naoh_per_gram);
    addition.protons_per_gram() + uncounted / molar_mass::NAOH
}

/// Warns of acids that are stronger than they can be, or than the library has them.
pub(super) fn warn(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let batch = &evaluation.masses;
    let lines: Vec<&AdditionLine> = design.additions.iter().filter(|l| l.stage.meets_lye()).collect();
    let weighed = |l: &&&AdditionLine| l.amount.mass(batch.fats).0 > 0.0;
    let impossible: Vec<&str> =
        lines.iter().filter(weighed).filter(|l| is_impossible(&l.addition)).map(|l| l.addition.name.as_str()).collect();
    if !impossible.is_empty() {
        let why = format!(
            "The acid of {} cannot be as this file has it: none for soap takes so much alkali by its molar mass.",
            listed(&impossible)
        );
        let advice = "Alkali is weighed for it: correct its molar mass or its protons.";
        cautions.push(Caution::new("acid-impossible", Level::Stop, why, advice));
    }
    let mut more = Grams::ZERO;
    let mut names: Vec<&str> = Vec::new();
    let (mut may_be_a_slip, mut is_typed) = (false, false);
    for line in lines {
        let Some(known) = library.addition(line.addition.id.as_str()) else { continue };
        let (said, known) = (line.addition.protons_per_gram(), at_most(known));
        let mass = line.amount.mass(batch.fats);
        if mass.0 > 0.0 && said > known * (1.0 + STRONGER) {
            more += mass * ((said - known) * molar_mass::KOH);
            names.push(&line.addition.name);
            let is_makers = line.addition.is_makers();
            is_typed |= is_makers;
            may_be_a_slip |= !is_makers || said > SLIP * known;
        }
    }
    if names.is_empty() || batch.exact_koh.0 <= 0.0 {
        return;
    }
    let superfat = batch.superfat - percent_of(more.0, batch.exact_koh.0);
    let why = format!(
        "This file has more acid in {} than the library. By the library the same weights leave a superfat of {} %.",
        listed(&names),
        fixed(superfat, 1)
    );
    let level = if superfat <= 0.0 && may_be_a_slip { Level::Stop } else { Level::Care };
    let advice = "Read the acid content off the bottle; of an acid that is not there, the alkali stays in the bar.";
    let caution = Caution::new("acid-record", level, why, advice);
    // What a maker has typed is not replaced with one click.
    cautions.push(if is_typed {
        caution
    } else {
        caution.with_remedy("Use the library’s figures", Edit::RefreshRecords)
    });
}
