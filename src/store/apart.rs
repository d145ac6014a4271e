//! Which outputs of one command may stand beside one another.

use std::path::Path;

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

#[cfg(test)]
mod tests {
    use super::*;

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
