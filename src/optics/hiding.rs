//! How well a film hides what is below it.

use super::{Geometry, Ks, Layer, Surface, infinite_reflectance_spectrum};
use crate::solve::{bracketed_root, crossing};
use crate::spectrum::{BANDS, Spectrum};

/// The contrast ratio at which a film is taken as hiding (ISO 6504-3, ASTM D2805).
pub const HIDING_RATIO: f64 = 0.98;

/// A contrast ratio this near another is that one: far below what any instrument reads, and found in
/// a quarter of the films that halving takes.
const NEAR_RATIO: f64 = 1e-13;

/// Luminance over black divided by luminance over white, both as read. `luminance_weights` are
/// illuminant × ȳ a band, in any common scale. A film that returns nothing over white hides: 1.
#[must_use]
pub fn contrast_ratio(
    over_black: &Spectrum,
    over_white: &Spectrum,
    luminance_weights: &[f64; BANDS],
) -> f64 {
    let luminance =
        |seen: &Spectrum| -> f64 { seen.iter().zip(luminance_weights).map(|(r, w)| r * w).sum() };
    let white = luminance(over_white);
    if white <= 0.0 { 1.0 } else { luminance(over_black) / white }
}

/// The film, mm, at which `film` over black and over white reach the contrast `ratio`, or `None`
/// when it takes more than `longest_mm`. `black`, `white` are internal reflectances of the two
/// grounds; the contrast is of readings through `surface`.
#[must_use]
#[expect(clippy::too_many_arguments, reason = "each is a separate quantity of the experiment")]
pub fn hiding_film_mm(
    film: &Ks,
    black: &Spectrum,
    white: &Spectrum,
    surface: Surface,
    geometry: Geometry,
    luminance_weights: &[f64; BANDS],
    ratio: f64,
    longest_mm: f64,
) -> Option<f64> {
    let above = |film_mm: f64| {
        let layer = Layer { ks: *film, film_mm };
        let read = |ground: &Spectrum| surface.reading_spectrum(&layer.over(ground), geometry);
        contrast_ratio(&read(black), &read(white), luminance_weights) - ratio
    };
    // The ratio rises with the film, so one crossing is all there is.
    if above(0.0) >= 0.0 {
        return Some(0.0);
    }
    (above(longest_mm) >= 0.0).then(|| bracketed_root(above, 0.0, longest_mm, NEAR_RATIO))
}

/// The film, mm, from which on `substrate` stops showing: where `difference` between the reading
/// over the substrate and the reading of a film without end stays at or below `threshold`. `None`
/// when that takes more than `longest_mm`, or never happens in a film that neither absorbs nor
/// scatters.
///
/// A difference of colour need not fall steadily with the film, so films are tried from the thickest
/// down on a ladder of 2 % steps, and the last crossing is then narrowed by bisection.
#[must_use]
pub fn masking_film_mm(
    film: &Ks,
    substrate: &Spectrum,
    surface: Surface,
    geometry: Geometry,
    difference: impl Fn(&Spectrum, &Spectrum) -> f64,
    threshold: f64,
    longest_mm: f64,
) -> Option<f64> {
    const STEP: f64 = 0.98;
    const THINNEST_MM: f64 = 1e-4;
    if !(longest_mm.is_finite() && longest_mm > 0.0) {
        return None;
    }
    let end = surface.reading_spectrum(&infinite_reflectance_spectrum(film), geometry);
    let hidden = |film_mm: f64| {
        let seen = Layer { ks: *film, film_mm }.over(substrate);
        difference(&surface.reading_spectrum(&seen, geometry), &end) <= threshold
    };
    if !hidden(longest_mm) {
        return None;
    }
    let mut enough = longest_mm;
    while enough > THINNEST_MM {
        let thinner = enough * STEP;
        if !hidden(thinner) {
            return Some(crossing(hidden, thinner, enough));
        }
        enough = thinner;
    }
    Some(if hidden(0.0) { 0.0 } else { enough })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::film_reflectance;

    const EQUAL: [f64; BANDS] = [1.0; BANDS];

    fn grey(k: f64, s: f64) -> Ks {
        Ks { k: Spectrum::flat(k), s: Spectrum::flat(s) }
    }

    #[test]
    fn a_pure_scatterer_hides_where_algebra_says() {
        // K = 0, Rg 0 and 1, no face: R_b = SX/(1+SX), R_w = 1, so the ratio .98 is at SX = 49.
        let film = hiding_film_mm(
            &grey(0.0, 10.0),
            &Spectrum::flat(0.0),
            &Spectrum::flat(1.0),
            Surface::NONE,
            Geometry::SpecularExcluded,
            &EQUAL,
            HIDING_RATIO,
            100.0,
        )
        .expect("within 100 mm");
        assert!((film - 4.9).abs() < 1e-9, "49/10 mm, got {film}");
    }

    #[test]
    fn a_clear_film_never_hides() {
        let none = hiding_film_mm(
            &Ks::CLEAR,
            &Spectrum::flat(0.02),
            &Spectrum::flat(0.85),
            Surface::of_index(1.53),
            Geometry::SpecularExcluded,
            &EQUAL,
            HIDING_RATIO,
            1e3,
        );
        assert_eq!(none, None, "clear");
    }

    #[test]
    fn the_primer_stops_showing_at_the_threshold() {
        let film = grey(0.8, 6.0);
        let mean = |a: &Spectrum, b: &Spectrum| (a[0] - b[0]).abs();
        let found = masking_film_mm(
            &film,
            &Spectrum::flat(0.9),
            Surface::NONE,
            Geometry::SpecularExcluded,
            mean,
            0.01,
            50.0,
        )
        .expect("hides within 50 mm");
        let gap = |x: f64| {
            (film_reflectance(0.8, 6.0, x, 0.9) - film_reflectance(0.8, 6.0, 1e9, 0.9)).abs()
        };
        assert!((gap(found) - 0.01).abs() < 1e-9, "at the threshold: {}", gap(found));
        assert!(gap(found * 0.99) > 0.01, "not before");
    }

    #[test]
    fn a_primer_of_the_film_s_own_colour_needs_no_film() {
        let film = grey(0.8, 6.0);
        let own = infinite_reflectance_spectrum(&film);
        let differ = |a: &Spectrum, b: &Spectrum| (a[0] - b[0]).abs();
        let found = masking_film_mm(
            &film,
            &own,
            Surface::NONE,
            Geometry::SpecularExcluded,
            differ,
            0.01,
            50.0,
        );
        assert_eq!(found, Some(0.0), "its own colour");
    }
}
