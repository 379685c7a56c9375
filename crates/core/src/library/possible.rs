//! Which saponification values a fat can have: by what is published of it, by what it is made of, and by both.
//!
//! The lye rests on what is both published and possible; a figure outside of all that is a misprint or another fat.

use crate::formula::Plain;
use crate::library::acids::{Acids, MG_KOH_PER_MOL, triglyceride_sv};
use crate::library::fats::{Fat, FatKind, ProfileEntry};
use crate::trust::Trust;
use crate::units::{Interval, from_percent};

/// By what part free acid and moisture widen what the acids allow (our judgement: 1 % of free acid adds 0.05 %,
/// 0.2 % of water takes 0.2 %).
const FREE_ACID_AND_WATER: f64 = 0.003;
/// How far a single published figure may be off, as a part of it (our judgement).
const SINGLE: f64 = 0.015;
/// The range that is used is never narrower than this on either side of its middle, as a part of it.
const NARROWEST: f64 = 0.01;
/// By what part the acids may raise the published middle where little is known of them (our judgement).
const RAISED: f64 = 0.005;
/// From what percent on an acid counts for how well a profile is known.
pub(super) const LARGE: f64 = 5.0;
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
    pub fn of(fat: &Fat) -> Self {
        let (middle, given) = (fat.sv.value.mid(), fat.sv.value);
        let single = || around(middle, middle * SINGLE).unwrap_or(given);
        let published = if given.width() > 0.0 { given } else { single() };
        let possible = fat.possible_sv();
        let used = used(published, possible, is_little_known(fat)).map_or(published, to_hundredths);
        Self { published, possible, used }
    }

    /// The highest that the fat can have.
    pub fn most(&self) -> f64 {
        self.possible.unwrap_or(self.published).max()
    }

    /// How far what is published lies from what is possible, mg KOH/g; 0 where they meet, and without acids.
    pub fn apart(&self) -> f64 {
        let apart = |possible: Interval| {
            (self.published.min() - possible.max()).max(possible.min() - self.published.max()).max(0.0)
        };
        self.possible.map_or(0.0, apart)
    }
}

fn around(middle: f64, half: f64) -> Option<Interval> {
    Interval::new(middle - half, middle + half).ok()
}

/// As it is told and saved: rounded down, so that nothing passes what is possible.
fn to_hundredths(range: Interval) -> Interval {
    /// Less than any hundredth that was meant is off.
    const EXACT: f64 = 1e-6;
    const STEPS: f64 = 100.0;
    let rounded = |end: f64| (end * STEPS + EXACT).floor() / STEPS;
    Interval::new(rounded(range.min()), rounded(range.max())).unwrap_or(range)
}

/// Whether a large acid of `fat` is from memory, or a single figure or the maker’s own, which is one sample.
fn is_little_known(fat: &Fat) -> bool {
    let is_little = |e: &ProfileEntry| matches!(e.trust, Trust::FromMemory | Trust::Maker) || e.range.width() <= 0.0;
    fat.profile().iter().any(|e| e.typical >= LARGE && is_little(e))
}

/// What of `published` is `possible`, where that is another range. Where nothing is, the low end of what is published
/// counts if it lies above, which is the safe side, and all of it if it lies below.
fn used(published: Interval, possible: Option<Interval>, is_little_known: bool) -> Option<Interval> {
    let middle = published.mid();
    // With the most that widening may reach, unless the range lies above it already.
    let (common, top) = match possible {
        None => (published, f64::INFINITY),
        Some(possible) if possible.min() > published.max() => (published, f64::INFINITY),
        Some(possible) if possible.max() < published.min() => (Interval::hull([published.min()])?, possible.max()),
        Some(possible) => {
            let (least, most) = (published.min().max(possible.min()), published.max().min(possible.max()));
            let common = Interval::new(least, most).ok()?;
            let is_raised = is_little_known && common.mid() > middle * (1.0 + RAISED);
            // About the published middle, and so wide that all of it is in.
            (if is_raised { around(middle, common.max() - middle)? } else { common }, possible.max())
        }
    };
    let narrowest = common.mid() * NARROWEST;
    if common.width() >= 2.0 * narrowest {
        return Some(common);
    }
    // Upwards only as far as is possible; the rest of the width goes downwards.
    let top = (common.mid() + narrowest).min(top.max(common.max()));
    Interval::new(top - 2.0 * narrowest, top).ok()
}

/// What the acids of `fat` within their published ranges, and its unsaponifiable matter, allow.
pub(super) fn by_acids(fat: &Fat, acids: &Acids) -> Option<Interval> {
    let rows = whole_rows(fat, acids)?;
    // The shares of a profile are masses, so the moles in a gram, 1/M, are linear in them.
    let (fewest, most) = filled(rows, WHOLE);
    let (none, all) = fat.unsaponifiable_ends();
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

/// The least and the most of Σ share·weight, where each row is a weight with the least and the most of its share in
/// percent, and the shares sum to `whole` (as fractions).
pub fn filled(mut rows: Vec<(f64, f64, f64)>, whole: f64) -> (f64, f64) {
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let least: f64 = rows.iter().map(|(_, least, _)| least).sum();
    let base: f64 = rows.iter().map(|(w, least, _)| w * least).sum();
    // The rest goes to the acids in order of their weights, from the low or the high end.
    let fill = |order: &mut dyn Iterator<Item = &(f64, f64, f64)>| {
        let mut rest = whole - least;
        let mut sum = base;
        for (w, least, most) in order {
            let part = rest.min(most - least).max(0.0);
            sum += w * part;
            rest -= part;
        }
        from_percent(sum)
    };
    (fill(&mut rows.iter()), fill(&mut rows.iter().rev()))
}

/// Each acid of `fat` as 1/M, mol/g, with the least and the most of its share in percent, so wide that some profile
/// within them is whole; `None` if none is even at the widest.
fn whole_rows(fat: &Fat, acids: &Acids) -> Option<Vec<(f64, f64, f64)>> {
    if fat.profile().is_empty() {
        return None;
    }
    let factor = widening(fat)?;
    let row = |e: &ProfileEntry| {
        let (least, most) = widened(e.range, factor);
        (1.0 / acids.get(e.acid).molar_mass, least, most)
    };
    Some(fat.profile().iter().map(row).collect())
}

/// A published share's ends, widened by `factor` (0–1) of the most.
fn widened(range: Interval, factor: f64) -> (f64, f64) {
    let (part, more) = (factor * WIDENED.0, factor * WIDENED.1);
    ((range.min() * (1.0 - part) - more).max(0.0), range.max() * (1.0 + part) + more)
}

/// By what factor (0–1) of the most the published shares of `fat` have to be widened until a profile within them is
/// whole; `None` if it is not even then, and without a profile.
pub fn widening(fat: &Fat) -> Option<f64> {
    /// Halvings until the rows are as narrow as they can be.
    const HALVINGS: u32 = 40;
    /// Sums are exact but for this, percent.
    const EXACT: f64 = 1e-9;
    let is_whole = |factor: f64| {
        let ends = fat.profile().iter().map(|e| widened(e.range, factor));
        let (least, most) = ends.fold((0.0, 0.0), |(least, most), (l, m)| (least + l, most + m));
        least <= WHOLE + EXACT && most >= WHOLE - EXACT
    };
    if is_whole(0.0) {
        return Some(0.0);
    }
    if !is_whole(1.0) {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if is_whole(middle) { high = middle } else { low = middle }
    }
    Some(high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    fn of(fat: &str) -> SvRanges {
        let library = Library::embedded().expect("assets parse");
        SvRanges::of(library.fat(fat).expect("in the library"))
    }

    fn range(min: f64, max: f64) -> Interval {
        Interval::new(min, max).expect("a range")
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
    fn the_used_range_is_never_narrow_and_never_passes_what_is_possible() {
        let library = Library::embedded().expect("assets parse");
        for fat in library.fats() {
            let ranges = SvRanges::of(fat);
            let used = ranges.used;
            // The ends are rounded to hundredths.
            assert!(used.width() >= 2.0 * NARROWEST * used.mid() - 0.02, "{}: {ranges:?}", fat.id);
            let most = match ranges.possible {
                Some(possible) if possible.max() < ranges.published.min() => ranges.published.min(),
                _ => ranges.most(),
            };
            assert!(used.max() <= most + 1e-9, "{}: {ranges:?}", fat.id);
            assert!(used.mid() <= ranges.published.max(), "{}: {ranges:?}", fat.id);
            assert_eq!(fat.lye(), used, "{}", fat.id);
        }
        assert_eq!(of("beeswax").possible, None, "its make-up is not tabled");
    }

    #[test]
    fn a_remembered_profile_does_not_raise_the_middle() {
        let library = Library::embedded().expect("assets parse");
        for fat in library.fats().iter().filter(|fat| is_little_known(fat)) {
            let (before, now) = (fat.sv.value.mid(), fat.lye().mid());
            assert!(now <= before * (1.0 + RAISED) + 0.01, "{}: {before} to {now}", fat.id);
        }
    }

    #[test]
    fn profiles_that_are_not_whole_within_their_ranges_are_known() {
        let library = Library::embedded().expect("assets parse");
        let fats = library.fats().iter().filter(|fat| !fat.profile().is_empty());
        let widened: Vec<&str> = fats.clone().filter(|f| widening(f) > Some(0.0)).map(|f| f.id.as_str()).collect();
        assert_eq!(widened, ["hazelnut", "avocado", "sal", "pumpkin_seed", "poultry_fat"], "single figures, off 100 %");
        assert_eq!(fats.filter(|f| widening(f).is_none()).count(), 0, "none is off by more");
    }

    #[test]
    fn ranges_that_do_not_meet_never_give_the_high_end() {
        let below = used(range(200.0, 210.0), Some(range(180.0, 190.0)), false).expect("a range");
        assert_eq!(below, range(196.0, 200.0), "the low end, and the least width below it");
        let above = used(range(200.0, 210.0), Some(range(220.0, 230.0)), true);
        assert_eq!(above, Some(range(200.0, 210.0)), "as published");
        let mahua = of("mahua");
        assert!(mahua.apart() > 1.0 && mahua.used.mid() < mahua.published.max(), "{mahua:?}");
        let hemp = of("hemp");
        assert!(hemp.apart() > 0.0 && hemp.used.max() <= hemp.published.min(), "{hemp:?}");
    }

    #[test]
    fn little_known_acids_leave_the_middle_and_hold_all_that_is_common() {
        let kept = used(range(180.0, 200.0), Some(range(192.0, 195.0)), true).expect("a range");
        assert_eq!(kept, range(185.0, 195.0), "about 190");
        let well_known = used(range(180.0, 200.0), Some(range(192.0, 196.0)), false);
        assert_eq!(well_known, Some(range(192.0, 196.0)));
    }

    #[test]
    fn a_single_figure_is_not_exact() {
        let library = Library::embedded().expect("assets parse");
        let mut beeswax = Fat::clone(library.fat("beeswax").expect("in the library"));
        beeswax.sv.value = range(100.0, 100.0);
        assert_eq!(SvRanges::of(&beeswax).used, range(98.5, 101.5));
    }
}
