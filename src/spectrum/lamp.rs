//! A lamp's own measured spectrum.

/// A lamp's relative spectral power at increasing wavelengths that reach from 400 nm or less to
/// 700 nm or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Lamp {
    nm: Vec<f64>,
    power: Vec<f64>,
}

/// Why a lamp's readings are no lamp.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LampError {
    /// Not one power a wavelength.
    #[error("{wavelengths} wavelengths for {powers} powers")]
    Lengths {
        /// How many wavelengths.
        wavelengths: usize,
        /// How many powers.
        powers: usize,
    },
    /// A wavelength that is no number, or not above the one before it.
    #[error("wavelength {nm} nm does not follow the one before it")]
    Order {
        /// The wavelength, nm.
        nm: f64,
    },
    /// A power that is negative or no number.
    #[error("power {power} at {nm} nm is no power")]
    Power {
        /// The power.
        power: f64,
        /// Where, nm.
        nm: f64,
    },
    /// The readings do not reach 400–700 nm, or leave a gap of more than 20 nm in it.
    #[error("nothing is known of the lamp between {from_nm} and {to_nm} nm")]
    Gap {
        /// Start of the gap, nm.
        from_nm: f64,
        /// End of the gap, nm.
        to_nm: f64,
    },
    /// The lamp is dark.
    #[error("the lamp gives no visible light")]
    Dark,
}

impl Lamp {
    /// Wavelengths whose light an eye needs to be known, nm.
    const NEEDED_NM: (f64, f64) = (400.0, 700.0);
    /// Widest step between readings, nm.
    const WIDEST_STEP_NM: f64 = 20.0;

    /// From wavelengths in nm and relative powers on any scale.
    ///
    /// # Errors
    /// See [`LampError`].
    pub fn new(nm: Vec<f64>, power: Vec<f64>) -> Result<Self, LampError> {
        if nm.len() != power.len() {
            return Err(LampError::Lengths { wavelengths: nm.len(), powers: power.len() });
        }
        let mut before = 0.0;
        for (&nm, &power) in nm.iter().zip(&power) {
            if !(nm.is_finite() && nm > before) {
                return Err(LampError::Order { nm });
            }
            if !(power.is_finite() && power >= 0.0) {
                return Err(LampError::Power { power, nm });
            }
            before = nm;
        }
        let (from, to) = Self::NEEDED_NM;
        let (Some(&first), Some(&last)) = (nm.first(), nm.last()) else {
            return Err(LampError::Gap { from_nm: from, to_nm: to });
        };
        if first > from {
            return Err(LampError::Gap { from_nm: from, to_nm: first });
        }
        if last < to {
            return Err(LampError::Gap { from_nm: last, to_nm: to });
        }
        for pair in nm.windows(2) {
            let inside = pair[1] > from && pair[0] < to;
            if inside && pair[1] - pair[0] > Self::WIDEST_STEP_NM {
                return Err(LampError::Gap { from_nm: pair[0], to_nm: pair[1] });
            }
        }
        let lit = nm.iter().zip(&power).any(|(&nm, &p)| (from..=to).contains(&nm) && p > 0.0);
        if !lit {
            return Err(LampError::Dark);
        }
        Ok(Self { nm, power })
    }

    /// Relative power at a wavelength in nm: linear between readings, the end's value beyond them
    /// (CIE 15:2018 §7.2.3 allows this where nothing better is known).
    #[must_use]
    pub fn power(&self, nm: f64) -> f64 {
        let after = self.nm.partition_point(|&known| known < nm);
        if after == 0 {
            return self.power.first().copied().unwrap_or(0.0);
        }
        let (Some(&high_nm), Some(&high)) = (self.nm.get(after), self.power.get(after)) else {
            return self.power.last().copied().unwrap_or(0.0);
        };
        let (low_nm, low) = (self.nm[after - 1], self.power[after - 1]);
        low + (high - low) * (nm - low_nm) / (high_nm - low_nm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lamp_is_linear_between_readings_and_held_beyond() {
        let nm: Vec<f64> = (0..=16).map(|i| 390.0 + 20.0 * f64::from(i)).collect();
        let power: Vec<f64> = (0..=16).map(f64::from).collect();
        let lamp = Lamp::new(nm, power).unwrap();
        assert!((lamp.power(400.0) - 0.5).abs() < 1e-12, "half way");
        assert!(lamp.power(300.0).abs() < 1e-12, "held below");
        assert!((lamp.power(830.0) - 16.0).abs() < 1e-12, "held above");
        assert!((lamp.power(410.0) - 1.0).abs() < 1e-12, "at a reading");
    }

    #[test]
    fn what_is_no_lamp_is_refused() {
        let grid: Vec<f64> = (0..=31).map(|i| 395.0 + 10.0 * f64::from(i)).collect();
        let ones = vec![1.0; grid.len()];
        let with = |at: usize, nm: f64| {
            let mut changed = grid.clone();
            changed[at] = nm;
            Lamp::new(changed, ones.clone())
        };
        assert!(Lamp::new(grid.clone(), ones.clone()).is_ok(), "the grid itself is a lamp");
        assert!(Lamp::new(Vec::new(), Vec::new()).is_err(), "no readings");
        assert!(matches!(with(3, 415.0), Err(LampError::Order { .. })), "out of order");
        assert!(matches!(with(3, f64::NAN), Err(LampError::Order { .. })), "no number");
        assert!(matches!(with(0, 401.0), Err(LampError::Gap { .. })), "starts late");
        let mut dark = vec![0.0; grid.len()];
        assert_eq!(Lamp::new(grid.clone(), dark.clone()), Err(LampError::Dark), "dark");
        dark[4] = -1.0;
        assert!(matches!(Lamp::new(grid, dark), Err(LampError::Power { .. })), "negative");
    }
}
