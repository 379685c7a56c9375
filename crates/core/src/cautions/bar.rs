//! What to mind about the finished bar.

use super::{Caution, Level, celsius, celsius_to};
use crate::design::Design;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::estimates::{Estimate, Place};
use crate::library::fats::FatKind;
use crate::library::handling::Clear;
use crate::number::{fixed, short};
use crate::units::{Interval, Measures, in_percent};

/// Warns of the bar.
pub(super) fn warn(
    design: &Design,
    library: &Library,
    evaluation: &Evaluation,
    measures: Measures,
    cautions: &mut Vec<Caution>,
) {
    cautions.extend(sets_at_once(design, library, measures));
    cautions.extend(free_fat(library, evaluation));
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
    let advice = "The estimates are for sodium soap.";
    if design.alkali.makes_paste() {
        let why = format!(
            "{} % of the alkali is potassium hydroxide: that makes a paste, by another process. There is nothing to cut, to \
             turn or to cure.",
            short(potash, 1)
        );
        cautions.push(Caution::new("koh-paste", Level::Stop, why, "This program is for bars: use less of it."));
    } else if potash > SOFT_BAR {
        let why = format!("{} % of the alkali is potassium hydroxide, whose soap is soft.", short(potash, 1));
        cautions.push(Caution::new("koh-share-high", Level::Care, why, advice));
    }
}

/// Percent of the alkali's equivalents above which potassium hydroxide makes a bar soft (common practice, no source).
const SOFT_BAR: f64 = 10.0;
/// Percent of free fat that is much, and of the acids of 8 to 14 carbons above which it is the way to a mild bar
/// (model).
const MUCH_FREE_FAT: f64 = 12.0;
const RICH: f64 = 40.0;
const LAURICS: [&str; 4] = ["8:0", "10:0", "12:0", "14:0"];

fn free_fat(library: &Library, evaluation: &Evaluation) -> Option<Caution> {
    let free = evaluation.masses.free_fat.0;
    if free <= MUCH_FREE_FAT {
        return None;
    }
    // Fat of an addition is not bound by more lye without danger.
    let of_additions = free - evaluation.masses.superfat.max(0.0) > MUCH_FREE_FAT / 2.0;
    let composition = evaluation.composition.as_ref();
    let laurics = composition.map_or(0.0, |c| {
        LAURICS.iter().filter_map(|key| library.acids.find(key)).map(|acid| in_percent(c.fraction(acid))).sum()
    });
    let shown = short(free, 2);
    if laurics >= RICH && !of_additions {
        let why = format!(
            "{shown} % of the fat stays unsaponified: in a blend with {} % of acids of 8 to 14 carbons that is the trade’s \
             way to a mild bar (common practice, no source).",
            fixed(laurics, 0)
        );
        return Some(Caution::new(
            "free-fat-high",
            Level::Note,
            why,
            "It may turn rancid sooner: use it within a year.",
        ));
    }
    let why =
        format!("{shown} % of the fat stays unsaponified: the bar is soft, lathers less and turns rancid sooner.");
    let advice = if of_additions { "Use less of the additions that bring fat." } else { "Lower the superfat." };
    Some(Caution::new("free-fat-high", Level::Care, why, advice))
}

/// Percent of the fats above which free acids set at once, and waxes want warmth (common practice, no source).
const FREE_ACIDS: f64 = 5.0;
const WAXES: f64 = 3.0;

fn sets_at_once(design: &Design, library: &Library, measures: Measures) -> Vec<Caution> {
    let of = |is_it: fn(FatKind) -> bool| {
        let lines = design.blend.lines().iter().filter(move |l| l.share.get() > 0.0 && is_it(l.fat.kind));
        lines.filter_map(|l| Some((l.share.get(), library.hard_fats.clear(&l.fat).filter(Clear::is_waxy)?)))
    };
    // With their shares goes what keeps all of them clear.
    let sum = |is_it| -> (f64, Option<Interval>) {
        let clear = of(is_it).map(|(_, clear)| clear.celsius).max_by(|a, b| a.min().total_cmp(&b.min()));
        (of(is_it).map(|(share, _)| share).sum(), clear)
    };
    let mut cautions = Vec::new();
    if let (acids, Some(clear)) = sum(|kind| kind == FatKind::FreeAcid)
        && acids > FREE_ACIDS
    {
        let why = format!(
            "{} % of the fats are free acids, as stearic acid: the batter sets at once below about {} (common practice, \
             no source).",
            short(acids, 1),
            celsius(clear.mid(), measures)
        );
        let advice = format!("Mix at {} and pour at once.", celsius_to(clear.mid(), clear.max(), measures));
        cautions.push(Caution::new("free-acids", Level::Care, why, advice));
    }
    if let (waxes, Some(clear)) = sum(|kind| kind != FatKind::FreeAcid)
        && waxes > WAXES
    {
        let why = format!("{} % of the fats are waxes, which set early (common practice, no source).", short(waxes, 1));
        let advice = format!("Mix warm, at {}.", celsius_to(clear.min(), clear.max(), measures));
        cautions.push(Caution::new("waxes", Level::Care, why, advice));
    }
    cautions
}
