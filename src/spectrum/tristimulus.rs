//! What an eye makes of a spectrum: three numbers.

/// Tristimulus values, Y = 100 for the perfect white under the illuminant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Xyz {
    /// X, 0 to about 115 for surfaces.
    pub x: f64,
    /// Y, the luminance factor in percent: 0 to 100 for surfaces.
    pub y: f64,
    /// Z, 0 to about 125 for surfaces.
    pub z: f64,
}

impl Xyz {
    /// From the three values.
    #[must_use]
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// The three values in order.
    #[must_use]
    pub const fn to_array(self) -> [f64; 3] {
        [self.x, self.y, self.z]
    }

    /// From the three values in order.
    #[must_use]
    pub const fn from_array(values: [f64; 3]) -> Self {
        Self { x: values[0], y: values[1], z: values[2] }
    }
}
