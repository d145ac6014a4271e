//! The door from the terminal: words to an ask, an answer to text. Nothing is computed here.

mod args;
mod characterise;
mod env;
mod matching;
mod run;
mod samples;
mod show;

pub use env::Env;
pub use run::run;
