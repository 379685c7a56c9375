//! The distribution of a sum of independent uniform quantities.

use std::f64::consts::PI;

/// The sum of independent quantities, each uniform between −a and a for its own half width a.
///
/// The widest one is taken exactly: the distribution function of the sum is the mean, over that
/// width, of the distribution function of the others' sum. The latter is a Fourier series over their
/// whole width 2b, whose coefficients are products of sin(kθ)/(kθ), θ = πa/b, since that is the
/// characteristic function of a uniform quantity (std).
#[derive(Debug, Clone, PartialEq)]
pub struct UniformSum {
    /// The half width of the widest, 0 if there is none.
    widest: f64,
    /// The sum of the half widths of the others.
    rest: f64,
    /// The coefficients of the others from k = 1, each divided by k² since their distribution
    /// function is integrated.
    series: Vec<f64>,
    /// What the series comes to at −`rest`.
    start: f64,
}

/// sin(kθ)/θ for k = 1, 2, … in turn.
struct Wave {
    angle: f64,
    twice_cos: f64,
    now: f64,
    before: f64,
}

impl Wave {
    fn new(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { angle, twice_cos: 2.0 * cos, now: sin / angle, before: 0.0 }
    }

    fn next(&mut self) -> f64 {
        let now = self.now;
        (self.now, self.before) = (self.twice_cos * now - self.before, now);
        now
    }

    /// The size of a product of sin(kθ)/(kθ) without the ups and downs of the sines: each is at most
    /// 1/(kθ) and, before its first zero, at most exp(−(kθ)²/6).
    fn size(waves: &[Self], k: f64) -> f64 {
        let (product, exponent) = waves.iter().fold((1.0, 0.0), |(product, exponent), wave| {
            let x = k * wave.angle;
            if x * x < 3.0 { (product, exponent + x * x / 6.0) } else { (product / x, exponent) }
        });
        product * f64::exp(-exponent)
    }
}

impl UniformSum {
    /// What the terms left out may come to.
    const LEFT_OUT: f64 = 1e-7;
    /// Terms at the most: where but a few quantities are narrow the series falls slowly, and what is
    /// left out stays below 2e−6.
    const MOST_TERMS: u32 = 256;

    /// The sum for these half widths; what is not above 0 counts as no width.
    pub fn of(mut half_widths: Vec<f64>) -> Self {
        half_widths.retain(|a| *a > 0.0);
        let widest = (0..half_widths.len()).max_by(|i, j| half_widths[*i].total_cmp(&half_widths[*j]));
        let widest = widest.map_or(0.0, |i| half_widths.swap_remove(i));
        let rest = half_widths.iter().sum();
        let mut sum = Self { widest, rest, series: Vec::new(), start: 0.0 };
        // One uniform quantity alone rises evenly: its series is 0.
        if half_widths.len() < 2 {
            return sum;
        }
        let mut waves: Vec<Wave> = half_widths.iter().map(|a| Wave::new(PI * a / rest)).collect();
        for count in 1..=Self::MOST_TERMS {
            let k = f64::from(count);
            let per_k = 1.0 / k;
            sum.series.push(waves.iter_mut().fold(per_k * per_k, |product, wave| product * (wave.next() * per_k)));
            if count.is_multiple_of(4) && Wave::size(&waves, k) * rest < Self::LEFT_OUT * widest * k {
                break;
            }
        }
        sum.start = sum.clenshaw(-1.0, |_| 1.0).0;
        sum
    }

    /// Half the width of the whole: the sum of the half widths.
    pub fn half(&self) -> f64 {
        self.widest + self.rest
    }

    /// The chance that the sum is at most `x`, to 2e−6.
    ///
    /// ```
    /// use barwright_core::chemistry::margin::UniformSum;
    /// // Two of the same width make a triangle.
    /// let sum = UniformSum::of(vec![1.0, 1.0]);
    /// assert!((sum.at_most(-1.0) - 0.125).abs() < 1e-9);
    /// ```
    pub fn at_most(&self, x: f64) -> f64 {
        if self.widest > 0.0 {
            let over_its_width = self.rest_integral(x + self.widest) - self.rest_integral(x - self.widest);
            (over_its_width / (2.0 * self.widest)).clamp(0.0, 1.0)
        } else if x >= 0.0 {
            1.0
        } else {
            0.0
        }
    }

    /// The `x` that the sum is at most with `chance` (0–1), looked for from `near` it, or from the
    /// middle, 0.
    pub fn quantile(&self, chance: f64, near: f64) -> f64 {
        let half = self.half();
        let (low, high) = if chance < 0.5 { (-half, 0.0) } else { (0.0, half) };
        // Newton's rule from the middle does not overshoot, since the density falls to both sides;
        // from beyond `x` it may, and then goes on from the middle.
        let mut x = near.clamp(low, high);
        for _ in 0..60 {
            let step = (self.at_most(x) - chance) / self.density(x);
            if !step.is_finite() {
                break;
            }
            x = (x - step).clamp(low, high);
            if step.abs() < 1e-8 * half {
                break;
            }
        }
        x
    }

    fn density(&self, x: f64) -> f64 {
        (self.rest_at_most(x + self.widest) - self.rest_at_most(x - self.widest)) / (2.0 * self.widest)
    }

    /// The chance that the others' sum is at most `x`.
    fn rest_at_most(&self, x: f64) -> f64 {
        let b = self.rest;
        if x <= -b {
            0.0
        } else if x >= b {
            1.0
        } else {
            let (sin, cos) = (PI * x / b).sin_cos();
            0.5 + x / (2.0 * b) + self.clenshaw(cos, |k| k).1 * sin / PI
        }
    }

    /// The integral of [`Self::rest_at_most`] up to `x`.
    fn rest_integral(&self, x: f64) -> f64 {
        let b = self.rest;
        if x <= -b {
            0.0
        } else if x >= b {
            x
        } else {
            let cosines = self.clenshaw((PI * x / b).cos(), |_| 1.0).0;
            (x + b).powi(2) / (4.0 * b) + b / (PI * PI) * (self.start - cosines)
        }
    }

    /// Σ weight(k)·series·cos kφ and Σ weight(k)·series·sin kφ/sin φ for `cos` φ, by Clenshaw's
    /// recurrence.
    fn clenshaw(&self, cos: f64, weight: impl Fn(f64) -> f64) -> (f64, f64) {
        let (mut next, mut after) = (0.0, 0.0);
        for (i, coefficient) in self.series.iter().enumerate().rev() {
            (next, after) = (2.0 * cos * next + (weight((i + 1) as f64) * coefficient - after), next);
        }
        (next * cos - after, next)
    }
}
