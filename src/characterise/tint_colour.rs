//! The reflectance of a tint of which only the colour is known: a photograph with a grey card, or a
//! Lab value, of a known loading in a known white.

use crate::colour::{Unreachable, smooth_reflectance};
use crate::spectrum::{BANDS, FIRST_NM, Illuminant, Observer, STEP_NM, Spectrum, Weights, Xyz};

/// The reflectance with the tristimulus values `seen` (Y = 100 for a perfect white, under
/// `illuminant` for `observer`) that is the smoothest multiple of `white`, the reflectance of the
/// same film and ground with the white alone.
///
/// A colorant takes away from the white it is in, and adds nothing of note to it. So the white's own
/// shape, its fall towards the ultraviolet above all, is kept, and what is smooth is the share that
/// the colorant leaves, between 0 and 1: the smoothest reflectance under the light as the white
/// returns it.
///
/// # Errors
///
/// [`Unreachable`] for a colour that no such film has: lighter than the white, or purer than smooth
/// absorption gives.
pub fn tint_of_colour(
    seen: Xyz,
    white: &Spectrum,
    illuminant: &Illuminant,
    observer: Observer,
) -> Result<Spectrum, Unreachable> {
    let (step_nm, power) = (illuminant.summing_step_nm(), illuminant.power());
    let returned = Weights::fold(|nm| power(nm) * between(white, nm), step_nm, observer);
    // Folding makes the white's own luminance 100: bring the seen values to that.
    let plain = Weights::fold(&power, step_nm, observer);
    let scale = 100.0 / plain.xyz(white).y;
    let share =
        smooth_reflectance(Xyz::new(scale * seen.x, scale * seen.y, scale * seen.z), &returned)?;
    Ok(share.zip(white, |share, white| share * white))
}

/// A spectrum between its bands, straight; its ends beyond them.
fn between(spectrum: &Spectrum, nm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "36 bands")]
    let place = ((nm - FIRST_NM) / STEP_NM).clamp(0.0, (BANDS - 1) as f64);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the grid"
    )]
    let low = (place as usize).min(BANDS - 2);
    #[expect(clippy::cast_precision_loss, reason = "36 bands")]
    let share = place - low as f64;
    spectrum[low] + share * (spectrum[low + 1] - spectrum[low])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spectrum::weights;

    #[test]
    fn the_colour_is_kept_and_the_white_is_not_exceeded() {
        let white = Spectrum::of_wavelength(|nm| 0.88 - 0.6 * libm::exp(-(nm - 380.0) / 12.0));
        let tint = white.zip(
            &Spectrum::of_wavelength(|nm| {
                1.0 - 0.7 * libm::exp(-libm::pow((nm - 590.0) / 60.0, 2.0))
            }),
            |w, share| w * share,
        );
        let eye = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        let seen = eye.xyz(&tint);
        let got = tint_of_colour(seen, &white, &Illuminant::D65, Observer::Cie1931_2deg)
            .expect("a colour within the white");
        let again = eye.xyz(&got);
        assert!(
            (again.x - seen.x).abs() + (again.y - seen.y).abs() + (again.z - seen.z).abs() < 0.1
        );
        let plain = smooth_reflectance(seen, &eye).expect("a colour of objects");
        let apart = |from: &Spectrum| -> f64 {
            (0..BANDS).map(|band| (from[band] - tint[band]).abs()).sum()
        };
        assert!(got.iter().zip(white.iter()).all(|(tint, white)| tint <= white), "above the white");
        // Without the white's own shape the ultraviolet end is far too light.
        assert!(apart(&got) < 0.7 * apart(&plain), "{} and {}", apart(&got), apart(&plain));
    }

    #[test]
    fn lighter_than_the_white_is_refused() {
        let white = Spectrum::flat(0.8);
        let eye = weights(&Illuminant::D65, Observer::Cie1931_2deg);
        let seen = eye.xyz(&Spectrum::flat(0.85));
        let none = tint_of_colour(seen, &white, &Illuminant::D65, Observer::Cie1931_2deg);
        assert!(none.is_err(), "{none:?}");
    }
}
