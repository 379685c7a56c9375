//! Which saponification values a fat can have: by what is published of it, by what it is made of, and by both.
//!
//! A figure outside of all that is a misprint or another fat. The lye still rests on the published middle; these
//! ranges judge what a certificate or a file says against it.

use crate::chemistry::spread::{filled, unsaponifiable};
use crate::formula::Plain;
use crate::library::acids::{Acids, MG_KOH_PER_MOL, triglyceride_sv};
use crate::library::fats::{Fat, FatKind};
use crate::units::Interval;

/// By what part free acid and moisture widen what the acids allow (our judgement: 1 % of free acid adds 0.05 %,
/// 0.2 % of water takes 0.2 %).
const FREE_ACID_AND_WATER: f64 = 0.003;
/// How far a single published figure may be off, as a part of it (our judgement).
const SINGLE: f64 = 0.015;
/// The range that is used is never narrower than this on either side of its middle, as a part of it.
const NARROWEST: f64 = 0.01;
/// By how much of a share, and by how many percent besides, acids may lie outside their published ranges where no
/// profile within them is whole.
const WIDENED: (f64, f64) = (0.15, 0.2);
const WHOLE: f64 = 100.0;

/// The saponification values of a fat, mg KOH/g.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SvRanges {
    /// As published; a single figure with its ±.
    pub published: Interval,
    /// What its acids and its unsaponifiable matter allow; `None` where no whole profile is published.
    pub possible: Option<Interval>,
    /// What is published and possible.
    pub used: Interval,
}

impl SvRanges {
    /// The ranges of `fat`.
    pub fn of(fat: &Fat, acids: &Acids) -> Self {
        let (middle, given) = (fat.sv.value.mid(), fat.sv.value);
        let single = || Interval::hull([middle * (1.0 - SINGLE), middle * (1.0 + SINGLE)]).unwrap_or(given);
        let published = if given.width() > 0.0 { given } else { single() };
        let possible = possible(fat, acids);
        Self { published, possible, used: possible.map_or(published, |possible| used(published, possible)) }
    }

    /// The highest that the fat can have.
    pub fn most(&self) -> f64 {
        self.possible.unwrap_or(self.published).max()
    }
}

/// What of `published` is `possible`. Where that is nothing, the low end of what is published counts if it lies above,
/// which is the safe side, and all of it if it lies below.
fn used(published: Interval, possible: Interval) -> Interval {
    let (least, most) = (published.min().max(possible.min()), published.max().min(possible.max()));
    let common = match Interval::new(least, most) {
        Ok(common) => common,
        Err(_) if possible.max() < published.min() => Interval::hull([published.min()]).unwrap_or(published),
        Err(_) => return published,
    };
    let narrowest = common.mid() * NARROWEST;
    if common.width() >= 2.0 * narrowest {
        return common;
    }
    // Upwards only as far as is possible; the rest of the width goes downwards.
    let top = (common.mid() + narrowest).min(possible.max().max(common.max()));
    Interval::new(top - 2.0 * narrowest, top).unwrap_or(common)
}

/// What the acids of `fat` within their published ranges, and its unsaponifiable matter, allow.
fn possible(fat: &Fat, acids: &Acids) -> Option<Interval> {
    let rows = whole_rows(fat, acids)?;
    // The shares of a profile are masses, so the moles in a gram, 1/M, are linear in them.
    let (fewest, most) = filled(rows, WHOLE);
    let (none, all) = unsaponifiable(fat);
    let [low, high] = match fat.kind {
        FatKind::Triglyceride => {
            let sv = |moles: f64| triglyceride_sv(Plain, 1.0 / moles);
            [sv(fewest) * (1.0 - all), sv(most) * (1.0 - none)]
        }
        FatKind::FreeAcid => [fewest, most].map(|moles| MG_KOH_PER_MOL * moles),
        FatKind::WaxEster { .. } | FatKind::Wax => return None,
    };
    Interval::new(low * (1.0 - FREE_ACID_AND_WATER), high * (1.0 + FREE_ACID_AND_WATER)).ok()
}

/// Each acid of `fat` as 1/M, mol/g, with the least and the most of its share in percent, so wide that some profile
/// within them is whole; `None` if none is even at the widest.
fn whole_rows(fat: &Fat, acids: &Acids) -> Option<Vec<(f64, f64, f64)>> {
    /// Halvings until the rows are as narrow as they can be.
    const HALVINGS: u32 = 30;
    let widened = |by: f64| -> Vec<(f64, f64, f64)> {
        let (part, more) = (by * WIDENED.0, by * WIDENED.1);
        let row = |e: &crate::library::fats::ProfileEntry| {
            let (least, most) =
                if e.range.width() > 0.0 { (e.range.min(), e.range.max()) } else { (e.typical, e.typical) };
            let moles = 1.0 / acids.get(e.acid).molar_mass;
            (moles, (least * (1.0 - part) - more).max(0.0), most * (1.0 + part) + more)
        };
        fat.profile().iter().map(row).collect()
    };
    let is_whole = |rows: &[(f64, f64, f64)]| {
        let least: f64 = rows.iter().map(|r| r.1).sum();
        let most: f64 = rows.iter().map(|r| r.2).sum();
        // Typical values are rounded.
        least <= WHOLE + 0.05 && most >= WHOLE - 0.05
    };
    if fat.profile().is_empty() || !is_whole(&widened(1.0)) {
        return None;
    }
    if is_whole(&widened(0.0)) {
        return Some(widened(0.0));
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if is_whole(&widened(middle)) { high = middle } else { low = middle }
    }
    Some(widened(high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    fn of(fat: &str) -> SvRanges {
        let library = Library::embedded().expect("assets parse");
        SvRanges::of(library.fat(fat).expect("in the library"), &library.acids)
    }

    #[test]
    fn almond_can_have_less_than_is_published() {
        // Worked out apart with a script over the same tables: 189.2 to 192.3 without free acid and water.
        let almond = of("almond");
        let possible = almond.possible.expect("a profile");
        assert!((possible.min() - 189.2 * 0.997).abs() < 0.1, "{possible:?}");
        assert!((possible.max() - 192.3 * 1.003).abs() < 0.1, "{possible:?}");
        assert!(almond.used.max() <= possible.max() && almond.used.min() <= 190.0, "{almond:?}");
    }

    #[test]
    fn the_used_range_is_never_narrow_and_never_higher_than_possible_or_published() {
        let library = Library::embedded().expect("assets parse");
        for fat in library.fats() {
            let ranges = SvRanges::of(fat, &library.acids);
            let used = ranges.used;
            assert!(used.width() >= 2.0 * 0.99 * NARROWEST * used.mid(), "{}: {ranges:?}", fat.id);
            let most = ranges.published.max().max(ranges.most());
            assert!(used.max() <= most + 1e-9, "{}: {ranges:?}", fat.id);
        }
        assert_eq!(of("beeswax").possible, None, "its make-up is not tabled");
    }
}
