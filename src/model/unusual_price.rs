//! Prices that can be, but that a slipped point or a mistaken size explains better.
//!
//! - [`of`]: those of the packages in which one thing is sold.
//!
//! A larger package that costs less than a smaller one, or by mass far more, and one size at two prices are asked about in
//! any currency; what a kilogram costs only in those
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

/// A larger package costs no more by mass than so many times what a smaller one does.
const DEARER_BY_MASS: f64 = 3.0;

/// Of one size at two prices so many times apart one is out of date or slipped; two shops lie nearer.
const TWO_PRICES: f64 = 1.25;

/// Sizes that differ by no more than this part are one.
const SAME_SIZE: f64 = 0.001;

/// What a price may be mistaken for.
const SLIP_OR_SIZE: &str = "a slipped point? another size?";

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
            .or_else(|| beside(package, packages, density, usual))
            .or_else(|| twice(package, &packages[..at], density))?;
        Some(Unusual {
            path: at!["packages", at, "price"],
            what: told.what,
            meant: told.meant,
            mistaken: told.mistaken,
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
    mistaken: &'static str,
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
        mistaken: SLIP_OR_SIZE,
        usual: usual.words,
    })
}

/// Two packages, the smaller first, of which one is at an odd price.
struct Pair<'a> {
    small: &'a Package,
    large: &'a Package,
    density: Density,
}

/// Which of a pair is at an odd price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Odd {
    Small,
    Large,
    /// It cannot be told.
    Either,
}

impl<'a> Pair<'a> {
    /// A pair of one currency at an odd price: the larger one costs less than the smaller one, or by mass far more. What is
    /// asked about by itself is no measure for others, nor is what costs nothing.
    fn of([one, other]: [&'a Package; 2], density: Density, usual: &Usual) -> Option<Self> {
        let is_large = one.size.mass(density) > other.size.mass(density);
        let (small, large) = if is_large { (other, one) } else { (one, other) };
        let comparable = is_measure(small, density, usual)
            && is_measure(large, density, usual)
            && small.price.currency() == large.price.currency()
            && small.size.mass(density) < large.size.mass(density);
        let pair = Self { small, large, density };
        (comparable && (pair.costs_less() || pair.times_dearer() > DEARER_BY_MASS)).then_some(pair)
    }

    fn costs_less(&self) -> bool {
        self.large.price.minor() < self.small.price.minor()
    }

    /// How many times as dear by mass the larger one is.
    fn times_dearer(&self) -> f64 {
        a_kg(self.large, self.density) / a_kg(self.small, self.density)
    }

    /// The odd one: that which is farther from what the other packages cost by mass.
    fn odd(&self, packages: &[Package], usual: &Usual) -> Odd {
        let (own, density) = (self.small.price.currency(), self.density);
        let mut others: Vec<f64> = packages
            .iter()
            .filter(|other| *other != self.small && *other != self.large)
            .filter(|other| other.price.currency() == own && is_measure(other, density, usual))
            .map(|other| a_kg(other, density))
            .collect();
        others.sort_by(f64::total_cmp);
        let Some(middle) = others.get(others.len() / 2) else { return Odd::Either };
        let off = |package| libm::fabs(libm::log(a_kg(package, density) / middle));
        if off(self.small) > off(self.large) { Odd::Small } else { Odd::Large }
    }

    /// What the smaller one was likely meant to cost: by mass no less than the larger one, and in all no more.
    fn small_meant(&self) -> Option<String> {
        let kg = kg(self.small, self.density);
        let within = a_kg(self.large, self.density)..=self.large.price.amount() / kg;
        price_within(self.small.price, kg, &within)
    }

    /// What the larger one was likely meant to cost: by mass no more than the smaller one, and in all no less.
    fn large_meant(&self, usual: &Usual) -> Option<String> {
        let kg = kg(self.large, self.density);
        let most = a_kg(self.small, self.density).max(*usual.a_kg.start());
        price_within(self.large.price, kg, &(self.small.price.amount() / kg..=most))
    }

    /// What is told of `package`, where it is the odd one, or the larger one of two that may be it.
    fn told(&self, package: &Package, packages: &[Package], usual: &Usual) -> Option<Told> {
        let [small, large] = [self.small, self.large]
            .map(|each| format!("{} for {}", each.price.show(), each.named(Units::Us)));
        let odd = self.odd(packages, usual);
        let is_small = package == self.small;
        let meant = match (odd, is_small) {
            (Odd::Small, true) => self.small_meant(),
            (Odd::Large, false) => self.large_meant(usual),
            (Odd::Either, false) => {
                let or = |price| format!("{price} for {}", self.small.named(Units::Us));
                let both = self.large_meant(usual).into_iter().chain(self.small_meant().map(or));
                let both: Vec<String> = both.collect();
                (!both.is_empty()).then(|| both.join(", or "))
            }
            _ => return None,
        };
        let times = libm::round(self.times_dearer());
        let what = match (self.costs_less(), is_small) {
            (true, false) => format!("{large}, less than {small}"),
            (true, true) => format!("{small}, more than {large}"),
            (false, false) => format!("{large}, by mass {times} times as dear as {small}"),
            (false, true) => format!("{small}, while by mass {large} is {times} times as dear"),
        };
        let usual = match self.costs_less() {
            true => "A larger package costs more than a smaller one",
            false => "A larger package is the cheaper one by mass",
        };
        Some(Told { what, meant, mistaken: SLIP_OR_SIZE, usual })
    }
}

/// Whether a price can be a measure for others: it is none that is asked about by itself, and not nothing.
fn is_measure(package: &Package, density: Density, usual: &Usual) -> bool {
    package.price.minor() > 0 && by_mass(package, density, usual).is_none()
}

fn kg(package: &Package, density: Density) -> f64 {
    package.size.mass(density).g() / 1000.0
}

fn a_kg(package: &Package, density: Density) -> f64 {
    package.price.amount() / kg(package, density)
}

/// What of a price is unusual beside those of the other packages.
fn beside(
    package: &Package,
    packages: &[Package],
    density: Density,
    usual: &Usual,
) -> Option<Told> {
    packages.iter().find_map(|other| {
        Pair::of([package, other], density, usual)?.told(package, packages, usual)
    })
}

/// The same size once more, at quite another price.
fn twice(package: &Package, before: &[Package], density: Density) -> Option<Told> {
    let other = before.iter().find(|other| {
        let same = libm::fabs(kg(other, density) / kg(package, density) - 1.0) < SAME_SIZE;
        let (one, two) = (other.price.amount(), package.price.amount());
        let comparable = other.price.currency() == package.price.currency();
        same && comparable && one.min(two) > 0.0 && one.max(two) > one.min(two) * TWO_PRICES
    })?;
    let (size, price) = (package.named(Units::Us), package.price.show());
    Some(Told {
        what: format!("{size} at two prices, {} and {price}", other.price.show()),
        meant: None,
        mistaken: "which of them holds?",
        usual: "Plans buy the cheaper one",
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
            one(
                "4400 JPY for 4 gal, less than 12000 JPY for 1 gal",
                "44000 JPY, or 1200 JPY for 1 gal"
            )
        );
    }

    #[test]
    fn the_odd_one_of_several_is_asked_about_and_no_other() {
        let by_mass = |size: &str, price: &str| Package {
            size: Amount::Mass(size.parse().unwrap()),
            price: price.parse().unwrap(),
            unit: crate::model::PackageUnit::of_text(size),
        };
        let one = |what: &str, meant: &str| vec![(what.to_owned(), Some(meant.to_owned()))];
        let paste = |four: &str, pound: &str, five: &str| {
            let all = [by_mass("4 oz", four), by_mass("1 lb", pound), by_mass("5 lb", five)];
            told(&all, &OF_COLORANT)
        };
        assert_eq!(paste("9.50 USD", "27 USD", "112 USD"), []);
        assert_eq!(
            paste("105 USD", "27 USD", "112 USD"),
            one("105.00 USD for 4 oz, more than 27.00 USD for 1 lb", "10.50 USD")
        );
        assert_eq!(
            paste("9.50 USD", "2.70 USD", "112 USD"),
            one("2.70 USD for 1 lb, less than 9.50 USD for 4 oz", "27.00 USD")
        );
        assert_eq!(
            paste("9.50 USD", "27 USD", "1120 USD"),
            one("1120.00 USD for 5 lb, by mass 6 times as dear as 9.50 USD for 4 oz", "112.00 USD")
        );
        assert_eq!(
            paste("0.95 USD", "27 USD", "112 USD"),
            one(
                "0.95 USD for 4 oz, while by mass 27.00 USD for 1 lb is 7 times as dear",
                "9.50 USD"
            )
        );
    }

    #[test]
    fn one_size_at_two_prices_far_apart_is_asked_about() {
        let all = [package("1 gal", "98 USD"), package("1 gal", "128 USD")];
        let asked = ("1 gal at two prices, 98.00 USD and 128.00 USD".to_owned(), None);
        assert_eq!(told(&all, &OF_RESIN), [asked]);
    }
}
