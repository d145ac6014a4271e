//! What a sprayed solvent does to a room's air, with published limits.
//!
//! Limits are from the NIOSH Pocket Guide to Chemical Hazards (US CDC, DHHS 2005-149 and its web
//! edition) and 29 CFR 1910.1000 table Z-1. They inform; the product's safety data sheet, local
//! code and licensed practice rule.

use crate::heat::HeatError;
use crate::heat::vapour::{
    Sprayed, fraction_of_limit, parts_per_million, purge_minutes, volume_at_m3,
};

/// A solvent that is sprayed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solvent {
    /// Its name.
    pub name: &'static str,
    /// Density at 20 °C, g/mL (handbook figure, from memory).
    pub density_g_per_ml: f64,
    /// Molar mass, g/mol (from atomic masses).
    pub molar_mass_g_per_mol: f64,
    /// Lower explosive limit, % by volume (NIOSH).
    pub lower_limit_percent: f64,
    /// Upper explosive limit, % by volume (NIOSH).
    pub upper_limit_percent: f64,
    /// Flash point, °F (NIOSH).
    pub flash_point_fahrenheit: f64,
    /// NIOSH recommended exposure limit, 10-hour mean, ppm.
    pub recommended_limit_ppm: f64,
    /// NIOSH short-term limit, 15 min, ppm, where there is one.
    pub short_term_limit_ppm: Option<f64>,
    /// OSHA permissible exposure limit, 8-hour mean, ppm.
    pub permissible_limit_ppm: f64,
    /// Immediately dangerous to life or health, ppm (NIOSH; a tenth of the lower explosive limit).
    pub dangerous_ppm: f64,
}

/// Ethanol.
pub const ETHANOL: Solvent = Solvent {
    name: "ethanol",
    density_g_per_ml: 0.789,
    molar_mass_g_per_mol: 46.07,
    lower_limit_percent: 3.3,
    upper_limit_percent: 19.0,
    flash_point_fahrenheit: 55.0,
    recommended_limit_ppm: 1000.0,
    short_term_limit_ppm: None,
    permissible_limit_ppm: 1000.0,
    dangerous_ppm: 3300.0,
};

/// Isopropanol (2-propanol).
pub const ISOPROPANOL: Solvent = Solvent {
    name: "isopropanol",
    density_g_per_ml: 0.785,
    molar_mass_g_per_mol: 60.10,
    lower_limit_percent: 2.0,
    upper_limit_percent: 12.7,
    flash_point_fahrenheit: 53.0,
    recommended_limit_ppm: 400.0,
    short_term_limit_ppm: Some(500.0),
    permissible_limit_ppm: 400.0,
    dangerous_ppm: 2000.0,
};

/// Acetone.
pub const ACETONE: Solvent = Solvent {
    name: "acetone",
    density_g_per_ml: 0.791,
    molar_mass_g_per_mol: 58.08,
    lower_limit_percent: 2.5,
    upper_limit_percent: 12.8,
    flash_point_fahrenheit: 0.0,
    recommended_limit_ppm: 250.0,
    short_term_limit_ppm: None,
    permissible_limit_ppm: 1000.0,
    dangerous_ppm: 2500.0,
};

/// Every solvent known here.
pub const SOLVENTS: [Solvent; 3] = [ETHANOL, ISOPROPANOL, ACETONE];

/// The room that a surface is misted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Its volume, m³.
    pub volume_m3: f64,
    /// Its air, °C.
    pub celsius: f64,
    /// Fresh air, changes an hour; about 0.5 with windows shut, 2 with one open (common
    /// practice, no source).
    pub air_changes_per_hour: f64,
}

/// The vapour of one misting, all of it evaporated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MistVapour {
    /// Mean of the room if nothing leaves it, ppm. A mean hides the layer over the counter.
    pub mean_ppm: f64,
    /// That mean as a fraction of the lower explosive limit.
    pub fraction_of_lower_limit: f64,
    /// The air that the same vapour fills at the lower explosive limit, m³.
    pub at_lower_limit_m3: f64,
    /// That mean as a fraction of the lowest exposure limit.
    pub fraction_of_exposure_limit: f64,
    /// Time to purge to a tenth, perfectly mixed, min.
    pub purge_to_tenth_min: f64,
}

/// The vapour of `volume_ml` of a solvent sprayed in a room.
///
/// # Errors
/// [`HeatError::OutOfRange`] for a room or volume that cannot be.
pub fn mist_vapour(
    solvent: &Solvent,
    volume_ml: f64,
    room: &Room,
) -> Result<MistVapour, HeatError> {
    let sprayed = Sprayed {
        volume_ml,
        density_g_per_ml: solvent.density_g_per_ml,
        molar_mass_g_per_mol: solvent.molar_mass_g_per_mol,
    };
    let mean_ppm = parts_per_million(&sprayed, room.volume_m3, room.celsius)?;
    Ok(MistVapour {
        mean_ppm,
        fraction_of_lower_limit: fraction_of_limit(mean_ppm, solvent.lower_limit_percent),
        at_lower_limit_m3: volume_at_m3(&sprayed, room.celsius, solvent.lower_limit_percent)?,
        fraction_of_exposure_limit: mean_ppm
            / solvent.recommended_limit_ppm.min(solvent.permissible_limit_ppm),
        purge_to_tenth_min: purge_minutes(0.1, room.air_changes_per_hour)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kitchen_misted_with_isopropanol() {
        let room = Room { volume_m3: 40.0, celsius: 25.0, air_changes_per_hour: 2.0 };
        let vapour = mist_vapour(&ISOPROPANOL, 60.0, &room).unwrap();
        assert!((vapour.mean_ppm - 479.0).abs() < 0.5, "{vapour:?}");
        assert!((vapour.fraction_of_lower_limit - 0.024).abs() < 5e-5, "{vapour:?}");
        assert!((vapour.at_lower_limit_m3 - 0.96).abs() < 5e-3, "{vapour:?}");
        assert!((vapour.purge_to_tenth_min - 69.0).abs() < 0.5, "{vapour:?}");
        assert!(vapour.fraction_of_exposure_limit > 1.0, "479 ppm is over the 400 ppm limit");
    }

    #[test]
    fn the_table_hangs_together() {
        for solvent in SOLVENTS {
            assert!(solvent.lower_limit_percent < solvent.upper_limit_percent, "{solvent:?}");
            // NIOSH set these three IDLH at a tenth of the lower explosive limit.
            let tenth_ppm = solvent.lower_limit_percent * 1e4 / 10.0;
            assert!((solvent.dangerous_ppm - tenth_ppm).abs() < 1e-6, "{solvent:?}");
        }
    }
}
