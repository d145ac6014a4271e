//! What is misted over the wet film, and how much of it.

use super::mist_vapour::{ISOPROPANOL, Solvent};
use crate::model::{Mist, Standing};
use crate::quantity::{Area, Volume};

/// What is usually misted (common practice, no source).
pub(super) const MISTED: Solvent = ISOPROPANOL;

/// The liquid for misting. It flashes off: no account of masses holds it, and no file states its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MistLiquid {
    /// The solvent's name.
    pub name: &'static str,
    /// Sprayed over one coat, all passes together.
    pub each_coat: Volume,
    /// How many coats are misted.
    pub coats: u32,
}

impl MistLiquid {
    /// How far the amounts can be trusted: how much a hand sprays is a guess.
    pub const STANDING: Standing = Standing::Estimated;

    /// What a flat area takes; none where nothing is misted.
    pub(super) fn of(mist: Mist, flat: Area, coats: u32) -> Option<Self> {
        let ml_per_m2 = ml_per_m2(mist);
        let each_coat = Volume::from_ml(flat.m2() * ml_per_m2);
        (ml_per_m2 > 0.0).then_some(Self { name: MISTED.name, each_coat, coats })
    }

    /// Over all coats: what has to be there.
    #[must_use]
    pub fn in_all(&self) -> Volume {
        self.each_coat * f64::from(self.coats)
    }
}

/// Sprayed per square metre over all mistings of a coat: two light passes, or heavy ones (estimated).
const fn ml_per_m2(mist: Mist) -> f64 {
    match mist {
        Mist::None => 0.0,
        Mist::Light => 20.0,
        Mist::Heavy => 60.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_coat_is_misted() {
        let flat = Area::from_m2(3.0);
        assert_eq!(MistLiquid::of(Mist::None, flat, 1), None);
        let two = MistLiquid::of(Mist::Light, flat, 2).unwrap();
        assert!((two.each_coat.ml() - 60.0).abs() < 1e-9, "{two:?}");
        assert!((two.in_all().ml() - 120.0).abs() < 1e-9, "{two:?}");
        let heavy = MistLiquid::of(Mist::Heavy, flat, 1).unwrap();
        assert!((heavy.in_all().ml() - 180.0).abs() < 1e-9, "{heavy:?}");
    }
}
