//! One sample in one band: its reading from k, s and the law, and how the reading moves with each.

use crate::optics::film_slopes;

use super::law::{Acting, Law};
use super::sample::{Sample, Substrate};

/// The least reflectance that is compared: below it an instrument reads its own noise, and the cube
/// root is too steep.
pub(super) const LEAST: f64 = 1e-5;

/// A sample made ready for its bands.
#[derive(Debug, Clone)]
pub(super) struct Ready<'a> {
    /// The sample's pigments, in the order of its amounts.
    pub sample: &'a Sample,
    substrate: &'a Substrate,
    law: &'a Law,
    /// What the law makes of it.
    pub acting: Acting,
}

/// A predicted reading and its slopes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Read {
    /// The reading.
    pub reflectance: f64,
    /// By the film's absorption.
    pub by_k: f64,
    /// By the film's scattering.
    pub by_s: f64,
    /// By the face's level, which here adds light and keeps as much out.
    pub by_level: f64,
    /// By the face's k2.
    pub by_k2: f64,
}

impl<'a> Ready<'a> {
    pub(super) fn new(sample: &'a Sample, substrates: &'a [Substrate], law: &'a Law) -> Self {
        Self { sample, substrate: &substrates[sample.substrate], law, acting: law.acting(sample) }
    }

    /// The film's absorption and scattering from each pigment's in this band.
    pub(super) fn mixed(&self, k: impl Fn(usize) -> f64, s: impl Fn(usize) -> f64) -> (f64, f64) {
        let mut sums = (0.0, 0.0);
        for ((pigment, _), amount) in self.sample.amounts.iter().zip(&self.acting.amounts) {
            sums.0 += amount * k(*pigment);
            sums.1 += amount * s(*pigment);
        }
        sums
    }

    /// The reading in a band of a film of this absorption and scattering.
    pub(super) fn read(&self, band: usize, k: f64, s: f64) -> Read {
        let Acting { level, k1, k2, .. } = self.acting;
        let bare = self.substrate.reflectance[band];
        let below = self.law.below(&self.acting, bare, self.substrate.geometry);
        let film = film_slopes(k, s, 1.0, below);
        let inside = 1.0 - k2 * film.reflectance;
        let body = (1.0 - k2) * film.reflectance / inside;
        let body_by_film = (1.0 - k2) / (inside * inside);
        let through = 1.0 - k1;
        // With the face's k1 left out of the substrate, below = R/((1−k2) + k2·R).
        let below_by_k2 = {
            let from = (1.0 - k2) + k2 * bare;
            bare * (1.0 - bare) / (from * from)
        };
        let body_by_k2 = film.reflectance * (film.reflectance - 1.0) / (inside * inside);
        Read {
            reflectance: level + through * body,
            by_k: through * body_by_film * film.by_k,
            by_s: through * body_by_film * film.by_s,
            by_level: 1.0 - body,
            by_k2: through * (body_by_k2 + body_by_film * film.by_substrate * below_by_k2),
        }
    }
}

/// The scale on which readings are compared: near equal steps for an eye, and for an instrument's
/// error (at R = 0.03 an error of 0.002 is 7 % of K/S but 2 % of ∛R).
pub(super) fn scale(reflectance: f64) -> f64 {
    libm::cbrt(reflectance.max(LEAST))
}

/// ∂ scale / ∂ reflectance, at a value of the scale.
pub(super) fn scale_slope(scaled: f64) -> f64 {
    1.0 / (3.0 * scaled * scaled)
}
