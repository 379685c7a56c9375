//! What to mind about the saponification values that the lye rests on: where a design was saved with wider ones than the
//! fats can have or before fatty acids counted as fats, and where what is published of a fat and what it is made of do not meet.

use super::{Caution, Level, listed};
use crate::design::Design;
use crate::design::blend::FatLine;
use crate::design::edit::Edit;
use crate::evaluate::{Evaluation, evaluate};
use crate::library::Library;
use crate::library::possible::SvRanges;
use crate::number::{fixed, mass, short};
use crate::units::{Grams, Interval, MassUnit, Measures};

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
    let widest = narrower.max_by(|a, b| moved(a).total_cmp(&moved(b))).map(|(line, ranges)| (*line, ranges));
    let acids: Vec<&str> = as_saved(design);
    if widest.is_none() && acids.is_empty() {
        return;
    }
    let Ok(next) = Edit::NarrowLye.apply(design, library) else { return };
    let (now, then) = (&evaluation.masses.alkali, evaluate(&next, library).masses.alkali);
    let alkalis = [("sodium hydroxide", now.naoh, then.naoh), ("potassium hydroxide", now.koh, then.koh)];
    let weights = alkalis.into_iter().filter(|(_, now, _)| now.0 > 0.0);
    let weights: Vec<String> = weights.map(|alkali| weighed(alkali, measures.mass)).collect();
    let mut why: Vec<String> = Vec::new();
    if let Some((line, ranges)) = widest {
        why.push(format!(
            "The lye rests on saponification values as saved. What the fats are made of narrows them, most of all those of \
             {}, from {} to {} in the middle.",
            line.fat.name,
            short(line.fat.lye().mid(), 1),
            short(ranges.used.mid(), 1),
        ));
    }
    if !acids.is_empty() {
        let acids = listed(&acids);
        why.push(format!("As saved, all of {acids} takes alkali; as a fat, the superfat is left of it too."));
    }
    why.push(format!("The batch then takes {}.", weights.join(" and ")));
    let (advice, remedy) = if widest.is_some() {
        ("They stay as saved until you take the narrower ones; the planned superfat stays.", "Use the narrower values")
    } else {
        ("It stays as saved until you count it as a fat; the planned superfat stays.", "Count it as a fat")
    };
    let caution = Caution::new(OFFER, Level::Note, why.join(" "), advice);
    cautions.push(caution.with_remedy(remedy, Edit::NarrowLye));
}

/// The additions that meet the lye with a fatty acid that does not count as a fat does, as saved, each once.
fn as_saved(design: &Design) -> Vec<&str> {
    let lines = design.additions.iter().filter(|l| l.stage.meets_lye() && l.addition.takes_as_saved());
    let mut names: Vec<&str> = Vec::new();
    for line in lines {
        if !names.contains(&line.addition.name.as_str()) {
            names.push(&line.addition.name);
        }
    }
    names
}

fn weighed((name, now, then): (&str, Grams, Grams), unit: MassUnit) -> String {
    format!("{} of {name} in place of {}", mass(then, unit), mass(now, unit))
}

/// How far a published range may lie off by its rounding alone: half of the last place in which its ends are written,
/// whole numbers or tenths.
fn rounding(published: Interval) -> f64 {
    let is_whole = |end: f64| end.fract().abs() < 1e-9;
    if is_whole(published.min()) && is_whole(published.max()) { 0.5 } else { 0.05 }
}

/// That what is published of a fat is not possible by its acids, by more than figures are rounded.
fn disagreement(line: &FatLine, ranges: &SvRanges) -> Option<Caution> {
    let SvRanges { published, .. } = ranges;
    let matters = ranges.apart() > rounding(line.published().sv.value);
    let possible = ranges.possible.filter(|_| matters)?;
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
