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
    assert!(steps.contains("pour containers 1–10 "), "{steps}");
    assert!(steps.contains(" (onto bar and shelf)"), "{steps}");
}

#[test]
fn so_do_the_sheets_and_the_labels() {
    let sheets = joined(&told(&pair(), &["--sheet", "mixing", "--sheet", "labels"]));
    for words in [
        "On which piece",
        " g of 6 (which holds ",
        "the rest of 6 (",
        "onto bar",
        "g of it allowance: poured last",
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

/// Each piece gets what its film, its faces and its edges take, reckoned here by hand; the allowance is what is left.
#[test]
fn no_piece_gets_the_allowance() {
    let plan: Value = serde_json::from_str(&told(&pair(), &["--json"])).unwrap();
    let pieces = plan["pieces"].as_array().unwrap();
    let g = |value: &Value| value["mass_g"].as_f64().unwrap();
    let demand = |key: &str| plan["demand_one_coat"][key].as_f64().unwrap();
    let (each, over) = (pieces.iter().map(g), &plan["over_pieces"]);
    let on_pieces: f64 = each.sum();
    let held = plan["upright_coats"]["splashbacks"]["mass_g"].as_f64().unwrap();
    let comes_out = on_pieces + g(over) + held;
    let needed = demand("flat_ml") + demand("upright_ml") + demand("run_off_ml");
    let share = (on_pieces + held) / comes_out;
    let wanted = needed / demand("out_of_containers_ml");
    // A container of which next to nothing would be taken is not shared.
    assert!((share - wanted).abs() < 0.002, "{share} {wanted}");
    // The bar: 16 ft² at the film, 1.5 ft² of faces, 12 of the 16 ft of edge.
    let film_mm = plan["film_mm"].as_f64().unwrap();
    let face_mm = plan["face_film_mm"].as_f64().unwrap();
    let ft2_mm_ml = 0.092_903_04 * 1000.0;
    let bar =
        16.0 * ft2_mm_ml * film_mm + 1.5 * ft2_mm_ml * face_mm + demand("run_off_ml") * 12.0 / 16.0;
    let g_per_ml = comes_out / demand("out_of_containers_ml");
    assert!(
        (g(&pieces[0]) / (bar * g_per_ml) - 1.0).abs() < 0.005,
        "{} {}",
        pieces[0],
        bar * g_per_ml
    );
}

/// The allowance is of the last small batch alone; what that leaves of it on the pieces is told.
#[test]
fn what_the_pieces_lack_until_the_allowance_is_poured_is_told() {
    let words = "The allowance is of what is poured last, for what is filled first would not wait";
    let bench = pair();
    let text = joined(&told(&bench, &[]));
    assert!(!text.contains(words), "next to nothing: {text}");
    bench.put("jobs/pair.ron", PAIR.replace("crew: 2", "crew: 2, losses: (allowance: \"15 %\")"));
    let text = joined(&told(&bench, &[]));
    assert!(text.contains(words), "{text}");
    let plan: Value = serde_json::from_str(&told(&bench, &["--json"])).unwrap();
    let of = |key: &str| plan["over_pieces"]["thinned_until_poured"][0][key].as_f64().unwrap();
    let (before, with) = (of("on_pieces_percent"), of("of_all_percent"));
    let name = plan["small_batches"].as_array().unwrap().last().unwrap()["name"].as_str().unwrap();
    let sentence = format!(
        "until it is poured {name} is {before:.0} % of what the pieces have, with it {with:.0} %."
    );
    assert!(text.contains(&sentence), "{sentence}: {text}");
    let [thinned] = &plan["over_pieces"]["thinned_until_poured"].as_array().unwrap()[..] else {
        panic!("one small batch: {}", plan["over_pieces"]);
    };
    let sum = |from: &Value, batches: &[u64]| -> f64 {
        let own = from["containers"].as_array().unwrap().iter();
        let own = own.filter(|one| {
            let number = one["container"].as_u64().unwrap();
            batches.is_empty() || (batches[0]..=batches[1]).contains(&number)
        });
        own.map(|one| one["mass_g"].as_f64().unwrap()).sum()
    };
    let counts: Vec<u64> = plan["small_batches"]
        .as_array()
        .unwrap()
        .iter()
        .map(|batch| batch["count"].as_u64().unwrap())
        .collect();
    let last = [counts[0] + 1, counts.iter().sum()];
    let pieces = plan["pieces"].as_array().unwrap();
    let [own, all] = [&last[..], &[]].map(|of| pieces.iter().map(|one| sum(one, of)).sum::<f64>());
    let over = [&last[..], &[]].map(|of| sum(&plan["over_pieces"], of));
    let percent = |key: &str| thinned[key].as_f64().unwrap() / 100.0;
    assert!((percent("on_pieces_percent") - own / all).abs() < 1e-6, "{thinned}");
    let of_all = (own + over[0]) / (all + over[1]);
    assert!((percent("of_all_percent") - of_all).abs() < 1e-6, "{thinned}");
}

#[test]
fn what_a_container_holds_is_shared_out_or_clings() {
    let text = joined(&told(&pair(), &[]));
    assert!(text.contains("g of each container stays on its wall"), "{text}");
    let plan: Value = serde_json::from_str(&told(&pair(), &["--json"])).unwrap();
    let clings = plan["over_pieces"]["clings_each_g"].as_array().unwrap();
    let parts = |number: u64| -> f64 {
        let over = plan["over_pieces"]["containers"].as_array().unwrap();
        let pieces = plan["pieces"].as_array().unwrap();
        let all =
            pieces.iter().flat_map(|piece| piece["containers"].as_array().unwrap()).chain(over);
        let own = all.filter(|one| one["container"].as_u64() == Some(number));
        own.map(|one| one["mass_g"].as_f64().unwrap()).sum()
    };
    let holds = plan["small_batches"][0]["mass_g"].as_f64().unwrap();
    let kept = holds - parts(6);
    let [least, most] = [&clings[0], &clings[1]].map(|each| each.as_f64().unwrap());
    assert!(least - 0.01 <= kept && kept <= most + 0.01, "{kept} {clings:?}");
}

/// The pieces are told and poured as the job's file has them.
#[test]
fn pieces_come_in_the_order_of_the_job() {
    let bench = pair();
    bench.put("jobs/pair.ron", PAIR.replace("\"bar\":", "\"window seat\":"));
    let plan: Value = serde_json::from_str(&told(&bench, &["--json"])).unwrap();
    for of in [&plan["pieces"], &plan["take_off"]["counters"]] {
        let names: Vec<&str> =
            of.as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect();
        assert_eq!(names, ["window seat", "shelf"]);
    }
}

#[test]
fn a_long_name_leaves_room_beside_it() {
    let bench = pair();
    let long =
        "the long counter under the river window, from the pier door to the pass and round it";
    bench.put("jobs/pair.ron", PAIR.replace("\"bar\":", &format!("\"{long}\":")));
    let text = told(&bench, &[]);
    let own = text.split("ON WHICH PIECE").nth(1).and_then(|own| own.split("\n\n").next()).unwrap();
    assert!(own.lines().count() < 16, "{own}");
}

/// Each piece has the longest time between two pours on it, and a long one is to be heeded.
#[test]
fn a_long_wait_between_two_pours_on_a_piece_is_told() {
    let bench = pair();
    bench.put("jobs/pair.ron", PAIR.replace("crew: 2", "crew: 1").replace("8 ft", "14 ft"));
    let plan: Value = serde_json::from_str(&told(&bench, &["--json"])).unwrap();
    let steps = plan["time"]["steps"].as_array().unwrap();
    let at = |container: &Value, key: &str| -> i64 {
        let name = format!("pour container {container}");
        let step = steps.iter().find(|step| step["step"] == name.as_str()).unwrap();
        step[key].as_i64().unwrap()
    };
    let mut long = 0;
    for piece in plan["pieces"].as_array().unwrap() {
        let from = piece["containers"].as_array().unwrap();
        let waits = from
            .windows(2)
            .map(|pair| at(&pair[1]["container"], "start_s") - at(&pair[0]["container"], "end_s"));
        let longest = waits.max().unwrap();
        assert_eq!(piece["longest_wait"]["seconds"].as_i64(), Some(longest), "{piece}");
        long += usize::from(longest > 600);
    }
    assert!(long > 0, "nothing to heed");
    let heeds = plan["heeds"].as_array().unwrap();
    let heed =
        heeds.iter().find_map(|heed| heed.as_str().filter(|own| own.contains("between two pours")));
    assert!(heed.is_some_and(|heed| heed.contains("min on shelf")), "{heeds:?}");
}

#[test]
fn one_piece_alone_is_not_told() {
    let bench = Bench::demo();
    assert!(!bench.kitchen_text(&[]).contains("ON WHICH PIECE"));
    assert_eq!(bench.kitchen_json()["pieces"], serde_json::json!([]));
}

/// Where something of the last containers is held back and the rest of it is allowance, both are told in grams and
/// no part of it twice.
#[test]
fn what_is_held_back_is_no_allowance() {
    let bench = pair();
    bench.put("jobs/pair.ron", PAIR.replace("height: \"4 in\"", "height: \"20 in\""));
    let plan: Value = serde_json::from_str(&told(&bench, &["--json"])).unwrap();
    let labels = joined(&told(&bench, &["--sheet", "labels"]));
    let text = joined(&told(&bench, &[]));
    let held = plan["upright_coats"]["splashbacks"]["each"].as_array().unwrap();
    let over = plan["over_pieces"]["containers"].as_array().unwrap();
    let mut both = 0;
    for one in held {
        let container = one["container"].as_u64().unwrap();
        let label = labels.split(&format!("container {container} of ")).nth(1).unwrap();
        let label = label.split(" · container ").next().unwrap();
        let kept = one["held_g"].as_f64().unwrap();
        assert_eq!(label.matches(&format!("HOLD BACK {kept:.0} g")).count(), 1, "{label}");
        let own = over.iter().find(|own| own["container"].as_u64() == Some(container));
        assert_eq!(own.is_some(), label.contains("allowance"), "{label}");
        let Some(own) = own else { continue };
        both += 1;
        let grams = own["mass_g"].as_f64().unwrap();
        assert!(label.contains(&format!("{grams:.0} g of it allowance: poured last")), "{label}");
        assert!(!label.contains("allowance: pour it"), "{label}");
        let told = [format!("{grams:.0} g of {container}"), format!("{grams:.0} of the ")];
        assert!(told.iter().any(|told| text.contains(told)), "{text}");
        assert!(!text.contains(&format!("the rest of {container} (")), "{text}");
    }
    assert!(both > 0, "none holds both: {held:?} {over:?}");
}
