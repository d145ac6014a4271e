//! A picture as PNG (ISO/IEC 15948): with the sRGB chunk, its physical size, and notes as text.

use png::{BitDepth, ColorType, Compression, Encoder, PixelDimensions, SrgbRenderingIntent, Unit};

use super::raster::Raster;

/// A keyword and what it says, written as a text chunk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// A keyword of at most 79 letters.
    pub keyword: &'static str,
    /// Any text.
    pub text: String,
}

/// A picture that could not be encoded: this is a bug in pourbook, or memory ran out.
#[derive(Debug, thiserror::Error)]
#[error("the picture could not be encoded: {0}")]
pub struct PngError(#[from] png::EncodingError);

impl Raster {
    /// The picture as PNG.
    ///
    /// # Errors
    /// A picture of no size, or one too large to encode.
    pub fn png(&self, notes: &[Note]) -> Result<Vec<u8>, PngError> {
        let mut bytes = Vec::new();
        let mut encoder = Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(ColorType::Rgb);
        encoder.set_depth(BitDepth::Eight);
        encoder.set_compression(Compression::Fast);
        encoder.set_source_srgb(SrgbRenderingIntent::RelativeColorimetric);
        let per_metre = (u64::from(self.dpi) * 10_000 + 127) / 254;
        let per_metre = u32::try_from(per_metre).unwrap_or(u32::MAX);
        encoder.set_pixel_dims(Some(PixelDimensions {
            xppu: per_metre,
            yppu: per_metre,
            unit: Unit::Meter,
        }));
        for note in notes {
            // tEXt holds Latin-1 only; anything else goes as iTXt.
            if note.text.chars().all(|c| u32::from(c) < 256) {
                encoder.add_text_chunk(note.keyword.to_owned(), note.text.clone())?;
            } else {
                encoder.add_itxt_chunk(note.keyword.to_owned(), note.text.clone())?;
            }
        }
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&self.rgb)?;
        writer.finish()?;
        Ok(bytes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Srgb8;

    #[test]
    fn an_independent_reader_finds_pixels_size_and_notes() {
        let mut picture = Raster::filled(5, 3, 300, Srgb8 { r: 10, g: 20, b: 30 });
        picture.paint(1, 1, 2, 99, Srgb8 { r: 200, g: 0, b: 7 });
        let notes = [
            Note { keyword: "Description", text: "a chip".into() },
            Note { keyword: "Title", text: "ΔE00 naïve".into() },
        ];
        let bytes = picture.png(&notes).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        assert_eq!(pixels, picture.rgb);
        let info = reader.info();
        assert_eq!(info.srgb, Some(SrgbRenderingIntent::RelativeColorimetric));
        assert_eq!(info.pixel_dims.unwrap().xppu, 11_811, "300 dpi");
        assert_eq!(info.uncompressed_latin1_text[0].text, "a chip");
        assert_eq!(info.utf8_text[0].get_text().unwrap(), "ΔE00 naïve");
    }

    #[test]
    fn a_picture_of_no_size_is_an_error_and_no_panic() {
        assert!(Raster::filled(0, 0, 300, Srgb8 { r: 0, g: 0, b: 0 }).png(&[]).is_err());
    }
}
