//! Readings of films that a shop drew down: one row a reading, with what the film was made of, how
//! thick it is and what it lies over.
//!
//! | column | what |
//! |---|---|
//! | `loading_NAME` | loading of the shelf's colorant NAME: `1.4 %`, or a fraction of 1 such as `0.014` |
//! | `film_mm`, or `film` | film thickness in mm, or with its unit (`8 mil`); `film`: `hides` for one that hides |
//! | `substrate`, or `ground` | `black` or `white` of a chart, or the name of a row that was read bare |
//! | `geometry` | `included`, `excluded` or `unknown`: whether the gloss is in the reading |
//! | `drawdown` | tells films of like make apart; else readings of one make are of one film |
//! | `system` | the resin system it was mixed in |
//! | `standing` | `demo`, `estimated`, … where the readings are less than measured |
//! | `lot` | `standing` for the standing lot, else the new lot's name |
//! | readings, Lab, name | as in [`super::samples`] |
//!
//! A row without any loading was read bare; its name is its `substrate`, else its own. In CGATS text a
//! keyword of the header (`GEOMETRY "included"`) stands for all rows that do not say otherwise.

use std::collections::BTreeMap;

use super::{RawReadings, RawSample};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::model::Standing;
use crate::optics::Geometry;
use crate::quantity::{Fraction, Length};
use crate::spectrum::{Spectrum, resample};
use crate::suggest::{did_you_mean, listed};

const LOADING: &str = "loading_";
/// Other columns with a meaning here.
const KNOWN: [&str; 9] =
    ["film_mm", "film", "substrate", "ground", "geometry", "drawdown", "system", "standing", "lot"];
/// What other programs write beside readings; no word is lost about them.
const PASSED_OVER: [&str; 4] = ["note", "date", "instrument", "remark"];

/// How thick a film is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilmStated {
    /// Nothing is said.
    Not,
    /// So thick.
    Thick(Length),
    /// Thick enough to hide.
    Hides,
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnRow {
    /// Its name.
    pub id: String,
    /// Where its row stands.
    pub place: Place,
    /// Reflectance as read, on the working grid, where it was.
    pub reflectance: Option<Spectrum>,
    /// CIELAB as given.
    pub lab: Option<[f64; 3]>,
    /// Colorants and loadings above 0; none for a bare substrate.
    pub loadings: BTreeMap<String, f64>,
    /// The film.
    pub film: FilmStated,
    /// What lies below, or was read bare; empty if not said.
    pub substrate: String,
    /// How it was read, if it is said.
    pub geometry: Option<Geometry>,
    /// Which film among several of one make.
    pub drawdown: String,
    /// The resin system; empty if not said.
    pub system: String,
    /// How far its figures can be trusted.
    pub standing: Standing,
    /// The lot; empty if not said.
    pub lot: String,
}

/// The readings of a text with what their columns say.
///
/// # Errors
/// Every mistake found, each at its row: a reading that leaves part of the visible range out, a
/// loading, film or word that cannot be read.
pub fn drawn_rows(raw: &RawReadings) -> Result<(Vec<DrawnRow>, Diagnostics), Diagnostics> {
    let mut found = raw.warnings.clone();
    tell_unread(raw, &mut found);
    let rows = raw.samples.iter().map(|sample| row(sample, &raw.facts, &mut found)).collect();
    if found.stop() { Err(found) } else { Ok((rows, found)) }
}

/// Columns without a meaning are told, with the nearest that has one.
fn tell_unread(raw: &RawReadings, found: &mut Diagnostics) {
    let mut unread: BTreeMap<&str, &Place> = BTreeMap::new();
    for sample in &raw.samples {
        for name in sample.columns.keys() {
            let is = |known: &&&str| name.eq_ignore_ascii_case(known);
            let known = KNOWN.iter().chain(&PASSED_OVER).find(is).is_some();
            if !known && loading_of(name).is_none() {
                unread.entry(name).or_insert(&sample.place);
            }
        }
    }
    for (name, place) in unread {
        let told = Diagnostic::caution(format!("the column \"{name}\" is not read"));
        let names = KNOWN.into_iter().chain([LOADING]);
        let hint = did_you_mean(name, names)
            .unwrap_or_else(|| format!("a colorant's column is called loading_{name}"));
        found.push(told.at(place.clone()).hint(hint));
    }
}

/// The colorant whose loading a column holds.
fn loading_of(heading: &str) -> Option<&str> {
    let start = heading.get(..LOADING.len())?;
    let name = heading[LOADING.len()..].trim();
    (start.eq_ignore_ascii_case(LOADING) && !name.is_empty()).then_some(name)
}

/// What a row's own column says, or else the header.
fn said<'a>(sample: &'a RawSample, facts: &'a BTreeMap<String, String>, wanted: &str) -> &'a str {
    let own = sample.columns.iter().find(|(name, _)| name.eq_ignore_ascii_case(wanted));
    own.map(|(_, text)| text)
        .or_else(|| facts.get(&wanted.to_ascii_uppercase()))
        .map_or("", |text| text.trim())
}

/// How a row was read, if it or the header (`facts`) says so.
///
/// # Errors
/// A word that means nothing here.
pub fn geometry_of_row(
    sample: &RawSample,
    facts: &BTreeMap<String, String>,
) -> Result<Option<Geometry>, Diagnostic> {
    geometry_of(said(sample, facts, "geometry"))
}

fn row(sample: &RawSample, facts: &BTreeMap<String, String>, found: &mut Diagnostics) -> DrawnRow {
    let text = |wanted: &str| said(sample, facts, wanted).to_owned();
    let mut told = |what: Result<(), Diagnostic>| {
        if let Err(wrong) = what {
            found.push(wrong.at(sample.place.clone()));
        }
    };
    let mut loadings = BTreeMap::new();
    for (heading, cell) in &sample.columns {
        let Some(name) = loading_of(heading) else { continue };
        told(loading(cell).map(|loading| {
            if loading > 0.0 {
                loadings.insert(name.to_owned(), loading);
            }
        }));
    }
    let mut film = FilmStated::Not;
    told(film_of(&text("film"), &text("film_mm")).map(|read| film = read));
    let mut geometry = None;
    told(geometry_of_row(sample, facts).map(|read| geometry = read));
    let mut standing = Standing::Measured;
    told(standing_of(&text("standing")).map(|read| standing = read));
    let mut reflectance = None;
    if !sample.wavelengths_nm.is_empty() {
        told(
            resample(&sample.wavelengths_nm, &sample.reflectance)
                .map(|read| reflectance = Some(read))
                .map_err(|why| {
                    Diagnostic::error(why.to_string())
                        .hint("readings every 20 nm or closer, from 400 to 700 nm at least")
                }),
        );
    }
    let substrate = text("substrate");
    let substrate = if substrate.is_empty() { text("ground") } else { substrate };
    DrawnRow {
        id: sample.id.clone(),
        place: sample.place.clone(),
        reflectance,
        lab: sample.lab,
        loadings,
        film,
        substrate,
        geometry,
        drawdown: text("drawdown"),
        system: text("system"),
        standing,
        lot: text("lot"),
    }
}

/// A loading; an empty cell is none.
fn loading(cell: &str) -> Result<f64, Diagnostic> {
    let cell = cell.trim();
    let loading = match cell.parse::<f64>() {
        _ if cell.is_empty() => 0.0,
        Ok(bare) => bare,
        Err(_) => cell.parse::<Fraction>()?.value(),
    };
    if !loading.is_finite() || loading < 0.0 {
        return Err(Diagnostic::error(format!("\"{cell}\" is no loading")));
    }
    if loading > 1.0 {
        return Err(Diagnostic::error(format!(
            "the loading {cell} is more colorant than resin: a bare number is a fraction of 1"
        ))
        .hint(format!("write \"{cell} %\"")));
    }
    Ok(loading)
}

fn film_of(film: &str, film_mm: &str) -> Result<FilmStated, Diagnostic> {
    let thick = match (film, film_mm) {
        ("", "") => return Ok(FilmStated::Not),
        ("", mm) => match mm.parse::<f64>() {
            Ok(mm) => Length::from_mm(mm),
            Err(_) => mm.parse()?,
        },
        (film, _) if film.eq_ignore_ascii_case("hides") => return Ok(FilmStated::Hides),
        (film, _) => film.parse()?,
    };
    if thick.is_finite() && thick.mm() > 0.0 {
        Ok(FilmStated::Thick(thick))
    } else {
        Err(Diagnostic::error("a film's thickness is greater than zero"))
    }
}

/// A word for how a reading was taken; `None` for no word.
///
/// # Errors
/// A word that means nothing here.
pub fn geometry_of(word: &str) -> Result<Option<Geometry>, Diagnostic> {
    match word.trim().to_lowercase().as_str() {
        "" => Ok(None),
        "included" => Ok(Some(Geometry::SpecularIncluded)),
        "excluded" | "45:0" | "0:45" | "45/0" | "0/45" => Ok(Some(Geometry::SpecularExcluded)),
        "unknown" => Ok(Some(Geometry::Unknown)),
        other => Err(Diagnostic::error(format!("\"{}\" is no geometry", short(other)))
            .hint("write included, excluded or unknown: whether the gloss is part of the reading")),
    }
}

fn standing_of(word: &str) -> Result<Standing, Diagnostic> {
    let word = word.trim().to_lowercase();
    if word.is_empty() {
        return Ok(Standing::Measured);
    }
    Standing::ALL.into_iter().find(|standing| standing.word() == word).ok_or_else(|| {
        Diagnostic::error(format!("\"{}\" is no standing", short(&word)))
            .hint(format!("write {}", listed(&Standing::ALL.map(Standing::word), "or")))
    })
}

fn short(word: &str) -> String {
    word.chars().take(40).collect::<String>().escape_debug().to_string()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::diagnostic::Source;
    use crate::file::readings;

    fn rows(text: &str) -> Result<(Vec<DrawnRow>, Diagnostics), Diagnostics> {
        let source = Arc::new(Source { name: "r.csv".into(), text: text.into() });
        drawn_rows(&readings::read(&source, Some(readings::Scale::Fraction))?)
    }

    const BANDS: &str =
        "R400,R420,R440,R460,R480,R500,R520,R540,R560,R580,R600,R620,R640,R660,R680,R700";

    fn flat(value: &str) -> String {
        [value; 16].join(",")
    }

    #[test]
    fn columns_say_what_a_film_is() {
        let text = format!(
            "id,loading_red oxide paste,Loading_white,film,ground,geometry,standing,{BANDS}\n\
             chart,,,,,included,,{0}\n\
             a,1.4 %,0.05,8 mil,chart,excluded,demo,{1}\n\
             b,0.02,,hides,,,,{1}\n",
            flat("0.8"),
            flat("0.3"),
        );
        let (rows, said) = rows(&text).unwrap();
        assert!(said.0.is_empty(), "{said}");
        assert!(rows[0].loadings.is_empty(), "bare");
        assert_eq!(rows[0].geometry, Some(Geometry::SpecularIncluded));
        assert!((rows[1].loadings["red oxide paste"] - 0.014).abs() < 1e-15);
        assert!((rows[1].loadings["white"] - 0.05).abs() < 1e-15);
        assert!(
            matches!(rows[1].film, FilmStated::Thick(film) if (film.mm() - 0.2032).abs() < 1e-12)
        );
        assert_eq!((rows[1].substrate.as_str(), rows[1].standing), ("chart", Standing::Demo));
        assert_eq!((rows[2].film, rows[2].geometry), (FilmStated::Hides, None));
        assert_eq!(rows[2].reflectance, Some(Spectrum::flat(0.3)));
    }

    #[test]
    fn slips_are_told_at_their_rows() {
        let told = |columns: &str, cells: &str| {
            rows(&format!("id,{columns},{BANDS}\nx,{cells},{}\n", flat("0.3")))
                .map_or_else(|wrong| wrong.to_string(), |(_, said)| said.to_string())
        };
        for (columns, cells, word) in [
            ("loading_a", "1.4", "write \"1.4 %\""),
            ("loading_a", "-1 %", "is negative"),
            ("loading_a", "-0.1", "is no loading"),
            ("film_mm", "0", "greater than zero"),
            ("film", "3", "no unit"),
            ("geometry", "sideways", "write included, excluded or unknown"),
            ("standing", "sure", "is no standing"),
            ("substrat", "white", "did you mean \"substrate\"?"),
            ("red oxide", "1 %", "loading_red oxide"),
        ] {
            let told = told(columns, cells);
            assert!(told.contains(word) && told.contains("r.csv:2:"), "{columns} {cells}: {told}");
        }
    }
}
