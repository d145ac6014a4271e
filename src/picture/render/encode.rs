//! Linear light to sRGB bytes, by a table made from our own power function.

use crate::flow::series::{exp, ln};
use std::sync::OnceLock;

/// Steps of linear light in the table; the darkest tones are 20 steps apart.
const STEPS: usize = 65_536;

/// Linear RGB (1 = white) to an sRGB byte: IEC 61966-2-1, rounded to the nearest code.
pub(super) struct Encoder {
    codes: &'static [u8],
}

static CODES: OnceLock<Vec<u8>> = OnceLock::new();

impl Encoder {
    pub(super) fn new() -> Self {
        Self { codes: CODES.get_or_init(table) }
    }

    #[inline(always)]
    pub(super) fn code(&self, linear: f32) -> u8 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a float cast saturates; the index is held to the table"
        )]
        let index = ((linear * 65_535.0 + 0.5) as usize).min(STEPS - 1);
        self.codes.get(index).copied().unwrap_or(255)
    }
}

/// Linear light of an sRGB value in 0 to 1.
pub(super) fn decode(value: f64) -> f64 {
    if value <= 0.04045 { value / 12.92 } else { exp(2.4 * ln((value + 0.055) / 1.055)) }
}

fn table() -> Vec<u8> {
    let mut codes = Vec::with_capacity(STEPS);
    for code in 0..=255_u8 {
        // Up to the light halfway between this code and the next.
        let until = if code == 255 { 2.0 } else { decode((f64::from(code) + 0.5) / 255.0) };
        #[expect(clippy::cast_precision_loss, reason = "below 65536")]
        while codes.len() < STEPS && (codes.len() as f64) / 65_535.0 < until {
            codes.push(code);
        }
    }
    codes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_those_of_the_standard() {
        let encoder = Encoder::new();
        for code in 0..=255_u8 {
            let linear = decode(f64::from(code) / 255.0);
            #[expect(clippy::cast_possible_truncation, reason = "a test value")]
            let back = encoder.code(linear as f32);
            assert_eq!(back, code, "code {code} is kept");
        }
        // IEC 61966-2-1: linear 0.18 is code 118 (0.4613561 × 255 = 117.6).
        assert_eq!(encoder.code(0.18), 118, "middle grey");
        assert_eq!([encoder.code(-1.0), encoder.code(9.0), encoder.code(f32::NAN)], [0, 255, 0]);
    }
}
