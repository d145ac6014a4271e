//! Readings that cannot be: refused before anything is fitted to them.

use thiserror::Error;

use super::drawdown::{Conditions, Drawdown, Known};
use crate::optics::Geometry;
use crate::spectrum::{BANDS, wavelength_nm};

/// A reading is off when it is beyond its limit by this many standard deviations.
const DEVIATIONS: f64 = 4.0;
/// Two grounds differ enough to tell the order of what lies over them.
const GROUNDS_APART: f64 = 0.05;

/// Why drawdowns were refused. Places count from 0.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Impossible {
    /// Nothing was read.
    #[error("there is no reading")]
    NoReading,
    /// A film holds none of the colorant.
    #[error("drawdown {drawdown}: none of the colorant is in it")]
    NoColorant {
        /// Place of the drawdown.
        drawdown: usize,
    },
    /// A concentration or film that is negative or no number, or an other colorant not in the list.
    #[error("drawdown {drawdown}: amounts and film must be positive numbers of known colorants")]
    Film {
        /// Place of the drawdown.
        drawdown: usize,
    },
    /// A value that is no number.
    #[error("drawdown {drawdown}, reading {reading}: no number at {nm} nm")]
    NotANumber {
        /// Place of the drawdown.
        drawdown: usize,
        /// Place of the reading in it.
        reading: usize,
        /// Wavelength, nm.
        nm: f64,
    },
    /// More light back than fell on it: fluorescence, percent read as fractions, or a bad
    /// calibration.
    #[error("drawdown {drawdown}, reading {reading}: reflectance {value} at {nm} nm is above 1")]
    AboveOne {
        /// Place of the drawdown.
        drawdown: usize,
        /// Place of the reading in it.
        reading: usize,
        /// Wavelength, nm.
        nm: f64,
        /// What was read.
        value: f64,
    },
    /// Less than nothing, or less than the surface alone returns in the stated geometry.
    #[error(
        "drawdown {drawdown}, reading {reading}: reflectance {value} at {nm} nm is below {least}, \
         the least this geometry can give"
    )]
    BelowSurface {
        /// Place of the drawdown.
        drawdown: usize,
        /// Place of the reading in it.
        reading: usize,
        /// Wavelength, nm.
        nm: f64,
        /// What was read.
        value: f64,
        /// The least possible.
        least: f64,
    },
    /// One film darker over the lighter ground, on the whole; the band where it is worst.
    #[error(
        "drawdown {drawdown}: at {nm} nm it reads {over_light} over the lighter ground and \
         {over_dark} over the darker one: are the two exchanged?"
    )]
    Exchanged {
        /// Place of the drawdown.
        drawdown: usize,
        /// Wavelength, nm.
        nm: f64,
        /// Reading over the lighter ground.
        over_light: f64,
        /// Reading over the darker ground.
        over_dark: f64,
    },
}

/// The first thing about these drawdowns that cannot be.
pub(super) fn check(
    drawdowns: &[Drawdown],
    known: &[Known],
    conditions: &Conditions,
) -> Result<(), Impossible> {
    if drawdowns.iter().all(|d| d.readings.is_empty()) {
        return Err(Impossible::NoReading);
    }
    for (place, drawdown) in drawdowns.iter().enumerate() {
        check_film(place, drawdown, known)?;
        for reading in 0..drawdown.readings.len() {
            check_values(place, drawdown, reading, conditions)?;
        }
        check_order(place, drawdown, conditions)?;
    }
    Ok(())
}

fn check_film(place: usize, drawdown: &Drawdown, known: &[Known]) -> Result<(), Impossible> {
    let film = &drawdown.film;
    let sound = film.film_mm > 0.0
        && film.resin_volume_fraction >= 0.0
        && film.resin_volume_fraction <= 1.0
        && film.sought_g_per_ml.is_finite()
        && film.sought_g_per_ml >= 0.0
        && film
            .others_g_per_ml
            .iter()
            .all(|(which, c)| *which < known.len() && c.is_finite() && *c >= 0.0);
    if !sound {
        return Err(Impossible::Film { drawdown: place });
    }
    if film.sought_g_per_ml <= 0.0 {
        return Err(Impossible::NoColorant { drawdown: place });
    }
    Ok(())
}

fn check_values(
    place: usize,
    drawdown: &Drawdown,
    reading: usize,
    conditions: &Conditions,
) -> Result<(), Impossible> {
    let seen = &drawdown.readings[reading];
    for band in 0..BANDS {
        let (value, nm) = (seen.seen[band], wavelength_nm(band));
        if !value.is_finite() || !seen.ground[band].is_finite() {
            return Err(Impossible::NotANumber { drawdown: place, reading, nm });
        }
        let slack = DEVIATIONS * conditions.noise.of(value);
        if value > 1.0 + slack {
            return Err(Impossible::AboveOne { drawdown: place, reading, nm, value });
        }
        let least = seen.geometry.specular_share() * conditions.surface.k1;
        if value < least - slack {
            return Err(Impossible::BelowSurface { drawdown: place, reading, nm, value, least });
        }
    }
    Ok(())
}

/// Over all bands together, because a film that hides reads alike over both grounds but for noise.
fn check_order(
    place: usize,
    drawdown: &Drawdown,
    conditions: &Conditions,
) -> Result<(), Impossible> {
    let body = |reading: usize, band: usize| {
        let seen = &drawdown.readings[reading];
        seen.seen[band] - seen.geometry.specular_share() * conditions.surface.k1
    };
    let stated = |reading: usize| drawdown.readings[reading].geometry != Geometry::Unknown;
    for light in 0..drawdown.readings.len() {
        for dark in 0..drawdown.readings.len() {
            if !(stated(light) && stated(dark)) {
                continue;
            }
            let (mut rise, mut variance, mut worst) = (0.0, 0.0, (0, f64::INFINITY));
            for band in 0..BANDS {
                let [over_light, over_dark] = [light, dark].map(|which| &drawdown.readings[which]);
                if over_light.ground[band] - over_dark.ground[band] < GROUNDS_APART {
                    continue;
                }
                let here = body(light, band) - body(dark, band);
                let noise = |value| conditions.noise.of(value) * conditions.noise.of(value);
                rise += here;
                variance += noise(over_light.seen[band]) + noise(over_dark.seen[band]);
                if here < worst.1 {
                    worst = (band, here);
                }
            }
            if rise < -DEVIATIONS * libm::sqrt(variance) {
                return Err(Impossible::Exchanged {
                    drawdown: place,
                    nm: wavelength_nm(worst.0),
                    over_light: drawdown.readings[light].seen[worst.0],
                    over_dark: drawdown.readings[dark].seen[worst.0],
                });
            }
        }
    }
    Ok(())
}
