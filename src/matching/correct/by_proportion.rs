//! What brings a mix back to its recipe by proportion alone: its colour need not be known.

use super::restore::{Restored, restore};
use super::vessel::{InVessel, stands, volume_of};
use super::{Bench, CorrectAsk, InTime, Uncorrected};
use crate::model::Colorant;
use crate::plan::{Content, Material};
use crate::quantity::{Mass, Volume};

/// What would bring a mix back to its recipe exactly, g: A, B, then colorants by the names beside it; `None` where
/// it holds something foreign. Its colour is not asked for.
pub(super) fn exactly(ask: &CorrectAsk<'_>) -> Option<(Restored, Vec<String>)> {
    let a = ask.limits.system.mass_fraction_a();
    let (mut recipe, mut held) = (vec![a, 1.0 - a], vec![ask.held.part_a.g(), ask.held.part_b.g()]);
    let mut names = Vec::new();
    let mut colorants: Vec<&Colorant> = ask.shelf.clone();
    colorants.sort_by(|one, other| one.name.cmp(&other.name));
    for colorant in colorants {
        let wanted = ask.wanted.get(&colorant.name).copied().unwrap_or(0.0);
        let mass = ask.held.colorants.get(&colorant.name).map_or(0.0, |mass| mass.g());
        if wanted > 0.0 || mass > 0.0 {
            recipe.push(wanted / colorant.lot_strength());
            held.push(mass);
            names.push(colorant.name.clone());
        }
    }
    restore(&recipe, &held).map(|restored| (restored, names))
}

/// What can be told of a mix without its colour.
#[derive(Debug, Clone, PartialEq)]
pub struct ByProportion {
    /// What would bring it back to the recipe exactly, g: A, B, then colorants by the names beside it; `None`
    /// where it holds something foreign.
    pub exactly: Option<(Restored, Vec<String>)>,
    /// The A or B, g, that brings the ratio right, and nothing else: A, then B.
    pub for_ratio: [f64; 2],
    /// The mass once that is added.
    pub after: Mass,
    /// The vessel that it stands in; `None` where it is not known, or filled beyond its headroom and nothing is added.
    pub vessel: Option<InVessel>,
    /// The clock of the mix restored, where it runs; let-downs that a scale may need are not in it.
    pub in_time: Option<InTime>,
}

impl ByProportion {
    /// What is added, each material.
    #[must_use]
    pub fn content_added(&self) -> Content {
        let mut content = Content::default();
        let parts = [Material::PartA, Material::PartB];
        match &self.exactly {
            Some((restored, names)) => {
                let names = names.iter().map(|name| Material::Colorant(name.clone()));
                for (material, grams) in parts.into_iter().chain(names).zip(&restored.additions) {
                    content.put(material, Mass::from_g(*grams));
                }
            }
            None => {
                for (material, grams) in parts.into_iter().zip(self.for_ratio) {
                    content.put(material, Mass::from_g(grams));
                }
            }
        }
        content
    }
}

/// The part A and the part B, g, that bring A : B of what is held right, and nothing else: one of them is 0.
#[must_use]
pub fn for_ratio(ask: &CorrectAsk<'_>) -> [f64; 2] {
    let [held_a, held_b] = [ask.held.part_a.g(), ask.held.part_b.g()];
    let a = ask.limits.system.mass_fraction_a();
    let whole = (held_a / a).max(held_b / (1.0 - a));
    [a * whole - held_a, (1.0 - a) * whole - held_b].map(|grams| grams.max(0.0))
}

/// What brings a mix back to its recipe by proportion alone, where a colorant has no optical data.
///
/// # Errors
/// [`Uncorrected`]: an ask that makes no sense, a recipe that exceeds a ceiling, a mix that would be too large or
/// too old.
pub fn by_proportion(ask: &CorrectAsk<'_>) -> Result<ByProportion, Uncorrected> {
    match Bench::of(ask) {
        Ok(_) | Err(Uncorrected::NoOptics(_)) => {}
        Err(why) => return Err(why),
    }
    let exactly = exactly(ask);
    let for_ratio = for_ratio(ask);
    let (added, weighings) = match &exactly {
        Some((restored, _)) => {
            (restored.added(), restored.additions.iter().filter(|grams| **grams > 0.0).count())
        }
        None => (for_ratio.iter().sum(), 1),
    };
    let after = ask.held.mass() + Mass::from_g(added);
    let most = ask.house.largest_mix;
    if added > 0.0 && after > most {
        return Err(Uncorrected::TooLarge { grown_g: after.g(), most_g: most.g() });
    }
    let volume = volume_by_proportion(ask, &exactly, for_ratio);
    let (vessel, in_time) = stands(ask, (after, volume), (weighings, 0))?;
    Ok(ByProportion { exactly, for_ratio, after, vessel, in_time })
}

/// The volume of what is held with what restores it exactly, or with what brings its ratio right, g.
fn volume_by_proportion(
    ask: &CorrectAsk<'_>,
    exactly: &Option<(Restored, Vec<String>)>,
    for_ratio: [f64; 2],
) -> Volume {
    let mut colorants = ask.held.colorants.clone();
    let mut parts = for_ratio.iter().sum();
    if let Some((restored, names)) = exactly {
        parts = restored.additions.iter().take(2).sum();
        for (name, grams) in names.iter().zip(restored.additions.iter().skip(2)) {
            *colorants.entry(name.clone()).or_default() += Mass::from_g(*grams);
        }
    }
    let resin = ask.held.part_a + ask.held.part_b + Mass::from_g(parts);
    volume_of(ask, resin, &colorants)
}
