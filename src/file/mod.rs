//! Text to nouns and back: no disk, only `&str` and bytes in.
//!
//! | file | what |
//! |---|---|
//! | [`decode`] | bytes to a [`Source`](crate::diagnostic::Source): size, encoding |
//! | [`tree`] | a shop file (RON) as a tree with places, and the [`Value`](tree::Value) that walks it |
//! | [`system`], [`colorant`], [`colourway`], [`job`], [`house`] | one noun's file each |
//! | `noun`, `figure` | what these files have in common |
//! | [`place`] | where in the text a part of a noun stands, for mistakes that show only later |
//! | [`splice`] | one value changed, every other byte kept |
//! | `optics_text` | measured optics, and a lot, into a colorant's file |
//! | [`readings`] | measured reflectance: CGATS.17 / ISO 28178 text, and CSV tables |

pub mod colorant;
pub mod colourway;
pub mod decode;
mod figure;
mod held;
pub mod house;
pub mod job;
mod noun;
mod optics_text;
pub mod place;
pub mod readings;
pub mod splice;
pub mod system;
pub mod tree;

pub use optics_text::{figure_text, with_lot, with_optics};
