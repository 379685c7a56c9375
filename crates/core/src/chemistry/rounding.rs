//! What weighing on a scale with coarse steps does to the superfat.

use crate::chemistry::alkali::{exact_koh, naoh_to_koh};
use crate::chemistry::masses::Masses;
use crate::design::Design;
use crate::formula::Plain;
use crate::library::acids::molar_mass;
use crate::library::additions::Addition;
use crate::units::{Grams, ScaleDivision, in_percent};

/// `mass` as a scale of this division shows it.
pub fn rounded(mass: Grams, division: ScaleDivision) -> Grams {
    let steps = (mass.0 / division.get()).round();
    // Divided by a whole number of steps per gram where there is one, so that 0.1 g stays 0.1.
    let per_gram = (1.0 / division.get()).round();
    let whole = (per_gram * division.get() - 1.0).abs() < 1e-9;
    Grams(if whole { steps / per_gram } else { steps * division.get() })
}

/// `mass` as it is told to whoever weighs it: as the scale shows it, or exactly where the scale shows nothing of so
/// little.
pub fn as_told(mass: Grams, division: ScaleDivision) -> Grams {
    Some(rounded(mass, division)).filter(|shown| shown.0 > 0.0).unwrap_or(mass)
}

/// The superfat that the batch has when everything is weighed as it is [told](as_told), percent: minus infinity where
/// alkali is left on the scale and no fat; `None` where neither is.
pub fn superfat(design: &Design, masses: &Masses, fats: &[Grams], additions: &[Grams]) -> Option<f64> {
    let shown = |mass: Grams| as_told(mass, design.scale_division);
    let lines = design.blend.lines().iter().zip(fats);
    let of_fats = exact_koh(lines.map(|(line, mass)| (shown(*mass), line.saponification_value())));
    let of_additions = design.additions.iter().zip(additions).filter(|(line, _)| line.stage.meets_lye());
    let of_acids = |protons_per_gram: fn(&Addition) -> f64| -> Grams {
        let lines = of_additions.clone();
        lines.map(|(l, mass)| shown(*mass) * (protons_per_gram(&l.addition) * molar_mass::KOH)).sum()
    };
    let need = of_fats + of_acids(Addition::fatty_protons_per_gram);
    let acids = of_acids(Addition::sour_protons_per_gram);
    let naoh = naoh_to_koh(Plain, shown(masses.alkali.naoh) * design.alkali.naoh_purity.fraction());
    let has = naoh + shown(masses.alkali.koh) * design.alkali.koh_purity.fraction();
    let left = has - acids;
    if need.0 > 0.0 {
        return Some(in_percent(1.0 - left.0 / need.0));
    }
    (left.0 > 0.0).then_some(f64::NEG_INFINITY)
}
