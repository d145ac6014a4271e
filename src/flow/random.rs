//! Seeded randomness in integers: the same numbers on every machine.

/// A stream of pseudo-random numbers from a 64-bit seed.
///
/// `SplitMix64` (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators"): 64 bits of state,
/// equidistributed, far from cryptographic.
///
/// ```
/// use pourbook::flow::Random;
/// assert_eq!(Random::new(7).unit(), Random::new(7).unit());
/// ```
#[derive(Debug, Clone)]
pub struct Random {
    state: u64,
}

impl Random {
    /// The stream of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// A stream of its own for `purpose`, so that drawing more for one purpose leaves the others as they were.
    #[must_use]
    pub fn stream(seed: u64, purpose: u64) -> Self {
        let mut mixer = Self::new(seed ^ purpose.wrapping_mul(0xD1B5_4A32_D192_ED03));
        Self::new(mixer.next_u64())
    }

    /// The next 64 bits.
    pub fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform on [0, 1), 53 bits.
    pub fn unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit a double exactly")]
        let bits = (self.next_u64() >> 11) as f64;
        bits * (1.0 / 9_007_199_254_740_992.0)
    }

    /// Uniform on [`low`, `high`).
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Bell-shaped with mean 0 and standard deviation 1, bounded by ±3.47: the sum of four uniforms (Irwin–Hall).
    pub fn bell(&mut self) -> f64 {
        let sum = self.unit() + self.unit() + self.unit() + self.unit();
        (sum - 2.0) * 1.732_050_807_568_877_2
    }

    /// Uniform on 0..`count`; 0 when `count` is 0.
    pub fn below(&mut self, count: usize) -> usize {
        if count == 0 {
            return 0;
        }
        let wide = u128::from(self.next_u64()) * (count as u128);
        #[expect(
            clippy::cast_possible_truncation,
            reason = "the high half is below `count`, a usize"
        )]
        let index = (wide >> 64) as usize;
        index
    }

    /// Shuffles in place (Fisher–Yates).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let other = self.below(last + 1);
            items.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_generator_is_followed() {
        // SplitMix64 from seed 1234567, as printed with the reference C code by its author.
        let mut random = Random::new(1_234_567);
        let first: Vec<u64> = (0..3).map(|_| random.next_u64()).collect();
        assert_eq!(
            first,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423],
            "the stream is that generator's"
        );
    }

    #[test]
    fn moments_are_right() {
        let mut random = Random::stream(3, 9);
        let n = 40_000;
        let (mut mean, mut square) = (0.0, 0.0);
        for _ in 0..n {
            let x = random.bell();
            mean += x / f64::from(n);
            square += x * x / f64::from(n);
        }
        assert!(mean.abs() < 0.02, "mean {mean}");
        assert!((square - 1.0).abs() < 0.03, "variance {square}");
    }

    #[test]
    fn a_shuffle_keeps_every_item() {
        let mut items: Vec<usize> = (0..50).collect();
        Random::new(5).shuffle(&mut items);
        assert_ne!(items, (0..50).collect::<Vec<_>>(), "something moved");
        items.sort_unstable();
        assert_eq!(items, (0..50).collect::<Vec<_>>(), "nothing was lost");
    }
}
