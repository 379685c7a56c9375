//! What a maker would not have to say: of free acids, waxes and strong smells a little, and no fat whose figures nobody
//! has read; or nothing of animals or of the oil palm.

use super::wanted::{Candidate, Named, Wanted};
use crate::library::Library;
use crate::library::fats::{Fat, FatKind};
use crate::number::short;
use crate::units::{Share, from_percent, in_percent};
use std::collections::BTreeSet;

listed! {
    /// A rule that keeps a blend to what makers do; each can be lifted, and a fat that is named is never left out.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Practice {
        /// Little free acid: it thickens the batter at once.
        FreeAcids,
        /// Little wax: it makes no lather.
        Waxes,
        /// Little of what smells strongly.
        StrongSmells,
        /// None whose saponification value, or a large acid of whose, is from memory.
        FromMemory,
        /// None of animals.
        NoAnimal,
        /// None of the oil palm.
        NoPalm,
    }
    /// All, in the order of screens.
    ALL
}

/// What a rule does to the fats it is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effect {
    /// All of them together have at most so much, percent.
    AtMost(f64),
    /// None is used.
    None,
}

/// A rule in force, and what it did.
#[derive(Debug, Clone, PartialEq)]
pub struct InForce {
    /// The rule.
    pub practice: Practice,
    /// It in words, with the number that it came to: "free acids at most 5 %".
    pub words: String,
    /// The fats that it holds down or leaves out, of those that could be used otherwise.
    pub fats: Vec<String>,
}

impl Practice {
    /// Those in force unless the maker says otherwise.
    pub fn defaults() -> BTreeSet<Self> {
        Self::ALL.into_iter().filter(|p| p.is_default()).collect()
    }

    /// Whether it is in force unless the maker says otherwise.
    pub const fn is_default(self) -> bool {
        match self {
            Self::FreeAcids | Self::Waxes | Self::StrongSmells | Self::FromMemory => true,
            Self::NoAnimal | Self::NoPalm => false,
        }
    }

    /// Name in commands and reports.
    pub const fn key(self) -> &'static str {
        match self {
            Self::FreeAcids => "free-acids",
            Self::Waxes => "waxes",
            Self::StrongSmells => "strong-smells",
            Self::FromMemory => "from-memory",
            Self::NoAnimal => "no-animal",
            Self::NoPalm => "no-palm",
        }
    }

    /// What it does (our judgement of what makers do; common practice, no source).
    pub const fn effect(self) -> Effect {
        match self {
            Self::FreeAcids => Effect::AtMost(5.0),
            Self::Waxes => Effect::AtMost(3.0),
            Self::StrongSmells => Effect::AtMost(10.0),
            Self::FromMemory | Self::NoAnimal | Self::NoPalm => Effect::None,
        }
    }

    /// It in words, without a number.
    const fn what(self) -> &'static str {
        match self {
            Self::FreeAcids => "free acids",
            Self::Waxes => "waxes",
            Self::StrongSmells => "strong-smelling fats",
            Self::FromMemory => "no fat whose figures are from memory",
            Self::NoAnimal => "no animal fats",
            Self::NoPalm => "no palm",
        }
    }

    /// It in words: "free acids at most 5 %".
    pub fn words(self) -> String {
        match self.effect() {
            Effect::AtMost(most) => self.at_most(most),
            Effect::None => self.what().into(),
        }
    }

    fn at_most(self, percent: f64) -> String {
        format!("{} at most {} %", self.what(), short(percent, 2))
    }

    /// Why, in a sentence for the maker.
    pub const fn why(self) -> &'static str {
        match self {
            Self::FreeAcids => "Free acids turn to soap at once and thicken the batter",
            Self::Waxes => "Waxes make the bar drag and hold its lather down",
            Self::StrongSmells => "Neem, mustard and the like are smelt in the bar",
            Self::FromMemory => {
                "Their saponification value, or an acid that is much of them, was written down without its source: the \
                 lye would rest on it. Fats of the design, and those you tick yourself, may be used"
            }
            Self::NoAnimal => {
                "Leaves out tallow, lard, beeswax and the like, and stearic acid, which may be made of tallow"
            }
            Self::NoPalm => "Leaves out palm and palm kernel oil, and stearic acid, which may be made of them",
        }
    }

    /// Whether it is about `fat`; where a fat's origin is not known, it may be of anything.
    fn is_about(self, fat: &Fat, library: &Library) -> bool {
        let origin = library.origins.of(&fat.id);
        match self {
            Self::FreeAcids => fat.kind == FatKind::FreeAcid,
            Self::Waxes => matches!(fat.kind, FatKind::Wax | FatKind::WaxEster { .. }),
            Self::StrongSmells => origin.is_some_and(|o| o.strong_smell),
            Self::FromMemory => fat.is_from_memory(),
            Self::NoAnimal => origin.is_none_or(|o| o.animal.can_be()),
            Self::NoPalm => origin.is_none_or(|o| o.palm.can_be()),
        }
    }

    /// Whether it leaves `candidate` out. What the maker has named, locked or given a least share stays, and so do
    /// the design's own fats, unless they are known to be what was ruled out.
    pub fn leaves_out(self, candidate: &Candidate, library: &Library) -> bool {
        let fat = &candidate.line.fat;
        let is_asked = candidate.least.get() > 0.0 && candidate.has_acids();
        if self.effect() != Effect::None || candidate.named == Named::ByMaker || candidate.line.locked || is_asked {
            return false;
        }
        let is_ruled_out = match self {
            Self::NoAnimal | Self::NoPalm => library.origins.of(&fat.id).is_some(),
            Self::FreeAcids | Self::Waxes | Self::StrongSmells | Self::FromMemory => false,
        };
        (candidate.named == Named::No || is_ruled_out) && self.is_about(fat, library)
    }

    /// The variables of `candidates` that it holds down, and the most of them together as a fraction: never less than
    /// the design has of them or the maker asks for.
    pub(super) fn cap(self, candidates: &[Candidate], library: &Library) -> Option<Cap> {
        let Effect::AtMost(most) = self.effect() else { return None };
        let about = |(_, c): &(usize, &Candidate)| self.is_about(&c.line.fat, library);
        let members: Vec<(usize, &Candidate)> = candidates.iter().enumerate().filter(about).collect();
        let sum = |of: fn(&Candidate) -> Share| members.iter().map(|(_, c)| of(c).get()).sum::<f64>();
        let most = most.max(sum(|c| c.line.share)).max(sum(|c| c.least));
        Some(Cap { practice: self, most: from_percent(most), members: members.iter().map(|(i, _)| *i).collect() })
    }
}

/// What a rule holds down in a search.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cap {
    pub(super) practice: Practice,
    /// A fraction of the blend.
    pub(super) most: f64,
    /// Places among the variables.
    pub(super) members: Vec<usize>,
}

impl Cap {
    /// "free acids at most 5 %".
    pub(super) fn words(&self) -> String {
        self.practice.at_most(in_percent(self.most))
    }
}

impl Wanted {
    /// The rule in force that leaves `candidate` out.
    pub fn left_out_by(&self, candidate: &Candidate, library: &Library) -> Option<Practice> {
        self.practices.iter().copied().find(|practice| practice.leaves_out(candidate, library))
    }
}
