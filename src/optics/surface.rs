//! The air face of a film: Saunderson's correction between the reflectance inside and what an
//! instrument reads, both ways.

use super::fresnel::{diffuse_internal_reflectance, normal_reflectance};
use crate::spectrum::Spectrum;

/// Whether a reading holds the mirror-like reflection of the surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Geometry {
    /// Sphere with the gloss trap closed (d:8° or 8°:d, specular included).
    SpecularIncluded,
    /// Gloss trap open, 45°:0° or 0°:45°, or a photograph without glare.
    SpecularExcluded,
    /// Not stated. Computed as excluded, because that is what eyes, cameras and 45°:0° instruments
    /// see of a glossy face; a fit should widen its doubt by [`Surface::k1`].
    Unknown,
}

impl Geometry {
    /// Share of the face's own reflection that enters the reading, 0 or 1.
    #[must_use]
    pub const fn specular_share(self) -> f64 {
        match self {
            Self::SpecularIncluded => 1.0,
            Self::SpecularExcluded | Self::Unknown => 0.0,
        }
    }
}

/// A film's face to air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Share of the light that falls on the face from outside and is reflected there, 0–1.
    pub k1: f64,
    /// Share of the diffuse light that reaches the face from inside and is returned, 0–1.
    pub k2: f64,
}

impl Surface {
    /// No face: what is inside is what is read.
    pub const NONE: Self = Self { k1: 0.0, k2: 0.0 };

    /// A smooth face of a film of this refractive index: k1 by Fresnel at normal incidence, k2 by
    /// integration over diffuse light. Clear epoxies: about 1.50–1.57.
    #[must_use]
    pub fn of_index(index: f64) -> Self {
        Self { k1: normal_reflectance(index), k2: diffuse_internal_reflectance(index) }
    }

    /// What an instrument reads of an internal reflectance R:
    /// g·k1 + (1−k1)(1−k2)R/(1−k2·R), g the share of specular light in the geometry.
    #[must_use]
    pub fn reading(&self, internal: f64, geometry: Geometry) -> f64 {
        let body = (1.0 - self.k1) * (1.0 - self.k2) * internal / (1.0 - self.k2 * internal);
        geometry.specular_share() * self.k1 + body
    }

    /// ∂ reading / ∂ internal; the same for every geometry.
    #[must_use]
    pub fn reading_slope(&self, internal: f64) -> f64 {
        let below = 1.0 - self.k2 * internal;
        (1.0 - self.k1) * (1.0 - self.k2) / (below * below)
    }

    /// The internal reflectance behind a reading; the inverse of [`Self::reading`].
    ///
    /// Also turns the reading of a *bare* glossy substrate into the internal reflectance that a film
    /// of like index finds below itself, where the substrate's face to air is gone. A reading below
    /// what the face alone gives yields a negative value, which is the caller's to judge.
    #[must_use]
    pub fn internal(&self, reading: f64, geometry: Geometry) -> f64 {
        let body = reading - geometry.specular_share() * self.k1;
        body / ((1.0 - self.k1) * (1.0 - self.k2) + self.k2 * body)
    }

    /// [`Self::reading`] in every band.
    #[must_use]
    pub fn reading_spectrum(&self, internal: &Spectrum, geometry: Geometry) -> Spectrum {
        internal.map(|r| self.reading(r, geometry))
    }

    /// [`Self::internal`] in every band.
    #[must_use]
    pub fn internal_spectrum(&self, reading: &Spectrum, geometry: Geometry) -> Spectrum {
        reading.map(|r| self.internal(r, geometry))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_face_alone_and_a_perfect_white() {
        let face = Surface::of_index(1.5);
        let black = face.reading(0.0, Geometry::SpecularIncluded);
        assert!((black - 0.04).abs() < 1e-12, "black gloss reads its face: {black}");
        assert!(face.reading(0.0, Geometry::SpecularExcluded).abs() < 1e-15, "and nothing without");
        let white = face.reading(1.0, Geometry::SpecularIncluded);
        assert!((white - 1.0).abs() < 1e-12, "a lossless white returns all: {white}");
    }

    #[test]
    fn a_clear_face_changes_nothing() {
        assert_eq!(Surface::NONE.reading(0.42, Geometry::SpecularIncluded), 0.42, "no face");
    }

    proptest! {
        #[test]
        fn there_and_back(r in 0.0..=1.0_f64, n in 1.0..2.0_f64, geometry in prop_oneof![
            Just(Geometry::SpecularIncluded), Just(Geometry::SpecularExcluded), Just(Geometry::Unknown),
        ]) {
            let face = Surface::of_index(n);
            let seen = face.reading(r, geometry);
            prop_assert!((0.0..=1.0 + 1e-12).contains(&seen), "energy: {}", seen);
            prop_assert!((face.internal(seen, geometry) - r).abs() < 1e-12, "back to {}", r);
            let step = 1e-6;
            let rise = (face.reading(r + step, geometry) - face.reading(r - step, geometry)) / (2.0 * step);
            prop_assert!((rise - face.reading_slope(r)).abs() < 1e-7 * (1.0 + rise), "slope {}", rise);
        }
    }
}
