//! Chips: one film over its primer, and below it the same film over black, over white, and the bare
//! primer: so that what shows through is seen.

use crate::colour::Srgb8;
use crate::model::Recipe;
use crate::predict::{Look, Unseen, Viewing, look_of_accent, look_of_base, shown};
use crate::spectrum::Spectrum;

use super::raster::Raster;

/// Width and height of a chip, in.
const SIZE_IN: [u32; 2] = [2, 2];
/// Pixels per inch.
const DPI: u32 = 300;

/// One colour of a colourway, ready to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Chip {
    /// Its name in the colourway.
    pub name: String,
    /// Whether it is an accent: shown as the film that it makes at a tenth of resin mass.
    pub accent: bool,
    /// Colorants with their loadings, fractions of mixed resin mass.
    pub doses: Vec<(String, f64)>,
    /// What it looks like, or why that is not known.
    pub look: Result<Look, Unseen>,
    /// The film over black and over white, as a screen shows them.
    pub over_black: Option<Srgb8>,
    /// The film over white.
    pub over_white: Option<Srgb8>,
    /// The bare primer, as a screen shows it.
    pub primer: Srgb8,
}

/// Chips of all bases and accents of a recipe under one viewing, bases first.
#[must_use]
pub fn chips(recipe: &Recipe<'_>, viewing: &Viewing) -> Vec<Chip> {
    let on = |ground: f64| Viewing { primer: Spectrum::flat(ground), ..viewing.clone() };
    // An opacity chart's black and white, as read (ISO 6504-3).
    let (black, white) = (on(0.01), on(0.80));
    let primer = shown(&viewing.primer, viewing);
    let bases = recipe.colourway.bases.values().map(|base| Chip {
        name: base.name.clone(),
        accent: false,
        doses: base.colorants.iter().map(|d| (d.colorant.clone(), d.loading.value())).collect(),
        look: look_of_base(recipe, &base.name, viewing),
        over_black: look_of_base(recipe, &base.name, &black).ok().map(|look| look.shown),
        over_white: look_of_base(recipe, &base.name, &white).ok().map(|look| look.shown),
        primer,
    });
    let accents = recipe.colourway.accents.values().map(|accent| Chip {
        name: accent.name.clone(),
        accent: true,
        doses: vec![(accent.colorant.clone(), crate::predict::ACCENT_LOADING)],
        look: look_of_accent(recipe, &accent.name, viewing),
        over_black: look_of_accent(recipe, &accent.name, &black).ok().map(|look| look.shown),
        over_white: look_of_accent(recipe, &accent.name, &white).ok().map(|look| look.shown),
        primer,
    });
    bases.chain(accents).collect()
}

/// A chip as a picture; `None` where its look is not known.
#[must_use]
pub fn chip(chip: &Chip) -> Option<Raster> {
    let look = chip.look.as_ref().ok()?;
    let [width, height] = SIZE_IN.map(|inches| inches * DPI);
    let mut picture = Raster::filled(width, height, DPI, look.shown);
    let strip = height / 5;
    let third = width / 3;
    let top = height - strip;
    let fields = [chip.over_black?, chip.over_white?, chip.primer];
    for (at, colour) in (0_u32..).zip(fields) {
        picture.paint(at * third, top, third, strip, colour);
    }
    Some(picture)
}
