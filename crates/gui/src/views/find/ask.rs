//! What the person asks for, as it stands in the sentence and the lists of the Find view.

use barwright_core::design::shelf::Shelf;
use barwright_core::find::{Aim, Candidate, Demand, Measure, Practice, Rule, ShareStep, Wanted};
use barwright_core::library::material::MaterialId;
use barwright_core::units::{Interval, Share};
use barwright_core::{Design, Evaluation, Library};
use std::collections::{BTreeMap, BTreeSet};

/// What the blend should be.
#[derive(Debug, Clone, PartialEq)]
pub enum AimChoice {
    /// The cheapest.
    Cheapest,
    /// With acids nearest to the design's.
    ThisDesign,
    /// With shares nearest to the design's.
    SmallestChange,
    /// With acids nearest to a reference soap of the design's style.
    Soap(String),
}

impl AimChoice {
    /// The words in the sentence.
    pub fn words(&self) -> String {
        match self {
            Self::Cheapest => "cheapest blend".into(),
            Self::ThisDesign => "blend nearest to this design by its acids".into(),
            Self::SmallestChange => "smallest change of this blend".into(),
            Self::Soap(name) => format!("blend nearest to “{name}” by its acids"),
        }
    }
}

/// Which fats may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// All that are known.
    Library,
    /// Those of the design.
    ThisDesign,
    /// Those that have a price.
    Priced,
}

impl From {
    /// All.
    pub const ALL: [Self; 3] = [Self::Library, Self::ThisDesign, Self::Priced];

    /// The words in the sentence.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Library => "all fats",
            Self::ThisDesign => "this design’s fats",
            Self::Priced => "fats with a price",
        }
    }
}

/// A range as it is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RangeChoice {
    /// Of what.
    pub measure: Measure,
    /// How binding.
    pub rule: Rule,
    /// A range of the person's own; `None` for that of the style.
    pub own: Option<Interval>,
}

/// All that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// What the blend should be.
    pub aim: AimChoice,
    /// The ranges, in the order of [`Measure::ALL`].
    pub ranges: [RangeChoice; 10],
    /// Which fats may be used.
    pub from: From,
    /// But not these.
    pub without: BTreeSet<MaterialId>,
    /// These though a rule speaks against them.
    pub named: BTreeSet<MaterialId>,
    /// The rules of practice in force.
    pub practices: BTreeSet<Practice>,
    /// The least and the most of some.
    pub bounds: BTreeMap<MaterialId, (Share, Share)>,
    /// At most so many fats.
    pub at_most: usize,
    /// None below.
    pub least: Share,
    /// The steps of the shares.
    pub step: ShareStep,
    /// How many blends.
    pub results: usize,
    /// Only of what is on the shelf.
    pub from_shelf: bool,
    /// All there is of this fat.
    pub use_up: Option<MaterialId>,
}

impl Default for Ask {
    fn default() -> Self {
        let range = |measure| {
            let rule = if matches!(measure, Measure::Estimate(_)) { Rule::Must } else { Rule::Ignore };
            RangeChoice { measure, rule, own: None }
        };
        Self {
            aim: AimChoice::ThisDesign,
            ranges: Measure::ALL.map(range),
            from: From::Library,
            without: BTreeSet::new(),
            named: BTreeSet::new(),
            practices: Practice::defaults(),
            bounds: BTreeMap::new(),
            at_most: 5,
            least: Share::nearest(5.0),
            step: ShareStep::One,
            results: 4,
            from_shelf: false,
            use_up: None,
        }
    }
}

impl Ask {
    /// The nearest blend to a design without one of its fats.
    pub fn replacing(fat: MaterialId, fats: usize) -> Self {
        let mut ask = Self { without: BTreeSet::from([fat]), ..Self::default() };
        ask.at_most = ask.at_most.max(fats);
        // What is replaced may have been outside; nearness counts more.
        ask.set_scores(Rule::May);
        ask
    }

    /// A blend of what is on the shelf with all there is of `fat`.
    pub fn using_up(fat: MaterialId) -> Self {
        let mut ask = Self { from_shelf: true, use_up: Some(fat), ..Self::default() };
        // What there is decides more than where soaps of the style lie.
        ask.set_scores(Rule::May);
        ask
    }

    /// Whether `candidate` may be used: neither left out nor, unless it is named, ruled out.
    pub fn allows(&self, candidate: &Candidate, library: &Library) -> bool {
        let id = &candidate.line.fat.id;
        let is_ruled_out = || self.practices.iter().any(|p| p.leaves_out(candidate, library));
        !self.without.contains(id) && (self.named.contains(id) || !is_ruled_out())
    }

    /// Lets `candidate` be used, or leaves it out.
    pub fn allow(&mut self, candidate: &Candidate, is_allowed: bool, library: &Library) {
        let id = &candidate.line.fat.id;
        self.without.remove(id);
        self.named.remove(id);
        if self.allows(candidate, library) == is_allowed {
            return;
        }
        if is_allowed {
            self.named.insert(id.clone())
        } else {
            self.without.insert(id.clone())
        };
    }

    /// Gives every score the same rule.
    pub fn set_scores(&mut self, rule: Rule) {
        for range in &mut self.ranges {
            if matches!(range.measure, Measure::Estimate(_)) {
                range.rule = rule;
            }
        }
    }

    /// The rule that all scores have; `None` if they differ.
    pub fn rule_of_scores(&self) -> Option<Rule> {
        let mut rules = self.ranges.iter().filter(|r| matches!(r.measure, Measure::Estimate(_))).map(|r| r.rule);
        let first = rules.next()?;
        rules.all(|r| r == first).then_some(first)
    }

    /// Forgets a reference soap that the style of `design` does not have.
    pub fn forget_soap_unless(&mut self, design: &Design, library: &Library) {
        let style = library.style(&design.style);
        let has = |name: &str| style.is_some_and(|s| s.references.iter().any(|r| r.name == name));
        if matches!(&self.aim, AimChoice::Soap(name) if !has(name)) {
            self.aim = AimChoice::ThisDesign;
        }
    }

    /// Where `choice` asks its number to lie: the own range, else that of the style, else around the
    /// design's.
    pub fn range(choice: RangeChoice, evaluation: &Evaluation, library: &Library) -> Option<Interval> {
        let of_style = match choice.measure {
            Measure::Estimate(estimate) => evaluation.estimate(estimate).and_then(|r| r.range),
            _ => None,
        };
        let around = || choice.measure.around(choice.measure.of(evaluation, library)?);
        let anything = || Interval::new(0.0, 1.0).ok();
        choice.own.or(of_style).or_else(around).or_else(anything)
    }

    /// The search that is asked for of `design`.
    pub fn wanted(&self, design: &Design, evaluation: &Evaluation, shelf: &Shelf, library: &Library) -> Wanted {
        let mut wanted = Wanted::of(design, evaluation, library);
        (wanted.least, wanted.step, wanted.results) = (self.least, self.step, self.results);
        let nearest = std::mem::replace(&mut wanted.aim, Aim::SmallestChange);
        wanted.aim = match &self.aim {
            AimChoice::Cheapest => Aim::Cheapest,
            AimChoice::ThisDesign => nearest,
            AimChoice::SmallestChange => Aim::SmallestChange,
            AimChoice::Soap(name) => {
                let soaps = library.style(&design.style).map(|s| s.references.as_slice()).unwrap_or_default();
                soaps.iter().find(|r| r.name == *name).map_or(nearest, |r| Aim::Nearest(r.composition.clone()))
            }
        };
        wanted.demands = self.demands(evaluation, library);
        let is_priced = |id: &MaterialId, wanted: &Wanted| wanted.price_per_kg(id).is_some();
        let priced: BTreeSet<MaterialId> = {
            let ids = wanted.candidates.iter().map(|c| &c.line.fat.id);
            ids.filter(|id| is_priced(id, &wanted)).cloned().collect()
        };
        wanted.keep(|c| {
            let id = &c.line.fat.id;
            let is_in = match self.from {
                From::Library => true,
                From::ThisDesign => design.blend.line(id).is_some(),
                From::Priced => priced.contains(id),
            };
            // What the person leaves out goes even if the design has it locked.
            !self.without.contains(id) && (is_in || c.is_held())
        });
        for candidate in wanted.candidates.iter_mut().filter(|c| !c.is_held()) {
            if let Some((least, most)) = self.bounds.get(&candidate.line.fat.id) {
                (candidate.least, candidate.most) = (*least, *most);
            }
        }
        for fat in &self.named {
            wanted.name(fat);
        }
        if self.from_shelf {
            wanted.from_shelf(shelf, evaluation.masses.fats);
            if let Some(fat) = &self.use_up {
                wanted.name(fat);
                wanted.use_up(fat, shelf, evaluation.masses.fats);
            }
        }
        wanted.practices.clone_from(&self.practices);
        wanted.at_most = Some(self.at_most);
        wanted
    }

    fn demands(&self, evaluation: &Evaluation, library: &Library) -> Vec<Demand> {
        let asked = self.ranges.iter().filter(|c| c.rule != Rule::Ignore).filter_map(|choice| {
            let shown = Self::range(*choice, evaluation, library)?;
            Some(Demand::shown(choice.measure, choice.rule, shown))
        });
        asked.collect()
    }
}
