//! How far the scores may lie from those of the typical profiles.
//!
//! Each fat's acids lie anywhere in their published ranges and sum to 100 %. That is a small linear
//! programme a fat, whose ends are found exactly: start with every acid at its least and fill up
//! with those that count most, or least. Fats are taken at their extremes all at once.

use crate::chemistry::estimates::Estimate;
use crate::design::blend::Blend;
use crate::library::Library;
use crate::library::acids::AcidId;
use crate::library::fats::{Fat, FatKind, ProfileEntry};
use crate::units::Interval;

/// The range an acid's share may take, percent. A single published figure is no range: the typical
/// value stands. A typical value beside its range widens it, so that the typical profile is one of
/// those considered.
fn room(entry: &ProfileEntry) -> (f64, f64) {
    if entry.range.width() > 0.0 {
        (entry.range.min().min(entry.typical), entry.range.max().max(entry.typical))
    } else {
        (entry.typical, entry.typical)
    }
}

/// The least and the most of Σ share·weight over the profiles of `fat` (shares as fractions).
fn extremes(fat: &Fat, weight: impl Fn(AcidId) -> f64) -> (f64, f64) {
    let mut entries: Vec<(f64, f64, f64)> = fat
        .profile()
        .iter()
        .map(|e| {
            let (least, most) = room(e);
            (weight(e.acid), least, most)
        })
        .collect();
    entries.sort_by(|a, b| a.0.total_cmp(&b.0));
    let typical: f64 = fat.profile().iter().map(|e| e.typical).sum();
    let least: f64 = entries.iter().map(|(_, least, _)| least).sum();
    let base: f64 = entries.iter().map(|(w, least, _)| w * least).sum();
    // The rest goes to the acids in order of their weights, from the low or the high end.
    let fill = |order: &mut dyn Iterator<Item = &(f64, f64, f64)>| {
        let mut rest = typical - least;
        let mut sum = base;
        for (w, least, most) in order {
            let part = rest.min(most - least).max(0.0);
            sum += w * part;
            rest -= part;
        }
        sum / 100.0
    };
    (fill(&mut entries.iter()), fill(&mut entries.iter().rev()))
}

fn unsaponifiable(fat: &Fat) -> (f64, f64) {
    fat.unsaponifiable.as_ref().map_or((0.0, 0.0), |u| (u.value.min() / 1000.0, u.value.max() / 1000.0))
}

/// A mean over the fats of `blend` that have a profile, weighted by share; `None` if none has one.
fn over_blend(blend: &Blend, of_fat: impl Fn(&Fat) -> (f64, f64)) -> Option<(f64, f64)> {
    let [mut known, mut low, mut high] = [0.0; 3];
    for line in blend.lines().iter().filter(|l| !l.fat.profile().is_empty()) {
        let share = line.share.get();
        let (l, h) = of_fat(&line.fat);
        known += share;
        low += share * l;
        high += share * h;
    }
    (known > 0.0).then(|| (low / known, high / known))
}

/// The least and the most that the acids of `fat` alone would score; for conditioning with its
/// unsaponifiable matter, without free fat.
pub(crate) fn score_of(fat: &Fat, estimate: Estimate, library: &Library) -> (f64, f64) {
    let (low, high) = extremes(fat, |acid| library.weights.get(acid, estimate));
    let (least, most) = if estimate == Estimate::Conditioning { unsaponifiable(fat) } else { (0.0, 0.0) };
    (low + 100.0 * least, high + 100.0 * most)
}

/// The spread of every score, in the order of [`Estimate::ALL`], with `free_fat` percent of all fat
/// unsaponified; `None` if no fat has a profile.
pub fn scores(blend: &Blend, free_fat: f64, library: &Library) -> Option<[Interval; 7]> {
    let mut spreads = [None; 7];
    for estimate in Estimate::ALL {
        let ends = over_blend(blend, |fat| score_of(fat, estimate, library));
        let (mut low, mut high) = ends?;
        if estimate == Estimate::Conditioning {
            low = (low + free_fat).min(100.0);
            high = (high + free_fat).min(100.0);
        }
        // Rounding can turn the ends of a spread without width about.
        spreads[estimate as usize] = Interval::hull([low, high]);
    }
    let all: Option<Vec<Interval>> = spreads.into_iter().collect();
    all?.try_into().ok()
}

/// The least and the most calculated iodine value of `fat`, g iodine per 100 g.
pub(crate) fn iodine_of(fat: &Fat, library: &Library) -> (f64, f64) {
    let (least, most) = unsaponifiable(fat);
    match fat.kind {
        FatKind::Triglyceride => {
            let (low, high) = extremes(fat, |acid| library.acids.get(acid).triglyceride_iv());
            (low * (1.0 - most), high * (1.0 - least))
        }
        FatKind::FreeAcid => extremes(fat, |acid| library.acids.get(acid).free_iv()),
        // One double bond in each half, whatever the acids.
        FatKind::WaxEster { .. } | FatKind::Wax => {
            let iv = fat.calculated_iv(&library.acids).unwrap_or_default();
            (iv, iv)
        }
    }
}

/// The spread of the calculated iodine value, g iodine per 100 g; `None` if no fat has a profile.
pub fn iodine_value(blend: &Blend, library: &Library) -> Option<Interval> {
    let ends = over_blend(blend, |fat| iodine_of(fat, library));
    ends.and_then(|(low, high)| Interval::hull([low, high]))
}

/// The spread of the saponification value the lye rests on, mg KOH/g, from published ranges and
/// suppliers' figures; `None` without fats.
pub fn saponification_value(blend: &Blend) -> Option<Interval> {
    let total = blend.total();
    let sum = |end: fn(Interval) -> f64| -> f64 {
        blend.lines().iter().map(|l| l.share.get() * end(l.saponification_range())).sum::<f64>() / total
    };
    Interval::hull([sum(Interval::min), sum(Interval::max)]).filter(|_| total > 0.0)
}

/// The least and the most mole fraction of `acid` among the acids of `blend`, all fats at their
/// extremes at once: the ratio x = N/D of two linear sums is extreme where the extreme of N − x·D
/// is 0.
fn mole_fraction(blend: &Blend, acid: AcidId, library: &Library) -> Option<(f64, f64)> {
    let ends = |x: f64| {
        over_blend(blend, |fat| {
            extremes(fat, |other| {
                let part = if other == acid { 1.0 - x } else { -x };
                part / library.acids.get(other).molar_mass
            })
        })
    };
    let root = |pick: fn((f64, f64)) -> f64| {
        let (mut low, mut low_off) = (0.0, pick(ends(0.0)?));
        let (mut high, mut high_off) = (1.0, pick(ends(1.0)?));
        if low_off <= 0.0 {
            return Some(0.0);
        }
        let mut x = high;
        // False position with halved weights (the Illinois rule).
        for _ in 0..60 {
            x = (low * high_off - high * low_off) / (high_off - low_off);
            let off = pick(ends(x)?);
            if off.abs() < 1e-15 || high - low < 1e-12 {
                break;
            }
            if off > 0.0 {
                (low, low_off) = (x, off);
                high_off *= 0.5;
            } else {
                (high, high_off) = (x, off);
                low_off *= 0.5;
            }
        }
        Some(x)
    };
    Some((root(|e| e.0)?, root(|e| e.1)?))
}

/// An acid at an end of its mole fraction among the acids of a blend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SetsFirst {
    pub(crate) acid: AcidId,
    /// Its mole fraction.
    pub(crate) part: f64,
    /// The titre, °C, if it sets first.
    pub(crate) titre: f64,
}

/// What sets first at the low and at the high end of [`titre`].
pub(crate) fn sets_first(blend: &Blend, library: &Library) -> Option<(SetsFirst, SetsFirst)> {
    let (mut low, mut high): (Option<SetsFirst>, Option<SetsFirst>) = (None, None);
    for acid in library.fusion.saturated() {
        let (least, most) = mole_fraction(blend, acid, library)?;
        for (end, part) in [(&mut low, least), (&mut high, most)] {
            let Some(titre) = library.fusion.titre_at(acid, part) else { continue };
            if end.is_none_or(|first| titre > first.titre) {
                *end = Some(SetsFirst { acid, part, titre });
            }
        }
    }
    Some((low?, high?))
}

/// The spread of the titre, °C; `None` if no fat has a profile or nothing can set. The high end is
/// exact. The low end takes each acid at its least by itself, which no single profile need do, so
/// it is an outer limit; where one acid sets first throughout it is exact too.
pub fn titre(blend: &Blend, library: &Library) -> Option<Interval> {
    let (low, high) = sets_first(blend, library)?;
    Interval::hull([low.titre, high.titre])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::blend::FatLine;
    use crate::units::Share;
    use std::sync::Arc;

    fn library() -> Library {
        Library::embedded().expect("assets parse")
    }

    #[test]
    fn the_typical_profile_lies_in_every_spread() {
        let library = library();
        for fat in library.fats().iter().filter(|f| !f.profile().is_empty()) {
            let blend = Blend::new(vec![FatLine::new(Arc::clone(fat), Share::nearest(100.0))]).expect("a blend");
            let design = crate::Design { blend: blend.clone(), ..crate::Design::default() };
            let evaluation = crate::evaluate(&design, &library);
            let spreads = scores(&blend, evaluation.masses.free_fat, &library).expect("a profile");
            for (estimate, spread) in Estimate::ALL.into_iter().zip(spreads) {
                let value = evaluation.estimate(estimate).expect("a profile").value;
                let inside = spread.min() - 1e-9 <= value && value <= spread.max() + 1e-9;
                assert!(inside, "{}: {estimate:?} {value} in {spread:?}", fat.id);
            }
            let iv = evaluation.chemistry.iodine_value.expect("a profile");
            let spread = iodine_value(&blend, &library).expect("a profile");
            assert!(spread.min() - 1e-9 <= iv && iv <= spread.max() + 1e-9, "{}: {iv} in {spread:?}", fat.id);
            if let (Some(value), Some(spread)) = (evaluation.chemistry.titre, titre(&blend, &library)) {
                assert!(
                    spread.min() - 1e-6 <= value && value <= spread.max() + 1e-6,
                    "{}: {value} in {spread:?}",
                    fat.id
                );
            }
        }
    }

    #[test]
    fn the_ends_are_those_of_all_corners() {
        // A profile of three acids has few corners: all acids but one at an end of their room.
        let library = library();
        let fat = library.fat("cocoa_butter").expect("in the library");
        let weight = |acid: AcidId| library.weights.get(acid, Estimate::Hardness);
        let rooms: Vec<(f64, (f64, f64))> = fat.profile().iter().map(|e| (weight(e.acid), room(e))).collect();
        let whole: f64 = fat.profile().iter().map(|e| e.typical).sum();
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for free in 0..rooms.len() {
            for corner in 0..1_u32 << rooms.len() {
                let (mut sum, mut score) = (0.0, 0.0);
                for (i, (w, (least, most))) in rooms.iter().enumerate().filter(|(i, _)| *i != free) {
                    let share = if corner >> i & 1 == 0 { least } else { most };
                    sum += share;
                    score += w * share;
                }
                let rest = whole - sum;
                let (w, (least, most)) = rooms[free];
                if (least - 1e-9..=most + 1e-9).contains(&rest) {
                    low = low.min((score + w * rest) / 100.0);
                    high = high.max((score + w * rest) / 100.0);
                }
            }
        }
        let (found_low, found_high) = extremes(fat, weight);
        assert!((found_low - low).abs() < 1e-9, "{found_low} against {low}");
        assert!((found_high - high).abs() < 1e-9, "{found_high} against {high}");
    }
}
