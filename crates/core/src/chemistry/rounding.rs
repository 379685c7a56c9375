//! What weighing on a scale with coarse steps does to the superfat.

use crate::chemistry::alkali::{exact_koh, naoh_to_koh};
use crate::chemistry::masses::Masses;
use crate::design::Design;
use crate::formula::Plain;
use crate::library::acids::molar_mass;
use crate::units::{Grams, ScaleDivision, in_percent};

/// `mass` as a scale of this division shows it.
pub fn rounded(mass: Grams, division: ScaleDivision) -> Grams {
    let steps = (mass.0 / division.get()).round();
    // Divided by a whole number of steps per gram where there is one, so that 0.1 g stays 0.1.
    let per_gram = (1.0 / division.get()).round();
    let whole = (per_gram * division.get() - 1.0).abs() < 1e-9;
    Grams(if whole { steps / per_gram } else { steps * division.get() })
}

/// The superfat that the batch has when everything is weighed as the scale shows it, percent: minus infinity where
/// alkali is left on the scale and no fat; `None` where neither is.
pub fn superfat(design: &Design, masses: &Masses, fats: &[Grams], additions: &[Grams]) -> Option<f64> {
    let shown = |mass: Grams| rounded(mass, design.scale_division);
    let lines = design.blend.lines().iter().zip(fats);
    let need = exact_koh(lines.map(|(line, mass)| (shown(*mass), line.saponification_value())));
    let of_additions = design.additions.iter().zip(additions).filter(|(line, _)| line.stage.meets_lye());
    let acids: Grams =
        of_additions.map(|(l, mass)| shown(*mass) * (l.addition.protons_per_gram() * molar_mass::KOH)).sum();
    let naoh = naoh_to_koh(Plain, shown(masses.alkali.naoh) * design.alkali.naoh_purity.fraction());
    let has = naoh + shown(masses.alkali.koh) * design.alkali.koh_purity.fraction();
    let left = has - acids;
    if need.0 > 0.0 {
        return Some(in_percent(1.0 - left.0 / need.0));
    }
    (left.0 > 0.0).then_some(f64::NEG_INFINITY)
}
