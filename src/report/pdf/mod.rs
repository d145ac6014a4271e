//! Sheets as PDF: vector text in the font that the program carries, figures that stand under one
//! another, colours as sRGB, tags that a screen reader follows, the same bytes on every run.
//!
//! ```text
//! Sheets ─► fit (how closely) ─► blocks (strips) ─► flow (pages, breaks) ─► write (bytes)
//! ```

mod blanks;
mod blocks;
mod canvas;
mod cards;
mod columns;
mod container;
mod fit;
mod flow;
mod font;
mod labels;
mod table;
mod unshown;
mod write;

pub use unshown::unshown;

use crate::quantity::Units;
use crate::report::sheet::Sheets;

/// The paper printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 × 11 in.
    Letter,
    /// 210 × 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// The paper that usually goes with the units.
    #[must_use]
    pub const fn for_units(units: Units) -> Self {
        match units {
            Units::Us => Self::Letter,
            Units::Metric => Self::A4,
        }
    }

    /// Width and height, pt (1/72 in).
    const fn size(self) -> [f32; 2] {
        match self {
            Self::Letter => [612.0, 792.0],
            Self::A4 => [595.276, 841.89],
        }
    }
}

/// A document that could not be written: this is a bug in pourbook, or memory ran out.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The font that the program carries cannot be read.
    #[error("the font that the program carries cannot be read")]
    Font,
    /// The writer refused.
    #[error("the PDF could not be written: {0}")]
    Written(String),
}

/// All sheets as one PDF.
///
/// # Errors
/// [`PdfError`], which is never the person's mistake.
pub fn pdf(sheets: &Sheets, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let open = font::Fonts::new()?;
    let [close, closest] = open.closer();
    let mut flow = flow::Flow::new(&open, paper, sheets);
    for sheet in &sheets.sheets {
        let fit = fit::fit(sheets, sheet, paper, [&open, &close, &closest]);
        flow.fonts = fit.fonts;
        blocks::sheet(&mut flow, sheet, fit.turn);
    }
    flow.finish();
    write::write(&flow, sheets, paper)
}
