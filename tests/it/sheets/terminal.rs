//! The same sheets in a terminal.

use pourbook::quantity::Units;
use pourbook::report::pdf::{Paper, pdf};
use pourbook::report::sheet::Kind;
use pourbook::report::sheet_text::sheet_text;
use pourbook::report::{Paint, WIDTH};

use super::reader::runs;
use super::{DAY, DEMO_JOBS, demo};
use crate::program::Bench;

#[test]
fn labels_and_approval_read_as_approved() {
    for job in ["sample-board", "galley-kitchen"] {
        let (_, sheets) = demo(job, Units::Us, None);
        for (kind, name) in [(Kind::Labels, "labels"), (Kind::Approval, "approval")] {
            let sheet = sheets.sheets.iter().find(|sheet| sheet.kind == kind).unwrap();
            insta::assert_snapshot!(
                format!("{job}-{name}"),
                sheet_text(&sheets, sheet, Paint::None)
            );
        }
    }
}

#[test]
fn a_mixing_sheet_and_a_buying_list_read_as_approved() {
    let (_, sheets) = demo("round-table", Units::Metric, None);
    for (at, name) in ["mixing", "buying"].into_iter().enumerate() {
        let text = sheet_text(&sheets, &sheets.sheets[at], Paint::None);
        insta::assert_snapshot!(format!("round-table-{name}"), text);
    }
}

/// Every figure with a unit that stands on the paper stands in the terminal too, and no line is too long.
#[test]
fn a_terminal_shows_what_the_paper_does() {
    for job in DEMO_JOBS {
        for units in [Units::Us, Units::Metric] {
            let (_, sheets) = demo(job, units, None);
            let texts: Vec<String> =
                sheets.sheets.iter().map(|sheet| sheet_text(&sheets, sheet, Paint::None)).collect();
            for line in texts.iter().flat_map(|text| text.lines()) {
                assert!(textwrap::core::display_width(line) <= WIDTH, "{line}");
            }
            let all = texts.concat();
            for run in runs(&pdf(&sheets, Paper::A4).unwrap()).iter().flatten() {
                let weight = run.size >= 14.0 && run.text.ends_with(" g");
                assert!(!weight || all.contains(&run.text), "{}", run.text);
            }
        }
    }
}

#[test]
fn the_program_shows_the_sheets_that_are_asked_for_in_their_order() {
    let bench = Bench::demo();
    let day = DAY.to_string();
    let mut words = vec!["plan", "--job", "round-table", "--shop", "shop", "--date", &day];
    words.extend(["--sheet", "labels", "--sheet", "approval"]);
    let ran = bench.run(&words);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{ran:?}");
    let [labels, approval] = ["Labels: Kelp and Oyster", "Client approval: Kelp and Oyster"]
        .map(|title| ran.out.find(title).unwrap());
    assert!(labels < approval && !ran.out.contains("TO COAT"), "{}", ran.out);
    assert!(ran.out.contains("  Client, date  "), "{}", ran.out);
    words.push("--json");
    let refused = bench.run(&words);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{refused:?}");
}

/// What a client signs names colours, shares and looks; what they are made of only if the shop asks.
#[test]
fn a_recipe_stands_on_the_approval_only_if_asked_for() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop", "--sheet", "approval"];
    let kept = bench.run(&words);
    let told = bench.run(&[&words[..], &["--recipe-on-approval"]].concat());
    for text in [&kept.out, &told.out] {
        assert!(text.contains("fog (base)") && text.contains("43.3 % of the pour"), "{text}");
        assert!(text.contains("tones mixed of them"), "{text}");
    }
    for made_of in ["titanium white", "ultramarine", "2.8 %", "carbon black"] {
        assert!(!kept.out.contains(made_of), "{made_of}: {}", kept.out);
        assert!(told.out.contains(made_of), "{made_of}: {}", told.out);
    }
}
