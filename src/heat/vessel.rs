//! How well a filled vessel or a poured film loses heat: geometry to volume by surface and
//! an overall loss. Estimates for masses that nobody measured; calibration to a stated pot life
//! takes up most of their error.
//!
//! The loss is free convection and radiation outside in series with conduction inside the mass
//! (the model holds one mean temperature; a mass of low conductivity is hotter within):
//!
//! - wall: laminar free convection on a vertical plate, Churchill and Chu 1975, Int. J. Heat
//!   Mass Transfer 18, 1323;
//! - top: hot horizontal plate facing up, Nu = 0.54·Ra^¼ on area by perimeter, Lloyd and
//!   Moran 1974, J. Heat Transfer 96, 443;
//! - bottom: a disc on a half-space, shape factor 2D (a standard conduction shape
//!   factor), a bench of wood;
//! - radiation: linearised, 4εσT³;
//! - inside: the mean of a uniformly heated cylinder stands (V/S)/(2k) above its surface
//!   (from the parabolic profile, q‴R²/8k).
//!
//! Constants are taken at one excess of 30 K over 25 °C so that a vessel has one loss.

use super::course::Cooling;
use super::{HeatError, within};

/// Air at 310–315 K: kinematic viscosity (m²/s), thermal diffusivity (m²/s), conductivity
/// (W/(m·K)). Textbook table, from memory.
const AIR_VISCOSITY: f64 = 1.70e-5;
const AIR_DIFFUSIVITY: f64 = 2.41e-5;
const AIR_CONDUCTIVITY: f64 = 0.0272;
/// Standard gravity, m/s².
const GRAVITY: f64 = 9.806_65;
/// Stefan–Boltzmann constant, W/(m²·K⁴) (CODATA 2018, exact).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Plastic, resin and paint radiate alike: about 0.9.
const EMISSIVITY: f64 = 0.9;
/// Conductivity of liquid epoxy and of wood, W/(m·K): handbook figures, from memory.
const RESIN_CONDUCTIVITY: f64 = 0.2;
const BENCH_CONDUCTIVITY: f64 = 0.15;
/// The excess over the room at which the losses are taken, K, and the mean temperature there, K.
const EXCESS_K: f64 = 30.0;
const MEAN_K: f64 = 313.15;

/// Ra = gβΔT·L³/(νa) of a length in m.
fn rayleigh(length_m: f64, excess_k: f64) -> f64 {
    GRAVITY / MEAN_K * excess_k * length_m * length_m * length_m / (AIR_VISCOSITY * AIR_DIFFUSIVITY)
}

fn fourth_root(x: f64) -> f64 {
    x.sqrt().sqrt()
}

/// Free convection from a vertical wall of a height in m, W/(m²·K).
fn wall(height_m: f64) -> f64 {
    // [1 + (0.492/Pr)^(9/16)]^(4/9) at Pr = 0.705 is 1.304.
    let nusselt = 0.68 + 0.670 * fourth_root(rayleigh(height_m, EXCESS_K)) / 1.304;
    nusselt * AIR_CONDUCTIVITY / height_m
}

/// Free convection from a hot face looking up, of an area by perimeter in m, W/(m²·K).
fn upward(area_by_perimeter_m: f64, excess_k: f64) -> f64 {
    0.54 * fourth_root(rayleigh(area_by_perimeter_m, excess_k)) * AIR_CONDUCTIVITY
        / area_by_perimeter_m
}

/// Radiation, W/(m²·K).
fn radiation() -> f64 {
    4.0 * EMISSIVITY * STEFAN_BOLTZMANN * MEAN_K * MEAN_K * MEAN_K
}

/// A round vessel, filled to a depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinder {
    diameter_mm: f64,
    depth_mm: f64,
}

/// A layer thinner than this, mm, is taken as so thick: it has the temperature of the room within
/// seconds, and no heat of its own, however thin it is.
pub const LEAST_DEPTH_MM: f64 = 0.1;

impl Cylinder {
    /// A round vessel of an inner diameter (5–2000 mm) filled to a depth (0–5000 mm; one below
    /// [`LEAST_DEPTH_MM`] counts as that).
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] outside those ranges.
    pub fn new(diameter_mm: f64, depth_mm: f64) -> Result<Self, HeatError> {
        within("vessel diameter (mm)", diameter_mm, 5.0, 2000.0)?;
        within("depth of fill (mm)", depth_mm, 0.0, 5000.0)?;
        Ok(Self { diameter_mm, depth_mm: depth_mm.max(LEAST_DEPTH_MM) })
    }

    /// A volume, mL, filled as deep as it is wide: what a mass is taken to be when its vessel is
    /// not known.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for a volume that no vessel holds.
    pub fn squat(volume_ml: f64) -> Result<Self, HeatError> {
        Self::filled(volume_ml, volume_ml)
    }

    /// A volume, mL, in a vessel of a brimful capacity, mL, that is as deep as it is wide.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for volumes that no vessel holds, or more than the capacity.
    pub fn filled(capacity_ml: f64, volume_ml: f64) -> Result<Self, HeatError> {
        within("volume in the vessel (mL)", volume_ml, 0.0, capacity_ml)?;
        Self::filled_share(capacity_ml, volume_ml / capacity_ml)
    }

    /// As [`Cylinder::filled`], by the share of the capacity that is filled.
    ///
    /// # Errors
    /// As [`Cylinder::filled`].
    pub fn filled_share(capacity_ml: f64, share: f64) -> Result<Self, HeatError> {
        within("vessel capacity (mL)", capacity_ml, 0.5, 5e6)?;
        within("share of the vessel filled", share, 0.0, 1.0)?;
        let diameter_mm = libm::cbrt(capacity_ml * 1000.0 * 4.0 / std::f64::consts::PI);
        Self::new(diameter_mm, diameter_mm * share)
    }

    /// How deep it is filled, mm.
    #[must_use]
    pub const fn depth_mm(&self) -> f64 {
        self.depth_mm
    }

    /// Volume, mL.
    #[must_use]
    pub fn volume_ml(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.diameter_mm * self.diameter_mm * self.depth_mm / 1000.0
    }

    /// How the mass in it loses heat: through wall, top and bottom.
    #[must_use]
    pub fn cooling(&self) -> Cooling {
        let (diameter_m, depth_m) = (self.diameter_mm * 1e-3, self.depth_mm * 1e-3);
        let face = std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m;
        let side = std::f64::consts::PI * diameter_m * depth_m;
        let surface = side + 2.0 * face;
        let bottom = 2.0 * diameter_m * BENCH_CONDUCTIVITY / face;
        let outside = (side * (wall(depth_m) + radiation())
            + face * (upward(diameter_m / 4.0, EXCESS_K) + radiation() + bottom))
            / surface;
        let best = self.cooling_at_its_best();
        let inside = best.loss_w_per_m2_k;
        Cooling { loss_w_per_m2_k: 1.0 / (1.0 / outside + 1.0 / inside), ..best }
    }

    /// As [`Cylinder::cooling`], but with its whole outside held at the temperature of the room, as
    /// a water bath or cold metal all around would: only the way through the mass itself hinders
    /// the heat, so a mass of this shape cannot lose it faster without being stirred.
    #[must_use]
    pub fn cooling_at_its_best(&self) -> Cooling {
        // Wall, top and bottom of a cylinder.
        let per_volume = 4.0 / self.diameter_mm + 2.0 / self.depth_mm;
        let volume_per_surface_mm = 1.0 / per_volume;
        Cooling {
            volume_per_surface_mm,
            loss_w_per_m2_k: 2.0 * RESIN_CONDUCTIVITY / (volume_per_surface_mm * 1e-3),
        }
    }

    /// As [`Cylinder::cooling`], but in a perfect insulation.
    #[must_use]
    pub fn no_cooling(&self) -> Cooling {
        Cooling { loss_w_per_m2_k: 0.0, ..self.cooling_at_its_best() }
    }
}

/// How a film poured on a board loses heat: its air face by convection and radiation, its lower
/// face into the board (a semi-infinite board of wood an hour after the pour, k/√(πat),
/// a = 1.2·10⁻⁷ m²/s). Volume by surface is the thickness, as only the air face counts as surface.
///
/// # Errors
/// [`HeatError::OutOfRange`] for a thickness outside 0.01–200 mm.
pub fn film(thickness_mm: f64) -> Result<Cooling, HeatError> {
    within("film thickness (mm)", thickness_mm, 0.01, 200.0)?;
    // A counter 0.6 m deep and a few metres long has area by perimeter of about 0.25 m; a film
    // stays within a few degrees of the room.
    let into_board = BENCH_CONDUCTIVITY / (std::f64::consts::PI * 1.2e-7 * 3600.0).sqrt();
    let outside = upward(0.25, 4.0) + radiation() + into_board;
    let inside = 3.0 * RESIN_CONDUCTIVITY / (thickness_mm * 1e-3);
    Ok(Cooling {
        volume_per_surface_mm: thickness_mm,
        loss_w_per_m2_k: 1.0 / (1.0 / outside + 1.0 / inside),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_vessel_as_deep_as_wide_has_a_sixth_of_its_width() {
        let vessel = Cylinder::squat(946.353).unwrap();
        assert!((vessel.volume_ml() - 946.353).abs() < 1e-6, "{vessel:?}");
        let sixth = vessel.diameter_mm / 6.0;
        assert!((vessel.cooling().volume_per_surface_mm - sixth).abs() < 1e-9, "{vessel:?}");
    }

    /// Textbook orders of magnitude: a body tens of kelvin over still air loses 4–8 W/(m²·K) by
    /// convection and about 6 by radiation; resistance inside halves that for a gallon.
    #[test]
    fn the_losses_are_of_the_known_size() {
        assert!((5.5..6.8).contains(&radiation()), "{}", radiation());
        assert!((4.0..8.0).contains(&wall(0.1)), "{}", wall(0.1));
        let cup = Cylinder::squat(91.0).unwrap().cooling().loss_w_per_m2_k;
        let gallon = Cylinder::squat(3785.0).unwrap().cooling().loss_w_per_m2_k;
        assert!((7.0..12.0).contains(&cup), "{cup}");
        assert!((4.0..7.0).contains(&gallon), "{gallon}");
        let thin = film(3.2).unwrap().loss_w_per_m2_k;
        assert!((10.0..20.0).contains(&thin), "{thin}");
    }

    /// The wall's formula with Pr = ν/a of the constants, its denominator evaluated in full.
    #[test]
    fn the_plate_constant_is_right() {
        let prandtl = AIR_VISCOSITY / AIR_DIFFUSIVITY;
        let full = libm::pow(1.0 + libm::pow(0.492 / prandtl, 9.0 / 16.0), 4.0 / 9.0);
        assert!((full - 1.304).abs() < 1e-3, "{full}");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(Cylinder::new(0.0, 10.0).is_err(), "no width");
        assert!(Cylinder::filled(1000.0, 1001.0).is_err(), "overfull");
        assert!(Cylinder::filled(f64::NAN, 1.0).is_err(), "no capacity");
        assert!(Cylinder::new(100.0, -1.0).is_err(), "less than empty");
        assert!(Cylinder::new(100.0, f64::NAN).is_err(), "no depth");
        assert!(film(-1.0).is_err(), "no film");
    }

    #[test]
    fn a_smear_counts_as_the_thinnest_layer_and_keeps_the_temperature_of_the_room() {
        use crate::heat::course::{Mass, Resin, State};
        let smear = Cylinder::filled(5000.0, 2.0).unwrap();
        assert!((smear.depth_mm() - LEAST_DEPTH_MM).abs() < 1e-12, "{smear:?}");
        assert_eq!(smear.cooling(), Cylinder::filled(5000.0, 0.0).unwrap().cooling());
        let resin = Resin::amine_epoxy(1100.0);
        let course = Mass::new(&resin, &smear.cooling(), 25.0).unwrap();
        let peak = course.course(State::fresh(25.0)).unwrap().peak_celsius;
        assert!(peak - 25.0 < 0.5, "{peak}");
    }

    proptest! {
        #[test]
        fn more_mass_loses_less_heat_per_mass(
            capacity in 100.0..20_000.0,
            share in 0.05..0.5,
            more in 1.01..2.0,
        ) {
            let per_volume = |c: Cooling| c.loss_w_per_m2_k / c.volume_per_surface_mm;
            let vessel = Cylinder::filled_share(capacity, share).unwrap();
            let [none, usual, best] =
                [vessel.no_cooling(), vessel.cooling(), vessel.cooling_at_its_best()].map(per_volume);
            prop_assert!(none == 0.0 && none < usual && usual < best, "{none}, {usual}, {best}");
            let little = vessel.cooling();
            let much = Cylinder::filled_share(capacity, share * more).unwrap().cooling();
            prop_assert!(per_volume(much) < per_volume(little), "fuller");
            let bigger = Cylinder::filled_share(capacity * more, share).unwrap().cooling();
            prop_assert!(per_volume(bigger) < per_volume(little), "bigger");
        }
    }
}
