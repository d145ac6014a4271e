//! Which mix fills which containers.
//!
//! Containers are filled in the order of pouring, each layer from the first mix of its base that has
//! some left. Mixes are divided so that layers end where mixes do; where that cannot be, a layer that
//! empties a mix is topped up from the next one.

use crate::quantity::Mass;

use super::base::BasePlan;
use super::small_batch::{LayerPlan, SmallBatch};

/// What one mix gives to neighbouring containers of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Portion {
    /// The first and the last of the containers, numbered from 1 in the order of pouring.
    pub containers: (u32, u32),
    /// The small batch that they belong to.
    pub pour: String,
    /// Which layer, counted from 1 at the bottom.
    pub layer: usize,
    /// What this mix gives to each.
    pub each: Mass,
    /// The whole layer; more than `each` where another mix tops it up.
    pub whole: Mass,
    /// The step of the container's scale.
    pub readability: Mass,
    /// Whether the base has another layer in these containers.
    pub one_of_several: bool,
}

impl Portion {
    /// Whether another mix gives the rest of the layer.
    #[must_use]
    pub fn is_part(&self) -> bool {
        self.each.g() < self.whole.g() * (1.0 - 1e-9)
    }
}

/// One mix of a base and all that it fills.
#[derive(Debug, Clone, PartialEq)]
pub struct MixFills {
    /// The base.
    pub base: String,
    /// Which of its mixes, from 1.
    pub mix: u32,
    /// Of how many.
    pub mixes: u32,
    /// In the order of pouring.
    pub portions: Vec<Portion>,
}

impl MixFills {
    /// The numbers of all its containers, rising.
    #[must_use]
    pub fn containers(&self) -> Vec<u32> {
        let all =
            self.portions.iter().flat_map(|portion| portion.containers.0..=portion.containers.1);
        let mut all: Vec<u32> = all.collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// A layer, or a part of one, drawn from a mix.
pub(super) struct Drawn {
    /// Index of the container, in the order of pouring.
    pub(super) container: usize,
    /// Index of its small batch.
    pub(super) batch: usize,
    /// Index of its layer, from the bottom.
    pub(super) layer: usize,
    /// Index of the base.
    pub(super) base: usize,
    /// Index of the mix among those of its base.
    pub(super) mix: usize,
    /// How much of it.
    pub(super) mass: Mass,
    /// The whole layer.
    pub(super) whole: Mass,
    /// The step of the container's scale.
    pub(super) readability: Mass,
}

/// Every layer of every container with the mix that it is drawn from, in the order of filling.
pub(super) fn drawn(bases: &[BasePlan], batches: &[SmallBatch]) -> Vec<Drawn> {
    // For each base, the mix being drawn from and what it still gives.
    let mut at: Vec<(usize, Mass)> = bases.iter().map(|base| (0, base.mixes[0].out)).collect();
    let mut all = Vec::new();
    let mut container = 0;
    for (batch, one) in batches.iter().enumerate() {
        for _ in 0..one.count {
            for (layer, each) in one.layers.iter().enumerate() {
                let LayerPlan::Base { name, weighed, .. } = each else { continue };
                let Some(base) = bases.iter().position(|base| base.name == *name) else { continue };
                let last = bases[base].mixes.len().saturating_sub(1);
                let (mix, has) = &mut at[base];
                let (whole, readability) = (weighed.mass, weighed.readability);
                let of = |mix, mass| Drawn {
                    container,
                    batch,
                    layer,
                    base,
                    mix,
                    mass,
                    whole,
                    readability,
                };
                let mut wanted = whole;
                // What the scale cannot show is no remnant to be topped up, nor to be drawn from.
                let shown = readability * 0.5;
                while *mix < last && (*has < wanted - readability || *has < shown) {
                    if *has >= readability {
                        all.push(of(*mix, *has));
                        wanted = wanted - *has;
                    }
                    *mix += 1;
                    *has = bases[base].mixes[*mix].out;
                }
                *has = *has - wanted;
                all.push(of(*mix, wanted));
            }
            container += 1;
        }
    }
    all
}

/// What every mix fills, in the order of the bases; empty where mixes are poured as they are.
pub(super) fn fills(bases: &[BasePlan], batches: &[SmallBatch]) -> Vec<MixFills> {
    if batches.is_empty() {
        return Vec::new();
    }
    let mut all: Vec<Vec<MixFills>> = bases
        .iter()
        .map(|base| {
            let own = |mix| MixFills {
                base: base.name.clone(),
                mix,
                mixes: base.number(),
                portions: Vec::new(),
            };
            (1..=base.number()).map(own).collect()
        })
        .collect();
    for one in drawn(bases, batches) {
        let number = u32::try_from(one.container).unwrap_or(u32::MAX).saturating_add(1);
        let batch = &batches[one.batch];
        let layers_of_base = batch.layers.iter().filter(|layer| match layer {
            LayerPlan::Base { name, .. } => *name == bases[one.base].name,
            LayerPlan::Accent { .. } => false,
        });
        let portion = Portion {
            containers: (number, number),
            pour: batch.name.clone(),
            layer: one.layer + 1,
            each: one.mass,
            whole: one.whole,
            readability: one.readability,
            one_of_several: layers_of_base.count() > 1,
        };
        let portions = &mut all[one.base][one.mix].portions;
        let goes_on = portions.iter_mut().rev().find(|before| {
            before.containers.1 + 1 == number
                && (&before.pour, before.layer) == (&portion.pour, portion.layer)
                && (before.each.g() - portion.each.g()).abs() <= 1e-9 * portion.whole.g()
        });
        match goes_on {
            Some(before) => before.containers.1 = number,
            None => portions.push(portion),
        }
    }
    all.into_iter().flatten().collect()
}
