//! How far the scores may lie from those of the typical profiles.
//!
//! Each fat's acids lie anywhere in their published ranges and sum to 100 %. That is a small linear
//! programme a fat, whose ends are found exactly: start with every acid at its least and fill up
//! with those that count most, or least. Fats are taken at their extremes all at once.

use crate::acids::AcidId;
use crate::blend::Blend;
use crate::estimates::Estimate;
use crate::fats::{Fat, FatKind, ProfileEntry};
use crate::library::Library;
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

/// The spread of every score, in the order of [`Estimate::ALL`], with `free_fat` percent of all fat
/// unsaponified; `None` if no fat has a profile.
pub fn scores(blend: &Blend, free_fat: f64, library: &Library) -> Option<[Interval; 7]> {
    let mut spreads = [None; 7];
    for estimate in Estimate::ALL {
        let ends = over_blend(blend, |fat| {
            let (low, high) = extremes(fat, |acid| library.weights.get(acid, estimate));
            if estimate == Estimate::Conditioning {
                let (least, most) = unsaponifiable(fat);
                (low + 100.0 * least, high + 100.0 * most)
            } else {
                (low, high)
            }
        });
        let (mut low, mut high) = ends?;
        if estimate == Estimate::Conditioning {
            low = (low + free_fat).min(100.0);
            high = (high + free_fat).min(100.0);
        }
        spreads[estimate as usize] = Interval::new(low, high).ok();
    }
    let all: Option<Vec<Interval>> = spreads.into_iter().collect();
    all?.try_into().ok()
}

/// The spread of the calculated iodine value, g iodine per 100 g; `None` if no fat has a profile.
pub fn iodine_value(blend: &Blend, library: &Library) -> Option<Interval> {
    let ends = over_blend(blend, |fat| {
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
    });
    ends.and_then(|(low, high)| Interval::new(low, high).ok())
}

/// The spread of the saponification value the lye rests on, mg KOH/g, from published ranges and
/// suppliers' figures; `None` without fats.
pub fn saponification_value(blend: &Blend) -> Option<Interval> {
    let total = blend.total();
    let sum = |end: fn(Interval) -> f64| -> f64 {
        blend.lines().iter().map(|l| l.share.get() * end(l.saponification_range())).sum::<f64>() / total
    };
    Interval::new(sum(Interval::min), sum(Interval::max)).ok().filter(|_| total > 0.0)
}
