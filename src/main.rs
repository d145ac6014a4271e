//! The `pourbook` program: everything it does is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(pourbook::cli::Env::run_here())
}
