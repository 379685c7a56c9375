//! From a design to every number about it.

use crate::cautions::{self, Caution, Level};
use crate::chemistry::alkali;
use crate::chemistry::cure::Cure;
use crate::chemistry::estimates::{Estimate, Place, Scores};
use crate::chemistry::fatty_matter::fatty_matter_per_gram;
use crate::chemistry::inputs;
use crate::chemistry::jug::Jug;
use crate::chemistry::margin::LyeMargin;
use crate::chemistry::masses::{Masses, SizeError, WaterRow, mass_of, solve, water_account};
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::design::edit::Edit;
use crate::formula::{Num, Plain, Reading};
use crate::library::Library;
use crate::library::acids::AcidId;
use crate::library::composition::Composition;
use crate::library::fats::Fat;
use crate::library::scents::ScentCheck;
use crate::units::{Grams, Interval, Share, percent_of};
use std::sync::Arc;

/// Scores are not given when more than this fraction of the blend has no profile.
pub const MOST_UNKNOWN: f64 = 0.10;

/// Figures of the blend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chemistry<N = f64> {
    /// The saponification value the lye rests on, mg KOH/g.
    pub saponification_value: Option<N>,
    /// The same from the profiles, as a check.
    pub saponification_value_calculated: Option<f64>,
    /// Iodine value from the profiles, g iodine per 100 g.
    pub iodine_value: Option<f64>,
    /// Setting point of the mixed acids, °C.
    pub titre: Option<f64>,
    /// Total fatty matter in percent of the fresh bar.
    pub tfm_fresh: Option<N>,
    /// The same of the bar at sale.
    pub tfm_cured: Option<N>,
}

/// One score with where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EstimateResult {
    /// Which.
    pub estimate: Estimate,
    /// The score.
    pub value: f64,
    /// Where the style's reference soaps lie; `None` if the style is not known.
    pub range: Option<Interval>,
    /// Relative to that range.
    pub place: Option<Place>,
}

/// Every number about a design.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluation<N = f64> {
    /// Mass of each line of the blend, in order.
    pub fat_masses: Vec<Grams<N>>,
    /// Mass of each addition, in order.
    pub addition_masses: Vec<Grams<N>>,
    /// The scents with what the limits say of them.
    pub scents: ScentCheck,
    /// The batch.
    pub masses: Masses<N>,
    /// Where each gram of water comes from.
    pub water: Vec<WaterRow<N>>,
    /// Why the size that was asked for is not reached; the batch is then one without fats.
    pub size_error: Option<SizeError>,
    /// How far the superfat may lie from the planned one; `None` without fats that take alkali.
    pub margin: Option<LyeMargin>,
    /// How a bar dries; `None` without fats.
    pub cure: Option<Cure<N>>,
    /// The jug; `None` without alkali.
    pub jug: Option<Jug<N>>,
    /// The blend.
    pub chemistry: Chemistry<N>,
    /// Its acids; `None` without a fat with a profile.
    pub composition: Option<Composition>,
    /// The scores in the order of [`Estimate::ALL`]; `None` if too much of the blend is unknown.
    pub estimates: Option<[EstimateResult; 7]>,
    /// What the maker must be told, worst first.
    pub cautions: Vec<Caution>,
}

impl<N> Evaluation<N> {
    /// The result for `estimate`.
    pub fn estimate(&self, estimate: Estimate) -> Option<&EstimateResult> {
        self.estimates.as_ref().map(|all| &all[estimate as usize])
    }

    /// The worst level among the cautions.
    pub fn worst(&self) -> Option<Level> {
        self.cautions.iter().map(|c| c.level).max()
    }
}

fn composition(blend: &Blend, library: &Library) -> Option<Composition> {
    Composition::of(blend.lines().iter().map(|l| (l.fat.as_ref(), l.share.get())), &library.acids)
}

/// The scores of `blend` with `free_fat` percent of all fat unsaponified; `None` if over a tenth
/// of the blend has no profile.
pub fn scores(blend: &Blend, free_fat: f64, library: &Library) -> Option<Scores> {
    composition(blend, library)
        .filter(|c| c.unknown <= MOST_UNKNOWN)
        .map(|c| library.weights.scores(&c, free_fat / 100.0))
}

/// Free fat in percent of all fat in the batch of `design`.
pub fn free_fat(design: &Design) -> f64 {
    solve(Plain, design).1.free_fat
}

/// What each line of the blend brings to `estimate`, in points and in the lines' order; free fat
/// and unsaponifiable matter are not in it. `None` for a line without a profile. With the part
/// of [`free_fat_points`] they sum to the score, unless that was capped at 100.
pub fn contributions(blend: &Blend, estimate: Estimate, library: &Library) -> Vec<Option<f64>> {
    let known: f64 = blend.lines().iter().filter(|l| !l.fat.profile().is_empty()).map(|l| l.share.get()).sum();
    let of_line = |line: &FatLine| {
        let per_fraction: f64 =
            line.fat.profile().iter().map(|e| e.typical / 100.0 * library.weights.get(e.acid, estimate)).sum();
        (!line.fat.profile().is_empty() && known > 0.0).then(|| line.share.get() / known * per_fraction)
    };
    blend.lines().iter().map(of_line).collect()
}

/// Percent of the blend's fatty acids that `line` brings of `acids`; what has no profile is left
/// out of the whole.
pub fn acid_part(blend: &Blend, line: &FatLine, acids: &[AcidId]) -> f64 {
    let known: f64 = blend.lines().iter().filter(|l| !l.fat.profile().is_empty()).map(|l| l.share.get()).sum();
    let of_fat: f64 = line.fat.profile().iter().filter(|e| acids.contains(&e.acid)).map(|e| e.typical).sum();
    if known > 0.0 { of_fat * line.share.get() / known } else { 0.0 }
}

/// What one percent more of each line would change in `estimate` while the unlocked others give
/// way as [`Blend::set_share`] has it; `None` for a line that cannot move. By central
/// differences, which are exact as long as the score is linear in the shares.
pub fn gradient(design: &Design, estimate: Estimate, library: &Library) -> Vec<Option<f64>> {
    const STEP: f64 = 0.01;
    let free_fat = free_fat(design);
    let at = |line: &FatLine, share: f64| {
        let mut blend = design.blend.clone();
        blend.set_share(&line.fat.id, Share::nearest(share)).ok()?;
        scores(&blend, free_fat, library).map(|s| s.get(estimate))
    };
    let slope = |line: &FatLine| {
        let (least, most) = design.blend.room(&line.fat.id).ok()?;
        let share = line.share.get();
        let (low, high) = ((share - STEP).max(least), (share + STEP).min(most));
        (high > low).then(|| Some((at(line, high)? - at(line, low)?) / (high - low)))?
    };
    design.blend.lines().iter().map(slope).collect()
}

/// Points that free fat and unsaponifiable matter add to `estimate`.
pub fn free_fat_points(estimate: Estimate, evaluation: &Evaluation) -> f64 {
    match estimate {
        Estimate::Conditioning => {
            evaluation.masses.free_fat + 100.0 * evaluation.composition.as_ref().map_or(0.0, |c| c.unsaponifiable)
        }
        _ => 0.0,
    }
}

/// How every score would move if `fat` came into the design at `share` and the unlocked others
/// gave way; `None` if it cannot come in or the scores are not known on both sides.
pub fn effect_of_adding(design: &Design, fat: &Arc<Fat>, share: Share, library: &Library) -> Option<Scores> {
    let free_fat = free_fat(design);
    let before = scores(&design.blend, free_fat, library)?;
    let after = Edit::AddFat(Arc::clone(fat), share).apply(design, library).ok()?;
    let after = scores(&after.blend, free_fat, library)?;
    Some(Scores(std::array::from_fn(|i| after.0[i] - before.0[i])))
}

/// Works out everything about `design`. Total: any design gives an evaluation; what cannot be
/// computed is `None` and has a caution.
///
/// ```
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let nothing = evaluate(&Design::default(), &library);
/// assert_eq!(nothing.cautions[0].code, "no-fats");
/// # Ok::<(), barwright_core::library::LibraryError>(())
/// ```
pub fn evaluate(design: &Design, library: &Library) -> Evaluation {
    let mut evaluation = read(Plain, design, library);
    evaluation.cautions = cautions::of(design, library, &evaluation);
    evaluation
}

/// The numbers of `design` in any reading; on a [`crate::formula::Tape`] each remembers how it came about.
pub fn read<R: Reading>(r: R, design: &Design, library: &Library) -> Evaluation<R::N> {
    let lines = design.blend.lines();
    let (nominal, masses, size_error) = solve(r, design);
    let fat_masses: Vec<Grams<R::N>> = alkali::masses(r, lines, Grams(nominal)).collect();
    let weighed = || fat_masses.iter().zip(lines);
    let fats = masses.fats;
    let jug = Jug::of(r, design, &masses);
    let margin = LyeMargin::of(design, &masses, &fat_masses);

    let composition = composition(&design.blend, library);
    let known = composition.as_ref().filter(|c| c.unknown <= MOST_UNKNOWN);
    let cure = Cure::of(r, design, &masses);
    let fatty_matter = fatty_matter(r, weighed(), library);
    let tfm_fresh = fatty_matter.filter(|_| fats.value() > 0.0).map(|m| percent_of(m, masses.batter.0));
    let chemistry = Chemistry {
        saponification_value: (fats.value() > 0.0).then(|| R::N::from(1000.0) * masses.exact_koh.0 / fats.0),
        saponification_value_calculated: known.map(|c| c.calculated_sv),
        iodine_value: known.map(|c| c.calculated_iv),
        titre: known.and_then(|c| library.fusion.titre(c, &library.acids)),
        tfm_fresh,
        tfm_cured: cure.as_ref().and_then(|c| Some(c.tfm(r, tfm_fresh?, c.days().get()))),
    };
    let free_fat = masses.free_fat.value();
    let estimates = known.map(|c| {
        let scores = library.weights.scores(c, free_fat / 100.0);
        let style = library.style(&design.style);
        Estimate::ALL.map(|estimate| {
            let value = scores.get(estimate);
            let range = style.and_then(|s| s.range(estimate, free_fat / 100.0));
            EstimateResult { estimate, value, range, place: range.map(|r| Place::of(estimate, value, r)) }
        })
    });
    Evaluation {
        addition_masses: design.additions.iter().map(|l| mass_of(r, l, fats)).collect(),
        water: water_account(r, design, &masses),
        scents: ScentCheck::of(&design.scents, fats.plain(), masses.dried().plain(), &library.limits),
        fat_masses,
        masses,
        size_error,
        margin,
        cure,
        jug,
        chemistry,
        composition,
        estimates,
        cautions: Vec::new(),
    }
}

/// Fatty matter of all fats that are weighed, g; `None` if that of one is not known.
fn fatty_matter<'a, R: Reading>(
    r: R,
    weighed: impl Iterator<Item = (&'a Grams<R::N>, &'a FatLine)>,
    library: &Library,
) -> Option<R::N>
where
    R::N: 'a,
{
    let mut sum = R::N::from(0.0);
    for (mass, line) in weighed.filter(|(mass, _)| mass.value() > 0.0) {
        let sv = inputs::saponification_value(r, line);
        sum += mass.0 * fatty_matter_per_gram(r, &line.fat, sv, &library.acids)?;
    }
    Some(sum)
}
