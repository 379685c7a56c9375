//! What to mind about the blend and its records.

use super::{Caution, Level, listed};
use crate::design::Design;
use crate::design::edit::Edit;
use crate::design::supplier::SuppliedAcids;
use crate::evaluate::{Evaluation, MOST_UNKNOWN};
use crate::library::Library;
use crate::library::additions::AdditionLine;
use crate::library::fats::SV_TOLERANCE;
use crate::library::scents::ScentLine;
use crate::number::{self, fixed, short};
use crate::units::in_percent;
use std::sync::Arc;

/// Warns of the fats and their records.
pub(super) fn warn(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let blend = &design.blend;
    if blend.lines().is_empty() {
        let advice = "Add a fat by typing a part of its name.";
        cautions.push(Caution::new("no-fats", Level::Stop, "There is no fat in this design yet.", advice));
        return;
    }
    if !blend.is_whole() {
        let why = format!("The shares sum to {} %, not 100 %, so every weight is off.", unlike(blend.total(), 100.0));
        let caution =
            Caution::new("shares-not-100", Level::Stop, why, "Correct a share, or let the unlocked fats fill up.");
        cautions.push(match blend.clone().fill() {
            Ok(()) => caution.with_remedy("Make it 100 %", Edit::FillBlend),
            Err(error) => Caution { advice: format!("It cannot be filled up: {error}."), ..caution },
        });
    }
    for line in blend.lines() {
        let sv = line.saponification_value();
        if let Some(calculated) = line.fat.calculated_sv(&library.acids).filter(|c| (sv / c - 1.0).abs() > SV_TOLERANCE)
        {
            let why = format!(
                "The saponification value of {}, {}, is {} % off the {} that its fatty acids give: a misprint here means burning lye.",
                line.fat.name,
                short(sv, 1),
                fixed(in_percent((sv / calculated - 1.0).abs()), 0),
                fixed(calculated, 1),
            );
            cautions.push(Caution::new(
                "sv-doubtful",
                Level::Stop,
                why,
                "Check the figure against the supplier’s certificate.",
            ));
        }
    }
    for line in blend.lines() {
        let unexpected = line.acids.iter().flat_map(SuppliedAcids::unexpected);
        let found: Vec<String> = unexpected.map(|u| u.words(&library.acids)).collect();
        if !found.is_empty() {
            let found: Vec<&str> = found.iter().map(String::as_str).collect();
            let why = format!(
                "The supplier’s fatty acids of {} lie outside of what is published: {}.",
                line.fat.name,
                listed(&found)
            );
            let advice = "It may be another oil, a mixture or a misprint: ask the supplier. The estimates use them as typed, the lye does not.";
            cautions.push(Caution::new("acids-doubtful", Level::Care, why, advice));
        }
    }
    if let Some(c) = evaluation.composition.as_ref().filter(|c| c.unknown > 0.0 && c.unknown <= MOST_UNKNOWN) {
        let why = format!(
            "{} % of the blend has no tabled fatty acids; the estimates leave it out.",
            short(in_percent(c.unknown), 1)
        );
        cautions.push(Caution::new("no-profile", Level::Note, why, "The lye does count it."));
    }
    let weighed = evaluation.masses.fats.0 > 0.0;
    if weighed && evaluation.estimates.is_none() {
        let why = "More than 10 % of the blend has no tabled fatty acids, so the bar cannot be estimated.";
        cautions.push(Caution::new("estimates-unknown", Level::Care, why, "The lye and the weights still hold."));
    }
    if weighed && evaluation.chemistry.tfm_fresh.is_none() {
        let why = "The total fatty matter is not given: the make-up of a wax in the blend is not tabled.";
        cautions.push(Caution::new("tfm-unknown", Level::Note, why, "Everything else holds."));
    }
    let mut changed: Vec<&str> = Vec::new();
    for line in blend.lines() {
        let (own, known) = (line.published(), library.fat(line.fat.id.as_str()));
        let differs = known.is_some_and(|known| !Arc::ptr_eq(known, own) && !known.has_figures_of(own));
        changed.extend(differs.then_some(line.fat.name.as_str()));
    }
    for AdditionLine { addition, .. } in &design.additions {
        let known = library.addition(addition.id.as_str()).filter(|_| !addition.is_makers());
        // As what its acid counts is offered apart, with what it changes.
        changed.extend(differs(&addition.counting_as_fat(true), known).then_some(addition.name.as_str()));
    }
    for ScentLine { scent, .. } in &design.scents {
        let known = library.scent(scent.id.as_str()).filter(|_| !scent.is_makers());
        changed.extend(differs(scent, known).then_some(scent.name.as_str()));
    }
    if !changed.is_empty() {
        let why = format!("This design keeps figures that differ from today’s library: {}.", listed(&changed));
        let caution =
            Caution::new("records-differ", Level::Note, why, "They are used as saved, so that the numbers stay.");
        cautions.push(caution.with_remedy("Use the library’s figures", Edit::RefreshRecords));
    }
}

/// `value` with as many decimals, two at the least, as tell it from `whole`.
fn unlike(value: f64, whole: f64) -> String {
    let differs = |text: &String| number::parse(text, &[]).is_ok_and(|shown| (shown - whole).abs() > 1e-9);
    (2..=8).map(|decimals| fixed(value, decimals)).find(differs).unwrap_or_else(|| fixed(value, 8))
}

/// Whether the library knows `record` with other figures; unchanged records are shared with it,
/// so that this is quick.
fn differs<T: PartialEq>(record: &Arc<T>, known: Option<&Arc<T>>) -> bool {
    known.is_some_and(|known| !Arc::ptr_eq(known, record) && **known != **record)
}
