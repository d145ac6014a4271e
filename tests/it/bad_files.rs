//! What a person is told about a shop file with mistakes: place, text, and what would be right.

use std::fmt::Write as _;

use pourbook::diagnostic::Diagnostics;
use pourbook::file;
use pourbook::model::House;

use proptest::prelude::*;

use crate::small_shop::{BLACK, COLOURWAY, HOUSE, JOB, SYSTEM, changed, source};

/// What each change of `text` leads to, one paragraph a change.
fn told(
    text: &str,
    read: impl Fn(&str) -> Result<(), Diagnostics>,
    changes: &[(&str, &str)],
) -> String {
    assert!(read(text).is_ok(), "the text is good before it is changed: {:?}", read(text));
    let mut out = String::new();
    for (from, to) in changes {
        let said = match read(&changed(text, from, to)) {
            Ok(()) => "(accepted)".to_owned(),
            Err(found) => found.to_string(),
        };
        writeln!(out, "{from}  ->  {to}\n{said}\n").unwrap();
    }
    out
}

pub(crate) fn system(text: &str) -> Result<(), Diagnostics> {
    file::system::read(&source("flood.ron", text)).map(|_| ())
}

pub(crate) fn colorant(text: &str) -> Result<(), Diagnostics> {
    file::colorant::read(&source("black.ron", text)).map(|_| ())
}

pub(crate) fn colourway(text: &str) -> Result<(), Diagnostics> {
    file::colourway::read(&source("slate.ron", text), &House::default()).map(|_| ())
}

pub(crate) fn job(text: &str) -> Result<(), Diagnostics> {
    file::job::read(&source("galley.ron", text), &House::default()).map(|_| ())
}

pub(crate) fn house(text: &str) -> Result<(), Diagnostics> {
    file::house::read(&source("house.ron", text)).map(|_| ())
}

#[test]
fn each_slip_in_a_system_is_told() {
    let said = told(
        SYSTEM,
        system,
        &[
            ("version: 1,", ""),
            ("version: 1,", "version: 0,"),
            ("version: 1,", "version: 2, sparkle: Yes,"),
            ("version: 1,", "version: 99999999999999999999,"),
            ("version: 1,", "version: \"1\","),
            ("version: 1,", "version: -1,"),
            ("name: \"clear flood 2:1\"", "name: \" \""),
            ("name: \"clear flood 2:1\"", "name: clear flood"),
            ("ByVolume(2, 1)", "ByVolum(2, 1)"),
            ("ByVolume(2, 1)", "ByVolume(2)"),
            ("ByVolume(2, 1)", "ByVolume(2, -1)"),
            ("ByVolume(2, 1)", "ByVolume(2, 0)"),
            ("ByVolume(2, 1)", "ByVolume(inf, NaN)"),
            ("ByVolume(2, 1)", "ByVolume(1e999, 1)"),
            ("ByVolume(2, 1)", "\"2:1\""),
            ("\"1.15 g/mL\"", "1.15"),
            ("\"1.15 g/mL\"", "\"1.15 g\""),
            ("\"1.15 g/mL\"", "\"0 g/mL\""),
            ("\"1.15 g/mL\"", "\"-1.15 g/mL\""),
            ("\"1.15 g/mL\"", "\"NaN g/mL\""),
            ("\"1.15 g/mL\"", "\"1,15 g/mL\""),
            ("\"1.15 g/mL\"", "\"95 lb/gal\""),
            ("density_a:", "densty_a:"),
            ("(\"1.5 mm\", \"6 mm\")", "(\"6 mm\", \"1.5 mm\")"),
            ("(\"1.5 mm\", \"6 mm\")", "\"6 mm\""),
            ("(\"1.5 mm\", \"6 mm\")", "(\"0 mm\", \"6 mm\")"),
            ("time: \"40 min\", ", ""),
            ("time: \"40 min\"", "time: \"40 m\""),
            ("\"77 °F\"", "\"77 degrees\""),
            ("(\"4 h\", \"24 h\")", "(\"24 h\", \"4 h\")"),
            ("colorant: \"8 %\"", "colorant: \"108 %\""),
            ("solvent: \"2 %\"", "solvent: 2"),
            ("eew: 190", "eew: 0"),
            ("refractive_index: 1.55", "refractive_index: 15.5"),
            ("absorption_per_mm: 0.001", "absorption_per_mm: [0.1, 0.2]"),
            ("absorption_per_mm: 0.001", "absorption_per_mm: -0.001"),
            ("\"1.5 gal\"", "\"1.5 gla\""),
            ("\"1.5 gal\"", "\"1.5 mm\""),
            ("\"1.5 gal\"", "1.5"),
            ("\"1.5 gal\"", "\"3 imp gal\""),
            ("\"1.5 gal\"", "\"0 gal\""),
            ("\"129 USD\"", "\"129\""),
            ("\"129 USD\"", "\"-129 USD\""),
            ("standing: Demo", "standing: Guess"),
            ("standing: Demo", "standing: \"Demo\""),
            ("standing: Demo,", ""),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn each_slip_in_a_colorant_is_told() {
    let said = told(
        BLACK,
        colorant,
        &[
            ("kind: Paste", "kind: Past"),
            ("kind: Paste", "kind: Paste, kind: Dye"),
            ("[\"PBk11\"]", "\"PBk11\""),
            ("solids: \"60 %\",", ""),
            ("carrier: Epoxy(eew: 190),", ""),
            ("carrier: Epoxy(eew: 190)", "carrier: None"),
            ("carrier: Epoxy(eew: 190)", "carrier: Epoxy"),
            ("carrier: Epoxy(eew: 190)", "carrier: Epoxy(eew: -1)"),
            ("carrier: Epoxy(eew: 190)", "carrier: Solvent(3)"),
            ("ceiling: \"6 %\"", "ceiling: \"0 %\""),
            ("ceiling: \"6 %\"", "ceiling: 0.06"),
            ("k: 40", "k: \"40\""),
            ("k: 40", "k: -40"),
            ("standing: Demo, k", "k"),
            ("\"104 %\"", "\"0 %\""),
            ("\"9.50 USD\"", "\"9.50 USB\""),
            ("packages:", "hazards: [Sharp], packages:"),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn each_slip_in_a_colourway_is_told() {
    let said = told(
        COLOURWAY,
        colourway,
        &[
            ("name: \"Tidewater Slate\",", ""),
            ("film: \"3 mm\"", "film: \"3 gal\""),
            ("film: \"3 mm\"", "film: \"0 mm\""),
            ("film: \"3 mm\"", "flim: \"3 mm\""),
            ("\"#e8e6e0\"", "\"cream\""),
            ("\"#e8e6e0\"", "#e8e6e0"),
            ("container: \"1 gal\"", "container: \"1 imperial gal\""),
            ("share: 0.55", "share: 55"),
            ("share: 0.55", "share: -0.55"),
            ("share: 0.55", "share: 0.95"),
            ("share: 0.55", "share: 0.35"),
            ("share: 0.55,", ""),
            ("share: 0.55", "shar: 0.55"),
            ("\"45 %\"", "\"25 %\""),
            ("\"1.4 %\"", "\"1.4 g\""),
            ("\"1.4 %\"", "\"-1.4 %\""),
            ("\"1.4 %\"", "\"0 %\""),
            ("\"iron oxide black paste\": \"1.4 %\"", "iron oxide black paste: \"1.4 %\""),
            ("\"1.4 %\" }", "\"1.4 %\", \"iron oxide black paste\": \"1 %\" }"),
            ("\"fog\": (share", "\"slate\": (share"),
            ("Accent(\"ink\", \"0.6 %\")", "Accent(\"inc\", \"0.6 %\")"),
            ("Accent(\"ink\", \"0.6 %\")", "Acent(\"ink\", \"0.6 %\")"),
            ("Accent(\"ink\", \"0.6 %\")", "Accent(\"ink\")"),
            ("Base(\"slate\", 60)", "Base(\"slat\", 60)"),
            ("Base(\"slate\", 60)", "Base(\"slate\", 0)"),
            ("Base(\"slate\", 60)", "Base(\"slate\", \"60\")"),
            ("Base(\"slate\", 60)", "Base(slate, 60)"),
            ("accents: {", "accents: { \"gold\": (colorant: \"mica\"),"),
            ("accents:", "acents:"),
            ("count: 1", "count: 0"),
            ("count: 1", "count: 1.5"),
            ("count: 1", "count: 4000000000"),
            ("count: 1", "count: 99999999999999999999"),
            ("[Base(\"fog\", 50), Base(\"slate\", 50), Accent(\"ink\", \"0.8 %\")]", "[]"),
            ("ribbon: Sweep", "ribbon: Swep"),
            ("seed: 7", "seed: -7"),
            ("pattern: (seed: 7, ribbon: Sweep, mist: Light)", "pattern: {}"),
        ],
    );
    insta::assert_snapshot!(said);
}

#[test]
fn each_slip_in_a_job_is_told() {
    let said = told(
        JOB,
        job,
        &[
            ("\"25 1/2 in\"", "\"25 1/2\""),
            ("\"25 1/2 in\"", "\"25 1/2\"\""),
            ("Rectangle(\"10 ft\", \"25 1/2 in\")", "Rectangle(\"10 ft\")"),
            ("Rectangle(\"10 ft\", \"25 1/2 in\")", "Rectangl(\"10 ft\", \"25 1/2 in\")"),
            ("Rectangle(\"10 ft\", \"25 1/2 in\")", "Rectangle(\"0 ft\", \"25 1/2 in\")"),
            ("at: (\"36 in\"", "at: (\"136 in\""),
            (
                "cutouts: { ",
                "cutouts: { \"tap\": (shape: Circle(\"2 in\"), at: (\"40 in\", \"5 in\")), ",
            ),
            ("L(a: \"8 ft\", b: \"6 ft\", depth: \"25 in\")", "L(a: \"8 ft\", b: \"6 ft\")"),
            ("L(a: \"8 ft\", b: \"6 ft\"", "L(a: \"8 ft\", b: \"2 ft\""),
            ("L(a: \"8 ft\"", "L(a: \"8 ft\", c: \"1 ft\""),
            ("(\"40 in\", \"30 in\")]", "(\"0 in\", \"30 in\"), (\"40 in\", \"30 in\")]"),
            ("(\"40 in\", \"30 in\")]", "(\"0 in\")]"),
            ("Circle(\"36 in\")", "Circle(\"36 in\", \"30 in\")"),
            (
                "Circle(\"36 in\")",
                "Circle(\"36 in\"), cutouts: { \"hob\": (shape: Circle(\"18 ft\"), at: (\"0 in\", \"0 in\")) }",
            ),
            (
                "L(a: \"8 ft\", b: \"6 ft\", depth: \"25 in\")",
                "L(a: \"8 ft\", b: \"6 ft\", depth: \"2.5 in\"), cutouts: { \"hob\": (shape: Rectangle(\"23 in\", \"20 in\"), at: (\"80 in\", \"2 in\")) }",
            ),
            (
                "L(a: \"8 ft\", b: \"6 ft\", depth: \"25 in\")",
                "L(a: \"8 ft\", b: \"6 ft\", depth: \"25 in\"), cutouts: { \"sink\": (shape: Rectangle(\"28 1/2 in\", \"20 1/2 in\"), at: (\"2 in\", \"36 in\")) }",
            ),
            ("\"600x600mm\"", "\"600 mm\""),
            ("\"600x600mm\", count: 1", "\"600x600mm\", count: 0"),
            ("length: \"12 ft\"", "length: \"0 ft\""),
            ("length: \"12 ft\"", "length: \"33 ft\""),
            ("length: \"12 ft\"", "length: \"9 ft 73/8 in\""),
            ("length: \"12 ft\"", "length: \"9 ft 113/16 in\""),
            ("Circle(\"36 in\")", "Circle(\"36 in\"), edges: [(length: \"8 ft\", face: \"30 m\")]"),
            ("L(a: \"8 ft\", b: \"6 ft\", depth: \"25 in\")", "L(\"8 ft\", \"6 ft\", \"25 in\")"),
            (
                "Circle(\"36 in\")",
                "Circle(\"36 in\"), splashbacks: [(length: \"100 ft\", height: \"4 in\")]",
            ),
            (
                "Rectangle(\"10 ft\", \"25 1/2 in\")",
                "Rectangle(\"10 ft\", \"25 1/2 in\"), splashbacks: [(length: \"12 ft\", height: \"4 in\")]",
            ),
            (
                "Circle(\"36 in\")",
                "Circle(\"36 in\"), edges: [(length: \"8 ft\", face: \"1 in\")], splashbacks: [(length: \"3 ft\", height: \"4 in\")]",
            ),
            (
                "depth: \"25 in\")",
                "depth: \"25 in\"), edges: [(length: \"17 ft\", face: \"1 in\"), (length: \"12 ft\", face: \"1 in\")]",
            ),
            (
                "Circle(\"36 in\")",
                "Circle(\"36 in\"), edges: [(length: \"9 ft 7 in\", face: \"1 in\")]",
            ),
            ("coats: 1,\n", "coats: 200,\n"),
            ("face_film: \"0.5 mm\"", "face_film: 0.5"),
            ("PerEdge(volume: \"150 mL\"", "PerEdge(volume: \"150 g\""),
            ("PerEdge(volume: \"150 mL\", per: \"1 m\")", "Share(\"95 %\")"),
            (
                "PerEdge(volume: \"150 mL\", per: \"1 m\")",
                "PerEdge(volume: \"1e9 L\", per: \"1e-300 mm\")",
            ),
            ("Film(\"0.5 mm\")", "Film(\"50 mm\")"),
            ("crew: 2", "crew: 0"),
            ("\"72 °F\"", "\"720 °F\""),
            ("humidity: \"50 %\"", "humidity: \"150 %\""),
            ("room: \"40 m3\"", "room: \"40 m2\""),
            ("flame: false", "flame: \"false\""),
            ("reason: \"tested on three boards\"", "reason: \"ok\""),
            ("Colorant(\"carbon black liquid\")", "Colorants"),
            ("Colorant(\"carbon black liquid\")", "AllColorants(\"x\")"),
            ("film: \"4 mm\"", "flim: \"4 mm\""),
        ],
    );
    insta::assert_snapshot!(said);
    let empty = "(version: 1, name: \"nothing\")";
    insta::assert_snapshot!(job(empty).unwrap_err());
}

#[test]
fn each_slip_in_a_house_is_told() {
    let said = told(
        HOUSE,
        house,
        &[
            ("units: Us", "units: US"),
            ("units: Us", "units: Imperial"),
            (
                "scales: [(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\")]",
                "scales: []",
            ),
            (
                "scales: [",
                "scales: [(name: \"bench scale\", readability: \"1 g\", capacity: \"5 kg\"), ",
            ),
            ("readability: \"1 g\"", "readability: \"20 kg\""),
            ("vessels: [\"1 qt\", \"1 gal\"]", "vessels: [\"1 qt\", 1]"),
            ("fill: \"80 %\"", "fill: \"180 %\""),
            ("largest_mix: \"7 kg\"", "largest_mix: \"3 g\""),
            ("match_within: 1.0", "match_within: \"1.0\""),
            ("match_within: 1.0", "match_within: -1"),
            ("fill:", "fil:"),
        ],
    );
    insta::assert_snapshot!(said);
    assert!(house("(version: 1)").is_ok(), "every field has its usual value");
}

#[test]
fn several_mistakes_come_in_one_run_in_the_order_of_the_file() {
    let text = COLOURWAY
        .replace("\"3 mm\"", "\"3 mn\"")
        .replace("\"clear flood 2:1\"", "7")
        .replace("\"1.4 %\"", "\"1.4 g\"")
        .replace("Base(\"fog\", 40)", "Base(\"frog\", 40)")
        .replace("count: 1", "count: 0")
        .replace("mist: Light", "mist: Lihgt");
    insta::assert_snapshot!(colourway(&text).unwrap_err());
    let text = JOB
        .replace("\"25 1/2 in\"", "\"25 1/2 oz\"")
        .replace("\"72 °F\"", "\"720 °F\"")
        .replace("crew: 2", "crew: two")
        .replace("coats: 1,\n", "coats: 0,\n")
        .replace("\"5 %\"", "\"5\"");
    insta::assert_snapshot!(job(&text).unwrap_err());
}

#[test]
fn a_text_that_is_no_shop_file_is_told_so_and_never_panics() {
    let deep = "[".repeat(100_000);
    let mut out = String::new();
    let many_unknown = format!("(version: 1, {})", "x: 1, ".repeat(3));
    for text in [
        "",
        "   \n // nothing here\n",
        "/* never closed",
        "hello",
        "[1, 2]",
        "{ \"version\": 1 }",
        "()",
        "(version: 1",
        "(version: 1, name: \"Tide",
        "(version: 1))",
        "#![enable(implicit_some)]\n(version: 1)",
        "Colourway(version: 1)",
        "Job(version: 1)",
        &many_unknown,
        &deep,
    ] {
        let shown: String = text.chars().take(40).collect();
        writeln!(out, "{shown}\n{}\n", colourway(text).unwrap_err()).unwrap();
    }
    insta::assert_snapshot!(out);
}

#[test]
fn a_file_cut_off_anywhere_is_refused_with_a_place() {
    for (text, read) in [
        (SYSTEM, system as fn(&str) -> Result<(), Diagnostics>),
        (BLACK, colorant),
        (COLOURWAY, colourway),
        (JOB, job),
        (HOUSE, house),
    ] {
        for (end, _) in text.char_indices() {
            let found = read(&text[..end]).expect_err("half a file is no file");
            assert!(found.0.iter().all(|each| each.place.is_some()), "cut at {end}: {found}");
        }
    }
}

/// What a hand may put into a shop file at any place.
const SCRAPS: [&str; 24] = [
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\"",
    "'",
    "//",
    "/*",
    "None",
    "Some(",
    "1e999",
    "-1",
    "\"\"",
    "é",
    "\u{feff}",
    "\n",
    "true",
    "Base(\"slate\", 1)",
    "name",
    "\"0 mm\"",
];

proptest! {
    #[test]
    fn no_change_of_a_file_makes_a_panic_and_every_mistake_has_a_place(
        which in 0..5_usize,
        cuts in prop::collection::vec((0.0..1.0_f64, 0..40_usize, 0..SCRAPS.len()), 1..4),
    ) {
        let (text, read) = [
            (SYSTEM, system as fn(&str) -> Result<(), Diagnostics>),
            (BLACK, colorant),
            (COLOURWAY, colourway),
            (JOB, job),
            (HOUSE, house),
        ][which];
        let mut characters: Vec<char> = text.chars().collect();
        for (part, length, scrap) in cuts {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 ≤ part < 1")]
            let start = (part * characters.len() as f64) as usize;
            let end = (start + length).min(characters.len());
            characters.splice(start..end, SCRAPS[scrap].chars());
        }
        let text: String = characters.into_iter().collect();
        if let Err(found) = read(&text) {
            prop_assert!(found.stop(), "an error without a mistake");
            for each in &found.0 {
                let place = each.place.as_ref().expect("a place");
                prop_assert!(place.span.end <= text.len(), "{each}");
            }
        }
    }
}
