//! How far solvent mist lets a film mix; what it mixes, mixes as amounts do (see the mixer of a
//! scene), and what it only draws out lies side by side.

use crate::picture::scene::Mist;

/// How far mist lets a film mix, mm (standard deviation), and how much of it does: least and most, since a mist
/// never lands evenly (common practice, no source).
pub(super) fn reach(mist: Mist) -> Option<(f64, [f32; 2])> {
    match mist {
        Mist::None => None,
        Mist::Light => Some((0.5, [0.35, 0.75])),
        Mist::Heavy => Some((4.5, [0.3, 0.95])),
    }
}

/// How much finer than the pixels mist must be drawn: mixing over a pixel wider than twice the mist's reach would muddy a
/// small picture more than a large one.
pub(super) fn supersampling(mist: Mist, mm_per_px: f64) -> usize {
    let Some((sigma, _)) = reach(mist) else { return 1 };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 6")]
    let factor = (mm_per_px / (2.0 * sigma)).ceil().clamp(1.0, 6.0) as usize;
    factor
}

/// How far amounts that are means over pixels still are to spread, pixels (standard deviation), if all in all they spread
/// `sigma_px`: a pixel's square has a variance of its own, 1/12.
pub(super) fn beyond_the_pixel(sigma_px: f64) -> f64 {
    (sigma_px * sigma_px - 1.0 / 12.0).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_pictures_are_mixed_at_the_mists_own_scale() {
        assert_eq!(supersampling(Mist::None, 9.0), 1);
        assert_eq!(supersampling(Mist::Light, 0.5), 1);
        assert_eq!(supersampling(Mist::Light, 1.0), 1);
        assert_eq!(supersampling(Mist::Light, 2.5), 3);
    }

    #[test]
    fn the_square_and_what_goes_beyond_it_make_the_reach() {
        for sigma in [0.3_f64, 0.5, 4.5] {
            let beyond = beyond_the_pixel(sigma);
            assert!((beyond * beyond + 1.0 / 12.0 - sigma * sigma).abs() < 1e-12, "{sigma}");
        }
        assert_eq!(beyond_the_pixel(0.2), 0.0);
    }
}
