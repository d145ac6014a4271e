//! One meaning has one fingerprint, however its file is written; any weight changes it.

use std::collections::BTreeMap;

use pourbook::file;
use pourbook::model::{Colourway, Fingerprint, House, Recipe, Shop};
use proptest::prelude::*;

use crate::small_shop::{BLACK, COLOURWAY, INK, SYSTEM, WHITE, changed, source};

fn colourway(text: &str) -> Colourway {
    file::colourway::read(&source("slate.ron", text), &House::default())
        .unwrap_or_else(|found| panic!("{found}\n{text}"))
        .noun
}

/// The fingerprint of a shop with these files.
fn fingerprint(way: &str, system: &str, black: &str) -> Fingerprint {
    let way = colourway(way);
    let system = file::system::read(&source("flood.ron", system)).unwrap().noun;
    let colorants = [black, WHITE, INK].map(|text| {
        let colorant = file::colorant::read(&source("colorant.ron", text)).unwrap().noun;
        (colorant.name.clone(), colorant)
    });
    let shop = Shop {
        systems: BTreeMap::from([(system.name.clone(), system)]),
        colorants: BTreeMap::from(colorants),
        ..Shop::default()
    };
    Fingerprint::of(&Recipe::of(&shop, &way).unwrap())
}

fn of_colourway(text: &str) -> Fingerprint {
    fingerprint(text, SYSTEM, BLACK)
}

#[test]
fn another_way_to_write_the_same_is_the_same() {
    let usual = of_colourway(COLOURWAY);
    for (from, to) in [
        ("\"1 gal\"", "\"3.785 L\""),
        ("\"1 gal\"", "\"4 qt\""),
        ("\"1 gal\"", "\"128 fl oz\""),
        ("\"3 mm\"", "\"0.3 cm\""),
        ("\"3 mm\"", "\"0.1181 in\""),
        ("share: 0.55, ", "share: \"55 %\", "),
        ("count: 1, ", ""),
        ("note: \"as approved\",", "// as approved"),
        ("(\n    version: 1,", "/* slate */ Colourway(\n version: 1,"),
        ("\"#e8e6e0\"", "\"#E8E6E0\""),
        ("\"0.6 %\"", "\"0.60 %\""),
        ("Base(\"slate\", 60), Base(\"fog\", 40)", "Base(\"slate\", 60.0), Base(\"fog\", 4e1)"),
    ] {
        assert_eq!(of_colourway(&changed(COLOURWAY, from, to)), usual, "{from} -> {to}");
    }
    let shares_left_out = COLOURWAY.replace("share: 0.55, ", "").replace("share: \"45 %\", ", "");
    assert_eq!(of_colourway(&shares_left_out), usual, "the pours tell the shares");
    for (from, to) in [("\"129 USD\"", "\"139 USD\""), ("colorant: \"8 %\"", "colorant: \"9 %\"")] {
        let system = changed(SYSTEM, from, to);
        assert_eq!(fingerprint(COLOURWAY, &system, BLACK), usual, "{from} -> {to}");
    }
    let lot = changed(BLACK, "\"104 %\"", "\"96 %\"");
    assert_eq!(fingerprint(COLOURWAY, SYSTEM, &lot), usual, "a new lot");
}

#[test]
fn anything_that_changes_a_weight_changes_it() {
    let mut seen = BTreeMap::from([(of_colourway(COLOURWAY), "as written".to_owned())]);
    let mut add = |print: Fingerprint, what: String| {
        if let Some(other) = seen.insert(print, what.clone()) {
            panic!("{what} has the fingerprint of {other}");
        }
    };
    for (from, to) in [
        ("\"1.4 %\"", "\"1.40001 %\""),
        ("\"2.8 %\"", "\"2.79 %\""),
        ("\"0.1 %\"", "\"0.11 %\""),
        ("\"0.6 %\"", "\"0.61 %\""),
        ("\"0.8 %\"", "\"0.6 %\""),
        ("Base(\"slate\", 60)", "Base(\"slate\", 60.5)"),
        ("count: 1", "count: 2"),
        ("\"1 gal\"", "\"1 qt\""),
        ("\"3 mm\"", "\"3.01 mm\""),
        ("seed: 7", "seed: 8"),
        ("mist: Light", "mist: None"),
        ("ribbon: Sweep", "ribbon: Drift"),
        ("\"#e8e6e0\"", "\"#e8e6e1\""),
        ("\"Tidewater Slate\"", "\"Tidewater\""),
        (
            "Accent(\"ink\", \"0.6 %\"), Base(\"slate\", 60)",
            "Base(\"slate\", 60), Accent(\"ink\", \"0.6 %\")",
        ),
    ] {
        // Shares follow the pours where the recipe leaves them out, so any layer may change.
        let text = COLOURWAY.replace("share: 0.55, ", "").replace("share: \"45 %\", ", "");
        add(of_colourway(&changed(&text, from, to)), format!("{from} -> {to}"));
    }
    for (from, to) in [
        ("ByVolume(2, 1)", "ByVolume(2.01, 1)"),
        ("ByVolume(2, 1)", "ByMass(2, 1)"),
        ("\"1.15 g/mL\"", "\"1.1501 g/mL\""),
        ("ahew: 95", "ahew: 96"),
    ] {
        let system = changed(SYSTEM, from, to);
        add(fingerprint(COLOURWAY, &system, BLACK), format!("{from} -> {to}"));
    }
    for (from, to) in [("\"1.9 g/mL\"", "\"1.91 g/mL\""), ("\"60 %\"", "\"61 %\"")] {
        let black = changed(BLACK, from, to);
        add(fingerprint(COLOURWAY, SYSTEM, &black), format!("{from} -> {to}"));
    }
}

/// The fields of the colourway, in a given order, with comments and blanks between them.
fn rewritten(order: &[usize], filler: &[usize]) -> String {
    const FIELDS: [&str; 11] = [
        "version: 1",
        "name: \"Tidewater Slate\"",
        "system: \"clear flood 2:1\"",
        "film: \"3 mm\"",
        "primer: \"#e8e6e0\"",
        "container: \"1 gal\"",
        "bases: { \"fog\": (colorants: { \"iron oxide black paste\": \"0.1 %\", \
         \"titanium white paste\": \"2.8 %\" }, share: 0.45), \
         \"slate\": (colorants: { \"iron oxide black paste\": \"1.4 %\" }, share: \"55 %\") }",
        "accents: { \"ink\": (colorant: \"carbon black liquid\") }",
        "pours: [(layers: [Accent(\"ink\", \"0.6 %\"), Base(\"slate\", 60), Base(\"fog\", 40)], \
         name: \"low ink\"), (count: 1, layers: [Base(\"fog\", 50), Base(\"slate\", 50), \
         Accent(\"ink\", \"0.8 %\")], name: \"top ink\")]",
        "pattern: (mist: Light, seed: 7, ribbon: Sweep)",
        "note: \"as approved\"",
    ];
    const FILLERS: [&str; 5] = ["", "\n", " // (film: \"9 mm\",\n", "/* } \" */", "\r\n\t"];
    let mut text = "(".to_owned();
    for (at, field) in order.iter().enumerate() {
        text += FILLERS[filler[at]];
        text += FIELDS[*field];
        text += FILLERS[filler[(at + 3) % filler.len()]];
        text += ",";
    }
    text + ")"
}

proptest! {
    #[test]
    fn order_and_comments_change_neither_noun_nor_fingerprint(
        order in Just((0..11_usize).collect::<Vec<_>>()).prop_shuffle(),
        filler in prop::collection::vec(0..5_usize, 11),
    ) {
        let text = rewritten(&order, &filler);
        let (written, usual) = (colourway(&text), colourway(COLOURWAY));
        // Within a base the order of its colorants is kept, as on the person's own sheet.
        let mut parts = (*written).clone();
        for base in parts.bases.values_mut() {
            base.colorants.sort_by(|one, other| one.colorant.cmp(&other.colorant));
        }
        // So is that of bases, for the order of tinting where colours are not known.
        parts.base_order.sort();
        let mut usual_parts = (*usual).clone();
        usual_parts.base_order.sort();
        for base in usual_parts.bases.values_mut() {
            base.colorants.sort_by(|one, other| one.colorant.cmp(&other.colorant));
        }
        prop_assert_eq!(parts, usual_parts);
        prop_assert_eq!(written.shares(), usual.shares());
        prop_assert_eq!(of_colourway(&text), of_colourway(COLOURWAY));
    }

    #[test]
    fn any_other_loading_has_another_fingerprint(one in 1_u32..6_000_000, other in 1_u32..6_000_000) {
        let with = |loading: u32| {
            let written = format!("\"{}.{:06} %\"", loading / 1_000_000, loading % 1_000_000);
            of_colourway(&changed(COLOURWAY, "\"1.4 %\"", &written))
        };
        prop_assert_eq!(with(one) == with(other), one == other);
    }
}
