//! The method: what to do with a batch, step by step, built from what is in it and how each material is
//! handled, so that no sentence contradicts another or names what is not there.
//!
//! Common practice of the trade, without a source, where nothing else is said; the numbers are the design's.

mod after;
mod fats;
mod jug;
mod mix;
mod ready;
mod show;

use crate::bench::weighing::What;
use crate::cautions::{self, Caution, Doing};
use crate::chemistry::keeping::Keeping;
use crate::chemistry::masses::is_salt_bar;
use crate::design::Design;
use crate::design::mould::Mould;
use crate::evaluate::Evaluation;
use crate::library::Library;
use crate::library::additions::{Addition, Stage};
use crate::library::handling::{Clear, How};
use crate::library::scents::Behaviour;
use crate::units::{Bars, Grams, Measures};
pub use jug::InJug;
use jug::Jug;

/// A part of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Before anything is mixed.
    Ready,
    /// The lye.
    Jug,
    /// The fats, and what goes into them before the lye.
    Fats,
    /// How warm both are when they meet.
    Temperatures,
    /// Lye into the fats, to the filled mould.
    Mix,
    /// What lies on top.
    Decoration,
    /// How warm the filled mould is kept.
    Warmth,
    /// Out of the mould, into bars.
    Cut,
    /// How long and where the bars dry.
    Cure,
    /// What is tested before use.
    Test,
}

impl Part {
    /// All, in the order of work.
    pub const ALL: [Self; 10] = [
        Self::Ready,
        Self::Jug,
        Self::Fats,
        Self::Temperatures,
        Self::Mix,
        Self::Decoration,
        Self::Warmth,
        Self::Cut,
        Self::Cure,
        Self::Test,
    ];

    /// The part at which what is put in at `stage` is handled.
    pub const fn of(stage: Stage) -> Self {
        match stage {
            Stage::IntoJug => Self::Jug,
            Stage::IntoFats => Self::Fats,
            Stage::AtTrace => Self::Mix,
            Stage::OnTop => Self::Decoration,
        }
    }

    /// Its heading.
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Ready => "Get ready",
            Self::Jug => "Make the lye",
            Self::Fats => "Fats",
            Self::Temperatures => "Temperatures",
            Self::Mix => "Mix and pour",
            Self::Decoration => "On top",
            Self::Warmth => "Keep warm or cool",
            Self::Cut => "Unmould and cut",
            Self::Cure => "Cure",
            Self::Test => "Test before use",
        }
    }
}

/// A step of work.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// What to do.
    pub text: String,
    /// What is made ready here for a later step.
    pub prepares: Vec<What>,
    /// What goes in here; each line of the design does so once.
    pub handles: Vec<What>,
}

impl Step {
    /// Its text with those of `stops` before it that stand against what goes in here.
    fn minding(&self, stops: &[&Caution]) -> String {
        let mut against: Vec<Doing> = Vec::new();
        for what in &self.handles {
            let doing = match what {
                What::Water => Doing::JugWater,
                What::SodiumHydroxide | What::PotassiumHydroxide => Doing::Alkali,
                What::Scent(_) => Doing::Scents,
                What::Fat(_) | What::Addition(_) => continue,
            };
            if !against.contains(&doing) {
                against.push(doing);
            }
        }
        against.into_iter().fold(self.text.clone(), |text, doing| doing.minding(stops, &text))
    }
}

impl From<String> for Step {
    fn from(text: String) -> Self {
        Self { text, ..Self::default() }
    }
}

impl From<&str> for Step {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// Steps of a part, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// Which part.
    pub part: Part,
    /// What to do.
    pub steps: Vec<Step>,
}

/// What a method depends on besides the batch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Options<'a> {
    /// The mould that is filled, with the bars it is cut into.
    pub mould: Option<(Mould, Bars)>,
    /// What must be told of the batch: no instruction is given without the Stops that stand against it.
    pub cautions: &'a [Caution],
    /// The units of the person who reads it.
    pub measures: Measures,
}

impl<'a> Options<'a> {
    /// For a batch with these `cautions`.
    pub const fn new(mould: Option<(Mould, Bars)>, cautions: &'a [Caution], measures: Measures) -> Self {
        Self { mould, cautions, measures }
    }

    /// Whether a Stop stands against the batch.
    fn is_stopped(&self) -> bool {
        self.cautions.iter().any(Caution::blocks)
    }
}

/// The method for `design`, whose evaluation is `evaluation`; nothing without fats.
pub fn of(design: &Design, evaluation: &Evaluation, library: &Library, options: &Options<'_>) -> Vec<Passage> {
    if evaluation.masses.fats.0 <= 0.0 {
        return Vec::new();
    }
    let bench = Bench::new(design, evaluation, library, *options);
    let steps = |part| match part {
        Part::Ready => ready::steps(&bench),
        Part::Jug => jug::steps(&bench),
        Part::Fats => fats::steps(&bench),
        Part::Temperatures => fats::temperatures(&bench),
        Part::Mix => mix::steps(&bench),
        Part::Decoration => mix::decoration(&bench),
        Part::Warmth => after::warmth(&bench),
        Part::Cut => after::cut(&bench),
        Part::Cure => after::cure(&bench),
        Part::Test => after::test(&bench),
    };
    let stops = cautions::stops(options.cautions);
    let mindful = |step: Step| Step { text: step.minding(&stops), ..step };
    let passages =
        Part::ALL.into_iter().map(|part| Passage { part, steps: steps(part).into_iter().map(mindful).collect() });
    passages.filter(|p| !p.steps.is_empty()).collect()
}

/// What the jug of `design` holds when the alkali comes.
pub fn in_jug(design: &Design, evaluation: &Evaluation, library: &Library) -> InJug {
    Bench::new(design, evaluation, library, Options::default()).jug.told()
}

/// An addition or a scent of which there is any.
#[derive(Clone, Copy)]
struct Item<'a> {
    what: What,
    name: &'a str,
    mass: Grams,
    stage: Stage,
    /// `None` for a scent.
    addition: Option<&'a Addition>,
    speeds_up: bool,
    browns: bool,
    rices: bool,
}

impl Item<'_> {
    /// How it goes in; `None` for a scent.
    fn how(&self) -> Option<How> {
        self.addition.map(|a| a.handling().how)
    }

    fn is(&self, how: How) -> bool {
        self.how() == Some(how)
    }

    fn warms(&self) -> bool {
        self.addition.is_some_and(|a| a.handling().warms)
    }
}

/// A fat of which there is any.
#[derive(Clone, Copy)]
struct FatItem<'a> {
    what: What,
    name: &'a str,
    /// Its part of the fats.
    part: f64,
    /// What keeps it clear, if the room's warmth and a little more do not.
    clear: Option<Clear>,
    is_solid: bool,
}

/// A batch as one stands before it.
struct Bench<'a> {
    design: &'a Design,
    evaluation: &'a Evaluation,
    library: &'a Library,
    options: Options<'a>,
    fats: Vec<FatItem<'a>>,
    /// Additions, then scents, as the design has them.
    items: Vec<Item<'a>>,
    jug: Jug<'a>,
}

/// A fat of a lower iodine value is solid in a room (our judgement: lard has about 60, olive oil 80).
const SOLID_BELOW: f64 = 65.0;

impl<'a> Bench<'a> {
    fn new(design: &'a Design, evaluation: &'a Evaluation, library: &'a Library, options: Options<'a>) -> Self {
        let all = evaluation.masses.fats;
        let named = Names::of(design);
        let named = |name: &'a str| named.in_a_sentence(name);
        let lines = design.blend.lines().iter().zip(&evaluation.fat_masses).enumerate();
        let fats = lines.filter(|(_, (_, mass))| mass.0 > 0.0).map(|(i, (line, mass))| {
            let clear = library.hard_fats.clear(&line.fat);
            // Of a fat without an iodine value nothing is known: melting harms none.
            let is_solid = clear.is_some() || line.fat.iv.as_ref().is_none_or(|iv| iv.value.mid() < SOLID_BELOW);
            FatItem { what: What::Fat(i), name: named(&line.fat.name), part: mass.0 / all.0, clear, is_solid }
        });
        let additions = design.additions.iter().zip(&evaluation.addition_masses).enumerate();
        let additions = additions.map(|(i, (line, mass))| Item {
            what: What::Addition(i),
            name: named(&line.addition.name),
            mass: *mass,
            stage: line.stage,
            addition: Some(line.addition.as_ref()),
            speeds_up: line.addition.handling().speeds_up,
            browns: line.addition.handling().browns,
            rices: false,
        });
        let scents = design.scents.iter().zip(&evaluation.scents.masses).enumerate();
        let scents = scents.map(|(i, (line, mass))| Item {
            what: What::Scent(i),
            name: named(&line.scent.name),
            mass: *mass,
            stage: line.stage,
            addition: None,
            speeds_up: line.scent.handling().speeds_up,
            browns: line.scent.handling().browns,
            rices: line.scent.supplied.behaviour == Some(Behaviour::Rices),
        });
        let items: Vec<Item<'a>> = additions.chain(scents).filter(|item| item.mass.0 > 0.0).collect();
        let jug = Jug::of(design, evaluation, &items);
        Self { design, evaluation, library, options, fats: fats.collect(), items, jug }
    }

    /// `instruction` with the Stops before it that stand against `doing`.
    fn minding(&self, doing: Doing, instruction: &str) -> String {
        doing.minding(&cautions::stops(self.options.cautions), instruction)
    }

    /// What goes in at `stage` and passes `test`.
    fn at(&self, stage: Stage, test: impl Fn(&Item<'_>) -> bool) -> Vec<Item<'a>> {
        self.items.iter().filter(|item| item.stage == stage && test(item)).copied().collect()
    }

    /// The fats' temperature when the lye comes, °C.
    fn fats_c(&self) -> f64 {
        let process = &self.design.process;
        process.fats_c.unwrap_or(process.mix_c).get()
    }

    /// What in the batter thickens it at once.
    fn thickening(&self) -> Vec<Item<'a>> {
        self.items.iter().filter(|item| item.speeds_up && item.stage.meets_lye()).copied().collect()
    }

    /// What in the batter has sugars that warm it.
    fn warming(&self) -> Vec<Item<'a>> {
        self.items.iter().filter(|item| item.warms() && item.stage.fills_mould()).copied().collect()
    }

    /// What in the bar browns it.
    fn browning(&self) -> Vec<Item<'a>> {
        self.items.iter().filter(|item| item.browns && item.stage.fills_mould()).copied().collect()
    }

    /// What its cure depends on.
    fn keeping(&self) -> Keeping {
        let evaluation = self.evaluation;
        let masses = (evaluation.addition_masses.as_slice(), evaluation.masses.fats);
        Keeping::of(self.design, masses, evaluation.composition.as_ref(), self.library)
    }

    /// Whether it is a salt bar, which sets within hours.
    fn is_salt_bar(&self) -> bool {
        is_salt_bar(self.design, &self.evaluation.addition_masses, self.evaluation.masses.fats)
    }
}

/// A step that puts `items` in.
fn handled(items: &[Item<'_>], text: String) -> Step {
    Step { text, handles: items.iter().map(|item| item.what).collect(), ..Step::default() }
}

/// A step that makes `items` ready.
fn prepared(items: &[Item<'_>], text: String) -> Step {
    Step { text, prepares: items.iter().map(|item| item.what).collect(), ..Step::default() }
}

/// `name`, or what stands for one.
fn named(name: &str) -> &str {
    if name.trim().is_empty() { "what has no name" } else { name }
}

/// The names in a design.
struct Names<'a>(Vec<&'a str>);

impl<'a> Names<'a> {
    fn of(design: &'a Design) -> Self {
        let fats = design.blend.lines().iter().map(|line| line.fat.name.as_str());
        let additions = design.additions.iter().map(|line| line.addition.name.as_str());
        let scents = design.scents.iter().map(|line| line.scent.name.as_str());
        Self(fats.chain(additions).chain(scents).collect())
    }

    /// `name` as it stands in a sentence: without what is behind its comma, if that tells it from no other here.
    /// The line to weigh has it in full.
    fn in_a_sentence(&self, name: &'a str) -> &'a str {
        let Some((short, _)) = name.split_once(", ").filter(|(short, _)| !short.trim().is_empty()) else {
            return named(name);
        };
        let begins =
            |other: &&str| **other == *short || other.split_once(", ").is_some_and(|(first, _)| first == short);
        let is_alone = self.0.iter().filter(|other| **other != name).all(|other| !begins(other));
        if is_alone { short } else { name }
    }
}

/// The names of `items`: "a, b and c".
fn names(items: &[Item<'_>]) -> String {
    listed(items.iter().map(|item| item.name))
}

/// Names in a run of words, each once.
fn listed<'n>(names: impl Iterator<Item = &'n str>) -> String {
    let mut each: Vec<&str> = Vec::new();
    for name in names {
        if !each.contains(&name) {
            each.push(name);
        }
    }
    match each.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => each.concat(),
    }
}
