//! What a newcomer is told: hints that work as they are typed back, and what would be right.

use serde_json::Value;

use crate::program::Bench;

const NO_OPTICS: [&str; 8] = [
    "correct",
    "slate",
    "slate",
    "--part-a",
    "692g",
    "--held",
    "iron oxide black paste=26.5 g",
    "--part-b",
];

/// A shop whose colorants have no optical data.
fn without_optics() -> Bench {
    let bench = Bench::small();
    bench.change("colorants/black.ron", "optics: (standing: Demo, k: 40, s: 1.5),", "");
    bench
}

#[test]
fn a_correction_without_optical_data_is_plain_arithmetic() {
    let bench = without_optics();
    let ran = bench.run(&[&NO_OPTICS[..], &["292g", "--shop", "shop"]].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "colour not known: no optical data of iron oxide black paste; `pourbook characterise` makes it",
        "looks weighed in twice",
        "To restore the recipe exactly would take",
        "part A",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // So much of a lot of 104 % strength is for 1.04/0.014 times as much resin.
    let json = bench.run(&[&NO_OPTICS[..], &["292g", "--json", "--shop", "shop"]].concat());
    let answer: Value = serde_json::from_str(&json.out).expect("JSON");
    let added = &answer["exact_restoration_g"];
    let resin =
        692.0 + 292.0 + added["part A"].as_f64().unwrap() + added["part B"].as_f64().unwrap();
    assert!((resin - 26.5 * 1.04 / 0.014).abs() < 1e-6, "{answer}");
    assert_eq!(added["iron oxide black paste"].as_f64().unwrap().abs(), 0.0, "{answer}");
}

#[test]
fn what_needs_optical_data_says_how_they_are_had() {
    let bench = without_optics();
    let ran = bench.run(&["match", "#5a6f7c", "--shop", "shop"]);
    assert!(
        ran.code == 2
            && ran.err.contains("no optical data of carbon black liquid, iron oxide black paste or titanium white paste")
            && ran.err.contains("pourbook characterise"),
        "{ran:?}"
    );
    let ran = bench.run(&["swatch", "slate", "--to", "chips", "--shop", "shop"]);
    assert!(ran.code == 0 && ran.err.contains("caution: colour not known"), "{ran:?}");
}
