//! Heat and air: how a mixed mass cures and warms, how long it stays usable, and what water and
//! solvent vapour do in a room. Pure numbers; limits and advice belong to the plan.
//!
//! | file | what it answers |
//! |---|---|
//! | [`kinetics`] | how fast the reaction runs at a conversion and a temperature |
//! | [`integrate`] | follows a system of rates in time, with events located |
//! | [`vessel`] | how well a filled vessel or a film loses heat |
//! | [`course`] | conversion and temperature of a mass as it stands; gel, peak, bucket then film |
//! | [`pot_life`] | rates calibrated to a stated pot life; pot life of another mass |
//! | [`air`] | dew point |
//! | [`vapour`] | sprayed solvent in a room |
//!
//! # Standing
//!
//! The thermal model is an estimate. It is tied to one measured thing, the datasheet's pot life,
//! and carries it to other masses and temperatures by published activation energies and
//! textbook heat transfer. A mass is taken as one temperature throughout.

pub mod air;
pub mod course;
pub mod integrate;
pub mod kinetics;
pub mod pot_life;
pub mod vapour;
pub mod vessel;

/// Why a calculation of heat or air has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum HeatError {
    /// A number outside the range where the formula means anything.
    #[error("{what} is {value:.2}, outside {low} to {high}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least value allowed.
        low: f64,
        /// Greatest value allowed.
        high: f64,
    },
    /// The integrator needed more steps than its limit.
    #[error("the cure could not be followed: more than {steps} steps")]
    TooManySteps {
        /// The limit.
        steps: usize,
    },
    /// No scaling of the rates gives the stated pot life.
    #[error("no rate of cure gives a pot life of {minutes} min")]
    NoSuchPotLife {
        /// The stated pot life, min.
        minutes: f64,
    },
}

/// `value`, if it lies in `low..=high` (so never NaN).
pub(crate) fn within(
    what: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, HeatError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(HeatError::OutOfRange { what, value, low, high })
    }
}

/// 0 °C in kelvin (exact by definition of the Celsius scale).
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// Molar gas constant, J/(mol·K): exact in the SI since 2019.
pub const GAS_J_PER_MOL_K: f64 = 8.314_462_618_153_24;
