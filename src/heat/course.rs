//! How a mixed mass warms and cures as it stands: the reaction's heat against the heat it loses,
//! the mass taken as one temperature throughout (a lumped model; an estimate).
//!
//! dT/dt = [H·dα/dt − U(T − Tₐ)/(ρ·V/S)]/c

use super::integrate::{Moment, Precision, follow};
use super::kinetics::Cure;
use super::{HeatError, ZERO_CELSIUS_K, within};

/// A resin system as heat sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resin {
    /// Its cure.
    pub cure: Cure,
    /// Density of the mix, kg/m³.
    pub density_kg_per_m3: f64,
    /// Heat capacity of the mix, J/(kg·K).
    pub heat_capacity_j_per_kg_k: f64,
    /// The conversion at which it can no longer be poured. Gelation of an ideal f = 4 amine with
    /// f = 2 epoxide is at 1/√3 = 0.577 (Flory–Stockmayer).
    pub end_conversion: f64,
}

impl Resin {
    /// An amine–epoxy flood resin of a given density before calibration. Heat capacity
    /// 1.9 kJ/(kg·K) is usual for liquid epoxy (handbook figure, from memory).
    #[must_use]
    pub const fn amine_epoxy(density_kg_per_m3: f64) -> Self {
        Self {
            cure: Cure::AMINE_EPOXY,
            density_kg_per_m3,
            heat_capacity_j_per_kg_k: 1900.0,
            end_conversion: 0.577,
        }
    }

    /// Temperature rise of the whole cure if no heat were lost, K.
    #[must_use]
    pub fn adiabatic_rise_k(&self) -> f64 {
        self.cure.heat_j_per_kg / self.heat_capacity_j_per_kg_k
    }

    fn checked(&self) -> Result<(), HeatError> {
        self.cure.checked()?;
        within("density (kg/m³)", self.density_kg_per_m3, 100.0, 10_000.0)?;
        within("heat capacity (J/(kg·K))", self.heat_capacity_j_per_kg_k, 100.0, 10_000.0)?;
        within("conversion at the end of pot life", self.end_conversion, 1e-6, 0.99)?;
        Ok(())
    }
}

/// How a mass loses heat to the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    /// Volume of the mass by its surface, mm.
    pub volume_per_surface_mm: f64,
    /// Heat lost per surface and degree, W/(m²·K); 0 for none.
    pub loss_w_per_m2_k: f64,
}

impl Cooling {
    fn checked(&self) -> Result<(), HeatError> {
        within("volume by surface (mm)", self.volume_per_surface_mm, 1e-3, 1e4)?;
        within("heat loss (W/(m²·K))", self.loss_w_per_m2_k, 0.0, 1e5)?;
        Ok(())
    }
}

/// Where a mass stands on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Share of the reaction done, 0–1.
    pub conversion: f64,
    /// Temperature, °C.
    pub celsius: f64,
}

impl State {
    /// Just mixed.
    #[must_use]
    pub const fn fresh(celsius: f64) -> Self {
        Self { conversion: 0.0, celsius }
    }

    fn checked(&self) -> Result<(), HeatError> {
        within("conversion", self.conversion, 0.0, 1.0)?;
        within("temperature (°C)", self.celsius, -50.0, 1000.0)?;
        Ok(())
    }
}

/// What becomes of a mass left to stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// Seconds until it can no longer be poured; none if that takes longer than the horizon.
    pub end_of_pot_life_s: Option<f64>,
    /// Its greatest temperature, °C.
    pub peak_celsius: f64,
    /// When it is hottest, s.
    pub peak_s: f64,
    /// Where it ended.
    pub last: State,
}

/// What errors of conversion and of temperature are measured against: a thousandth of a degree
/// matters as little as a hundred-thousandth of conversion.
const SCALE: [f64; 2] = [1.0, 100.0];

/// No mass is followed longer than this, s (30 days).
pub const HORIZON_S: f64 = 30.0 * 86_400.0;

/// A mass in its vessel or film, in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mass {
    resin: Resin,
    cooling: Cooling,
    ambient_celsius: f64,
    precision: Precision,
}

impl Mass {
    /// A mass of `resin` that loses heat by `cooling` to a room at `ambient_celsius`.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for a number that no real mass has.
    pub fn new(resin: &Resin, cooling: &Cooling, ambient_celsius: f64) -> Result<Self, HeatError> {
        resin.checked()?;
        cooling.checked()?;
        within("room temperature (°C)", ambient_celsius, -50.0, 150.0)?;
        Ok(Self {
            resin: *resin,
            cooling: *cooling,
            ambient_celsius,
            precision: Precision::default(),
        })
    }

    /// The same mass, followed more or less finely.
    #[must_use]
    pub const fn with_precision(self, precision: Precision) -> Self {
        Self { precision, ..self }
    }

    /// dα/dt (1/s) and dT/dt (K/s) at a state.
    fn slope(&self, state: [f64; 2]) -> [f64; 2] {
        let Resin { cure, density_kg_per_m3, heat_capacity_j_per_kg_k, .. } = &self.resin;
        let rate = cure.rate_per_s(state[0], state[1] + ZERO_CELSIUS_K);
        let lost_w_per_kg = self.cooling.loss_w_per_m2_k * (state[1] - self.ambient_celsius)
            / (density_kg_per_m3 * self.cooling.volume_per_surface_mm * 1e-3);
        [rate, (cure.heat_j_per_kg * rate - lost_w_per_kg) / heat_capacity_j_per_kg_k]
    }

    /// Follows the mass until it has both ended its pot life and passed its peak.
    ///
    /// # Errors
    /// [`HeatError`] for a start out of range, or a cure too quick to follow.
    pub fn course(&self, start: State) -> Result<Course, HeatError> {
        self.follow(start, HORIZON_S, true)
    }

    /// Where the mass stands after `seconds`.
    ///
    /// # Errors
    /// As [`Mass::course`]; also for a negative time or one beyond [`HORIZON_S`].
    pub fn after(&self, start: State, seconds: f64) -> Result<State, HeatError> {
        within("time (s)", seconds, 0.0, HORIZON_S)?;
        Ok(self.follow(start, seconds, false)?.last)
    }

    /// Seconds until a conversion is reached; none if not within [`HORIZON_S`].
    ///
    /// # Errors
    /// As [`Mass::course`].
    pub fn seconds_to(&self, start: State, conversion: f64) -> Result<Option<f64>, HeatError> {
        within("conversion", conversion, 1e-6, 0.99)?;
        let mut mass = *self;
        mass.resin.end_conversion = conversion;
        Ok(mass.follow(start, HORIZON_S, false)?.end_of_pot_life_s)
    }

    /// Seconds until it is as warm as `celsius`; none if it never is, 0 if it starts so.
    ///
    /// # Errors
    /// As [`Mass::course`].
    pub fn seconds_to_celsius(&self, start: State, celsius: f64) -> Result<Option<f64>, HeatError> {
        start.checked()?;
        within("temperature (°C)", celsius, -50.0, 1000.0)?;
        if start.celsius >= celsius {
            return Ok(Some(0.0));
        }
        let reached = |y: &[f64; 2]| y[1] - celsius;
        let way = follow(
            |y: &[f64; 2]| self.slope(*y),
            [start.conversion, start.celsius],
            SCALE,
            HORIZON_S,
            self.precision,
            [&reached],
            |now: &Moment<2>, met| {
                // What is left to react cannot lift it that far, even from a warmer room.
                let heat_left_k = (1.0 - now.state[0]) * self.resin.adiabatic_rise_k();
                met[0].is_some() || now.state[1].max(self.ambient_celsius) + heat_left_k < celsius
            },
        )?;
        Ok(way.events[0].map(|met| met.time_s))
    }

    fn follow(&self, start: State, seconds: f64, to_peak: bool) -> Result<Course, HeatError> {
        start.checked()?;
        let end = self.resin.end_conversion;
        let whole_way = seconds < HORIZON_S;
        let ended = |y: &[f64; 2]| y[0] - end;
        let peaked = |y: &[f64; 2]| -self.slope(*y)[1];
        let way = follow(
            |y: &[f64; 2]| self.slope(*y),
            [start.conversion, start.celsius],
            SCALE,
            seconds,
            self.precision,
            [&ended, &peaked],
            |now: &Moment<2>, met| {
                let over = met[0].is_some() || now.state[0] >= end;
                // What is left to react cannot lift it above where it began, or not to be seen.
                let heat_left_k = (1.0 - now.state[0]) * self.resin.adiabatic_rise_k();
                let past_peak = met[1].is_some()
                    || now.state[1] + heat_left_k <= start.celsius
                    || heat_left_k < 1e-3;
                !whole_way && over && (!to_peak || past_peak)
            },
        )?;
        let last = State { conversion: way.end.state[0].min(1.0), celsius: way.end.state[1] };
        // A mass that starts hot may be hottest at the start.
        let hottest = [
            (start.celsius, 0.0),
            way.events[1].map_or((f64::MIN, 0.0), |peak| (peak.state[1], peak.time_s)),
            (last.celsius, way.end.time_s),
        ]
        .into_iter()
        .fold((f64::MIN, 0.0), |best, one| if one.0 > best.0 { one } else { best });
        Ok(Course {
            end_of_pot_life_s: if start.conversion >= end {
                Some(0.0)
            } else {
                way.events[0].map(|met| met.time_s)
            },
            peak_celsius: hottest.0,
            peak_s: hottest.1,
            last,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A synthetic resin, not a measured one, with vessels whose cooling is given: it checks the
    /// integrator only. The figures below are `scipy`'s (1.17.1, DOP853, relative 1e-11) for the
    /// same equations, by `tests/fixtures/cure_course.py`.
    const SYNTHETIC: Resin = Resin {
        cure: Cure {
            a1_per_s: 1.728e5,
            a2_per_s: 4.321e5,
            activation_j_per_mol: 55_000.0,
            m: 1.0,
            n: 1.5,
            heat_j_per_kg: 350_000.0,
        },
        density_kg_per_m3: 1100.0,
        heat_capacity_j_per_kg_k: 1900.0,
        end_conversion: 0.577,
    };
    const FILM: Cooling = Cooling { volume_per_surface_mm: 3.2, loss_w_per_m2_k: 18.072 };
    const CUP: Cooling = Cooling { volume_per_surface_mm: 7.760, loss_w_per_m2_k: 7.273 };
    const QUART: Cooling = Cooling { volume_per_surface_mm: 17.716, loss_w_per_m2_k: 5.161 };
    const GALLON: Cooling = Cooling { volume_per_surface_mm: 28.138, loss_w_per_m2_k: 4.384 };
    const ADIABATIC: Cooling = Cooling { volume_per_surface_mm: 28.138, loss_w_per_m2_k: 0.0 };

    fn at(cooling: Cooling, celsius: f64) -> Course {
        Mass::new(&SYNTHETIC, &cooling, celsius).unwrap().course(State::fresh(celsius)).unwrap()
    }

    #[test]
    fn gel_and_peak_agree_with_a_general_solver() {
        for (cooling, celsius, gel_min, peak) in [
            (FILM, 25.0, 199.4177, 28.9032),
            (CUP, 25.0, 40.7977, 184.1361),
            (QUART, 25.0, 34.4021, 202.1008),
            (GALLON, 25.0, 33.3474, 205.2832),
            (ADIABATIC, 25.0, 32.2254, 209.2105),
            (GALLON, 15.0, 69.6183, 192.5513),
            (GALLON, 35.0, 17.0874, 216.6810),
        ] {
            let course = at(cooling, celsius);
            let got_min = course.end_of_pot_life_s.unwrap() / 60.0;
            assert!((got_min - gel_min).abs() < 1e-4, "gel {got_min} for {gel_min}, {cooling:?}");
            let got = course.peak_celsius;
            assert!((got - peak).abs() < 1e-3, "peak {got} for {peak}, {cooling:?}");
        }
    }

    /// The same times printed to 0.1 min. Six of the seven are the instant of gelling rounded; the
    /// gallon's at 25 °C, 33.347 min, rounds to 33.3, and is 33.4 only where the first whole second of
    /// a gelled mass is taken (2001 s, 33.35 min), which leaves the other six as they are.
    #[test]
    fn gel_times_at_the_first_whole_second_are_those_of_the_printed_table() {
        for (cooling, celsius, printed) in [
            (FILM, 25.0, "199.4"),
            (CUP, 25.0, "40.8"),
            (QUART, 25.0, "34.4"),
            (GALLON, 25.0, "33.4"),
            (ADIABATIC, 25.0, "32.2"),
            (GALLON, 15.0, "69.6"),
            (GALLON, 35.0, "17.1"),
        ] {
            let second = at(cooling, celsius).end_of_pot_life_s.unwrap().ceil();
            assert_eq!(format!("{:.1}", second / 60.0), printed, "{cooling:?} at {celsius} °C");
        }
    }

    #[test]
    fn bucket_then_film_agrees_with_a_general_solver() {
        let bucket = Mass::new(&SYNTHETIC, &GALLON, 25.0).unwrap();
        for (held_min, celsius, conversion) in [
            (10.0, 30.302, 0.029_38),
            (20.0, 38.969, 0.078_67),
            (25.0, 46.730, 0.122_92),
            (30.0, 63.338, 0.216_56),
        ] {
            let poured = bucket.after(State::fresh(25.0), held_min * 60.0).unwrap();
            assert!((poured.celsius - celsius).abs() < 1e-3, "{poured:?} after {held_min} min");
            assert!((poured.conversion - conversion).abs() < 1e-5, "{poured:?}");
            // Spread thin it cools at once, so it stays usable far longer than in the bucket.
            let film = Mass::new(&SYNTHETIC, &FILM, 25.0).unwrap().course(poured).unwrap();
            let left_in_bucket = bucket.course(poured).unwrap();
            assert!(film.end_of_pot_life_s > left_in_bucket.end_of_pot_life_s, "{film:?}");
            assert!(film.peak_celsius < left_in_bucket.peak_celsius, "{film:?}");
        }
    }

    /// k₁ + k₂α with m = n = 1 at one temperature has
    /// t = ln[(k₁ + k₂α)/(k₁(1 − α))]/(k₁ + k₂), by partial fractions.
    #[test]
    fn the_closed_form_to_a_millionth() {
        let (k1, k2) = (2e-5, 4e-4);
        let cure = Cure {
            a1_per_s: k1,
            a2_per_s: k2,
            activation_j_per_mol: 0.0,
            m: 1.0,
            n: 1.0,
            heat_j_per_kg: 0.0,
        };
        let mass = Mass::new(&Resin { cure, ..SYNTHETIC }, &FILM, 25.0).unwrap();
        for (alpha, printed_s) in
            [(0.1, 2866.60), (0.447, 6878.49), (0.577, 8069.78), (0.9, 12_492.91)]
        {
            let closed_s = libm::log((k1 + k2 * alpha) / (k1 * (1.0 - alpha))) / (k1 + k2);
            assert!((closed_s - printed_s).abs() < 0.005, "{closed_s} for {printed_s}");
            let got_s = mass.seconds_to(State::fresh(25.0), alpha).unwrap().unwrap();
            assert!((got_s / closed_s - 1.0).abs() < 1e-6, "{got_s} for {closed_s}");
        }
    }

    #[test]
    fn halving_the_step_hardly_moves_the_gel_time() {
        for cooling in [FILM, CUP, QUART, GALLON] {
            let gel = |longest_step_s: f64| {
                let precision = Precision { relative: 1e3, longest_step_s };
                Mass::new(&SYNTHETIC, &cooling, 25.0)
                    .unwrap()
                    .with_precision(precision)
                    .course(State::fresh(25.0))
                    .unwrap()
                    .end_of_pot_life_s
                    .unwrap()
            };
            let (whole, half) = (gel(20.0), gel(10.0));
            assert!((whole / half - 1.0).abs() < 1e-3, "{whole} and {half}, {cooling:?}");
            let default = at(cooling, 25.0).end_of_pot_life_s.unwrap();
            assert!((half / default - 1.0).abs() < 1e-4, "{half} and {default}, {cooling:?}");
        }
    }

    #[test]
    fn an_adiabatic_mass_rises_by_its_heat() {
        let course = at(ADIABATIC, 25.0);
        let rise = course.peak_celsius - 25.0;
        assert!((rise - SYNTHETIC.adiabatic_rise_k()).abs() < 0.2, "{rise}");
        // 486 J/g over 1.9 J/(g·K) is 255.8 K.
        let published =
            Resin { cure: Cure { heat_j_per_kg: 486_000.0, ..SYNTHETIC.cure }, ..SYNTHETIC };
        assert!((published.adiabatic_rise_k() - 255.8).abs() < 0.05, "published heat");
    }

    #[test]
    fn a_hot_mass_that_only_cools_peaks_at_its_start() {
        let film = Mass::new(&SYNTHETIC, &FILM, 25.0).unwrap();
        let course = film.course(State { conversion: 0.1, celsius: 60.0 }).unwrap();
        assert_eq!((course.peak_celsius, course.peak_s), (60.0, 0.0), "{course:?}");
        assert_eq!(film.seconds_to_celsius(State::fresh(25.0), 40.0).unwrap(), None, "never");
        assert_eq!(film.seconds_to_celsius(State::fresh(45.0), 40.0).unwrap(), Some(0.0), "now");
        let bucket = Mass::new(&SYNTHETIC, &GALLON, 25.0).unwrap();
        let hot_s = bucket.seconds_to_celsius(State::fresh(25.0), 63.338).unwrap().unwrap();
        assert!((hot_s / 60.0 - 30.0).abs() < 1e-3, "{hot_s}");
        let spent = film.course(State { conversion: 0.8, celsius: 30.0 }).unwrap();
        assert_eq!(spent.end_of_pot_life_s, Some(0.0), "its pot life is already over");
    }

    #[test]
    fn nonsense_is_refused() {
        let no_surface = Cooling { volume_per_surface_mm: 0.0, ..FILM };
        assert!(Mass::new(&SYNTHETIC, &no_surface, 25.0).is_err(), "no volume");
        assert!(Mass::new(&SYNTHETIC, &FILM, f64::NAN).is_err(), "no temperature");
        let mass = Mass::new(&SYNTHETIC, &FILM, 25.0).unwrap();
        assert!(mass.course(State { conversion: 2.0, celsius: 25.0 }).is_err(), "over-reacted");
        assert!(mass.after(State::fresh(25.0), -1.0).is_err(), "before the start");
    }
}
