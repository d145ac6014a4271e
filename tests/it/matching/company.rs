//! What a correction proposes passes the plan's own check, in every small batch that the base goes into.

use std::collections::BTreeMap;

use pourbook::matching::{CorrectAsk, Held, Uncorrected, VesselAsked, correct};
use pourbook::model::{
    Colorant, Colourway, ColourwayParts, Pour, Recipe, Shop, System, SystemParts,
};
use pourbook::plan::{Company, Dosed, check_ceilings};
use pourbook::quantity::Mass;
use proptest::prelude::*;

use super::finding::looking;
use super::shelf;
use crate::random_jobs::{accent, accent_layer, base, base_layer, cases, colourway_parts};

/// A base of white and red, that goes into one small batch with another base and into two more with a black accent.
fn colourway(tint: &[(&str, f64)], line: f64) -> Colourway {
    let layers = |first: f64, dose: f64| {
        vec![base_layer("foam", first), accent_layer("line", dose), base_layer("tint", 1.0)]
    };
    Colourway::new(ColourwayParts {
        bases: [base("tint", tint), base("foam", &[("white", 0.048), ("red", 0.005)])].into(),
        accents: [accent("line", "black")].into(),
        pours: vec![
            Pour {
                name: "slack".into(),
                count: 2,
                layers: vec![base_layer("tint", 2.0), base_layer("foam", 1.0)],
            },
            Pour { name: "flood".into(), count: 1, layers: layers(1.0, line) },
            Pour { name: "ebb".into(), count: 1, layers: layers(0.3, 0.8 * line) },
        ],
        ..colourway_parts()
    })
    .unwrap()
}

fn shop() -> Shop {
    let system = SystemParts { name: "resin".into(), ..SystemParts::clone(&shelf::system()) };
    let mut shop = Shop { house: shelf::house(), ..Shop::default() };
    shop.systems.insert("resin".into(), System::new(system).unwrap());
    shop.colorants = shelf::shelf().into_iter().map(|c| (c.name.clone(), c)).collect();
    shop
}

const WANTED: [(&str, f64); 2] = [("white", 0.03), ("red", 0.012)];

#[test]
fn what_is_proposed_passes_the_plans_check() {
    let shop = shop();
    let way = colourway(&WANTED, 0.003);
    let recipe = Recipe::of(&shop, &way).unwrap();
    assert_eq!(check_ceilings(&recipe, &shop.house, &[]).1.0, [], "the recipe passes");
    let system = recipe.system;
    let a = system.mass_fraction_a();
    let (mut bound, mut corrected) = (0, 0);
    for [white, red, part_b] in [
        [1.0, 2.0, 1.0],
        [1.0, 3.0, 1.0],
        [2.0, 1.0, 1.0],
        [1.2, 1.3, 1.0],
        [1.9, 1.9, 1.0],
        [1.0, 1.3, 1.06],
        [0.0, 2.5, 1.0],
        [1.0, 1.0, 1.0],
    ] {
        for within in [1.0, 6.0] {
            let ask = CorrectAsk {
                limits: shelf::limits(system),
                small_batches: Company::of(&recipe, "tint"),
                house: &shop.house,
                shelf: ["white", "red", "black"].map(|name| &shop.colorants[name]).into(),
                looking: looking(),
                wanted: WANTED.map(|(name, loading)| (name.to_owned(), loading)).into(),
                held: Held {
                    part_a: Mass::from_g(1000.0 * a),
                    part_b: Mass::from_g(1000.0 * (1.0 - a) * part_b),
                    colorants: [("white", 30.0 * white), ("red", 12.0 * red)]
                        .map(|(name, grams)| (name.to_owned(), Mass::from_g(grams)))
                        .into(),
                },
                let_downs: BTreeMap::new(),
                first_keeps: None,
                measured: None,
                within,
                at_least: None,
                vessel: VesselAsked::Smallest,
                enough: None,
                clock: None,
            };
            let done = match correct(&ask) {
                Ok(done) => done,
                Err(Uncorrected::TooLarge { .. }) => continue,
                Err(why) => panic!("{white} {red} {part_b}: {why}"),
            };
            corrected += 1;
            let passes = |loadings: &BTreeMap<String, f64>| {
                let doses: Vec<(&str, f64)> =
                    loadings.iter().map(|(name, loading)| (name.as_str(), *loading)).collect();
                let after = colourway(&doses, 0.003);
                let recipe = Recipe::of(&shop, &after).unwrap();
                check_ceilings(&recipe, &shop.house, &[]).1.0.is_empty()
            };
            assert!(passes(&done.loadings), "{white} {red} {part_b}: {:?}", done.loadings);
            // The base's own ceilings would have let more through.
            let alone = correct(&CorrectAsk { small_batches: Vec::new(), ..ask.clone() }).unwrap();
            bound += u32::from(!passes(&alone.loadings));
        }
    }
    assert!(corrected > 8 && bound > 2, "{corrected} corrected, {bound} of them held back");
}

#[test]
fn a_recipe_that_a_small_batch_refuses_is_no_aim() {
    let shop = shop();
    let way = colourway(&WANTED, 0.01);
    let recipe = Recipe::of(&shop, &way).unwrap();
    let ask = CorrectAsk {
        limits: shelf::limits(recipe.system),
        small_batches: Company::of(&recipe, "tint"),
        house: &shop.house,
        shelf: ["white", "red"].map(|name| &shop.colorants[name]).into(),
        looking: looking(),
        wanted: WANTED.map(|(name, loading)| (name.to_owned(), loading)).into(),
        held: Held { part_a: Mass::from_g(100.0), ..Held::default() },
        let_downs: BTreeMap::new(),
        first_keeps: None,
        measured: None,
        within: 1.0,
        at_least: None,
        vessel: VesselAsked::Smallest,
        enough: None,
        clock: None,
    };
    let why = correct(&ask).unwrap_err().to_string();
    assert!(why.contains("small batch \"flood\""), "{why}");
}

proptest! {
    #[test]
    fn rows_of_a_small_batch_say_what_its_check_says(
        case in cases(true), wild in prop::collection::vec(0.0..0.2_f64, 12), scale in 0.0..1.0_f64,
    ) {
        let recipe = Recipe::of(&case.shop, &case.colourway).unwrap();
        let limits = pourbook::plan::Limits { off_ratio: 0.05, system: recipe.system, raised: &[] };
        let colorants: Vec<&Colorant> = case.shop.colorants.values().collect();
        for base in case.colourway.bases.keys() {
            let mix: Vec<Dosed<'_>> = colorants
                .iter()
                .zip(wild.iter().cycle())
                .map(|(colorant, loading)| Dosed { colorant, loading: loading * scale })
                .collect();
            for batch in Company::of(&recipe, base) {
                let standings = batch.standings(&limits, &mix);
                // Whatever stands beside it is the same with none of these.
                for row in batch.inequalities(&limits, &colorants) {
                    let value: f64 =
                        row.per_loading.iter().zip(&mix).map(|(per, d)| per * d.loading).sum();
                    let standing = standings.iter().find(|one| one.route == row.route).unwrap();
                    let clear = (standing.used() - 1.0).abs() > 1e-6;
                    prop_assert!(
                        !clear || (value > row.most) == standing.exceeded(),
                        "{} {:?}: {value} of {}", batch.name(), standing, row.most
                    );
                }
            }
        }
    }
}
