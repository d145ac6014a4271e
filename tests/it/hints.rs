//! What a newcomer is told: hints that work as they are typed back, and what would be right.

use serde_json::Value;

use crate::program::Bench;

const NO_OPTICS: [&str; 8] = [
    "correct",
    "slate",
    "slate",
    "--part-a",
    "692g",
    "--held",
    "iron oxide black paste=26.5 g",
    "--part-b",
];

/// A shop whose colorants have no optical data.
fn without_optics() -> Bench {
    let bench = Bench::small();
    bench.change("colorants/black.ron", "optics: (standing: Demo, k: 40, s: 1.5),", "");
    bench
}

#[test]
fn a_correction_without_optical_data_is_plain_arithmetic() {
    let bench = without_optics();
    let ran = bench.run(&[&NO_OPTICS[..], &["292g", "--shop", "shop"]].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "colour not known: no optical data of iron oxide black paste; `pourbook characterise` makes it",
        "looks weighed in twice",
        "more in all: that restores the recipe exactly.",
        "part A",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // So much of a lot of 104 % strength is for 1.04/0.014 times as much resin.
    let json = bench.run(&[&NO_OPTICS[..], &["292g", "--json", "--shop", "shop"]].concat());
    let answer: Value = serde_json::from_str(&json.out).expect("JSON");
    let added = &answer["exact_restoration_g"];
    let resin =
        692.0 + 292.0 + added["part A"].as_f64().unwrap() + added["part B"].as_f64().unwrap();
    assert!((resin - 26.5 * 1.04 / 0.014).abs() < 1e-6, "{answer}");
    assert_eq!(added["iron oxide black paste"].as_f64().unwrap().abs(), 0.0, "{answer}");
}

/// Part A twice what part B needs, and more than the house mixes at once when it is filled up: no less is told of
/// it than of a mix whose colour is known.
#[test]
fn a_large_mix_without_optical_data_is_told_how_much_of_it_to_keep() {
    let bench = without_optics();
    let held = ["5536g", "--part-b", "1168g", "--held", "iron oxide black paste=53 g"];
    let large = [&["correct", "slate", "slate", "--shop", "shop", "--part-a"], &held[..]].concat();
    let ran = bench.run(&large);
    assert_eq!(ran.code, 1, "{ran:?}");
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "the house mixes at most 7000 g at once",
        "SUSPECTED: part A looks weighed in twice",
        "NOT ALL OF IT CAN BE CORRECTED: it would grow to ",
        "THERE IS A WAY: a part of it is corrected. ",
        "ADD TO THAT part B ",
        "the recipe exactly",
        ", well mixed; throw away the other ",
        "on foil outdoors while it is cool to the hand",
        "A : B IS OFF: 99.9 % too much part A",
        "CLOCK NOT RECKONED",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // What it grows to is to what may be mixed as all of it is to what is kept.
    let grams = |from: &str| -> f64 {
        let figure = text.split(from).nth(1).and_then(|rest| rest.split(' ').next());
        figure.unwrap_or_default().parse().expect(from)
    };
    let in_proportion = (5536.0 + 1168.0 + 53.0) * 7000.0 / grams("it would grow to ");
    let kept = grams(" KEEP ");
    assert!(kept <= in_proportion && kept > 0.99 * in_proportion, "{in_proportion}: {text}");

    let ran = bench.run(&[&large[..], &["--age", "1 min", "--vessel", "20 L"]].concat());
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(ran.out.contains("B met A 1 min ago; pot life"), "its clock is told: {ran:?}");
}

/// Each addition has its line, parts A and B no finer than the scale shows that such a mix is weighed on.
#[test]
fn what_restores_a_recipe_is_a_line_an_addition() {
    let bench = without_optics();
    let ran = bench.run(&[&NO_OPTICS[..], &["292g", "--shop", "shop"]].concat());
    let add = ran.out.split("\nADD\n").nth(1).unwrap_or_default();
    let lines: Vec<Vec<&str>> =
        add.lines().take(2).map(|line| line.split_whitespace().collect()).collect();
    for (line, part) in lines.iter().zip(["A", "B"]) {
        let [word, own, grams, unit] = line[..] else { panic!("{add}") };
        assert_eq!((word, own, unit), ("part", part, "g"), "{add}");
        assert!(grams.parse::<u32>().is_ok(), "whole grams on the bench scale: {add}");
    }
}

/// Before B goes in nothing is off; once it has met A, or its age is told, a mix without it is.
#[test]
fn a_mix_before_part_b_is_not_told_to_be_off_its_ratio() {
    for bench in [without_optics(), Bench::small()] {
        let words = [&NO_OPTICS[..], &["0g", "--shop", "shop"]].concat();
        let ran = bench.run(&words);
        let said = format!("{}{}", ran.out, ran.err);
        assert!(!said.contains("IS OFF") && said.contains("Part B is not in it yet"), "{said}");
        let aged = bench.run(&[&words[..], &["--age", "5 min"]].concat());
        let said = format!("{}{}", aged.out, aged.err);
        assert!(said.contains("A : B IS OFF: no part B"), "{said}");
    }
}

/// Of a mix that is far too large little is kept: how much goes, and what mixing anew costs beside that.
#[test]
fn what_is_thrown_away_of_a_mix_is_told_beside_what_anew_costs() {
    let bench = without_optics();
    for paste in ["53 g", "300 g"] {
        let held = format!("iron oxide black paste={paste}");
        let ran = bench.run(&[
            "correct", "slate", "slate", "--shop", "shop", "--part-a", "5536g", "--part-b",
            "2300g", "--held", &held, "--vessel", "20 L",
        ]);
        assert_eq!(ran.code, 1, "{ran:?}");
        let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("; throw away the other "), "{text}");
        assert!(ran.out.lines().any(|line| line == "ADD TO THAT"), "{}", ran.out);
        let figures = |from: &str| text.split(from).nth(1).expect(from).split(' ');
        let money =
            |from: &str, at: usize| -> f64 { figures(from).nth(at).unwrap().parse().unwrap() };
        // `To mix 7000 g anew: 152.78 USD; to correct: 9.0 g more, 0.20 USD.`
        let (anew, correction) = (money("To mix ", 3), money("; to correct: ", 3));
        assert_eq!(text.contains("MIXING ANEW COSTS LESS"), anew < correction, "{paste}: {text}");
        assert!(money("To mix ", 0) <= 7000.0, "no more than the kept part becomes: {text}");
    }
}

#[test]
fn what_needs_optical_data_says_how_they_are_had() {
    let bench = without_optics();
    let ran = bench.run(&["match", "#5a6f7c", "--shop", "shop"]);
    assert!(
        ran.code == 2
            && ran.err.contains("no optical data of carbon black liquid, iron oxide black paste or titanium white paste")
            && ran.err.contains("pourbook characterise"),
        "{ran:?}"
    );
    // No chip would show a colour: nothing is written, and every colorant is named.
    let ran = bench.run(&["swatch", "slate", "--to", "chips", "--shop", "shop"]);
    assert!(
        ran.code == 2
            && ran.err.contains("no picture is made, for none would show a colour")
            && ran.err.contains("no optical data of carbon black liquid, iron oxide black paste or titanium white paste"),
        "{ran:?}"
    );
    assert!(!bench.path("chips").exists());
}

/// What shows nothing is left out, and all of its colorants are named: a pearl beside a paste too.
#[test]
fn chips_without_optical_data_are_left_out_and_all_their_colorants_named() {
    let bench = Bench::demo();
    let file = "colourways/tidewater-slate.ron";
    bench.change(file, "\"yellow oxide paste\":", "\"pearl white mica\":");
    for colorant in ["titanium-white-paste", "pearl-white-mica"] {
        let path = format!("colorants/{colorant}.ron");
        let text = std::fs::read_to_string(bench.path("shop").join(&path)).unwrap();
        let (before, rest) = text.split_once("    optics:").unwrap();
        let (_, after) = rest.split_once("\n    ),\n").unwrap();
        bench.put(&path, format!("{before}{after}"));
    }
    let ran = bench.run(&["swatch", "tidewater-slate", "--to", "chips", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(
        ran.err.contains("no optical data of pearl white mica or titanium white paste")
            && ran.err.contains("left out: the chip"),
        "{}",
        ran.err
    );
    assert!(!bench.path("chips/base-fog.png").exists(), "{}", ran.out);
    assert!(bench.path("chips/accent-ink.png").exists(), "{}", ran.out);
}

#[test]
fn a_ratio_and_parts_are_told_as_they_should_stand() {
    for (file, from, to, hint) in [
        ("systems/flood.ron", "ratio: ByVolume(2, 1)", "ratio: 2:1", "write ByVolume(2, 1)"),
        ("systems/flood.ron", "ratio: ByVolume(2, 1)", "ratio: \"2 : 1\"", "write ByVolume(2, 1)"),
        ("colourways/slate.ron", "Base(\"slate\", 60)", "Base(\"slate\", \"60 %\")", "write 60 "),
    ] {
        let bench = Bench::small();
        bench.change(file, from, to);
        let ran = bench.run(&["check", "--shop", "shop"]);
        let errors = ran.err.lines().filter(|line| line.starts_with("error")).count();
        assert!(ran.err.contains(hint) && errors == 1, "{to}: {}", ran.err);
    }
}

/// What is told fits what is wrong, and is told once.
#[test]
fn hints_fit_what_is_wrong() {
    let bench = Bench::small();
    let way = "colourways/slate.ron";
    let text = std::fs::read_to_string(bench.path("shop").join(way)).unwrap();
    // Without pours there is nothing that tells shares.
    let pours = text.find("    accents:").unwrap()..text.find("    pattern:").unwrap();
    let mut bare = text.clone();
    bare.replace_range(pours, "");
    bench.put(way, bare.replace("\"45 %\"", "0.35"));
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert!(ran.err.contains("the shares sum to 90.00 %, not 100 %"), "{}", ran.err);
    assert!(ran.err.contains("make them sum to 100 %\n"), "{}", ran.err);
    assert!(
        !ran.err.contains("without pours") && !ran.err.contains("the pours tell"),
        "{}",
        ran.err
    );
    bench.put(way, bare.replace("share: \"45 %\", ", ""));
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert!(ran.err.contains("give every base its share\n"), "{}", ran.err);
    assert!(!ran.err.contains("without pours"), "{}", ran.err);
    for (film, hint) in [
        ("1/8 mm", "so thin a film does not level"),
        ("1 in", "thicker films are built of several coats"),
    ] {
        bench.put(way, text.replace("film: \"3 mm\"", &format!("film: \"{film}\"")));
        let ran = bench.run(&["check", "--shop", "shop"]);
        let others =
            ["so thin a film", "thicker films"].iter().filter(|own| ran.err.contains(**own));
        assert!(ran.err.contains(hint) && others.count() == 1, "{film}: {}", ran.err);
    }
}

#[test]
fn cautions_are_counted_in_the_last_line() {
    let bench = Bench::small();
    bench.change("systems/flood.ron", "ByVolume(2, 1)", "ByVolume(1, 1)");
    let ran = bench.run(&["check", "--shop", "shop"]);
    let cautions = ran.err.lines().filter(|line| line.starts_with("caution")).count();
    assert!(cautions > 0, "{ran:?}");
    let counted =
        if cautions == 1 { "1 caution\n".into() } else { format!("{cautions} cautions\n") };
    assert!(ran.out.ends_with(&counted), "{ran:?}");
}

#[test]
fn the_bracket_that_lacks_its_end_is_the_one_told() {
    let bench = Bench::small();
    bench.change(
        "jobs/galley.ron",
        "\"25 1/2 in\"),\n            cutouts: { \"sink\": (shape: Rectangle(\"30 in\", \"18 in\"), at: (\"36 in\", \"3 1/2 in\")) },\n",
        "\"25 1/2 in\"\n",
    );
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert!(
        ran.err.contains("')' is missing here")
            && ran.err.contains("ron:7:50")
            && ran.err.contains("it closes the 'Rectangle(' of line 7, column 29"),
        "{}",
        ran.err
    );
}

#[test]
fn an_empty_shop_is_filled_from_its_skeletons() {
    let bench = Bench::small();
    let ran = bench.run(&["start", "my new shop/é", "--empty"]);
    assert!(ran.code == 0 && ran.out.contains("book/src/files.md"), "{ran:?}");
    assert!(ran.out.contains("--shop \"my new shop/é\""), "{ran:?}");
    let shop = bench.path("my new shop/é");
    let house = std::fs::read_to_string(shop.join("house.ron")).unwrap();
    assert!(house.contains("largest_mix: \"3 kg\""), "{house}");
    let check = ["check", "--shop", "my new shop/é"];
    assert_eq!(bench.run(&check).err, "", "a skeleton is no file of the shop's");
    for kind in ["system", "colorant", "colourway", "job"] {
        let file = format!("{kind}.ron");
        std::fs::copy(shop.join("skeletons").join(&file), shop.join(format!("{kind}s")).join(file))
            .unwrap();
    }
    let ran = bench.run(&check);
    assert!(
        ran.code == 0 && ran.out.contains("1 system, 1 colorant, 1 colourway, 1 job"),
        "{ran:?}"
    );
    let ran = bench.run(&["plan", "--job", "my kitchen", "--shop", "my new shop/é"]);
    assert_eq!(ran.code, 0, "{ran:?}");
}

#[test]
fn hints_work_as_they_are_typed_back() {
    let bench = Bench::small();
    let ran = bench.run(&["plan", "Boathouse galley kitchen", "--shop", "shop"]);
    assert!(
        ran.err.contains("pourbook plan --job \"Boathouse galley kitchen\" --shop shop"),
        "{}",
        ran.err
    );
    let ran = bench.run(&["plan", "Tidewater", "at", "low", "tide"]);
    assert!(ran.code == 2 && ran.err.contains("in quotes"), "{}", ran.err);
    let words =
        ["plan", "--job", "galley", "--pdf", "same.pdf", "--html", "same.pdf", "--shop", "shop"];
    let ran = bench.run(&words);
    assert!(ran.code == 2 && ran.err.contains("name one file"), "{}", ran.err);
    assert!(!bench.path("same.pdf").exists(), "nothing is written");
}

#[test]
fn temperatures_and_lengths_are_answered_as_they_were_typed() {
    for (from, to, told) in [
        ("temperature: \"72 °F\"", "temperature: \"172 °F\"", "172.0 °F"),
        ("Rectangle(\"10 ft\"", "Rectangle(\"11 ft 15 in\"", "write \"12 ft 3 in\""),
    ] {
        let bench = Bench::small();
        bench.change("jobs/galley.ron", from, to);
        let ran = bench.run(&["check", "--shop", "shop"]);
        assert!(ran.code == 2 && ran.err.contains(told), "{}", ran.err);
    }
}

#[test]
fn a_sheet_never_takes_the_place_of_what_somebody_wrote() {
    let bench = Bench::small();
    let plan = |more: &[&str]| {
        let words = ["plan", "--job", "galley", "--shop", "shop"];
        bench.run(&[&words[..], more].concat())
    };
    let job = std::fs::read_to_string(bench.path("shop/jobs/galley.ron")).unwrap();
    let ran = plan(&["--pdf", "shop/jobs/galley.ron"]);
    assert!(ran.code == 2 && ran.err.contains("would read that as one of its own"), "{}", ran.err);
    std::fs::write(bench.path("notes.txt"), "call the plumber").unwrap();
    for option in ["--pdf", "--html"] {
        let ran = plan(&[option, "notes.txt"]);
        assert!(ran.code == 2 && ran.err.contains("it would be lost"), "{}", ran.err);
    }
    assert_eq!(std::fs::read_to_string(bench.path("shop/jobs/galley.ron")).unwrap(), job);
    assert_eq!(std::fs::read_to_string(bench.path("notes.txt")).unwrap(), "call the plumber");
    // One file by two names, and one that --save writes too.
    let ran = plan(&["--pdf", "one.pdf", "--html", "./one.pdf"]);
    assert!(ran.code == 2 && ran.err.contains("name one file"), "{}", ran.err);
    let ran = plan(&["--save", "out", "--pdf", "out/sheets.pdf"]);
    assert!(ran.code == 2 && ran.err.contains("the folder of --save"), "{}", ran.err);
    // All or none: the second cannot be written, so the first is not there.
    let ran = plan(&["--pdf", "first.pdf", "--html", "nowhere/second.html"]);
    assert!(ran.code == 2 && !bench.path("first.pdf").exists(), "{}", ran.err);
    // An older sheet is replaced.
    for _ in 0..2 {
        let ran = plan(&["--pdf", "sheets.pdf"]);
        assert!(bench.path("sheets.pdf").exists() && ran.code < 2, "{}", ran.err);
    }
}

#[test]
fn bases_of_unknown_colour_are_not_told_to_stand_from_light_to_dark() {
    let known = Bench::demo().run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    let unknown = without_optics().run(&["plan", "--job", "galley", "--shop", "shop"]).out;
    for (text, words) in
        [(known, "LIGHTEST FIRST"), (unknown, "AS THE RECIPE LISTS THEM: THE LIGHTEST FIRST")]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
}

/// Of what may be meant the likelier is told first, and of one slip one mistake.
#[test]
fn what_was_likely_meant_is_said_first() {
    const SLATE: &str = "colourways/tidewater-slate.ron";
    const KITCHEN: &str = "jobs/galley-kitchen.ron";
    for (file, from, to, place, words) in [
        (
            SLATE,
            "\"2.8 %\"",
            "0.6",
            ":11:",
            "write it like \"0.6 %\", or \"60 %\" if it is a part of one",
        ),
        (
            SLATE,
            "\"2.8 %\"",
            "0.014",
            ":11:",
            "write \"1.4 %\", or \"0.014 %\" if it is percent already",
        ),
        (
            SLATE,
            "Accent(\"ink\", \"0.6 %\")",
            "Base(\"ink\", 0.6)",
            ":16:",
            "write Accent(\"ink\", \"0.6 %\")",
        ),
        (
            SLATE,
            "Accent(\"ink\", \"0.6 %\")",
            "Base(\"ink\", \"0.6 %\")",
            ":16:",
            "write Accent(\"ink\", \"0.6 %\")",
        ),
        (
            SLATE,
            "Base(\"slate\", 60)",
            "Accent(\"slate\", \"60 %\")",
            ":16:",
            "write Base(\"slate\", 60)",
        ),
        (
            KITCHEN,
            "b: \"8 ft 4 in\"",
            "b: \"11 in 4 in\"",
            ":9:",
            "write \"11 ft 4 in\" if that is meant; each unit stands once",
        ),
    ] {
        let bench = Bench::demo();
        bench.change(file, from, to);
        let check = bench.run(&["check", "--shop", "shop"]);
        assert_eq!(check.code, 2, "{to}: {check:?}");
        let hint = check.err.lines().find(|line| line.contains("= hint: ")).unwrap_or_default();
        assert!(hint.contains(words), "{to}: first: {}", check.err);
        assert!(check.err.contains(&format!("{file}{place}")), "{to}: {}", check.err);
        let errors = check.err.lines().filter(|line| line.starts_with("error: ")).count();
        assert_eq!(errors, 1, "{to}: once: {}", check.err);
    }
}
