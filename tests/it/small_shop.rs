//! A small shop in texts, for tests to read, change and break.

use std::sync::Arc;

use pourbook::diagnostic::Source;

pub(crate) const SYSTEM: &str = r#"(
    version: 1,
    name: "clear flood 2:1",
    ratio: ByVolume(2, 1),
    density_a: "1.15 g/mL",
    density_b: "0.97 g/mL",
    film: ("1.5 mm", "6 mm"),
    pot_life: (time: "40 min", mass: "150 g", temperature: "77 °F"),
    recoat: ("4 h", "24 h"),
    ceilings: (colorant: "8 %", solvent: "2 %", standing: Estimated),
    stoichiometry: (eew: 190, ahew: 95),
    clear: (refractive_index: 1.55, absorption_per_mm: 0.001, standing: Estimated),
    packages: [(size: "1.5 gal", price: "129 USD"), (size: "10 kg", price: "220 USD")],
    standing: Demo,
)"#;

pub(crate) const BLACK: &str = r#"(
    version: 1,
    name: "iron oxide black paste",
    kind: Paste,
    pigments: ["PBk11"],
    density: "1.9 g/mL",
    solids: "60 %",
    carrier: Epoxy(eew: 190),
    ceiling: "6 %",
    optics: (standing: Demo, k: 40, s: 1.5),
    lot: (name: "L-1", strength: "104 %"),
    packages: [(size: "100 g", price: "9.50 USD")],
    standing: Demo,
)"#;

pub(crate) const WHITE: &str = r#"(
    version: 1,
    name: "titanium white paste",
    kind: Paste,
    pigments: ["PW6"],
    density: "2.1 g/mL",
    solids: "70 %",
    carrier: Epoxy(eew: 190),
    ceiling: "6 %",
    ceiling_standing: Estimated,
    standing: Demo,
)"#;

pub(crate) const INK: &str = r#"(
    version: 1,
    name: "carbon black liquid",
    kind: Liquid,
    density: "0.85 g/mL",
    solids: "10 %",
    carrier: Solvent,
    ceiling: "2 %",
    hazards: [Flammable],
    standing: Demo,
)"#;

pub(crate) const COLOURWAY: &str = r##"(
    version: 1,
    name: "Tidewater Slate",
    system: "clear flood 2:1",
    film: "3 mm",
    primer: "#e8e6e0",
    container: "1 gal",
    bases: {
        "slate": (share: 0.55, colorants: { "iron oxide black paste": "1.4 %" }),
        "fog": (share: "45 %", colorants: {
            "titanium white paste": "2.8 %",
            "iron oxide black paste": "0.1 %",
        }),
    },
    accents: { "ink": (colorant: "carbon black liquid") },
    pours: [
        (name: "low ink", layers: [Accent("ink", "0.6 %"), Base("slate", 60), Base("fog", 40)]),
        (name: "top ink", count: 1, layers: [Base("fog", 50), Base("slate", 50), Accent("ink", "0.8 %")]),
    ],
    pattern: (seed: 7, ribbon: Sweep, mist: Light),
    note: "as approved",
)"##;

pub(crate) const JOB: &str = r#"(
    version: 1,
    name: "Boathouse galley kitchen",
    colourway: "Tidewater Slate",
    counters: {
        "main run": (
            shape: Rectangle("10 ft", "25 1/2 in"),
            cutouts: { "sink": (shape: Rectangle("30 in", "18 in"), at: ("36 in", "3 1/2 in")) },
            edges: [(length: "12 ft", face: "1 1/2 in")],
            splashbacks: [(length: "10 ft", height: "4 in")],
        ),
        "corner": (shape: L(a: "8 ft", b: "6 ft", depth: "25 in")),
        "bar": (shape: U(left: "5 ft", back: "9 ft", right: "5 ft", depth: "2 ft")),
        "table": (shape: Circle("36 in")),
        "nook": (shape: Polygon([("0 in", "0 in"), ("40 in", "0 in"), ("40 in", "30 in")])),
    },
    boards: [(size: "600x600mm", count: 1)],
    coats: 1,
    face_film: "0.5 mm",
    losses: (run_off: PerEdge(volume: "150 mL", per: "1 m"), cling: Film("0.5 mm"), allowance: "5 %"),
    crew: 2,
    temperature: "72 °F",
    humidity: "50 %",
    room: "40 m3",
    flame: false,
    options: { "thicker": (film: "4 mm", coats: 2) },
    overrides: [(ceiling: Colorant("carbon black liquid"), to: "2.5 %", reason: "tested on three boards")],
)"#;

pub(crate) const HOUSE: &str = r#"(
    version: 1,
    units: Us,
    scales: [(name: "bench scale", readability: "1 g", capacity: "15 kg")],
    vessels: ["1 qt", "1 gal"],
    fill: "80 %",
    largest_mix: "7 kg",
    match_within: 1.0,
    container: "250 mL",
    cling_film: "0.5 mm",
)"#;

/// A text under a name, as the readers take it.
pub(crate) fn source(name: &str, text: &str) -> Arc<Source> {
    Arc::new(Source { name: name.into(), text: text.into() })
}

/// The text with one stretch changed, which must be there exactly once.
pub(crate) fn changed(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from:?} is not there exactly once");
    text.replace(from, to)
}
