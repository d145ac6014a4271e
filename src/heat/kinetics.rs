//! The rate of an amine–epoxy cure.

use super::{GAS_J_PER_MOL_K, HeatError, ZERO_CELSIUS_K, within};

/// An autocatalytic cure with one activation energy (Kamal and Sourour 1973, Polym. Eng. Sci. 13, 59):
/// dα/dt = (A₁e^(−E/RT) + A₂e^(−E/RT)·αᵐ)·(1−α)ⁿ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cure {
    /// A₁, 1/s: the uncatalysed path.
    pub a1_per_s: f64,
    /// A₂, 1/s: the path that the reaction's own products speed up.
    pub a2_per_s: f64,
    /// E, J/mol.
    pub activation_j_per_mol: f64,
    /// m, the order in what has reacted.
    pub m: f64,
    /// n, the order in what has not.
    pub n: f64,
    /// Heat of the whole cure, J/kg of mix.
    pub heat_j_per_kg: f64,
}

impl Cure {
    /// The shape of a room-temperature amine–epoxy cure before its rates are calibrated.
    ///
    /// Standing: estimated. E 55 kJ/mol is the low end of 55–60 published for primary
    /// amine–epoxy (Thermochim. Acta 447, 167, 2006); orders m + n 2.5 after DGEBA with a
    /// cycloaliphatic diamine (Barral, J. Appl. Polym. Sci. 56, 1029, 1995: 2.5–3). The heat is
    /// set below the 486 J/g published for undiluted DGEBA/TETA, because flood resins are
    /// diluted and cured with heavier amines. The ratio A₂/A₁ is chosen, not measured.
    pub const AMINE_EPOXY: Self = Self {
        a1_per_s: 1.728e5,
        a2_per_s: 4.321e5,
        activation_j_per_mol: 55_000.0,
        m: 1.0,
        n: 1.5,
        heat_j_per_kg: 350_000.0,
    };

    /// dα/dt, 1/s, at a conversion (0–1; beyond is held to the range) and a temperature in kelvin.
    #[must_use]
    pub fn rate_per_s(&self, conversion: f64, kelvin: f64) -> f64 {
        let alpha = conversion.clamp(0.0, 1.0);
        let arrhenius = libm::exp(-self.activation_j_per_mol / (GAS_J_PER_MOL_K * kelvin));
        arrhenius
            * (self.a1_per_s + self.a2_per_s * power(alpha, self.m))
            * power(1.0 - alpha, self.n)
    }

    /// The same cure with both rates times `factor`.
    #[must_use]
    pub fn quickened(&self, factor: f64) -> Self {
        Self { a1_per_s: self.a1_per_s * factor, a2_per_s: self.a2_per_s * factor, ..*self }
    }

    /// Refuses constants that no cure has: non-finite, negative, or an uncatalysed rate of zero
    /// (which would never start).
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] for the first such constant.
    pub fn checked(self) -> Result<Self, HeatError> {
        within("rate A1 (1/s)", self.a1_per_s, f64::MIN_POSITIVE, 1e30)?;
        within("rate A2 (1/s)", self.a2_per_s, 0.0, 1e30)?;
        within("activation energy (J/mol)", self.activation_j_per_mol, 0.0, 5e5)?;
        within("order m", self.m, 0.0, 10.0)?;
        within("order n", self.n, 0.0, 10.0)?;
        within("heat of cure (J/kg)", self.heat_j_per_kg, 0.0, 5e6)?;
        Ok(self)
    }
}

/// xᵖ for x in 0–1, with the two orders that come up most done without the general power.
fn power(x: f64, p: f64) -> f64 {
    if p == 1.0 {
        x
    } else if p == 1.5 {
        x * x.sqrt()
    } else {
        libm::pow(x, p)
    }
}

/// A time at one temperature carried to another by Arrhenius' law:
/// t₂ = t₁·exp[(E/R)(1/T₂ − 1/T₁)]. Right for a mass that stays at room temperature (a film);
/// a mass that warms itself needs [`super::pot_life`].
///
/// 40 min at 25 °C with E 55 kJ/mol is 23.7 min at 32.2 °C (90 °F):
/// ```
/// let minutes = pourbook::heat::kinetics::arrhenius_shift(40.0, 25.0, 32.2, 55_000.0)?;
/// assert!((minutes - 23.7).abs() < 0.05);
/// # Ok::<(), pourbook::heat::HeatError>(())
/// ```
///
/// # Errors
/// [`HeatError::OutOfRange`] outside −50 to 300 °C, for a negative or non-finite time or energy.
pub fn arrhenius_shift(
    time: f64,
    from_celsius: f64,
    to_celsius: f64,
    activation_j_per_mol: f64,
) -> Result<f64, HeatError> {
    within("time", time, 0.0, 1e12)?;
    within("activation energy (J/mol)", activation_j_per_mol, 0.0, 5e5)?;
    let from = within("temperature (°C)", from_celsius, -50.0, 300.0)? + ZERO_CELSIUS_K;
    let to = within("temperature (°C)", to_celsius, -50.0, 300.0)? + ZERO_CELSIUS_K;
    Ok(time * libm::exp(activation_j_per_mol / GAS_J_PER_MOL_K * (1.0 / to - 1.0 / from)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Halving per 10 °C between 20 and 30 °C is E = R·ln 2/(1/293.15 − 1/303.15) = 51.2 kJ/mol.
    #[test]
    fn a_rule_of_thumb_is_an_activation_energy() {
        let half = arrhenius_shift(1.0, 20.0, 30.0, 51_217.0).unwrap();
        assert!((half - 0.5).abs() < 1e-4, "{half}");
        // 60 °F and 90 °F.
        let colder = arrhenius_shift(40.0, 25.0, 140.0 / 9.0, 55_000.0).unwrap();
        assert!((colder - 82.6).abs() < 0.1, "{colder}");
        let warmer = arrhenius_shift(40.0, 25.0, 290.0 / 9.0, 55_000.0).unwrap();
        assert!((warmer - 23.7).abs() < 0.05, "{warmer}");
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(arrhenius_shift(f64::NAN, 20.0, 30.0, 5e4).is_err(), "time NaN");
        assert!(arrhenius_shift(1.0, -300.0, 30.0, 5e4).is_err(), "below absolute zero");
        assert!(Cure { n: f64::NAN, ..Cure::AMINE_EPOXY }.checked().is_err(), "n NaN");
        assert!(Cure { a1_per_s: 0.0, ..Cure::AMINE_EPOXY }.checked().is_err(), "never starts");
    }

    #[test]
    fn the_rate_ends_with_the_reaction_and_stays_finite() {
        for alpha in [-1.0, 0.0, 0.5, 1.0, 2.0] {
            let rate = Cure::AMINE_EPOXY.rate_per_s(alpha, 300.0);
            assert!(rate.is_finite() && rate >= 0.0, "{alpha}: {rate}");
        }
        assert_eq!(Cure::AMINE_EPOXY.rate_per_s(1.0, 300.0), 0.0, "nothing is left to react");
    }

    #[test]
    fn the_quick_powers_are_the_power() {
        for x in [0.0, 1e-9, 0.3, 1.0] {
            assert!((power(x, 1.5) - libm::pow(x, 1.5)).abs() < 1e-15, "{x}");
        }
    }
}
