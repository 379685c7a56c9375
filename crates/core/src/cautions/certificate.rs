//! What to mind about saponification values that do not come from the library: on a certificate, or in a file's own
//! records. One that is too high makes the maker weigh too much alkali.

use super::{Caution, Level, listed};
use crate::chemistry::alkali;
use crate::chemistry::margin::{LIKELY, LyeMargin};
use crate::chemistry::size::solve;
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::design::edit::Edit;
use crate::design::mould::Size;
use crate::design::supplier::Certificate;
use crate::evaluate::Evaluation;
use crate::formula::Plain;
use crate::library::Library;
use crate::library::fats::{Fat, FatKind};
use crate::library::possible::SvRanges;
use crate::number::{fixed, short, significant};
use crate::units::{FatMass, Grams, Superfat, in_percent};
use std::sync::Arc;

/// How far a figure may lie beyond what is possible, or below what is used, as a part of it (our judgement).
const BEYOND: f64 = 0.03;
/// Where the saponification value of a triglyceride lies whose acids are not known, mg KOH/g (from memory: high erucic
/// rapeseed to coconut).
const TRIGLYCERIDES: (f64, f64) = (170.0, 265.0);
/// No fat that is used for soap takes more, mg KOH/g (from memory).
const NO_FAT: f64 = 400.0;

/// The record by which the saponification value of `line` is judged, if it is not simply the library's.
fn judged_by<'l>(line: &'l FatLine, library: &'l Library) -> Option<&'l Arc<Fat>> {
    match library.fat(line.fat.id.as_str()) {
        Some(known) if line.supplier.is_none() && is_librarys(&line.fat, known) => None,
        Some(known) => Some(known),
        None => Some(line.published()),
    }
}

/// Whether `fat` has the published values of `known` and its lye rests on them, with or without what its acids say.
fn is_librarys(fat: &Fat, known: &Fat) -> bool {
    let published = known.sv.value;
    fat.sv.value == published && [published, known.lye()].contains(&fat.lye())
}

/// Warns of figures for the lye that are not the library's.
pub(super) fn warn(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let mut names: Vec<&str> = Vec::new();
    for line in design.blend.lines().iter().filter(|l| l.share.get() > 0.0) {
        let Some(basis) = judged_by(line, library) else { continue };
        names.push(&line.fat.name);
        // A figure that far off the fat's own acids is stopped already.
        if line.fat.accepts_sv(line.saponification_value(), &library.acids) {
            cautions.extend(doubt(line, basis, library));
        }
    }
    // One Stop says it of the same alkali.
    if names.is_empty() || cautions.iter().any(|c| c.blocks() && c.is_lye_heavy()) {
        return;
    }
    if let Some(chance) = chance_by_library(design, library, evaluation).filter(|chance| *chance > LIKELY) {
        let why = format!(
            "By the saponification values that are published and possible, and not those given for {}, the same alkali \
             makes the bar lye-heavy with a chance of about {} %.",
            listed(&names),
            significant(in_percent(chance))
        );
        let advice = "Hold back more alkali, or work without these figures.";
        cautions.push(Caution::new("sv-lye-heavy", Level::Stop, why, advice));
    }
}

/// What is to be doubted of one line.
fn doubt(line: &FatLine, basis: &Arc<Fat>, library: &Library) -> Option<Caution> {
    let sv = line.saponification_value();
    let ranges = SvRanges::of(basis);
    let SvRanges { possible, used, .. } = ranges;
    let (name, said) = (&line.fat.name, short(sv, 1));
    let is_own = library.fat(line.fat.id.as_str()).is_none();
    let whose = if line.supplier.is_some() { "on the certificate" } else { "in this file" };
    let range = format!("{} to {}", fixed(used.min(), 1), fixed(used.max(), 1));
    let caution = |code, level, why: String, advice: &str| {
        let caution = Caution::new(code, level, why, advice);
        match library.fat(line.fat.id.as_str()) {
            Some(_) if line.supplier.is_some() => {
                let without = Certificate { sv: None, acids: line.certificate().acids };
                caution.with_remedy("Use the published figure", Edit::Supplier(line.fat.id.clone(), without))
            }
            Some(_) => caution.with_remedy("Use the library’s figures", Edit::RefreshRecords),
            None => caution,
        }
    };
    let heavy = "A figure too high means burning lye: check it against the certificate of this lot.";
    if sv > ranges.most() * (1.0 + BEYOND) || is_own && sv > NO_FAT {
        let most = if sv > NO_FAT {
            format!("no fat takes more than {}", short(NO_FAT, 0))
        } else {
            let what = if possible.is_some() { "its fatty acids allow" } else { "is published" };
            format!("{} is the most that {what}", fixed(ranges.most(), 1))
        };
        let why = format!("The saponification value of {name} {whose}, {said}, cannot be: {most}.");
        return Some(caution("sv-too-high", Level::Stop, why, heavy));
    }
    if sv < used.min() * (1.0 - BEYOND) {
        let why = format!("The saponification value of {name} {whose}, {said}, is far below the usual {range}.");
        let advice = "With too little alkali the bar stays soft and greasy: check the figure.";
        return Some(caution("sv-low", Level::Care, why, advice));
    }
    let (least, most) = TRIGLYCERIDES;
    let is_doubtful = match basis.kind {
        FatKind::Triglyceride => possible.is_none() && !(least..=most).contains(&sv),
        // Waxes take less than fats do.
        FatKind::Wax | FatKind::WaxEster { .. } => sv > most,
        FatKind::FreeAcid => false,
    };
    if is_own && is_doubtful {
        let why = format!(
            "The saponification value of {name}, {said}, lies outside the {} to {} of fats and oils.",
            short(least, 0),
            short(most, 0)
        );
        return Some(caution("sv-outside", Level::Care, why, heavy));
    }
    if !used.contains(sv) {
        let why = format!(
            "The saponification value of {name} {whose}, {said}, lies outside the {range} that are published and possible."
        );
        return Some(caution("sv-outside", Level::Care, why, heavy));
    }
    None
}

/// The chance (0–1) that the batch's alkali is too much where every doubted figure is replaced by the range that is
/// published and possible; `None` if nothing can be said.
fn chance_by_library(design: &Design, library: &Library, evaluation: &Evaluation) -> Option<f64> {
    let batch = &evaluation.masses;
    let line = |line: &FatLine| {
        let Some(basis) = judged_by(line, library) else { return line.clone() };
        FatLine::new(basis.narrowed(), line.share)
    };
    let blend = Blend::new(design.blend.lines().iter().map(line).collect()).ok()?;
    let masses = evaluation.fat_masses.iter().copied();
    let of_fats: Grams = alkali::exact_koh(masses.zip(blend.lines().iter().map(FatLine::saponification_value)));
    let need = of_fats + batch.added_fatty_koh;
    let for_fats = batch.exact_koh * (1.0 - design.superfat.fraction());
    if need.0 <= 0.0 {
        return None;
    }
    let superfat = Superfat::nearest(in_percent(1.0 - for_fats.0 / need.0));
    let size = Size::FatMass(FatMass::nearest(batch.fats.0));
    let next = Design { blend, superfat, size, ..design.clone() };
    let (nominal, masses, _) = solve(Plain, &next);
    let fats: Vec<Grams> = alkali::masses(Plain, next.blend.lines(), Grams(nominal)).collect();
    let margin = LyeMargin::read(Plain, &next, &masses, &fats)?;
    // Most are far from it, and the exact chance takes a while.
    Some(if margin.chance_bound() <= LIKELY { 0.0 } else { margin.chance_lye_heavy() })
}
