//! How far a plan's containers are from the recipe's proportion: a small job cannot hold a whole set of them.

use std::collections::BTreeSet;

use crate::model::{Colourway, Layer};
use crate::quantity::Length;

use super::divisor::greatest_common_divisor;

/// A small batch's part of the containers may stray from the recipe's by this part of itself before it is told.
const MAY_STRAY: f64 = 0.1;

/// Containers that are not in the recipe's proportion.
#[derive(Debug, Clone, PartialEq)]
pub struct Astray {
    /// Every small batch of the recipe, in pour order.
    pub pours: Vec<PourCount>,
    /// Bases of the recipe that are in none of the containers.
    pub bases: Vec<String>,
    /// Accents of the recipe that are in none of the containers.
    pub accents: Vec<String>,
    /// The fewest containers in the recipe's proportion; each multiple of it is.
    pub set: u32,
    /// The side of the smallest square board whose containers are near enough; none where the job is not of
    /// boards alone.
    pub board: Option<Length>,
}

/// How often a small batch is poured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PourCount {
    /// Its name.
    pub name: String,
    /// Its containers in one coat of this plan.
    pub here: u32,
    /// Its containers among [`Astray::set`].
    pub in_a_set: u32,
}

impl Astray {
    /// What strays of a colourway with so many containers of each of its pours; none where all are near enough.
    pub(super) fn of(colourway: &Colourway, counts: &[u32]) -> Option<Self> {
        if near_enough(colourway, counts) {
            return None;
        }
        let poured: BTreeSet<(bool, &str)> = colourway
            .pours
            .iter()
            .zip(counts)
            .filter(|(_, count)| **count > 0)
            .flat_map(|(pour, _)| pour.layers.iter().map(name_of))
            .collect();
        let out = |accent: bool| {
            let poured = &poured;
            move |name: &&String| !poured.contains(&(accent, name.as_str()))
        };
        let common = colourway.pours.iter().map(|pour| pour.count);
        let common = common.fold(0, greatest_common_divisor).max(1);
        let pours = colourway.pours.iter().zip(counts).map(|(pour, here)| PourCount {
            name: pour.name.clone(),
            here: *here,
            in_a_set: pour.count / common,
        });
        Some(Self {
            pours: pours.collect(),
            bases: colourway.bases.keys().filter(out(false)).cloned().collect(),
            accents: colourway.accents.keys().filter(out(true)).cloned().collect(),
            set: colourway.containers_in_a_set() / common,
            board: None,
        })
    }

    /// Small batches of which there is no container.
    pub fn left_out(&self) -> impl Iterator<Item = &PourCount> {
        self.pours.iter().filter(|pour| pour.here == 0)
    }

    /// Whether this accent, or this base, of the recipe is in none of the containers.
    #[must_use]
    pub fn leaves_out(&self, accent: bool, name: &str) -> bool {
        let names = if accent { &self.accents } else { &self.bases };
        names.iter().any(|one| one == name)
    }
}

/// Whether it is an accent, and its name.
fn name_of(layer: &Layer) -> (bool, &str) {
    match layer {
        Layer::Base { base, .. } => (false, base),
        Layer::Accent { accent, .. } => (true, accent),
    }
}

/// Whether every pour's part of the containers is the recipe's, nearly.
pub(super) fn near_enough(colourway: &Colourway, counts: &[u32]) -> bool {
    let number = f64::from(counts.iter().sum::<u32>().max(1));
    let set = f64::from(colourway.containers_in_a_set().max(1));
    colourway.pours.iter().zip(counts).all(|(pour, count)| {
        let wanted = f64::from(pour.count) / set;
        (f64::from(*count) / number - wanted).abs() <= MAY_STRAY * wanted + 1e-9
    })
}
