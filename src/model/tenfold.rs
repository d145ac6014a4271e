//! Which figure was meant where one is far from what is usual and a power of ten, or another unit, brings it there.
//!
//! - [`meant`]: the figure that was likely meant.
//! - [`TENS`]: a decimal point lost or put in at the wrong place.

use std::ops::RangeInclusive;

/// A decimal point that slipped by one place, or by two.
pub(super) const TENS: &[f64] = &[10.0, 100.0];

/// The figure that was likely meant: where `figure` lies outside `usual`, the first of it divided by one of `slips` (where
/// it is too large) or times one (where it is too small) that lies inside.
#[must_use]
pub(crate) fn meant(figure: f64, usual: &RangeInclusive<f64>, slips: &[f64]) -> Option<f64> {
    if !figure.is_finite() || usual.contains(&figure) {
        return None;
    }
    let large = figure > *usual.end();
    let all = slips.iter().map(|slip| if large { figure / slip } else { figure * slip });
    all.into_iter().find(|likely| usual.contains(likely))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slipped_point_is_put_back() {
        let film = 1.5..=6.0;
        assert_eq!(meant(30.0, &film, TENS), Some(3.0));
        assert_eq!(meant(300.0, &film, TENS), Some(3.0));
        assert_eq!(meant(0.3, &film, TENS), Some(3.0));
        assert_eq!(meant(3.0, &film, TENS), None, "as is usual");
        assert_eq!(meant(8.0, &film, TENS), None, "a tenth of it is not usual either");
        assert_eq!(meant(-3.0, &film, TENS), None);
        assert_eq!(meant(f64::NAN, &film, TENS), None);
        assert_eq!(meant(f64::INFINITY, &film, TENS), None);
        assert_eq!(meant(0.0, &film, TENS), None);
    }
}
