//! What a tired hand types into the demo's files with only their look to go by: each slip is told once, with what
//! would be right, and hides no other.

use std::fmt::Write as _;

use pourbook::diagnostic::Diagnostics;

use crate::bad_files::{colorant, colourway, house, job, system};
use crate::program::Bench;
use crate::small_shop::changed;

const SYSTEM: &str = include_str!("../../recipes/systems/clear-flood.ron");
const COLORANT: &str = include_str!("../../recipes/colorants/iron-oxide-black-paste.ron");
const COLOURWAY: &str = include_str!("../../recipes/colourways/salt-marsh.ron");
const JOB: &str = include_str!("../../recipes/jobs/galley-kitchen.ron");
const HOUSE: &str = include_str!("../../recipes/house.ron");

/// What each slip leads to; of each one mistake is told.
fn told(
    text: &str,
    read: impl Fn(&str) -> Result<(), Diagnostics>,
    slips: &[(&str, &str)],
) -> String {
    let mut out = String::new();
    for (from, to) in slips {
        let found = read(&changed(text, from, to)).expect_err(to);
        assert_eq!(found.0.len(), 1, "{to}: {found}");
        writeln!(out, "{from}  ->  {to}\n{found}\n").unwrap();
    }
    out
}

const BRACKETS_OF_A_SYSTEM: [(&str, &str); 17] = [
    ("ByVolume(2, 1)", "ByVolume(2, 1"),
    ("ByVolume(2, 1)", "ByVolume 2, 1)"),
    ("ByVolume(2, 1)", "ByVolume 2, 1"),
    ("ByVolume(2, 1)", "ByVolume 2:1"),
    ("ByVolume(2, 1)", "ByVolume(2:1)"),
    ("ByVolume(2, 1)", "ByVolume[2, 1]"),
    ("ByVolume(2, 1)", "\"ByVolume(2, 1)\""),
    ("(\"1.5 mm\", \"6 mm\")", "(\"1.5 mm\", \"6 mm\""),
    ("(\"1.5 mm\", \"6 mm\")", "\"1.5 mm\", \"6 mm\""),
    ("(\"1.5 mm\", \"6 mm\")", "[\"1.5 mm\", \"6 mm\"]"),
    ("(\"1.5 mm\", \"6 mm\")", "\"1.5 mm to 6 mm\""),
    ("temperature: \"77 °F\")", "temperature: \"77 °F\""),
    ("(size: \"48 fl oz\", price: \"62 USD\")", "size: \"48 fl oz\", price: \"62 USD\""),
    ("    standing: Demo,\n)", "    standing: Demo\n"),
    ("(\n    version: 1,", "version: 1,"),
    ("(\n    version: 1,", "{\n    version: 1,"),
    ("\n    standing: Demo,\n)", "\n    standing: Demo,\n]"),
];

#[test]
fn slips_in_a_system() {
    let brackets = told(SYSTEM, system, &BRACKETS_OF_A_SYSTEM);
    let others = told(
        SYSTEM,
        system,
        &[
            ("ByVolume(2, 1)", "ByVolume(2 1)"),
            ("ByVolume(2, 1)", "ByVolume(2; 1)"),
            ("ByVolume(2, 1)", "By Volume(2, 1)"),
            ("ByVolume(2, 1)", "by volume 2:1"),
            ("ByVolume(2, 1)", "\"2:1 by weight\""),
            ("ByVolume(2, 1)", "2 to 1"),
            ("ByVolume(2, 1)", "(2, 1)"),
            ("ByVolume(2, 1)", "ByVolume(A: 2, B: 1)"),
            ("\"clear flood 2:1\"", "clear flood 2:1"),
            ("\"clear flood 2:1\"", "\"clear \"flood\" 2:1\""),
            ("\"clear flood 2:1\"", "`clear flood 2:1`"),
            ("(\"1.5 mm\", \"6 mm\")", "1.5 mm, 6 mm"),
            ("(\"1.5 mm\", \"6 mm\")", "(\"1/16-1/4 in\")"),
            ("size: \"3 gal\", price: \"349 USD\"", "size: \"3 gal\", \"349 USD\""),
            ("pot_life:", "pot life:"),
            ("pot_life:", "pot-life:"),
            ("pot_life:", "\"pot_life\":"),
            ("pot_life:", "\"pot life\":"),
            ("pot_life:", "potlife:"),
            ("(time: \"40 min\", mass: \"150 g\", temperature: \"77 °F\")", "25 min"),
            ("(time: \"40 min\", mass: \"150 g\", temperature: \"77 °F\")", "\"25 min\""),
            ("\"77 °F\"", "77 °F"),
            ("\"77 °F\"", "\"700 °F\""),
            ("\"77 °F\"", "\"-30 °F\""),
            ("\"77 °F\"", "\"-300 °C\""),
            ("\"1.15 g/mL\"", "1.15 g/mL"),
            ("(\"4 h\", \"24 h\")", "4 h - 24 h"),
            ("\"62 USD\"", "$62"),
            ("\"62 USD\"", "62,00 USD"),
            ("size: \"1.5 gal\"", "size: 1 gal"),
            ("size: \"1.5 gal\"", "size \"1.5 gal\""),
            ("(eew: 190, ahew: 67)", "(190, 67)"),
            ("eew: 190", "eew: 190 g/eq"),
            ("eew: 190", "eew 190"),
        ],
    );
    insta::assert_snapshot!(brackets + &others);
}

#[test]
fn slips_in_a_colorant() {
    let said = told(
        COLORANT,
        colorant,
        &[
            ("[\"PBk11\"]", "\"PBk11\""),
            ("kind: Paste", "kind: \"paste\""),
            ("Epoxy(eew: 190)", "Epoxy(190)"),
            ("Epoxy(eew: 190)", "Epoxy eew: 190"),
            ("ceiling: \"6 %\"", "ceiling: 6%"),
            ("ceiling_standing:", "ceiling standing:"),
            ("optics: (", "optics: "),
            ("221.8, 220.4", "221.8 220.4"),
            ("172.6,\n        ],", "172.6,\n        "),
            ("price: \"10.50 USD\"), (", "price: \"10.50 USD\", ("),
            ("\"4 oz\", price", "\"4 oz\" price"),
            ("\"4 oz\", price", "\"4 oz\"; price"),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn slips_in_a_colourway() {
    let base = "Base(\"samphire\", 12)";
    let said = told(
        COLOURWAY,
        colourway,
        &[
            ("version: 1,", "version 1"),
            ("version: 1,", "version: 1.0,"),
            ("// Sea", "# Sea"),
            ("// Sea", "Sea"),
            ("film: \"3 mm\",", "film: \"3 mm\", # as usual"),
            ("film: \"3 mm\",", "film: \"3 mm\""),
            ("film: \"3 mm\",", "film: \"3 mm\";"),
            ("film: \"3 mm\",", "film: \"3 mm\",,"),
            ("film: \"3 mm\",", "film = \"3 mm\","),
            ("film: \"3 mm\",", "film \"3 mm\","),
            ("film: \"3 mm\",", "film: \"3 mm,"),
            ("film: \"3 mm\",", "film: 3 mm\","),
            ("film: \"3 mm\",", "film: 1/8 in,"),
            ("film: \"3 mm\",", "film thickness: \"3 mm\","),
            ("film: \"3 mm\",", "Film: \"3 mm\","),
            ("\"#b8b4aa\"", "#b8b4aa"),
            (base, "Base(\"samphire\", 55 %)"),
            (base, "Base(\"samphire\", 55%)"),
            (base, "Base(\"samphire\" 12)"),
            (base, "Base(\"samphire\", 12"),
            (base, "Base \"samphire\", 12)"),
            (base, "Base[\"samphire\", 12]"),
            (base, "Base: \"samphire\", 12"),
            (base, "Base(\"samphire\": 12)"),
            (base, "Base(name: \"samphire\", parts: 12)"),
            (base, "(\"samphire\", 12)"),
            ("layers: [Base(\"samphire\", 12)", "layers: Base(\"samphire\", 12)"),
            ("layers: [Base(\"samphire\", 12)", "layers: (Base(\"samphire\", 12)"),
            ("layers: [Base(\"samphire\", 12)", "layers [Base(\"samphire\", 12)"),
            ("(name: \"flat\", count", "name: \"flat\", count"),
            ("(name: \"flat\", count", "(\"flat\", count"),
            ("count: 4", "4"),
            ("count: 4", "count: 4 times"),
            ("pours: [", "pours: "),
            ("pours: [", "pours: {"),
            ("    ],\n    pattern", "    \n    pattern"),
            ("    },\n    pours", "    \n    pours"),
            ("\"mud\": (", "\"mud\": "),
            ("\"mud\": (", "\"mud\" ("),
            ("\"mud\": (", "mud: ("),
            ("\"raw umber paste\": \"1.4 %\"", "raw umber paste: \"1.4 %\""),
            ("\"raw umber paste\": \"1.4 %\"", "\"raw umber paste\" \"1.4 %\""),
            ("\"raw umber paste\": \"1.4 %\"", "\"raw umber paste\", \"1.4 %\""),
            ("\"raw umber paste\": \"1.4 %\"", "\"raw umber paste\": 1.4 %"),
            ("\"raw umber paste\": \"1.4 %\"", "\"raw umber paste\": 1,4 %"),
            ("\"raw umber paste\": \"1.4 %\"", "\"raw umber paste\": 1.4 % of resin"),
            ("(seed: 5, ribbon: Sweep)", "seed: 5, ribbon: Sweep"),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn slips_in_a_job() {
    let rectangle = "Rectangle(\"30 in\", \"17 3/4 in\")";
    let said = told(
        JOB,
        job,
        &[
            (rectangle, "Rectangle(\"5 ft x 3 ft\")"),
            (rectangle, "Rectangle(\"30x17 3/4 in\")"),
            (rectangle, "Rectangle(30 in x 17 3/4 in)"),
            (rectangle, "Rectangle(\"30 in\" x \"17 3/4 in\")"),
            (rectangle, "Rectangle(length: \"30 in\", depth: \"17 3/4 in\")"),
            (rectangle, "\"30 in x 17 3/4 in\""),
            ("at: (\"52 in\", \"3 1/2 in\")", "at: \"52 in, 3 1/2 in\""),
            ("at: (\"52 in\", \"3 1/2 in\")", "at: \"52 in\", \"3 1/2 in\""),
            (
                "L(a: \"12 ft 6 in\", b: \"8 ft 4 in\", depth: \"25 1/2 in\")",
                "L(\"12 ft 6 in\", \"8 ft 4 in\", \"25 1/2 in\")",
            ),
            ("b: \"8 ft 4 in\", depth", "b: 10' 4-1/2\", depth"),
            ("b: \"8 ft 4 in\", depth", "b: 40 ft, depth"),
            ("depth: \"25 1/2 in\")", "depth: 25 1/2 in)"),
            ("depth: \"25 1/2 in\")", "depth: \"25 1/2 in\""),
            ("L(a:", "L a:"),
            ("counters: {", "counters: ("),
            ("counters: {", "counters: ["),
            ("counters: {", "counters {"),
            ("\"galley\": (", "\"galley\": {"),
            ("cutouts: {", "cut outs: {"),
            ("edges: [", "edges: "),
            ("edges: [(", "edges: ["),
            ("face_film:", "face film:"),
            ("(allowance: \"5 %\")", "\"5 %\""),
            ("(allowance: \"5 %\")", "allowance: \"5 %\""),
            ("(allowance: \"5 %\")", "(run_off: \"10 %\")"),
            ("(allowance: \"5 %\")", "(run_off: Share 10 %)"),
            ("crew: 2", "crew: two"),
            ("crew: 2", "crew: 2 people"),
            ("\"72 °F\"", "\"700 °F\""),
            ("\"1400 ft3\"", "10 x 14 x 10 ft"),
            ("\"1400 ft3\"", "\"1,400 ft3\""),
            ("\"1400 ft3\"", "1,400 ft3"),
            ("\"1400 ft3\"", "\"1400 ft3\", flame: no"),
            ("\"two coats\": (coats: 2)", "two coats: (coats: 2)"),
            ("\"two coats\": (coats: 2)", "\"two coats\" (coats: 2)"),
            ("    },\n)", "    }\n"),
            ("    },\n)", "    },\n}"),
            ("    },\n)", "    },\n))"),
            ("    },\n)", "    }},\n)"),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn slips_in_a_house() {
    let said = told(
        HOUSE,
        house,
        &[
            ("largest_mix:", "largest mix:"),
            ("[\"1 qt\"", "\"1 qt\""),
            ("[\"1 qt\", ", "[\"1 qt\" "),
            ("\"1 qt\", ", "1 qt, "),
            ("units: Us", "units: \"US\""),
            ("scales: [", "scales: "),
            ("capacity: \"15 kg\"),", "capacity: \"15 kg\","),
            ("capacity: \"15 kg\"),", "capacity: \"15 kg\")"),
        ],
    );
    insta::assert_snapshot!(said);
}

const POLYGON: &str = include_str!("../../recipes/jobs/curved-bar.ron");

#[test]
fn slips_in_the_corners_of_a_polygon() {
    let said = told(POLYGON, job, &[("Polygon([", "Polygon("), ("Polygon([", "Polygon[")]);
    insta::assert_snapshot!(said);
}

/// Whatever a bracket lacks, what is wrong behind it is told in the same run.
#[test]
fn a_bracket_hides_no_later_mistake() {
    for (from, to) in BRACKETS_OF_A_SYSTEM {
        let text = changed(&changed(SYSTEM, from, to), "(size: \"3 gal\"", "(size: \"3 gla\"");
        let found = system(&text).expect_err(to);
        assert!(
            found.0.len() == 2 && found.to_string().contains("\"3 gla\" is neither"),
            "{to}: {found}"
        );
    }
    let two = changed(SYSTEM, "ByVolume(2, 1)", "ByVolume(2, 1");
    let two = changed(&two, "temperature: \"77 °F\")", "temperature: \"77 °F\"");
    let found = system(&two).expect_err("two brackets").to_string();
    assert_eq!(found.matches("')' is missing here").count(), 2, "{found}");
}

/// What was begun by a character of several bytes is read to its end too.
#[test]
fn a_bracket_after_an_odd_character_is_told() {
    for text in ["é]0", "é", "(é]0", "“)", "½]", "(½: ]"] {
        assert!(system(text).is_err(), "{text}");
    }
}

/// One line for all systems whose ratio cannot be checked.
#[test]
fn systems_without_equivalent_weights_are_told_in_one_line() {
    let bench = Bench::demo();
    for file in ["systems/clear-flood.ron", "systems/slow-deep.ron"] {
        let text = std::fs::read_to_string(bench.path("shop").join(file)).unwrap();
        let stated = text.lines().find(|line| line.contains("stoichiometry:")).unwrap().to_owned();
        bench.change(file, &stated, "");
    }
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(
        (ran.code, ran.err.lines().next().unwrap()),
        (
            0,
            "note: \"clear flood 2:1\" and \"slow deep 100:42\" state no equivalent weights: their mix ratios are not checked (stoichiometry in book/src/files.md)"
        )
    );
}

/// A match with nothing to choose from says which colorants are left out by what.
#[test]
fn a_match_with_nothing_to_choose_from_says_why() {
    let bench = Bench::small();
    let ask =
        |more: &[&str]| bench.run(&[&["match", "#5a6f7c", "--shop", "shop"][..], more].concat());
    let ran = ask(&["--only", "titanium white paste", "--never", "titanium white paste"]);
    assert!(
        ran.code == 2
            && ran.err.contains(
                "no colorant is left to choose from (left out by --never: titanium white paste)"
            )
            && ran.err.contains("hint: name others with --only, or leave --only out")
            && ran.err.contains("hint: name fewer with --never"),
        "{}",
        ran.err
    );
}

/// An area that no job has is told in both units with how areas are written.
#[test]
fn an_area_far_too_large_says_how_areas_are_written() {
    let bench = Bench::demo();
    let ran = bench.run(&["plan", "Salt Marsh", "--area", "20000m2", "--shop", "shop"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(
        ran.err.contains("the area of 215278 ft² (20000 m²) is larger than 10,000 m²")
            && ran.err.contains("write it like \"42 ft2\" or \"3.9 m2\""),
        "{}",
        ran.err
    );
}
