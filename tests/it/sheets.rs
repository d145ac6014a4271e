//! Printed sheets, read back by a reader of PDF that knows nothing of them (lopdf): the weights on
//! paper are those of the plan, large enough to be read at arm's length, and inside the page.

mod first_page;
mod labels;
mod reader;
mod structure;
mod terminal;

use std::collections::BTreeMap;

use pourbook::acts::{self, Extent, PlanAsk, SheetsFor};
use pourbook::picture::Raster;
use pourbook::plan::Plan;
use pourbook::quantity::{Fraction, Mass, Units};
use pourbook::report::html::html;
use pourbook::report::pdf::{Paper, pdf};
use pourbook::report::plan_json::plan_json;
use pourbook::report::sheet::{
    Block, BoardShown, Card, Cell, Day, Heading, Sheets, SheetsAsk, Side, Table, sheets,
};
use proptest::prelude::*;
use serde_json::Value;

use crate::program::Bench;
use crate::random_jobs::cases;
use reader::{Run, runs};

const DAY: Day = Day { year: 2026, month: 3, day: 14 };
const DEMO_JOBS: [&str; 4] = ["sample-board", "galley-kitchen", "curved-bar", "round-table"];

fn bare_sheets(plan: &Plan) -> Sheets {
    let ask = SheetsAsk {
        plan,
        chips: &[],
        viewing: "D65, 2°",
        board: Err("none was asked for"),
        recipe_on_approval: false,
        units: Units::Metric,
        day: Some(DAY),
    };
    sheets(&ask).unwrap()
}

fn demo(job: &str, units: Units, board: Option<&BoardShown>) -> (Plan, Sheets) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes");
    let opened = pourbook::store::open(&folder).unwrap();
    let ask = PlanAsk { colourway: None, extent: Extent::Job(job.to_owned()) };
    let plan = acts::plan(&opened, &ask).unwrap();
    let board = board.ok_or("a colour is not known");
    let made = SheetsFor { units, day: Some(DAY), recipe_on_approval: false, board };
    let sheets = acts::sheets(&opened, &plan, made).unwrap();
    (plan, sheets)
}

/// Grams that a person weighs and then reads, in the order of the work, from the plan as JSON.
fn grams_of_plan(plan: &Value) -> Vec<f64> {
    let mut grams = Vec::new();
    for stock in plan["let_downs"].as_array().unwrap() {
        grams.extend(of_weighing(&stock["colorant_weighed"]));
        grams.extend(of_weighing(&stock["part_a_weighed"]));
    }
    for base in plan["bases"].as_array().unwrap() {
        let mut kinds: Vec<Vec<[f64; 2]>> = Vec::new();
        for mix in base["mixes"].as_array().unwrap() {
            let rows = rows_of_mix(mix);
            if !kinds.contains(&rows) {
                kinds.push(rows);
            }
        }
        // Mixes that are not weighed alike stand two by two: what the scale shows, below it how much that is
        // where that differs.
        for two in kinds.chunks(2) {
            for at in 0..two[0].len() {
                for [mass, reading] in two.iter().map(|rows| rows[at]) {
                    match two.len() {
                        1 => grams.extend([mass, reading]),
                        _ if (mass - reading).abs() > 1e-9 => grams.extend([reading, mass]),
                        _ => grams.push(reading),
                    }
                }
            }
        }
    }
    for batch in plan["small_batches"].as_array().unwrap() {
        for layer in batch["layers_from_bottom"].as_array().unwrap() {
            if layer["means"] == "shared cup" {
                // By syringe, in mL: no scale shows what one container takes.
                let each = Mass::from_g(layer["mass_each_g"].as_f64().unwrap());
                grams.push(each.show(Units::Metric).trim_end_matches(" g").parse().unwrap());
            } else {
                grams.extend(of_weighing(&layer["weighed"]));
            }
        }
    }
    grams
}

/// What is weighed and what the scale shows then.
fn of_weighing(weighed: &Value) -> [f64; 2] {
    ["mass_g", "reading_g"].map(|key| weighed[key].as_f64().unwrap())
}

/// The same of a mix, in the order of weighing.
fn rows_of_mix(mix: &Value) -> Vec<[f64; 2]> {
    let doses = mix["colorants"].as_array().unwrap();
    let let_down = |dose: &&Value| dose["means"] == "let-down";
    let mut rows: Vec<[f64; 2]> =
        doses.iter().filter(let_down).map(|dose| of_weighing(&dose["weighed"])).collect();
    rows.extend(["part_a", "part_b"].map(|part| of_weighing(&mix[part])));
    let later = doses.iter().filter(|dose| !let_down(dose));
    rows.extend(later.map(|dose| of_weighing(&dose["weighed"])));
    rows
}

/// Grams printed at 14 pt or more, in the order in which they stand, up to the first label's page.
fn grams_on_paper(pages: &[Vec<Run>]) -> Vec<f64> {
    let labels = pages
        .iter()
        .position(|page| page.iter().any(|run| run.text == "Labels"))
        .expect("a page of labels");
    for run in pages[labels..].iter().flatten() {
        let weight = run.text.strip_suffix(" g").and_then(|grams| grams.parse::<f64>().ok());
        assert!(weight.is_none() || run.size >= 14.0, "{run:?}");
    }
    pages[..labels].iter().flat_map(|page| grams_on(page)).collect()
}

/// Grams printed at 14 pt or more.
fn grams_on(page: &[Run]) -> Vec<f64> {
    let large = page.iter().filter(|run| run.size >= 14.0);
    large
        .filter_map(|run| run.text.trim_start_matches('−').strip_suffix(" g")?.parse().ok())
        .collect()
}

fn check_weights(plan: &Plan, sheets: &Sheets, paper: Paper) {
    let bytes = pdf(sheets, paper).unwrap();
    let pages = runs(&bytes);
    let (printed, planned) = (grams_on_paper(&pages), grams_of_plan(&plan_json(plan)));
    check_same(&printed, &planned);
}

fn check_same(printed: &[f64], planned: &[f64]) {
    assert_eq!(printed.len(), planned.len(), "as many weights: {printed:?} {planned:?}");
    for (on_paper, in_plan) in printed.iter().zip(planned) {
        assert!((on_paper - in_plan).abs() < 1e-6, "{printed:?} {planned:?}");
    }
}

/// Everything stands inside the paper's margins, nothing is smaller than 7 pt, and no heading stands
/// alone at a page's foot.
fn check_pages(pages: &[Vec<Run>], [width, height]: [f64; 2]) {
    for (number, page) in pages.iter().enumerate() {
        for run in page {
            assert!(run.size >= 6.99, "page {}: {} pt: {}", number + 1, run.size, run.text);
            // A line may be half a point wider than its column.
            let inside = run.x >= MARGIN - 0.1
                && run.right <= width - MARGIN + 0.6
                && run.y >= MARGIN - 0.1
                && run.y + 0.7 * run.size <= height - MARGIN + 0.1;
            assert!(inside, "page {}: outside: {run:?}", number + 1);
        }
        let foot = page.iter().find(|run| run.text.starts_with("page ") && run.size < 8.1);
        let foot = foot.unwrap_or_else(|| panic!("page {} is not numbered", number + 1)).y + 20.0;
        let body = page.iter().filter(|run| run.y > foot && !run.text.trim().is_empty());
        let last = body.min_by(|one, other| one.y.total_cmp(&other.y)).unwrap();
        // Headings of cards, titles of columns, headings of sections; the last are as large as a STOP.
        // A lone figure is a layer's number in a drawing, which may reach lower than its table.
        let badge = last.text.parse::<u32>().is_ok();
        let heading = !badge && [13.0, 8.5].iter().any(|size| (last.size - size).abs() < 0.01)
            || SECTIONS.iter().any(|section| last.size > 11.5 && last.text.starts_with(section));
        let label = page.iter().any(|run| run.text.starts_with("Labels"));
        assert!(!heading || label, "page {}: nothing under {last:?}", number + 1);
    }
}

/// All that is drawn, lines of tables and labels and containers too, stays on the paper that a printer
/// reaches.
fn check_drawn(bytes: &[u8], [width, height]: [f64; 2]) {
    for (number, page) in reader::corners(bytes).iter().enumerate() {
        assert!(!page.is_empty(), "page {}: nothing is drawn", number + 1);
        for [x, y] in page {
            let inside = *x >= MARGIN - 1.0
                && *x <= width - MARGIN + 1.0
                && *y >= MARGIN - 1.0
                && *y <= height - MARGIN + 1.0;
            assert!(inside, "page {}: drawn at {x}, {y}", number + 1);
        }
    }
}

/// All that is asked of every PDF of sheets.
fn check_laid_out(sheets: &Sheets, paper: Paper, size: [f64; 2]) -> Vec<Vec<Run>> {
    let bytes = pdf(sheets, paper).unwrap();
    structure::check(&bytes);
    let pages = runs(&bytes);
    check_pages(&pages, size);
    check_no_overlap(&pages);
    check_drawn(&bytes, size);
    check_numbers(&pages);
    check_run_sheets_end(&pages);
    pages
}

/// A run sheet that goes on to another page does not end there with a row or two.
fn check_run_sheets_end(pages: &[Vec<Run>]) {
    for page in pages {
        let begins = page.iter().any(|run| run.text.starts_with("Every step"));
        if !begins && page.iter().any(|run| run.text == "step") {
            let time = |text: &str| {
                let whole =
                    |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
                text.split_once(':').is_some_and(|(hours, rest)| whole(hours) && whole(rest))
            };
            // From when and to when stand on one line; a step of no length has its start alone.
            let mut lines: Vec<f64> =
                page.iter().filter(|run| time(&run.text)).map(|run| run.y).collect();
            lines.dedup_by(|one, next| (*one - *next).abs() < 1.0);
            let rows = lines.len();
            assert!(rows >= 5, "{rows} steps on the last page: {page:?}");
        }
    }
}

/// Each page says which of its sheet it is, and which of all.
fn check_numbers(pages: &[Vec<Run>]) {
    let found = |page: &[Run], words: &str| page.iter().any(|run| run.text == words);
    let of_sheet: Vec<(String, usize, usize)> = pages
        .iter()
        .enumerate()
        .map(|(at, page)| {
            let all = format!("page {} of {}", at + 1, pages.len());
            assert!(found(page, &all), "{all}");
            let own = page.iter().rfind(|run| {
                ["mixing sheet ", "buying list ", "labels ", "client approval "]
                    .iter()
                    .any(|sheet| run.text.starts_with(sheet))
            });
            let words: Vec<&str> = own.unwrap().text.rsplitn(4, ' ').collect();
            (words[3].to_owned(), words[2].parse().unwrap(), words[0].parse().unwrap())
        })
        .collect();
    for (at, (sheet, number, count)) in of_sheet.iter().enumerate() {
        let own = of_sheet.iter().filter(|other| other.0 == *sheet).count();
        let before = of_sheet[..at].iter().filter(|other| other.0 == *sheet).count();
        assert_eq!((*number, *count), (before + 1, own), "{sheet}");
    }
}

/// No two lines of text lie over one another.
fn check_no_overlap(pages: &[Vec<Run>]) {
    for (number, page) in pages.iter().enumerate() {
        for (at, one) in page.iter().enumerate() {
            for other in &page[at + 1..] {
                let across = one.right.min(other.right) - one.x.max(other.x);
                let top = |run: &Run| run.y + 0.70 * run.size;
                let up = top(one).min(top(other)) - one.y.max(other.y);
                assert!(
                    across < 0.5
                        || up < 0.5
                        || one.text.trim().is_empty()
                        || other.text.trim().is_empty(),
                    "page {}: {one:?} over {other:?}",
                    number + 1
                );
            }
        }
    }
}

/// How the headings of sections begin.
const SECTIONS: [&str; 14] = [
    "First, let down",
    "What was tried",
    "Mix",
    "Clock",
    "Pour",
    "After the pour",
    "Every step",
    "Cautions in full",
    "To buy",
    "The job's other ways",
    "To coat",
    "Colours",
    "Care",
    "Approved",
];

/// White round the page, pt.
const MARGIN: f64 = 25.0;

const PAPERS: [(Paper, [f64; 2]); 2] =
    [(Paper::Letter, [612.0, 792.0]), (Paper::A4, [595.276, 841.89])];

#[test]
fn every_demo_job_is_printed_whole_on_both_papers_in_both_units() {
    for job in DEMO_JOBS {
        for units in [Units::Us, Units::Metric] {
            let (plan, sheets) = demo(job, units, None);
            for (paper, size) in PAPERS {
                check_weights(&plan, &sheets, paper);
                let pages = check_laid_out(&sheets, paper, size);
                check_first_page(&plan, &sheets, &pages[0]);
                check_all_work_is_on(&plan, &pages[0]);
                check_last_page_is_worth_its_paper(&pages);
            }
        }
    }
}

/// The first page says whose it is and what to heed, and holds all that is weighed into mixes.
fn check_first_page(plan: &Plan, sheets: &Sheets, page: &[Run]) {
    let text: String = page.iter().map(|run| format!("{} ", run.text)).collect();
    let head = &sheets.head;
    for words in [&head.job, &head.colourway, &head.film, &head.fingerprint, &head.revision] {
        assert!(text.contains(words.as_str()), "{words}: {text}");
    }
    for blank in ["Date and crew", "Room", "Resin A and B", "Surface", "Humidity", "B met A at"] {
        assert!(text.contains(blank), "{blank}: {text}");
    }
    for caution in &plan.cautions {
        assert!(text.contains(&caution.brief), "{}: {text}", caution.brief);
    }
    let weighed: Vec<f64> = grams_on(page);
    let planned = grams_of_plan(&plan_json(plan));
    let layers: usize = plan.small_batches.iter().map(|batch| batch.layers.len()).sum();
    let mixes = &planned[..planned.len() - 2 * layers];
    check_same(&weighed[..mixes.len()], mixes);
}

/// From the first weight to the last drip: one page above the bench.
fn check_all_work_is_on(plan: &Plan, page: &[Run]) {
    check_same(&grams_on(page), &grams_of_plan(&plan_json(plan)));
    let has = |words: &str| page.iter().any(|run| run.text == words);
    let clocks = &plan.time.as_ref().unwrap().clocks;
    // How long each is good for, from the shortest on, and its estimate beside.
    let is_life = |run: &&Run| {
        let ends = run.text.split_once('–').map(|(least, most)| [least, most].map(str::parse));
        matches!(ends, Some([Ok(least), Ok(most)]) if 0_u32 < least && least < most)
    };
    let lives = page.iter().filter(|run| run.size > 10.0 && is_life(run)).count();
    assert_eq!(lives, clocks.len(), "a clock for each mix");
    let misted = plan.cautions.iter().any(|caution| caution.text.contains("misted"));
    for words in ["mist", "mist again"].iter().filter(|_| misted) {
        assert!(has(words), "{words}");
    }
    for words in ["scrape drips 1", "scrape drips 2", "scrape drips 3"] {
        assert!(has(words), "{words}");
    }
}

/// The mixing sheet does not end with a page of a few lines.
fn check_last_page_is_worth_its_paper(pages: &[Vec<Run>]) {
    let of_mixing = |page: &&Vec<Run>| page.iter().any(|run| run.text.starts_with("mixing sheet "));
    let last = pages.iter().rfind(of_mixing).unwrap();
    assert!(last.len() > 20, "{last:?}");
}

#[test]
fn the_first_page_is_the_mixing_sheet_and_each_sheet_is_there() {
    let (plan, sheets) = demo("galley-kitchen", Units::Us, None);
    let pages = runs(&pdf(&sheets, Paper::Letter).unwrap());
    assert_eq!(pages[0][0].text, "Mixing sheet");
    let all: Vec<String> = pages.iter().flatten().map(|run| run.text.clone()).collect();
    for title in ["Mixing sheet", "Buying list", "Labels", "Client approval"] {
        assert_eq!(all.iter().filter(|text| *text == title).count(), 1, "{title}");
    }
    let number = plan.containers.as_ref().unwrap().number();
    let of_all = format!(" of {number}");
    let is_label = |text: &&String| text.starts_with("container ") && text.ends_with(&of_all);
    let labels = all.iter().filter(is_label).count();
    assert_eq!(labels, number as usize, "a label each");
    // What must come before anything else stands under every page.
    let feet = all.iter().filter(|text| text.contains("safety data")).count();
    assert!(feet >= pages.len(), "{feet} of {} pages", pages.len());
}

#[test]
fn the_same_plan_and_day_give_the_same_bytes_and_another_day_other_ones() {
    let (_, sheets) = demo("round-table", Units::Metric, None);
    let once = pdf(&sheets, Paper::A4).unwrap();
    assert_eq!(once, pdf(&sheets, Paper::A4).unwrap());
    let mut other = sheets;
    other.head.day = Some(Day { day: 15, ..DAY });
    assert_ne!(once, pdf(&other, Paper::A4).unwrap());
    other.head.day = None;
    assert!(!pdf(&other, Paper::A4).unwrap().is_empty(), "without a day as well");
}

#[test]
fn the_revision_changes_with_a_weight_and_with_nothing_else() {
    let (_, us) = demo("round-table", Units::Us, None);
    let (mut plan, metric) = demo("round-table", Units::Metric, None);
    assert_eq!(us.head.revision, metric.head.revision, "units are no change");
    let part_a = &mut plan.bases[0].mixes[0].part_a;
    part_a.mass += part_a.readability;
    assert_ne!(bare_sheets(&plan).head.revision, us.head.revision);
}

#[test]
fn the_pdf_is_tagged_archival_and_says_its_language_and_colours() {
    let picture = Raster::filled(300, 200, 150, pourbook::colour::Srgb8 { r: 90, g: 120, b: 130 });
    let board = BoardShown { picture, shows: "a board".to_owned() };
    let (_, sheets) = demo("sample-board", Units::Us, Some(&board));
    let facts = reader::facts(&pdf(&sheets, Paper::Letter).unwrap());
    assert!(facts.marked, "tagged");
    assert_eq!(facts.language.as_deref(), Some("en-GB"));
    assert!(facts.structure["Table"] > 3, "{:?}", facts.structure);
    assert!(facts.structure["TH"] > 10, "{:?}", facts.structure);
    assert!(facts.structure["Figure"] > 3, "{:?}", facts.structure);
    assert_eq!(facts.structure["H1"], 4, "{:?}", facts.structure);
    assert_eq!(facts.images, ["ICCBased"], "the board's picture says what its colours mean");
    assert!(!facts.device_colours, "no colour without a meaning");
    assert!(facts.metadata.contains("pdfuaid") && facts.metadata.contains("pdfaid"));
}

/// The client reads what the picture is of, and the page holds the signature too.
#[test]
fn the_approval_says_what_its_picture_shows_and_fits_one_page() {
    let picture = Raster::filled(600, 600, 200, pourbook::colour::Srgb8 { r: 90, g: 120, b: 130 });
    let board = BoardShown { picture, shows: "a board of slate ".repeat(6).trim().to_owned() };
    let (_, with) = demo("galley-kitchen", Units::Us, Some(&board));
    assert!(html(&with).contains("a board of slate; not the whole job."));
    for (paper, size) in PAPERS {
        let pages = check_laid_out(&with, paper, size);
        let last: Vec<&str> = pages.last().unwrap().iter().map(|run| run.text.as_str()).collect();
        for words in ["Client approval", "The picture shows a board of slate", "Client, date"] {
            assert!(last.iter().any(|text| text.contains(words)), "{words}: {last:?}");
        }
    }
    let (_, without) = demo("galley-kitchen", Units::Us, None);
    let told = "a colour is not known. The board itself is to be shown.";
    assert!(html(&without).contains(told), "why there is none");
    let pages = runs(&pdf(&without, Paper::A4).unwrap());
    assert!(pages.last().unwrap().iter().any(|run| run.text.contains(told)));
}

#[test]
fn many_containers_are_printed_whole_on_both_papers_in_both_units() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes");
    let opened = pourbook::store::open(&folder).unwrap();
    for (colourway, area) in [("Kelp and Oyster", "46 ft2"), ("Estuary at Dusk", "90 ft2")] {
        let extent = Extent::Area(area.parse().unwrap());
        let plan = acts::plan(&opened, &PlanAsk { colourway: Some(colourway.into()), extent });
        let plan = plan.unwrap();
        assert!(plan.containers.as_ref().unwrap().number() >= 40, "{colourway}");
        for units in [Units::Us, Units::Metric] {
            let made = SheetsFor {
                units,
                day: None,
                recipe_on_approval: false,
                board: Err("none was asked for"),
            };
            let sheets = acts::sheets(&opened, &plan, made).unwrap();
            for (paper, size) in PAPERS {
                check_weights(&plan, &sheets, paper);
                let pages = check_laid_out(&sheets, paper, size);
                let first: Vec<&str> = pages[0].iter().map(|run| run.text.as_str()).collect();
                for caution in &plan.cautions {
                    let mark = format!("{} ", caution.topic.word());
                    assert!(first.iter().any(|text| text.starts_with(&mark)), "{mark}: {first:?}");
                }
            }
        }
    }
}

/// A bar that hands as slow as in the test below cannot pour in August, whatever is tried.
const LATE: &str = r#"(
    version: 1, name: "late bar", colourway: "Estuary at Dusk",
    counters: { "bar": (shape: Rectangle("14 ft", "30 in"), edges: [(length: "20 ft", face: "2 in")]) },
    crew: 1, temperature: "95 °F", room: "95 m3",
)"#;

/// On the first page stands that it cannot be poured, and what is weighed; what was tried comes later.
#[test]
fn a_job_that_nothing_brings_in_time_says_so_first_and_what_was_tried_later() {
    let bench = Bench::demo();
    bench.put("jobs/late.ron", LATE);
    bench.change(
        "house.ron",
        "fill: \"80 %\",",
        "fill: \"80 %\", durations: { \"pour\": \"15 min\" },",
    );
    let opened = pourbook::store::open(&bench.path("shop")).unwrap();
    let ask = PlanAsk { colourway: None, extent: Extent::Job("late bar".to_owned()) };
    let plan = acts::plan(&opened, &ask).unwrap();
    let remedies = plan.remedies.tried.len();
    assert!(remedies > 5);
    let made = SheetsFor {
        units: Units::Us,
        day: Some(DAY),
        recipe_on_approval: false,
        board: Err("none was asked for"),
    };
    let sheets = acts::sheets(&opened, &plan, made).unwrap();
    for (paper, size) in PAPERS {
        check_weights(&plan, &sheets, paper);
        let pages = check_laid_out(&sheets, paper, size);
        let tried = |page: &[Run]| page.iter().filter(|run| run.text.starts_with("tried")).count();
        let first: String = pages[0].iter().map(|run| format!("{} ", run.text)).collect();
        let verdict =
            format!("none of the {} plans that were tried is enough", plan.remedies.plans);
        assert!(first.contains("STOP") && first.contains(&verdict), "{first}");
        assert_eq!(tried(&pages[0]), 0);
        let later = pages.iter().find(|page| page.iter().any(|run| run.text == "What was tried"));
        assert_eq!(tried(later.unwrap()), remedies, "all on one page");
    }
}

/// A further page says whose it is as wholly as the first.
#[test]
fn a_continued_page_names_its_job_whole() {
    let (plan, sheets) = demo("curved-bar", Units::Us, None);
    let pages = runs(&pdf(&sheets, Paper::Letter).unwrap());
    let second: Vec<&str> = pages[1].iter().map(|run| run.text.as_str()).collect();
    assert_eq!(second[0], "Mixing sheet, continued");
    assert!(second[1].contains(&sheets.head.revision), "{second:?}");
    assert_eq!(second[2], format!("{} for {}", plan.colourway, plan.job));
}

/// A weight that its scale cannot show well enough is told beside it, on paper and on the page.
#[test]
fn a_weight_below_its_scale_s_minimum_is_flagged() {
    let (mut plan, sheets) = demo("galley-kitchen", Units::Us, None);
    assert!(!html(&sheets).contains("BELOW its minimum"), "every weight is well weighed");
    let part_b = &mut plan.bases[1].mixes[0].part_b;
    // A tolerance so narrow that the scale's minimum is twice the weight.
    let share = part_b.minimum() / (part_b.mass + part_b.mass);
    part_b.tolerance = Fraction::new(part_b.tolerance.value() * share);
    let sheets = bare_sheets(&plan);
    assert!(
        html(&sheets).contains("BELOW its minimum of 1596 g, a finer scale is better; wanted 798.")
    );
    for (paper, size) in PAPERS {
        let pages = check_laid_out(&sheets, paper, size);
        assert!(pages[0].iter().any(|run| run.text.contains("BELOW its minimum")), "{paper:?}");
    }
}

#[test]
fn long_names_and_strange_letters_are_printed() {
    let (mut plan, _) = demo("galley-kitchen", Units::Us, None);
    plan.job = "An exceedingly long name of a job in a boathouse café on a tidal river, third floor, second door, the counter by the slipway where the ferry lands 石 слой".to_owned();
    plan.colourway = "Tidewater".repeat(12);
    for base in &mut plan.bases {
        base.name = format!("{} {}", base.name, "longwordwithoutanybreak".repeat(3));
        for dose in base.mixes.iter_mut().flat_map(|mix| &mut mix.doses) {
            dose.colorant =
                format!("{} of a most particular provenance, second lot", dose.colorant);
        }
    }
    for batch in &mut plan.small_batches {
        batch.name = "w".repeat(90);
    }
    let sheets = bare_sheets(&plan);
    for (paper, size) in PAPERS {
        check_weights(&plan, &sheets, paper);
        for page in check_laid_out(&sheets, paper, size) {
            let text: String = page.iter().map(|run| format!("{} ", run.text)).collect();
            for words in ["An exceedingly long name", "by the slipway where the ferry lands"] {
                assert!(text.contains(words), "the whole name on every page: {text}");
            }
        }
    }
}

/// Names that the PDF's font has no letters for are told when it is written, and none is taken for another on paper.
#[test]
fn names_without_letters_in_the_font_are_told_and_stay_apart() {
    let bench = Bench::demo();
    let path = "colourways/tidewater-slate.ron";
    let text = std::fs::read_to_string(bench.path("shop").join(path)).unwrap();
    let text = text.replace("\"slate\"", "\"石板\"").replace("\"fog\"", "\"石灰\"");
    bench.put(path, text);
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop", "--pdf", "a.pdf"];
    let ran = bench.run(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let told = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("caution: the PDF has no letters for all of"), "{told}");
    assert!(told.contains("\"石板\"") && told.contains("\"石灰\""), "{told}");
    assert!(told.contains("the page of --html shows them"), "{told}");
    let pages = runs(&std::fs::read(bench.path("a.pdf")).unwrap());
    let all: Vec<&str> = pages.iter().flatten().map(|run| run.text.as_str()).collect();
    for name in ["[U+77F3 677F]", "[U+77F3 7070]"] {
        assert!(all.contains(&name), "{name}: {all:?}");
    }
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop", "--html", "a.html"]);
    assert!(!ran.err.contains("no letters"), "{}", ran.err);
    assert!(std::fs::read_to_string(bench.path("a.html")).unwrap().contains("石灰"));
}

/// Cards with their table in two columns, and a table folded in its middle, at every height about that of a
/// page: a heading stands over them, and its room is not theirs.
#[test]
fn what_stands_in_two_columns_leaves_room_for_its_heading() {
    let (_, mut sheets) = demo("sample-board", Units::Metric, None);
    let column = |title: &str, side| Heading { title: title.to_owned(), side };
    let table = |rows: usize| Table {
        columns: vec![column("what", Side::Left), column("weigh", Side::Right)],
        rows: vec![vec![Cell::words("part A"), Cell::weight("100 g", true)]; rows],
    };
    let card = |notes: usize| Card {
        title: "1. slate".to_owned(),
        words: "1 mix".to_owned(),
        colour: None,
        container: None,
        table: table(12),
        ticks: None,
        notes: vec!["Mix 1 fills what it fills.".to_owned(); notes],
    };
    sheets.sheets.truncate(1);
    for notes in 36..50 {
        let cards = vec![card(notes), card(1)];
        let title = "Clock".to_owned();
        sheets.sheets[0].blocks = vec![
            Block::Heading("Mix, lightest to darkest".to_owned()),
            Block::CardsAndTable { cards, title, table: table(1) },
            Block::Heading("Pour".to_owned()),
            Block::CardsAndTable {
                cards: vec![card(1)],
                title: "Clock".to_owned(),
                table: table(2 * notes),
            },
        ];
        for (paper, size) in PAPERS {
            let pages = runs(&pdf(&sheets, paper).unwrap());
            check_pages(&pages, size);
            check_no_overlap(&pages);
        }
    }
}

#[test]
fn the_page_for_a_browser_says_the_same_and_fetches_nothing() {
    for job in DEMO_JOBS {
        let (plan, sheets) = demo(job, Units::Us, None);
        let page = html(&sheets);
        for far in ["http:", "https:", "src=\"/", "url(", "<script", "<link"] {
            assert!(!page.contains(far), "{far}");
        }
        let grams: Vec<f64> = page
            .match_indices("<td class=\"figure weight\">")
            .flat_map(|(at, tag)| {
                let cell = page[at + tag.len()..].split("</td>").next().unwrap();
                let parts = cell.split("<small>shows</small>");
                parts.map(|part| {
                    let part = part.trim_start().trim_start_matches("<strong>");
                    part.trim_start_matches('−').split(" g").next().unwrap().parse().unwrap()
                })
            })
            .collect();
        let planned = grams_of_plan(&plan_json(&plan));
        assert_eq!(grams.len(), planned.len(), "{job}");
        for (shown, planned) in grams.iter().zip(&planned) {
            assert!((shown - planned).abs() < 1e-6, "{job}: {shown} {planned}");
        }
    }
}

/// Every opened element is closed, in order: what a reader of XML would insist on.
#[test]
fn the_page_for_a_browser_is_well_formed() {
    let (_, sheets) = demo("galley-kitchen", Units::Us, None);
    let page = html(&sheets);
    let empty = ["!DOCTYPE", "meta", "input", "img", "polygon", "rect", "polyline"];
    let mut open: Vec<String> = Vec::new();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let body =
        page.split("<style>").next().unwrap().to_owned() + page.split("</style>").nth(1).unwrap();
    for (at, _) in body.match_indices('<') {
        let tag = body[at + 1..].split('>').next().unwrap();
        let name: String =
            tag.trim_start_matches('/').chars().take_while(|c| !c.is_whitespace()).collect();
        let name = name.trim_end_matches('/').to_owned();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closed in order");
        } else if !empty.contains(&name.as_str()) {
            *counts.entry(name.clone()).or_default() += 1;
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
    assert_eq!(counts["h1"], 4);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn the_weights_on_paper_are_those_of_the_plan(case in cases(false), a4 in any::<bool>()) {
        let Ok(plan) = case.plan() else { return Ok(()) };
        let sheets = bare_sheets(&plan);
        let (paper, size) = PAPERS[usize::from(a4)];
        check_weights(&plan, &sheets, paper);
        check_laid_out(&sheets, paper, size);
    }
}
