//! What nothing in this repository may hold, and pictures that must be as the program draws them now.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use pourbook::acts::file_stem;
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

/// A picture as its size and pixels: two files of one picture may be packed differently. Anything
/// but a PNG as its bytes.
fn content(path: &Path) -> (u32, u32, Vec<u8>) {
    let bytes = fs::read(path).unwrap();
    if path.extension().is_none_or(|end| end != "png") {
        return (0, 0, bytes);
    }
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut pixels).unwrap();
    pixels.truncate(info.buffer_size());
    (info.width, info.height, pixels)
}

/// The names of a folder's files, sorted.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Each folder of `swatches` is drawn anew by the command that DEVELOPERS.md gives.
#[test]
fn pictures_in_the_repository_are_as_drawn_now() {
    let opened = open(&root().join("recipes")).unwrap();
    let swatches = root().join("swatches");
    let kept = names(&swatches);
    assert!(!kept.is_empty(), "swatches holds no picture");
    for stem in kept {
        let colourway = opened.shop.colourways.keys().find(|name| file_stem(name) == stem);
        let colourway =
            colourway.unwrap_or_else(|| panic!("swatches/{stem} belongs to no colourway"));
        let folder = tempfile::TempDir::new().unwrap();
        let status = Command::new(env!("CARGO_BIN_EXE_pourbook"))
            .args(["swatch", colourway, "--to"])
            .arg(folder.path())
            .current_dir(root())
            .output()
            .unwrap()
            .status;
        assert!(status.success(), "{colourway} cannot be drawn");
        let mend = format!("cargo run -- swatch \"{colourway}\" --to swatches/{stem}");
        let (old, new) = (swatches.join(&stem), folder.path());
        assert_eq!(names(&old), names(new), "swatches/{stem} holds other pictures: {mend}");
        for name in names(new) {
            let same = content(&old.join(&name)) == content(&new.join(&name));
            assert!(same, "swatches/{stem}/{name} is out of date: {mend}");
        }
    }
}

#[test]
fn the_demo_is_sound_throughout() {
    let checked = pourbook::acts::check(&open(&root().join("recipes")).unwrap());
    assert!(!checked.found.stop(), "{}", checked.found);
}
