//! Seeded random numbers for simulations.

/// splitmix64 (G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014, from memory): the same numbers in
/// every run.
#[derive(Debug, Clone)]
pub struct Stream(pub u64);

impl Stream {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// The next number, uniform between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform within `half` of 0.
    pub fn within(&mut self, half: f64) -> f64 {
        self.between(-half, half)
    }

    /// A place in a list of `count` things, which is not empty.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "below the count")]
    pub fn place(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }
}
