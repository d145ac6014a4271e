//! A table of samples as plain values: what was mixed, over what, and what was read.

use crate::optics::Geometry;
use crate::spectrum::Spectrum;

/// What the amounts of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Quantities of ready colour (mL, g, drops: one unit throughout), spread on one area by one
    /// habit; the film is not known and its growth with the quantity is fitted.
    Quantity,
    /// Mass fractions of the mixed resin, in films of known thickness.
    Loading,
}

/// One sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// What it is called, for reports.
    pub id: String,
    /// Pigment (an index into [`SampleSet::pigments`]) and its amount, greater than zero.
    pub amounts: Vec<(usize, f64)>,
    /// Film thickness, mm; needed where amounts are loadings.
    pub film_mm: Option<f64>,
    /// What lies below: an index into [`SampleSet::substrates`].
    pub substrate: usize,
    /// How it was read, or is to be predicted.
    pub geometry: Geometry,
    /// Reflectance, 0–1, where it was read.
    pub reading: Option<Spectrum>,
}

impl Sample {
    /// Sum of its amounts.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.amounts.iter().map(|(_, amount)| amount).sum()
    }
}

/// A bare substrate.
#[derive(Debug, Clone, PartialEq)]
pub struct Substrate {
    /// Its name; may be empty where a table has only one.
    pub name: String,
    /// Its reading, bare.
    pub reflectance: Spectrum,
    /// How it was read.
    pub geometry: Geometry,
}

/// All samples of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleSet {
    /// What the amounts are.
    pub measure: Measure,
    /// Pigment names.
    pub pigments: Vec<String>,
    /// What samples lie on.
    pub substrates: Vec<Substrate>,
    /// The samples, painted ones only.
    pub samples: Vec<Sample>,
}

/// Why a set of samples cannot be fitted or predicted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum JointError {
    /// No sample with a reading.
    #[error("no sample has both amounts and a reading: there is nothing to fit")]
    NothingToFit,
    /// A pigment that no sample with a reading holds.
    #[error("no sample with a reading holds {0}: nothing can be learnt about it")]
    PigmentUnseen(String),
    /// A pigment that the fit does not know.
    #[error("the fit knows no pigment {0}")]
    PigmentUnknown(String),
    /// Quantities against a fit of loadings, or the other way round.
    #[error("the fit is of {fit}, the table gives {table}")]
    OtherMeasure {
        /// What the fit was made of.
        fit: &'static str,
        /// What the table holds.
        table: &'static str,
    },
    /// A number that cannot be.
    #[error("{id}: {what}")]
    Impossible {
        /// The sample.
        id: String,
        /// What is wrong with it.
        what: &'static str,
    },
    /// Fewer groups than folds.
    #[error("{groups} kinds of mixture cannot be held out in {folds} folds")]
    TooFewGroups {
        /// Kinds of mixture in the table.
        groups: usize,
        /// Folds asked for.
        folds: usize,
    },
    /// The equations had no solution.
    #[error("the fit found no step that improves on its start")]
    NoStep,
}

impl Measure {
    /// As a person would call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Quantity => "quantities",
            Self::Loading => "loadings",
        }
    }
}

/// Whether every sample can be computed with.
pub(super) fn check(set: &SampleSet) -> Result<(), JointError> {
    for sample in &set.samples {
        let wrong = |what| Err(JointError::Impossible { id: sample.id.clone(), what });
        if sample.amounts.is_empty() {
            return wrong("a sample needs at least one amount");
        }
        if sample.amounts.iter().any(|(pigment, _)| *pigment >= set.pigments.len()) {
            return wrong("an amount of a pigment that is not in the table");
        }
        if sample.amounts.iter().any(|(_, amount)| !(amount.is_finite() && *amount > 0.0)) {
            return wrong("amounts must be greater than zero");
        }
        if sample.substrate >= set.substrates.len() {
            return wrong("a substrate that is not in the table");
        }
        if set.measure == Measure::Loading {
            match sample.film_mm {
                Some(film) if film.is_finite() && film > 0.0 => {}
                Some(_) => return wrong("the film must be greater than zero"),
                None => return wrong("loadings need the film thickness (film_mm)"),
            }
            if sample.total() > 1.0 {
                return wrong("loadings are mass fractions, together at most 1");
            }
        }
        if let Some(reading) = &sample.reading
            && !reading.iter().all(|r| r.is_finite() && (-0.05..=2.0).contains(r))
        {
            return wrong("reflectance must lie between 0 and 1");
        }
    }
    Ok(())
}
