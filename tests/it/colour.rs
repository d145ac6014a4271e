//! Colour against the world outside: published tables and a general-purpose library.

mod cases;
mod chart;
mod crate_palette;
mod differences;
mod library;
mod round_trips;
mod whites;
