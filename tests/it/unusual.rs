//! What can be and is so unusual that a slip is likelier: told by `check` and in the plan, and in nobody's way.

use crate::program::Bench;

const FLOOD: &str = "systems/clear-flood.ron";
const KITCHEN: &str = "jobs/galley-kitchen.ron";

/// The demo with one figure changed, of which `check` cautions in these words at its place, and which is in nobody's way.
fn cautioned(file: &str, from: &str, to: &str, place: &str, words: &str) -> Bench {
    let bench = Bench::demo();
    bench.change(file, from, to);
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "{to}: {check:?}");
    assert!(check.err.contains(&format!("caution: {words}")), "{to}: {}", check.err);
    assert!(check.err.contains(&format!("{file}{place}")), "{to}: {}", check.err);
    bench
}

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
            "unusual: a mix ratio A : B of 100 : 1 by volume: is it read off the datasheet so? (did you mean 10 : 1? a nought too many?)",
        ),
        (
            "time: \"40 min\"",
            "time: \"35 h\"",
            ":9:22",
            "unusual: a pot life of 35 h: is it read off the datasheet so? (did you mean 35 min? minutes typed as h? the time to cure?)",
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
            "unusual: a pot life stated for 200 kg (440.9 lb) of mix: is it read off the datasheet so? (did you mean 200 g (7.1 oz)? oz typed as lb? g typed as kg? the mass of the whole kit?)",
        ),
        (
            "mass: \"150 g\"",
            "mass: \"8 lb\"",
            ":9:38",
            "unusual: a pot life stated for 3.6 kg (8 lb) of mix: is it read off the datasheet so? (did you mean 226.8 g (8 oz)? oz typed as lb?",
        ),
        (
            "mass: \"150 g\"",
            "mass: \"1.5 kg\"",
            ":9:38",
            "unusual: a pot life stated for 1.5 kg (3.3 lb) of mix: is it read off the datasheet so? (did you mean 150 g (5.3 oz)? oz typed as lb?",
        ),
        (
            "mass: \"150 g\"",
            "mass: \"1 gal\"",
            ":9:38",
            "unusual: a pot life stated for 4.1 kg (9.1 lb) of mix: is it read off the datasheet so? (oz typed as lb? g typed as kg? the mass of the whole kit?)",
        ),
        (
            "mass: \"150 g\"",
            "mass: \"4 g\"",
            ":9:38",
            "unusual: a pot life stated for 4 g (0.1 oz) of mix: is it read off the datasheet so? (did you mean 40 g (1.4 oz)? kg typed as g?)",
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
            "unusual: a ceiling of 60 % for all colorants: is it read off the datasheet so? (did you mean 6 %? that of one powder?)",
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

#[test]
fn the_masses_that_datasheets_state_a_pot_life_for_are_not_unusual() {
    for mass in ["20 g", "100 g", "8 oz", "1 lb", "1 kg", "1 qt"] {
        let bench = Bench::demo();
        bench.change(FLOOD, "mass: \"150 g\"", &format!("mass: \"{mass}\""));
        let check = bench.run(&["check", "--shop", "shop"]);
        assert!(!check.err.contains("unusual"), "{mass}: {}", check.err);
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

/// A ratio by mass that fits the equivalent weights of the same file only when it is read by volume was meant so.
#[test]
fn a_ratio_by_volume_typed_as_one_by_mass_is_asked_about() {
    for (weights, ratio, asks) in [
        ("(eew: 188, ahew: 80)", "ByMass(2, 1)", true),
        ("(eew: 188, ahew: 80)", "ByMass(100, 50)", true),
        ("(eew: 188, ahew: 94)", "ByMass(2, 1)", false),
        ("(eew: 188, ahew: 90)", "ByMass(2, 1)", false),
        ("(eew: 188, ahew: 86)", "ByMass(2, 1)", false),
        ("(eew: 188, ahew: 80)", "ByMass(100, 43)", false),
        ("(eew: 188, ahew: 80)", "ByVolume(2, 1)", false),
    ] {
        let bench = Bench::demo();
        bench.change(FLOOD, "(eew: 190, ahew: 67)", weights);
        bench.change(FLOOD, "ByVolume(2, 1)", ratio);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 0, "{weights} {ratio}: {check:?}");
        let parts = ratio.trim_start_matches("ByMass(").trim_end_matches(')');
        let told = format!(
            "caution: unusual: a mix ratio A : B of {} by mass where the equivalent weights ask for 100 : 42.6: is it read off the datasheet so? (did you mean ByVolume({parts}), which is 100 : 42.2 by mass?)",
            parts.replace(", ", " : "),
        );
        assert_eq!(check.err.contains(&told), asks, "{weights} {ratio}: {}", check.err);
        assert_eq!(check.err.contains("unusual"), asks, "{weights} {ratio}: {}", check.err);
    }
}

/// Where the counter itself is mistyped, its edges are as they were measured.
#[test]
fn edges_of_a_mistyped_counter_are_not_asked_about() {
    for (to, words) in [
        (
            "L(a: \"120 ft 6 in\", b: \"8 ft 4 in\", depth: \"25 1/2 in\")",
            "leg a of \"galley\", 120 ft 6 in (36.728 m), is unusually long: did you mean 12 ft 6 in (3.81 m)",
        ),
        (
            "Rectangle(\"120 ft 3 in\", \"25 1/2 in\")",
            "the longer side of \"galley\", 120 ft 3 in (36.652 m), is unusually long: did you mean 12 ft 3 in (3.734 m)",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(KITCHEN, "L(a: \"12 ft 6 in\", b: \"8 ft 4 in\", depth: \"25 1/2 in\")", to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert!(check.err.contains(words), "{to}: {}", check.err);
        assert!(!check.err.contains("edge"), "{to}: {}", check.err);
        assert_eq!(check.err.matches("did you mean").count(), 1, "{to}: {}", check.err);
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
            "all exposed edge together of \"galley\", 1 ft 5 1/2 in (445 mm), is unusually short for so long a counter: did you mean 17 ft 6 in (5.334 m), or 14 ft 7 in (4.445 m)?",
        ),
        (
            edges,
            "edges: [(length: \"14 in\", face: \"1 1/2 in\")]",
            ":14:20",
            "all exposed edge together of \"galley\", 1 ft 2 in (356 mm), is unusually short for so long a counter: did you mean 14 ft (4.267 m), or 11 ft 8 in (3.556 m)?",
        ),
        (
            "length: \"16 ft 7 in\"",
            "length: \"14 in\"",
            ":14:20",
            "all exposed edge together of \"galley\", 1 ft 9 1/2 in (546 mm), is unusually short for so long a counter: did you mean 14 ft (4.267 m), or 11 ft 8 in (3.556 m) for edge 1?",
        ),
        (
            "Rectangle(\"30 in\", \"17 3/4 in\")",
            "Rectangle(\"31 mm\", \"18 mm\")",
            ":11:17",
            "the cut-out \"sink\" of \"galley\", 1 1/4 in x 11/16 in (31 mm x 18 mm), is unusually small: did you mean 31 in x 18 in (787 mm x 457 mm)?",
        ),
        (
            "(length: \"16 ft 7 in\", face: \"1 1/2 in\")",
            "(length: \"16 ft 7 in\", face: \"1 1/2 ft\")",
            ":14:50",
            "the face of edge 1 of \"galley\", 1 ft 6 in (457 mm), is unusually high: did you mean 1 1/2 in (38 mm)?",
        ),
        (
            "(length: \"8 ft 4 in\", height: \"4 in\")",
            "(length: \"8 ft 4 in\", height: \"4 ft\")",
            ":15:",
            "splashback 2 of \"galley\", 4 ft (1.219 m), is unusually high: did you mean 4 in (102 mm)?",
        ),
    ] {
        let bench = cautioned(KITCHEN, from, to, place, words);
        let plan = bench.kitchen_text(&[]);
        assert!(plan.contains("HEED: \"galley\": ") && plan.contains("did you mean "), "{plan}");
    }
}

/// The front of the galley is 16 ft 7 in, that of the U 24 ft less four times 2 ft.
#[test]
fn edges_of_less_than_half_the_front_are_asked_about() {
    let l = "L(a: \"12 ft 6 in\", b: \"8 ft 4 in\", depth: \"25 1/2 in\")";
    let u = "U(left: \"6 ft\", back: \"12 ft 6 in\", right: \"5 ft 6 in\", depth: \"2 ft\")";
    let both = "[(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")]";
    for (shape, edge, told) in [
        (l, "8 ft 3 in", true),
        (l, "8 ft 4 in", false),
        (u, "7 ft 11 in", true),
        (u, "8 ft 1 in", false),
    ] {
        let bench = Bench::demo();
        bench.change(KITCHEN, l, shape);
        bench.change(KITCHEN, both, &format!("[(length: \"{edge}\", face: \"1 1/2 in\")]"));
        bench.change(KITCHEN, "\"17 3/4 in\"), at: (\"52 in\"", "\"17 3/4 in\"), at: (\"30 in\"");
        let check = bench.run(&["check", "--shop", "shop"]);
        let words = "is unusually short for so long a counter: measured so?";
        assert_eq!(check.err.contains(words), told, "{shape} {edge}: {}", check.err);
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
        bench.change(KITCHEN, "length: \"16 ft 7 in\"", "length: \"30 ft\"");
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

/// A figure ten times what is usual, or a tenth of it, in any file is asked about at its place before anything else is
/// offered.
#[test]
fn a_slipped_decimal_point_is_suspected_at_its_place() {
    const SLATE: &str = "colourways/tidewater-slate.ron";
    for (file, from, to, place, words) in [
        (SLATE, "film: \"3 mm\"", "film: \"30 mm\"", ":6:11", "did you mean 3 mm (118 mil)?"),
        (SLATE, "film: \"3 mm\"", "film: \"0.3 mm\"", ":6:11", "did you mean 3 mm (118 mil)?"),
        (SLATE, "\"2.8 %\"", "\"28 %\"", ":11:30", "did you mean 2.8 %?"),
        (SLATE, "\"2.8 %\"", "\"280 %\"", ":11:", "did you mean 2.8 %?"),
        (
            SLATE,
            "Accent(\"ink\", \"0.6 %\")",
            "Accent(\"ink\", \"6 %\")",
            ":16:60",
            "did you mean 0.6 %?",
        ),
        (
            FLOOD,
            "density_a: \"1.15 g/mL\"",
            "density_a: \"11.5 g/mL\"",
            ":6:16",
            "did you mean 1.15 g/mL (9.597 lb/gal)?",
        ),
        (
            FLOOD,
            "density_b: \"0.97 g/mL\"",
            "density_b: \"0.097 g/mL\"",
            ":7:16",
            "did you mean 0.97 g/mL (8.095 lb/gal)?",
        ),
        (
            KITCHEN,
            "length: \"16 ft 7 in\"",
            "length: \"166 ft 8 in\"",
            ":14:",
            "did you mean 16 ft 8 in (5.08 m)?",
        ),
        (
            KITCHEN,
            "depth: \"25 1/2 in\"",
            "depth: \"255 in\"",
            ":9:",
            "did you mean 25 1/2 in (648 mm) for the depth?",
        ),
        (
            KITCHEN,
            "depth: \"25 1/2 in\"",
            "depth: \"2 1/2 in\"",
            ":11:17",
            "the depth, 2 1/2 in (64 mm), is unusually narrow: did you mean 25 in (635 mm)?",
        ),
        (
            KITCHEN,
            "Rectangle(\"30 in\"",
            "Rectangle(\"31 ft\"",
            ":11:17",
            "did you mean 31 in x 17 3/4 in (787 mm x 451 mm) for the size of the cut-out?",
        ),
        (
            KITCHEN,
            "face_film: \"20 mil\"",
            "face_film: \"20 mm\"",
            ":18:16",
            "did you mean 2 mm (78.7 mil)?",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(file, from, to);
        let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
        assert!(ran.code > 0, "{to}: {ran:?}");
        let hint = ran.err.lines().find(|line| line.contains("= hint: ")).unwrap_or_default();
        assert!(hint.contains(words), "{to}: asked first: {}", ran.err);
        assert!(ran.err.contains(&format!(".ron{place}")), "{to}: {}", ran.err);
    }
}

/// What can be is planned all the same, and asked about under the title.
#[test]
fn a_slipped_decimal_point_of_a_figure_that_can_be_is_heeded() {
    const SLATE: &str = "colourways/tidewater-slate.ron";
    for (file, from, to, place, words) in [
        (
            SLATE,
            "\"16 fl oz\"",
            "\"160 fl oz\"",
            ":8:",
            "unusual: a container of 5 qt (4.73 L): is it meant so? (did you mean 16 fl oz (473 mL)?)",
        ),
        (
            FLOOD,
            "time: \"40 min\"",
            "time: \"400 min\"",
            ":9:22",
            "unusual: a pot life of 6 h 40 min: is it read off the datasheet so? (did you mean 40 min?",
        ),
        (
            FLOOD,
            "time: \"40 min\"",
            "time: \"4 min\"",
            ":9:22",
            "unusual: a pot life of 4 min: is it read off the datasheet so? (did you mean 40 min?",
        ),
        (
            KITCHEN,
            "a: \"12 ft 6 in\"",
            "a: \"125 ft\"",
            ":9:20",
            "leg a of \"galley\", 125 ft (38.1 m), is unusually long: did you mean 125 in (3.175 m), or 12 ft 6 in (3.81 m)?",
        ),
        (
            KITCHEN,
            "allowance: \"5 %\"",
            "allowance: \"50 %\"",
            ":19:",
            "the allowance, 50 %, is unusually large: did you mean 5 %?",
        ),
        (
            KITCHEN,
            "face_film: \"20 mil\"",
            "face_film: \"200 mil\"",
            ":18:16",
            "the film on upright faces, 200 mil (5.08 mm), is unusually thick: did you mean 20 mil (0.508 mm)?",
        ),
        (
            KITCHEN,
            "edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")],\n            splashbacks: [(length: \"12 ft 6 in\", height: \"4 in\"), (length: \"8 ft 4 in\", height: \"4 in\")],",
            "edges: [(length: \"31 ft\", face: \"1 1/2 in\")],",
            ":14:30",
            "the edge of \"galley\", 31 ft (9.449 m), is unusually long for a counter along its walls, more than its front and both ends: measured so?",
        ),
        // Cut-outs whose rims are not listed leave no room for a front that is ten feet too long.
        (
            KITCHEN,
            "length: \"16 ft 7 in\"",
            "length: \"26 ft 7 in\"",
            ":14:30",
            "edge 1 of \"galley\", 26 ft 7 in (8.103 m), is unusually long for a counter along its walls, more than its front and both ends: measured so?",
        ),
    ] {
        let bench = cautioned(file, from, to, place, words);
        let json = bench.kitchen_json();
        let heeds = json["heeds"].as_array().unwrap();
        let heeded = heeds.iter().any(|each| {
            let each = each.as_str().unwrap();
            each.contains("unusual")
                && (each.contains("did you mean ") || each.contains("measured so?"))
        });
        assert!(heeded, "{to}: {heeds:?}");
    }
}

/// Of a counter whose edges nobody states no run-off is counted, and the plan says so with what to write; none that says it
/// has none, and none where run-off is a share.
#[test]
fn a_plan_says_of_which_counter_no_run_off_is_counted() {
    let edges = "            edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")],\n";
    let told = |to: &str, losses: &str| {
        let bench = Bench::demo();
        bench.change(KITCHEN, edges, to);
        bench.change(KITCHEN, "losses: (allowance: \"5 %\")", losses);
        (bench.kitchen_text(&[]), bench.kitchen_text(&["--sheet", "mixing"]))
    };
    let usual = "losses: (allowance: \"5 %\")";
    let (plan, sheet) = told("", usual);
    let heed = "no run-off over edges is counted for \"galley\": the job states none of its edges. Write in it edges: [(length: \"…\", face: \"…\")] (the front of this L is \"16 ft 7 in\", each end \"2 ft 1 1/2 in\"), or edges: [] where nothing runs over";
    assert!(plan.contains(&format!("HEED: {heed}")), "{plan}");
    assert!(sheet.contains(heed), "{sheet}");
    assert!(plan.contains("no edge stated, so no run-off counted"), "{plan}");
    for (to, losses) in [
        ("            edges: [],\n", usual),
        ("", "losses: (run_off: Share(\"8 %\"))"),
        ("", "losses: (run_off: PerEdge(volume: \"0 mL\", per: \"1 m\"))"),
    ] {
        let (plan, sheet) = told(to, losses);
        assert!(!plan.contains("no run-off"), "{to}{losses}: {plan}");
        assert!(!sheet.contains("no run-off"), "{to}{losses}: {sheet}");
    }
}

/// What is too low is asked about as what is too high is: a splashback typed in mm for in is bought for otherwise.
#[test]
fn slips_that_make_a_job_too_small_are_told_at_their_place() {
    for (from, to, place, words) in [
        (
            "(length: \"8 ft 4 in\", height: \"4 in\")",
            "(length: \"8 ft 4 in\", height: \"4 mm\")",
            ":15:",
            "splashback 2 of \"galley\", 3/16 in (4 mm), is unusually low: did you mean 4 in (102 mm), or 400 mm (1 ft 3 3/4 in)?",
        ),
        (
            "(length: \"16 ft 7 in\", face: \"1 1/2 in\")",
            "(length: \"16 ft 7 in\", face: \"1.5 mm\")",
            ":14:",
            "the face of edge 1 of \"galley\", 1/16 in (1.5 mm), is unusually low: did you mean 1 1/2 in (38 mm), or 15 mm (9/16 in)?",
        ),
        (
            "Rectangle(\"30 in\", \"17 3/4 in\")",
            "Rectangle(\"30 in\", \"1.7 in\")",
            ":11:17",
            "the cut-out \"sink\" of \"galley\", 2 ft 6 in x 1 11/16 in (762 mm x 43 mm), is unusually narrow: did you mean 30 in x 17 in (762 mm x 432 mm)?",
        ),
        (
            "allowance: \"5 %\"",
            "allowance: \"0.1 %\"",
            ":19:",
            "the allowance, 0.1 %, is unusually small: did you mean 1 %?",
        ),
        (
            "humidity: \"55 %\"",
            "humidity: \"5.5 %\"",
            ":22:",
            "the humidity, 5.5 %, is unusually low: did you mean 55 %?",
        ),
    ] {
        let bench = cautioned(KITCHEN, from, to, place, words);
        let plan = bench.kitchen_text(&[]);
        assert!(plan.contains("HEED: ") && plan.contains("did you mean "), "{to}: {plan}");
    }
}

/// A price decides what is bought, and what a client is told: a slipped point of it is asked about before either.
#[test]
fn an_unusual_price_is_told_by_check_and_plan() {
    for (file, from, to, place, words) in [
        (
            FLOOD,
            "price: \"349 USD\"",
            "price: \"3.49 USD\"",
            ":17:",
            "unusual: 3.49 USD for 3 gal, 0.28 USD a kilogram: is it on the bill so? (did you mean 349.00 USD?",
        ),
        (
            FLOOD,
            "price: \"349 USD\"",
            "price: \"149 USD\"",
            ":17:",
            "unusual: 149.00 USD for 3 gal, less than 189.00 USD for 1.5 gal: is it on the bill so?",
        ),
        (
            "colorants/titanium-white-paste.ron",
            "price: \"112.00 USD\"",
            "price: \"1.12 USD\"",
            ":27:",
            "unusual: 1.12 USD for 5 lb, 0.49 USD a kilogram: is it on the bill so? (did you mean 112.00 USD?",
        ),
    ] {
        let plan = cautioned(file, from, to, place, words).kitchen_text(&[]);
        assert!(plan.contains("HEED: ") && plan.contains("look at the bill first"), "{to}: {plan}");
    }
}

/// A powder called a paste would have no caution for its dust.
#[test]
fn a_paste_without_a_carrier_is_asked_about() {
    let bench = Bench::demo();
    let paste = "colorants/titanium-white-paste.ron";
    bench.change(paste, "    solids: \"60 %\",\n", "");
    bench.change(paste, "    carrier: Epoxy(eew: 190),\n", "");
    let check = bench.run(&["check", "--shop", "shop"]);
    let words = "caution: unusual: a paste without a carrier: is it read off the datasheet so? (did you mean kind: Powder? solids and carrier left out?)";
    assert!(check.err.contains(words), "{}", check.err);
    let plan = bench.kitchen_text(&[]);
    assert!(plan.contains("HEED: titanium white paste: unusual: a paste without"), "{plan}");
}

/// A powder with a carrier is rather a paste, which is stirred in otherwise and does not dust.
#[test]
fn a_powder_with_a_carrier_is_asked_about() {
    let words = "unusual: a powder of which 40 % is carrier: is it read off the datasheet so? (did you mean kind: Paste?)";
    let place = ":4:11";
    cautioned("colorants/titanium-white-paste.ron", "kind: Paste", "kind: Powder", place, words);
}

/// Parts need not make a hundred; where one slip keeps them from it, it is asked about.
#[test]
fn parts_of_a_layer_with_a_slipped_point_are_asked_about() {
    const SLATE: &str = "colourways/tidewater-slate.ron";
    let words =
        "unusual: 600 parts of \"slate\" in \"low ink\": is it meant so? (did you mean 60 parts?)";
    let bench = cautioned(SLATE, "Base(\"slate\", 60)", "Base(\"slate\", 600)", ":16:", words);
    assert!(bench.kitchen_text(&[]).contains("HEED: unusual: 600 parts"));
    let bench = Bench::demo();
    bench.change(
        SLATE,
        "Base(\"slate\", 60), Base(\"fog\", 40)",
        "Base(\"slate\", 3), Base(\"fog\", 2)",
    );
    let check = bench.run(&["check", "--shop", "shop"]);
    assert!(!check.err.contains("unusual"), "{}", check.err);
}

/// Parts that come near a hundred and miss it are asked about where files are checked, and spoil no plan.
#[test]
fn parts_that_miss_a_hundred_are_told_by_check_alone() {
    for (parts, told) in [
        (
            [45.0, 45.0],
            Some(
                "sum to 90: fine if they are parts; if they are meant as per cent, 10 are missing",
            ),
        ),
        (
            [55.0, 55.0],
            Some(
                "sum to 110: fine if they are parts; if they are meant as per cent, 10 are too many",
            ),
        ),
        ([45.0, 55.0], None),
        ([33.3, 33.3], None),
        ([60.0, 70.0], None),
    ] {
        let bench = Bench::demo();
        let [fog, slate] = parts;
        let layers = format!("Base(\"fog\", {fog}), Base(\"slate\", {slate})");
        let path = "colourways/tidewater-slate.ron";
        if parts != [45.0, 55.0] {
            bench.change(path, "Base(\"fog\", 45), Base(\"slate\", 55)", &layers);
        }
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 0, "{check:?}");
        let words = "the parts of the pour \"top ink\" ";
        match told {
            Some(told) => assert!(check.err.contains(&format!("{words}{told}")), "{}", check.err),
            None => assert!(!check.err.contains(words), "{parts:?}: {}", check.err),
        }
        assert!(!bench.kitchen_text(&[]).contains(words));
    }
}

/// A front that is longer than it can be where its end is listed by itself; a splashback longer than its wall asks for the
/// side too.
#[test]
fn a_front_beside_its_end_is_no_longer_than_the_front() {
    let ends = "edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"25 1/2 in\", face: \"1 1/2 in\")]";
    let usual = "edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")]";
    let bench = Bench::demo();
    bench.change(KITCHEN, usual, ends);
    let check = || bench.run(&["check", "--shop", "shop"]);
    assert!(!check().err.contains("unusually long"), "{}", check().err);
    bench.change(KITCHEN, "a: \"12 ft 6 in\"", "a: \"10 ft 6 in\"");
    let asked = "write one splashback for each wall that it stands along, or is the counter's side mis-measured?";
    assert!(check().code == 2 && check().err.contains(asked), "{}", check().err);
    bench.change(KITCHEN, "(length: \"12 ft 6 in\"", "(length: \"10 ft 6 in\"");
    let words = "edge 1 of \"galley\", 16 ft 7 in (5.055 m), is unusually long for its front, beside an end that is listed by itself: measured so?";
    assert!(check().err.contains(words), "{}", check().err);
}

/// Every reason for which a plan says STOP is told, those of one kind together, and counted as what they are.
#[test]
fn every_stop_of_a_job_is_told_by_check() {
    let bench = Bench::demo();
    bench.change(KITCHEN, "crew: 2,", "crew: 1,");
    let check = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check.code, 0, "the files are sound: {check:?}");
    let says = "caution: the plan of \"boathouse galley kitchen\" says STOP: ";
    for why in [
        "a mix would be too hot as it is poured, and another likewise\n",
        "a mix would be poured after its pot life\n",
    ] {
        assert!(check.err.contains(&format!("{says}{why}")), "{why}: {}", check.err);
    }
    assert_eq!(check.err.matches("what would mend it is told by").count(), 1, "{}", check.err);
    assert!(check.out.ends_with("no mistakes, but look first at 2 STOPs\n"), "{}", check.out);
}

/// A file that is sound may still make a plan that must not be poured: `check` tells that of every job.
#[test]
fn a_job_whose_plan_says_stop_is_told_by_check() {
    for (file, from, to, words) in [
        (
            FLOOD,
            "time: \"40 min\"",
            "time: \"9 min\"",
            "the plan of \"boathouse galley kitchen\" says STOP: a mix would be poured after its pot life",
        ),
        (
            KITCHEN,
            "crew: 2,",
            "crew: 2, surface: \"52 °F\",",
            "the plan of \"boathouse galley kitchen\" says STOP: the air or the surface is not fit for it",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(file, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 0, "the files are sound: {check:?}");
        assert!(check.err.contains(&format!("caution: {words}")), "{to}: {}", check.err);
        let plan = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
        assert!(plan.code == 1 && plan.err.contains("STOP"), "{to}: {}", plan.err);
    }
}

/// A field that stands in another kind of file is told where.
#[test]
fn a_field_of_another_file_is_told_where_it_stands() {
    for (file, from, to, words) in [
        (
            KITCHEN,
            "crew: 2,",
            "crew: 2, film: \"5 mm\",",
            "'film' stands in the file of a recipe (colourways/) or a resin system (systems/)",
        ),
        (
            "colourways/tidewater-slate.ron",
            "film: \"3 mm\",",
            "film: \"3 mm\", crew: 2,",
            "'crew' stands in the file of a job (jobs/)",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(file, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert!(check.code == 2 && check.err.contains(words), "{to}: {}", check.err);
        assert!(!check.err.contains("it may hold"), "{}", check.err);
    }
}

/// What a slip makes larger or smaller in the losses, the house, a lot or a set is asked about as measures are.
#[test]
fn slips_of_losses_house_lot_and_set_are_asked_about() {
    const WHITE: &str = "colorants/titanium-white-paste.ron";
    const SLATE: &str = "colourways/tidewater-slate.ron";
    for (file, from, to, words) in [
        (
            KITCHEN,
            "losses: (allowance: \"5 %\")",
            "losses: (run_off: Share(\"85 %\"), allowance: \"5 %\")",
            "the run-off, 85 %, is unusually large: did you mean 8.5 %?",
        ),
        (
            KITCHEN,
            "losses: (allowance: \"5 %\")",
            "losses: (run_off: PerEdge(volume: \"1.5 L\", per: \"1 m\"), allowance: \"5 %\")",
            "the run-off, 15.5 fl oz a ft of edge (1.5 L a m of edge), is unusually large: did you mean 1.55 fl oz a ft of edge (150 mL a m of edge)?",
        ),
        (
            KITCHEN,
            "losses: (allowance: \"5 %\")",
            "losses: (cling: Film(\"5 mm\"), allowance: \"5 %\")",
            "the film on vessel walls, 197 mil (5 mm), is unusually thick: did you mean 0.5 mm (19.7 mil)?",
        ),
        (
            "house.ron",
            "fill: \"80 %\"",
            "fill: \"8 %\"",
            "unusual: a fill of 8 %: is it meant so? (did you mean 80 %?)",
        ),
        (
            WHITE,
            "solids: \"60 %\"",
            "solids: \"6 %\"",
            "unusual: a paste of 6 % solids: is it read off the datasheet so? (did you mean 60 %?)",
        ),
        (
            WHITE,
            "    carrier: Epoxy(eew: 190),\n",
            "    carrier: Epoxy(eew: 190),\n    lot: (name: \"W1\", strength: \"1040 %\"),\n",
            "unusual: a lot of 1040 % strength: is it read off the datasheet so? (did you mean 104 %?)",
        ),
        (
            SLATE,
            "count: 2,",
            "count: 2000,",
            "unusual: 2000 containers of \"low ink\" in one set: is it meant so? (a nought too many?)",
        ),
        (
            FLOOD,
            "film: (\"1.5 mm\", \"6 mm\")",
            "film: (\"1.5 mm\", \"76 mm\")",
            "unusual: films of 1.5 mm (59.1 mil) to 76 mm (2992 mil): is it read off the datasheet so?",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(file, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert!(check.err.contains(&format!("caution: {words}")), "{to}: {}", check.err);
        assert!(check.err.contains(file), "{to}: {}", check.err);
        let plan = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
        assert!(plan.contains("HEED: "), "{to}: {plan}");
    }
}

/// A scale bears the vessel too: a mix that fills its capacity alone would overload it as part B goes in.
#[test]
fn a_mix_leaves_its_scale_room_for_the_vessel() {
    let bench = Bench::demo();
    bench.change("house.ron", "capacity: \"15 kg\"", "capacity: \"2.8 kg\"");
    let plan = bench.kitchen_json();
    let mut seen = 0;
    for mix in
        plan["bases"].as_array().unwrap().iter().flat_map(|base| base["mixes"].as_array().unwrap())
    {
        let with_vessel =
            mix["mass_g"].as_f64().unwrap() + 0.075 * mix["vessel_ml"].as_f64().unwrap();
        assert!(with_vessel <= 2800.0 + 5.0, "{mix}");
        seen += 1;
    }
    assert!(seen > 3, "{plan}");
}
