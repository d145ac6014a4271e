//! sRGB (IEC 61966-2-1): primaries, transfer, and 8-bit colours as people write them.
//!
//! Bytes are the same on every machine: the transfer's power comes from `libm` (software), and a
//! byte is found in a table of the 255 linear values at which it changes.

use std::fmt;
use std::str::FromStr;
use std::sync::OnceLock;

use super::matrix::{Matrix, apply, inverse, transposed};
use crate::spectrum::Xyz;

/// Chromaticities of the primaries and of white, IEC 61966-2-1.
const PRIMARIES: [[f64; 2]; 3] = [[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]];
const WHITE: [f64; 2] = [0.3127, 0.3290];

/// The screen's white (D65 as IEC 61966-2-1 rounds it), Y = 100.
pub const SRGB_WHITE: Xyz = {
    let [x, y, z] = of_chromaticity(WHITE);
    Xyz::new(x * 100.0, 100.0 * y, z * 100.0)
};

/// Linear RGB (0–1) to XYZ (Y = 1), exact for the primaries above. The standard prints the same
/// matrix rounded to four decimals.
const TO_XYZ: Matrix = {
    let columns = [
        of_chromaticity(PRIMARIES[0]),
        of_chromaticity(PRIMARIES[1]),
        of_chromaticity(PRIMARIES[2]),
    ];
    let unscaled = transposed(&columns);
    let amounts = apply(&inverse(&unscaled), of_chromaticity(WHITE));
    let mut m = unscaled;
    let mut row = 0;
    while row < 3 {
        m[row] = [m[row][0] * amounts[0], m[row][1] * amounts[1], m[row][2] * amounts[2]];
        row += 1;
    }
    m
};
/// XYZ (Y = 1) to linear RGB.
pub(super) const FROM_XYZ: Matrix = inverse(&TO_XYZ);

const fn of_chromaticity([x, y]: [f64; 2]) -> [f64; 3] {
    [x / y, 1.0, (1.0 - x - y) / y]
}

/// Linear sRGB (0–1 inside the gamut, unbounded outside it) from tristimulus values relative to
/// the screen's white.
#[must_use]
pub fn linear_from_xyz(xyz: Xyz) -> [f64; 3] {
    apply(&FROM_XYZ, xyz.to_array().map(|v| v / 100.0))
}

/// Tristimulus values (Y = 100 for the screen's white) of linear sRGB.
#[must_use]
pub fn xyz_from_linear(linear: [f64; 3]) -> Xyz {
    Xyz::from_array(apply(&TO_XYZ, linear).map(|v| v * 100.0))
}

/// Linear light (0–1) to the encoded signal (0–1).
///
/// ```
/// // IEC 61966-2-1: 12.92 v up to 0.0031308, then 1.055 v^(1/2.4) − 0.055.
/// let mid = pourbook::colour::srgb_encode(0.214_041_140_482_232_55);
/// assert!((mid - 0.5).abs() < 1e-12);
/// ```
#[must_use]
pub fn encode(linear: f64) -> f64 {
    if linear <= 0.003_130_8 {
        12.92 * linear
    } else {
        1.055 * libm::pow(linear, 1.0 / 2.4) - 0.055
    }
}

/// The encoded signal (0–1) to linear light (0–1): the inverse of [`encode`].
#[must_use]
pub fn decode(signal: f64) -> f64 {
    if signal <= 0.040_45 { signal / 12.92 } else { libm::pow((signal + 0.055) / 1.055, 2.4) }
}

/// From linear light to the nearest byte, by table.
#[derive(Debug)]
pub struct ByteTable {
    /// Byte at the start of each cell of linear light.
    start: Vec<u8>,
    /// Linear light from which the next byte is nearer: of 0.5, 1.5, … 254.5; no end for 255.
    above: [f64; 256],
}

/// Cells of linear light: enough that a cell holds at most two bytes.
const CELLS: u16 = 4096;

impl ByteTable {
    /// The table, made at first use.
    #[must_use]
    pub fn get() -> &'static Self {
        static TABLE: OnceLock<ByteTable> = OnceLock::new();
        TABLE.get_or_init(|| {
            let mut above = [f64::INFINITY; 256];
            for (byte, limit) in (0..=254_u8).zip(&mut above) {
                *limit = decode((f64::from(byte) + 0.5) / 255.0);
            }
            let cells = f64::from(CELLS);
            let mut byte = 0_u8;
            let start = (0..=CELLS)
                .map(|cell| {
                    while f64::from(cell) / cells >= above[usize::from(byte)] {
                        byte += 1;
                    }
                    byte
                })
                .collect();
            Self { start, above }
        })
    }

    /// The nearest byte of linear light; below 0 and no number are 0, above 1 is 255.
    #[must_use]
    #[inline]
    pub fn byte(&self, linear: f64) -> u8 {
        // NaN passes the clamp; it is cell 0 and above no limit.
        let light = linear.clamp(0.0, 1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0–1, or NaN, which is cell 0"
        )]
        let cell = (light * f64::from(CELLS)) as usize;
        let mut byte = self.start[cell];
        while light >= self.above[usize::from(byte)] {
            byte += 1;
        }
        byte
    }
}

/// A colour as a screen takes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Srgb8 {
    /// Red.
    pub r: u8,
    /// Green.
    pub g: u8,
    /// Blue.
    pub b: u8,
}

impl Srgb8 {
    /// From red, green and blue.
    #[must_use]
    pub const fn new(r: u8, g: u8, b: u8) -> Self {
        Self { r, g, b }
    }

    /// The nearest bytes to linear light (0–1), each clipped on its own.
    #[must_use]
    pub fn from_linear(linear: [f64; 3]) -> Self {
        let table = ByteTable::get();
        let [r, g, b] = linear.map(|v| table.byte(v));
        Self { r, g, b }
    }

    /// Linear light, 0–1.
    #[must_use]
    pub fn to_linear(self) -> [f64; 3] {
        [self.r, self.g, self.b].map(|byte| decode(f64::from(byte) / 255.0))
    }

    /// Tristimulus values relative to the screen's white, [`SRGB_WHITE`].
    #[must_use]
    pub fn to_xyz(self) -> Xyz {
        xyz_from_linear(self.to_linear())
    }
}

impl fmt::Display for Srgb8 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.r, self.g, self.b)
    }
}

/// A word that is no colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no colour: write # and six hexadecimal digits, such as #e8e6e0")]
pub struct NotAColour(pub String);

impl FromStr for Srgb8 {
    type Err = NotAColour;

    /// Reads `#e8e6e0`, `e8e6e0` and the short `#fff`, in either case.
    fn from_str(word: &str) -> Result<Self, NotAColour> {
        let no = || NotAColour(word.to_owned());
        let digits = word.trim();
        let digits = digits.strip_prefix('#').unwrap_or(digits);
        let nibbles: Vec<u8> = digits
            .chars()
            .map(|c| c.to_digit(16).and_then(|d| u8::try_from(d).ok()))
            .collect::<Option<_>>()
            .ok_or_else(no)?;
        match *nibbles {
            [r, g, b] => Ok(Self::new(r * 17, g * 17, b * 17)),
            [r1, r0, g1, g0, b1, b0] => Ok(Self::new(r1 * 16 + r0, g1 * 16 + g0, b1 * 16 + b0)),
            _ => Err(no()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_matrix_is_the_standards_to_its_printed_digits() {
        // IEC 61966-2-1:1999 prints four decimals.
        let printed =
            [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
        for (row, wanted) in TO_XYZ.iter().flatten().zip(printed.iter().flatten()) {
            assert!((row - wanted).abs() <= 5.1e-5, "{row} for {wanted}");
        }
    }

    #[test]
    fn every_byte_comes_back_and_the_table_is_the_rounded_formula() {
        let table = ByteTable::get();
        for byte in 0..=255_u8 {
            assert_eq!(table.byte(decode(f64::from(byte) / 255.0)), byte, "there and back");
        }
        for i in 0..=100_000_u32 {
            let linear = f64::from(i) / 100_000.0;
            let rounded = libm::round(encode(linear) * 255.0);
            assert!((f64::from(table.byte(linear)) - rounded).abs() < 0.5, "linear {linear}");
        }
        for (odd, byte) in
            [(-1.0, 0), (f64::NAN, 0), (2.0, 255), (f64::INFINITY, 255), (-0.0, 0), (1.0, 255)]
        {
            assert_eq!(table.byte(odd), byte, "{odd}");
        }
    }

    #[test]
    fn a_colour_reads_back_as_it_shows() {
        let colour = Srgb8::new(0xe8, 0x06, 0xe0);
        assert_eq!(colour.to_string(), "#e806e0");
        assert_eq!("#e806e0".parse(), Ok(colour));
        assert_eq!(" #E806E0 ".parse(), Ok(colour));
        assert_eq!("#fa0".parse(), Ok(Srgb8::new(0xff, 0xaa, 0)));
        for wrong in ["", "#", "#12345", "#1234567", "#ggg", "#é12", "rgb(1,2,3)"] {
            assert!(wrong.parse::<Srgb8>().is_err(), "{wrong:?}");
        }
    }
}
