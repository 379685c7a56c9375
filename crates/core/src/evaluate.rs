//! From a design to every number about it.

pub mod axis;

use crate::chemistry::alkali;
use crate::chemistry::cure::Cure;
use crate::chemistry::fatty_matter::fatty_matter_per_gram;
use crate::chemistry::inputs;
use crate::chemistry::jug::Jug;
use crate::chemistry::margin::LyeMargin;
use crate::chemistry::masses::{Masses, WaterRow, mass_of, water_account};
use crate::chemistry::size::{SizeError, solve};
use crate::chemistry::sugars::SugarEdge;
use crate::design::Design;
use crate::design::blend::{Blend, FatLine};
use crate::design::edit::Edit;
use crate::formula::{Input, Num, Plain, Reading};
use crate::library::Library;
use crate::library::acids::AcidId;
use crate::library::composition::{Composition, typical};
use crate::library::estimates::{Estimate, Place, Scores};
use crate::library::fats::{Fat, ProfileEntry};
use crate::library::scents::ScentCheck;
use crate::number::significant;
use crate::units::{Grams, Interval, Percent, Share, in_percent, percent_of};
use std::sync::Arc;

/// Scores are not given when more than this fraction of the blend has no profile.
pub const MOST_UNKNOWN: f64 = 0.10;

/// Figures of the blend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chemistry<N = f64> {
    /// The saponification value the lye rests on, mg KOH/g.
    pub saponification_value: Option<N>,
    /// The same from the profiles, as a check.
    pub saponification_value_calculated: Option<N>,
    /// Iodine value from the profiles, g iodine per 100 g.
    pub iodine_value: Option<N>,
    /// Setting point of the mixed acids, °C.
    pub titre: Option<N>,
    /// Total fatty matter in percent of the fresh bar.
    pub tfm_fresh: Option<N>,
    /// The same of the bar at sale.
    pub tfm_cured: Option<N>,
}

/// One score with where it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EstimateResult<N = f64> {
    /// Which.
    pub estimate: Estimate,
    /// The score.
    pub value: N,
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
    pub scents: ScentCheck<N>,
    /// The batch.
    pub masses: Masses<N>,
    /// Where each gram of water comes from.
    pub water: Vec<WaterRow<N>>,
    /// Why the size that was asked for is not reached; the batch is then one without fats.
    pub size_error: Option<SizeError>,
    /// How far the superfat may lie from the planned one; `None` without fats that take alkali.
    pub margin: Option<LyeMargin<N>>,
    /// What sugars may take of the alkali; nothing that protects counts it. `None` without such sugars.
    pub sugars: Option<SugarEdge<N>>,
    /// How a bar dries; `None` without fats.
    pub cure: Option<Cure<N>>,
    /// The jug; `None` without alkali.
    pub jug: Option<Jug<N>>,
    /// The blend.
    pub chemistry: Chemistry<N>,
    /// Its acids; `None` without a fat with a profile.
    pub composition: Option<Composition<N>>,
    /// The scores in the order of [`Estimate::ALL`]; `None` if too much of the blend is unknown.
    pub estimates: Option<[EstimateResult<N>; 7]>,
}

impl<N> Evaluation<N> {
    /// The result for `estimate`.
    pub fn estimate(&self, estimate: Estimate) -> Option<&EstimateResult<N>> {
        self.estimates.as_ref().map(|all| &all[estimate as usize])
    }
}

fn composition<R: Reading>(r: R, blend: &Blend, library: &Library) -> Option<Composition<R::N>> {
    let fats = blend.lines().iter().map(|l| (l.fat.as_ref(), inputs::share_percent(r, l)));
    Composition::read(r, fats, &library.acids)
}

/// The scores of `blend` with `free_fat` percent of all fat unsaponified; `None` if over a tenth
/// of the blend has no profile.
pub fn scores(blend: &Blend, free_fat: Percent, library: &Library) -> Option<Scores> {
    composition(Plain, blend, library)
        .filter(|c| c.unknown <= MOST_UNKNOWN)
        .map(|c| library.weights.scores(Plain, &c, free_fat.fraction(), &library.acids))
}

/// Free fat in percent of all fat in the batch of `design`.
pub fn free_fat(design: &Design) -> Percent {
    solve(Plain, design).1.free_fat
}

/// Sum of the shares of the fats with a profile, percent.
fn known<R: Reading>(r: R, blend: &Blend) -> R::N {
    r.sum(blend.lines().iter().filter(|l| !l.fat.profile().is_empty()).map(|l| inputs::share_percent(r, l)))
}

/// What each line of the blend brings to `estimate`, in points and in the lines' order; free fat
/// and unsaponifiable matter are not in it. `None` for a line without a profile. With the part
/// of [`free_fat_points`] they sum to the score, unless that was capped at 100.
pub fn contributions(blend: &Blend, estimate: Estimate, library: &Library) -> Vec<Option<f64>> {
    blend.lines().iter().map(|line| contribution(Plain, blend, line, estimate, library)).collect()
}

/// What `line` brings to `estimate`; `None` without a profile.
pub fn contribution<R: Reading>(
    r: R,
    blend: &Blend,
    line: &FatLine,
    estimate: Estimate,
    library: &Library,
) -> Option<R::N> {
    let known = known(r, blend);
    let alone: f64 = {
        let profile = line.fat.profile().iter();
        profile.map(|e| e.fraction() * library.weights.get(e.acid, estimate)).sum()
    };
    let has_profile = !line.fat.profile().is_empty() && known.value() > 0.0;
    has_profile.then(|| {
        let alone = r.inputs("score of its acids alone", alone, "", || {
            let largest = line.fat.profile().iter().max_by(|a, b| a.typical.total_cmp(&b.typical));
            let name = format!("{} of the acids of {} alone", estimate.name(), line.fat.name);
            let input = |e: &ProfileEntry| Input::sourced(&name, significant(alone), &e.source, e.trust);
            largest.map(input).into_iter().collect()
        });
        inputs::share_percent(r, line) / known * alone
    })
}

/// Percent of the blend's fatty acids that `line` brings of `acids`; what has no profile is left
/// out of the whole.
pub fn acid_part<R: Reading>(r: R, blend: &Blend, line: &FatLine, acids: &[AcidId], library: &Library) -> R::N {
    let known = known(r, blend);
    let entries = line.fat.profile().iter().filter(|e| acids.contains(&e.acid));
    let of_fat = r.sum(entries.map(|e| typical(r, e, &line.fat, &library.acids)));
    if known.value() > 0.0 { of_fat * inputs::share_percent(r, line) / known } else { R::N::from(0.0) }
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
    if estimate.gains_from_free_fat() {
        evaluation.masses.free_fat.0 + in_percent(evaluation.composition.as_ref().map_or(0.0, |c| c.unsaponifiable))
    } else {
        0.0
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

/// Works out every number of `design`. Total: any design gives an evaluation; what cannot be computed is `None`, and
/// [cautions](crate::cautions) say of it what a maker must know.
///
/// ```
/// use barwright_core::{Design, Library, evaluate};
/// let library = Library::embedded()?;
/// let nothing = evaluate(&Design::default(), &library);
/// assert_eq!((nothing.masses.fats.0, nothing.margin), (0.0, None));
/// # Ok::<(), barwright_core::library::LibraryError>(())
/// ```
pub fn evaluate(design: &Design, library: &Library) -> Evaluation {
    read(Plain, design, library)
}

/// The numbers of `design` in any reading; on a [`crate::formula::Tape`] each remembers how it came about.
pub fn read<R: Reading>(r: R, design: &Design, library: &Library) -> Evaluation<R::N> {
    let lines = design.blend.lines();
    let (nominal, masses, size_error) = solve(r, design);
    let fat_masses: Vec<Grams<R::N>> = alkali::masses(r, lines, Grams(nominal)).collect();
    let weighed = || fat_masses.iter().zip(lines);
    let fats = masses.fats;
    let jug = Jug::of(r, design, &masses);
    let margin = LyeMargin::read(r, design, &masses, &fat_masses);

    let composition = composition(r, &design.blend, library);
    let known = composition.as_ref().filter(|c| c.unknown <= MOST_UNKNOWN);
    let cure = Cure::of(r, design, &masses);
    // Fatty acids are fatty matter, be they weighed as fat or as an addition.
    let fatty_matter = fatty_matter(r, weighed(), library).map(|of_fats| of_fats + masses.added_fatty.0);
    let tfm_fresh = fatty_matter.filter(|_| fats.value() > 0.0).map(|m| percent_of(m, masses.batter.0));
    let chemistry = Chemistry {
        saponification_value: (fats.value() > 0.0)
            .then(|| R::N::from(1000.0) * (masses.exact_koh - masses.added_fatty_koh).0 / fats.0),
        saponification_value_calculated: known.map(|c| c.calculated_sv),
        iodine_value: known.map(|c| c.calculated_iv),
        titre: known.and_then(|c| library.fusion.titre(r, c, &library.acids)),
        tfm_fresh,
        tfm_cured: cure.as_ref().and_then(|c| Some(c.tfm(r, tfm_fresh?, c.days().get()))),
    };
    let free_fat = masses.free_fat.fraction();
    let estimates = known.map(|c| {
        let scores = library.weights.scores(r, c, free_fat, &library.acids);
        let style = library.style(&design.style);
        Estimate::ALL.map(|estimate| {
            let value = scores.get(estimate);
            let range = style.and_then(|s| s.range(estimate, free_fat.plain()));
            EstimateResult { estimate, value, range, place: range.map(|r| Place::of(estimate, value.value(), r)) }
        })
    });
    let of_scents = design.scents.iter().map(|l| inputs::amount(r, l.amount, &l.scent.name, fats)).collect();
    Evaluation {
        addition_masses: design.additions.iter().map(|l| mass_of(r, l, fats)).collect(),
        water: water_account(r, design, &masses),
        scents: ScentCheck::read(r, of_scents, &design.scents, masses.dried(), &library.limits),
        fat_masses,
        masses,
        size_error,
        margin,
        sugars: SugarEdge::read(r, design, &masses, library),
        cure,
        jug,
        chemistry,
        composition,
        estimates,
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
