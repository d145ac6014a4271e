//! What a picture is, written under it; several pictures in one.

use super::drawing::{DrawingError, draw, escaped};
use super::raster::Raster;
use crate::colour::Srgb8;

/// White paper.
const PAPER: Srgb8 = Srgb8 { r: 255, g: 255, b: 255 };
/// Height of the caption strip, in 1/96 in of a picture at 96 dpi.
const STRIP: u32 = 44;
/// Width of a letter, on the wide side of the mean, in the same measure.
const LETTER: f64 = 8.2;

impl Raster {
    /// Puts another picture into this one; what lies outside is cut off.
    pub fn place(&mut self, left: u32, top: u32, other: &Self) {
        let columns = other.width.min(self.width.saturating_sub(left)) as usize;
        for row in 0..other.height.min(self.height.saturating_sub(top)) {
            let from = row as usize * other.width as usize * 3;
            let to = ((top + row) as usize * self.width as usize + left as usize) * 3;
            self.rgb[to..to + 3 * columns].copy_from_slice(&other.rgb[from..from + 3 * columns]);
        }
    }
}

/// How much smaller than usual the letters have to be for two lines in this width: they are never cut.
fn letter_scale(width: u32, lines: [&str; 2]) -> f64 {
    let longest = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    let needed = 16.0 + LETTER * f64::from(u32::try_from(longest).unwrap_or(u32::MAX));
    (f64::from(width) / needed).min(1.0)
}

/// A strip of paper with up to two lines of words, as wide as asked for, its letters smaller by `scale`.
fn strip(width: u32, lines: [&str; 2], scale: f64) -> Result<Raster, DrawingError> {
    let height = (f64::from(STRIP) * scale).ceil();
    let size = 14.0 * scale;
    let [first, second] = lines.map(escaped);
    let svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" font-family="Inter" font-size="{size:.2}" fill="#1c1c1c"><text x="{x:.2}" y="{y1:.2}" font-weight="600">{first}</text><text x="{x:.2}" y="{y2:.2}">{second}</text></svg>"##,
        x = 8.0 * scale,
        y1 = 18.0 * scale,
        y2 = 36.0 * scale,
    );
    draw(&svg, 96)
}

/// The picture with a strip of paper under it that says what it is.
///
/// # Errors
/// Only where memory runs out.
pub fn captioned(picture: &Raster, lines: [&str; 2]) -> Result<Raster, DrawingError> {
    captioned_at(picture, lines, letter_scale(picture.width, lines))
}

fn captioned_at(picture: &Raster, lines: [&str; 2], scale: f64) -> Result<Raster, DrawingError> {
    let strip = strip(picture.width, lines, scale)?;
    let height = picture.height + strip.height;
    let mut whole = Raster::filled(picture.width, height, picture.dpi, PAPER);
    whole.place(0, 0, picture);
    whole.place(0, picture.height, &strip);
    Ok(whole)
}

/// Pictures side by side in rows, each with its own caption of two lines, all in letters of one size.
///
/// # Errors
/// Only where memory runs out.
pub fn contact_sheet(
    pictures: &[(Raster, [String; 2])],
    across: usize,
    lines: [&str; 2],
) -> Result<Raster, DrawingError> {
    const GAP: u32 = 16;
    let across = across.clamp(1, pictures.len().max(1));
    let scale = pictures
        .iter()
        .map(|(picture, words)| letter_scale(picture.width, [&words[0], &words[1]]))
        .fold(1.0, f64::min);
    let cells = pictures
        .iter()
        .map(|(picture, words)| captioned_at(picture, [&words[0], &words[1]], scale))
        .collect::<Result<Vec<_>, _>>()?;
    let cell = |size: fn(&Raster) -> u32| cells.iter().map(size).max().unwrap_or(1);
    let (wide, high) = (cell(|c| c.width), cell(|c| c.height));
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let rows = cells.len().div_ceil(across);
    let width = GAP + count(across).saturating_mul(wide + GAP);
    let height = GAP + count(rows).saturating_mul(high + GAP);
    let dpi = cells.first().map_or(96, |cell| cell.dpi);
    if u64::from(width) * u64::from(height) > 400_000_000 {
        return Err(DrawingError::Size(width, height));
    }
    let mut sheet = Raster::filled(width, height, dpi, PAPER);
    for (at, cell) in cells.iter().enumerate() {
        let (column, row) = (count(at % across), count(at / across));
        sheet.place(GAP + column * (wide + GAP), GAP + row * (high + GAP), cell);
    }
    captioned(&sheet, lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A long caption makes the letters of all its neighbours small.
    #[test]
    fn captions_side_by_side_have_letters_of_one_size() {
        let picture = Raster::filled(200, 40, 96, PAPER);
        let long = "a lamp of many words and of figures for each of the colours".to_owned();
        let words = |first: &str| [first.to_owned(), String::new()];
        let two = [(picture.clone(), words("short")), (picture.clone(), words(&long))];
        let short = [(picture.clone(), words("short")), (picture.clone(), words("short"))];
        let [both, alone] =
            [&two, &short].map(|all| contact_sheet(all, 2, ["", ""]).expect("it is small"));
        // Where the short caption stands: its letters are as small as those of the long one.
        let inked = |sheet: &Raster| {
            let (width, top) = (sheet.width as usize, 16 + 40);
            let dark = |row: &usize| {
                let start = (row * width + 16) * 3;
                sheet.rgb[start..start + 3 * 200].iter().any(|part| *part < 128)
            };
            (top..top + 40).filter(dark).count()
        };
        assert!(inked(&both) < inked(&alone), "{} of {}", inked(&both), inked(&alone));
    }
}
