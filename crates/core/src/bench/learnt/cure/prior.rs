//! What is believed of a cure before a bar was weighed, and what earlier batches make of it.

use super::{Basis, Cost, Fitted, Matrix, bounds, on, plus};
use crate::bench::learnt::planar::{diagonal, inverse, times};
use crate::chemistry::cure::USUAL_HALF_DAYS;

/// Standard deviation of the logarithm of the half-time about that of [`USUAL_HALF_DAYS`] (our judgement).
pub const LN_SD: f64 = 0.4;
/// Percent of water that bars are usually left with (from the literature and from memory).
pub const WATER_LEFT: f64 = 10.0;
/// Its standard deviation, percent (our judgement).
pub const WATER_SD: f64 = 2.5;
/// How far the logarithm of the half-time lies from batch to batch of one kind: a standard deviation (our judgement, of
/// seasons and places in a rack). Earlier batches never make the prior narrower.
pub const BATCH_LN_SD: f64 = 0.15;
/// How far the water left lies from batch to batch of one kind, percent: a standard deviation (our judgement).
pub const BATCH_WATER_SD: f64 = 1.0;

/// What is believed of the logarithm of the half-time in days and of the percent of water left: normal, together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    mean: [f64; 2],
    covariance: Matrix,
    batches: usize,
}

/// What weighings alone say of the two values: how sharply, and that times the values themselves. Of what they do not
/// say, the first is singular, so it is never turned around.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Evidence {
    sharpness: Matrix,
    pull: [f64; 2],
}

impl Evidence {
    /// Of the cost of weighings near `at`.
    pub(super) fn of(cost: &Cost, at: [f64; 2]) -> Self {
        let c = &cost.curvature;
        let sharpness = [[c[0], c[1]], [c[2], c[3]]];
        let held = on(sharpness, at);
        Self { sharpness, pull: [held[0] - cost.slope[0], held[1] - cost.slope[1]] }
    }
}

impl Prior {
    /// What is believed of a kind that was never weighed.
    pub fn usual() -> Self {
        Self {
            mean: [USUAL_HALF_DAYS.ln(), WATER_LEFT],
            covariance: diagonal(LN_SD.powi(2), WATER_SD.powi(2)),
            batches: 0,
        }
    }

    /// What is believed of the next batch of a kind of which earlier batches were fitted.
    ///
    /// Batches of one kind lie about a mean of their own, by [`BATCH_LN_SD`] and [`BATCH_WATER_SD`]; that mean lies
    /// about the usual, so that the first batch has the usual prior. What each batch's weighings alone say, blurred by
    /// how batches differ, is added up (normal with normal, both values together). The next batch lies about the mean
    /// so found, again by as much as batches differ: however many there were, it is never narrower.
    pub fn after<'a>(earlier: impl IntoIterator<Item = &'a Fitted>) -> Self {
        let usual = Self::usual();
        let apart = diagonal(BATCH_LN_SD.powi(2), BATCH_WATER_SD.powi(2));
        let kind = diagonal(LN_SD.powi(2) - BATCH_LN_SD.powi(2), WATER_SD.powi(2) - BATCH_WATER_SD.powi(2));
        let mut sharpness = inverse(kind);
        let mut pull = on(sharpness, usual.mean);
        let mut batches = 0;
        for Fitted { evidence, .. } in earlier.into_iter().filter(|fitted| fitted.basis != Basis::Prior) {
            // (Λ⁻¹ + T)⁻¹ = (1 + ΛT)⁻¹Λ
            let blur = inverse(plus(diagonal(1.0, 1.0), times(evidence.sharpness, apart)));
            sharpness = plus(sharpness, times(blur, evidence.sharpness));
            let more = on(blur, evidence.pull);
            pull = [pull[0] + more[0], pull[1] + more[1]];
            batches += 1;
        }
        let spread = inverse(sharpness);
        let mean = on(spread, pull);
        let [half, left] = bounds();
        let mean = [mean[0].clamp(half.0, half.1), mean[1].clamp(left.0, left.1)];
        Self { mean, covariance: plus(spread, apart), batches }
    }

    /// The half-time in days that it lies about.
    pub fn half_days(&self) -> f64 {
        self.mean[0].exp()
    }

    /// The standard deviation of its logarithm.
    pub fn ln_sd(&self) -> f64 {
        self.covariance[0][0].sqrt()
    }

    /// The percent of water left that it lies about.
    pub const fn water_left(&self) -> f64 {
        self.mean[1]
    }

    /// Its standard deviation, percent.
    pub fn water_sd(&self) -> f64 {
        self.covariance[1][1].sqrt()
    }

    /// How many earlier batches it was learnt from.
    pub const fn batches(&self) -> usize {
        self.batches
    }

    pub(super) const fn mean(&self) -> [f64; 2] {
        self.mean
    }

    pub(super) const fn covariance(&self) -> Matrix {
        self.covariance
    }

    /// How far `at` lies from what is believed.
    pub(super) fn cost(&self, at: &[f64]) -> Cost {
        let sharpness = inverse(self.covariance);
        let off = [at[0] - self.mean[0], at[1] - self.mean[1]];
        let slope = on(sharpness, off);
        Cost {
            value: 0.5 * (off[0] * slope[0] + off[1] * slope[1]),
            slope: slope.into(),
            curvature: sharpness.as_flattened().to_vec(),
        }
    }
}
