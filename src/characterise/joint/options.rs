//! What a joint fit takes for granted, with the values that were found to carry over to mixtures
//! never seen.

use crate::spectrum::{BANDS, Illuminant, Observer, weights};

/// Settings of a joint fit. Deviations are those expected before anything is read; a fit pays for
/// straying from an expectation as it pays for readings off by [`Self::noise`].
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Expected deviation of a reading's cube root from the model, 0.016 by default.
    pub noise: f64,
    /// Expected bend of ln k from band to band (second difference).
    pub bend_of_k: f64,
    /// Expected step of ln s from band to band: scattering has no narrow bands.
    pub step_of_s: f64,
    /// Expected distance of ln k and ln s from a film of middling strength: wide, only there so
    /// that what no reading tells stays finite.
    pub width: f64,
    /// Expected deviation that all bands of a sample share, of its own face, film and dose.
    pub common: f64,
    /// Expected size of each pigment's factor of strength where it is alone (natural logarithm).
    pub alone: f64,
    /// Expected spread of the pigments' face levels about one another (natural logarithm).
    pub level: f64,
    /// Expected size of the factors over the total quantity (natural logarithm).
    pub factor: f64,
    /// Expected distance of k2 from its first value.
    pub k2: f64,
    /// Expected distance of the spreading exponent from its first value.
    pub spread: f64,
    /// Weight of a sample of a single pigment beside a mixture: a ladder of one pigment repeats one
    /// fact many times over, with one error.
    pub single_weight: f64,
    /// A sample whose root-mean-square deviation is this large counts half (Cauchy's loss on whole
    /// samples: a wrongly dosed sample is wrong in every band).
    pub outlier: f64,
    /// Share of a band's weight that follows what an eye sees there (the rest is even).
    pub eye: f64,
    /// Refractive index of a smooth face; `None` for a matt face, which is fitted.
    pub index: Option<f64>,
    /// Most rounds.
    pub rounds: usize,
}

impl Options {
    /// For quantities of ready colour spread on a ground: a matt face.
    #[must_use]
    pub const fn for_paint() -> Self {
        Self {
            noise: 0.0158,
            bend_of_k: 0.25,
            step_of_s: 0.011,
            width: 1.6,
            common: 0.004,
            alone: 0.1,
            level: 0.05,
            factor: 0.15,
            k2: 0.3,
            spread: 1.0,
            single_weight: 0.1,
            outlier: 0.017,
            eye: 0.7,
            index: None,
            rounds: 60,
        }
    }

    /// For poured films of known thickness under a smooth face of this refractive index. Readings
    /// of such films are far better than those of spread paint, and drawdowns of one pigment are
    /// what most of them are.
    #[must_use]
    pub const fn for_films(index: f64) -> Self {
        Self {
            noise: 0.003,
            common: 0.0005,
            single_weight: 1.0,
            index: Some(index),
            ..Self::for_paint()
        }
    }

    /// Weight of each band, 1 on average.
    pub(super) fn band_weights(&self) -> [f64; BANDS] {
        let seen = weights(&Illuminant::D65, Observer::Cie1964_10deg);
        let mut all = [0.0; BANDS];
        for row in seen.rows() {
            for (weight, value) in all.iter_mut().zip(row) {
                *weight += value.abs();
            }
        }
        #[expect(clippy::cast_precision_loss, reason = "36 bands")]
        let mean = all.iter().sum::<f64>() / BANDS as f64;
        all.map(|weight| (1.0 - self.eye) + self.eye * weight / mean)
    }
}
