//! What the operating system refused, in words for a person.

use std::io::{Error, ErrorKind};
use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Place, Source};

/// Why something could not be done, as the end of a sentence.
pub(super) fn why(error: &Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "it does not exist".to_owned(),
        ErrorKind::PermissionDenied => "you do not have permission".to_owned(),
        ErrorKind::AlreadyExists => "it is there already".to_owned(),
        ErrorKind::NotADirectory => "a part of its path is a file, not a folder".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        ErrorKind::FileTooLarge => "it is too large for this disk".to_owned(),
        ErrorKind::InvalidFilename => "the system does not allow such a name".to_owned(),
        _ => error.to_string(),
    }
}

/// The name of a path as a person would type it.
pub(crate) fn shown(path: &Path) -> String {
    let path = path.strip_prefix(".").unwrap_or(path);
    if path.as_os_str().is_empty() { ".".to_owned() } else { path.display().to_string() }
}

/// An error about a file as a whole: its place is its name.
pub(super) fn about(name: &str, message: impl Into<String>) -> Diagnostic {
    Diagnostic::error(message).at(whole(name))
}

/// The place of a file of which no text is known.
pub(super) fn whole(name: &str) -> Place {
    Place::new(&Arc::new(Source { name: name.to_owned(), text: String::new() }), 0..0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn common_refusals_are_plain_words() {
        for (kind, words) in [
            (ErrorKind::PermissionDenied, "you do not have permission"),
            (ErrorKind::StorageFull, "the disk is full"),
            (ErrorKind::NotFound, "it does not exist"),
        ] {
            assert_eq!(why(&Error::from(kind)), words);
        }
        assert_eq!(why(&Error::other("the cable is out")), "the cable is out");
    }

    #[test]
    fn a_path_is_shown_as_it_would_be_typed() {
        for (path, as_typed) in [
            ("./systems/a.ron", "systems/a.ron"),
            (".", "."),
            ("", "."),
            ("shop/a.ron", "shop/a.ron"),
        ] {
            assert_eq!(shown(Path::new(path)), as_typed);
        }
    }
}
