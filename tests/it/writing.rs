//! Files are put in their place whole or not at all.

use std::fs;
use std::path::Path;

use pourbook::store::{NewFile, left_from_earlier, write_file, write_files};
use tempfile::TempDir;

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn refused(folder: &Path, done: Result<(), pourbook::diagnostic::Diagnostic>) -> String {
    done.unwrap_err().to_string().replace(&format!("{}/", folder.display()), "")
}

fn file<'a>(path: &'a str, bytes: &'a [u8]) -> NewFile<'a> {
    NewFile { path: Path::new(path), bytes }
}

#[test]
fn a_file_is_written_and_written_again() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("a.ron");
    for text in ["(version: 1)", "", "(version: 1, note: \"again\")"] {
        write_file(&path, text.as_bytes()).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
        assert_eq!(names(folder.path()), ["a.ron"], "nothing is left beside it");
    }
}

/// A process that is ended by force leaves its hidden file behind.
#[test]
fn what_was_left_under_a_hidden_name_goes_when_the_file_is_next_written() {
    let folder = TempDir::new().unwrap();
    let hidden = |name: &str, hours: u64| {
        let file = fs::File::create(folder.path().join(name)).unwrap();
        let age = std::time::Duration::from_secs(hours * 3600);
        file.set_modified(std::time::SystemTime::now() - age).unwrap();
    };
    hidden(".a.pdf.k3Yz01.part", 3);
    let kept = [
        // It may be some process's yet; another file's; nobody's that is known.
        (".a.pdf.Zz9Zz9.part", 0),
        (".b.pdf.k3Yz01.part", 3),
        (".a.pdf.notes.part", 3),
        (".a.pdf.of-mine.part", 3),
        ("a.pdf.k3Yz01.part", 3),
    ];
    kept.iter().for_each(|(name, hours)| hidden(name, *hours));
    write_file(&folder.path().join("a.pdf"), b"%PDF-").unwrap();
    let mut left: Vec<&str> = kept.iter().map(|(name, _)| *name).chain(["a.pdf"]).collect();
    left.sort_unstable();
    assert_eq!(names(folder.path()), left);
    let long = format!("{}.pdf", "é".repeat(100));
    write_file(&folder.path().join(&long), b"%PDF-").unwrap();
    assert!(names(folder.path()).contains(&long), "a long name has a shorter hidden one");
}

#[cfg(unix)]
#[test]
fn what_is_no_file_is_not_replaced() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("socket");
    let _listens = std::os::unix::net::UnixListener::bind(&path).unwrap();
    let told = refused(folder.path(), write_file(&path, b"text"));
    assert!(told.contains("a pipe or a device has that name"), "{told}");
    assert!(!fs::symlink_metadata(&path).unwrap().is_file(), "it is as it was");
}

#[cfg(unix)]
#[test]
fn permissions_are_kept_and_usual_for_a_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let folder = TempDir::new().unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    // The umask of the moment, as a plain file shows it.
    let plain = folder.path().join("plain");
    fs::write(&plain, "").unwrap();
    let new = folder.path().join("new");
    write_file(&new, b"x").unwrap();
    assert_eq!(mode(&new), mode(&plain) & 0o644);
    for kept in [0o600, 0o640, 0o664, 0o755] {
        fs::set_permissions(&new, fs::Permissions::from_mode(kept)).unwrap();
        write_file(&new, b"y").unwrap();
        assert_eq!(mode(&new), kept);
    }
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_its_file_is_replaced() {
    use std::os::unix::fs::symlink;
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("kept")).unwrap();
    fs::write(at("kept/a.ron"), "old").unwrap();
    symlink("kept/a.ron", at("one.ron")).unwrap();
    symlink("one.ron", at("two.ron")).unwrap();
    symlink("kept/new.ron", at("ahead.ron")).unwrap();
    write_file(&at("two.ron"), b"new").unwrap();
    write_file(&at("ahead.ron"), b"first").unwrap();
    assert_eq!(fs::read_to_string(at("kept/a.ron")).unwrap(), "new");
    assert_eq!(fs::read_to_string(at("kept/new.ron")).unwrap(), "first");
    for link in ["one.ron", "two.ron", "ahead.ron"] {
        assert!(fs::symlink_metadata(at(link)).unwrap().is_symlink(), "{link}");
    }
    symlink("round.ron", at("round.ron")).unwrap();
    assert_eq!(
        refused(folder.path(), write_file(&at("round.ron"), b"x")),
        "round.ron:1:1: error: the file cannot be written: its link leads round in a circle"
    );
}

#[test]
fn what_cannot_be_written_is_told_and_changes_nothing() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    fs::create_dir(root.join("a.ron")).unwrap();
    fs::write(root.join("plain"), "old").unwrap();
    fs::write(root.join("locked.ron"), "old").unwrap();
    let mut locked = fs::metadata(root.join("locked.ron")).unwrap().permissions();
    locked.set_readonly(true);
    fs::set_permissions(root.join("locked.ron"), locked).unwrap();
    for (name, right) in [
        ("a.ron", "a.ron:1:1: error: the file cannot be written: a folder has that name"),
        ("no/b.ron", "no/b.ron:1:1: error: the file cannot be written: there is no folder no"),
        (
            "plain/b.ron",
            "plain/b.ron:1:1: error: the file cannot be written: there is no folder plain",
        ),
        ("locked.ron", "locked.ron:1:1: error: the file cannot be written: it is write-protected"),
    ] {
        assert_eq!(refused(root, write_file(&root.join(name), b"new")), right);
    }
    assert_eq!(names(root), ["a.ron", "locked.ron", "plain"]);
    assert_eq!(fs::read_to_string(root.join("locked.ron")).unwrap(), "old");
}

#[test]
fn a_set_is_written_with_its_folders() {
    let folder = TempDir::new().unwrap();
    let root = folder.path().join("a/shop");
    write_files(&root, &[file("house.ron", b"h"), file("systems/x.ron", b"x")]).unwrap();
    assert_eq!(names(&root), ["house.ron", "systems"]);
    assert_eq!(fs::read(root.join("systems/x.ron")).unwrap(), b"x");
}

#[test]
fn a_set_of_which_one_cannot_be_written_is_not_written_at_all() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    fs::write(root.join("kept.ron"), "old").unwrap();
    fs::create_dir(root.join("taken.ron")).unwrap();
    let set =
        [file("kept.ron", b"new"), file("deep/er/fresh.ron", b"new"), file("taken.ron", b"new")];
    let said = refused(root, write_files(root, &set));
    assert_eq!(said, "taken.ron:1:1: error: the file cannot be written: a folder has that name");
    assert_eq!(names(root), ["kept.ron", "taken.ron"], "no file and no folder more");
    assert_eq!(fs::read_to_string(root.join("kept.ron")).unwrap(), "old");
    for out in ["../a.ron", "/a.ron", "b/../../a.ron", "./../a.ron"] {
        let said = refused(root, write_files(root, &[file("b.ron", b"x"), file(out, b"x")]));
        assert!(said.ends_with("error: the file would lie outside its folder"), "{said}");
        assert_eq!(names(root), ["kept.ron", "taken.ron"]);
    }
}

#[test]
fn a_set_that_fails_while_it_is_moved_is_taken_back() {
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    fs::write(root.join("kept.ron"), "old").unwrap();
    // `x` can be prepared as a file; then `x/y` makes a folder of that name, so that `x` cannot be
    // moved to its place any more, while the files before it have been.
    let set =
        [file("kept.ron", b"new"), file("fresh.ron", b"new"), file("x", b"1"), file("x/y", b"2")];
    let said = refused(root, write_files(root, &set));
    assert!(said.starts_with("x:1:1: error: the file cannot be written"), "{said}");
    assert_eq!(names(root), ["kept.ron"], "no file and no folder more");
    assert_eq!(fs::read_to_string(root.join("kept.ron")).unwrap(), "old");
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = TempDir::new().unwrap();
    let root = folder.path();
    fs::set_permissions(root, fs::Permissions::from_mode(0o555)).unwrap();
    let done = write_file(&root.join("a.ron"), b"x");
    let set = write_files(root, &[file("b/c.ron", b"x")]);
    fs::set_permissions(root, fs::Permissions::from_mode(0o755)).unwrap();
    if done.is_ok() {
        // Root writes everywhere: there is nothing to refuse.
        assert!(set.is_ok());
        return;
    }
    assert_eq!(
        refused(root, done),
        "a.ron:1:1: error: the file cannot be written: you do not have permission"
    );
    assert_eq!(
        refused(root, set),
        "b:1:1: error: the folder cannot be made: you may not write in ."
    );
}

/// What a person keeps in the folder beside a plan's files is theirs.
#[test]
fn of_an_earlier_plan_is_only_what_has_the_name_of_its_files() {
    let folder = TempDir::new().unwrap();
    for name in [
        "plan.txt",
        "pour.png",
        "pour-seed-7.png",
        "base-fog.png",
        "spectra.svg",
        "notes.txt",
        "holiday.png",
        "pouring.png",
        "base-fog.txt",
    ] {
        fs::write(folder.path().join(name), "").unwrap();
    }
    fs::create_dir(folder.path().join("lamps.png")).unwrap();
    let left = left_from_earlier(folder.path(), &["plan.txt", "base-fog.png"]);
    assert_eq!(left, ["pour-seed-7.png", "pour.png", "spectra.svg"]);
    assert!(left_from_earlier(&folder.path().join("none"), &[]).is_empty());
}
