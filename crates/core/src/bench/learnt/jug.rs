//! How a jug cools, from readings of the lye.

use super::Learnt;
use super::mode::{Cost, lowest};
use crate::chemistry::jug::Cooling;
use crate::units::{Celsius, Minutes, TimeConstant};

/// How far the estimate of the time constant may be off: a standard deviation of its logarithm (our judgement; jugs of
/// thin steel and of thick plastic differ by about so much).
pub const PRIOR_LN_SD: f64 = 0.3;
/// How far a reading may be off, °C: a standard deviation (our judgement; a kitchen thermometer in a jug that is not
/// stirred).
pub const READING_SD: f64 = 1.0;

/// The lye's temperature some time after its peak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LyeAt {
    /// Minutes after the peak.
    pub after: Minutes,
    /// What the thermometer said.
    pub celsius: Celsius,
}

/// How a jug cools, as its readings have it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LearntCooling {
    /// The time constant to offer.
    pub constant: TimeConstant,
    /// Standard deviation of its logarithm; [`PRIOR_LN_SD`] without readings.
    pub ln_sd: f64,
    /// How many readings it rests on.
    pub readings: usize,
}

impl LearntCooling {
    /// Minutes, with the standard deviation in minutes.
    pub fn minutes(self) -> Learnt {
        Learnt { value: self.constant.get(), sd: self.constant.get() * self.ln_sd }
    }
}

/// The time constant of a jug that cools as `estimate` says, corrected by `readings`: the most likely one, with a
/// normal prior about the estimate's logarithm and normal errors of the thermometer.
///
/// Start and surroundings count as known: where the peak was read, put it into `estimate`. A reading below the
/// surroundings or above the start moves it as far as the prior bears.
pub fn cooling(estimate: Cooling, readings: &[LyeAt]) -> LearntCooling {
    let prior = TimeConstant::nearest(estimate.constant).get().ln();
    let excess = estimate.from - estimate.to;
    let cost = |at: &[f64]| {
        let constant = at[0].exp();
        let mut cost = Cost::none(1);
        cost.believe(0, at[0], prior, PRIOR_LN_SD);
        for reading in readings {
            let way = reading.after.get() / constant;
            let over = excess * (-way).exp();
            let off = (reading.celsius.get() - estimate.to - over) / READING_SD;
            // d(over)/d(ln τ) = over · minutes/τ
            let steep = over * way / READING_SD;
            cost.value += 0.5 * off * off;
            cost.slope[0] -= off * steep;
            cost.curvature[0] += steep * steep;
        }
        cost
    };
    let bounds = [(TimeConstant::MIN.ln(), TimeConstant::MAX.ln())];
    // From both sides too: a reading that no cooling explains can make two hollows.
    let starts = [0.0, -2.0 * PRIOR_LN_SD, 2.0 * PRIOR_LN_SD];
    let (mut best, mut shape) = lowest(&[prior], &bounds, cost);
    for start in starts {
        let (at, there) = lowest(&[prior + start], &bounds, cost);
        if there.value < shape.value {
            (best, shape) = (at, there);
        }
    }
    LearntCooling {
        constant: TimeConstant::nearest(best[0].exp()),
        ln_sd: shape.curvature[0].sqrt().recip(),
        readings: readings.len(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JUG: Cooling = Cooling { from: 90.0, to: 20.0, constant: 45.0 };

    fn reading(after: f64, celsius: f64) -> LyeAt {
        LyeAt { after: Minutes::nearest(after), celsius: Celsius::nearest(celsius) }
    }

    #[test]
    fn without_readings_it_is_the_estimate() {
        let learnt = cooling(JUG, &[]);
        assert!((learnt.constant.get() - 45.0).abs() < 1e-9, "got {learnt:?}");
        assert!((learnt.ln_sd - PRIOR_LN_SD).abs() < 1e-12, "got {learnt:?}");
    }

    #[test]
    fn a_reading_gives_nearly_what_the_jug_alone_would_and_more_of_them_come_nearer() {
        let real = Cooling { constant: 30.0, ..JUG };
        let read = |minutes: f64| reading(minutes, real.after(minutes));
        let one = cooling(JUG, &[read(30.0)]);
        assert!((one.constant.get() / 30.0 - 1.0).abs() < 0.02, "one reading gives {one:?}");
        let many: Vec<_> = (1..=20).map(|n| read(5.0 * f64::from(n))).collect();
        let many = cooling(JUG, &many);
        assert!((many.constant.get() / 30.0 - 1.0).abs() < 0.002, "twenty give {many:?}");
        assert!(many.ln_sd < one.ln_sd, "and are surer: {} against {}", many.ln_sd, one.ln_sd);
    }

    #[test]
    fn it_is_where_a_fine_search_finds_the_least() {
        let readings = [reading(10.0, 80.0), reading(25.0, 55.0), reading(60.0, 33.0)];
        let of = |constant: f64| {
            let jug = Cooling { constant, ..JUG };
            let off = readings.map(|r| (r.celsius.get() - jug.after(r.after.get())).powi(2));
            off.iter().sum::<f64>() + ((constant / 45.0).ln() / 0.3).powi(2)
        };
        let searched = (1..60_000).map(|n| f64::from(n) * 0.001 + 5.0).min_by(|a, b| of(*a).total_cmp(&of(*b)));
        let (searched, learnt) = (searched.expect("there are some"), cooling(JUG, &readings).constant.get());
        assert!((learnt - searched).abs() < 0.001, "learnt {learnt}, searched {searched}");
    }

    #[test]
    fn absurd_readings_are_borne() {
        for celsius in [-50.0, 20.0, 90.0, 300.0] {
            for after in [0.0, 1.0, 10_000.0] {
                let learnt = cooling(JUG, &[reading(after, celsius); 50]);
                assert!(learnt.ln_sd.is_finite(), "{celsius} °C after {after} min: {learnt:?}");
            }
        }
        let odd = cooling(Cooling { from: 20.0, to: 20.0, constant: f64::NAN }, &[reading(5.0, 60.0)]);
        assert!(odd.ln_sd.is_finite(), "no excess at all: {odd:?}");
    }
}
