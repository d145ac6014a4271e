//! Pixels.

use crate::colour::Srgb8;

/// A picture: rows of 8-bit sRGB pixels from the top, and how large it is meant to be seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Raster {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Pixels per inch.
    pub dpi: u32,
    /// Red, green, blue of each pixel in turn: 3·width·height bytes.
    pub rgb: Vec<u8>,
}

impl Raster {
    /// A picture of one colour.
    #[must_use]
    pub fn filled(width: u32, height: u32, dpi: u32, colour: Srgb8) -> Self {
        let pixels = width as usize * height as usize;
        Self { width, height, dpi, rgb: [colour.r, colour.g, colour.b].repeat(pixels) }
    }

    /// Paints the part of a rectangle that lies inside.
    pub fn paint(&mut self, left: u32, top: u32, width: u32, height: u32, colour: Srgb8) {
        let right = left.saturating_add(width).min(self.width) as usize;
        let (left, all) = (left as usize, self.width as usize);
        for row in top as usize..top.saturating_add(height).min(self.height) as usize {
            if left >= right {
                return;
            }
            for pixel in
                self.rgb[3 * (row * all + left)..3 * (row * all + right)].chunks_exact_mut(3)
            {
                pixel.copy_from_slice(&[colour.r, colour.g, colour.b]);
            }
        }
    }

    /// The colour of a pixel; `None` outside.
    #[must_use]
    pub fn pixel(&self, x: u32, y: u32) -> Option<Srgb8> {
        if x >= self.width || y >= self.height {
            return None;
        }
        let at = 3 * (y as usize * self.width as usize + x as usize);
        Some(Srgb8 { r: self.rgb[at], g: self.rgb[at + 1], b: self.rgb[at + 2] })
    }
}
