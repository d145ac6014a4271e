//! The clock, the gate and the cautions as a person meets them, through the program.

use pourbook::model::{House, HouseParts, Job, JobParts};
use pourbook::plan::run_sheet::RunSheetError;
use pourbook::quantity::{Mass, Temperature, Units, Volume};
use proptest::prelude::*;
use serde_json::Value;

use crate::program::Bench;
use crate::random_jobs::cases;

const PLAN: [&str; 5] = ["plan", "--job", "galley", "--shop", "shop"];

fn planned(bench: &Bench) -> Value {
    let mut words = PLAN.to_vec();
    words.push("--json");
    let ran = bench.run(&words);
    let plan: Value = serde_json::from_str(&ran.out).unwrap();
    let stops = plan["stops"].as_array().unwrap().len();
    assert_eq!(ran.code, i32::from(stops > 0), "{}", ran.err);
    plan
}

fn makespan(plan: &Value) -> i64 {
    plan["time"]["makespan_s"].as_i64().unwrap()
}

fn findings(plan: &Value) -> String {
    let all = plan["time"]["findings"].as_array().unwrap();
    all.iter().map(|one| one["text"].as_str().unwrap()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_clock_begins_when_the_first_b_meets_a() {
    let demo = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let ran = demo.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
        let plan: Value = serde_json::from_str(&ran.out).unwrap();
        let steps = plan["time"]["steps"].as_array().unwrap();
        let first = steps.iter().map(|step| step["start_s"].as_i64().unwrap()).min();
        assert_eq!(first, Some(0), "{job}");
        let last = steps.iter().map(|step| step["end_s"].as_i64().unwrap()).max();
        assert_eq!(last, Some(makespan(&plan)), "{job}");
        assert!(makespan(&plan) >= plan["time"]["critical_path_s"].as_i64().unwrap(), "{job}");
    }
}

#[test]
fn a_shop_s_own_durations_move_the_clock() {
    let bench = Bench::small();
    let usual = makespan(&planned(&bench));
    bench.change(
        "house.ron",
        "fill: \"80 %\",",
        "fill: \"80 %\", durations: { \"pour\": \"6 min\", \"wait between mists\": \"8 min\" },",
    );
    assert!(makespan(&planned(&bench)) > usual + 3 * 60, "slower hands, later end");
}

#[test]
fn a_step_that_is_none_is_told_with_the_nearest_one() {
    let bench = Bench::small();
    bench.change(
        "house.ron",
        "fill: \"80 %\",",
        "fill: \"80 %\", durations: { \"wait betwen mists\": \"8 min\", \"pour\": \"9 days\" },",
    );
    let ran = bench.run(&PLAN);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("wait between mists"), "{}", ran.err);
}

#[test]
fn a_step_takes_no_longer_than_a_day() {
    let bench = Bench::small();
    bench.change(
        "house.ron",
        "fill: \"80 %\",",
        "fill: \"80 %\", durations: { \"pour\": \"30 h\" },",
    );
    let ran = bench.run(&PLAN);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("a step takes 0 s to 24 h"), "{}", ran.err);
}

/// A plan that must not be poured as it is: shown, saved, and refused.
fn stopped(bench: &Bench, words: &[&str]) -> (Value, String) {
    let ran = bench.run(&[words, &["--json"]].concat());
    assert_eq!(ran.code, 1, "{ran:?}");
    let plan: Value = serde_json::from_str(&ran.out).unwrap();
    let stops = plan["stops"].as_array().unwrap();
    assert!(!stops.is_empty(), "{}", ran.err);
    for stop in stops {
        for key in ["text", "remedy"] {
            assert!(stop[key].as_str().is_some_and(|words| words.len() > 5), "{key}: {stop}");
        }
    }
    let ran = bench.run(&[words, &["--save", "kept"]].concat());
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.err.contains("refused: STOP"), "{}", ran.err);
    let told: Vec<&str> = ran.out.lines().skip(2).take(1).collect();
    assert!(told[0].starts_with("STOP: "), "under the title: {told:?}");
    assert!(ran.out.lines().any(|line| line.trim_start().starts_with("mend: ")), "{}", ran.out);
    let page = std::fs::read_to_string(bench.path("kept/sheets.html")).unwrap();
    let title = page.find("Mixing sheet</h1>").unwrap();
    let stop = page.find("<strong>STOP:</strong>").unwrap();
    assert!(title < stop && stop < page.find("Date and crew").unwrap(), "at the sheet's top");
    for sheet in ["Buying list</h1>", "Labels</h1>"] {
        let own = page.split(sheet).nth(1).unwrap();
        let own = own.split("</h1>").next().unwrap();
        assert!(own.contains("<strong>STOP:</strong>"), "{sheet}");
    }
    let one_line = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
    for stop in stops {
        let words = one_line(stop["text"].as_str().unwrap());
        assert!(one_line(&ran.out).contains(&words), "in the units of the page: {words}");
    }
    (plan, ran.out)
}

#[test]
fn a_surface_near_the_dew_point_stops_the_pour() {
    let bench = Bench::small();
    let sound = planned(&bench);
    assert!(!findings(&sound).contains("dew point"), "a room as it should be");
    assert_eq!(sound["stops"].as_array().unwrap().len(), 0, "nothing speaks against it");
    bench.change(
        "jobs/galley.ron",
        "humidity: \"50 %\",",
        "humidity: \"70 %\", surface: \"62 °F\",",
    );
    let (plan, text) = stopped(&bench, &PLAN);
    assert!(findings(&plan).contains("dew point"), "{}", findings(&plan));
    assert!(text.contains("STOP: the surface"), "{text}");
}

#[test]
fn what_cannot_be_poured_in_time_is_refused_with_what_would_do() {
    let demo = Bench::demo();
    let words = ["plan", "mooring-rope", "--kit", "3gal", "--shop", "shop"];
    let (plan, text) = stopped(&demo, &words);
    let stop = &plan["stops"][0];
    assert!(stop["text"].as_str().unwrap().contains("after the end of its pot life"), "{stop}");
    assert!(stop["remedy"].as_str().unwrap().contains("a crew of 3"), "{stop}");
    assert!(text.contains("tried: "), "all that was tried stands with the clock: {text}");
}

#[test]
fn mist_that_is_dangerous_to_breathe_stops_the_pour() {
    let bench = Bench::small();
    bench.change("jobs/galley.ron", "room: \"40 m3\",", "room: \"8 m3\",");
    let (plan, _) = stopped(&bench, &PLAN);
    assert!(
        plan["stops"][0]["text"].as_str().unwrap().contains("DO NOT MIST"),
        "{}",
        plan["stops"]
    );
}

/// Every layer of every container comes whole out of mixes that have it to give.
#[test]
fn mixes_fill_every_container_and_give_no_more_than_they_hold() {
    let demo = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let ran = demo.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
        let plan: Value = serde_json::from_str(&ran.out).unwrap();
        let whole = |value: &Value| value.as_u64().unwrap();
        let mut given = std::collections::BTreeMap::new();
        for fills in plan["fills"].as_array().unwrap() {
            let mut of_mix = 0.0;
            for portion in fills["portions"].as_array().unwrap() {
                let containers =
                    whole(&portion["first_container"])..=whole(&portion["last_container"]);
                for container in containers {
                    let each = portion["mass_each_g"].as_f64().unwrap();
                    of_mix += each;
                    *given
                        .entry((container, whole(&portion["layer_from_bottom"])))
                        .or_insert(0.0) += each;
                }
            }
            let bases = plan["bases"].as_array().unwrap();
            let base = bases.iter().find(|base| base["name"] == fills["base"]).unwrap();
            let mix = usize::try_from(whole(&fills["mix"])).unwrap() - 1;
            let holds = base["mixes"][mix]["mass_g"].as_f64().unwrap();
            assert!(of_mix <= holds, "{job}: {fills}");
        }
        let mut container = 0;
        for batch in plan["small_batches"].as_array().unwrap() {
            for _ in 0..whole(&batch["count"]) {
                container += 1;
                for (layer, number) in
                    batch["layers_from_bottom"].as_array().unwrap().iter().zip(1..)
                {
                    if layer["kind"] == "base" {
                        let wanted = layer["weighed"]["mass_g"].as_f64().unwrap();
                        let has = given.remove(&(container, number)).unwrap_or(0.0);
                        assert!(
                            (has - wanted).abs() < 1e-9 * wanted,
                            "{job}: {container}, {number}"
                        );
                    }
                }
            }
        }
        assert!(given.is_empty(), "{job}: {given:?}");
    }
}

/// A container takes each of its layers whole from one mix, and a mix holds whole containers' worth.
#[test]
fn no_layer_of_the_demo_is_topped_up_from_the_next_mix() {
    let demo = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let ran = demo.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
        let plan: Value = serde_json::from_str(&ran.out).unwrap();
        for fills in plan["fills"].as_array().unwrap() {
            let mut given = 0.0;
            for portion in fills["portions"].as_array().unwrap() {
                assert_eq!(portion["mass_each_g"], portion["layer_mass_g"], "{job}: {fills}");
                let count = portion["last_container"].as_f64().unwrap()
                    - portion["first_container"].as_f64().unwrap()
                    + 1.0;
                given += count * portion["mass_each_g"].as_f64().unwrap();
            }
            let bases = plan["bases"].as_array().unwrap();
            let base = bases.iter().find(|base| base["name"] == fills["base"]).unwrap();
            let number = usize::try_from(fills["mix"].as_u64().unwrap()).unwrap();
            let mix = &base["mixes"][number - 1];
            assert!((given - mix["out_g"].as_f64().unwrap()).abs() < 1e-6, "{job}: {fills}");
        }
    }
}

/// Where a layer is more than the largest mix holds, it is filled from one mix and then from the next.
#[test]
fn a_layer_larger_than_a_mix_is_filled_from_two() {
    let demo = Bench::demo();
    demo.change("house.ron", "largest_mix: \"3 kg\"", "largest_mix: \"240 g\"");
    let ran = demo.run(&["plan", "--job", "round-table", "--shop", "shop", "--json"]);
    let plan: Value = serde_json::from_str(&ran.out).unwrap();
    let portions = plan["fills"].as_array().unwrap().iter().flat_map(|fills| {
        fills["portions"]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["mass_each_g"] != one["layer_mass_g"])
    });
    assert!(portions.filter(|part| *part).count() > 1, "{}", plan["fills"]);
}

/// Each of two hands has a run of steps of its own, numbered, one after another in time; together they
/// fill and pour each container once.
#[test]
fn each_hand_reads_its_own_run_of_steps() {
    let demo = Bench::demo();
    let text = demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    let clock = text.split("\nCLOCK").nth(1).unwrap().split("Pot lives").next().unwrap();
    let runs: Vec<&str> = clock.split("  hand ").skip(1).collect();
    assert_eq!(runs.len(), 2, "{clock}");
    let (mut filled, mut poured) = (Vec::new(), Vec::new());
    for (run, who) in runs.iter().zip(["1 of 2", "2 of 2"]) {
        assert!(run.starts_with(who), "{run}");
        let minutes = |time: &str| {
            let (hours, minutes) = time.split_once(':').unwrap();
            hours.parse::<u32>().unwrap() * 60 + minutes.parse::<u32>().unwrap()
        };
        let mut ended = 0;
        // A step that is longer than a line goes on below.
        let mut steps: Vec<String> = Vec::new();
        for line in run.lines().skip(1) {
            let words: Vec<&str> = line.split_whitespace().collect();
            match (words.get(..2), steps.last_mut()) {
                (Some([number, time]), _) if number.ends_with('.') && time.contains(':') => {
                    steps.push(words.join(" "));
                }
                (_, Some(last)) => *last = format!("{last} {}", words.join(" ")),
                (_, None) => {}
            }
        }
        let mut number = 0;
        for line in &steps {
            let words: Vec<&str> = line.split_whitespace().collect();
            number += 1;
            assert_eq!(words[0], format!("{number}."), "{run}");
            assert!(ended <= minutes(words[1]), "{line}: one thing at a time");
            // A step that ends in the minute in which it begins has one time alone.
            let last = if words[2].contains(':') { 2 } else { 1 };
            ended = minutes(words[last]);
            let what = words[last + 1..].join(" ");
            // What is kept back at the last pour is no container's.
            let what = what.split("; keep back").next().unwrap();
            let what = what.split("; then, only where").next().unwrap();
            let what = what.split("; of these").next().unwrap().to_owned();
            // Of the last container a part alone is poured, the rest held back.
            let what = match what.split_once(", hold back 362 g of 33") {
                Some((main, _)) => format!("{}–33", main.split_once("–30 and ").unwrap().0),
                None => what,
            };
            // `from fog 1/3 and slate 1/3: fill container 1, …`
            let what =
                what.split_once(": fill").map_or(what.clone(), |(_, rest)| format!("fill{rest}"));
            let what = what.replace(", each before the next is filled", "");
            // `pour 1–11 as hand 2 fills 2–11, then fill 12`
            let what = what.split(" as hand ").enumerate().map(|(at, part)| match at {
                0 => part,
                _ => part.find(", then ").map_or("", |then| &part[then..]),
            });
            let what: String = what.collect();
            let what = what.replace("one by one in turn ", "").replace(" and pour ", " then pour ");
            let what = what.replace("fill then pour", "fill and pour");
            if !(what.contains("fill ")
                || what.starts_with("pour ")
                || what.starts_with("fill and"))
            {
                continue;
            }
            let mut into: Vec<&str> = Vec::new();
            for word in what.replace("fill and pour", "both").replace([','], "").split(' ') {
                match word {
                    "both" => into = vec!["fill", "pour"],
                    "fill" => into = vec!["fill"],
                    "pour" => into = vec!["pour"],
                    "container" | "containers" | "then" => {}
                    span => {
                        let (first, last) = span.split_once('–').unwrap_or((span, span));
                        let all = first.parse::<u32>().unwrap()..=last.parse::<u32>().unwrap();
                        for verb in &into {
                            if *verb == "fill" { &mut filled } else { &mut poured }
                                .extend(all.clone());
                        }
                    }
                }
            }
        }
        assert!(number > 5, "{run}");
    }
    filled.sort_unstable();
    poured.sort_unstable();
    assert_eq!(filled, (1..=33).collect::<Vec<_>>(), "{text}");
    assert_eq!(poured, (1..=33).collect::<Vec<_>>(), "{text}");
}

/// Mixes of a base are numbered as they are begun, each line of containers names its order, and says from
/// which mix they are filled where a base has several.
#[test]
fn mixes_are_begun_by_number_and_containers_have_an_order() {
    let demo = Bench::demo();
    for (job, crew) in [("curved-bar", "crew: 2"), ("galley-kitchen", "crew: 2")] {
        for hands in 1..=4 {
            let file = format!("jobs/{job}.ron");
            let bench = Bench::demo();
            bench.change(&file, crew, &format!("crew: {hands}"));
            let ran = bench.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
            let plan: Value = serde_json::from_str(&ran.out).unwrap();
            let mixes = plan["time"]["mixes"].as_array().unwrap();
            // `fog 2 of 3`: the base without its number.
            let base = |mix: &Value| {
                let words: Vec<&str> = mix["name"].as_str().unwrap().split(" of ").collect();
                words[0].trim_end_matches(|letter: char| letter.is_ascii_digit()).to_owned()
            };
            for pair in mixes.windows(2).filter(|pair| base(&pair[0]) == base(&pair[1])) {
                let start = |mix: &Value| mix["start_s"].as_i64().unwrap();
                assert!(start(&pair[0]) <= start(&pair[1]), "{job}, {hands} hands: {pair:?}");
            }
            let text = bench.run(&["plan", "--job", job, "--shop", "shop"]).out;
            assert!(!text.contains("as they come"), "{job}, {hands} hands: {text}");
        }
    }
    let text = demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    assert!(text.contains("from fog 2/3 and slate 2/3: fill container"), "{text}");
}

#[test]
fn labels_tell_the_mix_of_each_layer() {
    let demo = Bench::demo();
    let ran =
        demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--html", "page.html"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let page = std::fs::read_to_string(demo.path("page.html")).unwrap();
    for words in ["2 slate, mix 1", "1 fog, mix 2", "into containers 12–22", "1–11: 162 g each"]
    {
        assert!(page.contains(words), "{words}");
    }
}

/// What is carried over from a stated pot life says from what, and within which range.
#[test]
fn a_pot_life_carried_over_is_told_with_its_range() {
    let demo = Bench::demo();
    let text = demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    let whole = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let stated = "carried over from the stated 40 min of 150.0 g at 77 °F (demo)";
    assert!(whole.contains(stated), "{text}");
    let mixes = text.lines().filter(|line| line.contains("starts ") && line.contains("lasts "));
    let mut count = 0;
    for line in mixes {
        count += 1;
        let life = line.split("lasts ").nth(1).unwrap();
        let (range, rest) = life.split_once(" (est. ").unwrap();
        let (least, most) = range.split_once('–').unwrap();
        let middle = rest.split_once(") min").unwrap().0;
        let [least, middle, most] = [least, middle, most].map(|m| m.parse::<f64>().unwrap());
        assert!(least < middle && middle < most, "{line}");
    }
    assert_eq!(count, 6, "{text}");
}

#[test]
fn warm_parts_last_less_long() {
    let bench = Bench::small();
    let life = |plan: &Value| plan["time"]["mixes"][0]["pot_life_s"].as_f64().unwrap();
    let usual = life(&planned(&bench));
    bench.change(
        "jobs/galley.ron",
        "temperature: \"72 °F\",",
        "temperature: \"72 °F\", parts: \"85 °F\",",
    );
    assert!(life(&planned(&bench)) < 0.9 * usual, "{usual} s at room temperature");
    bench.change("jobs/galley.ron", "parts: \"85 °F\",", "parts: \"300 °F\",");
    assert_eq!(bench.run(&PLAN).code, 2, "no resin is so hot");
}

#[test]
fn flame_after_mist_is_refused_and_no_sheet_is_written() {
    let bench = Bench::small();
    bench.change("jobs/galley.ron", "flame: false", "flame: true");
    let mut words = PLAN.to_vec();
    words.extend(["--pdf", "sheets.pdf", "--html", "sheets.html"]);
    let ran = bench.run(&words);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.err.contains("flame"), "{}", ran.err);
    assert!(!bench.path("sheets.pdf").exists() && !bench.path("sheets.html").exists());
}

/// Texts of a topic's cautions, one a line.
fn cautions(plan: &Value, topic: &str) -> String {
    let all = plan["cautions"].as_array().unwrap();
    let all = all.iter().filter(|one| one["topic"] == topic);
    all.map(|one| one["text"].as_str().unwrap()).collect::<Vec<_>>().join("\n")
}

/// Each caution is there when the plan holds what it is about, and not before.
#[test]
fn cautions_follow_from_what_the_plan_holds() {
    let bench = Bench::small();
    let plan = planned(&bench);
    for topic in ["skin", "heat", "dew", "dust", "food", "raised ceiling", "fire", "air"] {
        assert!(!cautions(&plan, topic).is_empty(), "{topic}");
    }
    for one in plan["cautions"].as_array().unwrap() {
        assert!(!one["source"].as_str().unwrap().is_empty(), "{one}");
    }
    assert!(cautions(&plan, "heat").contains("left standing heats itself"), "left-overs");
    assert!(cautions(&plan, "dew").contains("dew point"), "the surface");
    assert!(cautions(&plan, "dust").contains("silica"), "sanding");
    let without = planned(&bench);
    assert!(!cautions(&without, "air").contains("isocyanate"), "no top coat yet");
    assert!(!cautions(&without, "dust").contains("between coats"), "one coat");

    bench.change(
        "jobs/galley.ron",
        "flame: false,",
        "flame: false, top_coat: (name: \"satin two-part\", hazards: [Isocyanate, Aerosol, Flammable]),",
    );
    bench.change("jobs/galley.ron", "coats: 1,", "coats: 2,");
    let plan = planned(&bench);
    assert!(cautions(&plan, "air").contains("top coat \"satin two-part\" holds isocyanate"));
    assert!(cautions(&plan, "air").contains("top coat \"satin two-part\" is sprayed"));
    assert!(cautions(&plan, "fire").contains("top coat \"satin two-part\" carries a flammable"));
    assert!(cautions(&plan, "dust").contains("between coats"));
    assert!(cautions(&plan, "air").contains("misted each coat"), "{}", cautions(&plan, "air"));

    bench.change("colorants/ink.ron", "[Flammable]", "[Flammable, Aerosol, Dust]");
    let plan = planned(&bench);
    assert!(cautions(&plan, "air").contains("comes from a spray can"), "{}", plan["cautions"]);
    assert!(cautions(&plan, "dust").contains("is a dry powder"), "{}", plan["cautions"]);
}

#[test]
fn a_flammable_top_coat_meets_no_flame() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "curved-bar", "--shop", "shop"];
    let job = "jobs/curved-bar.ron";
    bench.change(job, "crew: 2,", "crew: 2, colourway: \"Salt Marsh\", flame: true,");
    bench.change(job, "    colourway: \"Estuary at Dusk\",\n", "");
    let sound = bench.run(&words);
    assert_eq!(sound.code, 0, "nothing flammable: {sound:?}");
    let text = sound.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("fire: a torch or heat gun draws out bubbles: once over each part"),
        "{text}"
    );
    bench.change(
        job,
        "flame: true,",
        "flame: true, top_coat: (name: \"spirit varnish\", hazards: [Flammable]),",
    );
    let ran = bench.run(&words);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.err.contains("\"spirit varnish\" is flammable"), "{}", ran.err);
}

/// The rest of the sheets does not hang on a picture, and nobody wonders why there is none.
#[test]
fn a_board_that_cannot_be_drawn_is_told_on_the_terminal_and_on_the_sheet() {
    let bench = Bench::small();
    // The small shop's ink has no optical data; which colorant that is stands on the sheet only beside the recipe.
    let mut words = PLAN.to_vec();
    words.push("--recipe-on-approval");
    words.extend(["--html", "sheets.html", "--pdf", "sheets.pdf", "--date", "2026-03-14"]);
    let ran = bench.run(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(
        ran.err.contains("caution: the sheets have no picture of a sample board: "),
        "{}",
        ran.err
    );
    let why = ran.err.split("sample board: ").nth(1).unwrap().lines().next().unwrap();
    let page = std::fs::read_to_string(bench.path("sheets.html")).unwrap();
    assert_eq!(
        why, "\"carbon black liquid\" and \"titanium white paste\" have no optical data",
        "each colorant at once"
    );
    for name in ["carbon black liquid", "titanium white paste"] {
        let shown = format!("&quot;{name}&quot; has no optical data");
        assert!(page.contains(&shown), "{shown}");
    }
    assert!(bench.path("sheets.pdf").exists(), "the rest is printed");
}

/// A base that does not hide its primer is told with its contrast ratio; one that does is not.
#[test]
fn a_primer_that_shows_through_is_told_with_the_contrast_ratio() {
    let bench = Bench::small();
    let plan = planned(&bench);
    let told = cautions(&plan, "primer");
    let mut count = 0;
    for base in plan["bases"].as_array().unwrap() {
        let Some(ratio) = base["look"]["contrast_ratio"].as_f64() else { continue };
        let name = format!("{} ({ratio:.3}", base["name"]);
        assert_eq!(told.contains(&name), ratio < 0.98, "{name}: {told}");
        count += 1;
    }
    assert!(count > 0, "{plan}");
    let demo = Bench::demo();
    let text = demo.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    assert!(!text.contains("the primer shows through at "), "both its bases hide: {text}");
}

#[test]
fn vapour_is_reckoned_for_the_stated_room() {
    let bench = Bench::small();
    let air = |bench: &Bench| cautions(&planned(bench), "air");
    let ppm = |words: &str| -> f64 {
        let before = words.split(" ppm").next().unwrap();
        before.rsplit(' ').next().unwrap().parse().unwrap()
    };
    let in_40 = air(&bench);
    assert!(in_40.contains("in 1413 ft³ of room"), "{in_40}");
    bench.change("jobs/galley.ron", "room: \"40 m3\"", "room: \"80 m3\"");
    assert!(ppm(&air(&bench)) < 0.75 * ppm(&in_40), "more room, thinner vapour");
    bench.change("jobs/galley.ron", "room: \"80 m3\",", "");
    assert!(air(&bench).contains("write room:"), "{}", air(&bench));
}

#[test]
fn sheets_are_written_where_asked_and_the_answer_says_so() {
    let bench = Bench::small();
    let mut words = PLAN.to_vec();
    words.extend(["--pdf", "sheets.pdf", "--html", "sheets.html", "--date", "2026-03-14"]);
    let ran = bench.run(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("Written: sheets.pdf"), "{}", ran.out);
    let first = std::fs::read(bench.path("sheets.pdf")).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"), "a PDF");
    assert!(std::fs::read_to_string(bench.path("sheets.html")).unwrap().contains("2026-03-14"));
    assert_eq!(bench.run(&words).code, 0);
    assert_eq!(first, std::fs::read(bench.path("sheets.pdf")).unwrap(), "the same bytes");
    words.extend(["--paper", "a5"]);
    assert_eq!(bench.run(&words).code, 2, "no such paper");
    let wrong = ["--pdf", "two.pdf", "--date", "14.3.2026"];
    assert_eq!(bench.run(&[&PLAN[..], &wrong[..]].concat()).code, 2, "no such day");
    assert!(!bench.path("two.pdf").exists());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever the job, the largest mix, the vessels, the crew and the room: what is left of a mix,
    /// or drawn from it, is never too little for a run sheet.
    #[test]
    fn no_plan_lacks_its_run_sheet_for_a_sliver_of_a_mix(
        case in cases(false),
        largest_g in 400.0..3000.0_f64,
        one_vessel in prop::option::of(5000.0..20_000.0_f64),
        crew in 1_u32..8,
        celsius in 12.0..33.0,
    ) {
        let mut case = case;
        let house = HouseParts { largest_mix: Mass::from_g(largest_g), ..(*case.shop.house).clone() };
        let vessels = match one_vessel {
            Some(ml) => vec![Volume::from_ml(ml)],
            None => house.vessels.clone(),
        };
        case.shop.house = House::new(HouseParts { vessels, ..house }).unwrap();
        let temperature = Temperature::from_c(celsius);
        case.job = Job::new(JobParts { crew, temperature, ..(*case.job).clone() }).unwrap();
        if let Ok(plan) = case.plan() {
            prop_assert!(
                !matches!(plan.time, Err(ref why) if *why != RunSheetError::TooMany),
                "{:?}", plan.time
            );
        }
    }
}

/// A pour that goes on for longer than its film runs is told under the title, though every mix is in time in its vessel.
#[test]
fn a_pour_that_outlasts_its_film_is_told() {
    let bench = Bench::demo();
    assert!(!bench.kitchen_text(&[]).contains("a long pour"), "an hour, of a resin of 40 min");
    bench.change("systems/clear-flood.ron", "time: \"40 min\"", "time: \"20 min\"");
    let text = bench.kitchen_text(&[]);
    let heed = text.find("HEED: a long pour: the film poured first has stood ").expect("told");
    assert!(heed < text.find("TO COAT").unwrap(), "{text}");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("and runs for about 40 min (twice the stated pot life, estimated)"),
        "{text}"
    );
    let long = &bench.kitchen_json()["time"]["long_pour"];
    assert_eq!(long["runs_s"].as_f64(), Some(2400.0), "{long}");
    assert!(long["stands_s"].as_f64() > Some(2400.0), "{long}");
}

/// One paddle that goes back to a lighter base is wiped, and a second coat has its window.
#[test]
fn a_paddle_is_wiped_before_a_lighter_base_and_coats_have_their_window() {
    let bench = Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1, coats: 2");
    let text = bench.kitchen_text(&[]);
    assert!(text.contains("wipe the tinting paddle, tint fog 2 of 3"), "{text}");
    assert!(!text.contains("wipe the tinting paddle, tint slate"), "{text}");
    assert!(text.contains("TINTED AS THE CLOCK SAYS; ONE PADDLE, WIPED WHERE IT SAYS"), "{text}");
    let window = "second coat from 4 h to 24 h after the first was poured (demo)";
    assert!(text.contains(window), "{text}");
    let page = bench.kitchen_text(&["--sheet", "mixing"]);
    assert!(page.contains(window), "{page}");
    let labels = bench.kitchen_text(&["--sheet", "labels"]);
    assert!(labels.contains("coat __ of 2"), "{labels}");
}

/// Where no colour is known nobody here knows which base is darker: the paddle is wiped at every change of base, in the
/// clock too, and every text says so.
#[test]
fn a_paddle_is_wiped_at_each_change_of_base_where_colours_are_not_known() {
    let bench = Bench::demo();
    let path = bench.path("shop/colorants/titanium-white-paste.ron");
    let text = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = text.split_once("    optics: (").unwrap();
    let (_, after) = rest.split_once("\n    ),\n").unwrap();
    std::fs::write(path, format!("{before}{after}")).unwrap();
    for crew in ["crew: 2", "crew: 1"] {
        bench.change("jobs/galley-kitchen.ron", "crew: 2", crew);
        for board in [false, true] {
            let words = if board {
                ["plan", "tidewater-slate", "--board", "600x600mm", "--shop", "shop"].as_slice()
            } else {
                &["plan", "--job", "galley-kitchen", "--shop", "shop"]
            };
            let text = bench.run(words).out;
            // A board's mixes are tinted one base after the other; a kitchen's come in rounds.
            let order = if board {
                "THE LIGHTEST FIRST; WIPE THE PADDLE BEFORE EACH OTHER BASE"
            } else {
                "THE LIGHTEST FIRST, TINTED AS THE CLOCK SAYS; WIPE BEFORE EACH OTHER BASE"
            };
            let order = format!("AS THE RECIPE LISTS THEM: {order}");
            assert!(text.contains(&order), "{order}: {text}");
            assert!(text.contains("which is lighter is not known;"), "{text}");
            assert!(!text.contains("from light to dark"), "{text}");
            let mut tints: Vec<(&str, bool, &str)> = text
                .lines()
                .filter(|line| line.contains("tint fog") || line.contains("tint slate"))
                .map(|line| {
                    let time = line.split_whitespace().nth(1).unwrap();
                    (
                        time,
                        line.contains("wipe the"),
                        if line.contains("fog") { "fog" } else { "slate" },
                    )
                })
                .collect();
            tints.sort_unstable();
            assert!(tints.len() > 1, "{text}");
            assert!(!tints[0].1, "{text}");
            for pair in tints.windows(2) {
                assert_eq!(pair[1].1, pair[0].2 != pair[1].2, "{pair:?} in {text}");
            }
        }
        bench.change("jobs/galley-kitchen.ron", crew, "crew: 2");
    }
}

/// A surface is as warm as its dew point asks for and as its system bears, whichever is higher, wherever that is told.
#[test]
fn the_least_surface_is_the_higher_of_dew_and_system() {
    let bench = Bench::demo();
    let us = |more: &[&str]| {
        let words = ["plan", "--job", "galley-kitchen", "--shop", "shop", "--units", "us"];
        let out = bench.run(&[&words[..], more].concat()).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let sheet = ["--sheet", "mixing"];
    let own = us(&sheet);
    assert!(own.contains("from 60.3 °F"), "{own}");
    bench.change(
        "systems/clear-flood.ron",
        "    pot_life:",
        "    lowest_temperature: \"65 F\",\n    pot_life:",
    );
    let told = us(&sheet);
    assert!(told.contains("from 65 °F"), "{told}");
    let brief =
        "dew: pour only on a surface of at least 65 °F (the lowest of \"clear flood 2:1\", demo)";
    assert!(told.contains(brief), "{told}");
    let text = us(&[]);
    let full = "at least 65 °F, the lowest that \"clear flood 2:1\" bears (demo), though 60.3 °F would do for its dew";
    assert!(text.contains(full), "{text}");
    bench.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 2, surface: \"58 F\"");
    let cold = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--units", "us"]);
    assert_eq!(cold.code, 1);
    assert!(cold.err.contains("the surface at 58 °F is colder than the 65 °F"), "{}", cold.err);
    assert!(!cold.out.contains("at least 60.3"), "{}", cold.out);
}

/// A hand that waits for another's step is told for which, in the text, on the sheet and in JSON; and who fills what
/// it pours.
#[test]
fn a_hand_is_told_for_what_it_waits() {
    let bench = Bench::demo();
    let plan = bench.kitchen_json();
    let steps = plan["time"]["steps"].as_array().unwrap();
    let hand = |step: &Value| step["hands"][0].as_i64().unwrap();
    let time = |step: &Value, key: &str| step[key].as_i64().unwrap();
    let mut waiting = 0;
    for step in steps.iter().filter(|step| !step["waits_for"].is_null()) {
        waiting += 1;
        let wait = &step["waits_for"];
        let first = steps.iter().find(|other| other["step"] == wait["step"]).unwrap();
        assert_eq!(hand(first), wait["hand"].as_i64().unwrap(), "{step}");
        assert_ne!(hand(first), hand(step), "{step}");
        assert!(time(first, "end_s") <= time(step, "start_s"), "{step} {first}");
        // Its own hand has nothing else to do by then.
        let busy = steps.iter().filter(|other| hand(other) == hand(step) && *other != step);
        let before = busy.map(|other| time(other, "end_s"));
        let before = before.filter(|end_s| *end_s <= time(step, "start_s")).max().unwrap_or(0);
        assert!(time(first, "end_s") >= before, "{step} {first}");
    }
    assert!(waiting > 0, "two hands wait for one another");
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--html", "s.html"]);
    assert!(ran.code < 2, "{ran:?}");
    let page = std::fs::read_to_string(bench.path("s.html")).unwrap();
    for text in [bench.kitchen_text(&[]), page] {
        for words in [
            "once hand 1 has tinted slate 1 of 3, from",
            "once hand 2 hands on the paddle from fog 2 of 3, tint slate 2 of 3",
            "then pour 1–11 as hand 2 fills 2–11",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }
    bench.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1");
    let alone = bench.kitchen_text(&[]);
    assert!(!alone.contains("once hand") && !alone.contains("as hand"), "{alone}");
}

/// A mix that would be so hot as it is poured that it runs away stops the plan though its clock has not ended; and each
/// plan tells from when on a mix is too hot if it is left whole.
#[test]
fn a_mix_too_hot_to_pour_stops_the_plan() {
    let bench = Bench::demo();
    let hot = ["plan", "Tidewater Slate", "--area", "42ft2", "--crew", "2", "--shop", "shop"];
    let hot = [&hot[..], &["--temperature", "90F"]].concat();
    let (plan, text) = stopped(&bench, &hot);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "when the last of it is poured (estimated): too hot, for from 122 °F on a mix runs away",
        "a smaller mix or a cooler room keeps it cooler",
        "TOO HOT",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let mut too_hot = 0;
    for mix in plan["time"]["mixes"].as_array().unwrap() {
        let of = |key: &str| mix[key].as_f64();
        let [from, life] = ["too_hot_from_s", "pot_life_s"].map(|key| of(key).unwrap());
        assert!(from < life, "{mix}");
        // The deadline of what is too hot, though it has not gelled, is the heat's, and it is poured later than that.
        let [start, by] = ["start_s", "pour_by_s"].map(|key| of(key).unwrap());
        if by - start < life.floor() {
            too_hot += 1;
            assert_eq!(by - start, from.floor(), "{mix}");
            assert!(of("last_pour_s").unwrap() > by && mix["late_by_s"].is_null(), "{mix}");
        }
    }
    assert!(too_hot > 0, "some are too hot");
    let mild = bench.run(&[&hot[..hot.len() - 1], &["70F"]].concat());
    let mild = mild.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let whole = "A mix that still stands whole in its vessel";
    assert!(!mild.contains("TOO HOT") && mild.contains(whole), "{mild}");
}

/// A room above what a system's datasheet allows stops the pour, in the words that a person reads.
#[test]
fn a_room_above_the_limit_is_told_with_both_temperatures() {
    use pourbook::plan::run_sheet::Finding;
    use pourbook::plan::weather::{NoPour, Place};
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes");
    let opened = pourbook::store::open(&folder).unwrap();
    let extent = pourbook::acts::Extent::Job("round-table".to_owned());
    let ask = pourbook::acts::PlanAsk { colourway: None, extent };
    let plan = pourbook::acts::plan(&opened, &ask).unwrap();
    let sheet = plan.time.unwrap();
    let warm = Finding::Weather(NoPour::TooWarm {
        place: Place::Air,
        celsius: 33.0,
        highest_celsius: 30.0,
    });
    assert!(warm.stops());
    for (units, words) in [
        (Units::Metric, "the air at 33 °C is warmer than the 30 °C that the datasheet allows"),
        (Units::Us, "the air at 91.4 °F is warmer than the 86 °F that the datasheet allows"),
    ] {
        assert_eq!(pourbook::report::time_words::finding_words(&sheet, &warm, units), words);
    }
}

/// Minutes of `h:mm`.
fn minutes_of(clock: &str) -> i64 {
    let (hours, minutes) = clock.split_once(':').unwrap();
    hours.parse::<i64>().unwrap() * 60 + minutes.parse::<i64>().unwrap()
}

/// What is printed of a clock adds up: from its start on it lasts until it has to be poured by, and what is to spare lies
/// between the last pour and that.
#[test]
fn what_is_printed_of_a_clock_adds_up() {
    let demo = Bench::demo();
    let mut spares = 0;
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let text = demo.run(&["plan", "--job", job, "--shop", "shop"]).out;
        let figure = |line: &str, before: &str| -> String {
            let rest = line.split(before).nth(1).unwrap().trim_start();
            rest.split(' ').next().unwrap().to_owned()
        };
        let mut by_mix = std::collections::BTreeMap::new();
        for line in text.lines().filter(|line| line.contains("  pour by ")) {
            let [start, by, last] =
                ["  starts ", "  pour by ", "  used up "].map(|key| minutes_of(&figure(line, key)));
            let lasts: i64 = figure(line, " (est. ").trim_end_matches(')').parse().unwrap();
            assert_eq!(start + lasts, by, "{line}");
            assert_eq!(line.contains("LATE"), last > by, "{line}");
            let name = line.trim_start().split("  ").next().unwrap().to_owned();
            by_mix.insert(name, by - last);
        }
        assert!(!by_mix.is_empty(), "{text}");
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for (name, spare) in by_mix {
            let words = format!("caution: {name} is in time by the estimate, with ");
            let Some(told) = text.split(&words).nth(1) else { continue };
            assert!(
                told.starts_with(&format!("{spare} min to spare")),
                "{name}: {spare}, {told:.40}"
            );
            spares += 1;
        }
    }
    assert!(spares > 0, "none is tight");
}

/// A colourway of two bases without small batches, poured straight from their mixes.
fn without_pours() -> Bench {
    let demo = Bench::demo();
    let colourway = "colourways/tidewater-slate.ron";
    let text = std::fs::read_to_string(demo.path("shop").join(colourway)).unwrap();
    let (before, rest) = text.split_once("    accents: ").unwrap();
    let (_, after) = rest.split_once("    ],\n").unwrap();
    let text = format!("{before}{after}");
    let text = text.replace("\"slate\": (", "\"slate\": (share: 0.55, ");
    let text = text.replace("\"fog\": (", "\"fog\": (share: 0.45, ");
    demo.put(colourway, text);
    demo
}

/// Where mixes are poured as they are, each is poured once, by one hand, and by no other filled before.
#[test]
fn a_mix_that_is_poured_as_it_is_is_one_hands() {
    let bench = without_pours();
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--json"]);
    let plan: Value = serde_json::from_str(&ran.out).unwrap();
    let steps = plan["time"]["steps"].as_array().unwrap();
    let words = |step: &Value| step["step"].as_str().unwrap().to_owned();
    assert!(steps.iter().all(|step| !words(step).starts_with("fill ")), "nothing is filled");
    let mixes: usize = plan["bases"]
        .as_array()
        .unwrap()
        .iter()
        .map(|b| b["mixes"].as_array().unwrap().len())
        .sum();
    assert!(mixes > 2);
    let pours: Vec<&Value> = steps.iter().filter(|s| words(s).starts_with("pour ")).collect();
    assert_eq!(pours.len(), mixes);
    assert!(pours.iter().all(|step| step["hands"].as_array().unwrap().len() == 1));
    let text = bench.kitchen_text(&[]);
    let clock = text.split(" CLOCK ").nth(1).unwrap();
    let clock = clock.split("Pot lives are carried over").next().unwrap();
    assert!(clock.contains("hand 2 of 2"), "{clock}");
    let poured: Vec<&str> = clock
        .split(" pour ")
        .skip(1)
        .flat_map(|rest| rest.split([':', ';']).next().unwrap().split(", "))
        .map(|name| name.split(" hold back").next().unwrap())
        .collect();
    for mix in plan["time"]["mixes"].as_array().unwrap() {
        let name = mix["mix"].as_str().or_else(|| mix["name"].as_str()).unwrap();
        let told = poured.iter().filter(|told| told.starts_with(name)).count();
        assert_eq!(told, 1, "{name}: {poured:?}");
    }
}

/// The heading over the mixes claims the clock's order only where that is the order in which they are listed.
#[test]
fn mixes_are_listed_in_the_order_of_the_clock_or_said_not_to_be() {
    let bench = Bench::small();
    let mut seen = [false; 2];
    for kit in ["1gal", "1.5gal", "2gal", "3gal", "5gal"] {
        for crew in ["1", "2"] {
            let ask = [
                "plan",
                "Tidewater Slate",
                "--kit",
                kit,
                "--crew",
                crew,
                "--shop",
                "shop",
                "--json",
            ];
            let ran = bench.run(&ask);
            let plan: Value = serde_json::from_str(&ran.out).unwrap();
            let Some(steps) = plan["time"]["steps"].as_array() else { continue };
            let bases = plan["bases"].as_array().unwrap();
            let mut told = Vec::new();
            for step in steps.iter().filter_map(|step| step["step"].as_str()) {
                let Some(mix) = step.strip_prefix("mix B into A: ") else { continue };
                let of = |base: &Value| mix.starts_with(base["name"].as_str().unwrap());
                let base = bases.iter().position(of).unwrap();
                if !told.contains(&base) {
                    told.push(base);
                }
            }
            let text = bench.run(&ask[..ask.len() - 1]).out;
            let says = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let says = says.contains("TINTED AS THE CLOCK SAYS");
            if !told.is_sorted() {
                assert!(says, "{kit}, {crew}: {text}");
            }
            seen[usize::from(says)] = true;
        }
    }
    assert!(seen[0], "some are listed as they are made");
}

/// Where a pot life stands with its range the shortest comes first.
#[test]
fn the_shortest_pot_life_stands_before_the_estimate() {
    let bench = Bench::demo();
    let json = bench.kitchen_json();
    let mix = &json["time"]["mixes"][0];
    let least = (mix["pot_life_range_s"][0].as_f64().unwrap() / 60.0).floor();
    let most = (mix["pot_life_range_s"][1].as_f64().unwrap() / 60.0).ceil();
    let text = bench.kitchen_text(&[]);
    let told = format!("starts 0:00 lasts {least}–{most} (est. 40) min pour by 0:40");
    assert!(text.contains(&told), "{told}: {text}");
}
