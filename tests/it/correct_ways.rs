//! What `correct` tells where it cannot correct all of a mix as it stands, as a person runs it: a larger vessel, two, a part
//! of it, or a plan that is late itself; and what is taken where it cannot be known.

use serde_json::Value;

use crate::program::{Bench, Ran};

/// `correct` of the demo's slate or fog with so much of A and B, colorants held, and further words.
fn correct(bench: &Bench, base: &str, parts: [&str; 2], held: &[&str], more: &[&str]) -> Ran {
    let [a, b] = parts;
    let words =
        ["correct", "tidewater-slate", base, "--shop", "shop", "--part-a", a, "--part-b", b];
    let held: Vec<&str> = held.iter().flat_map(|dose| ["--held", dose]).collect();
    bench.run(&[&words[..], &held, more].concat())
}

fn said(ran: &Ran) -> String {
    format!("{}{}", ran.out, ran.err).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).expect("JSON")
}

fn grams(value: &Value) -> f64 {
    value.as_f64().expect("grams")
}

/// Whatever is refused and has a way is laid out as any correction is, on lines of 100 columns, and JSON holds all of it.
#[test]
fn a_refused_correction_with_a_way_is_laid_out_as_any_other() {
    let bench = Bench::demo();
    let job = ["--job", "galley-kitchen", "--age", "4 min"];
    let ran = correct(&bench, "slate", ["1732g", "2462g"], &[], &job);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.err.is_empty() && ran.out.lines().all(|line| line.chars().count() <= 100));
    let (first, add) = ran.out.split_once("\nADD TO THAT\n").expect("an ADD block");
    assert!(first.contains("NOT ALL OF IT CAN BE CORRECTED: it would grow to "), "{first}");
    assert!(!first.contains("hint") && add.starts_with("  part A "), "{add}");
    let told =
        json(&correct(&bench, "slate", ["1732g", "2462g"], &[], &[&job[..], &["--json"]].concat()));
    assert_eq!(told["refused"], true, "{told}");
    let part = &told["in_part"];
    let kept = grams(&part["keep"]["mass_g"]);
    let all = kept + grams(&part["keep"]["not_kept_g"]);
    assert!((all - 4194.0).abs() < 1e-6 && (grams(&told["mass_before_g"]) - kept).abs() < 1e-6);
    for (key, words) in [("why", "at most 3000 g"), ("provided", "of part A more than the plan")] {
        assert!(part[key].as_str().unwrap_or_default().contains(words), "{key}: {part}");
    }
    assert!(part["keep"]["not_kept"].as_str().unwrap().contains("on foil outdoors"), "{part}");
    assert!(told["taken"][1].as_str().unwrap().starts_with("Not named"), "{told}");
    assert!(grams(&told["add"]["part_a_g"]) > 1000.0 && told["clock"].is_object(), "{told}");
    assert!(told["suspicions"][0].as_str().unwrap().contains("scale's reading"), "{told}");
}

/// A job whose own plan is late: a mix made anew would be late too, so what corrects it is told all the same.
#[test]
fn a_plan_that_is_late_itself_still_gets_amounts() {
    let bench = Bench::demo();
    let job = ["--job", "galley-kitchen", "--age", "4 min"];
    let with = |more: &[&str]| {
        let held = ["titanium white paste=56 g"];
        correct(&bench, "fog", ["1424g", "502g"], &held, &[&job[..], more].concat())
    };
    let in_time = with(&[]);
    assert_eq!(in_time.code, 0, "{in_time:?}");
    bench.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1");
    let late = with(&[]);
    assert_eq!(late.code, 1, "{late:?}");
    insta::assert_snapshot!(late.out);
    let told = json(&with(&["--json"]));
    assert!(told["refused"] == true && told["in_part"].is_null(), "{told}");
    assert!(grams(&told["late"]["planned_late_min"]) > 0.0, "{told}");
    // 1424 g of A need 600.5 g of B.
    assert!((grams(&told["add"]["part_b_g"]) - 100.0).abs() < 1.1, "{told}");
    // What A : B of all of it needs is not told where all of it would be too large.
    assert!(said(&late).contains("for that alone add 98.6 g of part B"), "{late:?}");
    let held = ["titanium white paste=53 g"];
    let part = correct(&bench, "fog", ["1893g", "1600g"], &held, &job);
    let text = said(&part);
    assert!(part.code == 1 && text.contains("TOO LATE") && text.contains("KEEP"), "{text}");
    assert!(!text.contains("for that alone") && !text.contains("THERE IS A WAY"), "{text}");
    assert_eq!(text.matches("what is not used is").count(), 1, "{text}");
    // A mix that is late on its own account is not one of a late plan.
    let old = ["--job", "sample-board", "--age", "50 min"];
    let old = correct(&bench, "fog", ["682g", "245g"], &[], &old);
    assert!(old.code == 1 && old.err.is_empty(), "{old:?}");
    assert!(said(&old).contains("TOO LATE: it cannot be poured in time"), "{old:?}");
    assert!(said(&old).contains("WHAT TO DO Mix anew; ") && !said(&old).contains("ADD"), "{old:?}");
}

/// That the job that is named cannot be planned is told with why, before what is assumed instead.
#[test]
fn a_job_that_cannot_be_planned_is_told_with_why() {
    let bench = Bench::demo();
    let pour = "pours: [(name: \"fog alone\", count: 1, layers: [Accent(\"ink\", \"40 %\"), Base(\"fog\", 100)]), ";
    bench.change("colourways/tidewater-slate.ron", "pours: [", pour);
    let job = ["--job", "galley-kitchen", "--age", "6 min"];
    let ran = correct(&bench, "slate", ["1893g", "700g"], &[], &job);
    assert_eq!(ran.code, 0, "{ran:?}");
    let text = said(&ran);
    let at = text.find("NO PLAN OF galley-kitchen: ").expect("that there is no plan");
    assert!(text[at..].contains("fog alone") && text[at..].contains("ceiling"), "{text}");
    assert!(text.contains("not known here") && !text.contains("or --job"), "{text}");
    assert!(text.contains("Vessel: 1 gal (ASSUMED, the house's smallest that holds it; --vessel)"));
    assert!(!text.contains("has no clock for"), "{text}");
    let unnamed = said(&correct(&bench, "slate", ["1893g", "700g"], &[], &[]));
    assert!(!unnamed.contains("NO PLAN") && unnamed.contains("--vessel, or --job"), "{unnamed}");
    // A refusal tells it too.
    let late = ["--job", "galley-kitchen", "--age", "60 min"];
    let refused = correct(&bench, "slate", ["1893g", "700g"], &[], &late);
    assert!(refused.code == 1 && said(&refused).contains("NO PLAN OF galley-kitchen"));
}

/// What is unfinished and too large for one vessel goes into two: nothing is thrown away.
#[test]
fn what_is_too_large_as_it_is_completed_is_shared_out() {
    let bench = Bench::demo();
    let ran = correct(&bench, "slate", ["2300g", "400g"], &[], &["--age", "5 min"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let one = ["2300g", "400g"];
    let told = json(&correct(&bench, "slate", one, &[], &["--age", "5 min", "--json"]));
    let share = &told["in_part"]["share_out"];
    assert!(share["vessels"] == 2 && (grams(&share["each_g"]) - 1350.0).abs() < 1e-6, "{told}");
    // 2300 g of A need 969.9 g of B.
    let b = 400.0 + 2.0 * grams(&told["add"]["part_b_g"]);
    assert!((b - 969.9).abs() < 2.1, "{told}");
    assert!(grams(&told["mass_after_g"]) <= 3000.0, "{told}");
    let added = 2.0 * (grams(&told["mass_after_g"]) - grams(&told["mass_before_g"]));
    assert!((grams(&told["beside"]["to_correct"]["mass_g"]) - added).abs() < 1e-6, "{told}");
    // Part A of two of the job's mixes makes these two.
    let job = ["--job", "galley-kitchen"];
    let two = said(&correct(&bench, "slate", ["3464g", "730g"], &[], &job));
    assert!(two.contains("SHARE OUT") && two.contains(" needs of slate 2 or 3: "), "{two}");
    // One that the job has no need of is not built up; nor is what is overdosed.
    let board = ["--job", "sample-board"];
    let one = said(&correct(&bench, "slate", ["3464g", "730g"], &[], &board));
    assert!(one.contains("KEEP") && !one.contains("SHARE OUT"), "{one}");
    let black = ["iron oxide black paste=120 g"];
    let over = said(&correct(&bench, "slate", ["1893g", "798g"], &black, &[]));
    assert!(over.contains("KEEP") && !over.contains("SHARE OUT"), "{over}");
}

/// Where all that is missing does not go in, but what brings the mix within tolerance does, that is told with why.
#[test]
fn less_than_all_that_is_missing_is_added_where_all_is_too_much() {
    let bench = Bench::demo();
    let held =
        ["ultramarine paste=26 g", "titanium white paste=23 g", "iron oxide black paste=30 g"];
    let with = |more: &[&str]| correct(&bench, "slate", ["2050g", "864g"], &held, more);
    let ran = with(&[]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(said(&ran).contains(
        "That brings it near, and does not complete the recipe: with all that is missing it would grow to 3004 g"
    ));
    let told = json(&with(&["--json"]));
    assert!(told["completes"] == false && grams(&told["mass_after_g"]) <= 3000.0, "{told}");
    assert!(grams(&told["delta_e00_after"]) <= 1.0, "{told}");
    assert!(told["falls_short"].as_str().unwrap().contains("3004 g"), "{told}");
    let whole = json(&correct(&bench, "slate", ["1893g", "798g"], &held, &["--json"]));
    assert!(whole["falls_short"].is_null(), "{whole}");
}

/// A mix with its sheet's A and B is told what the sheet weighs, why that is less, and which of both is right; before and
/// after it is tinted the other way of standing is told by its share alone. What is weighed out of a mix stands there.
#[test]
fn the_vessel_that_is_reckoned_with_is_told_where_it_moves_the_amounts() {
    let bench = Bench::demo();
    let job = ["--job", "galley-kitchen"];
    let sheet = said(&correct(&bench, "slate", ["1893g", "798g"], &[], &job));
    assert!(
        sheet.contains(
            "Reckoned on all that is stated, as if tinted in the vessel it is in. The mixing sheet reckons without the 45.2 g (1.68 %) that stay on the first vessel's wall: if A and B are then as on it for slate 1 and it is tinted in its clean second vessel, follow the sheet: iron oxide black paste 37.1 g, titanium white paste 21.2 g, ultramarine paste 23.8 g. Else follow this."
        ),
        "{sheet}"
    );
    let told =
        json(&correct(&bench, "slate", ["1893g", "798g"], &[], &[&job[..], &["--json"]].concat()));
    let own = &told["first_vessel"];
    assert_eq!(own["sheet"]["colorants"]["ultramarine paste"], "23.8 g", "{own}");
    // What little A : B is off by, within the scale's step, is not weighed.
    assert!(grams(&told["add"]["part_b_g"]).abs() < 1e-9, "{told}");
    let alone = said(&correct(&bench, "slate", ["1893g", "798g"], &[], &[]));
    assert!(alone.contains("If it moves into a clean second vessel first, about "), "{alone}");
    let black = ["iron oxide black paste=60 g"];
    let tinted = said(&correct(&bench, "slate", ["1893g", "798g"], &black, &[]));
    assert!(tinted.contains("have moved into the clean second one since, about "), "{tinted}");
    let kept = json(&correct(&bench, "slate", ["1732g", "2462g"], &[], &["--json"]));
    assert!(kept["first_vessel"].is_null() && kept["refused"] == true, "{kept}");
    let small = json(&correct(&bench, "fog", ["1262g", "520g"], &FOG, &["--json"]));
    assert!(small["first_vessel"].is_null(), "part B alone goes into the first: {small}");
}

/// Fog's colorants as the galley's sheet weighs them for its first mix.
const FOG: [&str; 3] = [
    "titanium white paste=49 g",
    "yellow oxide paste=2.12 g",
    "carbon black paste, let-down 1 : 9=3.60 g",
];

/// Where all but part B is as planned, part B is asked for and nothing else: a small mix leaves more on its first vessel's
/// wall than the colorants may be off, and its part B needs a fine scale.
#[test]
fn where_only_part_b_is_to_come_nothing_else_is_asked_for() {
    let bench = Bench::demo();
    for (name, colourway, size) in
        [("tile", "Tidewater Slate", "300x300mm"), ("shelf", "Kelp and Oyster", "200x200mm")]
    {
        let file = format!("jobs/{name}.ron");
        let board = format!(
            "(version: 1, name: \"{name}\", colourway: \"{colourway}\", boards: [(size: \"{size}\")], losses: (allowance: \"3 %\"))"
        );
        bench.put(&file, board);
        let plan = json(&bench.run(&["plan", "--job", name, "--shop", "shop", "--json"]));
        for base in plan["bases"].as_array().unwrap() {
            for mix in base["mixes"].as_array().unwrap() {
                only_part_b(&bench, [name, colourway], base["name"].as_str().unwrap(), mix);
            }
        }
    }
}

/// Part B, and nothing else, is asked for of a mix of a plan's JSON.
fn only_part_b(bench: &Bench, [job, colourway]: [&str; 2], base: &str, mix: &Value) {
    let held: Vec<String> = mix["colorants"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|dose| {
            let let_down = dose["let_down_percent"].as_f64();
            let let_down = let_down.map_or_else(String::new, |percent| {
                format!(", let-down 1 : {:.0}", 100.0 / percent - 1.0)
            });
            let (name, weight) = (dose["name"].as_str(), dose["weighed"]["shown"].as_str());
            ["--held".to_owned(), format!("{}{let_down}={}", name.unwrap(), weight.unwrap())]
        })
        .collect();
    let a = mix["part_a"]["shown"].as_str().unwrap();
    let words = ["correct", colourway, base, "--part-a", a, "--part-b", "0g", "--shop", "shop"];
    let held: Vec<&str> = held.iter().map(String::as_str).collect();
    for by_job in [&["--job", job][..], &[]] {
        let told = json(&bench.run(&[&words[..], &held, by_job, &["--json"]].concat()));
        let planned = grams(&mix["part_b"]["mass_g"]);
        let add = &told["add"];
        assert!(add["colorants"].as_array().unwrap().is_empty(), "{base} {add}");
        assert!(grams(&add["part_a_g"]).abs() < 1e-9, "{base} {add}");
        assert!((grams(&add["part_b_g"]) / planned - 1.0).abs() < 0.0075, "{base} {planned} {add}");
    }
}

/// Why the part is added too that there is too much of: with a let-down, to thin, or to a mass that is asked for.
#[test]
fn why_part_a_is_added_though_there_is_too_much_of_it_is_told() {
    let bench = Bench::demo();
    let job = ["--job", "galley-kitchen"];
    let [white, yellow, _] = FOG;
    let let_down = said(&correct(&bench, "fog", ["1262g", "440g"], &[white, yellow], &job));
    assert!(
        let_down.contains("not for the colour. A little part A comes in all the same, with what is let down in it."),
        "{let_down}"
    );
    let twice = ["titanium white paste=98 g"];
    let thinned = said(&correct(&bench, "fog", ["1262g", "440g"], &twice, &[]));
    let fresh = "Part A is added too: both parts together as fresh resin, to ";
    assert!(thinned.contains(&format!("{fresh}thin what there is too much of.")), "{thinned}");
    let more = ["--at-least", "2500g"];
    let filled = said(&correct(&bench, "fog", ["1262g", "440g"], &FOG, &more));
    assert!(filled.contains(&format!("{fresh}make up the mass that is asked for.")), "{filled}");
    let plain = said(&correct(&bench, "fog", ["1262g", "440g"], &FOG, &job));
    assert!(plain.contains("not for the colour. its colour"), "{plain}");
}

/// Part B with pigment and no part A neither heats nor cures: it keeps, and is told so.
#[test]
fn part_b_without_part_a_is_no_hot_left_over() {
    let bench = Bench::demo();
    let black = ["iron oxide black paste=200 g"];
    let none = said(&correct(&bench, "slate", ["0g", "798g"], &black, &[]));
    assert!(
        none.contains("set aside the other")
            && none.contains("it keeps closed as part B does, for this recipe alone")
            && none.contains("of part A and let it cure"),
        "{none}"
    );
    let little = said(&correct(&bench, "slate", ["300g", "798g"], &black, &[]));
    assert!(little.contains("too little part A to gel, it does not keep"), "{little}");
    let less = ["iron oxide black paste=150 g"];
    let half = said(&correct(&bench, "slate", ["900g", "798g"], &less, &[]));
    assert!(half.contains("throw away the other") && !half.contains("to gel"), "{half}");
}
