//! A module uses only the floors below its own: no import points up.

use std::fs;
use std::path::{Path, PathBuf};

/// Every top-level module with its floor, lowest first.
const FLOORS: &[(&str, u8)] = &[
    ("diagnostic", 0),
    ("suggest", 0),
    ("quantity", 0),
    ("spectrum", 1),
    ("colour", 1),
    ("optics", 1),
    ("solve", 1),
    ("flow", 1),
    ("heat", 1),
    ("model", 2),
    ("file", 3),
    ("predict", 4),
    ("plan", 5),
    ("characterise", 5),
    ("matching", 6),
    ("picture", 6),
    ("report", 6),
    ("store", 7),
    ("acts", 8),
    ("cli", 9),
];

fn floor_of(module: &str) -> Option<u8> {
    FLOORS.iter().find(|(name, _)| *name == module).map(|(_, floor)| *floor)
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("src can be read") {
        let path = entry.expect("an entry of src").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

/// The top-level modules that a text names after `crate::`, grouped imports included.
fn modules_named(text: &str) -> Vec<String> {
    let mut named = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let rest = &text[at + "crate::".len()..];
        let group = rest.strip_prefix('{');
        let list = match group {
            Some(inner) => inner.split('}').next().unwrap_or(inner),
            None => rest.split(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or(rest),
        };
        for part in list.split(',') {
            let word: String =
                part.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if !word.is_empty() {
                named.push(word);
            }
        }
    }
    named
}

#[test]
fn no_import_points_up_a_floor() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    assert!(!files.is_empty(), "src holds no Rust file: the test looks in the wrong place");
    let mut wrong = Vec::new();
    for path in files {
        let inside = path.strip_prefix(&src).expect("a file below src");
        let first = inside
            .components()
            .next()
            .expect("a path has a first part")
            .as_os_str()
            .to_string_lossy()
            .trim_end_matches(".rs")
            .to_owned();
        if first == "main" || first == "lib" {
            continue;
        }
        let Some(own) = floor_of(&first) else {
            wrong.push(format!("{} is on no floor", inside.display()));
            continue;
        };
        let text = fs::read_to_string(&path).expect("a source file is UTF-8");
        for named in modules_named(&text) {
            if named == first {
                continue;
            }
            // Modules of one floor may lean on one another (colour on spectrum); never on a higher one.
            if let Some(other) = floor_of(&named)
                && other > own
            {
                wrong.push(format!(
                    "{} (floor {own}) uses {named} (floor {other})",
                    inside.display()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "imports point up:\n{}", wrong.join("\n"));
}

#[test]
fn the_reader_of_imports_sees_groups_and_paths() {
    assert_eq!(
        modules_named("use crate::{plan, model::System}; let x = crate::cli::run();"),
        ["plan", "model", "cli"],
        "grouped and inline paths are both seen"
    );
}
