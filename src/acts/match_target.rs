//! The wanted colour from a person's words: a screen's colour, Lab, another base, or a reading.

use std::path::Path;

use crate::colour::Lab;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::{self, RawSample, drawn::geometry_of_row};
use crate::matching::Target;
use crate::model::{Recipe, System};
use crate::optics::{Geometry, Surface};
use crate::predict::{Viewing, look_of_base};
use crate::spectrum::{Illuminant, Observer, resample};
use crate::store::{Opened, read_text};
use crate::suggest;

use super::find::{base_called, faults_told};
use super::plan::colourway;

/// Readings are not longer than this, bytes.
const LONGEST_READING: usize = 50_000_000;
/// How files of readings are called, where one that is missing has to be told from a base.
const READINGS: [&str; 5] = ["csv", "txt", "cgats", "it8", "dat"];
/// More samples than this are not all named.
const MOST_NAMED: usize = 12;

/// What is wanted.
pub(super) struct Wanted {
    pub(super) target: Target,
    /// What it is, in words.
    pub(super) words: String,
    /// How it was understood, where a person might have meant it otherwise.
    pub(super) notes: Vec<String>,
}

/// How a Lab target was seen.
pub(super) struct Seen {
    pub(super) lamp: Illuminant,
    pub(super) observer: Observer,
}

impl Seen {
    fn lab(self, lab: Lab, of: &str) -> Wanted {
        let words = format!("{of}L* {} a* {} b* {} under {}", lab.l, lab.a, lab.b, self.lamp);
        let target = Target::Lab { lab, lamp: self.lamp, observer: self.observer };
        Wanted { target, words, notes: Vec::new() }
    }
}

/// The target that `word` names. A reading's gloss is that of a film of `system`.
pub(super) fn wanted(
    opened: &Opened,
    word: &str,
    seen: Seen,
    system: &System,
) -> Result<Wanted, Diagnostics> {
    let word = word.trim();
    if word.starts_with('#') {
        let target = word.parse().map(Target::Screen).map_err(|_| {
            Diagnostic::error(format!("\"{word}\" is no screen colour")).hint("#5a6f7c")
        })?;
        return Ok(Wanted { target, words: format!("screen colour {word}"), notes: Vec::new() });
    }
    if let Some(lab) = lab_of(word) {
        return Ok(seen.lab(lab, ""));
    }
    if Path::new(word).exists() {
        return reading(word, None, seen, system);
    }
    if let Ok(colour) = word.parse() {
        // As everywhere a colour is read, with or without its #; a file of that name comes first.
        let words = format!("screen colour {colour}");
        return Ok(Wanted { target: Target::Screen(colour), words, notes: Vec::new() });
    }
    if let Some((path, sample)) = word.split_once('#')
        && Path::new(path).exists()
    {
        return reading(path, Some(sample), seen, system);
    }
    let file = word.split_once('#').map_or(word, |(path, _)| path);
    let extension = Path::new(file).extension().and_then(|end| end.to_str());
    let of_readings =
        extension.is_some_and(|end| READINGS.iter().any(|r| r.eq_ignore_ascii_case(end)));
    if let Some((way, base)) = word.rsplit_once('/')
        && !of_readings
    {
        return base_of(opened, way, base);
    }
    Err(Diagnostic::error(if of_readings {
        format!("there is no file \"{file}\"")
    } else {
        format!("\"{word}\" is no target")
    })
    .hint("a screen colour #5a6f7c, a Lab colour 52,-3.5,8, COLOURWAY/BASE, or a file of readings")
    .into())
}

/// `52,-3.5,8` or `52 -3.5 8`.
#[must_use]
pub fn lab_of(word: &str) -> Option<Lab> {
    let parts: Vec<f64> = word
        .split(|c: char| c == ',' || c == ';' || c.is_whitespace())
        .filter(|part| !part.is_empty())
        .map(|part| part.parse().ok())
        .collect::<Option<_>>()?;
    match parts[..] {
        [l, a, b] => Some(Lab::new(l, a, b)),
        _ => None,
    }
}

/// Another base's look, as its own recipe states it.
fn base_of(opened: &Opened, way: &str, base: &str) -> Result<Wanted, Diagnostics> {
    let (way, file) = colourway(opened, way)?;
    let recipe =
        Recipe::of(&opened.shop, way).map_err(|faults| faults_told(opened, file, faults))?;
    let base = base_called(way, base)?.name.as_str();
    let look = look_of_base(&recipe, base, &Viewing::of(&recipe))
        .map_err(|unseen| Diagnostic::error(unseen.to_string()))?;
    let target = Target::Reflectance(look.reflectance);
    Ok(Wanted { target, words: format!("{base} of {}", way.name), notes: Vec::new() })
}

/// A sample of a file of readings.
fn reading(
    path: &str,
    sample: Option<&str>,
    seen: Seen,
    system: &System,
) -> Result<Wanted, Diagnostics> {
    let source = read_text(Path::new(path), LONGEST_READING)?;
    let read = readings::read(&source, None)?;
    let found = one_of(path, &read.samples, sample)?;
    let file = Path::new(path).file_name().map_or(path.into(), |name| name.to_string_lossy());
    let of = format!("{} of {file}", found.id);
    let mut notes: Vec<String> =
        read.warnings.0.iter().map(|warning| warning.message.clone()).collect();
    if found.wavelengths_nm.is_empty() {
        let Some([l, a, b]) = found.lab else {
            return Err(Diagnostic::error(format!("{path}: {} holds no colour", found.id)).into());
        };
        let lamp = &seen.lamp;
        notes.push(format!("no spectrum stands there: its Lab is taken as seen under {lamp}; another lamp: --target-lamp"));
        let mut wanted = seen.lab(Lab::new(l, a, b), &format!("{of}: "));
        wanted.notes = notes;
        return Ok(wanted);
    }
    let spectrum = resample(&found.wavelengths_nm, &found.reflectance)
        .map_err(|why| Diagnostic::error(format!("{}: {why}", found.id)).at(found.place.clone()))?;
    let geometry = geometry_of_row(found, &read.facts)
        .map_err(|wrong| wrong.at(found.place.clone()))?
        .unwrap_or(Geometry::Unknown);
    let gloss = Surface::of_index(system.clear.refractive_index).k1 * geometry.specular_share();
    match geometry {
        Geometry::SpecularExcluded => {}
        Geometry::SpecularIncluded => notes.push(format!(
            "read with the gloss included: the {:.1} % that a face of {} mirrors is taken off",
            gloss * 100.0,
            system.name
        )),
        Geometry::Unknown => notes.push(
            "how it was read is not said: taken as without the gloss (a column geometry says: included or excluded)"
                .to_owned(),
        ),
    }
    let target = Target::Reflectance(spectrum.map(|r| (r - gloss).clamp(0.0, 1.0)));
    Ok(Wanted { target, words: of, notes })
}

/// The sample that is meant.
fn one_of<'a>(
    path: &str,
    samples: &'a [RawSample],
    sample: Option<&str>,
) -> Result<&'a RawSample, Diagnostic> {
    let found = match sample {
        Some(id) => samples.iter().find(|each| each.id == id.trim()),
        None => samples.first().filter(|_| samples.len() == 1),
    };
    let names: Vec<&str> = samples.iter().map(|sample| sample.id.as_str()).collect();
    let there = || suggest::some_listed(&names, MOST_NAMED);
    found.ok_or_else(|| match sample {
        Some(id) => Diagnostic::error(format!("{path} has no sample \"{id}\"")).hint(
            suggest::did_you_mean(id, names.iter().copied())
                .unwrap_or_else(|| format!("there are: {}", there())),
        ),
        None => {
            Diagnostic::error(format!("{path}: which of its {} samples is meant?", names.len()))
                .hint(format!("write {path}#SAMPLE; there are: {}", there()))
        }
    })
}
