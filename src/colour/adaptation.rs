//! Chromatic adaptation: what would look the same under another white.

use super::matrix::{Matrix, apply, inverse, product, rows_scaled};
use crate::spectrum::Xyz;

/// Which sharpened cone responses are scaled from white to white (full von Kries adaptation).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Cat {
    /// CAT16: Li et al., "Comprehensive color solutions: CAM16, CAT16, and CAM16-UCS", Color Res.
    /// Appl. 42(6), 2017.
    #[default]
    Cat16,
    /// Bradford, linear form: as ICC profiles use it (ISO 15076-1).
    Bradford,
}

const CAT16: Matrix = [
    [0.401_288, 0.650_173, -0.051_461],
    [-0.250_268, 1.204_414, 0.045_854],
    [-0.002_079, 0.048_952, 0.953_127],
];
const BRADFORD: Matrix =
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
const CAT16_BACK: Matrix = inverse(&CAT16);
const BRADFORD_BACK: Matrix = inverse(&BRADFORD);

/// An adaptation from one white to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adaptation {
    pub(super) matrix: Matrix,
}

impl Adaptation {
    /// From the white a colour was seen under to the one it is wanted under.
    #[must_use]
    pub fn new(from_white: Xyz, to_white: Xyz, cat: Cat) -> Self {
        let (there, back) = match cat {
            Cat::Cat16 => (&CAT16, &CAT16_BACK),
            Cat::Bradford => (&BRADFORD, &BRADFORD_BACK),
        };
        let from = apply(there, from_white.to_array());
        let to = apply(there, to_white.to_array());
        let gains = [to[0] / from[0], to[1] / from[1], to[2] / from[2]];
        Self { matrix: product(back, &rows_scaled(there, gains)) }
    }

    /// The corresponding colour.
    ///
    /// ```
    /// use pourbook::{colour::{Adaptation, Cat}, spectrum::Xyz};
    /// let (a, d65) = (Xyz::new(109.850, 100.0, 35.585), Xyz::new(95.047, 100.0, 108.883));
    /// let white = Adaptation::new(a, d65, Cat::Bradford).apply(a);
    /// assert!((white.x - d65.x).abs() < 1e-12 && (white.z - d65.z).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn apply(&self, xyz: Xyz) -> Xyz {
        Xyz::from_array(apply(&self.matrix, xyz.to_array()))
    }
}
