//! What is misted stands wherever somebody buys it, sprays it or breathes it, and is the same everywhere.

use serde_json::Value;

use crate::program::Bench;

#[test]
fn one_amount_is_told_everywhere() {
    let bench = Bench::demo();
    let plan = bench.kitchen_json();
    let mist = &plan["mist"];
    let ml = mist["in_all_ml"].as_f64().unwrap();
    // A light mist is 20 mL on a square metre.
    let flat = plan["take_off"]["flat_m2"].as_f64().unwrap();
    assert!((ml - 20.0 * flat).abs() < 1e-9, "{mist}");
    assert_eq!((&mist["name"], &mist["standing"]), (&"isopropanol".into(), &"estimated".into()));
    let words = pourbook::quantity::Volume::from_ml(ml).show(pourbook::quantity::Units::Metric);
    let text = bench.kitchen_text(&[]);
    let bought = format!("{words} (estimated)");
    for told in [
        bought.clone(),
        format!("mist lightly, {words} of isopropanol (estimated) over all passes"),
        format!("about {words} of isopropanol misted in all (estimated)"),
    ] {
        assert!(text.contains(&told), "{told}: {text}");
    }
    assert!(text.contains("isopropanol (mist)"), "{text}");
    assert!(bench.kitchen_text(&["--sheet", "buying"]).contains(&bought));
    let mixing = bench.kitchen_text(&["--sheet", "mixing"]);
    assert!(
        mixing.contains(&format!("never flood; {words} of isopropanol (estimated)")),
        "{mixing}"
    );
    // No price is made up for it.
    let lines = plan["buy"]["lines"].as_array().unwrap();
    let sum: f64 = lines.iter().map(|line| line["price"]["amount"].as_f64().unwrap()).sum();
    assert!((sum - plan["buy"]["total"]["amount"].as_f64().unwrap()).abs() < 1e-9);
}

#[test]
fn every_coat_is_bought_for_and_no_mist_needs_nothing() {
    let bench = Bench::demo();
    let one = bench.kitchen_json()["mist"]["in_all_ml"].as_f64().unwrap();
    bench.change("jobs/galley-kitchen.ron", "crew: 2,", "crew: 2, coats: 2,");
    let two = bench.kitchen_json()["mist"].clone();
    assert!((two["in_all_ml"].as_f64().unwrap() - 2.0 * one).abs() < 1e-9, "{two}");
    assert!((two["each_coat_ml"].as_f64().unwrap() - one).abs() < 1e-9, "{two}");
    bench.change("colourways/tidewater-slate.ron", "mist: Light", "mist: None");
    assert_eq!(bench.kitchen_json()["mist"], Value::Null);
    assert!(!bench.kitchen_text(&[]).contains("isopropanol"));
}

/// A room too small for its vapour to be reckoned is no safer than one a little larger: both stop the mist.
#[test]
fn a_room_too_small_to_be_reckoned_stops_the_mist() {
    for room in ["1400 in3", "2 ft3", "4 ft3"] {
        let bench = crate::program::Bench::demo();
        bench.change("jobs/galley-kitchen.ron", "1400 ft3", room);
        let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
        assert_eq!(ran.code, 1, "{room}: {}", ran.err);
        assert!(
            ran.out.contains("STOP: ") && ran.out.contains("DO NOT MIST"),
            "{room}: {}",
            ran.out
        );
    }
}
