//! Predictions as colours under a lamp.

use super::answer::{Predicted, Spread};
use super::sample::SampleSet;
use crate::colour::{Lab, delta_e_2000};
use crate::spectrum::{Illuminant, Observer, Spectrum, weights};

/// One predicted sample as it looks.
#[derive(Debug, Clone, PartialEq)]
pub struct ViewedRow {
    /// Its name.
    pub id: String,
    /// The reading it would give.
    pub reflectance: Spectrum,
    /// Its colour.
    pub lab: Lab,
    /// ΔE00 to its reading, where it has one.
    pub delta_e_2000: Option<f64>,
}

/// Predictions of a set as they look.
#[derive(Debug, Clone, PartialEq)]
pub struct Viewed {
    /// Lamp and observer in words: `D65/10°`.
    pub viewing: String,
    /// One a sample, in order.
    pub rows: Vec<ViewedRow>,
    /// ΔE00 of those that were read.
    pub spread: Option<Spread>,
}

impl Viewed {
    /// Predictions of the samples of `set`, in its order, under a lamp for an observer.
    #[must_use]
    pub fn of(
        set: &SampleSet,
        predicted: &[Predicted],
        lamp: &Illuminant,
        observer: Observer,
    ) -> Self {
        let eye = weights(lamp, observer);
        let colour = |r: &Spectrum| Lab::from_xyz(eye.xyz(r), eye.white());
        let rows: Vec<ViewedRow> = predicted
            .iter()
            .zip(&set.samples)
            .map(|(predicted, sample)| {
                let lab = colour(&predicted.reflectance);
                ViewedRow {
                    id: predicted.id.clone(),
                    reflectance: predicted.reflectance,
                    lab,
                    delta_e_2000: sample.reading.as_ref().map(|r| delta_e_2000(colour(r), lab)),
                }
            })
            .collect();
        let values: Vec<f64> = rows.iter().filter_map(|row| row.delta_e_2000).collect();
        let degrees = match observer {
            Observer::Cie1931_2deg => "2°",
            Observer::Cie1964_10deg => "10°",
        };
        Self { viewing: format!("{lamp}/{degrees}"), rows, spread: Spread::of(&values) }
    }
}
