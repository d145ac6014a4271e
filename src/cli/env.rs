//! What the program finds around it: arguments, folder, streams, whether they are a terminal. The
//! only place where these enter.

use std::ffi::OsString;
use std::io::{self, IsTerminal, Write};
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

use crate::report::Paint;
use crate::report::sheet::Day;

/// The program's surroundings.
pub struct Env<'a> {
    /// Arguments, the program's own name first.
    pub args: Vec<OsString>,
    /// The folder it was started in.
    pub working_folder: PathBuf,
    /// Where answers go.
    pub out: &'a mut dyn Write,
    /// Where mistakes go.
    pub err: &'a mut dyn Write,
    /// Whether answers may be painted.
    pub paint_out: Paint,
    /// Whether mistakes may be painted.
    pub paint_err: Paint,
    /// Whether mistakes go to a terminal: there long sentences are broken, and long work shows how far it is.
    pub err_is_terminal: bool,
}

impl Env<'_> {
    /// The day it is, by the clock of the machine (UTC).
    pub(super) fn today(&self) -> Option<Day> {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).ok()?;
        Day::of_days_since_1970(since.as_secs() / 86_400)
    }

    /// Runs the program in the process's own surroundings.
    #[must_use]
    pub fn run_here() -> u8 {
        let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let paint = |terminal: bool| {
            if terminal && !plain { Paint::TrueColour } else { Paint::None }
        };
        let (mut out, mut err) = (io::stdout(), io::stderr());
        let mut env = Env {
            paint_out: paint(out.is_terminal()),
            paint_err: paint(err.is_terminal()),
            err_is_terminal: err.is_terminal(),
            args: std::env::args_os().collect(),
            // As a person stands in it: paths are told from here.
            working_folder: PathBuf::from("."),
            out: &mut out,
            err: &mut err,
        };
        super::run(&mut env)
    }
}
