//! From loadings by mass to the coefficients of the mixed film. The only place where loadings
//! become concentrations.
//!
//! A *loading* ℓ is colorant mass over mixed resin mass (parts A and B, without colorant). One gram
//! of resin with its colorants fills v = 1/ρ + Σ ℓᵢ/ρᵢ mL (ρ that of the resin), so a colorant's concentration is
//! cᵢ = ℓᵢ/v g/mL, and the resin itself fills the fraction (1/ρ)/v. Volumes are taken to add;
//! the shrinkage of curing acts on all alike and is left out.

use super::Ks;

/// One colorant in a mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Portion {
    /// Colorant mass over mixed resin mass; at least 0.
    pub loading: f64,
    /// Density of the colorant as it is weighed, g/mL; above 0.
    pub density_g_per_ml: f64,
}

/// What a millilitre of film holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    /// Concentration of each colorant, g per mL of film, in the order of the portions.
    pub concentrations_g_per_ml: Vec<f64>,
    /// Volume of resin over volume of film, 0–1.
    pub resin_volume_fraction: f64,
    /// Volume of film per gram of mixed resin, mL.
    pub film_ml_per_g_resin: f64,
}

/// What a millilitre of film holds, from the loadings. `resin_density_g_per_ml` is that of the
/// mixed resin without colorant, above 0.
///
/// ```
/// use pourbook::optics::{Portion, composition};
/// let film = composition(1.09, &[Portion { loading: 0.06, density_g_per_ml: 4.2 }]);
/// // 0.06 g in 1/1.09 + 0.06/4.2 mL:
/// assert!((film.concentrations_g_per_ml[0] - 0.064_397).abs() < 1e-6);
/// ```
#[must_use]
pub fn composition(resin_density_g_per_ml: f64, portions: &[Portion]) -> Composition {
    let resin_ml = 1.0 / resin_density_g_per_ml;
    let colorant_ml: f64 = portions.iter().map(|p| p.loading / p.density_g_per_ml).sum();
    let film_ml = resin_ml + colorant_ml;
    Composition {
        concentrations_g_per_ml: portions.iter().map(|p| p.loading / film_ml).collect(),
        resin_volume_fraction: resin_ml / film_ml,
        film_ml_per_g_resin: film_ml,
    }
}

/// Coefficients of a film (mm⁻¹) from colorants' concentrations (g per mL of film) and their
/// coefficients at unit concentration (mm⁻¹·mL/g). Both add by amount (Duncan 1940).
#[must_use]
pub fn mix(amounts: &[(f64, &Ks)]) -> Ks {
    let mut film = Ks::CLEAR;
    for (g_per_ml, unit) in amounts {
        film.add(*g_per_ml, unit);
    }
    film
}

/// As [`mix`], with the resin's own colour: `binder` are the clear film's coefficients (mm⁻¹).
#[must_use]
pub fn mix_in_binder(binder: &Ks, resin_volume_fraction: f64, amounts: &[(f64, &Ks)]) -> Ks {
    let mut film = mix(amounts);
    film.add(resin_volume_fraction, binder);
    film
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spectrum::Spectrum;

    #[test]
    fn volumes_and_masses_balance() {
        let portions = [
            Portion { loading: 0.06, density_g_per_ml: 4.2 },
            Portion { loading: 0.03, density_g_per_ml: 1.4 },
        ];
        let film = composition(1.09, &portions);
        let filled: f64 = film
            .concentrations_g_per_ml
            .iter()
            .zip(&portions)
            .map(|(c, p)| c / p.density_g_per_ml)
            .sum();
        assert!((filled + film.resin_volume_fraction - 1.0).abs() < 1e-15, "a mL is full");
        let mass = 1.0 + 0.09;
        let per_ml: f64 =
            film.concentrations_g_per_ml.iter().sum::<f64>() + film.resin_volume_fraction * 1.09;
        assert!((per_ml * film.film_ml_per_g_resin - mass).abs() < 1e-14, "no mass is lost");
    }

    #[test]
    fn the_binder_counts_by_its_volume() {
        let binder = Ks { k: Spectrum::flat(0.02), s: Spectrum::flat(0.0) };
        let white = Ks { k: Spectrum::flat(0.5), s: Spectrum::flat(400.0) };
        let film = mix_in_binder(&binder, 0.9, &[(0.06, &white)]);
        assert!((film.k[0] - (0.9 * 0.02 + 0.06 * 0.5)).abs() < 1e-15, "absorption adds");
        assert!((film.s[35] - 24.0).abs() < 1e-12, "scattering adds");
        assert_eq!(mix_in_binder(&binder, 1.0, &[]), binder, "a clear film is the binder alone");
    }
}
