//! Where every gram goes, on random jobs: what is issued is poured, runs off, clings or is left.

use std::collections::BTreeMap;

use pourbook::model::{Layer, Recipe};
use pourbook::plan::{
    AccentMeans, BasePlan, LayerPlan, Ledger, Material, Means, Mix, Plan, SmallBatch, Weighed,
};
use pourbook::quantity::{Mass, Units};
use pourbook::report::sheet::{Block, Cell, Kind, Label, SheetsAsk, sheets};
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;

use crate::random_jobs::{Case, cases};

/// The plan of a case. A shop drawn with a scale too coarse for the doses drawn with it is refused,
/// and rightly; any other refusal is a failure.
fn planned(case: &Case) -> Result<Plan, TestCaseError> {
    case.plan().map_err(|not| {
        let words = not.words();
        if words.contains("as the scales can weigh it") {
            TestCaseError::reject(words)
        } else {
            TestCaseError::fail(words)
        }
    })
}

/// Every weighing of a plan with how often it is done in one coat.
fn weighings(plan: &Plan) -> Vec<(&Weighed, f64)> {
    let mut all = Vec::new();
    for base in &plan.bases {
        for mix in &base.mixes {
            all.extend([(&mix.part_a, 1.0), (&mix.part_b, 1.0)]);
            all.extend(mix.doses.iter().map(|dose| (dose.weighed(), 1.0)));
        }
    }
    for batch in &plan.small_batches {
        all.extend(batch.layers.iter().map(|layer| (layer.weighed(), f64::from(batch.count))));
    }
    for stock in &plan.stocks {
        all.extend([(&stock.colorant_weighed, 1.0), (&stock.part_a_weighed, 1.0)]);
    }
    all
}

/// Every mix of a plan with its base.
fn mixes(plan: &Plan) -> impl Iterator<Item = (&BasePlan, &Mix)> {
    plan.bases.iter().flat_map(|base| base.mixes.iter().map(move |mix| (base, mix)))
}

fn places(ledger: &Ledger, material: &Material) -> [f64; 4] {
    [&ledger.poured, &ledger.run_off, &ledger.cling, &ledger.left].map(|at| at.of(material).g())
}

proptest! {
    // A quarter of the usual number: each case is a whole plan. PROPTEST_CASES asks for more.
    #![proptest_config(ProptestConfig { cases: ProptestConfig::default().cases.div_ceil(4), ..ProptestConfig::default() })]

    #[test]
    fn what_is_issued_is_accounted_for(case in cases(false)) {
        let plan = planned(&case)?;
        let ledger = &plan.ledger;
        prop_assert!(ledger.imbalance().g() <= 1e-6, "off by {} g", ledger.imbalance().g());
        // Rounding doses to the scale's step may leave a mix short by half a step of each.
        let room: f64 = weighings(&plan)
            .iter()
            .map(|(weighed, times)| 0.5 * weighed.readability.g() * times * f64::from(plan.coats))
            .sum();
        for (material, issued) in ledger.issued.iter() {
            let gone = places(ledger, material);
            prop_assert!((issued.g() - gone.iter().sum::<f64>()).abs() <= 1e-6);
            prop_assert!(gone[..3].iter().all(|g| *g >= -1e-9), "{material:?}: {gone:?}");
            prop_assert!(gone[3] >= -room, "{material:?}: {} g left, rounding {room}", gone[3]);
        }
        for place in [&ledger.poured, &ledger.run_off, &ledger.cling, &ledger.left] {
            for (material, mass) in place.iter() {
                prop_assert!(
                    mass.g().abs() < 1e-9 || ledger.issued.of(material).g() > 0.0,
                    "{material:?} appears from nowhere"
                );
            }
        }
    }

    #[test]
    fn what_is_weighed_is_what_is_issued(case in cases(false)) {
        let plan = planned(&case)?;
        let coats = f64::from(plan.coats);
        let mut issued = BTreeMap::<Material, f64>::new();
        let mut add = |material, mass: Mass, times: f64| {
            *issued.entry(material).or_insert(0.0) += mass.g() * times;
        };
        for base in &plan.bases {
            for mix in &base.mixes {
                add(Material::PartA, mix.part_a.mass, coats);
                add(Material::PartB, mix.part_b.mass, coats);
                for dose in &mix.doses {
                    if !matches!(dose.means, Means::LetDown { .. }) {
                        add(Material::Colorant(dose.colorant.clone()), dose.weighed().mass, coats);
                    }
                }
            }
        }
        for stock in &plan.stocks {
            add(Material::Colorant(stock.colorant.clone()), stock.colorant_weighed.mass, 1.0);
            add(Material::PartA, stock.part_a_weighed.mass, 1.0);
        }
        for batch in &plan.small_batches {
            for layer in &batch.layers {
                if let LayerPlan::Accent { colorant, means, weighed, spare, .. } = layer {
                    let cups =
                        if *means == AccentMeans::Shared { 1.0 } else { f64::from(batch.count) };
                    let sharing = if *means == AccentMeans::Shared { batch.count } else { 1 };
                    let in_cup = *means != AccentMeans::OnTop;
                    let more = if in_cup { (0.05 * weighed.mass.g()).max(0.2) } else { 0.0 };
                    let spare = *spare * f64::from(sharing);
                    let filled = weighed.mass + spare;
                    let over = spare.g() - more;
                    if *means == AccentMeans::Shared {
                        // No dose is bound to the scale's step; the cup is, and holds more than all of them.
                        prop_assert_eq!(weighed.mass, weighed.exact);
                        prop_assert!(over > -1e-6 && over < weighed.readability.g(), "{spare}");
                        let steps = filled / weighed.readability;
                        prop_assert!((steps - steps.round()).abs() < 1e-6, "{filled} is no step");
                    } else {
                        prop_assert!(over.abs() < 1e-9, "{spare} more in a cup");
                    }
                    add(Material::Colorant(colorant.clone()), filled, cups * coats);
                }
            }
        }
        for (material, g) in issued {
            let told = plan.ledger.issued.of(&material).g();
            prop_assert!((told - g).abs() <= 1e-6, "{material:?}: weighed {g}, issued {told}");
        }
    }

    #[test]
    fn poured_mass_is_film_times_area_times_composition(case in cases(true)) {
        let plan = planned(&case)?;
        let recipe = Recipe::of(&case.shop, &case.colourway).unwrap();
        // Film by film, without the plan's own functions: 1 m² at 1 mm is 1 L.
        let flat = plan.take_off.flat().m2() * case.colourway.film.mm() * 1000.0;
        let upright = plan.take_off.upright().m2() * case.job.face_film.mm() * 1000.0;
        let net_ml = (flat + upright) * f64::from(case.job.coats);
        let a = case.system().mass_fraction_a();
        let resin_ml_per_g =
            a / case.system().density_a.g_per_ml() + (1.0 - a) / case.system().density_b.g_per_ml();
        // Of each base: resin per mL of tinted mix, colorants per g of resin.
        let of_base = |name: &str| {
            let doses: Vec<(&str, f64)> = case.colourway.bases[name]
                .colorants
                .iter()
                .map(|dose| {
                    let colorant = recipe.colorants[dose.colorant.as_str()];
                    (dose.colorant.as_str(), dose.loading.value() / colorant.lot_strength())
                })
                .collect();
            let ml: f64 = resin_ml_per_g
                + doses
                    .iter()
                    .map(|(name, loading)| loading / recipe.colorants[name].density.g_per_ml())
                    .sum::<f64>();
            (1.0 / ml, doses)
        };
        let mut expected = BTreeMap::<Material, f64>::new();
        let mut add = |material, g: f64| *expected.entry(material).or_insert(0.0) += g;
        let add_base = |name: &str, ml: f64, add: &mut dyn FnMut(Material, f64)| {
            let (resin_per_ml, doses) = of_base(name);
            let resin = ml * resin_per_ml;
            add(Material::PartA, resin * a);
            add(Material::PartB, resin * (1.0 - a));
            for (colorant, loading) in doses {
                add(Material::Colorant(colorant.to_owned()), resin * loading);
            }
            resin
        };
        match &plan.containers {
            None => {
                for (name, share) in case.colourway.shares() {
                    add_base(name, net_ml * share, &mut add);
                }
            }
            Some(containers) => {
                for (pour, count) in case.colourway.pours.iter().zip(&containers.counts) {
                    let out_ml = net_ml * f64::from(*count) / f64::from(containers.number());
                    let resin_per_ml: f64 =
                        pour.base_fractions().map(|(name, part)| part * of_base(name).0).sum();
                    let mut accents = Vec::new();
                    for layer in &pour.layers {
                        if let Layer::Accent { accent, dose } = layer {
                            let colorant =
                                recipe.colorants[case.colourway.accents[accent].colorant.as_str()];
                            let loading = dose.value() / colorant.lot_strength();
                            accents.push((colorant, loading));
                        }
                    }
                    let accents_ml: f64 = accents
                        .iter()
                        .map(|(c, loading)| loading * resin_per_ml / c.density.g_per_ml())
                        .sum();
                    let bases_ml = out_ml / (1.0 + accents_ml);
                    let mut resin = 0.0;
                    for (name, part) in pour.base_fractions() {
                        resin += add_base(name, bases_ml * part, &mut add);
                    }
                    for (colorant, loading) in accents {
                        add(Material::Colorant(colorant.name.clone()), resin * loading);
                    }
                }
            }
        }
        for (material, g) in expected {
            let poured = plan.ledger.poured.of(&material).g();
            prop_assert!(
                (poured - g).abs() <= 2e-4 * g + 2e-3,
                "{material:?}: poured {poured}, film and composition say {g}"
            );
        }
    }

    #[test]
    fn vessels_containers_and_scales_hold_what_is_put_in(case in cases(false)) {
        let plan = planned(&case)?;
        let house = &case.shop.house;
        let fill = house.fill.value();
        let by_name: BTreeMap<&str, _> =
            house.scales.iter().map(|scale| (scale.name.as_str(), scale)).collect();
        // What a syringe shares out is bound to no step of a scale.
        let shared = |layer: &&LayerPlan| {
            matches!(layer, LayerPlan::Accent { means: AccentMeans::Shared, .. })
        };
        let layers = plan.small_batches.iter().flat_map(|batch| &batch.layers);
        let shared: Vec<&Weighed> = layers.filter(shared).map(LayerPlan::weighed).collect();
        for (weighed, _) in weighings(&plan) {
            if shared.iter().any(|own| std::ptr::eq(*own, weighed)) {
                continue;
            }
            let scale = by_name[weighed.scale.as_str()];
            prop_assert!(
                weighed.reading.g() <= scale.capacity.g() * (1.0 + 1e-9),
                "{} beyond {}", weighed.reading, scale.capacity
            );
            let steps = weighed.mass.g() / scale.readability.g();
            prop_assert!((steps - steps.round()).abs() < 1e-6, "{} is no step", weighed.mass);
            prop_assert!(steps.round() >= 1.0, "nothing is rounded away");
            prop_assert!(
                !weighed.within_tolerance()
                    || (weighed.mass.g() - weighed.exact.g()).abs() <= scale.readability.g() * (1.0 + 1e-6)
            );
        }
        for (base, mix) in mixes(&plan) {
            prop_assert!(house.vessels.contains(&mix.vessel), "a vessel of the house for {}", base.name);
            prop_assert!(mix.volume.ml() <= mix.vessel.ml() * fill * (1.0 + 1e-9));
            let steps: f64 = [&mix.part_a, &mix.part_b]
                .into_iter()
                .chain(mix.doses.iter().map(pourbook::plan::DoseWeighed::weighed))
                .map(|weighed| weighed.readability.g())
                .sum();
            prop_assert!(mix.mass().g() <= house.largest_mix.g() + steps, "{}", mix.mass());
            // B is weighed with A tared on a scale that bears both.
            prop_assert!((mix.part_a.reading.g() - mix.part_a.mass.g()).abs() < 1e-9);
            prop_assert!((mix.part_b.reading.g() - mix.part_b.mass.g()).abs() < 1e-9);
            prop_assert_eq!(&mix.part_a.scale, &mix.part_b.scale);
            let bench = house.scales.iter().find(|scale| scale.name == mix.part_b.scale).unwrap();
            let both = mix.part_a.mass + mix.part_b.mass;
            prop_assert!(both.g() <= bench.capacity.g() * (1.0 + 1e-9), "{both} on {bench:?}");
            let mut on_top = 0.0;
            for dose in &mix.doses {
                if let Means::OnTop(weighed) = &dose.means {
                    on_top += weighed.mass.g();
                    prop_assert!((weighed.reading.g() - on_top).abs() < 1e-9);
                }
            }
        }
        if let Some(containers) = &plan.containers {
            prop_assert!(containers.fill.ml() <= case.colourway.container.ml() * fill * (1.0 + 1e-9));
            prop_assert_eq!(containers.counts.len(), case.colourway.pours.len());
        }
        for batch in &plan.small_batches {
            // Nothing is tared between layers: what came from cups shows too, to half a step.
            let (mut reading, mut from_cups) = (0.0, 0.0);
            for layer in &batch.layers {
                let own_cup = matches!(
                    layer,
                    LayerPlan::Accent { means: AccentMeans::InCup | AccentMeans::Shared, .. }
                );
                let weighed = layer.weighed();
                if own_cup {
                    prop_assert!((weighed.reading.g() - weighed.mass.g()).abs() < 1e-9);
                    from_cups += layer.mass().g();
                } else {
                    reading += weighed.mass.g();
                    let off = (weighed.reading.g() - reading - from_cups).abs();
                    prop_assert!(off <= 0.5 * weighed.readability.g() + 1e-9, "{off}");
                }
            }
        }
    }

    /// A label and the rows beside a container's drawing tell that one's own weights: no more than it holds.
    #[test]
    fn labels_and_drawings_tell_no_more_than_goes_in(case in cases(false)) {
        let plan = planned(&case)?;
        let sheets = sheets(&SheetsAsk {
            plan: &plan,
            chips: &[],
            viewing: "D65/2°",
            board: Err("none"),
            recipe_on_approval: false,
            units: Units::Us,
            day: None,
        }).unwrap();
        let blocks = |kind| sheets.sheets.iter().find(|sheet| sheet.kind == kind).map(|sheet| &sheet.blocks);
        let grams = |text: &str| text.parse::<Mass>().map(Mass::g).unwrap_or(f64::NAN);
        let labels: Vec<&Label> = blocks(Kind::Labels)
            .into_iter()
            .flatten()
            .filter_map(|block| match block { Block::Labels(kinds) => Some(kinds), _ => None })
            .flatten()
            .flatten()
            .collect();
        // A step of each scale is what rounding may add; a syringe's dose is shown to half of 0.1 g at worst.
        let room = |batch: &SmallBatch| -> f64 {
            batch.layers.iter().map(|layer| layer.weighed().readability.g()).sum::<f64>() + 0.1
        };
        for batch in &plan.small_batches {
            for label in labels.iter().filter(|label| label.title == batch.name && label.number.starts_with("container")) {
                // The container's scale shows with each layer all that is in, what came out of cups before it too.
                let all = label.content.iter().fold(0.0, |all, (what, shown)| {
                    let mut hows = ["by syringe", "out of its"].iter();
                    let before = hows.find_map(|how| what.split_once(&format!(" {how}")));
                    match before.and_then(|(before, _)| before.rsplit(", ").next()) {
                        Some(out_of_cup) => all + grams(out_of_cup),
                        None => grams(shown),
                    }
                });
                prop_assert!(all > 0.0 && all <= batch.mass().g() + room(batch), "{label:?} of {}", batch.mass());
            }
            let cards = blocks(Kind::Mixing).into_iter().flatten().filter_map(|block| match block {
                Block::Cards(cards) => Some(cards),
                _ => None,
            });
            let drawn = cards.flatten().filter(|card| {
                card.container.is_some() && card.title.ends_with(&format!(" {}", batch.name))
            });
            for card in drawn {
                let weights = card.table.rows.iter().flatten().filter_map(|cell| match cell {
                    Cell::Weight { text, strong: false, .. } => Some(grams(text)),
                    _ => None,
                });
                let all: f64 = weights.sum();
                prop_assert!(all > 0.0 && all <= batch.mass().g() + room(batch), "{card:?} of {}", batch.mass());
            }
        }
    }

    #[test]
    fn a_to_b_as_weighed_is_the_systems(case in cases(false)) {
        let plan = planned(&case)?;
        for (base, mix) in mixes(&plan) {
            let lighter = mix.part_a.mass.lesser(mix.part_b.mass);
            let error = mix.ratio_error(plan.phr);
            // Rounding moves the ratio by a step of the lighter part at most; more than 0.5 % only
            // where no scale that bears the mix is finer.
            let step = mix.part_b.readability / lighter;
            prop_assert!(error <= step * 1.02 + 1e-9, "{} off {error}, a step is {step}", base.name);
            if error > 0.005 {
                let resin = mix.part_a.mass + mix.part_b.mass;
                let finer = case.shop.house.scales.iter().find(|scale| {
                    scale.readability < mix.part_b.readability && scale.capacity >= resin * 1.2 + Mass::from_g(0.075 * mix.vessel.ml())
                });
                prop_assert!(finer.is_none(), "{finer:?} weighs {resin} better than {error}");
            }
        }
    }

    #[test]
    fn what_is_bought_covers_what_is_issued(case in cases(false)) {
        let plan = planned(&case)?;
        let recipe = Recipe::of(&case.shop, &case.colourway).unwrap();
        let a = case.system().mass_fraction_a();
        for line in &plan.cost.lines {
            let bought: f64 = line
                .packages
                .iter()
                .map(|(package, count)| package.size.mass(line.density).g() * f64::from(*count))
                .sum();
            let enough = |need: f64, have: f64| have >= need * (1.0 - 1e-9);
            if let Some(colorant) = recipe.colorants.get(line.name.as_str()) {
                let issued = plan.ledger.issued.of(&Material::Colorant(colorant.name.clone())).g();
                prop_assert!(enough(issued, bought), "{}: {issued} g of {bought} g", line.name);
            } else {
                prop_assert!(enough(plan.ledger.issued.of(&Material::PartA).g(), bought * a));
                prop_assert!(enough(plan.ledger.issued.of(&Material::PartB).g(), bought * (1.0 - a)));
            }
            prop_assert!((bought - line.demand.g() - line.left.g()).abs() < 1e-6);
        }
    }
}
