//! What a plan says would mend it, done to the files' contents as it is written, mends it.

use std::path::Path;

use pourbook::model::{House, HouseParts, Job, JobParts, Shop};
use pourbook::plan::{Ask, Change, Plan, for_area, for_kit, plan};
use pourbook::quantity::{Area, Temperature, Units, Volume};
use pourbook::report::remedy_rows::remedy_rows;
use pourbook::report::step_rows::idle_words;
use pourbook::report::stop_rows::stop_rows;
use pourbook::store;

fn demo() -> Shop {
    store::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes")).unwrap().shop
}

/// The demo's kitchen without its other ways, changed.
fn kitchen(shop: &Shop, change: impl Fn(&mut JobParts)) -> Job {
    let mut parts = (*shop.jobs["boathouse galley kitchen"]).clone();
    parts.options.clear();
    change(&mut parts);
    Job::new(parts).unwrap()
}

fn planned(shop: &Shop, colourway: &str, job: &Job) -> Plan {
    plan(&Ask { shop, colourway: &shop.colourways[colourway], job }).unwrap()
}

/// What stands in a remedy's words between `key` and what ends it.
fn written<'a>(words: &'a str, key: &str, end: &[char]) -> Option<&'a str> {
    words.split_once(key)?.1.split(end).next()
}

/// The shop and the job after what a remedy says is to be written.
fn applied(shop: &Shop, job: &Job, words: &str) -> (Shop, Job) {
    let (mut shop, mut parts) = (shop.clone(), (**job).clone());
    let mut any = false;
    if let Some(mass) = written(words, "largest_mix: \"", &['"']) {
        let largest_mix = mass.parse().unwrap();
        shop.house = House::new(HouseParts { largest_mix, ..(*shop.house).clone() }).unwrap();
        any = true;
    }
    if let Some(crew) = written(words, "(crew: ", &[' ']) {
        parts.crew = crew.parse().unwrap();
        any = true;
    }
    if let Some(room) = written(words, "temperature: \"", &['"']) {
        parts.temperature = room.parse().unwrap();
        any = true;
    }
    if let Some(resin) = written(words, "parts: \"", &['"']) {
        parts.parts = Some(resin.parse().unwrap());
        any = true;
    }
    assert!(any, "nothing to be done: {words}");
    (shop, Job::new(parts).unwrap())
}

/// How many remedies a plan prints, each done and found to do.
fn all_do(shop: &Shop, colourway: &str, job: &Job) -> usize {
    let before = planned(shop, colourway, job);
    assert!(before.remedies.plans <= 60, "{}", before.remedies.plans);
    within_a_day(&before);
    let mut done = 0;
    for units in [Units::Us, Units::Metric] {
        for row in remedy_rows(&before, units).into_iter().filter(|row| row.does) {
            assert!(!row.words.contains("--"), "a job's own file is changed: {}", row.words);
            let (shop, job) = applied(shop, job, &row.words);
            let after = planned(&shop, colourway, &job);
            let stops = stop_rows(&after, units);
            assert!(stops.is_empty(), "{colourway}, {}: {stops:?}", row.words);
            assert!(after.remedies.tried.is_empty(), "none is hot: {}", row.words);
            if row.words.contains("largest_mix") {
                let mixes: usize = after.bases.iter().map(|base| base.mixes.len()).sum();
                let told = format!("in house.ron), {mixes} mixes");
                assert!(row.words.contains(&told), "{told}: {}", row.words);
            }
            done += 1;
        }
    }
    done
}

#[test]
fn every_printed_remedy_leaves_no_stop() {
    let shop = demo();
    let mut done = 0;
    for colourway in shop.colourways.keys() {
        for celsius in [23.0, 26.0, 31.0] {
            for crew in [1, 2] {
                let job = kitchen(&shop, |parts| {
                    parts.crew = crew;
                    parts.temperature = Temperature::from_c(celsius);
                });
                done += all_do(&shop, colourway, &job);
            }
        }
    }
    assert!(done > 40, "{done} remedies");
}

#[test]
fn remedies_hold_in_a_metric_house_and_with_warm_parts() {
    let mut shop = demo();
    let house = HouseParts { units: Units::Metric, ..(*shop.house).clone() };
    shop.house = House::new(house).unwrap();
    let job = kitchen(&shop, |parts| {
        parts.temperature = Temperature::from_c(24.3);
        parts.parts = Some(Temperature::from_c(29.0));
    });
    assert!(all_do(&shop, "Estuary at Dusk", &job) > 0);
}

#[test]
fn the_warmest_room_that_does_is_told() {
    let shop = demo();
    let at =
        |fahrenheit| kitchen(&shop, |parts| parts.temperature = Temperature::from_f(fahrenheit));
    let before = planned(&shop, "Estuary at Dusk", &at(74.0));
    let room = before.remedies.tried.iter().find_map(|remedy| match remedy.changes[..] {
        [Change::Cooler { room, .. }] if remedy.outcome.does() => Some(room.f()),
        _ => None,
    });
    let room = room.unwrap();
    let warmer = planned(&shop, "Estuary at Dusk", &at(room + 2.0));
    assert!(!warmer.remedies.tried.is_empty(), "{} °F does not do", room + 2.0);
}

#[test]
fn two_changes_are_tried_where_one_does_not_do() {
    let shop = demo();
    let job = kitchen(&shop, |parts| {
        parts.crew = 1;
        parts.temperature = Temperature::from_f(86.0);
    });
    let plan = planned(&shop, "Estuary at Dusk", &job);
    let stops = stop_rows(&plan, Units::Us);
    assert!(
        stops[0].remedy.contains("a crew of 2") && stops[0].remedy.contains("a room of 70 °F"),
        "{stops:?}"
    );
}

#[test]
fn a_plan_in_time_tries_nothing() {
    let shop = demo();
    let plan = planned(&shop, "Tidewater Slate", &kitchen(&shop, |_| {}));
    assert_eq!((plan.remedies.plans, plan.remedies.tried.len()), (0, 0));
}

/// Another reason not to pour stays where it stood, and does not hide what helps in time.
#[test]
fn a_surface_too_cold_stays_told_beside_what_brings_the_pour_in_time() {
    let shop = demo();
    let job = kitchen(&shop, |parts| {
        parts.temperature = Temperature::from_f(77.0);
        parts.surface = Some(Temperature::from_f(58.0));
    });
    let plan = planned(&shop, "Estuary at Dusk", &job);
    let stops = stop_rows(&plan, Units::Us);
    assert_eq!(stops.len(), 2, "{stops:?}");
    let late = stops.iter().find(|stop| stop.words.contains("pot life")).unwrap();
    assert!(late.remedy.contains("then all is poured in time"), "{late:?}");
    assert!(late.remedy.contains("the other STOP stays"), "{late:?}");
}

/// No remedy that does takes longer than a crew works, but where the plan itself does.
fn within_a_day(plan: &Plan) {
    let own = plan.time.as_ref().map_or(0, |sheet| sheet.makespan_s);
    for remedy in plan.remedies.tried.iter().filter(|remedy| remedy.outcome.does()) {
        assert!(remedy.outcome.makespan_s <= own.max(8 * 3600), "{remedy:?}");
    }
}

/// How many remedies a plan without a job file prints, each done with the options that it names and
/// found to do.
fn all_do_without_a_file(shop: &Shop, planned: impl Fn(&Shop) -> Plan) -> usize {
    let before = planned(shop);
    within_a_day(&before);
    let mut done = 0;
    for row in remedy_rows(&before, Units::Us).into_iter().filter(|row| row.does) {
        assert!(!row.words.contains("in the job"), "there is no job file: {}", row.words);
        let mut shop = shop.clone();
        let mut any = false;
        if let Some(mass) = written(&row.words, "largest_mix: \"", &['"']) {
            let largest_mix = mass.parse().unwrap();
            shop.house = House::new(HouseParts { largest_mix, ..(*shop.house).clone() }).unwrap();
            any = true;
        }
        if let Some(crew) = written(&row.words, "(--crew ", &[')']) {
            shop.house = shop.house.with_crew(crew.parse().unwrap());
            any = true;
        }
        if let Some(room) = written(&row.words, "(--temperature \"", &['"']) {
            shop.house = shop.house.with_room_at(room.parse().unwrap());
            any = true;
        }
        assert!(any, "nothing to be done: {}", row.words);
        let stops = stop_rows(&planned(&shop), Units::Us);
        assert!(stops.is_empty(), "{}: {stops:?}", row.words);
        done += 1;
    }
    done
}

#[test]
fn remedies_of_kits_and_areas_are_options_and_do() {
    let mut shop = demo();
    let (mut kits, mut areas) = (0, 0);
    for fahrenheit in [74.0, 80.0, 88.0] {
        shop.house = shop.house.with_room_at(Temperature::from_f(fahrenheit));
        for name in ["Estuary at Dusk", "Tidewater Slate", "Salt Marsh"] {
            for gallons in [3.0, 7.5] {
                let kit = Volume::from_gal(gallons);
                kits += all_do_without_a_file(&shop, |shop| {
                    for_kit(shop, &shop.colourways[name], kit).unwrap()
                });
            }
            let area = Area::from_ft2(60.0);
            areas += all_do_without_a_file(&shop, |shop| {
                planned(shop, name, &for_area(shop, area).unwrap())
            });
        }
    }
    assert!(kits > 5 && areas > 3, "{kits} of kits, {areas} of areas");
}

/// More hands are no way where hands stand idle already; the plan says that they do, and lays out no paddle for them.
#[test]
fn no_more_hands_are_tried_where_some_stand_idle() {
    let shop = demo();
    let job = kitchen(&shop, |parts| {
        parts.crew = 40;
        parts.temperature = Temperature::from_c(36.0);
    });
    let plan = planned(&shop, "Tidewater Slate", &job);
    let sheet = plan.time.as_ref().unwrap();
    assert!(sheet.hands() < 40, "{} hands", sheet.hands());
    assert!(!plan.remedies.tried.is_empty(), "late in such heat");
    let with_hands = |change: &Change| matches!(change, Change::Crew { .. });
    assert!(!plan.remedies.tried.iter().any(|remedy| remedy.changes.iter().any(with_hands)));
    let words = idle_words(&plan, sheet).unwrap();
    assert!(words.contains("of a crew of 40") && words.contains("one at a time"), "{words}");
    let paddles = plan.lay_out.iter().find(|laid| laid.ware.word() == "mixing paddle").unwrap();
    assert!(paddles.count as usize <= sheet.hands(), "{paddles:?}");
}

/// Of ways that do, that comes first which leaves the fewest mixes tight, and each says how many stay so.
#[test]
fn what_helps_most_is_told_first() {
    let shop = demo();
    let mut several = 0;
    for celsius in [24.0, 26.0, 28.0, 30.0] {
        let job = kitchen(&shop, |parts| parts.temperature = Temperature::from_c(celsius));
        let plan = planned(&shop, "Tidewater Slate", &job);
        let does = plan.remedies.tried.iter().take_while(|remedy| remedy.outcome.does());
        let by = |remedy: &pourbook::plan::Remedy| {
            (remedy.outcome.long_pour.is_some(), remedy.outcome.tight_mixes)
        };
        let ranks: Vec<(bool, usize)> = does.map(by).collect();
        assert!(ranks.is_sorted(), "{ranks:?}");
        let tight: Vec<usize> = ranks.into_iter().map(|(_, tight)| tight).collect();
        let after = &plan.remedies.tried[tight.len()..];
        assert!(!after.iter().any(|remedy| remedy.outcome.does()), "{after:?}");
        several += usize::from(tight.len() > 1);
        for (row, tight) in remedy_rows(&plan, Units::Us).iter().zip(&tight) {
            let told = match tight {
                0 => "none of it tight".to_owned(),
                1 => "1 mix still tight".to_owned(),
                _ => format!("{tight} mixes still tight"),
            };
            assert!(row.words.contains(&told), "{}", row.words);
        }
    }
    assert!(several > 0, "nothing to put in order");
}

/// A way after which the film poured first no longer runs when the last comes to it stands after any that keeps within it,
/// and says how long the film would stand.
#[test]
fn a_way_that_outlasts_the_film_comes_after_those_that_do_not() {
    let shop = demo();
    let (mut long, mut short) = (0, 0);
    for (colourway, crew) in
        [("Tidewater Slate", 1), ("Estuary at Dusk", 1), ("Estuary at Dusk", 2)]
    {
        for celsius in [23.0, 25.0, 27.0, 29.0, 31.0] {
            let job = kitchen(&shop, |parts| {
                parts.crew = crew;
                parts.temperature = Temperature::from_c(celsius);
            });
            let plan = planned(&shop, colourway, &job);
            let runs_s = 2.0 * plan.pot_life.time.s();
            let rows = remedy_rows(&plan, Units::Us);
            let does = plan.remedies.tried.iter().zip(&rows).filter(|(one, _)| one.outcome.does());
            let mut after_a_long_one = false;
            for (remedy, row) in does {
                let words = "but the film poured first then stands ";
                let Some(own) = remedy.outcome.long_pour else {
                    assert!(!after_a_long_one, "{rows:?}");
                    assert!(!row.words.contains(words), "{row:?}");
                    short += 1;
                    continue;
                };
                after_a_long_one = true;
                long += 1;
                let stands_s = f64::from(i32::try_from(own.stands_s).unwrap());
                assert!(stands_s > runs_s, "{own:?}");
                let [stands, runs] = [stands_s, runs_s].map(|s| (s / 60.0).round());
                let told = format!("{words}{stands} min and runs for about {runs} min");
                assert!(row.words.contains(&told), "{told}: {row:?}");
                let (shop, job) = applied(&shop, &job, &row.words);
                let sheet = planned(&shop, colourway, &job).time.unwrap();
                assert_eq!(sheet.first_stands_s(), own.stands_s, "{row:?}");
            }
        }
    }
    assert!(long > 3 && short > 3, "{long} long, {short} short");
}

/// What is refused and has a way says so in its last words, and the way stands below it.
#[test]
fn a_refusal_that_has_a_way_points_to_it() {
    let bench = crate::program::Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "temperature: \"72 °F\"", "temperature: \"86 °F\"");
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    let refused = ran.err.lines().find(|line| line.starts_with("refused: STOP")).unwrap();
    assert!(refused.ends_with("Refused as it stands; THERE IS A WAY, see below"), "{}", ran.err);
    assert!(
        ran.err.contains("= hint: a way: ") && ran.err.contains("then all is poured in time"),
        "{}",
        ran.err
    );
    // In such heat nothing does.
    bench.change(
        "jobs/galley-kitchen.ron",
        "temperature: \"86 °F\"",
        "temperature: \"86 °F\", parts: \"130 °F\"",
    );
    bench.change("systems/clear-flood.ron", "time: \"40 min\"", "time: \"4 min\"");
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(!ran.err.contains("THERE IS A WAY"), "{}", ran.err);
}
