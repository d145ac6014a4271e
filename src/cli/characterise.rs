//! `characterise`: its words, and from words to an answer.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::args::{lamp, observer, whole};
use super::env::Env;
use super::run::{json_text, opened, save};
use super::samples::{Asked, samples};
use super::show::{complain, print};
use crate::acts::{self, CharacteriseAsk, ColorantText};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::Scale;
use crate::optics::Geometry;
use crate::report::characterise_json::{characterise_json, lot_json};
use crate::report::characterise_text::{characterise_text, lot_text};
use crate::spectrum::{Illuminant, Observer};
use crate::store::write_file;

use super::args::Common;

#[derive(Debug, Args)]
pub(super) struct CharacteriseWords {
    /// The colorant's name or file
    #[arg(required_unless_present_any = ["samples", "predict"])]
    colorant: Option<String>,
    /// Readings of films with it: CSV, or CGATS.17 text
    #[arg(long, value_name = "FILE", requires = "colorant", conflicts_with = "lot")]
    #[arg(required_unless_present_any = ["lot", "samples", "predict"])]
    readings: Option<PathBuf>,
    /// One tint of the standing lot and one of a new lot: the new lot's strength
    #[arg(long, value_name = "FILE", requires = "colorant")]
    lot: Option<PathBuf>,
    /// What the numbers are, where the file does not say
    #[arg(long, value_enum)]
    scale: Option<ScaleWord>,
    /// Whether the gloss is in the readings, where the file does not say
    #[arg(long, value_enum)]
    geometry: Option<GeometryWord>,
    /// The resin system of the films, where the file does not say
    #[arg(long, value_name = "SYSTEM")]
    system: Option<String>,
    /// The lamp of colours as Lab
    #[arg(long, value_name = "LAMP", value_parser = lamp, default_value = "D65")]
    lamp: Illuminant,
    /// The observer of colours as Lab: 2 or 10 degrees [default: 2; for sample tables 10]
    #[arg(long, value_name = "DEGREES", value_parser = observer)]
    observer: Option<Observer>,
    /// Make an estimate from a masstone alone, marked as one
    #[arg(long)]
    accept_masstone: bool,
    /// Write the colorant's file with what was found, or the predictions, into FILE
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
    /// Write what was found into the colorant's own file in the shop
    #[arg(long, conflicts_with = "to", requires = "colorant")]
    save: bool,
    /// Leave curves of K, S and R with their doubt in FOLDER, as PNG and SVG
    #[arg(long, value_name = "FOLDER", conflicts_with = "lot", requires = "readings")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    table: TableWords,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Tables of samples")]
pub(super) struct TableWords {
    /// Fit all pigments of a table of samples at once
    #[arg(long, value_name = "FILE", conflicts_with = "colorant")]
    pub(super) samples: Option<PathBuf>,
    /// Say what the samples of a table would read
    #[arg(long, value_name = "FILE", conflicts_with_all = ["colorant", "cross_validate"])]
    pub(super) predict: Option<PathBuf>,
    /// Predict from a fit that was kept
    #[arg(long, value_name = "FILE", conflicts_with = "samples", requires = "predict")]
    pub(super) fit: Option<PathBuf>,
    /// Keep the fit in FILE
    #[arg(long, value_name = "FILE", requires = "samples")]
    pub(super) fit_to: Option<PathBuf>,
    /// Hold mixtures of the same pigments out together, in N parts: how far the fit carries
    #[arg(long, value_name = "N", requires = "samples", value_parser = whole(2, 100))]
    pub(super) cross_validate: Option<u32>,
    /// Take a heading of a table for another, as the book's page on sample tables has them
    #[arg(long, value_name = "HEADING=NAME", value_parser = mapped)]
    pub(super) map: Vec<(String, String)>,
    /// Refractive index of the binder of films of known thickness
    #[arg(long, value_name = "N", default_value_t = 1.55, value_parser = index)]
    pub(super) index: f64,
}

fn mapped(word: &str) -> Result<(String, String), String> {
    match word.split_once('=') {
        Some((from, to)) if !from.trim().is_empty() && !to.trim().is_empty() => {
            Ok((from.trim().to_owned(), to.trim().to_owned()))
        }
        _ => Err("write HEADING=NAME, as \"Red [mL]=quantity_red\"".to_owned()),
    }
}

fn index(word: &str) -> Result<f64, String> {
    word.parse::<f64>().ok().filter(|index| (1.0..=3.0).contains(index)).ok_or_else(|| {
        "a refractive index lies between 1 and 3; clear epoxies near 1.55".to_owned()
    })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ScaleWord {
    /// 0 to 1
    Fraction,
    /// 0 to 100
    Percent,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum GeometryWord {
    /// Specular included
    Included,
    /// Specular excluded, 45:0, 0:45
    Excluded,
}

pub(super) fn characterise(
    env: &mut Env<'_>,
    common: &Common,
    words: CharacteriseWords,
) -> Result<u8, Diagnostics> {
    let scale = words.scale.map(|word| match word {
        ScaleWord::Fraction => Scale::Fraction,
        ScaleWord::Percent => Scale::Percent,
    });
    let Some(colorant) = words.colorant else {
        let observer = words.observer.unwrap_or(Observer::Cie1964_10deg);
        let asked = Asked { scale, lamp: words.lamp, observer, to: words.to };
        return samples(env, common, words.table, asked);
    };
    let opened = opened(env, common)?;
    let is_lot = words.lot.is_some();
    let readings = words.lot.or(words.readings).ok_or_else(|| {
        Diagnostic::error("which readings?").hint("--readings FILE, or --lot FILE")
    })?;
    let ask = CharacteriseAsk {
        colorant,
        readings,
        scale,
        geometry: words.geometry.map(|word| match word {
            GeometryWord::Included => Geometry::SpecularIncluded,
            GeometryWord::Excluded => Geometry::SpecularExcluded,
        }),
        system: words.system,
        lamp: words.lamp,
        observer: words.observer.unwrap_or(Observer::Cie1931_2deg),
        accept_masstone_alone: words.accept_masstone,
    };
    let wanted = words.save || words.to.is_some();
    let (said, mut shown, new) = if is_lot {
        let found = acts::lot(&opened, &ask)?;
        let shown = if common.json {
            json_text(&lot_json(&found.colorant, &found.lot, &found.strength))
        } else {
            lot_text(&found.colorant, &found.lot, &found.strength)
        };
        let new = wanted.then(|| acts::with_found_lot(&opened, &found)).transpose()?;
        (found.said, shown, new)
    } else {
        let finding = acts::characterise(&opened, &ask)?;
        let shown = if common.json {
            json_text(&characterise_json(&finding))
        } else {
            characterise_text(&finding, env.paint_out)
        };
        let new = wanted.then(|| acts::with_found_optics(&opened, &finding)).transpose()?;
        if let Some(folder) = &words.plot {
            let pictures = acts::finding_plots(&opened, &finding)?;
            let files: Vec<(String, Vec<u8>)> =
                pictures.into_iter().map(|picture| (picture.file, picture.bytes)).collect();
            save(folder, &files)?;
        }
        (finding.said, shown, new)
    };
    let mut code = complain(env, &said);
    if let Some(ColorantText { path, text }) = new {
        let place = words.to.unwrap_or(path);
        write_file(&place, text.as_bytes())?;
        if !common.json {
            shown.push_str(&format!("\nSaved in {}\n", place.display()));
        }
    }
    code = code.max(print(env, &shown));
    Ok(code)
}
