//! Packages that can be bought.

use crate::quantity::{Density, Mass, Money, Volume};

/// An amount as it stands on a package: by mass or by volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// By mass.
    Mass(Mass),
    /// By volume.
    Volume(Volume),
}

impl Amount {
    /// The mass of this amount of a material of that density.
    #[must_use]
    pub fn mass(self, density: Density) -> Mass {
        match self {
            Self::Mass(mass) => mass,
            Self::Volume(volume) => density * volume,
        }
    }

    /// The bare number, in g or mL: for checks of sign only.
    pub(super) fn bare(self) -> f64 {
        match self {
            Self::Mass(mass) => mass.g(),
            Self::Volume(volume) => volume.ml(),
        }
    }
}

/// A package size with its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Package {
    /// What it holds; of a resin system, parts A and B together in the mix ratio.
    pub size: Amount,
    /// What it costs.
    pub price: Money,
}
