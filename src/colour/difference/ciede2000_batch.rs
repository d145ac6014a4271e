//! CIEDE2000 of many pairs at once.
//!
//! The formula of [`delta_e_2000`](super::delta_e_2000) without angles, but for one:
//!
//! - ΔH′ = 2√(C′₁C′₂)·sin(Δh′/2) is (a′₁b′₂ − a′₂b′₁)/√((C′₁C′₂ + a′₁a′₂ + b′₁b′₂)/2) where the hues
//!   are less than 90° apart, and ±√(2(C′₁C′₂ − a′₁a′₂ − b′₁b′₂)) where they are more;
//! - the mean hue is the direction of the sum of the two unit vectors, or at more than 90° of their
//!   difference turned by 90°; its multiples' cosines follow by products;
//! - only the turn from 275° in the rotation term needs an angle: an arc tangent of the quarter
//!   angle, by polynomial; and the exponential is a polynomial, squared five times.
//!
//! Polynomials: Chebyshev fits in 40 digits, |relative error| < 5e-15.

use pulp::{Simd, WithSimd};

use super::ciede2000::POW25_7;
use super::lanes::{Lanes, SIDE};
use crate::colour::lab::Lab;

/// Pairs worked on between two turns of the layout: a multiple of the widest registers side by side.
const BLOCK: usize = 32;

/// ΔE00 of each pair, in the order given; within 1e-9 of [`delta_e_2000`](super::delta_e_2000)
/// (6e-12 is the most seen over two million pairs), and the same bits on every machine. Stops at
/// the end of the shortest slice.
///
/// ```
/// use pourbook::colour::{Lab, delta_e_2000_batch};
/// let (one, two) = ([Lab::new(50.0, 2.5, 0.0)], [Lab::new(73.0, 25.0, -18.0)]);
/// let mut out = [0.0];
/// delta_e_2000_batch(&one, &two, &mut out);
/// assert!((out[0] - 27.1492).abs() < 1e-4);
/// ```
pub fn delta_e_2000_batch(ones: &[Lab], twos: &[Lab], out: &mut [f64]) {
    pulp::Arch::new().dispatch(Batch { ones, twos, out });
}

struct Batch<'a> {
    ones: &'a [Lab],
    twos: &'a [Lab],
    out: &'a mut [f64],
}

impl WithSimd for Batch<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) {
        let mut planes = [[0.0; BLOCK]; 6];
        let mut results = [0.0; BLOCK];
        let blocks = self.ones.chunks(BLOCK).zip(self.twos.chunks(BLOCK));
        for ((ones, twos), out) in blocks.zip(self.out.chunks_mut(BLOCK)) {
            for (at, (one, two)) in ones.iter().zip(twos).enumerate() {
                let six = [one.l, one.a, one.b, two.l, two.a, two.b];
                for (plane, value) in planes.iter_mut().zip(six) {
                    plane[at] = value;
                }
            }
            let [l1, a1, b1, l2, a2, b2] = planes.each_ref().map(|plane| S::as_simd_f64s(plane).0);
            let results_lanes = S::as_mut_simd_f64s(&mut results).0;
            for (turn, result) in results_lanes.chunks_exact_mut(SIDE).enumerate() {
                let lanes = |plane: &[S::f64s]| {
                    Lanes::new(simd, std::array::from_fn(|side| plane[turn * SIDE + side]))
                };
                let one = [lanes(l1), lanes(a1), lanes(b1)];
                let two = [lanes(l2), lanes(a2), lanes(b2)];
                result.copy_from_slice(&difference(one, two).values());
            }
            for ((out, result), _) in out.iter_mut().zip(results).zip(ones.iter().zip(twos)) {
                *out = result;
            }
        }
    }
}

#[inline(always)]
fn difference<S: Simd>(one: [Lanes<S>; 3], two: [Lanes<S>; 3]) -> Lanes<S> {
    let [l1, a1, b1] = one;
    let [l2, a2, b2] = two;
    let zero = l1.all(0.0);

    let mean_c = (length(a1, b1) + length(a2, b2)) * 0.5;
    let stretch = share_of_25(mean_c) * -0.5 + 1.5;
    let (a1, a2) = (a1 * stretch, a2 * stretch);
    let (c1, c2) = (length(a1, b1), length(a2, b2));
    let c = (c1 + c2) * 0.5;

    // Which way the shorter arc of hue runs, and whether it is more than 90°.
    let cross = a1 * b2 - a2 * b1;
    let dot = a1 * a2 + b1 * b2;
    let wide = dot.below(zero);
    let one_is_lower = zero.below(b1).choose(
        zero.all(1.0),
        b1.below(zero).choose(zero.all(-1.0), a1.below(zero).choose(zero.all(-1.0), zero.all(1.0))),
    );
    let way = zero
        .below(cross)
        .choose(zero.all(1.0), cross.below(zero).choose(zero.all(-1.0), one_is_lower));

    let product = c1 * c2;
    let root = wide.choose((product - dot) * 2.0, (product + dot) * 0.5).sqrt();
    let d_hue = wide.choose(way * root, cross / zero.below(root).choose(root, zero.all(1.0)));

    // Mean hue as a direction (cosine, sine); without chroma in one colour it is the other's.
    let grey = product.below(zero.all(f64::MIN_POSITIVE));
    let (weight1, weight2) = (grey.choose(zero.all(1.0), c2), grey.choose(zero.all(1.0), c1));
    let (sum_a, sum_b) = (a1 * weight1 + a2 * weight2, b1 * weight1 + b2 * weight2);
    let (apart_a, apart_b) = (a1 * weight1 - a2 * weight2, b1 * weight1 - b2 * weight2);
    let mean_a = wide.choose(zero - way * apart_b, sum_a);
    let mean_b = wide.choose(way * apart_a, sum_b);
    let norm = length(mean_a, mean_b);
    let some = zero.below(norm);
    let scale = zero.all(1.0) / some.choose(norm, zero.all(1.0));
    let cos1 = some.choose(mean_a * scale, zero.all(1.0));
    let sin1 = mean_b * scale;
    let (cos2, sin2) = (cos1 * cos1 * 2.0 - 1.0, sin1 * cos1 * 2.0);
    let (cos3, sin3) = (cos2 * cos1 - sin2 * sin1, sin2 * cos1 + cos2 * sin1);
    let (cos4, sin4) = (cos2 * cos2 * 2.0 - 1.0, sin2 * cos2 * 2.0);

    // T: −0.17 cos(h − 30°) + 0.24 cos 2h + 0.32 cos(3h + 6°) − 0.20 cos(4h − 63°), by cosines and
    // sines of h's multiples.
    let t = (cos1 * (-0.17 * COS_30) + sin1 * (-0.17 * SIN_30) + 1.0)
        + (cos2 * 0.24)
        + (cos3 * (0.32 * COS_6) + sin3 * (-0.32 * SIN_6))
        + (cos4 * (-0.20 * COS_63) + sin4 * (-0.20 * SIN_63));

    // The side of 0° on which the mean lies decides whether the turn from 275° is the short one;
    // on the far side the exponential is below 1e-22, that is nothing.
    let in_first_quarter =
        cos1.below(zero).choose(zero, mean_b.below(zero).choose(zero, zero.all(1.0)));
    let turned_cos = cos1 * COS_275 + sin1 * SIN_275;
    let turned_sin = sin1 * COS_275 - cos1 * SIN_275;
    let near = turned_cos.at_least(FAR_COS);
    let tan_half = turned_sin / (near + 1.0);
    let tan_quarter = tan_half / ((tan_half * tan_half + 1.0).sqrt() + 1.0);
    let angle = tan_quarter * (tan_quarter * tan_quarter).polynomial(&ATAN_OVER_X);
    let turns = angle * (4.0 * DEGREES_IN_RADIAN / 25.0);
    let bell = squared_5(((turns * turns) * (1.0 / 32.0)).polynomial(&EXP_MINUS));
    let nothing = turned_cos.below(zero.all(FAR_COS));
    let bell = nothing.choose(zero, bell) * (zero.all(1.0) - in_first_quarter);
    let twist = bell * (60.0 / DEGREES_IN_RADIAN);
    let sine = twist * (twist * twist).polynomial(&SIN_OVER_X);
    let rotation = share_of_25(c) * sine * -2.0;

    let dl = l2 - l1;
    let from_mid = (l1 + l2) * 0.5 - 50.0;
    let squared = from_mid * from_mid;
    let root = (squared + 20.0).sqrt();
    let l = dl * root / (root + squared * 0.015);
    let chroma = (c2 - c1) / (c * 0.045 + 1.0);
    let hue = d_hue / (c * t * 0.015 + 1.0);
    (l * l + chroma * chroma + hue * hue + rotation * chroma * hue).at_least(0.0).sqrt()
}

#[inline(always)]
fn length<S: Simd>(a: Lanes<S>, b: Lanes<S>) -> Lanes<S> {
    (a * a + b * b).sqrt()
}

/// √(C⁷/(C⁷ + 25⁷)).
#[inline(always)]
fn share_of_25<S: Simd>(c: Lanes<S>) -> Lanes<S> {
    let c3 = c * c * c;
    let c7 = c3 * c3 * c;
    (c7 / (c7 + POW25_7)).sqrt()
}

#[inline(always)]
fn squared_5<S: Simd>(v: Lanes<S>) -> Lanes<S> {
    let v2 = v * v;
    let v4 = v2 * v2;
    let v8 = v4 * v4;
    let v16 = v8 * v8;
    v16 * v16
}

const DEGREES_IN_RADIAN: f64 = 180.0 / std::f64::consts::PI;
const COS_30: f64 = 0.866_025_403_784_438_6;
const SIN_30: f64 = 0.5;
const COS_6: f64 = 0.994_521_895_368_273_3;
const SIN_6: f64 = 0.104_528_463_267_653_47;
const COS_63: f64 = 0.453_990_499_739_546_8;
const SIN_63: f64 = 0.891_006_524_188_367_9;
const COS_275: f64 = 0.087_155_742_747_658_17;
const SIN_275: f64 = -0.996_194_698_091_745_5;

/// Beyond this cosine of the turn from 275° (134°) the exponential is below 3e-13: nothing. It
/// also bounds the arguments of the polynomials.
const FAR_COS: f64 = -0.7;

/// atan(x)/x in powers of x², for x² up to 0.4425 (the tangent of a quarter of 134.4°).
const ATAN_OVER_X: [f64; 13] = [
    0.999_999_999_999_997_3,
    -0.333_333_333_331_278_1,
    0.199_999_999_738_325_3,
    -0.142_857_129_700_502_66,
    0.111_110_765_420_130_43,
    -0.090_903_646_445_367_17,
    0.076_867_512_432_730_43,
    -0.066_281_558_348_509_78,
    0.056_959_426_139_433_6,
    -0.046_231_841_188_321_395,
    0.031_916_169_966_914_52,
    -0.015_749_455_703_989_602,
    0.003_956_985_066_865_764,
];

/// exp(−x) in powers of x, for x from 0 to 0.95.
const EXP_MINUS: [f64; 11] = [
    0.999_999_999_999_995_6,
    -0.999_999_999_998_874_6,
    0.499_999_999_952_531_9,
    -0.166_666_665_884_694_02,
    0.041_666_660_048_724_72,
    -0.008_333_300_585_252_57,
    0.001_388_787_534_814_735_4,
    -0.000_198_210_218_335_530_57,
    0.000_024_539_445_521_041_108,
    -0.000_002_541_304_837_463_781,
    0.000_000_172_182_151_239_127_6,
];

/// sin(x)/x in powers of x², Taylor's series, for x up to π/3: error below 1e-14.
const SIN_OVER_X: [f64; 8] = [
    1.0,
    -1.0 / 6.0,
    1.0 / 120.0,
    -1.0 / 5040.0,
    1.0 / 362_880.0,
    -1.0 / 39_916_800.0,
    1.0 / 6_227_020_800.0,
    -1.0 / 1_307_674_368_000.0,
];
