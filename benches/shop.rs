//! A shop's folder of 1,000 colourways read and checked, as `check` does.

#![allow(clippy::unwrap_used, missing_docs, reason = "a measurement, not a part of the house")]

use std::fmt::Write as _;
use std::fs;

use pourbook::store::{check_all, open};

const COLOURWAYS: usize = 1000;
const COLORANTS: usize = 16;

fn main() {
    divan::main();
}

/// A shop of 1,000 recipes of three bases, two accents and six pours each.
fn shop() -> tempfile::TempDir {
    let folder = tempfile::TempDir::new().unwrap();
    for kind in ["systems", "colorants", "colourways"] {
        fs::create_dir(folder.path().join(kind)).unwrap();
    }
    let system = r#"(version: 1, name: "clear", ratio: ByVolume(2, 1), density_a: "1.15 g/mL",
        density_b: "0.97 g/mL", film: ("1 mm", "6 mm"), standing: Demo,
        pot_life: (time: "40 min", mass: "150 g", temperature: "77 °F"),
        ceilings: (colorant: "8 %", solvent: "2 %"), packages: [(size: "1.5 gal", price: "129 USD")])"#;
    fs::write(folder.path().join("systems/clear.ron"), system).unwrap();
    for at in 0..COLORANTS {
        let numbers: Vec<String> = (0..36).map(|band| format!("{}.5", band + at)).collect();
        let text = format!(
            r#"(version: 1, name: "paste {at}", kind: Paste, density: "1.9 g/mL", solids: "60 %",
            carrier: Epoxy(eew: 190), ceiling: "6 %", standing: Demo,
            optics: (standing: Demo, k: [{0}], s: [{0}]))"#,
            numbers.join(", ")
        );
        fs::write(folder.path().join(format!("colorants/paste-{at}.ron")), text).unwrap();
    }
    for at in 0..COLOURWAYS {
        fs::write(folder.path().join(format!("colourways/way-{at}.ron")), colourway(at)).unwrap();
    }
    folder
}

fn colourway(at: usize) -> String {
    let paste = |step: usize| (at + step) % COLORANTS;
    let mut text = format!(
        "(\n    version: 1,\n    name: \"way {at}\",\n    system: \"clear\",\n    film: \"3 mm\",\n    \
         primer: \"#e8e6e0\",\n    // as approved\n    bases: {{\n"
    );
    for base in 0..3 {
        writeln!(
            text,
            "        \"base {base}\": (colorants: {{ \"paste {}\": \"1.{}{base} %\", \"paste {}\": \"0.4 %\" }}),",
            paste(base),
            at % 10,
            paste(base + 5)
        )
        .unwrap();
    }
    writeln!(
        text,
        "    }},\n    accents: {{ \"a\": (colorant: \"paste {}\"), \"b\": (colorant: \"paste {}\") }},\n    pours: [",
        paste(9),
        paste(10)
    )
    .unwrap();
    for pour in 0..6 {
        writeln!(
            text,
            "        (name: \"pour {pour}\", count: {}, layers: [Accent(\"a\", \"0.6 %\"), Base(\"base 0\", 50), Base(\"base 1\", 30), Base(\"base 2\", 20), Accent(\"b\", \"0.3 %\")]),",
            pour + 1
        )
        .unwrap();
    }
    text + "    ],\n    pattern: (seed: 7, ribbon: Sweep, mist: Light),\n)\n"
}

#[divan::bench]
fn open_and_check_1000_colourways(bencher: divan::Bencher<'_, '_>) {
    let folder = shop();
    bencher.bench_local(|| {
        let opened = open(folder.path()).unwrap();
        assert_eq!(opened.shop.colourways.len(), COLOURWAYS);
        assert_eq!(opened.found.0.len() + check_all(&opened).0.len(), 0);
    });
}
