//! What is seen in a batter or a bar, and what it means: whether it is safe, likely causes, what to do now and what
//! next time.
//!
//! All of it is common practice and has no source. The causes that a design's own numbers support come first, each
//! with the number that supports it. A look never makes a bar safe: in doubt it is not used, and a design that has a
//! stop gives no bar to use, whatever is seen.

mod bar;
mod batter;
mod causes;
mod mould;
mod support;

pub use causes::{Cause, Number, Support};

use crate::cautions::{self, Caution, Level};
use crate::quantities::About;
use crate::trust::Trust;

/// When something is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// In the jug and the pot.
    Mixing,
    /// From pouring to unmoulding.
    InTheMould,
    /// When the bars are cut, and as they dry and are used.
    InTheBar,
}

impl When {
    /// All, in the order of a batch.
    pub const ALL: [Self; 3] = [Self::Mixing, Self::InTheMould, Self::InTheBar];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mixing => "While mixing",
            Self::InTheMould => "In the mould",
            Self::InTheBar => "In the cut bar",
        }
    }
}

/// Whether a bar that shows something may be used. Nothing here stands in for the test at the end of the cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Safety {
    /// As it is.
    Safe(&'static str),
    /// Once something is done or found.
    SafeAfter(&'static str),
    /// Not at all.
    DoNotUse(&'static str),
}

impl Safety {
    /// The verdict in a word or two.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Safe(_) => "Safe",
            Self::SafeAfter(_) => "Safe after a check",
            Self::DoNotUse(_) => "Do not use",
        }
    }

    /// Its name for scripts.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Safe(_) => "safe",
            Self::SafeAfter(_) => "safe-after",
            Self::DoNotUse(_) => "do-not-use",
        }
    }

    /// Why, or after what.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Safe(text) | Self::SafeAfter(text) | Self::DoNotUse(text) => text,
        }
    }
}

/// Something that can be seen, as all designs have it.
#[derive(Debug, PartialEq, Eq)]
pub struct Fault {
    /// Stable name for scripts and records.
    pub code: &'static str,
    /// Name on screen.
    pub name: &'static str,
    /// When it is seen.
    pub when: When,
    /// What is seen.
    pub seen: &'static str,
    /// Whether the bar may be used.
    pub safety: Safety,
    /// What may have caused it and how, the usual ones first.
    pub causes: &'static [(Cause, &'static str)],
    /// What to do now.
    pub now: &'static str,
    /// What to do next time.
    pub next_time: &'static str,
}

impl Fault {
    /// Whether every word of `text` stands in its name or in what is seen.
    pub fn is_meant_by(&self, text: &str) -> bool {
        let searched = format!("{} {} {}", self.name, self.seen, self.code).to_lowercase();
        text.split_whitespace().all(|word| searched.contains(&word.to_lowercase()))
    }
}

/// All faults, in the order of a batch.
pub fn faults() -> impl Iterator<Item = &'static Fault> {
    [batter::FAULTS, mould::FAULTS, bar::FAULTS].into_iter().flatten()
}

/// A cause of something that is seen.
#[derive(Debug, Clone)]
pub struct Likely {
    /// Which.
    pub cause: Cause,
    /// How it leads there.
    pub how: &'static str,
    /// The number of the design that supports it.
    pub support: Option<Support>,
}

/// Something that can be seen, and what it means for a design.
#[derive(Debug, Clone)]
pub struct Trouble {
    /// What is seen.
    pub fault: &'static Fault,
    /// Whether the bar may be used.
    pub safety: Safety,
    /// What may have caused it: what the design's numbers support first.
    pub causes: Vec<Likely>,
}

/// What can be seen in the bars of a design.
#[derive(Debug, Clone)]
pub struct Troubles {
    /// What forbids to use them, whatever is seen.
    pub stops: Vec<Caution>,
    /// What can be seen, in the order of a batch.
    pub each: Vec<Trouble>,
}

impl Troubles {
    /// Only the one that is called `text`, or all of those whose name and looks hold its words.
    #[must_use]
    pub fn named(mut self, text: &str) -> Self {
        let is_code = self.each.iter().any(|trouble| trouble.fault.code == text);
        let is_it = |fault: &Fault| if is_code { fault.code == text } else { fault.is_meant_by(text) };
        self.each.retain(|trouble| is_it(trouble.fault));
        self
    }
}

/// Who says all this.
pub const TRUST: Trust = Trust::CommonPractice;

/// What is said with every fault.
pub const ALWAYS: [&str; 3] = [
    "No look makes a bar safe: each batch is tested at the end of its cure, and a bar that stings or weeps is not used.",
    "In doubt do not use it, do not give it away and do not sell it.",
    "A batter and a young bar are caustic: goggles and gloves until the cure ends.",
];

/// Why no bar of a stopped design is used.
const STOPPED: &str = "The design has a stop. Its bars are not for use, whatever is seen.";

/// All troubles, for the design that `about` is of if there is one.
///
/// ```
/// use barwright_core::{Design, Library, evaluate, quantities::About, troubles};
/// let troubles = troubles::of(None);
/// assert!(troubles.each.len() >= 20 && troubles.stops.is_empty());
/// // A design without fats has no bars to speak of.
/// let (library, design) = (Library::embedded()?, Design::default());
/// let evaluation = evaluate(&design, &library);
/// let about = About::new(&design, &evaluation, &library);
/// assert!(troubles::of(Some(about)).each.iter().all(|t| t.causes.iter().all(|c| c.support.is_none())));
/// # Ok::<(), barwright_core::library::LibraryError>(())
/// ```
pub fn of(about: Option<About<'_>>) -> Troubles {
    let about = about.filter(|of| of.evaluation.masses.fats.0 > 0.0);
    let told = about.map(|of| cautions::of(of.design, of.evaluation, of.library)).unwrap_or_default();
    let stops: Vec<Caution> = told.into_iter().filter(|caution| caution.level == Level::Stop).collect();
    let each = faults().map(|fault| {
        let likely = |&(cause, how): &(Cause, &'static str)| {
            let support = about.and_then(|of| cause.support(of));
            Likely { cause, how, support }
        };
        let mut causes: Vec<Likely> = fault.causes.iter().map(likely).collect();
        // A stable sort: the usual order holds within both parts.
        causes.sort_by_key(|likely| likely.support.is_none());
        let safety = if stops.is_empty() { fault.safety } else { Safety::DoNotUse(STOPPED) };
        Trouble { fault, safety, causes }
    });
    let each = each.collect();
    Troubles { stops, each }
}

#[cfg(test)]
mod tests;
