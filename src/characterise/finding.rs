//! A colorant of the shelf characterised from a shop's rows of readings: names to numbers, and back to
//! what a person wants to know.

use super::answer::{Basis, Characterised};
use super::drawdown::{Conditions, Known, Noise};
use super::impossible::Impossible;
use super::next_reading::{Belief, Candidate, next_reading};
use super::presumed::Presumption;
use super::route::{Refused, Route, characterise};
use super::rows::{CHART, Laid, film as film_of, known_of, lay_out};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::file::readings::drawn::DrawnRow;
use crate::model::{Colorant, Finish, Shelf, Standing, System};
use crate::optics::{Geometry, Ks, Portion, Surface, composition};
use crate::quantity::Length;
use crate::spectrum::{BANDS, Illuminant, Observer, Spectrum, wavelength_nm, weights};

/// Readings deny a film when they put it this many standard deviations from what was stated.
const FILM_DENIED: f64 = 3.0;
/// A next reading is worth taking when it lowers the expected error by this share of it at least.
const WORTHWHILE: f64 = 0.1;
/// An error on the scale of L* that nobody sees: then there is no need to read on.
const UNSEEN: f64 = 0.3;
/// ∛R to L* of a grey: L* = 116·∛Y − 16 (ISO/CIE 11664-4).
const ROOT_TO_LIGHTNESS: f64 = 116.0;
/// Residuals this many times their stated doubt call for a word.
const MISFIT: f64 = 3.0;

/// What is asked.
#[derive(Debug, Clone)]
pub struct FindingAsk<'a> {
    /// The colorant sought.
    pub colorant: &'a Colorant,
    /// All colorants of the shop.
    pub shelf: &'a Shelf,
    /// The resin system the films were made of.
    pub system: &'a System,
    /// The readings.
    pub rows: &'a [DrawnRow],
    /// How they were taken where they do not say.
    pub geometry: Option<Geometry>,
    /// The lamp of colours given as Lab.
    pub lamp: &'a Illuminant,
    /// The observer of colours given as Lab.
    pub observer: Observer,
    /// Whether an estimate from a masstone alone is wanted.
    pub accept_masstone_alone: bool,
}

/// A film that was read, in words' reach.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmRead {
    /// The rows that read it.
    pub rows: Vec<String>,
    /// Its stated thickness; `None` where it was said to hide.
    pub stated: Option<Length>,
    /// Its thickness as the readings see it; `None` where it hides.
    pub seen: Option<Length>,
    /// How far that lies from what was stated, in standard deviations.
    pub deviations: f64,
    /// Whether the readings deny the stated film.
    pub denied: bool,
}

/// A film that could be read next.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// What to draw down and read, in a sentence.
    pub words: String,
    /// Expected error of usual recipes once it has been read, on the scale of L*.
    pub error_after: f64,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The colorant.
    pub colorant: String,
    /// The resin system the films were made of.
    pub system: String,
    /// How it was found.
    pub route: Route,
    /// Whether colours alone were read, no spectra.
    pub colour_alone: bool,
    /// Coefficients and their doubt.
    pub found: Characterised,
    /// How far they can be trusted.
    pub standing: Standing,
    /// Colorants taken as known.
    pub known: Vec<String>,
    /// The films.
    pub films: Vec<FilmRead>,
    /// Expected error of usual recipes as things stand, on the scale of L*.
    pub error_now: f64,
    /// What to read next, the best first; empty where nothing is worth it.
    pub next: Vec<Next>,
    /// Cautions and notes.
    pub said: Diagnostics,
}

impl Finding {
    /// Mean error in ΔE00 of mixtures that is to be expected by this route.
    #[must_use]
    pub const fn expected_delta_e_2000(&self) -> f64 {
        self.route.expected_delta_e_2000(self.colour_alone)
    }
}

/// Characterises a colorant of the shelf.
///
/// # Errors
/// What is wrong with the rows, each at its place; a masstone alone is refused unless an estimate is
/// asked for.
pub fn characterise_colorant(ask: &FindingAsk<'_>) -> Result<Finding, Diagnostics> {
    let Laid { drawdowns, rows, makes, known, names, colour_alone, mut said } = lay_out(ask)?;
    let noise = if colour_alone { Noise::PHOTOGRAPH } else { Noise::SPECTROPHOTOMETER };
    let conditions = conditions(ask.system, noise);
    let presumption = Presumption::PASTE;
    let (route, found) =
        characterise(&drawdowns, &known, &conditions, &presumption, ask.accept_masstone_alone)
            .map_err(|refused| told(&refused, &rows))?;
    let films: Vec<FilmRead> = found
        .films
        .iter()
        .zip(&makes)
        .zip(&rows)
        .map(|((check, make), rows)| {
            let stated = make.film_mm.is_finite().then(|| Length::from_mm(make.film_mm));
            FilmRead {
                rows: rows.iter().map(|row| row.id.clone()).collect(),
                stated,
                seen: stated.map(|film| Length::from_mm(film.mm() * libm::exp(check.ln_ratio))),
                deviations: check.deviations,
                denied: check.deviations.abs() > FILM_DENIED,
            }
        })
        .collect();
    say_what_is_odd(ask, &found, &films, &rows, &mut said);
    let floor = match found.basis {
        Basis::Readings => Standing::Measured,
        Basis::Presumption => Standing::Estimated,
    };
    let of_known = names.iter().filter_map(|name| ask.shelf.get(name)?.optics.as_ref());
    let standing = rows
        .iter()
        .flatten()
        .map(|row| row.standing)
        .chain(of_known.map(|optics| optics.standing))
        .fold(floor, Standing::max);
    let (error_now, next) = what_next(ask, &found, &names, &known, &conditions);
    Ok(Finding {
        colorant: ask.colorant.name.clone(),
        system: ask.system.name.clone(),
        route,
        colour_alone,
        found,
        standing,
        known: names,
        films,
        error_now,
        next,
        said,
    })
}

/// The face and the clear film of a system.
pub(super) fn conditions(system: &System, noise: Noise) -> Conditions {
    let clear = &system.clear;
    Conditions {
        surface: Surface::of_index(clear.refractive_index),
        binder: Ks { k: clear.absorption_per_mm, s: Spectrum::flat(0.0) },
        noise,
    }
}

/// A refusal at the row that brings it.
fn told(refused: &Refused, rows: &[Vec<&DrawnRow>]) -> Diagnostics {
    let message = refused.to_string();
    let Refused::Impossible(why) = refused else {
        return Diagnostic::refused(message)
            .hint("--accept-masstone makes an estimate all the same, and marks it as one")
            .into();
    };
    let row = |drawdown: usize, reading: usize| rows.get(drawdown)?.get(reading);
    let (place, hint) = match why {
        Impossible::NoReading => (None, None),
        Impossible::NoColorant { drawdown }
        | Impossible::Film { drawdown }
        | Impossible::Exchanged { drawdown, .. } => (row(*drawdown, 0), None),
        Impossible::NotANumber { drawdown, reading, .. } => (row(*drawdown, *reading), None),
        Impossible::AboveOne { drawdown, reading, .. } => (
            row(*drawdown, *reading),
            Some(
                "a fluorescent film, percent read as fractions, or a white calibration that has drifted",
            ),
        ),
        Impossible::BelowSurface { drawdown, reading, .. } => {
            (row(*drawdown, *reading), Some("was the gloss left out of the reading?"))
        }
    };
    // The places of a list mean nothing to a person: the row's own name does.
    let plain = message.split_once(": ").map_or(message.as_str(), |(_, rest)| rest);
    let mut diagnostic = match place {
        Some(row) => Diagnostic::error(format!("{}: {plain}", row.id)).at(row.place.clone()),
        None => Diagnostic::error(message),
    };
    diagnostic.hints.extend(hint.map(str::to_owned));
    diagnostic.into()
}

fn say_what_is_odd(
    ask: &FindingAsk<'_>,
    found: &Characterised,
    films: &[FilmRead],
    rows: &[Vec<&DrawnRow>],
    said: &mut Diagnostics,
) {
    for (film, rows) in films.iter().zip(rows) {
        if let (true, Some(stated), Some(seen)) = (film.denied, film.stated, film.seen) {
            let mut told = Diagnostic::caution(format!(
                "the film of {} is stated as {:.3} mm, but the readings fit {:.3} mm",
                film.rows.join(", "),
                stated.mm(),
                seen.mm()
            ));
            if let Some(row) = rows.first() {
                told = told.at(row.place.clone());
            }
            said.push(told.hint("measure it again; one wrong film spoils the others' fit too"));
        }
    }
    if let Some(misfit) = found.misfit.filter(|misfit| *misfit > MISFIT * MISFIT) {
        said.push(
            Diagnostic::caution(format!(
                "the readings agree {:.0} times worse with one another than an instrument's noise explains; intervals are widened by that",
                libm::sqrt(misfit)
            ))
            .hint("look for a wrong loading or film, or a film that is not even"),
        );
    }
    let words = match ask.colorant.finish {
        Finish::Plain => return,
        Finish::Pearl => {
            "a pearl looks otherwise from each side: these are figures of its diffuse part only"
        }
        Finish::Metallic => {
            "metal flake does not follow the model: these figures give its grey, not its sparkle"
        }
    };
    said.push(Diagnostic::caution(words));
}

/// The white among known colorants: of those with optics, the one that scatters most for what it
/// absorbs; it must reflect three quarters of the light where it hides.
fn white<'a>(ask: &FindingAsk<'a>, names: &[String]) -> Option<&'a Colorant> {
    let worst = |colorant: &Colorant| {
        let unit = &colorant.optics.as_ref()?.unit;
        // From 450 nm on: whites absorb violet.
        let ratio = (0..BANDS)
            .filter(|band| wavelength_nm(*band) >= 450.0)
            .map(|band| unit.k[band] / unit.s[band].max(1e-12))
            .fold(0.0, f64::max);
        (ratio < 0.042).then_some(ratio)
    };
    let among = |colorants: &mut dyn Iterator<Item = &'a Colorant>| {
        colorants
            .filter(|colorant| colorant.name != ask.colorant.name)
            .filter_map(|colorant| Some((worst(colorant)?, colorant)))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, colorant)| colorant)
    };
    among(&mut names.iter().filter_map(|name| ask.shelf.get(name)))
        .or_else(|| among(&mut ask.shelf.values()))
}

/// What the next reading could be, ranked, and the error as things stand.
fn what_next(
    ask: &FindingAsk<'_>,
    found: &Characterised,
    names: &[String],
    known: &[Known],
    conditions: &Conditions,
) -> (f64, Vec<Next>) {
    let mut known = known.to_vec();
    let white = white(ask, names);
    let at = white.map(|white| {
        names.iter().position(|name| *name == white.name).unwrap_or_else(|| {
            known.extend(white.optics.as_ref().map(known_of));
            known.len() - 1
        })
    });
    let film = |loading: f64, of_white: f64, film_mm: f64| {
        let mut portions =
            vec![Portion { loading, density_g_per_ml: ask.colorant.density.g_per_ml() }];
        if let Some(white) = white.filter(|_| of_white > 0.0) {
            portions
                .push(Portion { loading: of_white, density_g_per_ml: white.density.g_per_ml() });
        }
        let others: Vec<usize> = if of_white > 0.0 { at.into_iter().collect() } else { Vec::new() };
        film_of(&composition(ask.system.mixed_density().g_per_ml(), &portions), &others, film_mm)
    };
    let geometry = ask.geometry.unwrap_or(Geometry::SpecularIncluded);
    let [black, paper] = CHART.map(Spectrum::flat);
    let candidate = |film, both: bool| Candidate {
        film,
        grounds: if both { vec![black, paper] } else { vec![paper] },
        geometry,
    };
    let masstone = ask.colorant.ceiling.value().min(0.05);
    let (mut words, mut candidates) = (Vec::new(), Vec::new());
    for film_mm in [0.2, 0.1, 0.05] {
        words.push(format!(
            "its masstone at {:.1} % in a film of {film_mm} mm, over black and over white",
            100.0 * masstone
        ));
        candidates.push(candidate(film(masstone, 0.0, film_mm), true));
    }
    let mut uses = Vec::new();
    if let Some(white) = white {
        for share in [0.02, 0.10, 0.25] {
            words.push(format!(
                "a tint of {:.2} % of it with {:.2} % of {} in a film of 0.2 mm, over black and over white",
                6.0 * share,
                6.0 * (1.0 - share),
                white.name
            ));
            candidates.push(candidate(film(0.06 * share, 0.06 * (1.0 - share), 0.2), true));
        }
        for loading in [0.002_f64, 0.005, 0.01] {
            uses.push(candidate(film(loading.min(masstone), 0.02, 3.0), false));
        }
    } else {
        uses.push(candidate(film(masstone / 2.0, 0.0, 3.0), false));
    }
    uses.push(candidate(film(masstone / 4.0, 0.0, 3.0), true));
    let eye = weights(&Illuminant::D65, Observer::Cie1931_2deg);
    let by_band: [f64; BANDS] =
        std::array::from_fn(|band| eye.rows().iter().map(|row| row[band].max(0.0)).sum());
    let belief = Belief::after(found, &Presumption::PASTE);
    let ranked = next_reading(&belief, &candidates, &uses, &known, conditions, &by_band);
    let now = ranked.first().map_or(0.0, |worth| ROOT_TO_LIGHTNESS * worth.error_now);
    let next = ranked
        .iter()
        .map(|worth| (worth.candidate, ROOT_TO_LIGHTNESS * worth.error_after))
        .filter(|(_, after)| now > UNSEEN && now - after > WORTHWHILE * now)
        .filter_map(|(place, error_after)| {
            Some(Next { words: words.get(place)?.clone(), error_after })
        })
        .collect();
    (now, next)
}
