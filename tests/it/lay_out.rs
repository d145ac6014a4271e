//! What is laid out before the first weighing, what becomes of let-downs, and with what edges and
//! splashbacks are coated.

use serde_json::Value;

use crate::program::Bench;

fn plan_of(bench: &Bench, job: &str) -> Value {
    let ran = bench.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
    serde_json::from_str(&ran.out).unwrap()
}

fn all<'a>(plan: &'a Value, key: &str) -> &'a Vec<Value> {
    plan[key].as_array().unwrap()
}

fn laid(plan: &Value, what: &str) -> u64 {
    let own = all(plan, "lay_out").iter().filter(|laid| laid["what"] == what);
    own.map(|laid| laid["count"].as_u64().unwrap()).sum()
}

fn doses(plan: &Value) -> impl Iterator<Item = &Value> {
    let mixes = all(plan, "bases").iter().flat_map(|base| all(base, "mixes"));
    mixes.flat_map(|mix| all(mix, "colorants"))
}

#[test]
fn vessels_and_cups_are_counted_from_the_plan() {
    let demo = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let plan = plan_of(&demo, job);
        let coats = plan["coats"].as_u64().unwrap();
        let mixes: usize = all(&plan, "bases").iter().map(|base| all(base, "mixes").len()).sum();
        assert_eq!(laid(&plan, "mixing vessel"), 2 * mixes as u64 * coats, "{job}");
        let containers = plan["containers"]["number"].as_u64().unwrap();
        assert_eq!(laid(&plan, "container"), containers * coats, "{job}");
        let cups = doses(&plan).filter(|dose| dose["means"] != "on top").count() as u64;
        assert_eq!(laid(&plan, "cup for a colorant"), cups * coats, "{job}");
        let let_downs = all(&plan, "let_downs").len() as u64;
        assert_eq!(laid(&plan, "let-down cup with a lid"), let_downs, "{job}");
        assert_eq!(laid(&plan, "tinting paddle"), 1, "{job}");
        // A cup holds twice what is weighed in it: nothing here is denser than 5 g/mL or lighter than 0.7.
        let largest = all(&plan, "lay_out")
            .iter()
            .filter(|laid| laid["what"] == "cup for a colorant")
            .map(|laid| laid["size_ml"].as_f64().unwrap())
            .fold(0.0, f64::max);
        for dose in doses(&plan).filter(|dose| dose["means"] != "on top") {
            let grams = dose["weighed"]["mass_g"].as_f64().unwrap();
            assert!(largest >= 2.0 * grams / 5.0, "{job}: {dose}");
        }
    }
}

#[test]
fn two_coats_need_twice_as_many() {
    let demo = Bench::demo();
    let once = plan_of(&demo, "round-table");
    let text = std::fs::read_to_string(demo.path("shop/jobs/round-table.ron")).unwrap();
    assert!(!text.contains("coats:"), "{text}");
    demo.change("jobs/round-table.ron", "version: 1,", "version: 1, coats: 2,");
    let twice = plan_of(&demo, "round-table");
    for what in ["mixing vessel", "container", "cup for a colorant"] {
        assert_eq!(laid(&twice, what), 2 * laid(&once, what), "{what}");
    }
    assert_eq!(laid(&twice, "mixing paddle"), laid(&once, "mixing paddle"), "wiped");
}

/// Each let-down has a label, and its rest a way to go that is not the bin.
#[test]
fn a_let_down_has_a_label_and_its_rest_is_cured() {
    let demo = Bench::demo();
    let plan = plan_of(&demo, "galley-kitchen");
    let [let_down] = &all(&plan, "let_downs")[..] else { panic!("{}", plan["let_downs"]) };
    let figure = |key: &str| let_down[key].as_f64().unwrap();
    let a = figure("left_g") * (1.0 - figure("ratio_percent") / 100.0);
    let b = a * plan["part_b_per_100_g_part_a_g"].as_f64().unwrap() / 100.0;
    assert!((figure("part_b_for_left_g") - b).abs() < 1e-9, "{let_down}");
    let ran =
        demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--html", "page.html"]);
    assert!(ran.out.contains("never into the bin wet"), "{}", ran.out);
    let page = std::fs::read_to_string(demo.path("page.html")).unwrap();
    let labels = page.split("<ul class=\"labels\">").nth(1).unwrap();
    let first = labels.split("</li>").next().unwrap();
    for words in
        ["carbon black paste 1 : 9", "let-down for fog 1–3", "part A", "does not cure", "cure with"]
    {
        assert!(first.contains(words), "{words}: {first}");
    }
}

/// Edges and splashbacks have a step of their own after the last pour and before the mist, with what the
/// containers hold for them.
#[test]
fn edges_and_splashbacks_are_coated_from_the_last_containers() {
    let demo = Bench::demo();
    for (job, splashback) in
        [("galley-kitchen", true), ("curved-bar", false), ("sample-board", false)]
    {
        let plan = plan_of(&demo, job);
        let steps = all(&plan["time"], "steps");
        let coat = steps.iter().find(|step| step["step"] == "coat edges and splashbacks");
        if all(&plan["take_off"], "counters").is_empty() {
            assert!(plan["upright_coats"].is_null() && coat.is_none(), "{job}");
            continue;
        }
        let coat = coat.unwrap();
        let start = coat["start_s"].as_i64().unwrap();
        for step in steps {
            let words = step["step"].as_str().unwrap();
            if words.starts_with("pour ") {
                assert!(step["end_s"].as_i64().unwrap() <= start, "{job}: {step}");
            }
            if words.starts_with("mist") {
                let at = |value: &Value| value.as_i64().unwrap();
                assert!(at(&step["start_s"]) >= at(&coat["end_s"]), "{job}: {step}");
            }
        }
        let coats = &plan["upright_coats"];
        let held = &coats["splashbacks"];
        assert_eq!(held.is_object(), splashback, "{job}: {held}");
        // Together they are the upright volume of the demand, as dense as what is poured.
        let held_g = held["mass_g"].as_f64().unwrap_or(0.0);
        let grams: f64 = all(&plan, "small_batches")
            .iter()
            .map(|batch| batch["mass_g"].as_f64().unwrap() * batch["count"].as_f64().unwrap())
            .sum();
        let containers = &plan["containers"];
        let ml = containers["number"].as_f64().unwrap() * containers["fill_ml"].as_f64().unwrap();
        let volume = (held_g + coats["edges_g"].as_f64().unwrap()) / (grams / ml);
        let upright = plan["demand_one_coat"]["upright_ml"].as_f64().unwrap();
        assert!((volume - upright).abs() < 1e-6 * upright, "{job}: {volume} {upright}");
        if splashback {
            let [first, last] = ["first_container", "last_container"].map(|key| &held[key]);
            assert_eq!(last, &containers["number"], "{job}");
            let count = last.as_f64().unwrap() - first.as_f64().unwrap() + 1.0;
            assert!(held_g <= count * grams / containers["number"].as_f64().unwrap(), "{job}");
        }
    }
}

/// What is held back waits: the clock of its mixes runs until it is brushed on.
#[test]
fn a_slow_brush_is_seen_by_the_clock() {
    let demo = Bench::demo();
    let last_pour = |plan: &Value| {
        let mixes = all(&plan["time"], "mixes");
        mixes.iter().map(|mix| mix["last_pour_s"].as_i64().unwrap()).max().unwrap()
    };
    let before = last_pour(&plan_of(&demo, "galley-kitchen"));
    demo.change(
        "house.ron",
        "fill: \"80 %\",",
        "fill: \"80 %\", durations: { \"coat a square metre\": \"10 min\" },",
    );
    let after = last_pour(&plan_of(&demo, "galley-kitchen"));
    // Five minutes more for each of its 0.845 m².
    assert!((after - before - 253).abs() <= 2, "{before} {after}");
}

/// A powder lies ten times looser than its particles are dense, and a cup is filled by half: 20 g of mica of 2 g/mL are
/// 10 mL of what has no air in it, and 100 mL as it is poured: a cup of 250 mL and not one of 30 mL.
#[test]
fn a_powder_s_cup_is_measured_by_its_loose_volume() {
    const SIZES_ML: [f64; 6] = [30.0, 60.0, 120.0, 250.0, 500.0, 1000.0];
    let bench = Bench::demo();
    let mica = |kind: &str| {
        format!(
            "(version: 1, name: \"pewter mica\", kind: {kind}, density: \"2 g/mL\", finish: Pearl, ceiling: \"6 %\", standing: Datasheet)"
        )
    };
    bench.put(
        "colourways/storm.ron",
        r##"(version: 1, name: "Storm", system: "clear flood 2:1", film: "3 mm", primer: "#f4f2ec", container: "16 fl oz",
        bases: { "grey": (colorants: { "pewter mica": "1.3 %" }) },
        pours: [(name: "plain", count: 6, layers: [Base("grey", 100)])])"##,
    );
    let mut seen = Vec::new();
    for (kind, loose) in [("Powder", 10.0), ("Dye", 1.0)] {
        bench.put("colorants/pewter.ron", mica(kind));
        for area in ["6 ft2", "30 ft2"] {
            let words = ["plan", "Storm", "--area", area, "--crew", "2", "--units", "metric"];
            let ran = bench.run(&[&words[..], &["--json", "--shop", "shop"]].concat());
            let plan: Value = serde_json::from_str(&ran.out).unwrap();
            let cups = all(&plan, "lay_out").iter().filter(|it| it["what"] == "cup for a colorant");
            let mut laid: Vec<f64> = cups
                .flat_map(|cup| {
                    let size = cup["size_ml"].as_f64().unwrap();
                    (0..cup["count"].as_u64().unwrap()).map(move |_| size)
                })
                .collect();
            let own = doses(&plan).filter(|dose| dose["means"] == "in a cup");
            let mut wanted: Vec<f64> = own
                .map(|dose| {
                    let needs = dose["weighed"]["mass_g"].as_f64().unwrap() / 2.0 * loose * 2.0;
                    *SIZES_ML.iter().find(|size| **size >= needs).unwrap()
                })
                .collect();
            laid.sort_by(f64::total_cmp);
            wanted.sort_by(f64::total_cmp);
            assert!(!wanted.is_empty(), "{plan}");
            assert_eq!(laid.len(), wanted.len(), "{kind}, {area}");
            for (is, wanted) in laid.iter().zip(&wanted) {
                assert!((is - wanted).abs() < 1e-6, "{kind}, {area}: {is} mL, not {wanted}");
            }
            seen.extend(wanted);
        }
    }
    seen.sort_by(f64::total_cmp);
    assert!(seen.last() > seen.first(), "both a small cup and a large one: {seen:?}");
}

/// Each scale that something is weighed on is laid out, and one more for each hand that wants it at once.
#[test]
fn scales_are_laid_out_as_the_clock_wants_them() {
    let demo = Bench::demo();
    let counts = |plan: &Value| -> Vec<(String, u64)> {
        let scales = all(plan, "lay_out").iter().filter(|laid| laid["what"] == "scale");
        let name = |laid: &Value| laid["scale"].as_str().unwrap().to_owned();
        scales.map(|laid| (name(laid), laid["count"].as_u64().unwrap())).collect()
    };
    let two = plan_of(&demo, "galley-kitchen");
    let wanted = all(&two["time"], "scales_wanted_at_once");
    assert!(!wanted.is_empty());
    for (name, count) in counts(&two) {
        let hands = wanted.iter().find(|one| one["scale"] == name.as_str());
        assert_eq!(count, hands.map_or(1, |one| one["hands"].as_u64().unwrap()), "{name}");
    }
    let text = demo.kitchen_text(&[]);
    assert!(text.contains("2 bench scale one a hand that weighs on it at once"), "{text}");
    demo.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1");
    let one = plan_of(&demo, "galley-kitchen");
    assert!(counts(&one).len() >= 2 && counts(&one).iter().all(|(_, count)| *count == 1));
}

/// A syringe draws no powder: one that is too small for every scale is told to be so, container by container.
#[test]
fn a_powder_is_shared_out_by_no_syringe() {
    let demo = Bench::demo();
    let scales = "(version: 1, scales: [(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\"), (name: \"small scale\", readability: \"0.1 g\", capacity: \"2 kg\")])";
    demo.put("house.ron", scales);
    let told = |more: &[&str]| demo.kitchen_text(more);
    assert!(told(&[]).contains("accent, by syringe"), "a liquid is");
    let colourway = "colourways/tidewater-slate.ron";
    demo.change(colourway, "\"carbon black liquid\"", "\"bronze mica\"");
    let text = told(&[]);
    assert!(!text.contains("syringe"), "{text}");
    assert!(text.contains("accent, own cup; BELOW its minimum of 4.1"), "{text}");
    // Well within the step of the scale, which does not weigh it within the tolerance all the same.
    let heed = text.split("HEED: too coarse a scale: ink ").nth(1).unwrap();
    let heed = heed.split("HEED").next().unwrap();
    assert!(heed.contains(" and weighs to 2 % only from 4.10 g on"), "{heed}");
    assert!(heed.contains(" on. A scale of 0.01 g weighs it"), "{heed}");
    assert!(!heed.contains("share one cup"), "{heed}");
    let labels = told(&["--sheet", "labels"]);
    assert!(
        !labels.contains("syringe") && labels.contains("BELOW its scale's minimum"),
        "{labels}"
    );
    let plan = plan_of(&demo, "galley-kitchen");
    assert_eq!(laid(&plan, "syringe"), 0);
    for batch in all(&plan, "small_batches") {
        for layer in all(batch, "layers_from_bottom").iter().filter(|l| l["kind"] == "accent") {
            assert!(layer["volume_each_ml"].is_null() && layer["means"] == "in a cup", "{layer}");
        }
    }
}

/// A syringe is bound to no scale's step, so a dose that is shared out is the one that is wanted; its cup is weighed to the
/// scale's step and holds more than all doses.
#[test]
fn a_shared_cup_holds_more_than_its_doses() {
    let demo = Bench::demo();
    let scale = "(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\")";
    demo.put("house.ron", format!("(version: 1, scales: [{scale}])"));
    let plan = plan_of(&demo, "sample-board");
    let g = |layer: &Value, key: &str| layer[key].as_f64().unwrap();
    let mut shared = 0;
    for batch in all(&plan, "small_batches") {
        for layer in all(batch, "layers_from_bottom").iter().filter(|l| l["kind"] == "accent") {
            assert_eq!(layer["means"], "shared cup");
            let wanted = g(batch, "resin_g") * g(layer, "loading_percent") / 100.0;
            assert!((g(layer, "mass_each_g") - wanted).abs() < 1e-9, "{layer}");
            let doses = g(layer, "mass_each_g") * g(layer, "containers_sharing");
            let cup = doses + g(layer, "spare_each_g") * g(layer, "containers_sharing");
            assert!(cup >= doses * 1.05 && (cup - cup.round()).abs() < 1e-9, "{cup} for {doses}");
            shared += 1;
        }
    }
    assert_eq!(shared, 2);
    let text = demo.run(&["plan", "--job", "sample-board", "--shop", "shop"]).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = "ink 2.16 g syringe shows 2 mL 0.6 % accent, by syringe: of one cup for all 2 and a little over, 5 g on the bench scale";
    assert!(text.contains(told), "{text}");
    assert!(!text.contains("density); BELOW"), "no scale weighs the dose: {text}");
}

/// What no file prices stands under what is bought: what the steps use up, and scales that the clock wants at once. What
/// no step uses is not told.
#[test]
fn what_is_to_be_had_besides_is_told_under_what_is_bought() {
    let bench = Bench::demo();
    let words = |job: &str, more: &[&str]| {
        let words = ["plan", "--job", job, "--shop", "shop"];
        let ran = bench.run(&[&words[..], more].concat());
        assert!(ran.code < 2, "{ran:?}");
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let all = "have ready, not priced: all that is to be laid out, primer #e8e6e0 for 45.2 ft², nitrile gloves, goggles, a fitted particulate respirator for dust, a respirator with organic-vapour cartridges, a mist sprayer, a brush and foil for ";
    let scales = "not priced either, wanted at once by the clock: 1 more bench scale (1 g) and 1 more pocket scale (0.01 g)";
    for more in [&[][..], &["--sheet", "buying"]] {
        let kitchen = words("galley-kitchen", more);
        assert!(kitchen.contains(all), "{kitchen}");
        assert!(kitchen.contains(scales), "{kitchen}");
    }
    // Nothing is misted, and one hand needs one scale.
    bench.change("colourways/tidewater-slate.ron", "mist: Light", "mist: None");
    bench.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1");
    let kitchen = words("galley-kitchen", &[]);
    assert!(kitchen.contains("nitrile gloves, goggles, a fitted particulate respirator for dust, a brush and foil for "), "{kitchen}");
    assert!(!kitchen.contains("not priced either"), "{kitchen}");
    // A board has no faces to brush.
    let board = words("sample-board", &[]);
    assert!(
        board.contains(
            "nitrile gloves, goggles, a fitted particulate respirator for dust and foil for "
        ),
        "{board}"
    );
}

/// The first sheet and the plan say when the allowance is poured, and that what stands beside what is held back is of it.
#[test]
fn when_the_allowance_is_poured_is_told_where_it_is_poured() {
    let bench = Bench::demo();
    let plan = bench.kitchen_text(&[]);
    let over = &bench.kitchen_json()["over_pieces"];
    let [first, last] = [0, all(over, "containers").len() - 1]
        .map(|at| all(over, "containers")[at]["container"].as_u64().unwrap());
    let told = "The allowance is poured last, and only where the film is still too thin: ";
    let pour = plan.find("POUR: ").unwrap();
    let at = plan.find(told).unwrap_or_else(|| panic!("{told}: {plan}"));
    assert!(pour < at && at < plan.find("FILL: ").unwrap(), "{plan}");
    let in_all = format!(", {:.0} g in all.", over["mass_g"].as_f64().unwrap());
    assert!(plan[at..].contains(&in_all), "{plan}");
    assert!(plan.contains(&format!("g more of {last} are allowance)")), "{plan}");
    assert!(!plan.contains("(pour "), "what is allowance is not told to be poured: {plan}");
    let sheet = bench.kitchen_text(&["--sheet", "mixing"]);
    let told =
        format!("before brushing; allowance ({first}–{last}) last, only where still too thin.");
    assert!(sheet.contains(&told), "{told}: {sheet}");
}

/// Two scales that do the same are two hands' scales: both are laid out, and none is missing.
#[test]
fn scales_that_do_the_same_are_laid_out_for_each_hand() {
    let bench = Bench::demo();
    let before = plan_of(&bench, "galley-kitchen");
    let scales = |plan: &Value| -> Vec<(String, u64)> {
        all(plan, "lay_out")
            .iter()
            .filter_map(|laid| Some((laid["scale"].as_str()?.to_owned(), laid["count"].as_u64()?)))
            .collect()
    };
    assert!(scales(&before).contains(&("bench scale".to_owned(), 2)), "{before}");
    let own = "(name: \"second bench\", readability: \"1 g\", capacity: \"15 kg\"),\n        (name: \"small scale\"";
    bench.change("house.ron", "(name: \"small scale\"", own);
    let after = plan_of(&bench, "galley-kitchen");
    for name in ["bench scale", "second bench"] {
        assert!(scales(&after).contains(&(name.to_owned(), 1)), "{name}: {:?}", scales(&after));
    }
    let short = all(&after["time"], "scales_wanted_at_once");
    assert!(short.iter().all(|one| one["scale"] == "pocket scale"), "{short:?}");
}
