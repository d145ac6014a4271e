//! Films on films: each layer's internal reflectance is the next one's substrate (Kubelka 1954).

use super::{Ks, film_reflectance};
use crate::spectrum::Spectrum;

/// One film of a stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Coefficients, mm⁻¹.
    pub ks: Ks,
    /// Thickness, mm.
    pub film_mm: f64,
}

impl Layer {
    /// Internal reflectance of this film over a substrate.
    #[must_use]
    pub fn over(&self, substrate: &Spectrum) -> Spectrum {
        Spectrum(std::array::from_fn(|band| {
            film_reflectance(self.ks.k[band], self.ks.s[band], self.film_mm, substrate[band])
        }))
    }
}

/// Internal reflectance of films laid on a substrate, the lowest first. Films of like refractive
/// index: no reflection between them. The face to air is [`super::Surface`]'s, once, at the end.
#[must_use]
pub fn over(layers: &[Layer], substrate: &Spectrum) -> Spectrum {
    layers.iter().fold(*substrate, |below, layer| layer.over(&below))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ks(k: f64, s: f64) -> Ks {
        Ks { k: Spectrum::flat(k), s: Spectrum::flat(s) }
    }

    #[test]
    fn order_matters_and_nothing_is_nothing() {
        let ground = Spectrum::flat(0.5);
        let (dark, light) = (ks(5.0, 1.0), ks(0.1, 9.0));
        let stack = [Layer { ks: dark, film_mm: 0.2 }, Layer { ks: light, film_mm: 0.2 }];
        let turned = [stack[1], stack[0]];
        assert!(
            over(&stack, &ground)[0] > over(&turned, &ground)[0] + 0.1,
            "light on top is lighter"
        );
        assert_eq!(over(&[], &ground), ground, "no film");
    }

    proptest! {
        #[test]
        fn a_film_in_slices_is_the_film(
            k in 0.0..30.0_f64, s in 0.0..30.0_f64, g in 0.0..=1.0_f64,
            slices in prop::collection::vec(0.01..1.0_f64, 1..6),
        ) {
            let layers: Vec<Layer> =
                slices.iter().map(|x| Layer { ks: ks(k, s), film_mm: *x }).collect();
            let ground = Spectrum::flat(g);
            let whole = Layer { ks: ks(k, s), film_mm: slices.iter().sum() }.over(&ground);
            prop_assert!((over(&layers, &ground)[7] - whole[7]).abs() < 1e-12, "{:?}", slices);
        }
    }
}
