//! When a corrected mix is poured, by the clock of its job's plan; and how it is as it stands, where that is too late.

use serde_json::Value;

use crate::correct_slips::{JOB, SLATE, correct, json, said};
use crate::program::Bench;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// The words of `correct` for a mix of a plan's JSON, as its sheet weighs it.
fn as_on_sheet(colourway: &str, base: &str, mix: &Value) -> Vec<String> {
    let shown = |part: &str| mix[part]["shown"].as_str().expect("a weight").to_owned();
    let words = ["correct", colourway, base, "--shop", "shop", "--part-a"].map(str::to_owned);
    let parts = [shown("part_a"), "--part-b".to_owned(), shown("part_b")];
    let doses = mix["colorants"].as_array().unwrap().iter().flat_map(|dose| {
        let let_down = dose["let_down_percent"].as_f64().map_or_else(String::new, |percent| {
            format!(", let-down 1 : {:.0}", 100.0 / percent - 1.0)
        });
        let (name, weight) = (dose["name"].as_str(), dose["weighed"]["shown"].as_str());
        ["--held".to_owned(), format!("{}{let_down}={}", name.unwrap(), weight.unwrap())]
    });
    words.into_iter().chain(parts).chain(doses).collect()
}

/// When the first of a mix is drawn, s of the plan's clock; of a plan that pours from containers.
fn first_drawn_s(plan: &Value, base: &str, mix: u64) -> f64 {
    let all = plan["fills"].as_array().unwrap();
    let own = all.iter().find(|fills| fills["base"] == base && fills["mix"] == mix).unwrap();
    let first = own["portions"].as_array().unwrap().iter();
    let first = first.map(|portion| portion["first_container"].as_u64().unwrap()).min().unwrap();
    let step = format!("fill container {first}");
    let steps = plan["time"]["steps"].as_array().unwrap();
    number(&steps.iter().find(|line| line["step"] == step.as_str()).unwrap()["start_s"])
}

/// A mix as its sheet weighs it, of whichever job of the demo, is in time at any age up to that at which it is first drawn
/// from: the work that lies between is planned. The last of it is poured when the plan says.
#[test]
fn a_mix_as_planned_on_schedule_is_never_too_late() {
    let bench = Bench::demo();
    let mut tried = 0;
    for job in ["galley-kitchen", "curved-bar", "round-table", "sample-board"] {
        let plan = json(&bench.run(&["plan", "--job", job, "--shop", "shop", "--json"]));
        for base in plan["bases"].as_array().unwrap() {
            for mix in base["mixes"].as_array().unwrap() {
                tried += on_schedule(&bench, [job, base["name"].as_str().unwrap()], &plan, mix);
            }
        }
    }
    assert!(tried >= 3 * 15, "{tried}");
}

/// One mix of a plan's JSON, at ages up to its first drawing, named and not; how many ages.
fn on_schedule(bench: &Bench, [job, base]: [&str; 2], plan: &Value, mix: &Value) -> usize {
    let of_base = plan["bases"].as_array().unwrap().iter().find(|each| each["name"] == base);
    let of = of_base.unwrap()["mixes"].as_array().unwrap().len();
    let n = mix["number"].as_u64().unwrap();
    let name = if of == 1 { base.to_owned() } else { format!("{base} {n} of {of}") };
    let clocks = plan["time"]["mixes"].as_array().unwrap();
    let clock = clocks.iter().find(|clock| clock["name"] == name.as_str()).unwrap();
    assert!(clock["late_by_s"].is_null(), "the demo is in time: {clock}");
    let start_s = number(&clock["start_s"]);
    let first_s = first_drawn_s(plan, base, n) - start_s;
    let last_s = number(&clock["last_pour_s"]) - start_s;
    let words = as_on_sheet(plan["colourway"].as_str().unwrap(), base, mix);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let ages = [0.3, 0.6, 1.0].map(|share| format!("{} s", (share * first_s).floor()));
    for age in &ages {
        let job = ["--job", job, "--age", age, "--json"];
        let found = bench.run(&[&words[..], &job].concat());
        assert_eq!(found.code, 0, "{name} at {age}: {found:?}");
        let named = bench.run(&[&words[..], &["--mix", &n.to_string()], &job].concat());
        assert_eq!(named.code, 0, "{name} at {age}: {named:?}");
        let clock = &json(&named)["clock"];
        assert!(number(&clock["needed_to_correct_min"]) < 1e-9, "{clock}");
        let poured = number(&clock["age_min"]) + number(&clock["needed_min"]);
        assert!((poured * 60.0 - last_s).abs() < 1.0, "{name}: {clock}");
    }
    ages.len()
}

const SHELL: [&str; 13] = [
    "correct",
    "Kelp and Oyster",
    "shell",
    "--shop",
    "shop",
    "--part-a",
    "380.4g",
    "--part-b",
    "160.5g",
    "--held",
    "pearl white mica=15.8 g",
    "--held",
    "titanium white paste=3.16 g",
];

/// What is counted is told, and that it is no more in time if work has stood still; what is stated counts instead.
#[test]
fn what_the_clock_counts_is_told() {
    let bench = Bench::demo();
    let table = ["--job", "round-table"];
    let at =
        |age: &str, more: &[&str]| bench.run(&[&SHELL[..], &table, &["--age", age], more].concat());
    let waited = at("22 min", &[]);
    assert_eq!(waited.code, 0, "{waited:?}");
    insta::assert_snapshot!(waited.out);
    let fresh = said(&at("7 min", &[]));
    assert!(fresh.contains("by the plan its last pour ends 37 min from now: tight"), "{fresh}");
    assert!(!fresh.contains("stood still since"), "{fresh}");
    let told = json(&at("22 min", &["--json"]));
    let own = &told["clock"]["as_planned"];
    assert!(own["mix"] == "shell" && number(&own["late_if_work_stood_still_min"]) > 5.0, "{told}");
    // What stands whole for so much longer than planned is too hot before it gels.
    let warm = said(&at("26 min", &[]));
    assert!(
        warm.contains("TOO LATE: it would be 125 °F (52 °C) when the last of it is poured"),
        "{warm}"
    );
    // Beyond its first drawing every minute counts.
    let late = at("28 min", &[]);
    assert!(late.code == 1 && said(&late).contains("TOO LATE: it cannot be poured in time"));
    assert!(said(&late).contains("shell is tinted at 0:07, first drawn from at 0:22"), "{late:?}");
    // Unless some of it has been poured by then, as planned.
    assert!(said(&late).contains("Where some of it has been poured, --left says"), "{late:?}");
    let half = at("30 min", &["--left", "280 g"]);
    assert_eq!(half.code, 0, "{half:?}");
    assert!(said(&half).contains("than when as much of it is poured as is by now"), "{half:?}");
    let soon = at("28 min", &["--until-poured", "15 min"]);
    assert_eq!(soon.code, 0, "{soon:?}");
    assert!(said(&soon).contains("15 min from the corrected mix to its last pour (stated)"));
    assert!(said(&soon).contains("15 min are needed to pour:"), "{soon:?}");
    let stood = at("22 min", &["--until-poured", "37 min"]);
    assert_eq!(stood.code, 1, "as long as if work stood still: {stood:?}");
    // Next to no time is told with the first words.
    let little = said(&at("37 min", &["--left", "280 g"]));
    let first = little.split("ADD").next().unwrap();
    assert!(first.contains("ONLY 49 s TO SPARE, by the clock below."), "{little}");
    assert!(!said(&waited).contains("TO SPARE,"), "{waited:?}");
}

/// What is too late to be corrected says how far it is off, and that it can be poured as it is where only the correction takes
/// too long; never with its A : B off, or above a ceiling.
#[test]
fn what_is_too_late_to_be_corrected_may_be_poured_as_it_is() {
    let bench = Bench::demo();
    let [iron, _, blue] = SLATE;
    let white = [iron, blue, "titanium white paste=26 g"];
    let at = |age: &str, part_b: &str, held: &[&str]| {
        let more = [&JOB[..], &["--mix", "2", "--age", age]].concat();
        correct(&bench, "slate", ["1732g", part_b], held, &more)
    };
    let early = at("10 min", "730g", &white);
    assert!(early.code == 0 && early.out.contains("\nADD\n"), "{early:?}");
    let late = at("21 min", "730g", &white);
    assert_eq!(late.code, 1, "{late:?}");
    insta::assert_snapshot!(late.out);
    let too_late = said(&at("40 min", "730g", &white));
    assert!(too_late.contains("As it stands its colour is 2.16 ΔE00 off"), "{too_late}");
    assert!(!too_late.contains("poured as it is") && too_late.contains("Mix anew"), "{too_late}");
    let off = said(&at("26 min", "700g", &white));
    assert!(off.contains("TOO LATE") && off.contains("A : B IS OFF"), "{off}");
    assert!(!off.contains("poured as it is"), "{off}");
    let above = [iron, blue, "titanium white paste=400 g"];
    let above = said(&at("26 min", "730g", &above));
    assert!(!above.contains("poured as it is"), "{above}");
}

/// A mix that has not gelled but is too hot by the time that its last is poured is too late, with a plan and without.
#[test]
fn what_is_too_hot_is_too_late_before_it_gels() {
    let bench = Bench::demo();
    let at = |age: &str, pour: &str, job: &[&str]| {
        let more = [job, &["--age", age, "--until-poured", pour]].concat();
        correct(&bench, "slate", ["1732g", "730g"], &SLATE, &more)
    };
    for job in [&JOB[..], &[]] {
        let hot = at("36 min", "2 min", job);
        assert_eq!(hot.code, 1, "{hot:?}");
        let told = said(&hot);
        assert!(
            told.contains("TOO LATE: it would be 1") && told.contains("from 122 °F (50 °C) on")
        );
        assert!(!told.contains("poured as it is"), "{told}");
        let cool = at("25 min", "2 min", job);
        assert_eq!(cool.code, 0, "{cool:?}");
    }
}
