//! From a table's rows to samples that can be computed with.

use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::amounts::{AmountRow, RawAmounts};
use crate::spectrum::{Spectrum, resample};

use super::sample::{Measure, Sample, SampleSet, Substrate};

impl SampleSet {
    /// Samples of a table. Rows without amounts are bare substrates; rows of one name are averaged.
    /// `known` substrates (of a fit) are there beside the table's own, which win.
    ///
    /// A row that names no substrate lies on the only one there is.
    ///
    /// # Errors
    /// Each mistake with its place: a reading that does not reach over the visible range, a
    /// substrate that is not there or not told among several, loadings without a film, no sample.
    pub fn of_table(table: &RawAmounts, known: &[Substrate]) -> Result<Self, Diagnostics> {
        let mut found = Diagnostics::default();
        let readings: Vec<Option<Spectrum>> = table
            .rows
            .iter()
            .map(|row| match reading(row) {
                Ok(reading) => reading,
                Err(told) => {
                    found.push(told);
                    None
                }
            })
            .collect();
        let substrates = substrates(table, &readings, known);
        let measure = if table.loadings { Measure::Loading } else { Measure::Quantity };
        let mut samples = Vec::new();
        for (row, reading) in table.rows.iter().zip(readings) {
            if row.amounts.is_empty() {
                continue;
            }
            if table.loadings && row.film_mm.is_none() {
                found.push(
                    Diagnostic::error(format!("{}: loadings need the film's thickness", row.id))
                        .at(row.place.clone())
                        .hint("give it in a column film_mm"),
                );
            }
            match below(row, &substrates) {
                Ok(substrate) => samples.push(Sample {
                    id: row.id.clone(),
                    amounts: row.amounts.clone(),
                    film_mm: row.film_mm,
                    substrate,
                    geometry: row.geometry,
                    reading,
                }),
                Err(told) => found.push(told),
            }
        }
        if samples.is_empty() && !found.stop() {
            found.push(Diagnostic::error("no row of this table has amounts"));
        }
        if found.stop() {
            return Err(found);
        }
        Ok(Self { measure, pigments: table.colorants.clone(), substrates, samples })
    }
}

fn reading(row: &AmountRow) -> Result<Option<Spectrum>, Diagnostic> {
    if row.reflectance.is_empty() {
        return Ok(None);
    }
    resample(&row.wavelengths_nm, &row.reflectance)
        .map(Some)
        .map_err(|wrong| Diagnostic::error(format!("{}: {wrong}", row.id)).at(row.place.clone()))
}

/// The table's bare substrates, each the mean of its readings, then the known ones of other names.
fn substrates(
    table: &RawAmounts,
    readings: &[Option<Spectrum>],
    known: &[Substrate],
) -> Vec<Substrate> {
    let mut all: Vec<(Substrate, f64)> = Vec::new();
    for (row, reading) in table.rows.iter().zip(readings) {
        let (true, Some(reading)) = (row.amounts.is_empty(), reading) else { continue };
        match all.iter_mut().find(|(substrate, _)| substrate.name == row.substrate) {
            Some((substrate, count)) => {
                *count += 1.0;
                let share = 1.0 / *count;
                substrate.reflectance =
                    substrate.reflectance.zip(reading, |mean, new| mean + (new - mean) * share);
            }
            None => all.push((
                Substrate {
                    name: row.substrate.clone(),
                    reflectance: *reading,
                    geometry: row.geometry,
                },
                1.0,
            )),
        }
    }
    let mut all: Vec<Substrate> = all.into_iter().map(|(substrate, _)| substrate).collect();
    for substrate in known {
        if !all.iter().any(|own| own.name == substrate.name) {
            all.push(substrate.clone());
        }
    }
    all
}

/// Which substrate a row lies on.
fn below(row: &AmountRow, substrates: &[Substrate]) -> Result<usize, Diagnostic> {
    if let Some(at) = substrates.iter().position(|substrate| substrate.name == row.substrate) {
        return Ok(at);
    }
    let told = match (row.substrate.as_str(), substrates) {
        ("", [_]) => return Ok(0),
        ("", []) => format!("{}: the table has no reading of a bare substrate", row.id),
        ("", _) => format!("{}: which of the substrates does it lie on?", row.id),
        (name, _) => format!("{}: there is no reading of the bare substrate {name}", row.id),
    };
    Err(Diagnostic::error(told)
        .at(row.place.clone())
        .hint("a row without amounts gives the reading of a bare substrate"))
}
