//! Bytes to text that a person can have written, or a plain word on why not.
//!
//! Everything read from a file passes here once: size, encoding and byte-order mark are settled
//! before any reader sees the text, so that lines and columns are those of the person's editor.

use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};

/// Largest file that a person can have written by hand: 4 MiB.
pub const LARGEST_SHOP_FILE: usize = 4 << 20;

/// Largest file of measured readings: 32 MiB, some 50,000 spectra.
pub const LARGEST_READINGS: usize = 32 << 20;

/// The text of `bytes`, without a UTF-8 byte-order mark, under the name that the person knows.
///
/// # Errors
/// When `bytes` is longer than `largest`, is UTF-16 or UTF-32, is not UTF-8 (with line and column of
/// the first bad byte), or holds control characters, as programs and pictures do.
pub fn decode(name: &str, bytes: &[u8], largest: usize) -> Result<Arc<Source>, Diagnostics> {
    if bytes.len() > largest {
        return Err(too_large(name, bytes.len(), largest));
    }
    if let Some(encoding) = foreign_encoding(bytes) {
        let message = format!("the file is {encoding} text");
        return Err(refused(name, message, "save it as UTF-8"));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => {
            let source = Arc::new(Source { name: name.to_owned(), text: text.to_owned() });
            match text.find(is_foreign_control) {
                None => Ok(source),
                Some(at) => {
                    let code = u32::from(text[at..].chars().next().unwrap_or('\0'));
                    Err(Diagnostic::error(format!(
                        "this is not a text file: it holds the control character U+{code:04X}"
                    ))
                    .at(Place::new(&source, at..at + 1))
                    .hint("is this the right file?")
                    .into())
                }
            }
        }
        // Programs and pictures hold zeros; texts in another encoding do not.
        Err(_) if bytes.contains(&0) => {
            Err(refused(name, "this is not a text file".to_owned(), "is this the right file?"))
        }
        Err(error) => {
            let good = String::from_utf8_lossy(&bytes[..error.valid_up_to()]).into_owned();
            let end = good.len();
            let source = Arc::new(Source { name: name.to_owned(), text: good });
            let byte = bytes.get(error.valid_up_to()).copied().unwrap_or_default();
            Err(Diagnostic::error(format!(
                "the file is not UTF-8 text: byte 0x{byte:02X} cannot stand here"
            ))
            .at(Place::new(&source, end..end))
            .hint("save it as UTF-8")
            .into())
        }
    }
}

/// What to say of a file of `bytes` where at most `largest` are read; also before it is read.
#[must_use]
pub fn too_large(name: &str, bytes: usize, largest: usize) -> Diagnostics {
    let message = format!(
        "the file is too large: {} where at most {} is read",
        mebibytes(bytes),
        mebibytes(largest)
    );
    refused(name, message, "is this the right file?")
}

/// A file refused as a whole: the place is its name.
fn refused(name: &str, message: String, hint: &str) -> Diagnostics {
    let nothing = Arc::new(Source { name: name.to_owned(), text: String::new() });
    Diagnostic::error(message).at(Place::new(&nothing, 0..0)).hint(hint).into()
}

/// A size for a person, in MiB to one decimal.
fn mebibytes(bytes: usize) -> String {
    let tenths = bytes.saturating_mul(10) / (1 << 20);
    format!("{}.{} MiB", tenths / 10, tenths % 10)
}

/// The encoding that a byte-order mark, or a NUL beside ASCII at the very start, gives away.
fn foreign_encoding(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0xFF, 0xFE, 0, 0, ..] | [0, 0, 0xFE, 0xFF, ..] => Some("UTF-32"),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => Some("UTF-16"),
        [a, 0, b, 0, ..] | [0, a, 0, b, ..] if is_plain(*a) && is_plain(*b) => Some("UTF-16"),
        _ => None,
    }
}

const fn is_plain(byte: u8) -> bool {
    byte.is_ascii_graphic() || byte.is_ascii_whitespace()
}

/// Control characters that no editor puts into a text.
fn is_foreign_control(c: char) -> bool {
    c.is_control() && !matches!(c, '\t' | '\n' | '\r' | '\x0B' | '\x0C' | '\x1A' | '\u{85}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(bytes: &[u8]) -> String {
        decode("a.ron", bytes, 64).expect_err("refused").to_string()
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        let source = decode("a.ron", b"\xEF\xBB\xBF(version: 1)", 64).unwrap();
        assert_eq!(source.text, "(version: 1)");
    }

    #[test]
    fn what_is_not_text_is_named() {
        assert_eq!(
            said(b"\xFF\xFE(\0"),
            "a.ron:1:1: error: the file is UTF-16 text (save it as UTF-8)"
        );
        assert_eq!(said(b"(\0v\0"), "a.ron:1:1: error: the file is UTF-16 text (save it as UTF-8)");
        assert_eq!(
            said(b"(\n  caf\xE9"),
            "a.ron:2:6: error: the file is not UTF-8 text: byte 0xE9 cannot stand here (save it as UTF-8)"
        );
        assert_eq!(
            said(b"(ab\0)"),
            "a.ron:1:4: error: this is not a text file: it holds the control character U+0000 (is this the right file?)"
        );
        assert_eq!(
            said(b"\x89PNG\0"),
            "a.ron:1:1: error: this is not a text file (is this the right file?)"
        );
        assert_eq!(
            said(&[b' '; 65]),
            "a.ron:1:1: error: the file is too large: 0.0 MiB where at most 0.0 MiB is read (is this the right file?)"
        );
    }
}
