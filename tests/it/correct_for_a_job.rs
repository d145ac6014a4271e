//! `correct` beside a job's plan, as a person runs it: the vessel, what the job needs, what mixing anew costs, what is
//! left of what is bought; and what is refused in a plan's own words.

use serde_json::Value;

use crate::program::{Bench, Ran};

/// The slate of the demo's galley with the black of half as much again: one mix of it is 2773 g, two are 2537 g.
const SLATE: [&str; 11] = [
    "correct",
    "tidewater-slate",
    "slate",
    "--shop",
    "shop",
    "--part-a",
    "1893g",
    "--part-b",
    "798g",
    "--held",
    "ultramarine paste=23.8 g",
];
const BLACK: [&str; 4] =
    ["--held", "titanium white paste=21.2 g", "--held", "iron oxide black paste=55.6 g"];
const JOB: [&str; 2] = ["--job", "galley-kitchen"];

/// Fog with far too much black for the largest mix.
const FOG: [&str; 13] = [
    "correct",
    "tidewater-slate",
    "fog",
    "--shop",
    "shop",
    "--part-a",
    "1262g",
    "--part-b",
    "533g",
    "--held",
    "titanium white paste=49 g",
    "--held",
    "iron oxide black paste=6 g",
];

fn said(ran: &Ran) -> String {
    format!("{}{}", ran.out, ran.err).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn grams(value: &Value) -> f64 {
    value.as_f64().expect("grams")
}

/// Which vessel is meant is always told, with who says so and what it holds; in the units that are asked for.
#[test]
fn the_vessel_is_named_with_who_says_so() {
    let bench = Bench::demo();
    let slate = [&SLATE[..], &BLACK[..]].concat();
    let told = |more: &[&str]| said(&bench.run(&[&slate[..], more].concat()));
    let alone = told(&[]);
    assert!(
        alone.contains(
            "Vessel: 1 gal (ASSUMED, the house's smallest that holds it; --vessel, or --job). It takes 3.2 qt with room to stir."
        ),
        "{alone}"
    );
    let planned = told(&JOB);
    assert!(
        planned.contains("Vessel: 1 gal (as the plan of boathouse galley kitchen has it for slate 1; --vessel states another). It takes 3.2 qt with room to stir."),
        "{planned}"
    );
    let stated = told(&["--vessel", "2 gal", "--job", "galley-kitchen", "--units", "metric"]);
    assert!(
        stated.contains("Vessel: 7.57 L (stated). It takes 6.06 L with room to stir."),
        "{stated}"
    );
    let small = ["correct", "tidewater-slate", "slate", "--shop", "shop", "--part-a", "400g"];
    let small = [&small[..], &["--part-b", "168.7g"], &JOB, &["--json"]].concat();
    let answer: Value = serde_json::from_str(&bench.run(&small).out).unwrap();
    assert_eq!(answer["vessel"]["from"], "plan", "{answer}");
    assert!(
        (grams(&answer["vessel"]["size_ml"]) - 3785.4).abs() < 0.1,
        "a quart would do: {answer}"
    );
}

/// Where a larger vessel of the house's takes all of it, that is said by name, and nothing is thrown away.
#[test]
fn a_larger_vessel_is_named_before_mixing_anew() {
    let bench = Bench::demo();
    let slate = [&SLATE[..], &BLACK[..], &["--vessel", "3 qt"]].concat();
    let ran = bench.run(&slate);
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let moved = bench.run(&[&SLATE[..], &BLACK[..], &["--vessel", "1 gal"]].concat());
    assert_eq!(moved.code, 0, "what is told serves: {moved:?}");
    let metric = said(&bench.run(&[&slate[..], &["--units", "metric"]].concat()));
    assert!(metric.contains("and its 2.84 L vessel takes 2.27 L with room to stir"), "{metric}");
    assert!(metric.contains("all of it into a 3.79 L vessel"), "{metric}");
}

/// A mix that fills the plan's vessel to its headroom still goes into it when a few grams are added; one that outgrows it
/// is told into which to move it.
#[test]
fn what_outgrows_the_plans_vessel_is_told_where_to_go() {
    let bench = Bench::demo();
    let words = ["correct", "tidewater-slate", "fog", "--shop", "shop", "--part-a", "1424g"];
    let words = [&words[..], &["--part-b", "602g", "--held", "yellow oxide paste=2.39 g"], &JOB];
    let with = |white: &str| {
        let ran = bench.run(&[&words.concat()[..], &["--held", white]].concat());
        assert_eq!(ran.code, 0, "{ran:?}");
        said(&ran)
    };
    let planned = with("titanium white paste=56 g");
    assert!(planned.contains("Vessel: 2.5 qt (as the plan"), "{planned}");
    let more = with("titanium white paste=85 g");
    assert!(
        more.contains("MOVE IT into a 1 gal vessel, which takes 3.2 qt with room to stir: the plan's 2.5 qt one for fog 2 or 3 holds less than it becomes."),
        "{more}"
    );
}

/// How it compares with what the job needs, what it costs beside mixing anew, and what is short of what the plan buys.
#[test]
fn a_correction_is_held_against_its_job() {
    let bench = Bench::demo();
    let slate = [&SLATE[..], &BLACK[..], &JOB[..]].concat();
    let ran = bench.run(&slate);
    assert_eq!(ran.code, 0, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let answer: Value =
        serde_json::from_str(&bench.run(&[&slate[..], &["--json"]].concat()).out).unwrap();
    let beside = &answer["beside"];
    assert_eq!(beside["job"]["mix"], "slate 1", "{answer}");
    let more = grams(&answer["mass_after_g"]) - grams(&beside["job"]["needs_g"]);
    assert!((grams(&beside["job"]["more_than_needed_g"]) - more).abs() < 1e-6, "{answer}");
    let added = grams(&answer["mass_after_g"]) - grams(&answer["mass_before_g"]);
    assert!((grams(&beside["to_correct"]["mass_g"]) - added).abs() < 1e-6, "{answer}");
    assert!(
        (grams(&beside["to_mix_anew"]["mass_g"]) - grams(&beside["job"]["needs_g"])).abs() < 1e-6,
        "{answer}"
    );
    // 8.50 g of black are left over, and 18.5 g of it went into this mix beyond the plan.
    let short = &beside["left_of_plan"]["to_mix_anew"]["short_g"]["iron oxide black paste"];
    assert!((grams(short) - 37.1).abs() < 1.0, "all of it: {answer}");
    let fog = ["correct", "tidewater-slate", "fog", "--shop", "shop", "--part-a", "1262g"];
    let fog = [&fog[..], &["--part-b", "533g", "--held", "titanium white paste=49 g"], &JOB];
    let little = said(&bench.run(&fog.concat()));
    assert!(little.contains("To correct it enough is left of what the plan buys."), "{little}");
    assert!(!little.contains("To mix it anew"), "{little}");
    let alone = said(&bench.run(&[&SLATE[..], &BLACK[..]].concat()));
    assert!(!alone.contains(" needs of ") && !alone.contains("what the plan buys"), "{alone}");
}

/// Where all of it becomes clearly more than the job needs, less that would do is told too.
#[test]
fn less_that_would_do_for_the_job_is_told() {
    let bench = Bench::demo();
    let with = |black: &str| {
        let doses = [black, "titanium white paste=19.4 g", "ultramarine paste=21.8 g"];
        let doses: Vec<&str> = doses.into_iter().flat_map(|dose| ["--held", dose]).collect();
        let words = ["correct", "tidewater-slate", "slate", "--shop", "shop", "--part-a", "1732g"];
        bench.run(&[&words[..], &["--part-b", "730g"], &doses, &JOB].concat())
    };
    let more = with("iron oxide black paste=58 g");
    assert_eq!(more.code, 0, "{more:?}");
    insta::assert_snapshot!(more.out);
    let little = with("iron oxide black paste=50 g");
    assert!(little.code == 0 && !little.out.contains("OR LESS"), "{little:?}");
}

/// What grows to many times itself costs more than mixing as much as stands there anew: that is said with both figures, and
/// with what each gives; of as much as it becomes, mixing anew costs more.
#[test]
fn that_mixing_anew_costs_less_is_said() {
    let bench = Bench::demo();
    let words = ["correct", "tidewater-slate", "fog", "--shop", "shop", "--part-a", "63.1g"];
    let held = ["--held", "titanium white paste=2.45 g", "--held", "iron oxide black paste=0.5 g"];
    let ran = bench.run(&[&words[..], &["--part-b", "26.65g"], &held].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    let text = said(&ran);
    assert!(
        text.contains("IF 92.7 g IS ENOUGH, MIXING THAT ANEW COSTS LESS: 2.67 USD; to correct: "),
        "{text}"
    );
    let told = [&words[..], &["--part-b", "26.65g"], &held, &["--json"]].concat();
    let told: Value = serde_json::from_str(&bench.run(&told).out).unwrap();
    let beside = &told["beside"];
    assert_eq!(beside["anew_costs_less"], false, "{told}");
    let anew = grams(&beside["to_mix_anew"]["mass_g"]);
    assert!((anew - grams(&told["mass_after_g"])).abs() < 1e-6, "as much: {told}");
    let held = &beside["to_mix_as_much_as_held_anew"];
    assert!((grams(&held["mass_g"]) - 92.7).abs() < 1e-6, "{told}");
    // With little to add it does not, and nothing is said of it without a job.
    let little = said(&bench.run(&[&SLATE[..], &BLACK[..]].concat()));
    assert!(!little.contains("anew"), "{little}");
}

/// What cannot be corrected whole is built up to what the job needs, not to the largest mix.
#[test]
fn no_more_is_built_up_than_the_job_needs() {
    let bench = Bench::demo();
    let ran = bench.run(&[&FOG[..], &JOB[..]].concat());
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let alone = bench.run(&FOG);
    assert_eq!(alone.code, 1, "{alone:?}");
    let (job, alone) = (said(&ran), said(&alone));
    let then = |text: &str| -> f64 {
        let grown = text.split("What is kept grows from ").nth(1).expect("what it becomes");
        let to = grown.split(" g to ").nth(1).and_then(|rest| rest.split(' ').next());
        to.unwrap().parse().unwrap()
    };
    assert!(then(&alone) > 2900.0, "without a job up to the house's largest mix: {alone}");
    assert!((1849.0..1900.0).contains(&then(&job)), "the plan mixes 1850 g of fog 1: {job}");
    let off = job.split("off as it stands, ").nth(1).and_then(|rest| rest.split(' ').next());
    let off = off.unwrap();
    assert!(off.parse::<f64>().unwrap() <= 0.8, "a slip of the scale is left room: {job}");
}

/// A ratio that cannot cure is refused by all that would be mixed by it, in the same words.
#[test]
fn a_ratio_that_cannot_cure_is_refused_by_each_in_the_same_words() {
    let bench = Bench::demo();
    bench.change("systems/clear-flood.ron", "(eew: 190, ahew: 67)", "(eew: 190, ahew: 200)");
    let slate = [&SLATE[..], &BLACK[..]].concat();
    let refusal = |words: &[&str]| {
        let ran = bench.run(words);
        assert_eq!(ran.code, 1, "{words:?} {ran:?}");
        assert!(ran.out.is_empty(), "{words:?} {ran:?}");
        ran.err
    };
    let planned =
        refusal(&["plan", "tidewater-slate", "--job", "galley-kitchen", "--shop", "shop"]);
    assert!(planned.contains("does not cure") && planned.contains("clear-flood.ron:"), "{planned}");
    for words in [
        &slate[..],
        &["match", "#5a6f7c", "--like", "tidewater-slate", "--shop", "shop"],
        &["swatch", "tidewater-slate", "--shop", "shop"],
    ] {
        assert_eq!(refusal(words), planned, "{words:?}");
    }
}

/// How a shop begins without the demo stands by itself, in the answer and in the help.
#[test]
fn how_to_begin_without_the_demo_is_a_line_of_its_own() {
    let bench = Bench::demo();
    let line = |words: &[&str], own: &str| {
        let ran = bench.run(words);
        assert!(ran.out.lines().any(|line| line.starts_with(own)), "{words:?} {}", ran.out);
    };
    line(&["start", "mine"], "A shop without the demo: pourbook start FOLDER --empty");
    line(&["start", "--help"], "pourbook start my-shop --empty ");
    line(&["--help"], "  pourbook start my-shop --empty ");
}

/// Fog's part A as the job's sheet weighs it for its first mix, and what is held besides.
fn fog(bench: &Bench, held: &[&str], more: &[&str]) -> Ran {
    let held: Vec<&str> = held.iter().flat_map(|dose| ["--held", dose]).collect();
    let words = ["correct", "tidewater-slate", "fog", "--shop", "shop", "--part-a", "1262g"];
    bench.run(&[&words[..], more, &held, &JOB].concat())
}

/// The same of slate's second.
fn slate(bench: &Bench, part_b: &str, more: &[&str]) -> Ran {
    let words = ["correct", "tidewater-slate", "slate", "--shop", "shop", "--part-a", "1732g"];
    bench.run(&[&words[..], &["--part-b", part_b], &JOB, more].concat())
}

/// B short or over, found before tinting: the colorants are those of the recipe, as the plan weighs them, whatever the
/// grams of B.
#[test]
fn what_is_not_tinted_yet_gets_the_colorants_of_the_recipe() {
    let bench = Bench::demo();
    let half = slate(&bench, "365g", &[]);
    assert_eq!(half.code, 0, "{half:?}");
    insta::assert_snapshot!(half.out);
    for part_b in ["0g", "100g", "700g", "724g", "730g", "740g", "760g", "820g"] {
        let ran = slate(&bench, part_b, &["--json"]);
        let answer: Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(answer["completes"], true, "{part_b}: {answer}");
        let after = grams(&answer["mass_after_g"]);
        let colorants = answer["add"]["colorants"].as_array().unwrap();
        let black = colorants.iter().find(|dose| dose["name"] == "iron oxide black paste");
        let black = grams(&black.expect("black")["mass_g"]) / after;
        // The sheet weighs 33.9 g into 2503 g of what left the first vessel.
        assert!((black / (33.9 / 2503.0) - 1.0).abs() < 0.01, "{part_b}: {black}");
    }
    let fog = fog(&bench, &[], &["--part-b", "266g"]);
    assert!(fog.code == 0 && fog.out.contains("That completes the recipe"), "{fog:?}");
    // Swapped, it grows beyond the largest mix: the part that is kept gets the recipe too.
    let words = ["correct", "tidewater-slate", "slate", "--shop", "shop", "--part-a", "730g"];
    let swapped = bench.run(&[&words[..], &["--part-b", "1732g"], &JOB].concat());
    assert_eq!(swapped.code, 1, "{swapped:?}");
    assert!(swapped.out.contains("  iron oxide black paste  34.5 g  "), "{}", swapped.out);
}

/// A let-down typed as neat is told whatever of B is in; part A with pigment is kept closed or mixed off, not spread as
/// what heats.
#[test]
fn part_a_without_part_b_is_no_hot_left_over() {
    let bench = Bench::demo();
    let with = |part_b: &str| fog(&bench, &["carbon black paste=3.60 g"], &["--part-b", part_b]);
    let none = with("0g");
    assert_eq!(none.code, 1, "{none:?}");
    insta::assert_snapshot!(none.out);
    for part_b in ["60g", "266g", "533g"] {
        let ran = with(part_b);
        let text = said(&ran);
        assert!(text.contains("its let-down 1 : 9 in part A: if it was that"), "{text}");
        let little = part_b == "60g";
        assert_eq!(text.contains("too little part B to gel, it does not keep; never"), little);
        assert_eq!(text.contains("what is not used is spread under"), !little, "{text}");
        assert_eq!(text.contains("set aside the other"), little, "{text}");
        assert!(!text.contains("keeps closed"), "{text}");
    }
}

/// Far too much of a foreign colorant is too large, not a matter of scales, and what is left of it is told.
#[test]
fn a_wrong_colorant_is_told_to_grow_too_large() {
    let bench = Bench::demo();
    let doses = [
        "carbon black paste, let-down 1 : 9=3.60 g",
        "titanium white paste=49 g",
        "red oxide paste=2.12 g",
    ];
    let text = said(&fog(&bench, &doses, &["--part-b", "533g"]));
    assert!(text.contains("it would grow to 33") && !text.contains("no scale"), "{text}");
    assert!(text.contains("what is not used is spread under"), "{text}");
}

/// What is short is told with the first words of the way; the vessel of what is kept is that of what it becomes.
#[test]
fn a_way_is_told_with_what_it_takes_beyond_the_plan() {
    let bench = Bench::demo();
    let ran = slate(&bench, "2462g", &["--age", "4 min"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
}
