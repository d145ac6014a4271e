//! Pot life of any mass from the one that a datasheet states.
//!
//! A stated pot life always belongs to a mass, a vessel and a temperature (ISO 9514:2019). Here
//! it sets how fast the cure runs: both rates are scaled by one factor until the stated mass
//! reaches the end conversion in the stated time. Another mass is then followed with those
//! rates; its pot life ends at the same conversion. The datasheet's figure keeps its standing,
//! what is derived from it is an estimate.

use super::HeatError;
use super::course::{Cooling, Mass, Resin, State};
use super::integrate::bracketed_zero;
use super::within;

/// A pot life as stated: time, temperature of parts and room, and how the stated mass loses heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedPotLife {
    /// Minutes from mixing.
    pub minutes: f64,
    /// Temperature of the parts and the room, °C.
    pub celsius: f64,
    /// How the stated mass in its vessel loses heat.
    pub cooling: Cooling,
}

/// `resin` with its rates scaled so that the stated pot life comes out.
///
/// # Errors
/// [`HeatError`] for a stated pot life outside 0.5 min to 7 days, a number out of range, or
/// rates that cannot be scaled to it.
pub fn calibrated(resin: &Resin, stated: &StatedPotLife) -> Result<Resin, HeatError> {
    let minutes = within("stated pot life (min)", stated.minutes, 0.5, 7.0 * 1440.0)?;
    let none = HeatError::NoSuchPotLife { minutes };
    let target = libm::log(minutes * 60.0);
    // In logarithms an isothermal pot life is a straight line of slope −1 in the factor, and a
    // self-heating one is nearly so.
    let miss = |log_factor: f64| -> Result<f64, HeatError> {
        let quick = Resin { cure: resin.cure.quickened(libm::exp(log_factor)), ..*resin };
        let life_s = pot_life_s(&quick, &stated.cooling, stated.celsius, stated.celsius)?;
        Ok(life_s.map_or(20.0, |life_s| libm::log(life_s) - target))
    };
    let mut low = 0.0;
    let mut at_low = miss(low)?;
    let mut high = at_low;
    let mut at_high = miss(high)?;
    for _ in 0..60 {
        if (at_low <= 0.0) != (at_high <= 0.0) || at_high == 0.0 {
            break;
        }
        (low, at_low) = (high, at_high);
        high += 1.5 * at_high;
        at_high = miss(high)?;
    }
    let log_factor = if at_low == 0.0 {
        low
    } else if at_high == 0.0 {
        high
    } else if (at_low <= 0.0) != (at_high <= 0.0) {
        bracketed_zero(low, high, at_low, at_high, 1e-11, |x| miss(x).unwrap_or(f64::NAN))
    } else {
        return Err(none);
    };
    if !log_factor.is_finite() || miss(log_factor)?.abs() > 1e-6 {
        return Err(none);
    }
    Ok(Resin { cure: resin.cure.quickened(libm::exp(log_factor)), ..*resin })
}

/// Seconds from mixing until a mass can no longer be poured; none if longer than
/// [`super::course::HORIZON_S`].
///
/// # Errors
/// [`HeatError`] for a number out of range.
pub fn pot_life_s(
    resin: &Resin,
    cooling: &Cooling,
    parts_celsius: f64,
    ambient_celsius: f64,
) -> Result<Option<f64>, HeatError> {
    Mass::new(resin, cooling, ambient_celsius)?
        .seconds_to(State::fresh(parts_celsius), resin.end_conversion)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heat::kinetics::arrhenius_shift;
    use crate::heat::vessel::{Cylinder, film};
    use proptest::prelude::*;

    fn stated(minutes: f64, celsius: f64, mass_g: f64) -> StatedPotLife {
        let cooling = Cylinder::squat(mass_g / 1.1).unwrap().cooling();
        StatedPotLife { minutes, celsius, cooling }
    }

    #[test]
    fn the_stated_pot_life_comes_back() {
        for (minutes, celsius, mass_g) in
            [(40.0, 25.0, 100.0), (20.0, 23.0, 500.0), (3.0, 30.0, 50.0), (600.0, 20.0, 1000.0)]
        {
            let says = stated(minutes, celsius, mass_g);
            let resin = calibrated(&Resin::amine_epoxy(1100.0), &says).unwrap();
            let got_s = pot_life_s(&resin, &says.cooling, celsius, celsius).unwrap().unwrap();
            assert!((got_s / 60.0 / minutes - 1.0).abs() < 1e-6, "{got_s} s for {minutes} min");
        }
    }

    /// A thin film stays at room temperature, so its time follows Arrhenius' law.
    #[test]
    fn a_very_thin_film_follows_arrhenius() {
        let resin = calibrated(&Resin::amine_epoxy(1100.0), &stated(40.0, 25.0, 100.0)).unwrap();
        let thin = film(0.05).unwrap();
        let at = |celsius| pot_life_s(&resin, &thin, celsius, celsius).unwrap().unwrap();
        let shifted = arrhenius_shift(at(25.0), 25.0, 15.0, 55_000.0).unwrap();
        assert!((at(15.0) / shifted - 1.0).abs() < 0.01, "{} and {shifted}", at(15.0));
    }

    #[test]
    fn nonsense_is_refused() {
        let resin = Resin::amine_epoxy(1100.0);
        for minutes in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(calibrated(&resin, &stated(minutes, 25.0, 100.0)).is_err(), "{minutes}");
        }
        assert!(calibrated(&resin, &stated(40.0, f64::NAN, 100.0)).is_err(), "no temperature");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn any_datasheet_calibrates(
            minutes in 1.0..3000.0,
            mass_g in 20.0..20_000.0,
            celsius in 5.0..40.0,
            activation in 44_000.0..60_000.0,
            heat in 280_000.0..486_000.0,
        ) {
            let mut resin = Resin::amine_epoxy(1100.0);
            resin.cure.activation_j_per_mol = activation;
            resin.cure.heat_j_per_kg = heat;
            let says = stated(minutes, celsius, mass_g);
            let got = calibrated(&resin, &says);
            prop_assert!(got.is_ok(), "{got:?}");
            let life_s = pot_life_s(&got.unwrap(), &says.cooling, celsius, celsius).unwrap();
            prop_assert!((life_s.unwrap() / 60.0 / minutes - 1.0).abs() < 1e-5, "{life_s:?}");
        }

        /// The better the stated mass was cooled, the quicker is what gels in the stated time, and the
        /// sooner any mass of it.
        #[test]
        fn a_better_cooled_cup_means_a_quicker_resin(
            minutes in 8.0..600.0,
            cup_g in 50.0..2000.0,
            stated_celsius in 15.0..30.0,
            mass_g in 50.0..10_000.0,
            celsius in 10.0..34.0,
        ) {
            let cup = Cylinder::squat(cup_g / 1.1).unwrap();
            let vessel = Cylinder::squat(mass_g / 1.1).unwrap().cooling();
            let [best, usual, none] =
                [cup.cooling_at_its_best(), cup.cooling(), cup.no_cooling()].map(|cooling| {
                    let says = StatedPotLife { minutes, celsius: stated_celsius, cooling };
                    let resin = calibrated(&Resin::amine_epoxy(1100.0), &says).unwrap();
                    pot_life_s(&resin, &vessel, celsius, celsius).unwrap().unwrap()
                });
            prop_assert!(best < usual && usual < none, "{best}, {usual}, {none} s");
        }

        #[test]
        fn warmer_or_more_is_never_longer(
            minutes in 8.0..240.0,
            mass_g in 50.0..5000.0,
            celsius in 10.0..34.0,
            warmer in 0.1..6.0,
            more in 1.01..4.0,
            which_cup in 0_usize..3,
        ) {
            let cup = Cylinder::squat(100.0 / 1.1).unwrap();
            let cooling =
                [cup.cooling_at_its_best(), cup.cooling(), cup.no_cooling()][which_cup];
            let says = StatedPotLife { minutes, celsius: 25.0, cooling };
            let resin = calibrated(&Resin::amine_epoxy(1100.0), &says).unwrap();
            let life = |mass_g: f64, celsius: f64| {
                let cooling = Cylinder::squat(mass_g / 1.1).unwrap().cooling();
                pot_life_s(&resin, &cooling, celsius, celsius).unwrap().unwrap()
            };
            let base = life(mass_g, celsius);
            prop_assert!(life(mass_g, celsius + warmer) < base, "warmer lasts longer");
            prop_assert!(life(mass_g * more, celsius) < base, "more lasts longer");
            // The same vessel filled higher.
            let filled = |share: f64| {
                let vessel = Cylinder::filled_share(5000.0, share).unwrap().cooling();
                pot_life_s(&resin, &vessel, celsius, celsius).unwrap().unwrap()
            };
            prop_assert!(filled(0.2 * more) < filled(0.2), "a fuller vessel lasts longer");
        }
    }
}
