//! Which volume was likely meant where one is far from what is usual.
//!
//! - [`meant`]: the volume that a slip of the unit or of the point explains, the likelier first.

use std::ops::RangeInclusive;

use super::slip_of_length::is_whole;
use super::tenfold::{TENS, meant as divided};
use crate::quantity::units::ML_PER_FT3;
use crate::quantity::{Units, Volume};

/// A unit of volume, as vessels, containers and rooms are told in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    FlOz,
    Qt,
    Gal,
    Ml,
    L,
    Ft3,
    M3,
}

/// Which unit may have been typed for which, the likelier first. (Common practice, no source.)
const SLIPS: [(Unit, Unit); 7] = [
    (Unit::Gal, Unit::FlOz),
    (Unit::Gal, Unit::Qt),
    (Unit::Qt, Unit::FlOz),
    (Unit::M3, Unit::Ft3),
    (Unit::L, Unit::M3),
    (Unit::L, Unit::Ml),
    (Unit::Ml, Unit::L),
];

/// Nobody types so large a figure of a unit, and of larger ones it cannot be told whether they are whole.
const LARGEST_FIGURE: f64 = 1e5;

impl Unit {
    const fn of_one(self) -> Volume {
        match self {
            Self::FlOz => Volume::from_fl_oz(1.0),
            Self::Qt => Volume::from_qt(1.0),
            Self::Gal => Volume::from_gal(1.0),
            Self::Ml => Volume::from_ml(1.0),
            Self::L => Volume::from_l(1.0),
            Self::Ft3 => Volume::from_ml(ML_PER_FT3),
            Self::M3 => Volume::from_l(1000.0),
        }
    }

    fn of(self, volume: Volume) -> f64 {
        volume.ml() / self.of_one().ml()
    }

    /// Whether a person types a volume so: half a gallon, half a fluid ounce, a quarter of a litre, a millilitre.
    fn is_typed(self, volume: Volume) -> bool {
        let parts = match self {
            Self::L => 4.0,
            Self::Qt | Self::Gal | Self::FlOz | Self::M3 => 2.0,
            Self::Ft3 | Self::Ml => 1.0,
        };
        self.of(volume) < LARGEST_FIGURE && is_whole(self.of(volume) * parts)
    }

    const fn symbol(self) -> &'static str {
        match self {
            Self::FlOz => "fl oz",
            Self::Qt => "qt",
            Self::Gal => "gal",
            Self::Ml => "mL",
            Self::L => "L",
            Self::Ft3 => "ft3",
            Self::M3 => "m3",
        }
    }

    /// In this unit, and in brackets in the other kind: `16 fl oz (473 mL)`, `1400 ft3 (39.6 m3)`.
    fn words(self, volume: Volume) -> String {
        let figure = libm::round(self.of(volume) * 100.0) / 100.0;
        let other = match self {
            Self::FlOz | Self::Qt | Self::Gal => volume.show(Units::Metric),
            Self::Ml | Self::L => volume.show(Units::Us),
            Self::Ft3 => Self::M3.rounded(volume),
            Self::M3 => Self::Ft3.rounded(volume),
        };
        format!("{figure} {} ({other})", self.symbol())
    }

    /// To a tenth: `39.6 m3`.
    fn rounded(self, volume: Volume) -> String {
        format!("{} {}", libm::round(self.of(volume) * 10.0) / 10.0, self.symbol())
    }
}

/// A room's air: `1400 ft3`, `39.6 m3`; less than a cubic metre, which is none, in litres.
pub(super) fn room(volume: Volume, units: Units) -> String {
    if units == Units::Metric && volume < Unit::M3.of_one() {
        return volume.show(units);
    }
    let unit = if units == Units::Us { Unit::Ft3 } else { Unit::M3 };
    unit.rounded(volume)
}

/// The volume, mL in `usual`, that was likely meant, in words: the same figure of another unit, else a slip of the point;
/// none where nothing likely is known.
pub(super) fn meant(volume: Volume, usual: &RangeInclusive<f64>) -> Option<String> {
    let large = volume.ml() > *usual.end();
    if !volume.is_finite() || usual.contains(&volume.ml()) {
        return None;
    }
    let by_unit = SLIPS.into_iter().find_map(|(typed, unit)| {
        let likely = unit.of_one() * typed.of(volume);
        let fits = (likely < volume) == large && typed.is_typed(volume);
        (fits && usual.contains(&likely.ml())).then(|| unit.words(likely))
    });
    by_unit.or_else(|| by_point(volume, usual))
}

/// The same of a slip of the point alone, in the unit in which it is a figure that a person types.
fn by_point(volume: Volume, usual: &RangeInclusive<f64>) -> Option<String> {
    let units = [Unit::FlOz, Unit::Qt, Unit::Gal, Unit::Ml, Unit::L, Unit::Ft3, Unit::M3];
    TENS.iter().find_map(|slip| {
        let likely = Volume::from_ml(divided(volume.ml(), usual, &[*slip])?);
        let unit = units.into_iter().find(|unit| unit.is_typed(likely))?;
        Some(unit.words(likely))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_volume_that_was_likely_meant_is_one_that_a_person_types() {
        let containers = 200.0..=4000.0;
        let rooms = 4e6..=5e9;
        let m3 = |figure: f64| Volume::from_l(1000.0 * figure);
        let ft3 = |figure: f64| Unit::Ft3.of_one() * figure;
        for (typed, usual, told) in [
            (Volume::from_gal(16.0), &containers, "16 fl oz (473 mL)"),
            (Volume::from_qt(17.0), &containers, "17 fl oz (503 mL)"),
            (Volume::from_gal(2.5), &containers, "2.5 qt (2.37 L)"),
            (Volume::from_fl_oz(160.0), &containers, "16 fl oz (473 mL)"),
            (Volume::from_l(250.0), &containers, "250 mL (8.45 fl oz)"),
            (Volume::from_ml(25.0), &containers, "250 mL (8.45 fl oz)"),
            (Volume::from_ml(2.0), &containers, "2 L (2.11 qt)"),
            (Volume::from_ml(f64::INFINITY), &containers, ""),
            (Volume::from_l(40.0), &rooms, "40 m3 (1412.6 ft3)"),
            (ft3(140.0), &rooms, "1400 ft3 (39.6 m3)"),
            (m3(14_000.0), &rooms, "14000 ft3 (396.4 m3)"),
        ] {
            assert_eq!(meant(typed, usual).unwrap_or_default(), told, "{typed:?}");
        }
    }
}
