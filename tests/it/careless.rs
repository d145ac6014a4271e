//! What a person types and writes in haste, and what a first look has to tell: each mistake once, each word
//! that a plan or a recipe needs where it is seen first.

use serde_json::Value;

use crate::program::Bench;

/// What a vessel holds to the brim cannot be stirred in it: a stated one is filled up to the house's headroom, as a plan's is.
#[test]
fn a_correction_leaves_the_stated_vessel_its_headroom() {
    let bench = Bench::demo();
    let mix = ["correct", "Tidewater Slate", "slate", "--part-a", "2000g", "--part-b", "843g"];
    let held = ["--held", "iron oxide black paste=60 g", "--held", "titanium white paste=23 g"];
    let ran = |vessel| {
        let rest = ["--age", "8 min", "--shop", "shop", "--vessel", vessel];
        bench.run(&[&mix[..], &held[..], &rest[..]].concat())
    };
    let brim = ran("3 L");
    assert_eq!(brim.code, 1, "{brim:?}");
    let told = brim.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains(
            "it would fill 2.82 qt, and its 3.17 qt vessel takes 2.54 qt with room to stir"
        ) && told.contains("MOVE all of it into a 1 gal vessel"),
        "{told}"
    );
    assert_eq!(ran("4 L").code, 0);
}

/// A text that is never closed is one mistake, told where it begins, whatever it swallowed.
#[test]
fn a_text_that_is_never_closed_is_one_mistake() {
    for (from, to, place) in [
        ("film: \"3 mm\"", "film: \"3 mm", "ron:6:11"),
        ("primer: \"#e8e6e0\"", "primer: \"#e8e6e0", "ron:7:13"),
        ("\"0.12 %\", \"carbon", "\"0.12 %, \"carbon", "ron:11:85"),
        ("\"0.02 %\" }),", "\"0.02 % }),", "ron:11:117"),
        ("\"slate\": (colorants", "\"slate: (colorants", "ron:10:9"),
        ("\"0.6 %\"), Base", "\"0.6 %), Base", "ron:16:60"),
        ("name: \"Tidewater Slate\"", "name: \"Tidewater Slate", "ron:4:11"),
    ] {
        let bench = Bench::demo();
        bench.change("colourways/tidewater-slate.ron", from, to);
        let ran = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(ran.code, 2, "{to}: {}", ran.err);
        assert!(
            ran.err.contains("this text is never closed") && ran.err.contains(place),
            "{to}: {}",
            ran.err
        );
        let errors = ran.err.lines().filter(|line| line.starts_with("error")).count();
        assert_eq!(errors, 1, "{to}: {}", ran.err);
    }
}

/// A bracket that is missing or too many is one mistake: what stands behind it cannot be told from what was
/// meant.
#[test]
fn a_bracket_that_does_not_fit_is_one_mistake() {
    for (from, to) in [
        ("\"titanium white paste\": \"0.8 %\" }),", "\"titanium white paste\": \"0.8 %\" ),"),
        ("\"titanium white paste\": \"0.8 %\" }),", "\"titanium white paste\": \"0.8 %\" },"),
        ("\"slate\": (colorants", "\"slate\": colorants"),
        ("bases: {", "bases: "),
        ("pours: [", "pours: "),
        ("(colorant: \"carbon black liquid\") },", "(colorant: \"carbon black liquid\" },"),
        ("(colorant: \"carbon black liquid\") },", "(colorant: \"carbon black liquid\"),"),
        ("Base(\"slate\", 60), Base", "Base(\"slate\", 60, Base"),
        ("Base(\"fog\", 40)]),", "Base(\"fog\", 40)),"),
        ("Base(\"fog\", 40)]),", "Base(\"fog\", 40)],"),
        ("mist: Light),\n)", "mist: Light),\n"),
        ("mist: Light),\n)", "mist: Light,\n)"),
    ] {
        let bench = Bench::demo();
        bench.change("colourways/tidewater-slate.ron", from, to);
        let ran = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(ran.code, 2, "{to}: {}", ran.err);
        let errors = ran.err.lines().filter(|line| line.starts_with("error")).count();
        assert_eq!(errors, 1, "{to}: {}", ran.err);
        assert!(ran.err.contains("tidewater-slate.ron:"), "{to}: {}", ran.err);
    }
}

/// What is typed on the command line is not sought in a file.
#[test]
fn too_much_at_once_is_told_as_it_was_asked() {
    let bench = Bench::demo();
    let words = ["plan", "Tidewater Slate", "--kit", "500gal", "--shop", "shop"];
    let ran = bench.run(&words);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("at most 400 mixes and 1000 containers"), "{}", ran.err);
    assert!(ran.err.contains("ask for less at once, up to about "), "{}", ran.err);
    assert!(!ran.err.contains("job or house file"), "{}", ran.err);
}

/// The area that is named as the most has a clock, and half as much again has none.
#[test]
fn the_largest_area_that_is_named_has_a_clock() {
    let bench = Bench::demo();
    let plan = |area: &str, units: &str| {
        let words = ["plan", "Tidewater Slate", "--area", area, "--units", units, "--shop", "shop"];
        bench.run(&words).err
    };
    for (units, unit) in [("us", " ft²"), ("metric", " m²")] {
        let told = plan("10000m2", units);
        let most = told.split("up to about ").nth(1).and_then(|rest| rest.split(unit).next());
        let most: f64 = most.unwrap_or_default().parse().expect("a figure");
        let unit = unit.trim().replace('²', "2");
        assert!(!plan(&format!("{most}{unit}"), units).contains("no run sheet"), "{most}{unit}");
        assert!(plan(&format!("{}{unit}", most * 1.5), units).contains("no run sheet"), "{most}");
    }
}

/// Grams of another pigment are never guessed from the name of its file.
#[test]
fn what_was_weighed_goes_by_its_whole_name() {
    let bench = Bench::demo();
    let from = bench.path("shop/colorants/titanium-white-paste.ron");
    std::fs::rename(from, bench.path("shop/colorants/white.ron")).unwrap();
    let words = |held| {
        let parts = ["correct", "tidewater-slate", "fog", "--part-a", "1kg", "--part-b", "422g"];
        [&parts[..], &["--held", held, "--shop", "shop"]].concat()
    };
    for held in ["white=40 g", "white 1 : 3=160 g", "white, let-down 1 : 3=160 g"] {
        let ran = bench.run(&words(held));
        assert_eq!(ran.code, 2, "{held}: {ran:?}");
        assert!(ran.err.contains("no colorant is called \"white\""), "{held}: {}", ran.err);
        assert!(ran.err.contains("did you mean \"titanium white paste\"?"), "{held}: {}", ran.err);
    }
    for held in ["titanium white paste=40 g", "Titanium  White Paste =40 g"] {
        let ran = bench.run(&words(held));
        assert!(ran.code < 2 && ran.out.contains("titanium white paste 40"), "{held}: {ran:?}");
    }
    let stock = ["match", "#b0b0b0", "--batch", "2kg", "--stock", "white=5 g", "--shop", "shop"];
    let ran = bench.run(&stock);
    assert!(ran.code == 2 && ran.err.contains("\"titanium white paste\"?"), "{ran:?}");
}

/// Not a word of scales where the system takes none of what a colorant brings.
#[test]
fn a_system_that_takes_no_solvent_says_so() {
    let bench = Bench::demo();
    bench.change("systems/clear-flood.ron", "solvent: \"2 %\"", "solvent: \"0 %\"");
    let way = "colourways/salt-marsh.ron";
    let text = std::fs::read_to_string(bench.path("shop").join(way)).unwrap();
    let base = text.split("bases: {").nth(1).and_then(|rest| rest.split('"').nth(1)).unwrap();
    let parts =
        ["correct", "salt-marsh", base, "--part-a", "1kg", "--part-b", "422g", "--shop", "shop"];
    let system =
        "\"clear flood 2:1\" takes no solvent or other non-reactive carrier (its ceiling is 0 %)";
    let held = bench.run(&[&parts[..], &["--held", "blue solvent dye=5 g"]].concat());
    assert_eq!(held.code, 1, "{held:?}");
    let told = held.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains(system) && told.contains("mix anew without it"), "{told}");
    assert!(!told.contains("scale"), "{told}");
    let also = bench.run(&[&parts[..], &["--also", "blue solvent dye"]].concat());
    assert_eq!(also.code, 1, "{also:?}");
    assert!(
        also.err.contains(system) && also.err.contains("leave it out of --also"),
        "{}",
        also.err
    );
}

/// A plan saved among the jobs would be told of by every check.
#[test]
fn nothing_is_saved_among_a_shop_s_own_files() {
    let bench = Bench::demo();
    let list = || std::fs::read_dir(bench.path("shop/jobs")).unwrap().count();
    let before = list();
    for words in [
        &["plan", "--job", "round-table", "--save", "shop/jobs"][..],
        &["plan", "--job", "round-table", "--save", "shop/jobs/round table"],
        &["match", "#5a6f7c", "--save", "shop/colourways"],
        &["swatch", "Salt Marsh", "--to", "shop/systems"],
    ] {
        let ran = bench.run(&[words, &["--shop", "shop"]].concat());
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
        assert!(ran.err.contains("nothing is saved in shop/"), "{words:?}: {}", ran.err);
        assert!(ran.err.contains("name a folder of its own"), "{words:?}: {}", ran.err);
    }
    assert_eq!(list(), before);
}

#[test]
fn a_word_of_the_wrong_kind_says_what_would_be_right() {
    let bench = Bench::demo();
    let swatch = ["swatch", "salt-marsh", "--board", "600x600mm", "--shop", "shop"];
    let correct = [
        "correct",
        "tidewater-slate",
        "fog",
        "--part-a",
        "400g",
        "--part-b",
        "170g",
        "--shop",
        "shop",
    ];
    let plan = ["plan", "salt-marsh", "--shop", "shop"];
    for (words, more, told) in [
        (&swatch[..], &["--seed", "x"][..], "a whole number from 0"),
        (&swatch, &["--size", "0"], "a whole number from 16 to 16000"),
        (&swatch, &["--film", "-3mm"], "-3mm is below zero"),
        (&correct, &["--within", "x"], "a ΔE00 above 0"),
        (&correct, &["--age", "-5min"], "-5min is below zero"),
        (&correct, &["--at-least", "--json"], "not an option"),
        (&plan, &["--board", "-1x600mm"], "-1x600mm is below zero"),
        (&plan, &["--board", "600x600mm", "--crew", "two"], "a whole number from 1 to 50"),
        (&["match", "#5a6f7c", "--shop", "shop"], &["--film", "1m"], "1000 mm (39370 mil)"),
    ] {
        let ran = bench.run(&[words, more].concat());
        assert_eq!(ran.code, 2, "{more:?}: {ran:?}");
        assert!(ran.err.contains(told), "{more:?}: {}", ran.err);
    }
}

/// What does not stop a pour but is to be known before it stands under the title; a container's last reading is
/// that of the container.
#[test]
fn the_head_of_a_plan_tells_what_to_heed() {
    let bench = Bench::demo();
    let text = bench.kitchen_text(&[]);
    let head = text.split("FIGURES REST ON").next().unwrap();
    assert!(head.contains("HEED: tight in time:"), "{head}");
    assert!(
        head.contains("HEED: on edges and splashbacks at 0.508 mm the primer shows through"),
        "{head}"
    );
    assert!(text.contains("no tare between"), "{text}");
    let board =
        bench.run(&["plan", "--job", "sample-board", "--shop", "shop", "--units", "metric"]);
    let top =
        board.out.lines().find(|line| line.trim_start().starts_with("top") && line.contains("ink"));
    assert!(
        top.is_some_and(|line| line.ends_with("own cup; container then 374 g")),
        "{}",
        board.out
    );
    let us = bench.run(&["plan", "--job", "sample-board", "--shop", "shop", "--units", "us"]).out;
    assert!(us.contains("1 ft 11 5/8 in x 1 ft 11 5/8 in (600 mm x 600 mm)"), "{us}");
}

/// Of recipes within tolerance those with room below their ceilings come first, and one at a ceiling says so.
#[test]
fn a_recipe_with_room_below_its_ceilings_comes_first() {
    let bench = Bench::demo();
    let ran = |target: &str, more: &[&str]| {
        bench.run(&[&["match", target, "--shop", "shop"][..], more].concat()).out
    };
    for target in ["#6b0f1a", "#8b1a1a"] {
        let answer: Value = serde_json::from_str(&ran(target, &["--json"])).unwrap();
        let recipes = answer["recipes"].as_array().unwrap();
        let near = |recipe: &Value| recipe["near_a_ceiling"].as_bool().unwrap();
        assert!(!near(&recipes[0]) && recipes[0]["hides"] == true, "{target}: {}", recipes[0]);
        let error = recipes[0]["weighted_delta_e00"].as_f64().unwrap();
        assert!(error <= answer["within_delta_e00"].as_f64().unwrap(), "{target}: {error}");
        let hiding = recipes.iter().filter(|recipe| recipe["hides"] == true);
        assert!(hiding.map(near).is_sorted(), "{target}: {recipes:?}");
        let text = ran(target, &[]);
        let crowded = recipes.iter().filter(|recipe| near(recipe)).count();
        assert_eq!(text.matches("caution: within 10 % of a ceiling").count(), crowded, "{text}");
    }
}

/// A refused correction says how much to keep, and what the weights look like.
#[test]
fn a_correction_that_is_refused_says_what_could_be_done() {
    let bench = Bench::demo();
    let words = |part_b| {
        [
            "correct",
            "tidewater-slate",
            "fog",
            "--part-a",
            "4kg",
            "--part-b",
            part_b,
            "--held",
            "titanium white paste=400 g",
            "--shop",
            "shop",
        ]
    };
    let ran = bench.run(&words("1.7kg"));
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(
        ran.out.contains("\nNOT ALL OF IT CAN BE CORRECTED: it would grow to ")
            && ran.out.contains("\nTHERE IS A WAY: a part of it is corrected.")
            && ran.out.contains("\nADD TO THAT\n  part A "),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("SUSPECTED"), "{}", ran.out);
    assert!(ran.out.contains("CLOCK NOT RECKONED"), "{}", ran.out);
    let aged = bench.run(&[&words("1.7kg")[..], &["--age", "2 min"]].concat());
    assert!(aged.out.contains("B met A 2 min ago; pot life"), "{}", aged.out);
    assert!(!aged.out.contains("CLOCK NOT RECKONED"), "{}", aged.out);
    let ran = bench.run(&words("9.5kg"));
    // More than any vessel holds: nothing is suspected of amounts that cannot be.
    assert!(ran.code == 1 && ran.out.contains("\nTHAT CANNOT BE: 13900 g"), "{ran:?}");
    assert!(!ran.out.contains("SUSPECTED"), "{}", ran.out);
    let swapped = [&words("1424g")[..4], &["602g"], &words("1424g")[5..]].concat();
    let ran = bench.run(&swapped);
    assert!(ran.out.contains("\nSUSPECTED: part A and part B look swapped"), "{ran:?}");
}

/// A shop's folder typed without its option is told with it; a recipe left out is asked for with those there are.
#[test]
fn what_is_left_out_of_a_command_is_told_as_it_is_typed() {
    let bench = Bench::demo();
    let ran = bench.run(&["check", "shop"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("pourbook check --shop shop"), "{}", ran.err);
    let ran = bench.run(&["plan", "--board", "600x600mm", "--shop", "shop"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("pourbook plan COLOURWAY --board SIZE"), "{}", ran.err);
    assert!(ran.err.contains("Salt Marsh and Tidewater Slate"), "{}", ran.err);
}

/// A base is found however it is capitalised, and its nearest name is offered where it is not.
#[test]
fn a_base_is_found_in_any_case() {
    let bench = Bench::demo();
    let of = |base: &str, more: &[&str]| {
        let words = ["correct", "Tidewater Slate", base, "--part-a", "1262g", "--part-b", "533g"];
        bench.run(&[&words[..], more, &["--shop", "shop"]].concat())
    };
    let ran = of("FOG", &["--held", "titanium white paste=50 g"]);
    assert!(ran.out.contains("Correction of fog of Tidewater Slate"), "{ran:?}");
    let ran = of("fogg", &[]);
    assert!(ran.code == 2 && ran.err.contains("did you mean \"fog\"?"), "{ran:?}");
    let ran = bench.run(&["match", "tidewater-slate/Fog", "--shop", "shop"]);
    assert!(ran.out.contains("Match for fog of Tidewater Slate"), "{ran:?}");
    assert!(ran.out.contains("the root of the mean square, by their weights"), "{}", ran.out);
}

/// A let-down is taken as the job's plan makes it, or as it is in the vessel already; what is stated twice is added up
/// and told so.
#[test]
fn a_correction_takes_from_the_let_down_that_is_there() {
    let bench = Bench::demo();
    let added = |more: &[&str]| {
        let words = [
            "correct",
            "tidewater-slate",
            "fog",
            "--part-a",
            "1262g",
            "--part-b",
            "533g",
            "--held",
            "titanium white paste=25 g",
            "--held",
            "titanium white paste=24.5 g",
            "--shop",
            "shop",
        ];
        let out = bench.run(&[&words[..], more].concat()).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let alone = added(&[]);
    assert!(alone.contains("Stated more than once, so added up: titanium white paste."), "{alone}");
    assert!(!alone.contains("of a let-down 1 : 9 in part A"), "{alone}");
    let planned = added(&["--job", "galley-kitchen"]);
    assert!(planned.contains("of a let-down 1 : 9 in part A"), "{planned}");
    let held = added(&["--held", "carbon black paste, let-down 1 : 7=1.5 g"]);
    assert!(held.contains("of a let-down 1 : 7 in part A"), "{held}");
}

/// Every mix of the demo's jobs, held exactly as its plan weighs it, lacks nothing: rounding to the scales is no fault
/// of the crew's. The same mix a few steps further off does.
#[test]
fn a_mix_as_the_plan_weighs_it_lacks_nothing() {
    let bench = Bench::demo();
    for job in ["sample-board", "galley-kitchen", "curved-bar", "round-table"] {
        let plan = bench.run(&["plan", "--job", job, "--json", "--shop", "shop"]).out;
        let plan: serde_json::Value = serde_json::from_str(&plan).unwrap();
        let colourway = plan["colourway"].as_str().unwrap();
        for base in plan["bases"].as_array().unwrap() {
            let name = base["name"].as_str().unwrap();
            for mix in base["mixes"].as_array().unwrap() {
                let grams = |weighed: &serde_json::Value| weighed["mass_g"].as_f64().unwrap();
                let held = |scale: f64| -> Vec<String> {
                    let doses = mix["colorants"].as_array().unwrap().iter();
                    let doses = doses.flat_map(|dose| {
                        let let_down = match dose["let_down_percent"].as_f64() {
                            Some(percent) => format!(", let-down 1 : {}", 100.0 / percent - 1.0),
                            None => String::new(),
                        };
                        let name = dose["name"].as_str().unwrap();
                        let mass = grams(&dose["weighed"]) * scale;
                        ["--held".to_owned(), format!("{name}{let_down}={mass} g")]
                    });
                    doses.collect()
                };
                let run = |scale: f64| {
                    let (a, b) = (grams(&mix["part_a"]), grams(&mix["part_b"]));
                    let (a, b, held) = (format!("{a} g"), format!("{b} g"), held(scale));
                    let mut words = vec!["correct", colourway, name, "--part-a", &a];
                    words.extend(["--part-b", &b, "--shop", "shop"]);
                    words.extend(held.iter().map(String::as_str));
                    bench.run(&words).out
                };
                let told = run(1.0);
                assert!(
                    told.contains("Nothing: it is the recipe as nearly as the scales weigh it"),
                    "{job}, {name}: {told}"
                );
                assert!(!told.contains("exactly would take"), "{told}");
                let told = run(1.1);
                assert!(!told.contains("as nearly as the scales"), "{job}, {name}: {told}");
            }
        }
    }
}

/// A correction weighed through a let-down says what becomes of its rest, as the plan does.
#[test]
fn what_is_left_of_a_correction_s_let_down_is_told() {
    let bench = Bench::demo();
    let words = ["correct", "tidewater-slate", "fog", "--part-a", "1262g", "--part-b", "533g"];
    let more = ["--held", "titanium white paste=49.5 g", "--job", "galley-kitchen"];
    let ran = bench.run(&[&words[..], &more, &["--shop", "shop"]].concat());
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let left = told.split("made so, left over ").nth(1);
    let left = left.unwrap_or_else(|| panic!("{told}"));
    assert!(left.contains("g: part A with pigment, it keeps closed as part A does"), "{told}");
    assert!(left.contains("never into the bin wet: mix it off with"), "{told}");
    let json = bench.run(&[&words[..], &more, &["--shop", "shop", "--json"]].concat()).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let doses = json["add"]["colorants"].as_array().unwrap();
    let made = doses.iter().find_map(|dose| dose["let_down_made"].as_object()).unwrap();
    assert!(made["part_b_for_left_g"].as_f64().unwrap() > 0.0, "{made:?}");
}

/// What cannot be checked for want of equivalent weights is said once by each.
#[test]
fn a_ratio_that_cannot_be_checked_is_said_so_once() {
    let bench = Bench::demo();
    let words = "states no equivalent weights";
    let check = |bench: &Bench| bench.run(&["check", "--shop", "shop"]);
    assert!(!check(&bench).err.contains(words));
    bench.change("systems/clear-flood.ron", "stoichiometry: (eew: 190, ahew: 67),", "");
    let ran = check(&bench);
    assert_eq!((ran.code, ran.err.matches(words).count()), (0, 1), "{}", ran.err);
    let text = bench.kitchen_text(&[]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(text.matches(words).count(), 1, "{text}");
}

/// What is made over is told where the last container is poured.
#[test]
fn what_is_kept_back_is_told_at_the_last_pour() {
    let text = Bench::demo().kitchen_text(&[]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let step =
        "hold back 362 g of 33; then, only where the film is still too thin, the allowance of ";
    assert_eq!(text.matches(step).count(), 1, "{text}");
    let kept =
        "; keep back what of it is not needed, about 626 g with what stays in the mixing vessels";
    assert_eq!(text.matches(kept).count(), 1, "{text}");
    assert!(!text.contains("keep back the rest"), "{text}");
    // The sums agree: what is poured first, what is held back and what is allowance is what the containers give.
    let plan = Bench::demo().kitchen_json();
    let over = &plan["over_pieces"];
    let from = over["containers"].as_array().unwrap();
    let grams = |one: &serde_json::Value| one["mass_g"].as_f64().unwrap();
    let sum: f64 = from.iter().map(grams).sum();
    assert!((sum - grams(over)).abs() < 1e-6, "{over}");
    assert!(grams(over) < plan["left_over_one_coat_g"].as_f64().unwrap(), "{over}");
    let number = |one: &serde_json::Value| one["container"].as_u64().unwrap();
    let (first, last) = (number(&from[0]), number(from.last().unwrap()));
    assert!(text.contains(&format!(
        "the allowance of {:.0} g, in containers {first}–{last}, is poured last",
        grams(over)
    )));
    let part =
        step_grams(&text, &format!("{} and ", first - 1), &format!(" g of {first} as hand 1"));
    let rest = step_grams(&text, &format!("the rest of {first} ("), " g)");
    // Container 32 is whole: 31 gives as much.
    assert!((part + rest - grams(&from[1])).abs() < 1.5, "{part} + {rest}: {over}");
    let labels = Bench::demo().kitchen_text(&["--sheet", "labels"]);
    assert_eq!(labels.matches("g of it allowance: poured last").count(), from.len(), "{labels}");
}

/// The figure between two stretches of a text.
fn step_grams(text: &str, before: &str, after: &str) -> f64 {
    let found = text.split(after).next().unwrap().rsplit(before).next().unwrap();
    let again =
        || text.split(before).skip(1).find_map(|rest| rest.split(after).next()?.parse().ok());
    found.parse().ok().or_else(again).unwrap()
}

/// Two hands at one scale are told, a second scale of its kind settles it.
#[test]
fn a_scale_that_two_hands_want_at_once_is_told() {
    let bench = Bench::demo();
    let told = |bench: &Bench| {
        let text = bench.kitchen_text(&[]);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let words = "The bench scale is wanted by 2 hands at once, first at";
    assert!(told(&bench).contains(words), "{}", told(&bench));
    let one = "(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\"),";
    let two = "(name: \"second scale\", readability: \"1 g\", capacity: \"15 kg\"),";
    bench.change("house.ron", one, &format!("{one}\n        {two}"));
    assert!(!told(&bench).contains(words), "{}", told(&bench));
    let alone = Bench::demo();
    alone.change("jobs/galley-kitchen.ron", "crew: 2", "crew: 1");
    assert!(!told(&alone).contains("hands at once"), "{}", told(&alone));
}

/// What clings in an accent's cup is no part of its dose, on the plan and on its sheet.
#[test]
fn an_accent_in_its_own_cup_is_weighed_by_difference() {
    let bench = Bench::demo();
    let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for more in [&[][..], &["--sheet", "mixing"][..]] {
        let text = joined(bench.kitchen_text(more));
        assert_eq!(text.matches("is weighed as it goes out of it").count(), 1, "{text}");
    }
}
