//! What can be and is so unusual that a slip is likelier: told by `check` and in the plan, and in nobody's way.

use crate::program::Bench;

const FLOOD: &str = "systems/clear-flood.ron";
const KITCHEN: &str = "jobs/galley-kitchen.ron";

#[test]
fn the_demo_has_nothing_unusual() {
    let bench = Bench::demo();
    let check = bench.run(&["check", "--shop", "shop"]);
    assert!(!check.err.contains("unusual"), "{}", check.err);
    for job in ["galley-kitchen", "curved-bar", "round-table", "sample-board"] {
        let plan = bench.run(&["plan", "--job", job, "--shop", "shop"]);
        assert!(!plan.out.contains("unusual"), "{job}: {}", plan.out);
    }
}

#[test]
fn an_unusual_figure_of_a_datasheet_is_told_by_check_and_plan() {
    for (from, to, place, words) in [
        (
            "ByVolume(2, 1)",
            "ByVolume(1, 100)",
            ":5:12",
            "unusual: a mix ratio A : B of 1 : 100 by volume: is it read off the datasheet so? (A and B swapped?)",
        ),
        (
            "ByVolume(2, 1)",
            "ByVolume(100, 1)",
            ":5:12",
            "unusual: a mix ratio A : B of 100 : 1 by volume: is it read off the datasheet so? (a nought too many?)",
        ),
        (
            "time: \"40 min\"",
            "time: \"35 h\"",
            ":9:22",
            "unusual: a pot life of 35 h: is it read off the datasheet so? (minutes typed as h? the time to cure?)",
        ),
        (
            "density_a: \"1.15 g/mL\"",
            "density_a: \"2.15 g/mL\"",
            ":6:16",
            "unusual: a density of part A of 2.15 g/mL (17.94 lb/gal): is it read off the datasheet so?",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(FLOOD, "    stoichiometry: (eew: 190, ahew: 67),\n", "");
        bench.change(FLOOD, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 0, "{to}: told, and in nobody's way: {check:?}");
        let line = check.err.lines().find(|line| line.contains("unusual")).unwrap_or_default();
        assert!(line.starts_with(&format!("caution: {words}")), "{to}: {}", check.err);
        assert!(check.err.contains(&format!("clear-flood.ron{place}")), "{to}: {}", check.err);
        let plan = bench.kitchen_text(&[]);
        assert!(plan.contains(words), "{to}: {plan}");
        let json = bench.kitchen_json();
        let heeds = json["heeds"].as_array().unwrap();
        let heeded = heeds.iter().any(|each| each.as_str().unwrap().contains("unusual: a "));
        assert!(heeded, "{to}: before all else: {heeds:?}");
    }
}

/// A ratio that looks swapped and that the equivalent weights of the same file bear out is none to be asked about, and one
/// that they deny is told once.
#[test]
fn equivalent_weights_speak_before_what_is_usual() {
    for (weights, told) in [("(eew: 100, ahew: 168)", false), ("(eew: 190, ahew: 67)", true)] {
        let bench = Bench::demo();
        bench.change(FLOOD, "(eew: 190, ahew: 67)", weights);
        bench.change(FLOOD, "ByVolume(2, 1)", "ByVolume(1, 2)");
        let check = bench.run(&["check", "--shop", "shop"]);
        assert!(!check.err.contains("unusual"), "{}", check.err);
        assert_eq!(check.err.contains("its parts look swapped"), told, "{}", check.err);
    }
}

#[test]
fn an_unusual_measure_is_told_at_its_shape_and_in_the_take_off() {
    let bench = Bench::demo();
    bench.change(KITCHEN, "a: \"12 ft 6 in\"", "a: \"24 ft 6 in\"");
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "{check:?}");
    let words = "note: leg a of \"galley\", 24 ft 6 in (7.468 m), is unusually long: measured so?";
    assert!(check.err.contains(words), "{}", check.err);
    assert!(check.err.contains("galley-kitchen.ron:9:20"), "{}", check.err);
    let plan = bench.kitchen_text(&[]);
    assert!(plan.contains("leg a, 7.468 m, is unusually long: measured so?"), "{plan}");
    let told = &bench.kitchen_json()["take_off"]["counters"][0]["unusual"];
    assert_eq!(told.as_array().unwrap().len(), 1, "{told}");
}

/// No leg is unusual, and yet the whole is.
#[test]
fn an_unusually_large_job_is_told_of_all_of_it() {
    for (leg, told) in [("19 ft", false), ("20 ft", true)] {
        let bench = Bench::demo();
        let shape =
            format!("U(left: \"{leg}\", back: \"{leg}\", right: \"{leg}\", depth: \"4 ft\")");
        let l = "L(a: \"12 ft 6 in\", b: \"8 ft 4 in\", depth: \"25 1/2 in\")";
        bench.change(KITCHEN, l, &shape);
        let check = bench.run(&["check", "--shop", "shop"]);
        // 4·20 + 2·16·4 ft²
        let words = "note: all of it together, 208 ft² (19.3 m²), is unusually large: measured so?";
        assert_eq!(check.err.contains(words), told, "{}", check.err);
        assert_eq!(check.err.contains("unusual"), told, "{}", check.err);
        let plan = bench.kitchen_text(&[]);
        assert_eq!(plan.contains("is unusually large: measured so?"), told, "{plan}");
    }
}
