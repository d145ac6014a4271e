//! Chips: one film over its primer, and below it the same film over black, over white, and the bare
//! primer: so that what shows through is seen.

use std::fmt::Write as _;

use crate::colour::Srgb8;
use crate::model::{Layer, Recipe};
use crate::predict::{Look, Unseen, Viewing, look_of_accent, look_of_base, shown};
use crate::quantity::{Fraction, Units};
use crate::spectrum::Spectrum;

use super::drawing::{DrawingError, draw, escaped};
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
    /// Of an accent, the least and the most that the pours dose of it, as fractions of a container's
    /// resin mass; none where no pour holds it.
    pub poured: Option<[f64; 2]>,
    /// Colorants with their loadings as shown, fractions of mixed resin mass.
    pub doses: Vec<(String, f64)>,
    /// What it looks like, or why that is not known.
    pub look: Result<Look, Unseen>,
    /// All its colorants that have no optical data, by name.
    pub without_optics: Vec<String>,
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
    let without_optics = |colorants: &mut dyn Iterator<Item = &String>| -> Vec<String> {
        let has_none = |name: &&String| {
            recipe.colorants.get(name.as_str()).is_some_and(|colorant| colorant.optics.is_none())
        };
        colorants.filter(has_none).cloned().collect()
    };
    let bases = recipe.colourway.bases.values().map(|base| Chip {
        name: base.name.clone(),
        accent: false,
        poured: None,
        doses: base.colorants.iter().map(|d| (d.colorant.clone(), d.loading.value())).collect(),
        look: look_of_base(recipe, &base.name, viewing),
        without_optics: without_optics(&mut base.colorants.iter().map(|dose| &dose.colorant)),
        over_black: look_of_base(recipe, &base.name, &black).ok().map(|look| look.shown),
        over_white: look_of_base(recipe, &base.name, &white).ok().map(|look| look.shown),
        primer,
    });
    let accents = recipe.colourway.accents.values().map(|accent| Chip {
        name: accent.name.clone(),
        accent: true,
        poured: poured(recipe, &accent.name),
        doses: vec![(accent.colorant.clone(), crate::predict::ACCENT_LOADING)],
        look: look_of_accent(recipe, &accent.name, viewing),
        without_optics: without_optics(&mut std::iter::once(&accent.colorant)),
        over_black: look_of_accent(recipe, &accent.name, &black).ok().map(|look| look.shown),
        over_white: look_of_accent(recipe, &accent.name, &white).ok().map(|look| look.shown),
        primer,
    });
    bases.chain(accents).collect()
}

/// The least and the most that the pours dose of an accent.
fn poured(recipe: &Recipe<'_>, accent: &str) -> Option<[f64; 2]> {
    let layers = recipe.colourway.pours.iter().flat_map(|pour| &pour.layers);
    layers
        .filter_map(|layer| match layer {
            Layer::Accent { accent: name, dose } if name == accent => Some(dose.value()),
            _ => None,
        })
        .fold(None, |range: Option<[f64; 2]>, dose| {
            Some(range.map_or([dose, dose], |[least, most]| [least.min(dose), most.max(dose)]))
        })
}

impl Chip {
    /// What it is: a base; or an accent, with what of it is shown, since a drop of it in a container
    /// cannot be shown by itself.
    #[must_use]
    pub fn kind_words(&self) -> Vec<String> {
        if !self.accent {
            return vec!["base".to_owned()];
        }
        let mut words = vec!["accent, shown by itself as a film of".to_owned()];
        words.extend(
            self.doses.iter().map(|(name, loading)| {
                format!("{} {name} in clear resin", shown_percent(*loading))
            }),
        );
        if let Some([least, most]) = self.poured {
            let [least, most] = [least, most].map(shown_percent);
            let range = if least == most { least } else { format!("{least} to {most}") };
            words.push(format!("(poured: {range} of a container's resin)"));
        }
        words
    }

    /// Each colorant of a base with its loading.
    #[must_use]
    pub fn dose_words(&self) -> Vec<String> {
        match (self.accent, self.doses.is_empty()) {
            (true, _) => Vec::new(),
            (false, true) => vec!["clear: no colorant".to_owned()],
            (false, false) => self
                .doses
                .iter()
                .map(|(name, loading)| format!("{name} {}", shown_percent(*loading)))
                .collect(),
        }
    }
}

fn shown_percent(loading: f64) -> String {
    Fraction::new(loading).show(Units::Metric)
}

/// White paper.
const PAPER: Srgb8 = Srgb8 { r: 255, g: 255, b: 255 };
/// Pixels of paper between fields.
const BETWEEN: u32 = 8;
/// Pixels of the label under a chip.
const LABEL: u32 = 116;
/// Letters of a name that fit its width.
const NAME_LETTERS: usize = 30;

/// A chip as a picture with a label under it; `None` where its look is not known.
///
/// # Errors
/// Only where memory runs out.
pub fn chip(chip: &Chip) -> Result<Option<Raster>, DrawingError> {
    let Some(picture) = field(chip) else { return Ok(None) };
    let mut whole =
        Raster::filled(picture.width, picture.height + LABEL, DPI, Srgb8::new(255, 255, 255));
    whole.place(0, 0, &picture);
    whole.place(0, picture.height, &label(chip)?);
    Ok(Some(whole))
}

/// What the fields are, the chip's name and its colour in figures; letters of 5 to 8 points in print.
fn label(chip: &Chip) -> Result<Raster, DrawingError> {
    let [width, _] = SIZE_IN.map(|inches| inches * DPI);
    let third = width / 3;
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{LABEL}" font-family="Inter" font-size="22" fill="#1c1c1c">"##
    );
    for (at, words) in (0_u32..).zip(["over black", "over white", "primer"]) {
        let _ = write!(svg, r#"<text x="{}" y="26">{words}</text>"#, at * third + 8);
    }
    let kind = if chip.accent { "accent" } else { "base" };
    let name: String = format!("{kind} {}", chip.name).chars().take(NAME_LETTERS).collect();
    let _ = write!(
        svg,
        r#"<text x="8" y="66" font-size="32" font-weight="600">{}</text>"#,
        escaped(&name)
    );
    if let Ok(look) = &chip.look {
        let _ = write!(svg, r#"<text x="8" y="100">{}</text>"#, escaped(&lab_words(look)));
    }
    svg.push_str("</svg>");
    // A pixel a unit: the chip's own size is in pixels.
    draw(&svg, 96)
}

/// A colour in figures, with how far to trust it. To a tenth first, so that no minus stands before nought.
pub(super) fn lab_words(look: &Look) -> String {
    let [l, a, b] = [look.lab.l, look.lab.a, look.lab.b].map(|c| (c * 10.0).round() / 10.0 + 0.0);
    format!("L* {l:.1}  a* {a:.1}  b* {b:.1}  ({})", look.standing)
}

/// The film over the primer, and below it the same film over black and white, and the bare primer.
fn field(chip: &Chip) -> Option<Raster> {
    let look = chip.look.as_ref().ok()?;
    let [width, height] = SIZE_IN.map(|inches| inches * DPI);
    let mut picture = Raster::filled(width, height, DPI, look.shown);
    let strip = height / 5;
    let wide = (width - 2 * BETWEEN) / 3;
    let top = height - strip;
    let fields = [chip.over_black?, chip.over_white?, chip.primer];
    // Paper between the fields: like beside like would else be one.
    picture.paint(0, top - BETWEEN, width, strip + BETWEEN, PAPER);
    for (at, colour) in (0_u32..).zip(fields) {
        picture.paint(at * (wide + BETWEEN), top, wide, strip, colour);
    }
    Some(picture)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_accent_says_what_of_it_is_shown_and_what_is_poured() {
        let mut chip = Chip {
            name: "ink".to_owned(),
            accent: true,
            poured: Some([0.006, 0.008]),
            doses: vec![("carbon black liquid".to_owned(), 0.1)],
            look: Err(Unseen::NoOptics(vec!["carbon black liquid".to_owned()])),
            without_optics: vec!["carbon black liquid".to_owned()],
            over_black: None,
            over_white: None,
            primer: Srgb8 { r: 0, g: 0, b: 0 },
        };
        assert_eq!(
            chip.kind_words(),
            [
                "accent, shown by itself as a film of",
                "10 % carbon black liquid in clear resin",
                "(poured: 0.6 % to 0.8 % of a container's resin)",
            ]
        );
        assert_eq!(chip.dose_words(), Vec::<String>::new(), "told already");
        chip.poured = Some([0.006, 0.006]);
        assert_eq!(chip.kind_words()[2], "(poured: 0.6 % of a container's resin)");
        chip.accent = false;
        assert_eq!(chip.kind_words(), ["base"]);
        assert_eq!(chip.dose_words(), ["carbon black liquid 10 %"]);
    }
}
