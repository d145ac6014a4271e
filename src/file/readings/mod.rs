//! Measured reflectance as it comes from an instrument or a spreadsheet.
//!
//! - [`read`]: either kind of text, told apart by its content.
//! - [`cgats`]: CGATS.17 / ISO 28178 text.
//! - [`Table`]: any table in CSV, every cell with its place; also for tables of samples with amounts.
//! - [`amounts`]: a table whose rows say what was mixed.
//! - [`samples`]: what the columns of a table mean.
//! - [`drawn`]: what a shop's columns say of the films that were read.
//!
//! Nothing is guessed in silence: whether numbers are percent or fractions is taken from a declared
//! [`Scale`], a header, or the numbers themselves, and in the last case said. Out of scope: resampling
//! to another grid, and whether a reading suits its use.

pub mod amounts;
pub mod cgats;
mod columns;
pub mod drawn;
pub mod samples;
mod scale;
mod table;
mod wavelength;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diagnostic::{Diagnostics, Place, Source};

pub use scale::Scale;
pub use table::Table;

/// All readings of one text.
#[derive(Debug, Clone, PartialEq)]
pub struct RawReadings {
    /// In the order of the text.
    pub samples: Vec<RawSample>,
    /// What a CGATS header says: keyword to value, as written.
    pub facts: BTreeMap<String, String>,
    /// Cautions and notes: each choice made for the person, each doubtful number.
    pub warnings: Diagnostics,
}

/// One sample's reading.
#[derive(Debug, Clone, PartialEq)]
pub struct RawSample {
    /// Its name, or `row 3` where it has none.
    pub id: String,
    /// Where its row stands.
    pub place: Place,
    /// Bands in nanometres, rising, within 360 to 830; empty where the row has no spectrum.
    pub wavelengths_nm: Vec<f64>,
    /// Reflectance factor in each band, 0 to 1, a little above 1 where the instrument says so.
    pub reflectance: Vec<f64>,
    /// CIELAB as given, under whatever lamp and observer the header states.
    pub lab: Option<[f64; 3]>,
    /// Every other column of its row that is not empty, as written.
    pub columns: BTreeMap<String, String>,
}

/// Reads CGATS.17 / ISO 28178 text or a CSV table, whichever `source` is. `declared` says percent or
/// fraction where the person knows.
///
/// # Errors
/// Every mistake found, each with its place: no readable table, no bands and no Lab, a band twice, a
/// reading with some bands missing, numbers that are none (decimal commas with a hint), reflectance
/// below zero or far above one, percent and fractions that cannot be told apart.
pub fn read(source: &Arc<Source>, declared: Option<Scale>) -> Result<RawReadings, Diagnostics> {
    if cgats::is_cgats(&source.text) {
        cgats::read(source, declared)
    } else {
        samples::of_table(&Table::csv(source)?, declared, BTreeMap::new())
    }
}
