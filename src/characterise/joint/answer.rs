//! What a joint fit answers, and what it predicts.

use crate::colour::{Lab, delta_e_2000};
use crate::optics::Geometry;
use crate::spectrum::{Illuminant, Observer, Spectrum, weights};

use super::fit::{self, Solution, spectrum_of};
use super::law::Law;
use super::model::Ready;
use super::options::Options;
use super::sample::{JointError, Sample, SampleSet, Substrate, check};

/// Optical data of every pigment of a table, with what is needed to predict other mixtures.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct JointFit {
    /// Form of this record.
    pub version: u32,
    /// What all pigments share.
    pub law: Law,
    /// The pigments.
    pub pigments: Vec<FittedPigment>,
    /// What the samples lay on.
    pub substrates: Vec<FittedSubstrate>,
    /// How well each sample with a reading is met, in the table's order.
    pub samples: Vec<Residual>,
    /// Rounds that the search took.
    pub rounds: usize,
}

/// One pigment.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct FittedPigment {
    /// Its name.
    pub name: String,
    /// Absorption in each band of the working grid, for one reference amount of the law. For
    /// loadings divide by the reference: mm⁻¹ at a loading of 1.
    pub k: Vec<f64>,
    /// Scattering, likewise.
    pub s: Vec<f64>,
    /// Standard deviation of ln k in each band: 0.1 is 10 %; above 1 the samples tell nothing.
    pub ln_k_deviation: Vec<f64>,
    /// Standard deviation of ln s.
    pub ln_s_deviation: Vec<f64>,
}

/// A substrate as it is kept with a fit.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct FittedSubstrate {
    /// Its name.
    pub name: String,
    /// Its bare reading in each band of the working grid.
    pub reflectance: Vec<f64>,
    /// Whether the reading held the face's own reflection.
    pub specular_included: bool,
}

/// How well one sample is met.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Residual {
    /// The sample.
    pub id: String,
    /// ΔE00 between reading and fit, D65 and the 10° observer.
    pub delta_e_2000: f64,
    /// Root mean square deviation of reflectance.
    pub rms_reflectance: f64,
    /// Its final weight, 0–1: low where the sample fits nothing else.
    pub weight: f64,
}

/// Colour differences of several samples in three numbers.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Spread {
    /// How many samples.
    pub count: usize,
    /// Mean ΔE00.
    pub mean: f64,
    /// The 95th percentile (linear between ranks).
    pub p95: f64,
    /// The largest.
    pub max: f64,
}

impl Spread {
    /// Of these values; `None` of none.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let max = *sorted.last()?;
        #[expect(clippy::cast_precision_loss, reason = "a count of samples")]
        let (count, last) = (sorted.len() as f64, (sorted.len() - 1) as f64);
        let rank = 0.95 * last;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a rank within the samples"
        )]
        let low = rank as usize;
        let high = (low + 1).min(sorted.len() - 1);
        let p95 = sorted[low] + (rank - libm::floor(rank)) * (sorted[high] - sorted[low]);
        let mean = sorted.iter().sum::<f64>() / count;
        Some(Self { count: sorted.len(), mean, p95, max })
    }
}

/// One predicted sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// The sample.
    pub id: String,
    /// The reading it would give.
    pub reflectance: Spectrum,
    /// Its colour under D65 for the 10° observer.
    pub lab: Lab,
    /// ΔE00 to its reading, where it has one.
    pub delta_e_2000: Option<f64>,
}

/// Fits every pigment of a set at once.
///
/// # Errors
/// [`JointError`]: nothing to fit, a pigment never seen, numbers that cannot be.
pub fn fit(set: &SampleSet, options: &Options) -> Result<JointFit, JointError> {
    let solution = fit::solve(set, options)?;
    let count = set.pigments.len();
    let plain: Vec<f64> = solution.ln.iter().map(|v| libm::exp(*v)).collect();
    let pigments = set.pigments.iter().enumerate().map(|(i, name)| {
        let of = |values: &[f64], s: bool| {
            let place = |band| {
                if s { Solution::s_at(count, band, i) } else { Solution::k_at(count, band, i) }
            };
            spectrum_of(values, place).0.to_vec()
        };
        FittedPigment {
            name: name.clone(),
            k: of(&plain, false),
            s: of(&plain, true),
            ln_k_deviation: of(&solution.deviations, false),
            ln_s_deviation: of(&solution.deviations, true),
        }
    });
    let mut fit = JointFit {
        version: 1,
        law: solution.law,
        pigments: pigments.collect(),
        substrates: set.substrates.iter().map(kept).collect(),
        samples: Vec::new(),
        rounds: solution.rounds,
    };
    let read: Vec<Sample> =
        set.samples.iter().filter(|sample| sample.reading.is_some()).cloned().collect();
    let read = SampleSet { samples: read, ..set.clone() };
    let predicted = predict(&fit, &read)?;
    fit.samples = predicted
        .iter()
        .zip(&read.samples)
        .zip(&solution.weights)
        .filter_map(|((predicted, sample), weight)| {
            let reading = sample.reading.as_ref()?;
            Some(Residual {
                id: sample.id.clone(),
                delta_e_2000: predicted.delta_e_2000?,
                rms_reflectance: rms(reading, &predicted.reflectance),
                weight: *weight,
            })
        })
        .collect();
    Ok(fit)
}

/// Predicts every sample of a set from a fit. Pigments are found by name; substrates are the
/// set's own.
///
/// # Errors
/// [`JointError`]: a pigment the fit does not know, the other measure, numbers that cannot be.
pub fn predict(fit: &JointFit, set: &SampleSet) -> Result<Vec<Predicted>, JointError> {
    check(set)?;
    if fit.law.measure != set.measure {
        return Err(JointError::OtherMeasure {
            fit: fit.law.measure.word(),
            table: set.measure.word(),
        });
    }
    let known: Vec<Option<usize>> = set
        .pigments
        .iter()
        .map(|name| fit.pigments.iter().position(|pigment| pigment.name == *name))
        .collect();
    let seen = weights(&Illuminant::D65, Observer::Cie1964_10deg);
    let colour = |r: &Spectrum| Lab::from_xyz(seen.xyz(r), seen.white());
    set.samples
        .iter()
        .map(|sample| {
            let mut of_fit = sample.clone();
            for amount in &mut of_fit.amounts {
                amount.0 = known[amount.0]
                    .ok_or_else(|| JointError::PigmentUnknown(set.pigments[amount.0].clone()))?;
            }
            let reflectance = fit.reading(&of_fit, &set.substrates);
            let lab = colour(&reflectance);
            let delta = sample.reading.as_ref().map(|read| delta_e_2000(colour(read), lab));
            Ok(Predicted { id: sample.id.clone(), reflectance, lab, delta_e_2000: delta })
        })
        .collect()
}

impl JointFit {
    /// ΔE00 of the fitted samples that satisfy a condition on their id.
    #[must_use]
    pub fn spread(&self, counts: impl Fn(&Residual) -> bool) -> Option<Spread> {
        let values: Vec<f64> = self
            .samples
            .iter()
            .filter(|sample| counts(sample))
            .map(|sample| sample.delta_e_2000)
            .collect();
        Spread::of(&values)
    }

    /// The substrates of the fit, to predict on when a table brings none.
    #[must_use]
    pub fn substrates(&self) -> Vec<Substrate> {
        self.substrates
            .iter()
            .map(|kept| Substrate {
                name: kept.name.clone(),
                reflectance: spectrum_of(&kept.reflectance, |band| band),
                geometry: if kept.specular_included {
                    Geometry::SpecularIncluded
                } else {
                    Geometry::SpecularExcluded
                },
            })
            .collect()
    }

    /// The reading of a sample whose pigments are this fit's.
    fn reading(&self, sample: &Sample, substrates: &[Substrate]) -> Spectrum {
        let ready = Ready::new(sample, substrates, &self.law);
        Spectrum(std::array::from_fn(|band| {
            let of = |values: &[f64]| values.get(band).copied().unwrap_or(f64::NAN);
            let (k, s) = ready.mixed(|i| of(&self.pigments[i].k), |i| of(&self.pigments[i].s));
            ready.read(band, k, s).reflectance
        }))
    }
}

fn kept(substrate: &Substrate) -> FittedSubstrate {
    FittedSubstrate {
        name: substrate.name.clone(),
        reflectance: substrate.reflectance.0.to_vec(),
        specular_included: substrate.geometry == Geometry::SpecularIncluded,
    }
}

fn rms(one: &Spectrum, two: &Spectrum) -> f64 {
    let squares = one.zip(two, |a, b| (a - b) * (a - b));
    #[expect(clippy::cast_precision_loss, reason = "36 bands")]
    let bands = squares.0.len() as f64;
    libm::sqrt(squares.iter().sum::<f64>() / bands)
}
