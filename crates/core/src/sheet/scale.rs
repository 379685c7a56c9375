//! A larger or smaller batch of the same design.

use crate::additions::Amount;
use crate::batch::{Batch, PerGram, solve};
use crate::design::Design;
use crate::mould::Size;
use crate::units::{AmountMass, Bars, BarsOutOfRange, BatchFactor, FatMass, Millilitres, OutOfRange};

/// How large the batch on the sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Scale {
    /// As the design says.
    #[default]
    AsDesigned,
    /// So many times that.
    Times(BatchFactor),
    /// So many bars of the same weight.
    Bars(Bars),
    /// So much of all fats together.
    Fats(FatMass),
}

/// A batch that cannot be made so large or so small.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScaleError {
    /// A quantity of it would be out of range.
    #[error("the scaled batch cannot be: {0}")]
    OutOfRange(#[from] OutOfRange),
    /// Too many bars.
    #[error("the scaled batch cannot be: {0}")]
    Bars(#[from] BarsOutOfRange),
    /// No fats to scale.
    #[error("there are no fats, so there is nothing to scale")]
    NoBatch,
}

impl Scale {
    /// How many times `batch` the scaled one is.
    ///
    /// # Errors
    /// [`ScaleError`] if `batch` is empty or the number is out of range.
    pub fn factor(self, batch: &Batch) -> Result<BatchFactor, ScaleError> {
        let times = match self {
            Self::AsDesigned => return Ok(BatchFactor::nearest(1.0)),
            Self::Times(times) => times.get(),
            Self::Bars(bars) => f64::from(bars.get()) / f64::from(batch.bars),
            Self::Fats(mass) => mass.get() / batch.fats.0,
        };
        if batch.fats.0 > 0.0 { Ok(BatchFactor::new(times)?) } else { Err(ScaleError::NoBatch) }
    }
}

/// `design` with a batch `times` as large: every mass that goes in is in proportion, amounts given in
/// grams with them. A mould becomes so many times its volume, the bars the nearest whole number.
///
/// # Errors
/// [`ScaleError`] if a quantity would be out of range.
pub fn scaled(design: &Design, times: BatchFactor) -> Result<Design, ScaleError> {
    let times = times.get();
    let (nominal, batch, _) = solve(design, &PerGram::of(design));
    let mut next = design.clone();
    next.size = match &design.size {
        Size::FatMass(_) | Size::BarMass(_) => Size::FatMass(FatMass::new(nominal * times)?),
        Size::Mould { mould, fill } => Size::Volume { ml: Millilitres::new(mould.volume_ml() * times)?, fill: *fill },
        Size::Volume { ml, fill } => Size::Volume { ml: Millilitres::new(ml.get() * times)?, fill: *fill },
    };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "10 000 bars times 1000 fit")]
    let bars = (f64::from(batch.bars) * times).round().max(1.0) as u32;
    next.bars = Bars::new(bars)?;
    let amounts = next.additions.iter_mut().map(|l| &mut l.amount).chain(next.scents.iter_mut().map(|l| &mut l.amount));
    for amount in amounts {
        if let Amount::Grams(mass) = amount {
            *mass = AmountMass::new(mass.get() * times)?;
        }
    }
    Ok(next)
}
