//! How strongly a milligram of pigment colours, which a table knows within a factor of two and an own bar better.

use super::optics::{Lab, difference};
use crate::library::pigments::DECILE;

/// Absorption over scattering at the peak for each mg of beta-carotene in a kilogram (our judgement, between the slopes
/// of two matrices of roots, with which flour and butter agree: Ikeogu et al., PLOS ONE 12(12): e0188918, 2017). No
/// measurement in soap was found.
pub const USUAL: f64 = 0.096;
/// How far it scatters from soap to soap, as the standard deviation of its logarithm (the spread of the same slopes).
pub const SPREAD: f64 = 0.5;
/// The same before an own bar is looked at, with what its own content and losses add.
pub const BEFORE_A_BAR: f64 = 0.7;
/// How far the same colourant scatters from bar to bar once one was seen (our judgement: what is left beside content
/// and strength).
pub const AFTER_A_BAR: f64 = 0.3;
/// How far a colour is read wrong from a bar or a photograph, with how uneven bars are, as a difference of colours (our
/// judgement: 4 and 3).
pub const READING_ERROR: f64 = 5.0;

/// How many strengths are weighed, evenly in their logarithm.
const PLACES: usize = 89;
/// How far they reach to either side in the logarithm.
const REACH: f64 = 2.2;

/// How likely each of a row of strengths is.
#[derive(Debug, Clone, PartialEq)]
pub struct Strengths([f64; PLACES]);

impl Strengths {
    /// The logarithm of the strength at `place`, relative to the usual one.
    fn relative(place: f64) -> f64 {
        REACH * (2.0 * place / (PLACES - 1) as f64 - 1.0)
    }

    /// The strength at `place`.
    fn at(place: usize) -> f64 {
        USUAL * Self::relative(place as f64).exp()
    }

    /// Normal in the logarithm, with its middle `middle` and its standard deviation `spread`.
    pub fn normal(middle: f64, spread: f64) -> Self {
        let middle = (middle / USUAL).ln();
        let at = |i: usize| -0.5 * ((Self::relative(i as f64) - middle) / spread).powi(2);
        Self::of_logarithms(&std::array::from_fn(at))
    }

    /// From logarithms of likelihoods, which need no sum.
    fn of_logarithms(logarithms: &[f64; PLACES]) -> Self {
        let most = logarithms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let parts = logarithms.map(|l| (l - most).exp());
        let sum: f64 = parts.iter().sum();
        Self(parts.map(|part| part / sum))
    }

    /// The same once a bar was seen that would be `predicted` at a strength.
    #[must_use]
    pub fn seen(&self, seen: Lab, predicted: impl Fn(f64) -> Lab) -> Self {
        let at = |i: usize| {
            let off = difference(predicted(Self::at(i)), seen) / READING_ERROR;
            // What is out of the question stays so, without a logarithm of nothing.
            self.0[i].max(1e-300).ln() - 0.5 * off * off
        };
        Self::of_logarithms(&std::array::from_fn(at))
    }

    /// Each strength with how likely it is.
    pub fn each(&self) -> impl Iterator<Item = (f64, f64)> {
        self.0.iter().enumerate().map(|(place, part)| (Self::at(place), *part))
    }

    /// The strength that the part `below` of all is below.
    pub fn quantile(&self, below: f64) -> f64 {
        let mut sum = 0.0;
        for (i, part) in self.0.iter().enumerate() {
            if sum + part >= below && *part > 0.0 {
                // Each place stands for half a step to either side.
                let place = i as f64 - 0.5 + (below - sum) / part;
                return USUAL * Self::relative(place).exp();
            }
            sum += part;
        }
        Self::at(PLACES - 1)
    }

    /// What one of ten is under, half are under, nine of ten are under.
    pub fn band(&self) -> [f64; 3] {
        [0.1, 0.5, 0.9].map(|below| self.quantile(below))
    }

    /// How far they scatter, as the standard deviation of the logarithm.
    pub fn spread(&self) -> f64 {
        let mean = |of: &dyn Fn(f64) -> f64| -> f64 {
            self.0.iter().enumerate().map(|(i, part)| part * of(Self::relative(i as f64))).sum()
        };
        let middle = mean(&|x| x);
        mean(&|x| (x - middle).powi(2)).sqrt()
    }
}

/// The spread of a band from the strength that one of ten is under to that which nine of ten are under.
pub fn spread_of(low: f64, high: f64) -> f64 {
    (high / low).ln() / (2.0 * DECILE)
}
