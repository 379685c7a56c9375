//! What to mind about the finished bar.

use super::{Caution, Level};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::estimates::{Estimate, Place};
use crate::number::{fixed, short};

/// Warns of the bar.
pub(super) fn warn(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    if evaluation.masses.free_fat.0 > 12.0 {
        let why = format!(
            "{} % of the fat stays unsaponified: the bar is soft, lathers less and turns rancid sooner.",
            short(evaluation.masses.free_fat.0, 2)
        );
        // Fat of an addition is not bound by more lye without danger.
        let advice = if evaluation.masses.free_fat.0 - evaluation.masses.superfat.max(0.0) > 6.0 {
            "Use less of the additions that bring fat."
        } else {
            "Lower the superfat."
        };
        cautions.push(Caution::new("free-fat-high", Level::Care, why, advice));
    }
    if library.style(&design.style).is_none() {
        let why = format!("The style “{}” is not known here, so no guideline range is shown.", design.style);
        cautions.push(Caution::new("style-unknown", Level::Note, why, "Choose a style."));
    }
    if let Some(keeping) = evaluation.estimate(Estimate::Keeping).filter(|k| k.place == Some(Place::Above)) {
        let why = format!(
            "The fats take up oxygen more readily ({}) than those of the style’s reference soaps: such a bar may turn rancid early.",
            fixed(keeping.value, 2),
        );
        let advice = "Use less of the fats rich in linoleic and linolenic acid, keep the superfat low, and store the bars cool and dark.";
        cautions.push(Caution::new("keeping-above-range", Level::Note, why, advice));
    }
    let potash = design.alkali.koh_share.get();
    if potash > 10.0 {
        let why = format!("{} % of the alkali is potassium hydroxide, whose soap is soft or liquid.", short(potash, 1));
        cautions.push(Caution::new("koh-share-high", Level::Note, why, "The estimates are for sodium soap."));
    }
}
