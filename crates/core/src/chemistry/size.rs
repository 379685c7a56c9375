//! The fats that give a batch the size that is asked for.

use crate::chemistry::cure::Cure;
use crate::chemistry::inputs;
use crate::chemistry::masses::{Masses, PerGram};
use crate::design::Design;
use crate::design::mould::Size;
use crate::formula::{Input, Num, Plain, Reading};
use crate::number::short;
use crate::units::{BarMass, FatMass};

/// What a size is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeUnit {
    /// The batter's volume, mL.
    Millilitres,
    /// The batter's mass, g.
    Grams,
    /// The mass of all bars at sale, g.
    GramsAtSale,
}

impl SizeUnit {
    /// What is measured of `batch`.
    fn of(self, design: &Design, batch: &Masses) -> f64 {
        match self {
            Self::Millilitres => batch.batter_ml,
            Self::Grams => batch.batter.0,
            Self::GramsAtSale => {
                Cure::of(Plain, design, batch).map_or(0.0, |c| c.bar_at_sale(Plain).0 * f64::from(batch.bars))
            }
        }
    }

    /// The least fats, g, of which it can be measured.
    const fn least_fats(self) -> f64 {
        match self {
            Self::Millilitres | Self::Grams => 0.0,
            // What holds no fats is no soap and has no cure; next to none will do.
            Self::GramsAtSale => 1e-9,
        }
    }

    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Millilitres => "ml",
            Self::Grams | Self::GramsAtSale => "g",
        }
    }
}

/// A size that no mass of fats gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SizeError {
    /// What is given in grams alone is more than the size asked for.
    Small {
        /// What that takes.
        least: f64,
        /// What was asked for.
        asked: f64,
        /// What both are measured in.
        unit: SizeUnit,
    },
    /// More fat than a design holds would be needed.
    Large {
        /// The most that can be reached.
        most: f64,
        /// What was asked for.
        asked: f64,
        /// What both are measured in.
        unit: SizeUnit,
    },
}

/// The nominal mass of fats that gives `design` its size, and why the size is not reached if no
/// mass of fats gives it; it is then nothing. Fats given by mass are taken as they are; a volume
/// or a bar's mass is solved for, to a relative 1e-12.
fn nominal(design: &Design, per_gram: &PerGram) -> (f64, Option<SizeError>) {
    let all = |bar: BarMass| bar.get() * f64::from(design.bars.get());
    let (asked, unit) = match (&design.size, design.size.wanted_ml()) {
        (Size::FatMass(mass), _) => return (mass.get(), None),
        (Size::BarMass(bar), _) => (all(*bar), SizeUnit::Grams),
        (Size::BarAtSale(bar), _) => (all(*bar), SizeUnit::GramsAtSale),
        (_, ml) => (ml.unwrap_or_default(), SizeUnit::Millilitres),
    };
    let at = |nominal: f64| unit.of(design, &per_gram.batch(Plain, design, nominal));
    if !per_gram.has_fats() {
        return (0.0, None);
    }
    let (mut low, mut high) = (unit.least_fats(), FatMass::MAX);
    let least = at(low);
    if least >= asked {
        return (0.0, Some(SizeError::Small { least, asked, unit }));
    }
    let (mut low_off, mut high_off) = (least - asked, at(high) - asked);
    if high_off < 0.0 {
        return (0.0, Some(SizeError::Large { most: high_off + asked, asked, unit }));
    }
    // The size rises with the fats and is nearly a straight line, so the false position with
    // halved weights (the Illinois rule) is there in a few steps.
    let mut nominal = high;
    for _ in 0..100 {
        nominal = (low * high_off - high * low_off) / (high_off - low_off);
        let off = at(nominal) - asked;
        if off.abs() <= 1e-12 * asked || high - low <= 1e-13 * high {
            break;
        }
        if off > 0.0 {
            (high, high_off) = (nominal, off);
            low_off *= 0.5;
        } else {
            (low, low_off) = (nominal, off);
            high_off *= 0.5;
        }
    }
    (nominal, None)
}

impl<N: Num> PerGram<N> {
    /// The nominal mass of fats that gives `design` its size, the batch, and why the size is not
    /// reached if no mass of fats gives it; the batch is then that of no fat. The blend is to be the
    /// one that this is of.
    pub fn solve<R: Reading<N = N>>(&self, r: R, design: &Design) -> (N, Masses<N>, Option<SizeError>) {
        let (nominal, error) = nominal(design, &self.plain());
        let nominal = told(r, design, self, nominal);
        (nominal, self.batch(r, design, nominal), error)
    }
}

/// [`PerGram::solve`] for a blend whose figures are not worked out yet.
pub fn solve<R: Reading>(r: R, design: &Design) -> (R::N, Masses<R::N>, Option<SizeError>) {
    PerGram::of(r, design).solve(r, design)
}

/// The nominal mass of fats as a number of the reading: as chosen, or solved for.
fn told<R: Reading>(r: R, design: &Design, per_gram: &PerGram<R::N>, nominal: f64) -> R::N {
    const SYMBOL: &str = "fats for 100 %";
    let all = |name: &str, bar: BarMass| {
        let about = || Input::chosen(name, format!("{} g", short(bar.get(), 3)));
        inputs::bars(r, design.bars.get()) * r.input("a bar", bar.get(), "g", about)
    };
    match &design.size {
        Size::FatMass(_) => r.input(SYMBOL, nominal, "g", || Input::chosen("Fats", format!("{} g", short(nominal, 3)))),
        Size::BarMass(bar) => r.solved(SYMBOL, nominal, "g", "the bars weigh what is asked", |fats| {
            per_gram.batch(r, design, fats).batter.0 - all("A fresh bar", *bar)
        }),
        Size::BarAtSale(bar) => r.solved(SYMBOL, nominal, "g", "the bars weigh what is asked at sale", |fats| {
            let batch = per_gram.batch(r, design, fats);
            let sold = Cure::of(r, design, &batch).map_or(R::N::from(0.0), |c| c.bar_at_sale(r).0);
            sold * inputs::bars(r, batch.bars) - all("A bar at sale", *bar)
        }),
        Size::Mould { .. } | Size::Volume { .. } => {
            r.solved(SYMBOL, nominal, "g", "the batter fills what is to be filled", |fats| {
                let wanted = design.size.read_wanted_ml(r).unwrap_or_default();
                per_gram.batch(r, design, fats).batter_ml - wanted
            })
        }
    }
}
