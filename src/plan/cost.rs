//! What to buy and what it costs.

use crate::model::{Package, Recipe};
use crate::quantity::{Area, Density, Mass, Money};

use super::buying::{Offer, cheapest};
use super::ledger::{Content, Material};

/// One thing to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The resin system's or colorant's name.
    pub name: String,
    /// The lot of a colorant that the demand is for, where its file states one.
    pub lot: Option<String>,
    /// What the job takes.
    pub demand: Mass,
    /// Its density, for reading the demand as a volume.
    pub density: Density,
    /// Packages with how many of each; empty where the file states no packages.
    pub packages: Vec<(Package, u32)>,
    /// What they cost; none where the file states no packages.
    pub price: Option<Money>,
    /// What is left over.
    pub left: Mass,
    /// The left-over's part of the price.
    pub left_value: Option<Money>,
}

/// Everything to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// The resin system first, then colorants by name.
    pub lines: Vec<Line>,
    /// All of it; none where nothing has a price.
    pub total: Option<Money>,
    /// Whether something has no price, so that the total is not the whole.
    pub incomplete: bool,
    /// The area coated, faces and splashbacks included, that the cost per area is reckoned on.
    pub area: Area,
}

impl Cost {
    /// The resin system's line; its demand is the kit, in the system's ratio, that holds enough of both parts.
    #[must_use]
    pub fn resin(&self) -> Option<&Line> {
        self.lines.first()
    }

    /// Total per square metre.
    #[must_use]
    pub fn per_m2(&self) -> Option<Money> {
        self.total.and_then(|total| total.scaled(1.0 / self.area.m2()).ok())
    }

    /// What is left over of everything, at its price.
    #[must_use]
    pub fn left_value(&self) -> Option<Money> {
        Money::sum(self.lines.iter().filter_map(|line| line.left_value)).ok().flatten()
    }

    /// Total per square foot.
    #[must_use]
    pub fn per_ft2(&self) -> Option<Money> {
        self.total.and_then(|total| total.scaled(1.0 / self.area.ft2()).ok())
    }
}

/// Another way to do the job, with its cost or why it cannot be planned.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionCost {
    /// The option's name in the job.
    pub name: String,
    /// Its cost, or in words why it cannot be had.
    pub cost: Result<Cost, String>,
}

/// The cheapest purchase that covers what is issued.
pub(super) fn cost(recipe: &Recipe<'_>, issued: &Content, area: Area) -> Cost {
    let system = recipe.system;
    let a = system.mass_fraction_a();
    // A kit holds A and B in the mix ratio, so the part that runs out first decides.
    let by_a = issued.of(&Material::PartA) * (1.0 / a);
    let by_b = issued.of(&Material::PartB) * (1.0 / (1.0 - a));
    let mut lines =
        vec![line(&system.name, by_a.greater(by_b), system.mixed_density(), &system.packages)];
    for (name, colorant) in &recipe.colorants {
        let demand = issued.of(&Material::Colorant((*name).to_owned()));
        if demand.g() > 0.0 {
            let lot = colorant.lot.as_ref().map(|lot| lot.name.clone());
            let line = line(name, demand, colorant.density, &colorant.packages);
            lines.push(Line { lot, ..line });
        }
    }
    let total = Money::sum(lines.iter().filter_map(|line| line.price)).ok().flatten();
    let incomplete = lines.iter().any(|line| line.price.is_none());
    Cost { lines, total, incomplete, area }
}

fn line(name: &str, demand: Mass, density: Density, packages: &[Package]) -> Line {
    let offers: Vec<Offer> = packages
        .iter()
        .map(|package| Offer {
            size: package.size.mass(density).g(),
            price: package.price.amount(),
        })
        .collect();
    let bare = Line {
        name: name.to_owned(),
        lot: None,
        demand,
        density,
        packages: Vec::new(),
        price: None,
        left: Mass::from_g(0.0),
        left_value: None,
    };
    let Some(purchase) = cheapest(&offers, demand.g()) else {
        return bare;
    };
    let bought: Vec<(Package, u32)> = packages
        .iter()
        .zip(&purchase.counts)
        .filter(|(_, count)| **count > 0)
        .map(|(package, count)| (*package, u32::try_from(*count).unwrap_or(u32::MAX)))
        .collect();
    let prices = bought.iter().map(|(package, count)| package.price.times(*count));
    let price = match prices.collect::<Result<Vec<Money>, _>>().and_then(Money::sum) {
        Ok(Some(price)) => Some(price),
        Ok(None) => packages.first().map(|package| Money::zero(package.price.currency())),
        // Beyond what money can count: no price rather than a wrong one.
        Err(_) => None,
    };
    let left = (purchase.holds - demand.g()).max(0.0);
    let left_value = price.and_then(|price| {
        if purchase.holds > 0.0 { price.scaled(left / purchase.holds).ok() } else { Some(price) }
    });
    Line { packages: bought, price, left: Mass::from_g(left), left_value, ..bare }
}
