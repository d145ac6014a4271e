//! Whole processes, as a person waits for them: `plan` of the demo's kitchen, `check` of a shop with
//! 1,000 colourways.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a benchmark that panics has failed, which is what it is for"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

const COLOURWAYS: usize = 1000;

fn main() {
    divan::main();
}

fn demo() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("recipes")
}

/// Runs the program, its answer thrown away; it must succeed.
fn run(arguments: &[&str], shop: &Path) {
    let status = Command::new(env!("CARGO_BIN_EXE_pourbook"))
        .args(arguments)
        .arg("--shop")
        .arg(shop)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success(), "{arguments:?}");
}

/// What any process costs here: the program says its version.
#[divan::bench]
fn process_alone() {
    let status = Command::new(env!("CARGO_BIN_EXE_pourbook"))
        .arg("--version")
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success(), "--version");
}

#[divan::bench]
fn plan_kitchen() {
    run(&["plan", "--job", "galley-kitchen"], &demo());
}

#[divan::bench]
fn plan_kitchen_as_json() {
    run(&["plan", "--job", "galley-kitchen", "--json"], &demo());
}

#[divan::bench]
fn swatch_chips(bencher: divan::Bencher<'_, '_>) {
    let folder = tempfile::TempDir::new().unwrap();
    let to = folder.path().display().to_string();
    bencher.bench_local(|| run(&["swatch", "Tidewater Slate", "--to", &to], &demo()));
}

/// The demo's systems and colorants, with colourways made of its own by changing names and seeds.
fn large_shop() -> tempfile::TempDir {
    let folder = tempfile::TempDir::new().unwrap();
    for kind in ["systems", "colorants"] {
        fs::create_dir(folder.path().join(kind)).unwrap();
        for entry in fs::read_dir(demo().join(kind)).unwrap() {
            let path = entry.unwrap().path();
            fs::copy(&path, folder.path().join(kind).join(path.file_name().unwrap())).unwrap();
        }
    }
    let mut recipes: Vec<_> = fs::read_dir(demo().join("colourways"))
        .unwrap()
        .map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect();
    recipes.sort();
    fs::create_dir(folder.path().join("colourways")).unwrap();
    for at in 0..COLOURWAYS {
        let recipe = &recipes[at % recipes.len()];
        let text = recipe.replacen("name: \"", &format!("name: \"{at} "), 1).replacen(
            "seed: ",
            &format!("seed: {}", at + 1),
            1,
        );
        let path = folder.path().join(format!("colourways/way-{at}.ron"));
        fs::write(path, text).unwrap();
    }
    folder
}

#[divan::bench(sample_count = 20)]
fn check_1000_colourways(bencher: divan::Bencher<'_, '_>) {
    let folder = large_shop();
    bencher.bench_local(|| run(&["check"], folder.path()));
}
