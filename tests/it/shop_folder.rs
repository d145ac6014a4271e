//! A shop's folder, read: what is there, and what a person is told of what cannot be.

use std::fs;
use std::path::Path;

use pourbook::diagnostic::Severity;
use pourbook::model::{MixRatio, Stoichiometry, System, SystemParts};
use pourbook::store::{Opened, check_all, open, read_text};
use tempfile::TempDir;

use crate::random_jobs::system_parts;
use crate::small_shop::{BLACK, COLOURWAY, HOUSE, INK, JOB, SYSTEM, WHITE, changed};

/// A shop of the small texts in a folder of its own.
fn shop() -> TempDir {
    let folder = TempDir::new().unwrap();
    for (path, text) in [
        ("house.ron", HOUSE),
        ("systems/flood.ron", SYSTEM),
        ("colorants/black.ron", BLACK),
        ("colorants/white.ron", WHITE),
        ("colorants/ink.ron", INK),
        ("colourways/slate.ron", COLOURWAY),
        ("jobs/galley.ron", JOB),
    ] {
        put(folder.path(), path, text);
    }
    folder
}

fn put(folder: &Path, path: &str, text: impl AsRef<[u8]>) {
    let path = folder.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

/// All that is told of a shop, its folder's own path taken out.
fn told(folder: &Path) -> String {
    let said = match open(folder) {
        Ok(opened) => {
            let mut found = opened.found.clone();
            found.extend(check_all(&opened));
            found.to_string()
        }
        Err(found) => found.to_string(),
    };
    let path = folder.display().to_string();
    said.replace(&format!("{path}/"), "").replace(&path, "SHOP")
}

fn opened(folder: &Path) -> Opened {
    open(folder).unwrap_or_else(|found| panic!("{found}"))
}

#[test]
fn a_sound_shop_is_all_there() {
    let folder = shop();
    assert_eq!(told(folder.path()), "");
    let Opened { shop, files, .. } = opened(folder.path());
    assert_eq!(
        (shop.systems.len(), shop.colorants.len(), shop.colourways.len(), shop.jobs.len()),
        (1, 3, 1, 1)
    );
    assert_eq!(files.count, 7);
    assert_eq!(
        files.colourways["Tidewater Slate"].path,
        folder.path().join("colourways/slate.ron")
    );
    assert_eq!(shop.house.vessels.len(), 2, "the house's own vessels, not the usual four");
}

#[test]
fn the_house_stands_in_where_a_recipe_or_job_says_nothing() {
    let folder = shop();
    put(folder.path(), "house.ron", "(version: 1, container: \"333 mL\", cling_film: \"0.7 mm\")");
    put(folder.path(), "colourways/slate.ron", changed(COLOURWAY, "container: \"1 gal\",", ""));
    put(folder.path(), "jobs/galley.ron", changed(JOB, "cling: Film(\"0.5 mm\"), ", ""));
    let Opened { shop, .. } = opened(folder.path());
    assert!((shop.colourways["Tidewater Slate"].container.ml() - 333.0).abs() < 1e-9);
    let cling = shop.jobs["Boathouse galley kitchen"].losses.cling;
    assert!(
        matches!(cling, pourbook::model::Cling::Film(film) if (film.mm() - 0.7).abs() < 1e-9),
        "{cling:?}"
    );
}

#[test]
fn a_shop_may_be_without_house_or_jobs() {
    let folder = shop();
    fs::remove_file(folder.path().join("house.ron")).unwrap();
    fs::remove_dir_all(folder.path().join("jobs")).unwrap();
    assert_eq!(told(folder.path()), "");
    assert!(opened(folder.path()).shop.jobs.is_empty());
}

#[test]
fn what_one_file_names_and_no_other_holds_is_told_at_its_place() {
    let folder = shop();
    let slate = COLOURWAY
        .replace("\"iron oxide black paste\": \"1.4 %\"", "\"iron oxide blak paste\": \"1.4 %\"")
        .replace("(colorant: \"carbon black liquid\")", "(colorant: \"gold leaf\")");
    put(folder.path(), "colourways/slate.ron", slate);
    put(
        folder.path(),
        "colourways/thick.ron",
        COLOURWAY
            .replace("Tidewater Slate", "Thick")
            .replace("\"3 mm\"", "\"9 mm\"")
            .replace("clear flood 2:1", "clear floods 2:1"),
    );
    put(
        folder.path(),
        "colourways/thicker.ron",
        COLOURWAY.replace("Tidewater Slate", "Thicker").replace("\"3 mm\"", "\"9 mm\""),
    );
    let galley = JOB
        .replace("colourway: \"Tidewater Slate\"", "colourway: \"Tidewater\"")
        .replace("coats: 2", "coats: 2, colourway: \"Thik\"")
        .replace("Colorant(\"carbon black liquid\")", "Colorant(\"carbon black\")");
    put(folder.path(), "jobs/galley.ron", galley);
    insta::assert_snapshot!(told(folder.path()));
}

#[test]
fn prices_in_two_currencies_are_told() {
    let folder = shop();
    put(folder.path(), "colorants/black.ron", changed(BLACK, "9.50 USD", "9.50 EUR"));
    insta::assert_snapshot!(told(folder.path()));
}

#[test]
fn a_name_in_two_files_is_told_with_both_places() {
    let folder = shop();
    put(folder.path(), "colorants/another.ron", changed(BLACK, "\"1.9 g/mL\"", "\"2 g/mL\""));
    insta::assert_snapshot!(told(folder.path()));
    let density = opened(folder.path()).shop.colorants["iron oxide black paste"].density.g_per_ml();
    assert!((density - 2.0).abs() < 1e-12, "the first by file name stays");
}

#[test]
fn a_file_with_mistakes_is_named_where_others_need_it() {
    let folder = shop();
    put(folder.path(), "colorants/black.ron", changed(BLACK, "\"60 %\"", "\"60 g\""));
    put(folder.path(), "systems/flood.ron", changed(SYSTEM, "\"1.15 g/mL\"", "1.15"));
    insta::assert_snapshot!(told(folder.path()));
}

/// A name that lost a quote, or has others than plain ones, is still the one that recipes wait for.
#[test]
fn a_name_is_known_though_its_quotes_are_wrong() {
    let name = "\"iron oxide black paste\",";
    for wrong in [
        "\"iron oxide black paste,",
        "\"iron oxide black paste",
        "\"iron oxide black paste, // of the old lot",
        "iron oxide black paste\",",
        "“iron oxide black paste”,",
        "'iron oxide black paste',",
    ] {
        let folder = shop();
        put(folder.path(), "colorants/black.ron", changed(BLACK, name, wrong));
        let said = told(folder.path());
        assert!(!said.contains("no colorant is called"), "{wrong}: {said}");
        let waits =
            "note: this is not looked at before the mistakes in colorants/black.ron are mended";
        assert_eq!(said.matches(waits).count(), 2, "{wrong}: {said}");
        assert_eq!(said.matches("error: ").count(), 1, "{wrong}: {said}");
    }
}

#[test]
fn what_will_not_be_read_is_told() {
    let folder = shop();
    for name in [
        "colorants/white.txt",
        "colorants/white.ron~",
        "colorants/WHITE.RON",
        "colorants/white.ron.bak",
        "colorants/older/white.ron",
        "colorants/.white.ron.swp",
        "colorants/.DS_Store",
        "colorants/datasheet.pdf",
        "colorways/fog.ron",
        "fog.ron",
        "README.md",
        "records.db",
        "swatches/slate.png",
        ".git/config",
    ] {
        put(folder.path(), name, "(version: 1)");
    }
    insta::assert_snapshot!(told(folder.path()));
    let worst = opened(folder.path()).found.worst();
    assert_eq!(worst, Some(Severity::Caution), "none of it stops the work");
}

#[test]
fn what_is_no_shop_is_told() {
    let folder = TempDir::new().unwrap();
    let mut out = told(folder.path());
    out += &format!("\n{}", told(&folder.path().join("nowhere")));
    put(folder.path(), "a.txt", "x");
    out += &format!("\n{}", told(&folder.path().join("a.txt")));
    put(folder.path(), "jobs", "a file, not a folder");
    out += &format!("\n{}", told(folder.path()));
    insta::assert_snapshot!(out.replace(&folder.path().display().to_string(), "SHOP"));
}

#[test]
fn files_that_cannot_be_texts_are_told_and_the_rest_is_read() {
    let folder = shop();
    let at = |name: &str| format!("colorants/{name}.ron");
    put(folder.path(), &at("a-empty"), "");
    put(folder.path(), &at("b-latin"), b"(version: 1,\n  note: \"caf\xE9\")");
    put(folder.path(), &at("c-utf16"), b"\xFF\xFE(\0v\0e\0");
    put(folder.path(), &at("d-binary"), b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR");
    put(folder.path(), &at("e-nul"), b"(version: 1, \0)");
    put(folder.path(), &at("f-deep"), "(".repeat(1_000_000));
    put(folder.path(), &at("g-cut"), &BLACK[..BLACK.len() / 2]);
    put(folder.path(), &at("h-bom"), format!("\u{feff}{}", BLACK.replace("iron oxide", "marked")));
    fs::create_dir(folder.path().join(at("i-folder"))).unwrap();
    // 100 MB that take no room on the disk: refused by its size, before anything is read.
    let large = fs::File::create(folder.path().join(at("j-large"))).unwrap();
    large.set_len(100_000_000).unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("gone.ron", folder.path().join(at("k-link"))).unwrap();
        std::os::unix::fs::symlink("black.ron", folder.path().join(at("l-again"))).unwrap();
    }
    insta::assert_snapshot!(told(folder.path()));
    let shop = opened(folder.path()).shop;
    assert!(shop.colorants.contains_key("marked black paste"), "a byte-order mark does no harm");
    assert_eq!(shop.colourways.len(), 1);
}

#[cfg(unix)]
#[test]
fn what_may_not_be_read_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = shop();
    let black = folder.path().join("colorants/black.ron");
    fs::set_permissions(&black, fs::Permissions::from_mode(0o000)).unwrap();
    if fs::read(&black).is_ok() {
        // Root reads everything: there is nothing to refuse.
        assert_eq!(told(folder.path()), "");
        return;
    }
    let said = told(folder.path());
    assert!(
        said.starts_with(
            "colorants/black.ron:1:1: error: the file cannot be read: you do not have permission"
        ),
        "{said}"
    );
    let jobs = folder.path().join("jobs");
    fs::set_permissions(&jobs, fs::Permissions::from_mode(0o000)).unwrap();
    let said = told(folder.path());
    fs::set_permissions(&jobs, fs::Permissions::from_mode(0o755)).unwrap();
    assert!(
        said.contains("jobs:1:1: error: the folder cannot be read: you do not have permission"),
        "{said}"
    );
}

#[cfg(unix)]
#[test]
fn a_pipe_is_refused_and_not_waited_for() {
    use std::os::unix::net::UnixListener;
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("x.ron");
    let _listener = UnixListener::bind(&path).unwrap();
    let said = read_text(&path, 100).unwrap_err().to_string();
    assert!(said.ends_with("error: this is a pipe or a device, not a file"), "{said}");
}

/// Inside a shop a file is told as it would be typed there, and so is one of the demo in a clone.
#[test]
fn paths_are_told_from_where_the_person_stands() {
    let bench = crate::program::Bench::demo();
    bench.change("jobs/round-table.ron", "Circle(\"42 in\")", "Circle(\"42\")");
    let inside = bench.run_in("shop", &["check"]);
    assert!(inside.err.contains(" --> jobs/round-table.ron:"), "{}", inside.err);
    std::fs::rename(bench.path("shop"), bench.path("recipes")).unwrap();
    let beside = bench.run(&["check"]);
    assert!(beside.err.contains(" --> recipes/jobs/round-table.ron:"), "{}", beside.err);
}

/// A and B the wrong way round pass no check that holds them against the equivalent weights of the same file.
#[test]
fn a_ratio_that_its_equivalent_weights_deny_is_told_at_its_place() {
    let folder = shop();
    assert!(!told(folder.path()).contains("mix ratio"));
    put(folder.path(), "systems/flood.ron", changed(SYSTEM, "ByVolume(2, 1)", "ByVolume(1, 2)"));
    let said = told(folder.path());
    assert!(said.contains("its parts look swapped"), "{said}");
    assert!(said.contains("flood.ron:4:12: refused: "), "{said}");
    put(folder.path(), "systems/flood.ron", changed(SYSTEM, "ByVolume(2, 1)", "ByVolume(1, 1)"));
    let said = told(folder.path());
    assert!(said.contains("the mix ratio asks for") && !said.contains("swapped"), "{said}");
    assert!(said.contains("flood.ron:4:12: caution: "), "{said}");
}

#[test]
fn a_ratio_is_held_against_its_equivalent_weights() {
    let off = |ratio, [eew_g_per_eq, ahew_g_per_eq]: [f64; 2]| {
        let stoichiometry = Some(Stoichiometry { eew_g_per_eq, ahew_g_per_eq });
        let parts = SystemParts { stoichiometry, ..system_parts(ratio, 1.15, 0.97) };
        System::new(parts).unwrap().off_equivalents()
    };
    let volume = |a, b| MixRatio::Volume { a, b };
    // 100·67/190 = 35.3 g: 42.2 g are 19.6 % more, as much as a system may be off; turned, 168.7 g.
    assert_eq!(off(volume(2.0, 1.0), [190.0, 67.0]), None);
    let turned = off(volume(1.0, 2.0), [190.0, 67.0]).unwrap();
    assert!((turned.stated - 168.70).abs() < 0.01, "{turned:?}");
    assert!((turned.by_equivalents - 35.26).abs() < 0.01, "{turned:?}");
    assert!(turned.swapped.is_some_and(|phr| (phr - 42.17).abs() < 0.01), "{turned:?}");
    // Off either way round: no swap.
    assert_eq!(off(volume(1.0, 1.0), [190.0, 67.0]).unwrap().swapped, None);
    assert_eq!(off(MixRatio::Mass { a: 100.0, b: 42.0 }, [192.0, 80.0]), None);
}
