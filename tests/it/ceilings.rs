//! Every route by which a mix is refused: the message names the largest safe loading, which passes when
//! it is typed back, and just above which is refused again.

use pourbook::diagnostic::Severity;
use pourbook::model::{
    Carrier, Ceilings, Colorant, ColorantParts, Colourway, ColourwayParts, Fault, Faults, House,
    HouseParts, Job, JobParts, Lot, MixRatio, Override, Pour, Raised, Recipe, Scale, Shop,
    Standing, Stoichiometry, System, SystemParts,
};
use pourbook::plan::{Ask, Dosed, Limits, NotPlanned, Plan, check_ceilings, plan};
use pourbook::quantity::{Area, Fraction, Mass};
use proptest::prelude::*;

use crate::random_jobs::{
    accent, accent_layer, base, base_layer, cases, colorant_parts, colourway_parts, system_parts,
};

/// A shop whose ceilings are known; each colorant's lot has the stated strength.
fn shop(strength: f64) -> Shop {
    let mut shop = Shop::default();
    let parts = system_parts(MixRatio::Mass { a: 100.0, b: 50.0 }, 1.15, 0.97);
    let system = System::new(SystemParts {
        ceilings: Ceilings {
            colorant: Fraction::from_percent(8.0),
            solvent: Fraction::from_percent(2.0),
            standing: Standing::Estimated,
        },
        stoichiometry: Some(Stoichiometry { eew_g_per_eq: 190.0, ahew_g_per_eq: 95.0 }),
        ..parts
    });
    shop.systems.insert("resin".into(), system.unwrap());
    let epoxy = Carrier::Epoxy { eew_g_per_eq: 190.0 };
    for (name, solids, carrier, ceiling) in [
        ("oxide", 1.0, Carrier::None, 0.06),
        ("mica", 1.0, Carrier::None, 0.08),
        ("flake", 1.0, Carrier::None, 0.20),
        ("ink", 0.10, Carrier::Solvent, 0.06),
        ("thin paste", 0.05, epoxy, 0.50),
    ] {
        let lot = Lot { name: "L".into(), strength: Fraction::new(strength) };
        let parts =
            ColorantParts { lot: Some(lot), ..colorant_parts(name, 2.0, solids, carrier, ceiling) };
        shop.colorants.insert(name.into(), Colorant::new(parts).unwrap());
    }
    shop
}

/// A colourway of one base, and with an accent of one small batch.
fn colourway(doses: &[(&str, f64)], accents: &[(&str, f64)]) -> Colourway {
    let mut parts = ColourwayParts { bases: [base("tint", doses)].into(), ..colourway_parts() };
    if !accents.is_empty() {
        let mut layers = vec![base_layer("tint", 1.0)];
        for (colorant, dose) in accents {
            parts.accents.extend([accent(colorant, colorant)]);
            layers.push(accent_layer(colorant, *dose));
        }
        parts.pours.push(Pour { name: "all".into(), count: 1, layers });
    }
    Colourway::new(parts).unwrap()
}

fn planned(shop: &Shop, colourway: &Colourway) -> Result<Plan, NotPlanned> {
    let parts = JobParts::bare("job".into(), &House::default());
    let job = Job::new(JobParts { area: Some(Area::from_m2(2.0)), ..parts }).unwrap();
    plan(&Ask { shop, colourway, job: &job })
}

fn refusal(shop: &Shop, colourway: &Colourway, words: &str) -> Fault {
    let not = planned(shop, colourway).expect_err("the plan is refused");
    let Faults(all) = not.colourway;
    let found = all.iter().find(|fault| fault.message.contains(words));
    let found = found.unwrap_or_else(|| panic!("no {words:?} in {all:#?}")).clone();
    assert_eq!(found.severity, Severity::Refused);
    assert!(!found.path.is_empty(), "{found:?} points into the colourway");
    found
}

/// The percentage that a hint names.
fn named(fault: &Fault) -> f64 {
    let hint = fault.hints.join("; ");
    let after = hint.split(" here is ").nth(1).unwrap_or_else(|| panic!("{hint}"));
    after.split(" %").next().unwrap().parse().unwrap()
}

/// Three significant digits, cut: the largest safe loading itself is less than this times larger.
const CUT: f64 = 1.0101;

/// Refused, the named loading passes as typed, what its cut digits may hide more is refused.
fn route(words: &str, shop: &Shop, make: impl Fn(f64) -> Colourway, too_much: f64) {
    let fault = refusal(shop, &make(too_much), words);
    let percent = named(&fault);
    let safe = Fraction::from_percent(percent).value();
    assert!(safe < too_much, "{fault:?}");
    if let Err(not) = planned(shop, &make(safe)) {
        panic!("the named loading is refused: {}; {fault:?}", not.words());
    }
    let above = Fraction::from_percent(percent * CUT).value();
    assert!(planned(shop, &make(above)).is_err(), "just above passes: {fault:?}");
}

/// Lots that tint as stated, more weakly (more is weighed) and more strongly.
fn lots() -> [Shop; 3] {
    [1.0, 0.9, 1.13].map(shop)
}

#[test]
fn a_colorant_in_a_base() {
    for shop in lots() {
        route("exceeds its ceiling", &shop, |l| colourway(&[("oxide", l)], &[]), 0.075);
    }
}

#[test]
fn an_accent_in_a_small_batch() {
    for shop in lots() {
        route("exceeds its ceiling", &shop, |l| colourway(&[], &[("oxide", l)]), 0.075);
        // The same colorant in the base counts too.
        route(
            "small batch \"all\" exceeds its ceiling",
            &shop,
            |l| colourway(&[("oxide", 0.03)], &[("oxide", l)]),
            0.05,
        );
    }
}

#[test]
fn the_mixture_rule() {
    for shop in lots() {
        route("mixture rule", &shop, |l| colourway(&[("oxide", 0.02), ("mica", l)], &[]), 0.065);
        route("mixture rule", &shop, |l| colourway(&[("oxide", 0.02)], &[("mica", l)]), 0.065);
    }
}

#[test]
fn all_colorants_together() {
    for shop in lots() {
        route("all colorants", &shop, |l| colourway(&[("flake", l), ("oxide", 0.002)], &[]), 0.092);
        route("all colorants", &shop, |l| colourway(&[("oxide", 0.002)], &[("flake", l)]), 0.092);
    }
}

#[test]
fn solvent() {
    for shop in lots() {
        route("solvent", &shop, |l| colourway(&[("ink", l)], &[]), 0.03);
        route("solvent", &shop, |l| colourway(&[("oxide", 0.01)], &[("ink", l)]), 0.03);
    }
}

#[test]
fn off_ratio_through_epoxy_carriers() {
    for shop in lots() {
        let mut wide = shop.clone();
        let system = System::new(SystemParts {
            ceilings: Ceilings {
                colorant: Fraction::from_percent(60.0),
                ..shop.systems["resin"].ceilings
            },
            ..(*shop.systems["resin"]).clone()
        });
        wide.systems.insert("resin".into(), system.unwrap());
        route("off ratio", &wide, |l| colourway(&[("thin paste", l)], &[]), 0.06);
        route("off ratio", &wide, |l| colourway(&[("oxide", 0.01)], &[("thin paste", l)]), 0.06);
    }
}

/// A tinted base beside a plain one, and an inked batch that holds them half and half.
fn with_batches(oxide: f64, (colorant, dose): (&str, f64)) -> Colourway {
    let both = vec![base_layer("tint", 1.0), base_layer("plain", 1.0)];
    let inked = both.iter().cloned().chain([accent_layer("drops", dose)]).collect();
    Colourway::new(ColourwayParts {
        bases: [base("tint", &[("oxide", oxide), ("mica", 0.001)]), base("plain", &[])].into(),
        accents: [accent("drops", colorant)].into(),
        pours: vec![
            Pour { name: "without".into(), count: 1, layers: both },
            Pour { name: "inked".into(), count: 1, layers: inked },
        ],
        ..colourway_parts()
    })
    .unwrap()
}

#[test]
fn one_overdose_is_told_once_with_a_loading_that_mends_all_of_it() {
    for shop in lots() {
        let not = planned(&shop, &with_batches(0.12, ("mica", 0.05))).expect_err("overdosed");
        let Faults(all) = &not.colourway;
        assert_eq!(all.len(), 1, "{all:#?}");
        assert!(all[0].message.contains("exceeds its ceiling"), "{all:#?}");
        let [.., mend, also] = &all[0].hints[..] else { panic!("{all:#?}") };
        assert!(also.contains("mixture rule at") && also.contains("\"inked\""), "{also}");
        assert!(mend.contains("; more is over "), "it says what binds: {mend}");
        route("exceeds its ceiling", &shop, |oxide| with_batches(oxide, ("mica", 0.05)), 0.12);
    }
    // The ink binds: less oxide than the base alone would bear.
    let shop = shop(1.0);
    let alone = named(&refusal(&shop, &colourway(&[("oxide", 0.12), ("mica", 0.001)], &[]), ""));
    let fault = refusal(&shop, &with_batches(0.12, ("mica", 0.05)), "");
    assert!(named(&fault) < alone, "{fault:?}");
    let tells = |hint: &String| hint.contains("of small batch \"inked\"");
    assert!(fault.hints.iter().any(tells), "{fault:?}");
}

#[test]
fn a_batch_that_is_too_much_without_the_base_has_its_own_word() {
    let shop = shop(1.0);
    let not = planned(&shop, &with_batches(0.12, ("ink", 0.07))).expect_err("both are too much");
    let messages: Vec<&str> = not.colourway.0.iter().map(|fault| fault.message.as_str()).collect();
    assert_eq!(messages.len(), 2, "{messages:#?}");
    assert!(messages[0].contains("base \"tint\""), "{messages:#?}");
    assert!(messages[1].contains("small batch \"inked\""), "{messages:#?}");
}

#[test]
fn parts_a_and_b_that_no_scale_weighs_near_enough() {
    let mut shop = shop(1.0);
    let mut house = pourbook::model::HouseParts::default();
    house.scales.truncate(1);
    house.scales[0].readability = pourbook::quantity::Mass::from_g(50.0);
    shop.house = House::new(house).unwrap();
    let parts = JobParts::bare("chip".into(), &shop.house);
    let small = |m2: f64| {
        let parts = JobParts { area: Some(Area::from_m2(m2)), ..parts.clone() };
        let job = Job::new(parts).unwrap();
        plan(&Ask { shop: &shop, colourway: &colourway(&[], &[]), job: &job })
    };
    let not = small(0.02).expect_err("50 g steps cannot weigh a cup");
    assert!(not.job.0.iter().any(|fault| fault.severity == Severity::Refused), "{}", not.words());
    assert!(not.words().contains("off ratio"), "{}", not.words());
    assert!(small(3.0).is_ok(), "kilograms can be weighed in steps of 50 g");
}

#[test]
fn the_message_never_reads_as_if_the_value_were_at_its_ceiling() {
    let shop = shop(1.0);
    let fault = refusal(&shop, &colourway(&[("oxide", 0.060_000_01)], &[]), "exceeds its ceiling");
    assert!(fault.message.contains("6.000001 %"), "{}", fault.message);
    assert!(planned(&shop, &colourway(&[("oxide", 0.06)], &[])).is_ok(), "at the ceiling passes");
}

#[test]
fn a_ceiling_so_low_that_its_figures_are_small_is_still_named() {
    let mut shop = shop(1.0);
    let parts = colorant_parts("dye", 1.0, 1.0, Carrier::None, 0.000_003_21);
    shop.colorants.insert("dye".into(), Colorant::new(parts).unwrap());
    // One that weighs such a dose.
    let mut house: HouseParts = (*shop.house).clone();
    house.scales.push(Scale {
        name: "fine scale".into(),
        readability: Mass::from_g(0.001),
        capacity: Mass::from_g(100.0),
    });
    shop.house = House::new(house).unwrap();
    route("exceeds its ceiling", &shop, |l| colourway(&[("dye", l)], &[]), 0.000_01);
}

#[test]
fn what_the_others_use_up_is_told_to_be_left_out_or_lessened() {
    let shop = shop(1.0);
    let fault = refusal(
        &shop,
        &colourway(&[("oxide", 0.03), ("mica", 0.04), ("flake", 0.18)], &[]),
        "mixture rule",
    );
    assert!(fault.hints[0].contains("leave \"flake\" out"), "{fault:?}");
    let fault = refusal(
        &shop,
        &colourway(&[("oxide", 0.05), ("mica", 0.06), ("flake", 0.1)], &[]),
        "mixture rule",
    );
    assert!(fault.hints[0].contains("bring all loadings here to"), "{fault:?}");
}

#[test]
fn a_raised_ceiling_passes_and_is_told_on_the_plan() {
    let shop = shop(1.0);
    let way = colourway(&[("oxide", 0.065)], &[]);
    let mut parts = JobParts::bare("job".into(), &House::default());
    parts.area = Some(Area::from_m2(2.0));
    parts.overrides.push(Override {
        ceiling: Raised::Colorant("oxide".into()),
        to: Fraction::from_percent(7.0),
        reason: "cured and tested on three boards".into(),
    });
    let job = Job::new(parts).unwrap();
    let plan = plan(&Ask { shop: &shop, colourway: &way, job: &job }).unwrap();
    assert!(plan.checks.iter().any(|check| check.standing.raised), "marked in the checks");
    assert!(
        plan.cautions.iter().any(|caution| caution.text.contains("tested on three boards")),
        "printed with its reason"
    );
    assert!(planned(&shop, &way).is_err(), "and refused without");
}

proptest! {
    #[test]
    fn less_of_anything_never_breaks_a_ceiling(
        case in cases(true), wild in prop::collection::vec(0.0..0.2_f64, 5),
        part in prop::collection::vec(0.0..1.0_f64, 5),
    ) {
        let limits = Limits { system: case.system(), off_ratio: 0.05, raised: &[] };
        let colorants: Vec<_> = case.shop.colorants.values().collect();
        let mix = |factor: &dyn Fn(usize) -> f64| -> Vec<Dosed<'_>> {
            colorants
                .iter()
                .enumerate()
                .map(|(at, colorant)| Dosed { colorant, loading: wild[at] * factor(at) })
                .collect()
        };
        let broken = |mix: &[Dosed<'_>]| limits.standings(mix).iter().any(|one| one.exceeded());
        let all = mix(&|_| 1.0);
        let less = mix(&|at| part[at]);
        prop_assert!(!broken(&less) || broken(&all), "less is refused where more passes");
        // Scaling all down to the named factor passes.
        let scale = limits.largest_scale(&all);
        prop_assert!(scale <= 1.0 && !broken(&mix(&|_| scale)), "scale {scale}");
        prop_assert!(!broken(&all) || broken(&mix(&|_| (scale * 1.000_1).min(1.0))));
        // So does the largest safe loading of each, and nothing above.
        for which in 0..colorants.len() {
            if let Some(safe) = limits.largest_safe(&all, which) {
                let at = |loading: f64| {
                    let mut mix = all.clone();
                    mix[which].loading = loading;
                    mix
                };
                prop_assert!(!broken(&at(safe)), "{which} at {safe}");
                prop_assert!(broken(&at(safe * 1.000_1 + 1e-7)), "{which} above {safe}");
            } else {
                let mut without = all.clone();
                without[which].loading = 0.0;
                prop_assert!(broken(&without), "the others pass, yet no loading is named");
            }
        }
    }
}

proptest! {
    // Each case is a whole plan. PROPTEST_CASES asks for more.
    #![proptest_config(ProptestConfig { cases: ProptestConfig::default().cases.div_ceil(8), ..ProptestConfig::default() })]

    #[test]
    fn a_plan_stands_exactly_where_every_check_passes(case in cases(true)) {
        let recipe = Recipe::of(&case.shop, &case.colourway).unwrap();
        let (checks, faults) = check_ceilings(&recipe, &case.shop.house, &[]);
        prop_assert!(faults.0.is_empty() == checks.iter().all(|check| !check.standing.exceeded()));
        prop_assert!(case.plan().is_ok() == faults.0.is_empty());
    }
}
