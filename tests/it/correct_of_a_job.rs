//! Which mix of its job's plan a mix is taken for, what it is short of for that, and what is left of it to be poured.

use serde_json::Value;

use crate::correct_slips::{JOB, SLATE, correct, json, said, unmeasured};
use crate::program::Bench;

fn grams(value: &Value) -> f64 {
    value.as_f64().expect("grams")
}

/// Slate's two kinds of mixes in the galley: A, B and the colorants.
const KINDS: [(&str, [f64; 5]); 2] = [
    ("slate 1", [1893.0, 798.0, 37.1, 21.2, 23.8]),
    ("slate 2 or 3", [1732.0, 730.0, 33.9, 19.4, 21.8]),
];

/// The mix that so much of A, B and slate's colorants is taken for; none where nothing is added, or nothing can be.
fn taken_for(bench: &Bench, held: [f64; 5]) -> Option<String> {
    let [a, b, iron, white, blue] = held;
    let doses = [
        format!("iron oxide black paste={iron:.2} g"),
        format!("titanium white paste={white:.2} g"),
        format!("ultramarine paste={blue:.2} g"),
    ];
    let doses = doses.each_ref().map(String::as_str);
    let parts = [format!("{a:.1} g"), format!("{b:.1} g")];
    let parts = parts.each_ref().map(String::as_str);
    let told = json(&correct(bench, "slate", parts, &doses, &[&JOB[..], &["--json"]].concat()));
    // Each of two halves is taken for a mix of its own.
    let whole = told["in_part"]["share_out"].is_null();
    told["beside"]["job"]["mix"].as_str().filter(|_| whole).map(str::to_owned)
}

/// All that is held says which mix it is: one amount that is far off does not outweigh the rest.
#[test]
fn one_slip_does_not_make_another_mix_of_it() {
    let bench = Bench::demo();
    let mut told = 0;
    for (name, planned) in KINDS {
        for slipped in 0..5 {
            for times in [0.1, 0.5, 0.7, 0.85, 0.95, 1.1, 1.3, 2.0] {
                let mut held = planned;
                held[slipped] *= times;
                if let Some(mix) = taken_for(&bench, held) {
                    assert_eq!(mix, name, "{slipped} {times}");
                    told += 1;
                }
            }
        }
    }
    assert!(told > 40, "{told}");
    // Parts that are nearer to another mix's, with the colorants of this one to the hundredth.
    let mut held = KINDS[0].1;
    [held[0], held[1]] = [1800.0, 700.0];
    assert_eq!(taken_for(&bench, held).as_deref(), Some("slate 1"));
    // Parts swapped, before anything is tinted.
    let swapped = ["730 g", "1732 g"];
    let text = said(&correct(&bench, "slate", swapped, &[], &JOB));
    assert!(text.contains("needs of slate 2 or 3") && text.contains("look swapped"), "{text}");
}

/// What needs nothing but is less than its job needs says how much less, and how that is made good; and whose vessel it may be
/// in.
#[test]
fn what_is_too_little_for_its_job_is_told() {
    let bench = Bench::demo();
    let fog = ["1424g", "602g"];
    let black = "carbon black paste 1 : 9=4.06 g";
    let held = [&SLATE[..], &[black]].concat();
    let age = [&JOB[..], &["--age", "9 min"]].concat();
    let ran = correct(&bench, "slate", fog, &held, &age);
    assert_eq!(ran.code, 0, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let told = json(&correct(&bench, "slate", fog, &held, &[&age[..], &["--json"]].concat()));
    assert!(told["too_little"].as_str().unwrap().contains("390.6 g less"), "{told}");
    let more = [&age[..], &["--at-least", "2496 g"]].concat();
    let made = said(&correct(&bench, "slate", fog, &held, &more));
    assert!(made.contains("is as much as boathouse galley kitchen needs"), "{made}");
    assert!(!made.contains("TOO LITTLE") && !made.contains("What makes that up"), "{made}");
    // Asked for by the name of the vessel's base.
    let other = said(&correct(&bench, "fog", fog, &held, &age));
    assert!(
        other.contains("type slate for the base. Parts A and B are those of fog 2 or 3, which then has to be mixed anew."),
        "{other}"
    );
    // What is as planned, or has left its share on the first vessel's wall, is not too little.
    for parts in [["1732g", "730g"], ["1703g", "718g"]] {
        let more = [&JOB[..], &["--json"]].concat();
        let told = json(&correct(&bench, "slate", parts, &SLATE, &more));
        assert!(told["too_little"].is_null(), "{told}");
    }
    // Where something is added it stands with what the job needs.
    let doses = ["iron oxide black paste=36 g", SLATE[1], SLATE[2]];
    let added = said(&correct(&bench, "slate", ["1500g", "602g"], &doses, &JOB));
    let less = " less than boathouse galley kitchen needs of slate 2 or 3: 2496 g, as planned in its second vessel. What makes that up is told with --at-least \"2496 g\".";
    assert!(added.contains(less), "{added}");
}

/// The sheet's weights are offered only where A and B become what it has, and that they are stated as weighed into the first
/// vessel is told once.
#[test]
fn the_sheet_is_followed_only_with_its_own_parts() {
    let bench = Bench::demo();
    let age = [&JOB[..], &["--mix", "2", "--age", "4 min"]].concat();
    let with = |parts, held: &[&str]| said(&correct(&bench, "slate", parts, held, &age));
    for parts in [["1732g", "850g"], ["1932g", "730g"], ["1732g", "700g"], ["1732g", "365g"]] {
        let text = with(parts, &[]);
        let becomes_it = parts[1] == "700g" || parts[1] == "365g";
        let sheet = "follow the sheet: iron oxide black paste 33.9 g";
        assert_eq!(text.contains(sheet), becomes_it, "{text}");
        assert_eq!(text.contains("then take 1.68 % less of each"), !becomes_it, "{text}");
    }
    let first = "the plan counts 1703 g of A and 718 g of B to come over. If the colorants are in the second vessel, --part-a \"1703 g\" --part-b \"718 g\" is a little nearer.";
    let little = ["iron oxide black paste=20 g", SLATE[1], SLATE[2]];
    let told = with(["1732g", "730g"], &little);
    assert!(told.contains(first) != told.contains("type --part-a \"1703 g\""), "told once: {told}");
    let over = ["iron oxide black paste=38 g", SLATE[1], SLATE[2]];
    let told = with(["1732g", "730g"], &over);
    assert!(told.contains(first) != told.contains("type --part-a \"1703 g\""), "told once: {told}");
    for parts in [["1703g", "718g"], ["1732g", "700g"]] {
        assert!(!with(parts, &over).contains("is a little nearer"), "{parts:?}");
    }
    assert!(!with(["1732g", "730g"], &SLATE).contains("is a little nearer"), "nothing to add");
}

/// What is short of what the plan buys stands before the amounts, and beside what mixing anew costs.
#[test]
fn what_is_short_is_told_before_the_amounts() {
    let bench = Bench::demo();
    let held = [
        "iron oxide black paste=55.6 g",
        "ultramarine paste=23.8 g",
        "titanium white paste=21.2 g",
    ];
    let ran = correct(&bench, "slate", ["1893g", "798g"], &held, &JOB);
    let text = said(&ran);
    let (first, then) = text.split_once(" ADD ").expect("an answer");
    assert!(first.contains("SHORT: what is added takes "), "{text}");
    assert!(first.contains("more than is left of what the plan buys."), "{text}");
    assert!(!then.contains("too little is left"), "{text}");
    let anew = then.split("anew: ").nth(1).and_then(|rest| rest.split(';').next()).unwrap();
    assert!(anew.contains(" USD, and ") && anew.contains("more than the plan buys"), "{then}");
}

/// Half of a mix that has been poured is not there any more: what is added is for what is left, and the job needs so much less.
#[test]
fn what_is_left_of_a_mix_is_corrected_alone() {
    let bench = Bench::demo();
    let held = ["iron oxide black paste=40 g", SLATE[1], SLATE[2]];
    let parts = ["1732g", "730g"];
    let age = [&JOB[..], &["--mix", "2", "--age", "12 min"]].concat();
    let with = |more: &[&str]| correct(&bench, "slate", parts, &held, &[&age[..], more].concat());
    let ran = with(&["--left", "1464 g"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let half = ["--left", "1271.6 g", "--json"];
    let [all, half] = [&["--json"][..], &half].map(|more| json(&with(more)));
    assert!(all["left_g"].is_null(), "{all}");
    assert!((grams(&half["left_g"]) - 1271.6).abs() < 1e-6, "{half}");
    assert!((grams(&half["mass_before_g"]) - 1271.6).abs() < 1e-6, "{half}");
    // Half as much is added, to the scales' steps.
    let added = |told: &Value| grams(&told["mass_after_g"]) - grams(&told["mass_before_g"]);
    assert!((added(&half) / added(&all) - 0.5).abs() < 0.02, "{} {}", added(&half), added(&all));
    let needs = |told: &Value| grams(&told["beside"]["job"]["needs_g"]);
    assert!((needs(&all) - needs(&half) - 1271.6).abs() < 0.11, "{half}");
    assert_eq!(all["suspicions"], half["suspicions"], "what was weighed is judged in full");
    let least = json(&with(&["--left", "1271.6 g", "--at-least", "2 kg", "--json"]));
    assert!(grams(&least["mass_after_g"]) >= 2000.0 - 1e-6, "{least}");
    for (left, why) in
        [("3 kg", "is more than all that was weighed in, 2543.20 g"), ("0 g", "leaves nothing")]
    {
        let ran = with(&["--left", left]);
        assert!(ran.code == 2 && ran.out.is_empty(), "{ran:?}");
        assert!(said(&ran).contains(why) && said(&ran).contains("typed in full"), "{ran:?}");
    }
}

/// What is asked for and cannot be obeyed is told.
#[test]
fn what_is_passed_over_is_told() {
    let bench = Bench::demo();
    let parts = ["1732g", "730g"];
    let little = said(&correct(&bench, "slate", parts, &SLATE, &["--vessel", "2.5 qt"]));
    assert!(little.contains("It holds this mix, but with no room to stir it."), "{little}");
    let none = correct(&bench, "slate", parts, &SLATE, &["--vessel", "1 qt"]);
    assert!(none.code == 1 && said(&none).contains("THAT CANNOT BE"), "{none:?}");
    unmeasured(&bench, "colorants/ultramarine-paste.ron");
    let foreign = [&SLATE[..], &["red oxide paste=12 g"]].concat();
    let with = |more: &[&str]| said(&correct(&bench, "slate", parts, &foreign, more));
    assert!(with(&["--at-least", "2800 g"]).contains("--at-least is passed over"));
    assert!(!with(&[]).contains("passed over"));
}

/// What has been poured of a mix whose A : B is off does not cure either, and that is told with what is left of it.
#[test]
fn what_is_poured_of_a_ratio_that_is_off_is_not_passed_over() {
    let bench = Bench::demo();
    let short = |part_b: &str| {
        let left = [&JOB[..], &["--mix", "2", "--age", "12 min", "--left", "1250 g"]].concat();
        correct(&bench, "slate", ["1703g", part_b], &SLATE, &left)
    };
    let off = short("618g");
    assert_eq!(off.code, 0, "{off:?}");
    let told = said(&off);
    let first = told.split(" ADD ").next().unwrap();
    assert!(first.contains("WHAT IS POURED OF IT ALREADY, 1146 g, is off by as much"), "{told}");
    // So the job needs all of it again.
    assert!(
        told.contains("needs of slate 2: 2496 g") && told.contains("--at-least \"2496 g\""),
        "{told}"
    );
    let right = said(&short("718g"));
    assert!(!right.contains("WHAT IS POURED"), "{right}");
}
