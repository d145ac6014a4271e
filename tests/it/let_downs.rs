//! Let-downs: enough of each to be stirred and weighed, no more colorant than need be, all of it
//! accounted for.

use pourbook::model::{Colourway, ColourwayParts, House, HouseParts, Job, JobParts, Scale, Shop};
use pourbook::plan::{Ask, LEAST_LET_DOWN, Material, Means, Plan, plan};
use pourbook::quantity::{Area, Fraction, Mass, Units};
use pourbook::report::Paint;
use pourbook::report::plan_text::plan_text;
use proptest::prelude::*;

use crate::random_jobs::{base, cases, colorant_parts, colourway_parts, system_parts};

fn scale(name: &str, step: f64, most: f64) -> Scale {
    Scale { name: name.into(), readability: Mass::from_g(step), capacity: Mass::from_g(most) }
}

/// A flat area in a shop with a bench scale of 1 g and a pocket scale of 0.01 g, `loadings` of a black
/// in one base each.
fn tinted(area_m2: f64, coats: u32, loadings: &[f64]) -> Plan {
    within(2.0, area_m2, coats, loadings)
}

/// The same where a weight may be so many per cent off.
fn within(percent: f64, area_m2: f64, coats: u32, loadings: &[f64]) -> Plan {
    let scales = vec![scale("bench", 1.0, 15_000.0), scale("pocket", 0.01, 200.0)];
    let weighing_tolerance = Fraction::from_percent(percent);
    let house =
        House::new(HouseParts { scales, weighing_tolerance, ..HouseParts::default() }).unwrap();
    let mut job = JobParts::bare("let down".into(), &house);
    job.area = Some(Area::from_m2(area_m2));
    job.coats = coats;
    let job = Job::new(job).unwrap();
    let mut shop = Shop { house, ..Shop::default() };
    let ratio = pourbook::model::MixRatio::Volume { a: 2.0, b: 1.0 };
    let system = pourbook::model::System::new(system_parts(ratio, 1.15, 0.97)).unwrap();
    shop.systems.insert("resin".into(), system);
    let black = colorant_parts(
        "black",
        1.2,
        0.5,
        pourbook::model::Carrier::Epoxy { eew_g_per_eq: 190.0 },
        0.05,
    );
    shop.colorants.insert("black".into(), pourbook::model::Colorant::new(black).unwrap());
    let mut parts = colourway_parts();
    for (at, loading) in loadings.iter().enumerate() {
        parts.bases.extend([base(&format!("base {at}"), &[("black", *loading)])]);
    }
    let each = Fraction::new(1.0 / loadings.len() as f64);
    for one in parts.bases.values_mut() {
        one.share = Some(each);
    }
    let colourway = Colourway::new(ColourwayParts { ..parts }).unwrap();
    plan(&Ask { shop: &shop, colourway: &colourway, job: &job }).unwrap()
}

/// What must hold of every let-down of a plan.
fn sound(plan: &Plan) -> Result<(), TestCaseError> {
    for stock in &plan.stocks {
        let [colorant, a] = [&stock.colorant_weighed, &stock.part_a_weighed];
        prop_assert!(colorant.within_tolerance() && a.within_tolerance(), "{stock:?}");
        // Part A is rounded to its scale's step.
        prop_assert!(stock.made() + a.readability >= LEAST_LET_DOWN, "{stock:?}");
        prop_assert!(stock.left().g() >= -1e-9, "{stock:?}");
    }
    for dose in plan.bases.iter().flat_map(|base| &base.mixes).flat_map(|mix| &mix.doses) {
        if let Means::LetDown { weighed, .. } = &dose.means {
            prop_assert!(weighed.within_tolerance(), "{dose:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: ProptestConfig::default().cases.div_ceil(2), ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_let_down_is_stirred_and_weighed_well(
        percent in 0.3..20.0_f64, area in 0.05..4.0_f64, coats in 1_u32..4,
        loadings in prop::collection::vec(1e-5..2e-3_f64, 1..4),
    ) {
        let plan = within(percent, area, coats, &loadings);
        sound(&plan)?;
        prop_assert!(plan.ledger.imbalance().g() <= 1e-6);
    }

    #[test]
    fn in_random_shops_too(case in cases(false)) {
        match case.plan() {
            Ok(plan) => sound(&plan)?,
            Err(not) => {
                let words = not.words();
                prop_assert!(words.contains("as the scales can weigh it"), "{words}");
            }
        }
    }
}

/// 0.1 % of a small board's 300 g is 0.3 g. Ten grams at 1 : 1 would hold 5 g of black; the least that
/// the pocket scale weighs within 2 % is 0.41 g (2·0.41·0.01 g/2 %, the form of USP general chapter
/// <41>), and a let-down is found that holds no more.
#[test]
fn a_small_dose_wastes_little() {
    let plan = tinted(0.04, 1, &[0.001]);
    let [stock] = &plan.stocks[..] else { panic!("{:?}", plan.stocks) };
    assert!((stock.colorant_weighed.mass.g() - 0.41).abs() < 1e-9, "{stock:?}");
    assert!(stock.made() >= LEAST_LET_DOWN, "{stock:?}");
    let black = Material::Colorant("black".into());
    assert!((plan.ledger.issued.of(&black) - stock.colorant_weighed.mass).g().abs() < 1e-9);
    let line = plan.cost.lines.iter().find(|line| line.name == "black").unwrap();
    assert!((line.demand - stock.colorant_weighed.mass).g().abs() < 1e-9, "bought as it is made");
    let left = plan.ledger.left.of(&black).g();
    assert!(left >= stock.left().g() * stock.ratio.value() - 1e-3, "{left}");
}

/// Two bases that need let-downs of different strength alone share one where one serves both.
#[test]
fn two_bases_take_from_one_let_down() {
    let plan = tinted(0.08, 1, &[0.0006, 0.0003]);
    assert_eq!(plan.stocks.len(), 1, "{:?}", plan.stocks);
    let ratios: Vec<f64> = plan
        .bases
        .iter()
        .flat_map(|base| &base.mixes)
        .flat_map(|mix| &mix.doses)
        .map(|dose| match &dose.means {
            Means::LetDown { down, .. } => down.ratio.value(),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(ratios[0], ratios[1]);
}

/// A mix says which let-down it takes, and the let-down what becomes of it.
/// Its label and its row say which mixes it goes into, and the label how strong it is in the largest letters.
#[test]
fn a_let_down_says_which_mixes_it_serves() {
    let bench = crate::program::Bench::demo();
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop"];
    let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = joined(bench.run(&words).out);
    assert!(text.contains("carbon black paste for fog 1–3, let-down 1 : 9 in part A"), "{text}");
    assert!(text.contains("let-down 1 : 9 3.60 g pocket scale shows 3.60 g"), "{text}");
    assert!(text.contains("of carbon black paste, own cup, goes first"), "{text}");
    let sheets = [&words[..], &["--sheet", "mixing", "--sheet", "labels"]].concat();
    let sheets = joined(bench.run(&sheets).out);
    assert!(sheets.contains("carbon black paste 1 : 9"), "{sheets}");
    assert!(sheets.contains("let-down for fog 1–3"), "{sheets}");
    assert!(sheets.contains("1 let-down 1 : 9 · carbon black paste"), "{sheets}");
    assert!(sheets.contains("container then 409 g"), "{sheets}");
    assert!(sheets.contains("weighs 409 g when full"), "{sheets}");
}

#[test]
fn the_strength_is_told_where_it_is_weighed() {
    let plan = tinted(0.04, 1, &[0.001]);
    let text = plan_text(&plan, Units::Metric, Paint::None);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("let-down 1 : 49 in part A"), "{text}");
    assert!(text.contains(" made, ") && text.contains(" left over"), "{text}");
}

/// A scale of 1 g weighs 41 g of a paste at least within 2 %: no kilograms of a let-down are made of that, but the
/// dose is weighed for what that is worth, and under the title stands what would weigh it.
#[test]
fn what_would_waste_kilograms_is_not_let_down_but_told() {
    let bench = crate::program::Bench::demo();
    let scales = "(version: 1, scales: [(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\")])";
    bench.put("house.ron", scales);
    let answer = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    let text = answer.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!text.contains("carbon black paste for fog"), "{text}");
    let heed = "HEED: too coarse a scale: carbon black paste 1.14 g wanted, the bench scale shows 1 g and weighs to 2 % only from 41.0 g on";
    assert!(text.contains(heed), "{text}");
}
