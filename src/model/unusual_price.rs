//! Prices that can be, but that a slipped point or a mistaken size explains better.
//!
//! - [`of`]: those of the packages in which one thing is sold.
//!
//! A larger package that costs less than a smaller one is asked about in any currency; what a kilogram costs only in those
//! whose unit is worth about a dollar. All bounds are common practice, no source.

use std::ops::RangeInclusive;

use super::fault::at;
use super::package::Package;
use super::tenfold::{TENS, meant};
use super::unusual::{ReadOff, Unusual};
use crate::quantity::{Density, Money, Units};

/// What a kilogram of resin costs, A and B together: from drums to small bottles.
pub(super) const OF_RESIN: Usual =
    Usual { a_kg: 5.0..=250.0, words: "Resins cost some 5 to 250 a kilogram (2 to 110 a pound)" };

/// What a kilogram of a colorant costs: from oxides by the sack to flakes by the gram.
pub(super) const OF_COLORANT: Usual = Usual {
    a_kg: 5.0..=20_000.0,
    words: "Colorants cost some 5 to 20000 a kilogram (a few cents to 20 a gram)",
};

/// Currencies whose unit is worth about a dollar.
const NEAR_A_DOLLAR: [&str; 7] = ["AUD", "CAD", "CHF", "EUR", "GBP", "NZD", "USD"];

/// What a kilogram usually costs.
pub(super) struct Usual {
    a_kg: RangeInclusive<f64>,
    words: &'static str,
}

/// The unusual prices of `packages` of a thing of that density.
pub(super) fn of(packages: &[Package], density: Density, usual: &Usual) -> Vec<Unusual> {
    let all = packages.iter().enumerate();
    all.filter_map(|(at, package)| {
        let told = by_mass(package, density, usual)
            .or_else(|| beside(package, packages, density, usual))?;
        Some(Unusual {
            path: at!["packages", at, "price"],
            what: told.what,
            meant: told.meant,
            mistaken: "a slipped point? another size?",
            usual: told.usual,
            read_off: ReadOff::Price,
        })
    })
    .collect()
}

/// What is unusual of one price.
struct Told {
    what: String,
    meant: Option<String>,
    usual: &'static str,
}

/// What of a price is unusual for what the package holds. What costs nothing was given, and is told elsewhere.
fn by_mass(package: &Package, density: Density, usual: &Usual) -> Option<Told> {
    let (price, kg) = (package.price, package.size.mass(density).g() / 1000.0);
    let a_kg = price.amount() / kg;
    let known = NEAR_A_DOLLAR.contains(&price.currency().code());
    if !known || price.amount() <= 0.0 || !a_kg.is_finite() || usual.a_kg.contains(&a_kg) {
        return None;
    }
    let each = price.scaled(1.0 / kg).map(Money::show).unwrap_or_default();
    Some(Told {
        what: format!("{} for {}, {each} a kilogram", price.show(), package.named(Units::Us)),
        meant: price_within(price, kg, &usual.a_kg),
        usual: usual.words,
    })
}

/// What of a price is unusual beside those of the other packages: it is less than that of a smaller one.
fn beside(
    package: &Package,
    packages: &[Package],
    density: Density,
    usual: &Usual,
) -> Option<Told> {
    let mass = |of: &Package| of.size.mass(density);
    let dearer = packages.iter().find(|other| {
        let comparable = other.price.currency() == package.price.currency();
        comparable
            && mass(other) < mass(package)
            && other.price.minor() > package.price.minor()
            && package.price.minor() > 0
            // What is asked about by itself is no measure for others.
            && by_mass(other, density, usual).is_none()
    })?;
    let kg = mass(package).g() / 1000.0;
    // No cheaper than the smaller package, and no dearer by mass.
    let least = dearer.price.amount() / kg;
    let most = dearer.price.amount() / (mass(dearer).g() / 1000.0);
    Some(Told {
        what: format!(
            "{} for {}, less than {} for {}",
            package.price.show(),
            package.named(Units::Us),
            dearer.price.show(),
            dearer.named(Units::Us)
        ),
        meant: price_within(package.price, kg, &(least..=most.max(*usual.a_kg.start()))),
        usual: "A larger package costs more than a smaller one",
    })
}

/// The price of so many kilograms that was likely meant: one by which a kilogram costs what is usual.
fn price_within(price: Money, kg: f64, a_kg: &RangeInclusive<f64>) -> Option<String> {
    let likely = meant(price.amount() / kg, a_kg, TENS)? * kg;
    Money::new(likely, price.currency()).ok().map(Money::show)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Amount;

    fn package(size: &str, price: &str) -> Package {
        let size = Amount::Volume(size.parse().unwrap());
        Package { size, price: price.parse().unwrap(), unit: None }
    }

    fn told(packages: &[Package], usual: &Usual) -> Vec<(String, Option<String>)> {
        let all = of(packages, Density::from_g_per_ml(1.1), usual);
        all.into_iter().map(|each| (each.what, each.meant)).collect()
    }

    #[test]
    fn prices_as_they_are_paid_are_not_unusual() {
        for (packages, usual) in [
            (vec![package("48 fl oz", "75 USD"), package("3 gal", "336 USD")], &OF_RESIN),
            (vec![package("1 gal", "98 USD"), package("1 gal", "104 USD")], &OF_RESIN),
            (vec![package("3 gal", "0 USD")], &OF_RESIN),
            (vec![package("3 gal", "44000 JPY")], &OF_RESIN),
            (vec![package("2 fl oz", "8 USD"), package("4 fl oz", "8 USD")], &OF_COLORANT),
        ] {
            assert_eq!(told(&packages, usual), [], "{packages:?}");
        }
    }

    #[test]
    fn a_slipped_point_of_a_price_is_asked_about() {
        let asked = |size: &str, price: &str| told(&[package(size, price)], &OF_RESIN);
        let one = |what: &str, meant: &str| vec![(what.to_owned(), Some(meant.to_owned()))];
        assert_eq!(
            asked("3 gal", "2.98 USD"),
            one("2.98 USD for 3 gal, 0.24 USD a kilogram", "298.00 USD")
        );
        assert_eq!(
            asked("3 gal", "29800 EUR"),
            one("29800.00 EUR for 3 gal, 2385.55 EUR a kilogram", "2980.00 EUR")
        );
        let slip = [package("1.5 gal", "1890 USD"), package("3 gal", "349 USD")];
        assert_eq!(told(&slip, &OF_RESIN).len(), 1, "the other is as it is paid");
        let yen = [package("1 gal", "12000 JPY"), package("4 gal", "4400 JPY")];
        assert_eq!(
            told(&yen, &OF_RESIN),
            one("4400 JPY for 4 gal, less than 12000 JPY for 1 gal", "44000 JPY")
        );
    }
}
