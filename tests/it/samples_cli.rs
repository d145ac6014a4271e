//! `characterise --samples` and `--predict` as a person runs them, on the demo's own readings, which
//! are a table of samples too.

use std::fs;

use serde_json::Value;

use crate::program::Bench;

const TABLE: &str = "shop/readings/red-oxide-paste.csv";

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|why| panic!("{why}: {text}"))
}

#[test]
fn a_fit_is_kept_and_predicts_what_it_was_made_from() {
    let bench = Bench::demo();
    let fitted = bench.run(&["characterise", "--samples", TABLE, "--fit-to", "fit.json", "--json"]);
    assert_eq!((fitted.code, fitted.err.as_str()), (0, ""));
    let fitted = json(&fitted.out);
    assert_eq!(fitted["schema"], "pourbook.fit");
    let mean = fitted["spread"]["mean"].as_f64().unwrap();
    assert!(mean < 0.6, "mean {mean}");
    let kept = ["characterise", "--predict", TABLE, "--fit", "fit.json"];
    let csv = bench.run(&kept);
    assert_eq!(csv.code, 0, "{csv:?}");
    let told = "6 of 6 samples were read";
    assert!(csv.err.contains(told), "{}", csv.err);
    assert_eq!(csv.out.lines().count(), 7, "{}", csv.out);
    let predicted = json(&bench.run(&[&kept[..], &["--json"]].concat()).out);
    let at_once =
        json(&bench.run(&["characterise", "--predict", TABLE, "--samples", TABLE, "--json"]).out);
    assert_eq!(predicted, at_once, "a kept fit is the fit");
    assert_eq!(predicted["spread"]["mean"], fitted["spread"]["mean"]);
    assert_eq!(predicted["viewing"], "D65/10°");
    let row = &predicted["rows"][0];
    let line: Vec<&str> = csv.out.lines().nth(1).unwrap().split(',').collect();
    let l: f64 = line[1].parse().unwrap();
    assert!((l - row["lab"]["l"].as_f64().unwrap()).abs() < 1e-4, "{line:?}, {row}");
    // Another observer, another Lab of the same reflectance.
    let other = json(&bench.run(&[&kept[..], &["--json", "--observer", "2"]].concat()).out);
    assert_eq!(other["rows"][0]["reflectance"], row["reflectance"]);
    assert_ne!(other["rows"][0]["lab"], row["lab"]);
}

/// Amounts alone, under headings of their own, on the substrates that the fit remembers.
#[test]
fn samples_never_read_are_predicted() {
    let bench = Bench::demo();
    bench.run(&["characterise", "--samples", TABLE, "--fit-to", "fit.json"]);
    fs::write(
        bench.path("wanted.csv"),
        "name;red;white;film_mm;substrate;geometry\nsalmon;0.3 %;5.7 %;0.2;white;included\n",
    )
    .unwrap();
    let ran = bench.run(&[
        "characterise",
        "--predict",
        "wanted.csv",
        "--fit",
        "fit.json",
        "--map",
        "red=loading_red oxide paste",
        "--map",
        "white=loading_titanium white paste",
        "--to",
        "told.csv",
    ]);
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "", ""));
    let told = fs::read_to_string(bench.path("told.csv")).unwrap();
    let cells: Vec<&str> = told.lines().nth(1).unwrap().split(',').collect();
    assert_eq!((cells[0], cells[4], cells.len()), ("salmon", "", 41), "{told}");
    let lab: Vec<f64> = cells[1..4].iter().map(|cell| cell.parse().unwrap()).collect();
    assert!(lab[0] > 60.0 && lab[1] > 8.0 && lab[2] > 3.0, "a light red: {lab:?}");
}

#[test]
fn what_is_wrong_is_told() {
    let bench = Bench::demo();
    bench.run(&["characterise", "--samples", TABLE, "--fit-to", "fit.json"]);
    let fit = fs::read_to_string(bench.path("fit.json")).unwrap();
    let mut short = json(&fit);
    short["pigments"][0]["k"].as_array_mut().unwrap().pop();
    fs::write(bench.path("short.json"), short.to_string()).unwrap();
    fs::write(bench.path("newer.json"), fit.replacen("\"version\": 1", "\"version\": 2", 1))
        .unwrap();
    fs::write(bench.path("cut.json"), &fit[..fit.len() / 2]).unwrap();
    fs::write(bench.path("other.csv"), "loading_lime,film_mm,substrate\n1 %,1,white\n").unwrap();
    fs::write(bench.path("drops.csv"), "quantity_red oxide paste,substrate\n1,white\n").unwrap();
    for (words, word) in [
        ("--predict other.csv --fit fit.json", "the fit knows no pigment lime"),
        ("--predict drops.csv --fit fit.json", "the fit is of loadings"),
        ("--predict other.csv --fit short.json", "36 numbers"),
        ("--predict other.csv --fit newer.json", "form 2"),
        ("--predict other.csv --fit cut.json", "this is no fit"),
        ("--predict other.csv", "predict from what?"),
        ("--samples other.csv", "no reading"),
        ("--samples nowhere.csv", "does not exist"),
        (
            "--samples shop/readings/red-oxide-paste.csv --cross-validate 1",
            "a whole number from 2 to 100",
        ),
        ("--samples shop/readings/red-oxide-paste.csv --cross-validate 5", "cannot be held out"),
        ("--samples shop/readings/red-oxide-paste.csv --map a=quantity_b", "no column \"a\""),
        ("--samples other.csv --index 9", "between 1 and 3"),
    ] {
        let mut all = vec!["characterise"];
        all.extend(words.split(' '));
        let ran = bench.run(&all);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words}: {ran:?}");
        assert!(ran.err.contains(word), "{words}: {}", ran.err);
    }
}
