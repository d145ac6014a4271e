//! Every pigment of a table of samples at once, and what other samples would read.

use std::path::PathBuf;
use std::sync::Arc;

use crate::characterise::joint::{
    CrossValidation, JointError, JointFit, Measure, Options, SampleSet, Substrate, Viewed,
    cross_validate, fit, predict,
};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::file::decode::LARGEST_READINGS;
use crate::file::readings::{Scale, amounts};
use crate::spectrum::{Illuminant, Observer};
use crate::store::read_text;

/// Mixtures are dealt to the folds of a cross-validation in an order of this seed.
const SEED: u64 = 1;

/// A table of samples and how to read it.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleTable {
    /// Its file.
    pub path: PathBuf,
    /// Percent or fractions, where it is known.
    pub scale: Option<Scale>,
    /// Headings to be taken for others.
    pub map: Vec<(String, String)>,
}

/// What a fit is made from.
#[derive(Debug, Clone, PartialEq)]
pub enum FitFrom {
    /// A table of samples, and the refractive index of films of known thickness.
    Table(SampleTable, f64),
    /// A fit that was kept.
    Kept(PathBuf),
}

/// A fit with what it says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The fit.
    pub fit: JointFit,
    /// How far it carries, where that was asked.
    pub held_out: Option<CrossValidation>,
    /// Cautions and notes.
    pub said: Diagnostics,
}

/// Fits a table of samples, or reads a fit that was kept; with `folds`, says how far the table's fit
/// carries to mixtures of pigments never seen together.
///
/// # Errors
/// What is wrong with the file; samples that nothing can be learnt from.
pub fn joint_fit(from: &FitFrom, folds: Option<usize>) -> Result<Fitted, Diagnostics> {
    match from {
        FitFrom::Kept(path) => {
            let source = read_text(path, LARGEST_READINGS)?;
            let fit = JointFit::from_json(&source.text).map_err(|why| {
                Diagnostic::error(why.to_string())
                    .at(Place::new(&source, 0..0))
                    .hint("--fit-to writes one from a table of samples")
            })?;
            Ok(Fitted { fit, held_out: None, said: Diagnostics::default() })
        }
        FitFrom::Table(table, index) => {
            let (set, source, said) = sample_set(table, &[])?;
            let options = match set.measure {
                Measure::Quantity => Options::for_paint(),
                Measure::Loading => Options::for_films(*index),
            };
            let wrong = |why: JointError| told(&why, &source);
            let fit = fit(&set, &options).map_err(wrong)?;
            let held_out = folds
                .map(|folds| cross_validate(&set, folds, SEED, &options))
                .transpose()
                .map_err(wrong)?;
            Ok(Fitted { fit, held_out, said })
        }
    }
}

/// What the samples of a table would read, with cautions and notes.
///
/// # Errors
/// What is wrong with the table; a pigment that the fit does not know.
pub fn joint_predict(
    fit: &JointFit,
    table: &SampleTable,
    lamp: &Illuminant,
    observer: Observer,
) -> Result<(Viewed, Diagnostics), Diagnostics> {
    let (set, source, said) = sample_set(table, &fit.substrates())?;
    let predicted = predict(fit, &set).map_err(|why| told(&why, &source))?;
    Ok((Viewed::of(&set, &predicted, lamp, observer), said))
}

fn sample_set(
    table: &SampleTable,
    known: &[Substrate],
) -> Result<(SampleSet, Arc<Source>, Diagnostics), Diagnostics> {
    let source = read_text(&table.path, LARGEST_READINGS)?;
    let raw = amounts::read(&source, table.scale, &table.map)?;
    let set = SampleSet::of_table(&raw, known)?;
    Ok((set, source, raw.warnings))
}

fn told(why: &JointError, source: &Arc<Source>) -> Diagnostics {
    Diagnostic::error(why.to_string()).at(Place::new(source, 0..0)).into()
}
