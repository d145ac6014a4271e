//! What it costs to throw a mix away and mix it anew, beside what it costs to correct it.

use std::collections::BTreeMap;

use super::super::candidate::per_gram;
use super::CorrectAsk;
use crate::model::Colorant;
use crate::plan::{Content, Material};
use crate::quantity::{Mass, Money};

/// Material and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Each material.
    pub content: Content,
    /// At the cheapest packages' unit prices; `None` where something has no price.
    pub money: Option<Money>,
}

impl Worth {
    /// All of it.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.content.total()
    }
}

/// A correction beside mixing anew.
#[derive(Debug, Clone, PartialEq)]
pub struct BesideAnew {
    /// As much of the recipe as is wanted of what the mix becomes, from nothing.
    pub anew: Worth,
    /// What the correction adds.
    pub correction: Worth,
    /// Only as much as stands there, from nothing, where that costs less than the correction, which gives more, and nobody
    /// says how much is wanted.
    pub as_held: Option<Worth>,
}

impl BesideAnew {
    /// Whether mixing anew costs less: money where all has a price, else material.
    #[must_use]
    pub fn anew_is_less(&self) -> bool {
        is_less(&self.anew, &self.correction)
    }
}

fn is_less(one: &Worth, other: &Worth) -> bool {
    match (&one.money, &other.money) {
        (Some(one), Some(other)) => one.amount() < other.amount(),
        _ => one.mass() < other.mass(),
    }
}

/// What `added` costs, beside as much of the recipe from nothing as the mix becomes by it, `after`, but no more than is
/// known to be wanted: as much as the job's plan mixes of it, and no less than the least mass asked for.
#[must_use]
pub fn beside_anew(ask: &CorrectAsk<'_>, added: Content, after: Mass) -> BesideAnew {
    let wanted = [ask.enough, ask.at_least].into_iter().flatten().reduce(Mass::greater);
    let anew = worth(ask, recipe(ask, wanted.unwrap_or(after).lesser(after)));
    let correction = worth(ask, added);
    let held = ask.held.mass();
    let as_held = (wanted.is_none() && held < after).then(|| worth(ask, recipe(ask, held)));
    let as_held = as_held.filter(|held| is_less(held, &correction));
    BesideAnew { anew, correction, as_held }
}

/// So much of the wanted base, of the lots at hand.
fn recipe(ask: &CorrectAsk<'_>, mass: Mass) -> Content {
    let shelf: BTreeMap<&str, &Colorant> =
        ask.shelf.iter().map(|c| (c.name.as_str(), *c)).collect();
    let loadings: Vec<(&str, f64)> = ask
        .wanted
        .iter()
        .filter_map(|(name, loading)| {
            Some((name.as_str(), loading / shelf.get(name.as_str())?.lot_strength()))
        })
        .collect();
    let resin = mass * (1.0 / (1.0 + loadings.iter().map(|(_, loading)| loading).sum::<f64>()));
    let a = ask.limits.system.mass_fraction_a();
    let mut content = Content::default();
    content.put(Material::PartA, resin * a);
    content.put(Material::PartB, resin * (1.0 - a));
    for (name, loading) in loadings {
        content.put(Material::Colorant(name.to_owned()), resin * loading);
    }
    content
}

fn worth(ask: &CorrectAsk<'_>, content: Content) -> Worth {
    let money = price(ask, &content);
    Worth { content, money }
}

/// At the cheapest packages' unit prices, a gram of either part at that of the system.
fn price(ask: &CorrectAsk<'_>, content: &Content) -> Option<Money> {
    let system = ask.limits.system;
    let (resin, currency) = per_gram(&system.packages, system.mixed_density())?;
    let mut cost = 0.0;
    for (material, mass) in content.iter().filter(|(_, mass)| mass.g() > 0.0) {
        let each = match material {
            Material::PartA | Material::PartB => resin,
            Material::Colorant(name) => {
                let colorant = ask.shelf.iter().find(|each| each.name == *name)?;
                let (each, own) = per_gram(&colorant.packages, colorant.density)?;
                if own != currency {
                    return None;
                }
                each
            }
        };
        cost += each * mass.g();
    }
    Money::new(cost, currency).ok()
}
