//! A plan to a kit never takes more than the kit holds: neither of A nor of B, and none is bought beside it.

use pourbook::model::Shop;
use pourbook::plan::{Material, Plan, for_kit};
use pourbook::quantity::Volume;
use proptest::prelude::*;

fn demo() -> Shop {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes");
    pourbook::store::open(&folder).unwrap().shop
}

fn planned(shop: &Shop, colourway: &str, kit: Volume) -> Plan {
    for_kit(shop, &shop.colourways[colourway], kit).unwrap()
}

/// A kit of V at 2 : 1 by volume holds 2/3 V of A and 1/3 V of B.
fn within(plan: &Plan, kit: Volume) -> Result<(), TestCaseError> {
    let [a, b, mixed] = plan.densities;
    for (part, density, share) in [(Material::PartA, a, 2.0 / 3.0), (Material::PartB, b, 1.0 / 3.0)]
    {
        let (takes, holds) = ((plan.ledger.issued.of(&part) / density).ml(), kit.ml() * share);
        prop_assert!(takes <= holds + 1e-6, "{part:?}: {takes} mL of {holds}");
    }
    let line = plan.cost.resin().unwrap();
    prop_assert!((line.demand / mixed).ml() <= kit.ml() + 1e-6, "{line:?}");
    // All but what the scale's steps leave, and the last of a container, is used.
    let used = (line.demand / mixed).ml() / kit.ml();
    prop_assert!(used > 0.9, "{used} of the kit");
    Ok(())
}

/// A package that holds the kit is all that is bought of the resin.
#[test]
fn a_kit_that_is_sold_is_bought_once() {
    let mut shop = demo();
    let mut parts = (*shop.systems["clear flood 2:1"]).clone();
    let mut gallon = parts.packages[1];
    gallon.size = pourbook::model::Amount::Volume(Volume::from_gal(1.0));
    gallon.price = "130 USD".parse().unwrap();
    parts.packages.push(gallon);
    let system = pourbook::model::System::new(parts).unwrap();
    shop.systems.insert("clear flood 2:1".to_owned(), system);
    for colourway in ["Tidewater Slate", "Salt Marsh"] {
        for gallons in [0.375, 1.0, 1.5, 3.0] {
            let kit = Volume::from_gal(gallons);
            let plan = planned(&shop, colourway, kit);
            within(&plan, kit).unwrap();
            let bought = &plan.cost.resin().unwrap().packages;
            let [(package, 1)] = &bought[..] else { panic!("{colourway}, {gallons}: {bought:?}") };
            let size = package.size.mass(plan.densities[2]) / plan.densities[2];
            assert!((size.ml() - kit.ml()).abs() < 1e-6, "{colourway}, {gallons}: {bought:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    #[test]
    fn no_kit_is_exceeded(litres in 1.0..30.0_f64, slate: bool) {
        let shop = demo();
        let kit = Volume::from_ml(litres * 1000.0);
        let plan = planned(&shop, if slate { "Tidewater Slate" } else { "Mooring Rope" }, kit);
        within(&plan, kit)?;
    }
}
