//! A container with its layers, as it is drawn.

use std::collections::BTreeMap;

use crate::colour::Srgb8;
use crate::plan::{LayerPlan, SmallBatch};

/// Colours of bases and accents, where known: whether it is an accent's, and its name.
pub(super) type Colours = BTreeMap<(bool, String), Srgb8>;

/// The least part of the container's height that a layer is drawn with, so that a drop of accent can be
/// seen and carries its number.
const LEAST_HEIGHT: f64 = 0.13;

/// One layer in a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLayer {
    /// Its place from the bottom, from 1: what tells it apart, with or without colour.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// Its part of the drawing's height; thin layers are drawn thicker than they are.
    pub height: f64,
    /// Its colour, where known.
    pub colour: Option<Srgb8>,
}

/// A container in section.
#[derive(Debug, Clone, PartialEq)]
pub struct Container {
    /// From the bottom to the top.
    pub layers: Vec<DrawnLayer>,
    /// In words.
    pub alt: String,
}

impl Container {
    /// The part of the drawing's height that its thinnest layer has, above 0: how high the drawing must
    /// be for a number to stand in each layer.
    #[must_use]
    pub fn thinnest(&self) -> f64 {
        self.layers.iter().map(|layer| layer.height).fold(1.0, f64::min).max(1e-3)
    }

    /// The drawing of a small batch; colours by the names of bases and accents.
    #[must_use]
    pub fn of(batch: &SmallBatch, colours: &Colours) -> Self {
        let masses: Vec<f64> = batch.layers.iter().map(|layer| layer.mass().g()).collect();
        let layers = batch
            .layers
            .iter()
            .zip(heights(&masses))
            .zip(1..)
            .map(|((layer, height), number)| {
                let accent = matches!(layer, LayerPlan::Accent { .. });
                DrawnLayer {
                    number,
                    name: layer.name().to_owned(),
                    height,
                    colour: colours.get(&(accent, layer.name().to_owned())).copied(),
                }
            })
            .collect::<Vec<_>>();
        let names: Vec<String> =
            layers.iter().map(|layer| format!("{} {}", layer.number, layer.name)).collect();
        let alt = format!("container of {}, from the bottom: {}", batch.name, names.join(", "));
        Self { layers, alt }
    }
}

/// Heights that sum to 1, in proportion to the amounts but none too thin to be seen.
fn heights(amounts: &[f64]) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "layers are few")]
    let least = LEAST_HEIGHT.min(0.8 / amounts.len().max(1) as f64);
    let all: f64 = amounts.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let lifted: Vec<f64> = amounts.iter().map(|amount| (amount / all).max(least)).collect();
    // What the thin ones are given is taken from what the thick ones have to spare.
    let spare: f64 = lifted.iter().map(|height| height - least).sum();
    let excess = lifted.iter().sum::<f64>() - 1.0;
    let kept = if spare > 0.0 { 1.0 - excess / spare } else { 1.0 };
    lifted.iter().map(|height| least + (height - least) * kept).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn layers_fill_the_container_and_each_is_seen(
            amounts in prop::collection::vec(0.001_f64..1e4, 1..30),
        ) {
            let drawn = heights(&amounts);
            prop_assert!((drawn.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{drawn:?}");
            let least = LEAST_HEIGHT.min(0.8 / amounts.len() as f64);
            prop_assert!(drawn.iter().all(|height| *height >= least - 1e-9), "{drawn:?}");
        }
    }
}
