//! How far the scores may lie from those of the typical profiles.
//!
//! Each fat's acids lie anywhere in their published ranges and sum to 100 %. That is a small linear
//! programme a fat, whose ends are found exactly: start with every acid at its least and fill up
//! with those that count most, or least. Fats are taken at their extremes all at once.

use crate::chemistry::inputs;
use crate::design::blend::{Blend, FatLine};
use crate::formula::{Input, Num, Plain, Reading};
use crate::library::Library;
use crate::library::acids::AcidId;
use crate::library::estimates::Estimate;
use crate::library::fats::{Fat, FatKind, ProfileEntry};
use crate::library::possible::filled;
use crate::number::{fixed, significant};
use crate::units::{Interval, Percent, in_percent};

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
    let row = |e: &ProfileEntry| {
        let (least, most) = room(e);
        (weight(e.acid), least, most)
    };
    let typical: f64 = fat.profile().iter().map(|e| e.typical).sum();
    filled(fat.profile().iter().map(row).collect(), typical)
}

/// An end of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The lower one.
    Low,
    /// The upper one.
    High,
}

impl End {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Low, Self::High];

    /// That of the two numbers which lies at this end.
    pub const fn of(self, (low, high): (f64, f64)) -> f64 {
        match self {
            Self::Low => low,
            Self::High => high,
        }
    }

    /// That of `interval`.
    pub const fn of_interval(self, interval: Interval) -> f64 {
        self.of((interval.min(), interval.max()))
    }

    /// "least" or "most".
    pub const fn word(self) -> &'static str {
        match self {
            Self::Low => "least",
            Self::High => "most",
        }
    }
}

/// The mean over a blend's fats with a profile of what `of_fat` gives, by share; `None` without one.
fn over_blend<R: Reading>(r: R, blend: &Blend, of_fat: impl Fn(usize, &FatLine) -> R::N) -> Option<R::N> {
    let [mut known, mut sum] = [R::N::from(0.0); 2];
    for (place, line) in blend.lines().iter().enumerate().filter(|(_, l)| !l.fat.profile().is_empty()) {
        let share = inputs::share_percent(r, line);
        known += share;
        sum += share * of_fat(place, line);
    }
    (known.value() > 0.0).then(|| sum / known)
}

/// What is said of a fat at an end: its figure there, and where the widest range of its acids comes from.
fn at_end(name: &str, figure: &str, line: &FatLine, end: End, library: &Library) -> Vec<Input> {
    let profile = line.fat.profile().iter();
    let Some(widest) = profile.max_by(|a, b| a.range.width().total_cmp(&b.range.width())) else { return Vec::new() };
    let acid = &library.acids.get(widest.acid).name;
    vec![Input {
        name: format!("{name} of {}, the {}", line.fat.name, end.word()),
        value: format!("{figure}; widest: {acid}, {}", widest.published()),
        source: widest.source.clone(),
        trust: Some(widest.trust),
    }]
}

/// The published unsaponifiable matter of a fat.
fn about_unsaponifiable(line: &FatLine) -> Option<Input> {
    let matter = line.fat.unsaponifiable.as_ref()?;
    Some(Input {
        name: format!("Unsaponifiable matter of {}", line.fat.name),
        value: format!("{} to {} g/kg", significant(matter.value.min()), significant(matter.value.max())),
        source: matter.source.clone(),
        trust: Some(matter.trust),
    })
}

/// Both ends of the score that the acids of `fat` alone can have.
fn score_of(fat: &Fat, estimate: Estimate, library: &Library) -> (f64, f64) {
    let (low, high) = extremes(fat, |acid| library.weights.get(acid, estimate));
    let (least, most) = if estimate == Estimate::Conditioning { fat.unsaponifiable_ends() } else { (0.0, 0.0) };
    (low + in_percent(least), high + in_percent(most))
}

/// The score at one end, with `free_fat` percent of all fat unsaponified; `None` without a fat with a profile.
pub fn score<R: Reading>(
    r: R,
    blend: &Blend,
    (estimate, end): (Estimate, End),
    free_fat: Percent<R::N>,
    library: &Library,
) -> Option<R::N> {
    score_at(r, blend, (estimate, end), &ends_of_fats(blend, estimate, library), free_fat, library)
}

/// Both ends of the score of each fat.
fn ends_of_fats(blend: &Blend, estimate: Estimate, library: &Library) -> Vec<(f64, f64)> {
    blend.lines().iter().map(|line| score_of(&line.fat, estimate, library)).collect()
}

/// [`score`] from the ends of the fats, which serve both ends.
fn score_at<R: Reading>(
    r: R,
    blend: &Blend,
    (estimate, end): (Estimate, End),
    ends: &[(f64, f64)],
    free_fat: Percent<R::N>,
    library: &Library,
) -> Option<R::N> {
    let of_fat = |place: usize, line: &FatLine| {
        let score = end.of(ends[place]);
        r.inputs("score of the fat", score, "", || {
            let decimals = estimate.decimals().max(1);
            let mut about = at_end(estimate.name(), &fixed(score, decimals), line, end, library);
            about.extend(about_unsaponifiable(line).filter(|_| estimate.gains_from_free_fat()));
            about
        })
    };
    let of_acids = over_blend(r, blend, of_fat)?;
    let score = if estimate.gains_from_free_fat() { of_acids + free_fat.0 } else { return Some(of_acids) };
    Some(estimate.most().map_or(score, |most| score.min(R::N::from(most))))
}

/// Where each score lies with natural fats, in the order of [`Estimate::ALL`]; `free_fat` is the percent of all fat
/// that is unsaponified. `None` without a fat with a profile.
pub fn scores(blend: &Blend, free_fat: Percent, library: &Library) -> Option<[Interval; 7]> {
    let mut spreads = [None; 7];
    for estimate in Estimate::ALL {
        let ends = ends_of_fats(blend, estimate, library);
        let end = |end| score_at(Plain, blend, (estimate, end), &ends, free_fat, library);
        // Rounding can turn the ends of a spread without width about.
        spreads[estimate as usize] = Interval::hull([end(End::Low)?, end(End::High)?]);
    }
    let all: Option<Vec<Interval>> = spreads.into_iter().collect();
    all?.try_into().ok()
}

/// Both ends of the iodine value that `fat` can have.
fn iodine_of(fat: &Fat, library: &Library) -> (f64, f64) {
    let (least, most) = fat.unsaponifiable_ends();
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

/// The iodine value at one end; `None` without a fat with a profile.
pub fn iodine_end<R: Reading>(r: R, blend: &Blend, end: End, library: &Library) -> Option<R::N> {
    over_blend(r, blend, |_, line| {
        let iv = end.of(iodine_of(&line.fat, library));
        r.inputs("IV of the fat", iv, "", || {
            let mut about = at_end("Iodine value", &fixed(iv, 2), line, end, library);
            about.extend(about_unsaponifiable(line).filter(|_| line.fat.kind == FatKind::Triglyceride));
            about
        })
    })
}

/// Where the iodine value lies with natural fats; `None` without a fat with a profile.
pub fn iodine_value(blend: &Blend, library: &Library) -> Option<Interval> {
    let end = |end| iodine_end(Plain, blend, end, library);
    Interval::hull([end(End::Low)?, end(End::High)?])
}

/// The saponification value at one end; `None` without fats.
pub fn saponification_end<R: Reading>(r: R, blend: &Blend, end: End) -> Option<R::N> {
    let (mut total, mut sum) = (R::N::from(0.0), R::N::from(0.0));
    for line in blend.lines() {
        let share = inputs::share_percent(r, line);
        let sv = end.of_interval(line.saponification_range());
        total += share;
        sum += share * r.input("SV", sv, "", || inputs::about_saponification_value(line));
    }
    (total.value() > 0.0).then(|| sum / total)
}

/// Where the saponification value lies, by the ranges that the lye rests on; `None` without fats.
pub fn saponification_value(blend: &Blend) -> Option<Interval> {
    let end = |end| saponification_end(Plain, blend, end);
    Interval::hull([end(End::Low)?, end(End::High)?])
}

/// The least and the most mole fraction of `acid` among the acids of `blend`, all fats at their
/// extremes at once: the ratio x = N/D of two linear sums is extreme where the extreme of N − x·D
/// is 0.
fn mole_fraction(blend: &Blend, acid: AcidId, library: &Library) -> Option<(f64, f64)> {
    let at = |x: f64, end: End| {
        over_blend(Plain, blend, |_, line| {
            end.of(extremes(&line.fat, |other| {
                let part = if other == acid { 1.0 - x } else { -x };
                part / library.acids.get(other).molar_mass
            }))
        })
    };
    let root = |end: End| {
        let (mut low, mut low_off) = (0.0, at(0.0, end)?);
        let (mut high, mut high_off) = (1.0, at(1.0, end)?);
        if low_off <= 0.0 {
            return Some(0.0);
        }
        let mut x = high;
        // False position with halved weights (the Illinois rule).
        for _ in 0..60 {
            x = (low * high_off - high * low_off) / (high_off - low_off);
            let off = at(x, end)?;
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
    Some((root(End::Low)?, root(End::High)?))
}

/// The acid that sets first at an end.
#[derive(Debug, Clone, Copy, PartialEq)]
struct SetsFirst {
    acid: AcidId,
    /// Its mole fraction.
    part: f64,
    /// The titre, °C, if it sets first.
    titre: f64,
}

/// What sets first with every acid at its least and at its most.
fn sets_first(blend: &Blend, library: &Library) -> Option<(SetsFirst, SetsFirst)> {
    let (mut low, mut high): (Option<SetsFirst>, Option<SetsFirst>) = (None, None);
    for acid in library.fusion.saturated() {
        let (least, most) = mole_fraction(blend, acid, library)?;
        for (end, part) in [(&mut low, least), (&mut high, most)] {
            let Some(titre) = library.fusion.titre_at(Plain, acid, part, &library.acids) else { continue };
            if end.is_none_or(|first| titre > first.titre) {
                *end = Some(SetsFirst { acid, part, titre });
            }
        }
    }
    Some((low?, high?))
}

/// The titre at one end, °C; `None` if the blend may hold no saturated acid that sets.
pub fn titre_end<R: Reading>(r: R, blend: &Blend, end: End, library: &Library) -> Option<R::N> {
    let (low, high) = sets_first(blend, library)?;
    let first = match end {
        End::Low => low,
        End::High => high,
    };
    let part = r.inputs("x", first.part, "", || {
        let acid = library.acids.get(first.acid);
        let name = format!("{}, which sets first, at the {}", acid.in_words(), end.word());
        let value = format!("{} mole percent of the acids", significant(in_percent(first.part)));
        let how = "the fats’ published ranges, each sum of acids held";
        let of_fats = blend.lines().iter().filter(|l| l.share.get() > 0.0).filter_map(|line| {
            let entry = line.fat.profile().iter().find(|e| e.acid == first.acid)?;
            let name = format!("{} in {}", acid.in_words(), line.fat.name);
            Some(Input { name, value: entry.published(), source: entry.source.clone(), trust: Some(entry.trust) })
        });
        std::iter::once(Input::worked_out(&name, value, how)).chain(of_fats).collect()
    });
    library.fusion.titre_at(r, first.acid, part, &library.acids)
}

/// Where the titre lies with natural fats, °C; `None` if the blend may hold no saturated acid that sets.
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
