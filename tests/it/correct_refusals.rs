//! What `correct` tells where a check refuses all of a mix, as a person runs it: one headline an answer, laid out as any other
//! is, for eyes and for machines.

use crate::correct_slips::{JOB, SLATE, correct, json, said, unmeasured};
use crate::program::Bench;

/// The demo, whose ultramarine has no optical data: slate is corrected by proportion alone.
fn by_proportion() -> Bench {
    let bench = Bench::demo();
    unmeasured(&bench, "colorants/ultramarine-paste.ron");
    bench
}

/// What no part of is in time is refused on the output as an answer is, and JSON says why.
#[test]
fn what_has_no_way_is_laid_out_as_any_answer() {
    let bench = by_proportion();
    let late = ["--age", "60 min"];
    let ran = correct(&bench, "slate", ["1732g", "600g"], &SLATE, &late);
    assert!(ran.code == 1 && ran.err.is_empty(), "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let told = json(&correct(
        &bench,
        "slate",
        ["1732g", "600g"],
        &SLATE,
        &[&late[..], &["--json"]].concat(),
    ));
    assert_eq!(told["schema"], "pourbook.correct-by-proportion", "{told}");
    assert!(told["version"] == 1 && told["refused"] == true, "{told}");
    let refusal = &told["refusal"];
    assert_eq!(refusal["against"], "too late", "{told}");
    assert!(refusal["why"].as_str().unwrap().contains("cannot be poured in time"), "{told}");
    assert!(refusal["to_do"][0].as_str().unwrap().starts_with("Mix anew; "), "{told}");
    assert!(told["ratio_off"].as_str().unwrap().contains("too much part A"), "{told}");
    assert!(told["clock_rests_on"][0].as_str().unwrap().contains("ASSUMED"), "{told}");
    let done = json(&correct(&bench, "slate", ["1732g", "600g"], &SLATE, &["--json"]));
    assert!(done["refused"] == false && done["refusal"].is_null(), "{done}");
}

/// The same of a mix whose colour is known.
#[test]
fn a_colour_out_of_reach_is_laid_out_as_any_answer() {
    let bench = Bench::demo();
    let black = ["carbon black paste=300 g"];
    let near = ["--within", "0.1"];
    let ran = correct(&bench, "slate", ["1732g", "730g"], &black, &near);
    assert!(ran.code == 1 && ran.err.is_empty(), "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let words = [&near[..], &["--json"]].concat();
    let told = json(&correct(&bench, "slate", ["1732g", "730g"], &black, &words));
    assert!(told["schema"] == "pourbook.correct" && told["version"] == 1, "{told}");
    assert!(told["refused"] == true && told["refusal"]["against"] == "out of reach", "{told}");
    // What makes no sense is an error, as ever.
    let nothing = correct(&bench, "slate", ["0g", "0g"], &[], &[]);
    assert!(nothing.code == 2 && nothing.out.is_empty(), "{nothing:?}");
}

/// What is too late is no way, though the job's plan is late itself; and what has gelled is added to no more.
#[test]
fn what_is_too_late_is_no_way() {
    let bench = by_proportion();
    // Without its let-down fog is ready sooner, and slate waits longer: the plan is late with it.
    unmeasured(&bench, "colorants/carbon-black-paste.ron");
    let with = |age: &str| {
        correct(&bench, "slate", ["1732g", "2462g"], &[], &[&JOB[..], &["--age", age]].concat())
    };
    let in_time = said(&with("2 min"));
    assert!(in_time.contains("THERE IS A WAY") && !in_time.contains("TOO LATE"), "{in_time}");
    let late = with("25 min");
    assert_eq!(late.code, 1, "{late:?}");
    insta::assert_snapshot!(late.out);
    let gelled = with("60 min");
    let text = said(&gelled);
    let late = text.contains("it cannot be poured in time");
    assert!(gelled.code == 1 && late && text.contains("WHAT TO DO"), "{text}");
    assert!(!text.contains("THERE IS A WAY") && !text.contains("ADD"), "{text}");
    assert!(text.contains("THE PLAN ITSELF TAKES LONGER") && !text.contains("Mix anew;"), "{text}");
}

/// What is not its recipe's colour is mixed anew; that some of it can be made to cure is no way to its colour.
#[test]
fn what_is_not_its_colour_is_no_way_however_much_it_is() {
    let bench = by_proportion();
    let held = [SLATE[0], SLATE[1], SLATE[2], "red oxide paste=12 g"];
    let with = |more: &[&str]| correct(&bench, "slate", ["3600g", "900g"], &held, more);
    let ran = with(&[]);
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let late = [&JOB[..], &["--age", "25 min"]].concat();
    for more in [&["--age", "25 min"][..], &["--age", "90 min"], &JOB, &late] {
        let text = said(&with(more));
        assert!(text.contains("NOT THE COLOUR OF slate"), "{text}");
        assert!(!text.contains("THERE IS A WAY") && !text.contains("TOO LATE:"), "{text}");
        assert!(text.to_lowercase().contains("anew"), "{text}");
    }
}

/// The least mass that is asked for is made up, though nothing is missing, and what the scales do not show is nothing.
#[test]
fn a_least_mass_is_made_up_by_proportion_too() {
    let bench = by_proportion();
    let with = |part_b, more: &[&str]| correct(&bench, "slate", ["1733g", part_b], &SLATE, more);
    let least = ["--at-least", "2800g"];
    let whole = with("730g", &least);
    assert_eq!(whole.code, 0, "{whole:?}");
    insta::assert_snapshot!(whole.out);
    for part_b in ["730g", "665g", "0g"] {
        let told = json(&with(part_b, &[&least[..], &["--json"]].concat()));
        let added = told["exact_restoration_g"].as_object().expect("what is added");
        let added: f64 = added.values().map(|grams| grams.as_f64().expect("grams")).sum();
        let held = 1733.0 + part_b.trim_end_matches('g').parse::<f64>().unwrap() + 75.1;
        assert!((held + added - 2800.0).abs() < 1e-6, "{part_b}: {told}");
    }
    let enough = json(&with("730g", &["--at-least", "2500g", "--json"]));
    assert!(enough["beside"].is_null(), "as much is there: {enough}");
    // A mix that is right is not mixed anew for it.
    let beyond = with("730g", &["--at-least", "4kg"]);
    let text = said(&beyond);
    assert!(beyond.code == 1 && !text.contains("ix anew"), "{text}");
    assert!(text.contains("WHAT TO DO Ask for no more than 3000 g with --at-least"), "{text}");
    // A gram too much of part A is what its scale leaves open.
    let text = said(&with("730g", &JOB));
    assert!(text.contains("Nothing: it is the recipe as nearly as the scales weigh it"), "{text}");
    assert!(!text.contains("to correct") && !text.contains(" g more"), "{text}");
}

/// What grows for its overdose, not for the least mass that is asked for, is told the way without that; what cannot be, and what is
/// too much to ask for, say what becomes of the mix; and there is one headline.
#[test]
fn a_refusal_advises_what_helps() {
    let bench = Bench::demo();
    let parts = ["1424 g", "602 g"];
    let over = ["titanium white paste=56 g", "yellow oxide paste=2.39 g", "carbon black paste=3 g"];
    let to_do = |parts, held: &[&str], more: &[&str]| {
        let told = json(&correct(&bench, "fog", parts, held, &[more, &["--json"]].concat()));
        assert_eq!(told["refused"], true, "{told}");
        told["refusal"]["to_do"].to_string()
    };
    let told = to_do(parts, &over, &["--at-least", "9 kg"]);
    assert!(told.contains("Ask again without --at-least: there is a way"), "{told}");
    assert!(told.contains("What is not used is") && !told.contains("no more than"), "{told}");
    let without = said(&correct(&bench, "fog", parts, &over, &[]));
    assert!(without.contains("THERE IS A WAY"), "{without}");
    let told = to_do(parts, &over[..1], &["--at-least", "9 kg"]);
    assert!(told.contains("Ask for no more than 3000 g with --at-least"), "{told}");
    assert!(told.contains("What is not used is"), "{told}");
    let told = to_do(["142400 g", "60200 g"], &over[..1], &[]);
    assert!(told.contains("What is not used is"), "{told}");
    let absurd = said(&correct(&bench, "fog", ["142400 g", "60200 g"], &over[..1], &[]));
    assert!(absurd.contains("THAT CANNOT BE") && !absurd.contains("SUSPECTED"), "{absurd}");
}
