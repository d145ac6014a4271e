//! From amounts to a film and its face: the few numbers that all bands share.
//!
//! **Film.** For films of known thickness the optical amount of a pigment is loading × film. For
//! quantities spread by habit it is q·(t/t₀)^e with t the sum of the quantities: e = 0 if the area
//! is constant, below 0 if more colour also spreads wider or dries denser. One e for all pigments.
//! A ladder of one pigment is often made in another session, from another dilution, than its
//! mixtures: a factor for each pigment, near 1, holds for samples of that pigment alone.
//!
//! **Face.** A smooth face of known refractive index has its k1 by Fresnel and its k2 by
//! integration ([`Surface::of_index`]). A matt one scatters at the face itself, in every geometry:
//! dark matt paint reads 0.03–0.05 in every band, and taking this for scattering inside the film
//! spoils k and s alike. Its level is a mean over the pigments, by share, of one level each, times
//! a factor that goes with the total quantity (thick layers dry glossier), linear between a few
//! knots; k2 is one number for all.

use crate::optics::{Geometry, Surface};

use super::sample::{Measure, Sample};

/// Level of a matt face before anything is known: about the Fresnel reflection of a binder of index
/// 1.46, all of it scattered.
pub(super) const MATT_LEVEL: f64 = 0.035;
/// Internal return of a matt face before anything is known: low, because a rough or porous layer
/// has no clear inner face.
pub(super) const MATT_RETURN: f64 = 0.2;
/// Bounds of the internal return; 0.6 is that of a smooth face of index 1.5.
const RETURN_BOUNDS: (f64, f64) = (0.0, 0.7);
/// Spreading exponent before anything is known.
pub(super) const SPREAD: f64 = -0.4;
/// Bounds of the spreading exponent: from an area that grows as the quantity to one that shrinks.
const SPREAD_BOUNDS: (f64, f64) = (-1.0, 0.5);
/// Most knots of the factor over the total quantity.
pub(super) const MOST_KNOTS: usize = 8;

/// The shared numbers of a fit.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Law {
    /// What amounts are.
    pub measure: Measure,
    /// The amount that k and s are given for: a quantity, or loading × film in mm.
    pub reference: f64,
    /// What the face is like.
    pub face: Face,
    /// Exponent of the total quantity; unused for loadings.
    pub spread: f64,
    /// Natural logarithm of each pigment's strength where it is alone, beside its strength in
    /// mixtures; unused for loadings.
    pub ln_alone: Vec<f64>,
}

/// What the face of every sample of a table is like.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Face {
    /// Smooth, of known refractive index; geometry decides whether its reflection is read.
    Smooth {
        /// Refractive index of the binder.
        index: f64,
    },
    /// Matt, fitted.
    Matt {
        /// Natural logarithm of each pigment's level.
        ln_levels: Vec<f64>,
        /// Where the factor over the total is given: natural logarithms of total / reference,
        /// rising.
        knots: Vec<f64>,
        /// Natural logarithm of the factor at each knot.
        ln_factors: Vec<f64>,
        /// Share of diffuse light from inside that the face returns.
        k2: f64,
    },
}

/// What a law makes of one sample.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Acting {
    /// Optical amount of each of its pigments, in references.
    pub amounts: Vec<f64>,
    /// Natural logarithm of total / reference, for the spread's derivative.
    pub ln_total: f64,
    /// Share of light that the face adds to every reading.
    pub level: f64,
    /// Share of light that the face keeps out.
    pub k1: f64,
    /// Share of light that the face returns inside.
    pub k2: f64,
    /// ∂ ln level by each of the law's parameters that move it: (parameter, value).
    pub level_by: Vec<(usize, f64)>,
}

impl Law {
    /// How many parameters there are to fit.
    pub(super) fn count(&self) -> usize {
        match &self.face {
            Face::Smooth { .. } => self.first_of_face(),
            Face::Matt { ln_levels, ln_factors, .. } => {
                self.first_of_face() + ln_levels.len() + ln_factors.len() + 1
            }
        }
    }

    fn first_of_face(&self) -> usize {
        match self.measure {
            Measure::Quantity => 1 + self.ln_alone.len(),
            Measure::Loading => 0,
        }
    }

    /// The parameter that is the spread's exponent.
    pub(super) const fn spread_at(&self) -> Option<usize> {
        match self.measure {
            Measure::Quantity => Some(0),
            Measure::Loading => None,
        }
    }

    /// The parameter that is the strength, alone, of a sample's only pigment.
    pub(super) fn alone_at(&self, sample: &Sample) -> Option<usize> {
        match (self.measure, sample.amounts.as_slice()) {
            (Measure::Quantity, [(pigment, _)]) => Some(1 + pigment),
            _ => None,
        }
    }

    /// The parameter that is k2.
    pub(super) fn k2_at(&self) -> Option<usize> {
        match &self.face {
            Face::Smooth { .. } => None,
            Face::Matt { .. } => Some(self.count() - 1),
        }
    }

    /// Parameters in order: spread, strengths alone, levels, factors, k2.
    pub(super) fn parameters(&self) -> Vec<f64> {
        let mut all = Vec::with_capacity(self.count());
        if self.spread_at().is_some() {
            all.push(self.spread);
            all.extend(&self.ln_alone);
        }
        if let Face::Matt { ln_levels, ln_factors, k2, .. } = &self.face {
            all.extend(ln_levels);
            all.extend(ln_factors);
            all.push(*k2);
        }
        all
    }

    /// The law with its parameters moved by `step`, inside their bounds.
    pub(super) fn moved(&self, step: &[f64]) -> Self {
        let mut moved = self.clone();
        let mut steps = step.iter();
        let mut next = || steps.next().copied().unwrap_or(0.0);
        if self.spread_at().is_some() {
            moved.spread = (moved.spread + next()).clamp(SPREAD_BOUNDS.0, SPREAD_BOUNDS.1);
            for value in &mut moved.ln_alone {
                *value = (*value + next()).clamp(-2.0, 2.0);
            }
        }
        if let Face::Matt { ln_levels, ln_factors, k2, .. } = &mut moved.face {
            for value in ln_levels.iter_mut().chain(ln_factors) {
                *value = (*value + next()).clamp(-8.0, 2.0);
            }
            *k2 = (*k2 + next()).clamp(RETURN_BOUNDS.0, RETURN_BOUNDS.1);
        }
        moved
    }

    /// What the law makes of a sample.
    pub(super) fn acting(&self, sample: &Sample) -> Acting {
        let total = sample.total();
        let (scale, ln_total) = match self.measure {
            Measure::Quantity => {
                let ln_total = libm::log(total / self.reference);
                let alone = match sample.amounts.as_slice() {
                    [(pigment, _)] => self.ln_alone[*pigment],
                    _ => 0.0,
                };
                (libm::exp(self.spread * ln_total + alone) / self.reference, ln_total)
            }
            Measure::Loading => {
                let film = sample.film_mm.unwrap_or(0.0);
                (film / self.reference, libm::log(total * film / self.reference))
            }
        };
        let amounts = sample.amounts.iter().map(|(_, amount)| amount * scale).collect();
        let mut acting =
            Acting { amounts, ln_total, level: 0.0, k1: 0.0, k2: 0.0, level_by: Vec::new() };
        match &self.face {
            Face::Smooth { index } => {
                let face = Surface::of_index(*index);
                acting.level = face.reading(0.0, sample.geometry);
                acting.k1 = face.k1;
                acting.k2 = face.k2;
            }
            Face::Matt { ln_levels, knots, ln_factors, k2 } => {
                let (first, share) = between(knots, ln_total);
                let next = (first + 1).min(knots.len().saturating_sub(1));
                let ln_factor = ln_factors.get(first).copied().unwrap_or(0.0) * (1.0 - share)
                    + ln_factors.get(next).copied().unwrap_or(0.0) * share;
                let parts: Vec<f64> = sample
                    .amounts
                    .iter()
                    .map(|(pigment, amount)| amount / total * libm::exp(ln_levels[*pigment]))
                    .collect();
                let mean: f64 = parts.iter().sum();
                acting.level = (mean * libm::exp(ln_factor)).min(0.2);
                acting.k1 = acting.level;
                acting.k2 = *k2;
                let levels = self.first_of_face();
                let factors = levels + ln_levels.len();
                for ((pigment, _), part) in sample.amounts.iter().zip(&parts) {
                    acting.level_by.push((levels + pigment, part / mean));
                }
                acting.level_by.push((factors + first, 1.0 - share));
                if next != first {
                    acting.level_by.push((factors + next, share));
                }
            }
        }
        acting
    }

    /// What lies below a film, seen from inside it: a smooth film wets the substrate's face away; a
    /// matt, porous one is taken to lie on a substrate whose own matt face is part of its body.
    pub(super) fn below(&self, acting: &Acting, reading: f64, geometry: Geometry) -> f64 {
        match &self.face {
            Face::Smooth { .. } => {
                Surface { k1: acting.k1, k2: acting.k2 }.internal(reading, geometry).max(0.0)
            }
            Face::Matt { .. } => {
                Surface { k1: 0.0, k2: acting.k2 }.internal(reading, Geometry::SpecularExcluded)
            }
        }
    }
}

/// The knot at or below a place, and the share of the next one; the ends hold beyond them.
fn between(knots: &[f64], at: f64) -> (usize, f64) {
    let after = knots.partition_point(|knot| *knot <= at);
    if after == 0 || knots.len() < 2 {
        return (0, 0.0);
    }
    if after == knots.len() {
        return (knots.len() - 2, 1.0);
    }
    (after - 1, (at - knots[after - 1]) / (knots[after] - knots[after - 1]))
}

/// Knots over logarithms of totals: each distinct one where there are few, else evenly spaced from
/// the least to the greatest.
pub(super) fn knots_over(ln_totals: &[f64]) -> Vec<f64> {
    let mut sorted: Vec<f64> = ln_totals.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    if sorted.len() <= MOST_KNOTS {
        return sorted;
    }
    let (least, greatest) = (sorted[0], sorted[sorted.len() - 1]);
    #[expect(clippy::cast_precision_loss, reason = "a handful of knots")]
    let place = |i: usize| least + (greatest - least) * i as f64 / (MOST_KNOTS - 1) as f64;
    (0..MOST_KNOTS).map(place).collect()
}
