//! Drawings: SVG text to pixels, with the font that the program carries.

use std::sync::{Arc, OnceLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use super::raster::Raster;

/// Inter, under the SIL Open Font License (beside it).
pub(crate) const FONTS: [&[u8]; 2] =
    [include_bytes!("font/Inter-Regular.otf"), include_bytes!("font/Inter-SemiBold.otf")];

/// A drawing that could not be made: this is a bug in pourbook, or memory ran out.
#[derive(Debug, thiserror::Error)]
pub enum DrawingError {
    /// The SVG text is not right.
    #[error("the drawing could not be read: {0}")]
    Svg(#[from] resvg::usvg::Error),
    /// No memory for the pixels, or no pixels.
    #[error("a drawing of {0} by {1} pixels cannot be made")]
    Size(u32, u32),
}

fn fonts() -> Arc<fontdb::Database> {
    static LOADED: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    Arc::clone(LOADED.get_or_init(|| {
        let mut fonts = fontdb::Database::new();
        for font in FONTS {
            fonts.load_font_data(font.to_vec());
        }
        Arc::new(fonts)
    }))
}

/// Draws an SVG whose units are 1/96 in at `dpi`, on white.
pub(super) fn draw(svg: &str, dpi: u32) -> Result<Raster, DrawingError> {
    let options =
        Options { fontdb: fonts(), font_family: "Inter".to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options)?;
    #[expect(clippy::cast_precision_loss, reason = "a resolution is small")]
    let scale = dpi as f32 / 96.0;
    let size = tree.size().to_int_size().scale_by(scale).ok_or(DrawingError::Size(0, 0))?;
    let (width, height) = (size.width(), size.height());
    let mut pixels = Pixmap::new(width, height).ok_or(DrawingError::Size(width, height))?;
    pixels.fill(resvg::tiny_skia::Color::WHITE);
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    // On opaque white every pixel is opaque, so the colours are not premultiplied by anything.
    let rgb = pixels.pixels().iter().flat_map(|p| [p.red(), p.green(), p.blue()]).collect();
    Ok(Raster { width, height, dpi, rgb })
}

/// Text made safe to stand in SVG.
pub(super) fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            control if control.is_control() => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}
