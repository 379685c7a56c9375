//! The parts of a design that numbers rest on, and what each alone does to a number.

use super::compared;
use crate::cost::WATER;
use crate::design::blend::{Blend, FatLine};
use crate::design::{Alkali, Design, Price, Process};
use crate::evaluate::evaluate;
use crate::explain::compare::{Row, Side, row_of};
use crate::library::Library;
use crate::units::Measures;

listed! {
    /// A part of a design that can be taken over into another.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub(super) enum Part {
        /// Which fats there are, and their shares.
        Blend,
        /// What the designs hold of the fats that both have: certificates and records.
        Figures,
        Superfat,
        AcceptedChance,
        KohShare,
        Purities,
        ScaleDivision,
        Water,
        /// How large the batch is, and into how many bars it is cut.
        Size,
        Additions,
        Scents,
        Temperatures,
        Cure,
        Calibration,
        Prices,
    }
    ALL
}

impl Part {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Blend => "the blend",
            Self::Figures => "the certificates and figures of the fats in both",
            Self::Superfat => "the superfat",
            Self::AcceptedChance => "the accepted chance of lye-heavy",
            Self::KohShare => "the share of potassium hydroxide",
            Self::Purities => "the purities of the alkalis",
            Self::ScaleDivision => "the scale’s division",
            Self::Water => "the rule for the water",
            Self::Size => "the size and number of bars",
            Self::Additions => "the additions",
            Self::Scents => "the scents",
            Self::Temperatures => "the temperatures",
            Self::Cure => "the times and moisture of the cure",
            Self::Calibration => "the calibration",
            Self::Prices => "the prices",
        }
    }

    /// `a` with this part as `b` has it; `None` where they do not differ in it.
    pub(super) fn taken(self, a: &Design, b: &Design) -> Option<Design> {
        let taken = match self {
            Self::Blend => {
                let lines = b.blend.lines().iter().map(|theirs| match a.blend.line(&theirs.fat.id) {
                    Some(ours) => FatLine { share: theirs.share, ..ours.clone() },
                    None => theirs.clone(),
                });
                let share = |blend: &Blend, line: &FatLine| blend.line(&line.fat.id).map(|l| l.share);
                let all = a.blend.lines().iter().chain(b.blend.lines());
                let differs = all.into_iter().any(|l| share(&a.blend, l) != share(&b.blend, l));
                return differs.then(|| Blend::new(lines.collect()).ok()).flatten().map(|blend| a.with_blend(blend));
            }
            Self::Figures => {
                let lines = a.blend.lines().iter().map(|ours| match b.blend.line(&ours.fat.id) {
                    Some(theirs) => FatLine { share: ours.share, locked: ours.locked, ..theirs.clone() },
                    None => ours.clone(),
                });
                let taken = Blend::new(lines.collect()).ok()?;
                return (taken != a.blend).then(|| a.with_blend(taken));
            }
            Self::Superfat if a.superfat != b.superfat => Design { superfat: b.superfat, ..a.clone() },
            Self::AcceptedChance if a.accepted_chance != b.accepted_chance => {
                Design { accepted_chance: b.accepted_chance, ..a.clone() }
            }
            Self::KohShare if a.alkali.koh_share != b.alkali.koh_share => {
                Design { alkali: Alkali { koh_share: b.alkali.koh_share, ..a.alkali }, ..a.clone() }
            }
            Self::Purities => {
                let alkali = Alkali { koh_share: a.alkali.koh_share, ..b.alkali };
                return (alkali != a.alkali).then(|| Design { alkali, ..a.clone() });
            }
            Self::ScaleDivision if a.scale_division != b.scale_division => {
                Design { scale_division: b.scale_division, ..a.clone() }
            }
            Self::Water if a.water != b.water => Design { water: b.water, ..a.clone() },
            Self::Size if (a.size, a.bars) != (b.size, b.bars) => Design { size: b.size, bars: b.bars, ..a.clone() },
            Self::Additions if a.additions != b.additions => Design { additions: b.additions.clone(), ..a.clone() },
            Self::Scents if a.scents != b.scents => Design { scents: b.scents.clone(), ..a.clone() },
            Self::Temperatures if !a.process.is_warmed_as(&b.process) => {
                Design { process: b.process.dried_as(&a.process), ..a.clone() }
            }
            Self::Cure => {
                let process = a.process.dried_as(&b.process);
                return (process != a.process).then(|| Design { process, ..a.clone() });
            }
            Self::Calibration if a.calibration != b.calibration => {
                Design { calibration: b.calibration.clone(), ..a.clone() }
            }
            Self::Prices if a.prices != b.prices => Design { prices: all_prices(b, a), ..a.clone() },
            _ => return None,
        };
        Some(taken)
    }
}

impl Design {
    fn with_blend(&self, blend: Blend) -> Self {
        Self { blend, ..self.clone() }
    }
}

impl Process {
    /// The same temperatures, with the times and the moisture of `other`.
    fn dried_as(&self, other: &Self) -> Self {
        let Self { cut_hours, cure_days, equilibrium_moisture, .. } = *other;
        Self { cut_hours, cure_days, equilibrium_moisture, ..self.clone() }
    }
}

/// The prices of `first`, and those of `second` for what `first` has no price for, so that a batch
/// of parts of both can be priced. Water is left out of these: it costs something only where it
/// has a price.
fn all_prices(first: &Design, second: &Design) -> Vec<Price> {
    let missing = second.prices.iter().filter(|p| p.material != WATER && first.price(&p.material).is_none());
    first.prices.iter().chain(missing).cloned().collect()
}

/// What makes a difference.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Effects {
    /// The whole of it, unrounded.
    pub(super) whole: f64,
    /// What each part that differs does alone; `None` where the number is then not known.
    pub(super) each: Vec<(Part, Option<f64>)>,
}

impl Effects {
    /// What makes `b` differ from `a` in `row`: each part of `b` taken over into `a` by itself.
    pub(super) fn of(row: &Row, a: Side<'_>, b: Side<'_>, measures: Measures, library: &Library) -> Option<Self> {
        let priced = Design { prices: all_prices(a.design, b.design), ..a.design.clone() };
        let moved: Vec<_> = Part::ALL
            .into_iter()
            .filter_map(|part| Some((part, part.taken(&priced, b.design)?)))
            .map(|(part, design)| (part, evaluate(&design, library), design))
            .collect();
        let moved_sides = moved.iter().map(|(_, evaluation, design)| Side { design, evaluation });
        let sides: Vec<Side<'_>> = [a, b].into_iter().chain(moved_sides).collect();
        // What is no row of the table is a number that can be explained of each.
        let row = row_of(&row.key, &sides, measures, library).or_else(|| compared(&row.key, &sides, library))?;
        let first = row.counted(0)?;
        let above = |column: usize| row.counted(column).map(|number| number - first);
        // A batch without fats, since the size cannot be reached, says nothing of the part.
        let failed = |side: Side<'_>| side.evaluation.size_error.is_some();
        let counts = |side: Side<'_>| !failed(side) || failed(a) || failed(b);
        let alone = |column: usize| above(column).filter(|_| counts(sides[column]));
        let each = moved.iter().enumerate().map(|(i, (part, _, _))| (*part, alone(i + 2))).collect();
        Some(Self { whole: above(1)?, each })
    }

    /// What the parts do together beyond the sum of what each does alone.
    pub(super) fn together(&self) -> f64 {
        self.whole - self.each.iter().filter_map(|(_, effect)| *effect).sum::<f64>()
    }
}
