//! Pictures from values: chips, sheets of chips, plots, the pour, and their bytes as PNG.
//!
//! - [`Raster`]: pixels, 8-bit sRGB; [`png`](Raster::png) writes them with their true size and notes.
//! - [`chip`]: one film over its primer, over black and over white.
//! - [`sheet`]: all chips of a colourway with names and figures.
//! - [`plot`]: curves over wavelength.
//! - [`pairs`]: a target beside what comes near it.
//! - [`pour`]: a plan as a pour, drawn: [`scene`] lays it, [`render`] draws it.
//! - [`captioned`], [`contact_sheet`]: pictures with what they are, and several in one.
//!
//! A picture of a colour is an approximation, and every picture says so.

mod caption;
mod chip;
mod drawing;
mod pairs;
mod plot;
mod png;
pub mod pour;
mod raster;
pub mod render;
pub mod scene;
mod sheet;

pub use caption::{captioned, contact_sheet};
pub use chip::{Chip, chip, chips};
pub use drawing::DrawingError;
pub(crate) use drawing::FONTS;
pub use pairs::{Pair, Pairs, pairs};
pub use plot::{Curve, Panel, Scale, colorant_panels, plot, plot_svg};
pub use png::{Note, PngError};
pub use raster::Raster;
pub use sheet::{SheetError, SheetHead, sheet};

/// What every picture says of itself.
pub const APPROXIMATE: &str = "approximate preview";
