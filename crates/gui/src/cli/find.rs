//! The command that looks for a blend.

use super::{CliError, NOTHING_FITS};
use crate::files;
use crate::shelf::{self, KeepError, ShelfKeeper};
use barwright_core::explain;
use barwright_core::find::{Aim, BlendSearch, Candidate, Demand, Measure, Practice, Rule, ShareStep, Wanted};
use barwright_core::library::material::MaterialId;
use barwright_core::number;
use barwright_core::render::report;
use barwright_core::units::{Interval, Share};
use barwright_core::{Library, evaluate};
use clap::Args;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Nodes of the search tree between two looks at whether it has ended.
const SLICE: usize = 1000;

/// What to look for.
#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
pub(super) struct FindArguments {
    /// The design: its acids are the aim, its prices are used; its fats are held that are locked or whose acids are not
    /// tabled.
    file: PathBuf,
    /// Leaves a fat out.
    #[arg(long, value_name = "FAT")]
    without: Vec<String>,
    /// Uses only these fats, besides those that are held.
    #[arg(long, value_name = "FAT", value_delimiter = ',')]
    only: Vec<String>,
    /// Names a fat that may be used though a rule speaks against it.
    #[arg(long, value_name = "FAT", value_delimiter = ',')]
    with: Vec<String>,
    /// No fats of animals, unless they are locked or named.
    #[arg(long)]
    no_animal: bool,
    /// No fats of the oil palm, unless they are locked or named.
    #[arg(long)]
    no_palm: bool,
    /// Lifts what makers do: free-acids (at most 5 %), waxes (at most 3 %), strong-smells (at most 10 %), from-memory
    /// (none whose figures are), or all.
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    allow: Vec<String>,
    /// Every score must lie in the range of the design's style.
    #[arg(long)]
    within_ranges: bool,
    /// A range that must be kept, as `hardness=40..50` or `iodine_value=..70`.
    #[arg(long, value_name = "NUMBER=LOW..HIGH")]
    range: Vec<String>,
    /// At most so many fats.
    #[arg(long, value_name = "N")]
    at_most: Option<usize>,
    /// No fat below so many percent.
    #[arg(long, value_name = "PERCENT")]
    least: Option<String>,
    /// Shares in steps of 1 or 5 percent, or 0 for any.
    #[arg(long, value_name = "PERCENT")]
    step: Option<String>,
    /// Only fats that are on the shelf, each up to as much as there is for a batch of this size.
    #[arg(long)]
    from_shelf: bool,
    /// Uses up what there is of this fat on the shelf.
    #[arg(long, value_name = "FAT", requires = "from_shelf")]
    use_up: Option<String>,
    /// The folder in which the shelf is kept, if not the usual one.
    #[arg(long, value_name = "FOLDER", requires = "from_shelf")]
    shelf: Option<PathBuf>,
    /// The cheapest blend, by the prices in the file.
    #[arg(long, conflicts_with = "smallest_change")]
    cheapest: bool,
    /// The blend with shares nearest to the design's own.
    #[arg(long)]
    smallest_change: bool,
    /// So many blends of different fats.
    #[arg(long, value_name = "N", default_value_t = 1)]
    results: usize,
    /// Gives up after so many seconds with the best so far and how much better another could be.
    #[arg(long, value_name = "N", default_value_t = 60)]
    seconds: u64,
    /// As JSON, unrounded.
    #[arg(long)]
    json: bool,
    /// Instead explains one number, by its key in the JSON: results.0.objective.
    #[arg(long, value_name = "KEY", conflicts_with = "json")]
    why: Option<String>,
}

/// What is asked for and cannot be.
#[derive(Debug, thiserror::Error)]
pub(super) enum Unwanted {
    /// No fat is called so; and which may have been meant.
    #[error("no fat that may be used is called “{0}”; `barwright fats` lists them{1}")]
    Fat(String, String),
    /// A fat that no search can weigh.
    #[error(
        "none of the acids of {0} is tabled, so no search can weigh it; put it into the design, where it keeps its share"
    )]
    NoAcids(String),
    /// A fat that is to be used and to be left out.
    #[error("{0} stands after {1} and after --without; take it out of one of them")]
    Both(String, &'static str),
    /// A rule that there is not.
    #[error("there is no rule “{0}” to lift; choose of {names}, all", names = lifted().map(Practice::key).collect::<Vec<_>>().join(", "))]
    Rule(String),
    /// A range that is none.
    #[error("“{0}” is no range: write it as hardness=40..50, within 0 to 100 for a score; one end may be left open")]
    Range(String),
    /// No number is called so.
    #[error("no number is called “{0}”; choose one of {names}", names = Measure::ALL.map(Measure::key).join(", "))]
    Measure(String),
    /// A number that is none.
    #[error("{0}: {1}")]
    Number(&'static str, String),
    /// A step that there is not.
    #[error("shares come in steps of 1 or 5 %, or 0 for any share")]
    ShareStep,
    /// The time ran out.
    #[error(
        "nothing was found in {0} s, which does not prove that nothing fits; give it more --seconds or ask for less"
    )]
    NotYet(u64),
    /// Nothing or too much of a fat is on the shelf.
    #[error("{0} cannot be used up in a batch of this size: nothing of it is on the shelf, or more than may go in")]
    NotThere(String),
    /// No result is wanted, or too many.
    #[error("at least one blend must be asked for, and at most {MOST_RESULTS}")]
    Results,
}

/// The most results.
const MOST_RESULTS: usize = 50;

fn range(text: &str) -> Result<Demand, Unwanted> {
    let no_range = || Unwanted::Range(text.into());
    let (name, ends) = text.split_once('=').ok_or_else(no_range)?;
    let measure = Measure::ALL.into_iter().find(|m| m.key() == name.trim());
    let measure = measure.ok_or_else(|| Unwanted::Measure(name.into()))?;
    let (low, high) = ends.split_once("..").ok_or_else(no_range)?;
    let end = |text: &str, open: f64| match text.trim() {
        "" => Ok(open),
        text => number::parse(text, &[]).map_err(|_not_a_number| no_range()),
    };
    let (low, high) = (end(low, 0.0)?, end(high, measure.most())?);
    let range = Interval::new(low, high).map_err(|_wrong_order| no_range())?;
    let fits = low >= 0.0 && high <= measure.most();
    if fits { Ok(Demand::shown(measure, Rule::Must, range)) } else { Err(no_range()) }
}

/// The rules that can be lifted.
fn lifted() -> impl Iterator<Item = Practice> {
    Practice::ALL.into_iter().filter(|p| p.is_default())
}

impl FindArguments {
    /// The rules of practice that are asked for.
    fn practices(&self) -> Result<BTreeSet<Practice>, Unwanted> {
        let mut practices = Practice::defaults();
        for word in &self.allow {
            if word == "all" {
                practices.clear();
                continue;
            }
            let rule = lifted().find(|p| p.key() == word).ok_or_else(|| Unwanted::Rule(word.clone()))?;
            practices.remove(&rule);
        }
        practices.extend(self.no_animal.then_some(Practice::NoAnimal));
        practices.extend(self.no_palm.then_some(Practice::NoPalm));
        Ok(practices)
    }

    fn narrow(&self, wanted: &mut Wanted, library: &Library) -> Result<(), Unwanted> {
        // Before anything is left out, so that a fat that is left out is not taken for one that is unknown.
        for (option, fats) in [("--only", &self.only), ("--with", &self.with)] {
            if let Some(fat) = fats.iter().find(|fat| self.without.contains(fat)) {
                return Err(Unwanted::Both(fat.clone(), option));
            }
        }
        let unknown = |fat: &String, known: &[Candidate]| {
            let meant = library.names.did_you_mean(known, fat);
            Unwanted::Fat(fat.clone(), meant)
        };
        // Who lists a fat names it.
        for fat in self.only.iter().chain(&self.with) {
            if !MaterialId::new(fat).is_ok_and(|id| wanted.name(&id)) {
                let without_acids = library.fat(fat).filter(|fat| fat.profile().is_empty());
                let no_acids = without_acids.map(|fat| Unwanted::NoAcids(fat.name.clone()));
                return Err(no_acids.unwrap_or_else(|| unknown(fat, &wanted.candidates)));
            }
        }
        wanted.practices = self.practices()?;
        for fat in &self.without {
            if !MaterialId::new(fat).is_ok_and(|id| wanted.leave_out(&id)) {
                return Err(unknown(fat, &wanted.candidates));
            }
        }
        if !self.only.is_empty() {
            let is_listed = |c: &Candidate| self.only.iter().chain(&self.with).any(|fat| c.line.fat.id.as_str() == fat);
            wanted.keep(|c| c.is_held() || is_listed(c));
        }
        if self.within_ranges {
            for demand in &mut wanted.demands {
                demand.rule = Rule::Must;
            }
        }
        for text in &self.range {
            let demand = range(text)?;
            wanted.demands.retain(|d| d.measure != demand.measure);
            wanted.demands.push(demand);
        }
        if self.cheapest {
            wanted.aim = Aim::Cheapest;
        } else if self.smallest_change {
            wanted.aim = Aim::SmallestChange;
        }
        wanted.at_most = self.at_most.or(wanted.at_most);
        let percent = |what, text: &str| {
            let value = number::parse(text, &["%"]).map_err(|e| Unwanted::Number(what, e.to_string()))?;
            Share::new(value).map_err(|e| Unwanted::Number(what, e.to_string()))
        };
        if let Some(least) = &self.least {
            wanted.least = percent("--least", least)?;
        }
        if let Some(step) = &self.step {
            let step = percent("--step", step)?.get();
            let is = |percent: f64| (step - percent).abs() < 1e-9;
            let steps = [(ShareStep::Any, 0.0), (ShareStep::One, 1.0), (ShareStep::Five, 5.0)];
            wanted.step = steps.into_iter().find(|(_, p)| is(*p)).ok_or(Unwanted::ShareStep)?.0;
        }
        if !(1..=MOST_RESULTS).contains(&self.results) {
            return Err(Unwanted::Results);
        }
        wanted.results = self.results;
        Ok(())
    }
}

/// Looks for the blend and prints it. Exit 0 with results, 3 when nothing fits.
pub(super) fn run(arguments: &FindArguments, library: &Library, out: &mut impl Write) -> Result<ExitCode, CliError> {
    let (design, _) = files::load(&arguments.file, library)?;
    let mut wanted = Wanted::of(&design, &evaluate(&design, library), library);
    arguments.narrow(&mut wanted, library)?;
    if arguments.from_shelf {
        let folder = arguments.shelf.clone().or_else(shelf::folder);
        let keeper = ShelfKeeper::open(folder.as_deref(), library);
        if let Some(error @ KeepError::Unreadable(_)) = keeper.refusal() {
            return Err(error.into());
        }
        let fats = evaluate(&design, library).masses.fats;
        wanted.from_shelf(keeper.shelf(), fats);
        if let Some(fat) = &arguments.use_up {
            let used = MaterialId::new(fat).is_ok_and(|id| wanted.use_up(&id, keeper.shelf(), fats));
            if !used {
                return Err(Unwanted::NotThere(fat.clone()).into());
            }
        }
    }
    let mut search = BlendSearch::start(wanted.clone(), library)?;
    let began = Instant::now();
    while !search.step(SLICE) && began.elapsed() < Duration::from_secs(arguments.seconds) {}
    let outcome = search.outcome();
    if let Some(key) = &arguments.why {
        write!(out, "{}", explain::of_search(key.parse()?, &outcome, &wanted, &design, library)?.text())?;
    } else if arguments.json {
        writeln!(out, "{}", report::find_json(&wanted, &outcome, &design, library)?)?;
    } else {
        write!(out, "{}", report::find_text(&wanted, &outcome, &design, library))?;
    }
    if outcome.results.is_empty() && outcome.collision.is_none() {
        return Err(Unwanted::NotYet(arguments.seconds).into());
    }
    Ok(if outcome.results.is_empty() { ExitCode::from(NOTHING_FITS) } else { ExitCode::SUCCESS })
}
