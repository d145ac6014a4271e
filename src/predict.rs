//! The colour of things: what a mix will look like as a film over a primer.

use std::collections::BTreeMap;

use crate::colour::{Lab, Srgb8, ToScreen};
use crate::model::{Colorant, Finish, Recipe, Standing, System};
use crate::optics::{
    Geometry, HIDING_RATIO, Ks, Layer, Portion, Surface, composition, contrast_ratio,
    hiding_film_mm, mix_in_binder,
};
use crate::quantity::Length;
use crate::spectrum::{Illuminant, Observer, Spectrum, Weights, weights};
use crate::suggest::listed;

/// Films are looked at up to this thickness for where they hide, mm.
const LONGEST_FILM_MM: f64 = 100.0;

/// Internal reflectance of the black and the white of an opacity chart, for contrast ratios: its black
/// reads near 1 %, its white 80 % (ISO 6504-3 asks ≤ 5 % and 80 ± 2 %).
pub(crate) const CHART: [f64; 2] = [0.01, 0.80];

/// How a film is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Viewing {
    /// Film thickness.
    pub film: Length,
    /// Reflectance of the bare primer, as read.
    pub primer: Spectrum,
    /// The lamp.
    pub lamp: Illuminant,
    /// The observer.
    pub observer: Observer,
}

impl Viewing {
    /// A recipe's own film and primer in daylight: D65, 2° observer.
    #[must_use]
    pub fn of(recipe: &Recipe<'_>) -> Self {
        Self {
            film: recipe.colourway.film,
            primer: *recipe.colourway.primer_reflectance(),
            lamp: Illuminant::D65,
            observer: Observer::Cie1931_2deg,
        }
    }

    /// Lamp and observer in words.
    #[must_use]
    pub fn words(&self) -> String {
        let degrees = match self.observer {
            Observer::Cie1931_2deg => "2°",
            Observer::Cie1964_10deg => "10°",
        };
        format!("{}/{degrees}", self.lamp)
    }

    /// The weights that fold lamp and observer.
    #[must_use]
    pub fn weights(&self) -> Weights {
        weights(&self.lamp, self.observer)
    }
}

/// What a film looks like.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// Reflectance without the gloss (specular excluded), 0–1.
    pub reflectance: Spectrum,
    /// CIELAB under the lamp.
    pub lab: Lab,
    /// As a screen shows it, adapted to the screen's white.
    pub shown: Srgb8,
    /// Whether the screen can show it as it is.
    pub in_gamut: bool,
    /// Luminance over black / over white at this film, 0–1.
    pub contrast_ratio: f64,
    /// The film that hides black and white (contrast ratio 0.98), if below 100 mm.
    pub hiding_film: Option<Length>,
    /// The weakest standing of the optical data used.
    pub standing: Standing,
    /// Pearls and metallics look otherwise than a diffuse film; their look is a mean over directions.
    pub finish: Finish,
}

/// Why a look cannot be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unseen {
    /// Colorants that have no optical data, by name.
    #[error("{} no optical data", names_have(.0))]
    NoOptics(Vec<String>),
}

/// `"sand" has`, `"sand" and "mica" have`.
fn names_have(names: &[String]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
    format!("{} {}", listed(&quoted, "and"), if names.len() == 1 { "has" } else { "have" })
}

/// The coefficients of the film that a mix makes, with the weakest standing and the boldest finish of
/// its colorants. Loadings are of the standing lots.
///
/// # Errors
/// A colorant without optical data.
pub fn film(recipe: &Recipe<'_>, mix: &[(&str, f64)]) -> Result<(Ks, Standing, Finish), Unseen> {
    film_of(recipe.system, &recipe.colorants, mix)
}

/// As [`film`], of any colorants in a resin system.
///
/// # Errors
/// A colorant without optical data.
pub fn film_of(
    system: &System,
    colorants: &BTreeMap<&str, &Colorant>,
    mix: &[(&str, f64)],
) -> Result<(Ks, Standing, Finish), Unseen> {
    let mut portions = Vec::with_capacity(mix.len());
    let mut units = Vec::with_capacity(mix.len());
    let clear = &system.clear;
    let (mut standing, mut finish) = (clear.standing, Finish::Plain);
    let mut without = Vec::new();
    for (name, loading) in mix {
        let known = colorants.get(name).and_then(|one| one.optics.as_ref().map(|own| (one, own)));
        let Some((colorant, optics)) = known else {
            without.push((*name).to_owned());
            continue;
        };
        portions.push(Portion { loading: *loading, density_g_per_ml: colorant.density.g_per_ml() });
        units.push(&optics.unit);
        standing = standing.max(optics.standing);
        finish = finish.max(colorant.finish);
    }
    if !without.is_empty() {
        return Err(Unseen::NoOptics(without));
    }
    let film = composition(system.mixed_density().g_per_ml(), &portions);
    let amounts: Vec<(f64, &Ks)> =
        film.concentrations_g_per_ml.iter().copied().zip(units).collect();
    let binder = Ks { k: clear.absorption_per_mm, s: Spectrum::flat(0.0) };
    Ok((mix_in_binder(&binder, film.resin_volume_fraction, &amounts), standing, finish))
}

/// What a mix looks like as a film.
///
/// # Errors
/// A colorant without optical data.
pub fn look(recipe: &Recipe<'_>, mix: &[(&str, f64)], viewing: &Viewing) -> Result<Look, Unseen> {
    look_of(recipe.system, &recipe.colorants, mix, viewing)
}

/// As [`look`], of any colorants in a resin system.
///
/// # Errors
/// A colorant without optical data.
pub fn look_of(
    system: &System,
    colorants: &BTreeMap<&str, &Colorant>,
    mix: &[(&str, f64)],
    viewing: &Viewing,
) -> Result<Look, Unseen> {
    let (ks, standing, finish) = film_of(system, colorants, mix)?;
    let surface = Surface::of_index(system.clear.refractive_index);
    let gloss = Geometry::SpecularExcluded;
    let layer = Layer { ks, film_mm: viewing.film.mm() };
    // The primer is read bare, through its own face; under the film that face is gone.
    let ground = surface.internal_spectrum(&viewing.primer, gloss);
    let reflectance = surface.reading_spectrum(&layer.over(&ground), gloss);
    let weights = viewing.weights();
    let xyz = weights.xyz(&reflectance);
    let shown = ToScreen::from_white(weights.white()).show(xyz);
    let [black, white] = CHART.map(Spectrum::flat);
    let read = |ground: &Spectrum| surface.reading_spectrum(&layer.over(ground), gloss);
    let luminance = &weights.rows()[1];
    Ok(Look {
        lab: Lab::from_xyz(xyz, weights.white()),
        shown: shown.srgb8(),
        in_gamut: shown.in_gamut,
        contrast_ratio: contrast_ratio(&read(&black), &read(&white), luminance),
        hiding_film: hiding_film_mm(
            &ks,
            &black,
            &white,
            surface,
            gloss,
            luminance,
            HIDING_RATIO,
            LONGEST_FILM_MM,
        )
        .map(Length::from_mm),
        reflectance,
        standing,
        finish,
    })
}

/// The look of a base as the recipe states it.
///
/// # Errors
/// A colorant without optical data.
pub fn look_of_base(recipe: &Recipe<'_>, base: &str, viewing: &Viewing) -> Result<Look, Unseen> {
    let mix: Vec<(&str, f64)> = recipe
        .colourway
        .bases
        .get(base)
        .iter()
        .flat_map(|base| &base.colorants)
        .map(|dose| (dose.colorant.as_str(), dose.loading.value()))
        .collect();
    look(recipe, &mix, viewing)
}

/// The loading at which an accent is shown by itself: what it looks like where it lies thick.
pub const ACCENT_LOADING: f64 = 0.1;

/// The look of an accent by itself, at [`ACCENT_LOADING`].
///
/// # Errors
/// A colorant without optical data.
pub fn look_of_accent(
    recipe: &Recipe<'_>,
    accent: &str,
    viewing: &Viewing,
) -> Result<Look, Unseen> {
    let mix: Vec<(&str, f64)> = recipe
        .colourway
        .accents
        .get(accent)
        .iter()
        .map(|accent| (accent.colorant.as_str(), ACCENT_LOADING))
        .collect();
    look(recipe, &mix, viewing)
}

/// A reflectance as a screen shows it under a viewing's lamp, adapted to the screen's white.
#[must_use]
pub fn shown(reflectance: &Spectrum, viewing: &Viewing) -> Srgb8 {
    let weights = viewing.weights();
    ToScreen::from_white(weights.white()).show(weights.xyz(reflectance)).srgb8()
}
