//! Sine, exponential and logarithm from `+ − × ÷` alone, so that they give the same bits everywhere.
//!
//! Each is a range reduction followed by the function's power series (Abramowitz and Stegun 1964, 4.1.27,
//! 4.2.1, 4.3.65), cut where the next term is below the type's precision.

/// sin(2π·`turns`), f64. Absolute error below 1e-14 for |turns| ≤ 1e3.
///
/// ```
/// assert!((pourbook::flow::series::sin_turns(0.25) - 1.0).abs() < 1e-14);
/// ```
#[must_use]
pub fn sin_turns(turns: f64) -> f64 {
    // Adding and taking away 1.5·2^52 rounds to the nearest whole number.
    let whole = (turns + 6_755_399_441_055_744.0) - 6_755_399_441_055_744.0;
    let rest = turns - whole;
    let folded = (0.25 - (rest.abs() - 0.25).abs()).copysign(rest);
    let z = folded * core::f64::consts::TAU;
    let z2 = z * z;
    let mut sum = 0.0;
    let mut n = 21.0;
    while n > 1.0 {
        sum = (1.0 + sum) * (-z2 / (n * (n - 1.0)));
        n -= 2.0;
    }
    z + z * sum
}

/// cos(2π·`turns`), f64, with the error of [`sin_turns`].
#[must_use]
pub fn cos_turns(turns: f64) -> f64 {
    sin_turns(turns + 0.25)
}

/// A floating-point type that points are carried in: `f32` or `f64`.
pub trait Real:
    Copy
    + PartialOrd
    + core::ops::Add<Output = Self>
    + core::ops::Sub<Output = Self>
    + core::ops::Mul<Output = Self>
    + core::ops::Div<Output = Self>
{
    /// Adding and taking away this rounds to the nearest whole number.
    const ROUNDER: Self;
    /// The nearest value of the type.
    fn near(x: f64) -> Self;
    /// √, correctly rounded.
    #[must_use]
    fn root(self) -> Self;
    /// Without its sign.
    #[must_use]
    fn magnitude(self) -> Self;
    /// With the sign of `sign`.
    #[must_use]
    fn signed(self, sign: Self) -> Self;
}

impl Real for f64 {
    const ROUNDER: Self = 6_755_399_441_055_744.0;
    #[inline(always)]
    fn near(x: f64) -> Self {
        x
    }
    #[inline(always)]
    fn root(self) -> Self {
        self.sqrt()
    }
    #[inline(always)]
    fn magnitude(self) -> Self {
        self.abs()
    }
    #[inline(always)]
    fn signed(self, sign: Self) -> Self {
        self.copysign(sign)
    }
}

impl Real for f32 {
    const ROUNDER: Self = 12_582_912.0;
    #[inline(always)]
    #[expect(clippy::cast_possible_truncation, reason = "what it is for")]
    fn near(x: f64) -> Self {
        x as Self
    }
    #[inline(always)]
    fn root(self) -> Self {
        self.sqrt()
    }
    #[inline(always)]
    fn magnitude(self) -> Self {
        self.abs()
    }
    #[inline(always)]
    fn signed(self, sign: Self) -> Self {
        self.copysign(sign)
    }
}

/// sin(2π·`turns`) without a loop or a branch, so that a loop over lanes becomes vector code. Absolute error
/// below 2e-11 for |turns| ≤ 1e3 in `f64`, 1e-6 for |turns| ≤ 1 in `f32`.
#[inline(always)]
#[must_use]
pub fn sin_turns_fast<T: Real>(turns: T) -> T {
    let k = T::near;
    let whole = (turns + T::ROUNDER) - T::ROUNDER;
    let rest = turns - whole;
    let folded = (k(0.25) - (rest.magnitude() - k(0.25)).magnitude()).signed(rest);
    let z = folded * k(core::f64::consts::TAU);
    let z2 = z * z;
    let p = k(1.0 / 6_227_020_800.0) - z2 * k(1.0 / 1_307_674_368_000.0);
    let p = k(1.0 / 39_916_800.0) - z2 * p;
    let p = k(1.0 / 362_880.0) - z2 * p;
    let p = k(1.0 / 5_040.0) - z2 * p;
    let p = k(1.0 / 120.0) - z2 * p;
    let p = k(1.0 / 6.0) - z2 * p;
    z - z * z2 * p
}

/// eˣ. Relative error below 1e-14; 0 below −700 and held at e^700 above 700.
#[must_use]
pub fn exp(x: f64) -> f64 {
    if x < -700.0 {
        return 0.0;
    }
    let x = x.min(700.0);
    let power = (x * core::f64::consts::LOG2_E + 6_755_399_441_055_744.0) - 6_755_399_441_055_744.0;
    // ln 2 in two parts, so that the product with a whole number is exact.
    let rest = (x - power * 0.693_147_180_369_123_8) - power * 1.908_214_929_270_587_7e-10;
    let mut sum = 1.0;
    let mut n = 16.0;
    while n > 0.0 {
        sum = 1.0 + sum * rest / n;
        n -= 1.0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "|power| ≤ 1011, so the biased exponent is 12 to 2034"
    )]
    let exponent = (power + 1023.0) as u64;
    sum * f64::from_bits(exponent << 52)
}

/// ln `x`. Error below 1e-14 of the larger of 1 and the result; −∞ for 0, NaN for negative `x`.
#[must_use]
pub fn ln(x: f64) -> f64 {
    if x < 0.0 || x.is_nan() {
        return f64::NAN;
    }
    if x < f64::MIN_POSITIVE {
        return f64::NEG_INFINITY;
    }
    if x.is_infinite() {
        return x;
    }
    let bits = x.to_bits();
    let mut mantissa = f64::from_bits((bits & 0x000F_FFFF_FFFF_FFFF) | (1023 << 52));
    #[expect(clippy::cast_precision_loss, reason = "an exponent of 11 bits")]
    let mut power = (bits >> 52) as f64 - 1023.0;
    if mantissa > core::f64::consts::SQRT_2 {
        mantissa *= 0.5;
        power += 1.0;
    }
    let t = (mantissa - 1.0) / (mantissa + 1.0);
    let t2 = t * t;
    let mut sum = 0.0;
    let mut n = 23.0;
    while n > 0.0 {
        sum = sum * t2 + 1.0 / n;
        n -= 2.0;
    }
    power * core::f64::consts::LN_2 + 2.0 * t * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_an_independent_library() {
        // libm (a port of the MUSL and FreeBSD mathematics), a different algorithm.
        for i in -4000..4000 {
            let x = f64::from(i) * 0.0137;
            let sine = libm::sin(x * core::f64::consts::TAU);
            assert!((sin_turns(x) - sine).abs() < 4e-13, "sin {x}: {} {sine}", sin_turns(x));
            assert!((exp(x) / libm::exp(x) - 1.0).abs() < 1e-13, "exp {x}");
            let positive = f64::from(i + 4001) * 0.0137;
            assert!((ln(positive) - libm::log(positive)).abs() < 1e-14 * 10.0, "ln {positive}");
        }
        for i in -2000..2000 {
            let x = f64::from(i) * 0.000_731;
            assert!((sin_turns_fast(x) - sin_turns(x)).abs() < 2e-11, "fast sine of {x}");
            let single = f32::near(x);
            let error = f64::from(sin_turns_fast(single)) - sin_turns(f64::from(single));
            assert!(error.abs() < 1.2e-6, "fast single sine of {x}: {error}");
        }
    }

    #[test]
    fn ends_of_the_range_are_finite_or_say_so() {
        assert_eq!(exp(-1e6), 0.0, "no trap far below");
        assert!(exp(1e6).is_finite(), "held far above");
        assert_eq!(ln(0.0), f64::NEG_INFINITY, "log of nothing");
        assert!(ln(-1.0).is_nan(), "log of a debt");
    }
}
