//! Pictures of a colourway: a chip for each base and accent, and one sheet of them all.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::colour::{Srgb8, smooth_reflectance_of_srgb};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::model::{Fingerprint, Recipe};
use crate::picture::{
    APPROXIMATE, Chip, Curve, Note, Panel, Raster, Scale, SheetHead, chip, chips, colorant_panels,
    plot, plot_svg, sheet,
};
use crate::predict::Viewing;
use crate::quantity::{Length, Units};
use crate::spectrum::{Illuminant, Observer, weights};
use crate::store::Opened;

use super::find::{curable, faults_told, named};
use super::plan::{Extent, colourway};

/// Which pictures.
#[derive(Debug, Clone, PartialEq)]
pub struct SwatchAsk {
    /// The colourway by name or file.
    pub colourway: String,
    /// Lamps to look under; daylight D65 where none is named.
    pub lamps: Vec<Illuminant>,
    /// The observer.
    pub observer: Observer,
    /// Another film than the recipe's.
    pub film: Option<Length>,
    /// Another primer than the recipe's.
    pub primer: Option<Srgb8>,
    /// Units to show.
    pub units: Units,
}

/// A picture to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Its file's name.
    pub file: String,
    /// PNG.
    pub bytes: Vec<u8>,
}

impl Picture {
    /// Names its seed in its file's name, so that pictures of several seeds stand beside each other.
    pub fn name_seed(&mut self, seed: u64) {
        self.name_also(&format!("seed-{seed}"));
    }

    /// Names its job, by [`job_stem`], in its file's name, so that a job's picture takes no other's place, nor that of the sample board.
    pub fn name_job(&mut self, stem: &str) {
        self.name_also(stem);
    }

    fn name_also(&mut self, words: &str) {
        self.file = match self.file.rsplit_once('.') {
            Some((stem, ending)) => format!("{stem}-{words}.{ending}"),
            None => format!("{}-{words}", self.file),
        };
    }
}

/// What was drawn under one lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Lamp and observer in words.
    pub viewing: String,
    /// Every base and accent.
    pub chips: Vec<Chip>,
}

/// The pictures of a colourway and what they show, lamp by lamp. What would show nothing, for want of optical data, is
/// left out: [`Chip::without_optics`] says why.
///
/// # Errors
/// No such colourway, references that dangle, or a primer that no paint can have.
pub fn swatch(opened: &Opened, ask: &SwatchAsk) -> Result<(Vec<Picture>, Vec<Seen>), Diagnostics> {
    let (way, file) = colourway(opened, &ask.colourway)?;
    let recipe =
        Recipe::of(&opened.shop, way).map_err(|faults| faults_told(opened, file, faults))?;
    curable(opened, recipe.system)?;
    let fingerprint = Fingerprint::of(&recipe);
    let daylight = [Illuminant::D65];
    let lamps = if ask.lamps.is_empty() { &daylight[..] } else { &ask.lamps };
    let (mut pictures, mut seen) = (Vec::new(), Vec::new());
    for lamp in lamps {
        let viewing = viewing(&recipe, ask, lamp)?;
        let words = viewing.words();
        let suffix = if lamps.len() == 1 {
            String::new()
        } else {
            format!("-{}", file_stem(&lamp.to_string()))
        };
        let all = chips(&recipe, &viewing);
        for each in &all {
            let picture = chip(each).map_err(|why| Diagnostic::error(why.to_string()))?;
            if let Some(picture) = picture {
                let kind = if each.accent { "accent" } else { "base" };
                let title = format!("{}: {kind} {}", way.name, each.name);
                let file = format!("{kind}-{}{suffix}.png", file_stem(&each.name));
                pictures.push(encoded(file, &picture, &title, &words, fingerprint)?);
            }
        }
        if all.iter().all(|chip| chip.look.is_err()) {
            seen.push(Seen { viewing: words, chips: all });
            continue;
        }
        let head = SheetHead {
            colourway: &way.name,
            fingerprint,
            system: &recipe.system.name,
            film: viewing.film,
            viewing: &words,
            units: ask.units,
        };
        let overview = sheet(&head, &all).map_err(|why| Diagnostic::error(why.to_string()))?;
        let title = format!("{}: all bases and accents", way.name);
        let file = format!("overview{suffix}.png");
        pictures.push(encoded(file, &overview, &title, &words, fingerprint)?);
        if seen.is_empty() {
            pictures.extend(spectra(&recipe, &all, &viewing, (fingerprint, ask.units))?);
        }
        seen.push(Seen { viewing: words, chips: all });
    }
    told_apart(&mut pictures);
    Ok((pictures, seen))
}

/// The name of the colourway to draw: the one that is named, else the job's own where a job is drawn on.
///
/// # Errors
/// No such colourway or job, or none is named and there is no job that names one.
pub fn colourway_to_draw(
    opened: &Opened,
    word: Option<&str>,
    on: Option<&Extent>,
) -> Result<String, Diagnostics> {
    if let Some(word) = word {
        return colourway(opened, word).map(|(way, _)| way.name.clone());
    }
    let Some(Extent::Job(job)) = on else {
        return Err(Diagnostic::error("a swatch needs a colourway")
            .hint("pourbook swatch COLOURWAY, or pourbook swatch --job JOB for the job's own")
            .into());
    };
    let files = &opened.files.jobs;
    let (name, job) = named(opened, "job", job, &opened.shop.jobs, |name| files.get(name))?;
    let own = job.colourway.as_ref().ok_or_else(|| {
        Diagnostic::error(format!(
            "no colourway is named, and the job \"{name}\" has none of its own"
        ))
        .hint("pourbook swatch COLOURWAY --job JOB")
    })?;
    colourway(opened, own).map(|(way, _)| way.name.clone())
}

/// The folder inside the shop where a colourway's pictures go, however a person has named it.
///
/// # Errors
/// No such colourway.
pub fn swatch_folder(opened: &Opened, word: &str) -> Result<PathBuf, Diagnostics> {
    let (way, _) = colourway(opened, word)?;
    let folder = opened.folder.join("swatches").join(file_stem(&way.name));
    // Told as a person would type it: no dot for the folder that they stand in.
    Ok(folder.strip_prefix(".").map(Path::to_owned).unwrap_or(folder))
}

/// What stands for a job in the names of its pictures' files; where several jobs' names give the same, the later ones
/// are numbered.
///
/// # Errors
/// Where no job, or more than one, is called so.
pub fn job_stem(opened: &Opened, word: &str) -> Result<String, Diagnostics> {
    let files = &opened.files.jobs;
    let (_, job) = named(opened, "job", word, &opened.shop.jobs, |name| files.get(name))?;
    let stem = file_stem(&job.name);
    let before = opened.shop.jobs.keys().take_while(|name| **name != job.name);
    Ok(match before.filter(|name| file_stem(name) == stem).count() {
        0 => stem,
        count => format!("{stem}-{}", count + 1),
    })
}

/// Names that differ in their signs or capitals alone give one file name: then the later files are
/// numbered, so that none takes another's place.
fn told_apart(pictures: &mut [Picture]) {
    let mut taken = BTreeSet::new();
    for picture in pictures {
        let (stem, ending) =
            picture.file.rsplit_once('.').map_or((picture.file.as_str(), ""), |parts| parts);
        let mut name = picture.file.clone();
        for number in 2_u32.. {
            if taken.insert(name.clone()) {
                break;
            }
            name = format!("{stem}-{number}.{ending}");
        }
        picture.file = name;
    }
}

/// The recipe's own viewing, with what is asked for changed.
fn viewing(recipe: &Recipe<'_>, ask: &SwatchAsk, lamp: &Illuminant) -> Result<Viewing, Diagnostic> {
    let mut viewing = Viewing::of(recipe);
    if let Some(primer) = ask.primer {
        let daylight = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        viewing.primer = smooth_reflectance_of_srgb(primer, &daylight).map_err(|_| {
            Diagnostic::error(format!("no paint has the colour {primer}"))
                .hint("take the primer's colour from its card or a photograph")
        })?;
    }
    viewing.film = ask.film.unwrap_or(viewing.film);
    viewing.lamp = lamp.clone();
    viewing.observer = ask.observer;
    Ok(viewing)
}

/// The spectra of bases and of the colorants in them, drawn and as SVG.
fn spectra(
    recipe: &Recipe<'_>,
    chips: &[Chip],
    viewing: &Viewing,
    (fingerprint, units): (Fingerprint, Units),
) -> Result<Vec<Picture>, Diagnostic> {
    let reflectance = chips
        .iter()
        .filter_map(|chip| {
            let look = chip.look.as_ref().ok()?;
            Some(Curve {
                name: chip.name.clone(),
                values: look.reflectance,
                doubt: None,
                colour: look.shown,
                standing: look.standing,
            })
        })
        .collect();
    let mut panels = vec![Panel {
        title: format!(
            "reflectance of each film of {} over the primer",
            viewing.film.show_film(units)
        ),
        scale: Scale::Percent,
        curves: reflectance,
    }];
    panels.extend(colorant_panels(
        recipe.colorants.iter().map(|(name, colorant)| (*name, *colorant)),
    ));
    panels.retain(|panel| !panel.curves.is_empty());
    let title = format!("{}: spectra", recipe.colourway.name);
    let picture = plot(&title, &panels).map_err(|why| Diagnostic::error(why.to_string()))?;
    let drawn = encoded("spectra.png".to_owned(), &picture, &title, &viewing.words(), fingerprint)?;
    let svg =
        Picture { file: "spectra.svg".to_owned(), bytes: plot_svg(&title, &panels).into_bytes() };
    Ok(vec![drawn, svg])
}

pub(super) fn encoded(
    file: String,
    picture: &Raster,
    title: &str,
    viewing: &str,
    fingerprint: Fingerprint,
) -> Result<Picture, Diagnostic> {
    let note = |keyword, text: String| Note { keyword, text };
    let notes = [
        note("Title", title.to_owned()),
        note("Description", format!("{APPROXIMATE}; {viewing}")),
        note("Software", concat!("pourbook ", env!("CARGO_PKG_VERSION")).to_owned()),
        note("Recipe fingerprint", fingerprint.to_string()),
        note("Lamp", viewing.to_owned()),
    ];
    let bytes = picture.png(&notes).map_err(|why| Diagnostic::error(why.to_string()))?;
    Ok(Picture { file, bytes })
}

/// A name as part of a file's name: letters and digits, anything else a hyphen.
#[must_use]
pub fn file_stem(name: &str) -> String {
    let mut stem = String::with_capacity(name.len());
    for character in name.to_lowercase().chars() {
        if character.is_alphanumeric() {
            stem.push(character);
        } else if !stem.is_empty() && !stem.ends_with('-') {
            stem.push('-');
        }
    }
    let stem = stem.trim_end_matches('-');
    let short: String = stem.chars().take(60).collect();
    if short.is_empty() { "unnamed".to_owned() } else { short }
}
