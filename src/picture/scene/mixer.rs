//! Colours that mix, mix as amounts do: Kubelka–Munk, not light side by side.
//!
//! Per channel of linear RGB, with f(R) = (1 − R)²/2R, a mixture of shares wᵢ has f = Σ wᵢaᵢfᵢ / Σ wᵢaᵢ (single
//! constant Kubelka–Munk with tinting strengths; Kubelka and Munk 1931, Duncan 1940). The strengths aᵢ are asked
//! from the full spectral mixture once: they make each half-and-half mixture with a common partner exact.

/// Least and greatest reflectance that f is taken of.
const DARKEST: f64 = 0.002;
const LIGHTEST: f64 = 0.985;

fn ratio(reflectance: f64) -> f64 {
    let r = reflectance.clamp(DARKEST, LIGHTEST);
    (1.0 - r) * (1.0 - r) / (2.0 * r)
}

/// Strength of every colour in a mixture, by channel, from its half-and-half mixture with one partner.
///
/// `pure` is the linear RGB of each colour, `mix` that of a mixture of shares.
pub(crate) fn tinting_strengths(
    pure: &[[f64; 3]],
    mix: impl Fn(&[f64]) -> [f64; 3],
) -> Vec<[f32; 3]> {
    // The lightest colour is the partner: strengths show best in it.
    let light = |c: &[f64; 3]| c[0] + c[1] + c[2];
    let partner = (0..pure.len())
        .max_by(|a, b| match (pure.get(*a), pure.get(*b)) {
            (Some(a), Some(b)) => light(a).total_cmp(&light(b)),
            _ => core::cmp::Ordering::Equal,
        })
        .unwrap_or(0);
    let base = pure.get(partner).copied().unwrap_or([0.5; 3]);
    pure.iter()
        .enumerate()
        .map(|(index, colour)| {
            if index == partner {
                return [1.0; 3];
            }
            let mut shares = vec![0.0; pure.len()];
            for at in [index, partner] {
                if let Some(share) = shares.get_mut(at) {
                    *share = 0.5;
                }
            }
            let mixture = mix(&shares);
            let raw = [0, 1, 2].map(|i| {
                let (f0, f1, fm) = (ratio(base[i]), ratio(colour[i]), ratio(mixture[i]));
                // fm = (f0 + a·f1)/(1 + a); told well only where the two differ.
                let told = (f1 - f0).abs() > 0.02 * (f0 + f1);
                let a = (fm - f0) / (f1 - fm);
                (told && a.is_finite() && a > 0.0).then(|| a.clamp(1.0 / 64.0, 64.0))
            });
            let known: Vec<f64> = raw.iter().flatten().copied().collect();
            #[expect(clippy::cast_precision_loss, reason = "at most three")]
            let usual =
                if known.is_empty() { 1.0 } else { known.iter().sum::<f64>() / known.len() as f64 };
            #[expect(clippy::cast_possible_truncation, reason = "the picture is computed in f32")]
            raw.map(|a| a.unwrap_or(usual) as f32)
        })
        .collect()
}

/// Mixtures of one set of colours, ready for many pixels.
#[derive(Debug, Clone)]
pub(crate) struct Mixer {
    /// Per colour and channel: strength, and strength × f.
    terms: Vec<([f32; 3], [f32; 3])>,
    /// Each colour by itself.
    pure: Vec<[f32; 3]>,
}

impl Mixer {
    pub(crate) fn new(pure: &[[f32; 3]], strength: &[[f32; 3]]) -> Self {
        let terms = pure
            .iter()
            .zip(strength)
            .map(|(rgb, a)| {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "the picture is computed in f32"
                )]
                let f = rgb.map(|v| ratio(f64::from(v)) as f32);
                (*a, [a[0] * f[0], a[1] * f[1], a[2] * f[2]])
            })
            .collect();
        Self { terms, pure: pure.to_vec() }
    }

    /// Linear RGB of colours that lie side by side, finer than eyes see. Shares below nothing count as nothing.
    #[inline(always)]
    pub(crate) fn side_by_side(&self, shares: impl Iterator<Item = f32>) -> [f32; 3] {
        let (mut all, mut sum) = (1e-9_f32, [0.0_f32; 3]);
        for (rgb, share) in self.pure.iter().zip(shares) {
            let share = if share > 0.0 { share } else { 0.0 };
            all += share;
            for i in 0..3 {
                sum[i] += share * rgb[i];
            }
        }
        sum.map(|s| s / all)
    }

    /// Linear RGB of a mixture. Shares below nothing count as nothing.
    #[inline(always)]
    pub(crate) fn rgb(&self, shares: impl Iterator<Item = f32>) -> [f32; 3] {
        let mut under = [1e-9_f32; 3];
        let mut over = [0.0_f32; 3];
        for ((a, af), share) in self.terms.iter().zip(shares) {
            let share = if share > 0.0 { share } else { 0.0 };
            for i in 0..3 {
                under[i] += a[i] * share;
                over[i] += af[i] * share;
            }
        }
        [0, 1, 2].map(|i| {
            let f = over[i] / under[i];
            1.0 + f - (f * f + 2.0 * f).sqrt()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A stand-in for a spectral mixture: Kubelka–Munk in three bands with K and S of each colour.
    fn mix(shares: &[f64]) -> [f64; 3] {
        let k = [[0.02, 0.03, 0.05], [9.0, 8.0, 7.5], [0.9, 0.5, 0.1]];
        let s = [[4.0, 4.0, 4.0], [0.5, 0.5, 0.5], [1.0, 1.1, 1.2]];
        [0, 1, 2].map(|i| {
            let sum = |x: &[[f64; 3]; 3]| -> f64 { (0..3).map(|c| shares[c] * x[c][i]).sum() };
            let f = sum(&k) / sum(&s);
            1.0 + f - (f * f + 2.0 * f).sqrt()
        })
    }

    #[test]
    fn strengths_carry_two_constant_mixtures() {
        let pure = [mix(&[1.0, 0.0, 0.0]), mix(&[0.0, 1.0, 0.0]), mix(&[0.0, 0.0, 1.0])];
        let strength = tinting_strengths(&pure, mix);
        // Black in white scatters an eighth as much: that is its strength.
        assert!((f64::from(strength[1][0]) - 0.125).abs() < 0.01, "{strength:?}");
        #[expect(clippy::cast_possible_truncation, reason = "test values")]
        let single = |rgb: &[f64; 3]| rgb.map(|v| v as f32);
        let mixer = Mixer::new(&pure.each_ref().map(single), &strength);
        for shares in [[0.9, 0.1, 0.0], [0.6, 0.1, 0.3], [0.2, 0.05, 0.75], [0.3, 0.3, 0.4]] {
            let want = mix(&shares);
            #[expect(clippy::cast_possible_truncation, reason = "test values")]
            let got = mixer.rgb(shares.iter().map(|s| *s as f32));
            for i in 0..3 {
                assert!(
                    (f64::from(got[i]) - want[i]).abs() < 0.004,
                    "{shares:?}: {got:?} {want:?}"
                );
            }
        }
    }

    #[test]
    fn equal_colours_and_black_holes_stay_finite() {
        let pure = [[0.5; 3], [0.5; 3], [0.0; 3]];
        let strength = tinting_strengths(&pure, |_| [0.5; 3]);
        assert!(strength.iter().flatten().all(|v| v.is_finite() && *v > 0.0), "{strength:?}");
        let mixer = Mixer::new(&[[0.5; 3], [0.5; 3], [0.0; 3]], &strength);
        let rgb = mixer.rgb([0.0, 0.0, 0.0].into_iter());
        assert!(rgb.iter().all(|v| v.is_finite()), "{rgb:?}");
    }
}
