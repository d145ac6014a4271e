//! pourbook: colour recipes, batch weights and swatches for poured, pigmented two-part epoxy.
//!
//! Data flows one way:
//!
//! ```text
//! text ─► file structs ─► model ─► plan ─► prediction ─► picture or report
//! (file)                 (model)  (plan)   (predict)     (picture, report)
//! ```
//!
//! # Floors
//!
//! Each module stands on a floor and uses only floors below its own; a test proves it.
//!
//! | floor | modules | what is there |
//! |---|---|---|
//! | 0 | [`diagnostic`], [`suggest`], [`quantity`] | words and measures, no domain |
//! | 1 | [`spectrum`], [`colour`], [`optics`], [`solve`], [`flow`], [`heat`] | pure numbers: no names, files or thresholds |
//! | 2 | [`model`] | nouns, valid by construction |
//! | 3 | [`mod@file`] | text to nouns and back, no disk |
//! | 4 | [`predict`] | the colour of things |
//! | 5 | [`plan`], [`characterise`] | decisions: weights, vessels, order, buying, cautions; optical data from readings |
//! | 6 | [`matching`], [`picture`], [`report`] | loadings for a wanted colour; values to bytes |
//! | 7 | [`store`] | the disk |
//! | 8 | [`acts`] | one function an act: ask to answer |
//! | 9 | [`cli`] | the door from the terminal |
//!
//! Out of scope: any claim about a product's safety. Cautions are the usual ones, and defer to the
//! product's safety data sheet, local codes and licensed practice.

// A plan's JSON is one object, written out key by key.
#![recursion_limit = "256"]

pub mod acts;
pub mod characterise;
pub mod cli;
pub mod colour;
pub mod diagnostic;
pub mod file;
pub mod flow;
pub mod heat;
pub mod matching;
pub mod model;
pub mod optics;
pub mod picture;
pub mod plan;
pub mod predict;
pub mod quantity;
pub mod report;
pub mod solve;
pub mod spectrum;
pub mod store;
pub mod suggest;
