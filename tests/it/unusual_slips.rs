//! One slip of each figure that can be, asked about at its place in the words of the person's units; beside each the
//! figure that a real shop may well have, which is not asked about.

use crate::program::Bench;

const FLOOD: &str = "systems/clear-flood.ron";
const KITCHEN: &str = "jobs/galley-kitchen.ron";
const TABLE: &str = "jobs/round-table.ron";
const BOARD: &str = "jobs/sample-board.ron";
const SLATE: &str = "colourways/tidewater-slate.ron";
const WHITE: &str = "colorants/titanium-white-paste.ron";
const HOUSE: &str = "house.ron";

/// What stands in a file of the demo, and a place in it to which figures are added that the demo leaves as is usual.
const ROOM: &str = "temperature: \"72 °F\"";
const STATED: &str = "temperature: \"77 °F\"";
const LOSSES: &str = "losses: (allowance: \"5 %\")";
const LARGEST: &str = "largest_mix: \"3 kg\",";
const ALL_AROUND: &str = "length: \"11 ft\"";
const SINK: &str = "Rectangle(\"30 in\", \"17 3/4 in\")";
const END: &str = "(length: \"7 1/2 in\"";
const CLEAR: &str = "absorption_per_mm: 0.002";
const WHITES: &str = "{ \"titanium white paste\": \"2.8 %\", \"yellow oxide paste\": \"0.12 %\", \"carbon black paste\": \"0.02 %\" }";

/// What `check` says of the demo with one figure changed.
fn checked(file: &str, from: &str, to: &str) -> crate::program::Ran {
    let bench = Bench::demo();
    bench.change(file, from, to);
    bench.run(&["check", "--shop", "shop"])
}

/// A slip, and what `check` asks about it at its place.
struct Slip {
    file: &'static str,
    from: &'static str,
    to: &'static str,
    place: &'static str,
    words: &'static str,
}

/// Each slip is asked about once, also where something else stops the plan for it.
fn asked(slips: &[Slip]) {
    for Slip { file, from, to, place, words } in slips {
        let check = checked(file, from, to);
        let told = check.err.matches(&format!("caution: {words}")).count();
        assert_eq!(told, 1, "{to}: {}", check.err);
        assert!(check.err.contains(&format!("{file}{place}")), "{to}: {}", check.err);
    }
}

/// What a real shop may well have is not asked about.
fn not_asked(figures: &[(&str, &str, &str)]) {
    for (file, from, to) in figures {
        let check = checked(file, from, to);
        assert!(check.code < 2, "{to}: {check:?}");
        assert!(!check.err.contains("did you mean"), "{to}: {}", check.err);
        assert!(!check.err.contains("unusual"), "{to}: {}", check.err);
    }
}

macro_rules! slips {
    ($(($file:expr, $from:expr, $to:expr, $place:expr, $words:expr $(,)?)),* $(,)?) => {
        &[$(Slip { file: $file, from: $from, to: $to, place: $place, words: $words }),*]
    };
}

#[test]
fn a_temperature_in_the_wrong_unit_is_asked_about() {
    asked(slips![
        (
            KITCHEN,
            ROOM,
            "temperature: \"22 °F\"",
            ":21:18",
            "the room's temperature, 22 °F (-5.6 °C), is unusually low: did you mean 22 °C (72 °F)?",
        ),
        (
            KITCHEN,
            ROOM,
            "temperature: \"72 °F\", parts: \"-20 °C\"",
            ":21:",
            "the temperature of the parts, -4 °F (-20 °C), is unusually low: did you mean 20 °C (68 °F)?"
        ),
        (
            KITCHEN,
            ROOM,
            "temperature: \"72 °F\", surface: \"60 °C\"",
            ":21:",
            "the surface's temperature, 140 °F (60 °C), is unusually high: did you mean 60 °F (16 °C)?"
        ),
        // -4 °C is 24.8 °F: nobody typed that.
        (
            KITCHEN,
            ROOM,
            "temperature: \"-4 °C\"",
            ":21:18",
            "the room's temperature, 24.8 °F (-4 °C), is unusually low: measured so?",
        ),
        (
            FLOOD,
            STATED,
            "temperature: \"35 °F\"",
            ":9:",
            "unusual: a pot life stated at 1.7 °C (35.0 °F): is it read off the datasheet so? (did you mean 35 °C (95 °F)?)",
        ),
        (
            FLOOD,
            "recoat:",
            "lowest_temperature: \"16 °F\", recoat:",
            ":10:",
            "unusual: a lowest temperature of -8.9 °C (16.0 °F): is it read off the datasheet so? (did you mean 16 °C (61 °F)?)"
        ),
    ]);
    not_asked(&[
        (KITCHEN, ROOM, "temperature: \"60 °F\""),
        (KITCHEN, ROOM, "temperature: \"95 °F\", surface: \"45 °C\", parts: \"104 °F\""),
        (FLOOD, STATED, "temperature: \"20 °C\""),
        (FLOOD, "recoat:", "lowest_temperature: \"50 °F\", recoat:"),
    ]);
}

#[test]
fn a_ceiling_or_a_loading_that_slipped_is_asked_about() {
    asked(slips![
        (
            FLOOD,
            "solvent: \"2 %\"",
            "solvent: \"90 %\"",
            ":11:",
            "unusual: a ceiling of 90 % for solvent: is it read off the datasheet so? (did you mean 0.9 %?)"
        ),
        (
            FLOOD,
            "colorant: \"8 %\"",
            "colorant: \"0.08 %\"",
            ":11:",
            "unusual: a ceiling of 0.08 % for all colorants: is it read off the datasheet so? (did you mean 8 %?)"
        ),
        (
            WHITE,
            "ceiling: \"6 %\"",
            "ceiling: \"0.06 %\"",
            ":9:",
            "unusual: a ceiling of 0.06 %: is it read off the datasheet so? (did you mean 6 %?)",
        ),
        (
            SLATE,
            WHITES,
            "{ \"titanium white paste\": \"0.005 %\" }",
            ":11:",
            "unusual: a base \"fog\" of 0.005 % colorant: is it meant so? (did you mean 0.5 %?)"
        ),
    ]);
    not_asked(&[
        (FLOOD, "solvent: \"2 %\"", "solvent: \"0 %\""),
        (FLOOD, "solvent: \"2 %\"", "solvent: \"10 %\""),
        (SLATE, WHITES, "{ \"titanium white paste\": \"0.02 %\" }"),
        (SLATE, WHITES, "{}"),
    ]);
}

#[test]
fn a_figure_of_the_house_that_slipped_is_asked_about() {
    asked(slips![
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3000 kg\",",
            ":",
            "unusual: a largest mix of 3000 kg (6613.9 lb): is it meant so? (did you mean 3 kg (6.6 lb)?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", near_ceiling: \"90 %\",",
            ":",
            "unusual: a margin of 90 % under a ceiling: is it meant so? (did you mean 10 %?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", near_ceiling: \"0.1 %\",",
            ":",
            "unusual: a margin of 0.1 % under a ceiling: is it meant so? (did you mean 10 %?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", match_within: 20,",
            ":",
            "unusual: colours that match within 20 ΔE00: is it meant so? (did you mean 2 ΔE00?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", off_ratio_limit: \"0.05 %\",",
            ":",
            "unusual: an off-ratio limit of 0.05 %: is it meant so? (did you mean 5 %?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", off_ratio_caution: \"20 %\",",
            ":",
            "unusual: an off-ratio caution of 20 %: is it meant so? (did you mean 2 %?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", container: \"16 gal\",",
            ":",
            "unusual: a container of 16 gal (60.6 L): is it meant so? (did you mean 16 fl oz (473 mL)?)"
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"3 kg\", cling_film: \"100 mil\",",
            ":",
            "unusual: a film of 100 mil (2.54 mm) on vessel walls: is it meant so? (did you mean 10 mil (0.254 mm)?)"
        ),
        (HOUSE, "\"2 gal\"]", "\"2000 gal\"]", ":", "unusual: a vessel of 2000 gal"),
        (
            HOUSE,
            "capacity: \"15 kg\"",
            "capacity: \"15 g\"",
            ":",
            "unusual: a capacity of 15 g (0.5 oz) of the bench scale: is it meant so? (did you mean 15 kg (33.1 lb)?)"
        ),
    ]);
    not_asked(&[
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"10 kg\", near_ceiling: \"25 %\", match_within: 2, container: \"1 qt\",",
        ),
        (
            HOUSE,
            LARGEST,
            "largest_mix: \"1 lb\", off_ratio_limit: \"3 %\", off_ratio_caution: \"1 %\", cling_film: \"10 mil\",",
        ),
        (HOUSE, "\"2 gal\"]", "\"2 gal\", \"8 fl oz\", \"55 gal\"]"),
        (HOUSE, "capacity: \"15 kg\"", "capacity: \"1 kg\""),
    ]);
}

#[test]
fn a_loss_far_below_what_is_usual_is_asked_about() {
    asked(slips![
        (
            KITCHEN,
            LOSSES,
            "losses: (run_off: Share(\"0.1 %\"))",
            ":19:",
            "the run-off, 0.1 %, is unusually small: did you mean 10 %?"
        ),
        (
            KITCHEN,
            LOSSES,
            "losses: (cling: Share(\"0.1 %\"))",
            ":19:",
            "what clings to vessels, 0.1 %, is unusually small: did you mean 10 %?"
        ),
        (
            KITCHEN,
            LOSSES,
            "losses: (run_off: PerEdge(volume: \"1.5 mL\", per: \"1 m\"))",
            ":19:",
            "the run-off, 0.0155 fl oz a ft of edge (1.5 mL a m of edge), is unusually small: did you mean 1.55 fl oz a ft of edge (150 mL a m of edge)?"
        ),
        (
            KITCHEN,
            LOSSES,
            "losses: (cling: Film(\"0.5 mil\"))",
            ":19:",
            "the film on vessel walls, 0.5 mil"
        ),
        (
            KITCHEN,
            LOSSES,
            "losses: (allowance: \"0.05 %\")",
            ":19:",
            "the allowance, 0.05 %, is unusually small: did you mean 5 %?"
        ),
    ]);
    not_asked(&[
        (
            KITCHEN,
            LOSSES,
            "losses: (run_off: Share(\"2 %\"), cling: Share(\"0.5 %\"), allowance: \"1 %\")",
        ),
        (
            KITCHEN,
            LOSSES,
            "losses: (run_off: Share(\"0 %\"), cling: Film(\"0 mm\"), allowance: \"0 %\")",
        ),
        (KITCHEN, LOSSES, "losses: (run_off: PerEdge(volume: \"10 mL\", per: \"1 ft\"))"),
    ]);
}

#[test]
fn a_size_that_slipped_is_asked_about() {
    asked(slips![
        (
            KITCHEN,
            "\"1400 ft3\"",
            "\"14 ft3\"",
            ":23:",
            "the room, 14 ft3 (396 L), is unusually small: did you mean 1400 ft3 (39.6 m3)?"
        ),
        (
            KITCHEN,
            "\"1400 ft3\"",
            "\"40 L\"",
            ":23:",
            "the room, 1.4 ft3 (40 L), is unusually small: did you mean 40 m3 (1412.6 ft3)?"
        ),
        (
            BOARD,
            "\"600x600mm\"",
            "\"6x6mm\"",
            ":7:",
            "board 1, 1/4 in x 1/4 in (6 mm x 6 mm), is unusually small: did you mean 6 in x 6 in (152 mm x 152 mm)?"
        ),
        (
            BOARD,
            "boards:",
            "area: \"42 mm2\", boards:",
            ":7:",
            "the area, 0.07 in² (42 mm²), is unusually small: did you mean 42 ft² (3.9 m²)?"
        ),
        (
            BOARD,
            "boards:",
            "area: \"42 m2\", boards:",
            ":7:",
            "the area, 452 ft² (42 m²), is unusually large: did you mean 42 ft² (3.9 m²)?"
        ),
        (
            TABLE,
            ALL_AROUND,
            "length: \"11 in\"",
            ":7:",
            "the edge of \"table\", 11 in (279 mm), is unusually short for the rim of so wide a circle: did you mean 11 ft (3.353 m)?"
        ),
        (
            TABLE,
            "shape: Circle(\"42 in\"), edges: [(length: \"11 ft\", face: \"1 1/4 in\")]",
            "shape: Circle(\"42 mm\")",
            ":7:",
            "the circle of \"table\", 1 5/8 in (42 mm), is unusually small: did you mean 42 in (1.067 m)?"
        ),
        (
            SLATE,
            "\"16 fl oz\"",
            "\"16 gal\"",
            ":8:",
            "unusual: a container of 16 gal (60.6 L): is it meant so? (did you mean 16 fl oz (473 mL)?)"
        ),
        (
            FLOOD,
            "(\"4 h\", \"24 h\")",
            "(\"4 h\", \"900 h\")",
            ":10:",
            "unusual: a latest recoat after 900 h: is it read off the datasheet so? (did you mean 90 h?)"
        ),
        (
            FLOOD,
            "(\"4 h\", \"24 h\")",
            "(\"4 min\", \"24 h\")",
            ":10:",
            "unusual: an earliest recoat after 4 min: is it read off the datasheet so? (did you mean 4 h?)"
        ),
        (
            FLOOD,
            CLEAR,
            "absorption_per_mm: 0.2",
            ":13:",
            "unusual: a clear film that absorbs 0.2 a mm in every band: is it read off the datasheet so? (did you mean 0.002?)"
        ),
        (
            KITCHEN,
            SINK,
            "Rectangle(\"30 mm\", \"17 3/4 mm\")",
            ":11:",
            "the cut-out \"sink\" of \"galley\", 1 3/16 in x 11/16 in (30 mm x 18 mm), is unusually small: did you mean 30 in x 17 3/4 in (762 mm x 451 mm)?"
        ),
        (
            KITCHEN,
            "a: \"12 ft 6 in\"",
            "a: \"11.4 m\"",
            ":9:",
            "leg a of \"galley\", 37 ft 4 13/16 in (11.4 m), is unusually long: did you mean 11 ft 4 in (3.454 m), or 1.14 m (3 ft 8 7/8 in)?"
        ),
        (
            KITCHEN,
            END,
            "(length: \"95 1/2 mm\"",
            ":14:",
            "edge 2 of \"galley\", 3 3/4 in (96 mm), is unusually short: did you mean 95 1/2 in (2.426 m) for the rim of the cut-out \"sink\"?"
        ),
    ]);
    not_asked(&[
        (KITCHEN, "\"1400 ft3\"", "\"160 ft3\""),
        (KITCHEN, "\"1400 ft3\"", "\"50000 ft3\""),
        (BOARD, "\"600x600mm\"", "\"3 x 4 in\""),
        (BOARD, "\"600x600mm\"", "\"4 x 8 ft\""),
        (BOARD, "boards:", "area: \"1 ft2\", boards:"),
        (TABLE, ALL_AROUND, "length: \"4 ft\""),
        (
            TABLE,
            "shape: Circle(\"42 in\"), edges: [(length: \"11 ft\", face: \"1 1/4 in\")]",
            "shape: Circle(\"4 in\")",
        ),
        (SLATE, "\"16 fl oz\"", "\"1 gal\""),
        (FLOOD, "(\"4 h\", \"24 h\")", "(\"30 min\", \"7 d\")"),
        (FLOOD, "(\"4 h\", \"24 h\")", "(\"2 d\", \"14 d\")"),
        (FLOOD, CLEAR, "absorption_per_mm: 0.02"),
        (KITCHEN, SINK, "Rectangle(\"15 in\", \"10 in\")"),
        (KITCHEN, "a: \"12 ft 6 in\"", "a: \"13 ft\""),
        (KITCHEN, END, "(length: \"8 in\""),
    ]);
}

#[test]
fn a_price_is_asked_about_where_it_is_the_odd_one() {
    let all = "(size: \"4 oz\", price: \"9.50 USD\")";
    asked(slips![
        (
            WHITE,
            all,
            "(size: \"4 oz\", price: \"105 USD\")",
            ":",
            "unusual: 105.00 USD for 4 oz, more than 27.00 USD for 1 lb: is it on the bill so? (did you mean 10.50 USD?"
        ),
        (
            WHITE,
            all,
            "(size: \"4 oz\", price: \"9.50 USD\"), (size: \"4 oz\", price: \"14 USD\")",
            ":",
            "unusual: 4 oz at two prices, 9.50 USD and 14.00 USD: is it on the bill so? (which of them holds?) Plans buy the cheaper one"
        ),
        (
            WHITE,
            "\"112.00 USD\"",
            "\"1120 USD\"",
            ":",
            "unusual: 1120.00 USD for 5 lb, by mass 6 times as dear as 9.50 USD for 4 oz"
        ),
    ]);
    not_asked(&[
        (
            WHITE,
            all,
            "(size: \"4 oz\", price: \"9.50 USD\"), (size: \"4 oz\", price: \"10.50 USD\")",
        ),
        (WHITE, "\"112.00 USD\"", "\"150 USD\""),
    ]);
}

/// A slip that is an error has what was likely meant as its first hint.
#[test]
fn what_was_likely_meant_is_the_first_hint_of_an_error() {
    for (file, from, to, place, words) in [
        (KITCHEN, ROOM, "temperature: \"72 °C\"", ":21:", "did you mean 72 °F (22 °C)?"),
        (
            KITCHEN,
            ROOM,
            "temperature: \"72 °F\", surface: \"160 °C\"",
            ":21:",
            "did you mean 16 °C (61 °F)?",
        ),
        (FLOOD, STATED, "temperature: \"77 °C\"", ":9:", "did you mean 77 °F (25 °C)?"),
        (
            FLOOD,
            "recoat:",
            "lowest_temperature: \"60 °C\", recoat:",
            ":10:",
            "did you mean 60 °F (16 °C)?",
        ),
        (SLATE, "film: \"3 mm\"", "film: \"1.8 in\"", ":6:", "did you mean 1/8 in (3.18 mm)?"),
        (
            KITCHEN,
            "\"1400 ft3\"",
            "\"10 ft x 12 in x 8 ft\"",
            ":23:",
            "did you mean feet for inches? Then write \"960 ft3\"",
        ),
        (
            FLOOD,
            "ByVolume(2, 1)",
            "ByMass(100, 420)",
            ":5:",
            "did you mean ByMass(100, 42)? Write what the datasheet states",
        ),
        (
            FLOOD,
            "ByVolume(2, 1)",
            "ByVolume(20, 1)",
            ":5:",
            "did you mean ByVolume(2, 1)? Write what the datasheet states",
        ),
    ] {
        let check = checked(file, from, to);
        assert!(check.code > 0, "{to}: {check:?}");
        let hint = check.err.lines().find(|line| line.contains("= hint: ")).unwrap_or_default();
        assert!(hint.contains(words), "{to}: first: {}", check.err);
        assert!(check.err.contains(&format!("{file}{place}")), "{to}: {}", check.err);
        let errors = check.err.lines().filter(|line| line.starts_with("error: ")).count();
        assert!(errors <= 1, "{to}: once: {}", check.err);
    }
}

/// Neither the demo nor what `start` writes for a new shop has anything to be asked about, with its skeletons put in place.
#[test]
fn no_shop_that_start_writes_is_asked_about() {
    for words in [&["start", "own"][..], &["start", "own", "--empty"]] {
        let bench = Bench::demo();
        let start = bench.run(words);
        assert_eq!(start.code, 0, "{start:?}");
        for noun in ["system", "colorant", "colourway", "job"] {
            let skeleton = bench.path(&format!("own/skeletons/{noun}.ron"));
            if let Ok(text) = std::fs::read(&skeleton) {
                std::fs::write(bench.path(&format!("own/{noun}s/own.ron")), text).unwrap();
            }
        }
        let check = bench.run(&["check", "--shop", "own"]);
        assert!(check.code < 2, "{words:?}: {check:?}");
        assert!(!check.err.contains("unusual"), "{words:?}: {}", check.err);
        assert!(!check.err.contains("did you mean"), "{words:?}: {}", check.err);
    }
}
