//! The batter's density, from what was poured.

use super::Learnt;
use crate::units::{AmountMass, BatterDensity, Millilitres};

/// How far the worked-out density may be off, as a part of it: a standard deviation (our judgement; air beaten in, and
/// fats whose density is from memory).
pub const PRIOR_SD: f64 = 0.03;
/// How far a measured density may be off, as a part of it: a standard deviation (our judgement; a mould's mark or a
/// kitchen measure is read to about 2 %).
pub const MEASURED_SD: f64 = 0.02;

/// Batter that was weighed in a volume that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Poured {
    /// What it weighed.
    pub mass: AmountMass,
    /// What it filled.
    pub volume: Millilitres,
}

/// The density in g/mL that follows from the `computed` one and what was poured.
///
/// In logarithms, a normal prior and normal readings: the mean of all, each weighed by 1/sd². With one reading that is 9
/// parts of the reading to 4 of the computed density. A pour of nothing, or one that gives a density that no batter has,
/// teaches nothing.
///
/// ```
/// use barwright_core::bench::learnt::batter::{Poured, density};
/// use barwright_core::units::{AmountMass, BatterDensity, Millilitres};
/// let poured = Poured { mass: AmountMass::new(980.0)?, volume: Millilitres::new(1000.0)? };
/// let learnt = density(BatterDensity::new(1.02)?, &[poured]);
/// assert!((learnt.value - (1.02_f64.ln() * 4.0 / 13.0 + 0.98_f64.ln() * 9.0 / 13.0).exp()).abs() < 1e-12);
/// # Ok::<(), barwright_core::units::OutOfRange>(())
/// ```
pub fn density(computed: BatterDensity, poured: &[Poured]) -> Learnt {
    let (prior, reading) = (PRIOR_SD.powi(-2), MEASURED_SD.powi(-2));
    let read = poured.iter().filter_map(|p| BatterDensity::new(p.mass.get() / p.volume.get()).ok());
    let (mut weight, mut sum) = (prior, prior * computed.get().ln());
    for density in read {
        weight += reading;
        sum += reading * density.get().ln();
    }
    let value = (sum / weight).exp();
    Learnt { value, sd: value / weight.sqrt() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn poured(grams: f64) -> Poured {
        Poured { mass: AmountMass::nearest(grams), volume: Millilitres::nearest(1000.0) }
    }

    #[test]
    fn without_a_pour_it_is_the_computed_one() {
        let learnt = density(BatterDensity::nearest(1.02), &[]);
        assert!((learnt.value - 1.02).abs() < 1e-15 && (learnt.sd - 0.0306).abs() < 1e-12, "got {learnt:?}");
    }

    #[test]
    fn many_pours_outweigh_the_computed_one() {
        let learnt = density(BatterDensity::nearest(1.02), &[poured(900.0); 100]);
        assert!((learnt.value - 0.9).abs() < 0.001, "got {learnt:?}");
        assert!(learnt.sd < 0.002, "and surer, got {learnt:?}");
    }

    #[test]
    fn a_pour_of_nothing_teaches_nothing() {
        let computed = BatterDensity::nearest(1.02);
        assert_eq!(density(computed, &[poured(0.0), poured(9e5)]), density(computed, &[]));
    }
}
