//! What a base goes into with something else: the small batches that hold it beside an accent. A base that keeps
//! every ceiling by itself may still exceed one there, so whatever is made in its stead, as a correction, has to
//! keep the ceilings there too.

use crate::model::{Colorant, Layer, Recipe};

use super::checks::{dosed, ml_per_g_of_resin, small_batch_mix};
use super::loading::{Dosed, Inequality, Limits, Route, Standing};

/// A small batch that a base goes into.
#[derive(Debug, Clone, Copy)]
pub struct Company<'a> {
    recipe: &'a Recipe<'a>,
    base: &'a str,
    /// Which of the colourway's pours.
    number: usize,
}

impl<'a> Company<'a> {
    /// The small batches of a recipe that a base goes into beside an accent. Those without accents are means of
    /// their bases, and a mean of safe mixes is safe.
    #[must_use]
    pub fn of(recipe: &'a Recipe<'a>, base: &'a str) -> Vec<Self> {
        let pours = recipe.colourway.pours.iter().enumerate();
        pours
            .filter(|(_, pour)| {
                pour.layers.iter().any(|layer| matches!(layer, Layer::Accent { .. }))
                    && pour.base_fractions().any(|(name, _)| name == base)
            })
            .map(|(number, _)| Self { recipe, base, number })
            .collect()
    }

    /// The small batch's name.
    #[must_use]
    pub fn name(&self) -> &'a str {
        &self.recipe.colourway.pours[self.number].name
    }

    /// Where the small batch stands against every ceiling, with this mix in the base's stead: loadings as weighed.
    #[must_use]
    pub fn standings(&self, limits: &Limits<'_>, instead: &[Dosed<'a>]) -> Vec<Standing> {
        limits.standings(&self.with(instead))
    }

    /// Everything in it per gram of its resin.
    fn with(&self, instead: &[Dosed<'a>]) -> Vec<Dosed<'a>> {
        let of_base = |name: &str| {
            if name == self.base { instead.to_vec() } else { dosed(self.recipe, name) }
        };
        let pour = &self.recipe.colourway.pours[self.number];
        small_batch_mix(self.recipe, pour, self.number, &of_base).dosed
    }

    /// Every ceiling of the small batch as a linear inequality on the loadings, as weighed, of these colorants in the
    /// base, each named once: a mix keeps all of these exactly when none of [`Self::standings`] with it is exceeded.
    ///
    /// A ceiling is Σaℓ ≤ most over the whole container. Of a volume of the container the base is the part f, so it
    /// brings f/V grams of resin, V = 1/ρ + Σℓ/ρᶜ being its volume per gram of resin; the other bases bring R
    /// grams, with Σaℓ = C on them; the accents are dosed by all of the resin, with Σaℓ = D. Then
    /// (f/V)·Σaℓ + C + D·(R + f/V) ≤ most·(R + f/V), and times V/f that is linear in ℓ.
    #[must_use]
    pub fn inequalities(&self, limits: &Limits<'_>, colorants: &[&'a Colorant]) -> Vec<Inequality> {
        let (recipe, system) = (self.recipe, self.recipe.system);
        let pour = &recipe.colourway.pours[self.number];
        // What else is in the container: grams by volume of the container, and per gram of its resin.
        let (mut share, mut resin, mut others) = (0.0, 0.0, Vec::new());
        for (name, fraction) in pour.base_fractions() {
            if name == self.base {
                share += fraction;
                continue;
            }
            let tinted = dosed(recipe, name);
            let grams = fraction / ml_per_g_of_resin(system, &tinted);
            resin += grams;
            others.extend(tinted.iter().map(|d| Dosed { loading: d.loading * grams, ..*d }));
        }
        let accents: Vec<Dosed<'_>> = pour
            .layers
            .iter()
            .filter_map(|layer| match layer {
                Layer::Base { .. } => None,
                Layer::Accent { accent, dose } => {
                    let name = recipe.colourway.accents[accent].colorant.as_str();
                    let colorant = recipe.colorants[name];
                    Some(Dosed { colorant, loading: dose.value() / colorant.lot_strength() })
                }
            })
            .collect();
        // All of them on one row each, so that what a unit of each counts is decided in one place.
        let beside = others.iter().chain(&accents).map(|each| each.colorant);
        let all: Vec<_> = colorants.iter().copied().chain(beside).collect();
        let [own, first_accent] = [colorants.len(), colorants.len() + others.len()];
        let neat = ml_per_g_of_resin(system, &[]);
        let rows = limits.inequalities(&all).into_iter().enumerate();
        rows
            // A colorant that stands further back is one of the first, or one that the base does not hold.
            .filter(|(at, _)| *at < own || *at >= all.len())
            .map(|(_, row)| {
                let of = |at: usize, colorant: &Colorant| match &row.route {
                    Route::Colorant(name) => f64::from(u8::from(*name == colorant.name)),
                    _ => row.per_loading[at],
                };
                let sum = |from: usize, mix: &[Dosed<'_>]| -> f64 {
                    let each = mix.iter().enumerate();
                    each.map(|(at, d)| of(from + at, d.colorant) * d.loading).sum()
                };
                let left = row.most - sum(first_accent, &accents);
                // Per volume of the base: negative where the others leave room.
                let beside = (sum(own, &others) - left * resin) / share;
                let volume = |colorant: &Colorant| 1.0 / colorant.density.g_per_ml();
                let per_loading = colorants
                    .iter()
                    .enumerate()
                    .map(|(at, colorant)| of(at, colorant) + beside * volume(colorant))
                    .collect();
                Inequality { route: row.route.clone(), per_loading, most: left - beside * neat }
            })
            .collect()
    }
}
