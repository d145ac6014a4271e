//! Water in the air: dew point.

use super::{HeatError, within};

/// Magnus constants over water, −45 to 60 °C (Sonntag 1990, Z. Meteorol. 70, 340).
const A: f64 = 17.62;
const B_CELSIUS: f64 = 243.12;

/// Dew point, °C, of air at a temperature (−45 to 60 °C) and relative humidity (0–100 %, not 0):
/// γ = ln(RH/100) + aT/(b + T), Td = bγ/(a − γ).
///
/// ```
/// let dew = pourbook::heat::air::dew_point_celsius(25.0, 60.0)?;
/// assert!((dew - 16.693).abs() < 5e-4);
/// # Ok::<(), pourbook::heat::HeatError>(())
/// ```
///
/// # Errors
/// [`HeatError::OutOfRange`] outside those ranges.
pub fn dew_point_celsius(celsius: f64, humidity_percent: f64) -> Result<f64, HeatError> {
    within("air temperature (°C)", celsius, -45.0, 60.0)?;
    within("relative humidity (%)", humidity_percent, 1e-3, 100.0)?;
    let gamma = libm::log(humidity_percent / 100.0) + A * celsius / (B_CELSIUS + celsius);
    Ok(B_CELSIUS * gamma / (A - gamma))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn worked_values() {
        for (celsius, humidity, dew) in
            [(25.0, 60.0, 16.693), (20.0, 50.0, 9.255), (18.0, 85.0, 15.439)]
        {
            let got = dew_point_celsius(celsius, humidity).unwrap();
            assert!((got - dew).abs() < 5e-4, "{got} for {dew}");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for (celsius, humidity) in
            [(f64::NAN, 50.0), (25.0, 0.0), (25.0, -3.0), (25.0, 101.0), (100.0, 50.0)]
        {
            assert!(dew_point_celsius(celsius, humidity).is_err(), "{celsius} °C {humidity} %");
        }
    }

    proptest! {
        #[test]
        fn dew_lies_below_the_air_and_rises_with_humidity(t in -40.0..55.0, rh in 1.0..99.0) {
            let dew = dew_point_celsius(t, rh).unwrap();
            prop_assert!(dew < t, "dew {dew} above air {t}");
            prop_assert!(dew_point_celsius(t, rh + 1.0).unwrap() > dew, "damper air, higher dew point");
            prop_assert!((dew_point_celsius(t, 100.0).unwrap() - t).abs() < 1e-9, "saturated");
        }
    }
}
