//! Vessels and the film of resin that stays on their walls.

use crate::model::House;
use crate::quantity::{Length, Mass, Volume};

/// A cylinder as high as it is wide, which mixing tubs and deli-type containers come near to
/// (estimated). Lengths in mm, volumes in mL.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Vessel {
    /// Brim-full.
    pub size: Volume,
    diameter_mm: f64,
}

impl Vessel {
    /// The vessel of that size.
    #[must_use]
    pub(super) fn of(size: Volume) -> Self {
        let mm3 = size.ml() * 1000.0;
        Self { size, diameter_mm: libm::cbrt(4.0 * mm3 / std::f64::consts::PI) }
    }

    /// What it weighs itself, which a scale bears too: plastic pails and tubs of a litre to ten weigh 50–75 g for each
    /// litre that they hold (estimated; common practice, no source).
    #[must_use]
    pub(super) fn empty(&self) -> Mass {
        Mass::from_g(0.075 * self.size.ml())
    }

    /// What clings when it has held `content` and is emptied: the film on bottom and wetted wall.
    #[must_use]
    pub(super) fn cling(&self, film: Length, content: Volume) -> Volume {
        let d = self.diameter_mm;
        let bottom_mm2 = std::f64::consts::PI * d * d / 4.0;
        // Wall = π·d·h with h = content/bottom.
        let wall_mm2 = 4.0 * content.ml() * 1000.0 / d;
        Volume::from_ml(film.mm() * (bottom_mm2 + wall_mm2) / 1000.0)
    }

    /// What must go in so that `out` comes out, the rest clinging: the inverse of [`Self::cling`].
    /// `None` where the film takes more of the wall's share than the vessel gives back.
    #[must_use]
    pub(super) fn content_for(&self, film: Length, out: Volume) -> Option<Volume> {
        let d = self.diameter_mm;
        let bottom_mm2 = std::f64::consts::PI * d * d / 4.0;
        let kept = 4.0 * film.mm() / d;
        let content = (out.ml() + film.mm() * bottom_mm2 / 1000.0) / (1.0 - kept);
        (kept < 0.5).then_some(Volume::from_ml(content))
    }
}

/// The share of a mix that stays in its first vessel when it is moved to a clean one: of `content` before it is tinted,
/// in the smallest vessel of the house that holds it. `None` where none does. (Estimated: a cylinder as high as it is wide.)
#[must_use]
pub fn first_vessel_keeps(house: &House, content: Volume) -> Option<f64> {
    let holds = |size: &&Volume| **size * house.fill.value() >= content;
    let vessel = Vessel::of(*house.vessels.iter().find(holds)?);
    Some(vessel.cling(house.cling_film, content).ml() / content.ml())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_goes_in_comes_out_or_clings(
            size in 50.0..20_000.0_f64, film in 0.0..2.0_f64, out in 0.0..20_000.0_f64,
        ) {
            let vessel = Vessel::of(Volume::from_ml(size));
            let film = Length::from_mm(film);
            if let Some(content) = vessel.content_for(film, Volume::from_ml(out)) {
                let back = content - vessel.cling(film, content);
                prop_assert!((back.ml() - out).abs() < 1e-9 * (1.0 + out));
            }
        }
    }

    #[test]
    fn a_quart_keeps_a_few_per_cent() {
        // Containers keep 2–5 % (common practice, no source).
        let vessel = Vessel::of(Volume::from_ml(946.353));
        let content = Volume::from_ml(946.353 * 0.8);
        let kept = vessel.cling(Length::from_mm(0.5), content).ml() / content.ml();
        assert!((0.02..0.05).contains(&kept), "kept {kept}");
    }
}
