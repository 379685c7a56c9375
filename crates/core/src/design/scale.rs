//! The size of a batch made larger or smaller, with what has to grow with it.

use crate::design::Design;
use crate::design::mould::Size;
use crate::library::additions::Amount;
use crate::units::{AmountMass, Bars, BarsOutOfRange, Grams, OutOfRange};

/// Another size for a design, by which what is given in grams grows too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scaled {
    /// The size.
    pub size: Size,
    /// The number of bars.
    pub bars: Bars,
    /// How many times as large the batch is.
    pub factor: f64,
}

/// Why a batch cannot be made as large as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScaleError {
    /// There is nothing to scale.
    #[error("there are no fats, so there is nothing to scale")]
    NoBatch,
    /// The fat to use up is not there.
    #[error("there is none of that fat in the blend; choose another to use up")]
    NoSuchFat,
    /// A quantity would be beyond what a design holds.
    #[error(transparent)]
    Quantity(#[from] OutOfRange),
    /// The size that is asked for cannot be reached in this size.
    #[error("the batch would be beyond what a design holds; ask for a smaller one")]
    Beyond,
    /// The bars would be too many.
    #[error(transparent)]
    Bars(#[from] BarsOutOfRange),
}

impl Design {
    /// What is given in grams, with its name, additions first.
    pub fn in_grams(&self) -> impl Iterator<Item = (&str, Grams)> {
        let additions = self.additions.iter().map(|l| (l.addition.name.as_str(), l.amount));
        let scents = self.scents.iter().map(|l| (l.scent.name.as_str(), l.amount));
        additions.chain(scents).filter_map(|(name, amount)| match amount {
            Amount::Grams(mass) if mass.get() > 0.0 => Some((name, Grams(mass.get()))),
            Amount::Grams(_) | Amount::PercentOfFats(_) | Amount::GramsPerKgFats(_) => None,
        })
    }
}

impl Scaled {
    /// `design` of this size.
    ///
    /// # Errors
    /// [`ScaleError::Quantity`] if an amount would be beyond what a design holds.
    pub fn of(&self, design: &Design) -> Result<Design, ScaleError> {
        let mut next = Design { size: self.size, bars: self.bars, ..design.clone() };
        let amounts =
            next.additions.iter_mut().map(|l| &mut l.amount).chain(next.scents.iter_mut().map(|l| &mut l.amount));
        for amount in amounts {
            if let Amount::Grams(mass) = amount {
                *mass = AmountMass::new(mass.get() * self.factor)?;
            }
        }
        Ok(next)
    }
}
