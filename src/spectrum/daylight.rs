//! The CIE's phases of daylight (D series) at any correlated colour temperature.

use super::tables::illuminants::DAYLIGHT;

/// First wavelength of the components' table, nm.
const COMPONENTS_FIRST_NM: f64 = 300.0;
/// Step of the components' table, nm.
const COMPONENTS_STEP_NM: f64 = 10.0;

/// c2 of Planck's law has been revised since D65 was named: its nominal 6500 K is now 6504 K.
const C2_REVISED: f64 = 1.4388 / 1.4380;

/// A correlated colour temperature at which the CIE defines daylight: 4000 to 25 000 K.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct DaylightCct {
    kelvin: f64,
}

impl DaylightCct {
    /// The temperature of a phase of daylight, K; `None` outside 4000–25 000 K, where the CIE's
    /// formulas do not hold.
    #[must_use]
    pub fn new(kelvin: f64) -> Option<Self> {
        (4000.0..=25000.0).contains(&kelvin).then_some(Self { kelvin })
    }

    /// Kelvin.
    #[must_use]
    pub const fn kelvin(self) -> f64 {
        self.kelvin
    }
}

/// The mix of the three components that makes a phase of daylight: S0 + m1·S1 + m2·S2.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Daylight {
    m1: f64,
    m2: f64,
}

impl Daylight {
    /// One of the named phases (D50, D55, D65, D75) from its nominal temperature, K. m1 and m2 are
    /// rounded to three decimals, as CIE 15:2018 does for its tables.
    pub(super) fn named(nominal_kelvin: f64) -> Self {
        let Self { m1, m2 } = Self::at_chromaticity(chromaticity(nominal_kelvin * C2_REVISED));
        let to_three = |m: f64| libm::round(m * 1000.0) / 1000.0;
        Self { m1: to_three(m1), m2: to_three(m2) }
    }

    /// The phase at a temperature.
    pub(super) fn at(cct: DaylightCct) -> Self {
        Self::at_chromaticity(chromaticity(cct.kelvin))
    }

    fn at_chromaticity((x, y): (f64, f64)) -> Self {
        let m = 0.0241 + 0.2562 * x - 0.7341 * y;
        Self {
            m1: (-1.3515 - 1.7703 * x + 5.9114 * y) / m,
            m2: (0.0300 - 31.4424 * x + 30.0717 * y) / m,
        }
    }

    /// Relative power at a wavelength in nm; components between the table's 10 nm steps are
    /// linear, as CIE 15 prescribes; held at the ends (300 and 830 nm).
    pub(super) fn power(self, nm: f64) -> f64 {
        let last = DAYLIGHT.len() - 1;
        #[expect(clippy::cast_precision_loss, reason = "the table has 54 rows")]
        let position = ((nm - COMPONENTS_FIRST_NM) / COMPONENTS_STEP_NM).clamp(0.0, last as f64);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the table"
        )]
        let at = (position as usize).min(last - 1);
        #[expect(clippy::cast_precision_loss, reason = "the table has 54 rows")]
        let share = position - at as f64;
        let mixed = |row: [f64; 3]| row[0] + self.m1 * row[1] + self.m2 * row[2];
        let (low, high) = (mixed(DAYLIGHT[at]), mixed(DAYLIGHT[at + 1]));
        low + share * (high - low)
    }
}

/// x, y of the CIE daylight locus at a correlated colour temperature in K (CIE 15:2018, eqs
/// 4.7–4.9); defined for 4000–25 000 K.
///
/// ```
/// let (x, y) = pourbook::spectrum::daylight_chromaticity(6504.0);
/// assert!((x - 0.3127).abs() < 5e-5 && (y - 0.3291).abs() < 5e-5);
/// ```
#[must_use]
pub fn chromaticity(kelvin: f64) -> (f64, f64) {
    let t = kelvin;
    let x = if t <= 7000.0 {
        -4.6070e9 / (t * t * t) + 2.9678e6 / (t * t) + 0.09911e3 / t + 0.244_063
    } else {
        -2.0064e9 / (t * t * t) + 1.9018e6 / (t * t) + 0.24748e3 / t + 0.237_040
    };
    (x, -3.000 * x * x + 2.870 * x - 0.275)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn d65_is_the_published_table() {
        // ISO/CIE 11664-2: S(400) = 82.7549, S(560) = 100, S(700) = 71.6091.
        let d65 = Daylight::named(6500.0);
        for (nm, power) in [(400.0, 82.7549), (560.0, 100.0), (700.0, 71.6091)] {
            assert!((d65.power(nm) - power).abs() < 1e-3, "{nm} nm: {}", d65.power(nm));
        }
    }

    #[test]
    fn daylight_outside_the_formulas_is_refused() {
        for kelvin in [3999.9, 25_000.1, f64::NAN, f64::INFINITY, -1.0] {
            assert_eq!(DaylightCct::new(kelvin), None, "{kelvin} K");
        }
    }
}
