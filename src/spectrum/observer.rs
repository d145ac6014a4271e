//! The CIE's two standard observers.

use std::fmt;
use std::str::FromStr;

use super::tables::{observer_2deg::CIE_1931_2DEG, observer_10deg::CIE_1964_10DEG};

/// First wavelength of the observers' tables, nm.
pub(super) const TABLE_FIRST_NM: u16 = 360;

/// Whose eye looks: the colour-matching functions of ISO/CIE 11664-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Observer {
    /// CIE 1931, for fields of 1° to 4°: small chips, screens, sRGB.
    #[default]
    Cie1931_2deg,
    /// CIE 1964, for fields over 4°: panels and counters.
    Cie1964_10deg,
}

impl Observer {
    /// Both observers.
    pub const ALL: [Self; 2] = [Self::Cie1931_2deg, Self::Cie1964_10deg];

    /// x̄, ȳ, z̄ from 360 to 830 nm, every 1 nm.
    ///
    /// ```
    /// use pourbook::spectrum::Observer;
    /// let at_555 = Observer::Cie1931_2deg.table()[555 - 360];
    /// assert_eq!(at_555[1], 1.0); // ȳ peaks at 555 nm
    /// ```
    #[must_use]
    pub fn table(self) -> &'static [[f64; 3]] {
        match self {
            Self::Cie1931_2deg => &CIE_1931_2DEG,
            Self::Cie1964_10deg => &CIE_1964_10DEG,
        }
    }
}

impl fmt::Display for Observer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Cie1931_2deg => "2°",
            Self::Cie1964_10deg => "10°",
        })
    }
}

/// A word that names no observer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no observer: write 2° or 10°")]
pub struct UnknownObserver(pub String);

impl FromStr for Observer {
    type Err = UnknownObserver;

    /// Reads `2`, `2°`, `2 deg`, `10`, `10°`, `10 deg`.
    fn from_str(word: &str) -> Result<Self, UnknownObserver> {
        let lower = word.trim().to_lowercase();
        let number = lower.trim_end_matches('°').trim_end_matches("deg").trim();
        match number {
            "2" => Ok(Self::Cie1931_2deg),
            "10" => Ok(Self::Cie1964_10deg),
            _ => Err(UnknownObserver(word.to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_observer_reads_back_as_it_shows() {
        for observer in Observer::ALL {
            assert_eq!(observer.to_string().parse(), Ok(observer), "shown, then read");
        }
        assert!("5°".parse::<Observer>().is_err(), "there is no third observer");
    }
}
