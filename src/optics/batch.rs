//! Many bands at once: the film formula of [`super::film`] in vector registers.
//!
//! Only + − × ÷ √ and an exponential of our own, no fused multiply, so that every instruction set
//! gives the same bits. The largest difference from [`super::film_reflectance`] is below 1e-14 (see
//! the test).

use pulp::{Arch, Simd, WithSimd};

/// Reflectance of films in many bands: `out[i]` from `k[i]`, `s[i]` (mm⁻¹) and `substrate[i]`, all
/// under one `film_mm`, finite. Ranges as [`super::film_reflectance`]. Fills the shortest length of
/// the slices.
pub fn film_reflectance_batch(
    k: &[f64],
    s: &[f64],
    film_mm: f64,
    substrate: &[f64],
    out: &mut [f64],
) {
    Arch::new().dispatch(Films { k, s, film: OneFilm(film_mm), substrate, out });
}

/// As [`film_reflectance_batch`] with a film for each entry.
pub fn film_reflectance_batch_at(
    k: &[f64],
    s: &[f64],
    film_mm: &[f64],
    substrate: &[f64],
    out: &mut [f64],
) {
    Arch::new().dispatch(Films { k, s, film: EachFilm(film_mm), substrate, out });
}

/// The film of an entry.
trait FilmOf: Copy {
    /// Entries that have one.
    fn count(self) -> usize;
    fn film_mm(self, i: usize) -> f64;
}

#[derive(Clone, Copy)]
struct OneFilm(f64);

impl FilmOf for OneFilm {
    #[inline(always)]
    fn count(self) -> usize {
        usize::MAX
    }
    #[inline(always)]
    fn film_mm(self, _: usize) -> f64 {
        self.0
    }
}

#[derive(Clone, Copy)]
struct EachFilm<'a>(&'a [f64]);

impl FilmOf for EachFilm<'_> {
    #[inline(always)]
    fn count(self) -> usize {
        self.0.len()
    }
    #[inline(always)]
    fn film_mm(self, i: usize) -> f64 {
        self.0[i]
    }
}

/// The work, as a struct because a closure is not inlined where the wider registers are enabled.
struct Films<'a, F> {
    k: &'a [f64],
    s: &'a [f64],
    film: F,
    substrate: &'a [f64],
    out: &'a mut [f64],
}

impl<F: FilmOf> WithSimd for Films<'_, F> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let Films { k, s, film, substrate, out } = self;
        let n = out.len().min(k.len()).min(s.len()).min(substrate.len()).min(film.count());
        let (k, s, substrate, out) = (&k[..n], &s[..n], &substrate[..n], &mut out[..n]);
        for i in 0..n {
            let x = film.film_mm(i);
            out[i] = reflectance(k[i] * x, s[i] * x, substrate[i]);
        }
    }
}

/// The formula of [`super::film`] without branches. Two quotients are brought over common
/// denominators: with E = e^(−2d), B = 2d·E/(1−E), a = S+K+d and u = K+S(1−Rg)+d,
/// R = (S·u·(1−E) + 2·Rg·d·E·a) / (a·(u·(1−E) + 2d·E)).
#[inline(always)]
fn reflectance(k: f64, s: f64, g: f64) -> f64 {
    // A film of nothing makes both 0/0 and the substrate; a hair of absorption moves R by 4e-30.
    let k = k + 1e-30;
    let d = (k * (k + 2.0 * s)).sqrt();
    let lost = -expm1_of_negative(-2.0 * d); // 1 − E
    let left = 2.0 * d * (1.0 - lost); // 2d·E
    let a = s + k + d;
    let u = k + s * (1.0 - g) + d;
    (s * u * lost + g * left * a) / (a * (u * lost + left))
}

/// Reflectance and slopes of one film as [`super::film_slopes`], without branches, for loops that a
/// compiler turns into vectors; arguments as there.
#[inline(always)]
pub(crate) fn film_slopes_lane(k: f64, s: f64, film_mm: f64, substrate: f64) -> Lane {
    let (k, s, g) = (k * film_mm + 1e-30, s * film_mm, substrate);
    let d = (k * (k + 2.0 * s)).sqrt();
    let lost = -expm1_of_negative(-2.0 * d);
    let b = 2.0 * d * (1.0 - lost) / lost;
    let a = s + k + d;
    let u = k + s * (1.0 - g) + d;
    let below = 1.0 / (u + b);
    let reflectance = (s / a * u + g * b) * below;
    let w = d * d;
    let series = 1.0 / 3.0
        + w * (-2.0 / 45.0 + w * (2.0 / 315.0 + w * (-4.0 / 4725.0 + w * (2.0 / 18_711.0))));
    let closed = ((d + b) - b * (b + 2.0 * d)) / (2.0 * w);
    let by_square = if w < 0.01 { series } else { closed };
    let apart = g - reflectance;
    let by_k = (apart * by_square * 2.0 * (k + s) - (g + reflectance)) * below;
    let by_s = ((1.0 - g) * (1.0 - reflectance) + apart * by_square * 2.0 * k) * below;
    Lane { reflectance, by_k: by_k * film_mm, by_s: by_s * film_mm }
}

/// What [`film_slopes_lane`] gives; names as in [`super::FilmSlopes`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lane {
    pub(crate) reflectance: f64,
    pub(crate) by_k: f64,
    pub(crate) by_s: f64,
}

/// eˣ − 1 for x ≤ 0, to a few units in the last place. Below −700 it stays at its value there, −1.
#[inline(always)]
fn expm1_of_negative(x: f64) -> f64 {
    const LOG2_E: f64 = std::f64::consts::LOG2_E;
    // ln 2 in two parts, the first exact under multiplication by small integers (fdlibm).
    const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    // Adding 1.5·2⁵² rounds to an integer, and leaves it in the low bits.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    let x = if x > -700.0 { x } else { -700.0 };
    let shifted = x * LOG2_E + ROUND;
    let whole = shifted - ROUND;
    let r = (x - whole * LN2_HIGH) - whole * LN2_LOW; // |r| ≤ ln2/2
    // Taylor series of (eʳ − 1 − r)/r², to r¹¹ in the whole: remainder below 2^-57.
    let p = 1.0 / 479_001_600.0;
    let p = p * r + 1.0 / 39_916_800.0;
    let p = p * r + 1.0 / 3_628_800.0;
    let p = p * r + 1.0 / 362_880.0;
    let p = p * r + 1.0 / 40_320.0;
    let p = p * r + 1.0 / 5_040.0;
    let p = p * r + 1.0 / 720.0;
    let p = p * r + 1.0 / 120.0;
    let p = p * r + 1.0 / 24.0;
    let p = p * r + 1.0 / 6.0;
    let p = p * r + 0.5;
    let grown = r + r * r * p;
    let power = f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52); // 2^whole
    power * grown + (power - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::{film_reflectance, film_slopes};
    use proptest::prelude::*;

    #[test]
    fn the_exponential_is_close_everywhere() {
        let mut worst = 0.0_f64;
        for step in 0..200_000_u32 {
            let x = -libm::pow(10.0, f64::from(step) / 200_000.0 * 22.0 - 19.0);
            let want = libm::expm1(x);
            worst = worst.max(((expm1_of_negative(x) - want) / want).abs());
        }
        assert!(worst < 1e-15, "relative error {worst:e}");
    }

    #[test]
    fn lengths_that_differ_fill_the_shortest() {
        let mut out = [9.0; 3];
        film_reflectance_batch(&[1.0, 1.0], &[1.0; 4], 0.1, &[0.5; 4], &mut out);
        assert_eq!(out[2], 9.0, "untouched");
        film_reflectance_batch(&[], &[], 0.1, &[], &mut []);
    }

    #[test]
    fn edges_agree_with_the_scalar() {
        let cases = [
            (0.0, 0.0, 0.4),
            (0.0, 0.0, 1.0),
            (0.0, 5.0, 1.0),
            (0.0, 1e-12, 0.3),
            (1e-14, 0.0, 0.7),
            (900.0, 0.0, 1.0),
            (0.0, 1e8, 0.0),
            (1e6, 1e6, 0.5),
            (1e-9, 1e9, 0.5),
        ];
        for (k, s, g) in cases {
            let mut out = [0.0];
            film_reflectance_batch(&[k], &[s], 1.0, &[g], &mut out);
            let want = film_reflectance(k, s, 1.0, g);
            assert!((out[0] - want).abs() < 1e-14, "{k} {s} {g}: {} against {want}", out[0]);
        }
    }

    #[test]
    fn slopes_without_branches_at_the_edges() {
        for (k, s, g) in [(0.0, 0.0, 0.4), (0.0, 5.0, 1.0), (900.0, 0.0, 1.0), (1e-14, 0.0, 0.7)] {
            let (got, want) = (film_slopes_lane(k, s, 1.0, g), film_slopes(k, s, 1.0, g));
            assert!((got.reflectance - want.reflectance).abs() < 1e-12, "{k} {s} {g}: {got:?}");
            assert!((got.by_k - want.by_k).abs() < 1e-9, "{k} {s} {g}: {got:?}");
            assert!((got.by_s - want.by_s).abs() < 1e-9, "{k} {s} {g}: {got:?}");
        }
    }

    proptest! {
        #[test]
        fn slopes_without_branches_agree_with_the_scalar(
            k in -9.0..4.0_f64, s in -9.0..4.0_f64, g in 0.0..=1.0_f64, x in 0.01..6.0_f64,
        ) {
            let (k, s) = (libm::pow(10.0, k), libm::pow(10.0, s));
            let (got, want) = (film_slopes_lane(k, s, x, g), film_slopes(k, s, x, g));
            let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * (1.0 + b.abs());
            prop_assert!(near(got.reflectance, want.reflectance), "{:?} {:?}", got, want);
            prop_assert!(near(got.by_k, want.by_k) && near(got.by_s, want.by_s), "{:?} {:?}", got, want);
        }

        #[test]
        fn agrees_with_the_scalar(
            rows in prop::collection::vec(
                (-12.0..6.0_f64, -12.0..6.0_f64, 0.0..=1.0_f64, 0.0..3.0_f64), 1..40),
        ) {
            let k: Vec<f64> = rows.iter().map(|r| libm::pow(10.0, r.0)).collect();
            let s: Vec<f64> = rows.iter().map(|r| libm::pow(10.0, r.1)).collect();
            let g: Vec<f64> = rows.iter().map(|r| r.2).collect();
            let x: Vec<f64> = rows.iter().map(|r| r.3).collect();
            let mut out = vec![0.0; rows.len()];
            film_reflectance_batch_at(&k, &s, &x, &g, &mut out);
            for i in 0..rows.len() {
                let want = film_reflectance(k[i], s[i], x[i], g[i]);
                prop_assert!((out[i] - want).abs() < 1e-14, "{} against {}", out[i], want);
            }
            let mut same = vec![0.0; rows.len()];
            film_reflectance_batch(&k, &s, 1.0, &g, &mut same);
            film_reflectance_batch_at(&k, &s, &vec![1.0; rows.len()], &g, &mut out);
            prop_assert_eq!(same, out);
        }
    }
}
