//! May it be poured in this air, on this surface: temperature window and dew point.

use crate::heat::HeatError;
use crate::heat::air::dew_point_celsius;

/// A surface should be at least this much warmer than the dew point, K. The rule of 3 °C (5 °F)
/// is quoted in coating practice with ISO 8502-4.
pub const DEW_MARGIN_K: f64 = 3.0;

/// Air and surface at the place of the pour, with the window that the resin's datasheet gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Air, °C.
    pub air_celsius: f64,
    /// The surface to be coated, °C.
    pub surface_celsius: f64,
    /// Relative humidity, %.
    pub humidity_percent: f64,
    /// Lowest temperature that the datasheet allows, °C.
    pub lowest_celsius: Option<f64>,
    /// Highest temperature that the datasheet allows, °C.
    pub highest_celsius: Option<f64>,
    /// Highest relative humidity that the datasheet allows, %.
    pub dampest_percent: Option<f64>,
}

/// Where a temperature was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The air.
    Air,
    /// The surface.
    Surface,
}

/// Why not to pour now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPour {
    /// The surface is too near the dew point, or below it.
    NearDewPoint {
        /// Dew point, °C.
        dew_point_celsius: f64,
        /// The least surface temperature, °C: for its dew, or the datasheet's lowest where that is higher.
        surface_at_least_celsius: f64,
        /// The surface as it is, °C.
        surface_celsius: f64,
    },
    /// Colder than the datasheet allows.
    TooCold {
        /// Where.
        place: Place,
        /// As it is, °C.
        celsius: f64,
        /// The limit, °C.
        lowest_celsius: f64,
    },
    /// Warmer than the datasheet allows.
    TooWarm {
        /// Where.
        place: Place,
        /// As it is, °C.
        celsius: f64,
        /// The limit, °C.
        highest_celsius: f64,
    },
    /// Damper than the datasheet allows.
    TooDamp {
        /// As it is, %.
        humidity_percent: f64,
        /// The limit, %.
        dampest_percent: f64,
    },
}

/// The dew point and what speaks against pouring.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// Dew point, °C.
    pub dew_point_celsius: f64,
    /// What speaks against pouring; empty when nothing does.
    pub against: Vec<NoPour>,
}

/// Whether it may be poured.
///
/// # Errors
/// [`HeatError::OutOfRange`] for a temperature or humidity that no workshop has.
pub fn gate(weather: &Weather) -> Result<Gate, HeatError> {
    let Weather { air_celsius, surface_celsius, humidity_percent, .. } = *weather;
    let dew = dew_point_celsius(air_celsius, humidity_percent)?;
    crate::heat::within("surface temperature (°C)", surface_celsius, -45.0, 100.0)?;
    let mut against = Vec::new();
    if surface_celsius < dew + DEW_MARGIN_K {
        against.push(NoPour::NearDewPoint {
            dew_point_celsius: dew,
            surface_at_least_celsius: weather
                .lowest_celsius
                .map_or(dew + DEW_MARGIN_K, |lowest| lowest.max(dew + DEW_MARGIN_K)),
            surface_celsius,
        });
    }
    for (place, celsius) in [(Place::Air, air_celsius), (Place::Surface, surface_celsius)] {
        if let Some(lowest_celsius) = weather.lowest_celsius
            && celsius < lowest_celsius
        {
            against.push(NoPour::TooCold { place, celsius, lowest_celsius });
        }
        if let Some(highest_celsius) = weather.highest_celsius
            && celsius > highest_celsius
        {
            against.push(NoPour::TooWarm { place, celsius, highest_celsius });
        }
    }
    if let Some(dampest_percent) = weather.dampest_percent
        && humidity_percent > dampest_percent
    {
        against.push(NoPour::TooDamp { humidity_percent, dampest_percent });
    }
    Ok(Gate { dew_point_celsius: dew, against })
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: Weather = Weather {
        air_celsius: 22.0,
        surface_celsius: 21.0,
        humidity_percent: 50.0,
        lowest_celsius: Some(18.0),
        highest_celsius: Some(30.0),
        dampest_percent: Some(80.0),
    };

    #[test]
    fn fine_weather_passes() {
        assert_eq!(gate(&FINE).unwrap().against, [], "fine");
    }

    /// 25 °C and 60 % has its dew point at 16.693 °C, so a surface must reach 19.693 °C.
    #[test]
    fn a_cold_counter_in_damp_air_is_stopped_at_the_margin() {
        let damp = Weather { air_celsius: 25.0, humidity_percent: 60.0, ..FINE };
        let just_below = Weather { surface_celsius: 19.69, ..damp };
        let just_above = Weather { surface_celsius: 19.70, ..damp };
        assert!(
            matches!(gate(&just_below).unwrap().against[..], [NoPour::NearDewPoint { .. }]),
            "below"
        );
        assert_eq!(gate(&just_above).unwrap().against, [], "above");
    }

    #[test]
    fn each_limit_stops() {
        let cold = gate(&Weather { air_celsius: 17.9, ..FINE }).unwrap().against;
        assert!(matches!(cold[..], [NoPour::TooCold { place: Place::Air, .. }]), "{cold:?}");
        let warm = gate(&Weather { surface_celsius: 30.1, ..FINE }).unwrap().against;
        assert!(matches!(warm[..], [NoPour::TooWarm { place: Place::Surface, .. }]), "{warm:?}");
        let damp = gate(&Weather { humidity_percent: 81.0, surface_celsius: 25.0, ..FINE })
            .unwrap()
            .against;
        assert!(matches!(damp[..], [NoPour::TooDamp { .. }]), "{damp:?}");
        assert!(gate(&Weather { humidity_percent: f64::NAN, ..FINE }).is_err(), "no humidity");
        assert!(gate(&Weather { surface_celsius: f64::INFINITY, ..FINE }).is_err(), "no surface");
    }
}
