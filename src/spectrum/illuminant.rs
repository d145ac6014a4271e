//! The CIE's illuminants, daylight at any temperature, and a lamp of one's own.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use super::daylight::{Daylight, DaylightCct};
use super::lamp::Lamp;
use super::tables::illuminants as tables;

/// What light falls on the thing looked at.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub enum Illuminant {
    /// Tungsten: a Planckian radiator near 2856 K (ISO/CIE 11664-2).
    A,
    /// Daylight near 5003 K: print viewing.
    D50,
    /// Daylight near 5503 K.
    D55,
    /// Daylight near 6504 K: the usual reference (ISO/CIE 11664-2).
    #[default]
    D65,
    /// Daylight near 7504 K: a north sky.
    D75,
    /// Daylight at any temperature from 4000 to 25 000 K.
    Daylight(DaylightCct),
    /// The equal-energy spectrum.
    E,
    /// FL2: cool white fluorescent, 4230 K.
    F2,
    /// FL7: broad-band daylight fluorescent, 6500 K.
    F7,
    /// FL11: narrow-band (three-line) fluorescent, 4000 K.
    F11,
    /// LED-B1: blue-pumped white, 2733 K.
    LedB1,
    /// LED-B2: blue-pumped white, 2998 K.
    LedB2,
    /// LED-B3: blue-pumped white, 4103 K.
    LedB3,
    /// LED-B4: blue-pumped white, 5109 K.
    LedB4,
    /// LED-B5: blue-pumped white, 6598 K.
    LedB5,
    /// LED-BH1: blue-pumped white with added red, 2851 K.
    LedBh1,
    /// LED-V1: violet-pumped white, 2724 K.
    LedV1,
    /// LED-V2: violet-pumped white, 4070 K.
    LedV2,
    /// A measured lamp.
    Custom(Arc<Lamp>),
}

/// The named illuminants beside their words.
const NAMES: [(&str, Illuminant); 17] = [
    ("A", Illuminant::A),
    ("D50", Illuminant::D50),
    ("D55", Illuminant::D55),
    ("D65", Illuminant::D65),
    ("D75", Illuminant::D75),
    ("E", Illuminant::E),
    ("F2", Illuminant::F2),
    ("F7", Illuminant::F7),
    ("F11", Illuminant::F11),
    ("LED-B1", Illuminant::LedB1),
    ("LED-B2", Illuminant::LedB2),
    ("LED-B3", Illuminant::LedB3),
    ("LED-B4", Illuminant::LedB4),
    ("LED-B5", Illuminant::LedB5),
    ("LED-BH1", Illuminant::LedBh1),
    ("LED-V1", Illuminant::LedV1),
    ("LED-V2", Illuminant::LedV2),
];

impl Illuminant {
    /// Every illuminant that has a name of its own.
    pub fn named() -> impl Iterator<Item = Self> {
        NAMES.into_iter().map(|(_, illuminant)| illuminant)
    }

    /// The words that [`FromStr`] reads, for suggesting the nearest one.
    pub fn names() -> impl Iterator<Item = &'static str> {
        NAMES.iter().map(|(name, _)| *name)
    }

    /// Its place among the named, for keeping what is computed once.
    pub(super) fn place(&self) -> Option<usize> {
        NAMES.iter().position(|(_, illuminant)| illuminant == self)
    }

    /// Distance in nm between the wavelengths at which it is summed: 5 for the fluorescent and LED
    /// lamps, which the CIE gives and sums at 5 nm, 1 for all others.
    #[must_use]
    pub const fn summing_step_nm(&self) -> u16 {
        match self {
            Self::A
            | Self::D50
            | Self::D55
            | Self::D65
            | Self::D75
            | Self::Daylight(_)
            | Self::E
            | Self::Custom(_) => 1,
            Self::F2
            | Self::F7
            | Self::F11
            | Self::LedB1
            | Self::LedB2
            | Self::LedB3
            | Self::LedB4
            | Self::LedB5
            | Self::LedBh1
            | Self::LedV1
            | Self::LedV2 => 5,
        }
    }

    /// Relative spectral power as a function of wavelength in nm.
    ///
    /// A and daylight come from their defining formulas; a lamp's table is linear between its
    /// wavelengths and zero outside 380–780 nm.
    #[must_use]
    pub fn power(&self) -> Box<dyn Fn(f64) -> f64 + '_> {
        let daylight = |d: Daylight| -> Box<dyn Fn(f64) -> f64> { Box::new(move |nm| d.power(nm)) };
        let table = |t: &'static [f64; 81]| -> Box<dyn Fn(f64) -> f64> {
            Box::new(move |nm| between_rows(t, nm))
        };
        match self {
            Self::A => Box::new(tungsten),
            Self::D50 => daylight(Daylight::named(5000.0)),
            Self::D55 => daylight(Daylight::named(5500.0)),
            Self::D65 => daylight(Daylight::named(6500.0)),
            Self::D75 => daylight(Daylight::named(7500.0)),
            Self::Daylight(cct) => daylight(Daylight::at(*cct)),
            Self::E => Box::new(|_| 100.0),
            Self::F2 => table(&tables::FL2),
            Self::F7 => table(&tables::FL7),
            Self::F11 => table(&tables::FL11),
            Self::LedB1 => table(&tables::LED_B1),
            Self::LedB2 => table(&tables::LED_B2),
            Self::LedB3 => table(&tables::LED_B3),
            Self::LedB4 => table(&tables::LED_B4),
            Self::LedB5 => table(&tables::LED_B5),
            Self::LedBh1 => table(&tables::LED_BH1),
            Self::LedV1 => table(&tables::LED_V1),
            Self::LedV2 => table(&tables::LED_V2),
            Self::Custom(lamp) => Box::new(move |nm| lamp.power(nm)),
        }
    }
}

/// Illuminant A at a wavelength in nm (ISO/CIE 11664-2): Planck's law at 2848 K with
/// c2 = 1.435e7 nm·K, 100 at 560 nm.
fn tungsten(nm: f64) -> f64 {
    let ratio = 560.0 / nm;
    let fifth = ratio * ratio * ratio * ratio * ratio;
    let c2_over_t = 1.435e7 / 2848.0;
    100.0 * fifth * libm::expm1(c2_over_t / 560.0) / libm::expm1(c2_over_t / nm)
}

/// A lamp's table from 380 nm by 5 nm, linear between rows, zero outside it.
fn between_rows(table: &[f64; 81], nm: f64) -> f64 {
    if !(380.0..=780.0).contains(&nm) {
        return 0.0;
    }
    let position = (nm - 380.0) / 5.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the wavelength lies in the table"
    )]
    let at = (position as usize).min(table.len() - 2);
    #[expect(clippy::cast_precision_loss, reason = "the table has 81 rows")]
    let share = position - at as f64;
    table[at] + share * (table[at + 1] - table[at])
}

impl fmt::Display for Illuminant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Daylight(cct) => write!(f, "{} K", cct.kelvin()),
            Self::Custom(_) => f.write_str("own lamp"),
            named => {
                let found = NAMES.iter().find(|(_, illuminant)| illuminant == named);
                f.write_str(found.map_or("", |(name, _)| name))
            }
        }
    }
}

/// A word that names no illuminant.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnknownIlluminant {
    /// No such name.
    #[error(
        "`{0}` is no illuminant: write a name such as D65, A, F11 or LED-B3, or 4000K to 25000K"
    )]
    Name(String),
    /// A temperature at which the CIE defines no daylight.
    #[error("daylight is defined from 4000 K to 25000 K, not at {0}; {1}")]
    Temperature(String, &'static str),
}

impl FromStr for Illuminant {
    type Err = UnknownIlluminant;

    /// Reads a name (`D65`, `A`, `F11` or `FL11`, `LED-B3` or `led b3`) or a daylight's
    /// temperature (`6500K`, `5200 K`). Capitals, blanks and hyphens do not matter.
    ///
    /// ```
    /// use pourbook::spectrum::Illuminant;
    /// assert_eq!("d65".parse(), Ok(Illuminant::D65));
    /// assert_eq!("FL11".parse(), Ok(Illuminant::F11));
    /// assert!("2700K".parse::<Illuminant>().is_err());
    /// ```
    fn from_str(word: &str) -> Result<Self, UnknownIlluminant> {
        let plain = |text: &str| -> String {
            text.chars()
                .filter(|c| !c.is_whitespace() && *c != '-')
                .map(|c| c.to_ascii_uppercase())
                .collect()
        };
        let asked = plain(word);
        if let Some(number) = word.trim().strip_suffix(['K', 'k'])
            && let Ok(kelvin) = number.trim_end().parse::<f64>()
        {
            return DaylightCct::new(kelvin).map(Self::Daylight).ok_or_else(|| {
                UnknownIlluminant::Temperature(word.trim().to_owned(), lamps_near(kelvin))
            });
        }
        NAMES
            .into_iter()
            .find(|(name, _)| {
                let name = plain(name);
                name == asked || (name.starts_with('F') && asked == name.replacen('F', "FL", 1))
            })
            .map(|(_, illuminant)| illuminant)
            .ok_or_else(|| UnknownIlluminant::Name(word.trim().to_owned()))
    }
}

/// Lamps about as warm or cold as that, K, where no daylight is: their correlated colour temperatures are those of
/// CIE 15:2018.
fn lamps_near(kelvin: f64) -> &'static str {
    match kelvin {
        k if k > 25_000.0 => "the coldest is 25000K",
        k if k >= 3_500.0 => "the nearest lamps are 4000K and LED-B3 (4103 K)",
        k if k >= 2_925.0 => "the nearest lamps are LED-B2 (2998 K) and A (2856 K)",
        _ => "the nearest lamps are LED-B1 (2733 K) and A (2856 K)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_named_illuminant_reads_back_as_it_shows() {
        for illuminant in Illuminant::named() {
            assert_eq!(illuminant.to_string().parse(), Ok(illuminant), "shown, then read");
        }
        let own = Illuminant::Daylight(DaylightCct::new(5200.0).unwrap());
        assert_eq!(own.to_string().parse(), Ok(own), "a temperature, shown, then read");
    }

    #[test]
    fn a_warm_bulb_is_told_the_lamps_near_it() {
        let why = |word: &str| word.parse::<Illuminant>().unwrap_err().to_string();
        assert!(why("2700 K").contains("LED-B1 (2733 K)"), "{}", why("2700 K"));
        assert!(why("3000K").contains("LED-B2 (2998 K)"), "{}", why("3000K"));
    }

    #[test]
    fn what_is_no_illuminant_is_refused() {
        for word in ["", "D", "D66", "LED", "nanK", "-5000K", "1e99K", "FLA", "2700 K"] {
            assert!(word.parse::<Illuminant>().is_err(), "{word:?}");
        }
    }
}
