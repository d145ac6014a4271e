//! `match`, `correct` and `plan --tolerance` as a person runs them.

use pourbook::quantity::Fraction;
use pourbook::report::let_down_words;
use serde_json::Value;

use crate::program::{Bench, Ran};

/// A match kept small, so that it is quick without optimisation too.
const MATCH: &[&str] = &["match", "#5a6f7c", "--shop", "shop", "--lamp", "D65", "--lamp", "A=0.5"];

fn with(words: &[&str], more: &[&str]) -> Vec<String> {
    words.iter().chain(more).map(|word| (*word).to_owned()).collect()
}

fn run(bench: &Bench, words: &[&str], more: &[&str]) -> Ran {
    let words = with(words, more);
    bench.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

fn json(bench: &Bench, words: &[&str], more: &[&str]) -> Value {
    let ran = run(bench, words, &[more, &["--json"]].concat());
    // 1 is "beyond tolerance", with the nearest recipes all the same.
    assert!(ran.code < 2, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

#[test]
fn recipes_are_found_and_shown_beside_the_target() {
    let bench = Bench::demo();
    let ran = run(&bench, MATCH, &["--most", "3", "--batch", "2kg", "--save", "chips"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    for file in ["match-d65-2.png", "match-a-2.png"] {
        let png = std::fs::File::open(bench.path("chips").join(file)).expect("a picture a lamp");
        let reader = png::Decoder::new(std::io::BufReader::new(png)).read_info().expect("a PNG");
        assert!(reader.info().width > 300, "{file} is a sheet of chips");
    }
    // The answer to a program is the answer to a person.
    let answer = json(&bench, MATCH, &["--most", "3", "--batch", "2kg"]);
    assert_eq!(answer["schema"], "pourbook.match");
    let best = answer["recipes"][0].clone();
    let shown = best["colorants"][0]["name"].as_str().expect("a name");
    assert!(ran.out.contains(shown), "{shown} is shown");
}

/// What nobody stated is told as assumed; what is stated is not.
#[test]
fn an_assumed_film_or_primer_is_told() {
    let bench = Bench::demo();
    let notes = |more: &[&str]| {
        let answer = json(&bench, MATCH, &[&["--most", "1"], more].concat());
        answer["notes"].as_array().unwrap().iter().map(Value::to_string).collect::<String>()
    };
    let all = notes(&[]);
    for words in ["ASSUMED", "clear flood 2:1", "148 mil", "#f2f2f0", "--film", "--primer"] {
        assert!(all.contains(words), "{words}: {all}");
    }
    let film = notes(&["--primer", "#e8e6e0", "--system", "clear-flood"]);
    assert!(film.contains("148 mil") && !film.contains("#f2f2f0"), "{film}");
    for stated in [
        &["--like", "tidewater-slate"][..],
        &["--film", "3mm", "--primer", "#e8e6e0", "--system", "clear-flood"],
    ] {
        assert!(!notes(stated).contains("ASSUMED"), "{stated:?}");
    }
}

/// What is printed to be pasted is a base of a colourway file: it is read, keeps every ceiling, and looks as
/// it was matched.
#[test]
fn a_recipe_is_printed_as_a_base_that_reads_back() {
    let bench = Bench::demo();
    let like = ["--like", "tidewater-slate", "--most", "3"];
    let answer = json(&bench, MATCH, &like);
    let text = run(&bench, MATCH, &like).out;
    for (number, recipe) in answer["recipes"].as_array().unwrap().iter().enumerate() {
        let base = recipe["as_base"].as_str().unwrap();
        for line in base.lines() {
            assert!(text.contains(line), "shown to a person too: {line}");
        }
        let file = format!(
            "(version: 1, name: \"pasted {number}\", system: \"clear flood 2:1\", film: \"3 mm\", primer: \"#e8e6e0\", bases: {{ {base} }})"
        );
        let path = bench.path("shop/colourways").join(format!("pasted-{number}.ron"));
        std::fs::write(path, file).unwrap();
        let checked = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(checked.code, 0, "{base}\n{}", checked.err);
        let name = format!("pasted {number}");
        let words = ["swatch", &name, "--to", "chips", "--json", "--shop", "shop"];
        let seen: Value = serde_json::from_str(&bench.run(&words).out).unwrap();
        let pasted = &seen["seen"][0]["chips"][0]["look"]["lab"];
        let matched = &recipe["looks"][0]["lab"];
        for axis in ["l", "a", "b"] {
            let [one, other] = [pasted, matched].map(|lab| lab[axis].as_f64().unwrap());
            assert!((one - other).abs() < 0.002, "{base}: {pasted} for {matched}");
        }
    }
}

/// Among recipes that no instrument tells from the best, those clear of their ceilings come first, then the
/// cheaper.
#[test]
fn of_equally_near_recipes_the_cheaper_comes_first() {
    let bench = Bench::demo();
    let answer = json(&bench, MATCH, &["--most", "3", "--batch", "2kg"]);
    let recipes = answer["recipes"].as_array().unwrap();
    let figure = |recipe: &Value, key: &str| recipe[key].as_f64().unwrap();
    let best = recipes
        .iter()
        .map(|recipe| figure(recipe, "weighted_delta_e00"))
        .fold(f64::INFINITY, f64::min);
    let crowded = |recipe: &Value| {
        recipe["ceilings"].as_array().unwrap().iter().any(|ceiling| {
            figure(ceiling, "value_percent") >= 0.9 * figure(ceiling, "ceiling_percent")
        })
    };
    let alike: Vec<&Value> = recipes
        .iter()
        .filter(|recipe| recipe["hides"] == true)
        .filter(|recipe| figure(recipe, "weighted_delta_e00") < best + 0.1)
        .collect();
    assert!(alike.len() > 1, "{answer}");
    for pair in alike.windows(2) {
        let cost = |recipe: &Value| figure(&recipe["cost_per_litre"], "amount");
        let [one, other] = [pair[0], pair[1]].map(|recipe| (crowded(recipe), cost(recipe)));
        assert!(
            (!one.0 && other.0) || (one.0 == other.0 && one.1 < other.1 * 1.011),
            "{one:?} {other:?}"
        );
    }
}

#[test]
fn must_never_and_only_are_kept() {
    let bench = Bench::demo();
    let named = |more: &[&str]| -> Vec<Vec<String>> {
        let answer = json(&bench, MATCH, &[&["--most", "3"], more].concat());
        let recipes = answer["recipes"].as_array().expect("recipes");
        assert!(!recipes.is_empty(), "{more:?}");
        recipes
            .iter()
            .map(|recipe| {
                let doses = recipe["colorants"].as_array().expect("doses");
                doses.iter().map(|d| d["name"].as_str().unwrap_or_default().to_owned()).collect()
            })
            .collect()
    };
    let has = |recipe: &[String], name: &str| recipe.iter().any(|dosed| dosed == name);
    let must = named(&["--must", "ultramarine paste"]);
    assert!(must.iter().all(|recipe| has(recipe, "ultramarine paste")), "{must:?}");
    let free = named(&[]);
    let first = free[0][0].clone();
    let never = named(&["--never", &first]);
    assert!(never.iter().all(|recipe| !has(recipe, &first)), "{never:?} without {first}");
    let only = named(&["--only", "titanium white paste", "--only", "phthalo blue paste"]);
    let allowed = ["titanium white paste", "phthalo blue paste"];
    assert!(only.iter().flatten().all(|name| allowed.contains(&name.as_str())), "{only:?}");
}

#[test]
fn a_small_batch_keeps_the_ratio() {
    let bench = Bench::demo();
    for batch in ["30g", "130g", "700g"] {
        let answer = json(&bench, MATCH, &["--most", "1", "--batch", batch]);
        let recipes = answer["recipes"].as_array().expect("recipes");
        assert!(!recipes.is_empty(), "{answer}");
        for recipe in recipes.iter().filter(|recipe| !recipe["batch"].is_null()) {
            let [a, b] = ["part_a_g", "part_b_g"].map(|part| grams(&recipe["batch"][part]));
            let off = (b / a * 100.0 / PHR - 1.0).abs();
            assert!(off <= 0.005, "{batch}: A : B is off by {off}");
        }
    }
}

#[test]
fn a_batch_too_small_to_be_weighed_near_enough_is_no_success() {
    let bench = Bench::demo();
    let ran = run(&bench, MATCH, &["--most", "2", "--batch", "0.05g"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(!ran.out.contains(": a match"), "{ran:?}");
}

#[test]
fn impossible_asks_are_told() {
    let bench = Bench::demo();
    let mut told = String::new();
    for more in [
        &["match", "52,NaN,1"][..],
        &["match", "a colour"],
        &["match", "#5a6f7c", "--must", "red oxide paste", "--never", "red oxide paste"],
        &["match", "#5a6f7c", "--only", "red oxde paste"],
        &["match", "#5a6f7c", "--lamp", "D65=-1"],
        &["match", "#5a6f7c", "--most", "5"],
        &["match", "#5a6f7c", "--stock", "red oxide paste=5 g"],
        &["correct", "tidewater-slate", "fogg", "--part-a", "400g", "--part-b", "170g"],
        &["correct", "tidewater-slate", "fog", "--part-a", "0g", "--part-b", "0g"],
        &["correct", "tidewater-slate", "fog", "--part-a", "400", "--part-b", "170g"],
    ] {
        let ran = run(&bench, more, &["--shop", "shop"]);
        assert_eq!(ran.code, 2, "{more:?}: {ran:?}");
        assert!(ran.out.is_empty(), "{ran:?}");
        told += &format!("$ pourbook {}\n{}\n", more.join(" "), ran.err);
    }
    insta::assert_snapshot!(told);
}

/// Three readings of paint: one with the gloss, one without, one that has only its Lab.
const READ: &str = "\
id,geometry,R400,R420,R440,R460,R480,R500,R520,R540,R560,R580,R600,R620,R640,R660,R680,R700,LAB_L,LAB_A,LAB_B
gloss,included,0.25,0.30,0.33,0.33,0.31,0.28,0.25,0.23,0.21,0.20,0.19,0.19,0.19,0.19,0.20,0.21,,,
matt,excluded,0.20,0.25,0.28,0.28,0.26,0.23,0.20,0.18,0.16,0.15,0.14,0.14,0.14,0.14,0.15,0.16,,,
only Lab,,,,,,,,,,,,,,,,,,46,-4,-10
";

#[test]
fn a_reading_in_a_folder_is_a_target() {
    let bench = Bench::demo();
    bench.put("readings/wall.csv", READ);
    let target = |word: &str| json(&bench, &["match", word, "--shop", "shop", "--most", "2"], &[]);
    let gloss = target("shop/readings/wall.csv#gloss");
    let matt = target("shop/readings/wall.csv#matt");
    let first = |answer: &Value| {
        let band = &answer["target_reflectance_380_730_by_10_nm"][8];
        band.as_f64().expect("a reflectance at 460 nm")
    };
    // 4 to 5 % of light is the gloss of a face of index 1.5 to 1.57.
    let taken_off = 0.33 - first(&gloss);
    assert!((0.04..0.055).contains(&taken_off), "{taken_off}");
    assert!((first(&matt) - 0.28).abs() < 1e-9, "as read: {}", first(&matt));
    assert_eq!(gloss["target_spectrum_known"], true);
    assert!(gloss["notes"].to_string().contains("gloss included"), "{}", gloss["notes"]);
    let lab = target("shop/readings/wall.csv#only Lab");
    assert_eq!(lab["target_spectrum_known"], false);
    assert!(lab["notes"].to_string().contains("--target-lamp"), "{}", lab["notes"]);

    let mut told = String::new();
    for word in [
        "shop/readings/wall.csv",
        "shop/readings/wall.csv#glos",
        "shop/readings/wal.csv#gloss",
        "tidewater-slate/fogg",
    ] {
        let ran = bench.run(&["match", word, "--shop", "shop"]);
        assert_eq!(ran.code, 2, "{word}: {ran:?}");
        told += &format!("$ pourbook match {word}\n{}\n", ran.err);
    }
    insta::assert_snapshot!(told);
}

#[test]
fn a_ceiling_that_a_job_raises_is_kept_as_raised_and_told() {
    let bench = Bench::demo();
    let raised = "crew: 2,\n    overrides: [(ceiling: Colorant(\"titanium white paste\"), to: \"7.5 %\", reason: \"three boards cured hard\")],";
    bench.change("jobs/galley-kitchen.ron", "crew: 2,", raised);
    // More white than its own ceiling allows makes this white over a dark primer.
    let words = [
        "match",
        "94,0,3",
        "--shop",
        "shop",
        "--primer",
        "#303030",
        "--film",
        "1.5mm",
        "--only",
        "titanium white paste",
    ];
    let white = |answer: &Value| {
        answer["recipes"][0]["colorants"][0]["loading_percent"].as_f64().expect("a loading")
    };
    let without = json(&bench, &words, &["--most", "1"]);
    let with = json(&bench, &words, &["--most", "1", "--job", "galley-kitchen"]);
    assert!(white(&without) <= 6.0 + 1e-6, "{without}");
    assert!(white(&with) > 6.0 + 1e-6, "{with}");
    let reason = "three boards cured hard";
    assert!(with["ceilings_raised"].to_string().contains(reason), "{with}");
    let told = run(&bench, &words, &["--most", "1", "--job", "galley-kitchen"]);
    assert!(told.out.contains(reason), "{told:?}");
    // A correction refuses to end above a ceiling, and ends below it where the job raises it.
    let mixed = held(
        "fog",
        ["400g", "168.7g"],
        &["titanium white paste=36 g", "yellow oxide paste=0.68 g"],
    );
    let over = json(&bench, &mixed, &["--within", "6"]);
    let raised = json(&bench, &mixed, &["--within", "6", "--job", "galley-kitchen"]);
    let grown = |answer: &Value| grams(&answer["mass_after_g"]) - grams(&answer["mass_before_g"]);
    assert!(grown(&over) > grown(&raised), "{} and {}", grown(&over), grown(&raised));
    assert!(raised["ceilings_raised"].to_string().contains(reason), "{raised}");
    let unknown = run(&bench, &words, &["--job", "galey-kitchen"]);
    assert_eq!(unknown.code, 2, "{unknown:?}");
}

#[test]
fn the_stock_is_told_and_kept() {
    let bench = Bench::demo();
    let stock = ["--most", "3", "--batch", "2kg", "--stock", "titanium white paste=4.25 g"];
    let ran = run(&bench, MATCH, &stock);
    assert!(ran.out.contains("in stock, no more: titanium white paste 4.25 g"), "{ran:?}");
    let answer = json(&bench, MATCH, &stock);
    for recipe in answer["recipes"].as_array().expect("recipes") {
        for dose in recipe["colorants"].as_array().expect("doses") {
            if dose["name"] == "titanium white paste" {
                assert!(grams(&dose["weighed"]["mass_g"]) <= 4.25, "{recipe}");
            }
        }
    }
    let none = run(
        &bench,
        MATCH,
        &[
            "--only",
            "titanium white paste",
            "--batch",
            "2kg",
            "--stock",
            "titanium white paste=0 g",
        ],
    );
    assert_eq!(none.code, 2, "{none:?}");
    assert!(none.err.contains("stock"), "{none:?}");
}

/// 2:1 by volume at 1.15 and 0.97 g/mL, grams of B to 100 of A.
const PHR: f64 = 100.0 * 0.97 / (2.0 * 1.15);

/// `correct` for a base of the demo's slate that holds so much.
fn held<'a>(base: &'a str, parts: [&'a str; 2], colorants: &[&'a str]) -> Vec<&'a str> {
    let [a, b] = parts;
    let mut words =
        vec!["correct", "tidewater-slate", base, "--shop", "shop", "--part-a", a, "--part-b", b];
    words.extend(colorants.iter().flat_map(|dose| ["--held", dose]));
    words
}

/// What a plan has weighed is right as it is: rounding to the scale's steps is no fault to be corrected.
#[test]
fn exactly_the_planned_weights_need_nothing() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop", "--json"];
    let plan: Value = serde_json::from_str(&bench.run(&words).out).unwrap();
    for base in plan["bases"].as_array().unwrap() {
        let mix = &base["mixes"][0];
        let grams = |weighed: &Value| weighed["mass_g"].as_f64().unwrap();
        let mut part_a = grams(&mix["part_a"]);
        // The same as a label has it: let-downs by their names, part A as it was weighed besides.
        let (label_a, mut label) = (part_a, Vec::new());
        let mut doses: Vec<String> = Vec::new();
        for dose in mix["colorants"].as_array().unwrap() {
            let weighed = grams(&dose["weighed"]);
            // Of a let-down, what is not colorant is part A.
            let share = dose["let_down_percent"].as_f64().map_or(1.0, |percent| percent / 100.0);
            part_a += weighed * (1.0 - share);
            let name = dose["name"].as_str().unwrap();
            doses.push(format!("{name}={:.2} g", weighed * share));
            label.push(match dose["let_down_percent"].as_f64() {
                Some(percent) => {
                    let let_down = let_down_words(Fraction::from_percent(percent));
                    format!("{name}, {let_down}={weighed:.2} g")
                }
                None => format!("{name}={weighed:.2} g"),
            });
        }
        let label: Vec<&str> = label.iter().map(String::as_str).collect();
        let b = format!("{:.1} g", grams(&mix["part_b"]));
        let a = format!("{label_a:.1} g");
        let ran = bench.run(&held(base["name"].as_str().unwrap(), [&a, &b], &label));
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.out.contains("Nothing: it is "), "{label:?} {}", ran.out);
        assert!(!ran.out.contains("SUSPECTED") && !ran.out.contains("IS OFF"), "{}", ran.out);
        assert!(!ran.out.contains("grows"), "nothing grows by nothing: {}", ran.out);
        let doses: Vec<&str> = doses.iter().map(String::as_str).collect();
        let [a, b] = [part_a, grams(&mix["part_b"])].map(|grams| format!("{grams:.1} g"));
        let words = held(base["name"].as_str().unwrap(), [&a, &b], &doses);
        let ran = bench.run(&words);
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.out.contains("Nothing: it is "), "{}", ran.out);
    }
}

/// A base of a plan whose colorant is let down, in the demo without its finest scale.
struct LetDownCase {
    bench: Bench,
    base: String,
    /// Grams of A and B to weigh.
    parts: [f64; 2],
    /// Colorants, the grams on the scale, and percent of colorant in that.
    doses: Vec<(String, f64, f64)>,
}

fn let_down_case() -> LetDownCase {
    let bench = Bench::demo();
    let house = std::fs::read_to_string(bench.path("shop/house.ron")).unwrap();
    let coarse: Vec<&str> = house.lines().filter(|line| !line.contains("pocket scale")).collect();
    bench.put("house.ron", coarse.join("\n"));
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop", "--json"];
    let plan: Value = serde_json::from_str(&bench.run(&words).out).unwrap();
    let grams = |weighed: &Value| weighed["mass_g"].as_f64().unwrap();
    let base = plan["bases"].as_array().unwrap().iter().find(|base| {
        let doses = base["mixes"][0]["colorants"].as_array().unwrap();
        doses.iter().any(|dose| dose["means"] == "let-down")
    });
    let base = base.expect("without a fine scale something is let down");
    let mix = &base["mixes"][0];
    let doses = mix["colorants"].as_array().unwrap().iter();
    let doses = doses.map(|dose| {
        let percent = dose["let_down_percent"].as_f64().unwrap_or(100.0);
        (dose["name"].as_str().unwrap().to_owned(), grams(&dose["weighed"]), percent)
    });
    let parts = [grams(&mix["part_a"]), grams(&mix["part_b"])];
    let name = base["name"].as_str().unwrap().to_owned();
    LetDownCase { bench, base: name, parts, doses: doses.collect() }
}

/// A let-down's weight typed as neat is told to be one, whether the correction can be had or not.
#[test]
fn a_let_down_typed_as_neat_is_suspected() {
    let LetDownCase { bench, base, parts: [a, b], doses } = let_down_case();
    let [a, b] = [a, b].map(|grams| format!("{grams:.1} g"));
    let typed: Vec<String> =
        doses.iter().map(|(name, weighed, _)| format!("{name}={weighed:.2} g")).collect();
    let typed: Vec<&str> = typed.iter().map(String::as_str).collect();
    let ran = bench.run(&held(&base, [&a, &b], &typed));
    let said = format!("{}{}", ran.out, ran.err);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    for (name, _, percent) in doses.iter().filter(|(.., percent)| *percent < 100.0) {
        let let_down = let_down_words(Fraction::from_percent(*percent));
        let words = format!("of neat {name} is what a plan would weigh of its {let_down}");
        assert!(said.contains(&words), "{words}: {said}");
    }
    assert!(said.to_lowercase().contains("suspected: "), "{said}");
}

/// What stands on a let-down's cup is read; what cannot be read is told with the form that can.
#[test]
fn a_let_down_is_typed_as_its_cup_is_labelled() {
    let bench = Bench::demo();
    let doses = |black: &'static str| {
        let rest = ["titanium white paste=49 g", "yellow oxide paste=2.12 g", black];
        bench.run(&held("fog", ["1262g", "533g"], &rest))
    };
    let said = |ran: &Ran| {
        let all = format!("{}{}", ran.out, ran.err);
        all.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let labelled = doses("carbon black paste, let-down 1 : 9=7.20 g");
    assert!(!said(&labelled).contains("of neat carbon black paste"), "{labelled:?}");
    assert_eq!(said(&doses("carbon black paste 1 : 9=7.20 g")), said(&labelled));
    let unread = said(&doses("carbon black paste 1/9=7.20 g"));
    assert!(unread.contains("carbon black paste, let-down 1 : 3=8.8 g"), "{unread}");
    let unknown = said(&doses("carbon black pasta 1 : 9=7.20 g"));
    assert!(unknown.contains("NAME, let-down 1 : 9=GRAMS g"), "{unknown}");
}

/// Without part B no clock has begun, whatever age is given.
#[test]
fn without_part_b_an_age_is_passed_over() {
    let bench = Bench::demo();
    let words = held("fog", ["1262g", "0g"], &[]);
    let ran = bench.run(&[&words[..], &["--age", "20 min"]].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("AGE PASSED OVER") && !said.contains("B met A 20"), "{said}");
    assert!(said.contains("That completes the recipe"), "{said}");
}

/// A correction that adds by a let-down says how to make it, and its clock counts that.
#[test]
fn a_let_down_that_is_added_is_told_how_to_make() {
    let LetDownCase { bench, base, parts: [a, b], doses } = let_down_case();
    let [a, b] = [a, b].map(|grams| format!("{grams:.1} g"));
    // What was let down is forgotten.
    let typed: Vec<String> = doses
        .iter()
        .filter(|(.., percent)| *percent >= 100.0)
        .map(|(name, weighed, _)| format!("{name}={weighed:.2} g"))
        .collect();
    let typed: Vec<&str> = typed.iter().map(String::as_str).collect();
    let words = held(&base, [&a, &b], &typed);
    let words = [&words[..], &["--within", "0.3", "--age", "3 min"]].concat();
    let ran = bench.run(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let answer: Value =
        serde_json::from_str(&bench.run(&[&words[..], &["--json"]].concat()).out).unwrap();
    let added = answer["add"]["colorants"].as_array().unwrap();
    let let_downs: Vec<&Value> =
        added.iter().filter(|dose| !dose["let_down_percent"].is_null()).collect();
    assert!(!let_downs.is_empty(), "{answer}");
    assert_eq!(answer["clock"]["let_downs_made"], let_downs.len());
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("min are needed to make the let-down"), "{said}");
    for dose in let_downs {
        let made = &dose["let_down_made"];
        let taken = dose["on_scale_g"].as_f64().unwrap();
        assert!(made["made_g"].as_f64().unwrap() >= taken, "{dose}");
        for weighing in ["colorant_weighed", "part_a_weighed"] {
            assert_eq!(made[weighing]["within_tolerance"], true, "{dose}");
        }
        let colorant = dose["name"].as_str().unwrap();
        let words =
            format!("{} of {colorant} (", made["colorant_weighed"]["shown"].as_str().unwrap());
        assert!(
            said.contains(&words) && said.contains("or of one already made, if its label says"),
            "{said}"
        );
    }
}

/// Whatever its colour, a mix off its ratio does not cure: that is told first.
#[test]
fn a_wrong_ratio_is_told_before_the_colour() {
    let bench = Bench::demo();
    let doses = ["iron oxide black paste=40 g", "titanium white paste=23 g"];
    let ran = bench.run(&held("slate", ["2000g", "1080g"], &doses));
    let said = format!("{}{}", ran.out, ran.err);
    assert!(said.contains("28.0 % too much part B for its part A as it stands"), "{said}");
    let at = |words: &str| said.find(words).unwrap_or(usize::MAX);
    assert!(at("IS OFF") < at("its colour:"), "{said}");
}

/// Where no recipe within tolerance hides, the nearest that does is listed, marked as beyond it.
#[test]
fn the_nearest_that_hides_is_listed_beyond_the_tolerance() {
    let bench = Bench::demo();
    let words = [
        "match",
        "#2f6f8f",
        "--shop",
        "shop",
        "--like",
        "tidewater-slate",
        "--only",
        "phthalo blue paste",
        "--only",
        "titanium white paste",
        "--only",
        "carbon black paste",
    ];
    let mut seen = 0;
    for target in ["#9db4c6", "#2f6f8f", "#5f9fb0", "#a0c8d0", "#406080"] {
        let mut words = words;
        words[1] = target;
        let answer = json(&bench, &words, &[]);
        let recipes = answer["recipes"].as_array().unwrap();
        let of = |within: bool| recipes.iter().filter(move |r| r["within_tolerance"] == within);
        if of(true).count() == 0 || of(true).any(|recipe| recipe["hides"] == true) {
            continue;
        }
        seen += 1;
        let text = run(&bench, &words, &[]).out.split_whitespace().collect::<Vec<_>>().join(" ");
        let hides = of(false).any(|recipe| recipe["hides"] == true);
        let told = if hides {
            "The nearest that hides, beyond the tolerance, is number"
        } else {
            "Nor does any that comes near."
        };
        assert!(text.contains(told), "{target}: {text}");
        assert_eq!(
            hides,
            text.contains("beyond the shop's tolerance, the nearest that hides"),
            "{text}"
        );
    }
    assert!(seen > 0, "no target of these is matched by tints alone");
}

/// A correction aims inside the tolerance, so that a slip of the scale does not spoil it, and names the scale of
/// parts A and B.
#[test]
fn a_correction_leaves_room_and_names_every_scale() {
    let bench = Bench::demo();
    let ran = bench.run(&overdosed());
    let words = [&overdosed()[..], &["--json"]].concat();
    let answer: Value = serde_json::from_str(&bench.run(&words).out).unwrap();
    let after = answer["delta_e00_after"].as_f64().unwrap();
    let aimed = answer["aimed_at_delta_e00"].as_f64().unwrap();
    assert!(after <= aimed && aimed < answer["within_delta_e00"].as_f64().unwrap(), "{after}");
    for line in ran
        .out
        .lines()
        .filter(|line| line.trim_start().starts_with("part ") && line.contains(" g  "))
    {
        assert!(line.ends_with(" scale"), "{line}");
    }
    assert!(answer["add"]["scale"].as_str().unwrap().ends_with(" scale"), "{answer}");
}

/// Fog with too much white, and a little too much part A.
fn overdosed() -> Vec<&'static str> {
    let doses =
        ["titanium white paste=27 g", "yellow oxide paste=0.7 g", "carbon black paste=0.06 g"];
    held("fog", ["400g", "170g"], &doses)
}

fn grams(value: &Value) -> f64 {
    value.as_f64().expect("grams")
}

/// A : B of the vessel after what is told to be weighed has gone in, against the system's.
fn ratio_after(answer: &Value, held: [f64; 2]) -> f64 {
    let add = &answer["add"];
    let in_let_downs: f64 = add["colorants"]
        .as_array()
        .expect("doses")
        .iter()
        .map(|dose| grams(&dose["on_scale_g"]) - grams(&dose["mass_g"]))
        .sum();
    let a = held[0] + grams(&add["part_a_besides_let_downs_g"]) + in_let_downs;
    let b = held[1] + grams(&add["part_b_g"]);
    (b / a * 100.0 / PHR - 1.0).abs()
}

#[test]
fn an_overdose_is_brought_back_in_time_or_refused() {
    let bench = Bench::demo();
    let ran = run(&bench, &overdosed(), &["--age", "10 min"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    insta::assert_snapshot!(ran.out);
    let answer = json(&bench, &overdosed(), &["--age", "10 min"]);
    let ratio = ratio_after(&answer, [400.0, 170.0]);
    assert!(ratio <= 0.005, "let-downs counted, A : B is off by {ratio}");
    let late = run(&bench, &overdosed(), &["--age", "55 min"]);
    assert_eq!(late.code, 1, "{late:?}");
    assert!(late.out.contains("cannot be poured in time") && late.err.is_empty(), "{late:?}");
}

#[test]
fn a_colour_measured_off_is_expected_near_its_aim() {
    let bench = Bench::demo();
    let doses =
        ["titanium white paste=16 g", "yellow oxide paste=0.68 g", "carbon black paste=0.11 g"];
    let mixed = held("fog", ["400g", "168.7g"], &doses);
    let answer = json(&bench, &mixed, &["--measured", "77.5,-2.5,7"]);
    let lab = |at: &Value| ["l", "a", "b"].map(|axis| at[axis].as_f64().expect("a coordinate"));
    let (expected, after, before) = (
        lab(&answer["expected_lab"]),
        lab(&answer["look_after"]["lab"]),
        lab(&answer["look_before"]["lab"]),
    );
    for ((expected, measured), (after, before)) in
        expected.iter().zip([77.5, -2.5, 7.0]).zip(after.iter().zip(before))
    {
        assert!((expected - (measured + after - before)).abs() < 1e-6, "{answer}");
    }
    assert!(ratio_after(&answer, [400.0, 168.7]) <= 0.005, "{answer}");
    let told = bench.run(&[&mixed[..], &["--measured", "77.5,-2.5,7"]].concat());
    insta::assert_snapshot!(told.out);
}

#[test]
fn a_left_over_is_used_up_in_another_base() {
    let bench = Bench::demo();
    let mut words = held("slate", ["70.3g", "29.7g"], &["titanium white paste=2.8 g"]);
    words.extend(["--at-least", "1kg"]);
    let answer = json(&bench, &words, &[]);
    assert!(grams(&answer["mass_after_g"]) >= 1000.0, "{answer}");
    assert!(grams(&answer["delta_e00_after"]) <= grams(&answer["within_delta_e00"]), "{answer}");
    assert!(ratio_after(&answer, [70.3, 29.7]) <= 0.005, "{answer}");
}

#[test]
fn how_far_colours_stray_is_a_line_a_base() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "sample-board", "--shop", "shop", "--tolerance"];
    let one = bench.run(&words);
    assert_eq!(one.code, 0, "{one:?}");
    assert_eq!(one.out, bench.run(&words).out, "the same seed, the same figures");
    let plan = json(&bench, &words, &[]);
    let bases = plan["bases"].as_array().expect("bases");
    let strays = plan["tolerance"]["bases"].as_array().expect("a stray a base");
    assert_eq!(strays.len(), bases.len(), "{plan}");
    for base in bases {
        let name = base["name"].as_str().expect("a name");
        let told = one.out.lines().any(|line| line.contains(name) && line.contains("ΔE00"));
        assert!(told, "{name} has its line:\n{}", one.out);
    }
}

/// No answer says that nothing hides, or names a worse recipe that hides, where one that must hold some colorant
/// does better: the freer choice has that recipe too.
#[test]
fn what_hides_is_found_whatever_stands_beside_it() {
    let bench = Bench::demo();
    let hiding = |target: &str, more: &[&str]| -> Vec<f64> {
        let words = ["match", target, "--shop", "shop", "--like", "tidewater-slate"];
        let answer = json(&bench, &words, &[more, &["--alternatives", "12"]].concat());
        let within = answer["within_delta_e00"].as_f64().unwrap();
        let recipes = answer["recipes"].as_array().unwrap().iter();
        recipes
            .filter(|recipe| recipe["hides"] == true)
            .map(|recipe| recipe["weighted_delta_e00"].as_f64().unwrap())
            .filter(|error| *error <= within)
            .collect()
    };
    let least = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
    for target in ["#8fa39a", "#c8b9a0", "#5a6f7c", "#3b2f2a", "#d8d4c8", "#7a8f6a"] {
        for never in [&[][..], &["--never", "phthalo blue paste"]] {
            let free = hiding(target, never);
            for must in ["titanium white paste", "raw umber paste", "yellow oxide paste"] {
                let bound = hiding(target, &[never, &["--must", must]].concat());
                assert!(
                    least(&free) <= least(&bound) + 0.05,
                    "{target} {must}: {free:?} {bound:?}"
                );
            }
        }
    }
    let all = hiding("#8fa39a", &["--never", "phthalo blue paste"]);
    assert!(all.len() >= 11, "all but the nearest of all hide: {all:?}");
}

#[test]
fn the_clear_film_is_no_recipe_for_a_colour_out_of_reach() {
    let bench = Bench::demo();
    let words = ["match", "#ff2000", "--shop", "shop"];
    let answer = json(&bench, &words, &[]);
    for recipe in answer["recipes"].as_array().unwrap() {
        assert!(!recipe["colorants"].as_array().unwrap().is_empty(), "{recipe}");
    }
    // Over its own primer it is the match, and there is nothing to paste.
    let words = ["match", "#e8e6e0", "--shop", "shop", "--primer", "#e8e6e0", "--show-through"];
    let text = run(&bench, &words, &["--alternatives", "40"]).out;
    assert!(!text.contains("(colorants: {\n      })"), "{text}");
}

/// A colour is read with or without its #, as in a file.
#[test]
fn a_screen_colour_needs_no_mark() {
    let bench = Bench::demo();
    let more = ["--shop", "shop", "--most", "2"];
    let [marked, bare] = ["#5a6f7c", "5a6f7c"].map(|colour| run(&bench, &["match", colour], &more));
    assert_eq!(marked.out, bare.out);
    assert_eq!((marked.code, marked.err), (bare.code, bare.err));
}

/// Room and pour are the job's, or are told as assumed with the option that states them.
#[test]
fn a_clock_says_what_it_rests_on() {
    let bench = Bench::demo();
    let words = [overdosed(), vec!["--age", "1 min"]].concat();
    let told = |more: &[&str]| -> (String, f64) {
        let answer = json(&bench, &words, more);
        (answer["clock"]["rests_on"].to_string(), answer["clock"]["needed_min"].as_f64().unwrap())
    };
    let (alone, short) = told(&[]);
    for part in ["ASSUMED", "72 °F", "5 min", "--temperature", "--until-poured"] {
        assert!(alone.contains(part), "{part}: {alone}");
    }
    let (of_job, long) = told(&["--job", "galley-kitchen"]);
    assert!(of_job.contains("boathouse galley kitchen") && !of_job.contains("ASSUMED"), "{of_job}");
    assert!(long > short + 1.0, "the plan pours for longer: {long} and {short} min");
    let (stated, _) = told(&["--temperature", "70 °F", "--until-poured", "3 min"]);
    assert!(stated.contains("70 °F (stated)") && stated.contains("3 min"), "{stated}");
    let text = run(&bench, &words, &[]).out;
    assert!(text.contains("ASSUMED; --temperature, or --job"), "{text}");
}

#[test]
fn a_job_in_the_wrong_place_and_unknown_units_are_told() {
    let bench = Bench::demo();
    for (words, parts) in [
        (&["plan", "galley-kitchen"][..], &["is a job", "pourbook plan --job galley-kitchen"][..]),
        (&["plan", "tidewater-slate"], &["say how large", "--job JOB"]),
        (
            &["plan", "galley-kitchen", "--board", "600x600mm"],
            &["no colourway is called", "but a job is", "--job galley-kitchen"],
        ),
        (&["plan", "--job", "galey-kitchen"], &["did you mean \"galley-kitchen\""]),
        (&["check", "--units", "imperial"], &["US gallons", "imperial gallons are not taken"]),
    ] {
        let ran = run(&bench, words, &["--shop", "shop"]);
        assert_eq!(ran.code, 2, "{words:?}: {}", ran.err);
        for part in parts {
            assert!(ran.err.contains(part), "{words:?} {part}: {}", ran.err);
        }
    }
}
