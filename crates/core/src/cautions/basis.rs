//! What to mind about the saponification values that the lye rests on: where a design was saved with wider ones than the
//! fats can have, and where what is published of a fat and what it is made of do not meet.

use super::{Caution, Level};
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::design::edit::Edit;
use crate::evaluate::{Evaluation, evaluate};
use crate::library::Library;
use crate::library::possible::SvRanges;
use crate::number::{fixed, mass, short};
use crate::units::{Grams, MassUnit, Measures};

/// The code of the offer of narrower values: a choice about the design, nothing to mind at the bench.
pub(super) const OFFER: &str = "sv-narrower";

/// Warns of what the lye rests on. Where a supplier's figure is used, nothing of it matters.
pub(super) fn warn(
    design: &Design,
    library: &Library,
    evaluation: &Evaluation,
    measures: Measures,
    cautions: &mut Vec<Caution>,
) {
    let lines = design.blend.lines().iter().filter(|l| l.share.get() > 0.0 && l.supplier.is_none());
    let with_ranges: Vec<(&FatLine, SvRanges)> = lines.map(|l| (l, SvRanges::of(l.published()))).collect();
    cautions.extend(with_ranges.iter().filter_map(|(line, ranges)| disagreement(line, ranges)));
    let moved = |(line, ranges): &&(&FatLine, SvRanges)| (ranges.used.mid() / line.fat.lye().mid() - 1.0).abs();
    let narrower = with_ranges.iter().filter(|(line, ranges)| line.fat.lye() != ranges.used);
    let Some((line, ranges)) = narrower.max_by(|a, b| moved(a).total_cmp(&moved(b))) else { return };
    let Ok(next) = Edit::NarrowLye.apply(design, library) else { return };
    let (now, then) = (&evaluation.masses.alkali, evaluate(&next, library).masses.alkali);
    let alkalis = [("sodium hydroxide", now.naoh, then.naoh), ("potassium hydroxide", now.koh, then.koh)];
    let weights = alkalis.into_iter().filter(|(_, now, _)| now.0 > 0.0);
    let weights: Vec<String> = weights.map(|alkali| weighed(alkali, measures.mass)).collect();
    let why = format!(
        "The lye rests on saponification values as saved. What the fats are made of narrows them, most of all those of \
         {}, from {} to {} in the middle: the batch then takes {}.",
        line.fat.name,
        short(line.fat.lye().mid(), 1),
        short(ranges.used.mid(), 1),
        weights.join(" and ")
    );
    let advice = "They stay as saved until you take the narrower ones; the planned superfat stays.";
    let caution = Caution::new(OFFER, Level::Note, why, advice);
    cautions.push(caution.with_remedy("Use the narrower values", Edit::NarrowLye));
}

fn weighed((name, now, then): (&str, Grams, Grams), unit: MassUnit) -> String {
    format!("{} of {name} in place of {}", mass(then, unit), mass(now, unit))
}

/// That what is published of a fat is not possible by its acids.
fn disagreement(line: &FatLine, ranges: &SvRanges) -> Option<Caution> {
    let possible = ranges.possible.filter(|_| ranges.disagree())?;
    let SvRanges { published, .. } = ranges;
    let (least, most) = (fixed(possible.min(), 1), fixed(possible.max(), 1));
    let why = format!(
        "Published and composition disagree on {}: {} to {} is published, and its fatty acids allow {least} to {most}.",
        line.fat.name,
        fixed(published.min(), 1),
        fixed(published.max(), 1),
    );
    let advice = "Ask the supplier for the certificate of the lot, and type its saponification value.";
    // Below, the lye may be too much; above, more fat is left than planned.
    let level = if possible.max() < published.min() { Level::Care } else { Level::Note };
    Some(Caution::new("sv-disagrees", level, why, advice))
}
