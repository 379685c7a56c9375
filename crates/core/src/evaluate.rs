//! From a design to every number about it.

use crate::acids::AcidId;
use crate::alkali::{AlkaliNeed, exact_koh, masses};
use crate::blend::{Blend, FatLine};
use crate::cautions::{Caution, Level};
use crate::composition::Composition;
use crate::design::Design;
use crate::edit::Edit;
use crate::estimates::{Estimate, Place, Scores};
use crate::fats::{Fat, SV_TOLERANCE};
use crate::library::Library;
use crate::number::{fixed, short};
use crate::tfm::{fatty_matter_per_gram, glycerol_per_gram};
use crate::units::{Grams, Interval, LyeConcentration, Share, Superfat};
use crate::{design::WaterRule, water};
use std::sync::Arc;

/// Scores are not given when more than this fraction of the blend has no profile.
pub const MOST_UNKNOWN: f64 = 0.10;

/// Masses of one batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// All fats.
    pub fats: Grams,
    /// Alkali, pure and as weighed.
    pub alkali: AlkaliNeed,
    /// All water, whatever brings it.
    pub water_total: Grams,
    /// Water that is there beyond what the rule asks for.
    pub water_excess: Grams,
    /// What is poured on the scale: all water less that in the potassium hydroxide.
    pub water_to_weigh: Grams,
    /// Pure alkali in percent of pure alkali and all water.
    pub lye_concentration: Option<f64>,
    /// All water in percent of the fats.
    pub water_percent_of_fats: Option<f64>,
    /// Planned superfat, percent.
    pub superfat: f64,
    /// Unsaponified fat, percent of all fat; 0 when there is too much alkali.
    pub free_fat: f64,
    /// Everything mixed.
    pub batter: Grams,
    /// Number of bars.
    pub bars: u32,
    /// A bar as it is cut.
    pub bar_fresh: Grams,
    /// Glycerol set free.
    pub glycerol: Grams,
}

/// The jug in which the lye is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jug {
    /// Percent of pure alkali in the jug's lye.
    pub concentration: f64,
    /// °C below which it begins to crystallise; only for sodium lye of 10–70 %.
    pub crystallises_below: Option<f64>,
}

/// Figures of the blend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chemistry {
    /// The saponification value the lye rests on, mg KOH/g.
    pub saponification_value: Option<f64>,
    /// The same from the profiles, as a check.
    pub saponification_value_calculated: Option<f64>,
    /// Iodine value from the profiles, g iodine per 100 g.
    pub iodine_value: Option<f64>,
    /// Setting point of the mixed acids, °C.
    pub titre: Option<f64>,
    /// Total fatty matter in percent of the fresh bar.
    pub tfm_fresh: Option<f64>,
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
pub struct Evaluation {
    /// Mass of each line of the blend, in order.
    pub fat_masses: Vec<Grams>,
    /// The batch.
    pub batch: Batch,
    /// The jug; `None` without alkali.
    pub jug: Option<Jug>,
    /// The blend.
    pub chemistry: Chemistry,
    /// Its acids; `None` without a fat with a profile.
    pub composition: Option<Composition>,
    /// The scores in the order of [`Estimate::ALL`]; `None` if too much of the blend is unknown.
    pub estimates: Option<[EstimateResult; 7]>,
    /// What the maker must be told, worst first.
    pub cautions: Vec<Caution>,
}

impl Evaluation {
    /// The result for `estimate`.
    pub fn estimate(&self, estimate: Estimate) -> Option<&EstimateResult> {
        self.estimates.as_ref().map(|all| &all[estimate as usize])
    }

    /// The worst level among the cautions.
    pub fn worst(&self) -> Option<Level> {
        self.cautions.iter().map(|c| c.level).max()
    }
}

/// Free fat in percent of all fat: what the alkali leaves, never less than none.
fn free_fat(superfat: Superfat) -> f64 {
    superfat.get().max(0.0)
}

fn composition(blend: &Blend, library: &Library) -> Option<Composition> {
    Composition::of(blend.lines().iter().map(|l| (l.fat.as_ref(), l.share.get())), &library.acids)
}

/// The scores of `blend` at `superfat`; `None` if over a tenth of it has no profile.
pub fn scores(blend: &Blend, superfat: Superfat, library: &Library) -> Option<Scores> {
    composition(blend, library)
        .filter(|c| c.unknown <= MOST_UNKNOWN)
        .map(|c| library.weights.scores(&c, free_fat(superfat) / 100.0))
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
    let at = |line: &FatLine, share: f64| {
        let mut blend = design.blend.clone();
        blend.set_share(&line.fat.id, Share::nearest(share)).ok()?;
        scores(&blend, design.superfat, library).map(|s| s.get(estimate))
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
            evaluation.batch.free_fat + 100.0 * evaluation.composition.as_ref().map_or(0.0, |c| c.unsaponifiable)
        }
        _ => 0.0,
    }
}

/// How every score would move if `fat` came into the design at `share` and the unlocked others
/// gave way; `None` if it cannot come in or the scores are not known on both sides.
pub fn effect_of_adding(design: &Design, fat: &Arc<Fat>, share: Share, library: &Library) -> Option<Scores> {
    let before = scores(&design.blend, design.superfat, library)?;
    let after = Edit::AddFat(Arc::clone(fat), share).apply(design, library).ok()?;
    let after = scores(&after.blend, design.superfat, library)?;
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
    let lines = design.blend.lines();
    let fat_masses: Vec<Grams> = masses(lines, Grams(design.fat_mass.get())).collect();
    let fats: Grams = fat_masses.iter().copied().sum();
    let weighed = || fat_masses.iter().zip(lines);

    let need = exact_koh(weighed().map(|(m, l)| (*m, l.saponification_value())));
    let alkali = AlkaliNeed::new(need, design.superfat, &design.alkali);
    let wanted = water::total(design.water, alkali.pure(), fats);
    // Water cannot be taken out again: where the potassium hydroxide brings more than is wanted,
    // none is weighed, and a caution says by how much the rule is missed.
    let water_total = if wanted < alkali.water() { alkali.water() } else { wanted };
    let water_to_weigh = water_total - alkali.water();
    let batter = fats + alkali.naoh + alkali.koh + water_to_weigh;
    let free_fat = free_fat(design.superfat);
    let glycerol: f64 = weighed().map(|(m, l)| m.0 * glycerol_per_gram(l.fat.kind, l.saponification_value())).sum();
    let bars = design.bars.get();
    let batch = Batch {
        fats,
        alkali,
        water_total,
        water_excess: water_total - wanted,
        water_to_weigh,
        lye_concentration: water::concentration(alkali.pure(), water_total).filter(|_| alkali.pure().0 > 0.0),
        water_percent_of_fats: (fats.0 > 0.0).then(|| 100.0 * water_total.0 / fats.0),
        superfat: design.superfat.get(),
        free_fat,
        batter,
        bars,
        bar_fresh: batter / f64::from(bars),
        // Only fat that is saponified sets its glycerol free.
        glycerol: Grams(glycerol * (1.0 - free_fat / 100.0)),
    };
    let jug = batch.lye_concentration.map(|concentration| Jug {
        concentration,
        crystallises_below: (alkali.koh.0 <= 0.0).then(|| water::crystallises_below(concentration)).flatten(),
    });

    let composition = composition(&design.blend, library);
    let known = composition.as_ref().filter(|c| c.unknown <= MOST_UNKNOWN);
    let fatty_matter: Option<f64> = weighed()
        .filter(|(m, _)| m.0 > 0.0)
        .map(|(m, l)| Some(m.0 * fatty_matter_per_gram(&l.fat, l.saponification_value(), &library.acids)?))
        .sum();
    let chemistry = Chemistry {
        saponification_value: (fats.0 > 0.0).then(|| 1000.0 * need.0 / fats.0),
        saponification_value_calculated: known.map(|c| c.calculated_sv),
        iodine_value: known.map(|c| c.calculated_iv),
        titre: known.and_then(|c| library.fusion.titre(c, &library.acids)),
        tfm_fresh: fatty_matter.filter(|_| fats.0 > 0.0).map(|m| 100.0 * m / batter.0),
    };
    let estimates = known.map(|c| {
        let scores = library.weights.scores(c, free_fat / 100.0);
        let style = library.style(&design.style);
        Estimate::ALL.map(|estimate| {
            let value = scores.get(estimate);
            let range = style.and_then(|s| s.range(estimate, free_fat / 100.0));
            EstimateResult { estimate, value, range, place: range.map(|r| Place::of(estimate, value, r)) }
        })
    });

    let mut evaluation = Evaluation { fat_masses, batch, jug, chemistry, composition, estimates, cautions: Vec::new() };
    let mut cautions = Vec::new();
    warn_of_blend(design, library, &evaluation, &mut cautions);
    warn_of_lye(design, &evaluation, &mut cautions);
    warn_of_bar(design, library, &evaluation, &mut cautions);
    cautions.sort_by_key(|c| std::cmp::Reverse(c.level));
    evaluation.cautions = cautions;
    evaluation
}

fn warn_of_blend(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let blend = &design.blend;
    if blend.lines().is_empty() {
        let advice = "Add a fat by typing a part of its name.";
        cautions.push(Caution::new("no-fats", Level::Stop, "There is no fat in this design yet.", advice));
        return;
    }
    if !blend.is_whole() {
        let why = format!("The shares sum to {} %, not 100 %, so every weight is off.", fixed(blend.total(), 2));
        let caution =
            Caution::new("shares-not-100", Level::Stop, why, "Correct a share, or let the unlocked fats fill up.");
        cautions.push(match blend.clone().fill() {
            Ok(()) => caution.with_remedy("Make it 100 %", Edit::FillBlend),
            Err(error) => Caution { advice: format!("It cannot be filled up: {error}."), ..caution },
        });
    }
    for line in blend.lines() {
        let sv = line.saponification_value();
        if let Some(calculated) = line.fat.calculated_sv(&library.acids).filter(|c| (sv / c - 1.0).abs() > SV_TOLERANCE)
        {
            let why = format!(
                "The saponification value of {}, {}, is {} % off the {} that its fatty acids give: a misprint here means burning lye.",
                line.fat.name,
                short(sv, 1),
                fixed((sv / calculated - 1.0).abs() * 100.0, 0),
                fixed(calculated, 1),
            );
            cautions.push(Caution::new(
                "sv-doubtful",
                Level::Stop,
                why,
                "Check the figure against the supplier’s certificate.",
            ));
        }
    }
    if let Some(c) = evaluation.composition.as_ref().filter(|c| c.unknown > 0.0 && c.unknown <= MOST_UNKNOWN) {
        let why = format!(
            "{} % of the blend has no tabled fatty acids; the estimates leave it out.",
            short(c.unknown * 100.0, 1)
        );
        cautions.push(Caution::new("no-profile", Level::Note, why, "The lye does count it."));
    }
    let weighed = evaluation.batch.fats.0 > 0.0;
    if weighed && evaluation.estimates.is_none() {
        let why = "More than 10 % of the blend has no tabled fatty acids, so the bar cannot be estimated.";
        cautions.push(Caution::new("estimates-unknown", Level::Care, why, "The lye and the weights still hold."));
    }
    if weighed && evaluation.chemistry.tfm_fresh.is_none() {
        let why = "The total fatty matter is not given: the make-up of a wax in the blend is not tabled.";
        cautions.push(Caution::new("tfm-unknown", Level::Note, why, "Everything else holds."));
    }
    let changed: Vec<&str> = blend
        .lines()
        .iter()
        .filter(|l| {
            library.fat(l.fat.id.as_str()).is_some_and(|known| !Arc::ptr_eq(known, &l.fat) && **known != *l.fat)
        })
        .map(|l| l.fat.name.as_str())
        .collect();
    if !changed.is_empty() {
        let why = format!("This design keeps figures that differ from today’s library: {}.", changed.join(", "));
        let caution =
            Caution::new("records-differ", Level::Note, why, "They are used as saved, so that the numbers stay.");
        cautions.push(caution.with_remedy("Use the library’s figures", Edit::RefreshRecords));
    }
}

fn warn_of_lye(design: &Design, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    let batch = &evaluation.batch;
    if batch.superfat <= 0.0 {
        let why = if batch.superfat < 0.0 {
            format!(
                "There is {} % more alkali than the fats can take: the bar would burn skin.",
                short(-batch.superfat, 2)
            )
        } else {
            "No alkali is held back: with natural fats about every second bar would be lye-heavy.".into()
        };
        let caution = Caution::new(
            "lye-heavy",
            Level::Stop,
            why,
            "Hold back some alkali; 5 % is usual (common practice, no source).",
        );
        cautions.push(caution.with_remedy("Set superfat to 5 %", Edit::Superfat(Superfat::nearest(5.0))));
    }
    if let Some(jug) = &evaluation.jug {
        let need = water::to_dissolve(batch.alkali.pure_naoh, batch.alkali.pure_koh).0;
        let shown = fixed(jug.concentration, 1);
        let thinner = |to: f64| {
            let label = format!("Set the lye to {} %", short(to, 0));
            (label, Edit::Water(WaterRule::LyeConcentration(LyeConcentration::nearest(to))))
        };
        if batch.water_excess.0 > 0.0 {
            let why = format!(
                "The potassium hydroxide alone brings {} g more water than this design asks for.",
                fixed(batch.water_excess.0, 1),
            );
            cautions.push(Caution::new(
                "water-not-reached",
                Level::Stop,
                why,
                "Ask for more water, or buy purer alkali.",
            ));
        }
        if batch.water_total.0 < need {
            let why = format!(
                "The alkali does not dissolve: it needs at least {} g of water in the jug, and there are {} g.",
                fixed(need, 1),
                fixed(batch.water_total.0, 1),
            );
            let (label, edit) = thinner(33.0);
            cautions.push(Caution::new("jug-too-strong", Level::Stop, why, "Use more water.").with_remedy(label, edit));
        } else if jug.concentration > 45.0 {
            let why = format!("At {shown} % the lye is very strong: it heats more and the batter thickens fast.");
            let (label, edit) = thinner(33.0);
            cautions
                .push(Caution::new("concentration-high", Level::Care, why, "Use more water.").with_remedy(label, edit));
        } else if jug.concentration < 22.0 {
            let why = format!("At {shown} % the lye is thin: the bar stays soft for long and shrinks as it dries.");
            let (label, edit) = thinner(28.0);
            cautions
                .push(Caution::new("concentration-low", Level::Care, why, "Use less water.").with_remedy(label, edit));
        }
        if let Some(below) = jug.crystallises_below.filter(|t| *t > design.process.room_c.get()) {
            let why = format!(
                "Lye of {shown} % begins to crystallise below about {} °C, and the room has {} °C.",
                fixed(below, 0),
                short(design.process.room_c.get(), 1),
            );
            cautions.push(Caution::new(
                "jug-crystallises",
                Level::Care,
                why,
                "Keep it warmer than that, or use more water.",
            ));
        }
    }
}

fn warn_of_bar(design: &Design, library: &Library, evaluation: &Evaluation, cautions: &mut Vec<Caution>) {
    if evaluation.batch.free_fat > 12.0 {
        let why = format!(
            "{} % of the fat stays unsaponified: the bar is soft, lathers less and turns rancid sooner.",
            short(evaluation.batch.free_fat, 2)
        );
        cautions.push(Caution::new("free-fat-high", Level::Care, why, "Lower the superfat."));
    }
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
    if potash > 10.0 {
        let why = format!("{} % of the alkali is potassium hydroxide, whose soap is soft or liquid.", short(potash, 1));
        cautions.push(Caution::new("koh-share-high", Level::Note, why, "The estimates are for sodium soap."));
    }
}
