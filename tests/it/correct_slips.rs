//! What `correct` asks about before it tells anyone to add or to throw away, as a person runs it: amounts that slipped by a
//! point or a unit, what cannot be in the vessel, another let-down, another mix, another base; and what no scale shows.

use std::fs;

use serde_json::Value;

use crate::program::{Bench, Ran};

pub(crate) const JOB: [&str; 2] = ["--job", "galley-kitchen"];
/// The colorants of the demo's slate 2 or 3.
pub(crate) const SLATE: [&str; 3] =
    ["iron oxide black paste=33.9 g", "titanium white paste=19.4 g", "ultramarine paste=21.8 g"];

/// `correct` of a base of the demo with so much of A and B, colorants held, and further words.
pub(crate) fn correct(
    bench: &Bench,
    base: &str,
    parts: [&str; 2],
    held: &[&str],
    more: &[&str],
) -> Ran {
    let [a, b] = parts;
    let words =
        ["correct", "tidewater-slate", base, "--shop", "shop", "--part-a", a, "--part-b", b];
    let held: Vec<&str> = held.iter().flat_map(|dose| ["--held", dose]).collect();
    let ran = bench.run(&[&words[..], &held, more].concat());
    let fits = |line: &str| line.chars().count() <= 100;
    assert!(more.contains(&"--json") || ran.out.lines().all(fits), "{ran:?}");
    ran
}

pub(crate) fn said(ran: &Ran) -> String {
    format!("{}{}", ran.out, ran.err).split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).expect("JSON")
}

fn suspicions(ran: &Ran) -> Vec<String> {
    let told = json(ran);
    let all = told["suspicions"].as_array().expect("suspicions").iter();
    all.map(|words| words.as_str().expect("words").to_owned()).collect()
}

/// Takes the optical data out of a colorant's file.
pub(crate) fn unmeasured(bench: &Bench, path: &str) {
    let text = fs::read_to_string(bench.path("shop").join(path)).expect("its file");
    let (before, rest) = text.split_once("    optics: (").expect("optics");
    let (_, after) = rest.split_once("    packages").expect("packages");
    bench.put(path, format!("{before}    packages{after}"));
}

/// An amount that is as planned once its point or its unit is put right is asked about before anything else.
#[test]
fn a_slipped_amount_is_asked_about_first() {
    let bench = Bench::demo();
    let ran = correct(&bench, "slate", ["1732g", "73g"], &SLATE, &JOB);
    insta::assert_snapshot!(ran.out);
    let asks = |parts, held: &[&str], more: &[&str]| {
        suspicions(&correct(&bench, "slate", parts, held, &[&["--json"], more].concat()))
    };
    let white = |white| [SLATE[0], white, SLATE[2]];
    for (parts, held, told) in [
        (
            ["1732g", "7300g"],
            SLATE,
            "part B 7300 g: did you mean 730 g, as planned? If so, type --part-b \"730 g\".",
        ),
        (["1732g", "73kg"], SLATE, "part B 73000 g: did you mean 730 g, as planned?"),
        (["173.2g", "730g"], SLATE, "part A 173.20 g: did you mean 1732 g, as planned?"),
        (
            ["1732g", "730g"],
            white("titanium white paste=20oz"),
            "titanium white paste 566.99 g: did you mean 20 g, near the 19.40 g as planned? If so, type --held \"titanium white paste=20 g\".",
        ),
        (
            ["1732g", "730g"],
            white("titanium white paste=194 g"),
            "titanium white paste 194 g: did you mean 19.40 g, as planned?",
        ),
        (
            ["1732g", "730g"],
            white("titanium white paste=1.94 g"),
            "titanium white paste 1.94 g: did you mean 19.40 g, as planned?",
        ),
    ] {
        let asked = asks(parts, &held, &JOB);
        assert!(asked.len() == 1 && asked[0].starts_with(told), "{parts:?} {held:?}: {asked:?}");
    }
    // What is as planned, half in, or weighed twice is no slip of the point.
    for parts in [["1732g", "730g"], ["1732g", "365g"], ["1732g", "0g"], ["866g", "365g"]] {
        let asked = asks(parts, &[], &JOB);
        assert!(asked.iter().all(|words| !words.contains("did you mean")), "{parts:?}: {asked:?}");
    }
    assert_eq!(asks(["1732g", "730g"], &SLATE, &JOB), <[&str; 0]>::default());
    // Both parts slipped alike stand to each other as they should: the plan tells, unless the colorants are as theirs.
    for parts in [["173.2g", "73g"], ["17320g", "7300g"], ["61.1g", "25.75g"]] {
        let alike = asks(parts, &SLATE, &JOB);
        assert_eq!(alike.len(), 2, "{parts:?}: {alike:?}");
        assert!(
            alike[0].contains("did you mean 173") && alike[0].contains("as planned"),
            "{parts:?}: {alike:?}"
        );
        assert!(alike[1].contains("did you mean 730 g, as planned"), "{parts:?}: {alike:?}");
    }
    assert_eq!(asks(["173.2g", "73g"], &[], &JOB).len(), 2, "nor is it tinted");
    let tenth = [
        "iron oxide black paste=3.39 g",
        "titanium white paste=1.94 g",
        "ultramarine paste=2.18 g",
    ];
    assert_eq!(asks(["173.2g", "73g"], &tenth, &JOB), <[&str; 0]>::default());
    let used_up = asks(["173.2g", "73g"], &[], &[&JOB[..], &["--at-least", "2.5kg"]].concat());
    assert!(used_up.iter().all(|words| !words.contains("did you mean")), "{used_up:?}");
    // Without a plan the other part and the recipe tell; which of both parts it is the colorants do.
    let asked = asks(["1732g", "73g"], &SLATE, &[]);
    assert!(
        asked.len() == 1
            && asked[0]
                .starts_with("part B 73 g: did you mean 730 g, near the 730.45 g as part A needs"),
        "{asked:?}"
    );
    let asked = asks(["173.2g", "730g"], &SLATE, &[]);
    assert!(
        asked.len() == 1 && asked[0].starts_with("part A 173.20 g: did you mean 1732 g"),
        "{asked:?}"
    );
    let asked = asks(["1732g", "73g"], &[], &[]);
    assert!(asked.len() == 2, "nothing tells which: {asked:?}");
    let asked = asks(["1732g", "730g"], &white("titanium white paste=194 g"), &[]);
    assert!(
        asked.len() == 1 && asked[0].contains("19.40 g, near the 19.70 g as the recipe has it?"),
        "{asked:?}"
    );
}

/// What its vessel cannot hold, and more than the plan buys, is said as that; a let-down that slipped with its ratio.
#[test]
fn more_than_a_vessel_holds_is_said_before_any_order() {
    let bench = Bench::demo();
    let ran = correct(&bench, "slate", ["1732oz", "730oz"], &SLATE, &JOB);
    assert!(ran.code == 1 && ran.err.is_empty(), "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let told = json(&correct(
        &bench,
        "slate",
        ["1732oz", "730oz"],
        &SLATE,
        &[&JOB[..], &["--json"]].concat(),
    ));
    assert!(told["cannot_be"].as_str().unwrap().starts_with("THAT CANNOT BE"), "{told}");
    assert!(told["refusal"]["against"] == "cannot be" && told["add"].is_null(), "{told}");
    let alone = said(&correct(&bench, "slate", ["1732oz", "730oz"], &SLATE, &[]));
    assert!(
        alone.contains("the house's largest vessel, 2 gal, holds no more to its brim"),
        "{alone}"
    );
    // What the plan's vessel does not hold may stand in a larger one of the house's; in a stated one it stands or not.
    let larger = said(&correct(&bench, "slate", ["3000g", "1265g"], &[], &JOB));
    assert!(
        larger.contains("MORE THAN ITS VESSEL HOLDS: 4265 g") && larger.contains("ADD TO"),
        "{larger}"
    );
    let stated = said(&correct(&bench, "slate", ["3000g", "1265g"], &[], &["--vessel", "3 qt"]));
    assert!(
        stated.contains("its 3 qt vessel holds no more") && !stated.contains("ADD TO"),
        "{stated}"
    );
    // No mass is too absurd for a line of the answer.
    for absurd in ["1e9g", "1e30g", "1e300g"] {
        let red = format!("red oxide paste={absurd}");
        let ran = correct(&bench, "slate", [absurd, "730g"], &[SLATE[0], &red], &JOB);
        let text = said(&ran);
        assert!(ran.code == 1 && text.contains("THAT CANNOT BE: 2.000e"), "{ran:?}");
        assert!(!text.contains("ADD") && !text.contains("correct it as told"), "{text}");
    }
    let held = ["carbon black paste, let-down 1 : 9=36.0 g", "titanium white paste=49 g"];
    let asked = suspicions(&correct(
        &bench,
        "fog",
        ["1262g", "533g"],
        &held,
        &[&JOB[..], &["--json"]].concat(),
    ));
    assert!(
        asked.len() == 1
            && asked[0].starts_with("carbon black paste, let-down 1 : 9 36 g: did you mean 3.60 g, as planned? If so, type --held \"carbon black paste, let-down 1 : 9=3.60 g\"."),
        "{asked:?}"
    );
    // 123 g of black: all of the job buys 113 g, and no slip explains it.
    let black = ["iron oxide black paste=123 g"];
    let asked = suspicions(&correct(
        &bench,
        "slate",
        ["1732g", "730g"],
        &black,
        &[&JOB[..], &["--json"]].concat(),
    ));
    assert!(
        asked.iter().any(|words| words.starts_with(
            "123.0 g of iron oxide black paste are more than the 113.4 g that the plan buys"
        )),
        "{asked:?}"
    );
}

/// A let-down of another strength than the plan makes is asked about.
#[test]
fn a_let_down_that_the_plan_does_not_make_is_asked_about() {
    let bench = Bench::demo();
    let with = |black: &str, more: &[&str]| {
        let held = [black, "titanium white paste=49 g", "yellow oxide paste=2.12 g"];
        suspicions(&correct(&bench, "fog", ["1262g", "533g"], &held, &[&["--json"], more].concat()))
    };
    let asked = with("carbon black paste, let-down 1 : 19=4.3 g", &JOB);
    assert!(
        asked.len() == 1
            && asked[0].starts_with("carbon black paste: did you mean let-down 1 : 9, as the plan makes it, and not let-down 1 : 19?")
            && asked[0].contains("--held \"carbon black paste, let-down 1 : 9=4.30 g\""),
        "{asked:?}"
    );
    assert!(with("carbon black paste, let-down 1 : 19=7.2 g", &[]).is_empty(), "no plan says");
    assert!(with("carbon black paste, let-down 1 : 9=3.60 g", &JOB).is_empty(), "as planned");
}

/// Which mix of the plan it is follows from what fits with a slip undone, or from what a person says.
#[test]
fn the_mix_of_the_plan_is_the_one_that_fits_or_the_one_named() {
    let bench = Bench::demo();
    let mix = |parts, more: &[&str]| {
        let told =
            json(&correct(&bench, "slate", parts, &[], &[&JOB[..], &["--json"], more].concat()));
        told["beside"]["job"]["mix"].as_str().unwrap_or_default().to_owned()
    };
    assert_eq!(mix(["798g", "1893g"], &[]), "slate 1", "swapped");
    assert_eq!(mix(["730g", "1732g"], &[]), "slate 2 or 3", "swapped");
    assert_eq!(mix(["1893g", "79.8g"], &[]), "slate 1", "a slipped point");
    assert_eq!(mix(["1732g", "2462g"], &[]), "slate 2 or 3", "read with A on the scale");
    assert_eq!(mix(["1893g", "798g"], &["--mix", "2"]), "slate 2");
    assert_eq!(mix(["1732g", "730g"], &["--mix", "1"]), "slate 1");
    let none =
        correct(&bench, "slate", ["1732g", "730g"], &[], &[&JOB[..], &["--mix", "4"]].concat());
    assert!(none.code == 2 && none.out.is_empty(), "{none:?}");
    let text = said(&none);
    assert!(
        text.contains("no mix 4 of slate: the plan of boathouse galley kitchen has 3 mixes of it"),
        "{text}"
    );
    assert!(text.contains("type --mix 1 to --mix 3"), "{text}");
    assert!(text.contains("slate 2 or 3: part A 1732 g and part B 730 g"), "{text}");
    let alone = correct(&bench, "slate", ["1732g", "730g"], &[], &["--mix", "1"]);
    assert!(alone.code == 2 && said(&alone).contains("--job"), "{alone:?}");
}

/// A mix that is named, and is not what is held, is asked about, though nothing is missing of the recipe.
#[test]
fn a_mix_that_does_not_fit_what_was_weighed_is_asked_about() {
    let bench = Bench::demo();
    let with = |parts, held: &[&str], mix, more: &[&str]| {
        let named = [&JOB[..], &["--mix", mix, "--json"], more].concat();
        suspicions(&correct(&bench, "slate", parts, held, &named))
    };
    let asked = with(["1732g", "730g"], &SLATE, "1", &[]);
    assert_eq!(
        asked,
        [
            "what is stated does not fit slate 1: part A 1732 g and part B 730 g, and slate 1 has part A 1893 g and part B 798 g. It is as slate 2 or 3 has it: did you mean that? If so, type --mix 2. If the vessel holds it as typed, correct it as told here."
        ]
    );
    let none = with(["1000g", "421g"], &SLATE, "2", &[]);
    assert!(none[0].contains("No other mix of the plan's has it so either"), "{none:?}");
    // What is it, or is it but for a slip or for a part, fits.
    for parts in [["1732g", "730g"], ["1732g", "0g"], ["1732g", "500g"], ["730g", "1732g"]] {
        let asked = with(parts, &SLATE, "3", &[]);
        assert!(asked.iter().all(|words| !words.contains("does not fit")), "{parts:?}: {asked:?}");
    }
    let used_up = with(["1000g", "421g"], &SLATE, "2", &["--at-least", "2.5kg"]);
    assert!(used_up.is_empty(), "{used_up:?}");
}

/// What no scale of the shop shows is not asked for.
#[test]
fn no_amount_below_a_scales_step_is_told() {
    let bench = Bench::demo();
    unmeasured(&bench, "colorants/ultramarine-paste.ron");
    bench.change(
        "house.ron",
        "        (name: \"pocket scale\", readability: \"0.01 g\", capacity: \"200 g\"),\n",
        "",
    );
    // 0.8 g of part A and 0.06 g of white are missing too.
    let held = ["iron oxide black paste=34.49 g", "titanium white paste=19.65 g", SLATE[2]];
    let short = correct(&bench, "slate", ["1732g", "665g"], &held, &JOB);
    assert_eq!(short.code, 0, "{short:?}");
    insta::assert_snapshot!(short.out);
    let add = short.out.split("\nADD\n").nth(1).expect("what is added");
    assert!(!add.contains("part A  ") && !add.contains("titanium white paste  "), "{add}");
    let rest =
        "that restores the recipe exactly; what else is missing is within a step of the scales.";
    assert!(said(&short).contains(rest), "{add}");
}

/// What holds a foreign colorant is said to be no mix of its base, with what to do; the base that it fits is asked for.
#[test]
fn what_cannot_become_its_recipe_is_told_what_to_do() {
    let bench = Bench::demo();
    unmeasured(&bench, "colorants/red-oxide-paste.ron");
    let held = [SLATE[0], SLATE[1], SLATE[2], "red oxide paste=12 g"];
    let ran = correct(&bench, "slate", ["1732g", "720g"], &held, &JOB);
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let told = json(&correct(
        &bench,
        "slate",
        ["1732g", "720g"],
        &held,
        &[&JOB[..], &["--json"]].concat(),
    ));
    assert!(told["refused"] == true && told["beside"].is_null(), "{told}");
    assert!(
        told["not_its_colour"][0].as_str().unwrap().starts_with("NOT THE COLOUR OF slate"),
        "{told}"
    );
    let asked = said(&correct(&bench, "fog", ["1732g", "730g"], &SLATE, &[]));
    assert!(asked.contains("did you mean the base slate? The colorants are as that has them, not as this one. If so, type slate for the base."), "{asked}");
    let used_up =
        said(&correct(&bench, "fog", ["1732g", "730g"], &SLATE, &["--at-least", "2.6kg"]));
    assert!(!used_up.contains("did you mean the base"), "a left-over: {used_up}");
    let own = said(&correct(&bench, "slate", ["1732g", "730g"], &SLATE, &[]));
    assert!(!own.contains("did you mean the base"), "{own}");
}

/// An age is told as it was typed, and words to type again are not broken over two lines.
#[test]
fn an_age_in_seconds_and_words_to_type_stay_as_they_are() {
    let bench = Bench::demo();
    let [white, black] = ["titanium white paste=49 g", "carbon black paste=3.60 g"];
    let fog = |held: &[&str]| {
        let more = [&JOB[..], &["--age", "90 s"]].concat();
        correct(&bench, "fog", ["1262g", "500g"], held, &more)
    };
    let ran = fog(&[white]);
    assert!(said(&ran).contains("B met A 90 s ago"), "{ran:?}");
    let ran = fog(&[white, black]);
    let words = "--held \"carbon black paste, let-down 1 : 9=3.60 g\"";
    assert!(ran.out.lines().any(|line| line.contains(words)), "{ran:?}");
}
