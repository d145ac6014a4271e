//! What brings a mix back to its recipe by proportion alone: its colour need not be known.

use super::as_weighed::{AsWeighed, as_weighed};
use super::restore::{Restored, restore};
use super::vessel::{InVessel, stands, volume_of};
use super::{Bench, CorrectAsk, InTime, Uncorrected};
use crate::model::Colorant;
use crate::plan::{Content, Material, scale_for_parts};
use crate::quantity::{Mass, Volume};

/// What would bring a mix back to its recipe exactly, and what of it scales show.
#[derive(Debug, Clone, PartialEq)]
pub struct Exactly {
    /// Part A, part B, then the colorants.
    pub restored: Restored,
    /// The colorants' names.
    pub names: Vec<String>,
    /// The step of the scale that parts A and B of such a mix are weighed on.
    parts_step: Mass,
    /// The step of the house's finest scale.
    finest: Mass,
}

impl Exactly {
    /// What a scale shows of it, each with its mass and that scale's step; in the order in which it goes in.
    pub fn weighable(&self) -> impl Iterator<Item = (Material, Mass, Mass)> {
        let colorants = self.names.iter().map(|name| Material::Colorant(name.clone()));
        let materials = [Material::PartA, Material::PartB].into_iter().chain(colorants);
        let all = materials.zip(&self.restored.additions).map(|(material, grams)| {
            let step = match material {
                Material::Colorant(_) => self.finest,
                _ => self.parts_step,
            };
            (material, Mass::from_g(*grams), step)
        });
        all.filter(|(_, mass, step)| *mass >= *step)
    }

    /// All that a scale shows.
    #[must_use]
    pub fn added(&self) -> Mass {
        self.weighable().map(|(_, mass, _)| mass).sum()
    }

    /// Whether something is missing that no scale shows.
    #[must_use]
    pub fn leaves_out(&self) -> bool {
        let missing = self.restored.additions.iter().filter(|grams| **grams > 1e-6);
        missing.count() > self.weighable().count()
    }
}

/// A recipe beside what is held: part A, part B, then the colorants; g of each in 1 g of resin, and g.
struct Beside {
    recipe: Vec<f64>,
    held: Vec<f64>,
    /// The colorants' names.
    names: Vec<String>,
}

fn beside(ask: &CorrectAsk<'_>) -> Beside {
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
    Beside { recipe, held, names }
}

/// The additions that restore a recipe by arithmetic, g, whatever of them a scale shows; `None` where the mix holds
/// something foreign.
pub(super) fn by_arithmetic(ask: &CorrectAsk<'_>) -> Option<f64> {
    let Beside { recipe, held, .. } = beside(ask);
    restore(&recipe, &held).map(|restored| restored.added())
}

/// What would bring a mix back to its recipe exactly, and up to the least mass that is asked for; `None` where it holds
/// something foreign. Its colour is not asked for.
pub(super) fn exactly(ask: &CorrectAsk<'_>) -> Option<Exactly> {
    let Beside { recipe, held, names } = beside(ask);
    let mut restored = restore(&recipe, &held)?;
    let as_weighed = as_weighed(ask);
    if as_weighed != AsWeighed::No {
        // What the scales' steps leave open, and what stayed on the first vessel's wall, is not missing.
        let whole = held[..2].iter().zip(&recipe).map(|(mass, share)| mass / share);
        let whole = whole.fold(0.0, f64::max);
        let lacks = |at| as_weighed == AsWeighed::ButForAPart && at < 2;
        for (at, addition) in restored.additions.iter_mut().enumerate() {
            *addition = if lacks(at) { (whole * recipe[at] - held[at]).max(0.0) } else { 0.0 };
        }
        restored.size = whole;
    }
    let missing = ask.at_least.map_or(0.0, |least| (least - ask.held.mass()).g());
    let more = (missing - restored.added()) / recipe.iter().sum::<f64>();
    if more > 0.0 {
        for (addition, share) in restored.additions.iter_mut().zip(&recipe) {
            *addition += more * share;
        }
        restored.size += more;
    }
    let parts_step = parts_step(ask, Mass::from_g(restored.size));
    Some(Exactly { restored, names, parts_step, finest: finest(ask) })
}

/// The step of the house's finest scale.
fn finest(ask: &CorrectAsk<'_>) -> Mass {
    let steps = ask.house.scales.iter().map(|scale| scale.readability);
    steps.reduce(Mass::lesser).unwrap_or(Mass::ZERO)
}

/// The step of the scale that parts A and B of so much resin are weighed on; the finest where no scale bears it.
fn parts_step(ask: &CorrectAsk<'_>, resin: Mass) -> Mass {
    let a = ask.limits.system.mass_fraction_a();
    let load = ask.held.mass().greater(resin);
    let scale = scale_for_parts(ask.house, resin * a.min(1.0 - a), load);
    scale.map_or_else(|| finest(ask), |scale| scale.readability)
}

/// What is held that the recipe does not have.
#[must_use]
pub fn foreign(ask: &CorrectAsk<'_>) -> Vec<(String, Mass)> {
    let is_foreign = |(name, mass): &(&String, &Mass)| {
        mass.g() > 0.0 && ask.wanted.get(*name).is_none_or(|loading| *loading <= 0.0)
    };
    let held = ask.held.colorants.iter().filter(is_foreign);
    held.map(|(name, mass)| (name.clone(), *mass)).collect()
}

/// What can be told of a mix without its colour.
#[derive(Debug, Clone, PartialEq)]
pub struct ByProportion {
    /// What would bring it back to the recipe exactly; `None` where it holds something foreign.
    pub exactly: Option<Exactly>,
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
            Some(exactly) => {
                for (material, mass, _) in exactly.weighable() {
                    content.put(material, mass);
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

/// The part A and the part B, g, that bring A : B of what is held right, and nothing else: one of them is 0, and both where
/// no scale shows what is missing.
#[must_use]
pub fn for_ratio(ask: &CorrectAsk<'_>) -> [f64; 2] {
    let [held_a, held_b] = [ask.held.part_a.g(), ask.held.part_b.g()];
    let a = ask.limits.system.mass_fraction_a();
    let whole = (held_a / a).max(held_b / (1.0 - a));
    let step = parts_step(ask, Mass::from_g(whole)).g();
    let missing = [a * whole - held_a, (1.0 - a) * whole - held_b];
    missing.map(|grams| if grams < step { 0.0 } else { grams })
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
        Some(exactly) => (exactly.added().g(), exactly.weighable().count()),
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
    exactly: &Option<Exactly>,
    for_ratio: [f64; 2],
) -> Volume {
    let mut colorants = ask.held.colorants.clone();
    let mut parts = for_ratio.iter().sum();
    if let Some(exactly) = exactly {
        parts = 0.0;
        for (material, mass, _) in exactly.weighable() {
            match material {
                Material::Colorant(name) => *colorants.entry(name).or_default() += mass,
                _ => parts += mass.g(),
            }
        }
    }
    let resin = ask.held.part_a + ask.held.part_b + Mass::from_g(parts);
    volume_of(ask, resin, &colorants)
}
