//! A table of samples with amounts: one row a sample, what was mixed beside what was read.
//!
//! | column | what |
//! |---|---|
//! | `quantity_NAME` | quantity of colorant NAME, in one unit throughout; empty or 0: none |
//! | `loading_NAME` | mass fraction of the mixed resin: `0.014` or `1.4 %` |
//! | `film_mm` | film thickness; needed with loadings |
//! | `substrate` | name of what lies below; on a row without amounts, the name of what was read bare |
//! | `geometry` | `included`, `excluded` or `unknown`; empty: unknown |
//! | bands, name | as in [`super::samples`]; bands may be absent or empty where nothing was read |
//!
//! A table has quantities or loadings, not both. Other columns are passed over.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::columns::{Roles, Spectrum};
use super::drawn::geometry_of;
use super::{Scale, Table, samples};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::optics::Geometry;
use crate::suggest::{did_you_mean, listed};

const QUANTITY: &str = "quantity_";
const LOADING: &str = "loading_";
const OTHERS: [&str; 3] = ["film_mm", "substrate", "geometry"];

/// A table of samples as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct RawAmounts {
    /// Colorant names, in the order of their columns.
    pub colorants: Vec<String>,
    /// Whether the amounts are loadings (else quantities).
    pub loadings: bool,
    /// One a row, in order.
    pub rows: Vec<AmountRow>,
    /// Cautions and notes.
    pub warnings: Diagnostics,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct AmountRow {
    /// Its name, or `row 3` where it has none.
    pub id: String,
    /// Where it stands.
    pub place: Place,
    /// Colorant and amount, greater than zero; none for a bare substrate.
    pub amounts: Vec<(usize, f64)>,
    /// Film thickness, mm.
    pub film_mm: Option<f64>,
    /// What lies below, or is read bare; empty if not said.
    pub substrate: String,
    /// How it was read.
    pub geometry: Geometry,
    /// Bands, nm, rising; empty where nothing was read.
    pub wavelengths_nm: Vec<f64>,
    /// Reflectance in each band, 0–1.
    pub reflectance: Vec<f64>,
}

/// Reads a table of samples with amounts. `map` renames headings before they are understood: pairs
/// of the file's heading and the name to take it for.
///
/// # Errors
/// Every mistake found, each with its place: no amounts at all, quantities beside loadings, a
/// negative or unreadable amount, a film that is no thickness, an unknown geometry, a mapped heading
/// that is not there, and whatever [`super::read`] refuses of the readings.
pub fn read(
    source: &Arc<Source>,
    declared: Option<Scale>,
    map: &[(String, String)],
) -> Result<RawAmounts, Diagnostics> {
    let table = Table::csv(source)?;
    let mut found = Diagnostics::default();
    let names = headings(&table, map, &mut found);
    let (columns, loadings) = amount_columns(&table, &names, &mut found);
    let place_of = |wanted: &str| names.iter().position(|name| name.eq_ignore_ascii_case(wanted));
    let [film, substrate, geometry] = OTHERS.map(place_of);
    if found.stop() {
        return Err(found);
    }
    let roles = Roles::of(&table, &mut Diagnostics::default());
    let spectra = if matches!(roles.spectrum, Spectrum::Absent) && roles.lab.is_none() {
        None
    } else {
        let read = samples::of_table(&table, declared, BTreeMap::new())?;
        found.extend(read.warnings);
        if read.samples.len() != table.height() {
            return Err(Diagnostic::error("a table with amounts needs one row a sample")
                .at(table.header_place(0))
                .hint("write the bands side by side: R380, R390, …")
                .into());
        }
        Some(read.samples)
    };
    let mut rows = Vec::with_capacity(table.height());
    for row in 0..table.height() {
        let amounts = columns
            .iter()
            .enumerate()
            .filter_map(|(colorant, column)| match amount(&table, row, *column, loadings) {
                Ok(amount) => (amount > 0.0).then_some((colorant, amount)),
                Err(told) => {
                    found.push(told);
                    None
                }
            })
            .collect();
        let film_mm = film.filter(|column| !table.text(row, *column).is_empty()).and_then(
            |column| match table.number(row, column) {
                Ok(mm) if mm > 0.0 => Some(mm),
                Ok(_) => {
                    let told = Diagnostic::error("a film's thickness must be greater than zero");
                    found.push(told.at(table.place(row, column)));
                    None
                }
                Err(told) => {
                    found.push(told);
                    None
                }
            },
        );
        let text = |column: Option<usize>| {
            column.map_or_else(String::new, |column| table.text(row, column).into_owned())
        };
        let geometry = match geometry_of(&text(geometry)) {
            Ok(known) => known.unwrap_or(Geometry::Unknown),
            Err(told) => {
                found.push(told.at(table.place(row, geometry.unwrap_or(0))));
                Geometry::Unknown
            }
        };
        let (id, wavelengths_nm, reflectance) = match &spectra {
            Some(samples) => {
                let sample = &samples[row];
                let (nm, read) = (sample.wavelengths_nm.clone(), sample.reflectance.clone());
                (sample.id.clone(), nm, read)
            }
            None => {
                let name = text(roles.name);
                let id = if name.is_empty() { format!("row {}", row + 1) } else { name };
                (id, Vec::new(), Vec::new())
            }
        };
        rows.push(AmountRow {
            id,
            place: table.row_place(row),
            amounts,
            film_mm,
            substrate: text(substrate),
            geometry,
            wavelengths_nm,
            reflectance,
        });
    }
    if found.stop() {
        return Err(found);
    }
    let colorants = columns.iter().map(|column| colorant_name(&names[*column])).collect();
    Ok(RawAmounts { colorants, loadings, rows, warnings: found })
}

/// The headings after renaming.
fn headings(table: &Table, map: &[(String, String)], found: &mut Diagnostics) -> Vec<String> {
    let mut names: Vec<String> = table.headings().iter().map(ToString::to_string).collect();
    for (from, to) in map {
        match table.column(from) {
            Some(column) => names[column].clone_from(to),
            None => {
                let known = table.headings();
                let mut told = Diagnostic::error(format!("the table has no column \"{from}\""))
                    .at(table.header_place(0));
                if let Some(hint) = did_you_mean(from, known.iter().map(AsRef::as_ref)) {
                    told = told.hint(hint);
                }
                found.push(told);
            }
        }
    }
    names
}

/// The columns of amounts, and whether they are loadings.
fn amount_columns(table: &Table, names: &[String], found: &mut Diagnostics) -> (Vec<usize>, bool) {
    let of = |prefix: &str| -> Vec<usize> {
        (0..names.len()).filter(|column| has_prefix(&names[*column], prefix)).collect()
    };
    let (quantities, loadings) = (of(QUANTITY), of(LOADING));
    if let (Some(_), Some(second)) = (quantities.first(), loadings.first()) {
        found.push(
            Diagnostic::error("a table holds quantities or loadings, not both")
                .at(table.header_place(*second)),
        );
    }
    let are_loadings = !loadings.is_empty();
    let columns = if are_loadings { loadings } else { quantities };
    if columns.is_empty() {
        let seen: Vec<&str> = names.iter().take(8).map(String::as_str).collect();
        found.push(
            Diagnostic::error("no column of this table holds amounts")
                .at(table.header_place(0))
                .hint(format!(
                    "name them quantity_NAME or loading_NAME, or map them; the columns are {}",
                    listed(&seen, "and")
                )),
        );
    }
    for (i, column) in columns.iter().enumerate() {
        let name = colorant_name(&names[*column]);
        if name.is_empty() {
            found.push(
                Diagnostic::error("this column of amounts names no colorant")
                    .at(table.header_place(*column)),
            );
        } else if columns[..i].iter().any(|other| colorant_name(&names[*other]) == name) {
            found.push(
                Diagnostic::error(format!("two columns hold amounts of {name}"))
                    .at(table.header_place(*column)),
            );
        }
    }
    (columns, are_loadings)
}

fn has_prefix(name: &str, prefix: &str) -> bool {
    name.get(..prefix.len()).is_some_and(|start| start.eq_ignore_ascii_case(prefix))
}

fn colorant_name(heading: &str) -> String {
    heading.split_once('_').map_or("", |(_, name)| name).trim().to_owned()
}

/// The amount in a cell; an empty one is none.
fn amount(table: &Table, row: usize, column: usize, loading: bool) -> Result<f64, Diagnostic> {
    let text = table.text(row, column);
    if text.is_empty() {
        return Ok(0.0);
    }
    let percent = text.strip_suffix('%').map(str::trim_end).filter(|_| loading);
    let amount = match percent {
        Some(number) => {
            number.parse::<f64>().ok().filter(|n| n.is_finite()).map(|n| n / 100.0).ok_or_else(
                || {
                    Diagnostic::error(format!("\"{}\" is no percentage", text.escape_debug()))
                        .at(table.place(row, column))
                },
            )?
        }
        None => table.number(row, column)?,
    };
    if amount < 0.0 {
        return Err(Diagnostic::error("an amount cannot be negative").at(table.place(row, column)));
    }
    if loading && amount > 1.0 {
        return Err(Diagnostic::error("a loading is a mass fraction, at most 1")
            .at(table.place(row, column))
            .hint(format!("for {amount} percent write \"{amount} %\"")));
    }
    Ok(amount)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_text(text: &str, map: &[(&str, &str)]) -> Result<RawAmounts, Diagnostics> {
        let map: Vec<(String, String)> =
            map.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        read(&Arc::new(Source { name: "t.csv".into(), text: text.into() }), None, &map)
    }

    #[test]
    fn quantities_with_and_without_readings() {
        let table = read_text(
            "kind,quantity_red,quantity_white,R400,R500,R600,R700\n\
             paper,0,0,0.8,0.8,0.85,0.9\nmixture,0.01,.02,0.1,0.2,0.6,0.7\nwanted,0.04,,,,,\n",
            &[],
        )
        .unwrap();
        assert_eq!(table.colorants, ["red", "white"], "names from headings");
        assert!(!table.loadings, "quantities");
        assert_eq!(table.rows[0].amounts, [], "a bare substrate");
        assert_eq!(table.rows[1].amounts, [(0, 0.01), (1, 0.02)], "both");
        assert_eq!(table.rows[2].amounts, [(0, 0.04)], "an empty cell is none");
        assert_eq!(table.rows[1].reflectance, [0.1, 0.2, 0.6, 0.7], "as read");
        assert!(table.rows[2].reflectance.is_empty(), "not read");
        assert_eq!(table.rows[2].geometry, Geometry::Unknown, "not stated");
    }

    #[test]
    fn loadings_films_and_a_map() {
        let table = read_text(
            "name,oxide [part],film_mm,substrate,geometry\na,1.4 %,0.5,black,included\nb,0.014,1,white,\n",
            &[("oxide [part]", "loading_red oxide")],
        )
        .unwrap();
        assert!(table.loadings, "loadings");
        assert_eq!(table.colorants, ["red oxide"], "the mapped name");
        for (row, id, film, below) in
            [(&table.rows[0], "a", 0.5, "black"), (&table.rows[1], "b", 1.0, "white")]
        {
            assert!((row.amounts[0].1 - 0.014).abs() < 1e-15, "percent and fraction: {row:?}");
            assert_eq!((row.id.as_str(), row.film_mm), (id, Some(film)), "{row:?}");
            assert_eq!(row.substrate, below, "{row:?}");
        }
        assert_eq!(table.rows[0].geometry, Geometry::SpecularIncluded, "stated");
    }

    #[test]
    fn mistakes_are_told_with_their_places() {
        let told = |text: &str, map: &[(&str, &str)]| read_text(text, map).unwrap_err().to_string();
        insta::assert_snapshot!(
            [
                told("quantity_a,loading_b\n1,1\n", &[]),
                told("red,R400\n1,1\n", &[]),
                told("quantity_a\n-1\nx\n", &[]),
                told("loading_a\n1.4\n", &[]),
                told("loading_a,film_mm\n0.1,0\n", &[]),
                told("quantity_a,geometry\n1,sideways\n", &[]),
                told("quantity_a,quantity_A\n1,1\n", &[("quantity_A", "quantity_")]),
                told("quantity_a\n1\n", &[("quantity_b", "quantity_c")]),
            ]
            .join("\n"),
            @r#"
            t.csv:1:12: error: a table holds quantities or loadings, not both
            t.csv:1:1: error: no column of this table holds amounts (name them quantity_NAME or loading_NAME, or map them; the columns are red and R400)
            t.csv:2:1: error: an amount cannot be negative
            t.csv:3:1: error: "x" is no number
            t.csv:2:1: error: a loading is a mass fraction, at most 1 (for 1.4 percent write "1.4 %")
            t.csv:2:5: error: a film's thickness must be greater than zero
            t.csv:2:3: error: "sideways" is no geometry (write included, excluded or unknown: whether the gloss is part of the reading)
            t.csv:1:1: error: this column of amounts names no colorant
            t.csv:1:1: error: the table has no column "quantity_b" (did you mean "quantity_a"?)
            "#
        );
    }
}
