//! How much of the work stands on the first page of recipes with more to weigh than the demo's.

use super::*;

/// Four bases of two or three colorants, two of them with a dose that is let down, in cups of four layers.
const FOUR: &str = r##"(
    version: 1, name: "Four Tides", system: "clear flood 2:1",
    film: "3 mm", primer: "#e8e6e0", container: "16 fl oz",
    bases: {
        "ebb": (colorants: { "titanium white paste": "2.6 %", "yellow oxide paste": "0.1 %", "carbon black paste": "0.01 %" }),
        "slack": (colorants: { "titanium white paste": "1.4 %", "raw umber paste": "0.5 %", "phthalo blue paste": "0.008 %" }),
        "flood": (colorants: { "ultramarine paste": "0.9 %", "titanium white paste": "0.8 %", "carbon black paste": "0.05 %" }),
        "deep": (colorants: { "iron oxide black paste": "1.4 %", "phthalo blue paste": "0.3 %" }),
    },
    accents: { "ink": (colorant: "carbon black liquid") },
    pours: [
        (name: "low ink", count: 2, layers: [Accent("ink", "0.6 %"), Base("deep", 40), Base("flood", 30), Base("ebb", 30)]),
        (name: "top ink", count: 2, layers: [Base("slack", 35), Base("ebb", 30), Base("flood", 35), Accent("ink", "0.8 %")]),
    ],
    pattern: (seed: 7, ribbon: Sweep, mist: Light),
)"##;

const ISLAND: &str = r#"(
    version: 1, name: "four tides island", colourway: "Four Tides",
    counters: { "island": (shape: Rectangle("5 ft", "30 in"), edges: [(length: "15 ft", face: "1 1/2 in")]) },
    crew: 2, temperature: "72 °F", room: "1400 ft3",
)"#;

/// The demo shop with the recipe and the job above; sheets without a picture.
fn four(units: Units) -> (Plan, Sheets) {
    let bench = Bench::demo();
    bench.put("colourways/four.ron", FOUR);
    bench.put("jobs/island.ron", ISLAND);
    let opened = pourbook::store::open(&bench.path("shop")).unwrap();
    let extent = Extent::Job("four tides island".to_owned());
    let plan = acts::plan(&opened, &PlanAsk { colourway: None, extent }).unwrap();
    let made = SheetsFor {
        units,
        day: Some(DAY),
        board: Err("none was asked for"),
        recipe_on_approval: false,
    };
    let sheets = acts::sheets(&opened, &plan, made).unwrap();
    (plan, sheets)
}

/// Two let-downs and four bases: all mixes with their clocks; containers may come on the next page.
#[test]
fn four_bases_and_their_let_downs_are_weighed_from_the_first_page() {
    for units in [Units::Us, Units::Metric] {
        let (plan, sheets) = four(units);
        assert_eq!((plan.bases.len(), plan.stocks.len()), (4, 2));
        for (paper, size) in PAPERS {
            let pages = check_laid_out(&sheets, paper, size);
            check_first_page(&plan, &sheets, &pages[0]);
        }
    }
}

/// What does not stand on the first page begins the next one whole: no mix is parted from its clock, no
/// container from its order.
#[test]
fn what_the_first_page_cannot_hold_is_not_torn() {
    for (colourway, area) in [("Kelp and Oyster", "46 ft2"), ("Copper Hull", "42 ft2")] {
        let opened = pourbook::store::open(
            &std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes"),
        )
        .unwrap();
        let extent = Extent::Area(area.parse().unwrap());
        let plan = acts::plan(&opened, &PlanAsk { colourway: Some(colourway.into()), extent });
        let plan = plan.unwrap();
        for units in [Units::Us, Units::Metric] {
            let made = SheetsFor {
                units,
                day: None,
                board: Err("none was asked for"),
                recipe_on_approval: false,
            };
            let sheets = acts::sheets(&opened, &plan, made).unwrap();
            for (paper, size) in PAPERS {
                let pages = check_laid_out(&sheets, paper, size);
                let page_of = |words: &str| {
                    let on = |page: &Vec<Run>| page.iter().any(|run| run.text.starts_with(words));
                    pages.iter().position(on).unwrap()
                };
                assert_eq!(page_of("Clock"), 0, "{colourway}, {paper:?}");
                let pour = page_of("Pour: ");
                for (number, batch) in (1..).zip(&plan.small_batches) {
                    let card = format!("{number}. {}", batch.name);
                    let on: Vec<usize> = (0..pages.len())
                        .filter(|&at| pages[at].iter().any(|run| run.text == card))
                        .collect();
                    assert_eq!(on, [pour], "{card}, {paper:?}");
                }
            }
        }
    }
}

/// What is heeded under the plan's title, and what of it is told on the mixing sheet before the first mix is weighed, or
/// among the mixes' clocks.
const HEEDS: [(&str, &str); 10] = [
    ("too cold to cure", "HEED: too cold to cure"),
    ("\"galley\": leg a", "HEED: \"galley\": leg a"),
    ("no run-off over edges is counted", "HEED: no run-off over edges is counted"),
    ("too coarse a scale: ", "HEED: too coarse a scale: "),
    ("this leaves out \"low ink\"", "HEED: this leaves out \"low ink\""),
    ("tight in time: ", "tight"),
    ("set out 2 × bench scale", "scales: set out 2 × bench scale"),
    ("a long pour: ", "HEED: a long pour: "),
    ("between two pours on a piece ", "HEED: up to 38 min between two pours on bar (container "),
    ("the primer shows through", "primer: shows on "),
];

/// Every kind of HEED that a plan tells stands on the mixing sheet too, before the pour.
#[test]
fn every_heed_of_a_plan_stands_on_the_mixing_sheet() {
    const JOB: &str = "jobs/galley-kitchen.ron";
    let mut seen = [false; HEEDS.len()];
    let mut check = |change: &dyn Fn(&Bench), words: &[&str]| {
        let bench = Bench::demo();
        change(&bench);
        let text = |more: &[&str]| {
            let ran = bench.run(&[words, &["--shop", "shop", "--units", "metric"], more].concat());
            ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        let (plan, sheet) = (text(&[]), text(&["--sheet", "mixing"]));
        let head = plan.split(" FIGURES REST ON").next().unwrap();
        let page = sheet.split(" Every step").next().unwrap();
        for heed in head.split("HEED: ").skip(1) {
            let kind = HEEDS.iter().position(|(told, _)| heed.contains(told));
            let kind = kind.unwrap_or_else(|| panic!("a new kind, on no sheet: {heed}"));
            // A word of the clock, which a remedy's words have too.
            let clock = page.split("Clock").nth(1).unwrap();
            let on = if HEEDS[kind].1 == "tight" { clock } else { page };
            assert!(on.contains(HEEDS[kind].1), "{}: {page}", HEEDS[kind].1);
            seen[kind] = true;
        }
    };
    let kitchen = ["plan", "--job", "galley-kitchen"];
    check(&|_| (), &kitchen);
    check(&|bench| bench.change(JOB, "crew: 2,", "crew: 2, surface: \"10 °C\","), &kitchen);
    check(&|bench| bench.change(JOB, "a: \"12 ft 6 in\"", "a: \"21 ft 6 in\""), &kitchen);
    check(
        &|bench| {
            let edges = "edges: [(length: \"16 ft 7 in\", face: \"1 1/2 in\"), (length: \"7 1/2 in\", face: \"1 1/2 in\")],";
            bench.change(JOB, edges, "");
        },
        &kitchen,
    );
    check(
        &|bench| {
            let scale = "(name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\")";
            bench.put("house.ron", format!("(version: 1, scales: [{scale}])"));
        },
        &kitchen,
    );
    check(&|_| (), &["plan", "Tidewater Slate", "--board", "150x150mm"]);
    check(
        &|bench| {
            bench.change(JOB, "crew: 2", "crew: 1");
            let bar = "\"bar\": (shape: Rectangle(\"6 ft\", \"30 in\"), edges: [(length: \"17 ft\", face: \"1 1/2 in\")]),";
            bench.change(JOB, "counters: {", &format!("counters: {{ {bar}"));
        },
        &kitchen,
    );
    for ((told, _), seen) in HEEDS.iter().zip(seen) {
        assert!(seen, "{told}: in no plan here");
    }
}
