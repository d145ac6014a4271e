//! What a shop draws down and reads, and how far the readings can be trusted.

use crate::optics::{Geometry, Ks, Surface};
use crate::spectrum::{BANDS, Spectrum};

/// What a film is made of. Concentrations in g per mL of film come from
/// [`crate::optics::composition`].
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// Concentration of the colorant that is being characterised, g/mL.
    pub sought_g_per_ml: f64,
    /// Other colorants, by their place in the list of known ones, with their concentrations, g/mL.
    pub others_g_per_ml: Vec<(usize, f64)>,
    /// Volume of resin over volume of film, 0–1.
    pub resin_volume_fraction: f64,
    /// Dry film, mm; infinity for one that is known to hide.
    pub film_mm: f64,
}

/// One reading of a film over a ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Internal reflectance of the ground: a bare reading through [`Surface::internal_spectrum`].
    pub ground: Spectrum,
    /// Reflectance as read, 0–1.
    pub seen: Spectrum,
    /// Whether the surface's own reflection is in it.
    pub geometry: Geometry,
}

/// One film with its readings: a drawdown over a black-and-white chart is one film read twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawdown {
    /// The film.
    pub film: Film,
    /// Its readings, at least one.
    pub readings: Vec<Reading>,
}

/// How far a reading can be off, as standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// Of every reflectance, however small.
    pub absolute: f64,
    /// Of a reflectance, as a share of it.
    pub relative: f64,
    /// Of a stated film, as a share of it; the same in every band and for every ground under it.
    pub film: f64,
}

impl Noise {
    /// A hand-held spectrophotometer, the mean of a few readings, on drawdowns by a bar: 0.0005 and
    /// 0.1 % of the reading, 2 % of the film. Common practice, no source.
    pub const SPECTROPHOTOMETER: Self = Self { absolute: 0.0005, relative: 0.001, film: 0.02 };

    /// A reflectance put together from the colour in a photograph with a grey card: 0.005 and 3 %,
    /// the film 5 %. Common practice, no source.
    pub const PHOTOGRAPH: Self = Self { absolute: 0.005, relative: 0.03, film: 0.05 };

    /// Standard deviation of a reflectance.
    #[must_use]
    pub fn of(&self, reflectance: f64) -> f64 {
        self.absolute + self.relative * reflectance.abs()
    }
}

/// What is common to a set of drawdowns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// The films' face to air.
    pub surface: Surface,
    /// The clear resin, mm⁻¹.
    pub binder: Ks,
    /// Doubt of the readings.
    pub noise: Noise,
}

/// Variances and covariance of a colorant's k and s in one band.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Covariance {
    /// Of k.
    pub kk: f64,
    /// Of k with s.
    pub ks: f64,
    /// Of s.
    pub ss: f64,
}

/// A colorant whose coefficients are known, with their doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Coefficients at unit concentration, mm⁻¹·mL/g.
    pub unit: Ks,
    /// Doubt of each band by itself, (mm⁻¹·mL/g)².
    pub covariance: [Covariance; BANDS],
    /// Doubt of the whole: standard deviation of a common factor of all coefficients, as a share.
    /// An error of the film they were read from is of this kind.
    pub scale: f64,
}

impl Known {
    /// Taken as exact.
    #[must_use]
    pub fn exact(unit: Ks) -> Self {
        Self { unit, covariance: [Covariance::default(); BANDS], scale: 0.0 }
    }
}
