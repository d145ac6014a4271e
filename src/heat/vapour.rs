//! Sprayed solvent as vapour in a room, by the ideal gas law, all of it evaporated and evenly
//! mixed. A room's mean hides the layer over the counter, so [`volume_at_m3`] tells how much air
//! the same vapour would fill at a given concentration.

use super::{GAS_J_PER_MOL_K, HeatError, ZERO_CELSIUS_K, within};

/// One standard atmosphere, Pa (exact by definition).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// A volume of a sprayed solvent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sprayed {
    /// Liquid sprayed, mL.
    pub volume_ml: f64,
    /// Its density, g/mL.
    pub density_g_per_ml: f64,
    /// Its molar mass, g/mol.
    pub molar_mass_g_per_mol: f64,
}

/// Volume, m³, of a sprayed liquid as pure vapour at a temperature and one atmosphere.
///
/// # Errors
/// [`HeatError::OutOfRange`] for a negative, absurd or non-finite number.
pub fn vapour_m3(sprayed: &Sprayed, celsius: f64) -> Result<f64, HeatError> {
    let volume_ml = within("sprayed volume (mL)", sprayed.volume_ml, 0.0, 1e9)?;
    let density = within("density (g/mL)", sprayed.density_g_per_ml, 0.1, 25.0)?;
    let molar_mass = within("molar mass (g/mol)", sprayed.molar_mass_g_per_mol, 2.0, 2000.0)?;
    let kelvin = within("room temperature (°C)", celsius, -50.0, 100.0)? + ZERO_CELSIUS_K;
    Ok(volume_ml * density / molar_mass * GAS_J_PER_MOL_K * kelvin / ATMOSPHERE_PA)
}

/// Parts per million by volume when that vapour is spread evenly through a room:
/// 10⁶·(mL·ρ/M)(RT/P)/V.
///
/// ```
/// use pourbook::heat::vapour::{Sprayed, parts_per_million};
/// let isopropanol = Sprayed { volume_ml: 60.0, density_g_per_ml: 0.785, molar_mass_g_per_mol: 60.1 };
/// assert!((parts_per_million(&isopropanol, 40.0, 25.0)? - 479.0).abs() < 0.5);
/// # Ok::<(), pourbook::heat::HeatError>(())
/// ```
///
/// # Errors
/// As [`vapour_m3`]; also a room of no volume.
pub fn parts_per_million(sprayed: &Sprayed, room_m3: f64, celsius: f64) -> Result<f64, HeatError> {
    within("room volume (m³)", room_m3, 0.1, 1e7)?;
    Ok(1e6 * vapour_m3(sprayed, celsius)? / room_m3)
}

/// A concentration as a fraction of a limit given in percent by volume (1 % = 10⁴ ppm).
#[must_use]
pub fn fraction_of_limit(parts_per_million: f64, limit_percent: f64) -> f64 {
    parts_per_million / (limit_percent * 1e4)
}

/// Air, m³, that a vapour would fill at a concentration in percent by volume.
///
/// # Errors
/// As [`vapour_m3`]; also a concentration not above 0 or over 100 %.
pub fn volume_at_m3(
    sprayed: &Sprayed,
    celsius: f64,
    concentration_percent: f64,
) -> Result<f64, HeatError> {
    within("concentration (%)", concentration_percent, 1e-6, 100.0)?;
    Ok(vapour_m3(sprayed, celsius)? * 100.0 / concentration_percent)
}

/// Minutes for fresh air to thin a perfectly mixed room's vapour to `fraction` of what it was:
/// t = −ln(fraction)/n for n air changes an hour.
///
/// # Errors
/// [`HeatError::OutOfRange`] for a fraction outside 0–1 (0 excluded) or no air changes.
pub fn purge_minutes(fraction: f64, air_changes_per_hour: f64) -> Result<f64, HeatError> {
    within("fraction left", fraction, 1e-12, 1.0)?;
    within("air changes an hour", air_changes_per_hour, 1e-3, 1e4)?;
    Ok(-libm::log(fraction) / air_changes_per_hour * 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn isopropanol(volume_ml: f64) -> Sprayed {
        Sprayed { volume_ml, density_g_per_ml: 0.785, molar_mass_g_per_mol: 60.10 }
    }

    fn ethanol(volume_ml: f64) -> Sprayed {
        Sprayed { volume_ml, density_g_per_ml: 0.789, molar_mass_g_per_mol: 46.07 }
    }

    /// Lower explosive limits: NIOSH Pocket Guide to Chemical Hazards, isopropanol 2.0 %,
    /// ethanol 3.3 %. The rest follows from the ideal gas law.
    #[test]
    fn worked_values() {
        let ppm = parts_per_million(&isopropanol(60.0), 40.0, 25.0).unwrap();
        assert!((ppm - 479.0).abs() < 0.5, "{ppm}");
        assert!((fraction_of_limit(ppm, 2.0) - 0.0240).abs() < 5e-5, "{ppm}");
        let ppm = parts_per_million(&ethanol(60.0), 40.0, 25.0).unwrap();
        assert!((ppm - 628.5).abs() < 0.5, "{ppm}");
        assert!((fraction_of_limit(ppm, 3.3) - 0.0190).abs() < 5e-5, "{ppm}");
        let ppm = parts_per_million(&isopropanol(250.0), 40.0, 25.0).unwrap();
        assert!((ppm - 1997.0).abs() < 1.0, "{ppm}");
        let layer = volume_at_m3(&isopropanol(60.0), 25.0, 2.0).unwrap();
        assert!((layer - 0.96).abs() < 0.005, "{layer}");
    }

    #[test]
    fn purging_to_a_tenth() {
        for (changes, minutes) in [(0.5, 276.0), (2.0, 69.0), (6.0, 23.0)] {
            let got = purge_minutes(0.1, changes).unwrap();
            assert!((got - minutes).abs() < 0.5, "{got} for {minutes}");
        }
        assert_eq!(purge_minutes(1.0, 2.0).unwrap(), 0.0, "nothing to wait for");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(parts_per_million(&isopropanol(-1.0), 40.0, 25.0).is_err(), "negative spray");
        assert!(parts_per_million(&isopropanol(60.0), 0.0, 25.0).is_err(), "no room");
        assert!(parts_per_million(&isopropanol(f64::NAN), 40.0, 25.0).is_err(), "no number");
        assert!(purge_minutes(0.0, 2.0).is_err(), "never wholly purged");
        assert!(purge_minutes(0.1, 0.0).is_err(), "no air");
    }
}
