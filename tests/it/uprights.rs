//! Edges and splashbacks, whose film is thinner than the counter's: what does not hide there is told
//! wherever it is planned, weighed or approved, with the same figures.

use serde_json::Value;

use crate::program::Bench;

fn cautions_of_primer(plan: &Value) -> Vec<String> {
    let all = plan["cautions"].as_array().unwrap().iter();
    let primer = all.filter(|one| one["topic"] == "primer");
    primer.map(|one| one["text"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn what_does_not_hide_on_faces_is_told_everywhere() {
    let bench = Bench::demo();
    let plan = bench.kitchen_json();
    // At 3 mm every base of the kitchen hides; at 20 mil two do not.
    let hiding_on_the_flat = plan["bases"].as_array().unwrap().iter();
    assert!(
        hiding_on_the_flat
            .clone()
            .all(|base| base["look"]["contrast_ratio"].as_f64() >= Some(0.98))
    );
    let upright = &plan["uprights"];
    assert_eq!(upright["words"], "edges and splashbacks");
    assert!((upright["film_mm"].as_f64().unwrap() - 0.508).abs() < 1e-9);
    let thin = |base: &&Value| base["hides"] == false;
    let thin: Vec<&Value> = upright["bases"].as_array().unwrap().iter().filter(thin).collect();
    let names: Vec<&str> = thin.iter().map(|base| base["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["fog", "slate"]);
    let cautions = cautions_of_primer(&plan);
    assert_eq!(cautions.len(), 1, "{cautions:?}");
    for base in &thin {
        let name = base["name"].as_str().unwrap();
        let ratio = base["look"]["contrast_ratio"].as_f64().unwrap();
        assert!(cautions[0].contains(&format!("\"{name}\" ({ratio:.3}, demo; hides from")));
        // Over the demo's pale primer both come out paler.
        assert!(base["delta_l_from_flat"].as_f64().unwrap() > 0.5, "{base}");
    }
    assert!(cautions[0].contains("\"fog\" and \"slate\" come out paler"), "{cautions:?}");
    assert!(
        bench.kitchen_text(&[]).contains("on edges and splashbacks at 0.508 mm the primer shows")
    );
    let mixing = bench.kitchen_text(&["--sheet", "mixing"]);
    assert!(mixing.contains("on edges and splashbacks at 0.508 mm the primer shows through"));
    let approval = bench.kitchen_text(&["--sheet", "approval"]);
    let told = "Edges and splashbacks are coated thinner (0.508 mm) and look different from the flat: \"fog\" and \"slate\" come out paler";
    assert!(approval.contains(told), "{approval}");
}

/// What is told to hide the primer is what can be done: a thicker film only where that does not run, many coats never.
#[test]
fn what_would_hide_the_primer_on_faces_can_be_done() {
    let bench = Bench::demo();
    let told = |job: &str| {
        let ran = bench.run(&["plan", "--job", job, "--shop", "shop", "--json"]);
        cautions_of_primer(&serde_json::from_str(&ran.out).unwrap()).join(" ")
    };
    // It hides from 85 mil, and above 40 mil it runs.
    bench.change("jobs/galley-kitchen.ron", "face_film: \"20 mil\"", "face_film: \"30 mil\"");
    let kitchen = told("galley-kitchen");
    assert!(
        kitchen.contains(
            "3 coats of 30 mil there would hide it, or a primer nearer to the colour: a film of 85"
        ),
        "{kitchen}"
    );
    assert!(!kitchen.contains("face_film"), "{kitchen}");
    let bar = told("curved-bar");
    assert!(bar.contains("and would run down as one: a primer nearer to the colour"), "{bar}");
    // Where fog hides as well as slate, from 28 mil.
    bench.change("jobs/galley-kitchen.ron", "face_film: \"30 mil\"", "face_film: \"20 mil\"");
    let fog = "\"titanium white paste\": \"2.8 %\", \"yellow oxide paste\": \"0.12 %\", \"carbon black paste\": \"0.02 %\"";
    bench.change(
        "colourways/tidewater-slate.ron",
        fog,
        "\"titanium white paste\": \"1 %\", \"iron oxide black paste\": \"1.4 %\"",
    );
    let kitchen = told("galley-kitchen");
    assert!(
        kitchen.contains("A second coat there, a primer nearer to the colour, or a film from 2"),
        "{kitchen}"
    );
}

#[test]
fn a_face_film_that_hides_needs_no_word_and_a_second_coat_counts() {
    let bench = Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "face_film: \"20 mil\"", "face_film: \"3 mm\"");
    let plan = bench.kitchen_json();
    assert!(cautions_of_primer(&plan).is_empty(), "{plan}");
    assert!(!bench.kitchen_text(&["--sheet", "approval"]).contains("look different from the flat"));
    bench.change(
        "jobs/galley-kitchen.ron",
        "face_film: \"3 mm\"",
        "face_film: \"20 mil\", coats: 2",
    );
    let cautions = cautions_of_primer(&bench.kitchen_json());
    // 40 mil in all hide slate, which hides from 28 mil.
    assert!(cautions[0].contains("at 2 coats of 0.508 mm"), "{cautions:?}");
    assert!(
        !cautions[0].contains("slate") && cautions[0].contains("which is 5 coats of 0.508 mm"),
        "{cautions:?}"
    );
}

#[test]
fn work_without_faces_has_no_uprights() {
    let bench = Bench::demo();
    let ran = bench.run(&["plan", "--job", "sample-board", "--shop", "shop", "--json"]);
    let plan: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(plan["uprights"], Value::Null);
    assert!(cautions_of_primer(&plan).is_empty());
}

#[test]
fn a_board_alone_is_not_told_to_be_primed_as_itself() {
    let bench = Bench::demo();
    let ran = bench.run(&["plan", "Kelp and Oyster", "--board", "600x600mm", "--shop", "shop"]);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("prime evenly, and the counter later with the same primer"), "{text}");
}

#[test]
fn the_purge_stands_with_its_air_changes_on_the_first_page() {
    let bench = Bench::demo();
    let mixing = bench.kitchen_text(&["--sheet", "mixing"]);
    assert!(mixing.contains("min at 6 air changes an hour (fan), else longer"), "{mixing}");
}

#[test]
fn check_tells_what_planning_refuses_of_a_job() {
    let bench = Bench::demo();
    let check = || bench.run(&["check", "--shop", "shop"]);
    assert_eq!(check().code, 0);
    bench.change("jobs/galley-kitchen.ron", "crew: 2,", "crew: 2, flame: true,");
    let refused = check();
    assert_eq!(refused.code, 1, "{refused:?}");
    let told = "the job has flame: true and the colourway mists isopropanol";
    assert!(refused.out.contains(told) || refused.err.contains(told), "{refused:?}");
    let planned = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert_eq!(planned.code, 1);
    assert!(planned.err.contains(told), "{planned:?}");
}

#[test]
fn a_clock_that_is_not_reckoned_is_told() {
    let bench = Bench::demo();
    let mix = [
        "correct",
        "Tidewater Slate",
        "fog",
        "--part-a",
        "600 g",
        "--part-b",
        "264 g",
        "--shop",
        "shop",
    ];
    let told = "CLOCK NOT RECKONED: B has met A";
    let text = bench.run(&mix);
    let line = text.out.lines().position(|line| line.contains(told));
    assert!(line.is_some_and(|line| line <= 2), "{text:?}");
    let json: Value =
        serde_json::from_str(&bench.run(&[&mix[..], &["--json"]].concat()).out).unwrap();
    assert!(json["clock_left_out"].as_str().unwrap().starts_with(told), "{json}");
    let aged = bench.run(&[&mix[..], &["--age", "1 min"]].concat());
    assert!(!aged.out.contains(told), "{aged:?}");
}

#[test]
fn a_film_that_runs_down_faces_is_told_and_more_than_the_system_bears_is_refused() {
    let bench = Bench::demo();
    let sag = |plan: &Value| {
        let all = plan["cautions"].as_array().unwrap().iter();
        all.filter(|one| one["topic"] == "upright faces").count()
    };
    assert_eq!(sag(&bench.kitchen_json()), 0);
    bench.change("jobs/galley-kitchen.ron", "face_film: \"20 mil\"", "face_film: \"60 mil\"");
    assert_eq!(sag(&bench.kitchen_json()), 1);
    bench.change("jobs/galley-kitchen.ron", "face_film: \"60 mil\"", "face_film: \"1/2 in\"");
    let refused = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert_ne!(refused.code, 0);
    assert!(refused.err.contains("galley-kitchen.ron:"), "{}", refused.err);
    assert!(refused.err.contains("on upright faces is more than"), "{}", refused.err);
}

/// The lowest temperature that a system's file states takes the place of the usual one, and stops the pour.
#[test]
fn a_room_below_what_the_system_bears_stops_the_pour() {
    let bench = Bench::demo();
    let told = |room: &str| {
        let words = ["plan", "salt-marsh", "--board", "600x600mm", "--temperature", room];
        let ran = bench.run(&[&words[..], &["--shop", "shop", "--units", "metric"]].concat());
        (ran.code, ran.out.split_whitespace().collect::<Vec<_>>().join(" "))
    };
    let (code, usual) = told("17C");
    assert!(code == 0 && !usual.contains("cold:"), "{usual}");
    bench.change(
        "systems/clear-flood.ron",
        "    recoat:",
        "    lowest_temperature: \"18 °C\",\n    recoat:",
    );
    let (code, colder) = told("17C");
    assert_eq!(code, 1, "{colder}");
    assert!(colder.contains("the air at 17 °C is colder than the 18 °C"), "{colder}");
    assert!(colder.contains("below 18 °C resin thickens"), "{colder}");
    assert!(colder.contains("the lowest that \"clear flood 2:1\" bears (demo)"), "{colder}");
    let (code, warm) = told("18C");
    assert!(code == 0 && !warm.contains("cold:"), "{warm}");
}

#[test]
fn a_cold_room_is_told() {
    let bench = Bench::demo();
    let plan = |room| {
        let area = ["plan", "Tidewater Slate", "--area", "20ft2", "--temperature", room];
        bench.run(&[&area[..], &["--units", "us", "--shop", "shop"]].concat()).out
    };
    let cold = plan("40F");
    assert!(cold.contains("cold"), "{cold}");
    // Before all else, and no surface's dew point reads like permission.
    let head: Vec<&str> = cold.lines().take_while(|line| !line.starts_with("FIGURES")).collect();
    assert!(head.iter().any(|line| line.starts_with("HEED: too cold to cure")), "{head:?}");
    assert!(!plan("72F").contains("HEED: too cold"));
    let joined = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(joined(&cold).contains("may not cure at all"), "{cold}");
    assert!(!plan("60F").contains("may not cure"));
}

/// The least surface that is asked for is never below the usual least, or the system's own, where the dew point alone would
/// allow less: in the dew's caution, at the head of the mixing sheet and in its box.
#[test]
fn the_least_surface_is_no_colder_than_resin_bears() {
    let bench = Bench::demo();
    let plan = |more: &[&str]| {
        let words = ["plan", "--job", "curved-bar", "--shop", "shop"];
        let out = bench.run(&[&words[..], more].concat()).out;
        out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let us = plan(&[]);
    let usual = "pour only on a surface of at least about 60 °F, the usual least of resins (common practice; the file of \"slow deep 100:42\" states no lowest_temperature), though 54.1 °F would do for its dew";
    assert!(us.contains(usual), "{us}");
    for (units, least) in [("us", "60 °F"), ("metric", "15 °C")] {
        let sheet = plan(&["--units", units, "--sheet", "mixing"]);
        assert!(sheet.contains(&format!("Surface __________ from {least} Humidity")), "{sheet}");
        let brief = format!("dew: pour only on a surface of at least {least} (usual)");
        assert!(sheet.contains(&brief), "{brief}: {sheet}");
    }
    // In damp air the dew point asks for more.
    bench.change(
        "jobs/curved-bar.ron",
        "temperature: \"68 °F\"",
        "humidity: \"80 %\", temperature: \"68 °F\"",
    );
    let damp = plan(&["--sheet", "mixing"]);
    assert!(damp.contains("Surface __________ from 67 °F"), "{damp}");
}

#[test]
fn a_job_says_itself_who_pours_and_how_warm_it_is() {
    let bench = Bench::demo();
    let job = ["plan", "--job", "galley-kitchen", "--shop", "shop"];
    for (option, value) in [("--crew", "1"), ("--temperature", "70F")] {
        let ran = bench.run(&[&job[..], &[option, value]].concat());
        assert_eq!(ran.code, 2, "{ran:?}");
        let field = option.trim_start_matches('-');
        let hint = format!("edit {field} in jobs/galley-kitchen.ron");
        assert!(ran.err.contains(&hint), "{}", ran.err);
    }
}

/// A mix whose parts were swapped is brought back so that it hides as the recipe does, or it is told that it
/// does not.
#[test]
fn a_correction_keeps_hiding_or_says_that_it_does_not() {
    let bench = Bench::demo();
    let mix = ["correct", "tidewater-slate", "slate", "--shop", "shop", "--json"];
    let parts = ["--part-a", "211 g", "--part-b", "500 g", "--age", "2 min"];
    let colorants = [
        "--held",
        "iron oxide black paste=10 g",
        "--held",
        "titanium white paste=4 g",
        "--held",
        "ultramarine paste=4 g",
    ];
    let ran = bench.run(&[&mix[..], &parts, &colorants].concat());
    let json: Value = serde_json::from_str(&ran.out).expect(&ran.err);
    let after = json["look_after"]["contrast_ratio"].as_f64().unwrap();
    let recipe = json["contrast_ratio_of_recipe"].as_f64().unwrap();
    assert!(recipe >= 0.98, "{json}");
    let told = json["cautions"].as_array().unwrap().len();
    assert_eq!(told == 0, after >= 0.98, "{json}");
    assert!(after >= 0.98, "resin and colorants restore it: {json}");
}

#[test]
fn a_room_is_asked_for_in_units_of_rooms_and_the_usual_one_is_said_as_people_do() {
    let bench = Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "room: \"1400 ft3\"", "room: \"1200 ft2\"");
    let told = bench.run(&["check", "--shop", "shop"]);
    let all = format!("{}{}", told.out, told.err);
    assert!(all.contains("write it like \"1400 ft3\" or \"40 m3\""), "{all}");
    let board = ["plan", "Salt Marsh", "--board", "600x600mm", "--units", "us", "--shop", "shop"];
    let text = bench.run(&board).out;
    assert!(!text.contains("71.6 °F"), "{text}");
}

/// What is held back for splashbacks is not poured first: the step, the label and the figures agree.
#[test]
fn what_is_held_back_is_said_where_it_is_poured() {
    let bench = Bench::demo();
    let plan = bench.kitchen_json();
    let held = &plan["upright_coats"]["splashbacks"];
    let each = held["each"].as_array().unwrap();
    let sum: f64 = each.iter().map(|one| one["held_g"].as_f64().unwrap()).sum();
    assert!((sum - held["mass_g"].as_f64().unwrap()).abs() < 0.5, "{held}");
    let one = &each[0];
    let [container, kept, poured] =
        ["container", "held_g", "poured_g"].map(|key| one[key].as_f64().unwrap());
    let batch = plan["small_batches"].as_array().unwrap().last().unwrap();
    // What clings in the container goes nowhere.
    let all = batch["mass_g"].as_f64().unwrap();
    assert!(kept + poured < all && kept + poured > 0.9 * all, "{one} of {all}");
    let part = format!("{poured:.0} g more of {container} are allowance");
    let text = bench.kitchen_text(&[]);
    // What is poured of it is of the allowance, which goes out only where it is wanted.
    let told = format!(" and {poured:.0} g of {container} (which holds {all:.0} g); keep back");
    assert!(text.contains(&told), "{told}: {text}");
    assert!(
        text.contains(&format!(", hold back {kept:.0} g of {container}; then, only")),
        "{text}"
    );
    assert!(text.contains(&format!("({part}). Stir it before brushing")), "{text}");
    let labels = bench.kitchen_text(&["--sheet", "labels"]);
    assert!(labels.contains(&format!("HOLD BACK {kept:.0} g: stir that, brush on splashbacks")));
}
