//! What blend is looked for: the aim, the demands, the fats that may be used, and what keeps it
//! practical.

use super::practice::Practice;
use crate::chemistry::inputs;
use crate::design::blend::{Blend, FatLine};
use crate::design::{Design, Price};
use crate::evaluate::Evaluation;
use crate::formula::{Input, Plain, Reading};
use crate::library::Library;
use crate::library::composition::Composition;
use crate::library::estimates::Estimate;
use crate::library::fats::Fat;
use crate::library::finding::Findable;
use crate::library::material::{MaterialId, Of};
use crate::number::{fixed, short};
use crate::units::{Interval, Percent, Share};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A number of a blend that can be asked to lie in a range: all that are linear in the shares, or a
/// ratio of such. The titre is not, so it is worked out afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A score.
    Estimate(Estimate),
    /// The saponification value the lye rests on, mg KOH/g.
    SaponificationValue,
    /// Calculated iodine value, g iodine per 100 g.
    IodineValue,
    /// Mass of saturated acids for each of unsaturated ones.
    SaturatedPerUnsaturated,
}

/// The end of a range of what has none: beyond all that there is.
const OPEN: f64 = 1000.0;

/// What is measured besides the scores.
const BESIDES: usize = 3;
const _: () = assert!(Measure::ALL.len() == Estimate::ALL.len() + BESIDES, "every score is in the list");

impl Measure {
    /// All, in the order of screens.
    pub const ALL: [Self; 10] = [
        Self::Estimate(Estimate::Hardness),
        Self::Estimate(Estimate::Wear),
        Self::Estimate(Estimate::LatherVolume),
        Self::Estimate(Estimate::LatherPersistence),
        Self::Estimate(Estimate::Cleansing),
        Self::Estimate(Estimate::Conditioning),
        Self::Estimate(Estimate::Keeping),
        Self::SaponificationValue,
        Self::IodineValue,
        Self::SaturatedPerUnsaturated,
    ];

    /// Name on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Estimate(estimate) => estimate.name(),
            Self::SaponificationValue => "Saponification value",
            Self::IodineValue => "Iodine value",
            Self::SaturatedPerUnsaturated => "Saturated per unsaturated",
        }
    }

    /// Name in commands: `hardness`, `iodine_value`.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Estimate(Estimate::Hardness) => "hardness",
            Self::Estimate(Estimate::Wear) => "wear",
            Self::Estimate(Estimate::LatherVolume) => "lather_volume",
            Self::Estimate(Estimate::LatherPersistence) => "lather_persistence",
            Self::Estimate(Estimate::Cleansing) => "cleansing",
            Self::Estimate(Estimate::Conditioning) => "conditioning",
            Self::Estimate(Estimate::Keeping) => "keeping",
            Self::SaponificationValue => "saponification_value",
            Self::IodineValue => "iodine_value",
            Self::SaturatedPerUnsaturated => "saturated_per_unsaturated",
        }
    }

    /// The most that a range of it can reach: scores but keeping end at 100.
    pub const fn most(self) -> f64 {
        match self {
            Self::Estimate(estimate) => match estimate.most() {
                Some(most) => most,
                None => OPEN,
            },
            Self::SaponificationValue | Self::IodineValue | Self::SaturatedPerUnsaturated => OPEN,
        }
    }

    /// Decimals it is shown with.
    pub const fn decimals(self) -> usize {
        match self {
            Self::Estimate(estimate) => estimate.decimals(),
            Self::SaponificationValue | Self::IodineValue => 1,
            Self::SaturatedPerUnsaturated => 2,
        }
    }

    /// The number for what `evaluation` is of; `None` if it is not known.
    pub fn of(self, evaluation: &Evaluation, library: &Library) -> Option<f64> {
        match self {
            Self::Estimate(estimate) => evaluation.estimate(estimate).map(|r| r.value),
            Self::SaponificationValue => evaluation.chemistry.saponification_value,
            Self::IodineValue => evaluation.chemistry.iodine_value,
            Self::SaturatedPerUnsaturated => {
                evaluation.composition.as_ref()?.saturated_per_unsaturated(Plain, &library.acids)
            }
        }
    }
}

listed! {
    /// How binding a range is.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Rule {
        /// The blend must lie in it.
        Must,
        /// The blend may leave it at a price that grows with the square of the distance.
        May,
        /// It counts for nothing.
        Ignore,
    }
    /// All, in the order of screens.
    ALL
}

impl Rule {
    /// The word on screen.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Must => "must",
            Self::May => "may",
            Self::Ignore => "ignore",
        }
    }
}

/// A range that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Of what.
    pub measure: Measure,
    /// How binding.
    pub rule: Rule,
    /// Where it should lie, ends included.
    pub range: Interval,
}

impl Demand {
    /// The demand that `measure`, as it is shown, lies in `range`: a score may be up to half a step
    /// of its last digit outside.
    pub fn shown(measure: Measure, rule: Rule, range: Interval) -> Self {
        let range = match measure {
            Measure::Estimate(estimate) => estimate.as_shown(range),
            _ => range,
        };
        Self { measure, rule, range }
    }
}

/// What makes one blend better than another.
#[derive(Debug, Clone, PartialEq)]
pub enum Aim {
    /// The lowest price of a kilogram of fats.
    Cheapest,
    /// The fatty acids nearest to these: the least sum of squared differences in percent.
    Nearest(Composition),
    /// The shares nearest to those of the design: the least sum of squared differences in percent.
    SmallestChange,
}

/// The steps in which shares come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ShareStep {
    /// Whole percents.
    #[default]
    One,
    /// 5, 10, 15 %…
    Five,
    /// Any share.
    Any,
}

impl ShareStep {
    /// How many make the whole; `None` for any share.
    pub const fn to_the_whole(self) -> Option<u32> {
        match self {
            Self::One => Some(100),
            Self::Five => Some(20),
            Self::Any => None,
        }
    }

    /// The step in percent; `None` for any share.
    pub const fn percent(self) -> Option<f64> {
        match self {
            Self::One => Some(1.0),
            Self::Five => Some(5.0),
            Self::Any => None,
        }
    }
}

/// Who brought a fat into a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// Nobody: it is in the library, or in the design’s records.
    No,
    /// The design has it in its blend.
    InDesign,
    /// The maker asked for it.
    ByMaker,
}

/// A fat that may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The fat with its supplier's certificate; the share and the lock are those of the design.
    pub line: FatLine,
    /// The least share; above 0 the fat must be used.
    pub least: Share,
    /// The most.
    pub most: Share,
    /// Who brought it in.
    pub named: Named,
}

impl Candidate {
    /// `line` with any share.
    pub fn free(line: FatLine, named: Named) -> Self {
        Self { line, least: Share::nearest(Share::MIN), most: Share::nearest(Share::MAX), named }
    }

    /// A line of the design: held where it is locked, and where no acids of it are tabled, so that nothing could say
    /// what a change of it does.
    pub(super) fn of_design(line: &FatLine) -> Self {
        let free = Self::free(line.clone(), Named::InDesign);
        let is_held = line.locked || !free.has_acids();
        if is_held { Self { least: line.share, most: line.share, ..free } } else { free }
    }

    /// The same with none of it.
    #[must_use]
    pub(super) fn without(self) -> Self {
        let none = Share::nearest(Share::MIN);
        Self { least: none, most: none, ..self }
    }

    /// Whether its acids are tabled.
    pub fn has_acids(&self) -> bool {
        !self.line.fat.profile().is_empty()
    }

    /// Whether its share is given.
    pub fn is_held(&self) -> bool {
        self.least.get() >= self.most.get()
    }
}

impl Findable for Candidate {
    const OF: Of = Fat::OF;
    fn id(&self) -> &MaterialId {
        self.line.fat.id()
    }
    fn name(&self) -> &str {
        self.line.fat.name()
    }
    fn inci(&self) -> &str {
        self.line.fat.inci()
    }
    fn kind(&self) -> &'static str {
        self.line.fat.kind()
    }
}

/// What blend is looked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// What makes one blend better than another.
    pub aim: Aim,
    /// The ranges.
    pub demands: Vec<Demand>,
    /// The fats that may be used.
    pub candidates: Vec<Candidate>,
    /// At most so many fats.
    pub at_most: Option<usize>,
    /// No fat that is used has less, percent.
    pub least: Share,
    /// The steps of the shares.
    pub step: ShareStep,
    /// What a maker would not have to say, as far as it is in force.
    pub practices: BTreeSet<Practice>,
    /// How many blends of different fats are wanted.
    pub results: usize,
    /// Free fat of the batch, percent of all fat: conditioning counts it.
    pub free_fat: Percent,
    /// The prices known.
    pub prices: Vec<Price>,
    /// Whether the shares of the design sum to 100, so that a change of them can be measured.
    pub has_whole_blend: bool,
}

/// The least share, percent, and the number of fats and of results that are asked for at first.
const LEAST: f64 = 5.0;
const AT_MOST: usize = 5;
const RESULTS: usize = 3;

impl Wanted {
    /// The search that belongs to `design`: the blend nearest to its own acids, with all fats of the
    /// library, its locked fats held and the ranges of its style, as far as a score is shown as inside, as soft
    /// demands.
    pub fn of(design: &Design, evaluation: &Evaluation, library: &Library) -> Self {
        let demands = evaluation
            .estimates
            .iter()
            .flatten()
            .filter_map(|result| Some(Demand::shown(Measure::Estimate(result.estimate), Rule::May, result.range?)));
        let aim = evaluation.composition.clone().map_or(Aim::SmallestChange, Aim::Nearest);
        Self {
            aim,
            demands: demands.collect(),
            candidates: candidates(design, library),
            at_most: Some(AT_MOST.max(design.blend.lines().len())),
            least: Share::nearest(LEAST),
            step: ShareStep::default(),
            practices: Practice::defaults(),
            results: RESULTS,
            free_fat: evaluation.masses.free_fat,
            prices: design.prices.clone(),
            has_whole_blend: design.blend.is_whole(),
        }
    }

    /// Leaves fat `id` out; false if it is no candidate. One of the design stays at nothing: to go without it is a
    /// change of the design.
    pub fn leave_out(&mut self, id: &MaterialId) -> bool {
        let Some(at) = self.candidates.iter().position(|c| c.line.fat.id == *id) else { return false };
        if self.candidates[at].line.share.get() > 0.0 {
            self.candidates[at] = self.candidates[at].clone().without();
        } else {
            self.candidates.remove(at);
        }
        true
    }

    /// Leaves out all fats that `stays` does not name, as [`Self::leave_out`] does.
    pub fn keep(&mut self, stays: impl Fn(&Candidate) -> bool) {
        let all = std::mem::take(&mut self.candidates);
        let kept = all.into_iter().filter_map(|c| match (stays(&c), c.line.share.get() > 0.0) {
            (true, _) => Some(c),
            (false, true) => Some(c.without()),
            (false, false) => None,
        });
        self.candidates = kept.collect();
    }

    /// Names fat `id` as one that may be used whatever speaks against it; false if it is no candidate.
    pub fn name(&mut self, id: &MaterialId) -> bool {
        let candidate = self.candidates.iter_mut().find(|c| c.line.fat.id == *id);
        candidate.map(|c| c.named = Named::ByMaker).is_some()
    }

    /// The limits that keep a blend practical, in words.
    pub fn limits_in_words(&self) -> Vec<String> {
        let most = self.at_most.map(|k| if k == 1 { "a single fat".into() } else { format!("at most {k} fats") });
        let least = (self.least.get() > 0.0).then(|| format!("none below {} %", short(self.least.get(), 2)));
        let step = self.step.percent().map(|p| format!("steps of {} %", short(p, 0)));
        [most, least, step].into_iter().flatten().collect()
    }

    /// Price of a kilogram of fat `id`; `None` if no pack of it has a price.
    pub fn price_per_kg(&self, id: &MaterialId) -> Option<f64> {
        let pack = self.prices.iter().find(|p| p.material == id.as_str())?;
        Some(1000.0 * pack.price.get() / pack.pack_g.get())
    }

    /// Price of a kilogram of the fats of `blend`, in `currency`.
    ///
    /// # Errors
    /// A fat has no price.
    pub fn read_price_per_kg<R: Reading>(&self, r: R, blend: &Blend, currency: &str) -> Result<R::N, String> {
        let part = |line: &FatLine| {
            let pack = self.prices.iter().find(|p| p.material == line.fat.id.as_str());
            let pack = pack.ok_or_else(|| format!("{} has no price", line.fat.name))?;
            let about = || {
                let (price, grams) = (fixed(pack.price.get(), 2), short(pack.pack_g.get(), 2));
                Input::chosen(&format!("Pack of {}", line.fat.name), format!("{price} {currency} for {grams} g"))
            };
            let price = r.input("price of the pack", pack.price.get(), "", about);
            let per_kg = price * 1000.0 / r.input("pack", pack.pack_g.get(), "g", about);
            Ok(inputs::share(r, line) * per_kg)
        };
        Ok(r.sum(blend.lines().iter().map(part).collect::<Result<Vec<_>, String>>()?))
    }
}

/// The fats that a blend for `design` can be made of: its own, held where they are locked or have no tabled acids, then
/// those it keeps records of and those of the library. Fats without tabled acids that are not in the design are left
/// out, since the scores don't count them.
pub fn candidates(design: &Design, library: &Library) -> Vec<Candidate> {
    let mut all: Vec<Candidate> = design.blend.lines().iter().map(Candidate::of_design).collect();
    for fat in design.spare.fats.iter().chain(library.fats()) {
        if !all.iter().any(|c| c.line.fat.id == fat.id) {
            all.push(Candidate::free(FatLine::new(Arc::clone(fat), Share::nearest(0.0)), Named::No));
        }
    }
    all.retain(|c| c.is_held() || c.has_acids());
    all
}
