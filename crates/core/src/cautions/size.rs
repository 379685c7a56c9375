//! What to mind about the size of the batch.

use super::{Caution, Level};
use crate::chemistry::masses::BATTER_C;
use crate::chemistry::size::{SizeError, SizeUnit};
use crate::design::Design;
use crate::design::edit::Edit;
use crate::evaluate::Evaluation;
use crate::number::fixed;

/// Warns of a size that is not reached or rests on guesses.
pub(super) fn warn(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    match evaluation.size_error {
        Some(SizeError::Small { least, asked, unit }) => {
            let (unit, asked_for) = (unit.sign(), asked_for(unit));
            let why = format!(
                "What is given in grams alone makes {} {unit}, {} {unit} more than the {} {unit} {asked_for}: there is no room for fats.",
                fixed(least, 1),
                fixed(least - asked, 1),
                fixed(asked, 1),
            );
            let advice = "Use a larger mould, or give the additions and scents in percent of the fats.";
            cautions.push(Caution::new("size-too-small", Level::Stop, why, advice));
        }
        Some(SizeError::Large { most, asked, unit }) => {
            let (unit, asked_for) = (unit.sign(), asked_for(unit));
            let why = format!(
                "A batch of at most a tonne of fats makes {} {unit}, less than the {} {unit} {asked_for}.",
                fixed(most, 0),
                fixed(asked, 0)
            );
            cautions.push(Caution::new("size-too-large", Level::Stop, why, "Fill a smaller mould."));
        }
        None => {}
    }
    if let Some(bars) = design.size.own_bars().filter(|b| *b != design.bars) {
        let why = format!("The number of cavities is {} and the design says {} bars.", bars.get(), design.bars.get());
        let caution = Caution::new("bars-by-mould", Level::Note, why, "Each cavity counts as a bar.");
        cautions.push(caution.with_remedy(format!("Set {} bars", bars.get()), Edit::Bars(bars)));
    }
    if design.size.wanted_ml().is_some() && design.calibration.batter_g_per_ml.is_none() {
        let untabled: Vec<&str> = design
            .blend
            .lines()
            .iter()
            .filter(|l| l.fat.relative_density.is_none() && l.share.get() > 0.0)
            .map(|l| l.fat.name.as_str())
            .collect();
        if !untabled.is_empty() {
            let why = format!(
                "The density of {} is not tabled; 0.905 g/ml at 40 °C is taken (from memory).",
                untabled.join(", ")
            );
            let advice = "Pour one batch and type in the density of its batter.";
            cautions.push(Caution::new("density-assumed", Level::Note, why, advice));
        }
        if let Err(beyond) = evaluation.masses.lye().measured(BATTER_C) {
            let why = format!("The volume of the lye is extrapolated: {beyond}.");
            let advice = "Leave some room in the mould, or use more water in the jug.";
            cautions.push(Caution::new("volume-extrapolated", Level::Care, why, advice));
        }
    }
}

/// What was asked for, behind a number of `unit`.
const fn asked_for(unit: SizeUnit) -> &'static str {
    match unit {
        SizeUnit::Millilitres | SizeUnit::Grams => "asked for",
        SizeUnit::GramsAtSale => "of all bars at sale asked for",
    }
}
