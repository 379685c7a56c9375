//! How fast bars wear, from what they lost in use.

use super::Learnt;
use crate::units::AmountMass;

/// Washes that wear is told for.
pub const WASHES: u32 = 10;

/// A bar that was washed with, weighed dry before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Washed {
    /// How often.
    pub washes: u32,
    /// What it lost.
    pub lost: AmountMass,
}

impl Washed {
    /// Grams lost in [`WASHES`] washes; `None` if it was not washed with.
    pub fn in_ten(self) -> Option<f64> {
        (self.washes > 0).then(|| self.lost.get() * f64::from(WASHES) / f64::from(self.washes))
    }
}

/// How fast the bars of a design wear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wear {
    /// Grams lost in [`WASHES`] washes, mean of the bars.
    pub grams: f64,
    /// How far one bar lies from another, g: a standard deviation; `None` of a single bar.
    pub sd: Option<f64>,
    /// How many bars.
    pub bars: usize,
}

impl Wear {
    /// Of bars that were washed with, each counted once, however often; `None` without any.
    ///
    /// ```
    /// use barwright_core::bench::learnt::wear::{Washed, Wear};
    /// use barwright_core::units::AmountMass;
    /// let bar = |washes, grams| AmountMass::new(grams).map(|lost| Washed { washes, lost });
    /// let wear = Wear::of(&[bar(10, 6.0)?, bar(20, 8.0)?]).ok_or("two bars")?;
    /// assert_eq!((wear.grams, wear.bars), (5.0, 2));
    /// assert!((wear.sd.ok_or("two bars")? - 2_f64.sqrt()).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(bars: &[Washed]) -> Option<Self> {
        let lost: Vec<f64> = bars.iter().filter_map(|bar| bar.in_ten()).collect();
        let count = lost.len();
        let grams = lost.iter().sum::<f64>() / count as f64;
        let squares: f64 = lost.iter().map(|g| (g - grams).powi(2)).sum();
        let sd = (count > 1).then(|| (squares / (count - 1) as f64).sqrt());
        (count > 0).then_some(Self { grams, sd, bars: count })
    }

    /// The mean, with its standard deviation; `None` of a single bar, of which that is not known.
    pub fn mean(&self) -> Option<Learnt> {
        self.sd.map(|sd| Learnt { value: self.grams, sd: sd / (self.bars as f64).sqrt() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_that_was_never_washed_with_counts_for_nothing() {
        let unused = Washed { washes: 0, lost: AmountMass::nearest(5.0) };
        assert_eq!(Wear::of(&[unused]), None);
        let used = Washed { washes: 5, lost: AmountMass::nearest(2.0) };
        assert_eq!(Wear::of(&[unused, used]), Wear::of(&[used]));
    }

    #[test]
    fn of_one_bar_no_spread_is_known() {
        let wear = Wear::of(&[Washed { washes: 10, lost: AmountMass::nearest(5.0) }]).expect("a bar");
        assert_eq!((wear.grams, wear.sd, wear.mean()), (5.0, None, None));
    }
}
