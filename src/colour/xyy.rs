//! Chromaticity coordinates.

use crate::spectrum::Xyz;

/// Chromaticity x, y with the luminance factor.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Xyy {
    /// x = X/(X + Y + Z).
    pub x: f64,
    /// y = Y/(X + Y + Z).
    pub y: f64,
    /// Y, 100 for white.
    pub luminance: f64,
}

impl Xyy {
    /// From tristimulus values. Black has no chromaticity: it is given that of `white`.
    ///
    /// ```
    /// use pourbook::{colour::Xyy, spectrum::Xyz};
    /// let d65 = Xyz::new(95.047, 100.0, 108.883);
    /// let white = Xyy::from_xyz(d65, d65);
    /// assert!((white.x - 0.3127).abs() < 5e-5 && (white.y - 0.3290).abs() < 5e-5);
    /// ```
    #[must_use]
    pub fn from_xyz(xyz: Xyz, white: Xyz) -> Self {
        let sum = xyz.x + xyz.y + xyz.z;
        if sum == 0.0 {
            let of_white = white.x + white.y + white.z;
            return Self { x: white.x / of_white, y: white.y / of_white, luminance: 0.0 };
        }
        Self { x: xyz.x / sum, y: xyz.y / sum, luminance: xyz.y }
    }

    /// Tristimulus values; black where y is 0.
    #[must_use]
    pub fn to_xyz(self) -> Xyz {
        if self.y == 0.0 {
            return Xyz::default();
        }
        let scale = self.luminance / self.y;
        Xyz { x: self.x * scale, y: self.luminance, z: (1.0 - self.x - self.y) * scale }
    }
}
