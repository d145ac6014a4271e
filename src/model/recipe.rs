//! A colourway with everything it names at hand.

use std::collections::BTreeMap;

use super::colorant::Colorant;
use super::colourway::Colourway;
use super::fault::{Faults, at};
use super::shop::Shop;
use super::system::System;
use super::unusual::film_meant;
use crate::quantity::Currency;

/// A colourway, its resin system and its colorants, every reference resolved.
#[derive(Debug, Clone)]
pub struct Recipe<'a> {
    /// The colourway.
    pub colourway: &'a Colourway,
    /// Its resin system.
    pub system: &'a System,
    /// Every colorant it uses, by name.
    pub colorants: BTreeMap<&'a str, &'a Colorant>,
    /// The one currency of all their prices; none where nothing has a price.
    pub currency: Option<Currency>,
}

impl<'a> Recipe<'a> {
    /// The colourway with its references looked up in the shop.
    ///
    /// # Errors
    /// A system or colorant that the shop does not have; a film outside the system's limits; prices
    /// in two currencies.
    pub fn of(shop: &'a Shop, colourway: &'a Colourway) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        let mut colorants = BTreeMap::new();
        let mut look_up = |name: &'a String, at: Vec<super::Step>, faults: &mut Faults| {
            if let Some(found) = shop.colorants.get(name) {
                colorants.insert(name.as_str(), found);
            } else {
                let fault = faults.error(at, format!("no colorant is called \"{name}\""));
                fault.offer(name, shop.colorants.keys());
            }
        };
        for base in colourway.bases.values() {
            for dose in &base.colorants {
                let at = at!["bases", &base.name, "colorants", &dose.colorant];
                look_up(&dose.colorant, at, &mut faults);
            }
        }
        for accent in colourway.accents.values() {
            let at = at!["accents", &accent.name, "colorant"];
            look_up(&accent.colorant, at, &mut faults);
        }
        let Some(system) = shop.systems.get(&colourway.system) else {
            faults
                .error(at!["system"], format!("no resin system is called \"{}\"", colourway.system))
                .offer(&colourway.system, shop.systems.keys());
            return Err(faults);
        };
        let (film, units) = (colourway.film, shop.house.units);
        if film > system.film_max || film < system.film_min {
            let fault = faults.error(
                at!["film"],
                format!(
                    "a film of {} is outside what \"{}\" allows in one pour: {} to {}",
                    film.show_film(units),
                    system.name,
                    system.film_min.show_film(units),
                    system.film_max.show_film(units)
                ),
            );
            // A point that slipped is likelier than so thin or so thick a film.
            if let Some(meant) = film_meant(film, system.film_min, system.film_max) {
                fault.hint(meant);
            }
            fault.hint(if film < system.film_min {
                    "look at its unit; so thin a film does not level: pour a thicker one, or with a system whose datasheet allows less"
                } else {
                    "thicker films are built of several coats: write coats in the job"
                });
        }
        let currency = one_currency(system, &colorants, &mut faults);
        faults.into_result(|| Self { colourway, system, colorants, currency })
    }
}

/// The currency of all prices, if they agree.
fn one_currency(
    system: &System,
    colorants: &BTreeMap<&str, &Colorant>,
    faults: &mut Faults,
) -> Option<Currency> {
    let prices = system
        .packages
        .iter()
        .map(|package| (system.name.as_str(), package.price.currency()))
        .chain(colorants.iter().flat_map(|(name, colorant)| {
            colorant.packages.iter().map(|package| (*name, package.price.currency()))
        }));
    let mut first: Option<(&str, Currency)> = None;
    for (name, currency) in prices {
        match first {
            None => first = Some((name, currency)),
            Some((other, one)) if one != currency => {
                faults
                    .error(
                        at![],
                        format!(
                            "prices in two currencies: {one} (\"{other}\") and {currency} (\"{name}\")"
                        ),
                    )
                    .hint(format!(
                        "price everything a colourway uses in one currency: {}",
                        if name == other {
                            format!("mend the prices in the file of \"{name}\"")
                        } else {
                            format!("mend the price in the file of \"{name}\" or of \"{other}\"")
                        }
                    ));
                return None;
            }
            Some(_) => {}
        }
    }
    first.map(|(_, currency)| currency)
}
