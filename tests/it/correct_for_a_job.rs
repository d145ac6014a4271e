//! `correct` beside a job's plan, as a person runs it; and what is refused in a plan's own words.

use crate::program::Bench;

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
