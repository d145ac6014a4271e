//! Which outputs of one command may stand beside one another.

use std::path::Path;

use super::refusal::shown;
use super::shop::FOLDERS;
use super::write::place_of;
use crate::diagnostic::Diagnostic;

/// An output with the option that names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named<'a> {
    /// `--pdf`.
    pub option: &'a str,
    /// Where it goes.
    pub path: &'a Path,
}

/// Refuses an output under a name that another of the same command has, that a shop would read as its own, or that
/// lies in `saved`, the folder that all outputs go into under names of their own.
///
/// # Errors
/// The first such name, with what would be right.
pub fn apart(named: &[Named<'_>], saved: Option<&Path>) -> Result<(), Diagnostic> {
    for (at, one) in named.iter().enumerate() {
        let same = |other: &&Named<'_>| place_of(other.path) == place_of(one.path);
        if let Some(other) = named[at + 1..].iter().find(same) {
            return Err(Diagnostic::error(format!(
                "{} and {} name one file, and only one of them would be left",
                one.option, other.option
            ))
            .hint("give each a name of its own: --pdf sheets.pdf --html sheets.html"));
        }
    }
    for Named { option, path } in named {
        if path.extension().is_some_and(|end| end.eq_ignore_ascii_case("ron")) {
            return Err(Diagnostic::error(format!(
                "{option} names a .ron file, and a shop would read that as one of its own"
            ))
            .hint(format!(
                "end the name otherwise: {option} sheets.{}",
                option.trim_start_matches('-')
            )));
        }
        let inside =
            |saved: &Path| place_of(path).parent() == place_of(&saved.join("plan.txt")).parent();
        if saved.is_some_and(inside) {
            return Err(Diagnostic::error(format!(
                "{option} names a file in the folder of --save, which has its own sheets in it"
            ))
            .hint("leave it out, or name a file elsewhere"));
        }
    }
    Ok(())
}

/// Refuses a folder for outputs that is one in which a shop keeps its texts, or that lies in one: a plan saved there
/// stands among them, may take the place of one, and is told of by every check.
///
/// # Errors
/// The shop's folder, with what would be right.
pub fn outside_shop_folders(folder: &Path) -> Result<(), Diagnostic> {
    let place = place_of(&folder.join("any"));
    let of_a_shop = |folder: &&Path| {
        let name = folder.file_name().and_then(|name| name.to_str());
        name.is_some_and(|name| FOLDERS.contains(&name))
            && folder.parent().is_some_and(|shop| shop.join("colourways").is_dir())
    };
    let Some(within) = place.ancestors().skip(1).find(of_a_shop) else { return Ok(()) };
    let name = within.file_name().unwrap_or_default().to_string_lossy();
    Err(Diagnostic::error(format!(
        "nothing is saved in {}: the shop keeps its {name} there, and reads what stands there as its own",
        shown(folder)
    ))
    .hint("name a folder of its own, outside the shop's: out"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outputs_go_into_no_folder_of_a_shop_s_texts() {
        let shop = tempfile::tempdir().unwrap();
        std::fs::create_dir(shop.path().join("colourways")).unwrap();
        let told = |inside: &str| {
            let found = outside_shop_folders(&shop.path().join(inside));
            found.err().map_or_else(String::new, |found| found.message)
        };
        for folder in ["colourways", "jobs", "jobs/out", "./systems", "colourways/../colorants"] {
            assert!(told(folder).starts_with("nothing is saved in "), "{folder}: {}", told(folder));
        }
        assert!(told("jobs/out").ends_with(
            "/jobs/out: the shop keeps its jobs there, and reads what stands there as its own"
        ));
        for folder in ["", "out", "swatches/jobs", "readings", "swatches"] {
            assert_eq!(told(folder), "", "{folder}");
        }
    }

    fn told(named: &[(&str, &str)], saved: Option<&str>) -> String {
        let named: Vec<Named<'_>> =
            named.iter().map(|(option, path)| Named { option, path: Path::new(path) }).collect();
        let found = apart(&named, saved.map(Path::new));
        found.err().map_or_else(String::new, |found| found.message)
    }

    #[test]
    fn outputs_that_would_undo_one_another_are_refused() {
        assert_eq!(told(&[("--pdf", "a.pdf"), ("--html", "a.html")], Some("out")), "");
        let one = told(&[("--pdf", "a.out"), ("--html", "./a.out")], None);
        assert!(one.starts_with("--pdf and --html name one file"), "{one}");
        let ron = told(&[("--pdf", "a.RON")], None);
        assert!(ron.starts_with("--pdf names a .ron file"), "{ron}");
        let inside = told(&[("--html", "src/a.html")], Some("./src"));
        assert!(inside.starts_with("--html names a file in the folder of --save"), "{inside}");
    }
}
