//! A job of several pieces says which containers go on which: in the plan, on its sheets and labels, in JSON.

use serde_json::Value;

use crate::program::Bench;

const PAIR: &str = r#"(
    version: 1,
    name: "bar and shelf",
    colourway: "Tidewater Slate",
    counters: {
        "bar": (shape: Rectangle("8 ft", "2 ft"), edges: [(length: "12 ft", face: "1 1/2 in")]),
        "shelf": (
            shape: Rectangle("4 ft", "1 ft"),
            edges: [(length: "4 ft", face: "1 1/2 in")],
            splashbacks: [(length: "4 ft", height: "4 in")],
        ),
    },
    crew: 2,
)"#;

fn pair() -> Bench {
    let bench = Bench::demo();
    bench.put("jobs/pair.ron", PAIR);
    bench
}

fn told(bench: &Bench, more: &[&str]) -> String {
    let words = [&["plan", "--job", "pair", "--shop", "shop"], more].concat();
    bench.run(&words).out
}

fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_plan_says_which_containers_go_on_which_piece() {
    let text = told(&pair(), &[]);
    let own = text.split("ON WHICH PIECE").nth(1).and_then(|own| own.split("\nFILL").next());
    insta::assert_snapshot!(own.unwrap());
    let steps = joined(&text);
    assert!(steps.contains("pour 1–10 (onto bar and shelf)"), "{steps}");
}

#[test]
fn so_do_the_sheets_and_the_labels() {
    let sheets = joined(&told(&pair(), &["--sheet", "mixing", "--sheet", "labels"]));
    for words in [
        "On which piece",
        "198 g of 6",
        "the rest of 6 (159 g)",
        "onto bar",
        "198 g onto bar, 159 g onto shelf",
    ] {
        assert!(sheets.contains(words), "{words}: {sheets}");
    }
}

/// What lands on the pieces is what comes out of the containers, and each gets the same proportion of small batches.
#[test]
fn what_is_poured_lands_on_some_piece() {
    let plan: Value = serde_json::from_str(&told(&pair(), &["--json"])).unwrap();
    let pieces = plan["pieces"].as_array().unwrap();
    assert_eq!(pieces.len(), 2);
    let mut first_batch = Vec::new();
    for piece in pieces {
        let from = piece["containers"].as_array().unwrap();
        let of = |low: u64, high: u64| -> f64 {
            let own = from
                .iter()
                .filter(|one| (low..=high).contains(&one["container"].as_u64().unwrap()));
            own.map(|one| one["mass_g"].as_f64().unwrap()).sum()
        };
        let (all, mass) = (of(1, u64::MAX), piece["mass_g"].as_f64().unwrap());
        assert!((all / mass - 1.0).abs() < 0.01, "{all} of {mass}");
        first_batch.push(of(1, 7) / all);
    }
    assert!((first_batch[0] - first_batch[1]).abs() < 0.01, "{first_batch:?}");
    let shares: f64 = pieces.iter().map(|piece| piece["share_percent"].as_f64().unwrap()).sum();
    assert!((shares - 100.0).abs() < 1e-9, "{shares}");
}

#[test]
fn one_piece_alone_is_not_told() {
    let bench = Bench::demo();
    assert!(!bench.kitchen_text(&[]).contains("ON WHICH PIECE"));
    assert_eq!(bench.kitchen_json()["pieces"], serde_json::json!([]));
}
