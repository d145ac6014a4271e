//! What was found, shown and weighed: the exit code follows from the worst of it.

use crate::diagnostic::{Diagnostics, Severity};
use crate::report::Paint;
use crate::report::diagnostic_text::diagnostic_text;

use super::env::Env;

/// Done.
pub(super) const DONE: u8 = 0;
/// Refused by a check.
pub(super) const REFUSED: u8 = 1;
/// Bad use or bad input.
pub(super) const BAD_INPUT: u8 = 2;

/// The exit code for what was found.
pub(super) fn code_of(found: &Diagnostics) -> u8 {
    match found.worst() {
        Some(Severity::Error) => BAD_INPUT,
        Some(Severity::Refused) => REFUSED,
        _ => DONE,
    }
}

/// Prints an answer. A reader that has gone away is no mistake.
pub(super) fn print(env: &mut Env<'_>, text: &str) -> u8 {
    match env.out.write_all(text.as_bytes()).and_then(|()| env.out.flush()) {
        Ok(()) => DONE,
        Err(why) if why.kind() == std::io::ErrorKind::BrokenPipe => DONE,
        Err(why) => {
            // Nothing more can be done where the other stream fails too.
            let _ = writeln!(env.err, "error: the answer could not be printed: {why}");
            BAD_INPUT
        }
    }
}

/// Prints mistakes, cautions and notes; the exit code that they call for.
pub(super) fn complain(env: &mut Env<'_>, found: &Diagnostics) -> u8 {
    if !found.0.is_empty() {
        let text = diagnostic_text(found, env.paint_err == Paint::TrueColour, env.err_is_terminal);
        // Nothing more can be done where this stream fails.
        let _ = env.err.write_all(text.as_bytes());
    }
    code_of(found)
}
