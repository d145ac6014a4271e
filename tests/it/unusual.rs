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
        (
            "mass: \"150 g\"",
            "mass: \"200 kg\"",
            ":9:38",
            "unusual: a pot life stated for 200 kg (440.9 lb) of mix: is it read off the datasheet so? (g typed as kg? the mass of the whole kit?)",
        ),
        (
            "mass: \"150 g\"",
            "mass: \"4 g\"",
            ":9:38",
            "unusual: a pot life stated for 4 g (0.1 oz) of mix: is it read off the datasheet so? (kg typed as g?)",
        ),
        (
            "density_a: \"1.15 g/mL\",\n    density_b: \"0.97 g/mL\"",
            "density_a: \"0.98 g/mL\",\n    density_b: \"1.14 g/mL\"",
            ":7:16",
            "unusual: a hardener denser than its resin: part B 1.14 g/mL (9.514 lb/gal), part A 0.98 g/mL (8.178 lb/gal): is it read off the datasheet so? (A and B swapped?)",
        ),
        (
            "colorant: \"8 %\"",
            "colorant: \"60 %\"",
            ":11:26",
            "unusual: a ceiling of 60 % for all colorants: is it read off the datasheet so? (the point lost? that of one powder?)",
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

/// What is between what is asked about and what cannot be.
#[test]
fn a_figure_beyond_all_sense_is_refused_at_its_place() {
    for (from, to, place, words) in [
        ("\"150 g\"", "\"1e99 g\"", ":9:38", "no pot life is stated for less than 1 g of mix"),
        ("\"150 g\"", "\"0.5 g\"", ":9:38", "no pot life is stated for less than 1 g of mix"),
        ("ByVolume(2, 1)", "ByVolume(1e99, 1)", ":5:12", "no mix ratio is more than 1000 to 1"),
        ("ByVolume(2, 1)", "ByVolume(1, 1e99)", ":5:12", "no mix ratio is more than 1000 to 1"),
        ("ahew: 67", "ahew: 1e99", ":12:37", "AHEW must lie at 10–10,000 g/eq"),
    ] {
        let bench = Bench::demo();
        bench.change(FLOOD, from, to);
        for words_of in [
            &["check", "--shop", "shop"][..],
            &["plan", "--job", "galley-kitchen", "--shop", "shop"],
        ] {
            let ran = bench.run(words_of);
            assert_eq!(ran.code, 2, "{to}: {ran:?}");
            assert!(ran.err.contains(&format!("error: {words}")), "{to}: {}", ran.err);
            assert!(ran.err.contains(&format!("clear-flood.ron{place}")), "{to}: {}", ran.err);
            assert!(!ran.err.contains("NaN"), "{to}: {}", ran.err);
        }
    }
}

/// With more than twice the hardener that the equivalent weights ask for, or less than half, nothing cures.
#[test]
fn a_ratio_that_cannot_cure_is_refused_and_says_what_is_right() {
    for (ratio, words, right) in [
        // 168.7 g and 35.3 g of B to 100 g of A
        ("ByVolume(1, 2)", "378 % more", "with its parts the other way round it is ByVolume(2, 1)"),
        // 35.3/0.97 mL to 100/1.15 mL
        ("ByVolume(9, 1)", "73 % less", "by these weights it is about ByVolume(2.39, 1)"),
        ("ByMass(100, 75)", "113 % more", "by these weights it is about ByMass(100, 35.26)"),
    ] {
        let bench = Bench::demo();
        bench.change(FLOOD, "ByVolume(2, 1)", ratio);
        for words_of in [
            &["check", "--shop", "shop"][..],
            &["plan", "--job", "galley-kitchen", "--shop", "shop"],
            &["plan", "Tidewater Slate", "--kit", "1gal", "--shop", "shop"],
        ] {
            let ran = bench.run(words_of);
            assert_eq!(ran.code, 1, "{ratio}: {ran:?}");
            let told = ran.err.lines().filter(|line| line.starts_with("refused: the mix ratio"));
            assert_eq!(told.count(), 1, "{ratio}: {}", ran.err);
            assert!(ran.err.contains(words) && ran.err.contains(right), "{ratio}: {}", ran.err);
            assert!(ran.err.contains("clear-flood.ron:5:12"), "{ratio}: {}", ran.err);
            assert!(!ran.out.contains("HEED"), "{ratio}: nothing is planned: {}", ran.out);
        }
    }
    let bench = Bench::demo();
    bench.change(FLOOD, "ByVolume(2, 1)", "ByMass(100, 68)");
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "93 % more: {check:?}");
    assert!(check.err.contains("caution: the mix ratio asks for 68 g"), "{}", check.err);
}

#[test]
fn an_unusual_ceiling_of_a_colorant_is_told_by_check_and_plan() {
    let bench = Bench::demo();
    let paste = "colorants/titanium-white-paste.ron";
    let text = std::fs::read_to_string(bench.path("shop").join(paste)).unwrap();
    let line = text.lines().find(|line| line.trim_start().starts_with("ceiling: ")).unwrap();
    bench.change(paste, line, "    ceiling: \"50 %\",");
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "{check:?}");
    let words = "unusual: a ceiling of 50 %: is it read off the datasheet so?";
    assert!(check.err.contains(&format!("caution: {words}")), "{}", check.err);
    assert!(check.err.contains("titanium-white-paste.ron:"), "{}", check.err);
    let plan = bench.kitchen_text(&[]);
    assert!(plan.contains(&format!("titanium white paste: {words}")), "{plan}");
    assert!(plan.contains("HEED: titanium white paste: unusual: a ceiling of 50 %"), "{plan}");
}

#[test]
fn unusual_edges_faces_and_splashbacks_are_told_at_their_place() {
    let edges = "edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")]";
    for (from, to, place, words) in [
        (
            edges,
            "edges: [(length: \"1 ft 5 1/2 in\", face: \"1 1/2 in\")]",
            ":14:20",
            "all exposed edge together of \"galley\", 1 ft 5 1/2 in (445 mm), is unusually short for so long a counter: measured so?",
        ),
        (
            "(length: \"16 ft 7 in\", face: \"1 1/2 in\")",
            "(length: \"16 ft 7 in\", face: \"1 1/2 ft\")",
            ":14:50",
            "the face of edge 1 of \"galley\", 1 ft 6 in (457 mm), is unusually high: measured so?",
        ),
        (
            "(length: \"8 ft 4 in\", height: \"4 in\")",
            "(length: \"8 ft 4 in\", height: \"4 ft\")",
            ":15:",
            "splashback 2 of \"galley\", 4 ft (1.219 m), is unusually high: measured so?",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(KITCHEN, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 0, "{to}: {check:?}");
        assert!(check.err.contains(&format!("caution: {words}")), "{to}: {}", check.err);
        assert!(check.err.contains(&format!("galley-kitchen.ron{place}")), "{to}: {}", check.err);
        let plan = bench.kitchen_text(&[]);
        assert!(plan.contains("HEED: \"galley\": ") && plan.contains("measured so?"), "{plan}");
    }
}

#[test]
fn an_unusual_measure_is_told_at_its_shape_and_in_the_take_off() {
    let bench = Bench::demo();
    bench.change(KITCHEN, "a: \"12 ft 6 in\"", "a: \"24 ft 6 in\"");
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "{check:?}");
    let words =
        "caution: leg a of \"galley\", 24 ft 6 in (7.468 m), is unusually long: measured so?";
    assert!(check.err.contains(words), "{}", check.err);
    assert!(check.err.contains("galley-kitchen.ron:9:20"), "{}", check.err);
    let plan = bench.kitchen_text(&[]);
    assert!(plan.contains("leg a, 7.468 m, is unusually long: measured so?"), "{plan}");
    let heed = "HEED: \"galley\": leg a, 7.468 m, is unusually long: measured so?";
    assert!(plan.contains(heed), "before all else: {plan}");
    let sheet = bench.kitchen_text(&["--sheet", "mixing"]);
    let (heed, work) = (sheet.find("leg a, 7.468 m, is unusually long"), sheet.find("Mix:"));
    assert!(heed.is_some() && heed < work, "on the first page: {sheet}");
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
        let words =
            "caution: all of it together, 208 ft² (19.3 m²), is unusually large: measured so?";
        assert_eq!(check.err.contains(words), told, "{}", check.err);
        assert_eq!(check.err.contains("unusual"), told, "{}", check.err);
        let plan = bench.kitchen_text(&[]);
        assert_eq!(plan.contains("is unusually large: measured so?"), told, "{plan}");
    }
}
