//! What a hand at the bench reads before it weighs and pours: the ratio, the scale, where a container goes.

use crate::program::Bench;

fn words(more: &[&str]) -> String {
    let bench = Bench::demo();
    let mut all = vec!["plan", "--job", "galley-kitchen", "--shop", "shop"];
    all.extend(more);
    let ran = bench.run(&all);
    assert_eq!(ran.code, 0, "{ran:?}");
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A tin says 2 : 1 by volume and the scales show something else: both stand there, for whoever holds one against the
/// other.
#[test]
fn the_mix_ratio_is_told_by_volume_and_by_weight() {
    let plan = words(&[]);
    let told = "Part A to part B: 2 : 1 by volume by its file, which is 100 : 42.2 by weight (demo). Hold it against the tin.";
    assert!(plan.contains(told), "{plan}");
    let sheet = words(&["--sheet", "mixing"]);
    assert!(sheet.contains("Resin A and B __________ 100 : 42.2 g"), "{sheet}");
    let bench = Bench::demo();
    bench.change("systems/clear-flood.ron", "ByVolume(2, 1)", "ByMass(100, 45)");
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert!(
        ran.out.contains("Part A to part B: 100 : 45 by weight by its file (demo)."),
        "{ran:?}"
    );
}

/// All of one kind in one place would not look like the picture.
#[test]
fn each_kind_of_containers_is_spread_over_the_counter() {
    let plan = words(&[]);
    let told = "Spread each kind over the whole of the counter: ribbons here and there, with room beside them for the kinds that follow";
    assert!(plan.contains(told), "{plan}");
    let sheet = words(&["--sheet", "mixing"]);
    assert!(sheet.contains("33 containers in order, each kind over all, to 12.5 fl oz"), "{sheet}");
}

/// After an accent out of its own cup the container stands on another scale.
#[test]
fn a_layer_on_another_scale_than_the_one_before_names_it() {
    let sheet = words(&["--sheet", "mixing"]);
    let pour = sheet.split("1. low ink").nth(1).unwrap().split("2. top ink").next().unwrap();
    let after_ink = pour.split("slate").nth(1).unwrap().split("fog").next().unwrap();
    assert!(after_ink.contains("bench scale"), "{pour}");
}

/// A price is not a plan.
#[test]
fn an_options_price_says_what_it_does_not_say() {
    for more in [&[][..], &["--sheet", "buying"]] {
        let told = "options are priced, their clocks are not reckoned: before one is offered plan it by itself, by a copy of the job file";
        assert!(words(more).contains(told), "{more:?}");
    }
}

/// What is too much for one clock is most likely a slip of the tape.
#[test]
fn a_job_too_large_for_one_clock_says_what_to_look_at() {
    let bench = Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "L(a: \"12 ft 6 in\"", "L(a: \"1250 ft\"");
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.err.contains("look at the measures of its counters first"), "{}", ran.err);
}
