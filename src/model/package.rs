//! Packages that can be bought.

use crate::quantity::{Density, Mass, Money, Units, Volume};

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
    /// The unit in which its maker names it, where its text has one alone.
    pub unit: Option<PackageUnit>,
}

/// A unit in which packages are named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PackageUnit(&'static str);

impl PackageUnit {
    /// Units in which packages are named, those that end like another one first.
    const ALL: [&'static str; 10] = ["kg", "g", "fl oz", "oz", "lb", "mL", "L", "pt", "qt", "gal"];

    /// The unit of a size as it was written: `48 fl oz`; none of a size in several units, or in a word
    /// that is spelt in another way.
    #[must_use]
    pub fn of_text(written: &str) -> Option<Self> {
        let written = written.trim();
        let unit = Self::ALL.into_iter().find(|unit| written.ends_with(unit))?;
        let figure = written.strip_suffix(unit)?;
        (!figure.chars().any(char::is_alphabetic)).then_some(Self(unit))
    }
}

impl Package {
    /// Its size as its maker names it, whatever the units that all else is shown in; in those where that is
    /// not known.
    #[must_use]
    pub fn named(&self, units: Units) -> String {
        let count = self.unit.and_then(|PackageUnit(unit)| {
            let one = format!("1 {unit}");
            let count = match self.size {
                Amount::Mass(mass) => mass.g() / one.parse::<Mass>().ok()?.g(),
                Amount::Volume(volume) => volume.ml() / one.parse::<Volume>().ok()?.ml(),
            };
            let shown = format!("{count:.3}");
            Some(format!("{} {unit}", shown.trim_end_matches('0').trim_end_matches('.')))
        });
        count.unwrap_or_else(|| match self.size {
            Amount::Mass(mass) => mass.show_package(units),
            Amount::Volume(volume) => volume.show(units),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_package_is_told_as_its_maker_names_it() {
        let price = "9 USD".parse().unwrap();
        for (written, told) in [
            ("48 fl oz", "48 fl oz"),
            ("1.5 gal", "1.5 gal"),
            ("1 1/2 gal", "1.5 gal"),
            ("2 qt 8 fl oz", "2.25 qt"),
        ] {
            let size = Amount::Volume(written.parse().unwrap());
            let package = Package { size, price, unit: PackageUnit::of_text(written) };
            assert_eq!(package.named(Units::Us), told);
        }
        for written in ["25 g", "0.882 oz", "1.5 kg", "4 oz"] {
            let size = Amount::Mass(written.parse().unwrap());
            let package = Package { size, price, unit: PackageUnit::of_text(written) };
            assert_eq!(
                (package.named(Units::Us), package.named(Units::Metric)),
                (written.into(), written.into())
            );
        }
    }
}
