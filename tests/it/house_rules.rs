//! What nothing in this repository may hold.

use std::fs;
use std::path::{Path, PathBuf};

use pourbook::store::open;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Folders and files that a person writes; what tools make or lock is not among them.
const WRITTEN: &[&str] = &[
    "src",
    "tests",
    "benches",
    "book/src",
    "book/book.toml",
    "fuzz/fuzz_targets",
    "fuzz/Cargo.toml",
    "recipes",
    ".ci",
    "Cargo.toml",
    "README.md",
    "DEVELOPERS.md",
    ".gitignore",
];

fn gather(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        let mut inside: Vec<PathBuf> =
            fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect();
        inside.sort();
        for each in inside {
            gather(&each, found);
        }
    } else {
        found.push(path.to_owned());
    }
}

/// Every text that a person wrote, with its path from the root.
fn texts() -> Vec<(String, String)> {
    let mut files = Vec::new();
    for each in WRITTEN {
        let path = root().join(each);
        assert!(path.exists(), "{each} is gone: correct the list");
        gather(&path, &mut files);
    }
    files
        .into_iter()
        .filter_map(|path| {
            let name = path.strip_prefix(root()).unwrap().display().to_string();
            Some((name, String::from_utf8(fs::read(&path).unwrap()).ok()?))
        })
        .collect()
}

/// Words that must not stand in any text, taken apart here so that this file passes.
fn forbidden() -> Vec<String> {
    [
        ["crates", ".io"],
        ["py", "pi.org"],
        ["npm", "js."],
        ["doc", "s.rs"],
        ["/wo", "rk/"],
        ["/ro", "ot/"],
        ["/ho", "me/"],
        ["/t", "mp/"],
        ["C:", "\\Users"],
        ["../sha", "red"],
        ["TO", "DO"],
        ["FIX", "ME"],
        ["to", "do!("],
        ["unimple", "mented!("],
        ["db", "g!("],
    ]
    .map(|parts| parts.concat())
    .to_vec()
}

#[test]
fn no_machine_path_registry_or_loose_end_stands_anywhere() {
    let forbidden = forbidden();
    let mut wrong = Vec::new();
    for (name, text) in texts() {
        for (at, line) in text.lines().enumerate() {
            for word in &forbidden {
                if line.contains(word.as_str()) {
                    wrong.push(format!("{name}:{}: {word}", at + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "these must go:\n{}", wrong.join("\n"));
}

#[test]
fn no_file_is_a_catch_all() {
    let catch_alls = ["util", "utils", "common", "helpers", "misc"];
    for (name, _) in texts() {
        let stem = Path::new(&name).file_stem().unwrap().to_string_lossy().into_owned();
        assert!(!catch_alls.contains(&stem.as_str()), "{name} is named for nothing");
    }
}

#[test]
fn the_readme_is_in_british_spelling() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap().to_lowercase();
    for word in ["color", "gray", "license ", "customiz", "fiber", "aluminum"] {
        // "colorant" is the trade's own word.
        let rest = readme.replace("colorant", "");
        assert!(!rest.contains(word), "README has {word:?}");
    }
}

#[test]
fn the_readme_begins_with_the_job_and_has_two_set_up_commands() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let parts: Vec<&str> = readme.split("\n\n").collect();
    assert!(parts[0].starts_with("# "), "a title");
    assert!(parts[1].chars().count() > 200, "the job in one paragraph: {}", parts[1]);
    assert!(parts[2].starts_with("!["), "then a picture");
    let commands: Vec<&str> = readme
        .split("```console\n")
        .skip(1)
        .flat_map(|block| block.split("```").next().unwrap().lines())
        .collect();
    assert_eq!(
        commands,
        ["cargo run --release -- plan --job galley-kitchen --save out", "cargo test"],
        "two set-up commands: the main job, and the tests"
    );
}

#[test]
fn the_demo_is_sound_throughout() {
    let checked = pourbook::acts::check(&open(&root().join("recipes")).unwrap());
    assert!(!checked.found.stop(), "{}", checked.found);
}
