//! The program as a person runs it: exit codes, answers, refusals, and that nothing is left half
//! written.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;
use tempfile::TempDir;

use crate::small_shop::{BLACK, COLOURWAY, HOUSE, INK, JOB, SYSTEM, WHITE, changed};

/// A folder of its own with the program to be run in it.
pub(crate) struct Bench {
    folder: TempDir,
}

/// What a run has left behind.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Bench {
    /// With the small shop in `shop`.
    pub(crate) fn small() -> Self {
        let bench = Self { folder: TempDir::new().unwrap() };
        for (path, text) in [
            ("house.ron", HOUSE),
            ("systems/flood.ron", SYSTEM),
            ("colorants/black.ron", BLACK),
            ("colorants/white.ron", WHITE),
            ("colorants/ink.ron", INK),
            ("colourways/slate.ron", COLOURWAY),
            ("jobs/galley.ron", JOB),
        ] {
            bench.put(path, text);
        }
        bench
    }

    /// With the demo in `shop`.
    pub(crate) fn demo() -> Self {
        let bench = Self { folder: TempDir::new().unwrap() };
        let ran = bench.run(&["start", "shop"]);
        assert_eq!(ran.code, 0, "{ran:?}");
        bench
    }

    pub(crate) fn path(&self, path: &str) -> std::path::PathBuf {
        self.folder.path().join(path)
    }

    /// Puts a file into the shop.
    pub(crate) fn put(&self, path: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path("shop").join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    /// Changes one stretch of a file of the shop.
    pub(crate) fn change(&self, path: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.path("shop").join(path)).unwrap();
        self.put(path, changed(&text, from, to));
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pourbook"));
        command.args(words).current_dir(self.folder.path()).env_remove("NO_COLOR");
        command
    }

    pub(crate) fn run(&self, words: &[&str]) -> Ran {
        self.run_in(".", words)
    }

    /// Runs it in a folder of the bench.
    pub(crate) fn run_in(&self, folder: &str, words: &[&str]) -> Ran {
        let output = self.command(words).current_dir(self.path(folder)).output().unwrap();
        let text = |bytes: Vec<u8>| {
            let text = String::from_utf8(bytes).expect("the program speaks UTF-8");
            text.replace(&self.folder.path().display().to_string(), "HERE")
        };
        let ran = Ran {
            code: output.status.code().expect("the program ends by itself"),
            out: text(output.stdout),
            err: text(output.stderr),
        };
        assert!(!ran.err.contains("panicked"), "{}", ran.err);
        ran
    }

    /// The demo's kitchen as planned in metric units, with more words of the command: its text as one line, since a column
    /// may break it anywhere.
    pub(crate) fn kitchen_text(&self, more: &[&str]) -> String {
        let ran = self.run(&[&KITCHEN[..], more].concat());
        assert!(ran.code < 2, "{ran:?}");
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The same as JSON.
    pub(crate) fn kitchen_json(&self) -> serde_json::Value {
        let ran = self.run(&[&KITCHEN[..], &["--json"]].concat());
        serde_json::from_str(&ran.out).unwrap()
    }

    /// Runs `plan` for the small shop's job, to be saved.
    fn plan(&self) -> Ran {
        self.run(&["plan", "--job", "galley", "--shop", "shop", "--save", "saved"])
    }

    fn saved(&self) -> bool {
        self.path("saved").exists()
    }
}

/// Columns that a line takes on a terminal.
fn columns(line: &str) -> usize {
    textwrap::core::display_width(line)
}

const KITCHEN: [&str; 7] =
    ["plan", "--job", "galley-kitchen", "--shop", "shop", "--units", "metric"];

const DEMO_JOBS: [&str; 4] = ["sample-board", "galley-kitchen", "curved-bar", "round-table"];

#[test]
fn alone_it_is_helpful() {
    let bench = Bench::small();
    let ran = bench.run(&[]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    for word in ["start", "check", "plan", "swatch", "pourbook start my-shop", "Exit code"] {
        assert!(ran.out.contains(word), "no {word:?} in {}", ran.out);
    }
}

#[test]
fn every_demo_job_is_planned_no_wider_than_a_terminal() {
    let bench = Bench::demo();
    assert_eq!(bench.run(&["check", "--shop", "shop"]).code, 0);
    for job in DEMO_JOBS {
        for units in ["us", "metric"] {
            let ran = bench.run(&["plan", "--job", job, "--units", units, "--shop", "shop"]);
            assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{job}");
            for line in ran.out.lines() {
                assert!(columns(line) <= 100, "{} columns: {line}", columns(line));
                assert_eq!(line, line.trim_end(), "blanks at the end of a line");
            }
            assert!(!ran.out.contains('\u{1b}'), "no paint off a terminal");
        }
    }
}

/// Every key below a value, but for those of objects whose keys are names.
fn keys(value: &Value, under: &str, all: &mut Vec<String>) {
    match value {
        Value::Object(inside) => {
            let names = ["issued_g", "poured_g", "run_off_g", "cling_g", "left_g"];
            for (key, value) in inside {
                if !names.contains(&under) {
                    all.push(key.clone());
                }
                keys(value, key, all);
            }
        }
        Value::Array(list) => list.iter().for_each(|value| keys(value, under, all)),
        _ => {}
    }
}

#[test]
fn the_plan_as_json_holds_only_keys_that_are_documented() {
    let page = include_str!("../../book/src/plan-json.md");
    let bench = Bench::demo();
    let mut all = Vec::new();
    for job in DEMO_JOBS {
        let ran = bench.run(&["plan", "--job", job, "--json", "--shop", "shop"]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{job}");
        let plan: Value = serde_json::from_str(&ran.out).expect("JSON");
        assert_eq!(plan["schema"], "pourbook.plan");
        assert!(plan["version"].is_u64(), "a version");
        keys(&plan, "", &mut all);
    }
    // A let-down and a shared cup: no scale finer than 1 g. Then a mix that cannot be poured in time.
    let small = Bench::small();
    let ran = small.run(&["plan", "--job", "galley", "--json", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    keys(&serde_json::from_str(&ran.out).unwrap(), "", &mut all);
    let late = bench.run(&["plan", "mooring-rope", "--kit", "3gal", "--json", "--shop", "shop"]);
    assert_eq!(late.code, 1, "{}", late.err);
    keys(&serde_json::from_str(&late.out).unwrap(), "", &mut all);
    all.sort();
    all.dedup();
    assert!(all.len() > 80, "{} keys", all.len());
    let missing: Vec<_> = all.iter().filter(|key| !page.contains(&format!("`{key}`"))).collect();
    assert!(missing.is_empty(), "not in the book's page: {missing:#?}");
}

#[test]
fn answers_as_json_can_be_read() {
    let bench = Bench::demo();
    for (words, schema) in [
        (vec!["check"], "pourbook.check"),
        (vec!["swatch", "Tidewater Slate", "--to", "chips"], "pourbook.swatch"),
        (vec!["plan", "Tidewater Slate", "--board", "600x600mm"], "pourbook.plan"),
    ] {
        let ran = bench.run(&[&words[..], &["--json", "--shop", "shop"]].concat());
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
        assert_eq!(answer["schema"], schema);
    }
    let ran = bench.run(&["start", "second", "--empty", "--json"]);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(answer["schema"], "pourbook.start");
    let small = Bench::small();
    small.change("colourways/slate.ron", "\"1.4 %\"", "\"9 %\"");
    let ran = small.run(&["check", "--json", "--shop", "shop"]);
    assert_eq!(ran.code, 1);
    let answer: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert!(answer["found"].as_array().unwrap().iter().any(|one| one["severity"] == "refused"));
}

#[test]
fn a_plan_is_saved_whole() {
    let bench = Bench::small();
    let ran = bench.plan();
    assert_eq!(ran.code, 0, "{ran:?}");
    // The small shop's white and ink have no optical data, so neither a board nor their chips can be drawn; that is all
    // there is to tell.
    let told = ran.err.lines().filter(|line| line.starts_with("caution: ")).count();
    assert!(
        told == 2
            && ran.err.contains("no picture of a sample board, and pour.png is left out")
            && ran.err.contains("left out: the chips of base fog and accent ink"),
        "{}",
        ran.err
    );
    let json = fs::read_to_string(bench.path("saved/plan.json")).unwrap();
    assert!(serde_json::from_str::<Value>(&json).is_ok());
    let text = fs::read_to_string(bench.path("saved/plan.txt")).unwrap();
    assert!(ran.out.starts_with(&text), "the same text is printed");
    assert!(bench.path("saved/overview.png").exists());
    let hidden = fs::read_dir(bench.path("saved"))
        .unwrap()
        .filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().starts_with('.'));
    assert_eq!(hidden.count(), 0, "nothing half written is left");
}

/// A file of the small shop and one stretch of it changed.
type Slip<'a> = (&'a str, &'a str, &'a str);

const SLIPS: [Slip<'_>; 16] = [
    ("systems/flood.ron", "\"1.15 g/mL\"", "\"NaN g/mL\""),
    ("systems/flood.ron", "eew: 190", "eew: NaN"),
    ("systems/flood.ron", "ahew: 95", "ahew: inf"),
    ("systems/flood.ron", "ByVolume(2, 1)", "ByVolume(2, -1)"),
    ("systems/flood.ron", "(\"1.5 mm\", \"6 mm\")", "(\"0 mm\", \"6 mm\")"),
    ("systems/flood.ron", "\"220 USD\"", "\"220 EUR\""),
    ("colorants/black.ron", "\"9.50 USD\"", "\"9.50 GBP\""),
    ("colorants/ink.ron", "\"10 %\"", "\"-10 %\""),
    ("colorants/black.ron", "k: 40", "k: -40"),
    ("colourways/slate.ron", "film: \"3 mm\"", "film: \"inf mm\""),
    (
        "colourways/slate.ron",
        "\"iron oxide black paste\": \"1.4 %\"",
        "\"iron oxide blak paste\": \"1.4 %\"",
    ),
    ("colourways/slate.ron", "share: 0.55", "share: 0.75"),
    ("colourways/slate.ron", "Base(\"slate\", 60)", "Base(\"slate\", 0)"),
    (
        "jobs/galley.ron",
        "(\"40 in\", \"0 in\"), (\"40 in\", \"30 in\")",
        "(\"40 in\", \"30 in\"), (\"40 in\", \"0 in\"), (\"0 in\", \"30 in\")",
    ),
    ("jobs/galley.ron", "at: (\"36 in\", \"3 1/2 in\")", "at: (\"36 in\", \"13 1/2 in\")"),
    ("jobs/galley.ron", "\"5 %\"", "\"NaN %\""),
];

#[test]
fn bad_input_is_told_and_nothing_is_written() {
    let mut told = String::new();
    for (file, from, to) in SLIPS {
        let bench = Bench::small();
        bench.change(file, from, to);
        let ran = bench.plan();
        told += &format!("## {file}: {to}\n{}\n", ran.err);
        assert_eq!(ran.code, 2, "{to}: {ran:?}");
        assert!(!bench.saved(), "{to}: something was saved");
        assert_eq!(ran.out, "", "{to}: no answer beside a mistake");
        // `check` finds it as well.
        assert_eq!(bench.run(&["check", "--shop", "shop"]).code, 2, "{to}");
    }
    insta::assert_snapshot!(told);
}

#[test]
fn files_that_cannot_be_read_are_told_and_nothing_is_written() {
    let accented = SYSTEM.replace("clear flood 2:1", "cl\u{e9}ar");
    let latin = accented.chars().map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'));
    let texts: [(&str, Vec<u8>); 6] = [
        ("binary", (0..=255_u8).cycle().take(5000).collect()),
        ("Latin-1", latin.collect()),
        ("deeply nested", "(".repeat(100_000).into_bytes()),
        ("nested in a field", format!("(version: 1, name: {}", "[".repeat(50_000)).into_bytes()),
        ("truncated", SYSTEM[..SYSTEM.len() / 2].into()),
        ("empty", Vec::new()),
    ];
    let mut told = String::new();
    for (what, bytes) in texts {
        let bench = Bench::small();
        bench.put("systems/flood.ron", bytes);
        let ran = bench.plan();
        told += &format!("## {what}\n{}\n", ran.err);
        assert_eq!((ran.code, bench.saved()), (2, false), "{what}: {ran:?}");
    }
    // One hundred megabytes, of which the disk holds nothing.
    let bench = Bench::small();
    let huge = fs::File::create(bench.path("shop/systems/flood.ron")).unwrap();
    huge.set_len(100 << 20).unwrap();
    let ran = bench.plan();
    told += &format!("## 100 MB\n{}\n", ran.err);
    assert_eq!((ran.code, bench.saved()), (2, false), "{ran:?}");
    // Missing: the system's file, the whole shop, the job.
    let bench = Bench::small();
    fs::remove_file(bench.path("shop/systems/flood.ron")).unwrap();
    let ran = bench.plan();
    told += &format!("## the system's file is missing\n{}\n", ran.err);
    assert_eq!((ran.code, bench.saved()), (2, false), "{ran:?}");
    for words in [
        ["plan", "--job", "galley", "--shop", "nowhere"],
        ["plan", "--job", "gallery", "--shop", "shop"],
        ["plan", "--area", "3 m", "--shop", "shop"],
        ["plan", "--area", "NaN", "--shop", "shop"],
    ] {
        let ran = bench.run(&words);
        told += &format!("## {}\n{}\n", words.join(" "), ran.err);
        assert_eq!(ran.code, 2, "{words:?}");
    }
    // A folder where a file is expected.
    let bench = Bench::small();
    fs::remove_file(bench.path("shop/systems/flood.ron")).unwrap();
    fs::create_dir(bench.path("shop/systems/flood.ron")).unwrap();
    let ran = bench.plan();
    told += &format!("## a folder under a file's name\n{}\n", ran.err);
    assert_eq!((ran.code, bench.saved()), (2, false), "{ran:?}");
    insta::assert_snapshot!(told);
}

#[test]
fn a_folder_that_cannot_be_written_is_told_and_nothing_is_left() {
    let bench = Bench::small();
    fs::write(bench.path("file"), "mine").unwrap();
    for words in [
        vec!["plan", "--job", "galley", "--shop", "shop", "--save", "file/below"],
        vec!["plan", "--job", "galley", "--shop", "shop", "--save", "file"],
        vec!["swatch", "Tidewater Slate", "--shop", "shop", "--to", "file/below"],
        vec!["start", "file/below"],
        vec!["manual", "file/below"],
    ] {
        let ran = bench.run(&words);
        assert_eq!(ran.code, 2, "{words:?}: {ran:?}");
        assert!(ran.err.contains("file"), "{words:?}: {}", ran.err);
        assert_eq!(ran.out, "", "{words:?}: no answer beside a mistake");
        assert_eq!(fs::read_to_string(bench.path("file")).unwrap(), "mine");
    }
    // One picture's place is taken by a folder: none of the others is left there either.
    fs::create_dir_all(bench.path("half/overview.png")).unwrap();
    let ran = bench.run(&["swatch", "Tidewater Slate", "--shop", "shop", "--to", "half"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert_eq!(fs::read_dir(bench.path("half")).unwrap().count(), 1, "nothing half written");
    // A shop is not started over a person's files.
    let ran = bench.run(&["start", "shop"]);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert_eq!(fs::read_to_string(bench.path("shop/house.ron")).unwrap(), HOUSE);
}

#[test]
fn refusals_of_a_check_exit_1_and_save_nothing() {
    let mut told = String::new();
    for (file, from, to) in [
        (
            "colourways/slate.ron",
            "\"iron oxide black paste\": \"1.4 %\"",
            "\"iron oxide black paste\": \"7 %\"",
        ),
        ("colourways/slate.ron", "\"0.6 %\"", "\"6 %\""),
        ("jobs/galley.ron", "flame: false", "flame: true"),
        ("colorants/ink.ron", "ceiling: \"2 %\"", "ceiling: \"0.3 %\""),
        ("house.ron", "readability: \"1 g\"", "readability: \"600 g\""),
    ] {
        let bench = Bench::small();
        bench.change("jobs/galley.ron", "overrides: [(ceiling: Colorant(\"carbon black liquid\"), to: \"2.5 %\", reason: \"tested on three boards\")],", "");
        bench.change(file, from, to);
        let ran = bench.plan();
        told += &format!("## {file}: {to}\n{}\n", ran.err);
        assert_eq!((ran.code, bench.saved()), (1, false), "{to}: {ran:?}");
        assert_eq!(ran.out, "", "{to}: no plan beside a refusal");
    }
    insta::assert_snapshot!(told);
}

#[test]
fn tiny_and_huge_jobs_are_planned_or_told() {
    let bench = Bench::demo();
    for (words, codes) in [
        (["--area", "1mm2"], [0, 1]),
        (["--area", "5000ft2"], [0, 1]),
        (["--area", "10001m2"], [2, 2]),
        (["--area", "0ft2"], [2, 2]),
        (["--area=-3ft2", "--units=us"], [2, 2]),
        (["--board", "1x1mm"], [0, 1]),
        (["--board", "0x600mm"], [2, 2]),
        (["--kit", "0.01mL"], [1, 2]),
        (["--kit", "0gal"], [2, 2]),
        (["--kit", "3gal"], [1, 1]),
        (["--kit", "1qt"], [0, 0]),
        (["--kit", "1e300gal"], [2, 2]),
    ] {
        let ran = bench.run(&["plan", "Tidewater Slate", words[0], words[1], "--shop", "shop"]);
        assert!(codes.contains(&ran.code), "{words:?}: {} {}", ran.code, ran.err);
        assert!(
            ran.code == 0 || ran.err.contains("error") || ran.err.contains("refused"),
            "{}",
            ran.err
        );
        for line in ran.out.lines() {
            assert!(columns(line) <= 100, "{words:?}: {line}");
        }
        assert!(!ran.out.contains("NaN") && !ran.out.contains("inf "), "{}", ran.out);
    }
}

#[test]
fn sizes_are_told_in_the_units_that_are_shown() {
    let bench = Bench::demo();
    for (words, title) in [
        (["--board", "24x24in", "--units", "us"], "sample board 2 ft x 2 ft"),
        (["--board", "24x24in", "--units", "metric"], "sample board 2 ft x 2 ft"),
        (["--board", "600x600mm", "--units", "us"], "sample board 600 mm x 600 mm"),
        (
            ["--board", "601.3x600mm", "--units", "us"],
            "sample board 1 ft 11 11/16 in x 1 ft 11 5/8 in",
        ),
        (["--board", "600x450mm", "--units", "metric"], "sample board 600 mm x 450 mm"),
        (["--area", "42ft2", "--units", "metric"], "3.9 m² of counter"),
        (["--area", "42ft2", "--units", "us"], "42 ft² of counter"),
        (["--kit", "3gal", "--units", "metric"], "what a kit of 11.4 L covers"),
    ] {
        let ran = bench.run(&[&["plan", "Salt Marsh", "--shop", "shop"][..], &words].concat());
        // One pair of hands does not pour the larger ones in time, which is told and no concern here.
        assert!(ran.code <= 1 && !ran.err.contains("error"), "{words:?}: {}", ran.err);
        assert!(ran.out.starts_with(&format!("Salt Marsh  for  {title}\n")), "{}", ran.out);
    }
    for (kit, words) in [
        ("0gal", "a kit of 0 fl oz is too small"),
        ("0.01gal", "is too small to be mixed and poured: 1.69 fl oz is the least"),
        ("1e300gal", "covers more than 96875 ft²"),
    ] {
        let ran = bench.run(&["plan", "Salt Marsh", "--kit", kit, "--shop", "shop"]);
        assert!(ran.code == 2 && ran.err.contains(words), "{}", ran.err);
    }
}

#[test]
fn files_of_an_earlier_plan_in_the_folder_are_told_and_stay() {
    let bench = Bench::small();
    let clean = bench.plan();
    assert!(!clean.err.contains("earlier plan"), "{clean:?}");
    let again = bench.plan();
    assert!(!again.err.contains("earlier plan"), "what is written anew is of this plan: {again:?}");
    for name in ["pour.png", "base-fogg.png", "client.png"] {
        fs::write(bench.path("saved").join(name), "old").unwrap();
    }
    bench.change("systems/flood.ron", "\"40 min\"", "\"41 min\"");
    let ran = bench.plan();
    let words =
        "caution: in saved files of an earlier plan stay, which are not of this one: base-fogg.png";
    assert!(ran.err.contains(words), "{ran:?}");
    assert!(!ran.err.contains("client.png"), "{ran:?}");
    assert_eq!(fs::read_to_string(bench.path("saved/base-fogg.png")).unwrap(), "old");
}

/// A system's own folder takes no new ones: that is told of it, not that the new one is not there.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_new_ones_is_named() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "sample-board", "--shop", "shop", "--save", "/proc/nope"];
    let ran = bench.run(&words);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(
        ran.err
            .contains("the folder cannot be made: /proc, which it would lie in, takes no new ones")
            || ran.err.contains("you may not write in /proc"),
        "{ran:?}"
    );
}

#[test]
fn a_loss_says_whose_it_is() {
    let bench = Bench::demo();
    let usual = "as is usual (estimated): no job states it";
    for (words, run_off, allowance) in [
        (["--job", "sample-board"], "as the job states", "as the job states"),
        (["--job", "galley-kitchen"], usual, "as the job states"),
        (["--board", "600x600mm"], usual, usual),
        (["--area", "42ft2"], usual, usual),
        (["--kit", "3gal"], usual, usual),
    ] {
        let ask = [&["plan", "Tidewater Slate", "--shop", "shop"][..], &words].concat();
        let ran = bench.run(&ask);
        let line = |what: &str| {
            let found = ran.out.lines().find(|line| line.trim_start().starts_with(what));
            found.unwrap_or_else(|| panic!("no {what:?} in {}", ran.out)).to_owned()
        };
        assert!(line("over the ").ends_with(run_off), "{words:?}: {}", line("over the "));
        assert!(line("allowance").ends_with(allowance), "{words:?}: {}", line("allowance"));
        let json = bench.run(&[&ask[..], &["--json"]].concat());
        let plan: Value = serde_json::from_str(&json.out).expect("JSON");
        let word = |words: &str| if words == usual { "usual" } else { "job" };
        let demand = &plan["demand_one_coat"];
        assert_eq!(demand["run_off_from"], word(run_off), "{words:?}");
        assert_eq!(demand["allowance_from"], word(allowance), "{words:?}");
    }
}

#[test]
fn a_board_is_spoken_of_as_a_board() {
    let bench = Bench::demo();
    for words in [["--board", "600x600mm"], ["--job", "sample-board"]] {
        let ran = bench.run(&[&["plan", "Salt Marsh", "--shop", "shop"][..], &words].concat());
        for wrong in ["approved sample", "over the edges", "sanding the counter", "at the counter"]
        {
            assert!(!ran.out.contains(wrong), "{wrong:?} in {}", ran.out);
        }
        assert!(ran.out.contains("over the rim"), "{}", ran.out);
    }
    let ran = bench.run(&["plan", "--job", "galley-kitchen", "--shop", "shop"]);
    assert!(ran.out.contains("over the edges"), "{}", ran.out);
}

/// Every standing that figures of a plan can have is told, and beside what it matters for.
#[test]
fn what_the_figures_rest_on_is_told() {
    let bench = Bench::demo();
    let words = ["plan", "--job", "galley-kitchen", "--shop", "shop"];
    // As one line, wherever it was wrapped.
    let told = || {
        let ran = bench.run(&words);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for part in [
        " demo: mix ratio and densities, pot life and prices of clear flood 2:1;",
        "(made up, not for a client's counter)",
        " estimated: ceilings and colour data of clear flood 2:1; ceilings of all 6 colorants ",
        ", demo prices ",
        "from the stated 40 min of 150.0 g at 77 °F (demo) to each mix",
        "its ceiling is 100 % (estimated)",
    ] {
        assert!(told().contains(part), "no {part:?} in {}", told());
    }
    // Once figures are read off datasheets and tins, that is what is told.
    bench.change("systems/clear-flood.ron", "standing: Demo", "standing: Datasheet");
    let file = "colorants/ultramarine-paste.ron";
    let text = fs::read_to_string(bench.path("shop").join(file)).unwrap();
    bench.put(file, text.replace("standing: Demo,\n)", "standing: Measured,\n)"));
    for part in [
        " datasheet: mix ratio and densities, pot life and prices of clear flood 2:1 ",
        " measured: density and solids and prices of ultramarine paste ",
        "demo: density and solids and prices of 5 of 6 colorants; colour data of all 6 colorants",
        "of 150.0 g at 77 °F (datasheet) to each mix",
    ] {
        assert!(told().contains(part), "no {part:?} in {}", told());
    }
    let json = bench.run(&[&words[..], &["--json"]].concat());
    let plan: Value = serde_json::from_str(&json.out).expect("JSON");
    let found = plan["figures"].as_array().unwrap();
    let one =
        found.iter().find(|one| one["of"] == "clear flood 2:1" && one["figures"] == "pot life");
    assert_eq!(one.unwrap()["standing"], "datasheet");
    assert_eq!(plan["price_standing"], "demo", "the least sure of all prices");
    assert_eq!(plan["checks"][0]["ceiling_standing"], "estimated");
}

#[test]
fn mistakes_of_a_file_come_before_what_follows_from_them() {
    let bench = Bench::small();
    bench.change("colourways/slate.ron", "film: \"3 mm\"", "film: \"3 gal\"");
    bench.change("systems/flood.ron", "\"1.15 g/mL\"", "\"heavy\"");
    for word in ["Tidewater Slate", "slate", "tidewater slate"] {
        let ran = bench.run(&["plan", word, "--board", "600x600mm", "--shop", "shop"]);
        assert_eq!(ran.code, 2, "{ran:?}");
        let at = |part: &str| ran.err.find(part).unwrap_or_else(|| panic!("{part}: {}", ran.err));
        let verdict =
            at("is not looked at before the mistakes in shop/colourways/slate.ron are mended");
        assert!(at("expected a length") < at("heavy"), "the file that is meant first: {}", ran.err);
        assert!(at("heavy") < verdict, "{}", ran.err);
    }
    let ran = bench.run(&["plan", "Tidewater Slat", "--board", "600x600mm", "--shop", "shop"]);
    assert!(ran.err.contains("did you mean \"Tidewater Slate\"?"), "{}", ran.err);
    // A file of which nothing can be read is known by its own name.
    bench.put("colourways/slate.ron", [0xff_u8, 0xfe, 0, 1]);
    let ran = bench.run(&["plan", "Slate", "--board", "600x600mm", "--shop", "shop"]);
    assert!(
        ran.err.contains("before the mistakes in shop/colourways/slate.ron are mended"),
        "{}",
        ran.err
    );
}

#[test]
fn a_reader_that_has_gone_away_is_no_mistake() {
    let bench = Bench::demo();
    for words in [
        vec!["plan", "--job", "galley-kitchen", "--shop", "shop"],
        vec!["completions", "bash"],
        vec!["manual"],
        vec!["--help"],
    ] {
        let mut child =
            bench.command(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(!err.contains("panicked"), "{words:?}: {err}");
        assert_eq!(output.status.code(), Some(0), "{words:?}: {err}");
    }
}

#[test]
fn no_colour_is_used_where_none_is_wanted() {
    let bench = Bench::demo();
    let mut command = bench.command(&["plan", "--job", "round-table", "--shop", "shop"]);
    let plain = command.env("NO_COLOR", "1").env("CLICOLOR_FORCE", "1").output().unwrap();
    assert!(plain.status.success());
    assert!(!plain.stdout.contains(&0x1b), "NO_COLOR wins");
}

#[test]
fn completions_and_manual_are_there() {
    let bench = Bench::small();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = bench.run(&["completions", shell]);
        assert_eq!(ran.code, 0);
        assert!(ran.out.contains("swatch"), "{shell}");
    }
    let ran = bench.run(&["manual", "pages"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let page = fs::read_to_string(bench.path("pages/pourbook-plan.1")).unwrap();
    assert!(page.contains(".TH"), "{page}");
    assert_eq!(bench.run(&["nonsense"]).code, 2);
    assert_eq!(bench.run(&["plan"]).code, 2);
}

/// The plan of a demo job as a person reads it, for the snapshots.
pub(crate) fn demo_plan(bench: &Bench, job: &str) -> String {
    let ran = bench.run(&["plan", "--job", job, "--shop", "shop"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{job}");
    ran.out
}

#[test]
fn a_shop_is_found_in_the_folder_itself() {
    let bench = Bench::demo();
    let inside = bench
        .command(&["plan", "--job", "round-table"])
        .current_dir(bench.path("shop"))
        .output()
        .unwrap();
    assert_eq!(String::from_utf8(inside.stdout).unwrap(), demo_plan(&bench, "round-table"));
    assert!(Path::new(env!("CARGO_BIN_EXE_pourbook")).exists());
}

#[test]
fn a_ceiling_that_one_job_raises_is_raised_for_that_job_alone() {
    let bench = Bench::demo();
    let recipe = "colourways/tidewater-slate.ron";
    bench.change(recipe, "\"2.8 %\"", "\"7.2 %\"");
    // So little ink that its small batches stay below their mixture rule.
    bench.change(recipe, "Accent(\"ink\", \"0.8 %\")", "Accent(\"ink\", \"0.1 %\")");
    bench.change(recipe, "Accent(\"ink\", \"0.6 %\")", "Accent(\"ink\", \"0.1 %\")");
    let check = || bench.run(&["check", "--shop", "shop"]);
    let refused = check();
    assert_eq!(refused.code, 1, "{}", refused.err);
    let raise = "crew: 2,\n    overrides: [(ceiling: Colorant(\"titanium white paste\"), to: \"7.5 %\", reason: \"three boards cured hard\")],";
    bench.change("jobs/galley-kitchen.ron", "crew: 2,", raise);
    // Another job of the same colourway raises nothing.
    let told = check();
    assert_eq!(told.code, 1, "{}", told.err);
    for entry in fs::read_dir(bench.path("shop/jobs")).unwrap() {
        let path = entry.unwrap().path();
        if !path.ends_with("galley-kitchen.ron") {
            fs::remove_file(path).unwrap();
        }
    }
    let sound = check();
    assert_eq!(sound.code, 0, "{}{}", sound.out, sound.err);
    let all = format!("{}{}", sound.out, sound.err);
    assert!(all.contains("exceeds its ceilings but where a job raises them"), "{all}");
    // Its plan says so under the title, with what the ceiling was; its client's page names no colorant.
    let plan = ["plan", "--job", "galley-kitchen", "--shop", "shop"];
    let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = joined(bench.run(&plan).out);
    let brief = "ceiling of \"titanium white paste\" raised from 6 % to 7.5 % by the job";
    assert!(text.contains(&format!("HEED: {brief} (see CAUTIONS)")), "{text}");
    assert!(text.contains(&format!("raised ceiling: {brief}: three boards cured hard")), "{text}");
    assert!(text.contains("its ceiling is 7.5 % (raised by the job)"), "{text}");
    let client = joined(bench.run(&[&plan[..], &["--sheet", "approval"]].concat()).out);
    assert!(
        client.contains(
            "RAISED by the job: a ceiling, named in the cautions of the mixing sheet (three boards cured hard)"
        ),
        "{client}"
    );
    assert!(!client.contains("titanium"), "{client}");
}

/// A slip in a colourway is one error: its job only waits for it.
#[test]
fn one_slip_is_one_error() {
    let bench = Bench::small();
    bench.change("colourways/slate.ron", "film: ", "flim: ");
    for words in [&["check", "--shop", "shop"][..], &["plan", "--job", "galley", "--shop", "shop"]]
    {
        let ran = bench.run(words);
        let said = format!("{}{}", ran.out, ran.err);
        assert_eq!(ran.code, 2, "{said}");
        let errors = said.lines().filter(|line| line.starts_with("error")).count();
        // The needed field that is missing is told beside the one that is unknown, both of this file.
        assert!((1..=2).contains(&errors), "{said}");
        let of_others = said.split("\n\n").filter(|each| {
            each.trim_start().starts_with("error") && !each.contains("colourways/slate.ron")
        });
        assert_eq!(of_others.count(), 0, "{said}");
        assert!(
            said.contains("note: ") && said.contains(" is not looked at before the mistakes in "),
            "{said}"
        );
    }
}

/// What waits for one broken file is told once, with how many more wait for it.
#[test]
fn what_waits_for_a_broken_file_is_told_once() {
    let bench = Bench::small();
    for number in 2..=4 {
        let name = format!("\"Tidewater Slate {number}\"");
        let text = changed(COLOURWAY, "\"Tidewater Slate\"", &name);
        bench.put(&format!("colourways/slate-{number}.ron"), text);
    }
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains(" 1 system, 3 colorants, 4 colourways, 1 job read"), "{ran:?}");
    bench.change("systems/flood.ron", "\"1.15 g/mL\"", "\"95 lb/gal\"");
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(ran.err.matches("this is not looked at before").count(), 1, "{}", ran.err);
    assert!(ran.err.contains(" and 2 more"), "{}", ran.err);
}

/// An option that cannot be planned is told by `check`, with the reason, at its place; the job itself is sound.
#[test]
fn an_option_that_cannot_be_planned_is_told_in_check() {
    let bench = Bench::demo();
    bench.change("jobs/galley-kitchen.ron", "(film: \"5 mm\")", "(film: \"50 mm\")");
    let ran = bench.run(&["check", "--shop", "shop"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.err.contains("caution: option \"5 mm film\" cannot be planned: "), "{}", ran.err);
    assert!(ran.err.contains("galley-kitchen.ron:25:"), "{}", ran.err);
    assert!(!ran.out.contains("all sound"), "{}", ran.out);
}

/// A weight that follows from a lot's strength names the lot, wherever it is weighed or bought.
#[test]
fn the_lot_of_a_colorant_is_named_where_it_is_weighed_and_bought() {
    let bench = Bench::demo();
    for path in ["colorants/titanium-white-paste.ron", "colorants/carbon-black-liquid.ron"] {
        let lot = "\n    lot: (name: \"U-7\", strength: \"104 %\"),\n    standing: Demo,\n)";
        bench.change(path, "\n    standing: Demo,\n)", lot);
    }
    let text = bench.kitchen_text(&[]);
    for words in
        ["titanium white paste, lot ", "carbon black liquid, lot ", "accent, own cup; lot U-7"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    for (sheet, count) in [("mixing", 4), ("labels", 4), ("buying", 2)] {
        let text = bench.kitchen_text(&["--sheet", sheet]);
        assert!(text.matches("lot U-7").count() >= count, "{sheet}: {text}");
    }
    let plan = bench.kitchen_json();
    let dose = &plan["bases"][0]["mixes"][0]["colorants"][0];
    assert_eq!(
        (dose["name"].as_str(), dose["lot"].as_str()),
        (Some("titanium white paste"), Some("U-7"))
    );
}

/// What exceeds its ceiling through the strength of its lot alone is refused with the lot's name.
#[test]
fn a_lot_that_makes_a_loading_too_large_is_named() {
    let bench = Bench::demo();
    let path = "colorants/titanium-white-paste.ron";
    let lot = "\n    lot: (name: \"B-7\", strength: \"10 %\"),\n    standing: Demo,\n)";
    bench.change(path, "\n    standing: Demo,\n)", lot);
    let ran = bench.run(&["plan", "--shop", "shop", "--job", "galley-kitchen"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    let hint = "its loading is written as 2.8 %; lot \"B-7\" is said to tint at 10 % of the standing lot's strength, so 28 % is weighed: is that strength right?";
    assert!(ran.err.contains(hint), "{}", ran.err);
    assert!(!ran.err.contains("did you mean"), "it is the lot, not the loading: {}", ran.err);
    // Too much as it is written is no lot's fault.
    bench.change(
        "colourways/tidewater-slate.ron",
        "\"titanium white paste\": \"2.8 %\"",
        "\"titanium white paste\": \"28 %\"",
    );
    let ran = bench.run(&["plan", "--shop", "shop", "--job", "galley-kitchen"]);
    assert!(ran.code == 1 && !ran.err.contains("written as 28 %"), "{}", ran.err);
}
