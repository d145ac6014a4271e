//! A shop of one's own, written off tins and datasheets: without optical data, with a resin that takes no solvent, with
//! a pot life stated for a quart.

use serde_json::Value;

use crate::program::{Bench, Ran};

/// A demo shop with a colourway of two colorants that have no optical data.
fn unseen() -> Bench {
    let bench = Bench::demo();
    for (file, name, kind, carrier) in [
        ("snow", "snow white", "Paste", "solids: \"60 %\", carrier: Epoxy(eew: 190),"),
        ("pewter", "pewter mica", "Powder", "finish: Pearl,"),
    ] {
        bench.put(
            &format!("colorants/{file}.ron"),
            format!(
                "(version: 1, name: \"{name}\", kind: {kind}, density: \"2 g/mL\", {carrier} ceiling: \"6 %\", standing: Datasheet)"
            ),
        );
    }
    bench.put(
        "colourways/storm.ron",
        r##"(version: 1, name: "Storm Marble", system: "clear flood 2:1", film: "3 mm", primer: "#f4f2ec",
        container: "16 fl oz",
        bases: {
            "white": (colorants: { "snow white": "4 %" }),
            "grey": (colorants: { "snow white": "1.5 %", "pewter mica": "1.2 %" }),
        },
        accents: { "vein": (colorant: "snow white") },
        pours: [(name: "plain", count: 6, layers: [Base("white", 70), Base("grey", 30), Accent("vein", "0.5 %")])],
        pattern: (seed: 1, ribbon: Wander))"##,
    );
    bench
}

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A powder dusts whether or not its file says so, and is told once.
#[test]
fn a_dry_colorant_brings_its_dust_by_itself() {
    let bench = unseen();
    let plan = |bench: &Bench| -> Ran {
        bench.run(&["plan", "Storm Marble", "--area", "42 ft2", "--crew", "2", "--shop", "shop"])
    };
    let dust = "\"pewter mica\" is a dry powder: weigh without a draught";
    let ran = plan(&bench);
    assert_eq!(words(&ran.out).matches(dust).count(), 1, "{ran:?}");
    assert!(!words(&ran.out).contains("\"snow white\" is a dry powder"), "a paste: {ran:?}");
    bench.change("colorants/pewter.ron", "kind: Powder,", "kind: Powder, hazards: [Dust],");
    assert_eq!(words(&plan(&bench).out).matches(dust).count(), 1, "{ran:?}");
    bench.change("colorants/pewter.ron", "kind: Powder, hazards: [Dust],", "kind: Dye,");
    assert_eq!(words(&plan(&bench).out).matches(dust).count(), 1, "a dry dye: {ran:?}");
}

/// Where no colour is known nothing is said of how far it strays but why.
#[test]
fn how_far_unknown_colours_stray_is_told_not_to_be_known() {
    let bench = unseen();
    let words = [
        "plan",
        "Storm Marble",
        "--area",
        "42 ft2",
        "--crew",
        "2",
        "--shop",
        "shop",
        "--tolerance",
    ];
    let ran = bench.run(&words);
    assert!(ran.code < 2, "{ran:?}");
    let told = words_after(&ran.out, "HOW FAR COLOURS MAY STRAY");
    assert!(told.contains("not known: how far white and grey may stray, for a colorant"), "{told}");
    assert!(told.contains("`pourbook characterise` makes it from drawdowns"), "{told}");
    let json: Value =
        serde_json::from_str(&bench.run(&[&words[..], &["--json"]].concat()).out).unwrap();
    assert_eq!(json["tolerance"]["bases_not_known"], serde_json::json!(["white", "grey"]));
}

fn words_after(text: &str, heading: &str) -> String {
    words(text.split(heading).nth(1).unwrap_or_default())
}

/// The client is told that colours are not known, not what they are made of, and nothing of what is not there.
#[test]
fn an_approval_of_unknown_colours_names_no_colorant() {
    let bench = unseen();
    let plan = ["plan", "Storm Marble", "--area", "42 ft2", "--crew", "2", "--shop", "shop"];
    let approval = |more: &[&str]| {
        let ran = bench.run(&[&plan[..], &["--html", "a.html"], more].concat());
        assert!(ran.code < 2, "{ran:?}");
        let page = std::fs::read_to_string(bench.path("a.html")).unwrap();
        std::fs::remove_file(bench.path("a.html")).unwrap();
        page[page.rfind("Client approval").unwrap()..].to_owned()
    };
    let kept = approval(&[]);
    for not_there in [
        "snow white",
        "pewter mica",
        "optical data",
        "Each field",
        "small fields",
        "Colours as under",
        "preview",
        "picture",
    ] {
        assert!(!kept.contains(not_there), "{not_there}: {kept}");
    }
    for there in [
        "how these colours look in this resin is not known",
        "A sample board, poured and cured, is to be approved instead.",
        "white (base)",
        "vein (accent)",
        "% of the pour",
    ] {
        assert!(kept.contains(there), "{there}: {kept}");
    }
    let told = approval(&["--recipe-on-approval"]);
    assert!(told.contains("snow white") && told.contains("has no optical data"), "{told}");

    let text = bench.run(&[&plan[..], &["--sheet", "approval", "--date", "2026-03-14"]].concat());
    insta::assert_snapshot!("approval_of_unknown_colours", text.out);

    // One base that is known is drawn, and the other is told by its own name.
    bench.change(
        "colourways/storm.ron",
        "{ \"snow white\": \"4 %\" }",
        "{ \"titanium white paste\": \"4 %\" }",
    );
    let some = approval(&[]);
    for there in [
        "the colours of grey (base) and vein (accent) look",
        "Each field is",
        "its colour is not known",
    ] {
        assert!(some.contains(there), "{there}: {some}");
    }
    assert!(!some.contains("snow white") && !some.contains("pewter mica"), "{some}");
}

/// What is left out of a match though nobody asked for that is told, with what to do.
#[test]
fn colorants_without_optical_data_are_told_to_be_left_out_of_a_match() {
    let bench = unseen();
    let notes = |more: &[&str]| {
        let find = ["match", "#8a8d8f", "--most", "1", "--lamp", "D65", "--json", "--shop", "shop"];
        let ran = bench.run(&[&find[..], more].concat());
        assert!(ran.code < 2, "{ran:?}");
        let answer: Value = serde_json::from_str(&ran.out).unwrap();
        let all = answer["notes"].as_array().unwrap();
        all.iter().map(|note| note.as_str().unwrap().to_owned()).collect::<Vec<_>>().join("\n")
    };
    let told = notes(&[]);
    assert!(told.contains("LEFT OUT, for want of optical data"), "{told}");
    assert!(
        told.contains("pourbook characterise") && told.contains(": pewter mica and snow white."),
        "{told}"
    );
    let told = notes(&["--like", "Storm Marble"]);
    assert!(
        told.contains("Of \"Storm Marble\" the resin system, film and primer are taken; how its grey and white would look is not known"),
        "{told}"
    );
    let told = notes(&["--never", "snow white", "--never", "pewter mica", "--like", "Salt Marsh"]);
    assert!(!told.contains("LEFT OUT") && !told.contains("not known"), "{told}");
    // Where no solvent may be used, what carries it is left out in words too, and no recipe holds it.
    bench.change("systems/clear-flood.ron", "solvent: \"2 %\"", "solvent: \"0 %\"");
    let told = notes(&["--like", "Salt Marsh"]);
    assert!(
        told.contains("for the resin system takes no solvent or non-reactive carrier: blue solvent dye, carbon black liquid and white liquid accent."),
        "{told}"
    );
}

/// A ceiling of 0 % says that none may be used: the recipe with an ink is refused, without it all goes on.
#[test]
fn a_resin_that_takes_no_solvent_refuses_any() {
    let bench = Bench::demo();
    bench.change("systems/clear-flood.ron", "solvent: \"2 %\"", "solvent: \"0\"");
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert!(ran.code == 2 && ran.err.contains("write \"0 %\"\n"), "{ran:?}");
    bench.change("systems/clear-flood.ron", "solvent: \"0\"", "solvent: \"0 %\"");
    let ran = bench.run(&["check", "--shop", "shop"]);
    let told = words(&ran.err);
    assert_eq!(ran.code, 1, "{ran:?}");
    for there in [
        "small batch \"low ink\" holds solvent or non-reactive carrier",
        "of mixed resin mass, and the system's file allows none: its ceiling of solvent is 0 %",
        "leave \"carbon black liquid\" out here; take a colorant with an epoxy carrier or a dry one instead",
    ] {
        assert!(told.contains(there), "{there}: {told}");
    }
    assert!(!told.contains("NaN") && !told.contains("inf "), "{told}");
    let salt = bench.run(&[
        "plan",
        "Salt Marsh",
        "--area",
        "10 ft2",
        "--crew",
        "2",
        "--json",
        "--shop",
        "shop",
    ]);
    assert_eq!(salt.code, 0, "{salt:?}");
    let plan: Value = serde_json::from_str(&salt.out).unwrap();
    assert!(!salt.out.contains("\"ceiling_percent\":null"), "{plan}");
    // A mix of it that went wrong is still mended.
    let mend = [
        "correct",
        "Salt Marsh",
        "mud",
        "--part-a",
        "2000g",
        "--part-b",
        "843g",
        "--held",
        "raw umber paste=60 g",
        "--held",
        "titanium white paste=31 g",
        "--held",
        "iron oxide black paste=8.5 g",
        "--shop",
        "shop",
    ];
    let ran = bench.run(&mend);
    assert!(ran.code == 0 && !ran.out.contains("NaN"), "{ran:?}");
    let inked = [&mend[..], &["--held", "carbon black liquid=5 g"]].concat();
    let ran = bench.run(&inked);
    assert!(ran.code == 1 && !ran.err.contains("NaN"), "{ran:?}");
    for (file, from, hint) in [
        ("systems/clear-flood.ron", "colorant: \"8 %\"", "write what the datasheet allows"),
        (
            "colorants/ultramarine-paste.ron",
            "ceiling: \"6 %\"",
            "the largest loading that its datasheet allows",
        ),
    ] {
        let zero = from.replace(['8', '6'], "0");
        bench.change(file, from, &zero);
        let ran = bench.run(&["check", "--shop", "shop"]);
        assert!(ran.code == 2 && words(&ran.err).contains(hint), "{hint}: {ran:?}");
        bench.change(file, &zero, from);
    }
}

/// A quart of the mixed resin weighs what its densities say.
#[test]
fn a_pot_life_may_be_stated_for_a_volume() {
    let read = |stated: &str| {
        let text = crate::small_shop::changed(crate::small_shop::SYSTEM, "mass: \"150 g\"", stated);
        let system = pourbook::file::system::read(&crate::small_shop::source("flood.ron", &text));
        system.map(|placed| placed.noun)
    };
    let system = read("mass: \"1 qt\"").unwrap();
    // 2 : 1 by volume of 1.15 and 0.97 g/mL is 1.09 g/mL; a US quart is 946.352946 mL.
    assert!((system.pot_life.mass.g() - 946.352_946 * 1.09).abs() < 1e-6, "{:?}", system.pot_life);
    assert_eq!(read("mass: \"0 qt\"").unwrap_err().0.len(), 1);
    assert!(read("mass: \"1 quartz\"").is_err());
}

/// A counter whose file says nothing of edges is told in a line; one that says it has none is not.
#[test]
fn edges_that_nobody_states_are_told() {
    let bench = Bench::demo();
    let job = "jobs/round-table.ron";
    bench.change(job, ", edges: [(length: \"11 ft\", face: \"1 1/4 in\")]", "");
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert!(ran.code == 0 && ran.out.contains("all sound"), "{ran:?}");
    let told = words(&ran.err);
    assert!(told.contains("note: no edge of \"table\" is coated, for none is stated"), "{told}");
    bench.change(job, "Circle(\"42 in\")", "Circle(\"42 in\"), edges: []");
    assert!(!bench.run(&["check", "--shop", "shop"]).err.contains("no edge"), "stated");
}

#[test]
fn an_empty_shop_names_its_skeletons() {
    let bench = Bench::small();
    let help = bench.run(&["start", "--help"]);
    let made = bench.run(&["start", "new", "--empty"]);
    for kind in ["system", "colorant", "colourway", "job"] {
        let file = format!("{kind}.ron");
        assert!(help.out.contains(&file), "{file}: {help:?}");
        assert!(made.out.contains(&format!("skeletons/{file}")), "{file}: {made:?}");
    }
}

/// Without optical data it is not known whether the primer shows through: the plan, its sheet and the approval say so
/// with what to do, and say nothing of it where colours are known.
#[test]
fn hiding_that_is_not_known_is_told_with_what_to_do() {
    let bench = unseen();
    let told = |colourway: &str, more: &[&str]| {
        let plan = ["plan", colourway, "--area", "42 ft2", "--crew", "2", "--shop", "shop"];
        let ran = bench.run(&[&plan[..], more].concat());
        assert!(ran.code < 2, "{ran:?}");
        words(&ran.out)
    };
    let line = "whether the primer shows through is not known: one drawdown over black and white, or a sample board on the real primer, tells";
    let caution = "whether the primer shows through \"white\" and \"grey\" at 118 mil is not known, for a colorant has no optical data";
    let text = told("Storm Marble", &[]);
    assert_eq!(text.matches(line).count(), 2, "at each base: {text}");
    assert!(text.contains(caution), "{text}");
    let sheet = told("Storm Marble", &["--sheet", "mixing"]);
    assert!(sheet.contains(caution), "{sheet}");
    assert!(
        sheet.contains(
            "primer: not known if it shows through white and grey: drawdown or board first"
        ),
        "{sheet}"
    );
    let approval = told("Storm Marble", &["--sheet", "approval"]);
    let line =
        "Whether the primer shows through is not known: look at a sample board on the real primer.";
    assert_eq!(approval.matches(line).count(), 1, "once for all: {approval}");
    for all in [told("Tidewater Slate", &[]), told("Tidewater Slate", &["--sheet", "approval"])] {
        assert!(!all.contains("shows through is not known"), "{all}");
    }
    // A board is itself where it is tried.
    let board = ["plan", "Storm Marble", "--board", "600x600mm", "--shop", "shop"];
    let board = words(&bench.run(&board).out);
    assert!(board.contains("This board tells, if it has the counter's own primer"), "{board}");
}

/// What a match leaves out for want of optical data stands in its text too, with what to do.
#[test]
fn a_match_s_text_names_what_it_leaves_out() {
    let find = ["match", "#8a8d8f", "--most", "1", "--lamp", "D65", "--shop", "shop"];
    let ran = unseen().run(&find);
    let text = words(&ran.out);
    assert!(text.contains("LEFT OUT, for want of optical data"), "{text}");
    assert!(text.contains(": pewter mica and snow white."), "{text}");
    let all = words(&Bench::demo().run(&find).out);
    assert!(!all.contains("for want of optical data"), "{all}");
}

/// A mix as its sheet has it lacks nothing but the part that is still to come, though its colours are not known: what
/// stayed on the first vessel's wall is not missing.
#[test]
fn but_for_part_b_nothing_is_asked_for_where_colours_are_not_known() {
    let bench = unseen();
    bench.put(
        "jobs/storm.ron",
        r#"(version: 1, name: "storm job", colourway: "Storm Marble", crew: 2,
        counters: { "run": (shape: Rectangle("8 ft", "25 in"), edges: [(length: "8 ft", face: "1 1/2 in")]) })"#,
    );
    let plan = bench.run(&["plan", "--job", "storm job", "--shop", "shop", "--json"]).out;
    let plan: Value = serde_json::from_str(&plan).unwrap();
    let base = &plan["bases"].as_array().unwrap()[0];
    let mix = &base["mixes"][0];
    let shown = |weighed: &Value| weighed["shown"].as_str().unwrap().to_owned();
    let (a, b) = (shown(&mix["part_a"]), shown(&mix["part_b"]));
    let held: Vec<String> = mix["colorants"]
        .as_array()
        .unwrap()
        .iter()
        .map(|dose| format!("{}={}", dose["name"].as_str().unwrap(), shown(&dose["weighed"])))
        .collect();
    let name = base["name"].as_str().unwrap();
    let run = |held: &[String]| {
        let first = ["correct", "Storm Marble", name, "--job", "storm job", "--shop", "shop"];
        let mut all: Vec<&str> = first.to_vec();
        all.extend(["--part-a", &a, "--part-b", "0g"]);
        all.extend(held.iter().flat_map(|one| ["--held", one.as_str()]));
        words(&bench.run(&all).out)
    };
    let grams = |text: &str, of: &str| -> Option<f64> {
        let rest = text.split(&format!("{of} ")).nth(1)?;
        rest.split(' ').next()?.parse().ok()
    };
    let tinted = run(&held);
    let added = tinted.split("ADD ").nth(1).expect(&tinted);
    let added = added.split(" RECKONED FROM").next().expect(added);
    let wanted: f64 = b.trim_end_matches(" g").parse().unwrap();
    let part_b = grams(added, "part B").expect(added);
    assert!((part_b - wanted).abs() < 2.0, "{part_b} for {wanted}: {tinted}");
    assert!(grams(added, "snow white").is_none(), "{tinted}");
    // Untinted, the sheet's own weights are told beside what stands in one vessel.
    let untinted = run(&[]);
    assert!(untinted.contains("follow the sheet: snow white "), "{untinted}");
}

/// A tin's `2 : 1` is by volume mostly; typed as by mass it is asked about where nothing else can tell.
#[test]
fn a_whole_ratio_by_mass_is_asked_about() {
    let bench = unseen();
    let flood = "systems/clear-flood.ron";
    bench.change(flood, "    stoichiometry: (eew: 190, ahew: 67),\n", "");
    bench.change(flood, "ByVolume(2, 1)", "ByMass(2, 1)");
    let check = bench.run(&["check", "--shop", "shop"]);
    let asked = "unusual: a whole mix ratio A : B of 2 : 1 by mass: is it read off the datasheet so? (did you mean ByVolume(2, 1), which is 100 : 42.2 by mass?)";
    assert!(check.err.contains(asked), "{}", check.err);
    assert!(check.out.contains("no mistakes, but look first at 1 caution"), "{}", check.out);
    let plan = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]).out;
    assert!(plan.contains("HEED: clear flood 2:1: unusual: a whole mix ratio"), "{plan}");
}
